// Package spoke tells lengths, what moves them, stretch and tension from the
// spokes that package lace has placed.
package spoke

import (
	"cmp"
	"slices"

	"spokeword/calc/basis"
	"spokeword/calc/build"
	"spokeword/calc/lace"
	"spokeword/calc/quantity"
)

// LengthBasis is what a length rests on.
var LengthBasis = basis.Basis{
	Kind:   basis.Computed,
	Source: "distance from flange hole to spoke end, as in Brandt, The Bicycle Wheel, 3rd ed.",
	Says:   "flange thickness and elbow left out, so about half a millimetre; no better than the measurements",
}

// Length returns the length to order of one placed spoke. With an elbow that
// is from the inside of the elbow to the end of the thread, which is half the
// flange hole less than the straight line from the middle of the hole:
//
//	L = √(R² + r² + w² − 2Rr cos α) − d/2
//
// Straight-pull spokes are measured from under the head, and nothing is taken
// off. Source: the usual spoke-length formula, as in Brandt, The Bicycle Wheel,
// 3rd ed.; here from the placed points, which holds for every lacing.
func Length(w *build.Wheel, s *lace.Spoke) quantity.Length {
	f := &w.Half(s.Side).Flange
	if f.Seat == build.StraightPull {
		return s.Length
	}
	return s.Length - f.HoleDiameter/2
}

// same is how close two lengths are taken for one: far below what a shop can
// cut (0.5 mm), far above rounding in the sum.
const same = 0.005 * quantity.Millimetre

// Group is the spokes of one side that have one length.
type Group struct {
	Length  quantity.Length // to order
	Angle   quantity.Angle  // between hub hole and rim hole, of the first
	Leaves  quantity.Angle  // off the radial line at the flange, as seen along the axle, of the first
	Bracing quantity.Angle  // between spoke and centre plane, of the first
	Spokes  []int           // rim holes, in order
}

// Count returns how many spokes have this length.
func (g Group) Count() int { return len(g.Spokes) }

// Lengths holds the lengths of a wheel.
type Lengths struct {
	Left, Right []Group // shortest first; one group on each side of a regular wheel
}

// Of returns the groups of a side.
func (l Lengths) Of(s build.Side) []Group {
	if s == build.Right {
		return l.Right
	}
	return l.Left
}

// LengthsOf places the wheel's spokes and groups their lengths. Its errors are
// those of lace.Place.
func LengthsOf(w build.Wheel) (Lengths, error) {
	spokes, err := lace.Place(w)
	if err != nil {
		return Lengths{}, err
	}
	return Grouped(&w, spokes), nil
}

// Grouped groups the lengths of spokes that are placed already.
func Grouped(w *build.Wheel, spokes []lace.Spoke) Lengths {
	return Lengths{Left: group(w, spokes, build.Left), Right: group(w, spokes, build.Right)}
}

func group(w *build.Wheel, spokes []lace.Spoke, side build.Side) []Group {
	type one struct {
		length quantity.Length
		at     int
	}
	all := make([]one, 0, len(spokes))
	for i := range spokes {
		if spokes[i].Side == side {
			all = append(all, one{Length(w, &spokes[i]), i})
		}
	}
	slices.SortFunc(all, func(a, b one) int { return cmp.Compare(a.length, b.length) })
	holes := make([]int, len(all))
	for i, o := range all {
		holes[i] = spokes[o.at].RimHole
	}
	out := make([]Group, 0, 1) // a regular wheel has one
	for from := 0; from < len(all); {
		to := from + 1
		for to < len(all) && all[to].length-all[to-1].length <= same {
			to++
		}
		list := holes[from:to:to]
		slices.Sort(list)
		first := &spokes[list[0]]
		out = append(out, Group{
			Length:  Length(w, first),
			Angle:   first.Angle,
			Leaves:  first.Departure,
			Bracing: bracing(first),
			Spokes:  list,
		})
		from = to
	}
	return out
}
