package commands

import (
	"context"
	"errors"
	"fmt"
	"math"
	"strings"

	"spokeword/calc/freehub"
	"spokeword/calc/gearing"
	"spokeword/calc/quantity"
	"spokeword/commands/reply"
	"spokeword/commands/spec"
)

func init() { add(freehubCommand) }

// freehubCommand tells how far the crank turns before a freehub drives.
func freehubCommand(Deps) *spec.Command {
	return &spec.Command{
		Name:    "freehub",
		Summary: "Tell how far the crank turns before the freehub drives, from its points or its pawls and teeth",
		Because: "One turn of the wheel over its points; at the crank that times cog over ring",
		Words: w("engagement", "freewheel", "poe", "points of engagement", "pawl", "pawls", "engage", "engages", "hub engagement",
			de("freilauf", "rastpunkte"), fr("roue libre"), es("rueda libre"), it("ruota libera")),
		Options: []spec.Option{points, pointsApart, pawls, teeth, phases, ring, cog, crank},
		Wants:   []spec.Want{{Any: []spec.Option{points, pointsApart, pawls}, Weight: 1.2}},
		Apart:   [][2][]spec.Option{{{points}, {pointsApart}}, {{points, pointsApart}, {pawls, teeth, phases}}},
		Weight:  0.35, // a gear by itself asks for no hub
		Examples: []string{"36 points 32/52 170 mm cranks", "18 vs 54 vs 102 points in 32/51",
			"6 pawls 33 tooth ratchet", "54 points 30 ring 10-51", "7.5 deg engagement how many points"},
		Run: func(_ context.Context, req spec.Request) (reply.Reply, error) {
			f := &freehubRun{req: req}
			return f.run()
		},
	}
}

// freehubExample is a line that works, shown with mistakes.
const freehubExample = "freehub 36 points 32/52"

// What is taken where no gear was named: the lowest gear of a bike of today, in
// which the wait is longest. Common practice, no source.
const (
	usualRing gearing.Teeth = 32
	usualCog  gearing.Teeth = 51
)

// freehubRun is one run of the command.
type freehubRun struct {
	req   spec.Request
	out   reply.Reply
	gear  gearing.Gear
	crank quantity.Length
	// about are the lowest cogs that the usual one stands for, nil where the cog
	// was named.
	about []gearing.Teeth
}

// cogsOfToday are largest cogs of cassettes, about the usual one.
var cogsOfToday = []gearing.Teeth{50, 52}

func (f *freehubRun) run() (reply.Reply, error) {
	f.out.Title = "Freehub"
	if err := f.settle(); err != nil {
		return reply.Reply{}, err
	}
	p, byPoints := points.Of(f.req)
	a, byAngle := pointsApart.Of(f.req)
	_, byPawls := pawls.Of(f.req)
	_, byTeeth := teeth.Of(f.req)
	switch {
	case byPoints:
		return f.compare(pointsOf(p))
	case byAngle:
		return f.fromAngle(a)
	case byPawls || byTeeth:
		return f.fromPawls()
	}
	return f.anyHub()
}

// settle fills gear and crank, with what is assumed said.
func (f *freehubRun) settle() error {
	f.gear = gearing.Gear{Ring: usualRing, Cog: usualCog}
	if m, ok := ring.Of(f.req); ok {
		f.gear.Ring = teethOf(m)
	} else {
		f.out.Assume("ring", f.gear.Ring.String(), "no ring named")
	}
	if m, ok := cog.Of(f.req); ok {
		f.gear.Cog = teethOf(m)
	} else {
		f.about = cogsOfToday
		f.out.Assume("cog", f.gear.Cog.String(), "no cog named; the lowest gear waits longest")
	}
	f.crank = freehub.UsualCrank
	if m, ok := crank.Of(f.req); ok {
		f.crank = m.Length()
	} else {
		f.out.Assume("crank", millimetresText(f.crank, 0), "no crank length given")
	}
	if err := f.gear.Check(); err != nil {
		return misfit("ring", freehubExample, err)
	}
	return nil
}

func teethOf(m measure) gearing.Teeth { return gearing.Teeth(m.Number) }

// pointsOf are the freehubs to compare, each once, as they were named.
func pointsOf(c counts) []freehub.Points {
	var all []freehub.Points
	for _, e := range c {
		known := false
		for _, p := range all {
			known = known || p == freehub.Points(e.Any())
		}
		if !known {
			all = append(all, freehub.Points(e.Any()))
		}
	}
	return all
}

