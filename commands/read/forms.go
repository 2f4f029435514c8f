package read

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"spokeword/calc/quantity"
	"spokeword/calc/size"
	"spokeword/commands/spec"
)

// This file holds the forms: how an option's value is written canonically and
// what a filled field may hold. How the same values stand in a sentence is in
// numbers.go, marks.go and words.go; the law that ties both is tested for every declared option.

// Habit is how the trade reads a bare number for an option.
type Habit struct {
	Unit     quantity.Unit
	From, To float64 // in Unit
	// Alone is what reading it so costs where no cue stands beside it; 0 means
	// it is read so only beside a cue.
	Alone float32
}

// Numbers declares an option whose value is a number with or without a unit.
type Numbers struct {
	Kind        quantity.Kind
	Any         bool // any kind of unit will do
	Habits      []Habit
	Least, Most float64   // the range in SI that can be meant at all; outside is a mistake
	Axis        spec.Axis // the two ends, if it has any
	Cued        bool      // read only beside a cue, even with its unit
	Placed      bool      // or beside an end of the bike, where another of its kind is not: "80 kg … 60 kg rear"
	Whole       bool      // whole numbers
	Loose       bool      // two numbers side by side are its pair: "22 26"
	LineEnd     bool      // the line's only end word is meant for it: "burped front … 20 psi"
	Paired      bool      // without a cue read only as two, or with its end: 36/21, 36 left
	Lesser      bool      // or with its unit where another of its kind, at least twice as large, stands in the line: "78 kg … 14.5 kg"
	Sided       bool      // a bare number without a cue only beside its end: "left 68 right 118"
	Turned      bool      // two numbers as "was 7 now 4" are its pair: the same before and after
	Behind      bool      // its cue stands behind it: "8 tyres"
	Anywhere    bool      // in a line that names it also a number with its unit that stands elsewhere: "the tape i got is 28 mm"
	Counted     string    // what it counts, as it may stand behind the number of a field: "90 rpm"
	Many        bool      // alternatives: "28 or 32"
	Said        bool      // a bare number's unit is said as an assumption, not taken as the trade's one habit
	Lone        float32   // added to Alone where the number is single, without an end
	Usual       bool      // without a cue only of a size that the trade would read so, even with its unit
	// Strict is set where a number of another kind beside its cue is this one in
	// a wrong unit, and nothing else: the command then asks for it again.
	Strict bool
	Plus   bool    // a plus sign announces it: "+12 kg"
	Named  []Named // words that mean a number
	// Joint is set where a value is one of several, in a line with an "or" or "vs".
	Joint bool
	// AloneFrom, AloneTo and AloneIn say from which to which size, in SI, and in
	// which units a number with a unit is read without a cue: 30 mm is no height
	// above the sea. AloneTo 0: there is no end.
	AloneFrom float64
	AloneTo   float64
	AloneIn   []quantity.Unit
	// Before names an option of the same kind that stands behind this one where
	// no cue tells them apart, and is meant where there is only one: "70f > 40f"
	// are the temperatures where set and where ridden.
	Before string
	// With names an option beside which this one is meant, and before those that
	// read the same words: the "33t ring" of pawls is their ratchet. In a line
	// without it the others come first.
	With string
}

// Named is a number that the trade has words for: "evens" are steps of 2 mm.
type Named struct {
	Value quantity.Measure
	Words spec.Words
}

// holds reports whether a number can be meant.
func (n *Numbers) holds(m quantity.Measure) bool {
	si := m.SI()
	return quantity.Finite(si) && (!n.Whole || m.Number == math.Trunc(m.Number)) && (n.Most <= n.Least || si >= n.Least && si <= n.Most)
}

// check says why a number can't be meant.
func (n *Numbers) check(m quantity.Measure) error {
	si := m.SI()
	switch {
	case !quantity.Finite(si):
		return fmt.Errorf("want a number")
	case n.Whole && m.Number != math.Trunc(m.Number):
		return fmt.Errorf("%s: want a whole number", m)
	case n.Most > n.Least && (si < n.Least || si > n.Most):
		return fmt.Errorf("%s: want %s to %s", m, n.bound(n.Least, m.Unit), n.bound(n.Most, m.Unit))
	}
	return nil
}

