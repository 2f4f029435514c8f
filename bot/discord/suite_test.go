package discord_test

import (
	"context"
	"encoding/hex"
	"net/http"
	"net/http/httptest"
	"regexp"
	"strings"
	"sync"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"spokeword/bot/bottest"
	"spokeword/bot/discord"
	"spokeword/bot/discordfake"
)

// calling is markup that would call somebody, or lead somewhere, if it stood
// outside a code block. https://discord.com/developers/docs/reference#message-formatting
var calling = regexp.MustCompile(`@everyone|@here|(^|[^\\])<[@#/:at]|[a-z]://|[^\\]\]\(`)

// markup returns the texts of a message in which the service reads markup.
func markup(m discordfake.Message) []string {
	var all []string
	for i, part := range strings.Split(discordfake.Text(m), "```") {
		if i%2 == 0 { // the others are code
			all = append(all, part)
		}
	}
	return all
}

func pings(all []discordfake.Message) []string {
	var found []string
	for _, m := range all {
		for _, text := range markup(m) {
			found = append(found, calling.FindAllString(text, -1)...)
		}
		if strings.Contains(discordfake.Text(m), "@everyone") {
			found = append(found, "@everyone in code")
		}
	}
	return found
}

func TestSuite(t *testing.T) {
	over(t, func(t *testing.T, transport discord.Transport) {
		bottest.Run(t, func(t *testing.T, s bottest.Setup) *bottest.Front { return front(t, s, transport) })
	})
}

// front is the bot in a server of the service, for the suite.
func front(t *testing.T, s bottest.Setup, transport discord.Transport) *bottest.Front {
	fake, err := discordfake.New(discordfake.Options{Token: s.Marker + ".six123.aaaaaaaaaaaaaaaaaaaaaaaaaaa"})
	require.NoError(t, err)
	a, err := discord.New(discord.Options{Transport: transport, Handler: s.Handler, Incident: s.Incident, Log: s.Log, Token: fake.Token(), PublicKey: hex.EncodeToString(fake.PublicKey()),
		APIURL: fake.URL(), Client: &http.Client{Transport: s.Client(http.DefaultTransport)}, LeastPause: time.Millisecond, MostPause: time.Millisecond})
	require.NoError(t, err)
	ctx, cancel := context.WithCancel(context.Background())
	ended := make(chan error, 1)
	go func() { ended <- a.Run(ctx) }()
	deliver := fake.Push
	if transport == discord.Gateway {
		require.NoError(t, fake.Online(t.Context()))
	} else {
		server := httptest.NewServer(a)
		t.Cleanup(server.Close)
		deliver = func(ctx context.Context, in discordfake.Interaction) (discordfake.Callback, error) {
			return fake.Deliver(ctx, server.URL, in)
		}
	}
	_, err = fake.Next(t.Context(), discordfake.Of(discordfake.KindCommands))
	require.NoError(t, err)
	saw := func(m *discordfake.Message) bottest.Shown {
		shown := bottest.Shown{Text: discordfake.Text(*m), Private: m.Ephemeral(), Deferred: m.Flags&discordfake.FlagLoading != 0, Native: *m}
		for _, c := range discordfake.Buttons(*m) {
			shown.Buttons = append(shown.Buttons, c.Label)
		}
		return shown
	}
	wren := discordfake.InGuild("7")
	send := func(ctx context.Context, in discordfake.Interaction) (bottest.Shown, error) {
		cb, err := deliver(ctx, in)
		if err != nil {
			return bottest.Shown{}, err
		}
		return saw(cb.Message), nil
	}
	f := &bottest.Front{
		Ask: func(ctx context.Context, line string) (bottest.Shown, error) { return send(ctx, asking(wren, line)) },
		Next: func(ctx context.Context) (bottest.Shown, error) {
			r, err := fake.Next(ctx, discordfake.Of(discordfake.KindEdit, discordfake.KindFollowUp), discordfake.Succeeded)
			if err != nil {
				return bottest.Shown{}, err
			}
			return saw(r.Message), nil
		},
		Press: func(ctx context.Context, on bottest.Shown, label string) (bottest.Shown, error) {
			m := on.Native.(discordfake.Message)
			b, ok := discordfake.Button(m, label)
			require.True(t, ok, "%s: %v", label, on.Buttons)
			return send(ctx, discordfake.Press(wren, m, b.CustomID))
		},
		Public: func() string {
			var b strings.Builder
			for _, m := range fake.Messages() {
				if !m.Ephemeral() {
					b.WriteString(discordfake.Text(m))
				}
			}
			return b.String()
		},
		Pings: func() []string { return pings(fake.Messages()) },
		Violations: func() []string {
			var all []string
			for _, v := range fake.Violations() {
				all = append(all, v.String())
			}
			for _, r := range fake.Records() {
				if r.Refused != nil {
					all = append(all, r.Refused.Error()+string(r.Body))
				}
			}
			return all
		},
	}
	f.Stop = sync.OnceValue(func() error {
		drained := s.Handler.Drain(context.Background())
		cancel()
		if err := <-ended; err != nil {
			return err
		}
		return drained
	})
	t.Cleanup(func() {
		_ = f.Stop() // whoever cares has looked
		require.NoError(t, fake.Close())
	})
	return f
}
