package commands

import (
	"context"
	"errors"
	"fmt"
	"math"
	"slices"
	"strings"

	"spokeword/calc/build"
	"spokeword/calc/lace"
	"spokeword/calc/quantity"
	"spokeword/calc/spoke"
	"spokeword/calc/wheel"
	"spokeword/commands/read"
	"spokeword/commands/reply"
	"spokeword/commands/spec"
)

func init() { add(tensionCommand) }

// tensionCommand tells what tension a wheel should have and judges what was read.
func tensionCommand(Deps) *spec.Command {
	return &spec.Command{
		Name:    "tension",
		Summary: "Tell what tension each side should have, judge readings and say what to turn, and turn a tone into a force",
		Because: "Both sides pull the rim sideways alike: the flatter a side's spokes, the more tension",
		Words: w("spoke tension", "tensions", "tension balance", "what should the other side be", "tension of the other side", "other side tension", "non drive be", "nds be", "how tight", "even out", "good enuf", "even enough", "tensiometer", "tension meter", "spoke meter", "kgf", "newton", "newtons",
			de("speichenspannung", "spannung", "spannungen"), fr("tension des rayons", "tensions"), es("tensión de los radios", "tensión de radios"), it("tensione dei raggi", "tensione raggi")),
		Options:  append([]spec.Option{readings, unit, meter, tone, level, length}, wheelOptions...),
		Wants:    []spec.Want{{Any: []spec.Option{readings, tone, level, offset}, Weight: 0.8}},
		Apart:    [][2][]spec.Option{{{tone}, {readings}}},
		Weight:   0.3,
		Suits:    holdsAny(readings, tone, level, mark, meter),
		Examples: []string{"112 95 118 104 121 99 115 108", "tension 36/21 58 erd 600 32h 3x mark 120 kgf", "L 21 20 22 19 R 25 24 26 25 on the meter", "440 hz 1.8 spoke 280 mm"},
		Run: func(_ context.Context, req spec.Request) (reply.Reply, error) {
			t := &tensionRun{stand{req: req, example: tensionExample}}
			return t.run()
		},
	}
}

// tensionExample is a line that works, shown with mistakes.
const tensionExample = "tension 112 95 118 104 121 99 115 108"

// tensionRun is one run of the command.
type tensionRun struct{ stand }

func (t *tensionRun) run() (reply.Reply, error) {
	t.out.Title = "Spoke tension"
	t.out.Facts.Spokes = true
	if row, ok := readings.Of(t.req); ok {
		return t.judge(row)
	}
	if row, ok := tone.Of(t.req); ok {
		return t.tones(row)
	}
	return t.geometry()
}

// geometry tells what the flanges dictate.
func (t *tensionRun) geometry() (reply.Reply, error) {
	if _, ok := offset.Of(t.req); !ok {
		if m, ok := level.Of(t.req); ok && m.Which == spec.Each {
			return t.balanced(m), nil
		} else if ok && m.Which != spec.Both {
			return t.estimated(m), nil
		}
		q := ask(t.req, offset, "How far is each flange from the middle of the hub, left/right? As 36/21 mm. Or type the readings, one for each spoke.", []measures{flangesOf(usualOffset)}, []measures{flangesOf(usualFrontDisc)})
		if levels := t.levels(); levels != nil {
			q.Lead, q.Facts = append(levels, q.Lead...), t.out.Facts
		}
		q.Note("The flanges decide how left and right compare, the rim's mark how high both may be. Usual is 100–120 kgf on the tighter side where the rim allows it, and at least 60 on the other", practice("levels"))
		return q, nil
	}
	if err := t.settle(0); err != nil {
		return reply.Reply{}, err
	}
	ratio, err := spoke.Ratio(t.placed)
	if err != nil {
		return reply.Reply{}, misfit("offset", t.example, err)
	}
	if q, swapped := t.swapped(ratio); swapped {
		return q, nil
	}
	top, marked := t.ceiling()
	left, right := spoke.Tensions(top, ratio)
	each := [2]quantity.Force{left, right}
	tight := spoke.Tighter(ratio)
	share := ratio
	if tight == build.Left {
		share = 1 / ratio
	}
	t.out.Lead = []string{
		fmt.Sprintf("At most %s left, %s right: the %s side is the tighter one.", kgfDown(left), kgfDown(right), tight),
		fmt.Sprintf("The %s side comes to %s of it, whatever you do with the nipples: the flanges decide.", tight.Other(), quantity.Percent(share)),
	}
	if !marked {
		t.out.Lead[0] = fmt.Sprintf("Plan for at most %s left, %s right until you know the rim's mark.", kgfDown(left), kgfDown(right))
	}
	table := reply.Table{Head: []string{"side", "spokes", "at most"}}
	for _, side := range build.Sides {
		f := each[side]
		t.out.Add(side.String()+".tension", float64(f), reply.Newtons)
		table.Rows = append(table.Rows, reply.Row{Cells: []string{title(side.String()), quantity.Count(len(t.of[side])), kgfDown(f)}})
	}
	if m, ok := level.Of(t.req); ok {
		t.asTheyAre(m, ratio, tight, &table)
	}
	t.out.Add("tension.ratio", ratio, reply.One)
	t.out.Tables = append(t.out.Tables, table)
	t.out.Step("Left over right", fmt.Sprintf("%s × sin %s right over %s × sin %s left = %s", quantity.Count(len(t.of[1])), t.bracing(build.Right), quantity.Count(len(t.of[0])), t.bracing(build.Left), quantity.Fixed(ratio, 3)), spoke.RatioBasis)
	t.out.Step("Ceiling", fmt.Sprintf("%s for the tighter side; %s of it for the other", kgfDown(top), quantity.Percent(share)), practice("the rim's mark binds the tightest spoke"))
	t.out.Note("Left over right "+quantity.Fixed(ratio, 2)+": sideways the two sides hold each other", spoke.RatioBasis)
	if slack := each[tight.Other()]; slack < 60*quantity.KilogramForce {
		t.out.Note(fmt.Sprintf("%s is little for the %s side: its spokes go slack first. A rim with its holes off centre, 2:1 or thinner spokes there help", kgfDown(slack), tight.Other()), practice("at least 60 kgf on the looser side"))
	}
	t.whenMounted(marked)
	t.markAction(marked)
	return t.out, nil
}

