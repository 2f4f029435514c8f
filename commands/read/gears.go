package read

import (
	"fmt"
	"math"
	"slices"

	"spokeword/calc/quantity"
	"spokeword/commands/spec"
)

// This file finds gears: a ring with a cog, and a cassette by its smallest and
// largest cog.

const (
	// costGear is what two numbers with a slash between cost as a gear: a pair of
	// pressures looks the same.
	costGear = 0.3
	// costNoGear is added where they lie as near each other as pressures do and
	// nothing in the line speaks of gears.
	costNoGear = 0.9
	// costRings is what a ring before and after costs: nothing else is said so.
	costRings = -1.6
	// costSmallCog is what a ring and a cog cost of which one is as small as no ring.
	costSmallCog = -0.1
	// nearPair is how far apart the pressures of one bike are at most, and
	// softFront what the front one hardly exceeds off the road, in psi.
	nearPair, softFront = 5, 30
)

// bidGears reads "32/52" or "32x52" as ring by cog, one bid for both, and
// "10-51" as a cassette, of which the largest cog is meant.
func (s *scan) bidGears() {
	ring, okay := s.r.the(ringOption)
	cog, ok := s.r.the(cogOption)
	if !ok || !okay {
		return
	}
	for _, v := range s.vals {
		if v.pair && v.a.Unit == quantity.NoUnit {
			to := v.to
			if s.isWord(to, "t") && s.tokens[to].glued { // 32t/52t
				to++
			}
			cost := float32(costGear)
			if to == v.to && v.a.Number <= softFront && v.b.Number-v.a.Number <= nearPair && v.a.Number-v.b.Number <= nearPair && !s.speaksOfGears(ring) {
				cost += costNoGear
			}
			s.offerGear(ring, cog, v.from, to, cost, v.a, v.b)
		}
	}
	s.bidGearsAgainst(ring, cog)
	s.bidGearByEnds(ring, cog)
	s.bidSmallCog(ring, cog)
	s.bidCassettes(cog)
	for i := 0; i+2 < len(s.tokens); i++ {
		a, b := s.tokens[i], s.tokens[i+2]
		if a.kind != number || b.kind != number || a.num < 0 || b.num < 0 {
			continue
		}
		switch {
		case s.isWord(i+1, "t") && s.tokens[i+1].glued && a.num >= 20 && b.num >= 9 && b.num <= 60 && a.num <= 60: // 28t 52, 32t 51t
			to := i + 3
			if nominal(b.num) && (s.isWord(to, "to") || s.isWord(to, "auf") || s.isMark(to, ">")) {
				continue // "34t 29 to 27.5"
			}
			if s.isWord(to, "t") && s.tokens[to].glued {
				to++
			} else if to < len(s.tokens) && s.tokens[to].glued && s.tokens[to].kind != number {
				continue // "32t 26x2.1"
			}
			cost := float32(costGear)
			if b.num > a.num && b.num >= 36 && b.num <= 52 {
				cost = 0.05 // a lowest gear, and no row of points
			}
			s.offerGear(ring, cog, i, to, cost, quantity.Measure{Number: a.num}, quantity.Measure{Number: b.num})
		case s.isWord(i+1, "x") && a.num >= 20 && b.num >= 9 && b.num <= 60:
			if cogMeant, to, ok := s.cassetteAt(i + 2); ok { // "34x10-51"
				s.offerGear(ring, cog, i, to, 0, quantity.Measure{Number: a.num}, cogMeant)
				continue
			}
			to := i + 3
			if s.isWord(to, "t") && s.tokens[to].glued {
				to++
			}
			s.offerGear(ring, cog, i, to, costGear, quantity.Measure{Number: a.num}, quantity.Measure{Number: b.num})
		case s.isMark(i+1, "-"):
			largest, to, ok := s.cassetteAt(i)
			if !ok && a.num >= leastRing && a.num <= mostRingTurned && b.num >= leastCogTurned && b.num <= 60 && s.saysPoints() { // "54t ratchet 30-51"
				s.offerGear(ring, cog, i, i+3, 0, quantity.Measure{Number: a.num}, quantity.Measure{Number: b.num})
			}
			if !ok {
				continue
			}
			from := i
			if f, t, ok := s.cueBeside(cog, from, to); ok {
				from, to = f, t
			}
			which := "largest"
			if s.asksSpeed() {
				which = "smallest"
			}
			s.offer(s.boxed(bid{from: int8(from), to: int8(to), option: int16(cog), cost: 0.2, value: largest,
				said: true, why: fmt.Sprintf("the %s cog of %s-%s", which, a.text, b.text)}, spec.Both))
		}
	}
}

