package commands

import (
	"context"
	"errors"
	"fmt"
	"math"
	"slices"
	"strings"

	"spokeword/calc/air"
	"spokeword/calc/basis"
	"spokeword/calc/quantity"
	"spokeword/calc/size"
	"spokeword/calc/tyre"
	"spokeword/commands/reply"
	"spokeword/commands/spec"
)

func init() { add(airCommand) }

// airCommand tells what a gauge reads where it is colder, warmer, higher or
// lower than where the tyre was set, and what to set to have a pressure there.
func airCommand(deps Deps) *spec.Command {
	return &spec.Command{
		Name:    "air",
		Summary: "Tell what cold, warmth, height, a flight or a hot car do to the gauge, and what to set for it",
		Because: "Absolute pressure goes with absolute temperature; a gauge shows what is above the air outside",
		Words: w("how much extra", "let it out", "deflate", "gain psi", "lose psi", "do i lose", "will i lose", "does it lose", "do they lose", "do i gain", "gain pressure", "lose pressure", "heat up", "same psi as home", "altitude", "gonna be", "will i have", "what will i have", "what do i have", "what have i got then", "will it read", "what will it read", "pumps tonight",
			de("höhe"), fr("altitude")),
		Options:  []spec.Option{pressure, target, settemp, ridetemp, setheight, rideheight, bead, tyremax, tyremin, rimmax},
		Wants:    []spec.Want{{Any: []spec.Option{pressure, target}, Weight: 0.6}},
		Enough:   [][]spec.Option{{setheight, rideheight}, {settemp, ridetemp}},
		Apart:    [][2][]spec.Option{{{pressure}, {target}}},
		Weight:   0.2,
		Examples: []string{"22 psi set at 20 °C riding at -5 °C", "24psi at beach 25c riding 2000m 5c", "workshop 20 °C to have 22 psi at -2 °C", "flying with 25 psi"},
		// A pressure by itself asks for no other place.
		Suits: func(r spec.Request) bool {
			return len(r.Given) == 0 || slices.ContainsFunc(r.Given, ofPlace)
		},
		Run: func(_ context.Context, req spec.Request) (reply.Reply, error) {
			return newAir(req, deps.pressureFirst(req)).run()
		},
	}
}

// ofPlace reports whether a value tells where a pressure is set or ridden.
func ofPlace(g spec.Given) bool {
	return slices.Contains([]string{settemp.Name, ridetemp.Name, setheight.Name, rideheight.Name}, g.Option.About().Name)
}

// newAir returns a run that shows a unit of pressure first.
func newAir(req spec.Request, unit quantity.Unit) *airRun {
	return &airRun{req: req, unit: unit, degree: unitOf(req, quantity.KindTemperature, quantity.DegC), metre: unitOf(req, quantity.KindLength, quantity.M)}
}

// airExample is a line that works, shown with mistakes.
const airExample = "air 22 psi set at 20 °C riding at -5 °C"

// airRun is one run of the command.
type airRun struct {
	req                 spec.Request
	unit, degree, metre quantity.Unit // shown first
	out                 reply.Reply
	from, to            air.Place
	warmed, climbed     bool // temperatures, heights differ or were asked about
	flight, car         bool
}

func (a *airRun) run() (reply.Reply, error) {
	a.out.Title = "Air in cold and height"
	if q, ok := a.otherScale(); ok {
		return q, nil
	}
	if q, ok := a.places(); ok {
		return q, nil
	}
	said, wanted := pressure.Of(a.req)
	if t, ok := target.Of(a.req); ok {
		said, wanted = t, true
	}
	if !wanted {
		return a.anyPressure()
	}
	if q, ok := a.implausible(said); ok {
		return q, nil
	}
	return a.answer(said)
}

