package commands

import (
	"fmt"
	"slices"

	"spokeword/calc/build"
	"spokeword/calc/lace"
	"spokeword/calc/quantity"
	"spokeword/commands/reply"
	"spokeword/commands/spec"
)

// This file answers a question that has a general answer, as which of two
// lacings, on a usual wheel where the asker's own is not told.

const (
	usualMotor = "24 mm/24 mm" // of a motor in the hub, whose flanges are as far apart as they are flat
	// motorCircle is the hole circle from which a hub holds a motor.
	motorCircle = 150 * quantity.Millimetre
)

// general reports whether a question has an answer without the asker's own
// wheel: several builds are compared, a change is asked about, or a pattern.
func (s *spokesRun) general() bool {
	n, counted := holes.Of(s.req)
	x, _ := cross.Of(s.req)
	p, _ := pattern.Of(s.req)
	_, changed := was.Of(s.req)
	_, hub := circle.Of(s.req)
	if _, straight := tangent.Of(s.req); straight {
		return false
	}
	if b, _ := brake.Of(s.req); b == "rim" {
		return false
	}
	return len(n) > 1 && len(x) > 0 || counted && len(x) > 1 || counted && p == "2:1" || changed && hub
}

// suppose takes a usual wheel for what a general question leaves out, and says
// so. What is computed with is in s.req then, what was asked in s.asked.
func (s *spokesRun) suppose() {
	s.asked = s.req
	if s.general() {
		s.supposeAll()
	}
}

// supposeAll takes a usual wheel for all that is not given.
func (s *spokesRun) supposeAll() {
	where := "rear"
	if e, _ := end.Of(s.req); e == "front" {
		where = "front"
	}
	take := func(o spec.Option, text, why string) {
		name := o.About().Name
		if _, ok := s.req.Get(name); ok {
			return
		}
		v, err := o.Parse(text)
		if err != nil {
			return
		}
		s.req = s.req.With(spec.Given{Option: o, Value: v})
		s.out.Assume(name, o.Text(v), why)
		s.supposed = append(s.supposed, name)
	}
	flanges := flangesText(usualOffset)
	kind := "a usual " + where + " hub with a disc brake"
	if where == "front" {
		flanges = flangesText(usualFrontDisc)
	}
	if c, ok := circle.Of(s.req); ok && c.Any().Length() > motorCircle {
		flanges, kind = usualMotor, "as on many motors in the hub"
	}
	take(erd, usualERD.Short(), "not given: a usual rim for 29 in tyres")
	take(circle, usualCircle.Short(), "not given: "+kind)
	take(offset, flanges, "not given: "+kind)
	take(holes, "32", "not given: the usual count")
	take(cross, "3", "not given: the usual crossings")
	if len(s.supposed) > 0 {
		s.on = ", on a usual 29 in " + where + " wheel"
	}
	if s.lacksOffset() {
		s.on = ", flanges taken at " + flanges
	}
}

// canBe tells, before the rim is asked for, what holes and crossings say by
// themselves: whether they can be laced, and how the spokes leave the hub. Where
// they can't, nothing is left to ask.
func (s *spokesRun) canBe(q reply.Reply) reply.Reply {
	n, _ := holes.Of(s.req)
	x, _ := cross.Of(s.req)
	_, straight := tangent.Of(s.req)
	if len(n) != 1 || len(x) != 1 || n[0].Which == spec.Each || straight || holdsAny(circle, offset, pattern, length)(s.req) {
		return q
	}
	usual := spokesRun{req: s.req}
	usual.supposeAll()
	if _, _, err := usual.parts(); err != nil {
		return q
	}
	all, asks, err := usual.lacings()
	if err != nil || asks != nil || len(all) != 1 {
		return q
	}
	b, err := usual.build(all[0])
	if err != nil {
		if u, ok := spec.AsUsage(usual.refused(all[0], err)); ok {
			r := reply.Reply{Title: "Lacing", Mistake: true, Error: u.Problem, Example: spec.Set(s.req, cross, counts{spec.OneFor(max(0, all[0].left-1))}).Line()}
			return r
		}
		return q
	}
	left, right := b.lengths.Of(build.Left), b.lengths.Of(build.Right)
	if len(left) != 1 || len(right) != 1 {
		return q
	}
	q.Lead = []string{
		fmt.Sprintf("%s can be laced: the spokes leave the flange %s° off radial, 90° is the most.", b.name, quantity.Fixed(max(left[0].Leaves, right[0].Leaves).In(quantity.Degree), 0)),
		q.Ask.Text,
	}
	q.Note("The angle is that of a usual 29 in wheel; it hardly moves with rim and hub", lace.CrossingBasis)
	q.Actions = append(q.Actions, reply.Action{Label: "how to lace it", Line: lacingLine(s.req)})
	return q
}

// lacingLine is the line that asks how to lace what a request is about.
func lacingLine(r spec.Request) string {
	line := spec.Request{Command: lacingCommand(Deps{})}
	for _, g := range r.Given {
		if line.Command.Takes(g.Option) && (g.Option == spec.Option(holes) || g.Option == spec.Option(cross) || g.Option == spec.Option(end) || g.Option == spec.Option(brake)) {
			line = line.With(g)
		}
	}
	return line.Line()
}

// orderedBy returns the shop's step. Nobody orders for a usual wheel, which is
// not theirs.
func (s *spokesRun) orderedBy() (measure, bool) {
	m, ok := step.Of(s.req)
	return m, ok && len(s.supposed) == 0
}

// lacksOffset reports whether the flanges' offsets are all that was supposed.
func (s *spokesRun) lacksOffset() bool {
	return len(s.supposed) == 1 && s.supposed[0] == offset.Name
}

// own offers what makes the answer the asker's own: the one thing that lacks
// is asked for, several are measured.
func (s *spokesRun) own() {
	if len(s.supposed) == 0 {
		return
	}
	if s.lacksOffset() {
		s.out.Ask = &reply.Ask{Option: offset.Name, Text: "How far is each of your flanges from the middle of the hub, left/right? As 36/21 mm."}
	} else {
		s.out.Note("Your own lengths hang on your rim and hub: type ERD, hole circles and flange offsets, and this answers for them", practice("a usual wheel stands for yours"))
	}
	if slices.Contains(s.supposed, erd.Name) {
		s.out.Actions = append(s.out.Actions, reply.Action{Label: "my rim: measure its ERD", Line: "measure guide:erd"})
	}
	if slices.Contains(s.supposed, circle.Name) || slices.Contains(s.supposed, offset.Name) {
		s.out.Actions = append(s.out.Actions, reply.Action{Label: "my hub: measure it", Line: "measure guide:hub"})
	}
}
