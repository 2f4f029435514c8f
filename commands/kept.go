package commands

import (
	"spokeword/commands/memory"
	"spokeword/commands/reply"
	"spokeword/commands/spec"
)

// This file is what the commands share that would keep something: until
// anything is kept, each says so and offers what can be answered without.

// notKept is the answer of a workspace that keeps nothing.
func notKept(title, what string) reply.Reply {
	return reply.Reply{Title: title, Lead: []string{"Nothing is kept here yet: " + what + " can't be stored or looked up."}}
}

// keeps returns what the workspace keeps, which without a store is nothing.
func keeps(deps Deps) memory.Store {
	if deps.Memory == nil {
		return memory.None{}
	}
	return deps.Memory
}

// offerWith offers a command with those of the request's options that it
// takes, so that what was typed need not be typed again. It offers nothing if
// none of them was given.
func offerWith(out *reply.Reply, req spec.Request, label, command string, takes ...spec.Option) {
	var fields []spec.Field
	for _, g := range req.Given {
		for _, o := range takes {
			if g.Option == o {
				fields = append(fields, spec.Field{Option: o.About().Name, Text: o.Text(g.Value)})
			}
		}
	}
	if len(fields) > 0 {
		out.Actions = append(out.Actions, reply.Action{Label: label, Line: spec.Filled(command, fields...)})
	}
}

// holdsOne returns a Suits that tells whether one of two options is given without the
// other.
func holdsOne(a, b spec.Option) func(spec.Request) bool {
	return func(r spec.Request) bool {
		_, first := r.Get(a.About().Name)
		_, second := r.Get(b.About().Name)
		return first != second
	}
}

// holdsAny returns a Suits that wants one of the options, or none given at all.
func holdsAny(options ...spec.Option) func(spec.Request) bool {
	return func(r spec.Request) bool {
		for _, o := range options {
			if _, ok := r.Get(o.About().Name); ok {
				return true
			}
		}
		return len(r.Given) == 0
	}
}
