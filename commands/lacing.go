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
	"spokeword/calc/lace"
	"spokeword/calc/quantity"
	"spokeword/calc/spoke"
	"spokeword/commands/read"
	"spokeword/commands/reply"
	"spokeword/commands/spec"
)

func init() { add(lacingCommand) }

// lacingCommand tells what can be laced, and how.
func lacingCommand(Deps) *spec.Command {
	return &spec.Command{
		Name:    "lacing",
		Summary: "Tell which lacings the holes allow, how to lace step by step, which way round an offset rim goes; make a build card",
		Because: "The holes of hub and rim, and the angle at which a spoke leaves its hole",
		Words: w("lacing", "lacings", "lace", "lace up", "relace", "which lacing", "what lacing", "lacing pattern", "spoke pattern", "hub on a rim", "hub in a rim", "can be laced", "can i lace", "can you lace", "can it be laced", "can i do", "max crossing", "max crossings", "most crossings", "how many crossings", "cross possible", "cross work",
			de("einspeichen", "einspeichung", "speichenmuster"), fr("rayonnage", "rayonner"), es("enradiar", "radiado"), it("raggiatura", "raggiare")),
		Options: []spec.Option{holes, cross, pattern, end, brake, shows, shift, offset, circle, erd, flangehole, gauge, mark},
		Follows: []spec.Option{holes, cross, pattern, end, brake, shift, erd, circle, offset, flangehole, gauge},
		// Holes and crossings alone are wanted lengths for.
		Wants:  []spec.Want{{Any: []spec.Option{pattern, shows}, Weight: 1.15}, {Any: []spec.Option{holes, pattern, shows}, Weight: 0.3}},
		Weight: 0.35,
		// With the rim's diameter lengths are wanted, unless the line says otherwise.
		Suits: func(r spec.Request) bool {
			rim, measured := erd.In(r)
			_, said := shows.Of(r)
			return !measured || said || rim.Origin == spec.Carried
		},
		Examples: []string{"lacing 32h 3x", "how do i lace 32h rear 3 cross disc", "24h 2:1 32h hub", "which way round does an offset rim go", "build card 32h 3x rear disc"},
		Run: func(_ context.Context, req spec.Request) (reply.Reply, error) {
			l := &lacingRun{req: req}
			return l.run()
		},
	}
}

// shows is what of a lacing is asked for.
var shows = &spec.Arg[string]{
	Info: spec.Info{Name: "show", Help: "what of the lacing: steps, patterns, pulling (which spokes), rim (which way round), card (to build from)", Example: "steps"},
	As: read.OneOf{Choices: read.Choices{Axis: spec.NoAxis, All: []read.Choice{
		{Value: "steps", Words: w("how do i lace", "how to lace", "how is it laced", "how are they laced", "how do you lace", "lacing steps", "steps", "lacing order", "step by step", "key spoke", "first spoke", "start lacing", "over over under", "lacing instructions", "lacing guide",
			de("wie speiche ich", "wie speicht man", "wie wird eingespeicht", "schlüsselspeiche"), fr("comment rayonner"), es("cómo enradiar", "como enradiar"), it("come raggiare"))},
		{Value: "pulling", Words: w("which spokes pull", "lead spokes", "spokes pull", "pull which side", "which side pulls", "which spokes are pulling", "pulling spokes", "pulling spoke", "trailing spokes", "leading spokes", "trailing and leading", "leading and trailing", "trailing or leading", "leading or trailing", "pushing spokes", "static spokes", "heads out", "heads in", "elbows out", "elbows in", "head out or in", "which spokes go outside",
			de("zugspeichen", "welche speichen ziehen"), fr("rayons tirants"), es("radios de tracción"), it("raggi traenti"))},
		{Value: "patterns", Words: w("possible patterns", "which patterns", "what patterns", "what can be laced", "lacing options", "possible lacings", "possible lacing", "patterns")},
		{Value: "rim", Words: w("which way round", "wrong way round", "right way round", "which way does the rim go", "which way does an offset rim go", "way round does an offset rim", "rim way round", "which way asymmetric rim", "which side do the rim holes go", "rim backwards", "rim the wrong way", "turn the rim round", "turned the rim round",
			de("wie herum"), fr("dans quel sens la jante"), es("qué lado la llanta"), it("da che parte il cerchio"))},
		{Value: "card", Words: w("build card", "build cards", "build sheet", "job card", "wheel card", "build ticket", "builders card", de("aufbaukarte", "laufradkarte"), fr("fiche de montage"), es("ficha de montaje"), it("scheda di montaggio"))},
	}}},
}

// lacingExample is a line that works, shown with mistakes.
const lacingExample = "lacing 32h 3x"

// lacingRun is one run of the command.
type lacingRun struct {
	req   spec.Request
	out   reply.Reply
	wheel build.Wheel
	show  string
}

func (l *lacingRun) run() (reply.Reply, error) {
	l.out.Title = "Lacing"
	l.show, _ = shows.Of(l.req)
	l.out.Facts = reply.Facts{Spokes: true, WorkedOn: true}
	if err := oneHub(l.req, lacingExample); err != nil {
		return reply.Reply{}, err
	}
	kind, _ := pattern.Of(l.req)
	_, shifted := shift.Of(l.req)
	counted, haveHoles := holes.Of(l.req)
	switch {
	case l.show == "rim" || shifted && !haveHoles && l.show == "":
		return l.orientation()
	case kind == "radial" && l.show != "card":
		return l.radial()
	case kind == "paired":
		return l.paired(), nil
	case !haveHoles && (l.show == "steps" || l.show == "card" || l.show == "pulling"):
		counted = counts{spec.OneFor(usualSpokes)}
		l.out.Assume("holes", quantity.Count(usualSpokes), "not given, as many wheels have")
	case !haveHoles:
		likely := []counts{{spec.OneFor(32)}, {spec.OneFor(28)}, {spec.OneFor(36)}, {spec.OneFor(24)}}
		switch kind {
		case "2:1":
			likely = []counts{{spec.Ends[int]{First: 32, Second: 24, Which: spec.Each}}, {spec.Ends[int]{First: 48, Second: 36, Which: spec.Each}}}
		case "crowsfoot":
			likely = []counts{{spec.OneFor(24)}, {spec.OneFor(36)}}
		}
		q := ask(l.req, holes, "How many spoke holes have hub and rim?", likely...)
		q.Title = l.out.Title
		if says, ok := patternSays[kind]; ok {
			q.Lead = []string{says, q.Ask.Text}
		}
		return q, nil
	}
	for _, n := range counted {
		if hub, rim := hubAndRim(n); min(hub, rim) < fewestHoles || max(hub, rim) > mostHoles {
			return reply.Reply{}, spec.Misuse("holes", lacingExample, "%s holes: want %s to %s; 20, 24, 28, 32 or 36 are usual", quantity.Count(min(hub, rim)), quantity.Count(fewestHoles), quantity.Count(mostHoles))
		}
	}
	if len(counted) > 1 {
		return l.several(counted)
	}
	hub, rim := hubAndRim(counted[0])
	return l.one(hub, rim, kind)
}