// otherScale asks about a temperature that is likely in the other scale: a
// bare number that could be either, or in °C more than it gets where tyres are
// pumped (38) or ridden (46).
func (a *airRun) otherScale() (reply.Reply, bool) {
	for _, o := range []*spec.Arg[measure]{settemp, ridetemp} {
		g, ok := a.req.Get(o.Name)
		if !ok {
			continue
		}
		m := g.Value.(measure)
		number := m.Number
		bare := g.Origin == spec.Assumed && strings.Contains(g.Why, "by its size")
		celsius := m.Temperature().Celsius()
		hot := m.Unit == quantity.DegC && (o == settemp && celsius >= 38 || o == ridetemp && celsius >= 46 && m.Temperature() != air.HotCar)
		if !hot && !(bare && number >= 30 && number <= 60) {
			continue
		}
		text := fmt.Sprintf("%s for %s: °C or °F?", quantity.Exact(number), map[*spec.Arg[measure]]string{settemp: "where it is set", ridetemp: "where it is ridden"}[o])
		if hot {
			other := measure{Number: number, Unit: quantity.DegF}
			if o == settemp {
				return ask(a.req, o, fmt.Sprintf("%s is hot for a place to pump. Was %s meant?", m, other), other), true
			}
			return ask(a.req, o, fmt.Sprintf("%s is hotter than any ride. Was %s meant, or a closed car in the sun?", m, other), other,
				measure{Number: air.HotCar.Celsius(), Unit: quantity.DegC}), true
		}
		return ask(a.req, o, text, measure{Number: number, Unit: quantity.DegC}, measure{Number: number, Unit: quantity.DegF}), true
	}
	return reply.Reply{}, false
}

// indoors is where a tyre was pumped if nobody said: a room.
const indoors = quantity.Temperature(273.15 + 20)

// places settles both places, with what is assumed said.
func (a *airRun) places() (reply.Reply, bool) {
	st, hasSetTemp := settemp.Of(a.req)
	rt, hasRideTemp := ridetemp.Of(a.req)
	sh, hasSetHeight := setheight.Of(a.req)
	rh, hasRideHeight := rideheight.Of(a.req)
	if !hasRideTemp && !hasRideHeight {
		if !hasSetTemp && !hasSetHeight {
			return a.generally(), true
		}
		if hasSetHeight {
			return ask(a.req, rideheight, "At which height is it ridden?", measure{Number: 0, Unit: quantity.M}, measure{Number: 2000, Unit: quantity.M}), true
		}
		return ask(a.req, ridetemp, "How cold or warm is it where it is ridden?", measure{Number: 5, Unit: quantity.DegC}, measure{Number: -5, Unit: quantity.DegC}), true
	}
	a.from.Temperature, a.to.Temperature = indoors, indoors
	switch {
	case hasSetTemp && hasRideTemp:
		a.from.Temperature, a.to.Temperature = st.Temperature(), rt.Temperature()
	case hasRideTemp:
		a.to.Temperature = rt.Temperature()
		a.out.Assume("settemp", "20 °C", "no temperature given for where it is set")
	case hasSetTemp:
		a.from.Temperature, a.to.Temperature = st.Temperature(), st.Temperature()
		a.out.Assume("ridetemp", st.String(), "none given, the same as where it is set")
	default:
		a.out.Assume("ridetemp", "unchanged", "none given; only the height is reckoned")
	}
	switch {
	case hasSetHeight && hasRideHeight:
		a.from.Height, a.to.Height = sh.Length(), rh.Length()
	case hasRideHeight:
		a.to.Height = rh.Length()
		a.out.Assume("setheight", "0 m", "no height given for where it is set, sea level")
	case hasSetHeight:
		a.from.Height, a.to.Height = sh.Length(), sh.Length()
		a.out.Assume("rideheight", sh.String(), "none given, the same as where it is set")
	}
	a.warmed, a.climbed = hasRideTemp, hasRideHeight
	a.flight = hasRideHeight && math.Abs(float64(a.to.Height-air.Cabin)) < 1
	a.car = hasRideTemp && a.to.Temperature == air.HotCar
	return reply.Reply{}, false
}

// generally answers where neither place nor pressure is known.
func (a *airRun) generally() reply.Reply {
	q := ask(a.req, ridetemp, "How cold or warm is it where it is ridden, or how high? As -5 °C, or 2000 m.", measure{Number: 5, Unit: quantity.DegC}, measure{Number: -5, Unit: quantity.DegC})
	g := quantity.Gauge(22 * quantity.PSI)
	if per, err := air.PerKelvin(g, air.Place{Temperature: indoors}); err == nil {
		q.Lead = []string{fmt.Sprintf("A tyre at 22 psi gains %s psi for each °C it warms; riding warms it by a few °C at most, the sun by more.", quantity.Trimmed(quantity.PSIUnit.Number(float64(per)), 2)), q.Ask.Text}
		if up, err := air.Read(g, air.Place{Temperature: indoors}, air.Place{Temperature: indoors, Height: 1000}); err == nil {
			q.Lead[0] += fmt.Sprintf(" The first 1000 m up add %s.", a.gauged(up.Change()))
		}
		q.Note("Absolute pressure over absolute temperature", air.GasLawBasis)
	}
	q.Note("Disc brakes leave the rim cool; one rider reports 2 psi more in the sun", basis.Basis{Kind: basis.Article, Source: "a riders' forum"})
	q.Title, q.Facts.Pressure = a.out.Title, true
	return q
}

