package commands

import (
	"context"
	"errors"
	"fmt"
	"slices"
	"strings"

	"spokeword/calc/air"
	"spokeword/calc/basis"
	"spokeword/calc/fill"
	"spokeword/calc/quantity"
	"spokeword/calc/size"
	"spokeword/calc/tyre"
	"spokeword/commands/read"
	"spokeword/commands/reply"
	"spokeword/commands/spec"
)

func init() { add(fillCommand) }

// jobs are what fill is asked about.
var jobs = []read.Choice{
	{Value: "gas", Words: w("co2", "co₂", "cartridge", "cartridges", "gas", "gas canister", "canister", "canisters", "inflator", de("kartusche", "kartuschen", "co2-kartusche"), fr("cartouche", "cartouches"), es("cartucho", "cartuchos", "bombona"), it("cartuccia", "cartucce", "bomboletta"))},
	{Value: "strokes", Words: w("strokes", "stroke", "pumps", "how many pumps", "how many strokes", "pump strokes", "pumping how often", de("hübe", "pumpenhübe", "wie oft pumpen"), fr("coups de pompe"), es("bombeos", "bombadas"), it("pompate", "colpi di pompa"))},
	{Value: "sealant", Words: w("sealant", "goo", "goop", "gunk", "how much gunk", "milk", "juice", "how much juice", "how much milk", "how much goop", "ml", "mls", "oz", "ounces", "how many ml", "how many mls", "how many oz", "first fill", "topping up", "top up", "how much sealant", "how much goo", "sealant dose", "latex", "top up sealant", de("dichtmilch", "milch", "dichtmittel"), fr("préventif", "liquide préventif", "latex"), es("líquido sellante", "sellante", "liquido"), it("lattice", "sigillante", "liquido sigillante"))},
	{Value: "tape", Words: w("tape", "rim tape", "tubeless tape", "tape width", "how wide tape", "tape for", "tape for a", "tape for my", "wide a tape", "rim strip", de("felgenband", "tape"), fr("fond de jante", "ruban"), es("cinta", "fondo de llanta"), it("nastro"))},
	{Value: "valve", Words: w("valve", "valves", "valve length", "valve stem", "how long a valve", de("ventil", "ventile", "ventillänge"), fr("valve", "longueur de valve"), es("válvula", "valvula"), it("valvola"))},
}

// fillCommand tells what goes into a tyre: gas, strokes, sealant; tape and
// valve.
func fillCommand(deps Deps) *spec.Command {
	return &spec.Command{
		Name:    "fill",
		Summary: "Tell what a cartridge or a pump makes of a tyre, how much sealant, which tape and valve",
		Because: "What a tyre's volume takes: gas by its mass, strokes by the pump's; doses and parts by habit",
		Words: w("how many tyres", "how many wheels", "does how many", "serves how many", "how often sealant", "fill up", "inflate", "inflation",
			de("füllen", "aufpumpen", "reicht für wie viele"), fr("gonflage"), es("inflar"), it("gonfiaggio")),
		Options:  []spec.Option{what, cartridge, startsFrom, pump, bottle, howMany, depth, stem, tape, tyreOption, pressure, rim, insert, ridetemp, rideheight, bead, tyremax, rimmax},
		Follows:  []spec.Option{tyreOption, rim, bead},
		Wants:    []spec.Want{{Any: []spec.Option{tyreOption, cartridge, pump, bottle, depth, tape, rim}, Weight: 0.5}},
		Weight:   0.6,
		Examples: []string{"fill 16g 25g 29x2.6", "how many pumps 29x2.4 25psi 50ml pump", "how much sealant 29x2.4", "tape for 30mm rim", "valve for 45mm deep rim"},
		Suits:    fills,
		Run: func(_ context.Context, req spec.Request) (reply.Reply, error) {
			unit := deps.pressureFirst(req)
			r, err := (&fillRun{req: req, unit: unit}).run()
			if on, usual := fillOnUsual(req, r); err == nil && on != "" {
				if likely, err := (&fillRun{req: usual, unit: unit}).run(); err == nil {
					first(&r, on, likely)
				}
			}
			return r, err
		},
	}
}

// fillOnUsual returns the request with a usual value of what is asked for, and its name;
// "" if none is usual.
func fillOnUsual(req spec.Request, q reply.Reply) (on string, usual spec.Request) {
	if q.Ask == nil {
		return "", req
	}
	switch q.Ask.Option {
	case tyreOption.Name:
		if mark, err := size.Parse(usualSize); err == nil && !holdsAny(tyreOption)(req) {
			return usualSize + ", as most ride", spec.Set(req, tyreOption, spec.OneFor(mark))
		}
	case rim.Name:
		return usualInner.Short() + " inside, as most trail rims", spec.Set(req, rim, spec.OneFor(size.RimMark{Inner: usualInner}))
	case depth.Name:
		const usualDepth = 25
		return quantity.Count(usualDepth) + " mm deep, as many rims", spec.Set(req, depth, measure{Number: usualDepth, Unit: quantity.MM})
	}
	return "", req
}

// fills reports whether a request is about one of the jobs.
func fills(r spec.Request) bool {
	if id, ok := what.Of(r); ok {
		return isJob(id)
	}
	return holdsAny(cartridge, pump, bottle, depth, tape)(r) || holdsAny(howMany)(r) && holdsAny(tyreOption)(r)
}

func isJob(id string) bool {
	return slices.ContainsFunc(jobs, func(c read.Choice) bool { return c.Value == id })
}

// fillExample is a line that works, shown with mistakes.
const fillExample = "fill 16g 29x2.4"

// fillRun is one run of the command.
type fillRun struct {
	req  spec.Request
	unit quantity.Unit
	out  reply.Reply
}

