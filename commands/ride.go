package commands

import (
	"context"
	"fmt"
	"slices"
	"strings"

	"spokeword/calc/air"
	"spokeword/calc/basis"
	"spokeword/calc/quantity"
	"spokeword/calc/tyre"
	"spokeword/commands/read"
	"spokeword/commands/reply"
	"spokeword/commands/spec"
)

func init() { add(ride) }

// rideConditions are the options that hold for every rider of a ride.
var rideConditions = []spec.Option{ground, riding, rim, bead}

// mostRideActions is how many riders of a group get a line of their own to ask.
const mostRideActions = 6

// ride prepares a group's sheet, poll or reminder. Until anything is kept it
// says so, and offers each rider's start that can be worked out at once.
func ride(deps Deps) *spec.Command {
	return &spec.Command{
		Name:    "ride",
		Summary: "Prepare a group ride: a sheet of everybody's pressures, a poll, a reminder",
		Words: w("sheet", "sheet for", "set-up sheet", "setup sheet", "ride sheet", "group ride", "club ride", "remind", "reminder", "remind everyone", "poll", "collect", "from everyone", "who has which",
			de("gruppenausfahrt", "umfrage", "erinnere"), fr("sondage", "rappel", "sortie"), es("encuesta", "recordatorio"), it("sondaggio", "promemoria")),
		Keys: []string{
			"who|whos|whose|anyone|wer|qui|quién|quien|chi ride|ausfahrt|sortie|salida|uscita|giro in|coming|up|joining|dabei|vient|viene|joins",
			"ask|frag~|demande|pregunta|chiedi everyone|everybody|all|alle|allen|tous|todos|tutti who|what|which|wer|was|welche|qui|quel~|quién|qué|que|chi|quali",
			"announce|post|organise|organize|invite ride|rides",
		},
		Options:  append([]spec.Option{riders, when, place, ridetemp}, rideConditions...),
		Wants:    []spec.Want{{Any: []spec.Option{riders, when}, Weight: 0.6}},
		Weight:   0.5,
		Everyday: true,
		Suits:    holdsAny(riders, when, place),
		Examples: []string{"sheet for saturday 6 riders wet rocks 4 °C", "ride ann 62 kg 29x2.35, ben 95 kg 27.5x2.6 insert"},
		Run: func(_ context.Context, req spec.Request) (reply.Reply, error) {
			r := &rideRun{req: req, starts: pressureCommand(deps), unit: deps.pressureFirst(req), out: notKept("Group rides", "rides, sheets, polls and reminders")}
			if len(req.Given) == 0 {
				r.byHand()
			} else {
				r.sheet()
			}
			return r.out, nil
		},
	}
}

// rideRun is one run of the command.
type rideRun struct {
	req    spec.Request
	starts *spec.Command // works out a start
	unit   quantity.Unit
	out    reply.Reply
	allows bool // practice allows something for the ground
}

// byHand tells what can be copied by hand for a reminder or a poll, where the line
// tells nothing of the ride.
func (r *rideRun) byHand() {
	const cold = 5.0 // °C
	usual, digits := r.usual()
	drop := ""
	there := atHall
	there.Temperature = measure{Number: cold, Unit: quantity.DegC}.Temperature()
	if got, err := air.Read(usual, atHall, there); err == nil {
		drop = fmt.Sprintf("%s set at %s °C reads %s at %s °C", usual.Text(r.unit, quantity.Nearest), quantity.Trimmed(hall, 0), quantity.Fixed(r.unit.Number(float64(got.Read)), digits), quantity.Trimmed(cold, 0))
	}
	r.out.Lead = append(r.out.Lead, "Copy by hand what serves you, below.")
	r.out.Tables = append(r.out.Tables, reply.Table{Head: []string{"for", "text"}, Rows: []reply.Row{
		{Cells: []string{"cold", "Check your pressure where we start: " + drop + "."}},
		{Cells: []string{"sealant", "Older than 2–6 months? Shake the wheel: no slosh, fill up."}},
		{Cells: []string{"tubes", "Tell your wheel size, tyre width and valve, so that somebody has a tube that fits."}},
		{Cells: []string{"sheet", "Send me alone your weight and tyre: I work out your start, nobody else sees the weight."}},
	}})
	r.out.Facts.ColdOrDescent = true
	r.out.Note("The drop by the gas law", air.GasLawBasis)
	r.out.Note("How long sealant lasts", basis.Basis{Kind: basis.Article, Source: "trade articles on sealant"})
	r.out.Actions = append(r.out.Actions, reply.Action{Label: "a sheet by weights", Line: "ride riders:\"ann 62 kg 29x2.35, ben 95 kg 27.5x2.6 insert\""})
}