// alternatives are the letters before the values of what is compared.
var alternatives = []string{"a.", "b.", "c.", "d.", "e.", "f.", "g.", "h."}

// fromAngle answers where the angle between two points is told: one turn of the
// wheel over it is their number.
func (f *freehubRun) fromAngle(m measure) (reply.Reply, error) {
	turn := measure{Number: 360, Unit: quantity.DegreeUnit}
	exact := turn.SI() / m.SI()
	p := freehub.Points(math.Round(exact))
	out, err := f.compare([]freehub.Points{p})
	if err != nil {
		return out, err
	}
	e, err := freehub.Engage(p, f.gear, f.crank)
	if err != nil {
		return f.refuse(err)
	}
	out.Lead[0] = fmt.Sprintf("%s° between them makes %s in a turn of the wheel: at worst %s at the crank in %s.", quantity.Exact(m.Number), p, degrees(e.AtCrank), f.gear)
	if math.Abs(exact-float64(p)) > roundedAngle*exact {
		out.Assume("points", p.String(), fmt.Sprintf("360° over %s is %s: rounded", m, quantity.Fixed(exact, 1)))
	}
	return out, nil
}

// roundedAngle is by how much of itself a printed angle may be rounded.
const roundedAngle = 0.005

// compare answers for one freehub or several.
func (f *freehubRun) compare(all []freehub.Points) (reply.Reply, error) {
	each, err := freehub.Compare(all, f.gear, f.crank)
	if err != nil {
		return f.refuse(err)
	}
	for i, e := range each {
		letter := ""
		if len(each) > 1 {
			letter = alternatives[i]
		}
		if err := f.values(letter, e); err != nil {
			return f.refuse(err)
		}
		f.explain(e)
	}
	first := each[0]
	if len(each) == 1 {
		f.out.Lead = []string{
			fmt.Sprintf("%s: %s at the hub, at worst %s at the crank in %s.", first.Points, degrees(first.Hub), degrees(first.AtCrank), f.gear),
			fmt.Sprintf("That is %s of pedal before it drives, %s in the mean: %s.", millimetresText(first.AtPedal, 0), millimetresText(first.AtPedalMean, 0), howQuick(first.Points)),
		}
	} else {
		var turns, cranks []string
		for _, e := range each {
			turns = append(turns, fmt.Sprintf("%s %s", e.Points, degrees(e.Hub)))
			cranks = append(cranks, fmt.Sprintf("%s (%s mm of pedal)", degrees(e.AtCrank), quantity.Fixed(e.AtPedal.MM(), 0)))
		}
		f.out.Lead = []string{
			fmt.Sprintf("At the hub: %s.", strings.Join(turns, ", ")),
			fmt.Sprintf("At worst at the crank in %s: %s. Felt in slow technical climbs, not on the flat.", f.gear, strings.Join(cranks, ", ")),
		}
	}
	if len(each) > 1 {
		f.table(each)
	}
	if err := f.gears(all); err != nil {
		return f.refuse(err)
	}
	if err := f.others(all); err != nil {
		return f.refuse(err)
	}
	f.notes()
	f.next(all)
	return f.out, nil
}

// howQuick tells how a freehub's points compare. Common practice, no source.
func howQuick(p freehub.Points) string {
	const coarse, usual, quick = 30, 60, 90
	switch {
	case p < coarse:
		return "coarse, felt where you start over and over on steps; 36 to 54 are usual"
	case p <= usual:
		return "as most mountain bikes have"
	case p <= quick:
		return "quick"
	}
	return "very quick, more than most feel"
}

// values adds one freehub's figures. Where the cog was assumed they lie in a
// band, over the lowest cogs of today.
func (f *freehubRun) values(letter string, e freehub.Engagement) error {
	low, high := 1.0, 1.0
	for _, c := range f.about {
		low, high = min(low, float64(c)/float64(f.gear.Cog)), max(high, float64(c)/float64(f.gear.Cog))
	}
	add := func(name string, v float64, unit reply.Unit, banded bool) {
		f.out.Add(letter+name, v, unit)
		if banded && len(f.about) > 0 {
			x := &f.out.Values[len(f.out.Values)-1]
			x.Low, x.High = v*low, v*high
		}
	}
	add("points", float64(e.Points), reply.One, false)
	add("hub.angle", float64(e.Hub), reply.Radians, false)
	add("hub.mean", float64(e.HubMean), reply.Radians, false)
	add("crank.angle", float64(e.AtCrank), reply.Radians, true)
	add("crank.mean", float64(e.AtCrankMean), reply.Radians, true)
	add("pedal", float64(e.AtPedal), reply.Metres, true)
	add("pedal.mean", float64(e.AtPedalMean), reply.Metres, true)
	return nil
}

