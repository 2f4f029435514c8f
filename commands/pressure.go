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

func init() { add(pressureCommand) }

// pressureCommand gives starting pressures front and rear, and judges one that
// was named.
func pressureCommand(deps Deps) *spec.Command {
	return &spec.Command{
		Name:    "pressure",
		Summary: "Give starting pressures front and rear, with band, limits and how to go on from there",
		Because: "The tyre sinks under its load by the share of its height that suits the riding: more load, more air",
		Words: w("psi", "pressure", "pressures", "bar", "kpa", "how hard", "how soft", "what do we put in", "what to put in", "put in", "start pressure", "starting pressure", "what psi", "what pressure", "tyre pressure", "air pressure", "how much air", "pump to", "faster",
			de("druck", "luftdruck", "wieviel druck", "wie viel druck", "wie viel bar", "wieviel bar"), fr("pression", "quelle pression", "combien de bars"), es("presión", "presion", "qué presión"), it("pressione", "che pressione")),
		Options:  []spec.Option{rider, tyreOption, rim, riding, system, bead, casing, insert, ground, bike, load, use, pressure, tyremax, tyremin, rimmax, ridetemp, wantedEnd, softAt, hardAt},
		Follows:  []spec.Option{tyreOption, rim, riding, system, bead, casing, insert, use},
		Wants:    []spec.Want{{Any: []spec.Option{tyreOption}, Weight: 0.9}, {Any: []spec.Option{rider, pressure}, Weight: 1.2}},
		Examples: []string{"80kg 29x2.4 i30 trail", "13st7 29 2.4 psi", "82 kilo 29x2,4 auf 30 innen", "hookless 30 2.25 45psi ok"},
		// Both pressures and what the ground or the tyre is like now, without a
		// rider, or one riding and another: it goes from them.
		Suits: func(r spec.Request) bool {
			if holdsOne(softAt, hardAt)(r) {
				return false // one alone is a complaint
			}
			own, ok := pressure.Of(r)
			_, weighed := rider.Of(r)
			if !ok || own.Which != spec.Each {
				return true
			}
			return len(riding.Or(r, nil)) != 2 && (weighed || !holdsAny(ground, insert, casing)(r))
		},
		Run: func(_ context.Context, req spec.Request) (reply.Reply, error) {
			p := &pressureRun{req: req, unit: deps.pressureFirst(req)}
			return p.run()
		},
	}
}

// pressureExample is a line that works, shown with mistakes.
const pressureExample = "pressure 80kg 29x2.4 30mm trail"

// pressureRun is one run of the command.
type pressureRun struct {
	req    spec.Request
	unit   quantity.Unit // of pressures, shown first
	out    reply.Reply
	setup  tyre.Setup
	tyres  [2]fixed
	shown  [2]bool // ends asked about
	ground words
	use    string
}

func (p *pressureRun) run() (reply.Reply, error) {
	if q, ok, err := p.otherEnd(); ok || err != nil {
		return q, err
	}
	if q, ok := p.between(); ok {
		return q, nil
	}
	start, q, err := p.start()
	if q != nil || err != nil {
		if q != nil {
			return *q, nil
		}
		return reply.Reply{}, err
	}
	p.answer(start)
	return p.out, nil
}

// start works out the start pressures, or what is to be said instead.
func (p *pressureRun) start() (tyre.Start, *reply.Reply, error) {
	if q, ok := p.implausible(); ok {
		return tyre.Start{}, &q, nil
	}
	if q, ok := p.aboveHookless(); ok {
		return tyre.Start{}, &q, nil
	}
	if q, ok, err := p.gather(); err != nil {
		return tyre.Start{}, nil, err
	} else if ok {
		return tyre.Start{}, &q, nil
	}
	if q, ok := p.wishOnHookless(); ok {
		return tyre.Start{}, &q, nil
	}
	instead := func(q reply.Reply, err error) (tyre.Start, *reply.Reply, error) {
		if err != nil {
			return tyre.Start{}, nil, err
		}
		return tyre.Start{}, &q, nil
	}
	mass, ok := rider.Of(p.req)
	if !ok {
		return instead(p.askRider())
	}
	p.setup.Rider = mass.Mass()
	if mass.Unit == quantity.StonePound {
		p.out.Notes = append(p.out.Notes, reply.Note{Text: mass.String() + " is " + quantity.Fixed(float64(mass.Mass()), 1) + " kg", Basis: basis.Basis{Kind: basis.Computed}, Personal: true})
	}
	start, err := tyre.StartFor(p.setup)
	if err != nil {
		return instead(p.refuse(err))
	}
	if q, ok := p.unclear(start); ok {
		return tyre.Start{}, &q, nil
	}
	return start, nil, nil
}

// implausible questions a pressure no tyre here takes: "30 bar".
func (p *pressureRun) implausible() (reply.Reply, bool) {
	said, ok := pressure.Of(p.req)
	if !ok {
		return reply.Reply{}, false
	}
	for i := range endNames {
		m, ok := ofEnd(said, i)
		if !ok || m.Gauge() <= 10*quantity.Bar && m.Gauge() >= 0.1*quantity.Bar {
			continue
		}
		swap := func(u quantity.Unit) measures {
			other := said
			other.First.Unit, other.Second.Unit = u, u
			return other
		}
		u := quantity.PSIUnit
		if m.Unit == quantity.PSIUnit {
			u = quantity.BarUnit
		}
		text := fmt.Sprintf("%s is no tyre pressure. Was %s meant?", m, quantity.Measure{Number: m.Number, Unit: u})
		r := ask(p.req, pressure, text, swap(u))
		if m.Gauge() < 0.1*quantity.Bar {
			r.Lead = append([]string{"1 psi is 4 % of 24 psi and 14 % of 7 psi. Most pump gauges are further off: always the same gauge counts more than the right number."}, r.Lead...)
			r.Note("Errors of gauges", basis.Basis{Kind: basis.Article, Source: "trade articles on gauges"})
			r.Actions = append(r.Actions, reply.Action{Label: "does 1 psi matter", Line: "help what:one-psi"})
		}
		r.Refused = true
		r.Facts.Pressure = true
		return r, true
	}
	return reply.Reply{}, false
}

