package read

import (
	"errors"
	"fmt"
	"math"
	"slices"
	"strings"

	"spokeword/calc/quantity"
	"spokeword/commands/spec"
)

// This file reads what somebody reads off a wheel, spoke by spoke: rows of
// tensions, and places where the rim stands off. They are found before all else
// and put into one token, as if they had been typed as a field: a row of numbers
// is nothing for the contest of single ones.

// Bounds of what is read off a wheel.
const (
	mostSpokes = 96   // readings of one row
	leastRow   = 5    // numbers that are a row without a word that says so
	leastCued  = 3    // numbers that are a row beside one
	rowAlike   = 0.75 // of a row without a cue lies within double and half of its middle
)

// Row is readings of one wheel, spoke after spoke from the valve: of both sides
// in turn or of one that was not named, or of each side.
type Row struct {
	Any         []float64
	Left, Right []float64
}

// Len returns how many readings there are.
func (r Row) Len() int { return len(r.Any) + len(r.Left) + len(r.Right) }

// Rows is the form of readings: "112 95 118 104", "L 21 20 22; R 25 24 26".
type Rows struct {
	// Cues are words before a row; of two words they announce a single reading too.
	Cues []string
	// After are units behind a reading that make it one of these; a row that has
	// one needs no cue. Where they are units of force, Unit is the option for them.
	After []string
	Unit  string
	// Stops are words behind a number that make it none of the row: "120 kgf max".
	Stops []string
	// Bare says that a row of numbers of like size is one without any word.
	Bare bool
	// Least is what a reading is at least: a smaller number behind some ends the row.
	Least float64
}

// Parse reads numbers, parted by blanks or commas, behind L or R if they are of
// one side.
func (f Rows) Parse(text string) (Row, error) {
	l := lexer{line: normalise(text), fields: noField, whole: noWhole}
	if !l.lex() {
		return Row{}, errors.New("too much: want one reading for each spoke, as: L 21 20 22; R 25 24 26")
	}
	row, to := f.parse(l.tokens)
	_, one := f.unitOf(l.tokens)
	switch {
	case !one:
		return Row{}, fmt.Errorf("%q: two units; want all readings in one, as: 112 95 118 kgf", shortened(text))
	case to < len(l.tokens) && f.brokenAt(l.tokens, 0, to) > 0:
		return Row{}, fmt.Errorf("%q: a unit behind some of them only; want it once, behind the last, as: 112 95 118 kgf", shortened(text))
	case to < len(l.tokens):
		return Row{}, fmt.Errorf("%q: want readings, as: L 21 20 22; R 25 24 26", shortened(text))
	case row.Len() == 0:
		return Row{}, errors.New("no reading: want numbers, as: 112 95 118 104")
	case row.Len() > mostSpokes:
		return Row{}, fmt.Errorf("%s readings: want at most %s", quantity.Count(row.Len()), quantity.Count(mostSpokes))
	}
	return row, nil
}

// Text writes the readings, the sides parted by a semicolon.
func (f Rows) Text(v Row) string {
	var parts []string
	for _, side := range []struct {
		name string
		all  []float64
	}{{"", v.Any}, {"L ", v.Left}, {"R ", v.Right}} {
		if len(side.all) > 0 {
			parts = append(parts, side.name+numbersText(side.all))
		}
	}
	return strings.Join(parts, "; ")
}

func (f Rows) join(e []spec.Ends[any]) any { return e[0].Any() }

func numbersText(all []float64) string {
	var b strings.Builder
	for i, v := range all {
		if i > 0 {
			b.WriteByte(' ')
		}
		b.WriteString(quantity.Exact(v))
	}
	return b.String()
}

func noField(string) bool { return false }
func noWhole(string) bool { return false }

// sideWords name the sides of a wheel in a row. A lone letter is one too.
var sideWords = map[string]spec.Which{
	"l": spec.FirstOnly, "left": spec.FirstOnly, "ls": spec.FirstOnly, "lhs": spec.FirstOnly, "nds": spec.FirstOnly, "links": spec.FirstOnly, "gauche": spec.FirstOnly, "izquierda": spec.FirstOnly, "sinistra": spec.FirstOnly,
	"li": spec.FirstOnly, "lks": spec.FirstOnly, "lh": spec.FirstOnly, "g": spec.FirstOnly, "gch": spec.FirstOnly, "izq": spec.FirstOnly, "izquierdo": spec.FirstOnly, "izda": spec.FirstOnly, "sx": spec.FirstOnly, "sin": spec.FirstOnly, "sinistro": spec.FirstOnly,
	"r": spec.SecondOnly, "right": spec.SecondOnly, "rs": spec.SecondOnly, "rhs": spec.SecondOnly, "ds": spec.SecondOnly, "rechts": spec.SecondOnly, "droite": spec.SecondOnly, "droit": spec.SecondOnly, "derecha": spec.SecondOnly, "destra": spec.SecondOnly,
	"re": spec.SecondOnly, "rts": spec.SecondOnly, "rh": spec.SecondOnly, "d": spec.SecondOnly, "dte": spec.SecondOnly, "dr": spec.SecondOnly, "der": spec.SecondOnly, "derecho": spec.SecondOnly, "dcha": spec.SecondOnly, "dx": spec.SecondOnly, "destro": spec.SecondOnly,
}

// flangeWords name a side by what sits on its flange, before "side".
var flangeWords = map[string]spec.Which{
	"disc": spec.FirstOnly, "disk": spec.FirstOnly, "rotor": spec.FirstOnly,
	"cassette": spec.SecondOnly, "sprocket": spec.SecondOnly, "freehub": spec.SecondOnly, "gear": spec.SecondOnly,
}

