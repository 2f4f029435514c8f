package slack

import (
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"spokeword/bot/slackfake"
)

// TestFormsThatFail holds that whoever presses a button for a form, or sends
// one, is not left without an answer.
func TestFormsThatFail(t *testing.T) {
	overBoth(t, func(t *testing.T, transport Transport) {
		r := start(t, transport, nil)
		m := r.ask("pressure 29x2.4 i30 trail")
		r.fake.Fail("views.open", 1, slackfake.Fault{Code: "expired_trigger_id"})
		r.press(m, slackfake.Wren, "other…")
		told := slackfake.Text(r.next(slackfake.To(slackfake.Wren)))
		assert.Contains(t, told, "The form could not be opened")
		assert.Contains(t, told, "Try: 80 kg")

		r.press(m, slackfake.Wren, "other…")
		view, err := r.fake.NextView(t.Context())
		require.NoError(t, err)
		r.clock.advance(31 * time.Minute) // the response address has ended
		in, err := r.fake.Submit(view, map[string]string{"value": "83 kg"})
		require.NoError(t, err)
		r.deliver(in)
		m = r.next(slackfake.To(slackfake.Wren), slackfake.By("chat.postEphemeral"))
		assert.Contains(t, slackfake.Text(m), "rider 83 kg")

		for _, odd := range []func(view map[string]any){
			func(v map[string]any) { v["state"] = nil },
			func(v map[string]any) { v["callback_id"] = "another" },
			func(v map[string]any) { v["private_metadata"] = "{" },
			func(v map[string]any) {
				v["state"] = map[string]any{"values": map[string]any{"value": map[string]any{"value": map[string]any{"type": "hologram"}}}}
			},
		} {
			in, err := r.fake.Submit(view, map[string]string{"value": "84 kg"})
			require.NoError(t, err)
			odd(in.Payload["view"].(map[string]any))
			r.deliver(in)
		}
		require.NoError(t, r.stop())
		for _, m := range r.fake.Ephemerals(slackfake.Wren) {
			assert.NotContains(t, slackfake.Text(m), "84 kg")
		}
	})
}

// TestHomeAndMessages holds that what is pressed on the bot's page and what is
// typed in the talk beside it are one talk.
func TestHomeAndMessages(t *testing.T) {
	overBoth(t, func(t *testing.T, transport Transport) {
		r := start(t, transport, nil)
		r.deliver(r.fake.HomeOpened(slackfake.Wren, "home"))
		view, err := r.fake.NextView(t.Context())
		require.NoError(t, err)
		in, err := r.fake.PressInView(view, slackfake.Act{User: slackfake.Wren, Control: slackfake.Buttons(view.Blocks)[0]})
		require.NoError(t, err)
		r.deliver(in)
		direct := slackfake.In(r.fake.Direct(slackfake.Wren))
		r.next(direct)
		r.deliver(r.fake.DirectMessage(slackfake.Wren, "why", "", nil))
		assert.Contains(t, slackfake.Text(r.next(direct)), "Load", "why of the answer to the button")
		r.clean()
		assert.Empty(t, r.incidents.text())
	})
}

func TestTyped(t *testing.T) {
	for _, c := range []struct{ text, me, want, why string }{
		{"<@U0BOT> 80kg", "U0BOT", "80kg", "named first"},
		{"<@U0BOT|spokeword>: 80kg", "U0BOT", "80kg", "with its name and a colon"},
		{"hey <@U0BOT>, 80kg", "U0BOT", "hey 80kg", "named within"},
		{"80kg <@U0BOT>", "U0BOT", "80kg", "named last"},
		{"<@U0BOT> as <@U0WREN> has", "U0BOT", "as <@U0WREN> has", "others stay"},
		{"<@U0BOT> 80kg", "", "80kg", "who we are is not known"},
		{"80kg <@U0WREN>", "", "80kg <@U0WREN>", "and that is not the first"},
		{"spokes.example", "", "spokes.example", "plain"},
		{"on <http://spokes.example|spokes.example>", "", "on spokes.example", "made a link by the service"},
		{"<tel:62622|62-622> and <https://a.example>", "", "62-622 and https://a.example", "as is this"},
		{"in <#C1|general> <!here>", "", "in #general <!here>", "a channel; a call to all"},
		{"30mm &lt; 2.4in &amp; 5 &gt; 3", "", "30mm < 2.4in & 5 > 3", "escaped by the service"},
		{"&lt;@U0BOT&gt;", "U0BOT", "<@U0BOT>", "typed so, and no mention"},
		{"a <b", "", "a <b", "never ended"},
		{"<>", "", "<>", "nothing within"},
		{"", "", "", "nothing"},
	} {
		assert.Equal(t, c.want, typed(c.text, c.me), c.why)
	}
}