func (f *fillRun) run() (reply.Reply, error) {
	given := func(o spec.Option) bool { _, ok := f.req.Get(o.About().Name); return ok }
	job, ok := what.Of(f.req)
	switch {
	case given(cartridge):
		job = "gas"
	case ok:
	case given(pump):
		job = "strokes"
	case given(bottle), given(howMany):
		job = "sealant"
	case given(tape):
		job = "tape"
	case given(depth), given(stem):
		job = "valve"
	}
	switch {
	case given(stem) && job != "gas" && job != "strokes":
		job = "valve"
	case job == "valve" && !given(depth) && given(rim):
		job = "tape"
	case job == "gas" && given(bottle) && !given(cartridge):
		job = "sealant"
	}
	switch job {
	case "gas":
		if q, ok := f.noCartridge(); ok {
			return q, nil
		}
		return f.gas()
	case "strokes":
		if q, ok := f.noPump(); ok {
			return q, nil
		}
		return f.strokes()
	case "sealant":
		return f.sealant()
	case "tape":
		return f.tape()
	case "valve":
		return f.valve()
	}
	return ask(f.req, what, "Fill with what, or seal with what?", "gas", "strokes", "sealant", "tape", "valve"), nil
}

// Cartridges for tyres hold 8 to 88 g, most of them 12 to 38: what lies far
// outside is a slip. From memory.
const leastCartridge, mostCartridge = 4 * quantity.Gram, 150 * quantity.Gram

// noCartridge asks about a size that is no cartridge's: "200 g" for 20.
func (f *fillRun) noCartridge() (reply.Reply, bool) {
	all, _ := cartridge.Of(f.req)
	for i, c := range all {
		m := c.Gas.Mass()
		if m >= leastCartridge && m <= mostCartridge {
			continue
		}
		sizes := []float64{16, 20, 25}
		if tenth := c.Gas.Number / 10; c.Gas.Unit == quantity.G && tenth >= 8 && tenth <= 88 && !slices.Contains(sizes, tenth) {
			sizes[1] = tenth
		}
		var likely [][]read.Cartridge
		for _, g := range sizes {
			other := slices.Clone(all)
			other[i].Gas = measure{Number: g, Unit: quantity.G}
			likely = append(likely, other)
		}
		q := ask(f.req, cartridge, fmt.Sprintf("%s is no cartridge for a tyre: they hold %s to %s, most 16 to 38. Which is yours?",
			c.Gas, grams(leastCartridge), grams(mostCartridge)+" g"), likely...)
		q.Refused, q.Example = true, fillExample
		return q, true
	}
	return reply.Reply{}, false
}

// Pumps move 20 to 600 ml at a stroke, little ones least: what lies far outside
// is a slip. From memory.
const leastStroke, mostStroke = 10 * quantity.Millilitre, 1000 * quantity.Millilitre

// noPump asks about a stroke that is no pump's: "5 l" for 50 ml.
func (f *fillRun) noPump() (reply.Reply, bool) {
	m, ok := pump.Of(f.req)
	if !ok || m.Volume() >= leastStroke && m.Volume() <= mostStroke {
		return reply.Reply{}, false
	}
	q := ask(f.req, pump, fmt.Sprintf("%s is no stroke of a pump: hand pumps move some 50 ml, floor pumps 300 to 500 ml. How much does yours?", m),
		measure{Number: 50, Unit: quantity.ML}, measure{Number: 100, Unit: quantity.ML}, measure{Number: 400, Unit: quantity.ML})
	q.Refused, q.Example = true, "how many pumps 29x2.4 25psi 50ml pump"
	return q, true
}

func grams(m quantity.Mass) string { return quantity.Trimmed(quantity.G.Number(float64(m)), 0) }

// filled is a tyre that is to be filled.
type filled struct {
	fixed
	mounted tyre.Mounted
	most    tyre.Maximum
}

// mounted returns the tyres named, each on its rim, or the question about them.
func (f *fillRun) mounted() ([]filled, reply.Reply, bool, error) {
	said, ok := tyreOption.Of(f.req)
	if !ok {
		return nil, ask(f.req, tyreOption, "Into which tyre? The size stands on its sidewall, as 29x2.4.", usualTyres()...), false, nil
	}
	rimsSaid, _ := rim.Of(f.req)
	_, rimKnown := rim.Of(f.req)
	var all []filled
	for i := range endNames {
		mark, ok := ofEnd(said, i)
		if !ok || i == 1 && said.Which == spec.Both || i == 1 && said.First == said.Second && len(all) > 0 {
			continue
		}
		x, why, ok := f.whole(mark)
		if !ok {
			return nil, askTyre(f.req, mark), false, nil
		}
		if why != "" {
			f.out.Assume("tyre", x.mark.String(), why)
		}
		inner := tyre.DefaultRim(x.label)
		if m, ok := ofEnd(rimsSaid, i); ok && rimKnown {
			inner = m.Inner
		} else {
			f.out.Assume("rim", inner.String(), "no inner width given, the usual one of this tyre")
		}
		m, err := tyre.Mount(x.label, x.seat, inner)
		if err != nil {
			return nil, reply.Reply{}, false, misfit("tyre", fillExample, err)
		}
		limits := tyre.Limits{TyreMax: gaugeOf(f.req, tyremax), RimMax: gaugeOf(f.req, rimmax), Hookless: beadAt(f.req, i) == size.Hookless}
		all = append(all, filled{x, m, limits.Max(x.label)})
	}
	return all, reply.Reply{}, true, nil
}

// whole completes a mark by its usual diameter or width. What goes in depends
// on the width less than a start pressure does, so that a usual one may stand
// for it, if it is said.
func (f *fillRun) whole(mark size.Mark) (fixed, string, bool) {
	if usual, ok := usualWidths[mark.String()]; ok && mark.Width == 0 {
		if full, err := size.Parse(usual); err == nil {
			x, _, ok := complete(full)
			return x, "no width given, a usual one of this wheel", ok
		}
	}
	return complete(mark)
}

