package tryout

import (
	"context"
	"strings"

	"spokeword/bot/slackfake"
)

// saySlack sends what was typed as a command, by naming the bot in a channel,
// or to the bot alone.
func (p *Page) saySlack(ctx context.Context, s saying) error {
	var in slackfake.Inbound
	said := s.Text
	switch s.How {
	case "mention":
		in, said = p.slack.Mention(slackfake.Wren, slackfake.General, s.Text, ""), "@"+slackfake.BotName+" "+s.Text
	case "direct":
		in = p.slack.DirectMessage(slackfake.Wren, s.Text, "", nil)
	default:
		in, said = p.slack.Command(slackfake.Wren, slackfake.General, p.command, s.Text), p.command+" "+s.Text
	}
	p.add(&entry{Service: slackName, You: true, Private: s.How != "mention", Parts: []part{{Kind: "text", Text: said}}})
	_, err := p.slack.Push(ctx, in)
	return err
}

// fromSlack shows what the bot says there.
func (p *Page) fromSlack(ctx context.Context) error {
	for {
		r, err := p.slack.Next(ctx, slackfake.Of(slackfake.Posted, slackfake.Whispered, slackfake.Viewed))
		if err != nil {
			return err
		}
		switch {
		case r.Kind != slackfake.Viewed:
			p.add(p.slackMessage(r.Message))
		case r.View.Type == "modal":
			p.add(p.slackForm(r.View))
		}
	}
}

func (p *Page) slackMessage(m slackfake.Message) *entry {
	e := &entry{Service: slackName, Private: m.Ephemeral() || strings.HasPrefix(m.Channel, "D"), Parts: slackParts(m)}
	buttons := slackfake.Buttons(m.Blocks)
	for _, b := range buttons {
		e.Buttons = append(e.Buttons, b.Text)
	}
	e.press = func(ctx context.Context, i int) error {
		in, err := p.slack.Press(m, slackfake.Act{User: slackfake.Wren, Control: buttons[i]})
		if err == nil {
			_, err = p.slack.Push(ctx, in)
		}
		return err
	}
	return e
}

// slackParts shows the blocks of a message, or its text if there are none.
func slackParts(m slackfake.Message) []part {
	if len(m.Blocks) == 0 {
		return fenced("text", plain(m.Text))
	}
	var parts []part
	for _, b := range m.Blocks {
		block, _ := b.(map[string]any)
		text := slackfake.TextOf([]any{b})
		switch block["type"] {
		case "actions":
		case "table":
			t := part{Kind: "table"}
			for row := range strings.Lines(text) {
				t.Rows = append(t.Rows, strings.Split(strings.TrimSuffix(row, "\n"), " | "))
			}
			parts = append(parts, t)
		case "context":
			parts = append(parts, part{Kind: "small", Text: text})
		default:
			parts = append(parts, fenced("text", plain(text))...)
		}
	}
	return parts
}

// plain shows the characters that are escaped in markup.
func plain(text string) string { return unescaper.Replace(text) }

var unescaper = strings.NewReplacer("&lt;", "<", "&gt;", ">", "&amp;", "&")

func (p *Page) slackForm(v slackfake.View) *entry {
	f := &form{Title: v.Title}
	for _, c := range slackfake.Controls(v.Blocks) {
		f.Inputs = append(f.Inputs, input{ID: c.Action, Label: c.Text})
	}
	return &entry{Service: slackName, Private: true, Form: f, submit: func(ctx context.Context, values map[string]string) error {
		in, err := p.slack.Submit(v, values)
		if err == nil {
			_, err = p.slack.Push(ctx, in)
		}
		return err
	}}
}
