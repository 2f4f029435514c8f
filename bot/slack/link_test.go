package slack

import (
	"context"
	"net/http"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"spokeword/bot"
	"spokeword/bot/slackfake"
)

// lone is a bot that is not running yet, in a workspace whose clock is moved
// by every wait before a link.
func lone(t *testing.T, transport Transport) (*slackfake.Server, *Adapter, *clock) {
	hours := &clock{now: time.Date(2030, time.May, 4, 12, 0, 0, 0, time.UTC)}
	fake, err := slackfake.New(slackfake.Options{Now: hours.Now})
	require.NoError(t, err)
	t.Cleanup(func() { assert.NoError(t, fake.Close()) })
	i := &incidents{}
	h := bot.NewHandler(bot.Options{Desk: realDesk(t, i), Incident: i.note})
	a, err := New(Options{Transport: transport, Handler: h, Incident: i.note, Now: hours.Now, BotToken: fake.BotToken(), AppToken: fake.AppToken(),
		SigningSecret: fake.SigningSecret(), APIURL: fake.APIURL()})
	require.NoError(t, err)
	a.opener.wait = func(ctx context.Context, d time.Duration) error {
		if _, limited := ctx.Deadline(); limited {
			t.Error("the time limit of a call ends a wait")
		}
		hours.advance(d)
		return ctx.Err()
	}
	return fake, a, hours
}

// TestAMinuteWithoutTheService holds that a service which can't open a link
// for a minute is asked a few times, and that the bot is back soon after.
func TestAMinuteWithoutTheService(t *testing.T) {
	for _, c := range []struct {
		why   string
		fault slackfake.Fault
	}{
		{"it stumbles", slackfake.Fault{Status: http.StatusServiceUnavailable}},
		{"it says nothing", slackfake.Fault{Cut: true}},
		{"it asks for patience", slackfake.Fault{RetryAfter: 20 * time.Second}},
	} {
		t.Run(c.why, func(t *testing.T) {
			fake, a, hours := lone(t, Socket)
			began := hours.Now()
			mend := fake.Fail("apps.connections.open", -1, c.fault)
			pass := a.opener.wait
			var waited []time.Duration
			a.opener.wait = func(ctx context.Context, d time.Duration) error {
				err := pass(ctx, d)
				if mend == nil {
					return err
				}
				waited = append(waited, d)
				assert.ErrorContains(t, a.Ready(), "no link yet: ", "it tells why")
				if hours.Now().Sub(began) >= time.Minute {
					mend()
					mend = nil
				}
				return err
			}
			ctx, stop := context.WithCancel(t.Context())
			ended := make(chan error, 1)
			go func() { ended <- a.Run(ctx) }()
			require.NoError(t, fake.WaitLink(t.Context(), 1))
			_, err := fake.Push(t.Context(), fake.Command(slackfake.Wren, slackfake.General, DefaultCommand, "size 61-622"))
			require.NoError(t, err)
			assert.NoError(t, a.Ready())
			assert.LessOrEqual(t, fake.Calls("apps.connections.open"), 12)
			assert.Less(t, hours.Now().Sub(began), 2*time.Minute+time.Second, "back within a minute")
			stop()
			assert.NoError(t, <-ended)
			for _, d := range waited {
				assert.GreaterOrEqual(t, d, c.fault.RetryAfter)
			}
			assert.Empty(t, fake.Violations())
		})
	}
}

