package spec

import "strings"

// Field is a filled field of a form: an option's name and what was typed.
type Field struct{ Option, Text string }

// Filled writes a command with the fields of a form as a line, for the reader.
// Empty fields are left out.
func Filled(command string, fields ...Field) string {
	var b strings.Builder
	b.WriteString(command)
	for _, f := range fields {
		if text := quotable(f.Text); text != "" {
			b.WriteString(" " + f.Option + `:"` + text + `"`)
		}
	}
	return b.String()
}

// Refilled returns a canonical line with one option set to what was typed,
// instead of the value it had, if any.
func Refilled(line, option, text string) string {
	var kept []string
	for _, part := range parts(line) {
		if !strings.HasPrefix(part, option+":") {
			kept = append(kept, part)
		}
	}
	return Filled(strings.Join(kept, " "), Field{option, text})
}

// parts splits a canonical line at the blanks that are not within quotes.
func parts(line string) []string {
	quoted := false
	return strings.FieldsFunc(line, func(r rune) bool {
		if r == '"' {
			quoted = !quoted
		}
		return r == ' ' && !quoted
	})
}

// quotable returns a text that may stand between quotes in a line. A quote
// behind a figure is an inch; any other says nothing and goes, as do breaks.
func quotable(text string) string {
	var b strings.Builder
	last := rune(0)
	for _, r := range text {
		switch {
		case strings.ContainsRune(quotes, r):
			if last >= '0' && last <= '9' {
				b.WriteString(" in ")
			} else {
				b.WriteByte(' ')
			}
			last = ' '
			continue
		case r == '\n' || r == '\r' || r == '\t':
			r = ' '
		}
		b.WriteRune(r)
		last = r
	}
	return strings.Join(strings.Fields(b.String()), " ")
}

// quotes are the characters that the reader takes for quotes. Some keyboards
// put them for inches.
const quotes = "\"\u201c\u201d\u201e\u201f\u2033\u00ab\u00bb"