// patternSays tells what a pattern is, where no holes were named.
var patternSays = map[string]string{
	"2:1":       "2:1 puts twice as many spokes on the tighter side, which evens out the tension: rim holes in threes, a hub with four thirds of them.",
	"crowsfoot": "A crow's foot laces threes: one spoke pulls, one is radial, one pushes. The spokes of a side must come in threes.",
	"crossed":   "Crossed: on each side pulling and pushing spokes alternate, and each passes others of its side.",
}

// mostHoles is the greatest number of holes that a rim is laced with.
const mostHoles = 72

// holed gives the wheel its holes and the pattern.
func (l *lacingRun) holed(hub, rim int, kind string) {
	w := &l.wheel
	w.End, w.Brake = wheelEnd(l.req), wheelBrake(l.req)
	switch kind {
	case "2:1":
		w.Pattern = build.TwoToOne
		if w.End == build.Front && w.Brake != build.RimBrake {
			w.Single = build.Right
		}
		if hub == rim {
			hub = rim * 4 / 3
			l.out.Assume("holes", quantity.Count(hub)+"/"+quantity.Count(rim), "2:1 takes a hub with four thirds of the rim's holes")
		}
	case "crowsfoot":
		w.Pattern = build.CrowsFoot
	}
	usualHub(l.req, &l.out, w)
	w.Rim.Holes = rim
	w.Left.Flange.Holes, w.Right.Flange.Holes = hub/2, hub/2
	if x, ok := shift.Of(l.req); ok {
		w.Rim.ShiftLeft, _ = towardsLeft(x)
	}
}

// possible is what can be built on a side, with the other side crossed. Of a
// hub with holes left over it is that of one of the rim's count.
func (l *lacingRun) possible(w build.Wheel, side build.Side) []lace.Option {
	if w.Pattern != build.TwoToOne && w.Left.Flange.Holes*2 > w.Rim.Holes {
		w.Left.Flange.Holes, w.Right.Flange.Holes = w.Rim.Holes/2, w.Rim.Holes/2
	}
	w.Half(side.Other()).Cross = 1
	if w.Pattern == build.CrowsFoot {
		w.Half(side.Other()).Cross = 2
	}
	options, err := lace.Possible(w, side)
	if err != nil {
		return nil
	}
	return options
}

// usualOf returns the crossings to take where none were named: the most that
// can be built, 3 at most.
func usualOf(options []lace.Option) int {
	return min(usualCrossing, max(mostPossible(options), 0))
}

// one answers for one count of holes.
func (l *lacingRun) one(hub, rim int, kind string) (reply.Reply, error) {
	if hub%2 != 0 {
		return l.refuse("No: "+quantity.Count(hub)+" holes don't share out between two flanges.", "A hub has as many holes left as right; 20, 24, 28, 32 or 36 are usual."), nil
	}
	l.holed(hub, rim, kind)
	if kind == "2:1" {
		hub = l.wheel.Left.Flange.Holes * 2
	}
	w := l.wheel
	var options [2][]lace.Option
	for i, side := range build.Sides {
		options[i] = l.possible(w, side)
		w.Half(side).Cross = usualOf(options[i])
	}
	if w.Pattern == build.CrowsFoot {
		w.Left.Cross, w.Right.Cross = max(2, usualOf(options[0])), max(2, usualOf(options[1]))
	}
	said, ok := cross.Of(l.req)
	chosen := ok && len(said) == 1
	if chosen {
		for i, side := range build.Sides {
			if x, given := ofEnd(said[0], i); given {
				w.Half(side).Cross = x
			}
		}
	}
	placed, err := l.place(&w)
	for !chosen && tooFar(err) && w.Right.Cross > 1 { // holes left over lean further than the count says
		w.Left.Cross, w.Right.Cross = min(w.Left.Cross, w.Right.Cross-1), w.Right.Cross-1
		placed, err = l.place(&w)
	}
	if err != nil {
		return l.unlaceable(err, w, options)
	}
	l.wheel = w
	if q, asks := l.radialOf(w); asks {
		return q, nil
	}
	switch l.show {
	case "card":
		return l.card(hub, placed)
	case "pulling":
		return l.pulling(placed), nil
	}
	return l.laced(hub, placed, options, chosen)
}

// tooFar reports whether a wheel was refused for too many crossings.
func tooFar(err error) bool {
	var refusal *lace.Refusal
	return errors.As(err, &refusal) && (refusal.Reason == lace.Departure || refusal.Reason == lace.HeadFouled)
}

// place places a wheel, with a proposal where the hub has holes left over; w is
// then that proposal.
func (l *lacingRun) place(w *build.Wheel) ([]lace.Spoke, error) {
	as := *w
	placed, err := lace.Place(as)
	var refusal *lace.Refusal
	if errors.As(err, &refusal) && refusal.Reason == lace.SpareHoles {
		if as, err = lace.Propose(as); err != nil {
			return nil, err
		}
		placed, err = lace.Place(as)
	}
	if err != nil {
		return nil, err
	}
	if err := crossable(wheelBuilt{wheel: as, placed: placed}); err != nil {
		return nil, err
	}
	*w = as
	return placed, nil
}

// laced tells of a wheel that can be built.
func (l *lacingRun) laced(hub int, placed []lace.Spoke, options [2][]lace.Option, chosen bool) (reply.Reply, error) {
	w := &l.wheel
	out := &l.out
	ratio, err := spoke.Ratio(placed)
	if err != nil {
		return reply.Reply{}, misfit("offset", lacingExample, err)
	}
	most := [2]int{mostPossible(options[0]), mostPossible(options[1])}
	for i, side := range build.Sides {
		out.Add(sideNames[i]+".crossings", float64(max(most[i], 0)), reply.One)
		out.Add(sideNames[i]+".count", float64(w.Spokes(side)), reply.One)
	}
	out.Add("tension.ratio", ratio, reply.One)
	steps := l.show == "steps" || chosen && l.show == ""
	out.Lead = l.lead(hub, placed, options, most, chosen, ratio)
	if steps && len(w.Joins) == 0 {
		out.Tables = append(out.Tables, l.steps(placed))
	}
	if len(w.Joins) > 0 {
		l.unequal(placed)
	}
	if !steps || len(w.Joins) > 0 || l.show == "patterns" {
		l.patterns(options)
	}
	if !steps {
		l.others(hub)
	}
	if w.Pattern == build.TwoToOne {
		out.Note("2:1 evens out the two sides only if the rim bears it: hub and rim must be made for it, and their makers allow it", practice("2:1 lacing"))
		out.Note("The double side laces a sixth of a crossing under or over; both can be built", basis.Basis{Kind: basis.Computed, Says: "angle between hub hole and rim hole"})
	}
	if w.Pattern == build.CrowsFoot {
		out.Note("A crow's foot counts the flange holes that its two outer spokes step over; they hold the torque, the middle one is radial", practice("few build it today"))
	}
	out.Note("A spoke that leaves its hole more than 90° off radial lies over the flange and on the next head", lace.CrossingBasis)
	if steps && len(w.Joins) == 0 {
		out.Note("Steps, heads and which spokes pull are the trade's usual way; mirrored ones work as well", practice("trailing spokes with the head outside"))
	}
	l.explain(placed)
	l.next(chosen)
	return *out, nil
}

