package read

import (
	"cmp"
	"fmt"
	"math"
	"math/bits"
	"reflect"
	"slices"
	"strings"

	"spokeword/calc/quantity"
	"spokeword/calc/size"
	"spokeword/commands/spec"
)

// beamWidth is how many partial assignments are kept at each token. Wider
// beams changed no reading of the test lines.
const beamWidth = 10

// Rewards and margins of the competition between commands.
const (
	rewardNamed  = 1.0 // a word of the line names the command
	rewardLacked = 1.0 // the line says what the last request lacked
	rewardRepeat = 2.0 // the line says "same" of the command asked last
	costCarried  = 0.3 // what is wanted was said in the last request
	marginSame   = 0.2 // readings within it are as good as each other
	marginTalk   = 0.6 // the same for what goes on from the last request
	rewardOther  = 0.3 // a value for the other end of an option: "2.0 front 2.2 rear" are two of one thing
	rewardBefore = 0.4 // a value that nothing announces, of an option that the last request had
	costUnsuited = 2.5 // the command can do nothing with what it was given
)

// state is a partial assignment: the tokens before pos are dealt with.
type state struct {
	cost  float32
	first uint64 // options whose first end is taken
	last  uint64 // options whose second end is taken
	set   uint64 // options with a value
	named bool
	prev  int32 // index of the state before, -1 at the start
	bid   int16 // the bid that led here, -1: the token was left out
}

// Bits of state.set above those of the options: a wheel's number was read
// whose width stands elsewhere, and a width without a wheel.
const wheelBit, bareBit, severalBit = uint64(1) << 62, uint64(1) << 61, uint64(1) << 60

// candidate is a command with one of its cheapest assignments.
type candidate struct {
	command int
	total   float32 // what the command competes with
	cost    float32 // of the assignment alone
	state   int32   // the last state of the assignment
	suited  bool    // Command.Suits was asked
}

// trail is a candidate's assignment, token by token.
type trail struct {
	bids []*bid
	left []int // tokens left out
	// example is a line that works for the command.
	example string
}

// free reports whether token i is part of a name of the asker's own.
func (t trail) free(i int) bool {
	return slices.ContainsFunc(t.bids, func(b *bid) bool { return b.free && i >= int(b.from) && i < int(b.to) })
}

// decide assigns bids to tokens for every command and picks the cheapest.
func (s *scan) decide(base *spec.Request) (Reading, trail) {
	s.settleLeft()
	only := s.named()
	if only >= 0 {
		s.assign(only, base)
	} else {
		s.assignAll(base)
	}
	slices.SortStableFunc(s.candidates, byTotal)
	best, request, err := s.suited(base)
	if only >= 0 && (s.r.commands[only].spec.Everyday || len(request.Given) == 0 && err == nil) && slices.ContainsFunc(best.left, func(i int) bool { return s.number[i] || s.tokens[i].kind == field }) {
		// "ride at -2 with 22 psi" asks for no ride sheet, which takes no pressure;
		// "spokes came 2 mm too long" says nothing that spokes would take
		for c := range s.r.commands {
			if only != c {
				s.assign(c, base)
			}
		}
		slices.SortStableFunc(s.candidates, byTotal)
		best, request, err = s.suited(base)
	}
	out := Reading{Steps: s.steps}
	if u := s.unknownUnit(best); u != nil {
		out.Problem = u
		return out, best
	}
	if len(s.candidates) > 0 {
		if u := s.impossible(s.candidates[0].command, best); u != nil {
			out.Problem = u
			return out, best
		}
	}
	if len(best.bids) == 0 && s.keyed[s.candidates[0].command] == 0 {
		out.lost = true
		out.Problem = spec.Misuse("", s.r.example(), "I found nothing there that I can work out")
		return out, best
	}
	for _, sl := range s.slips {
		if !slices.Contains(best.left, sl.token) && !best.free(sl.token) {
			out.Slips = append(out.Slips, Slip{sl.from, sl.into})
		}
	}
	out.Unused = s.unused(s.candidates[0].command, best)
	if err != nil {
		out.Problem = err
		return out, best
	}
	if rival, ok := s.rival(best, request, base); ok {
		out.Question = &Question{Choices: []spec.Request{request, rival}}
		return out, best
	}
	called := callsAny(best) || s.keyed[s.candidates[0].command] != 0
	if len(request.Given) == 0 && !called {
		out.lost = true
		out.Problem = spec.Misuse("", s.r.example(), "I found nothing there that I can work out")
		return out, best
	}
	out.Requests = []spec.Request{request}
	out.Called = called
	if request.Command.Keeps {
		out.rest = s.withoutName(best)
	}
	if other, at, ok := s.alsoAsked(best, request, base); ok {
		out.Requests = append(out.Requests, other)
		out.Unused = slices.DeleteFunc(out.Unused, func(u string) bool {
			return slices.ContainsFunc(s.tokens[at.from:at.to], func(t token) bool { return t.raw == u })
		})
	} else if len(out.Unused) > 0 {
		out.Elsewhere = s.elsewhere(best, request, base)
	}
	return out, best
}

// withoutName returns the line without the words that name what is kept.
func (s *scan) withoutName(t trail) string {
	from, to := len(s.tokens), len(s.tokens)
	for _, b := range t.bids {
		if b.free {
			from, to = int(b.from), int(b.to)
		}
	}
	if from == to || slices.ContainsFunc(s.tokens, func(t token) bool { return t.kind == field }) {
		return ""
	}
	return strings.TrimSpace(rawOf(s.tokens[:from]) + " " + rawOf(s.tokens[to:]))
}

