package discordfake_test

import (
	"bytes"
	"compress/zlib"
	"context"
	"encoding/json"
	"io"
	"net/http"
	"testing"
	"time"

	"github.com/bwmarrin/discordgo"
	"github.com/gorilla/websocket"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"spokeword/bot/discordfake"
)

// frame is one message of the gateway.
type frame struct {
	Op   int
	Data json.RawMessage `json:"d"`
	Seq  int64           `json:"s"`
	Type string          `json:"t"`
}

// wire is a gateway link by hand.
type wire struct {
	t testing.TB
	c *websocket.Conn
}

func dial(t testing.TB, address string) wire {
	t.Helper()
	c, _, err := websocket.DefaultDialer.Dial(address, nil)
	require.NoError(t, err)
	t.Cleanup(func() { _ = c.Close() })
	require.NoError(t, c.SetReadDeadline(time.Now().Add(patience)))
	return wire{t, c}
}

// open is a link to the address that the fake tells.
func open(t testing.TB, s *discordfake.Server) wire {
	t.Helper()
	r := rest{t, s, s.Client(patience), nil}
	var b struct{ URL string }
	require.NoError(t, json.Unmarshal([]byte(r.ask("GET", "gateway", nil).body), &b))
	return dial(t, b.URL+"?v=10&encoding=json")
}

func (w wire) send(op int, data any) {
	w.t.Helper()
	require.NoError(w.t, w.c.WriteJSON(m{"op": op, "d": data}))
}

func (w wire) read() frame {
	w.t.Helper()
	kind, b, err := w.c.ReadMessage()
	require.NoError(w.t, err)
	return unpack(w.t, kind, b)
}

func unpack(t testing.TB, kind int, b []byte) frame {
	t.Helper()
	if kind == websocket.BinaryMessage {
		z, err := zlib.NewReader(bytes.NewReader(b))
		require.NoError(t, err)
		b, err = io.ReadAll(z)
		require.NoError(t, err)
	}
	var f frame
	require.NoError(t, json.Unmarshal(b, &f))
	return f
}

// closed waits for the end of the link and returns the code of the close frame.
func (w wire) closed() int {
	w.t.Helper()
	for {
		if _, _, err := w.c.ReadMessage(); err != nil {
			var c *websocket.CloseError
			require.ErrorAs(w.t, err, &c)
			return c.Code
		}
	}
}

func ident(token string, change m) m {
	return merged(m{"token": token, "intents": 0, "properties": m{"os": "linux", "browser": "b", "device": "b"}}, change)
}

// ready identifies and returns the session and where to resume it.
func (w wire) ready(s *discordfake.Server) (session, url string) {
	w.t.Helper()
	require.Equal(w.t, discordfake.OpHello, w.read().Op)
	w.send(discordfake.OpIdentify, ident(s.Token(), nil))
	f := w.read()
	require.Equal(w.t, "READY", f.Type)
	require.Equal(w.t, int64(1), f.Seq)
	var d struct {
		Session string `json:"session_id"`
		URL     string `json:"resume_gateway_url"`
	}
	require.NoError(w.t, json.Unmarshal(f.Data, &d))
	return d.Session, d.URL
}

func resume(t testing.TB, s *discordfake.Server, url, session string, seq int) wire {
	t.Helper()
	w := dial(t, url+"?v=10&encoding=json")
	require.Equal(t, discordfake.OpHello, w.read().Op)
	w.send(discordfake.OpResume, m{"token": s.Token(), "session_id": session, "seq": seq})
	return w
}

