package discord

import (
	"fmt"
	"math/rand/v2"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"spokeword/bot"
	"spokeword/bot/bottest"
	"spokeword/commands"
	"spokeword/commands/reply"
)

// TestMessagesKeepTheLimits lays out random, often monstrous answers of several
// replies.
func TestMessagesKeepTheLimits(t *testing.T) {
	r := rand.New(rand.NewPCG(1, 2))
	for range 60 {
		var a bot.Answer
		for range 1 + r.IntN(3) {
			a.Replies = append(a.Replies, bottest.Random(r))
		}
		all := messages(a, layout{share: true, fillable: func(r reply.Reply) bool { return r.Ask != nil }})
		require.NotEmpty(t, all)
		shown := ""
		for _, m := range all {
			shown += m.content
			assert.NotEmpty(t, strings.TrimSpace(m.content)+strings.Repeat("card", len(m.cards)), "an empty message is refused")
			assert.LessOrEqual(t, units(m.content), 2000)
			assert.LessOrEqual(t, len(m.cards), 10)
			total := 0
			for _, c := range m.cards {
				assert.LessOrEqual(t, units(c.Title), 256)
				assert.LessOrEqual(t, units(c.Description), 4096)
				assert.NotEmpty(t, c.Description)
				total += units(c.Title) + units(c.Description)
			}
			assert.LessOrEqual(t, total, 6000)
			assert.LessOrEqual(t, len(m.buttons), 25)
			assert.LessOrEqual(t, len(m.body(0).Rows), 5)
			ids := make(map[string]bool)
			for _, b := range m.buttons {
				assert.LessOrEqual(t, units(b.Label), 80)
				assert.NotEmpty(t, b.Label)
				assert.LessOrEqual(t, units(b.ID), 100)
				assert.False(t, ids[b.ID], "%s stands twice", b.ID)
				ids[b.ID] = true
			}
		}
		for _, reply := range a.Replies {
			for _, c := range reply.Cautions {
				assert.Contains(t, flat(shown), flat(escaped(wide(replyOf(c)))), "a caution is whole")
			}
		}
	}
}

func replyOf(c reply.Caution) reply.Reply { return reply.Reply{Cautions: []reply.Caution{c}} }

// flat is a text without its blanks: messages are cut at them.
func flat(text string) string {
	return strings.NewReplacer(" ", "", "\n", "", "\\", "").Replace(text)
}

// TestOrder holds the order of what is shown.
func TestOrder(t *testing.T) {
	r := reply.Reply{Command: "size", Line: "size a:61-622", Title: "Title", Lead: []string{"The lead."}, Cautions: []reply.Caution{{ID: "x", Text: "Mind it."}},
		Tables: []reply.Table{{Head: []string{"", "psi"}, Rows: []reply.Row{{Cells: []string{"front", "23.0"}}}}},
		Read:   []reply.Item{{Option: "a", Value: "61-622"}}, Notes: []reply.Note{{Text: "A note."}}, Actions: []reply.Action{{Label: "next", Line: "why"}}}
	all := messages(bot.Answer{Replies: []reply.Reply{r}}, layout{share: true, fillable: func(reply.Reply) bool { return false }})
	require.Len(t, all, 1)
	assert.Equal(t, "**The lead.**\n\nCaution: Mind it.", all[0].content)
	require.Len(t, all[0].cards, 1)
	assert.Equal(t, "```\n       psi\nfront  23.0\n```\nRead: a 61-622\n- A note.", all[0].cards[0].Description)
	require.Len(t, all[0].buttons, 2)
	assert.Equal(t, "next", all[0].buttons[0].Label)
	assert.Equal(t, "share in channel", all[0].buttons[1].Label)

	two := messages(bot.Answer{Replies: []reply.Reply{r, r}}, layout{fillable: func(reply.Reply) bool { return false }})
	require.Len(t, two, 2, "the buttons are the same: they need messages of their own")
	assert.True(t, strings.HasPrefix(two[0].content, "__Title__\n\n**The lead.**"))

	r.Actions = nil
	one := messages(bot.Answer{Replies: []reply.Reply{r, r}}, layout{fillable: func(reply.Reply) bool { return false }})
	require.Len(t, one, 1)
	assert.Len(t, one[0].cards, 2)

	for i := range 40 {
		r.Actions = append(r.Actions, reply.Action{Label: fmt.Sprint("next ", i), Line: fmt.Sprint("size ", i)})
	}
	many := messages(bot.Answer{Replies: []reply.Reply{r}}, layout{share: true, fillable: func(reply.Reply) bool { return false }})
	require.Len(t, many[0].buttons, 25)
	assert.Equal(t, "share in channel", many[0].buttons[24].Label)
	assert.Contains(t, many[0].cards[0].Description, "Left out to fit here: what to do next.")

	assert.Equal(t, []message{{content: "Nothing to say."}}, messages(bot.Answer{}, layout{}))
}

