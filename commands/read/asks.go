package read

import (
	"slices"

	"spokeword/calc/quantity"
	"spokeword/commands/spec"
)

// This file finds where a line asks for a pressure, or whether one does, without the
// words for it.

// bidAskedEnd takes the end that a line asks for as a question for its pressure, where
// the only number beside marks is one of the other end that can be a pressure: "front 22 what should
// the rear be".
func (s *scan) bidAskedEnd() {
	o, ok := s.r.the(pressureOption)
	end, okay := s.r.the(wantedOption)
	n := s.r.commandNamed("pressure")
	if !ok || !okay || n < 0 || s.asked == 0 {
		return
	}
	told := slices.DeleteFunc(slices.Clone(s.vals), func(v val) bool { return s.isOneOf(v.from-1, mostWords) }) // "rim max 30" is a mark
	if len(told) != 1 {
		return
	}
	v := told[0]
	m := v.a
	if m.Unit == quantity.NoUnit && m.Number >= 12 && m.Number <= 45 {
		m.Unit = quantity.PSIUnit
	}
	w, ended := s.endOf(v.from, v.to, spec.FrontRear)
	if v.pair || m.Kind() != quantity.KindPressure || !ended || w == spec.Both || slices.ContainsFunc(s.tyres, func(m tyreMark) bool { return m.from != v.from && m.mark.Width > 0 && !s.isOneOf(m.from-1, mostWords) }) {
		return
	}
	b := bid{from: int8(v.from), to: int8(v.to), option: int16(o), cost: 0.3, value: m}
	if v.a.Unit == quantity.NoUnit {
		b.said, b.why = true, "typed as "+quantity.Exact(m.Number)+", read as psi by its size"
	}
	s.offer(s.boxed(b, w))
	other, _ := spec.FrontRear.Names()
	if w == spec.FirstOnly {
		_, other = spec.FrontRear.Names()
	}
	s.offer(s.boxed(bid{from: int8(s.asked - 1), to: int8(s.asked), option: int16(end), cost: 0, value: other}, spec.Both))
	for i := s.asked - 1; i >= 0 && i >= s.asked-1-mostToEnd; i-- {
		if s.isOneOf(i, endAsks) {
			s.offer(bid{from: int8(i), to: int8(i + 1), option: -1, names: int16(n + 1)})
			break
		}
	}
}

// bidMayRun takes the "can i run" before a pressure, the "too much" behind one, and an
// "ok for" beside a rider's weight as a question whether it does.
func (s *scan) bidMayRun() {
	n := s.r.commandNamed("pressure")
	o, known := s.r.the(pressureOption)
	is := func(i int, words ...string) bool {
		return i < len(s.tokens) && s.tokens[i].kind == word && slices.Contains(words, s.tokens[i].text)
	}
	for i := 0; known && n >= 0 && i+3 < len(s.tokens); i++ {
		if v, ok := s.valAt(i + 3); ok && v.a.Kind() == quantity.KindPressure && !v.pair && is(i, "can", "could", "should", "may", "shall") && is(i+1, "i", "you", "we", "u", "she", "he") && is(i+2, "run", "ride", "use", "go") {
			s.offer(bid{from: int8(i), to: int8(i + 3), option: -1, names: int16(n + 1)})
			which, _ := s.endOf(v.from, v.to, spec.FrontRear)
			s.offer(s.boxed(bid{from: int8(v.from), to: int8(v.to), option: int16(o), cost: 0.2, value: v.a}, which))
		}
	}
	weighed := slices.ContainsFunc(s.vals, func(v val) bool { return v.a.Kind() == quantity.KindMass && v.a.SI() >= leastRider })
	for i := range s.tokens {
		judged := i+3 < len(s.tokens) && is(i, "too") && is(i+1, "much", "hard", "soft", "high", "low", "little", "firm") && slices.ContainsFunc(s.vals, func(v val) bool { return v.to == i && v.a.Kind() == quantity.KindPressure })
		if known && n >= 0 && (judged || weighed && is(i, "ok", "okay", "enough", "good", "fine") && is(i+1, "for", "on")) {
			s.offer(bid{from: int8(i), to: int8(i + 2), option: -1, names: int16(n + 1)})
		}
	}
}