// gather fills the set-up from the request, with what is assumed said.
func (p *pressureRun) gather() (reply.Reply, bool, error) {
	p.ground = ground.Or(p.req, nil)
	p.use = use.Or(p.req, "")
	said, ok := tyreOption.Of(p.req)
	if !ok {
		q := ask(p.req, tyreOption, "Which tyre is it? The size stands on its sidewall, as 29x2.4 or 61-622.", usualTyres()...)
		// What practice changes needs no tyre: it holds against one's own numbers.
		p.allowances()
		q.Tables, q.Notes = p.out.Tables, p.out.Notes
		if _, ok := pressure.Of(p.req); ok {
			q.Facts.Pressure = true
		}
		p.onUsual(&q)
		return q, true, nil
	}
	for i := range endNames {
		mark, ok := ofEnd(said, i)
		p.shown[i] = ok
		if !ok {
			mark = said.Any()
		}
		f, why, ok := complete(mark)
		if !ok {
			return askTyre(p.req, mark), true, nil
		}
		p.tyres[i] = f
		if why != "" && (i == 0 || p.tyres[0].mark != f.mark) {
			p.out.Assume("tyre", f.mark.String(), why)
		}
	}
	if q, ok := p.ridingAndUse(); ok {
		return q, true, nil
	}
	if q, ok, err := p.wheels(); ok || err != nil {
		return q, ok, err
	}
	p.masses()
	return reply.Reply{}, false, nil
}

func usualTyres() []tyres {
	var all []tyres
	for _, s := range []string{"29x2.4", "29x2.25", "27.5x2.6", "700x40"} {
		if m, err := size.Parse(s); err == nil {
			all = append(all, spec.OneFor(m))
		}
	}
	return all
}

// Who is lighter than this, on a wheel no larger than this, is a child on a child's
// bike. Common practice, no source.
const (
	childBelow = 45 * quantity.Kilogram
	childWheel = 520 * quantity.Millimetre
)

// ridingAndUse settles what is ridden. Where it wasn't said the tyre tells, and
// that is said.
func (p *pressureRun) ridingAndUse() (reply.Reply, bool) {
	if m, ok := rider.Of(p.req); ok && p.use == "" && m.Mass() < childBelow && p.tyres[0].seat <= childWheel && p.tyres[0].label < fatLabel {
		p.use = "child"
		p.out.Assumed = append(p.out.Assumed, reply.Item{Option: "use", Value: "child", Personal: true, Why: "small wheels, and the weight told"})
	}
	p.setup.Use = map[string]tyre.Use{"assisted": tyre.Assisted, "cargo": tyre.Cargo, "tandem": tyre.Tandem, "childseat": tyre.ChildSeat, "child": tyre.Child}[p.use]
	list := riding.Or(p.req, nil)
	if len(list) > 1 {
		var likely []words
		for _, one := range list {
			likely = append(likely, words{one})
		}
		return ask(p.req, riding, "For which riding first?", likely...), true
	}
	word := ""
	if len(list) == 1 {
		word = list[0]
	}
	if word == "" {
		label := max(p.tyres[0].label, p.tyres[1].label)
		switch {
		case has(p.ground, "snow"):
			word = "snow"
		case label < 35*quantity.Millimetre:
			word = "road"
		case label < 50*quantity.Millimetre:
			word = "gravel"
		default:
			word = "trail"
		}
		why := "no riding given"
		if word == "snow" {
			why = "from the ground"
		}
		p.out.Assume("riding", word, why)
	}
	p.setup.Riding, _ = rideOf(word)
	p.setup.SoftSnow = has(p.ground, "soft") && (has(p.ground, "snow") || word == "snow")
	return reply.Reply{}, false
}

// wheels mounts the tyres on their rims.
func (p *pressureRun) wheels() (reply.Reply, bool, error) {
	rimsSaid, rimKnown := rim.Of(p.req)
	systems, systemKnown := system.Of(p.req)
	marks := tyre.Limits{
		TyreMax: gaugeOf(p.req, tyremax),
		TyreMin: gaugeOf(p.req, tyremin),
		RimMax:  gaugeOf(p.req, rimmax),
	}
	var assumedRims []string
	for i, wheel := range [2]*tyre.Wheel{&p.setup.Front, &p.setup.Rear} {
		f := p.tyres[i]
		inner, ok := quantity.Length(0), false
		if rimKnown {
			var m size.RimMark
			if m, ok = ofEnd(rimsSaid, i); ok {
				inner = m.Inner
				if m.Seat != 0 && m.Seat != f.seat {
					return reply.Reply{}, false, spec.Misuse("rim", pressureExample, "rim %s and tyre %s: want the same bead seat diameter, these are %s and %s", m, f.mark, m.Seat, f.seat)
				}
			}
		}
		if !ok {
			inner = tyre.DefaultRim(f.label)
			assumedRims = append(assumedRims, inner.String())
		}
		if q, no := p.noFit(i, inner, ok); no {
			return q, true, nil
		}
		mounted, err := tyre.Mount(f.label, f.seat, inner)
		if err != nil {
			return reply.Reply{}, false, misfit("tyre", pressureExample, err)
		}
		wheel.Tyre = mounted
		wheel.Limits = marks
		wheel.Limits.Hookless = beadAt(p.req, i) == size.Hookless
		if s, ok := ofEnd(systems, i); ok && systemKnown {
			wheel.Tubes = s == "tubes"
		}
		wheel.Tubes = wheel.Tubes || !systemKnown && p.use == "child"
	}
	if len(assumedRims) > 0 {
		value := assumedRims[0]
		if len(assumedRims) == 2 && assumedRims[1] != value {
			value += "/" + assumedRims[1]
		}
		p.out.Assume("rim", value, "no inner width given, the usual one of this tyre")
	}
	if !systemKnown && p.use == "child" {
		p.out.Assume("system", "tubes", "not said, as most children's bikes have; tubeless takes about 5 psi less")
	} else if !systemKnown && max(p.tyres[0].label, p.tyres[1].label) >= 45*quantity.Millimetre {
		p.out.Assume("system", "tubeless", "not said; tubes need about "+choose(min(p.tyres[0].label, p.tyres[1].label) >= fatLabel, "1.5", "5")+" psi more")
	}
	return reply.Reply{}, false, nil
}

