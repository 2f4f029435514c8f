package main

import (
	"context"
	"net/http"
	"net/http/httptest"
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"go.yaml.in/yaml/v3"

	"spokeword/bot/slackfake"
	"spokeword/config"
)

// Lines of the log that a test waits for.
const (
	publicUp    = "services send to us"
	operatorsUp = "operators look at us"
)

// slackEnv is the environment of a bot that the fake sends to.
func slackEnv(fake *slackfake.Server, store string) map[string]string {
	return map[string]string{
		"SPOKEWORD_SLACK_BOT_TOKEN":      fake.BotToken(),
		"SPOKEWORD_SLACK_SIGNING_SECRET": fake.SigningSecret(),
		"SPOKEWORD_SLACK_TRANSPORT":      "http",
		"SPOKEWORD_SLACK_API":            fake.APIURL(),
		"SPOKEWORD_HTTP_LISTEN":          "127.0.0.1:0",
		"SPOKEWORD_METRICS_LISTEN":       "127.0.0.1:0",
		"SPOKEWORD_STORE_PATH":           store,
	}
}

// served starts the program against the fake and tells the fake where it is.
func served(t *testing.T, fake *slackfake.Server, env map[string]string) *child {
	c := start(t, env, "serve")
	at := c.at(publicUp) + slackPath
	fake.SetEndpoints(at, at, at)
	return c
}

func within(t *testing.T) context.Context {
	ctx, stop := context.WithTimeout(context.Background(), patience)
	t.Cleanup(stop)
	return ctx
}

// TestServe holds a life of the service: ready, asked, figures, told to end.
func TestServe(t *testing.T) {
	fake, err := slackfake.New(slackfake.Options{})
	require.NoError(t, err)
	defer fake.Close()
	c := served(t, fake, slackEnv(fake, filepath.Join(t.TempDir(), "s.db")))
	operators := c.at(operatorsUp)
	status, text := pageOf(t, operators+"/readyz")
	assert.Equal(t, 200, status)
	assert.Equal(t, "ok    store: reachable, tables current\nok    slack: link up\n", text)
	status, _ = pageOf(t, operators+"/healthz")
	assert.Equal(t, 200, status)
	require.NoError(t, fake.Verify(within(t)))

	answer, err := fake.Post(within(t), fake.Command(slackfake.Moss, slackfake.Workshop, "/spokeword", "convert 87.61 kg in lb"))
	require.NoError(t, err)
	assert.Contains(t, string(answer.Body), "193.1")
	_, text = pageOf(t, operators+"/metrics")
	assert.Contains(t, text, `spokeword_requests_total{command="convert",outcome="answered",platform="slack"} 1`)
	assert.Contains(t, text, "spokeword_build_info")
	assert.Contains(t, text, "go_goroutines")
	for _, path := range []string{"/", "/readyz/", "/debug/pprof/"} {
		status, _ = pageOf(t, operators+path)
		assert.Equal(t, 404, status, path)
	}
	status, _ = pageOf(t, c.at(publicUp)+"/metrics")
	assert.Equal(t, 404, status, "not where everybody can look")

	c.terminate()
	assert.Equal(t, 0, c.ended(), c.printed())
	assert.NotContains(t, c.printed(), "87.61")
	assert.NotContains(t, c.printed(), "193.1")
	assert.Empty(t, fake.Violations())
}

// TestServeOverALink holds the same where the bot calls, and that what was
// asked before it is told to end is answered before it does.
func TestServeOverALink(t *testing.T) {
	fake, err := slackfake.New(slackfake.Options{})
	require.NoError(t, err)
	defer fake.Close()
	env := slackEnv(fake, "memory")
	delete(env, "SPOKEWORD_SLACK_SIGNING_SECRET")
	env["SPOKEWORD_SLACK_TRANSPORT"], env["SPOKEWORD_SLACK_APP_TOKEN"] = "socket", fake.AppToken()
	c := start(t, env, "serve")
	_, err = fake.Next(within(t), slackfake.Of(slackfake.Linked))
	require.NoError(t, err)
	c.logged("link up")
	operators := c.at(operatorsUp)
	status, text := pageOf(t, operators+"/readyz")
	assert.Equal(t, 200, status, text)

	const post = "chat.postMessage"
	release := fake.Fail(post, 1, slackfake.Fault{Hang: true, After: true})
	_, err = fake.Push(within(t), fake.DirectMessage(slackfake.Moss, "convert 40 mm in in", "", nil))
	require.NoError(t, err)
	_, err = fake.Next(within(t), slackfake.Of(slackfake.Posted))
	require.NoError(t, err)
	c.terminate()
	c.logged("told to end")
	status, text = pageOf(t, operators+"/readyz")
	assert.Equal(t, 503, status)
	assert.Contains(t, text, "FAIL  service: is ending")
	release()
	assert.Equal(t, 0, c.ended(), c.printed())
	assert.NotContains(t, c.printed(), "ended with")
	assert.Empty(t, fake.Violations())
}

