package commands

import (
	"strings"

	"spokeword/calc/basis"
	"spokeword/calc/quantity"
	"spokeword/calc/size"
	"spokeword/calc/tyre"
	"spokeword/commands/reply"
	"spokeword/commands/spec"
)

// This file holds what several commands need to turn a request into the
// quantities of the models, and figures into the words of the trade. Numbers
// become text in package quantity only.

// unitOf returns the unit of that kind which the asker typed first, or the
// other one given. People are answered in their own units first.
func unitOf(r spec.Request, k quantity.Kind, otherwise quantity.Unit) quantity.Unit {
	if u := r.Shown[k]; u != quantity.NoUnit {
		return u
	}
	for _, g := range r.Given {
		switch v := g.Value.(type) {
		case measure:
			if v.Kind() == k && v.Unit != quantity.NoUnit {
				return v.Unit
			}
		case measures:
			if m := v.Any(); m.Kind() == k && m.Unit != quantity.NoUnit {
				return m.Unit
			}
		}
	}
	return otherwise
}

// pressureFirst returns the unit in which pressures are shown first.
func (d Deps) pressureFirst(r spec.Request) quantity.Unit {
	if u := r.Shown[quantity.KindPressure]; u != quantity.NoUnit {
		return u
	}
	if u, ok := quantity.UnitNamed(d.Pressure); ok && u.Kind() == quantity.KindPressure {
		return u
	}
	return unitOf(r, quantity.KindPressure, quantity.PSIUnit)
}

// has reports whether a list of words holds one.
func has(list words, word string) bool {
	for _, w := range list {
		if w == word {
			return true
		}
	}
	return false
}

// endNames are the ends of the bike, in the order in which pairs are written.
var endNames = [2]string{"front", "rear"}

// sideNames are the sides of a wheel, in the order in which pairs are written.
var sideNames = [2]string{"left", "right"}

// ofEnd returns the value for end i, 0 the first and 1 the second, and whether it was given.
func ofEnd[T any](e spec.Ends[T], i int) (T, bool) {
	if i == 0 {
		return e.First, e.HasFirst()
	}
	return e.Second, e.HasSecond()
}

// title writes a word with a capital.
func title(s string) string {
	switch {
	case s == "front": // as most are
		return "Front"
	case s == "rear":
		return "Rear"
	case s == "" || s[0] < 'a' || s[0] > 'z':
		return s
	}
	return strings.ToUpper(s[:1]) + s[1:]
}

// ask is a question back about one option, with the likely values as lines
// that complete the request.
func ask[T any](r spec.Request, a *spec.Arg[T], text string, likely ...T) reply.Reply {
	q := &reply.Ask{Option: a.Name, Text: text}
	for _, v := range likely {
		q.Choices = append(q.Choices, reply.Action{Label: a.As.Text(v), Line: spec.Set(r, a, v).Line()})
	}
	return reply.Reply{Ask: q, Lead: []string{text}}
}

// fixed is a tyre with label and bead seat, ready for the models.
type fixed struct {
	mark  size.Mark
	label quantity.Length
	seat  quantity.Length
}

// diameters are assumed for a width that came without one.
const (
	plusSeat = 584 * quantity.Millimetre
	fatSeat  = 559 * quantity.Millimetre
	bigSeat  = 622 * quantity.Millimetre
	fatLabel = 84 * quantity.Millimetre
)

// complete gives a mark that lacks its diameter the usual one of its width,
// and says so. ok is false if the mark lacks its width or names several seats.
func complete(m size.Mark) (f fixed, why string, ok bool) {
	switch {
	case m.Width == 0:
		return fixed{mark: m}, "", false
	case m.Seat != 0:
		return fixed{m, m.Width, m.Seat}, "", true
	case len(m.Seats()) > 0:
		return fixed{mark: m}, "", false
	}
	name, seat := "29", bigSeat
	switch {
	case m.Width >= fatLabel:
		name, seat = "26", fatSeat
	case m.Width > tyre.PlusFrom:
		name, seat = "27.5", plusSeat
	}
	width := strings.TrimSuffix(m.Written, " in")
	full, err := size.Parse(name + "x" + width)
	if err != nil { // a width in millimetres
		if full, err = size.Of(m.Width, seat); err != nil {
			return fixed{mark: m}, "", false
		}
	}
	return fixed{full, m.Width, seat}, "no diameter given, the usual one of this width", true
}