// place is where it is filled.
func (f *fillRun) place() (air.Place, bool) {
	p := air.Place{Temperature: indoors}
	t, cold := ridetemp.Of(f.req)
	if cold {
		p.Temperature = t.Temperature()
	}
	if h, ok := rideheight.Of(f.req); ok {
		p.Height = h.Length()
	}
	return p, cold
}

// usualSizes are shown where no cartridge was named.
var usualSizes = []quantity.Mass{16 * quantity.Gram, 20 * quantity.Gram, 25 * quantity.Gram, 38 * quantity.Gram}

// gas tells what cartridges make of tyres, from both starts.
func (f *fillRun) gas() (reply.Reply, error) {
	f.out.Title = "Cartridges"
	at, cold := f.place()
	tyres, q, ok, err := f.mounted()
	if !ok && err == nil && cold {
		f.inFrost(&q, at)
	}
	if !ok || err != nil {
		return q, err
	}
	if !cold {
		f.out.Assume("ridetemp", "20 °C", "no temperature given; gas and tyre as warm as the air")
	}
	f.out.Facts = reply.Facts{Pressure: true, Seating: true, Hookless: anyHookless(f.req)}
	if said, ok := pressure.Of(f.req); ok {
		if r, no := (&airRun{req: f.req}).implausible(said); no {
			return r, nil
		}
	}
	named, hasNamed := cartridge.Of(f.req)
	type rowed struct {
		name string
		gas  quantity.Mass
	}
	var rows []rowed
	for _, c := range named {
		name := c.Gas.String()
		if c.Count != 1 {
			name = quantity.Count(c.Count) + " × " + name
		}
		rows = append(rows, rowed{name, c.Mass()})
	}
	if !hasNamed {
		for _, m := range usualSizes {
			rows = append(rows, rowed{quantity.Fixed(quantity.G.Number(float64(m)), 0) + " g", m})
		}
	}
	over := 0
	for t, x := range tyres {
		table := reply.Table{Head: []string{x.mark.String(), "still round", "was flat"}}
		for n, r := range rows {
			filled, err := fill.Cartridge(r.gas, x.mounted, at)
			var too *fill.OverfillError
			if err != nil && !errors.As(err, &too) {
				return reply.Reply{}, misfit("cartridge", fillExample, err)
			}
			if too != nil || filled.Round.Pressure > x.most.Pressure {
				over++
				much := "too much"
				if too == nil {
					much = f.one(filled.Round.Pressure) + " over"
				}
				table.Rows = append(table.Rows, reply.Row{Cells: []string{r.name, much, "–"}})
				continue
			}
			flat := f.one(filled.Flat.Pressure)
			if filled.Limp {
				flat = "limp"
			}
			table.Rows = append(table.Rows, reply.Row{Cells: []string{r.name, f.one(filled.Round.Pressure), flat}})
			if len(tyres) == 1 && hasNamed {
				f.values(n, len(rows), filled)
			}
			if t == 0 && len(f.out.Lead) == 0 {
				f.out.Lead = append(f.out.Lead, f.sentence(r.name, x, filled, cold, at))
			}
			f.out.Step(r.name+" in "+x.mark.String(), fmt.Sprintf("%s at %s: %s round, %s from flat; volume known to some per cent: %s to %s",
				x.mounted.Volume, measure{Number: quantity.DegC.Number(float64(at.Temperature)), Unit: quantity.DegC}, f.one(filled.Round.Pressure), f.one(filled.Flat.Pressure), f.one(filled.Round.Low), f.one(filled.Round.High)), fill.CartridgeBasis)
		}
		f.out.Tables = append(f.out.Tables, table)
	}
	if over == len(rows)*len(tyres) {
		return f.tooMuch(tyres[0], at), nil
	}
	if err := f.forTarget(tyres, at); err != nil {
		return reply.Reply{}, err
	}
	if over > 0 {
		f.out.Note("Over, or too much, is more than the tyre or rim is marked with, or than any tyre of this width should see, if it is still round: "+tyres[0].most.Pressure.Text(f.unit, quantity.Down), tyres[0].most.Basis)
	}
	f.gasNotes(cold)
	f.volumes(tyres)
	if q, ok := f.warmer(cold); ok {
		f.out.Actions = append(f.out.Actions, q)
	}
	f.out.Actions = append(f.out.Actions, reply.Action{Label: "gone flat next day?", Line: "symptom what:co2-leaks"}, reply.Action{Label: "why", Line: "why"})
	return f.out, nil
}

// volumes tells how much air the tyres hold, and where a gram makes a psi.
func (f *fillRun) volumes(tyres []filled) {
	for _, x := range tyres {
		text := fmt.Sprintf("A %s on %s holds about %s l", x.mark, x.mounted.Rim.Short(), quantity.Fixed(quantity.L.Number(float64(x.mounted.Volume)), 1))
		ten, err := fill.Cartridge(10*quantity.Gram, x.mounted, air.Place{Temperature: indoors})
		if per := quantity.PSIUnit.Number(float64(ten.Round.Pressure)) / 10; err == nil && per > 0.95 && per < 1.05 {
			text += ", so that 1 g makes about 1 psi while it is round"
		}
		f.out.Note(text, tyre.SectionBasis)
	}
}

