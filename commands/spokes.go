package commands

import (
	"context"
	"errors"
	"fmt"
	"strings"

	"spokeword/calc/basis"
	"spokeword/calc/build"
	"spokeword/calc/lace"
	"spokeword/calc/quantity"
	"spokeword/calc/spoke"
	"spokeword/commands/read"
	"spokeword/commands/reply"
	"spokeword/commands/spec"
)

func init() { add(spokes) }

// spokes gives spoke lengths for both sides of a wheel.
func spokes(Deps) *spec.Command {
	return &spec.Command{
		Name:    "spokes",
		Summary: "Give spoke lengths for both sides, what they react to, the tension ratio and the order",
		Words: w("spokes", "spoke", "spoke length", "spoke lengths", "lengths", "length", "laced", "lace", "wheelbuild", "wheel build", "build a wheel", "same spokes", "what do i order",
			de("speichen", "speichenlänge", "speichenlängen", "speichenlaenge"), fr("rayons", "longueur de rayon", "longueur des rayons"), es("radios", "longitud de radios"), it("raggi", "lunghezza raggi")),
		Options:  []spec.Option{erd, circle, offset, holes, cross, pattern, end, brake, shift, flangehole, washer, gauge, erdkind, tangent, ahead, step, length, mark, was},
		Wants:    []spec.Want{{Any: []spec.Option{erd, length}, Weight: 0.7}, {Any: []spec.Option{offset, length}, Weight: 0.5}},
		Apart:    [][2][]spec.Option{{{length}, {erd}}},
		Weight:   0.1,
		Examples: []string{"erd 602 circles 45 offsets 37.5/17.5 32h 3x", "erd600 58/58 36/21 32h 3x", "291.3 and 289.8 only evens", "24h 2:1 32h hub"},
		Run: func(_ context.Context, req spec.Request) (reply.Reply, error) {
			s := &spokesRun{req: req}
			return s.run()
		},
	}
}

// spokesExample is a line that works, shown with mistakes.
const spokesExample = "spokes erd 602 circles 45 offsets 37.5/17.5 32h 3x"

const (
	// usualHole is assumed for flanges whose holes weren't measured: 2.6 mm as
	// most hubs for 2.0 mm spokes have; 0.1 mm moves a length by 0.05 mm.
	// Common practice, no source.
	usualHole = 2.6 * quantity.Millimetre
	// planned is the tension planned with while the rim's mark is unknown.
	planned = 100 * quantity.KilogramForce
)

// spokesRun is one run of the command.
type spokesRun struct {
	req   spec.Request
	out   reply.Reply
	wheel build.Wheel // without holes and crossings
	gauge build.Gauge
	kind  spoke.ERDKind
}

// lacing is one combination of holes and crossings asked about.
type lacing struct {
	name        string // "28 holes, 2x"
	hub, rim    int
	left, right int
	wide        bool
}

// wheelBuilt is a wheel with its lengths.
type wheelBuilt struct {
	lacing
	wheel   build.Wheel
	placed  []lace.Spoke
	lengths spoke.Lengths
	ratio   float64
}

func (s *spokesRun) run() (reply.Reply, error) {
	s.out.Title = "Spoke lengths"
	_, rimKnown := erd.Of(s.req)
	if known, ok := length.Of(s.req); ok && !rimKnown {
		return s.rounding(known)
	}
	if err := s.tooFew(); err != nil {
		return reply.Reply{}, err
	}
	if q, ok := s.lacking(); ok {
		return q, nil // nothing is given yet, so no caution is due
	}
	if q, ok, err := s.parts(); ok || err != nil {
		return q, err
	}
	all, q, err := s.lacings()
	if q != nil || err != nil {
		if q != nil {
			return *q, nil
		}
		return reply.Reply{}, err
	}
	var built []wheelBuilt
	for _, l := range all {
		b, err := s.build(l)
		if err != nil {
			return reply.Reply{}, s.refused(l, err)
		}
		built = append(built, b)
	}
	s.answer(built)
	return s.out, nil
}

// fewestHoles is the least number of holes that a rim is laced with.
const fewestHoles = 12

// tooFew refuses a count of holes that no rim has before more is asked.
func (s *spokesRun) tooFew() error {
	n, _ := holes.Of(s.req)
	for _, x := range n {
		count := x.Second
		if !x.HasSecond() || x.Which == spec.Both {
			count = x.First
		}
		if count < fewestHoles {
			return spec.Misuse("holes", spokesExample, "%s spokes: want %s to 72; 20, 24, 28, 32 or 36 are usual", quantity.Count(count), quantity.Count(fewestHoles))
		}
	}
	return nil
}

