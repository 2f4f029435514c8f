package read

import (
	"slices"

	"spokeword/calc/quantity"
	"spokeword/commands/spec"
)

// This file reads rims and tyres that take the place of others, where words beside
// them tell which was there and which is there now: "the new wheels have 35 inside,
// the old ones had 25", "2.35 out, 2.6 in".

// age is whether something was there, or is there now.
type age int8

const (
	ageless age = iota
	former
	latter
)

// ages are the words that tell it, beside what they speak of.
var ages = map[string]age{
	"was": former, "were": former, "had": former, "old": former, "before": former, "b4": former, "previous": former, "previously": former, "from": former, "used": former, "came": former,
	"war": former, "hatte": former, "hab": former, "alt": former, "alte": former, "alten": former, "alter": former, "vorher": former, "bisher": former, "davor": former, "statt": former, "von": former,
	"avant": former, "ancien": former, "ancienne": former, "anciens": former, "anciennes": former, "avais": former, "etait": former, "était": former,
	"antes": former, "viejo": former, "vieja": former, "viejas": former, "tenia": former, "tenía": former, "era": former, "llevaba": former, "anterior": former,
	"prima": former, "vecchio": former, "vecchia": former, "vecchi": former, "vecchie": former, "avevo": former,
	"now": latter, "new": latter, "newer": latter, "putting": latter, "going": latter, "fitting": latter, "get": latter, "getting": latter, "becomes": latter,
	"jetzt": latter, "neu": latter, "neue": latter, "neuen": latter, "neuer": latter, "nun": latter, "kommt": latter, "kommen": latter, "auf": latter,
	"maintenant": latter, "nouveau": latter, "nouvelle": latter, "nouveaux": latter, "nouvelles": latter, "passe": latter, "mets": latter, "monte": latter,
	"ahora": latter, "nuevo": latter, "nueva": latter, "nuevas": latter, "nuevos": latter, "pongo": latter, "paso": latter,
	"adesso": latter, "ora": latter, "nuovo": latter, "nuova": latter, "nuovi": latter, "nuove": latter, "metto": latter, "monto": latter, "passo": latter,
}

// behindAges are the words that tell it only behind what they speak of: "2.35 out".
var behindAges = map[string]age{"out": former, "off": former, "before": former, "b4": former, "vorher": former, "avant": former, "antes": former, "prima": former, "raus": former, "runter": former, "in": latter, "now": latter, "instead": latter, "jetzt": latter, "drauf": latter, "maintenant": latter, "ahora": latter, "adesso": latter}

// farthestAge is how many words may stand between a value and the word that tells
// its age.
const farthestAge = 5

// ageOf returns the age of tokens from to to, by the nearest word that tells it
// with no other number between.
func (s *scan) ageOf(from, to int) age {
	for i := to; i < len(s.tokens) && i < to+3 && !s.number[i]; i++ {
		if s.isMark(i, ",") || s.isMark(i, ";") || s.isAnd(i) {
			break
		}
		a, ok := behindAges[s.tokens[i].text]
		if !ok || s.tokens[i].kind != word || s.namesEnd(i) {
			continue
		}
		switch s.tokens[i].text {
		case "out", "off", "raus", "runter": // nothing else is meant behind a size
			return a
		}
		if !(i+1 < len(s.tokens) && s.number[i+1]) {
			return a
		}
	}
	for i := from - 1; i >= 0 && i >= from-farthestAge && !s.number[i]; i-- {
		if s.from(i) {
			return former
		}
		a, ok := ages[s.tokens[i].text]
		if !ok || s.tokens[i].kind != word || s.namesEnd(i) {
			continue
		}
		if a == latter && thenWord(s.tokens[i]) && slices.ContainsFunc(s.tokens[i+1:from], owned) {
			return former // "now i have 29x2.25"
		}
		return a
	}
	return ageless
}

// owned reports whether a token says that something is there.
func owned(t token) bool {
	switch t.text {
	case "have", "ride", "run", "running", "use", "got", "am", "fahre", "hab", "habe", "ai", "roule", "tengo", "llevo", "uso", "ho":
		return true
	}
	return false
}

