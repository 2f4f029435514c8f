package slackfake

import (
	"encoding/json"
	"strings"
)

// Text returns what a person reads of a message, as plain lines: the blocks, and the
// text only where there are no blocks, as Slack shows it. Cells of a table are set
// apart by " | ". Markup stays as it was sent.
func Text(m Message) string {
	if len(m.Blocks) == 0 {
		return m.Text
	}
	return TextOf(m.Blocks)
}

// TextOf returns what a person reads of blocks.
func TextOf(blocks []any) string {
	var w writer
	for _, b := range blocks {
		w.any(b)
	}
	return strings.Join(w.lines, "\n")
}

type writer struct{ lines []string }

func (w *writer) line(s string) {
	if s = strings.TrimRight(s, " \n"); s != "" {
		w.lines = append(w.lines, s)
	}
}

func (w *writer) any(v any) {
	m, _ := v.(map[string]any)
	kind, _ := m["type"].(string)
	switch kind {
	case "section":
		w.line(words(m["text"]))
		for _, f := range list(m["fields"]) {
			w.line(words(f))
		}
		w.any(m["accessory"])
	case "header":
		w.line(words(m["text"]))
	case "context", "actions":
		for _, e := range list(m["elements"]) {
			w.any(e)
		}
	case "input":
		w.line(words(m["label"]))
		w.any(m["element"])
		w.line(words(m["hint"]))
	case "image":
		w.line(words(m["title"]))
		alt, _ := m["alt_text"].(string)
		w.line("[" + alt + "]")
	case "markdown", "plain_text", "mrkdwn":
		s, _ := m["text"].(string)
		w.line(s)
	case "table", "data_table":
		s, _ := m["caption"].(string)
		w.line(s)
		for _, r := range list(m["rows"]) {
			var cells []string
			for _, c := range list(r) {
				cells = append(cells, cellText(c))
			}
			w.line(strings.Join(cells, " | "))
		}
	case "rich_text":
		w.line(richText(m))
	case "button", "workflow_button":
		w.line("[" + words(m["text"]) + "]")
	default:
		w.line(words(m["placeholder"]))
		for _, o := range optionsOf(m) {
			w.line("( ) " + words(o["text"]))
		}
	}
}

func list(v any) []any { l, _ := v.([]any); return l }

func cellText(v any) string {
	m, _ := v.(map[string]any)
	if m["type"] == "rich_text" {
		return strings.ReplaceAll(richText(m), "\n", " ")
	}
	if s, ok := m["text"].(string); ok && s != "" {
		return s
	}
	n, _ := m["value"].(json.Number)
	return n.String()
}

func richText(m map[string]any) string {
	var out strings.Builder
	for i, e := range list(m["elements"]) {
		e, _ := e.(map[string]any)
		kind, _ := e["type"].(string)
		if i > 0 && strings.HasPrefix(kind, "rich_text_") {
			out.WriteByte('\n')
		}
		for _, key := range []string{"text", "url", "name", "user_id", "channel_id", "usergroup_id", "range", "fallback"} {
			if s, _ := e[key].(string); s != "" {
				switch kind {
				case "user", "broadcast", "usergroup":
					s = "@" + s
				case "emoji":
					s = ":" + s + ":"
				}
				out.WriteString(s)
				break
			}
		}
		out.WriteString(richText(e))
	}
	return out.String()
}

func optionsOf(m map[string]any) []map[string]any {
	var out []map[string]any
	for _, o := range list(m["options"]) {
		if o, ok := o.(map[string]any); ok {
			out = append(out, o)
		}
	}
	for _, g := range list(m["option_groups"]) {
		if g, ok := g.(map[string]any); ok {
			out = append(out, optionsOf(g)...)
		}
	}
	return out
}

// Option is one of the choices of an element.
type Option struct{ Text, Value string }

// Control is something a person can press, choose from or fill in.
type Control struct {
	Type              string // as button, static_select, plain_text_input
	Block, Action     string // block_id, action_id
	Text              string // on a button, or the label of the input block
	Value, URL, Style string // of a button
	Options           []Option
	Initial           string // what stands in it from the start
	Optional          bool   // whether an input may be left empty
	MaxLength         int    // of a plain_text_input, or 0
	input             bool   // whether it stands in an input block
	raw               map[string]any
}

// Buttons returns the buttons of blocks in their order.
func Buttons(blocks []any) []Control {
	var out []Control
	for _, c := range Controls(blocks) {
		if c.Type == "button" {
			out = append(out, c)
		}
	}
	return out
}

// Controls returns everything that can be pressed or filled in, in its order.
func Controls(blocks []any) []Control {
	var out []Control
	for _, b := range blocks {
		b, _ := b.(map[string]any)
		id, _ := b["block_id"].(string)
		optional, _ := b["optional"].(bool)
		for _, e := range append(append([]any{b["accessory"]}, list(b["elements"])...), b["element"]) {
			m, _ := e.(map[string]any)
			kind, _ := m["type"].(string)
			if _, ok := elementShapes[kind]; !ok || kind == "image" {
				continue
			}
			c := Control{Type: kind, Block: id, Text: words(m["text"]), Optional: optional, input: b["type"] == "input", MaxLength: count(m["max_length"]), raw: m}
			if b["label"] != nil {
				c.Text = words(b["label"])
			}
			c.Action, _ = m["action_id"].(string)
			c.Value, _ = m["value"].(string)
			c.URL, _ = m["url"].(string)
			c.Style, _ = m["style"].(string)
			for _, o := range optionsOf(m) {
				v, _ := o["value"].(string)
				c.Options = append(c.Options, Option{words(o["text"]), v})
			}
			c.Initial = initialOf(m)
			out = append(out, c)
		}
	}
	return out
}

// initialOf returns what stands in a control from the start, by the values of the
// options, with commas where several are chosen.
func initialOf(m map[string]any) string {
	for _, key := range []string{"initial_value", "initial_date", "initial_time", "initial_user", "initial_channel", "initial_conversation"} {
		if s, ok := m[key].(string); ok {
			return s
		}
	}
	var chosen []string
	for _, o := range append([]any{m["initial_option"]}, list(m["initial_options"])...) {
		if o, ok := o.(map[string]any); ok {
			v, _ := o["value"].(string)
			chosen = append(chosen, v)
		}
	}
	return strings.Join(chosen, ",")
}
