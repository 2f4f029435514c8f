package commands

import (
	"context"
	"errors"
	"fmt"
	"slices"
	"strings"

	"spokeword/calc/air"
	"spokeword/calc/basis"
	"spokeword/calc/quantity"
	"spokeword/calc/size"
	"spokeword/calc/tyre"
	"spokeword/commands/reply"
	"spokeword/commands/spec"
)

func init() { add(changeCommand) }

// changeCommand tells what changes from the asker's own pressures: ground,
// insert, tubes, casing, load, tyre, rim, riding, heat and height.
func changeCommand(deps Deps) *spec.Command {
	changes := []spec.Option{ground, insert, system, casing, riding, load, newTyre, newRim, undo, differs}
	return &spec.Command{
		Name:    "change",
		Summary: "Tell what changes from your own pressures: wet, insert, tubes, casing, load, tyre, rim, park, cold",
		Because: "From your own numbers, by what each change is reported or reckoned to move them",
		Words: w("change", "changes", "what changes", "what now", "how many psi less", "drop how many psi", "drop how much", "how much do i drop", "how far down", "swapped", "swapped to", "switched", "switched to", "fitted", "had to put", "instead of tubeless", "from my",
			de("was ändert sich", "umgerüstet", "gewechselt auf", "wieviel weniger", "wie viel weniger"), fr("qu'est-ce qui change", "passé en", "combien de moins"), es("qué cambia", "cambié a", "cuánto menos"), it("cosa cambia", "quanto meno")),
		Options:  []spec.Option{pressure, ground, insert, system, casing, riding, load, spread, newTyre, newRim, undo, differs, tyreOption, rim, bead, rider, bike, settemp, ridetemp, setheight, rideheight, tyremax, tyremin, rimmax},
		Wants:    []spec.Want{{Any: []spec.Option{pressure}, Weight: 0.6}, {Any: append(changes, rim), Weight: 1.0}},
		Enough:   [][]spec.Option{{setheight, rideheight}, {settemp, ridetemp}},
		Weight:   0.5,
		Examples: []string{"change 22/25 psi now wet", "change 22/25 psi insert rear", "change 22/25 psi +12 kg rear 80kg 29x2.4", "change 22/25 psi 29x2.4 other tyre 2.6"},
		Suits:    changesSomething(append(changes, rim)),
		Akin:     []string{"pressure"},
		Adds:     true,
		Run: func(_ context.Context, req spec.Request) (reply.Reply, error) {
			c := &changeRun{req: req, unit: deps.pressureFirst(req)}
			return c.run()
		},
	}
}

// changesSomething reports whether a request tells a change; a new tyre alone,
// with nothing of what was ridden, is only the tyre.
func changesSomething(changes []spec.Option) func(spec.Request) bool {
	any := holdsAny(changes...)
	return func(r spec.Request) bool {
		if len(r.Given) == 1 && r.Given[0].Option == spec.Option(newTyre) {
			return false
		}
		return any(r)
	}
}

// changeExample is a line that works, shown with mistakes.
const changeExample = "change 22/25 psi insert rear"

// changeRun is one run of the command.
type changeRun struct {
	req     spec.Request
	unit    quantity.Unit
	out     reply.Reply
	own     tyre.Own
	tyres   [2]fixed
	known   bool // tyres are
	changes []tyre.Change
}

