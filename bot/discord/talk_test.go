package discord_test

import (
	"context"
	"errors"
	"fmt"
	"net/http"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"spokeword/bot"
	"spokeword/bot/discord"
	"spokeword/bot/discordfake"
	"spokeword/commands/reply"
)

// press presses a button by its label.
func (b *bench) press(o discordfake.Origin, m discordfake.Message, label string) discordfake.Interaction {
	b.t.Helper()
	button, ok := discordfake.Button(m, label)
	require.True(b.t, ok, "button %q in %v", label, labels(m))
	return discordfake.Press(o, m, button.CustomID)
}

func labels(m discordfake.Message) []string {
	var all []string
	for _, b := range discordfake.Buttons(m) {
		all = append(all, b.Label)
	}
	return all
}

// TestQuestionsBack asks something that lacks a value, and answers by a button
// and by the field for another value.
func TestQuestionsBack(t *testing.T) {
	over(t, func(t *testing.T, transport discord.Transport) {
		for _, wren := range []discordfake.Origin{discordfake.InGuild("7"), discordfake.InDM("7"), discordfake.ByUser("7")} {
			b := newBench(t, transport, with{})
			m := b.send(asking(wren, "pressure 82kg i30 trail"))
			assert.True(t, m.Ephemeral())
			assert.Contains(t, discordfake.Text(m), "Which tyre is it?")
			assert.Equal(t, []string{"29x2.4", "29x2.25", "27.5x2.6", "700x40", "other…"}, labels(m)[:5])

			assert.Contains(t, discordfake.Text(b.send(b.press(wren, m, "29x2.25"))), "tyre 29x2.25")

			form := b.push(b.press(wren, m, "other…"))
			require.NotNil(t, form.Modal)
			inputs := discordfake.Inputs(*form.Modal)
			require.Len(t, inputs, 1)
			assert.Equal(t, "size of the tyre as marked, or its width", inputs[0].Label)
			assert.Equal(t, "29x2.4", inputs[0].Placeholder)
			sent := b.send(discordfake.Submit(wren, &m, form.Modal.CustomID, discordfake.Field{CustomID: inputs[0].CustomID, Value: "29 x 2,6"}))
			assert.Contains(t, discordfake.Text(sent), "tyre 29x2.6")
			assert.Contains(t, discordfake.Text(sent), "rider 82 kg", "what was said before is kept")

			wrong := b.send(discordfake.Submit(wren, &m, form.Modal.CustomID, discordfake.Field{CustomID: inputs[0].CustomID, Value: "the fat one"}))
			assert.True(t, wrong.Ephemeral())
			assert.Contains(t, discordfake.Text(wrong), "Try:", "a mistake comes with a line that works")
			b.good()
		}
	})
}

// TestLongLinesGoByKeys presses buttons whose line has no room in them.
func TestLongLinesGoByKeys(t *testing.T) {
	over(t, func(t *testing.T, transport discord.Transport) {
		b := newBench(t, transport, with{})
		wren := discordfake.InGuild("7")
		m := b.send(asking(wren, "spokes erd 602 circles 45 offsets 37.5/17.5 32h 3x flange hole 2.6 washer 0.5 gauge 2.0/1.8 mark 120kgf"))
		for _, button := range discordfake.Buttons(m) {
			assert.LessOrEqual(t, discordfake.Units(button.CustomID), 100)
		}
		shared := b.send(b.press(wren, m, "share in channel"))
		assert.False(t, shared.Ephemeral())
		assert.Contains(t, discordfake.Text(shared), "Caution:")
		assert.Empty(t, discordfake.Buttons(shared), "others' presses would be of no use")
		// Somebody else was not offered that line.
		crane := discordfake.InGuild("8")
		assert.Contains(t, discordfake.Text(b.send(b.press(crane, m, "share in channel"))), "too old")
		b.good()
	})
}

