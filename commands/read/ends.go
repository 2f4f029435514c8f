package read

import (
	"slices"
	"strings"

	"spokeword/commands/spec"
)

// This file tells which end a value is for: front or rear, left or right, hub
// or rim.

// claim finds the ends that are the value of an option of their own: "insert
// rear". No other value is at that end because of the word.
func (s *scan) claim() {
	s.claimed = cleared(s.claimed, len(s.tokens))
	for _, m := range s.matches {
		if m.inner {
			continue
		}
		for _, sn := range m.senses {
			if sn.role != means || s.r.options[sn.target].choices == nil || !s.r.options[sn.target].choices.Placed {
				continue
			}
			if i := s.endBeside(m.from, m.to); i >= 0 && !(i == m.from-1 && s.endsNumbers(i)) {
				s.claimed[i] = m.from + 1
			}
		}
	}
}

// endsNumbers reports whether the end at token i stands behind a number, as the other
// one does elsewhere: the "rear" of "2.5 front 2.4 rear inserts".
func (s *scan) endsNumbers(i int) bool {
	if i < 1 || !s.number[i-1] {
		return false
	}
	for j := range s.tokens {
		if j != i && j > 0 && s.number[j-1] && !s.number[j] && s.end[j][spec.FrontRear] != 0 && s.end[j][spec.FrontRear] != s.end[i][spec.FrontRear] {
			return true
		}
	}
	return false
}

// endBeside returns the token that names front or rear beside tokens from to
// to: behind them, or directly before them; -1 if none does.
func (s *scan) endBeside(from, to int) int {
	for i := to; i < len(s.tokens) && i < to+3; i++ {
		if s.end[i][spec.FrontRear] != 0 {
			return i
		}
		if !s.has(i, fills) {
			break
		}
	}
	if from > 0 && s.end[from-1][spec.FrontRear] != 0 {
		return from - 1
	}
	return -1
}

// otherWords name the side that is not named.
var otherWords = []string{"other", "andere", "anderen", "andern", "autre", "otro", "otra", "altro", "altra"}

// otherSide makes an "other" before a number the side that the line has not named:
// "drive side 115 kgf other 70".
func (s *scan) otherSide() {
	for i := 1; i < len(s.tokens); i++ {
		ahead := i+1 < len(s.tokens) && s.number[i+1] || i+2 < len(s.tokens) && s.isWord(i+1, "side") && s.number[i+2]
		if s.tokens[i].kind != word || !slices.Contains(otherWords, s.tokens[i].text) || s.number[i] || s.end[i] != (endAt{}) || !ahead && !s.number[i-1] {
			continue
		}
		var named [3]bool
		for j := range i {
			if e := s.end[j][spec.LeftRight]; e != 0 && !s.number[j] {
				switch spec.Which(e - 1) {
				case spec.FirstOnly:
					named[0] = true
				case spec.SecondOnly:
					named[1] = true
				default:
					named[2] = true
				}
			}
		}
		if named[0] == named[1] || named[2] {
			continue
		}
		opposite := spec.SecondOnly
		if named[1] {
			opposite = spec.FirstOnly
		}
		s.end[i][spec.LeftRight] = uint8(opposite) + 1
		s.role[i] |= 1 << ends
	}
}

// endAsks are the words with which a line asks for one end, having told the other.
var endAsks = []string{"what", "whats", "which", "how", "was", "welche", "wie", "quel", "quelle", "combien", "cuánto", "cuanto", "qué", "que", "quanto", "quale", "cosa"}

// mostToEnd is how many words may stand between such a word and the end.
const mostToEnd = 4