// sideAt reads the name of a side at token i and tells where its readings begin.
func sideAt(tokens []token, i int) (which spec.Which, to int, ok bool) {
	at := func(k int, text string) bool { return k < len(tokens) && tokens[k].text == text }
	switch {
	case tokens[i].kind != word:
		return 0, i, false
	case at(i, "non"):
		to = i + 1
		if at(to, "-") {
			to++
		}
		if !at(to, "drive") {
			return 0, i, false
		}
		which, to = spec.FirstOnly, to+1
	case at(i, "drive"):
		which, to = spec.SecondOnly, i+1
	case at(i+1, "side") && hasFlange(tokens[i].text):
		which, to = flangeWords[tokens[i].text], i+1
	default:
		if which, ok = sideWords[tokens[i].text]; !ok {
			return 0, i, false
		}
		to = i + 1
	}
	for at(to, "-") || at(to, ":") || at(to, "side") || at(to, "are") || at(to, "is") || at(to, "reads") || at(to, "read") || at(to, "says") || at(to, "shows") {
		to++
	}
	return which, to, to < len(tokens) && tokens[to].kind == number
}

func hasFlange(word string) bool { _, ok := flangeWords[word]; return ok }

// parse reads a row from the start of tokens and tells where it ends. Units
// behind the numbers are passed over.
func (f Rows) parse(tokens []token) (row Row, to int) {
	into := &row.Any
	united := false // behind a unit each further reading has its own
	for i := 0; i < len(tokens); i++ {
		t := tokens[i]
		which, next, side := sideAt(tokens, i)
		switch {
		case t.kind == number && f.stops(tokens, i, to > 0 && !united):
			return row, to
		case t.kind == number && to > 0 && t.num < f.Least:
			return row, to // "430 450 410 1.8": that is the wire
		case t.kind == number && t.num >= 0 && f.plain(tokens, i) && (!united || i+1 < len(tokens) && f.unit(tokens[i+1].text) != ""):
			*into = append(*into, t.num)
			to = i + 1
		case side:
			into = &row.Left
			if which == spec.SecondOnly {
				into = &row.Right
			}
			i = next - 1
		case t.kind == mark && (t.text == "," || t.text == ";" || t.text == ":"):
		case t.kind == word && i > 0 && tokens[i-1].kind == number && f.unit(t.text) != "":
			to, united = i+1, true
		case t.kind == word && t.text == "and" && len(*into) > 0:
		default:
			return row, to
		}
	}
	return row, to
}

// stops reports whether the number at i is none of the row: it alone has a unit
// glued to it, or a word behind it says what else it is.
func (f Rows) stops(tokens []token, i int, bare bool) bool {
	j := i + 1
	if j < len(tokens) && tokens[j].kind == word && f.unit(tokens[j].text) != "" {
		if bare && tokens[j].glued {
			return true
		}
		j++
	}
	if j >= len(tokens) || tokens[j].kind != word || !slices.Contains(f.Stops, tokens[j].text) {
		return false
	}
	next := j + 1
	for next < len(tokens) && tokens[next].kind == word && (slices.Contains(f.Stops, tokens[next].text) || tokens[next].text == "says" || tokens[next].text == "is") {
		next++
	}
	return next >= len(tokens) || tokens[next].kind != number // "108 max 130", "115 rim max 120": that announces
}

// plain reports whether the number at i is a reading: nothing is glued to it
// but a mark that parts, or a unit of the row.
func (f Rows) plain(tokens []token, i int) bool {
	if i > 0 && tokens[i].glued && tokens[i-1].kind != mark {
		return false
	}
	if i+1 == len(tokens) || !tokens[i+1].glued {
		return true
	}
	next := tokens[i+1]
	if next.kind == word {
		return f.unit(next.text) != ""
	}
	return next.kind == mark && strings.Contains(",;.?!)", next.text)
}

// unit returns the unit of the row that a word means, "" if it means none. A kg
// of tension is a kgf.
func (f Rows) unit(text string) string {
	if slices.Contains(f.After, text) {
		return text
	}
	switch u, ok := quantity.UnitNamed(text); {
	case !ok || f.Unit == "":
		return ""
	case u.Kind() == quantity.KindForce:
		return u.String()
	case u == quantity.KG:
		return quantity.KGF.String()
	}
	return ""
}

// brokenAt returns where a run of readings ends of which some have a unit and
// some have none, 0 if the row of tokens from to to is no part of such a run: a
// row of the others alone would count its spokes wrong. What a word announces
// before it is another's: "max 120 kgf 104 99 101".
func (f Rows) brokenAt(tokens []token, from, to int) int {
	if to >= len(tokens) || tokens[to].kind != number || from > 0 && tokens[from-1].kind == word && !slices.Contains(f.Cues, tokens[from-1].text) {
		return 0
	}
	at := to
	if at+2 < len(tokens) && tokens[at+1].kind == word && tokens[at+1].glued && f.unit(tokens[at+1].text) != "" && tokens[at+2].kind == number {
		at += 2 // "104 99 101 1000N 112"
		rest, n := f.parse(tokens[at:])
		if rest.Len() > 0 && f.plain(tokens, at) {
			return at + n
		}
		return 0
	}
	if unit, one := f.unitOf(tokens[from:to]); unit == "" && one {
		return 0
	}
	if rest, n := f.parse(tokens[at:]); rest.Len() >= leastCued && f.plain(tokens, at) {
		return at + n // "112 kgf 104 99 101"
	}
	return 0
}

// unitOf returns the one unit that stands in a row, "" for none, and whether
// there is no second.
func (f Rows) unitOf(tokens []token) (unit string, one bool) {
	for _, t := range tokens {
		if u := f.unit(t.text); t.kind == word && u != "" {
			if unit != "" && unit != u {
				return "", false
			}
			unit = u
		}
	}
	return unit, true
}

