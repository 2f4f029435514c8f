package commands

import (
	"context"
	"errors"
	"fmt"
	"slices"

	"spokeword/calc/basis"
	"spokeword/calc/build"
	"spokeword/calc/quantity"
	"spokeword/calc/size"
	"spokeword/calc/tyre"
	"spokeword/commands/read"
	"spokeword/commands/reply"
	"spokeword/commands/spec"
)

func init() { add(measureCommand) }

// measureCommand guides somebody through measuring, one value at a time, and
// works out what the values come to. Where the guide stands is in the request:
// what it holds was measured, what it lacks is asked for next.
func measureCommand(Deps) *spec.Command {
	return &spec.Command{
		Name:    "measure",
		Summary: "Guide through measuring hub, rim, frame and tyre, one value at a time, and work it out",
		Because: "What you measured, and the geometry from there to what is wanted",
		Words: w("measure", "measuring", "how do i measure", "how to measure", "help me measure", "how do you measure", "help measuring", "walk me through", "calipers across", "no data", "what to measure", "what do i measure", "pcd from", "take the measures",
			de("messen", "ausmessen", "wie messe ich", "vermessen"), fr("mesurer", "comment mesurer"), es("medir", "cómo mido"), it("misurare", "come misuro")),
		// In the order in which a guide asks, so that "back" finds the last one.
		Options:  []spec.Option{guide, leftOut, head, way, holes, width, thickness, faceleft, faceright, circle, across, tangent, ahead, flangehole, pitch, rods, between, outer, gap, measured},
		Wants:    []spec.Want{{Any: []spec.Option{guide, width, faceleft, across, pitch, rods, between}, Weight: 1.0}},
		Weight:   0.4,
		Apart:    [][2][]spec.Option{{{rods}, {gap}}},
		Examples: []string{"measure erd", "measure rods 280 mm between 12 mm", "measure hub", "measure pitch 11.3 mm 32 holes", "measure hub 148 mm 38 from left 53 from right"},
		Suits:    holdsAny(guide, width, faceleft, faceright, way, across, pitch, rods, between, outer),
		Run: func(_ context.Context, req spec.Request) (reply.Reply, error) {
			m := &measureRun{req: req}
			return m.run()
		},
	}
}

// measureExample is a line that works, shown with mistakes.
const measureExample = "measure rods 280 mm between 12 mm"

// measureRun is one run of the command.
type measureRun struct {
	req spec.Request
	out reply.Reply
}

// takes is one value of a guide: what to hold where.
type takes struct {
	option  spec.Option
	text    string
	drawing []string
	likely  []reply.Action // answers by a button, as values of the option
	// without says how it goes on where the value can't be had; empty if it goes
	// on without it.
	without string
}

// takes returns what is measured, in the order in which it is. open says that
// the next answer decides how many more there are.
func (m *measureRun) takes(id string) (steps []takes, open bool) {
	switch id {
	case "erd":
		return []takes{
			{rods, "Cut two spokes or rods to one length, 270 to 300 mm. How long is each?", rodDrawing, nil, "Any two straight rods of one length do, even of wood, if they reach into the nipples. How long is each?"},
			{between, "Put each into a nipple through opposite holes, flush with the slot. How far apart are their inner ends? Negative if they overlap.", rodDrawing, nil, "Without the gap there is no ERD. Pull a thread tight from end to end and measure that."},
		}, false
	case "hub":
		return m.hubTakes()
	case "circle":
		return m.circleTakes()
	case "inner":
		return []takes{{outer, "Tyre on: how wide is the rim outside, at its widest? Bead to bead with the tyre off is better, best is the print on the rim, as 622x30.", rimDrawing, nil, "The print on the rim says it too, as 622x30: ask with that, as fit 2.4 on 30 mm."}}, false
	case "gap":
		return []takes{
			{gap, "Where the tyre runs, at its narrowest: how wide is it between the stays or fork legs?", gapDrawing, nil, "No calliper that reaches? Push drills or coins in beside the tyre, add them to its width."},
			{measured, "How wide is the tyre over its widest part, by calliper, at the pressure you ride?", gapDrawing, nil, "Its label will do, in mm: 2.4 in are 61."},
		}, false
	case "tyre":
		return []takes{{measured, "At the pressure you ride, a day after mounting: how wide is it over its widest part, casing or knobs?", tyreDrawing, nil, "No calliper? Lay a book on each side and measure between the covers."}}, false
	}
	return nil, false
}

