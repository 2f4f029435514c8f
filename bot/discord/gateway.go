package discord

import (
	"context"
	"crypto/tls"
	"errors"
	"fmt"
	"math/rand/v2"
	"net"
	"net/http"
	"net/url"
	"slices"
	"strings"
	"sync"
	"time"

	"github.com/bwmarrin/discordgo"
	"github.com/gorilla/websocket"

	"spokeword/bot"
)

const (
	// grace is how long a link may be down before we are not ready.
	grace = time.Minute
	// stable is how long a link must have lived for the pauses to begin anew.
	stable = time.Minute
	// leastStarts is how many starts of a session a day we keep in reserve.
	// When they are used up the service resets the token.
	// https://discord.com/developers/docs/events/gateway#rate-limiting-identify
	leastStarts = 50
	// closing is how long closing a link may take.
	closing = 3 * time.Second
)

// authenticationFailed is the close code of a refused token.
const authenticationFailed = 4004

// fatal are the close codes after which trying again is of no use.
// https://discord.com/developers/docs/topics/opcodes-and-status-codes#gateway-gateway-close-event-codes
var fatal = map[int]string{
	authenticationFailed: "the token is refused: set discord.token to the one on the application's page Bot",
	4010:                 "the shard is invalid: the bot uses none, report this",
	4011:                 "the bot is in too many servers for one link: use discord.transport http",
	4012:                 "the version of the gateway is refused: a newer bot is needed",
	4013:                 "the intents are invalid: the bot asks for none, report this",
	4014:                 "the intents are not allowed: the bot asks for none, report this",
}

// ended are the close codes after which a session can't be resumed.
var ended = []int{websocket.CloseNormalClosure, websocket.CloseGoingAway, 4003, 4005, 4007, 4009}

// link is how the way in is.
type link struct {
	mu    sync.Mutex
	up    bool
	times int       // opened
	since time.Time // it is up or down
	why   error     // it is down
	fatal error
}

// opened notes that interactions can arrive. It reports whether they could
// before.
func (l *link) opened() (again bool) {
	l.mu.Lock()
	defer l.mu.Unlock()
	l.up = true
	l.times++
	return l.times > 1
}

func (l *link) closed(now time.Time, why error) {
	l.mu.Lock()
	defer l.mu.Unlock()
	if l.up {
		l.up, l.since = false, now
	}
	l.why = why
}

func (l *link) refused(err error) {
	l.mu.Lock()
	defer l.mu.Unlock()
	l.fatal = err
}

func (l *link) ready(now time.Time) error {
	l.mu.Lock()
	defer l.mu.Unlock()
	switch {
	case l.fatal != nil:
		return l.fatal
	case l.up || l.times > 0 && now.Sub(l.since) <= grace:
		return nil
	case l.why != nil:
		return fmt.Errorf("link down: %w", l.why)
	}
	return errors.New("discord: no link yet")
}

// backoff gives pauses that grow.
type backoff struct{ least, most, at time.Duration }

// next returns a pause of any length up to a bound that doubles each time, so
// that many bots that lost their links together do not come back together.
func (b *backoff) next() time.Duration {
	b.at = min(max(b.at*2, b.least), b.most)
	return rand.N(b.at) + 1
}

// linked is a session of the library and the connection it uses now.
type linked struct {
	*discordgo.Session
	down chan struct{} // told each time the library has closed a connection

	mu     sync.Mutex
	line   *line
	begun  bool   // the session has begun, so it can be resumed
	resume string // where
	stop   bool   // no connection is to be opened any more
}

// gateway keeps one session up until the context ends or the service refuses it
// for good. It stands in for the library's own loop, which never ends on a
// refused token and does not pause for a link that opens and drops.
func (a *Adapter) gateway(ctx context.Context) error {
	back := backoff{least: a.o.LeastPause, most: a.o.MostPause}
	var s *linked
	defer func() {
		if s != nil {
			a.close(s)
		}
	}()
	for {
		if s == nil {
			wait, err := a.allowance(ctx)
			if err == nil {
				s, err = a.linked(ctx)
			}
			if refused := (*FatalError)(nil); errors.As(err, &refused) {
				return err
			}
			if err != nil {
				a.lost(err)
				if pause(ctx, max(wait, back.next())) != nil {
					return nil
				}
				continue
			}
		}
		began := a.o.Now()
		keep, err := a.hold(ctx, s)
		if ctx.Err() != nil {
			return nil
		}
		if refused := (*FatalError)(nil); errors.As(err, &refused) {
			return err
		}
		a.lost(err)
		if !keep {
			a.close(s)
			s = nil
		}
		if a.o.Now().Sub(began) > stable {
			back.at = 0
		}
		wait := back.next()
		if !keep {
			// After an invalid session the service wants 1 to 5 s.
			// https://discord.com/developers/docs/events/gateway#resuming
			wait = max(wait, a.o.LeastPause+rand.N(4*a.o.LeastPause))
		}
		if pause(ctx, wait) != nil {
			return nil
		}
	}
}

