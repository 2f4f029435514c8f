package slackfake_test

import (
	"context"
	"errors"
	"io"
	"net/http"
	"net/url"
	"strings"
	"sync"
	"testing"
	"time"

	"github.com/slack-go/slack"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"spokeword/bot/slackfake"
)

// call calls a method with a form, as any client might.
func call(t testing.TB, s *slackfake.Server, method, token string, form url.Values) (int, string) {
	r, err := http.NewRequestWithContext(t.Context(), http.MethodPost, s.APIURL()+method, strings.NewReader(form.Encode()))
	require.NoError(t, err)
	r.Header.Set("Content-Type", "application/x-www-form-urlencoded")
	if token != "" {
		r.Header.Set("Authorization", "Bearer "+token)
	}
	return do(t, r)
}

func do(t testing.TB, r *http.Request) (int, string) {
	res, err := http.DefaultClient.Do(r)
	require.NoError(t, err)
	defer res.Body.Close()
	raw, err := io.ReadAll(res.Body)
	require.NoError(t, err)
	return res.StatusCode, string(raw)
}

// answer sends JSON to a response URL.
func answer(t testing.TB, url, body string) (int, string) {
	r, err := http.NewRequestWithContext(t.Context(), http.MethodPost, url, strings.NewReader(body))
	require.NoError(t, err)
	r.Header.Set("Content-Type", "application/json")
	return do(t, r)
}

func TestTokens(t *testing.T) {
	s, api := start(t, slackfake.Options{Scopes: []string{"commands"}})
	for _, c := range []struct{ method, token, want string }{
		{"auth.test", s.BotToken(), `"ok":true`},
		{"auth.test", "", `"error":"not_authed"`},
		{"auth.test", "xoxb-other", `"error":"invalid_auth"`},
		{"auth.test", s.AppToken(), `"error":"not_allowed_token_type"`},
		{"apps.connections.open", s.AppToken(), `"ok":true`},
		{"apps.connections.open", s.BotToken(), `"error":"not_allowed_token_type"`},
		{"chat.levitate", s.BotToken(), `"error":"unknown_method"`},
		{"chat.postMessage", s.BotToken(), `"needed":"chat:write"`},
	} {
		_, got := call(t, s, c.method, c.token, url.Values{"channel": {slackfake.General}, "text": {"t"}})
		assert.Contains(t, got, c.want, "%s with %q", c.method, c.token)
	}
	res, err := api.AuthTestContext(t.Context())
	require.NoError(t, err)
	assert.Equal(t, "commands", res.Header.Get("X-OAuth-Scopes"))
	assert.Equal(t, slackfake.BotUser, res.UserID)

	r, err := http.NewRequestWithContext(t.Context(), http.MethodGet, s.APIURL()+"auth.test?token="+s.BotToken(), nil)
	require.NoError(t, err)
	_, got := do(t, r)
	assert.Contains(t, got, "invalid_auth")
	assert.Contains(t, s.Violations(), slackfake.Violation{Where: "auth.test", What: "the token stands in the address"})
}

func TestMessages(t *testing.T) {
	s, api := start(t, slackfake.Options{})
	ctx := t.Context()
	for channel, want := range map[string]string{slackfake.Outside: "not_in_channel", slackfake.Committee: "channel_not_found", "C9": "channel_not_found"} {
		_, _, err := api.PostMessageContext(ctx, channel, slack.MsgOptionText("t", false))
		assert.EqualError(t, err, want)
	}
	channel, ts, err := api.PostMessageContext(ctx, slackfake.Wren, slack.MsgOptionText("one", false))
	require.NoError(t, err)
	assert.Equal(t, s.Direct(slackfake.Wren), channel, "a person's id means where they talk to the bot")
	_, _, _, err = api.UpdateMessageContext(ctx, channel, ts, slack.MsgOptionText("two", false))
	require.NoError(t, err)
	require.Len(t, s.Messages(channel), 1)
	assert.Equal(t, "two", s.Messages(channel)[0].Text)
	_, _, _, err = api.UpdateMessageContext(ctx, channel, "1.1", slack.MsgOptionText("two", false))
	assert.EqualError(t, err, "message_not_found")
	_, _, err = api.DeleteMessageContext(ctx, channel, ts)
	require.NoError(t, err)
	assert.Empty(t, s.Messages(channel))

	_, err = api.PostEphemeralContext(ctx, slackfake.General, slackfake.Moss, slack.MsgOptionText("psst", false))
	require.NoError(t, err)
	assert.Empty(t, s.Messages(slackfake.General))
	assert.Len(t, s.Ephemerals(slackfake.Moss), 1)
	_, err = api.PostEphemeralContext(ctx, slackfake.General, "U9", slack.MsgOptionText("psst", false))
	assert.EqualError(t, err, "user_not_in_channel")
	assert.Empty(t, s.Violations(), "nothing a bot could have known")

	_, _, err = api.PostMessageContext(ctx, slackfake.General, slack.MsgOptionBlocks(slack.NewHeaderBlock(slack.NewTextBlockObject(slack.PlainTextType, strings.Repeat("x", 151), false, false))))
	var refused slack.SlackErrorResponse
	require.ErrorAs(t, err, &refused)
	assert.Equal(t, "invalid_blocks", refused.Err)
	assert.Equal(t, []string{"[ERROR] must be less than 151 characters [json-pointer:/blocks/0/text/text]"}, refused.ResponseMetadata.Messages)
	assert.Len(t, s.Violations(), 1)
}

