package discord

import (
	"cmp"
	"context"
	"crypto/sha256"
	"encoding/hex"
	"encoding/json"
	"errors"
	"fmt"
	"net/http"
	"regexp"
	"slices"
	"strings"

	"github.com/bwmarrin/discordgo"

	"spokeword/commands/spec"
)

// Limits of commands, in characters unless said otherwise.
// https://discord.com/developers/docs/interactions/application-commands
const (
	mostDescription = 100
	mostOptions     = 25  // options of a command
	mostChoices     = 25  // choices of an option
	mostChoice      = 100 // name and value of a choice
	mostTyped       = 200 // of a field; ours, the limit is 6000
)

// askName is the command for free text, askText its option.
const askName, askText = "ask", "text"

// naming is what the names of commands and options look like.
// https://discord.com/developers/docs/interactions/application-commands#application-command-object-application-command-naming
var naming = regexp.MustCompile(`^[-_'\p{L}\p{N}]{1,32}$`)

// locales are the languages of our words as the service names them.
// https://discord.com/developers/docs/reference#locales
var locales = []struct {
	lang   spec.Lang
	locale discordgo.Locale
}{
	{spec.German, discordgo.German},
	{spec.French, discordgo.French},
	{spec.Spanish, discordgo.SpanishES},
	{spec.Italian, discordgo.Italian},
}

// Names returns the names of the commands that are registered.
func Names(set *spec.Commands) []string {
	names := []string{askName}
	for _, c := range set.All {
		names = append(names, c.Name)
	}
	return names
}

// Definitions returns the commands as they are registered: one for free text,
// and one each with its options. Options that a command has no room for are
// returned as "command option"; they can be said in free text.
func Definitions(set *spec.Commands) (all []*discordgo.ApplicationCommand, left []string) {
	contexts := []discordgo.InteractionContextType{discordgo.InteractionContextGuild, discordgo.InteractionContextBotDM, discordgo.InteractionContextPrivateChannel}
	installs := []discordgo.ApplicationIntegrationType{discordgo.ApplicationIntegrationGuildInstall, discordgo.ApplicationIntegrationUserInstall}
	add := func(c *discordgo.ApplicationCommand) {
		c.Type, c.Contexts, c.IntegrationTypes = discordgo.ChatApplicationCommand, &contexts, &installs
		all = append(all, c)
	}
	least := 2
	add(&discordgo.ApplicationCommand{Name: askName, Description: "Ask in your own words, as you would a friend at the workshop", Options: []*discordgo.ApplicationCommandOption{{
		Type: discordgo.ApplicationCommandOptionString, Name: askText, Description: clipped("What you want to know, as "+freeExample(set), mostDescription), Required: true, MinLength: &least, MaxLength: mostQuestion}}})
	names := newTaken(Names(set))
	for _, c := range set.All {
		d := &discordgo.ApplicationCommand{Name: c.Name, Description: clipped(c.Summary, mostDescription)}
		d.NameLocalizations = orNil(names.localised(c.Words))
		d.DescriptionLocalizations = orNil(described(c.Words, c.Summary))
		options := ranked(c)
		if len(options) > mostOptions {
			for _, o := range options[mostOptions:] {
				left = append(left, c.Name+" "+o.About().Name)
			}
			options = options[:mostOptions]
			d.Description = clipped(c.Summary, mostDescription-len(moreByAsk)) + moreByAsk
		}
		var own []string
		for _, o := range options {
			own = append(own, o.About().Name)
		}
		named := newTaken(own)
		for _, o := range options {
			d.Options = append(d.Options, optionOf(o, named))
		}
		add(d)
	}
	return all, left
}

const moreByAsk = "; more by /" + askName

// mostQuestion is how long a question in free text may be; longer ones are
// refused by the reader anyway.
const mostQuestion = 2000

// freeExample is a line that works.
func freeExample(set *spec.Commands) string {
	for _, c := range set.All {
		if len(c.Options) > 0 {
			return c.Examples[0]
		}
	}
	return "help"
}