// implausible questions a pressure no tyre here takes: "30 bar".
func (a *airRun) implausible(said measures) (reply.Reply, bool) {
	for i := range endNames {
		m, ok := ofEnd(said, i)
		if !ok || m.Gauge() <= 10*quantity.Bar && m.Gauge() >= 0.1*quantity.Bar {
			continue
		}
		u := quantity.PSIUnit
		if m.Unit == quantity.PSIUnit {
			u = quantity.BarUnit
		}
		other := said
		other.First.Unit, other.Second.Unit = u, u
		o := pressure
		if _, ok := target.Of(a.req); ok {
			o = target
		}
		q := ask(a.req, o, fmt.Sprintf("%s is no tyre pressure. Was %s meant?", m, measure{Number: m.Number, Unit: u}), other)
		q.Refused, q.Facts.Pressure = true, true
		return q, true
	}
	return reply.Reply{}, false
}

// named writes a pressure as it is spoken of: "22 psi", not "22.0".
func (a *airRun) named(g quantity.Gauge) string {
	return quantity.Trimmed(a.unit.Number(float64(g)), airDecimals(a.unit)) + " " + a.unit.String()
}

// gauged writes a pressure to a tenth of a psi in both units: what a change is
// worth is smaller than the step of a pump's gauge.
func (a *airRun) gauged(g quantity.Gauge) string {
	return a.one(g, a.unit) + " " + a.unit.String() + " (" + a.one(g, quantity.Other(a.unit)) + " " + quantity.Other(a.unit).String() + ")"
}

func (a *airRun) one(g quantity.Gauge, u quantity.Unit) string {
	return quantity.Fixed(u.Number(float64(g)), airDecimals(u))
}

func airDecimals(u quantity.Unit) int {
	switch u {
	case quantity.BarUnit, quantity.AtmUnit:
		return 2
	case quantity.MPAUnit:
		return 3
	case quantity.KPAUnit:
		return 0
	}
	return 1
}

func (a *airRun) signed(g quantity.Gauge) string {
	return quantity.SignedFixed(a.unit.Number(float64(g)), airDecimals(a.unit))
}

// there names the place where the tyre is read: "at −5 °C, 2000 m".
func (a *airRun) there() string {
	height := a.metres(a.to.Height)
	switch {
	case a.flight:
		return "in the cabin at " + height
	case a.car:
		return "in a car at " + a.degrees(a.to.Temperature)
	case a.warmed && a.climbed:
		return "at " + a.degrees(a.to.Temperature) + ", " + height
	case a.climbed:
		return "at " + height
	}
	return "at " + a.degrees(a.to.Temperature)
}

func (a *airRun) metres(h quantity.Length) string {
	u := a.metre
	if u != quantity.FT {
		u = quantity.M
	}
	return quantity.Fixed(u.Number(float64(h)), 0) + " " + u.String()
}

func (a *airRun) degrees(t quantity.Temperature) string {
	return quantity.Trimmed(a.degree.Number(float64(t)), 1) + " " + a.degree.String()
}

// reading works out one end: what it is set to here and reads there.
func (a *airRun) reading(g quantity.Gauge) (forward, inverse air.Reading, err error) {
	if _, ok := target.Of(a.req); ok {
		inverse, err = air.SetFor(g, a.from, a.to)
		return inverse, inverse, err
	}
	if forward, err = air.Read(g, a.from, a.to); err != nil {
		return
	}
	inverse, err = air.SetFor(g, a.from, a.to)
	return
}