// lead answers in two lines.
func (l *lacingRun) lead(hub int, placed []lace.Spoke, options [2][]lace.Option, most [2]int, chosen bool, ratio float64) []string {
	w := &l.wheel
	name := quantity.Count(w.Rim.Holes) + " holes"
	if hub != w.Rim.Holes {
		name = quantity.Count(hub) + "-hole hub, " + quantity.Count(w.Rim.Holes) + "-hole rim"
	}
	single, double := w.Single, w.Single.Other()
	switch {
	case w.Pattern == build.TwoToOne && l.show != "steps":
		return []string{
			fmt.Sprintf("%s, 2:1: yes. %s spokes %s, one in every %s hub hole, %s %s; the %s crosses %s.", name, quantity.Count(w.Spokes(single)), single, everyOther(w, single), quantity.Count(w.Spokes(double)), double, double, quantity.Count(w.Half(double).Cross)),
			tighterText(ratio)}
	case len(w.Joins) > 0:
		return []string{
			fmt.Sprintf("%s: possible with %s; %s hub holes a side stay empty.", name, crossingsText(w.Left.Cross, w.Right.Cross), quantity.Count((hub-w.Rim.Holes)/2)),
			"Every spoke then has its own angle: several lengths a side, and no even pattern. Another hub or rim is the better buy."}
	case l.show == "steps":
		return l.begin(placed)
	case len(cross.Or(l.req, nil)) > 1 && len(w.Joins) == 0:
		return l.each(options)
	case w.Pattern == build.CrowsFoot:
		return []string{
			fmt.Sprintf("%s, crow's foot: yes. %s threes a side: one pulls, one is radial, one pushes.", name, quantity.Count(w.Rim.Holes/6)),
			fmt.Sprintf("The outer two step over %s hub holes. Radial spokes pull the flange straight out: only with the hub maker's leave.", quantity.Count(w.Left.Cross))}
	case chosen:
		return []string{
			fmt.Sprintf("%s, %s: %s; up to %s can be built.", name, crossingsText(w.Left.Cross, w.Right.Cross), yesIf(w), quantity.Count(max(most[0], most[1]))),
			tighterText(ratio)}
	}
	return []string{
		fmt.Sprintf("%s: up to %s crossings; %s is usual.", name, quantity.Count(max(most[0], most[1])), quantity.Count(w.Right.Cross)),
		"One more would leave the flange more than 90° off radial. Radial only on a side without disc or sprocket."}
}

// yesIf says that a wheel can be built, with what a radial side takes.
func yesIf(w *build.Wheel) string {
	if w.Pattern == build.Crossed && (w.Left.Cross == 0 || w.Right.Cross == 0) {
		return "yes, if the hub's maker allows radial"
	}
	return "yes"
}

// each says which of several numbers of crossings can be built.
func (l *lacingRun) each(options [2][]lace.Option) []string {
	var parts []string
	for _, x := range cross.Or(l.req, nil) {
		says := "yes"
		for i := range build.Sides {
			n, given := ofEnd(x, i)
			of := slices.IndexFunc(options[i], func(o lace.Option) bool { return o.Number == n })
			if given && (of < 0 || !options[i][of].OK) {
				says = "no"
			}
		}
		parts = append(parts, fmt.Sprintf("%s %s", crossingsText(x.First, x.Second), says))
	}
	return []string{
		fmt.Sprintf("%s holes: %s.", quantity.Count(l.wheel.Rim.Holes), strings.Join(parts, "; ")),
		"The balance of the sides hardly changes with the crossings. More lean further off radial, 90° is the most."}
}

// pulling tells which spokes the chain pulls tighter.
func (l *lacingRun) pulling(placed []lace.Spoke) reply.Reply {
	out := &l.out
	table := reply.Table{Title: "Rim holes count from the valve, rolling direction", Head: []string{"flange", "", "head", "rim holes"}}
	for _, set := range lace.Sets(placed) {
		table.Rows = append(table.Rows, reply.Row{Cells: []string{set.Side.String(), wayText(set.Way), strings.TrimPrefix(headText(set.Head), "head "), row(set.Spokes)}})
	}
	out.Lead = []string{
		"Pulling (trailing) spokes run from a hub hole ahead of their rim hole, in the rolling direction: the chain pulls them tighter.",
		"A disc brake pulls the others. Here the pulling ones have the head outside: see the table."}
	out.Tables = []reply.Table{table}
	out.Note("Which of them has the head outside is the trade's habit; a wheel laced the other way carries the same", practice("trailing spokes with the head outside"))
	l.explain(placed)
	l.next(false)
	return *out
}

// begin tells in two lines how lacing goes.
func (l *lacingRun) begin(placed []lace.Spoke) []string {
	sets := lace.Sets(placed)
	key := placed[sets[0].Spokes[0]]
	lead := []string{fmt.Sprintf("Key spoke: %s flange, %s, into rim hole %s %s; then the rest of its set, and the other side likewise.", key.Side, headText(key.Head), at(key.RimHole), fromValve(key))}
	for _, set := range sets {
		if set.Head == lace.HeadInside {
			return append(lead, fmt.Sprintf("%s, then the rest with the head inside: %s.", l.twist(sets), weave(placed[set.Spokes[0]])))
		}
	}
	return append(lead, "No spoke crosses another.")
}

// fromValve says where a spoke's rim hole lies.
func fromValve(s lace.Spoke) string {
	if s.RimHole == 0 {
		return "beside the valve"
	}
	return "after the valve"
}

// crossingsText writes the crossings of both sides.
func crossingsText(left, right int) string {
	of := func(n int) string {
		if n == 0 {
			return "radial"
		}
		if n == 1 {
			return "1 crossing"
		}
		return quantity.Count(n) + " crossings"
	}
	if left == right {
		return of(left)
	}
	return "left " + of(left) + ", right " + of(right)
}

