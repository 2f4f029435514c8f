package read

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"spokeword/calc/quantity"
	"spokeword/commands/spec"
)

// This file lets the options that hold numbers bid for those of a line.

// bidNumbers lets every numeric option bid for every number.
func (s *scan) bidNumbers() {
	var announced optionSet
	for v := range s.vals {
		s.place(v)
		announced.join(s.vals[v].cued)
	}
	for _, o := range s.r.holding.numbers {
		n := s.r.options[o].numbers
		if n.onlyAnnounced() && !announced.has(o) {
			continue
		}
		for v := range s.vals {
			s.bidNumber(o, n, v)
		}
	}
}

// onlyAnnounced reports whether an option can do nothing with a number that no cue
// stands beside.
func (n *Numbers) onlyAnnounced() bool {
	return n.Cued && !n.Placed && !n.Lesser && !n.Plus && !n.Anywhere && !n.Any && n.Kind != quantity.KindTemperature
}

// place notes how a value stands in the line, which is the same for all options.
func (s *scan) place(vi int) {
	v := &s.vals[vi]
	v.plus = strings.HasPrefix(s.tokens[v.from].raw, "+") && !s.addedTo(vi)
	v.fromTo, v.wasNow, v.oneOf, v.belowNought = s.fromTo(vi), s.wasNow(vi), s.oneOf(vi), s.toBelowNought(vi)
	v.wide = v.fromTo && s.tyreWidths(vi)
	v.rowed, v.counts, v.part = s.inRow(vi), s.countsSpokes(vi), s.namesPart(vi)
	v.lesser = v.a.Kind() == quantity.KindMass && s.lesser(vi)
	v.beside = v.a.Unit != quantity.NoUnit && s.besideEnd(vi)
	v.none = s.inWire(v.from) || s.behindWheel(v) || s.namesThing(v.from)
	for _, c := range s.cues {
		if c.val == vi {
			v.cued.add(c.option)
		}
	}
	v.none = v.none || s.namesWheels(v) || s.someSpokes(v)
	v.part = v.part || s.namesWheels(v) && slices.ContainsFunc(s.tyres, func(m tyreMark) bool { return m.from != v.from && m.mark.Width > 0 && m.mark.Seat > 0 })
}

// namesWheels reports whether a value is the size of the wheels of a frame or a bike:
// "2.8 on his 29 frame".
func (s *scan) namesWheels(v *val) bool {
	bare := v.a.Unit == quantity.NoUnit && !v.pair && nominal(v.a.Number)
	geared := func() bool { // "30t 11-50 what ratio on 29"
		ring, ok := s.r.the(ringOption)
		return ok && s.isWord(v.from-1, "on") && !s.gluedWord(v.to) && s.said.has(ring) && s.says("ratio", "gear", "gears", "climbing", "climb", "hills", "steep", "alps", "speed")
	}
	return bare && (s.isOneOf(v.to, wheeledWords) || geared())
}

// mendedWords say what became of some spokes.
var mendedWords = []string{"replaced", "replace", "replacing", "changed", "changing", "broke", "broken", "snapped", "lost", "bent", "fitted", "swapped", "renewed", "new", "other", "last", "another"}

// someSpokes reports whether a value counts some spokes of a wheel and not all: the 4 of
// "replaced 4 spokes".
func (s *scan) someSpokes(v *val) bool {
	if cross, ok := s.r.the(crossOption); ok && v.cued.has(cross) {
		return false // "incrocio 3 raggi"
	}
	return v.a.Unit == quantity.NoUnit && !v.pair && v.a.Number < leastInWheel && v.a.Number == math.Trunc(v.a.Number) && !strings.ContainsAny(s.tokens[v.from].text, ".,") && s.isOneOf(v.to, spokeWords) && s.isOneOf(v.from-1, mendedWords)
}

// namesThing reports whether the number at token i is glued to letters that say
// nothing: the 511 of "qz511".
func (s *scan) namesThing(i int) bool {
	if !s.tokens[i].glued || !s.unknown(i-1) {
		return false
	}
	letters := s.tokens[i-1].text
	return len(letters) > 1 && strings.Trim(letters, "x") != "" && !s.r.lexicon.knows(letters)
}

// addedTo reports whether a value with a plus is told beside one of its kind: the 4 kg of
// "76 kg + 4 kg pack" is no change.
func (s *scan) addedTo(vi int) bool {
	if vi == 0 {
		return false
	}
	v, before := s.vals[vi], s.vals[vi-1]
	return v.a.Unit != quantity.NoUnit && before.a.Kind() == v.a.Kind() && before.a.Unit != quantity.NoUnit && v.from-before.to <= 1
}

// without reports whether an option can do nothing with a value that no cue
// announces.
func (v *val) without(n *Numbers) bool {
	switch {
	case n.Cued && !(n.Placed && v.beside) && !(n.Lesser && v.lesser), v.rowed:
		return true
	case v.part: // "148 hub"
		return true
	case v.counts && n.Axis != spec.HubRim: // "28 or 32 spokes": no points of a freehub, no rim of 32 mm
		return true
	case v.fromTo && (n.Kind != quantity.KindPressure || v.wide): // "it went from 22 to 19": no rim of 22 mm
		return true
	case v.wasNow, v.oneOf && !n.Many: // "the gap was 7 now 4", "28 or 32 spokes"
		return true
	case v.belowNought && n.Kind == quantity.KindPressure: // "20 to -5" are temperatures
		return true
	case v.a.Unit == quantity.NoUnit:
		return n.Any
	}
	return v.a.Unit.Kind() != n.Kind && !n.Any && !v.pressed(n)
}

// pressed reports whether a weight may be a pressure as people call it: pounds
// are those on a square inch, kilos those on a square centimetre, near a bar.
func (v *val) pressed(n *Numbers) bool {
	if n.Kind != quantity.KindPressure {
		return false
	}
	switch v.a.Unit {
	case quantity.LB:
		return v.a.Number >= 9 && v.a.Number <= 80
	case quantity.KG:
		return v.a.Number >= 0.8 && v.a.Number <= 4 && v.a.Number != math.Trunc(v.a.Number)
	}
	return false
}

// riderBeside reports whether another value of the line weighs as much as a rider,
// or tells of the weather or of heights: this one is no rider then.
func (s *scan) riderBeside(vi int) bool {
	for i, w := range s.vals {
		if i != vi && (w.a.Kind() == quantity.KindMass && w.a.SI() >= leastRider || w.a.Kind() == quantity.KindTemperature || w.a.Unit == quantity.M && w.a.Number >= 100) {
			return true
		}
	}
	return false
}

