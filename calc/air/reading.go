package air

import (
	"math"

	"spokeword/calc/basis"
	"spokeword/calc/quantity"
)

// Temperatures the gas law is used for: no ride is colder, no rim in use is
// hotter. Below absolute zero is nowhere.
const (
	Coldest = quantity.Temperature(273.15 - 60)
	Hottest = quantity.Temperature(273.15 + 120)
)

// Readings the gas law is used for. At a negative one the tyre has lost its
// shape, and so its volume.
const (
	LeastReading    quantity.Gauge = 0
	GreatestReading                = quantity.Gauge(15 * quantity.Bar)
)

// GasLawBasis is what readings rest on.
var GasLawBasis = basis.Basis{Kind: basis.Computed, Source: "ideal gas at constant volume, absolute pressures", Says: "the tyre's own stretch is left out"}

// A Place is where a tyre's pressure is set or read.
type Place struct {
	Temperature quantity.Temperature // of the air in the tyre: of a tyre that stood there for an hour
	Height      quantity.Length      // above sea level
}

// ambient returns the air pressure of a place that the models answer for.
func (p Place) ambient() (quantity.Absolute, error) {
	if err := quantity.Within("temperature", p.Temperature, Coldest, Hottest); err != nil {
		return 0, err
	}
	return Pressure(p.Height)
}

// A Reading is what a gauge shows of one and the same air at another place.
type Reading struct {
	Set  quantity.Gauge // on the gauge where it was set
	Read quantity.Gauge // on the gauge where it is read
	// ByTemperature and ByHeight are the parts of Read − Set. They add up, and
	// neither depends on which comes first.
	ByTemperature, ByHeight quantity.Gauge
	AirSet, AirRead         quantity.Absolute // the air about it, at both places
}

// Change returns Read − Set.
func (r Reading) Change() quantity.Gauge { return r.Read - r.Set }

// Relative returns the change as a share of the pressure set; 0 if none was.
func (r Reading) Relative() float64 {
	if r.Set == 0 {
		return 0
	}
	return float64(r.Change() / r.Set)
}

// Read returns what a gauge reads at one place of a tyre that was set at
// another, volume and air unchanged:
//
//	pg2 = (pg1 + pa1) T2/T1 − pa2
//
// of which (pg1 + pa1)(T2/T1 − 1) is by temperature and pa1 − pa2 by height.
// Cold lowers the reading, climbing raises it; a tyre feels what the gauge
// reads. Good to 0.1 psi for given temperatures, and Weather on top if days lie
// between.
//
// It returns a *quantity.RangeError outside Coldest to Hottest, Lowest to
// Highest, LeastReading to GreatestReading, and where the reading would leave
// that range: a tyre below 0 has no shape to keep.
func Read(set quantity.Gauge, from, to Place) (Reading, error) {
	r, err := read(set, from, to)
	if err != nil {
		return Reading{}, err
	}
	if r.Read, err = shaped("reading there", r.Read); err != nil {
		return Reading{}, err
	}
	return r, nil
}

// shaped returns g if a tyre can have it, put back on the ends of the range
// where the last bits of a sum left them.
func shaped(what string, g quantity.Gauge) (quantity.Gauge, error) {
	const bits = 1e-6 // Pa
	if g < LeastReading && g > LeastReading-bits {
		return LeastReading, nil
	}
	if g > GreatestReading && g < GreatestReading+bits {
		return GreatestReading, nil
	}
	return g, quantity.Within(what, g, LeastReading, GreatestReading)
}

func read(set quantity.Gauge, from, to Place) (Reading, error) {
	if err := quantity.Within("pressure", set, LeastReading, GreatestReading); err != nil {
		return Reading{}, err
	}
	a1, err := from.ambient()
	if err != nil {
		return Reading{}, err
	}
	a2, err := to.ambient()
	if err != nil {
		return Reading{}, err
	}
	heat := float64(set.Over(a1)) * (float64(to.Temperature/from.Temperature) - 1)
	r := Reading{
		Set: set, ByTemperature: quantity.Gauge(heat), ByHeight: quantity.Gauge(a1 - a2),
		AirSet: a1, AirRead: a2,
	}
	r.Read = set + r.ByTemperature + r.ByHeight
	return r, nil
}

// SetFor returns what to set at one place to read a target at another, the
// inverse of Read:
//
//	pg1 = (pg2 + pa2) T1/T2 − pa1
//
// Reading.Set is the answer, Reading.Read the target. It returns a
// *quantity.RangeError as Read does; of the pressure to be set it speaks as
// "pressure to set".
func SetFor(target quantity.Gauge, at, there Place) (Reading, error) {
	back, err := read(target, there, at)
	if err != nil {
		return Reading{}, err
	}
	set, err := shaped("pressure to set", back.Read)
	if err != nil {
		return Reading{}, err
	}
	r, err := read(set, at, there)
	if err != nil {
		return Reading{}, err
	}
	r.Read = target // not a bit beside what was asked
	return r, nil
}

// WarmestBelow returns the temperature at which a tyre set at a place reaches a
// maximum, at the same height: T = T1 (pmax + pa)/(pg + pa). It is below the
// place's own temperature if the tyre is above the maximum already, and may lie
// outside Coldest to Hottest. It returns a *quantity.RangeError for what Read
// would refuse.
func WarmestBelow(most, set quantity.Gauge, at Place) (quantity.Temperature, error) {
	if err := quantity.Within("pressure", set, LeastReading, GreatestReading); err != nil {
		return 0, err
	}
	if err := quantity.Within("maximum", most, LeastReading, GreatestReading); err != nil {
		return 0, err
	}
	a, err := at.ambient()
	if err != nil {
		return 0, err
	}
	return at.Temperature * quantity.Temperature(most.Over(a)/set.Over(a)), nil
}

