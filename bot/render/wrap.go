package render

import (
	"strings"
	"unicode"
)

// units are the words that stay on one line with the number before them.
var units = map[string]bool{}

func init() {
	for _, u := range strings.Fields("mm cm m in ft psi bar kPa Pa kg g lb lbs st N kgf lbf °C °F K % ml cl l Hz mm² °") {
		units[u] = true
	}
}

// words splits a text where a line may break: at blanks, but not between a
// number and its unit.
func words(text string) []string {
	fields := strings.FieldsFunc(text, func(r rune) bool { return r == ' ' || r == '\u3000' })
	out := fields[:0:0]
	for _, f := range fields {
		last := len(out) - 1
		if last >= 0 && units[strings.TrimRight(f, ".,;:!?)]")] && endsInDigit(out[last]) {
			out[last] += " " + f
			continue
		}
		out = append(out, f)
	}
	return out
}

func endsInDigit(text string) bool {
	return text != "" && text[len(text)-1] >= '0' && text[len(text)-1] <= '9'
}

// wrap breaks a safe text into lines of at most columns. Lines after the first
// begin with hang blanks. A word longer than a line is broken where it must be.
func wrap(text string, columns, hang int) []string {
	// No sign takes more columns than it has bytes.
	if text != "" && len(text) <= columns && !uneven(text) {
		return []string{text}
	}
	if columns < 2 {
		columns = 2
	}
	if hang > columns/2 {
		hang = columns / 2
	}
	indent := strings.Repeat(" ", hang)
	var lines []string
	line, used, empty := "", 0, true
	next := func() {
		lines = append(lines, line)
		line, used, empty = indent, hang, true
	}
	for _, w := range words(text) {
		wide := Width(w)
		if !empty && used+1+wide > columns {
			next()
		}
		if !empty {
			line += " "
			used++
		}
		for wide > columns-used { // longer than what a whole line has left
			head, tail := split(w, columns-used)
			line += head
			next()
			w, wide = tail, Width(tail)
		}
		line += w
		used += wide
		empty = false
	}
	if !empty || len(lines) == 0 {
		lines = append(lines, line)
	}
	return lines
}

// uneven reports whether a text has blanks that a line would not show as they
// stand.
func uneven(text string) bool {
	return text[0] == ' ' || text[len(text)-1] == ' ' || strings.Contains(text, "  ") || strings.ContainsRune(text, '\u3000')
}

// split cuts a word after at most columns, but never before the first sign,
// and keeps combining marks with their letter.
func split(word string, columns int) (head, tail string) {
	used, cut := 0, 0
	for i, r := range word {
		wide := runeWidth(r)
		if used+wide > columns && i > 0 && !unicode.In(r, unicode.Mn, unicode.Me) {
			break
		}
		used += wide
		cut = i + len(string(r))
	}
	return word[:cut], word[cut:]
}

// Wrap breaks a text into lines of at most columns.
func Wrap(text string, columns int) []string { return wrap(Safe(text), columns, 0) }
