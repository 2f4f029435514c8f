// Package read turns what people type into requests.
//
// A line goes this way: normalise (phone punctuation, fractions, emoji) →
// tokens → every option bids for the tokens it can read → for each command
// the cheapest assignment of bids to tokens that do not overlap → the cheapest
// command. It is deterministic, needs no network and no regular expression,
// and takes microseconds. What is left unread is reported, what is guessed is
// marked, and two readings that are as good as each other become a question.
//
// The words come from the declarations (package spec); here are only the
// grammar of numbers, sizes, ends and lists, and the words that say nothing.
package read

import (
	"fmt"
	"math"
	"slices"
	"strings"
	"sync"

	"spokeword/calc/quantity"
	"spokeword/commands/spec"
)

// Reader reads lines. It is safe for use by several goroutines.
type Reader struct {
	set          *spec.Commands
	lexicon      *lexicon
	options      []option
	holding      holding          // options by what they hold
	byName       map[string][]int // options of different commands may share a name
	known        [knownOptions]int16
	index        map[spec.Option]int
	commands     []command
	rows         []rowOption // options that take rows of readings
	spots        []rowOption // options that take places
	keys         keyring
	called       keyring            // keys that call commands
	finder       func() *finder     // finds choices by words; made when first needed, as most lines need none
	frames       map[string][]frame // cues of names, of two words, by the first
	changedTyres []int              // options that hold the tyre that another is changed to
	toUnit       map[string]bool    // words that announce nothing but a unit: "in", "a"
	table        string             // the option that takes a meter's table, "" for none
	rigid        string             // the option that takes the stiffness of rims, "" for none
}

// option is a declared option as the reader sees it.
type option struct {
	option  spec.Option
	name    string
	form    any
	numbers *Numbers
	choices *Choices
	joiner  joiner
	takers  uint64 // the commands that have it, a bit for each
	rims    bool   // it takes rims
	tyres   bool   // it takes tyres
	many    bool   // several values may stand in one line
	stands  string // name of the option before which it stands, "": none
	before  int    // its index, -1: none
	with    int    // index of Numbers.With, -1: none
}

// holding lists the options by what they hold, each by its index: lines tell a kind of
// thing or they don't, and most options need not be looked at.
type holding struct{ numbers, choices, units, sizes, rims, wires, riders, spots, cartridges []int }

func (h *holding) add(i int, o option) {
	if o.numbers != nil {
		h.numbers = append(h.numbers, i)
	}
	if o.choices != nil {
		h.choices = append(h.choices, i)
	}
	var list *[]int
	switch o.form.(type) {
	case UnitOf:
		list = &h.units
	case Tyres, Size:
		list = &h.sizes
	case Rims:
		list = &h.rims
	case Wire, Wires:
		list = &h.wires
	case Riders:
		list = &h.riders
	case Spots:
		list = &h.spots
	case Cartridges:
		list = &h.cartridges
	default:
		return
	}
	*list = append(*list, i)
}

// row reports whether several values may stand side by side: alternatives
// that have no ends, which two numbers would be.
func (o *option) row() bool { return o.many && o.numbers != nil && o.numbers.Axis == spec.NoAxis }

// mostCommands is how many commands a set may have: a bit is kept for each.
const mostCommands = 64

// command is a declared command as the reader sees it.
type command struct {
	spec  *spec.Command
	local []int8 // by option: its bit in this command's masks; -1: not taken
	wants []want
	apart [][2]uint64 // options of which only one group may be set
	// unasked holds the groups of options of Command.Unasked.
	unasked []uint64
}

type want struct {
	mask   uint64
	weight float32
}

// Reading is what was understood of a line.
type Reading struct {
	Requests []spec.Request
	Question *Question
	Unused   []string // words and numbers that were not used
	Slips    []Slip   // misspelt words that were read as others
	Problem  error    // *spec.UsageError: the line can't be answered as it stands
	Steps    int      // work done, for the test that it grows at most linearly
	Called   bool     // a word of the line names the command
	// Elsewhere are other requests that words which were not used speak of.
	Elsewhere []spec.Request
	// Earlier is set where the line points back to a ride and not to a question.
	Earlier bool
	// Shown are the units that the line names without a number: "in bar".
	Shown spec.Units
	// Topic is set where the first of Elsewhere is what the line is about, if the
	// reading comes to no answer.
	Topic bool

	rest string // the line without the name to keep it under
	lost bool   // nothing in the line was read
}

