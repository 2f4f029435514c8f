package read

import (
	"slices"
	"strings"

	"spokeword/calc/quantity"
	"spokeword/calc/size"
	"spokeword/commands/spec"
)

// This file tells how a field is read while it is being filled: a number with
// its unit is echoed in the other system of units, an enumeration goes on with
// the values that what was typed may become.

// readings returns the ways to read the text as one number, the usual first.
func (n *Numbers) readings(text string) []quantity.Measure {
	m, err := quantity.ParseMeasure(strings.TrimSpace(text))
	if err != nil {
		return nil
	}
	if m.Unit != quantity.NoUnit || n.Kind == quantity.Bare {
		if _, err := n.one(text); err != nil {
			return nil
		}
		return []quantity.Measure{m}
	}
	var all []quantity.Measure
	add := func(u quantity.Unit) {
		with := quantity.Measure{Number: m.Number, Unit: u}
		if !slices.Contains(all, with) && n.check(with) == nil {
			all = append(all, with)
		}
	}
	for _, h := range n.Habits {
		if m.Number >= h.From && m.Number <= h.To {
			add(h.Unit)
		}
	}
	for _, h := range n.Habits { // unusual, but it can be meant
		add(h.Unit)
	}
	return all
}

// echoed makes a suggestion of a text and of what it is in other units.
func echoed(text, other string) spec.Suggestion {
	s := spec.Suggestion{Label: text, Text: text}
	if other != "" && other != text {
		s.Label += " = " + other
	}
	return s
}

// Suggest echoes the number: "82" is "82 kg = 181 lb".
func (f Number) Suggest(text string) []spec.Suggestion {
	var all []spec.Suggestion
	for _, m := range f.readings(text) {
		all = append(all, echoed(f.Text(m), m.Other()))
	}
	return all
}

// Suggest echoes the numbers, and offers one number for either end alone.
func (f Pair) Suggest(text string) []spec.Suggestion {
	var values []spec.Ends[quantity.Measure]
	if single := f.readings(text); len(single) > 0 {
		for _, m := range single {
			values = append(values, withEnds(m, f.Axis)...)
		}
	} else if v, err := f.Parse(text); err == nil {
		values = append(values, v)
	}
	var all []spec.Suggestion
	for _, v := range values {
		all = append(all, echoed(f.Text(v), endsText(v, f.Axis, quantity.Measure.Other)))
	}
	return all
}

// withEnds returns a value for both ends, and for either alone.
func withEnds[T any](v T, axis spec.Axis) []spec.Ends[T] {
	all := []spec.Ends[T]{spec.OneFor(v)}
	if axis == spec.NoAxis {
		return all
	}
	for _, which := range []spec.Which{spec.FirstOnly, spec.SecondOnly} {
		e := spec.OneFor(v)
		e.Which = which
		all = append(all, e)
	}
	return all
}

// Suggest writes the numbers as they were read.
func (f Counts) Suggest(text string) []spec.Suggestion { return parsed(f, text, nil) }

// Suggest writes the pairs as they were read.
func (f Pairs) Suggest(text string) []spec.Suggestion { return parsed(f, text, nil) }

// parsed suggests what the form reads, with what it means if that is told.
func parsed[T any](f spec.Form[T], text string, means func(T) string) []spec.Suggestion {
	v, err := f.Parse(strings.TrimSpace(text))
	if err != nil {
		return nil
	}
	other := ""
	if means != nil {
		other = means(v)
	}
	return []spec.Suggestion{echoed(f.Text(v), other)}
}

// completion is a value that a text may become, with the word by which.
type completion struct{ value, word string }

// matches returns the values that a text may become: the one it means as it
// stands, those whose name begins with it, then those with a word that does,
// then those that contain it.
func (c *Choices) matches(text string) []completion {
	text = strings.ToLower(strings.TrimSpace(text))
	var all []completion
	met := make(map[string]bool)
	add := func(value, word string) {
		if !met[value] {
			met[value] = true
			all = append(all, completion{value, word})
		}
	}
	if v, err := c.one(text); err == nil {
		add(v, text)
	}
	for _, x := range c.All {
		if strings.HasPrefix(x.Value, text) {
			add(x.Value, x.Value)
		}
	}
	for _, fits := range []func(s, part string) bool{strings.HasPrefix, strings.Contains} {
		for _, x := range c.All {
			for _, w := range slices.Concat(x.Words, x.Lone) {
				if fits(w.Text, text) {
					add(x.Value, w.Text)
					break
				}
			}
		}
	}
	return all
}

// label shows a value, and the word by which it was found if that is another.
func (m completion) label(before string) string {
	label := before + m.value
	if m.word != m.value {
		label += " (" + m.word + ")"
	}
	return label
}

// List returns the values.
func (f OneOf) List() []spec.Listed {
	all := make([]spec.Listed, len(f.All))
	for i, x := range f.All {
		all[i] = spec.Listed{Value: x.Value, Words: x.Words}
	}
	return all
}

// Suggest offers the values that the text may become.
func (f OneOf) Suggest(text string) []spec.Suggestion {
	var all []spec.Suggestion
	for _, m := range f.matches(text) {
		all = append(all, spec.Suggestion{Label: m.label(""), Text: m.value})
	}
	return all
}

