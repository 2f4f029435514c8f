// Package build describes a wheel as plain data: two flanges, a rim, the
// lacing and the wire. It computes nothing but what follows from one part by
// itself; package lace places the spokes, and every further model starts there.
//
// Left is the side away from the drive, right the drive side, for front wheels
// too. A zero value means "not given" wherever zero can't be meant.
package build

import "spokeword/calc/quantity"

// Side is one side of the wheel.
type Side uint8

// The two sides. A disc sits on the left, a sprocket on the right.
const (
	Left Side = iota
	Right
	NoSide // of errors that are of neither
)

// Sides lists both sides, left first, as pairs are written.
var Sides = [2]Side{Left, Right}

// String names the side, "" for neither.
func (s Side) String() string { return [...]string{"left", "right", ""}[min(s, NoSide)] }

// Other returns the opposite of Left or Right.
func (s Side) Other() Side { return s ^ 1 }

// End tells which wheel of the bike is meant.
type End uint8

// The ends; the zero value is "not given".
const (
	AnyEnd End = iota
	Front
	Rear
)

// String names the end, "" for the one not given.
func (e End) String() string { return [...]string{"", "front", "rear"}[min(e, Rear)] }

// Brake tells what stops the wheel.
type Brake uint8

// The brakes; the zero value is "not given".
const (
	AnyBrake Brake = iota
	RimBrake
	DiscBrake
)

// String names the brake, "" for the one not given.
func (b Brake) String() string { return [...]string{"", "rim", "disc"}[min(b, DiscBrake)] }

// Seat is how a hub holds its spokes.
type Seat uint8

// The seats.
const (
	Elbow        Seat = iota // the spoke is bent and hangs in a flange hole
	StraightPull             // the head sits in a bore along the spoke
)

// Pattern is the way in which rim holes are given to the two sides and to
// pulling and pushing spokes. A radial side is Crossed with 0 crossings; a
// flange with paired holes is Crossed with Flange.Pairing.
type Pattern uint8

// The patterns.
const (
	Crossed   Pattern = iota // sides alternate along the rim, pulling and pushing along each side
	TwoToOne                 // one spoke of the single side, then two of the double side
	CrowsFoot                // on each side threes: pulling, radial, pushing
)

// String names the pattern.
func (p Pattern) String() string {
	return [...]string{"crossed", "2:1", "crow's foot"}[min(p, CrowsFoot)]
}

// Heads tells which spokes of a side have their head on the outside of the
// flange. Such a spoke is pushed through from the outside and runs along the
// inner face (inbound). It moves no length in this model; it decides what
// passes over what.
type Heads uint8

// The arrangements. PullingOut is common practice on both sides, without a source.
const (
	PullingOut Heads = iota // pulling and radial spokes have the head outside
	PushingOut              // pushing spokes have the head outside, the others inside
	AllOut
	AllIn
)

// UsualFlangeHole is the hole for spokes of 2.0 mm ends: 2.5 mm, common
// practice without a source; hubs run from 2.3 mm to 3.2 mm. 0.1 mm moves a
// length by 0.05 mm.
const UsualFlangeHole = 2.5 * quantity.Millimetre

// Flange is one flange of a hub.
type Flange struct {
	Seat   Seat
	Offset quantity.Length // centre plane of the wheel to the middle of the flange, 0 mm to 80 mm
	Holes  int             // holes or bores in this flange, 4 to 36; empty ones count

	// Elbow seats.
	Circle       quantity.Length  // diameter of the circle through the hole centres, 20 mm to 400 mm
	HoleDiameter quantity.Length  // 2 mm to 4 mm
	Pairing      quantity.Angle   // holes in pairs this far apart; 0: equally spaced
	Turn         quantity.Angle   // holes turned in the rolling direction from midway between those of the other flange
	Angles       []quantity.Angle // every hole's angle in the rolling direction from a mark common to both flanges, in rising order, if the spacing is neither even nor paired

	// Straight-pull seats.
	Tangent quantity.Length // radius of the circle about the axle that the spoke lines touch, 0 mm (radial bore) to 80 mm
	Ahead   quantity.Length // head seat ahead of the foot of the perpendicular, towards the rim; negative behind it; -60 mm to 60 mm
}

// Radius returns the radius of the hole circle.
func (f Flange) Radius() quantity.Length { return f.Circle / 2 }

// Half is what belongs to one side of a wheel.
type Half struct {
	Flange Flange
	// Cross is the number of crossings, 0 for radial. A crow's foot counts the
	// flange holes that its outer spokes step over. A straight-pull flange has
	// its crossings built in and takes no notice.
	Cross int
	// Wide takes the wider of the two angles that paired holes and the double
	// side of 2:1 allow: 360°/m (X + 1/6) in place of 360°/m (X − 1/6).
	Wide  bool
	Heads Heads
	Gauge Gauge
}

// Rim is what a rim gives a wheel model.
type Rim struct {
	// ERD is the diameter of the circle on which the spoke ends lie, here the
	// slot floor of the nipple; 120 mm to 850 mm.
	ERD   quantity.Length
	Holes int // 12 to 72
	// ShiftLeft is how far the spoke holes as a whole lie towards the left of
	// the centre plane; negative towards the right; -15 mm to 15 mm.
	ShiftLeft quantity.Length
	// Stagger is how far each hole lies towards its own flange; negative if
	// the spokes cross over the centre of the rim; -30 mm to 30 mm.
	Stagger quantity.Length
	// Angles holds every hole's angle from the valve in the rolling direction,
	// in rising order, if the holes are not equally spaced.
	Angles      []quantity.Angle
	TensionMark quantity.Force // greatest spoke tension marked on the rim; 0: not known
}

// Join says which hub hole a rim hole's spoke comes from.
type Join struct {
	Rim  int // rim hole, 0 the first after the valve in the rolling direction
	Side Side
	Hub  int // hole of that flange
}

// Wheel is a wheel as it is to be built.
type Wheel struct {
	End   End
	Brake Brake
	Motor bool // the hub drives the wheel by itself

	Left, Right Half
	Rim         Rim
	Pattern     Pattern
	Single      Side            // of TwoToOne: the side with one third of the spokes
	Washer      quantity.Length // thickness under the nipple head, 0 mm to 3 mm

	// Joins lists every spoke of a wheel that follows no pattern. Pattern,
	// Cross and Wide then place no spoke; on a paired flange Cross and Wide
	// still tell which neighbours are a pair: (0,1), (2,3) … if Cross is even
	// and Wide set or neither, else (1,2), (3,4) …
	Joins []Join
}

// Half returns what belongs to the given side.
func (w *Wheel) Half(s Side) *Half {
	if s == Right {
		return &w.Right
	}
	return &w.Left
}

// Torque reports whether the hub is known to turn the rim: a rear wheel, a
// wheel with a disc, a hub motor.
func (w *Wheel) Torque() bool { return w.End == Rear || w.Brake == DiscBrake || w.Motor }

// Spokes returns how many spokes the pattern gives to a side; with Joins, how
// many are listed.
func (w *Wheel) Spokes(s Side) int {
	if len(w.Joins) > 0 {
		n := 0
		for _, j := range w.Joins {
			if j.Side == s {
				n++
			}
		}
		return n
	}
	switch {
	case w.Pattern != TwoToOne:
		return w.Rim.Holes / 2
	case s == w.Single:
		return w.Rim.Holes / 3
	default:
		return w.Rim.Holes - w.Rim.Holes/3
	}
}