// Question is asked where two readings are as good as each other.
type Question struct {
	Choices []spec.Request
}

// Slip is a misspelt word and what it was read as.
type Slip struct{ Typed, Read string }

// New builds a reader for the declared commands, with other ways in which people
// say what they declare. They are taken once more if words are looked for, and not
// kept until then.
func New(set *spec.Commands, sayings func() ([]Saying, error)) (*Reader, error) {
	r := &Reader{set: set, lexicon: newLexicon(), byName: make(map[string][]int), frames: make(map[string][]frame), index: make(map[spec.Option]int)}
	for _, o := range set.Options() {
		j, ok := o.Form().(joiner)
		if !ok {
			return nil, fmt.Errorf("option %q: its form can't be read from a sentence", o.About().Name)
		}
		own := option{option: o, name: o.About().Name, form: o.Form(), joiner: j, before: -1, with: -1}
		_, own.rims = o.Form().(Rims)
		_, own.tyres = o.Form().(Tyres)
		if f, ok := o.Form().(numeric); ok {
			own.numbers = f.numbers()
			own.stands = own.numbers.Before
			own.many = own.numbers.Many
		}
		if f, ok := o.Form().(chooser); ok {
			own.choices = f.choices()
			own.many = f.several()
		}
		r.byName[o.About().Name] = append(r.byName[o.About().Name], len(r.options))
		r.index[o] = len(r.options)
		if f, ok := o.Form().(Tyres); ok {
			own.stands = f.Before
			if f.Cued {
				r.changedTyres = append(r.changedTyres, len(r.options))
			}
		}
		if f, ok := o.Form().(Wires); ok {
			own.many = f.several()
		}
		r.holding.add(len(r.options), own)
		r.options = append(r.options, own)
	}
	if len(r.options) > 64*len(optionSet{}) {
		return nil, fmt.Errorf("%d options: want at most %d", len(r.options), 64*len(optionSet{}))
	}
	r.learnKnown()
	for i := range r.options {
		if before := r.options[i].stands; before != "" {
			latter, ok := r.optionNamed(before)
			if !ok {
				return nil, fmt.Errorf("option %q stands before %q: no such option", r.options[i].option.About().Name, before)
			}
			r.options[i].before = latter
		}
		if n := r.options[i].numbers; n != nil && n.With != "" {
			with, ok := r.optionNamed(n.With)
			if !ok {
				return nil, fmt.Errorf("option %q stands with %q: no such option", r.options[i].option.About().Name, n.With)
			}
			r.options[i].with = with
		}
	}
	if len(set.All) > mostCommands {
		return nil, fmt.Errorf("%d commands: want at most %d", len(set.All), mostCommands)
	}
	for _, c := range set.All {
		if len(c.Options) > 60 {
			return nil, fmt.Errorf("command %q: want at most 60 options", c.Name)
		}
		own := command{spec: c, local: make([]int8, len(r.options))}
		for i := range own.local {
			own.local[i] = -1
		}
		for i, o := range c.Options {
			own.local[r.index[o]] = int8(i)
			r.options[r.index[o]].takers |= 1 << len(r.commands)
		}
		for _, w := range c.Wants {
			x := want{weight: float32(w.Weight)}
			for _, o := range w.Any {
				x.mask |= 1 << own.local[r.index[o]]
			}
			own.wants = append(own.wants, x)
		}
		for _, group := range c.Unasked {
			var all uint64
			for _, o := range group {
				bit := uint64(1) << own.local[r.index[o]]
				if all&bit != 0 {
					bit = severalBit
				}
				all |= bit
			}
			own.unasked = append(own.unasked, all)
		}
		for _, e := range c.Apart {
			var pair [2]uint64
			for side, options := range e {
				for _, o := range options {
					pair[side] |= 1 << own.local[r.index[o]]
				}
			}
			own.apart = append(own.apart, pair)
		}
		r.commands = append(r.commands, own)
	}
	r.learn()
	rows, err := sayings()
	if err == nil {
		err = r.learnSayings(rows)
	}
	if err != nil {
		return nil, err
	}
	r.lexicon.learnUnmarked()
	r.learnEnds()
	r.learnRows()
	r.learnToUnit()
	r.lexicon.settle()
	r.keys.settle()
	r.called.settle()
	r.finder = sync.OnceValue(func() *finder {
		rows, _ := sayings() // they were without fault above
		return newFinder(r, rows)
	})
	return r, nil
}

