package read

import (
	"slices"

	"spokeword/calc/quantity"
	"spokeword/commands/spec"
)

// This file reads a bead seat by its number alone: "559 rim is that 26 or 27.5".

// What a bead seat by itself costs as a size: no other number in the line, or two
// names of wheels of which it is asked to be one.
const (
	costSeat  = 0.3
	costSeats = -1.0
)

// bidSeats offers a bead seat that stands alone, or beside two names, as a size.
func (s *scan) bidSeats() {
	a, ok := s.r.the(aOption)
	b, okay := s.r.the(bOption)
	if !ok || !okay {
		return
	}
	for _, m := range s.tyres {
		if !m.seat {
			continue
		}
		one := func(o int, t tyreMark, cost float32) {
			s.offer(s.boxed(bid{from: int8(t.from), to: int8(t.to), option: int16(o), cost: cost, value: t.mark}, spec.Both))
		}
		var names []tyreMark
		for _, t := range s.tyres {
			if !t.seat && !t.cued && t.mark.Width == 0 && len(t.mark.Seats()) > 0 && !slices.ContainsFunc(names, func(n tyreMark) bool { return n.from == t.from }) {
				names = append(names, t)
			}
		}
		switch {
		case len(names) == 2 && names[0].to < names[1].from && s.has(names[0].to, joins):
			is := slices.IndexFunc(names, func(t tyreMark) bool { return slices.Contains(t.mark.Seats(), m.mark.Seat) })
			is = max(is, 0)
			one(a, m, costSeats)
			one(b, names[is], 0)
			other := names[1-is]
			s.offer(bid{from: int8(other.from), to: int8(other.to), option: -1, cost: 0, wild: true})
		case len(names) == 2 && s.comparedWithin(names[0].to, names[1].from): // "650b the same as 27.5? … 584 rim"
			one(a, names[0], 0)
			one(b, names[1], 0)
			s.offer(bid{from: int8(m.from), to: int8(m.to), option: -1, cost: 0, wild: true})
		case s.onlyMark(m):
			one(a, m, costSeat)
		}
	}
}

// onlyMark reports whether a mark is the only number of the line, and no option's word
// stands beside it.
func (s *scan) onlyMark(m tyreMark) bool {
	for i, t := range s.tokens {
		if t.kind == number && (i < m.from || i >= m.to) {
			return false
		}
	}
	return !slices.ContainsFunc(s.cues, func(c cued) bool {
		v := s.vals[c.val]
		n := s.r.options[c.option].numbers
		return v.from == m.from && n != nil && n.Kind == quantity.KindLength && !c.weak
	})
}

// comparedWithin reports whether a phrase between two tokens asks to compare sizes.
func (s *scan) comparedWithin(from, to int) bool {
	b, ok := s.r.the(bOption)
	if !ok {
		return false
	}
	return slices.ContainsFunc(s.matches, func(m match) bool {
		return m.from >= from && m.to <= to && slices.ContainsFunc(m.senses, func(sn sense) bool {
			return sn.role == calls && s.r.commands[sn.target].local[b] >= 0
		})
	})
}

// Words for a tube, and those behind which stands what it is to go into.
var (
	tubeWords = []string{"tube", "tubes", "schlauch", "chambre", "cámara", "camara", "camera"}
	intoWords = []string{"in", "into", "for", "inside", "im", "dans", "en", "nella", "nel"}
)

// tubesOfOtherSizes is the subject of tubes in tyres of another size.
const tubesOfOtherSizes = "smaller-tube"

// isOneOf reports whether token i is one of the words.
func (s *scan) isOneOf(i int, words []string) bool {
	return i >= 0 && i < len(s.tokens) && s.tokens[i].kind == word && slices.Contains(words, s.tokens[i].text)
}

// tubeInto reports whether a tube is named at token i that is to go into something: the
// size before it is the tube's.
func (s *scan) tubeInto(i int) bool { return s.isOneOf(i, tubeWords) && s.isOneOf(i+1, intoWords) }

// bidTubeInto takes the "tube" of "26x2.1 tube in 29x2.4" as what is asked: whether a
// tube of one size does in a tyre of another.
func (s *scan) bidTubeInto() {
	if !s.says(tubeWords...) {
		return
	}
	what, ok := s.r.subject(tubesOfOtherSizes)
	if !ok {
		return
	}
	for _, m := range s.tyres {
		whole := m.mark.Width > 0 && (m.mark.Seat > 0 || len(m.mark.Seats()) > 0) || m.mark.Width == 0 && nominal(s.tokens[m.from].num)
		at := -1
		switch {
		case s.tubeInto(m.to):
			at = m.to
		case s.isOneOf(m.to, intoWords) && s.isOneOf(m.from-1, tubeWords):
			at = m.from - 1
		case s.isOneOf(m.to, intoWords) && s.isOneOf(m.from-2, tubeWords): // "chambre de 26 dans"
			at = m.from - 2
		}
		if whole && at >= 0 {
			s.offer(s.boxed(bid{from: int8(at), to: int8(at + 1), option: int16(what), cost: -rewardHint, value: tubesOfOtherSizes}, spec.Both))
		}
	}
}
