package commands

import (
	"context"
	"fmt"
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"spokeword/calc/quantity"

	"spokeword/commands/reply"
)

// someTyre is a tyre of any wheel, by name and tenths of an inch.
func someTyre(rng *rand.Rand) string {
	return fmt.Sprintf("%sx%d.%d", []string{"26", "27.5", "29"}[rng.IntN(3)], 2, rng.IntN(9))
}

// TestSpeedAndOtherGears: speed is cadence times ratio times the rolling
// circumference the same answer tells; two lowest gears are told as a share.
func TestSpeedAndOtherGears(t *testing.T) {
	r := asked(t, "cadence 90 in 34/15 29x2.3 how fast kmh")
	assert.InEpsilon(t, 1.5*34/15*value(t, r, "rolling"), value(t, r, "speed"), 1e-9)
	assert.Contains(t, r.Lead[0], "km/h")
	r = asked(t, "32 11-50 vs 30 10-51 which climbs easier")
	assert.InDelta(t, 30.0/51*50/32-1, value(t, r, "growth"), 1e-9)
	assert.Contains(t, r.Lead[0], "easier to push")
}

// TestTwoSpeeds: cadence times ratio times circumference, of both gears.
func TestTwoSpeeds(t *testing.T) {
	r := asked(t, "whats the difference in speed between 32/18 and 32/21 at 80 rpm on 29x2.4")
	rolling := value(t, asked(t, "circumference 29x2.4"), "rolling")
	assert.InEpsilon(t, 80.0/60*32/18*rolling, value(t, r, "a.speed"), 1e-9)
	assert.InEpsilon(t, 80.0/60*32/21*rolling, value(t, r, "b.speed"), 1e-9)
}

// There and back gives the old ring, and a wheel that grows by a share shrinks
// by its inverse.
func TestThereAndBackGivesTheOldGears(t *testing.T) {
	rng, desk := rand.New(rand.NewPCG(21, 22)), newDesk(t)
	for range 100 {
		a, b := someTyre(rng), someTyre(rng)
		if a == b {
			continue
		}
		there := said(t, desk, fmt.Sprintf("gearing was:%s now:%s ring:32 cog:36", a, b))
		back := said(t, desk, fmt.Sprintf("gearing was:%s now:%s ring:32 cog:36", b, a))
		if there.Ask != nil || back.Ask != nil {
			continue // 27.5x2.8 and 29x2.0 are near, but no wheel is another
		}
		assert.InEpsilon(t, 32*32.0, value(t, there, "ring")*value(t, back, "ring"), 1e-12)
		assert.InEpsilon(t, 1, (1+value(t, there, "growth"))*(1+value(t, back, "growth")), 1e-12)
		assert.InDelta(t, value(t, there, "a.development"), value(t, back, "b.development"), 1e-12)
		assert.InEpsilon(t, value(t, there, "ring")/32, 36/value(t, there, "cog"), 1e-12)
		assert.InDelta(t, -value(t, there, "bb.delta"), value(t, back, "bb.delta"), 1e-9, "both wheels by the same")
		assert.InDelta(t, 0, value(t, there, "angle.delta"), 1e-12, "both wheels by the same")
		assert.InDelta(t, value(t, there, "rear.radius.delta"), value(t, there, "bb.delta"), 1e-12)
	}
}