// hall is how warm it is where a club pumps.
const hall = 20.0 // °C

var atHall = air.Place{Temperature: measure{Number: hall, Unit: quantity.DegC}.Temperature()}

// usual is a pressure to show what the cold takes, with the places it is shown to.
func (r *rideRun) usual() (quantity.Gauge, int) {
	if r.unit != quantity.PSIUnit {
		return 1.5 * quantity.Bar, 2
	}
	return 22 * quantity.PSI, 1
}

// sheetWeights are the riders of a sheet for whom no weight was told.
var sheetWeights = []float64{45, 60, 75, 90, 105}

// sheet writes everybody's start; where no weights are told, those of usual ones.
func (r *rideRun) sheet() {
	table := reply.Table{Title: "Starts, " + r.unit.String(), Head: []string{"", endNames[0], endNames[1]}}
	p, _ := riders.Of(r.req)
	if len(p.Riders) == 0 {
		on := usualWidths["29"]
		r.out.Assume("tyre", on, "a usual one; tell weights with a tyre of their own, as 62, 75 and 88 kg on 27.5x2.6")
		for _, kilos := range sheetWeights {
			m := measure{Number: kilos, Unit: quantity.KG}
			r.row(&table, m.String(), spec.Field{Option: rider.Name, Text: m.String()}, spec.Field{Option: tyreOption.Name, Text: on})
		}
	}
	for _, m := range p.Riders {
		r.row(&table, m.Name, startFields(m)...)
		if len(r.out.Actions) < mostRideActions {
			r.out.Actions = append(r.out.Actions, reply.Action{Label: "start for " + m.Name, Line: startOf(m, r.req)})
		}
	}
	if len(table.Rows) == 0 {
		r.out.Lead = append(r.out.Lead, "Let each rider ask for their own start: in a message to the bot alone, nobody else sees the weight.")
		offerWith(&r.out, r.req, "a rider's start", "pressure", ground, riding, ridetemp)
		return
	}
	r.out.Facts.Pressure, r.out.Facts.Start = true, true
	r.out.Tables = append(r.out.Tables, table)
	kept := r.out.Lead[0]
	r.out.Lead = []string{"The starts stand below, front and rear in " + r.unit.String() + "; copy them for the ride.", kept}
	if len(p.Riders) == 0 {
		r.out.Lead = []string{kept, "What can be copied for the ride stands below: starts by the rider's weight, front and rear in " + r.unit.String() + "."}
		r.out.Note("With names, weights and tyres it is a line each: ann 62 kg 29x2.35, ben 95 kg 27.5x2.6 insert", practice("sheets"))
		offerWith(&r.out, r.req, "a rider's start", "pressure", ground, riding, ridetemp)
	}
	if slices.ContainsFunc(table.Rows, func(row reply.Row) bool { return row.Cells[1] == "ask" }) {
		r.out.Note("Who stands as ask has no start from what was told, or one above what the marks allow: their own line says why", practice("sheets"))
	}
	r.weather()
}

// row adds a rider's start to the sheet, with what practice allows for ground and
// insert; who can't be worked out from what was told is left to ask.
func (r *rideRun) row(table *reply.Table, name string, fields ...spec.Field) {
	ends := r.ends(fields)
	table.Rows = append(table.Rows, reply.Row{Cells: []string{name, ends[0], ends[1]}})
}