// answer tells of the pressures that were named.
func (a *airRun) answer(said measures) (reply.Reply, error) {
	out := &a.out
	out.Facts = reply.Facts{Pressure: true, Hookless: anyHookless(a.req)}
	_, inverse := target.Of(a.req)
	table := reply.Table{Head: []string{a.unit.String(), "set", "reads", "change"}}
	parts := reply.Table{Title: "What makes the change, " + a.unit.String(), Head: []string{"", "temperature", "height"}}
	need := reply.Table{Title: "To have it there, " + a.unit.String(), Head: []string{"there", "set here", "extra"}}
	var leads, backs []string
	var first air.Reading
	seen := false
	same := said.Which == spec.Both || said.Which == spec.Each && said.First == said.Second
	for i, name := range endNames {
		m, ok := ofEnd(said, i)
		if !ok {
			continue
		}
		forward, back, err := a.reading(m.Gauge())
		if err != nil {
			return a.refuse(err)
		}
		for _, v := range []struct {
			name string
			g    quantity.Gauge
		}{{"set", forward.Set}, {"read", forward.Read}, {"delta", forward.Change()}, {"bytemperature", forward.ByTemperature}, {"byheight", forward.ByHeight}} {
			out.Add(name+"."+v.name, float64(v.g), reply.Pascals)
		}
		if forward.Read < forward.Set {
			out.Facts.ColdOrDescent = true
		}
		if least := gaugeOf(a.req, tyremin); least > 0 && min(forward.Read, forward.Set) < least {
			out.Facts.BelowMinimum = true
		}
		if r, no := a.aboveMarks(i, same, forward); no {
			return r, nil
		}
		if same && seen {
			continue
		}
		row, end := title(name), name+" "
		if same {
			row, end = "Both", ""
		}
		if !seen {
			first = forward
		}
		seen = true
		table.Rows = append(table.Rows, reply.Row{Cells: []string{row, a.one(forward.Set, a.unit), a.one(forward.Read, a.unit), a.signed(forward.Change())}})
		parts.Rows = append(parts.Rows, reply.Row{Cells: []string{row, a.signed(forward.ByTemperature), a.signed(forward.ByHeight)}})
		if inverse {
			leads = append(leads, end+a.gauged(forward.Set))
			backs = append(backs, end+a.gauged(forward.Read))
		} else {
			leads = append(leads, fmt.Sprintf("%s%s reads %s", end, a.named(forward.Set), a.gauged(forward.Read)))
			backs = append(backs, fmt.Sprintf("%s%s", end, a.gauged(back.Set)))
			need.Rows = append(need.Rows, reply.Row{Cells: []string{a.one(back.Read, a.unit), a.one(back.Set, a.unit), a.signed(back.Set - back.Read)}})
		}
		step := "Reading"
		if !same {
			step = title(name)
		}
		a.explain(step, forward, back, inverse)
	}
	if inverse {
		out.Lead = []string{"Set " + strings.Join(leads, ", ") + ".", "It then reads " + strings.Join(backs, ", ") + " " + a.there() + "."}
	} else {
		out.Lead = []string{title(strings.Join(leads, ", ")) + " " + a.there() + ".", a.advice(said, same, backs)}
	}
	out.Tables = append(out.Tables, table)
	if a.warmed && a.climbed {
		out.Tables = append(out.Tables, parts)
	}
	if !inverse && !a.flight && !a.car && math.Abs(float64(first.Change())) > 0.05*quantity.PSI {
		out.Tables = append(out.Tables, need)
	}
	a.onTheWay(first)
	a.notes(first)
	out.Actions = append(out.Actions, reply.Action{Label: "why", Line: "why"})
	return *out, nil
}

// onTheWay shows what the gauge reads at places between: where the weather
// turns out milder, or half the way up.
func (a *airRun) onTheWay(r air.Reading) {
	if a.flight || a.car {
		return
	}
	table := reply.Table{Title: a.named(r.Set) + " on the way", Head: []string{"", "reads"}}
	row := func(name string, p air.Place) {
		if x, err := air.Read(r.Set, a.from, p); err == nil {
			table.Rows = append(table.Rows, reply.Row{Cells: []string{name, a.one(x.Read, a.unit)}})
		}
	}
	steps := quantity.Temperature(5)
	if a.degree == quantity.DegF {
		steps = quantity.Temperature(10 / 1.8)
	}
	switch d := a.to.Temperature - a.from.Temperature; {
	case a.warmed && !a.climbed && (d > 2.5*steps || d < -2.5*steps):
		if d > 0 {
			steps = -steps
		}
		for _, t := range []quantity.Temperature{a.to.Temperature + 2*steps, a.to.Temperature + steps} {
			row(a.degrees(t), air.Place{Temperature: t, Height: a.to.Height})
		}
	case a.climbed && !a.warmed && a.to.Height != a.from.Height:
		p := air.Place{Temperature: a.to.Temperature, Height: (a.from.Height + a.to.Height) / 2}
		row(a.metres(p.Height), p)
	}
	if len(table.Rows) > 0 {
		a.out.Tables = append(a.out.Tables, table)
	}
}

