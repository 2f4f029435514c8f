package commands

import (
	"context"
	"fmt"
	"strings"

	"spokeword/calc/quantity"
	"spokeword/commands/caution"
	"spokeword/commands/reply"
	"spokeword/commands/spec"
	"spokeword/commands/talk"
)

// This file holds the few lines that ask for nothing new, but say what is to
// be done with the last answer or the open question: "in bar", "share", "skip".

// Words of the verbs, in the languages that are read.
var (
	shareWords = w("share", "share it", "share that", "share this", "show everyone", "show them", "post it", "share in channel", de("teilen", "zeig allen"), fr("partager", "partage"), es("compartir"), it("condividi"))
	skipWords  = w("skip", "skip it", "pass", "dont know", "don't know", "no idea", "not sure", "dunno", "unknown", "idk", de("weiß nicht", "weiss nicht", "keine ahnung", "überspringen"), fr("je sais pas", "je ne sais pas", "passer"), es("no sé", "no se"), it("non so", "non lo so"))
	shownWords = w("in", "as", "to", "into", de("auf"), fr("en"), es("a"))
)

// courtesies are words around a verb that say nothing.
var courtesies = map[string]bool{"please": true, "pls": true, "plz": true, "now": true, "and": true, "the": true, "same": true, "it": true, "that": true, "show": true, "again": true, "bitte": true, "und": true, "svp": true, "por": true, "favor": true}

// verb does what a line says of the last answer or the open question, if it is
// such a line.
func (d *Desk) verb(ctx context.Context, asker Asker, line string, state talk.State) ([]reply.Reply, bool) {
	said := strings.ToLower(strings.Trim(strings.TrimSpace(line), ".!?"))
	switch {
	case len(said) > 60: // no verb is that long
		return nil, false
	case isOne(shareWords, said):
		return []reply.Reply{d.share(ctx, asker, state)}, true
	case state.Asking != nil && isOne(skipWords, said):
		return []reply.Reply{d.skip(ctx, asker, state)}, true
	}
	u, ok := shownIn(said)
	if !ok || state.Base == "" {
		return nil, false
	}
	req, ok := d.reread(state.Base)
	if !ok {
		return nil, false
	}
	state.Shown[u.Kind()] = u
	r := d.Do(ctx, asker, showing(req, state))
	kept := remembered(state, req, r)
	kept.Offers = state.Offers
	d.deps.Talk.Put(asker, offering(kept, []reply.Reply{r}))
	return []reply.Reply{r}, true
}

// isOne reports whether a text is one of the phrases.
func isOne(words spec.Words, said string) bool {
	for _, w := range words {
		if said == w.Text {
			return true
		}
	}
	return false
}

// shownIn returns the unit that a line wants the last answer in: "in bar".
func shownIn(said string) (quantity.Unit, bool) {
	announced := false
	unit := quantity.NoUnit
	for word := range strings.FieldsSeq(said) {
		switch {
		case courtesies[word]:
		case !announced && unit == quantity.NoUnit && isOne(shownWords, word):
			announced = true
		case announced && unit == quantity.NoUnit:
			u, ok := quantity.UnitNamed(word)
			if !ok {
				return quantity.NoUnit, false
			}
			unit = u
		default:
			return quantity.NoUnit, false
		}
	}
	return unit, unit != quantity.NoUnit
}

// showing returns the request with the units that the talk asked to see.
func showing(req spec.Request, state talk.State) spec.Request {
	req.Shown = state.Shown
	return req
}

// shownStill returns the units that the talk still asks to see: a unit that is
// typed anew says what is wanted from then on.
func shownStill(shown spec.Units, req spec.Request) spec.Units {
	for _, g := range req.Given {
		if g.Origin == spec.Carried {
			continue
		}
		switch v := g.Value.(type) {
		case measure:
			shown[v.Kind()] = quantity.NoUnit
		case measures:
			shown[v.Any().Kind()] = quantity.NoUnit
		}
	}
	return shown
}

// reread reads a line that was remembered.
func (d *Desk) reread(line string) (spec.Request, bool) {
	reading := d.reader.Read(line, nil)
	if len(reading.Requests) != 1 {
		return spec.Request{}, false
	}
	return reading.Requests[0], true
}

// share answers the last request once more, for everybody to see.
func (d *Desk) share(ctx context.Context, asker Asker, state talk.State) reply.Reply {
	req, ok := d.reread(state.Base)
	if state.Base == "" || !ok {
		return reply.Reply{Mistake: true, Error: "there is no answer yet to share: want a question first", Example: "pressure 80kg 29x2.4 30mm trail"}
	}
	r := d.Do(ctx, asker, showing(req, state))
	r.Shared = r.Ask == nil && !r.Mistake && !r.Fault
	return r
}

// skip answers the open question by all its likely values: a range instead of
// one answer.
func (d *Desk) skip(ctx context.Context, asker Asker, state talk.State) reply.Reply {
	out := reply.Reply{Title: "Not said: " + state.Asking.Option, Command: "help"}
	table := reply.Table{Head: []string{state.Asking.Option, "then"}}
	for _, c := range state.Asking.Choices {
		req, ok := d.reread(c.Line)
		if !ok {
			continue
		}
		r := d.Do(ctx, asker, showing(req, state))
		if r.Fault || len(r.Lead) == 0 && r.Error == "" {
			continue
		}
		then := r.Error
		if len(r.Lead) > 0 {
			then = r.Lead[0]
		}
		out.Command = r.Command
		out.Private = out.Private || r.Private
		out.Cautions = withoutTwice(out.Cautions, r.Cautions)
		table.Rows = append(table.Rows, reply.Row{Cells: []string{c.Label, then}})
		out.Actions = append(out.Actions, c)
	}
	if len(table.Rows) == 0 {
		return reply.Reply{Mistake: true, Error: fmt.Sprintf("without %s there is no answer: want it, or another question", state.Asking.Option), Example: d.example(state.Pending)}
	}
	out.Lead = []string{fmt.Sprintf("Without %s it is one of these; the more you tell, the closer it gets.", state.Asking.Option)}
	out.Tables = []reply.Table{table}
	return out
}

// example is a line of the command that a pending request is of.
func (d *Desk) example(pending string) string {
	if req, ok := d.reread(pending); ok {
		return req.Command.Example(0)
	}
	return "help"
}

// withoutTwice puts cautions together, each once, at most as many as are shown.
func withoutTwice(all, more []reply.Caution) []reply.Caution {
	for _, c := range more {
		known := false
		for _, o := range all {
			known = known || o.ID == c.ID
		}
		if !known && len(all) < caution.Most {
			all = append(all, c)
		}
	}
	return all
}
