package commands

import (
	"fmt"
	"math/rand/v2"
	"strings"
	"testing"
	"unicode"

	"github.com/stretchr/testify/require"

	"spokeword/calc/quantity"
	"spokeword/commands/read"
	"spokeword/commands/spec"
)

// This file makes lines from the declarations: options shuffled, units and
// synonyms changed, one typing slip, a polite sentence around. Each must give
// the request it was made from. A new command or option gets this test for
// nothing, and a word declared twice for different things shows here first.

// generatedLines is how many lines are made.
const generatedLines = 10000

// saying is an option's value as somebody might say it.
type saying struct {
	option spec.Option
	text   string
	value  any
}

// sayer makes sayings, always the same ones for a seed.
type sayer struct {
	rng *rand.Rand
	// shared are cues that belong to several options of the command at hand:
	// by themselves they do not tell which is meant.
	shared  map[string]int
	several bool            // several options stand in the line at hand
	pairs   map[string]bool // cues of two words: "nipple washers"
}

func (s *sayer) pick(words spec.Words) string {
	for range 50 {
		w := words[s.rng.IntN(len(words))].Text
		if s.shared[w] <= 1 && len([]rune(w)) > 1 {
			return w
		}
	}
	return ""
}

func (s *sayer) coin() bool { return s.rng.IntN(2) == 0 }

// say says a value for an option. ok is false for options that only a field
// can hold here.
func (s *sayer) say(o spec.Option) (saying, bool) {
	cue := ""
	if words := o.About().Words; len(words) > 0 {
		cue = s.pick(words)
	}
	switch f := o.Form().(type) {
	case read.Number:
		text, m := s.number(f.Numbers)
		if f.Behind {
			return saying{o, text + " " + cue, m}, cue != ""
		}
		return saying{o, cue + " " + text, m}, cue != ""
	case read.Pair:
		if f.Any {
			return saying{}, false
		}
		text, v := s.pair(f.Numbers)
		return saying{o, cue + " " + text, v}, cue != ""
	case read.Counts:
		n := int(f.Habits[0].From) + s.rng.IntN(int(f.Habits[0].To-f.Habits[0].From)+1)
		if o.About().Name == "holes" {
			n = n / 4 * 4
		}
		suffix := map[string][]string{"holes": {"h", " holes", " spokes", " Loch"}, "cross": {"x", " cross", " crossings", "-fach"}, "points": {" points", " poe", "poe", " Rastpunkte"}, "engaging": {" points", " pts", " Rastpunkte"}}[o.About().Name]
		return saying{o, fmt.Sprint(n) + suffix[s.rng.IntN(len(suffix))], counts{spec.OneFor(n)}}, true
	case read.OneOf:
		return s.choice(o, f.Choices, func(v string) any { return v })
	case read.ListOf:
		return s.choice(o, f.Choices, func(v string) any { return words{v} })
	case read.FeltOf:
		return s.choice(o, f.Choices, func(v string) any { return []spec.Ends[string]{spec.OneFor(v)} })
	case read.SetOf:
		return s.choice(o, f.Choices, func(v string) any { return words{v} })
	case read.EachOf:
		return s.choice(o, f.Choices, func(v string) any { return spec.OneFor(v) })
	case read.Tyres:
		for _, text := range []string{[]string{"29x2.4", "29 x 2,35", "27.5x2.6", "61-622", "700x40c", "26x4.6", "29 2.25", "26 x 1 1/2", "29X2.5"}[s.rng.IntN(9)]} {
			v, err := o.Parse(strings.Replace(strings.ReplaceAll(text, ",", "."), "29 2.25", "29x2.25", 1))
			cued := f.Cued || f.Names // before or after a change: the cue tells
			if cued {
				text = cue + " " + text
			}
			return saying{o, text, v}, err == nil && !(cued && cue == "")
		}
	case read.Rims:
		inner := 19 + s.rng.IntN(20)
		v, err := o.Parse(fmt.Sprintf("%d mm", inner))
		if f.Cued {
			return saying{o, fmt.Sprintf("%s %d mm", cue, inner), v}, err == nil && cue != ""
		}
		text := []string{"%di", "%dmm rim", "%d mm inner", "%d innen", "rim %d", "i%d", "rim %d mm", "%d mm internal"}[s.rng.IntN(8)]
		return saying{o, fmt.Sprintf(text, inner), v}, err == nil
	case read.UnitOf:
		return saying{}, false
	}
	return saying{}, false
}

