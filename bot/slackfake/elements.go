package slackfake

import (
	"encoding/json"
	"reflect"
	"slices"
	"strings"
)

// slot is where in a block an element stands.
type slot string

const (
	inSection slot = "section"
	inActions slot = "actions"
	inInput   slot = "input"
	inContext slot = "context"
)

// elementShape is an element and where it may stand, by the pages below
// https://docs.slack.dev/reference/block-kit/block-elements
type elementShape struct {
	where []slot
	shape shape
	more  func(c *check, at string, m map[string]any)
}

var (
	pressed   = []slot{inSection, inActions}
	filled    = []slot{inSection, inActions, inInput}
	inputOnly = []slot{inInput}
)

var confirm = may("confirm", shaped(shape{
	must("title", plain(confirmTitle)), must("text", anyText(confirmText)), must("confirm", plain(confirmYes)),
	must("deny", plain(confirmNo)), may("style", oneOf("primary", "danger")),
}))

var focus = may("focus_on_load", func(c *check, at string, v any) {
	if boolean(c, at, v); v == true {
		c.focus++
	}
})

var dispatch = may("dispatch_action_config", shaped(shape{
	may("trigger_actions_on", listed(1, nil, oneOf("on_enter_pressed", "on_character_entered"))),
}))

var hint = may("placeholder", plain(placeholder))

var option = optionOf(plain(optionText), plain(optionDescription), false)

// Options of checkboxes and radio buttons may be marked up; only those of overflow
// menus have an address.
// https://docs.slack.dev/reference/block-kit/composition-objects/option-object
var (
	markedOption   = optionOf(anyText(optionText), anyText(optionDescription), false)
	overflowOption = optionOf(plain(optionText), plain(optionDescription), true)
)

func optionOf(text, description rule, url bool) rule {
	s := shape{must("text", text), must("value", str(optionValue)), may("description", description)}
	if url {
		s = append(s, may("url", link(optionURL)))
	}
	return shaped(s)
}

var optionGroup = shaped(shape{must("label", plain(groupLabel)), must("options", listed(1, groupOptions, option))})

func choice(multi bool, extra ...field) shape {
	s := shape{hint, confirm, focus}
	if multi {
		s = append(s, may("max_selected_items", whole(1, nil)))
	}
	return append(s, extra...)
}

var (
	fromList = shape{may("options", listed(1, selectOptions, option)), may("option_groups", listed(1, selectGroups, optionGroup))}
	ids      = listed(0, nil, str(nil))
	filter   = may("filter", shaped(shape{may("include", listed(1, nil, oneOf("im", "mpim", "private", "public"))),
		may("exclude_external_shared_channels", boolean), may("exclude_bot_users", boolean)}))
)

// textInput is the shape of inputs of text.
func textInput(extra ...field) shape {
	return append(shape{hint, focus, dispatch}, extra...)
}

