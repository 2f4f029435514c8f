package commands

import (
	"context"
	"fmt"
	"math"
	"slices"
	"strings"

	"spokeword/calc/quantity"
	"spokeword/commands/caution"
	"spokeword/commands/read"
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
	backWords  = w("back", "go back", "one back", "step back", "previous", "undo", de("zurück", "zurueck"), fr("retour", "précédent"), es("atrás", "atras"), it("indietro"))
	stopWords  = w("stop", "cancel", "never mind", "nevermind", "forget it", "leave it", "abort", de("abbrechen", "stopp"), fr("arrête", "annuler"), es("cancelar", "para"), it("annulla", "ferma"))
	shownWords = w("in", "as", "to", "into", de("auf"), fr("en"), es("a"))
)

// systems are the units of pressure that a system of units is asked for by.
var systems = map[string]quantity.Unit{"metric": quantity.BarUnit, "imperial": quantity.PSIUnit, "american": quantity.PSIUnit}

// courtesies are words around a verb that say nothing.
var courtesies = map[string]bool{"please": true, "pls": true, "plz": true, "now": true, "and": true, "the": true, "same": true, "it": true, "that": true, "show": true, "again": true, "so": true, "how": true, "much": true, "then": true, "whats": true, "what's": true, "what": true, "is": true, "wats": true, "thats": true, "would": true, "be": true, "me": true, "give": true, "ok": true, "cheers": true, "thanks": true, "bitte": true, "und": true, "svp": true, "por": true, "favor": true}

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
	if state.Asking != nil {
		switch {
		case isOne(backWords, said):
			return []reply.Reply{d.back(ctx, asker, state)}, true
		case isOne(stopWords, said):
			return []reply.Reply{d.stop(asker, state)}, true
		}
		if r, ok := d.unfit(line, state); ok {
			return []reply.Reply{r}, true
		}
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
		case unit == quantity.NoUnit && systems[word] != quantity.NoUnit:
			announced, unit = true, systems[word]
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
	if req, ok := d.reread(state.Pending); ok && req.Command.Takes(leftOut) {
		return d.leaveOut(ctx, asker, state, req)
	}
	out := reply.Reply{Title: "Not said: " + state.Asking.Option, Command: "help"}
	table := reply.Table{Head: []string{state.Asking.Option, "then"}}
	var all []reply.Reply
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
		all = append(all, r)
		out.Private = out.Private || r.Private
		out.Cautions = withoutTwice(out.Cautions, r.Cautions)
		table.Rows = append(table.Rows, reply.Row{Cells: []string{c.Label, then}})
		out.Actions = append(out.Actions, c)
	}
	if len(table.Rows) == 0 {
		return reply.Reply{Mistake: true, Error: fmt.Sprintf("without %s there is no answer: want it, or another question", state.Asking.Option), Example: d.example(state.Pending)}
	}
	out.Lead = []string{fmt.Sprintf("Without %s it is one of these; the more you tell, the closer it gets.", state.Asking.Option)}
	if over := rangeOver(all, state.Shown); over != "" {
		out.Lead = []string{fmt.Sprintf("Without %s: %s.", state.Asking.Option, over), "The more you tell, the closer it gets:"}
	}
	out.Tables = []reply.Table{table}
	return out
}

// rangeOver says how far the start pressures of several answers lie apart, "" if
// they have none in common.
func rangeOver(all []reply.Reply, shown spec.Units) string {
	u := shown[quantity.KindPressure]
	if u == quantity.NoUnit {
		u = quantity.PSIUnit
	}
	var parts []string
	for _, end := range endNames {
		low, high, n := math.Inf(1), math.Inf(-1), 0
		for _, r := range all {
			for _, v := range r.Values {
				if v.Name == end+".start" {
					low, high, n = min(low, v.Value), max(high, v.Value), n+1
				}
			}
		}
		if n < 2 || n < len(all) {
			continue
		}
		parts = append(parts, end+" "+quantity.Gauge(low).Text(u, quantity.Nearest)+" to "+quantity.Gauge(high).Text(u, quantity.Nearest))
	}
	return strings.Join(parts, ", ")
}