// alsoAsked returns what a line asks besides, behind an "and", and the words for
// it: "80 kg 29x2.6 on 25 mm, what psi and does it fit".
func (s *scan) alsoAsked(best trail, first spec.Request, base *spec.Request) (spec.Request, match, bool) {
	for _, m := range s.matches {
		for _, sn := range m.senses {
			names := sn.role == means && (s.r.options[sn.target].option.About().Name == "what" || s.r.options[sn.target].option.About().Name == "show")
			if sn.role != calls && !names || !s.behindAnd(m.from) || s.inValue(m) ||
				slices.ContainsFunc(best.bids, func(b *bid) bool { return int(b.from) < m.to && m.from < int(b.to) }) {
				continue
			}
			if req, t, ok := s.asks(m, sn, names, first, base); ok && s.takes(t, m) {
				return req, m, true
			}
		}
	}
	return spec.Request{}, match{}, false
}

// asks returns the request of another command that a phrase speaks of.
func (s *scan) asks(m match, sn sense, names bool, first spec.Request, base *spec.Request) (spec.Request, trail, bool) {
	for ci := range s.r.commands {
		c := &s.r.commands[ci]
		if c.spec == first.Command || c.spec.Asked || sn.role == calls && ci != sn.target || names && c.local[sn.target] < 0 {
			continue
		}
		from := len(s.candidates)
		s.most = float32(math.Inf(1))
		s.assign(ci, base)
		if len(s.candidates) == from {
			continue
		}
		t := s.trail(s.candidates[from].state)
		req, err := s.request(ci, t, base)
		if err == nil && answersWants(req) && (c.spec.Suits == nil || c.spec.Suits(req)) {
			return req, t, true
		}
	}
	return spec.Request{}, trail{}, false
}

// mostElsewhere is how many other requests are told of one line.
const mostElsewhere = 2

// elsewhere returns what words that the best reading leaves out speak of: the
// "sealant" of a line that was read as a question for a pressure.
func (s *scan) elsewhere(best trail, first spec.Request, base *spec.Request) (all []spec.Request) {
	left := func(m match) bool {
		for i := m.from; i < m.to; i++ {
			if !slices.Contains(best.left, i) || s.number[i] {
				return false
			}
		}
		return true
	}
	for _, m := range s.matches {
		if len(all) == mostElsewhere || m.inner || !left(m) || m.to-m.from == 1 && (len(s.tokens[m.from].text) < 4 || s.role[m.from]&(1<<fills|1<<ends|1<<joins|1<<repeats|1<<counts|1<<shadows) != 0) {
			continue
		}
		for _, sn := range m.senses {
			if sn.role != calls && sn.role != means || sn.role == means && s.r.options[sn.target].option.About().Name != "what" {
				continue
			}
			req, t, ok := s.asks(m, sn, sn.role == means, first, base)
			taken := slices.ContainsFunc(t.bids, func(b *bid) bool { return int(b.from) <= m.from && m.to <= int(b.to) })
			if ok && (taken || sn.role == calls) && !slices.ContainsFunc(all, func(r spec.Request) bool { return r.Line() == req.Line() }) {
				all = append(all, req)
				break
			}
		}
	}
	return all
}

// takes reports whether an assignment took the phrase, and something else.
func (s *scan) takes(t trail, m match) bool {
	took, more := false, false
	for _, b := range t.bids {
		if int(b.from) <= m.from && m.to <= int(b.to) {
			took = true
		} else if b.option >= 0 {
			more = true
		}
	}
	return took && more
}

// behindAnd reports whether the phrase at token i is joined to what stands
// before it by an "and", with small words between at most.
func (s *scan) behindAnd(i int) bool {
	for j := i - 1; j > 0 && j >= i-4; j-- {
		switch {
		case s.isWord(j, "n") && s.tokens[j-1].kind == number && s.tokens[j-1].num > 200:
			return false // the "n" of "1700 n" is a newton
		case s.isMark(j, "&"), s.isMark(j, "+"):
			return true
		case s.tokens[j].kind == word:
			switch s.tokens[j].text {
			case "and", "also", "plus", "n", "und", "auch", "et", "aussi", "y", "también", "e", "anche":
				return true
			}
		}
		if !s.idle(j) {
			return false
		}
	}
	return false
}

// answersWants reports whether a request holds something of each thing that its
// command would like to be told; of one that is personal nothing else will do.
func answersWants(req spec.Request) bool {
	if enough(req) {
		return true
	}
	for _, w := range req.Command.Wants {
		holds, personal := false, false
		for _, o := range w.Any {
			_, ok := req.Get(o.About().Name)
			holds = holds || ok && (o.About().Personal || !personal)
			personal = personal || o.About().Personal
		}
		if !holds {
			return false
		}
	}
	return true
}

// enough reports whether a request holds a whole group of options that get an answer.
func enough(req spec.Request) bool {
	return slices.ContainsFunc(req.Command.Enough, func(group []spec.Option) bool {
		return !slices.ContainsFunc(group, func(o spec.Option) bool {
			_, ok := req.Get(o.About().Name)
			return !ok
		})
	})
}

// hopeless is how far what a command can come to may lie above the best before
// it is not tried: more than costUnsuited, which is all that is added later.
const hopeless = 3.0

