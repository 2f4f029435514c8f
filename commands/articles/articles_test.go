package articles

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func TestEveryArticleHoldsTheSchema(t *testing.T) {
	heads, err := Heads()
	require.NoError(t, err)
	known := make(map[string]Article)
	said := make(map[string]string)
	for _, h := range heads {
		a, err := h.Open()
		require.NoError(t, err)
		assert.Equal(t, h, a.Head, "want the head that a library for YAML reads")
		known[h.ID] = a
		for _, w := range h.Said() {
			assert.Empty(t, said[w.Text], "%q means %s too: want one article for a spelling", w.Text, h.ID)
			said[w.Text] = h.ID
		}
	}
	for _, id := range []string{"burp", "squirm", "harsh", "rim-strike", "hop", "pinch-flats", "clicking-spokes", "pinging-new-wheel", "slack-spokes",
		"breaking-spokes", "broken-spoke", "tension-drop", "slow-leak", "bead-wont-seat", "flat-spot", "rear-rubs-frame", "co2-leaks"} {
		assert.Equal(t, Symptom, known[id].Kind, id)
	}
	for _, id := range []string{"rear-harder", "mud-tyre-width", "brass-or-alloy-nipples", "plug-or-tube", "valve-hole", "spares"} {
		assert.Equal(t, Question, known[id].Kind, id)
	}
}

// TestNumbersOfAnAnswer: a number that stands in the answer needs no word that it was
// not used; a part of another is none.
func TestNumbersOfAnAnswer(t *testing.T) {
	a := Article{Answer: []string{"142 goes into 148 with end caps, 1.5 mm each."}}
	for number, want := range map[string]bool{"142": true, "148": true, "1.5": true, "14": false, "5": false, "": false} {
		assert.Equal(t, want, a.SpeaksOfNumber(number), number)
	}
}

// whole is an article that lacks nothing; the test below takes one thing away
// at a time.
const whole = `kind: symptom
title: "It rattles"
words: ["rattles"]
answer:
  - "A rattle."
ride:
  verdict: gently
  says: "if nothing is loose."
causes:
  - cause: "a bolt"
    cure: "tighten it"
  - cause: "a stone"
    cure: "take it out"
test:
  do: "shake it"
  first: "the bolt moves"
  second: "the stone falls out"
now:
  - "look"
notes:
  - text: "Bolts before stones"
    basis: practice
cautions: [from-afar]
try:
  - "61-622"
`

func TestWhatIsLackingIsFound(t *testing.T) {
	loaded := func(text string) error {
		_, err := decoded("rattle", []byte(text))
		return err
	}
	require.NoError(t, loaded(whole))
	for _, x := range []struct{ old, new, says string }{
		{`title: "It rattles"`, ``, "title"},
		{`words: ["rattles"]`, ``, "words"},
		{"  - cause: \"a stone\"\n    cure: \"take it out\"\n", ``, "two"},
		{`  second: "the stone falls out"`, ``, "test"},
		{`second: "the stone falls out"`, `second: "the bolt moves"`, "test"},
		{`verdict: gently`, `verdict: perhaps`, "verdict"},
		{"now:\n  - \"look\"\n", ``, "now"},
		{`cautions: [from-afar]`, ``, "from-afar"},
		{`cautions: [from-afar]`, `cautions: [from-afar, take-care]`, "take-care"},
		{`cautions: [from-afar]`, `cautions: [limits, struck, seating, from-afar]`, "at most 3"},
		{`basis: practice`, `basis: hearsay`, "hearsay"},
		{`basis: practice`, `basis: article`, "source"},
		{"    basis: practice", "    basis: practice\n    source: somewhere", "source"},
		{"notes:\n  - text: \"Bolts before stones\"\n    basis: practice\n", ``, "notes"},
		{"try:\n  - \"61-622\"\n", ``, "try"},
		{`kind: symptom`, `kind: rumour`, "rumour"},
		{`kind: symptom`, `kind: question`, "two"},
		{`"A rattle."`, `"` + strings.Repeat("A rattle. ", 20) + `"`, "characters"},
		{`"a bolt"`, `"` + strings.Repeat("bolt ", 20) + `"`, "cell"},
		{`"a bolt"`, `""`, "cell"},
		{"kind: symptom", "kind: symptom\nvolume: 11", "volume"},
		{"kind: symptom", "kind: symptom\nstep: {psi: 2}", "step"},
		{"kind: symptom", "kind: symptom\ndrawing: [\"" + strings.Repeat("=", 35) + "\"]", "drawing"},
	} {
		require.Contains(t, whole, x.old)
		err := loaded(strings.Replace(whole, x.old, x.new, 1))
		if err == nil || !strings.Contains(err.Error(), x.says) || !strings.Contains(err.Error(), "rattle") {
			t.Errorf("load with %q for %q: %v, want an error that names the file and %q", x.new, x.old, err, x.says)
		}
	}
}

// TestAHeadIsReadOrRefused: what is no list of texts in double quotes is no head.
func TestAHeadIsReadOrRefused(t *testing.T) {
	h, err := headIn("kind: word\ntitle: \"A: b\"\nwords: [\"a \\\"b\\\"\", \"c\"]\nkeys:\n  - \"d|e f\"\n  - \"g h~\"\nanswer:\n  - \"words: no\"\n")
	require.NoError(t, err)
	assert.Equal(t, Head{Kind: Word, Title: "A: b", Words: []string{`a "b"`, "c"}, Keys: []string{"d|e f", "g h~"}}, h)
	for _, text := range []string{"words: [a]", "words: [\"a\"", "words: a", "words: [\"a\" \"b\"]", "words: ['a']", "keys:\n  - a", "keys:\n  - \"a\" b", "words: [", "words: [\"a\", ]"} {
		_, err := headIn(text)
		assert.Error(t, err, text)
	}
}

// TestTermsAreAskedForInManyWays: a term's article is found by each usual way to ask.
func TestTermsAreAskedForInManyWays(t *testing.T) {
	said := Head{Kind: Word, Words: []string{"what is dish"}, Terms: []string{"dish"}}.Said()
	seen := map[string]int{}
	for _, w := range said {
		seen[w.Text]++
	}
	for _, ask := range []string{"what is dish", "what does dish mean", "explain dish", "dish meaning", "was ist dish"} {
		assert.Equal(t, 1, seen[ask], ask)
	}
}
