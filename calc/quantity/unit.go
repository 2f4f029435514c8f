package quantity

import (
	"fmt"
	"math"
	"strings"
)

// Kind says what a unit measures.
type Kind uint8

// The kinds of quantity people type.
const (
	Bare Kind = iota // a number without a unit
	KindLength
	KindMass
	KindForce
	KindPressure
	KindTemperature
	KindAngle
	KindVolume
	Kinds // how many there are
)

var kindNames = [Kinds]string{"a bare number", "a length", "a mass", "a force", "a pressure", "a temperature", "an angle", "a volume"}

// String names the kind with its article: "a length".
func (k Kind) String() string {
	if k < Kinds {
		return kindNames[k]
	}
	return "an unknown kind"
}

// Unit is one unit people type. The zero Unit is none: a bare number.
type Unit uint8

// The units people type. StonePound and FootInch are counted in their smaller
// part (13 st 7 lb is 189 of StonePound) and written in both.
const (
	NoUnit Unit = iota
	MM
	CM
	M
	KM
	IN
	FT
	FootInch
	KG
	G
	LB
	OZ
	StonePound
	N
	KGF
	LBF
	PSIUnit
	BarUnit
	KPAUnit
	MPAUnit
	AtmUnit
	DegC
	DegF
	DegreeUnit
	L
	ML
	FLOZ
	units // how many there are
)

// unit is a row of the unit table: SI = number·scale + offset.
type unit struct {
	symbol        string
	kind          Kind
	scale, offset float64
	words         []string // as typed, lower case; the symbol itself is always one
}

var table = [units]unit{
	NoUnit:     {"", Bare, 1, 0, nil},
	MM:         {"mm", KindLength, float64(Millimetre), 0, []string{"millimetre", "millimetres", "millimeter", "millimeters", "mil", "mils"}},
	CM:         {"cm", KindLength, float64(Centimetre), 0, []string{"centimetre", "centimetres", "centimeter", "centimeters"}},
	M:          {"m", KindLength, 1, 0, []string{"metre", "metres", "meter", "meters", "mètres", "metri", "metros"}},
	KM:         {"km", KindLength, float64(Kilometre), 0, []string{"kilometre", "kilometres", "kilometer", "kilometers"}},
	IN:         {"in", KindLength, float64(Inch), 0, []string{"inch", "inches", "\"", "zoll", "pouce", "pouces", "pulgada", "pulgadas", "pollice", "pollici"}},
	FT:         {"ft", KindLength, float64(Foot), 0, []string{"foot", "feet", "'", "fuß", "fuss", "pied", "pieds"}},
	FootInch:   {"ft in", KindLength, float64(Inch), 0, nil},
	KG:         {"kg", KindMass, 1, 0, []string{"kgs", "kilo", "kilos", "kilogram", "kilograms", "kilogramm", "chili"}},
	G:          {"g", KindMass, float64(Gram), 0, []string{"gram", "grams", "gramm", "grammes", "gr"}},
	LB:         {"lb", KindMass, float64(Pound), 0, []string{"lbs", "pound", "pounds", "pfund", "livres", "libras", "libbre"}},
	OZ:         {"oz", KindMass, float64(Ounce), 0, []string{"ounce", "ounces"}},
	StonePound: {"st", KindMass, float64(Pound), 0, []string{"stone"}},
	N:          {"N", KindForce, 1, 0, []string{"newton", "newtons"}},
	KGF:        {"kgf", KindForce, float64(KilogramForce), 0, []string{"kilogram-force", "kp"}},
	LBF:        {"lbf", KindForce, float64(PoundForce), 0, []string{"pound-force"}},
	PSIUnit:    {"psi", KindPressure, PSI, 0, []string{"psis", "lbs/in2"}},
	BarUnit:    {"bar", KindPressure, Bar, 0, []string{"bars", "bares"}},
	KPAUnit:    {"kPa", KindPressure, Kilopascal, 0, []string{"kilopascal", "kilopascals"}},
	MPAUnit:    {"MPa", KindPressure, 1e6, 0, []string{"megapascal", "megapascals"}},
	AtmUnit:    {"atm", KindPressure, 101325, 0, []string{"atmosphere", "atmospheres"}}, // the standard atmosphere, by definition
	DegC:       {"°C", KindTemperature, 1, zeroCelsius, []string{"c", "degc", "celsius", "centigrade", "grad", "degré", "degrés", "degres", "grado", "grados", "gradi"}},
	DegF:       {"°F", KindTemperature, 5.0 / 9, 459.67 * 5 / 9, []string{"f", "degf", "fahrenheit"}},
	DegreeUnit: {"°", KindAngle, float64(Degree), 0, []string{"deg", "degree", "degrees"}},
	L:          {"l", KindVolume, float64(Litre), 0, []string{"litre", "litres", "liter", "liters", "litro", "litros", "litri"}},
	ML:         {"ml", KindVolume, float64(Millilitre), 0, []string{"cc", "ccm", "cm3", "cmc", "millilitre", "millilitres", "milliliter", "milliliters"}},
	FLOZ:       {"fl oz", KindVolume, float64(FluidOunce), 0, []string{"floz"}},
}