func TestTablesRefused(t *testing.T) {
	s, api := start(t, slackfake.Options{RefuseTables: true})
	post := func() error {
		_, _, err := api.PostMessageContext(t.Context(), slackfake.General, slack.MsgOptionText("t", false),
			slack.MsgOptionBlocks(slack.NewTableBlock("").AddRow(slack.NewTableRawTextCell("front"), slack.NewTableRawTextCell("24 psi"))))
		return err
	}
	assert.EqualError(t, post(), "invalid_blocks")
	s.SetRefuseTables(false)
	require.NoError(t, post())
	assert.Equal(t, "front | 24 psi", slackfake.Text(s.Messages(slackfake.General)[0]))
}

func TestSecretsInSight(t *testing.T) {
	s, api := start(t, slackfake.Options{})
	u := s.ResponseURL(slackfake.Wren, slackfake.General)
	for _, secret := range []string{s.BotToken(), s.AppToken(), s.SigningSecret(), u} {
		before := len(s.Violations())
		_, _, err := api.PostMessageContext(t.Context(), slackfake.General, slack.MsgOptionText("error: "+secret, false))
		require.NoError(t, err)
		assert.Len(t, s.Violations(), before+1)
	}
	s.Drain()
	_, _, err := api.PostMessageContext(t.Context(), slackfake.General, slack.MsgOptionText("t", false))
	require.NoError(t, err)
	seen, err := s.Since(t.Context(), 0)
	require.NoError(t, err)
	assert.NotContains(t, string(seen[len(seen)-1].Raw)+string(seen[len(seen)-2].Message.Raw), s.BotToken(), "what is kept of a call")
	before := len(s.Violations())
	r, err := http.NewRequestWithContext(t.Context(), http.MethodPost, u, strings.NewReader(`{"text":"t"}`))
	require.NoError(t, err)
	r.Header.Set("Content-Type", "application/json")
	r.Header.Set("Authorization", "Bearer "+s.BotToken())
	code, _ := do(t, r)
	assert.Equal(t, http.StatusOK, code)
	assert.Len(t, s.Violations(), before+1, "a response URL needs no token")
	_, _ = answer(t, u, `{"text":"t","token":"xoxb"}`)
	assert.Len(t, s.Violations(), before+2, "nor in the body")
}

func TestResponseURL(t *testing.T) {
	c := newClock()
	s, _ := start(t, slackfake.Options{Now: func() time.Time { return c.now }})
	u := s.ResponseURL(slackfake.Wren, slackfake.Committee)
	for _, w := range []struct {
		body, want string
		code       int
	}{
		{`{"text":"x","response_type":"shout"}`, "invalid_arguments", 400},
		{`{"text":""}`, "no_text", 400},
		{`{"text":"x","blocks":[{"type":"poem"}]}`, "invalid_blocks", 400},
		{`{`, "invalid_payload", 400},
	} {
		code, got := answer(t, s.ResponseURL(slackfake.Wren, slackfake.General), w.body)
		assert.Equal(t, w.want, got)
		assert.Equal(t, w.code, code)
	}
	_, _ = answer(t, u, `{"text":"one"}`)
	_, _ = answer(t, u, `{"text":"for all","response_type":"in_channel"}`)
	_, _ = answer(t, u, `{"text":"one, mended","replace_original":true}`)
	require.Len(t, s.Ephemerals(slackfake.Wren), 1, "where no message of the bot is, nothing need be a member")
	assert.Equal(t, "one, mended", s.Ephemerals(slackfake.Wren)[0].Text)
	assert.Len(t, s.Messages(slackfake.Committee), 1)
	code, _ := answer(t, u, `{"delete_original":true}`)
	assert.Equal(t, 200, code)
	assert.Empty(t, s.Ephemerals(slackfake.Wren))
	c.now = c.now.Add(30 * time.Minute)
	code, got := answer(t, u, `{"text":"five"}`)
	assert.Equal(t, 200, code, got)
	code, got = answer(t, u, `{"text":"six"}`)
	assert.Equal(t, "used_url", got)
	assert.Equal(t, 404, code)
	old := s.ResponseURL(slackfake.Wren, slackfake.General)
	c.now = c.now.Add(30*time.Minute + time.Second)
	_, got = answer(t, old, `{"text":"late"}`)
	assert.Equal(t, "expired_url", got)
	code, _ = answer(t, s.URL()+"/commands/T0LARKMOOR/guessed", `{"text":"t"}`)
	assert.Equal(t, 404, code)
}