// everyOther says which hub holes of a side have a spoke.
func everyOther(w *build.Wheel, side build.Side) string {
	switch w.Half(side).Flange.Holes / max(1, w.Spokes(side)) {
	case 2:
		return "second"
	case 3:
		return "third"
	}
	return ""
}

// verdictOf says what becomes of a number of crossings.
func verdictOf(o lace.Option) string {
	switch o.Reason {
	case lace.Fine:
		return "yes"
	case lace.HeadTight:
		return "yes, close to the next head"
	case lace.HeadFouled:
		return "no: on the next head"
	case lace.Departure:
		return "no: over 90°"
	case lace.Entry:
		return "steep at the nipple"
	case lace.RadialDisc:
		return "no: disc"
	case lace.RadialDrive:
		return "no: sprocket"
	case lace.RadialBoth:
		return "no: nothing carries torque"
	case lace.MakerDecides:
		return "hub maker decides"
	}
	return o.Reason.String()
}

// patterns shows the numbers of crossings with their verdicts.
func (l *lacingRun) patterns(options [2][]lace.Option) {
	if len(options[0]) == 0 && len(options[1]) == 0 {
		return
	}
	table := reply.Table{Title: "Crossings, and off radial at the flange", Head: []string{"", "leaves at", "verdict"}}
	if l.wheel.Pattern == build.CrowsFoot {
		table.Title = "Hub holes stepped over, and off radial at the flange"
	}
	row := func(side string, o lace.Option) {
		name := quantity.Count(o.Number)
		if side != "" {
			name += " " + side
		}
		table.Rows = append(table.Rows, reply.Row{Cells: []string{name, quantity.Fixed(o.Departure.In(quantity.Degree), 0) + "°", verdictOf(o)}})
	}
	for i := range max(len(options[0]), len(options[1])) {
		var both []lace.Option
		for s := range build.Sides {
			if i < len(options[s]) {
				both = append(both, options[s][i])
			}
		}
		if len(both) == 2 && both[0].Number == both[1].Number && both[0].Reason == both[1].Reason && math.Abs(float64(both[0].Departure-both[1].Departure)) < 1e-3 {
			row("", both[0])
			continue
		}
		for s, name := range sideNames {
			if i < len(options[s]) {
				row(name, options[s][i])
			}
		}
	}
	l.out.Tables = append(l.out.Tables, table)
}

// others shows what else the holes allow.
func (l *lacingRun) others(hub int) {
	w := &l.wheel
	if w.Pattern != build.Crossed || len(w.Joins) > 0 {
		return
	}
	n := w.Rim.Holes
	table := reply.Table{Title: "Other patterns", Head: []string{"", "here"}}
	row := func(name, says string) {
		table.Rows = append(table.Rows, reply.Row{Cells: []string{name, says}})
	}
	switch {
	case w.Torque():
		row("radial", "never on the disc or sprocket side; the other only if the hub's maker allows it")
	default:
		row("radial", "front wheel with rim brakes, if the hub's maker allows it")
	}
	if n%3 == 0 {
		row("2:1", "with a hub of "+quantity.Count(n*4/3)+" holes, if the rim is made for it")
	} else {
		row("2:1", "no: "+quantity.Count(n)+" rim holes don't come in threes")
	}
	if n%6 == 0 {
		row("crow's foot", quantity.Count(n/6)+" threes a side; middle spokes are radial")
	} else {
		row("crow's foot", "no: "+quantity.Count(n/2)+" a side don't come in threes")
	}
	row("paired", "only hub and rim drilled in pairs")
	l.out.Tables = append(l.out.Tables, table)
}

// at writes rim holes as they are counted by hand: 1 is the first after the
// valve in the rolling direction.
func at(rimHole int) string { return quantity.Count(rimHole + 1) }

// steps lists how the wheel is laced, in order. A step keeps to what a phone
// holds in four lines beside its number.
func (l *lacingRun) steps(placed []lace.Spoke) reply.Table {
	table := reply.Table{Title: "Rim holes count from the valve, rolling direction", Head: []string{"", "step by step"}}
	add := func(format string, values ...any) {
		table.Rows = append(table.Rows, reply.Row{Cells: []string{quantity.Count(len(table.Rows) + 1), fmt.Sprintf(format, values...)}})
	}
	sets := lace.Sets(placed)
	key := placed[sets[0].Spokes[0]]
	twisted := false
	for i, set := range sets {
		first := placed[set.Spokes[0]]
		if set.Head == lace.HeadInside && !twisted {
			twisted = true
			add("%s", l.twist(sets))
		}
		name := fmt.Sprintf("%s, %s, %s", set.Side, headText(set.Head), wayText(set.Way))
		switch {
		case i == 0:
			add("Key spoke: %s, into rim hole %s %s", name, at(key.RimHole), fromValve(key))
			add("The rest of that set: rim holes %s, %s", row(set.Spokes[1:]), l.hubStep(set, placed))
		case set.Head == lace.HeadInside:
			add("%s: rim holes %s; %s", title(name), row(set.Spokes), weave(first))
		default:
			add("%s: rim hole %s, hub hole %s; then %s", title(name), at(first.RimHole), fromKey(first, key), row(set.Spokes[1:]))
		}
	}
	add("Look at the valve: %s", valveText(placed))
	add("Nipples on all until the thread just vanishes; then round, true, centred, even, by turns")
	add("Press spokes together in pairs, true again; check after the first rides")
	return table
}

// headText says where the head sits, and where the spoke runs.
func headText(h lace.Head) string {
	if h == lace.HeadInside {
		return "head inside"
	}
	return "head outside"
}

// wayText says what a spoke does when the hub drives.
func wayText(way lace.Way) string {
	return map[lace.Way]string{lace.Pulling: "pulls", lace.Pushing: "pushes", lace.Radial: "radial"}[way]
}

// row writes the rim holes of a set.
func row(list []int) string {
	names := make([]string, len(list))
	for i, h := range list {
		names[i] = at(h)
	}
	if len(names) > 3 && regular(list) {
		return names[0] + ", " + names[1] + " … " + names[len(names)-1]
	}
	return strings.Join(names, ", ")
}

// regular reports whether the holes of a set are evenly apart.
func regular(list []int) bool {
	for i := 2; i < len(list); i++ {
		if list[i]-list[i-1] != list[1]-list[0] {
			return false
		}
	}
	return true
}