// learn fills the lexicon from the declarations and the common words.
func (r *Reader) learn() {
	for i, c := range r.set.All {
		r.lexicon.add(c.Name, sense{role: calls, target: i}, spec.English)
		for _, w := range c.Words {
			r.lexicon.add(w.Text, sense{role: calls, target: i}, w.Lang)
		}
		for _, text := range c.Keys {
			r.called.learn(text, key{option: -1, calls: int16(i)}, r.lexicon)
		}
	}
	for i, o := range r.options {
		about := o.option.About()
		named := false
		for _, w := range about.Words {
			r.framed(i, w.Text)
			r.lexicon.add(w.Text, sense{role: cues, target: i}, w.Lang)
			named = named || w.Text == about.Name
		}
		if o.numbers != nil && !named && len(about.Name) > 2 { // "rimmax 22 psi"
			r.lexicon.add(about.Name, sense{role: cues, target: i}, spec.English)
		}
		for _, w := range about.Hints {
			r.lexicon.add(w.Text, sense{role: hints, target: i}, w.Lang)
		}
		if o.numbers != nil {
			for _, n := range o.numbers.Named {
				for _, w := range n.Words {
					r.lexicon.add(w.Text, sense{role: means, target: i, value: n.Value, lone: true}, w.Lang)
				}
			}
		}
		if f, ok := o.form.(Tyres); ok {
			for _, n := range f.Named {
				v, err := f.Parse(n.Value)
				if err != nil {
					panic(fmt.Sprintf("read: option %q: %v", about.Name, err)) // a slip in a declaration, seen at start
				}
				for _, w := range n.Words {
					r.lexicon.add(w.Text, sense{role: means, target: i, value: v, lone: true}, w.Lang)
				}
			}
		}
		if o.choices == nil {
			continue
		}
		for _, w := range o.choices.Noun {
			r.lexicon.add(w.Text, sense{role: cues, target: i}, w.Lang)
			if o.choices.Placed {
				r.lexicon.add(w.Text, sense{role: means, target: i, lone: true}, w.Lang)
			}
		}
		for _, c := range o.choices.All {
			senses := []sense{{role: means, target: i, value: c.Value, lone: len(o.choices.Noun) == 0}}
			for _, w := range c.Words {
				r.lexicon.enter(w.Text, senses, w.Lang == spec.English)
			}
			for _, w := range c.Lone {
				r.lexicon.add(w.Text, sense{role: means, target: i, value: c.Value, lone: true}, w.Lang)
			}
			for _, text := range c.Keys {
				r.keys.learn(text, key{option: int16(i), value: c.Value}, r.lexicon)
			}
		}
	}
	for _, e := range endWords {
		for _, w := range e.words {
			r.lexicon.add(w.Text, sense{role: ends, axis: e.axis, which: e.which}, w.Lang)
		}
	}
	for ro, words := range commonWords {
		for _, w := range words {
			r.lexicon.add(w.Text, sense{role: ro}, w.Lang)
		}
	}
	for w := range quantity.UnitWords() {
		r.lexicon.know(w, true)
	}
	for w := range foreignNumbers {
		r.lexicon.know(w, false)
	}
	for w := range numberWords {
		r.lexicon.know(w, true)
	}
	for _, w := range plainWords {
		r.lexicon.know(w, false)
	}
}

// placed reports whether the words of an option may be told of one end of the bike.
func (r *Reader) placed(option int) bool {
	c := r.options[option].choices
	return c != nil && c.Axis == spec.FrontRear
}

// learnEnds lets every word for an end of the bike be the value of the option that
// is the wheel meant: "hr erd 602" is the rear one.
func (r *Reader) learnEnds() {
	for i := range r.options {
		c := r.options[i].choices
		if c == nil || r.options[i].name != "end" {
			continue
		}
		for n, w := range r.lexicon.spelt(1) {
			if len(w) < 2 {
				continue
			}
			for _, sn := range r.lexicon.senses(n) {
				if sn.role != ends || sn.axis != spec.FrontRear || sn.which == spec.Both {
					continue
				}
				first, second := spec.FrontRear.Names()
				value := first
				if sn.which == spec.SecondOnly {
					value = second
				}
				r.lexicon.join(n, []sense{{role: means, target: i, value: value, lone: true}})
				break
			}
		}
	}
}

