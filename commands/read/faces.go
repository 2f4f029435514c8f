package read

import (
	"slices"

	"spokeword/calc/quantity"
	"spokeword/commands/spec"
)

// This file reads how far a hub's flanges stand from the ends of its axle, which
// people tell by the sides alone: "148 hub, left end to flange 36.2, right 54".

var (
	// fromFace name the ends that are measured from.
	fromFace = []string{"end", "ends", "face", "faces", "axle", "locknut", "locknuts", "cap", "caps", "endcap", "endcaps", "achsende", "achsenende", "anschlag", "kontermutter", "extrémité", "extremite", "bout", "butée", "extremo", "tope", "estremità", "estremita", "battuta"}
	// toFlange name what is measured to.
	toFlange = []string{"flange", "flanges", "flansch", "flansche", "flasque", "flasques", "joue", "brida", "bridas", "ala", "flangia", "flange's"}
	// fromMiddle tell of the other way to measure it.
	fromMiddle = []string{"centre", "center", "middle", "mitte", "milieu", "centro", "mezzo", "ctf", "erd"}
)

// farthestFace is how far a flange stands from a face at most, in mm.
const farthestFace = 120

// sideWord returns the side that the word at token i is by itself, though it may be
// part of a longer phrase.
func (s *scan) sideWord(i int) (spec.Which, bool) {
	for _, m := range s.matches {
		if m.from != i || m.to != i+1 {
			continue
		}
		for _, sn := range m.senses {
			if sn.role == ends && sn.axis == spec.LeftRight {
				return sn.which, true
			}
		}
	}
	return spec.Both, false
}

// farthestSide is how many words may stand between a side and its number.
const farthestSide = 9

// bidFaces offers numbers with a side, in a line of faces and flanges.
func (s *scan) bidFaces() {
	left, ok := s.r.the(faceleftOption)
	right, okay := s.r.the(facerightOption)
	says := func(all []string) bool {
		return slices.ContainsFunc(s.tokens, func(t token) bool { return t.kind == word && slices.Contains(all, t.text) })
	}
	if !ok || !okay || !says(fromFace) || !says(toFlange) || says(fromMiddle) {
		return
	}
	for _, v := range s.vals {
		if v.pair || v.a.Unit != quantity.NoUnit && v.a.Unit != quantity.MM || v.a.Number <= 0 || v.a.Number > farthestFace {
			continue
		}
		which, found := s.endOf(v.from, v.to, spec.LeftRight)
		for i := v.from - 1; !found && i >= max(0, v.from-farthestSide) && !s.number[i]; i-- {
			which, found = s.sideWord(i)
		}
		if !found || which == spec.Both {
			continue
		}
		option := left
		if which == spec.SecondOnly {
			option = right
		}
		m := v.a
		m.Unit = quantity.MM
		s.offer(s.boxed(bid{from: int8(v.from), to: int8(v.to), option: int16(option), cost: 0, value: m}, spec.Both))
	}
}