func TestResponseURLRefusesInJSON(t *testing.T) {
	s, api := start(t, slackfake.Options{RefuseResponsesInJSON: true})
	_, _, err := api.PostMessageContext(t.Context(), "", slack.MsgOptionResponseURL(s.ResponseURL(slackfake.Wren, slackfake.General), "ephemeral"), slack.MsgOptionText("", false))
	assert.EqualError(t, err, "no_text")
}

func TestViews(t *testing.T) {
	c := newClock()
	s, api := start(t, slackfake.Options{Now: func() time.Time { return c.now }})
	ctx := t.Context()
	label := slack.NewTextBlockObject(slack.PlainTextType, "Size", false, false)
	in := slack.NewInputBlock("size", label, nil, slack.NewPlainTextInputBlockElement(nil, "size").WithMaxLength(5))
	form := slack.ModalViewRequest{Type: slack.VTModal, Title: label, Submit: label, CallbackID: "form", PrivateMetadata: "line", Blocks: slack.Blocks{BlockSet: []slack.Block{in}}}

	used := s.Command(slackfake.Wren, slackfake.General, "/spoke", "")
	c.now = c.now.Add(3 * time.Second)
	res, err := api.OpenViewContext(ctx, used.TriggerID, form)
	require.NoError(t, err, "3 s old is young enough")
	_, err = api.OpenViewContext(ctx, used.TriggerID, form)
	assert.EqualError(t, err, "exchanged_trigger_id")
	old := s.Command(slackfake.Wren, slackfake.General, "/spoke", "")
	c.now = c.now.Add(3*time.Second + time.Millisecond)
	_, err = api.OpenViewContext(ctx, old.TriggerID, form)
	assert.EqualError(t, err, "expired_trigger_id")

	v, ok := s.View(res.View.ID)
	require.True(t, ok)
	assert.Equal(t, slackfake.Wren, v.User)
	assert.Equal(t, "line", v.Private)
	_, err = s.Submit(v, map[string]string{"size": "too long"})
	assert.Error(t, err)
	_, err = s.Submit(v, map[string]string{"colour": "red"})
	assert.Error(t, err)
	_, err = s.Submit(v, nil)
	assert.Error(t, err, "the input is not optional")

	_, err = api.UpdateViewContext(ctx, form, "", "stale", v.ID)
	assert.EqualError(t, err, "hash_conflict")
	_, err = api.UpdateViewContext(ctx, form, "", v.Hash, v.ID)
	require.NoError(t, err)

	home := slack.HomeTabViewRequest{Type: slack.VTHomeTab, Blocks: slack.Blocks{BlockSet: []slack.Block{slack.NewDividerBlock()}}}
	_, err = api.PublishViewContext(ctx, slack.PublishViewContextRequest{UserID: slackfake.Moss, View: home})
	require.NoError(t, err)
	_, ok = s.Home(slackfake.Moss)
	assert.True(t, ok)
}

func TestFiles(t *testing.T) {
	s, api := start(t, slackfake.Options{})
	ctx := t.Context()
	up := slack.UploadFileParameters{Filename: "wheel.png", FileSize: 4, Reader: strings.NewReader("PNG!"), Channel: slackfake.General, AltTxt: "a wheel"}
	_, err := api.UploadFileContext(ctx, up)
	require.NoError(t, err)
	ms := s.Messages(slackfake.General)
	require.Len(t, ms, 1)
	assert.Equal(t, "PNG!", string(ms[0].Files[0].Data))
	assert.Equal(t, "a wheel", ms[0].Files[0].Alt)
	up.Reader, up.Channel = strings.NewReader("PNG!"), slackfake.Outside
	_, err = api.UploadFileContext(ctx, up)
	assert.ErrorContains(t, err, "not_in_channel")
	up.Reader, up.FileSize = strings.NewReader("PNG!"), 5
	_, err = api.UploadFileContext(ctx, up)
	assert.Error(t, err, "fewer bytes than announced")

	f := s.AddFile(slackfake.Wren, "wheels.csv", []byte("erd,600\n"))
	info, _, _, err := api.GetFileInfoContext(ctx, f.ID, 0, 0)
	require.NoError(t, err)
	var got strings.Builder
	require.NoError(t, api.GetFileContext(ctx, info.URLPrivateDownload, &got))
	assert.Equal(t, "erd,600\n", got.String())
}

