// Package reply holds what a command answers: facts first, typed, without
// markup. Front ends decide how it looks; nothing here knows them.
package reply

import (
	"spokeword/calc/basis"
)

// Reply is one answer. The order in which front ends show it is fixed: Lead,
// Cautions, Tables, what was read and assumed, Notes, Actions.
type Reply struct {
	Command string
	Line    string // the canonical request
	Title   string
	Lead    []string // one or two lines that answer; a refusal's caution is its lead
	Facts   Facts    // what the cautions are due from
	// Cautions are filled from the one table, the gravest first, never more
	// than three. Front ends may cut notes and rows, never these.
	Cautions []Caution
	Tables   []Table
	// Drawing is a sketch in characters of one width, at most 34 to a line.
	Drawing []string
	Read    []Item   // what was understood
	Assumed []Item   // what was assumed or carried over, and why
	Unused  []string // words of the line that were not used
	Notes   []Note
	Working []Step // the sum, for why
	// Explain adds the longer part of the working when somebody asks why.
	Explain func(*Reply)
	// Recalled marks an answer given before a restart. Only its Line, Read,
	// Assumed and Private were kept; the rest must be worked out again.
	Recalled bool
	Values   []Value
	Actions  []Action
	Ask      *Ask
	Next     *Next // what a further line goes on with
	Private  bool
	Shared   bool   // the asker wants everybody to see it
	Refused  bool   // the answer is a refusal: nothing was computed that may be used
	Mistake  bool   // the asker's mistake: only they see it
	Fault    bool   // our fault: the asker gets its number, the log the rest
	Error    string // what went wrong, of a Mistake or a Fault
	Example  string // a line that works, with a Mistake
}

// Item is one option with its value as text.
type Item struct {
	Option   string
	Label    string // what it is called, where that is not its name
	Value    string
	Why      string // empty for what was stated
	Personal bool
}

// Caution is a safety note, true by itself.
type Caution struct {
	ID   string
	Text string
}

// Table is a small table. The first column names the row.
type Table struct {
	Title string
	Head  []string
	Rows  []Row
}

// Row is a row of a table.
type Row struct {
	Cells    []string
	Personal bool // left out when shared
}

// Note is a remark with what it rests on.
type Note struct {
	Text     string
	Basis    basis.Basis
	Personal bool
}

// Step is one step of the working: what was worked out, the sum with its
// numbers, and what it rests on.
type Step struct {
	What     string
	Sum      string
	Basis    basis.Basis
	Personal bool
}

// Value is a result as a number, for programs and tests. Names are listed in
// names.go.
type Value struct {
	Name      string
	Value     float64 // in Unit
	Text      string  // for values that are words, Unit ""
	Unit      Unit
	Low, High float64 // a band, both 0 if none
	Personal  bool
}

// Action is something to do next: a label and the line it stands for.
type Action struct {
	Label string
	Line  string
}

// Next is a request that a further value completes, without a question: the
// next readings of somebody who trues a wheel.
type Next struct {
	Option string // of the value
	Line   string // of the request
}

// Ask is a question back: one value that lacks, with the likely answers.
type Ask struct {
	Option  string
	Text    string
	Choices []Action
}

// Add appends a value.
func (r *Reply) Add(name string, value float64, unit Unit) {
	r.Values = append(r.Values, Value{Name: name, Value: value, Unit: unit})
}

// Note appends a note.
func (r *Reply) Note(text string, b basis.Basis) {
	r.Notes = append(r.Notes, Note{Text: text, Basis: b})
}

// Assume appends an assumption of the command's own.
func (r *Reply) Assume(option, value, why string) {
	r.Assumed = append(r.Assumed, Item{Option: option, Value: value, Why: why})
}

// Step appends a step of the working.
func (r *Reply) Step(what, sum string, b basis.Basis) {
	r.Working = append(r.Working, Step{What: what, Sum: sum, Basis: b})
}

// Public returns the reply as it may be shared in a channel: without what is
// personal, but still saying for whom the figures are.
func (r Reply) Public() Reply {
	out := r
	out.Private = false
	out.Line = ""
	out.Read = without(r.Read, func(i Item) bool { return i.Personal })
	out.Assumed = without(r.Assumed, func(i Item) bool { return i.Personal })
	out.Notes = without(r.Notes, func(n Note) bool { return n.Personal })
	out.Working = without(r.Working, func(s Step) bool { return s.Personal })
	out.Values = without(r.Values, func(v Value) bool { return v.Personal })
	out.Tables = nil
	for _, t := range r.Tables {
		t.Rows = without(t.Rows, func(row Row) bool { return row.Personal })
		if len(t.Rows) > 0 {
			out.Tables = append(out.Tables, t)
		}
	}
	// What was typed may hold the weight: none of it is repeated, an error neither.
	out.Unused, out.Actions, out.Ask, out.Explain = nil, nil, nil, nil
	out.Error, out.Example = "", ""
	return out
}

func without[T any](all []T, drop func(T) bool) []T {
	var kept []T
	for _, v := range all {
		if !drop(v) {
			kept = append(kept, v)
		}
	}
	return kept
}
