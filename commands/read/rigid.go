package read

import (
	"fmt"
	"slices"
	"strings"

	"spokeword/calc/quantity"
	"spokeword/commands/spec"
)

// This file holds how stiff a rim's section is, as somebody gives it who has
// measured or calculated it: "EI 110/219 GJ 26".

// Rigid is how stiff a rim's section is. What was not given is 0.
type Rigid struct {
	Radial, Lateral quantity.Rigidity // E·I in the wheel's plane, and out of it
	Bending         quantity.Rigidity // E·I of which was not said which
	Twist           quantity.Rigidity // G·J
}

// Rigids is the form of the stiffness of rims to compare.
type Rigids struct{}

// Bounds of what any rim's section may have, as calc/wheel takes them.
const leastRigid, mostRigid = 0.1 * quantity.NewtonMetre2, 1e5 * quantity.NewtonMetre2

// Parse reads "EI 110/219 GJ 26, EI 130/240 GJ 33" in N·m²: radial/lateral.
func (f Rigids) Parse(text string) ([]Rigid, error) {
	l := lexer{line: normalise(text), fields: func(string) bool { return false }, whole: func(string) bool { return false }}
	if l.lex() {
		if all, n := rigidsAt(l.tokens); n == len(l.tokens) && n > 0 {
			if len(all) > maxAlternatives {
				return nil, fmt.Errorf("want at most %s rims", quantity.Count(maxAlternatives))
			}
			for _, r := range all {
				for _, v := range []quantity.Rigidity{r.Radial, r.Lateral, r.Bending, r.Twist} {
					if v != 0 && !(v >= leastRigid && v <= mostRigid) {
						return nil, fmt.Errorf("%v: want %v to %v", v, leastRigid, mostRigid)
					}
				}
			}
			return all, nil
		}
	}
	return nil, fmt.Errorf("%q: want E·I radial/lateral and G·J in N·m², as: EI 110/219 GJ 26", shortened(text))
}

// Text writes them for each rim.
func (f Rigids) Text(all []Rigid) string {
	parts := make([]string, len(all))
	for i, r := range all {
		var words []string
		put := func(format string, v ...quantity.Rigidity) {
			text := make([]any, len(v))
			for i := range v {
				if v[i] == 0 {
					return
				}
				text[i] = quantity.Exact(float64(v[i]))
			}
			words = append(words, fmt.Sprintf(format, text...))
		}
		if r.Radial != 0 && r.Lateral != 0 {
			put("EI %s/%s", r.Radial, r.Lateral)
		} else {
			put("EI radial %s", r.Radial)
			put("EI lateral %s", r.Lateral)
		}
		put("EI %s", r.Bending)
		put("GJ %s", r.Twist)
		parts[i] = strings.Join(words, " ")
	}
	return strings.Join(parts, ", ")
}

func (f Rigids) join(e []spec.Ends[any]) any { return e[0].Any() }

// The words of a section's stiffness.
var (
	rigidSigns = map[string]string{"ei": "ei", "eirad": "ei radial", "eir": "ei radial", "eilat": "ei lateral", "eil": "ei lateral", "gj": "gj"}
	rigidWays  = map[string]string{
		"radial": "radial", "rad": "radial", "radially": "radial", "vertical": "radial",
		"lateral": "lateral", "lat": "lateral", "laterally": "lateral", "sideways": "lateral", "side": "lateral",
	}
	rigidLinks = []string{"is", "of", "and", "=", ":", ",", "_", "-", "(", ")"}
	rigidParts = []string{"or", "vs", "versus", "against", ",", ";"}
)

// rigidsAt reads the stiffness of rims from the first token on, and returns how
// many tokens it took: none if there is none.
func rigidsAt(tokens []token) (all []Rigid, n int) {
	for n < len(tokens) {
		at := n
		for at > 0 && at < len(tokens) && slices.Contains(rigidParts, tokens[at].text) {
			at++
		}
		r, took := rigidAt(tokens[at:])
		if took == 0 {
			break
		}
		all, n = append(all, r), at+took
	}
	return all, n
}