// namesEnd reports whether token i is an end of the bike, as the line names both:
// the "avant" of "1,6 avant 1,8 arrière".
func (s *scan) namesEnd(i int) bool {
	at := s.axisHas[spec.FrontRear]
	return s.end[i][spec.FrontRear] != 0 && at[0] >= 0 && at[1] >= 0
}

// puts reports whether one of the tokens says that something is put on.
func puts(t token) bool {
	switch t.text {
	case "putting", "fitting", "getting", "going", "monto", "metto", "pongo", "mets", "monte", "kommt", "kommen", "new", "neue", "neuen", "nouveaux", "nuevas", "nuove":
		return true
	}
	return false
}

// swapped returns which of two things was there and which is there now: the first
// then the second, or the other way round.
func (s *scan) swapped(from, to, nextFrom, nextTo int) (forward, backward bool) {
	for i := to; i < nextFrom; i++ {
		if s.insteadOf(i) {
			return false, true
		}
	}
	if s.swapWordBefore(from) && slices.ContainsFunc(s.tokens[to:nextFrom], func(t token) bool { return t.kind == word && (t.text == "for" || t.text == "with") }) {
		return true, false // "swapping its 2.35 for a 2.6"
	}
	a, b := s.ageOf(from, to), s.ageOf(nextFrom, nextTo)
	if s.isWord(nextTo, "in") && a == former && !(nextTo+1 < len(s.tokens) && s.number[nextTo+1]) { // "2.35 out 2.6 in"
		b = latter
	}
	joint := nextFrom > to && (s.until(nextFrom-1) || s.isMark(nextFrom-1, ">") || slices.ContainsFunc(s.tokens[to:nextFrom], thenWord))
	switch {
	case a == former && b == former, a == latter && b == latter:
		return a == former && joint, false // "from 25 before to 30": the nearest word is the first's
	case a == former && (b == latter || joint), a == ageless && b == latter && (joint || slices.ContainsFunc(s.tokens[to:nextFrom], puts)):
		return true, false
	case a == latter && b == former:
		return false, true
	}
	return false, false
}

// swapWords say that what follows is given for something else.
var swapWords = []string{"swap", "swaps", "swapping", "swapped", "trade", "trading", "traded", "replace", "replacing", "replaced", "changing", "exchange", "exchanging"}

// swapWordBefore reports whether one of them stands shortly before token i.
func (s *scan) swapWordBefore(i int) bool {
	for j := i - 1; j >= 0 && j >= i-3 && !s.number[j]; j-- {
		if s.isOneOf(j, swapWords) {
			return true
		}
	}
	return false
}

// bidSwaps offers what is swapped as the thing before and the one after.
func (s *scan) bidSwaps() {
	s.bidRimSwaps()
	s.bidTyreSwaps()
}

func (s *scan) bidRimSwaps() {
	before, ok := s.r.the(rimOption)
	after, okay := s.r.the(newrimOption)
	if !ok || !okay || !s.said.has(before) && !s.said.has(after) {
		return
	}
	var rims []val
	for i, v := range s.vals {
		m := v.a
		if m.Unit == quantity.NoUnit {
			m.Unit = quantity.MM
		}
		if m.Unit != quantity.MM || v.pair || m.Number < 15 || m.Number > 60 || m.Number != v.a.Number || s.inWire(v.from) || s.behindWheel(&s.vals[i]) || s.isWord(v.to, "x") || s.besideUnit(i) {
			continue
		}
		rims = append(rims, v)
	}
	for k := 0; k+1 < len(rims); k++ {
		v, w := rims[k], rims[k+1]
		rimLike := func(x val) bool {
			return s.isWord(x.to, "i") && s.tokens[x.to].glued || x.a.Unit == quantity.MM || s.cueTo(before, x.from-1) || s.cueTo(before, x.to) || s.isWord(x.from-1, "i") && s.tokens[x.from].glued
		}
		if !rimLike(v) && !rimLike(w) {
			continue
		}
		behind := v.to
		if s.cuesAt(before, behind) {
			behind++ // "25mm rims to 30mm rims"
		}
		forward, backward := s.swapped(v.from, behind, w.from, w.to)
		forward = forward || behind > v.to && s.until(behind) && w.from == behind+1
		if !forward && !backward {
			continue
		}
		if backward {
			v, w = w, v
		}
		for _, x := range [...]struct {
			v      val
			option int
		}{{v, before}, {w, after}} {
			m := x.v.a
			m.Unit = quantity.MM
			from, to := x.v.from, x.v.to
			if s.isWord(to, "i") && s.tokens[to].glued || s.cuesAt(before, to) {
				to++
			}
			if s.cuesAt(before, from-1) {
				from--
			}
			s.offer(s.boxed(bid{from: int8(from), to: int8(to), option: int16(x.option), cost: swapCost(x.option == after), value: rimOf(m)}, spec.Both))
		}
	}
}

