package commands

import (
	"context"
	"errors"
	"fmt"
	"math"
	"slices"
	"strings"

	"spokeword/calc/basis"
	"spokeword/calc/build"
	"spokeword/calc/quantity"
	"spokeword/calc/spoke"
	"spokeword/calc/wheel"
	"spokeword/commands/read"
	"spokeword/commands/reply"
	"spokeword/commands/spec"
)

func init() { add(wheelCommand) }

// wheelCommand sets wheels side by side: how stiff, what they bear before a
// spoke goes slack, what they weigh; in ratios.
func wheelCommand(Deps) *spec.Command {
	return &spec.Command{
		Name:    "wheel",
		Summary: "Set wheels side by side: stiffness, the load at which a spoke goes slack, mass, as ratios",
		Because: "Rim and spokes as a ring on springs, the same for each, so that only ratios are told",
		Words: w("wheels side by side", "compare wheels", "compare builds", "compare", "rim vs", "rims vs", "rim versus", "spokes vs", "stiffer wheel", "wheel stiffer", "wheels stiffer", "stiffer wheels", "stiffness", "how stiff", "which wheel is stiffer", "which is stiffer", "flanges stiffer", "stiffer flanges", "lateral stiffness", "same wall",
			de("steifigkeit", "laufräder vergleichen"), fr("rigidité", "comparer les roues"), es("rigidez", "comparar ruedas"), it("rigidità", "confronta ruote")),
		Keys: []string{
			"flex~|stiff~|strong~|sturdy|noodly|steif~|rigid~|rígid~|rigido|rigida wheel|wheels|rim|rims|spokes|hoop|holes|hole|spoke|laufrad|felge|speichen|rayons|jante|roue|rueda|radios|llanta|ruota|raggi|cerchio",
			"tandem|heavy|rear|front|back how|or|enough|many holes|hole|spokes h|holes|hole",
		},
		Options:  []spec.Option{holes, cross, inners, wires, sizes, hubs, section, material, rimmass, setmass, engaging, stiffness, erd, circle, offset, end, brake, shift, mark, rider},
		Wants:    []spec.Want{{Any: []spec.Option{holes, cross, inners, wires, sizes, hubs, offset, section, material, rimmass, setmass, stiffness}, Weight: 0.7}},
		Apart:    [][2][]spec.Option{{{hubs}, {offset}}, {{sizes}, {erd}}},
		Weight:   0.2,
		Everyday: true,
		Asked:    true, // rims, tyres' widths and counts of spokes are more often meant for others
		Unasked:  [][]spec.Option{{wires, wires}, {inners, inners}, {holes, rider}, {setmass, setmass}, {rimmass, holes}, {rimmass, inners}, {rimmass, material}, {stiffness}},
		Suits:    severalOf,
		Examples: []string{"wheel 28 or 32 spokes 100kg", "wheel 25 mm rim vs 30 mm rim", "wheel 2.0/1.8/2.0 or 2.0/1.5/2.0 spokes", "wheel 27.5 wheels or 29 wheels", "wheel 2x or 3x 100kg"},
		Run: func(_ context.Context, req spec.Request) (reply.Reply, error) {
			r := &wheelRun{req: req}
			return r.run()
		},
	}
}

// severalOf reports whether a request names two of something.
func severalOf(r spec.Request) bool {
	n, _ := holes.Of(r)
	x, _ := cross.Of(r)
	i, _ := inners.Of(r)
	b, _ := wires.Of(r)
	z, _ := sizes.Of(r)
	h, _ := hubs.Of(r)
	m, _ := material.Of(r)
	g, _ := rimmass.Of(r)
	s, _ := stiffness.Of(r)
	d, _ := section.Of(r)
	o, _ := offset.Of(r)
	k, _ := setmass.Of(r)
	return max(len(o), len(k), len(d), len(n), len(x), len(i), len(b), len(z), len(h), len(m), len(g), len(s)) > 1
}