// table shows worst and mean.
func (f *freehubRun) table(each []freehub.Engagement) {
	t := reply.Table{Title: "In " + f.gear.String() + ", at worst", Head: []string{"points", "hub", "crank", "pedal", "mean"}}
	for _, e := range each {
		t.Rows = append(t.Rows, reply.Row{Cells: []string{quantity.Count(int(e.Points)), degrees(e.Hub), degrees(e.AtCrank), millimetresText(e.AtPedal, 0), millimetresText(e.AtPedalMean, 0)}})
	}
	f.out.Tables = append(f.out.Tables, t)
}

// cogsShown are the cogs of the second table: lowest ones, one in the middle,
// the smallest.
var cogsShown = []gearing.Teeth{52, 50, middleCog, 24, smallestCog}

// A cog in the middle of a cassette of today, and its smallest.
const (
	middleCog   gearing.Teeth = 36
	smallestCog gearing.Teeth = 10
)

// gears shows what becomes of it in other gears of the same ring.
func (f *freehubRun) gears(all []freehub.Points) error {
	t := reply.Table{Title: "Crank, and pedal in mm, by gear", Head: []string{"gear"}}
	if len(all) > 3 {
		t.Title = "Pedal in mm, by gear"
	}
	if len(all) == 1 {
		t.Head = append(t.Head, "crank", "pedal")
	} else {
		for _, p := range all {
			t.Head = append(t.Head, quantity.Count(int(p)))
		}
	}
	cogs := []gearing.Teeth{f.gear.Cog}
	for _, c := range cogsShown {
		if c != f.gear.Cog {
			cogs = append(cogs, c)
		}
	}
	if len(all) > 1 {
		cogs = cogs[1:] // the table above shows it
	}
	for _, c := range cogs {
		g := gearing.Gear{Ring: f.gear.Ring, Cog: c}
		each, err := freehub.Compare(all, g, f.crank)
		if err != nil {
			return err
		}
		cells := []string{g.String()}
		for i, e := range each {
			letter := ""
			if len(all) > 1 {
				letter = alternatives[i]
			}
			switch c {
			case middleCog:
				f.out.Add(letter+"crank.middle", float64(e.AtCrank), reply.Radians)
			case smallestCog:
				f.out.Add(letter+"pedal.least", float64(e.AtPedal), reply.Metres)
			}
			pedal := quantity.Fixed(e.AtPedal.MM(), 0)
			if e.AtPedal < 20*quantity.Millimetre {
				pedal = quantity.Fixed(e.AtPedal.MM(), 1)
			}
			switch len(all) {
			case 1:
				cells = append(cells, degrees(e.AtCrank), pedal)
			case 2, 3:
				cells = append(cells, degrees(e.AtCrank)+" "+pedal)
			default: // a phone holds no more
				cells = append(cells, pedal)
			}
		}
		t.Rows = append(t.Rows, reply.Row{Cells: cells})
	}
	f.out.Tables = append(f.out.Tables, t)
	return nil
}

// counted are numbers of points that are sold. Common practice, no source.
var counted = []freehub.Points{18, 24, 36, 54, 72, 102, 120}

// others shows a single freehub among others.
func (f *freehubRun) others(all []freehub.Points) error {
	if len(all) != 1 {
		return nil
	}
	t := reply.Table{Title: "Others in " + f.gear.String(), Head: []string{"points", "crank", "pedal"}}
	for _, p := range counted {
		if p == all[0] || p < all[0] && len(t.Rows) > 0 {
			continue
		}
		e, err := freehub.Engage(p, f.gear, f.crank)
		if err != nil {
			return err
		}
		t.Rows = append(t.Rows, reply.Row{Cells: []string{quantity.Count(int(p)), degrees(e.AtCrank), millimetresText(e.AtPedal, 0)}})
	}
	if len(t.Rows) > 0 {
		f.out.Tables = append(f.out.Tables, t)
	}
	return nil
}

func (f *freehubRun) notes() {
	f.out.Note("360°/points at the hub, times cog/ring at the crank; the mean is half of the worst", freehub.EngagementBasis)
	f.out.Note("It is felt when you start or ratchet the pedals over rocks in a low gear, 54 points and more less so; on the flat in a high gear it is small whatever the hub", practice("riders' reports differ"))
	f.out.Note("Noise, drag, service and how long it lasts don't follow from the points: no sum tells them", practice("they hang on springs, grease and seals"))
}

