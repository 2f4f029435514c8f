package commands

import (
	"context"
	"fmt"
	"math"
	"slices"
	"strings"

	"spokeword/calc/basis"
	"spokeword/calc/gearing"
	"spokeword/calc/quantity"
	"spokeword/calc/size"
	"spokeword/calc/tyre"
	"spokeword/commands/reply"
	"spokeword/commands/spec"
)

func init() { add(gearingCommand) }

// gearingCommand tells what other wheels and tyres do to gears, bottom bracket
// and angles, and what a speed sensor is set to.
func gearingCommand(Deps) *spec.Command {
	return &spec.Command{
		Name:    "gearing",
		Summary: "Tell what other wheels do to gears, bottom bracket and angles, and the circumference for a speed sensor",
		Because: "Ring over cog times the circumference; heights and angles from the wheels' radii",
		Words: w("gears", "gear ratio", "gear ratios", "gears back", "same gears", "same gearing", "what ring", "which ring", "smaller ring", "bigger ring", "need smaller ring", "ring size", "chainring size", "development", "metres per turn", "meters per turn", "per pedal turn", "pedal turn", "per crank turn", "crank turn", "how fast", "how fast do i go", "what speed", "top speed", "speed at", "speed in", "kmh", "km/h", "mph", "climbs easier", "climb easier", "easier to climb", "easier climbing", "lowest gear", "easiest gear", "highest gear",
			"circumference", "wheel circumference", "rollout", "roll out", "speed sensor", "speedo", "speedometer", "bike computer", "wheel size for computer",
			"bb", "bb height", "bb drop", "lower bb", "bottom bracket", "bottom bracket height", "head angle", "seat angle", "slacken", "slackens", "slacker", "steeper", "angle", "angles", "geometry", "pedal strikes", "pedal strike",
			de("übersetzung", "entfaltung", "radumfang", "umfang", "abrollumfang", "radumfang", "tretlagerhöhe"), fr("développement", "circonférence"), es("desarrollo", "circunferencia"), it("sviluppo", "circonferenza")),
		Options:  []spec.Option{wasWheels, nowWheels, tyreOption, rim, ring, newRing, cog, newCog, cadence, wheelbase, chainstay, bbdrop, headangle},
		Follows:  []spec.Option{tyreOption},
		Wants:    []spec.Want{{Any: []spec.Option{wasWheels, nowWheels, tyreOption, ring}, Weight: 1}},
		Apart:    [][2][]spec.Option{{{tyreOption}, {wasWheels, nowWheels}}},
		Weight:   1.5,
		Telling:  0.7,
		Examples: []string{"32t ring 26x2.1 to 29x2.4", "29x2.4 mullet", "2.6 front slacker", "circumference 29x2.3", "29x2.4 32/51 development"},
		Run: func(_ context.Context, req spec.Request) (reply.Reply, error) {
			g := &gearingRun{req: req}
			return g.run()
		},
	}
}

// gearingExample is a line that works, shown with mistakes.
const gearingExample = "gearing 32t ring 26x2.1 to 29x2.4"

// ringsOfToday: rings are sold in even numbers. Common practice, no source.
const ringsOfToday = 2

// gearingRun is one run of the command.
type gearingRun struct {
	req      spec.Request
	out      reply.Reply
	gear     gearing.Gear
	was, now [2]size.Mark // front, rear
	before   gearing.Wheels
	after    gearing.Wheels
	geometry gearing.Geometry
}

func (g *gearingRun) run() (reply.Reply, error) {
	g.out.Title = "Gears and geometry"
	_, wasSaid := wasWheels.Of(g.req)
	_, nowSaid := nowWheels.Of(g.req)
	_, otherRing := newRing.Of(g.req)
	_, otherCog := newCog.Of(g.req)
	_, atSpeed := cadence.Of(g.req)
	if (otherRing || otherCog) && !wasSaid && (!nowSaid || atSpeed) {
		return g.gearAgainst()
	}
	if t, ok := tyreOption.Of(g.req); ok {
		return g.circumference(t)
	}
	_, hasRing := ring.Of(g.req)
	_, hasCog := cog.Of(g.req)
	if now, _ := nowWheels.Of(g.req); nowSaid && !wasSaid && (hasRing || hasCog) && now.Which == spec.Both && now.First.Width > 0 && now.First.Seat > 0 {
		return g.circumference(now) // "30t 10-52 on 29x2.4": the tyre it is driven on
	}
	if now, _ := nowWheels.Of(g.req); nowSaid && !wasSaid && hasRing && hasCog && now.Which == spec.Both && now.First.Width == 0 {
		name := strings.TrimSuffix(now.First.String(), "+")
		if width, ok := usualWidths[name]; ok { // "34t 10-51 on 29"
			g.out.Assume("tyre", width, "no width told, a usual one")
			return g.circumference(g.usual(name))
		}
	}
	switch {
	case wasSaid || nowSaid:
		if q, ok := g.wheels(); ok {
			return q, nil
		}
		return g.change()
	}
	return g.gearAlone()
}

// gearAlone answers where no tyre was named.
func (g *gearingRun) gearAlone() (reply.Reply, error) {
	_, hasRing := ring.Of(g.req)
	_, hasCog := cog.Of(g.req)
	if !hasRing && !hasCog {
		q := ask(g.req, nowWheels, "Which wheels or tyres change? As 26x2.1 to 29x2.4, mullet, or 2.6 front. For a speed sensor: circumference 29x2.3.", g.likely("29/27.5", "2.6 in front")...)
		q.Title = g.out.Title
		return q, nil
	}
	if err := g.settleGear(); err != nil {
		return reply.Reply{}, err
	}
	g.out.Assumed = nil // settled once more with the tyre
	g.out.Assume("tyre", usualWidths["29"], "none named, a usual one; the turns of the wheel hold for any")
	out, err := g.circumference(g.usual("29"))
	for _, name := range []string{"27.5", "700"} {
		set := spec.Set(g.req, tyreOption, g.usual(name))
		out.Actions = append(out.Actions, reply.Action{Label: "on " + usualWidths[name], Line: set.Line()})
	}
	out.Next = &reply.Next{Option: tyreOption.Name, Line: g.req.Line()}
	return out, err
}