// ends works out a rider's two starts, as cells.
func (r *rideRun) ends(fields []spec.Field) [2]string {
	for _, o := range rideConditions {
		if g, ok := r.req.Get(o.About().Name); ok && !slices.ContainsFunc(fields, func(f spec.Field) bool { return f.Option == o.About().Name }) {
			fields = append(fields, spec.Field{Option: o.About().Name, Text: o.Text(g.Value)})
		}
	}
	cells := [2]string{"ask", "ask"}
	set := spec.Request{Command: r.starts}
	for _, f := range fields {
		o, ok := startOption(f.Option)
		if !ok {
			return cells
		}
		v, err := o.Parse(f.Text)
		if err != nil {
			return cells
		}
		set = set.With(spec.Given{Option: o, Value: v})
	}
	p := &pressureRun{req: set, unit: r.unit}
	start, q, err := p.start()
	if q == nil && err == nil && start.Front.Standing != tyre.AboveMax && start.Rear.Standing != tyre.AboveMax {
		own, below := p.facts(), start.Front.Standing == tyre.BelowMin || start.Rear.Standing == tyre.BelowMin
		r.out.Facts.Hookless = r.out.Facts.Hookless || own.Hookless
		r.out.Facts.SpecialUse = r.out.Facts.SpecialUse || own.SpecialUse
		r.out.Facts.BelowMinimum = r.out.Facts.BelowMinimum || below
		all := p.allowances()
		for i, s := range [2]tyre.WheelStart{start.Front, start.Rear} {
			cells[i] = strings.TrimSuffix(within(s, s.Pressure, r.unit), ".0")
			if low, high, ok := p.allowed(i, s, slices.DeleteFunc(slices.Clone(all), func(a allowance) bool { return a.perhaps })); ok {
				r.allows = true
				cells[i] = strings.TrimSuffix(within(s, low, r.unit), ".0") + "–" + strings.TrimSuffix(within(s, high, r.unit), ".0")
			}
		}
	}
	return cells
}

// weather tells what to pump indoors for the cold of the ride.
func (r *rideRun) weather() {
	if g, ok := ground.Of(r.req); ok && r.allows {
		r.out.Note("What practice allows for "+strings.Join(g, " and ")+" is in it; never below what the marks allow", practice("changes for ground"))
	} else if has(g, "mud") {
		r.out.Note(mudSchools, practice("mud"))
	}
	cold, ok := ridetemp.Of(r.req)
	if !ok {
		return
	}
	usual, digits := r.usual()
	from, there := atHall, atHall
	there.Temperature = cold.Temperature()
	set, err := air.SetFor(usual, from, there)
	if err != nil {
		return
	}
	r.out.Facts.ColdOrDescent = there.Temperature.Celsius() < 5
	r.out.Note(fmt.Sprintf("Pumped indoors at %s °C for %s: %s %s on top of %s", quantity.Trimmed(hall, 0), cold, quantity.SignedFixed(r.unit.Number(float64(set.Set-usual)), digits), r.unit, quantity.Trimmed(r.unit.Number(float64(usual)), 1)),
		basis.Basis{Kind: basis.Computed, Source: "gas law"})
}

// startOf is the line that asks for a rider's start, in the ride's conditions.
func startOf(m read.Member, req spec.Request) string {
	fields := startFields(m)
	for _, o := range rideConditions {
		if g, ok := req.Get(o.About().Name); ok {
			fields = append(fields, spec.Field{Option: o.About().Name, Text: o.Text(g.Value)})
		}
	}
	return spec.Filled("pressure", fields...)
}

// startFields are what is told of one rider.
func startFields(m read.Member) []spec.Field {
	fields := []spec.Field{{Option: rider.Name, Text: m.Weight.String()}, {Option: tyreOption.Name, Text: m.Tyre.String()}}
	for _, has := range m.Has {
		if has == "insert" {
			fields = append(fields, spec.Field{Option: insert.Name, Text: "rear"})
			continue
		}
		fields = append(fields, spec.Field{Option: system.Name, Text: has})
	}
	return fields
}

// startOption returns one of the options that a start is worked out from.
func startOption(name string) (spec.Option, bool) {
	for _, o := range append([]spec.Option{rider, tyreOption, system, insert}, rideConditions...) {
		if o.About().Name == name {
			return o, true
		}
	}
	return nil, false
}