// levels tells how tight the two sides usually are, where one end of the bike or the
// rim's mark was told but no flanges.
func (t *tensionRun) levels() []string {
	top, marked := mark.Of(t.req)
	e, ended := end.Of(t.req)
	if b, _ := brake.Of(t.req); !marked && !ended || e == "front" && b == "rim" {
		return nil // without a disc a front wheel has no tight side
	}
	at, tight, wheel := build.Rear, build.Right, "Rear: the drive side"
	if e == "front" {
		at, tight, wheel = build.Front, build.Left, "Front with a disc: the disc side"
	}
	low, high := 100*quantity.KilogramForce, 120*quantity.KilogramForce
	says := "100 to 120 kgf is usual where the rim allows it, 100 at most while its mark is not known"
	if marked {
		high = min(high, top.Force())
		low = min(low, 0.9*high)
		says = fmt.Sprintf("%s to %s, no spoke over the mark of %s", quantity.Fixed(low.In(quantity.KilogramForce), 0), kgfDown(high), kgfDown(top.Force()))
	} else {
		high = low
	}
	usual := usualShares[at]
	return []string{
		fmt.Sprintf("%s is the tight one: %s.", wheel, says),
		fmt.Sprintf("The %s side follows with %s to %s %% of it, %s to %s kgf, as the flanges say.", tight.Other(), quantity.Fixed(100*usual.low, 0), quantity.Fixed(100*usual.high, 0),
			quantity.Fixed(low.In(quantity.KilogramForce)*usual.low, 0), quantity.Fixed(high.In(quantity.KilogramForce)*usual.high, 0)),
	}
}

// What the looser side usually has of the tighter one's tension: a dished rear
// wheel with a cassette from 52 to 68 %, a front wheel with a disc from 65 to
// 85 %. Computed from usual flanges (36/21 mm gives 58 %, 24/34 mm 71 %), and
// common practice.
var usualShares = map[build.End]struct{ low, high float64 }{build.Rear: {0.50, 0.70}, build.Front: {0.62, 0.88}}

// alike is from which share on both sides pull the same, as read with a meter.
// Common practice, no source.
const alike = 0.95