// goesFurther says what a growth of every gear is to the legs.
func goesFurther(growth float64) string {
	return fmt.Sprintf("%s %% %s", quantity.Fixed(100*math.Abs(growth), 1), choose(growth > 0, "further: harder to push", "less far: easier to push"))
}

// leastLargest is the least largest cog of the cassettes of today. Common practice,
// no source.
const leastLargest gearing.Teeth = 42

// gearAgainst answers what another ring or cassette does on the same wheels.
func (g *gearingRun) gearAgainst() (reply.Reply, error) {
	if _, ok := ring.Of(g.req); !ok {
		q := ask(g.req, ring, "Which ring is on it now?", measure{Number: 30}, measure{Number: 32}, measure{Number: 34})
		q.Title = g.out.Title
		return q, nil
	}
	if err := g.settleGear(); err != nil {
		return reply.Reply{}, err
	}
	after := g.gear
	if m, ok := newRing.Of(g.req); ok {
		after.Ring = teethOf(m)
	}
	m, otherCog := newCog.Of(g.req)
	if otherCog {
		after.Cog = teethOf(m)
	}
	if err := after.Check(); err != nil {
		return reply.Reply{}, misfit("newring", gearingExample, err)
	}
	growth := after.Ratio()/g.gear.Ratio() - 1
	out := &g.out
	out.Lead = []string{"Every gear stays as it is: the same ring.", fmt.Sprintf("%s turns the wheel %s times for one of the crank.", g.gear, quantity.Fixed(g.gear.Ratio(), 2))}
	if growth != 0 {
		out.Lead[0] = fmt.Sprintf("A %d ring for the %d: every gear goes %s.", int(after.Ring), int(g.gear.Ring), goesFurther(growth))
		if growth > 0 {
			out.Lead[0] = fmt.Sprintf("A %d ring for the %d: every gear goes %s. The %d is %s %% easier than the %d.", int(after.Ring), int(g.gear.Ring), goesFurther(growth), int(g.gear.Ring), quantity.Fixed(100*(1-1/(1+growth)), 1), int(after.Ring))
		}
		out.Lead[1] = fmt.Sprintf("In the %d cog the wheel turns %s times for one of the crank, %s before.", int(g.gear.Cog), quantity.Fixed(after.Ratio(), 2), quantity.Fixed(g.gear.Ratio(), 2))
	}
	if otherCog {
		out.Lead[0] = fmt.Sprintf("%s is the same gear as %s.", after, g.gear)
		if growth != 0 {
			out.Lead[0] = fmt.Sprintf("%s against %s: it goes %s.", after, g.gear, goesFurther(growth))
		}
		out.Lead[1] = fmt.Sprintf("The wheel turns %s times for one of the crank, in the other %s.", quantity.Fixed(after.Ratio(), 2), quantity.Fixed(g.gear.Ratio(), 2))
	}
	out.Add("growth", growth, reply.One)
	table := reply.Table{Title: "Turns of the wheel for one of the crank", Head: []string{"cog", choose(otherCog, g.gear.Ring.String(), "was"), choose(otherCog, after.Ring.String(), "now")}}
	for _, c := range []gearing.Teeth{10, 24, 36, max(g.gear.Cog, leastLargest)} {
		table.Rows = append(table.Rows, reply.Row{Cells: []string{quantity.Count(int(c)), quantity.Fixed(gearing.Gear{Ring: g.gear.Ring, Cog: c}.Ratio(), 2), quantity.Fixed(gearing.Gear{Ring: after.Ring, Cog: c}.Ratio(), 2)}})
	}
	out.Tables = append(out.Tables, table)
	if c, ok := cadence.Of(g.req); ok {
		if err := g.speeds(gearing.Cadence(c.Number), after); err != nil {
			return g.refuse(err)
		}
	}
	geometric := basis.Basis{Kind: basis.Computed, Source: "ring over cog"}
	out.Step("growth", fmt.Sprintf("%s over %s − 1 = %s %%", after, g.gear, quantity.SignedFixed(100*growth, 1)), geometric)
	out.Note("Another ring may want another length of chain, and must suit crank and frame: see the makers' papers", practice("rings"))
	out.Actions = append(out.Actions, reply.Action{Label: "why", Line: "why"})
	return *out, nil
}

// settleGear fills ring and cog, with what is assumed said.
func (g *gearingRun) settleGear() error {
	g.gear = gearing.Gear{Ring: usualRing, Cog: middleCog} // any cog shows the share
	if m, ok := ring.Of(g.req); ok {
		g.gear.Ring = teethOf(m)
	} else {
		g.out.Assume("ring", g.gear.Ring.String(), "none named; the share holds for any")
	}
	if m, ok := cog.Of(g.req); ok {
		g.gear.Cog = teethOf(m)
	} else {
		g.out.Assume("cog", g.gear.Cog.String(), "none named; the ring holds for any")
	}
	if err := g.gear.Check(); err != nil {
		return misfit("ring", gearingExample, err)
	}
	return nil
}

// usualWidths are the widths taken for a wheel's name alone. Common practice,
// no source; said in the answer.
var usualWidths = map[string]string{
	"20": "20x2.0", "24": "24x2.1", "26": "26x2.1", "27.5": "27.5x2.4", "650B": "27.5x2.4", "29": "29x2.4", "27.5+": "27.5x2.8", "29+": "29x3.0",
	"28": "700x40", "700": "700x40", "700C": "700x40",
}

// usual returns the usual tyre of a wheel's name.
func (g *gearingRun) usual(name string) tyres {
	m, err := size.Parse(usualWidths[name])
	if err != nil {
		return tyres{}
	}
	return spec.OneFor(m)
}