// lacking asks for what no length can be without, one thing at a time.
func (s *spokesRun) lacking() (reply.Reply, bool) {
	if _, ok := erd.Of(s.req); !ok {
		return ask(s.req, erd, "What is the ERD, the circle on which the spoke ends lie? Measure it with the nipples you will use."), true
	}
	_, straight := tangent.Of(s.req)
	if _, ok := circle.Of(s.req); !ok && !straight {
		q := ask(s.req, circle, "What diameter has the circle of spoke holes in the flanges, left/right, hole middle to hole middle?")
		q.Note("Of two ERDs trust the one measured with the nipples you will use: 1 mm of ERD is 0.5 mm of every spoke. A printed one may go to the slot floor, the nipple top or the bare hole; one rim was given as 610, 612 and 613 mm", basis.Basis{Kind: basis.Article, Source: "discussions among wheel builders"})
		return q, true
	}
	if _, ok := offset.Of(s.req); !ok {
		return ask(s.req, offset, "How far is each flange from the middle of the hub, left/right? As 36/21 mm."), true
	}
	if o, _ := offset.Of(s.req); o.Which == spec.FirstOnly || o.Which == spec.SecondOnly {
		return ask(s.req, offset, "That is one flange. How far are both from the middle of the hub, left/right?"), true
	}
	if _, ok := holes.Of(s.req); !ok {
		return ask(s.req, holes, "How many spokes has the wheel?", counts{spec.OneFor(32)}, counts{spec.OneFor(28)}, counts{spec.OneFor(36)}, counts{spec.OneFor(24)}), true
	}
	p, _ := pattern.Of(s.req)
	if _, ok := cross.Of(s.req); !ok && !straight && p != "radial" {
		n, _ := holes.Of(s.req)
		most := n[0].Second / 9
		if p == "2:1" { // the double side is laced as on a wheel of the hub's holes
			most = n[0].First / 9
			if n[0].Which == spec.Both || n[0].Which == spec.SecondOnly {
				most = n[0].Second * 4 / 3 / 9
			}
		}
		var likely []counts
		for x := most; x >= max(1, most-1); x-- {
			likely = append(likely, counts{spec.OneFor(x)})
		}
		return ask(s.req, cross, "How many spokes does each spoke cross? At most "+quantity.Count(most)+" with these holes.", likely...), true
	}
	return reply.Reply{}, false
}

// parts fills the wheel from the request, with what is assumed said.
func (s *spokesRun) parts() (reply.Reply, bool, error) {
	d, _ := erd.Of(s.req)
	s.wheel.Rim.ERD = d.Length()
	switch kind, ok := erdkind.Of(s.req); {
	case !ok:
		s.kind = spoke.SlotFloor
		s.out.Assume("erdkind", "slot", "ERD taken to the floor of the nipple slot; other ways differ by 1–3 mm")
	default:
		s.kind = map[string]spoke.ERDKind{"slot": spoke.SlotFloor, "top": spoke.NippleTop, "hole": spoke.BareHole}[kind]
		low, high := spoke.ToSlotFloor(s.kind)
		s.wheel.Rim.ERD += (low + high) / 2
		if low != high {
			s.out.Assume("erd", s.wheel.Rim.ERD.Short(), fmt.Sprintf("%s to the slot floor, %s to %s mm off; measure with the nipple in use", s.kind, quantity.Signed(low.MM(), 0), quantity.Signed(high.MM(), 0)))
		}
	}
	hole := usualHole
	if m, ok := flangehole.Of(s.req); ok {
		hole = m.Length()
	} else if _, straight := tangent.Of(s.req); !straight {
		s.out.Assume("flangehole", usualHole.Short(), "not measured; 0.1 mm more makes 0.05 mm less spoke")
	}
	offsets, _ := offset.Of(s.req)
	circles, _ := circle.Of(s.req)
	if offsets.Which == spec.Both {
		s.out.Assume("offset", offsets.First.String(), "taken for both sides")
	}
	tangents, straight := tangent.Of(s.req)
	seats, _ := ahead.Of(s.req)
	for i, side := range build.Sides {
		f := &s.wheel.Half(side).Flange
		o, _ := ofEnd(offsets, i)
		f.Offset = o.Length()
		if straight {
			f.Seat = build.StraightPull
			t, _ := ofEnd(tangents, i)
			f.Tangent = t.Length()
			if a, ok := ahead.Of(s.req); ok {
				m, _ := ofEnd(a, i)
				f.Ahead = m.Length()
			}
			continue
		}
		c, _ := ofEnd(circles, i)
		f.Circle, f.HoleDiameter = c.Length(), hole
	}
	if straight && seats == (measures{}) {
		return ask(s.req, ahead, "How far is the head's seat ahead of the foot of the perpendicular from the axle, towards the rim? Behind it is negative, as -4 mm."), true, nil
	}
	if m, ok := washer.Of(s.req); ok {
		s.wheel.Washer = m.Length()
	}
	if m, ok := mark.Of(s.req); ok {
		s.wheel.Rim.TensionMark = m.Force()
	}
	if e, ok := end.Of(s.req); ok {
		s.wheel.End = map[string]build.End{"front": build.Front, "rear": build.Rear}[e]
	}
	if b, ok := brake.Of(s.req); ok {
		s.wheel.Brake = map[string]build.Brake{"disc": build.DiscBrake, "rim": build.RimBrake}[b]
	}
	if x, ok := shift.Of(s.req); ok {
		switch x.Which {
		case spec.FirstOnly:
			s.wheel.Rim.ShiftLeft = x.First.Length()
		case spec.SecondOnly:
			s.wheel.Rim.ShiftLeft = -x.Second.Length()
		default:
			left, right := x, x
			left.Which, right.Which = spec.FirstOnly, spec.SecondOnly
			return ask(s.req, shift, "Towards which side do the rim's holes lie? Usually away from disc or sprocket.", left, right), true, nil
		}
	}
	s.wire()
	return reply.Reply{}, false, nil
}