// wheelExample is a line that works, shown with mistakes.
const wheelExample = "wheel 28 or 32 spokes"

// mostWheels is how many wheels one answer holds.
const mostWheels = 4

// Flanges of the usual rear hubs by their width, left and right of the middle:
// common practice, no source. Each step of width moves both flanges out by half
// of it, as far as the cassette lets the right one go.
var usualHubs = map[string][2]quantity.Length{
	"135": {33 * quantity.Millimetre, 20 * quantity.Millimetre},
	"142": {36 * quantity.Millimetre, 21 * quantity.Millimetre},
	"148": {39 * quantity.Millimetre, 24 * quantity.Millimetre},
	"157": {43 * quantity.Millimetre, 28 * quantity.Millimetre},
}

// seats of wheel sizes, ISO 5775-1.
var sizeSeats = map[string]quantity.Length{"26": 559 * quantity.Millimetre, "27.5": 584 * quantity.Millimetre, "29": 622 * quantity.Millimetre}

// wheelRun is one run of the command.
type wheelRun struct {
	req spec.Request
	out reply.Reply
}

// compared is one of the wheels.
type compared struct {
	name    string
	setup   wheel.Setup
	figures wheel.Figures
	rim     quantity.Mass // 0: neither told nor estimated
	own     bool          // the rim's section is the asker's, not an estimate
	bought  bought
	ratio   float64
}

func (r *wheelRun) run() (reply.Reply, error) {
	r.out.Title = "Wheels side by side"
	var base build.Wheel
	usualHub(r.req, &r.out, &base)
	r.out.Assumed = slices.DeleteFunc(r.out.Assumed, func(i reply.Item) bool { // told by other words
		_, sized := sizes.Of(r.req)
		_, wide := hubs.Of(r.req)
		return sized && i.Option == erd.Name || wide && i.Option == offset.Name
	})
	if x, ok := shift.Of(r.req); ok {
		l, sided := towardsLeft(x)
		if !sided {
			left, right := x, x
			left.Which, right.Which = spec.FirstOnly, spec.SecondOnly
			return ask(r.req, shift, "Towards which side do the rim's holes lie? Usually away from disc or sprocket.", left, right), nil
		}
		base.Rim.ShiftLeft = l
	}
	if q, asks := r.whichBending(); asks {
		return q, nil
	}
	all, err := r.wheels(base)
	if err != nil {
		return reply.Reply{}, err
	}
	if len(all) < 2 {
		q := ask(r.req, holes, "What is to be compared? As: 28 or 32 spokes; 25 mm rim or 30 mm rim; 27.5 or 29; 2.0/1.8/2.0 or 2.0/1.5/2.0 spokes.", counts{spec.OneFor(28), spec.OneFor(32)})
		return q, nil
	}
	for i := range all {
		if err := r.solve(&all[i]); err != nil {
			return reply.Reply{}, err
		}
	}
	r.out.Facts.Spokes = true
	r.answer(all)
	return r.out, nil
}

// whichBending asks of an E·I of which was not said which it is.
func (r *wheelRun) whichBending() (q reply.Reply, asks bool) {
	all, _ := stiffness.Of(r.req)
	i := slices.IndexFunc(all, func(s read.Rigid) bool { return s.Bending > 0 })
	if i < 0 {
		return q, false
	}
	radial, lateral := slices.Clone(all), slices.Clone(all)
	for k, s := range all {
		if s.Bending > 0 {
			radial[k].Radial, radial[k].Bending = s.Bending, 0
			lateral[k].Lateral, lateral[k].Bending = s.Bending, 0
		}
	}
	return ask(r.req, stiffness, fmt.Sprintf("E·I %v: against bending in the wheel's plane (radial), or sideways (lateral)? Both are written EI radial/lateral, as EI 110/219.", all[i].Bending), radial, lateral), true
}

