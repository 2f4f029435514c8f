package read

import (
	"cmp"
	"fmt"
	"slices"
	"strconv"
	"strings"
	"unicode"
	"unicode/utf8"

	"spokeword/calc/quantity"
	"spokeword/calc/size"
	"spokeword/commands/spec"
)

// This file holds the forms of what people name themselves: their bikes and
// parts, and the riders of a group. Names are looked for only behind a cue, so
// that no ordinary line becomes one.

// Bounds of what may be named.
const (
	longestName = 40 // characters
	nameWords   = 4  // words of a name in a sentence; a field may hold more
	mostRiders  = 40
)

// Name is the form of a name that somebody gave: "blue hardtail".
type Name struct {
	Longest int // characters; 0: 40
}

// Parse takes a name that is not too long, with at least one letter or
// digit, and tidies its blanks.
func (f Name) Parse(text string) (string, error) {
	name := strings.Join(strings.Fields(text), " ")
	switch {
	case utf8.RuneCountInString(name) > cmp.Or(f.Longest, longestName):
		return "", fmt.Errorf("%q is too long for a name: want at most %s characters", shortened(name), quantity.Count(cmp.Or(f.Longest, longestName)))
	case strings.ContainsFunc(name, func(r rune) bool { return r == '"' || !unicode.IsPrint(r) || r == utf8.RuneError }):
		return "", fmt.Errorf("%q is no name: want letters, digits and blanks", shortened(name))
	case !strings.ContainsFunc(name, func(r rune) bool { return unicode.IsLetter(r) || unicode.IsDigit(r) }):
		return "", fmt.Errorf("%q is no name: want at least one letter or digit", shortened(name))
	}
	return name, nil
}

// Text returns the name.
func (f Name) Text(v string) string { return v }

func (f Name) join(e []spec.Ends[any]) any { return e[0].Any() }

// Party is a group of riders: how many they are, or each with what was told.
// If Riders are told, Count is their number.
type Party struct {
	Count  int
	Riders []Member
}

// Member is one rider of a group.
type Member struct {
	Name   string
	Weight quantity.Measure
	Tyre   size.Mark
	Has    []string // "tubes", "tubeless", "insert", as declared for the form
}

// Riders is the form of a group: a number, or riders with their weight, tyre
// and what stands in Has. Numbers read the number.
type Riders struct {
	Numbers
	// Has are the words that a rider's part of the list may hold.
	Has []Choice
}

func (f Riders) numbers() *Numbers { return &f.Numbers }

// Parse reads "6" or "a 62 kg 29x2.35; kid 30 kg 24x2.0 tubes".
func (f Riders) Parse(text string) (Party, error) {
	if m, err := quantity.ParseMeasure(text); err == nil {
		if err := f.check(m); err != nil || m.Unit != quantity.NoUnit {
			return Party{}, fmt.Errorf("%s: want how many riders, as 6, or each as: ann 62 kg 29x2.35", m)
		}
		return Party{Count: int(m.Number)}, nil
	}
	var p Party
	for part := range strings.SplitSeq(text, ";") {
		m, err := f.member(strings.Fields(part))
		if err != nil {
			return Party{}, err
		}
		if p.Riders = append(p.Riders, m); len(p.Riders) > mostRiders {
			return Party{}, fmt.Errorf("want at most %s riders", quantity.Count(mostRiders))
		}
	}
	p.Count = len(p.Riders)
	return p, nil
}

func (f Riders) member(words []string) (Member, error) {
	wrong := func() (Member, error) {
		return Member{}, fmt.Errorf("%q is no rider: want name, weight and tyre, as: ann 62 kg 29x2.35", shortened(strings.Join(words, " ")))
	}
	if len(words) < 4 {
		return wrong()
	}
	name, err := Name{}.Parse(words[0])
	if err != nil {
		return wrong()
	}
	weight, from := massOf(words)
	if from == 0 {
		return wrong()
	}
	m := Member{Name: name, Weight: weight}
	to := len(words)
	for to > from+1 && slices.ContainsFunc(f.Has, func(c Choice) bool { return c.Value == words[to-1] }) {
		to--
	}
	m.Has = append(m.Has, words[to:]...)
	if m.Tyre, err = size.Parse(strings.Join(words[from:to], " ")); err != nil {
		return wrong()
	}
	return m, nil
}