// hubTakes are the steps for a hub: of another kind if it holds its spokes straight.
func (m *measureRun) hubTakes() (steps []takes, open bool) {
	steps = []takes{
		{head, "How does the hub hold its spokes: by an elbow through the flange, or straight pull?", headDrawing, m.words(head, "elbow", "straight pull"), "Look at one: a spoke that is bent at the hub has an elbow."},
		{holes, "How many spoke holes has the hub, both flanges together?", holesDrawing, m.counts(28, 32, 36), ""},
		{width, "End caps on: how wide is the hub over the faces that stand in the frame?", hubDrawing, m.values(width, 100, 110, 142, 148), "It is the width of the frame or fork at the axle: measure there, or read it on the frame's papers."},
	}
	const faces = "Lay a straight edge across the face and measure along the axle with a ruler; 1 mm here is only 0.1 mm of spoke."
	if head.Or(m.req, "") == "straight pull" {
		return append(steps,
			takes{faceleft, "From the left face (away from the gears) to the middle of the left spokes' heads, along the axle: how far?", hubDrawing, nil, faces},
			takes{faceright, "The same on the right, from the right face?", hubDrawing, nil, faces},
			takes{tangent, "How far from the axle's middle does the line of a spoke pass, left/right? Both if they are alike.", pullDrawing, nil, "Lay two straight rods along opposite spokes and take half of what lies between them."},
			takes{ahead, "How far does the head's seat lie ahead of the place nearest to the axle, towards the rim, left/right? Negative behind it.", pullDrawing, nil, "Without it lengths can't be told. A spoke that fits, and its length, would tell as much."}), false
	}
	flange := "flange's outer side"
	if has(leftOut.Or(m.req, nil), thickness.Name) {
		flange = "flange's middle"
	}
	return append(steps,
		takes{thickness, "How thick is a flange at its spoke holes?", thickDrawing, m.values(thickness, 2.5, 3, 3.5), ""},
		takes{faceleft, "From the left face (away from the gears) to the left " + flange + ": how far?", hubDrawing, nil, faces},
		takes{faceright, "The same on the right, from the right face?", hubDrawing, nil, faces},
		takes{circle, "The circle of spoke holes, hole middle to opposite hole middle, left/right? Both if they are alike.", circleDrawing, nil, ""},
		takes{flangehole, "How wide is one spoke hole?", circleDrawing, m.values(flangehole, 2.4, 2.5, 2.6), ""}), head.Or(m.req, "") == ""
}

// circleTakes are the steps for a hole circle, across the flange or from hole to
// next hole.
func (m *measureRun) circleTakes() (steps []takes, open bool) {
	_, byPitch := pitch.Of(m.req)
	_, byAcross := across.Of(m.req)
	byPitch = byPitch || way.Or(m.req, "") == "neighbours"
	count := takes{holes, "How many spoke holes has the hub, both flanges together?", holesDrawing, m.counts(28, 32, 36), ""}
	if _, said := way.Of(m.req); said || !byPitch && !byAcross {
		steps = append(steps, takes{way, "Can you reach a hole and the one opposite with a calliper, or only neighbours?", circleDrawing, m.words(way, "across", "neighbours"), "Neighbours can always be reached; take those if in doubt."})
		open = !said
	}
	if byPitch {
		count.without = "From hole to next hole it takes their number: count one flange, and take it twice."
		return append(steps, count, takes{pitch, "From the edge of one hole to the same edge of the next: how far?", circleDrawing, nil, "Press the flange into card and measure between the marks."}), open
	}
	return append(steps, count,
		takes{across, "Between the outer edges of two opposite holes: how far?", circleDrawing, nil, "If the calliper doesn't reach, measure pcd once more and take neighbours."},
		takes{flangehole, "How wide is one hole?", circleDrawing, m.values(flangehole, 2.4, 2.5, 2.6), ""}), open
}