// learnToUnit notes the small words that announce nothing but the unit wanted.
func (r *Reader) learnToUnit() {
	r.toUnit = make(map[string]bool)
	for n, w := range r.lexicon.spelt(1) {
		only, any := true, false
		for _, sn := range r.lexicon.senses(n) {
			if sn.role == means {
				only = false
			}
			if sn.role == cues {
				_, unit := r.options[sn.target].form.(UnitOf)
				only, any = only && unit, true
			}
		}
		if only && any {
			r.toUnit[w] = true
		}
	}
}

// numbersOf returns how the numbers of the option that a cue announces are
// read, nil if it holds none.
func (r *Reader) numbersOf(sn sense) *Numbers {
	if sn.role != cues && sn.role != hints {
		return nil
	}
	return r.options[sn.target].numbers
}

// optionNamed returns the first option of that name.
func (r *Reader) optionNamed(name string) (int, bool) {
	if all := r.byName[name]; len(all) > 0 {
		return all[0], true
	}
	return 0, false
}

// subject returns the option that takes a subject, if one does.
func (r *Reader) subject(value string) (int, bool) {
	for _, i := range r.byName["what"] {
		if c := r.options[i].choices; c != nil && c.has(value) {
			return i, true
		}
	}
	return 0, false
}

// Read reads a line. Base is the asker's last request in that channel, if any:
// what a line of the same command leaves out is carried over from it. A line
// that asks two things gives two requests.
func (r *Reader) Read(line string, base *spec.Request) Reading {
	reading := r.read(line, base)
	if len(reading.Requests) != 1 || !reading.Requests[0].Command.Keeps || reading.rest == "" {
		return reading
	}
	// what is kept may ask for an answer too
	rest := r.read(reading.rest, base)
	_, told := reading.Requests[0].Get("pressure") // who tells what is ridden asks for no start
	if len(rest.Requests) == 1 && !rest.Requests[0].Command.Keeps && answersWants(rest.Requests[0]) && !told {
		reading.Requests = []spec.Request{rest.Requests[0], reading.Requests[0]}
	}
	reading.Steps += rest.Steps
	return reading
}

func (r *Reader) read(line string, base *spec.Request) Reading {
	if len(line) > MaxBytes {
		return Reading{Problem: spec.Misuse("", r.example(), "that is %s characters long: want at most %s, one question at a time",
			quantity.Count(len(line)), quantity.Count(MaxBytes))}
	}
	s := scans.Get().(*scan)
	defer s.release()
	s.r, s.most = r, float32(math.Inf(1))
	s.line = normalise(line)
	l := lexer{line: s.line, fields: func(name string) bool { _, ok := r.byName[name]; return ok },
		whole: func(w string) bool { return r.lexicon.knows(w) }, tokens: s.lexed[:0]}
	if !l.lex() {
		return r.tooLong()
	}
	if len(l.tokens) == 0 {
		return Reading{Problem: spec.Misuse("", r.example(), "nothing to read: want a question")}
	}
	s.lexed = l.tokens
	for len(l.tokens) > 1 && l.tokens[0].kind == mark {
		l.tokens = l.tokens[1:] // "- measure hub", "(80 kg …"
	}
	s.tokens = r.gather(numberTokens(phoneWords(l.tokens)))
	if len(s.tokens) > MaxTokens {
		return r.tooLong()
	}
	s.spell()
	s.classify()
	s.letterSides()
	s.shortEnds()
	s.measures()
	s.callers()
	s.namedUnits()
	s.marks()
	s.claim()
	s.otherSide()
	s.askedEnd()
	s.align()
	s.announce()
	s.bidFields()
	s.bidWords()
	s.bidJoined()
	s.bidNumbers()
	s.bidLoose()
	s.bidJoinedCounts()
	s.bidTyres()
	s.bidSeats()
	s.bidTubeInto()
	s.bidRims()
	s.bidCrossings()
	s.bidGears()
	s.bidOnBody()
	s.bidRings()
	s.bidSwaps()
	s.bidFrameLimit()
	s.bidRimLimit()
	s.bidSpokeLengths()
	s.bidFlipped()
	s.bidLaterPressure()
	s.bidMarkedRange()
	s.bidLeastAndMost()
	s.bidOtherEnd()
	s.bidAskedEnd()
	s.bidMayRun()
	s.bidFelt()
	s.bidPawls()
	s.bidSetAndRidden()
	s.bidDishOff()
	s.bidFormerTubes()
	s.bidChildInSeat()
	s.bidSystemNow()
	s.bidMeetingPlace()
	s.bidMixedWheels()
	s.bidMullet()
	s.bidFlanges()
	s.bidFaces()
	s.bidWished()
	s.bidRimTurns()
	s.bidERDTurns()
	s.bidOff()
	s.bidWires()
	s.bidUnits()
	s.bidTurned()
	s.bidRepeats()
	s.bidWheelAgain()
	s.bidShares()
	s.bidPerSide()
	s.bidHubRim()
	s.bidHoleLetters()
	s.bidCartridges()
	s.bidNames()
	s.bidRiders()
	s.sortBids()
	shown := s.shown()
	reading, best := s.decide(base)
	reading = s.told(reading, best, base)
	reading.Shown = shown
	reading.Earlier = base == nil && s.saysEarlier()
	return reading
}

