package discordfake

import (
	"encoding/json"
	"fmt"
)

// Types of components.
// https://discord.com/developers/docs/components/reference#component-object-component-types
const (
	TypeRow           = 1
	TypeButton        = 2
	TypeSelect        = 3
	TypeTextInput     = 4
	TypeUserSelect    = 5
	TypeRoleSelect    = 6
	TypeMentionable   = 7
	TypeChannelSelect = 8
	TypeSection       = 9
	TypeTextDisplay   = 10
	TypeContainer     = 17
	TypeLabel         = 18
)

// Styles of buttons.
// https://discord.com/developers/docs/components/reference#button-button-styles
const (
	StyleLink    = 5 // has a URL and no custom_id
	StylePremium = 6 // has a sku_id and nothing else
)

// Component is any component; each type has some of the fields.
// https://discord.com/developers/docs/components/reference
type Component struct {
	Type        int            `json:"type"`
	ID          int            `json:"id,omitempty"`
	CustomID    string         `json:"custom_id,omitempty"`
	Style       int            `json:"style,omitempty"`
	Label       string         `json:"label,omitempty"`
	Description string         `json:"description,omitempty"`
	Content     string         `json:"content,omitempty"`
	Emoji       *Emoji         `json:"emoji,omitempty"`
	URL         string         `json:"url,omitempty"`
	SKU         string         `json:"sku_id,omitempty"`
	Disabled    bool           `json:"disabled,omitempty"`
	Options     []SelectOption `json:"options,omitempty"`
	Placeholder string         `json:"placeholder,omitempty"`
	MinValues   *int           `json:"min_values,omitempty"`
	MaxValues   *int           `json:"max_values,omitempty"`
	MinLength   *int           `json:"min_length,omitempty"`
	MaxLength   *int           `json:"max_length,omitempty"`
	Required    *bool          `json:"required,omitempty"`
	Value       string         `json:"value,omitempty"`
	Components  []Component    `json:"components,omitempty"`
	Component   *Component     `json:"component,omitempty"`
	Accessory   *Component     `json:"accessory,omitempty"`
}

// Emoji is a picture on a button.
type Emoji struct {
	ID   string `json:"id,omitempty"`
	Name string `json:"name,omitempty"`
}

// SelectOption is one entry of a select.
type SelectOption struct {
	Label       string `json:"label"`
	Value       string `json:"value"`
	Description string `json:"description,omitempty"`
	Emoji       *Emoji `json:"emoji,omitempty"`
	Default     bool   `json:"default,omitempty"`
}

// nest is what counts over all components of a message or modal.
type nest struct {
	ids   map[string]bool
	count int
	text  int // characters of text displays
}

func newNest() *nest { return &nest{ids: make(map[string]bool)} }

// customID holds an id to its length, and to being the only one.
func (n *nest) customID(a *at, id string) {
	a = a.field("custom_id")
	a.text(id, 1, maxCustomID)
	if id != "" && n.ids[id] {
		a.fail("COMPONENT_CUSTOM_ID_DUPLICATED", "Component custom id cannot be duplicated")
	}
	n.ids[id] = true
}

// checkComponents holds the rows of a message to their limits.
func checkComponents(a *at, rows []Component) {
	a.size(len(rows), 0, maxRows)
	n := newNest()
	for i := range rows {
		if rows[i].Type != TypeRow {
			a.item(i).field("type").choice("1")
			continue
		}
		n.row(a.item(i), &rows[i])
	}
}

// row holds a row to five buttons or one select.
func (n *nest) row(a *at, row *Component) {
	a = a.field("components")
	a.size(len(row.Components), 1, maxButtons)
	buttons := 0
	for i := range row.Components {
		c := &row.Components[i]
		switch c.Type {
		case TypeButton:
			buttons++
			n.button(a.item(i), c)
		case TypeSelect, TypeUserSelect, TypeRoleSelect, TypeMentionable, TypeChannelSelect:
			n.choose(a.item(i), c)
		default:
			a.item(i).field("type").choice("2, 3, 5, 6, 7, 8")
		}
	}
	if len(row.Components) > 1 && buttons < len(row.Components) {
		a.fail("COMPONENT_LAYOUT_WIDTH_EXCEEDED", "The specified component exceeds the maximum width")
	}
}

