package read

import (
	"fmt"
	"strings"

	"spokeword/commands/spec"
)

// Saying is a row of words of one language: other ways in which people say what
// is declared, or words that say nothing.
type Saying struct {
	Lang spec.Lang
	// Kind is option, hint, value, keys, command, end, fill, join, repeat, count or
	// before.
	Kind string
	// Name is the option, command or end that the words are for.
	Name string
	// Value is the choice of the option, of kind value or keys.
	Value string
	Words []string
}

// sayingEnds are the ends as rows name them.
var sayingEnds = map[string]sense{
	"front":     {role: ends, axis: spec.FrontRear, which: spec.FirstOnly},
	"rear":      {role: ends, axis: spec.FrontRear, which: spec.SecondOnly},
	"bothends":  {role: ends, axis: spec.FrontRear, which: spec.Both},
	"left":      {role: ends, axis: spec.LeftRight, which: spec.FirstOnly},
	"right":     {role: ends, axis: spec.LeftRight, which: spec.SecondOnly},
	"bothsides": {role: ends, axis: spec.LeftRight, which: spec.Both},
	"hub":       {role: ends, axis: spec.HubRim, which: spec.FirstOnly},
	"rim":       {role: ends, axis: spec.HubRim, which: spec.SecondOnly},
}

// sayingRoles are the kinds of words that belong to nothing declared.
var sayingRoles = map[string]role{"fill": fills, "join": joins, "repeat": repeats, "count": counts, "before": shadows}

// learnSayings enters the rows. A row that names nothing declared is an error.
func (r *Reader) learnSayings(rows []Saying) error {
	for _, row := range rows {
		if row.Kind == "keys" && r.learnKeys(row) {
			continue
		}
		senses := r.sensesOf(row)
		if len(senses) == 0 {
			return fmt.Errorf("words of %s: %q: nothing of that name is declared", row.Lang.Code(), strings.TrimSpace(row.Kind+" "+row.Name+" "+row.Value))
		}
		for _, w := range row.Words {
			for _, sn := range senses {
				if sn.role == cues {
					r.framed(sn.target, w)
				}
			}
			r.lexicon.enter(w, senses, false)
		}
	}
	return nil
}

// learnKeys enters the keys of a row, and reports whether there is what they tell.
func (r *Reader) learnKeys(row Saying) (found bool) {
	for _, i := range r.byName[row.Name] {
		c := r.options[i].choices
		if c == nil || !c.has(row.Value) {
			continue
		}
		found = true
		for _, text := range row.Words {
			r.keys.learn(text, key{option: int16(i), value: row.Value}, r.lexicon)
		}
	}
	return found
}

// sensesOf returns what the words of a row mean: of several options that share a
// name, in each.
func (r *Reader) sensesOf(row Saying) (all []sense) {
	if ro, ok := sayingRoles[row.Kind]; ok && row.Name == "" {
		return []sense{{role: ro}}
	}
	switch row.Kind {
	case "end":
		if sn, ok := sayingEnds[row.Name]; ok {
			all = append(all, sn)
		}
	case "command":
		for i, c := range r.set.All {
			if c.Name == row.Name {
				all = append(all, sense{role: calls, target: i})
			}
		}
	case "option", "hint":
		ro := cues
		if row.Kind == "hint" {
			ro = hints
		}
		for _, i := range r.byName[row.Name] {
			if r.options[i].choices == nil || ro == cues && len(r.options[i].choices.Noun) > 0 {
				all = append(all, sense{role: ro, target: i})
				if c := r.options[i].choices; c != nil && c.Placed {
					all = append(all, sense{role: means, target: i, lone: true})
				}
			}
		}
	case "value":
		for _, i := range r.byName[row.Name] {
			if n := r.options[i].numbers; n != nil {
				for _, named := range n.Named {
					if named.Value.String() == row.Value {
						all = append(all, sense{role: means, target: i, value: named.Value, lone: true})
					}
				}
			}
			c := r.options[i].choices
			if c == nil {
				continue
			}
			for _, choice := range c.All {
				if choice.Value == row.Value {
					all = append(all, sense{role: means, target: i, value: choice.Value, lone: len(c.Noun) == 0 || len(choice.Lone) > 0 && len(choice.Words) == 0})
				}
			}
		}
	}
	return all
}