// askedEnd takes the end that a line asks for out of the way, where the other one
// was told and no number follows: the nds of "drive side 120 whats the nds".
func (s *scan) askedEnd() {
	s.asked = 0
	last := len(s.tokens) - 1
	for last >= 0 && !s.number[last] {
		last--
	}
	for i := last + 1; last >= 0 && i < len(s.tokens); i++ {
		for axis, e := range s.end[i] {
			if e == 0 || spec.Which(e-1) == spec.Both {
				continue
			}
			asks := false
			for j := i - 1; j > last && j >= i-mostToEnd; j-- {
				asks = asks || s.tokens[j].kind == word && slices.Contains(endAsks, s.tokens[j].text)
			}
			told := false
			for j := range i {
				told = told || s.end[j][axis] != 0 && s.end[j][axis] != e && spec.Which(s.end[j][axis]-1) != spec.Both
			}
			if asks && told {
				s.end[i][axis] = 0
				if spec.Axis(axis) == spec.FrontRear {
					s.asked = i + 1
				}
			}
		}
		if s.end[i] == (endAt{}) {
			s.role[i] &^= 1 << ends
		}
	}
}

// saidOfEnd reports whether a word that is said of an end of the axis stands directly
// before token i.
func (s *scan) saidOfEnd(i int, axis spec.Axis) bool {
	return slices.ContainsFunc(s.matches, func(m match) bool {
		return m.to == i && slices.ContainsFunc(m.senses, func(sn sense) bool {
			return sn.role == means && s.r.options[sn.target].choices != nil && s.r.options[sn.target].choices.Axis == axis
		})
	})
}

// sideLetters are the letters for left and right: those of gauche and droite beside
// numbers, those of left and right written to them.
var sideLetters = [...]struct {
	letters [2]string
	glued   bool
}{{[2]string{"g", "d"}, false}, {[2]string{"l", "r"}, true}}

// letterSides makes two letters the two sides where both stand beside numbers:
// "22,5 g 34 d", "22l 35r". Alone a g is a gram and an l a litre.
func (s *scan) letterSides() {
	for _, pair := range sideLetters {
		at := [2]int{-1, -1}
		for k, letter := range pair.letters {
			for i, t := range s.tokens {
				if t.kind != word || t.text != letter {
					continue
				}
				before := i > 0 && s.tokens[i-1].kind == number && (t.glued || !pair.glued)
				if before || !pair.glued && s.numberAt(i+1) || s.headsSide(i) {
					at[k] = i
					break
				}
			}
		}
		if at[0] < 0 || at[1] < 0 {
			continue
		}
		for k, i := range at {
			s.end[i][spec.LeftRight] = uint8([2]spec.Which{spec.FirstOnly, spec.SecondOnly}[k]) + 1
			s.role[i] |= 1 << ends
		}
	}
}

// numberAt reports whether token i is a number.
func (s *scan) numberAt(i int) bool { return i >= 0 && i < len(s.tokens) && s.tokens[i].kind == number }

// headsSide reports whether a capital letter at token i, behind no number, stands before
// one: "L 34.5 R 19.5".
func (s *scan) headsSide(i int) bool {
	t := s.tokens[i]
	return !t.glued && t.raw == strings.ToUpper(t.text) && !s.numberAt(i-1) && s.numberAt(i+1) && !s.tokens[i+1].glued
}

// shortPairs are words for two ends that mean so only beside each other: alone a
// "hi" greets, and "del" is "of the".
var shortPairs = [...]struct {
	axis  spec.Axis
	words [2]string
}{
	{spec.FrontRear, [2]string{"vo", "hi"}}, {spec.FrontRear, [2]string{"vorn", "hi"}}, {spec.FrontRear, [2]string{"vorne", "hi"}}, {spec.FrontRear, [2]string{"del", "tras"}},
	{spec.FrontRear, [2]string{"del", "det"}}, {spec.FrontRear, [2]string{"dav", "diet"}}, {spec.FrontRear, [2]string{"dev", "der"}}, {spec.FrontRear, [2]string{"ant", "post"}}, {spec.FrontRear, [2]string{"f", "b"}}, {spec.FrontRear, [2]string{"v", "h"}},
	{spec.LeftRight, [2]string{"li", "re"}}, {spec.LeftRight, [2]string{"lks", "rts"}}, {spec.LeftRight, [2]string{"sx", "dx"}}, {spec.LeftRight, [2]string{"izq", "der"}}, {spec.LeftRight, [2]string{"izda", "dcha"}}, {spec.LeftRight, [2]string{"gau", "dr"}},
}