// estimated tells about what the other side has, where one side's tension is told
// and the flanges are not known.
func (t *tensionRun) estimated(m measures) reply.Reply {
	at, tight := build.Rear, build.Right
	if e, _ := end.Of(t.req); e == "front" {
		at, tight = build.Front, build.Left
	} else if e == "" {
		t.out.Assume("wheel", "rear", "not told which")
	}
	told := build.Left
	if m.Which == spec.SecondOnly {
		told = build.Right
	}
	f, usual := m.Any().Force(), usualShares[at]
	low, high := float64(f)*usual.low, float64(f)*usual.high
	if told != tight {
		low, high = float64(f)/usual.high, float64(f)/usual.low
	}
	whole := func(v float64) string { return quantity.Fixed(quantity.Force(v).In(quantity.KilogramForce), 0) }
	name := choose(at == build.Front, "a front wheel with a disc", "a dished rear wheel")
	t.out.Lead = []string{
		fmt.Sprintf("With the %s side at %s kgf the %s comes to about %s to %s kgf.", told, whole(float64(f)), told.Other(), whole(low), whole(high)),
		fmt.Sprintf("The flanges decide: the %s side has %s to %s %% of the %s on %s. With yours the figure is exact.", tight.Other(), quantity.Fixed(100*usual.low, 0), quantity.Fixed(100*usual.high, 0), tight, name),
	}
	t.out.Add(told.Other().String()+".tension.least", low, reply.Newtons)
	t.out.Add(told.Other().String()+".tension.most", high, reply.Newtons)
	t.out.Note("Usual shares of dished wheels; the rim's mark sets how high the tighter side may be: plan for at most 100 kgf until you know it", practice("shares"))
	flanges := usualOffset
	if at == build.Front {
		flanges = usualFrontDisc
	}
	t.out.Actions = append(t.out.Actions, reply.Action{Label: "exactly, on flanges of " + flangesText(flanges), Line: spec.Set(t.req, offset, []measures{flangesOf(flanges)}).Line()})
	return t.out
}

// balanced judges the tensions of both sides where the flanges are not known.
func (t *tensionRun) balanced(m measures) reply.Reply {
	left, right := m.First.Force(), m.Second.Force()
	whole := func(f quantity.Force) string { return quantity.Fixed(f.In(quantity.KilogramForce), 0) + " kgf" }
	tight, loose, side := right, left, build.Right
	if left > right {
		tight, loose, side = left, right, build.Left
	}
	wheelEnd, named := end.Of(t.req)
	at := build.Rear
	if wheelEnd == "front" || !named && side == build.Left {
		at = build.Front
	}
	if !named {
		t.out.Assume("wheel", choose(at == build.Front, "front with a disc", "rear"), choose(at == build.Front, "the left side is the tighter one", "the right side is the tighter one"))
	}
	share, usual := float64(loose/tight), usualShares[at]
	percent := func(v float64) string { return quantity.Fixed(100*v, 0) }
	name := choose(at == build.Front, "a front wheel with a disc", "a dished rear wheel")
	band := fmt.Sprintf("%s to %s %% is usual for %s.", percent(usual.low), percent(usual.high), name)
	what := fmt.Sprintf("%s at %s is %s %% of the %s at %s", side.Other(), whole(loose), percent(share), side, whole(tight))
	stops, _ := brake.Of(t.req)
	switch {
	case at == build.Front && share >= alike && stops != "disc":
		t.out.Lead = []string{"Yes, for a front wheel without a disc: left and right are alike there.", fmt.Sprintf("With a disc the right is %s to %s %% of the left.", percent(usual.low), percent(usual.high))}
	case at == build.Front && stops == "rim":
		t.out.Lead = []string{"Not usual: " + what + ".", "On a front wheel without a disc both sides are alike. Check the dish, then the meter."}
	case share < alike && (at == build.Rear && side == build.Left || at == build.Front && side == build.Right):
		t.out.Lead = []string{"That looks the wrong way round: " + what + ".", fmt.Sprintf("On %s the %s side is the tighter one. Check dish, and which side was read.", name, side.Other())}
	case share < usual.low:
		t.out.Lead = []string{"Not usual: " + what + ".", band + " Check the dish, then the meter."}
	case share > usual.high:
		t.out.Lead = []string{"More even than usual: " + what + ".", band + " Rims with holes off centre, 2:1 and wide hubs come to more; else check the dish."}
	default:
		t.out.Lead = []string{"Yes, that is usual: " + what + ".", band}
	}
	t.out.Add("tension.ratio", float64(left/right), reply.One)
	top, marked := quantity.Force(wheel.UnknownMark), false
	if said, ok := mark.Of(t.req); ok {
		top, marked = said.Force(), true
	}
	switch {
	case marked && tight > top:
		t.out.Lead[1] = fmt.Sprintf("%s is above the rim's mark of %s: take it down, all round and a little at a time.", whole(tight), kgfDown(top))
	case !marked && tight > top:
		t.out.Note(fmt.Sprintf("%s on the tighter side only if the rim's mark allows it: usual is 100–120 kgf. Read the mark first", whole(tight)), practice("the mark binds the tightest spoke"))
	}
	if loose < 60*quantity.KilogramForce {
		t.out.Note(fmt.Sprintf("%s is little for the looser side: its spokes go slack first under a hit", whole(loose)), practice("at least 60 kgf on the looser side"))
	}
	t.out.Note("The flanges decide the share: type their offsets, as 36/21 mm, and it is computed for this hub", spoke.RatioBasis)
	t.out.Note("Both are means of a side; single spokes within 10 % of it are good", practice("evenness"))
	ask := spec.Set(t.req, offset, []measures{flangesOf(usualOffset)})
	t.out.Actions = append(t.out.Actions, reply.Action{Label: "with flanges of 36/21 mm", Line: ask.Line()})
	t.markAction(marked)
	return t.out
}

