package main

import (
	"context"
	"encoding/hex"
	"fmt"
	"net/http"
	"net/http/httptest"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"spokeword/bot"
	"spokeword/bot/discord"
	"spokeword/bot/discordfake"
	"spokeword/bot/render"
	"spokeword/bot/slack"
	"spokeword/bot/slackfake"
	"spokeword/commands/reply"
)

// side shows what a person sees in a chat service when they send a line.
type side func(person, line string) string

func testHandler(t testing.TB) *bot.Handler {
	return bot.NewHandler(bot.Options{Desk: testDesk(t), Incident: func(err error) string {
		t.Errorf("fault: %v", err)
		return "0"
	}})
}

// newSlackSide is the bot in a stand-in for Slack, asked by signed requests.
// Some is said after the response; when the handler returns, all was.
func newSlackSide(t *testing.T) side {
	fake, err := slackfake.New(slackfake.Options{})
	require.NoError(t, err)
	t.Cleanup(func() { assert.NoError(t, fake.Close()) })
	h := testHandler(t)
	a, err := slack.New(slack.Options{Transport: slack.HTTP, Handler: h, Incident: h.Incident, BotToken: fake.BotToken(), SigningSecret: fake.SigningSecret(), APIURL: fake.APIURL()})
	require.NoError(t, err)
	said := make(chan struct{}, 1)
	server := httptest.NewServer(http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		a.ServeHTTP(w, r)
		said <- struct{}{}
	}))
	t.Cleanup(server.Close)
	fake.SetEndpoints(server.URL, server.URL, server.URL)
	known := map[string]bool{}
	return func(person, line string) string {
		user := "U" + strings.ToUpper(hex.EncodeToString([]byte(person)))
		if !known[user] {
			fake.AddUser(slackfake.User{ID: user, Name: person})
			known[user] = true
		}
		before := len(fake.Ephemerals(user))
		_, err := fake.Post(t.Context(), fake.Command(user, slackfake.General, slack.DefaultCommand, line))
		require.NoError(t, err)
		<-said
		var texts []string
		for _, m := range fake.Ephemerals(user)[before:] {
			texts = append(texts, slackfake.Text(m))
		}
		assert.Empty(t, fake.Violations())
		return strings.Join(texts, "\n")
	}
}

// newDiscordSide is the bot in a stand-in for Discord.
func newDiscordSide(t *testing.T) side {
	fake, err := discordfake.New(discordfake.Options{})
	require.NoError(t, err)
	t.Cleanup(func() { assert.NoError(t, fake.Close()) })
	h := testHandler(t)
	a, err := discord.New(discord.Options{Transport: discord.HTTP, Handler: h, Incident: h.Incident, Token: fake.Token(), ApplicationID: fake.ApplicationID(),
		PublicKey: hex.EncodeToString(fake.PublicKey()), Client: fake.Client(callTime)})
	require.NoError(t, err)
	server := httptest.NewServer(a)
	t.Cleanup(server.Close)
	return func(person, line string) string {
		m, err := fake.Answer(context.Background(), server.URL, discordfake.Slash(discordfake.InGuild(person), "ask", discordfake.TextOption("text", line)))
		require.NoError(t, err)
		text := discordfake.Text(m)
		for _, b := range discordfake.Buttons(m) {
			text += "\n[" + b.Label + "]"
		}
		return text
	}
}

// onService shows a conversation as a chat service does. A key that is typed
// at the console stands for its line there.
func onService(t testing.TB, person, asked string, say side) string {
	var b strings.Builder
	var keys []render.Key
	for i, replies := range conversation(t, asked) {
		line := lines(asked)[i]
		for _, k := range keys {
			if strings.TrimSpace(line) == k.Name {
				line = k.Line
			}
		}
		keys = render.Keys(replies)
		if i > 0 {
			b.WriteByte('\n')
		}
		text := say(person, line)
		fmt.Fprintf(&b, "> %s\n\n%s\n", line, strings.TrimRight(text, "\n"))
		sameNumbers(t, replies, text)
	}
	return b.String()
}

// sameNumbers holds that a rendering says what the reply does: its lead, its
// cautions and every cell of its tables.
func sameNumbers(t testing.TB, replies []reply.Reply, shown string) {
	flat := func(text string) string {
		return strings.Join(strings.FieldsFunc(text, func(r rune) bool { return strings.ContainsRune(" \n\\*_>|\u200b", r) }), "")
	}
	text := flat(shown)
	for _, r := range replies {
		for _, l := range r.Lead {
			assert.Contains(t, text, flat(l))
		}
		for _, c := range r.Cautions {
			assert.Contains(t, text, flat(c.Text))
		}
		for _, table := range r.Tables {
			for _, row := range table.Rows {
				for _, c := range row.Cells {
					for word := range strings.FieldsSeq(c) {
						assert.Contains(t, text, flat(word), "%s: a cell", r.Line)
					}
				}
			}
		}
	}
}