// whollyRigid reports whether a section was told whole.
func whollyRigid(s read.Rigid) bool { return s.Radial > 0 && s.Lateral > 0 && s.Twist > 0 }

// variant is one value of one thing that is compared.
type variant struct {
	name string
	set  func(*wheelPlan)
	row  bool // the table has a row for it: it names a wheel only if nothing else does
}

// paired makes one group of two that tell of the same rims, one after the other:
// "25 mm rim 430 g or 30 mm rim 480 g".
func paired(a, b []variant) []variant {
	both := make([]variant, len(a))
	for i := range a {
		both[i] = variant{name: strings.TrimSpace(a[i].name + " " + b[i].name), row: a[i].row && b[i].row, set: func(p *wheelPlan) {
			a[i].set(p)
			b[i].set(p)
		}}
		switch {
		case a[i].row && !b[i].row:
			both[i].name = b[i].name
		case b[i].row && !a[i].row:
			both[i].name = a[i].name
		}
	}
	return both
}

// wheelPlan is a wheel as it is to be reckoned.
type wheelPlan struct {
	wheel   build.Wheel
	count   int
	cross   [2]int
	crossed bool
	wire    read.Butts
	profile wheel.Profile
	rim     quantity.Mass // as told
	rigid   read.Rigid    // as told
	bought  bought
}

// wheels lists the wheels: every value of what is compared with what is common.
func (r *wheelRun) wheels(base build.Wheel) ([]compared, error) {
	start := wheelPlan{wheel: base, count: usualSpokes, wire: usualWire, profile: wheel.Profile{Inner: usualInner}}
	_, deep := section.Of(r.req)
	if _, own := stiffness.Of(r.req); !own && !deep {
		r.out.Assume("section", "mid", "not given: a generic rim of usual depth and wall")
	}
	groups, err := r.choices()
	if err != nil {
		return nil, err
	}
	if each := ofWheels(groups); len(each) < len(groups) {
		groups = each
		r.out.Assume("wheels", quantity.Count(len(each[len(each)-1])), "the first of each thing taken as one wheel, the second as the next; all combinations would be too many")
	}
	plans, names := []wheelPlan{start}, []string{""}
	for _, g := range groups {
		var next []wheelPlan
		var called []string
		for i, p := range plans {
			for _, c := range g {
				q := p
				c.set(&q)
				next = append(next, q)
				name := names[i]
				if len(g) > 1 {
					name = strings.TrimSpace(name + " " + c.name)
				}
				called = append(called, name)
			}
		}
		plans, names = next, called
		if len(plans) > mostWheels {
			return nil, spec.Misuse("holes", wheelExample, "that is more than %s wheels: want two to four, that differ in one thing", quantity.Count(mostWheels))
		}
	}
	var all []compared
	for i, p := range plans {
		c, err := r.made(p)
		if err != nil {
			return nil, err
		}
		c.name = names[i]
		all = append(all, c)
	}
	return all, nil
}

// ofWheels puts groups of as many values together where all combinations would
// be too many: "a 32h 3x 19 mm, b 28h 2x 25 mm" are two wheels, not eight.
func ofWheels(groups [][]variant) [][]variant {
	combinations := 1
	for _, g := range groups {
		combinations *= len(g)
	}
	if combinations <= mostWheels {
		return groups
	}
	var all [][]variant
	for _, g := range groups {
		i := slices.IndexFunc(all, func(have []variant) bool { return len(have) == len(g) && len(g) > 1 })
		if i < 0 {
			all = append(all, g)
		} else {
			all[i] = paired(all[i], g)
		}
	}
	return all
}