func (c *changeRun) run() (reply.Reply, error) {
	c.out.Title = "From your own numbers"
	said, ok := pressure.Of(c.req)
	if !ok && len(c.req.Given) > 0 && !slices.ContainsFunc(c.req.Given, func(g spec.Given) bool { return !ofPlace(g) }) {
		return newAir(c.req, c.unit).run() // nothing else changes: any pressure goes alike
	}
	if !ok {
		return c.askPressure(), nil
	}
	if q, ok := (&airRun{req: c.req}).implausible(said); ok {
		return q, nil
	}
	if over, ok := overHookless(c.req); ok {
		r := reply.Reply{Refused: true, Mistake: true, Example: changeExample, Facts: reply.Facts{Pressure: true, Hookless: true}}
		r.Lead = []string{fmt.Sprintf("No: %s is above %s, the most any hookless rim may see; wide rims carry lower marks.",
			over.Gauge().Text(c.unit, quantity.Nearest), tyre.HooklessMax.Text(c.unit, quantity.Down))}
		return r, nil
	}
	for i, wheel := range c.wheels() {
		if m, ok := ofEnd(said, i); ok {
			wheel.Pressure = m.Gauge()
		}
		wheel.Limits = tyre.Limits{TyreMax: gaugeOf(c.req, tyremax), TyreMin: gaugeOf(c.req, tyremin), RimMax: gaugeOf(c.req, rimmax)}
		wheel.Limits.Hookless = beadAt(c.req, i) == size.Hookless
	}
	if q, ok, err := c.mount(); ok || err != nil {
		return q, err
	}
	if q, ok := c.gather(); ok {
		return q, nil
	}
	if q, ok := c.askHow(); ok {
		return q, nil
	}
	c.rimAlone()
	if q, ok, err := c.loads(); ok || err != nil {
		return q, err
	}
	_, warmer := ridetemp.Of(c.req)
	_, higher := rideheight.Of(c.req)
	if len(c.changes) == 0 && !warmer && !higher {
		if has(ground.Or(c.req, nil), "snow") {
			return c.askSnow()
		}
		return c.askChange(), nil
	}
	changed, err := tyre.Apply(c.own, c.changes)
	if err != nil {
		return c.refuse(err)
	}
	return c.answer(changed, warmer || higher)
}

func (c *changeRun) wheels() [2]*tyre.OwnWheel {
	return [2]*tyre.OwnWheel{&c.own.Front, &c.own.Rear}
}

// askPressure asks for the numbers that change.
func (c *changeRun) askPressure() reply.Reply {
	u := c.unit
	pair := func(front, rear float64) measures {
		return measures{First: measure{Number: front, Unit: u}, Second: measure{Number: rear, Unit: u}, Which: spec.Each}
	}
	likely := []measures{pair(20, 22), pair(22, 25), pair(25, 28)}
	if u == quantity.BarUnit {
		likely = []measures{pair(1.4, 1.6), pair(1.6, 1.8), pair(1.8, 2.0)}
	}
	q := ask(c.req, pressure, "What do you ride now, front/rear? It goes from your own numbers.", likely...)
	q.Facts.Pressure = true
	like := changeRun{req: c.req.With(spec.Given{Option: pressure, Value: likely[1]}), unit: u}
	if r, err := like.run(); err == nil && r.Ask == nil && !r.Mistake && !r.Refused && len(r.Lead) > 0 {
		// a change can be told from usual numbers too
		q.Lead = []string{"Say from " + likely[1].First.String() + " and " + likely[1].Second.String() + ": " + lower(r.Lead[0]), q.Ask.Text}
		q.Tables, q.Assumed, q.Facts = r.Tables, r.Assumed, r.Facts
		q.Notes = append(q.Notes, r.Notes...)
	}
	if before, ok := tyreOption.Of(c.req); ok && len(q.Lead) > 1 {
		if after, ok := newTyre.Of(c.req); ok && before.Any().Width != after.Any().Width {
			q.Lead[0] = "The wider one grips and spares the rim, the narrower is lighter and runs easier on smooth ground. " + q.Lead[0]
			q.Note("Which width rolls easier goes by the ground: on rough ground the wider at its own lower pressure", practice("widths"))
		}
	}
	return q
}

// askChange asks what changes.
func (c *changeRun) askChange() reply.Reply {
	q := ask(c.req, ground, "What changes: the ground, an insert, tubes, the casing, load, tyre, rim?", words{"wet"})
	add := func(label string, r spec.Request) {
		q.Ask.Choices = append(q.Ask.Choices, reply.Action{Label: label, Line: r.Line()})
	}
	add("insert rear", spec.Set(c.req, insert, "rear"))
	add("tubes", spec.Set(c.req, system, spec.OneFor("tubes")))
	add("heavier casing", spec.Set(c.req, casing, spec.OneFor("heavy")))
	add("bike park", spec.Set(c.req, riding, words{"park"}))
	q.Facts.Pressure = true
	return q
}

// askSnow tells what soft snow changes, and asks whether it is soft: on packed
// snow the numbers stay.
func (c *changeRun) askSnow() (reply.Reply, error) {
	soft, err := tyre.Apply(c.own, []tyre.Change{{Kind: tyre.SoftSnow, End: tyre.Both}})
	if err != nil {
		return c.refuse(err)
	}
	q := ask(c.req, ground, "Is the snow soft, or packed?", words{"soft", "snow"})
	q.Ask.Choices[0].Label = "soft"
	var then []string
	for i, x := range [2]tyre.WheelChange{soft.Front, soft.Rear} {
		if x.Before > 0 {
			then = append(then, endNames[i]+" "+x.Pressure.Text(c.unit, quantity.Nearest))
		}
	}
	q.Lead = []string{"On soft snow a fifth less: " + strings.Join(then, ", ") + ". On packed snow keep yours.", q.Ask.Text}
	q.Assumed, q.Facts = c.out.Assumed, reply.Facts{Pressure: true}
	q.Note("What soft snow takes off is the ratio of two rules, 0.8", basis.Basis{Kind: tyre.SoftSnowBasis.Kind, Source: tyre.SoftSnowBasis.Source})
	return q, nil
}

