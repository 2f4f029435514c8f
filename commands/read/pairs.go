package read

import (
	"slices"
	"strings"

	"spokeword/calc/quantity"
	"spokeword/calc/size"
	"spokeword/commands/spec"
)

// This file reads pairs that people say in words of their own: gaps of a wheel that
// was flipped, the two marks of a tyre, two wheels with one width.

// bidFlipped reads "flipped it, 5 mm one way and 9 the other" as the two gaps.
func (s *scan) bidFlipped() {
	dish, ok := s.r.the(dishOption)
	if !ok || !s.says("flip", "flipped", "flipping", "turned", "umgedreht", "gedreht", "retourné", "retournée", "girada", "volteada", "girata", "rovesciata", "capovolta") ||
		!s.says("other", "andere", "andersrum", "autre", "otro", "otra", "altro", "altra") {
		return
	}
	var gaps []val
	for _, v := range s.vals {
		if millimetric(v) && !v.pair && v.a.Number > 0 && v.a.Number <= 25 {
			gaps = append(gaps, v)
		}
	}
	if len(gaps) != 2 {
		return
	}
	mm := func(m quantity.Measure) any { m.Unit = quantity.MM; return m }
	b := bid{from: int8(gaps[0].from), to: int8(gaps[1].to), option: int16(dish), cost: -rewardHint, value: mm(gaps[0].a), value2: mm(gaps[1].a)}
	if w, ok := s.endOf(gaps[0].from, gaps[0].to, spec.LeftRight); ok && w == spec.SecondOnly {
		b.value, b.value2 = b.value2, b.value
	}
	s.offer(s.boxed(b, spec.Each))
}

// says reports whether a word of the line is one of the words.
func (s *scan) says(words ...string) bool {
	return slices.ContainsFunc(s.tokens, func(t token) bool { return t.kind == word && slices.Contains(words, t.text) })
}

// dayWords tell when something was read off.
var dayWords = []string{"now", "today", "yesterday", "morning", "tonight", "later", "jetzt", "heute", "gestern", "morgens", "maintenant", "hier", "aujourd'hui", "matin", "ahora", "hoy", "ayer", "adesso", "oggi", "ieri", "stamattina"}

// laterPressure reports whether the number of a wheel's name is a pressure read off at
// another time: the 18 of "22 psi yesterday 18 today".
func (s *scan) laterPressure(m tyreMark) bool {
	if m.mark.Width > 0 || m.to > m.from+1 || m.cued || m.seat {
		return false
	}
	day := func(i int) bool {
		return i >= 0 && i < len(s.tokens) && s.tokens[i].kind == word && slices.Contains(dayWords, s.tokens[i].text)
	}
	if !day(m.from-1) && !day(m.to) && !(s.has(m.to, fills) && day(m.to+1)) {
		return false
	}
	n := s.tokens[m.from].num
	return slices.ContainsFunc(s.vals, func(v val) bool {
		near := v.a.Number >= n-15 && v.a.Number <= n+15 && !v.pair && v.from != m.from
		return near && (v.a.Unit == quantity.PSIUnit || v.a.Unit == quantity.NoUnit && v.a.Number >= 12 && (s.isWord(v.from-1, "at") || s.isWord(v.from-1, "was") || s.isWord(v.from-1, "to") || day(v.to) || day(v.from-1)))
	})
}

// bidLaterPressure takes such a number, which no option holds beside the first.
func (s *scan) bidLaterPressure() {
	for _, m := range s.tyres {
		if s.laterPressure(m) {
			s.offer(bid{from: int8(m.from), to: int8(m.to), option: -1, cost: costRepeat, wild: true})
		}
	}
}

// tyreWords name what bears the marks.
var tyreWords = []string{"tyre", "tire", "sidewall", "reifen", "pneu", "cubierta", "gomma", "copertone"}

// bidLeastAndMost reads "35 min 50 max" as a tyre's lowest and highest mark.
func (s *scan) bidLeastAndMost() {
	least, ok := s.r.the(tyreminOption)
	most, okay := s.r.the(tyremaxOption)
	for i := 0; ok && okay && i+1 < len(s.vals); i++ {
		v, w := s.vals[i], s.vals[i+1]
		if v.pair || w.pair || !s.isWord(v.to, "min") || !s.isWord(w.to, "max") || w.from > v.to+2 || s.vals[i].a.Number >= w.a.Number {
			continue
		}
		for _, x := range [...]struct {
			v val
			o int
		}{{v, least}, {w, most}} {
			m, b := x.v.a, bid{from: int8(x.v.from), to: int8(x.v.to + 1), option: int16(x.o), cost: 0}
			if m.Unit == quantity.NoUnit {
				if m.Unit = quantity.PSIUnit; w.a.Number < 9 {
					m.Unit = quantity.BarUnit
				}
				b.said, b.why = true, "typed as "+quantity.Exact(m.Number)+", read as "+m.Unit.String()+" by its size"
			}
			if b.value = m; s.r.options[x.o].numbers.holds(m) {
				s.offer(s.boxed(b, spec.Both))
			}
		}
	}
}

