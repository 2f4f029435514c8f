package commands

import (
	"context"
	"errors"
	"fmt"
	"slices"

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
		Because: "The straight line from flange hole to spoke end, less half the hole and the stretch",
		Words: w("spokes", "spoke", "spoke length", "spoke lengths", "lengths", "length", "laced", "lace", "wheelbuild", "wheel build", "build a wheel", "same spokes", "what do i order",
			de("speichen", "speichenlänge", "speichenlängen", "speichenlaenge"), fr("rayons", "longueur de rayon", "longueur des rayons"), es("radios", "longitud de radios"), it("raggi", "lunghezza raggi")),
		Options: []spec.Option{erd, circle, offset, holes, cross, pattern, end, brake, shift, flangehole, washer, gauge, erdkind, tangent, ahead, step, length, drawer, mark, was, wheelCount},
		Follows: []spec.Option{holes, cross, pattern, end, brake, shift},
		Wants:   []spec.Want{{Any: []spec.Option{erd, length}, Weight: 0.7}, {Any: []spec.Option{offset, length}, Weight: 0.5}},
		Enough:  [][]spec.Option{{erd, was}, {wheelCount, holes}},
		Weight:  0.1,
		// Whether hub and rim go together at all comes before any length.
		Suits: func(r spec.Request) bool {
			n, _ := holes.Of(r)
			p, _ := pattern.Of(r)
			return p == "2:1" || len(n) != 1 || n[0].Which != spec.Each || n[0].First == n[0].Second || holdsAny(erd, circle, offset, length)(r)
		},
		Examples: []string{"erd 602 circles 45 offsets 37.5/17.5 32h 3x", "erd600 58/58 36/21 32h 3x", "291.3 and 289.8 only evens"},
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
	// planned is the tension planned with while the rim's mark is unknown, and
	// usualMost what many rims are marked with. Common practice, no source.
	planned   = 100 * quantity.KilogramForce
	usualMost = 120 * quantity.KilogramForce
)

// spokesRun is one run of the command.
type spokesRun struct {
	req      spec.Request // with what was supposed
	asked    spec.Request // as it was asked
	supposed []string     // options taken from a usual wheel
	on       string       // on which wheel, where it is supposed
	out      reply.Reply
	wheel    build.Wheel // without holes and crossings
	gauge    build.Gauge
	kind     spoke.ERDKind
}

// lacing is one combination of holes and crossings asked about.
type lacing struct {
	name        string // "28 holes, 2x"
	hub, rim    int
	left, right int
	wide        bool
	offsets     measures
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
		if have, ok := s.drawn(); ok {
			return s.fromDrawerKnown(have, known)
		}
		return s.rounding(known)
	}
	if err := s.tooFew(); err != nil {
		return reply.Reply{}, err
	}
	if known, ok := length.Of(s.req); ok {
		if before, ok := s.otherERD(); ok {
			return s.onOtherRim(known, before)
		}
	}
	if q, ok := s.countOnly(); ok {
		return q, nil
	}
	s.suppose()
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
	if known, ok := length.Of(s.req); ok && len(built) == 1 {
		s.against(known, built[0])
	}
	if have, ok := s.drawn(); ok && len(built) == 1 {
		if err := s.fromDrawer(have, s.wanted(built[0])); err != nil {
			return reply.Reply{}, err
		}
	}
	return s.out, nil
}

// fewestHoles is the least number of holes that a rim is laced with.
const fewestHoles = 12

