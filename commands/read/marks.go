package read

import (
	"math"
	"slices"
	"strings"

	"spokeword/calc/quantity"
	"spokeword/calc/size"
	"spokeword/commands/spec"
)

// This file finds the sizes of tyres and rims in a line, and lets the options
// that hold them bid.

// nominal reports whether a number is a wheel's name in inches, as stands before
// a width: 29 2.4.
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

// saysSize reports whether the number at token i is a tyre's name on which a full mark
// stands: the 2.35 of "2.35 says 60-622".
func (s *scan) saysSize(i int) bool {
	if !aWidth(s.tokens[i]) {
		return false
	}
	to := i + 1
	if s.tyreWord(to) {
		to++
	}
	return (s.isWord(to, "says") || s.isWord(to, "marked") || s.isWord(to, "reads")) && s.numberAt(to+1) && s.isMark(to+2, "-") && s.numberAt(to+3) && s.tokens[to+3].num >= 200
}

// ofTape reports whether the number at token i is the width of a tape: "25mm tape".
func (s *scan) ofTape(i int) bool {
	if !s.isOneOf(i+1, tapeWords) && !s.isOneOf(i+2, tapeWords) {
		return false
	}
	v, ok := s.valAt(i)
	return ok && !v.pair && (v.a.Unit == quantity.MM || v.a.Unit == quantity.NoUnit) && s.isOneOf(v.to, tapeWords)
}

var tapeWords = []string{"tape", "felgenband", "ruban", "cinta", "nastro"}

// timeWords say that a number tells how long.
var timeWords = []string{"sec", "secs", "seconds", "min", "mins", "minute", "minutes", "hr", "hrs", "hour", "hours", "day", "days", "week", "weeks", "wks", "month", "months", "year", "years", "yrs", "minuten", "stunden", "tage", "wochen", "monate", "jahre", "heures", "jours", "semaines", "mois", "ans", "minutos", "horas", "días", "dias", "semanas", "meses", "años", "minuti", "ore", "giorni", "settimane", "mesi", "anni"}

// warmth returns what it costs to read "40c" at token i as a width: little, but
// beside another temperature or behind "at" it is one itself.
func (s *scan) warmth(i int) float32 {
	for _, v := range s.vals {
		if v.from != i && (v.a.Kind() == quantity.KindTemperature || v.a.Unit == quantity.DegreeUnit) {
			return costMeasure + 1 // "from 22c to 4c"
		}
	}
	if s.isWord(i-1, "at") {
		return costMeasure
	}
	for _, m := range s.matches {
		for _, sn := range m.senses {
			if n := s.r.numbersOf(sn); m.from == i+2 && sn.role == cues && n != nil && n.Kind == quantity.KindTemperature {
				return costMeasure // "a 40c car"
			}
		}
	}
	return 0.1
}

