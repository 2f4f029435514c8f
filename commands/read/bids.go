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

// What leaving a token out, or taking it in a given way, costs. The figures
// are habits of the trade put in order, found by reading many lines; only
// their order and rough distance matter.
const (
	costNumber  = 2.5  // a number left out
	costMeasure = 3.0  // a number with its unit left out
	costCue     = 0.6  // an option's cue left out
	costValue   = 1.0  // an option's value left out
	costForeign = 1.1  // another command's word left out
	costWord    = 0.4  // an unknown word left out
	costMeant   = 0.15 // a small word that may be an option's value
	costCounted = 0.3  // a number that counts things
	costUnit    = 0.35
	costEndless = 0.05 // a value for both ends where the line names ends
	costMistake = 0.8  // a value with a unit that can't be meant, beside its cue
	costBlunder = 2.0  // a bare number that can't be meant, beside its cue
	costSlip    = 0.15 // a misspelt word
	costRepeat  = 0.3  // a number said twice
	// a bare number read in another unit than the line names
	costOtherUnit = 0.8
)

// bid is an option's offer to read tokens from to to as its value. A bid
// without an option takes tokens that say nothing.
type bid struct {
	from, to int8
	option   int16 // -1: none
	also     int16 // 1 + a second option read from the same tokens: 0: none
	cost     float32
	which    spec.Which
	later    bool // the second of two values without an end of their own
	unsided  bool
	said     bool // assumed: to be said
	value    any
	value2   any
	why      string
	problem  string // the mistake, if the value can't be meant
	names    int16  // 1 + the command that the tokens name; 0: none
}

// val is a number in the line, or two of them with a slash between.
type val struct {
	from, to int
	a, b     quantity.Measure
	pair     bool
	spaced   bool // the unit stands behind a blank
	loose    bool // two numbers side by side
	end      int8 // an end inside the pair's tokens; unused
}

// tyreMark is a tyre's size in the line.
type tyreMark struct {
	from, to int
	mark     size.Mark
	cost     float32
	cued     bool // holds only beside a cue: "tyre 45"
	seat     bool // a bead seat by itself: only to compare
}

// cued says that a cue of an option stands beside a value.
type cued struct {
	option   int
	val      int // index of the value
	from, to int // tokens from cue to value
	cost     float32
	weak     bool
}

// scan is the state of reading one line.
type scan struct {
	r       *Reader
	line    string  // normalised
	lexed   []token // as typed; its memory is used again
	tokens  []token
	matches []match
	role    []uint16 // per token: 1<<role of any one-word sense
	end     []endAt  // per token
	number  []bool   // per token: part of a value
	vals    []val
	tyres   []tyreMark
	cues    []cued
	bids    []bid
	slips   []slip
	unitOf  [8]quantity.Unit // per kind: the unit typed elsewhere in the line
	claimed []int            // per token: 1 + the token of the option whose value the end is
	axisHas [4][2]int        // first token that names each end of each axis, -1 if none
	post    [4]bool          // ends stand behind their values
	steps   int

	// of the assignment (assign.go)
	arena      []state
	candidates []candidate
	beams      [MaxTokens + 1][beamWidth]int32 // per token: the cheapest states that begin there
	sizes      [MaxTokens + 1]int
}

// endAt says which end a token names on each axis: 1 + a spec.Which, 0 none.
// An "r" is rear of the bike and right of a wheel.
type endAt [4]uint8

type slip struct {
	token      int
	from, into string
}

func (s *scan) has(i int, r role) bool { return i >= 0 && i < len(s.tokens) && s.role[i]&(1<<r) != 0 }

func (s *scan) isMark(i int, text string) bool {
	return i >= 0 && i < len(s.tokens) && s.tokens[i].kind == mark && s.tokens[i].text == text
}

func (s *scan) isWord(i int, text string) bool {
	return i >= 0 && i < len(s.tokens) && s.tokens[i].kind == word && s.tokens[i].text == text
}

// idle reports whether token i may stand between a cue and its value.
func (s *scan) idle(i int) bool {
	if i < 0 || i >= len(s.tokens) {
		return false
	}
	t := s.tokens[i]
	switch t.kind {
	case word:
		return s.role[i]&(1<<fills|1<<ends) != 0 && s.role[i]&(1<<cues|1<<means) == 0
	case mark:
		return t.text == ":" || t.text == "=" || t.text == "(" || t.text == "-" || t.text == "@" || t.text == "."
	}
	return false
}

// measures finds the numbers with their units.
func (s *scan) measures() {
	n := len(s.tokens)
	for i := 0; i < n; i++ {
		if s.tokens[i].kind != number || s.number[i] {
			continue
		}
		v := s.measure(i)
		// a/b, with a unit behind each or behind the last
		if s.isMark(v.to, "/") && v.to+1 < n && s.tokens[v.to+1].kind == number && !s.slashList(v.to) {
			w := s.measure(v.to + 1)
			a, b := v.a, w.a
			shareUnit(&a, &b)
			if a.Kind() == b.Kind() {
				v = val{from: i, to: w.to, a: a, b: b, pair: true, spaced: w.spaced}
			}
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
	if u == quantity.NoUnit || u == quantity.DegC && t.num >= 400 || u.Kind() == quantity.KindTemperature && s.isWord(i-1, "x") { // 700c, 29x2.6f
		return v
	}
	v.a.Unit, v.to = u, to
	v.spaced = !s.tokens[i+1].glued
	per, small, joint := 14.0, quantity.LB, quantity.StonePound
	switch u {
	case quantity.StonePound:
		v.a.Number *= per
	case quantity.FT:
		per, small, joint = 12, quantity.IN, quantity.FootInch
	default:
		return v
	}
	// stones and pounds, feet and inches
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
		if t.num < 0 {
			small = -small
		}
		v.a = quantity.Measure{Number: t.num*per + small, Unit: joint}
	}
	return v
}

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
		if t.text == "in" && i+1 < len(s.tokens) && s.tokens[i+1].kind == number {
			return quantity.NoUnit, i // "291.4 in 1 mm steps"
		}
		if t.text == "in" && (s.isWord(i+1, "to") || s.isWord(i+1, "into") || s.isWord(i+1, "as")) {
			return u, i + 1 // "2.4 in to mm"
		}
		if t.text == "in" && i+1 < len(s.tokens) && s.tokens[i+1].kind == word && s.role[i+1]&(1<<cues|1<<hints|1<<ends|1<<calls) == 0 {
			return quantity.NoUnit, i
		}
		if t.text == "in" && i+1 < len(s.tokens) && s.tokens[i+1].kind == word {
			if _, unit := quantity.UnitNamed(s.tokens[i+1].text); unit {
				return quantity.NoUnit, i
			}
		}
	case quantity.G, quantity.L, quantity.N:
		if len(t.text) == 1 && i+1 < len(s.tokens) {
			return quantity.NoUnit, i // "22 n wet", "16 l 21"
		}
	case quantity.M:
		if len(t.text) == 1 && i+1 < len(s.tokens) && s.tokens[i+1].kind == mark && s.tokens[i+1].text == "'" {
			return quantity.NoUnit, i
		}
	}
	return u, i + 1
}

