package commands

import (
	"context"
	"fmt"
	"runtime"
	"slices"
	"strings"
	"unicode"

	"spokeword/calc/quantity"
	"spokeword/commands/caution"
	"spokeword/commands/read"
	"spokeword/commands/reply"
	"spokeword/commands/sayings"
	"spokeword/commands/spec"
	"spokeword/commands/talk"
)

// Desk answers lines: it reads them, runs the command, adds what every answer
// carries, and remembers what was talked about. Every front end asks here.
type Desk struct {
	deps   Deps
	set    *spec.Commands
	reader *read.Reader
	labels map[string]string // what answers call options that have another name
}

// Asker is who asks and where. The zero Asker is the local console.
type Asker = talk.Key

// NewDesk returns a desk for all commands.
func NewDesk(deps Deps) (*Desk, error) {
	d := &Desk{}
	deps.again = d.again
	set, err := New(deps)
	if err != nil {
		return nil, err
	}
	reader, err := read.New(set, sayings.All)
	if err != nil {
		return nil, err
	}
	d.deps, d.set, d.reader = deps, set, reader
	d.labels = map[string]string{}
	for _, o := range set.Options() {
		if about := o.About(); about.Label != "" {
			d.labels[about.Name] = about.Label
		}
	}
	return d, nil
}

// Commands returns what can be asked.
func (d *Desk) Commands() *spec.Commands { return d.set }

// Ask answers a line. It never fails: the asker's mistake, a question back and
// our own fault are replies too.
func (d *Desk) Ask(ctx context.Context, asker Asker, line string) (replies []reply.Reply) {
	defer func() {
		if p := recover(); p != nil { // of the reader; Do has its own for the commands
			replies = []reply.Reply{d.fault(spec.Request{}, fmt.Errorf("panic: %v in %s", p, Where()))}
		}
	}()
	state := d.deps.Talk.Get(asker)
	before := state
	if replies, ok := d.verb(ctx, asker, line, state); ok {
		return replies
	}
	reading, state := d.read(line, state)
	switch {
	case reading.Problem != nil && len(reading.Elsewhere) == 0:
		return []reply.Reply{d.mistake(reading)}
	case reading.Problem != nil, reading.Question != nil:
		replies = []reply.Reply{offered(reading)}
		if reading.Question != nil {
			replies = []reply.Reply{question(reading)}
		}
		d.deps.Talk.Put(asker, offering(before, replies))
		return replies
	}
	for _, req := range reading.Requests {
		state.Shown = shownStill(before.Shown, req)
		for k, u := range reading.Shown {
			if u != quantity.NoUnit {
				state.Shown[k] = u
			}
		}
		r := d.Do(ctx, asker, showing(req, state))
		if full, ok := d.goingOn(req, r, before); ok && !reading.Called {
			if again := d.Do(ctx, asker, showing(full, state)); !again.Mistake && !again.Fault {
				req, r = full, again
			}
		}
		if reading.Topic && len(reading.Elsewhere) > 0 && (r.Ask != nil || r.Mistake) {
			req, r = d.topic(ctx, asker, &reading, req, r, state)
		}
		r.Unused = leftOver(req, reading.Unused)
		r.Private = r.Private || holdsWeight(r.Unused)
		unread(req.Command, &r)
		elsewhere(reading, &r)
		if reading.Earlier && !req.Command.Keeps {
			r.Notes = append([]reply.Note{{Text: "Nothing of your last ride is kept here yet: this goes from what you say now"}}, r.Notes...)
		}
		unsure(reading, req, &r)
		for _, s := range reading.Slips {
			r.Assumed = append(r.Assumed, reply.Item{Option: "spelling", Value: s.Read, Why: fmt.Sprintf("typed as %q", s.Typed)})
		}
		replies = append(replies, r)
		if name := req.Command.Name; name == "why" || name == "help" {
			state = before // they leave an open question open
			continue
		}
		if req.Command.Keeps && r.Ask == nil && (len(reading.Requests) > 1 || before.Base != "" && !strings.HasPrefix(before.Base, req.Command.Name+" ")) {
			continue // the talk goes on from what was answered
		}
		if req.Command.Forgets {
			d.deps.Talk.Put(asker, talk.State{})
			return replies
		}
		state = remembered(state, req, r)
	}
	state.Offers = before.Offers
	d.deps.Talk.Put(asker, offering(state, replies))
	return replies
}

// leftOver returns what an answer tells as not used. Of a line that an article
// answers those words are none that the article speaks of, or is found by, and those
// numbers none that stand in its first lines.
func leftOver(req spec.Request, unused []string) []string {
	id, about := what.Of(req)
	if !about {
		return unused
	}
	a, ok := article(id)
	if !ok {
		return unused
	}
	return slices.DeleteFunc(slices.Clone(unused), func(text string) bool {
		if number := strings.TrimRightFunc(text, unicode.IsLetter); strings.ContainsAny(text, "0123456789") {
			return a.SpeaksOfNumber(strings.TrimSpace(strings.Replace(number, ",", ".", 1)))
		}
		return a.SpeaksOf(text)
	})
}

