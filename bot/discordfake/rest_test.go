package discordfake_test

import (
	"bytes"
	"context"
	"encoding/json"
	"fmt"
	"io"
	"mime/multipart"
	"net/http"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"spokeword/bot/discordfake"
)

// m is a JSON object.
type m = map[string]any

// rest is a bot that speaks REST by hand.
type rest struct {
	t     testing.TB
	s     *discordfake.Server
	c     *http.Client
	clock *discordfake.Manual
}

var noon = time.Date(2026, 5, 4, 12, 0, 0, 0, time.UTC)

func newRest(t testing.TB, o discordfake.Options) rest {
	clock := discordfake.NewManual(noon)
	o.Clock = clock
	s, _ := start(t, o)
	return rest{t, s, s.Client(patience), clock}
}

// answer is what a request got.
type answer struct {
	status int
	header http.Header
	body   string
}

// code is that of an error answer.
func (a answer) code() int {
	var b struct{ Code int }
	_ = json.Unmarshal([]byte(a.body), &b)
	return b.Code
}

// at is the first mistake noted at a path in an Invalid Form Body.
func (a answer) at(path ...string) string {
	var b struct{ Errors any }
	_ = json.Unmarshal([]byte(a.body), &b)
	for _, p := range append(path, "_errors") {
		o, _ := b.Errors.(m)
		b.Errors = o[p]
	}
	if list, ok := b.Errors.([]any); ok {
		return list[0].(m)["code"].(string)
	}
	return ""
}

func (r rest) do(q *http.Request) answer {
	r.t.Helper()
	q.Header.Set("User-Agent", "DiscordBot (https://example.org, 1)")
	w, err := r.c.Do(q)
	require.NoError(r.t, err)
	defer w.Body.Close()
	b, err := io.ReadAll(w.Body)
	require.NoError(r.t, err)
	return answer{w.StatusCode, w.Header, string(b)}
}

func (r rest) request(method, path string, body any) *http.Request {
	r.t.Helper()
	var b io.Reader
	if body != nil {
		text, err := json.Marshal(body)
		require.NoError(r.t, err)
		b = bytes.NewReader(text)
	}
	q, err := http.NewRequest(method, "https://discord.com/api/v10/"+path, b)
	require.NoError(r.t, err)
	if body != nil {
		q.Header.Set("Content-Type", "application/json")
	}
	return q
}

// ask sends a request without the bot's token.
func (r rest) ask(method, path string, body any) answer {
	r.t.Helper()
	return r.do(r.request(method, path, body))
}

// own sends a request with the bot's token.
func (r rest) own(method, path string, body any) answer {
	r.t.Helper()
	q := r.request(method, path, body)
	q.Header.Set("Authorization", "Bot "+r.s.Token())
	return r.do(q)
}

func (r rest) callback(in discordfake.Interaction, kind int, data any) answer {
	r.t.Helper()
	body := m{"type": kind}
	if data != nil {
		body["data"] = data
	}
	return r.ask("POST", "interactions/"+in.ID+"/"+in.Token+"/callback", body)
}

func (r rest) slash() discordfake.Interaction {
	return r.s.Open(discordfake.Slash(discordfake.InGuild("100"), "ask"))
}

func hook(in discordfake.Interaction, rest string) string {
	return "webhooks/" + in.ApplicationID + "/" + in.Token + rest
}

// said is message data that pings nobody.
func said(content string) m { return m{"content": content, "allowed_mentions": quiet} }

var quiet = m{"parse": []string{}}

func TestInteractionsAreAnsweredOnceAndInTime(t *testing.T) {
	r := newRest(t, discordfake.Options{})
	in := r.slash()
	r.clock.Advance(3 * time.Second)
	assert.Equal(t, 204, r.callback(in, 4, said("first")).status)
	again := r.callback(in, 4, said("second"))
	assert.Equal(t, []int{400, 40060}, []int{again.status, again.code()})

	late := r.slash()
	r.clock.Advance(3*time.Second + time.Millisecond)
	a := r.callback(late, 4, said("late"))
	assert.Equal(t, []int{404, 10062}, []int{a.status, a.code()})

	strange := r.slash()
	strange.Token += "x"
	assert.Equal(t, 10062, r.callback(strange, 4, said("")).code())
	strange = r.slash()
	strange.ID += "1"
	assert.Equal(t, 10062, r.callback(strange, 4, said("")).code())
}