// wheeledWords name what goes by the size of its wheels.
var wheeledWords = []string{"frame", "frames", "fork", "forks", "bike", "bikes", "hardtail", "rahmen", "gabel", "cadre", "fourche", "cuadro", "horquilla", "telaio", "forcella"}

// mostLuggage is what nobody carries beside a rider who is not told of, in kilograms.
const mostLuggage = 60

// leastInWheel is how many spokes a wheel has at least.
const leastInWheel = 12

// leastHeight is under which bare number nothing is the height of a place, in metres or
// feet.
const leastHeight = 100

// leastSmallRing is under how many teeth a number is no ring where cogs are spoken of.
const leastSmallRing = 18

// leastLikelyWidth is from which number on what has a point in it is rather a tyre's
// width than bar, where another width stands in the line.
const leastLikelyWidth = 2.1

// widthBeside reports whether a value is written as the width of a tyre in a line with
// another one, of which no word is about pressure: "2.8 rubs, go to 2.6".
func (s *scan) widthBeside(v val) bool {
	if v.a.Number < leastLikelyWidth || v.a.Number > 3.5 || !aWidth(s.tokens[v.from]) || s.unitOf[quantity.KindPressure] != quantity.NoUnit {
		return false
	}
	return slices.ContainsFunc(s.tyres, func(m tyreMark) bool {
		return m.from != v.from && m.bare() && s.writtenAsWidth(m)
	}) && !s.says("bar", "psi", "pressure", "druck", "pression", "presión", "presion", "pressione", "air")
}

// readOff reports whether the number at token i was read off a gauge: "gauge b says 26".
func (s *scan) readOff(i int) bool {
	return (s.isWord(i-1, "says") || s.isWord(i-1, "reads") || s.isWord(i-1, "shows") || s.isWord(i-1, "say") || s.isWord(i-1, "read")) && s.says("gauge", "gauges", "pump")
}

// sharesOther reports whether a bare value is joined by an "and" to one with a unit of
// another kind, which is its too: the 25 of "25 n 32 mm".
func (s *scan) sharesOther(vi int, kind quantity.Kind) bool {
	if vi+1 >= len(s.vals) || kind != quantity.KindPressure {
		return false
	}
	v, w := s.vals[vi], s.vals[vi+1]
	return w.from == v.to+1 && s.isAnd(v.to) && !w.pair && w.a.Unit == quantity.MM
}

// phraseTo reports whether two words or more that announce an option end before token i:
// the "drive from" of "drive from 1998".
func (s *scan) phraseTo(o, i int) bool {
	return slices.ContainsFunc(s.matches, func(m match) bool {
		return m.to == i && m.to-m.from > 1 && slices.ContainsFunc(m.senses, func(sn sense) bool { return sn.role == cues && sn.target == o })
	})
}

// mostBarWidth is under which number what stands behind "psi" with a point in it is the
// width of a tyre: nobody rides on so few psi.
const mostBarWidth = 5.5

// bidNumber lets an option bid for a value, if it can do anything with it: most can't,
// which is found out here.
func (s *scan) bidNumber(o int, n *Numbers, vi int) {
	v := &s.vals[vi]
	s.steps++
	if v.none || v.pair && n.Axis == spec.NoAxis {
		return
	}
	c := isCue{announced: v.cued.has(o)}
	c.degrees = n.Kind == quantity.KindTemperature && (v.a.Unit == quantity.DegreeUnit || v.belowNought)
	c.any = c.announced || c.degrees || n.Plus && v.plus
	c.anywhere = !c.any && n.Anywhere && !v.pair && v.a.Unit != quantity.NoUnit && v.a.Unit.Kind() == n.Kind && s.said.has(o) && !s.announcedFor(vi, o)
	c.any = c.any || c.anywhere
	if !c.any && (v.without(n) && !(n.Any && s.fromUnit(v) != quantity.NoUnit) || !s.mayBe(n, vi)) {
		return
	}
	s.bidValue(o, n, vi, c)
}

// mayBe reports whether a value that no cue announces is of a size that an option's
// is read in.
func (s *scan) mayBe(n *Numbers, vi int) bool {
	v := &s.vals[vi]
	switch {
	case v.a.Unit != quantity.NoUnit:
		return n.Any || v.pressed(n) || n.holds(v.a) || n.AloneFrom > 0 && slices.Contains(n.AloneIn, v.a.Unit)
	case n.Any:
		return true
	}
	_, ok := n.habit(v.a, v.b, v.pair, s.lineUnit(n, vi), !s.twin(vi, n))
	return ok
}

// lineUnit returns the unit in which a bare value is read, if the rest of the line
// tells it: kg from lb, psi from bar.
func (s *scan) lineUnit(n *Numbers, vi int) quantity.Unit {
	if n.Said || n.Kind == quantity.KindTemperature || s.twin(vi, n) {
		return s.unitOf[n.Kind]
	}
	return quantity.NoUnit
}

// isCue is what tells that a value is an option's.
type isCue struct {
	announced bool // a cue beside it
	degrees   bool // it is in degrees of no scale
	anywhere  bool // a cue elsewhere in the line
	any       bool // one of these, or a plus sign
}

