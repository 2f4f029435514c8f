package read

import (
	"fmt"
	"slices"
	"strings"

	"spokeword/calc/quantity"
	"spokeword/calc/size"
	"spokeword/commands/spec"
)

// This file says what was typed and can't be meant. Nothing of that kind may
// pass for a default or be left out in silence.

// mistaken says why a bare number beside its cue can't be meant.
func mistaken(n *Numbers, m quantity.Measure) string {
	switch {
	case len(n.Habits) == 0:
		return fmt.Sprintf("%s has no unit: want %s", m, n.Kind)
	case n.Most > n.Least:
		u := n.Habits[0].Unit
		return fmt.Sprintf("%s: want %s to %s", m, n.bound(n.Least, u), n.bound(n.Most, u))
	}
	h := n.Habits[0]
	return fmt.Sprintf("%s: want %s to %s", m, quantity.Trimmed(h.From, 1), quantity.Measure{Number: h.To, Unit: h.Unit})
}

// unknownUnit finds a number with a word behind it that is a slip away from a
// unit: "24 pis", "80 stonez". Read as bare, the number could become anything.
func (s *scan) unknownUnit(best trail) *spec.UsageError {
	for _, v := range s.vals {
		if s.unitless(best, v) || v.a.Unit != quantity.NoUnit || v.to >= len(s.tokens) || s.tokens[v.to].kind != word {
			continue
		}
		t := s.tokens[v.to]
		n := len([]rune(t.text))
		if s.r.lexicon.knows(t.text) || n < 2 || n == 2 && !t.glued || n > 12 {
			continue
		}
		for _, u := range commonUnits {
			if distance(t.text, u) > 1 {
				continue
			}
			number := s.tokens[v.from].raw
			return &spec.UsageError{Problem: fmt.Sprintf("%s %s: unknown unit %q: want kg lb st, psi bar kPa, mm in, °C °F", number, t.raw, t.raw),
				Example: strings.Join(strings.Fields(strings.Replace(s.line, t.raw, u, 1)), " ")}
		}
	}
	return nil
}

// impossible finds a number that was left out because it can't be meant: a
// rider of 300 kg, anything negative but a temperature. It must be said, not
// passed over.
func (s *scan) impossible(ci int, best trail) *spec.UsageError {
	c := &s.r.commands[ci]
	example := c.spec.Example(0)
	for _, v := range s.vals {
		if !slices.Contains(best.left, v.from) {
			continue
		}
		kind := v.a.Kind()
		if v.a.Unit == quantity.G {
			continue // "1750 g wheels": no rider is told in grams
		}
		if kind == quantity.KindMass || kind == quantity.KindPressure { // lengths may be a rider's, a fork's, a ride's
			for local, o := range c.spec.Options {
				n := s.r.options[s.r.index[o]].numbers
				if n == nil || n.Kind != kind || n.Cued || n.Any || best.sets(s.r, c, local) {
					continue
				}
				if !n.holds(v.a) {
					return &spec.UsageError{Option: o.About().Name, Problem: o.About().Name + " " + n.check(v.a).Error(), Example: example}
				}
			}
		}
		if kind != quantity.KindTemperature && (v.a.Number < 0 || v.pair && v.b.Number < 0) {
			return &spec.UsageError{Problem: fmt.Sprintf("%s is negative: want a number above nought here", v.a), Example: example}
		}
	}
	return nil
}

// sets reports whether the assignment gives the command's option a value.
func (t trail) sets(r *Reader, c *command, local int) bool {
	for _, b := range t.bids {
		if b.option >= 0 && int(c.local[b.option]) == local {
			return true
		}
	}
	return false
}

// unitless reports whether a number was read as something that has no unit: a
// size, a count.
func (s *scan) unitless(best trail, v val) bool {
	for _, b := range best.bids {
		if int(b.from) <= v.from && v.from < int(b.to) && b.option >= 0 {
			if e, ok := b.ends(false); ok {
				if m, ok := e.Any().(size.Mark); ok && m.Width == 0 {
					return false // "tyre at 24 pis" is no wheel of 24 inches
				}
			}
			n := s.r.options[b.option].numbers
			return n == nil || n.Kind == quantity.Bare && !n.Any
		}
	}
	return false
}

// commonUnits are the units that slips are looked for in.
var commonUnits = []string{"kg", "lb", "lbs", "psi", "bar", "kpa", "mm", "kilos", "stone", "inch", "pounds", "kgf"}