func TestARefusedAnswerLeavesTheInteractionOpen(t *testing.T) {
	r := newRest(t, discordfake.Options{})
	in := r.slash()
	a := r.callback(in, 4, said(strings.Repeat("x", 2001)))
	assert.Equal(t, 400, a.status)
	assert.JSONEq(t, `{"code":50035,"message":"Invalid Form Body","errors":{"data":{"content":{"_errors":[
		{"code":"BASE_TYPE_MAX_LENGTH","message":"Must be 2000 or fewer in length."}]}}}}`, a.body)
	assert.Equal(t, 204, r.callback(in, 4, said("x")).status)
}

func TestTokensLiveFifteenMinutes(t *testing.T) {
	r := newRest(t, discordfake.Options{})
	in := r.slash()
	assert.Equal(t, 10015, r.ask("POST", hook(in, ""), said("before the answer")).code())
	require.Equal(t, 204, r.callback(in, 4, said("x")).status)
	r.clock.Advance(15 * time.Minute)
	assert.Equal(t, 200, r.ask("POST", hook(in, ""), said("follow-up")).status)
	assert.Equal(t, 200, r.ask("PATCH", hook(in, "/messages/@original"), said("y")).status)
	r.clock.Advance(time.Millisecond)
	a := r.ask("PATCH", hook(in, "/messages/@original"), said("z"))
	assert.Equal(t, []int{401, 50027}, []int{a.status, a.code()})
	in.Token = "unknown"
	a = r.ask("POST", hook(in, ""), said("z"))
	assert.Equal(t, []int{404, 10015}, []int{a.status, a.code()})
}

func TestWhichAnswersAnInteractionTakes(t *testing.T) {
	o := discordfake.InGuild("100")
	message := discordfake.Message{ID: "9"}
	ok := map[int]any{4: said("x"), 5: nil, 6: nil, 7: said("x"), 8: m{"choices": []m{}}, 9: modal(nil)}
	for name, c := range map[string]struct {
		in    discordfake.Interaction
		takes []int
	}{
		"command":              {discordfake.Slash(o, "ask"), []int{4, 5, 9}},
		"autocomplete":         {discordfake.Typing(o, "ask"), []int{8}},
		"button":               {discordfake.Press(o, message, "b"), []int{4, 5, 6, 7, 9}},
		"select":               {discordfake.Choose(o, message, "b", "v"), []int{4, 5, 6, 7, 9}},
		"form of a button":     {discordfake.Submit(o, &message, "f"), []int{4, 5, 6, 7}},
		"form of a command":    {discordfake.Submit(o, nil, "f"), []int{4, 5}},
		"type of another time": {discordfake.UnknownType(o), []int{4, 5}},
	} {
		t.Run(name, func(t *testing.T) {
			r := newRest(t, discordfake.Options{})
			var takes []int
			for kind := 1; kind <= 12; kind++ {
				in := c.in
				if a := r.callback(r.s.Open(in), kind, ok[kind]); a.status == 204 {
					takes = append(takes, kind)
				} else {
					assert.Equal(t, 50035, a.code())
					assert.NotEmpty(t, a.at("type"))
				}
			}
			assert.Equal(t, c.takes, takes)
		})
	}
}

func TestDeferralIsFilledAndStaysAsPrivateAsItWas(t *testing.T) {
	r := newRest(t, discordfake.Options{})
	for _, fill := range []string{"edit", "follow-up"} {
		in := r.slash()
		require.Equal(t, 204, r.callback(in, 5, m{"flags": 64}).status)
		before, _ := json.Marshal(r.s.Messages())
		assert.Contains(t, string(before), `"flags":192`, "ephemeral and loading")
		if fill == "edit" {
			assert.NotEmpty(t, r.ask("PATCH", hook(in, "/messages/@original"), m{"content": "x", "flags": 4}).at("flags"), "an edit can't take ephemeral away")
			require.Equal(t, 200, r.ask("PATCH", hook(in, "/messages/@original"), said("done")).status)
		} else {
			require.Equal(t, 200, r.ask("POST", hook(in, ""), said("done")).status)
		}
		all := r.s.Messages()
		last := all[len(all)-1]
		assert.Equal(t, "done", last.Content)
		assert.Equal(t, int64(64), last.Flags)
	}
	var rules []string
	for _, v := range r.s.Violations() {
		rules = append(rules, v.Rule)
	}
	assert.Equal(t, []string{discordfake.RuleEphemeral}, rules)
	a := r.callback(r.slash(), 5, m{"flags": 64 | 4})
	assert.NotEmpty(t, a.at("data", "flags"), "only EPHEMERAL may be set when deferring")
}

