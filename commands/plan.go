package commands

import (
	"context"
	"fmt"
	"slices"
	"strings"
	"sync"

	"spokeword/calc/basis"
	"spokeword/calc/build"
	"spokeword/calc/freehub"
	"spokeword/calc/lace"
	"spokeword/calc/quantity"
	"spokeword/calc/size"
	"spokeword/calc/spoke"
	"spokeword/calc/tyre"
	"spokeword/commands/read"
	"spokeword/commands/reply"
	"spokeword/commands/spec"
)

func init() { add(plan) }

// plan puts the whole set-up together: rims, tyres, pressures, spokes and
// freehub for a rider, a kind of riding and a wheel size.
func plan(deps Deps) *spec.Command {
	by := sourcesOf(deps)
	return &spec.Command{
		Name:    "plan",
		Summary: "Put the whole set-up together: rim, tyres, pressures, spokes, freehub, the first ride",
		Because: "Each part is the answer of its own command, whose line stands beside it",
		Words: w("set up for", "setup for", "set-up for", "set me up", "set me up for", "get me set up", "sort me out for", "plan a bike", "whole setup", "whole set-up", "whole set up", "full setup", "full set-up", "complete setup", "complete set-up", "everything for", "what wheels for", "which wheels for", "kit out", "spokes for",
			de("ganzer aufbau", "komplettes setup"), fr("réglage complet"), es("montaje completo"), it("assetto completo")),
		Keys: []string{
			"parts|quote|spec|recommend|suggest|list|project wheelset|wheels|wheel|hoops lad|guy|rider|customer|kilo|kg|xc|enduro|trail|dh|cargo|race",
			"teileliste|angebot|empfehlung|aufbau laufradsatz|laufräder|lrs fahrer|kunde|kunden|kg|kilo|xc|enduro|trail",
		},
		Options:  []spec.Option{rider, riding, planWheels, rim, bead, system, ground, bike, load, use, tyremax, tyremin, rimmax, points, ring, cog, crank},
		Wants:    []spec.Want{{Any: []spec.Option{riding, use}, Weight: 0.6}, {Any: []spec.Option{rider}, Weight: 0.6}},
		Weight:   0.2,
		Telling:  0.3,
		Asked:    true,
		Examples: []string{"plan trail 29 80 kg", "whole setup for enduro 95 kg mullet", "plan xc 29 68 kg 36 points 32/52"},
		Run: func(ctx context.Context, req spec.Request) (reply.Reply, error) {
			p := &planRun{ctx: ctx, req: req, unit: deps.pressureFirst(req), by: by}
			return p.run()
		},
	}
}

// planExample is a line that works, shown with mistakes.
const planExample = "plan trail 29 80 kg"

// sources are the commands that work out the parts of a plan by themselves: each
// recommendation carries a line of one of them that gives it again.
type sources struct{ fit, pressure, spokes, freehub *spec.Command }

func sourcesOf(deps Deps) sources {
	return sources{fit(deps), pressureCommand(deps), spokes(deps), freehubCommand(deps)}
}

// choice is one way to equip a bike for a kind of riding. Widths lie in what
// tyre.ByRiding has; holes, wire and casings are common practice without a
// source.
type choice struct {
	name         string
	front, rear  string          // widths as they are written on tyres
	inner        quantity.Length // of the rim
	casing, says string
	holes        int
	wire         read.Butts
}

// The wires. Common practice, no source.
var (
	thinWire  = read.Butts{Hub: 2, Middle: 1.5, Rim: 2}
	usualWire = read.Butts{Hub: 2, Middle: 1.8, Rim: 2}
	stoutBend = read.Butts{Hub: 2.3, Middle: 2, Rim: 2}
)

// choices are the ways for each kind of riding, the lighter first. Where the
// riding leaves no lighter way worth the risk there is one.
var choices = map[tyre.Kind][]choice{
	tyre.RoadKind: {
		{"lighter", "28", "28", 19 * quantity.Millimetre, "light", "rolls and climbs easily", 28, usualWire},
		{"tougher", "32", "32", 21 * quantity.Millimetre, "normal", "bad roads, bags, few stops", 32, usualWire}},
	tyre.GravelKind: {
		{"lighter", "40", "40", 23 * quantity.Millimetre, "normal", "firm gravel and road between", 28, usualWire},
		{"tougher", "45", "45", 25 * quantity.Millimetre, "normal", "rough gravel and bags", 32, usualWire}},
	tyre.XCKind: {
		{"lighter", "2.25", "2.25", 25 * quantity.Millimetre, "light", "races and long climbs", 28, thinWire},
		{"tougher", "2.4", "2.35", 30 * quantity.Millimetre, "normal", "marathons, stones, every day", 32, usualWire}},
	tyre.TrailKind: {
		{"lighter", "2.4", "2.35", 28 * quantity.Millimetre, "normal", "long days, much climbing", 28, usualWire},
		{"tougher", "2.5", "2.4", 30 * quantity.Millimetre, "heavy rear", "stones and jumps", 32, usualWire}},
	tyre.EnduroKind: {
		{"lighter", "2.4", "2.4", 30 * quantity.Millimetre, "heavy rear", "pedalled up all day", 32, usualWire},
		{"tougher", "2.6", "2.5", 33 * quantity.Millimetre, "heavy both, insert rear", "races and sharp rock", 32, usualWire}},
	tyre.DownhillKind: {
		{"", "2.5", "2.4", 30 * quantity.Millimetre, "heavy both", "", 32, usualWire}},
	tyre.PlusKind: {
		{"lighter", "2.8", "2.8", 35 * quantity.Millimetre, "normal", "trails, much climbing", 28, usualWire},
		{"tougher", "3.0", "2.8", 40 * quantity.Millimetre, "heavy rear", "stones and bags", 32, usualWire}},
	tyre.FatKind: {
		{"", "4.6", "4.6", 80 * quantity.Millimetre, "normal", "", 32, usualWire}},
}