// number says a number of an option: bare where the trade has a habit, or in
// any unit of its kind.
func (s *sayer) number(n read.Numbers) (string, measure) {
	h := n.Habits[0]
	v := h.From + (h.To-h.From)*(0.1+0.8*s.rng.Float64())
	step := 1.0
	if h.To-h.From < 8 {
		step = 0.1
	}
	v = quantity.Nearest.Round(v, step)
	text := quantity.Trimmed(v, 2)
	v, _ = quantity.Number(text)
	m := measure{Number: v, Unit: h.Unit}
	if s.coin() && !(n.Said && s.several) { // a bare weight is read in the unit of the rest of the line
		return strings.Replace(text, ".", string(".,"[s.rng.IntN(2)]), 1), m
	}
	if alternatives := unitsLike(h.Unit); len(alternatives) > 0 && s.coin() {
		u := alternatives[s.rng.IntN(len(alternatives))]
		text = quantity.Trimmed(m.To(u).Number, 1)
		v, _ = quantity.Number(text)
		m = measure{Number: v, Unit: u}
		if n.Most > n.Least && (m.SI() < n.Least || m.SI() > n.Most) {
			m = measure{Number: h.From, Unit: h.Unit}
			text = quantity.Trimmed(h.From, 2)
		}
	}
	gap := ""
	if s.coin() && m.Unit != quantity.IN {
		gap = " "
	}
	return text + gap + m.Unit.String(), m
}

// unitsLike lists other units that people use for the same thing.
func unitsLike(u quantity.Unit) []quantity.Unit {
	switch u.Kind() {
	case quantity.KindMass:
		return []quantity.Unit{quantity.KG, quantity.LB}
	case quantity.KindPressure:
		return []quantity.Unit{quantity.PSIUnit, quantity.BarUnit, quantity.KPAUnit}
	case quantity.KindLength:
		return []quantity.Unit{quantity.MM, quantity.CM}
	case quantity.KindForce:
		return []quantity.Unit{quantity.KGF, quantity.N}
	case quantity.KindTemperature:
		return []quantity.Unit{quantity.DegC}
	}
	return nil
}

// pair says a value for both ends, one for each, or one with its end.
func (s *sayer) pair(n read.Numbers) (string, measures) {
	a, m := s.number(n)
	first, second := n.Axis.Names()
	switch s.rng.IntN(4) {
	case 0:
		v := spec.OneFor(m)
		v.Which = spec.FirstOnly
		return a + " " + first, v
	case 1:
		v := spec.OneFor(m)
		v.Which = spec.SecondOnly
		return a + " " + second, v
	case 2:
		w := m
		w.Number = m.Number - 1
		if m.Number < 3 || n.Least > 0 && w.SI() < n.Least {
			w = m
		}
		text := quantity.Trimmed(m.Number, 2) + "/" + quantity.Trimmed(w.Number, 2)
		w.Number, _ = quantity.Number(quantity.Trimmed(w.Number, 2))
		return text + " " + m.Unit.String(), measures{First: m, Second: w, Which: spec.Each}
	}
	return a, spec.OneFor(m)
}

// choice says a value of an enumeration by any of its words.
func (s *sayer) choice(o spec.Option, c read.Choices, value func(string) any) (saying, bool) {
	x := c.All[s.rng.IntN(len(c.All))]
	if c.Placed {
		if x.Value != "front" && x.Value != "rear" {
			return saying{}, false
		}
		noun := s.pick(c.Noun)
		return saying{o, noun + " " + x.Value, value(x.Value)}, noun != ""
	}
	if len(x.Words) == 0 {
		return saying{}, false
	}
	text := s.pick(x.Words)
	if len(c.Noun) > 0 {
		text += " " + s.pick(c.Noun[:4])
	}
	return saying{o, text, value(x.Value)}, text != ""
}

// polite are sentences around a line: before and behind.
var polite = [][2]string{
	{"", ""}, {"hi, ", " please"}, {"hello, could you tell me: ", ", thanks"}, {"quick question, ", ""}, {"", " pls"},
	{"Good morning! ", " Thank you!"}, {"hey mate ", " cheers"}, {"bitte ", " danke"}, {"bonjour, ", " merci"},
}

