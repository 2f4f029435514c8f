package tyre

import (
	"fmt"

	"spokeword/calc/basis"
	"spokeword/calc/quantity"
)

// HooklessMax is the highest pressure on a straight-side rim, whatever tyre
// and rim carry: 5 bar or 72.5 psi; the lower of the two readings is taken.
//
// Source: industry standard for tubeless road tyres, as quoted in a trade
// article.
const HooklessMax = quantity.Gauge(72.5 * quantity.PSI)

// Limits are the marks of one wheel; 0 is a mark not known.
type Limits struct {
	TyreMax  quantity.Gauge
	TyreMin  quantity.Gauge
	RimMax   quantity.Gauge
	Hookless bool
}

// MaxRule says what sets a maximum.
type MaxRule uint8

// What can set a maximum, the firmest first.
const (
	TyreMark       MaxRule = iota + 1 // the tyre's own maximum
	RimMark                           // the rim's own maximum
	HooklessRule                      // HooklessMax
	GenericCeiling                    // Ceiling, while the tyre's mark is unknown
)

// Maximum is the pressure that must not be exceeded.
type Maximum struct {
	Pressure quantity.Gauge
	Rule     MaxRule
	Basis    basis.Basis
	// RimUnknown is set on hookless rims whose own mark isn't known: wide ones
	// carry marks far below HooklessMax, and no wished pressure is fine until
	// the mark has been read.
	RimUnknown bool
	// TyreUnknown is set where the tyre's mark isn't known.
	TyreUnknown bool
}

// Ceiling returns the pressure above which no start is given while the marks
// are unknown: 7.5 bar below 30 mm, 5 bar below 45, 3.5 bar below 60, 2.5 bar
// from there. Assumption.
func Ceiling(label quantity.Length) quantity.Gauge {
	switch {
	case label < 30*mm:
		return 7.5 * quantity.Bar
	case label < 45*mm:
		return 5 * quantity.Bar
	case label < 60*mm:
		return 3.5 * quantity.Bar
	}
	return 2.5 * quantity.Bar
}

// Max returns the binding maximum of a wheel: the lowest of the tyre's mark,
// the rim's mark, HooklessMax on hookless rims, and Ceiling while the tyre's
// mark is unknown.
//
// Source: ISO 4210-1 has the lower of the tyre's and the rim's mark bind.
func (l Limits) Max(label quantity.Length) Maximum {
	m := Maximum{TyreUnknown: l.TyreMax == 0, RimUnknown: l.Hookless && l.RimMax == 0}
	lower := func(p quantity.Gauge, rule MaxRule, b basis.Basis) {
		if p > 0 && (m.Rule == 0 || p < m.Pressure) {
			m.Pressure, m.Rule, m.Basis = p, rule, b
		}
	}
	lower(l.TyreMax, TyreMark, basis.Basis{Kind: basis.Standard, Source: "ISO 4210-1", Says: "the lower of the tyre's and the rim's mark binds"})
	lower(l.RimMax, RimMark, basis.Basis{Kind: basis.Standard, Source: "ISO 4210-1", Says: "the lower of the tyre's and the rim's mark binds"})
	if l.Hookless {
		lower(HooklessMax, HooklessRule, basis.Basis{Kind: basis.Standard, Source: "industry standard for tubeless road tyres, as quoted in a trade article", Says: "5 bar or 72.5 psi on straight-side rims"})
	}
	if l.TyreMax == 0 {
		// A tyre marked with a higher minimum stands at least that much.
		lower(max(Ceiling(label), l.TyreMin), GenericCeiling, basis.Basis{Kind: basis.Assumption, Says: "never above this while the tyre's mark is unknown"})
	}
	return m
}

// check refuses marks that can't be: negative, not finite, above 15 bar, or a
// minimum above the maximum.
func (l Limits) check(label quantity.Length) error {
	const most = quantity.Gauge(15 * quantity.Bar)
	for _, mark := range [...]struct {
		what string
		p    quantity.Gauge
	}{{"tyre's maximum", l.TyreMax}, {"tyre's minimum", l.TyreMin}, {"rim's maximum", l.RimMax}} {
		if err := within(mark.what, mark.p, 0, most); err != nil {
			return err
		}
	}
	if m := l.Max(label); l.TyreMin > m.Pressure {
		return &MarksError{Min: l.TyreMin, Max: m}
	}
	return nil
}

// MarksError says that no pressure satisfies the marks: the tyre's minimum
// lies above the binding maximum.
type MarksError struct {
	Min quantity.Gauge
	Max Maximum
}

func (e *MarksError) Error() string {
	return fmt.Sprintf("tyre's minimum %v: want at most %v", e.Min, e.Max.Pressure)
}

// Exceeds reports whether a wished or read pressure is above the maximum.
func (m Maximum) Exceeds(p quantity.Gauge) bool { return p > m.Pressure }

// Unit is the unit a bare pressure is taken to be in.
type Unit uint8

// The units a bare pressure can have.
const (
	UnitUnclear Unit = iota // both fit or neither: ask
	UnitBar
	UnitPSI
)

// BareUnit says in which unit a pressure typed without one is: the one in
// which it lies within 0.5 to 1.8 times the model's start for the tyre, if it
// does so in just one. Without a start (0) only 1.2 to 2.6 is bar and 15 to 45
// psi. Common practice in reading; assumption.
func BareUnit(number float64, start quantity.Gauge) Unit {
	if !quantity.Finite(number) || !quantity.Finite(start) {
		return UnitUnclear
	}
	bar, psi := number >= 1.2 && number <= 2.6, number >= 15 && number <= 45
	if start > 0 {
		near := func(p quantity.Gauge) bool { return p >= start/2 && p <= start*18/10 }
		bar, psi = near(quantity.Gauge(number*quantity.Bar)), near(quantity.Gauge(number*quantity.PSI))
	}
	switch {
	case bar && !psi:
		return UnitBar
	case psi && !bar:
		return UnitPSI
	}
	return UnitUnclear
}