// wire settles the spoke's diameters, for its stretch.
func (s *spokesRun) wire() {
	b, ok := gauge.Of(s.req)
	if !ok {
		b = read.Butts{Hub: 2, Middle: 1.8, Rim: 2}
	}
	in := func(d float64) quantity.Length { return quantity.Length(d) * quantity.Millimetre }
	s.gauge = build.Gauge{Head: in(b.Hub), Middle: in(b.Middle), Thread: in(b.Rim)}
	s.wheel.Left.Gauge, s.wheel.Right.Gauge = s.gauge, s.gauge
	if !ok {
		s.out.Assume("gauge", gauge.As.Text(b), "for the stretch only")
	}
}

// lacings lists the combinations of holes and crossings asked about.
func (s *spokesRun) lacings() ([]lacing, *reply.Reply, error) {
	p, _ := pattern.Of(s.req)
	if p == "paired" || p == "crowsfoot" {
		return nil, nil, spec.Misuse("pattern", spokesExample, "%s needs the hub's own hole angles: want crossed, radial or 2:1 here", p)
	}
	said, ok := cross.Of(s.req)
	if !ok {
		said = counts{spec.OneFor(0)}
	}
	holeCounts, _ := holes.Of(s.req)
	var all []lacing
	for _, n := range holeCounts {
		hub, rimHoles := n.First, n.Second
		if n.Which == spec.FirstOnly {
			rimHoles = hub
		}
		if n.Which == spec.SecondOnly {
			hub = rimHoles
		}
		if p == "2:1" && hub == rimHoles {
			hub = rimHoles * 4 / 3
			s.out.Assume("holes", fmt.Sprintf("%s/%s", quantity.Count(hub), quantity.Count(rimHoles)), "2:1 takes a hub with four thirds of the rim's holes")
		}
		for _, x := range said {
			l := lacing{hub: hub, rim: rimHoles, left: x.First, right: x.Second}
			if x.Which == spec.FirstOnly || x.Which == spec.SecondOnly {
				q := ask(s.req, cross, "That is one side. How many crossings left/right?")
				return nil, &q, nil
			}
			switch {
			case p == "radial":
				l.left, l.right = 0, 0
			case p == "2:1" && x.Which == spec.Both:
				// the single side has a third of the spokes, too few to cross as often
				l.left = 0
				s.assumeSingle()
			}
			l.name = fmt.Sprintf("%s holes", quantity.Count(l.rim))
			if l.left == l.right {
				l.name += fmt.Sprintf(", %s×", quantity.Count(l.left))
			} else {
				l.name += fmt.Sprintf(", %s×/%s×", quantity.Count(l.left), quantity.Count(l.right))
			}
			if p == "2:1" {
				wide := l
				wide.wide = true
				l.name = quantity.Count(l.right) + " − 1/6"
				wide.name = quantity.Count(l.right) + " + 1/6"
				all = append(all, l, wide)
				continue
			}
			all = append(all, l)
		}
	}
	if len(all) > 4 {
		return nil, nil, spec.Misuse("cross", spokesExample, "%s combinations of holes and crossings: want at most 4", quantity.Count(len(all)))
	}
	return all, nil, nil
}

func (s *spokesRun) assumeSingle() {
	for _, a := range s.out.Assumed {
		if a.Option == "cross" {
			return
		}
	}
	s.out.Assume("cross", "left radial", "2:1: the single side left, the double side right as on rear wheels; its spokes are too few to cross as often")
}

// build places a wheel and measures it.
func (s *spokesRun) build(l lacing) (wheelBuilt, error) {
	b := wheelBuilt{lacing: l, wheel: s.wheel}
	w := &b.wheel
	w.Rim.Holes = l.rim
	w.Left.Cross, w.Right.Cross = l.left, l.right
	w.Left.Flange.Holes, w.Right.Flange.Holes = l.hub/2, l.hub/2
	if p, _ := pattern.Of(s.req); p == "2:1" {
		w.Pattern, w.Single = build.TwoToOne, build.Left
		w.Right.Wide = l.wide
	}
	var err error
	if b.placed, err = lace.Place(*w); err != nil {
		var refusal *lace.Refusal
		if !errors.As(err, &refusal) || refusal.Reason != lace.SpareHoles {
			return b, err
		}
		if *w, err = lace.Propose(*w); err != nil {
			return b, err
		}
		if b.placed, err = lace.Place(*w); err != nil {
			return b, err
		}
		s.out.Note("The hub has holes left over: this is one lacing of several, every spoke from the nearest hole. The hub's own hole angles may ask for another", basis.Basis{Kind: basis.Computed, Says: "one regular proposal"})
	}
	if err := crossable(b); err != nil {
		return b, err
	}
	b.lengths = spoke.Grouped(w, b.placed)
	b.ratio, err = spoke.Ratio(b.placed)
	return b, err
}