// nominals are the wheel sizes that stand before a width: 29 2.4. In thousandths of an inch.
func nominal(v float64) bool {
	switch v {
	case 12, 14, 16, 18, 20, 24, 26, 27, 27.5, 28, 29, 32, 36:
		return true
	}
	return false
}

// marks finds tyre sizes. Everything is handed to size.Parse in its canonical
// spelling; here only blanks, letters and joints between tokens are sorted out.
func (s *scan) marks() {
	for i := range s.tokens {
		if s.tokens[i].kind == number {
			s.markAt(i)
		}
	}
}

func (s *scan) markAt(i int) {
	t := s.tokens[i]
	if t.num < 0 || i > 0 && s.tokens[i-1].kind == number && t.glued {
		return
	}
	for _, v := range s.vals {
		if v.from != i || v.pair {
			continue
		}
		switch {
		case v.a.Unit == quantity.MM: // "45 mm tyre"
			if m, err := size.Parse(t.text + " mm"); err == nil {
				s.tyres = append(s.tyres, tyreMark{from: i, to: v.to, mark: m, cost: 1.0})
			}
			return
		case v.a.Unit == quantity.DegC && s.tokens[i+1].glued && s.isWord(i+1, "c") && t.num >= 20 && t.num <= 62: // "40c" of 700x40c
			if m, err := size.Parse("700x" + t.text); err == nil {
				s.tyres = append(s.tyres, tyreMark{from: i, to: v.to, mark: m, cost: 0.1})
			}
			return
		case v.a.Unit != quantity.NoUnit && v.a.Unit != quantity.IN:
			return // "20 °C" is no wheel
		}
	}
	j := i + 1
	text := t.text
	add := func(to int, written string, cost float32) bool {
		m, err := size.Parse(written)
		if err != nil {
			return false
		}
		s.tyres = append(s.tyres, tyreMark{from: i, to: to, mark: m, cost: cost})
		return true
	}
	// 61-622
	if s.isMark(j, "-") && j+1 < len(s.tokens) && s.tokens[j+1].kind == number && s.tokens[j+1].num >= 200 {
		if add(j+2, text+"-"+s.tokens[j+1].text, 0) {
			return
		}
	}
	name := text // the wheel's name with its letter: 700c, 650b, 29er, 29+, 29"
	named := false
	switch {
	case (t.num == 700 || t.num == 650 || t.num == 600 || t.num == 550 || t.num == 450) && j < len(s.tokens) && s.tokens[j].kind == word && s.tokens[j].glued &&
		len(s.tokens[j].text) == 1 && s.tokens[j].text >= "a" && s.tokens[j].text <= "d":
		name, j, named = text+s.tokens[j].text, j+1, true
	case nominal(t.num) && (s.isWord(j, "er") || s.isWord(j, "ers")) && s.tokens[j].glued:
		j, named = j+1, true
	case nominal(t.num) && s.isMark(j, "+"):
		name, j, named = text+"+", j+1, true
	case nominal(t.num) && (s.isMark(j, `"`) || s.isWord(j, "inch") || s.isWord(j, "in") && s.tokens[j].glued || s.isWord(j, "zoll") || s.isWord(j, "pouces") || s.isWord(j, "pulgadas") || s.isWord(j, "pollici")):
		j, named = j+1, true
	}
	by := (s.isWord(j, "x") || s.isWord(j, "by")) && j+1 < len(s.tokens) && s.tokens[j+1].kind == number
	if by {
		if width, to, ok := s.width(j+1, t.num); ok && add(to, name+"x"+width, 0) {
			return
		}
	}
	if nominal(t.num) && j < len(s.tokens) && s.tokens[j].kind == number && !s.tokens[j].glued || s.bridged(j, t.num) {
		k := j
		if s.isMark(j, ",") || s.isWord(j, "tyre") || s.isWord(j, "tyres") || s.isWord(j, "by") {
			k++
		}
		if _, _, ok := s.fraction(k + 1); ok && s.tokens[k].num >= 1 && s.tokens[k].num < 6 { // 26 1 1/2
			if width, to, ok := s.width(k, t.num); ok && add(to, name+"x"+width, 0.1) {
				return
			}
		}
		if w := s.tokens[k]; w.num >= 1 && w.num <= 5.5 && strings.ContainsAny(w.text, ".,") || w.num >= 1 && w.num <= 5.5 && s.inch(k+1) {
			if width, to, ok := s.width(k, t.num); ok && add(to, name+"x"+width, 0.1) {
				return
			}
		}
	}
	if named {
		// The wheel's name alone; its inch mark may be that of another length.
		add(j, name, 0.25)
		return
	}
	s.widthAlone(i)
}

// bridged reports whether a wheel's name and a width stand together with one
// idle token between: "29er, 2.4".
func (s *scan) bridged(j int, num float64) bool {
	return nominal(num) && j+1 < len(s.tokens) && s.tokens[j+1].kind == number && (s.isMark(j, ",") && !s.tokens[j].glued || s.isWord(j, "tyre") || s.isWord(j, "tyres"))
}

func (s *scan) inch(i int) bool {
	return s.isMark(i, `"`) || s.isWord(i, "in") && s.tokens[i].glued || s.isWord(i, "inch") || s.isWord(i, "inches") || s.isWord(i, "zoll")
}

// width reads a width behind a wheel's name, fractions and trailing letters
// included, and returns where it ends.
func (s *scan) width(i int, wheel float64) (string, int, bool) {
	t := s.tokens[i]
	text, to := t.text, i+1
	if t.num < 0 {
		return "", 0, false
	}
	// 1 3/8, 1-3/8
	k := to
	if s.isMark(k, "-") {
		k++
	}
	if f, end, ok := s.fraction(k); ok && t.num == math.Trunc(t.num) && t.num < 6 {
		text, to = text+" "+f, end
		// 28 x 1 5/8 x 1 3/8
		if s.isWord(to, "x") && to+1 < len(s.tokens) && s.tokens[to+1].kind == number {
			if rest, end, ok := s.width(to+1, wheel); ok {
				if _, err := size.Parse(quantity.Exact(wheel) + "x" + text + "x" + rest); err == nil {
					return text + "x" + rest, end, true
				}
			}
		}
	}
	if s.inch(to) {
		to++
	} else if s.isWord(to, "mm") && wheel > 100 {
		to++
	}
	// A letter behind the width says nothing of the size: 700x40c, 2.4w.
	if to < len(s.tokens) && s.tokens[to].kind == word && s.tokens[to].glued && len(s.tokens[to].text) == 1 {
		switch c := s.tokens[to].text; {
		case wheel > 100 && c >= "a" && c <= "d":
			text += c
			to++
		case c == "w" || c == "c" && wheel < 100:
			to++
		}
	} else if s.isWord(to, "wt") && s.tokens[to].glued {
		to++
	}
	return text, to, true
}

