package discord

import (
	"slices"
	"strings"

	"github.com/bwmarrin/discordgo"

	"spokeword/bot"
	"spokeword/bot/render"
	"spokeword/commands/reply"
)

// Limits of messages, in characters unless said otherwise.
const (
	mostContent = 2000 // https://discord.com/developers/docs/resources/message#create-message-jsonform-params
	// https://discord.com/developers/docs/resources/message#embed-object-embed-limits
	mostTitle = 256
	mostCard  = 4096
	mostCards = 6000 // all cards of a message together
	manyCards = 10   // cards
	// https://discord.com/developers/docs/components/reference
	mostLabel   = 80 // of a button
	rowButtons  = 5  // buttons in a row
	mostButtons = 25 // buttons in five rows
	// columns of a code block on a telephone.
	columns = 34
)

// Colours of cards. They only repeat what the words say.
const (
	steel = 0x5b7083
	red   = 0xb3261e
)

// noMentions forbids every ping. A list that is missing would allow all.
// https://discord.com/developers/docs/resources/message#allowed-mentions-object
var noMentions = &discordgo.MessageAllowedMentions{Parse: []discordgo.AllowedMentionType{}}

// message is one message as the service shows it.
type message struct {
	content string
	cards   []*discordgo.MessageEmbed
	buttons []button
}

// button is a button. The library's own type takes three times as long to
// encode.
type button struct {
	Type  discordgo.ComponentType `json:"type"`
	Style discordgo.ButtonStyle   `json:"style"`
	Label string                  `json:"label"`
	ID    string                  `json:"custom_id"`
}

// row is a row of buttons.
type row struct {
	Type    discordgo.ComponentType `json:"type"`
	Buttons []button                `json:"components"`
}

// body is a message as it is sent, first or later. Lists are never null, and
// never left out: what a message had before would stay.
type body struct {
	Content  string                            `json:"content"`
	Cards    []*discordgo.MessageEmbed         `json:"embeds"`
	Rows     []row                             `json:"components"`
	Mentions *discordgo.MessageAllowedMentions `json:"allowed_mentions"`
	Flags    discordgo.MessageFlags            `json:"flags,omitempty"`
}

// body returns the message as it is sent.
func (m message) body(flags discordgo.MessageFlags) *body {
	b := &body{Content: m.content, Cards: m.cards, Rows: []row{}, Mentions: noMentions, Flags: flags}
	if b.Cards == nil {
		b.Cards = []*discordgo.MessageEmbed{}
	}
	for some := range slices.Chunk(m.buttons, rowButtons) {
		b.Rows = append(b.Rows, row{discordgo.ActionsRowComponent, some})
	}
	return b
}

// layout says what of an answer is shown.
type layout struct {
	fillable func(reply.Reply) bool
	// share offers to show the answer to all: there are others to see it.
	share bool
}

// messages lays an answer out. There is at least one, and none is empty.
func messages(a bot.Answer, l layout) []message {
	line, shareable := a.Shareable()
	var all []message
	for _, r := range a.Replies {
		var pressed []button
		toShare := ""
		if shareable && l.share {
			toShare = line
		}
		pressed, r = buttons(r, toShare, l.fillable(r))
		title := ""
		if len(a.Replies) > 1 {
			title = render.Safe(r.Title)
		}
		card := cardOf(r)
		if units(card) > mostCard { // seldom, and laying out takes most of the time
			r = render.Fit(r, mostCard, func(r reply.Reply) int { return units(cardOf(r)) })
			card = cardOf(r)
		}
		heads := headOf(r, title, card)
		for i, head := range heads {
			m := message{content: head}
			if i == len(heads)-1 {
				m.buttons = pressed
				if card != "" {
					embed := &discordgo.MessageEmbed{Description: card, Color: steel}
					if r.Refused {
						embed.Color = red
					}
					if title != "" {
						embed.Title = clipped(escaped(title), mostTitle)
					}
					m.cards = []*discordgo.MessageEmbed{embed}
				}
			}
			all = pack(all, m)
		}
	}
	if len(all) == 0 {
		all = []message{{content: "Nothing to say."}}
	}
	return all
}

// pack adds a message to the last one if there is room, else behind it.
func pack(all []message, m message) []message {
	if len(all) == 0 {
		return append(all, m)
	}
	last := &all[len(all)-1]
	alike := func(b button) bool {
		return slices.ContainsFunc(last.buttons, func(o button) bool { return o.ID == b.ID })
	}
	if units(last.content)+2+units(m.content) > mostContent || len(last.cards)+len(m.cards) > manyCards ||
		weight(last.cards)+weight(m.cards) > mostCards || len(last.buttons)+len(m.buttons) > mostButtons ||
		slices.ContainsFunc(m.buttons, alike) {
		return append(all, m)
	}
	last.content = strings.TrimSpace(last.content + "\n\n" + m.content)
	last.cards = append(last.cards, m.cards...)
	last.buttons = append(last.buttons, m.buttons...)
	return all
}

