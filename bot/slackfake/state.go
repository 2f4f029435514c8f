package slackfake

import (
	"fmt"
	"maps"
	"strings"
)

// What stands in controls: https://docs.slack.dev/reference/interaction-payloads/view-interactions-payload

// action is the entry of "actions" for what was pressed or chosen.
func (a Act) action() (map[string]any, error) {
	c := a.Control
	out := map[string]any{"type": c.Type, "action_id": c.Action, "block_id": c.Block}
	if c.Type == "button" {
		out["text"] = c.raw["text"]
		for _, key := range []string{"value", "style", "url"} {
			if v := c.raw[key]; v != nil {
				out[key] = v
			}
		}
		return out, nil
	}
	value, err := c.filled(a.Value)
	if err != nil {
		return nil, err
	}
	maps.Copy(out, value)
	return out, nil
}

// filledState is what stands in all controls of blocks but buttons and menus.
func filledState(blocks []any, filled map[string]string) (map[string]any, error) {
	values := make(map[string]any)
	known := make(map[string]bool)
	for _, c := range Controls(blocks) {
		if c.Type == "button" || c.Type == "overflow" || c.Type == "workflow_button" {
			continue
		}
		known[c.Action] = true
		what, ok := filled[c.Action]
		if !ok {
			what = c.Initial
		}
		value, err := c.filled(what)
		if err != nil {
			return nil, err
		}
		block, _ := values[c.Block].(map[string]any)
		if block == nil {
			block = make(map[string]any)
			values[c.Block] = block
		}
		block[c.Action] = value
	}
	for id := range filled {
		if !known[id] {
			return nil, fmt.Errorf("slackfake: no control %s to fill in", id)
		}
	}
	return map[string]any{"values": values}, nil
}

// filled is what stands in one control.
func (c Control) filled(what string) (map[string]any, error) {
	out := map[string]any{"type": c.Type}
	one := func(key string) {
		if out[key] = any(what); what == "" {
			out[key] = nil
		}
	}
	switch c.Type {
	case "plain_text_input", "number_input", "email_text_input", "url_text_input":
		if c.MaxLength > 0 && units(what) > c.MaxLength {
			return nil, fmt.Errorf("slackfake: input %s: %d characters: want at most %d", c.Action, units(what), c.MaxLength)
		}
		one("value")
	case "static_select", "radio_buttons", "overflow", "external_select":
		out["selected_option"] = nil
		if what != "" {
			o, err := c.option(what)
			if err != nil {
				return nil, err
			}
			out["selected_option"] = o
		}
	case "checkboxes", "multi_static_select", "multi_external_select":
		chosen := []any{}
		for v := range strings.SplitSeq(what, ",") {
			if v == "" {
				continue
			}
			o, err := c.option(v)
			if err != nil {
				return nil, err
			}
			chosen = append(chosen, o)
		}
		out["selected_options"] = chosen
	case "users_select":
		one("selected_user")
	case "channels_select":
		one("selected_channel")
	case "conversations_select":
		one("selected_conversation")
	case "datepicker":
		one("selected_date")
	case "timepicker":
		one("selected_time")
	default:
		return nil, fmt.Errorf("slackfake: control %s: %s can't be filled in here", c.Action, c.Type)
	}
	return out, nil
}

// option finds an option by its value. An external select has none of its own: there
// any value goes.
func (c Control) option(value string) (any, error) {
	for _, o := range optionsOf(c.raw) {
		if o["value"] == value {
			return o, nil
		}
	}
	if strings.HasSuffix(c.Type, "external_select") {
		return map[string]any{"text": labelObject(value), "value": value}, nil
	}
	return nil, fmt.Errorf("slackfake: control %s has no option %q", c.Action, value)
}