// next offers what is likely asked next.
func (f *freehubRun) next(all []freehub.Points) {
	if len(all) == 1 {
		c := counts{spec.OneFor(int(all[0]))}
		for _, p := range []int{54, 102} {
			if p > int(all[0]) {
				c = append(c, spec.OneFor(p))
			}
		}
		if len(c) > 1 {
			f.out.Actions = append(f.out.Actions, reply.Action{Label: "compare " + points.As.Text(c), Line: f.byPoints(c).Line()})
		}
	}
	if f.gear.Cog != smallestCog {
		f.out.Actions = append(f.out.Actions, reply.Action{Label: "in " + gearing.Gear{Ring: f.gear.Ring, Cog: smallestCog}.String(), Line: spec.Set(f.req, cog, measure{Number: float64(smallestCog)}).Line()})
	}
	f.out.Actions = append(f.out.Actions, reply.Action{Label: "why", Line: "why"})
}

// byPoints is the request with points in place of pawls and teeth.
func (f *freehubRun) byPoints(c counts) spec.Request {
	r := spec.Request{Command: f.req.Command, Shown: f.req.Shown}
	for _, g := range f.req.Given {
		if g.Option != spec.Option(pawls) && g.Option != spec.Option(teeth) && g.Option != spec.Option(phases) {
			r.Given = append(r.Given, g)
		}
	}
	return spec.Set(r, points, c)
}

// explain adds the sum of one freehub to what why tells.
func (f *freehubRun) explain(e freehub.Engagement) {
	before := f.out.Explain
	f.out.Explain = func(out *reply.Reply) {
		if before != nil {
			before(out)
		}
		name := e.Points.String()
		out.Step(name+", hub", fmt.Sprintf("360° / %s = %s", quantity.Count(int(e.Points)), exactDegrees(e.Hub)), freehub.EngagementBasis)
		out.Step(name+", crank", fmt.Sprintf("%s × %s / %s = %s", exactDegrees(e.Hub), quantity.Count(int(e.Gear.Cog)), quantity.Count(int(e.Gear.Ring)), exactDegrees(e.AtCrank)), freehub.EngagementBasis)
		out.Step(name+", pedal", fmt.Sprintf("%s × π / 180 × %s = %s", exactDegrees(e.AtCrank), millimetresText(e.Crank, 1), millimetresText(e.AtPedal, 2)), freehub.EngagementBasis)
	}
}

// fromPawls answers where pawls and teeth were given instead of points.
func (f *freehubRun) fromPawls() (reply.Reply, error) {
	n, ok := pawls.Of(f.req)
	if !ok {
		return f.askPawls(), nil
	}
	z, ok := teeth.Of(f.req)
	if !ok {
		return ask(f.req, teeth, "How many teeth has the ratchet ring in the hub? They can be counted once the freehub body is off.", measure{Number: 18}, measure{Number: 24}, measure{Number: 33}, measure{Number: 36}), nil
	}
	of := freehub.Pawls(n.Number)
	if m, ok := phases.Of(f.req); ok || of == 1 {
		groups := freehub.Pawls(1)
		if ok {
			groups = freehub.Pawls(m.Number)
		}
		p, err := freehub.PointsOf(of, teethOf(z), groups)
		if err != nil {
			return f.refuse(err)
		}
		f.out.Step("Points", fmt.Sprintf("%s teeth × %s = %s points", quantity.Count(int(z.Number)), groupsOf(groups), quantity.Count(int(p))), freehub.PhasesBasis)
		out, err := f.compare([]freehub.Points{p})
		if err == nil {
			out.Lead[0] = fmt.Sprintf("%s × %s: ", teethOf(z), groupsOf(groups)) + out.Lead[0]
			out.Note("Points of a ratchet", freehub.PhasesBasis)
		}
		return out, err
	}
	return f.askPhases(of, teethOf(z))
}

// askPawls answers where the teeth are known and the pawls are not.
func (f *freehubRun) askPawls() reply.Reply {
	q := ask(f.req, pawls, "How many pawls has it?", measure{Number: 3}, measure{Number: 4}, measure{Number: 6})
	q.Title, q.Assumed = f.out.Title, f.out.Assumed
	if z, ok := teeth.Of(f.req); ok {
		one := counts{spec.OneFor(int(z.Number))}
		q.Lead = []string{fmt.Sprintf("Two toothed rings of %s, or pawls all in phase, make %s; pawls in groups make that many for each group.", teethOf(z), freehub.Points(z.Number)), q.Ask.Text}
		q.Ask.Choices = append(q.Ask.Choices, reply.Action{Label: freehub.Points(z.Number).String(), Line: f.byPoints(one).Line()})
	}
	return q
}