// fraction reads an inch fraction at token i: 3/8.
func (s *scan) fraction(i int) (string, int, bool) {
	if i+2 < len(s.tokens) && s.tokens[i].kind == number && s.isMark(i+1, "/") && s.tokens[i+2].kind == number &&
		isInchFraction(s.tokens[i].text, s.tokens[i+2].text) {
		return s.tokens[i].text + "/" + s.tokens[i+2].text, i + 3, true
	}
	return "", 0, false
}

// widthAlone offers a number as a tyre's width without a diameter, or as a
// wheel's name without a width.
func (s *scan) widthAlone(i int) {
	t := s.tokens[i]
	to := i + 1
	inch := s.inch(to)
	if inch {
		to++
	} else if s.isWord(to, "w") && s.tokens[to].glued {
		to++
	} else if to < len(s.tokens) && s.tokens[to].kind == word && s.tokens[to].glued {
		return // "24poe", "32t", "61mm": the letters say it is something else
	}
	if t.num >= 1.2 && t.num <= 5.5 {
		cost := float32(0.7)
		switch {
		case inch || to > i+1:
			cost = 0.3
		case !strings.ContainsAny(t.text, ".,"):
			cost = 1.6
		}
		text := t.text
		if f, end, ok := s.fraction(i + 1); ok && t.num == math.Trunc(t.num) {
			text, to, cost = text+" "+f, end, 0.3
			if s.inch(to) {
				to++
			}
		}
		if m, err := size.Parse(text + " in"); err == nil {
			s.tyres = append(s.tyres, tyreMark{from: i, to: to, mark: m, cost: cost})
		}
		return
	}
	if t.num >= 18 && t.num <= 75 && to == i+1 {
		if m, err := size.Parse(t.text + " mm"); err == nil {
			s.tyres = append(s.tyres, tyreMark{from: i, to: to, mark: m, cost: 1, cued: true})
		}
	}
	if t.num >= 200 && t.num == math.Trunc(t.num) && size.KnownSeat(quantity.Length(t.num)*quantity.Millimetre) {
		if m, err := size.Parse(t.text); err == nil {
			s.tyres = append(s.tyres, tyreMark{from: i, to: to, mark: m, cost: 0.7, seat: true})
		}
		return
	}
	if nominal(t.num) || t.num == 650 || t.num == 700 {
		if m, err := size.Parse(t.text); err == nil {
			s.tyres = append(s.tyres, tyreMark{from: i, to: to, mark: m, cost: 1.3})
		}
	}
}

// claim finds the ends that are the value of an option of their own: "insert
// rear". No other value is at that end because of the word.
func (s *scan) claim() {
	s.claimed = cleared(s.claimed, len(s.tokens))
	for _, m := range s.matches {
		if s.within(m) {
			continue
		}
		for _, sn := range m.senses {
			if sn.role != means || s.r.options[sn.target].choices == nil || !s.r.options[sn.target].choices.Placed {
				continue
			}
			if i := s.endBeside(m.from, m.to); i >= 0 {
				s.claimed[i] = m.from + 1
			}
		}
	}
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
			if s.valueEndsAt(i) {
				behind[axis]++
			}
			if s.valueStartsAt(i + 1) {
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
			s.post[a] = first < len(s.tokens) && s.valueEndsAt(first)
		}
	}
}

func (s *scan) valueEndsAt(i int) bool {
	for i > 0 && s.has(i-1, fills) && !s.number[i-1] {
		i--
	}
	return i > 0 && (s.number[i-1] || s.suffix(i-1))
}

// suffix reports whether token i is a letter glued to a number: 30i, 3x.
func (s *scan) suffix(i int) bool {
	return i > 0 && s.tokens[i].kind == word && s.tokens[i].glued && s.number[i-1] || i > 0 && s.isMark(i, `"`) && s.number[i-1]
}

func (s *scan) valueStartsAt(i int) bool {
	for i < len(s.tokens) && s.has(i, fills) && !s.number[i] {
		i++
	}
	return i < len(s.tokens) && s.number[i]
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
	for j >= 0 && from-j < 3 && (s.has(j, fills) || s.isMark(j, ":") || s.isMark(j, "=")) && s.end[j] == (endAt{}) && !s.number[j] {
		j--
	}
	k := to
	for k < len(s.tokens) && k-to < 2 && s.has(k, fills) && s.end[k] == (endAt{}) && !s.number[k] {
		k++
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
	case left && right && s.post[axis]:
		return w2, true
	case left && right:
		return w1, true
	case left && s.post[axis] && s.valueEndsAt(j): // it belongs to the value before it
		return spec.Both, false
	case right && !s.post[axis] && s.valueStartsAt(k+1):
		return spec.Both, false
	case left:
		return w1, true
	case right:
		return w2, true
	}
	return spec.Both, false
}

// placing reports whether token i is a little word that places something at an
// end: "on the back".
func (s *scan) placing(i int) bool {
	if s.isWord(i, "the") || s.isWord(i, "my") {
		i--
	}
	return s.isWord(i, "on") || s.isWord(i, "at") || s.isWord(i, "auf")
}

// announce finds which values stand beside a cue.
func (s *scan) announce() {
	var startsBuf, endsBuf [MaxTokens + 1]int
	startsAt, endsAt := startsBuf[:len(s.tokens)+1], endsBuf[:len(s.tokens)+1]
	for i := range startsAt {
		startsAt[i], endsAt[i] = -1, -1
	}
	for i, v := range s.vals {
		startsAt[v.from], endsAt[v.to] = i, i
	}
	named := s.named() >= 0
	for _, m := range s.matches {
		if s.within(m) || named && m.from == 0 {
			continue // the command's own name announces nothing: "spokes 2:1"
		}
		for _, sn := range m.senses {
			if sn.role != cues && sn.role != hints {
				continue
			}
			s.beside(m, sn, startsAt, endsAt)
		}
	}
}

// within reports whether a phrase is part of a longer one that announces or
// means something: the "offset" of "rim offset", the "weight" of "bike weight".
func (s *scan) within(m match) bool {
	for _, o := range s.matches {
		if o.from > m.from || o.to < m.to || o.to-o.from <= m.to-m.from {
			continue
		}
		for _, sn := range o.senses {
			if sn.role == cues || sn.role == means {
				return true
			}
		}
	}
	return false
}