func (n *nest) button(a *at, c *Component) {
	a.field("label").size(Units(c.Label), 0, maxLabel)
	switch {
	case c.Style < 1 || c.Style > StylePremium:
		a.field("style").choice("1, 2, 3, 4, 5, 6")
	case c.Style == StyleLink:
		if c.CustomID != "" {
			a.field("custom_id").fail("BUTTON_COMPONENT_CUSTOM_ID_WITH_URL", "A custom id and url cannot both be specified")
		}
		if c.URL == "" {
			a.field("url").missing()
		}
		a.field("url").size(Units(c.URL), 0, maxButtonURL)
		address(a.field("url"), c.URL, "http", "https", "discord")
	case c.Style == StylePremium:
		if c.SKU == "" {
			a.field("sku_id").missing()
		}
		if c.CustomID+c.Label+c.URL != "" || c.Emoji != nil {
			a.fail("BUTTON_COMPONENT_PREMIUM", "A premium button has a sku_id and nothing else")
		}
		return
	default:
		n.customID(a, c.CustomID)
		if c.URL != "" {
			a.field("url").fail("BUTTON_COMPONENT_URL_WITH_CUSTOM_ID", "A custom id and url cannot both be specified")
		}
	}
	if c.Label == "" && c.Emoji == nil {
		a.field("label").missing()
	}
}

func (n *nest) choose(a *at, c *Component) {
	n.customID(a, c.CustomID)
	a.field("placeholder").size(Units(c.Placeholder), 0, maxPlaceholder)
	least, most := 1, 1
	if c.MinValues != nil {
		least = *c.MinValues
		a.field("min_values").within(int64(least), 0, maxSelected)
	}
	if c.MaxValues != nil {
		most = *c.MaxValues
		a.field("max_values").within(int64(most), 1, maxSelected)
	}
	if least > most {
		a.field("min_values").fail("NUMBER_TYPE_MAX", "min_values must not be above max_values")
	}
	if c.Type != TypeSelect {
		if len(c.Options) > 0 {
			a.field("options").fail("SELECT_COMPONENT_OPTIONS", "Only a string select has options")
		}
		return
	}
	a = a.field("options")
	a.size(len(c.Options), 1, maxOptions)
	values, chosen := make(map[string]bool), 0
	for i, o := range c.Options {
		here := a.item(i)
		here.field("label").text(o.Label, 1, maxOptionText)
		here.field("value").text(o.Value, 1, maxOptionText)
		here.field("description").size(Units(o.Description), 0, maxOptionText)
		if values[o.Value] {
			here.field("value").fail("SELECT_COMPONENT_OPTION_VALUE_DUPLICATED", "The specified option value is already used")
		}
		values[o.Value] = true
		if o.Default {
			chosen++
		}
	}
	if chosen > most {
		a.fail("SELECT_COMPONENT_TOO_MANY_DEFAULTS", fmt.Sprintf("%v options are chosen, at most %v may be", chosen, most))
	}
}

// checkV2 holds a message of components only to its limits.
func (m *Message) checkV2(a *at) {
	if m.Content != "" {
		a.field("content").fail("MESSAGE_CANNOT_USE_LEGACY_FIELDS_WITH_COMPONENTS_V2", "The 'content' field cannot be used when using MessageFlags.IS_COMPONENTS_V2")
	}
	if len(m.Embeds) > 0 {
		a.field("embeds").fail("MESSAGE_CANNOT_USE_LEGACY_FIELDS_WITH_COMPONENTS_V2", "The 'embeds' field cannot be used when using MessageFlags.IS_COMPONENTS_V2")
	}
	a = a.field("components")
	if len(m.Components) == 0 {
		a.missing()
	}
	n := newNest()
	for i := range m.Components {
		n.v2(a.item(i), &m.Components[i])
	}
	if n.count > maxV2 {
		a.fail("BASE_TYPE_MAX_LENGTH", fmt.Sprintf("Must be %v or fewer in length.", maxV2))
	}
	if n.text > maxV2Text {
		a.fail("COMPONENT_DISPLAYABLE_TEXT_SIZE_EXCEEDED", fmt.Sprintf("Components displayable text size exceeds maximum size of %v", maxV2Text))
	}
}

