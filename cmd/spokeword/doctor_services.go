package main

import (
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"net"
	"net/http"
	"net/url"
	"slices"
	"strings"
	"time"

	"github.com/bwmarrin/discordgo"

	"spokeword/bot/discord"
	"spokeword/bot/slack"
	"spokeword/commands"
	"spokeword/config"
)

// Bounds of what doctor asks chat services.
const (
	askFor     = 10 * time.Second // how long one may take to answer
	mostAnswer = 4 << 20          // bytes of an answer

	// mostSkew is how far our clock may be from theirs. Both refuse, as we do,
	// signatures that are five minutes off; this warns before.
	// https://docs.slack.dev/authentication/verifying-requests-from-slack
	mostSkew = 2 * time.Minute

	// fewStarts is how many starts of a session must be left: when they are
	// used up, Discord takes the token away.
	// https://discord.com/developers/docs/events/gateway#session-start-limit-object
	fewStarts = 50
)

// serviceChecks checks what serve needs, if a service is on.
func (p *program) serviceChecks(ctx context.Context, s config.Settings, desk *commands.Desk) []check {
	if !s.Slack.On() && !s.Discord.On() {
		return nil
	}
	all := append([]check{p.storeCheck(ctx, s), allowances(s.Limits)}, listeners(ctx, s)...)
	if s.Slack.On() {
		all = append(all, p.slackChecks(ctx, s.Slack, slack.Scopes)...)
	}
	if s.Discord.On() && desk != nil {
		all = append(all, p.discordChecks(ctx, s.Discord, definitions(desk))...)
	}
	return all
}

// asker asks a chat service's methods as its library does, but shows the
// headers too. It follows no other address: a token goes where it was meant to.
var asker = &http.Client{Timeout: askFor, CheckRedirect: func(*http.Request, []*http.Request) error { return http.ErrUseLastResponse }}

// told is what a service answered.
type told struct {
	status int
	header http.Header
	body   []byte
}

// inquire asks a service. No error shows the token.
func inquire(ctx context.Context, method, address, authorization string) (told, error) {
	r, err := http.NewRequestWithContext(ctx, method, address, nil)
	if err != nil {
		return told{}, errors.New("found an address that can't be asked")
	}
	r.Header.Set("Authorization", authorization)
	r.Header.Set("User-Agent", "DiscordBot (spokeword, 1)") // the form that Discord wants; Slack wants none
	answer, err := asker.Do(r)
	if err != nil {
		var u *url.Error
		if errors.As(err, &u) {
			err = u.Err
		}
		return told{}, fmt.Errorf("could not ask %s: %w", r.URL.Host, err)
	}
	defer answer.Body.Close()
	body, err := io.ReadAll(io.LimitReader(answer.Body, mostAnswer))
	if err != nil {
		return told{}, fmt.Errorf("%s answered half: %w", r.URL.Host, err)
	}
	return told{answer.StatusCode, answer.Header, body}, nil
}

// skew checks our clock against the time a service puts on its answers.
func (p *program) skew(of string, t told) check {
	c := check{name: of + " clock", ok: "ours agrees"}
	theirs, err := http.ParseTime(t.header.Get("Date"))
	if err != nil {
		c.err = errors.New("found no time on the answer")
		return c
	}
	if d := p.now().Sub(theirs).Abs(); d > mostSkew {
		c.err = fmt.Errorf("ours is %s off: want %s at most; at 5m every signed request is refused", d.Round(time.Second), mostSkew)
	}
	return c
}

// slackChecks asks Slack who we are there and what we may do. Needed are the
// scopes that the manifest asks for.
func (p *program) slackChecks(ctx context.Context, s config.Slack, needed []string) []check {
	token := check{name: "slack token"}
	test, err := inquire(ctx, http.MethodPost, s.API+"auth.test", "Bearer "+s.BotToken.Reveal())
	var who struct {
		OK    bool   `json:"ok"`
		Error string `json:"error"`
		Team  string `json:"team"`
		User  string `json:"user"`
		BotID string `json:"bot_id"`
	}
	switch {
	case err != nil:
		token.err = err
		return []check{token} // the rest would say the same
	case json.Unmarshal(test.body, &who) != nil:
		token.err = fmt.Errorf("auth.test answered with status %d and no object", test.status)
	case !who.OK:
		token.err = fmt.Errorf("auth.test says %s: want slack.bot_token as the app's page shows it now", word(who.Error))
	case who.BotID == "":
		token.err = errors.New("found a person's token: want the bot's, from the app's page")
	default:
		token.ok = fmt.Sprintf("is of the bot %q in %q", who.User, who.Team)
	}
	all := []check{token}
	if token.err == nil {
		scopes := check{name: "slack scopes", ok: fmt.Sprintf("all %d there", len(needed))}
		have := strings.FieldsFunc(test.header.Get("X-OAuth-Scopes"), func(r rune) bool { return r == ',' || r == ' ' })
		var lacking []string
		for _, n := range needed {
			if !slices.Contains(have, n) {
				lacking = append(lacking, n)
			}
		}
		if len(lacking) > 0 {
			scopes.err = fmt.Errorf("lacking %s: want them added on the app's page, and the app installed again", strings.Join(lacking, ", "))
		}
		all = append(all, scopes)
	}
	if s.Transport == config.Socket {
		all = append(all, slackLink(ctx, s))
	}
	return append(all, p.skew("slack", test))
}