// The drawings say what is held where.
var (
	rodDrawing = []string{
		"    .----------------------.",
		"  /   rod   |     |   rod    \\",
		" |=========>| gap |<=========|",
		"  \\        between          /",
		"    '----------------------'",
		"   rim, nipples in two holes",
	}
	headDrawing = []string{
		"  elbow     | |",
		"           (o_|________ spoke",
		"            | | flange",
		"  straight  .--.",
		"    pull    |[=|_______ spoke",
		"            '--' seat",
	}
	holesDrawing = []string{
		"      o   o   o",
		"    o     .     o   all round,",
		"    o   ( + )   o   then the",
		"    o     '     o   other flange",
		"      o   o   o",
	}
	thickDrawing = []string{
		"       ->| |<- thickness",
		" face    | |",
		"  |------| |------ axle",
		"         | |",
		"        flange, at the holes",
	}
	pullDrawing = []string{
		" rim <=========[head",
		"               |<ahead>|",
		"                       | tangent",
		"                       |",
		"                       + axle",
	}
	hubDrawing = []string{
		"|<---------- width ---------->|",
		"|        ||          ||       |",
		"|--------||----------||-------|",
		"|        ||          ||       |",
		"|<-left->|            |<right>|",
		" face to flange",
	}
	circleDrawing = []string{
		"      o<-pitch->o",
		"   o               o",
		"  o<--- circle ---->o",
		"   o               o",
		"      o    o    o",
	}
	rimDrawing = []string{
		" |<------- outside ------>|",
		" |  |<---- inside ---->|  |",
		" |_ |                  | _|",
		"   \\|__________________|/",
	}
	gapDrawing = []string{
		" stay |  .--------.  | stay",
		"      | |  tyre    | |",
		"      |<---- gap --->|",
	}
	tyreDrawing = []string{
		"    .----------.",
		"   |<- width -->|",
		"    '--.    .--'",
		"       rim",
	}
)

// which returns the guide that was asked for, or that the values belong to.
func (m *measureRun) which() (string, bool) {
	if id, ok := guide.Of(m.req); ok {
		return id, true
	}
	for _, x := range []struct {
		id  string
		any []spec.Option
	}{
		{"erd", []spec.Option{rods, between}}, {"circle", []spec.Option{pitch, across, way}}, {"hub", []spec.Option{width, faceleft, faceright, thickness, head, tangent, ahead}},
		{"inner", []spec.Option{outer}}, {"gap", []spec.Option{gap}}, {"tyre", []spec.Option{measured}},
	} {
		for _, o := range x.any {
			if _, ok := m.req.Get(o.About().Name); ok {
				return x.id, true
			}
		}
	}
	return "", false
}

func (m *measureRun) run() (reply.Reply, error) {
	id, ok := m.which()
	if !ok {
		return ask(m.req, guide, "What is to be measured?", "erd", "hub", "circle", "inner", "gap", "tyre"), nil
	}
	_, guided := guide.Of(m.req)
	if id == "hub" && guided && !m.said(head) && !m.said(holes) && m.said(width) && m.said(faceleft) && m.said(faceright) {
		guided = false // all in one line, to be worked out
	}
	if q, ok := m.wrongUnit(id); ok {
		return q, nil
	}
	steps, open := m.takes(id)
	for n, s := range steps {
		if m.said(s.option) || !guided && !m.needed(id, s.option) || s.without == "" && has(leftOut.Or(m.req, nil), s.option.About().Name) {
			continue
		}
		return m.ask(id, s, n, steps, open), nil
	}
	m.out.Title = "Measured"
	var err error
	switch id {
	case "erd":
		err = m.erd()
	case "hub":
		err = m.hub()
	case "circle":
		err = m.circle()
	case "inner":
		err = m.inner()
	case "gap":
		err = m.gap()
	case "tyre":
		m.tyre()
	}
	if err != nil && guided {
		return m.again(id, steps, err), nil
	}
	var lacking *build.MissingError
	if errors.As(err, &lacking) {
		return reply.Reply{}, misfit(string(lacking.Field), measureExample, err)
	}
	if err != nil {
		return reply.Reply{}, misfit("", measureExample, err)
	}
	return m.out, nil
}

