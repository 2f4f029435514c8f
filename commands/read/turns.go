package read

import (
	"slices"
	"strings"

	"spokeword/calc/quantity"
	"spokeword/commands/spec"
)

// This file reads what turns into something else: from one value to another,
// was and now, one of two, and what stands off to a side.

// fromTo reports whether a bare number is one of two as "from 22 to 19", which
// are the same thing before and after.
func (s *scan) fromTo(vi int) bool {
	joined := func(a, b int) bool {
		if a < 0 || b >= len(s.vals) {
			return false
		}
		v, w := s.vals[a], s.vals[b]
		return v.a.Unit == quantity.NoUnit && w.a.Unit == quantity.NoUnit && s.from(v.from-1) && w.from == v.to+1 && s.until(v.to)
	}
	return joined(vi, vi+1) || joined(vi-1, vi)
}

// tyreWidths reports whether a number and the one it goes to or comes from are
// widths of tyres by the way they are written: "von 2.25 auf 2.4".
func (s *scan) tyreWidths(vi int) bool {
	written := func(i int) (width, hundredths bool) {
		if i < 0 || i >= len(s.vals) {
			return false, false
		}
		text := strings.ReplaceAll(s.tokens[s.vals[i].from].text, ",", ".")
		_, digits, _ := strings.Cut(text, ".")
		n := s.vals[i].a.Number
		return n >= 1.7 && n <= 5.2 && digits != "", len(digits) == 2
	}
	for _, pair := range [2]int{vi - 1, vi} {
		a, fine := written(pair)
		b, finer := written(pair + 1)
		if a && b && (fine || finer) {
			return true
		}
	}
	return false
}

// toBelowNought reports whether a bare number goes to one below nought, or from
// one: both are temperatures then.
func (s *scan) toBelowNought(vi int) bool {
	for _, pair := range [][2]int{{vi, vi + 1}, {vi - 1, vi}} {
		if pair[0] < 0 || pair[1] >= len(s.vals) {
			continue
		}
		v, w := s.vals[pair[0]], s.vals[pair[1]]
		if v.a.Unit == quantity.NoUnit && w.a.Unit == quantity.NoUnit && w.from == v.to+1 && (s.isWord(v.to, "to") || s.isMark(v.to, ">")) && (v.a.Number < 0 || w.a.Number < 0) {
			return true
		}
	}
	return false
}

// wasNow reports whether a bare number is one of two as "was 7 now 4": the same
// thing before and after, of which a cue tells what it is.
func (s *scan) wasNow(vi int) bool {
	return s.bareBetween(vi, func(v, w val) bool {
		return s.isWord(v.from-1, "was") && w.from == v.to+1 && s.isWord(v.to, "now")
	})
}

// thenWord reports whether a token says that what follows came later.
func thenWord(t token) bool {
	switch t.text {
	case "now", "then", "jetzt", "jetz", "dann", "danach", "puis", "ensuite", "maintenant", "luego", "ahora", "después", "poi", "ora", "adesso", "dopo", "after", "va", ">":
		return true
	}
	return false
}

// millimetric reports whether a value may be a small length: bare, or in millimetres.
func millimetric(v val) bool {
	return v.a.Unit == quantity.NoUnit || v.a.Unit == quantity.MM
}

// bidTurned reads "was 7 now 4" as the pair of an option that the line names.
func (s *scan) bidTurned() {
	for i := 0; i+1 < len(s.vals); i++ {
		v, w := s.vals[i], s.vals[i+1]
		if v.pair || w.pair || w.from <= v.to || w.from > v.to+2 || !slices.ContainsFunc(s.tokens[v.to:w.from], thenWord) || !millimetric(v) || !millimetric(w) {
			continue
		}
		for _, o := range s.r.holding.numbers {
			n := s.r.options[o].numbers
			if !n.Turned || !s.said.has(o) {
				continue
			}
			first, err := n.one(s.tokens[v.from].text)
			second, err2 := n.one(s.tokens[w.from].text)
			if err != nil || err2 != nil {
				continue
			}
			from := v.from
			if from > 0 && s.tokens[from-1].kind == word && s.role[from-1]&(1<<cues|1<<hints|1<<fills) != 0 {
				from-- // "was", "war", "da"
			}
			s.offer(s.boxed(bid{from: int8(from), to: int8(w.to), option: int16(o), cost: -rewardHint, value: first, value2: second}, spec.Each))
		}
	}
}

