package read

import (
	"slices"

	"spokeword/calc/quantity"
	"spokeword/commands/spec"
)

// This file finds which values stand beside a word that announces or follows
// them: "erd 600", "30 mm inner".

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
	s.numbersFirst = !named && len(s.vals) > 2 && s.announces(s.vals[0].to) && s.announces(s.vals[1].to)
	for i := 0; s.numbersFirst && i < s.vals[0].from; i++ {
		s.numbersFirst = s.has(i, fills) && !s.has(i, cues) || s.tokens[i].kind == mark || s.courteous(i)
	}
	for _, m := range s.matches {
		subject := named && s.subject(m)
		if !subject && (m.inner || s.cut(m)) || named && m.from == 0 {
			continue // the command's own name announces nothing: "spokes 2:1"
		}
		for _, sn := range m.senses {
			if sn.role != cues && sn.role != hints {
				continue
			}
			s.beside(m, sn, startsAt, endsAt, subject)
		}
	}
	s.wanted = false
	if target, ok := s.r.the(targetOption); ok && len(s.vals) > 0 {
		s.wanted = slices.ContainsFunc(s.cues, func(c cued) bool { return c.option == target && c.val == 0 && c.ahead })
	}
	for i := range s.cues {
		c := &s.cues[i]
		if c.cost == costInherited && !s.r.options[c.option].row() && s.announcedFor(c.val, c.option) {
			c.cost += costClaimed // "offset rim 8, 4-fach": the 8 is the rim's
		}
	}
}

// courteous reports whether token i is part of a phrase that says nothing: the
// "me" of "tell me".
func (s *scan) courteous(i int) bool {
	return slices.ContainsFunc(s.matches, func(m match) bool {
		return m.from <= i && i < m.to && m.to-m.from > 1 && slices.ContainsFunc(m.senses, func(sn sense) bool { return sn.role == fills })
	})
}

// within reports whether a phrase is part of a longer one that announces or
// means something: the "offset" of "rim offset", the "weight" of "bike weight".
func (s *scan) within(m match) bool {
	for _, o := range s.matches {
		if o.from > m.from || o.to < m.to || o.to-o.from <= m.to-m.from || s.cut(o) {
			continue
		}
		if o.from == 0 && m.from > 0 && s.named() >= 0 {
			continue // a command's name is part of no cue: "tension max 97 kgf"
		}
		for _, sn := range o.senses {
			if n := s.named(); n >= 0 && (sn.role == cues || sn.role == means) && s.r.commands[n].local[sn.target] < 0 {
				continue // the "lacing steps" of "spokes … normal lacing steps 1.4 mm": nothing that is asked here
			}
			if sn.role == cues || sn.role == means || sn.role == fills || sn.role == ends && o.to-o.from > 1 && (s.nameOnly(m) || sn.axis == spec.LeftRight && s.isWord(m.from, "side")) { // "tell me 29x2.4": no weight of mine
				return true
			}
		}
	}
	return false
}

// nameOnly reports whether a phrase only means values: the "disc" of "disc side".
func (s *scan) nameOnly(m match) bool {
	return !slices.ContainsFunc(m.senses, func(sn sense) bool { return sn.role != means })
}