// noFit refuses a pressure for a tyre that does not go on its rim: a number
// would read as a yes.
func (p *pressureRun) noFit(i int, inner quantity.Length, said bool) (reply.Reply, bool) {
	f := p.tyres[i]
	j, err := tyre.Judge(tyre.Pairing{Label: f.label, TyreSeat: f.seat, Rim: inner, Bead: beadAt(p.req, i)})
	if err != nil || j.Verdict != tyre.No || !said {
		return reply.Reply{}, false
	}
	r := reply.Reply{Title: "Starting pressure", Refused: true, Mistake: true, Example: pressureExample, Assumed: p.out.Assumed}
	r.Facts = reply.Facts{Hookless: beadAt(p.req, i) == size.Hookless, FitOutside: true}
	r.Lead = []string{
		fmt.Sprintf("No pressure: %s does not go on a rim of %s inside.", f.mark, inner.Short()),
		whyNoFit(j),
	}
	return r, true
}

func gaugeOf(r spec.Request, a *spec.Arg[measure]) quantity.Gauge {
	if m, ok := a.Of(r); ok {
		return m.Gauge()
	}
	return 0
}

// masses settles bike and load.
func (p *pressureRun) masses() {
	if m, ok := bike.Of(p.req); ok {
		p.setup.Bike = m.Mass()
	} else {
		p.setup.Bike = tyre.DefaultBike(p.setup.Riding, max(p.tyres[0].label, p.tyres[1].label), p.setup.Use)
		p.out.Assume("bike", p.setup.Bike.String(), "not weighed, the usual one")
	}
	l, ok := load.Of(p.req)
	if !ok {
		return
	}
	switch l.Which {
	case spec.FirstOnly:
		p.setup.Carried, p.setup.Where = l.First.Mass(), tyre.Front
	case spec.SecondOnly:
		p.setup.Carried, p.setup.Where = l.Second.Mass(), tyre.Rear
	case spec.Each:
		p.setup.Carried, p.setup.Where = l.First.Mass()+l.Second.Mass(), tyre.Both
		p.out.Assume("load", measure{Number: l.First.Unit.Number(float64(p.setup.Carried)), Unit: l.First.Unit}.String(), "both loads together, shared as the rider's weight is")
	default:
		p.setup.Carried, p.setup.Where = l.First.Mass(), tyre.Both
		p.out.Assume("load", p.setup.Carried.String(), "shared by both wheels; say \"rear\" if it sits there")
	}
}

// aboveHookless refuses what no hookless rim may see, whatever tyre is on it.
func (p *pressureRun) aboveHookless() (reply.Reply, bool) {
	over, ok := overHookless(p.req)
	if !ok {
		return reply.Reply{}, false
	}
	wished := over.Gauge()
	r := reply.Reply{Title: "Starting pressure", Refused: true, Mistake: true, Example: p.unwished(), Facts: reply.Facts{Pressure: true, Hookless: true}}
	r.Lead = []string{fmt.Sprintf("No: %s is above %s, the most any hookless rim may see; wide rims carry lower marks.",
		wished.Text(p.unit, quantity.Nearest), tyre.HooklessMax.Text(p.unit, quantity.Down))}
	r.Add("max", float64(tyre.HooklessMax), reply.Pascals)
	p.hooklessNotes(&r)
	return r, true
}

// unwished is a line that works: the request without the pressure, if enough
// is left to answer, or an example.
func (p *pressureRun) unwished() string {
	_, weight := rider.Of(p.req)
	_, mark := tyreOption.Of(p.req)
	if !weight || !mark {
		return pressureExample
	}
	left := spec.Request{Command: p.req.Command}
	for _, g := range p.req.Given {
		if g.Option != spec.Option(pressure) {
			left.Given = append(left.Given, g)
		}
	}
	return left.Line()
}

// wishOnHookless refuses to say yes to a wished pressure on a hookless rim
// whose own mark isn't known.
func (p *pressureRun) wishOnHookless() (reply.Reply, bool) {
	said, ok := pressure.Of(p.req)
	if !ok {
		return reply.Reply{}, false
	}
	var wished quantity.Gauge
	for i := range endNames {
		if m, ok := ofEnd(said, i); ok && p.wheel(i).Limits.Hookless && p.wheel(i).Limits.RimMax == 0 {
			wished = max(wished, m.Gauge())
		}
	}
	if wished == 0 {
		return reply.Reply{}, false // inside all marks or not is judged against the start
	}
	q := ask(p.req, rimmax, fmt.Sprintf("No yes to %s on a hookless rim before its own maximum is known: wide ones are marked far below %s. What does the rim say?",
		wished.Text(p.unit, quantity.Nearest), tyre.HooklessMax.Text(p.unit, quantity.Down)))
	q.Facts = reply.Facts{Pressure: true, Hookless: true}
	q.Refused, q.Assumed = true, p.out.Assumed
	q.Add("max", float64(p.setup.Rear.Limits.Max(p.tyres[1].label).Pressure), reply.Pascals)
	p.hooklessNotes(&q)
	return q, true
}

