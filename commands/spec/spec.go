// Package spec declares what people can ask for: commands, their options, and
// the requests made of them. Everything that shows a command (reader, forms,
// manifest, help, the README's table) is made from its declaration here, once.
package spec

import (
	"context"
	"errors"
	"fmt"
	"reflect"
	"strings"

	"spokeword/calc/quantity"
	"spokeword/commands/reply"
)

// Form turns an option's value into text and back. The law: Parse(Text(v)) is v.
type Form[T any] interface {
	// Parse reads the value of a filled field or of a canonical line.
	Parse(text string) (T, error)
	// Text writes the value canonically.
	Text(v T) string
}

// Info is what every option says of itself.
type Info struct {
	Name     string // canonical, one lower-case word
	Label    string // what an answer calls it, as the trade does; "" for Name
	Help     string // what it means, one line, no full stop
	Example  string // a value that works
	Words    Words  // cues that stand beside the value in a sentence
	Hints    Words  // weaker cues: little words that announce it, as "on" a rim
	Carried  bool   // true if an answer writes it for the next: nothing to show among what was read
	Personal bool   // true if the value is nobody else's business, as a rider's weight
}

// Called returns what an answer calls the option.
func (i *Info) Called() string {
	if i.Label != "" {
		return i.Label
	}
	return i.Name
}

// Option is an Arg of any type.
type Option interface {
	About() *Info
	Form() any                      // the Form[T], for package read
	Parse(text string) (any, error) // as Form.Parse
	Text(v any) string              // as Form.Text
}

// Arg declares an option with a value of type T.
type Arg[T any] struct {
	Info
	As Form[T]
}

// About returns the option's description.
func (a *Arg[T]) About() *Info { return &a.Info }

// Form returns the option's form.
func (a *Arg[T]) Form() any { return a.As }

// Parse reads a value, and says which option could not be read.
func (a *Arg[T]) Parse(text string) (any, error) {
	v, err := a.As.Parse(strings.TrimSpace(text))
	if err != nil {
		return nil, &UsageError{Option: a.Name, Problem: a.Name + " " + err.Error(), Example: a.Name + `:"` + a.Example + `"`}
	}
	return v, nil
}

// Text writes a value canonically.
func (a *Arg[T]) Text(v any) string { return a.As.Text(v.(T)) }

// Of returns the option's value in a request, and whether it was given.
func (a *Arg[T]) Of(r Request) (T, bool) {
	for _, g := range r.Given {
		if g.Option == Option(a) {
			return g.Value.(T), true
		}
	}
	var none T
	return none, false
}

// Or returns the option's value in a request, or what stands in for it.
func (a *Arg[T]) Or(r Request, otherwise T) T {
	if v, ok := a.Of(r); ok {
		return v
	}
	return otherwise
}

// In returns the given entry of the option in a request, if any.
func (a *Arg[T]) In(r Request) (Given, bool) { return r.Get(a.Name) }

// Want is something a command would like to be told. Without a command word
// the commands compete by what they want and find in the line.
type Want struct {
	Any    []Option // one of these satisfies it
	Weight float64  // what its lack costs the command in the competition
}

