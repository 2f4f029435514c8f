package slack

import (
	"bytes"
	"context"
	"log/slog"
	"net/http"
	"net/http/httptest"
	"strings"
	"sync"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"spokeword/bot"
	"spokeword/bot/slackfake"
	"spokeword/commands"
	"spokeword/commands/reply"
	"spokeword/commands/talk"
)

// clock is a clock that tests set.
type clock struct {
	mu  sync.Mutex
	now time.Time
}

func (c *clock) Now() time.Time {
	c.mu.Lock()
	defer c.mu.Unlock()
	return c.now
}

func (c *clock) advance(d time.Duration) {
	c.mu.Lock()
	defer c.mu.Unlock()
	c.now = c.now.Add(d)
}

// incidents keeps our errors.
type incidents struct {
	mu  sync.Mutex
	all []string
}

func (i *incidents) note(err error) string {
	i.mu.Lock()
	defer i.mu.Unlock()
	i.all = append(i.all, err.Error())
	return "4711"
}

func (i *incidents) text() string {
	i.mu.Lock()
	defer i.mu.Unlock()
	return strings.Join(i.all, "\n")
}

// rig is a bot in a workspace.
type rig struct {
	t         testing.TB
	fake      *slackfake.Server
	adapter   *Adapter
	handler   *bot.Handler
	incidents *incidents
	log       *bytes.Buffer
	clock     *clock
	socket    bool
	stop      func() error
}

// realDesk is the desk that answers, at noon.
func realDesk(t testing.TB, i *incidents) bot.Desk {
	now := func() time.Time { return time.Date(2030, time.May, 4, 12, 0, 0, 0, time.UTC) }
	desk, err := commands.NewDesk(commands.Deps{Now: now, Talk: talk.NewMemory(now), Log: i.note})
	require.NoError(t, err)
	return desk
}

// start starts a bot in a workspace, with changes to the usual options.
func start(t testing.TB, transport Transport, change func(*Options, *bot.Options, *slackfake.Options)) *rig {
	r := &rig{t: t, incidents: &incidents{}, log: &bytes.Buffer{}, socket: transport == Socket, clock: &clock{now: time.Now()}}
	var fo slackfake.Options
	bo := bot.Options{Incident: r.incidents.note}
	o := Options{Transport: transport, Incident: r.incidents.note, Now: r.clock.Now, LeastPause: time.Millisecond, MostPause: 20 * time.Millisecond,
		Log: slog.New(slog.NewTextHandler(&guarded{buffer: r.log}, &slog.HandlerOptions{ReplaceAttr: bot.RedactAttr}))}
	fo.Now = r.clock.Now
	if change != nil {
		change(&o, &bo, &fo)
	}
	fake, err := slackfake.New(fo)
	require.NoError(t, err)
	r.fake = fake
	if bo.Desk == nil {
		bo.Desk = realDesk(t, r.incidents)
	}
	r.handler = bot.NewHandler(bo)
	o.Handler, o.BotToken, o.AppToken, o.SigningSecret, o.APIURL = r.handler, fake.BotToken(), fake.AppToken(), fake.SigningSecret(), fake.APIURL()
	r.adapter, err = New(o)
	require.NoError(t, err)
	ctx, cancel := context.WithCancel(context.Background())
	ended := make(chan error, 1)
	go func() { ended <- r.adapter.Run(ctx) }()
	if r.socket {
		require.NoError(t, fake.WaitLink(t.Context(), 1))
	} else {
		server := httptest.NewServer(r.adapter)
		t.Cleanup(server.Close)
		fake.SetEndpoints(server.URL, server.URL, server.URL)
	}
	r.stop = sync.OnceValue(func() error {
		cancel()
		err := <-ended
		assert.NoError(t, r.handler.Drain(context.Background()))
		return err
	})
	t.Cleanup(func() {
		_ = r.stop() // a test that cares has looked
		assert.NoError(t, fake.Close())
	})
	return r
}

// guarded is a buffer for several goroutines.
type guarded struct {
	mu     sync.Mutex
	buffer *bytes.Buffer
}

func (g *guarded) Write(p []byte) (int, error) {
	g.mu.Lock()
	defer g.mu.Unlock()
	return g.buffer.Write(p)
}

// deliver sends something to the bot by the transport.
func (r *rig) deliver(in slackfake.Inbound) {
	r.t.Helper()
	var err error
	if r.socket {
		_, err = r.fake.Push(r.t.Context(), in)
	} else {
		_, err = r.fake.Post(r.t.Context(), in)
	}
	require.NoError(r.t, err)
}

