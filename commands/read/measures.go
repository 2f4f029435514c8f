package read

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"spokeword/calc/quantity"
	"spokeword/commands/spec"
)

// This file finds the numbers of a line with their units.

// measures finds the numbers with their units.
func (s *scan) measures() {
	n := len(s.tokens)
	for i := 0; i < n; i++ {
		if s.tokens[i].kind != number || s.number[i] {
			continue
		}
		v := s.measure(i)
		if w, ok := s.fractional(i); ok { // 5/8 in, 1 3/8 in
			v = w
		} else if w, ok := s.lettered(v); ok { // i28/i26, 30i/28i, 2x/3x
			v = w
		} else if s.isMark(v.to, "/") && v.to+1 < n && s.tokens[v.to+1].kind == number && !s.slashList(v.to) {
			w := s.measure(v.to + 1)
			a, b := v.a, w.a
			shareUnit(&a, &b)
			if a.Kind() == b.Kind() && !s.apart(v, w) {
				v = val{from: i, to: w.to, a: a, b: b, pair: true, spaced: w.spaced}
			}
		}
		if v.a.Unit == quantity.PSIUnit && v.spaced && !v.pair && s.aWidth(v) && !s.low(i) {
			v.a.Unit, v.to, v.spaced = quantity.NoUnit, i+1, false // "2.4 psi?": the tyre, and what is wanted
		}
		for j := v.from; j < v.to; j++ {
			s.number[j] = true
		}
		if u := v.a.Unit; u != quantity.NoUnit {
			s.noteUnit(u)
		}
		s.vals = append(s.vals, v)
	}
}

// aWidth reports whether a number is written as the width of a tyre off the road,
// and far from any pressure in psi.
func (s *scan) aWidth(v val) bool {
	return v.a.Number >= 1.7 && v.a.Number <= 5.3 && strings.ContainsAny(s.tokens[v.from].text, ".,")
}

// ofPressure are words before a pressure, however low, or a loss of some.
var ofPressure = []string{"at", "lose", "loses", "lost", "losing", "leaks", "drop", "drops", "dropped", "dropping", "by", "add", "added", "only", "just", "from", "to", "with", "holds", "reads", "shows", "running", "run", "minus", "plus", "down", "up", "about", "verliert", "perd", "pierde", "perde"}

// low reports whether a number of few psi at token i may be one that is ridden or lost:
// in a fat tyre, behind a word that says so, or where another number is the tyre's.
func (s *scan) low(i int) bool {
	for j, t := range s.tokens {
		if t.kind == word && (strings.HasPrefix(t.text, "fat") || t.text == "snow" || j == i-1 && slices.Contains(ofPressure, t.text)) ||
			t.kind == number && j != i && t.num >= 1.2 && t.num <= 5.5 && strings.ContainsAny(t.text, ".,") || t.kind == word && t.text == "x" {
			return true
		}
	}
	return false
}

// apart reports whether a slash between blanks parts two values of different
// things: "80 kg / 29x2.4 / 30 mm".
func (s *scan) apart(v, w val) bool {
	if s.tokens[v.to].glued {
		return false
	}
	sized := s.isWord(w.to, "x") && w.a.Unit == quantity.NoUnit && v.a.Unit != quantity.NoUnit
	return sized || s.isWord(v.from-1, "x") && w.a.Unit == quantity.MM
}

