package render

import (
	"strings"
	"unicode"
	"unicode/utf8"

	"golang.org/x/text/width"
)

// Code points that the rules below treat apart.
const (
	zeroWidthNonJoiner = '\u200c'
	zeroWidthJoiner    = '\u200d'
	softHyphen         = '\u00ad'
	emojiSelector      = '\ufe0f' // asks for the wide, coloured form of the sign before it
	mostMarks          = 4        // combining marks kept on one letter; more are only ever mischief
)

// harmless reports whether every character of a text is a sign that nearly all
// answers hold: printable ASCII, Latin letters, signs as ° and ½, Greek, dashes
// and quotation marks. None is a mark, turns the direction of writing or is
// without a width, so that most texts need no look at each character.
func harmless(text string) bool {
	for i := 0; i < len(text); {
		c := text[i]
		if c >= ' ' && c <= '~' {
			i++
			continue
		}
		r, n := utf8.DecodeRuneInString(text[i:])
		switch {
		case r >= '\u00a1' && r < '\u0250' && r != softHyphen, // Latin, with its signs
			r >= '\u0391' && r <= '\u03c9' && r != '\u03a2', // Greek letters; one place is empty
			r >= '\u2010' && r <= '\u2027',                  // dashes, quotation marks, …
			r >= '\u2190' && r <= '\u22ff':                  // arrows and mathematics
		default:
			return false
		}
		i += n
	}
	return true
}

// Safe returns text that can't act on a terminal or a page: what people typed
// may hold escape sequences, characters that turn the direction of writing, or
// bytes that are no text at all. Those are shown as their code, a line break
// or tab becomes a blank.
func Safe(text string) string {
	if harmless(text) {
		return text
	}
	var b strings.Builder
	marks := 0
	for i := 0; i < len(text); {
		r, n := utf8.DecodeRuneInString(text[i:])
		i += n
		if unicode.In(r, unicode.Mn, unicode.Me) {
			if marks++; marks > mostMarks {
				continue
			}
		} else {
			marks = 0
		}
		switch {
		case r == utf8.RuneError:
			b.WriteRune(utf8.RuneError)
		case r == '\n' || r == '\r' || r == '\t' || r == '\v' || r == '\f' || r == '\u2028' || r == '\u2029' || r == '\u0085':
			b.WriteByte(' ')
		case unicode.IsGraphic(r) || r == zeroWidthJoiner || r == zeroWidthNonJoiner:
			b.WriteRune(r)
		default:
			b.WriteString(code(r))
		}
	}
	return b.String()
}

// plain reports whether text is printable ASCII throughout, as nearly all is.
func plain(text string) bool {
	for i := range len(text) {
		if text[i] < ' ' || text[i] > '~' {
			return false
		}
	}
	return true
}

// code writes a character that must not be shown as \u and its hexadecimal
// number.
func code(r rune) string {
	const digits = "0123456789abcdef"
	hex := make([]byte, 0, 8)
	for r > 0 || len(hex) < 4 {
		hex = append([]byte{digits[r&15]}, hex...)
		r >>= 4
	}
	return `\u` + string(hex)
}

// Width returns how many columns of a terminal a text takes. Where terminals
// differ it returns the greater, so that nothing is ever wider than it says.
func Width(text string) int {
	if plain(text) {
		return len(text)
	}
	columns := 0
	for _, r := range text {
		columns += runeWidth(r)
	}
	return columns
}

func runeWidth(r rune) int {
	switch {
	case r < 0x7f:
		return 1
	case r == emojiSelector:
		return 1
	case unicode.In(r, unicode.Mn, unicode.Me, unicode.Cf):
		return 0
	}
	switch width.LookupRune(r).Kind() {
	case width.EastAsianWide, width.EastAsianFullwidth:
		return 2
	}
	return 1
}
