package read

import (
	"strings"
	"unicode"
	"unicode/utf8"

	"golang.org/x/text/unicode/norm"

	"spokeword/calc/quantity"
)

// Bounds of what is read. They keep the work small whatever is sent.
const (
	MaxBytes  = 2000 // of a line
	MaxTokens = 64   // of a line, a row of readings counting as one
	mostLexed = 256  // before rows of readings are gathered
)

// kind is the kind of a token.
type kind uint8

const (
	word   kind = iota // letters
	number             // digits, with a decimal mark or a sign
	mark               // one character of punctuation
	field              // name:value or name:"value"
)

// token is a piece of a line.
type token struct {
	kind  kind
	glued bool    // no blank before it
	text  string  // lower case; of a field: the option's name
	value string  // of a field: the value as typed
	num   float64 // of a number
	raw   string  // as typed, for the echo
}

// replaced holds what phones and keyboards put for plain characters.
var replaced = map[rune]string{
	'“': `"`, '”': `"`, '„': `"`, '‟': `"`, '″': `"`, '«': `"`, '»': `"`,
	'‘': "'", '’': "'", '‛': "'", '′': "'", '`': "'", '´': "'",
	'–': "-", '—': "-", '−': "-", '‐': "-", '‑': "-", '‒': "-",
	'×': "x", '✕': "x", '✖': "x", '*': "x",
	'→': " > ", '➡': " > ", '⇒': " > ",
	'½': " 1/2 ", '¼': " 1/4 ", '¾': " 3/4 ", '⅛': " 1/8 ", '⅜': " 3/8 ", '⅝': " 5/8 ", '⅞': " 7/8 ", '⁄': "/",
	'º': "°", '≈': " ", '~': " ", '…': " ", '·': " ", '•': " ", '|': " ",
	'🌧': " wet ", '☔': " wet ", '⛈': " wet ", '🌦': " wet ", '💧': " wet ", '🪨': " rock ", '🏔': " rock ",
	'❄': " snow ", '☃': " snow ", '⛄': " snow ", '🌨': " snow ", '☀': " dry ", '🌞': " dry ", '🏜': " dry ", '🍑': " rear ",
}

// raised maps superscript and subscript digits, as in 1³⁄₈.
var raised = map[rune]rune{
	'⁰': '0', '¹': '1', '²': '2', '³': '3', '⁴': '4', '⁵': '5', '⁶': '6', '⁷': '7', '⁸': '8', '⁹': '9',
	'₀': '0', '₁': '1', '₂': '2', '₃': '3', '₄': '4', '₅': '5', '₆': '6', '₇': '7', '₈': '8', '₉': '9',
}

// normalise turns a line into plain characters: straight quotes, one kind of
// dash, fractions with a slash, no control characters. Case is kept.
func normalise(line string) string {
	plain := true
	for i := 0; i < len(line); i++ {
		if line[i] >= utf8.RuneSelf || line[i] < ' ' || line[i] == '`' || line[i] == '*' || line[i] == '~' || line[i] == '|' || line[i] == 0x7f {
			plain = false
			break
		}
	}
	if plain {
		return line
	}
	var b strings.Builder
	b.Grow(len(line) + 8)
	lifted := false // within superscript or subscript digits
	for _, c := range line {
		if d, ok := raised[c]; ok {
			if !lifted && c != '²' && c != '³' || !lifted && endsInDigit(&b) {
				b.WriteByte(' ')
			}
			lifted = true
			b.WriteRune(d)
			continue
		}
		if c != '⁄' && c != '/' {
			lifted = false
		}
		switch text, ok := replaced[c]; {
		case ok:
			b.WriteString(text)
		case c == utf8.RuneError || unicode.IsControl(c) || unicode.Is(unicode.Zs, c):
			b.WriteByte(' ')
		case unicode.In(c, unicode.Cf, unicode.Mn, unicode.Co, unicode.Cs):
			// joiners, direction marks, variation selectors: nothing a reader should see
		default:
			b.WriteRune(c)
		}
	}
	return norm.NFKC.String(b.String())
}

func endsInDigit(b *strings.Builder) bool {
	s := b.String()
	return s != "" && s[len(s)-1] >= '0' && s[len(s)-1] <= '9'
}

// lexer parts a normalised line into tokens.
type lexer struct {
	line   string
	fields func(name string) bool // whether a word before a colon names an option
	whole  func(word string) bool // whether letters and digits together are one word, as co2
	tokens []token
}

