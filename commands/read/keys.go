package read

import (
	"math/bits"
	"slices"
	"strings"

	"spokeword/calc/quantity"
	"spokeword/calc/size"
	"spokeword/commands/spec"
)

// This file finds what a line is about where no phrase of it says so: by words
// that stand anywhere in it. "Both my tyres ooze, the sealant turned into little
// balls" holds no phrase that an article knows, but "sealant" and "balls".

// key is a set of words that together tell what a line is about, or that call a
// command.
type key struct {
	value  string // what the line is about
	option int16  // index of the option that takes the value; -1: it calls a command
	calls  int16  // index of the command that it calls
	groups int8   // how many groups of alternatives it has; one of each must be there
}

// keyed is a word of a key: of which key, in which of its groups.
type keyed struct {
	key   int32
	group uint8
}

// keyring holds the keys of all choices by their words.
type keyring struct {
	keys   []key
	whole  posts
	begins posts // by the first letters, fewestLetters at least
}

// settle makes the keys ready to be looked for.
func (k *keyring) settle() {
	k.keys = slices.Clone(k.keys)
	k.whole.settle()
	k.begins.settle()
}

// words tells each key of which a word is one.
func (k *keyring) words(text string, tell func(keyed)) {
	for _, h := range k.whole.of(text) {
		tell(h)
	}
	for n := fewestLetters; n <= min(len(text), longestBeginning); n++ {
		for _, h := range k.begins.of(text[:n]) {
			tell(h)
		}
	}
}

// callers finds the commands that words anywhere in the line call.
func (s *scan) callers() {
	k := &s.r.called
	s.keyed = cleared(s.keyed, len(s.r.commands))
	s.halves = cleared(s.halves, len(k.keys))
	for i, t := range s.tokens {
		if t.kind != word || s.number[i] {
			continue
		}
		s.steps++
		k.words(t.text, func(h keyed) {
			m := &s.halves[h.key]
			m.groups |= 1 << h.group
			m.tokens |= 1 << i
		})
	}
	for at, m := range s.halves {
		if own := k.keys[at]; m.groups == 1<<own.groups-1 && bits.OnesCount64(m.tokens) >= int(own.groups) { // a word that stands in two groups tells one of them
			s.keyed[own.calls] |= m.tokens
		}
	}
}

// half is what the words of a line told of a key that calls a command.
type half struct {
	groups uint8
	tokens uint64 // the words of it
}

// fewestLetters is how long the beginning of a word must be to stand for all
// words that begin so.
const fewestLetters = 3

// mostGroups is how many groups a key may have.
const mostGroups = 8

// learn takes in a key as declared: groups of alternatives, with blanks between
// the groups and strokes between the alternatives; a word with a tilde at its
// end stands for all that begin so: "sealant|latex ball~|lump~".
func (k *keyring) learn(text string, own key, l *lexicon) {
	groups := strings.Fields(text)
	if len(groups) < 2 || len(groups) > mostGroups {
		panic("read: key " + text + ": want two groups or more, and no more than eight") // a slip in a declaration, seen at start
	}
	at := int32(len(k.keys))
	own.groups = int8(len(groups))
	k.keys = append(k.keys, own)
	for g, alternatives := range groups {
		for _, w := range strings.Split(alternatives, "|") {
			beginning, open := strings.CutSuffix(w, "~")
			if !open {
				k.whole.add(w, keyed{at, uint8(g)})
				l.know(w, false)
				continue
			}
			if len(beginning) < fewestLetters || len(beginning) > longestBeginning {
				panic("read: key " + text + ": want three letters to twelve before a tilde")
			}
			k.begins.add(beginning, keyed{at, uint8(g)})
		}
	}
}

// topic is what a line is about by a key.
type topic struct {
	option int    // that takes the value
	value  string // what the line is about
	key    int    // that told it; -1: words did
	tokens uint64 // of words: those that did
	unread int    // groups of it that words tell which the best reading leaves out
	idle   int    // those of them that only words tell which say little anywhere
}

// outweighs reports whether so much of what tells a topic is unread that the
// line is about it, whatever else it was read as; a reading that took several
// numbers and leaves none out understood much itself, the more of them the more.
func (t topic) outweighs(understood int) bool {
	switch {
	case understood >= manyTaken:
		return t.unread-t.idle >= 5
	case understood > 0:
		return t.unread-t.idle >= 3
	}
	return t.unread-t.idle >= 2 || t.unread >= 3
}

// manyTaken is how many numbers make a line one to work out.
const manyTaken = 4

// fewestOver is how many telling words, all unread, say more than a phrase of two.
const fewestOver = 4

// fewestTaken is how many numbers a reading takes at least to be understood.
const fewestTaken = 3

// fewestAnnounced is how many it takes where a word beside each says what it is.
const fewestAnnounced = 2

