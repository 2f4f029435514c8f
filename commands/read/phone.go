package read

import (
	"slices"
	"strings"

	"spokeword/calc/quantity"
)

// This file reads what thumbs make of words: a "4" for "for", a "2" for "too",
// and the name of an instrument by letters and a number.

// behindFour are words before which a 4 is a "for", behindTwo those before which a
// 2 is a "too".
var (
	behindFour = []string{"a", "an", "the", "my", "me", "your", "his", "her", "this", "that", "these", "those", "our", "their", "him", "them"}
	behindTwo  = []string{"much", "hard", "soft", "high", "low", "wide", "narrow", "long", "short", "tight", "loose", "big", "small", "heavy", "square"}
	// ofMeasure are words before which a 2 is millimetres: "hop 2 high at 5".
	ofMeasure = []string{"hop", "hops", "wobble", "wobbles", "dish", "gap", "buckle", "out", "by", "off", "at", "and", "or", "of", "to", "on", "about"}
	// things are words two behind a 2 that is a number: "2 wide tyre", "2 high at 5".
	things = []string{"at", "tyre", "tyres", "tire", "tires", "rim", "rims", "spoke", "spokes"}
	// noInstrument are short words a number is written to: "erd602", "29 x2.4".
	noInstrument = []string{"erd", "max", "min", "od", "id", "rim", "tyre", "tire", "hub", "hole", "rear", "fr", "rr", "f", "r", "l", "w", "x", "n", "s", "i", "t"}
	// counted are words before which even the number of a wheel counts something else:
	// "28er nabe", "24er ritzel".
	counted  = []string{"nabe", "naben", "loch", "speichen", "kettenblatt", "blatt", "ritzel", "kassette"}
	tellsOff = []string{"says", "reads", "shows", "gives", "reading", "showed", "said", "read"}
)

// Letters before a flange that are its side.
var (
	leftLetters  = []string{"l", "lh"}
	rightLetters = []string{"r", "rh"}
	sideOfFlange = []string{"flange", "flanges"}
)

// longestInstrument is how many letters the name of an instrument has at most.
const longestInstrument = 4