func TestHelloReadyHeartbeat(t *testing.T) {
	s, ctx := start(t, discordfake.Options{Heartbeat: 7 * time.Second})
	w := open(t, s)
	f := w.read()
	assert.Equal(t, discordfake.OpHello, f.Op)
	assert.JSONEq(t, `{"heartbeat_interval":7000}`, string(f.Data))
	w.send(discordfake.OpHeartbeat, nil)
	assert.Equal(t, discordfake.OpHeartbeatAck, w.read().Op)
	w.send(discordfake.OpIdentify, ident("Bot "+s.Token(), m{"compress": true, "shard": []int{0, 2}}))
	kind, packed, err := w.c.ReadMessage()
	require.NoError(t, err)
	assert.Equal(t, websocket.BinaryMessage, kind, "READY is compressed for who asks")
	f = unpack(t, kind, packed)
	assert.Equal(t, "READY", f.Type)
	assert.Contains(t, string(f.Data), `"shard":[0,2]`)
	require.NoError(t, s.Online(ctx))
	for n := range 3 {
		require.NoError(t, s.Dispatch("TYPING_START", m{}))
		assert.Equal(t, int64(n+2), w.read().Seq)
	}
	w.send(discordfake.OpHeartbeat, 4)
	assert.Equal(t, discordfake.OpHeartbeatAck, w.read().Op)
	assert.Equal(t, int64(2), s.Heartbeats())
	r, err := s.Next(ctx, discordfake.Of(discordfake.KindIdentify))
	require.NoError(t, err)
	assert.Zero(t, *r.Identify.Intents)
	w.send(discordfake.OpHeartbeat, 5)
	assert.Equal(t, discordfake.CloseInvalidSeq, w.closed())
}

func TestCloseCodes(t *testing.T) {
	for _, c := range []struct {
		why  string
		op   int
		data any
		code int
	}{
		{"another token", 2, ident("other", nil), 4004},
		{"no intents", 2, m{"token": "fake-bot-token", "properties": m{}}, 4013},
		{"intents that don't exist", 2, ident("fake-bot-token", m{"intents": 1 << 30}), 4013},
		{"message content", 2, ident("fake-bot-token", m{"intents": 1 << 15}), 4014},
		{"a shard of none", 2, ident("fake-bot-token", m{"shard": []int{1, 1}}), 4010},
		{"no properties", 2, m{"token": "fake-bot-token", "intents": 0}, 4002},
		{"a presence before identifying", 3, m{}, 4003},
		{"an unknown op", 5, m{}, 4001},
		{"a frame of more than 4096 bytes", 2, ident("fake-bot-token", m{"x": x(4096)}), 4002},
		{"a seq that is no number", 1, "x", 4002},
		{"resume with another token", 6, m{"token": "other", "session_id": "s", "seq": 1}, 4004},
	} {
		t.Run(c.why, func(t *testing.T) {
			s, _ := start(t, discordfake.Options{})
			w := open(t, s)
			w.send(c.op, c.data)
			assert.Equal(t, c.code, w.closed())
		})
	}
	s, _ := start(t, discordfake.Options{})
	w := open(t, s)
	require.NoError(t, w.c.WriteMessage(websocket.TextMessage, []byte("{")))
	assert.Equal(t, 4002, w.closed())
	w = open(t, s)
	w.ready(s)
	w.send(discordfake.OpIdentify, ident(s.Token(), nil))
	assert.Equal(t, 4005, w.closed(), "identified already")
	w = dial(t, "ws"+s.URL()[len("http"):]+"/ws/?v=6&encoding=json")
	assert.Equal(t, 4012, w.closed())
	w = open(t, s)
	for range 121 {
		w.send(discordfake.OpHeartbeat, nil)
	}
	assert.Equal(t, 4008, w.closed(), "121 frames within a minute")
}

func TestNoLinkAfterAFatalCode(t *testing.T) {
	s, _ := start(t, discordfake.Options{})
	w := open(t, s)
	w.send(discordfake.OpIdentify, ident("other", nil))
	require.Equal(t, 4004, w.closed())
	require.Empty(t, s.Violations())
	open(t, s)
	require.Len(t, s.Violations(), 1)
	assert.Equal(t, discordfake.RuleFatal, s.Violations()[0].Rule)
}

