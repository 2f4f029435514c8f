// Package articles holds what no sum answers: what a tyre or a wheel is telling,
// questions of understanding, and the words of the trade. Each subject is one
// readable file in subjects. What an article is found by is read at start, the rest
// when it is asked for; the tests check every one of them.
package articles

import (
	"bytes"
	"fmt"
	"slices"
	"strings"
	"sync"
	"unicode"
	"unicode/utf8"

	"go.yaml.in/yaml/v3"

	"spokeword/calc/basis"
	"spokeword/commands/caution"
)

// opened are the articles that were asked for, by their ids.
var opened sync.Map

// Open returns an article whole.
func (h Head) Open() (Article, error) {
	if a, ok := opened.Load(h.ID); ok {
		return a.(Article), nil
	}
	text, err := files.ReadFile(fileOf(h.ID))
	if err != nil {
		return Article{}, err
	}
	a, err := decoded(h.ID, text)
	if err == nil {
		opened.Store(h.ID, a)
	}
	return a, err
}

// decoded returns the article in a file. One that lacks something is an error.
func decoded(id string, text []byte) (Article, error) {
	a := Article{Head: Head{ID: id}}
	in := yaml.NewDecoder(bytes.NewReader(text))
	in.KnownFields(true)
	err := in.Decode(&a)
	if err == nil {
		err = a.check()
	}
	if err != nil {
		return Article{}, fmt.Errorf("article %s: %w", id, err)
	}
	return a, nil
}

// Verdict says whether to ride on.
type Verdict string

// The verdicts of a symptom, from the gravest.
const (
	Stop   Verdict = "stop"   // not another metre before it is looked at
	Gently Verdict = "gently" // to the end of this ride, slowly
	On     Verdict = "on"     // nothing gets worse by riding
)

// Article is one subject.
type Article struct {
	Head `yaml:",inline"`
	// Answer is what is read first: one line of a symptom, which Ride completes,
	// two of the others.
	Answer []string `yaml:"answer"`
	Ride   Ride     `yaml:"ride"`   // of a symptom
	Causes []Cause  `yaml:"causes"` // of a symptom, the likeliest first
	Test   Test     `yaml:"test"`   // of a symptom: tells the first two causes apart
	Now    []string `yaml:"now"`    // what to do, in this order
	Rows   Rows     `yaml:"rows"`   // of a question: a small table
	// Drawing is a sketch in characters of one width, at most 34 to a line.
	Drawing []string `yaml:"drawing"`
	Notes   []Note   `yaml:"notes"`
	// Step is how far the pressure is moved, if that is a cure.
	Step Step `yaml:"step"`
	// Cautions are the ids of those that are due, the gravest first.
	Cautions []string `yaml:"cautions"`
	// Leads name the commands that compute the cure from the asker's numbers.
	Leads []string `yaml:"leads"`
	Try   []string `yaml:"try"` // lines to try
}

// SpeaksOf reports whether a word stands in what the article says in its first lines,
// causes and notes, or in what it is found by. An s at the end makes no difference.
func (a Article) SpeaksOf(word string) bool {
	word = strings.TrimSuffix(strings.ToLower(word), "s")
	says := func(text string) bool {
		return slices.ContainsFunc(strings.FieldsFunc(strings.ToLower(text), func(c rune) bool { return !unicode.IsLetter(c) }), func(w string) bool {
			return strings.TrimSuffix(w, "s") == word
		})
	}
	texts := slices.Concat([]string{a.Title}, a.Words, a.Keys, a.Answer, a.Now, a.De, a.Fr, a.Es, a.It)
	for _, c := range a.Causes {
		texts = append(texts, c.Cause, c.Cure)
	}
	for _, n := range a.Notes {
		texts = append(texts, n.Text)
	}
	return word != "" && slices.ContainsFunc(texts, says)
}

// SpeaksOfNumber reports whether a number stands in what the article answers first.
func (a Article) SpeaksOfNumber(number string) bool {
	return number != "" && slices.ContainsFunc(append([]string{a.Title}, a.Answer...), func(text string) bool {
		return slices.Contains(strings.FieldsFunc(text, func(c rune) bool { return !unicode.IsDigit(c) && c != '.' }), number)
	})
}

// Ride says whether to ride on, and why.
type Ride struct {
	Verdict Verdict `yaml:"verdict"`
	Says    string  `yaml:"says"` // one sentence behind the verdict's word
}

// Cause is one cause with what cures it.
type Cause struct {
	Cause string `yaml:"cause"`
	Cure  string `yaml:"cure"`
}

// Test tells the first two causes apart.
type Test struct {
	Do     string `yaml:"do"`
	First  string `yaml:"first"`  // what shows that it is the first
	Second string `yaml:"second"` // what shows that it is the second
}

// Rows are a small table; the first column names the row.
type Rows struct {
	Head []string   `yaml:"head"`
	Rows [][]string `yaml:"rows"`
}

// Note is a remark with what it rests on: one of the kinds of package basis,
// with its source.
type Note struct {
	Text   string `yaml:"text"`
	Basis  string `yaml:"basis"`
	Source string `yaml:"source"`
}

// Step moves a pressure: by PSI at a time, Times times.
type Step struct {
	PSI   float64 `yaml:"psi"` // signed
	Times int     `yaml:"times"`
}

