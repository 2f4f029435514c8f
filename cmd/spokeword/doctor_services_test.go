package main

import (
	"context"
	"encoding/hex"
	"errors"
	"net"
	"net/http"
	"net/http/httptest"
	"os"
	"path/filepath"
	"runtime"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"spokeword/bot/discordfake"
	"spokeword/bot/slackfake"
	"spokeword/config"
)

// lineOf returns the line of a check.
func lineOf(t *testing.T, checks []check, name string) string {
	for _, c := range checks {
		if c.name == name {
			return strings.TrimSuffix(c.line(), "\n")
		}
	}
	t.Fatalf("found no line %s in %v", name, checks)
	return ""
}

// wellBut holds that all checks are well but the one named, which says so; ""
// for none. Nothing shows a marker.
func wellBut(t *testing.T, checks []check, name, says string) {
	for _, c := range checks {
		assert.NotContains(t, c.line(), "hush")
		if c.name != name {
			assert.NoError(t, c.err, c.name)
		}
	}
	if name != "" {
		line := lineOf(t, checks, name)
		assert.True(t, strings.HasPrefix(line, "FAIL  "+name+": "), line)
		assert.Contains(t, line, says)
	}
}

// dead is an address at which nobody listens.
func dead(t *testing.T) string {
	l, err := net.Listen("tcp", "127.0.0.1:0")
	require.NoError(t, err)
	l.Close()
	return l.Addr().String()
}

// saying is a service that gives every question the same answer.
func saying(t *testing.T, status int, body string, headers ...string) string {
	s := httptest.NewServer(http.HandlerFunc(func(w http.ResponseWriter, _ *http.Request) {
		for i := 0; i < len(headers); i += 2 {
			w.Header()[headers[i]] = nil
			if headers[i+1] != "" {
				w.Header().Set(headers[i], headers[i+1])
			}
		}
		w.WriteHeader(status)
		w.Write([]byte(body))
	}))
	t.Cleanup(s.Close)
	return s.URL + "/"
}

// TestDoctorSlack breaks one thing after the other and holds that doctor's line
// for it turns.
func TestDoctorSlack(t *testing.T) {
	needed := []string{"commands", "chat:write"}
	for _, c := range []struct {
		why        string
		fake       slackfake.Options
		off        func(*slackfake.Server, *config.Slack)
		late       time.Duration
		name, says string
	}{
		{why: "all is well"},
		{why: "another bot's token", off: func(_ *slackfake.Server, s *config.Slack) { s.BotToken = config.NewSecret("xoxb-hush") },
			name: "slack token", says: "auth.test says invalid_auth: want slack.bot_token"},
		{why: "nobody there", off: func(_ *slackfake.Server, s *config.Slack) { s.API = "http://" + dead(t) + "/api/" },
			name: "slack token", says: "could not ask 127.0.0.1"},
		{why: "a fault of the service", off: func(f *slackfake.Server, _ *config.Slack) { f.Fail("auth.test", 1, slackfake.Fault{Status: 500}) },
			name: "slack token", says: "auth.test answered with status 500 and no object"},
		{why: "a scope was not asked for", fake: slackfake.Options{Scopes: []string{"chat:write"}},
			name: "slack scopes", says: "lacking commands: want them added on the app's page, and the app installed again"},
		{why: "another app's token", off: func(_ *slackfake.Server, s *config.Slack) { s.AppToken = config.NewSecret("xapp-hush") },
			name: "slack link", says: "apps.connections.open says invalid_auth: want slack.app_token"},
		{why: "no link to be had", off: func(f *slackfake.Server, _ *config.Slack) {
			f.Fail("apps.connections.open", 1, slackfake.Fault{Cut: true})
		}, name: "slack link", says: "could not ask 127.0.0.1"},
		{why: "our clock is fast", late: 6 * time.Minute, name: "slack clock", says: "off: want 2m0s at most"},
		{why: "our clock is slow", late: -3 * time.Minute, name: "slack clock", says: "off: want 2m0s at most"},
	} {
		t.Run(c.why, func(t *testing.T) {
			c.fake.BotToken, c.fake.AppToken = "xoxb-hush-bot", "xapp-hush-app"
			fake, err := slackfake.New(c.fake)
			require.NoError(t, err)
			defer fake.Close()
			s := config.Slack{API: fake.APIURL(), Transport: config.Socket, BotToken: config.NewSecret(fake.BotToken()), AppToken: config.NewSecret(fake.AppToken())}
			if c.off != nil {
				c.off(fake, &s)
			}
			p := &program{now: func() time.Time { return time.Now().Add(c.late) }}
			wellBut(t, p.slackChecks(context.Background(), s, needed), c.name, c.says)
		})
	}
	// What the fake never says.
	for _, c := range []struct{ why, body, name, says string }{
		{"a person's token", `{"ok":true,"team":"Larkmoor","user":"kit"}`, "slack token", "found a person's token: want the bot's"},
		{"a word that is none", `{"ok":false,"error":"xoxb-hush-1"}`, "slack token", "says something that is no word"},
		{"no word", `{"ok":false}`, "slack token", "says nothing"},
	} {
		s := config.Slack{API: saying(t, 200, c.body), Transport: config.ByHTTP, BotToken: config.NewSecret("xoxb-hush")}
		wellBut(t, (&program{now: time.Now}).slackChecks(context.Background(), s, needed), c.name, c.says)
	}
	s := config.Slack{API: saying(t, 200, `{"ok":true,"bot_id":"B1"}`, "Date", "", "X-Oauth-Scopes", "commands, chat:write"), Transport: config.ByHTTP}
	wellBut(t, (&program{now: time.Now}).slackChecks(context.Background(), s, needed), "slack clock", "found no time on the answer")
	link := slackLink(context.Background(), config.Slack{API: saying(t, 200, `{"ok":true}`)})
	assert.ErrorContains(t, link.err, "answered without an address")
	link = slackLink(context.Background(), config.Slack{API: saying(t, 502, `gone`)})
	assert.ErrorContains(t, link.err, "answered with status 502 and no object")
}