func (n *Numbers) bound(si float64, u quantity.Unit) string {
	if u == quantity.StonePound {
		u = quantity.LB
	}
	text := quantity.Trimmed(u.Number(si), 2)
	if u != quantity.NoUnit {
		text += " " + u.String()
	}
	return text
}

// one reads a number with its unit from a field. A bare number is read by the
// option's habits, as beside a cue.
func (n *Numbers) one(text string) (quantity.Measure, error) {
	if n.Counted != "" {
		text = strings.TrimSuffix(strings.TrimSpace(text), n.Counted) // "90 rpm"
	}
	m, err := quantity.ParseMeasure(text)
	if err != nil {
		return m, err
	}
	if m.Unit == quantity.NoUnit && n.Kind != quantity.Bare {
		for _, h := range n.Habits {
			if m.Number >= h.From && m.Number <= h.To {
				m.Unit = h.Unit
				break
			}
		}
	}
	if n.Strict && m.Unit != quantity.NoUnit && m.Kind() != n.Kind && quantity.Finite(m.SI()) {
		return m, nil
	}
	if m.Kind() != n.Kind && !(n.Any && m.Unit != quantity.NoUnit) {
		if m.Unit == quantity.NoUnit && len(n.Habits) > 0 && n.Most > n.Least {
			u := n.Habits[0].Unit
			return m, fmt.Errorf("%s: want %s to %s", m, n.bound(n.Least, u), n.bound(n.Most, u))
		}
		if m.Unit == quantity.NoUnit {
			return m, fmt.Errorf("%s has no unit: want %s", m, n.Kind)
		}
		return m, fmt.Errorf("%s is %s: want %s", m, m.Kind(), n.Kind)
	}
	return m, n.check(m)
}

// numeric is a form whose elements are numbers.
type numeric interface {
	numbers() *Numbers
}

// joiner makes an option's value from what was read for its ends.
type joiner interface {
	// join makes the value of one option from its elements.
	join(elements []spec.Ends[any]) any
}

// Number is the form of a single number with its unit.
type Number struct{ Numbers }

func (f Number) numbers() *Numbers { return &f.Numbers }

// Parse reads a number with its unit.
func (f Number) Parse(text string) (quantity.Measure, error) { return f.one(text) }

// Text writes a number with its unit.
func (f Number) Text(m quantity.Measure) string { return m.String() }

func (f Number) join(e []spec.Ends[any]) any { return e[0].Any() }

// Pair is the form of a number for one end or both.
type Pair struct{ Numbers }

func (f Pair) numbers() *Numbers { return &f.Numbers }

// Parse reads "22 psi", "22 psi/25 psi", "22/25 psi" or "25 psi rear".
func (f Pair) Parse(text string) (spec.Ends[quantity.Measure], error) {
	return parseEnds(text, f.Axis, func(part, last string) (quantity.Measure, error) {
		m, err := quantity.ParseMeasure(part)
		if err == nil && m.Unit == quantity.NoUnit { // "22/25 psi": the unit serves both
			if whole, err := quantity.ParseMeasure(last); err == nil && whole.Unit != quantity.NoUnit {
				part += " " + whole.Unit.String()
			}
		}
		return f.one(part)
	})
}

// Text writes one value for both ends, one for each, or one with its end.
func (f Pair) Text(v spec.Ends[quantity.Measure]) string {
	return endsText(v, f.Axis, quantity.Measure.String)
}

func (f Pair) join(e []spec.Ends[any]) any { return typed[quantity.Measure](e[0]) }

// Pairs is the form of pairs to compare: "36 mm/21 mm, 38 mm/23 mm".
type Pairs struct{ Numbers }

func (f Pairs) numbers() *Numbers { return &f.Numbers }

// Parse reads the pairs, parted by commas; each as Pair does.
func (f Pairs) Parse(text string) ([]spec.Ends[quantity.Measure], error) {
	return alternatives(text, Pair(f).Parse)
}

// Text writes the pairs, parted by commas.
func (f Pairs) Text(v []spec.Ends[quantity.Measure]) string { return listText(v, Pair(f).Text) }

