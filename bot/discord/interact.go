package discord

import (
	"cmp"
	"strings"

	"github.com/bwmarrin/discordgo"

	"spokeword/bot"
	"spokeword/commands"
	"spokeword/commands/spec"
)

// Limits of forms, in characters.
// https://discord.com/developers/docs/interactions/receiving-and-responding#interaction-response-object-modal
const (
	mostFormTitle = 45
	mostFieldName = 45
	mostFieldHint = 100
)

// fieldID is the id of a form's only field.
const fieldID = "answer"

// reaction is what an interaction calls for; one of the fields is set, none
// for what nobody waits for.
type reaction struct {
	message  *bot.Message // a line for the desk
	answer   *bot.Answer  // an answer that needs no desk
	response any          // anything else, as it is sent
}

// react reads an interaction. It takes nothing for granted: the library hands
// on what it could not read, with its data missing.
func (a *Adapter) react(i *discordgo.Interaction) reaction {
	if i == nil {
		return reaction{}
	}
	if i.Type == discordgo.InteractionPing {
		return reaction{response: &discordgo.InteractionResponse{Type: discordgo.InteractionResponsePong}}
	}
	asker, ok := askerOf(i)
	if !ok || i.ID == "" || i.Token == "" {
		return reaction{}
	}
	switch d := i.Data.(type) {
	case discordgo.ApplicationCommandInteractionData:
		if i.Type == discordgo.InteractionApplicationCommandAutocomplete {
			return reaction{response: response{discordgo.InteractionApplicationCommandAutocompleteResult, completed{a.suggested(d)}}}
		}
		if line, ok := a.lineOf(d); ok {
			return a.asked(i, asker, line, false)
		}
		return told(bot.Mistaken("that command is not known here any more: the list in your client is an old one", "help"))
	case discordgo.MessageComponentInteractionData:
		p, ok := readID(d.CustomID)
		if !ok {
			return told(bot.Forgotten())
		}
		return a.pressed(i, asker, p, "")
	case discordgo.ModalSubmitInteractionData:
		p, ok := readID(d.CustomID)
		text, filled := fieldOf(d)
		if !ok || !filled || p.verb != fill {
			return unreadable()
		}
		return a.pressed(i, asker, p, text)
	}
	return unreadable()
}

// completed is the answer to a person who is filling in a field. The library's
// own type leaves an empty list out, and the service then refuses it.
type completed struct {
	Choices []*discordgo.ApplicationCommandOptionChoice `json:"choices"`
}

func told(a bot.Answer) reaction { return reaction{answer: &a} }

// unreadable is the reaction to a kind of thing that came into the world after
// the library.
func unreadable() reaction {
	return told(bot.Mistaken("this way of asking is too new for the bot, so what you sent could not be read: ask with /"+askName, ""))
}

// asked hands a line to the desk.
func (a *Adapter) asked(i *discordgo.Interaction, asker commands.Asker, line string, share bool) reaction {
	return reaction{message: &bot.Message{Platform: platform, IDs: []string{identity(i)}, Asker: asker, Line: line, Share: share}}
}

// identity is the interaction's identity over all services.
func identity(i *discordgo.Interaction) string { return platform + ":" + i.ID }

// askerOf returns who asks and where. In a guild the person comes as a member,
// elsewhere as a user.
func askerOf(i *discordgo.Interaction) (commands.Asker, bool) {
	user := i.User
	if i.Member != nil && i.Member.User != nil {
		user = i.Member.User
	}
	if user == nil || user.ID == "" {
		return commands.Asker{}, false
	}
	workspace := platform + ":" + i.GuildID
	if i.GuildID == "" {
		workspace = platform + ":user:" + user.ID
	}
	return commands.Asker{Workspace: workspace, Channel: i.ChannelID, User: user.ID}, true
}

// lineOf writes a command with its filled fields as a line.
func (a *Adapter) lineOf(d discordgo.ApplicationCommandInteractionData) (string, bool) {
	if cmp.Or(d.CommandType, discordgo.ChatApplicationCommand) != discordgo.ChatApplicationCommand {
		return "", false
	}
	var fields []spec.Field
	for _, o := range d.Options {
		if o == nil {
			continue
		}
		if text, ok := o.Value.(string); ok {
			fields = append(fields, spec.Field{Option: o.Name, Text: text})
		}
	}
	if d.Name == askName {
		for _, f := range fields {
			if f.Option == askText {
				return f.Text, true
			}
		}
		return "", false
	}
	c, ok := a.o.Handler.Desk.Commands().Command(d.Name)
	if !ok {
		return "", false
	}
	for _, f := range fields {
		if _, ok := c.Option(f.Option); !ok {
			return "", false // of an older registration: dropping it would answer another question
		}
	}
	return spec.Filled(d.Name, fields...), true
}

// pressed does what a button or a sent form stands for.
func (a *Adapter) pressed(i *discordgo.Interaction, asker commands.Asker, p press, text string) reaction {
	line := p.line
	if p.key != "" {
		var ok bool
		if line, ok = a.o.Handler.Desk.Offered(asker, p.key); !ok {
			return told(bot.Forgotten())
		}
	}
	switch p.verb {
	case ask:
		return a.asked(i, asker, line, false)
	case share:
		return a.asked(i, asker, line, true)
	case fill:
		return a.asked(i, asker, spec.Refilled(line, p.option, text), false)
	case other:
		return reaction{response: a.form(p.option, line)}
	}
	return told(bot.Forgotten())
}

// form asks for a value of an option. A text input stands in a row: the
// library does not know what has come since.
func (a *Adapter) form(option, line string) *discordgo.InteractionResponse {
	input := discordgo.TextInput{CustomID: fieldID, Label: clipped(option, mostFieldName), Style: discordgo.TextInputShort, Required: true, MaxLength: mostTyped}
	name, _, _ := strings.Cut(line, " ")
	if c, ok := a.o.Handler.Desk.Commands().Command(name); ok {
		if o, ok := c.Option(option); ok {
			about := o.About()
			input.Label = clipped(about.Help, mostFieldName)
			input.Placeholder = clipped(about.Example, mostFieldHint)
		}
	}
	return &discordgo.InteractionResponse{Type: discordgo.InteractionResponseModal, Data: &discordgo.InteractionResponseData{
		CustomID: idOf(fill, option, line), Title: clipped("Your answer: "+option, mostFormTitle),
		Components: []discordgo.MessageComponent{discordgo.ActionsRow{Components: []discordgo.MessageComponent{input}}}}}
}

// fieldOf returns what was typed into a form's field.
func fieldOf(d discordgo.ModalSubmitInteractionData) (string, bool) {
	for _, c := range d.Components {
		row, ok := c.(*discordgo.ActionsRow)
		if !ok || row == nil {
			continue
		}
		for _, c := range row.Components {
			if input, ok := c.(*discordgo.TextInput); ok && input != nil && input.CustomID == fieldID {
				return input.Value, true
			}
		}
	}
	return "", false
}
