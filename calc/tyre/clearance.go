package tyre

import (
	"spokeword/calc/basis"
	"spokeword/calc/quantity"
)

// knobs is how much tread and knobs add to the width of a casing known only
// by its label. Assumption.
const knobs = 2.5 * mm

// What clearance rules ask on each side.
const (
	// RacingClearance is asked of racing bikes: EN 14781, 4.10.2, as quoted.
	RacingClearance = 4 * mm
	// OtherClearance is asked of other bikes: a manual reflecting ISO 4210; the
	// clause itself was not seen.
	OtherClearance = 6 * mm
	// AnyClearance is asked at any point: US 16 CFR 1512.11 (1/16 in).
	AnyClearance = 1.6 * mm
	// MudClearance and MuchMudClearance are what mud wants. Common practice, no
	// source.
	MudClearance     = 6 * mm
	MuchMudClearance = 10 * mm
)

// Bases of the clearance rules.
var (
	RacingClearanceBasis = basis.Basis{Kind: basis.Standard, Source: "EN 14781, 4.10.2, as quoted", Says: "4 mm on racing bikes"}
	OtherClearanceBasis  = basis.Basis{Kind: basis.Article, Source: "a manual reflecting ISO 4210", Says: "6 mm on other bikes"}
	AnyClearanceBasis    = basis.Basis{Kind: basis.Standard, Source: "US 16 CFR 1512.11", Says: "1.6 mm at any point"}
	MudClearanceBasis    = basis.Basis{Kind: basis.Practice, Says: "mud wants 6 to 10 mm"}
)

// Clearance is the room beside a tyre in a frame or fork.
type Clearance struct {
	Width  quantity.Length // of the tyre, over the tread or knobs
	Side   quantity.Length // on each side of a centred tyre; negative if it doesn't go in
	Racing bool            // at least RacingClearance
	Other  bool            // at least OtherClearance
	Any    bool            // at least AnyClearance
	Mud    bool            // at least MudClearance
}

// Clear returns the room in a gap beside a tyre whose width was measured over
// its widest part:
//
//	side = (gap − width)/2
//
// It returns a *RangeError for gaps outside 10 to 250 mm and widths outside 10
// to 150 mm.
func Clear(gap, measured quantity.Length) (Clearance, error) {
	if err := within("gap", gap, 10*mm, 250*mm); err != nil {
		return Clearance{}, err
	}
	if err := within("tyre width", measured, 10*mm, 150*mm); err != nil {
		return Clearance{}, err
	}
	side := (gap - measured) / 2
	const rounding = 1e-9 // m; 4 mm given is 4 mm passed
	return Clearance{
		Width: measured, Side: side,
		Racing: side >= RacingClearance-rounding,
		Other:  side >= OtherClearance-rounding,
		Any:    side >= AnyClearance-rounding,
		Mud:    side >= MudClearance-rounding,
	}, nil
}

// ClearLabel is Clear for a tyre known by its label: the computed width on the
// rim and 2.5 mm for knobs (assumption). See Section.WidthBand for how far the
// real width may lie from it.
func ClearLabel(gap quantity.Length, s Section) (Clearance, error) {
	return Clear(gap, s.Width+knobs)
}
