package main

import (
	"context"
	"errors"
	"io"
	"log/slog"
	"net/http"
	"net/http/httptest"
	"strings"
	"sync"
	"sync/atomic"
	"testing"
	"testing/synctest"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"spokeword/bot"
	"spokeword/commands"
	"spokeword/commands/reply"
	"spokeword/commands/spec"
)

// played is an adapter whose link goes up and down as the test wants.
type played struct {
	name   string
	down   atomic.Pointer[error] // why the link is down
	refuse chan error
	closed atomic.Bool
}

func newPlayed(name string) *played { return &played{name: name, refuse: make(chan error, 1)} }

func (p *played) Name() string { return p.name }

func (p *played) Run(ctx context.Context) error {
	defer p.closed.Store(true)
	select {
	case <-ctx.Done():
		return nil
	case err := <-p.refuse:
		return err
	}
}

func (p *played) Ready() error {
	if err := p.down.Load(); err != nil {
		return *err
	}
	return nil
}

func (p *played) lose(err error) { p.down.Store(&err) }
func (p *played) mend()          { p.down.Store(nil) }

// kept is a store that notes what happens to it.
type kept struct {
	err    atomic.Pointer[error]
	closed atomic.Bool
}

func (k *kept) Ping(context.Context) error {
	if err := k.err.Load(); err != nil {
		return *err
	}
	return nil
}

func (k *kept) Close() error {
	k.closed.Store(true)
	return nil
}

// slow is a desk that answers when it is let.
type slow struct {
	bot.Desk
	asked, answer chan struct{}
}

func (s *slow) Ask(context.Context, commands.Asker, string) []reply.Reply {
	close(s.asked)
	<-s.answer
	return []reply.Reply{{Lead: []string{"late"}}}
}

func (s *slow) Offer(commands.Asker, string)                  {}
func (s *slow) Offered(commands.Asker, string) (string, bool) { return "", false }
func (s *slow) Commands() *spec.Commands                      { return nil }

// heard is an exchange that notes what was said.
type heard struct {
	mu   sync.Mutex
	said []string
}

func (h *heard) note(what string, a bot.Answer) error {
	h.mu.Lock()
	defer h.mu.Unlock()
	for _, r := range a.Replies {
		what += " " + strings.Join(r.Lead, " ") + r.Error
	}
	h.said = append(h.said, what)
	return nil
}

func (h *heard) Answer(_ context.Context, a bot.Answer) error { return h.note("answer:", a) }
func (h *heard) Defer(context.Context) error                  { return h.note("deferred", bot.Answer{}) }
func (h *heard) Late(_ context.Context, a bot.Answer) error   { return h.note("late:", a) }

// playing is a service in a bubble of its own time, and what came of it.
type playing struct {
	*service
	a, b  *played
	kept  *kept
	desk  *slow
	log   strings.Builder
	stop  context.CancelFunc
	ended chan error
	pages http.Handler
}

func play() *playing {
	p := &playing{a: newPlayed("slack"), b: newPlayed("discord"), kept: &kept{}, desk: &slow{asked: make(chan struct{}), answer: make(chan struct{})}, ended: make(chan error, 1)}
	metrics := bot.NewMetrics()
	log := slog.New(slog.NewTextHandler(&p.log, &slog.HandlerOptions{ReplaceAttr: bot.RedactAttr}))
	p.service = &service{
		adapters: []bot.Adapter{p.a, p.b}, metrics: metrics, store: p.kept, log: log, now: time.Now, drain: 10 * time.Second,
		handler: bot.NewHandler(bot.Options{Desk: p.desk, Metrics: metrics, Incident: func(err error) string { return incident(log, err) }}),
	}
	p.pages = p.service.pages("v0")
	ctx, stop := context.WithCancel(context.Background())
	p.stop = stop
	go func() { p.ended <- p.run(ctx) }()
	synctest.Wait()
	return p
}

// get returns status and text of a page.
func (p *playing) get(path string) (int, string) {
	w := httptest.NewRecorder()
	p.pages.ServeHTTP(w, httptest.NewRequest(http.MethodGet, path, nil))
	return w.Code, w.Body.String()
}

// pass lets time go by.
func pass(d time.Duration) {
	<-time.After(d)
	synctest.Wait()
}

func TestReady(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		p := play()
		code, text := p.get("/readyz")
		assert.Equal(t, 200, code)
		assert.Equal(t, "ok    store: reachable, tables current\nok    slack: link up\nok    discord: link up\n", text)

		bad := errors.New("gone to https://wss-primary.slack.com/link/?ticket=hush")
		p.kept.err.Store(&bad)
		code, text = p.get("/readyz")
		assert.Equal(t, 503, code)
		assert.Contains(t, text, "FAIL  store: gone to https://wss-primary.slack.com/redacted\n")
		p.kept.err.Store(nil)

		pass(watchEvery)
		p.a.lose(bad)
		pass(watchEvery)
		code, text = p.get("/readyz")
		assert.Equal(t, 503, code)
		assert.Contains(t, text, "FAIL  slack: gone to")
		assert.Contains(t, text, "ok    discord")
		_, text = p.get("/metrics")
		assert.Contains(t, text, `spokeword_link_up{platform="slack"} 0`)
		assert.Contains(t, text, `spokeword_link_up{platform="discord"} 1`)
		assert.Contains(t, text, `spokeword_build_info{version="v0"} 1`)
		p.a.mend()
		code, _ = p.get("/readyz")
		assert.Equal(t, 200, code)
		pass(watchEvery)
		assert.Contains(t, p.log.String(), "link down")
		assert.Contains(t, p.log.String(), "link up")
		assert.NotContains(t, p.log.String(), "hush")
		p.stop()
		require.NoError(t, <-p.ended)
	})
}