// TestWhatButtonsAndFormsMaySay sends ids and parts that are none of ours, or
// came into the world after the library.
func TestWhatButtonsAndFormsMaySay(t *testing.T) {
	over(t, func(t *testing.T, transport discord.Transport) {
		wren := discordfake.InGuild("7")
		b := newBench(t, transport, with{})
		m := b.send(asking(wren, question))
		for _, c := range []struct {
			why  string
			in   discordfake.Interaction
			says string
		}{
			{"a key that nobody knows", discordfake.Press(wren, m, "a#nobodysKey"), "too old"},
			{"an id of another bot", discordfake.Press(wren, m, "xyz"), "too old"},
			{"an id without a line", discordfake.Press(wren, m, "a="), "too old"},
			{"a select, though we have none", discordfake.Choose(wren, m, "a=size 29", "x"), "29"},
			{"a form with a label, which the library does not know", discordfake.SubmitLabelled(wren, &m, "f=tyre pressure", discordfake.Field{CustomID: "answer", Value: "29x2.4"}), "ask with /ask"},
			{"a form without our field", discordfake.Submit(wren, &m, "f=tyre pressure", discordfake.Field{CustomID: "x", Value: "29x2.4"}), "ask with /ask"},
			{"a kind of interaction from the future", discordfake.UnknownType(wren), "ask with /ask"},
			{"a command that is gone", discordfake.Slash(wren, "juggle"), "not known here any more"},
			{"an option that is gone", discordfake.Slash(wren, "pressure", discordfake.TextOption("balls", "3")), "not known here any more"},
			{"a number where text was declared", discordfake.Slash(wren, "why", discordfake.IntegerOption("x", 3)), ""},
			{"an ask without text", discordfake.Slash(wren, "ask"), "not known here any more"},
			{"a command without options", discordfake.Slash(wren, "help"), "pressure"},
		} {
			t.Run(c.why, func(t *testing.T) {
				got := b.send(c.in)
				assert.True(t, got.Ephemeral())
				assert.Contains(t, discordfake.Text(got), c.says)
			})
		}
		assert.NotContains(t, b.log.String(), "panic")
		b.good()
	})
}

// TestDirectMessages holds that nothing is offered to be shown to others where
// there are none.
func TestDirectMessages(t *testing.T) {
	b := newBench(t, discord.Gateway, with{})
	assert.NotContains(t, labels(b.send(asking(discordfake.InDM("7"), question))), "share in channel")
	group := discordfake.InDM("7")
	group.Context = 2
	assert.Contains(t, labels(b.send(asking(group, question))), "share in channel")
	b.good()
}

// who answers with who asks and where.
type who struct{ bot.Desk }

func (who) Ask(_ context.Context, a asker, _ string) []reply.Reply {
	return []reply.Reply{{Lead: []string{fmt.Sprintf("%s %s %s", a.Workspace, a.Channel, a.User)}}}
}

func TestWhoAsks(t *testing.T) {
	b := newBench(t, discord.Gateway, with{asks: func(real bot.Desk) bot.Desk { return who{real} }})
	assert.Contains(t, discordfake.Text(b.send(asking(discordfake.InGuild("7"), "x"))), "discord:500 700 7")
	assert.Contains(t, discordfake.Text(b.send(asking(discordfake.InDM("7"), "x"))), "discord:user:7 701 7")
	b.good()
}

// held answers when it is let go.
type held struct {
	bot.Desk
	until chan struct{}
}

func (d held) Ask(ctx context.Context, who asker, line string) []reply.Reply {
	<-d.until
	return d.Desk.Ask(ctx, who, line)
}

// TestLateAnswers holds that an answer that takes long is announced, and then
// given: for the asker alone, or for all in a message of its own.
func TestLateAnswers(t *testing.T) {
	over(t, func(t *testing.T, transport discord.Transport) {
		until := make(chan struct{})
		b := newBench(t, transport, with{handler: func(o *bot.Options) { o.Patience = time.Millisecond },
			asks: func(real bot.Desk) bot.Desk { return held{real, until} }})
		wren := discordfake.InGuild("7")
		cb := b.push(asking(wren, question))
		assert.Equal(t, discordfake.AnswerDeferred, cb.Type)
		assert.True(t, cb.Message.Ephemeral())
		share := b.push(discordfake.Press(wren, discordfake.Message{}, "s=pressure rider:\"80 kg\" tyre:29x2.4"))
		assert.Equal(t, discordfake.AnswerDeferred, share.Type)
		close(until)
		r := b.next(kinds(discordfake.KindEdit), discordfake.For(cb.Interaction.ID))
		assert.Contains(t, discordfake.Text(*r.Message), answered)
		assert.True(t, r.Message.Ephemeral())
		shown := b.next(kinds(discordfake.KindFollowUp), discordfake.For(share.Interaction.ID))
		assert.False(t, shown.Message.Ephemeral())
		assert.Contains(t, discordfake.Text(*shown.Message), answered)
		b.good()
	})
}

