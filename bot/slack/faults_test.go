package slack

import (
	"context"
	"encoding/json"
	"errors"
	"math/rand/v2"
	"net/http"
	"net/http/httptest"
	"strings"
	"sync"
	"testing"
	"time"

	"github.com/slack-go/slack"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"go.yaml.in/yaml/v3"

	"spokeword/bot"
	"spokeword/bot/bottest"
	"spokeword/bot/render"
	"spokeword/bot/slackfake"
	"spokeword/commands"
	"spokeword/commands/reply"
	"spokeword/commands/spec"
)

// TestLinkEnds holds that the bot comes back after whatever ends a link.
func TestLinkEnds(t *testing.T) {
	for _, c := range []struct {
		why string
		end func(r *rig, link int) error
	}{
		{"cut", func(r *rig, link int) error { return r.fake.Drop(link) }},
		{"asked to refresh", func(r *rig, link int) error { return r.fake.Disconnect(link, "refresh_requested") }},
		{"too many links", func(r *rig, link int) error { return r.fake.Disconnect(link, "too_many_websockets") }},
		{"the service stumbles at the next", func(r *rig, link int) error {
			r.fake.Fail("apps.connections.open", 2, slackfake.Fault{Status: http.StatusInternalServerError})
			return r.fake.Drop(link)
		}},
		{"garbage, then cut", func(r *rig, link int) error {
			if err := r.fake.Raw(link, []byte("{not json")); err != nil {
				return err
			}
			return r.fake.Drop(link)
		}},
	} {
		t.Run(c.why, func(t *testing.T) {
			r := start(t, Socket, nil)
			require.NoError(t, c.end(r, 1))
			require.NoError(t, r.fake.WaitLink(t.Context(), 2))
			assert.Contains(t, slackfake.Text(r.ask(question)), "Front 23 psi")
			assert.NoError(t, r.adapter.Ready())
			require.NoError(t, r.stop())
			r.clean()
		})
	}
}

// TestCutMidAnswer holds that a link which is cut while a command is worked on
// costs that answer its acknowledgement, and nothing else: it comes by the
// response address.
func TestCutMidAnswer(t *testing.T) {
	working, release := make(chan struct{}), make(chan struct{})
	r := start(t, Socket, func(_ *Options, b *bot.Options, _ *slackfake.Options) {
		b.Desk = &slow{working: working, release: release}
	})
	got := make(chan error, 1)
	go func() {
		_, err := r.fake.Push(t.Context(), r.fake.Command(slackfake.Wren, slackfake.General, DefaultCommand, "anything"))
		got <- err
	}()
	<-working
	require.NoError(t, r.fake.Drop(1))
	assert.Error(t, <-got, "the person sees that it failed")
	require.NoError(t, r.fake.WaitLink(t.Context(), 2))
	close(release)
	r.next(slackfake.To(slackfake.Wren), slackfake.By("response_url"))
	r.deliver(r.fake.Command(slackfake.Wren, slackfake.General, DefaultCommand, "anything"))
	r.next(slackfake.To(slackfake.Wren))
	r.clean()
}

// slow is a desk that waits, once, until it is released.
type slow struct {
	working, release chan struct{}
	once             sync.Once
}

func (s *slow) Ask(context.Context, commands.Asker, string) []reply.Reply {
	s.once.Do(func() {
		close(s.working)
		<-s.release
	})
	return []reply.Reply{{Lead: []string{"Done."}}}
}
func (s *slow) Offered(commands.Asker, string) (string, bool) { return "", false }
func (s *slow) Offer(commands.Asker, string)                  {}
func (s *slow) Commands() *spec.Commands                      { return &spec.Commands{} }

// TestRefusedForGood holds that refused tokens end the run with a clear error.
func TestRefusedForGood(t *testing.T) {
	r := start(t, Socket, nil)
	r.fake.Fail("apps.connections.open", -1, slackfake.Fault{Code: "invalid_auth"})
	ended := make(chan error, 1)
	other, err := New(r.adapter.o)
	require.NoError(t, err)
	go func() { ended <- other.Run(t.Context()) }()
	err = <-ended
	assert.ErrorContains(t, err, "refuses the bot for good")
	assert.NotContains(t, err.Error(), r.fake.AppToken())
	assert.Error(t, other.Ready())
	r.deliver(r.fake.TokensRevoked())
	require.NoError(t, r.stop())
	assert.ErrorContains(t, r.adapter.Ready(), "install the app again")
}