// slackLink checks that the app's token opens a link. It opens none.
func slackLink(ctx context.Context, s config.Slack) check {
	c := check{name: "slack link", ok: "the app's token opens one"}
	open, err := inquire(ctx, http.MethodPost, s.API+"apps.connections.open", "Bearer "+s.AppToken.Reveal())
	var answer struct {
		OK    bool   `json:"ok"`
		Error string `json:"error"`
		URL   string `json:"url"`
	}
	switch {
	case err != nil:
		c.err = err
	case json.Unmarshal(open.body, &answer) != nil:
		c.err = fmt.Errorf("apps.connections.open answered with status %d and no object", open.status)
	case !answer.OK:
		c.err = fmt.Errorf("apps.connections.open says %s: want slack.app_token with the scope connections:write, and Socket Mode on", word(answer.Error))
	case answer.URL == "":
		c.err = errors.New("apps.connections.open answered without an address")
	}
	return c
}

// word is a word of a service's that is shown, cut to what can be one.
func word(said string) string {
	for _, r := range said {
		if r != '_' && (r < 'a' || r > 'z') {
			return "something that is no word"
		}
	}
	if said == "" {
		return "nothing"
	}
	return said[:min(len(said), 64)]
}

// command is what doctor compares of a registered command: what is always
// there, as the service adds to the rest and leaves out of it.
type command struct {
	Name        string    `json:"name"`
	Description string    `json:"description"`
	Options     []command `json:"options"`
}

// definitions are our commands as they are to be registered.
func definitions(desk *commands.Desk) []command {
	var same func(list []*discordgo.ApplicationCommandOption) []command
	same = func(list []*discordgo.ApplicationCommandOption) []command {
		var all []command
		for _, o := range list {
			all = append(all, command{o.Name, o.Description, same(o.Options)})
		}
		return all
	}
	var all []command
	list, _ := discord.Definitions(desk.Commands()) // what is left to free text, serve tells
	for _, c := range list {
		all = append(all, command{c.Name, c.Description, same(c.Options)})
	}
	return all
}

// discordChecks asks Discord who we are there and what we may do. Wanted are
// our commands.
func (p *program) discordChecks(ctx context.Context, d config.Discord, wanted []command) []check {
	api := d.API + "api/v10/"
	authorization := "Bot " + d.Token.Reveal()
	token := check{name: "discord token"}
	me, err := inquire(ctx, http.MethodGet, api+"applications/@me", authorization)
	var app struct {
		ID   string `json:"id"`
		Name string `json:"name"`
		Key  string `json:"verify_key"`
	}
	switch {
	case err != nil:
		token.err = err
		return []check{token}
	case me.status == http.StatusUnauthorized:
		token.err = errors.New("is refused: want discord.token as the application's page Bot shows it after a reset")
	case me.status != http.StatusOK:
		token.err = fmt.Errorf("asking for the application was answered with status %d", me.status)
	case json.Unmarshal(me.body, &app) != nil || app.ID == "":
		token.err = errors.New("asking for the application was answered without one")
	case d.ApplicationID != "" && d.ApplicationID != app.ID:
		token.err = fmt.Errorf("is of application %s: want discord.application_id %s to be the same", app.ID, d.ApplicationID)
	default:
		token.ok = fmt.Sprintf("is of the application %q", app.Name)
	}
	all := []check{token}
	if token.err == nil {
		if d.PublicKey != "" {
			key := check{name: "discord key", ok: "is the application's"}
			if !strings.EqualFold(d.PublicKey, app.Key) {
				key.err = errors.New("discord.public_key is another's: want it from the application's page General Information")
			}
			all = append(all, key)
		}
		all = append(all, discordCommands(ctx, api, authorization, app.ID, d.Guild, wanted))
		if d.Transport == config.Gateway {
			all = append(all, discordLink(ctx, api, authorization))
		}
	}
	return append(all, p.skew("discord", me))
}