// cut reports whether a longer phrase that begins before m takes its first
// word: the "nipple" of "top of the nipple" is no "nipple washer".
func (s *scan) cut(m match) bool {
	for _, o := range s.matches {
		if o.from >= m.from || o.to <= m.from || o.to >= m.to || o.to-o.from <= m.to-m.from {
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

// subject reports whether a cue ends a phrase that means something and begins
// the line with the command's name: the "hub" of "measure hub 148 mm".
func (s *scan) subject(m match) bool {
	return slices.ContainsFunc(s.matches, func(o match) bool {
		return o.from == 0 && m.from > 0 && o.to == m.to && slices.ContainsFunc(o.senses, func(sn sense) bool { return sn.role == means })
	})
}

// beside finds the values beside a cue. The tokens of a shared cue stay for
// what else they say.
func (s *scan) beside(m match, sn sense, startsAt, endsAt []int, shared bool) {
	weak := sn.role == hints
	// the cue says something else besides: "emtb 25 kg"
	for _, other := range m.senses {
		shared = shared || other.role == means && other.target != sn.target
	}
	letter := m.to-m.from == 1 && len(s.tokens[m.from].text) == 1 && s.tokens[m.from].kind == word
	// forward: the cue announces
	announced, onlyAhead := false, false
	j := m.to
	for steps := 0; steps < 4 && s.idle(j) && !s.announces(j); steps++ { // "indoors, ride at -2": that is announced
		j++
	}
	if n := s.r.options[sn.target].numbers; n != nil && j > m.to-1 && j+1 < len(startsAt) && s.unknown(j) && startsAt[j+1] >= 0 &&
		n.Kind == quantity.KindLength && n.AloneFrom >= 100 && s.vals[startsAt[j+1]].a.Unit != quantity.NoUnit {
		j++ // "up to larkmoor 3100 m": the place
	}
	if m.to-m.from > 1 && s.tokens[m.from].glued && endsAt[m.from] >= 0 {
		j = len(startsAt) // "54t ratchet 30-51": it belongs to what it is glued to
	}
	if j < len(startsAt) && startsAt[j] >= 0 && !s.opensMark(j) && (!letter || j == m.to && s.tokens[j].glued) && s.takesPair(sn.target, startsAt[j]) && !s.countedBefore(sn.target, endsAt[m.from], startsAt[j]) && !(j > m.to && s.belongsBefore(m, sn.target, endsAt)) {
		from := m.from
		if shared {
			from = s.vals[startsAt[j]].from
		}
		cost := float32(0)
		if s.numbersFirst && endsAt[m.from] >= 0 {
			cost = costInherited + 0.05 // "601 erd 58 pcd 36/21": its own stands before it
		}
		s.cues = append(s.cues, cued{option: sn.target, val: startsAt[j], from: from, to: s.vals[startsAt[j]].to, cost: cost, weak: weak, ahead: cost == 0, phrase: span{m.from, m.to}})
		announced = true
		if n := s.r.options[sn.target].numbers; n != nil && n.Kind == quantity.KindMass && n.Axis == spec.NoAxis {
			v := s.vals[startsAt[j]]
			_, usual := n.habit(v.a, v.b, v.pair, quantity.NoUnit, false)
			onlyAhead = v.a.Unit.Kind() == n.Kind && v.a.Unit != quantity.NoUnit || v.a.Unit == quantity.NoUnit && usual
		}
		s.inherit(sn.target, startsAt[j], startsAt, weak)
	}
	if m.to-m.from > 1 && (s.isWord(m.to-1, "at") || s.isWord(m.to-1, "in") || s.isWord(m.to-1, "from")) {
		return // "-2c pumping at 18c": it only announces
	}
	if onlyAhead {
		return // "hardtail 11 kg im 68": it announces
	}
	// backward: the cue follows
	j = m.from
	if letter {
		if s.tokens[j].glued && j > 0 && endsAt[j] >= 0 {
			s.cues = append(s.cues, cued{option: sn.target, val: endsAt[j], from: s.vals[endsAt[j]].from, to: m.to, weak: weak})
			s.inheritBack(sn.target, endsAt[j], endsAt)
		}
		return
	}
	for steps := 0; steps < 3 && endsAt[j] < 0; steps++ { // the l of "1 l" is no end
		if !s.idle(j - 1) {
			if steps > 0 || !s.has(j-1, means) || s.has(j-1, cues) {
				break
			}
			if n := s.r.options[sn.target].numbers; n != nil && n.Paired {
				break // "28 carbon offset": the 28 is no offset
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
		if _, rims := s.r.options[sn.target].form.(Rims); rims && j < m.from && s.vals[endsAt[j]].a.Unit == quantity.NoUnit {
			cost += 2 * costUnusual // "21 keeps rim dinging"
		}
		if shared {
			to = s.vals[endsAt[j]].to
		}
		s.cues = append(s.cues, cued{option: sn.target, val: endsAt[j], from: s.vals[endsAt[j]].from, to: to, cost: cost, weak: weak || announced && !s.tokens[m.from].glued, phrase: span{m.from, m.to}})
		s.inheritBack(sn.target, endsAt[j], endsAt)
	}
}

// belongsBefore reports whether a value in the option's own unit stands directly
// before its cue: the 25 of "25 mm tape ok on 30 mm rim".
func (s *scan) belongsBefore(m match, option int, endsAt []int) bool {
	n := s.r.options[option].numbers
	if n == nil || n.Any || endsAt[m.from] < 0 || !s.tokens[m.from-1].glued && s.vals[endsAt[m.from]].to-s.vals[endsAt[m.from]].from < 2 {
		return false
	}
	u := s.vals[endsAt[m.from]].a.Unit
	return u != quantity.NoUnit && u.Kind() == n.Kind
}

// unknown reports whether token i is a word that means nothing here.
func (s *scan) unknown(i int) bool {
	return i >= 0 && i < len(s.tokens) && s.tokens[i].kind == word && s.role[i] == 0
}

// countedBefore reports whether a count stands before its name, and what stands
// behind can't be one: the "holes" of "32 holes 0/3" are not the crossings.
func (s *scan) countedBefore(option, before, ahead int) bool {
	n := s.r.options[option].numbers
	return before >= 0 && n != nil && n.Kind == quantity.Bare && !n.Any && n.holds(s.vals[before].a) && s.vals[ahead].pair &&
		!(n.holds(s.vals[ahead].a) && n.holds(s.vals[ahead].b))
}

// takesPair reports whether a value may be for an option: a pair is not for
// one without ends, as the "32/52" of "36 points 32/52".
func (s *scan) takesPair(option, v int) bool {
	n := s.r.options[option].numbers
	if _, tyres := s.r.options[option].form.(Tyres); tyres && s.vals[v].pair && s.vals[v].a.Unit == quantity.NoUnit {
		a := s.vals[v].a.Number
		return nominal(a) || a < 6 // "was 22/25" are pressures
	}
	return !s.vals[v].pair || n == nil || n.Axis != spec.NoAxis
}

// inherit gives a cue to the values that follow the announced one: "offsets 36
// left 21 right", "3 or 2 cross".
func (s *scan) inherit(option, v int, startsAt []int, weak bool) {
	if !s.canHold(option, v) {
		return
	}
	for hops := 0; hops < maxAlternatives; hops++ {
		j := s.vals[v].to
		from := j
		for j < len(s.tokens) && !s.announces(j) && (s.idle(j) || s.has(j, joins) || s.isMark(j, ",") || s.isMark(j, "&")) {
			j++
		}
		if s.isWord(j, "to") && s.r.options[option].row() {
			j++ // "ratchet 18 to 54"
		}
		if j == from && !(j < len(s.tokens) && s.tokens[j].kind == number) || j >= len(s.tokens) || startsAt[j] < 0 {
			return
		}
		if s.ended(v, option) != s.ended(startsAt[j], option) {
			return // "flange 57, 35.4 left 20.1 right"
		}
		if n := s.r.options[option].numbers; n != nil && n.Paired && s.vals[v].pair && !s.vals[startsAt[j]].pair {
			return // "offset 36/21 28 or 32": a count is no other pair
		}
		v = startsAt[j]
		s.cues = append(s.cues, cued{option: option, val: v, from: s.vals[v].from, to: s.vals[v].to, cost: costInherited + 0.05, weak: weak})
	}
}

// opensMark reports whether a tyre's size with wheel and width begins at token
// i: the 29 of "pump 29x2.4" is not the pump's.
func (s *scan) opensMark(i int) bool {
	return slices.ContainsFunc(s.tyres, func(m tyreMark) bool {
		return m.from == i && m.to > i+2 && m.cost <= 0.1 && m.mark.Width > 0 && (m.mark.Seat > 0 || len(m.mark.Seats()) > 0)
	})
}

// canHold reports whether a value may be the option's by its unit: what does
// not take the "26 inch" before "bike" has nothing to hand on.
func (s *scan) canHold(option, v int) bool {
	n, u := s.r.options[option].numbers, s.vals[v].a.Unit
	return n == nil || n.Any || u == quantity.NoUnit || u.Kind() == n.Kind
}

// ended reports whether an end is named directly beside a value of an option.
// The "rim" of "rim 25 or 30 mm" is no end, but for what hub and rim both have.
func (s *scan) ended(v, option int) bool {
	n := s.r.options[option].numbers
	holes := n != nil && n.Axis == spec.HubRim
	at := func(i int) bool {
		if i < 0 || i >= len(s.tokens) {
			return false
		}
		e := s.end[i]
		if !holes {
			e[spec.HubRim] = 0
		}
		return e != endAt{}
	}
	return at(s.vals[v].to) || at(s.vals[v].from-1)
}

// announces reports whether a cue of any option begins at token i.
func (s *scan) announces(i int) bool {
	if i < len(s.tokens) && len(s.tokens[i].text) == 1 && !s.tokens[i].glued && (i+1 >= len(s.tokens) || !s.tokens[i+1].glued) {
		return false // a letter announces only what it is glued to: "if i got 70 mm"
	}
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
	if !s.canHold(option, v) {
		return
	}
	for hops := 0; hops < maxAlternatives; hops++ {
		j := s.vals[v].from
		joined := false
		for j > 0 && (s.has(j-1, joins) || s.isMark(j-1, ",") || s.isMark(j-1, "&")) {
			j--
			joined = true
		}
		if j > 0 && s.tokens[j-1].kind == number && s.r.options[option].row() {
			joined = true // "18 54 102 points"
		}
		if j > 1 && s.isWord(j-1, "to") && s.tokens[j-2].kind == number && s.r.options[option].row() {
			j--
			joined = true // "18 to 54 points"
		}
		if !joined || endsAt[j] < 0 {
			return
		}
		if v = endsAt[j]; s.vals[v].pair {
			return // "36/21, 32h": those are of two sides
		}
		s.cues = append(s.cues, cued{option: option, val: v, from: s.vals[v].from, to: s.vals[v].to, cost: costInherited})
	}
}

// cueBeside returns the span from a cue of the option to tokens from to to.
func (s *scan) cueBeside(o, from, to int) (int, int, bool) {
	if !s.said.has(o) {
		return 0, 0, false
	}
	for _, m := range s.matches {
		if m.inner {
			continue
		}
		for _, sn := range m.senses {
			if sn.role != cues || sn.target != o {
				continue
			}
			j := m.to
			if s.isWord(j, "a") || s.isWord(j, "an") {
				j++ // "going to a 29x2.6"
			}
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

// cueBehindWord returns where a cue of the option stands behind token i, with
// one word that means something of its own between: the "tyre" of "28 mm road tyre".
func (s *scan) cueBehindWord(o, i int) (int, bool) {
	if !s.said.has(o) || !s.has(i, means) || s.has(i, cues) || s.has(i, ends) {
		return 0, false
	}
	for _, m := range s.matches {
		for _, sn := range m.senses {
			if m.from == i+1 && m.to == i+2 && sn.role == cues && sn.target == o {
				return m.from, true
			}
		}
	}
	return 0, false
}

func (s *scan) cueTo(o, i int) bool {
	if !s.said.has(o) && !s.hinted.has(o) {
		return false
	}
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