// ask sends a slash command and returns what the person sees.
func (r *rig) ask(line string) slackfake.Message {
	r.t.Helper()
	r.deliver(r.fake.Command(slackfake.Wren, slackfake.General, DefaultCommand, line))
	return r.next(slackfake.To(slackfake.Wren))
}

func (r *rig) next(match ...slackfake.Match) slackfake.Message {
	r.t.Helper()
	m, err := r.fake.NextMessage(r.t.Context(), match...)
	require.NoError(r.t, err)
	return m
}

// button returns a button of a message by its label.
func button(t testing.TB, m slackfake.Message, label string) slackfake.Control {
	t.Helper()
	var labels []string
	for _, c := range slackfake.Buttons(m.Blocks) {
		if c.Text == label {
			return c
		}
		labels = append(labels, c.Text)
	}
	require.Fail(t, "no button", "%q among %q", label, labels)
	return slackfake.Control{}
}

func (r *rig) press(m slackfake.Message, user, label string) {
	r.t.Helper()
	in, err := r.fake.Press(m, slackfake.Act{User: user, Control: button(r.t, m, label)})
	require.NoError(r.t, err)
	r.deliver(in)
}

// clean holds that nothing was sent that a strict service would refuse.
func (r *rig) clean() {
	r.t.Helper()
	assert.Empty(r.t, r.fake.Violations())
}

const question = "pressure 80kg 29x2.4 i30 trail"

// overBoth runs a test over both transports.
func overBoth(t *testing.T, do func(t *testing.T, transport Transport)) {
	for _, transport := range []Transport{Socket, HTTP} {
		t.Run(string(transport), func(t *testing.T) { do(t, transport) })
	}
}

func TestCommand(t *testing.T) {
	overBoth(t, func(t *testing.T, transport Transport) {
		r := start(t, transport, nil)
		for range 2 { // the first by the response address, until it is known that tables are taken
			m := r.ask(question)
			text := slackfake.Text(m)
			assert.Contains(t, text, "Front 23 psi (1.58 bar), rear 25 psi (1.73 bar).")
			assert.Contains(t, text, "Caution: Never go above the lower of the marks")
			assert.Contains(t, text, "Front | 23.0 | 1.58")
			assert.Contains(t, m.Text, "Front 23 psi")
			assert.Less(t, strings.Index(text, "Front 23"), strings.Index(text, "Caution:"))
			assert.Less(t, strings.Index(text, "Caution:"), strings.Index(text, "Front | 23.0"))
		}
		m := r.ask("")
		assert.Contains(t, slackfake.Text(m), "pressure", "no words: help")
		m = r.ask("pressure 80kg 29x2.4 i30 trail " + strings.Repeat("x", 10000))
		assert.Contains(t, slackfake.Text(m), "characters long")
		assert.Empty(t, r.fake.Messages(slackfake.General), "a command is answered to its asker alone")
		r.clean()
		assert.Empty(t, r.incidents.text())
	})
}

func TestMentionsAndDirectMessages(t *testing.T) {
	overBoth(t, func(t *testing.T, transport Transport) {
		r := start(t, transport, nil)
		r.deliver(r.fake.Mention(slackfake.Wren, slackfake.General, "size 61-622", ""))
		m := r.next(slackfake.In(slackfake.General))
		assert.Contains(t, slackfake.Text(m), "622")
		assert.False(t, m.Ephemeral(), "nothing personal in it")
		assert.NotEmpty(t, m.Thread, "in a thread of the question")
		r.deliver(r.fake.Mention(slackfake.Wren, slackfake.General, question, ""))
		m = r.next(slackfake.To(slackfake.Wren))
		assert.Contains(t, slackfake.Text(m), "Front 23 psi")
		r.deliver(r.fake.Mention(slackfake.Wren, slackfake.General, "convert 3 lemons in psi", ""))
		r.next(slackfake.To(slackfake.Wren))
		assert.Len(t, r.fake.Messages(slackfake.General), 1, "what is personal or mistaken is for the asker alone")
		r.deliver(r.fake.DirectMessage(slackfake.Moss, question, "", nil))
		m = r.next(slackfake.In(r.fake.Direct(slackfake.Moss)))
		assert.Contains(t, slackfake.Text(m), "Front 23 psi")
		r.deliver(r.fake.OwnMessage(slackfake.Moss, question))
		r.deliver(r.fake.DirectMessage(slackfake.Moss, question, "", map[string]any{"subtype": "message_changed"}))
		r.deliver(r.fake.DirectMessage(slackfake.Moss, "size 700x40c", "", nil))
		m = r.next(slackfake.In(r.fake.Direct(slackfake.Moss)))
		assert.Contains(t, slackfake.Text(m), "622", "own and changed messages are not answered")
		r.clean()
		assert.Empty(t, r.incidents.text())
	})
}

