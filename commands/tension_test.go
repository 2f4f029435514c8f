package commands

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"spokeword/calc/quantity"
)

const inKGF = float64(quantity.KilogramForce)

// TestReadingsJudged: mean 109, worst −13 %, 121 over 95, by hand.
func TestReadingsJudged(t *testing.T) {
	r := asked(t, "112 95 118 104 121 99 115 108 good enuf?")
	assert.InDelta(t, 109, value(t, r, "tension")/inKGF, 0.001)
	assert.InDelta(t, 14.0/109, value(t, r, "spread"), 1e-9)
	assert.InDelta(t, 121.0/95, value(t, r, "over"), 1e-9)
	assert.Contains(t, r.Lead[1], "spoke 2")
	for _, v := range r.Values {
		if strings.HasPrefix(v.Name, "turns.") {
			assert.Negative(t, v.Value, "%s: nothing is tightened while the mark is not known and passed", v.Name)
		}
	}
	r = asked(t, "112 95 118 104 121 99 115 108 mark 130 kgf")
	assert.Positive(t, value(t, r, "turns.2"), "a loose one tighter")
	assert.Negative(t, value(t, r, "turns.5"), "a tight one looser")
}

// TestTwoRowsInTwoUnits: said, not one of them taken.
func TestTwoRowsInTwoUnits(t *testing.T) {
	r := asked(t, "L 62 60 64 N R 104 99 101 kgf")
	require.True(t, r.Mistake)
	assert.Contains(t, r.Error, "given twice: want it once, in one unit")
	assert.Empty(t, r.Values)
}

// TestUnits: the same wheel in kgf, newtons and divisions.
func TestReadingUnits(t *testing.T) {
	for line, want := range map[string]float64{
		"tension 100 110 90 105 95 kgf":                           100,
		"tension 1000 1100 900 1050 950 N":                        1000 / 9.80665,
		"1000 1100 900 1050 950":                                  1000 / 9.80665, // assumed by size
		"meter 20 22 18 21 19 table 18=90 22=110":                 100,            // a straight line between the pairs
		`tension readings:"20 22 18 21 19" table:"18=110, 22=90"`: 100,            // divisions that fall
		"L 50 60 55 R 100 110 90 kgf":                             0,
		"links 50 60 55 rechts 100 110 90 kgf":                    0,
		"left side 50 60 55, drive side 100 110 90 kgf":           0,
		"non-drive side 50 60 55 drive side 100 110 90 kgf":       0,
	} {
		r := asked(t, line)
		require.Empty(t, r.Error, line)
		require.Nil(t, r.Ask, line)
		if want == 0 {
			assert.InDelta(t, 55, value(t, r, "left.tension")/inKGF, 0.001, line)
			assert.InDelta(t, 100, value(t, r, "right.tension")/inKGF, 0.001, line)
			continue
		}
		assert.InDelta(t, want, value(t, r, "tension")/inKGF, 0.001, line)
	}
}

// TestWhatFlangesDictate: the ratios are those of calc/spoke's own checks.
func TestWhatFlangesDictate(t *testing.T) {
	r := asked(t, "tension 36/21 58 erd 600 32h 3x mark 120 kgf")
	assert.InDelta(t, 0.59, value(t, r, "tension.ratio"), 0.005)
	assert.InDelta(t, 120, value(t, r, "right.tension")/inKGF, 1e-6)
	assert.InDelta(t, 120*value(t, r, "tension.ratio"), value(t, r, "left.tension")/inKGF, 1e-6)
	r = asked(t, "tension offset 36/21 32h")
	assert.InDelta(t, 100, value(t, r, "right.tension")/inKGF, 1e-6, "no more while the mark is not known")
}

// TestToneTold: a published estimate has 360 Hz for 2.0 mm, 279 mm and 100 kgf,
// as a string with hinged ends.
func TestToneTold(t *testing.T) {
	r := asked(t, "tone 360 hz 2.0 mm spokes length 279 mm")
	for _, v := range r.Values {
		if v.Name == "force" {
			assert.InDelta(t, 100, v.High/inKGF, 2)
			return
		}
	}
	t.Error("no force")
}