// Spot is how far the rim stands off at a spoke, counted from the valve.
type Spot struct {
	Spoke int             // from 1; 0: not said where
	Off   quantity.Length // positive to the right, or outwards
}

// Spots is the form of places where the rim stands off: "1 mm",
// "0.8 mm right at 5, 0.6 mm left at 12", or a reading for each spoke from the
// valve, "0.1 0.3 -0.2 0 mm".
type Spots struct {
	Numbers
	// Plus and Minus are the words for the two ways.
	Plus, Minus []string
	// Inward are cues that say the second way themselves: a flat spot.
	Inward []string
}

func (f Spots) numbers() *Numbers { return &f.Numbers }

func (f Spots) element(m quantity.Measure) any { return Spot{Off: m.Length()} }

// millimetres is a length in mm as it was typed, without what the change of
// units leaves behind the last digit.
func millimetres(l quantity.Length) float64 { return math.Round(l.MM()*1e4) / 1e4 }

func (f Spots) join(e []spec.Ends[any]) any {
	all := make([]Spot, len(e))
	for i, x := range e {
		all[i] = x.Any().(Spot)
	}
	return all
}

// spotExample is what a mistake is answered with.
const spotExample = "0.8 mm right at 5, 0.6 mm left at 12"

// Parse reads places, or a row.
func (f Spots) Parse(text string) ([]Spot, error) {
	l := lexer{line: normalise(text), fields: noField, whole: noWhole}
	if !l.lex() {
		return nil, errors.New("too much: want one reading for each spoke")
	}
	all, to := f.parse(numberTokens(l.tokens))
	switch {
	case to < len(l.tokens) || len(all) == 0:
		return nil, fmt.Errorf("%q: want how far and where, as: %s", shortened(text), f.example())
	case len(all) > mostSpokes:
		return nil, fmt.Errorf("%s readings: want at most %s", quantity.Count(len(all)), quantity.Count(mostSpokes))
	}
	for _, s := range all {
		if m := (quantity.Measure{Number: math.Abs(millimetres(s.Off)), Unit: quantity.MM}); m.SI() > f.Most {
			return nil, fmt.Errorf("%s: want at most %s", m, quantity.Length(f.Most).Short())
		}
		if s.Spoke > mostSpokes {
			return nil, fmt.Errorf("spoke %s: want at most %s, counted from the valve", quantity.Count(s.Spoke), quantity.Count(mostSpokes))
		}
	}
	return all, nil
}

func (f Spots) example() string {
	return strings.NewReplacer("right", f.Plus[0], "left", f.Minus[0]).Replace(spotExample)
}

// Text writes the places. Readings of one spoke after the other from the valve
// on are written as a row.
func (f Spots) Text(v []Spot) string {
	if len(v) == 1 && v[0].Spoke == 0 {
		return f.way(v[0].Off, true)
	}
	row := len(v) >= leastCued
	numbers := make([]float64, len(v))
	for i, s := range v {
		row = row && s.Spoke == i+1
		numbers[i] = millimetres(s.Off)
	}
	if row {
		return numbersText(numbers) + " mm"
	}
	parts := make([]string, len(v))
	for i, s := range v {
		parts[i] = f.way(s.Off, false) + " at " + quantity.Count(s.Spoke)
	}
	return strings.Join(parts, ", ")
}

// way writes how far, and to which side if that was said.
func (f Spots) way(l quantity.Length, lone bool) string {
	word := f.Plus[0]
	if l < 0 {
		word = f.Minus[0]
	}
	text := quantity.Exact(math.Abs(millimetres(l))) + " mm"
	if lone && l >= 0 {
		return text
	}
	return text + " " + word
}

// parse reads places or a row from the start of tokens and tells where they end.
func (f Spots) parse(tokens []token) (all []Spot, to int) {
	i := 0
	for i < len(tokens) {
		if tokens[i].kind == mark && len(all) > 0 && (tokens[i].text == "," || tokens[i].text == ";" || tokens[i].text == "+" || tokens[i].text == "&") ||
			tokens[i].kind == word && len(all) > 0 && (tokens[i].text == "and" || tokens[i].text == "n" || tokens[i].text == "und" || tokens[i].text == "et" || tokens[i].text == "y" || tokens[i].text == "e") {
			i++
			continue
		}
		spots, next := f.place(tokens, i)
		if len(spots) == 0 {
			break
		}
		all = append(all, spots...)
		i, to = next, next
	}
	if len(all) > 1 && !slices.ContainsFunc(all, func(s Spot) bool { return s.Spoke != 0 }) {
		for k := range all {
			all[k].Spoke = k + 1
		}
	}
	if len(all) > 1 && slices.ContainsFunc(all, func(s Spot) bool { return s.Spoke == 0 }) {
		return nil, 0 // where some are is not said
	}
	return all, to
}