func (s *scan) beside(m match, sn sense, startsAt, endsAt []int) {
	weak := sn.role == hints
	shared := false // the cue says something else besides: "emtb 25 kg"
	for _, other := range m.senses {
		shared = shared || other.role == means && other.target != sn.target
	}
	letter := m.to-m.from == 1 && len(s.tokens[m.from].text) == 1 && s.tokens[m.from].kind == word
	// forward: the cue announces
	announced := false
	j := m.to
	for steps := 0; steps < 4 && s.idle(j); steps++ {
		j++
	}
	if j < len(startsAt) && startsAt[j] >= 0 && (!letter || j == m.to && s.tokens[j].glued) {
		from := m.from
		if shared {
			from = s.vals[startsAt[j]].from
		}
		s.cues = append(s.cues, cued{sn.target, startsAt[j], from, s.vals[startsAt[j]].to, 0, weak})
		announced = true
		s.inherit(sn.target, startsAt[j], startsAt, weak)
	}
	// backward: the cue follows
	j = m.from
	if letter {
		if s.tokens[j].glued && j > 0 && endsAt[j] >= 0 {
			s.cues = append(s.cues, cued{sn.target, endsAt[j], s.vals[endsAt[j]].from, m.to, 0, weak})
			s.inheritBack(sn.target, endsAt[j], endsAt)
		}
		return
	}
	for steps := 0; steps < 3; steps++ {
		if !s.idle(j - 1) {
			if steps > 0 || !s.has(j-1, means) || s.has(j-1, cues) {
				break
			}
			shared = true // "35 mm hookless rim": the word between stays for its own option
		}
		j--
	}
	if j >= 0 && endsAt[j] >= 0 && !weak {
		cost := float32(0.1)
		if s.tokens[m.from].glued {
			cost = 0
		}
		to := m.to
		if shared {
			to = s.vals[endsAt[j]].to
		}
		s.cues = append(s.cues, cued{sn.target, endsAt[j], s.vals[endsAt[j]].from, to, cost, weak || announced && !s.tokens[m.from].glued})
		s.inheritBack(sn.target, endsAt[j], endsAt)
	}
}

// inherit gives a cue to the values that follow the announced one: "offsets 36
// left 21 right", "3 or 2 cross".
func (s *scan) inherit(option, v int, startsAt []int, weak bool) {
	for hops := 0; hops < maxAlternatives; hops++ {
		j := s.vals[v].to
		from := j
		for j < len(s.tokens) && !s.announces(j) && (s.idle(j) || s.has(j, joins) || s.isMark(j, ",") || s.isMark(j, "&")) {
			j++
		}
		if j == from && !(j < len(s.tokens) && s.tokens[j].kind == number) || j >= len(s.tokens) || startsAt[j] < 0 {
			return
		}
		if s.ended(v) != s.ended(startsAt[j]) {
			return // "flange 57, 35.4 left 20.1 right"
		}
		v = startsAt[j]
		s.cues = append(s.cues, cued{option, v, s.vals[v].from, s.vals[v].to, 0.25, weak})
	}
}

// ended reports whether an end is named directly beside a value.
func (s *scan) ended(v int) bool {
	at := func(i int) bool { return i >= 0 && i < len(s.tokens) && s.end[i] != (endAt{}) }
	return at(s.vals[v].to) || at(s.vals[v].from-1)
}

// announces reports whether a cue of any option begins at token i.
func (s *scan) announces(i int) bool {
	for _, m := range s.matches {
		if m.from != i {
			continue
		}
		for _, sn := range m.senses {
			if sn.role == cues {
				return true
			}
		}
	}
	return false
}

// inheritBack gives a cue to alternatives before the value it follows: "28 or 32 spokes".
func (s *scan) inheritBack(option, v int, endsAt []int) {
	for hops := 0; hops < maxAlternatives; hops++ {
		j := s.vals[v].from
		joined := false
		for j > 0 && (s.has(j-1, joins) || s.isMark(j-1, ",") || s.isMark(j-1, "&")) {
			j--
			joined = true
		}
		if !joined || endsAt[j] < 0 {
			return
		}
		v = endsAt[j]
		s.cues = append(s.cues, cued{option, v, s.vals[v].from, s.vals[v].to, 0.2, false})
	}
}

// offer appends a bid.
func (s *scan) offer(b bid) {
	if b.from >= b.to {
		return
	}
	s.bids = append(s.bids, b)
}

// bidNumbers lets every numeric option bid for every number.
func (s *scan) bidNumbers() {
	for o := range s.r.options {
		n := s.r.options[o].numbers
		if n == nil {
			continue
		}
		for v := range s.vals {
			s.bidNumber(o, n, v)
		}
	}
}

func (s *scan) bidNumber(o int, n *Numbers, vi int) {
	v := s.vals[vi]
	s.steps++
	if v.pair && n.Axis == spec.NoAxis {
		return
	}
	best := cued{cost: 99, weak: true}
	for _, c := range s.cues {
		if c.option != o || c.val != vi {
			continue
		}
		from, to := min(best.from, c.from), max(best.to, c.to)
		both := !best.weak && !c.weak // "rim 25 mm internal": both belong to it
		if best.weak && !c.weak || best.weak == c.weak && c.cost < best.cost {
			best = c
		}
		if both {
			best.from, best.to = from, to
		}
	}
	isCued := best.cost < 99
	if !isCued && n.Paired && !v.pair {
		if _, ended := s.endOf(v.from, v.to, n.Axis); !ended {
			return
		}
	}
	if !isCued && (n.Cued || s.inRow(vi) || !n.Many && s.has(v.from-1, joins)) {
		return // "29x2.4 vs 2.6": the second is another of the first
	}
	from, to, cost := v.from, v.to, best.cost
	if isCued {
		from, to = min(best.from, from), max(best.to, to)
	} else {
		cost = 0
	}
	if to < len(s.tokens) && s.tokens[to].kind == word && s.tokens[to].glued && v.a.Unit == quantity.NoUnit && !s.sizeLetter(to) {
		return // "29er", "24poe": the letters say it is something else
	}
	a, b := v.a, v.b
	said, why := false, ""
	switch {
	case a.Unit == quantity.NoUnit && n.Kind == quantity.Bare && !n.Any:
		if !isCued {
			h, ok := n.habit(a, b, v.pair, quantity.NoUnit, true)
			if !ok {
				return
			}
			if _, placed := s.endOf(v.from, v.to, n.Axis); placed && n.Axis == spec.HubRim {
				cost += 0.3 // "36 hub 32 rim"
			} else {
				cost += h.Alone
			}
		}
	case a.Unit == quantity.NoUnit:
		if n.Any {
			return
		}
		strong := isCued && !best.weak
		var line quantity.Unit
		if n.Said || n.Kind == quantity.KindTemperature {
			line = s.unitOf[n.Kind] // the rest of the line tells kg from lb, psi from bar
		}
		h, ok := n.habit(a, b, v.pair, line, !isCued)
		switch {
		case !ok && strong:
			s.offer(s.sided(bid{from: int8(from), to: int8(to), option: int16(o), cost: cost + costBlunder,
				problem: mistaken(n, a)}, v, n))
			return
		case !ok:
			return
		}
		a.Unit, b.Unit = h.Unit, h.Unit
		if h.Unit == quantity.StonePound {
			a.Number, b.Number = a.Number*14, b.Number*14
		}
		if !isCued {
			cost += h.Alone
			if n.Lone > 0 && !v.pair {
				if _, sided := s.endOf(v.from, v.to, n.Axis); !sided {
					cost += n.Lone
				}
			}
		} else if best.weak {
			cost += 0.45
		} else {
			cost += 0.1
		}
		if line != quantity.NoUnit && h.Unit != line {
			cost += costOtherUnit
		}
		if n.Said || n.Kind == quantity.KindTemperature {
			said, why = true, fmt.Sprintf("typed as %s, read as %s by its size", quantity.Exact(v.a.Number), h.Unit)
			if h.Unit == line {
				why = fmt.Sprintf("typed as %s, read in the unit of the rest of the line", quantity.Exact(v.a.Number))
			}
		}
	case a.Kind() != n.Kind && !n.Any:
		return
	default:
		if !isCued {
			cost += costUnit
		} else if best.weak {
			cost += 0.2
		}
		if v.spaced && (a.Unit == quantity.IN || a.Unit == quantity.DegC || a.Unit == quantity.M || a.Unit == quantity.DegF) {
			cost += 0.1
		}
	}
	nb := bid{from: int8(from), to: int8(to), option: int16(o), cost: cost, said: said, why: why}
	for _, m := range [...]quantity.Measure{a, b} {
		if !n.holds(m) && (m == a || v.pair) {
			if !isCued || best.weak {
				return
			}
			nb.problem = n.check(m).Error()
			nb.cost += costMistake
			break
		}
	}
	if f, ok := s.r.options[o].form.(interface{ element(quantity.Measure) any }); ok {
		if nb.problem == "" {
			nb.value = f.element(a)
			if v.pair {
				nb.value2 = f.element(b)
			}
		}
	} else {
		nb.value, nb.value2 = a, b
	}
	s.offerSided(nb, v, n)
}

