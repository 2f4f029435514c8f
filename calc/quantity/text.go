package quantity

import (
	"math"
	"strconv"
	"strings"
)

// This file writes numbers for people. The rules:
//   - a value is rounded to the nearest step the trade can set or measure;
//   - a maximum is rounded down and a minimum up, so that text never allows
//     what the number forbids;
//   - the reader's unit comes first, the other one behind it in brackets.

// Rounding says which way a number goes when it becomes text.
type Rounding uint8

// The ways of rounding.
const (
	Nearest Rounding = iota
	Down             // for a maximum
	Up               // for a minimum
)

// slack keeps a value that is a whole step but for the last bits from being
// moved a whole step by Down or Up.
const slack = 1e-9

// Round returns v as a whole multiple of step, rounded as r says. A step of 0
// or less leaves v as it is.
func (r Rounding) Round(v, step float64) float64 {
	if step <= 0 {
		return v
	}
	n := v / step
	switch r {
	case Down:
		n = math.Floor(n + slack)
	case Up:
		n = math.Ceil(n - slack)
	default:
		n = math.Round(n)
	}
	return n * step
}

// Exact writes v with the fewest digits that read back as v: "2.4", "30".
func Exact(v float64) string { return strconv.FormatFloat(v, 'f', -1, 64) }

// Fixed writes v with a fixed number of decimals, never as "-0".
func Fixed(v float64, decimals int) string { return r(Nearest, v, decimals) }

// FixedDown writes v as a maximum: rounded down to so many decimals.
func FixedDown(v float64, decimals int) string { return r(Down, v, decimals) }

// FixedUp writes v as a minimum: rounded up to so many decimals.
func FixedUp(v float64, decimals int) string { return r(Up, v, decimals) }

func r(how Rounding, v float64, decimals int) string {
	step := math.Pow10(-decimals)
	v = how.Round(v, step)
	if v == 0 || math.Abs(v) < step/2 {
		v = 0 // no "-0"
	}
	return strconv.FormatFloat(v, 'f', decimals, 64)
}

// Trimmed writes v with at most so many decimals, without trailing noughts.
func Trimmed(v float64, decimals int) string {
	v = Nearest.Round(v, math.Pow10(-decimals))
	if v == 0 {
		v = 0
	}
	s := strconv.FormatFloat(v, 'f', decimals, 64)
	if decimals > 0 {
		for s[len(s)-1] == '0' {
			s = s[:len(s)-1]
		}
		if s[len(s)-1] == '.' {
			s = s[:len(s)-1]
		}
	}
	if s == "-0" {
		s = "0"
	}
	return s
}

// Signed writes v with its sign and at most so many decimals: "+1.5", "−2".
func Signed(v float64, decimals int) string {
	s := Trimmed(v, decimals)
	switch {
	case s == "0":
		return "±0"
	case s[0] == '-':
		return "−" + s[1:]
	}
	return "+" + s
}

// SignedFixed writes v with its sign and a fixed number of decimals: "+0.50".
func SignedFixed(v float64, decimals int) string {
	s := Fixed(v, decimals)
	if s[0] == '-' {
		return "−" + s[1:]
	}
	return "+" + s
}

// Percent writes a share as whole per cent: 0.593 is "59 %".
func Percent(share float64) string { return Fixed(share*100, 0) + " %" }

// Count writes a whole number.
func Count(n int) string { return strconv.Itoa(n) }

// String writes l in the unit of its size, for errors and notes: "61 mm", "2000 m".
func (l Length) String() string {
	if math.Abs(float64(l)) >= 5 {
		return Trimmed(float64(l), 1) + " m"
	}
	return Trimmed(l.MM(), 2) + " mm"
}

// String writes m in kilograms: "80 kg".
func (m Mass) String() string { return Trimmed(float64(m), 2) + " kg" }

// String writes f in newtons: "1000 N".
func (f Force) String() string { return Trimmed(float64(f), 1) + " N" }

// String writes g in bar: "1.52 bar".
func (g Gauge) String() string { return Trimmed(g.In(Bar), 3) + " bar" }

// String writes a in hectopascals: "1013.25 hPa".
func (a Absolute) String() string { return Trimmed(float64(a)/100, 2) + " hPa" }

// String writes t in degrees Celsius: "20 °C".
func (t Temperature) String() string { return Trimmed(t.Celsius(), 1) + " °C" }

// String writes a in degrees: "67.5°".
func (a Angle) String() string { return Trimmed(a.In(Degree), 2) + "°" }

// String writes v in litres: "6.3 l".
func (v Volume) String() string { return Trimmed(v.In(Litre), 3) + " l" }

// String writes a in square millimetres: "1329 mm²".
func (a Area) String() string { return Trimmed(a.In(SquareMillimetre), 1) + " mm²" }

// String writes s in newtons per millimetre: "152.6 N/mm".
func (s Stiffness) String() string { return Trimmed(s.In(NewtonPerMillimetre), 1) + " N/mm" }

// String writes s in newton metres per degree: "224.8 N·m/°".
func (s AngularStiffness) String() string { return Trimmed(s.In(NewtonMetrePerDegree), 1) + " N·m/°" }