func (n *nest) v2(a *at, c *Component) {
	n.count++
	switch c.Type {
	case TypeRow:
		n.count += len(c.Components)
		n.row(a, c)
		return
	case TypeButton:
		n.button(a, c)
	case TypeTextDisplay:
		n.text += Units(c.Content)
		if c.Content == "" {
			a.field("content").missing()
		}
	case TypeSection, 11, 12, 13, 14, TypeContainer: // thumbnail, gallery, file, separator
	default:
		a.field("type").choice("1, 9, 10, 12, 13, 14, 17")
	}
	for i := range c.Components {
		n.v2(a.field("components").item(i), &c.Components[i])
	}
	if c.Accessory != nil {
		n.v2(a.field("accessory"), c.Accessory)
	}
}

// Modal is a form.
// https://discord.com/developers/docs/interactions/receiving-and-responding#interaction-response-object-modal
type Modal struct {
	CustomID   string      `json:"custom_id"`
	Title      string      `json:"title"`
	Components []Component `json:"components"`
}

func (m *Modal) check(a *at) {
	n := newNest()
	n.customID(a, m.CustomID)
	n.ids = make(map[string]bool) // an input may be named as its form
	a.field("title").text(m.Title, 1, maxModalTitle)
	a = a.field("components")
	a.size(len(m.Components), 1, maxModalRows)
	for i := range m.Components {
		c, here := &m.Components[i], a.item(i)
		switch c.Type {
		case TypeRow:
			inner := here.field("components")
			inner.size(len(c.Components), 1, 1)
			for j := range c.Components {
				if c.Components[j].Type != TypeTextInput {
					inner.item(j).field("type").choice("4")
					continue
				}
				n.input(inner.item(j), &c.Components[j], true)
			}
		case TypeLabel:
			here.field("label").text(c.Label, 1, maxLabelText)
			here.field("description").size(Units(c.Description), 0, maxLabelMoreText)
			switch {
			case c.Component == nil:
				here.field("component").missing()
			case c.Component.Type == TypeTextInput:
				n.input(here.field("component"), c.Component, false)
			default:
				n.choose(here.field("component"), c.Component)
			}
		case TypeTextDisplay:
		default:
			here.field("type").choice("1, 10, 18")
		}
	}
}

// input holds a text input to its limits. In a row it has a label of its own.
func (n *nest) input(a *at, c *Component, inRow bool) {
	n.customID(a, c.CustomID)
	if c.Style != 1 && c.Style != 2 {
		a.field("style").choice("1, 2")
	}
	if inRow {
		a.field("label").text(c.Label, 1, maxInputLabel)
	}
	a.field("placeholder").size(Units(c.Placeholder), 0, maxInputHint)
	least, most := 0, maxInput
	if c.MinLength != nil {
		least = *c.MinLength
		a.field("min_length").within(int64(least), 0, maxInput)
	}
	if c.MaxLength != nil {
		most = *c.MaxLength
		a.field("max_length").within(int64(most), 1, maxInput)
	}
	if least > most {
		a.field("min_length").fail("NUMBER_TYPE_MAX", "min_length must not be above max_length")
	}
	a.field("value").size(Units(c.Value), 0, maxInput)
	if got := Units(c.Value); c.Value != "" && (got < least || got > most) {
		a.field("value").fail("BASE_TYPE_BAD_LENGTH", fmt.Sprintf("Must be between %v and %v in length.", least, most))
	}
}

// Choice is one answer of an autocomplete, or of an option's fixed choices.
type Choice struct {
	Name  string            `json:"name"`
	Names map[string]string `json:"name_localizations,omitempty"`
	Value json.RawMessage   `json:"value"` // a text or a number
}

// Text returns the value if it is a text.
func (c Choice) Text() string {
	var s string
	_ = json.Unmarshal(c.Value, &s)
	return s
}