// full completes a mark that lacks its width by the width of another tyre that
// was named with it, or by a usual one; and one that lacks its diameter by the
// diameter of what it replaces. ok is false if that can't be told.
func full(m size.Mark, like *size.Mark) (out size.Mark, assumed, ok bool) {
	switch {
	case m.Width > 0 && m.Seat != 0:
		return m, false, true
	case m.Width > 0 && len(m.Seats()) > 1:
		return m, false, false // 26x1 3/8: the mark itself must be asked for
	case m.Width > 0:
		if like != nil && like.Seat != 0 {
			name, _, _ := strings.Cut(like.Written, "x")
			if x, err := size.Parse(name + "x" + strings.TrimSuffix(m.Written, " in")); err == nil && x.Seat == like.Seat {
				return x, true, true
			}
			if x, err := size.Of(m.Width, like.Seat); err == nil {
				return x, true, true
			}
		}
		x, _, ok := complete(m)
		return x.mark, true, ok
	}
	if like != nil && like.Width > 0 {
		if slices.Contains(m.Seats(), like.Seat) {
			return *like, true, true // the same wheel: its tyre stays
		}
		_, width, inches := strings.Cut(like.Written, "x")
		if inches && !strings.Contains(m.Written, "+") {
			if x, err := size.Parse(strings.TrimSuffix(m.Written, "C") + "x" + width); err == nil && x.Seat != 0 {
				return x, true, true
			}
		}
	}
	x, err := size.Parse(usualWidths[m.Written])
	return x, true, err == nil
}

// wheels settles the tyres before and after, or asks.
func (g *gearingRun) wheels() (reply.Reply, bool) {
	was, wasSaid := wasWheels.Of(g.req)
	now, nowSaid := nowWheels.Of(g.req)
	if !nowSaid {
		text := "What is fitted instead?"
		q := ask(g.req, nowWheels, text, g.likely("29/27.5", "29", "27.5")...)
		q.Title = g.out.Title
		return q, true
	}
	usual29, err := size.Parse(usualWidths["29"])
	if err != nil {
		return reply.Reply{}, false
	}
	if !wasSaid {
		for i := range endNames {
			m, ok := ofEnd(now, i)
			if ok && m.Width > 0 && m.Seat != 0 && m.Seat != bigSeat && now.Which == spec.Both || ok && m == usual29 {
				q := ask(g.req, wasWheels, "Which tyre is on it now?", g.likely("29", "27.5", "26")...)
				q.Title = g.out.Title
				return q, true
			}
		}
		was = spec.OneFor(usual29)
		g.out.Assume("was", usual29.String(), "not said")
	}
	if wasSaid && mixedAlready(was, now) { // "mullet 29x2.5/27.5x2.5"
		now, was = was, spec.OneFor(was.First)
		g.out.Assume("was", was.First.String()+" at both ends", "mixed tyres were told with the word for them, taken as the new ones")
	}
	if now.Which == spec.Both && (was.Which == spec.FirstOnly || was.Which == spec.SecondOnly) {
		now.Which = was.Which // "2.4 rear to 2.6"
	}
	guessedWas, guessedNow := false, false
	for i := range endNames {
		m, ok := ofEnd(was, i)
		if !ok { // only the other end was named
			m = was.Any()
		}
		var like *size.Mark
		if n, ok := ofEnd(now, i); ok && m.Width > 0 && n.Seat != 0 {
			like = &n
		}
		x, guessed, ok := full(m, like)
		if !ok {
			return g.askMark(wasWheels, m), true
		}
		g.was[i], guessedWas = x, guessedWas || guessed
		m, changes := ofEnd(now, i)
		if !changes {
			g.now[i] = g.was[i]
			continue
		}
		like = &g.was[i]
		if wasWidth, ok := ofEnd(was, i); !ok || wasWidth.Width == 0 { // its width is a guess: not to be handed on
			like = nil
			if m.Width > 0 || slices.Contains(m.Seats(), g.was[i].Seat) {
				like = &g.was[i]
			}
		}
		if x, guessed, ok = full(m, like); !ok {
			return g.askMark(nowWheels, m), true
		}
		g.now[i], guessedNow = x, guessedNow || guessed
	}
	if guessedWas && wasSaid {
		g.out.Assume("was", pairText(g.was), "a usual one")
	}
	if guessedNow || now.Which == spec.FirstOnly || now.Which == spec.SecondOnly {
		g.out.Assume("now", pairText(g.now), "the rest as before, or usual")
	}
	return reply.Reply{}, false
}

// mixedAlready reports whether the tyres said to be there are the mixed ones
// that are to come, so that they can't be both.
func mixedAlready(was, now tyres) bool {
	if was.Which != spec.Each || now.Which != spec.Each || was.First.Seat == was.Second.Seat {
		return false
	}
	fits := func(wheel, tyre size.Mark) bool { return wheel.Width == 0 && slices.Contains(wheel.Seats(), tyre.Seat) }
	return fits(now.First, was.First) && fits(now.Second, was.Second)
}

// likely are answers to offer, as an option's values are written.
func (g *gearingRun) likely(texts ...string) []tyres {
	var all []tyres
	for _, text := range texts {
		if v, err := nowWheels.As.Parse(text); err == nil {
			all = append(all, v)
		}
	}
	return all
}

// askMark asks for a mark of which too little is known.
func (g *gearingRun) askMark(o *spec.Arg[tyres], m size.Mark) reply.Reply {
	text := "How wide is it, and for which wheel? The size stands on the sidewall, as 29x2.4 or 61-622."
	var likely []tyres
	if len(m.Seats()) > 1 {
		text = m.String() + " names " + quantity.Count(len(m.Seats())) + " diameters. Which five-digit mark, as 61-622, stands on the sidewall?"
		for _, seat := range m.Seats() {
			if x, err := size.Of(m.Width, seat); err == nil && len(likely) < 4 {
				likely = append(likely, spec.OneFor(x))
			}
		}
	}
	q := ask(g.req, o, text, likely...)
	q.Title = g.out.Title
	return q
}

// pairText writes the tyres of both ends.
func pairText(m [2]size.Mark) string {
	if m[0] == m[1] {
		return m[0].String()
	}
	return m[0].String() + "/" + m[1].String()
}

