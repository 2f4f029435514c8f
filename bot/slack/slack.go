// Package slack brings answers to a Slack workspace: a slash command, mentions
// in channels, direct messages, buttons, and a page of its own in the client.
//
// The rules of what it writes:
//   - The order is that of every front end: what answers, cautions, the table,
//     what was read and assumed, notes, buttons.
//   - What people typed stands only where the service reads no markup: in
//     plain text and raw cells. Where it has to stand in markup, as in the line
//     for notifications, the three characters of markup are escaped.
//   - An answer to a command or a button is for the asker alone. A button
//     shows the public form to the channel.
//   - A caution is never cut. What does not fit one message goes on in the next.
//
// Messages arrive over a link that the bot opens (Socket Mode), or as signed
// requests to an address of ours. Both ways lead to the same handling.
package slack

import (
	"cmp"
	"context"
	"errors"
	"fmt"
	"log/slog"
	"net/http"
	"net/url"
	"slices"
	"strings"
	"sync"
	"time"

	lru "github.com/hashicorp/golang-lru/v2"
	"github.com/slack-go/slack"

	"spokeword/bot"
	"spokeword/commands"
)

// platform is how figures and the log speak of this service.
const platform = "slack"

// Transport is the way messages arrive.
type Transport string

// The ways messages arrive.
const (
	Socket Transport = "socket" // over a link that the bot opens: no public address is needed
	HTTP   Transport = "http"   // as signed requests to an address of ours
)

// Options are what an Adapter needs.
type Options struct {
	BotToken      string    // xoxb-…, for calls to the service
	AppToken      string    // xapp-…, to open a link; only for Socket
	SigningSecret string    // proves that a request is the service's; only for HTTP
	Transport     Transport // Socket if empty
	Command       string    // the slash command, /spokeword if empty
	APIURL        string    // where the service is; empty for the real one
	Client        *http.Client

	Handler  *bot.Handler
	Metrics  *bot.Metrics
	Log      *slog.Logger
	Incident func(error) string
	Now      func() time.Time

	// LeastPause and MostPause bound the pause before a link is opened again.
	LeastPause, MostPause time.Duration
}

// DefaultCommand is the slash command where no other is set.
const DefaultCommand = "/spokeword"

// Adapter is the bot in Slack. It is a bot.Adapter, and an http.Handler for
// the requests of the service.
type Adapter struct {
	o       Options
	api     *slack.Client
	client  *http.Client
	replays *bot.Recent
	tables  *lru.Cache[string, bool]           // by workspace: whether it takes table blocks
	directs *lru.Cache[commands.Asker, string] // by person: the channel of their talk with the bot
	link    link
	opener  *opener
	wait    func(context.Context, time.Duration) error // pause, but in tests
}

var _ bot.Adapter = (*Adapter)(nil)