// crossable refuses crossings that can be placed and not built.
func crossable(b wheelBuilt) error {
	for _, c := range lace.Concerns(b.placed) {
		if c.Reason != lace.HeadFouled {
			continue
		}
		refusal := &lace.Refusal{Reason: c.Reason, Side: c.Side, Got: b.wheel.Half(c.Side).Cross, Want: -1}
		if options, err := lace.Possible(b.wheel, c.Side); err == nil {
			refusal.Want = mostPossible(options)
		}
		return refusal
	}
	return nil
}

func mostPossible(options []lace.Option) int {
	most := -1
	for _, o := range options {
		if o.OK {
			most = o.Number
		}
	}
	return most
}

// refused turns what the models refuse into the asker's mistake.
func (s *spokesRun) refused(l lacing, err error) error {
	var refusal *lace.Refusal
	if !errors.As(err, &refusal) {
		var missing *build.MissingError
		if errors.As(err, &missing) {
			return spec.Misuse(string(missing.Field), spokesExample, "%s", err.Error())
		}
		return misfit("", spokesExample, err)
	}
	switch refusal.Reason {
	case lace.Departure, lace.HeadFouled:
		why := "the spoke would leave the flange more than 90° off radial and lie over it"
		if refusal.Reason == lace.HeadFouled {
			why = "the spoke would lie on the head in the next hole"
		}
		want := "want fewer"
		if refusal.Want >= 0 {
			want = "want at most " + quantity.Count(refusal.Want)
		}
		example := spokesExample
		if refusal.Want > 0 {
			example = spec.Set(s.req, cross, counts{spec.OneFor(refusal.Want)}).Line()
		}
		return spec.Misuse("cross", example, "%s crossings %s can't be built with %s spokes: %s; %s",
			quantity.Count(refusal.Got), refusal.Side, quantity.Count(l.rim), why, want)
	case lace.RadialDrive, lace.RadialDisc, lace.RadialBoth:
		return spec.Misuse("cross", spokesExample, "%s: a radial spoke carries no torque; want crossed spokes on disc and drive side", refusal.Error())
	}
	return spec.Misuse("holes", spokesExample, "%s holes: %s; 20, 24, 28, 32 or 36 are usual", quantity.Count(l.rim), refusal.Error())
}

// answer writes the facts of the wheels.
func (s *spokesRun) answer(all []wheelBuilt) {
	s.out.Facts = reply.Facts{Spokes: true, WorkedOn: true}
	if len(all) == 1 {
		s.single(all[0])
	} else {
		s.several(all)
	}
	s.concerns(all)
	s.swapped(all[0])
	if s.wheel.Rim.TensionMark == 0 {
		s.out.Note("The rim's tension mark is not known: plan for at most 100 kgf (981 N) on the tightest spoke, less if the rim says so", practice("usual levels 100–120 kgf where the rim allows it"))
	}
	s.out.Note("Lengths are no better than what was measured", spoke.LengthBasis)
	s.out.Actions = append(s.out.Actions, reply.Action{Label: "why", Line: "why"})
	if _, ok := step.Of(s.req); !ok && len(all) == 1 {
		s.out.Actions = append(s.out.Actions, reply.Action{Label: "stocked every 2 mm", Line: spec.Set(s.req, step, measure{Number: 2, Unit: quantity.MM}).Line()})
	}
}

// single writes one wheel.
func (s *spokesRun) single(b wheelBuilt) {
	s.values("", b)
	s.out.Lead = []string{s.lengthsText(b) + ".", s.ratioText(b.ratio)}
	if s.wheel.End == build.AnyEnd {
		s.out.Note("Left is the non-drive side, where a disc sits; on a rear wheel the right carries the cassette", practice("sides named from the saddle"))
	}
	s.turnedRound(b)
	table := reply.Table{Head: []string{"side", "length", "spokes", "tension"}}
	left, right := spoke.Tensions(s.tightest(), b.ratio)
	for i, side := range build.Sides {
		t := [2]quantity.Force{left, right}[i]
		for _, g := range b.lengths.Of(side) {
			table.Rows = append(table.Rows, reply.Row{Cells: []string{title(side.String()), g.Length.Short(), quantity.Count(g.Count()), s.kgf(t)}})
		}
	}
	s.out.Tables = append(s.out.Tables, table)
	s.sensitivity(b)
	if m, ok := step.Of(s.req); ok {
		s.stocked(b, m.Length(), left, right)
	} else {
		s.oneLength(b)
	}
	s.changed(b)
	s.out.Explain = func(r *reply.Reply) { s.working(r, b) }
	s.stretchNote(b, left, right)
}

// tightest is the tension of the tighter side that figures are given for.
func (s *spokesRun) tightest() quantity.Force {
	if s.wheel.Rim.TensionMark > 0 {
		return s.wheel.Rim.TensionMark
	}
	return planned
}

// kgf writes a planned tension in kilograms-force. The tightest one may stand
// at the rim's mark and is rounded down.
func (s *spokesRun) kgf(f quantity.Force) string {
	if f >= s.tightest() {
		return quantity.FixedDown(f.In(quantity.KilogramForce), 0) + " kgf"
	}
	return quantity.Fixed(f.In(quantity.KilogramForce), 0) + " kgf"
}