// bidRimTurns reads "from 25 to 30 mm rims" as the rim before and after, one bid
// for both.
func (s *scan) bidRimTurns() {
	before, ok := s.r.the(rimOption)
	after, okay := s.r.the(newrimOption)
	if !ok || !okay {
		return
	}
	width := func(m quantity.Measure) bool {
		if m.Unit == quantity.NoUnit {
			m.Unit = quantity.MM
		}
		return m.Kind() == quantity.KindLength && m.Length() >= 12*quantity.Millimetre && m.Length() <= 110*quantity.Millimetre
	}
	for i := 0; i+1 < len(s.vals); i++ {
		v, w := s.vals[i], s.vals[i+1]
		if s.bidRimInstead(i, before, after, width) {
			continue
		}
		mid := v.to
		if s.isWord(mid, "i") && s.tokens[mid].glued || s.cueTo(before, mid) && !s.number[mid] { // "25i for 30i", "from 30 inner to 35 inner"
			mid++
		}
		swapped := (s.isWord(v.from-1, "swap") || s.isWord(v.from-1, "swapped") || s.isWord(v.from-1, "swapping") || s.isWord(v.from-1, "change") || s.isWord(v.from-1, "changed")) &&
			(s.isWord(mid, "for") || s.isWord(mid, "to") || s.isWord(mid, "with"))
		if v.pair || w.pair || w.from != mid+1 || !swapped && !(s.from(v.from-1) && s.until(mid)) || !width(v.a) || !width(w.a) {
			continue
		}
		b := bid{from: int8(v.from - 1), to: int8(w.to), option: int16(before), also: int16(after + 1), cost: -rewardHint}
		named := false
		for _, c := range s.cues {
			if c.option == before && (c.val == i || c.val == i+1) && (!c.weak || c.to > w.to) {
				named = true
				b.from, b.to = min(b.from, int8(c.from)), max(b.to, int8(c.to))
			}
		}
		if !named {
			continue
		}
		mm := func(m quantity.Measure) any {
			if m.Unit == quantity.NoUnit {
				m.Unit = quantity.MM
			}
			return rimOf(m)
		}
		b.value, b.value2 = spec.OneFor(mm(v.a)), spec.OneFor(mm(w.a))
		s.offer(b)
	}
}

// bidRimInstead reads "35er maulweite statt 30" as the rim it is changed to and the
// one before.
func (s *scan) bidRimInstead(i, before, after int, width func(quantity.Measure) bool) bool {
	v, w := s.vals[i], s.vals[i+1]
	if v.pair || w.pair || !width(v.a) || !width(w.a) || !slices.ContainsFunc(s.cues, func(c cued) bool {
		return (c.option == before || c.option == after) && (c.val == i || c.val == i+1) && !c.weak
	}) {
		return false
	}
	at := v.to
	for at < w.from && !s.insteadOf(at) && at < v.to+3 {
		at++
	}
	from, ok := s.pastInstead(at)
	if !ok {
		return false
	}
	for from < w.from && (s.has(from, fills) || s.cueTo(before, from)) {
		from++
	}
	if from != w.from {
		return false
	}
	mm := func(m quantity.Measure) any {
		m.Unit = quantity.MM
		return spec.OneFor[any](rimOf(m))
	}
	s.offer(bid{from: int8(v.from), to: int8(w.to), option: int16(before), also: int16(after + 1), cost: -2 * rewardHint, value: mm(w.a), value2: mm(v.a)})
	return true
}

// insteadOf reports whether words that put one thing in the place of another stand
// at token i.
func (s *scan) insteadOf(i int) bool {
	_, ok := s.pastInstead(i)
	return ok
}

// pastInstead returns where they end.
func (s *scan) pastInstead(i int) (int, bool) {
	switch {
	case s.isWord(i, "statt"), s.isWord(i, "anstatt"), s.isWord(i, "antes"), s.isWord(i, "vorher"):
		return i + 1, true
	case s.isWord(i, "instead") && s.isWord(i+1, "of"), s.isWord(i, "invece") && (s.isWord(i+1, "di") || s.isWord(i+1, "del") || s.isWord(i+1, "dei")):
		return i + 2, true
	case s.isWord(i, "au") && s.isWord(i+1, "lieu") && (s.isWord(i+2, "de") || s.isWord(i+2, "du")),
		s.isWord(i, "en") && (s.isWord(i+1, "vez") || s.isWord(i+1, "lugar")) && (s.isWord(i+2, "de") || s.isWord(i+2, "del")),
		s.isWord(i, "al") && s.isWord(i+1, "posto") && (s.isWord(i+2, "di") || s.isWord(i+2, "del") || s.isWord(i+2, "della") || s.isWord(i+2, "dei") || s.isWord(i+2, "delle")):
		return i + 3, true
	}
	return i, false
}