// manySpokesFrom is the rider, with what is carried, from which a wheel of an
// alloy rim gets 32 spokes. Common practice, no source.
const manySpokesFrom = 90 * quantity.Kilogram

// moreSpokesFrom is the rider and load from which the rear hub's bend is
// stouter. Common practice, no source.
const moreSpokesFrom = 110 * quantity.Kilogram

// A rear hub as many are, for crossings and tension: the true ones come from
// spokes once the hub is there. Common practice, no source.
const (
	usualCircle = 58 * quantity.Millimetre
	underSeat   = 22 * quantity.Millimetre // of the circle of spoke ends below the bead seat, as 600 mm on 622
)

// usualOffset are that hub's flanges, left and right of the middle.
var usualOffset = [2]quantity.Length{36 * quantity.Millimetre, 21 * quantity.Millimetre}

// planPart is one alternative worked out.
type planPart struct {
	choice
	letter   string
	marks    [2]size.Mark
	rims     tyre.Range // ridden with these tyres
	inners   [2]quantity.Length
	fit      [2]tyre.Judgement
	pressure [2]tyre.WheelStart
	cross    int
	ratio    float64      // tension, left over right
	lines    []reply.Step // what was recommended, the line that gives it, its basis
}

// planRun is one run of the command.
type planRun struct {
	ctx    context.Context
	req    spec.Request
	unit   quantity.Unit
	by     sources
	out    reply.Reply
	riding string
	ride   tyre.Riding
	kind   tyre.Kind
	wheels [2]size.Mark // as said: a wheel size, or a tyre with its width
	mass   quantity.Mass
	known  bool // the rider's weight
	built  bool // spokes are recommended: with a weight, and for grown riders
	drive  []freehub.Engagement
	driven string // the line
}

func (p *planRun) run() (reply.Reply, error) {
	p.out.Title = "Plan"
	if u := use.Or(p.req, ""); u == "cargo" || u == "tandem" || u == "childseat" {
		return p.special(), nil
	}
	if q, ok := p.kindOfRiding(); ok {
		return q, nil
	}
	if q, ok := p.wheelSize(); ok {
		return q, nil
	}
	if m, ok := rider.Of(p.req); ok {
		p.known, p.mass = true, m.Mass()
		if l, ok := load.Of(p.req); ok {
			p.mass += l.Any().Mass()
			if l.Which == spec.Each {
				p.mass += l.Second.Mass()
			}
		}
	}
	p.built = p.known && use.Or(p.req, "") != "child" // no practice is known for children's wheels
	parts, q, err := p.parts()
	if err != nil {
		return reply.Reply{}, err
	}
	if q != nil {
		q.Title = p.out.Title
		return *q, nil
	}
	if err := p.freehub(); err != nil {
		return reply.Reply{}, err
	}
	p.answer(parts)
	return p.out, nil
}

// parts works out the alternatives. One that is refused is left out, and that
// is said; only if none is left the refusal is the answer.
func (p *planRun) parts() (parts []planPart, refused *reply.Reply, err error) {
	var left string
	for _, c := range p.ways() {
		part, q, err := p.part(c)
		switch {
		case err != nil:
			return nil, nil, err
		case q != nil:
			refused, left = q, c.name
		case len(parts) == 1 && part.same(parts[0]):
			parts[0] = part // the tyres are chosen, and the weight has chosen the spokes
			parts[0].name, parts[0].says = "", ""
		default:
			parts = append(parts, part)
		}
	}
	if len(parts) == 0 {
		return nil, refused, nil
	}
	if refused != nil {
		p.out.Note(fmt.Sprintf("The %s way is left out. %s", left, strings.Join(refused.Lead, " ")), tyre.TargetBasis)
		parts[0].name, parts[0].says = "", ""
	}
	if len(parts) == 2 {
		parts[0].letter, parts[1].letter = alternatives[0], alternatives[1]
	}
	return parts, nil, nil
}

// same reports whether two alternatives would be built of the same parts.
func (part planPart) same(other planPart) bool {
	return part.marks == other.marks && part.inners == other.inners && part.holes == other.holes && part.wire == other.wire
}

// special refuses what trail numbers must not be taken for.
func (p *planRun) special() reply.Reply {
	r := reply.Reply{Title: p.out.Title, Refused: true, Facts: reply.Facts{SpecialUse: true, Pressure: true, Spokes: true}}
	r.Lead = []string{
		"No plan for a cargo bike, a tandem or a child seat: their wheels and tyres go by their makers' papers.",
		"A start pressure can be asked for once the maximum on the tyre is known.",
	}
	r.Note("What is usual on trail bikes is too light here: loads are higher and limits their own", practice("special bikes"))
	offerWith(&r, p.req, "pressure", "pressure", rider, rim, use, load, bike, tyremax, rimmax)
	return r
}