func TestEscaped(t *testing.T) {
	for _, c := range []struct{ typed, shown string }{
		{"29x2.4 at 23.5 psi (1.62 bar), -5 °C", "29x2.4 at 23.5 psi (1.62 bar), -5 °C"},
		{"@everyone", "@\u200beveryone"},
		{"<@1> <@&2> <#3> </ask:4> <t:5>", `\<@` + "\u200b" + `1> \<@` + "\u200b" + `&2> \<#3> \</ask:4> \<t:5>`},
		{"`code` *bold* _it_ ~~no~~ ||spoiler||", "\\`code\\` \\*bold\\* \\_it\\_ \\~\\~no\\~\\~ \\|\\|spoiler\\|\\|"},
		{`\<@1>`, `\\\<@` + "\u200b" + `1>`},
		{"# big\n> said\n- point\n-# small\n  # big", "\\# big\n\\> said\n\\- point\n\\-# small\n  \\# big"},
		{"[a](http://b.example)", "\\[a\\](http:\u200b//b.example)"},
		{"3/8 in, 36/21", "3/8 in, 36/21"},
	} {
		assert.Equal(t, c.shown, escaped(c.typed))
	}
	assert.Equal(t, "'''@\u200beveryone", verbatim("```@everyone"))
}

func TestSplitAndClip(t *testing.T) {
	for _, text := range []string{"", "one two three", strings.Repeat("x", 50), strings.Repeat("🚲", 20), "a\nb\nc d e f g h"} {
		whole := ""
		for _, part := range split(text, 9) {
			assert.LessOrEqual(t, units(part), 9)
			whole += part
		}
		assert.Equal(t, flat(text), flat(whole), "nothing is lost")
		assert.LessOrEqual(t, units(clipped(text, 9)), 9)
	}
	assert.Equal(t, "one two…", clipped("one two three", 9))
}

func TestIDs(t *testing.T) {
	long := "spokes " + strings.Repeat("erd:602 ", 30)
	for _, c := range []press{
		{verb: ask, line: "why"}, {verb: share, line: `pressure rider:"80 kg"`}, {verb: other, option: "tyre", line: "pressure"},
		{verb: fill, option: "tyre", line: `pressure rider:"80 kg"`}, {verb: ask, key: commands.OfferKey(long)}, {verb: fill, option: "tyre", key: commands.OfferKey(long)},
	} {
		line := c.line
		if c.key != "" {
			line = long
		}
		got, ok := readID(idOf(c.verb, c.option, line))
		assert.True(t, ok)
		assert.Equal(t, c, got)
	}
}

// FuzzReadID holds that what is read is written alike again.
func FuzzReadID(f *testing.F) {
	for _, id := range []string{"a=why", "s#key", "o=tyre pressure", "f#tyre key", "", "a", "a=", "x=y", "o=tyre", "a?b"} {
		f.Add(id)
	}
	f.Fuzz(func(t *testing.T, id string) {
		p, ok := readID(id)
		if !ok || p.key != "" {
			return
		}
		if again := idOf(p.verb, p.option, p.line); again != id {
			t.Errorf("idOf(readID(%q)) = %q", id, again)
		}
	})
}