// Do runs one request and adds what every answer carries: its line, what was
// read and assumed, whether it is private, and the cautions that are due.
func (d *Desk) Do(ctx context.Context, asker Asker, req spec.Request) (r reply.Reply) {
	defer func() {
		if p := recover(); p != nil {
			r = d.fault(req, fmt.Errorf("panic: %v in %s", p, Where()))
		}
	}()
	r, err := req.Command.Run(talk.With(ctx, asker), req)
	if err != nil {
		if u, ok := spec.AsUsage(err); ok {
			r = reply.Reply{Mistake: true, Error: d.worded(u), Example: u.Example}
		} else {
			r = d.fault(req, err)
		}
	}
	r.Command = req.Command.Name
	r.Line = req.Line()
	r.Private = r.Private || req.Command.Private(req) // why is as private as what it explains
	var assumed []reply.Item
	for _, g := range req.Given {
		about := g.Option.About()
		if about.Carried {
			continue
		}
		if r.Ask != nil && r.Ask.Option == about.Name && g.Origin == spec.Assumed {
			continue // a guess that is just being asked about
		}
		item := reply.Item{Option: about.Name, Value: g.Option.Text(g.Value), Personal: about.Personal}
		r.Read = append(r.Read, item)
		if g.Origin != spec.Stated {
			item.Why = g.Why
			assumed = append(assumed, item)
		}
	}
	r.Assumed = append(assumed, r.Assumed...)
	d.label(r.Read)
	d.label(r.Assumed)
	if r.Ask == nil && !r.Mistake && !r.Fault {
		r.Actions = append(r.Actions, corrections(req)...)
	}
	r.Cautions = caution.Due(r.Facts)
	return r
}

// label gives items the names that the trade has for their options.
func (d *Desk) label(items []reply.Item) {
	for i := range items {
		name, rest, _ := strings.Cut(items[i].Option, " ") // "offset 142" is that of one hub
		if label, ok := d.labels[name]; ok {
			items[i].Label = strings.TrimSpace(label + " " + rest)
		}
	}
}

// worded says what is wrong in the names that the trade has for the options.
func (d *Desk) worded(u *spec.UsageError) string {
	if label, ok := d.labels[u.Option]; ok && strings.HasPrefix(u.Problem, u.Option+" ") {
		return label + strings.TrimPrefix(u.Problem, u.Option)
	}
	return u.Problem
}

// again works out an answer that was given before a restart, from its line.
// What was read and assumed stays as it was said then: the line alone no longer
// tells what was a guess or carried over.
func (d *Desk) again(ctx context.Context, told reply.Reply) (reply.Reply, error) {
	lost := spec.Misuse("", "pressure 80kg 29x2.4 30mm trail", "the last answer was given before a restart and can't be explained any more: want the question once more")
	reading := d.reader.Read(told.Line, nil)
	if len(reading.Requests) != 1 || reading.Requests[0].Line() != told.Line {
		return reply.Reply{}, lost // another version wrote that line
	}
	r := d.Do(ctx, talk.From(ctx), reading.Requests[0])
	if r.Fault || r.Mistake && !r.Refused {
		return reply.Reply{}, lost
	}
	r.Read, r.Assumed = told.Read, told.Assumed
	d.label(r.Read)
	d.label(r.Assumed)
	r.Private = r.Private || told.Private
	return r, nil
}

// Where lists the functions on the stack with their lines, for the log. It
// leaves out their arguments, which may hold what people typed.
func Where() string {
	var at [24]uintptr
	frames := runtime.CallersFrames(at[:runtime.Callers(3, at[:])])
	var all []string
	for {
		f, more := frames.Next()
		all = append(all, fmt.Sprintf("%s:%d", f.Function, f.Line))
		if !more {
			return strings.Join(all, " < ")
		}
	}
}

// fault logs our own error once and gives the asker its number.
func (d *Desk) fault(req spec.Request, err error) reply.Reply {
	number := d.deps.Log(err)
	return reply.Reply{Fault: true, Error: fmt.Sprintf("Something went wrong on our side (number %s). Your question was not lost: %s", number, req.Line())}
}

// topic answers what a line is about instead of what it was read as, where that
// came to no answer; the other is offered beside it.
func (d *Desk) topic(ctx context.Context, asker Asker, reading *read.Reading, req spec.Request, r reply.Reply, state talk.State) (spec.Request, reply.Reply) {
	reading.Topic = false // it is one request's
	about := reading.Elsewhere[0]
	told := d.Do(ctx, asker, showing(about, state))
	if told.Mistake || told.Fault || told.Ask != nil {
		return req, r
	}
	reading.Elsewhere = slices.Delete(slices.Clone(reading.Elsewhere), 0, 1)
	if !r.Mistake {
		reading.Elsewhere = slices.Insert(reading.Elsewhere, 0, req)
	}
	return about, told
}

