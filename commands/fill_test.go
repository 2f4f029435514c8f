package commands

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"spokeword/calc/quantity"
)

// TestFillSums: sums by hand from the tyre's volume, 6.27 l for 61-622 on 30 mm:
// strokes are gauge over air times volume over stroke.
func TestFillSums(t *testing.T) {
	r := asked(t, "how many strokes 29x2.4 i30 25 psi 50ml pump")
	assert.InDelta(t, 25/14.696*6.27/0.050, value(t, r, "strokes"), 3)
	r = asked(t, "how many strokes 29x2.4 i30 25 psi 400ml pump")
	assert.InDelta(t, 25/14.696*6.27/0.400, value(t, r, "strokes"), 1)
	// Common practice, no source: inner width and 2 to 4 mm; depth and 15 mm.
	assert.InDelta(t, 0.033, value(t, asked(t, "tape for 30mm inner"), "tape"), 1e-9)
	assert.InDelta(t, 0.060, value(t, asked(t, "valve for 45 deep rim"), "valve"), 1e-9)
	// 90 to 120 ml, trade articles: a litre is 1000/120 to 1000/90.
	r = asked(t, "1L sealant does how many wheels")
	for _, v := range r.Values {
		assert.Equal(t, "tyres", v.Name)
		assert.Equal(t, 8.0, v.Low)
		assert.Equal(t, 11.0, v.High)
	}
	assert.InDelta(t, 120e-6, value(t, asked(t, "how much sealant 29x2.4"), "front.dose"), 1e-9)
}

// TestCartridges: 16 g of 44.01 g/mol in 6.27 l at 20 °C by the ideal gas would
// be 141 kPa; attraction takes under a per cent of it. Colder is less; from flat
// it is one atmosphere less.
func TestCartridges(t *testing.T) {
	round := func(line string) float64 { return value(t, asked(t, line), "round") }
	ideal := 0.016 / 0.04401 * 8.314462 * 293.15 / 6.27e-3
	assert.InDelta(t, ideal, round("fill 16g 29x2.4 i30"), 0.015*ideal)
	assert.Less(t, round("fill 16g 29x2.4 i30"), ideal)
	assert.InDelta(t, 101325, round("fill 25g 29x2.4 i30")-value(t, asked(t, "fill 25g 29x2.4 i30"), "flat"), 1)
	assert.Less(t, round("fill 16g 29x2.4 i30 -5 °C"), round("fill 16g 29x2.4 i30"))
	assert.InDelta(t, round("fill 16g 29x2.4 i30"), psiOf(20.3), psiOf(0.4))
	two := asked(t, "2x16g or 1x25 for 29x2.6")
	assert.Greater(t, value(t, two, "a.round"), value(t, two, "b.round"))
}

func psiOf(p float64) float64 { return p * quantity.PSI }

func TestFillRefusesAndAsks(t *testing.T) {
	for line, option := range map[string]string{
		"fill 16g":                   "tyre",
		"fill 200g":                  "cartridge",
		"200g co2 29x2.4":            "cartridge",
		"fill 16g or 3g 29x2.4":      "cartridge",
		"how many strokes 29x2.4":    "pressure",
		"rim tape":                   "rim",
		"valve length":               "depth",
		"sealant":                    "tyre",
		"fill 29x2.4":                "what",
		"pump 5 litres 29x2.6 25psi": "pump",
		"how many strokes with a 5 ml pump 29x2.4 25 psi": "pump",
		"how many strokes 29x2.4 300 psi":                 "pressure",
	} {
		r := asked(t, line)
		require.NotNil(t, r.Ask, line)
		assert.Equal(t, option, r.Ask.Option, line)
	}
	for _, line := range []string{
		"fill 200g 29x2.4", "how many strokes 5 litre pump 29x2.4 20 psi", "how many strokes pump:\"5 l\" 29x2.4 20 psi", "fill 45g 29x2.4 hookless",
		"fill 16g 29x2.4 max 12 psi", "valve for 300 mm deep rim", "fill cartridge:\"0x16 g\" 29x2.4",
	} {
		r := asked(t, line)
		assert.True(t, r.Mistake || r.Ask != nil || len(r.Unused) > 0, line)
		assert.Empty(t, r.Values[:0], line)
		for _, v := range r.Values {
			assert.NotEqual(t, "round", v.Name, line)
			assert.NotEqual(t, "strokes", v.Name, line)
		}
	}
	// The largest that stays below is named instead.
	r := asked(t, "fill 45g 29x2.4 hookless")
	assert.InDelta(t, 0.025, value(t, r, "grams"), 1e-9)
	assert.Contains(t, cautionIDs(r), "hookless")
}

// TestATapeAtHand: tape is the rim's inner width and 2 to 4 mm; the other way round
// it tells its rims. Common practice, no source.
func TestATapeAtHand(t *testing.T) {
	for line, want := range map[string]string{
		"tape 25 mm wide for 30 mm rim": "No: 25 mm of tape is too narrow",
		"is 33 mm wide tape ok for 30i": "Yes: 33 mm of tape covers it",
		"48 mm tape on a 25 mm rim":     "No: 48 mm of tape is too wide",
		"28 mm tape which rims":         "Tape of 28 mm is for rims of 24 to 26 mm inside.",
		"tape for 30mm rim":             "32–34 mm tape for 30 mm inside",
	} {
		r := fresh(t, line)[0]
		assert.Equal(t, "fill", r.Command, line)
		assert.Contains(t, r.Lead[0], want, line)
		assert.Empty(t, r.Unused, line)
	}
	assert.True(t, fresh(t, "fill what:tape tape:11mm")[0].Mistake)
}
