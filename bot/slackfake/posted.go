package slackfake

import (
	"encoding/json"
	"strings"
)

// CheckMessage checks a message as chat.postMessage or a response URL would, in a
// workspace that knows table blocks. The message is a JSON object. It returns nil or
// a *Refusal.
func CheckMessage(raw []byte) error {
	v, err := Decode(raw)
	m, ok := v.(map[string]any)
	if err != nil || !ok {
		return &Refusal{Code: "invalid_json"}
	}
	_, refused := checkMessage(m, check{tables: true})
	return asError(refused)
}

// CheckView checks a modal or a home tab as views.open and views.publish would. The
// view is a JSON object. It returns nil or a *Refusal.
func CheckView(raw []byte) error {
	v, err := Decode(raw)
	if err != nil {
		return &Refusal{Code: "invalid_json"}
	}
	_, refused := checkView(v, check{})
	return asError(refused)
}

func asError(r *Refusal) error {
	if r == nil {
		return nil // and not a nil of a type
	}
	return r
}

// checkMessage checks text and blocks and returns them.
// https://docs.slack.dev/reference/methods/chat.postMessage
func checkMessage(m map[string]any, c check) (Message, *Refusal) {
	out := Message{}
	text, ok := m["text"].(string)
	if !ok && m["text"] != nil {
		return out, &Refusal{Code: "invalid_arguments", Messages: []string{"[ERROR] must be a string [json-pointer:/text]"}}
	}
	out.Text = text
	blocks, err := unpacked(m["blocks"])
	if err != nil {
		return out, &Refusal{Code: "invalid_blocks_format"}
	}
	attachments, _ := unpacked(m["attachments"])
	if list, _ := attachments.([]any); len(list) > 0 {
		// The older kind: this bot has no use for them, and nothing here shows them.
		return out, &Refusal{Code: "invalid_attachments"}
	}
	if blocks != nil {
		list, ok := blocks.([]any)
		if !ok {
			return out, &Refusal{Code: "invalid_blocks_format"}
		}
		c.surface = inMessage
		if c.blocks("/blocks", list, messageBlocks); len(c.messages) > 0 {
			return out, &Refusal{Code: "invalid_blocks", Messages: c.messages}
		}
		out.Blocks = list
	}
	if strings.TrimSpace(text) == "" && len(out.Blocks) == 0 {
		return out, &Refusal{Code: "no_text"}
	}
	if units(text) > messageText.most {
		return out, &Refusal{Code: "msg_too_long"}
	}
	return out, nil
}

// unpacked returns an argument that may be JSON or a string with JSON in it.
func unpacked(v any) (any, error) {
	s, ok := v.(string)
	if !ok {
		return v, nil
	}
	if s == "" {
		return nil, nil
	}
	return Decode([]byte(s))
}

// checkView checks a view and returns what is to be kept of it.
// https://docs.slack.dev/reference/views/modal-views, home-tab-views beside it
func checkView(v any, c check) (*View, *Refusal) {
	m, _ := v.(map[string]any)
	kind, _ := m["type"].(string)
	s := shape{
		must("type", oneOf("modal", "home")), must("blocks", anything), may("private_metadata", blank(viewPrivate)),
		may("callback_id", blank(viewCallback)), may("external_id", blank(viewExternal)),
	}
	if kind == "home" {
		c.surface = inHome
	} else {
		c.surface = inModal
		s = append(s, must("title", plain(modalTitle)), may("submit", plain(modalSubmit)), may("close", plain(modalClose)),
			may("clear_on_close", boolean), may("notify_on_close", boolean), may("submit_disabled", boolean))
	}
	c.object("/view", v, s)
	if m["blocks"] != nil {
		c.blocks("/view/blocks", m["blocks"], viewBlocks)
	}
	if c.surface == inModal && c.inputs > 0 && m["submit"] == nil {
		c.no("/view", "missing required field: submit")
	}
	if len(c.messages) > 0 {
		return nil, &Refusal{Code: "invalid_arguments", Messages: c.messages}
	}
	out := &View{Type: kind}
	out.Blocks, _ = m["blocks"].([]any)
	out.CallbackID, _ = m["callback_id"].(string)
	out.ExternalID, _ = m["external_id"].(string)
	out.Private, _ = m["private_metadata"].(string)
	out.NotifyOnClose, _ = m["notify_on_close"].(bool)
	out.Title, out.Submit, out.Close = words(m["title"]), words(m["submit"]), words(m["close"])
	out.Raw, _ = json.Marshal(m)
	return out, nil
}

// words returns the text of a text object.
func words(v any) string {
	m, _ := v.(map[string]any)
	s, _ := m["text"].(string)
	return s
}