// New returns an Adapter, or says which setting is missing.
func New(o Options) (*Adapter, error) {
	o.Transport = cmp.Or(o.Transport, Socket)
	o.Command = cmp.Or(o.Command, DefaultCommand)
	o.LeastPause, o.MostPause = cmp.Or(o.LeastPause, time.Second), cmp.Or(o.MostPause, time.Minute)
	if o.Now == nil {
		o.Now = time.Now
	}
	if o.Log == nil {
		o.Log = slog.New(slog.DiscardHandler)
	}
	switch {
	case o.Handler == nil || o.Incident == nil:
		return nil, errors.New("slack: found no handler or no incident log: want both")
	case o.BotToken == "":
		return nil, errors.New("slack: found no bot token: want one")
	case o.Transport == Socket && o.AppToken == "":
		return nil, errors.New("slack: found no app token: want one to open a link")
	case o.Transport == HTTP && o.SigningSecret == "":
		return nil, errors.New("slack: found no signing secret: want one to tell the service's requests from others")
	case o.Transport != Socket && o.Transport != HTTP:
		return nil, fmt.Errorf("slack: transport %q: want socket or http", o.Transport)
	case !strings.HasPrefix(o.Command, "/"):
		return nil, fmt.Errorf("slack: command %q: want one that begins with a slash", o.Command)
	}
	if o.Metrics == nil {
		o.Metrics = o.Handler.Metrics
	}
	tables, err := lru.New[string, bool](mostWorkspaces)
	if err != nil {
		return nil, fmt.Errorf("slack: %w", err)
	}
	directs, err := lru.New[commands.Asker, string](mostPeople)
	if err != nil {
		return nil, fmt.Errorf("slack: %w", err)
	}
	a := &Adapter{o: o, replays: bot.NewRecent(mostReplays), tables: tables, directs: directs, wait: pause}
	a.client = counted(o.Client, o.Metrics)
	a.opener = &opener{a, &pacer{least: o.LeastPause, most: o.MostPause, now: o.Now}, pause}
	options := []slack.Option{slack.OptionHTTPClient(a.opener)}
	if o.AppToken != "" {
		options = append(options, slack.OptionAppLevelToken(o.AppToken))
	}
	if o.APIURL != "" {
		options = append(options, slack.OptionAPIURL(o.APIURL))
	}
	a.api = slack.New(o.BotToken, options...)
	return a, nil
}

const (
	// mostWorkspaces is of how many workspaces it is remembered whether they
	// take tables.
	mostWorkspaces = 1000
	// mostPeople is of how many people the talk with the bot is remembered.
	mostPeople = 10000
	// mostReplays is how many signatures of requests are remembered: those of fifty a
	// second for as long as one is good.
	mostReplays = 1 << 14
	// callTime is how long one call to the service may take.
	callTime = 10 * time.Second
)

// counted returns a client with a time limit that counts the answers of the
// service.
func counted(base *http.Client, m *bot.Metrics) *http.Client {
	c := http.Client{Timeout: callTime}
	if base != nil {
		c = *base
	}
	next := c.Transport
	if next == nil {
		t := http.DefaultTransport.(*http.Transport).Clone()
		t.MaxIdleConnsPerHost = 64 // else each answer pays for a new connection
		next = t
	}
	c.Transport = counting{next, m}
	return &c
}

type counting struct {
	next    http.RoundTripper
	metrics *bot.Metrics
}

// RoundTrip counts the answer.
func (c counting) RoundTrip(r *http.Request) (*http.Response, error) {
	resp, err := c.next.RoundTrip(r)
	status := 0
	if err == nil {
		status = resp.StatusCode
	}
	c.metrics.Response(platform, status)
	return resp, err
}

// Name names the service.
func (a *Adapter) Name() string { return platform }

// Run serves until the context ends, or the service refuses the bot for good.
// Who runs it drains the Handler first: what is in work is answered over the
// link.
func (a *Adapter) Run(ctx context.Context) error {
	ctx, stop := context.WithCancelCause(ctx)
	var checking sync.WaitGroup
	checking.Go(func() {
		if err := a.check(ctx); err != nil {
			stop(err)
		}
	})
	var err error
	if a.o.Transport == HTTP {
		<-ctx.Done()
	} else {
		err = a.socket(ctx, stop)
	}
	stop(nil)
	checking.Wait()
	var refused *refusedError
	if errors.As(context.Cause(ctx), &refused) {
		err = refused
	}
	if err != nil {
		a.link.refuse(err)
	}
	return err
}

// check asks the service whether it knows the bot token, which nothing else
// does until the first answer. It returns an error only if the service says no.
func (a *Adapter) check(ctx context.Context) error {
	_, err := a.api.AuthTestContext(ctx)
	if refused := refusedForGood(err, botToken); refused != nil {
		return refused
	}
	if err != nil && ctx.Err() == nil {
		a.o.Log.Warn("the bot token could not be tried", "platform", platform, "error", bot.WithoutSecrets(err))
	}
	return nil
}