func TestResumeSendsWhatWasMissed(t *testing.T) {
	s, ctx := start(t, discordfake.Options{})
	w := open(t, s)
	session, url := w.ready(s)
	require.NoError(t, s.Dispatch("A", m{}))
	require.Equal(t, int64(2), w.read().Seq)
	s.Drop()
	_, _, err := w.c.ReadMessage()
	assert.True(t, websocket.IsCloseError(err, websocket.CloseAbnormalClosure) || err != nil)
	down, err := s.Next(ctx, discordfake.Of(discordfake.KindLinkDown))
	require.NoError(t, err)
	assert.Equal(t, websocket.CloseAbnormalClosure, down.Close)
	require.NoError(t, s.Dispatch("B", m{}))
	require.NoError(t, s.Dispatch("C", m{}))
	w = resume(t, s, url, session, 2)
	for i, want := range []string{"B", "C", "RESUMED"} {
		f := w.read()
		assert.Equal(t, want, f.Type)
		assert.Equal(t, int64(i+3), f.Seq)
	}
	require.NoError(t, s.Online(ctx))
	require.NoError(t, s.Dispatch("D", m{}))
	assert.Equal(t, int64(6), w.read().Seq)
	r, err := s.Next(ctx, discordfake.Of(discordfake.KindResume))
	require.NoError(t, err)
	assert.True(t, r.Resume.AtResumeURL)
	assert.Empty(t, s.Violations())

	// What the bot has said it has is not kept.
	w.send(discordfake.OpHeartbeat, 6)
	require.Equal(t, discordfake.OpHeartbeatAck, w.read().Op)
	w = resume(t, s, url, session, 5)
	f := w.read()
	assert.Equal(t, discordfake.OpInvalidSession, f.Op)
	assert.Equal(t, "false", string(f.Data))
	w.send(discordfake.OpIdentify, ident(s.Token(), nil))
	assert.Equal(t, "READY", w.read().Type, "the same link may identify then")
}

func TestResumeIsRefused(t *testing.T) {
	s, ctx := start(t, discordfake.Options{})
	w := open(t, s)
	session, url := w.ready(s)
	assert.Equal(t, 4007, resume(t, s, url, session, 9).closed(), "a seq that never was")

	w = open(t, s)
	session, url = w.ready(s)
	require.NoError(t, w.c.WriteControl(websocket.CloseMessage, websocket.FormatCloseMessage(1000, ""), time.Now().Add(patience)))
	_, err := s.Next(ctx, discordfake.Of(discordfake.KindLinkDown), func(r discordfake.Record) bool { return r.Close == 1000 })
	require.NoError(t, err)
	assert.Equal(t, discordfake.ErrNoSession, s.Dispatch("A", m{}))
	assert.Equal(t, discordfake.OpInvalidSession, resume(t, s, url, session, 1).read().Op, "1000 ends the session")
}

func TestOpsOfTheService(t *testing.T) {
	s, _ := start(t, discordfake.Options{})
	w := open(t, s)
	session, url := w.ready(s)
	s.Op(discordfake.OpHeartbeat, "null")
	assert.Equal(t, discordfake.OpHeartbeat, w.read().Op)
	s.Op(discordfake.OpReconnect, "null")
	assert.Equal(t, discordfake.OpReconnect, w.read().Op)
	s.Op(discordfake.OpInvalidSession, "true")
	f := w.read()
	assert.Equal(t, "true", string(f.Data))
	w.send(discordfake.OpResume, m{"token": s.Token(), "session_id": session, "seq": 1})
	assert.Equal(t, "RESUMED", w.read().Type)
	s.Op(discordfake.OpInvalidSession, "false")
	assert.Equal(t, "false", string(w.read().Data))
	assert.Equal(t, discordfake.OpInvalidSession, resume(t, s, url, session, 1).read().Op)
	s.Raw("{")
	_, b, err := w.c.ReadMessage()
	require.NoError(t, err)
	assert.Equal(t, "{", string(b))
	s.CloseLinks(4000)
	assert.Equal(t, 4000, w.closed())

	w = open(t, s)
	session, url = w.ready(s)
	s.CloseLinks(4000)
	require.Equal(t, 4000, w.closed())
	w = resume(t, s, url, session, 1)
	require.Equal(t, "RESUMED", w.read().Type, "4000 leaves the session")
	s.CloseLinks(1000)
	require.Equal(t, 1000, w.closed())
	assert.Equal(t, discordfake.OpInvalidSession, resume(t, s, url, session, 1).read().Op, "1000 ends it")
}

