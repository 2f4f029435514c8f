package slack

import (
	"encoding/json"
	"fmt"
	"unicode/utf8"

	"github.com/slack-go/slack"
)

// encoded writes a message as JSON. It writes the blocks that answers are made
// of itself, since the library's encode each part, look through it and copy it
// once more: that took longer than all else after the answer was known. A test
// holds that the result is the same.
func (b body) encoded() ([]byte, error) {
	out := make([]byte, 0, 3<<10) // most answers are smaller
	out = appendText(append(out, `{"response_type":`...), b.ResponseType)
	// Never instead of what the button stands in: it may have others to press.
	out = append(out, `,"replace_original":false`...)
	out = appendText(append(out, `,"text":`...), b.Text)
	if len(b.Blocks) > 0 {
		var err error
		out = append(out, `,"blocks":`...)
		if out, err = list(out, b.Blocks, appendBlock); err != nil {
			return nil, fmt.Errorf("slack: encode a message: %w", err)
		}
	}
	if b.Thread != "" {
		out = appendText(append(out, `,"thread_ts":`...), b.Thread)
	}
	return append(out, '}'), nil
}

// list appends a list, each item by a function.
func list[T any](out []byte, items []T, item func([]byte, T) ([]byte, error)) ([]byte, error) {
	out = append(out, '[')
	for i, v := range items {
		if i > 0 {
			out = append(out, ',')
		}
		var err error
		if out, err = item(out, v); err != nil {
			return nil, err
		}
	}
	return append(out, ']'), nil
}

// appendAny appends what is encoded by the library.
func appendAny(out []byte, v any) ([]byte, error) {
	raw, err := json.Marshal(v)
	return append(out, raw...), err
}

func appendBlock(out []byte, b slack.Block) ([]byte, error) {
	switch b := b.(type) {
	case *slack.SectionBlock:
		if b.BlockID != "" || b.Text == nil || b.Fields != nil || b.Accessory != nil || b.Expand {
			break
		}
		out, err := appendTextObject(append(out, `{"type":"section","text":`...), b.Text)
		return append(out, '}'), err
	case *slack.ContextBlock:
		if b.BlockID != "" {
			break
		}
		out, err := list(append(out, `{"type":"context","elements":`...), b.ContextElements.Elements, func(out []byte, e slack.MixedElement) ([]byte, error) {
			if t, ok := e.(*slack.TextBlockObject); ok {
				return appendTextObject(out, t)
			}
			return appendAny(out, e)
		})
		return append(out, '}'), err
	case *slack.TableBlock:
		if b.BlockID != "" || len(b.ColumnSettings) > 0 {
			break
		}
		out, err := list(append(out, `{"type":"table","rows":`...), b.Rows, func(out []byte, row []slack.TableCell) ([]byte, error) {
			return list(out, row, func(out []byte, c slack.TableCell) ([]byte, error) {
				if t, ok := c.(*slack.TableRawTextCell); ok {
					return append(appendText(append(out, `{"type":"raw_text","text":`...), t.Text), '}'), nil
				}
				return appendAny(out, c)
			})
		})
		return append(out, '}'), err
	case *slack.ActionBlock:
		if b.BlockID != "" || b.Elements == nil {
			break
		}
		out, err := list(append(out, `{"type":"actions","elements":`...), b.Elements.ElementSet, func(out []byte, e slack.BlockElement) ([]byte, error) {
			button, ok := e.(*slack.ButtonBlockElement)
			if !ok || !simple(button) {
				return appendAny(out, e)
			}
			out, err := appendTextObject(append(out, `{"type":"button","text":`...), button.Text)
			out = appendText(append(out, `,"action_id":`...), button.ActionID)
			return append(appendText(append(out, `,"value":`...), button.Value), '}'), err
		})
		return append(out, '}'), err
	}
	return appendAny(out, b)
}

// simple reports whether a button has a label, an id and a value, and no more.
func simple(b *slack.ButtonBlockElement) bool {
	more := string(b.Style) + b.URL + b.AccessibilityLabel + b.AgentPrompt + b.AgentPromptDisplay
	return b.Text != nil && b.ActionID != "" && b.Value != "" && more == "" && b.Confirm == nil && len(b.VisibleToUserIDs) == 0
}

func appendTextObject(out []byte, t *slack.TextBlockObject) ([]byte, error) {
	plain := t.Type == slack.PlainTextType && t.Emoji != nil && !*t.Emoji && !t.Verbatim
	marked := t.Type == slack.MarkdownType && t.Emoji == nil && !t.Verbatim
	if !plain && !marked {
		return appendAny(out, t)
	}
	out = appendText(append(out, `{"type":"`+t.Type+`","text":`...), t.Text)
	if plain {
		out = append(out, `,"emoji":false`...)
	}
	return append(out, '}'), nil
}

// appendText appends a text as JSON.
func appendText(out []byte, text string) []byte {
	const digits = "0123456789abcdef"
	out = append(out, '"')
	from := 0
	for i := 0; i < len(text); {
		c := text[i]
		if c >= utf8.RuneSelf {
			r, n := utf8.DecodeRuneInString(text[i:])
			if r == utf8.RuneError && n == 1 {
				out = append(append(out, text[from:i]...), "\ufffd"...)
				from = i + 1
			}
			i += n
			continue
		}
		if c < ' ' || c == '"' || c == '\\' {
			out = append(out, text[from:i]...)
			switch c {
			case '"', '\\':
				out = append(out, '\\', c)
			case '\n':
				out = append(out, '\\', 'n')
			default:
				out = append(out, '\\', 'u', '0', '0', digits[c>>4], digits[c&15])
			}
			from = i + 1
		}
		i++
	}
	return append(append(out, text[from:]...), '"')
}