// mount puts a tyre on its rim: the one named where it is the tyre's, else the
// rim on which the label's own width is measured.
func (g *gearingRun) mount(m size.Mark, i int) (gearing.Wheel, error) {
	inner := tyre.MeasuringRim(m.Width)
	if r, ok := rim.Of(g.req); ok {
		if x, ok := ofEnd(r, i); ok && (x.Seat == 0 || x.Seat == m.Seat) {
			inner = x.Inner
		}
	}
	t, err := tyre.Mount(m.Width, m.Seat, inner)
	if err != nil {
		return gearing.Wheel{}, misfit("tyre", gearingExample, err)
	}
	return gearing.Wheel{Tyre: t}, nil
}

// settle mounts the tyres and fills the geometry.
func (g *gearingRun) settle() error {
	said := g.out.Assumed
	if err := g.settleGear(); err != nil {
		return err
	}
	if g.was[1] == g.now[1] {
		g.out.Assumed = said // no gear changes, none is shown
	}
	for i, end := range [2][2]*gearing.Wheel{{&g.before.Front, &g.after.Front}, {&g.before.Rear, &g.after.Rear}} {
		for j, m := range [2]size.Mark{g.was[i], g.now[i]} {
			w, err := g.mount(m, i)
			if err != nil {
				return err
			}
			*end[j] = w
		}
	}
	if _, ok := rim.Of(g.req); !ok {
		g.out.Assume("rim", "the label's measuring rim", "none named")
	}
	for _, x := range []struct {
		option *spec.Arg[measure]
		length *quantity.Length
		usual  quantity.Length
	}{{wheelbase, &g.geometry.Wheelbase, gearing.UsualWheelbase}, {chainstay, &g.geometry.Chainstay, gearing.UsualChainstay}, {bbdrop, &g.geometry.Drop, gearing.UsualDrop}} {
		if m, ok := x.option.Of(g.req); ok {
			*x.length = m.Length()
		} else if x.option != bbdrop {
			g.out.Assume(x.option.Name, millimetresText(x.usual, 0), "usual")
		}
	}
	if m, ok := headangle.Of(g.req); ok {
		g.geometry.HeadAngle = quantity.Angle(m.SI())
	}
	return nil
}

// changes says which ends get another diameter.
func (g *gearingRun) changes() (front, rear bool) { return g.was[0] != g.now[0], g.was[1] != g.now[1] }

// change answers what other wheels do.
func (g *gearingRun) change() (reply.Reply, error) {
	if err := g.settle(); err != nil {
		return reply.Reply{}, err
	}
	turned, err := gearing.Turn(g.before, g.after, g.geometry)
	if err != nil {
		return g.refuse(err)
	}
	restoring, err := gearing.Restore(g.gear, g.before.Rear, g.after.Rear)
	if err != nil {
		return g.refuse(err)
	}
	out := &g.out
	front, rear := g.changes()
	if !front && !rear {
		q := ask(g.req, nowWheels, "That is the same tyre before and after. What is fitted instead?", g.likely("29/27.5", "29", "27.5")...)
		q.Title, q.Assumed = out.Title, out.Assumed
		return q, nil
	}
	out.Facts.WorkedOn = true
	out.Facts.FitOutside = g.after.Front.Diameter() > g.before.Front.Diameter() || g.after.Rear.Diameter() > g.before.Rear.Diameter() || g.was[0].Seat != g.now[0].Seat || g.was[1].Seat != g.now[1].Seat

	out.Add("front.outside", float64(g.after.Front.Diameter()), reply.Metres)
	out.Add("rear.outside", float64(g.after.Rear.Diameter()), reply.Metres)
	out.Add("front.radius.delta", float64(turned.Front), reply.Metres)
	out.Add("rear.radius.delta", float64(turned.Rear), reply.Metres)
	g.turnedValues("", turned)
	if before := g.geometry.HeadAngle; before != 0 {
		out.Add("headangle", float64(before-turned.Angle), reply.Radians)
	}
	gears := g.gearLead(restoring)
	bike := g.bikeLead(turned)
	alone := g.alone(front, rear)
	if front && rear && g.was[0] == g.was[1] && g.now[0] == g.now[1] {
		if alone != nil {
			bike += fmt.Sprintf(" With the rear alone: %s.", g.turnText(*alone))
		}
		out.Lead = []string{gears, bike}
	} else {
		out.Lead = []string{bike}
		if rear {
			out.Lead = append(out.Lead, gears)
		} else {
			out.Lead = append(out.Lead, "The gears stay: the driven wheel is as before.")
		}
	}
	g.sizes(turned)
	if err := g.rolling(rear); err != nil {
		return g.refuse(err)
	}
	g.bikeTable(turned, front, rear)
	if rear {
		if err := g.rings(restoring); err != nil {
			return g.refuse(err)
		}
	}
	g.changeNotes(turned, restoring, rear)
	g.explainChange(turned, restoring, rear)
	g.next(front, rear)
	return *out, nil
}

func (g *gearingRun) turnedValues(prefix string, t gearing.Turned) {
	g.out.Add(prefix+"bb.delta", float64(t.Bracket), reply.Metres)
	g.out.Add(prefix+"angle.delta", float64(t.Angle), reply.Radians)
	g.out.Add(prefix+"wheelbase.delta", float64(t.Wheelbase), reply.Metres)
}

// level is below what is worth telling.
const (
	levelLength = 0.05 * quantity.Millimetre
	levelAngle  = 0.005 * quantity.Degree
)

// turnText writes what happens to bottom bracket and angles: "12.2 mm lower
// and 0.89° slacker".
func (g *gearingRun) turnText(t gearing.Turned) string {
	height := "the same height"
	if b := math.Abs(float64(t.Bracket)); b >= float64(levelLength) {
		height = quantity.Fixed(quantity.Length(b).MM(), 1) + " mm " + choose(t.Bracket < 0, "lower", "higher")
	}
	angle := "angles as before"
	if a := math.Abs(float64(t.Angle)); a >= float64(levelAngle) {
		angle = quantity.Fixed(quantity.Angle(a).In(quantity.Degree), 2) + "° " + choose(t.Angle > 0, "slacker", "steeper")
	}
	return height + " and " + angle
}

func choose(yes bool, a, b string) string {
	if yes {
		return a
	}
	return b
}

