package read

import "slices"

// This file reads what thumbs make of words: a "4" for "for", a "2" for "too",
// and the name of an instrument by letters and a number.

// behindFour are words before which a 4 is a "for", behindTwo those before which a
// 2 is a "too".
var (
	behindFour = []string{"a", "an", "the", "my", "me", "your", "his", "her", "this", "that", "these", "those", "our", "their", "him", "them"}
	behindTwo  = []string{"much", "hard", "soft", "high", "low", "wide", "narrow", "long", "short", "tight", "loose", "big", "small", "heavy", "square"}
	tellsOff   = []string{"says", "reads", "shows", "gives", "reading", "showed", "said", "read"}
)

// longestInstrument is how many letters the name of an instrument has at most.
const longestInstrument = 4

// phoneWords puts the words in the place of what was typed for them.
func phoneWords(tokens []token) []token {
	is := func(i int, words []string) bool {
		return i < len(tokens) && tokens[i].kind == word && !tokens[i].glued && slices.Contains(words, tokens[i].text)
	}
	for i := 0; i < len(tokens); i++ {
		t := &tokens[i]
		switch {
		case t.kind == number && t.text == "4" && i > 0 && !t.glued && is(i+1, behindFour):
			*t = token{kind: word, text: "for", raw: t.raw}
		case t.kind == number && t.text == "2" && !t.glued && is(i+1, behindTwo):
			*t = token{kind: word, text: "too", raw: t.raw}
		case t.kind == word && len(t.text) <= longestInstrument && (!t.glued || i == 0 || tokens[i-1].kind == mark) && i+2 < len(tokens):
			n := i + 1
			if tokens[n].kind == mark && tokens[n].text == "-" && tokens[n].glued {
				n++
			}
			if n+1 < len(tokens) && tokens[n].kind == number && tokens[n].glued && is(n+1, tellsOff) {
				// "km2 says 22": a meter by its name
				raw := rawOf(tokens[i : n+1])
				*t = token{kind: word, text: "meter", raw: raw}
				tokens = slices.Delete(tokens, i+1, n+1)
			}
		}
	}
	return tokens
}
