package read

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"spokeword/calc/quantity"
	"spokeword/calc/size"
	"spokeword/commands/spec"
)

// This file lets the options whose values are words bid for them.

// bidWords lets enumerations bid for their words.
func (s *scan) bidWords() {
	s.bidPercents()
	s.bidSteps()
	s.bidStepFrom()
	s.bidWent()
	for _, m := range s.matches {
		inside := m.inner
		for _, sn := range m.senses {
			s.steps++
			switch sn.role {
			case means:
				if inside {
					sn.cost += costSlip
				}
				s.bidWord(m, sn)
				if sn.value == "valve" {
					s.bidPart(m)
				}
			case calls:
				if c := s.r.commands[sn.target].spec; s.inValue(m) || c.Everyday && m.to-m.from == 1 && s.tokens[m.from].text == c.Name && s.named() != sn.target {
					continue
				}
				if m.to-m.from > 1 && s.spokesCounted(m.from) && s.has(m.from-2, joins) {
					continue // "28 or 32 spokes for 95 kg" asks for no plan
				}
				s.offer(bid{from: int8(m.from), to: int8(m.to), option: -1, names: int16(sn.target + 1)})
			case counts:
				if s.has(m.from, means) { // "3 snakebites": how many is no matter, of what is
					s.bidCounted(match{from: m.from, to: m.from}, true)
				} else {
					s.bidCounted(m, true)
				}
			case shadows:
				s.bidCounted(m, false)
			case fills, repeats:
				if m.to-m.from > 1 {
					s.offer(bid{from: int8(m.from), to: int8(m.to), option: -1})
				}
			}
		}
	}
}

// spokesCounted reports whether the word at token i counts holes or spokes by
// the number before it: the "spokes" of "32 spokes".
func (s *scan) spokesCounted(i int) bool {
	holes, ok := s.r.the(holesOption)
	if !ok || i < 1 || i >= len(s.tokens) || s.tokens[i-1].kind != number || !s.number[i-1] {
		return false
	}
	return slices.ContainsFunc(s.matches, func(m match) bool {
		return m.from == i && slices.ContainsFunc(m.senses, func(sn sense) bool { return sn.role == cues && sn.target == holes })
	})
}

// inValue reports whether a phrase is part of a longer one that means a value:
// the "air" of "loses air" asks for no air.
func (s *scan) inValue(m match) bool {
	for _, o := range s.matches {
		if o.from > m.from || o.to < m.to || o.to-o.from <= m.to-m.from {
			continue
		}
		for _, sn := range o.senses {
			if sn.role == means {
				return true
			}
		}
	}
	return false
}

// commandNamed returns the index of the command of that name, -1 if none has it.
func (r *Reader) commandNamed(name string) int {
	return slices.IndexFunc(r.commands, func(c command) bool { return c.spec.Name == name })
}

func (s *scan) bidWord(m match, sn sense) {
	from, to := m.from, m.to
	cost := 0.05 + sn.cost - 0.02*float32(to-from-1) // a longer phrase says more
	if to-from >= 4 && (s.isWord(from, "how") || s.isWord(from, "which") || s.isWord(from, "what") || s.isWord(from, "wie")) {
		cost -= rewardAsked // "how do i lace it" asks for that
	}
	if name, ok := sn.value.(string); ok && s.r.commandNamed(name) >= 0 && s.r.options[sn.target].name == "what" && s.named() < 0 {
		cost += costNameAlone // "24 spokes ok?" asks for no help with spokes
	}
	c := s.r.options[sn.target].choices
	if c == nil { // a number with a name
		b := bid{from: int8(from), to: int8(to), option: int16(sn.target), cost: cost, value: sn.value,
			said: true, open: true, why: "what the word means in the trade"}
		if v, ok := sn.value.(spec.Ends[size.Mark]); ok {
			b.open, b.value, b.value2 = false, v.First, v.Second
			b.cost -= rewardNamed // the word speaks of nothing else
			s.offer(s.boxed(b, v.Which))
			return
		}
		if s.cuedJustBefore(sn.target, m.from) { // "at home at sea level"
			b.cost -= costFormer
			b.open = false
		} else if s.from(m.from - 1) { // "from sea level" is where it was set
			switch o := &s.r.options[sn.target]; {
			case o.before >= 0:
				b.cost -= costFormer
				b.open = false
			case slices.ContainsFunc(s.r.options, func(x option) bool { return x.before == sn.target }):
				b.cost += costTurned
			}
		}
		s.offer(s.boxed(b, spec.Both))
		return
	}
	if !sn.lone {
		f, t, ok := s.nounBeside(sn.target, from, to)
		if !ok {
			return
		}
		from, to = f, t
	}
	if sn.lone && s.ofNoun(m, sn) {
		cost += costUnusual // the "dh" of "dh casing" is no riding
	}
	b := bid{from: int8(from), to: int8(to), option: int16(sn.target), cost: cost, wild: m.wild}
	if c.Placed {
		s.bidPlaced(b, c, sn)
		return
	}
	b.value = sn.value
	if c.Axis == spec.NoAxis {
		s.offer(s.boxed(b, spec.Both))
		return
	}
	w, ok := s.endOf(from, to, c.Axis)
	if i := to; !ok && len(c.Noun) > 0 && i < len(s.tokens) && s.end[i][c.Axis] != 0 && !s.number[i] && s.claimed[i] == 0 && s.onlyEnd(i, c.Axis) {
		w, ok = spec.Which(s.end[i][c.Axis]-1), true // "dh casing rear 29x2.5"
	}
	b.unsided = !ok || w == spec.Both
	s.offer(s.boxed(b, w))
}