func TestReady(t *testing.T) {
	now := time.Date(2030, time.May, 4, 12, 0, 0, 0, time.UTC)
	var l link
	assert.Error(t, l.ready(now), "no link yet")
	l.set(true, now)
	assert.NoError(t, l.ready(now))
	l.set(false, now)
	assert.NoError(t, l.ready(now.Add(patience)), "links end and begin")
	assert.Error(t, l.ready(now.Add(patience+time.Second)))
	l.set(false, now.Add(2*patience))
	assert.Error(t, l.ready(now.Add(patience+time.Second)), "still the same pause")
	assert.Equal(t, 2, l.set(true, now))
	assert.NoError(t, l.ready(now))
}

// TestPacer holds that a service that accepts a link and drops it is not asked
// more than a few times a minute.
func TestPacer(t *testing.T) {
	now := time.Date(2030, time.May, 4, 12, 0, 0, 0, time.UTC)
	p := &pacer{least: time.Second, most: 5 * time.Minute, now: func() time.Time { return now }}
	assert.Zero(t, p.take(), "the first at once")
	began, n := now, 0
	for now.Sub(began) < 10*time.Minute {
		now = now.Add(p.take())
		n++
	}
	assert.LessOrEqual(t, n, 12)
	now = now.Add(6 * time.Minute)
	assert.Zero(t, p.take(), "a link that lasted is opened again at once")
}

// TestTooFast holds that the pause that the service asks for is kept, once.
func TestTooFast(t *testing.T) {
	overBoth(t, func(t *testing.T, transport Transport) {
		r := start(t, transport, nil)
		var waited []time.Duration
		r.adapter.wait = func(_ context.Context, d time.Duration) error {
			waited = append(waited, d)
			return nil
		}
		r.fake.Fail("response_url", 1, slackfake.Fault{RetryAfter: 9 * time.Second})
		r.ask(question)
		r.fake.Fail("chat.postMessage", 1, slackfake.Fault{RetryAfter: 7 * time.Second})
		r.deliver(r.fake.DirectMessage(slackfake.Moss, "size 61-622", "", nil))
		r.next(slackfake.In(r.fake.Direct(slackfake.Moss)))
		assert.Empty(t, r.incidents.text())
		r.fake.Fail("chat.postMessage", -1, slackfake.Fault{RetryAfter: 7 * time.Second})
		r.deliver(r.fake.DirectMessage(slackfake.Moss, "size 61-622", "", nil))
		require.NoError(t, r.stop())
		assert.Equal(t, []time.Duration{9 * time.Second, 7 * time.Second, 7 * time.Second}, waited)
		assert.Contains(t, r.incidents.text(), "send an answer")
	})
}

// TestAnswerRefused holds that an answer that can't be sent is told to the log
// with what to do, and with no secret.
func TestAnswerRefused(t *testing.T) {
	overBoth(t, func(t *testing.T, transport Transport) {
		r := start(t, transport, nil)
		r.fake.Fail("response_url", 1, slackfake.Fault{Status: http.StatusNotFound})
		in := r.fake.Command(slackfake.Wren, slackfake.General, DefaultCommand, question)
		r.deliver(in)
		r.fake.Fail("response_url", 1, slackfake.Fault{Cut: true})
		r.deliver(r.fake.Command(slackfake.Wren, slackfake.General, DefaultCommand, question))
		r.deliver(r.fake.Mention(slackfake.Moss, slackfake.Outside, "size 61-622", ""))
		_, err := r.fake.Next(t.Context(), slackfake.By("chat.postMessage"))
		require.NoError(t, err)
		r.fake.Fail("chat.postMessage", 1, slackfake.Fault{Code: "missing_scope", Needed: "chat:write"})
		r.deliver(r.fake.DirectMessage(slackfake.Moss, "size 61-622", "", nil))
		require.NoError(t, r.stop())
		text := r.incidents.text()
		for _, want := range []string{"response address answered 404", "lacks a scope", "no member of the channel"} {
			assert.Contains(t, text, want)
		}
		for _, secret := range []string{in.ResponseURL, "/commands/", r.fake.BotToken(), r.fake.AppToken(), r.fake.SigningSecret()} {
			assert.NotContains(t, text, secret)
			assert.NotContains(t, r.log.String(), secret)
		}
	})
}

