// Package lace places the spokes of a wheel in space, and says what can be
// laced at all. Lengths, tension ratio, ring model, truing, steps and pictures
// start from its spokes.
//
// The frame is right-handed with its origin in the middle of the axle: x
// forward, y up, z along the axle to the right (drive) side, in metres. The
// valve is at the top. Angles about the axle are counted from the valve in the
// rolling direction, which is clockwise seen from the right. Rim hole 0 is the
// first after the valve in that direction; it belongs to the right side, in
// 2:1 to the single side.
//
// The wire is taken as a straight line between the middle of the flange hole
// and the circle of the spoke ends; flange thickness, head and elbow are not
// in it. That is the usual model of all spoke-length formulas, good to about
// 0.5 mm on a real wheel (common practice without a source).
package lace

import (
	"cmp"
	"math"
	"slices"

	"spokeword/calc/build"
	"spokeword/calc/quantity"
)

// Point is a place in the frame of the package.
type Point struct{ X, Y, Z quantity.Length }

// Vector is a direction in the frame of the package, of length 1.
type Vector struct{ X, Y, Z float64 }

// Way is which way a spoke leans.
type Way uint8

// The ways. A pulling (trailing) spoke is pulled tighter when the hub drives
// the rim: its hub hole lies ahead of its rim hole in the rolling direction.
const (
	Radial Way = iota
	Pulling
	Pushing
)

// String names the way.
func (w Way) String() string { return [...]string{"radial", "pulling", "pushing"}[min(w, Pushing)] }

// Head is where the head of a spoke sits.
type Head uint8

// The places of the head. With the head outside the spoke was pushed through
// from the outside and runs along the inner face of the flange (inbound).
const (
	HeadStraight Head = iota // in the bore of a straight-pull flange
	HeadOutside
	HeadInside
)

// String names the place of the head.
func (h Head) String() string {
	return [...]string{"straight", "outside", "inside"}[min(h, HeadInside)]
}

// Crossing is a place where a spoke passes another of its side, as seen along
// the axle.
type Crossing struct {
	With   int             // rim hole of the other spoke
	Radius quantity.Length // distance from the axle
	// Over tells that this spoke passes outside the other, further from the
	// centre plane. Known tells whether the heads decide that.
	Over, Known bool
	// Interlaced marks the outermost crossing of both spokes, if no third one
	// meets them there: the wire goes the other way round than the heads would
	// have it, so that the two lean on each other.
	Interlaced bool
}

// Spoke is one spoke in its place.
type Spoke struct {
	RimHole int // 0 the first after the valve in the rolling direction; also the spoke's index
	HubHole int // of its flange; straight pull: counted by rim hole along the side
	Side    build.Side
	Way     Way
	Head    Head

	Hub, Rim           Point           // middle of the flange hole (or head seat); spoke end on the ERD circle
	Unit               Vector          // from hub to rim
	Length             quantity.Length // from Hub to Rim, nothing taken off
	HubAngle, RimAngle quantity.Angle  // about the axle, 0 to one turn
	Angle              quantity.Angle  // between hub hole and rim hole, 0 to half a turn

	Departure quantity.Angle // off the radial line at the hub, as seen along the axle, 0 to half a turn
	Entry     quantity.Angle // off square at the nipple, as seen along the axle, 0 to a quarter turn
	// HeadGap is the distance between the spoke's line and the middle of the
	// nearest hole with a spoke that it passes on its flange. 0 for straight pull.
	HeadGap quantity.Length

	Crosses []Crossing // from the hub outwards
}