// kindOfRiding settles what is ridden.
func (p *planRun) kindOfRiding() (reply.Reply, bool) {
	list := riding.Or(p.req, nil)
	if len(list) == 1 {
		p.riding = list[0]
		p.ride, _ = rideOf(p.riding)
		return reply.Reply{}, false
	}
	if u := use.Or(p.req, ""); (u == "child" || u == "assisted") && len(list) == 0 {
		p.riding, p.ride = "trail", tyre.Trail // spokes and limits follow from the use
		p.out.Assume("riding", p.riding, "no riding given")
		return reply.Reply{}, false
	}
	if len(list) == 0 && has(ground.Or(p.req, nil), "snow") {
		p.riding, p.ride = "snow", tyre.Snow
		p.out.Assume("riding", p.riding, "from the ground")
		return reply.Reply{}, false
	}
	likely := []words{{"xc"}, {"trail"}, {"enduro"}, {"downhill"}, {"gravel"}}
	text := "What is ridden? Rims, tyres and spokes follow from it."
	if len(list) > 1 {
		likely, text = nil, "For which riding first?"
		for _, one := range list {
			likely = append(likely, words{one})
		}
	}
	q := ask(p.req, riding, text, likely...)
	q.Title = p.out.Title
	return q, true
}

// wheelSize settles the wheels, and with them which row of practice holds.
func (p *planRun) wheelSize() (reply.Reply, bool) {
	said, ok := planWheels.Of(p.req)
	switch {
	case ok:
		p.wheels = [2]size.Mark{said.First, said.Second}
		for i := range p.wheels {
			if m, ok := ofEnd(said, i); ok {
				p.wheels[i] = m
			} else {
				p.wheels[i] = said.Any()
			}
		}
	case use.Or(p.req, "") == "child":
		q := ask(p.req, planWheels, "Which tyre has the child's bike? The size stands on its sidewall, as 24x2.0.")
		q.Title, q.Facts.SpecialUse = p.out.Title, true
		return q, true
	default:
		name := "29"
		switch p.ride {
		case tyre.Snow:
			name = "26"
			p.kind = tyre.FatKind
		case tyre.Road, tyre.Gravel, tyre.Commute:
			name = "700C"
		}
		m, err := size.Parse(name)
		if err != nil {
			m, _ = size.Of(0, bigSeat)
		}
		p.wheels = [2]size.Mark{m, m}
		p.out.Assume("wheels", m.String(), "no wheel size given")
	}
	label := 60 * quantity.Millimetre // a trail tyre: the riding alone decides
	for i, m := range p.wheels {
		if m.Width > 0 && len(m.Seats()) != 1 {
			f, why, ok := complete(m)
			if !ok {
				return p.askWheel(m), true
			}
			p.wheels[i] = f.mark
			if i == 0 || p.wheels[0] != f.mark {
				p.out.Assume("wheels", f.mark.String(), why)
			}
		}
		if m.Width > 0 && (i == 0 || m.Width > label) {
			label = m.Width
		}
	}
	switch {
	case p.kind != 0:
	case p.wheels[0].Plus() && p.wheels[0].Width == 0:
		p.kind = tyre.PlusKind
	default:
		p.kind = tyre.KindFor(p.ride, label)
	}
	if use.Or(p.req, "") == "child" {
		for _, m := range p.wheels {
			if m.Width == 0 {
				return p.askWheel(m), true
			}
		}
	}
	return reply.Reply{}, false
}

// ways lists the alternatives: one where they would not differ in kind.
func (p *planRun) ways() []choice {
	all := slices.Clone(choices[p.kind])
	u := use.Or(p.req, "")
	if u == "assisted" || u == "child" {
		all = all[len(all)-1:]
		all[0].name, all[0].says = "", ""
	}
	for i := range all {
		c := &all[i]
		if u == "child" {
			c.casing = "normal"
		}
		if u != "child" && p.mass >= manySpokesFrom {
			c.holes = max(c.holes, 32)
			if c.wire == thinWire {
				c.wire = usualWire
			}
		}
		if u == "assisted" || p.mass >= moreSpokesFrom {
			c.holes, c.wire = max(c.holes, 32), stoutBend
		}
	}
	return all
}

// marks puts the choice's widths on the wheels, where no width was said.
func (p *planRun) marks(c choice) (marks [2]size.Mark, q *reply.Reply) {
	for i, width := range [2]string{c.front, c.rear} {
		m := p.wheels[i]
		if m.Width > 0 {
			marks[i] = m
			continue
		}
		name := strings.TrimSuffix(m.String(), "+")
		if len(m.Seats()) > 0 && m.Seats()[0] == bigSeat && (p.kind == tyre.RoadKind || p.kind == tyre.GravelKind) {
			name = "700"
		}
		full, err := size.Parse(name + "x" + width)
		if err == nil && full.Seat == 0 || err != nil || full.Width == 0 {
			if l, e := size.Parse(width + " mm"); e == nil && m.Seat != 0 {
				full, err = size.Of(l.Width, m.Seat)
			}
		}
		if err != nil || full.Seat == 0 {
			back := p.askWheel(m)
			return marks, &back
		}
		marks[i] = full
	}
	return marks, nil
}