// swapped asks where the drive side's tension was told and the flanges put more
// on the other one, as on no rear wheel: whose is which?
func (t *tensionRun) swapped(ratio float64) (q reply.Reply, ok bool) {
	m, told := level.Of(t.req)
	o, _ := firstOffset(t.req)
	if !told || m.Which != spec.SecondOnly || o.Which != spec.Each || ratio <= 1 || t.wheel.End == build.Front {
		return q, false
	}
	turned := o
	turned.First, turned.Second = o.Second, o.First
	q = ask(t.req, offset, fmt.Sprintf("Which flange is the drive side's? Left %s and right %s would put more tension left than right, as on a front wheel with a disc.", o.First, o.Second), []measures{turned})
	if q.Ask != nil {
		q.Ask.Choices = append(q.Ask.Choices, reply.Action{Label: "it is a front wheel", Line: spec.Set(t.req, end, "front").Line()})
	}
	return q, true
}

// agrees is by how much a ratio that was read may differ from that of the flanges:
// a meter is true to about 5 %, each side's mean to less. Common practice, no source.
const agrees = 0.07

// asTheyAre tells what the other side comes to where one side's tension is known.
func (t *tensionRun) asTheyAre(m measures, ratio float64, tight build.Side, table *reply.Table) {
	if m.Which == spec.Both {
		m.Which = spec.FirstOnly
		if tight == build.Right {
			m.Which = spec.SecondOnly
		}
		t.out.Assume("level", level.As.Text(m), "no side said: taken for the tighter one")
	}
	var is [2]quantity.Force
	switch m.Which {
	case spec.FirstOnly:
		is = [2]quantity.Force{m.First.Force(), m.First.Force() / quantity.Force(ratio)}
	case spec.SecondOnly:
		is = [2]quantity.Force{m.Second.Force() * quantity.Force(ratio), m.Second.Force()}
	default:
		is = [2]quantity.Force{m.First.Force(), m.Second.Force()}
	}
	whole := func(f quantity.Force) string { return quantity.Fixed(f.In(quantity.KilogramForce), 0) + " kgf" }
	switch {
	case m.Which == spec.Each:
		t.out.Lead[0] = fmt.Sprintf("Left over right is %s, the flanges ask for %s.", quantity.Percent(float64(is[0]/is[1])), quantity.Percent(ratio))
		if got := float64(is[0]/is[1]) / ratio; math.Abs(got-1) < agrees {
			t.out.Lead[1] = "That agrees within what a meter tells. A rim in the middle can't have it otherwise."
		} else {
			t.out.Lead[1] = "A rim that stands in the middle has the ratio of the flanges: measure offsets and meter again, or the dish is off."
		}
	default:
		known, other := build.Left, build.Right
		if m.Which == spec.SecondOnly {
			known, other = other, known
		}
		t.out.Lead[0] = fmt.Sprintf("With %s at %s the %s side comes to %s.", known, whole(is[known]), other, whole(is[other]))
	}
	table.Head = append(table.Head, "as it is")
	for i, side := range build.Sides {
		t.out.Add(side.String()+".level", float64(is[side]), reply.Newtons)
		table.Rows[i].Cells = append(table.Rows[i].Cells, whole(is[side]))
	}
	if top, marked := t.ceiling(); max(is[0], is[1]) > top {
		text := "More than " + kgfDown(top) + " only if the rim's mark allows it: read it first"
		if marked {
			text = "That is above the rim's mark: take it down, all round and a little at a time"
		}
		t.out.Note(text, practice("the mark binds the tightest spoke"))
	}
}

// bracing writes the angle between a side's spokes and the wheel's plane.
func (t *tensionRun) bracing(side build.Side) string {
	s := t.placed[t.of[side][0]]
	return quantity.Angle(math.Asin(math.Abs(float64(s.Unit.Z)))).String()
}

// ceiling returns what no spoke may pass, and whether the rim's mark told it.
func (t *tensionRun) ceiling() (top quantity.Force, marked bool) {
	if m := t.wheel.Rim.TensionMark; m > 0 {
		return m, true
	}
	return wheel.UnknownMark, false
}

// kgfDown writes a force that is not to be passed.
func kgfDown(f quantity.Force) string {
	return quantity.FixedDown(f.In(quantity.KilogramForce), 0) + " kgf"
}