// fewestUnited is how many it takes where all have their units.
const fewestUnited = 1

// understood returns how many numbers the line has, if a reading answers with them and
// leaves none of them out, else 0.
func (s *scan) understood(out Reading, best trail) int {
	if !answersWants(out.Requests[0]) || slices.ContainsFunc(best.left, func(i int) bool { return s.tokens[i].kind == number }) {
		return 0
	}
	if enough(out.Requests[0]) {
		return manyTaken // "same hub new rim erd 602 old 598": two numbers say all
	}
	taken, united := 0, 0
	for _, t := range s.tokens {
		if t.kind == number {
			taken++
		}
	}
	for _, v := range s.vals {
		if v.a.Unit != quantity.NoUnit {
			united++
		}
	}
	anything := slices.ContainsFunc(best.bids, func(b *bid) bool {
		return b.option >= 0 && (s.r.options[b.option].name == "what" || s.r.options[b.option].numbers != nil && s.r.options[b.option].numbers.Any)
	})
	announced := taken >= fewestAnnounced && !slices.ContainsFunc(best.bids, func(b *bid) bool {
		return b.open && slices.ContainsFunc(s.tokens[b.from:b.to], func(t token) bool { return t.kind == number })
	})
	if taken >= fewestTaken || announced && !anything || united >= fewestUnited && united == len(s.vals) && !anything {
		return taken
	}
	return 0
}

// hit is what the words of a line told of a key.
type hit struct {
	all, unread uint8 // groups
	loud        uint8 // of unread, those told by words that say something
	words, last uint8 // a word that stands in two groups tells one of them
}

// longestBeginning is how long the beginning of a word may be to stand for all.
const longestBeginning = 12

// topic returns what the words of the line are surest about. Left are the tokens
// that the best reading leaves out.
func (s *scan) topic(left []int) (topic, bool) {
	k := &s.r.keys
	if len(k.keys) == 0 {
		return topic{}, false
	}
	if len(s.met) < len(k.keys) {
		s.met = make([]hit, len(k.keys))
	}
	met, touched := s.met, s.touched[:0]
	defer func() {
		for _, at := range touched {
			met[at] = hit{}
		}
		s.touched = touched[:0]
	}()
	note := func(h keyed, at int, unread, idle bool) {
		m := &met[h.key]
		if m.words == 0 {
			touched = append(touched, int32(h.key))
		}
		if m.last != uint8(at+1) {
			m.words, m.last = m.words+1, uint8(at+1)
		}
		m.all |= 1 << h.group
		if unread {
			m.unread |= 1 << h.group
			if !idle {
				m.loud |= 1 << h.group
			}
		}
	}
	for i, t := range s.tokens {
		if t.kind != word || s.courtesy(i) {
			continue
		}
		s.steps++
		unread, idle := slices.Contains(left, i) && !s.number[i], s.has(i, fills) // a unit is read or left with its number
		k.words(t.text, func(h keyed) { note(h, i, unread, idle) })
	}
	best, found := topic{}, false
	better := func(a, b topic) bool {
		if x, y := int(k.keys[a.key].groups)+2*a.unread-a.idle, int(k.keys[b.key].groups)+2*b.unread-b.idle; x != y {
			return x > y
		}
		return a.key < b.key
	}
	for _, at := range touched {
		m := met[at]
		if n := k.keys[at].groups; m.all != 1<<n-1 || m.words < uint8(n) {
			continue
		}
		own := k.keys[at]
		if t := (topic{option: int(own.option), value: own.value, key: int(at), unread: ones(m.unread), idle: ones(m.unread &^ m.loud)}); !found || better(t, best) {
			best, found = t, true
		}
	}
	return best, found
}

// courtesy reports whether a word belongs to what opens a question and asks for
// nothing yet: "good morning, could you tell me".
func (s *scan) courtesy(i int) bool {
	if s.isWord(i, "good") && (s.isWord(i+1, "morning") || s.isWord(i+1, "evening") || s.isWord(i+1, "afternoon") || s.isWord(i+1, "day")) {
		return true
	}
	for at := max(0, i-3); at <= i; at++ {
		j := at
		if s.isWord(j, "can") || s.isWord(j, "could") || s.isWord(j, "would") {
			j++
		}
		if j > at && (s.isWord(j, "you") || s.isWord(j, "u") || s.isWord(j, "someone") || s.isWord(j, "anyone")) {
			j++
		}
		if (s.isWord(j, "tell") || s.isWord(j, "help")) && (s.isWord(j+1, "me") || s.isWord(j+1, "us")) && i <= j+1 {
			return true
		}
	}
	return false
}

func ones(b uint8) int {
	n := 0
	for ; b != 0; b &= b - 1 {
		n++
	}
	return n
}

