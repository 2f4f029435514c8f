package discord_test

import (
	"bytes"
	"context"
	"crypto/ed25519"
	"encoding/hex"
	"encoding/json"
	"io"
	"net/http"
	"net/http/httptest"
	"strconv"
	"strings"
	"sync/atomic"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"spokeword/bot"
	"spokeword/bot/discord"
	"spokeword/bot/discordfake"
	"spokeword/commands/reply"
)

func TestRequestsThatAreNotTheServices(t *testing.T) {
	type forge func(*bench, context.Context, string, discordfake.Interaction) (*http.Request, error)
	fake := func(do func(*discordfake.Server, context.Context, string, discordfake.Interaction) (*http.Request, error)) forge {
		return func(b *bench, ctx context.Context, url string, in discordfake.Interaction) (*http.Request, error) {
			return do(b.fake, ctx, url, in)
		}
	}
	header := func(name string, value func(string) string) forge {
		return func(b *bench, ctx context.Context, url string, in discordfake.Interaction) (*http.Request, error) {
			r, err := b.fake.Request(ctx, url, in)
			if err == nil {
				r.Header.Set(name, value(r.Header.Get(name)))
			}
			return r, err
		}
	}
	shifted := func(by time.Duration) forge {
		return func(b *bench, ctx context.Context, url string, in discordfake.Interaction) (*http.Request, error) {
			b.ahead.Store(int64(by))
			return b.fake.Request(ctx, url, in)
		}
	}
	for _, c := range []struct {
		why    string
		forge  forge
		status int
	}{
		{"signed with another key", fake((*discordfake.Server).Forged), http.StatusUnauthorized},
		{"a day old", fake((*discordfake.Server).Stale), http.StatusUnauthorized},
		{"cut after it was signed", fake((*discordfake.Server).Truncated), http.StatusUnauthorized},
		{"a signature that was cut", fake((*discordfake.Server).ShortSignature), http.StatusUnauthorized},
		{"no signature", fake((*discordfake.Server).Unsigned), http.StatusUnauthorized},
		{"a signature that is no number", header("X-Signature-Ed25519", func(s string) string { return strings.Repeat("zz", len(s)/2) }), http.StatusUnauthorized},
		{"a time that was not signed", header("X-Signature-Timestamp", func(s string) string { return "0" + s }), http.StatusUnauthorized},
		{"a time that is none", header("X-Signature-Timestamp", func(string) string { return "yesterday" }), http.StatusUnauthorized},
		{"six minutes behind our clock", shifted(6 * time.Minute), http.StatusUnauthorized},
		{"six minutes before our clock", shifted(-6 * time.Minute), http.StatusUnauthorized},
		{"four minutes behind", shifted(4 * time.Minute), http.StatusOK},
		{"too large", func(b *bench, ctx context.Context, url string, _ discordfake.Interaction) (*http.Request, error) {
			return b.signed(ctx, url, bytes.Repeat([]byte(" "), 1<<20+1))
		}, http.StatusRequestEntityTooLarge},
		{"signed, but no JSON", func(b *bench, ctx context.Context, url string, _ discordfake.Interaction) (*http.Request, error) {
			return b.signed(ctx, url, []byte("{"))
		}, http.StatusBadRequest},
		{"signed, but nothing", func(b *bench, ctx context.Context, url string, _ discordfake.Interaction) (*http.Request, error) {
			return b.signed(ctx, url, nil)
		}, http.StatusBadRequest},
		{"signed, but empty", func(b *bench, ctx context.Context, url string, _ discordfake.Interaction) (*http.Request, error) {
			return b.signed(ctx, url, []byte("null"))
		}, http.StatusBadRequest},
		{"signed, without a person", func(b *bench, ctx context.Context, url string, _ discordfake.Interaction) (*http.Request, error) {
			return b.signed(ctx, url, []byte(`{"id":"1","token":"t","type":2,"data":{"name":"ask"}}`))
		}, http.StatusBadRequest},
		{"another method", func(_ *bench, ctx context.Context, url string, _ discordfake.Interaction) (*http.Request, error) {
			return http.NewRequestWithContext(ctx, http.MethodGet, url, nil)
		}, http.StatusMethodNotAllowed},
	} {
		t.Run(c.why, func(t *testing.T) {
			var asked atomic.Int64
			b := newBench(t, discord.HTTP, with{asks: func(real bot.Desk) bot.Desk { return counted{real, &asked} }})
			r, err := c.forge(b, b.ctx(), b.url, asking(discordfake.InGuild("7"), question))
			require.NoError(t, err)
			resp, err := http.DefaultClient.Do(r)
			require.NoError(t, err)
			defer resp.Body.Close()
			assert.Equal(t, c.status, resp.StatusCode)
			if c.status != http.StatusOK {
				assert.Zero(t, asked.Load(), "nothing reached the desk")
			}
		})
	}
}

// counted counts the lines asked.
type counted struct {
	bot.Desk
	n *atomic.Int64
}

func (d counted) Ask(ctx context.Context, who asker, line string) []reply.Reply {
	d.n.Add(1)
	return d.Desk.Ask(ctx, who, line)
}

// signed makes a request with any body, signed as the service does.
func (b *bench) signed(ctx context.Context, url string, body []byte) (*http.Request, error) {
	r, err := http.NewRequestWithContext(ctx, http.MethodPost, url, bytes.NewReader(body))
	if err != nil {
		return nil, err
	}
	sign(r.Header, b.key, body)
	return r, nil
}

