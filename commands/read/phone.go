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
	tellsOff     = []string{"says", "reads", "shows", "gives", "reading", "showed", "said", "read"}
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
		case t.kind == number && t.text == "4" && i > 0 && !t.glued && is(i+1, behindFour):
			*t = token{kind: word, text: "for", raw: t.raw}
		case t.kind == number && t.text == "2" && !t.glued && is(i+1, behindTwo) && !is(i-1, ofMeasure) && !is(i+2, things):
			*t = token{kind: word, text: "too", raw: t.raw}
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