// The two tokens, in the words of the settings.
const (
	botToken = "bot token"
	appToken = "app token"
)

// refusedError says that the service has no more to do with the bot until
// somebody changes its settings.
type refusedError struct{ token, code string }

// Error tells what is to be looked at.
func (e *refusedError) Error() string {
	if e.code == noScope {
		return "slack: the service refuses the bot for good: its " + e.token + " lacks the scope connections:write, so it opens no link"
	}
	return "slack: the service refuses the bot for good, so its " + e.token + " has to be looked at: " + e.code
}

const noScope = "missing_scope"

// forGood are the answers after which no call with the same token succeeds.
// https://docs.slack.dev/reference/methods/apps.connections.open#errors
var forGood = []string{"account_inactive", "invalid_auth", "not_allowed_token_type", "not_authed", "token_expired", "token_revoked"}

// refusedForGood returns a *refusedError if the service has refused a token,
// else nil. That a scope lacks is one only for the app token, which needs just
// one.
func refusedForGood(err error, token string) error {
	var said slack.SlackErrorResponse
	if errors.As(err, &said) && (slices.Contains(forGood, said.Err) || token == appToken && said.Err == noScope) {
		return &refusedError{token, said.Err}
	}
	return nil
}

// Ready returns nil while messages can arrive.
func (a *Adapter) Ready() error {
	if err := a.link.gone(); err != nil {
		return err
	}
	if a.o.Transport == HTTP {
		return nil // the service calls us; whether it can is not for us to see
	}
	return a.link.ready(a.o.Now())
}

// asker tells who asks and where.
func asker(team, channel, user string) commands.Asker {
	return commands.Asker{Workspace: platform + ":" + team, Channel: channel, User: user}
}

// link is the state of the way in.
type link struct {
	mu      sync.Mutex
	up      bool
	opened  int       // links so far
	since   time.Time // of being down; zero before the first link
	refused error     // why the service has no more to do with us
	failed  error     // why the last try to open one failed
}

// patience is how long a link may be down before messages count as lost.
const patience = time.Minute

func (l *link) set(up bool, now time.Time) (opened int) {
	l.mu.Lock()
	defer l.mu.Unlock()
	if up {
		l.failed = nil
	}
	if up && !l.up {
		l.opened++
	}
	if !up && l.up {
		l.since = now
	}
	l.up = up
	return l.opened
}

// number is that of the link that is up, 0 if none is.
func (l *link) number() int {
	l.mu.Lock()
	defer l.mu.Unlock()
	if !l.up {
		return 0
	}
	return l.opened
}

// fail notes why a link could not be opened.
func (l *link) fail(err error) {
	l.mu.Lock()
	defer l.mu.Unlock()
	l.failed = err
}

func (l *link) refuse(err error) {
	l.mu.Lock()
	defer l.mu.Unlock()
	l.refused = err
}

func (l *link) gone() error {
	l.mu.Lock()
	defer l.mu.Unlock()
	return l.refused
}

func (l *link) ready(now time.Time) error {
	l.mu.Lock()
	defer l.mu.Unlock()
	switch {
	case l.up:
		return nil
	case l.opened > 0 && now.Sub(l.since) <= patience:
		return nil
	}
	why := "slack: no link yet"
	if l.opened > 0 {
		why = fmt.Sprintf("slack: link down for more than %s", patience)
	}
	if l.failed != nil {
		return fmt.Errorf("%s: %w", why, l.failed)
	}
	return errors.New(why)
}

// ours reports whether an address to answer to is the service's own.
func (a *Adapter) ours(address string) bool {
	u, err := url.Parse(address)
	if err != nil || u.User != nil {
		return false
	}
	if a.o.APIURL != "" {
		api, err := url.Parse(a.o.APIURL)
		return err == nil && u.Host == api.Host
	}
	return u.Scheme == "https" && (u.Host == "slack.com" || strings.HasSuffix(u.Host, ".slack.com"))
}
