package commands

import (
	"fmt"
	"slices"
	"strings"

	"spokeword/calc/quantity"
	"spokeword/commands/read"
	"spokeword/commands/reply"
	"spokeword/commands/spec"
	"spokeword/commands/talk"
)

// read reads a line in the light of what was talked about. While a question is
// open, a line that only answers it completes the request it was about.
func (d *Desk) read(line string, state talk.State) (read.Reading, talk.State) {
	var base *spec.Request
	if state.Base != "" {
		if b := d.reader.Read(state.Base, nil); len(b.Requests) == 1 {
			base = &b.Requests[0]
		}
	}
	if state.Asking != nil && state.Pending != "" && len(line) <= read.MaxBytes {
		if reading, ok := d.answer(line, state); ok {
			return reading, talk.State{Last: state.Last, Shown: state.Shown}
		}
	}
	reading := d.reader.Read(line, base)
	if state.Asking != nil && base != nil && reading.Question != nil {
		// read in the light of the open question: what goes on with it is meant
		for _, c := range reading.Question.Choices {
			if c.Command == base.Command {
				reading.Requests, reading.Question = []spec.Request{c}, nil
				break
			}
		}
	}
	if base != nil && goesOn(line) && reading.Question != nil {
		if c, ok := likeBase(reading.Question.Choices, *base); ok {
			reading.Requests, reading.Question = []spec.Request{c}, nil
		}
	}
	if base != nil && goesOn(line) && !reading.Called && len(reading.Requests) == 1 && reading.Requests[0].Command != base.Command && takesAll(base.Command, reading.Requests[0]) {
		if again := d.reader.Read(base.Command.Name+" "+line, base); len(again.Requests) == 1 && again.Requests[0].Command == base.Command && len(again.Unused) <= len(reading.Unused) {
			reading = again
		}
	}
	if base != nil && (reading.Problem != nil || reading.Question != nil || len(reading.Requests) == 1 && reading.Requests[0].Command != base.Command && !reading.Called) {
		if short, ok := brief(line, *base); ok {
			reading = short
		}
	}
	return reading, talk.State{Base: state.Base, Last: state.Last, Shown: state.Shown}
}

// likeBase returns the choice that tells anew what the last request told, where the
// others tell something that it did not: "n 2.5/2.4" after a tyre is a tyre.
func likeBase(choices []spec.Request, base spec.Request) (like spec.Request, ok bool) {
	found := 0
	for _, c := range choices {
		if c.Command != base.Command || slices.ContainsFunc(c.Given, func(g spec.Given) bool {
			_, told := base.Get(g.Option.About().Name)
			return g.Origin != spec.Carried && !told && g.Option.About().Name == pressure.Name
		}) {
			continue
		}
		like, found = c, found+1
	}
	return like, found == 1
}

// goesOn reports whether a line begins as one that goes on from the last: "and …",
// "n for …", "same …".
func goesOn(line string) bool {
	first, _, _ := strings.Cut(strings.ToLower(strings.TrimSpace(line)), " ")
	switch first {
	case "and", "n", "&", "also", "but", "same", "und", "et", "y", "e", "then", "or":
		return true
	}
	return false
}

// answer reads a line as the answer to the open question: bare, as the value
// of the option that was asked for; in a sentence that names it; or a yes to
// the only choice that was offered.
func (d *Desk) answer(line string, state talk.State) (read.Reading, bool) {
	pending := d.reader.Read(state.Pending, nil)
	if len(pending.Requests) != 1 {
		return read.Reading{}, false
	}
	req := pending.Requests[0]
	if c := state.Asking.Choices; len(c) == 1 && yesses[strings.ToLower(strings.Trim(line, " .!"))] {
		return d.reader.Read(c[0].Line, nil), true
	}
	o, ok := req.Command.Option(state.Asking.Option)
	if !ok {
		return read.Reading{}, false
	}
	if v, err := o.Parse(line); err == nil {
		req = req.With(answered(o, v, line))
		return read.Reading{Requests: []spec.Request{req}}, true
	}
	reading := d.reader.Read(line, nil)
	if len(reading.Requests) == 1 && reading.Requests[0].Command != req.Command && takesAll(req.Command, reading.Requests[0]) {
		reading = d.reader.Read(req.Command.Name+" "+line, nil) // "L 62 60 … R 104 99 …" to somebody who trues
	}
	if len(reading.Requests) != 1 || reading.Requests[0].Command != req.Command {
		return read.Reading{}, false
	}
	said := reading.Requests[0]
	if !answersAsked(said, state.Asking.Option) {
		return read.Reading{}, false
	}
	for _, w := range req.Command.Wants {
		if answersAll(said, w) && !answersAll(req, w) && !wanted(w, state.Asking.Option) {
			return read.Reading{}, false // it names more than was asked: a new question
		}
	}
	for _, g := range said.Given {
		req = req.With(g)
	}
	reading.Requests[0] = req
	return reading, true
}

