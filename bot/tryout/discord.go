package tryout

import (
	"context"
	"maps"
	"net/http"
	"slices"
	"strings"

	"spokeword/bot/discordfake"
)

// rider is who sits at the page.
var rider = discordfake.InGuild("100").In("en-GB")

// sayDiscord sends a command with its options.
func (p *Page) sayDiscord(ctx context.Context, command string, options map[string]string) error {
	_, err := p.discord.Push(ctx, discordfake.Slash(rider, command, filled(options, "")...))
	return err
}

// filled lists the options that are not empty; the focused one stands even so.
func filled(options map[string]string, focused string) []discordfake.Option {
	var all []discordfake.Option
	for _, name := range slices.Sorted(maps.Keys(options)) {
		o := discordfake.TextOption(name, options[name])
		switch {
		case name == focused:
			all = append(all, discordfake.Focus(o))
		case options[name] != "":
			all = append(all, o)
		}
	}
	return all
}

type filling struct {
	Command string            `json:"command"`
	Options map[string]string `json:"options"`
	Focused string            `json:"focused"`
}

// fill sends a command with its options filled in.
func (p *Page) fill(w http.ResponseWriter, r *http.Request) {
	f, ok := decoded[filling](w, r)
	if !ok {
		return
	}
	said := "/" + f.Command
	for _, name := range slices.Sorted(maps.Keys(f.Options)) {
		if f.Options[name] != "" {
			said += " " + name + ": " + f.Options[name]
		}
	}
	p.add(&entry{Service: discordName, You: true, Private: true, Parts: []part{{Kind: "text", Text: said}}})
	p.done(w, discordName, p.sayDiscord(r.Context(), f.Command, f.Options))
}

type suggestion struct {
	Label string `json:"label"`
	Value string `json:"value"`
}

// typing asks what an option that is being typed will be read as.
func (p *Page) typing(w http.ResponseWriter, r *http.Request) {
	f, ok := decoded[filling](w, r)
	if !ok {
		return
	}
	all := []suggestion{}
	got, err := p.discord.Push(r.Context(), discordfake.Typing(rider, f.Command, filled(f.Options, f.Focused)...))
	if err == nil {
		for _, c := range got.Choices {
			all = append(all, suggestion{c.Name, c.Text()})
		}
	}
	answer(w, all)
}

type command struct {
	Name    string   `json:"name"`
	Help    string   `json:"help"`
	Options []option `json:"options"`
}

type option struct {
	Name    string   `json:"name"`
	Help    string   `json:"help"`
	Choices []string `json:"choices,omitempty"`
	Typed   bool     `json:"typed"` // suggestions come while it is typed
}

// commands lists the commands that the bot has registered.
func (p *Page) commands(w http.ResponseWriter, _ *http.Request) {
	all := []command{}
	for _, c := range p.discord.Commands() {
		own := command{Name: c.Name, Help: c.Description, Options: []option{}}
		for _, o := range c.Options {
			x := option{Name: o.Name, Help: o.Description, Typed: o.Autocomplete}
			for _, choice := range o.Choices {
				x.Choices = append(x.Choices, choice.Text())
			}
			own.Options = append(own.Options, x)
		}
		all = append(all, own)
	}
	answer(w, all)
}

// fromDiscord shows what the bot says there.
func (p *Page) fromDiscord(ctx context.Context) error {
	for {
		r, err := p.discord.Next(ctx, discordfake.Of(discordfake.KindCallback, discordfake.KindFollowUp, discordfake.KindEdit), discordfake.Succeeded)
		if err != nil {
			return err
		}
		switch {
		case r.Callback != nil && r.Callback.Modal != nil:
			p.add(p.discordForm(*r.Callback.Modal))
		case r.Message != nil && discordfake.Text(*r.Message) != "":
			p.add(p.discordMessage(*r.Message))
		}
	}
}

func (p *Page) discordMessage(m discordfake.Message) *entry {
	e := &entry{Service: discordName, Private: m.Ephemeral()}
	if m.Content != "" {
		e.Parts = append(e.Parts, fenced("text", unmarked(m.Content))...)
	}
	for _, embed := range m.Embeds {
		card := m
		card.Content, card.Embeds, card.Components = "", []discordfake.Embed{embed}, nil
		footer := embed.Footer
		card.Embeds[0].Footer = nil
		e.Parts = append(e.Parts, fenced("text", unmarked(discordfake.Text(card)))...)
		if footer != nil {
			e.Parts = append(e.Parts, part{Kind: "small", Text: footer.Text})
		}
	}
	buttons := discordfake.Buttons(m)
	for _, b := range buttons {
		e.Buttons = append(e.Buttons, b.Label)
	}
	e.press = func(ctx context.Context, i int) error {
		_, err := p.discord.Push(ctx, discordfake.Press(rider, m, buttons[i].CustomID))
		return err
	}
	return e
}

// unmarked shows escaped characters and bold ones as they are read.
func unmarked(text string) string {
	text = strings.ReplaceAll(text, "**", "")
	var b strings.Builder
	for i := 0; i < len(text); i++ {
		if text[i] == '\\' && i+1 < len(text) && strings.IndexByte("\\*_~`|>#-[]()<@:.+!", text[i+1]) >= 0 {
			i++
		}
		b.WriteByte(text[i])
	}
	return b.String()
}

func (p *Page) discordForm(m discordfake.Modal) *entry {
	f := &form{Title: m.Title}
	inputs := discordfake.Inputs(m)
	for _, c := range inputs {
		f.Inputs = append(f.Inputs, input{ID: c.CustomID, Label: c.Label, Hint: c.Placeholder})
	}
	return &entry{Service: discordName, Private: true, Form: f, submit: func(ctx context.Context, values map[string]string) error {
		var fields []discordfake.Field
		for _, c := range inputs {
			fields = append(fields, discordfake.Field{CustomID: c.CustomID, Value: values[c.CustomID]})
		}
		_, err := p.discord.Push(ctx, discordfake.Submit(rider, nil, m.CustomID, fields...))
		return err
	}}
}