// Place places every spoke of the wheel, in the order of the rim holes.
//
// Rim and nipple washers give the circle of the spoke ends, R = ERD/2 + t.
// Elbow spokes run from their flange hole; the hub as a whole turns to where
// the angles of pulling and pushing spokes balance, which is nil for every
// regular pattern. Straight-pull spokes touch the circle of radius b about the
// axle, and their head sits `ahead` of the foot of the perpendicular:
//
//	L = √((√(R²−b²) − ahead)² + w²)
//
// so that their angle, acos(b/R) − atan2(ahead, b), is built into the hub.
//
// It returns a *build.MissingError or *build.RangeError for inputs that are no
// wheel, and a *Refusal for a wheel that can't or mustn't be laced.
func Place(w build.Wheel) ([]Spoke, error) {
	if err := w.Validate(); err != nil {
		return nil, err
	}
	if err := bears(&w); err != nil {
		return nil, err
	}
	list, err := joins(&w)
	if err != nil {
		return nil, err
	}
	spokes := place(&w, list)
	for i := range spokes {
		s := &spokes[i]
		if s.Departure > quantity.Turn/4+1e-9 && w.Half(s.Side).Flange.Seat == build.Elbow {
			r := &Refusal{Reason: Departure, Side: s.Side, Got: w.Half(s.Side).Cross}
			r.Want = most(&w, s.Side)
			return nil, r
		}
	}
	if len(w.Joins) > 0 {
		if err := bearsPlaced(&w, spokes); err != nil {
			return nil, err
		}
	}
	meet(&w, spokes)
	return spokes, nil
}

// bearsPlaced refuses listed joins that leave a side radial where torque must
// pass: a side none of whose spokes leans at least 10° is as good as radial.
func bearsPlaced(w *build.Wheel, spokes []Spoke) error {
	const lean = 10 * quantity.Degree // our own bound; common practice has none
	flat := *w
	flat.Joins = nil
	flat.Pattern = build.Crossed
	for _, s := range build.Sides {
		flat.Half(s).Cross = 0
	}
	for i := range spokes {
		if spokes[i].Angle > lean {
			flat.Half(spokes[i].Side).Cross = 1
		}
	}
	return bears(&flat)
}

// place does the geometry of Place and refuses nothing.
func place(w *build.Wheel, list []build.Join) []Spoke {
	n := len(list)
	spokes := make([]Spoke, n)
	outer := float64(w.Rim.ERD)/2 + float64(w.Washer)
	turn := hubTurn(w, list)
	var straight [2]int
	for i, j := range list {
		h := w.Half(j.Side)
		f := &h.Flange
		s := &spokes[i]
		s.RimHole, s.HubHole, s.Side = j.Rim, j.Hub, j.Side

		sign := 1.0 // towards the own flange
		if j.Side == build.Left {
			sign = -1
		}
		rim := rimAngle(w, j.Rim)
		rimSin, rimCos := math.Sincos(rim)
		rx, ry := outer*rimSin, outer*rimCos
		rz := sign*float64(w.Rim.Stagger) - float64(w.Rim.ShiftLeft)
		hz := sign * float64(f.Offset)

		var hx, hy, hub float64
		if f.Seat == build.StraightPull {
			hub = straightPull(w, j, straight[j.Side], outer, rim)
			s.HubHole = straight[j.Side]
			straight[j.Side]++
			r := math.Hypot(float64(f.Tangent), float64(f.Ahead))
			sin, cos := math.Sincos(hub)
			hx, hy = r*sin, r*cos
			s.Head = HeadStraight
		} else {
			hub = hubAngle(w, j.Side, j.Hub) + turn
			r := float64(f.Circle) / 2
			sin, cos := math.Sincos(hub)
			hx, hy = r*sin, r*cos
		}
		lead := wrap(hub - rim)
		s.Angle = quantity.Angle(math.Abs(lead))
		switch {
		case math.Abs(lead) < 1e-9:
			s.Way, s.Angle = Radial, 0
		case lead > 0:
			s.Way = Pulling
		default:
			s.Way = Pushing
		}
		if f.Seat != build.StraightPull {
			s.Head = headOf(h.Heads, s.Way)
		}
		s.HubAngle, s.RimAngle = round(hub), round(rim)
		s.Hub = Point{quantity.Length(hx), quantity.Length(hy), quantity.Length(hz)}
		s.Rim = Point{quantity.Length(rx), quantity.Length(ry), quantity.Length(rz)}

		dx, dy, dz := rx-hx, ry-hy, rz-hz
		l := math.Sqrt(dx*dx + dy*dy + dz*dz)
		s.Length = quantity.Length(l)
		s.Unit = Vector{dx / l, dy / l, dz / l}
		s.Departure = quantity.Angle(between(hx, hy, dx, dy))
		s.Entry = quantity.Angle(between(rx, ry, dx, dy))
	}
	gaps(w, spokes)
	return spokes
}

