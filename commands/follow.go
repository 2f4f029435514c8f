package commands

import (
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
	if state.Asking != nil && state.Pending != "" {
		if reading, ok := d.answer(line, state); ok {
			return reading, talk.State{Last: state.Last}
		}
	}
	return d.reader.Read(line, base), talk.State{Base: state.Base, Last: state.Last}
}

// answer reads a line as the answer to the open question: bare, as the value
// of the option that was asked for.
func (d *Desk) answer(line string, state talk.State) (read.Reading, bool) {
	pending := d.reader.Read(state.Pending, nil)
	if len(pending.Requests) != 1 {
		return read.Reading{}, false
	}
	req := pending.Requests[0]
	o, ok := req.Command.Option(state.Asking.Option)
	if !ok {
		return read.Reading{}, false
	}
	v, err := o.Parse(line)
	if err != nil {
		return read.Reading{}, false
	}
	req = req.With(spec.Given{Option: o, Value: v})
	return read.Reading{Requests: []spec.Request{req}}, true
}

// remembered returns the state after an answer.
func remembered(state talk.State, req spec.Request, r reply.Reply) talk.State {
	switch {
	case r.Mistake || r.Fault:
		return state
	case r.Ask != nil:
		state.Asking, state.Pending = r.Ask, r.Line
		state.Base = r.Line
		return state
	case req.Command.Name == "why" || req.Command.Name == "help":
		return state
	}
	state.Base = r.Line
	state.Asking, state.Pending = nil, ""
	state.Last = &r
	return state
}
