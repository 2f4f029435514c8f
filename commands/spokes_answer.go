package commands

import (
	"fmt"
	"slices"
	"strings"

	"spokeword/calc/basis"
	"spokeword/calc/build"
	"spokeword/calc/lace"
	"spokeword/calc/quantity"
	"spokeword/calc/spoke"
	"spokeword/commands/reply"
	"spokeword/commands/spec"
)

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
	s.own()
	if s.wheel.Rim.TensionMark == 0 {
		s.out.Note("The rim's tension mark is not known: plan for at most 100 kgf (981 N) on the tightest spoke, less if the rim says so", practice("usual levels 100–120 kgf where the rim allows it"))
	}
	s.out.Note("Lengths are no better than what was measured", spoke.LengthBasis)
	s.out.Actions = append(s.out.Actions, reply.Action{Label: "why", Line: "why"})
	if len(all) == 1 {
		s.otherSteps()
		return
	}
	s.each(all)
}

// otherSteps offers the order list in the steps that were not asked for.
func (s *spokesRun) otherSteps() {
	if len(s.supposed) > 0 {
		return
	}
	now, ok := step.Of(s.req)
	for i, m := range stockSteps {
		if ok && now.Length() != m.Length() || !ok && i == len(stockSteps)-1 { // the other is offered there
			s.out.Actions = append(s.out.Actions, reply.Action{Label: "order in steps of " + m.String(), Line: spec.Set(s.req, step, m).Line()})
		}
	}
}

// each offers every build by itself, with what to order.
func (s *spokesRun) each(all []wheelBuilt) {
	if p, _ := pattern.Of(s.req); p == "2:1" {
		return // both sixths are one line
	}
	for _, b := range all {
		n := spec.OneFor(b.rim)
		if b.hub != b.rim {
			n = spec.Ends[int]{First: b.hub, Second: b.rim, Which: spec.Each}
		}
		x := spec.OneFor(b.left)
		if b.left != b.right {
			x = spec.Ends[int]{First: b.left, Second: b.right, Which: spec.Each}
		}
		label := b.name
		if len(s.supposed) > 0 {
			label += " on my own wheel"
		}
		s.out.Actions = append(s.out.Actions, reply.Action{Label: label, Line: spec.Set(spec.Set(s.asked, holes, counts{n}), cross, counts{x}).Line()})
	}
}

// single writes one wheel.
func (s *spokesRun) single(b wheelBuilt) {
	s.values("", b)
	s.out.Lead = []string{s.lengthsText(b) + s.on + ".", tighterText(b.ratio)}
	if e, _ := end.Of(s.req); e == "front" && b.ratio > 1 {
		if stops, _ := brake.Of(s.req); stops == "disc" {
			s.out.Note("In front the disc side, left, is the tighter one; behind it is the other way round, the cassette's side", spoke.RatioBasis)
		}
	}
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
	switch m, ok := s.orderedBy(); {
	case ok:
		s.stocked(b, m.Length())
	case len(s.supposed) > 0:
	case !s.oneLength(b):
		s.eitherStep(b)
	}
	s.sensitivity(b)
	s.changed(b)
	s.out.Explain = func(r *reply.Reply) {
		s.working(r, b)
		if m, ok := s.orderedBy(); ok {
			s.explainCut(r, b, m.Length())
		}
	}
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
	return kgf(f)
}