// askWheel asks for the tyre of which too little is known.
func (p *planRun) askWheel(m size.Mark) reply.Reply {
	var likely []tyres
	for _, seat := range m.Seats() {
		width := m.Width
		if width == 0 {
			width = 50 * quantity.Millimetre
		}
		if full, err := size.Of(width, seat); err == nil && len(likely) < 4 {
			likely = append(likely, spec.OneFor(full))
		}
	}
	q := ask(p.req, planWheels, m.String()+" alone does not say which tyre goes on. Which size stands on its sidewall, as 24x2.0 or 50-507?", likely...)
	q.Title, q.Assumed = p.out.Title, p.out.Assumed
	return q
}

// with makes a request of a source from values.
func with(c *spec.Command, given ...spec.Given) spec.Request {
	return ordered(spec.Request{Command: c}, given)
}

// ordered adds to a request what its command takes, in the order of its
// declaration and all at once: a plan makes many.
func ordered(r spec.Request, more []spec.Given) spec.Request {
	out := spec.Request{Command: r.Command, Shown: r.Shown, Given: make([]spec.Given, 0, len(r.Given)+len(more))}
	for _, o := range r.Command.Options {
		at := slices.IndexFunc(more, func(g spec.Given) bool { return g.Option == o })
		if at >= 0 {
			out.Given = append(out.Given, more[at])
			continue
		}
		for _, g := range r.Given {
			if g.Option == o {
				out.Given = append(out.Given, g)
			}
		}
	}
	return out
}

// takes hands on what was said and the source takes too.
func (p *planRun) takes(r spec.Request, options ...spec.Option) spec.Request {
	var more []spec.Given
	for _, g := range p.req.Given {
		if slices.Contains(options, g.Option) {
			more = append(more, spec.Given{Option: g.Option, Value: g.Value})
		}
	}
	return ordered(r, more)
}

// part works out one alternative.
func (p *planRun) part(c choice) (part planPart, q *reply.Reply, err error) {
	part = planPart{choice: c}
	if part.marks, q = p.marks(c); q != nil {
		return part, q, nil
	}
	if err := p.rim(&part); err != nil {
		return part, nil, err
	}
	both := spec.Ends[size.Mark]{First: part.marks[0], Second: part.marks[1], Which: spec.Each}
	if both.First == both.Second {
		both = spec.OneFor(both.First)
	}
	inner := spec.OneFor(size.RimMark{Inner: part.inner})
	if said, ok := rim.Of(p.req); ok {
		inner = said
	}
	mounted := []spec.Given{{Option: tyreOption, Value: both}, {Option: rim, Value: inner}, {Option: riding, Value: words{p.riding}}}
	fits := p.takes(with(p.by.fit, mounted...), bead)
	if q, err = p.judge(&part, fits, inner); q != nil || err != nil {
		return part, q, err
	}
	if p.known {
		starts := p.takes(with(p.by.pressure, mounted...), rider, bead, system, ground, bike, load, use, tyremax, tyremin, rimmax)
		if q, err = p.starts(&part, starts); q != nil || err != nil {
			return part, q, err
		}
	}
	if p.built {
		err = p.wheel(&part)
	}
	return part, nil, err
}

// judge mounts the tyres on the rim; a no is that of fit.
func (p *planRun) judge(part *planPart, line spec.Request, inner rims) (*reply.Reply, error) {
	for i, m := range part.marks {
		r, ok := ofEnd(inner, i)
		if !ok {
			r = inner.Any()
		}
		j, err := tyre.Judge(tyre.Pairing{Label: m.Width, TyreSeat: m.Seat, Rim: r.Inner, RimSeat: r.Seat, Bead: beadAt(p.req, i), Riding: p.ride})
		if err != nil {
			return nil, misfit("wheels", planExample, err)
		}
		part.fit[i], part.inners[i] = j, r.Inner
		if j.Verdict == tyre.No {
			return p.instead(line)
		}
	}
	part.step("tyres on the rim", line, tyre.SectionBasis, false)
	return nil, nil
}

// starts works out the pressures; a question or a refusal is that of pressure.
func (p *planRun) starts(part *planPart, line spec.Request) (*reply.Reply, error) {
	run := &pressureRun{req: line, unit: p.unit}
	start, q, err := run.start()
	if u, ok := spec.AsUsage(err); ok {
		return nil, spec.Misuse(u.Option, planExample, "%s", u.Problem)
	}
	if q != nil || err != nil {
		return q, err
	}
	part.pressure = [2]tyre.WheelStart{start.Front, start.Rear}
	for _, s := range part.pressure {
		if s.Standing == tyre.AboveMax {
			return p.instead(line)
		}
		p.out.Facts.BelowMinimum = p.out.Facts.BelowMinimum || s.Standing == tyre.BelowMin
	}
	for _, a := range run.out.Assumed {
		if !slices.ContainsFunc(p.out.Assumed, func(x reply.Item) bool { return x.Option == a.Option }) {
			p.out.Assumed = append(p.out.Assumed, a)
		}
	}
	part.step("pressures", line, tyre.TargetBasis, true)
	return nil, nil
}

