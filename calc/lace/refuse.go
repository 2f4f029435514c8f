package lace

import (
	"fmt"

	"spokeword/calc/build"
)

// Reason is why a wheel can't be laced, or why a number of crossings is
// advised against.
type Reason uint8

// The reasons. The first group is of counts, the second of what a wheel must
// bear, the third of room at the flange and at the rim.
const (
	Fine        Reason = iota
	OddSide            // an odd number of spokes on a crossed side: pulling and pushing can't alternate
	OddRim             // an odd number of rim holes for two equal sides
	NotThirds          // 2:1 needs rim holes in threes
	NotFoot            // a crow's foot needs the spokes of a side in threes, and outer spokes that step over 2, 3, 5, 6 … holes
	FewHubHoles        // fewer hub holes than spokes on that side
	SpareHoles         // hub holes left over: see Propose
	NoHole             // a spoke is listed for a hole that isn't there
	HoleTwice          // a hole is listed for two spokes
	HoleEmpty          // a rim hole is listed for no spoke

	RadialDrive // the drive side of a rear wheel or of a motor can't be radial
	RadialDisc  // the side of a disc can't be radial
	RadialBoth  // a wheel with both sides radial carries no torque

	Departure    // the spoke would leave the hole at more than 90° from radial and lie over the flange
	HeadFouled   // the spoke would lie on the head in the next hole
	HeadTight    // the spoke passes close to the head in the next hole: look first
	Entry        // the spoke enters the nipple further off square than a nipple swivels
	MakerDecides // radial: only where the hub's maker allows it
)

var reasons = [...]string{
	Fine:        "fine",
	OddSide:     "odd number of spokes on a crossed side",
	OddRim:      "odd number of rim holes",
	NotThirds:   "rim holes do not come in threes",
	NotFoot:     "no crow's foot with these counts",
	FewHubHoles: "fewer hub holes than spokes",
	SpareHoles:  "more hub holes than spokes",
	NoHole:      "no such hole",
	HoleTwice:   "hole used twice",
	HoleEmpty:   "rim hole without a spoke",

	RadialDrive: "radial drive side",
	RadialDisc:  "radial disc side",
	RadialBoth:  "radial on both sides with torque to carry",

	Departure:    "more than 90° from radial at the flange",
	HeadFouled:   "spoke lies on the next head",
	HeadTight:    "spoke close to the next head",
	Entry:        "nipple entered far off square",
	MakerDecides: "radial only where the hub's maker allows it",
}

// String names the reason in a few words.
func (r Reason) String() string { return reasons[min(r, MakerDecides)] }

// Refusal is returned for a wheel that can't, or mustn't, be laced.
type Refusal struct {
	Reason Reason
	Side   build.Side // of the matter, where it has one; the drive or disc side
	// Got and Want are counts where the reason is of counts: holes found and
	// wanted; the hole's number for NoHole, HoleTwice and HoleEmpty; crossings
	// chosen and the most possible for Departure, Want -1 where there is none.
	Got, Want int
}

// Error says what was found and, where there is one, what number was wanted.
func (r *Refusal) Error() string {
	switch r.Reason {
	case OddRim, NotThirds:
		return fmt.Sprintf("%d rim holes: %v", r.Got, r.Reason)
	case OddSide, NotFoot:
		return fmt.Sprintf("%v side of %d spokes: %v", r.Side, r.Got, r.Reason)
	case FewHubHoles, SpareHoles:
		return fmt.Sprintf("%v flange of %d holes: %v, want %d", r.Side, r.Got, r.Reason, r.Want)
	case NoHole, HoleTwice, HoleEmpty:
		return fmt.Sprintf("%v side, hole %d: %v", r.Side, r.Got, r.Reason)
	case Departure:
		if r.Want < 0 {
			return fmt.Sprintf("%v side: %v", r.Side, r.Reason)
		}
		return fmt.Sprintf("%v side, %d crossings: %v, want at most %d", r.Side, r.Got, r.Reason, r.Want)
	case RadialDrive, RadialDisc:
		return fmt.Sprintf("%v side: %v", r.Side, r.Reason)
	}
	return r.Reason.String()
}

// bears refuses radial sides where torque must pass. Source: a brake disc or a
// sprocket turns its flange against the rim, and a radial spoke has no lever
// to hold it; that a disc side needs crossed spokes is what makers' papers and
// trade articles say as well.
func bears(w *build.Wheel) error {
	if !w.Torque() {
		return nil
	}
	left, right := radial(w, build.Left), radial(w, build.Right)
	switch {
	case left && right:
		return &Refusal{Reason: RadialBoth}
	case left && w.Brake == build.DiscBrake:
		return &Refusal{Reason: RadialDisc, Side: build.Left}
	case right && (w.End == build.Rear || w.Motor):
		return &Refusal{Reason: RadialDrive, Side: build.Right}
	}
	return nil
}

// radial reports whether the side's spokes point at the axle by choice.
// Listed joins are judged after placing.
func radial(w *build.Wheel, s build.Side) bool {
	h := w.Half(s)
	if h.Flange.Seat == build.StraightPull {
		return h.Flange.Tangent == 0
	}
	return len(w.Joins) == 0 && h.Cross == 0 && w.Pattern != build.CrowsFoot
}
