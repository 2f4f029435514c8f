package discord_test

import (
	"bytes"
	"context"
	"crypto/ed25519"
	"encoding/hex"
	"log/slog"
	"net/http/httptest"
	"sync"
	"sync/atomic"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"spokeword/bot"
	"spokeword/bot/discord"
	"spokeword/bot/discordfake"
	"spokeword/commands"
	"spokeword/commands/talk"
)

// soon is how long a test waits for what should come at once: it only ends a
// test that fails.
const soon = 20 * time.Second

// text is a log that tests read.
type text struct {
	mu sync.Mutex
	b  bytes.Buffer
}

func (t *text) Write(p []byte) (int, error) {
	t.mu.Lock()
	defer t.mu.Unlock()
	return t.b.Write(p)
}

func (t *text) String() string {
	t.mu.Lock()
	defer t.mu.Unlock()
	return t.b.String()
}

// bench is a bot beside a fake service.
type bench struct {
	t       testing.TB
	fake    *discordfake.Server
	desk    bot.Desk
	handler *bot.Handler
	adapter *discord.Adapter
	log     *text
	ended   chan error // of Run
	url     string     // of the interactions, with HTTP
	key     ed25519.PrivateKey
	ahead   atomic.Int64 // of the bot's clock, in nanoseconds
}

// with changes the options of a bench.
type with struct {
	fake    discordfake.Options
	handler func(*bot.Options)
	adapter func(*discord.Options)
	asks    func(bot.Desk) bot.Desk
	still   bool // Run is for the test to call
}

type asker = commands.Asker

// newDesk returns a desk as the program has it.
func newDesk(t testing.TB, incident func(error) string) *commands.Desk {
	desk, err := commands.NewDesk(commands.Deps{Now: time.Now, Talk: talk.NewMemory(time.Now), Log: incident})
	require.NoError(t, err)
	return desk
}

func newBench(t testing.TB, transport discord.Transport, w with) *bench {
	t.Helper()
	b := &bench{t: t, log: &text{}, ended: make(chan error, 1)}
	log := slog.New(slog.NewTextHandler(b.log, &slog.HandlerOptions{ReplaceAttr: bot.RedactAttr}))
	incident := func(err error) string {
		log.Error("incident", "error", err)
		return "4711"
	}
	var err error
	_, b.key, err = ed25519.GenerateKey(nil)
	require.NoError(t, err)
	w.fake.Key = b.key
	b.fake, err = discordfake.New(w.fake)
	require.NoError(t, err)
	t.Cleanup(func() { b.fake.Close() })
	desk := newDesk(t, incident)
	b.desk = desk
	if w.asks != nil {
		b.desk = w.asks(desk)
	}
	ho := bot.Options{Desk: b.desk, Incident: incident, Log: log}
	if w.handler != nil {
		w.handler(&ho)
	}
	b.handler = bot.NewHandler(ho)
	o := discord.Options{Token: b.fake.Token(), PublicKey: hex.EncodeToString(b.fake.PublicKey()), ApplicationID: b.fake.ApplicationID(), Transport: transport,
		APIURL: b.fake.URL() + "/", Handler: b.handler, Log: log, Incident: incident,
		Now:        func() time.Time { return time.Now().Add(time.Duration(b.ahead.Load())) },
		LeastPause: time.Millisecond, MostPause: 20 * time.Millisecond, OpenTimeout: 2 * time.Second}
	if w.adapter != nil {
		w.adapter(&o)
	}
	b.adapter, err = discord.New(o)
	require.NoError(t, err)
	server := httptest.NewServer(b.adapter)
	t.Cleanup(server.Close)
	if transport == discord.HTTP {
		b.url = server.URL
	}
	if w.still {
		return b
	}
	ctx, stop := context.WithCancel(context.Background())
	done := make(chan struct{})
	go func() {
		defer close(done)
		b.ended <- b.adapter.Run(ctx)
	}()
	t.Cleanup(func() {
		stop()
		<-done
	})
	if transport == discord.Gateway && w.fake.Identifies == 0 {
		b.online()
	}
	return b
}

func (b *bench) ctx() context.Context {
	ctx, stop := context.WithTimeout(context.Background(), soon)
	b.t.Cleanup(stop)
	return ctx
}

// online waits until the bot has a session.
func (b *bench) online() { require.NoError(b.t, b.fake.Online(b.ctx()), b.log) }

// send sends an interaction and returns the message that comes of it.
func (b *bench) send(in discordfake.Interaction) discordfake.Message {
	b.t.Helper()
	m, err := b.fake.Answer(b.ctx(), b.url, in)
	require.NoError(b.t, err, b.log)
	return m
}

// push sends an interaction and returns the first answer.
func (b *bench) push(in discordfake.Interaction) discordfake.Callback {
	b.t.Helper()
	var cb discordfake.Callback
	var err error
	if b.url == "" {
		cb, err = b.fake.Push(b.ctx(), in)
	} else {
		cb, err = b.fake.Deliver(b.ctx(), b.url, in)
	}
	require.NoError(b.t, err, b.log)
	return cb
}

// good ends a test with what must be true of every one.
func (b *bench) good() {
	b.t.Helper()
	assert.Empty(b.t, b.fake.Violations())
	assert.NotContains(b.t, b.log.String(), b.fake.Token())
}

func asking(o discordfake.Origin, line string) discordfake.Interaction {
	return discordfake.Slash(o, "ask", discordfake.TextOption("text", line))
}

var transports = []discord.Transport{discord.Gateway, discord.HTTP}

// over runs a test over both transports.
func over(t *testing.T, do func(t *testing.T, transport discord.Transport)) {
	for _, transport := range transports {
		t.Run(string(transport), func(t *testing.T) { do(t, transport) })
	}
}

func TestAnswers(t *testing.T) {
	over(t, func(t *testing.T, transport discord.Transport) {
		b := newBench(t, transport, with{})
		m := b.send(asking(discordfake.InGuild("7"), "pressure 80kg 29x2.4 i30 trail"))
		assert.True(t, m.Ephemeral())
		said := discordfake.Text(m)
		assert.Contains(t, said, "Front 23 psi (1.58 bar), rear 25 psi (1.73 bar).")
		assert.Contains(t, said, "Caution: Never go above the lower of the marks")
		assert.Contains(t, said, "Front  23.0  1.58  21.0–25.0")
		assert.Contains(t, said, "Read: rider 80 kg, tyre 29x2.4, rim 30 mm, riding trail")
		same := b.send(discordfake.Slash(discordfake.InGuild("8"), "pressure", discordfake.TextOption("rider", "80kg"), discordfake.TextOption("tyre", "29x2.4"),
			discordfake.TextOption("rim", "30"), discordfake.TextOption("riding", "trail")))
		assert.Equal(t, said, discordfake.Text(same), "a form says the same as a line")
		b.good()
	})
}