// declaredWords lists every word of the declarations, for typing slips that
// stay unambiguous.
func declaredWords(set *spec.Commands) []string {
	seen := map[string]bool{}
	add := func(words spec.Words) {
		for _, w := range words {
			for _, part := range strings.FieldsFunc(w.Text, func(c rune) bool { return !unicode.IsLetter(c) }) {
				seen[strings.ToLower(part)] = true
			}
		}
	}
	for _, c := range set.All {
		add(c.Words)
		seen[c.Name] = true
	}
	for _, o := range set.Options() {
		add(o.About().Words)
		for _, c := range choicesOf(o).All {
			add(c.Words)
			add(c.Lone)
		}
		add(choicesOf(o).Noun)
	}
	for w := range quantity.UnitWords() {
		seen[w] = true
	}
	var all []string
	for w := range seen {
		all = append(all, w)
	}
	return all
}

func choicesOf(o spec.Option) read.Choices {
	switch f := o.Form().(type) {
	case read.OneOf:
		return f.Choices
	case read.EachOf:
		return f.Choices
	case read.ListOf:
		return f.Choices
	case read.FeltOf:
		return f.Choices
	case read.SetOf:
		return f.Choices
	}
	return read.Choices{}
}

// slipped makes one typing slip in a word of the text: two neighbouring
// letters swapped, in a word of six letters or more that no other declared
// word comes near to. Words not English stay: slips are read for English ones.
func (s *sayer) slipped(text string, english map[string]bool, all []string) string {
	fields := strings.Split(text, " ")
	order := s.rng.Perm(len(fields))
	for _, i := range order {
		w := fields[i]
		if len(w) < 6 || !english[w] || strings.Contains(w, "-") {
			continue
		}
		for range 8 {
			k := 1 + s.rng.IntN(len(w)-2)
			if w[k] == w[k+1] || w[k] == '-' || w[k+1] == '-' {
				continue
			}
			slip := w[:k] + string(w[k+1]) + string(w[k]) + w[k+2:]
			if !nearAnother(slip, w, all) {
				fields[i] = slip
				return strings.Join(fields, " ")
			}
		}
	}
	return text
}

func nearAnother(slip, right string, all []string) bool {
	for _, w := range all {
		if w != right && similar(slip, w) {
			return true
		}
	}
	return false
}

// similar reports whether two words share most of their letters in place: a
// coarse test, independent of the reader's own distance.
func similar(a, b string) bool {
	if d := len(a) - len(b); d > 2 || d < -2 {
		return false
	}
	same := 0
	for i := 0; i < len(a) && i < len(b); i++ {
		if a[i] == b[i] {
			same++
		}
	}
	tail := 0
	for i := 1; i <= len(a) && i <= len(b); i++ {
		if a[len(a)-i] == b[len(b)-i] {
			tail++
		}
	}
	return max(same, tail) >= len(b)-3
}

// sharedCues counts how many options of a command a cue belongs to.
func sharedCues(c *spec.Command) map[string]int {
	n := map[string]int{}
	for _, o := range c.Options {
		for _, w := range o.About().Words {
			n[w.Text]++
		}
		for _, x := range choicesOf(o).All {
			for _, w := range x.Words {
				n[w.Text]++
			}
		}
	}
	return n
}