// ranked returns the options of a command, those it wants first: they go
// where there is no room for all.
func ranked(c *spec.Command) []spec.Option {
	var all []spec.Option
	add := func(options []spec.Option) {
		for _, o := range options {
			if !slices.Contains(all, o) {
				all = append(all, o)
			}
		}
	}
	for _, w := range c.Wants {
		add(w.Any)
	}
	add(c.Options)
	return all
}

// optionOf declares an option. All are text: a field for numbers would refuse
// "82kg". https://discord.com/developers/docs/interactions/application-commands#application-command-object-application-command-option-type
func optionOf(o spec.Option, names *taken) *discordgo.ApplicationCommandOption {
	about := o.About()
	d := &discordgo.ApplicationCommandOption{Type: discordgo.ApplicationCommandOptionString, Name: about.Name,
		Description: clipped(about.Help+", as "+about.Example, mostDescription)}
	if units(about.Help)+len(", as ")+units(about.Example) > mostDescription {
		d.Description = clipped(about.Help, mostDescription)
	}
	d.NameLocalizations = names.localised(about.Words)
	d.DescriptionLocalizations = described(about.Words, about.Help)
	if l, ok := o.Form().(spec.Lister); ok {
		if values := l.List(); len(values) > 0 && len(values) <= mostChoices {
			for _, v := range values {
				d.Choices = append(d.Choices, choiceOf(v))
			}
			return d
		}
	}
	d.Autocomplete = true
	d.MaxLength = mostTyped
	return d
}

func choiceOf(v spec.Listed) *discordgo.ApplicationCommandOptionChoice {
	c := &discordgo.ApplicationCommandOptionChoice{Name: v.Value, Value: v.Value}
	for _, l := range locales {
		if words := in(v.Words, l.lang); len(words) > 0 {
			if c.NameLocalizations == nil {
				c.NameLocalizations = make(map[discordgo.Locale]string)
			}
			c.NameLocalizations[l.locale] = clipped(words[0]+" ("+v.Value+")", mostChoice)
		}
	}
	return c
}

// in returns the words of one language.
func in(words spec.Words, lang spec.Lang) []string {
	var all []string
	for _, w := range words {
		if w.Lang == lang {
			all = append(all, w.Text)
		}
	}
	return all
}

// taken keeps names apart: in no language two things may be called alike.
type taken struct {
	names map[discordgo.Locale]map[string]bool
}

func newTaken(names []string) *taken {
	t := &taken{make(map[discordgo.Locale]map[string]bool)}
	for _, l := range locales {
		t.names[l.locale] = make(map[string]bool)
		for _, n := range names {
			t.names[l.locale][n] = true
		}
	}
	return t
}

// localised returns for each language the first word that may be a name and
// is not taken.
func (t *taken) localised(words spec.Words) map[discordgo.Locale]string {
	var out map[discordgo.Locale]string
	for _, l := range locales {
		for _, w := range in(words, l.lang) {
			if !naming.MatchString(w) || w != strings.ToLower(w) || t.names[l.locale][w] {
				continue
			}
			if out == nil {
				out = make(map[discordgo.Locale]string)
			}
			out[l.locale] = w
			t.names[l.locale][w] = true
			break
		}
	}
	return out
}

// described returns for each language its words for the thing before what
// is said of it in English.
func described(words spec.Words, help string) map[discordgo.Locale]string {
	var out map[discordgo.Locale]string
	for _, l := range locales {
		own := in(words, l.lang)
		if len(own) == 0 {
			continue
		}
		if out == nil {
			out = make(map[discordgo.Locale]string)
		}
		out[l.locale] = clipped(strings.Join(own[:min(len(own), 3)], ", ")+": "+help, mostDescription)
	}
	return out
}

func orNil(m map[discordgo.Locale]string) *map[discordgo.Locale]string {
	if m == nil {
		return nil
	}
	return &m
}