// TestRepliesThatAreRefused lets the service refuse an answer: it is logged
// with its number, nothing of the tokens is, and the next is answered.
func TestRepliesThatAreRefused(t *testing.T) {
	for _, c := range []struct {
		why   string
		fault *discordfake.Fault
		logs  string
	}{
		{"too late", &discordfake.Fault{Answer: discordfake.Refusing(discordfake.CodeUnknownInteraction)}, "too late"},
		{"answered before", &discordfake.Fault{Answer: discordfake.Refusing(discordfake.CodeAcknowledged)}, "running twice"},
		{"no access", &discordfake.Fault{Answer: discordfake.Refusing(discordfake.CodeMissingAccess)}, "add it again"},
		{"the service fails", &discordfake.Fault{Answer: discordfake.Failing(http.StatusInternalServerError)}, "500"},
		{"the connection drops", &discordfake.Fault{Drop: true}, "discord: post"},
		{"too many calls, for long", &discordfake.Fault{Answer: discordfake.TooMany(time.Minute, false)}, "come back in 1m"},
	} {
		t.Run(c.why, func(t *testing.T) {
			b := newBench(t, discord.Gateway, with{})
			c.fault.Path, c.fault.Times = "/callback", 1
			if c.fault.Drop {
				c.fault.Times = 0 // the client itself tries a dropped connection again
			}
			b.fake.Disturb(c.fault)
			in, err := b.fake.Send(asking(discordfake.InGuild("7"), question))
			require.NoError(t, err)
			require.Eventually(t, func() bool { return strings.Contains(b.log.String(), c.logs) }, soon, time.Millisecond)
			c.fault.Release()
			assert.Contains(t, b.log.String(), "incident")
			assert.NotContains(t, b.log.String(), in.Token)
			b.works()
			b.good()
		})
	}
	t.Run("too many calls, for a moment", func(t *testing.T) {
		b := newBench(t, discord.Gateway, with{})
		b.fake.Disturb(&discordfake.Fault{Path: "/callback", Times: 1, Answer: discordfake.TooMany(10*time.Millisecond, false)})
		b.works()
		assert.NotContains(t, b.log.String(), "incident")
		b.good()
	})
}

// TestCallsAreHeldBack holds that nothing is sent any more when a thousand
// calls were refused within ten minutes: the service would ban our address.
func TestCallsAreHeldBack(t *testing.T) {
	b := newBench(t, discord.HTTP, with{still: true})
	f := &discordfake.Fault{Path: "/commands", Answer: discordfake.Refusing(discordfake.CodeMissingAccess)}
	b.fake.Disturb(f)
	var refused *discord.Refusal
	for range 1000 {
		_, err := b.adapter.Register(b.ctx(), true)
		require.ErrorAs(t, err, &refused)
	}
	f.Release()
	_, err := b.adapter.Register(b.ctx(), true)
	require.ErrorContains(t, err, "1000 calls refused")
	require.False(t, errors.As(err, &refused))
	b.ahead.Store(int64(11 * time.Minute))
	_, err = b.adapter.Register(b.ctx(), true)
	require.NoError(t, err, "ten minutes later it is tried again")
}

func TestCompletion(t *testing.T) {
	over(t, func(t *testing.T, transport discord.Transport) {
		b := newBench(t, transport, with{})
		wren := discordfake.InGuild("7")
		typing := func(command string, o ...discordfake.Option) []string {
			cb := b.push(discordfake.Typing(wren, command, o...))
			all := []string{}
			for _, c := range cb.Choices {
				all = append(all, c.Name+" → "+c.Text())
			}
			return all
		}
		for _, c := range []struct {
			why, command, option, typed string
			first                       string
		}{
			{"a weight", "pressure", "rider", "82kg", "82 kg = 181 lb → 82 kg"},
			{"an enumeration", "pressure", "riding", "en", "enduro → enduro"},
			{"what can't be read", "pressure", "rider", "heavy", `rider "heavy": want a number and a unit such as "80 kg" or "24 psi" → heavy`},
			{"nothing yet", "pressure", "tyre", "", "29x2.4 → 29x2.4"},
			{"a mention", "pressure", "rider", "@everyone", "rider \"@\u200beveryone\": want a number and a unit such as \"80 kg\" or \"24 psi\" → @everyone"},
		} {
			got := typing(c.command, discordfake.TextOption("ground", "wet"), discordfake.Focus(discordfake.TextOption(c.option, c.typed)))
			if assert.NotEmpty(t, got, c.why) {
				assert.Equal(t, c.first, got[0], c.why)
			}
			assert.LessOrEqual(t, len(got), 25)
		}
		assert.Empty(t, typing("juggle", discordfake.Focus(discordfake.TextOption("x", "y"))), "a command that is gone")
		assert.Empty(t, typing("pressure", discordfake.Focus(discordfake.TextOption("x", "y"))), "an option that is gone")
		assert.Empty(t, typing("pressure", discordfake.Focus(discordfake.TextOption("rider", strings.Repeat("x", 200)))), "nothing that would be cut is filled in")
		b.good()
	})
}
