package slackfake

// limit is one documented bound of what can be posted.
type limit struct {
	name string
	most int
	page string // where it is stated
}

// limits holds every bound, so that a test can try each.
var limits []*limit

func bound(name string, most int, page string) *limit {
	l := &limit{name, most, page}
	limits = append(limits, l)
	return l
}

// The numbers are those of the pages named, as the platform's own clients repeat
// them: https://github.com/slackapi/node-slack-sdk, packages/types/src/block-kit, and
// https://github.com/slackapi/python-slack-sdk, slack_sdk/models/blocks. Where that
// is not so, the comment says it.
const (
	docs     = "https://docs.slack.dev/reference/"
	blocksAt = docs + "block-kit/blocks/"
	elements = docs + "block-kit/block-elements/"
	objects  = docs + "block-kit/composition-objects/"
)

// Messages and views.
var (
	messageBlocks = bound("blocks of a message", 50, docs+"block-kit/blocks")
	viewBlocks    = bound("blocks of a view", 100, docs+"block-kit/blocks")
	// Longer texts are cut by chat.postMessage. A cut answer is a lost one: here it is refused.
	messageText = bound("text of a message", 40000, docs+"methods/chat.postMessage")
	// Advice for chat.postMessage, a bound for chat.update (from memory).
	adviceText = bound("text of a changed message", 4000, docs+"methods/chat.update")
	blockID    = bound("block_id", 255, docs+"block-kit/blocks")
	actionID   = bound("action_id", 255, docs+"block-kit/block-elements")
)

// Blocks.
var (
	sectionText    = bound("section text", 3000, blocksAt+"section-block")
	sectionFields  = bound("section fields", 10, blocksAt+"section-block")
	sectionField   = bound("section field", 2000, blocksAt+"section-block")
	headerText     = bound("header text", 150, blocksAt+"header-block")
	contextItems   = bound("context elements", 10, blocksAt+"context-block")
	contextText    = bound("context text", 3000, objects+"text-object")
	actionsItems   = bound("actions elements", 25, blocksAt+"actions-block")
	imageAlt       = bound("image alt_text", 2000, blocksAt+"image-block")
	imageURL       = bound("image image_url", 3000, blocksAt+"image-block")
	imageTitle     = bound("image title", 2000, blocksAt+"image-block")
	inputLabel     = bound("input label", 2000, blocksAt+"input-block")
	inputHint      = bound("input hint", 2000, blocksAt+"input-block")
	markdownTotal  = bound("markdown in all of a message", 12000, blocksAt+"markdown-block")
	tableRows      = bound("table rows", 100, blocksAt+"table-block")
	tableColumns   = bound("table columns", 20, blocksAt+"table-block")
	tableSettings  = bound("table column_settings", 20, blocksAt+"table-block")
	tableText      = bound("table characters", 10000, blocksAt+"table-block")
	tablesMessage  = bound("tables in a message", 1, blocksAt+"table-block")
	dataTableRows  = bound("data_table rows", 201, blocksAt+"data-table-block") // the header and 200
	dataTableWidth = bound("data_table columns", 20, blocksAt+"data-table-block")
	dataTableText  = bound("data_table characters", 20000, blocksAt+"data-table-block")
)

// Elements.
var (
	buttonText     = bound("button text", 75, elements+"button-element")
	buttonValue    = bound("button value", 2000, elements+"button-element")
	buttonURL      = bound("button url", 3000, elements+"button-element")
	buttonLabel    = bound("button accessibility_label", 75, elements+"button-element")
	placeholder    = bound("placeholder", 150, elements+"plain-text-input-element")
	selectOptions  = bound("select options", 100, elements+"select-menu-element")
	selectGroups   = bound("select option_groups", 100, elements+"select-menu-element")
	checkOptions   = bound("checkboxes options", 10, elements+"checkboxes-element")
	radioOptions   = bound("radio_buttons options", 10, elements+"radio-button-group-element")
	overflowMost   = bound("overflow options", 5, elements+"overflow-menu-element")
	inputMaxLength = bound("plain_text_input max_length", 3000, elements+"plain-text-input-element")
	inputMinLength = bound("plain_text_input min_length", 3000, elements+"plain-text-input-element")
)

// Objects. The bounds of the dialogue that confirms are from memory.
var (
	optionText        = bound("option text", 75, objects+"option-object")
	optionDescription = bound("option description", 75, objects+"option-object")
	// The page has said 75 and 150; 75 fits both.
	optionValue  = bound("option value", 75, objects+"option-object")
	optionURL    = bound("option url", 3000, objects+"option-object")
	groupLabel   = bound("option group label", 75, objects+"option-group-object")
	groupOptions = bound("option group options", 100, objects+"option-group-object")
	confirmTitle = bound("confirm title", 100, objects+"confirmation-dialog-object")
	confirmText  = bound("confirm text", 300, objects+"confirmation-dialog-object")
	confirmYes   = bound("confirm confirm", 30, objects+"confirmation-dialog-object")
	confirmNo    = bound("confirm deny", 30, objects+"confirmation-dialog-object")
)

// Views.
var (
	modalTitle   = bound("modal title", 24, docs+"views/modal-views")
	modalSubmit  = bound("modal submit", 24, docs+"views/modal-views")
	modalClose   = bound("modal close", 24, docs+"views/modal-views")
	viewPrivate  = bound("private_metadata", 3000, docs+"views/modal-views")
	viewCallback = bound("callback_id", 255, docs+"views/modal-views")
	viewExternal = bound("external_id", 255, docs+"views/modal-views")
)

// units counts as the package doc says: UTF-16 units.
func units(s string) int {
	n := 0
	for _, r := range s {
		if n++; r > 0xFFFF {
			n++
		}
	}
	return n
}