// lex returns the tokens of a line, and false if there are too many.
func (l *lexer) lex() bool {
	s := l.line
	for i := 0; i < len(s); {
		if s[i] == ' ' {
			i++
			continue
		}
		if len(l.tokens) == mostLexed {
			return false
		}
		glued := i > 0 && s[i-1] != ' '
		c, size := utf8.DecodeRuneInString(s[i:])
		start := i
		switch {
		case isDigit(s[i]) || s[i] == '.' && i+1 < len(s) && isDigit(s[i+1]):
			i = l.number(i)
		case (s[i] == '-' || s[i] == '+') && l.signed(i):
			i = l.number(i + 1)
			n := len(l.tokens) - 1
			if s[start] == '-' && l.tokens[n].num != 0 {
				l.tokens[n].num = -l.tokens[n].num
				l.tokens[n].text = "-" + l.tokens[n].text
			}
		case unicode.IsLetter(c):
			i = l.word(i)
		case s[i] == '°' || c == '°':
			i += size
			if i < len(s) && (s[i]|0x20 == 'c' || s[i]|0x20 == 'f') && (i+1 == len(s) || !isLetter(s[i+1])) {
				i++
			}
			l.tokens = append(l.tokens, token{kind: word, text: strings.ToLower(s[start:i])})
		default:
			i += size
			l.tokens = append(l.tokens, token{kind: mark, text: s[start:i]})
		}
		n := len(l.tokens) - 1
		l.tokens[n].glued = glued
		l.tokens[n].raw = s[start:i]
	}
	return true
}

func isDigit(c byte) bool  { return c >= '0' && c <= '9' }
func isLetter(c byte) bool { return c|0x20 >= 'a' && c|0x20 <= 'z' }

// signed reports whether the sign at i belongs to a number: it stands free or
// behind an opening mark, and a digit follows.
func (l *lexer) signed(i int) bool {
	s := l.line
	if i+1 >= len(s) || !isDigit(s[i+1]) && s[i+1] != '.' {
		return false
	}
	if i == 0 {
		return true
	}
	switch s[i-1] {
	case ' ', '@', '(', '>', '=', ':', '/', ',':
		return true
	}
	return false
}

// number lexes digits with decimal marks. A comma or point counts only if a
// digit follows, so that "36/21, 32h" keeps its comma.
func (l *lexer) number(i int) int {
	s := l.line
	start := i
	marks := 0
	for i < len(s) {
		if isDigit(s[i]) {
			i++
			continue
		}
		if (s[i] == '.' || s[i] == ',') && i+1 < len(s) && isDigit(s[i+1]) && marks < 3 {
			marks++
			i++
			continue
		}
		break
	}
	v, err := quantity.Number(s[start:i])
	if err != nil {
		// "1.2.3" or twenty digits: no number, but nothing lost either.
		l.tokens = append(l.tokens, token{kind: word, text: s[start:i]})
		return i
	}
	l.tokens = append(l.tokens, token{kind: number, text: s[start:i], num: v})
	if i+1 < len(s) && s[i] == '\'' && s[i+1]|0x20 == 's' && (i+2 == len(s) || !isLetter(s[i+2])) {
		i++ // "my 30's"
	}
	return i
}

// word lexes letters, with the apostrophes inside them dropped, and a field
// if an option's name stands before a colon or an equals sign.
func (l *lexer) word(i int) int {
	s := l.line
	start := i
	for i < len(s) {
		c, size := utf8.DecodeRuneInString(s[i:])
		if !unicode.IsLetter(c) {
			if c == '\'' && i+1 < len(s) && isLetter(s[i+1]) && i > start && !(i > 0 && isDigit(s[i-1])) {
				i += size
				continue
			}
			break
		}
		// "30x2" and "3x32": an x between digits parts them.
		i += size
	}
	text := strings.ToLower(strings.ReplaceAll(s[start:i], "'", ""))
	// Letters and digits that are one word, as co2.
	if j := i; j < len(s) && isDigit(s[j]) && (start == 0 || s[start-1] == ' ' || s[start-1] == '(') {
		for j < len(s) && isDigit(s[j]) {
			j++
		}
		if whole := text + s[i:j]; l.whole(whole) {
			l.tokens = append(l.tokens, token{kind: word, text: whole})
			return j
		}
	}
	if i < len(s) && s[i] == ':' && i+1 < len(s) && s[i+1] != ' ' && l.fields(text) {
		value, end := fieldValue(s, i+1)
		l.tokens = append(l.tokens, token{kind: field, text: text, value: value})
		return end
	}
	l.tokens = append(l.tokens, token{kind: word, text: text})
	return i
}

// fieldValue reads a field's value from s[i:]: quoted, or up to the next blank.
func fieldValue(s string, i int) (value string, end int) {
	if s[i] == '"' {
		if j := strings.IndexByte(s[i+1:], '"'); j >= 0 {
			return s[i+1 : i+1+j], i + j + 2
		}
		return s[i+1:], len(s)
	}
	end = i
	for end < len(s) && s[end] != ' ' {
		end++
	}
	return s[i:end], end
}