// byWord finds a unit by a word as typed, in lower case.
var byWord = func() map[string]Unit {
	words := make(map[string]Unit)
	for u := range table {
		if Unit(u) == NoUnit {
			continue
		}
		for _, w := range append(table[u].words, strings.ToLower(table[u].symbol)) {
			words[w] = Unit(u)
		}
	}
	return words
}()

// UnitNamed returns the unit that a word means ("kg", "kilos", "″" as "\"").
// The word must be lower case.
func UnitNamed(word string) (Unit, bool) {
	u, ok := byWord[word]
	return u, ok
}

// UnitWords returns every word that names a unit, for indexes of spellings.
func UnitWords() map[string]Unit {
	words := make(map[string]Unit, len(byWord))
	for w, u := range byWord {
		words[w] = u
	}
	return words
}

// Kind returns what u measures.
func (u Unit) Kind() Kind { return table[u].kind }

// String returns the symbol of u: "mm", "psi", "°C".
func (u Unit) String() string { return table[u].symbol }

// SI returns number of u in the coherent SI unit of its kind.
func (u Unit) SI(number float64) float64 { return number*table[u].scale + table[u].offset }

// Number returns an SI value as a number of u.
func (u Unit) Number(si float64) float64 { return (si - table[u].offset) / table[u].scale }

// Measure is a number with its unit, just as somebody gave it. Keeping the
// unit lets a line be written back without a digit changed.
type Measure struct {
	Number float64
	Unit   Unit
}

// SI returns m in the coherent SI unit of its kind.
func (m Measure) SI() float64 { return m.Unit.SI(m.Number) }

// Kind returns what m measures.
func (m Measure) Kind() Kind { return m.Unit.Kind() }

// Length returns m as a Length. It panics if m is none: options check kinds on reading.
func (m Measure) Length() Length { return Length(m.as(KindLength)) }

// Mass returns m as a Mass, and panics as Length does.
func (m Measure) Mass() Mass { return Mass(m.as(KindMass)) }

// Force returns m as a Force, and panics as Length does.
func (m Measure) Force() Force { return Force(m.as(KindForce)) }

// Gauge returns m as a Gauge, and panics as Length does.
func (m Measure) Gauge() Gauge { return Gauge(m.as(KindPressure)) }

// Temperature returns m as a Temperature, and panics as Length does.
func (m Measure) Temperature() Temperature { return Temperature(m.as(KindTemperature)) }

// Volume returns m as a Volume, and panics as Length does.
func (m Measure) Volume() Volume { return Volume(m.as(KindVolume)) }

func (m Measure) as(k Kind) float64 {
	if m.Kind() != k {
		panic(fmt.Sprintf("quantity: %v used as %v", m, k))
	}
	return m.SI()
}

// To returns m as a number of another unit of the same kind.
func (m Measure) To(u Unit) Measure {
	if u == m.Unit {
		return m
	}
	return Measure{Number: u.Number(m.SI()), Unit: u}
}

// String writes m canonically, shortest digits first read back the same:
// "80 kg", "13 st 7 lb", "2.4 in", "-5 °C", "30".
func (m Measure) String() string {
	switch m.Unit {
	case NoUnit:
		return Exact(m.Number)
	case StonePound:
		return compound(m.Number, 14, "st", "lb")
	case FootInch:
		return compound(m.Number, 12, "ft", "in")
	}
	return Exact(m.Number) + " " + table[m.Unit].symbol
}

// compound writes a number of small parts as whole big ones and the rest.
func compound(number, big float64, bigName, smallName string) string {
	sign := ""
	if number < 0 {
		sign, number = "-", -number
	}
	whole := math.Trunc(number / big)
	text := sign + Exact(whole) + " " + bigName
	if rest := Trimmed(number-whole*big, compoundDigits); rest != "0" {
		text += " " + rest + " " + smallName
	}
	return text
}

// compoundDigits is how many decimals of a pound or an inch are kept beside
// stones or feet: more than anybody types, and few enough to read back.
const compoundDigits = 6

// Compound returns a number of stones and pounds (StonePound) or feet and
// inches (FootInch), rounded so that it is written and read back the same: no
// inches leave feet.
func Compound(u Unit, big, small float64) Measure {
	per := 14.0
	if u == FootInch {
		per = 12
		if Nearest.Round(small, 1e-6) == 0 {
			return Measure{big, FT} // as "5 ft" reads back
		}
	}
	if big < 0 {
		small = -small
	}
	return Measure{Nearest.Round(big*per+small, 1e-6), u}
}