func TestAnUpdateChangesTheMessageOfTheButton(t *testing.T) {
	r := newRest(t, discordfake.Options{})
	require.Equal(t, 204, r.callback(r.slash(), 4, m{"content": "one", "flags": 64, "allowed_mentions": quiet,
		"components": rows(1, 1)}).status)
	first := r.s.Messages()[0]
	press := func() discordfake.Interaction {
		return r.s.Open(discordfake.Press(discordfake.InGuild("100"), first, "b 0 0"))
	}
	public := r.callback(press(), 7, m{"content": "x", "flags": 4})
	assert.NotEmpty(t, public.at("data", "flags"))
	require.Equal(t, 204, r.callback(press(), 7, said("two")).status)
	in := press()
	require.Equal(t, 204, r.callback(in, 6, nil).status)
	require.Equal(t, 200, r.ask("PATCH", hook(in, "/messages/@original"), said("three")).status)
	require.Len(t, r.s.Messages(), 1)
	now, ok := r.s.Message(first.ID)
	require.True(t, ok)
	assert.Equal(t, "three", now.Content)
	assert.True(t, now.Ephemeral())
	assert.Len(t, discordfake.Buttons(now), 1, "what was not sent stays")
}

func TestFollowUps(t *testing.T) {
	r := newRest(t, discordfake.Options{})
	in := r.s.Open(discordfake.Slash(discordfake.ByUser("100"), "ask"))
	require.Equal(t, 204, r.callback(in, 4, said("x")).status)
	var last answer
	for range 5 {
		last = r.ask("POST", hook(in, ""), said("more"))
		require.Equal(t, 200, last.status)
	}
	sixth := r.ask("POST", hook(in, ""), said("more"))
	assert.Equal(t, []int{400, 40094}, []int{sixth.status, sixth.code()}, "the app is installed for the user only")
	var sent discordfake.Message
	require.NoError(t, json.Unmarshal([]byte(last.body), &sent))
	assert.Equal(t, 200, r.ask("PATCH", hook(in, "/messages/"+sent.ID), said("changed")).status)
	assert.Equal(t, 200, r.ask("GET", hook(in, "/messages/"+sent.ID), nil).status)
	assert.Equal(t, 204, r.ask("DELETE", hook(in, "/messages/"+sent.ID), nil).status)
	assert.Equal(t, 10008, r.ask("PATCH", hook(in, "/messages/"+sent.ID), said("changed")).code())
	assert.Equal(t, 10008, r.ask("GET", hook(in, "/messages/12"), nil).code())

	in = r.slash()
	require.Equal(t, 204, r.callback(in, 4, said("x")).status)
	for range 6 {
		require.Equal(t, 200, r.ask("POST", hook(in, ""), said("more")).status)
	}
	a := r.callback(r.slash(), 4, m{"content": ""})
	assert.Equal(t, 50006, a.code(), "an empty message")
}

// form writes a multipart body with a payload and files.
func (r rest) form(method, path string, payload any, files ...[]byte) *http.Request {
	r.t.Helper()
	var b bytes.Buffer
	w := multipart.NewWriter(&b)
	text, err := json.Marshal(payload)
	require.NoError(r.t, err)
	require.NoError(r.t, w.WriteField("payload_json", string(text)))
	for i, f := range files {
		p, err := w.CreateFormFile(fmt.Sprintf("files[%v]", i), fmt.Sprintf("f%v.png", i))
		require.NoError(r.t, err)
		_, err = p.Write(f)
		require.NoError(r.t, err)
	}
	require.NoError(r.t, w.Close())
	q, err := http.NewRequest(method, "https://discord.com/api/v9/"+path, &b)
	require.NoError(r.t, err)
	q.Header.Set("Content-Type", w.FormDataContentType())
	return q
}