// bidValue bids for a value.
func (s *scan) bidValue(o int, n *Numbers, vi int, c isCue) {
	v, isCued := &s.vals[vi], c.any
	if s.r.options[o].rims && !isCued && (s.isWord(v.from-1, "at") || s.readOff(v.from) || nominal(v.a.Number) && v.a.Unit == quantity.NoUnit && s.tyreWord(v.to)) {
		return // "too squirmy at 22", "a 29 tyre"
	}
	if !isCued && v.a.Unit == quantity.NoUnit && !v.pair && s.sharesOther(vi, n.Kind) {
		return // "25 n 32 mm rolls": both are millimetres
	}
	if n.Kind == quantity.KindPressure && v.a.Unit == quantity.NoUnit && !v.pair && v.a.Number >= 1.7 && v.a.Number < mostBarWidth && aWidth(s.tokens[v.from]) && (s.isWord(v.from-1, "says") || s.isWord(v.from-1, "printed") || s.isWord(v.from-1, "marked")) && !s.says("bar", "psi", "max", "pressure") {
		return // "tyre says 2.4 but i measure 2.28"
	}
	if s.r.options[o].rims && v.a.Number == 27.5 && v.a.Unit == quantity.NoUnit && !s.gluedWord(v.to) && slices.ContainsFunc(s.tyres, func(m tyreMark) bool { return m.from != v.from && m.mark.Seat > 0 && m.mark.Width > 0 }) {
		return // "54-584 fits 27.5 rim": the wheel
	}
	if n.Kind == quantity.KindLength && n.Most > leastHeight && v.a.Unit == quantity.NoUnit && v.a.Number >= 0 && v.a.Number < leastHeight {
		return // "going up to 2.6": no height of a place
	}
	if s.r.options[o].name == "tape" && s.mounts(v.from-1) && (s.isWord(v.to, "rim") || s.isWord(v.to, "rims")) {
		return // "what tape width for 35mm rim"
	}
	if s.r.options[o].name == "depth" && s.says("gauge", "gauges") && (s.isWord(v.from-1, "high") || s.isWord(v.from-2, "high")) {
		return // "my gauge reads 2 high so 25"
	}
	if n.Kind == quantity.KindPressure && !c.any && v.a.Unit == quantity.NoUnit && (!v.pair && s.widthBeside(*v) || v.pair && s.saysCadence()) {
		return // "30/51 at 60rpm": a gear
	}
	best := cued{cost: 99, weak: true}
	if c.announced {
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
	}
	if n.Behind && best.ahead {
		return
	}
	if c.anywhere {
		best = cued{option: o, val: vi, from: v.from, to: v.to, cost: costAnywhere}
	}
	if c.degrees && best.cost > costDegrees { // "18 degrees": of which scale is guessed
		best = cued{option: o, val: vi, from: v.from, to: v.to, cost: costDegrees}
	}
	if n.Plus && v.plus && best.cost > 0 {
		best = cued{option: o, val: vi, from: v.from, to: v.to}
	}
	if !isCued && n.Sided && v.a.Unit == quantity.NoUnit {
		if _, ended := s.endOf(v.from, v.to, n.Axis); v.pair || !ended {
			return
		}
	}
	if !isCued && n.Paired && !v.pair {
		if _, ended := s.endOf(v.from, v.to, n.Axis); !ended {
			return
		}
	}
	if v.fromTo && best.weak && n.Kind == quantity.KindLength && slices.ContainsFunc(s.vals, func(w val) bool { return w.a.Unit == quantity.G && w.a.Number >= 200 }) {
		return // "from 900 to 760", in a line of grams: no heights
	}
	if n.Kind == quantity.KindPressure && isCued && !v.pair && v.a.Unit == quantity.NoUnit && v.a.Number < mostBarWidth && aWidth(s.tokens[v.from]) && s.isWord(v.from-1, "psi") {
		return // "hookless max psi 2.4": a tyre
	}
	if s.r.options[o].name == "ring" && v.a.Unit == quantity.NoUnit && !v.pair && v.a.Number > 0 && v.a.Number < leastSmallRing && !s.saysPoints() && s.isWord(v.to, "t") && s.tokens[v.to].glued && s.says(cogWords...) {
		return // "10t smallest cog"
	}
	if s.r.options[o].name == "points" && (s.inCassette(*v) || s.isWord(v.to, "t") && s.tokens[v.to].glued && s.says(cogWords...) && !s.saysPoints()) {
		return
	}
	if !s.r.options[o].tyres && !isCued && v.a.Unit == quantity.NoUnit && !v.pair && nominal(v.a.Number) && (s.isWord(v.to, "wheel") || s.isWord(v.to, "wheels") || s.isWord(v.to, "wheeler")) {
		return // "24 wheel 30t 11-34"
	}
	if n.Kind == quantity.KindMass && n.Cued && v.a.Unit == quantity.NoUnit && nominal(v.a.Number) && !best.ahead {
		return // "29 hardtail": its wheels
	}
	if f, ok := s.r.options[o].form.(Spots); ok && v.to < len(s.tokens) && s.end[v.to][spec.LeftRight] != 0 {
		if _, own := s.offWay(f, *v); !own {
			return // "0.2 right hop gone": no hop goes to the right
		}
	}
	if !isCued && n.Axis == spec.LeftRight && n.Kind == quantity.KindLength && !v.pair && v.a.Unit == quantity.MM && v.a.Number < narrowest {
		return // "2 mm to the drive side": no flange stands so near the middle
	}
	if s.r.options[o].rims && !v.pair && v.a.Unit == quantity.MM && v.a.Number < narrowest {
		return // "hop in rim 1.5 mm"
	}
	if n.Kind == quantity.KindPressure && !v.pair && v.a.Unit == quantity.NoUnit && s.besideWheelName(v) {
		return // "pressure for 2.35 29er"
	}
	if _, named := s.endOf(v.from, v.to, n.Axis); !isCued && n.Axis == spec.HubRim && !named && !v.pair && v.a.Unit == quantity.NoUnit && !usualCount(*v) {
		return // "29 rear": no hub has 29 holes
	}
	if n.Whole && n.Axis == spec.HubRim && v.a.Number != math.Trunc(v.a.Number) && v.a.Number < 6 {
		return // "2.4 holes" are as wide
	}
	if n.Whole && !v.pair && v.a.Number == math.Trunc(v.a.Number) && strings.ContainsAny(s.tokens[v.from].text, ".,") {
		return // "2.0 spokes" are counted by nobody
	}
	if !isCued && v.a.Unit == quantity.NoUnit && !v.pair && n.Axis != spec.HubRim && s.besideHub(v.from, v.to) {
		return // "32 hub": holes, or a width, and no pressure
	}
	if !isCued && !n.Many && s.has(v.from-1, joins) {
		return // "29x2.4 vs 2.6": the second is another of the first
	}
	if with := s.r.options[o].with; with >= 0 {
		switch {
		case s.speaksOf(with):
			best.cost -= rewardWith
		case isCued:
			best.cost += costWithout
		}
	}
	if !isCued && n.Usual && v.a.Unit != quantity.NoUnit && !n.usual(v.a) {
		return
	}
	from, to, cost := v.from, v.to, best.cost
	if s.r.options[o].rims && isCued && best.ahead && s.deep(v.to) {
		return // "rim 45 deep": no inner width
	}
	if isCued {
		from, to = min(best.from, from), max(best.to, to)
		if s.r.options[o].rims && best.weak && (v.a.Number == 27.5 || s.isWord(v.from-1, "en") && nominal(v.a.Number)) {
			cost += costUnusual // "2,5 devant 2,4 derrière en 29": the wheel
		}
		if s.r.options[o].rims && best.ahead && v.a.Unit == quantity.NoUnit && nominal(v.a.Number) && !s.tokens[v.from].glued && s.isWord(best.from-1, "mm") {
			cost += costClaimed // "30mm rims 29": the wheel
		}
	} else {
		if s.r.options[o].rims && v.a.Unit == quantity.NoUnit && nominal(v.a.Number) && s.isWord(v.to, "tube") {
			return // "26 tube in 29 tyre"
		}
		cost = 0
		if v.a.Unit == quantity.NoUnit && v.a.Number >= 0 && s.announcedFor(vi, o) {
			// "rim 35": no rider of 35 kg; but "24 rim 32 hub" are holes of both
			if _, placed := s.endOf(v.from, v.to, n.Axis); !placed || n.Axis != spec.HubRim {
				cost = costClaimed
			}
		} else if v.a.Unit != quantity.NoUnit && s.announcedAs(vi, o, "newrim") {
			cost = costForeign // "new rim 35 mm" is not the rim it is on
		}
		if s.r.options[o].rims && v.a.Number == 27.5 && v.a.Unit == quantity.NoUnit {
			cost += costUnusual // the name of a wheel
		}
	}
	if to < len(s.tokens) && s.tokens[to].kind == word && s.tokens[to].glued && v.a.Unit == quantity.NoUnit && !s.sizeLetter(to) && !(n.Axis == spec.FrontRear && (s.isWord(to, "f") || s.isWord(to, "r"))) && !(n.Axis == spec.LeftRight && s.end[to][spec.LeftRight] != 0) {
		return // "29er", "24poe": the letters say it is something else
	}
	a, b := v.a, v.b
	if c.degrees {
		a.Unit, b.Unit = quantity.NoUnit, quantity.NoUnit
	}
	if s.r.options[o].rims && isCued && a.Unit == quantity.DegC && s.isWord(v.to-1, "c") && s.tokens[v.to-1].glued {
		a.Unit, b.Unit = quantity.MM, quantity.MM // a "19c" rim has hooks, no temperature
	}
	if isCued && n.Axis == spec.HubRim && (best.ahead && s.isWord(v.from-1, "spoke") && v.a.Number < 12 || !best.ahead && s.isWord(v.to, "spoke") && v.a.Number > mostInWheel) {
		return // "… 103 100 spoke 4 is low": which one, behind a row of readings
	}
	if isCued && n.Kind == quantity.KindLength && v.a.Unit == quantity.NoUnit && !v.pair && nominal(v.a.Number) && s.isWord(v.to, "rim") && !n.holds(quantity.Measure{Number: v.a.Number, Unit: quantity.MM}) {
		return // "spoke length 29 rim erd 600": the wheel
	}
	if n.Joint && !slices.ContainsFunc(s.matches, func(m match) bool { return s.has(m.from, joins) }) {
		return
	}
	if s.r.options[o].rims && !isCued && v.pair && nominal(v.a.Number) && nominal(v.b.Number) && (v.a.Number == 27.5 || v.b.Number == 27.5) {
		return // "29/27.5": wheels
	}
	if n.Kind == quantity.KindMass && v.a.Unit == quantity.NoUnit && !v.pair && (nominal(v.a.Number) && s.isWord(v.to, "tube") || v.to < len(s.tokens) && s.end[v.to][spec.FrontRear] != 0 && v.a.Number < leastRider && s.twoEnds()) {
		return // "a 29 tube in his 27.5x2.4", "for me 22 front 25 rear"
	}
	if !isCued && n.Whole && v.pair && strings.ContainsAny(s.tokens[v.from].text, ".,") {
		return // "2.0/2.0 spokes" are no crossings
	}
	if !isCued && n.AloneFrom > 0 && (a.SI() < n.AloneFrom || n.AloneTo > 0 && a.SI() > n.AloneTo || !slices.Contains(n.AloneIn, a.Unit)) {
		return
	}
	if !n.Many && s.isWord(v.to, "t") && s.tokens[v.to].glued && (s.has(v.from-1, joins) || s.isWord(v.from-1, "to")) {
		cost += costInherited // "36t to 54t": rather the same twice
	}
	said, why := v.guess != "", v.guess
	if v.pressed(n) {
		if _, ended := s.endOf(v.from, v.to, n.Axis); !isCued && !ended && !s.riderBeside(vi) {
			return // "kid 45 lbs"
		}
		per := quantity.PSIUnit
		if a.Unit == quantity.KG {
			per = quantity.BarUnit
		}
		said, why = true, fmt.Sprintf("typed as %s, taken as %s by its size", v.a, per)
		if a.Unit, b.Unit = per, per; !isCued { // "running 25 lbs"
			cost += costUnusual
		}
	}
	switch {
	case a.Unit == quantity.NoUnit && n.Kind == quantity.Bare && !n.Any:
		if _, usual := n.habit(a, b, v.pair, quantity.NoUnit, false); isCued && best.cost >= costInherited && !usual {
			return // "circle 116, 36h": the cue of the other is not for this
		}
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
	case a.Unit == quantity.NoUnit && n.Any:
		u := s.fromUnit(v)
		if u == quantity.NoUnit {
			return
		}
		a.Unit, b.Unit = u, u
		cost += costUnit
		said, why = true, fmt.Sprintf("typed as %s, read as %s by its size", quantity.Exact(v.a.Number), u)
	case a.Unit == quantity.NoUnit:
		strong := isCued && !best.weak
		var line quantity.Unit
		if n.Said || n.Kind == quantity.KindTemperature {
			line = s.unitOf[n.Kind] // the rest of the line tells kg from lb, psi from bar
		}
		twin := !isCued && s.twin(vi, n)
		if twin {
			line = s.unitOf[n.Kind]
		}
		h, ok := n.habit(a, b, v.pair, line, !isCued && !twin)
		if m := (quantity.Measure{Number: a.Number, Unit: line}); !ok && strong && n.Said && !v.pair && line != quantity.NoUnit && m.Kind() == n.Kind && n.holds(m) {
			h, ok = Habit{Unit: line}, true // "min 2.5 max 4 bar"
		}
		switch {
		case !ok && strong && a.Number >= 0 && !s.abuts(best, v):
			return // "sealant for 8 club bikes"
		case !ok && strong:
			s.offer(s.sided(bid{from: int8(from), to: int8(to), option: int16(o), cost: cost + costBlunder,
				problem: mistaken(n, a)}, *v, n))
			return
		case !ok:
			return
		case n.AloneFrom > 0 && n.Kind == quantity.KindLength && v.a.Number >= 1985 && v.a.Number <= 2040 && s.from(v.from-1) && !s.phraseTo(o, v.from):
			return // "a tyre from 2015"
		case isCued && best.weak && n.Kind == quantity.KindTemperature && line == quantity.NoUnit && a.Number > 0 && !s.warm(o):
			return // "wet tomorrow, drop how much from 24": nothing else is a temperature
		}
		a.Unit, b.Unit = h.Unit, h.Unit
		if h.Unit == quantity.StonePound {
			a.Number, b.Number = a.Number*14, b.Number*14
		}
		if h.Unit == quantity.PSIUnit && v.pair && math.Abs(a.Number-b.Number) > mostBetween {
			cost += costUnusual // "32/51" is a gear
		}
		if h.Unit == quantity.BarUnit && !isCued && !v.pair && !strings.ContainsAny(s.tokens[v.from].text, ".,") {
			cost += costWholeBar // "two little slits" are no pressure
		}
		if h.Unit == quantity.BarUnit && isCued && !best.ahead && !v.pair && a.Number >= 2 && s.aWidth(*v) && !slices.ContainsFunc(s.tyres, func(m tyreMark) bool { return m.mark.Width > 0 && (m.to <= v.from || m.from >= v.to) }) {
			cost += costWideBar + costUnusual // "2.6 pressure pls": the tyre, where no other is named
		}
		if h.Unit == quantity.PSIUnit && v.pair && a.Number != b.Number && nominal(a.Number) && nominal(b.Number) && (a.Number == 27.5 || b.Number == 27.5) {
			cost += 2 * costUnusual // "mullet 29/27.5": wheels
		}
		if h.Unit == quantity.BarUnit && (best.weak || !isCued && line == quantity.NoUnit) && max(a.Number, b.Number) >= 2.4 {
			cost += costWideBar
		}
		if twin {
			cost += 0.3
		} else if !isCued {
			cost += h.Alone
			if n.Kind == quantity.KindPressure && s.eachEnd(vi) {
				cost -= rewardEnds
			}
			if n.Lone > 0 && !v.pair {
				if _, sided := s.endOf(v.from, v.to, n.Axis); !sided {
					cost += n.Lone
				}
			}
		} else if best.weak {
			cost += 0.45
			if n.Kind == quantity.KindPressure && !v.pair && h.Unit == quantity.BarUnit && s.mounted(v.to) {
				cost += costMounted
			}
		} else {
			cost += 0.1
			if n.Usual && h.Alone == 0 {
				cost += costUnusual // "flanges 36/21" are no hole circles
			}
		}
		if line != quantity.NoUnit && h.Unit != line {
			cost += costOtherUnit
		}
		if n.Said || n.Kind == quantity.KindTemperature {
			said, why = true, "typed as "+quantity.Exact(v.a.Number)+", read as "+h.Unit.String()+" by its size"
			if h.Unit == line {
				why = fmt.Sprintf("typed as %s, read in the unit of the rest of the line", quantity.Exact(v.a.Number))
			}
		}
	case a.Kind() != n.Kind && n.Strict && isCued && !(best.weak && best.ahead):
		s.offer(s.boxed(bid{from: int8(from), to: int8(to), option: int16(o), cost: cost + costMistake, value: a}, spec.Both))
		return
	case a.Kind() != n.Kind && !n.Any:
		return
	default:
		if !isCued {
			cost += costUnit
			if n.Lesser && v.lesser {
				cost += costUnusual
				said, why = true, "the lesser of two weights, taken as the bike's"
			}
			if !n.usual(a) && !(n.Kind == quantity.KindMass && a.SI() >= 10 && a.SI() < leastRider && s.saysChild()) {
				cost += costUnusual
				if n.Kind == quantity.KindMass {
					cost += costUnusual // nobody of 11 kg rides
				}
				if _, rim := s.r.options[o].form.(Rims); rim {
					cost += costOddRim // 70 mm are rather a frame's
				}
			}
		} else if best.weak {
			cost += 0.2
			if n.Kind == quantity.KindMass && n.Cued && !n.likely(a) {
				cost += 2 * costUnusual // "hardtail 68kg": the rider's
			}
		} else if n.Kind == quantity.KindMass && n.Cued && !n.likely(a) {
			cost += costUnusual // "a gravel bike 68 kg": the rider's
		}
		if v.spaced && (a.Unit == quantity.IN || a.Unit == quantity.DegC || a.Unit == quantity.M || a.Unit == quantity.DegF) {
			cost += 0.1
		}
	}
	if n.Kind == quantity.KindMass && n.Plus && !v.plus && !v.pair && a.Unit != quantity.NoUnit && a.SI() >= mostLuggage && !best.ahead && !s.isWord(v.to, "of") && !s.riderBeside(vi) {
		cost += 2 * costUnusual // "110kg loaded": rider and all
	}
	if n.Axis == spec.HubRim && !v.pair && math.Mod(a.Number, 2) != 0 && a.Number > 12 && (!isCued || best.cost >= costInherited) {
		cost += 2 * costUnusual // "right 33, 32 holes"
	}
	if n.Axis == spec.HubRim && v.pair && (math.Mod(a.Number, 2) != 0 || math.Mod(b.Number, 2) != 0) {
		cost += 2 * costUnusual // "hub 36/21": flanges, for holes are even
	}
	nb := bid{from: int8(from), to: int8(to), option: int16(o), cost: cost, said: said, why: why, open: !isCued,
		plus: n.Plus && v.plus}
	for _, m := range [...]quantity.Measure{a, b} {
		if !n.holds(m) && (m == a || v.pair) {
			if (!isCued || best.weak) && !(n.AloneFrom > 0 && slices.Contains(n.AloneIn, m.Unit)) {
				return
			}
			if n.Axis == spec.HubRim && m.Number >= 150 && m.Number <= 400 {
				return // "294 spokes" are as long
			}
			if s.heldElsewhere(o, vi) {
				return // "spoke holes 9.9 mm c-c": that wide is no hole
			}
			nb.problem = n.check(m).Error()
			nb.cost += costMistake
			break
		}
	}
	if nb.problem == "" {
		if f, ok := s.r.options[o].form.(Spots); ok && !v.pair { // "1.5 mm wobble to the left"
			if k := s.towards(int(nb.to)); k > int(nb.to) && f.says(s.tokens[k:k+1]) {
				if nb.to = int8(k + 1); slices.Contains(f.Minus, s.tokens[k].text) {
					a.Number = -a.Number
				}
			}
		}
		nb.value, nb.value2 = s.elements(o, a, b, v.pair)
	}
	if w, ok := s.endOfMounted(*v); ok && s.r.options[o].rims && !v.pair {
		s.offer(s.boxed(nb, w)) // "fr 2.5 on 33i rr 2.35 on 26i"
		return
	}
	if s.r.options[o].rims && !v.pair && s.lendsEnd(v.to) {
		s.offer(s.boxed(nb, spec.Both)) // "30i vorn 1,7 bar": that is the pressure's
		return
	}
	s.offerSided(nb, *v, n)
	if p := best.phrase; isCued && !best.weak && p.to > p.from && (p.from < from || p.to > to) && nb.problem == "" { // "rim hops up n down 1.5 mm": all that the hop is said with
		whole := nb
		whole.from, whole.to, whole.cost = int8(min(p.from, from)), int8(max(p.to, to)), nb.cost+costPhrase
		s.offerSided(whole, *v, n)
	}
	if n.Behind && to > v.to { // "8 tyres 29x2.4": the cue is the size's too
		count := nb
		count.to, count.cost = int8(v.to), nb.cost+0.05
		s.offerSided(count, *v, n)
	}
	if isCued && best.ahead && nb.problem == "" && n.AloneFrom > 0 && a.SI() >= n.AloneFrom && slices.Contains(n.AloneIn, a.Unit) {
		// "25 mm rim 430 g": the word between them is the other's
		nb.from, nb.to, nb.cost = int8(v.from), int8(v.to), nb.cost+costUnit
		s.offerSided(nb, *v, n)
	}
}