// askHow asks to what something is changed that was named alone.
func (c *changeRun) askHow() (reply.Reply, bool) {
	other, _ := differs.Of(c.req)
	if len(other) == 0 {
		return reply.Reply{}, false
	}
	left := without(c.req, differs)
	said := func(o spec.Option) bool { _, ok := c.req.Get(o.About().Name); return ok }
	switch {
	case has(other, "casing") && !said(casing):
		q := ask(left, casing, "Is the casing heavier than before, or lighter? A stouter one takes 1 to 3 psi less for the same feel, a thinner one as much more.", spec.OneFor("heavy"), spec.OneFor("light"))
		for i, text := range []string{"heavier", "lighter"} {
			q.Ask.Choices[i].Label = text
		}
		q.Note("A stouter casing carries a part itself; the rim is no better protected by it", practice(""))
		return q, true
	case has(other, "tyre") && !said(newTyre):
		return ask(left, newTyre, "Which size is the other tyre? As 29x2.6, or its width.", likelyWidths()...), true
	case has(other, "rim") && !said(newRim) && !said(rim):
		return ask(left, newRim, "How wide is the other rim inside?", widths(25), widths(30), widths(35)), true
	}
	return reply.Reply{}, false
}

// likelyWidths are tyres by their width alone, for the wheel that is ridden.
func likelyWidths() []tyres {
	var all []tyres
	for _, s := range []string{"2.25 in", "2.4 in", "2.6 in"} {
		if m, err := size.Parse(s); err == nil {
			all = append(all, spec.OneFor(m))
		}
	}
	return all
}

// widths is an inner width in mm, at both ends.
func widths(inner float64) rims {
	return spec.OneFor(size.RimMark{Inner: quantity.Measure{Number: inner, Unit: quantity.MM}.Length()})
}

// without returns a request that lacks an option.
func without(r spec.Request, o spec.Option) spec.Request {
	left := r
	left.Given = nil
	for _, g := range r.Given {
		if g.Option != o {
			left.Given = append(left.Given, g)
		}
	}
	return left
}

// mount settles what is ridden now, as far as it was told.
func (c *changeRun) mount() (reply.Reply, bool, error) {
	said, ok := tyreOption.Of(c.req)
	if !ok {
		return reply.Reply{}, false, nil
	}
	rimsSaid, _ := rim.Of(c.req)
	_, rimKnown := rim.Of(c.req)
	for i, wheel := range c.wheels() {
		mark, ok := ofEnd(said, i)
		if !ok {
			mark = said.Any()
		}
		f, why, ok := complete(mark)
		if !ok {
			return askTyre(c.req, mark), true, nil
		}
		if why != "" && i == 0 {
			c.out.Assume("tyre", f.mark.String(), why)
		}
		inner := tyre.DefaultRim(f.label)
		if m, ok := ofEnd(rimsSaid, i); ok && rimKnown {
			inner = m.Inner
		} else if i == 0 {
			c.out.Assume("rim", inner.String(), "no inner width given, the usual one of this tyre")
		}
		m, err := tyre.Mount(f.label, f.seat, inner)
		if err != nil {
			return reply.Reply{}, false, misfit("tyre", changeExample, err)
		}
		c.tyres[i], wheel.Tyre = f, m
	}
	c.known = true
	return reply.Reply{}, false, nil
}