// again asks for the last value once more where what was measured can't be a
// wheel: the guide goes on.
func (m *measureRun) again(id string, steps []takes, why error) reply.Reply {
	last := len(steps) - 1
	r := m.ask(id, steps[last], last, steps, false)
	r.Lead = []string{title(why.Error()) + ".", r.Lead[0]}
	return r
}

func (m *measureRun) said(o spec.Option) bool { _, ok := m.req.Get(o.About().Name); return ok }

// wrongUnit asks again for a value whose unit is none of a length, by its name
// and with what it may be.
func (m *measureRun) wrongUnit(id string) (reply.Reply, bool) {
	for _, g := range m.req.Given {
		v, ok := g.Value.(measure)
		if !ok || v.Kind() == quantity.KindLength {
			continue
		}
		f, ok := g.Option.Form().(read.Number)
		if !ok {
			continue
		}
		steps, open := m.takes(id)
		m.req = without(m.req, g.Option)
		for n, s := range steps {
			if s.option != g.Option {
				continue
			}
			r := m.ask(id, s, n, steps, open)
			low, high := quantity.Length(f.Least), quantity.Length(f.Most)
			r.Lead = []string{fmt.Sprintf("%s %s is %s: want %s to %s.", title(g.Option.About().Name), v, v.Kind(), exact(low), exact(high)), r.Lead[0]}
			return r, true
		}
	}
	return reply.Reply{}, false
}

// needed reports whether a value is wanted though no guide was asked for: a hub
// whose faces are told needs no holes and no circle.
func (m *measureRun) needed(id string, o spec.Option) bool {
	return id != "hub" || o == spec.Option(width) || o == spec.Option(faceleft) || o == spec.Option(faceright)
}

// ask puts the next step, with what was measured before kept in the line. How
// many steps there are is told once it is settled.
func (m *measureRun) ask(id string, s takes, n int, steps []takes, open bool) reply.Reply {
	r := reply.Reply{Title: "Measuring " + id, Drawing: s.drawing}
	r.Ask = &reply.Ask{Option: s.option.About().Name, Text: s.text, Choices: s.likely}
	if open {
		r.Lead = []string{fmt.Sprintf("Step %s: %s", quantity.Count(n+1), s.text)}
	} else {
		r.Lead = []string{fmt.Sprintf("%s of %s: %s", quantity.Count(n+1), quantity.Count(len(steps)), s.text)}
	}
	r.Ask.Text = r.Lead[0]
	if s.without != "" && has(leftOut.Or(m.req, nil), r.Ask.Option) {
		r.Lead = []string{s.without, r.Ask.Text}
	}
	if slices.ContainsFunc(steps, func(s takes) bool { return m.said(s.option) }) {
		r.Note("\"back\" takes the last value again, \"skip\" if this one can't be had, \"stop\" leaves it here", basis.Basis{})
	} else {
		r.Note("A bare number is in mm; inches and cm are read too", basis.Basis{})
	}
	return r
}

func (m *measureRun) values(a *spec.Arg[measure], numbers ...float64) []reply.Action {
	var all []reply.Action
	for _, n := range numbers {
		v := measure{Number: n, Unit: quantity.MM}
		all = append(all, reply.Action{Label: v.String(), Line: spec.Set(m.req, a, v).Line()})
	}
	return all
}

func (m *measureRun) words(a *spec.Arg[string], all ...string) []reply.Action {
	var out []reply.Action
	for _, v := range all {
		out = append(out, reply.Action{Label: v, Line: spec.Set(m.req, a, v).Line()})
	}
	return out
}