func (g *gearingRun) bikeLead(t gearing.Turned) string {
	text := "Bottom bracket, head and seat angle: " + g.turnText(t) + "."
	if before := g.geometry.HeadAngle; before != 0 {
		text += fmt.Sprintf(" Head angle %s becomes %s.", degrees(before), degrees(before-t.Angle))
	}
	return text
}

// gearLead tells what the driven wheel does to the gears.
func (g *gearingRun) gearLead(r gearing.Restoring) string {
	share := math.Abs(float64(r.Growth))
	if share < 0.0005 {
		return "The gears stay as they are."
	}
	best := g.evens(r)
	text := "Every gear goes " + goesFurther(float64(r.Growth)) + "."
	if m, ok := newRing.Of(g.req); ok {
		all := (1+float64(r.Growth))*m.Number/float64(g.gear.Ring) - 1
		return text + fmt.Sprintf(" With a %d ring for the %d it is %s in all.", int(m.Number), int(g.gear.Ring), goesFurther(all))
	}
	exact := quantity.Fixed(r.Ring, 1)
	switch {
	case len(best) == 0:
		return text + fmt.Sprintf(" A ring of %s would bring the old gears back; none is made.", exact)
	case best[0] == g.gear.Ring:
		return text + fmt.Sprintf(" The %d ring stays the nearest (%s exactly).", int(best[0]), exact)
	}
	return text + fmt.Sprintf(" A %d ring for the %d brings the old ones nearly back (%s exactly).", int(best[0]), int(g.gear.Ring), exact)
}

// evens are the even numbers about the exact ring, the nearer first.
func (g *gearingRun) evens(r gearing.Restoring) []gearing.Teeth {
	low := gearing.Teeth(math.Floor(r.Ring/ringsOfToday) * ringsOfToday)
	all := []gearing.Teeth{low, low + ringsOfToday}
	if r.Ring-float64(low) > ringsOfToday/2 {
		all[0], all[1] = all[1], all[0]
	}
	return slices.DeleteFunc(all, func(t gearing.Teeth) bool { return gearing.Gear{Ring: t, Cog: g.gear.Cog}.Check() != nil })
}

// alone is what the rear wheel alone would do, nil if it isn't asked for.
func (g *gearingRun) alone(front, rear bool) *gearing.Turned {
	if !front || !rear {
		return nil
	}
	var first *gearing.Turned
	for i, name := range []string{"rear.", "front."} {
		after := gearing.Wheels{Front: g.before.Front, Rear: g.after.Rear}
		if i == 1 {
			after = gearing.Wheels{Front: g.after.Front, Rear: g.before.Rear}
		}
		t, err := gearing.Turn(g.before, after, g.geometry)
		if err != nil {
			return nil
		}
		g.turnedValues(name, t)
		if i == 0 {
			first = &t
		}
	}
	return first
}

// sizes shows the wheels before and after.
func (g *gearingRun) sizes(t gearing.Turned) {
	table := reply.Table{Title: "Outside diameter, mm", Head: []string{"", "was", "now", "radius"}}
	for i, name := range endNames {
		before, after, delta := g.before.Front, g.after.Front, t.Front
		if i == 1 {
			before, after, delta = g.before.Rear, g.after.Rear, t.Rear
		}
		table.Rows = append(table.Rows, reply.Row{Cells: []string{title(name), quantity.Fixed(before.Diameter().MM(), 0), quantity.Fixed(after.Diameter().MM(), 0), signedMM(delta)}})
	}
	g.out.Tables = append(g.out.Tables, table)
}

// rolling shows the circumference before and after, of the rear wheel or of
// the only one that changes.
func (g *gearingRun) rolling(rear bool) error {
	i, before, after := 0, g.before.Front, g.after.Front
	if rear {
		i, before, after = 1, g.before.Rear, g.after.Rear
	}
	table := reply.Table{Title: title(endNames[i]) + " circumference, mm", Head: []string{"", "unloaded", "rolling"}}
	for j, x := range []struct {
		mark  size.Mark
		wheel gearing.Wheel
	}{{g.was[i], before}, {g.now[i], after}} {
		c, _, err := roll(x.mark, x.wheel)
		if err != nil {
			return err
		}
		g.out.Add(alternatives[j]+"circumference", float64(c.Unloaded), reply.Metres)
		g.out.Add(alternatives[j]+"rolling", float64(c.Rolling), reply.Metres)
		table.Rows = append(table.Rows, reply.Row{Cells: []string{x.mark.String(), quantity.Fixed(c.Unloaded.MM(), 0), quantity.Fixed(c.Rolling.MM(), 0)}})
	}
	g.out.Tables = append(g.out.Tables, table)
	return nil
}

// roll returns a wheel's circumference, rolling with its axle lowered as start
// pressures for trail riding lower it, and by how much that is.
func roll(m size.Mark, w gearing.Wheel) (gearing.Circumference, tyre.Share, error) {
	target, ok := tyre.TargetFor(tyre.Trail, m.Width)
	if !ok {
		return gearing.Circumference{}, 0, fmt.Errorf("no target for %s", m)
	}
	c, err := gearing.Circle(w, quantity.Length(float64(target.Drop))*w.Tyre.Height)
	return c, target.Drop, err
}

// bikeTable shows bottom bracket, angles and wheelbase for the change as it
// was asked for, and for either wheel alone.
func (g *gearingRun) bikeTable(t gearing.Turned, front, rear bool) {
	table := reply.Table{Title: "Bottom bracket, mm; + slacker", Head: []string{"", "bb", "angles", "wheelbase"}}
	add := func(name string, t gearing.Turned) {
		table.Rows = append(table.Rows, reply.Row{Cells: []string{name, signedMM(t.Bracket), signedAngle(t.Angle), signedMM(t.Wheelbase)}})
	}
	switch {
	case front && rear:
		add("both", t)
		for i, name := range []string{"rear only", "front only"} {
			after := gearing.Wheels{Front: g.before.Front, Rear: g.after.Rear}
			if i == 1 {
				after = gearing.Wheels{Front: g.after.Front, Rear: g.before.Rear}
			}
			if one, err := gearing.Turn(g.before, after, g.geometry); err == nil {
				add(name, one)
			}
		}
	case rear:
		add("rear only", t)
	default:
		add("front only", t)
	}
	g.out.Tables = append(g.out.Tables, table)
}

