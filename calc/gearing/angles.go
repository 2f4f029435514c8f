package gearing

import (
	"math"

	"spokeword/calc/basis"
	"spokeword/calc/quantity"
)

// Geometry holds the lengths and angles of a bike that count when its wheels
// change. A zero is one not known, and a usual one is taken.
type Geometry struct {
	Wheelbase quantity.Length // along the ground
	Chainstay quantity.Length // middle of the bottom bracket to the rear axle, straight
	Drop      quantity.Length // bottom bracket below the rear axle
	HeadAngle quantity.Angle  // from the ground; matters to a longer fork only
	// Longer is how much longer from axle to crown the fork becomes, negative if
	// shorter.
	Longer quantity.Length
}

// What is taken where Geometry is zero: a mountain bike of today. Assumptions;
// they must be said in the answer.
const (
	UsualWheelbase = 1220 * mm
	UsualChainstay = 435 * mm
	UsualDrop      = 30 * mm
	UsualHeadAngle = 65.5 * quantity.Degree
)

// AnglesBasis is what Turn rests on.
var AnglesBasis = basis.Basis{Kind: basis.Computed, Source: "rigid bike on two wheels, plane geometry", Says: "no rider on it: sag, and how far each tyre goes down, come on top"}

// Assumed says which lengths and angles were taken as usual.
type Assumed struct{ Wheelbase, Chainstay, Drop, HeadAngle bool }

// Turned is what other wheels do to a bike.
type Turned struct {
	// Front and Rear are how much higher the axles stand: the change of the
	// outside radii.
	Front, Rear quantity.Length
	// Bracket is how much higher the bottom bracket stands, negative if lower.
	Bracket quantity.Length
	// Angle is how far the frame leans back: head and seat angle become slacker
	// by it, steeper if it is negative.
	Angle quantity.Angle
	// Wheelbase is how much longer the wheelbase becomes.
	Wheelbase quantity.Length
	Geometry  Geometry // as used, usual values filled in
	Assumed   Assumed
}

// Wheels are the two wheels of a bike.
type Wheels struct{ Front, Rear Wheel }

// Turn returns what other wheels, and a longer fork, do to a bike's bottom
// bracket and angles: the frame stays as it is and turns about the rear axle
// until both wheels stand. For small changes of the radii
//
//	Δbracket = ΔR_rear (1 − x/WB) + ΔR_front x/WB, x = √(chainstay² − drop²)
//	Δangle = (ΔR_front − ΔR_rear)/WB, + = slacker
//
// to 1 %; the turn itself is worked out exactly. A fork 10 mm longer slackens by
// 0.4 to 0.5°. It returns a *quantity.RangeError for diameters outside the
// ranges, wheelbases outside 0.6 to 2.5 m, chainstays outside 0.25 to 1 m,
// drops outside −150 to 150 mm, head angles outside 50 to 80° and forks changed
// by more than 150 mm.
func Turn(before, after Wheels, g Geometry) (Turned, error) {
	var out Turned
	usual(&g.Wheelbase, UsualWheelbase, &out.Assumed.Wheelbase)
	usual(&g.Chainstay, UsualChainstay, &out.Assumed.Chainstay)
	usual(&g.Drop, UsualDrop, &out.Assumed.Drop)
	usual(&g.HeadAngle, UsualHeadAngle, &out.Assumed.HeadAngle)
	for _, c := range [...]struct {
		what           string
		got, low, high quantity.Length
	}{
		{"wheelbase", g.Wheelbase, 600 * mm, 2500 * mm}, {"chainstay", g.Chainstay, 250 * mm, min(1000*mm, g.Wheelbase)},
		{"bottom bracket drop", g.Drop, -150 * mm, 150 * mm}, {"fork longer by", g.Longer, -150 * mm, 150 * mm},
	} {
		if err := quantity.Within(c.what, c.got, c.low, c.high); err != nil {
			return Turned{}, err
		}
	}
	if err := quantity.Within("head angle", g.HeadAngle, 50*quantity.Degree, 80*quantity.Degree); err != nil {
		return Turned{}, err
	}
	out.Geometry = g
	var r [4]float64
	for i, w := range [...]Wheel{before.Front, before.Rear, after.Front, after.Rear} {
		d, err := w.check()
		if err != nil {
			return Turned{}, err
		}
		r[i] = float64(d) / 2
	}
	front1, rear1, front2, rear2 := r[0], r[1], r[2], r[3]
	out.Front, out.Rear = quantity.Length(front2-front1), quantity.Length(rear2-rear1)

	// The front axle as seen from the rear one, on the bike as it stood; a
	// longer fork pushes it down and forwards along the steering axis.
	x, y := float64(g.Wheelbase), front1-rear1
	sin, cos := math.Sincos(float64(g.HeadAngle))
	x, y = x+float64(g.Longer)*cos, y-float64(g.Longer)*sin
	between := math.Hypot(x, y)
	stands := math.Asin((front2 - rear2) / between)
	turn := stands - math.Atan2(y, x)
	out.Angle = quantity.Angle(turn)
	out.Wheelbase = quantity.Length(between*math.Cos(stands)) - g.Wheelbase

	drop := float64(g.Drop)
	ahead := math.Sqrt(float64(g.Chainstay)*float64(g.Chainstay) - drop*drop)
	sin, cos = math.Sincos(turn)
	out.Bracket = out.Rear + quantity.Length(ahead*sin+drop*(1-cos))
	return out, nil
}

func usual[T ~float64](v *T, u T, assumed *bool) {
	if *v == 0 {
		*v, *assumed = u, true
	}
}
