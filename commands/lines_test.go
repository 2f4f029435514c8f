package commands

import (
	"bufio"
	"encoding/json"
	"os"
	"reflect"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"spokeword/commands/read"
	"spokeword/commands/spec"
)

// typedLine is a line as somebody typed it and how it should be read.
type typedLine struct {
	ID       string            `json:"id"`
	Language string            `json:"-"` // of those made up for the test
	Line     string            `json:"line"`
	Talk     []string          `json:"talk"`     // earlier lines
	Commands []string          `json:"commands"` // any of these is right
	Options  map[string]string `json:"options"`  // stated, to be read exactly
	Assumed  map[string]string `json:"assumed"`  // not stated so: to be said if read
	Unused   []string          `json:"unused"`
	Ask      []string          `json:"ask"` // what must be asked
}

func typedLines(t testing.TB) []typedLine {
	f, err := os.Open("../testdata/lines/typed.jsonl")
	require.NoError(t, err)
	defer f.Close()
	var all []typedLine
	in := bufio.NewScanner(f)
	for in.Scan() {
		var l typedLine
		require.NoError(t, json.Unmarshal(in.Bytes(), &l))
		all = append(all, l)
	}
	require.NoError(t, in.Err())
	return all
}

// score is how one line was read.
type score struct {
	reached bool     // a right command, or a right question back
	stated  int      // options that the line states, of those the command takes
	exact   int      // of them, those read just so
	wrong   []string // options with a wrong value that is not said to be assumed
	missed  []string
	guessed []string // options guessed otherwise than a careful reader would
	got     string
}

// flawless reports whether nothing at all is to be said against the reading.
func (s score) flawless() bool {
	return s.reached && len(s.missed) == 0 && len(s.wrong) == 0 && len(s.guessed) == 0
}

func scoreLine(t testing.TB, r *read.Reader, l typedLine) score {
	var base *spec.Request
	for _, before := range l.Talk {
		if b := r.Read(before, base); len(b.Requests) > 0 {
			base = &b.Requests[0]
		}
	}
	got := r.Read(l.Line, base)
	s := score{stated: len(l.Options)}
	switch {
	case got.Question != nil:
		s.got = "question"
		s.reached = slices.Contains(l.Ask, "ambiguous")
		if !s.reached {
			s.missed = append(s.missed, "asked "+got.Question.Choices[0].Line()+" or "+got.Question.Choices[1].Line())
		}
	case got.Problem != nil:
		s.got = "problem: " + got.Problem.Error()
		s.reached = slices.Contains(l.Commands, "none")
		if !s.reached {
			s.missed = append(s.missed, s.got)
		}
	default:
		req := got.Requests[0]
		s.got = req.Line()
		s.stated = 0
		s.reached = slices.Contains(l.Commands, req.Command.Name)
		if !s.reached {
			s.missed = append(s.missed, "command")
		}
		scoreOptions(t, l, req, &s)
		for _, u := range got.Unused {
			if strings.ContainsAny(u, "0123456789") && !strings.Contains(strings.Join(l.Unused, " "), u) {
				s.missed = append(s.missed, "unused "+u)
			}
		}
	}
	return s
}

func scoreOptions(t testing.TB, l typedLine, req spec.Request, s *score) {
	for name, want := range l.Options {
		o, ok := req.Command.Option(name)
		if !ok {
			continue // an option of another command that would also be right
		}
		if name == "what" && req.Command.Name != "help" && req.Command.Name != "symptom" && l.ID != "" {
			continue // of these lines only the articles are named
		}
		s.stated++
		g, ok := req.Get(name)
		if !ok {
			s.missed = append(s.missed, name)
			continue
		}
		if !sameValue(t, o, want, g.Value) && !(l.Assumed[name] != "" && sameValue(t, o, l.Assumed[name], g.Value)) {
			s.missed = append(s.missed, name)
			if g.Origin == spec.Stated {
				s.wrong = append(s.wrong, name)
			}
			continue
		}
		s.exact++
	}
	for _, g := range req.Given {
		name := g.Option.About().Name
		if _, stated := l.Options[name]; stated || g.Origin == spec.Carried {
			continue
		}
		want, ok := l.Assumed[name]
		if ok && !sameValue(t, g.Option, want, g.Value) {
			s.guessed = append(s.guessed, name)
			if g.Origin == spec.Stated {
				s.wrong = append(s.wrong, name)
			}
		}
		if !ok && name != "pressure" && name != "what" { // 30 bar is read in order to be questioned
			s.missed = append(s.missed, "also "+name)
			if g.Origin == spec.Stated { // else it is said
				s.wrong = append(s.wrong, name)
			}
		}
	}
}