func kgf(f quantity.Force) string {
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

// even reports whether both sides are as tight, as near as offsets are measured.
func even(ratio float64) bool { return ratio >= 0.995 && ratio <= 1.005 }

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
	table := reply.Table{Head: []string{"", "left", "right"}}
	var lead []string
	every, rounded := s.orderedBy()
	for i, b := range all {
		s.values(string(rune('a'+i))+".", b)
		groups := [2][]spoke.Group{b.lengths.Left, b.lengths.Right}
		lead = append(lead, fmt.Sprintf("%s: left %s, right %s mm", b.name, quantity.Trimmed(groups[0][0].Length.MM(), 1), quantity.Trimmed(groups[1][0].Length.MM(), 1)))
		left, right := spoke.Tensions(s.tightest(), b.ratio)
		table.Rows = append(table.Rows, reply.Row{Cells: []string{b.name, groups[0][0].Length.Short(), groups[1][0].Length.Short()}},
			reply.Row{Cells: []string{"tension", s.kgf(left), s.kgf(right)}})
		if rounded {
			table.Rows = append(table.Rows, s.orderRow(b, every.Length())...)
		}
	}
	s.out.Lead = []string{strings.Join(lead, "; ") + s.on + "."}
	if p, _ := pattern.Of(s.req); p == "2:1" {
		s.out.Lead = append(s.out.Lead, "The right side laces a sixth of a crossing under or over. "+tighterText(all[0].ratio))
		s.out.Note(fmt.Sprintf("2:1 takes a hub with four thirds of the rim's holes, here %s for %s: on the single side every other hole of the flange stays empty", quantity.Count(all[0].hub), quantity.Count(all[0].rim)), basis.Basis{Kind: basis.Computed, Source: "two spokes to one on as many hole angles"})
		s.out.Note("2:1 evens out tension only if the rim bears it: its maker must allow it", practice("2:1 lacing"))
	} else {
		s.out.Lead = append(s.out.Lead, "Balance of the sides hardly changes with the lacing. "+tighterText(all[0].ratio))
	}
	s.choose(all)
	s.leastSteep(all)
	s.out.Tables = append(s.out.Tables, table)
	s.out.Explain = func(r *reply.Reply) {
		for _, b := range all {
			s.working(r, b)
		}
	}
}

// choose says which of several crossings to take, where that was all that was
// asked: lengths on somebody else's wheel are no choice.
func (s *spokesRun) choose(all []wheelBuilt) {
	crossings, _ := cross.Of(s.asked)
	hub, _ := circle.Of(s.req)
	if len(s.supposed) < 3 || len(crossings) < 2 || hub.Any().Length() > motorCircle {
		return
	}
	n := all[0].rim
	most, least := all[0], all[0]
	for _, b := range all {
		if b.rim != n || b.left != b.right || b.hub != b.rim {
			return
		}
		if b.left > most.left {
			most = b
		}
		if b.left < least.left {
			least = b
		}
	}
	leaves := func(b wheelBuilt) string {
		return quantity.Fixed(max(b.lengths.Left[0].Leaves, b.lengths.Right[0].Leaves).In(quantity.Degree), 0) + "°"
	}
	times := func(b wheelBuilt) string { return quantity.Count(b.left) + "×" }
	lead := fmt.Sprintf("Both hold. %s is the usual choice for %s: it leaves the flange at %s, %s at %s; 90° pulls straight.", times(most), quantity.Count(n), leaves(most), times(least), leaves(least))
	if b := most.lengths.Right[0]; b.Angle > grazingAngle {
		lead = fmt.Sprintf("Both hold. %s if the spokes clear the next heads, it leaves the flange at %s, nearly along it; else %s at %s.", times(most), leaves(most), times(least), leaves(least))
	}
	if least.left == 0 {
		lead = fmt.Sprintf("%s: radial spokes carry no torque, so never on a disc or drive side.", times(most))
	}
	s.out.Note(strings.TrimSuffix(s.out.Lead[1], "."), spoke.RatioBasis)
	s.out.Lead = []string{lead, s.out.Lead[0]}
	s.out.Note("More crossings are no stronger: what holds a torque is the spoke's angle at the flange, and from about 60° on it hardly matters. Disc and drive side are always crossed; the hub maker's word comes first", basis.Basis{Kind: basis.Computed, Says: "the sine of the angle at the flange: 56° carries 83 % of what 90° does"})
}

// entry is how far off square a build's spokes enter their nipples, where that
// is more than a nipple swivels; else 0.
func entry(b wheelBuilt) quantity.Angle {
	steepest := quantity.Angle(0)
	for _, c := range lace.Concerns(b.placed) {
		if c.Reason == lace.Entry {
			steepest = max(steepest, c.Angle)
		}
	}
	return steepest
}

// leastSteep says which of several builds does least harm where the spokes of
// all of them enter their nipples too far off square.
func (s *spokesRun) leastSteep(all []wheelBuilt) {
	least, most := all[0], all[0]
	for _, b := range all {
		if entry(b) == 0 {
			return
		}
		if entry(b) < entry(least) {
			least = b
		}
		if entry(b) > entry(most) {
			most = b
		}
	}
	if entry(least) == entry(most) {
		return
	}
	degrees := func(b wheelBuilt) string {
		return quantity.Fixed(entry(b).In(quantity.Degree), 0) + "°"
	}
	between := ""
	for _, b := range s.between(least, most) {
		between += fmt.Sprintf("%s with %s×, ", degrees(b), quantity.Count(b.left))
	}
	s.out.Lead[1] = fmt.Sprintf("%s is the least bad: %s off square at the nipple, %s%s with %s; nipples swivel about 10°. So nipples or holes made for the angle, as the maker says.",
		title(least.name), degrees(least), between, degrees(most), most.name)
	s.out.Note("More crossings are no stronger on so large a flange: they pull no better, and the steeper way into the nipple bends the spoke at its thread, where those of motor wheels break", practice("motor wheels"))
}