// place reads "spoke 5 0.8 mm right" or "0.8 mm right at spokes 5 and 6" from
// token i.
func (f Spots) place(tokens []token, i int) (spots []Spot, to int) {
	at, j := f.at(tokens, i, false)
	if len(at) > 1 {
		return nil, 0
	}
	if j < len(tokens) && len(at) > 0 && tokens[j].kind == mark && (tokens[j].text == ":" || tokens[j].text == "=") {
		j++
	}
	sign := 1.0
	signed := false
	if w, ok := f.sign(tokens, j); ok && len(at) > 0 {
		sign, signed = w, true
		j++
	}
	if j >= len(tokens) || tokens[j].kind != number {
		return nil, 0
	}
	off := quantity.Length(tokens[j].num) * quantity.Millimetre
	j++
	if j < len(tokens) && tokens[j].kind == word {
		_, way := f.sign(tokens, j)
		if _, ok := f.sign(tokens, j+1); ok {
			way = false // "0.03 in out"
		}
		if u, ok := quantity.UnitNamed(tokens[j].text); ok && !way { // the "in" of "hop 0.8 in" is inwards
			if u.Kind() != quantity.KindLength {
				return nil, 0
			}
			off = quantity.Length(u.SI(tokens[j-1].num))
			j++
		}
	}
	for j < len(tokens) && tokens[j].kind == word && (tokens[j].text == "to" || tokens[j].text == "the" || tokens[j].text == "à" || smallWays[tokens[j].text] || tokens[j].text == "a" && j+1 < len(tokens) && tokens[j+1].kind == word || tokens[j].text == "out" && !slices.Contains(f.Plus, "out") || tokens[j].text == "off") {
		j++
	}
	// The L before a number is the side of a row that follows.
	if w, ok := f.sign(tokens, j); ok && !signed && !(len(tokens[j].text) == 1 && j+1 < len(tokens) && tokens[j+1].kind == number) {
		sign = w
		j++
	}
	off *= quantity.Length(sign)
	if len(at) > 0 {
		return []Spot{{at[0], off}}, j
	}
	where, next := f.at(tokens, j, true)
	if len(where) == 0 {
		return []Spot{{0, off}}, j
	}
	for _, n := range where {
		spots = append(spots, Spot{n, off})
	}
	return spots, next
}

// smallWays are words before the way that a rim stands off: "hacia la izquierda".
var smallWays = map[string]bool{"nach": true, "hacia": true, "la": true, "vers": true, "verso": true, "el": true, "pa": true, "para": true, "lado": true, "côté": true, "cote": true, "coté": true, "lato": true, "seite": true, "towards": true, "toward": true, "zur": true}

// at reads "at spoke 5", and if several may be, "at spokes 5, 6 and 7" or
// "at 5 to 8". Without a word before it nothing is a place.
func (f Spots) at(tokens []token, i int, several bool) (where []int, to int) {
	j, said := i, false
	for j < len(tokens) && (tokens[j].kind == word && placeWords[tokens[j].text] || tokens[j].kind == mark && (tokens[j].text == "@" || tokens[j].text == "#" || tokens[j].text == "(")) {
		said = true
		j++
	}
	whole := func(k int) (int, bool) {
		if k >= len(tokens) || tokens[k].kind != number || tokens[k].num != math.Trunc(tokens[k].num) || tokens[k].num < 1 || tokens[k].num > mostSpokes {
			return 0, false
		}
		if k+1 < len(tokens) && tokens[k+1].kind == word && tokens[k+1].glued && tokens[k+1].text != "r" && tokens[k+1].text != "l" {
			return 0, false // "at 7, 32h": holes
		}
		return int(tokens[k].num), true
	}
	if to := atValve(tokens, i); to > i {
		return []int{1}, to
	}
	n, ok := whole(j)
	if !said || !ok {
		return nil, i
	}
	where, j = append(where, n), j+1
	for several && j+1 < len(tokens) {
		t := tokens[j]
		m, ok := whole(j + 1)
		if !ok || f.measured(tokens, j+1) {
			break
		}
		if (t.text == "-" || t.text == "to" || t.text == "bis") && m > n && m-n < mostSpokes {
			for k := n + 1; k <= m; k++ {
				where = append(where, k)
			}
		} else if t.text == "," || t.text == "/" || t.text == "and" || t.text == "&" || t.text == "+" {
			where = append(where, m)
		} else {
			break
		}
		n, j = m, j+2
	}
	if j < len(tokens) && tokens[j].kind == mark && tokens[j].text == ")" {
		j++
	}
	return where, j
}

// atValve returns where "at the valve" from token i ends, i if it is not said.
// Spoke 1 is the first behind it.
func atValve(tokens []token, i int) int {
	if i >= len(tokens) || tokens[i].kind != word || !nearWords[tokens[i].text] {
		return i
	}
	j := i + 1
	if j < len(tokens) && tokens[j].kind == word && (tokens[j].text == "the" || tokens[j].text == "der" || tokens[j].text == "la" || tokens[j].text == "am") {
		j++
	}
	if j < len(tokens) && tokens[j].kind == word && valveWords[tokens[j].text] {
		return j + 1
	}
	return i
}

var (
	nearWords  = map[string]bool{"at": true, "by": true, "near": true, "beside": true, "next": true, "round": true, "around": true, "bei": true, "am": true, "beim": true, "à": true, "en": true, "alla": true}
	valveWords = map[string]bool{"valve": true, "ventil": true, "valvola": true, "válvula": true, "valvula": true}
)

// measured reports whether the number at i is a length and no place.
func (f Spots) measured(tokens []token, i int) bool {
	if i+1 >= len(tokens) {
		return false
	}
	if _, ok := f.sign(tokens, i+1); ok {
		return true
	}
	u, ok := quantity.UnitNamed(tokens[i+1].text)
	return ok && tokens[i+1].kind == word && u.Kind() == quantity.KindLength
}

func (f Spots) sign(tokens []token, i int) (float64, bool) {
	if i >= len(tokens) || tokens[i].kind != word || tokens[i].text == "in" && i+1 < len(tokens) && tokens[i+1].kind == word && placed[tokens[i+1].text] {
		return 0, false
	}
	switch {
	case slices.Contains(f.Plus, tokens[i].text):
		return 1, true
	case slices.Contains(f.Minus, tokens[i].text):
		return -1, true
	}
	return 0, false
}

// placed are words behind an "in" that is no way to stand off: "hop in one spot".
var placed = map[string]bool{"one": true, "a": true, "the": true, "this": true, "that": true, "my": true, "two": true, "some": true, "several": true, "places": true, "spots": true}

// placeWords stand before the number of a spoke.
var placeWords = map[string]bool{
	"at": true, "spoke": true, "spokes": true, "by": true, "near": true, "no": true, "nr": true, "number": true, "hole": true,
	"bei": true, "speiche": true, "rayon": true, "radio": true, "raggio": true, "au": true,
}

