package read

import (
	"math"

	"spokeword/calc/quantity"
	"spokeword/commands/spec"
)

// This file reads how many pawls engage together: "6 pawls, 3 at a time" are two groups.

// together are the words that say so, behind the number.
var together = [][]string{
	{"at", "a", "time"}, {"at", "once"}, {"at", "one", "time"}, {"together"}, {"in", "one", "go"}, {"fire", "together"}, {"engage", "together"}, {"engage", "at", "once"}, {"drop", "together"}, {"drop", "at", "once"},
	{"auf", "einmal"}, {"gleichzeitig"}, {"zugleich"}, {"zusammen"}, {"à", "la", "fois"}, {"en", "même", "temps"}, {"ensemble"}, {"a", "la", "vez"}, {"juntos"}, {"alla", "volta"}, {"insieme"},
}

// bidPawls reads it, where the pawls part into groups of that number.
func (s *scan) bidPawls() {
	pawls, ok := s.r.the(pawlsOption)
	phases, okay := s.r.the(phasesOption)
	if !ok || !okay || !s.said.has(pawls) {
		return
	}
	bare := func(v val) bool {
		return !v.pair && v.a.Unit == quantity.NoUnit && v.a.Number >= 1 && v.a.Number == math.Trunc(v.a.Number)
	}
	for i, v := range s.vals {
		if i+1 >= len(s.vals) || !bare(v) || !s.cuesAt(pawls, v.to) {
			continue
		}
		w := s.vals[i+1]
		if !bare(w) || math.Mod(v.a.Number, w.a.Number) != 0 {
			continue
		}
		for _, words := range together {
			if !s.saysAt(w.to, words) {
				continue
			}
			s.offer(s.boxed(bid{from: int8(v.from), to: int8(v.to + 1), option: int16(pawls), cost: -rewardHint, value: v.a}, spec.Both))
			s.offer(s.boxed(bid{from: int8(w.from), to: int8(w.to + len(words)), option: int16(phases), cost: -rewardHint, value: quantity.Measure{Number: v.a.Number / w.a.Number},
				said: true, why: "as many pawls as engage together, by their number"}, spec.Both))
			break
		}
	}
}

// saysAt reports whether the words stand at token i.
func (s *scan) saysAt(i int, words []string) bool {
	for k, w := range words {
		if !s.isWord(i+k, w) {
			return false
		}
	}
	return true
}