// inFrost tells by an example what cold does to a cartridge, where the tyre is
// not known yet.
func (f *fillRun) inFrost(q *reply.Reply, at air.Place) {
	mark, err := size.Parse("29x2.4")
	if err != nil {
		return
	}
	m, err := tyre.Mount(mark.Width, mark.Seat, tyre.DefaultRim(mark.Width))
	if err != nil {
		return
	}
	warm, errWarm := fill.Cartridge(usualSizes[0], m, air.Place{Temperature: indoors, Height: at.Height})
	there, errThere := fill.Cartridge(usualSizes[0], m, at)
	if errWarm != nil || errThere != nil {
		return
	}
	q.Lead = append([]string{fmt.Sprintf("It works, with less: 16 g in a 29x2.4 that is still round make %s instead of %s.", f.both(there.Round.Pressure), f.both(warm.Round.Pressure))}, q.Lead...)
	q.Facts = reply.Facts{Pressure: true, Seating: true}
	f.gasNotes(true)
	q.Notes = f.out.Notes
}

// values are those of alternative n of so many.
func (f *fillRun) values(n, of int, x fill.Filled) {
	prefix := ""
	if of > 1 {
		prefix = string(rune('a'+n)) + "."
	}
	f.out.Values = append(f.out.Values,
		reply.Value{Name: prefix + "round", Value: float64(x.Round.Pressure), Unit: reply.Pascals, Low: float64(x.Round.Low), High: float64(x.Round.High)},
		reply.Value{Name: prefix + "flat", Value: float64(x.Flat.Pressure), Unit: reply.Pascals, Low: float64(x.Flat.Low), High: float64(x.Flat.High)})
}

func (f *fillRun) sentence(name string, x filled, g fill.Filled, cold bool, at air.Place) string {
	text := fmt.Sprintf("%s makes %s of a %s that is still round, ", name, f.both(g.Round.Pressure), x.mark)
	if g.Limp {
		text += "and does not fill one that was squashed flat"
	} else {
		text += f.both(g.Flat.Pressure) + " if it was squashed flat"
	}
	if cold {
		text += ", at " + quantity.Trimmed(quantity.DegC.Number(float64(at.Temperature)), 1) + " °C"
	}
	return text + "."
}

func (f *fillRun) one(g quantity.Gauge) string {
	return quantity.Fixed(f.unit.Number(float64(g)), airDecimals(f.unit))
}

func (f *fillRun) both(g quantity.Gauge) string {
	other := quantity.Other(f.unit)
	return f.one(g) + " " + f.unit.String() + " (" + quantity.Fixed(other.Number(float64(g)), airDecimals(other)) + " " + other.String() + ")"
}

// Which share of an ordinary rider's start is enough to ride on, and which to get
// home gently. Common practice, no source.
const (
	enoughShare, homeShare = 0.9, 0.65
	ordinaryRider          = 75 * quantity.Kilogram
)

// enough says whether the first cartridge gets somebody going.
func (f *fillRun) enough(x filled) {
	made := slices.IndexFunc(f.out.Values, func(v reply.Value) bool { return strings.HasSuffix(v.Name, "round") })
	wheel := tyre.Wheel{Tyre: x.mounted}
	start, err := tyre.StartFor(tyre.Setup{Rider: ordinaryRider, Bike: tyre.DefaultBike(tyre.Trail, x.mounted.Label, tyre.Ordinary), Front: wheel, Rear: wheel, Riding: tyre.Trail, Use: tyre.Ordinary})
	if made < 0 || err != nil || len(f.out.Lead) == 0 {
		return
	}
	share := f.out.Values[made].Value / float64(start.Rear.Pressure)
	says := "Enough to ride on, if the tyre kept its shape: "
	switch {
	case share < homeShare:
		says = "Not enough, too soft to ride: "
	case share < enoughShare:
		says = "Enough to get home gently, if the tyre kept its shape: "
	}
	f.out.Lead[0] = says + f.out.Lead[0]
	f.out.Assume("rider", measure{Number: ordinaryRider.In(quantity.Kilogram), Unit: quantity.KG}.String(), "for whether it is enough to ride on")
}

// forTarget names the cartridge that reaches the pressure asked for, in the
// tyre that needs most.
func (f *fillRun) forTarget(all []filled, at air.Place) error {
	said, ok := pressure.Of(f.req)
	if !ok {
		f.enough(all[0])
		f.out.Lead = append(f.out.Lead, "Pump it up with air the same day or the next: the gas leaves through the rubber.")
		return nil
	}
	start := fill.Round
	if startsFrom.Or(f.req, "") == "flat" {
		start = fill.Flat
	} else if _, ok := startsFrom.Of(f.req); !ok {
		f.out.Assume("start", "round", "not said; a squashed tyre needs more")
	}
	var tyres []fill.Tyre
	for i, x := range all {
		m, ok := ofEnd(said, i)
		if !ok {
			m = said.Any()
		}
		tyres = append(tyres, fill.Tyre{Tyre: x.mounted, Target: m.Gauge(), Most: x.most.Pressure})
	}
	kit, err := fill.KitFor(tyres, at, start)
	if err != nil {
		return misfit("pressure", fillExample, err)
	}
	f.out.Add("grams", float64(kit.Choice.Needed), reply.Kilograms)
	target := tyres[kit.Biggest].Target
	needed := quantity.Fixed(quantity.G.Number(float64(kit.Choice.Needed)), 0)
	if kit.Choice.Count == 0 {
		f.out.Lead = append(f.out.Lead, fmt.Sprintf("%s needs %s g: no usual cartridge reaches it and stays below the mark. Take a pump.", f.both(target), needed))
		return nil
	}
	take := quantity.Fixed(quantity.G.Number(float64(kit.Choice.Size)), 0) + " g"
	if kit.Choice.Count > 1 {
		take = quantity.Count(kit.Choice.Count) + " × " + take
	}
	takes := fmt.Sprintf("For %s in the %s: %s g, so take %s.", f.both(target), all[kit.Biggest].mark, needed, take)
	if take == needed+" g" {
		takes = fmt.Sprintf("For %s in the %s: %s.", f.both(target), all[kit.Biggest].mark, take)
	}
	f.out.Lead = append(f.out.Lead, takes)
	return nil
}

