package read

import (
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
	costPart    = 0.4  // the same, of one that names a part by its size
	costMeasure = 3.0  // a number with its unit left out
	costCue     = 0.6  // an option's cue left out
	costValue   = 1.0  // an option's value left out
	costForeign = 1.1  // another command's word left out
	costTopic   = 1.7  // a word for what the line is about: tape, a burp
	costWord    = 0.4  // an unknown word left out
	costMeant   = 0.15 // a small word that may be an option's value
	costCounted = 0.3  // a number that counts things
	costUnit    = 0.35
	costUnusual = 0.6  // a number with its unit that is of no usual size, without a cue
	costEndless = 0.05 // a value for both ends where the line names ends
	costMistake = 0.8  // a value with a unit that can't be meant, beside its cue
	costBlunder = 2.0  // a bare number that can't be meant, beside its cue
	costSlip    = 0.15 // a misspelt word
	costFormer  = 0.3  // the former of two of a kind, without a cue (Numbers.Before)
	costTurned  = 0.5  // the former of two of a kind behind the latter
	rewardWith  = 0.15 // a value in a line with what it stands with (Numbers.With)
	costWithout = 0.4  // the same without it
	// the same with a cue of its own, which says so too
	costTurnedCued = 0.35
	costRow        = 0.2  // a value directly behind another of its row
	rewardAsked    = 0.8  // a question of several words that means a value
	rewardEnds     = 0.2  // a pressure for each end
	costWholeBar   = 1.1  // a whole number as bar, without a cue
	costDescribed  = 0.3  // another of an option behind a joint that stands further before
	costUnjoined   = 1.5  // another of an option without any joint
	costSwap       = 0.05 // a rim or a tyre that takes the place of another
	costWished     = 0.15 // a pressure behind a word that wants it
	costShelved    = 0.15 // a length by how it is written
	costAlone      = 0.15 // something placed at one end without saying at which
	costAnywhere   = 0.2  // a number with its unit in a line that names what it is for
	costPhrase     = 0.3  // a cue taken that says something else besides
	costDegrees    = 0.2  // degrees of which scale is not said
	costClaimed    = 2.5  // a bare number that a cue claims for another option
	costInherited  = 0.2  // a cue that stands beside another of a list
	costLoneWheel  = 0.25 // a wheel's name where it is that before all else
	costWheelName  = 0.4  // a wheel's name where it is as good as a size
	rewardHint     = 0.3  // a wheel that changes beside a little word: "to 29"
	costWholeWheel = 0.15 // a tyre without an end as one that changes, and less with one
	costOneTyre    = 1.2  // the only tyre of a line as one that changes
	// a wheel's number apart from the tyre's width: "29er hardtail, 2.4 tyres"
	costWheel, costWheelEnded = 0.6, 1.2
	costWidth                 = 0.4   // the width, where the line names a wheel for sure
	costOddRim                = 2.5   // a width no usual rim has, without a cue
	costRepeat                = 0.3   // a number said twice
	costNamed                 = -0.05 // a name behind its cue, whatever else its words may mean
	costLater                 = 0.01  // a size behind others, of which the first two are compared
	costWideBar               = 0.3   // bare numbers as bar that are as large as widths in inches: "2.6f 2.4r"
	costNameAlone             = 1.2   // a command's name as what is asked about, in a line that begins with none
	costMounted               = 0.5   // a hinted pressure that stands on a rim: "put 2.2 on 35 mm rims"
	costHubRim                = -1.6  // two counts of holes, of hub and rim by name
	costAdded                 = 0.8   // "+12 kg" for a command that takes it as any load
	costJoined                = 0.4   // two values that are numbers, with a joint and no noun
	costFirstOf               = 1.2   // a bare number directly before a pressure, as anything else: "22 25 psi"
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
	open     bool // no cue says that it is for this option
	value    any
	value2   any
	why      string
	problem  string // the mistake, if the value can't be meant
	names    int16  // 1 + the command that the tokens name; 0: none
	wheel    int16  // 1 + the mark of a wheel whose width stands elsewhere; 0: none
	bare     bool   // a tyre's width without a wheel
	boxed    bool   // value and value2 stand for the ends that which tells
	free     bool   // a name of the asker's own, in which nothing is a slip
	wild     bool   // the numbers within are not read: the words around them say it all
	plus     bool   // a plus sign says that it comes on top
}

