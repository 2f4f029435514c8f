// Package fill tells what it takes to fill a tyre: cartridges of carbon
// dioxide, strokes of a pump, sealant, tape and a valve.
package fill

import (
	"errors"
	"math"

	"spokeword/calc/air"
	"spokeword/calc/basis"
	"spokeword/calc/quantity"
	"spokeword/calc/tyre"
)

// Start is how a tyre stands before it is filled. Where it isn't known, both
// are given.
type Start uint8

// The starts.
const (
	Round Start = iota // still round: full of air at the pressure about it
	Flat               // squashed empty
)

// String names the start: "round".
func (s Start) String() string { return [...]string{"round", "flat"}[min(s, Flat)] }

// Masses of gas the sums answer for; the greatest is above every cartridge that
// is sold for bicycles, so 200 g is a slip.
const (
	LeastGas = 4 * quantity.Gram
	MostGas  = 150 * quantity.Gram
)

// CartridgeBasis is what Cartridge rests on.
var CartridgeBasis = basis.Basis{Kind: basis.Computed, Source: "real gas by the second virial coefficient, partial pressures added", Says: "all of the gas arrives and has come to the temperature of the air"}

// FrostPoint is how cold gas and head of a cartridge can get while it empties:
// carbon dioxide at the pressure of the air freezes at −78.5 °C. Just after
// filling the gauge reads low, and rises until tyre and gas are as warm as the
// air.
//
// Source: sublimation point of carbon dioxide at 1 atm in handbooks; from
// memory.
const FrostPoint quantity.Temperature = 273.15 - 78.5

// LeakBasis is what is known of how fast carbon dioxide leaves a tube.
var LeakBasis = basis.Basis{Kind: basis.Article, Source: "club article, 2009", Says: "90 psi of carbon dioxide in a butyl tube was 45 psi after three days; refill with air"}

// A Span is a gauge pressure with how far it may lie from that, by the tyre's
// volume.
type Span struct{ Pressure, Low, High quantity.Gauge }

// Filled is what a tyre holds after a cartridge.
type Filled struct {
	Gas   quantity.Mass
	Round Span // if it was still round
	Flat  Span // if it was squashed empty; 0 where the gas doesn't fill it
	// Limp is set where the gas is not enough to round a squashed tyre.
	Limp bool
}

// From returns what the tyre holds from a start.
func (f Filled) From(s Start) Span {
	if s == Flat {
		return f.Flat
	}
	return f.Round
}

// volumeBand is how far a tyre's volume may lie from the computed one: it goes
// with the square of the width.
func volumeBand(m tyre.Mounted) float64 {
	if m.Width == 0 {
		return 0
	}
	return 2 * float64(m.WidthBand()/m.Width)
}

// Cartridge returns what a mass of carbon dioxide makes of a tyre's volume at a
// place:
//
//	round: p_CO2(m, V, T), for the air inside stays and weighs up the air outside
//	flat:  p_CO2(m, V, T) − p_ambient
//
// p_CO2 being air.CarbonDioxide's pressure. What stays in the empty cartridge,
// below 1 %, and what the head spills are left out. A tyre that holds something
// already has that on top of Round. Several cartridges are one of their sum.
//
// It returns a *quantity.RangeError for masses outside LeastGas to MostGas,
// places that package air refuses, temperatures outside air.GasColdest to
// air.GasHottest; and an *OverfillError for more gas than the volume, at its
// least, holds at about 11 bar.
func Cartridge(gas quantity.Mass, m tyre.Mounted, at air.Place) (Filled, error) {
	if err := quantity.Within("cartridge", gas, LeastGas, MostGas); err != nil {
		return Filled{}, err
	}
	ambient, err := air.Pressure(at.Height)
	if err != nil {
		return Filled{}, err
	}
	out := Filled{Gas: gas}
	band := quantity.Volume(volumeBand(m))
	for _, c := range [...]struct {
		v           quantity.Volume
		round, flat *quantity.Gauge
	}{
		{m.Volume, &out.Round.Pressure, &out.Flat.Pressure},
		{m.Volume * (1 + band), &out.Round.Low, &out.Flat.Low},
		{m.Volume * (1 - band), &out.Round.High, &out.Flat.High},
	} {
		p, err := air.CarbonDioxide.Pressure(gas, c.v, at.Temperature)
		if out := (*quantity.RangeError)(nil); errors.As(err, &out) && out.Quantity == air.GasName {
			return Filled{}, &OverfillError{gas, m.Volume}
		}
		if err != nil {
			return Filled{}, err
		}
		*c.round = quantity.Gauge(p)
		*c.flat = max(0, p.Above(ambient))
	}
	out.Limp = out.Flat.Pressure == 0
	return out, nil
}