// bidERDTurns reads "erd 601 to 596" and "from 603 to 597 erd" as the ERD of the
// rim before and of the one after, one bid for both.
func (s *scan) bidERDTurns() {
	erd, ok := s.r.the(erdOption)
	if !ok || !s.said.has(erd) {
		return
	}
	was := slices.IndexFunc(s.r.options, func(o option) bool {
		return o.name == "was" && o.numbers != nil && o.numbers.Kind == quantity.KindLength
	})
	if was < 0 {
		return
	}
	n := s.r.options[erd].numbers
	usual := func(v val) bool {
		_, ok := n.habit(v.a, v.b, v.pair, quantity.NoUnit, true)
		return !v.pair && (v.a.Unit == quantity.NoUnit && ok || v.a.Unit == quantity.MM && n.holds(v.a) && v.a.Number >= 300)
	}
	for i := 0; i+1 < len(s.vals); i++ {
		v, w := s.vals[i], s.vals[i+1]
		wasNow := s.isWord(v.from-1, "was") && (s.isWord(w.from-1, "now") || s.isWord(w.from-1, "is")) && w.from-v.to <= 3
		if !wasNow && (w.from != v.to+1 || !s.until(v.to) && !s.isMark(v.to, ">")) || !usual(v) || !usual(w) {
			continue
		}
		named := slices.ContainsFunc(s.cues, func(c cued) bool { return c.option == erd && !c.weak && (c.val == i || c.val == i+1) }) || wasNow && s.said.has(erd)
		if !named {
			continue
		}
		from, to := v.from, w.to
		if wasNow {
			from--
		}
		for from > 0 && (s.from(from-1) || s.cueTo(erd, from-1)) {
			from--
		}
		if s.cueTo(erd, to) {
			to++
		}
		mm := func(m quantity.Measure) any { m.Unit = quantity.MM; return spec.OneFor[any](m) }
		s.offer(bid{from: int8(from), to: int8(to), option: int16(erd), also: int16(was + 1), cost: -rewardHint, value: mm(w.a), value2: mm(v.a)})
	}
}

// bidOff reads "0.7 right" as how far something stands off to that side, where
// an option of places knows the word.
func (s *scan) bidOff() {
	for _, o := range s.r.holding.spots {
		f := s.r.options[o].form.(Spots)
		for _, v := range s.vals {
			sign, far := s.offWay(f, v)
			if v.pair || !far || v.a.Unit != quantity.NoUnit && v.a.Unit != quantity.MM || v.a.Number <= 0 || v.a.Number >= 10 {
				continue
			}
			off := Spot{Off: quantity.Length(sign*v.a.Number) * quantity.Millimetre}
			s.offer(s.boxed(bid{from: int8(v.from), to: int8(v.to + 1), option: int16(o), cost: 0.6, value: off, open: true}, spec.Both))
		}
	}
}

// offWay returns the way that the word directly behind a value names to an
// option of places: 1 or -1.
func (s *scan) offWay(f Spots, v val) (sign float64, ok bool) {
	if v.to >= len(s.tokens) || s.tokens[v.to].kind != word || len(s.tokens[v.to].text) < 2 || s.end[v.to][spec.LeftRight] == 0 {
		return 0, false // "2 mm in use" goes nowhere
	}
	return f.sign(s.tokens, v.to)
}

// dishWords tell that it is the middle of the whole rim that is spoken of, and
// gapWords that a gauge was read.
var (
	dishWords = []string{"dish", "dished", "dishing", "redish", "rebuild", "rebuilt", "flip", "flipped", "centring", "centrage", "mittig", "mittigkeit", "paraguas", "campanatura", "spostato", "spostata"}
	sitWords  = []string{"sits", "stands", "sitzt", "steht"}
	elseWords = []string{"spokes", "by", "holes", "hole", "erd", "offset", "asym", "drilled"} // a place, or how a rim is made
	gapWords  = []string{"gap", "tool", "gauge", "finger", "pointer", "lehre", "spalt", "wobble", "hop", "buckle", "kink", "at", "spoke", "between"}
)

// middleWords name the middle.
var middleWords = []string{"centre", "center", "middle", "mitte", "centro", "mezzo"}