// whenMounted tells how mark and tyre go together.
func (t *tensionRun) whenMounted(marked bool) {
	t.out.Note("The mark binds the tightest single spoke of the bare wheel. A tyre at pressure takes 10–20 % off: that is not made up beyond the mark", practice("mounting a tyre"))
	if !marked {
		t.out.Note("The rim's tension mark is not known: plan for at most 100 kgf (981 N) on the tightest spoke, less if the rim says so", practice("usual levels 100–120 kgf where the rim allows it"))
	}
}

// markAction offers the same with a mark.
func (t *tensionRun) markAction(marked bool) {
	if marked {
		return
	}
	r := spec.Set(t.req, mark, measure{Number: 120, Unit: quantity.KGF})
	t.out.Actions = append(t.out.Actions, reply.Action{Label: "the rim says 120 kgf", Line: r.Line()})
}

// judged is what one side's readings come to.
type judged struct {
	name  string // "", "left", "right"
	holes []int
	force []quantity.Force
	even  spoke.Evenness
}

// judge tells how even readings are and what to turn.
func (t *tensionRun) judge(row read.Row) (reply.Reply, error) {
	force, q, err := t.forces(row)
	if err != nil {
		return reply.Reply{}, err
	}
	if q != nil {
		return *q, nil
	}
	n, err := t.rowCount(row)
	if err != nil {
		return reply.Reply{}, misfit("readings", t.example, err)
	}
	if row.Len() == 1 {
		return t.single(slices.Concat(row.Any, row.Left, row.Right)[0], force)
	}
	if err := t.settle(n); err != nil {
		return reply.Reply{}, err
	}
	if err := t.fits(row); err != nil {
		return reply.Reply{}, err
	}
	pulls := t.pulls(row, force)
	sides, err := t.sides(row, pulls)
	if err != nil {
		var few *spoke.FewReadingsError
		if errors.As(err, &few) {
			return ask(t.req, readings, "That is one reading of a side. What have the others of that side?"), nil
		}
		return reply.Reply{}, misfit("readings", t.example, err)
	}
	oneSide := len(row.Any) > 0 && len(row.Any) < len(t.placed)
	if oneSide {
		t.out.Assume("order", "right side", "no side said: taken as neighbours of the tighter one")
	}
	if len(row.Any) == len(t.placed) {
		t.out.Assume("order", "right first", "the first spoke behind the valve is taken as one of the right side, and then in turn")
	}
	plan, err := t.plan(pulls, sides, oneSide)
	if err != nil {
		return reply.Reply{}, err
	}
	t.verdict(sides, oneSide)
	t.readingTable(sides, plan, oneSide)
	t.balance(sides)
	t.ways(sides)
	t.turns(plan, sides, oneSide)
	return t.out, nil
}

// single tells what one reading says, which is little.
func (t *tensionRun) single(v float64, force func(float64) quantity.Force) (reply.Reply, error) {
	f := force(v)
	if err := t.settle(0); err != nil {
		return reply.Reply{}, err
	}
	top, marked := t.ceiling()
	t.out.Assumed = slices.DeleteFunc(t.out.Assumed, func(i reply.Item) bool { return i.Option == "wheel" })
	t.out.Add("force", float64(f), reply.Newtons)
	t.out.Lead = []string{fmt.Sprintf("That is %s (%s).", kgf(f), quantity.Fixed(float64(f), 0)+" N"), "One spoke says little: read all of one side, from the valve on."}
	if u, _ := unit.Of(t.req); u == "kgf" && v < leastBareKGF {
		t.out.Lead = []string{fmt.Sprintf("If %s is what a meter shows, it is no force: look in its table for this spoke.", quantity.Exact(v)), fmt.Sprintf("As a force %s (%s) it is a slack spoke on a ridden wheel.", kgf(f), quantity.Fixed(float64(f), 0)+" N")}
	}
	if f > top {
		t.out.Lead[1] = fmt.Sprintf("That is above %s: no higher unless the rim's mark says so.", kgfDown(top))
	}
	t.whenMounted(marked)
	return t.out, nil
}

// sides judges each side by itself.
func (t *tensionRun) sides(row read.Row, pulls []wheel.Pull) ([]judged, error) {
	var all []judged
	for _, side := range build.Sides {
		j := judged{name: side.String()}
		for _, p := range pulls {
			if t.placed[p.Hole].Side == side {
				j.holes = append(j.holes, p.Hole)
				j.force = append(j.force, p.Force)
			}
		}
		if len(j.force) == 0 {
			continue
		}
		if len(row.Any) > 0 && len(row.Any) < len(t.placed) {
			j.name = ""
		}
		even, err := spoke.Even(j.force)
		if err != nil {
			return nil, err
		}
		j.even = even
		all = append(all, j)
	}
	return all, nil
}