// fractional reads a fraction at token i, alone or behind a whole number, with
// the unit that makes it one: "5/8 in", "1 3/8\"", "3 1/2 lb", and "3/16 in mm",
// where only inches can be meant. A pair of numbers looks the same: alone a
// fraction is one of an inch in lowest terms, over 2, 4, 8, 16, 32 or 64.
func (s *scan) fractional(i int) (val, bool) {
	at, whole := i, 0.0
	if t := s.tokens[i]; t.num >= 0 && t.num == math.Trunc(t.num) && t.num < 1000 && !s.isMark(i+1, "/") {
		at, whole = i+1, t.num
		if s.isMark(at, "-") && s.tokens[at].glued {
			at++
		}
	}
	if at+2 >= len(s.tokens) || s.tokens[at].kind != number || !s.isMark(at+1, "/") || s.tokens[at+2].kind != number ||
		!s.tokens[at+1].glued || !s.tokens[at+2].glued || s.isMark(i-1, "/") || s.isMark(at+3, "/") {
		return val{}, false
	}
	part, err := quantity.Number(s.tokens[at].text + "/" + s.tokens[at+2].text)
	if err != nil || math.Mod(s.tokens[at].num, 2) == 0 {
		return val{}, false
	}
	u, to := s.unit(at + 3)
	if s.isMark(at+3, `"`) { // "1⅜″": the fraction is parted from its mark
		u, to = quantity.IN, at+4
	}
	v := val{from: i, to: to, a: quantity.Measure{Number: whole + part, Unit: u}}
	switch {
	case u == quantity.NoUnit && at == i && s.onlyNumber(at+2) && s.unitBehind(at+3).Kind() == quantity.KindLength:
		v.a.Unit, v.to = quantity.IN, at+3
		v.guess = fmt.Sprintf("typed as %s/%s, read as a fraction of an inch", s.tokens[at].text, s.tokens[at+2].text)
	case u == quantity.NoUnit, at == i && u != quantity.IN, u.Kind() == quantity.KindTemperature, u == quantity.StonePound, u == quantity.FT:
		return val{}, false
	default:
		v.spaced = !s.tokens[at+3].glued
	}
	return v, true
}

// mounted reports whether "on" and a number stand at token i: what stands
// before is on a rim, and no pressure: "can i put 2.2 on 35 mm rims".
func (s *scan) mounted(i int) bool {
	if !s.has(i, hints) || !(s.isWord(i, "on") || s.isWord(i, "auf") || s.isWord(i, "sur") || s.isWord(i, "en") || s.isWord(i, "su")) {
		return false
	}
	for j := i + 1; j < len(s.tokens) && j <= i+3; j++ {
		if s.tokens[j].kind == number {
			return true
		}
		if !s.has(j, fills) && !s.has(j, cues) {
			return false
		}
	}
	return false
}

// onlyNumber reports whether no number stands behind token i, nor before the
// fraction that ends there.
func (s *scan) onlyNumber(i int) bool {
	for j, t := range s.tokens {
		if t.kind == number && (j > i || j < i-2) {
			return false
		}
	}
	return true
}

// fromUnit returns in which unit of pressure a bare number stands, where the line
// asks for it in the other: the psi of "20/23 in bar".
func (s *scan) fromUnit(v *val) quantity.Unit {
	if s.unknown(v.to) {
		return quantity.NoUnit // "3 lemons in psi"
	}
	for i := range s.tokens {
		switch n := v.a.Number; s.unitBehind(i) {
		case quantity.BarUnit, quantity.KPAUnit:
			if n >= 9 && n <= 120 {
				return quantity.PSIUnit
			}
		case quantity.PSIUnit:
			if n >= 0.5 && n <= 6 {
				return quantity.BarUnit
			}
		}
	}
	return quantity.NoUnit
}

// unitBehind returns the unit that a line asks for at token i: "in mm", "to mm".
func (s *scan) unitBehind(i int) quantity.Unit {
	if i+1 < len(s.tokens) && s.tokens[i].kind == word && s.tokens[i+1].kind == word {
		switch s.tokens[i].text {
		case "in", "to", "into", "as", "does", "only", "shows", "reads", "has":
			u, _ := quantity.UnitNamed(s.tokens[i+1].text)
			return u
		}
	}
	return quantity.NoUnit
}