// advice is the second line of a forward answer.
func (a *airRun) advice(said measures, same bool, backs []string) string {
	switch {
	case a.flight:
		return "Harmless to a tyre within its marks; the airline's desk decides. Leave some air in, to protect the rims."
	case a.car:
		return "Let some out before it stands in the sun if that nears a mark."
	}
	what := "To have that there"
	if same {
		what = "To have " + a.named(said.Any().Gauge()) + " there"
	}
	return what + ", set " + strings.Join(backs, ", ") + " here."
}

// most returns the lowest maximum known for an end, 0 if none, with its name.
func (a *airRun) most(i int) (quantity.Gauge, string) {
	var most quantity.Gauge
	what := ""
	lower := func(g quantity.Gauge, name string) {
		if g > 0 && (most == 0 || g < most) {
			most, what = g, name
		}
	}
	lower(gaugeOf(a.req, tyremax), "the tyre's mark")
	lower(gaugeOf(a.req, rimmax), "the rim's mark")
	if beadAt(a.req, i) == size.Hookless {
		lower(tyre.HooklessMax, "the most for any hookless rim")
	}
	return most, what
}

// aboveMarks refuses what would stand above a mark at either place.
func (a *airRun) aboveMarks(i int, same bool, r air.Reading) (reply.Reply, bool) {
	most, what := a.most(i)
	if most == 0 || max(r.Set, r.Read) <= most {
		return reply.Reply{}, false
	}
	no := reply.Reply{Title: a.out.Title, Refused: true, Mistake: true, Example: airExample, Assumed: a.out.Assumed, Facts: a.out.Facts}
	limit := most.Text(a.unit, quantity.Down)
	where, over := "here", r.Set
	if r.Set <= most {
		where, over = a.there(), r.Read
	}
	which := "the " + endNames[i]
	if same {
		which = "it"
	}
	no.Lead = []string{fmt.Sprintf("No: %s would stand at %s %s, above %s, %s.", which, a.gauged(over), where, limit, what)}
	no.Add(endNames[i]+".max", float64(most), reply.Pascals)
	if _, inverse := target.Of(a.req); r.Set <= most && !inverse {
		if safe, err := air.SetFor(most, a.from, a.to); err == nil {
			set := min(safe.Set, most)
			no.Lead = append(no.Lead, fmt.Sprintf("Set no more than %s here.", set.Text(a.unit, quantity.Down)))
			no.Add(endNames[i]+".set", float64(set), reply.Pascals)
			if m, err := quantity.ParseMeasure(set.Number(a.unit, quantity.Down) + " " + a.unit.String()); err == nil && set > 0 {
				no.Example = spec.Set(a.req, pressure, spec.OneFor(m)).Line()
			}
		}
		if t, err := air.WarmestBelow(most, r.Set, air.Place{Temperature: a.from.Temperature, Height: a.from.Height}); err == nil && a.warmed && !a.climbed {
			no.Note(fmt.Sprintf("Set as it is, it reaches %s at %s", limit, t.Text(a.degree)), air.GasLawBasis)
			no.Add(endNames[i]+".warmest", float64(t), reply.Kelvins)
		}
	}
	no.Note("The lower of the tyre's and the rim's mark binds", basis.Basis{Kind: basis.Standard, Source: "ISO 4210-1"})
	if a.car {
		no.Note("How hot a closed car gets", air.HotCarBasis)
	}
	return no, true
}

// refuse turns a model's refusal into the asker's mistake.
func (a *airRun) refuse(err error) (reply.Reply, error) {
	var out *quantity.RangeError
	if errors.As(err, &out) && out.Quantity == "reading there" {
		return reply.Reply{}, spec.Misuse("pressure", airExample, "%s; the tyre would be flat or burst there: want a pressure that leaves air in it", err.Error())
	}
	return reply.Reply{}, misfit("", airExample, err)
}