// longestShortEnd is how many bytes the longest of them has.
const longestShortEnd = 5

// shortEnds makes the two of a pair the ends.
func (s *scan) shortEnds() {
	var short [MaxTokens]int8 // those that may be one
	n := 0
	for i, t := range s.tokens {
		if t.kind == word && len(t.text) <= longestShortEnd && s.besideNumber(i) {
			short[n], n = int8(i), n+1
		}
	}
	if n < 2 {
		return
	}
	find := func(text string) int {
		for _, i := range short[:n] {
			if s.tokens[i].text == text {
				return int(i)
			}
		}
		return -1
	}
	for _, pair := range shortPairs {
		one, other := find(pair.words[0]), find(pair.words[1])
		if one < 0 || other < 0 {
			continue
		}
		for k, at := range [2]int{one, other} {
			s.end[at][pair.axis] = uint8([2]spec.Which{spec.FirstOnly, spec.SecondOnly}[k]) + 1
			s.role[at] |= 1 << ends
		}
	}
}

// besideNumber reports whether a number stands directly beside token i.
func (s *scan) besideNumber(i int) bool {
	return i > 0 && s.tokens[i-1].kind == number || i+1 < len(s.tokens) && s.tokens[i+1].kind == number || i > 1 && s.tokens[i-1].kind == word && s.tokens[i-2].kind == number
}

// align finds the ends the line names, and whether they stand behind their
// values ("2.6 front 2.4 rear") or before them ("front 23 rear 26").
func (s *scan) align() {
	for a := range s.axisHas {
		s.axisHas[a] = [2]int{-1, -1}
	}
	var before, behind [4]int
	for i := range s.tokens {
		if s.number[i] || s.claimed[i] != 0 {
			continue
		}
		for axis, e := range s.end[i] {
			if e == 0 {
				continue
			}
			which := spec.Which(e - 1)
			side := 0
			if which == spec.SecondOnly {
				side = 1
			}
			if which != spec.Both && s.axisHas[axis][side] < 0 {
				s.axisHas[axis][side] = i
			}
			if s.valueEndsAt(i) && !s.pairEndsAt(i) { // "45/52 left 23": the pair has its ends
				behind[axis]++
			}
			if s.valueStartsAt(i+1) && !s.pairStartsAt(i+1) {
				before[axis]++
			}
		}
	}
	for a := range s.post {
		switch {
		case behind[a] != before[a]:
			s.post[a] = behind[a] > before[a]
		default:
			// as many of either: the first end's place decides
			first := len(s.tokens)
			for _, i := range s.axisHas[a] {
				if i >= 0 && i < first {
					first = i
				}
			}
			s.post[a] = first < len(s.tokens) && s.valueEndsAt(first) && !s.opensPair(s.axisHas[a])
		}
	}
}

// opensPair reports whether the ends of an axis stand before two values of one sort,
// and what stands before the first is of another: "88 davanti 29x2,6 dietro
// 27,5x2,8" is a rider and two tyres.
func (s *scan) opensPair(at [2]int) bool {
	first, last := min(at[0], at[1]), max(at[0], at[1])
	if first <= 0 {
		return false
	}
	before := first - 1
	for before > 0 && s.tokens[before].kind != number {
		before--
	}
	next := func(i int) int {
		for i < len(s.tokens) && s.tokens[i].kind != number {
			i++
		}
		return i
	}
	a, b := next(first), next(last)
	if a >= last || b >= len(s.tokens) || s.tokens[before].kind != number {
		return false
	}
	announced := s.has(before-1, cues) && last == b-1 && !s.gluedWord(b+1) && !s.has(b+1, cues) // "pcd 61 left 34.5 right 19.5"
	return s.alikeAt(a, b) && (!s.alikeAt(before, a) || announced)
}