// Command declares one command.
type Command struct {
	Name    string
	Summary string // what it answers, one line, no full stop
	// Because says in one line how an answer is worked out, no full stop; empty for
	// commands that compute nothing.
	Because string
	Words   Words // words and phrases that call it
	// Keys are words that call it from anywhere in a line: groups of alternatives,
	// one of each must be there, as of read.Choice.
	Keys    []string
	Options []Option
	// Wants are what the command would like to be told. A line that names one
	// of them is a new question; one that names none goes on from the last.
	Wants  []Want
	Apart  [][2][]Option      // groups of options of which a request sets only one
	Suits  func(Request) bool // false if the command can do nothing with what it was given; nil: always true
	Weight float64            // what the command costs when nothing in the line names it
	// Akin are the names of commands whose words say nothing against this one: who
	// asks what changes asks for a pressure too.
	Akin []string
	// Telling is what the command's words count for beyond those of others:
	// who says circumference asks for nothing else.
	Telling float64
	// Everyday says that the name is an everyday word, which calls the command
	// only as the first of a line whose numbers it reads all: "ride sheet", but
	// not "a wet ride" or "ride at -2 with 22 psi".
	Everyday bool
	// Asked says that the command answers only lines that name it, by its name or
	// one of its words: what it takes is more often meant for another.
	Asked bool
	// Unasked are the options with which a command that is Asked answers a line
	// without its name too: all of one group. None: never. An option that stands
	// twice must have several values.
	Unasked [][]Option
	// Enough are groups of options of which one, whole, gets an answer whatever else
	// of Wants is lacked.
	Enough [][]Option
	// Follows are the options that a line takes over from the last request where
	// that was another command's: after "fit 30 2.4" a bare "82 kg" asks for the
	// pressure of that tyre. A line that names the first of them is a new question.
	Follows []Option
	// Idly says that nobody asks for what the command does in a line that says more,
	// without its name: "10 mm" alone is to be converted, that of "a cut of 10 mm" not.
	Idly bool
	// Later says that the command has nothing to answer without a last request.
	Later bool
	// Pointing says that only a line which points back, "does it fit", takes them over.
	Pointing bool
	// Adds says that a number with a plus sign is for it: it goes from the asker's
	// own figures, and to others "+12 kg" is a load like any.
	Adds bool
	// Keeps says that the command keeps what the line says under a name, and
	// answers nothing of it: "80 kg 29x2.4 psi, save as hardtail" asks two things.
	Keeps bool
	// Forgets says that the talk ends with the answer: nothing is gone on from.
	Forgets  bool
	Examples []string
	Run      func(ctx context.Context, req Request) (reply.Reply, error)
}

// Takes reports whether the command takes the option.
func (c *Command) Takes(o Option) bool {
	for _, own := range c.Options {
		if own == o {
			return true
		}
	}
	return false
}

// Option returns the command's option of that name.
func (c *Command) Option(name string) (Option, bool) {
	for _, o := range c.Options {
		if o.About().Name == name {
			return o, true
		}
	}
	return nil, false
}

// Example returns an example of the command as a whole line, with its name.
func (c *Command) Example(i int) string {
	if strings.HasPrefix(c.Examples[i], c.Name) {
		return c.Examples[i]
	}
	return c.Name + " " + c.Examples[i]
}

// Private reports whether an answer to the request is for the asker alone,
// known before it is run: an option marked Personal is set.
func (c *Command) Private(r Request) bool {
	for _, g := range r.Given {
		if g.Option.About().Personal {
			return true
		}
	}
	return false
}

// Origin says where a value of a request comes from.
type Origin uint8

// The origins of a value.
const (
	Stated  Origin = iota // typed just so
	Assumed               // typed without unit or misspelt: read so, and said
	Carried               // from the asker's last request in that channel, and said
)

// Given is one option with its value in a request.
type Given struct {
	Option Option
	Value  any
	Origin Origin
	Why    string // why it was assumed or whence it was carried; empty if stated
}

// Request is one command with the values given for it, in the order of the
// command's declaration.
type Request struct {
	Command *Command
	Given   []Given
	// Shown are the units that the talk asked to see. They change no value, and
	// the request's line does not hold them.
	Shown Units
}

// Units holds a unit for each kind of quantity, NoUnit where none was asked for.
type Units [quantity.Kinds]quantity.Unit

// Get returns what was given for the option of that name.
func (r Request) Get(name string) (Given, bool) {
	for _, g := range r.Given {
		if g.Option.About().Name == name {
			return g, true
		}
	}
	return Given{}, false
}

// With returns a copy of r with the option set to a value, in the order of
// the declaration. It returns r unchanged if the command lacks the option.
func (r Request) With(g Given) Request {
	out := Request{Command: r.Command, Shown: r.Shown, Given: make([]Given, 0, len(r.Given)+1)}
	for _, o := range r.Command.Options {
		if o == g.Option {
			out.Given = append(out.Given, g)
			continue
		}
		if old, ok := r.Get(o.About().Name); ok {
			out.Given = append(out.Given, old)
		}
	}
	return out
}