// plan asks the coach what evens the tension out while the rim stays where it
// is: it is taken to be true now.
func (t *tensionRun) plan(pulls []wheel.Pull, sides []judged, oneSide bool) (wheel.Plan, error) {
	tighter := quantity.Force(0)
	for _, j := range sides {
		tighter = max(tighter, j.even.Mean)
	}
	m, err := t.model(tighter)
	if err != nil {
		return wheel.Plan{}, err
	}
	coach, err := wheel.NewCoach(m, wheel.Aim{Mark: t.wheel.Rim.TensionMark})
	if err != nil {
		return wheel.Plan{}, t.refuse(err)
	}
	r := wheel.Readings{Tension: pulls}
	for i := range t.placed {
		r.Right = append(r.Right, wheel.Spot{Hole: i})
	}
	p, err := coach.Plan(r)
	if err != nil {
		return wheel.Plan{}, t.refuse(err)
	}
	return p, nil
}

// Bands of evenness, best first, with the words for them.
var evenBands = []struct {
	most float64
	word string
}{{spoke.CarefulSpread, "careful work"}, {spoke.GoodSpread, "good"}, {spoke.MostSpread, "within the limit, rideable, not good"}}

// leastTight is what the tighter side of a wheel has at least, the looser side's
// least by trade articles.
const leastTight = 60 * quantity.KilogramForce

func bandOf(share float64) string {
	for _, b := range evenBands {
		if share <= b.most+1e-9 {
			return b.word
		}
	}
	return "uneven, past the limit: even it out before hard rides"
}

// verdict writes the lead.
func (t *tensionRun) verdict(sides []judged, oneSide bool) {
	top, marked := t.ceiling()
	var parts []string
	worst := judged{}
	highest, at := quantity.Force(0), ""
	for _, j := range sides {
		lead := "mean " + kgf(j.even.Mean)
		if j.name != "" {
			lead = j.name + " " + lead
		}
		parts = append(parts, fmt.Sprintf("%s, %s to %s %%", lead, quantity.Signed(100*slices.Min(j.even.Off), 0), quantity.Signed(100*slices.Max(j.even.Off), 0)))
		if worst.holes == nil || j.even.Deviation > worst.even.Deviation {
			worst = j
		}
		prefix := j.prefix()
		t.out.Add(prefix+"tension", float64(j.even.Mean), reply.Newtons)
		t.out.Add(prefix+"spread", j.even.Deviation, reply.One)
		t.out.Add(prefix+"over", j.even.Over, reply.One)
		t.out.Step(title(strings.TrimSpace(j.name+" mean")), fmt.Sprintf("the sum of %s readings over %s = %s; furthest off %s", quantity.Count(len(j.force)), quantity.Count(len(j.force)), kgf(j.even.Mean), quantity.Percent(j.even.Deviation)), spoke.EvenBasis)
		for i, f := range j.force {
			if f > highest {
				highest, at = f, t.label(j, i, oneSide)
			}
		}
	}
	t.out.Lead = []string{
		fmt.Sprintf("%s: %s.", title(strings.Join(parts, "; ")), bandOf(worst.even.Deviation)),
		fmt.Sprintf("Worst: spoke %s at %s %%; tightest over loosest %s.", t.label(worst, worst.even.Worst, oneSide), quantity.Signed(100*worst.even.Off[worst.even.Worst], 0), quantity.Fixed(worst.even.Over, 2)),
	}
	tighter := quantity.Force(0)
	for _, j := range sides {
		tighter = max(tighter, j.even.Mean)
	}
	if tighter < leastTight {
		t.out.Note(fmt.Sprintf("%s in the mean is little: usual is 100–120 kgf on the tighter side, where the rim allows it, and at least 60 on the other. Is that reading a force?", kgf(tighter)), practice("usual levels"))
	}
	if highest > top {
		text := fmt.Sprintf(" Spoke %s: %s, above the rim's mark; slacken first.", at, kgf(highest))
		if !marked {
			text = fmt.Sprintf(" Spoke %s: %s; is that within the rim's mark?", at, kgf(highest))
			t.out.Note(fmt.Sprintf("As the mark is not known, nothing is tightened past %s here", kgfDown(top)), practice("usual levels"))
		}
		t.out.Lead[1] += text
	}
	if failing := t.beyond(sides, spoke.GoodSpread, oneSide); failing != "" && worst.even.Deviation <= spoke.MostSpread {
		t.out.Lead[0] += fmt.Sprintf(" Past ± 10 %%: %s.", failing)
	}
	t.out.Note("Per side ± 5 % is careful, ± 10 % good, ± 20 % the limit", spoke.EvenBasis)
}