// TestDoctorDiscord does the same there.
func TestDoctorDiscord(t *testing.T) {
	const id, guild = "123456789012345678", "223456789012345678"
	wanted := []command{{Name: "pressure", Description: "x"}, {Name: "ask", Description: "x"}}
	for _, c := range []struct {
		why        string
		off        func(*discordfake.Server, *config.Discord)
		registered string // names
		late       time.Duration
		name, says string
	}{
		{why: "all is well", registered: "pressure ask"},
		{why: "another bot's token", registered: "pressure ask", off: func(_ *discordfake.Server, d *config.Discord) { d.Token = config.NewSecret("hush.hush.hush") },
			name: "discord token", says: "is refused: want discord.token"},
		{why: "nobody there", off: func(_ *discordfake.Server, d *config.Discord) { d.API = "http://" + dead(t) + "/" },
			name: "discord token", says: "could not ask 127.0.0.1"},
		{why: "a fault of the service", off: func(f *discordfake.Server, _ *config.Discord) {
			f.Disturb(&discordfake.Fault{Path: "applications", Times: 1, Answer: discordfake.Failing(503)})
		}, name: "discord token", says: "was answered with status 503"},
		{why: "another application's id", off: func(_ *discordfake.Server, d *config.Discord) { d.ApplicationID = guild },
			name: "discord token", says: "is of application " + id + ": want discord.application_id " + guild},
		{why: "another application's key", registered: "pressure ask", off: func(_ *discordfake.Server, d *config.Discord) { d.PublicKey = strings.Repeat("0", 64) },
			name: "discord key", says: "discord.public_key is another's"},
		{why: "commands were not registered", registered: "ask", name: "discord commands", says: "lacking pressure: want them registered by: spokeword register"},
		{why: "one is of another version", registered: "pressure ask:old", name: "discord commands", says: "ask as of another version: want them registered by: spokeword register --force"},
		{why: "one is not ours", registered: "pressure ask tread", name: "discord commands", says: "found tread, which this program does not know"},
		{why: "of a server that lets us see none", registered: "pressure ask", off: func(f *discordfake.Server, d *config.Discord) {
			d.Guild = guild
			f.Disturb(&discordfake.Fault{Path: "guilds", Times: 1, Answer: discordfake.Refusing(discordfake.CodeMissingAccess)})
		}, name: "discord commands", says: "was answered with status 403: want the application added to the server"},
		{why: "the line breaks on the way", registered: "pressure ask", off: func(f *discordfake.Server, _ *config.Discord) {
			f.Disturb(&discordfake.Fault{Path: "commands", Drop: true})
		}, name: "discord commands", says: "could not ask 127.0.0.1"},
		{why: "too many starts", registered: "pressure ask", off: func(f *discordfake.Server, _ *config.Discord) { f.SetIdentifies(49) },
			name: "discord link", says: "49 of 1000 starts of a session are left today: want 50"},
		{why: "no gateway", registered: "pressure ask", off: func(f *discordfake.Server, _ *config.Discord) {
			f.Disturb(&discordfake.Fault{Path: "gateway", Times: 1, Answer: discordfake.Failing(500)})
		}, name: "discord link", says: "was answered with status 500"},
		{why: "our clock is fast", registered: "pressure ask", late: 6 * time.Minute, name: "discord clock", says: "off: want 2m0s at most"},
	} {
		t.Run(c.why, func(t *testing.T) {
			fake, err := discordfake.New(discordfake.Options{Token: "hush.hush.token", ApplicationID: id})
			require.NoError(t, err)
			defer fake.Close()
			d := config.Discord{API: fake.URL() + "/", Transport: config.Gateway, Token: config.NewSecret(fake.Token()),
				ApplicationID: id, PublicKey: hex.EncodeToString(fake.PublicKey())}
			var list []string
			for _, name := range strings.Fields(c.registered) {
				name, version, _ := strings.Cut(name, ":")
				list = append(list, `{"name":"`+name+`","description":"x`+version+`"}`)
			}
			put, err := http.NewRequest(http.MethodPut, fake.URL()+"/api/v9/applications/"+id+"/commands", strings.NewReader("["+strings.Join(list, ",")+"]"))
			require.NoError(t, err)
			put.Header.Set("Authorization", "Bot "+fake.Token())
			put.Header.Set("Content-Type", "application/json")
			answer, err := http.DefaultClient.Do(put)
			require.NoError(t, err)
			answer.Body.Close()
			require.Equal(t, 200, answer.StatusCode)
			if c.off != nil {
				c.off(fake, &d)
			}
			p := &program{now: func() time.Time { return time.Now().Add(c.late) }}
			wellBut(t, p.discordChecks(context.Background(), d, wanted), c.name, c.says)
		})
	}
	d := config.Discord{API: saying(t, 200, "[]"), Transport: config.ByHTTP, Token: config.NewSecret("hush")}
	wellBut(t, (&program{now: time.Now}).discordChecks(context.Background(), d, wanted), "discord token", "answered without one")
	assert.ErrorContains(t, discordCommands(context.Background(), saying(t, 200, "{}"), "", id, "", wanted).err, "answered without a list")
	assert.ErrorContains(t, discordLink(context.Background(), "http://"+dead(t)+"/", "").err, "could not ask")
}