// alikeAt reports whether the numbers at two tokens begin values of one sort: tyres
// by their size, or numbers of one unit and a like size.
func (s *scan) alikeAt(i, j int) bool {
	size := func(i int) bool {
		return s.isWord(i+1, "x") && s.tokens[i+1].glued || nominal(s.tokens[i].num) && i+2 < len(s.tokens) && s.tokens[i+1].kind == number && s.tokens[i+1].num < 6
	}
	if size(i) || size(j) {
		return size(i) && size(j)
	}
	v, ok := s.valAt(i)
	w, okay := s.valAt(j)
	a, b := v.a.Number, w.a.Number
	return ok && okay && v.a.Unit == w.a.Unit && a <= 2*b && b <= 2*a
}

func (s *scan) valueEndsAt(i int) bool {
	holes, _ := s.r.the(holesOption)
	for i > 0 && (s.has(i-1, fills) || s.cueTo(holes, i-1)) && !s.number[i-1] { // "32 hole hub"
		i--
	}
	if i > 1 && s.carried(i-1) && (s.number[i-2] || i > 2 && s.has(i-2, fills) && s.number[i-3]) {
		return true // "50 kg of shopping rear"
	}
	if i > 1 && s.tokens[i-1].kind == word && s.role[i-1] == 0 && !s.number[i-1] && s.sizeEndsAt(i-1) {
		return true // "29x2.4 something front": the name of a tyre stands between
	}
	return i > 0 && (s.number[i-1] || s.suffix(i-1) || s.saysRadial(i-1))
}

// saysRadial reports whether token i names the lacing without crossings, which a
// side has as it has a number of them: "radial left 2x right".
func (s *scan) saysRadial(i int) bool {
	return s.tokens[i].kind == word && slices.ContainsFunc(s.matches, func(m match) bool {
		return m.from == i && m.to == i+1 && slices.ContainsFunc(m.senses, func(sn sense) bool { return sn.role == means && sn.value == "radial" })
	})
}

// carried reports whether the word at token i tells what is carried.
func (s *scan) carried(i int) bool {
	load, ok := s.r.the(loadOption)
	return ok && s.tokens[i].kind == word && s.cueTo(load, i)
}

// sizeEndsAt reports whether a tyre's size with wheel and width ends before token i.
func (s *scan) sizeEndsAt(i int) bool {
	return slices.ContainsFunc(s.tyres, func(m tyreMark) bool {
		return m.to == i && m.to > m.from+2 && m.mark.Width > 0 && (m.mark.Seat > 0 || len(m.mark.Seats()) > 0)
	})
}

// pairEndsAt reports whether a value for both ends stands directly before token
// i: the "rear" of "22/25 rear heavier casing" is not its.
func (s *scan) pairEndsAt(i int) bool {
	for i > 0 && s.has(i-1, fills) && !s.number[i-1] {
		i--
	}
	return slices.ContainsFunc(s.vals, func(v val) bool { return v.pair && v.to == i })
}

// pairStartsAt reports whether a value for both ends stands behind token i: the
// "rear" of "strike rear 22/25" is not its.
func (s *scan) pairStartsAt(i int) bool {
	for i < len(s.tokens) && s.has(i, fills) && !s.number[i] {
		i++
	}
	return slices.ContainsFunc(s.vals, func(v val) bool { return v.pair && v.from == i })
}

// suffix reports whether token i is a letter glued to a number: 30i, 3x.
func (s *scan) suffix(i int) bool {
	return i > 0 && s.tokens[i].kind == word && s.tokens[i].glued && s.number[i-1] || i > 0 && s.isMark(i, `"`) && s.number[i-1]
}

func (s *scan) valueStartsAt(i int) bool {
	for i < len(s.tokens) && s.has(i, fills) && !s.number[i] {
		i++
	}
	return i < len(s.tokens) && (s.number[i] || s.saysRadial(i))
}

// sideAt returns the side of the wheel that token i names.
func (s *scan) sideAt(i int) (spec.Which, bool) {
	if i < 0 || i >= len(s.tokens) || s.number[i] || s.end[i][spec.LeftRight] == 0 {
		return spec.Both, false
	}
	return spec.Which(s.end[i][spec.LeftRight] - 1), true
}