// choices lists what was told, thing by thing.
func (r *wheelRun) choices() (groups [][]variant, err error) {
	add := func(g []variant) { groups = append(groups, g) }
	if n, ok := holes.Of(r.req); ok {
		var g []variant
		for _, e := range n {
			_, count := hubAndRim(e)
			g = append(g, variant{name: quantity.Count(count) + " spokes", set: func(p *wheelPlan) { p.count = count }})
		}
		add(g)
	} else {
		r.out.Assume("holes", quantity.Count(usualSpokes), "not given, as many wheels have")
	}
	if x, ok := cross.Of(r.req); ok {
		var g []variant
		for _, e := range x {
			each := [2]int{e.First, e.Second}
			if e.Which == spec.FirstOnly || e.Which == spec.SecondOnly {
				return nil, spec.Misuse("cross", wheelExample, "%s is one side: want both, as 2x or 3x", cross.As.Text(counts{e}))
			}
			name := quantity.Count(each[0]) + "×"
			if each[0] != each[1] {
				name += "/" + quantity.Count(each[1]) + "×"
			}
			g = append(g, variant{name: name, set: func(p *wheelPlan) { p.cross, p.crossed = each, true }})
		}
		add(g)
	}
	told := func(o spec.Option) bool { _, ok := r.req.Get(o.About().Name); return ok }
	rims, described := r.rims()
	for _, g := range rims {
		i := slices.IndexFunc(groups, func(have []variant) bool { return len(have) == len(g) && len(g) > 1 })
		if described && i >= 0 {
			groups[i] = paired(groups[i], g)
		} else {
			groups = append(groups, g)
		}
	}
	if own, _ := stiffness.Of(r.req); !slices.ContainsFunc(own, whollyRigid) && !told(inners) {
		r.out.Assume("inners", usualInner.Short(), "inner width not given")
	}
	if v, ok := wires.Of(r.req); ok {
		var g []variant
		for _, b := range v {
			g = append(g, variant{name: wireName(b), set: func(p *wheelPlan) { p.wire = b }})
		}
		add(g)
	} else {
		r.out.Assume("wires", gauge.As.Text(usualWire), "not given, usual spokes")
	}
	if v, ok := sizes.Of(r.req); ok {
		var g []variant
		for _, n := range v {
			g = append(g, variant{name: n + " in", set: func(p *wheelPlan) { p.wheel.Rim.ERD = sizeSeats[n] - underSeat }})
		}
		r.out.Assume("erd", "by the size", "22 mm less than the bead seat")
		add(g)
	}
	if v, ok := hubs.Of(r.req); ok {
		var g []variant
		for _, n := range v {
			f := usualHubs[n]
			r.out.Assume("offset "+n, flangesText(f), "usual flanges of a rear hub of that width; yours may differ")
			g = append(g, variant{name: n + " hub", set: func(p *wheelPlan) {
				p.wheel.Left.Flange.Offset, p.wheel.Right.Flange.Offset = f[0], f[1]
			}})
		}
		add(g)
	}
	if v, _ := offset.Of(r.req); len(v) > 1 {
		var g []variant
		for _, o := range v {
			if oneFlange(o) {
				return nil, spec.Misuse("offset", wheelExample, "%s is one flange: want both of each hub, as 36/21 or 38/23", offsetText(o))
			}
			g = append(g, variant{name: "flanges " + flangesName(o), set: func(p *wheelPlan) {
				p.wheel.Left.Flange.Offset, p.wheel.Right.Flange.Offset = o.First.Length(), o.Second.Length()
			}})
		}
		add(g)
	}
	return groups, nil
}