// A bigger front wheel slackens, a bigger rear one steepens, either lifts the
// bottom bracket, and both together lift it by the sum, but for second order.
func TestBiggerWheelsLiftTheBottomBracket(t *testing.T) {
	rng, desk := rand.New(rand.NewPCG(23, 24)), newDesk(t)
	for range 100 {
		w := rng.IntN(6)
		from, to := fmt.Sprintf("29x2.%d", w), fmt.Sprintf("29x2.%d", w+1+rng.IntN(9-w))
		geometry := fmt.Sprintf(`wheelbase:"%d mm" chainstay:"%d mm"`, 1100+rng.IntN(200), 420+rng.IntN(40))
		turn := func(end string) reply.Reply {
			return said(t, desk, fmt.Sprintf(`gearing was:%s now:"%s%s" %s`, from, to, end, geometry))
		}
		front, rear, both := turn(" front"), turn(" rear"), turn("")
		assert.Positive(t, value(t, front, "bb.delta"))
		assert.Positive(t, value(t, rear, "bb.delta"))
		assert.Positive(t, value(t, front, "angle.delta"))
		assert.Negative(t, value(t, rear, "angle.delta"))
		assert.InDelta(t, value(t, both, "bb.delta"), value(t, front, "bb.delta")+value(t, rear, "bb.delta"), 0.0002)
		assert.InDelta(t, value(t, rear, "bb.delta"), value(t, both, "rear.bb.delta"), 1e-12)
		assert.InDelta(t, value(t, front, "angle.delta"), value(t, both, "front.angle.delta"), 1e-12)
	}
}

// A wider tyre never rolls shorter, and none rolls as far under a rider as
// without.
func TestAWiderTyreRollsFurther(t *testing.T) {
	desk := newDesk(t)
	for _, wheel := range []string{"26", "27.5", "29"} {
		last := 0.0
		for w := 17; w <= 30; w++ {
			r := said(t, desk, fmt.Sprintf("gearing tyre:%sx%d.%d", wheel, w/10, w%10))
			unloaded, rolling := value(t, r, "circumference"), value(t, r, "rolling")
			assert.Greater(t, unloaded, last)
			assert.Less(t, rolling, unloaded)
			assert.Greater(t, rolling, 0.98*unloaded)
			last = unloaded
		}
	}
}

func TestGearsAreReadInTheWordsOfTheTrade(t *testing.T) {
	r := newReader(t)
	for line, want := range map[string]string{
		"26er 32t what ring on 29":                  `gearing was:26 now:29 ring:32`,
		"27.5 to 29 do i need smaller ring":         `gearing was:27.5 now:29`,
		"32t 26x2.1 to 29x2.4 ring?":                `gearing was:26x2.1 now:29x2.4 ring:32`,
		"mullet my 29er how much lower bb":          `gearing was:29 now:"29/27.5"`,
		"29x2.4 mullet":                             `gearing was:29x2.4 now:"29/27.5"`,
		"27.5x2.8 in my 29 frame pedal strikes?":    `gearing was:29 now:27.5x2.8`,
		"27.5x2.8 instead of 29x2.4 bb":             `gearing was:29x2.4 now:27.5x2.8`,
		"from 29x2.4 to 29x2.6 head angle":          `gearing was:29x2.4 now:29x2.6`,
		"2.6 front does it slacken the bike":        `gearing now:"2.6 in front"`,
		"2.6 front on my 29er bb":                   `gearing was:29 now:"2.6 in front"`,
		"speed sensor circumference 29x2.4":         `gearing tyre:29x2.4`,
		"circumfrence for 29x2.3 in mm":             `gearing tyre:29x2.3`,
		"wie groß ist der umfang von 29x2.3":        `gearing tyre:29x2.3`,
		"29x2.4 32/51 development":                  `gearing tyre:29x2.4 ring:32 cog:51`,
		"29 to 27.5 32t 51t bb":                     `gearing was:29 now:27.5 ring:32 cog:51`,
		"29x2.4 mullet wheelbase 1250 cs 440":       `gearing was:29x2.4 now:"29/27.5" wheelbase:"1250 mm" chainstay:"440 mm"`,
		"mullet 29x2.5 chainstay 440 bb drop 35":    `gearing was:29x2.5 now:"29/27.5" chainstay:"440 mm" drop:"35 mm"`,
		"29x2.6 front head angle 64 wheelbase 1250": `gearing now:"29x2.6 front" wheelbase:"1250 mm" headangle:"64 °"`,
	} {
		assert.Equal(t, want, readOne(t, r, line).Line(), line)
	}
}