// gather makes the changes of what was said.
func (c *changeRun) gather() (reply.Reply, bool) {
	add := func(kind tyre.ChangeKind, at tyre.End, back bool) {
		c.changes = append(c.changes, tyre.Change{Kind: kind, End: at, Back: back})
	}
	g := ground.Or(c.req, nil)
	switch {
	case has(g, "wet"), has(g, "mud"), has(g, "roots"):
		add(tyre.Wet, tyre.Both, false)
	case has(g, "dry"):
		add(tyre.Wet, tyre.Both, true)
		c.out.Assume("ground", "dry", "taken as dry again after wet")
	}
	if has(g, "rock") && !has(g, "wet") {
		add(tyre.SharpRock, tyre.Both, false)
	}
	if has(g, "smooth") {
		add(tyre.SmoothRace, tyre.Both, false)
	}
	switch {
	case has(g, "snow") && has(g, "soft"):
		add(tyre.SoftSnow, tyre.Both, false)
	case has(g, "snow"):
		c.out.Note("What snow changes is known only where it is soft: a fifth off. It is not in the figures here", tyre.SoftSnowBasis)
	}
	if q, ok := c.gatherInsert(add); ok {
		return q, true
	}
	if s, ok := system.Of(c.req); ok {
		for i, at := range [2]tyre.End{tyre.Front, tyre.Rear} {
			if v, ok := ofEnd(s, i); ok && v == "tubes" {
				add(tyre.TubesIn, at, false)
			} else if ok && v == "tubeless" && c.onlySystem() {
				add(tyre.TubesIn, at, true)
				if i == 0 || s.Which == spec.SecondOnly {
					c.out.Assume("system", "tubeless", "nothing else changes: taken as tubes before")
				}
			}
		}
	}
	if s, ok := casing.Of(c.req); ok {
		for i, at := range [2]tyre.End{tyre.Front, tyre.Rear} {
			if v, ok := ofEnd(s, i); ok {
				add(tyre.HeavierCasing, at, v != "heavy")
				if v == "normal" && i == 0 {
					c.out.Assume("casing", "normal", "taken as lighter than before")
				}
			}
		}
	}
	for _, back := range undo.Or(c.req, nil) {
		if end, ok := strings.CutSuffix(back, " insert"); ok {
			add(tyre.InsertIn, map[string]tyre.End{"front": tyre.Front, "rear": tyre.Rear}[end], true)
			continue
		}
		kind := map[string]tyre.ChangeKind{"wet": tyre.Wet, "tubes": tyre.TubesIn, "casing": tyre.HeavierCasing, "park": tyre.BikePark, "snow": tyre.SoftSnow}[back]
		add(kind, tyre.Both, true)
	}
	return c.gatherRiding(add)
}

// onlySystem reports whether tubeless is all that a request can have changed to.
func (c *changeRun) onlySystem() bool {
	_, told := pressure.Of(c.req)
	return told && !slices.ContainsFunc(c.req.Given, func(g spec.Given) bool {
		for _, o := range []spec.Option{ground, insert, casing, riding, load, newTyre, newRim, undo, differs, ridetemp, rideheight} {
			if g.Option == o {
				return true
			}
		}
		return false
	})
}

func (c *changeRun) gatherInsert(add func(tyre.ChangeKind, tyre.End, bool)) (reply.Reply, bool) {
	switch at := insert.Or(c.req, ""); at {
	case "front":
		add(tyre.InsertIn, tyre.Front, false)
	case "rear":
		add(tyre.InsertIn, tyre.Rear, false)
	case "both":
		add(tyre.InsertIn, tyre.Both, false)
	case "none":
		switch {
		case c.own.Rear.Pressure == 0:
			add(tyre.InsertIn, tyre.Front, true)
		case c.own.Front.Pressure == 0:
			add(tyre.InsertIn, tyre.Rear, true)
		case !has(undo.Or(c.req, nil), "front insert") && !has(undo.Or(c.req, nil), "rear insert"):
			return ask(c.req, undo, "At which wheel was the insert?", words{"rear insert"}, words{"front insert"}), true
		}
	}
	return reply.Reply{}, false
}

// gatherRiding takes one riding as what is ridden, the park as a day there, and
// two as from the one to the other.
func (c *changeRun) gatherRiding(add func(tyre.ChangeKind, tyre.End, bool)) (reply.Reply, bool) {
	list := riding.Or(c.req, nil)
	if len(list) > 2 {
		return ask(c.req, riding, "From which riding to which?", list[:2], words{list[len(list)-2], list[len(list)-1]}), true
	}
	if len(list) > 0 && list[len(list)-1] == "park" {
		add(tyre.BikePark, tyre.Both, false)
		list = list[:len(list)-1]
	} else if len(list) == 2 {
		to, _ := rideOf(list[1])
		c.changes = append(c.changes, tyre.Change{Kind: tyre.OtherRiding, Riding: to})
		c.out.Assume("riding", list[0]+" to "+list[1], "from the one named first to the other")
	}
	if len(list) > 0 {
		c.own.Riding, _ = rideOf(list[0])
	}
	return reply.Reply{}, false
}

