package commands

import (
	"context"
	"fmt"
	"math"
	"slices"
	"strings"

	"spokeword/calc/quantity"
	"spokeword/calc/size"
	"spokeword/calc/tyre"
	"spokeword/commands/articles"
	"spokeword/commands/read"
	"spokeword/commands/reply"
	"spokeword/commands/spec"
)

func init() { add(symptom) }

// library holds what the articles are found by. What is wrong with one is told by
// New.
var library, unreadable = articles.Heads()

// heads are the heads of the library by their ids.
var heads = func() map[string]articles.Head {
	byID := make(map[string]articles.Head, len(library))
	for _, h := range library {
		byID[h.ID] = h
	}
	return byID
}()

// article returns the article of that id, if there is one.
func article(id string) (articles.Article, bool) {
	h, ok := heads[id]
	if !ok {
		return articles.Article{}, false
	}
	a, err := h.Open()
	if err != nil {
		panic(err) // a slip in its file, which the tests find
	}
	return a, true
}

// what is the thing that help or symptom is asked about: a command, or an
// article.
var what = func() *spec.Arg[string] {
	choices := read.Choices{Axis: spec.NoAxis}
	for _, name := range order {
		choices.All = append(choices.All, read.Choice{Value: name, Words: w(name)})
	}
	for _, h := range library {
		choices.All = append(choices.All, read.Choice{Value: h.ID, Words: h.Said(), Keys: h.Keys, Title: h.Title})
	}
	choices.All = append(choices.All, jobs...)
	return &spec.Arg[string]{
		Info: spec.Info{Name: "what", Help: "what is felt, heard or seen, a question, a command or a word of the trade", Example: "burp"},
		As:   read.OneOf{Choices: choices},
	}
}()

// symptomExample is a line that works, shown with mistakes.
const symptomExample = "symptom burped in a corner at 20 psi front"

// symptom tells what a tyre or a wheel is telling, and answers what no sum
// answers.
func symptom(deps Deps) *spec.Command {
	return &spec.Command{
		Name:    "symptom",
		Summary: "Tell what a tyre or wheel is telling: causes, the test that parts them, ride on or not",
		Words: w("symptom", "symptoms", "whats wrong", "what is wrong", "whats wrong with", "what is wrong with", "whats wrong with my wheel", "what is wrong with my wheel", "whats wrong with the wheel", "makes a noise", "makes noise", "making a noise", "is it safe to ride", "safe to ride", "can i ride on", "rideable",
			de("was ist los", "was stimmt nicht"), fr("symptôme", "quel est le problème"), es("síntoma", "qué le pasa"), it("sintomo", "cosa c'è che non va")),
		Options: []spec.Option{what, rider, riding, tyreOption, rim, system, pressure},
		// Without a symptom in the line it is another command's; with one, its
		// numbers are no question of their own.
		Wants:    []spec.Want{{Any: []spec.Option{what}, Weight: 1.3}},
		Weight:   0.3,
		Suits:    tellsOf,
		Examples: []string{"burped in a corner at 20 psi front", "rim pings on rocks rear 23psi", "clicking rear wheel when climbing"},
		Run: func(_ context.Context, req spec.Request) (reply.Reply, error) {
			id, ok := what.Of(req)
			if !ok {
				return ask(req, what, "What does it do? Say what you feel, hear or see.", "burp", "squirm", "rim-strike", "slow-leak", "clicking-spokes", "breaking-spokes", "broken-spoke"), nil
			}
			a, ok := article(id)
			if !ok {
				return reply.Reply{}, spec.Misuse("what", symptomExample, "what %s: want what a tyre or wheel does; see help %s for that command", id, id)
			}
			set, err := New(deps)
			if err != nil {
				return reply.Reply{}, err
			}
			if said, ok := pressure.Of(req); ok {
				for i := range endNames {
					if m, ok := ofEnd(said, i); ok && a.Step.PSI != 0 && (m.Gauge() > 10*quantity.Bar || m.Gauge() < 0.1*quantity.Bar) {
						return reply.Reply{}, spec.Misuse("pressure", symptomExample, "pressure %s: want 0.1 bar to 10 bar in a bicycle tyre", m)
					}
				}
			}
			return tell(a, req, set), nil
		},
	}
}

// tellsOf reports whether a request is about something felt, heard or seen:
// questions and the words of the trade are for help.
func tellsOf(r spec.Request) bool {
	id, ok := what.Of(r)
	if !ok {
		return true
	}
	return heads[id].Kind == articles.Symptom
}

// verdicts say whether to ride on.
var verdicts = map[articles.Verdict]string{articles.Stop: "Stop", articles.Gently: "Gently", articles.On: "Ride on"}