// lastWords are the "last" of "last ride".
var lastWords = []string{"last", "letzte", "letztes", "letzten", "dernière", "dernier", "última", "último", "ultima", "ultimo"}

// saysEarlier reports whether the line goes on from a ride: "same as last time".
func (s *scan) saysEarlier() bool {
	return slices.ContainsFunc(s.matches, func(m match) bool {
		return slices.ContainsFunc(s.tokens[m.from:m.to], func(t token) bool { return slices.Contains(lastWords, t.text) }) &&
			slices.ContainsFunc(m.senses, func(sn sense) bool { return sn.role == repeats })
	})
}

func (r *Reader) tooLong() Reading {
	return Reading{Problem: spec.Misuse("", r.example(), "that is more than %s words and numbers: want one question at a time", quantity.Count(MaxTokens))}
}

func (r *Reader) example() string {
	for _, c := range r.set.All {
		return c.Example(0)
	}
	return ""
}

// namedUnits notes the units that the line names without a number: "psi?".
func (s *scan) namedUnits() {
	for i, t := range s.tokens {
		if t.kind != word || s.number[i] || len(t.text) < 2 || s.role[i]&(1<<fills|1<<ends) != 0 {
			continue
		}
		if u, ok := quantity.UnitNamed(t.text); ok {
			s.noteUnit(u)
		}
	}
}

// shown returns the unit of pressure that the line asks for by its name. "Psi" is
// what pressure is called in the trade, and no wish for a unit. Others are one
// behind a word as "in" or at the end: a "drop bar bike" asks for none, nor does
// an "atm" for now.
func (s *scan) shown() (u spec.Units) {
	is := func(i int, words ...string) bool {
		return i >= 0 && i < len(s.tokens) && s.tokens[i].kind == word && slices.Contains(words, s.tokens[i].text)
	}
	psi := slices.ContainsFunc(s.tokens, func(t token) bool { return t.kind == word && t.text == "psi" })
	for i, t := range s.tokens {
		if t.kind != word || s.number[i] {
			continue
		}
		named, ok := quantity.UnitNamed(t.text)
		if !ok || named.Kind() != quantity.KindPressure || named == quantity.PSIUnit {
			continue
		}
		behind := is(i-1, "in", "to", "as", "into", "en")
		last := i+1 == len(s.tokens) || s.tokens[i+1].kind != word || is(i+1, "pls", "plz", "please", "bitte", "thx", "thanks", "ta")
		if behind || last && !psi && named != quantity.AtmUnit && !is(i-1, "drop", "flat", "riser", "straight", "handle", "or") {
			u[quantity.KindPressure] = named
			break
		}
	}
	return u
}

// scans are used again: reading takes no memory but for what it returns.
var scans = sync.Pool{New: func() any { return new(scan) }}