func (m *measureRun) counts(all ...int) []reply.Action {
	var out []reply.Action
	for _, n := range all {
		out = append(out, reply.Action{Label: quantity.Count(n), Line: spec.Set(m.req, holes, counts{spec.OneFor(n)}).Line()})
	}
	return out
}

// length returns a value that was measured.
func (m *measureRun) length(a *spec.Arg[measure]) quantity.Length {
	v, ok := a.Of(m.req)
	if !ok {
		return 0
	}
	return v.Length()
}

func exact(l quantity.Length) string { return quantity.Trimmed(l.MM(), 1) + " mm" }

// erd works out the circle of the spoke ends from two rods.
func (m *measureRun) erd() error {
	d, err := build.ERDByRods(m.length(rods), m.length(between))
	if err != nil {
		return err
	}
	m.out.Lead = []string{
		fmt.Sprintf("ERD %s: two rods of %s and %s between.", exact(d), exact(m.length(rods)), exact(m.length(between))),
		"Measure again at right angles and take the mean; 1 mm of it is 0.5 mm of every spoke.",
	}
	m.out.Add("erd", float64(d), reply.Metres)
	m.out.Note("To the slot of the nipples that were used: with others, measure again", build.ERDBasis)
	m.out.Step("ERD", fmt.Sprintf("2 × %s + %s = %s", exact(m.length(rods)), exact(m.length(between)), exact(d)), build.ERDBasis)
	m.next("spokes", "lengths with it", spec.Field{Option: erd.Name, Text: exact(d)}, spec.Field{Option: erdkind.Name, Text: "slot"})
	return nil
}

// holesOf returns the holes of one flange.
func (m *measureRun) holesOf() int {
	n, ok := holes.Of(m.req)
	if !ok || len(n) == 0 {
		return 0
	}
	return n[0].Any() / 2
}

// oddCircle remarks on a hole circle that ordinary hubs don't have.
func oddCircle(d quantity.Length) (string, bool) {
	const least, most = 30 * quantity.Millimetre, 110 * quantity.Millimetre // from memory
	if d >= least && d <= most {
		return "", false
	}
	return fmt.Sprintf("Ordinary hubs have 30 to 110 mm: measure %s once more, if it is no hub motor or brake drum.", exact(d)), true
}

func (m *measureRun) circle() error {
	var d quantity.Length
	var err error
	var how string
	if p, ok := pitch.Of(m.req); ok {
		d, err = build.CircleByPitch(p.Length(), m.holesOf(), 0)
		how = fmt.Sprintf("%s between neighbours of %s holes: pitch / sin(180° / %s)", exact(p.Length()), quantity.Count(m.holesOf()), quantity.Count(m.holesOf()))
	} else {
		hole := m.length(flangehole)
		if hole == 0 {
			const usual = 2.5 * quantity.Millimetre
			hole = usual
			m.out.Assume(flangehole.Name, exact(hole), "not measured, a usual one")
		}
		d, err = build.CircleAcross(m.length(across), hole)
		how = fmt.Sprintf("%s over the outer edges less a hole of %s", exact(m.length(across)), exact(hole))
	}
	if err != nil {
		return err
	}
	m.out.Lead = []string{
		fmt.Sprintf("Hole circle %s: %s.", exact(d), how),
		"Edge to the same edge is as good as middle to middle. Check with the opposite hole, and measure the other flange too.",
	}
	if text, odd := oddCircle(d); odd {
		m.out.Lead[1] = text
	}
	m.out.Add("circle", float64(d), reply.Metres)
	const perTenth = 0.5
	if _, ok := pitch.Of(m.req); ok {
		m.out.Note(fmt.Sprintf("0.1 mm of pitch makes about %s mm of circle; over several holes it is surer", quantity.Trimmed(perTenth, 1)), basis.Basis{Kind: basis.Computed, Source: "chord of a circle"})
	}
	m.out.Step("Hole circle", how+" = "+exact(d), basis.Basis{Kind: basis.Computed, Source: "chord of a circle"})
	fields := []spec.Field{{Option: circle.Name, Text: exact(d)}}
	if n, ok := holes.Of(m.req); ok {
		fields = append(fields, spec.Field{Option: holes.Name, Text: holes.As.Text(n)})
	}
	m.next("spokes", "lengths with it", fields...)
	return nil
}