func (p *pressureRun) hooklessNotes(r *reply.Reply) {
	r.Note("The lower of the tyre's and the rim's mark binds", basis.Basis{Kind: basis.Standard, Source: "ISO 4210-1"})
	r.Note("5 bar or 72.5 psi is the most on any hookless rim, and only tyres marked for it may go on", basis.Basis{Kind: basis.Standard, Source: "industry standard as quoted in a trade article"})
}

// askRider asks for the weight, and shows what three weights would start with.
func (p *pressureRun) askRider() (reply.Reply, error) {
	first := unitOf(p.req, quantity.KindMass, quantity.KG)
	var likely []measure
	for _, m := range []float64{60, 75, 90, 105} {
		x := measure{Number: m, Unit: quantity.KG}
		if first != quantity.KG {
			x = measure{Number: quantity.Nearest.Round(quantity.LB.Number(m), 10), Unit: quantity.LB}
		}
		likely = append(likely, x)
	}
	q := ask(p.req, rider, "How heavy is the rider, ready to ride? The start follows the load.", likely...)
	table := reply.Table{Title: "Starts by weight, " + p.unit.String(), Head: []string{"rider"}}
	for i, name := range endNames {
		if p.shown[i] {
			table.Head = append(table.Head, name)
		}
	}
	for _, m := range likely {
		p.setup.Rider = m.Mass()
		start, err := tyre.StartFor(p.setup)
		if err != nil {
			if u, ok := p.needsMarks(err); ok {
				u.Assumed = p.out.Assumed
				return u, nil
			}
			continue
		}
		row := reply.Row{Cells: []string{m.String()}}
		for i, s := range [2]tyre.WheelStart{start.Front, start.Rear} {
			switch {
			case !p.shown[i]:
			case s.Standing == tyre.AboveMax:
				row.Cells = append(row.Cells, "above max")
			default:
				row.Cells = append(row.Cells, within(s, s.Pressure, p.unit))
			}
		}
		table.Rows = append(table.Rows, row)
	}
	if len(table.Rows) > 0 {
		q.Tables = []reply.Table{table}
	}
	q.Assumed = p.out.Assumed
	q.Facts = p.facts()
	q.Facts.Start = true
	q.Note("At a hand-over with no weight known: write what was pumped, and for which weight, on the bike's tag", practice(""))
	if has(p.ground, "mud") { // no weight is needed to say so
		q.Note(mudSchools, practice("mud"))
	}
	return q, nil
}

// mudSchools is where practice parts over mud.
const mudSchools = "For sticky mud on firm ground one school rides narrow and harder, to cut through and shed; over wet roots the other lets air out. A wide tyre carries more mud: it wants 6–10 mm of room on each side"

// needsMarks asks for the tyre's printed maximum where the use wants it first.
func (p *pressureRun) needsMarks(err error) (reply.Reply, bool) {
	var marks *tyre.MarksNeededError
	if !errors.As(err, &marks) {
		return reply.Reply{}, false
	}
	// Such bikes take the target of the road whatever the riding: none was assumed.
	p.out.Assumed = slices.DeleteFunc(p.out.Assumed, func(a reply.Item) bool { return a.Option == riding.Name })
	q := ask(p.req, tyremax, "Trail numbers don't hold for this use. What maximum pressure, and what load, stand on the tyre?")
	q.Refused = true
	q.Facts = reply.Facts{SpecialUse: true, Pressure: true}
	if t := p.wheelLoads(); len(t.Rows) > 0 {
		q.Tables = []reply.Table{t}
		q.Note("Hold the wheel's load against the load printed on its tyre; near it, the tyre wants nearly its printed maximum", practice(""))
		q.Note("The share of each wheel is that of road riding", assumption(""))
	}
	return q, true
}

// wheelLoads tells what each wheel carries, for the rider named or for some
// usual weights. No mark of the tyre is needed for it.
func (p *pressureRun) wheelLoads() reply.Table {
	s := p.setup
	first := unitOf(p.req, quantity.KindMass, quantity.KG)
	riders := []quantity.Mass{60, 75, 90, 105}
	if m, ok := rider.Of(p.req); ok {
		riders = []quantity.Mass{m.Mass()}
	}
	t := reply.Table{Title: "Load on the wheel, " + first.String(), Head: []string{"rider", endNames[0], endNames[1]}}
	for _, m := range riders {
		s.Rider = m
		front, rear, err := s.Loads()
		if err != nil {
			continue
		}
		cell := func(m quantity.Mass) string { return quantity.Fixed(first.Number(float64(m)), 0) }
		t.Rows = append(t.Rows, reply.Row{Cells: []string{cell(m), cell(front), cell(rear)}})
	}
	return t
}

// refuse turns a model's refusal into a question or the asker's mistake.
func (p *pressureRun) refuse(err error) (reply.Reply, error) {
	if q, ok := p.needsMarks(err); ok {
		q.Assumed = p.out.Assumed
		return q, nil
	}
	return reply.Reply{}, misfit("", pressureExample, err)
}

// unclear asks for the unit of a bare pressure which fits the start in both
// units or in none.
func (p *pressureRun) unclear(start tyre.Start) (reply.Reply, bool) {
	g, ok := pressure.In(p.req)
	if !ok || g.Origin != spec.Assumed {
		return reply.Reply{}, false
	}
	said, _ := pressure.Of(p.req)
	want := start.Front.Model
	number := said.Any().Number
	if said.Which == spec.SecondOnly {
		want = start.Rear.Model
	}
	in := func(u quantity.Unit) measures {
		x := said
		x.First.Unit, x.Second.Unit = u, u
		return x
	}
	unit := tyre.BareUnit(number, want)
	if unit == tyre.UnitPSI && said.Any().Unit == quantity.PSIUnit || unit == tyre.UnitBar && said.Any().Unit == quantity.BarUnit {
		return reply.Reply{}, false
	}
	text := fmt.Sprintf("%s: in which unit? The start for this tyre is near %s.", quantity.Exact(number), want.Text(quantity.PSIUnit, quantity.Nearest))
	var likely []measures
	for _, u := range []quantity.Unit{quantity.PSIUnit, quantity.BarUnit} {
		if !start.Rear.Max.Exceeds(quantity.Gauge(u.SI(number))) { // what no rim here takes is not offered
			likely = append(likely, in(u))
		}
	}
	q := ask(p.req, pressure, text, likely...)
	q.Assumed = p.out.Assumed
	q.Facts = p.facts()
	return q, true
}