// groupsOf writes a number of groups.
func groupsOf(n freehub.Pawls) string {
	if n == 1 {
		return "1 group"
	}
	return n.String() + " groups"
}

// askPhases shows what each way of grouping the pawls would give, and asks.
func (f *freehubRun) askPhases(of freehub.Pawls, z gearing.Teeth) (reply.Reply, error) {
	ways, err := freehub.Groupings(of, z)
	if err != nil {
		return f.refuse(err)
	}
	var likely []measure
	t := reply.Table{Title: "In " + f.gear.String() + ", at worst", Head: []string{"groups", "points", "hub", "crank", "pedal"}}
	var says []string
	for i, g := range ways {
		e, err := freehub.Engage(g.Points, f.gear, f.crank)
		if err != nil {
			continue // more points than are made
		}
		likely = append(likely, measure{Number: float64(g.Phases)})
		if i < len(alternatives) {
			if err := f.values(alternatives[i], e); err != nil {
				return f.refuse(err)
			}
		}
		t.Rows = append(t.Rows, reply.Row{Cells: []string{fmt.Sprintf("%s of %s", g.Phases, g.Each), quantity.Count(int(g.Points)), degrees(e.Hub), degrees(e.AtCrank), millimetresText(e.AtPedal, 0)}})
		switch {
		case g.Phases == 1:
			says = append(says, fmt.Sprintf("%s (%s) if all pawls work together", g.Points, degrees(e.Hub)))
		case len(says) == 1:
			says = append(says, fmt.Sprintf("%s (%s) in %s of %s", g.Points, degrees(e.Hub), groupsOf(g.Phases), g.Each))
		}
	}
	if len(likely) == 0 {
		return f.refuse(err)
	}
	q := ask(f.req, phases, "In how many groups do they engage, one after the other? The maker says, or a look: pawls whose tips sit half a tooth apart are two groups.", likely[:min(4, len(likely))]...)
	q.Title, q.Assumed, q.Values = f.out.Title, f.out.Assumed, f.out.Values
	q.Lead = []string{fmt.Sprintf("%s pawls on %s: %s.", of, z, strings.Join(says, ", ")), q.Ask.Text}
	q.Tables = []reply.Table{t}
	q.Note("Points are the ring's teeth times the groups", freehub.PhasesBasis)
	return q, nil
}

// anyHub answers for usual hubs where no points were named.
func (f *freehubRun) anyHub() (reply.Reply, error) {
	q := ask(f.req, points, "How many points has the hub? Turn the wheel back slowly by hand and count the clicks of one turn.", counts{spec.OneFor(36)}, counts{spec.OneFor(54)}, counts{spec.OneFor(102)})
	t := reply.Table{Title: "In " + f.gear.String() + ", at worst", Head: []string{"points", "hub", "crank", "pedal"}}
	for _, p := range counted {
		e, err := freehub.Engage(p, f.gear, f.crank)
		if err != nil {
			return f.refuse(err)
		}
		t.Rows = append(t.Rows, reply.Row{Cells: []string{quantity.Count(int(p)), degrees(e.Hub), degrees(e.AtCrank), millimetresText(e.AtPedal, 0)}})
	}
	q.Title, q.Assumed, q.Tables = f.out.Title, f.out.Assumed, []reply.Table{t}
	f.notes()
	q.Notes = f.out.Notes
	return q, nil
}

// refuse turns a model's refusal into the asker's mistake.
func (f *freehubRun) refuse(err error) (reply.Reply, error) {
	var apart *freehub.GroupsError
	if errors.As(err, &apart) {
		return reply.Reply{}, misfit("phases", "freehub 6 pawls 33 tooth ratchet 2 groups", err)
	}
	return reply.Reply{}, misfit("points", freehubExample, err)
}

// degrees writes an angle to a tenth of a degree.
func degrees(a quantity.Angle) string { return quantity.Fixed(a.In(quantity.Degree), 1) + "°" }

// exactDegrees writes an angle as a sum needs it.
func exactDegrees(a quantity.Angle) string { return quantity.Trimmed(a.In(quantity.Degree), 4) + "°" }

// millimetresText writes a length in millimetres with so many decimals.
func millimetresText(l quantity.Length, decimals int) string {
	return quantity.Trimmed(l.MM(), decimals) + " mm"
}