// straightPull returns the angle of the head seat for a rim hole: pulling and
// pushing spokes alternate along the side, as the pattern would have them.
func straightPull(w *build.Wheel, j build.Join, k int, outer, rim float64) float64 {
	f := &w.Half(j.Side).Flange
	b, a := float64(f.Tangent), float64(f.Ahead)
	if a == 0 && b == 0 {
		return rim // the seat is the axle itself
	}
	angle := math.Acos(b/outer) - math.Atan2(a, b)
	pulls := k%2 == 0
	if w.Pattern == build.TwoToOne && j.Side != w.Single && w.Half(j.Side).Wide {
		pulls = !pulls
	}
	if pulls {
		return rim + angle
	}
	return rim - angle
}

// hubTurn returns the angle by which the hub settles: at mean lead nil, the
// balance of pulling and pushing spokes to the first order.
func hubTurn(w *build.Wheel, list []build.Join) float64 {
	free := len(w.Joins) > 0
	regular := true
	for _, s := range build.Sides {
		f := &w.Half(s).Flange
		if f.Seat == build.StraightPull {
			continue
		}
		regular = regular && len(f.Angles) == 0 && f.Turn == 0 && f.Holes%max(latticeOf(w, s).m, 1) == 0
	}
	if regular && !free && len(w.Rim.Angles) == 0 && w.Pattern != build.TwoToOne {
		return 0
	}
	var sum, sin, cos float64
	elbows := 0
	each := func(do func(lead float64)) {
		for _, j := range list {
			if w.Half(j.Side).Flange.Seat == build.Elbow {
				do(hubAngle(w, j.Side, j.Hub) - rimAngle(w, j.Rim))
			}
		}
	}
	first := 0.0
	if free {
		// The list counts hub holes from anywhere: bring the hub near first.
		each(func(lead float64) {
			s, c := math.Sincos(lead)
			sin, cos = sin+s, cos+c
		})
		first = -math.Atan2(sin, cos)
	}
	each(func(lead float64) { sum += wrap(lead + first); elbows++ })
	if elbows == 0 {
		return 0
	}
	return first - sum/float64(elbows)
}

// headOf returns where the head sits.
func headOf(h build.Heads, way Way) Head {
	outside := way != Pushing
	switch h {
	case build.PushingOut:
		outside = way == Pushing
	case build.AllOut:
		outside = true
	case build.AllIn:
		outside = false
	}
	if outside {
		return HeadOutside
	}
	return HeadInside
}

// wrap brings an angle in radians into -π to π.
func wrap(a float64) float64 {
	if a >= -math.Pi && a <= math.Pi {
		return a
	}
	return math.Remainder(a, 2*math.Pi)
}

// round brings an angle in radians into 0 to one turn.
func round(a float64) quantity.Angle {
	if a < 0 || a >= 2*math.Pi {
		a -= 2 * math.Pi * math.Floor(a/(2*math.Pi))
	}
	return quantity.Angle(a)
}

// between returns the angle between two plane vectors, 0 to π.
func between(ax, ay, bx, by float64) float64 {
	return math.Atan2(math.Abs(ax*by-ay*bx), ax*bx+ay*by)
}

// gaps finds how close each spoke's line passes to the other holes in use on
// its flange.
func gaps(w *build.Wheel, spokes []Spoke) {
	for _, side := range build.Sides {
		f := &w.Half(side).Flange
		if f.Seat == build.StraightPull {
			continue
		}
		r := raysOf(make([]ray, 0, 72), spokes, side) // on the stack
		for i := range r {
			a := &r[i]
			least := float64(f.Circle) * a.l // if nothing lies ahead
			for k := range r {
				dx, dy := r[k].hx-a.hx, r[k].hy-a.hy
				if k != i && dx*a.dx+dy*a.dy > 0 {
					least = min(least, math.Abs(dx*a.dy-dy*a.dx))
				}
			}
			spokes[a.at].HeadGap = quantity.Length(least / a.l)
		}
	}
}