// lost notes that the link is down.
func (a *Adapter) lost(err error) {
	a.link.closed(a.o.Now(), err)
	a.o.Metrics.Link(platform, false)
	a.o.Log.Warn("link down", "platform", platform, "error", bot.WithoutSecrets(err))
}

// allowance asks whether a session may be started, and returns how long to
// wait if not.
func (a *Adapter) allowance(ctx context.Context) (time.Duration, error) {
	about, err := a.rest.GatewayBot(discordgo.WithContext(ctx))
	if err != nil {
		err = refusedFor(explained(err))
		if r := (*Refusal)(nil); errors.As(err, &r) {
			return r.After, err
		}
		return 0, err
	}
	starts := about.SessionStartLimit
	if starts.Total > 0 && starts.Remaining < leastStarts {
		wait := time.Duration(starts.ResetAfter) * time.Millisecond
		return wait, fmt.Errorf("discord: found %d starts of a session left for today: want %d, so none is started for %s", starts.Remaining, leastStarts, wait.Round(time.Second))
	}
	return 0, nil
}

// linked returns a new session that is not open yet.
func (a *Adapter) linked(ctx context.Context) (*linked, error) {
	s, err := a.session()
	if err != nil {
		return nil, err
	}
	l := &linked{Session: s, down: make(chan struct{}, 1)}
	wrap := func(dial func(ctx context.Context, network, address string) (net.Conn, error)) func(context.Context, string, string) (net.Conn, error) {
		return func(ctx context.Context, network, address string) (net.Conn, error) {
			c, err := dial(ctx, network, address)
			if err != nil {
				return nil, err
			}
			return l.take(newLine(c, a.o.OpenTimeout, time.Now))
		}
	}
	tcp := &net.Dialer{Timeout: a.o.OpenTimeout}
	s.Dialer = &websocket.Dialer{HandshakeTimeout: a.o.OpenTimeout, Proxy: l.elsewhere, NetDialContext: wrap(tcp.DialContext),
		NetDialTLSContext: wrap((&tls.Dialer{NetDialer: tcp, Config: a.tls()}).DialContext)}
	s.AddHandler(func(*discordgo.Session, *discordgo.Disconnect) {
		select {
		case l.down <- struct{}{}:
		default:
		}
	})
	s.AddHandler(func(_ *discordgo.Session, e *discordgo.Event) {
		if e.Type == interactionCreate { // what the library made of it lacks all if it could not read a part
			a.arrived(ctx, decoded(e.RawData))
		}
	})
	return l, nil
}

// tls returns how the service proves who it is over a link: as in calls.
func (a *Adapter) tls() *tls.Config {
	config := &tls.Config{}
	if a.o.Client != nil {
		if t, ok := a.o.Client.Transport.(*http.Transport); ok && t.TLSClientConfig != nil {
			config = t.TLSClientConfig.Clone()
		}
	}
	config.NextProtos = []string{"http/1.1"} // a web socket begins with it
	return config
}

// take makes a connection the session's.
func (l *linked) take(c *line) (net.Conn, error) {
	l.mu.Lock()
	defer l.mu.Unlock()
	if l.stop {
		_ = c.Conn.Close() // it was not used
		return nil, errors.New("discord: the link is being closed")
	}
	l.line = c
	return c, nil
}

// elsewhere leads a resumed session to the address that it was told. The
// library knows none but the first; a dialer asks for a proxy at the only place
// where the address can still be changed. No proxy is used.
func (l *linked) elsewhere(r *http.Request) (*url.URL, error) {
	l.mu.Lock()
	defer l.mu.Unlock()
	u, err := url.Parse(strings.Replace(l.resume, "ws", "http", 1))
	if l.resume == "" || err != nil || u.Scheme != r.URL.Scheme || u.Host == "" {
		return nil, nil
	}
	r.URL.Host, r.URL.Path, r.Host = u.Host, u.Path, u.Host
	if r.URL.Path == "" {
		r.URL.Path = "/"
	}
	return nil, nil
}

// current returns the connection in use, nil if there was none.
func (l *linked) current() *line {
	l.mu.Lock()
	defer l.mu.Unlock()
	return l.line
}

