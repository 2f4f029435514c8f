// Package gearing tells what a change of wheels, rings and cogs does to the
// gears, to a speed sensor's number and to the angles of the bike.
package gearing

import (
	"math"

	"spokeword/calc/basis"
	"spokeword/calc/quantity"
	"spokeword/calc/tyre"
)

const mm = quantity.Millimetre

// Teeth is a number of teeth of a ring, a cog or a ratchet.
type Teeth int

// String writes the teeth: "32 teeth".
func (t Teeth) String() string { return quantity.Count(int(t)) + " teeth" }

// Rings and cogs the sums answer for: what is sold, with room to spare. Common
// practice, no source.
const (
	FewestRing, MostRing Teeth = 10, 80
	FewestCog, MostCog   Teeth = 7, 80
)

// Gear is a ring with a cog.
type Gear struct{ Ring, Cog Teeth }

// String writes the gear as the trade does: "32/51".
func (g Gear) String() string {
	return quantity.Count(int(g.Ring)) + "/" + quantity.Count(int(g.Cog))
}

// Check returns a *quantity.RangeError for rings and cogs outside the ranges.
func (g Gear) Check() error {
	if err := quantity.Within("ring", g.Ring, FewestRing, MostRing); err != nil {
		return err
	}
	return quantity.Within("cog", g.Cog, FewestCog, MostCog)
}

// Ratio returns ring over cog, turns of the wheel for one of the crank; 0
// without a cog.
func (g Gear) Ratio() float64 {
	if g.Cog == 0 {
		return 0
	}
	return float64(g.Ring) / float64(g.Cog)
}

// Wheel is a wheel with its tyre.
type Wheel struct {
	Tyre tyre.Mounted
	// Measured is the outside diameter over the tread where somebody measured
	// it; 0 takes it from the tyre and its rim.
	Measured quantity.Length
}

// Outside diameters the sums answer for.
const (
	SmallestOutside = 170 * mm
	LargestOutside  = 1000 * mm
)

// Diameter returns the outside diameter over the tread, unloaded: as measured,
// else seat + 2 × label, as tables quote it for the label's measuring rim, and
// on another rim twice what that rim adds to the section's height or takes from
// it. Tyres vary by some millimetres from it: see DiameterBand.
func (w Wheel) Diameter() quantity.Length {
	if w.Measured > 0 {
		return w.Measured
	}
	d := w.Tyre.Outside
	if s, err := tyre.SectionOf(w.Tyre.Label, tyre.MeasuringRim(w.Tyre.Label)); err == nil {
		d += 2 * (w.Tyre.Height - s.Height)
	}
	return d
}

// DiameterBand is how far a real outside diameter may lie from Diameter where
// it wasn't measured: ± 3 mm, as an older text of ISO 5775 has it.
const DiameterBand = 3 * mm

// DiameterBasis is what Diameter rests on.
var DiameterBasis = basis.Basis{Kind: basis.Standard, Source: "ISO 5775-1, older text, as quoted", Says: "seat + 2 x label, give or take 3 mm; the rim's part by the section model"}

func (w Wheel) check() (quantity.Length, error) {
	d := w.Diameter()
	return d, quantity.Within("outside diameter", d, SmallestOutside, LargestOutside)
}

// Development returns how far the bike goes for one turn of the crank: ratio ×
// π × outside diameter, unloaded. It returns a *quantity.RangeError for gears
// and diameters outside the ranges.
func Development(g Gear, w Wheel) (quantity.Length, error) {
	if err := g.Check(); err != nil {
		return 0, err
	}
	d, err := w.check()
	if err != nil {
		return 0, err
	}
	return quantity.Length(g.Ratio()*math.Pi) * d, nil
}

// Inches returns a gear as the diameter of a wheel that would go as far if the crank
// drove it directly: development / π, which is told in inches. By definition; 48/16 on a
// wheel of 27 inches is 81.
func Inches(development quantity.Length) quantity.Length { return development / math.Pi }

// A Choice is a whole number of teeth that nearly restores a gearing.
type Choice struct {
	Teeth       Teeth
	Development quantity.Length // with it
	// Change is how much longer a turn of the crank goes than before, as a
	// share: + is harder to push.
	Change tyre.Share
}

// Restoring is what brings the old gearing back after a change of wheel.
type Restoring struct {
	Growth tyre.Share      // of the outside diameter; what the gears change by if nothing else does
	Before quantity.Length // development before
	After  quantity.Length // with the same ring and cog
	Ring   float64         // teeth, exactly, with the old cog
	Rings  []Choice        // one or two whole numbers about Ring, the nearer first
	Cog    float64         // teeth, exactly, with the old ring
	Cogs   []Choice        // one or two whole numbers about Cog, the nearer first
}