// notes say what the sum rests on, and how far rules of thumb are out.
func (a *airRun) notes(r air.Reading) {
	out := &a.out
	out.Note(fmt.Sprintf("Gauge plus the air about it, over absolute temperature. Air: %s where it is set, %s there", r.AirSet, r.AirRead), air.GasLawBasis)
	if a.climbed {
		out.Note("The air's mean pressure by height; weather moves a reading by 0.2 psi, up to 0.4", air.AtmosphereBasis)
		if !a.flight {
			if r.ByHeight > 0 {
				out.Note("It feels harder up there, since only the difference between inside and outside counts: set it at the top, or start lower", basis.Basis{Kind: basis.Computed, Says: "only the difference between inside and outside carries the load"})
			}
			out.Note("Feel follows the gauge: the air about a tyre presses on it from outside, so the same number on the gauge up there feels the same as at home. Threads that hold the absolute pressure to count are wrong", basis.Basis{Kind: basis.Computed, Says: "only the difference between inside and outside carries the load"})
		}
	}
	for _, t := range air.ByThumb(r, a.from, a.to) {
		name := map[air.Rule]string{air.TenFahrenheit: "\"1 psi for 10 °F\"", air.ThousandFeet: "\"Falls 1 psi for 1000 ft climbed\"", air.ScaledGauge: "Scaling the gauge's own number"}[t.Rule]
		if per, err := air.PerKelvin(r.Set, a.from); err == nil && t.Rule == air.TenFahrenheit {
			const tenFahrenheit = 10 / 1.8 // K
			warm, worth := "", "is worth "
			if a.degree == quantity.DegC {
				warm, worth = fmt.Sprintf("10 °C is worth %s psi, ", quantity.Trimmed(quantity.PSIUnit.Number(float64(per)*10), 2)), ""
			}
			name = fmt.Sprintf("At %s %s10 °F %s%s psi. \"1 psi for 10 °F\" comes from car tyres, near 38 psi: it", a.named(r.Set), warm, worth, quantity.Trimmed(quantity.PSIUnit.Number(float64(per)*tenFahrenheit), 2))
		}
		if math.Abs(float64(t.Out())) < 0.1*quantity.PSI {
			continue
		}
		out.Note(fmt.Sprintf("%s says %s; it is %s %s: out by %s", name, a.signed(t.Says), a.signed(t.Sum), a.unit, a.one(quantity.Gauge(math.Abs(float64(t.Out()))), a.unit)), t.Basis)
	}
	if a.flight {
		a.flown(r)
	}
	if a.car {
		out.Note("How hot a closed car gets", air.HotCarBasis)
	}
}

// flown adds what is worse than the cabin, and who decides.
func (a *airRun) flown(r air.Reading) {
	out := &a.out
	out.Note("Highest cabin altitude", air.CabinBasis)
	f, err := air.Fly(r.Set, air.Place{Temperature: a.from.Temperature, Height: a.from.Height})
	if err == nil {
		out.Note(fmt.Sprintf("In a hold without pressure at 11000 m it would gain %s, with no air about it at all %s %s", a.signed(f.Unregulated.Change()), a.signed(f.Vacuum-r.Set), a.unit), air.GasLawBasis)
	}
	out.Note("Check-in desks often ask for tyres to be let down: ask before you go, and leave some air in for the rims", basis.Basis{Kind: basis.Article, Source: "trade articles on travel"})
	out.Note("CO2 cartridges have rules of their own", practice("airlines differ"))
}