// TestForeignAddress holds that answers go nowhere but to the service.
func TestForeignAddress(t *testing.T) {
	a := &Adapter{}
	for address, want := range map[string]bool{
		"https://hooks.slack.com/commands/1/2/3": true, "https://slack.com/x": true, "http://hooks.slack.com/commands/1": false,
		"https://hooks.slack.com.evil.example/": false, "https://evilslack.com/": false, "https://a@hooks.slack.com/": false, "": false, "::": false,
	} {
		assert.Equal(t, want, a.ours(address), address)
	}
}

// TestLimits holds that no reply, however large, makes a message that the
// service refuses, and that cautions go out whole.
func TestLimits(t *testing.T) {
	r := rand.New(rand.NewPCG(1, 2))
	for range 50 {
		a := bot.Answer{}
		for range 1 + r.IntN(3) {
			a.Replies = append(a.Replies, bottest.Random(r))
		}
		var shown strings.Builder
		for _, m := range messages(a, true, func(reply.Reply) bool { return true }) {
			forms := [][]slack.Block{m.blocks}
			if m.lined != nil {
				if lined := m.lined(); len(lined) <= mostBlocks {
					forms = append(forms, lined)
				}
			}
			for _, blocks := range forms {
				raw, err := json.Marshal(map[string]any{"channel": "C1", "text": m.text, "blocks": blocks})
				require.NoError(t, err)
				require.NoError(t, slackfake.CheckMessage(raw))
			}
			for _, text := range plainOf(m) {
				raw, err := json.Marshal(map[string]any{"channel": "C1", "text": text})
				require.NoError(t, err)
				require.NoError(t, slackfake.CheckMessage(raw))
			}
			raw, err := json.Marshal(body{Text: m.text, Blocks: m.blocks, Thread: "1.2"})
			require.NoError(t, err)
			ours, err := body{Text: m.text, Blocks: m.blocks, Thread: "1.2"}.encoded()
			require.NoError(t, err)
			assert.JSONEq(t, strings.Replace(string(raw), `{`, `{"replace_original":false,`, 1), string(ours), "as the library encodes it")
			assert.Less(t, len(raw), 20480)
			assert.LessOrEqual(t, len(raw), weight(m.blocks)+6*len(m.text)+200, "no message weighs more than was thought")
			var decoded struct{ Blocks []any }
			require.NoError(t, json.Unmarshal(raw, &decoded))
			shown.WriteString(slackfake.TextOf(decoded.Blocks))
		}
		flat := strings.Join(strings.Fields(shown.String()), "")
		for _, reply := range a.Replies {
			for _, c := range reply.Cautions {
				assert.Contains(t, flat, strings.Join(strings.Fields("Caution: "+render.Safe(c.Text)), ""))
			}
		}
	}
}

func TestSplit(t *testing.T) {
	for _, c := range []struct {
		text string
		most int
		want []string
	}{
		{"", 5, nil},
		{"abc", 5, []string{"abc"}},
		{"abc\ndef", 5, []string{"abc", "def"}},
		{"abcdefgh", 5, []string{"abcde", "fgh"}},
		{"🚲🚲🚲", 5, []string{"🚲🚲", "🚲"}},
	} {
		assert.Equal(t, c.want, split(c.text, c.most), "%q", c.text)
	}
}

