package slackfake_test

import (
	"context"
	"encoding/json"
	"io"
	"net/http"
	"net/http/httptest"
	"net/url"
	"testing"
	"time"

	"github.com/slack-go/slack"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"spokeword/bot/slackfake"
)

// bot is a bot's address that verifies with the real client's code and answers by do.
// What it saw is in requests.
func bot(t testing.TB, s *slackfake.Server, do http.HandlerFunc) (requests chan *http.Request) {
	requests = make(chan *http.Request, 100)
	h := httptest.NewServer(http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		raw, _ := io.ReadAll(r.Body)
		r.PostForm, _ = url.ParseQuery(string(raw))
		requests <- r
		v, err := slack.NewSecretsVerifier(r.Header, s.SigningSecret())
		if err == nil {
			_, _ = v.Write(raw)
			err = v.Ensure()
		}
		if err != nil || len(raw) == 0 {
			w.WriteHeader(http.StatusUnauthorized)
			return
		}
		var said struct{ Challenge string }
		if json.Unmarshal(raw, &said) == nil && said.Challenge != "" {
			_, _ = io.WriteString(w, said.Challenge)
			return
		}
		do(w, r)
	}))
	t.Cleanup(h.Close)
	s.SetEndpoints(h.URL+"/commands", h.URL+"/interactions", h.URL+"/events")
	return requests
}

func TestPost(t *testing.T) {
	s, _ := start(t, slackfake.Options{})
	_, err := s.Post(t.Context(), s.AppUninstalled())
	require.ErrorContains(t, err, "want SetEndpoints")
	requests := bot(t, s, func(w http.ResponseWriter, r *http.Request) {
		if r.URL.Path == "/commands" {
			w.Header().Set("Content-Type", "application/json")
			_, _ = io.WriteString(w, `{"response_type":"in_channel","text":"`+r.PostForm.Get("text")+`"}`)
		}
	})
	require.NoError(t, s.Verify(t.Context()))
	assert.Equal(t, "application/json", (<-requests).Header.Get("Content-Type"))

	in := s.Command(slackfake.Wren, slackfake.Committee, "/spoke", "24 psi")
	_, err = s.Post(t.Context(), in)
	require.NoError(t, err)
	r := <-requests
	assert.Equal(t, "application/x-www-form-urlencoded", r.Header.Get("Content-Type"))
	for key, want := range map[string]string{"command": "/spoke", "response_url": in.ResponseURL, "trigger_id": in.TriggerID, "channel_name": "privategroup", "user_name": "wren"} {
		assert.Equal(t, want, r.PostForm.Get(key))
	}
	m, err := s.NextMessage(t.Context(), slackfake.By("answer"))
	require.NoError(t, err)
	assert.Equal(t, "24 psi", m.Text)
	assert.False(t, m.Ephemeral())

	_, err = s.Post(t.Context(), s.InteractionOf(slackfake.Wren, "shortcut", map[string]any{"callback_id": "new"}))
	require.NoError(t, err)
	var p struct{ Type string }
	require.NoError(t, json.Unmarshal([]byte((<-requests).PostForm.Get("payload")), &p))
	assert.Equal(t, "shortcut", p.Type)
	assert.Empty(t, s.Violations())
}

func TestPostAgain(t *testing.T) {
	s, _ := start(t, slackfake.Options{})
	status, header := http.StatusInternalServerError, ""
	requests := bot(t, s, func(w http.ResponseWriter, _ *http.Request) {
		if header != "" {
			w.Header().Set(header, "1")
		}
		w.WriteHeader(status)
	})
	_, err := s.Post(t.Context(), s.Mention(slackfake.Wren, slackfake.General, "hello", ""))
	require.ErrorContains(t, err, "http_error")
	assert.Empty(t, (<-requests).Header.Get("X-Slack-Retry-Num"))
	_, err = s.Redeliver(t.Context())
	require.Error(t, err)
	r := <-requests
	assert.Equal(t, "1", r.Header.Get("X-Slack-Retry-Num"))
	assert.Equal(t, "http_error", r.Header.Get("X-Slack-Retry-Reason"))
	require.Len(t, s.Pending(), 1)

	header = "X-Slack-No-Retry"
	_, err = s.Post(t.Context(), s.AppUninstalled())
	require.Error(t, err)
	assert.Len(t, s.Pending(), 1, "the bot asked for no more")

	_, err = s.Post(t.Context(), s.Command(slackfake.Wren, slackfake.General, "/spoke", ""))
	require.Error(t, err)
	f, err := s.Next(t.Context(), slackfake.Of(slackfake.Failed))
	require.NoError(t, err)
	assert.Equal(t, "dispatch_failed", f.Code)
	assert.Len(t, s.Pending(), 1, "a command is never sent again")
}

func TestPostTooLate(t *testing.T) {
	s, _ := start(t, slackfake.Options{})
	hold := make(chan struct{})
	bot(t, s, func(http.ResponseWriter, *http.Request) { <-hold })
	defer close(hold)
	ctx, cancel := context.WithCancel(t.Context())
	done := make(chan error, 1)
	go func() { _, err := s.Post(ctx, s.AppUninstalled()); done <- err }()
	cancel()
	require.ErrorContains(t, <-done, "timeout")
	assert.Equal(t, "http_timeout", s.Pending()[0].Inbound.Reason)
}