// val is a number in the line, or two of them with a slash between.
type val struct {
	from, to int
	a, b     quantity.Measure
	pair     bool
	spaced   bool   // the unit stands behind a blank
	guess    string // why the unit is what it is, where it was not typed

	// how it stands in the line (scan.place)
	plus        bool          // with a plus sign
	fromTo      bool          // one of two as "from 22 to 19"
	wide        bool          // both of them written as widths of tyres: "from 2.25 to 2.4"
	wasNow      bool          // one of two as "was 7 now 4"
	oneOf       bool          // one of two alternatives
	belowNought bool          // it goes to one below nought, or from one
	rowed       bool          // in a row of readings
	counts      bool          // a count of spokes or holes
	part        bool          // it names a part by its size (scan.namesPart)
	none        bool          // it is no option's number: of a wire, a wheel or a name
	firstOf     quantity.Kind // bare, directly before one with a unit: of which kind that is
	lesser      bool          // of a bike's mass, beside one of a rider's
	beside      bool          // beside an end of the bike, where another of its kind is not
	cued        optionSet     // those of which a cue announces it
}

// optionSet holds options.
type optionSet [4]uint64

func (all *optionSet) add(o int) { all[o/64] |= 1 << (o % 64) }
func (all *optionSet) join(more optionSet) {
	for i := range all {
		all[i] |= more[i]
	}
}
func (all *optionSet) has(o int) bool { return all[o/64]&(1<<(o%64)) != 0 }

// tyreMark is a tyre's size in the line.
type tyreMark struct {
	from, to int
	mark     size.Mark
	cost     float32
	cued     bool // holds only beside a cue: "tyre 45"
	seat     bool // a bead seat by itself: only to compare

	// how it stands in the line (scan.placeTyre)
	none    bool // it is no tyre: one of a row, of the spokes, read off a gauge
	counts  bool // it counts spokes
	into    bool // it is what another becomes (scan.turnsInto)
	changed bool // something is changed to it
	only    bool // it is the only one of the line
	ofRim   bool // it stands behind a word for the rim
	value   any  // the mark, as a bid holds it
}

// cued says that a cue of an option stands beside a value.
type cued struct {
	option   int
	val      int // index of the value
	from, to int // tokens from cue to value
	cost     float32
	weak     bool
	ahead    bool // it stands before the value
	phrase   span // the cue itself, which stays for what else it says where from and to leave it out
}

// span is the tokens from one to before another.
type span struct{ from, to int }

// scan is the state of reading one line.
type scan struct {
	r       *Reader
	line    string   // normalised
	met     []hit    // by key, all unmet between two lines
	halves  []half   // by key that calls a command
	keyed   []uint64 // by command: the tokens of keys that call it
	touched []int32  // keys of which a word was met
	lexed   []token  // as typed; its memory is used again
	tokens  []token
	matches []match
	said    optionSet // those of which the line holds a cue
	hinted  optionSet // the same of a hint
	role    []uint16  // per token: 1<<role of any one-word sense
	end     []endAt   // per token
	number  []bool    // per token: part of a value
	asked   int       // the token of an end that the line asks for, plus one; 0: none
	vals    []val
	tyres   []tyreMark
	cues    []cued
	bids    []bid
	slips   []slip
	unitOf  [quantity.Kinds]quantity.Unit // per kind: the unit typed elsewhere in the line
	claimed []int                         // per token: 1 + the token of the option whose value the end is
	axisHas [4][2]int                     // first token that names each end of each axis, -1 if none
	post    [4]bool                       // ends stand behind their values
	// numbersFirst: cues stand behind their values, "601 erd 58 pcd"
	numbersFirst bool
	before       uint64 // options of the command at hand that the last request had
	wanted       bool   // what is wanted there stands before where it is set
	steps        int

	// of the assignment (assign.go)
	arena      []state
	candidates []candidate
	most       float32                         // what a command may compete with and still win
	bar        float32                         // what an assignment of the command may cost for that
	order      []int16                         // the bids, by where they begin
	takers     []uint64                        // per bid: the commands that have a use for it
	own        []int16                         // those that the command takes
	same       [MaxTokens]float32              // per token: what leaving it out costs any command, negative if that differs
	left       [MaxTokens]float32              // per token: what leaving it out costs the command
	rest       [MaxTokens + 1]float32          // per token: the least that all from there on costs it
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
		return s.role[i]&(1<<fills|1<<ends) != 0 && (s.role[i]&(1<<cues|1<<means) == 0 || s.r.toUnit[t.text] && !s.mounts(i-1)) ||
			t.text == "to" && s.isWord(i+1, "the") && i+2 < len(s.tokens) && s.end[i+2] != (endAt{}) // "2 mm to the right"
	case mark:
		return t.text == ":" || t.text == "=" || t.text == "(" || t.text == "-" || t.text == "@" || t.text == "."
	}
	return false
}