// inRow reports whether a bare number stands in a row of four or more, as
// readings do: none of them is a value by itself.
func (s *scan) inRow(vi int) bool {
	v := s.vals[vi]
	if v.pair || v.a.Unit != quantity.NoUnit {
		return false
	}
	from, to := vi, vi
	bare := func(i int) bool { return !s.vals[i].pair && s.vals[i].a.Unit == quantity.NoUnit }
	for from > 0 && bare(from-1) && s.vals[from-1].to == s.vals[from].from {
		from--
	}
	for to+1 < len(s.vals) && bare(to+1) && s.vals[to+1].from == s.vals[to].to {
		to++
	}
	return to-from+1 >= 4
}

// sizeLetter reports whether the word at i, glued to a number, says nothing:
// the plural of "40s".
func (s *scan) sizeLetter(i int) bool { return s.tokens[i].text == "s" }

// mistaken says why a bare number beside its cue can't be meant.
func mistaken(n *Numbers, m quantity.Measure) string {
	switch {
	case len(n.Habits) == 0:
		return fmt.Sprintf("%s has no unit: want %s", m, n.Kind)
	case n.Most > n.Least:
		u := n.Habits[0].Unit
		return fmt.Sprintf("%s: want %s to %s", m, n.bound(n.Least, u), n.bound(n.Most, u))
	}
	h := n.Habits[0]
	return fmt.Sprintf("%s: want %s to %s", m, quantity.Trimmed(h.From, 1), quantity.Measure{Number: h.To, Unit: h.Unit})
}

// unknownUnit finds a number with a word behind it that is a slip away from a
// unit: "24 pis", "80 stonez". Read as bare, the number could become anything.
func (s *scan) unknownUnit(best trail) *spec.UsageError {
	for _, v := range s.vals {
		if s.unitless(best, v) || v.a.Unit != quantity.NoUnit || v.to >= len(s.tokens) || s.tokens[v.to].kind != word {
			continue
		}
		t := s.tokens[v.to]
		n := len([]rune(t.text))
		if s.r.lexicon.words[t.text] || n < 2 || n == 2 && !t.glued || n > 12 {
			continue
		}
		for _, u := range commonUnits {
			if distance(t.text, u) > 1 {
				continue
			}
			number := s.tokens[v.from].raw
			return &spec.UsageError{Problem: fmt.Sprintf("%s %s: unknown unit %q: want kg lb st, psi bar kPa, mm in, °C °F", number, t.raw, t.raw),
				Example: strings.Join(strings.Fields(strings.Replace(s.line, t.raw, u, 1)), " ")}
		}
	}
	return nil
}

// impossible finds a number that was left out because it can't be meant: a
// rider of 300 kg, anything negative but a temperature. It must be said, not
// passed over.
func (s *scan) impossible(ci int, best trail) *spec.UsageError {
	c := &s.r.commands[ci]
	example := c.spec.Name + " " + c.spec.Examples[0]
	for _, v := range s.vals {
		if !slices.Contains(best.left, v.from) {
			continue
		}
		kind := v.a.Kind()
		if kind != quantity.Bare {
			for local, o := range c.spec.Options {
				n := s.r.options[s.r.byName[o.About().Name]].numbers
				if n == nil || n.Kind != kind || n.Cued || n.Any || best.sets(s.r, c, local) {
					continue
				}
				if !n.holds(v.a) {
					return &spec.UsageError{Option: o.About().Name, Problem: o.About().Name + " " + n.check(v.a).Error(), Example: example}
				}
			}
		}
		if kind != quantity.KindTemperature && (v.a.Number < 0 || v.pair && v.b.Number < 0) {
			return &spec.UsageError{Problem: fmt.Sprintf("%s is negative: want a number above nought here", v.a), Example: example}
		}
	}
	return nil
}

// sets reports whether the assignment gives the command's option a value.
func (t trail) sets(r *Reader, c *command, local int) bool {
	for _, b := range t.bids {
		if b.option >= 0 && int(c.local[b.option]) == local {
			return true
		}
	}
	return false
}

// unitless reports whether a number was read as something that has no unit: a
// size, a count.
func (s *scan) unitless(best trail, v val) bool {
	for _, b := range best.bids {
		if int(b.from) <= v.from && v.from < int(b.to) && b.option >= 0 {
			if e, ok := b.value.(spec.Ends[any]); ok {
				if m, ok := e.Any().(size.Mark); ok && m.Width == 0 {
					return false // "tyre at 24 pis" is no wheel of 24 inches
				}
			}
			n := s.r.options[b.option].numbers
			return n == nil || n.Kind == quantity.Bare && !n.Any
		}
	}
	return false
}

