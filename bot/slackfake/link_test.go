package slackfake_test

import (
	"context"
	"net/http"
	"runtime"
	"strings"
	"testing"
	"time"

	"github.com/gorilla/websocket"
	"github.com/slack-go/slack"
	"github.com/slack-go/slack/socketmode"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"spokeword/bot/slackfake"
)

// wire opens a link by hand and reads its greeting.
func wire(t testing.TB, s *slackfake.Server, api *slack.Client) (*websocket.Conn, map[string]any) {
	_, url, err := api.StartSocketModeContext(t.Context())
	require.NoError(t, err)
	c, _, err := websocket.DefaultDialer.DialContext(t.Context(), url, nil)
	require.NoError(t, err)
	t.Cleanup(func() { _ = c.Close() })
	return c, frame(t, c)
}

func frame(t testing.TB, c *websocket.Conn) map[string]any {
	var m map[string]any
	require.NoError(t, c.ReadJSON(&m))
	return m
}

// push pushes in the background and returns the envelope as it arrived, and where the
// outcome will be.
func push(t testing.TB, ctx context.Context, s *slackfake.Server, c *websocket.Conn, in slackfake.Inbound) (map[string]any, <-chan error) {
	out := make(chan error, 1)
	go func() { _, err := s.Push(ctx, in); out <- err }()
	return frame(t, c), out
}

func TestTickets(t *testing.T) {
	c := newClock()
	s, api := start(t, slackfake.Options{Now: func() time.Time { return c.now }})
	_, url, err := api.StartSocketModeContext(t.Context())
	require.NoError(t, err)
	conn, _, err := websocket.DefaultDialer.DialContext(t.Context(), url, nil)
	require.NoError(t, err)
	defer conn.Close()
	_, res, err := websocket.DefaultDialer.DialContext(t.Context(), url, nil)
	require.Error(t, err, "a ticket opens one link")
	assert.Equal(t, http.StatusForbidden, res.StatusCode)
	assert.Len(t, s.Violations(), 1)
}

func TestTooManyLinks(t *testing.T) {
	s, api := start(t, slackfake.Options{})
	for i := range 10 {
		_, hello := wire(t, s, api)
		assert.Equal(t, "hello", hello["type"])
		assert.InDelta(t, i+1, hello["num_connections"], 0)
	}
	_, said := wire(t, s, api)
	assert.Equal(t, "disconnect", said["type"])
	assert.Equal(t, "too_many_websockets", said["reason"])
	assert.Len(t, s.Links(), 10)
}

func TestAcks(t *testing.T) {
	c := newClock()
	s, api := start(t, slackfake.Options{Now: func() time.Time { return c.now }})
	conn, _ := wire(t, s, api)
	ack := func(envelope map[string]any, payload any) {
		require.NoError(t, conn.WriteJSON(map[string]any{"envelope_id": envelope["envelope_id"], "payload": payload}))
	}
	why := func(err error) string {
		var u *slackfake.Unanswered
		require.ErrorAs(t, err, &u)
		return u.Why
	}

	e, done := push(t, t.Context(), s, conn, s.Command(slackfake.Wren, slackfake.General, "/spoke", "x"))
	assert.Equal(t, "slash_commands", e["type"])
	assert.Equal(t, true, e["accepts_response_payload"])
	c.now = c.now.Add(3 * time.Second)
	ack(e, map[string]any{"text": "24 psi"})
	require.NoError(t, <-done, "after 3 s it is in time")
	assert.Equal(t, "24 psi", s.Ephemerals(slackfake.Wren)[0].Text)
	assert.Empty(t, s.Violations())

	e, done = push(t, t.Context(), s, conn, s.Command(slackfake.Wren, slackfake.General, "/spoke", "x"))
	c.now = c.now.Add(3*time.Second + time.Millisecond)
	ack(e, nil)
	assert.Equal(t, "late", why(<-done))
	r, err := s.Next(t.Context(), slackfake.Of(slackfake.Failed))
	require.NoError(t, err)
	assert.Equal(t, "operation_timeout", r.Code)

	// An ack of 20479 bytes is taken, one of 20480 is dropped.
	for _, size := range []int{20479, 20480} {
		in := s.Command(slackfake.Wren, slackfake.General, "/spoke", "x")
		e, done = push(t, t.Context(), s, conn, in)
		raw := []byte(`{"envelope_id":"` + e["envelope_id"].(string) + `","payload":{"text":""}}`)
		raw = []byte(strings.Replace(string(raw), `""`, `"`+strings.Repeat("x", size-len(raw))+`"`, 1))
		require.Len(t, raw, size)
		require.NoError(t, conn.WriteMessage(websocket.TextMessage, raw))
		if err := <-done; size < 20480 {
			require.NoError(t, err)
		} else {
			assert.Equal(t, "dropped", why(err))
		}
	}

	before := len(s.Violations())
	ack(e, nil) // a second time
	require.NoError(t, conn.WriteMessage(websocket.TextMessage, []byte("{garbage")))
	// An event's ack takes no payload; it comes behind the two above, so they are noted.
	e, done = push(t, t.Context(), s, conn, s.TokensRevoked())
	ack(e, map[string]any{"text": "sorry"})
	require.NoError(t, <-done)
	assert.Len(t, s.Violations(), before+3)
}