// bidGearByEnds reads "32t front 51 back" as ring and cog, by where they are.
func (s *scan) bidGearByEnds(ring, cog int) {
	for i, a := range s.tokens {
		j := i + 1
		if s.isWord(j, "t") && s.tokens[j].glued {
			j++
		}
		if s.isWord(j, "in") || s.isWord(j, "up") || s.isWord(j, "on") {
			j++
		}
		if s.isWord(j, "the") {
			j++
		}
		if a.kind != number || a.num < 20 || a.num > 60 || !s.isWord(j, "front") && !s.isWord(j, "vorne") && !s.isWord(j, "vorn") && !s.isWord(j, "devant") && !s.isWord(j, "delante") && !s.isWord(j, "davanti") || j+1 >= len(s.tokens) || !s.speaksOfGears(ring) {
			continue
		}
		if j++; s.isAnd(j) || s.isMark(j, ",") || s.isMark(j, "/") {
			j++
		}
		if j >= len(s.tokens) || s.tokens[j].kind != number || s.tokens[j].num < 9 || s.tokens[j].num > 60 {
			continue
		}
		if largest, to, ok := s.cassetteAt(j); ok { // "32t front 10-51"
			s.offerGear(ring, cog, i, to, 0, quantity.Measure{Number: a.num}, largest)
			continue
		}
		b, to := s.tokens[j], j+1
		if s.isWord(to, "t") && s.tokens[to].glued {
			to++
		}
		for s.isWord(to, "in") || s.isWord(to, "on") || s.isWord(to, "at") || s.isWord(to, "out") || s.isWord(to, "the") {
			to++
		}
		if s.isWord(to, "back") || s.isWord(to, "rear") || s.isWord(to, "behind") || s.isWord(to, "hinten") || s.isWord(to, "derrière") || s.isWord(to, "detrás") || s.isWord(to, "detras") || s.isWord(to, "dietro") {
			s.offerGear(ring, cog, i, to+1, 0, quantity.Measure{Number: a.num}, quantity.Measure{Number: b.num})
		}
	}
}

// leastRing is the least ring of a bike off the road.
const leastRing = 20

// bidSmallCog reads "34t … 10t" as ring and cog wherever they stand: no ring is as
// small as a small cog.
func (s *scan) bidSmallCog(ring, cog int) {
	teeth := func(i int) bool {
		t := s.tokens[i]
		return t.kind == number && t.num == math.Trunc(t.num) && t.num >= 9 && t.num <= 60 && s.isWord(i+1, "t") && s.tokens[i+1].glued
	}
	var at []int
	for i := range s.tokens {
		if teeth(i) {
			at = append(at, i)
		}
	}
	if len(at) != 2 || (s.tokens[at[0]].num < leastRing) == (s.tokens[at[1]].num < leastRing) || s.saysPoints() {
		return
	}
	for _, i := range at {
		o := ring
		if s.tokens[i].num < leastRing {
			o = cog
		}
		s.offer(bid{from: int8(i), to: int8(i + 2), option: int16(o), cost: costSmallCog, value: spec.OneFor[any](quantity.Measure{Number: s.tokens[i].num})})
	}
}

