package lace

import (
	"math"

	"spokeword/calc/build"
)

// A pattern is laid on a lattice: the spokes of a side come from m equally
// spaced places on the hub, and go to rim holes of that side. Angles run in
// the rolling direction, in rim pitches p = 360°/n; rim hole k lies at k + ½.
type lattice struct {
	first float64 // place 0, in rim pitches
	m     int     // places = spokes of the side
}

// latticeOf returns the lattice of a side: for two equal sides, and for the
// single side of 2:1, places lie in line with the side's rim holes; on the
// double side the two rim holes of a period lie ¼ pitch off their places.
func latticeOf(w *build.Wheel, s build.Side) lattice {
	n := w.Rim.Holes
	switch {
	case w.Pattern != build.TwoToOne && s == build.Right:
		return lattice{0.5, n / 2}
	case w.Pattern != build.TwoToOne:
		return lattice{1.5, n / 2}
	case s == w.Single:
		return lattice{0.5, n / 3}
	default:
		return lattice{1.25, 2 * n / 3}
	}
}

// nearest returns which of f equally spaced holes stands for place j of m.
// Holes are given once, since f ≥ m.
func nearest(j, m, f int) int { return (2*j*f + m) / (2 * m) % f }

// joins gives every rim hole its hub hole, by the wheel's pattern or its list.
func joins(w *build.Wheel) ([]build.Join, error) {
	if len(w.Joins) > 0 {
		return listed(w)
	}
	if err := countable(w); err != nil {
		return nil, err
	}
	return follow(w), nil
}

// countable refuses hole counts that the pattern can't use.
func countable(w *build.Wheel) error {
	n := w.Rim.Holes
	switch {
	case w.Pattern == build.TwoToOne && n%3 != 0:
		return &Refusal{Reason: NotThirds, Got: n}
	case w.Pattern != build.TwoToOne && n%2 != 0:
		return &Refusal{Reason: OddRim, Got: n}
	}
	for _, s := range build.Sides {
		h, m := w.Half(s), w.Spokes(s)
		f := h.Flange.Holes
		straight := h.Flange.Seat == build.StraightPull
		switch {
		case f < m:
			return &Refusal{Reason: FewHubHoles, Side: s, Got: f, Want: m}
		case f > m && (f%m != 0 || h.Flange.Pairing > 0 && !straight):
			return &Refusal{Reason: SpareHoles, Side: s, Got: f, Want: m}
		case f%2 != 0 && h.Flange.Pairing > 0 && !straight:
			return &Refusal{Reason: OddSide, Side: s, Got: f}
		case w.Pattern == build.CrowsFoot && (straight || m%3 != 0 || h.Cross < 2 || h.Cross%3 == 1):
			return &Refusal{Reason: NotFoot, Side: s, Got: m}
		case w.Pattern != build.CrowsFoot && m%2 != 0 && !radial(w, s):
			return &Refusal{Reason: OddSide, Side: s, Got: m}
		}
	}
	return nil
}

// follow lays the pattern. It takes any f ≥ m, so that Propose can use it.
func follow(w *build.Wheel) []build.Join {
	n := w.Rim.Holes
	out := make([]build.Join, n)
	zero := [2]int{firstHole(w, build.Left), firstHole(w, build.Right)}
	put := func(s build.Side, rim, place int) {
		m, f := w.Spokes(s), w.Half(s).Flange.Holes
		rim, place = (rim%n+n)%n, (place%m+m)%m
		out[rim] = build.Join{Rim: rim, Side: s, Hub: (nearest(place, m, f) + zero[s]) % f}
	}
	for _, s := range build.Sides {
		h, m := w.Half(s), w.Spokes(s)
		x := h.Cross
		if h.Flange.Seat == build.StraightPull {
			x = 0
		}
		switch {
		case w.Pattern == build.CrowsFoot:
			at := func(k int) int { return 2*k + 1 - int(s) } // right holes are the even ones
			for k := 0; k < m; k += 3 {
				put(s, at(k+x), k) // pushing: the rim hole is ahead of the hub hole
				put(s, at(k+1), k+1)
				put(s, at(k+2-x), k+2)
			}
		case w.Pattern == build.TwoToOne && s != w.Single:
			for i := range n / 3 {
				first, second := 3*i+1, 3*i+2
				switch {
				case x == 0:
					put(s, first, 2*i)
					put(s, second, 2*i+1)
				case h.Wide:
					put(s, first, 2*i-x)
					put(s, second, 2*i+1+x)
				default:
					put(s, first, 2*i+x)
					put(s, second, 2*i+1-x)
				}
			}
		default:
			period, first := 2, 1-int(s)
			if w.Pattern == build.TwoToOne {
				period, first = 3, 0
			}
			// The first spoke after the valve pulls, the last one pushes:
			// both lean away from the valve, so that a pump head has room.
			for k := range m {
				place := k + x
				if k%2 == 1 {
					place = k - x
				}
				put(s, first+period*k, place)
			}
		}
	}
	return out
}