// mounts reports whether token i is a word as "on" in "tyre on a 27 mm rim".
func (s *scan) mounts(i int) bool {
	for _, w := range [...]string{"on", "for", "with", "onto", "over", "in", "auf"} {
		if s.isWord(i, w) {
			return true
		}
	}
	return false
}

// offer appends a bid.
func (s *scan) offer(b bid) {
	if b.from >= b.to {
		return
	}
	s.bids = append(s.bids, b)
}

// sided sets the end of a bid.
func (s *scan) sided(b bid, v val, n *Numbers) bid {
	if v.pair {
		b.which = spec.Each
		return b
	}
	if w, ok := s.endOf(int(b.from), int(b.to), n.Axis); ok && !n.Any {
		b.which = w
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

// boxed lets the values of a bid stand for an end, for both or for one each.
func (s *scan) boxed(b bid, w spec.Which) bid {
	b.which = w
	if b.problem != "" {
		return b
	}
	if w != spec.Each {
		b.value2 = nil
	}
	b.boxed = true
	return b
}

// ends returns what an option reads from a bid, in the form it joins: also is set for
// the second option. Most bids lose, and what they would give is never made.
func (b *bid) ends(also bool) (spec.Ends[any], bool) {
	switch {
	case also:
		e, ok := b.value2.(spec.Ends[any])
		return e, ok
	case !b.boxed:
		e, ok := b.value.(spec.Ends[any])
		return e, ok
	}
	e := spec.Ends[any]{First: b.value, Second: b.value, Which: b.which}
	if b.which == spec.Each {
		e.Second = b.value2
	}
	return e, true
}

// bidFields reads name:"value", which is never a guess.
func (s *scan) bidFields() {
	for i, t := range s.tokens {
		if t.kind != field {
			continue
		}
		for _, o := range s.r.byName[t.text] {
			s.bidField(i, o)
		}
	}
}

// bidField lets an option bid for the field of its name. Where options share
// the name, the ones that can't read it stand back.
func (s *scan) bidField(i, o int) {
	t := s.tokens[i]
	b := bid{from: int8(i), to: int8(i + 1), option: int16(o), cost: -1}
	v, err := s.r.options[o].option.Parse(t.value)
	if err != nil {
		b.problem = err.Error()
		if u, ok := spec.AsUsage(err); ok {
			b.problem = u.Problem
		}
		if len(s.r.byName[t.text]) > 1 {
			b.cost += costMistake
		}
	}
	b.value = whole{v}
	s.offer(b)
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
		if !v.pair && v.a.Unit == quantity.NoUnit && slices.ContainsFunc(s.tokens[:v.from], func(t token) bool {
			return t.kind == field && slices.Contains(strings.FieldsFunc(t.value, func(c rune) bool { return c == ' ' || c == ';' || c == ',' }), s.tokens[v.from].text)
		}) {
			s.offer(bid{from: int8(v.from), to: int8(v.to), option: -1, cost: costRepeat}) // "118 115 98 117 kgf is the 98 bad"
		}
	}
}

// bidWheelAgain takes a wheel's name that a full size repeats: "20 inch bmx, 20x1.75".
func (s *scan) bidWheelAgain() {
	for _, m := range s.tyres {
		if m.mark.Width > 0 || m.cued || m.seat {
			continue
		}
		if slices.ContainsFunc(s.tyres, func(o tyreMark) bool {
			return o.from > m.to && o.mark.Width > 0 && s.tokens[o.from].num == s.tokens[m.from].num && s.isWord(o.from+1, "x")
		}) {
			s.offer(bid{from: int8(m.from), to: int8(m.to), option: -1, cost: costRepeat})
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

// sortBids puts the bids in the order of where they begin, those of one place
// as they were offered.
func (s *scan) sortBids() {
	var at [MaxTokens + 1]int16 // where the bids of a token go
	for i := range s.bids {
		at[s.bids[i].from+1]++
	}
	for i := 1; i < len(at); i++ {
		at[i] += at[i-1]
	}
	s.order = slices.Grow(s.order[:0], len(s.bids))[:len(s.bids)]
	s.takers = slices.Grow(s.takers[:0], len(s.bids))[:len(s.bids)]
	for i := range s.bids {
		s.takers[i] = s.takersOf(&s.bids[i])
		from := s.bids[i].from
		s.order[at[from]] = int16(i)
		at[from]++
	}
}