// mostBeyond is how many spokes are named that are further off than they should be.
const mostBeyond = 6

// beyond names the spokes that are further off the mean of their side than a share.
func (t *tensionRun) beyond(sides []judged, share float64, oneSide bool) string {
	var all []string
	for _, j := range sides {
		for i, off := range j.even.Off {
			if math.Abs(off) > share {
				all = append(all, t.label(j, i, oneSide))
			}
		}
	}
	switch {
	case len(all) == 0:
		return ""
	case len(all) > mostBeyond:
		return quantity.Count(len(all)) + " spokes"
	}
	return choose(len(all) == 1, "spoke ", "spokes ") + strings.Join(all, ", ")
}

func (j judged) prefix() string {
	if j.name == "" {
		return ""
	}
	return j.name + "."
}

// label names a spoke: by its place in the list of one side, else from the valve.
func (t *tensionRun) label(j judged, i int, oneSide bool) string {
	if oneSide {
		return quantity.Count(i + 1)
	}
	return strings.ToUpper(j.name[:1]) + quantity.Count(i+1)
}

// readingTable shows each reading with what is off and what to turn.
func (t *tensionRun) readingTable(sides []judged, plan wheel.Plan, oneSide bool) {
	turns := make(map[int]int)
	for _, x := range plan.Turns {
		turns[x.Hole] = x.Eighths
	}
	table := reply.Table{Title: "One after the other from the valve", Head: []string{"spoke", "kgf", "off", "turn"}}
	for _, j := range sides {
		for i, f := range j.force {
			turn := ""
			if e := turns[j.holes[i]]; e != 0 {
				turn = turnText(e)
			}
			table.Rows = append(table.Rows, reply.Row{Cells: []string{t.label(j, i, oneSide), quantity.Fixed(f.In(quantity.KilogramForce), 0), quantity.Signed(100*j.even.Off[i], 0) + " %", turn}})
		}
	}
	t.out.Tables = append(t.out.Tables, table)
}

// balance compares the sides with what the flanges dictate.
func (t *tensionRun) balance(sides []judged) {
	if len(sides) != 2 {
		return
	}
	is := float64(sides[0].even.Mean / sides[1].even.Mean)
	t.out.Add("tension.ratio", is, reply.One)
	text := "Left over right is " + quantity.Fixed(is, 2)
	if !t.told {
		t.out.Note(text+"; with your flange offsets I can say what it should be", spoke.RatioBasis)
		return
	}
	should, err := spoke.Ratio(t.placed)
	if err != nil {
		return
	}
	text += fmt.Sprintf("; these flanges ask for %s", quantity.Fixed(should, 2))
	if math.Abs(is/should-1) > 0.1 {
		text += ". More than a tenth apart: look at the dish, the readings, and which way round an offset rim was laced"
	}
	t.out.Note(text, spoke.RatioBasis)
}

// ways compares pulling and pushing spokes of a side that was read whole.
func (t *tensionRun) ways(sides []judged) {
	for _, j := range sides {
		if j.name == "" || len(j.holes) != len(t.of[t.placed[j.holes[0]].Side]) {
			continue
		}
		var sum, count [2]float64
		for i, h := range j.holes {
			switch t.placed[h].Way {
			case lace.Pulling:
				sum[0] += float64(j.force[i])
				count[0]++
			case lace.Pushing:
				sum[1] += float64(j.force[i])
				count[1]++
			}
		}
		if count[0] == 0 || count[1] == 0 {
			continue
		}
		pull, push := sum[0]/count[0], sum[1]/count[1]
		if math.Abs(pull/push-1) > 0.05 {
			t.out.Note(fmt.Sprintf("%s: pulling spokes %s, pushing %s in the mean. They should be alike: at the crossings one side of them was turned more", title(j.name), kgf(quantity.Force(pull)), kgf(quantity.Force(push))), practice("truing"))
		}
	}
}