// rims lists what was told of the rims. As many values of several things are of
// the same rims, one after the other. Rims that are described by more than one
// thing are those of wheels that are: "28 alloy 500 g and 32 carbon 420 g".
func (r *wheelRun) rims() (groups [][]variant, described bool) {
	add := func(g []variant) {
		for i, have := range groups {
			if len(have) == len(g) {
				described = described || len(g) > 1
				groups[i] = paired(have, g)
				return
			}
		}
		groups = append(groups, g)
	}
	if v, ok := inners.Of(r.req); ok {
		var g []variant
		for _, m := range v {
			g = append(g, variant{name: m.Length().Short() + " rim", set: func(p *wheelPlan) { p.profile.Inner = m.Length() }})
		}
		add(g)
	}
	if v, ok := section.Of(r.req); ok {
		var g []variant
		for _, n := range v {
			d := map[string]wheel.Depth{"shallow": wheel.Shallow, "mid": wheel.Mid, "deep": wheel.Deep}[n]
			g = append(g, variant{name: n + " rim", set: func(p *wheelPlan) { p.profile.Depth = d }})
		}
		add(g)
	}
	if v, ok := material.Of(r.req); ok {
		var g []variant
		for _, n := range v {
			m := map[string]wheel.Material{"alloy": wheel.Alloy, "carbon": wheel.Carbon}[n]
			g = append(g, variant{name: n, set: func(p *wheelPlan) { p.profile.Material = m }})
		}
		add(g)
	}
	if v, ok := rimmass.Of(r.req); ok {
		var g []variant
		for _, m := range v {
			g = append(g, variant{name: gramsText(m.Mass()), set: func(p *wheelPlan) { p.rim = m.Mass() }})
		}
		add(g)
	}
	for _, g := range r.sets() {
		described = described || len(g) > 1
		add(g)
	}
	if v, ok := stiffness.Of(r.req); ok {
		var g []variant
		for _, s := range v {
			g = append(g, variant{name: rigidName(s), set: func(p *wheelPlan) { p.rigid = s }})
		}
		add(g)
	}
	return groups, described
}

func gramsText(m quantity.Mass) string { return quantity.Fixed(float64(m)*1000, 0) + " g" }

// rigidName names a rim by its stiffness, in N·m².
func rigidName(s read.Rigid) string {
	number := func(v quantity.Rigidity) string { return quantity.Trimmed(float64(v), 0) }
	if s.Lateral != 0 {
		return "EI " + number(s.Radial) + "/" + number(s.Lateral)
	}
	return strings.TrimSuffix(stiffness.As.Text([]read.Rigid{s}), " ")
}

// wireName names a spoke as the trade does: 2.0/1.5, or 1.8 if it is plain.
func wireName(b read.Butts) string {
	one := func(d float64) string { return quantity.Fixed(d, 1) }
	if b.Hub == b.Middle && b.Middle == b.Rim {
		return one(b.Hub) + " plain"
	}
	return one(b.Hub) + "/" + one(b.Middle)
}

// made fills in lacing, spokes and rim.
func (r *wheelRun) made(p wheelPlan) (compared, error) {
	if p.count < fewestHoles {
		return compared{}, spec.Misuse("holes", wheelExample, "%s spokes: want %s to 72; 20, 24, 28, 32 or 36 are usual", quantity.Count(p.count), quantity.Count(fewestHoles))
	}
	p.wheel.Rim.Holes = p.count
	if !p.crossed {
		usual := min(usualCrossing, p.count/9)
		p.cross = [2]int{usual, usual}
	}
	for i, side := range build.Sides {
		h := p.wheel.Half(side)
		h.Cross, h.Gauge = p.cross[i], wireOf(p.wire)
		h.Flange.Holes = p.count / 2
	}
	e, err := p.profile.Estimate()
	if err != nil {
		return compared{}, misfit("inners", wheelExample, err)
	}
	// The middle of the section moves too little with the wall to matter here.
	radius := p.wheel.Rim.ERD/2 + e.Centroid
	if p.rim > 0 {
		if e, err = p.profile.Weighing(p.rim, radius); err != nil {
			return compared{}, misfit("rimmass", wheelExample, err)
		}
	}
	own := p.rigid != read.Rigid{}
	for _, told := range []struct {
		to   *quantity.Rigidity
		said quantity.Rigidity
	}{{&e.Section.Radial, p.rigid.Radial}, {&e.Section.Lateral, p.rigid.Lateral}, {&e.Section.Twist, p.rigid.Twist}} {
		if told.said > 0 {
			*told.to = told.said
		}
	}
	tension := wheel.UnknownMark
	if p.wheel.Rim.TensionMark > 0 {
		tension = p.wheel.Rim.TensionMark
	}
	c := compared{setup: wheel.Setup{Wheel: p.wheel, Section: e.Section, Centroid: e.Centroid, Tension: tension}}
	c.own, c.rim, c.bought = own, p.rim, p.bought
	c.bought.inner = p.profile.Inner
	if c.rim == 0 && !own {
		c.rim = e.Mass(radius)
	}
	return c, nil
}