// bodyWords name what a cassette is put on, putWords that it is.
var (
	bodyWords = []string{"freehub", "freehubs", "body", "freilauf", "freilaufkörper", "corps", "núcleo", "corpetto"}
	putWords  = []string{"go", "goes", "fit", "fits", "take", "takes", "put", "on", "onto", "run", "use", "work", "works", "passt", "va", "entra"}
)

// cassettesOnBodies is the subject of which cassettes a freehub body takes.
const cassettesOnBodies = "wide-cassette-old-body"

// bidOnBody takes a cassette and a freehub body, with nothing of points, as the question
// which cassettes a body takes.
func (s *scan) bidOnBody() {
	ring, _ := s.r.the(ringOption)
	onBody := s.says(bodyWords...) && s.says(putWords...) && (!s.saysPoints() || s.says("old", "older"))
	alone := len(s.vals) == 2 && s.says("or", "oder", "ou", "o") && !s.speaksOfGears(ring) // "this or that body for 10-52"
	if !onBody && !alone {
		return
	}
	about, ok := s.r.subject(cassettesOnBodies)
	for i := range s.tokens {
		if _, to, is := s.cassetteAt(i); ok && is {
			s.offer(s.boxed(bid{from: int8(i), to: int8(to), option: int16(about), cost: costRings, value: cassettesOnBodies}, spec.Both))
			return
		}
	}
}

// cassetteAt reads a cassette by its smallest and largest cog from token i: "11-42".
// The largest is meant, or the smallest where it is asked how fast it goes.
func (s *scan) cassetteAt(i int) (largest quantity.Measure, to int, ok bool) {
	if i+2 >= len(s.tokens) || i < 0 || s.tokens[i].kind != number || s.tokens[i].num < 9 || s.tokens[i].num > 16 || !s.isMark(i+1, "-") || s.tokens[i+2].kind != number || s.tokens[i+2].num < 19 || s.tokens[i+2].num > 60 {
		return largest, i, false
	}
	to = i + 3
	if s.isWord(to, "t") && s.tokens[to].glued {
		to++
	}
	if s.asksSpeed() {
		return quantity.Measure{Number: s.tokens[i].num}, to, true // the smallest is the fastest
	}
	return quantity.Measure{Number: s.tokens[i+2].num}, to, true
}

// saysCadence reports whether the line tells or names a cadence.
func (s *scan) saysCadence() bool {
	cadence, ok := s.r.the(cadenceOption)
	return ok && s.speaksOf(cadence)
}

// asksSpeed reports whether the line asks how fast it goes: in the smallest cog.
func (s *scan) asksSpeed() bool {
	return s.saysCadence() && s.says("fast", "fastest", "top", "schnell", "vite", "rápido", "veloce") ||
		s.says("fast") && s.says("enough") || s.says("spin", "spinning", "spun") && s.says("out") // "fast enough on fire roads"
}

// bidCassettes reads "11-42 to 10-51" as the largest cogs before and after.
func (s *scan) bidCassettes(cog int) {
	after, ok := s.r.the(newcogOption)
	if !ok {
		return
	}
	for i := range s.tokens {
		a, to, ok := s.cassetteAt(i)
		if !ok || !s.until(to) && !s.has(to, joins) && !s.isMark(to, ">") && !(s.isWord(to, "for") && s.swapWordBefore(i)) {
			continue
		}
		if b, end, ok := s.cassetteAt(to + 1); ok {
			s.offer(bid{from: int8(i), to: int8(end), option: int16(cog), also: int16(after + 1), cost: costRings, value: spec.OneFor[any](a), value2: spec.OneFor[any](b),
				said: true, why: "the largest cogs of the two cassettes"})
			return
		}
	}
}

// withWords stand between a ring and its cog.
var withWords = []string{"with", "w", "mit", "avec", "con", "col"}