// rimAlone takes a rim that was told with no other change as the one it is
// changed to, and says so.
func (c *changeRun) rimAlone() {
	said, ok := rim.Of(c.req)
	if _, named := newRim.Of(c.req); !ok || named || len(c.changes) > 0 {
		return
	}
	for _, o := range []spec.Option{load, newTyre, ridetemp, rideheight} {
		if _, ok := c.req.Get(o.About().Name); ok {
			return
		}
	}
	c.req = spec.Set(without(c.req, rim), newRim, said)
	c.out.Assume("newrim", rim.As.Text(said), "a rim and no other change, taken as the new one")
	if !c.known {
		return
	}
	for i, wheel := range c.wheels() { // it was on another before
		if m, err := tyre.Mount(c.tyres[i].label, c.tyres[i].seat, tyre.DefaultRim(c.tyres[i].label)); err == nil {
			wheel.Tyre = m
		}
	}
	c.out.Assume("rim", tyre.DefaultRim(c.tyres[0].label).String(), "the one before was not told; the usual one of this tyre")
}

// loads settles what is computed: added load, another tyre, another rim.
func (c *changeRun) loads() (reply.Reply, bool, error) {
	l, loaded := load.Of(c.req)
	to, other := newTyre.Of(c.req)
	if on, ok := tyreOption.Of(c.req); ok && other && to.Which == spec.Both && (on.Which == spec.FirstOnly || on.Which == spec.SecondOnly) {
		to.Which = on.Which // "2.6 instead of 2.4 on the back"
	}
	width, otherRim := newRim.Of(c.req)
	computed := loaded || other || otherRim
	for _, x := range c.changes {
		computed = computed || x.Kind == tyre.OtherRiding
	}
	if !computed {
		return reply.Reply{}, false, nil
	}
	if !c.known {
		q := ask(c.req, tyreOption, "Which tyre do you ride now? The size stands on its sidewall, as 29x2.4.", usualTyres()...)
		q.Assumed = c.out.Assumed
		return q, true, nil
	}
	if c.own.Riding == 0 {
		word := "trail"
		if label := max(c.tyres[0].label, c.tyres[1].label); label < 35*quantity.Millimetre {
			word = "road"
		} else if label < 50*quantity.Millimetre {
			word = "gravel"
		}
		c.own.Riding, _ = rideOf(word)
		c.out.Assume("riding", word, "no riding given; it tells how the load is shared")
	}
	weight, ok := rider.Of(c.req)
	if loaded && !ok {
		return ask(c.req, rider, "How heavy is the rider, ready to ride? What a load adds is its share of all.", measure{Number: 65, Unit: quantity.KG}, measure{Number: 80, Unit: quantity.KG}, measure{Number: 95, Unit: quantity.KG}), true, nil
	}
	if ok {
		b := tyre.DefaultBike(c.own.Riding, max(c.tyres[0].label, c.tyres[1].label), c.own.Use)
		if m, said := bike.Of(c.req); said {
			b = m.Mass()
		} else {
			c.out.Assume("bike", b.String(), "not weighed, the usual one")
		}
		front, rear, err := tyre.RidingLoads(weight.Mass()+b, c.own.Riding, c.tyres[0].label, c.tyres[1].label)
		if err != nil {
			return reply.Reply{}, false, misfit("rider", changeExample, err)
		}
		c.own.Front.Load, c.own.Rear.Load = front, rear
	}
	if loaded {
		c.addLoad(l)
	}
	if other || otherRim {
		return c.otherTyre(to, other, width, otherRim)
	}
	return reply.Reply{}, false, nil
}

// addLoad adds what is carried, at the end it was said for.
func (c *changeRun) addLoad(l measures) {
	add := func(at tyre.End, m quantity.Mass, onFront tyre.Share) {
		c.changes = append(c.changes, tyre.Change{Kind: tyre.AddedLoad, End: at, Load: m, OnFront: onFront})
	}
	most, spreadSaid := spread.Of(c.req)
	switch {
	case l.Which == spec.Each:
		add(tyre.Front, l.First.Mass(), 0)
		add(tyre.Rear, l.Second.Mass(), 0)
	case l.Which == spec.FirstOnly:
		add(tyre.Front, l.First.Mass(), 0)
	case l.Which == spec.SecondOnly:
		add(tyre.Rear, l.Second.Mass(), 0)
	case spreadSaid:
		onFront := tyre.Mostly
		if most == "mostly rear" {
			onFront = 1 - tyre.Mostly
		}
		c.out.Assume("spread", tyre.Mostly.String(), "of the load at that end, what mostly usually means")
		add(tyre.Both, l.First.Mass(), onFront)
	default:
		c.out.Assume("load", l.First.String(), "shared by both wheels as the rider is; say \"rear\" if it sits there")
		add(tyre.Both, l.First.Mass(), 0)
	}
}

