package discordfake_test

import (
	"bytes"
	"context"
	"io"
	"net/http"
	"net/http/httptest"
	"strconv"
	"testing"
	"time"

	"github.com/bwmarrin/discordgo"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"spokeword/bot/discordfake"
)

// endpoint is an interactions URL whose signatures the real client checks.
func endpoint(t testing.TB, s *discordfake.Server, answer http.HandlerFunc) string {
	h := httptest.NewServer(http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		if !discordgo.VerifyInteraction(r, s.PublicKey()) {
			http.Error(w, "bad signature", http.StatusUnauthorized)
			return
		}
		body, _ := io.ReadAll(r.Body)
		in, err := discordfake.Decode(body)
		if err != nil {
			http.Error(w, "bad body", http.StatusBadRequest)
			return
		}
		if in.Type == discordfake.InteractionPing {
			w.Header().Set("Content-Type", "application/json")
			_, _ = io.WriteString(w, `{"type":1}`)
			return
		}
		r.Body = io.NopCloser(bytes.NewReader(body))
		answer(w, r)
	}))
	t.Cleanup(h.Close)
	return h.URL
}

func says(body string) http.HandlerFunc {
	return func(w http.ResponseWriter, _ *http.Request) {
		w.Header().Set("Content-Type", "application/json")
		_, _ = io.WriteString(w, body)
	}
}

func TestProbe(t *testing.T) {
	s, ctx := start(t, discordfake.Options{})
	require.NoError(t, s.Probe(ctx, endpoint(t, s, says(``))))
	lax := httptest.NewServer(says(`{"type":1}`))
	defer lax.Close()
	assert.ErrorContains(t, s.Probe(ctx, lax.URL), "want 401")
	mute := httptest.NewServer(says(`{"type":4,"data":{"content":"x"}}`))
	defer mute.Close()
	assert.ErrorContains(t, s.Probe(ctx, mute.URL), "PING")
}

func TestDeliver(t *testing.T) {
	s, ctx := start(t, discordfake.Options{})
	slash := discordfake.Slash(discordfake.InGuild("100"), "ask")
	ok := `{"type":4,"data":{"content":"hello","allowed_mentions":{"parse":[]}}}`
	cb, err := s.Deliver(ctx, endpoint(t, s, says(ok)), slash)
	require.NoError(t, err)
	assert.Equal(t, "hello", cb.Message.Content)
	rec, err := s.Next(ctx, discordfake.Of(discordfake.KindCallback))
	require.NoError(t, err)
	assert.JSONEq(t, ok, string(rec.Body))

	for why, h := range map[string]http.HandlerFunc{
		"a body that is too long":      says(`{"type":4,"data":{"content":"` + x(2001) + `"}}`),
		"no JSON":                      says(`hello`),
		"a type that does not fit":     says(`{"type":8,"data":{"choices":[]}}`),
		"the type of the body missing": func(w http.ResponseWriter, _ *http.Request) { _, _ = io.WriteString(w, ok) },
	} {
		_, err = s.Deliver(ctx, endpoint(t, s, h), slash)
		var refusal *discordfake.Refusal
		assert.ErrorAs(t, err, &refusal, why)
	}
	_, err = s.Deliver(ctx, endpoint(t, s, func(w http.ResponseWriter, _ *http.Request) { w.WriteHeader(500) }), slash)
	assert.ErrorContains(t, err, "want 200 or 202")
	assert.Empty(t, s.Violations())
}

func TestDeliveredAndAnsweredByREST(t *testing.T) {
	s, ctx := start(t, discordfake.Options{})
	r := rest{t, s, s.Client(patience), nil}
	once := make(chan answer, 2)
	url := endpoint(t, s, func(w http.ResponseWriter, q *http.Request) {
		body, _ := io.ReadAll(q.Body)
		in, _ := discordfake.Decode(body)
		w.WriteHeader(http.StatusAccepted)
		for range 2 {
			once <- r.callback(in, 4, said("by REST"))
		}
	})
	got, err := s.Answer(ctx, url, discordfake.Slash(discordfake.InGuild("100"), "ask"))
	require.NoError(t, err)
	assert.Equal(t, "by REST", got.Content)
	assert.Equal(t, 204, (<-once).status)
	assert.Equal(t, 40060, (<-once).code())
}