// heldElsewhere reports whether a cue of another option, which can hold it, stands
// beside a value too.
func (s *scan) heldElsewhere(o, vi int) bool {
	return slices.ContainsFunc(s.cues, func(c cued) bool {
		n := s.r.options[c.option].numbers
		beside := slices.ContainsFunc(s.r.commands, func(x command) bool { return x.local[o] >= 0 && x.local[c.option] >= 0 })
		return beside && c.val == vi && c.option != o && !c.weak && n != nil && !n.Any && s.vals[vi].a.Unit != quantity.NoUnit && s.vals[vi].a.Kind() == n.Kind && n.holds(s.vals[vi].a)
	})
}

// endOfMounted returns the end of the tyre that stands on a rim, where the tyre is told
// with its end directly before: the front of "fr 2.5 on 33i rr 2.35 on 26i".
func (s *scan) endOfMounted(v val) (spec.Which, bool) {
	if !s.isWord(v.from-1, "on") && !s.isWord(v.from-1, "auf") {
		return spec.Both, false
	}
	for _, m := range s.tyres {
		if m.to == v.from-1 && m.mark.Width > 0 && m.from > 0 && s.end[m.from-1][spec.FrontRear] != 0 && s.claimed[m.from-1] == 0 {
			if w := spec.Which(s.end[m.from-1][spec.FrontRear] - 1); w != spec.Both {
				return w, true
			}
		}
	}
	return spec.Both, false
}