// otherTyre mounts what comes next: another tyre, another rim, or both.
func (c *changeRun) otherTyre(to tyres, other bool, width rims, otherRim bool) (reply.Reply, bool, error) {
	for i, at := range [2]tyre.End{tyre.Front, tyre.Rear} {
		now := c.wheels()[i]
		f, inner := c.tyres[i], now.Tyre.Rim
		mark, ok := ofEnd(to, i)
		changed := other && ok
		if changed {
			if mark.Seat == 0 && len(mark.Seats()) == 0 && mark.Width > 0 { // the same wheel
				full, err := size.Of(mark.Width, c.tyres[i].seat)
				if err != nil {
					return reply.Reply{}, false, misfit("newtyre", changeExample, err)
				}
				f = fixed{full, mark.Width, c.tyres[i].seat}
			} else if f, _, ok = complete(mark); !ok {
				return ask(c.req, newTyre, "Which size is the other tyre? As 29x2.6, or its width."), true, nil
			}
			if f.seat != c.tyres[i].seat && !otherRim {
				return reply.Reply{}, false, spec.Misuse("newtyre", changeExample, "tyre %s and %s: want the same bead seat diameter for the same wheel, these are %s and %s", c.tyres[i].mark, f.mark, c.tyres[i].seat, f.seat)
			}
		}
		if m, ok := ofEnd(width, i); ok && otherRim {
			inner, changed = m.Inner, true
		}
		if !changed {
			continue
		}
		m, err := tyre.Mount(f.label, f.seat, inner)
		if err != nil {
			return reply.Reply{}, false, misfit("newtyre", changeExample, err)
		}
		c.changes = append(c.changes, tyre.Change{Kind: tyre.OtherTyre, End: at, Tyre: m})
	}
	return reply.Reply{}, false, nil
}

// refuse turns the model's refusal into the asker's mistake or a question.
func (c *changeRun) refuse(err error) (reply.Reply, error) {
	var outside *quantity.RangeError
	option := ""
	if errors.As(err, &outside) {
		option = "pressure"
	}
	return reply.Reply{}, misfit(option, changeExample, err)
}

// answer shows old and new, why, and what is computed and what is practice.
func (c *changeRun) answer(changed tyre.Changed, elsewhere bool) (reply.Reply, error) {
	out := &c.out
	out.Facts = reply.Facts{Pressure: true, Start: true, Hookless: anyHookless(c.req)}
	both := [2]tyre.WheelChange{changed.Front, changed.Rear}
	main := reply.Table{Head: []string{c.unit.String(), "now", "then", "change"}}
	var leads []string
	for i, name := range endNames {
		x := both[i]
		if x.Before == 0 {
			continue
		}
		out.Values = append(out.Values,
			reply.Value{Name: name + ".start", Value: float64(x.Pressure), Unit: reply.Pascals, Low: float64(x.Low), High: float64(x.High)},
			reply.Value{Name: name + ".delta", Value: float64(x.Pressure - x.Before), Unit: reply.Pascals})
		if x.Standing == tyre.AboveMax {
			return c.aboveMax(name, x), nil
		}
		if x.Standing == tyre.BelowMin || x.Standing == tyre.MinBeside {
			out.Facts.BelowMinimum = true
		}
		leads = append(leads, fmt.Sprintf("%s %s → %s", name, c.short(x.Before), x.Pressure.Text(c.unit, quantity.Nearest)))
		main.Rows = append(main.Rows, reply.Row{Cells: []string{title(name), c.number(x.Before), c.number(x.Pressure), c.span(x)}})
	}
	out.Lead = []string{title(strings.Join(leads, ", ")) + "."}
	if len(c.changes) == 0 {
		out.Lead = nil
	}
	if both[0].OneAtATime || both[1].OneAtATime {
		out.Lead = append(out.Lead, "Together they go further down than practice knows: try those in brackets one at a time.")
	}
	c.why(both)
	if len(c.changes) > 0 {
		out.Tables = append([]reply.Table{main}, out.Tables...)
	}
	if elsewhere {
		if q, ok, err := c.elsewhere(both); ok || err != nil {
			return q, err
		}
	}
	c.notes(both)
	c.next()
	return *out, nil
}