// turnedRound tells what an offset rim would do the other way round: that is
// hardly seen in the lengths and much in the tension.
func (s *spokesRun) turnedRound(b wheelBuilt) {
	if b.wheel.Rim.ShiftLeft == 0 {
		return
	}
	turned := b.wheel
	turned.Rim.ShiftLeft = -turned.Rim.ShiftLeft
	placed, err := lace.Place(turned)
	if err != nil {
		return
	}
	ratio, err := spoke.Ratio(placed)
	if err != nil {
		return
	}
	better := "this way round is the more even one"
	if uneven(ratio) < uneven(b.ratio) {
		better = "the other way round is the more even one"
	}
	s.out.Note(fmt.Sprintf("Left / right tension is %s with the rim this way round, %s turned round: %s", quantity.Fixed(b.ratio, 2), quantity.Fixed(ratio, 2), better), spoke.RatioBasis)
}

// uneven is how far a ratio lies from even, whichever side is the tighter.
func uneven(ratio float64) float64 { return max(ratio, 1/ratio) }

// lengthsText writes the lengths of both sides.
func (s *spokesRun) lengthsText(b wheelBuilt) string {
	var parts []string
	for i, side := range build.Sides {
		groups := b.lengths.Of(side)
		text := groups[0].Length.Short()
		if n := len(groups); n > 1 {
			text = quantity.Count(n) + " lengths from " + text + " to " + groups[n-1].Length.Short()
		}
		parts = append(parts, sideNames[i]+" "+text)
	}
	return title(strings.Join(parts, ", "))
}

func (s *spokesRun) ratioText(ratio float64) string {
	switch {
	case ratio < 0.995:
		return fmt.Sprintf("The right side is the tighter one: expect the left at %s of its tension.", quantity.Percent(ratio))
	case ratio > 1.005:
		return fmt.Sprintf("The left side is the tighter one: expect the right at %s of its tension.", quantity.Percent(1/ratio))
	}
	return "Both sides carry the same tension."
}

// values puts down the figures of a wheel.
func (s *spokesRun) values(prefix string, b wheelBuilt) {
	low, high := spoke.ToSlotFloor(s.kind)
	for i, side := range build.Sides {
		groups := b.lengths.Of(side)
		v := reply.Value{Name: prefix + sideNames[i] + ".length", Value: float64(groups[0].Length), Unit: reply.Metres}
		if n := len(groups); n > 1 {
			v.Low, v.High = float64(groups[0].Length), float64(groups[n-1].Length)
		} else if low != high {
			spread := (high - low) / 4
			v.Low, v.High = float64(groups[0].Length-spread), float64(groups[0].Length+spread)
		}
		s.out.Values = append(s.out.Values, v)
		n := 0
		for _, g := range groups {
			n += g.Count()
		}
		s.out.Add(prefix+sideNames[i]+".count", float64(n), reply.One)
		s.out.Add(prefix+sideNames[i]+".angle", float64(groups[0].Angle), reply.Radians)
	}
	s.out.Add(prefix+"tension.ratio", b.ratio, reply.One)
}

// several writes wheels side by side.
func (s *spokesRun) several(all []wheelBuilt) {
	table := reply.Table{Head: []string{"", "left", "right", "left / right"}}
	var lead []string
	for i, b := range all {
		s.values(string(rune('a'+i))+".", b)
		groups := [2][]spoke.Group{b.lengths.Left, b.lengths.Right}
		lead = append(lead, fmt.Sprintf("%s: left %s, right %s mm", b.name, quantity.Trimmed(groups[0][0].Length.MM(), 1), quantity.Trimmed(groups[1][0].Length.MM(), 1)))
		table.Rows = append(table.Rows, reply.Row{Cells: []string{b.name, groups[0][0].Length.Short(), groups[1][0].Length.Short(), quantity.Percent(b.ratio)}})
	}
	s.out.Lead = []string{strings.Join(lead, "; ") + "."}
	if p, _ := pattern.Of(s.req); p == "2:1" {
		s.out.Lead = append(s.out.Lead, "The right side laces a sixth of a crossing under or over. "+s.ratioText(all[0].ratio))
		s.out.Note("2:1 evens out tension only if the rim bears it: its maker must allow it", practice("2:1 lacing"))
	} else {
		s.out.Lead = append(s.out.Lead, "Balance of the sides hardly changes with the crossings.")
	}
	s.out.Tables = append(s.out.Tables, table)
	s.out.Explain = func(r *reply.Reply) {
		for _, b := range all {
			s.working(r, b)
		}
	}
}

// stretchNote says how far the spokes stretch and how to round.
func (s *spokesRun) stretchNote(b wheelBuilt, left, right quantity.Force) {
	side, t := spoke.Tighter(b.ratio), max(left, right)
	stretch, err := spoke.Stretch(s.gauge, b.lengths.Of(side)[0].Length, t)
	if err != nil {
		return
	}
	s.out.Note(fmt.Sprintf("At %s the %s spokes stretch %s mm: round down on that side, and stay between slot floor and 1 mm short of it on the other", s.kgf(t), side, quantity.Fixed(stretch.MM(), 2)), spoke.StretchBasis)
	length := b.lengths.Of(side)[0].Length
	earlier := s.out.Explain
	s.out.Explain = func(r *reply.Reply) {
		earlier(r)
		var parts []string
		for _, p := range s.gauge.Parts(length) {
			if p.Length == 0 {
				continue
			}
			parts = append(parts, fmt.Sprintf("%s/%s", short(p.Length), quantity.Fixed(p.Area.In(quantity.SquareMillimetre), 3)))
		}
		r.Step("Stretch "+side.String(), fmt.Sprintf("%s / 200000 N/mm² · (%s) 1/mm = %s mm", t, strings.Join(parts, " + "), quantity.Fixed(stretch.MM(), 2)), spoke.StretchBasis)
	}
}

