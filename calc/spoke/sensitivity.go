package spoke

import (
	"math"

	"spokeword/calc/build"
	"spokeword/calc/lace"
	"spokeword/calc/quantity"
)

// Sensitivity tells what moves a length: millimetres of spoke for a millimetre
// of the input, the mean over the side's spokes.
type Sensitivity struct {
	ERD        float64 // of the diameter; 0.5 for a radial spoke in the wheel's plane
	Washer     float64 // of its thickness: a washer adds to the radius
	Offset     float64 // of the flange from the centre; the rim's shift away counts the same
	Circle     float64 // of the hole circle's diameter; 0 for straight pull
	FlangeHole float64 // exactly -1/2; 0 for straight pull
	Tangent    float64 // straight pull: of the radius of the tangent circle
	Ahead      float64 // straight pull: of the seat's place along the spoke
	// Angle is the change of length for a change of the angle between hub hole
	// and rim hole, per radian. 0 for straight pull.
	Angle quantity.Length
}

// SensitivityOf returns the derivatives of the side's length by each input,
// everything else held. Analytic, from the placed points:
//
//	elbow          ∂L/∂(2R) = (R − r cos α)/2L   ∂L/∂(2r) = (r − R cos α)/2L
//	               ∂L/∂w = w/L                   ∂L/∂α = Rr sin α/L
//	straight pull  with q = √(R²−b²), l = q − ahead: ∂L/∂(2R) = lR/2qL,
//	               ∂L/∂b = −lb/qL                ∂L/∂ahead = −l/L
//
// with L the geometric length and w the sideways distance between the points.
// The spokes are those that lace.Place gave for w; a side without spokes has
// no sensitivity.
func SensitivityOf(w *build.Wheel, spokes []lace.Spoke, side build.Side) Sensitivity {
	var sum Sensitivity
	f := &w.Half(side).Flange
	n := 0.0
	for i := range spokes {
		s := &spokes[i]
		if s.Side != side {
			continue
		}
		n++
		l := float64(s.Length)
		away := -s.Unit.Z
		if side == build.Left {
			away = -away
		}
		sum.Offset += away
		rim := math.Hypot(float64(s.Rim.X), float64(s.Rim.Y))
		flat := math.Hypot(s.Unit.X, s.Unit.Y)
		if f.Seat == build.StraightPull {
			b := float64(f.Tangent)
			q := math.Sqrt(rim*rim - b*b)
			sum.ERD += flat * rim / q / 2
			sum.Washer += flat * rim / q
			sum.Tangent -= flat * b / q
			sum.Ahead -= flat
			continue
		}
		hub := math.Hypot(float64(s.Hub.X), float64(s.Hub.Y))
		sin, cos := math.Sincos(float64(s.Angle))
		sum.ERD += (rim - hub*cos) / l / 2
		sum.Washer += (rim - hub*cos) / l
		sum.Circle += (hub - rim*cos) / l / 2
		sum.FlangeHole -= 0.5
		sum.Angle += quantity.Length(rim * hub * sin / l)
	}
	if n == 0 {
		return Sensitivity{}
	}
	for _, v := range []*float64{&sum.ERD, &sum.Washer, &sum.Offset, &sum.Circle, &sum.FlangeHole, &sum.Tangent, &sum.Ahead, (*float64)(&sum.Angle)} {
		*v /= n
	}
	return sum
}

// WithCross returns the wheel's lengths with another number of crossings on
// one side, everything else as in w. Its errors are those of lace.Place: a
// number that can't be laced is refused.
func WithCross(w build.Wheel, side build.Side, cross int) (Lengths, error) {
	w.Half(side).Cross = cross
	return LengthsOf(w)
}