// hubStep says which hub holes of the flange a set takes.
func (l *lacingRun) hubStep(set lace.Set, placed []lace.Spoke) string {
	n := l.wheel.Half(set.Side).Flange.Holes
	switch step := (placed[set.Spokes[1]].HubHole - placed[set.Spokes[0]].HubHole + n) % n; step {
	case 1:
		return "every hub hole"
	case 2:
		return "every second hub hole"
	case 3:
		return "every third hub hole"
	default:
		return "every " + quantity.Count(step) + "th hub hole"
	}
}

// fromKey says where a spoke's hub hole lies from that of the key spoke.
func fromKey(s, key lace.Spoke) string {
	turn := math.Mod(float64(s.HubAngle-key.HubAngle)/float64(quantity.Turn)+1.5, 1) - 0.5
	angle := quantity.Angle(math.Abs(turn)) * quantity.Turn
	text := quantity.Trimmed(angle.In(quantity.Degree), 1) + "°"
	switch {
	case angle < quantity.Degree:
		return "straight across from the key's"
	case turn > 0:
		return text + " ahead of the key's"
	}
	return text + " behind the key's"
}

// twist says which way the hub is turned before the second half goes in.
func (l *lacingRun) twist(sets []lace.Set) string {
	for _, set := range sets {
		if set.Head == lace.HeadOutside && set.Way == lace.Pushing {
			return "Turn the hub against the rolling direction until they lean"
		}
		if set.Head == lace.HeadOutside && set.Way == lace.Pulling {
			return "Turn the hub in the rolling direction until they lean"
		}
	}
	return "Nothing leans: go on"
}

// weave says how a spoke passes those it crosses, from the hub outwards.
func weave(s lace.Spoke) string {
	if len(s.Crosses) == 0 {
		return "crosses none"
	}
	var words []string
	for _, c := range s.Crosses {
		if c.Over {
			words = append(words, "over")
		} else {
			words = append(words, "under")
		}
	}
	return "each " + strings.Join(words, ", ")
}

// valveText says how the spokes beside the valve stand.
func valveText(placed []lace.Spoke) string {
	a, b := placed[0], placed[len(placed)-1]
	lean := func(s lace.Spoke) float64 { // of the hub hole ahead of the rim hole
		return math.Mod(float64(s.HubAngle-s.RimAngle)/float64(quantity.Turn)+1.5, 1) - 0.5
	}
	switch after, before := lean(a), lean(b); {
	case after > 0.01 && before < -0.01:
		return "the spokes on both sides lean away from it, room for the pump"
	case after < -0.01 && before > 0.01:
		return "the spokes cross over it: start one hole on"
	}
	return "it lies between nearly parallel spokes"
}

// unequal lists the lengths of a hub with holes left over.
func (l *lacingRun) unequal(placed []lace.Spoke) {
	lengths := spoke.Grouped(&l.wheel, placed)
	table := reply.Table{Title: "With every spoke from the nearest hole", Head: []string{"side", "lengths", "from", "to"}}
	for i, side := range build.Sides {
		g := lengths.Of(side)
		table.Rows = append(table.Rows, reply.Row{Cells: []string{title(side.String()), quantity.Count(len(g)), g[0].Length.Short(), g[len(g)-1].Length.Short()}})
		l.out.Add(sideNames[i]+".lengths", float64(len(g)), reply.One)
		v := reply.Value{Name: sideNames[i] + ".length", Value: float64(g[0].Length), Unit: reply.Metres, Low: float64(g[0].Length), High: float64(g[len(g)-1].Length)}
		l.out.Values = append(l.out.Values, v)
	}
	l.out.Tables = append(l.out.Tables, table)
	l.out.Facts.Drilling = true
	l.out.Note("One lacing of several: which hub holes stay empty, and the hub's own hole angles, may give another", basis.Basis{Kind: basis.Computed, Says: "one regular proposal"})
}

// refuse answers with a no: its reason is the lead.
func (l *lacingRun) refuse(lead ...string) reply.Reply {
	l.out.Lead = lead
	l.out.Refused = true
	l.out.Actions = append(l.out.Actions, reply.Action{Label: "why", Line: "why"})
	return l.out
}

// unlaceable tells why a wheel can't be laced, and what can.
func (l *lacingRun) unlaceable(err error, w build.Wheel, options [2][]lace.Option) (reply.Reply, error) {
	var refusal *lace.Refusal
	if !errors.As(err, &refusal) {
		return reply.Reply{}, misfit("", lacingExample, err)
	}
	n := quantity.Count(w.Rim.Holes)
	var lead []string
	switch refusal.Reason {
	case lace.Departure, lace.HeadFouled:
		most := refusal.Want
		if w.Left.Flange.Holes*2 > w.Rim.Holes && w.Pattern != build.TwoToOne {
			for most = refusal.Got - 1; most > 0; most-- {
				fewer := w
				fewer.Joins, fewer.Left.Cross, fewer.Right.Cross = nil, most, most
				if _, err := l.place(&fewer); err == nil {
					break
				}
			}
		}
		most = max(most, 0)
		why := "would leave the flange more than 90° off radial and lie over it"
		if refusal.Reason == lace.HeadFouled {
			why = "would lie on the head in the next hole"
		}
		lead = []string{fmt.Sprintf("No: with %s holes, %s crossings %s.", n, quantity.Count(refusal.Got), why),
			fmt.Sprintf("At most %s can be built on the %s side.", quantity.Count(most), refusal.Side)}
		if most > 0 {
			better := spec.Set(l.req, cross, counts{spec.OneFor(most)})
			l.out.Actions = append(l.out.Actions, reply.Action{Label: crossingsText(most, most), Line: better.Line()})
		}
	case lace.RadialDisc, lace.RadialDrive, lace.RadialBoth:
		return l.noRadial(refusal.Reason), nil
	case lace.FewHubHoles:
		l.out.Facts.Drilling = true
		lead = []string{fmt.Sprintf("No: the hub has %s holes a side, the rim wants %s.", quantity.Count(refusal.Got), quantity.Count(refusal.Want)),
			"Rim holes would stay empty, and the rim is pulled out of round there. Match the counts."}
	case lace.NotThirds:
		lead = []string{fmt.Sprintf("No: 2:1 takes one spoke on one side for two on the other, and %s rim holes don't come in threes.", n), "24 and 36 do, on a hub of 32 and 48 holes."}
	case lace.NotFoot:
		lead = []string{fmt.Sprintf("No: a crow's foot takes the spokes of a side in threes, and %s don't.", quantity.Count(w.Rim.Holes/2)), "24 and 36 spokes do; the outer two step over 2, 3, 5 or 6 hub holes."}
	case lace.OddRim, lace.OddSide:
		lead = []string{fmt.Sprintf("No: %s holes give an odd number a side; pulling and pushing spokes come in pairs.", n), "20, 24, 28, 32 or 36 are usual."}
	default:
		lead = []string{"No: " + refusal.Error() + ".", "20, 24, 28, 32 or 36 holes are usual."}
	}
	l.patterns(options)
	l.out.Note("A spoke that leaves its hole more than 90° off radial lies over the flange and on the next head", lace.CrossingBasis)
	return l.refuse(lead...), nil
}