func TestDoctorListeners(t *testing.T) {
	taken, err := net.Listen("tcp", "127.0.0.1:0")
	require.NoError(t, err)
	defer taken.Close()
	at := taken.Addr().String()
	s := config.Settings{Slack: config.Slack{BotToken: config.NewSecret("xoxb-hush"), Transport: config.ByHTTP}, HTTP: config.HTTP{Listen: "127.0.0.1:0"}, Metrics: config.Metrics{Listen: "127.0.0.1:0"}}
	got := listeners(context.Background(), s)
	require.Len(t, got, 2)
	wellBut(t, got, "", "")
	s.HTTP.Listen = at
	wellBut(t, listeners(context.Background(), s), "http listener", "can't listen at "+at)
	s.HTTP.Listen, s.Metrics.Listen = "127.0.0.1:0", at
	wellBut(t, listeners(context.Background(), s), "metrics listener", "can't listen at "+at)
	s.Metrics.Listen, s.Slack.Transport = "off", config.Socket
	assert.Empty(t, listeners(context.Background(), s))
}

func TestDoctorLimits(t *testing.T) {
	for _, c := range []struct {
		person, workspace int
		err               string
	}{
		{60, 1200, ""}, {60, 60, ""}, {0, 0, ""}, {60, 0, ""},
		{61, 60, "limits.person is more than limits.workspace: found 61 and 60"},
		{0, 60, "found 0 and 60"},
	} {
		err := allowances(config.Limits{Person: c.person, Workspace: c.workspace}).err
		if c.err == "" {
			assert.NoError(t, err)
		} else {
			assert.ErrorContains(t, err, c.err)
		}
	}
}