// sensitivity tells what moves the lengths.
func (s *spokesRun) sensitivity(b wheelBuilt) {
	l := spoke.SensitivityOf(&b.wheel, b.placed, build.Left)
	r := spoke.SensitivityOf(&b.wheel, b.placed, build.Right)
	table := reply.Table{Title: "1 mm more of this moves a spoke by", Head: []string{"", "left", "right"}}
	row := func(name string, a, b float64) {
		if a != 0 || b != 0 {
			table.Rows = append(table.Rows, reply.Row{Cells: []string{name, quantity.SignedFixed(a, 2), quantity.SignedFixed(b, 2)}})
		}
	}
	row("ERD", l.ERD, r.ERD)
	row("hole circle", l.Circle, r.Circle)
	row("offset", l.Offset, r.Offset)
	row("flange hole", l.FlangeHole, r.FlangeHole)
	row("tangent radius", l.Tangent, r.Tangent)
	row("seat ahead", l.Ahead, r.Ahead)
	s.out.Tables = append(s.out.Tables, table)
}

// stocked tells what each stocked length does at the nipple, and what to order.
func (s *spokesRun) stocked(b wheelBuilt, every quantity.Length, left, right quantity.Force) {
	table := reply.Table{Title: "In steps of " + every.Short(), Head: []string{"side", "stocked", "at the nipple"}}
	tighter := spoke.Tighter(b.ratio)
	chosen := map[build.Side]map[quantity.Length]quantity.Length{build.Left: {}, build.Right: {}}
	for i, side := range build.Sides {
		for _, g := range b.lengths.Of(side) {
			var stretch quantity.Length
			if side == tighter {
				if x, err := spoke.Stretch(s.gauge, g.Length, max(left, right)); err == nil {
					stretch = x
				}
			}
			fits, err := spoke.Stock{Step: every}.Fits(g.Length, stretch)
			if err != nil {
				continue
			}
			best, ok := spoke.Best(fits)
			if ok {
				chosen[side][g.Length] = best.Stocked
				s.out.Add(sideNames[i]+".short", float64(best.Short), reply.Metres)
			}
			table.Rows = append(table.Rows, fitRows(side, fits, best, ok)...)
		}
	}
	s.out.Tables = append(s.out.Tables, table)
	s.order(b, chosen)
}

// fitRows writes stocked lengths with what they do, the chosen one marked.
func fitRows(side build.Side, fits []spoke.Fit, best spoke.Fit, ok bool) []reply.Row {
	var rows []reply.Row
	for _, f := range fits {
		if !f.End.OK() && (f.Short > 2.5*quantity.Millimetre || f.Short < -2.5*quantity.Millimetre) {
			continue
		}
		what := atNipple(f)
		if ok && f.Stocked == best.Stocked {
			what += ": take"
		}
		rows = append(rows, reply.Row{Cells: []string{title(side.String()), f.Stocked.Short(), what}})
	}
	return rows
}

// atNipple says where a spoke's end lies.
func atNipple(f spoke.Fit) string {
	where := quantity.Fixed(f.Short.MM(), 1) + " mm short"
	switch {
	case f.Short < 0.05*quantity.Millimetre && f.Short > -0.05*quantity.Millimetre:
		where = "just at the slot floor"
	case f.Short < 0:
		where = quantity.Fixed(-f.Short.MM(), 1) + " mm past the slot floor"
	}
	switch f.End {
	case spoke.Filled:
		return where + ", filled"
	case spoke.Forgive:
		return where + ", stretch forgives it"
	case spoke.InSlot:
		return where + ", inside the head"
	case spoke.Proud:
		return where + ", stands out: no"
	}
	return where + ", head not filled: no"
}

// order writes the order list.
func (s *spokesRun) order(b wheelBuilt, chosen map[build.Side]map[quantity.Length]quantity.Length) {
	lines := spoke.Order(b.lengths, func(side build.Side, g spoke.Group) quantity.Length {
		if l, ok := chosen[side][g.Length]; ok {
			return l
		}
		return g.Length
	})
	table := reply.Table{Title: "To order", Head: []string{"length", "spokes", "spares"}}
	total := 0
	for _, l := range lines {
		table.Rows = append(table.Rows, reply.Row{Cells: []string{l.Length.Short(), quantity.Count(l.Count), "+ " + quantity.Count(l.Spares)}})
		s.out.Add("order."+quantity.Fixed(l.Length.MM()*10, 0), float64(l.Count+l.Spares), reply.One)
		total += l.Count + l.Spares
	}
	table.Rows = append(table.Rows, reply.Row{Cells: []string{"nipples", quantity.Count(total), ""}})
	s.out.Tables = append(s.out.Tables, table)
}