func TestPostNobody(t *testing.T) {
	s, _ := start(t, slackfake.Options{Events: "http://127.0.0.1:1/events"})
	_, err := s.Post(t.Context(), s.AppUninstalled())
	require.ErrorContains(t, err, "connection_failed")
	assert.Equal(t, "connection_failed", s.Pending()[0].Inbound.Reason)
}

func TestForgeries(t *testing.T) {
	s, _ := start(t, slackfake.Options{})
	bot(t, s, func(http.ResponseWriter, *http.Request) {})
	for _, in := range []slackfake.Inbound{s.Command(slackfake.Wren, slackfake.General, "/spoke", "24 psi"), s.AppUninstalled()} {
		r, err := s.Request(t.Context(), in)
		require.NoError(t, err)
		code, _ := do(t, r)
		require.Equal(t, 200, code, "the true one")
		r, err = s.Replay(t.Context())
		require.NoError(t, err)
		code, _ = do(t, r)
		assert.Equal(t, 200, code, "a replay is signed well")
		for _, how := range slackfake.Forgeries {
			r, err := s.Forge(t.Context(), in, how)
			require.NoError(t, err)
			code, _ := do(t, r)
			assert.Equal(t, 401, code, how)
		}
	}
	_, err := s.Forge(t.Context(), s.AppUninstalled(), "with a smile")
	assert.Error(t, err)
}

// TestSign checks the signature of the example that the documentation computes.
// https://docs.slack.dev/authentication/verifying-requests-from-slack
func TestSign(t *testing.T) {
	body := "token=xyzz0WbapA4vBCDEFasx0q6G&team_id=T1DC2JH3J&team_domain=testteamnow&channel_id=G8PSS9T3V&channel_name=foobar&user_id=U2CERLKJA&user_name=roadrunner&command=%2Fwebhook-collect&text=&response_url=https%3A%2F%2Fhooks.slack.com%2Fcommands%2FT1DC2JH3J%2F397700885554%2F96rGlfmibIGlgcZRskXaIFfN&trigger_id=398738663015.47445629121.803a0bc887a14d10d2c447fce8b6703c"
	stamp, signature := slackfake.Sign("8f742231b10e8888abcd99yyyzzz85a5", time.Unix(1531420618, 0), []byte(body))
	assert.Equal(t, "1531420618", stamp)
	assert.Equal(t, "v0=a2114d57b48eac39b9ad189dd8316235a7b4a8d21a10bd27519666489c69b503", signature)
}

func TestSubmissions(t *testing.T) {
	s, api := start(t, slackfake.Options{})
	reply := ""
	bot(t, s, func(w http.ResponseWriter, _ *http.Request) {
		w.Header().Set("Content-Type", "application/json")
		_, _ = io.WriteString(w, reply)
	})
	label := slack.NewTextBlockObject(slack.PlainTextType, "Size", false, false)
	in := slack.NewInputBlock("size", label, nil, slack.NewPlainTextInputBlockElement(nil, "mark"))
	form := slack.ModalViewRequest{Type: slack.VTModal, Title: label, Submit: label, Blocks: slack.Blocks{BlockSet: []slack.Block{in}}}
	res, err := api.OpenViewContext(t.Context(), s.Command(slackfake.Wren, slackfake.General, "/spoke", "").TriggerID, form)
	require.NoError(t, err)
	submit := func() {
		v, _ := s.View(res.View.ID)
		sent, err := s.Submit(v, map[string]string{"mark": "61-622"})
		require.NoError(t, err)
		_, err = s.Post(t.Context(), sent)
		require.NoError(t, err)
	}
	s.Drain()
	reply = `{"response_action":"errors","errors":{"size":"no such size"}}`
	submit()
	r, err := s.Next(t.Context(), slackfake.Of(slackfake.Viewed))
	require.NoError(t, err)
	assert.Equal(t, "no such size", r.Code)
	assert.Empty(t, s.Violations())
	for _, bad := range []string{`{"response_action":"errors","errors":{"mark":"at an action"}}`, `{"response_action":"errors"}`, `{"response_action":"dance"}`, `[]`, `{"response_action":"update","view":{"type":"modal"}}`} {
		before := len(s.Violations())
		reply = bad
		submit()
		assert.Len(t, s.Violations(), before+1, bad)
	}
	reply = `{"response_action":"update","view":{"type":"modal","title":{"type":"plain_text","text":"Done"},"blocks":[]}}`
	submit()
	v, _ := s.View(res.View.ID)
	assert.Equal(t, "Done", v.Title)
	reply = ""
	v, _ = s.View(res.View.ID)
	sent, err := s.Submit(v, nil)
	require.NoError(t, err)
	_, err = s.Post(t.Context(), sent)
	require.NoError(t, err)
	v, _ = s.View(res.View.ID)
	assert.True(t, v.Closed)
}