func (c *changeRun) number(g quantity.Gauge) string {
	return quantity.Fixed(c.unit.Number(float64(g)), airDecimals(c.unit))
}

func (c *changeRun) short(g quantity.Gauge) string {
	return quantity.Trimmed(c.unit.Number(float64(g)), airDecimals(c.unit))
}

func (c *changeRun) signed(g quantity.Gauge) string {
	return quantity.SignedFixed(c.unit.Number(float64(g)), airDecimals(c.unit))
}

// span writes the change of a wheel with what practice leaves open.
func (c *changeRun) span(x tyre.WheelChange) string {
	text := c.signed(x.Pressure - x.Before)
	if x.High-x.Low > 0.01*quantity.PSI {
		text += " (" + c.signed(x.Low-x.Before) + "…" + c.signed(x.High-x.Before) + ")"
	}
	return text
}

// why lists what each change does to each wheel.
func (c *changeRun) why(both [2]tyre.WheelChange) {
	if len(c.changes) == 0 {
		return
	}
	table := reply.Table{Title: "Why, " + c.unit.String(), Head: []string{"", "front", "rear", "is"}}
	for n, x := range c.changes {
		row := []string{c.named(x), "–", "–", ""}
		used := false
		for i := range both {
			for _, d := range both[i].Deltas {
				if d.Change != n {
					continue
				}
				used = true
				row[1+i] = c.signed(d.Likely)
				row[3] = "practice"
				if d.Ratio != 0 {
					row[3] = "computed"
				}
				if !d.Applied {
					row[1+i] = "(" + row[1+i] + ")"
				}
				sum := fmt.Sprintf("%s, %s to %s", c.signed(d.Likely), c.signed(d.Low), c.signed(d.High))
				if d.Ratio != 0 {
					sum = fmt.Sprintf("× %s = %s; half of it would be %s", quantity.Trimmed(d.Ratio, 3), c.signed(d.Likely), c.signed(d.Half()))
				}
				c.out.Step(endNames[i]+", "+c.named(x), sum, d.Basis)
			}
		}
		last := len(table.Rows) - 1
		switch {
		case !used:
		case last >= 0 && table.Rows[last].Cells[0] == row[0] && table.Rows[last].Cells[2] == "–" && row[1] == "–": // front and rear of one change
			table.Rows[last].Cells[2] = row[2]
		default:
			table.Rows = append(table.Rows, reply.Row{Cells: row})
		}
	}
	c.out.Tables = append(c.out.Tables, table)
}

// named names a change as it is talked of.
func (c *changeRun) named(x tyre.Change) string {
	name := x.Kind.String()
	switch x.Kind {
	case tyre.AddedLoad:
		unit := unitOf(c.req, quantity.KindMass, quantity.KG)
		name = "+" + quantity.Trimmed(unit.Number(float64(x.Load)), 1) + " " + unit.String()
	case tyre.OtherTyre:
		name = quantity.Trimmed(x.Tyre.Label.MM(), 0) + " mm on " + quantity.Trimmed(x.Tyre.Rim.MM(), 1)
	case tyre.OtherRiding:
		name = x.Riding.String()
	}
	switch {
	case x.Back && x.Kind == tyre.HeavierCasing:
		name = "lighter casing"
	case x.Back:
		name = "no more " + name
	}
	return name
}

// aboveMax refuses what would stand above the maximum that binds.
func (c *changeRun) aboveMax(name string, x tyre.WheelChange) reply.Reply {
	r := c.out
	r.Values = nil
	r.Refused, r.Mistake = true, true
	r.Example = changeExample
	r.Lead = []string{
		fmt.Sprintf("No: %s would want %s, above the most that may stand there, %s.", name, x.Model.Text(c.unit, quantity.Nearest), x.Max.Pressure.Text(c.unit, quantity.Down)),
		"Another tyre, another rim or less load is the cure, not more air.",
	}
	r.Add(name+".max", float64(x.Max.Pressure), reply.Pascals)
	return r
}