// massOf reads the weight behind a rider's name, "62 kg" or "9 st 4 lb", and
// tells where it ends, 0 if there is none.
func massOf(words []string) (weight quantity.Measure, to int) {
	for _, to := range [2]int{5, 3} {
		if to >= len(words) {
			continue // the tyre is lacking
		}
		if m, err := quantity.ParseMeasure(strings.Join(words[1:to], " ")); err == nil && m.Kind() == quantity.KindMass {
			return m, to
		}
	}
	return quantity.Measure{}, 0
}

// Text writes the number, or the riders one behind the other.
func (f Riders) Text(p Party) string {
	if len(p.Riders) == 0 {
		return quantity.Count(p.Count)
	}
	parts := make([]string, len(p.Riders))
	for i, m := range p.Riders {
		parts[i] = strings.Join(append([]string{m.Name, m.Weight.String(), m.Tyre.String()}, m.Has...), " ")
	}
	return strings.Join(parts, "; ")
}

func (f Riders) join(e []spec.Ends[any]) any {
	m := e[0].Any().(quantity.Measure)
	return Party{Count: int(m.Number)}
}

// bidNames reads the words behind a cue of an option that is a name.
func (s *scan) bidNames() {
	s.bidFrames()
	s.bidBetween()
	for _, m := range s.matches {
		for _, sn := range m.senses {
			if sn.role != cues {
				continue
			}
			if _, ok := s.r.options[sn.target].form.(Name); ok {
				s.bidName(m, sn.target)
			}
		}
	}
}

// frame is a cue of two words between which what is named may stand: "save 21f 24r
// as winter".
type frame struct {
	last   string
	option int
}

// framed notes the cues of names that have two words.
func (r *Reader) framed(option int, text string) {
	if _, ok := r.options[option].form.(Name); !ok {
		return
	}
	if words := strings.Fields(text); len(words) == 2 {
		r.frames[words[0]] = append(r.frames[words[0]], frame{words[1], option})
	}
}

// bidFrames reads a name behind a cue whose words stand apart.
func (s *scan) bidFrames() {
	for i := range s.tokens {
		if s.tokens[i].kind != word {
			continue
		}
		for _, f := range s.r.frames[s.tokens[i].text] {
			for j := i + 2; j < len(s.tokens); j++ {
				s.steps++
				if s.isWord(j, f.last) {
					s.bidName(match{from: j, to: j + 1}, f.option)
					break
				}
			}
		}
	}
}

// nameEnds are the words with which something else begins behind a name.
var nameEnds = []string{"at", "who", "whos", "please", "pls", "but", "when", "because", "if", "what", "need", "needs", "instead", "today", "tomorrow", "half", "all", "thanks", "bitte", "porfa"}

// betweens are the words that stand before the name of a set-up, and the option that
// it is of.
var betweens = map[string]string{"use": "on", "using": "on", "take": "on", "load": "on", "save": "save", "store": "save", "remember": "save", "keep": "save"}

// pointers name nothing.
var pointers = []string{"as", "this", "that", "it", "these", "those"}

// owners stand before what is somebody's.
var owners = []string{"the", "my", "our", "his", "her"}

// bidBetween reads what stands between "use" and "setup" as the name of one that is
// kept, and between "save" and the same as that of one to keep: "use my holiday bike
// setup but today only 5 degrees", "save my winter setup fr 22 rr 25". What is saved
// needs no such word if its pressures follow: "save winter fr 22 rr 25".
func (s *scan) bidBetween() {
	for i, t := range s.tokens {
		option, ok := s.r.optionNamed(betweens[t.text])
		if t.kind != word || !ok {
			continue
		}
		at := i + 1
		for at < len(s.tokens) && s.tokens[at].kind == word && slices.Contains(owners, s.tokens[at].text) {
			at++
		}
		for j := at + 1; j < len(s.tokens) && j <= at+nameWords && s.tokens[j-1].kind == word; j++ {
			to := j + 1
			if !s.isWord(j, "setup") && !s.isWord(j, "set-up") && !s.isWord(j, "settings") {
				if i > 0 || s.r.options[option].name != "save" || j > at+2 || s.end[j] == (endAt{}) || j+1 >= len(s.tokens) || !s.number[j+1] || s.has(j-1, fills) {
					continue
				}
				to = j
			}
			if name, err := (Name{}).Parse(rawOf(s.tokens[at:j])); err == nil && !slices.Contains(pointers, name) {
				s.offer(s.boxed(bid{from: int8(i), to: int8(to), option: int16(option), cost: costNamed - rewardNamed, value: name, free: true}, spec.Both))
			}
			break
		}
	}
}

