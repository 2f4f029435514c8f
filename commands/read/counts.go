package read

import (
	"math"
	"slices"

	"spokeword/calc/quantity"
	"spokeword/commands/spec"
)

// This file reads counts of holes and crossings as people tell them, and units that
// are asked for by name.

// bidPerSide reads holes told for one flange: "16 per side" are 32.
func (s *scan) bidPerSide() {
	holes, ok := s.r.the(holesOption)
	if !ok {
		return
	}
	for _, v := range s.vals {
		if v.pair || v.a.Unit != quantity.NoUnit || v.a.Number != math.Trunc(v.a.Number) {
			continue
		}
		to := v.to
		for to < len(s.tokens) && s.cueTo(holes, to) { // "16 holes per side"
			to++
		}
		if s.isWord(to, "on") { // "18 on each side"
			to++
		}
		is := func(i int, words ...string) bool {
			return i < len(s.tokens) && s.tokens[i].kind == word && slices.Contains(words, s.tokens[i].text)
		}
		if !is(to, "per", "a", "each", "pro", "je", "par", "por", "x") || !is(to+1, "side", "flange", "seite", "flansch", "côté", "flasque", "lado", "brida", "ala", "lato", "flangia") ||
			is(to+2, "of") && is(to+3, "centre", "center", "middle") { // "27 each side of centre": that far
			continue
		}
		both := quantity.Measure{Number: 2 * v.a.Number}
		if n := s.r.options[holes].numbers; !n.holds(both) {
			continue
		}
		b := bid{from: int8(v.from), to: int8(to + 2), option: int16(holes), cost: -0.1, value: both}
		s.offer(s.boxed(b, spec.Both))
	}
}

// bidHoleLetters reads "28L" and "32t" as holes in a line about spokes: Loch, trous.
func (s *scan) bidHoleLetters() {
	holes, ok := s.r.the(holesOption)
	if !ok {
		return
	}
	about := false
	for _, name := range [...]string{"erd", "circle", "offset", "cross", "pitch"} {
		o, ok := s.r.optionNamed(name)
		about = about || ok && s.speaksOf(o)
	}
	pattern, _ := s.r.the(patternOption)
	about = about || slices.ContainsFunc(s.matches, func(m match) bool {
		return slices.ContainsFunc(m.senses, func(sn sense) bool { return sn.role == means && sn.target == pattern })
	})
	for _, v := range s.vals {
		counted := v
		counted.a.Unit = quantity.NoUnit
		letter := v.to // "32t"; of "28l" the unit is part of the value
		if v.a.Unit == quantity.L {
			letter = v.to - 1
		}
		if v.pair || !usualCount(counted) || letter >= len(s.tokens) || !s.tokens[letter].glued || !(s.isWord(letter, "l") || s.isWord(letter, "t")) {
			continue
		}
		hubRim := false
		for i := letter + 1; i < len(s.tokens) && i < letter+3; i++ {
			hubRim = hubRim || s.end[i][spec.HubRim] != 0
		}
		if !about && !hubRim {
			continue
		}
		b := bid{from: int8(v.from), to: int8(letter + 1), option: int16(holes), cost: 0.1, value: counted.a}
		w, named := s.endOf(v.from, letter+1, spec.HubRim)
		if !named {
			w = spec.Both
		}
		s.offer(s.boxed(b, w))
	}
}

// bidHubRim reads the holes of hub and rim, each behind or before its number:
// "36 hub 32 rim", "hub 32h, rim 24h". Both are counts that hubs or rims have.
func (s *scan) bidHubRim() {
	holes, ok := s.r.the(holesOption)
	if !ok {
		return
	}
	part := func(i int) uint8 {
		if i < 0 || i >= len(s.tokens) {
			return 0
		}
		return s.end[i][spec.HubRim]
	}
	over := func(i int) int { // the "h" of "36h hub"
		for i < len(s.tokens) && s.cueTo(holes, i) && part(i) == 0 {
			i++
		}
		return i
	}
	for i := 0; i+1 < len(s.vals); i++ {
		v, w := s.vals[i], s.vals[i+1]
		if !usualCount(v) || !usualCount(w) {
			continue
		}
		from, to := v.from, over(w.to)
		first, second := part(over(v.to)), part(to)
		if first == 0 || second == 0 || first == second || over(v.to)+4 < w.from {
			from--
			first, second = part(from), part(w.from-1)
		} else {
			to++
		}
		if first == 0 || second == 0 || first == second {
			continue
		}
		b := bid{from: int8(from), to: int8(to), option: int16(holes), cost: costHubRim, value: v.a, value2: w.a}
		if spec.Which(first-1) == spec.SecondOnly {
			b.value, b.value2 = w.a, v.a
		}
		s.offer(s.boxed(b, spec.Each))
	}
}

// usualCount reports whether a value is a number of holes that hubs or rims
// have: nobody's inner width in a line that names both.
func usualCount(v val) bool {
	if v.pair || v.a.Unit != quantity.NoUnit {
		return false
	}
	switch v.a.Number {
	case 12, 16, 18, 20, 24, 28, 32, 36, 40, 48:
		return true
	}
	return false
}