// noRadial refuses radial spokes where torque passes.
func (l *lacingRun) noRadial(reason lace.Reason) reply.Reply {
	lead := []string{"No: never lace both sides radially on a wheel that is braked or driven at the hub.", "Cross both; without disc and sprocket a front wheel may be radial where the hub's maker allows it."}
	switch reason {
	case lace.RadialDisc:
		lead = []string{"No: never lace a disc side radially. The brake turns the hub against the rim, and only crossed spokes hold that.", "The other side may be radial only if the hub's maker allows it: the flange is pulled straight outwards."}
	case lace.RadialDrive:
		lead = []string{"No: never lace the drive side radially. The chain turns the hub against the rim, and only crossed spokes hold that.", "On a disc wheel the left side must be crossed as well; without a disc it may be radial if the hub's maker allows it."}
	}
	l.out.Note("Torque wants tangential spokes: a radial one has no lever to hold the hub", basis.Basis{Kind: basis.Handbook, Source: "Brandt, The Bicycle Wheel, 3rd ed."})
	line := l.req
	line.Given = slices.DeleteFunc(slices.Clone(line.Given), func(g spec.Given) bool { return g.Option == spec.Option(pattern) || g.Option == spec.Option(cross) })
	if _, ok := holes.Of(line); !ok {
		line = spec.Set(line, holes, counts{spec.OneFor(usualSpokes)})
	}
	l.out.Actions = append(l.out.Actions, reply.Action{Label: "what can be built", Line: spec.Set(line, shows, "patterns").Line()})
	return l.refuse(lead...)
}

// radialOf asks what decides whether the one radial side of a wheel may be: the
// right side of a rear wheel is driven, the left one is braked where there is a
// disc.
func (l *lacingRun) radialOf(w build.Wheel) (q reply.Reply, asks bool) {
	if w.Pattern != build.Crossed || (w.Left.Cross == 0) == (w.Right.Cross == 0) {
		return q, false
	}
	switch {
	case w.Right.Cross == 0 && wheelEnd(l.req) == build.AnyEnd:
		q = ask(l.req, end, "Front or rear? The right side of a rear wheel is driven, and never radial.", "front", "rear")
	case w.Left.Cross == 0 && wheelBrake(l.req) == build.AnyBrake:
		q = ask(l.req, brake, "Disc or rim brake? A disc side, the left, is never radial.", "disc", "rim")
	default:
		l.out.Note("Radial spokes pull the flange straight outwards: only with the hub maker's leave, and not on a flange that was crossed before", practice("cracked flanges"))
		return q, false
	}
	q.Title = l.out.Title
	return q, true
}

// radial answers where somebody wants radial spokes.
func (l *lacingRun) radial() (reply.Reply, error) {
	e, b := wheelEnd(l.req), wheelBrake(l.req)
	l.out.Add("crossings", 0, reply.One)
	switch {
	case b == build.DiscBrake:
		return l.noRadial(lace.RadialDisc), nil
	case e == build.Rear:
		return l.noRadial(lace.RadialDrive), nil
	case e == build.Front && b == build.RimBrake:
		l.out.Lead = []string{"A front wheel with rim brakes may be radial, if the hub's maker allows it.", "Nothing turns that hub against its rim; but the flange is pulled straight outwards, and weak ones crack."}
	default:
		l.out.Lead = []string{"Radial only on a side that carries neither disc nor sprocket, and only if the hub's maker allows it.", "So: a front wheel with rim brakes, or the side across from a disc. A disc or drive side never."}
	}
	l.out.Note("A radial spoke has no lever to hold torque; it is a little shorter and no stiffer sideways worth feeling", basis.Basis{Kind: basis.Handbook, Source: "Brandt, The Bicycle Wheel, 3rd ed."})
	l.out.Note("Hubs that were crossed before have dents in the flange that radial spokes don't follow: leave those crossed", practice("cracked flanges"))
	l.out.Actions = append(l.out.Actions, reply.Action{Label: "why", Line: "why"})
	return l.out, nil
}

// paired tells of hubs whose holes stand in pairs.
func (l *lacingRun) paired() reply.Reply {
	l.out.Lead = []string{"Paired spokes need a hub and a rim drilled in pairs for each other; nothing else takes them.", "Lace as the hub's holes lie: the two of a pair lean away from each other."}
	l.out.Facts.Drilling = true
	l.out.Note("Lengths hang on the angle between the two holes of a pair: ask the maker or measure it", assumption("no pair's angle was given"))
	return l.out
}

// several compares counts of holes.
func (l *lacingRun) several(all counts) (reply.Reply, error) {
	table := reply.Table{Head: []string{"holes", "most", "usual", "off radial"}}
	var lead []string
	for i, n := range all {
		hub, rim := hubAndRim(n)
		one := lacingRun{req: l.req}
		if hub != rim || hub%2 != 0 {
			return reply.Reply{}, spec.Misuse("holes", lacingExample, "%s: want even counts, hub and rim alike, to compare", holes.As.Text(counts{n}))
		}
		one.holed(hub, rim, "")
		if i == 0 {
			l.out.Assumed = one.out.Assumed
		}
		options := one.possible(one.wheel, build.Right)
		most, usual := mostPossible(options), usualOf(options)
		if most < 1 {
			return reply.Reply{}, spec.Misuse("holes", lacingExample, "%s holes: want 20, 24, 28, 32 or 36", quantity.Count(rim))
		}
		off := ""
		for _, o := range options {
			if o.Number == usual {
				off = quantity.Fixed(o.Departure.In(quantity.Degree), 0) + "°"
			}
		}
		l.out.Add(alternatives[i]+"crossings", float64(most), reply.One)
		table.Rows = append(table.Rows, reply.Row{Cells: []string{quantity.Count(rim), quantity.Count(most), quantity.Count(usual), off}})
		lead = append(lead, fmt.Sprintf("%s holes up to %s crossings", quantity.Count(rim), quantity.Count(most)))
	}
	l.out.Lead = []string{title(strings.Join(lead, ", ")) + ".", "The usual number leaves the flange at the angle in the table; 90° is the most."}
	l.out.Tables = []reply.Table{table}
	l.out.Note("A spoke that leaves its hole more than 90° off radial lies over the flange and on the next head", lace.CrossingBasis)
	l.out.Actions = append(l.out.Actions, reply.Action{Label: "why", Line: "why"})
	return l.out, nil
}