// meetingPlaces are where people meet, the last word of a place's name.
var meetingPlaces = []string{"carpark", "park", "trailhead", "cafe", "café", "shop", "gate", "lay-by", "layby", "station", "pub", "bridge", "hut", "lodge", "quarry", "church", "parkplatz", "bahnhof", "parking", "gare", "aparcamiento", "parcheggio", "stazione"}

// bidMeetingPlace reads the place of a ride: "wed ride at quarry carpark".
func (s *scan) bidMeetingPlace() {
	place, ok := s.r.the(placeOption)
	if !ok {
		return
	}
	for i := range s.tokens {
		if !s.isWord(i, "at") && !s.isWord(i, "from") && !s.isWord(i, "@") {
			continue
		}
		at := i + 1
		for s.isWord(at, "the") || s.isWord(at, "our") {
			at++
		}
		for j := at; j < len(s.tokens) && j < at+nameWords && s.tokens[j].kind == word && !s.number[j]; j++ {
			if !s.isOneOf(j, meetingPlaces) || s.isOneOf(j+1, meetingPlaces) {
				continue
			}
			if name, err := (Name{}).Parse(rawOf(s.tokens[at : j+1])); err == nil {
				s.offer(s.boxed(bid{from: int8(i), to: int8(j + 1), option: int16(place), cost: costNamed, value: name, free: true}, spec.Both))
			}
			break
		}
	}
}

func (s *scan) bidName(m match, option int) {
	if slices.ContainsFunc(s.matches, func(o match) bool { return o.from == m.from && o.to > m.to }) {
		return // "for the lot": the longer phrase says something else
	}
	at := m.to
	for at < len(s.tokens) && (s.isMark(at, ":") || s.isMark(at, "=") || s.isWord(at, "the") || s.isWord(at, "my") || s.isWord(at, "our") || s.isWord(at, "a")) {
		at++
	}
	var words []string
	for i := at; i < len(s.tokens) && i < at+nameWords && s.tokens[i].kind == word && !s.number[i]; i++ {
		s.steps++
		if i > at && slices.Contains(nameEnds, s.tokens[i].text) {
			break // "quarry gate whos in"
		}
		if i > at && s.end[i] != (endAt{}) && i+1 < len(s.tokens) && s.tokens[i+1].kind == number {
			break // "as winter hack fr 24 rr 27"
		}
		words = append(words, s.tokens[i].raw)
		name, err := Name{}.Parse(strings.Join(words, " "))
		if err != nil {
			return
		}
		b := bid{from: int8(m.from), to: int8(i + 1), option: int16(option), cost: costNamed, value: name, free: true}
		s.offer(s.boxed(b, spec.Both))
	}
}

// bidRiders reads a list of riders: "a 62 29x2.35, b 95 27.5x2.6 insert, kid 30
// 24x2.0 tubes". Only two of them in a row are a list.
func (s *scan) bidRiders() {
	for _, o := range s.r.holding.riders {
		f := s.r.options[o].form.(Riders)
		for i := 0; i < len(s.tokens); i++ {
			if i > 0 && s.tokens[i-1].kind != mark && !s.has(i-1, fills) && !s.has(i-1, calls) {
				continue
			}
			party, to, bare := s.party(f, i)
			if len(party.Riders) < 2 {
				continue
			}
			b := bid{from: int8(i), to: int8(to), option: int16(o), cost: 0.1, value: whole{party}}
			if bare {
				b.said, b.why = true, "weights without a unit are read as kg"
			}
			s.offer(b)
			i = to
		}
		s.bidWeights(o)
		s.bidTwoWeights(o)
	}
}

// peopleWords say that weights are those of a group.
var peopleWords = []string{"people", "ppl", "riders", "peeps", "lads", "kids", "fahrer", "leute", "personnes", "personas", "persone", "each"}

// fewestWeights is how many weights in a row are a group without names.
const fewestWeights = 3

