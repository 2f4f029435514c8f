package commands

import (
	"context"
	"fmt"
	"math"
	"slices"
	"strconv"
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

func init() { add(trueCommand) }

// trueCommand coaches somebody who trues a wheel: from what was read to what to
// turn, round after round. What was read and turned before is in the request.
func trueCommand(Deps) *spec.Command {
	return &spec.Command{
		Name:    "true",
		Summary: "Coach truing: from wobble, hop, dish and tension read off the wheel to the nipples to turn",
		Because: "What a turn of each nipple does to the rim, added up until wobble and hop are least",
		Words: w("truing", "trueing", "true the wheel", "true a wheel", "true my wheel", "how many turns", "straighten", "out of true", "buckled wheel", "wheel wobbles", "rim wobbles", "out to the left", "out to the right", "off to the left", "off to the right", "goes to the left", "goes to the right", "which way do i pull", "how far off", "dish tool", "dishing tool", "dish the wheel", "redish", "which spokes", "what spokes", "which nipple", "which spokes do i tighten", "which spoke do i tighten", "which side do i tighten", "what do i tighten", "which ones do i tighten", "do i tighten", "to tighten", "tighten", "loosen",
			de("zentrieren", "seitenschlag", "höhenschlag"), fr("dévoiler", "dévoilage", "centrer la roue"), es("centrar la rueda", "centrar rueda"), it("centrare la ruota", "centratura")),
		Options:  append([]spec.Option{side, hop, dish, aside, readings, unit, meter, earlier}, wheelOptions...),
		Wants:    []spec.Want{{Any: []spec.Option{side, hop, dish, aside, readings, earlier}, Weight: 0.8}},
		Weight:   0.3,
		Suits:    holdsAny(side, hop, dish, aside, earlier),
		Examples: []string{"true wobble 0.8 right at 5, 0.6 left at 12", "dish tool 3mm gap left side", "how many turns for 1mm wobble"},
		Run: func(_ context.Context, req spec.Request) (reply.Reply, error) {
			t := &trueRun{stand: stand{req: req, example: trueExample}}
			return t.run()
		},
	}
}

// trueExample is a line that works, shown with mistakes.
const trueExample = "true wobble 0.8 right at 5, 0.6 left at 12"

// trueRun is one run of the command.
type trueRun struct {
	stand
	rounds []wheel.Round
}

func (t *trueRun) run() (reply.Reply, error) {
	t.out.Title = "Truing"
	s, sideways := side.Of(t.req)
	h, hops := hop.Of(t.req)
	_, gap := dish.Of(t.req)
	_, over := aside.Of(t.req)
	off := gap || over
	_, pulled := readings.Of(t.req)
	if !sideways && !hops && !off && !(pulled && earlier.Or(t.req, "") != "") {
		return t.askReadings(), nil
	}
	if d, _ := aside.Of(t.req); gap && over {
		return reply.Reply{}, spec.Misuse("aside", "true rim sits 2 mm right", "the gap under the gauge and how far the rim stands off the middle tell the same: want one of them")
	} else if over && d.Which == spec.Each {
		return reply.Reply{}, spec.Misuse("aside", "true rim sits 2 mm right", "the rim can't stand off the middle to both sides: want one, as 2 mm right")
	}
	t.out.Facts.Spokes, t.out.Facts.WorkedOn = true, true
	for _, o := range []struct {
		option *spec.Arg[[]read.Spot]
		spots  []read.Spot
	}{{side, s}, {hop, h}} {
		if q, ok := t.bent(o.option, o.spots); ok {
			return q, nil
		}
	}
	s, h = t.samePlace(side, s), t.samePlace(hop, h)
	switch {
	case sideways && len(s) == 1 && s[0].Spoke == 0 && !hops && !off:
		return t.thumb(s[0].Off)
	case hops && len(h) == 1 && h[0].Spoke == 0 && !sideways:
		return t.anyHop(h[0].Off), nil
	case sideways && s[0].Spoke == 0:
		return t.whereIs(side.Name, "wobble"), nil
	case off && !sideways && !hops && !pulled:
		return t.dished()
	}
	return t.coach()
}

// mostTrued is how far a rim may stand off for nipples to bring it back: what
// stands further is bent, or a decimal point is missing. Common practice, no
// source: builders true some millimetres.
const mostTrued = 8 * quantity.Millimetre

// bent answers readings that no nipple mends.
func (t *trueRun) bent(o *spec.Arg[[]read.Spot], spots []read.Spot) (reply.Reply, bool) {
	i := slices.IndexFunc(spots, func(s read.Spot) bool { return max(s.Off, -s.Off) > mostTrued })
	if i < 0 {
		return reply.Reply{}, false
	}
	off := max(spots[i].Off, -spots[i].Off)
	tenths := slices.Clone(spots)
	for k, s := range tenths {
		if max(s.Off, -s.Off) > mostTrued {
			tenths[k].Off /= 10
		}
	}
	q := ask(t.req, o, fmt.Sprintf("%s is more than nipples bring back: such a rim is bent. Or was %s meant?", off.Short(), (off/10).Short()), tenths)
	q.Refused, q.Facts = true, reply.Facts{Spokes: true, WorkedOn: true, Struck: true}
	q.Note("A bent rim is not pulled straight by tension: it stays uneven and fails later. Let a wheel builder look, or replace it", practice("bent rims"))
	return q, true
}

// askReadings asks for what can't be done without.
func (t *trueRun) askReadings() reply.Reply {
	q := ask(t.req, side, "How far does the rim stand off, to which side, at which spoke? Count from the valve: 0.8 right at 5, 0.6 left at 12. Or a number for every spoke, right positive.")
	q.Note("Spoke 1 is the first behind the valve as the wheel rolls, one of the right side on most rims; else add: first left. Hop as: hop 0.5 out at 9; tension as: L 62 60 … R 104 99 …; dish as: dish 3 mm left", practice("truing"))
	q.Note("Count twice round: the smallest set of turns depends on it", practice("truing"))
	return q
}

// samePlace gives a reading without a place that of the round before, where it
// had a single one: "now 0.7 right" of a wobble at 7.
func (t *trueRun) samePlace(o *spec.Arg[[]read.Spot], spots []read.Spot) []read.Spot {
	before := earlier.Or(t.req, "")
	if len(spots) != 1 || spots[0].Spoke != 0 || before == "" {
		return spots
	}
	rounds := strings.Split(before, strings.TrimSpace(betweenRounds))
	for part := range strings.SplitSeq(rounds[len(rounds)-1], strings.TrimSpace(betweenParts)) {
		name, value, _ := strings.Cut(strings.TrimSpace(part), " ")
		if name != o.Name {
			continue
		}
		last, err := o.As.Parse(value)
		if err != nil || len(last) != 1 || last[0].Spoke == 0 {
			return spots
		}
		at := []read.Spot{{Spoke: last[0].Spoke, Off: spots[0].Off}}
		t.req = spec.Set(t.req, o, at)
		t.out.Assume(o.Name, o.As.Text(at), "no place said, taken where it was the last time")
		return at
	}
	return spots
}

// whereIs asks for the place of a reading.
func (t *trueRun) whereIs(option, what string) reply.Reply {
	text := "At which spoke is the " + what + ", counted from the valve? As: 0.8 mm right at 5."
	if option == hop.Name {
		text = "At which spoke is the hop, counted from the valve? As: 0.6 mm out at 9."
	}
	return reply.Reply{Ask: &reply.Ask{Option: option, Text: text}, Lead: []string{text}}
}

// anyHop tells what a hop takes that is not said where, and asks for the place.
func (t *trueRun) anyHop(off quantity.Length) reply.Reply {
	q := t.whereIs(hop.Name, "hop")
	way := "A high place, out from the middle: tighten the two left and two right spokes there alike. A low one: loosen them."
	if off < 0 {
		way = "A low place: loosen the two left and two right spokes there alike."
	}
	q.Lead = []string{howBad(off, "hop", "see that rim and tyre are not at fault, then true it") + " " + way + " A quarter turn each, look, again; as much left as right keeps it straight.", q.Ask.Text}
	q.Facts = reply.Facts{Spokes: true, WorkedOn: true}
	q.Note("First see that it is the rim, not the tyre: look at the rim's edge. A hop by tension at one place leaves that place tighter than the rest: stop where tension differs by more than a tenth", practice("truing"))
	q.Note("Up and down 0.5 mm is what repairs aim at, 0.1 to 0.3 mm hand building", wheel.LimitsBasis)
	return q
}

// howBad judges how far a rim stands off somewhere. Bands: common practice, no source,
// but for what repairs and hand builds aim at (wheel.LimitsBasis).
func howBad(off quantity.Length, what, far string) string {
	const fine, mostRideable, most = 0.5 * quantity.Millimetre, 1 * quantity.Millimetre, 2 * quantity.Millimetre
	off = max(off, -off)
	switch {
	case off <= fine:
		return fmt.Sprintf("%s of %s is fine: a repair aims at 0.5 mm, a new wheel at 0.3.", off.Short(), what)
	case off <= mostRideable:
		return fmt.Sprintf("%s of %s can be ridden; it is too much for a new wheel, which aims at 0.3 mm.", off.Short(), what)
	case off <= most:
		return fmt.Sprintf("%s of %s is felt: true it before the next hard ride.", off.Short(), what)
	}
	return fmt.Sprintf("%s of %s is a lot: %s before you ride.", off.Short(), what, far)
}

// thumbRims are the rims between which rules of thumb are reckoned, as what a
// nipple does goes by how stiff the rim is sideways: a wide generic one and a
// narrow one that was measured.
func thumbRims() ([2]wheel.Estimate, error) {
	wide, err := wheel.Profile{Inner: usualInner}.Estimate()
	return [2]wheel.Estimate{wide, {Section: wheel.Measured(), Centroid: wide.Centroid}}, err
}

// thumb tells how many turns a wobble takes that is not said where.
func (t *trueRun) thumb(off quantity.Length) (reply.Reply, error) {
	off = max(off, -off)
	if err := t.settle(0); err != nil {
		return reply.Reply{}, err
	}
	var one, pull, whole [2][2]float64 // by rim, by side: m and N a turn
	rims, err := thumbRims()
	if err != nil {
		return reply.Reply{}, err
	}
	for k, e := range rims {
		m, err := t.modelOn(e, wheel.UnknownMark)
		if err != nil {
			return reply.Reply{}, err
		}
		r := m.Response()
		for i, sd := range build.Sides {
			at := t.of[sd][0]
			one[k][i] = math.Abs(float64(r.Shift(at, at).Right))
			pull[k][i] = float64(r.Tension(at, at))
			for _, j := range t.of[sd] {
				whole[k][i] += float64(r.Shift(at, j).Right)
			}
			whole[k][i] = math.Abs(whole[k][i])
		}
	}
	t.out.Step("What a turn does", fmt.Sprintf("a ring on %s spokes solved for each nipple, on a generic rim of %s inside and on a narrow one that was measured", quantity.Count(len(t.placed)), usualInner.Short()), wheel.CoachBasis)
	t.out.Step("Turns", fmt.Sprintf("%s over what one nipple moves, over %s spokes", off.Short(), quantity.Count(aroundWobble)), practice("truing"))
	low := float64(off) / max(one[1][0], one[1][1]) / aroundWobble
	high := float64(off) / min(one[0][0], one[0][1]) / aroundWobble
	each := eighthText(low)
	if h := eighthText(high); h != each {
		each += " to " + h
	}
	t.out.Add("turns.each", (low+high)/2, reply.One)
	v := &t.out.Values[len(t.out.Values)-1]
	v.Low, v.High = low, high
	t.out.Lead = []string{
		fmt.Sprintf("%s of wobble: about %s of a turn on each of the four spokes around it.", off.Short(), each),
		"Off to the right: tighten the two left ones, loosen the two right ones; off to the left the other way. ¼ at a time, look, again.",
	}
	t.out.Note(strings.TrimSuffix(howBad(off, "wobble", "see that the rim is not bent, then true it"), "."), practice("bands"))
	table := reply.Table{Title: "One turn, wide to narrow rim", Head: []string{"of", "left", "right"}}
	cells := func(name string, v [2][2]float64, scale float64, digits int, u string) {
		row := reply.Row{Cells: []string{name}}
		for i := range 2 {
			a, b := quantity.Fixed(v[0][i]*scale, digits), quantity.Fixed(v[1][i]*scale, digits)
			if a != b {
				a += "–" + b
			}
			row.Cells = append(row.Cells, a+u)
		}
		table.Rows = append(table.Rows, row)
	}
	cells("a nipple, rim there", one, 1000, 1, " mm")
	cells("a side, whole rim", whole, 1000, 1, " mm")
	t.out.Tables = append(t.out.Tables, table)
	t.out.Note(fmt.Sprintf("A turn is 0.45 mm of thread, and gives its own spoke about %s to %s", kgf(quantity.Force(min(pull[0][0], pull[1][0], pull[0][1], pull[1][1]))), kgf(quantity.Force(max(pull[0][0], pull[1][0], pull[0][1], pull[1][1])))), wheel.CoachBasis)
	t.out.Note("The narrow rim is one that was measured: E·I 111 and 219 N·m², G·J 26 N·m²", basis.Basis{Kind: basis.Paper, Source: "Ford, dissertation, Northwestern University 2018"})
	t.out.Note("An opposite pair, one ¼ tighter and its neighbour ¼ looser, moves the rim sideways and makes no hop; mostly it takes two such", practice("truing"))
	t.limits()
	t.out.Actions = append(t.out.Actions, reply.Action{Label: "which nipples? tell where", Line: `true side:"0.8 mm right at 5, 0.6 mm left at 12"`})
	return t.out, nil
}

// aroundWobble is how many spokes share a wobble. Common practice, no source.
const aroundWobble = 4

// eighthText writes turns rounded to eighths.
func eighthText(turns float64) string {
	e := max(1, int(math.Round(math.Abs(turns)*8)))
	if e < len(eighthNames) {
		return eighthNames[e]
	}
	return quantity.Fixed(math.Abs(turns), 1)
}

// limits says how good is good.
func (t *trueRun) limits() {
	t.out.Note("Sideways 0.1–0.3 mm is a good hand build, 0.5 mm a repair; tension ± 10 % a side", wheel.LimitsBasis)
}

// offMiddle is how far the rim stands off the middle, as told or by half of a gap,
// and to which side if that is known.
func (t *trueRun) offMiddle() (off quantity.Length, to build.Side, told bool) {
	if d, ok := aside.Of(t.req); ok {
		switch d.Which {
		case spec.FirstOnly:
			return d.First.Length(), build.Left, true
		case spec.SecondOnly:
			return d.Second.Length(), build.Right, true
		}
		return d.First.Length(), build.NoSide, true
	}
	off, to = t.halfGap()
	return off, to, false
}

// halfGap is how far the rim stands off the middle by a gap, and to which side
// if that is known.
func (t *trueRun) halfGap() (off quantity.Length, to build.Side) {
	d, _ := dish.Of(t.req)
	switch d.Which {
	case spec.FirstOnly:
		return d.First.Length() / 2, build.Left
	case spec.SecondOnly:
		return d.Second.Length() / 2, build.Right
	case spec.Each:
		off = (d.First.Length() - d.Second.Length()) / 2
		return max(off, -off), build.NoSide
	}
	return d.First.Length() / 2, build.NoSide
}

// dished tells how far the rim stands off the middle and what brings it back.
func (t *trueRun) dished() (reply.Reply, error) {
	if err := t.settle(0); err != nil {
		return reply.Reply{}, err
	}
	off, to, told := t.offMiddle()
	signed := float64(off)
	if to == build.Left {
		signed = -signed
	}
	t.out.Add("dish", signed, reply.Metres)
	if off == 0 {
		t.out.Lead = []string{"No gap: the rim stands in the middle. Nothing to turn."}
		t.out.Facts = reply.Facts{}
		return t.out, nil
	}
	var turns [2]float64
	if !told {
		t.out.Step("Off the middle", "half of the gap: "+off.Short(), practice("dishing"))
	}
	for i, sd := range build.Sides {
		each := spoke.SensitivityOf(&t.wheel, t.placed, sd).Offset
		turns[i] = spoke.Turns(quantity.Length(float64(off) * each))
		t.out.Step(title(sd.String())+" spokes", fmt.Sprintf("%s × %s mm of spoke for 1 mm sideways, over 0.4536 mm a turn = %s turn", off.Short(), quantity.Fixed(each, 3), quantity.Fixed(turns[i], 2)), spoke.LengthBasis)
	}
	switch {
	case told && to == build.NoSide:
		t.out.Lead = []string{
			fmt.Sprintf("%s off the middle: tighten all nipples of the side away from it, loosen all of the side it is nearer to.", off.Short()),
			"¼ turn at most at a time, all round alike, then look again.",
		}
	case told:
		t.out.Lead = []string{
			fmt.Sprintf("Tighten the %s, loosen the %s: the rim stands %s too far to the %s.", to.Other(), to, off.Short(), to),
			"All nipples of a side alike, ¼ turn at most at a time, then look again.",
		}
	case to == build.NoSide:
		d, _ := dish.Of(t.req)
		big := quantity.Length(math.Max(float64(d.First.Length()), float64(d.Second.Length())))
		t.out.Lead = []string{
			fmt.Sprintf("The rim is %s off the middle: half of what the gaps differ by.", off.Short()),
			"Gap between gauge and axle face: it stands towards the side of the " + big.Short() + " gap. Gap between rim and a pointer, or the same stay both ways round: away from it. Tighten the side it must go to.",
		}
		if d.Which == spec.Both {
			t.out.Lead[0] = fmt.Sprintf("The rim is %s off the middle: half the gap.", off.Short())
		}
	default:
		t.out.Lead = []string{
			fmt.Sprintf("The rim stands %s too far to the %s: half the gap. Pull it to the %s.", off.Short(), to, to.Other()),
			fmt.Sprintf("All %s nipples tighter, all %s ones looser; %s at most at a time, and look again.", to.Other(), to, "¼"),
		}
		if !told {
			t.out.Lead[0] += " (The gap at the axle face; under a foot, at the rim, it is the other way round.)"
		}
	}
	if to != build.NoSide {
		table := reply.Table{Head: []string{"side", "turn in all"}}
		for i, sd := range build.Sides {
			way := "tighter"
			if sd == to {
				way = "looser"
			}
			table.Rows = append(table.Rows, reply.Row{Cells: []string{title(sd.String()), quantity.Fixed(turns[i], 2) + " " + way}})
			v := turns[i]
			if sd == to {
				v = -v
			}
			t.out.Add("turns."+sd.String(), v, reply.One)
		}
		t.out.Tables = append(t.out.Tables, table)
		if told {
			t.out.Note("As told it is how far the rim is off, not the gap of a gauge: that is twice as much", practice("dishing"))
			return t.dishedOn()
		}
		t.out.Note(fmt.Sprintf("The gap is taken to be between the gauge's finger and the axle face on the %s, its feet on the rim. Is it at the rim, the other way round", to), assumption("dishing gauge"))
		t.out.Drawing = dishDrawing(to)
	} else {
		t.out.Note(fmt.Sprintf("In all %s turn a nipple on the left and %s on the right, one side tighter, the other looser: so ¼ all round at a time, and look again", quantity.Fixed(turns[0], 2), quantity.Fixed(turns[1], 2)), wheel.CoachBasis)
	}
	return t.dishedOn()
}

// dishedOn ends an answer about dish.
func (t *trueRun) dishedOn() (reply.Reply, error) {
	t.out.Note("The looser side first if tension is high: so no spoke goes past the rim's mark on the way", practice("truing"))
	t.out.Note("A pure shift of the rim, from the flange offsets; a thread of 56 an inch", spoke.LengthBasis)
	t.out.Actions = append(t.out.Actions, reply.Action{Label: "with wobble and tension too", Line: "true"})
	return t.out, nil
}

// dishDrawing shows where the gap is: the gauge's feet on the rim, its finger
// over the axle face.
func dishDrawing(to build.Side) []string {
	return []string{
		"rim                        rim",
		" |__________________________|  gauge",
		"             |  finger",
		"             :  <- the gap",
		"          =======  axle face, " + to.String(),
	}
}

// coach plans what to turn.
func (t *trueRun) coach() (reply.Reply, error) {
	count, err := t.countOf()
	if err != nil {
		return reply.Reply{}, err
	}
	if err := t.settle(count); err != nil {
		return reply.Reply{}, err
	}
	now, q, err := t.readings(t.req)
	if q != nil || err != nil {
		if q != nil {
			return *q, nil
		}
		return reply.Reply{}, err
	}
	if t.rounds, err = t.earlierRounds(); err != nil {
		return reply.Reply{}, err
	}
	m, err := t.model(t.tighter(now))
	if err != nil {
		return reply.Reply{}, err
	}
	c, err := wheel.NewCoach(m, wheel.Aim{Mark: t.wheel.Rim.TensionMark})
	if err != nil {
		return reply.Reply{}, t.refuse(err)
	}
	p, err := c.Plan(now, t.rounds...)
	if err != nil {
		return reply.Reply{}, t.refuse(err)
	}
	t.tell(p, now)
	return t.out, nil
}

// countOf tells by a full row of readings how many spokes the wheel has.
func (t *trueRun) countOf() (int, error) {
	n := 0
	for _, o := range []*spec.Arg[[]read.Spot]{side, hop} {
		if v, ok := o.Of(t.req); ok && len(v) >= leastHoles && v[len(v)-1].Spoke == len(v) {
			n = max(n, len(v))
		}
	}
	if row, ok := readings.Of(t.req); ok {
		k, err := t.rowCount(row)
		if err != nil {
			return 0, misfit("readings", t.example, err)
		}
		if k > 0 && n > 0 && k != n {
			return 0, spec.Misuse("readings", t.example, "%s places and %s tensions: want one of each for every spoke, or say how many spokes there are", quantity.Count(n), quantity.Count(k))
		}
		n = max(n, k)
	}
	return n, nil
}

// readings are what a request holds, for the coach.
func (t *trueRun) readings(r spec.Request) (now wheel.Readings, q *reply.Reply, err error) {
	spots := func(v []read.Spot) (all []wheel.Spot) {
		told := make(map[int]bool)
		for _, s := range v {
			if s.Spoke > len(t.placed) || told[s.Spoke] {
				err = misfit("side", t.example, &wheel.ReadingError{What: "reading", Hole: s.Spoke - 1, Spokes: len(t.placed), Twice: told[s.Spoke]})
			}
			told[s.Spoke] = true
			all = append(all, wheel.Spot{Hole: t.hole(s.Spoke), Off: s.Off})
		}
		return all
	}
	if v, ok := side.Of(r); ok {
		now.Right = t.between(spots(v))
	}
	if v, ok := hop.Of(r); ok {
		now.Outward = t.between(spots(v))
	}
	if err != nil {
		return now, nil, err
	}
	_, gap := dish.Of(r)
	if _, over := aside.Of(r); gap || over {
		keep := t.req
		t.req = r
		off, to, _ := t.offMiddle()
		t.req = keep
		if to == build.NoSide && off != 0 && over {
			a := ask(t.req, aside, "To which side does the rim stand off the middle? As: 2 mm right.")
			return now, &a, nil
		}
		if to == build.NoSide && off != 0 {
			a := ask(t.req, dish, "On which side is the gap between gauge and axle face? As: 3 mm left.")
			return now, &a, nil
		}
		if to == build.Left {
			off = -off
		}
		now.Dish = &off
	}
	if row, ok := readings.Of(r); ok {
		force, ask, err := t.forces(row)
		if ask != nil || err != nil {
			return now, ask, err
		}
		if err := t.fits(row); err != nil {
			return now, nil, err
		}
		now.Tension = t.pulls(row, force)
	}
	return now, nil, nil
}

// bump is how far a wobble reaches either way of its highest place, in shares
// of the rim. Common practice, no source.
const bump = 1.0 / 6

// between fills the places about those that were read, where only the worst were:
// a rim does not stand off at one spoke alone. Nearer ones rule.
func (t *trueRun) between(read []wheel.Spot) []wheel.Spot {
	n := len(t.placed)
	if len(read) > n/3 {
		return read
	}
	if !slices.ContainsFunc(t.out.Assumed, func(i reply.Item) bool { return i.Option == "between" }) {
		t.out.Assume("between", "smooth", "between the places you told the rim is taken to come back evenly within "+quantity.Count(int(bump*float64(n)))+" spokes; read every spoke for finer turns")
	}
	off, share := make([]float64, n), make([]float64, n)
	for _, s := range read {
		for i := range n {
			d := math.Abs(float64(i - s.Hole))
			if d = min(d, float64(n)-d) / (bump * float64(n)); d < 1 {
				if w := (1 + math.Cos(math.Pi*d)) / 2; w > share[i] {
					share[i], off[i] = w, w*float64(s.Off)
				}
			}
		}
	}
	all := make([]wheel.Spot, 0, n)
	for i := range n {
		if share[i] > 0 {
			all = append(all, wheel.Spot{Hole: i, Off: quantity.Length(off[i])})
		}
	}
	return all
}

// tighter is the mean tension of the tighter side, as read now or before, else
// what is planned with.
func (t *trueRun) tighter(now wheel.Readings) quantity.Force {
	list := now.Tension
	for i := len(t.rounds) - 1; len(list) == 0 && i >= 0; i-- {
		list = t.rounds[i].Readings.Tension
	}
	var sum, count [2]float64
	for _, p := range list {
		s := t.placed[p.Hole].Side
		sum[s] += float64(p.Force)
		count[s]++
	}
	top := 0.0
	for s := range sum {
		if count[s] > 0 {
			top = max(top, sum[s]/count[s])
		}
	}
	if top == 0 {
		return wheel.UnknownMark
	}
	return quantity.Force(top)
}

// The signs between and in rounds that were before.
const (
	betweenRounds = " // "
	betweenParts  = " & "
	mostRounds    = 3 // kept
	mostEarlier   = 1400
)

// earlierRounds reads the rounds before.
func (t *trueRun) earlierRounds() ([]wheel.Round, error) {
	text, ok := earlier.Of(t.req)
	if !ok {
		return nil, nil
	}
	wrong := func() error {
		return spec.Misuse("earlier", t.example, "earlier: want it as the last answer wrote it; leave it out to begin anew")
	}
	var rounds []wheel.Round
	for one := range strings.SplitSeq(text, strings.TrimSpace(betweenRounds)) {
		r := spec.Request{Command: t.req.Command}
		for _, o := range []spec.Option{unit, meter} {
			if g, ok := t.req.Get(o.About().Name); ok {
				r = r.With(g)
			}
		}
		var round wheel.Round
		for part := range strings.SplitSeq(one, strings.TrimSpace(betweenParts)) {
			name, value, _ := strings.Cut(strings.TrimSpace(part), " ")
			if name == "turns" {
				turns, ok := parseTurns(value)
				if !ok {
					return nil, wrong()
				}
				for i := range turns {
					turns[i].Hole = t.hole(turns[i].Hole + 1)
				}
				round.Turns = turns
				continue
			}
			o, ok := t.req.Command.Option(name)
			if !ok || name == "earlier" {
				return nil, wrong()
			}
			v, err := o.Parse(value)
			if err != nil {
				return nil, wrong()
			}
			r = r.With(spec.Given{Option: o, Value: v})
		}
		assumed := len(t.out.Assumed)
		notes := len(t.out.Notes)
		now, q, err := t.readings(r)
		t.out.Assumed, t.out.Notes = t.out.Assumed[:assumed], t.out.Notes[:notes]
		if q != nil || err != nil {
			return nil, wrong()
		}
		round.Readings = now
		rounds = append(rounds, round)
	}
	return rounds, nil
}

// parseTurns reads "5-2 7+1": spoke and eighths.
func parseTurns(text string) (turns []wheel.Turn, ok bool) {
	for f := range strings.FieldsSeq(text) {
		at := strings.IndexAny(f, "+-")
		if at < 1 {
			return nil, false
		}
		n, err := strconv.Atoi(f[:at])
		e, err2 := strconv.Atoi(f[at:])
		if err != nil || err2 != nil || n < 1 || n > 96 || e < -wheel.MostTurn || e > wheel.MostTurn {
			return nil, false
		}
		turns = append(turns, wheel.Turn{Hole: n - 1, Eighths: e})
	}
	return turns, true
}

// thisRound writes what was read now and is turned next, behind the rounds before.
func (t *trueRun) thisRound(p wheel.Plan) string {
	var parts []string
	for _, o := range []spec.Option{side, hop, dish, readings} {
		if g, ok := t.req.Get(o.About().Name); ok {
			parts = append(parts, o.About().Name+" "+o.Text(g.Value))
		}
	}
	var turns strings.Builder
	for i, x := range p.Turns {
		if i > 0 {
			turns.WriteByte(' ')
		}
		turns.WriteString(quantity.Count(t.number(x.Hole)))
		if x.Eighths > 0 {
			turns.WriteByte('+')
		}
		turns.WriteString(quantity.Count(x.Eighths))
	}
	parts = append(parts, "turns "+turns.String())
	text := strings.Join(parts, betweenParts)
	if before, ok := earlier.Of(t.req); ok {
		text = before + betweenRounds + text
	}
	rounds := strings.Split(text, betweenRounds)
	for len(rounds) > mostRounds || len(rounds) > 1 && len(strings.Join(rounds, betweenRounds)) > mostEarlier {
		rounds = rounds[1:]
	}
	return strings.Join(rounds, betweenRounds)
}

// tell writes the answer.
func (t *trueRun) tell(p wheel.Plan, now wheel.Readings) {
	hasForce := p.Now.Highest > 0
	t.out.Add("wobble", float64(p.Now.Side), reply.Metres)
	if len(now.Outward) > 0 {
		t.out.Add("hop", float64(p.Now.Hop), reply.Metres)
	}
	if hasForce {
		t.out.Add("spread", max(p.Now.Spread[0], p.Now.Spread[1]), reply.One)
	}
	stands := func(s wheel.Standing) string {
		parts := []string{quantity.Fixed(s.Side.MM(), 1) + " mm sideways"}
		if len(now.Outward) > 0 {
			parts = append(parts, quantity.Fixed(s.Hop.MM(), 1)+" mm of hop")
		}
		if hasForce {
			parts = append(parts, "tension ± "+quantity.Percent(max(s.Spread[0], s.Spread[1])))
		}
		return strings.Join(parts, ", ")
	}
	round := quantity.Count(len(t.rounds) + 1)
	t.out.Step("What a turn does", fmt.Sprintf("a ring on %s spokes solved for each nipple, on a generic rim of %s inside", quantity.Count(len(t.placed)), usualInner.Short()), wheel.CoachBasis)
	t.out.Step("Turns", fmt.Sprintf("in eighths, at most ¾, those that leave least of wobble, hop and spread over, each in parts of its aim; no spoke past %s", kgfDown(p.Mark)), wheel.LimitsBasis)
	if len(t.rounds) > 0 {
		t.out.Step("What the rounds before did", fmt.Sprintf("measured over reckoned: %s sideways, %s in tension", quantity.Percent(p.Scale[0]), quantity.Percent(p.Scale[2])), wheel.CoachBasis)
	}
	switch {
	case p.State == wheel.Inside:
		t.out.Lead = []string{"Inside: " + stands(p.Now) + ". Stop here.", "Stress-relieve, spin once more, and check it after the first rides."}
	case len(p.Turns) == 0 && hasForce && p.Now.Highest > fullFrom*p.Mark:
		limit := "the rim's mark"
		if t.wheel.Rim.TensionMark == 0 {
			limit = kgfDown(p.Mark) + ", which holds while the rim's mark is not known"
		}
		t.out.Lead = []string{
			"It stands at " + stands(p.Now) + ", and nothing can be tightened: tension is at " + limit + ".",
			"Loosen every nipple by ⅛ and read again; or tell the rim's mark, as: mark 120 kgf.",
		}
	case len(p.Turns) == 0:
		t.out.Lead = []string{"It stands at " + stands(p.Now) + ", and no turn of an eighth brings it closer.", "Stop here, or look at the rim: a bend is not trued out by nipples."}
	default:
		t.out.Lead = []string{
			fmt.Sprintf("Round %s: turn %s, then read again.", round, nipples(len(p.Turns))),
			fmt.Sprintf("Now %s; expected after: %s.", stands(p.Now), stands(p.After)),
		}
		t.turnTable(p)
		next := t.req
		next.Given = nil
		for _, g := range t.req.Given {
			switch g.Option {
			case side, hop, dish, readings, earlier:
			default:
				next.Given = append(next.Given, g)
			}
		}
		if _, ok := holes.Of(t.req); !ok {
			next = spec.Set(next, holes, counts{spec.OneFor(len(t.placed))})
		}
		next = spec.Set(next, earlier, t.thisRound(p))
		t.out.Next = &reply.Next{Option: side.Name, Line: next.Line()}
		t.out.Note("Turned? Type the new readings just so: I go on from here and correct my picture of the wheel by what it did", wheel.CoachBasis)
	}
	if !p.Both && p.State != wheel.Inside {
		t.out.Note(fmt.Sprintf("True and even can't both be had: the rim is bent. Even, it would stand %s off; true, tension would spread ± %s. Keep it true within ± 20 %%, or replace the rim", quantity.Fixed(p.IfEven.MM(), 1)+" mm", quantity.Percent(p.IfTrue)), wheel.CoachBasis)
	}
	if len(p.Above) > 0 {
		text := fmt.Sprintf("Above %s: spokes", kgfDown(p.Mark))
		for i, h := range p.Above {
			if i == 8 {
				text += " and more"
				break
			}
			text += " " + quantity.Count(t.number(h))
		}
		t.out.Note(text+". They are only loosened", practice("the rim's mark"))
	}
	if !hasForce && len(p.Turns) > 0 {
		t.out.Note("Without tension readings it comes true, but tension stays uneven, and I can't hold it to the rim's mark: tighten no more than you loosen", practice("truing"))
	} else if hasForce && t.wheel.Rim.TensionMark == 0 {
		t.out.Note("The rim's tension mark is not known: nothing is tightened past 100 kgf (981 N); less if the rim says so", practice("usual levels 100–120 kgf where the rim allows it"))
	}
	if len(t.rounds) > 0 && math.Abs(p.Scale[0]-1) > 0.05 {
		t.out.Note(fmt.Sprintf("Your wheel answers %s of what a generic one does: reckoned in", quantity.Percent(p.Scale[0])), wheel.CoachBasis)
	}
	t.limits()
}

// fullFrom is the part of the mark from which the tightest spoke leaves no room
// to tighten: what the coach keeps for meter and nipple, and an eighth of a turn.
const fullFrom = 0.94

func nipples(n int) string {
	if n == 1 {
		return "1 nipple"
	}
	return quantity.Count(n) + " nipples"
}

// turnTable lists the turns in the order in which to do them.
func (t *trueRun) turnTable(p wheel.Plan) {
	table := reply.Table{Title: "In this order, spokes from the valve", Head: []string{"", "spoke", "turn"}}
	for i, x := range p.Turns {
		table.Rows = append(table.Rows, reply.Row{Cells: []string{quantity.Count(i + 1), t.nameOf(x.Hole), turnText(x.Eighths)}})
		t.out.Add("turns."+quantity.Count(t.number(x.Hole)), float64(x.Eighths)/8, reply.One)
	}
	t.out.Tables = append(t.out.Tables, table)
	if b, ok := begins.Of(t.req); ok {
		t.out.Note("Spoke 1 is the first behind the valve as the wheel rolls, a "+b+" one as you said", practice("counting spokes"))
		return
	}
	t.out.Note("Spoke 1 is the first behind the valve as the wheel rolls, one of the right side; if yours begins left, say: first left", basis.Basis{Kind: basis.Assumption, Says: "most rims"})
	t.out.Actions = append(t.out.Actions, reply.Action{Label: "mine begins left", Line: spec.Set(t.req, begins, "left").Line()})
}