// Set returns a copy of r with the option set as stated.
func Set[T any](r Request, a *Arg[T], v T) Request {
	return r.With(Given{Option: a, Value: v})
}

// Line writes r canonically: the command and each option as name:"value".
// The law, tested and fuzzed: reading the line gives r again.
func (r Request) Line() string {
	if r.Command == nil {
		return ""
	}
	var b strings.Builder
	b.Grow(len(r.Command.Name) + 24*len(r.Given)) // as much as most lines take
	b.WriteString(r.Command.Name)
	for _, g := range r.Given {
		b.WriteByte(' ')
		b.WriteString(g.Option.About().Name)
		b.WriteByte(':')
		text := g.Option.Text(g.Value)
		if Plain(text) {
			b.WriteString(text)
		} else {
			b.WriteByte('"')
			b.WriteString(text)
			b.WriteByte('"')
		}
	}
	return b.String()
}

// Plain reports whether a value may stand in a line without quotes.
func Plain(text string) bool {
	for _, c := range text {
		if !(c >= 'a' && c <= 'z' || c >= 'A' && c <= 'Z' || c >= '0' && c <= '9' || c == '.' || c == '-' || c == '+') {
			return false
		}
	}
	return text != ""
}

// UsageError is the asker's mistake: they alone see it, with a line that works.
type UsageError struct {
	Option  string // the option it is about; may be empty
	Problem string // what was found and what was wanted, complete by itself
	Example string // a line that works
}

// Error writes what was found and what was wanted.
func (e *UsageError) Error() string { return e.Problem }

// Misuse returns a UsageError with the problem written by the format.
func Misuse(option, example, format string, values ...any) error {
	return &UsageError{Option: option, Problem: fmt.Sprintf(format, values...), Example: example}
}

// AsUsage returns the UsageError in err's chain.
func AsUsage(err error) (*UsageError, bool) {
	var u *UsageError
	return u, errors.As(err, &u)
}

// Commands is everything that can be asked, in the order help shows it.
type Commands struct {
	All    []*Command
	byName map[string]*Command
}

// NewCommands checks the declarations against each other: names unique, every
// wanted option taken, examples present. Options of one name are one and the
// same, unless their values are of different kinds: what "was" before is a
// length here and a tyre there.
func NewCommands(all ...*Command) (*Commands, error) {
	set := &Commands{All: all, byName: make(map[string]*Command)}
	type name struct {
		name string
		form reflect.Type
	}
	options := make(map[name]Option)
	for _, c := range all {
		switch {
		case c.Name == "" || c.Summary == "" || c.Run == nil || len(c.Examples) == 0:
			return nil, fmt.Errorf("command %q: want name, summary, examples and run", c.Name)
		case set.byName[c.Name] != nil:
			return nil, fmt.Errorf("command %q: declared twice", c.Name)
		}
		set.byName[c.Name] = c
		own := make(map[string]bool)
		for _, o := range c.Options {
			n := name{o.About().Name, reflect.TypeOf(o.Form())}
			if known, ok := options[n]; ok && known != o || own[n.name] {
				return nil, fmt.Errorf("option %q: declared twice", n.name)
			}
			options[n] = o
			own[n.name] = true
		}
		for _, w := range c.Wants {
			for _, o := range w.Any {
				if !c.Takes(o) {
					return nil, fmt.Errorf("command %q: wants %q and does not take it", c.Name, o.About().Name)
				}
			}
		}
		for _, o := range c.Follows {
			if !c.Takes(o) {
				return nil, fmt.Errorf("command %q: takes %q over and does not take it", c.Name, o.About().Name)
			}
		}
	}
	return set, nil
}

// Command returns the command of that name.
func (s *Commands) Command(name string) (*Command, bool) {
	c, ok := s.byName[name]
	return c, ok
}

// Options returns every option of every command once, in order of declaration.
func (s *Commands) Options() []Option {
	var all []Option
	seen := make(map[Option]bool)
	for _, c := range s.All {
		for _, o := range c.Options {
			if !seen[o] {
				seen[o] = true
				all = append(all, o)
			}
		}
	}
	return all
}