// tooMuch refuses gas that brings a round tyre above what may stand in it.
func (f *fillRun) tooMuch(x filled, at air.Place) reply.Reply {
	r := reply.Reply{Title: f.out.Title, Refused: true, Mistake: true, Example: fillExample, Facts: f.out.Facts, Assumed: f.out.Assumed}
	r.Lead = []string{fmt.Sprintf("No: that is more than a %s may hold, %s.", x.mark, x.most.Pressure.Text(f.unit, quantity.Down))}
	if c, err := fill.CartridgeFor(x.most.Pressure, x.most.Pressure, x.mounted, at, fill.Round); err == nil && c.Below > 0 {
		r.Lead = append(r.Lead, fmt.Sprintf("The largest usual cartridge that stays below is %s g.", quantity.Fixed(quantity.G.Number(float64(c.Below)), 0)))
		r.Add("grams", float64(c.Below), reply.Kilograms)
	}
	r.Add("max", float64(x.most.Pressure), reply.Pascals)
	return r
}

func (f *fillRun) gasNotes(cold bool) {
	f.out.Note("Real gas, all of it in the tyre and as warm as the air; a few per cent either way by the tyre's volume", fill.CartridgeBasis)
	f.out.Note("90 psi of it in a tube were 45 after three days: refill with air", fill.LeakBasis)
	if cold {
		f.out.Note("Head and cartridge ice up, to −78 °C: gloves, slowly, in short bursts. The gauge reads low at first and rises as the gas warms", practice(""))
	} else {
		f.out.Note("Head and cartridge freeze to the skin: gloves, or leave the sleeve on", practice(""))
	}
}

// warmer offers the same in the frost.
func (f *fillRun) warmer(cold bool) (reply.Action, bool) {
	if cold {
		return reply.Action{}, false
	}
	return reply.Action{Label: "in frost, -5 °C", Line: spec.Set(f.req, ridetemp, measure{Number: -5, Unit: quantity.DegC}).Line()}, true
}

// strokes counts those of a pump.
func (f *fillRun) strokes() (reply.Reply, error) {
	f.out.Title = "Strokes of a pump"
	tyres, q, ok, err := f.mounted()
	if !ok || err != nil {
		return q, err
	}
	said, ok := pressure.Of(f.req)
	if !ok {
		u := f.unit
		likely := []measures{spec.OneFor(measure{Number: 20, Unit: u}), spec.OneFor(measure{Number: 25, Unit: u})}
		if u == quantity.BarUnit {
			likely = []measures{spec.OneFor(measure{Number: 1.4, Unit: u}), spec.OneFor(measure{Number: 1.7, Unit: u})}
		}
		return ask(f.req, pressure, "To which pressure?", likely...), nil
	}
	if r, no := (&airRun{req: f.req}).implausible(said); no {
		return r, nil
	}
	at, _ := f.place()
	pumps := []measure{{Number: 50, Unit: quantity.ML}, {Number: 100, Unit: quantity.ML}, {Number: 400, Unit: quantity.ML}}
	if g, ok := f.req.Get(pump.Name); ok {
		if m := g.Value.(measure); g.Origin == spec.Stated {
			pumps = []measure{m}
		} else if m != pumps[0] {
			pumps = append([]measure{m}, slices.DeleteFunc(pumps, func(p measure) bool { return p == m })...)
		}
	} else {
		f.out.Assume("pump", "50 ml", "no size given, a usual mini pump; others in the table")
	}
	f.out.Facts = reply.Facts{Pressure: true, Hookless: anyHookless(f.req)}
	for i, x := range tyres {
		m, ok := ofEnd(said, i)
		if !ok {
			m = said.Any()
		}
		if m.Gauge() > x.most.Pressure {
			r := reply.Reply{Title: f.out.Title, Refused: true, Mistake: true, Example: fillExample, Facts: f.out.Facts}
			r.Lead = []string{fmt.Sprintf("No: %s is above what may stand in a %s, %s.", m, x.mark, x.most.Pressure.Text(f.unit, quantity.Down))}
			r.Add("max", float64(x.most.Pressure), reply.Pascals)
			return r, nil
		}
		table := reply.Table{Title: x.mark.String() + " to " + m.String(), Head: []string{"a stroke", "no loss", "15 % lost", "was flat"}}
		for n, p := range pumps {
			plain, err := fill.Strokes(0, m.Gauge(), x.mounted, p.Volume(), fill.Lossless, at.Height)
			if err != nil {
				return reply.Reply{}, misfit("pump", fillExample, err)
			}
			usual, err := fill.Strokes(0, m.Gauge(), x.mounted, p.Volume(), fill.UsualEfficiency, at.Height)
			if err != nil {
				return reply.Reply{}, misfit("pump", fillExample, err)
			}
			table.Rows = append(table.Rows, reply.Row{Cells: []string{p.String(), count(plain.Round), count(usual.Round), count(usual.Flat)}})
			if i == 0 && n == 0 {
				f.out.Add("strokes", plain.Round, reply.One)
				f.out.Lead = []string{
					fmt.Sprintf("About %s strokes of %s bring a %s to %s, if nothing is lost; about %s with the usual losses.", count(plain.Round), p, x.mark, m, count(usual.Round)),
					"From squashed flat it takes about " + count(usual.Flat) + ".",
				}
				f.out.Step("strokes", fmt.Sprintf("p × V / (air × stroke) = %s × %s / (air about × %s) = %s", m, x.mounted.Volume, p, quantity.Trimmed(plain.Round, 1)), fill.EfficiencyBasis)
			}
		}
		f.out.Tables = append(f.out.Tables, table)
	}
	f.out.Note("70 to 100 % of a stroke arrives, less in small pumps and at high pressure", fill.EfficiencyBasis)
	f.out.Actions = append(f.out.Actions, reply.Action{Label: "with a cartridge", Line: f.other("gas")}, reply.Action{Label: "why", Line: "why"})
	return f.out, nil
}

