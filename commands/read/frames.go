package read

import (
	"slices"

	"spokeword/calc/quantity"
	"spokeword/commands/spec"
)

// This file reads the widest tyre that a frame or a fork allows, which people say
// with the words for the limits of pressures: "frame book says 2.5 max".

// frameWords name a frame or a fork, or who made it.
var frameWords = []string{"frame", "frames", "fork", "forks", "rahmen", "rahmenhersteller", "gabel", "cadre", "fourche", "cuadro", "horquilla", "telaio", "forcella"}

// allowWords say how far something is allowed.
var allowWords = []string{"max", "maxi", "maximum", "maximal", "says", "say", "allows", "takes", "limit", "limited", "rated", "to", "bis", "sagt", "erlaubt", "höchstens", "dit", "jusqu'à", "accepte", "dice", "pone", "hasta", "máximo", "admite", "fino", "massimo", "omologato", "dichiara", "porta"}

// longestAllowance is how many words may stand between the frame and the width.
const longestAllowance = 6

// bidFrameLimit offers the width of a tyre behind a frame and a word that limits it.
func (s *scan) bidFrameLimit() {
	o, ok := s.r.the(framemaxOption)
	if !ok {
		return
	}
	isOf := func(i int, all []string) bool {
		return i >= 0 && i < len(s.tokens) && s.tokens[i].kind == word && slices.Contains(all, s.tokens[i].text)
	}
	for _, m := range s.tyres {
		if !m.bare() || !s.writtenAsWidth(m) {
			continue
		}
		allowed, frame := -1, false
		for i := m.from - 1; i >= max(0, m.from-longestAllowance) && !s.number[i]; i-- {
			if isOf(i, allowWords) {
				allowed = i
			}
			if isOf(i, frameWords) {
				frame = true
				break
			}
		}
		to := m.to
		if isOf(to, allowWords) && !s.isWord(to, "to") && !s.number[to] {
			to++
		}
		if !frame || allowed < 0 && to == m.to {
			continue
		}
		from := m.from
		if allowed >= 0 {
			from = allowed
		}
		s.offer(s.boxed(bid{from: int8(from), to: int8(to), option: int16(o), cost: -rewardHint, value: quantity.Measure{Number: s.tokens[m.from].num, Unit: quantity.IN}}, spec.Both))
	}
}

// mostWords are what limits a pressure without telling whose limit it is.
var mostWords = []string{"max", "maxi", "maximum", "maximal", "massimo", "máximo"}

// rimNouns name a rim, and not only how wide it is.
var rimNouns = []string{"rim", "rims", "felge", "felgen", "jante", "jantes", "llanta", "llantas", "aro", "aros", "cerchio", "cerchi"}

// bidRimLimit offers the limit directly behind a rim's width or name as the rim's:
// "hookless rim 25i max 50 psi".
func (s *scan) bidRimLimit() {
	o, ok := s.r.the(rimmaxOption)
	rim, okay := s.r.the(rimOption)
	if !ok || !okay {
		return
	}
	for at, v := range s.vals {
		i := v.from - 1
		if slices.ContainsFunc(s.cues, func(c cued) bool { return c.option == o && c.val == at }) {
			continue // "rim max 24 psi" says so itself
		}
		if v.pair || v.a.Kind() != quantity.KindPressure || i < 1 || s.tokens[i].kind != word || !slices.Contains(mostWords, s.tokens[i].text) {
			continue
		}
		named := slices.ContainsFunc(s.tokens[:i], func(t token) bool { return t.kind == word && slices.Contains(rimNouns, t.text) }) || slices.ContainsFunc(s.matches, func(m match) bool {
			return m.to <= i && slices.ContainsFunc(m.senses, func(sn sense) bool { return sn.role == means && s.r.options[sn.target].name == "bead" })
		})
		ofRim := named && s.cueTo(rim, i-1) || named && slices.ContainsFunc(s.cues, func(c cued) bool { return c.option == rim && c.to == i })
		if ofRim || slices.ContainsFunc(s.matches, func(m match) bool {
			return m.to == i && slices.ContainsFunc(m.senses, func(sn sense) bool { return sn.role == means && s.r.options[sn.target].name == "bead" })
		}) {
			s.offer(s.boxed(bid{from: int8(i), to: int8(v.to), option: int16(o), cost: -rewardHint, value: v.a}, spec.Both))
		}
	}
}