// instead is what a source says where it refuses.
func (p *planRun) instead(line spec.Request) (*reply.Reply, error) {
	out, err := line.Command.Run(p.ctx, line)
	return &out, err
}

// rim settles the inner width, and the range of what is ridden with the tyres:
// practice has one for its own tyres, for others the ratio tells.
func (p *planRun) rim(part *planPart) error {
	wider := part.marks[0]
	if part.marks[1].Width > wider.Width {
		wider = part.marks[1]
	}
	own := p.wheels[0].Width > 0 || p.wheels[1].Width > 0
	if row, ok := p.practised(wider.Width); ok {
		part.rims = row.Rims
		part.step("rims", with(p.by.fit, spec.Given{Option: riding, Value: words{p.riding}}), tyre.PracticeBasis, false)
		own = own && !row.Rims.Holds(part.inner)
	} else {
		s, err := tyre.RimsFor(wider.Width)
		if err != nil {
			return misfit("wheels", planExample, err)
		}
		if part.rims = s.Ridden; part.rims == (tyre.Range{}) {
			part.rims = s.Desirable
		}
		part.step("rims", with(p.by.fit, spec.Given{Option: tyreOption, Value: spec.OneFor(wider)}), basis.Basis{Kind: basis.Computed, Source: "ratio of mounted width to rim"}, false)
	}
	if own {
		part.inner = tyre.DefaultRim(wider.Width)
	}
	if said, ok := rim.Of(p.req); ok {
		part.inner = said.Any().Inner
	}
	return nil
}

// practised returns what practice has for the riding, if that holds this tyre.
func (p *planRun) practised(label quantity.Length) (tyre.Practice, bool) {
	if p.kind == tyre.PlusKind || p.kind == tyre.FatKind {
		return tyre.Practice{}, false // no riding by itself
	}
	for _, row := range tyre.ByRiding() {
		if row.Kind == p.kind {
			return row, row.Tyres.Holds(label)
		}
	}
	return tyre.Practice{}, false
}

// onUsualHub is a rear wheel on the usual hub, whose tension ratio and line are
// known once it was placed: there are as many as rims, spoke counts and wires.
type onUsualHub struct {
	erd   quantity.Length
	holes int
	wire  read.Butts
}

// builtUp is what is known of one.
type builtUp struct {
	ratio float64 // tension, left over right
	line  string  // that gives it
}

// built holds those that were placed, at most mostBuilt of them: placing takes a
// sixth of a plan.
var built = struct {
	sync.Mutex
	of map[onUsualHub]builtUp
}{of: make(map[onUsualHub]builtUp)}

const mostBuilt = 256

// wheel tells of a rear wheel on the usual hub, with three crossings where there
// are spokes enough.
func (p *planRun) wheel(part *planPart) error {
	part.cross = min(3, part.holes/9)
	key := onUsualHub{part.marks[1].Seat - underSeat, part.holes, part.wire}
	built.Lock()
	known, ok := built.of[key]
	built.Unlock()
	if !ok {
		var err error
		if known, err = p.build(key, part.cross); err != nil {
			return misfit("wheels", planExample, err)
		}
		built.Lock()
		if len(built.of) < mostBuilt {
			built.of[key] = known
		}
		built.Unlock()
	}
	part.ratio = known.ratio
	part.recommend("crossings and tension", known.line, spoke.RatioBasis, false)
	return nil
}

// build places the spokes on the usual hub, for the tension ratio.
func (p *planRun) build(key onUsualHub, crossings int) (builtUp, error) {
	w := build.Wheel{End: build.Rear, Rim: build.Rim{ERD: key.erd, Holes: key.holes}}
	for i, side := range build.Sides {
		h := w.Half(side)
		h.Cross = crossings
		h.Flange = build.Flange{Offset: usualOffset[i], Holes: key.holes / 2, Circle: usualCircle, HoleDiameter: usualHole}
	}
	placed, err := lace.Place(w)
	if err != nil {
		return builtUp{}, err
	}
	ratio, err := spoke.Ratio(placed)
	if err != nil {
		return builtUp{}, err
	}
	in := func(l quantity.Length) measure { return measure{Number: l.MM(), Unit: quantity.MM} }
	return builtUp{ratio, with(p.by.spokes,
		spec.Given{Option: erd, Value: in(w.Rim.ERD)},
		spec.Given{Option: circle, Value: spec.OneFor(in(usualCircle))},
		spec.Given{Option: offset, Value: []measures{flangesOf(usualOffset)}},
		spec.Given{Option: holes, Value: counts{spec.OneFor(key.holes)}},
		spec.Given{Option: cross, Value: counts{spec.OneFor(crossings)}},
		spec.Given{Option: end, Value: "rear"},
		spec.Given{Option: gauge, Value: key.wire}).Line()}, nil
}

// step keeps the line that gives what is recommended.
func (part *planPart) step(what string, r spec.Request, b basis.Basis, personal bool) {
	part.recommend(what, r.Line(), b, personal)
}