// assignAll assigns bids for every command that can still win, the most
// promising first.
func (s *scan) assignAll(base *spec.Request) {
	type hope struct {
		command int
		least   float32
	}
	var all [mostCommands]hope
	hopes := all[:len(s.r.commands)]
	covered := s.reach()
	for c := range hopes {
		hopes[c] = hope{c, s.least(c, covered[c])}
	}
	slices.SortStableFunc(hopes, func(a, b hope) int { return cmp.Compare(a.least, b.least) })
	best := float32(math.Inf(1))
	tried := func(c int) {
		from := len(s.candidates)
		s.most = best + hopeless
		s.assign(c, base)
		for _, x := range s.candidates[from:] {
			best = min(best, x.total)
		}
	}
	defer func() { s.most = float32(math.Inf(1)) }()
	for _, h := range hopes {
		if h.least <= best+hopeless {
			tried(h.command)
		}
	}
}

// reach returns for each command the tokens that a bid it takes would read.
func (s *scan) reach() (all [mostCommands]uint64) {
	for i, takers := range s.takers {
		b := &s.bids[i]
		tokens := (uint64(1)<<(b.to-b.from) - 1) << b.from
		for ; takers != 0; takers &= takers - 1 {
			all[bits.TrailingZeros64(takers)] |= tokens
		}
	}
	return all
}

// least returns the least that a command's assignment can come to: the numbers
// that none of its options bids for are left out, all else costs nothing.
func (s *scan) least(ci int, covered uint64) float32 {
	total := float32(s.r.commands[ci].spec.Weight)
	for i, t := range s.tokens {
		switch {
		case t.kind == field:
			total-- // see bidFields
		case t.kind == number && covered&(1<<i) == 0:
			total += costNumber
		}
	}
	return total - rewardNamed - rewardRepeat - rewardLacked - rewardOther
}

// takersOf returns the commands that have a use for a bid at all, a bit for each.
func (s *scan) takersOf(b *bid) uint64 {
	switch {
	case b.option < 0 && b.names > 0:
		return 1 << (b.names - 1)
	case b.option < 0:
		return math.MaxUint64 >> (mostCommands - len(s.r.commands))
	case b.also > 0:
		return s.r.options[b.option].takers & s.r.options[b.also-1].takers
	}
	return s.r.options[b.option].takers
}

// survey picks the bids that a command takes, and finds for every token the
// least that all from there on can still cost. It returns the most that the
// competition may give back beside that.
func (s *scan) survey(c *command, ci int, base *spec.Request) float32 {
	s.own = s.own[:0]
	var covered uint64 // by option
	named := s.keyed[ci] != 0
	for _, i := range s.order {
		if s.takers[i]&(1<<ci) == 0 {
			continue
		}
		b := &s.bids[i]
		s.own = append(s.own, i)
		named = named || b.names > 0
		if b.option >= 0 {
			covered |= 1 << c.local[b.option]
		}
		if b.also > 0 {
			covered |= 1 << c.local[b.also-1]
		}
	}
	n := len(s.tokens)
	s.rest[n] = 0
	k := len(s.own) - 1
	for i := n - 1; i >= 0; i-- {
		if s.left[i] = s.same[i]; s.left[i] < 0 {
			s.left[i] = s.leave(i, c)
		}
		if s.keyed[ci]&(1<<i) != 0 {
			s.left[i] = min(s.left[i], costMeant)
		}
		least := s.rest[i+1] + s.left[i]
		for ; k >= 0 && int(s.bids[s.own[k]].from) == i; k-- {
			b := &s.bids[s.own[k]]
			cost := b.cost
			if b.option >= 0 && b.which != spec.Both {
				cost -= rewardOther
			}
			if b.option >= 0 && s.before != 0 && b.open {
				cost -= rewardBefore
			}
			least = min(least, s.rest[b.to]+cost)
		}
		s.rest[i] = least
	}
	back := -float32(c.spec.Weight)
	if named {
		back += rewardNamed + float32(c.spec.Telling)
	}
	same := base != nil && base.Command == c.spec
	if same {
		back += rewardRepeat + rewardLacked*float32(len(c.wants))
	}
	for _, w := range c.wants {
		if !same && covered&w.mask == 0 {
			back -= w.weight // it is lacked whatever the assignment
		}
	}
	return back
}

func byTotal(a, b candidate) int { return cmp.Compare(a.total, b.total) }

func byCost(a, b candidate) int {
	if c := cmp.Compare(a.cost, b.cost); c != 0 {
		return c
	}
	return cmp.Compare(a.total, b.total)
}

// suited returns the best candidate's assignment and request. A command that
// can do nothing with what it was given is set back first.
func (s *scan) suited(base *spec.Request) (trail, spec.Request, error) {
	for len(s.candidates) > 0 {
		x := &s.candidates[0]
		t := s.trail(x.state)
		req, err := s.request(x.command, t, base)
		suits := s.r.commands[x.command].spec.Suits
		if x.suited || suits == nil || err != nil || suits(req) {
			return t, req, err
		}
		for i := range s.candidates {
			if y := &s.candidates[i]; y.command == x.command {
				y.suited = true
				y.total += costUnsuited
			}
		}
		slices.SortStableFunc(s.candidates, byTotal)
	}
	return trail{}, spec.Request{}, nil
}

// trail walks an assignment back from its last state.
func (s *scan) trail(at int32) trail {
	pos := len(s.tokens)
	t := trail{bids: make([]*bid, 0, pos), left: make([]int, 0, pos)}
	for ; at > 0 && s.arena[at].prev >= 0; at = s.arena[at].prev {
		if b := s.arena[at].bid; b >= 0 {
			t.bids = append(t.bids, &s.bids[b])
			pos = int(s.bids[b].from)
			continue
		}
		pos--
		t.left = append(t.left, pos)
	}
	slices.Reverse(t.bids)
	slices.Reverse(t.left)
	return t
}

