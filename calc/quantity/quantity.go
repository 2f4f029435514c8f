// Package quantity holds the physical quantities of the trade: SI inside, the
// reader's units outside.
//
// A quantity is a float64 with a type, in the coherent SI unit. Write
// quantity.Gauge(1.5 * quantity.Bar), read g.In(quantity.PSI). Text in both
// directions lives here and nowhere else: a maximum is rounded down, a minimum
// up (see Rounding).
package quantity

import "math"

// Length is a distance in metres.
type Length float64

// Units of Length. The inch is exactly 25.4 mm (international inch, 1959).
const (
	Metre      Length = 1
	Millimetre        = Metre / 1000
	Centimetre        = Metre / 100
	Kilometre         = Metre * 1000
	Inch              = 25.4 * Millimetre
	Foot              = 12 * Inch
	Mile              = 5280 * Foot
)

// In returns l as a number of the given unit.
func (l Length) In(unit Length) float64 { return float64(l / unit) }

// MM returns l in millimetres.
func (l Length) MM() float64 { return l.In(Millimetre) }

// Mass is a mass in kilograms.
type Mass float64

// Units of Mass. The pound is exactly 0.45359237 kg (international pound, 1959).
const (
	Kilogram Mass = 1
	Gram          = Kilogram / 1000
	Pound         = 0.45359237 * Kilogram
	Ounce         = Pound / 16
	Stone         = 14 * Pound
)

// StandardGravity is the conventional acceleration of fall, 9.80665 m/s²,
// exact by definition (3rd CGPM, 1901).
const StandardGravity = 9.80665

// In returns m as a number of the given unit.
func (m Mass) In(unit Mass) float64 { return float64(m / unit) }

// Weight returns the force of m under standard gravity.
func (m Mass) Weight() Force { return Force(float64(m) * StandardGravity) }

// Force is a force in newtons.
type Force float64

// Units of Force, exact by definition.
const (
	Newton        Force = 1
	KilogramForce       = StandardGravity * Newton
	PoundForce          = 0.45359237 * StandardGravity * Newton
)

// In returns f as a number of the given unit.
func (f Force) In(unit Force) float64 { return float64(f / unit) }

// Units of pressure in pascals, for Gauge and Absolute alike. The psi is
// exactly one pound-force on one square inch: 4.4482216152605 N / (25.4 mm)².
const (
	Pascal     = 1.0
	Kilopascal = 1e3 * Pascal
	Bar        = 1e5 * Pascal
	PSI        = 4.4482216152605 / (0.0254 * 0.0254) * Pascal
)

// Gauge is a pressure above the surrounding air, in pascals: what a tyre
// gauge shows.
type Gauge float64

// In returns g as a number of the given unit of pressure.
func (g Gauge) In(unit float64) float64 { return float64(g) / unit }

// Over returns the absolute pressure of g in surrounding air of the given pressure.
func (g Gauge) Over(ambient Absolute) Absolute { return Absolute(g) + ambient }

// Absolute is a pressure above vacuum, in pascals: what the gas law takes.
type Absolute float64

// In returns a as a number of the given unit of pressure.
func (a Absolute) In(unit float64) float64 { return float64(a) / unit }

// Above returns what a gauge shows for a in surrounding air of the given pressure.
func (a Absolute) Above(ambient Absolute) Gauge { return Gauge(a - ambient) }

// Temperature is a thermodynamic temperature in kelvins.
type Temperature float64

const zeroCelsius = 273.15 // K, exact by definition

// Celsius returns the temperature of c degrees Celsius.
func Celsius(c float64) Temperature { return Temperature(c + zeroCelsius) }

// Fahrenheit returns the temperature of f degrees Fahrenheit.
func Fahrenheit(f float64) Temperature { return Temperature((f + 459.67) * 5 / 9) }

// Celsius returns t in degrees Celsius.
func (t Temperature) Celsius() float64 { return float64(t) - zeroCelsius }

// Fahrenheit returns t in degrees Fahrenheit.
func (t Temperature) Fahrenheit() float64 { return float64(t)*9/5 - 459.67 }

// Angle is a plane angle in radians.
type Angle float64

// Units of Angle.
const (
	Radian Angle = 1
	Degree       = math.Pi / 180 * Radian
	Turn         = 2 * math.Pi * Radian
)

// In returns a as a number of the given unit.
func (a Angle) In(unit Angle) float64 { return float64(a / unit) }

// Volume is a volume in cubic metres.
type Volume float64

// Units of Volume. The fluid ounce is the US one, exactly 231 in³ / 128.
const (
	CubicMetre Volume = 1
	Litre             = CubicMetre / 1000
	Millilitre        = Litre / 1000
	FluidOunce        = 231.0 / 128 * 25.4 * 25.4 * 25.4 * 1e-9 * CubicMetre
)

// In returns v as a number of the given unit.
func (v Volume) In(unit Volume) float64 { return float64(v / unit) }

// Area is an area in square metres.
type Area float64

// Units of Area.
const (
	SquareMetre      Area = 1
	SquareMillimetre      = SquareMetre / 1e6
	SquareInch            = 25.4 * 25.4 * SquareMillimetre
)

// In returns a as a number of the given unit.
func (a Area) In(unit Area) float64 { return float64(a / unit) }

// Stiffness is a force per displacement in newtons per metre.
type Stiffness float64

// Units of Stiffness.
const (
	NewtonPerMetre      Stiffness = 1
	NewtonPerMillimetre           = 1000 * NewtonPerMetre
)

// In returns s as a number of the given unit.
func (s Stiffness) In(unit Stiffness) float64 { return float64(s / unit) }

// AngularStiffness is a torque per angle in N·m/rad.
type AngularStiffness float64

// Units of AngularStiffness.
const (
	NewtonMetrePerRadian AngularStiffness = 1
	NewtonMetrePerDegree                  = NewtonMetrePerRadian * AngularStiffness(Radian/Degree)
)

// In returns s as a number of the given unit.
func (s AngularStiffness) In(unit AngularStiffness) float64 { return float64(s / unit) }

// Rigidity is what a section sets against being bent or twisted, E·I or G·J,
// in N·m².
type Rigidity float64

// Units of Rigidity.
const (
	NewtonMetre2      Rigidity = 1
	NewtonMillimetre2          = NewtonMetre2 / 1e6
)

// In returns r as a number of the given unit.
func (r Rigidity) In(unit Rigidity) float64 { return float64(r / unit) }

// Finite reports whether every value is a number: neither NaN nor infinite.
func Finite[T ~float64](values ...T) bool {
	for _, v := range values {
		if math.IsNaN(float64(v)) || math.IsInf(float64(v), 0) {
			return false
		}
	}
	return true
}