func (part *planPart) recommend(what, line string, b basis.Basis, personal bool) {
	if part.name != "" {
		what += ", " + part.name
	}
	if part.lines == nil {
		part.lines = make([]reply.Step, 0, 4) // rims, tyres, pressures, spokes
	}
	part.lines = append(part.lines, reply.Step{What: what, Sum: line, Basis: b, Personal: personal})
}

// driven are the lowest gears taken where none was said, and the points of a
// hub for them. Common practice, no source.
var driven = map[bool]struct{ ring, cog, points int }{true: {32, 51, 54}, false: {40, 44, 36}}

// freehub works out the wait in the lowest gear.
func (p *planRun) freehub() error {
	if _, ok := points.Of(p.req); !ok && use.Or(p.req, "") == "child" {
		return nil // gears and hubs of children's bikes differ too much
	}
	usual := driven[p.ride.OffRoad()]
	r := p.takes(with(p.by.freehub), points, ring, cog, crank)
	usually := func(o *spec.Arg[measure], m measure, why string) {
		if _, ok := o.Of(p.req); !ok {
			r = spec.Set(r, o, m)
			p.out.Assume(o.Name, o.As.Text(m), why)
		}
	}
	usually(ring, measure{Number: float64(usual.ring)}, "no ring named")
	usually(cog, measure{Number: float64(usual.cog)}, "no cog named, a usual lowest gear")
	usually(crank, measure{Number: freehub.UsualCrank.MM(), Unit: quantity.MM}, "no crank length given")
	if _, ok := points.Of(p.req); !ok {
		r = spec.Set(r, points, counts{spec.OneFor(usual.points)})
	}
	run := &freehubRun{req: r}
	if err := run.settle(); err != nil {
		return err
	}
	c, _ := points.Of(r)
	var err error
	if p.drive, err = freehub.Compare(pointsOf(c), run.gear, run.crank); err != nil {
		return misfit("points", planExample, err)
	}
	p.driven = r.Line()
	return nil
}

// answer writes the plan.
func (p *planRun) answer(parts []planPart) {
	f := &p.out.Facts
	f.Pressure, f.Start, f.Spokes, f.WorkedOn = true, p.known, p.built, true
	f.Hookless, f.SpecialUse = anyHookless(p.req), use.Or(p.req, "") != ""
	for _, part := range parts {
		f.FitOutside = f.FitOutside || disputed(part.fit[0]) || disputed(part.fit[1])
		p.values(part)
	}
	if len(p.drive) == 1 { // compared ones have letters of their own
		e := p.drive[0]
		p.out.Add("points", float64(e.Points), reply.One)
		p.out.Add("hub.angle", float64(e.Hub), reply.Radians)
		p.out.Add("crank.angle", float64(e.AtCrank), reply.Radians)
		p.out.Add("pedal", float64(e.AtPedal), reply.Metres)
	}
	p.lead(parts)
	p.table(parts)
	p.firstRide()
	p.notes(parts)
	p.lines(parts)
}

// valueNames are the names of an alternative's values.
type valueNames struct {
	end                               [2]struct{ verdict, width, start, max, inner string }
	inner, holes, cross, gauge, ratio string
}

// planNames holds them by the alternative's letter, put together once.
var planNames = func() map[string]valueNames {
	all := make(map[string]valueNames)
	for _, letter := range []string{"", alternatives[0], alternatives[1]} {
		n := valueNames{inner: letter + "inner", holes: letter + "holes", cross: letter + "cross", gauge: letter + "gauge", ratio: letter + "tension.ratio"}
		for i, e := range endNames {
			at := letter + e
			n.end[i].verdict, n.end[i].width, n.end[i].start, n.end[i].max, n.end[i].inner = at+".verdict", at+".width", at+".start", at+".max", at+".inner"
		}
		all[letter] = n
	}
	return all
}()

// values puts down the figures of an alternative, under the names that the
// commands give them.
func (p *planRun) values(part planPart) {
	p.out.Values = slices.Grow(p.out.Values, 14) // what a part has at most
	add := func(v reply.Value) { p.out.Values = append(p.out.Values, v) }
	named := planNames[part.letter]
	for i := range endNames {
		s := part.fit[i].Section
		band := s.WidthBand()
		add(reply.Value{Name: named.end[i].verdict, Text: part.fit[i].Verdict.String()})
		add(reply.Value{Name: named.end[i].width, Value: float64(s.Width), Unit: reply.Metres, Low: float64(s.Width - band), High: float64(s.Width + band)})
		if x := part.pressure[i]; p.known {
			add(reply.Value{Name: named.end[i].start, Value: float64(x.Pressure), Unit: reply.Pascals, Low: float64(x.Low), High: float64(x.High)})
			add(reply.Value{Name: named.end[i].max, Value: float64(x.Max.Pressure), Unit: reply.Pascals})
		}
	}
	same := part.inners[0] == part.inners[1]
	for i, name := range [2]string{named.end[0].inner, named.end[1].inner} {
		if same {
			name = named.inner
		}
		add(reply.Value{Name: name, Value: float64(part.inners[i]), Unit: reply.Metres, Low: float64(part.rims.Low), High: float64(part.rims.High)})
		if same {
			break
		}
	}
	if p.built {
		add(reply.Value{Name: named.holes, Value: float64(part.holes), Unit: reply.One})
		add(reply.Value{Name: named.cross, Value: float64(part.cross), Unit: reply.One})
		add(reply.Value{Name: named.gauge, Text: gauge.As.Text(part.wire)})
		add(reply.Value{Name: named.ratio, Value: part.ratio, Unit: reply.One})
	}
}

