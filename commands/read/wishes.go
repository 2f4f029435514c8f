package read

import (
	"slices"

	"spokeword/calc/quantity"
	"spokeword/commands/spec"
)

// This file tells a pressure that is wanted from one that is there: "bloke wants
// exactly 20 psi at 2600 m".

// wishes are the words of who wants something; of two words the second follows.
var wishes = []string{"want", "wants", "wanting", "wanna", "need", "needs", "like", "likes", "should", "möchte", "moechte", "möchten", "will", "wollen", "soll", "sollen", "brauche", "braucht", "veux", "veut", "voudrais", "faut", "quiero", "quiere", "queremos", "necesito", "voglio", "vuole", "vorrei", "serve", "servono"}

// undone are words behind a wish of which the pressure is no longer what is wanted.
var undone = []string{"know", "wissen", "savoir", "saber", "sapere", "ride", "go", "set", "pump", "drop", "add"}

// farthestWish is how many words may stand between the wish and the pressure.
const farthestWish = 9

// bidWished offers the only pressure of a line of temperatures or heights, behind a
// word that wants it, as the one wanted where it is ridden.
func (s *scan) bidWished() {
	target, ok := s.r.the(targetOption)
	if !ok {
		return
	}
	at, elsewhere := -1, false
	for i, v := range s.vals {
		switch v.a.Kind() {
		case quantity.KindPressure:
			if at >= 0 {
				return
			}
			at = i
		case quantity.KindTemperature:
			elsewhere = true
		case quantity.KindLength:
			elsewhere = elsewhere || v.a.Unit == quantity.M
		case quantity.KindAngle:
			elsewhere = elsewhere || v.a.Unit == quantity.DegreeUnit
		}
	}
	if at < 0 || !elsewhere {
		return
	}
	v := s.vals[at]
	n := s.r.options[target].numbers
	for i := v.from - 1; i >= max(0, v.from-farthestWish); i-- {
		if s.tokens[i].kind != word || s.number[i] {
			continue
		}
		if slices.Contains(undone, s.tokens[i].text) {
			return
		}
		if s.tokens[i].text == "will" && !slices.ContainsFunc(s.tokens[v.to:], func(t token) bool { return t.text == "haben" }) {
			continue // "what will 25 psi read": English
		}
		if slices.Contains(wishes, s.tokens[i].text) {
			b := bid{from: int8(v.from), to: int8(v.to), option: int16(target), cost: costWished, value: v.a, value2: v.b}
			if !n.holds(v.a) || v.pair && !n.holds(v.b) {
				return
			}
			if v.pair {
				s.offer(s.boxed(b, spec.Each))
				return
			}
			s.offerSided(b, v, n)
			return
		}
	}
}