// ray is a spoke as seen along the axle.
type ray struct {
	at             int     // index of the spoke
	hx, hy, dx, dy float64 // hub point, and the way from there to the rim point
	l              float64 // length of that way
}

func raysOf(out []ray, spokes []Spoke, side build.Side) []ray {
	for i := range spokes {
		s := &spokes[i]
		if s.Side == side {
			dx, dy := float64(s.Rim.X-s.Hub.X), float64(s.Rim.Y-s.Hub.Y)
			out = append(out, ray{i, float64(s.Hub.X), float64(s.Hub.Y), dx, dy, math.Sqrt(dx*dx + dy*dy)})
		}
	}
	return out
}

// meet finds the crossings as seen along the axle.
func meet(w *build.Wheel, spokes []Spoke) {
	n := len(spokes)
	count := make([]int, n)
	type pair struct {
		a, b   int
		radius float64
	}
	pairs := make([]pair, 0, 2*n)
	for _, side := range build.Sides {
		r := raysOf(make([]ray, 0, 72), spokes, side)
		for i := range r {
			for k := i + 1; k < len(r); k++ {
				if radius, ok := cross(&r[i], &r[k]); ok {
					a, b := r[i].at, r[k].at
					pairs = append(pairs, pair{a, b, radius})
					count[a]++
					count[b]++
				}
			}
		}
	}
	store := make([]Crossing, 2*len(pairs))
	for i := range spokes {
		spokes[i].Crosses, store = store[:0:count[i]], store[count[i]:]
	}
	for _, p := range pairs {
		a, b := &spokes[p.a], &spokes[p.b]
		known := a.Head != b.Head
		r := quantity.Length(p.radius)
		a.Crosses = append(a.Crosses, Crossing{With: p.b, Radius: r, Known: known, Over: known && a.Head == HeadInside})
		b.Crosses = append(b.Crosses, Crossing{With: p.a, Radius: r, Known: known, Over: known && b.Head == HeadInside})
	}
	for i := range spokes {
		slices.SortFunc(spokes[i].Crosses, func(a, b Crossing) int {
			if d := a.Radius - b.Radius; math.Abs(float64(d)) > onePlace {
				return cmp.Compare(a.Radius, b.Radius)
			}
			return cmp.Compare(a.With, b.With)
		})
	}
	for i := range spokes {
		last := outermost(spokes[i].Crosses)
		if last == nil || last.With < i || !last.Known {
			continue
		}
		other := outermost(spokes[last.With].Crosses)
		if other == nil || other.With != i {
			continue
		}
		last.Interlaced, other.Interlaced = true, true
		last.Over, other.Over = !last.Over, !other.Over
	}
}

// onePlace is how near two crossings are one, in metres: where three spokes
// meet, as in a crow's foot.
const onePlace = 1e-6

// outermost returns the last crossing, or nil if there is none or if more than
// two spokes meet there.
func outermost(c []Crossing) *Crossing {
	n := len(c)
	if n == 0 || n > 1 && float64(c[n-1].Radius-c[n-2].Radius) <= onePlace {
		return nil
	}
	return &c[n-1]
}

// cross returns the distance from the axle at which two spokes of a side
// cross, as seen along the axle.
func cross(a, b *ray) (float64, bool) {
	det := a.dx*b.dy - a.dy*b.dx
	x, y := b.hx-a.hx, b.hy-a.hy
	t, u := x*b.dy-y*b.dx, x*a.dy-y*a.dx
	if det < 0 {
		det, t, u = -det, -t, -u
	}
	if t <= 0 || t >= det || u <= 0 || u >= det {
		return 0, false
	}
	t /= det
	x, y = a.hx+t*a.dx, a.hy+t*a.dy
	return math.Sqrt(x*x + y*y), true
}
