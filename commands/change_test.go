package commands

import (
	"context"
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"spokeword/calc/quantity"
)

// TestChangesFromOwnNumbers: what practice tabulates and the model's ratios,
// worked by hand from what the sources of the table say.
func TestChangesFromOwnNumbers(t *testing.T) {
	for _, x := range []struct {
		line        string
		front, rear float64 // psi afterwards; NaN where no pressure was given
	}{
		{"change 22/25 psi now wet", 20.5, 23.5},                    // common practice, no source: 1 to 2 less
		{"change 22/25 psi insert rear", 22, 23},                    // common practice, no source: 1 to 3 less there
		{"change 22/25 psi tubes", 27, 30},                          // common practice, no source: 3 to 6 more
		{"change 22/25 psi bike park", 22, 28},                      // common practice, no source: 2 to 4 more behind
		{"change 1.6 bar rear heavier casing", math.NaN(), 21.2060}, // 1.6 bar = 23.206 psi, less 2
		{"change 22/25 psi undo:\"rear insert\"", 22, 27},
	} {
		r := asked(t, x.line)
		require.Empty(t, r.Error, x.line)
		if !math.IsNaN(x.front) {
			assert.InDelta(t, x.front, psi(value(t, r, "front.start")), 0.01, x.line)
		}
		assert.InDelta(t, x.rear, psi(value(t, r, "rear.start")), 0.01, x.line)
		assert.NotEmpty(t, r.Cautions, x.line)
	}
}

// TestLoadIsComputed: pressure follows the load on the wheel, so that the same
// share more of everything is the same share more of pressure.
func TestLoadIsComputed(t *testing.T) {
	// 80 kg rider and 20 kg bike; 10 kg more shared alike is a tenth more.
	r := asked(t, "change 20/22 psi +10 kg 80kg bike 20kg 29x2.4 i30 trail")
	require.Empty(t, r.Error)
	assert.InDelta(t, 22, psi(value(t, r, "front.start")), 0.02)
	assert.InDelta(t, 24.2, psi(value(t, r, "rear.start")), 0.02)
	rear := asked(t, "change 20/22 psi +10 kg rear 80kg bike 20kg 29x2.4 i30 trail")
	assert.InDelta(t, 20, psi(value(t, rear, "front.start")), 0.02, "all of it is behind")
	assert.Greater(t, value(t, rear, "rear.start"), value(t, r, "rear.start"))
	mostly := asked(t, "change 20/22 psi +10 kg mostly rear 80kg bike 20kg 29x2.4 i30 trail")
	assert.Greater(t, value(t, mostly, "front.start"), value(t, rear, "front.start"))
	assert.Less(t, value(t, mostly, "rear.start"), value(t, rear, "rear.start"))
}

// TestThereAndBack: a change and its undoing give the start.
func TestThereAndBack(t *testing.T) {
	for there, back := range map[string]string{
		"tubes": `undo:tubes`, "wet": `undo:wet`, "insert rear": `undo:"rear insert"`, "insert front": `undo:"front insert"`, "heavy casing": `undo:casing`, "bike park": `undo:park`,
	} {
		r := asked(t, "change 22/25 psi "+there)
		require.Empty(t, r.Error, there)
		front, rear := psi(value(t, r, "front.start")), psi(value(t, r, "rear.start"))
		again := asked(t, "change pressure:\""+quantity.Trimmed(front, 9)+" psi/"+quantity.Trimmed(rear, 9)+" psi\" "+back)
		require.Empty(t, again.Error, back)
		assert.InDelta(t, 22, psi(value(t, again, "front.start")), 1e-6, there)
		assert.InDelta(t, 25, psi(value(t, again, "rear.start")), 1e-6, there)
	}
	// Another tyre and back to the first.
	r := asked(t, "change 22/25 psi 29x2.4 i30 other tyre 2.6")
	front, rear := psi(value(t, r, "front.start")), psi(value(t, r, "rear.start"))
	again := asked(t, "change pressure:\""+quantity.Trimmed(front, 9)+" psi/"+quantity.Trimmed(rear, 9)+" psi\" 29x2.6 i30 newtyre:29x2.4")
	assert.InDelta(t, 22, psi(value(t, again, "front.start")), 1e-6)
	assert.InDelta(t, 25, psi(value(t, again, "rear.start")), 1e-6)
}