// named returns the command whose own name is the line's first word, or -1.
func (s *scan) named() int {
	i := 0
	for i < len(s.tokens) && s.tokens[i].kind == mark {
		i++
	}
	if i == len(s.tokens) || s.tokens[i].kind != word || s.tokens[i].text != strings.ToLower(s.tokens[i].raw) {
		return -1 // a misspelt name competes as any word
	}
	for c := range s.r.commands {
		if s.r.commands[c].spec.Name == s.tokens[i].text {
			if s.opens(i, c) || s.r.commands[c].spec.Everyday && (s.standsOff(i+1) || s.isOneOf(i+1, pullWords)) {
				return -1
			}
			return c
		}
	}
	return -1
}

// standsOff reports whether a few millimetres stand at token i, as far as something is
// off: "wheel 2 mm over to the drive side" asks to compare nothing.
func (s *scan) standsOff(i int) bool {
	return i+1 < len(s.tokens) && s.tokens[i].kind == number && s.tokens[i].num < narrowest && s.isWord(i+1, "mm")
}

// opens reports whether the name of a command only opens a phrase that means a
// value, as "why is the rear harder", or calls another: "spokes for".
func (s *scan) opens(i, command int) bool {
	for _, m := range s.matches {
		if m.from != i || m.to-m.from == 1 {
			continue
		}
		for _, sn := range m.senses {
			if sn.role == means && s.r.commands[command].local[sn.target] < 0 || sn.role == calls && sn.target != command {
				return true
			}
		}
	}
	return false
}

func callsAny(t trail) bool {
	for _, b := range t.bids {
		if b.names > 0 {
			return true
		}
	}
	return false
}

// settleLeft notes what leaving a token out costs where that is the same for every
// command: for numbers, marks and words that say nothing; negative for the others.
func (s *scan) settleLeft() {
	var said uint64 // tokens of phrases
	for _, m := range s.matches {
		said |= (uint64(1)<<(m.to-m.from) - 1) << m.from
	}
	for i, t := range s.tokens {
		s.same[i] = -1
		if t.kind != word || said&(1<<i) == 0 {
			s.same[i] = s.leave(i, &s.r.commands[0])
		}
	}
}

// leave returns what leaving a token out costs a command.
func (s *scan) leave(i int, c *command) float32 {
	t := s.tokens[i]
	switch t.kind {
	case mark:
		return 0
	case field:
		return 8
	case number:
		for _, v := range s.vals {
			switch {
			case i < v.from || i >= v.to:
			case v.part:
				return costPart
			case v.a.Unit != quantity.NoUnit:
				return costMeasure
			}
		}
		return costNumber
	}
	if s.number[i] {
		return 0 // the unit of a number that is left out
	}
	if s.meansFor(i, c) {
		if s.role[i]&(1<<means) == 0 || s.role[i]&(1<<ends|1<<fills) != 0 {
			return costMeant // it may well be meant: "front" of a wheel's end, the "e" of "e-bike"
		}
		return costValue
	}
	if s.role[i]&(1<<fills|1<<ends|1<<joins|1<<repeats) != 0 {
		return 0
	}
	worst := float32(costWord)
	for _, m := range s.matches {
		if m.from > i || m.to <= i || m.to-m.from > 1 {
			continue
		}
		for _, sn := range m.senses {
			switch sn.role {
			case calls:
				if called := s.r.commands[sn.target].spec; called == c.spec || slices.Contains(c.spec.Akin, called.Name) {
					return 0
				}
				worst = max(worst, costForeign)
			case cues, hints:
				if c.local[sn.target] >= 0 {
					worst = max(worst, costCue)
				} else {
					worst = max(worst, 0.8)
				}
			case means:
				worst = max(worst, costValue)
				if s.r.options[sn.target].name == "what" {
					worst = max(worst, costTopic)
				}
			case counts, shadows:
				if !slices.ContainsFunc(m.senses, func(o sense) bool { return o.role == means && s.r.options[o.target].name == "what" }) { // "3 llantazos" tells what is wrong
					return 0
				}
			}
		}
	}
	return worst
}

// meansFor reports whether a value of one of the command's options begins at token i.
func (s *scan) meansFor(i int, c *command) bool {
	for _, m := range s.matches {
		if m.from != i {
			continue
		}
		for _, sn := range m.senses {
			if sn.role == means && sn.lone && c.local[sn.target] >= 0 {
				return true
			}
		}
	}
	return false
}

