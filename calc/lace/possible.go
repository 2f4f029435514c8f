package lace

import (
	"spokeword/calc/basis"
	"spokeword/calc/build"
	"spokeword/calc/quantity"
)

// Bounds of what can be laced.
const (
	// LeastHeadGap is the distance between a spoke's line and the middle of
	// the next hole below which the spoke lies on the head: half a head and
	// half a wire touch there. Computed for this project from common sections.
	LeastHeadGap = 1.8 * quantity.Millimetre
	// GoodHeadGap is the distance from which nothing need be looked at.
	// Computed likewise.
	GoodHeadGap = 3 * quantity.Millimetre
	// MostEntry is how far off square an ordinary nipple swivels: about 10°,
	// common practice without a source.
	MostEntry = 10 * quantity.Degree
)

// CrossingBasis is what the greatest number of crossings rests on.
var CrossingBasis = basis.Basis{
	Kind: basis.Computed,
	Says: "at most 90° off radial at the flange and clear of the next head; trade articles give a ninth of the spoke count, which is the same",
}

// Option is one number of crossings for a side, with what it leads to. Angles
// and gaps are the worst of the side.
type Option struct {
	Number    int
	Angle     quantity.Angle  // between hub hole and rim hole
	Departure quantity.Angle  // off the radial line at the hub
	Entry     quantity.Angle  // off square at the nipple
	HeadGap   quantity.Length // from the spoke's line to the next head
	// OK tells that it can be built. Reason is why not, or else what to look
	// at first, or Fine.
	OK     bool
	Reason Reason
}

// Possible returns the numbers of crossings for one side, from radial to the
// first that the angle at the flange rules out, everything else being as in w.
// For a straight-pull flange there is no choice: it returns nil. Errors are
// those of Place for inputs and counts.
func Possible(w build.Wheel, side build.Side) ([]Option, error) {
	if err := w.Validate(); err != nil {
		return nil, err
	}
	h := w.Half(side)
	if h.Flange.Seat == build.StraightPull || len(w.Joins) > 0 {
		return nil, nil
	}
	first := 0
	if w.Pattern == build.CrowsFoot {
		first = 2
	}
	var out []Option
	for x := first; x <= h.Flange.Holes/2; x++ {
		if w.Pattern == build.CrowsFoot && x%3 == 1 {
			continue
		}
		h.Cross = x
		// An odd number of spokes can still be radial.
		if err := countable(&w); err != nil {
			if len(out) > 0 {
				break
			}
			return nil, err
		}
		o := option(&w, side, x)
		out = append(out, o)
		if o.Reason == Departure {
			break
		}
	}
	return out, nil
}

func option(w *build.Wheel, side build.Side, x int) Option {
	o := Option{Number: x, OK: true, HeadGap: w.Half(side).Flange.Circle}
	for _, s := range place(w, follow(w)) {
		if s.Side != side {
			continue
		}
		o.Angle, o.Departure = max(o.Angle, s.Angle), max(o.Departure, s.Departure)
		o.Entry, o.HeadGap = max(o.Entry, s.Entry), min(o.HeadGap, s.HeadGap)
	}
	o.Reason = judge(o.Departure, o.Entry, o.HeadGap)
	if radial(w, side) {
		o.Reason = MakerDecides
		if err, ok := bears(w).(*Refusal); ok && (err.Side == side || err.Reason == RadialBoth) {
			o.Reason = err.Reason
		}
	}
	switch o.Reason {
	case Departure, HeadFouled, RadialDrive, RadialDisc, RadialBoth:
		o.OK = false
	}
	return o
}

// judge returns the gravest of what speaks against a spoke's line, or Fine.
func judge(departure, entry quantity.Angle, gap quantity.Length) Reason {
	switch {
	case departure > quantity.Turn/4+1e-9:
		return Departure
	case gap < LeastHeadGap:
		return HeadFouled
	case entry > MostEntry:
		return Entry
	case gap < GoodHeadGap:
		return HeadTight
	}
	return Fine
}

// most returns the greatest number of crossings of a side that stays within
// 90° of radial, -1 if there is none.
func most(w *build.Wheel, side build.Side) int {
	all, err := Possible(*w, side)
	if err != nil {
		return -1
	}
	n := -1
	for _, o := range all {
		if o.Reason != Departure {
			n = o.Number
		}
	}
	return n
}

// Concern is something to look at before building.
type Concern struct {
	Reason Reason
	Side   build.Side
	Spokes int             // how many of the side it concerns
	Angle  quantity.Angle  // of Entry: the greatest angle off square at the nipple
	Gap    quantity.Length // of HeadTight and HeadFouled: the least distance to the next head
}

// Concerns returns what speaks against placed spokes though they can be laced:
// entry at the nipple far off square, heads in the way, radial sides. At most
// one of each a side.
func Concerns(spokes []Spoke) []Concern {
	var out []Concern
	for _, side := range build.Sides {
		entry := Concern{Reason: Entry, Side: side}
		tight := Concern{Reason: HeadTight, Side: side}
		fouled := Concern{Reason: HeadFouled, Side: side}
		radials := Concern{Reason: MakerDecides, Side: side}
		all := 0
		for i := range spokes {
			s := &spokes[i]
			if s.Side != side {
				continue
			}
			all++
			if s.Way == Radial {
				radials.Spokes++
			}
			if s.Entry > MostEntry {
				entry.Spokes++
				entry.Angle = max(entry.Angle, s.Entry)
			}
			if s.Head == HeadStraight {
				continue
			}
			c := &tight
			if s.HeadGap < LeastHeadGap {
				c = &fouled
			} else if s.HeadGap >= GoodHeadGap {
				continue
			}
			if c.Spokes == 0 || s.HeadGap < c.Gap {
				c.Gap = s.HeadGap
			}
			c.Spokes++
		}
		if radials.Spokes < all { // single radial spokes of a crow's foot are no radial side
			radials.Spokes = 0
		}
		for _, c := range []Concern{fouled, entry, tight, radials} {
			if c.Spokes > 0 {
				out = append(out, c)
			}
		}
	}
	return out
}