// commonUnits are the units that slips are looked for in.
var commonUnits = []string{"kg", "lb", "lbs", "psi", "bar", "kpa", "mm", "kilos", "stone", "inch", "pounds", "kgf"}

// habit finds how the trade reads a bare number, or two of them.
func (n *Numbers) habit(a, b quantity.Measure, pair bool, line quantity.Unit, alone bool) (Habit, bool) {
	fits := func(h Habit) bool {
		return a.Number >= h.From && a.Number <= h.To && (!pair || b.Number >= h.From && b.Number <= h.To) && (!alone || h.Alone > 0)
	}
	if line != quantity.NoUnit {
		for _, h := range n.Habits {
			if h.Unit == line && fits(h) {
				return h, true
			}
		}
	}
	for _, h := range n.Habits {
		if fits(h) {
			return h, true
		}
	}
	return Habit{}, false
}

// sided sets the end of a bid.
func (s *scan) sided(b bid, v val, n *Numbers) bid {
	if v.pair {
		b.which = spec.Each
		return b
	}
	if w, ok := s.endOf(int(b.from), int(b.to), n.Axis); ok && !n.Any {
		b.which = w
		b.unsided = w == spec.Both
	} else {
		b.which, b.unsided = spec.Both, true
	}
	return b
}

// offerSided offers a bid for the end it stands beside. Without one it is
// offered for both ends, and, where the line names both or other words place
// the ends, as the first or second of two in the order the ends are named.
func (s *scan) offerSided(b bid, v val, n *Numbers) {
	b = s.sided(b, v, n)
	if v.pair {
		s.offer(s.boxed(b, spec.Each))
		return
	}
	if !b.unsided || n.Axis == spec.NoAxis {
		s.offer(s.boxed(b, b.which))
		return
	}
	if n.LineEnd {
		first, second := s.axisHas[n.Axis][0], s.axisHas[n.Axis][1]
		if (first >= 0) != (second >= 0) && s.free(max(first, second)) {
			w := spec.FirstOnly
			if second >= 0 {
				w = spec.SecondOnly
			}
			s.offer(s.boxed(b, w))
			return
		}
	}
	s.offer(s.boxed(b, spec.Both))
	if !n.Any {
		s.offerPlaced(b, n.Axis)
	}
}

// free reports whether the end word at token i belongs to no other value.
func (s *scan) free(i int) bool {
	return s.claimed[i] == 0 && !s.valueEndsAt(i) && !s.valueStartsAt(i+1)
}

// offerPlaced offers a value without an end for either end of an axis whose
// ends the line names.
func (s *scan) offerPlaced(b bid, axis spec.Axis) {
	first, second := s.axisHas[axis][0], s.axisHas[axis][1]
	if first < 0 && second < 0 {
		return
	}
	b.unsided = false
	b.cost += costEndless
	if first < 0 || second < 0 { // the end that is not named
		w := spec.FirstOnly
		if first >= 0 {
			w = spec.SecondOnly
		}
		b.cost += 0.3
		s.offer(s.boxed(b, w))
		return
	}
	firstPlace, lastPlace := spec.FirstOnly, spec.SecondOnly
	if second < first {
		firstPlace, lastPlace = lastPlace, firstPlace
	}
	one := b
	one.which = firstPlace
	one.cost += 0.3
	s.offer(s.boxed(one, one.which))
	two := b
	two.which, two.later = lastPlace, true
	two.cost += 0.3
	s.offer(s.boxed(two, two.which))
}

// boxed puts the values of a bid into the form its option joins.
func (s *scan) boxed(b bid, w spec.Which) bid {
	b.which = w
	if b.problem != "" {
		return b
	}
	e := spec.Ends[any]{First: b.value, Second: b.value, Which: w}
	if w == spec.Each {
		e.Second = b.value2
	}
	b.value, b.value2 = e, nil
	return b
}

// bidLoose lets two numbers side by side be a pair: "22 26", "22 25 psi".
func (s *scan) bidLoose() {
	for i := 0; i+1 < len(s.vals); i++ {
		v, w := s.vals[i], s.vals[i+1]
		joint := w.from == v.to+1 && (s.isWord(v.to, "n") || s.isWord(v.to, "and") || s.isMark(v.to, "&") || s.isMark(v.to, "+") || s.isWord(v.to, "und") || s.isWord(v.to, "et") || s.isWord(v.to, "y") || s.isWord(v.to, "e"))
		if v.pair || w.pair || v.to != w.from && !joint || v.a.Unit != quantity.NoUnit && v.a.Kind() != w.a.Kind() {
			continue
		}
		if w.to < len(s.tokens) && s.tokens[w.to].kind == word && s.tokens[w.to].glued {
			continue // "60 34i"
		}
		if i+2 < len(s.vals) && s.vals[i+2].from == w.to || i > 0 && s.vals[i-1].to == v.from {
			continue // a row of readings
		}
		for o := range s.r.options {
			n := s.r.options[o].numbers
			if n == nil || !n.Loose && (!joint || n.Axis == spec.NoAxis || n.Many || n.Any) {
				continue
			}
			a, b := v.a, w.a
			shareUnit(&a, &b)
			if a.Unit != b.Unit && (a.Unit == quantity.NoUnit || b.Unit == quantity.NoUnit) {
				continue
			}
			nb := bid{from: int8(v.from), to: int8(w.to), option: int16(o), which: spec.Each, cost: 0.4}
			isCued := false
			for _, c := range s.cues {
				if c.option == o && (s.vals[c.val] == v || s.vals[c.val] == w) {
					isCued = true
					nb.from, nb.to = int8(min(c.from, int(nb.from))), int8(max(c.to, int(nb.to)))
				}
			}
			if (n.Cued || !n.Loose) && !isCued {
				continue
			}
			if b.Unit == quantity.NoUnit {
				h, ok := n.habit(a, b, true, s.unitOf[n.Kind], !isCued)
				if !ok {
					continue
				}
				a.Unit, b.Unit = h.Unit, h.Unit
				nb.cost = 0.2
				if !isCued {
					nb.cost += h.Alone
				}
				nb.said, nb.why = n.Said, fmt.Sprintf("typed as %s %s, read as %s by their size", quantity.Exact(a.Number), quantity.Exact(b.Number), h.Unit)
			} else if b.Kind() != n.Kind {
				continue
			}
			if !n.holds(a) || !n.holds(b) {
				continue
			}
			nb.value, nb.value2 = a, b
			s.offer(s.boxed(nb, spec.Each))
		}
	}
}

// bidTyres lets options that hold tyre sizes bid for them.
func (s *scan) bidTyres() {
	for o := range s.r.options {
		switch s.r.options[o].form.(type) {
		case Tyres:
			s.bidTyre(o)
		case Size:
			s.bidSize(o)
		}
	}
}