func (f Pairs) join(e []spec.Ends[any]) any {
	all := make([]spec.Ends[quantity.Measure], len(e))
	for i, x := range e {
		all[i] = typed[quantity.Measure](x)
	}
	return all
}

// alternatives reads values to compare, parted by commas.
func alternatives[T any](text string, one func(string) (T, error)) ([]T, error) {
	var all []T
	for _, part := range strings.Split(text, ",") {
		v, err := one(strings.TrimSpace(part))
		if err != nil {
			return nil, err
		}
		if all = append(all, v); len(all) > maxAlternatives {
			return nil, fmt.Errorf("want at most %s to compare", quantity.Count(maxAlternatives))
		}
	}
	return all, nil
}

// listText writes values to compare, parted by commas.
func listText[T any](all []T, one func(T) string) string {
	parts := make([]string, len(all))
	for i, v := range all {
		parts[i] = one(v)
	}
	return strings.Join(parts, ", ")
}

// Counts is the form of whole numbers: alternatives, each for one end or both.
type Counts struct{ Numbers }

func (f Counts) numbers() *Numbers { return &f.Numbers }

// Parse reads "32", "36/32" or "28, 32".
func (f Counts) Parse(text string) ([]spec.Ends[int], error) {
	return alternatives(text, func(part string) (spec.Ends[int], error) {
		return parseEnds(part, f.Axis, func(part, _ string) (int, error) {
			m, err := f.one(part)
			return int(m.Number), err
		})
	})
}

// maxAlternatives is how many values are compared in one request.
const maxAlternatives = 4

// Text writes the alternatives, parted by commas.
func (f Counts) Text(v []spec.Ends[int]) string {
	return listText(v, func(e spec.Ends[int]) string { return endsText(e, f.Axis, quantity.Count) })
}

func (f Counts) join(e []spec.Ends[any]) any {
	all := make([]spec.Ends[int], len(e))
	for i, x := range e {
		m := typed[quantity.Measure](x)
		all[i] = spec.Ends[int]{First: int(m.First.Number), Second: int(m.Second.Number), Which: m.Which}
	}
	if f.Axis == spec.HubRim && len(all) == 1 && all[0].Which == spec.FirstOnly {
		all[0] = spec.OneFor(all[0].First) // a "32h hub" is for a rim of as many
	}
	return all
}

// Choice is one value of an enumeration with the words that mean it.
type Choice struct {
	Value string
	Words spec.Words
	Lone  spec.Words // words that mean it without the enumeration's noun beside them
	Keys  []string   // words that tell it from anywhere in the line, see keyring.learn
	Title string     // what it is about, in a few words; with one it is found by words too, see finder
}

// Choices declares an enumeration.
type Choices struct {
	All  []Choice
	Noun spec.Words // must stand beside a choice's Words, if there are any: "light casing"
	Axis spec.Axis
	// Placed is set where the value is an end itself: "insert rear". The Noun
	// then announces it, and Alone is the value assumed without an end.
	Placed bool
	Alone  string
	// Several is the value assumed without an end where the Noun stands in the plural.
	Several string
	// Joined is set where two values that are numbers need no more than a joint
	// between them, in a line that calls the command: "wheel 27.5 vs 29".
	Joined bool
}

func (c *Choices) one(text string) (string, error) {
	text = strings.ToLower(strings.TrimSpace(text))
	for _, x := range c.All {
		if strings.EqualFold(x.Value, text) {
			return x.Value, nil
		}
	}
	for _, x := range c.All {
		for _, words := range []spec.Words{x.Words, x.Lone} {
			for _, w := range words {
				if w.Text == text {
					return x.Value, nil
				}
			}
		}
	}
	names := make([]string, len(c.All))
	for i, x := range c.All {
		names[i] = x.Value
	}
	return "", fmt.Errorf("%q: want %s", shortened(text), strings.Join(names, ", "))
}

func shortened(s string) string {
	if r := []rune(s); len(r) > 40 {
		return string(r[:40]) + "…"
	}
	return s
}

// chooser is a form whose elements are words of an enumeration.
type chooser interface {
	choices() *Choices
	several() bool // whether several values may stand in one line
}

// OneOf is the form of one value of an enumeration.
type OneOf struct{ Choices }