// lendsEnd reports whether the only end of a line stands behind a value and before
// another, near token i.
func (s *scan) lendsEnd(i int) bool {
	for k := i; k < len(s.tokens) && k < i+2; k++ {
		if s.end[k][spec.FrontRear] != 0 && !s.number[k] && s.claimed[k] == 0 {
			return s.onlyEnd(k, spec.FrontRear) && s.valueStartsAt(k+1)
		}
	}
	return false
}

// saysChild reports whether the line speaks of a child, who may weigh little.
func (s *scan) saysChild() bool {
	return slices.ContainsFunc(s.matches, func(m match) bool {
		return slices.ContainsFunc(m.senses, func(sn sense) bool { return sn.role == means && sn.value == "child" })
	})
}

// abuts reports whether a cue stands directly beside its value.
func (s *scan) abuts(c cued, v *val) bool {
	return s.cueTo(c.option, v.from-1) || slices.ContainsFunc(s.matches, func(m match) bool {
		return m.from == v.to && slices.ContainsFunc(m.senses, func(sn sense) bool { return sn.role == cues && sn.target == c.option })
	})
}

// deep reports whether a cue of another length than a rim's width stands alone at
// token i, with no number behind it: the "deep" of "rim 45 deep".
func (s *scan) deep(i int) bool {
	for _, m := range s.matches {
		if m.from != i || m.inner || m.to < len(s.tokens) && s.tokens[m.to].kind == number {
			continue
		}
		other := false
		for _, sn := range m.senses {
			if sn.role != cues {
				continue
			}
			if _, rim := s.r.options[sn.target].form.(Rims); rim {
				return false
			}
			n := s.r.options[sn.target].numbers
			other = other || n != nil && n.Kind == quantity.KindLength && n.Cued && n.Axis == spec.NoAxis
		}
		if other {
			return true
		}
	}
	return false
}