// firstHole returns which hole of a flange stands for place 0: hole 0, but on
// a left flange with its own list of angles the one that lies to the right
// flange's hole 0 as the pattern has it, from wherever they were counted.
func firstHole(w *build.Wheel, s build.Side) int {
	f := &w.Half(s).Flange
	if s == build.Right || len(f.Angles) == 0 || f.Seat == build.StraightPull {
		return 0
	}
	p := 2 * math.Pi / float64(w.Rim.Holes)
	want := hubAngle(w, build.Right, 0) + (latticeOf(w, s).first-latticeOf(w, build.Right).first)*p
	best := 0
	for k := range f.Angles {
		if math.Abs(wrap(hubAngle(w, s, k)-want)) < math.Abs(wrap(hubAngle(w, s, best)-want)) {
			best = k
		}
	}
	return best
}

// listed checks a list of joins: every rim hole once, no hub hole twice.
func listed(w *build.Wheel) ([]build.Join, error) {
	n := w.Rim.Holes
	out := make([]build.Join, n)
	rim := make([]bool, n)
	var hub [2][]bool
	for _, s := range build.Sides {
		hub[s] = make([]bool, w.Half(s).Flange.Holes)
	}
	for _, j := range w.Joins {
		if j.Side > build.Right {
			return nil, &Refusal{Reason: NoHole, Side: j.Side, Got: j.Hub}
		}
		switch {
		case j.Rim < 0 || j.Rim >= n:
			return nil, &Refusal{Reason: NoHole, Side: j.Side, Got: j.Rim}
		case j.Hub < 0 || j.Hub >= len(hub[j.Side]):
			return nil, &Refusal{Reason: NoHole, Side: j.Side, Got: j.Hub}
		case rim[j.Rim]:
			return nil, &Refusal{Reason: HoleTwice, Side: j.Side, Got: j.Rim}
		case hub[j.Side][j.Hub]:
			return nil, &Refusal{Reason: HoleTwice, Side: j.Side, Got: j.Hub}
		}
		rim[j.Rim], hub[j.Side][j.Hub] = true, true
		out[j.Rim] = j
	}
	for k, used := range rim {
		if !used {
			return nil, &Refusal{Reason: HoleEmpty, Got: k}
		}
	}
	return out, nil
}

// Propose returns w with every spoke listed, for a hub with more holes than
// the pattern needs, such as 36 holes on a rim of 32: each spoke comes from
// the hole nearest to where it would come from on a hub of the right count,
// and the holes left over stay empty. It is one lacing of several; lengths
// differ from spoke to spoke. Of a wheel that has no holes left over it lists
// the pattern itself. It returns what Place returns for other counts.
func Propose(w build.Wheel) (build.Wheel, error) {
	if err := w.Validate(); err != nil {
		return w, err
	}
	if err := bears(&w); err != nil {
		return w, err
	}
	if err := countable(&w); err != nil {
		if r, ok := err.(*Refusal); !ok || r.Reason != SpareHoles {
			return w, err
		}
		// The first side with holes left over hides what the other side lacks.
		trimmed := w
		for _, s := range build.Sides {
			if f := &trimmed.Half(s).Flange; f.Holes > w.Spokes(s) {
				f.Holes, f.Angles = w.Spokes(s), nil
			}
		}
		if err := countable(&trimmed); err != nil {
			return w, err
		}
	}
	w.Joins = follow(&w)
	return w, nil
}

// hubAngle returns the angle of a flange hole before the hub finds its place,
// in radians in the rolling direction. Holes start from place 0 of the side.
func hubAngle(w *build.Wheel, s build.Side, hole int) float64 {
	h := w.Half(s)
	f := &h.Flange
	if len(f.Angles) > 0 {
		return float64(f.Angles[hole]) + float64(f.Turn)
	}
	pitch := 2 * math.Pi / float64(f.Holes)
	l := latticeOf(w, s)
	first := l.first * 2 * math.Pi / float64(w.Rim.Holes)
	if other := w.Half(s.Other()).Flange.Holes; s == build.Left && other == f.Holes && f.Holes%max(l.m, 1) != 0 {
		// Holes are left over: the flanges are half a hub pitch apart, as on
		// any hub, which is not the rim's pitch now.
		first += pitch/2 - 2*math.Pi/float64(w.Rim.Holes)
	}
	a := first + float64(hole)*pitch + float64(f.Turn)
	if f.Pairing > 0 {
		// Both holes of a pair move towards its middle. A pulling spoke hangs
		// in a hole of the parity of Cross: as the lower of its pair it gains
		// angle, as the upper it loses it.
		gain := (pitch - float64(f.Pairing)) / 2
		if pulls := hole%2 == h.Cross%2; pulls == h.Wide {
			return a + gain
		}
		return a - gain
	}
	return a
}

// rimAngle returns the angle of a rim hole from the valve, in radians in the
// rolling direction.
func rimAngle(w *build.Wheel, hole int) float64 {
	if len(w.Rim.Angles) > 0 {
		return float64(w.Rim.Angles[hole])
	}
	return (float64(hole) + 0.5) * 2 * math.Pi / float64(w.Rim.Holes)
}