// weight counts the text of cards as their common limit does.
func weight(cards []*discordgo.MessageEmbed) int {
	n := 0
	for _, c := range cards {
		n += units(c.Title) + units(c.Description)
	}
	return n
}

// headOf writes what must be seen: what answers, what went wrong, the question
// back, and the cautions. It takes more than one message only if it is far
// longer than any answer of ours.
func headOf(r reply.Reply, title, card string) []string {
	lead := wide(reply.Reply{Lead: r.Lead, Error: r.Error, Example: r.Example, Ask: asked(r.Ask)})
	cautions := ""
	if len(r.Cautions) > 0 {
		cautions = wide(reply.Reply{Cautions: r.Cautions})
	}
	var parts []string
	if title != "" {
		parts = append(parts, "__"+escaped(title)+"__")
	}
	if first, rest, _ := strings.Cut(lead, "\n"); first != "" {
		text := "**" + escaped(first) + "**"
		if rest != "" {
			text += "\n" + escaped(rest)
		}
		parts = append(parts, text)
	}
	if cautions != "" {
		parts = append(parts, escaped(cautions))
	}
	head := strings.Join(parts, "\n\n")
	switch {
	case head == "" && card == "":
		return []string{"Nothing to say."}
	case units(head) <= mostContent:
		return []string{head}
	}
	var all []string
	for _, text := range []string{title, lead, cautions} {
		for _, part := range split(text, mostContent/4) { // escaping makes at most four of one
			all = append(all, escaped(part))
		}
	}
	return all
}

// asked is the question without its choices, which are buttons.
func asked(a *reply.Ask) *reply.Ask {
	if a == nil {
		return nil
	}
	return &reply.Ask{Text: a.Text}
}

// wide writes a part of a reply, each of its lines unbroken.
func wide(part reply.Reply) string {
	const unbroken = 1 << 20
	return strings.TrimSpace(render.Text([]reply.Reply{part}, render.Style{Width: unbroken}))
}

// safe returns a text that can't act, on one line.
func safe(text string) string { return strings.TrimSpace(render.Safe(text)) }

// cardOf writes what stands in the card: tables, what was read and assumed,
// notes.
func cardOf(r reply.Reply) string {
	var parts []string
	for _, t := range r.Tables {
		if text := strings.Trim(render.Text([]reply.Reply{{Tables: []reply.Table{t}}}, render.Style{Width: columns}), "\n"); text != "" {
			// The code begins on a line of its own: a first word behind the
			// fence is taken for a language.
			parts = append(parts, "```\n"+verbatim(text)+"\n```")
		}
	}
	if len(r.Drawing) > 0 {
		parts = append(parts, "```\n"+verbatim(strings.Trim(render.Text([]reply.Reply{{Drawing: r.Drawing}}, render.Style{Width: columns}), "\n"))+"\n```")
	}
	for l := range strings.SplitSeq(wide(reply.Reply{Read: r.Read, Assumed: r.Assumed, Unused: r.Unused, Notes: r.Notes}), "\n") {
		switch note, ok := strings.CutPrefix(l, "- "); {
		case ok:
			parts = append(parts, "- "+escaped(note))
		case l != "":
			parts = append(parts, escaped(l))
		}
	}
	return strings.Join(parts, "\n")
}

// buttons shows what can be done next: the choices of a question and a field
// for another answer, the actions, and the button that shows the answer to
// all. What there is no room for is said in a note.
func buttons(r reply.Reply, toShare string, fillable bool) ([]button, reply.Reply) {
	var all []button
	room := mostButtons
	if toShare != "" {
		room--
	}
	left := false
	add := func(style discordgo.ButtonStyle, label, id string) {
		label = clipped(plain(safe(label)), mostLabel)
		if label == "" || slices.ContainsFunc(all, func(b button) bool { return b.ID == id }) {
			return
		}
		if len(all) >= room {
			left = true
			return
		}
		all = append(all, button{discordgo.ButtonComponent, style, label, id})
	}
	if r.Ask != nil {
		if fillable {
			room--
		}
		for _, c := range r.Ask.Choices {
			add(discordgo.PrimaryButton, c.Label, idOf(ask, "", c.Line))
		}
		if fillable {
			room++
			add(discordgo.SecondaryButton, "other…", idOf(other, r.Ask.Option, r.Line))
		}
	}
	if r.Example != "" {
		if id := idOf(ask, "", r.Example); id[1] == '=' { // a key would be of a line that was not offered
			add(discordgo.SecondaryButton, r.Example, id)
		}
	}
	for _, c := range r.Actions {
		add(discordgo.SecondaryButton, c.Label, idOf(ask, "", c.Line))
	}
	if toShare != "" {
		room++
		add(discordgo.SuccessButton, "share in channel", idOf(share, "", toShare))
	}
	if left {
		r.Notes = append(slices.Clone(r.Notes), reply.Note{Text: "Left out to fit here: what to do next."})
	}
	return all, r
}