func (f OneOf) choices() *Choices { return &f.Choices }
func (f OneOf) several() bool     { return false }

// Parse reads a value or a word for it.
func (f OneOf) Parse(text string) (string, error) { return f.one(text) }

// Text writes the value.
func (f OneOf) Text(v string) string { return v }

func (f OneOf) join(e []spec.Ends[any]) any {
	if f.Placed && len(e) == 1 && e[0].Which == spec.Each { // front and rear, each named
		return "both"
	}
	return e[0].Any().(string)
}

// EachOf is the form of an enumeration's value for one end or both.
type EachOf struct{ Choices }

func (f EachOf) choices() *Choices { return &f.Choices }
func (f EachOf) several() bool     { return false }

// Parse reads "light", "light/heavy" or "heavy rear".
func (f EachOf) Parse(text string) (spec.Ends[string], error) {
	return parseEnds(text, f.Axis, func(part, _ string) (string, error) { return f.one(part) })
}

// Text writes the values.
func (f EachOf) Text(v spec.Ends[string]) string {
	return endsText(v, f.Axis, func(s string) string { return s })
}

func (f EachOf) join(e []spec.Ends[any]) any { return typed[string](e[0]) }

// ListOf is the form of several values of an enumeration that are compared: "xc, trail".
type ListOf struct{ Choices }

func (f ListOf) choices() *Choices { return &f.Choices }
func (f ListOf) several() bool     { return true }

// Parse reads values parted by commas.
func (f ListOf) Parse(text string) ([]string, error) { return f.split(text, ",") }

// Text writes the values, parted by commas.
func (f ListOf) Text(v []string) string { return strings.Join(v, ", ") }

func (f ListOf) join(e []spec.Ends[any]) any { return distinct(e) }

// FeltOf is the form of several values of an enumeration that are true together,
// each for one end or both: "squirm front; strike rear".
type FeltOf struct{ Choices }

func (f FeltOf) choices() *Choices { return &f.Choices }
func (f FeltOf) several() bool     { return true }

// Parse reads values parted by commas or semicolons, each with its end, if it has one.
func (f FeltOf) Parse(text string) ([]spec.Ends[string], error) {
	var all []spec.Ends[string]
	for _, part := range strings.FieldsFunc(text, func(c rune) bool { return c == ',' || c == ';' }) {
		v, err := parseEnds(part, f.Axis, func(part, _ string) (string, error) { return f.one(part) })
		if err != nil {
			return nil, err
		}
		all = f.with(all, v)
	}
	if len(all) == 0 {
		_, err := f.one("")
		return nil, err
	}
	return all, nil
}

// Text writes the values, parted by commas, or by semicolons if one has an end.
func (f FeltOf) Text(v []spec.Ends[string]) string {
	parts, joint := make([]string, len(v)), ", "
	for i, e := range v {
		if parts[i] = endsText(e, f.Axis, func(s string) string { return s }); e.Which != spec.Both {
			joint = "; "
		}
	}
	return strings.Join(parts, joint)
}

// with appends a value once; one of each end is one for each.
func (f FeltOf) with(all []spec.Ends[string], v spec.Ends[string]) []spec.Ends[string] {
	parts := []spec.Ends[string]{v}
	if v.Which == spec.Each {
		parts = []spec.Ends[string]{{First: v.First, Second: v.First, Which: spec.FirstOnly}, {First: v.Second, Second: v.Second, Which: spec.SecondOnly}}
	}
	for _, p := range parts {
		if !slices.Contains(all, p) {
			all = append(all, p)
		}
	}
	return all
}

func (f FeltOf) join(e []spec.Ends[any]) any {
	var all []spec.Ends[string]
	for _, x := range e {
		v := typed[string](x)
		if v.Which == spec.FirstOnly {
			v.Second = v.First
		} else if v.Which == spec.SecondOnly {
			v.First = v.Second
		}
		all = f.with(all, v)
	}
	return all
}

// SetOf is the form of several values of an enumeration that hold together:
// "wet rock". They are kept in the order of the declaration.
type SetOf struct{ Choices }

func (f SetOf) choices() *Choices { return &f.Choices }
func (f SetOf) several() bool     { return true }

