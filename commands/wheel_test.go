package commands

import (
	"fmt"
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// ratioOf returns b over a of a comparison.
func ratioOf(t *testing.T, line, name string) float64 {
	r := asked(t, line)
	require.Empty(t, r.Error, line)
	return value(t, r, "b."+name) / value(t, r, "a."+name)
}

// TestWheelsCompared holds ratios that follow by hand; the model has its own
// checks in calc/wheel.
func TestWheelsCompared(t *testing.T) {
	// A box 12 mm high between its middles and two hooks of 6 mm, wall 1.2 mm:
	// 2·1.2·(28.8+11.8)+18 = 115.4 mm², with 33.8 for 28.8 127.4 mm²: 1.104. The
	// circle of its middle stays within a millimetre.
	assert.InDelta(t, 127.4/115.4, ratioOf(t, "wheel 25 mm rim or 30 mm rim", "rimmass"), 0.005)
	// As many spokes more; from hole to end they are 282.55 and 281.03 mm long
	// with 45° between, 285.11 and 283.61 mm with 51.43°.
	assert.InDelta(t, 32*563.58/(28*568.72), ratioOf(t, "wheel 28 or 32 spokes 2x", "mass"), 0.005)
	// The middle has (1.5/1.8)² of the section over all but 66 mm of 290 mm:
	// mass (224·2.25+66·4)/(224·3.24+66·4) = 0.776.
	assert.InDelta(t, 0.776, ratioOf(t, "wheel 2.0/1.8/2.0 or 2.0/1.5/2.0 spokes", "mass"), 0.005)
	// Published of thinner spokes: less stiff, and slack later (Brandt, The
	// Bicycle Wheel, 3rd ed.).
	assert.Less(t, ratioOf(t, "wheel 2.0/1.8/2.0 or 2.0/1.5/2.0 spokes", "lateral"), 1.0)
	assert.Greater(t, ratioOf(t, "wheel 2.0/1.8/2.0 or 2.0/1.5/2.0 spokes", "slack"), 1.0)
	// More spokes share a hit, and each loses less.
	assert.Less(t, ratioOf(t, "wheel 28 or 32 spokes 2x", "loses"), 0.97)
	// Wider flanges: sideways only.
	assert.Greater(t, ratioOf(t, "wheel 142 hubs or 148 hubs", "lateral"), 1.05)
	assert.InDelta(t, 1, ratioOf(t, "wheel 142 hubs or 148 hubs", "radial"), 0.01)
	assert.Greater(t, ratioOf(t, "wheel offset 36/21 or 38/23", "lateral"), 1.05)
	assert.InDelta(t, 1, ratioOf(t, "wheel offset 36/21 or 38/23", "radial"), 0.01)
	// More crossings hold torque better.
	assert.Greater(t, ratioOf(t, "wheel 2x or 3x", "windup"), 1.1)
}

// TestTwoWheelsByManyThings: as many values of several things are of two wheels.
func TestTwoWheelsByManyThings(t *testing.T) {
	r := asked(t, "wheel a 32h 3x 2.0/1.8 rim 19mm inside, wheel b 28h 2x 2.0/1.5 rim 25mm inside")
	require.Empty(t, r.Error)
	assert.Contains(t, r.Lead[0], "28 spokes")
	assert.NotContains(t, whole(r), "c.lateral")
	assert.Contains(t, fmt.Sprint(r.Assumed), "all combinations would be too many")
	for _, word := range []string{"2×", "25 mm rim", "2.0/1.5"} {
		assert.Contains(t, r.Lead[0], word)
	}
}

// TestPairsOfWheels: what is told of two pairs in a shop stands in one table.
func TestPairsOfWheels(t *testing.T) {
	r := asked(t, "compare A: 32, alloy, 1950 g, 36 pts vs B: 28, carbon offset, 1700 g, 54 pts")
	require.Empty(t, r.Error)
	assert.InDelta(t, 1.950, value(t, r, "a.setmass"), 1e-9)
	assert.InDelta(t, 1.700, value(t, r, "b.setmass"), 1e-9)
	// One turn over the points, times 51/32.
	assert.InDelta(t, 2*math.Pi/36*51/32, value(t, r, "a.crank.angle"), 1e-9)
	assert.InDelta(t, 2*math.Pi/54*51/32, value(t, r, "b.crank.angle"), 1e-9)
	assert.Contains(t, r.Lead[0], "28 spokes carbon against 32 spokes alloy")
	assert.Contains(t, r.Lead[0], "−250 g")
	for _, row := range []string{"sideways", "spokes", "left/right", "the pair", "crank waits", "tyres"} {
		assert.Contains(t, whole(r), row)
	}
	assert.Contains(t, whole(r), "Can't be compared")
}

// TestRimsAsTold: mass and stiffness of a rim as somebody gives them.
func TestRimsAsTold(t *testing.T) {
	r := asked(t, "wheel 28 or 32 spokes rim weighs 480 g")
	assert.InDelta(t, 0.480, value(t, r, "a.rimmass"), 1e-9)
	assert.InDelta(t, 0.480+value(t, r, "b.mass"), value(t, r, "b.together"), 1e-9)
	// More wall all round makes it stiffer every way, never softer.
	assert.InDelta(t, 520.0/480, ratioOf(t, "wheel rims 480 g or 520 g", "rimmass"), 1e-9)
	for _, name := range []string{"lateral", "radial", "windup", "slack"} {
		assert.Greater(t, ratioOf(t, "wheel rims 480 g or 720 g", name), 1.01, name)
	}
	// Two things of each of two rims make two wheels, not four.
	r = asked(t, "wheel 25 mm rim 430 g or 30 mm rim 480 g")
	assert.InDelta(t, 0.430, value(t, r, "a.rimmass"), 1e-9)
	assert.InDelta(t, 0.480, value(t, r, "b.rimmass"), 1e-9)
	assert.NotContains(t, whole(r), "c.rimmass")
	assert.Contains(t, r.Lead[0], "30 mm rim 480 g against 25 mm rim 430 g")
	r = asked(t, "compare 28 spoke alloy 500g and 32 spoke carbon 420g")
	assert.Contains(t, r.Lead[0], "32 spokes carbon 420 g against 28 spokes alloy 500 g")
	assert.Len(t, r.Tables[0].Head, 3)

	// A deeper box is stiffer every way and heavier.
	for _, name := range []string{"lateral", "radial", "windup", "slack", "rimmass"} {
		assert.Greater(t, ratioOf(t, "wheel shallow or deep rims", name), 1.02, name)
	}

	// Published for this section (Ford, dissertation, Northwestern University
	// 2018) is a rim that the generic one was measured by: see calc/wheel.
	for _, line := range []string{
		"wheel 28 or 32 spokes EI 111/219 GJ 26", "wheel 28 or 32 spokes ei radial 111 lateral 219 gj 26",
		"wheel 28 or 32 spokes EI 111 Nm² radial, EI 219 N m2 lateral, GJ = 26 N·m²", "wheel 28 or 32 spokes GJ 26 EI lateral 219, radial 111",
		"wheel 28 or 32 spokes EI 111000000/219000000 N mm2 GJ 26 Nm^2",
	} {
		r := asked(t, line)
		assert.Contains(t, r.Line, `stiffness:"EI 111/219 GJ 26"`, line)
		assert.Empty(t, r.Unused, line)
		assert.NotContains(t, whole(r), "generic sections", line)
		for _, v := range r.Values {
			assert.NotContains(t, v.Name, "rimmass", "of this rim only the stiffness is known")
		}
	}
	assert.Greater(t, ratioOf(t, "wheel EI 110/219 GJ 26 or EI 110/300 GJ 26", "lateral"), 1.02)
	assert.InDelta(t, 1, ratioOf(t, "wheel EI 110/219 GJ 26 or EI 110/300 GJ 26", "radial"), 0.01)
	q := asked(t, "wheel 28 or 32 spokes EI 110 GJ 25")
	require.NotNil(t, q.Ask)
	assert.Contains(t, q.Ask.Choices[0].Line, "EI radial 110 GJ 25")
	assert.Contains(t, q.Ask.Choices[1].Line, "EI lateral 110 GJ 25")
	assert.Contains(t, whole(asked(t, q.Ask.Choices[1].Line)), "what you left out is that of a generic rim")
	assert.Contains(t, asked(t, "wheel 28 or 32 spokes rim 250 g").Error, "want 0.34 kg to 1.96 kg")
	assert.Contains(t, asked(t, "wheel 28 or 32 spokes EI 1000000/219").Error, "want 0.1 N·m²")
}

// TestWheelRider: the rider's share is theirs alone.
func TestWheelRider(t *testing.T) {
	r := asked(t, "wheel 100kg 28 or 32 spokes")
	assert.Equal(t, "wheel", r.Command)
	assert.True(t, r.Private)
	assert.InDelta(t, 3*100*9.80665/value(t, r, "a.slack"), value(t, r, "a.share"), 1e-9)
	assert.NotContains(t, whole(r.Public()), "hit uses")
	light, heavy := asked(t, "wheel 1450g vs 1750g 80kg"), asked(t, "wheel 1450g vs 1750g 95kg")
	assert.Contains(t, light.Lead[0], "0.3 % of rider and bike of 90 kg") // 300 g / 90 kg
	assert.Equal(t, whole(light.Public()), whole(heavy.Public()))
}

// TestWheelsThatCantBe: said, never a number.
func TestWheelsThatCantBe(t *testing.T) {
	for line, want := range map[string]string{
		"wheel 28 or 32 or 36 spokes 2x or 3x":                                        "more than 4 wheels",
		"wheel 4 or 8 spokes":                                                         "want 12 to 72",
		"wheel 28 or 32 spokes cross 5":                                               "5",
		`wheel inners:"10 mm, 30 mm"`:                                                 "want 15 mm to 60 mm",
		`wheel wires:"9/8/9, 2.0/1.8"`:                                                "want diameters",
		`wheel holes:"28, 32" offset:"36 mm/-10 mm"`:                                  "offset -10 mm",
		`wheel holes:"32, 36" inners:"15 mm" section:shallow mark:"3000 N" end:front`: "doesn't stand",
	} {
		r := asked(t, line)
		require.True(t, r.Mistake, "%s: %v", line, r.Lead)
		assert.Contains(t, r.Error, want, line)
		assert.Empty(t, r.Values, line)
	}
	require.NotNil(t, asked(t, "wheel").Ask)
}

// TestTwentySpokesAreNoAdvice: what is said of 24 or 28 against 32 does not hold
// for fewer. Common practice, no source.
func TestTwentySpokesAreNoAdvice(t *testing.T) {
	assert.Contains(t, asked(t, "wheel 28 vs 32 spokes").Lead[0], "Take 32 above about 90 kg")
	assert.NotContains(t, asked(t, "wheel 20 vs 32 spokes").Lead[0], "Take 32")
}