// causeFacts say what is so where an article names a caution.
var causeFacts = map[string]func(*reply.Facts){
	"own-limits":     func(f *reply.Facts) { f.SpecialUse = true },
	"hookless":       func(f *reply.Facts) { f.Hookless = true },
	"bead-may-leave": func(f *reply.Facts) { f.BelowMinimum = true },
	"maker-decides":  func(f *reply.Facts) { f.FitOutside = true },
	"steep-entry":    func(f *reply.Facts) { f.SteepEntry = true },
	"limits":         func(f *reply.Facts) { f.Pressure = true },
	"rim-mark":       func(f *reply.Facts) { f.Spokes = true },
	"start-only":     func(f *reply.Facts) { f.Start = true },
	"wheel-back-in":  func(f *reply.Facts) { f.WorkedOn = true },
	"check-cold":     func(f *reply.Facts) { f.ColdOrDescent = true },
	"broken-spoke":   func(f *reply.Facts) { f.BrokenSpoke = true },
	"struck":         func(f *reply.Facts) { f.Struck = true },
	"seating":        func(f *reply.Facts) { f.Seating = true },
	"drilling":       func(f *reply.Facts) { f.Drilling = true },
	"from-afar":      func(f *reply.Facts) { f.FromAfar = true },
}

// tell makes the reply of an article, with the asker's numbers where they lead
// on.
func tell(a articles.Article, req spec.Request, set *spec.Commands) reply.Reply {
	out := reply.Reply{Title: a.Title}
	out.Lead = append(out.Lead, a.Answer...)
	out.Drawing = a.Drawing
	for _, id := range a.Cautions {
		causeFacts[id](&out.Facts)
	}
	if a.Kind == articles.Symptom {
		out.Lead = append(out.Lead, verdicts[a.Ride.Verdict]+": "+a.Ride.Says)
		out.Values = append(out.Values, reply.Value{Name: "verdict", Text: string(a.Ride.Verdict)})
		steps(a, req, &out)
		besideStart(a, req, &out)
		tellSymptom(a, &out)
	}
	if len(a.Rows.Head) > 0 {
		table := reply.Table{Head: a.Rows.Head}
		for _, r := range a.Rows.Rows {
			table.Rows = append(table.Rows, reply.Row{Cells: r})
		}
		out.Tables = append(out.Tables, table)
	}
	for _, n := range a.Notes {
		out.Note(n.Text, n.On())
	}
	leads(a, req, set, &out)
	return out
}

func tellSymptom(a articles.Article, out *reply.Reply) {
	causes := reply.Table{Title: "Causes, the likeliest first", Head: []string{"", "cause", "cure"}}
	for i, c := range a.Causes {
		causes.Rows = append(causes.Rows, reply.Row{Cells: []string{quantity.Count(i + 1), c.Cause, c.Cure}})
	}
	test := reply.Table{Title: "Which of the first two?", Head: []string{"do", a.Test.Do}, Rows: []reply.Row{
		{Cells: []string{"1 if", a.Test.First}},
		{Cells: []string{"2 if", a.Test.Second}},
	}}
	now := reply.Table{Title: "Now, in this order", Head: []string{"", "do"}}
	for i, n := range a.Now {
		now.Rows = append(now.Rows, reply.Row{Cells: []string{quantity.Count(i + 1), n}})
	}
	out.Tables = append(out.Tables, causes, test, now)
}

// ownSteps is the title of the steps from the asker's own pressure.
const ownSteps = "From your own numbers, then ride"

// steps shows where the asker's own pressure goes. A step is never more than
// its share of 18 psi: half a psi is much on a wide tyre.
func steps(a articles.Article, req spec.Request, out *reply.Reply) {
	said, ok := pressure.Of(req)
	if !ok || a.Step.PSI == 0 {
		return
	}
	out.Facts.Pressure = true
	table := reply.Table{Title: ownSteps, Head: []string{"", "now", "then"}}
	var words []string
	for i, name := range endNames {
		m, ok := ofEnd(said, i)
		if !ok {
			continue
		}
		step := math.Copysign(stepOf(m.Gauge(), math.Abs(a.Step.PSI)), a.Step.PSI)
		g := m.Gauge()
		var then []string
		for range a.Step.Times {
			g += quantity.Gauge(step * quantity.PSI)
			then = append(then, g.Text(m.Unit, quantity.Nearest))
		}
		table.Rows = append(table.Rows, reply.Row{Cells: []string{title(name), m.String(), strings.Join(then, ", ")}})
		out.Add(name+".start", float64(g), reply.Pascals)
		out.Add(name+".delta", float64(g-m.Gauge()), reply.Pascals)
		words = append(words, name)
	}
	if len(words) == 2 && said.Which == spec.Both {
		table.Rows = table.Rows[:1]
		table.Rows[0].Cells[0] = "That wheel"
	}
	out.Tables = append(out.Tables, table)
	out.Note("Steps from your own pressure, one at a time, with one gauge; never above the marks, never lower past a squirm, a burp or a touch of the rim", practice("steps of 1–2 psi"))
}