// about returns the request for a topic, with what else of the line its command
// takes.
func (s *scan) about(t topic) (spec.Request, bool) {
	o := &s.r.options[t.option]
	given := spec.Given{Option: o.option, Value: t.value, Origin: spec.Stated}
	for ci := range s.r.commands {
		c := &s.r.commands[ci]
		if c.local[t.option] < 0 || c.spec.Suits != nil && !c.spec.Suits(spec.Request{Command: c.spec, Given: []spec.Given{given}}) {
			continue
		}
		req := spec.Request{Command: c.spec}
		from := len(s.candidates)
		s.assign(ci, nil)
		if len(s.candidates) > from {
			if r, err := s.request(ci, s.trail(s.candidates[from].state), nil); err == nil {
				req = r
			}
		}
		req.Given = slices.DeleteFunc(slices.Clone(req.Given), func(g spec.Given) bool {
			return g.Option == o.option || g.Origin != spec.Stated && !s.bothEnds(g) || !s.r.besides(g)
		})
		req.Given = slices.Insert(req.Given, 0, given)
		return req, true
	}
	return spec.Request{}, false
}

// leastRider is from which mass on a number is a rider's whatever the line is
// about: nobody "loses 70 kilo".
const leastRider = 40.0 // kg

// besides reports whether a value belongs to the asker whatever a line is about: a
// pressure, a rider, a whole tyre and what is chosen do, while the "2" of "bent 2
// spokes" is no tyre and "10 kilo" to lose no rider.
func (r *Reader) besides(g spec.Given) bool {
	own := &r.options[r.index[g.Option]]
	switch v := g.Value.(type) {
	case quantity.Measure:
		return own.numbers != nil && own.numbers.Kind == quantity.KindMass && v.SI() >= leastRider
	case spec.Ends[size.Mark]:
		return v.Any().Width > 0 && v.Any().Seat > 0
	case spec.Ends[size.RimMark]:
		return true
	}
	return own.choices != nil || own.numbers != nil && own.numbers.Kind == quantity.KindPressure
}

// bothEnds reports whether a value is a pressure for each end, guessed of its size:
// nothing else is said so beside a complaint.
func (s *scan) bothEnds(g spec.Given) bool {
	p, ok := g.Value.(spec.Ends[quantity.Measure])
	return ok && g.Origin == spec.Assumed && p.Which == spec.Each && p.First.Kind() == quantity.KindPressure
}

// told returns the reading with what its words are about, where no phrase tells
// so. What the words say that were not read outweighs a reading that leaves them
// out; where it does not, it is offered beside it.
func (s *scan) told(out Reading, best trail, base *spec.Request) Reading {
	if len(s.tokens) == 0 || slices.ContainsFunc(s.tokens, func(t token) bool { return t.kind == field }) {
		return out
	}
	failed := out.Problem != nil || out.Question != nil || base == nil && out.Requests[0].Command.Later
	numbered := slices.ContainsFunc(best.bids, func(b *bid) bool {
		return slices.ContainsFunc(s.tokens[b.from:b.to], func(t token) bool { return t.kind == number })
	})
	// "wheel pulls back out of true" names no command, whatever stands first in it
	called := !failed && s.named() >= 0 && len(out.Requests[0].Given) > 0 && (numbered || answersWants(out.Requests[0]) || !out.Requests[0].Command.Asked)
	if called || !failed && !slices.ContainsFunc(best.left, func(i int) bool { return s.tokens[i].kind == word && !s.number[i] }) {
		return out
	}
	faint := !failed && s.faint(out.Requests[0])
	lacks := !failed && !numbered && !answersWants(out.Requests[0])
	idly := !failed && out.Requests[0].Command.Idly && !out.Called && s.telling(best.left) >= wordsSure &&
		!slices.ContainsFunc(s.tokens, func(t token) bool { return aUnit(t) && t.text != "in" && len(t.text) > 2 })
	t, ok := s.topic(best.left)
	if !ok && (out.lost || idly || out.Problem == nil && (failed || faint || lacks)) {
		likely := s.seek()
		t, ok = s.surely(likely, best.left)
		if ok && out.Question != nil && numbered && s.content(t.tokens) < wordsSure {
			ok = false // "2.0 front 2.2 rear"
		}
		if !ok && out.lost {
			out.Elsewhere = s.offers(likely)
		} else if !ok && (idly || lacks && out.Question == nil && len(out.Requests) == 1 && len(out.Requests[0].Given) == 0 && s.named() < 0 && s.calledByNoun(best) && s.telling(best.left) >= wordsSure) {
			// "10-52 on standard freehub": only the noun of a command was read
			if offers := s.offers(likely); len(offers) > 0 {
				return Reading{Problem: spec.Misuse("", s.r.example(), "I found nothing there that I can work out"), Unused: out.Unused, Slips: out.Slips, Steps: s.steps, Elsewhere: append(offers, out.Requests[0])}
			}
		}
	}
	if !ok || !failed && t.unread == 0 {
		return out
	}
	telling := t.unread - t.idle
	outweighs := failed || idly || t.outweighs(s.understood(out, best)) || faint && t.key >= 0 && telling >= 1
	if t.key < 0 && !outweighs && telling < wordsSure {
		return out // the finder needs more than a word that nothing else read
	}
	if !failed && answersWants(out.Requests[0]) && slices.ContainsFunc(best.bids, func(b *bid) bool {
		return int(b.option) == t.option && (!outweighs || b.to-b.from > 2 || b.to-b.from == 2 && telling < fewestOver)
	}) {
		return out // a phrase tells it
	}
	req, ok := s.about(t)
	if !ok {
		return out
	}
	out.Steps = s.steps
	if !failed && !outweighs && answersWants(out.Requests[0]) {
		out.Elsewhere = append([]spec.Request{req}, out.Elsewhere[:min(len(out.Elsewhere), mostElsewhere-1)]...)
		out.Topic = !enough(out.Requests[0])
		return out
	}
	var others []spec.Request
	if !failed && answersWants(out.Requests[0]) {
		others = out.Requests[:1]
	}
	unused := slices.DeleteFunc(slices.Clone(out.Unused), func(text string) bool { return s.toldBy(t, text) })
	if len(others) == 0 {
		unused = append(unused, s.dropped(req, unused)...)
	}
	return Reading{Requests: []spec.Request{req}, Unused: unused, Slips: out.Slips, Steps: out.Steps, Elsewhere: others}
}