// gearAt reads a ring with a cog or a cassette that begins at token i: "32 11-50",
// "32t 10-51t", "32/50".
func (s *scan) gearAt(i int) (ring, cog quantity.Measure, to int, ok bool) {
	number := func(i int, from, to float64) bool {
		return i < len(s.tokens) && s.tokens[i].kind == number && s.tokens[i].num >= from && s.tokens[i].num <= to && s.tokens[i].num == math.Trunc(s.tokens[i].num)
	}
	t := func(i int) int {
		if s.isWord(i, "t") && s.tokens[i].glued {
			return i + 1
		}
		return i
	}
	if largest, j, ok := s.cassetteAt(i); ok { // "10-51 30t", the other way round
		if s.isWord(j, "with") || s.isWord(j, "w") || s.isMark(j, "/") {
			j++
		}
		if number(j, 20, 60) && t(j+1) > j+1 {
			return quantity.Measure{Number: s.tokens[j].num}, largest, t(j + 1), true
		}
	}
	if !number(i, 20, 60) {
		return ring, cog, i, false
	}
	ring.Number = s.tokens[i].num
	j := t(i + 1)
	if own, ok := s.r.the(ringOption); ok && j > i+1 && s.cueTo(own, j) { // "36t ring 10-52"
		j++
	}
	with := func(i int) bool {
		return i < len(s.tokens) && s.tokens[i].kind == word && slices.Contains(withWords, s.tokens[i].text)
	}
	if with(j) || s.isWord(j, "and") || s.isWord(j, "x") {
		j++
	}
	if j > i+1 && number(j, 9, 60) && with(j-1) { // "32 w 51"
		cog.Number = s.tokens[j].num
		return ring, cog, t(j + 1), true
	}
	if j == i+2 && s.isWord(i+1, "x") && s.tokens[i+1].glued && number(j, 17, 60) { // "28x46", which is no tyre
		cog.Number = s.tokens[j].num
		return ring, cog, t(j + 1), true
	}
	if s.isMark(j, "/") && number(j+1, 9, 60) {
		cog.Number = s.tokens[j+1].num
		return ring, cog, t(j + 2), true
	}
	if s.isMark(j, "-") && number(j+1, 9, 16) { // "34-10"
		cog.Number = s.tokens[j+1].num
		return ring, cog, t(j + 2), true
	}
	if number(j, 9, 16) && s.isMark(j+1, "-") && number(j+2, 19, 60) {
		cog.Number = s.tokens[j+2].num
		return ring, cog, t(j + 3), true
	}
	return ring, cog, i, false
}

// bidGearsAgainst reads two gears with a joint between: "32 11-50 vs 30 10-51",
// "32/50 or 30/51". Nothing else is said so.
func (s *scan) bidGearsAgainst(ring, cog int) {
	newRing, ok := s.r.the(newringOption)
	newCog, okay := s.r.the(newcogOption)
	if !ok || !okay {
		return
	}
	for i := range s.tokens {
		r1, c1, to, ok := s.gearAt(i)
		if cadence, known := s.r.the(cadenceOption); !ok && known && (s.speaksOf(cadence) || s.namesRing(ring)) && i+2 < len(s.tokens) && s.isMark(i+1, "-") && // "32-50 … 70 rpm"
			s.tokens[i].kind == number && s.tokens[i].num >= 20 && s.tokens[i].num <= 60 && s.tokens[i+2].kind == number && s.tokens[i+2].num >= 17 && s.tokens[i+2].num <= 60 {
			s.offerGear(ring, cog, i, i+3, costGear, quantity.Measure{Number: s.tokens[i].num}, quantity.Measure{Number: s.tokens[i+2].num})
		}
		if ok && s.isWord(i+1, "t") && s.isMark(i+2, "/") { // "30t / 51"
			s.offerGear(ring, cog, i, to, costGear, r1, c1)
		}
		if !ok || !s.has(to, joins) && !(s.isAnd(to) && s.speaksOfGears(ring)) && !((s.until(to) || s.isMark(to, ">")) && r1.Number != c1.Number && c1.Number >= 30) {
			continue
		}
		r2, c2, end, ok := s.gearAt(to + 1)
		cadence, known := s.r.the(cadenceOption)
		if !ok || (c1.Number <= 16 || c2.Number <= 16) && !(known && s.speaksOf(cadence)) {
			continue // lowest gears are compared, or the speeds of any
		}
		if (c1.Number < r1.Number || c2.Number < r2.Number) && s.tokens[to-2].text == "/" && !s.speaksOfGears(ring) {
			continue // "36/21 or 38/23" are flanges
		}
		s.offer(bid{from: int8(i), to: int8(to), option: int16(ring), also: int16(cog + 1), cost: costRings, value: spec.OneFor[any](r1), value2: spec.OneFor[any](c1)})
		s.offer(bid{from: int8(to), to: int8(end), option: int16(newRing), also: int16(newCog + 1), cost: 0, value: spec.OneFor[any](r2), value2: spec.OneFor[any](c2)})
	}
}