// Divisions is the table of a tension meter: what it reads, and the force.
type Divisions []Division

// Division is one pair of a meter's table.
type Division struct {
	Reading float64
	Force   quantity.Measure // KindForce
}

// Tables is the form of a meter's table: "20=75 kgf, 24=110 kgf".
type Tables struct{}

// mostPairs is how many pairs a table may have.
const mostPairs = 40

// Parse reads pairs of reading and force. A pair without a unit has that of the
// next that has one; none at all is kgf.
func (f Tables) Parse(text string) (Divisions, error) {
	wrong := func(found string) (Divisions, error) {
		return nil, fmt.Errorf("%q: want pairs of reading and force, as: 20=75 kgf, 24=110 kgf", shortened(found))
	}
	var d Divisions
	for part := range strings.SplitSeq(strings.ReplaceAll(text, ";", ","), ",") {
		if strings.TrimSpace(part) == "" {
			continue
		}
		reading, force, ok := strings.Cut(part, "=")
		if !ok {
			return wrong(part)
		}
		r, err := quantity.Number(strings.TrimSpace(reading))
		if err != nil || r < 0 || r > 10000 {
			return wrong(part)
		}
		m, err := quantity.ParseMeasure(strings.TrimSpace(force))
		if err != nil {
			return wrong(part)
		}
		if m.Unit == quantity.KG {
			m.Unit = quantity.KGF
		}
		if m.Unit != quantity.NoUnit && m.Kind() != quantity.KindForce || m.Number < 0 || m.Number > 20000 {
			return wrong(part)
		}
		if d = append(d, Division{r, m}); len(d) > mostPairs {
			return nil, fmt.Errorf("want at most %s pairs", quantity.Count(mostPairs))
		}
	}
	if len(d) < 2 {
		return wrong(text)
	}
	unit := quantity.KGF
	for i := len(d) - 1; i >= 0; i-- {
		if d[i].Force.Unit == quantity.NoUnit {
			d[i].Force.Unit = unit
		}
		unit = d[i].Force.Unit
	}
	slices.SortStableFunc(d, func(a, b Division) int {
		switch {
		case a.Reading < b.Reading:
			return -1
		case a.Reading > b.Reading:
			return 1
		}
		return 0
	})
	rises, falls := true, true
	for i := 1; i < len(d); i++ {
		if d[i].Reading == d[i-1].Reading {
			return nil, fmt.Errorf("%s stands there twice: want each reading once", quantity.Exact(d[i].Reading))
		}
		rises = rises && d[i].Force.SI() > d[i-1].Force.SI()
		falls = falls && d[i].Force.SI() < d[i-1].Force.SI()
	}
	if !rises && !falls {
		return nil, errors.New("goes up and down: want forces that only rise, or only fall, with the reading")
	}
	return d, nil
}

// Text writes the pairs.
func (f Tables) Text(v Divisions) string {
	parts := make([]string, len(v))
	for i, p := range v {
		parts[i] = quantity.Exact(p.Reading) + "=" + p.Force.String()
	}
	return strings.Join(parts, ", ")
}

func (f Tables) join(e []spec.Ends[any]) any { return e[0].Any() }

// gather finds rows and places among the tokens and puts each into one token, a
// field of the option that it is for.
func (r *Reader) gather(tokens []token) []token {
	if len(r.rows) == 0 && len(r.spots) == 0 {
		return tokens
	}
	numbers, rigid := 0, false
	placed := -1 // the last word of a place
	for i, t := range tokens {
		if isPlace(t) {
			placed = i
		}
		if t.kind == number {
			numbers++
		}
		rigid = rigid || t.kind == word && rigidSigns[t.text] != ""
	}
	if numbers == 1 && !rigid {
		return r.gatherOne(tokens, placed)
	}
	if numbers == 0 && !rigid {
		return tokens
	}
	out, from := tokens[:0:0], 0
	take := func(i, to int, name, value string) {
		out = append(out, tokens[from:i]...)
		out = append(out, token{kind: field, text: name, value: value, raw: rawOf(tokens[i:to])})
		from = to
	}
	run := 0 // where a run of numbers ends that is no row: no part of it is one
	for i := 0; i < len(tokens); i++ {
		if i < from || tokens[i].kind == field {
			continue
		}
		if value, to := tableAt(tokens, i); to > i && r.table != "" {
			take(i, to, r.table, value)
			continue
		}
		if value, to := rigidField(tokens, i); to > i && r.rigid != "" {
			take(i, to, r.rigid, value)
			continue
		}
		if name, value, to, ok := r.spotsAt(tokens, i, placed); ok {
			take(i, to, name, value)
			continue
		}
		if i < run {
			continue
		}
		o, value, unit, to := r.rowAt(tokens, i)
		if o != nil && o.row.Unit != "" {
			value, to = r.sided(o, value, tokens, to)
		}
		if o != nil && weighed(tokens, to) {
			o = nil // "55 62 70 78 85 96 kg 29x2.4": riders
		}
		run = to
		if o != nil {
			at := i
			if i > from && tokens[i-1].kind == word && o.cues[tokens[i-1].text] && r.onlyCue(tokens, i-1) {
				at-- // it says no more than the row does
			}
			take(at, to, o.name, value)
			if unit != "" && o.row.Unit != "" {
				out = append(out, token{kind: field, text: o.row.Unit, value: unit, raw: unit})
			}
		}
	}
	if from == 0 {
		return tokens
	}
	return append(out, tokens[from:]...)
}