// anyPressure answers for usual pressures where none was named.
func (a *airRun) anyPressure() (reply.Reply, error) {
	q := ask(a.req, pressure, "Which pressure is yours?", spec.OneFor(measure{Number: 22, Unit: quantity.PSIUnit}), spec.OneFor(measure{Number: 25, Unit: quantity.PSIUnit}))
	q.Title, q.Assumed, q.Facts = a.out.Title, a.out.Assumed, reply.Facts{Pressure: true}
	table := reply.Table{Title: "By pressure, " + a.unit.String(), Head: []string{"", "reads", "to have it"}}
	if a.flight {
		table.Head = table.Head[:2]
	}
	var mid air.Reading
	for _, psi := range []float64{18, 20, 22, 25, 28, 32} {
		g := quantity.Gauge(psi * quantity.PSI)
		r, err := air.Read(g, a.from, a.to)
		if err != nil {
			return a.refuse(err)
		}
		back, err := air.SetFor(g, a.from, a.to)
		if err != nil {
			return a.refuse(err)
		}
		if psi == 22 {
			mid = r
			a.explain("Reading", r, back, false)
		}
		cells := []string{a.one(g, a.unit), a.one(r.Read, a.unit), fmt.Sprintf("set %s, %s", a.one(back.Set, a.unit), a.signed(back.Set-g))}
		table.Rows = append(table.Rows, reply.Row{Cells: cells[:len(table.Head)]})
	}
	q.Facts.ColdOrDescent = mid.Read < mid.Set
	from, err := air.SetFor(mid.Set, a.from, a.to)
	if err != nil {
		return a.refuse(err)
	}
	switch {
	case a.flight:
		q.Lead = []string{fmt.Sprintf("No need for the tyre's sake: the gauge gains %s in the cabin. The airline's desk decides; leave some air in for the rims.", a.gauged(mid.ByHeight))}
	case a.climbed && !a.warmed:
		q.Lead = []string{"Set the same number on the gauge where you ride: feel follows the gauge. " + fmt.Sprintf("Set where you come from, it reads %s %s %s.", a.gauged(quantity.Gauge(math.Abs(float64(mid.ByHeight)))), moreOrLess(mid.ByHeight), a.there())}
	default:
		q.Lead = []string{fmt.Sprintf("To have %s %s, set %s: %s. Others stand below.", a.named(mid.Set), a.there(), a.gauged(from.Set), a.signed(from.Set-mid.Set))}
	}
	q.Lead = append(q.Lead, q.Ask.Text)
	q.Tables = []reply.Table{table}
	a.notes(mid)
	q.Notes, q.Explain = a.out.Notes, a.out.Explain
	return q, nil
}

func moreOrLess(g quantity.Gauge) string {
	if g < 0 {
		return "less"
	}
	return "more"
}

// explain adds the sum of one end to what why tells.
func (a *airRun) explain(name string, r, back air.Reading, inverse bool) {
	before := a.out.Explain
	a.out.Explain = func(out *reply.Reply) {
		if before != nil {
			before(out)
		}
		a.working(out, name, r, back, inverse)
	}
}

// working is the sum, for why.
func (a *airRun) working(out *reply.Reply, name string, r, back air.Reading, inverse bool) {
	kelvin := func(t quantity.Temperature) string { return quantity.Trimmed(float64(t), 2) + " K" }
	if len(out.Working) == 0 {
		standard := func(h quantity.Length, p quantity.Absolute) string {
			return fmt.Sprintf("1013.25 hPa × (1 − 0.0065 × %s m / 288.15)^5.25588 = %s", quantity.Trimmed(float64(h), 1), p)
		}
		out.Step("Air where set", standard(a.from.Height, r.AirSet), air.AtmosphereBasis)
		out.Step("Air where read", standard(a.to.Height, r.AirRead), air.AtmosphereBasis)
	}
	k1, k2 := kelvin(a.from.Temperature), kelvin(a.to.Temperature)
	sum := func(g quantity.Gauge, p quantity.Absolute, over, under string, less quantity.Absolute, is quantity.Gauge) string {
		return fmt.Sprintf("(%s + %s) × %s / %s − %s = %s", hecto(g), p, over, under, less, hecto(is))
	}
	if !inverse {
		out.Step(name, sum(r.Set, r.AirSet, k2, k1, r.AirRead, r.Read), air.GasLawBasis)
	}
	out.Step(name+" to set", sum(back.Read, back.AirRead, k1, k2, back.AirSet, back.Set), air.GasLawBasis)
	out.Step(name+" parts", fmt.Sprintf("temperature %s hPa, height %s hPa", quantity.SignedFixed(float64(r.ByTemperature)/hectopascal, 2), quantity.SignedFixed(float64(r.ByHeight)/hectopascal, 2)), air.GasLawBasis)
}

const hectopascal = 100 // Pa

// hecto writes a gauge pressure in the unit of the air's.
func hecto(g quantity.Gauge) string { return quantity.Absolute(g).String() }