// bidWeights reads a list of weights with one tyre for all: "61 75 88 102 kg, all on
// 29x2.4". The riders are called a, b, c in the order typed.
func (s *scan) bidWeights(option int) {
	on := slices.IndexFunc(s.tyres, func(t tyreMark) bool { return t.mark.Seat > 0 && t.mark.Width > 0 && !t.cued })
	if on < 0 {
		return
	}
	likely := func(v val) bool {
		kg := v.a.Number
		switch v.a.Unit {
		case quantity.NoUnit, quantity.KG:
		case quantity.LB:
			kg *= 0.4536
		default:
			return false
		}
		return !v.pair && kg >= 20 && kg <= 160
	}
	for from := 0; from < len(s.vals); from++ {
		to, united := from, quantity.NoUnit
		for to < len(s.vals) && likely(s.vals[to]) && (to == from || s.inList(s.vals[to-1].to, s.vals[to].from)) {
			if u := s.vals[to].a.Unit; u != quantity.NoUnit {
				united = u
			}
			to++
		}
		guessed := united == quantity.NoUnit
		if guessed && s.says(peopleWords...) {
			united = quantity.KG
		}
		if to-from < fewestWeights || to-from > mostRiders || united == quantity.NoUnit {
			continue
		}
		p := Party{Count: to - from}
		for i, v := range s.vals[from:to] {
			w := quantity.Measure{Number: v.a.Number, Unit: united}
			p.Riders = append(p.Riders, Member{Name: riderName(i), Weight: w, Tyre: s.tyres[on].mark})
		}
		s.steps += to - from
		first, last := s.vals[from].from, s.vals[to-1].to
		if t := s.tyres[on]; t.to <= first && s.near(t.to, first) {
			first = t.from
		} else if t.from >= last && s.near(last, t.from) {
			last = t.to
		}
		why := "called a, b, c in the order typed; one tyre for all"
		if guessed {
			why += "; weights without a unit are read as kg"
		}
		s.offer(bid{from: int8(first), to: int8(last), option: int16(option), cost: -0.4, value: whole{p}, said: true, why: why})
		from = to - 1
	}
}

// relatedWords name somebody who rides with the asker, or tell that two are asked for.
var relatedWords = []string{"her", "his", "him", "hers", "wife", "husband", "girlfriend", "boyfriend", "partner", "mate", "son", "daughter", "kid", "dad", "mum", "brother", "sister", "me", "im", "each", "both", "jeweils", "frau", "mann", "chacun", "femme", "mari", "mujer", "marido", "cada", "moglie", "marito", "ciascuno"}

// leastSecond is what the lighter of two riders weighs at least, in kilograms.
const leastSecond = 18

// bidTwoWeights reads two weights with their units and one tyre as two riders, where a
// word tells that they are two: "74kg and 95kg, 29x2.4, what for each".
func (s *scan) bidTwoWeights(option int) {
	on := slices.IndexFunc(s.tyres, func(t tyreMark) bool { return t.mark.Seat > 0 && t.mark.Width > 0 && !t.cued })
	bike, _ := s.r.the(bikeOption)
	load, _ := s.r.the(loadOption)
	if on < 0 {
		return
	}
	var two []val
	for _, v := range s.vals {
		if v.a.Kind() != quantity.KindMass || v.a.Unit == quantity.NoUnit {
			continue
		}
		if v.pair || v.plus || v.a.SI() < leastSecond || v.cued.has(bike) || v.cued.has(load) {
			return
		}
		two = append(two, v)
	}
	if len(two) != 2 || !s.says(relatedWords...) || slices.ContainsFunc(s.vals, func(v val) bool { return v.from >= two[0].to && v.to <= two[1].from }) {
		return
	}
	p := Party{Count: 2}
	from := two[0].from
	for i, v := range two {
		w := v.a
		if w.Unit == quantity.StonePound {
			w = w.To(quantity.LB)
		}
		name, at := riderName(i), v.from-1
		if s.isWord(at, "is") || s.isWord(at, "s") || s.isWord(at, "at") {
			at--
		}
		if s.isOneOf(at, relatedWords) && !s.isWord(at, "each") && !s.isWord(at, "both") {
			if name = s.tokens[at].text; name == "im" {
				name = "me"
			}
			from = min(from, at)
		}
		p.Riders = append(p.Riders, Member{Name: name, Weight: w, Tyre: s.tyres[on].mark})
	}
	if p.Riders[0].Name == p.Riders[1].Name {
		return
	}
	to := two[1].to
	clear := func(from, to int) bool { return !slices.Contains(s.number[from:to], true) }
	if t := s.tyres[on]; t.from >= to && clear(to, t.from) {
		to = t.to
	} else if t.to <= from && clear(t.to, from) {
		from = t.from
	}
	s.offer(bid{from: int8(from), to: int8(to), option: int16(option), cost: -0.4, value: whole{p}, said: true, why: "two weights, taken as two riders; one tyre for both"})
}