// TestManifest holds the limits of a manifest.
// https://docs.slack.dev/reference/app-manifest
func TestManifest(t *testing.T) {
	set := realDesk(t, &incidents{}).Commands()
	for _, o := range []ManifestOptions{{}, {Command: "/wheels", Transport: HTTP, Address: "https://bot.larkmoor.example/slack"}} {
		text, err := Manifest(set, o)
		require.NoError(t, err)
		var m manifest
		require.NoError(t, yaml.Unmarshal(text, &m))
		assert.LessOrEqual(t, units(m.Display.Name), 35)
		assert.LessOrEqual(t, units(m.Display.Description), 140)
		assert.GreaterOrEqual(t, units(m.Display.Long), 174, "shorter ones are refused")
		assert.LessOrEqual(t, units(m.Display.Long), 4000)
		assert.LessOrEqual(t, units(m.Features.Bot.Name), 80)
		require.Len(t, m.Features.Commands, 1)
		c := m.Features.Commands[0]
		assert.Regexp(t, `^/[a-z-]{1,31}$`, c.Command)
		assert.LessOrEqual(t, units(c.Description), 2000)
		assert.LessOrEqual(t, units(c.Usage), 1000)
		assert.True(t, m.Features.Home.Messages, "else nobody can write to the bot")
		assert.Equal(t, o.Address, c.URL)
		assert.Equal(t, o.Address, m.Settings.Interactivity.URL)
		assert.Equal(t, o.Transport != HTTP, m.Settings.Socket)
		for _, command := range set.All {
			assert.Contains(t, m.Display.Long, command.Summary)
		}
	}
	_, err := Manifest(set, ManifestOptions{Transport: HTTP})
	assert.ErrorContains(t, err, "want one that begins with https://")
}

func TestNewRefuses(t *testing.T) {
	h := bot.NewHandler(bot.Options{Desk: realDesk(t, &incidents{})})
	note := func(error) string { return "" }
	for _, c := range []struct {
		o    Options
		want string
	}{
		{Options{}, "no handler"},
		{Options{Handler: h, Incident: note}, "no bot token"},
		{Options{Handler: h, Incident: note, BotToken: "x"}, "no app token"},
		{Options{Handler: h, Incident: note, BotToken: "x", Transport: HTTP}, "no signing secret"},
		{Options{Handler: h, Incident: note, BotToken: "x", Transport: "pigeon"}, "want socket or http"},
		{Options{Handler: h, Incident: note, BotToken: "x", AppToken: "x", Command: "spokeword"}, "begins with a slash"},
	} {
		_, err := New(c.o)
		assert.ErrorContains(t, err, c.want)
	}
}

// FuzzRequests holds that whatever a signed request holds, the bot neither
// panics nor stumbles.
func FuzzRequests(f *testing.F) {
	desk := &slow{}
	desk.once.Do(func() {})
	panics := func(err error) string {
		if strings.Contains(err.Error(), "panic: ") {
			panic(err)
		}
		return ""
	}
	h := bot.NewHandler(bot.Options{Desk: desk, Incident: panics})
	a, err := New(Options{Handler: h, Incident: panics, BotToken: "x", SigningSecret: "x", Transport: HTTP, APIURL: "http://127.0.0.1:1/api/", Client: &http.Client{Transport: nowhere{}}})
	require.NoError(f, err)
	for _, seed := range []string{"command=%2Fspokeword&text=x&team_id=T1&user_id=U1&response_url=http://127.0.0.1:1/x&trigger_id=1", `payload={"type":"block_actions","actions":[{"action_id":"say-1","value":"x"}]}`,
		`payload={"type":"view_submission","view":{"private_metadata":"{}","state":{"values":{"a":{"b":{"value":"x"}}}}}}`, `payload=[]`, `payload=null`} {
		f.Add(true, seed)
	}
	for _, seed := range []string{`{"type":"url_verification","challenge":"x"}`, `{"type":"event_callback","event_id":"E1","team_id":"T1","event":{"type":"message","channel_type":"im","user":"U1","text":"<@U2> x","ts":"1.2","channel":"D1"}}`, `null`, `[]`, `{`} {
		f.Add(false, seed)
	}
	f.Fuzz(func(t *testing.T, form bool, content string) {
		r := httptest.NewRequest(http.MethodPost, "/", strings.NewReader(content))
		r.Header.Set("Content-Type", "application/json")
		if form {
			r.Header.Set("Content-Type", "application/x-www-form-urlencoded")
		}
		stamp, signature := slackfake.Sign("x", time.Now(), []byte(content))
		r.Header.Set("X-Slack-Request-Timestamp", stamp)
		r.Header.Set("X-Slack-Signature", signature)
		w := httptest.NewRecorder()
		a.ServeHTTP(w, r)
		if w.Code >= 500 {
			t.Errorf("%q: status %v", content, w.Code)
		}
	})
}

// nowhere is a net on which nothing is reached.
type nowhere struct{}

func (nowhere) RoundTrip(*http.Request) (*http.Response, error) {
	return nil, errors.New("no net in this test")
}