func TestFiles(t *testing.T) {
	r := newRest(t, discordfake.Options{})
	in := r.slash()
	require.Equal(t, 204, r.callback(in, 5, nil).status)
	original := hook(in, "/messages/@original")
	big := make([]byte, 10<<20+1)
	a := r.do(r.form("PATCH", original, said("x"), big))
	assert.Equal(t, []int{413, 40005}, []int{a.status, a.code()})
	require.Equal(t, 200, r.do(r.form("PATCH", original, said("x"), big[1:])).status, "10 MiB")

	a = r.do(r.form("PATCH", original, m{"content": "x", "allowed_mentions": quiet, "attachments": []m{{"id": 1}}}, []byte("png")))
	assert.NotEmpty(t, a.at("attachments", "0", "id"), "files[1] was not sent")
	a = r.do(r.form("PATCH", original, m{"content": "x", "allowed_mentions": quiet, "attachments": []m{{"id": "0", "description": "a wheel"}}}, []byte("png")))
	require.Equal(t, 200, a.status)
	got := r.s.Messages()[0].Attachments
	require.Len(t, got, 1, "the file of before was not named, so it went")
	assert.Equal(t, "a wheel", got[0].Description)
	data, ok := r.s.File(got[0])
	require.True(t, ok)
	assert.Equal(t, "png", string(data))
	w, err := http.Get(got[0].URL)
	require.NoError(t, err)
	defer w.Body.Close()
	shown, err := io.ReadAll(w.Body)
	require.NoError(t, err)
	assert.Equal(t, "png", string(shown))

	in = r.slash()
	require.Equal(t, 204, r.do(r.form("POST", "interactions/"+in.ID+"/"+in.Token+"/callback",
		m{"type": 4, "data": m{"allowed_mentions": quiet}}, []byte("a"), []byte("b"))).status)
	in = r.slash()
	var eleven [][]byte
	for range 11 {
		eleven = append(eleven, []byte("x"))
	}
	a = r.do(r.form("POST", "interactions/"+in.ID+"/"+in.Token+"/callback", m{"type": 4, "data": said("")}, eleven...))
	assert.NotEmpty(t, a.at("data", "attachments"))
	assert.Equal(t, 204, r.do(r.form("POST", "interactions/"+in.ID+"/"+in.Token+"/callback", m{"type": 4, "data": said("")}, eleven[1:]...)).status)
}

func TestBotToken(t *testing.T) {
	r := newRest(t, discordfake.Options{Token: "secret"})
	for _, path := range []string{"gateway/bot", "users/@me", "applications/@me", "applications/42/commands", "applications/42/guilds/5/commands"} {
		a := r.ask("GET", path, nil)
		assert.Equal(t, 401, a.status, path)
		assert.JSONEq(t, `{"message":"401: Unauthorized","code":0}`, a.body)
		q := r.request("GET", path, nil)
		q.Header.Set("Authorization", "secret")
		assert.Equal(t, 401, r.do(q).status, "without Bot")
		assert.Equal(t, 200, r.own("GET", path, nil).status, path)
	}
	assert.Equal(t, 200, r.ask("GET", "gateway", nil).status)
	assert.Equal(t, 403, r.own("GET", "applications/43/commands", nil).status, "another's")
	require.Empty(t, r.s.Violations())

	in := r.slash()
	assert.Equal(t, 204, r.own("POST", "interactions/"+in.ID+"/"+in.Token+"/callback", m{"type": 4, "data": said("x")}).status)
	assert.Equal(t, 200, r.ask("POST", hook(in, ""), said("my token is secret")).status)
	assert.Equal(t, 404, r.own("GET", "no/such", nil).status)
	var rules []string
	for _, v := range r.s.Violations() {
		rules = append(rules, v.Rule)
		assert.NotContains(t, v.String(), "secret")
		assert.NotContains(t, v.String(), in.Token)
	}
	assert.Equal(t, []string{discordfake.RuleToken, discordfake.RuleToken, discordfake.RuleUnknownPath}, rules)
}

func TestMentionsMustBeForbidden(t *testing.T) {
	for _, c := range []struct {
		mentions any
		fine     bool
	}{
		{quiet, true}, {nil, false}, {m{}, false}, {m{"parse": nil}, false}, {m{"parse": []string{"users"}}, false},
		{m{"parse": []string{}, "users": []string{"1"}}, false}, {m{"parse": []string{}, "replied_user": true}, false},
	} {
		r := newRest(t, discordfake.Options{})
		require.Equal(t, 204, r.callback(r.slash(), 4, m{"content": "x", "allowed_mentions": c.mentions}).status)
		assert.Equal(t, c.fine, len(r.s.Violations()) == 0, "%v: %v", c.mentions, r.s.Violations())
	}
	r := newRest(t, discordfake.Options{})
	require.Equal(t, 204, r.callback(r.slash(), 4, m{"content": "x"}).status)
	require.Equal(t, discordfake.RuleMentions, r.s.Violations()[0].Rule)
}