// between builds the crossings that lie between those of two wheels that differ
// in nothing else, for what they would be like.
func (s *spokesRun) between(a, b wheelBuilt) (all []wheelBuilt) {
	low, high := a.lacing, b.lacing
	if low.left > high.left {
		low, high = high, low
	}
	if low.hub != high.hub || low.rim != high.rim || low.offsets != high.offsets || low.left != low.right || high.left != high.right {
		return nil
	}
	for x := low.left + 1; x < high.left; x++ {
		l := low
		l.left, l.right = x, x
		if built, err := s.build(l); err == nil && entry(built) > 0 {
			all = append(all, built)
		}
	}
	return all
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

// concerns tells what speaks against a wheel that can be laced.
func (s *spokesRun) concerns(all []wheelBuilt) {
	maker := false
	var steep []string
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
				steep = append(steep, name+quantity.Fixed(c.Angle.In(quantity.Degree), 0)+"°")
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
	if len(steep) > 0 {
		s.out.Note(fmt.Sprintf("Spokes enter the nipple off square (%s); an ordinary one swivels about 10°. Fewer crossings bring it down", strings.Join(steep, "; ")), practice("about 10° of swivel"))
	}
}

// grazingAngle is the angle between hub hole and rim hole from which a spoke
// leaves its flange nearly along it. Common practice, no source.
const grazingAngle = 75 * quantity.Degree

// grazing tells of spokes that leave the flange nearly along it.
func (s *spokesRun) grazing(b wheelBuilt, named bool) {
	if p, _ := pattern.Of(s.req); p == "2:1" {
		return // its real angles are no multiples of a crossing
	}
	var steepest spoke.Group
	for _, side := range build.Sides {
		for _, g := range b.lengths.Of(side) {
			if g.Angle > steepest.Angle {
				steepest = g
			}
		}
	}
	if steepest.Angle <= grazingAngle || b.wheel.Left.Flange.Seat == build.StraightPull {
		return
	}
	name := ""
	if named {
		name = b.name + ": "
	}
	degrees := func(a quantity.Angle) string { return quantity.Fixed(a.In(quantity.Degree), 0) + "°" }
	s.out.Note(fmt.Sprintf("%sfrom hub hole to rim hole it is %s about the axle, so the spokes leave the flange %s off radial, nearly along it: check that they do not lie on the next head", name, degrees(steepest.Angle), degrees(steepest.Leaves)), lace.CrossingBasis)
}

// swapped questions offsets that look the wrong way round.
func (s *spokesRun) swapped(b wheelBuilt) {
	all, _ := offset.Of(s.req)
	swap := func(o measures) bool { return o.Which == spec.Each && o.First.SI() < o.Second.SI() }
	if !slices.ContainsFunc(all, swap) {
		return
	}
	turned := slices.Clone(all)
	for i, o := range all {
		if swap(o) {
			turned[i].First, turned[i].Second = o.Second, o.First
		}
	}
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
	switch what {
	case "hole circle":
		s.out.Note("Holes of a used flange have bedded in to their spokes: lace it the same way round", practice("used hubs"))
		l, r := spoke.SensitivityOf(&b.wheel, b.placed, build.Left), spoke.SensitivityOf(&b.wheel, b.placed, build.Right)
		s.out.Note(fmt.Sprintf("Flanges further out matter little: 1 mm is %s mm of spoke left, %s right", quantity.Fixed(l.Offset, 2), quantity.Fixed(r.Offset, 2)), spoke.LengthBasis)
	}
	dl := b.lengths.Left[0].Length - old.Left[0].Length
	dr := b.lengths.Right[0].Length - old.Right[0].Length
	word := "No: the old spokes would be"
	if spoke.FitOf(b.lengths.Left[0].Length, old.Left[0].Length, 0).End.OK() && spoke.FitOf(b.lengths.Right[0].Length, old.Right[0].Length, 0).End.OK() {
		word = "They may do: the old spokes would be"
	}
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