func (s *scan) bidTyre(o int) {
	for i, m := range s.tyres {
		s.steps++
		from, to, cost := m.from, m.to, m.cost
		cueFrom, cueTo, isCued := s.cueBeside(o, from, to)
		if isCued {
			from, to = cueFrom, cueTo
			cost = min(cost, 0.15)
			if m.cued {
				cost = 0.4
			}
		} else if m.cued || m.seat {
			continue
		}
		// pair: 29x2.5/29x2.4, 29x2.5/2.4, 2.5/2.4, 29/27.5
		if s.isMark(m.to, "/") {
			for _, w := range s.tyres[i+1:] {
				if w.from != m.to+1 || w.cued {
					continue
				}
				b := bid{from: int8(from), to: int8(max(to, w.to)), option: int16(o), which: spec.Each, cost: cost + min(w.cost, 0.2)}
				first, second := m.mark, w.mark
				if full, ok := inherited(m.mark, w.mark); ok {
					second = full
				}
				// 2.5/2.4 29er: the wheel's name behind serves both
				if wheel, ok := s.wheelBehind(w.to); ok && first.Width > 0 && second.Width > 0 {
					f, okay := named(wheel.mark, first)
					g, ok := named(wheel.mark, second)
					if ok && okay {
						first, second = f, g
						b.to, b.cost = int8(max(to, wheel.to)), b.cost-0.3
					}
				}
				b.value, b.value2 = first, second
				s.offer(s.boxed(b, spec.Each))
			}
			continue
		}
		if s.isMark(m.from-1, "/") && m.from >= 2 && s.number[m.from-2] {
			continue // the second half of a pair
		}
		for _, w := range s.tyres[i+1:] { // 29x2.5 27.5x2.5: front and rear, as pairs are said
			if w.from == m.to && m.mark.Seat != 0 && w.mark.Seat != 0 && m.mark.Width > 0 && w.mark.Width > 0 {
				b := bid{from: int8(from), to: int8(max(to, w.to)), option: int16(o), cost: cost + w.cost + 0.5, value: m.mark, value2: w.mark,
					said: true, why: "two sizes side by side, taken as front and rear"}
				s.offer(s.boxed(b, spec.Each))
			}
		}
		b := bid{from: int8(from), to: int8(to), option: int16(o), cost: cost, value: m.mark}
		if wheel, ok := s.wheelBehind(to); ok && m.mark.Width > 0 && !m.cued {
			if full, ok := named(wheel.mark, m.mark); ok { // 2.4 29er
				both := b
				both.value, both.to, both.unsided = full, int8(wheel.to), true
				s.offer(s.boxed(both, spec.Both))
			}
		}
		if w, ok := s.endOf(from, to, spec.FrontRear); ok {
			b.which, b.unsided = w, w == spec.Both
			b = s.boxed(b, w)
			s.offer(b)
			continue
		}
		b.unsided = true
		both := s.axisHas[spec.FrontRear][0] >= 0 && s.axisHas[spec.FrontRear][1] >= 0
		s.offer(s.boxed(b, spec.Both))
		if both {
			s.offerPlaced(b, spec.FrontRear)
		}
	}
}

// inherited completes a width by the diameter of the mark before it, and a
// diameter by its width.
func inherited(first, second size.Mark) (size.Mark, bool) {
	if first.Seat == 0 || first.Width == 0 {
		return size.Mark{}, false
	}
	return named(first, second)
}

// named gives a width without a diameter the wheel's name of another mark.
func named(wheel, width size.Mark) (size.Mark, bool) {
	inches, ok := strings.CutSuffix(width.Written, " in")
	if !ok || width.Seat != 0 || len(width.Seats()) > 0 {
		return size.Mark{}, false
	}
	name, _, _ := strings.Cut(wheel.Written, "x")
	full, err := size.Parse(strings.TrimSuffix(name, "+") + "x" + inches)
	return full, err == nil
}

// wheelBehind returns a wheel's name that stands at token i or one idle token
// behind it: the "29er" of "2.4 29er".
func (s *scan) wheelBehind(i int) (tyreMark, bool) {
	for _, w := range s.tyres {
		if (w.from == i || w.from == i+1 && s.idle(i)) && w.mark.Width == 0 && w.cost < 1 {
			return w, true
		}
	}
	return tyreMark{}, false
}

// bidSize lets sizes to compare bid, first come first: a before b.
func (s *scan) bidSize(o int) {
	name := s.r.options[o].option.About().Name
	if len(s.tyres) < 2 {
		return
	}
	for _, m := range s.tyres {
		cost := m.cost + 0.15
		if cost > 1 {
			cost = 0.6 // "29" alone is a good answer to "same as 29?"
		}
		if m.cued || m.mark.Seat == 0 && len(m.mark.Seats()) == 0 {
			continue // a width alone is no size to compare
		}
		b := bid{from: int8(m.from), to: int8(m.to), option: int16(o), cost: cost, value: m.mark, later: name == "b"}
		s.offer(s.boxed(b, spec.Both))
	}
}

// cueBeside returns the span from a cue of the option to tokens from to to.
func (s *scan) cueBeside(o, from, to int) (int, int, bool) {
	for _, m := range s.matches {
		if s.within(m) {
			continue
		}
		for _, sn := range m.senses {
			if sn.role != cues || sn.target != o {
				continue
			}
			j := m.to
			for k := 0; k < 3 && s.idle(j) && j < from; k++ {
				j++
			}
			if j == from {
				return m.from, to, true
			}
			j = m.from
			for k := 0; k < 2 && j > to && s.idle(j-1); k++ {
				j--
			}
			if j == to {
				return from, m.to, true
			}
		}
	}
	return 0, 0, false
}

// bidRims lets rims bid for rim marks: 622x30TC.
func (s *scan) bidRims() {
	for o := range s.r.options {
		if _, ok := s.r.options[o].form.(Rims); !ok {
			continue
		}
		for i := range s.tokens {
			t := s.tokens[i]
			if t.kind != number || t.num < 200 || t.num > 700 || !s.isWord(i+1, "x") || i+2 >= len(s.tokens) || s.tokens[i+2].kind != number {
				continue
			}
			text, to := t.text+"x"+s.tokens[i+2].text, i+3
			if to < len(s.tokens) && s.tokens[to].kind == word && len(s.tokens[to].text) <= 4 {
				if m, err := size.ParseRim(text + s.tokens[to].text); err == nil {
					s.offerRim(o, i, to+1, m)
					continue
				}
			}
			if m, err := size.ParseRim(text); err == nil {
				s.offerRim(o, i, to, m)
			}
		}
	}
}

