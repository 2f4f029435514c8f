// Package discord brings answers to Discord: a slash command for each command
// of the desk, one for free text, buttons and forms.
//
// The rules of what it writes:
//   - The order is that of every front end: what answers and the cautions stand
//     in the message itself, so that people who hide cards see them; the table,
//     what was read and assumed, and the notes stand in the card below.
//   - An answer is for the asker alone. A button shows its public form to the
//     channel.
//   - A caution is never cut. What does not fit one message goes on in the next.
//   - What people typed works nowhere as markup, and no message pings anybody.
//
// Interactions arrive over a link that the bot opens (the gateway), or as
// signed requests to an address of ours. Both ways lead to the same handling.
// No message content is read, so no intent is asked for.
package discord

import (
	"cmp"
	"context"
	"crypto/ed25519"
	"encoding/hex"
	"encoding/json"
	"errors"
	"fmt"
	"log/slog"
	"net/http"
	"net/url"
	"strings"
	"sync"
	"time"

	"github.com/bwmarrin/discordgo"

	"spokeword/bot"
)

// platform is how figures and the log speak of this service.
const platform = "discord"

// Transport is the way interactions arrive.
type Transport string

// The ways interactions arrive. An application has one or the other.
// https://discord.com/developers/docs/interactions/receiving-and-responding#receiving-an-interaction
const (
	Gateway Transport = "gateway" // over a link that the bot opens: no public address is needed
	HTTP    Transport = "http"    // as signed requests to an address of ours
)

// Registered remembers which commands were registered last.
type Registered interface {
	// Registered returns what was set under a name, "" if nothing was.
	Registered(ctx context.Context, name string) (hash string, err error)
	SetRegistered(ctx context.Context, name, hash string) error
}

// Options are what an Adapter needs. Token, Handler and Incident must be there,
// and for HTTP the PublicKey; the rest has a usual value.
type Options struct {
	Token         string    // the bot's, without "Bot "
	PublicKey     string    // of the application, hexadecimal; proves that a request is the service's
	ApplicationID string    // the service is asked if empty
	Guild         string    // register the commands there alone, for tries; everywhere if empty
	Transport     Transport // Gateway if empty
	APIURL        string    // where the service is; empty for the real one
	Client        *http.Client

	Handler    *bot.Handler
	Registered Registered // nil: the commands are registered at each start
	Metrics    *bot.Metrics
	Log        *slog.Logger
	Incident   func(error) string
	Now        func() time.Time

	// LeastPause and MostPause bound the pause before a link is opened again,
	// OpenTimeout how long the service may take until it is ready.
	LeastPause, MostPause, OpenTimeout time.Duration
}

// Adapter is the bot in Discord. It is a bot.Adapter, and an http.Handler for
// the requests of the service.
type Adapter struct {
	o       Options
	key     ed25519.PublicKey
	client  *http.Client
	rest    *discordgo.Session // for calls; it is never opened
	replays *bot.Recent
	small   chan struct{} // taken by what is answered without the desk
	link    link

	mu  sync.Mutex
	app string // the application's id, once it is known
}

var _ bot.Adapter = (*Adapter)(nil)

const (
	// mostReplays is how many signatures of requests are remembered: those of
	// five minutes at fifty a second. A request that comes again later is still
	// known by the interaction's id.
	mostReplays = 1 << 14
	// mostSmall is how many small things are answered at once.
	mostSmall = 64
	// callTime is how long one call to the service may take.
	callTime = 10 * time.Second
)

// New returns an Adapter, or says which setting is missing.
func New(o Options) (*Adapter, error) {
	o.Transport = cmp.Or(o.Transport, Gateway)
	o.LeastPause, o.MostPause = cmp.Or(o.LeastPause, time.Second), cmp.Or(o.MostPause, 10*time.Minute)
	o.OpenTimeout = cmp.Or(o.OpenTimeout, 20*time.Second)
	if o.Now == nil {
		o.Now = time.Now
	}
	if o.Log == nil {
		o.Log = slog.New(slog.DiscardHandler)
	}
	key, err := hex.DecodeString(o.PublicKey)
	switch {
	case o.Handler == nil || o.Incident == nil:
		return nil, errors.New("discord: found no handler or no incident log: want both")
	case o.Token == "" || strings.ContainsAny(o.Token, " \r\n"):
		return nil, errors.New("discord: found no bot token: want it as the application's page shows it, without Bot before it")
	case o.Transport != Gateway && o.Transport != HTTP:
		return nil, fmt.Errorf("discord: transport %q: want gateway or http", o.Transport)
	case o.Transport == HTTP && o.PublicKey == "":
		return nil, errors.New("discord: found no public key: want the application's, to tell the service's requests from others")
	case o.PublicKey != "" && (err != nil || len(key) != ed25519.PublicKeySize): // another length would panic later
		return nil, fmt.Errorf("discord: public key of %d characters: want 64 hexadecimal digits", len(o.PublicKey))
	}
	if o.Metrics == nil {
		o.Metrics = o.Handler.Metrics
	}
	a := &Adapter{o: o, key: key, app: o.ApplicationID, replays: bot.NewRecent(mostReplays), small: make(chan struct{}, mostSmall)}
	a.link.since = o.Now()
	if a.client, err = a.guarded(); err != nil {
		return nil, err
	}
	if a.rest, err = a.session(); err != nil {
		return nil, err
	}
	listen(o.Log)
	return a, nil
}