// cuesAt reports whether the word at token i, and not only a hint, announces an option.
func (s *scan) cuesAt(o, i int) bool {
	return slices.ContainsFunc(s.matches, func(m match) bool {
		return m.from == i && m.to == i+1 && slices.ContainsFunc(m.senses, func(sn sense) bool { return sn.role == cues && sn.target == o })
	})
}

// besideUnit reports whether a bare number is followed by one with a unit of
// pressure that is its too: the "24" of "24/27 psi", "22 25 psi".
func (s *scan) besideUnit(i int) bool {
	return i+1 < len(s.vals) && s.vals[i].a.Unit == quantity.NoUnit && s.vals[i+1].from == s.vals[i].to && s.vals[i+1].a.Kind() == quantity.KindPressure
}

// swapCost is what a thing that is swapped costs: the one that comes says so too.
func swapCost(comes bool) float32 {
	if comes {
		return costSwap - rewardHint
	}
	return costSwap
}

// endAhead returns the end that the words before token i begin with, if they tell
// nothing but that something changes there: "front going from 2.35".
func (s *scan) endAhead(i int) (spec.Which, bool) {
	for j := i - 1; j >= 0 && j >= i-farthestAge && s.tokens[j].kind == word && !s.number[j]; j-- {
		if e := s.end[j][spec.FrontRear]; e != 0 {
			return spec.Which(e - 1), true
		}
		if _, known := ages[s.tokens[j].text]; !known && !s.idle(j) && !s.from(j) {
			break
		}
	}
	return spec.Both, false
}

func (s *scan) bidTyreSwaps() {
	before, ok := s.r.the(tyreOption)
	after, okay := s.r.the(newtyreOption)
	if !ok || !okay {
		return
	}
	var tyres []tyreMark
	for _, m := range s.tyres {
		if m.mark.Width > 0 && !m.cued && !m.seat && !s.listed(m) && !(s.isMark(m.to, "/") || s.isMark(m.from-1, "/")) && s.writtenAsWidth(m) {
			tyres = append(tyres, m)
		}
	}
	tyres = slices.DeleteFunc(tyres, func(m tyreMark) bool { // the 2.4 of "29x2.4"
		return slices.ContainsFunc(s.tyres, func(x tyreMark) bool { return x.from <= m.from && x.to >= m.to && x.to-x.from > m.to-m.from })
	})
	for k := 0; k+1 < len(tyres); k++ {
		v, w := tyres[k], tyres[k+1]
		if w.from < v.to {
			continue
		}
		forward, backward := s.swapped(v.from, v.to, w.from, w.to)
		cue, _, announced := s.cueBeside(after, v.from, v.to)
		announced = announced && cue < v.from && w.from == v.to+1 && (s.until(v.to) || s.isMark(v.to, ">"))
		if announced { // "wider tyre 2.4 to 2.6": the word is for the second, the first is what it was
			forward, backward = true, false
		}
		if !forward && !backward {
			continue
		}
		if backward {
			v, w = w, v
		}
		end, ended := s.endOf(v.from, v.to, spec.FrontRear)
		if !ended {
			end, ended = s.endAhead(min(v.from, w.from))
		}
		if at := s.axisHas[spec.FrontRear]; !ended && (at[0] >= 0) != (at[1] >= 0) { // "rear 26 psi swapping its 2.35 for a 2.6"
			end, ended = spec.FirstOnly, true
			if at[1] >= 0 {
				end = spec.SecondOnly
			}
		}
		for _, x := range [...]struct {
			m      tyreMark
			option int
		}{{v, before}, {w, after}} {
			b := bid{from: int8(x.m.from), to: int8(x.m.to), option: int16(x.option), cost: swapCost(x.option == after), value: x.m.mark, bare: x.m.bare()}
			if s.isWord(x.m.to, "s") && s.tokens[x.m.to].glued {
				b.to++
			}
			if announced && x.option == before {
				b.from, b.cost = int8(cue), b.cost-rewardHint
			}
			which, ok := s.endOf(x.m.from, x.m.to, spec.FrontRear)
			if !ok && ended {
				which = end // "front going from 2.35 to 2.5"
			}
			b.unsided = which == spec.Both
			s.offer(s.boxed(b, which))
		}
	}
}