// Register registers the commands if they are not those that were registered
// last, or in any case if forced, and reports whether it did. They are written
// over as a whole, in one place only, and never deleted: a bot that is started
// anew would else leave people without them.
func (a *Adapter) Register(ctx context.Context, force bool) (changed bool, err error) {
	all, left := Definitions(a.o.Handler.Desk.Commands())
	app, err := a.application(ctx)
	if err != nil {
		return false, refusedFor(err)
	}
	// Our own definitions are compared, not the service's: it adds to them.
	content, err := json.Marshal([]any{app, a.o.Guild, all})
	if err != nil {
		return false, fmt.Errorf("discord: encode the commands: %w", err)
	}
	sum := sha256.Sum256(content)
	hash, name := hex.EncodeToString(sum[:]), platform
	if a.o.Guild != "" {
		name = platform + ":" + a.o.Guild
	}
	if a.o.Registered != nil && !force {
		before, err := a.o.Registered.Registered(ctx, name)
		if err != nil {
			return false, fmt.Errorf("discord: look which commands are registered: %w", err)
		}
		if before == hash {
			return false, nil
		}
	}
	if len(left) > 0 {
		a.o.Log.Warn("options left to free text", "platform", platform, "options", strings.Join(left, ", "))
	}
	if _, err := a.rest.ApplicationCommandBulkOverwrite(app, a.o.Guild, all, discordgo.WithContext(ctx)); err != nil {
		return false, refusedFor(explained(err))
	}
	if a.o.Registered != nil {
		if err := a.o.Registered.SetRegistered(ctx, name, hash); err != nil {
			return true, fmt.Errorf("discord: keep which commands are registered: %w", err)
		}
	}
	return true, nil
}

// Withdraw takes the commands of the one server away again, where others are
// registered for all: else people there see every command twice.
func (a *Adapter) Withdraw(ctx context.Context) error {
	if a.o.Guild == "" {
		return errors.New("discord: found no server to take the commands from: want one")
	}
	app, err := a.application(ctx)
	if err != nil {
		return refusedFor(err)
	}
	if _, err := a.rest.ApplicationCommandBulkOverwrite(app, a.o.Guild, []*discordgo.ApplicationCommand{}, discordgo.WithContext(ctx)); err != nil {
		return refusedFor(explained(err))
	}
	if a.o.Registered != nil {
		if err := a.o.Registered.SetRegistered(ctx, platform+":"+a.o.Guild, ""); err != nil {
			return fmt.Errorf("discord: keep which commands are registered: %w", err)
		}
	}
	return nil
}

// refusedFor makes a refused token a FatalError.
func refusedFor(err error) error {
	if r := (*Refusal)(nil); errors.As(err, &r) && r.Status == http.StatusUnauthorized {
		return &FatalError{Code: r.Status, Why: fatal[authenticationFailed]}
	}
	return err
}

// suggested answers a person who is filling in a command.
func (a *Adapter) suggested(d discordgo.ApplicationCommandInteractionData) []*discordgo.ApplicationCommandOptionChoice {
	choices := []*discordgo.ApplicationCommandOptionChoice{} // an empty list, never none
	c, ok := a.o.Handler.Desk.Commands().Command(d.Name)
	if !ok {
		return choices
	}
	for _, field := range d.Options {
		if field == nil || !field.Focused {
			continue
		}
		text, _ := field.Value.(string)
		o, ok := c.Option(field.Name)
		if !ok {
			continue
		}
		for _, s := range spec.Suggest(o, text) {
			// What is filled in must be whole, so what is too long is not offered.
			if s.Text == "" || units(s.Text) > mostChoice || len(choices) == mostChoices {
				continue
			}
			choices = append(choices, &discordgo.ApplicationCommandOptionChoice{Name: clipped(cmp.Or(plain(safe(s.Label)), s.Text), mostChoice), Value: s.Text})
		}
	}
	return choices
}