// bases are the names of the kinds of basis in the files.
var bases = map[string]basis.Kind{
	"standard": basis.Standard, "handbook": basis.Handbook, "paper": basis.Paper, "article": basis.Article,
	"computed": basis.Computed, "practice": basis.Practice, "memory": basis.Memory,
}

// On returns what the note rests on.
func (n Note) On() basis.Basis { return basis.Basis{Kind: bases[n.Basis], Source: n.Source} }

// Lengths that a phone can show. MostAnswer is five lines of 40 columns.
const (
	MostAnswer = 200
	mostCell   = 80 // of a table
)

// check holds what every article owes its readers.
func (a Article) check() error {
	switch {
	case a.Title == "":
		return fmt.Errorf("no title")
	case len(a.Terms) > 0 && a.Kind != Word:
		return fmt.Errorf("terms of a %s: want them of words only", a.Kind)
	case len(a.Words) == 0 && len(a.Terms) == 0 && len(a.Keys) == 0:
		return fmt.Errorf("no words: want what people say for it")
	case len(a.Notes) == 0 && a.Kind != Word:
		return fmt.Errorf("no notes: want what it rests on")
	case len(a.Try) == 0:
		return fmt.Errorf("no line to try")
	}
	if err := a.checkKind(); err != nil {
		return err
	}
	for _, t := range append([]string{a.Ride.Says}, a.Answer...) {
		if n := len([]rune(t)); n > MostAnswer-10 {
			return fmt.Errorf("%v characters, want at most %v: %s", n, MostAnswer-10, t)
		}
	}
	for _, t := range a.cells() {
		if n := len([]rune(t)); n > mostCell || n == 0 {
			return fmt.Errorf("a cell of %v characters, want 1 to %v: %q", n, mostCell, t)
		}
	}
	for _, n := range a.Notes {
		kind, ok := bases[n.Basis]
		if !ok {
			return fmt.Errorf("basis %q: want one of package basis", n.Basis)
		}
		if cited := kind <= basis.Article; cited != (n.Source != "") {
			return fmt.Errorf("basis %s with source %q: want a source for what is published and for nothing else", n.Basis, n.Source)
		}
	}
	known := make(map[string]bool)
	for _, c := range caution.All() {
		known[c.ID] = true
	}
	for _, id := range a.Cautions {
		if !known[id] {
			return fmt.Errorf("caution %q: want one of the table", id)
		}
	}
	if len(a.Cautions) > caution.Most {
		return fmt.Errorf("%v cautions, want at most %v: the rest would never be seen", len(a.Cautions), caution.Most)
	}
	for _, l := range a.Drawing {
		if n := utf8.RuneCountInString(l); n > widestDrawing {
			return fmt.Errorf("a line of %v characters in the drawing, want at most %v: %q", n, widestDrawing, l)
		}
	}
	if (a.Step.PSI != 0) != (a.Step.Times != 0) || a.Step.Times < 0 || a.Step.Times > 3 {
		return fmt.Errorf("step %v: want up to three steps of some psi, or none", a.Step)
	}
	return nil
}

// widestDrawing is what a code block shows on a telephone, in characters.
const widestDrawing = 34

// checkKind holds what the kinds owe: a symptom causes in order, the test that
// tells the first two apart and a verdict; the others two lines.
func (a Article) checkKind() error {
	switch a.Kind {
	case Symptom:
		if len(a.Answer) != 1 || len(a.Rows.Head) > 0 {
			return fmt.Errorf("a symptom with %v lines of answer: want one, the verdict is the other, and causes for rows", len(a.Answer))
		}
		if len(a.Causes) < 2 {
			return fmt.Errorf("%v causes: want at least two, the likeliest first", len(a.Causes))
		}
		if a.Test.Do == "" || a.Test.First == "" || a.Test.Second == "" || a.Test.First == a.Test.Second {
			return fmt.Errorf("no test: want one that tells the first two causes apart")
		}
		if len(a.Now) == 0 {
			return fmt.Errorf("nothing to do now")
		}
		if !slices.Contains([]Verdict{Stop, Gently, On}, a.Ride.Verdict) || a.Ride.Says == "" {
			return fmt.Errorf("verdict %q: want stop, gently or on, and why", a.Ride.Verdict)
		}
		if !slices.Contains(a.Cautions, "from-afar") {
			return fmt.Errorf("no caution from-afar: every symptom is judged from words alone")
		}
	case Question, Word:
		if len(a.Answer) != 2 {
			return fmt.Errorf("%v lines of answer: want two", len(a.Answer))
		}
		if len(a.Causes) > 0 || a.Test != (Test{}) || a.Ride != (Ride{}) {
			return fmt.Errorf("causes, a test or a verdict: want them of symptoms only")
		}
		for _, r := range a.Rows.Rows {
			if len(r) != len(a.Rows.Head) {
				return fmt.Errorf("a row of %v cells, want %v", len(r), len(a.Rows.Head))
			}
		}
	default:
		return fmt.Errorf("kind %q: want symptom, question or word", a.Kind)
	}
	return nil
}

// cells are the texts that stand in tables.
func (a Article) cells() []string {
	var all []string
	for _, c := range a.Causes {
		all = append(all, c.Cause, c.Cure)
	}
	if a.Kind == Symptom {
		all = append(all, a.Test.Do, a.Test.First, a.Test.Second)
	}
	for _, r := range a.Rows.Rows {
		all = append(all, r...)
	}
	return append(all, a.Now...)
}