// usualShift is how far an offset rim's holes lie from its middle where it was
// not said. Common practice, no source.
const usualShift = 2.5 * quantity.Millimetre

// orientation tells which way round an offset rim goes.
func (l *lacingRun) orientation() (reply.Reply, error) {
	out := &l.out
	counted, ok := holes.Of(l.req)
	hub, rim := usualSpokes, usualSpokes
	if ok {
		hub, rim = hubAndRim(counted[0])
	} else {
		out.Assume("holes", quantity.Count(usualSpokes), "not given; it hardly moves the balance")
	}
	if hub != rim || hub%4 != 0 || hub < fewestHoles || hub > mostHoles {
		return reply.Reply{}, spec.Misuse("holes", "which way round does an offset rim go 32h", "%s: want hub and rim alike, such as 28, 32 or 36", holes.As.Text(counted))
	}
	req := l.req
	if wheelEnd(req) == build.AnyEnd {
		out.Assume("end", "rear", "not said which wheel")
		req = spec.Set(req, end, "rear")
	}
	usualHub(req, out, &l.wheel)
	w := l.wheel
	w.Rim.Holes, w.Left.Flange.Holes, w.Right.Flange.Holes = rim, hub/2, hub/2
	w.Left.Cross, w.Right.Cross = min(usualCrossing, rim/9), min(usualCrossing, rim/9)
	by, said := usualShift, build.NoSide
	if x, ok := shift.Of(req); ok {
		by = x.Any().Length()
		if left, sided := towardsLeft(x); sided && left != 0 {
			said = build.Left
			if left < 0 {
				said = build.Right
			}
		}
	} else {
		out.Assume("shift", usualShift.Short(), "not given, as offset rims have")
	}
	if by == 0 {
		return reply.Reply{}, spec.Misuse("shift", "which way round does an offset rim go 2.5 mm", "shift 0 mm: want how far the rim's holes lie off its middle; a rim with none goes either way")
	}
	return l.turned(w, by, said)
}

// turned compares both ways round with a rim without offset.
func (l *lacingRun) turned(w build.Wheel, by quantity.Length, said build.Side) (reply.Reply, error) {
	out := &l.out
	var ratios [3]float64 // towards the left, towards the right, none
	var lengths [2]spoke.Lengths
	for i, x := range []quantity.Length{by, -by, 0} {
		w.Rim.ShiftLeft = x
		placed, err := lace.Place(w)
		if err != nil {
			return reply.Reply{}, misfit("offset", "which way round does an offset rim go 36/21", err)
		}
		if ratios[i], err = spoke.Ratio(placed); err != nil {
			return reply.Reply{}, misfit("offset", "which way round does an offset rim go 36/21", err)
		}
		if i < 2 {
			lengths[i] = spoke.Grouped(&w, placed)
		}
	}
	right := 0 // the way that is more even
	if uneven(ratios[1]) < uneven(ratios[0]) {
		right = 1
	}
	toward := build.Sides[right]
	slack := func(r float64) string { return quantity.Percent(min(r, 1/r)) }
	for i, v := range []float64{ratios[right], ratios[1-right], ratios[2]} {
		out.Add(alternatives[i]+"tension.ratio", v, reply.One)
	}
	moved := quantity.Length(0)
	for _, side := range build.Sides {
		moved = max(moved, quantity.Length(math.Abs(float64(lengths[0].Of(side)[0].Length-lengths[1].Of(side)[0].Length))))
	}
	why := "the side of the flange that lies further out"
	if w.Left.Flange.Offset == w.Right.Flange.Offset {
		out.Lead = []string{"With both flanges equally far out it makes no difference, and an offset rim brings nothing.",
			fmt.Sprintf("Either way the slack side is left with %s of the tight one; a rim without offset has both alike.", slack(ratios[right]))}
	} else {
		out.Lead = []string{
			fmt.Sprintf("Spoke holes towards the %s, %s: the slack side then has %s of the tight one.", toward, why, slack(ratios[right])),
			fmt.Sprintf("The wrong way round it has %s, without any offset %s. Lengths differ by %s mm, so they won't warn you.", slack(ratios[1-right]), slack(ratios[2]), quantity.Fixed(moved.MM(), 1))}
		if said == toward {
			out.Lead[0] = "Right: " + strings.ToLower(out.Lead[0][:1]) + out.Lead[0][1:]
		} else if said != build.NoSide {
			out.Lead[0] = "Turn it round: " + strings.ToLower(out.Lead[0][:1]) + out.Lead[0][1:]
		}
	}
	if uneven(ratios[right]) > uneven(ratios[2]) && w.Left.Flange.Offset != w.Right.Flange.Offset {
		out.Note("This offset is more than these flanges need: without it the sides would be more even", spoke.RatioBasis)
	}
	table := reply.Table{Title: "Left / right tension", Head: []string{"rim holes", "ratio", ""}}
	for i, name := range []string{quantity.Trimmed(by.MM(), 1) + " mm to the " + build.Sides[right].String(), quantity.Trimmed(by.MM(), 1) + " mm to the " + build.Sides[1-right].String(), "in the middle"} {
		mark := [...]string{"right way", "wrong way", "no offset"}[i]
		table.Rows = append(table.Rows, reply.Row{Cells: []string{name, quantity.Fixed([]float64{ratios[right], ratios[1-right], ratios[2]}[i], 2), mark}})
	}
	out.Tables = append(out.Tables, table)
	out.Facts.Drilling = true
	out.Note("Check before lacing: lay the rim flat; the spoke holes lie nearer to one edge. That edge goes left on a rear wheel, right on a front wheel with a disc, unless the rim's maker marks it otherwise", practice("offset rims"))
	out.Note("Balance from the flanges' distance to the rim holes", spoke.RatioBasis)
	for i, name := range []string{"left", "right"} {
		out.Step("Left / right, holes "+quantity.Trimmed(by.MM(), 1)+" mm to the "+name, fmt.Sprintf("sin %s° right / sin %s° left = %s", bracing(lengths[i].Right), bracing(lengths[i].Left), quantity.Fixed(ratios[i], 3)), spoke.RatioBasis)
	}
	out.Actions = append(out.Actions, reply.Action{Label: "why", Line: "why"})
	return *out, nil
}

// blank is a field of the card to be filled in by hand.
const blank = "__________"