// TestKilled kills the program while it answers, and holds that after a start
// what was marked is not answered again, and what never arrived is, though it
// comes as a repetition.
func TestKilled(t *testing.T) {
	fake, err := slackfake.New(slackfake.Options{})
	require.NoError(t, err)
	defer fake.Close()
	env := slackEnv(fake, filepath.Join(t.TempDir(), "s.db"))
	const post = "chat.postMessage"

	first := served(t, fake, env)
	release := fake.Fail(post, -1, slackfake.Fault{Hang: true})
	var marked []slackfake.Inbound
	for i := range 8 {
		in := fake.DirectMessage(slackfake.Wren, "convert "+strconv.Itoa(i+1)+" bar in psi", "", nil)
		_, err := fake.Post(within(t), in) // acknowledged
		require.NoError(t, err)
		marked = append(marked, in)
	}
	for range marked {
		_, err := fake.Next(within(t), slackfake.Of(slackfake.Called), slackfake.By(post))
		require.NoError(t, err, "all are in work")
	}
	first.kill()
	release()
	before := fake.Calls(post)

	second := served(t, fake, env)
	again := func(in slackfake.Inbound) {
		in.Attempt, in.Reason = 1, "http_timeout"
		_, err := fake.Post(within(t), in)
		require.NoError(t, err)
	}
	for _, in := range marked {
		again(in)
	}
	lost := fake.DirectMessage(slackfake.Wren, "convert 40 mm in in", "", nil)
	again(lost)
	again(lost)
	said, err := fake.NextMessage(within(t), slackfake.Of(slackfake.Posted))
	require.NoError(t, err)
	assert.Contains(t, slackfake.Text(said), "1.57")
	second.terminate() // finishes what it has taken
	assert.Equal(t, 0, second.ended(), second.printed())
	assert.Equal(t, before+1, fake.Calls(post))
	assert.Empty(t, fake.Violations())
}

// TestServeRefused holds how it ends where it can't go on: with one clear line.
func TestServeRefused(t *testing.T) {
	fake, err := slackfake.New(slackfake.Options{BotToken: "xoxb-hush-bot", AppToken: "xapp-hush-app"})
	require.NoError(t, err)
	defer fake.Close()
	env := func(pairs ...string) map[string]string {
		all := slackEnv(fake, filepath.Join(t.TempDir(), "s.db"))
		for i := 0; i < len(pairs); i += 2 {
			all["SPOKEWORD_"+pairs[i]] = pairs[i+1]
		}
		return all
	}
	taken := httptest.NewServer(http.NotFoundHandler())
	defer taken.Close()
	at := strings.TrimPrefix(taken.URL, "http://")
	for _, c := range []struct {
		why  string
		env  map[string]string
		code int
		says string
	}{
		{"nothing is set", nil, theirs, "serve: found no service: want slack.bot_token or discord.token"},
		{"half is set", map[string]string{"SPOKEWORD_SLACK_BOT_TOKEN": "xoxb-hush"}, theirs, "setting slack.app_token: found none: want it"},
		{"the token is refused", env("SLACK_TRANSPORT", "socket", "SLACK_APP_TOKEN", "xapp-hush-old"), ourFault, "slack: "},
		{"the address is taken", env("HTTP_LISTEN", at), ourFault, "listen at " + at},
		{"the operators' too", env("METRICS_LISTEN", at), ourFault, "listen at " + at},
		{"there is no place for the store", env("STORE_PATH", "auto"), theirs, "setting store.path: found no directory"},
		{"the store can't be opened", env("STORE_PATH", "/dev/null/s.db"), ourFault, "store /dev/null/s.db: "},
	} {
		t.Run(c.why, func(t *testing.T) {
			child := start(t, c.env, "serve")
			assert.Equal(t, c.code, child.ended())
			printed := strings.TrimSpace(child.printed())
			last := printed[strings.LastIndex(printed, "\n")+1:]
			assert.True(t, strings.HasPrefix(last, "spokeword: "+c.says), printed)
			assert.NotContains(t, printed, "hush")
			assert.NotContains(t, printed, "goroutine")
		})
	}
}

