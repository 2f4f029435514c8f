package commands

import (
	"context"
	"fmt"
	"math"
	"math/rand/v2"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"spokeword/calc/quantity"
	"spokeword/commands/reply"
)

// weather is a canonical line of air that a property test may change.
type weather struct {
	option                string  // pressure or target
	front, rear           float64 // psi
	settemp, ridetemp     float64 // °C
	setheight, rideheight float64 // m
}

func (x weather) line() string {
	return fmt.Sprintf(`air %s:"%v psi/%v psi" settemp:"%v °C" ridetemp:"%v °C" setheight:"%v m" rideheight:"%v m"`,
		x.option, x.front, x.rear, x.settemp, x.ridetemp, x.setheight, x.rideheight)
}

func someWeather(rng *rand.Rand) weather {
	return weather{"pressure", 16 + float64(rng.IntN(200))/10, 16 + float64(rng.IntN(200))/10, float64(rng.IntN(35)), float64(rng.IntN(55) - 20), float64(rng.IntN(3000)), float64(rng.IntN(3000))}
}

func TestThereAndBackGivesTheStart(t *testing.T) {
	rng, desk := rand.New(rand.NewPCG(3, 4)), newDesk(t)
	for range 200 {
		x := someWeather(rng)
		there := said(t, desk, x.line())
		back := x
		back.front, back.rear = psi(value(t, there, "front.read")), psi(value(t, there, "rear.read"))
		back.settemp, back.ridetemp, back.setheight, back.rideheight = x.ridetemp, x.settemp, x.rideheight, x.setheight
		home := said(t, desk, back.line())
		assert.InDelta(t, x.front, psi(value(t, home, "front.read")), 1e-6, x.line())
		assert.InDelta(t, x.rear, psi(value(t, home, "rear.read")), 1e-6, x.line())
		inverse := x
		inverse.option, inverse.front, inverse.rear = "target", back.front, back.rear
		assert.InDelta(t, x.front, psi(value(t, said(t, desk, inverse.line()), "front.set")), 1e-6, inverse.line())
	}
}

func TestColdNeverRaisesAndClimbingNeverLowersTheGauge(t *testing.T) {
	rng, desk := rand.New(rand.NewPCG(5, 6)), newDesk(t)
	for range 200 {
		x := someWeather(rng)
		here := value(t, said(t, desk, x.line()), "front.read")
		colder, higher := x, x
		colder.ridetemp -= 0.1 + float64(rng.IntN(200))/10
		higher.rideheight += 1 + float64(rng.IntN(1000))
		assert.Less(t, value(t, said(t, desk, colder.line()), "front.read"), here, x.line())
		assert.Greater(t, value(t, said(t, desk, higher.line()), "front.read"), here, x.line())
	}
}

// The parts add up, and the same place changes nothing.
func TestThePartsOfAReadingAddUp(t *testing.T) {
	rng, desk := rand.New(rand.NewPCG(7, 8)), newDesk(t)
	for range 100 {
		x := someWeather(rng)
		r := said(t, desk, x.line())
		for _, end := range endNames {
			assert.InDelta(t, value(t, r, end+".read")-value(t, r, end+".set"), value(t, r, end+".bytemperature")+value(t, r, end+".byheight"), 1e-6, x.line())
		}
		x.ridetemp, x.rideheight = x.settemp, x.setheight
		assert.InDelta(t, 0, value(t, said(t, desk, x.line()), "rear.delta"), 1e-6, x.line())
	}
}

func TestEveryNumberOfAirIsRecomputed(t *testing.T) {
	for _, x := range []struct {
		line       string
		ends       map[string]float64 // psi
		t1, t2     float64            // °C
		h1, h2     float64            // m
		targetOnly bool
	}{
		{line: "24psi at beach 25c riding 2000m 5c", ends: map[string]float64{"Reading": 24}, t1: 25, t2: 5, h2: 2000},
		{line: "22/25 psi set at 20c, now -5c and 1800 m", ends: map[string]float64{"Front": 22, "Rear": 25}, t1: 20, t2: -5, h2: 1800},
		{line: "workshop 20 °C to have 22 psi at −2 °C at 1600 m", ends: map[string]float64{"Reading": 22}, t1: 20, t2: -2, h2: 1600, targetOnly: true},
		{line: "flying tmrw 25psi let it out?", ends: map[string]float64{"Reading": 25}, t1: 20, t2: 20, h2: 2438},
	} {
		t.Run(x.line, func(t *testing.T) {
			answer, why := answerAndWhy(t, x.line)
			rows := sums(t, why)
			hecto := func(psi float64) float64 { return psi * 6894.757293168 / 100 }
			standard := func(h float64) float64 { return 1013.25 * math.Pow(1-0.0065*h/288.15, 5.25588) }
			p1, p2, k1, k2 := standard(x.h1), standard(x.h2), x.t1+273.15, x.t2+273.15
			for name, p := range map[string][2]float64{"Air where set": {x.h1, p1}, "Air where read": {x.h2, p2}} {
				holds(t, rows, name, number{1013.25, 2}, number{1, 0}, number{0.0065, 4}, number{p[0], 1}, number{288.15, 2}, number{5.25588, 5}, number{p[1], 2})
			}
			for name, g := range x.ends {
				set, read := hecto(g), (hecto(g)+p1)*k2/k1-p2
				back := (hecto(g)+p2)*k1/k2 - p1
				if x.targetOnly {
					set, read = back, hecto(g)
				} else {
					holds(t, rows, name, number{set, 2}, number{p1, 2}, number{k2, 2}, number{k1, 2}, number{p2, 2}, number{read, 2})
				}
				holds(t, rows, name+" to set", number{hecto(g), 2}, number{p2, 2}, number{k1, 2}, number{k2, 2}, number{p1, 2}, number{back, 2})
				holds(t, rows, name+" parts", number{(set + p1) * (k2/k1 - 1), 2}, number{p1 - p2, 2})
				end := strings.ToLower(strings.Replace(name, "Reading", "front", 1))
				assert.InDelta(t, read*100, value(t, answer, end+".read"), 1, name)
			}
			assert.Empty(t, rows, "rows that were not recomputed")
			explains(t, answer, why)
		})
	}
}

