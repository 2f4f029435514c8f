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
	exact  bool
	wrong  []string // options with a wrong value that is not said to be assumed
	missed []string
	got    string
}

func scoreLine(t testing.TB, r *read.Reader, l typedLine) score {
	var base *spec.Request
	for _, before := range l.Talk {
		if b := r.Read(before, base); len(b.Requests) > 0 {
			base = &b.Requests[0]
		}
	}
	got := r.Read(l.Line, base)
	var s score
	switch {
	case got.Question != nil:
		s.got = "question"
		if !slices.Contains(l.Ask, "ambiguous") {
			s.missed = append(s.missed, "asked "+got.Question.Choices[0].Line()+" or "+got.Question.Choices[1].Line())
		}
	case got.Problem != nil:
		s.got = "problem: " + got.Problem.Error()
		if !slices.Contains(l.Commands, "none") {
			s.missed = append(s.missed, s.got)
		}
	default:
		req := got.Requests[0]
		s.got = req.Line()
		if !slices.Contains(l.Commands, req.Command.Name) {
			s.missed = append(s.missed, "command")
		}
		scoreOptions(t, l, req, &s)
		for _, u := range got.Unused {
			if strings.ContainsAny(u, "0123456789") && !strings.Contains(strings.Join(l.Unused, " "), u) {
				s.missed = append(s.missed, "unused "+u)
			}
		}
	}
	s.exact = len(s.missed) == 0 && len(s.wrong) == 0
	return s
}

func scoreOptions(t testing.TB, l typedLine, req spec.Request, s *score) {
	for name, want := range l.Options {
		o, ok := req.Command.Option(name)
		if !ok {
			continue // an option of another command that would also be right
		}
		if name == "what" && req.Command.Name != "help" && req.Command.Name != "symptom" {
			continue
		}
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
		}
	}
	for _, g := range req.Given {
		name := g.Option.About().Name
		if _, stated := l.Options[name]; stated || g.Origin == spec.Carried {
			continue
		}
		want, ok := l.Assumed[name]
		if ok && !sameValue(t, g.Option, want, g.Value) && g.Origin == spec.Stated {
			s.wrong = append(s.wrong, name)
		}
		if !ok && name != "pressure" && name != "what" { // 30 bar is read in order to be questioned
			s.missed = append(s.missed, "also "+name)
			s.wrong = append(s.wrong, name)
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

// TestLines scores the reader on lines that people typed. The bar holds for
// the lines whose first command is one of ours; the others are only counted.
func TestLines(t *testing.T) {
	set, err := New(Deps{})
	require.NoError(t, err)
	r, err := read.New(set)
	require.NoError(t, err)
	ours, exact, wrong := 0, 0, 0
	for _, l := range typedLines(t) {
		if _, ok := set.Command(l.Commands[0]); !ok || l.Commands[0] == "help" || l.Commands[0] == "why" {
			if os.Getenv("ALL") != "" {
				s := scoreLine(t, r, l)
				t.Logf("%s %q: %s", l.ID, l.Line, s.got)
			}
			continue
		}
		s := scoreLine(t, r, l)
		ours++
		wrong += len(s.wrong)
		if s.exact {
			exact++
			continue
		}
		t.Logf("%s %q: missed %v, wrong %v: %s", l.ID, l.Line, s.missed, s.wrong, s.got)
	}
	t.Logf("%d of %d lines exact, %d silent wrong values", exact, ours, wrong)
	assert.GreaterOrEqual(t, exact*100, 90*ours, "lines read exactly")
	assert.Zero(t, wrong, "silent wrong values")
}