// bidMarkedRange reads "tyre says 35-60 psi" as its lowest and highest mark.
func (s *scan) bidMarkedRange() {
	least, ok := s.r.the(tyreminOption)
	most, okay := s.r.the(tyremaxOption)
	if !ok || !okay {
		return
	}
	for i := 0; i+1 < len(s.vals); i++ {
		v, w := s.vals[i], s.vals[i+1]
		if v.pair || w.pair || w.from != v.to+1 || !s.isMark(v.to, "-") && !s.until(v.to) && !s.isWord(v.to, "bis") {
			continue
		}
		a, b := v.a, w.a
		shareUnit(&a, &b)
		if a.Unit == quantity.NoUnit {
			unit := quantity.PSIUnit
			if b.Number < 9 {
				if !s.cueTo(most, v.from-1) && !s.cueTo(least, v.from-1) {
					continue // "wider tyre 2.4 to 2.6"
				}
				unit = quantity.BarUnit
			}
			a.Unit, b.Unit = unit, unit
		}
		n := s.r.options[most].numbers
		from, said := v.from, false
		for k := v.from - 1; k >= max(0, v.from-4) && !s.number[k]; k-- {
			if s.cueTo(most, k) || s.cueTo(least, k) {
				from, said = k, true
				break
			}
			if s.tokens[k].kind == word && slices.Contains(tyreWords, s.tokens[k].text) {
				said = true
				break
			}
		}
		if !said || a.Kind() != quantity.KindPressure || a.Number >= b.Number || !n.holds(a) || !n.holds(b) {
			continue
		}
		for from > 0 && from < v.from && s.cueTo(most, from) && s.cueTo(most, from-1) {
			from--
		}
		if from > 0 && from < v.from && slices.Contains(tyreWords, s.tokens[from-1].text) {
			from-- // "tyre says 35-60"
		}
		s.offer(bid{from: int8(from), to: int8(w.to), option: int16(least), also: int16(most + 1), cost: -rewardHint, value: spec.OneFor[any](a), value2: spec.OneFor[any](b)})
	}
}

// bidOtherEnd reads the 2.4 of "2.2 bar f 2.4 r" as a pressure too: it has no unit and
// could be a width.
func (s *scan) bidOtherEnd() {
	o, ok := s.r.the(pressureOption)
	if !ok {
		return
	}
	endAt := func(i int) (spec.Which, bool) {
		if i >= len(s.tokens) || s.number[i] || s.end[i][spec.FrontRear] == 0 {
			return spec.Both, false
		}
		return spec.Which(s.end[i][spec.FrontRear] - 1), true
	}
	for i := 0; i+1 < len(s.vals); i++ {
		v, w := s.vals[i], s.vals[i+1]
		first, ok := endAt(v.to)
		second, okay := endAt(w.to)
		gap := w.from - v.to - 1 // "f, 2.4 r", "f and 2.4 r"
		if !ok || !okay || v.pair || w.pair || v.a.Kind() != quantity.KindPressure || w.a.Unit != quantity.NoUnit || first == second || first == spec.Both || second == spec.Both ||
			gap > 1 || gap == 1 && !s.isAnd(w.from-1) && s.tokens[w.from-1].kind != mark || w.a.Number < v.a.Number/2 || w.a.Number > 2*v.a.Number {
			continue
		}
		other := quantity.Measure{Number: w.a.Number, Unit: v.a.Unit}
		if !s.r.options[o].numbers.holds(other) {
			continue
		}
		s.offer(s.boxed(bid{from: int8(v.from), to: int8(v.to + 1), option: int16(o), cost: 0.1, value: v.a}, first))
		s.offer(s.boxed(bid{from: int8(w.from), to: int8(w.to + 1), option: int16(o), cost: 0.1, value: other}, second))
	}
}