// writtenAsWidth reports whether a tyre's size is written as one: with its wheel, or
// with a decimal, in inches.
func (s *scan) writtenAsWidth(m tyreMark) bool {
	if !m.bare() {
		return m.to > m.from+1
	}
	return s.tokens[m.from].num != float64(int(s.tokens[m.from].num)) && m.mark.Width < 6*quantity.Inch
}

// bidFormerTubes takes the word for tubes as what was, in a line that says that they
// are gone: "going tubeless, ran 29/32 with tubes".
func (s *scan) bidFormerTubes() { s.bidSaidBy("undo", "tubes", "system", "tubes") }

// bidChildInSeat takes the word for a child as who sits in the seat that a line tells:
// "kid 20kg in the childseat" is no child's bike.
func (s *scan) bidChildInSeat() { s.bidSaidBy("use", "childseat", "use", "child") }

// bidSaidBy takes the words for one value as part of what another value says.
func (s *scan) bidSaidBy(option, value, by, said string) {
	tells := func(m match, option, value string) bool {
		return !m.inner && slices.ContainsFunc(m.senses, func(sn sense) bool {
			return sn.role == means && sn.value == value && s.r.options[sn.target].name == option
		})
	}
	at := slices.IndexFunc(s.matches, func(m match) bool { return tells(m, option, value) })
	if at < 0 {
		return
	}
	for _, m := range s.matches {
		if tells(m, by, said) && (m.to <= s.matches[at].from || m.from >= s.matches[at].to) {
			s.offer(bid{from: int8(m.from), to: int8(m.to), option: -1, cost: -0.05})
		}
	}
}

// bidSystemNow takes of two systems the one that is there now, and the other as what
// was: "slashed it so tubes now, was 21/24 tubeless".
func (s *scan) bidSystemNow() {
	type told struct {
		m      match
		option int
		value  string
		now    bool
	}
	var all []told
	for _, m := range s.matches {
		for _, sn := range m.senses {
			if value, ok := sn.value.(string); ok && sn.role == means && !m.inner && s.r.options[sn.target].name == "system" {
				all = append(all, told{m, sn.target, value, s.isOneOf(m.to, nowWords) || s.isOneOf(m.from-1, nowWords)})
			}
		}
	}
	if len(all) != 2 || all[0].value == all[1].value || all[0].now == all[1].now {
		return
	}
	for _, x := range all {
		b := bid{from: int8(x.m.from), to: int8(x.m.to), option: -1, cost: -0.05}
		if x.now {
			b.option, b.value, b.cost = int16(x.option), x.value, -rewardHint
			b = s.boxed(b, spec.Both)
		}
		s.offer(b)
	}
}

// nowWords say that something is so now.
var nowWords = []string{"now", "jetzt", "maintenant", "ahora", "ora", "adesso"}