// lettered reads a pair whose numbers carry the same letter each: i28/i26
// before them, 30i/28i behind them. The letter stays for the option it means.
func (s *scan) lettered(v val) (val, bool) {
	letter := func(i int) string {
		if i < 0 || i >= len(s.tokens) || s.tokens[i].kind != word || len(s.tokens[i].text) != 1 {
			return ""
		}
		return s.tokens[i].text
	}
	if v.a.Unit != quantity.NoUnit {
		return v, false
	}
	at := -1 // of the second number
	switch {
	case letter(v.from-1) != "" && s.tokens[v.from].glued && s.isMark(v.to, "/") && letter(v.to+1) == letter(v.from-1):
		at = v.to + 2
	case letter(v.to) != "" && s.tokens[v.to].glued && s.isMark(v.to+1, "/") && letter(v.to+3) == letter(v.to):
		at = v.to + 2
	}
	if at < 0 || at >= len(s.tokens) || s.tokens[at].kind != number {
		return v, false
	}
	v.b, v.pair, v.to = quantity.Measure{Number: s.tokens[at].num}, true, at+1
	return v, true
}

// noteUnit notes a unit that the line names: the first of its kind counts.
func (s *scan) noteUnit(u quantity.Unit) {
	if s.unitOf[u.Kind()] == quantity.NoUnit {
		s.unitOf[u.Kind()] = u
	}
}

// shareUnit lets a unit behind one number of a pair serve both: "22/25 psi".
// Stones and pounds, feet and inches don't: "13st7/80" says nothing of the 80.
func shareUnit(a, b *quantity.Measure) {
	if a.Unit == quantity.NoUnit {
		a, b = b, a
	}
	if b.Unit == quantity.NoUnit && a.Unit != quantity.StonePound && a.Unit != quantity.FootInch {
		b.Unit = a.Unit
	}
}

// slashList reports whether the slash at i is one of two in a row, as in
// 2.0/1.8/2.0, which is no pair.
func (s *scan) slashList(i int) bool {
	if i+2 < len(s.tokens) && s.isMark(i+2, "/") && i+3 < len(s.tokens) && s.tokens[i+3].kind == number {
		return true
	}
	return i >= 2 && s.isMark(i-2, "/") && s.tokens[i-1].kind == number
}

// measure reads the number at i with its unit, if one follows.
func (s *scan) measure(i int) val {
	t := s.tokens[i]
	v := val{from: i, to: i + 1, a: quantity.Measure{Number: t.num}}
	u, to := s.unit(i + 1)
	if u == quantity.NoUnit {
		if far, ok := s.unitBehindEnd(i + 1); ok {
			v.a.Unit, v.spaced = far, true
			return v
		}
	}
	if u == quantity.DegF && to == i+2 && len(s.tokens[i+1].text) == 1 && (!s.tokens[i+1].glued && s.rearLetter() || s.rearBehind(i+2)) {
		return v // "2.5 f 2.4 r", "22f 25r"
	}
	if to > i+1 && s.end[i+1][spec.LeftRight] != 0 && (u == quantity.G || u == quantity.L && s.tokens[i+1].glued && slices.ContainsFunc(s.tokens, func(t token) bool { return t.kind == word && t.text == "r" && t.glued })) {
		return v // "22,5 g 34 d", "22l 35r"
	}
	if u == quantity.NoUnit || u == quantity.DegC && t.num >= 400 || u.Kind() == quantity.KindTemperature && s.isWord(i-1, "x") { // 700c, 29x2.6f
		return v
	}
	v.a.Unit, v.to = u, to
	v.spaced = !s.tokens[i+1].glued
	per, small, joint := 14.0, quantity.LB, quantity.StonePound
	switch u {
	case quantity.StonePound:
		v.a = quantity.Compound(u, t.num, 0)
	case quantity.FT:
		per, small, joint = 12, quantity.IN, quantity.FootInch
	default:
		return v
	}
	// stones and pounds, feet and inches
	if to < len(s.tokens) && s.tokens[to].kind == number && t.num == math.Trunc(t.num) {
		if w, ok := s.fractional(to); ok && w.a.Unit == small && w.a.Number < per { // 5 ft 10 1/2 in
			v.a, v.to = quantity.Compound(joint, t.num, w.a.Number), w.to
			return v
		}
	}
	if to < len(s.tokens) && s.tokens[to].kind == number && s.tokens[to].num >= 0 && s.tokens[to].num < per && t.num == math.Trunc(t.num) {
		named, end := s.unit(to + 1)
		switch {
		case named == small:
			to = end
		case named == quantity.NoUnit && (s.tokens[to].glued || u == quantity.StonePound && s.tokens[to].num == math.Trunc(s.tokens[to].num)) && !s.isWord(to+1, "x"):
			to++
		default:
			return v
		}
		small := s.tokens[v.to].num
		v.to = to
		if small == 0 && u == quantity.FT {
			return v
		}
		v.a = quantity.Compound(joint, t.num, small)
	}
	return v
}

