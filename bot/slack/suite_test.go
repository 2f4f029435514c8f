package slack

import (
	"context"
	"net/http"
	"net/http/httptest"
	"regexp"
	"strings"
	"sync"
	"testing"

	"github.com/stretchr/testify/require"

	"spokeword/bot/bottest"
	"spokeword/bot/slackfake"
)

// mention is markup that would call somebody, or lead somewhere.
// https://docs.slack.dev/messaging/formatting-message-text
var mention = regexp.MustCompile(`<[@#!]|<https?:`)

func TestSuite(t *testing.T) {
	overBoth(t, func(t *testing.T, transport Transport) {
		bottest.Run(t, func(t *testing.T, s bottest.Setup) *bottest.Front { return front(t, s, transport) })
	})
}

// front is the bot in a workspace, for the suite.
func front(t *testing.T, s bottest.Setup, transport Transport) *bottest.Front {
	fake, err := slackfake.New(slackfake.Options{BotToken: "xoxb-" + s.Marker, AppToken: "xapp-" + s.Marker, SigningSecret: s.Marker})
	require.NoError(t, err)
	a, err := New(Options{Transport: transport, Handler: s.Handler, Incident: s.Incident, Log: s.Log, BotToken: fake.BotToken(), AppToken: fake.AppToken(),
		SigningSecret: fake.SigningSecret(), APIURL: fake.APIURL(), Client: &http.Client{Transport: s.Client(http.DefaultTransport)}})
	require.NoError(t, err)
	ctx, cancel := context.WithCancel(context.Background())
	ended := make(chan error, 1)
	go func() { ended <- a.Run(ctx) }()
	deliver := func(ctx context.Context, in slackfake.Inbound) (slackfake.Answer, error) { return fake.Push(ctx, in) }
	if transport == Socket {
		require.NoError(t, fake.WaitLink(t.Context(), 1))
	} else {
		server := httptest.NewServer(a)
		t.Cleanup(server.Close)
		fake.SetEndpoints(server.URL, server.URL, server.URL)
		deliver = fake.Post
	}
	var mu sync.Mutex
	var sent []slackfake.Message
	saw := func(m slackfake.Message, err error) (bottest.Shown, error) {
		if err != nil {
			return bottest.Shown{}, err
		}
		mu.Lock()
		defer mu.Unlock()
		sent = append(sent, m)
		shown := bottest.Shown{Text: slackfake.Text(m), Private: m.Ephemeral(), Native: m}
		for _, c := range slackfake.Buttons(m.Blocks) {
			shown.Buttons = append(shown.Buttons, c.Text)
		}
		return shown, nil
	}
	next := func(ctx context.Context) (bottest.Shown, error) {
		return saw(fake.NextMessage(ctx, slackfake.Of(slackfake.Posted, slackfake.Whispered)))
	}
	f := &bottest.Front{Next: next}
	f.Ask = func(ctx context.Context, line string) (bottest.Shown, error) {
		_, err := deliver(ctx, fake.Command(slackfake.Wren, slackfake.General, DefaultCommand, line))
		if err != nil {
			return bottest.Shown{}, err
		}
		if line == "slow" {
			return bottest.Shown{Deferred: len(fake.Ephemerals(slackfake.Wren)) == 0}, nil
		}
		first, err := next(ctx)
		// A long answer goes on in further messages, which are there by the time
		// that the next question is answered.
		return first, err
	}
	f.Press = func(ctx context.Context, on bottest.Shown, label string) (bottest.Shown, error) {
		in, err := fake.Press(on.Native.(slackfake.Message), slackfake.Act{User: slackfake.Wren, Control: button(t, on.Native.(slackfake.Message), label)})
		if err != nil {
			return bottest.Shown{}, err
		}
		if _, err := deliver(ctx, in); err != nil {
			return bottest.Shown{}, err
		}
		return next(ctx)
	}
	f.Public = func() string {
		var b strings.Builder
		for _, m := range fake.Messages(slackfake.General) {
			b.Write(m.Raw)
		}
		return b.String()
	}
	f.Pings = func() []string {
		var all []string
		for _, m := range append(fake.Messages(slackfake.General), fake.Ephemerals(slackfake.Wren)...) {
			for _, text := range markup(m) {
				all = append(all, mention.FindAllString(text, -1)...)
			}
		}
		return all
	}
	f.Violations = func() []string {
		var all []string
		for _, v := range fake.Violations() {
			all = append(all, v.String())
		}
		return all
	}
	f.Stop = sync.OnceValue(func() error {
		cancel()
		err := <-ended
		if e := s.Handler.Drain(context.Background()); err == nil {
			err = e
		}
		return err
	})
	t.Cleanup(func() {
		_ = f.Stop() // whoever cares has looked
		require.NoError(t, fake.Close())
	})
	return f
}

// markup returns the texts of a message in which the service reads markup.
func markup(m slackfake.Message) []string {
	all := []string{m.Text}
	var walk func(v any)
	walk = func(v any) {
		switch v := v.(type) {
		case []any:
			for _, e := range v {
				walk(e)
			}
		case map[string]any:
			if v["type"] == "mrkdwn" {
				text, _ := v["text"].(string)
				all = append(all, text)
			}
			for _, e := range v {
				walk(e)
			}
		}
	}
	walk(m.Blocks)
	return all
}