// bidCrossings reads "3x32": crossings by holes, one bid for both.
func (s *scan) bidCrossings() {
	cross, okay := s.r.the(crossOption)
	holes, ok := s.r.the(holesOption)
	if !ok || !okay {
		return
	}
	for i := 0; i+2 < len(s.tokens); i++ {
		a, b := s.tokens[i], s.tokens[i+2]
		if a.kind != number || !s.isWord(i+1, "x") || b.kind != number || a.num < 0 || a.num > 5 || a.num != math.Trunc(a.num) || b.num < 12 || b.num > 48 || b.num != math.Trunc(b.num) {
			continue
		}
		if i > 0 && s.tokens[i-1].kind == word && s.tokens[i-1].text == "x" {
			continue
		}
		one := func(n float64) any {
			return spec.Ends[any]{First: quantity.Measure{Number: n}, Second: quantity.Measure{Number: n}}
		}
		s.offer(bid{from: int8(i), to: int8(i + 3), option: int16(cross), also: int16(holes + 1), cost: 0.1, value: one(a.num), value2: one(b.num)})
	}
	for _, m := range s.matches { // "2x left, radial right": no crossing on that side
		for _, sn := range m.senses {
			if sn.role != means || sn.value != "radial" || !s.speaksOf(cross) {
				continue
			}
			w, ok := s.endOf(m.from, m.to, spec.LeftRight)
			before, named := s.sideAt(m.from - 1)
			behind, after := s.sideAt(m.to)
			switch {
			case after && !(named && s.valueStartsAt(m.to+1)): // "radial left 2x right"
				w, ok = behind, true
			case named && (m.from == 1 || !s.number[m.from-2]): // "left radial right 2x"
				w, ok = before, true
			}
			if ok && w != spec.Both {
				s.offer(s.boxed(bid{from: int8(m.from), to: int8(m.to), option: int16(cross), cost: -0.1, value: quantity.Measure{}}, w))
			}
		}
	}
}

// bidUnits reads the unit to convert to: "in psi", "to bar", "> kg".
func (s *scan) bidUnits() {
	s.bidPairInUnit()
	for _, o := range s.r.holding.units {
		for i := range s.tokens {
			if s.tokens[i].kind != word {
				continue
			}
			u, ok := quantity.UnitNamed(s.tokens[i].text)
			if !ok || s.number[i] {
				continue
			}
			from, cost := i, float32(0.5)
			if i > 0 && (s.cueTo(o, i-1) || s.isMark(i-1, ">") || s.isMark(i-1, "=")) {
				from, cost = i-1, -0.8
				if s.otherUnitOf(u) {
					cost = -1.4 // a number of the same kind stands in another unit
				}
			}
			if from == i && s.otherUnitOf(u) {
				cost = -0.9 // "28 psi bar"
			}
			if len(s.tokens[i].text) == 1 && from == i {
				continue
			}
			if s.isWord(i, "in") && from == i && i+1 < len(s.tokens) && s.tokens[i+1].kind == word && !aUnit(s.tokens[i+1]) && !s.has(i+1, fills) {
				continue // "cut in sidewall 10 mm"
			}
			s.offer(s.boxed(bid{from: int8(from), to: int8(i + 1), option: int16(o), cost: cost, value: u}, spec.Both))
		}
	}
}

// bidPairInUnit reads "1.6 front 1.8 rear bar in psi", and bare numbers too, as two
// amounts to be converted, if the line says nothing else.
func (s *scan) bidPairInUnit() {
	o, ok := s.r.the(quantityOption)
	if !ok || len(s.vals) != 2 {
		return
	}
	v, w := s.vals[0], s.vals[1]
	to := w.to // the word before the unit that is asked for
	for to < len(s.tokens) && to < w.to+2 && !s.isWord(to, "in") && !s.isWord(to, "to") {
		to++
	}
	first, other := v.to, w.to
	ended := first < len(s.tokens) && s.end[first][spec.FrontRear] != 0 && other < len(s.tokens) && s.end[other][spec.FrontRear] != 0
	if !ended || !s.first(v.from) || to+1 >= len(s.tokens) || !s.isWord(to, "in") && !s.isWord(to, "to") || !aUnit(s.tokens[to+1]) {
		return
	}
	a, b := v.a, w.a
	shareUnit(&a, &b)
	said := ""
	if a.Unit == quantity.NoUnit && b.Unit == quantity.NoUnit {
		if a.Unit = otherPressure(s.tokens[to+1].text, a.Number, b.Number); a.Unit != quantity.NoUnit {
			said = "typed without a unit, read as " + a.Unit.String() + " by their size"
		}
		b.Unit = a.Unit
	}
	if v.pair || w.pair || a.Kind() != quantity.KindPressure || b.Kind() != quantity.KindPressure {
		return
	}
	s.offer(s.boxed(bid{from: int8(v.from), to: int8(to), option: int16(o), cost: 0.35, value: a, value2: b, said: said != "", why: said}, spec.Each))
}

// otherPressure returns the unit of two bare pressures that are asked for in another:
// the bar of "1.4 front 1.6 rear in psi".
func otherPressure(asked string, a, b float64) quantity.Unit {
	switch u, _ := quantity.UnitNamed(asked); {
	case u == quantity.PSIUnit && min(a, b) >= 0.3 && max(a, b) <= 5:
		return quantity.BarUnit
	case u == quantity.BarUnit && min(a, b) >= 9 && max(a, b) <= 120:
		return quantity.PSIUnit
	}
	return quantity.NoUnit
}