// count writes strokes: no one counts more closely than to five.
func count(strokes float64) string {
	n := fill.Whole(strokes)
	if n > 150 {
		n = int(quantity.Nearest.Round(strokes, 5))
	}
	return quantity.Count(n)
}

// other is the line of another job for the same tyre.
func (f *fillRun) other(id string) string {
	r := spec.Set(f.req, what, id)
	var left []spec.Given
	for _, g := range r.Given {
		if name := g.Option.About().Name; name == what.Name || name == tyreOption.Name || name == rim.Name || name == bead.Name || name == ridetemp.Name || name == rideheight.Name {
			left = append(left, g)
		}
	}
	r.Given = left
	return r.Line()
}

// sealant tells the dose, and how many tyres a bottle serves.
func (f *fillRun) sealant() (reply.Reply, error) {
	f.out.Title = "Sealant"
	size_, hasBottle := bottle.Of(f.req)
	if _, ok := tyreOption.Of(f.req); !ok && hasBottle {
		return f.bottleFor(size_)
	}
	said, ok := tyreOption.Of(f.req)
	if !ok {
		return ask(f.req, tyreOption, "For which tyre? The size stands on its sidewall, as 29x2.4.", usualTyres()...), nil
	}
	with := insert.Or(f.req, "none") != "none"
	table := reply.Table{Head: []string{"", "new", "top up"}}
	for i := range endNames {
		mark, ok := ofEnd(said, i)
		if !ok || i == 1 && (said.Which == spec.Both || said.First == said.Second) {
			continue
		}
		x, why, ok := f.whole(mark)
		if !ok {
			return askTyre(f.req, mark), nil
		}
		if why != "" {
			f.out.Assume("tyre", x.mark.String(), why)
		}
		d, err := fill.DoseFor(x.label, with)
		if err != nil {
			return reply.Reply{}, misfit("tyre", fillExample, err)
		}
		table.Rows = append(table.Rows, reply.Row{Cells: []string{x.mark.String(), f.ml(d.New), f.ml(d.TopUp)}})
		f.out.Values = append(f.out.Values, reply.Value{Name: endNames[i] + ".dose", Value: float64(d.New.Low+d.New.High) / 2, Unit: reply.CubicMetres, Low: float64(d.New.Low), High: float64(d.New.High)})
		if len(f.out.Lead) == 0 {
			text := f.ml(d.New) + " into a new " + x.mark.String()
			if d.Published.High > 0 {
				text += "; " + f.ml(d.Published) + " is what is published"
			}
			f.out.Lead = append(f.out.Lead, text+".")
			dose := d.New
			if d.Published.High > 0 {
				dose = d.Published
			}
			if n, ok := howMany.Of(f.req); ok {
				f.forSeveral(int(n.Number), dose, size_, hasBottle)
			} else if hasBottle && size_.Volume() < 2*d.New.Low {
				f.forOne(size_, d, x.mark.String())
			} else if hasBottle {
				least, most, err := fill.Serves(size_.Volume(), dose)
				if err != nil {
					return reply.Reply{}, misfit("bottle", fillExample, err)
				}
				f.out.Values = append(f.out.Values, reply.Value{Name: "tyres", Value: float64(least+most) / 2, Unit: reply.One, Low: float64(least), High: float64(most)})
				f.out.Lead = append(f.out.Lead, fmt.Sprintf("%s serves %s such tyres.", size_, span(least, most)))
			}
			f.out.Note("Doses by width, for a casing that holds air", d.Basis)
		}
		f.out.Step("Dose of "+x.mark.String(), fmt.Sprintf("%s wide: %s into a new one, %s to top up", x.label.Short(), f.ml(d.New), f.ml(d.TopUp)), d.Basis)
		if d.Published.High > 0 {
			f.out.Step("Published for it", f.ml(d.Published), d.Basis)
		}
	}
	if !hasBottle {
		f.out.Lead = append(f.out.Lead, "For two wheels twice that. Look every 2 to 6 months, sooner in heat; top up by half.")
	}
	f.out.Tables = append(f.out.Tables, table)
	f.sealantNotes(with)
	f.out.Actions = append(f.out.Actions, reply.Action{Label: "1 l is how many tyres", Line: spec.Set(f.req, bottle, measure{Number: 1, Unit: quantity.L}).Line()})
	if !with {
		f.out.Actions = append(f.out.Actions, reply.Action{Label: "with an insert", Line: spec.Set(f.req, insert, "both").Line()})
	}
	return f.out, nil
}

// forSeveral tells how much sealant several tyres take, and whether a bottle is
// enough for them.
func (f *fillRun) forSeveral(n int, dose fill.Volumes, bottle measure, hasBottle bool) {
	all := fill.Volumes{Low: dose.Low * quantity.Volume(n), High: dose.High * quantity.Volume(n)}
	f.out.Step("For all", fmt.Sprintf("%s × %s = %s", quantity.Count(n), f.ml(dose), f.ml(all)), practice(""))
	f.out.Values = append(f.out.Values, reply.Value{Name: "dose", Value: float64(all.Low+all.High) / 2, Unit: reply.CubicMetres, Low: float64(all.Low), High: float64(all.High)})
	text := fmt.Sprintf("For %s: %s; topping up takes half.", plural(n, "tyre"), f.ml(all))
	if hasBottle {
		switch has := bottle.Volume(); {
		case has >= all.High:
			text = fmt.Sprintf("%s is enough for %s: they take %s.", bottle, plural(n, "tyre"), f.ml(all))
		case has >= all.Low:
			text = fmt.Sprintf("%s just does for %s at the least dose: they take %s.", bottle, plural(n, "tyre"), f.ml(all))
		default:
			text = fmt.Sprintf("%s is not enough for %s new: they take %s. To top up, half.", bottle, plural(n, "tyre"), f.ml(all))
		}
	}
	f.out.Lead = append(f.out.Lead, text)
}