var elementShapes = map[string]elementShape{
	"button": {pressed, shape{
		must("text", plain(buttonText)), may("value", blank(buttonValue)), may("url", link(buttonURL)),
		may("style", oneOf("primary", "danger")), may("accessibility_label", str(buttonLabel)), confirm,
	}, nil},
	"overflow": {pressed, shape{must("options", listed(1, overflowMost, overflowOption)), confirm}, nil},
	"image": {[]slot{inSection, inContext}, shape{
		must("alt_text", str(imageAlt)), may("image_url", publicPicture), may("slack_file", slackFile),
	}, picture},
	"checkboxes": {filled, shape{
		must("options", listed(1, checkOptions, markedOption)), may("initial_options", listed(1, checkOptions, markedOption)), confirm, focus,
	}, initial},
	"radio_buttons": {filled, shape{
		must("options", listed(1, radioOptions, markedOption)), may("initial_option", markedOption), confirm, focus,
	}, initial},
	"static_select": {filled, append(choice(false, may("initial_option", option)), fromList...), static},
	"multi_static_select": {filled,
		append(choice(true, may("initial_options", listed(1, selectOptions, option))), fromList...), static},
	"external_select":       {filled, choice(false, may("initial_option", option), may("min_query_length", whole(0, nil))), nil},
	"multi_external_select": {filled, choice(true, may("initial_options", listed(1, selectOptions, option)), may("min_query_length", whole(0, nil))), nil},
	"users_select":          {filled, choice(false, may("initial_user", str(nil))), nil},
	"multi_users_select":    {filled, choice(true, may("initial_users", ids)), nil},
	"channels_select":       {filled, choice(false, may("initial_channel", str(nil)), may("response_url_enabled", boolean)), nil},
	"multi_channels_select": {filled, choice(true, may("initial_channels", ids)), nil},
	"conversations_select": {filled, choice(false, may("initial_conversation", str(nil)), may("default_to_current_conversation", boolean),
		may("response_url_enabled", boolean), filter), nil},
	"multi_conversations_select": {filled, choice(true, may("initial_conversations", ids), may("default_to_current_conversation", boolean), filter), nil},
	"datepicker":                 {filled, shape{hint, may("initial_date", dateText), confirm, focus}, nil},
	"timepicker":                 {filled, shape{hint, may("initial_time", clockText), may("timezone", str(nil)), confirm, focus}, nil},
	"datetimepicker":             {[]slot{inActions, inInput}, shape{may("initial_date_time", whole(0, nil)), confirm, focus}, nil},
	"plain_text_input": {inputOnly, textInput(
		may("initial_value", blank(nil)), may("multiline", boolean),
		may("min_length", whole(0, inputMinLength)), may("max_length", whole(1, inputMaxLength)),
	), func(c *check, at string, m map[string]any) {
		least, most := count(m["min_length"]), count(m["max_length"])
		if most > 0 && least > most {
			c.no(at, "min_length must be less than max_length")
		}
		if s, _ := m["initial_value"].(string); most > 0 && units(s) > most {
			c.no(at+"/initial_value", "must be less than %d characters", most+1)
		}
	}},
	"email_text_input": {inputOnly, textInput(may("initial_value", blank(nil))), nil},
	"url_text_input":   {inputOnly, textInput(may("initial_value", blank(nil))), nil},
	"number_input": {inputOnly, textInput(must("is_decimal_allowed", boolean), may("initial_value", blank(nil)),
		may("min_value", str(nil)), may("max_value", str(nil))), nil},
	"file_input": {inputOnly, shape{may("filetypes", ids), may("max_files", whole(1, nil))}, nil},
}

// element is the rule of an element in a slot.
func element(in slot) rule {
	return func(c *check, at string, v any) {
		m, ok := v.(map[string]any)
		if !ok {
			c.no(at, "must be an object")
			return
		}
		kind, _ := m["type"].(string)
		e, ok := elementShapes[kind]
		if !ok || !slices.Contains(e.where, in) {
			c.no(at+"/type", "unsupported type: %s", kind)
			return
		}
		s := shape{must("type", anything)}
		if kind != "image" {
			s = append(s, may("action_id", str(actionID)))
		}
		c.object(at, v, append(s, e.shape...))
		if e.more != nil {
			e.more(c, at, m)
		}
	}
}

// static holds that a select has its options in one of two ways.
func static(c *check, at string, m map[string]any) {
	if (m["options"] == nil) == (m["option_groups"] == nil) {
		c.no(at, "must have exactly one of options, option_groups")
	}
	initial(c, at, m)
}

// initial holds that what is chosen from the start is one of the options, whole.
func initial(c *check, at string, m map[string]any) {
	options, _ := m["options"].([]any)
	groups, _ := m["option_groups"].([]any)
	for _, g := range groups {
		g, _ := g.(map[string]any)
		list, _ := g["options"].([]any)
		options = append(slices.Clone(options), list...)
	}
	chosen, _ := m["initial_options"].([]any)
	if one := m["initial_option"]; one != nil {
		chosen = append(slices.Clone(chosen), one)
	}
	for _, o := range chosen {
		if !slices.ContainsFunc(options, func(p any) bool { return reflect.DeepEqual(o, p) }) {
			c.no(at, "initial option must exactly match one of the options")
		}
	}
}

func dateText(c *check, at string, v any)  { digits(c, at, v, "0000-00-00") }
func clockText(c *check, at string, v any) { digits(c, at, v, "00:00") }

// digits checks a string against a pattern, where each 0 is a digit.
func digits(c *check, at string, v any, pattern string) {
	s, _ := v.(string)
	if strings.Map(func(r rune) rune {
		if r >= '0' && r <= '9' {
			return '0'
		}
		return r
	}, s) != pattern {
		c.no(at, "must have the format %s", pattern)
	}
}

func count(v any) int {
	n, _ := v.(json.Number)
	i, _ := n.Int64()
	return int(i)
}
