package commands

import (
	"fmt"
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"spokeword/commands/reply"
)

// More points, a bigger ring or a smaller cog never lengthen the wait, the
// pedal's way goes with the crank's length, and the mean is half of the worst.
func TestTheWaitOfAFreehubIsMonotonous(t *testing.T) {
	rng, desk := rand.New(rand.NewPCG(11, 12)), newDesk(t)
	of := func(points, ring, cog, crank int) reply.Reply {
		return said(t, desk, fmt.Sprintf(`freehub points:%d ring:%d cog:%d crank:"%d mm"`, points, ring, cog, crank))
	}
	for range 200 {
		points, ring, cog, crank := 6+rng.IntN(300), 20+rng.IntN(30), 10+rng.IntN(40), 140+rng.IntN(40)
		r := of(points, ring, cog, crank)
		at, pedal := value(t, r, "crank.angle"), value(t, r, "pedal")
		assert.Less(t, value(t, of(points+1+rng.IntN(9), ring, cog, crank), "crank.angle"), at)
		assert.Less(t, value(t, of(points, ring+1, cog, crank), "crank.angle"), at)
		assert.Greater(t, value(t, of(points, ring, cog+1, crank), "crank.angle"), at)
		assert.InDelta(t, at, value(t, of(2*points, ring, cog, crank), "crank.angle")*2, 1e-12, "twice the points, half the wait")
		assert.InDelta(t, pedal*150/float64(crank), value(t, of(points, ring, cog, 150), "pedal"), 1e-12)
		assert.InDelta(t, at/2, value(t, r, "crank.mean"), 1e-12)
		assert.InDelta(t, pedal/2, value(t, r, "pedal.mean"), 1e-12)
		assert.InDelta(t, 2*math.Pi/float64(points), value(t, r, "hub.angle"), 1e-12)
	}
}

// Teeth times groups are the points: both ways to ask give the same.
func TestPawlsAndPointsAgree(t *testing.T) {
	desk := newDesk(t)
	for _, groups := range []int{1, 2, 3, 6} {
		a := said(t, desk, fmt.Sprintf("freehub pawls:6 teeth:24 phases:%d ring:30 cog:51", groups))
		b := said(t, desk, fmt.Sprintf("freehub points:%d ring:30 cog:51", 24*groups))
		assert.Equal(t, b.Values, a.Values)
	}
}

func TestAFreehubComparesAsItAnswersAlone(t *testing.T) {
	desk := newDesk(t)
	r := said(t, desk, "freehub 18 54 102 points 32/51 175 mm cranks")
	for i, points := range []int{18, 54, 102} {
		one := said(t, desk, fmt.Sprintf(`freehub points:%d ring:32 cog:51 crank:"175 mm"`, points))
		for _, name := range []string{"points", "hub.angle", "crank.angle", "crank.mean", "pedal", "pedal.mean"} {
			assert.Equal(t, value(t, one, name), value(t, r, string("abc"[i])+"."+name))
		}
	}
}

// An assumed cog leaves a band, a named one none.
func TestAnAssumedCogLeavesABand(t *testing.T) {
	for line, banded := range map[string]bool{"24 points": true, "24 points 32/51": false} {
		for _, v := range asked(t, line).Values {
			if v.Name == "crank.angle" {
				assert.Equal(t, banded, v.High > v.Value && v.Low < v.Value && v.Low > 0, line)
			}
		}
	}
}

func TestFreehubsAreReadInTheWordsOfTheTrade(t *testing.T) {
	r := newReader(t)
	for line, want := range map[string]string{
		"36t 32/52 170":                             `freehub points:36 ring:32 cog:52 crank:"170 mm"`,
		"36t 32t 51t":                               `freehub points:36 ring:32 cog:51`,
		"72 poe 28t 52":                             `freehub points:72 ring:28 cog:52`,
		"points 18 54 102":                          `freehub points:"18, 54, 102"`,
		"freehub 18 54 102 points 32/51":            `freehub points:"18, 54, 102" ring:32 cog:51`,
		"18/54/102 poe":                             `freehub points:"18, 54, 102"`,
		"36t vs 54t ratchet 32x50":                  `freehub points:"36, 54" ring:32 cog:50`,
		"54 points 30t ring 10-51":                  `freehub points:54 ring:30 cog:51`,
		"51 cog 54 poe":                             `freehub points:54 cog:51`,
		"36t to 54t upgrade worth it":               `freehub points:"36, 54"`,
		"upgrade ratchet 18 to 54":                  `freehub points:"18, 54"`,
		"18 to 54 points":                           `freehub points:"18, 54"`,
		"36t vs 54t":                                `freehub points:"36, 54"`,
		"54 points 12 speed":                        `freehub points:54`,
		"6 pawl 33t ring":                           `freehub pawls:6 teeth:33`,
		"6 pawls 33 tooth ratchet out of phase":     `freehub pawls:6 teeth:33 phases:2`,
		"3 pawls 24t ratchet in phase 32/51":        `freehub pawls:3 teeth:24 phases:1 ring:32 cog:51`,
		"54t ratchet 30t ring 51 cog 170mm":         `freehub points:54 ring:30 cog:51 crank:"170 mm"`,
		"how many degrees is a 72 tooth ratchet":    `freehub points:72`,
		"mein freilauf hat 54 rastpunkte":           `freehub points:54`,
		"120 point hub 32t ring 51t cog 165 cranks": `freehub points:120 ring:32 cog:51 crank:"165 mm"`,
	} {
		assert.Equal(t, want, readOne(t, r, line).Line(), line)
	}
}

func TestAFreehubGoesOnFromTheLastAnswer(t *testing.T) {
	desk := newDesk(t)
	said(t, desk, "6 pawl 33t ring what poe")
	r := said(t, desk, "2")
	require.Nil(t, r.Ask)
	assert.Equal(t, "freehub pawls:6 teeth:33 phases:2", r.Line)
	assert.Equal(t, "freehub pawls:6 teeth:33 phases:2 ring:30 cog:52", said(t, desk, "what about 30/52").Line)
	for _, a := range r.Actions {
		assert.False(t, asked(t, a.Line).Fault, a.Line)
	}
}
