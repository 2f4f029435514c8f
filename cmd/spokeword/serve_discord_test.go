package main

import (
	"encoding/hex"
	"fmt"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"spokeword/bot/discordfake"
)

// Ids of the fake, in the shape of the service's.
const (
	applicationID = "123456789012345678"
	oneServer     = "223456789012345678"
)

func newDiscord(t *testing.T) *discordfake.Server {
	fake, err := discordfake.New(discordfake.Options{Token: "hush.hush.hushtoken", ApplicationID: applicationID})
	require.NoError(t, err)
	t.Cleanup(func() { fake.Close() })
	return fake
}

func discordEnv(t *testing.T, fake *discordfake.Server, pairs ...string) map[string]string {
	env := map[string]string{
		"SPOKEWORD_DISCORD_TOKEN":  fake.Token(),
		"SPOKEWORD_DISCORD_API":    fake.URL() + "/",
		"SPOKEWORD_HTTP_LISTEN":    "127.0.0.1:0",
		"SPOKEWORD_METRICS_LISTEN": "127.0.0.1:0",
		"SPOKEWORD_STORE_PATH":     filepath.Join(t.TempDir(), "s.db"),
	}
	for i := 0; i < len(pairs); i += 2 {
		env["SPOKEWORD_DISCORD_"+pairs[i]] = pairs[i+1]
	}
	return env
}

// TestServeDiscord holds a life of the service over both transports: the
// commands are registered, what is asked is answered, told to end it ends.
func TestServeDiscord(t *testing.T) {
	question := discordfake.Slash(discordfake.InGuild("7"), "ask", discordfake.TextOption("text", "convert 40 mm in in"))
	for _, transport := range []string{"gateway", "http"} {
		t.Run(transport, func(t *testing.T) {
			fake := newDiscord(t)
			c := start(t, discordEnv(t, fake, "TRANSPORT", transport, "PUBLIC_KEY", hex.EncodeToString(fake.PublicKey())), "serve")
			url := ""
			if transport == "http" {
				url = c.at(publicUp) + discordPath
				require.NoError(t, fake.Probe(within(t), url))
			} else {
				require.NoError(t, fake.Online(within(t)))
			}
			c.logged("commands registered")
			c.logged("link up")
			said, err := fake.Answer(within(t), url, question)
			require.NoError(t, err)
			assert.Contains(t, discordfake.Text(said), "1.57")
			status, text := pageOf(t, c.at(operatorsUp)+"/readyz")
			assert.Equal(t, 200, status, text)
			assert.Contains(t, text, "ok    discord: link up\n")
			c.terminate()
			assert.Equal(t, 0, c.ended(), c.printed())
			assert.NotContains(t, c.printed(), "hush")
			assert.NotContains(t, c.printed(), "40 mm")
			assert.NotEmpty(t, fake.Commands(), "they stay when it ends")
			assert.Empty(t, fake.Violations())
		})
	}
}

// TestServeDiscordRefused holds that a token that is refused ends it at once,
// with one clear line, and that no call that fails shows the token.
func TestServeDiscordRefused(t *testing.T) {
	fake := newDiscord(t)
	fake.Greet(discordfake.Greeting{Close: 4004}, 0)
	c := start(t, discordEnv(t, fake), "serve")
	assert.Equal(t, ourFault, c.ended())
	lines := strings.Split(strings.TrimSpace(c.printed()), "\n")
	assert.True(t, strings.HasPrefix(lines[len(lines)-1], "spokeword: discord: the service refuses the bot (4004): "), c.printed())
	assert.NotContains(t, c.printed(), "hush")

	for _, fault := range []*discordfake.Fault{
		{Answer: discordfake.Failing(500)}, {Drop: true}, {Answer: discordfake.TooMany(1, true)},
		{Answer: &discordfake.Refusal{Status: 400, Message: "Bot hush.hush.hushtoken is wrong"}},
	} {
		fake := newDiscord(t)
		fake.Disturb(fault)
		c := start(t, discordEnv(t, fake), "serve")
		operators := c.at(operatorsUp)
		_, err := fake.Next(within(t))
		require.NoError(t, err)
		all := ""
		for _, path := range []string{"/readyz", "/healthz", "/metrics"} {
			_, text := pageOf(t, operators+path)
			all += text
		}
		c.terminate()
		assert.Equal(t, 0, c.ended(), c.printed())
		doctor := start(t, discordEnv(t, fake), "doctor")
		assert.Equal(t, ourFault, doctor.ended())
		assert.NotContains(t, all+c.printed()+doctor.printed(), "hush")
	}
}

func TestRegister(t *testing.T) {
	fake := newDiscord(t)
	env := discordEnv(t, fake)
	for _, c := range []struct {
		why, args, out, errs string
		code                 int
		everywhere, there    bool // whether commands are registered then
	}{
		{why: "the first time", out: "registered for all servers\n", everywhere: true},
		{why: "nothing changed", out: "registered already for all servers; --force does it again\n", everywhere: true},
		{why: "all the same", args: "--force", out: "registered for all servers\n", everywhere: true},
		{why: "for one", args: "--guild " + oneServer, out: "registered for the server " + oneServer + "\n", everywhere: true, there: true},
		{why: "taken away there", args: "--withdraw --guild " + oneServer, out: "taken away for the server " + oneServer + "\n", everywhere: true},
		{why: "there again", args: "--guild " + oneServer, out: "registered for the server " + oneServer + "\n", everywhere: true, there: true},
		{why: "taken away from nobody", args: "--withdraw", errs: "want --guild with the one", code: theirs, everywhere: true, there: true},
		{why: "no server", args: "--guild Larkmoor", errs: "setting discord.guild", code: theirs, everywhere: true, there: true},
	} {
		got := swIn(env, "", append([]string{"register"}, strings.Fields(c.args)...)...)
		assert.Equal(t, c.code, got.code, c.why)
		assert.Equal(t, c.out, got.out, c.why)
		assert.Contains(t, got.errs, c.errs, c.why)
		assert.Equal(t, c.everywhere, len(fake.Commands()) > 0, c.why)
		assert.Equal(t, c.there, len(fake.GuildCommands(oneServer)) > 0, c.why)
	}
	doctor := swIn(env, "", "doctor")
	assert.Equal(t, 0, doctor.code, doctor)
	assert.Contains(t, doctor.out, fmt.Sprintf("ok    discord commands: all %d registered, and as they are now\n", len(fake.Commands())))
	env["SPOKEWORD_DISCORD_TOKEN"] = "hush.hush.hushold"
	got := swIn(env, "", "register", "--force")
	assert.Equal(t, ourFault, got.code)
	assert.Contains(t, got.errs, "spokeword: discord: the service refuses the bot (401)")
	assert.NotContains(t, got.out+got.errs, "hush")
	got = sw("", "register")
	assert.Equal(t, theirs, got.code)
	assert.Contains(t, got.errs, "register: found no discord.token")
}