// facts are what the cautions of a pressure are due from.
func (p *pressureRun) facts() reply.Facts {
	cold := false
	if t, ok := ridetemp.Of(p.req); ok {
		cold = t.Temperature().Celsius() < 5
	}
	return reply.Facts{
		Pressure:      true,
		Hookless:      anyHookless(p.req),
		SpecialUse:    p.setup.Use != tyre.Ordinary,
		ColdOrDescent: cold,
	}
}

// answer writes the facts of a start.
func (p *pressureRun) answer(start tyre.Start) {
	out := &p.out
	out.Title = "Starting pressure"
	out.Facts = p.facts()
	out.Facts.Start = true
	ends := [2]tyre.WheelStart{start.Front, start.Rear}
	table := reply.Table{Head: []string{"", p.unit.String(), quantity.Other(p.unit).String(), "band " + p.unit.String()}}
	var lead []string
	for i, s := range ends {
		if !p.shown[i] {
			continue
		}
		if s.Standing == tyre.AboveMax {
			p.aboveMax(i, s)
			return
		}
		if s.Standing == tyre.BelowMin {
			out.Facts.BelowMinimum = true
		}
		lead = append(lead, endNames[i]+" "+inBoth(s, s.Pressure, p.unit))
		table.Rows = append(table.Rows, reply.Row{Cells: []string{title(endNames[i]), within(s, s.Pressure, p.unit), within(s, s.Pressure, quantity.Other(p.unit)),
			within(s, s.Low, p.unit) + "–" + within(s, s.High, p.unit)}})
		out.Values = append(out.Values,
			reply.Value{Name: endNames[i] + ".start", Value: float64(s.Pressure), Unit: reply.Pascals, Low: float64(s.Low), High: float64(s.High)},
			reply.Value{Name: endNames[i] + ".low", Value: float64(s.Low), Unit: reply.Pascals},
			reply.Value{Name: endNames[i] + ".high", Value: float64(s.High), Unit: reply.Pascals},
			reply.Value{Name: endNames[i] + ".max", Value: float64(s.Max.Pressure), Unit: reply.Pascals},
			reply.Value{Name: endNames[i] + ".load", Value: float64(s.Load), Unit: reply.Kilograms, Personal: true},
			reply.Value{Name: endNames[i] + ".width", Value: float64(p.wheel(i).Tyre.Width), Unit: reply.Metres})
	}
	out.Lead = []string{title(strings.Join(lead, ", ")) + ".", p.next()}
	out.Tables = append(out.Tables, table)
	p.sections()
	p.judge(ends)
	p.led(p.allowances(), ends)
	if soft, hard, ok := p.feltBoth(); ok && !out.Refused {
		p.leadBetween(soft, hard, ends[p.lowest(ends)].Max, strings.Join(lead, ", ")+".")
	}
	p.notes(start, ends)
	p.out.Explain = func(r *reply.Reply) { p.working(r, start, ends) }
	p.actions()
}

// within writes a pressure of a wheel so that its text stays at or below the
// wheel's maximum.
func within(s tyre.WheelStart, g quantity.Gauge, u quantity.Unit) string {
	text := g.Number(u, quantity.Nearest)
	if v, err := quantity.Number(text); err == nil && s.Max.Pressure > 0 && u.SI(v) > float64(s.Max.Pressure) {
		return min(g, s.Max.Pressure).Number(u, quantity.Down)
	}
	return text
}

// inBoth is within in both units, as Gauge.Text writes them.
func inBoth(s tyre.WheelStart, g quantity.Gauge, u quantity.Unit) string {
	second := quantity.Other(u)
	return strings.TrimSuffix(within(s, g, u), ".0") + " " + u.String() + " (" + strings.TrimSuffix(within(s, g, second), ".0") + " " + second.String() + ")"
}

func (p *pressureRun) wheel(i int) tyre.Wheel { return [2]tyre.Wheel{p.setup.Front, p.setup.Rear}[i] }

// next says how to go on from the start.
func (p *pressureRun) next() string {
	step := "1 psi"
	if max(p.tyres[0].label, p.tyres[1].label) > tyre.PlusFrom {
		step = "½ psi"
	}
	if p.unit != quantity.PSIUnit {
		step = "0.07 bar"
		if max(p.tyres[0].label, p.tyres[1].label) > tyre.PlusFrom {
			step = "0.03 bar"
		}
	}
	return "Ride it, then move by " + step + ": squirm or burp, go up; harsh or skipping, go down."
}

// aboveMax refuses a start above the marks. Where only the mark's lack stands
// against it, the mark is asked for.
func (p *pressureRun) aboveMax(i int, s tyre.WheelStart) {
	r := reply.Reply{Title: "Starting pressure", Assumed: p.out.Assumed, Refused: true, Facts: p.facts()}
	r.Lead = []string{
		fmt.Sprintf("No pressure: the %s would start at %s, above its maximum of %s.", endNames[i], s.Model.Text(p.unit, quantity.Up), s.Max.Pressure.Text(p.unit, quantity.Down)),
		"A wider tyre, or one marked for more, carries this load.",
	}
	if s.Max.Rule == tyre.GenericCeiling {
		r.Lead = []string{
			fmt.Sprintf("No pressure yet: the %s would start at %s, above %s, the most given while the tyre's mark is unknown.", endNames[i], s.Model.Text(p.unit, quantity.Up), s.Max.Pressure.Text(p.unit, quantity.Down)),
			"What maximum stands on the tyre?",
		}
		r.Ask = &reply.Ask{Option: tyremax.Name, Text: r.Lead[1]}
	} else {
		r.Mistake, r.Example = true, pressureExample
	}
	r.Note("What binds is "+maxRule(s.Max), s.Max.Basis)
	r.Add(endNames[i]+".max", float64(s.Max.Pressure), reply.Pascals)
	p.out = r
}