// Suggest offers the values for both ends, then for either alone.
func (f EachOf) Suggest(text string) []spec.Suggestion {
	found := f.matches(text)
	if len(found) == 0 {
		return parsed(f, text, nil)
	}
	var all []spec.Suggestion
	for _, m := range found {
		all = append(all, spec.Suggestion{Label: m.label(""), Text: m.value})
	}
	for _, m := range found {
		for _, e := range withEnds(m.value, f.Axis)[1:] {
			all = append(all, echoed(f.Text(e), ""))
		}
	}
	return all
}

// Suggest keeps the values typed before the last one, and completes that.
func (f ListOf) Suggest(text string) []spec.Suggestion {
	return f.complete(text, ",", ", ", func(t string) ([]string, error) { return f.Parse(t) })
}

// Suggest keeps the values typed before the last one, and completes that.
func (f FeltOf) Suggest(text string) []spec.Suggestion {
	if v, err := f.Parse(text); err == nil {
		return []spec.Suggestion{{Label: f.Text(v), Text: f.Text(v)}}
	}
	return f.complete(strings.ReplaceAll(text, ";", ","), ",", "; ", func(t string) ([]string, error) {
		v, err := f.Parse(t)
		all := make([]string, len(v))
		for i, e := range v {
			all[i] = f.Text([]spec.Ends[string]{e})
		}
		return all, err
	})
}

// Suggest keeps the values typed before the last one, and completes that.
func (f SetOf) Suggest(text string) []spec.Suggestion {
	return f.complete(strings.ReplaceAll(text, ",", " "), " ", " ", func(t string) ([]string, error) { return f.Parse(t) })
}

// complete suggests values for the last of several, parted by at.
func (c *Choices) complete(text, at, sep string, parse func(string) ([]string, error)) []spec.Suggestion {
	text = strings.TrimLeft(text, " ")
	before, last := "", text
	if i := strings.LastIndex(text, at); i >= 0 {
		before, last = text[:i], text[i+len(at):]
	}
	var had []string
	if strings.TrimSpace(before) != "" {
		var err error
		if had, err = parse(before); err != nil {
			had, last = nil, text // perhaps one value of several words
		}
	}
	lead := ""
	if len(had) > 0 {
		lead = strings.Join(had, sep) + sep
	}
	var all []spec.Suggestion
	for _, m := range c.matches(last) {
		if !slices.Contains(had, m.value) {
			all = append(all, spec.Suggestion{Label: m.label(lead), Text: lead + m.value})
		}
	}
	return all
}

// Suggest echoes the marks in millimetres.
func (f Tyres) Suggest(text string) []spec.Suggestion {
	return parsed(f, text, func(v spec.Ends[size.Mark]) string { return endsText(v, spec.FrontRear, meant) })
}

// Suggest echoes the mark in millimetres.
func (f Size) Suggest(text string) []spec.Suggestion { return parsed(f, text, meant) }

// meant writes what a mark says, in millimetres: "61 mm on 622 mm".
func meant(m size.Mark) string {
	var seats []string
	for _, s := range m.Seats() {
		seats = append(seats, quantity.Trimmed(s.MM(), 0))
	}
	on := ""
	if len(seats) > 0 {
		on = strings.Join(seats, " or ") + " mm"
	}
	switch {
	case m.Width == 0 && on == "":
		return ""
	case m.Width == 0:
		return "bead seat " + on
	case on == "":
		return quantity.Trimmed(m.Width.MM(), 0) + " mm wide"
	}
	return quantity.Trimmed(m.Width.MM(), 0) + " mm on " + on
}

// Suggest echoes the width, and offers it for either end alone.
func (f Rims) Suggest(text string) []spec.Suggestion {
	single := f.readings(text)
	if len(single) == 0 {
		return parsed(f, text, nil)
	}
	var all []spec.Suggestion
	for _, m := range single {
		for _, e := range withEnds(rimOf(m), f.Axis) {
			all = append(all, echoed(f.Text(e), m.Other()))
		}
	}
	return all
}

// Suggest offers the units whose words begin with the text.
func (f UnitOf) Suggest(text string) []spec.Suggestion {
	text = strings.ToLower(strings.TrimSpace(text))
	var found []quantity.Unit
	for word, u := range quantity.UnitWords() {
		if strings.HasPrefix(word, text) && !slices.Contains(found, u) {
			found = append(found, u)
		}
	}
	slices.Sort(found)
	if u, ok := quantity.UnitNamed(text); ok { // just so: it goes first
		found = append([]quantity.Unit{u}, slices.DeleteFunc(found, func(o quantity.Unit) bool { return o == u })...)
	}
	var all []spec.Suggestion
	for _, u := range found {
		all = append(all, spec.Suggestion{Label: f.Text(u), Text: f.Text(u)})
	}
	return all
}

// Suggest writes the diameters as they were read.
func (f Wire) Suggest(text string) []spec.Suggestion { return parsed(f, text, nil) }

// Suggest echoes the spokes.
func (f Wires) Suggest(text string) []spec.Suggestion { return parsed(f, text, nil) }