// start writes a pressure as pressure does: its text too stays at or below what
// binds.
func (part planPart) start(i int, u quantity.Unit) string {
	return strings.TrimSuffix(within(part.pressure[i], part.pressure[i].Pressure, u), ".0")
}

// starts writes both in both units: "22/25 psi (1.51/1.73 bar)".
func (part planPart) starts(u quantity.Unit) string {
	in := func(u quantity.Unit) string {
		return part.start(0, u) + "/" + part.start(1, u) + " " + u.String()
	}
	return in(u) + " (" + in(quantity.Other(u)) + ")"
}

// kit names the tyres and the rim.
func (part planPart) kit() string {
	tyres := part.marks[0].String()
	if part.marks[0] != part.marks[1] {
		tyres += "/" + part.marks[1].String()
	}
	return tyres + " on " + part.on()
}

// on writes the rims' inner widths: "30 mm", "35/30 mm".
func (part planPart) on() string {
	if part.inners[0] == part.inners[1] {
		return part.inners[0].Short()
	}
	return strings.TrimSuffix(part.inners[0].Short(), " mm") + "/" + part.inners[1].Short()
}

func (p *planRun) lead(parts []planPart) {
	p.out.Lead = nil
	for _, part := range parts {
		line := part.kit()
		if part.name != "" {
			line = title(part.name) + " (" + part.says + "): " + line
		}
		if p.built {
			line += fmt.Sprintf(", %s spokes %s×", quantity.Count(part.holes), quantity.Count(part.cross))
			if part.wire == stoutBend {
				line += " of " + strings.TrimSuffix(gauge.As.Text(part.wire), " mm")
			}
		}
		if p.known {
			line += ", start " + part.starts(p.unit)
		}
		p.out.Lead = append(p.out.Lead, line+".")
	}
	if p.known {
		if len(parts) == 1 {
			p.out.Lead = append(p.out.Lead, "Ride it, then look at what stands under \"At the first ride\".")
		}
		return
	}
	text := "How heavy is the rider, ready to ride? Pressures and spokes follow from it."
	q := ask(p.req, rider, text, measure{Number: 60, Unit: quantity.KG}, measure{Number: 75, Unit: quantity.KG}, measure{Number: 90, Unit: quantity.KG}, measure{Number: 105, Unit: quantity.KG})
	p.out.Ask = q.Ask
	p.out.Lead = []string{p.out.Lead[len(p.out.Lead)-1], text}
}

// table sets the alternatives side by side.
func (p *planRun) table(parts []planPart) {
	t := reply.Table{Head: []string{""}}
	for _, part := range parts {
		t.Head = append(t.Head, part.name)
	}
	t.Rows = make([]reply.Row, 0, 12)
	row := func(name string, personal bool, cell func(planPart) string) {
		cells := make([]string, 1, 1+len(parts))
		cells[0] = name
		for _, part := range parts {
			cells = append(cells, cell(part))
		}
		t.Rows = append(t.Rows, reply.Row{Cells: cells, Personal: personal})
	}
	for i, e := range endNames {
		row(title(e), false, func(part planPart) string { return part.marks[i].String() })
		row("stands", false, func(part planPart) string {
			return quantity.Fixed(part.fit[i].Section.Width.MM(), 0) + " mm wide"
		})
		if p.known {
			row(p.unit.String(), false, func(part planPart) string {
				x := part.pressure[i]
				return part.start(i, p.unit) + " (" + strings.TrimSuffix(within(x, x.Low, p.unit), ".0") + "–" + strings.TrimSuffix(within(x, x.High, p.unit), ".0") + ")"
			})
		}
	}
	row("Rim", false, func(part planPart) string { return part.on() + " inside" })
	row("range", false, func(part planPart) string { return labels(part.rims) })
	row("Casing", false, func(part planPart) string { return part.casing })
	if p.built {
		row("Spokes", false, func(part planPart) string {
			return quantity.Count(part.holes) + ", " + quantity.Count(part.cross) + "×"
		})
		row("wire", false, func(part planPart) string { return strings.TrimSuffix(gauge.As.Text(part.wire), " mm") })
		row("L/R pull", false, func(part planPart) string {
			return quantity.Percent(part.ratio)
		})
	}
	p.out.Tables = append(p.out.Tables, t)
}

// firstRides is what to look at; the third row goes by the tyre.
var firstRides = []reply.Row{
	{Cells: []string{"before", "axle, brake, rotor; bead even all round; marks of tyre and rim read"}},
	{Cells: []string{"set off", "spokes may ping once as they untwist; on and on: stop"}},
	{},
	{Cells: []string{"touch", "rim touched or burp: stop, inspect, go up"}},
	{Cells: []string{"after", "cuts, dents, air lost, no spoke slack"}},
	{Cells: []string{"rides 2–3", "true and tension once more"}},
}