// oneLength says whether one length does for both sides.
func (s *spokesRun) oneLength(b wheelBuilt) {
	if len(b.lengths.Left) != 1 || len(b.lengths.Right) != 1 {
		return
	}
	l, r := b.lengths.Left[0].Length, b.lengths.Right[0].Length
	if d := l - r; d > 1.6*quantity.Millimetre || d < -1.6*quantity.Millimetre {
		return
	}
	whole := quantity.Length(quantity.Nearest.Round(float64((l+r)/2), float64(quantity.Millimetre)))
	fl, fr := spoke.FitOf(l, whole, 0), spoke.FitOf(r, whole, 0)
	if fl.End.OK() && fr.End.OK() {
		s.out.Lead[0] = strings.TrimSuffix(s.out.Lead[0], ".") + "; one length of " + whole.Short() + " does for both."
		s.out.Note(fmt.Sprintf("One length of %s does for both sides: left %s; right %s", whole.Short(), atNipple(fl), atNipple(fr)), spoke.NippleBasis)
	}
}

// concerns tells what speaks against a wheel that can be laced.
func (s *spokesRun) concerns(all []wheelBuilt) {
	maker := false
	for _, b := range all {
		s.grazing(b, len(all) > 1)
		seen := map[lace.Reason]bool{}
		for _, c := range lace.Concerns(b.placed) {
			if seen[c.Reason] {
				continue
			}
			seen[c.Reason] = true
			name := ""
			if len(all) > 1 {
				name = b.name + ": "
			}
			switch c.Reason {
			case lace.Entry:
				s.out.Facts.SteepEntry = true
				s.out.Note(fmt.Sprintf("%sspokes enter the nipple %s off square; an ordinary one swivels about 10°. Fewer crossings bring it down", name, quantity.Fixed(c.Angle.In(quantity.Degree), 0)+"°"), practice("about 10° of swivel"))
			case lace.HeadTight, lace.HeadFouled:
				s.out.Note(fmt.Sprintf("%sthe spoke passes %s mm from the next head: check that it does not lie on it", name, quantity.Fixed(c.Gap.MM(), 1)), lace.CrossingBasis)
			case lace.MakerDecides:
				if !maker {
					s.out.Note("Radial lacing only where the hub's maker allows it", practice("radial flanges are pulled straight"))
				}
				maker = true
			}
		}
	}
}

// grazingAngle is how far off radial a spoke leaves its flange when it begins
// to lie along it. Common practice, no source.
const grazingAngle = 75 * quantity.Degree

// grazing tells of spokes that leave the flange nearly along it.
func (s *spokesRun) grazing(b wheelBuilt, named bool) {
	if p, _ := pattern.Of(s.req); p == "2:1" {
		return // its real angles are no multiples of a crossing
	}
	steepest := quantity.Angle(0)
	for _, side := range build.Sides {
		for _, g := range b.lengths.Of(side) {
			steepest = max(steepest, g.Angle)
		}
	}
	if steepest <= grazingAngle || b.wheel.Left.Flange.Seat == build.StraightPull {
		return
	}
	name := ""
	if named {
		name = b.name + ": "
	}
	s.out.Note(fmt.Sprintf("%sspokes leave the flange %s° off radial, nearly along it: check that they do not lie on the next head", name, quantity.Fixed(steepest.In(quantity.Degree), 0)), lace.CrossingBasis)
}

// swapped questions offsets that look the wrong way round.
func (s *spokesRun) swapped(b wheelBuilt) {
	o, ok := offset.Of(s.req)
	if !ok || o.Which != spec.Each || o.First.SI() >= o.Second.SI() {
		return
	}
	turned := spec.Ends[measure]{First: o.Second, Second: o.First, Which: spec.Each}
	switch s.wheel.End {
	case build.Rear:
		s.out.Lead[1] = "Swapped? On a rear wheel the left flange sits further out than the right one."
		s.out.Ask = &reply.Ask{Option: "offset", Text: s.out.Lead[1], Choices: []reply.Action{{Label: offset.As.Text(turned), Line: spec.Set(s.req, offset, turned).Line()}}}
	case build.AnyEnd:
		s.out.Note("Left offset below right is right for a front wheel with a disc; a rear wheel has it the other way round", practice("discs left, sprockets right"))
		s.out.Actions = append(s.out.Actions, reply.Action{Label: "swap the offsets", Line: spec.Set(s.req, offset, turned).Line()})
	}
}

// changed tells how lengths move against what was before.
func (s *spokesRun) changed(b wheelBuilt) {
	m, ok := was.Of(s.req)
	if !ok {
		return
	}
	before := b
	what := ""
	switch now, _ := circle.Of(s.req); {
	case near(m.Length(), b.wheel.Rim.ERD, 0.12):
		before.wheel.Rim.ERD = m.Length()
		what = "ERD"
	case now.Any().Unit != quantity.NoUnit && near(m.Length(), now.Any().Length(), 1):
		before.wheel.Left.Flange.Circle, before.wheel.Right.Flange.Circle = m.Length(), m.Length()
		what = "hole circle"
	default:
		s.out.Unused = append(s.out.Unused, "was "+m.String())
		return
	}
	old, err := spoke.LengthsOf(before.wheel)
	if err != nil {
		return
	}
	dl := b.lengths.Left[0].Length - old.Left[0].Length
	dr := b.lengths.Right[0].Length - old.Right[0].Length
	word := "The old spokes would be"
	s.out.Lead[1] = fmt.Sprintf("%s %s left, %s right (%s %s before).", word, shortOrLong(dl), shortOrLong(dr), what, m)
	s.out.Add("left.short", float64(dl), reply.Metres)
	s.out.Add("right.short", float64(dr), reply.Metres)
}