// holdsWeight reports whether words that were not used hold what may be a
// person's weight: "fit 2.5 on 25 mm, 80 kg".
func holdsWeight(unused []string) bool {
	return slices.ContainsFunc(unused, func(text string) bool {
		m, err := quantity.ParseMeasure(text)
		if err != nil || m.Unit == quantity.NoUnit {
			return false
		}
		_, err = rider.Parse(text)
		return err == nil
	})
}

// elsewhere offers what words that were not used speak of. An offer that holds a
// weight makes the answer private.
func elsewhere(reading read.Reading, r *reply.Reply) {
	for _, e := range reading.Elsewhere {
		label := e.Command.Name
		switch id, ok := what.Of(e); {
		case label == "size" || label == "convert": // "in mm" speaks of the answer
			continue
		case ok:
			a, known := article(id)
			switch {
			case known:
				label = a.Title
			case label == "help":
				continue // the name of a command
			default:
				label += " " + id
			}
		}
		r.Actions = slices.Insert(r.Actions, 0, reply.Action{Label: "or: " + label, Line: e.Line()})
		r.Private = r.Private || e.Command.Private(e)
	}
}

// Words that were not used before a question shows that the line may have asked
// for something else: of a request that holds nothing its command wants, and of
// any other. Common practice, no source.
const (
	strayWords     = 2
	strayWordsElse = 3
)

// unsure says that a line may not have been understood, where what is asked back
// stands against words that meant nothing here.
func unsure(reading read.Reading, req spec.Request, r *reply.Reply) {
	if r.Ask == nil || r.Explain != nil || len(req.Command.Wants) == 0 {
		return
	}
	stray := 0
	for _, u := range reading.Unused {
		if !strings.ContainsAny(u, "0123456789") {
			stray++
		}
	}
	lacking := 0
	for _, w := range req.Command.Wants {
		if !answersAll(req, w) {
			lacking++
		}
	}
	if lacking == 0 || stray < strayWords || lacking < len(req.Command.Wants) && stray < strayWordsElse {
		return
	}
	// The words themselves stand under "Not used", which a shared answer leaves out.
	const first = "I may not have understood you: what says nothing to me stands below. Put it in other words, or:"
	r.Lead = append([]string{first}, r.Lead[:min(len(r.Lead), 1)]...)
}

func (d *Desk) mistake(reading read.Reading) reply.Reply {
	r := reply.Reply{Mistake: true, Error: reading.Problem.Error(), Unused: reading.Unused}
	if u, ok := spec.AsUsage(reading.Problem); ok {
		r.Error, r.Example = d.worded(u), u.Example
	}
	return r
}

// offered asks which of several subjects a line is about that nothing else was read in.
func offered(reading read.Reading) reply.Reply {
	ask := &reply.Ask{Option: "what", Text: "I am not sure what that asks. Is it one of these? Else put it in other words."}
	for _, e := range reading.Elsewhere {
		if id, ok := what.Of(e); ok {
			ask.Choices = append(ask.Choices, reply.Action{Label: heads[id].Title, Line: e.Line()})
		} else {
			ask.Choices = append(ask.Choices, reply.Action{Label: "work it out: " + e.Command.Name, Line: e.Line()})
		}
	}
	return reply.Reply{Ask: ask, Lead: []string{ask.Text}, Unused: reading.Unused}
}

// question asks which of two readings is meant, naming only what differs.
func question(reading read.Reading) reply.Reply {
	q := reading.Question
	ask := &reply.Ask{Option: "ambiguous"}
	var labels []string
	for i, c := range q.Choices {
		label := apartFrom(c, q.Choices[1-i])
		labels = append(labels, label)
		ask.Choices = append(ask.Choices, reply.Action{Label: label, Line: c.Line()})
	}
	private := false
	for _, c := range q.Choices {
		private = private || c.Command.Private(c)
	}
	ask.Text = "That can be read in two ways: " + strings.Join(labels, ", or ") + "?"
	return reply.Reply{Ask: ask, Lead: []string{ask.Text}, Unused: reading.Unused, Private: private}
}

// apartFrom writes what a request says that another doesn't.
func apartFrom(r, other spec.Request) string {
	var parts []string
	for _, g := range r.Given {
		name, text := g.Option.About().Name, g.Option.Text(g.Value)
		if g.Origin == spec.Carried {
			continue // both go on from it
		}
		if o, ok := other.Get(name); !ok || o.Option.Text(o.Value) != text {
			parts = append(parts, name+" "+text)
		}
	}
	if len(parts) == 0 {
		return r.Command.Name
	}
	return strings.Join(parts, " and ")
}