// Parse reads values parted by blanks or commas.
func (f SetOf) Parse(text string) ([]string, error) {
	all, err := f.split(strings.ReplaceAll(text, ",", " "), " ")
	return f.ordered(all), err
}

// Text writes the values, parted by blanks.
func (f SetOf) Text(v []string) string { return strings.Join(v, " ") }

func (f SetOf) join(e []spec.Ends[any]) any { return f.ordered(distinct(e)) }

func (c *Choices) ordered(values []string) []string {
	var out []string
	for _, x := range c.All {
		for _, v := range values {
			if v == x.Value {
				out = append(out, v)
			}
		}
	}
	return out
}

func (c *Choices) split(text, at string) ([]string, error) {
	var e []spec.Ends[any]
	for _, part := range strings.Split(text, at) {
		if strings.TrimSpace(part) == "" {
			continue
		}
		v, err := c.one(part)
		if err != nil {
			return nil, err
		}
		e = append(e, spec.OneFor[any](v))
	}
	if len(e) == 0 {
		_, err := c.one(text)
		return nil, err
	}
	return distinct(e), nil
}

func distinct(e []spec.Ends[any]) []string {
	var out []string
	for _, x := range e {
		v := x.Any().(string)
		known := false
		for _, o := range out {
			known = known || o == v
		}
		if !known {
			out = append(out, v)
		}
	}
	return out
}

// Tyres is the form of tyre marks for one end or both. A mark may lack its
// width ("29") or its diameter ("2.4 in").
type Tyres struct {
	Cued bool // read only beside a cue
	// Names is set where a wheel's name alone is as good as a size: "27.5 to 29".
	Names bool
	// Lone is set where a wheel's name by itself is that before all else: a
	// plan for "29" is no rim of 29 mm.
	Lone bool
	// Before is as of Numbers: what stands behind this where no cue tells them
	// apart, and is meant where there is only one.
	Before string
	// Named are words that mean the wheels of both ends, as "mullet".
	Named []NamedTyres
}

// NamedTyres are wheels that the trade has words for. Value is as Parse reads it.
type NamedTyres struct {
	Value string
	Words spec.Words
}

// Parse reads "29x2.4", "29x2.5/29x2.4", "2.4 in" or "61-622 rear".
func (f Tyres) Parse(text string) (spec.Ends[size.Mark], error) {
	return parseEnds(text, spec.FrontRear, func(part, _ string) (size.Mark, error) { return size.Parse(part) })
}

// Text writes the marks canonically.
func (f Tyres) Text(v spec.Ends[size.Mark]) string {
	return endsText(v, spec.FrontRear, size.Mark.String)
}

func (f Tyres) join(e []spec.Ends[any]) any {
	return typed[size.Mark](e[0])
}

// Size is the form of one tyre or rim size to compare.
type Size struct{}

// Parse reads a mark.
func (f Size) Parse(text string) (size.Mark, error) { return size.Parse(text) }

// Text writes the mark canonically.
func (f Size) Text(v size.Mark) string { return v.String() }

func (f Size) join(e []spec.Ends[any]) any { return e[0].Any() }

// Rims is the form of inner rim widths for one end or both, with diameter and
// kind where a rim mark gave them.
type Rims struct{ Numbers }

func (f Rims) numbers() *Numbers { return &f.Numbers }

// Parse reads "30 mm", "622x30TC" or "35 mm/30 mm".
func (f Rims) Parse(text string) (spec.Ends[size.RimMark], error) {
	return parseEnds(text, f.Axis, func(part, _ string) (size.RimMark, error) {
		if strings.ContainsAny(part, "xX×") {
			return size.ParseRim(part)
		}
		m, err := f.one(part)
		if err != nil {
			return size.RimMark{}, err
		}
		return rimOf(m), nil
	})
}

// Text writes widths and marks canonically.
func (f Rims) Text(v spec.Ends[size.RimMark]) string {
	return endsText(v, f.Axis, func(m size.RimMark) string {
		if m.Seat == 0 {
			return quantity.Trimmed(m.Inner.MM(), 3) + " mm"
		}
		return m.String()
	})
}