// release forgets a line and gives the scan back.
func (s *scan) release() {
	s.unitOf = [quantity.Kinds]quantity.Unit{}
	s.matches, s.vals, s.tyres, s.cues, s.bids, s.slips = s.matches[:0], s.vals[:0], s.tyres[:0], s.cues[:0], s.bids[:0], s.slips[:0]
	s.arena, s.candidates = s.arena[:0], s.candidates[:0]
	s.tokens, s.steps = nil, 0
	scans.Put(s)
}

// cleared returns a slice of n zero values, the old one if it is long enough.
func cleared[T any](old []T, n int) []T {
	if cap(old) < n {
		return make([]T, n, MaxTokens)
	}
	old = old[:n]
	clear(old)
	return old
}

// mostSpelt is how many unknown words of a line are looked at for a slip. Who
// writes more of them writes about something else, and each takes long.
const mostSpelt = 8

// spell replaces misspelt words by the declared ones they are a slip away from.
func (s *scan) spell() {
	unknown := 0
	for i := range s.tokens {
		t := &s.tokens[i]
		if base, ok := strings.CutSuffix(t.text, "s"); ok && (strings.HasSuffix(t.raw, "'s") || strings.HasSuffix(t.raw, "'S")) && s.r.lexicon.knows(base) {
			t.text = base // "the erd's 603"
		}
		if t.kind != word || s.r.lexicon.knows(t.text) {
			continue
		}
		if right, ok := s.r.lexicon.accented(t.text); ok {
			t.text = right
			continue
		}
		if unknown++; unknown > mostSpelt {
			return
		}
		s.steps += len(t.text)
		if right, ok := s.r.lexicon.correct(t.text); ok {
			s.slips = append(s.slips, slip{i, t.text, right})
			t.text = right
		}
	}
}

// classify finds the phrases of the line and what each word does.
func (s *scan) classify() {
	n := len(s.tokens)
	s.said, s.hinted = optionSet{}, optionSet{}
	s.role = cleared(s.role, n)
	s.end = cleared(s.end, n)
	s.number = cleared(s.number, n)
	for i := range s.tokens {
		if s.tokens[i].kind == field {
			continue
		}
		from := len(s.matches)
		s.matches = s.r.lexicon.find(s.tokens, i, s.matches)
		for _, m := range s.matches[from:] {
			for _, sn := range m.senses {
				if sn.role == ends {
					for j := m.from; j < m.to; j++ {
						s.end[j][sn.axis] = 1 + uint8(sn.which)
						s.role[j] |= 1 << ends
					}
				} else if m.to-m.from == 1 {
					s.role[i] |= 1 << sn.role
				}
				switch sn.role {
				case cues:
					s.said.add(sn.target)
				case hints:
					s.hinted.add(sn.target)
				}
			}
		}
	}
	for i := range s.tokens { // "put tubes back in" is no rear
		if s.isWord(i, "back") && (s.isWord(i+1, "in") || s.isWord(i+1, "on") || s.isWord(i+1, "to") || s.isWord(i+1, "together")) && (i == 0 || s.tokens[i-1].kind != number && !aUnit(s.tokens[i-1]) && !s.isWord(i-1, "the")) {
			s.end[i], s.role[i] = endAt{}, s.role[i]&^(1<<ends)
		}
	}
	for i := range s.matches {
		s.matches[i].inner = s.within(s.matches[i])
	}
	for _, m := range s.matches { // "front and rear" is neither
		for _, sn := range m.senses {
			if sn.role == ends && m.to-m.from > 1 {
				for j := m.from; j < m.to; j++ {
					s.end[j][sn.axis] = 1 + uint8(sn.which)
				}
			}
		}
	}
	// The "rim" of "rim tension" names no end; that of "rear wheel" does.
	for _, m := range s.matches {
		for _, sn := range m.senses {
			if m.to-m.from == 1 || sn.role != cues && sn.role != means {
				continue
			}
			wheel := sn.role == means && (sn.value == "front" || sn.value == "rear" || s.r.placed(sn.target)) // "rear fine" tells where too
			for j := m.from; j < m.to; j++ {
				at := s.end[j]
				s.end[j] = endAt{}
				if wheel {
					s.end[j][spec.FrontRear] = at[spec.FrontRear]
				}
			}
		}
	}
}