// unitBehindEnd returns the unit of pressure that stands behind the end of the bike at
// token i: "22 front 25 rear psi". Both numbers are in it.
func (s *scan) unitBehindEnd(i int) (quantity.Unit, bool) {
	for k := i; k < len(s.tokens) && k < i+2; k++ {
		if s.tokens[k].kind != word || s.end[k][spec.FrontRear] == 0 {
			return quantity.NoUnit, false
		}
		if k+1 < len(s.tokens) && s.tokens[k+1].kind == word && !s.tokens[k+1].glued {
			if u, ok := quantity.UnitNamed(s.tokens[k+1].text); ok && u.Kind() == quantity.KindPressure {
				return u, true
			}
		}
	}
	return quantity.NoUnit, false
}

// ends reports whether nothing but marks stands from token i on.
func (s *scan) ends(i int) bool {
	for ; i < len(s.tokens); i++ {
		if s.tokens[i].kind != mark {
			return false
		}
	}
	return true
}

// room reports whether the word at token i is where a tyre is pumped up or
// ridden: the "garage" of "24 in garage".
func (s *scan) room(i int) bool {
	for _, m := range s.matches {
		if m.from == i && slices.ContainsFunc(m.senses, func(sn sense) bool {
			n := s.r.numbersOf(sn)
			return n != nil && n.Kind == quantity.KindTemperature
		}) {
			return true
		}
	}
	return false
}

// rearLetter reports whether a letter of the line stands for the rear, so that
// an "f" beside it stands for the front.
func (s *scan) rearLetter() bool {
	return slices.ContainsFunc(s.tokens, func(t token) bool {
		return t.kind == word && !t.glued && (t.text == "r" || t.text == "rr" || t.text == "b")
	})
}

// rearBehind reports whether the next number from token i on is the rear's by
// its letter: the "25r" of "22f 25r".
func (s *scan) rearBehind(i int) bool {
	if i < len(s.tokens) && (s.tokens[i].kind == mark || s.isAnd(i)) {
		i++
	}
	return i+1 < len(s.tokens) && s.tokens[i].kind == number && s.isWord(i+1, "r") && s.tokens[i+1].glued
}

// mostInWheel is how many spokes a wheel has at most.
const mostInWheel = 72

// mostInches is how many inches anything here may have, behind a blank.
const mostInches = 60