// leaveOut goes on with a guide without the value that was asked for; what can't
// be done without is asked again, with how else it may be had.
func (d *Desk) leaveOut(ctx context.Context, asker Asker, state talk.State, req spec.Request) reply.Reply {
	left := leftOut.Or(req, nil)
	if !has(left, state.Asking.Option) {
		left = append(slices.Clone(left), state.Asking.Option)
	}
	req = spec.Set(req, leftOut, left)
	r := d.Do(ctx, asker, showing(req, state))
	kept := remembered(state, req, r)
	kept.Offers = state.Offers
	d.deps.Talk.Put(asker, offering(kept, []reply.Reply{r}))
	return r
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

// back asks once more for the value that was told last, with what it was.
func (d *Desk) back(ctx context.Context, asker Asker, state talk.State) reply.Reply {
	req, ok := d.reread(state.Pending)
	last := -1
	for i, g := range req.Given {
		if _, choice := g.Value.(string); !choice || i > 0 { // what the guide is stays
			last = i
		}
	}
	if !ok || last < 0 {
		r := reply.Reply{Ask: state.Asking, Lead: []string{"That is the first step.", state.Asking.Text}}
		r.Command, r.Line = req.Command.Name, state.Pending
		return r
	}
	gone := req.Given[last]
	req.Given = append(req.Given[:last:last], req.Given[last+1:]...)
	r := d.Do(ctx, asker, showing(req, state))
	if r.Ask != nil {
		r.Lead = append(r.Lead, fmt.Sprintf("You had said %s.", gone.Option.Text(gone.Value)))
	}
	kept := remembered(state, req, r)
	kept.Offers = state.Offers
	d.deps.Talk.Put(asker, offering(kept, []reply.Reply{r}))
	return r
}

// stop leaves the open question, with what was told kept in a line.
func (d *Desk) stop(asker Asker, state talk.State) reply.Reply {
	r := reply.Reply{Title: "Stopped", Lead: []string{"Left there. What you told stands in the line below, to go on from."}}
	r.Actions = []reply.Action{{Label: "go on", Line: state.Pending}}
	if req, ok := d.reread(state.Pending); ok {
		r.Command, r.Private = req.Command.Name, req.Command.Private(req)
	}
	state.Asking, state.Pending = nil, ""
	d.deps.Talk.Put(asker, offering(state, []reply.Reply{r}))
	return r
}

// unfit asks the open question again where the answer is a number that can't be
// meant: a mass for a length, or one far out of range. Nothing told is lost.
func (d *Desk) unfit(line string, state talk.State) (reply.Reply, bool) {
	req, ok := d.reread(state.Pending)
	m, err := quantity.ParseMeasure(strings.TrimSpace(line))
	if !ok || err != nil {
		return reply.Reply{}, false
	}
	o, ok := req.Command.Option(state.Asking.Option)
	if !ok {
		return reply.Reply{}, false
	}
	_, wrong := o.Parse(line)
	if f, ok := o.Form().(read.Number); ok && wrong == nil && ofOtherKind(o, m) {
		wrong = fmt.Errorf("%s %s is %s: want %s to %s", o.About().Name, m, m.Kind(), exact(quantity.Length(f.Least)), exact(quantity.Length(f.Most)))
	}
	if wrong == nil || m.Unit != quantity.NoUnit && takesKind(req.Command, m) {
		return reply.Reply{}, false
	}
	switch o.Form().(type) {
	case read.Number, read.Pair, read.Counts:
	default:
		return reply.Reply{}, false
	}
	r := reply.Reply{Command: req.Command.Name, Line: state.Pending, Ask: state.Asking, Private: req.Command.Private(req)}
	r.Lead = []string{title(strings.TrimPrefix(wrong.Error(), state.Asking.Option+" ")) + ".", state.Asking.Text}
	return r, true
}

// unread says of a guide's step why a number of the line is no answer to it:
// "measure gap 70 psi".
func unread(c *spec.Command, r *reply.Reply) {
	if r.Ask == nil || !c.Takes(leftOut) {
		return
	}
	o, ok := c.Option(r.Ask.Option)
	if !ok {
		return
	}
	for _, text := range r.Unused {
		m, err := quantity.ParseMeasure(text)
		if err != nil || m.Unit == quantity.NoUnit {
			continue
		}
		if _, wrong := o.Parse(m.String()); wrong != nil {
			r.Lead = append([]string{title(wrong.Error()) + "."}, r.Lead...)
			return
		}
	}
}

// takesKind reports whether some other option of a command takes the number as
// it stands: then it answers that.
func takesKind(c *spec.Command, m measure) bool {
	for _, o := range c.Options {
		if _, err := o.Parse(m.String()); err == nil && !ofOtherKind(o, m) {
			return true
		}
	}
	return false
}

// ofOtherKind reports whether an option takes a number only to say that its
// unit is wrong.
func ofOtherKind(o spec.Option, m measure) bool {
	f, ok := o.Form().(read.Number)
	return ok && f.Strict && m.Unit != quantity.NoUnit && m.Kind() != f.Kind
}