func (s *scan) markAt(i int) {
	t := s.tokens[i]
	if t.num < 0 || s.saysSize(i) || i > 0 && s.tokens[i-1].kind == number && t.glued || s.inWire(i) || s.isOneOf(i+1, timeWords) || s.ofTape(i) {
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
		case v.a.Unit == quantity.DegC && s.tokens[i+1].glued && s.isWord(i+1, "c") && t.num >= 20 && t.num <= 55 && !s.weather(i): // "40c" of 700x40c
			if m, err := size.Parse("700x" + t.text); err == nil {
				s.tyres = append(s.tyres, tyreMark{from: i, to: v.to, mark: m, cost: s.warmth(i)})
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
	by := (s.isWord(j, "x") || s.isWord(j, "by") || nominal(t.num) && (s.isWord(j, "por") || s.isWord(j, "per") || s.isWord(j, "mal"))) && j+1 < len(s.tokens) && s.tokens[j+1].kind == number
	if by {
		if width, to, ok := s.width(j+1, t.num); ok && add(to, name+"x"+width, 0) {
			return
		}
	}
	if nominal(t.num) && j < len(s.tokens) && s.tokens[j].kind == number && !s.tokens[j].glued || s.bridged(j, t.num) {
		k := j
		if s.isMark(j, ",") || s.tyreWord(j) || s.isWord(j, "by") {
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

// weather reports whether the line names another temperature than the one at
// token i, which is then no tyre's width: "26 psi 20c now -3".
func (s *scan) weather(i int) bool {
	for j, t := range s.tokens {
		if j != i && t.kind == number && (t.num < 0 || s.isWord(j+1, "c") && s.tokens[j+1].glued) {
			return true
		}
	}
	return false
}

// bridged reports whether a wheel's name and a width stand together with one
// idle token between: "29er, 2.4".
func (s *scan) bridged(j int, num float64) bool {
	return nominal(num) && j+1 < len(s.tokens) && s.tokens[j+1].kind == number && (s.isMark(j, ",") && !s.tokens[j].glued || s.tyreWord(j))
}

// tyreWord reports whether token i says tyre, in any language.
func (s *scan) tyreWord(i int) bool {
	for _, m := range s.matches {
		for _, sn := range m.senses {
			if m.from == i && m.to == i+1 && sn.role == cues {
				if _, ok := s.r.options[sn.target].form.(Tyres); ok {
					return true
				}
			}
		}
	}
	return false
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
	} else if t.num < 6 && strings.ContainsAny(t.text, ".,") && (s.isWord(to, "f") || s.isWord(to, "r")) && s.tokens[to].glued {
		// "2.5f 2.4r": the end stays for itself
	} else if (s.isWord(to, "w") || t.num < 6 && (s.isWord(to, "s") || s.isWord(to, "er") || s.isWord(to, "ers"))) && s.tokens[to].glued {
		to++ // "2.4s", "ein 2.6er Reifen"
	} else if t.num < 6 && strings.ContainsAny(t.text, ".,") && s.isWord(to, "casing") && s.mounts(to+1) {
		to++ // "2.4 casing on a 25 rim"
	} else if to < len(s.tokens) && s.tokens[to].kind == word && s.tokens[to].glued {
		return // "24poe", "32t", "61mm": the letters say it is something else
	}
	if s.isWord(i-1, "now") && s.isWord(i-3, "was") && s.tokens[i-2].kind == number && (s.tokens[i-2].num < 1.2 || s.tokens[i-2].num > 5.5) {
		return // "the gap was 7 now 4": nor is the other one a tyre
	}
	if t.num >= 1.2 && t.num <= 5.5 {
		cost := float32(0.7)
		switch {
		case inch || to > i+1:
			cost = 0.3
		case !strings.ContainsAny(t.text, ".,"):
			cost = costDigit
		case t.num < leastWidthInPSI && s.intoPSI():
			cost = costNarrow + costForeign // "1.4 front 1.6 rear in psi"
		case t.num < 2 && tenths(t.text):
			cost = costNarrow
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

// costDigit is what a whole number costs as a width: rather more than leaving it out.
const costDigit = costNumber + 0.1

// costNarrow is what a narrow width costs that is written in tenths: tyres of that
// width are written 1.75 or 1.95, pressures in bar are written 1.8.
const costNarrow = 1.15

// leastWidthInPSI is under which number nothing is a tyre's width where psi are asked
// for, but a pressure in bar.
const leastWidthInPSI = 1.75

// intoPSI reports whether the line asks for something in psi.
func (s *scan) intoPSI() bool {
	for i := range s.tokens {
		if s.isWord(i, "psi") && (s.isWord(i-1, "in") || s.isWord(i-1, "to") || s.isWord(i-1, "into") || s.isWord(i-1, "en")) {
			return true
		}
	}
	return false
}

// tenths reports whether a number is written with one decimal.
func tenths(text string) bool {
	i := strings.IndexAny(text, ".,")
	return i >= 0 && len(text)-i == 2
}

// bidTyres lets options that hold tyre sizes bid for them.
func (s *scan) bidTyres() {
	for i := range s.tyres {
		s.placeTyre(&s.tyres[i])
	}
	s.bidWheels()
	s.bidTyreCount()
	for _, o := range s.r.holding.sizes {
		switch form := s.r.options[o].form.(type) {
		case Tyres:
			s.bidTyre(o, form)
		case Size:
			s.bidSize(o)
		}
	}
}

// bidTyreCount offers a count directly before a tyre's size as how many of them:
// "sealant for 2 29x2.4".
func (s *scan) bidTyreCount() {
	o, ok := s.r.the(tyresOption)
	if !ok {
		return
	}
	for _, v := range s.vals {
		whole := v.a.Number == math.Trunc(v.a.Number) && v.a.Number >= 2 && v.a.Number < 20
		if !v.pair && v.a.Unit == quantity.NoUnit && whole && s.opensMark(v.to) {
			s.offer(bid{from: int8(v.from), to: int8(v.to), option: int16(o), cost: 0.1, value: spec.OneFor[any](v.a)})
		}
	}
}

// bidWheels offers the numbers of wheels whose width stands elsewhere: "29er
// hardtail with 2.4 tyres".
func (s *scan) bidWheels() {
	if !slices.ContainsFunc(s.tyres, tyreMark.bare) {
		return
	}
	for i, m := range s.tyres {
		if m.cued || m.seat || m.mark.Width > 0 || !nominal(s.tokens[m.from].num) || s.tokens[m.from].num < 20 || s.isWord(m.from-1, "at") || s.has(m.from-1, joins) {
			continue
		}
		if v, ok := s.valAt(m.from); !ok || v.pair || v.a.Unit != quantity.NoUnit && v.a.Unit != quantity.IN || s.besideHub(m.from, m.to) {
			continue
		}
		cost := min(m.cost, costWheel)
		if w, ended := s.endOf(m.from, m.to, spec.FrontRear); ended && m.cost > costWheel && !(w == spec.Both && s.tokens[m.from].num > 26) {
			cost = costWheelEnded // but "2.5 f 2.4 r both 29"
		}
		s.offer(bid{from: int8(m.from), to: int8(m.to), option: -1, wheel: int16(i + 1), cost: cost})
	}
}

// besideHub reports whether a hub is named beside tokens from to to: "32 hub".
func (s *scan) besideHub(from, to int) bool {
	hub := func(i int) bool {
		return i >= 0 && i < len(s.tokens) && s.end[i][spec.HubRim] == 1+uint8(spec.FirstOnly)
	}
	return hub(to) || hub(from-1)
}

// listed reports whether a mark is one of a row of bare numbers.
func (s *scan) listed(m tyreMark) bool {
	for i, v := range s.vals {
		if v.from == m.from && m.to <= v.to {
			return s.inRow(i)
		}
	}
	return false
}

// bare reports whether a mark is a width without a diameter.
func (m tyreMark) bare() bool {
	return !m.cued && !m.seat && m.mark.Width > 0 && m.mark.Seat == 0 && len(m.mark.Seats()) == 0
}

// isAnd reports whether token i joins two things that both are meant.
func (s *scan) isAnd(i int) bool {
	return s.isMark(i, "&") || s.isMark(i, "+") || s.isWord(i, "and") || s.isWord(i, "n") || s.isWord(i, "und") || s.isWord(i, "et") || s.isWord(i, "y") || s.isWord(i, "e")
}

// placeTyre notes how a mark stands in the line, which is the same for all options.
func (s *scan) placeTyre(m *tyreMark) {
	v, isVal := s.valAt(m.from)
	m.none = isVal && m.bare() && s.sameSize(v) || m.mark.Width == 0 && s.readOff(m.from) || // "57-622 is that 2.25", "gauge b says 26"
		m.bare() && s.tubeInto(m.to) || // "2.35 tube in 2.6 tyre": the tube's
		s.listed(*m) || m.mark.Width == 0 && s.spokesCounted(m.to) || s.laterPressure(*m) // "28 vs 32 spokes": no wheel; "22 psi yesterday 18 today"
	m.counts = m.mark.Width == 0 && slices.ContainsFunc(s.vals, func(v val) bool { return v.counts && v.from == m.from && v.to == m.to })
	m.into = s.turnsInto(m.from)
	m.changed = m.into || s.cueOfChange(m.from, m.to)
	m.only = s.onlyTyre(*m)
	m.value = m.mark
	m.ofRim = m.to == m.from+1 && s.rimsNumber(m.from)
}

// bidTyre lets an option that holds tyre sizes bid for them.
func (s *scan) bidTyre(o int, form Tyres) {
	onlyCued, lone, names := form.Cued, form.Lone, form.Names
	wheel := slices.ContainsFunc(s.tyres, func(m tyreMark) bool { return m.mark.Width == 0 && m.cost <= costWheel })
	for i, m := range s.tyres {
		s.steps++
		if m.none {
			continue
		}
		from, to, cost := m.from, m.to, m.cost
		if wheel && m.bare() {
			cost = min(cost, costWidth) // "29er … 2.35 / 2.25"
		}
		if names && m.mark.Width == 0 && !m.seat {
			cost = min(cost/2, costWheelName)
		}
		if lone && m.mark.Width == 0 && !m.seat {
			cost = min(cost, costLoneWheel)
		}
		cueFrom, cueTo, isCued := s.cueBeside(o, from, to)
		if !isCued && m.counts {
			continue // "32 spokes": no wheel of 32 inches
		}
		if at, ok := s.cueBehindWord(o, to); ok && !isCued { // "28 mm road tyre"
			cueFrom, cueTo, isCued = from, to, true
			s.offer(bid{from: int8(at), to: int8(at + 1), option: -1, cost: 0.05})
		}
		hinted := false
		if names && isCued && cueTo > to && cueTo < len(s.tokens) && s.tokens[cueTo].kind == number {
			isCued = false // "27.5x2.8 in my 29": it announces the one behind
		}
		if (onlyCued || names) && isCued {
			// the cue is its own
		} else if m.changed {
			cost += costForeign // "going to a 29x2.6" is not the tyre that is ridden
		}
		if names && !lone && !isCued && !m.cued && !strings.HasSuffix(m.mark.Written, " mm") {
			cueFrom, cueTo, hinted = s.hintBeside(o, from, to)
			if hinted && m.only && (s.isWord(from-1, "on") || s.isWord(from-1, "with")) {
				hinted = false // "32/18 on 29x2.4": it is ridden
			}
			if hinted {
				from, to = cueFrom, cueTo
				cost = min(cost, 0.15) - rewardHint
			} else if w, ok := s.endOf(from, to, spec.FrontRear); ok && w != spec.Both {
				cost -= costWholeWheel // a tyre for one end changes
			} else {
				cost += costWholeWheel
				if m.only {
					cost += costOneTyre
				}
			}
		}
		if onlyCued && !isCued && !m.cued {
			if cueFrom, cueTo, hinted = s.hintBeside(o, from, to); hinted && m.mark.Width == 0 && s.isWord(to, "now") {
				hinted = false // "running 26 now": no wheel
			} else if hinted { // "now 29x2.6"
				from, to, cost = cueFrom, cueTo, min(cost, 0.15)
			} else if m.into {
				hinted, cost = true, min(cost, 0.15)-rewardHint
				switch {
				case s.until(from - 1):
					from--
				case s.isWord(to, "instead"):
					to += 2
				default:
					to++
				}
			}
		}
		if !onlyCued && !names && (s.from(from-1) || s.first(from)) && s.until(m.to) && slices.ContainsFunc(s.tyres, func(x tyreMark) bool { return x.into && x.from == m.to+1 }) {
			cost = min(cost, 0.15)
		}
		if isCued {
			from, to = cueFrom, cueTo
			cost = min(cost, 0.15)
			if m.cued {
				cost = 0.4
			}
			if names || onlyCued {
				cost -= rewardHint // the cue says so: "swapped to 29x2.6"
			}
		} else if m.cued || m.seat || onlyCued && !hinted {
			continue
		}
		if m.ofRim {
			cost += costUnusual // "rim 29": no wheel
		}
		// pair: 29x2.5/29x2.4, 29x2.5/2.4, 2.5/2.4, 29/27.5
		if s.isMark(m.to, "/") && !s.unlikeBehind(m) {
			for _, w := range s.tyres[i+1:] {
				if w.from != m.to+1 || w.cued {
					continue
				}
				b := bid{from: int8(from), to: int8(max(to, w.to)), option: int16(o), which: spec.Each, cost: cost + min(w.cost, 0.2), bare: m.bare() && w.bare(), open: !isCued}
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
						b.bare = false
						b.to, b.cost = int8(max(to, wheel.to)), b.cost-0.3
					}
				}
				b.value, b.value2 = first, second
				s.offer(s.boxed(b, spec.Each))
			}
			continue
		}
		if s.isMark(m.from-1, "/") && m.from >= 2 && s.number[m.from-2] && !s.unlikeBefore(m) {
			continue // the second half of a pair
		}
		for _, w := range s.tyres[i+1:] { // 29x2.5 27.5x2.5, 29x2.5 and 27.5x2.5: front and rear, as pairs are said
			if (w.from == m.to || w.from == m.to+1 && s.isAnd(m.to)) && m.mark.Seat != 0 && w.mark.Seat != 0 && m.mark.Width > 0 && w.mark.Width > 0 {
				b := bid{from: int8(from), to: int8(max(to, w.to)), option: int16(o), cost: cost + w.cost + 0.5, value: m.mark, value2: w.mark, open: !isCued,
					said: true, why: "two sizes side by side, taken as front and rear"}
				s.offer(s.boxed(b, spec.Each))
			}
		}
		b := bid{from: int8(from), to: int8(to), option: int16(o), cost: cost, value: m.value, bare: m.bare(), open: !isCued && !hinted}
		if wheel, ok := s.wheelBehind(to); ok && m.mark.Width > 0 && !m.cued {
			if full, ok := named(wheel.mark, m.mark); ok { // 2.4 29er
				both := b
				both.bare = false
				both.value, both.to, both.unsided = full, int8(wheel.to), true
				s.offer(s.boxed(both, spec.Both))
			}
		}
		if w, ok := s.endOf(from, to, spec.FrontRear); ok {
			if !names && s.lentEnd(from, to) {
				// "29x2.4 rear 25 psi": the end may well be the pressure's alone
				whole := b
				whole.unsided = true
				s.offer(s.boxed(whole, spec.Both))
				b.cost += 0.1
			}
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

// rimsNumber reports whether the bare number at token i stands directly behind a word
// for the rim.
func (s *scan) rimsNumber(i int) bool {
	rim, ok := s.r.the(rimOption)
	v, known := s.valAt(i)
	return ok && known && v.a.Unit == quantity.NoUnit && i > 0 && s.cuesAt(rim, i-1) && s.isWord(i-1, "rim")
}

// unlikeBehind reports whether a slash between blanks parts a mark from one that
// is written in another way: "29x2.4 / 30 mm" are a tyre and a rim.
func (s *scan) unlikeBehind(m tyreMark) bool {
	return !s.tokens[m.to].glued && slices.ContainsFunc(s.tyres, func(o tyreMark) bool { return o.from == m.to+1 && unlike(m, o) })
}

func (s *scan) unlikeBefore(m tyreMark) bool {
	return !s.tokens[m.from-1].glued && (slices.ContainsFunc(s.tyres, func(o tyreMark) bool { return o.to == m.from-1 && unlike(o, m) }) ||
		!slices.ContainsFunc(s.tyres, func(o tyreMark) bool { return o.to == m.from-1 }))
}

func unlike(m, o tyreMark) bool {
	return strings.HasSuffix(m.mark.Written, " mm") != strings.HasSuffix(o.mark.Written, " mm")
}

// cueOfChange reports whether a cue of the tyre that something is changed to
// announces tokens from to to.
func (s *scan) cueOfChange(from, to int) bool {
	for _, o := range s.r.changedTyres {
		if first, _, ok := s.cueBeside(o, from, to); ok && first < from {
			return true
		}
	}
	return false
}

// first reports whether nothing that says something stands before token i.
func (s *scan) first(i int) bool {
	for k := range i {
		if s.tokens[k].kind == number || s.tokens[k].kind == field || s.tokens[k].kind == word && !s.has(k, fills) && !s.courteous(k) && !s.unknown(k) {
			return false
		}
	}
	return true
}

// turnsInto reports whether the tyre at token i is what another becomes: the
// second of "from 29x2.25 to 29x2.4", "von 2.25 auf 2.4".
func (s *scan) turnsInto(i int) bool {
	if slices.ContainsFunc(s.tyres, func(m tyreMark) bool {
		return m.from == i && m.mark.Width > 0 && !m.cued && (s.isWord(m.to, "instead") && s.isWord(m.to+1, "of") || s.isWord(m.to, "statt")) &&
			slices.ContainsFunc(s.tyres, func(was tyreMark) bool {
				return was.from > m.to && was.from <= m.to+2 && was.mark.Width > 0 && !was.cued
			})
	}) {
		return true // "put 2.6 instead of 2.4 on the back"
	}
	return s.until(i-1) && slices.ContainsFunc(s.tyres, func(m tyreMark) bool {
		return m.to == i-1 && m.mark.Width > 0 && !m.cued && (s.from(m.from-1) || s.first(m.from))
	})
}

// onlyTyre reports whether a mark is the only tyre or wheel of the line.
func (s *scan) onlyTyre(m tyreMark) bool {
	for _, o := range s.tyres {
		if (o.to <= m.from || o.from >= m.to) && !o.cued && !strings.HasSuffix(o.mark.Written, " mm") {
			return false
		}
	}
	for _, x := range s.matches {
		for _, sn := range x.senses {
			if _, ok := sn.value.(spec.Ends[size.Mark]); ok {
				return false // "mullet" names the others
			}
		}
	}
	return true
}

// hintBeside returns the span from a hint of the option to tokens from to to:
// "to 29", "29 frame".
func (s *scan) hintBeside(o, from, to int) (int, int, bool) {
	if !s.hinted.has(o) {
		return 0, 0, false
	}
	for _, m := range s.matches {
		if m.to != from && (m.from != to || m.to < len(s.tokens) && s.tokens[m.to].kind == number) {
			continue // "2.5 on 25": it announces the one behind
		}
		for _, sn := range m.senses {
			if sn.role == hints && sn.target == o {
				return min(from, m.from), max(to, m.to), true
			}
		}
	}
	return 0, 0, false
}

// lentEnd reports whether the end beside the only tyre of a line stands beside
// another value too.
func (s *scan) lentEnd(from, to int) bool {
	full := 0
	for _, m := range s.tyres {
		if m.mark.Width > 0 && !m.cued && m.cost < 1 {
			full++
		}
	}
	if full > 1 {
		return false
	}
	return to < len(s.tokens) && s.end[to][spec.FrontRear] != 0 && s.valueStartsAt(to+1) ||
		from > 0 && s.end[from-1][spec.FrontRear] != 0 && s.valueEndsAt(from-1)
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
	for i, m := range s.tyres {
		if s.listed(m) {
			continue // of a list of readings
		}
		cost := m.cost + 0.15
		if cost > 1 {
			cost = 0.6 // "29" alone is a good answer to "same as 29?"
		}
		if m.cued || m.mark.Seat == 0 && len(m.mark.Seats()) == 0 {
			continue // a width alone is no size to compare
		}
		cost += costLater * float32(i)
		to := m.to
		if s.tyreWord(to) {
			to++ // "27.5 tube in a 29 tyre"
		}
		b := bid{from: int8(m.from), to: int8(to), option: int16(o), cost: cost, value: m.value, later: name == "b"}
		s.offer(s.boxed(b, spec.Both))
	}
}

// bidRims lets rims bid for rim marks: 622x30TC.
func (s *scan) bidRims() {
	for _, o := range s.r.holding.rims {
		f := s.r.options[o].form.(Rims)
		for i := range s.tokens {
			t := s.tokens[i]
			if t.kind != number || t.num < 200 || t.num > 700 || !s.isWord(i+1, "x") || i+2 >= len(s.tokens) || s.tokens[i+2].kind != number {
				continue
			}
			text, to := t.text+"x"+s.tokens[i+2].text, i+3
			if to < len(s.tokens) && s.tokens[to].kind == word && len(s.tokens[to].text) <= 4 {
				if m, err := size.ParseRim(text + s.tokens[to].text); err == nil {
					s.offerRim(o, f, i, to+1, m)
					continue
				}
			}
			if m, err := size.ParseRim(text); err == nil {
				s.offerRim(o, f, i, to, m)
			}
		}
		for i := range s.tokens { // "a 622-30 rim", the other way round
			t := s.tokens[i]
			if t.kind != number || t.num < 200 || t.num > 700 || !s.isMark(i+1, "-") || i+2 >= len(s.tokens) || s.tokens[i+2].kind != number || s.tokens[i+2].num > 110 {
				continue
			}
			if _, _, ok := s.cueBeside(o, i, i+3); !ok {
				continue
			}
			if m, err := size.ParseRim(t.text + "x" + s.tokens[i+2].text); err == nil {
				s.offerRim(o, f, i, i+3, m)
			}
		}
	}
}

func (s *scan) offerRim(o int, f Rims, from, to int, m size.RimMark) {
	b := bid{from: int8(from), to: int8(to), option: int16(o), value: m}
	if first, last, ok := s.cueBeside(o, from, to); ok {
		b.from, b.to = int8(first), int8(last)
	} else if f.Cued {
		return
	}
	w, ok := s.endOf(from, to, spec.FrontRear)
	b.which, b.unsided = w, !ok
	s.offer(s.boxed(b, w))
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
