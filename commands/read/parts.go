package read

import (
	"math"
	"slices"
	"strings"

	"spokeword/calc/quantity"
)

// This file tells numbers that only name a part by its size: the 148 of "148 hub", the
// 180 of "180 rotor", the 116 of "116 links", the 12 of "12s chain". They are no
// rider's weight, no crank and no points of a freehub.

// Widths of hubs between the dropouts, in mm, which nothing else is likely to be, and
// those that stand for other things too; and diameters of rotors. Of trade lists.
var (
	hubWidths      = []float64{135, 141, 142, 148, 150, 157, 177, 190, 197}
	vagueHubWidths = []float64{100, 110, 130}
	rotorSizes     = []float64{140, 160, 180, 183, 200, 203, 220}
)

// Words beside which they are those.
var (
	hubWords      = []string{"hub", "hubs", "boost", "axle", "axles", "frame", "frames", "fork", "forks", "spacing", "thru", "through", "dropout", "dropouts", "qr", "wheel", "wheels", "nabe", "rahmen", "gabel", "achse", "steckachse", "moyeu", "cadre", "fourche", "axe", "buje", "cuadro", "horquilla", "eje", "mozzo", "telaio", "forcella", "perno"}
	boostWords    = []string{"boost", "axle", "axles", "thru", "spacing", "dropout", "dropouts", "qr", "achse", "steckachse", "axe", "eje", "perno"}
	rotorWords    = []string{"rotor", "rotors", "caliper", "calliper", "brake", "brakes", "disc", "discs", "disk", "bremsscheibe", "scheibe", "disque", "disques", "disco", "discos", "dischi"}
	linkWords     = []string{"link", "links", "glieder", "kettenglieder", "maillon", "maillons", "eslabones", "maglie"}
	speedLetters  = []string{"s", "sp", "spd", "speed", "fach", "v"}
	driveWords    = []string{"cassette", "cassettes", "chain", "chains", "ring", "rings", "chainring", "shifter", "mech", "derailleur", "freehub", "body", "drivetrain", "kassette", "kette", "schaltung", "freilauf", "chaîne", "cadena", "casete", "catena", "pacco"}
	cogWords      = []string{"chain", "chains", "cog", "cogs", "cassette", "smallest", "sprocket", "sprockets", "body", "ritzel", "kassette", "pignon", "piñón", "pignone"}
	strainedWords = []string{"tension", "tensions", "kgf", "spoke", "spokes", "spannung", "speiche", "speichen", "erd", "psi", "flange", "flanges", "flansch"}
)

// namesPart reports whether a bare number names a part by its size; of two that are
// compared, "142 vs 148", neither does.
func (s *scan) namesPart(vi int) bool {
	v := s.vals[vi]
	if s.sameSize(v) || s.ofManyRiders(vi) || s.ofNipple(v) || s.ofWire(v) {
		return true
	}
	if v.pair || v.oneOf || v.a.Unit != quantity.NoUnit && v.a.Unit != quantity.MM || v.plus || v.a.Number != math.Trunc(v.a.Number) && !s.tubeInto(v.to) {
		return false
	}
	n := v.a.Number
	bare := v.a.Unit == quantity.NoUnit
	switch {
	case (!nominal(n) || !bare) && s.tubeInto(v.to) && slices.ContainsFunc(s.tyres, func(m tyreMark) bool { return m.from > v.to }): // "28 mm tube in a 2.4 tyre"
		return true
	case bare && n >= 80 && n <= 140 && v.to < len(s.tokens) && s.tokens[v.to].kind == word && slices.Contains(linkWords, s.tokens[v.to].text):
		return true
	case bare && n >= 7 && n <= 13 && v.to < len(s.tokens) && s.tokens[v.to].glued && s.tokens[v.to].kind == word && slices.Contains(speedLetters, s.tokens[v.to].text):
		return s.says(driveWords...)
	case bare && slices.Contains(hubWidths, n):
		return s.says(hubWords...) && !s.says(strainedWords...)
	case bare && slices.Contains(vagueHubWidths, n):
		return s.says(boostWords...) && !s.says(strainedWords...)
	case slices.Contains(rotorSizes, n):
		return s.says(rotorWords...) && !s.says(strainedWords...)
	}
	return false
}

// sameSize reports whether a width is asked about behind a tyre's own mark: the 2.25 of
// "57-622 is that 2.25".
func (s *scan) sameSize(v val) bool {
	asks := s.isWord(v.from-1, "that") || s.isWord(v.from-1, "this") || s.isWord(v.from-1, "same") || s.isWord(v.from-1, "thats") || s.isWord(v.from-1, "a") && s.isWord(v.from-2, "that")
	return asks && !v.pair && v.a.Unit == quantity.NoUnit && aWidth(s.tokens[v.from]) && slices.ContainsFunc(s.tyres, func(m tyreMark) bool { return m.to < v.from && m.mark.Seat > 0 && m.mark.Width > 0 })
}

// ofNipple reports whether a value is the length of a nipple, or the thickness of the
// spokes for it.
func (s *scan) ofNipple(v val) bool {
	n := v.a.Number
	return !v.pair && (v.a.Unit == quantity.NoUnit || v.a.Unit == quantity.MM) && (n == 10 || n == 12 || n == 14 || n == 16) && s.says("nipple", "nipples", "nips", "nip", "nippel", "écrou", "écrous", "cabecilla", "cabecillas", "niples", "nipplo", "nippli")
}

// ofWire reports whether a value is how thick spokes are, said with a word for their
// kind: the 2.0 of "2.0 1.8 or straight 2.0".
func (s *scan) ofWire(v val) bool {
	n := v.a.Number
	return !v.pair && (v.a.Unit == quantity.NoUnit || v.a.Unit == quantity.MM) && n >= 1.5 && n <= 2.34 && strings.Contains(s.tokens[v.from].text, ".") &&
		s.says("straight", "butted", "plain", "gauge") && !s.says("tyre", "tyres", "tire", "tires", "psi", "bar", "pump", "pressure", "tube", "tubes", "rods")
}

// ofManyRiders reports whether a value is one end of the weights of several riders:
// "riders 50 to 100 kg" weighs nobody.
func (s *scan) ofManyRiders(vi int) bool {
	joined := func(a, b int) bool {
		v, w := s.vals[a], s.vals[b]
		bare := v.a.Unit == quantity.NoUnit || v.a.Unit == w.a.Unit
		return !v.pair && !w.pair && w.from == v.to+1 && (s.until(v.to) || s.isMark(v.to, "-")) && w.a.Kind() == quantity.KindMass && bare && v.a.Number >= 20 && w.a.Number > v.a.Number+5
	}
	one := vi+1 < len(s.vals) && joined(vi, vi+1) || vi > 0 && joined(vi-1, vi)
	return one && s.says("riders", "kids", "people", "members", "list", "range", "fahrer", "leute", "personnes", "personas", "persone")
}

// inCassette reports whether a value is the smallest or the largest cog of a cassette:
// those of "10-52 on the freehub" are no points.
func (s *scan) inCassette(v val) bool {
	if v.pair || v.oneOf || v.a.Unit != quantity.NoUnit {
		return false
	}
	_, _, first := s.cassetteAt(v.from)
	_, _, last := s.cassetteAt(v.from - 2)
	return first || last
}