// forOne judges an amount that is too little for two tyres: it is what one is to get.
func (f *fillRun) forOne(amount measure, d fill.Dose, mark string) {
	has, most := amount.Volume(), d.New.High
	var verdict string
	switch {
	case has > most:
		verdict = fmt.Sprintf("%s is more than a %s asks: it does no harm but adds weight.", amount, mark)
	case has >= d.New.Low:
		verdict = fmt.Sprintf("%s is right for a %s: enough, and not too much.", amount, mark)
	case has >= d.TopUp.Low:
		verdict = fmt.Sprintf("%s is little for a new %s, %s short; to top up it does.", amount, mark, f.millilitres(d.New.Low-has))
	default:
		verdict = fmt.Sprintf("%s is too little for a %s, even to top up.", amount, mark)
	}
	f.out.Lead = append([]string{verdict}, f.out.Lead...)
}

func (f *fillRun) millilitres(v quantity.Volume) string {
	return quantity.Fixed(quantity.ML.Number(float64(v)), 0) + " ml"
}

func span(least, most int) string {
	if least == most {
		return quantity.Count(least)
	}
	return quantity.Count(least) + " to " + quantity.Count(most)
}

func (f *fillRun) ml(v fill.Volumes) string {
	return strings.TrimSuffix(f.millilitres(v.Low), " ml") + "–" + f.millilitres(v.High)
}

// bottleFor tells how many tyres of usual sizes a bottle serves.
func (f *fillRun) bottleFor(b measure) (reply.Reply, error) {
	table := reply.Table{Head: []string{"tyre", "dose", "how many", "inside"}}
	for _, name := range []string{"29x2.4", "27.5x2.6", "29x2.2", "700x40", "26x4.6"} {
		mark, err := size.Parse(name)
		if err != nil {
			return reply.Reply{}, err
		}
		d, err := fill.DoseFor(mark.Width, false)
		if err != nil {
			return reply.Reply{}, err
		}
		dose := d.New
		if d.Published.High > 0 {
			dose = d.Published
		}
		least, most, err := fill.Serves(b.Volume(), dose)
		if err != nil {
			return reply.Reply{}, misfit("bottle", fillExample, err)
		}
		m, err := tyre.Mount(mark.Width, mark.Seat, tyre.DefaultRim(mark.Width))
		if err != nil {
			return reply.Reply{}, err
		}
		inside := quantity.Fixed(100*float64(m.InnerSurface()), 0) + " dm²"
		table.Rows = append(table.Rows, reply.Row{Cells: []string{name, f.ml(dose), span(least, most), inside}})
		if len(f.out.Lead) == 0 && b.Volume() < 2*d.New.Low {
			f.out.Lead = []string{f.ml(dose) + " into a new one; topping up takes half."}
			f.forOne(b, d, name)
			f.out.Note("Doses by width, for a casing that holds air", d.Basis)
		} else if len(f.out.Lead) == 0 {
			f.out.Lead = []string{
				fmt.Sprintf("%s serves %s mountain tyres as 29x2.4, at %s each.", b, span(least, most), f.ml(dose)),
				"Topping up takes half, so twice as many.",
			}
			f.out.Values = append(f.out.Values, reply.Value{Name: "tyres", Value: float64(least+most) / 2, Unit: reply.One, Low: float64(least), High: float64(most)})
			f.out.Note("Doses by width, for a casing that holds air", d.Basis)
		}
	}
	f.out.Note("Sealant wets the casing's inner side: between sizes the dose goes with that", tyre.SectionBasis)
	f.out.Tables = append(f.out.Tables, table)
	f.sealantNotes(false)
	return f.out, nil
}

func (f *fillRun) sealantNotes(with bool) {
	f.out.Note("More in a new, porous casing; 20 to 50 % more with an insert. 4 fl oz are 118 ml", practice(""))
	if with {
		f.out.Note("The figures above are with an insert", practice(""))
	}
	f.out.Note("Look every 2 to 6 months, sooner in heat and dry air: shake the wheel, or a dipstick through the valve", basis.Basis{Kind: basis.Article, Source: "trade articles on sealant"})
}

// tape tells its width and length.
func (f *fillRun) tape() (reply.Reply, error) {
	f.out.Title = "Rim tape"
	own, held := tape.Of(f.req)
	said, ok := rim.Of(f.req)
	switch {
	case !ok && held:
		return f.rimsFor(own.Length())
	case !ok:
		width := func(n float64) rims {
			return spec.OneFor(size.RimMark{Inner: quantity.Length(n) * quantity.Millimetre})
		}
		return ask(f.req, rim, "How wide is the rim inside?", width(25), width(30), width(35)), nil
	}
	m := said.Any()
	seat := m.Seat
	if mark, ok := tyreOption.Of(f.req); ok && seat == 0 {
		seat = mark.Any().Seat
	}
	const turns = 2
	t, err := fill.TapeFor(m.Inner, seat, turns)
	if err != nil {
		return reply.Reply{}, misfit("rim", fillExample, err)
	}
	low, high := quantity.Trimmed(t.WidthLow.MM(), 1), quantity.Trimmed(t.WidthHigh.MM(), 1)
	f.out.Lead = []string{fmt.Sprintf("%s–%s mm tape for %s inside: the inner width and 2 to 4 mm.", low, high, m.Inner.Short()),
		"One to two turns, begun away from the valve hole; press it into the bed."}
	if held {
		f.judgeTape(own.Length(), t)
	}
	f.out.Step("Width", fmt.Sprintf("%s + 2 to 4 mm = %s to %s mm", m.Inner.Short(), low, high), t.Basis)
	f.out.Values = append(f.out.Values, reply.Value{Name: "tape", Value: float64(t.WidthLow+t.WidthHigh) / 2, Unit: reply.Metres, Low: float64(t.WidthLow), High: float64(t.WidthHigh)})
	if t.Length > 0 {
		each := fmt.Sprintf("Two turns take %s m a wheel", quantity.Fixed(float64(t.Length), 1))
		if n, ok := howMany.Of(f.req); ok && !held {
			f.out.Lead[1] = fmt.Sprintf("%s, %s m for %s; begin away from the valve hole.", each, quantity.Fixed(n.Number*float64(t.Length), 1), quantity.Count(int(n.Number)))
		} else {
			f.out.Note(each, t.Basis)
		}
	}
	f.out.Note("Too narrow it leaks at the spoke holes, too wide it folds at the bead", t.Basis)
	f.out.Actions = append(f.out.Actions, reply.Action{Label: "valve for a 30 mm deep rim", Line: `fill what:valve depth:"30 mm"`})
	return f.out, nil
}