// The first link must be there before anything is ready.
func TestNotReadyBeforeTheFirstLink(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		p := play()
		p.b.lose(errors.New("connecting"))
		code, text := p.get("/readyz")
		assert.Equal(t, 503, code)
		assert.Contains(t, text, "FAIL  discord: connecting")
		p.stop()
		require.NoError(t, <-p.ended)
	})
}

func TestAlive(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		p := play()
		pass(time.Hour)
		code, text := p.get("/healthz")
		assert.Equal(t, 200, code)
		assert.Equal(t, "ok    watch: looks at the links\n", text)
		p.stop()
		require.NoError(t, <-p.ended)
		pass(staleAfter + time.Second) // nobody looks any more, as if it hung
		code, text = p.get("/healthz")
		assert.Equal(t, 503, code)
		assert.Contains(t, text, "FAIL  watch: last looked at the links 2m")
	})
}

// A link that is down for ten minutes ends the service, a shorter time does not.
func TestGivenUp(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		p := play()
		pass(watchEvery)
		p.a.lose(errors.New("no route"))
		pass(linkGivenUp)
		p.a.mend()
		pass(watchEvery)
		p.a.lose(errors.New("no route"))
		pass(linkGivenUp)
		select {
		case err := <-p.ended:
			t.Fatalf("ended early: %v", err)
		default:
		}
		pass(2 * watchEvery)
		require.EqualError(t, <-p.ended, "slack: no link for 10m0s, so that a fresh start may help: no route")
		assert.True(t, p.kept.closed.Load())
		assert.True(t, p.b.closed.Load())
	})
}

func TestRefused(t *testing.T) {
	for _, c := range []struct {
		err  error
		want string
	}{{errors.New("token refused"), "slack: token refused"}, {errors.New("slack: token refused"), "slack: token refused"}, {nil, "slack: ended by itself"}} {
		synctest.Test(t, func(t *testing.T) {
			p := play()
			p.a.refuse <- c.err
			require.EqualError(t, <-p.ended, c.want)
			assert.True(t, p.kept.closed.Load())
			assert.True(t, p.b.closed.Load())
		})
	}
}

// TestDrain holds the order of the end: readiness turns red, what is in work is
// answered over links that are still open, then links and store close.
func TestDrain(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		p := play()
		first, second := &heard{}, &heard{}
		go p.handler.Handle(context.Background(), bot.Message{Platform: "slack", Line: "x"}, first)
		<-p.desk.asked
		p.stop()
		synctest.Wait()
		code, text := p.get("/readyz")
		assert.Equal(t, 503, code)
		assert.Contains(t, text, "FAIL  service: is ending")
		assert.False(t, p.a.closed.Load(), "the answer goes over it")
		p.handler.Handle(context.Background(), bot.Message{Platform: "slack", Line: "y"}, second)
		assert.Equal(t, []string{"answer: the bot is being restarted: try again in a minute"}, second.said)
		close(p.desk.answer)
		require.NoError(t, <-p.ended)
		assert.Equal(t, []string{"answer: late"}, first.said)
		assert.True(t, p.a.closed.Load())
		assert.True(t, p.kept.closed.Load())
		assert.NotContains(t, p.log.String(), "ended with")
	})
}

// Whoever does not finish is not waited for beyond what was set.
func TestDrainIsBounded(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		p := play()
		go p.handler.Handle(context.Background(), bot.Message{Platform: "slack", Line: "x"}, &heard{})
		<-p.desk.asked
		began := time.Now()
		p.stop()
		require.NoError(t, <-p.ended)
		assert.Equal(t, p.drain, time.Since(began))
		assert.Contains(t, p.log.String(), "ended with answers open")
		close(p.desk.answer)
	})
}

// TestServerLimits holds that nobody can keep a listener busy: a header beyond
// measure is refused, and every wait has an end.
func TestServerLimits(t *testing.T) {
	s := &service{log: slog.New(slog.DiscardHandler)}
	server := httptest.NewUnstartedServer(nil)
	server.Config = s.server(http.HandlerFunc(func(w http.ResponseWriter, _ *http.Request) { io.WriteString(w, "in") }))
	server.Start()
	defer server.Close()
	for _, c := range []struct{ bytes, want int }{{1 << 10, 200}, {64 << 10, http.StatusRequestHeaderFieldsTooLarge}} {
		r, err := http.NewRequest(http.MethodGet, server.URL, nil)
		require.NoError(t, err)
		r.Header.Set("X-Long", strings.Repeat("x", c.bytes))
		got, err := server.Client().Do(r)
		require.NoError(t, err)
		got.Body.Close()
		assert.Equal(t, c.want, got.StatusCode)
	}
	for _, d := range []time.Duration{server.Config.ReadHeaderTimeout, server.Config.ReadTimeout, server.Config.WriteTimeout, server.Config.IdleTimeout} {
		assert.NotZero(t, d)
	}
}
