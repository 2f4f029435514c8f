package slackfake_test

import (
	"context"
	"testing"
	"time"

	"github.com/slack-go/slack"
	"github.com/slack-go/slack/socketmode"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"spokeword/bot/slackfake"
)

// start starts a workspace that ends with the test. A test that hangs is ended by the
// context, not by the clock of a check.
func start(t testing.TB, opt slackfake.Options) (*slackfake.Server, *slack.Client) {
	s, err := slackfake.New(opt)
	require.NoError(t, err)
	t.Cleanup(func() { assert.NoError(t, s.Close()) })
	return s, slack.New(s.BotToken(), slack.OptionAPIURL(s.APIURL()), slack.OptionAppLevelToken(s.AppToken()))
}

// listen runs a client in Socket Mode which hands every event to do.
func listen(t testing.TB, s *slackfake.Server, api *slack.Client, do func(*socketmode.Client, socketmode.Event)) {
	before := len(s.Links())
	ctx, cancel := context.WithCancel(context.Background())
	c := socketmode.New(api)
	done := make(chan struct{})
	go func() { defer close(done); _ = c.RunContext(ctx) }()
	go func() {
		for {
			select {
			case e := <-c.Events:
				do(c, e)
			case <-ctx.Done():
				return
			}
		}
	}()
	t.Cleanup(func() { cancel(); <-done })
	require.NoError(t, s.WaitLink(t.Context(), before+1))
}

func ackAll(c *socketmode.Client, e socketmode.Event) {
	if e.Request != nil && e.Request.EnvelopeID != "" {
		_ = c.Ack(*e.Request, nil)
	}
}

func TestCommandOverLink(t *testing.T) {
	s, api := start(t, slackfake.Options{})
	listen(t, s, api, func(c *socketmode.Client, e socketmode.Event) {
		ackAll(c, e)
		if cmd, ok := e.Data.(slack.SlashCommand); ok {
			_, _, err := api.PostMessageContext(t.Context(), "", slack.MsgOptionResponseURL(cmd.ResponseURL, slack.ResponseTypeEphemeral),
				slack.MsgOptionText("24 psi", false),
				slack.MsgOptionBlocks(
					slack.NewSectionBlock(slack.NewTextBlockObject(slack.PlainTextType, "front 24 psi", false, false), nil, nil),
					slack.NewActionBlock("", slack.NewButtonBlockElement("again", "the line", slack.NewTextBlockObject(slack.PlainTextType, "Again", false, false)))))
			assert.NoError(t, err)
		}
	})
	in := s.Command(slackfake.Wren, slackfake.General, "/spoke", "pressure 80 kg")
	_, err := s.Push(t.Context(), in)
	require.NoError(t, err)
	m, err := s.NextMessage(t.Context(), slackfake.To(slackfake.Wren))
	require.NoError(t, err)
	assert.Equal(t, "front 24 psi\n[Again]", slackfake.Text(m))
	assert.Equal(t, in.ResponseURL, m.URL)
	assert.Len(t, s.Responses(in.ResponseURL), 1)
	assert.Empty(t, s.Messages(slackfake.General))
	buttons := slackfake.Buttons(m.Blocks)
	require.Len(t, buttons, 1)
	assert.Equal(t, "the line", buttons[0].Value)
	press, err := s.Press(m, slackfake.Act{User: slackfake.Wren, Control: buttons[0]})
	require.NoError(t, err)
	_, err = s.Push(t.Context(), press)
	require.NoError(t, err)
	assert.Empty(t, s.Violations())
	assert.Empty(t, s.Notes())
}

// clock is a clock that tests move. It is not for use while calls are made.
type clock struct{ now time.Time }

func newClock() *clock { return &clock{time.Date(2026, 5, 9, 10, 0, 0, 0, time.UTC)} }