// endOf returns the end named beside tokens from to to, on an axis.
func (s *scan) endOf(from, to int, axis spec.Axis) (spec.Which, bool) {
	if axis == spec.NoAxis {
		return spec.Both, false
	}
	at := func(i int) (spec.Which, bool) {
		if i >= 0 && i < len(s.tokens) && s.end[i][axis] != 0 && !s.number[i] && s.claimed[i] == 0 {
			return spec.Which(s.end[i][axis] - 1), true
		}
		return spec.Both, false
	}
	for i := from; i < to; i++ { // between a cue and its value
		if w, ok := at(i); ok {
			return w, true
		}
	}
	j := from - 1
	for j >= 0 && from-j < 3 && (s.has(j, fills) || axis == spec.LeftRight && (s.isWord(j, "tension") || s.isWord(j, "flange")) || s.endNow(j, axis) || s.isMark(j, ":") || s.isMark(j, "=")) && s.end[j] == (endAt{}) && !s.number[j] {
		j-- // "ds tension 120", "L flange 34.5"
	}
	k := to
	for k < len(s.tokens) && k-to < 2 && s.has(k, fills) && s.end[k] == (endAt{}) && !s.number[k] {
		k++
	}
	if axis == spec.LeftRight {
		if m := s.towards(to); m > to {
			k = m // "2.5 mm off to the left"
		}
	}
	w1, left := at(j)
	w2, right := at(k)
	if right && k > to && s.placing(k-1) { // "60 kg of tools on the back 20x2.15"
		return w2, true
	}
	if left && s.placing(j-1) && j >= 2 && (s.number[j-2] || s.has(j-2, cues)) {
		left = false // that end belongs to what stands before it
	}
	switch {
	case left && right && j == from-1 && !slices.Contains(s.number[from:to], true) && (j == 0 || !s.number[j-1] && !s.saidOfEnd(j, axis)) && (k > to || k+1 < len(s.tokens) && s.has(k+1, means) || s.opensSaying(k)):
		return w1, true // "front squirmy in berms rear fine"
	case left && right && s.post[axis]:
		return w2, true
	case left && right:
		return w1, true
	case left && s.post[axis] && s.valueEndsAt(j) && !s.pairEndsAt(j): // it belongs to the value before it
		return spec.Both, false
	case right && !s.post[axis] && s.valueStartsAt(k+1) && !s.pairStartsAt(k+1):
		return spec.Both, false
	case left:
		return w1, true
	case right:
		return w2, true
	}
	return spec.Both, false
}

// towards returns where an end stands behind words at token i that lead to it: the
// "left" of "off to the left"; i if none does.
func (s *scan) towards(i int) int {
	j := i
	for j < i+3 && (s.isWord(j, "off") || s.isWord(j, "to") || s.isWord(j, "towards") || s.isWord(j, "the")) {
		j++
	}
	if j > i && j < len(s.tokens) && s.end[j][spec.LeftRight] != 0 {
		return j
	}
	return i
}

// opensSaying reports whether a phrase that means something begins with the end at
// token i: the "rear" of "rear fine", "rear hit the rim".
func (s *scan) opensSaying(i int) bool {
	return slices.ContainsFunc(s.matches, func(m match) bool {
		return (m.from == i || m.from == i+1) && m.to > i+1 && slices.ContainsFunc(m.senses, func(sn sense) bool { return sn.role == means && s.r.options[sn.target].choices != nil })
	})
}

// endNow reports whether token i is a "now" behind an end: "rear now heavy casing".
func (s *scan) endNow(i int, axis spec.Axis) bool {
	return axis == spec.FrontRear && i > 0 && s.tokens[i].kind == word && thenWord(s.tokens[i]) && s.end[i-1][axis] != 0
}

// placing reports whether token i is a little word that places something at an
// end: "on the back".
func (s *scan) placing(i int) bool {
	if s.isWord(i, "the") || s.isWord(i, "my") {
		i--
	}
	return s.isWord(i, "on") || s.isWord(i, "at") || s.isWord(i, "auf")
}