// near reports whether only small words and marks stand between two tokens, a few
// at most: the "all on" before the tyre of a group.
func (s *scan) near(from, to int) bool {
	for i := from; i < to; i++ {
		if !s.idle(i) && s.tokens[i].kind != mark && !s.has(i, ends) && !s.has(i, cues) && !s.has(i, hints) || s.tokens[i].kind == number {
			return false
		}
	}
	return to-from <= 4
}

// inList reports whether nothing but a comma or an "and" stands between two tokens.
func (s *scan) inList(from, to int) bool {
	for i := from; i < to; i++ {
		if !s.isMark(i, ",") && !s.isMark(i, ";") && !s.isMark(i, "/") && !s.isMark(i, "&") && !s.isAnd(i) {
			return false
		}
	}
	return true
}

// party reads riders from token i on, and returns where they end and whether a
// weight had no unit.
func (s *scan) party(f Riders, i int) (p Party, to int, bare bool) {
	to = i
	for len(p.Riders) < mostRiders {
		m, end, unitless, ok := s.member(f, i)
		if !ok {
			break
		}
		s.steps++
		p.Riders = append(p.Riders, m)
		to, bare = end, bare || unitless
		i = to + 1
		if s.isMark(to, ",") || s.isMark(to, ";") || s.isAnd(to) || s.isMark(to, "&") || s.isMark(to, "/") {
			continue
		}
		if i = to; !s.callsARider(i) {
			break
		}
	}
	p.Count = len(p.Riders)
	return p, to, bare
}

// callsARider reports whether the word at token i may be a rider's name though no
// mark parts it from the rider before: it means nothing else here, or is the asker.
func (s *scan) callsARider(i int) bool {
	return s.unknown(i) || s.isWord(i, "me") || s.isWord(i, "kid") || s.isWord(i, "ich") || s.isWord(i, "moi") || s.isWord(i, "yo") || s.isWord(i, "io")
}

func (s *scan) member(f Riders, i int) (m Member, to int, bare, ok bool) {
	if i+2 >= len(s.tokens) || s.tokens[i].kind != word {
		return m, i, false, false
	}
	at := i + 1
	if s.numberAt(at) && s.tokens[at].glued && s.numberAt(at+1) && !s.tokens[at+1].glued {
		at++ // "r1 58 kg 29x2.4"
	}
	name, err := Name{}.Parse(rawOf(s.tokens[i:at]))
	if err != nil {
		return m, i, false, false
	}
	v, ok := s.valAt(at)
	if !ok || v.pair {
		return m, i, false, false
	}
	m = Member{Name: name, Weight: v.a}
	if v.a.Unit == quantity.NoUnit {
		m.Weight.Unit, bare = quantity.KG, true
	}
	if m.Weight.Unit == quantity.StonePound {
		m.Weight = m.Weight.To(quantity.LB)
	}
	if lightest, heaviest := 10.0, 250.0; m.Weight.Kind() != quantity.KindMass || m.Weight.SI() < lightest || m.Weight.SI() > heaviest {
		return m, i, false, false
	}
	found := false
	for _, t := range s.tyres {
		if t.from == v.to && t.mark.Seat != 0 && !t.cued && (!found || t.to > to) {
			m.Tyre, to, found = t.mark, t.to, true
		}
	}
	if !found {
		return m, i, false, false
	}
	for {
		value, end, ok := s.hasAt(f, to)
		if !ok {
			return m, to, bare, true
		}
		if !slices.Contains(m.Has, value) {
			m.Has = append(m.Has, value)
		}
		to = end
	}
}

// hasAt reads one of the words that a rider's part may hold.
func (s *scan) hasAt(f Riders, i int) (string, int, bool) {
	if i >= len(s.tokens) || s.tokens[i].kind != word {
		return "", i, false
	}
	for _, c := range f.Has {
		for _, w := range c.Words {
			if w.Text == s.tokens[i].text {
				return c.Value, i + 1, true
			}
		}
	}
	return "", i, false
}

// valAt returns the number that begins at token i.
func (s *scan) valAt(i int) (val, bool) {
	for _, v := range s.vals {
		if v.from == i {
			return v, true
		}
	}
	return val{}, false
}

// riderName names a rider who was told without a name: a to z, then 27, 28.
func riderName(i int) string {
	if i < 26 {
		return string(rune('a' + i))
	}
	return strconv.Itoa(i + 1)
}