// OverfillError says that a cartridge brings a tyre far above what any tyre of
// its kind is marked with: the gas is no longer the model's, and the rider in
// danger.
type OverfillError struct {
	Gas    quantity.Mass
	Volume quantity.Volume
}

// Error says what was found and what was wanted.
func (e *OverfillError) Error() string {
	return "cartridge " + quantity.Trimmed(e.Gas.In(quantity.Gram), 1) + " g: want less in " + e.Volume.String()
}

// Needed returns the mass of carbon dioxide that brings a tyre to a target at a
// place, the inverse of Cartridge. It returns a *quantity.RangeError for
// targets outside 0 to 10 bar and for what Cartridge refuses but masses.
func Needed(target quantity.Gauge, m tyre.Mounted, at air.Place, s Start) (quantity.Mass, error) {
	if err := quantity.Within("target", target, 0, 10*quantity.Bar); err != nil {
		return 0, err
	}
	ambient, err := air.Pressure(at.Height)
	if err != nil {
		return 0, err
	}
	p := quantity.Absolute(target)
	if s == Flat {
		p += ambient
	}
	return air.CarbonDioxide.MassFor(p, m.Volume, at.Temperature)
}

// Sizes returns the cartridges that are commonly sold, lightest first. Common
// practice, no source.
func Sizes() []quantity.Mass { return append([]quantity.Mass(nil), sizes[:]...) }

var sizes = [...]quantity.Mass{12 * quantity.Gram, 16 * quantity.Gram, 20 * quantity.Gram, 25 * quantity.Gram, 38 * quantity.Gram, 45 * quantity.Gram}

// SizesBasis is what Sizes rests on.
var SizesBasis = basis.Basis{Kind: basis.Practice, Says: "12, 16, 20, 25, 38 and 45 g are what is commonly sold"}

// Choice is the cartridge for a tyre.
type Choice struct {
	Needed quantity.Mass // exactly
	// Size and Count are what to take: the lightest size that reaches the
	// target, or the fewest of one size if one alone doesn't. Both are 0 if
	// nothing reaches it below the maximum.
	Size  quantity.Mass
	Count int
	// Filled is what Count of Size give; zero if there are none.
	Filled Filled
	// Below is the largest single size whose pressure stays below the maximum,
	// from either start; 0 if none does or no maximum was given.
	Below quantity.Mass
	// Exceeds is set where what would reach the target, the lightest of it,
	// exceeds the maximum in a tyre that is still round, or all reason.
	Exceeds bool
}

// CartridgeFor returns the smallest cartridge that brings a tyre to a target
// from a start. most is the maximum that binds (tyre.Maximum), 0 if no limit is
// to be held; it is held for a tyre that is still round, which a rider can't
// rule out. It returns a *quantity.RangeError as Needed and Cartridge do.
func CartridgeFor(target, most quantity.Gauge, m tyre.Mounted, at air.Place, s Start) (Choice, error) {
	var c Choice
	var err error
	if c.Needed, err = Needed(target, m, at, s); err != nil {
		return Choice{}, err
	}
	if most != 0 {
		if err := quantity.Within("maximum", most, 0, 15*quantity.Bar); err != nil {
			return Choice{}, err
		}
		for _, size := range sizes {
			if f, err := Cartridge(size, m, at); err == nil && f.Round.Pressure <= most {
				c.Below = size
			}
		}
	}
	c.Size, c.Count = pick(c.Needed)
	c.Filled, err = Cartridge(c.Size*quantity.Mass(c.Count), m, at)
	over := (*OverfillError)(nil)
	switch {
	case errors.As(err, &over):
		c.Exceeds = true
	case err != nil:
		return Choice{}, err
	case most != 0 && c.Filled.Round.Pressure > most:
		c.Exceeds = true
	}
	if c.Exceeds {
		c.Size, c.Count, c.Filled = 0, 0, Filled{}
	}
	return c, nil
}

// pick returns the lightest size that holds as much, or the fewest of one size
// that do, the lightest sum among them.
func pick(needed quantity.Mass) (size quantity.Mass, count int) {
	const grain = 1e-9 // kg
	for count = 1; ; count++ {
		for _, s := range sizes {
			if s*quantity.Mass(count) >= needed-grain {
				return s, count
			}
		}
	}
}

// Kit is one size of cartridge for several tyres.
type Kit struct {
	Biggest int     // index of the tyre that needs most
	Choice  Choice  // for that one
	Each    []Taken // what Choice does in every tyre, in the order given
}

// Taken is what a kit's cartridge does in one tyre.
type Taken struct {
	// Filled is zero where the gas is far too much (OverfillError).
	Filled  Filled
	Exceeds bool // above that tyre's maximum if it is still round: take a smaller one
}