// rigidAt reads that of one rim: it ends where a figure is given again.
func rigidAt(tokens []token) (r Rigid, n int) {
	if len(tokens) == 0 || tokens[0].kind != word || rigidSigns[tokens[0].text] == "" {
		return r, 0
	}
	sign, way := "", ""
	var last *quantity.Rigidity // a bending whose way was not said, to which a word may still say it
	for i := 0; i < len(tokens); {
		t := tokens[i]
		switch {
		case t.kind == word && rigidSigns[t.text] != "":
			sign, way, _ = strings.Cut(rigidSigns[t.text], " ")
			last = nil
			i++
		case t.kind == word && rigidWays[t.text] != "" && sign == "ei":
			way = rigidWays[t.text]
			if last != nil { // "EI 110 radial"
				to := r.way(way)
				if *to != 0 {
					return r, n
				}
				*to, *last, last, way = *last, 0, nil, ""
				n = i + 1
			}
			i++
		case t.kind == number && sign != "" && t.num > 0:
			v, to := rigidity(tokens, i)
			if sign == "ei" && way == "" && to+1 < len(tokens) && tokens[to].text == "/" && tokens[to+1].kind == number {
				w, end := rigidity(tokens, to+1)
				if r.Radial != 0 || r.Lateral != 0 || r.Bending != 0 {
					return r, n
				}
				if to == i+1 { // one unit serves both
					v = quantity.Rigidity(t.num) * unitOfRigid(tokens, end)
				}
				r.Radial, r.Lateral = v, w
				i, n, last = end, end, nil
				continue
			}
			put := &r.Twist
			if sign == "ei" {
				if put = r.way(way); way == "" {
					last = put
				}
			}
			if *put != 0 {
				return r, n
			}
			*put, way = v, ""
			if sign == "gj" {
				sign = ""
			}
			i, n = to, to
		case slices.Contains(rigidLinks, t.text):
			i++
		default:
			return r, n
		}
	}
	return r, n
}

// way returns the figure for a way of bending.
func (r *Rigid) way(w string) *quantity.Rigidity {
	switch w {
	case "radial":
		return &r.Radial
	case "lateral":
		return &r.Lateral
	}
	return &r.Bending
}

// rigidity reads the number at token i with its unit: N·m², or N·mm² if that
// stands there.
func rigidity(tokens []token, i int) (v quantity.Rigidity, to int) {
	to = i + 1
	unit, end := rigidUnit(tokens, to)
	return quantity.Rigidity(tokens[i].num) * unit, end
}

// unitOfRigid returns the unit that ends at token to.
func unitOfRigid(tokens []token, to int) quantity.Rigidity {
	for i := max(0, to-4); i < to; i++ {
		if u, end := rigidUnit(tokens, i); end == to && end > i {
			return u
		}
	}
	return quantity.NewtonMetre2
}

// rigidUnit reads a unit at token i: N m2, Nm², N·mm^2, Nm2.
func rigidUnit(tokens []token, i int) (u quantity.Rigidity, to int) {
	text := ""
	for to = i; to < len(tokens) && to < i+4; to++ {
		if t := tokens[to]; t.text != "^" {
			text += strings.TrimPrefix(t.text, "x") // N*m² comes as Nxm2
		}
		switch strings.ReplaceAll(text, "x", "") {
		case "nm2":
			return quantity.NewtonMetre2, to + 1
		case "nmm2":
			return quantity.NewtonMillimetre2, to + 1
		}
	}
	return quantity.NewtonMetre2, i
}

// rigidField reads the stiffness of rims that begins at token i as a field.
func rigidField(tokens []token, i int) (value string, to int) {
	if tokens[i].kind != word || rigidSigns[tokens[i].text] == "" {
		return "", i
	}
	all, n := rigidsAt(tokens[i:])
	if n == 0 {
		return "", i
	}
	return Rigids{}.Text(all), i + n
}