// assign finds the cheapest assignments of a command and enters them as
// candidates. The command competes with its cheapest one; the others can only
// show that the line is ambiguous.
func (s *scan) assign(ci int, base *spec.Request) {
	c := &s.r.commands[ci]
	n := len(s.tokens)
	s.before = 0
	if base != nil && base.Command == c.spec {
		for _, g := range base.Given {
			s.before |= 1 << c.local[s.r.index[g.Option]]
		}
	}
	s.bar = s.most + s.survey(c, ci, base)
	if s.rest[0] > s.bar {
		return // it can't win
	}
	root := int32(len(s.arena))
	s.arena = append(s.arena, state{prev: -1, bid: -1, named: s.keyed[ci] != 0})
	s.sizes[0], s.beams[0][0] = 1, root
	for i := 1; i <= n; i++ {
		s.sizes[i] = 0
	}
	from, to := 0, 0 // the command's bids that begin at token i
	for i := 0; i < n; i++ {
		for from = to; to < len(s.own) && int(s.bids[s.own[to]].from) == i; {
			to++
		}
		for j := 0; j < s.sizes[i]; j++ {
			at := s.beams[i][j]
			next := s.arena[at]
			next.cost += s.left[i]
			next.prev, next.bid = at, -1
			s.push(i+1, &next)
			for _, k := range s.own[from:to] {
				b := &s.bids[k]
				next = s.arena[at]
				if s.take(c, &next, b) {
					next.prev, next.bid = at, k
					s.push(int(b.to), &next)
				}
			}
		}
	}
	first := len(s.candidates)
	for j := 0; j < s.sizes[n]; j++ {
		st := &s.arena[s.beams[n][j]]
		unasked := slices.ContainsFunc(c.unasked, func(all uint64) bool {
			return st.set&all == all && (all&severalBit == 0 || s.whole(ci, s.beams[n][j]))
		})
		if c.spec.Asked && !st.named && s.named() != ci && !(base != nil && base.Command == c.spec) && !unasked {
			continue
		}
		if st.set&wheelBit != 0 && st.set&bareBit == 0 {
			st.cost += costNumber // the wheel of no tyre
		}
		s.candidates = append(s.candidates, candidate{command: ci, cost: st.cost, total: st.cost + s.compete(ci, st, base), state: s.beams[n][j]})
	}
	own := s.candidates[first:]
	if len(own) == 0 {
		return
	}
	slices.SortStableFunc(own, byCost)
	for i := range own {
		own[i].total = max(own[i].total, own[0].total)
	}
}

// whole reports whether an assignment leaves out no number and no word that
// means a value, and has nothing that can't be: a command nobody named doesn't
// take half of a line for what is compared in it.
func (s *scan) whole(ci int, at int32) bool {
	t := s.trail(at)
	return !slices.ContainsFunc(t.left, func(i int) bool {
		return s.tokens[i].kind == number || s.has(i, means) && !s.quiet(i, ci)
	}) && !slices.ContainsFunc(t.bids, func(b *bid) bool { return b.problem != "" })
}

// push enters a partial assignment at a token, if it is among the cheapest there.
func (s *scan) push(pos int, st *state) {
	s.steps++
	if st.cost+s.rest[pos] > s.bar {
		return
	}
	b := &s.beams[pos]
	for j := 0; j < s.sizes[pos]; j++ {
		o := &s.arena[b[j]]
		if o.set == st.set && o.first == st.first && o.last == st.last && o.named == st.named {
			if st.cost < o.cost {
				*o = *st
			}
			return
		}
	}
	if s.sizes[pos] < beamWidth {
		s.arena = append(s.arena, *st)
		b[s.sizes[pos]] = int32(len(s.arena) - 1)
		s.sizes[pos]++
		return
	}
	worst := 0
	for j := 1; j < beamWidth; j++ {
		if s.arena[b[j]].cost > s.arena[b[worst]].cost {
			worst = j
		}
	}
	if st.cost < s.arena[b[worst]].cost {
		s.arena = append(s.arena, *st)
		b[worst] = int32(len(s.arena) - 1)
	}
}

// take takes a bid of the command's own into a state, if the end of its option
// is still free there.
func (s *scan) take(c *command, st *state, b *bid) bool {
	if b.option < 0 {
		st.named = st.named || b.names > 0
		if b.wheel > 0 {
			if st.set&wheelBit != 0 {
				return false
			}
			st.set |= wheelBit
		}
		st.cost += b.cost
		return true
	}
	bit := c.local[b.option]
	if s.before&(1<<bit) != 0 && b.open {
		st.cost -= rewardBefore
	}
	if b.plus && !c.spec.Adds {
		st.cost += costAdded
	}
	m := uint64(1) << bit
	var also uint64
	if b.also > 0 {
		also = 1 << c.local[b.also-1]
	}
	o := &s.r.options[b.option]
	if _, spots := o.form.(Spots); spots && st.set&m != 0 {
		return false // where a second one is was not said: those with a place are one field
	}
	first, last := m|also, m|also
	switch b.which {
	case spec.FirstOnly:
		last = 0
	case spec.SecondOnly:
		first = 0
	}
	if _, ok := b.value.(whole); !ok && o.many && (b.which == spec.Both || b.which == spec.Each) && b.also == 0 && st.first&m == st.last&m {
		// alternatives: "28 or 32"; without a joint they cost
		if st.set&m != 0 {
			st.set |= severalBit
		}
		if st.set&m != 0 && o.choices == nil && !s.joined(int(b.from)) && !(o.row() && (s.isWord(int(b.from)-1, "to") || s.isAnd(int(b.from)-1))) {
			switch {
			case s.rowed(o, st, b):
				st.cost += costRow
			case o.numbers != nil && o.numbers.Paired && o.numbers.Kind != quantity.Bare && b.which == spec.Both:
				return false // "offset 36 22": two flanges of one hub, and no other
			case s.described(st, b):
				st.cost += costDescribed
			default:
				st.cost += costUnjoined
			}
		}
	} else if st.first&first != 0 || st.last&last != 0 {
		return false
	}
	if b.later && b.which != spec.Both && (st.first|st.last)&m == 0 {
		return false // the second of two, and there is no first
	}
	if b.later && o.name == "b" {
		a, ok := s.r.the(aOption)
		if !ok || c.local[a] < 0 || st.set&(1<<c.local[a]) == 0 {
			return false
		}
	}
	if _, isField := b.value.(whole); o.before >= 0 && o.numbers != nil && o.numbers.Kind == quantity.KindTemperature && s.wanted && c.local[o.before] >= 0 && !isField {
		// "22 psi up there at 8c, garage 19c": what is wanted stands first
		if st.set&(1<<c.local[o.before]) == 0 && b.open {
			st.cost += costTurned
		}
	} else if o.before >= 0 && c.local[o.before] >= 0 && !isField { // a field is never a guess
		if b.open {
			st.cost += costFormer
		}
		switch {
		case st.set&(1<<c.local[o.before]) == 0:
		case b.open:
			st.cost += costTurned
		default:
			st.cost += costTurnedCued
		}
	}
	if st.set&m != 0 && first != last {
		st.cost -= rewardOther
	}
	st.first |= first
	st.last |= last
	st.set |= m | also
	if b.bare {
		st.set |= bareBit
	}
	for _, groups := range c.apart {
		if st.set&groups[0] != 0 && st.set&groups[1] != 0 {
			return false
		}
	}
	st.cost += b.cost
	return true
}