// TestTokensRefused holds that the run ends, and says what to look at, when
// the service refuses a token, also where the library would try for ever.
func TestTokensRefused(t *testing.T) {
	for _, c := range []struct {
		why, method, code string
		transport         Transport
		want              string
	}{
		{"a wrong app token", "apps.connections.open", "invalid_auth", Socket, "app token has to be looked at: invalid_auth"},
		{"the bot token in its place", "apps.connections.open", "not_allowed_token_type", Socket, "app token has to be looked at: not_allowed_token_type"},
		{"an app token that may not", "apps.connections.open", "missing_scope", Socket, "lacks the scope connections:write"},
		{"a wrong bot token", "auth.test", "invalid_auth", Socket, "bot token has to be looked at: invalid_auth"},
		{"the same over HTTP", "auth.test", "token_revoked", HTTP, "bot token has to be looked at: token_revoked"},
	} {
		t.Run(c.why, func(t *testing.T) {
			fake, a, _ := lone(t, c.transport)
			fake.Fail(c.method, -1, slackfake.Fault{Code: c.code})
			err := a.Run(t.Context())
			assert.ErrorContains(t, err, c.want)
			assert.ErrorContains(t, err, "for good")
			assert.ErrorContains(t, a.Ready(), c.want)
		})
	}
	t.Run("the service stumbles at the bot token", func(t *testing.T) {
		fake, a, _ := lone(t, HTTP)
		fake.Fail("auth.test", -1, slackfake.Fault{Status: http.StatusInternalServerError})
		ctx, stop := context.WithCancel(t.Context())
		ended := make(chan error, 1)
		go func() { ended <- a.Run(ctx) }()
		_, err := fake.Next(t.Context(), slackfake.By("auth.test"))
		require.NoError(t, err)
		assert.NoError(t, a.Ready())
		stop()
		assert.NoError(t, <-ended)
	})
	t.Run("at the first answer", func(t *testing.T) {
		r := start(t, HTTP, nil)
		r.fake.Fail("chat.postMessage", -1, slackfake.Fault{Code: "token_revoked"})
		r.deliver(r.fake.DirectMessage(slackfake.Moss, "size 61-622", "", nil))
		require.NoError(t, r.handler.Drain(t.Context()))
		assert.ErrorContains(t, r.adapter.Ready(), "bot token has to be looked at")
	})
}

// TestWholeBeforeTheRest holds that a response over HTTP is whole before
// anything is sent to the response address, however long that takes.
func TestWholeBeforeTheRest(t *testing.T) {
	r := start(t, HTTP, nil)
	release := r.fake.Fail("response_url", 1, slackfake.Fault{Hang: true, After: true})
	r.deliver(r.fake.Command(slackfake.Wren, slackfake.General, DefaultCommand, question)) // with a table: tried there first
	m := r.next(slackfake.To(slackfake.Wren))
	assert.Equal(t, "response_url", m.Method)
	release()
	require.NoError(t, r.stop())
	r.clean()
	assert.NotContains(t, r.incidents.text(), "exceeded", "nobody waited for another until the time was up")
}

// TestNotWelcome holds that who asks where the bot may not write gets the
// answer alone, and hears why.
func TestNotWelcome(t *testing.T) {
	overBoth(t, func(t *testing.T, transport Transport) {
		r := start(t, transport, nil)
		for line, want := range map[string]string{"size 61-622": "622", question: "Front 23 psi"} { // one public, one private
			r.deliver(r.fake.Mention(slackfake.Moss, slackfake.Outside, line, ""))
			direct := slackfake.In(r.fake.Direct(slackfake.Moss))
			assert.Contains(t, slackfake.Text(r.next(direct)), "I may not write where you asked")
			assert.Contains(t, slackfake.Text(r.next(direct)), want)
		}
		require.NoError(t, r.stop())
		assert.Contains(t, r.incidents.text(), "not_in_channel")
		assert.NotContains(t, r.incidents.text(), "send an answer")
		r.clean()
	})
}

// TestShareWhereItMakesSense holds that only an answer which others do not see
// yet, and could, has the button that shows it to them.
func TestShareWhereItMakesSense(t *testing.T) {
	r := start(t, HTTP, nil)
	labels := func(m slackfake.Message) (all []string) {
		for _, c := range slackfake.Buttons(m.Blocks) {
			all = append(all, c.Text)
		}
		return
	}
	const share = "share in channel"
	assert.Contains(t, labels(r.ask(question)), share)
	r.deliver(r.fake.Mention(slackfake.Wren, slackfake.General, question, ""))
	assert.Contains(t, labels(r.next(slackfake.To(slackfake.Wren))), share)
	r.deliver(r.fake.Mention(slackfake.Wren, slackfake.General, "size 61-622", ""))
	assert.NotContains(t, labels(r.next(slackfake.In(slackfake.General))), share, "all see it")
	r.deliver(r.fake.DirectMessage(slackfake.Moss, question, "", nil))
	assert.NotContains(t, labels(r.next(slackfake.In(r.fake.Direct(slackfake.Moss)))), share, "nobody else is there")
}