func maxRule(m tyre.Maximum) string {
	switch m.Rule {
	case tyre.TyreMark:
		return "the tyre's own mark"
	case tyre.RimMark:
		return "the rim's own mark"
	case tyre.HooklessRule:
		return "the rule for hookless rims"
	}
	return "the most given for this width while the tyre's mark is unknown"
}

// judge compares pressures that were named with the start.
func (p *pressureRun) judge(ends [2]tyre.WheelStart) {
	said, ok := pressure.Of(p.req)
	if !ok {
		return
	}
	table := reply.Table{Title: "Against what you named", Head: []string{"", "yours", "to start", ""}}
	var verdicts, found, refusals []string
	for i, s := range ends {
		m, ok := ofEnd(said, i)
		if !ok || !p.shown[i] && said.Which == spec.Both {
			continue
		}
		g := m.Gauge()
		word := "inside the band"
		switch {
		case s.Max.Exceeds(g):
			word = "above the maximum"
			about := fmt.Sprintf("%s is above %s, %s", m, s.Max.Pressure.Text(p.unit, quantity.Down), maxRule(s.Max))
			switch {
			case said.Which != spec.Both:
				refusals = append(refusals, endNames[i]+" "+about)
			case len(refusals) == 0 || refusals[0] != about:
				refusals = append(refusals, about)
			}
			if s.Max.Rule == tyre.GenericCeiling {
				p.out.Ask = &reply.Ask{Option: tyremax.Name, Text: "What maximum stands on the tyre?"}
			} else {
				p.out.Mistake, p.out.Example = true, p.unwished()
			}
		case g < p.wheel(i).Limits.TyreMin:
			word = "below the marked minimum"
			p.out.Facts.BelowMinimum = true
		case g < s.Low:
			word = "below the band"
		case g > s.High:
			word = "above the band"
		}
		found = append(found, word)
		verdicts = append(verdicts, fmt.Sprintf("%s %s is %s", endNames[i], m, word))
		table.Rows = append(table.Rows, reply.Row{Cells: []string{title(endNames[i]), m.String(), signedGauge(s.Pressure-g, p.unit), word}})
		p.out.Add(endNames[i]+".delta", float64(s.Pressure-g), reply.Pascals)
	}
	if len(verdicts) == 0 {
		return
	}
	start := "Start: " + strings.ToLower(p.out.Lead[0][:1]) + p.out.Lead[0][1:]
	if len(found) == 2 && found[0] == found[1] && said.Which == spec.Both {
		verdicts = []string{fmt.Sprintf("%s is %s at both ends", said.First, found[0])}
	}
	p.out.Lead = []string{title(strings.Join(verdicts, ", ")) + ".", start}
	p.out.Note(strings.TrimSuffix(p.next(), "."), practice("one step at a time, always with the same gauge"))
	if len(refusals) > 0 {
		p.out.Refused = true
		p.out.Lead[0] = "No: " + strings.Join(refusals, "; ") + "."
	}
	p.out.Tables = append(p.out.Tables, table)
}

func signedGauge(g quantity.Gauge, u quantity.Unit) string {
	if u == quantity.BarUnit {
		return quantity.Signed(u.Number(float64(g)), 2) + " bar"
	}
	return quantity.Signed(quantity.Nearest.Round(u.Number(float64(g)), 0.5), 1) + " " + u.String()
}

// notes say what the start rests on and where sources disagree.
func (p *pressureRun) notes(start tyre.Start, ends [2]tyre.WheelStart) {
	below := 0
	for i, s := range ends {
		if !p.shown[i] {
			continue
		}
		switch s.Standing {
		case tyre.RaisedToMin:
			p.out.Note(fmt.Sprintf("The %s was raised from %s to the tyre's marked minimum", endNames[i], s.Model.Text(p.unit, quantity.Nearest)), assumption("marks come before the model"))
		case tyre.BelowMin:
			if below++; below == 1 {
				p.out.Note(fmt.Sprintf("A start below the tyre's marked minimum of %s", p.wheel(i).Limits.TyreMin.Text(p.unit, quantity.Up)), practice("usual on hooked tubeless rims off the road"))
			}
		case tyre.MinBeside:
			p.out.Note(fmt.Sprintf("The tyre's marked minimum of %s was written for grown riders on roads", p.wheel(i).Limits.TyreMin.Text(p.unit, quantity.Up)), practice("children's tyres"))
		}
		if s.Tubes > 0 && i == firstShown(p.shown) {
			p.out.Note(fmt.Sprintf("About %s are in it for the tubes, against pinching", choose(s.Tubes.In(quantity.PSI) < 2, "1.5 psi (1–2)", "5 psi (4–6)")), practice("tubes on tyres from 45 mm"))
		}
	}
	p.out.Notes = append(p.out.Notes, reply.Note{
		Text:  fmt.Sprintf("Load shared %s front, %s rear while riding; standing still the rear carries about 60 %%", quantity.Percent(float64(start.FrontShare)), quantity.Percent(1-float64(start.FrontShare))),
		Basis: tyre.TargetBasis})
	p.loads(start, ends)
	p.checked(ends)
	if p.setup.Use == tyre.Assisted {
		p.out.Note("Pressure follows the whole load: 10 % more of it is 10 % more pressure. Many take only half of that, by habit. A heavy casing suits the extra mass", practice("assisted bikes"))
		if _, ok := casing.Of(p.req); !ok {
			p.out.Note("Which casing is it? A heavy one takes 1 to 3 psi less for the same feel", practice("heavy casings"))
		}
	}
	if p.setup.Use == tyre.Child {
		p.out.Note("Figures on a sidewall such as 30–50 psi were written for adults on roads. Pump gauges tell little below 20 psi: press with the thumb too", practice("children's tyres"))
	}
	if p.setup.Riding == tyre.XC {
		p.out.Note("On rough ground the lower pressure rolls faster; on smooth, firm ground 1 to 2 psi more", practice("racing"))
	}
	p.onSnow(ends)
	if p.setup.SoftSnow {
		p.out.Note("Soft snow takes a fifth off", basis.Basis{Kind: basis.Article, Says: "ratio of two published rules for fat tyres, pounds/25 over pounds/20"})
	}
	if has(p.ground, "mud") {
		p.out.Note(mudSchools, practice("mud"))
	}
	if _, ok := ridetemp.Of(p.req); ok {
		p.out.Note("The start is what the gauge should read where you ride. Pumped up in the warm it must read a little more", basis.Basis{Kind: basis.Computed, Source: "gas law"})
	}
	if max(p.tyres[0].label, p.tyres[1].label) < 35*quantity.Millimetre {
		p.out.Note("On narrow tyres practice lies wide apart: 5 % either way is no mistake", practice("road starts"))
	}
	p.disagreement()
}