func TestDoctorStore(t *testing.T) {
	dir := t.TempDir()
	no := filepath.Join(dir, "no.db")
	require.NoError(t, os.WriteFile(no, []byte(strings.Repeat("no database ", 100)), 0o600))
	for _, c := range []struct{ why, path, err string }{
		{"a new one", filepath.Join(dir, "new.db"), ""},
		{"the same again", filepath.Join(dir, "new.db"), ""},
		{"none", config.StoreMemory, ""},
		{"nowhere to keep it", config.StoreAuto, "found no directory of a service or a person"},
		{"a directory that is not there", filepath.Join(dir, "not", "there.db"), "want a file that can be written, in a directory that exists"},
		{"something else", no, "the file is no database"},
	} {
		got := (&program{now: time.Now, getenv: config.Lookup(nil)}).storeCheck(context.Background(), config.Settings{Store: config.Store{Path: c.path}})
		if c.err == "" {
			assert.NoError(t, got.err, c.why)
		} else {
			assert.ErrorContains(t, got.err, c.err, c.why)
		}
	}
}

func TestStorePath(t *testing.T) {
	if runtime.GOOS != "linux" {
		t.Skip("the paths of other systems are others")
	}
	for _, c := range []struct {
		why, set string
		env      []string
		want     string
		err      error
	}{
		{"none", config.StoreMemory, []string{"HOME=/h"}, "", nil},
		{"named", "/srv/x.db", []string{"STATE_DIRECTORY=/var/lib/spokeword"}, "/srv/x.db", nil},
		{"the service's", config.StoreAuto, []string{"STATE_DIRECTORY=/var/lib/spokeword", "HOME=/h"}, "/var/lib/spokeword/spokeword.db", nil},
		{"its first", config.StoreAuto, []string{"STATE_DIRECTORY=/var/lib/a:/var/lib/b"}, "/var/lib/a/spokeword.db", nil},
		{"the person's", config.StoreAuto, []string{"HOME=/h"}, "/h/.local/share/spokeword/spokeword.db", nil},
		{"where the person wants it", config.StoreAuto, []string{"HOME=/h", "XDG_DATA_HOME=/d"}, "/d/spokeword/spokeword.db", nil},
		{"not where we happen to stand", config.StoreAuto, []string{"HOME=/h", "XDG_DATA_HOME=d"}, "/h/.local/share/spokeword/spokeword.db", nil},
		{"nobody's", config.StoreAuto, nil, "", errors.New("setting store.path: found no directory of a service or a person to keep the store in: want the path of a file, or memory")},
	} {
		got, _, err := (&program{getenv: config.Lookup(c.env)}).storePath(config.Store{Path: c.set})
		assert.Equal(t, c.want, got, c.why)
		assert.Equal(t, c.err, err, c.why)
	}
}

// TestDoctorServices holds that doctor looks at what is switched on, and only
// at that.
func TestDoctorServices(t *testing.T) {
	fake, err := slackfake.New(slackfake.Options{BotToken: "xoxb-hush-bot", AppToken: "xapp-hush-app"})
	require.NoError(t, err)
	defer fake.Close()
	env := map[string]string{
		"HOME":                      t.TempDir(),
		"SPOKEWORD_SLACK_BOT_TOKEN": fake.BotToken(), "SPOKEWORD_SLACK_APP_TOKEN": fake.AppToken(), "SPOKEWORD_SLACK_API": fake.APIURL(),
		"SPOKEWORD_METRICS_LISTEN": "127.0.0.1:0",
	}
	got := swIn(env, "", "doctor")
	assert.Equal(t, 0, got.code, got)
	var names []string
	for l := range strings.Lines(got.out) {
		_, rest, _ := strings.Cut(l, "  ")
		name, _, _ := strings.Cut(rest, ":")
		names = append(names, strings.TrimSpace(name))
	}
	assert.Equal(t, []string{"settings", "declarations", "models", "time zones", "roots of trust",
		"store", "limits", "metrics listener", "slack token", "slack scopes", "slack link", "slack clock"}, names)
	assert.NotContains(t, got.out+got.errs, "hush")
	env["SPOKEWORD_SLACK_BOT_TOKEN"] = "xoxb-hush-old"
	got = swIn(env, "", "doctor")
	assert.Equal(t, 1, got.code)
	assert.Contains(t, got.out, "FAIL  slack token: auth.test says invalid_auth")
	assert.NotContains(t, got.out+got.errs, "hush")
}