// Which temperature is where the tyre is set is told by words, else by order.
func TestWhereItIsSetIsToldFromWhereItIsRidden(t *testing.T) {
	r := newReader(t)
	for line, want := range map[string]string{
		"24psi 70f > 40f":                          `air pressure:"24 psi" settemp:"70 °F" ridetemp:"40 °F"`,
		"24 psi riding at 3c pumped at 20c":        `air pressure:"24 psi" settemp:"20 °C" ridetemp:"3 °C"`,
		"want 22/25 psi at -2c pumping at 18c":     `air target:"22 psi/25 psi" settemp:"18 °C" ridetemp:"-2 °C"`,
		"1.7 bar bei 20 grad jetzt -3":             `air pressure:"1.7 bar" settemp:"20 °C" ridetemp:"-3 °C"`,
		"air 22 psi set at 20c":                    `air pressure:"22 psi" settemp:"20 °C"`,
		"air 22 psi now 3c":                        `air pressure:"22 psi" ridetemp:"3 °C"`,
		"22 psi drive down to 500 m from 2000 m":   `air pressure:"22 psi" setheight:"2000 m" rideheight:"500 m"`,
		"set at 1600m now coast 24":                `air pressure:"24 psi" setheight:"1600 m" rideheight:"0 m"`,
		"80kg 29x2.4 i30 trail riding at -5c":      `pressure rider:"80 kg" tyre:29x2.4 rim:"30 mm" riding:trail ridetemp:"-5 °C"`,
		"tyre 40c 24 psi 85kg":                     `pressure rider:"85 kg" tyre:700x40 pressure:"24 psi"`,
		"how much psi do i lose when its -10":      `air ridetemp:"-10 °C"`,
		"22 psi in the kitchen riding at -5c 200m": `air pressure:"22 psi" settemp:"20 °C" ridetemp:"-5 °C" rideheight:"200 m"`,
	} {
		assert.Equal(t, want, readOne(t, r, line).Line(), line)
	}
}

func TestAirGoesOnFromTheLastAnswer(t *testing.T) {
	desk, who := newDesk(t), Asker{User: "ann"}
	say := func(line string) reply.Reply {
		r := desk.Ask(context.Background(), who, line)
		require.Len(t, r, 1, line)
		return r[0]
	}
	say("22/25 psi set at 20c riding at -5c")
	assert.Equal(t, `air pressure:"22 psi/25 psi" settemp:"20 °C" ridetemp:"-10 °C"`, say("what about -10c").Line)
	assert.Equal(t, `air pressure:"22 psi/25 psi" settemp:"20 °C" ridetemp:"-10 °C" rideheight:"2000 m"`, say("and 2000 m").Line)
	desk = newDesk(t)
	r := say("set in the kitchen at 20c riding at -3c")
	require.NotNil(t, r.Ask)
	assert.Equal(t, `air pressure:"160 kPa" settemp:"20 °C" ridetemp:"-3 °C"`, say("160kpa").Line)
}

func TestAMarkIsNeverPassedInAir(t *testing.T) {
	for _, line := range []string{"22 psi in a hot car rim max 24 psi", "30 psi at 3000m tyre max 32 psi", "air to have 30 psi set at 40f riding at -20f tyre max 32 psi", "70 psi hookless riding at 3000m"} {
		r := asked(t, line)
		assert.True(t, r.Refused, line)
		assert.True(t, strings.HasPrefix(r.Lead[0], "No: "), "%s: %q", line, r.Lead)
		for _, v := range r.Values {
			if v.Name == "front.set" {
				most := value(t, r, "front.max")
				assert.LessOrEqual(t, v.Value, most, line)
			}
		}
	}
	assert.False(t, asked(t, "22 psi in a hot car rim max 30 psi").Refused)
}

// What the gauge may read in the heat is rounded down to stay below the mark.
func TestTheMostToSetStaysBelowTheMark(t *testing.T) {
	r := asked(t, "22 psi in a hot car rim max 24 psi")
	shown := numbersIn(t, r.Lead[1])[0]
	assert.LessOrEqual(t, quantity.PSIUnit.SI(shown), value(t, r, "front.set"))
}