// hub works out the flange offsets, and hands on what else was measured.
func (m *measureRun) hub() error {
	faces := m.length(width)
	straight := head.Or(m.req, "") == "straight pull"
	// Measured to the flange's outer side if its thickness is known, or else to
	// its middle; of a straight-pull hub to the heads.
	thick, outside := quantity.Length(build.UsualFlangeThickness), false
	if m.said(thickness) && !straight {
		thick, outside = m.length(thickness), true
	}
	var offsets [2]quantity.Length
	for i, face := range [2]quantity.Length{m.length(faceleft), m.length(faceright)} {
		if !outside {
			face -= thick / 2
		}
		var err error
		if offsets[i], err = build.OffsetFromFace(build.Sides[i], faces, face, thick); err != nil {
			return err
		}
		m.out.Add(sideNames[i]+".offset", float64(offsets[i]), reply.Metres)
		m.out.Step(title(sideNames[i])+" offset", fmt.Sprintf("%s / 2 − %s = %s", exact(faces), exact(face+thick/2), exact(offsets[i])), basis.Basis{Kind: basis.Computed, Source: "half the width less the way to the flange"})
	}
	m.out.Lead = []string{
		fmt.Sprintf("Flange offsets: left %s, right %s.", exact(offsets[0]), exact(offsets[1])),
		"To the middle of the flange, end caps on. 1 mm here is only 0.1 mm of spoke, so no need for tenths.",
	}
	if straight {
		m.out.Lead[1] = "To the middle of the heads, end caps on. 1 mm here is only 0.1 mm of spoke, so no need for tenths."
	}
	way := "face to flange"
	if straight {
		way = "face to heads"
	}
	table := reply.Table{Head: []string{"", "left", "right"}, Rows: []reply.Row{
		{Cells: []string{way, exact(m.length(faceleft)), exact(m.length(faceright))}},
		{Cells: []string{"offset", exact(offsets[0]), exact(offsets[1])}},
	}}
	fields := []spec.Field{{Option: offset.Name, Text: exact(offsets[0]) + "/" + exact(offsets[1])}}
	for _, x := range []struct {
		option *spec.Arg[measures]
		name   string
	}{{circle, "hole circle"}, {tangent, "tangent"}, {ahead, "seat ahead"}} {
		v, ok := x.option.Of(m.req)
		if !ok {
			continue
		}
		table.Rows = append(table.Rows, reply.Row{Cells: []string{x.name, exact(v.First.Length()), exact(v.Second.Length())}})
		fields = append(fields, spec.Field{Option: x.option.Name, Text: x.option.As.Text(v)})
		if x.option != circle {
			continue
		}
		for i, d := range [2]quantity.Length{v.First.Length(), v.Second.Length()} {
			m.out.Add(sideNames[i]+".circle", float64(d), reply.Metres)
			if text, odd := oddCircle(d); odd {
				m.out.Lead[1] = text
			}
		}
	}
	if outside {
		table.Rows = append(table.Rows, reply.Row{Cells: []string{"flange", exact(thick), exact(thick)}})
	}
	if v, ok := flangehole.Of(m.req); ok {
		table.Rows = append(table.Rows, reply.Row{Cells: []string{"hole", exact(v.Length()), exact(v.Length())}})
		fields = append(fields, spec.Field{Option: flangehole.Name, Text: v.String()})
	}
	if n, ok := holes.Of(m.req); ok {
		fields = append(fields, spec.Field{Option: holes.Name, Text: holes.As.Text(n)})
	}
	m.out.Tables = append(m.out.Tables, table)
	if !m.said(circle) && !straight {
		m.out.Actions = append(m.out.Actions, reply.Action{Label: "hole circle next", Line: "measure guide:circle"})
	}
	if !m.said(head) {
		m.out.Note("Of a hub with elbow spokes; a straight-pull hub is measured otherwise", basis.Basis{})
		for _, kind := range []string{"elbow", "straight pull"} {
			whole := spec.Set(spec.Set(m.req, guide, "hub"), head, kind)
			if kind == "elbow" { // the faces were told to the flanges' middles
				whole = spec.Set(whole, leftOut, words{thickness.Name})
			}
			m.out.Actions = append(m.out.Actions, reply.Action{Label: "the rest: " + kind, Line: whole.Line()})
		}
	}
	m.next("spokes", "lengths with it", fields...)
	return nil
}