// sided gives a row without sides the one that is named behind it, with nothing that
// counts between: "118 96 110 all drive side".
func (r *Reader) sided(o *rowOption, value string, tokens []token, to int) (string, int) {
	row, err := o.row.Parse(value)
	if err != nil || len(row.Left) > 0 || len(row.Right) > 0 || len(row.Any) < leastCued {
		return value, to
	}
	for i := to; i < len(tokens) && i < to+4 && tokens[i].kind == word; i++ {
		for _, m := range r.lexicon.find(tokens, i, nil) {
			for _, sn := range m.senses {
				if sn.role != ends || sn.axis != spec.LeftRight || sn.which == spec.Both || m.to < len(tokens) && tokens[m.to].kind == number {
					continue
				}
				if sn.which == spec.FirstOnly {
					row.Left, row.Any = row.Any, nil
				} else {
					row.Right, row.Any = row.Any, nil
				}
				return o.row.Text(row), m.to
			}
		}
	}
	return value, to
}

// weighed reports whether a row that ends before token to is one of weights: a unit
// of mass stands behind it, and a tyre's size in the line.
func weighed(tokens []token, to int) bool {
	mass := false
	for _, i := range [3]int{to - 1, to, to + 1} { // the last number may be left out of the row with its unit
		if i >= 0 && i < len(tokens) && tokens[i].kind == word {
			u, ok := quantity.UnitNamed(tokens[i].text)
			mass = mass || ok && u.Kind() == quantity.KindMass
		}
	}
	if !mass {
		return false
	}
	for i := 0; i+2 < len(tokens); i++ {
		if tokens[i].kind == number && tokens[i+1].kind == word && tokens[i+1].text == "x" && tokens[i+2].kind == number && tokens[i+2].num < 6 && tokens[i].num >= 12 {
			return true
		}
	}
	return false
}

// gatherOne puts the only number of a line into a field where it is a place:
// "wobble 1 mm left".
func (r *Reader) gatherOne(tokens []token, placed int) []token {
	i := slices.IndexFunc(tokens, func(t token) bool { return t.kind == number })
	name, value, to, ok := r.spotsAt(tokens, i, placed)
	if !ok {
		return tokens
	}
	out := append(tokens[:i:i], token{kind: field, text: name, value: value, raw: rawOf(tokens[i:to])})
	return append(out, tokens[to:]...)
}

// onlyCue reports whether the word at token i means nothing but what it announces:
// "meter" is a unit as well, "tension" a command.
func (r *Reader) onlyCue(tokens []token, i int) bool {
	return !slices.ContainsFunc(r.lexicon.find(tokens, i, nil), func(m match) bool {
		return slices.ContainsFunc(m.senses, func(sn sense) bool { return sn.role == calls || sn.role == means || sn.role == cues })
	}) && !slices.ContainsFunc(r.commands, func(c command) bool { return c.spec.Name == tokens[i].text })
}

func rawOf(tokens []token) string {
	var b strings.Builder
	for i, t := range tokens {
		if i > 0 && !t.glued {
			b.WriteByte(' ')
		}
		b.WriteString(t.raw)
	}
	return b.String()
}

// tableAt reads pairs of a meter's table that begin at token i: "20=75 24=110".
func tableAt(tokens []token, i int) (value string, to int) {
	pairs, to := 0, i
	var b strings.Builder
	for j := i; j+2 < len(tokens) && tokens[j].kind == number && (tokens[j+1].kind == mark && tokens[j+1].text == "=" || saysIs(tokens, j+1)) && tokens[j+2].kind == number; {
		if pairs++; pairs > 1 {
			b.WriteString(", ")
		}
		b.WriteString(quantity.Exact(tokens[j].num) + "=" + quantity.Exact(tokens[j+2].num))
		if j += 3; j < len(tokens) && tokens[j].kind == word {
			if u, ok := quantity.UnitNamed(tokens[j].text); ok && (u.Kind() == quantity.KindForce || u == quantity.KG) {
				b.WriteString(" " + u.String())
				j++
			}
		}
		to = j
		for j < len(tokens) && tokens[j].kind == mark && (tokens[j].text == "," || tokens[j].text == ";") {
			j++
		}
	}
	if pairs < 2 {
		return "", i
	}
	return b.String(), to
}

// saysIs reports whether a word for equals stands at token i before a force: "20 is
// 72 kgf".
func saysIs(tokens []token, i int) bool {
	if tokens[i].kind != word || tokens[i].text != "is" && tokens[i].text != "means" && tokens[i].text != "ist" && tokens[i].text != "es" || i+2 >= len(tokens) || tokens[i+2].kind != word {
		return false
	}
	u, ok := quantity.UnitNamed(tokens[i+2].text)
	return ok && (u.Kind() == quantity.KindForce || u == quantity.KG)
}

// cueBefore returns how many words before token i announce what an option takes.
func cueBefore(tokens []token, i int, cues map[string]bool) int {
	for i > 0 && (tokens[i-1].kind == mark && (tokens[i-1].text == ":" || tokens[i-1].text == "=") || tokens[i-1].kind == word && (tokens[i-1].text == "are" || tokens[i-1].text == "is" || tokens[i-1].text == "in" || tokens[i-1].text == "kgf")) {
		i--
	}
	switch {
	case i > 1 && tokens[i-1].kind == word && cues[tokens[i-2].text+" "+tokens[i-1].text]:
		return 2
	case i > 0 && tokens[i-1].kind == word && cues[tokens[i-1].text]:
		return 1
	}
	return 0
}