// solve works out a wheel's figures. A wheel that has none is said to.
func (r *wheelRun) solve(c *compared) error {
	m, err := wheel.New(c.setup)
	var buckles *wheel.BuckleError
	var free *wheel.MechanismError
	var unheld *spoke.BalanceError
	switch {
	case errors.As(err, &buckles), errors.As(err, &free), errors.As(err, &unheld):
		return spec.Misuse("holes", wheelExample, "%s: no figures, for such a wheel doesn't stand: %s", c.name, err.Error())
	case err != nil:
		return misfit("holes", wheelExample, fmt.Errorf("%s: %w", c.name, err))
	}
	c.figures = m.Figures()
	c.ratio, err = spoke.Ratio(m.Spokes())
	return err
}

// compareRow is one row of the comparison.
type compareRow struct {
	name  string // in the table
	value func(compared) float64
	text  func(float64) string // of the first, with its unit
	key   string
	unit  reply.Unit
}

func wheelFigures() []compareRow {
	per := func(v float64) string { return quantity.Fixed(v/1000, 0) + " N/mm" }
	load := func(v float64) string {
		v /= float64(quantity.KilogramForce)
		if v < 100 {
			return quantity.Fixed(v, 0) + " kgf"
		}
		return quantity.Fixed(v, -1) + " kgf"
	}
	grams := func(v float64) string { return quantity.Fixed(v*1000, 0) + " g" }
	return []compareRow{
		{"sideways", func(c compared) float64 { return float64(c.figures.Lateral) }, per, "lateral", reply.NewtonsPerM},
		{"up and down", func(c compared) float64 { return float64(c.figures.Radial) }, per, "radial", reply.NewtonsPerM},
		{"wind-up", func(c compared) float64 { return float64(c.figures.WindUp) }, func(v float64) string { return quantity.AngularStiffness(v).String() }, "windup", reply.AnyUnit},
		{"slack, hit", func(c compared) float64 { return float64(c.figures.Hit.Load) }, load, "slack", reply.Newtons},
		{"spoke loses", func(c compared) float64 { return c.figures.LessTension }, quantity.Percent, "loses", reply.One},
		{"slack, side", func(c compared) float64 { return float64(c.figures.Side.Load) }, load, "sideslack", reply.Newtons},
		{"spokes", func(c compared) float64 { return float64(c.figures.Wire) }, grams, "mass", reply.Kilograms},
		{"rim", func(c compared) float64 { return float64(c.rim) }, grams, "rimmass", reply.Kilograms},
		{"together", compared.mass, grams, "together", reply.Kilograms},
		{"left/right", func(c compared) float64 { return c.ratio }, quantity.Percent, "tension.ratio", reply.One},
	}
}

// mass is that of spokes and rim, 0 if the rim's is not known.
func (c compared) mass() float64 {
	if c.rim == 0 {
		return 0
	}
	return float64(c.figures.Wire + c.rim)
}

// timesText writes a ratio as a change: "+10 %".
func timesText(v float64) string { return quantity.Signed(100*(v-1), 0) + " %" }