func (f Rims) join(e []spec.Ends[any]) any { return typed[size.RimMark](e[0]) }

// element turns a number that was read into a rim of that inner width.
func (f Rims) element(m quantity.Measure) any { return rimOf(m) }

// rimOf returns a rim of an inner width, in whole micrometres as Text writes
// it, so that it reads back the same whatever unit it was given in.
func rimOf(m quantity.Measure) size.RimMark {
	number, err := quantity.Number(quantity.Trimmed(m.Length().MM(), 3))
	if err != nil {
		return size.RimMark{Inner: m.Length()}
	}
	return size.RimMark{Inner: quantity.Measure{Number: number, Unit: quantity.MM}.Length()}
}

// UnitOf is the form of a unit to convert to.
type UnitOf struct{}

// Parse reads a unit.
func (f UnitOf) Parse(text string) (quantity.Unit, error) {
	u, ok := quantity.UnitNamed(strings.ToLower(strings.TrimSpace(text)))
	if !ok {
		return 0, fmt.Errorf("%q: want a unit such as psi, bar, kg, lb, mm, in", shortened(text))
	}
	return u, nil
}

// Text writes the unit's symbol.
func (f UnitOf) Text(u quantity.Unit) string { return u.String() }

func (f UnitOf) join(e []spec.Ends[any]) any { return e[0].Any() }

// Several is the form of measures to compare: "25 mm, 30 mm".
type Several struct{ Numbers }

func (f Several) numbers() *Numbers { return &f.Numbers }

// Parse reads measures, parted by commas.
func (f Several) Parse(text string) ([]quantity.Measure, error) {
	return alternatives(text, f.one)
}

// Text writes the measures, parted by commas.
func (f Several) Text(v []quantity.Measure) string { return listText(v, quantity.Measure.String) }

func (f Several) element(m quantity.Measure) any { return m }

func (f Several) join(e []spec.Ends[any]) any {
	all := make([]quantity.Measure, len(e))
	for i, x := range e {
		all[i] = x.Any().(quantity.Measure)
	}
	return all
}

// Wire is the form of a spoke's diameters, from hub to rim.
type Wire struct {
	Nouns []string // words behind a single diameter: "1.8 spokes"
}

// Butts are a spoke's diameters in millimetres: at the hub, in the middle, at the rim.
type Butts struct{ Hub, Middle, Rim float64 }

// Parse reads "2.0/1.8/2.0 mm", "2.0/1.8" or "1.8".
func (f Wire) Parse(text string) (Butts, error) {
	text = strings.TrimSpace(strings.TrimSuffix(strings.TrimSpace(text), "mm"))
	var d []float64
	for _, part := range strings.Split(text, "/") {
		v, err := quantity.Number(part)
		if err != nil || v < 0.9 || v > 3 {
			return Butts{}, fmt.Errorf("%q: want diameters such as 2.0/1.8/2.0 mm", shortened(text))
		}
		d = append(d, v)
	}
	return butts(d)
}

// Wires is the form of spokes to compare: "2.0/1.8/2.0 mm, 2.0/1.5/2.0 mm".
type Wires struct{ Wire }

// Parse reads diameters of spokes, parted by commas.
func (f Wires) Parse(text string) ([]Butts, error) {
	var all []Butts
	for part := range strings.SplitSeq(text, ",") {
		b, err := f.Wire.Parse(part)
		if err != nil {
			return nil, err
		}
		if all = append(all, b); len(all) > maxAlternatives {
			return nil, fmt.Errorf("want at most %s to compare", quantity.Count(maxAlternatives))
		}
	}
	return all, nil
}

// Text writes the spokes, parted by commas.
func (f Wires) Text(v []Butts) string {
	parts := make([]string, len(v))
	for i, b := range v {
		parts[i] = f.Wire.Text(b)
	}
	return strings.Join(parts, ", ")
}

func (f Wires) several() bool { return true }

func (f Wires) join(e []spec.Ends[any]) any {
	all := make([]Butts, len(e))
	for i, x := range e {
		all[i] = x.Any().(Butts)
	}
	return all
}