func TestButtons(t *testing.T) {
	overBoth(t, func(t *testing.T, transport Transport) {
		r := start(t, transport, nil)
		m := r.ask(question)
		r.press(m, slackfake.Wren, "with tubes")
		tubes := r.next(slackfake.To(slackfake.Wren))
		assert.Contains(t, slackfake.Text(tubes), "system tubes")
		r.press(m, slackfake.Wren, "share in channel")
		shared := r.next(slackfake.In(slackfake.General))
		assert.False(t, shared.Ephemeral())
		assert.Contains(t, slackfake.Text(shared), "Front 23 psi")
		assert.Contains(t, slackfake.Text(shared), "Caution:")
		assert.NotContains(t, string(shared.Raw), "80")
		r.clean()
	})
}

func TestForms(t *testing.T) {
	overBoth(t, func(t *testing.T, transport Transport) {
		r := start(t, transport, nil)
		m := r.ask("pressure 29x2.4 i30 trail")
		assert.Contains(t, slackfake.Text(m), "weigh")
		r.press(m, slackfake.Wren, "other…")
		view, err := r.fake.NextView(t.Context())
		require.NoError(t, err)
		in, err := r.fake.Submit(view, map[string]string{"value": "83 kg"})
		require.NoError(t, err)
		r.deliver(in)
		answer := r.next(slackfake.To(slackfake.Wren))
		assert.Contains(t, slackfake.Text(answer), "rider 83 kg")
		assert.Contains(t, slackfake.Text(answer), "Front 2")
		r.deliver(r.fake.Dismiss(view))
		r.clean()
		assert.Empty(t, r.incidents.text())
	})
}

func TestHome(t *testing.T) {
	overBoth(t, func(t *testing.T, transport Transport) {
		r := start(t, transport, nil)
		r.deliver(r.fake.HomeOpened(slackfake.Wren, "home"))
		view, err := r.fake.NextView(t.Context())
		require.NoError(t, err)
		assert.Contains(t, slackfake.TextOf(view.Blocks), question)
		in, err := r.fake.PressInView(view, slackfake.Act{User: slackfake.Wren, Control: slackfake.Buttons(view.Blocks)[0]})
		require.NoError(t, err)
		r.deliver(in)
		answer := r.next(slackfake.In(r.fake.Direct(slackfake.Wren)))
		assert.Contains(t, slackfake.Text(answer), "Front 23 psi")
		r.clean()
		assert.Empty(t, r.incidents.text())
	})
}

// TestTablesRefused holds that a workspace that knows no tables gets them as
// lines of one width, and once it is known, at once.
func TestTablesRefused(t *testing.T) {
	overBoth(t, func(t *testing.T, transport Transport) {
		for _, inJSON := range []bool{false, true} { // how a response address says no: both have been seen
			r := start(t, transport, func(_ *Options, _ *bot.Options, f *slackfake.Options) {
				f.RefuseTables, f.RefuseResponsesInJSON = true, inJSON
			})
			for range 2 {
				text := slackfake.Text(r.ask(question))
				assert.Contains(t, text, "Front 23 psi")
				assert.Contains(t, text, "Front  23.0  1.58")
				assert.Contains(t, text, "Caution: Never go above the lower")
			}
			r.deliver(r.fake.DirectMessage(slackfake.Moss, question, "", nil))
			text := slackfake.Text(r.next(slackfake.In(r.fake.Direct(slackfake.Moss))))
			assert.Contains(t, text, "Front  23.0  1.58")
			assert.Empty(t, r.incidents.text())
		}
	})
}

// TestSameEvent holds that an event is answered once, however often it comes,
// and under whatever id; and that a retry which is the only copy is answered.
func TestSameEvent(t *testing.T) {
	overBoth(t, func(t *testing.T, transport Transport) {
		r := start(t, transport, nil)
		in := r.fake.DirectMessage(slackfake.Moss, "size 61-622", "", nil)
		for attempt := range 3 {
			in.Attempt = attempt
			r.deliver(in)
		}
		again := r.fake.EventOf("message", in.Payload["event"].(map[string]any)) // another id, the same message
		r.deliver(again)
		retry := r.fake.DirectMessage(slackfake.Moss, "size 700x40c", "", nil)
		retry.Attempt, retry.Reason = 1, "http_timeout"
		r.deliver(retry)
		channel := r.fake.Direct(slackfake.Moss)
		r.next(slackfake.In(channel))
		r.next(slackfake.In(channel))
		require.NoError(t, r.stop())
		assert.Len(t, r.fake.Messages(channel), 2)
	})
}