// unit reads a unit at token i, and returns where it ends.
func (s *scan) unit(i int) (quantity.Unit, int) {
	if i >= len(s.tokens) {
		return quantity.NoUnit, i
	}
	t := s.tokens[i]
	if t.kind == mark {
		switch {
		case t.text == `"` && t.glued:
			return quantity.IN, i + 1
		case t.text == "'" && t.glued:
			if s.isMark(i+1, "'") && s.tokens[i+1].glued {
				return quantity.IN, i + 2 // two primes
			}
			return quantity.FT, i + 1
		}
		return quantity.NoUnit, i
	}
	if t.kind != word {
		return quantity.NoUnit, i
	}
	if len(t.text) == 1 && !t.glued && i+1 < len(s.tokens) && s.tokens[i+1].kind == number && s.tokens[i+1].glued {
		return quantity.NoUnit, i // "erd 600 f58/58": the letter is the next number's
	}
	if t.text == "°" || t.text == "deg" || t.text == "degrees" || t.text == "degree" {
		if s.isWord(i+1, "c") || s.isWord(i+1, "f") || s.isWord(i+1, "celsius") || s.isWord(i+1, "fahrenheit") {
			u, _ := quantity.UnitNamed(s.tokens[i+1].text)
			return u, i + 2
		}
	}
	u, ok := quantity.UnitNamed(t.text)
	if !ok {
		if t.text == "fl" && s.isWord(i+1, "oz") {
			return quantity.FLOZ, i + 2
		}
		return quantity.NoUnit, i
	}
	if t.glued {
		return u, i + 1
	}
	for _, m := range s.matches {
		if m.from == i && m.to > i+1 {
			return quantity.NoUnit, i // "in steps of"
		}
	}
	switch u {
	case quantity.IN:
		// "in" behind a blank is an inch only where no place or unit follows.
		if t.text == "in" && s.ends(i+1) && i >= 3 && s.isMark(i-2, "/") && s.tokens[i-1].num >= 9 {
			return quantity.NoUnit, i // "had 23/26 in"
		}
		if t.text == "in" && i+1 < len(s.tokens) && s.tokens[i+1].kind == number {
			return quantity.NoUnit, i // "291.4 in 1 mm steps"
		}
		if t.text == "in" && s.isWord(i+1, "in") && i+2 < len(s.tokens) && s.tokens[i+2].kind == word {
			if _, unit := quantity.UnitNamed(s.tokens[i+2].text); unit {
				return u, i + 1 // "5/8 in in mm"
			}
		}
		if t.text == "in" && (s.isWord(i+1, "both") || s.isWord(i+1, "front") || s.isWord(i+1, "rear")) && s.tokens[i-1].num >= 9 {
			return quantity.NoUnit, i // "32 in both"
		}
		if t.text == "in" && (s.isWord(i+1, "to") || s.isWord(i+1, "into") || s.isWord(i+1, "as")) {
			return u, i + 1 // "2.4 in to mm"
		}
		if t.text == "in" && !s.isMark(i-2, "/") && i+1 < len(s.tokens) && s.tokens[i-1].kind == number && s.tokens[i-1].num > mostInches {
			return quantity.NoUnit, i // "cut to 250 in opposite holes"
		}
		if t.text == "in" && (s.isWord(i+1, "a") || s.isWord(i+1, "an") || s.isWord(i+1, "the") || s.isWord(i+1, "my")) {
			return quantity.NoUnit, i // "a 2.6 in a frame"
		}
		if t.text == "in" && i+1 < len(s.tokens) && s.tokens[i+1].kind == word && (s.role[i+1]&(1<<cues|1<<hints|1<<ends|1<<calls) == 0 || s.room(i+1)) {
			return quantity.NoUnit, i
		}
		if t.text == "in" && i+1 < len(s.tokens) && s.tokens[i+1].kind == word {
			if _, unit := quantity.UnitNamed(s.tokens[i+1].text); unit {
				return quantity.NoUnit, i
			}
		}
	case quantity.L, quantity.N:
		if u == quantity.L && (i+1 < len(s.tokens) && s.cuesVolume(i+1) || s.cuedVolume(i-1)) {
			return u, i + 1 // "1 l bottle"
		}
		if len(t.text) == 1 && i+1 < len(s.tokens) {
			return quantity.NoUnit, i // "22 n wet", "16 l 21"
		}
	case quantity.M:
		if len(t.text) == 1 && i+1 < len(s.tokens) && (s.isMark(i+1, "'") || s.tokens[i-1].num < 200 && s.carried(i+1)) {
			return quantity.NoUnit, i // "95 m rucksack": with
		}
	}
	return u, i + 1
}

// cuesVolume reports whether a cue of a volume begins at token i.
func (s *scan) cuesVolume(i int) bool {
	for _, m := range s.matches {
		for _, sn := range m.senses {
			if n := s.r.numbersOf(sn); m.from == i && n != nil && n.Kind == quantity.KindVolume {
				return true
			}
		}
	}
	return false
}

// cuedVolume reports whether a cue of a volume ends before token i.
func (s *scan) cuedVolume(i int) bool {
	for _, m := range s.matches {
		for _, sn := range m.senses {
			if n := s.r.numbersOf(sn); m.to == i && n != nil && n.Kind == quantity.KindVolume {
				return true
			}
		}
	}
	return false
}