// bidRings reads "32t ring to 30t" and "ring 32 to 34" as the ring before and
// after, one bid for both: it speaks of nothing else.
func (s *scan) bidRings() {
	ring, okay := s.r.the(ringOption)
	after, ok := s.r.the(newringOption)
	if !ok || !okay {
		return
	}
	s.bidTurnsOfGears(ring, after)
	s.bidTurnByEase(ring, after)
	byTeeth := s.ringsByCog() || s.ringsByCadence() || s.ringsByEase()
	if !s.namesRing(ring) && !byTeeth {
		return
	}
	s.bidRingInstead(ring, after)
	s.bidRingsApart(ring, after)
	for i := 1; i+1 < len(s.tokens); i++ {
		either := s.has(i, joins) // "30t or 32t ring"
		next := i + 1
		if s.isWord(i, "for") && (s.isWord(next, "a") || s.isWord(next, "an")) && next+1 < len(s.tokens) {
			next++ // "32t ring for a 30"
		}
		if !(s.until(i) || s.isWord(i, "for") || s.isMark(i, ">") || either) || s.tokens[next].kind != number {
			continue
		}
		from := i // back over "t ring" to the number
		for from > 0 && from > i-4 && s.tokens[from].kind != number {
			from--
		}
		to := next + 1
		if s.isWord(to, "t") && s.tokens[to].glued {
			to++
		}
		cuedBefore := s.cueTo(ring, from-1)
		if either && !cuedBefore {
			if to < len(s.tokens) && s.cueTo(ring, to) {
				to++
			} else if !s.cueTo(ring, i-1) && !byTeeth {
				continue
			}
			cuedBefore = from+1 == i
		}
		if from+1 == i && s.from(from-1) && (s.cueTo(ring, from-2) || s.namesRing(ring)) {
			cuedBefore = true // "corona da 34 a 30"
		}
		if to < len(s.tokens) && from+1 == i && s.cueTo(ring, to) {
			cuedBefore = true // "32 to 30t chainring"
			to++
		}
		if s.tokens[from].kind != number || from+1 == i && !cuedBefore || from+1 < i && !s.cueTo(ring, i-1) && !byTeeth {
			continue
		}
		a, b := quantity.Measure{Number: s.tokens[from].num}, quantity.Measure{Number: s.tokens[next].num}
		if s.cueTo(ring, from-1) {
			from--
		}
		if n := s.r.options[ring].numbers; n.holds(a) && n.holds(b) && a.Number >= 20 && b.Number >= 20 && a.Number <= 60 && b.Number <= 60 {
			s.offer(bid{from: int8(from), to: int8(to), option: int16(ring), also: int16(after + 1), cost: costRings, value: spec.OneFor[any](a), value2: spec.OneFor[any](b)})
			s.bidCogBehind(to)
		}
	}
}