// loads tells what the wheels carry, where the weight is what it is about, and
// what an assisted bike adds to an ordinary one.
func (p *pressureRun) loads(start tyre.Start, ends [2]tyre.WheelStart) {
	_, named := pressure.Of(p.req)
	note := func(text string, b basis.Basis) {
		p.out.Notes = append(p.out.Notes, reply.Note{Text: text, Basis: b, Personal: true})
	}
	kilos := func(m quantity.Mass) string { return quantity.Fixed(quantity.KG.Number(float64(m)), 0) + " kg" }
	if named && p.shown[1] || p.setup.Use == tyre.Assisted {
		note(fmt.Sprintf("The rear carries %s of %s while riding", kilos(ends[1].Load), kilos(start.Total)), basis.Basis{Kind: basis.Computed, Says: "rider, bike, what is carried"})
	}
	const ordinary = 14 * quantity.Kilogram // a trail bike without a motor
	if p.setup.Use != tyre.Assisted || p.setup.Bike <= ordinary {
		return
	}
	more := float64((p.setup.Bike - ordinary) / (start.Total - p.setup.Bike + ordinary))
	const usual = 22.0 // psi
	note(fmt.Sprintf("Against a bike of %s it is %s more, %s of the load: %s psi at %s. No flat 5 psi for every bike", kilos(ordinary), kilos(p.setup.Bike-ordinary),
		quantity.Percent(more), quantity.SignedFixed(usual*more, 1), quantity.Trimmed(usual, 0)), basis.Basis{Kind: basis.Computed, Source: "pressure follows the load"})
}

// checked says which maximum the start was held against: the lower of both ends.
func (p *pressureRun) checked(ends [2]tyre.WheelStart) {
	most := ends[p.lowest(ends)].Max
	b := most.Basis
	b.Says = "" // the rule says it
	p.out.Note(fmt.Sprintf("Checked against %s, %s", most.Pressure.Text(p.unit, quantity.Down), maxRule(most)), b)
}

// lowest returns which of the ends asked about has the lowest maximum.
func (p *pressureRun) lowest(ends [2]tyre.WheelStart) int {
	if !p.shown[1] || p.shown[0] && ends[0].Max.Pressure <= ends[1].Max.Pressure {
		return 0
	}
	return 1
}

// sections shows tyres side by side that differ from front to rear.
func (p *pressureRun) sections() {
	front, rear := p.setup.Front.Tyre, p.setup.Rear.Tyre
	if !p.shown[0] || !p.shown[1] || front.Label == rear.Label && front.Rim == rear.Rim && front.Seat == rear.Seat {
		return
	}
	table := reply.Table{Title: "Sections, mm", Head: []string{"", "label", "rim", "wide", "high"}}
	for i, m := range [2]tyre.Mounted{front, rear} {
		mm := func(l quantity.Length) string { return quantity.Fixed(l.MM(), 0) }
		table.Rows = append(table.Rows, reply.Row{Cells: []string{title(endNames[i]), mm(m.Label), mm(m.Rim), mm(m.Width), mm(m.Height)}})
	}
	p.out.Tables = append(p.out.Tables, table)
}

// onSnow sets the published rule for fat tyres on packed and on soft snow beside
// the start, and tells what frost does to so little pressure.
func (p *pressureRun) onSnow(ends [2]tyre.WheelStart) {
	if p.setup.Riding != tyre.Snow || max(p.tyres[0].label, p.tyres[1].label) < fatLabel {
		return
	}
	pounds := quantity.LB.Number(float64(p.setup.Rider))
	table := reply.Table{Title: "By the published rule, psi", Head: []string{"snow", "front", "rear"}}
	for _, x := range []struct {
		snow    string
		divisor float64
	}{{"packed", 20}, {"soft", 25}} {
		mid := pounds / x.divisor
		const apart = 0.5
		table.Rows = append(table.Rows, reply.Row{Cells: []string{x.snow, quantity.Fixed(mid-apart, 1), quantity.Fixed(mid+apart, 1)}, Personal: true})
	}
	p.out.Tables = append(p.out.Tables, table)
	if !has(p.ground, "soft") && len(p.out.Lead) == 2 {
		p.out.Lead[1] = "On snow the published rule, below, starts lower: take its row for packed or soft, then move by ½ psi."
	}
	const frost = quantity.Temperature(273.15 - 15)
	set := ends[1].Pressure
	if there, err := air.Read(set, air.Place{Temperature: indoors}, air.Place{Temperature: frost}); err == nil {
		p.out.Note(fmt.Sprintf("The start is for where you ride: %s set at 20 °C reads %s at −15 °C", set.Text(p.unit, quantity.Nearest), there.Read.Text(p.unit, quantity.Nearest)), air.GasLawBasis)
	}
}