func sign(h http.Header, key ed25519.PrivateKey, body []byte) {
	stamp := strconv.FormatInt(time.Now().Unix(), 10)
	h.Set("X-Signature-Timestamp", stamp)
	h.Set("X-Signature-Ed25519", hex.EncodeToString(ed25519.Sign(key, append([]byte(stamp), body...))))
}

func TestProbe(t *testing.T) {
	b := newBench(t, discord.HTTP, with{})
	require.NoError(t, b.fake.Probe(b.ctx(), b.url), "PING is answered, and one with a bad signature refused")
	b.good()
}

// TestReplays holds that a request is answered once: the same one is refused by
// its signature, the same interaction signed anew by its id.
func TestReplays(t *testing.T) {
	var asked atomic.Int64
	b := newBench(t, discord.HTTP, with{asks: func(real bot.Desk) bot.Desk { return counted{real, &asked} }})
	in := b.fake.Complete(asking(discordfake.InGuild("7"), question))
	r, err := b.fake.Request(b.ctx(), b.url, in)
	require.NoError(t, err)
	do := func(r *http.Request) int {
		resp, err := http.DefaultClient.Do(r)
		require.NoError(t, err)
		defer resp.Body.Close()
		_, err = io.Copy(io.Discard, resp.Body)
		require.NoError(t, err)
		return resp.StatusCode
	}
	again, err := discordfake.Replay(r)
	require.NoError(t, err)
	assert.Equal(t, http.StatusOK, do(r))
	assert.Equal(t, http.StatusUnauthorized, do(again))
	body, err := json.Marshal(in)
	require.NoError(t, err)
	other, err := b.signed(b.ctx(), b.url, append(body, ' '))
	require.NoError(t, err)
	assert.Equal(t, http.StatusConflict, do(other))
	assert.EqualValues(t, 1, asked.Load())
}

// TestSameInteractionThreeTimesOverTheLink holds the same for the gateway.
func TestSameInteractionThreeTimesOverTheLink(t *testing.T) {
	var asked atomic.Int64
	b := newBench(t, discord.Gateway, with{asks: func(real bot.Desk) bot.Desk { return counted{real, &asked} }})
	in := b.fake.Complete(asking(discordfake.InGuild("7"), question))
	for range 3 {
		_, err := b.fake.Send(in)
		require.NoError(t, err)
	}
	r := b.next(kinds(discordfake.KindCallback), discordfake.For(in.ID))
	assert.Contains(t, discordfake.Text(*r.Message), answered)
	b.works() // whatever came before is through
	require.NoError(t, b.handler.Drain(b.ctx()))
	assert.EqualValues(t, 2, asked.Load())
	b.good()
}

// FuzzServeHTTP sends arbitrary bodies, signed well.
func FuzzServeHTTP(f *testing.F) {
	fake, err := discordfake.New(discordfake.Options{})
	require.NoError(f, err)
	f.Cleanup(func() { fake.Close() })
	var m discordfake.Message
	for _, in := range []discordfake.Interaction{
		discordfake.Ping(), asking(discordfake.InGuild("7"), question), asking(discordfake.InDM("7"), "help"), discordfake.UnknownType(discordfake.InGuild("7")),
		discordfake.Slash(discordfake.InGuild("7"), "pressure", discordfake.TextOption("rider", "80kg")), discordfake.Press(discordfake.InGuild("7"), m, "a=why"),
		discordfake.Typing(discordfake.InGuild("7"), "pressure", discordfake.Focus(discordfake.TextOption("rider", "8"))),
		discordfake.Submit(discordfake.InGuild("7"), nil, "f=tyre pressure", discordfake.Field{CustomID: "answer", Value: "29x2.4"}),
		discordfake.SubmitLabelled(discordfake.InGuild("7"), nil, "f=tyre pressure", discordfake.Field{CustomID: "answer", Value: "29x2.4"}),
	} {
		body, err := json.Marshal(fake.Complete(in))
		require.NoError(f, err)
		f.Add(body)
	}
	_, key, err := ed25519.GenerateKey(nil)
	require.NoError(f, err)
	incident := func(error) string { return "4711" }
	desk := newDesk(f, incident)
	a, err := discord.New(discord.Options{Token: "a.b.c", ApplicationID: "42", Transport: discord.HTTP, PublicKey: hex.EncodeToString(key.Public().(ed25519.PublicKey)), APIURL: fake.URL(),
		Handler: bot.NewHandler(bot.Options{Desk: desk, Incident: incident}), Incident: incident})
	require.NoError(f, err)
	f.Fuzz(func(t *testing.T, body []byte) {
		r := httptest.NewRequest(http.MethodPost, "/", bytes.NewReader(body))
		sign(r.Header, key, body)
		w := httptest.NewRecorder()
		a.ServeHTTP(w, r)
		switch w.Code {
		case http.StatusOK:
			if !json.Valid(w.Body.Bytes()) {
				t.Errorf("answer %q: want JSON", w.Body)
			}
		case http.StatusAccepted, http.StatusBadRequest, http.StatusUnauthorized, http.StatusConflict, http.StatusRequestEntityTooLarge:
		default:
			t.Errorf("status %v", w.Code)
		}
	})
}