// cuedJustBefore reports whether a cue of the option, and of no other of its kind,
// ends directly before token i or reaches into it.
func (s *scan) cuedJustBefore(option, i int) bool {
	return slices.ContainsFunc(s.matches, func(m match) bool {
		return m.from < i && (m.to == i || m.to == i+1) && m.to-m.from > 1 && slices.ContainsFunc(m.senses, func(sn sense) bool { return sn.role == cues && sn.target == option })
	})
}

// onlyEnd reports whether no other word of the line names an end of the axis.
func (s *scan) onlyEnd(i int, axis spec.Axis) bool {
	for j := range s.tokens {
		if j != i && s.end[j][axis] != 0 && !s.number[j] {
			return false
		}
	}
	return true
}

// ofNoun reports whether a word is another option's too, whose noun stands right
// behind it.
func (s *scan) ofNoun(m match, own sense) bool {
	return slices.ContainsFunc(m.senses, func(sn sense) bool {
		if sn.role != means || sn.target == own.target || sn.lone {
			return false
		}
		_, to, ok := s.nounBeside(sn.target, m.from, m.to)
		return ok && to > m.to
	})
}

// bidPlaced reads "insert rear": the end is the value.
func (s *scan) bidPlaced(b bid, c *Choices, sn sense) {
	if sn.value != nil && sn.value != "" {
		b.value = sn.value
		s.offer(s.boxed(b, spec.Both))
		return
	}
	w, ok := spec.Both, false
	for i, by := range s.claimed {
		if by > int(b.from) && by <= int(b.to) {
			w, ok = spec.Which(s.end[i][spec.FrontRear]-1), true
		}
	}
	first, second := spec.FrontRear.Names()
	switch {
	case ok && w == spec.FirstOnly:
		b.value = first
	case ok && w == spec.SecondOnly:
		b.value = second
	case ok:
		b.value = "both"
	case c.Several != "" && strings.HasSuffix(s.tokens[b.to-1].text, "s"):
		b.value, b.said, b.why = c.Several, true, "no end named, and more than one"
		b.cost += costAlone
		s.offer(s.boxed(b, spec.Both))
		return
	default:
		b.value, b.said, b.why = c.Alone, true, "no end named"
		b.cost += costAlone
		s.offer(s.boxed(b, spec.Both))
		return
	}
	s.offer(s.boxed(b, w))
}

// nounBeside finds the enumeration's noun beside a word of it.
func (s *scan) nounBeside(o, from, to int) (int, int, bool) {
	if len(s.r.options[o].choices.Noun) == 0 {
		return from, to, true
	}
	before, found := 0, false
	for _, m := range s.matches {
		for _, sn := range m.senses {
			if sn.role != cues || sn.target != o {
				continue
			}
			if m.from >= to && m.from-to <= 1 && (m.from == to || s.idle(to)) {
				return from, m.to, true // before it another phrase may end in the noun
			}
			if !found && m.to <= from && from-m.to <= 1 && (m.to == from || s.idle(m.to)) {
				before, found = m.from, true
			}
		}
	}
	return before, to, found
}

// bidPercents takes a share of a hundred, which no option holds.
func (s *scan) bidPercents() {
	for _, v := range s.vals {
		if !v.pair && v.a.Unit == quantity.NoUnit && s.isMark(v.to, "%") {
			s.offer(bid{from: int8(v.from), to: int8(v.to + 1), option: -1, cost: costCounted})
		}
	}
}

// stepWords say that what follows is by how much something changes.
var stepWords = []string{"drop", "add", "lower", "raise", "lose", "take", "reduce", "increase", "up", "down", "by", "minus", "plus", "knock", "shed", "less", "more"}

// Largest steps that are told so, in the units they are told in.
const (
	longestStepPSI = 8
	longestStepBar = 0.5
)

// bidSteps takes a pressure by which it goes up or down, which is none that is
// ridden: the "3 psi" of "can i drop 3 psi".
func (s *scan) bidSteps() {
	for _, v := range s.vals {
		if v.pair || v.a.Unit != quantity.PSIUnit && v.a.Unit != quantity.BarUnit || v.a.Unit == quantity.PSIUnit && v.a.Number > longestStepPSI || v.a.Unit == quantity.BarUnit && v.a.Number > longestStepBar {
			continue
		}
		if v.from > 0 && s.tokens[v.from-1].kind == word && slices.Contains(stepWords, s.tokens[v.from-1].text) {
			s.offer(bid{from: int8(v.from), to: int8(v.to), option: -1, cost: 0.05, wild: true})
		}
	}
}