// TestSecretsStayInside starts the program with marked secrets from a file,
// the environment and the settings file, lets every call fail in every way, and
// holds that no marker comes out.
func TestSecretsStayInside(t *testing.T) {
	const mark = "hushhush"
	bot, app := "xoxb-"+mark+"-bot", "xapp-"+mark+"-app"
	dir := t.TempDir()
	write := func(name, text string) string {
		path := filepath.Join(dir, name)
		require.NoError(t, os.WriteFile(path, []byte(text), 0o600))
		return path
	}
	settings := write("settings.yaml", "slack:\n  bot_token: "+bot+"\n  app_token_file: "+write("app", app+"\n")+"\nlog:\n  level: debug\n")
	for _, c := range []struct {
		why  string
		fake slackfake.Fault
		code int // of serve
	}{
		{"refused", slackfake.Fault{Code: "invalid_auth"}, ourFault},
		{"a secret for a word", slackfake.Fault{Code: bot + " " + app}, answered},
		{"failing", slackfake.Fault{Status: 500}, answered},
		{"cut off", slackfake.Fault{Cut: true}, answered},
		{"too many", slackfake.Fault{RetryAfter: 1}, answered},
	} {
		t.Run(c.why, func(t *testing.T) {
			fake, err := slackfake.New(slackfake.Options{BotToken: bot, AppToken: app})
			require.NoError(t, err)
			defer fake.Close()
			fake.Fail("", -1, c.fake)
			env := map[string]string{"SPOKEWORD_SLACK_API": fake.APIURL(), "SPOKEWORD_METRICS_LISTEN": "127.0.0.1:0", "SPOKEWORD_STORE_PATH": "memory",
				"SPOKEWORD_SLACK_SIGNING_SECRET": mark + mark}
			serving := start(t, env, "serve", "--config", settings)
			all := ""
			if c.code == answered {
				_, err := fake.Next(within(t), slackfake.By("apps.connections.open"))
				require.NoError(t, err)
				operators := serving.at(operatorsUp)
				status, text := pageOf(t, operators+"/readyz")
				assert.Equal(t, 503, status)
				all += text
				for _, path := range []string{"/healthz", "/metrics", "/" + bot} {
					_, text := pageOf(t, operators+path)
					all += text
				}
				serving.terminate()
			}
			assert.Equal(t, c.code, serving.ended(), serving.printed())
			doctor := start(t, env, "doctor", "--config", settings)
			assert.Equal(t, ourFault, doctor.ended())
			all += serving.printed() + doctor.printed()
			assert.NotContains(t, all, mark)
			assert.Contains(t, doctor.printed(), "FAIL  slack token")
		})
	}
	// Of the wrong shape, on the command line, where they don't belong.
	for _, args := range [][]string{{"serve", "--config", bot}, {"serve", bot}, {"serve", "--token", bot}, {"serve", "--token=" + bot}, {bot}} {
		got := start(t, map[string]string{"SPOKEWORD_SLACK_BOT_TOKEN": app}, args...)
		assert.Equal(t, theirs, got.ended())
		assert.NotContains(t, got.printed(), mark, args)
	}
}

func TestManifest(t *testing.T) {
	got := sw("", "manifest")
	require.Equal(t, 0, got.code, got)
	var m struct {
		Settings struct {
			Socket bool `yaml:"socket_mode_enabled"`
		} `yaml:"settings"`
	}
	require.NoError(t, yaml.Unmarshal([]byte(got.out), &m))
	assert.True(t, m.Settings.Socket)
	assert.Contains(t, got.out, "command: /spokeword")
	byHTTP := map[string]string{"SPOKEWORD_SLACK_TRANSPORT": "http", "SPOKEWORD_SLACK_COMMAND": "/wheels"}
	got = swIn(byHTTP, "", "manifest", "--address", "https://bot.example/slack")
	assert.Equal(t, 0, got.code, got)
	assert.Contains(t, got.out, "command: /wheels")
	assert.Contains(t, got.out, "url: https://bot.example/slack")
	got = swIn(byHTTP, "", "manifest")
	assert.Equal(t, theirs, got.code)
	assert.Contains(t, got.errs, "want one that begins with https://")
}

func TestElsewhere(t *testing.T) {
	s, err := config.Load(config.Source{})
	require.NoError(t, err)
	assert.Empty(t, elsewhere(s.Slack.API, "slack.api"), "the service's own: it has hosts besides")
	assert.Equal(t, "http://127.0.0.1:1/", elsewhere("http://127.0.0.1:1/", "slack.api"))
}