// lesser reports whether a mass is that of a bike by its size, beside one that is
// a rider's: the "14.5kg" of "78 kg … 14.5kg".
func (s *scan) lesser(vi int) bool {
	m := s.vals[vi].a.SI()
	return m >= lightestBike && m <= heaviestBike && slices.ContainsFunc(s.vals, func(w val) bool {
		return w.a.Kind() == quantity.KindMass && w.a.SI() >= 2*m && w.a.SI() >= leastRider ||
			w.a.Unit == quantity.NoUnit && !w.pair && w.a.Number >= leastRider && w.a.Number >= 2*m && w.a.Number <= 130 && !w.rowed
	})
}

// narrowest is the width in millimetres under which nothing is a rim's.
const narrowest = 8

// mostBetween is how far front and rear of a bike lie apart at most, in psi. Common
// practice, no source.
const mostBetween = 12

// What bikes weigh. From memory.
const lightestBike, heaviestBike = 7.0, 24.0 // kg

// besideEnd reports whether a number with its unit stands beside an end of the
// bike, and another of its kind beside none: "80 kg … 60 kg rear".
func (s *scan) besideEnd(vi int) bool {
	v := s.vals[vi]
	if _, ok := s.endOf(v.from, v.to, spec.FrontRear); !ok {
		return false
	}
	for i, w := range s.vals {
		if i == vi || w.a.Unit == quantity.NoUnit || w.a.Kind() != v.a.Kind() {
			continue
		}
		if _, ok := s.endOf(w.from, w.to, spec.FrontRear); !ok {
			return true
		}
	}
	return false
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

// behindWheel reports whether a number is the width behind a wheel's "x".
func (s *scan) behindWheel(v *val) bool {
	return v.a.Unit == quantity.NoUnit && v.a.Number < 6 && s.isWord(v.from-1, "x") && v.from >= 2 && s.tokens[v.from-1].glued && s.tokens[v.from].glued && nominal(s.tokens[v.from-2].num) && s.tokens[v.from-2].num >= 20
}

// eachEnd reports whether a bare number at one end of the bike and another at the
// other end lie as near each other as pressures do: "fr 23 rr 26".
func (s *scan) eachEnd(vi int) bool {
	v := s.vals[vi]
	own, ok := s.endOf(v.from, v.to, spec.FrontRear)
	if !ok || own == spec.Both || v.pair {
		return false
	}
	return slices.ContainsFunc(s.vals, func(w val) bool {
		other, ok := s.endOf(w.from, w.to, spec.FrontRear)
		return ok && other != spec.Both && other != own && !w.pair && w.a.Unit == quantity.NoUnit && v.a.Number >= 12 && w.a.Number >= 12 && math.Abs(v.a.Number-w.a.Number) <= mostBetween
	})
}

// twin reports whether a bare number stands at one side of a wheel directly
// behind one of the option's kind at the other, whose unit is its too: "links
// 70 kgf rechts 125".
func (s *scan) twin(vi int, n *Numbers) bool {
	if vi == 0 || n.Axis != spec.LeftRight {
		return false
	}
	v, w := &s.vals[vi], &s.vals[vi-1]
	if v.pair || w.pair || w.a.Unit == quantity.NoUnit || w.a.Kind() != n.Kind || v.from-w.to > 2 {
		return false
	}
	a, sided := s.endOf(v.from, v.to, n.Axis)
	b, other := s.endOf(w.from, w.to, n.Axis)
	return sided && other && a != b && a != spec.Both && b != spec.Both
}

// besideWheelName reports whether a number that may be a tyre's width stands
// directly beside the name of a wheel: "2.35 29er", "29er 2.35".
func (s *scan) besideWheelName(v *val) bool {
	if v.a.Number < 1.7 || v.a.Number > 3.2 || !strings.ContainsAny(s.tokens[v.from].text, ".,") {
		return false
	}
	return slices.ContainsFunc(s.tyres, func(m tyreMark) bool {
		return (m.from == v.to && m.to > m.from+1 || m.to == v.from && m.to > m.from+1) && m.mark.Width == 0 && !m.seat
	})
}

// otherUnitOf reports whether the line's only number is of a unit's kind, in
// another unit.
func (s *scan) otherUnitOf(u quantity.Unit) bool {
	return len(s.vals) == 1 && s.vals[0].a.Unit != quantity.NoUnit && s.vals[0].a.Unit != u && s.vals[0].a.Kind() == u.Kind()
}

// sizeLetter reports whether the word at i, glued to a number, says nothing:
// the plural of "40s".
func (s *scan) sizeLetter(i int) bool { return s.tokens[i].text == "s" }

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
		if n.Kind == quantity.KindTemperature && line.Kind() == n.Kind && !pair && !alone && a.Number > 0 {
			return Habit{Unit: line}, true // "from 68 °F to 30"
		}
	}
	for _, h := range n.Habits {
		if fits(h) {
			return h, true
		}
	}
	return Habit{}, false
}