func (r *wheelRun) answer(all []compared) {
	first, last := all[0], all[len(all)-1]
	against := func(f func(compared) float64) float64 {
		if f(first) == 0 {
			return 1
		}
		return f(last) / f(first)
	}
	list := wheelFigures()
	lateral, hit := against(list[0].value), against(list[3].value)
	weight := float64(last.figures.Wire+last.rim) - float64(first.figures.Wire+first.rim)
	if first.bought.mass > 0 && last.bought.mass > 0 {
		weight = float64(last.bought.mass - first.bought.mass)
	}
	r.out.Lead = []string{
		fmt.Sprintf("%s against %s: sideways %s, up and down %s, wind-up %s, slack load %s, %s g.", title(last.name), first.name,
			timesText(lateral), timesText(against(list[1].value)), timesText(against(list[2].value)), timesText(hit), quantity.Signed(weight*1000, 0)),
		meaning(lateral, hit),
	}
	if advice, ok := countAdvice(all); ok {
		r.out.Note(strings.TrimSuffix(r.out.Lead[1], "."), practice("what is felt of a wheel"))
		r.out.Lead = []string{advice, r.out.Lead[0]}
	}
	r.byMass(all)
	table := reply.Table{Title: "Model; the others against the first", Head: []string{""}}
	for _, c := range all {
		table.Head = append(table.Head, c.name)
	}
	for _, f := range list {
		if f.unit == reply.Kilograms && f.value(first) == 0 {
			continue // a rim of which only the stiffness is known
		}
		name := f.name
		if _, told := rimmass.Of(r.req); !told && (f.key == "rimmass" || f.key == "together") {
			name += ", est."
		}
		row := reply.Row{Cells: []string{name}}
		for i, c := range all {
			v := f.value(c)
			switch {
			case i == 0 || f.key == "tension.ratio":
				row.Cells = append(row.Cells, f.text(v))
			case f.value(first) == 0:
				row.Cells = append(row.Cells, "–")
			default:
				row.Cells = append(row.Cells, timesText(v/f.value(first)))
			}
			if !math.IsInf(v, 0) {
				r.out.Add(alternatives[i]+f.key, v, f.unit)
			}
		}
		table.Rows = append(table.Rows, row)
	}
	r.hits(all, &table)
	r.bought(all, &table)
	for i, c := range all {
		r.out.Add(alternatives[i]+"critical", c.figures.Critical, reply.One)
	}
	r.out.Tables = append(r.out.Tables, table)
	r.notes(all)
}

// What is felt of a wheel's stiffness. Common practice, no source.
const (
	leastFelt = 0.05
	mostFelt  = 0.15
)

// meaning tells in a plain line what it comes to on the trail.
func meaning(lateral, hit float64) string {
	d := max(math.Abs(lateral-1), math.Abs(hit-1))
	switch {
	case d < leastFelt:
		return "On the trail: nothing you would feel; go by price, weight and how well it is built."
	case d < mostFelt:
		return "On the trail: hardly felt; tyre, pressure and even tension matter more."
	}
	return "On the trail: a heavy or hard rider notices it in corners and landings; for others strength and spares decide."
}

// countAdvice says how many spokes to take, where that is all that differs; the rider
// finds the own place in it. Common practice, no source.
func countAdvice(all []compared) (string, bool) {
	few, many := all[0].setup.Wheel.Rim.Holes, all[0].setup.Wheel.Rim.Holes
	for _, c := range all {
		if c.name != quantity.Count(c.setup.Wheel.Rim.Holes)+" spokes" {
			return "", false // more than the count differs
		}
		few, many = min(few, c.setup.Wheel.Rim.Holes), max(many, c.setup.Wheel.Rim.Holes)
	}
	switch {
	case few == many:
		return "", false
	case few == 24 && many == 28:
		return "28 for most; 24 only for light riders on smooth courses with a stiff rim.", true
	case few >= 24 && few <= 28 && many == 32:
		return fmt.Sprintf("Take 32 above about 90 kg, for hard riding or a motor; below about 75 kg and riding clean %d do; between, 32 is the safe one.", few), true
	case few == 32 && many >= 36:
		return fmt.Sprintf("32 do for most; %d for tandems, cargo, touring with luggage, or well above 110 kg.", many), true
	}
	return "", false
}

