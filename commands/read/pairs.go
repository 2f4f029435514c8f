package read

import (
	"slices"
	"strings"

	"spokeword/calc/quantity"
	"spokeword/commands/spec"
)

// This file reads pairs that people say in words of their own: gaps of a wheel that
// was flipped, the two marks of a tyre, two wheels with one width.

// bidFlipped reads "flipped it, 5 mm one way and 9 the other" as the two gaps.
func (s *scan) bidFlipped() {
	dish, ok := s.r.optionNamed("dish")
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

// bidMarkedRange reads "tyre says 35-60 psi" as its lowest and highest mark.
func (s *scan) bidMarkedRange() {
	least, ok := s.r.optionNamed("tyremin")
	most, okay := s.r.optionNamed("tyremax")
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

// bidMixedWheels reads "29 front 27.5 rear, both 2.5" as two whole sizes.
func (s *scan) bidMixedWheels() {
	tyre, ok := s.r.optionNamed("tyre")
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