// phoneWords puts the words in the place of what was typed for them.
func phoneWords(tokens []token) []token {
	is := func(i int, words []string) bool {
		return i >= 0 && i < len(tokens) && tokens[i].kind == word && !tokens[i].glued && slices.Contains(words, tokens[i].text)
	}
	for i := 0; i < len(tokens); i++ {
		t := &tokens[i]
		switch {
		case t.kind == word && t.text == "er" && t.glued && i > 0 && tokens[i-1].kind == number && countsBy(tokens[i-1], after(tokens, i)):
			tokens = slices.Delete(tokens, i, i+1) // "36er nabe", "0,5er scheiben"
			i--
		case t.kind == word && t.text == "b" && i+1 < len(tokens) && tokens[i+1].kind == number && tokens[i+1].text == "4" && tokens[i+1].glued && (i+2 == len(tokens) || !tokens[i+2].glued):
			*t = token{kind: word, text: "before", raw: rawOf(tokens[i : i+2])}
			tokens = slices.Delete(tokens, i+1, i+2)
		case t.kind == word && t.text == "k" && t.glued && i > 0 && tokens[i-1].kind == number && tokens[i-1].num >= leastRider && tokens[i-1].num <= 150:
			t.text = "kg" // "82k"
		case t.kind == number && t.text == "4" && i > 0 && !t.glued && is(i+1, behindFour):
			*t = token{kind: word, text: "for", raw: t.raw}
		case t.kind == number && t.text == "2" && !t.glued && is(i+1, behindTwo) && !is(i-1, ofMeasure) && !is(i+2, things):
			*t = token{kind: word, text: "too", raw: t.raw}
		case t.kind == number && t.text == "2" && !t.glued && i > 1 && tokens[i-1].kind == word && aUnit(tokens[i-1]) && i+1 < len(tokens) && !tokens[i+1].glued && aUnit(tokens[i+1]) && !(i+2 < len(tokens) && (tokens[i+2].kind == number || tokens[i+1].text == "in" && aUnit(tokens[i+2]))): // but "14st 2 in kg"
			*t = token{kind: word, text: "to", raw: t.raw} // "17 psi 2 bar"
		case t.kind == mark && t.text == "+" && i > 0 && aMass(tokens[i-1]) && i+1 < len(tokens) && tokens[i+1].kind == number: // "76kg + 4kg pack"
			*t = token{kind: word, text: "with", raw: t.raw}
		case is(i, []string{"c"}) && is(i+1, []string{"to", "2"}) && is(i+2, []string{"f"}) && i+3 < len(tokens) && tokens[i+3].kind == number: // "c to f 35/22": no degrees
			*t = token{kind: word, text: "ctf", raw: rawOf(tokens[i : i+3])}
			tokens = slices.Delete(tokens, i+1, i+3)
		case is(i, leftLetters) && is(i+1, sideOfFlange): // "L flange 34.5"
			t.text = "left"
		case is(i, rightLetters) && is(i+1, sideOfFlange):
			t.text = "right"
		case is(i, []string{"back"}) && is(i+1, []string{"home"}): // no end of the bike
			raw := rawOf(tokens[i : i+2])
			tokens[i+1].raw = raw
			tokens = slices.Delete(tokens, i, i+1)
		case is(i, []string{"other"}) && is(i+1, []string{"side"}) && i+2 < len(tokens) && tokens[i+2].kind == number:
			t.raw = rawOf(tokens[i : i+2])
			tokens = slices.Delete(tokens, i+1, i+2)
		case t.kind == word && len(t.text) <= longestInstrument && !slices.Contains(noInstrument, t.text) && (!t.glued || i == 0 || tokens[i-1].kind == mark) && i+2 < len(tokens):
			n := i + 1
			if tokens[n].kind == mark && tokens[n].text == "-" && tokens[n].glued {
				n++
			}
			if n+1 < len(tokens) && tokens[n].kind == number && tokens[n].glued && !strings.Contains(tokens[n].text, ".") && is(n+1, tellsOff) {
				if _, unit := quantity.UnitNamed(t.text); unit {
					continue
				}
				// "km2 says 22": a meter by its name
				raw := rawOf(tokens[i : n+1])
				*t = token{kind: word, text: "meter", raw: raw}
				tokens = slices.Delete(tokens, i+1, n+1)
			}
		}
	}
	return tokens
}

// countsBy reports whether a number with "er" to it, before a word, is that number and
// no wheel or tyre: "36er nabe", "0,5er scheiben", but "29er", "2.6er reifen".
func countsBy(n token, next string) bool {
	rim := n.num >= 32 && (next == "felge" || next == "felgen")
	return rim || slices.Contains(counted, next) || strings.HasPrefix(next, "speiche") || !aWheel(n.num) && !aWidth(n)
}

// aWheel reports whether a number with letters to it names a wheel: "29er".
func aWheel(n float64) bool { return nominal(n) || n == 27 || n == 28 }

// aWidth reports whether a number is written as the width of a tyre: "2.6er".
func aWidth(t token) bool {
	return t.num >= 1.7 && t.num <= 5.5 && strings.ContainsAny(t.text, ".,")
}

// after returns the word behind token i, if one stands there.
func after(tokens []token, i int) string {
	if i+1 < len(tokens) && tokens[i+1].kind == word {
		return tokens[i+1].text
	}
	return ""
}

// aMass reports whether a token names a unit of mass.
func aMass(t token) bool {
	u, ok := quantity.UnitNamed(t.text)
	return t.kind == word && ok && u.Kind() == quantity.KindMass
}

// aUnit reports whether a token names a unit.
func aUnit(t token) bool {
	_, ok := quantity.UnitNamed(t.text)
	return t.kind == word && ok
}