// sameValue compares in the option's own terms: one value for both ends is the
// same as that value for each.
func sameValue(t testing.TB, o spec.Option, want string, got any) bool {
	v, err := o.Parse(want)
	if err != nil {
		return false
	}
	if reflect.DeepEqual(v, got) {
		return true
	}
	if m, ok := v.(measures); ok {
		g := got.(measures)
		return m.Which == spec.Both && g.Which == spec.Each && g.First == m.First && g.Second == m.First
	}
	return false
}

// tally adds scores up.
type tally struct{ lines, reached, stated, exact, flawless, wrong, guessed int }

func (a *tally) add(s score) {
	a.lines++
	a.stated += s.stated
	a.exact += s.exact
	a.wrong += len(s.wrong)
	a.guessed += len(s.guessed)
	if s.reached {
		a.reached++
	}
	if s.flawless() {
		a.flawless++
	}
}

// TestLines scores the reader on all lines that people typed, and on those made
// up for it in five languages. The bar is that of the product: of a hundred
// lines 97 come to a right command, of a hundred options 97 are read just so,
// no value is wrong without being said to be a guess, and no guess is another than
// a careful reader's.
func TestLines(t *testing.T) {
	r := newReader(t)
	sums := map[string]*tally{}
	var parts []string
	count := func(part string, l typedLine) {
		if sums[part] == nil {
			sums[part] = &tally{}
			parts = append(parts, part)
		}
		s := scoreLine(t, r, l)
		sums[part].add(s)
		if !s.flawless() {
			t.Logf("%s %q: missed %v, wrong %v, guessed %v: %s", part, l.Line, s.missed, s.wrong, s.guessed, s.got)
		}
	}
	for _, l := range typedLines(t) {
		count("typed", l)
	}
	all := &tally{}
	for _, l := range tradeLines(t) {
		count("made up, "+l.Language, l)
	}
	t.Logf("%-12s %6s %8s %16s %6s %9s", "lines", "", "reached", "options", "wrong", "flawless")
	for _, part := range parts {
		s := sums[part]
		t.Logf("%-12s %6d %8d %9d of %4d %5d %9d", part, s.lines, s.reached, s.exact, s.stated, s.wrong, s.flawless)
		all.lines, all.reached, all.stated, all.exact = all.lines+s.lines, all.reached+s.reached, all.stated+s.stated, all.exact+s.exact
		assert.GreaterOrEqual(t, s.reached*100, 97*s.lines, "%s: lines that reach a right command", part)
		assert.GreaterOrEqual(t, s.exact*100, 97*s.stated, "%s: options read just as stated", part)
		assert.Zero(t, s.wrong, "%s: silent wrong values", part)
		assert.Zero(t, s.guessed, "%s: guesses that are said and wrong", part)
	}
	t.Logf("all: %d of %d lines reach a right command, %d of %d options just as stated", all.reached, all.lines, all.exact, all.stated)
}

// tradeLines returns the lines made up for this test, as the head of their file
// describes them.
func tradeLines(t testing.TB) []typedLine {
	text, err := os.ReadFile("../testdata/lines/trade.txt")
	require.NoError(t, err)
	var all []typedLine
	language := ""
	for row := range strings.Lines(string(text)) {
		row = strings.TrimSpace(row)
		if name, ok := strings.CutPrefix(row, "## "); ok {
			language = name
		}
		if row == "" || strings.HasPrefix(row, "#") {
			continue
		}
		l := tradeLine(t, row)
		l.Language = language
		all = append(all, l)
	}
	return all
}

// tradeLine reads one row of their file.
func tradeLine(t testing.TB, row string) typedLine {
	typed, reading, ok := strings.Cut(row, " => ")
	require.True(t, ok, "want a line => its reading: %s", row)
	l := typedLine{Options: map[string]string{}, Assumed: map[string]string{}}
	said := strings.Split(typed, " >> ")
	l.Talk, l.Line = said[:len(said)-1], said[len(said)-1]
	fields := fieldsOf(reading)
	l.Commands = strings.Split(fields[0], "|")
	for _, f := range fields[1:] {
		name, value, valued := strings.Cut(f, ":")
		value = strings.Trim(value, `"`)
		switch f[0] {
		case '?':
			l.Ask = append(l.Ask, f[1:])
		case '-':
			l.Unused = append(l.Unused, f[1:])
		case '~':
			l.Assumed[name[1:]] = value
		default:
			require.True(t, valued, "%s: want a value in %q", row, f)
			l.Options[name] = value
		}
	}
	return l
}

// fieldsOf splits a reading at the blanks that are not within quotes.
func fieldsOf(text string) []string {
	quoted := false
	return strings.FieldsFunc(text, func(c rune) bool {
		if c == '"' {
			quoted = !quoted
		}
		return c == ' ' && !quoted
	})
}
