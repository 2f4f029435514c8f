package slackfake

import (
	"encoding/json"
	"errors"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

type object = map[string]any

func x(n int) string { return strings.Repeat("x", n) }

// many makes a list of n items.
func many(n int, item func(i int) any) []any {
	out := []any{}
	for i := range n {
		out = append(out, item(i))
	}
	return out
}

func same(v any) func(int) any { return func(int) any { return v } }

func plainText(s string) object { return object{"type": "plain_text", "text": s} }

func message(blocks ...any) error {
	return CheckMessage(encode(object{"text": "in short", "blocks": blocks}))
}

func section(key string, v any) error { return message(object{"type": "section", key: v}) }

func actions(elements ...any) error {
	return message(object{"type": "actions", "elements": append([]any{}, elements...)})
}

func button(key string, v any) object {
	b := object{"type": "button", "text": plainText("b"), "action_id": "go"}
	b[key] = v
	return b
}

func optionObject(i int) any { return object{"text": plainText("o"), "value": strconv.Itoa(i)} }

func options(n int) []any { return many(n, optionObject) }

func selecting(kind, key string, v any) error {
	return actions(object{"type": kind, "action_id": "go", key: v})
}

func oneOption(key string, v any) error {
	o := object{"text": plainText("o"), "value": "v"}
	o[key] = v
	return selecting("static_select", "options", []any{o})
}

func confirming(key, s string) error {
	c := object{"title": plainText("t"), "text": plainText("t"), "confirm": plainText("y"), "deny": plainText("n")}
	c[key] = plainText(s)
	return actions(button("confirm", c))
}

func modal(key string, v any) error {
	m := object{"type": "modal", "title": plainText("t"), "blocks": []any{object{"type": "divider"}}}
	m[key] = v
	return CheckView(encode(m))
}

func inputBlock(key string, v any) error {
	b := object{"type": "input", "label": plainText("l"), "element": object{"type": "plain_text_input", "action_id": "go"}}
	b[key] = v
	return message(b)
}

func textElement(key string, v any) error {
	return inputBlock("element", object{"type": "plain_text_input", "action_id": "go", key: v})
}

func pictureBlock(key string, v any) error {
	b := object{"type": "image", "alt_text": "a wheel", "image_url": "https://example.org/w.png"}
	b[key] = v
	return message(b)
}

func rawCell(s string) object { return object{"type": "raw_text", "text": s} }

func grid(kind string, rows, columns int, cell string) object {
	b := object{"type": kind, "rows": many(rows, same(many(columns, same(rawCell(cell)))))}
	if kind == "data_table" {
		b["caption"] = "parts"
	}
	return b
}

func address(n int) string { return "https://example.org/" + x(n-len("https://example.org/")) }

// TestLimits tries each limit and the next more. The numbers are written here once
// more, from the pages that limits.go names, so that neither can change alone.
func TestLimits(t *testing.T) {
	cases := map[string]struct {
		most int
		with func(n int) error
	}{
		"blocks of a message": {50, func(n int) error { return message(many(n, same(object{"type": "divider"}))...) }},
		"blocks of a view":    {100, func(n int) error { return modal("blocks", many(n, same(object{"type": "divider"}))) }},
		"text of a message":   {40000, func(n int) error { return CheckMessage(encode(object{"text": x(n)})) }},
		"text of a changed message": {4000, func(n int) error {
			s, err := New(Options{})
			require.NoError(t, err)
			defer s.Close()
			out, refused := s.postMessage(args{"channel": General, "text": "t"}, nil)
			require.Nil(t, refused)
			_, refused = s.updateMessage(args{"channel": General, "ts": out["ts"], "text": x(n)}, nil)
			return asError(refused)
		}},
		"block_id":       {255, func(n int) error { return message(object{"type": "divider", "block_id": x(n)}) }},
		"action_id":      {255, func(n int) error { return actions(button("action_id", x(n))) }},
		"section text":   {3000, func(n int) error { return section("text", plainText(x(n))) }},
		"section fields": {10, func(n int) error { return section("fields", many(n, same(plainText("f")))) }},
		"section field":  {2000, func(n int) error { return section("fields", []any{plainText(x(n))}) }},
		"header text":    {150, func(n int) error { return message(object{"type": "header", "text": plainText(x(n))}) }},
		"context elements": {10, func(n int) error {
			return message(object{"type": "context", "elements": many(n, same(plainText("c")))})
		}},
		"context text": {3000, func(n int) error { return message(object{"type": "context", "elements": []any{plainText(x(n))}}) }},
		"actions elements": {25, func(n int) error {
			return actions(many(n, func(i int) any { return button("action_id", "go"+strconv.Itoa(i)) })...)
		}},
		"image alt_text":  {2000, func(n int) error { return pictureBlock("alt_text", x(n)) }},
		"image image_url": {3000, func(n int) error { return pictureBlock("image_url", address(n)) }},
		"image title":     {2000, func(n int) error { return pictureBlock("title", plainText(x(n))) }},
		"input label":     {2000, func(n int) error { return inputBlock("label", plainText(x(n))) }},
		"input hint":      {2000, func(n int) error { return inputBlock("hint", plainText(x(n))) }},
		"markdown in all of a message": {12000, func(n int) error {
			return message(object{"type": "markdown", "text": x(n - 5000)}, object{"type": "markdown", "text": x(5000)})
		}},
		"table rows":    {100, func(n int) error { return message(grid("table", n, 2, "c")) }},
		"table columns": {20, func(n int) error { return message(grid("table", 1, n, "c")) }},
		"table column_settings": {20, func(n int) error {
			b := grid("table", 1, 20, "c")
			b["column_settings"] = many(n, same(object{"align": "right", "is_wrapped": true}))
			return message(b)
		}},
		"table characters": {10000, func(n int) error {
			b := grid("table", 2, 1, x(5000))
			b["rows"].([]any)[1] = []any{rawCell(x(n - 5000))}
			return message(b)
		}},
		"tables in a message":        {1, func(n int) error { return message(many(n, same(grid("table", 1, 1, "c")))...) }},
		"data_table rows":            {201, func(n int) error { return message(grid("data_table", n, 2, "c")) }},
		"data_table columns":         {20, func(n int) error { return message(grid("data_table", 1, n, "c")) }},
		"data_table characters":      {20000, func(n int) error { return message(grid("data_table", 1, 1, x(n))) }},
		"button text":                {75, func(n int) error { return actions(button("text", plainText(x(n)))) }},
		"button value":               {2000, func(n int) error { return actions(button("value", x(n))) }},
		"button url":                 {3000, func(n int) error { return actions(button("url", address(n))) }},
		"button accessibility_label": {75, func(n int) error { return actions(button("accessibility_label", x(n))) }},
		"placeholder":                {150, func(n int) error { return textElement("placeholder", plainText(x(n))) }},
		"select options":             {100, func(n int) error { return selecting("static_select", "options", options(n)) }},
		"select option_groups": {100, func(n int) error {
			return selecting("static_select", "option_groups", many(n, same(object{"label": plainText("g"), "options": options(1)})))
		}},
		"checkboxes options":          {10, func(n int) error { return selecting("checkboxes", "options", options(n)) }},
		"radio_buttons options":       {10, func(n int) error { return selecting("radio_buttons", "options", options(n)) }},
		"overflow options":            {5, func(n int) error { return selecting("overflow", "options", options(n)) }},
		"plain_text_input max_length": {3000, func(n int) error { return textElement("max_length", n) }},
		"plain_text_input min_length": {3000, func(n int) error { return textElement("min_length", n) }},
		"option text":                 {75, func(n int) error { return oneOption("text", plainText(x(n))) }},
		"option description":          {75, func(n int) error { return oneOption("description", plainText(x(n))) }},
		"option value":                {75, func(n int) error { return oneOption("value", x(n)) }},
		"option url": {3000, func(n int) error {
			return selecting("overflow", "options", []any{object{"text": plainText("o"), "value": "v", "url": address(n)}})
		}},
		"option group label": {75, func(n int) error {
			return selecting("static_select", "option_groups", []any{object{"label": plainText(x(n)), "options": options(1)}})
		}},
		"option group options": {100, func(n int) error {
			return selecting("static_select", "option_groups", []any{object{"label": plainText("g"), "options": options(n)}})
		}},
		"confirm title":    {100, func(n int) error { return confirming("title", x(n)) }},
		"confirm text":     {300, func(n int) error { return confirming("text", x(n)) }},
		"confirm confirm":  {30, func(n int) error { return confirming("confirm", x(n)) }},
		"confirm deny":     {30, func(n int) error { return confirming("deny", x(n)) }},
		"modal title":      {24, func(n int) error { return modal("title", plainText(x(n))) }},
		"modal submit":     {24, func(n int) error { return modal("submit", plainText(x(n))) }},
		"modal close":      {24, func(n int) error { return modal("close", plainText(x(n))) }},
		"private_metadata": {3000, func(n int) error { return modal("private_metadata", x(n)) }},
		"callback_id":      {255, func(n int) error { return modal("callback_id", x(n)) }},
		"external_id":      {255, func(n int) error { return modal("external_id", x(n)) }},
	}
	tried := 0
	for _, l := range limits {
		t.Run(l.name, func(t *testing.T) {
			c, ok := cases[l.name]
			require.True(t, ok, "want a case for every limit")
			tried++
			assert.Equal(t, c.most, l.most)
			assert.Contains(t, l.page, "https://docs.slack.dev/", "want the page that states it")
			assert.NoError(t, c.with(c.most))
			var refused *Refusal
			require.ErrorAs(t, c.with(c.most+1), &refused)
			if refused.Code != "msg_too_long" {
				require.Len(t, refused.Messages, 1, "one fault and no other")
				assert.Contains(t, refused.Messages[0], "json-pointer:/")
			}
		})
	}
	assert.Equal(t, len(cases), tried)
}

// TestRefused tries what is wrong in another way than too much.
func TestRefused(t *testing.T) {
	text := plainText("t")
	cases := []struct {
		why, code, place string
		err              error
	}{
		{"nothing to say", "no_text", "", CheckMessage([]byte(`{"text":" "}`))},
		{"no object", "invalid_json", "", CheckMessage([]byte(`[]`))},
		{"blocks as a word", "invalid_blocks_format", "", CheckMessage([]byte(`{"text":"t","blocks":"{"}`))},
		{"blocks as an object", "invalid_blocks_format", "", CheckMessage([]byte(`{"text":"t","blocks":{}}`))},
		{"a text that is none", "invalid_arguments", "/text", CheckMessage([]byte(`{"text":7}`))},
		{"attachments", "invalid_attachments", "", CheckMessage([]byte(`{"text":"t","attachments":[{"text":"old"}]}`))},
		{"an unknown block", "invalid_blocks", "/blocks/0/type", message(object{"type": "poem"})},
		{"a block without a type", "invalid_blocks", "/blocks/0", message(object{"text": text})},
		{"a block that is none", "invalid_blocks", "/blocks/1", message(object{"type": "divider"}, "text")},
		{"an unknown element", "invalid_blocks", "/blocks/0/elements/0/type", actions(object{"type": "lever"})},
		{"an input among actions", "invalid_blocks", "/blocks/0/elements/0/type", actions(object{"type": "plain_text_input"})},
		{"a button as input", "invalid_blocks", "/blocks/0/element/type", inputBlock("element", button("value", "v"))},
		{"an unknown property", "invalid_blocks", "/blocks/0]", message(object{"type": "divider", "colour": "red"})},
		{"the same block_id twice", "invalid_blocks", "/blocks/1/block_id", message(object{"type": "divider", "block_id": "one"}, object{"type": "divider", "block_id": "one"})},
		{"the same action_id twice", "invalid_blocks", "/blocks/0/elements/1/action_id", actions(button("value", "v"), button("value", "w"))},
		{"a section of nothing", "invalid_blocks", "/blocks/0", message(object{"type": "section"})},
		{"an empty text", "invalid_blocks", "/blocks/0/text/text", section("text", plainText(""))},
		{"no fields", "invalid_blocks", "/blocks/0/fields", section("fields", []any{})},
		{"a marked header", "invalid_blocks", "/blocks/0/text/type", message(object{"type": "header", "text": object{"type": "mrkdwn", "text": "t"}})},
		{"emoji with mrkdwn", "invalid_blocks", "/blocks/0/text", section("text", object{"type": "mrkdwn", "text": "t", "emoji": true})},
		{"a header without text", "invalid_blocks", "/blocks/0", message(object{"type": "header"})},
		{"no elements", "invalid_blocks", "/blocks/0/elements", actions()},
		{"a button without text", "invalid_blocks", "/blocks/0/elements/0", actions(object{"type": "button"})},
		{"a button of another style", "invalid_blocks", "/blocks/0/elements/0/style", actions(button("style", "blue"))},
		{"a button to nowhere", "invalid_blocks", "/blocks/0/elements/0/url", actions(button("url", "nowhere"))},
		{"a picture without words", "invalid_blocks", "/blocks/0", pictureBlock("alt_text", nil)},
		{"a picture from nowhere", "invalid_blocks", "/blocks/0", pictureBlock("image_url", nil)},
		{"a picture not public", "invalid_blocks", "/blocks/0/image_url", pictureBlock("image_url", "http://example.org/w.png")},
		{"options and groups", "invalid_blocks", "/blocks/0/elements/0", actions(object{"type": "static_select", "options": options(1), "option_groups": []any{object{"label": text, "options": options(1)}}})},
		{"a choice that is no option", "invalid_blocks", "/blocks/0/elements/0", actions(object{"type": "static_select", "options": options(1), "initial_option": optionObject(7)})},
		{"an option without value", "invalid_blocks", "/blocks/0/elements/0/options/0", selecting("static_select", "options", []any{object{"text": text}})},
		{"an empty cell", "invalid_blocks", "/blocks/0/rows/0/0/text", message(grid("table", 1, 1, ""))},
		{"a null cell", "invalid_blocks", "/blocks/0/rows/0/0", message(object{"type": "table", "rows": []any{[]any{nil}}})},
		{"a table without rows", "invalid_blocks", "/blocks/0/rows", message(object{"type": "table", "rows": []any{}})},
		{"a cell of another type", "invalid_blocks", "/blocks/0/rows/0/0", message(object{"type": "table", "rows": []any{[]any{text}}})},
		{"min above max", "invalid_blocks", "/blocks/0/element", inputBlock("element", object{"type": "plain_text_input", "min_length": 9, "max_length": 3})},
		{"max_length of nothing", "invalid_blocks", "/blocks/0/element/max_length", textElement("max_length", 0)},
		{"a view of neither kind", "invalid_arguments", "/view/type", CheckView([]byte(`{"type":"page","title":{"type":"plain_text","text":"t"},"blocks":[]}`))},
		{"a modal without title", "invalid_arguments", "/view", CheckView([]byte(`{"type":"modal","blocks":[]}`))},
		{"a home with a title", "invalid_arguments", "/view", CheckView([]byte(`{"type":"home","title":{"type":"plain_text","text":"t"},"blocks":[]}`))},
		{"inputs without submit", "invalid_arguments", "/view", modal("blocks", []any{object{"type": "input", "label": text, "element": object{"type": "plain_text_input"}}})},
		{"a table in a view", "invalid_arguments", "/view/blocks/0/type", modal("blocks", []any{grid("table", 1, 1, "c")})},
		{"markdown in a view", "invalid_arguments", "/view/blocks/0/type", modal("blocks", []any{object{"type": "markdown", "text": "t"}})},
	}
	for _, c := range cases {
		t.Run(c.why, func(t *testing.T) {
			var refused *Refusal
			require.ErrorAs(t, c.err, &refused)
			assert.Equal(t, c.code, refused.Code)
			if c.place != "" {
				require.NotEmpty(t, refused.Messages)
				assert.Contains(t, refused.Messages[0], "json-pointer:"+c.place)
			}
		})
	}
}

// TestTaken tries what must not be refused.
func TestTaken(t *testing.T) {
	rich := object{"type": "rich_text", "elements": []any{
		object{"type": "rich_text_section", "elements": []any{object{"type": "text", "text": "front ", "style": object{"bold": true}}, object{"type": "emoji", "name": "bike"}}},
		object{"type": "rich_text_list", "style": "bullet", "indent": 1, "elements": []any{object{"type": "rich_text_section", "elements": []any{object{"type": "link", "url": "https://example.org"}}}}},
		object{"type": "rich_text_preformatted", "elements": []any{object{"type": "text", "text": "a b"}}},
	}}
	for why, err := range map[string]error{
		"text alone":                    CheckMessage([]byte(`{"text":"t","blocks":null}`)),
		"blocks in a string":            CheckMessage([]byte(`{"text":"t","blocks":"[{\"type\":\"divider\"}]"}`)),
		"rich text":                     message(rich),
		"the same action in two blocks": message(object{"type": "actions", "elements": []any{button("value", "v")}}, object{"type": "actions", "elements": []any{button("value", "v")}}),
		"cells of all types":            message(object{"type": "table", "rows": []any{[]any{rawCell(" "), object{"type": "raw_number", "value": 2.4}, object{"type": "rich_text", "elements": rich["elements"]}}}, "column_settings": []any{nil, object{"align": "right"}}}),
		"a chosen option":               selecting("radio_buttons", "options", options(2)),
		"a form":                        CheckView(encode(object{"type": "modal", "title": plainText("t"), "submit": plainText("s"), "blocks": []any{object{"type": "input", "optional": true, "label": plainText("l"), "element": object{"type": "static_select", "options": options(2), "initial_option": optionObject(1)}}}})),
		"a home of nothing":             CheckView([]byte(`{"type":"home","blocks":[]}`)),
	} {
		assert.NoError(t, err, why)
	}
}

// TestUnits holds how characters are counted.
func TestUnits(t *testing.T) {
	for text, want := range map[string]int{"": 0, "psi": 3, "über": 4, "\u00d7": 1, "\U0001F6B4": 2} {
		assert.Equal(t, want, units(text), text)
	}
}

// FuzzCheck holds that whatever is posted is taken or refused, and shown, without a
// panic.
func FuzzCheck(f *testing.F) {
	for _, s := range []string{`{"text":"t"}`, `{"blocks":[{"type":"section","text":{"type":"mrkdwn","text":"t"}}]}`,
		`{"blocks":[{"type":"table","rows":[[{"type":"raw_text","text":"t"},null]]}]}`, `{"type":"modal","blocks":[{"type":"input","element":{"type":"checkboxes","options":[{}]}}]}`,
		`{"blocks":[{"type":"actions","elements":[{"type":"static_select","option_groups":[{"options":[7]}]}]}]}`} {
		f.Add([]byte(s))
	}
	f.Fuzz(func(t *testing.T, raw []byte) {
		for _, err := range []error{CheckMessage(raw), CheckView(raw)} {
			var refused *Refusal
			if err != nil && (!errors.As(err, &refused) || refused.Code == "") {
				t.Fatalf("%q: %v: want a code", raw, err)
			}
		}
		v, err := Decode(raw)
		if err != nil {
			return
		}
		m, _ := v.(map[string]any)
		for _, c := range Controls(list(m["blocks"])) {
			_, _ = c.filled("x")
		}
		_ = TextOf(list(m["blocks"]))
		if !json.Valid(encode(v)) {
			t.Fatal("decoded JSON can't be written again")
		}
	})
}