// The air in a closed car that stands in the sun.
const (
	// HotCar is how hot it is taken to get, 70 °C. Assumption.
	HotCar = quantity.Temperature(273.15 + 70)
)

// HotCarBasis is what HotCar rests on.
var HotCarBasis = basis.Basis{Kind: basis.Memory, Source: "Grundstein, Meentemeyer & Dowd, Int. J. Biometeorology 53, 255 (2009)", Says: "41 to 76 °C in a closed car, by weather; 70 °C is taken"}

// Cabin is the greatest height for which the air in an airliner's cabin may
// stand in ordinary flight, 8000 ft; its hold for baggage is commonly kept the
// same.
//
// Source: 14 CFR 25.841(a).
const Cabin = 8000 * quantity.Foot

// CabinBasis is what Cabin rests on.
var CabinBasis = basis.Basis{Kind: basis.Standard, Source: "14 CFR 25.841(a)", Says: "cabins are kept at no more than 8000 ft"}

// A Flight is what a tyre reads in an aircraft, at the temperature it was set.
type Flight struct {
	Cabin        Reading        // in a hold kept like the cabin
	Unregulated  Reading        // in a hold without pressure at Highest, should it fail
	Vacuum       quantity.Gauge // with no air about it at all: what no height exceeds
	AboveInCabin quantity.Gauge // Cabin.Change
}

// Fly returns what a tyre set at a place reads in flight, volume and
// temperature unchanged (holds are cooler, which lowers it). It returns a
// *quantity.RangeError as Read does.
func Fly(set quantity.Gauge, from Place) (Flight, error) {
	var f Flight
	var err error
	if f.Cabin, err = Read(set, from, Place{from.Temperature, Cabin}); err != nil {
		return Flight{}, err
	}
	if f.Unregulated, err = Read(set, from, Place{from.Temperature, Highest}); err != nil {
		return Flight{}, err
	}
	f.Vacuum = quantity.Gauge(set.Over(f.Cabin.AirSet))
	f.AboveInCabin = f.Cabin.Change()
	return f, nil
}

// Rule is a rule of thumb for readings.
type Rule uint8

// The rules of thumb that go about.
const (
	// TenFahrenheit: 1 psi for every 10 °F. It belongs to car tyres: it is right
	// near 38 psi and takes a third too much at 22.
	TenFahrenheit Rule = iota + 1
	// ThousandFeet: the gauge falls 1 psi for every 1000 ft climbed. It rises, by
	// about half of that.
	ThousandFeet
	// ScaledGauge: gauge pressure in proportion to absolute temperature, the air
	// about the tyre forgotten. It takes too little, the more so the softer.
	ScaledGauge
)

var ruleBases = [...]basis.Basis{
	TenFahrenheit: {Kind: basis.Practice, Says: "1 psi for 10 °F, copied from car tyres; right near 38 psi"},
	ThousandFeet:  {Kind: basis.Practice, Says: "1 psi lost for 1000 ft climbed; the sign is wrong and the size double"},
	ScaledGauge:   {Kind: basis.Practice, Says: "the gauge's number scaled with temperature; the air about the tyre is forgotten"},
}

// A Thumb is what a rule of thumb says beside what the sum gives.
type Thumb struct {
	Rule  Rule
	Says  quantity.Gauge // change by the rule
	Sum   quantity.Gauge // change by the gas law, of the same part: temperature or height
	Basis basis.Basis
}

// Out returns how far the rule is out: positive if it says too high a reading.
func (t Thumb) Out() quantity.Gauge { return t.Says - t.Sum }

// ByThumb returns what the rules of thumb say of a reading: those for
// temperature where the temperatures differ, the one for height where the
// heights do. Each is set against its own part of the sum.
func ByThumb(r Reading, from, to Place) []Thumb {
	var out []Thumb
	if d := to.Temperature - from.Temperature; d != 0 {
		const perKelvin = 1.8 / 10 // psi
		out = append(out,
			Thumb{TenFahrenheit, quantity.Gauge(float64(d) * perKelvin * quantity.PSI), r.ByTemperature, ruleBases[TenFahrenheit]},
			Thumb{ScaledGauge, r.Set * quantity.Gauge(d/from.Temperature), r.ByTemperature, ruleBases[ScaledGauge]})
	}
	if d := to.Height - from.Height; d != 0 {
		out = append(out, Thumb{ThousandFeet, quantity.Gauge(-d.In(1000*quantity.Foot) * quantity.PSI), r.ByHeight, ruleBases[ThousandFeet]})
	}
	return out
}

// PerKelvin returns how much the reading of a tyre changes for each kelvin or
// degree Celsius: (pg + pa)/T. It returns a *quantity.RangeError as Read does.
func PerKelvin(set quantity.Gauge, at Place) (quantity.Gauge, error) {
	if err := quantity.Within("pressure", set, LeastReading, GreatestReading); err != nil {
		return 0, err
	}
	a, err := at.ambient()
	if err != nil {
		return 0, err
	}
	return quantity.Gauge(float64(set.Over(a)) / math.Max(1, float64(at.Temperature))), nil
}