func TestGreetings(t *testing.T) {
	s, ctx := start(t, discordfake.Options{})
	s.Greet(discordfake.Greeting{Early: []int{discordfake.OpHeartbeatAck, discordfake.OpReconnect}}, 1)
	w := open(t, s)
	w.read()
	w.send(discordfake.OpIdentify, ident(s.Token(), nil))
	assert.Equal(t, []int{11, 7, 0}, []int{w.read().Op, w.read().Op, w.read().Op})

	s.Greet(discordfake.Greeting{Raw: []string{"{"}}, 1)
	w = open(t, s)
	_, b, err := w.c.ReadMessage()
	require.NoError(t, err)
	assert.Equal(t, "{", string(b))

	s.Greet(discordfake.Greeting{Close: 4011}, 1)
	w = open(t, s)
	w.read()
	w.send(discordfake.OpIdentify, ident(s.Token(), nil))
	assert.Equal(t, 4011, w.closed())

	s.Greet(discordfake.Greeting{Invalid: true}, 1)
	w = open(t, s)
	w.read()
	w.send(discordfake.OpIdentify, ident(s.Token(), nil))
	assert.Equal(t, "false", string(w.read().Data))
	w.send(discordfake.OpIdentify, ident(s.Token(), nil))
	assert.Equal(t, discordfake.OpInvalidSession, w.read().Op, "the greeting is that of the link")

	s.Greet(discordfake.Greeting{Status: 503}, 1)
	_, a, err := websocket.DefaultDialer.Dial("ws"+s.URL()[len("http"):]+"/ws/?v=10", nil)
	require.Error(t, err)
	assert.Equal(t, 503, a.StatusCode)

	s.Greet(discordfake.Greeting{Silent: true}, 0)
	w = open(t, s)
	open(t, s)
	w.send(discordfake.OpIdentify, ident(s.Token(), nil))
	s.Greet(discordfake.Greeting{}, 1)
	open(t, s).ready(s)
	require.NoError(t, s.Online(ctx))
	s.Drop()
	_, b, err = w.c.ReadMessage()
	assert.Error(t, err, "a silent link says nothing: %s", b)
}

func TestDeafAndSilent(t *testing.T) {
	clock := discordfake.NewManual(noon)
	s, ctx := start(t, discordfake.Options{Clock: clock, Heartbeat: 10 * time.Second, CloseSilent: true})
	w := open(t, s)
	session, url := w.ready(s)
	clock.Advance(15*time.Second - 1)
	w.send(discordfake.OpHeartbeat, 1)
	require.Equal(t, discordfake.OpHeartbeatAck, w.read().Op)
	clock.Advance(15*time.Second - 1)
	s.Deafen(true)
	w.send(discordfake.OpHeartbeat, 1)
	for range 2 {
		_, err := s.Next(ctx, discordfake.Of(discordfake.KindHeartbeat))
		require.NoError(t, err)
	}
	s.Raw(`{"op":99}`)
	assert.Equal(t, 99, w.read().Op, "no ack came before it")
	clock.Advance(15 * time.Second)
	assert.Equal(t, 4009, w.closed())
	assert.Equal(t, discordfake.OpInvalidSession, resume(t, s, url, session, 1).read().Op, "4009 wants a new session")
}