// answered is the value of a bare answer. A number whose unit was left to its
// size is said as an assumption, as in any other line.
func answered(o spec.Option, v any, line string) spec.Given {
	g := spec.Given{Option: o, Value: v}
	m, ok := v.(measure)
	if p, pair := v.(measures); pair {
		m, ok = p.Any(), true
	}
	if _, err := quantity.Number(line); ok && err == nil && (m.Kind() == quantity.KindMass || m.Kind() == quantity.KindPressure) {
		g.Origin, g.Why = spec.Assumed, fmt.Sprintf("typed as %s, read as %s by its size", quantity.Exact(m.Number), m.Unit)
	}
	return g
}

// yesses say yes to the only choice offered.
var yesses = map[string]bool{"yes": true, "y": true, "yep": true, "yeah": true, "ok": true, "ja": true, "oui": true, "si": true, "sí": true, "sì": true}

// takesAll reports whether a command takes all that a request holds.
func takesAll(c *spec.Command, r spec.Request) bool {
	for _, g := range r.Given {
		if !c.Takes(g.Option) {
			return false
		}
	}
	return len(r.Given) > 0
}

// answersAsked reports whether a request holds the option asked for, or one that
// serves its command as well.
func answersAsked(r spec.Request, option string) bool {
	if _, ok := r.Get(option); ok {
		return true
	}
	for _, w := range r.Command.Wants {
		if wanted(w, option) && answersAll(r, w) {
			return true
		}
	}
	return false
}

// answersAll reports whether a request holds one of the options of a want.
func answersAll(r spec.Request, w spec.Want) bool {
	for _, o := range w.Any {
		if _, ok := r.Get(o.About().Name); ok {
			return true
		}
	}
	return false
}

// wanted reports whether the option is one of a want's.
func wanted(w spec.Want, option string) bool {
	for _, o := range w.Any {
		if o.About().Name == option {
			return true
		}
	}
	return false
}

// goingOn completes a request that asks for what the last one of its command
// told: "erd 601" after the lengths for another rim is the same wheel on it. A
// line that names the command is a new question, which the desk sees to.
func (d *Desk) goingOn(req spec.Request, r reply.Reply, before talk.State) (spec.Request, bool) {
	if r.Ask == nil || before.Base == "" || !strings.HasPrefix(before.Base, req.Command.Name+" ") {
		return req, false
	}
	if _, has := req.Get(r.Ask.Option); has {
		return req, false
	}
	base, ok := d.reread(before.Base)
	if !ok || base.Command != req.Command {
		return req, false
	}
	if g, told := base.Get(r.Ask.Option); !told || g.Option.About().Personal {
		return req, false // it may be somebody else's weight this time
	}
	full := req
	for _, g := range base.Given {
		if _, has := req.Get(g.Option.About().Name); has || standsApart(req, g.Option) {
			continue
		}
		g.Origin, g.Why = spec.Carried, "from your last question"
		full = full.With(g)
	}
	return full, true
}

// standsApart reports whether an option may not stand beside those of a request.
func standsApart(req spec.Request, o spec.Option) bool {
	for _, groups := range req.Command.Apart {
		for side := range groups {
			if slices.Contains(groups[side], o) && slices.ContainsFunc(req.Given, func(g spec.Given) bool { return slices.Contains(groups[1-side], g.Option) }) {
				return true
			}
		}
	}
	return false
}

// remembered returns the state after an answer.
func remembered(state talk.State, req spec.Request, r reply.Reply) talk.State {
	switch {
	case r.Mistake && r.Refused:
		state.Last = &r // a refusal has its reasons too
		return state
	case r.Mistake || r.Fault:
		return state
	case r.Ask != nil:
		state.Asking, state.Pending = r.Ask, r.Line
		state.Base = r.Line
		if r.Explain != nil || len(r.Working) > 0 {
			state.Last = &r // it asks and answers: why explains it
		}
		return state
	case req.Command.Name == "why" || req.Command.Name == "help":
		return state
	}
	state.Base = r.Line
	state.Asking, state.Pending = nil, ""
	if r.Next != nil {
		state.Asking, state.Pending = &reply.Ask{Option: r.Next.Option}, r.Next.Line
	}
	state.Last = &r
	return state
}