// discordCommands checks that our commands are registered, and no others.
func discordCommands(ctx context.Context, api, authorization, app, guild string, wanted []command) check {
	c := check{name: "discord commands", ok: fmt.Sprintf("all %d registered, and as they are now", len(wanted))}
	at := api + "applications/" + app + "/commands"
	if guild != "" {
		at = api + "applications/" + app + "/guilds/" + guild + "/commands"
	}
	list, err := inquire(ctx, http.MethodGet, at, authorization)
	var found []command
	switch {
	case err != nil:
		c.err = err
		return c
	case list.status != http.StatusOK:
		c.err = fmt.Errorf("asking for them was answered with status %d: want the application added to the server, with applications.commands", list.status)
		return c
	case json.Unmarshal(list.body, &found) != nil:
		c.err = errors.New("asking for them was answered without a list")
		return c
	}
	var lacking, old, strange []string
	have := make(map[string]command)
	for _, f := range found {
		have[f.Name] = f
	}
	for _, w := range wanted {
		f, ok := have[w.Name]
		switch {
		case !ok:
			lacking = append(lacking, w.Name)
		case !f.same(w):
			old = append(old, w.Name)
		}
		delete(have, w.Name)
	}
	for _, f := range found {
		if _, left := have[f.Name]; left {
			strange = append(strange, f.Name)
		}
	}
	switch {
	case len(lacking) > 0:
		c.err = fmt.Errorf("lacking %s: want them registered by: spokeword register", strings.Join(lacking, ", "))
	case len(old) > 0:
		c.err = fmt.Errorf("%s as of another version: want them registered by: spokeword register --force", strings.Join(old, ", "))
	case len(strange) > 0:
		c.err = fmt.Errorf("found %s, which this program does not know: want them gone by: spokeword register --force", strings.Join(strange, ", "))
	}
	return c
}

// same reports whether two commands are.
func (c command) same(d command) bool {
	return c.Name == d.Name && c.Description == d.Description && slices.EqualFunc(c.Options, d.Options, command.same)
}

// discordLink checks that sessions may be started.
func discordLink(ctx context.Context, api, authorization string) check {
	c := check{name: "discord link"}
	gateway, err := inquire(ctx, http.MethodGet, api+"gateway/bot", authorization)
	var answer struct {
		Limit *struct {
			Remaining int `json:"remaining"`
			Total     int `json:"total"`
		} `json:"session_start_limit"`
	}
	switch {
	case err != nil:
		c.err = err
	case gateway.status != http.StatusOK || json.Unmarshal(gateway.body, &answer) != nil || answer.Limit == nil:
		c.err = fmt.Errorf("asking for the gateway was answered with status %d", gateway.status)
	case answer.Limit.Remaining < fewStarts:
		c.err = fmt.Errorf("%d of %d starts of a session are left today: want %d, as at none the token is taken away; what starts so often?", answer.Limit.Remaining, answer.Limit.Total, fewStarts)
	default:
		c.ok = fmt.Sprintf("%d of %d starts of a session left today", answer.Limit.Remaining, answer.Limit.Total)
	}
	return c
}

// listeners checks that what serve listens at is free.
func listeners(ctx context.Context, s config.Settings) []check {
	var all []check
	try := func(name, address string) {
		c := check{name: name, ok: address + " is free"}
		l, err := new(net.ListenConfig).Listen(ctx, "tcp", address)
		if err != nil {
			c.err = fmt.Errorf("can't listen at %s: %w; if the bot is running, it is that", address, unwrapped(err))
		} else {
			l.Close()
		}
		all = append(all, c)
	}
	if called(s) {
		try("http listener", s.HTTP.Listen)
	}
	if s.Metrics.On() {
		try("metrics listener", s.Metrics.Listen)
	}
	return all
}

// unwrapped returns what is wrong, without the address that is said already.
func unwrapped(err error) error {
	var op *net.OpError
	if errors.As(err, &op) {
		return op.Err
	}
	return err
}

// allowances checks that the limits make sense together.
func allowances(l config.Limits) check {
	c := check{name: "limits", ok: fmt.Sprintf("%s messages a minute of one person, %s of one workspace", number(l.Person), number(l.Workspace))}
	if l.Workspace > 0 && (l.Person == 0 || l.Person > l.Workspace) {
		c.err = fmt.Errorf("limits.person is more than limits.workspace: found %d and %d (0: any number): want it no more, or one person can keep all others waiting", l.Person, l.Workspace)
	}
	return c
}

func number(most int) string {
	if most == 0 {
		return "any number of"
	}
	return fmt.Sprint(most)
}