// firstRide lists what to look at before, on and after the first ride.
func (p *planRun) firstRide() {
	step := "1 psi"
	if p.kind == tyre.PlusKind || p.kind == tyre.FatKind {
		step = "½ psi"
	}
	rows := slices.Clone(firstRides)
	rows[2] = reply.Row{Cells: []string{"ride", "squirm or burp: up " + step + "; harsh: down"}}
	p.out.Tables = append(p.out.Tables, reply.Table{Title: "At the first ride", Head: []string{"", ""}, Rows: rows})
}

// notes say what each recommendation rests on.
func (p *planRun) notes(parts []planPart) {
	out := &p.out
	out.Note("Widths of tyres and rims are what is ridden for this; the front equal or 0.1–0.2 in wider, never narrower off the road", tyre.PracticeBasis)
	out.Note("Mounted widths are worked out for these rims, ± 2 mm", tyre.SectionBasis)
	if p.known {
		out.Note("Pressures are for rider, bike and these tyres", tyre.TargetBasis)
	}
	if p.built {
		if n := p.spokeReason(parts); n != "" {
			out.Notes = append(out.Notes, reply.Note{Text: n, Basis: practice("spoke counts; the rim's stiffness counts as much"), Personal: true})
		}
		out.Note("Three crossings from 28 spokes, two below: as many as lie clear of the next head and no more than square to the flange", lace.CrossingBasis)
		switch parts[len(parts)-1].wire {
		case stoutBend:
			out.Note("2.3 mm at the bend of the rear wheel, where spokes break, 2.0 in the middle; the hub's holes must take it, else 2.0/1.8/2.0. Brass nipples", practice("assisted bikes and heavy loads"))
		default:
			out.Note("Butted spokes: the thin middle takes the stretch, the bend stays quiet. The slack side of a rear wheel may take thinner ones. Brass nipples for salt and wet", practice("spoke gauges"))
		}
		out.Note("Pull left of right is for a rear hub with circles of 58 mm and flanges at 36 and 21 mm; put your own hub in", spoke.RatioBasis)
	}
	var waits []string
	for _, e := range p.drive {
		waits = append(waits, fmt.Sprintf("%s turn the crank %s at worst in %s, %s of pedal", e.Points, degrees(e.AtCrank), e.Gear, millimetresText(e.AtPedal, 0)))
	}
	if use.Or(p.req, "") == "child" {
		out.Note("Figures on a child's tyre such as 30–50 psi were written for adults on roads. Pump gauges tell little below 20 psi: press with the thumb too", practice("children's tyres"))
	}
	if len(p.drive) > 0 {
		out.Note("Freehub: "+strings.Join(waits, "; ")+". From 54 points it is little felt off the road; on the road fewer do", practice("points that riders find enough"))
	}
	out.Note("A casing too light for the ground costs more than it saves; an insert protects the rim, it cures no squirm", practice("casings and inserts"))
	out.Note("Makers' lists for rim, tyre, hub and frame have the last word, and the room in frame and fork is to be measured: 6 mm each side", tyre.OtherClearanceBasis)
}

// spokeReason tells why so many spokes.
func (p *planRun) spokeReason(parts []planPart) string {
	last := parts[len(parts)-1]
	switch {
	case use.Or(p.req, "") == "assisted":
		return "32 spokes and a stouter bend behind, a stiff rim, and a freehub whose maker names it for motors: motor and mass load the rear wheel more. So with a motor at the cranks; one in the hub has large flanges, mostly 36 holes and one crossing, as its maker says"
	case p.mass >= moreSpokesFrom:
		return "For this weight 32 spokes or 36, a stouter bend behind and a stiff rim"
	case p.mass >= manySpokesFrom:
		return "For this weight 32 spokes are the safe count on an alloy rim"
	case len(parts) == 2 && parts[0].holes < last.holes:
		return fmt.Sprintf("%s spokes carry this weight on a stiff rim; of %s a broken one throws the rim out less", quantity.Count(parts[0].holes), quantity.Count(last.holes))
	}
	return fmt.Sprintf("%s spokes: one that breaks throws the rim out less than on a wheel of fewer", quantity.Count(last.holes))
}

// lines offers, for each recommendation, the line that gives it again, and
// keeps them with their basis for why.
func (p *planRun) lines(parts []planPart) {
	all := slices.Clone(parts[0].lines)
	for _, part := range parts[1:] {
		for i, s := range part.lines {
			if s.Sum == parts[0].lines[i].Sum { // the same for both
				all[i].What, _, _ = strings.Cut(s.What, ", ")
				continue
			}
			all = append(all, s)
		}
	}
	if len(p.drive) > 0 {
		all = append(all, reply.Step{What: "freehub", Sum: p.driven, Basis: freehub.EngagementBasis})
	}
	p.out.Working, p.out.Actions = slices.Grow(p.out.Working, len(all)), slices.Grow(p.out.Actions, len(all)+1)
	for _, s := range all {
		p.out.Working = append(p.out.Working, reply.Step{What: title(s.What), Sum: s.Sum, Basis: s.Basis, Personal: s.Personal})
		p.out.Actions = append(p.out.Actions, reply.Action{Label: s.What, Line: s.Sum})
	}
	p.out.Actions = append(p.out.Actions, reply.Action{Label: "why", Line: "why"})
}