// usual reports whether a number with a unit is of a size that the trade would
// read so without a cue: a rider of 10 kg is none.
func (n *Numbers) usual(m quantity.Measure) bool {
	any := false
	for _, h := range n.Habits {
		if h.Alone == 0 || h.Unit == quantity.NoUnit {
			continue
		}
		any = true
		if v := m.To(h.Unit).Number; v >= h.From && v <= h.To {
			return true
		}
	}
	return !any
}

// likely reports whether a number with a unit lies within any habit of the trade.
func (n *Numbers) likely(m quantity.Measure) bool {
	return slices.ContainsFunc(n.Habits, func(h Habit) bool {
		v := m.To(h.Unit).Number
		return v >= h.From && v <= h.To
	})
}

// bidLoose lets two numbers side by side be a pair: "22 26", "22 25 psi".
func (s *scan) bidLoose() {
	for i := 0; i+1 < len(s.vals); i++ {
		v, w := s.vals[i], s.vals[i+1]
		joint := w.from == v.to+1 && s.isAnd(v.to)
		if v.pair || w.pair || v.to != w.from && !joint || v.a.Unit != quantity.NoUnit && v.a.Kind() != w.a.Kind() {
			continue
		}
		if w.to < len(s.tokens) && s.tokens[w.to].kind == word && s.tokens[w.to].glued {
			continue // "60 34i"
		}
		if s.tokens[v.from].raw != "" && !isDigit(s.tokens[v.from].raw[0]) && v.a.Number < 10 && w.a.Unit != quantity.NoUnit && w.a.Kind() != quantity.KindPressure {
			continue // "two 200 mm rods": how many
		}
		if i+2 < len(s.vals) && s.vals[i+2].from == w.to && !s.gluedWord(s.vals[i+2].to) || i > 0 && s.vals[i-1].to == v.from && !s.behindWheel(&s.vals[i-1]) {
			continue // a row of readings; the "2x" of "35 35 2x" is none
		}
		for _, o := range s.r.holding.numbers {
			n := s.r.options[o].numbers
			if !n.Loose && (n.Axis == spec.NoAxis || n.Many && n.Kind == quantity.Bare || n.Any) {
				continue
			}
			if n.Kind == quantity.KindMass && !joint {
				continue // "4.8 90kg loaded": a load at each end has something between
			}
			a, b := v.a, w.a
			shareUnit(&a, &b)
			if n.Kind == quantity.KindPressure && v.a.Unit != w.a.Unit && (a.Number > 3*b.Number || b.Number > 3*a.Number) {
				continue // "22 1.7 bar": not both in bar
			}
			if n.Kind == quantity.KindPressure && b.Unit != quantity.BarUnit && math.Abs(a.Number-b.Number) > mostBetween {
				continue // "32 51" is a gear
			}
			if a.Unit != b.Unit && (a.Unit == quantity.NoUnit || b.Unit == quantity.NoUnit) {
				continue
			}
			nb := bid{from: int8(v.from), to: int8(w.to), option: int16(o), which: spec.Each, cost: 0.4}
			isCued, hinted, ahead := false, true, false
			for _, c := range s.cues {
				if c.option == o && (c.val == i || c.val == i+1) {
					isCued, hinted, ahead = true, hinted && c.weak, ahead || c.val == i && c.ahead && !c.weak || s.cueTo(o, v.from-1)
					nb.from, nb.to = int8(min(c.from, int(nb.from))), int8(max(c.to, int(nb.to)))
				}
			}
			if s.announcedFor(i, o) && !(isCued && (int(nb.from) < v.from || ahead || joint && n.Paired)) {
				continue // "measured 70 25 inner"
			}
			if (n.Cued || !n.Loose) && !isCued || !n.Loose && !joint && int(nb.to) <= w.to && !((int(nb.from) < v.from || ahead) && n.Axis == spec.LeftRight && alikeSides(v, w) && (!s.announces(w.to) || w.to+1 < len(s.tokens) && s.tokens[w.to+1].kind == number)) {
				continue // without a joint the cue must stand behind both, "58 58 pcd", or two alike behind it
			}
			if b.Unit == quantity.NoUnit {
				h, ok := n.habit(a, b, true, s.unitOf[n.Kind], !isCued)
				if !ok {
					continue
				}
				a.Unit, b.Unit = h.Unit, h.Unit
				nb.cost = 0.2
				switch {
				case !isCued:
					nb.cost += h.Alone
				case hinted:
					nb.cost += 0.3
				case n.Usual && h.Alone == 0:
					nb.cost += costUnusual // "flanges 21 and 35" are no hole circles
				}
				nb.said, nb.why = n.Said, fmt.Sprintf("typed as %s %s, read as %s by their size", quantity.Exact(a.Number), quantity.Exact(b.Number), h.Unit)
			} else if b.Kind() != n.Kind {
				continue
			}
			if !n.holds(a) || !n.holds(b) {
				continue
			}
			nb.value, nb.value2 = s.elements(o, a, b, true)
			s.offer(s.boxed(nb, spec.Each))
		}
	}
}