// session returns a session of the library. Everything about it is set here:
// later writes race with the library's own goroutines.
func (a *Adapter) session() (*discordgo.Session, error) {
	s, err := discordgo.New("Bot " + a.o.Token)
	if err != nil {
		return nil, fmt.Errorf("discord: %w", err)
	}
	s.Client = a.client
	s.Identify.Intents = discordgo.IntentsNone // interactions need none
	s.StateEnabled = false                     // nothing here needs the cache
	s.SyncEvents = true                        // no goroutine for each event: ours never wait
	s.Compress, s.Identify.Compress = false, false
	s.LogLevel = discordgo.LogError // further levels write tokens and what people typed
	// The library's own ways to go on never end, or sleep without a context.
	s.ShouldReconnectOnError, s.ShouldReconnectVoiceOnSessionError = false, false
	s.ShouldRetryOnRateLimit, s.MaxRestRetries = false, 1
	return s, nil
}

// Name names the service.
func (a *Adapter) Name() string { return platform }

// Run registers the commands if they changed, and serves until the context
// ends or the service refuses the bot for good.
func (a *Adapter) Run(ctx context.Context) error {
	ctx, stop := context.WithCancelCause(ctx)
	defer stop(nil)
	var registering sync.WaitGroup
	registering.Go(func() {
		if err := a.registering(ctx); err != nil {
			stop(err)
		}
	})
	defer registering.Wait()
	var err error
	if a.o.Transport == HTTP {
		a.link.opened()
		<-ctx.Done()
	} else {
		err = a.gateway(ctx)
	}
	if refused := (*FatalError)(nil); err == nil && errors.As(context.Cause(ctx), &refused) {
		err = refused
	}
	if err != nil {
		a.link.refused(err)
	}
	stop(nil)
	return err
}

// registering registers the commands, trying again with growing pauses.
func (a *Adapter) registering(ctx context.Context) error {
	back := backoff{least: a.o.LeastPause, most: a.o.MostPause}
	for told := false; ; {
		changed, err := a.Register(ctx, false)
		if err == nil {
			if changed {
				a.o.Log.Info("commands registered", "platform", platform)
			}
			return nil
		}
		if ctx.Err() != nil {
			return nil
		}
		if fatal := (*FatalError)(nil); errors.As(err, &fatal) {
			return err
		}
		if !told { // once: the link tells the rest
			a.o.Incident(fmt.Errorf("register the commands: %w", err))
			told = true
		}
		if pause(ctx, back.next()) != nil {
			return nil
		}
	}
}

// Ready returns nil while interactions can arrive, or could less than a minute
// ago.
func (a *Adapter) Ready() error { return a.link.ready(a.o.Now()) }

// FatalError tells that the service refuses the bot, and that trying again is
// of no use.
type FatalError struct {
	Code int    // of the service: a close code, or an HTTP status
	Why  string // what to do about it
}

// Error tells the code and what to do about it.
func (e *FatalError) Error() string {
	return fmt.Sprintf("discord: the service refuses the bot (%d): %s", e.Code, e.Why)
}

// application returns the application's id.
func (a *Adapter) application(ctx context.Context) (string, error) {
	a.mu.Lock()
	defer a.mu.Unlock()
	if a.app != "" {
		return a.app, nil
	}
	body, err := a.rest.RequestWithBucketID(http.MethodGet, discordgo.EndpointOAuth2Application("@me"), nil, discordgo.EndpointOAuth2Application(""), discordgo.WithContext(ctx))
	if err != nil {
		return "", fmt.Errorf("ask for the application's id: %w", explained(err))
	}
	var about struct {
		ID string `json:"id"`
	}
	if err := json.Unmarshal(body, &about); err != nil || about.ID == "" {
		return "", errors.New("discord: found no id in what the service said of the application: want one")
	}
	a.app = about.ID
	return a.app, nil
}

// api returns where the service is, nil for the real one.
func (a *Adapter) api() (*url.URL, error) {
	if a.o.APIURL == "" {
		return nil, nil
	}
	u, err := url.Parse(a.o.APIURL)
	if err != nil || u.Host == "" || u.Scheme != "https" && u.Scheme != "http" {
		return nil, errors.New("discord: found an address of the service that can't be read: want one such as https://discord.com/")
	}
	return u, nil
}