// wayWords lead to a side.
var wayWords = []string{"towards", "toward", "nach", "zur", "vers", "à", "hacia", "a", "la", "verso", "alla"}

// leastWholeRim is from how many millimetres on a wheel that is out to a side, with no
// word for a place, is rather off the middle than buckled. Common practice, no source.
const leastWholeRim = 2

// dishOff reports whether tokens tell how far a whole rim stands to a side: "dish 3mm
// off to the left".
func dishOff(tokens []token) bool {
	in := func(words []string) bool {
		return slices.ContainsFunc(tokens, func(t token) bool { return t.kind == word && slices.Contains(words, t.text) })
	}
	aside := in([]string{"off", "over", "out"})
	far := slices.ContainsFunc(tokens, func(t token) bool { return t.kind == number && t.num >= leastWholeRim && t.num < 15 })
	whole := in(sitWords) && aside || in([]string{"wheel", "rim"}) && aside && far // "rear wheel 3mm out to the drive side"
	return (in(dishWords) || whole && !in(elseWords)) && !in(gapWords)
}

// pullWords say that a rim stands to a side.
var pullWords = []string{"pulls", "pulled", "pulling", "leans", "hangs", "zieht", "tire", "tira"}

// pulledTo returns the side that stands between a word that pulls, at token i, and a
// value at token v: 0 for none. "Pulls to the drive side 3 mm".
func (s *scan) pulledTo(i, v int) uint8 {
	if i < 0 || v <= i || v > i+6 {
		return 0
	}
	for k := i + 1; k < v; k++ {
		if e := s.end[k][spec.LeftRight]; e != 0 && spec.Which(e-1) != spec.Both {
			return e
		}
	}
	return 0
}

// bidDishOff reads it, and what a wheel pulls to a side.
func (s *scan) bidDishOff() {
	o, ok := s.r.the(asideOption)
	if at := s.axisHas[spec.LeftRight]; at[0] < 0 && at[1] < 0 {
		return
	}
	pulls := slices.IndexFunc(s.tokens, func(t token) bool { return t.kind == word && slices.Contains(pullWords, t.text) })
	if !ok || !dishOff(s.tokens) && pulls < 0 {
		return
	}
	for _, v := range s.vals {
		if v.pair || v.a.Unit != quantity.NoUnit && v.a.Unit != quantity.MM || v.a.Number <= 0 || v.a.Number >= 15 {
			continue
		}
		if end := s.pulledTo(pulls, v.from); end != 0 {
			m := v.a
			m.Unit = quantity.MM
			s.offer(s.boxed(bid{from: int8(pulls), to: int8(v.to), option: int16(o), cost: -rewardHint, value: m}, spec.Which(end-1)))
			continue
		}
		at := v.to
		for at < len(s.tokens) && at < v.to+4 && (s.isWord(at, "off") || s.isWord(at, "out") || s.isWord(at, "over") || s.isWord(at, "to") || s.isWord(at, "too") || s.isWord(at, "far") || s.isWord(at, "the") || s.isOneOf(at, wayWords)) {
			at++
		}
		if at == v.to || at >= len(s.tokens) || s.end[at][spec.LeftRight] == 0 {
			continue
		}
		w := spec.Which(s.end[at][spec.LeftRight] - 1)
		m := v.a
		m.Unit = quantity.MM
		to := at + 1
		if (s.from(to) || s.isWord(to, "of") || s.isWord(to, "del")) && s.isOneOf(to+1, middleWords) {
			to += 2 // "a sinistra dal centro"
		}
		if w != spec.Both {
			s.offer(s.boxed(bid{from: int8(v.from), to: int8(to), option: int16(o), cost: -rewardHint, value: m}, w))
		}
	}
}

// oneOf reports whether a bare number is one of two alternatives: an option of
// one value can't be both.
func (s *scan) oneOf(vi int) bool {
	return s.bareBetween(vi, func(v, w val) bool { return w.from == v.to+1 && s.has(v.to, joins) })
}

// bareBetween reports whether a bare number and its neighbour, before or behind,
// are as told.
func (s *scan) bareBetween(vi int, are func(v, w val) bool) bool {
	for _, i := range [2]int{vi - 1, vi} {
		if i < 0 || i+1 >= len(s.vals) {
			continue
		}
		if v, w := s.vals[i], s.vals[i+1]; v.a.Unit == quantity.NoUnit && w.a.Unit == quantity.NoUnit && !v.pair && !w.pair && are(v, w) {
			return true
		}
	}
	return false
}