func TestIdentifiesAreCounted(t *testing.T) {
	clock := discordfake.NewManual(noon)
	s, _ := start(t, discordfake.Options{Clock: clock, IdentifyEvery: 5 * time.Second})
	r := rest{t, s, s.Client(patience), clock}
	left := func() (remaining, reset int) {
		var b struct {
			Limit struct {
				Total, Remaining int
				ResetAfter       int `json:"reset_after"`
				Concurrency      int `json:"max_concurrency"`
			} `json:"session_start_limit"`
		}
		a := r.own("GET", "gateway/bot", nil)
		require.NoError(t, json.Unmarshal([]byte(a.body), &b), a.body)
		assert.Equal(t, 1000, b.Limit.Total)
		assert.Equal(t, 1, b.Limit.Concurrency)
		return b.Limit.Remaining, b.Limit.ResetAfter
	}
	n, _ := left()
	assert.Equal(t, 1000, n)
	w := open(t, s)
	session, url := w.ready(s)
	n, _ = left()
	assert.Equal(t, 999, n)
	assert.Equal(t, "RESUMED", resume(t, s, url, session, 1).read().Type)
	n, _ = left()
	assert.Equal(t, 999, n, "a resume is free")
	clock.Advance(5*time.Second - 1)
	w = open(t, s)
	w.read()
	w.send(discordfake.OpIdentify, ident(s.Token(), nil))
	assert.Equal(t, discordfake.OpInvalidSession, w.read().Op, "too soon after the last")
	clock.Advance(5 * time.Second)
	w.send(discordfake.OpIdentify, ident(s.Token(), nil))
	assert.Equal(t, "READY", w.read().Type)
	require.Len(t, s.Violations(), 1)
	assert.Equal(t, discordfake.RuleTwoSessions, s.Violations()[0].Rule)

	s.SetIdentifies(1)
	_, reset := left()
	assert.Equal(t, int((24*time.Hour-10*time.Second+1)/time.Millisecond), reset)
	clock.Advance(5 * time.Second)
	open(t, s).ready(s)
	w = open(t, s)
	w.read()
	w.send(discordfake.OpIdentify, ident(s.Token(), nil))
	assert.Equal(t, 4004, w.closed(), "one more than allowed: the token is reset")
	assert.Equal(t, 401, r.own("GET", "users/@me", nil).status)
}

func TestPushWaitsUntilTheDeadline(t *testing.T) {
	clock := discordfake.NewManual(noon)
	s, ctx := start(t, discordfake.Options{Clock: clock})
	slash := discordfake.Slash(discordfake.InGuild("100"), "ask")
	_, err := s.Push(ctx, slash)
	require.ErrorIs(t, err, discordfake.ErrNoSession)
	w := open(t, s)
	w.ready(s)
	r := rest{t, s, s.Client(patience), clock}
	failed := make(chan error)
	push := func() {
		_, err := s.Push(ctx, slash)
		failed <- err
	}
	event := func() discordfake.Interaction {
		f := w.read()
		require.Equal(t, "INTERACTION_CREATE", f.Type)
		in, err := discordfake.Decode(f.Data)
		require.NoError(t, err)
		return in
	}
	go push()
	in := event()
	require.Equal(t, 400, r.callback(in, 4, said(x(2001))).status)
	clock.Advance(3*time.Second + 1)
	err = <-failed
	require.ErrorIs(t, err, discordfake.ErrNoAnswer)
	var refusal *discordfake.Refusal
	require.ErrorAs(t, err, &refusal)
	assert.Equal(t, 50035, refusal.Code)

	go push()
	require.Equal(t, 204, r.callback(event(), 5, nil).status)
	require.NoError(t, <-failed)

	over, cancel := context.WithCancel(ctx)
	cancel()
	_, err = s.Push(over, slash)
	assert.ErrorIs(t, err, context.Canceled)
}