// tooFew refuses a count of holes that no rim has, or that the hub can't fill,
// before more is asked.
func (s *spokesRun) tooFew() error {
	n, _ := holes.Of(s.req)
	for _, x := range n {
		if x.Which == spec.Each && x.First < x.Second {
			return spec.Misuse("holes", "spokes hub 36 rim 32", "a hub of %s holes for a rim of %s: want as many in the hub or more, each spoke needs one", quantity.Count(x.First), quantity.Count(x.Second))
		}
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
		q := ask(s.req, erd, "What is the ERD, the circle on which the spoke ends lie? Measure it with the nipples you will use.")
		if n, _ := holes.Of(s.req); len(n) == 1 && n[0].Which == spec.Each && n[0].First > n[0].Second {
			if p, _ := pattern.Of(s.req); p != "2:1" {
				q.Note(fmt.Sprintf("A hub of %s holes on a rim of %s can be laced: every spoke from the nearest hole, %s of the hub's left empty, with several lengths a side and all of them listed", quantity.Count(n[0].First), quantity.Count(n[0].Second), quantity.Count(n[0].First-n[0].Second)), basis.Basis{Kind: basis.Computed, Says: "one regular proposal"})
			}
		}
		return s.canBe(q), true
	}
	_, straight := tangent.Of(s.req)
	if before, ok := s.otherERD(); ok {
		return s.shorterBy(before), true
	}
	if _, ok := circle.Of(s.req); !ok && !straight {
		q := ask(s.req, circle, "What diameter has the circle of spoke holes in the flanges, left/right, hole middle to hole middle?")
		q.Note("Of two ERDs trust the one measured with the nipples you will use: 1 mm of ERD is 0.5 mm of every spoke. A printed one may go to the slot floor, the nipple top or the bare hole, 1 to 3 mm apart", practice("ERDs given for one and the same rim"))
		return q, true
	}
	if _, ok := offset.Of(s.req); !ok {
		return ask(s.req, offset, "How far is each flange from the middle of the hub, left/right? As 36/21 mm."), true
	}
	if all, _ := offset.Of(s.req); slices.ContainsFunc(all, oneFlange) {
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
		s.out.Assume("erdkind", "slot", "ERD taken to the floor of the nipple slot; if to the nipple top, spokes come 0.5–1.5 mm too long, if to the bare hole too short")
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
	offsets, _ := firstOffset(s.req)
	circles, _ := circle.Of(s.req)
	if offsets.Which == spec.Both {
		s.out.Assume("offset", offsets.First.String(), "taken for both sides")
	}
	tangents, straight := tangent.Of(s.req)
	seats, _ := ahead.Of(s.req)
	for i, side := range build.Sides {
		f := &s.wheel.Half(side).Flange
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
	s.wheel.End, s.wheel.Brake = wheelEnd(s.req), wheelBrake(s.req)
	if x, ok := shift.Of(s.req); ok {
		by, sided := towardsLeft(x)
		if !sided {
			left, right := x, x
			left.Which, right.Which = spec.FirstOnly, spec.SecondOnly
			return ask(s.req, shift, "Towards which side do the rim's holes lie? Usually away from disc or sprocket.", left, right), true, nil
		}
		s.wheel.Rim.ShiftLeft = by
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
	s.gauge = wireOf(b)
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
	flanges, _ := offset.Of(s.req)
	var all []lacing
	for _, n := range holeCounts {
		hub, rimHoles := hubAndRim(n)
		if p == "2:1" && hub == rimHoles {
			hub = rimHoles * 4 / 3
			s.out.Assume("holes", fmt.Sprintf("%s/%s", quantity.Count(hub), quantity.Count(rimHoles)), "2:1 takes a hub with four thirds of the rim's holes")
		}
		for _, x := range said {
			l := lacing{hub: hub, rim: rimHoles, left: x.First, right: x.Second, offsets: flanges[0]}
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
	if len(flanges) > 1 {
		all = onHubs(all, flanges)
	}
	if len(all) > maxLacings {
		return nil, nil, spec.Misuse("cross", spokesExample, "%s combinations of holes, crossings and hubs: want at most %s", quantity.Count(len(all)), quantity.Count(maxLacings))
	}
	return all, nil, nil
}

// maxLacings is how many wheels one answer holds.
const maxLacings = 4

// onHubs lists each lacing on hubs of several flanges.
func onHubs(all []lacing, flanges []measures) (each []lacing) {
	for _, l := range all {
		name := l.name
		for _, o := range flanges {
			l.offsets = o
			if l.name = flangesName(o); len(all) > 1 {
				l.name = name + ", " + l.name
			}
			each = append(each, l)
		}
	}
	return each
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
	for i, side := range build.Sides {
		o, _ := ofEnd(l.offsets, i)
		w.Half(side).Flange.Offset = o.Length()
	}
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