func TestFaults(t *testing.T) {
	r := newRest(t, discordfake.Options{})
	get := func() answer { return r.ask("GET", "gateway", nil) }
	r.s.Disturb(&discordfake.Fault{Path: "/gateway", Times: 2, Answer: discordfake.TooMany(1500*time.Millisecond, true)})
	for range 2 {
		a := get()
		assert.Equal(t, 429, a.status)
		assert.Equal(t, "2", a.header.Get("Retry-After"))
		assert.JSONEq(t, `{"message":"You are being rate limited.","retry_after":1.5,"global":true}`, a.body)
	}
	assert.Equal(t, 200, get().status)
	for code, status := range map[int]int{discordfake.CodeMissingAccess: 403, discordfake.CodeMissingPermissions: 403, discordfake.CodeUnknownInteraction: 404} {
		r.s.Disturb(&discordfake.Fault{Method: "GET", Times: 1, Answer: discordfake.Refusing(code)})
		a := get()
		assert.Equal(t, []int{status, code}, []int{a.status, a.code()})
	}
	all := &discordfake.Fault{Answer: discordfake.Failing(500)}
	r.s.Disturb(all)
	assert.Equal(t, 500, get().status)
	assert.Equal(t, 500, get().status)
	all.Release()
	assert.Equal(t, 200, get().status)

	r.s.Disturb(&discordfake.Fault{Drop: true, Path: "/callback"})
	in := r.slash()
	_, err := r.c.Do(r.request("POST", "interactions/"+in.ID+"/"+in.Token+"/callback", m{"type": 5}))
	assert.ErrorIs(t, err, io.EOF)

	hang := &discordfake.Fault{Hang: true}
	r.s.Disturb(hang)
	got := make(chan answer)
	go func() { got <- get() }()
	hang.Release() // before or after it arrives
	assert.Equal(t, 200, (<-got).status)

	r.s.Disturb(&discordfake.Fault{Hang: true})
	failed := make(chan error)
	go func() {
		_, err := r.c.Get("https://discord.com/api/v9/gateway")
		failed <- err
	}()
	require.NoError(t, r.s.Close())
	assert.Error(t, <-failed, "closing lets go of what hangs")
}

func TestCommandsAreRegistered(t *testing.T) {
	r := newRest(t, discordfake.Options{})
	a := r.own("PUT", "applications/42/commands", []m{{"name": "fit", "description": "d", "options": nil}})
	require.Equal(t, 200, a.status, a.body)
	first := r.s.Commands()
	require.Len(t, first, 1)
	assert.Equal(t, a.body, r.own("GET", "applications/42/commands", nil).body)
	a = r.own("PUT", "applications/42/commands", []m{{"name": "air", "description": "d"}, {"name": "fit", "description": "e"}})
	require.Equal(t, 200, a.status)
	second := r.s.Commands()
	assert.Equal(t, []string{"air", "fit"}, []string{second[0].Name, second[1].Name})
	assert.Equal(t, first[0].ID, second[1].ID, "a command that stays keeps its id")
	assert.NotEqual(t, first[0].Version, second[1].Version)
	assert.Empty(t, r.s.Violations())
	require.Equal(t, 200, r.own("PUT", "applications/42/guilds/5/commands", []m{{"name": "fit", "description": "d"}}).status)
	require.Len(t, r.s.Violations(), 1)
	assert.Equal(t, discordfake.RuleTwice, r.s.Violations()[0].Rule)
	a = r.own("PUT", "applications/42/commands", []m{{"name": "fit", "description": "d"}, {"name": "Fit", "description": "d"}})
	assert.Equal(t, "APPLICATION_COMMAND_INVALID_NAME", a.at("1", "name"))
	assert.Len(t, r.s.Commands(), 2, "a refused list changes nothing")
	assert.Equal(t, 200, r.own("PUT", "applications/42/commands", []m{}).status)
	assert.Empty(t, r.s.Commands())
}

func TestNextWaitsAndLeavesOthers(t *testing.T) {
	r := newRest(t, discordfake.Options{})
	ctx, cancel := context.WithTimeout(t.Context(), patience)
	defer cancel()
	in := r.slash()
	got := make(chan discordfake.Record)
	go func() {
		rec, err := r.s.Next(ctx, discordfake.Of(discordfake.KindFollowUp), discordfake.For(in.ID))
		assert.NoError(t, err)
		got <- rec
	}()
	require.Equal(t, 204, r.callback(in, 4, said("x")).status)
	require.Equal(t, 200, r.ask("POST", hook(in, ""), said("y")).status)
	assert.Equal(t, "y", (<-got).Message.Content)
	rec, err := r.s.Next(ctx, discordfake.Path("/callback"), discordfake.Succeeded)
	require.NoError(t, err)
	assert.Equal(t, "x", rec.Callback.Message.Content)
	over, stop := context.WithCancel(ctx)
	stop()
	_, err = r.s.Next(over, discordfake.Path("/callback"))
	assert.ErrorIs(t, err, context.Canceled, "it was taken before")
	assert.Len(t, r.s.Records(), 2, "and is still on record")
}