// bidMixedWheels reads "29 front 27.5 rear, both 2.5" as two whole sizes.
func (s *scan) bidMixedWheels() {
	tyre, ok := s.r.the(tyreOption)
	if !ok {
		return
	}
	at := [2]*tyreMark{}
	var width *tyreMark
	for i := range s.tyres {
		m := &s.tyres[i]
		switch {
		case m.cued || m.seat || s.listed(*m) || s.isMark(m.to, "/") || s.isMark(m.from-1, "/"):
		case m.bare() && s.writtenAsWidth(*m):
			if width != nil {
				return
			}
			width = m
		case m.mark.Width == 0 && nominal(s.tokens[m.from].num) && s.tokens[m.from].num >= 20:
			if w, ok := s.endOf(m.from, m.to, spec.FrontRear); ok && w == spec.FirstOnly && at[0] == nil {
				at[0] = m
			} else if ok && w == spec.SecondOnly && at[1] == nil {
				at[1] = m
			}
		}
	}
	if at[0] == nil || at[1] == nil || width == nil || strings.Contains(width.mark.Written, "x") {
		return
	}
	first, ok := named(at[0].mark, width.mark)
	second, okay := named(at[1].mark, width.mark)
	if !ok || !okay {
		return
	}
	from, to := min(at[0].from, at[1].from), width.to
	if width.from < from || width.to < max(at[0].to, at[1].to) {
		return
	}
	for _, v := range s.vals {
		if v.from >= from && v.to <= to && v.from != at[0].from && v.from != at[1].from && v.from != width.from {
			return // another number stands between
		}
	}
	s.offer(s.boxed(bid{from: int8(from), to: int8(to), option: int16(tyre), cost: -rewardEnds, value: first, value2: second}, spec.Each))
}

// mixedWords say that the wheels are of two sizes, the larger one in front.
var mixedWords = []string{"mullet", "mullets"}

// bidMullet reads the widths beside "mullet" as tyres of the two wheels that the word
// names: "mullet 2.4", "mullet 2.5 f 2.4 r".
func (s *scan) bidMullet() {
	tyre, ok := s.r.the(tyreOption)
	at := slices.IndexFunc(s.tokens, func(t token) bool { return t.kind == word && slices.Contains(mixedWords, t.text) })
	if !ok || at < 0 {
		return
	}
	var widths []tyreMark
	for _, m := range s.tyres {
		switch {
		case m.bare() && s.writtenAsWidth(m):
			widths = append(widths, m)
		case m.cost <= costWheel, m.mark.Width == 0 && s.tokens[m.from].num > 26 && s.tokens[m.from].num < 30:
			return // the wheels are told
		}
	}
	if len(widths) == 0 || len(widths) > 2 {
		return
	}
	var whole [2]size.Mark
	for k, wheel := range [...]string{"29", "27.5"} {
		mark, err := size.Parse(wheel)
		if err != nil {
			return
		}
		if whole[k], ok = named(mark, widths[min(k, len(widths)-1)].mark); !ok {
			return
		}
	}
	b := bid{from: int8(widths[0].from), to: int8(widths[0].to), option: int16(tyre), cost: costWidth, value: whole[0], value2: whole[1], said: true, why: "mullet: 29 in front, 27.5 at the rear"}
	if len(widths) == 1 {
		s.offer(s.boxed(b, spec.Each))
	} else {
		for k, m := range widths {
			x := b
			x.from, x.to, x.value, x.value2 = int8(m.from), int8(m.to), whole[k], nil
			s.offer(s.boxed(x, [2]spec.Which{spec.FirstOnly, spec.SecondOnly}[k]))
		}
	}
	s.offer(bid{from: int8(at), to: int8(at + 1), option: -1, cost: -rewardHint})
}

// bidFlanges reads "flange 34 and 21" as their distances, where the hole circle was
// told under its own name.
func (s *scan) bidFlanges() {
	circle, ok := s.r.the(circleOption)
	offset, okay := s.r.the(offsetOption)
	if !ok || !okay || s.said.has(offset) {
		return
	}
	flange := func(i int) bool { return s.isWord(i, "flange") || s.isWord(i, "flanges") }
	named := slices.ContainsFunc(s.cues, func(c cued) bool { return c.option == circle && c.phrase.to > c.phrase.from && !flange(c.phrase.from) })
	for i := range s.tokens {
		v, ok := s.valAt(i + 1)
		if !named || !flange(i) || !ok {
			continue
		}
		to, a, b := v.to, v.a, v.b
		if !v.pair {
			w, ok := s.valAt(v.to + 1)
			if !ok || w.pair || !s.isAnd(v.to) {
				continue
			}
			to, b = w.to, w.a
		}
		shareUnit(&a, &b)
		for _, m := range [...]*quantity.Measure{&a, &b} {
			if m.Unit == quantity.NoUnit {
				m.Unit = quantity.MM
			}
		}
		if n := s.r.options[offset].numbers; n.holds(a) && n.holds(b) {
			x, y := s.elements(offset, a, b, true)
			s.offer(s.boxed(bid{from: int8(i), to: int8(to), option: int16(offset), cost: 0, value: x, value2: y}, spec.Each))
		}
	}
}