// bidCogBehind reads the "on the 51" behind two rings as the cog that both turn.
func (s *scan) bidCogBehind(i int) {
	cog, ok := s.r.the(cogOption)
	if ring, ok := s.r.the(ringOption); ok && s.cuesAt(ring, i) {
		i++ // "34 ring to 32 ring w the 51"
	}
	j := i
	for j < i+2 && (s.isWord(j, "on") || s.isWord(j, "in") || s.isWord(j, "with") || s.isWord(j, "w") || s.isWord(j, "the")) {
		j++
	}
	for k := i; j == i && ok && k < len(s.tokens); k++ { // "29er 51 back"
		if t := s.tokens[k]; t.kind == number && t.num >= leastCogTurned && t.num <= 60 && t.num == math.Trunc(t.num) && (s.isWord(k+1, "back") || s.isWord(k+1, "rear") || s.isWord(k+1, "behind")) {
			s.offer(bid{from: int8(k), to: int8(k + 1), option: int16(cog), cost: costSmallCog, value: spec.OneFor[any](quantity.Measure{Number: t.num})})
		}
	}
	if ok && j > i && j < len(s.tokens) && s.tokens[j].kind == number && s.tokens[j].num >= leastCogTurned && s.tokens[j].num <= 60 && s.tokens[j].num == math.Trunc(s.tokens[j].num) {
		s.offer(bid{from: int8(i), to: int8(j + 1), option: int16(cog), cost: costSmallCog, value: spec.OneFor[any](quantity.Measure{Number: s.tokens[j].num})})
	}
}

// turnedWords say that one gear goes easier than another, as no pressure does.
var turnedWords = []string{"easier", "harder", "leichter"}

// bidTurnByEase reads "32 to 30 how much easier" as rings, if the line has no other
// number: bare as they are, nothing else gets easier; and two numbers before a cassette.
func (s *scan) bidTurnByEase(ring, after int) {
	onCassette := false // "30 or 32 for 10-51"
	if len(s.vals) == 4 && s.vals[2].from <= s.vals[1].to+2 {
		_, _, onCassette = s.cassetteAt(s.vals[2].from)
	}
	if !onCassette && (len(s.vals) != 2 || !s.says(turnedWords...)) {
		return
	}
	v, w := s.vals[0], s.vals[1]
	a, b := v.a.Number, w.a.Number
	whole := func(x float64) bool { return x == math.Trunc(x) && x >= leastRing && x <= mostRingTurned }
	if v.pair || w.pair || v.a.Unit != quantity.NoUnit || w.a.Unit != quantity.NoUnit || w.from != v.to+1 || !(s.until(v.to) || s.has(v.to, joins) || s.isMark(v.to, ">")) || !whole(a) || !whole(b) || nominal(a) && nominal(b) {
		return
	}
	s.offer(bid{from: int8(v.from), to: int8(w.to), option: int16(ring), also: int16(after + 1), cost: costRings, value: spec.OneFor[any](v.a), value2: spec.OneFor[any](w.a)})
}

// leastCogTurned is the least largest cog of a cassette, mostRingTurned the largest
// ring of a bike off the road: what lies between is told by the words beside it.
const leastCogTurned, mostRingTurned = 36, 40

// bidTurnsOfGears reads "34 to 30" as rings, and "cassette 46 to 51" as largest cogs,
// in a line that names a cog.
func (s *scan) bidTurnsOfGears(ring, newRing int) {
	cog, ok := s.r.the(cogOption)
	newCog, okay := s.r.the(newcogOption)
	if !ok || !okay || !s.said.has(cog) {
		return
	}
	for i := 0; i+1 < len(s.vals); i++ {
		v, w := s.vals[i], s.vals[i+1]
		joined := w.from == v.to+1 && (s.until(v.to) || s.isMark(v.to, ">")) || w.from == v.to+2 && s.isWord(v.to, "t") && (s.until(v.to+1) || s.isMark(v.to+1, ">"))
		if v.pair || w.pair || v.a.Unit != quantity.NoUnit || w.a.Unit != quantity.NoUnit || !joined || v.a.Number != math.Trunc(v.a.Number) || w.a.Number != math.Trunc(w.a.Number) || s.isWord(w.to, "x") || s.isWord(w.to, "mm") {
			continue
		}
		to := w.to
		if s.isWord(to, "t") && s.tokens[to].glued {
			to++
		}
		least, most := min(v.a.Number, w.a.Number), max(v.a.Number, w.a.Number)
		before, after := ring, newRing
		switch {
		case least >= leastCogTurned && most <= 60:
			before, after = cog, newCog
		case least >= 20 && most <= mostRingTurned && !(nominal(v.a.Number) && nominal(w.a.Number)):
		default:
			continue
		}
		from := v.from
		if s.from(from - 1) {
			from--
		}
		s.offer(bid{from: int8(from), to: int8(to), option: int16(before), also: int16(after + 1), cost: costRings, value: spec.OneFor[any](v.a), value2: spec.OneFor[any](w.a)})
	}
}