// rings shows a turn of the crank before, after, and with other rings.
func (g *gearingRun) rings(r gearing.Restoring) error {
	out := &g.out
	out.Add("growth", float64(r.Growth), reply.One)
	out.Add("ring", r.Ring, reply.One)
	out.Add("cog", r.Cog, reply.One)
	out.Add("a.development", float64(r.Before), reply.Metres)
	out.Add("b.development", float64(r.After), reply.Metres)
	table := reply.Table{Title: fmt.Sprintf("A turn of the crank, %d cog", int(g.gear.Cog)), Head: []string{"ring", "metres", "change"}}
	row := func(name string, d quantity.Length) {
		change := ""
		if d != r.Before {
			change = quantity.SignedFixed(100*(float64(d/r.Before)-1), 1) + " %"
		}
		table.Rows = append(table.Rows, reply.Row{Cells: []string{name, quantity.Fixed(float64(d), 2), change}})
	}
	row(quantity.Count(int(g.gear.Ring))+" was", r.Before)
	row(quantity.Count(int(g.gear.Ring))+" now", r.After)
	if m, ok := newRing.Of(g.req); ok {
		d, err := gearing.Development(gearing.Gear{Ring: teethOf(m), Cog: g.gear.Cog}, g.after.Rear)
		if err != nil {
			return err
		}
		row(quantity.Count(int(m.Number))+" then", d)
	}
	for i, t := range g.evens(r) {
		d, err := gearing.Development(gearing.Gear{Ring: t, Cog: g.gear.Cog}, g.after.Rear)
		if err != nil {
			return err
		}
		out.Add(alternatives[2+i]+"development", float64(d), reply.Metres)
		if m, _ := newRing.Of(g.req); t != g.gear.Ring && t != teethOf(m) {
			row(quantity.Count(int(t)), d)
		}
	}
	out.Tables = append(out.Tables, table)
	return nil
}

// signedMM writes a change of length in millimetres, none as 0.
func signedMM(l quantity.Length) string {
	if math.Abs(float64(l)) < float64(levelLength) {
		return "0"
	}
	return quantity.SignedFixed(l.MM(), 1)
}

// signedAngle writes a change of angle, none as 0°.
func signedAngle(a quantity.Angle) string {
	if math.Abs(float64(a)) < float64(levelAngle) {
		return "0°"
	}
	return quantity.SignedFixed(a.In(quantity.Degree), 2) + "°"
}

func (g *gearingRun) changeNotes(t gearing.Turned, r gearing.Restoring, rear bool) {
	out := &g.out
	if rear && len(r.Cogs) > 0 {
		text := fmt.Sprintf("Rings mostly come in even numbers. The old ring does it with other cogs: %s in place of %d", quantity.Fixed(r.Cog, 1), int(g.gear.Cog))
		if r.Growth > 0 {
			text += ", so a bigger cassette lets you keep more of the ring"
		}
		out.Note(text, practice(""))
	}
	out.Note("Outside diameters", gearing.DiameterBasis)
	out.Note("The frame turns about the rear axle until both wheels stand", gearing.AnglesBasis)
	if t.Bracket < -1*quantity.Millimetre {
		out.Note("Pedals strike sooner by as much as the bottom bracket falls; cranks 5 mm shorter give 5 mm of it back", practice(""))
	}
	if g.now[0].Seat != g.now[1].Seat {
		out.Note("It can be put back by a flip chip, a longer shock or a linkage made for it, within what the frame's maker allows; a longer shock may bring the tyre into the frame. Reports go up to about 20 mm for a downhill bike: other tyres, sag and length", practice("riders' reports"))
	}
	if g.after.Front.Diameter() > g.before.Front.Diameter()+levelLength || g.after.Rear.Diameter() > g.before.Rear.Diameter()+levelLength {
		out.Note("A bigger tyre must clear frame, fork crown and arch at full travel, and your toes: measure before you ride", practice(""))
	}
}

// next offers what is likely asked next.
func (g *gearingRun) next(front, rear bool) {
	add := func(label string, r spec.Request) {
		g.out.Actions = append(g.out.Actions, reply.Action{Label: label, Line: r.Line()})
	}
	if front && rear {
		only := tyres{First: g.now[1], Second: g.now[1], Which: spec.SecondOnly}
		if g.was[1] != g.now[1] && g.was[0] != g.now[0] {
			add("rear only", spec.Set(spec.Set(g.req, wasWheels, g.formerly()), nowWheels, only))
		}
	}
	if rear {
		add("circumference", spec.Set(spec.Request{Command: g.req.Command, Shown: g.req.Shown}, tyreOption, spec.OneFor(g.now[1])))
	}
	g.out.Actions = append(g.out.Actions, reply.Action{Label: "why", Line: "why"})
}

// formerly are the tyres before, as an option's value.
func (g *gearingRun) formerly() tyres {
	if g.was[0] == g.was[1] {
		return spec.OneFor(g.was[0])
	}
	return tyres{First: g.was[0], Second: g.was[1], Which: spec.Each}
}