// Tyre is a tyre to be filled.
type Tyre struct {
	Tyre   tyre.Mounted
	Target quantity.Gauge
	Most   quantity.Gauge // the maximum that binds; 0 if no limit is to be held
}

// KitFor returns the cartridge that serves the tyre that needs most, and what
// it does in all of them. Each is empty where nothing reaches the target below
// that tyre's maximum. It returns a *quantity.RangeError as CartridgeFor does,
// and a *NoTyresError for none.
func KitFor(tyres []Tyre, at air.Place, s Start) (Kit, error) {
	if len(tyres) == 0 {
		return Kit{}, &NoTyresError{}
	}
	var k Kit
	var most quantity.Mass = -1
	for i, t := range tyres {
		m, err := Needed(t.Target, t.Tyre, at, s)
		if err != nil {
			return Kit{}, err
		}
		if m > most {
			most, k.Biggest = m, i
		}
	}
	big := tyres[k.Biggest]
	var err error
	if k.Choice, err = CartridgeFor(big.Target, big.Most, big.Tyre, at, s); err != nil || k.Choice.Count == 0 {
		return k, err
	}
	for _, t := range tyres {
		f, err := Cartridge(k.Choice.Size*quantity.Mass(k.Choice.Count), t.Tyre, at)
		over := (*OverfillError)(nil)
		if errors.As(err, &over) {
			k.Each = append(k.Each, Taken{Exceeds: true})
			continue
		}
		if err != nil {
			return Kit{}, err
		}
		k.Each = append(k.Each, Taken{f, t.Most != 0 && f.Round.Pressure > t.Most})
	}
	return k, nil
}

// NoTyresError says that no tyre was named.
type NoTyresError struct{}

// Error says what was found and what was wanted.
func (*NoTyresError) Error() string { return "no tyre: want at least one" }

// Pumps the sums answer for: a stroke of 10 ml to 2 l, so that a volume given
// in litres by slip, or of a compressor, is asked again.
const (
	SmallestStroke = 10 * quantity.Millilitre
	LargestStroke  = 2 * quantity.Litre
)

// Efficiency is the share of a stroke's air that arrives in the tyre.
type Efficiency float64

// String writes it as per cent: "80 %".
func (e Efficiency) String() string { return quantity.Percent(float64(e)) }

// What of a stroke arrives. Hoses and heads keep some back, more the higher the
// pressure; half a stroke is half the air. Common practice, no source; Lossless
// is what a sum without losses takes.
const (
	Lossless           Efficiency = 1
	UsualEfficiencyLow Efficiency = 0.7
	UsualEfficiency    Efficiency = 0.85
	LeastEfficiency    Efficiency = 0.2
)

// EfficiencyBasis is what the efficiencies rest on.
var EfficiencyBasis = basis.Basis{Kind: basis.Practice, Says: "70 to 100 % of a stroke arrives, less in small pumps and at high pressure"}

// Pumping is how often to pump.
type Pumping struct {
	Round float64 // strokes for a tyre that stands round at the pressure it has
	Flat  float64 // strokes for a squashed one, from nothing
}

// Strokes returns the strokes of a pump that bring a tyre from one gauge
// pressure to another at a place:
//
//	n = (p2 − p1) V/(pa v η)
//
// pa V/(pa v η) more from squashed flat. The air comes to the place's
// temperature before the gauge is read. It returns a *quantity.RangeError for
// pressures outside 0 to 15 bar, a target below the pressure it has, strokes
// outside SmallestStroke to LargestStroke, and efficiencies outside
// LeastEfficiency to 1.
func Strokes(from, to quantity.Gauge, m tyre.Mounted, stroke quantity.Volume, e Efficiency, height quantity.Length) (Pumping, error) {
	if err := quantity.Within("pressure", from, 0, 15*quantity.Bar); err != nil {
		return Pumping{}, err
	}
	if err := quantity.Within("target", to, from, 15*quantity.Bar); err != nil {
		return Pumping{}, err
	}
	if err := quantity.Within("pump", stroke, SmallestStroke, LargestStroke); err != nil {
		return Pumping{}, err
	}
	if err := quantity.Within("efficiency", e, LeastEfficiency, Lossless); err != nil {
		return Pumping{}, err
	}
	ambient, err := air.Pressure(height)
	if err != nil {
		return Pumping{}, err
	}
	one := float64(ambient) * float64(stroke) * float64(e)
	return Pumping{
		Round: float64(to-from) * float64(m.Volume) / one,
		Flat:  (float64(to) + float64(ambient)) * float64(m.Volume) / one,
	}, nil
}

// Whole returns strokes as a number to count to: rounded up.
func Whole(strokes float64) int { return int(math.Ceil(strokes - 1e-9)) }