// askTyre asks for the tyre of which too little is known.
func askTyre(r spec.Request, m size.Mark) reply.Reply {
	if len(m.Seats()) > 1 && m.Width > 0 {
		text := m.String() + " names " + quantity.Count(len(m.Seats())) + " diameters. Which five-digit mark, as 61-622, stands on the sidewall?"
		var likely []tyres
		for _, seat := range m.Seats() {
			if full, err := size.Of(m.Width, seat); err == nil {
				likely = append(likely, spec.OneFor(full))
			}
		}
		return ask(r, tyreOption, text, likely...)
	}
	name := m.String()
	if name == "" {
		name = "29"
	}
	widths, example := []string{"2.25", "2.4", "2.6"}, "29x2.4"
	if smallWheels[name] {
		widths, example = []string{"1.75", "2.0", "2.4"}, name+"x2.0"
	}
	var likely []tyres
	for _, width := range widths {
		if full, err := size.Parse(strings.TrimSuffix(name, "+") + "x" + width); err == nil {
			likely = append(likely, spec.OneFor(full))
		}
	}
	return ask(r, tyreOption, "How wide is the tyre? The size stands on its sidewall, as "+example+" or 61-622.", likely...)
}

// smallWheels are the wheels of children's and folding bikes by their names.
var smallWheels = map[string]bool{"12": true, "14": true, "16": true, "18": true, "20": true, "24": true}

// rideOf returns the model's riding for a word.
func rideOf(word string) (tyre.Riding, bool) {
	for r := tyre.Road; r <= tyre.Snow; r++ {
		if r.String() == word {
			return r, true
		}
	}
	return 0, false
}

// misfit turns a model's refusal into the asker's mistake, with a line that works.
func misfit(option, example string, err error) error {
	return spec.Misuse(option, example, "%s", err.Error())
}

// beadAt returns how the rim of end i holds the bead, as said or from its mark.
// Where word and mark differ, and for a word that names no end, the stricter
// holds: a rim is hookless if either says so.
func beadAt(r spec.Request, i int) size.Bead {
	word, said := bead.Of(r)
	if said && word == "hookless" {
		return size.Hookless
	}
	if m, ok := rim.Of(r); ok {
		if x, ok := ofEnd(m, i); ok && x.Bead != size.UnknownBead {
			return x.Bead
		}
	}
	if said {
		return size.Hooked
	}
	return size.UnknownBead
}

// anyHookless reports whether the rim of either end is hookless.
func anyHookless(r spec.Request) bool {
	return beadAt(r, 0) == size.Hookless || beadAt(r, 1) == size.Hookless
}

// overHookless returns the first pressure named for a hookless rim that no
// such rim may see, whatever tyre is on it.
func overHookless(r spec.Request) (measure, bool) {
	said, ok := pressure.Of(r)
	if !ok {
		return measure{}, false
	}
	for i := range endNames {
		if m, ok := ofEnd(said, i); ok && beadAt(r, i) == size.Hookless && m.Gauge() > tyre.HooklessMax {
			return m, true
		}
	}
	return measure{}, false
}

// practice is the basis of what the trade does without a source.
func practice(says string) basis.Basis { return basis.Basis{Kind: basis.Practice, Says: says} }

// assumption is the basis of what was assumed for this answer.
func assumption(says string) basis.Basis { return basis.Basis{Kind: basis.Assumption, Says: says} }