// inner estimates the width inside from that outside.
func (m *measureRun) inner() error {
	between, err := size.InnerFromOuter(m.length(outer))
	if err != nil {
		return err
	}
	mid := (between.Low + between.High) / 2
	m.out.Lead = []string{
		fmt.Sprintf("About %s inside, %s to %s: the outside less about 5 mm.", exact(mid), exact(between.Low), exact(between.High)),
		"An estimate for alloy rims. The print on the rim, as 622x30, or bead to bead with the tyre off is better.",
	}
	m.out.Values = append(m.out.Values, reply.Value{Name: "inner", Value: float64(mid), Unit: reply.Metres, Low: float64(between.Low), High: float64(between.High)})
	m.next("fit", "what fits it", spec.Field{Option: rim.Name, Text: exact(mid)})
	return nil
}

// gap tells the room beside the tyre.
func (m *measureRun) gap() error {
	c, err := tyre.Clear(m.length(gap), m.length(measured))
	if err != nil {
		return err
	}
	side := (m.length(gap) - m.length(measured)) / 2
	m.out.Lead = []string{fmt.Sprintf("%s on each side of a tyre %s wide in a gap of %s.", exact(side), exact(m.length(measured)), exact(m.length(gap))), roomFor(c)}
	m.out.Add("gap", float64(m.length(gap)), reply.Metres)
	m.out.Add("clearance", float64(side), reply.Metres)
	m.out.Facts.FitOutside = !c.Other
	m.out.Note("6 mm is asked on most bikes, 4 mm on racing bikes, 1.6 mm at any point", tyre.OtherClearanceBasis)
	m.out.Note("Mud wants 6 to 10 mm; the frame's maker may allow less than fits", tyre.MudClearanceBasis)
	m.next("fit", "which tyre fits it", spec.Field{Option: gap.Name, Text: exact(m.length(gap))})
	return nil
}

func roomFor(c tyre.Clearance) string {
	switch {
	case c.Mud:
		return "Enough, for mud too."
	case c.Other:
		return "Enough on dry ground; mud wants more."
	case c.Racing:
		return "Only what is asked of racing bikes: a narrower tyre is safer."
	}
	return "Too tight: take a narrower tyre."
}

// tyre hands the width on.
func (m *measureRun) tyre() {
	d := m.length(measured)
	m.out.Lead = []string{
		fmt.Sprintf("%s is %s in wide.", exact(d), quantity.Trimmed(quantity.IN.Number(float64(d)), 2)),
		"It grows 1 to 2 mm in the first weeks; makers allow themselves 3 mm either way.",
	}
	m.out.Add("width", float64(d), reply.Metres)
	m.out.Note("Over casing and over knobs are two widths: compare like with like", practice(""))
	m.next("fit", "against its label, 2.4", spec.Field{Option: tyreOption.Name, Text: "2.4 in"}, spec.Field{Option: measured.Name, Text: exact(d)})
}

// next offers a command with what was found, ahead of what else is offered.
func (m *measureRun) next(command, label string, fields ...spec.Field) {
	m.out.Actions = append([]reply.Action{{Label: label, Line: spec.Filled(command, fields...)}}, m.out.Actions...)
}
