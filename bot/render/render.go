// Package render shows replies as text, for every front end that shows text.
//
// The rules of what it writes:
//   - The order is fixed: what answers (at most two lines), the cautions, the
//     tables, what was read, assumed and not used, the notes with what they
//     rest on, and last what can be done next or the question back.
//   - A caution is whole, begins with the word "Caution:" and is never cut.
//   - One blank line stands between blocks, none within. Labels are short, the
//     same everywhere: Read, Assumed, Not used, Next, Try.
//   - No line is wider than asked for. Colour only repeats what the words say.
//   - Nothing that people typed can act on the terminal or page.
package render

import (
	"slices"
	"strconv"
	"strings"
	"unicode"
	"unicode/utf8"

	"spokeword/commands/reply"
)

// Narrowest is the least width that replies are laid out for: a code block in
// a chat on a telephone. A lesser width is taken as this.
const Narrowest = 34

// Style says how replies are shown as text.
type Style struct {
	Width  int  // columns; nothing is wider
	Colour bool // terminal colours, as an addition
	// Keys shows the key to type beside each choice and action, for front ends
	// that take it; without, the line to type stands there.
	Keys bool
}

// look is how a line is coloured.
type look uint8

const (
	asIs   look = iota
	strong      // bold
	alert       // yellow
)

type line struct {
	text string
	look look
}

func plainLines(texts []string) []line { return looking(texts, asIs) }

func looking(texts []string, l look) []line {
	out := make([]line, len(texts))
	for i, t := range texts {
		out[i] = line{t, l}
	}
	return out
}

// Text shows the replies to one line, one below the other.
func Text(replies []reply.Reply, s Style) string {
	s.Width = max(s.Width, Narrowest)
	var blocks [][]line
	keys := Keys(replies)
	for _, r := range replies {
		if len(replies) > 1 && r.Title != "" {
			blocks = append(blocks, looking(wrap(Safe(r.Title), s.Width, 0), strong))
		}
		blocks = append(blocks, show(r, s, &keys)...)
	}
	var b strings.Builder
	for i, block := range blocks {
		if i > 0 {
			b.WriteByte('\n')
		}
		for _, l := range block {
			b.WriteString(coloured(l, s.Colour))
			b.WriteByte('\n')
		}
	}
	return b.String()
}

func coloured(l line, colour bool) string {
	text := strings.TrimRight(l.text, " ")
	if !colour || text == "" {
		return text
	}
	switch l.look {
	case strong:
		return "\x1b[1m" + text + "\x1b[0m"
	case alert:
		return "\x1b[33m" + text + "\x1b[0m"
	}
	return text
}

// show returns the blocks of one reply. Keys are those of the choices still to
// be shown.
func show(r reply.Reply, s Style, keys *[]Key) [][]line {
	var blocks [][]line
	add := func(lines []line) {
		// No blank line within a block, whatever was left empty.
		lines = slices.DeleteFunc(lines, func(l line) bool { return strings.Trim(l.text, " ") == "" })
		if len(lines) > 0 {
			blocks = append(blocks, lines)
		}
	}
	p := PartsOf(r)
	add(lead(p, s.Width))
	add(cautions(p, s.Width))
	for _, t := range r.Tables {
		add(table(t, s.Width))
	}
	add(plainLines(drawn(r)))
	add(hanging(p.Understood, s.Width))
	add(hanging(p.Notes, s.Width))
	add(next(r, s, keys))
	return blocks
}

// drawn returns the lines of a reply's drawing, harmless.
func drawn(r reply.Reply) []string {
	lines := make([]string, len(r.Drawing))
	for i, l := range r.Drawing {
		lines[i] = Safe(l)
	}
	return lines
}

func lead(p Parts, columns int) []line {
	var out []line
	for _, text := range p.Lead {
		out = append(out, looking(wrap(text, columns, 0), strong)...)
	}
	if p.Try != "" {
		out = append(out, plainLines(wrap(p.Try, columns, 5))...)
	}
	return out
}