// hitTimes is the hit that is stated: so many times the rider's weight on one
// wheel. Common practice, no source.
const hitTimes = 3

// hits tells which share of the slack load a stated hit of the rider uses.
func (r *wheelRun) hits(all []compared, table *reply.Table) {
	m, ok := rider.Of(r.req)
	if !ok {
		return
	}
	force := hitTimes * float64(m.Mass()) * float64(quantity.KilogramForce)
	row := reply.Row{Cells: []string{"hit uses"}, Personal: true}
	for i, c := range all {
		share := force / float64(c.figures.Hit.Load)
		row.Cells = append(row.Cells, quantity.Percent(share))
		r.out.Add(alternatives[i]+"share", share, reply.One)
		r.out.Values[len(r.out.Values)-1].Personal = true
	}
	table.Rows = append(table.Rows, row)
	r.out.Note("A hit of three times the rider's weight on one wheel, as part of the load at which the first spoke goes slack in the model: to compare, no proof of strength", practice("hits"))
	r.out.Notes[len(r.out.Notes)-1].Personal = true
}

func (r *wheelRun) notes(all []compared) {
	r.out.Step("Wheel", fmt.Sprintf("a ring on spokes with %s on the tighter side, solved for each of %s wheels", kgf(all[0].setup.Tension), quantity.Count(len(all))), wheel.Basis)
	for _, c := range all {
		s := c.setup.Section
		r.out.Step(title(c.name), fmt.Sprintf("rim E·I %s up and down, %s sideways, G·J %s; first slack spoke %s", s.Radial, s.Lateral, s.Twist, quantity.Count(c.figures.Hit.Spoke+1)), wheel.ProfileBasis)
	}
	r.out.Note("Ratios are what counts. Absolute figures are the model's: real wheels are softer, radially by half", wheel.Basis)
	rigid, _ := stiffness.Of(r.req)
	switch {
	case len(rigid) == 0:
		r.out.Note("Rims are generic sections, ± 30 %: ratios between them hold better than any figure", wheel.ProfileBasis)
	case !slices.ContainsFunc(rigid, func(s read.Rigid) bool { return !whollyRigid(s) }):
		r.out.Note("E·I and G·J of the rim as you gave them; only its stretch is that of a generic rim, which counts little", assumption("yours were not checked"))
	default:
		r.out.Note("E·I and G·J as you gave them; what you left out is that of a generic rim, ± 30 %", wheel.ProfileBasis)
	}
	if masses, ok := rimmass.Of(r.req); ok && len(rigid) == 0 {
		text := "The generic rim has the wall with which it weighs what you gave"
		if len(masses) > 1 {
			text += ": so the heavier rim is the stiffer one here, wherever yours has its metal"
		}
		r.out.Note(text, wheel.ProfileBasis)
	}
	if all[0].setup.Wheel.Rim.TensionMark == 0 {
		r.out.Note("All with 100 kgf on the tighter side, as no rim's mark is known. More tension makes no stiffer wheel, it raises the slack load", basis.Basis{Kind: basis.Computed, Source: wheel.Basis.Source})
	}
	if len(all[0].name) > 0 && strings.Contains(all[0].name, "spokes") {
		r.out.Note("32 is the safe advice above about 90 kg on alloy rims; the rim's stiffness counts as well; one broken spoke of 24 throws a wheel further out than one of 32", practice("spoke counts"))
	}
	if strings.Contains(all[0].name, "alloy") || strings.Contains(all[0].name, "carbon") {
		r.out.Note("Alloy dents and can be bent back some; carbon cracks, and is not ridden after a hard strike until it was checked. Stiffness alone decides nothing", practice("materials"))
	}
}