// explainChange adds the sums to what why tells.
func (g *gearingRun) explainChange(t gearing.Turned, r gearing.Restoring, rear bool) {
	g.out.Explain = func(out *reply.Reply) {
		mm := func(l quantity.Length) string { return quantity.Fixed(l.MM(), 2) }
		for i, name := range endNames {
			before, after, delta := g.before.Front, g.after.Front, t.Front
			if i == 1 {
				before, after, delta = g.before.Rear, g.after.Rear, t.Rear
			}
			out.Step(title(name)+" radius", fmt.Sprintf("(%s − %s) / 2 = %s mm", mm(after.Diameter()), mm(before.Diameter()), quantity.SignedFixed(delta.MM(), 2)), gearing.DiameterBasis)
		}
		stay, drop := t.Geometry.Chainstay, t.Geometry.Drop
		x := quantity.Length(math.Sqrt(float64(stay*stay - drop*drop)))
		out.Step("Bottom bracket ahead of the rear axle", fmt.Sprintf("√(%s² − %s²) = %s mm", mm(stay), mm(drop), mm(x)), gearing.AnglesBasis)
		out.Step("Bottom bracket", fmt.Sprintf("near %s × (1 − %s/%s) + %s × %s/%s; exactly %s mm", quantity.SignedFixed(t.Rear.MM(), 2), mm(x), mm(t.Geometry.Wheelbase), quantity.SignedFixed(t.Front.MM(), 2), mm(x), mm(t.Geometry.Wheelbase), quantity.SignedFixed(t.Bracket.MM(), 2)), gearing.AnglesBasis)
		out.Step("Angles", fmt.Sprintf("near (%s − %s)/%s; exactly %s°", quantity.SignedFixed(t.Front.MM(), 2), quantity.SignedFixed(t.Rear.MM(), 2), mm(t.Geometry.Wheelbase), quantity.SignedFixed(t.Angle.In(quantity.Degree), 3)), gearing.AnglesBasis)
		if rear {
			out.Step("Ring", fmt.Sprintf("%d × %s / %s = %s", int(g.gear.Ring), mm(g.before.Rear.Diameter()), mm(g.after.Rear.Diameter()), quantity.Fixed(r.Ring, 2)), gearing.DiameterBasis)
			out.Step("A turn of the crank", fmt.Sprintf("%d/%d × π × %s mm = %s m", int(g.gear.Ring), int(g.gear.Cog), mm(g.after.Rear.Diameter()), quantity.Fixed(float64(r.After), 3)), gearing.DiameterBasis)
		}
	}
}

// circumference answers for one tyre, or one at each end: what a speed sensor
// is set to, and how far a gear goes.
func (g *gearingRun) circumference(said tyres) (reply.Reply, error) {
	out := &g.out
	out.Title = "Circumference"
	table := reply.Table{Title: "Circumference, mm", Head: []string{"", "unloaded", "rolling", "±"}}
	_, hasRing := ring.Of(g.req)
	_, hasCog := cog.Of(g.req)
	turning, atSpeed := cadence.Of(g.req)
	if hasRing || hasCog || atSpeed {
		if err := g.settleGear(); err != nil {
			return reply.Reply{}, err
		}
	}
	var leads []string
	same := said.Which == spec.Both || said.First == said.Second
	var driven gearing.Wheel
	var rolling quantity.Length
	for i, name := range endNames {
		m, ok := ofEnd(said, i)
		if !ok || i == 1 && same && said.Which != spec.SecondOnly {
			continue
		}
		x, guessed, ok := full(m, nil)
		geared := hasRing || hasCog || atSpeed // a width more or less is then 1 to 2 %
		if !ok || m.Width == 0 && !geared {    // the width counts for more than what it would be guessed by
			q := askTyre(g.req, m)
			q.Title = out.Title
			return q, nil
		}
		if guessed {
			out.Assume("tyre", x.String(), choose(m.Width == 0, "a usual width; another is 1 to 2 % more or less", "a usual one"))
		}
		w, err := g.mount(x, i)
		if err != nil {
			return reply.Reply{}, err
		}
		driven = w
		c, share, err := roll(x, w)
		if err != nil {
			return g.refuse(err)
		}
		rolling = c.Rolling
		prefix := ""
		if !same {
			prefix = name + "."
		}
		out.Add(prefix+"circumference", float64(c.Unloaded), reply.Metres)
		out.Add(prefix+"rolling", float64(c.Rolling), reply.Metres)
		for j := range 2 {
			v := &out.Values[len(out.Values)-1-j]
			v.Low, v.High = v.Value-float64(c.Band), v.Value+float64(c.Band)
		}
		out.Add(prefix+"outside", float64(w.Diameter()), reply.Metres)
		label := x.String()
		if !same {
			label = name + " " + label
		}
		leads = append(leads, fmt.Sprintf("%s: %s mm unloaded, %s mm rolling under a rider", label, quantity.Fixed(c.Unloaded.MM(), 0), quantity.Fixed(c.Rolling.MM(), 0)))
		table.Rows = append(table.Rows, reply.Row{Cells: []string{x.String(), quantity.Fixed(c.Unloaded.MM(), 0), quantity.Fixed(c.Rolling.MM(), 0), quantity.Fixed(c.Band.MM(), 0)}})
		before := out.Explain
		out.Explain = func(r *reply.Reply) {
			if before != nil {
				before(r)
			}
			r.Step(x.String()+", unloaded", fmt.Sprintf("π × %s mm = %s mm", quantity.Fixed(w.Diameter().MM(), 2), quantity.Fixed(c.Unloaded.MM(), 1)), gearing.DiameterBasis)
			r.Step(x.String()+", axle lowered", fmt.Sprintf("%s × %s mm = %s mm", quantity.Trimmed(float64(share), 3), quantity.Fixed(w.Tyre.Height.MM(), 2), quantity.Fixed(c.Drop.MM(), 2)), tyre.TargetBasis)
			r.Step(x.String()+", rolling", fmt.Sprintf("2π R sin φ/φ, cos φ = 1 − %s/%s: %s mm", quantity.Fixed(c.Drop.MM(), 2), quantity.Fixed(w.Diameter().MM()/2, 2), quantity.Fixed(c.Rolling.MM(), 1)), gearing.CircumferenceBasis)
		}
	}
	if _, ok := rim.Of(g.req); !ok {
		out.Assume("rim", "the label's measuring rim", "none named")
	}
	out.Lead = []string{title(strings.Join(leads, "; ")) + ".", "Set the sensor to the rolling one; a roll-out with you on the bike is best."}
	out.Tables = append(out.Tables, table)
	if hasRing || hasCog {
		d, err := gearing.Development(g.gear, driven)
		if err != nil {
			return g.refuse(err)
		}
		out.Add("development", float64(d), reply.Metres)
		out.Title = "Gear"
		out.Lead = []string{
			fmt.Sprintf("%s: the wheel turns %s times for one of the crank, %s m or %s gear inches.", g.gear, quantity.Fixed(g.gear.Ratio(), 2), quantity.Fixed(float64(d), 2), quantity.Fixed(gearing.Inches(d).In(quantity.Inch), 0)),
			strings.TrimSuffix(out.Lead[0], ".") + ": for a sensor the rolling one.",
		}
		if text := g.climbs(rolling); text != "" && !atSpeed {
			out.Note(out.Lead[1], gearing.CircumferenceBasis)
			out.Note("Which gear is enough for whom depends on the rider", practice("what a gear is good for"))
			out.Lead[1] = text
		}
	}
	if atSpeed {
		if err := g.speed(gearing.Cadence(turning.Number), rolling); err != nil {
			return g.refuse(err)
		}
	}
	out.Note("Outside diameter", gearing.DiameterBasis)
	out.Note("Rolling at the drop that start pressures for trail riding give: the tread lays its own length down, so the loaded radius alone would say too little", gearing.CircumferenceBasis)
	out.Note("A roll-out comes to about 1 % less than unloaded", practice(""))
	if first := said.Any(); first.Seat == bigSeat && math.Abs(first.Width.MM()-2.3*25.4) < 0.05 {
		out.Note("A table in a much-read thread says 2326 mm for 29x2.3", basis.Basis{Kind: basis.Article, Source: "riders' forum"})
	}
	out.Actions = append(out.Actions, reply.Action{Label: "why", Line: "why"})
	return *out, nil
}