// bidStepFrom reads the pressure from which one goes up or down, which no unit tells:
// "wet tomorrow, drop how much from 24".
func (s *scan) bidStepFrom() {
	o, ok := s.r.the(pressureOption)
	if !ok || !slices.ContainsFunc(s.tokens, func(t token) bool { return t.kind == word && slices.Contains(stepWords, t.text) }) {
		return
	}
	n := s.r.options[o].numbers
	for vi := range s.vals {
		v := &s.vals[vi]
		if v.pair || v.fromTo || v.a.Unit != quantity.NoUnit || !s.from(v.from-1) || s.until(v.to) {
			continue
		}
		h, ok := n.habit(v.a, v.b, false, s.unitOf[quantity.KindPressure], true)
		if !ok {
			continue
		}
		m := quantity.Measure{Number: v.a.Number, Unit: h.Unit}
		s.offer(s.boxed(bid{from: int8(v.from), to: int8(v.to), option: int16(o), cost: costUnit, value: m,
			said: true, why: fmt.Sprintf("typed as %s, read as %s by its size", quantity.Exact(v.a.Number), h.Unit)}, spec.Both))
	}
}

// wentWords stand before a pressure that was and the one that is: "went 22 to 19".
var wentWords = []string{"went", "dropped", "lowered", "raised", "reduced", "gone"}

// bidWent reads two bare pressures with such a word before them and a "to" between as
// the later one: "went 22 to 19 rear now it burps".
func (s *scan) bidWent() {
	o, ok := s.r.the(pressureOption)
	if !ok {
		return
	}
	n := s.r.options[o].numbers
	for vi := 0; vi+1 < len(s.vals); vi++ {
		v, w := &s.vals[vi], &s.vals[vi+1]
		at := v.from - 1
		if s.from(at) {
			at--
		}
		if v.pair || w.pair || v.a.Unit != quantity.NoUnit || w.a.Unit != quantity.NoUnit && w.a.Unit != quantity.PSIUnit || w.from != v.to+1 || !s.until(v.to) || at < 0 || !slices.Contains(wentWords, s.tokens[at].text) ||
			min(v.a.Number, w.a.Number) < 10 || max(v.a.Number, w.a.Number) > 45 || math.Abs(v.a.Number-w.a.Number) > mostBetween || nominal(v.a.Number) && nominal(w.a.Number) {
			continue
		}
		m := quantity.Measure{Number: w.a.Number, Unit: quantity.PSIUnit}
		s.offerSided(bid{from: int8(at), to: int8(w.to), option: int16(o), cost: costUnit, value: m,
			said: true, why: fmt.Sprintf("the later of %s and %s, read as psi by their size", quantity.Exact(v.a.Number), quantity.Exact(w.a.Number))}, *w, n)
	}
}

// bidPart takes the size of a small part before its name: the valve of "44 mm valve".
func (s *scan) bidPart(m match) {
	for _, v := range s.vals {
		if v.to == m.from && !v.pair && v.a.Kind() == quantity.KindLength {
			s.offer(bid{from: int8(v.from), to: int8(v.to), option: -1, cost: costCounted})
		}
	}
}

// bidCounted takes a number that counts things or tells of something else:
// "15 km out", "12 kids", "starts at 20".
func (s *scan) bidCounted(m match, behind bool) {
	for _, v := range s.vals {
		if behind && v.to == m.from && !v.pair && v.a.Unit == quantity.NoUnit {
			s.offer(bid{from: int8(v.from), to: int8(m.to), option: -1, cost: costCounted})
		}
		j := m.to
		for !behind && j < v.from && s.idle(j) {
			j++
		}
		if kind := v.a.Kind(); !behind && j == v.from && kind != quantity.KindTemperature && kind != quantity.KindMass { // "the ride starts at 25c"
			s.offer(bid{from: int8(m.from), to: int8(v.to), option: -1, cost: costCounted})
		}
	}
}

// bidJoined lets two values that are numbers be alternatives: the "27.5 vs 29"
// of "wheel 27.5 vs 29".
func (s *scan) bidJoined() {
	for i := 0; i+2 < len(s.tokens); i++ {
		if s.tokens[i].kind != number || !s.has(i+1, joins) || s.tokens[i+2].kind != number || s.isWord(i+3, "x") || s.isWord(i-1, "x") {
			continue
		}
		for _, o := range s.r.holding.choices {
			c := s.r.options[o].choices
			if !c.Joined || s.tokens[i].text == s.tokens[i+2].text || !c.has(s.tokens[i].text) || !c.has(s.tokens[i+2].text) {
				continue
			}
			for _, at := range [2]int{i, i + 2} {
				s.offer(s.boxed(bid{from: int8(at), to: int8(at + 1), option: int16(o), cost: costJoined, value: s.tokens[at].text}, spec.Both))
			}
		}
	}
}

// has reports whether a value is one of the choices.
func (c *Choices) has(value string) bool {
	return slices.ContainsFunc(c.All, func(x Choice) bool { return x.Value == value })
}