// bidJoinedCounts reads the first of two counts of which the second alone has its
// word: the 36 of "36 and 72 points", and of "36 to 72 clicks".
func (s *scan) bidJoinedCounts() {
	for i := 0; i+1 < len(s.vals); i++ {
		v, w := s.vals[i], s.vals[i+1]
		if v.pair || w.pair || v.a.Unit != quantity.NoUnit || w.a.Unit != quantity.NoUnit || w.from != v.to+1 || !s.isAnd(v.to) && !s.has(v.to, joins) && !s.until(v.to) {
			continue
		}
		for _, c := range s.cues {
			n := s.r.options[c.option].numbers
			if c.val != i+1 || c.weak || c.ahead || n == nil || !n.Many || n.Kind != quantity.Bare || n.Axis != spec.NoAxis || !n.holds(v.a) || !n.usual(v.a) {
				continue
			}
			nb := bid{from: int8(v.from), to: int8(v.to), option: int16(c.option), cost: costInherited / 2}
			nb.value, nb.value2 = s.elements(c.option, v.a, v.a, false)
			s.offer(s.boxed(nb, spec.Both))
		}
	}
}

// countsSpokes reports whether a value counts spokes or holes: an even number
// beside their name, or joined to one that is.
func (s *scan) countsSpokes(v int) bool {
	if x := s.vals[v].a; s.vals[v].pair || x.Unit != quantity.NoUnit || math.Mod(x.Number, 2) != 0 {
		return false // "58/58 36/21 spokes" are flanges
	}
	return slices.ContainsFunc(s.cues, func(c cued) bool {
		n := s.r.options[c.option].numbers
		return c.val == v && !c.ahead && n != nil && n.Axis == spec.HubRim
	})
}

// gluedWord reports whether letters are glued to what stands before token i.
func (s *scan) gluedWord(i int) bool {
	return i < len(s.tokens) && s.tokens[i].kind == word && s.tokens[i].glued
}

// alikeSides reports whether two bare numbers may be one measure of both sides:
// neither is twice the other, and both have a like form.
func alikeSides(v, w val) bool {
	return v.a.Unit == quantity.NoUnit && w.a.Unit == quantity.NoUnit && v.a.Number > 0 && w.a.Number > 0 && v.a.Number < 2*w.a.Number && w.a.Number < 2*v.a.Number
}

// announcedFor reports whether a cue of another option than o stands before a
// value.
func (s *scan) announcedFor(v, o int) bool {
	return slices.ContainsFunc(s.cues, func(c cued) bool {
		return c.val == v && c.option != o && !c.weak && c.ahead && c.cost < costInherited && !s.unlikely(c.option, v) && !s.unheld(c.option, v)
	})
}

// unheld reports whether a number is of no size that an option's is read in: the 25
// of "rim says 25" is no tension.
func (s *scan) unheld(option, v int) bool {
	n := s.r.options[option].numbers
	if n == nil {
		return false
	}
	if u := s.vals[v].a.Unit; u != quantity.NoUnit && !n.Any {
		return u.Kind() != n.Kind && !n.Strict || u.Kind() == n.Kind && !n.holds(s.vals[v].a) // "the tape i got is 28 mm": no length of spokes in a drawer
	}
	if n.Kind != quantity.KindForce && !(n.Kind == quantity.KindLength && n.Least >= 0.05) { // the 1.7 of "i have 1.7 front" is no spoke in the drawer
		return false
	}
	_, held := n.habit(s.vals[v].a, s.vals[v].b, s.vals[v].pair, quantity.NoUnit, false)
	return !held
}

// unlikely reports whether a bare number is of no size that an option usually has,
// where that decides: the "22/35" of "flange 22/35" is no hole circle.
func (s *scan) unlikely(option, v int) bool {
	n := s.r.options[option].numbers
	if n == nil || !n.Usual || s.vals[v].a.Unit != quantity.NoUnit {
		return false
	}
	_, usual := n.habit(s.vals[v].a, s.vals[v].b, s.vals[v].pair, quantity.NoUnit, true)
	return !usual
}

// announcedAs reports whether a cue of the option of that name stands before a
// value, and o is another.
func (s *scan) announcedAs(v, o int, name string) bool {
	return s.r.options[o].option.About().Name != name && slices.ContainsFunc(s.cues, func(c cued) bool {
		return c.val == v && c.ahead && !c.weak && s.r.options[c.option].option.About().Name == name
	})
}

// elements turns one number or two into what the option's form joins: the
// numbers themselves, or rims of those widths.
func (s *scan) elements(o int, a, b quantity.Measure, pair bool) (any, any) {
	f, ok := s.r.options[o].form.(interface{ element(quantity.Measure) any })
	switch {
	case !ok:
		return a, b
	case !pair:
		return f.element(a), nil
	}
	return f.element(a), f.element(b)
}

// speaksOf reports whether the line names an option, by a cue beside a number
// or as a field.
func (s *scan) speaksOf(option int) bool {
	return slices.ContainsFunc(s.cues, func(c cued) bool { return c.option == option }) ||
		slices.ContainsFunc(s.tokens, func(t token) bool { return t.kind == field && t.text == s.r.options[option].option.About().Name })
}

// twoEnds reports whether the line names front and rear, each behind a number.
func (s *scan) twoEnds() bool {
	var named [3]bool
	for i := 1; i < len(s.tokens); i++ {
		if e := s.end[i][spec.FrontRear]; e != 0 && s.number[i-1] {
			switch spec.Which(e - 1) {
			case spec.FirstOnly:
				named[0] = true
			case spec.SecondOnly:
				named[1] = true
			}
		}
	}
	return named[0] && named[1]
}

// warm reports whether something else in the line is a temperature: a number in
// degrees, or one that a cue of another option announces.
func (s *scan) warm(option int) bool {
	if slices.ContainsFunc(s.vals, func(v val) bool { return v.a.Unit == quantity.DegreeUnit || v.belowNought }) {
		return true
	}
	return slices.ContainsFunc(s.cues, func(c cued) bool {
		n := s.r.options[c.option].numbers
		return c.option != option && n != nil && n.Kind == quantity.KindTemperature
	})
}