func TestPeople(t *testing.T) {
	s, api := start(t, slackfake.Options{})
	ctx := t.Context()
	u, err := api.GetUserInfoContext(ctx, slackfake.Heath)
	require.NoError(t, err)
	assert.Equal(t, "de-DE", u.Locale)
	assert.Equal(t, 3600, u.TZOffset)
	_, err = api.GetUserInfoContext(ctx, "U9")
	assert.EqualError(t, err, "user_not_found")
	b, err := api.GetBotInfoContext(ctx, slack.GetBotInfoParameters{Bot: slackfake.BotID})
	require.NoError(t, err)
	assert.Equal(t, slackfake.AppID, b.AppID)
	c, _, _, err := api.OpenConversationContext(ctx, &slack.OpenConversationParameters{Users: []string{slackfake.Wren}})
	require.NoError(t, err)
	assert.Equal(t, s.Direct(slackfake.Wren), c.ID)
	_, _, _, err = api.JoinConversationContext(ctx, slackfake.Outside)
	require.NoError(t, err)
	_, _, err = api.PostMessageContext(ctx, slackfake.Outside, slack.MsgOptionText("hello", false))
	assert.NoError(t, err, "a member now")
}

func TestFaults(t *testing.T) {
	s, api := start(t, slackfake.Options{})
	ctx := t.Context()
	post := func(ctx context.Context) error {
		_, _, err := api.PostMessageContext(ctx, slackfake.General, slack.MsgOptionText("t", false))
		return err
	}
	s.Fail("chat.postMessage", 1, slackfake.Fault{RetryAfter: 7 * time.Second})
	var limited *slack.RateLimitedError
	require.ErrorAs(t, post(ctx), &limited)
	assert.Equal(t, 7*time.Second, limited.RetryAfter)
	s.Fail("chat.postMessage", 1, slackfake.Fault{Status: 500})
	var status slack.StatusCodeError
	require.ErrorAs(t, post(ctx), &status)
	assert.Equal(t, 500, status.Code)
	s.Fail("chat.postMessage", 2, slackfake.Fault{Code: "is_archived"})
	assert.EqualError(t, post(ctx), "is_archived")
	assert.EqualError(t, post(ctx), "is_archived")
	assert.NoError(t, post(ctx), "the fault is used up")
	s.Fail("chat.postMessage", 1, slackfake.Fault{Cut: true})
	assert.Error(t, post(ctx))
	assert.Len(t, s.Messages(slackfake.General), 1)
	s.Fail("chat.postMessage", 1, slackfake.Fault{Cut: true, After: true})
	assert.Error(t, post(ctx))
	assert.Len(t, s.Messages(slackfake.General), 2, "only the answer was lost")

	s.Drain()
	release := s.Fail("chat.postMessage", -1, slackfake.Fault{Hang: true})
	var wg sync.WaitGroup
	for range 3 {
		wg.Go(func() { assert.Error(t, post(ctx)) })
	}
	for range 3 {
		_, err := s.Next(ctx, slackfake.By("chat.postMessage"), func(r slackfake.Record) bool { return r.Code == "fault" && len(r.Raw) > 0 })
		require.NoError(t, err)
	}
	release()
	release()
	wg.Wait()
	assert.NoError(t, post(ctx))
}

func TestNext(t *testing.T) {
	s, api := start(t, slackfake.Options{})
	ctx, cancel := context.WithCancelCause(t.Context())
	enough := errors.New("enough")
	cancel(enough)
	_, err := s.Next(ctx, slackfake.Of(slackfake.Posted))
	assert.ErrorIs(t, err, enough)
	for _, text := range []string{"one", "two"} {
		_, _, err := api.PostMessageContext(t.Context(), slackfake.General, slack.MsgOptionText(text, false))
		require.NoError(t, err)
	}
	m, err := s.NextMessage(t.Context(), slackfake.Saying("two"))
	require.NoError(t, err)
	assert.Equal(t, "two", m.Text)
	m, err = s.NextMessage(t.Context(), slackfake.In(slackfake.General))
	require.NoError(t, err)
	assert.Equal(t, "one", m.Text, "what was passed over is still there")
	all, err := s.Since(t.Context(), 0)
	require.NoError(t, err)
	assert.Len(t, all, 4, "two calls, two messages; Next takes nothing from Since")
	s.Drain()
	require.NoError(t, s.Close())
	_, err = s.Next(t.Context())
	assert.Error(t, err, "nothing comes any more")
}

func TestOnlyLoopback(t *testing.T) {
	_, err := slackfake.New(slackfake.Options{Addr: "0.0.0.0:0"})
	assert.ErrorContains(t, err, "want one of this machine")
}