// TestReadingsThatCantBe: each is said with what was wanted.
func TestReadingsThatCantBe(t *testing.T) {
	many := strings.TrimSpace(strings.Repeat("100 ", 33))
	for line, want := range map[string]string{
		"tension 32h readings:\"" + many + "\"":                             "33 readings for 32 spokes",
		"tension readings:\"" + many + "\"":                                 "even number",
		"tension L 60 61 62 63 R 100 101 102 99 98":                         "4 readings left and 5 right",
		"tension readings:\"20 22 18\" table:\"19=90, 22=110\"":             "outside the table",
		"tension readings:\"20 22 18\" unit:kgf table:\"19=90, 22=110\"":    "the one or the other",
		"tension readings:\"100 abc\"":                                      "want readings",
		"tension readings:\"100 110 90 95 100\" table:\"1=2\"":              "want pairs",
		"tension readings:\"100 110 90 95 100\" table:\"1=20, 2=10, 3=40\"": "only rise",
		"tension 16h readings:\"100 110 90 95 100 90 80 70 60 50\"":         "10 readings for 16 spokes",
		"112kgf 1000N 104 99 101 97 100 103":                                "two units",
		"112 kgf 104 99 101 97 100 103 98":                                  "some of them only",
		"104 99 101 97 100 103 1000N 112":                                   "some of them only",
		"tension 100 110 95 kgf and 900 N":                                  "two units",
		"tension 0 100 110 90 95 kgf":                                       "want 1 N to 3000 N",
		"true 32h wobble 0.8 right at 40":                                   "want 1 to 32",
		"true side:\"0.8 mm right at 5, 0.6 mm left at 5\"":                 "given twice",
		"true side:\"80 mm right at 5\"":                                    "at most 25 mm",
		"true side:\"0.1 mm right at 5\" earlier:\"nonsense\"":              "as the last answer wrote it",
		"true offset 36 mm/-5 mm wobble 0.8 right at 5":                     "",
	} {
		r := asked(t, line)
		require.True(t, r.Mistake, "%s: %v", line, r.Lead)
		assert.Contains(t, r.Error, want, line)
		assert.NotEmpty(t, r.Example, line)
	}
}

// TestTensionOfBothSidesWithoutFlanges: a dished rear wheel has 50 to 70 % on its
// looser side, a front wheel with a disc 62 to 88 %: common practice, and what
// flanges of 36/21 and 24/34 mm dictate (21/36 = 58 %, 24/34 = 71 %).
func TestTensionOfBothSidesWithoutFlanges(t *testing.T) {
	for _, x := range []struct{ line, says string }{
		{"left 68 right 118 rear normal??", "Yes, that is usual: left at 68 kgf is 58 % of the right at 118 kgf."},
		{"front 110 left 80 right with disc", "Yes, that is usual: right at 80 kgf is 73 % of the left at 110 kgf."},
		{"rear left 110 kgf right 70 kgf", "That looks the wrong way round: right at 70 kgf is 64 % of the left at 110 kgf."},
		{"rear left 40 kgf right 120 kgf", "Not usual: left at 40 kgf is 33 % of the right at 120 kgf."},
		{"rear left 100 kgf right 110 kgf", "More even than usual: left at 100 kgf is 91 % of the right at 110 kgf."},
	} {
		r := fresh(t, x.line)[0]
		assert.Equal(t, "tension", r.Command, x.line)
		assert.Equal(t, x.says, r.Lead[0], x.line)
	}
	over := fresh(t, "rear left 70 kgf right 125 kgf, rim max 110 kgf")[0]
	assert.Contains(t, over.Lead[1], "above the rim's mark of 110 kgf")
}

// TestSidesAlikeAtTheFront: a front wheel without a disc stands in the middle, so
// both sides pull the same (statics).
func TestSidesAlikeAtTheFront(t *testing.T) {
	for line, want := range map[string]string{
		"front wheel rim brake left 100 right 100 kgf is that ok": "Yes",
		"tension left 100 kgf right 100 kgf front":                "Yes",
		"front wheel rim brake left 100 right 70 kgf is that ok":  "Not usual",
		"tension left 80 kgf right 110 kgf front":                 "That looks the wrong way round",
		"tension left 100 kgf right 100 kgf rear":                 "More even than usual",
		"tension left 102 kgf right 100 kgf rear":                 "More even than usual",
	} {
		assert.Contains(t, asked(t, line).Lead[0], want, line)
	}
}