// bidRingsApart reads two rings by their teeth with other words between: "32t 29er
// 10-51 climbing gear vs 30t".
func (s *scan) bidRingsApart(ring, after int) {
	if !s.ringsByCog() && !s.ringsByCadence() && !s.ringsByEase() {
		return
	}
	first := -1
	for i := range s.tokens {
		if !s.ringAt(i) {
			continue
		}
		m := spec.OneFor[any](quantity.Measure{Number: s.tokens[i].num})
		switch {
		case first < 0:
			first = i
		case (s.has(i-1, joins) || s.until(i-1)) && i > first+3:
			s.offer(bid{from: int8(first), to: int8(first + 2), option: int16(ring), cost: costRings / 2, value: spec.OneFor[any](quantity.Measure{Number: s.tokens[first].num})})
			s.offer(bid{from: int8(i - 1), to: int8(i + 2), option: int16(after), cost: costRings / 2, value: m})
			return
		}
	}
}

// bidRingInstead reads "30t statt 32er kettenblatt" as the ring after and before.
func (s *scan) bidRingInstead(ring, after int) {
	n := s.r.options[ring].numbers
	for i, v := range s.vals {
		if i+1 >= len(s.vals) {
			return
		}
		w := s.vals[i+1]
		at := v.to
		for at < w.from && !s.insteadOf(at) {
			at++
		}
		end, ok := s.pastInstead(at)
		if !ok || v.pair || w.pair || end > w.from || w.from > end+1 || at > v.to+2 || !n.holds(v.a) || !n.holds(w.a) || v.a.Number < 20 || w.a.Number < 20 || v.a.Number > 60 || w.a.Number > 60 {
			continue
		}
		if slices.ContainsFunc(s.tyres, func(m tyreMark) bool { return m.from == w.from && m.to > w.to && m.mark.Width > 0 }) {
			continue // "new ring 45 instead of 29 2.25"
		}
		to := w.to
		for to < len(s.tokens) && to < w.to+2 && (s.cueTo(ring, to) || s.isWord(to, "t")) {
			to++
		}
		s.offer(bid{from: int8(v.from), to: int8(to), option: int16(ring), also: int16(after + 1), cost: costRings, value: spec.OneFor[any](w.a), value2: spec.OneFor[any](v.a)})
	}
}

// ringsByCadence reports whether a line names two rings by their teeth and turns a
// minute: "34t vs 30t how much slower at 90 rpm".
func (s *scan) ringsByCadence() bool {
	cadence, ok := s.r.the(cadenceOption)
	if !ok || !s.speaksOf(cadence) || s.saysPoints() {
		return false
	}
	rings := 0
	for i := range s.tokens {
		if s.ringAt(i) {
			rings++
		}
	}
	return rings == 2
}

// easeWords say how a gear feels, and nothing about a freehub's points.
var easeWords = []string{"easier", "harder", "steep", "steeper", "climb", "climbs", "climbing", "uphill", "hills", "hilly", "legs", "spin", "leichter", "schwerer", "facile", "dur", "fácil", "duro", "facile"}

