package spoke

import (
	"fmt"
	"math"

	"spokeword/calc/basis"
	"spokeword/calc/build"
	"spokeword/calc/lace"
	"spokeword/calc/quantity"
)

// bracing returns the angle between a spoke and the centre plane.
func bracing(s *lace.Spoke) quantity.Angle {
	return quantity.Angle(math.Asin(min(1, math.Abs(s.Unit.Z))))
}

// BalanceError is returned where no tension can hold the rim in its plane,
// because a side does not pull it towards itself.
type BalanceError struct{ Side build.Side }

// Error names the side.
func (e *BalanceError) Error() string {
	return fmt.Sprintf("%v spokes do not pull the rim to the %v: want flange further out than the rim holes", e.Side, e.Side)
}

// RatioBasis is what a tension ratio rests on.
var RatioBasis = basis.Basis{
	Kind:   basis.Computed,
	Source: "statics of the placed spokes",
	Says:   "one tension on each side; 1 mm of offset on the tighter side moves it by about 5 %",
}

// Ratio returns the tension of the left spokes over that of the right ones
// which holds the rim in its plane, with one tension on each side:
//
//	T_L/T_R = Σ_R sin β / Σ_L sin β
//
// over the placed spokes, sin β being the sideways part of the spoke's
// direction. For equal spokes on each side this is (n_R sin β_R)/(n_L sin β_L).
// It is statics, as good as the offsets: 1 mm on the tighter side moves it by
// about 5 %. It returns a *BalanceError if a side pulls the wrong way or not at
// all.
func Ratio(spokes []lace.Spoke) (float64, error) {
	var pull [2]float64 // towards the own side
	for i := range spokes {
		z := spokes[i].Unit.Z // from hub to rim: negative for a right spoke that braces
		if spokes[i].Side == build.Right {
			z = -z
		}
		pull[spokes[i].Side] += z
	}
	for _, side := range build.Sides {
		// A millionth of a spoke's pull is a flange in the plane of its rim holes.
		if pull[side] < 1e-6 {
			return 0, &BalanceError{Side: side}
		}
	}
	return pull[build.Right] / pull[build.Left], nil
}

// Tensions splits a tension of the tighter side on both sides by ratio, which
// is left over right as Ratio gives it.
func Tensions(tighter quantity.Force, ratio float64) (left, right quantity.Force) {
	if ratio <= 1 {
		return tighter * quantity.Force(ratio), tighter
	}
	return tighter, tighter / quantity.Force(ratio)
}

// Tighter returns the side with the higher tension, right for a ratio of 1.
func Tighter(ratio float64) build.Side {
	if ratio > 1 {
		return build.Left
	}
	return build.Right
}

// Modulus is Young's modulus of spoke wire, in Pa: 200 GPa throughout the
// project. Published for spring wire of the usual stainless steels is 193 GPa;
// the band is 4 %.
const Modulus = 200e9

// StretchBasis is what Stretch rests on.
var StretchBasis = basis.Basis{
	Kind:   basis.Computed,
	Source: "Hooke's law, E 200 GPa",
	Says:   "published modulus of stainless spring wire 193 GPa, so 4 % either way",
}

// RimShrink is how much the rim's radius gives way while the wheel is brought
// to tension, which lets spokes stand further out in their nipples: 0.1 mm to
// 0.3 mm, computed for this project with a ring on spokes.
const (
	LeastRimShrink = 0.1 * quantity.Millimetre
	MostRimShrink  = 0.3 * quantity.Millimetre
)

// Stretch returns by how much a spoke of length l and gauge g grows under the
// force t, part by part:
//
//	ΔL = Σ T·l/(E·A)
//
// Range: l 40 mm to 450 mm, t 0 N to 3000 N; a *build.RangeError outside, a
// *build.MissingError without a gauge.
func Stretch(g build.Gauge, l quantity.Length, t quantity.Force) (quantity.Length, error) {
	if !g.Given() {
		return 0, &build.MissingError{Field: build.FieldGauge, Side: build.NoSide}
	}
	if err := g.Validate(build.NoSide); err != nil {
		return 0, err
	}
	const least, longest, strongest = 40 * quantity.Millimetre, 450 * quantity.Millimetre, 3000 * quantity.Newton
	if !quantity.Finite(l) || l < least || l > longest {
		return 0, &build.RangeError{Field: build.FieldLength, Side: build.NoSide, Value: l, Low: least, High: longest}
	}
	if !quantity.Finite(t) || t < 0 || t > strongest {
		return 0, &build.RangeError{Field: build.FieldTension, Side: build.NoSide, Value: t, Low: quantity.Force(0), High: strongest}
	}
	var sum float64
	for _, p := range g.Parts(l) {
		sum += float64(p.Length) / float64(p.Area)
	}
	return quantity.Length(float64(t) * sum / Modulus), nil
}