func TestRedelivery(t *testing.T) {
	c := newClock()
	s, api := start(t, slackfake.Options{Now: func() time.Time { return c.now }})
	conn, _ := wire(t, s, api)
	in := s.Mention(slackfake.Wren, slackfake.General, "size 61-622", "")
	ctx, cancel := context.WithCancel(t.Context())
	e, done := push(t, ctx, s, conn, in)
	assert.InDelta(t, 0, e["retry_attempt"], 0)
	cancel() // the 3 s are over
	require.Error(t, <-done)
	for attempt, pause := range []time.Duration{0, time.Minute, 5 * time.Minute} {
		if pause > 0 {
			c.now = c.now.Add(pause - time.Second)
			n, err := s.Redeliver(t.Context())
			require.NoError(t, err)
			assert.Zero(t, n, "not due yet")
			c.now = c.now.Add(time.Second)
		}
		require.Len(t, s.Pending(), 1)
		ctx, cancel := context.WithCancel(t.Context())
		failed := make(chan error, 1)
		go func() { _, err := s.Redeliver(ctx); failed <- err }()
		e = frame(t, conn)
		assert.InDelta(t, attempt+1, e["retry_attempt"], 0)
		assert.Equal(t, "timeout", e["retry_reason"])
		assert.Equal(t, in.EventID, e["payload"].(map[string]any)["event_id"])
		cancel()
		require.Error(t, <-failed)
	}
	assert.Empty(t, s.Pending(), "three times and no more")

	// Interactions are never sent again.
	ctx, cancel = context.WithCancel(t.Context())
	_, done = push(t, ctx, s, conn, s.InteractionOf(slackfake.Wren, "shortcut", nil))
	cancel()
	require.Error(t, <-done)
	assert.Empty(t, s.Pending())
}

func TestLostLink(t *testing.T) {
	s, api := start(t, slackfake.Options{})
	_, err := s.Push(t.Context(), s.AppUninstalled())
	require.ErrorContains(t, err, "no link")
	require.Error(t, s.Drop(0))
	conn, _ := wire(t, s, api)
	_, done := push(t, t.Context(), s, conn, s.TokensRevoked())
	require.NoError(t, s.Drop(0))
	require.ErrorContains(t, <-done, "link lost")
	require.Len(t, s.Pending(), 2)
	_, err = s.Next(t.Context(), slackfake.Of(slackfake.Unlinked))
	require.NoError(t, err)

	conn, _ = wire(t, s, api)
	require.NoError(t, s.Disconnect(2, "warning"))
	assert.Equal(t, "warning", frame(t, conn)["reason"])
	require.NoError(t, s.Raw(0, []byte(`{"type":"poem"}`)))
	assert.Equal(t, "poem", frame(t, conn)["type"])
	assert.Equal(t, []int{2}, s.Links())
}

// TestClientComesBack holds that a real client takes the fake for the service: it
// opens a new link when told to, and when the old one is cut.
func TestClientComesBack(t *testing.T) {
	s, api := start(t, slackfake.Options{})
	listen(t, s, api, ackAll)
	require.NoError(t, s.Disconnect(0, "refresh_requested"))
	require.NoError(t, s.WaitLink(t.Context(), 2))
	require.NoError(t, s.Drop(2))
	require.NoError(t, s.WaitLink(t.Context(), 3))
	_, err := s.Push(t.Context(), s.Mention(slackfake.Wren, slackfake.General, "hello", ""))
	require.NoError(t, err)
	assert.Equal(t, 3, s.Calls("apps.connections.open"))
}

// TestPings holds that a client is not left in doubt about the link. It waits for two
// pings, not for a time.
func TestPings(t *testing.T) {
	s, api := start(t, slackfake.Options{PingEvery: time.Millisecond})
	_, url, err := api.StartSocketModeContext(t.Context())
	require.NoError(t, err)
	conn, _, err := websocket.DefaultDialer.DialContext(t.Context(), url, nil)
	require.NoError(t, err)
	defer conn.Close()
	pings := 0
	conn.SetPingHandler(func(string) error {
		if pings++; pings == 2 {
			return s.Raw(0, []byte(`{"type":"enough"}`))
		}
		return nil
	})
	for frame(t, conn)["type"] != "enough" {
	}
	assert.GreaterOrEqual(t, pings, 2)
}

func TestPick(t *testing.T) {
	s, api := start(t, slackfake.Options{Pick: func(n int) int { return n - 1 }})
	wire(t, s, api)
	second, _ := wire(t, s, api)
	e, done := push(t, t.Context(), s, second, s.AppUninstalled())
	require.NoError(t, second.WriteJSON(map[string]any{"envelope_id": e["envelope_id"]}))
	require.NoError(t, <-done)
}

// BenchmarkCommand measures the fake itself, with a client that acks and answers by
// the response URL: what a bot costs is on top of it. The heap at the end shows that
// a server that runs for long does not grow: try -benchtime 100000x.
func BenchmarkCommand(b *testing.B) {
	s, api := start(b, slackfake.Options{})
	listen(b, s, api, func(c *socketmode.Client, e socketmode.Event) {
		ackAll(c, e)
		if cmd, ok := e.Data.(slack.SlashCommand); ok {
			_, _, err := api.PostMessageContext(b.Context(), "", slack.MsgOptionResponseURL(cmd.ResponseURL, "ephemeral"), slack.MsgOptionText("24 psi", false),
				slack.MsgOptionBlocks(slack.NewSectionBlock(slack.NewTextBlockObject(slack.PlainTextType, "front 24 psi", false, false), nil, nil)))
			if err != nil && b.Context().Err() == nil {
				b.Error(err)
			}
		}
	})
	b.ReportAllocs()
	b.RunParallel(func(p *testing.PB) {
		for p.Next() {
			if _, err := s.Push(b.Context(), s.Command(slackfake.Wren, slackfake.General, "/spoke", "pressure 80 kg")); err != nil {
				b.Error(err)
			}
		}
	})
	b.StopTimer()
	runtime.GC()
	var m runtime.MemStats
	runtime.ReadMemStats(&m)
	b.ReportMetric(float64(m.HeapAlloc)/(1<<20), "heap-MiB")
}