func butts(d []float64) (Butts, error) {
	switch len(d) {
	case 1:
		return Butts{d[0], d[0], d[0]}, nil
	case 2:
		return Butts{d[0], d[1], d[0]}, nil
	case 3:
		return Butts{d[0], d[1], d[2]}, nil
	}
	return Butts{}, fmt.Errorf("want one to three diameters such as 2.0/1.8/2.0 mm")
}

// Text writes the diameters.
func (f Wire) Text(b Butts) string {
	n := func(v float64) string {
		if s := quantity.Exact(v); strings.Contains(s, ".") {
			return s
		}
		return quantity.Fixed(v, 1)
	}
	return n(b.Hub) + "/" + n(b.Middle) + "/" + n(b.Rim) + " mm"
}

func (f Wire) join(e []spec.Ends[any]) any { return e[0].Any() }

// parseEnds reads "v", "v/w" or "v end". read gets a part and the last part,
// whose unit may serve both.
func parseEnds[T any](text string, axis spec.Axis, read func(part, last string) (T, error)) (spec.Ends[T], error) {
	text = strings.TrimSpace(text)
	var e spec.Ends[T]
	if axis == spec.NoAxis {
		v, err := read(text, text)
		return spec.OneFor(v), err
	}
	first, second := axis.Names()
	for which, name := range map[spec.Which]string{spec.FirstOnly: first, spec.SecondOnly: second} {
		if part, ok := strings.CutSuffix(text, " "+name); ok {
			v, err := read(strings.TrimSpace(part), part)
			e = spec.OneFor(v)
			e.Which = which
			return e, err
		}
	}
	if a, b, ok := cutPair(text); ok {
		v, err := read(a, b)
		if err != nil {
			return e, err
		}
		w, err := read(b, b)
		return spec.Ends[T]{First: v, Second: w, Which: spec.Each}, err
	}
	v, err := read(text, text)
	return spec.OneFor(v), err
}

// cutPair parts a pair at its slash; the slash of a fraction parts nothing.
func cutPair(text string) (a, b string, ok bool) {
	for i := 0; i < len(text); i++ {
		if text[i] != '/' {
			continue
		}
		if isFraction(text, i) {
			continue
		}
		a, b = strings.TrimSpace(text[:i]), strings.TrimSpace(text[i+1:])
		return a, b, a != "" && b != ""
	}
	return "", "", false
}

// isFraction reports whether the slash at i is that of an inch fraction:
// "1 3/8", a smaller number over 2, 4, 8 or 16, behind a blank or nothing.
func isFraction(text string, i int) bool {
	from := i
	for from > 0 && isDigit(text[from-1]) {
		from--
	}
	to := i + 1
	for to < len(text) && isDigit(text[to]) {
		to++
	}
	if from == i || to == i+1 || from > 0 && text[from-1] != ' ' && text[from-1] != '-' {
		return false
	}
	if from == 0 { // "5/8 in": only an inch makes it no pair
		rest := strings.TrimSpace(text[to:])
		u, ok := quantity.UnitNamed(strings.ToLower(rest))
		if !ok || u != quantity.IN || (text[i-1]-'0')%2 == 0 {
			return false
		}
	}
	return isInchFraction(text[from:i], text[i+1:to])
}

func isInchFraction(over, under string) bool {
	n, err := quantity.Number(over + "/" + under)
	return err == nil && n > 0 && n < 1
}

func endsText[T any](e spec.Ends[T], axis spec.Axis, text func(T) string) string {
	first, second := axis.Names()
	switch e.Which {
	case spec.Each:
		return text(e.First) + "/" + text(e.Second)
	case spec.FirstOnly:
		return text(e.First) + " " + first
	case spec.SecondOnly:
		return text(e.Second) + " " + second
	}
	return text(e.First)
}

// typed gives elements their type back.
func typed[T any](e spec.Ends[any]) spec.Ends[T] {
	out := spec.Ends[T]{Which: e.Which}
	if e.HasFirst() {
		out.First = e.First.(T)
	}
	if e.HasSecond() {
		out.Second = e.Second.(T)
	}
	// A value for one end only fills both fields, as Parse does.
	switch e.Which {
	case spec.FirstOnly:
		out.Second = out.First
	case spec.SecondOnly:
		out.First = out.Second
	}
	return out
}
