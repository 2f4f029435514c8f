package commands

import (
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"spokeword/commands/articles"
	"spokeword/commands/caution"
	"spokeword/commands/reply"
)

// TestLinesToTryAreAnswered: nobody is sent to a line that asks back or fails.
func TestLinesToTryAreAnswered(t *testing.T) {
	for _, h := range library {
		a, _ := article(h.ID)
		for _, l := range a.Try {
			for _, r := range fresh(t, l) {
				assert.False(t, r.Mistake || r.Fault || r.Refused || r.Ask != nil, "%s: %q is not answered: %v", a.ID, l, r.Lead)
			}
		}
	}
}

// TestArticlesCarryTheirCautions: what an article names is due, and nothing else.
func TestArticlesCarryTheirCautions(t *testing.T) {
	for _, c := range caution.All() {
		assert.Contains(t, causeFacts, c.ID)
	}
	for _, h := range library {
		if h.Kind == articles.Word {
			continue
		}
		a, _ := article(h.ID)
		r := asked(t, "symptom what:"+a.ID)
		assert.ElementsMatch(t, a.Cautions, cautionIDs(r), a.ID)
		assert.Len(t, r.Lead, 2, a.ID)
	}
}

// TestEverySpellingFindsItsArticle, by itself as a whole line.
func TestEverySpellingFindsItsArticle(t *testing.T) {
	r := newReader(t)
	for _, a := range library {
		for _, said := range a.Said() {
			got := r.Read(strings.ReplaceAll(said.Text, "#", "16"), nil)
			if !assert.Len(t, got.Requests, 1, said.Text) {
				continue
			}
			id, ok := what.Of(got.Requests[0])
			if a.Kind == articles.Word && !ok {
				continue // it is a cue too
			}
			assert.Equal(t, a.ID, id, "%q gives %s", said.Text, got.Requests[0].Line())
			if command := map[articles.Kind]string{articles.Symptom: "symptom", articles.Question: "help"}[a.Kind]; command != "" {
				assert.Equal(t, command, got.Requests[0].Command.Name, said.Text)
			}
		}
	}
}

// TestSymptomsAreReadAsPeopleTypeThem, and lines that only sound alike are not.
func TestSymptomsAreReadAsPeopleTypeThem(t *testing.T) {
	r := newReader(t)
	for line, want := range map[string]string{
		"my front tyre keeps burping at 1,4 bar":       `symptom what:burp pressure:"1.4 bar front"`,
		"2 snakebites today, tubes, 28 psi":            `symptom what:pinch-flats system:tubes pressure:"28 psi"`,
		"heard a clang on the rear, 24psi 95kg 29x2.4": `symptom what:rim-strike rider:"95 kg" tyre:29x2.4 pressure:"24 psi rear"`,
		"spokes keep breaking at the bend":             `symptom what:breaking-spokes`,
		"why is the rear harder":                       `help what:rear-harder`,
		"what is a burp":                               `symptom what:burp`,
		"what does hookless mean":                      `help what:hookless`,
		"our gauges differ":                            `help what:gauges-differ`,
		"80kg 29x2.4 i30 trail psi":                    `pressure rider:"80 kg" tyre:29x2.4 rim:"30 mm" riding:trail`,
		"spokes erd 600 58/58 36/21 32h 3x":            `spokes erd:"600 mm" circle:"58 mm/58 mm" offset:"36 mm/21 mm" holes:32 cross:3`,
	} {
		got := readOne(t, r, line)
		assert.Equal(t, want, got.Line(), line)
	}
}

// TestStepsGoFromTheAskersOwnNumbers: what is tried next, worked out by hand.
func TestStepsGoFromTheAskersOwnNumbers(t *testing.T) {
	for _, x := range []struct {
		line, name string
		want       float64
	}{
		{"burped front in a berm twice 20psi", "front.start", 22},
		{"hear ding on rocks rear 23psi", "rear.start", 25},
		{"3 snakebites this month 26psi tubes 90kg", "front.start", 30},
		{"bike skips everywhere 30/32", "front.start", 24},
		{"bike skips everywhere 30/32", "rear.start", 26},
		{"squirms at 8 psi rear", "rear.start", 8.5}, // 2/20 of 8, in halves
	} {
		assert.InDelta(t, x.want, psi(value(t, asked(t, x.line), x.name)), 0.01, x.line)
	}
	r := fresh(t, "symptom what:burp pressure:\"30 bar\"")
	require.Len(t, r, 1)
	assert.True(t, r[0].Mistake, "30 bar is in no tyre")
	r = fresh(t, "symptom what:hookless")
	assert.NotEmpty(t, r[0].Lead, "a word of the trade is told all the same")
}

// TestAStartFarOffIsTheOneTarget: no step stands beside it that ends elsewhere.
func TestAStartFarOffIsTheOneTarget(t *testing.T) {
	off := asked(t, "burps in corners 90kg 29x2.35 25i at 20psi")
	assert.Contains(t, off.Lead[0], "20 psi is too low for you")
	assert.Contains(t, off.Lead[0], "; front 28 psi", "which wheel was not told")
	in := asked(t, "burps at 24 psi 70 kg 29x2.4")
	hasSteps := func(r reply.Reply) bool {
		return slices.ContainsFunc(r.Tables, func(x reply.Table) bool { return x.Title == ownSteps })
	}
	assert.False(t, hasSteps(off))
	assert.True(t, hasSteps(in))
}

// TestAnArticleLeavesOutWhatItSpeaksOf tells a word as not used only where the
// article says nothing of it, and a number always.
func TestAnArticleLeavesOutWhatItSpeaksOf(t *testing.T) {
	r := fresh(t, "how often top up sealant in summer")[0]
	assert.Equal(t, "help what:sealant-dries-fast", r.Line)
	assert.Empty(t, r.Unused)
	r = fresh(t, "spoke snapped mid ride 15km out rideable?")[0]
	assert.Equal(t, "symptom what:broken-spoke", r.Line)
	assert.Contains(t, r.Unused, "15km")
	r = fresh(t, "brass vs alloy nips winter zeppelin")[0]
	assert.NotContains(t, r.Unused, "brass")
	assert.Contains(t, r.Unused, "zeppelin")
}