// ringsByEase reports whether a line names two rings of a bike off the road by their
// teeth, and how they feel: "32t to 30t how much easier".
func (s *scan) ringsByEase() bool {
	rings := 0
	for i, t := range s.tokens {
		if s.ringAt(i) && t.num <= mostRingTurned {
			rings++
		}
	}
	return rings == 2 && !s.saysPoints() && slices.ContainsFunc(s.tokens, func(t token) bool { return t.kind == word && slices.Contains(easeWords, t.text) })
}

// saysPoints reports whether the line names points of engagement, by more than a "t".
func (s *scan) saysPoints() bool {
	points, _ := s.r.the(pointsOption)
	return slices.ContainsFunc(s.matches, func(m match) bool {
		return (m.to-m.from > 1 || len(s.tokens[m.from].text) > 1) && slices.ContainsFunc(m.senses, func(sn sense) bool { return sn.role == cues && sn.target == points })
	})
}

// ringAt reports whether a ring by its teeth stands at token i: "32t".
func (s *scan) ringAt(i int) bool {
	t := s.tokens[i]
	return t.kind == number && t.num == math.Trunc(t.num) && t.num >= 20 && t.num <= 60 && s.isWord(i+1, "t") && s.tokens[i+1].glued
}

// ringsByCog reports whether a line names two rings by their teeth and a large cog:
// "30t vs 32t w 51 on the back".
func (s *scan) ringsByCog() bool {
	rings, cogs := 0, 0
	for i, t := range s.tokens {
		switch {
		case s.ringAt(i):
			rings++
		case t.kind != number || t.num != math.Trunc(t.num):
		case t.num >= 40 && t.num <= 60 && !(i+1 < len(s.tokens) && s.tokens[i+1].glued):
			cogs++
		}
	}
	return rings == 2 && cogs == 1
}

// namesRing reports whether the line says ring, and not only t, and nothing of
// a ratchet, which has one too.
func (s *scan) namesRing(ring int) bool {
	points, _ := s.r.the(pointsOption)
	says := false
	for _, m := range s.matches {
		for _, sn := range m.senses {
			if sn.role != cues || m.to-m.from == 1 && len(s.tokens[m.from].text) == 1 {
				continue
			}
			switch sn.target {
			case points:
				return false
			case ring:
				says = true
			}
		}
	}
	return says
}

// driven are the options whose cues speak of gears.
var driven = [...]string{"ring", "cog", "points", "pawls", "teeth", "crank", "cadence"}

// speaksOfGears reports whether a word of the line is about gears: it calls a
// command that takes a ring, or announces a part of the drive.
func (s *scan) speaksOfGears(ring int) bool {
	for _, m := range s.matches {
		for _, sn := range m.senses {
			switch sn.role {
			case calls:
				if s.r.commands[sn.target].local[ring] >= 0 {
					return true
				}
			case cues:
				if slices.Contains(driven[:], s.r.options[sn.target].option.About().Name) {
					return true
				}
			}
		}
	}
	return slices.ContainsFunc(s.tokens, func(t token) bool { return t.kind == field })
}

// offerGear offers a ring with a cog. A number that can't be one is a mistake
// in the option it was meant for.
func (s *scan) offerGear(ring, cog, from, to int, cost float32, a, b quantity.Measure) {
	if a.Number < 6 && b.Number < 6 && (a.Number != math.Trunc(a.Number) || b.Number != math.Trunc(b.Number)) {
		return // "2.5/2.6" are tyres
	}
	for _, x := range [...]struct {
		option int
		m      quantity.Measure
	}{{ring, a}, {cog, b}} {
		if n := s.r.options[x.option].numbers; !n.holds(x.m) {
			s.offer(bid{from: int8(from), to: int8(to), option: int16(x.option), cost: cost + costMistake, problem: n.check(x.m).Error()})
			return
		}
	}
	s.offer(bid{from: int8(from), to: int8(to), option: int16(ring), also: int16(cog + 1), cost: cost, value: spec.OneFor[any](a), value2: spec.OneFor[any](b)})
}