// calledByNoun reports whether only the name of a command, as a noun of the trade,
// called it: "spoke", "freehub".
func (s *scan) calledByNoun(best trail) bool {
	noun := false
	for _, b := range best.bids {
		if b.names == 0 {
			continue
		}
		name := s.r.commands[b.names-1].spec.Name
		text := s.tokens[b.from].text
		if b.to-b.from > 1 || strings.TrimSuffix(text, "s") != strings.TrimSuffix(name, "s") {
			return false
		}
		noun = true
	}
	return noun
}

// telling returns how many of the tokens are words that say what a line is about.
func (s *scan) telling(left []int) (n int) {
	for _, i := range left {
		if t := s.tokens[i]; t.kind == word && !s.number[i] && tells(t.text) && !s.has(i, fills) && s.end[i] == (endAt{}) {
			n++
		}
	}
	return n
}

// faint reports whether a reading took no number and no name of a command: "trail"
// and "wet" alone stand in questions of all kinds.
func (s *scan) faint(req spec.Request) bool {
	return s.named() < 0 && len(req.Given) > 0 && !slices.ContainsFunc(s.tokens, func(t token) bool { return t.kind == number }) &&
		!slices.ContainsFunc(req.Given, func(g spec.Given) bool { return !s.r.plainWord(g) })
}

// plainWord reports whether a value is a word that is no subject of its own: neither
// a number nor what an article is about.
func (r *Reader) plainWord(g spec.Given) bool {
	c := r.options[r.index[g.Option]].choices
	return c != nil && !slices.ContainsFunc(c.All, func(x Choice) bool { return x.Title != "" && x.Value == g.Value })
}

// toldBy reports whether a word that was not used is one that told the topic.
func (s *scan) toldBy(t topic, text string) bool {
	if t.key >= 0 {
		return s.r.keys.tells(t.key, text)
	}
	for i := range s.tokens {
		if t.tokens&(1<<i) != 0 && (s.tokens[i].raw == text || s.tokens[i].text == text) {
			return true
		}
	}
	return false
}

// dropped returns the numbers of the line that a request does not hold, but for
// those already told as not used: what another reading took of them is lost.
func (s *scan) dropped(req spec.Request, told []string) (lost []string) {
	for _, v := range s.vals {
		at := slices.IndexFunc(s.tokens[v.from:v.to], func(t token) bool { return t.kind == number })
		if at < 0 {
			continue
		}
		digits := s.tokens[v.from+at].text
		has := func(text string) bool { return strings.Contains(text, digits) }
		if !slices.ContainsFunc(told, has) && !slices.ContainsFunc(lost, has) && !slices.ContainsFunc(req.Given, func(g spec.Given) bool { return has(g.Option.Text(g.Value)) }) {
			lost = append(lost, rawOf(s.tokens[v.from:v.to]))
		}
	}
	return lost
}

// tells reports whether a word is of a key.
func (k *keyring) tells(at int, text string) bool {
	found := false
	k.words(strings.ToLower(text), func(h keyed) { found = found || int(h.key) == at })
	return found
}