// hold opens the link and holds it until it is lost or the context ends. It
// reports whether the session can be resumed.
func (a *Adapter) hold(ctx context.Context, s *linked) (keep bool, err error) {
	s.mu.Lock()
	s.line = nil
	s.mu.Unlock()
	select { // of an earlier connection
	case <-s.down:
	default:
	}
	opened := make(chan error, 1)
	go func() {
		defer func() {
			if p := recover(); p != nil { // of the library
				opened <- fmt.Errorf("discord: panic while opening the link: %v", p)
			}
		}()
		opened <- s.Open()
	}()
	// Each step has its own limit; this is for what nobody thought of.
	late := time.NewTimer(2*a.o.OpenTimeout + callTime)
	defer late.Stop()
	var opening error
	select {
	case opening = <-opened:
	case <-late.C:
		return false, errors.New("discord: opening the link hangs")
	case <-ctx.Done():
		return false, nil
	}
	c := s.current()
	if opening != nil || c == nil {
		return a.judge(s, c, opening)
	}
	select {
	case <-c.ready:
	case <-s.down: // before it was ready
		return a.judge(s, c, nil)
	case <-ctx.Done():
		return false, nil
	}
	if again := a.link.opened(); again {
		a.o.Metrics.Reconnect(platform)
	}
	a.o.Metrics.Link(platform, true)
	select {
	case <-s.down:
	case <-ctx.Done():
		return false, nil
	}
	return a.judge(s, c, nil)
}

// judge finds out why a link was lost, and whether its session goes on.
func (a *Adapter) judge(s *linked, c *line, err error) (keep bool, why error) {
	if c == nil {
		if err == nil {
			err = errors.New("discord: no connection was made")
		}
		s.mu.Lock()
		defer s.mu.Unlock()
		return s.begun, explained(err)
	}
	state := c.state()
	s.mu.Lock()
	defer s.mu.Unlock()
	s.begun = s.begun || state.isReady
	if state.resumeURL != "" {
		s.resume = state.resumeURL
	}
	if text, ok := fatal[state.code]; ok {
		return false, &FatalError{Code: state.code, Why: text}
	}
	switch {
	case state.code != 0:
		err = fmt.Errorf("discord: the link was closed with %d", state.code)
	case state.why != nil:
		err = explained(state.why)
	case err == nil:
		err = errors.New("discord: the link was lost")
	default:
		err = explained(err)
	}
	return s.begun && !state.invalid && !slices.Contains(ended, state.code), err
}

// close closes a session for good.
func (a *Adapter) close(s *linked) {
	s.mu.Lock()
	s.stop = true
	c := s.line
	s.mu.Unlock()
	if c != nil {
		c.sayGoodbye()
	}
	if c != nil && !c.state().isReady {
		_ = c.end(errors.New("discord: closed")) // an Open that waits goes on
	}
	closed := make(chan struct{})
	go func() {
		defer close(closed)
		defer func() { _ = recover() }() // of the library, about a connection that is gone
		_ = s.Close()                    // tells nothing
	}()
	var over chan struct{}
	if c != nil {
		over = c.over // the service has said goodbye; the library still sleeps
	}
	t := time.NewTimer(closing)
	defer t.Stop()
	select {
	case <-closed:
	case <-over:
	case <-t.C:
	}
	if c != nil {
		_ = c.end(errors.New("discord: closed"))
	}
}

// arrived handles an interaction. It must not wait: nothing else is read
// meanwhile.
func (a *Adapter) arrived(ctx context.Context, i *discordgo.Interaction) {
	defer func() {
		if p := recover(); p != nil { // the library has none: the process would end
			a.o.Incident(fmt.Errorf("panic while reading an interaction: %v", p))
		}
	}()
	if i == nil || i.ID == "" || i.Token == "" {
		return
	}
	x := &way{a: a, i: i, respond: a.callBack(i)}
	do := a.react(i)
	switch {
	case do.message != nil:
		a.o.Handler.Go(ctx, *do.message, x)
	case do.answer != nil:
		a.shortly(ctx, "send an answer", func(ctx context.Context) error {
			if !a.o.Handler.First(ctx, platform, identity(i)) {
				return nil
			}
			return x.Answer(ctx, *do.answer)
		})
	case do.response != nil:
		a.shortly(ctx, "send an answer", func(ctx context.Context) error { return x.respond(ctx, do.response) })
	}
}

// shortly does something small in the background, unless too much of it is
// being done, or the end is near.
func (a *Adapter) shortly(ctx context.Context, what string, do func(context.Context) error) {
	select {
	case a.small <- struct{}{}:
		begun := a.o.Handler.Background(ctx, what, func(ctx context.Context) error {
			defer func() { <-a.small }()
			return do(ctx)
		})
		if !begun {
			<-a.small
		}
	default:
	}
}