// rowAt reads a row of readings that begins at token i, and tells where the run
// of numbers ends whether it is a row or none; o is nil for none.
func (r *Reader) rowAt(tokens []token, i int) (o *rowOption, value, unit string, run int) {
	_, _, side := sideAt(tokens, i)
	if tokens[i].kind != number && !side || i > 0 && tokens[i].glued && tokens[i-1].kind != mark {
		return nil, "", "", 0
	}
	for k := range r.rows {
		o := &r.rows[k]
		row, n := o.row.parse(tokens[i:])
		if n == 0 {
			continue
		}
		to := i + n
		run = max(run, to)
		if end := o.row.brokenAt(tokens, i, to); end > 0 {
			return o, rawOf(tokens[i:end]), "", end // a mistake, and said
		}
		unit, one := o.row.unitOf(tokens[i:to])
		cue := cueBefore(tokens, i, o.cues)
		if cue == 0 && (readsBehindTable(tokens, i) || o.row.Unit != "" && i > 0 && tokens[i-1].kind == word && tokens[i-1].text == "got" && forced(tokens)) {
			cue = 1 // "rim says max 1200 N got 1150 1180 1240"
		}
		if cue == 0 && slices.ContainsFunc(r.rows, func(other rowOption) bool { return other.name != o.name && cueBefore(tokens, i, other.cues) > 0 }) {
			continue // "tone 430 450 410": announced for another
		}
		own := slices.Contains(o.row.After, unit) // "380 hz": nobody else's
		single := own || readsBehindTable(tokens, i) || cue == 2 && (slices.Contains(o.row.Cues, rawOf(tokens[i-2:i])) || ofMeter(tokens[i-2].text))
		if !single && len(row.Any)+len(row.Left)+len(row.Right) < leastCued {
			continue
		}
		all := slices.Concat(row.Any, row.Left, row.Right)
		least := leastRow
		switch {
		case single:
			least = 1
		case cue == 0 && unit == "" && alike(all) && forced(tokens):
			least = leastCued + 1
			if behindTable(tokens) {
				least = leastCued // behind a meter's table
			}
		case cue > 0 || unit != "" && (alike(all) || len(all) >= leastRow) || !one || len(row.Left) >= leastCued && len(row.Right) >= leastCued:
			least = leastCued
		}
		sided := len(row.Left) > 0 && len(row.Right) > 0 // no word behind makes that another's
		if len(all) < least || (cue == 0 && unit == "" && !sided || len(all) == 1 && !own) && r.claims(tokens, to, o) {
			continue
		}
		if !one {
			return o, rawOf(tokens[i:to]), "", to // which of them is meant can't be told: a mistake, and said
		}
		if cue == 0 && unit == "" && (!o.row.Bare || foreignUnit(tokens, to) || len(row.Any) > 0 && !alike(all)) {
			continue
		}
		return o, o.row.Text(row), unit, to
	}
	return nil, "", "", run
}

// readsBehindTable reports whether the number at token i is read off a meter whose table
// stands before: "20=72 23=98 kgf, this one reads 24".
func readsBehindTable(tokens []token, i int) bool {
	return i > 0 && tokens[i-1].kind == word && slices.Contains([]string{"reads", "says", "shows", "read", "zeigt", "indique", "marca", "segna"}, tokens[i-1].text) && behindTable(tokens[:i])
}

// behindTable reports whether a meter's table stands among the tokens.
func behindTable(tokens []token) bool {
	return slices.ContainsFunc(tokens, func(t token) bool { return t.kind == mark && t.text == "=" })
}

// ofMeter reports whether a word names what measures tension.
func ofMeter(word string) bool {
	return strings.Contains(word, "meter") || strings.HasPrefix(word, "tensi")
}

// leastNewtons is from which number on an "n" behind it is a newton.
const leastNewtons = 200

// forced reports whether a line names a unit of force: "mark 125 kgf … 131 118 127 122".
func forced(tokens []token) bool {
	for i, t := range tokens {
		newtons := t.text == "n" && t.glued && i > 0 && tokens[i-1].kind == number && tokens[i-1].num >= leastNewtons // else it is an "and"
		if t.kind != word || len(t.text) < 2 && !newtons {
			continue
		}
		if u, ok := quantity.UnitNamed(t.text); ok && u.Kind() == quantity.KindForce {
			return true
		}
	}
	return false
}

// alike reports whether numbers are of a size as readings of one side are, but
// for a spoke or two that is slack.
func alike(all []float64) bool {
	sorted := slices.Sorted(slices.Values(all))
	middle, near := sorted[len(sorted)/2], 0
	for _, v := range all {
		if v >= middle/2 && v <= 2*middle {
			near++
		}
	}
	return middle >= 1 && float64(near) >= rowAlike*float64(len(all))
}

// claims reports whether a word behind the number before token i makes it
// another option's: "18 24 36 54 72 points".
func (r *Reader) claims(tokens []token, i int, row *rowOption) bool {
	if i >= len(tokens) || tokens[i].kind != word {
		return false
	}
	if before := tokens[i-1].num; slices.Contains(spokeWords, tokens[i].text) && before > mostHoles && before < leastSpoke {
		return false // "55 103 100 spoke 4 is low": neither holes nor a length
	}
	found := r.lexicon.find(tokens, i, nil)
	if slices.Contains(row.row.Stops, tokens[i].text) && slices.ContainsFunc(found, func(m match) bool { return m.to < len(tokens) && tokens[m.to].kind == number }) {
		return false // "108 mark 130", "115 rim max 120": that announces
	}
	for _, m := range found {
		for _, sn := range m.senses {
			if sn.role == cues && r.options[sn.target].numbers != nil && r.options[sn.target].option.About().Name != row.name {
				return true
			}
		}
	}
	return false
}

// mostHoles is how many holes a wheel has at most.
const mostHoles = 72

// foreignUnit reports whether the token at i is a unit of the number before it.
func foreignUnit(tokens []token, i int) bool {
	switch {
	case i >= len(tokens):
		return false
	case tokens[i].kind == mark:
		return tokens[i].glued && strings.Contains("/%\"'", tokens[i].text)
	case tokens[i].kind != word:
		return false
	}
	_, ok := quantity.UnitNamed(tokens[i].text)
	return ok && tokens[i].text != "meter" || tokens[i].glued // the meter that reads
}