func near(a, b quantity.Length, share quantity.Length) bool {
	return a > b-b*share && a < b+b*share
}

func shortOrLong(d quantity.Length) string {
	if d < 0 {
		return quantity.Fixed(-d.MM(), 1) + " mm too long"
	}
	return quantity.Fixed(d.MM(), 1) + " mm short"
}

// rounding tells what stocked lengths do for lengths that are known already.
func (s *spokesRun) rounding(known measures) (reply.Reply, error) {
	m, ok := step.Of(s.req)
	if !ok {
		return ask(s.req, step, "In which step are spokes stocked?", measure{Number: 2, Unit: quantity.MM}, measure{Number: 1, Unit: quantity.MM}), nil
	}
	if _, ok := erdkind.Of(s.req); !ok {
		s.out.Assume("erdkind", "slot", "the lengths taken to the floor of the nipple slot")
	}
	s.out.Title = "Rounding spoke lengths"
	s.out.Facts = reply.Facts{Spokes: true, WorkedOn: true}
	table := reply.Table{Head: []string{"side", "stocked", "at the nipple"}}
	var lead []string
	for i, side := range build.Sides {
		x, ok := ofEnd(known, i)
		if !ok || i == 1 && known.Which == spec.Both {
			continue
		}
		fits, err := spoke.Stock{Step: m.Length()}.Fits(x.Length(), 0)
		if err != nil {
			return reply.Reply{}, misfit("length", "spokes 291.3 and 289.8 only evens", err)
		}
		best, ok := spoke.Best(fits)
		name := sideNames[i]
		if known.Which == spec.Both {
			name, side = "", build.NoSide
		}
		if ok {
			lead = append(lead, strings.TrimSpace(fmt.Sprintf("%s %s (%s)", name, best.Stocked.Short(), atNipple(best))))
			valueName := "short"
			if name != "" {
				valueName = name + ".short"
			}
			s.out.Add(valueName, float64(best.Short), reply.Metres)
		} else {
			lead = append(lead, strings.TrimSpace(name+" no stocked length fits"))
		}
		table.Rows = append(table.Rows, fitRows(side, fits, best, ok)...)
		s.out.Step(title(strings.TrimSpace(name+" rounding")), fmt.Sprintf("%s exact, stocked every %s", x, m), spoke.NippleBasis)
	}
	s.out.Lead = []string{title(strings.Join(lead, ", ")) + ".",
		"The tighter side forgives half a millimetre short, it stretches; the slack side does not."}
	s.out.Tables = append(s.out.Tables, table)
	s.out.Note("The end belongs between slot floor and 1 mm short of it: alloy heads that are not filled break, and nothing may reach the tape", spoke.NippleBasis)
	s.out.Note("Order two spares for each side", practice("spares"))
	return s.out, nil
}

// working is the sum, for why.
func (s *spokesRun) working(out *reply.Reply, b wheelBuilt) {
	for i, side := range build.Sides {
		f := b.wheel.Half(side).Flange
		g := b.lengths.Of(side)[0]
		name := title(sideNames[i])
		if b.name != "" {
			name += ", " + b.name
		}
		lateral := f.Offset - b.wheel.Rim.ShiftLeft
		if side == build.Right {
			lateral = f.Offset + b.wheel.Rim.ShiftLeft
		}
		r := b.wheel.Rim.ERD/2 + b.wheel.Washer
		if f.Seat == build.StraightPull {
			out.Step(name, fmt.Sprintf("√((√(%s² − %s²) − %s)² + %s²) = %s mm", short(r), short(f.Tangent), short(f.Ahead), short(lateral), short(g.Length)), spoke.LengthBasis)
			continue
		}
		out.Step(name, fmt.Sprintf("√(%s² + %s² + %s² − 2·%s·%s·cos %s°) − %s/2 = %s mm", short(r), short(f.Radius()), short(lateral), short(r), short(f.Radius()), quantity.Trimmed(g.Angle.In(quantity.Degree), 3), short(f.HoleDiameter), short(g.Length)), spoke.LengthBasis)
	}
	out.Step("Tension left/right", fmt.Sprintf("(%s · sin %s°) / (%s · sin %s°) = %s", quantity.Count(total(b.lengths.Right)), bracing(b.lengths.Right), quantity.Count(total(b.lengths.Left)), bracing(b.lengths.Left), quantity.Fixed(b.ratio, 3)), spoke.RatioBasis)
}

func short(l quantity.Length) string { return quantity.Trimmed(l.MM(), 2) }

func total(groups []spoke.Group) int {
	n := 0
	for _, g := range groups {
		n += g.Count()
	}
	return n
}

func bracing(groups []spoke.Group) string {
	return quantity.Trimmed(groups[0].Bracing.In(quantity.Degree), 3)
}