func TestAnswerGoesThroughADeferral(t *testing.T) {
	s, ctx := start(t, discordfake.Options{})
	text := "done"
	b := bot(t, s, func(b *discordgo.Session, i *discordgo.InteractionCreate) {
		_ = b.InteractionRespond(i.Interaction, &discordgo.InteractionResponse{Type: discordgo.InteractionResponseDeferredChannelMessageWithSource,
			Data: &discordgo.InteractionResponseData{Flags: discordgo.MessageFlagsEphemeral}})
		_, _ = b.InteractionResponseEdit(i.Interaction, &discordgo.WebhookEdit{Content: &text,
			AllowedMentions: &discordgo.MessageAllowedMentions{Parse: []discordgo.AllowedMentionType{}},
			Files:           []*discordgo.File{{Name: "plot.png", ContentType: "image/png", Reader: bytes.NewReader([]byte("png"))}}})
	})
	require.NoError(t, b.Open())
	defer b.Close()
	got, err := s.Answer(ctx, "", discordfake.Slash(discordfake.InDM("100"), "plot"))
	require.NoError(t, err)
	assert.Equal(t, "done", discordfake.Text(got))
	assert.True(t, got.Ephemeral())
	require.Len(t, got.Attachments, 1)
	assert.Equal(t, "image/png", got.Attachments[0].ContentType)
}

func TestRealClientResumes(t *testing.T) {
	s, ctx := start(t, discordfake.Options{})
	b := bot(t, s, reply)
	require.NoError(t, b.Open())
	require.NoError(t, s.Online(ctx))
	s.Drop()
	_, err := s.Next(ctx, discordfake.Of(discordfake.KindLinkDown))
	require.NoError(t, err)
	answers := make(chan error)
	go func() {
		cb, err := s.Push(ctx, discordfake.Slash(discordfake.InGuild("1"), "ask", discordfake.TextOption("text", "missed")))
		if err == nil {
			assert.Equal(t, "re: missed", cb.Message.Content)
		}
		answers <- err
	}()
	_ = b.Close() // 1000 over a link that is gone reaches nobody
	require.NoError(t, b.Open(), "discordgo resumes when it has a session")
	defer b.Close()
	require.NoError(t, <-answers)
	_, err = s.Next(ctx, discordfake.Of(discordfake.KindResume))
	require.NoError(t, err)
}

func TestRealClientRegisters(t *testing.T) {
	s, _ := start(t, discordfake.Options{})
	b := bot(t, s, reply)
	zero := 0.0
	list, err := b.ApplicationCommandBulkOverwrite(s.ApplicationID(), "", []*discordgo.ApplicationCommand{{
		Name: "air", Description: "Tell what a gauge reads", Contexts: &[]discordgo.InteractionContextType{0, 1, 2},
		Options: []*discordgo.ApplicationCommandOption{{Type: discordgo.ApplicationCommandOptionNumber, Name: "warm", Description: "d", MinValue: &zero}},
	}})
	require.NoError(t, err)
	require.Len(t, list, 1)
	assert.NotEmpty(t, list[0].ID)
	_, err = b.ApplicationCommandBulkOverwrite(s.ApplicationID(), "", []*discordgo.ApplicationCommand{{Name: "Air", Description: "d"}})
	var e *discordgo.RESTError
	require.ErrorAs(t, err, &e)
	assert.Equal(t, http.StatusBadRequest, e.Response.StatusCode)
	assert.Equal(t, 50035, e.Message.Code)
	assert.Len(t, s.Commands(), 1)
	for l := range discordgo.Locales {
		if l != discordgo.Unknown {
			_, err = b.ApplicationCommandBulkOverwrite(s.ApplicationID(), "", []*discordgo.ApplicationCommand{{Name: "air", Description: "d",
				NameLocalizations: &map[discordgo.Locale]string{l: "n"}}})
			assert.NoError(t, err, l)
		}
	}
}