// TestChangeWithHeatAndHeight: the wanted pressure there, by the same gas law as
// the command air, for what the change makes of it.
func TestChangeWithHeatAndHeight(t *testing.T) {
	r := asked(t, "change 22/25 psi wet set at 20c now -5 and 1800 m")
	require.Empty(t, r.Error)
	wanted := asked(t, "air target 20.5/23.5 psi set at 20c riding at -5 1800 m")
	for _, end := range []string{"front", "rear"} {
		assert.InDelta(t, value(t, wanted, end+".set"), value(t, r, end+".set"), 1, end)
	}
	assert.Contains(t, cautionIDs(r), "check-cold")
}

func TestChangesThatCannotBe(t *testing.T) {
	for line, wants := range map[string]string{
		"change wet":                               "pressure",
		"change 22/25 psi":                         "ground",
		"change 22/25 psi +12 kg":                  "tyre",
		"change 22/25 psi +12 kg 29x2.4":           "rider",
		"change 22/25 psi no insert":               "undo",
		"change 22/25 psi new rim 35":              "tyre",
		"change 30 bar wet":                        "pressure",
		"change 22/25 psi 29x2.4 newtyre:27.5x2.6": "",
		"change 85 psi hookless wet":               "",
		"change 33/35 psi tubes tyre max 36 psi":   "",
	} {
		r := asked(t, line)
		if wants != "" {
			require.NotNil(t, r.Ask, line)
			assert.Equal(t, wants, r.Ask.Option, line)
			continue
		}
		assert.True(t, r.Mistake, line)
		assert.Empty(t, asked(t, r.Example).Error, "the example of %q", line)
		for _, v := range r.Values {
			assert.NotContains(t, v.Name, "start", line)
		}
	}
}

// TestFallsTogetherAreNotAdded: several falls go further than practice knows.
func TestFallsTogetherAreNotAdded(t *testing.T) {
	r := asked(t, "change 22/25 psi wet insert rear heavier casing")
	require.Empty(t, r.Error)
	assert.InDelta(t, 25, psi(value(t, r, "rear.start")), 1e-9, "none is taken")
	assert.Contains(t, r.Lead[1], "one at a time")
}

// TestWhatDiffersIsAsked: of what was named without more, the change is asked,
// and the answer goes from the same numbers.
func TestWhatDiffersIsAsked(t *testing.T) {
	ann := Asker{Workspace: "larkmoor", Channel: "workshop", User: "ann"}
	for _, x := range []struct {
		line, asks, answer string
		front              float64 // psi
	}{
		{"22/25 casing", "casing", "lighter", 24}, // common practice, no source: 1 to 3
		{"22/25 casing", "casing", "heavier", 20},
		{"22/25 snow", "ground", "soft snow", 17.6}, // the ratio of the two rules, 0.8
		{"22/25 29x2.4 another tyre", "newtyre", "29x2.4", 22},
	} {
		d := newDesk(t)
		r := d.Ask(context.Background(), ann, x.line)[0]
		require.NotNil(t, r.Ask, x.line)
		assert.Equal(t, x.asks, r.Ask.Option, x.line)
		for _, c := range r.Ask.Choices {
			assert.Empty(t, asked(t, c.Line).Error, c.Line)
		}
		r = d.Ask(context.Background(), ann, x.answer)[0]
		require.Nil(t, r.Ask, x.line)
		assert.InDelta(t, x.front, psi(value(t, r, "front.start")), 0.01, x.line)
	}
	assert.Contains(t, asked(t, "change 22/25 snow").Lead[0], "front 17.5 psi", "both cases are told at once")
}