// asked reports whether the lead already puts the question.
func asked(r reply.Reply) bool {
	for _, text := range r.Lead {
		if text == r.Ask.Text {
			return true
		}
	}
	return false
}

// Sentence makes a sentence of an error's text: it begins with a capital
// letter and ends in a full stop.
func Sentence(text string) string {
	first, n := utf8.DecodeRuneInString(text)
	if n == 0 {
		return ""
	}
	text = string(unicode.ToUpper(first)) + text[n:]
	if !strings.ContainsRune(".?!:…", rune(text[len(text)-1])) {
		text += "."
	}
	return text
}

func cautions(p Parts, columns int) []line {
	var out []line
	for _, text := range p.Cautions {
		out = append(out, looking(wrap(text, columns, 2), alert)...)
	}
	return out
}

// hanging wraps texts, each with its further lines set in.
func hanging(texts []string, columns int) []line {
	var out []line
	for _, text := range texts {
		out = append(out, plainLines(wrap(text, columns, 2))...)
	}
	return out
}

func item(i reply.Item) string {
	name := i.Label
	if name == "" {
		name = i.Option
	}
	text := strings.TrimSpace(Safe(name) + " " + Safe(i.Value))
	if i.Why != "" {
		text += " (" + Safe(i.Why) + ")"
	}
	return text
}

func next(r reply.Reply, s Style, keys *[]Key) []line {
	var out []line
	offered := offers(r)
	if len(offered) == 0 {
		return nil
	}
	if r.Ask == nil || len(r.Ask.Choices) == 0 {
		out = append(out, line{"Next:", asIs})
	} else if !s.Keys {
		out = append(out, line{"Answer with one of:", asIs})
	}
	for _, a := range offered {
		key := (*keys)[0]
		*keys = (*keys)[1:]
		if s.Keys {
			name := "  " + key.Name + "  "
			out = append(out, plainLines(wrapAfter(name, Safe(a.Label), s.Width))...)
			continue
		}
		text := Safe(a.Line)
		if !strings.HasSuffix(a.Line, a.Label) { // a label that only repeats the line says nothing
			text = labelled(Safe(a.Label), text)
		}
		out = append(out, plainLines(wrapAfter("  ", text, s.Width))...)
	}
	return out
}

// wrapAfter wraps a text behind a first part whose blanks are kept.
func wrapAfter(first, text string, columns int) []string {
	hang := Width(first)
	lines := wrap(text, columns-hang, 0)
	for i := range lines {
		if i == 0 {
			lines[i] = first + lines[i]
			continue
		}
		lines[i] = strings.Repeat(" ", hang) + lines[i]
	}
	return lines
}

// offers returns what a reply offers to do next: the answers to its question,
// then its actions.
func offers(r reply.Reply) []reply.Action {
	var all []reply.Action
	if r.Ask != nil {
		all = append(all, r.Ask.Choices...)
	}
	return append(all, r.Actions...)
}

// Key is what to type for a choice or action, and the line it stands for.
type Key struct{ Name, Line string }

// Keys returns the keys of all that the replies offer, in the order they are
// shown: 1, 2, 3. They are a, b, c if a number might be meant as the answer
// itself, as with "3" where one choice is "2 crossings".
func Keys(replies []reply.Reply) []Key {
	var all []reply.Action
	for _, r := range replies {
		all = append(all, offers(r)...)
	}
	letters := false
	for _, a := range all {
		if n, ok := leading(a.Label); ok && n <= len(all) {
			letters = len(all) <= 26
		}
	}
	keys := make([]Key, len(all))
	for i, a := range all {
		keys[i] = Key{strconv.Itoa(i + 1), a.Line}
		if letters {
			keys[i].Name = string(rune('a' + i))
		}
	}
	return keys
}

// leading returns the number a label begins with.
func leading(label string) (int, bool) {
	end := 0
	for end < len(label) && label[end] >= '0' && label[end] <= '9' {
		end++
	}
	n, err := strconv.Atoi(label[:end])
	return n, err == nil
}