func TestLinesMadeFromTheDeclarations(t *testing.T) {
	set, err := New(Deps{})
	require.NoError(t, err)
	reader, err := read.New(set, func() ([]read.Saying, error) { return nil, nil })
	require.NoError(t, err)
	all := declaredWords(set)
	english := map[string]bool{}
	for _, o := range set.Options() {
		for _, w := range o.About().Words {
			if w.Lang == spec.English && !strings.Contains(w.Text, " ") {
				english[w.Text] = true
			}
		}
	}
	s := &sayer{rng: rand.New(rand.NewPCG(1, 2)), pairs: map[string]bool{}}
	for _, o := range set.Options() {
		for _, w := range o.About().Words {
			s.pairs[w.Text] = len(strings.Fields(w.Text)) == 2
		}
	}
	made, failed := 0, 0
	for made < generatedLines {
		c := set.All[s.rng.IntN(len(set.All))]
		if len(c.Options) < 2 {
			continue
		}
		s.shared = sharedCues(c)
		s.shared[c.Name] = 2 // a command's own name calls it, and asks nothing about it
		for _, o := range c.Options {
			if f, ok := o.Form().(read.OneOf); ok {
				for _, choice := range f.All {
					for _, w := range choice.Words { // "measure hub" is one of these
						if cue, ok := strings.CutPrefix(w.Text, c.Name+" "); ok {
							s.shared[cue] = 2
						}
					}
				}
			}
		}
		for _, other := range set.All {
			for _, w := range other.Words { // "air pressure" asks for a pressure
				if cue, ok := strings.CutPrefix(w.Text, c.Name+" "); ok && other != c {
					s.shared[cue] = 2
				}
			}
		}
		line, want, ok := s.line(c, english, all)
		if !ok || bothEnds(line) || strings.Contains(line, "measure straight pull") || // that asks how to
			strings.Contains(line, " psi really matter") || // a number before it is the psi's
			strings.Contains(line, "reads 2 to 1") || strings.Contains(line, "says 2 to 1") || strings.Contains(line, "shows 2 to 1") { // a meter that does
			continue
		}
		made++
		got := reader.Read(line, nil)
		if len(got.Requests) == 1 && got.Requests[0].Line() == want.Line() {
			continue
		}
		failed++
		if failed <= 40 {
			t.Errorf("Read(%q) = %s, want %s", line, told(got), want.Line())
		}
	}
	require.Zero(t, failed, "of %d lines", made)
}

// bothEnds reports whether a line names both ends side by side, as no one types
// of different things: "1.9 bar front rear insert out".
func bothEnds(line string) bool {
	return strings.Contains(line, "front rear") || strings.Contains(line, "rear front") || strings.Contains(line, "front back")
}

// line makes a line for a command from up to four of its options.
func (s *sayer) line(c *spec.Command, english map[string]bool, all []string) (string, spec.Request, bool) {
	want := spec.Request{Command: c}
	var parts []string
	chosen := s.rng.Perm(len(c.Options))[:min(len(c.Options), 1+s.rng.IntN(4))]
	s.several = len(chosen) > 1
	for _, i := range chosen {
		o := c.Options[i]
		if apart(c, want, o) {
			continue
		}
		x, ok := s.say(o)
		if !ok {
			// by name, as a form sends it
			v, err := o.Parse(o.About().Example)
			if err != nil {
				return "", want, false
			}
			x = saying{o, o.About().Name + `:"` + o.Text(v) + `"`, v}
		}
		want = want.With(spec.Given{Option: o, Value: x.value})
		parts = append(parts, x.text)
	}
	if len(parts) == 0 {
		return "", want, false
	}
	if len(parts) > 1 && s.coin() {
		i := s.rng.IntN(len(parts))
		if !strings.Contains(parts[i], ":") {
			parts[i] = s.slipped(parts[i], english, all)
		}
	}
	around := polite[s.rng.IntN(len(polite))]
	joint := []string{" ", ", "}[s.rng.IntN(2)]
	for i, next := range parts[1:] { // "top of the nipple" and "washers" would make another cue
		before, first := strings.Fields(parts[i]), strings.Fields(next)
		if joint == " " && len(before) > 0 && len(first) > 0 && s.pairs[before[len(before)-1]+" "+first[0]] {
			return "", want, false
		}
	}
	return c.Name + " " + around[0] + strings.Join(parts, joint) + around[1], want, true
}

func apart(c *spec.Command, r spec.Request, o spec.Option) bool {
	in := func(list []spec.Option, o spec.Option) bool {
		for _, x := range list {
			if x == o {
				return true
			}
		}
		return false
	}
	for _, groups := range c.Apart {
		for _, g := range r.Given {
			if in(groups[0], g.Option) && in(groups[1], o) || in(groups[1], g.Option) && in(groups[0], o) {
				return true
			}
		}
	}
	return false
}

func told(r read.Reading) string {
	switch {
	case r.Problem != nil:
		return "problem: " + r.Problem.Error()
	case r.Question != nil:
		return "question: " + r.Question.Choices[0].Line() + " or " + r.Question.Choices[1].Line()
	case len(r.Requests) == 1:
		return r.Requests[0].Line()
	}
	return fmt.Sprint(len(r.Requests), " requests")
}