func firstShown(shown [2]bool) int {
	if shown[0] {
		return 0
	}
	return 1
}

// disagreement says where published figures and the model part.
func (p *pressureRun) disagreement() {
	says := basis.Basis{Kind: basis.Article, Source: "trade articles and charts", Says: "where sources disagree"}
	label := p.tyres[1].label
	text := "Only trail starts are fixed by more than one source; for this riding the target rests on few"
	switch {
	case p.setup.Use == tyre.Child:
		text = "One published figure for a child of 28 kg on 24x2.0 with tubes is 18–20 psi; no second source stands beside it"
	case label >= fatLabel:
		text = "A published rule for fat tyres takes the rider's pounds / 20 on packed snow, half a psi less in front and more at the rear, pounds / 25 on soft; forum bands run from 6–8 psi, very hard, over 4–5, softer, to 2–3 in deep snow. It needs a low-range gauge"
	case label > tyre.PlusFrom:
		text = "Trade pages start 2.8 in tyres at 18–22 psi, with tubes at 16–18; riders go lower. The window is narrow: bounce is too high, squirm or a burp too low, and a rim near 35 mm widens it"
		p.out.Note("The rim decides more here than half a psi: 2.8 in is right on 35 mm, and on 25 mm at no pressure", practice("plus tyres"))
	case p.setup.Riding == tyre.Trail:
		text = "Published trail bands for 70–85 kg on 2.3–2.5 in run from 22–24 front, 23–27 rear psi to 22–25; older racers' tables lie 2–4 psi higher"
	case p.setup.Riding == tyre.XC:
		text = "A published racers' range, 20–25 psi front and 25–28 rear, is older practice. Change nothing untried on race day"
	}
	p.out.Note(text, says)
}

// working is the sum, for why.
func (p *pressureRun) working(out *reply.Reply, start tyre.Start, ends [2]tyre.WheelStart) {
	carried := ""
	if p.setup.Carried > 0 {
		carried = " + " + p.setup.Carried.String()
	}
	step := func(what, sum string, b basis.Basis, personal bool) {
		out.Working = append(out.Working, reply.Step{What: what, Sum: sum, Basis: b, Personal: personal})
	}
	step("Total load", fmt.Sprintf("%s + %s%s = %s", p.setup.Rider, p.setup.Bike, carried, start.Total), basis.Basis{Kind: basis.Computed, Says: "rider, bike, what is carried"}, true)
	for i, s := range ends {
		if !p.shown[i] {
			continue
		}
		m := p.wheel(i).Tyre
		share := start.FrontShare
		if i == 1 {
			share = 1 - share
		}
		step(title(endNames[i])+" load", p.loadSum(share, i, s.Load), tyre.TargetBasis, true)
		step(title(endNames[i])+" section", fmt.Sprintf("label %s on %s inside stands %s wide, %s high", m.Label.Short(), m.Rim.Short(), m.Width.Short(), m.Height.Short()), tyre.SectionBasis, false)
		area, err := m.PatchArea(s.Drop)
		if err != nil {
			continue
		}
		drop := quantity.Length(s.Drop) * m.Height
		step(title(endNames[i])+" patch", fmt.Sprintf("pressed flat by %s of the height = %s it touches %s", s.Drop, drop, area), tyre.LoadBasis, false)
		sum := fmt.Sprintf("%s × 9.80665 m/s² / %s = %s", s.Load, area, quantity.Gauge(float64(s.Load.Weight())/float64(area)))
		if p.setup.SoftSnow {
			sum += ", × 0.8 for soft snow"
		}
		if s.Tubes > 0 {
			sum += fmt.Sprintf(", + %s for tubes", s.Tubes)
		}
		if p.setup.SoftSnow || s.Tubes > 0 {
			sum += " = " + s.Model.String()
		}
		step(title(endNames[i])+" pressure", sum, basis.Basis{Kind: basis.Computed, Says: "load over contact area"}, true)
		step(title(endNames[i])+" band", fmt.Sprintf("± %s: width ± %s, share ± 2 points, target ± 0.8 points", s.Band, m.WidthBand()), basis.Basis{Kind: basis.Computed, Says: "what the inputs leave open"}, false)
		step(title(endNames[i])+" limit", fmt.Sprintf("%s: %s", maxRule(s.Max), s.Max.Pressure), s.Max.Basis, false)
	}
}

// loadSum writes how the load on a wheel comes about: what is carried at one
// end counts there alone.
func (p *pressureRun) loadSum(share tyre.Share, i int, on quantity.Mass) string {
	if p.setup.Carried == 0 || p.setup.Where == tyre.Both {
		return fmt.Sprintf("%s of it on the wheel = %s", share, on)
	}
	own := ""
	if p.setup.Where == [2]tyre.End{tyre.Front, tyre.Rear}[i] {
		own = " + " + p.setup.Carried.String()
	}
	return fmt.Sprintf("%s of %s%s = %s", share, p.setup.Rider+p.setup.Bike, own, on)
}

// actions offers what people ask next.
func (p *pressureRun) actions() {
	other := "tubes"
	if p.setup.Rear.Tubes {
		other = "tubeless"
	}
	if max(p.tyres[0].label, p.tyres[1].label) >= 45*quantity.Millimetre {
		p.out.Actions = append(p.out.Actions, reply.Action{Label: "with " + other, Line: spec.Set(p.req, system, spec.OneFor(other)).Line()})
	}
	if !p.setup.SoftSnow && len(p.ground) == 0 && p.setup.Riding.OffRoad() {
		p.out.Actions = append(p.out.Actions, reply.Action{Label: "wet rock", Line: spec.Set(p.req, ground, words{"wet", "rock"}).Line()})
	}
	p.out.Actions = append(p.out.Actions, reply.Action{Label: "why", Line: "why"})
}