// The same name holds a length in one command and tyres in another, and the
// same word a gap or a length.
func TestWhatWasIsReadByTheCommand(t *testing.T) {
	r := newReader(t)
	assert.Equal(t, `fit tyre:"61 mm" gap:"70 mm"`, readOne(t, r, "chainstay 70mm tyre 61mm").Line())
	for _, line := range []string{`spokes erd:"604 mm" was:"600 mm"`, `gearing was:26x2.1 now:29x2.4`, `gearing was:"29x2.4/27.5x2.4" now:29x2.6`} {
		assert.Equal(t, line, readOne(t, r, line).Line())
	}
	assert.Equal(t, "gearing was:29x2.4", readOne(t, r, "was:29x2.4").Line())
	assert.Equal(t, `spokes was:"600 mm"`, readOne(t, r, `was:"600 mm"`).Line())
	assert.Contains(t, asked(t, "spokes was:29x2.4").Error, "29x2.4")
	assert.Contains(t, asked(t, `gearing was:"604 mm"`).Error, "604 mm")
}

func TestGearsGoOnFromTheLastAnswer(t *testing.T) {
	desk, who := newDesk(t), Asker{User: "ann"}
	say := func(line string) reply.Reply {
		r := desk.Ask(context.Background(), who, line)
		require.Len(t, r, 1, line)
		return r[0]
	}
	r := say("27.5x2.8 in my 29 frame pedal strikes?")
	for _, a := range r.Actions {
		assert.False(t, asked(t, a.Line).Fault, a.Line)
	}
	assert.Equal(t, `gearing was:29 now:27.5x2.8 wheelbase:"1250 mm"`, say("and wheelbase 1250").Line)
	r = say("gearing 32/51")
	assert.Nil(t, r.Ask, "the ratio needs no tyre, the metres take a usual one and say so")
	assert.Contains(t, r.Lead[0], "0.63 times")
	assert.InDelta(t, 29*0.0254*math.Pi*32/51, value(t, r, "development"), 0.04, "a wheel of 29 inches")
	assert.Equal(t, "gearing tyre:27.5x2.4 ring:32 cog:51", say("27.5x2.4").Line)
}

// TestAnotherRing: teeth over teeth, and with other wheels the product of both:
// 30/32 − 1; 27.5x2.4 over 29x2.4 by their circumferences times 34/32.
func TestAnotherRing(t *testing.T) {
	r := asked(t, "32t ring to 30t")
	assert.InDelta(t, 30.0/32-1, value(t, r, "growth"), 1e-12)
	assert.Contains(t, r.Lead[0], "6.2 % less far")
	back := asked(t, "30t ring to 32t")
	assert.InDelta(t, 1, (1+value(t, r, "growth"))*(1+value(t, back, "growth")), 1e-12, "there and back")
	assert.Zero(t, value(t, asked(t, "ring 32 to 32"), "growth"))
	both := asked(t, "29 to 27.5 ring 32t to 34t")
	share := value(t, both, "b.circumference") / value(t, both, "a.circumference") * 34 / 32
	assert.Contains(t, both.Lead[0], quantity.Fixed(100*(share-1), 1)+" % further: harder to push in all")
	asks := asked(t, "gearing newring:30")
	require.NotNil(t, asks.Ask)
	assert.Equal(t, "ring", asks.Ask.Option)
	assert.NotEmpty(t, asked(t, `gearing ring:32 newring:"3"`).Error)
}

// TestMixedTyresAreTheNewOnes: who names mixed tyres with the word for them has them in mind, not on.
func TestMixedTyresAreTheNewOnes(t *testing.T) {
	told := asked(t, "mullet head angle 65 29x2.5/27.5x2.5 wheelbase 1210")
	plain := asked(t, "29x2.5 mullet head angle 65 wheelbase 1210")
	for _, name := range []string{"bb.delta", "angle.delta"} {
		assert.InDelta(t, value(t, plain, name), value(t, told, name), 1e-9, name)
	}
}