func TestAnswerWaitsForADeferredUpdate(t *testing.T) {
	s, ctx := start(t, discordfake.Options{})
	r := rest{t, s, s.Client(patience), nil}
	now := noon
	in := s.Complete(discordfake.Press(discordfake.InGuild("100"), discordfake.Message{ID: "9", Content: "before", Edited: &now}, "b"))
	patched := make(chan answer, 1)
	go func() {
		_, err := s.Next(ctx, discordfake.Of(discordfake.KindCallback))
		assert.NoError(t, err)
		patched <- r.ask("PATCH", hook(in, "/messages/@original"), said("after"))
	}()
	got, err := s.Answer(ctx, endpoint(t, s, says(`{"type":6}`)), in)
	require.NoError(t, err)
	assert.Equal(t, "after", got.Content)
	assert.Equal(t, 200, (<-patched).status)
}

func TestDeliverEndsAtTheDeadline(t *testing.T) {
	clock := discordfake.NewManual(noon)
	s, ctx := start(t, discordfake.Options{Clock: clock})
	url := endpoint(t, s, func(_ http.ResponseWriter, r *http.Request) {
		clock.Advance(3*time.Second + 1)
		<-r.Context().Done()
	})
	_, err := s.Deliver(ctx, url, discordfake.Slash(discordfake.InGuild("100"), "ask"))
	require.ErrorIs(t, err, discordfake.ErrNoAnswer)
	url = endpoint(t, s, func(w http.ResponseWriter, _ *http.Request) {
		w.WriteHeader(http.StatusAccepted)
		_ = http.NewResponseController(w).Flush()
		clock.Advance(3*time.Second + 1)
	})
	_, err = s.Deliver(ctx, url, discordfake.Slash(discordfake.InGuild("100"), "ask"))
	require.ErrorIs(t, err, discordfake.ErrNoAnswer)
}

func TestBadRequests(t *testing.T) {
	s, ctx := start(t, discordfake.Options{Clock: discordfake.NewManual(noon)})
	url := endpoint(t, s, says(`{"type":5}`))
	slash := discordfake.Slash(discordfake.InGuild("100"), "ask")
	status := func(r *http.Request, err error) int {
		require.NoError(t, err)
		w, err := http.DefaultClient.Do(r)
		require.NoError(t, err)
		require.NoError(t, w.Body.Close())
		return w.StatusCode
	}
	good, err := s.Request(ctx, url, slash)
	require.Equal(t, 200, status(good, err))
	again, err := discordfake.Replay(good)
	assert.Equal(t, 200, status(again, err), "the signature is as good as before")
	assert.Equal(t, good.Header, again.Header)
	for name, do := range map[string]func(context.Context, string, discordfake.Interaction) (*http.Request, error){
		"forged": s.Forged, "truncated": s.Truncated, "short": s.ShortSignature, "unsigned": s.Unsigned,
	} {
		r, err := do(ctx, url, slash)
		assert.Equal(t, 401, status(r, err), name)
	}
	stale, err := s.Stale(ctx, url, slash)
	require.NoError(t, err)
	stamp, _ := strconv.ParseInt(stale.Header.Get("X-Signature-Timestamp"), 10, 64)
	now, _ := strconv.ParseInt(good.Header.Get("X-Signature-Timestamp"), 10, 64)
	assert.EqualValues(t, 24*60*60, now-stamp, "a day old")
	assert.Equal(t, 200, status(stale, err), "only who looks at the time sees it")
}