// rowed reports whether a bid stands directly behind one of the same option
// that holds a row of numbers: "18 54 102 points".
func (s *scan) rowed(o *option, from *state, b *bid) bool {
	return o.row() && from.bid >= 0 && s.bids[from.bid].option == b.option && s.bids[from.bid].to == b.from
}

// described reports whether a joint stands between a bid and the last one of the
// same option: each of two things is described by several: "28 spokes 430 g or
// 32 spokes 480 g".
func (s *scan) described(from *state, b *bid) bool {
	for x := from; x.prev >= 0; x = &s.arena[x.prev] {
		if x.bid < 0 || s.bids[x.bid].option != b.option {
			continue
		}
		for i := int(s.bids[x.bid].to); i < int(b.from); i++ {
			if s.has(i, joins) || s.isAnd(i) || s.isMark(i, ";") {
				return true
			}
		}
		return false
	}
	return false
}

// joined reports whether a joint of alternatives stands before token i.
func (s *scan) joined(i int) bool {
	return s.has(i-1, joins) || s.isMark(i-1, ",") || s.isMark(i-1, "&") || s.isMark(i-1, "/")
}

// compete returns what a command competes with beyond its assignment: the
// things it wants and lacks, less the words that name it.
func (s *scan) compete(ci int, st *state, base *spec.Request) float32 {
	c := &s.r.commands[ci]
	total := float32(c.spec.Weight)
	same := base != nil && base.Command == c.spec
	over := uint64(0) // taken over from another command's request
	if base != nil && !same && len(c.spec.Follows) > 0 {
		over = s.takenOver(c, base, st.set)
	}
	for _, w := range c.wants {
		switch {
		case st.set&w.mask == 0 && over&w.mask != 0:
			total += costCarried
		case st.set&w.mask != 0:
			if same && !s.baseHas(c, base, w.mask) {
				total -= rewardLacked
			}
		case same && s.baseHas(c, base, w.mask):
			total += costCarried
		default:
			total += w.weight
		}
	}
	if st.named {
		total -= rewardNamed + float32(c.spec.Telling)
	}
	if same && s.repeats(ci) || over != 0 && st.named && s.pointsBack() {
		total -= rewardRepeat
	}
	return total
}

// takenOver returns which of its options a command takes over from the last
// request, which is another command's, given those that the line sets.
func (s *scan) takenOver(c *command, base *spec.Request, set uint64) uint64 {
	first := uint64(1) << c.local[s.r.index[c.spec.Follows[0]]]
	if set&first != 0 || c.spec.Pointing && !s.pointsBack() {
		return 0
	}
	var over uint64
	for _, g := range base.Given {
		if slices.Contains(c.spec.Follows, g.Option) {
			over |= 1 << c.local[s.r.index[g.Option]]
		}
	}
	over &^= set
	for _, groups := range c.apart {
		for side := range groups {
			if set&groups[1-side] != 0 {
				over &^= groups[side]
			}
		}
	}
	if over&first == 0 {
		return 0
	}
	return over
}

// pointsBack reports whether the line speaks of what was said before: "does it
// fit", "what pressure then".
func (s *scan) pointsBack() bool {
	return slices.ContainsFunc(s.tokens, func(t token) bool {
		if t.kind != word {
			return false
		}
		switch t.text {
		case "it", "that", "this", "them", "these", "those", "then", "there", "dann", "dafür", "damit", "alors", "entonces", "allora":
			return true
		}
		return false
	}) || s.goesOn()
}

func (s *scan) baseHas(c *command, base *spec.Request, mask uint64) bool {
	for _, g := range base.Given {
		o, ok := s.r.index[g.Option]
		if ok && c.local[o] >= 0 && mask&(1<<c.local[o]) != 0 {
			return true
		}
	}
	return false
}

// goesOn reports whether the line begins with a word that goes on from what was
// said before: "and 95 kg".
func (s *scan) goesOn() bool {
	if len(s.tokens) < 2 || s.tokens[0].kind != word {
		return false
	}
	switch s.tokens[0].text {
	case "and", "plus", "but", "now", "then", "or", "und", "aber", "et", "mais", "y", "pero", "e", "ma":
		return true
	}
	return false
}

// repeats reports whether the line says "same" of the last request. A word
// that also names the command ("same as" of sizes) says so of nothing.
func (s *scan) repeats(command int) bool {
	if s.goesOn() {
		return true
	}
	for _, m := range s.matches {
		says, names := false, false
		for _, sn := range m.senses {
			says = says || sn.role == repeats
			names = names || sn.role == calls && sn.target == command
		}
		if says && !names && !s.covered(m, command) {
			return true
		}
	}
	return false
}