// card writes what a builder takes to the stand.
func (l *lacingRun) card(hub int, placed []lace.Spoke) (reply.Reply, error) {
	out, w := &l.out, &l.wheel
	ratio, err := spoke.Ratio(placed)
	if err != nil {
		return reply.Reply{}, misfit("offset", lacingExample, err)
	}
	_, hasERD := erd.Of(l.req)
	_, hasCircle := circle.Of(l.req)
	_, hasOffset := offset.Of(l.req)
	measuredAll := hasERD && hasCircle && hasOffset
	given := func(ok bool, text string) string {
		if ok {
			return text
		}
		return blank
	}
	which := strings.TrimSpace(w.End.String() + " " + map[build.Brake]string{build.DiscBrake: "disc", build.RimBrake: "rim brake"}[w.Brake])
	if which == "" {
		which = "wheel"
	}
	how := crossingsText(w.Left.Cross, w.Right.Cross)
	switch {
	case len(w.Joins) > 0:
		how = "hub holes left over"
	case w.Pattern != build.Crossed:
		how = w.Pattern.String()
	}
	out.Title = "Build card"
	out.Lead = []string{fmt.Sprintf("Build card: %s, %s holes, %s.", which, holesText(hub, w.Rim.Holes), how),
		"Lines left blank are to be filled in by hand."}
	if !measuredAll {
		out.Lead[1] = "With ERD, hole circles and offsets it holds the lengths; lines left blank are filled in by hand."
	}
	table := reply.Table{Head: []string{"", ""}}
	row := func(name, text string) {
		table.Rows = append(table.Rows, reply.Row{Cells: []string{name, text}})
	}
	row("rim", given(hasERD, "ERD "+w.Rim.ERD.Short())+", "+quantity.Count(w.Rim.Holes)+" holes")
	if w.Rim.ShiftLeft != 0 {
		row("rim holes", shift.As.Text(mustShift(l.req)))
	}
	row("rim mark", given(w.Rim.TensionMark > 0, quantity.FixedDown(w.Rim.TensionMark.In(quantity.KilogramForce), 0)+" kgf"))
	row("hub", given(hasCircle, "circles "+sidesText(w.Left.Flange.Circle, w.Right.Flange.Circle))+", offsets "+given(hasOffset, sidesText(w.Left.Flange.Offset, w.Right.Flange.Offset)))
	row("lacing", how)
	wire := blank
	if b, ok := gauge.Of(l.req); ok {
		wire = gauge.As.Text(b)
	}
	row("spoke", wire)
	lengths := spoke.Grouped(w, placed)
	for i, side := range build.Sides {
		text := quantity.Count(w.Spokes(side)) + " × " + blank
		if g := lengths.Of(side); measuredAll {
			text = quantity.Count(w.Spokes(side)) + " × " + g[0].Length.Short()
			if len(g) > 1 {
				text = quantity.Count(w.Spokes(side)) + ", " + quantity.Count(len(g)) + " lengths " + quantity.Trimmed(g[0].Length.MM(), 1) + "–" + g[len(g)-1].Length.Short()
			}
			out.Add(sideNames[i]+".length", float64(g[0].Length), reply.Metres)
		}
		row(sideNames[i], text)
		out.Add(sideNames[i]+".count", float64(w.Spokes(side)), reply.One)
	}
	most := quantity.Force(planned)
	if w.Rim.TensionMark > 0 {
		most = w.Rim.TensionMark
	}
	left, right := spoke.Tensions(most, ratio)
	row("plan", "left "+quantity.FixedDown(left.In(quantity.KilogramForce), 0)+", right "+quantity.FixedDown(right.In(quantity.KilogramForce), 0)+" kgf at most")
	out.Add("tension.ratio", ratio, reply.One)
	row("read", "left "+blank+" right "+blank)
	row("side, hop", blank)
	row("dish", blank)
	row("stress-relieved", blank)
	row("after first rides", blank)
	row("built by, on", blank)
	out.Tables = append(out.Tables, table)
	if w.Rim.TensionMark == 0 {
		out.Note("The rim's tension mark is not known: planned for 100 kgf on the tighter side, less if the rim says so", practice("usual levels 100–120 kgf where the rim allows it"))
	}
	if !hasOffset {
		out.Note("The balance of the sides is that of the usual hub named above: give the offsets for this one", spoke.RatioBasis)
	}
	out.Actions = append(out.Actions, reply.Action{Label: "lacing steps", Line: spec.Set(l.req, shows, "steps").Line()}, reply.Action{Label: "why", Line: "why"})
	return *out, nil
}

func mustShift(r spec.Request) measures {
	x, _ := shift.Of(r)
	return x
}

func holesText(hub, rim int) string {
	if hub == rim {
		return quantity.Count(rim)
	}
	return quantity.Count(hub) + "/" + quantity.Count(rim)
}

// sidesText writes a measure of both sides.
func sidesText(left, right quantity.Length) string {
	return quantity.Trimmed(left.MM(), 1) + "/" + right.Short()
}

// explain is the sum, for why.
func (l *lacingRun) explain(placed []lace.Spoke) {
	w := &l.wheel
	for i, side := range build.Sides {
		for _, s := range placed {
			if s.Side != side {
				continue
			}
			f := w.Half(side).Flange
			l.out.Step(title(sideNames[i]), fmt.Sprintf("hub hole and rim hole %s° apart, hole circle %s, spoke ends %s: %s° off radial at the flange, %s° off square at the nipple",
				quantity.Trimmed(s.Angle.In(quantity.Degree), 2), f.Circle.Short(), w.Rim.ERD.Short(), quantity.Fixed(s.Departure.In(quantity.Degree), 1), quantity.Fixed(s.Entry.In(quantity.Degree), 1)), lace.CrossingBasis)
			break
		}
	}
	if p := len(placed); p > 0 {
		l.out.Step("Spokes that pull", pullers(placed), practice("hub hole ahead of the rim hole, in the rolling direction"))
	}
}

// pullers lists the rim holes of the spokes that the chain pulls tighter.
func pullers(placed []lace.Spoke) string {
	var names []string
	for _, s := range placed {
		if s.Way == lace.Pulling {
			names = append(names, at(s.RimHole))
		}
	}
	if len(names) == 0 {
		return "none"
	}
	return "rim holes " + strings.Join(names, ", ")
}

// next offers what is likely asked next.
func (l *lacingRun) next(chosen bool) {
	if l.show != "steps" && len(l.wheel.Joins) == 0 && !(chosen && l.show == "") {
		r := spec.Set(l.req, shows, "steps")
		l.out.Actions = append(l.out.Actions, reply.Action{Label: "step by step", Line: r.Line()})
	}
	if l.show == "steps" || chosen {
		l.out.Actions = append(l.out.Actions, reply.Action{Label: "what else can be built", Line: spec.Set(l.req, shows, "patterns").Line()})
	}
	l.out.Actions = append(l.out.Actions, reply.Action{Label: "build card", Line: spec.Set(l.req, shows, "card").Line()}, reply.Action{Label: "why", Line: "why"})
}