// Ratios of ring to cog up to which a gear is for steep climbs, and for climbs. Common
// practice, no source.
const steepRatio, climbRatio = 0.62, 0.8

// slowTurning is how slowly a crank is turned on a steep climb. Common practice, no
// source.
const slowTurning gearing.Cadence = 60

// climbs says what a low gear is good for, empty if it is none.
func (g *gearingRun) climbs(rolling quantity.Length) string {
	v, err := gearing.Speed(slowTurning, g.gear, rolling)
	if err != nil || g.gear.Ratio() > climbRatio {
		return ""
	}
	pace := fmt.Sprintf("%s km/h at %s", quantity.Fixed(v*3.6, 1), slowTurning)
	smaller := fmt.Sprintf("a ring two teeth smaller is %s %% easier", quantity.Fixed(200/float64(g.gear.Ring), 0))
	if g.gear.Ratio() <= steepRatio {
		return fmt.Sprintf("Enough for most on steep climbs: %s, about as easy as bikes are geared; %s.", pace, smaller)
	}
	return fmt.Sprintf("Fine for most climbs: %s. For long steep ones %s.", pace, smaller)
}

// mph is a mile per hour in metres per second, exact: a mile is 1609.344 m.
const mph = 0.44704

// speed tells how fast the gear and others of the same ring go.
func (g *gearingRun) speed(c gearing.Cadence, rolling quantity.Length) error {
	out := &g.out
	v, err := gearing.Speed(c, g.gear, rolling)
	if err != nil {
		return err
	}
	kmh := func(v float64) string { return quantity.Fixed(v*3.6, 1) }
	_, hasCog := cog.Of(g.req)
	out.Title = "Speed"
	out.Lead = []string{fmt.Sprintf("%s at %s: %s km/h (%s mph).", g.gear, c, kmh(v), quantity.Fixed(v/mph, 1)),
		fmt.Sprintf("The tyre rolls %s m a turn, the wheel turns %s times for one of the crank.", quantity.Fixed(float64(rolling), 2), quantity.Fixed(g.gear.Ratio(), 2))}
	out.Add("speed", v, reply.MetresPerS)
	cogs := []gearing.Teeth{10, 11, 15, 24, middleCog, usualCog}
	if hasCog && !slices.Contains(cogs, g.gear.Cog) {
		cogs = append(cogs, g.gear.Cog)
		slices.Sort(cogs)
	}
	table := reply.Table{Title: fmt.Sprintf("Speed at %s with the %d ring", c, int(g.gear.Ring)), Head: []string{"cog", "km/h", "mph"}}
	for _, x := range cogs {
		v, err := gearing.Speed(c, gearing.Gear{Ring: g.gear.Ring, Cog: x}, rolling)
		if err != nil {
			return err
		}
		table.Rows = append(table.Rows, reply.Row{Cells: []string{quantity.Count(int(x)), kmh(v), quantity.Fixed(v/mph, 1)}})
	}
	out.Tables = append([]reply.Table{table}, out.Tables...)
	out.Step("speed", fmt.Sprintf("%s / 60 × %s × %s m = %s m/s", quantity.Trimmed(float64(c), 0), quantity.Fixed(g.gear.Ratio(), 4), quantity.Fixed(float64(rolling), 3), quantity.Fixed(v, 2)), basis.Basis{Kind: basis.Computed, Source: "turns times way"})
	return nil
}

// speeds tells how fast two gears go at a cadence.
func (g *gearingRun) speeds(c gearing.Cadence, other gearing.Gear) error {
	m, _ := size.Parse(usualWidths["29"])
	for _, o := range []*spec.Arg[tyres]{nowWheels, tyreOption} {
		if said, ok := o.Of(g.req); ok {
			m = said.Any()
		}
	}
	m, guessed, ok := full(m, nil)
	if !ok {
		return nil
	}
	_, told := tyreOption.Of(g.req)
	_, on := nowWheels.Of(g.req)
	if guessed || !told && !on {
		g.out.Assume("tyre", m.String(), "a usual one; the share holds for any")
	}
	w, err := g.mount(m, 1)
	if err != nil {
		return err
	}
	circle, _, err := roll(m, w)
	if err != nil {
		return err
	}
	a, err := gearing.Speed(c, g.gear, circle.Rolling)
	if err != nil {
		return err
	}
	b, err := gearing.Speed(c, other, circle.Rolling)
	if err != nil {
		return err
	}
	kmh := func(v float64) string { return quantity.Fixed(v*3.6, 1) }
	g.out.Lead[1] = fmt.Sprintf("At %s: %s km/h in %s, %s in %s.", c, kmh(a), g.gear, kmh(b), other)
	g.out.Add("a.speed", a, reply.MetresPerS)
	g.out.Add("b.speed", b, reply.MetresPerS)
	return nil
}

// refuse turns a model's refusal into the asker's mistake.
func (g *gearingRun) refuse(err error) (reply.Reply, error) {
	return reply.Reply{}, misfit("", gearingExample, err)
}