// Restore returns the ring, or the cog, that brings a gear's development back
// after a change of wheel:
//
//	ring2 = ring1 D1/D2, cog2 = cog1 D2/D1
//
// The ring does so for all cogs at once. Numbers outside the ranges are left
// out of Rings and Cogs. It returns a *quantity.RangeError for gears and
// diameters outside the ranges.
func Restore(g Gear, before, after Wheel) (Restoring, error) {
	was, err := Development(g, before)
	if err != nil {
		return Restoring{}, err
	}
	is, err := Development(g, after)
	if err != nil {
		return Restoring{}, err
	}
	k := float64(is / was)
	out := Restoring{
		Growth: tyre.Share(k - 1), Before: was, After: is,
		Ring: float64(g.Ring) / k, Cog: float64(g.Cog) * k,
	}
	out.Rings = choices(out.Ring, was, func(t Teeth) Gear { return Gear{t, g.Cog} }, after)
	out.Cogs = choices(out.Cog, was, func(t Teeth) Gear { return Gear{g.Ring, t} }, after)
	return out, nil
}

func choices(exact float64, was quantity.Length, with func(Teeth) Gear, w Wheel) []Choice {
	const whole = 1e-9 // teeth; a whole number but for the last bits stands alone
	low, high := Teeth(math.Floor(exact+whole)), Teeth(math.Ceil(exact-whole))
	nearer := [2]Teeth{low, high}
	if float64(high)-exact < exact-float64(low) {
		nearer = [2]Teeth{high, low}
	}
	var out []Choice
	for i, t := range nearer {
		if i == 1 && low == high {
			break
		}
		if d, err := Development(with(t), w); err == nil {
			out = append(out, Choice{t, d, tyre.Share(d/was - 1)})
		}
	}
	return out
}

// CircumferenceBasis is what Circumference rests on.
var CircumferenceBasis = basis.Basis{Kind: basis.Computed, Source: "outside diameter, and an inextensible tread rolling on its loaded radius", Says: "a roll-out with the rider on is best"}

// Circumference is what a speed sensor is set to.
type Circumference struct {
	Unloaded quantity.Length // π × outside diameter
	Rolling  quantity.Length // under a load; Unloaded if none was given
	Drop     quantity.Length // of the axle under it
	// Band is how far both may lie from the real ones, ± π × DiameterBand; 0
	// where the diameter was measured.
	Band quantity.Length
}

// Circle returns the circumference of a wheel, unloaded and rolling with its
// axle lowered by a drop:
//
//	2π R sin φ/φ, cos φ = 1 − δ/R
//
// which is near 2π (R − δ/3): the tread lays its own length down and is not as
// short as 2π (R − δ). It returns a *quantity.RangeError for diameters outside
// the ranges and drops outside 0 to a quarter of the radius.
func Circle(w Wheel, drop quantity.Length) (Circumference, error) {
	d, err := w.check()
	if err != nil {
		return Circumference{}, err
	}
	r := d / 2
	if err := quantity.Within("drop", drop, 0, r/4); err != nil {
		return Circumference{}, err
	}
	c := Circumference{Unloaded: math.Pi * d, Rolling: math.Pi * d, Drop: drop}
	if phi := math.Acos(1 - float64(drop/r)); phi > 0 {
		c.Rolling *= quantity.Length(math.Sin(phi) / phi)
	}
	if w.Measured == 0 {
		c.Band = math.Pi * DiameterBand
	}
	return c, nil
}

// CircleUnder is Circle with the drop that the load model gives for a load on
// the wheel at a gauge pressure (tyre.Mounted.Press). It returns what that and
// Circle refuse.
func CircleUnder(w Wheel, load quantity.Mass, p quantity.Gauge) (Circumference, error) {
	pressed, err := w.Tyre.Press(load, p)
	if err != nil {
		return Circumference{}, err
	}
	return Circle(w, pressed.Depth)
}

// Cadence is how often the crank turns, in turns a minute.
type Cadence float64

// The range of Speed: below a walk on the pedals, above what track sprinters
// reach.
const (
	SlowestCadence Cadence = 20
	FastestCadence Cadence = 250
)

// String writes the cadence: "90 rpm".
func (c Cadence) String() string { return quantity.Trimmed(float64(c), 0) + " rpm" }

// Speed returns how fast a wheel of a rolling circumference goes in a gear, in
// metres a second:
//
//	v = cadence/60 × ring/cog × circumference
//
// It returns a *quantity.RangeError outside the cadences above and for what
// Gear.Check refuses.
func Speed(c Cadence, g Gear, rolling quantity.Length) (metresPerSecond float64, err error) {
	if err := quantity.Within("cadence", c, SlowestCadence, FastestCadence); err != nil {
		return 0, err
	}
	if err := g.Check(); err != nil {
		return 0, err
	}
	return float64(c) / 60 * g.Ratio() * float64(rolling), nil
}

// RadiusOf returns the radius that rolls a circumference: c/2π.
func RadiusOf(circumference quantity.Length) quantity.Length { return circumference / (2 * math.Pi) }