// turns tells what to turn, or why nothing.
func (t *tensionRun) turns(plan wheel.Plan, sides []judged, oneSide bool) {
	at := make(map[int]string)
	for _, j := range sides {
		for i, h := range j.holes {
			at[h] = t.label(j, i, oneSide)
		}
	}
	unread := 0
	for _, x := range plan.Turns {
		if name, ok := at[x.Hole]; ok {
			t.out.Add("turns."+name, float64(x.Eighths)/8, reply.One)
		} else {
			unread++
		}
	}
	t.out.Step("Turns", fmt.Sprintf("what one turn of each of %s nipples does to every spoke and to the rim, from a ring on spokes; the turns in eighths that leave least over, the rim kept where it is, no spoke past %s", quantity.Count(len(t.placed)), kgfDown(plan.Mark)), wheel.CoachBasis)
	_, marked := t.ceiling()
	switch {
	case plan.State == wheel.Inside:
		t.out.Note("Nothing to turn: it is as even as a meter can tell", wheel.LimitsBasis)
	case len(plan.Turns) == 0:
		t.out.Note("No turn of an eighth makes it more even without moving the rim", wheel.CoachBasis)
	default:
		text := fmt.Sprintf("Looser ones first, then the tighter; read again. They keep a rim true that is true now; expected after: ± %s", quantity.Percent(math.Ceil(100*max(plan.After.Spread[0], plan.After.Spread[1]))/100))
		if unread > 0 {
			text += ". Spokes not read would have to give way too: read both sides and I say which"
		}
		t.out.Note(text, wheel.CoachBasis)
		t.out.Note("To keep it true by hand: a loose spoke tighter, its tight neighbour of the same side looser by as much, by eighths", practice("truing"))
	}
	if plan.State != wheel.Inside && !plan.Both {
		t.out.Note("True and even can't both be had here: the rim is bent. Keep it true, and accept the spread within ± 20 %, or replace the rim", wheel.CoachBasis)
	}
	t.whenMounted(marked)
	t.markAction(marked)
	t.out.Facts.WorkedOn = true
	t.out.Actions = append(t.out.Actions, reply.Action{Label: "true it with the wobble too", Line: "true"})
}

// tones turns tones into forces.
func (t *tensionRun) tones(row read.Row) (reply.Reply, error) {
	all := slices.Concat(row.Any, row.Left, row.Right)
	free, ok := length.Of(t.req)
	if !ok {
		in := func(l float64) measures { return spec.OneFor(measure{Number: l, Unit: quantity.MM}) }
		q := ask(t.req, length, "How long does the spoke swing freely, in mm? Its length less 10 to 12 mm, freed from the spoke it crosses.", in(250), in(270), in(280))
		return q, nil
	}
	b, ok := gauge.Of(t.req)
	if !ok {
		b = usualWire
		t.out.Assume("gauge", gauge.As.Text(b), "not said; another wire of that tone has another force")
	}
	l := free.Any().Length()
	t.out.Assume("length", l.Short(), "taken as the length that swings: that of the spoke less 10–12 mm")
	table := reply.Table{Head: []string{"Hz", "kgf", "of the mean"}}
	mean := 0.0
	for _, f := range all {
		mean += math.Pow(f, spoke.ToneShare) / float64(len(all))
	}
	for i, f := range all {
		low, high, err := spoke.OfTone(wireOf(b), l, f)
		if err != nil {
			return reply.Reply{}, misfit("tone", t.example, err)
		}
		share := math.Pow(f, spoke.ToneShare) / mean
		table.Rows = append(table.Rows, reply.Row{Cells: []string{quantity.Trimmed(f, 1), quantity.Fixed(low.In(quantity.KilogramForce), 0) + "–" + quantity.Fixed(high.In(quantity.KilogramForce), 0), quantity.Percent(share)}})
		letter := ""
		if len(all) > 1 && i < len(alternatives) {
			letter = alternatives[i]
		}
		if len(all) == 1 || i < len(alternatives) {
			t.out.Add(letter+"force", float64(low+high)/2, reply.Newtons)
			v := &t.out.Values[len(t.out.Values)-1]
			v.Low, v.High = float64(low), float64(high)
		}
		t.out.Step(quantity.Trimmed(f, 1)+" Hz", fmt.Sprintf("f = √(T/μ)/2L with the ends' stiffness: clamped %s, hinged %s", kgf(low), kgf(high)), spoke.ToneBasis)
		if i == 0 {
			t.out.Lead = []string{fmt.Sprintf("%s Hz on %s of %s: %s to %s.", quantity.Trimmed(f, 1), l.Short(), gauge.As.Text(b), kgf(low), kgf(high)), "As a force it is good to ± 10–20 %; between spokes of one side it is far better."}
		}
	}
	if len(all) > 1 {
		t.out.Tables = append(t.out.Tables, table)
	}
	t.out.Note("The ends are neither hinged nor clamped: the truth lies between the two", spoke.ToneBasis)
	t.out.Note("10 % more tension is 4.4 % in tone, three quarters of a semitone: force goes with the tone to the power of "+quantity.Exact(spoke.ToneShare), spoke.ToneBasis)
	t.whenMounted(false)
	return t.out, nil
}
