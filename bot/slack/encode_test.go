package slack

import (
	"encoding/json"
	"testing"

	"github.com/slack-go/slack"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// TestEncoded holds that blocks are encoded as the library does it, also those
// that answers are not made of. TestLimits holds it for random answers.
func TestEncoded(t *testing.T) {
	text := "\"\\/ <b> & \n\t\x00\x1f \u2028 ø 輪 🚲 \xff\xf0\x9f"
	plain, emoji := plainText(text), slack.NewTextBlockObject(slack.PlainTextType, text, true, false)
	marked, literal := slack.NewTextBlockObject(slack.MarkdownType, text, false, false), slack.NewTextBlockObject(slack.MarkdownType, text, false, true)
	button := func(change func(*slack.ButtonBlockElement)) *slack.ButtonBlockElement {
		b := slack.NewButtonBlockElement("a", text, plain)
		change(b)
		return b
	}
	table := slack.NewTableBlock("")
	table.AddRow(slack.NewTableRawTextCell(text), slack.NewTableRawNumberCell(3))
	wrapped := slack.NewTableBlock("id").WithColumnSettings(slack.ColumnSetting{IsWrapped: true})
	wrapped.AddRow(slack.NewTableRawTextCell("x"))
	for _, b := range []slack.Block{
		slack.NewSectionBlock(plain, nil, nil), slack.NewSectionBlock(emoji, nil, nil), slack.NewSectionBlock(marked, nil, nil), slack.NewSectionBlock(literal, nil, nil),
		slack.NewSectionBlock(nil, []*slack.TextBlockObject{plain}, nil), slack.NewSectionBlock(plain, nil, slack.NewAccessory(button(func(*slack.ButtonBlockElement) {}))),
		slack.NewContextBlock("", plain, marked), slack.NewContextBlock("id", plain), slack.NewContextBlock("", slack.NewImageBlockElement("https://larkmoor.example/x.png", "x")),
		table, wrapped, slack.NewDividerBlock(),
		slack.NewActionBlock("", button(func(*slack.ButtonBlockElement) {}), button(func(b *slack.ButtonBlockElement) { b.Style = slack.StylePrimary }),
			button(func(b *slack.ButtonBlockElement) { b.Value = "" }), button(func(b *slack.ButtonBlockElement) { b.URL = "https://larkmoor.example" })),
		slack.NewActionBlock("id", button(func(*slack.ButtonBlockElement) {})),
	} {
		want, err := json.Marshal(b)
		require.NoError(t, err)
		got, err := appendBlock(nil, b)
		require.NoError(t, err)
		assert.JSONEq(t, string(want), string(got))
	}
}