func TestUnknown(t *testing.T) {
	overBoth(t, func(t *testing.T, transport Transport) {
		r := start(t, transport, nil)
		r.deliver(r.fake.EventOf("moon_landed", map[string]any{"user": slackfake.Wren}))
		r.deliver(r.fake.InteractionOf(slackfake.Wren, "telepathy", nil))
		m := r.ask("pressure 29x2.4 i30 trail")
		r.press(m, slackfake.Wren, "other…")
		view, err := r.fake.NextView(t.Context())
		require.NoError(t, err)
		in, err := r.fake.Submit(view, map[string]string{"value": "83 kg"})
		require.NoError(t, err)
		in.Payload["view"].(map[string]any)["blocks"] = []any{map[string]any{"type": "hologram", "element": map[string]any{"type": "hologram"}}}
		r.deliver(in)
		r.next(slackfake.To(slackfake.Wren), slackfake.Saying("83 kg"))
		assert.Contains(t, slackfake.Text(r.ask(question)), "Front 23 psi", "it goes on")
		assert.Empty(t, r.incidents.text())
	})
}

func TestRequestsRefused(t *testing.T) {
	desk := &tally{}
	r := start(t, HTTP, func(_ *Options, b *bot.Options, _ *slackfake.Options) { b.Desk = desk })
	desk.Desk = realDesk(t, r.incidents)
	status := func(req *http.Request) int {
		t.Helper()
		resp, err := http.DefaultClient.Do(req)
		require.NoError(t, err)
		require.NoError(t, resp.Body.Close())
		return resp.StatusCode
	}
	ins := map[string]func() slackfake.Inbound{
		"command": func() slackfake.Inbound {
			return r.fake.Command(slackfake.Wren, slackfake.General, DefaultCommand, "size 61-622")
		},
		"event": func() slackfake.Inbound { return r.fake.Mention(slackfake.Wren, slackfake.General, "size 61-622", "") },
	}
	for name, in := range ins {
		for _, how := range slackfake.Forgeries {
			req, err := r.fake.Forge(t.Context(), in(), how)
			require.NoError(t, err)
			got := status(req)
			if how != slackfake.InAddress { // that one is signed, and its address is not read
				assert.Equal(t, http.StatusUnauthorized, got, "%s, %s", name, how)
			}
		}
		for _, off := range []time.Duration{6 * time.Minute, -6 * time.Minute, 24 * time.Hour} {
			req, err := r.fake.Request(t.Context(), in())
			require.NoError(t, err)
			r.clock.advance(off)
			assert.Equal(t, http.StatusUnauthorized, status(req), "%s, clock off by %s", name, off)
			r.clock.advance(-off)
		}
	}
	assert.Zero(t, desk.asked(), "none reached the desk")
	_, err := r.fake.Post(t.Context(), ins["command"]())
	require.NoError(t, err)
	require.Equal(t, 1, desk.asked())
	again, err := r.fake.Replay(t.Context())
	require.NoError(t, err)
	assert.Equal(t, http.StatusUnauthorized, status(again), "replayed")
	assert.Equal(t, 1, desk.asked())
	for _, c := range []struct {
		method, kind, body string
		want               int
	}{
		{http.MethodGet, "", "", http.StatusMethodNotAllowed},
		{http.MethodPost, "application/json", strings.Repeat("x", mostBody+1), http.StatusRequestEntityTooLarge},
		{http.MethodPost, "application/json", "{}", http.StatusUnauthorized},
	} {
		req := httptest.NewRequest(c.method, "/", strings.NewReader(c.body))
		req.Header.Set("Content-Type", c.kind)
		w := httptest.NewRecorder()
		r.adapter.ServeHTTP(w, req)
		assert.Equal(t, c.want, w.Code)
	}
	require.NoError(t, r.fake.Verify(t.Context()))
}

// tally counts the lines that reach the desk.
type tally struct {
	bot.Desk
	mu sync.Mutex
	n  int
}

func (d *tally) Ask(ctx context.Context, who commands.Asker, line string) []reply.Reply {
	d.mu.Lock()
	d.n++
	d.mu.Unlock()
	return d.Desk.Ask(ctx, who, line)
}

func (d *tally) asked() int {
	d.mu.Lock()
	defer d.mu.Unlock()
	return d.n
}
