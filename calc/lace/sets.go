package lace

import "spokeword/calc/build"

// Set is the spokes that are put in together when a wheel is laced.
type Set struct {
	Side   build.Side
	Way    Way
	Head   Head
	Spokes []int // rim holes, from the valve in the rolling direction
}

// Sets sorts placed spokes into the order in which a wheel is laced, common
// practice without a source: first those with the head outside, whose wire
// lies inside the flange and would be in the others' way later, right before
// left; then the rest, likewise. The first spoke of the first set is the key
// spoke, beside the valve.
func Sets(spokes []Spoke) []Set {
	var out []Set
	for _, head := range [...]Head{HeadOutside, HeadStraight, HeadInside} {
		for _, side := range [...]build.Side{build.Right, build.Left} {
			for _, way := range [...]Way{Pulling, Radial, Pushing} {
				var list []int
				for i := range spokes {
					s := &spokes[i]
					if s.Head == head && s.Side == side && s.Way == way {
						list = append(list, s.RimHole)
					}
				}
				if list != nil {
					out = append(out, Set{side, way, head, list})
				}
			}
		}
	}
	return out
}