// drilledWords are said of the holes of a rim, and of no wheel out of true.
var drilledWords = map[string]bool{"drilled": true, "gebohrt": true, "percé": true, "percée": true, "perforado": true, "forato": true}

func isPlace(t token) bool { return t.kind == word && placeWords[t.text] }

// spotsAt reads places that begin at token i; the last word of a place stands at placed.
func (r *Reader) spotsAt(tokens []token, i, placed int) (name, value string, to int, ok bool) {
	t := tokens[i]
	if t.kind != number && !isPlace(t) {
		return
	}
	if i+1 < len(tokens) && tokens[i+1].glued && tokens[i+1].text == "x" {
		return // "flat spot 29x2.4": a tyre
	}
	if i > 0 && drilledWords[tokens[i-1].text] {
		return // "drilled 2.5 mm off to the left": the rim's own holes
	}
	if i > 0 && tokens[i-1].kind == word && tokens[i-1].text == "to" && t.kind == number && t.num < 0 {
		return // "18 psi garage, out to -8": it is cold there
	}
	for _, o := range r.spots {
		cued := cueBefore(tokens, i, o.cues) > 0
		small := t.kind == number && math.Abs(t.num) < 10 // "36 innen": a rim
		if k, _ := cueAmong(tokens, i, o.cues); !cued && (k == 0 || !small) && placed < i {
			continue // nothing says that it is a place
		}
		if dishOff(tokens) {
			return // the whole rim stands aside
		}
		all, n := o.form.parse(tokens[i:])
		if k, end := cueAmong(tokens, i, o.cues); k > 0 && len(all) == 1 && all[0].Spoke == 0 { // "1.5 mm wobble left at 7"
			if more, m := o.form.parse(slices.Delete(slices.Clone(tokens[i:]), k-i, end-i)); len(more) > 0 && (more[0].Spoke != 0 || more[0].Off < 0) {
				all, n, cued = more, m+end-k, true
			}
		}
		if len(all) == 0 {
			continue
		}
		if inward(tokens, i, o.form.Inward) && !o.form.says(tokens[i:i+n]) {
			for k := range all {
				all[k].Off = -all[k].Off
			}
		}
		placed := all[0].Spoke != 0
		signed := o.form.says(tokens[i : i+n])
		said := slices.ContainsFunc(tokens[i:i+n], isPlace)
		switch {
		case len(all) == 1 && !placed && cued && all[0].Off < 0: // "wobble 1 mm left"
		case len(all) == 1 && !placed:
			continue // a single number: for the contest
		case cued && (said || len(all) >= leastCued):
		case said && signed && (t.kind == number || max(all[0].Off, -all[0].Off) < mostLoose):
		default:
			continue
		}
		return o.name, o.form.Text(all), i + n, true
	}
	return "", "", 0, false
}

// mostLoose is up to which size what stands behind a place is how far the rim is
// off, where nothing else says so.
const mostLoose = 10 * quantity.Millimetre

// says reports whether a word among the tokens names one of the two ways.
func (f Spots) says(tokens []token) bool {
	return slices.ContainsFunc(tokens, func(t token) bool {
		return t.kind == word && (slices.Contains(f.Plus, t.text) || slices.Contains(f.Minus, t.text))
	})
}

// inward reports whether one of the cues ends before token i.
func inward(tokens []token, i int, cues []string) bool {
	for _, c := range cues {
		words := strings.Fields(c)
		if from := i - len(words); from >= 0 && slices.EqualFunc(tokens[from:i], words, func(t token, w string) bool { return t.text == w }) {
			return true
		}
	}
	return false
}

// cueAmong returns where one or two words that announce what an option takes
// stand behind the number at token i and its unit, 0 if none do.
func cueAmong(tokens []token, i int, cues map[string]bool) (from, to int) {
	for k := i + 1; k < len(tokens) && k <= i+2; k++ {
		if tokens[k].kind != word {
			continue
		}
		if cues[tokens[k].text] {
			to = k + 1
			for to < len(tokens) && tokens[to].kind == word && cues[tokens[to].text] {
				to++ // "3 mm lateral wobble to the left"
			}
			return k, to
		}
		if k+1 < len(tokens) && cues[tokens[k].text+" "+tokens[k+1].text] {
			return k, k + 1 // "1.5 mm out to the left"
		}
	}
	return 0, 0
}

// rowOption is an option that takes rows or places.
type rowOption struct {
	name string
	cues map[string]bool
	row  Rows
	form Spots
}

// learnRows notes which options take rows and places, and by which words.
func (r *Reader) learnRows() {
	right, left := r.lexicon.naming(spec.SecondOnly), r.lexicon.naming(spec.FirstOnly)
	cues := make(map[int]map[string]bool) // by option
	for i, o := range r.options {
		own := rowOption{name: o.option.About().Name, cues: map[string]bool{o.option.About().Name: true}}
		switch f := o.form.(type) {
		case Rows:
			own.row = f
			for _, w := range f.Cues {
				own.cues[w] = true
			}
			cues[i] = own.cues
			r.rows = append(r.rows, own)
		case Tables:
			r.table = own.name
		case Rigids:
			r.rigid = own.name
		case Spots:
			if slices.Contains(f.Plus, "right") {
				f.Plus, f.Minus = union(f.Plus, right), union(f.Minus, left)
			}
			own.form = f
			for _, w := range o.option.About().Words {
				own.cues[w.Text] = true
			}
			cues[i] = own.cues
			r.spots = append(r.spots, own)
		}
	}
	r.lexicon.announcing(cues)
}

// union returns words, and those of others that it lacks.
func union(words, others []string) []string {
	all := slices.Clone(words)
	for _, w := range others {
		if !slices.Contains(words, w) {
			all = append(all, w)
		}
	}
	return all
}