// besideStart sets the asker's own pressure beside the start for rider and tyre,
// where both are told: a step from far outside its band is no cure.
func besideStart(a articles.Article, req spec.Request, out *reply.Reply) {
	said, ok := pressure.Of(req)
	if !ok || a.Step.PSI == 0 {
		return
	}
	if _, ok := rider.Of(req); !ok {
		return
	}
	on, known := tyreOption.Of(req)
	if !known { // who tells a weight wants it reckoned with
		mark, err := size.Parse(usualWidths["29"])
		if err != nil {
			return
		}
		on = spec.OneFor(mark)
		req = req.With(spec.Given{Option: tyreOption, Value: on, Origin: spec.Assumed})
	}
	p := &pressureRun{req: req, unit: said.Any().Unit}
	start, q, err := p.start()
	if q != nil || err != nil {
		return // what is lacking for a start is no part of a symptom
	}
	if said.Which == spec.Both && on.Which != spec.Both && on.Which != spec.Each {
		said.Which = on.Which // "front 2.4 at 17 psi"
	}
	var off, inside []string
	front := ""
	for i, s := range [2]tyre.WheelStart{start.Front, start.Rear} {
		m, ok := ofEnd(said, i)
		if !ok || said.Which == spec.Both && i == 0 {
			continue
		}
		name := endNames[i]
		if said.Which == spec.Both {
			name = "at the rear"
			front = "; front " + inBoth(start.Front, start.Front.Pressure, p.unit)
		}
		band := within(s, s.Low, p.unit) + "–" + within(s, s.High, p.unit) + " " + p.unit.String()
		out.Values = append(out.Values, reply.Value{Name: endNames[i] + ".low", Value: float64(s.Low), Unit: reply.Pascals}, reply.Value{Name: endNames[i] + ".high", Value: float64(s.High), Unit: reply.Pascals})
		switch g := m.Gauge(); {
		case !known && float64(g) > (1-farOff)*float64(s.Low) && float64(g) < (1+farOff)*float64(s.High): // near what a usual tyre takes
		case a.Step.PSI > 0 && g < s.Low:
			off = append(off, fmt.Sprintf("%s %s is too low for you: the start is %s, %s", name, m, inBoth(s, s.Pressure, p.unit), band))
		case a.Step.PSI < 0 && g > s.High:
			off = append(off, fmt.Sprintf("%s %s is too hard for you: the start is %s, %s", name, m, inBoth(s, s.Pressure, p.unit), band))
		default:
			inside = append(inside, fmt.Sprintf("%s %s lies where starts for rider and tyre lie, %s", name, m, band))
		}
	}
	if !known && len(off) > 0 {
		out.Assume("tyre", on.Any().String(), "a usual one; tell yours for your own start")
	}
	if len(off) > 0 {
		out.Note(strings.TrimSuffix(out.Lead[0], "."), practice("the likeliest cause"))
		out.Lead = append([]string{title(strings.Join(off, "; ")) + front + "."}, out.Lead[1:]...)
		// a step from there would lead to a third number
		out.Tables = slices.DeleteFunc(out.Tables, func(t reply.Table) bool { return t.Title == ownSteps })
		out.Values = slices.DeleteFunc(out.Values, func(v reply.Value) bool {
			return strings.HasSuffix(v.Name, ".start") || strings.HasSuffix(v.Name, ".delta")
		})
		out.Note("Go to the start first and ride it; what is left of the fault then is for steps of 1 to 2 psi", practice("steps of 1–2 psi"))
	} else if len(inside) > 0 {
		out.Note(title(strings.Join(inside, "; "))+": a step is a try, and the cause may be another", tyre.TargetBasis)
	}
	out.Facts.Start = true
}

// farOff is how far outside the band of a usual tyre a pressure lies, as a share of
// it, that no other tyre of the bike would explain. An assumption.
const farOff = 0.2

// fullStepFrom is the pressure in psi from which a step is the usual one. Common
// practice, no source.
const fullStepFrom = 18

// stepOf returns a step in psi for a pressure: the usual one from 18 psi, less
// below, in halves.
func stepOf(g quantity.Gauge, usual float64) float64 {
	return max(0.5, quantity.Down.Round(min(usual, usual*float64(g)/(fullStepFrom*quantity.PSI)), 0.5))
}

// answersAny reports whether a request holds something its command wants.
func answersAny(r spec.Request) bool {
	for _, w := range r.Command.Wants {
		if answersAll(r, w) {
			return true
		}
	}
	return false
}

// leads offers the commands that compute the cure, with the asker's numbers if
// there are any, and the lines to try.
func leads(a articles.Article, req spec.Request, set *spec.Commands, out *reply.Reply) {
	for _, name := range a.Leads {
		c, ok := set.Command(name)
		if !ok {
			continue // its time has not come
		}
		to := spec.Request{Command: c}
		for _, g := range req.Given {
			if c.Takes(g.Option) && g.Option != spec.Option(what) {
				to = to.With(spec.Given{Option: g.Option, Value: g.Value})
			}
		}
		if answersAny(to) {
			out.Actions = append(out.Actions, reply.Action{Label: fmt.Sprintf("%s with your numbers", name), Line: to.Line()})
		}
	}
	for _, l := range a.Try {
		out.Actions = append(out.Actions, reply.Action{Label: l, Line: l})
	}
}