// String writes r in N·m²: "110 N·m²".
func (r Rigidity) String() string { return Trimmed(float64(r), 1) + " N·m²" }

// pressureSteps is what a pump gauge lets one set, by unit: half a psi (the
// trade's smallest step), a hundredth of a bar or an atmosphere, a kilopascal.
var pressureSteps = map[Unit]struct {
	step     float64
	decimals int
}{PSIUnit: {0.5, 1}, BarUnit: {0.01, 2}, KPAUnit: {1, 0}, MPAUnit: {0.001, 3}, AtmUnit: {0.01, 2}}

// fineBelow is the pressure in psi below which a tenth matters and low gauges
// show it.
const fineBelow = 12

// Number writes g in the given unit of pressure, rounded to what can be set,
// without the unit: "23.5", "1.62".
func (g Gauge) Number(u Unit, how Rounding) string {
	s := pressureSteps[u]
	v := u.Number(float64(g))
	// A tenth, not half a psi, in fat tyres and for limits: rounding a marked
	// 36.3 psi down to 36 is safe but reads as another mark.
	step := s.step
	if u == PSIUnit && (how != Nearest || v < fineBelow) {
		step = 0.1
	}
	return Fixed(how.Round(v, step), s.decimals)
}

// other is the unit shown behind the first one.
var other = map[Unit]Unit{
	PSIUnit: BarUnit, BarUnit: PSIUnit, KPAUnit: PSIUnit, MPAUnit: PSIUnit, AtmUnit: PSIUnit,
	KG: LB, LB: KG, StonePound: KG, G: OZ, OZ: G,
	MM: IN, IN: MM, CM: IN, M: FT, FT: M,
	DegC: DegF, DegF: DegC,
}

// Other returns the unit that is shown behind u, of the other system of units.
func Other(u Unit) Unit { return other[u] }

// Text writes g in the unit asked for first and the other one behind:
// "23.5 psi (1.62 bar)".
func (g Gauge) Text(first Unit, how Rounding) string {
	if other[first].Kind() != KindPressure {
		first = PSIUnit
	}
	second := other[first]
	return strings.TrimSuffix(g.Number(first, how), ".0") + " " + first.String() +
		" (" + strings.TrimSuffix(g.Number(second, how), ".0") + " " + second.String() + ")"
}

// Text writes m in the unit asked for first and the other one behind:
// "80 kg (176 lb)", "13 st 7 lb (85.7 kg)".
func (m Mass) Text(first Unit) string {
	if first.Kind() != KindMass {
		first = KG
	}
	second := other[first]
	return m.in(first) + " (" + m.in(second) + ")"
}

func (m Mass) in(u Unit) string {
	n := u.Number(float64(m))
	switch u {
	case LB:
		return Fixed(n, 0) + " lb"
	case StonePound:
		return Measure{Nearest.Round(n, 1), u}.String()
	}
	return Trimmed(n, 1) + " " + u.String()
}

// Short writes l in millimetres with at most one decimal: "61.1 mm".
func (l Length) Short() string { return Trimmed(l.MM(), 1) + " mm" }

// Text writes l as tyre and frame widths are written, millimetres and inches,
// the unit asked for first: "61.1 mm (2.41 in)".
func (l Length) Text(first Unit) string {
	mm, in := Trimmed(l.MM(), 1)+" mm", Fixed(l.In(Inch), 2)+" in"
	if first == IN {
		return in + " (" + mm + ")"
	}
	return mm + " (" + in + ")"
}

// Text writes t in the unit asked for first and the other one behind: "-5 °C (23 °F)".
func (t Temperature) Text(first Unit) string {
	c, f := Trimmed(t.Celsius(), 1)+" °C", Fixed(t.Fahrenheit(), 0)+" °F"
	if first == DegF {
		return f + " (" + c + ")"
	}
	return c + " (" + f + ")"
}

// echoes says in which unit of the other system a measure is echoed, and with
// how many decimals.
var echoes = map[Unit]struct {
	unit     Unit
	decimals int
}{
	KG: {LB, 0}, LB: {KG, 1}, StonePound: {KG, 1}, G: {OZ, 1}, OZ: {G, 0},
	MM: {IN, 2}, CM: {IN, 2}, IN: {MM, 1}, M: {FT, 1}, FT: {M, 1}, FootInch: {M, 2},
	N: {KGF, 0}, KGF: {N, 0}, LBF: {N, 0},
	PSIUnit: {BarUnit, 2}, BarUnit: {PSIUnit, 1}, KPAUnit: {PSIUnit, 1}, MPAUnit: {PSIUnit, 1}, AtmUnit: {PSIUnit, 1},
	DegC: {DegF, 0}, DegF: {DegC, 1},
}

// Other writes m in the other system of units, rounded, as an echo of what was
// read: 82 kg is "181 lb". It is empty where the trade has no other.
func (m Measure) Other() string {
	to, ok := echoes[m.Unit]
	if !ok {
		return ""
	}
	return Trimmed(to.unit.Number(m.SI()), to.decimals) + " " + to.unit.String()
}
