// Package freehub tells how far a crank turns before a freehub drives: from
// points of engagement, or from pawls, teeth and the phases they work in.
package freehub

import (
	"spokeword/calc/basis"
	"spokeword/calc/gearing"
	"spokeword/calc/quantity"
)

// Points is how often a freehub can engage in one turn of the wheel.
type Points int

// String writes the points: "36 points".
func (p Points) String() string { return quantity.Count(int(p)) + " points" }

// Pawls is a number of pawls, or of groups of them that work in one phase.
type Pawls int

// String writes the number: "6".
func (p Pawls) String() string { return quantity.Count(int(p)) }

// What the sums answer for: what is sold, with room to spare. Common practice,
// no source.
const (
	FewestPoints, MostPoints    Points          = 4, 1500
	FewestRatchet, MostRatchet  gearing.Teeth   = 8, 200
	MostPawls                   Pawls           = 24
	ShortestCrank, LongestCrank quantity.Length = 70 * quantity.Millimetre, 230 * quantity.Millimetre
)

// UsualCrank is the crank taken where none is given, 170 mm. Assumption; it
// must be said in the answer.
const UsualCrank = 170 * quantity.Millimetre

// EngagementBasis is what Engage rests on.
var EngagementBasis = basis.Basis{Kind: basis.Computed, Source: "geometry of the drive", Says: "chain slack and the give of frame and tyre come on top"}

// PhasesBasis is what PointsOf rests on.
var PhasesBasis = basis.Basis{Kind: basis.Computed, Source: "geometry of the ratchet", Says: "pawls in phase add no points, each group out of phase adds the ring's teeth; how they are grouped only the maker or a look tells"}

// PointsOf returns the points of a ratchet: teeth × phases, phases being the
// groups of pawls that engage one after the other, evenly staggered. Pawls in
// phase share the load and add no points. It returns a *quantity.RangeError for
// teeth outside FewestRatchet to MostRatchet, pawls outside 1 to MostPawls,
// phases outside 1 to the number of pawls; and a *GroupsError if the pawls don't
// part into so many groups of one size.
func PointsOf(pawls Pawls, teeth gearing.Teeth, phases Pawls) (Points, error) {
	if err := checkRatchet(pawls, teeth); err != nil {
		return 0, err
	}
	if err := quantity.Within("phases", phases, 1, pawls); err != nil {
		return 0, err
	}
	if pawls%phases != 0 {
		return 0, &GroupsError{pawls, phases}
	}
	return Points(int(teeth) * int(phases)), nil
}

func checkRatchet(pawls Pawls, teeth gearing.Teeth) error {
	if err := quantity.Within("ratchet", teeth, FewestRatchet, MostRatchet); err != nil {
		return err
	}
	return quantity.Within("pawls", pawls, 1, MostPawls)
}

// GroupsError says that pawls don't part into groups of one size.
type GroupsError struct{ Pawls, Phases Pawls }

// Error says what was found and what was wanted.
func (e *GroupsError) Error() string {
	return "phases " + e.Phases.String() + ": want a number that divides " + e.Pawls.String() + " pawls"
}

// A Grouping is one way in which pawls can work.
type Grouping struct {
	Phases Pawls // groups that engage one after the other
	Each   Pawls // pawls of a group, which share the load
	Points Points
}

// Groupings returns every way in which pawls can work on a ratchet, all in
// phase first: what to ask when the phases aren't known. It returns a
// *quantity.RangeError as PointsOf does.
func Groupings(pawls Pawls, teeth gearing.Teeth) ([]Grouping, error) {
	if err := checkRatchet(pawls, teeth); err != nil {
		return nil, err
	}
	var out []Grouping
	for phases := Pawls(1); phases <= pawls; phases++ {
		if pawls%phases == 0 {
			out = append(out, Grouping{phases, pawls / phases, Points(int(teeth) * int(phases))})
		}
	}
	return out, nil
}

// Engagement is how far things turn before the hub drives: at worst, just
// missing a point, and in the mean over all places, half of that.
type Engagement struct {
	Points               Points
	Gear                 gearing.Gear
	Crank                quantity.Length
	Hub                  quantity.Angle  // worst at the hub
	HubMean              quantity.Angle  // mean at the hub
	AtCrank, AtCrankMean quantity.Angle  // the same at the crank
	AtPedal, AtPedalMean quantity.Length // along the pedal's circle
}

// Engage returns the engagement of a hub in a gear:
//
//	hub = 360°/points, crank = hub × cog/ring, pedal = crank length × crank angle
//
// so the lower the gear, the longer the wait. It returns a *quantity.RangeError
// outside the ranges of this package and for what Gear.Check refuses.
func Engage(points Points, gear gearing.Gear, crank quantity.Length) (Engagement, error) {
	if err := quantity.Within("freehub", points, FewestPoints, MostPoints); err != nil {
		return Engagement{}, err
	}
	if err := gear.Check(); err != nil {
		return Engagement{}, err
	}
	if err := quantity.Within("crank", crank, ShortestCrank, LongestCrank); err != nil {
		return Engagement{}, err
	}
	hub := quantity.Turn / quantity.Angle(points)
	atCrank := hub * quantity.Angle(gear.Cog) / quantity.Angle(gear.Ring)
	pedal := crank * quantity.Length(atCrank)
	return Engagement{
		Points: points, Gear: gear, Crank: crank,
		Hub: hub, HubMean: hub / 2,
		AtCrank: atCrank, AtCrankMean: atCrank / 2,
		AtPedal: pedal, AtPedalMean: pedal / 2,
	}, nil
}

// Compare returns the engagement of several hubs in one gear, in the order
// given. It returns what Engage does for the first that is out of range.
func Compare(points []Points, gear gearing.Gear, crank quantity.Length) ([]Engagement, error) {
	out := make([]Engagement, 0, len(points))
	for _, p := range points {
		e, err := Engage(p, gear, crank)
		if err != nil {
			return nil, err
		}
		out = append(out, e)
	}
	return out, nil
}