// covered reports whether a longer phrase that names the command holds m:
// "same spokes" asks for spokes, it does not say "as before".
func (s *scan) covered(m match, command int) bool {
	for _, o := range s.matches {
		if o.from > m.from || o.to < m.to || o.to-o.from <= m.to-m.from {
			continue
		}
		for _, sn := range o.senses {
			if sn.role == calls && sn.target == command {
				return true
			}
		}
	}
	return false
}

// parted reports whether an option may not stand beside those of the request.
func (s *scan) parted(c *command, req spec.Request, o spec.Option) bool {
	i := s.r.index[o]
	bit := uint64(1) << c.local[i]
	var set uint64
	for _, g := range req.Given {
		j := s.r.index[g.Option]
		set |= 1 << c.local[j]
	}
	for _, groups := range c.apart {
		if bit&groups[0] != 0 && set&groups[1] != 0 || bit&groups[1] != 0 && set&groups[0] != 0 {
			return true
		}
	}
	return false
}

// request makes the request of a candidate, completed from the base where the
// line leaves out what the command wants.
func (s *scan) request(ci int, x trail, base *spec.Request) (spec.Request, error) {
	c := &s.r.commands[ci]
	req := spec.Request{Command: c.spec}
	x.example = c.spec.Example(0)
	var set uint64 // options that some bid reads
	for _, b := range x.bids {
		if b.option >= 0 {
			set |= 1 << c.local[b.option]
		}
		if b.also > 0 {
			set |= 1 << c.local[b.also-1]
		}
	}
	for local, o := range c.spec.Options {
		if set&(1<<local) == 0 {
			continue
		}
		g, ok, err := s.given(x, o)
		if err != nil {
			return req, err
		}
		if ok {
			req.Given = append(req.Given, g)
		}
	}
	for _, i := range x.left {
		if t := s.tokens[i]; t.kind == field {
			if _, twice := req.Get(t.text); twice {
				return req, spec.Misuse(t.text, x.example, "%s was given twice: want it once, in one unit", t.text)
			}
			return req, spec.Misuse(t.text, x.example, "%s takes no %s: see help %s for what it takes", c.spec.Name, t.text, c.spec.Name)
		}
	}
	if base != nil && base.Command != c.spec && len(c.spec.Follows) > 0 {
		over := s.takenOver(c, base, set)
		for _, g := range base.Given {
			if !c.spec.Takes(g.Option) || over&(1<<c.local[s.r.index[g.Option]]) == 0 {
				continue
			}
			g.Origin, g.Why = spec.Carried, "from your last question"
			req = req.With(g)
		}
	}
	if base != nil && base.Command == c.spec && (s.repeats(ci) || s.follows(c, req) || s.completes(c, req, base) || s.alone(x, req) || !callsAny(x) && partly(req, base)) {
		for _, g := range base.Given {
			if now, ok := req.Get(g.Option.About().Name); ok {
				now.Value = overBase(g.Value, now.Value)
				req = req.With(now)
				continue
			}
			if s.parted(c, req, g.Option) {
				continue
			}
			g.Origin, g.Why = spec.Carried, "from your last question"
			req = req.With(g)
		}
	}
	return req, nil
}

// follows reports whether a line goes on from the last request though it says
// nothing to that effect: it names nothing of what the command wants. A line
// that does is a new question, and what else it lacks is asked for, not taken
// from the last one.
func (s *scan) follows(c *command, req spec.Request) bool {
	for _, w := range c.spec.Wants {
		for _, o := range w.Any {
			if _, ok := req.Get(o.About().Name); ok {
				return false
			}
		}
	}
	return len(c.spec.Wants) > 0
}

// alone reports whether a line says one value and nothing else, not even what is
// asked: "90 kg" after an answer for 80 kg. A tyre alone asks what it is.
func (s *scan) alone(x trail, req spec.Request) bool {
	if len(req.Given) != 1 || len(x.left) > 0 || callsAny(x) {
		return false
	}
	_, tyres := req.Given[0].Option.Form().(Tyres)
	return !tyres
}

// completes reports whether a line says only what the last request lacked of
// what the command wants: "160 kPa both" after a question without a pressure.
func (s *scan) completes(c *command, req spec.Request, base *spec.Request) bool {
	names := func(r spec.Request, w spec.Want) bool {
		return slices.ContainsFunc(w.Any, func(o spec.Option) bool { _, ok := r.Get(o.About().Name); return ok })
	}
	for _, w := range c.spec.Wants {
		if names(req, w) && names(*base, w) {
			return false
		}
	}
	return true
}

// given joins the bids of one option.
func (s *scan) given(x trail, o spec.Option) (spec.Given, bool, error) {
	g := spec.Given{Option: o}
	oi := s.r.index[o]
	var elements []spec.Ends[any]
	for _, b := range x.bids {
		also := b.also > 0 && int(b.also-1) == oi
		if !also && int(b.option) != oi {
			continue
		}
		if b.problem != "" {
			name := o.About().Name
			return g, false, &spec.UsageError{Option: name, Problem: name + " " + strings.TrimPrefix(b.problem, name+" "), Example: x.example}
		}
		if b.said {
			g.Origin, g.Why = spec.Assumed, b.why
		}
		if w, ok := b.value.(whole); ok {
			g.Value = w.value
			return g, true, nil
		}
		e, ok := b.ends(also)
		if !ok {
			panic(fmt.Sprintf("read: a bid for %q holds %T", o.About().Name, b.value))
		}
		elements = append(elements, s.wheeled(x, e))
	}
	if len(elements) == 0 {
		return g, false, nil
	}
	if len(elements) > maxAlternatives && s.r.options[oi].choices == nil {
		return g, false, spec.Misuse(o.About().Name, x.example, "%s has %s values: want at most %s to compare", o.About().Name, quantity.Count(len(elements)), quantity.Count(maxAlternatives))
	}
	g.Value = s.r.options[oi].joiner.join(merged(elements))
	return g, true, nil
}