// judgeTape tells whether a width at hand will do.
func (f *fillRun) judgeTape(own quantity.Length, t fill.Tape) {
	says := "Yes: %s mm of tape covers it."
	switch {
	case own < t.WidthLow:
		says = "No: %s mm of tape is too narrow, it leaks at the spoke holes."
	case own > t.WidthHigh:
		says = "No: %s mm of tape is too wide, it climbs the walls and folds at the bead. Trim it, or get the right one."
	}
	f.out.Lead = []string{fmt.Sprintf(says, quantity.Exact(own.MM())), f.out.Lead[0]}
}

// rimsFor tells which rims a tape is for.
func (f *fillRun) rimsFor(own quantity.Length) (reply.Reply, error) {
	narrow, wide, err := fill.RimsFor(own)
	if err != nil {
		return reply.Reply{}, misfit("tape", "tape 32 mm", err)
	}
	from, to, of := quantity.Trimmed(narrow.MM(), 1), quantity.Trimmed(wide.MM(), 1), quantity.Exact(own.MM())
	f.out.Lead = []string{
		fmt.Sprintf("Tape of %s mm is for rims of %s to %s mm inside.", of, from, to),
		"A rim's inner width stands on it, as 622x30.",
	}
	if t, err := fill.TapeFor(own, 0, 1); err == nil { // "25mm rim tape width?" may be either
		f.out.Lead[1] = fmt.Sprintf("Is it the rim that has %s mm inside? Then tape of %s to %s mm.", of, quantity.Trimmed(t.WidthLow.MM(), 1), quantity.Trimmed(t.WidthHigh.MM(), 1))
	}
	f.out.Step("Rims", fmt.Sprintf("%s mm − 2 to 4 mm = %s to %s mm", of, from, to), fill.TapeBasis)
	f.out.Note("Too narrow it leaks at the spoke holes, too wide it folds at the bead", fill.TapeBasis)
	return f.out, nil
}

// judgeStem tells whether a valve at hand is long enough.
func (f *fillRun) judgeStem(own, d measure, least quantity.Length) {
	left := own.Length() - d.Length()
	of, out := quantity.Exact(own.Length().MM()), quantity.Trimmed(left.MM(), 1)
	says := fmt.Sprintf("Yes: a %s mm valve stands %s mm out of a rim %s deep.", of, out, d)
	switch {
	case left <= 0:
		says = fmt.Sprintf("No: a %s mm valve does not come through a rim %s deep.", of, d)
	case own.Length() < least:
		says = fmt.Sprintf("Hardly: a %s mm valve leaves %s mm, and many pump heads want 15.", of, out)
	}
	f.out.Lead = []string{says, f.out.Lead[0]}
}

// valve tells how long it must be.
func (f *fillRun) valve() (reply.Reply, error) {
	f.out.Title = "Valve"
	d, ok := depth.Of(f.req)
	own, held := stem.Of(f.req)
	if r, rimmed := rim.Of(f.req); !ok && held && rimmed && r.Any().Inner > 0 {
		d, ok = measure{Number: r.Any().Inner.MM(), Unit: quantity.MM}, true
		f.out.Assume("rim depth", d.String(), "what stands beside the rim, taken for its depth since a valve is asked about")
	}
	if !ok {
		return ask(f.req, depth, "How deep is the rim, from its bed to the spoke side?", measure{Number: 20, Unit: quantity.MM}, measure{Number: 30, Unit: quantity.MM}, measure{Number: 45, Unit: quantity.MM}), nil
	}
	least, err := fill.ValveFor(d.Length())
	if err != nil {
		return reply.Reply{}, misfit("depth", fillExample, err)
	}
	f.out.Lead = []string{
		fmt.Sprintf("A valve of at least %s mm for a rim %s deep.", quantity.Trimmed(quantity.Up.Round(least.MM(), 1), 0), strings.TrimSuffix(d.String(), ".0")),
		"That leaves 15 mm for the pump's head; longer does no harm.",
	}
	if held {
		f.judgeStem(own, d, least)
	}
	f.out.Add("valve", float64(least), reply.Metres)
	f.out.Step("Length", fmt.Sprintf("%s + 15 mm = %s mm", d.Length().Short(), quantity.Exact(least.MM())), fill.ValveBasis)
	f.out.Note("Rim depth and 15 mm, so that a pump's head holds", fill.ValveBasis)
	f.out.Actions = append(f.out.Actions, reply.Action{Label: "presta in a car-valve hole?", Line: "help what:valve-hole"})
	return f.out, nil
}