func (s *scan) offerRim(o, from, to int, m size.RimMark) {
	b := bid{from: int8(from), to: int8(to), option: int16(o), value: m}
	if f, t, ok := s.cueBeside(o, from, to); ok {
		b.from, b.to = int8(f), int8(t)
	}
	w, ok := s.endOf(from, to, spec.FrontRear)
	b.which, b.unsided = w, !ok
	s.offer(s.boxed(b, w))
}

// bidWords lets enumerations bid for their words.
func (s *scan) bidWords() {
	for _, m := range s.matches {
		inside := s.within(m)
		for _, sn := range m.senses {
			s.steps++
			switch sn.role {
			case means:
				if inside {
					sn.cost += costSlip
				}
				s.bidWord(m, sn)
			case calls:
				s.offer(bid{from: int8(m.from), to: int8(m.to), option: -1, names: int16(sn.target + 1)})
			case counts:
				s.bidCounted(m, true)
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

func (s *scan) bidWord(m match, sn sense) {
	from, to := m.from, m.to
	cost := 0.05 + sn.cost
	c := s.r.options[sn.target].choices
	if c == nil { // a number with a name
		b := bid{from: int8(from), to: int8(to), option: int16(sn.target), cost: cost, value: sn.value,
			said: true, why: "what the word means in the trade"}
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
	b := bid{from: int8(from), to: int8(to), option: int16(sn.target), cost: cost}
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
	b.unsided = !ok || w == spec.Both
	s.offer(s.boxed(b, w))
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
	default:
		b.value, b.said, b.why = c.Alone, true, "no end named"
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
	for _, m := range s.matches {
		for _, sn := range m.senses {
			if sn.role != cues || sn.target != o {
				continue
			}
			if m.from >= to && m.from-to <= 1 && (m.from == to || s.idle(to)) {
				return from, m.to, true
			}
			if m.to <= from && from-m.to <= 1 && (m.to == from || s.idle(m.to)) {
				return m.from, to, true
			}
		}
	}
	return 0, 0, false
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
		if !behind && j == v.from {
			s.offer(bid{from: int8(m.from), to: int8(v.to), option: -1, cost: costCounted})
		}
	}
}

// bidCrossings reads "3x32": crossings by holes, one bid for both.
func (s *scan) bidCrossings() {
	cross, okay := s.r.optionNamed("cross")
	holes, ok := s.r.optionNamed("holes")
	if !ok || !okay {
		return
	}
	for i := 0; i+2 < len(s.tokens); i++ {
		a, b := s.tokens[i], s.tokens[i+2]
		if a.kind != number || !s.isWord(i+1, "x") || b.kind != number || a.num > 5 || a.num != math.Trunc(a.num) || b.num < 12 || b.num > 48 || b.num != math.Trunc(b.num) {
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
}

// bidWires reads a spoke's diameters: 2.0/1.8/2.0.
func (s *scan) bidWires() {
	for o := range s.r.options {
		if _, ok := s.r.options[o].form.(Wire); !ok {
			continue
		}
		for i := range s.tokens {
			var d []float64
			j := i
			for j < len(s.tokens) && s.tokens[j].kind == number && s.tokens[j].num >= 1.2 && s.tokens[j].num <= 2.8 && len(d) < 3 {
				d = append(d, s.tokens[j].num)
				j++
				if !s.isMark(j, "/") || j+1 >= len(s.tokens) || s.tokens[j+1].kind != number {
					break
				}
				j++
			}
			if len(d) < 2 || i > 0 && s.isMark(i-1, "/") {
				continue
			}
			if s.isWord(j, "mm") {
				j++
			}
			if v, err := butts(d); err == nil {
				b := bid{from: int8(i), to: int8(j), option: int16(o), cost: 0.3, value: v}
				if len(d) == 2 {
					b.cost = 0.9
				}
				if f, t, ok := s.cueBeside(o, i, j); ok {
					b.from, b.to, b.cost = int8(f), int8(t), 0.1
				}
				s.offer(s.boxed(b, spec.Both))
			}
		}
	}
}

// bidUnits reads the unit to convert to: "in psi", "to bar", "> kg".
func (s *scan) bidUnits() {
	for o := range s.r.options {
		if _, ok := s.r.options[o].form.(UnitOf); !ok {
			continue
		}
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
			}
			if len(s.tokens[i].text) == 1 && from == i {
				continue
			}
			s.offer(s.boxed(bid{from: int8(from), to: int8(i + 1), option: int16(o), cost: cost, value: u}, spec.Both))
		}
	}
}

func (s *scan) cueTo(o, i int) bool {
	for _, m := range s.matches {
		if m.to == i+1 {
			for _, sn := range m.senses {
				if (sn.role == cues || sn.role == hints) && sn.target == o {
					return true
				}
			}
		}
	}
	return false
}

// bidFields reads name:"value", which is never a guess.
func (s *scan) bidFields() {
	for i, t := range s.tokens {
		if t.kind != field {
			continue
		}
		o, ok := s.r.optionNamed(t.text)
		if !ok {
			continue
		}
		b := bid{from: int8(i), to: int8(i + 1), option: int16(o), cost: -1}
		v, err := s.r.options[o].option.Parse(t.value)
		if err != nil {
			b.problem = err.Error()
			if u, ok := spec.AsUsage(err); ok {
				b.problem = u.Problem
			}
		}
		b.value = whole{v}
		s.offer(b)
	}
}

// whole is a value read from a field: it needs no joining.
type whole struct{ value any }

// bidRepeats takes a number that was said before, or a word for it: "which 26".
func (s *scan) bidRepeats() {
	for i, v := range s.vals {
		for _, w := range s.vals[:i] {
			if !v.pair && !w.pair && v.a == w.a && v.a.Unit == quantity.NoUnit {
				s.offer(bid{from: int8(v.from), to: int8(v.to), option: -1, cost: costRepeat})
				break
			}
		}
	}
}

// bidShares takes the counts of two sides that say no more than the pattern
// does: "2:1 … 16/8".
func (s *scan) bidShares() {
	for _, v := range s.vals {
		if !v.pair || v.a.Unit != quantity.NoUnit || v.a.Number != 2*v.b.Number && v.b.Number != 2*v.a.Number {
			continue
		}
		for _, m := range s.matches {
			for _, sn := range m.senses {
				if sn.role == means && sn.value == "2:1" {
					s.offer(bid{from: int8(v.from), to: int8(v.to), option: -1, cost: costCounted})
				}
			}
		}
	}
}

// sortBids orders bids by where they begin.
func (s *scan) sortBids() {
	slices.SortStableFunc(s.bids, func(a, b bid) int { return int(a.from) - int(b.from) })
}

// completed gives a mark without a diameter that of the other end: "29x2.5
// front, 2.4 rear".
func completed(first, second any) any {
	a, ok := first.(size.Mark)
	b, okay := second.(size.Mark)
	if ok && okay {
		if full, ok := inherited(a, b); ok {
			return full
		}
	}
	return second
}