// wheeled gives widths the wheel that was named elsewhere in the line.
func (s *scan) wheeled(x trail, e spec.Ends[any]) spec.Ends[any] {
	for _, b := range x.bids {
		if b.wheel == 0 {
			continue
		}
		for _, v := range []*any{&e.First, &e.Second} {
			if m, ok := (*v).(size.Mark); ok {
				if full, ok := named(s.tyres[b.wheel-1].mark, m); ok {
					*v = full
				}
			}
		}
	}
	return e
}

// merged puts a value for the first end and one for the second beside it together.
func merged(e []spec.Ends[any]) []spec.Ends[any] {
	all := make([]spec.Ends[any], 0, len(e))
	for i := 0; i < len(e); i++ {
		if i+1 < len(e) {
			a, b := e[i], e[i+1]
			if a.Which == spec.SecondOnly {
				a, b = b, a
			}
			if a.Which == spec.FirstOnly && b.Which == spec.SecondOnly {
				all = append(all, spec.Ends[any]{First: a.First, Second: completed(a.First, b.Second), Which: spec.Each})
				i++
				continue
			}
		}
		all = append(all, e[i])
	}
	return all
}

// rival finds a reading that is as good as the best and says something else
// with the same numbers.
func (s *scan) rival(best trail, request spec.Request, base *spec.Request) (spec.Request, bool) {
	for _, x := range s.candidates[1:] {
		if x.cost > s.candidates[0].cost+marginSame || base != nil && x.total > s.candidates[0].total+marginTalk {
			continue
		}
		t := s.trail(x.state)
		if !contends(best, t) {
			continue
		}
		other, err := s.request(x.command, t, base)
		if err == nil && lacks(other) && !lacks(request) {
			continue // one leaves nothing to ask
		}
		if suits := s.r.commands[x.command].spec.Suits; err == nil && suits != nil && !suits(other) {
			continue // a command that can do nothing with it
		}
		if err != nil || len(other.Given) == 0 || other.Line() == request.Line() {
			continue
		}
		return other, true
	}
	return spec.Request{}, false
}

// lacks reports whether a request leaves out something its command wants.
func lacks(r spec.Request) bool {
	for _, w := range r.Command.Wants {
		found := false
		for _, o := range w.Any {
			_, ok := r.Get(o.About().Name)
			found = found || ok
		}
		if !found {
			return true
		}
	}
	return false
}

// contends reports whether two readings give the same numbers to different options.
func contends(a, b trail) bool {
	if len(a.bids) == 0 || len(b.bids) == 0 || !slices.Equal(a.left, b.left) {
		return false
	}
	for _, x := range a.bids {
		for _, y := range b.bids {
			if x.from < y.to && y.from < x.to && x.option >= 0 && y.option >= 0 && x.option != y.option && !sameMark(x, y) {
				return true
			}
		}
	}
	return false
}

// sameMark reports whether two bids read the tokens as the same size, only for
// options of different names (a tyre to fit, a size to compare).
func sameMark(x, y *bid) bool {
	a, ok := x.ends(false)
	b, okay := y.ends(false)
	return ok && okay && reflect.DeepEqual(a.Any(), b.Any())
}

// unused returns the words and numbers left out that are worth telling:
// every number, and words that could have meant something.
func (s *scan) unused(ci int, x trail) []string {
	left := append([]int(nil), x.left...)
	for _, b := range x.bids {
		if (b.option >= 0 || b.names > 0 || b.wheel > 0) && !b.wild {
			continue
		}
		for i := int(b.from); i < int(b.to); i++ {
			if s.number[i] {
				left = append(left, i)
			}
		}
	}
	slices.Sort(left)
	var out []string
	joinedTo := -1
	for _, i := range left {
		t := s.tokens[i]
		if t.kind == mark && i != joinedTo || t.kind == word && t.glued && s.sizeLetter(i) || t.kind == word && i != joinedTo && s.quiet(i, ci) {
			continue
		}
		text := t.raw
		if r := []rune(text); len(r) > 24 {
			text = string(r[:24]) + "…"
		}
		if i == joinedTo && len(out) > 0 { // the unit of the number before it, or the second of a pair
			out[len(out)-1] += text
			joinedTo = s.valueFrom(i)
			continue
		}
		joinedTo = s.valueFrom(i)
		out = append(out, text)
	}
	return out
}

// valueFrom returns the next token of the same value, or -1.
func (s *scan) valueFrom(i int) int {
	for _, v := range s.vals {
		if i >= v.from && i+1 < v.to {
			return i + 1
		}
	}
	return -1
}

// quiet reports whether leaving out word i needs no mention: it says nothing,
// or only names what the command is about.
func (s *scan) quiet(i, ci int) bool {
	c := &s.r.commands[ci]
	if s.role[i]&(1<<fills|1<<ends|1<<joins|1<<repeats|1<<counts|1<<shadows|1<<calls) != 0 || s.keyed[ci]&(1<<i) != 0 {
		return true
	}
	for _, m := range s.matches {
		if m.from != i || m.to != i+1 {
			continue
		}
		for _, sn := range m.senses {
			if sn.role == cues && c.local[sn.target] >= 0 {
				return true
			}
		}
	}
	return false
}