// elsewhere tells what the present pressures read where it is ridden, and what
// to set here for what is wanted there.
func (c *changeRun) elsewhere(both [2]tyre.WheelChange) (reply.Reply, bool, error) {
	a := &airRun{req: c.req, unit: c.unit, degree: unitOf(c.req, quantity.KindTemperature, quantity.DegC), metre: unitOf(c.req, quantity.KindLength, quantity.M)}
	if q, ok := a.otherScale(); ok {
		return q, true, nil
	}
	if q, ok := a.places(); ok {
		return q, true, nil
	}
	c.out.Assumed = append(c.out.Assumed, a.out.Assumed...)
	table := reply.Table{Title: "Set here, ridden " + a.there() + ", " + c.unit.String(), Head: []string{"", "now reads", "wanted", "set here"}}
	var leads []string
	for i, name := range endNames {
		x := both[i]
		if x.Before == 0 {
			continue
		}
		there, err := air.Read(x.Before, a.from, a.to)
		if err != nil {
			return reply.Reply{}, false, misfit("", airExample, err)
		}
		back, err := air.SetFor(x.Pressure, a.from, a.to)
		if err != nil {
			return reply.Reply{}, false, misfit("", airExample, err)
		}
		if r, no := a.aboveMarks(i, false, back); no {
			return r, true, nil
		}
		if there.Read < there.Set {
			c.out.Facts.ColdOrDescent = true
		}
		c.out.Add(name+".read", float64(there.Read), reply.Pascals)
		c.out.Add(name+".set", float64(back.Set), reply.Pascals)
		leads = append(leads, name+" "+a.gauged(back.Set))
		table.Rows = append(table.Rows, reply.Row{Cells: []string{title(name), c.number(there.Read), c.number(x.Pressure), c.number(back.Set)}})
		c.out.Step("air, "+name, fmt.Sprintf("set %s, reads %s %s", c.number(back.Set), c.number(back.Read), a.there()), air.GasLawBasis)
	}
	c.out.Lead = append(c.out.Lead, fmt.Sprintf("To have that %s, set %s here.", a.there(), strings.Join(leads, ", ")))
	c.out.Tables = append(c.out.Tables, table)
	c.out.Note("Feel follows the gauge's pressure where it is ridden; air by absolute temperature and pressure", air.GasLawBasis)
	return reply.Reply{}, false, nil
}

// notes says what each part rests on, and what has to be kept in mind.
func (c *changeRun) notes(both [2]tyre.WheelChange) {
	seen := make(map[string]bool)
	oneAtATime := false
	for _, x := range both {
		oneAtATime = oneAtATime || x.OneAtATime
		for _, d := range x.Deltas {
			if d.Basis.Says == "" || seen[d.Basis.Says] {
				continue
			}
			seen[d.Basis.Says] = true
			text := title(d.Basis.Says)
			d.Basis.Says = ""
			c.out.Note(text, d.Basis)
		}
	}
	for _, x := range c.changes {
		switch {
		case x.Kind == tyre.InsertIn && !x.Back && !seen["insert"]:
			seen["insert"] = true
			c.out.Note("An insert saves the rim and stops no squirm. It takes up room, so pressure rises faster under a hit, and it drinks 20 to 50 % more sealant. What it does flat, to ride home on, is its maker's word", practice(""))
		case x.Kind == tyre.HeavierCasing && !x.Back && !seen["casing"]:
			seen["casing"] = true
			c.out.Note("A stouter casing carries a part itself; it is no licence to go lower for the rim", practice(""))
		}
	}
	if oneAtATime {
		c.out.Note("At most 4 psi or 15 % down in one go", assumption("the usual steps were tried one by one"))
	}
	if len(c.changes) > 0 {
		step := "1 psi"
		if c.unit == quantity.BarUnit {
			step = "0.07 bar"
		}
		c.out.Note("From there "+step+" at a time: squirm, a burp or a touch of the rim, go up and look; harsh or skipping, go down", practice("one gauge, always the same"))
	}
}

// next offers to go back, or another change.
func (c *changeRun) next() {
	_, wet := ground.Of(c.req)
	if !wet {
		c.out.Actions = append(c.out.Actions, reply.Action{Label: "wet as well", Line: spec.Set(c.req, ground, words{"wet"}).Line()})
	}
	if _, ok := insert.Of(c.req); !ok {
		c.out.Actions = append(c.out.Actions, reply.Action{Label: "insert rear as well", Line: spec.Set(c.req, insert, "rear").Line()})
	}
	c.out.Actions = append(c.out.Actions, reply.Action{Label: "why", Line: "why"})
}
