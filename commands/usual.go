package commands

import (
	"fmt"
	"unicode"
	"unicode/utf8"

	"spokeword/calc/basis"
	"spokeword/calc/quantity"
	"spokeword/calc/size"
	"spokeword/calc/tyre"
	"spokeword/commands/reply"
	"spokeword/commands/spec"
)

// This file answers on usual parts where the asker's own are not told: before a question
// for them, or for the other end of the bike.

// usualRiders are between whom the pressures of the two ends are compared where nothing
// but one of them is told: common practice, no source.
var usualRiders = [2]quantity.Mass{55 * quantity.Kilogram, 100 * quantity.Kilogram}

// usualRider and usualSize stand for those that were not told, where a first answer goes
// before the question: common practice, no source.
const (
	usualRider = 75 * quantity.Kilogram
	usualSize  = "29x2.4"
)

// onUsual puts a first answer before the question for the tyre: where the rider, or a
// usual one, starts on a usual tyre. Of uses with limits of their own, and beside marks,
// it says nothing.
func (p *pressureRun) onUsual(q *reply.Reply) {
	mark, err := size.Parse(usualSize)
	if err != nil || p.use != "" || holdsAny(tyremax, tyremin, rimmax, rim, bead, load)(p.req) {
		return
	}
	req := spec.Set(p.req, tyreOption, spec.OneFor(mark))
	mass, weighed := rider.Of(p.req)
	if weighed && mass.Mass() < childBelow {
		return // on a smaller bike, as likely as not
	}
	if !weighed {
		req = spec.Set(req, rider, measure{Number: float64(usualRider), Unit: quantity.KG})
	}
	usual, err := (&pressureRun{req: req, unit: p.unit}).run()
	if err != nil {
		return
	}
	on := usualSize + ", as most ride"
	if !weighed {
		on = fmt.Sprintf("Say %s kg on %s", quantity.Fixed(float64(usualRider), 0), usualSize)
	}
	first(q, on, usual)
}

// first puts an answer on usual parts before a question, with its cautions.
func first(q *reply.Reply, on string, usual reply.Reply) {
	if usual.Ask != nil || usual.Refused || usual.Mistake || len(usual.Lead) == 0 || len(q.Lead) > 1 {
		return
	}
	q.Lead = append([]string{on + ": " + lower(usual.Lead[0])}, q.Lead...)
	q.Facts = q.Facts.And(usual.Facts)
}

// lower writes a sentence with a small letter at its begin.
func lower(text string) string {
	r, n := utf8.DecodeRuneInString(text)
	return string(unicode.ToLower(r)) + text[n:]
}

// otherEnd tells about what belongs into one tyre where only the other's pressure was
// told and this one is asked for, of a usual bike: 29x2.4 at both ends; never above a mark.
func (p *pressureRun) otherEnd() (reply.Reply, bool, error) {
	said, ok := pressure.Of(p.req)
	end, asked := wantedEnd.Of(p.req)
	apart := said.Which == spec.FirstOnly && end == endNames[1] || said.Which == spec.SecondOnly && end == endNames[0]
	if !ok || !asked || !apart || holdsAny(rider, tyreOption, bead, ground, insert, casing, use, load, tyremin)(p.req) {
		return reply.Reply{}, false, nil
	}
	usual, err := size.Parse(usualSize)
	if err != nil {
		return reply.Reply{}, false, err
	}
	told, other := 0, 1
	if said.Which == spec.SecondOnly {
		told, other = 1, 0
	}
	var low, high quantity.Gauge
	own := said.Any().Gauge()
	for i, mass := range usualRiders {
		bike := &pressureRun{req: spec.Set(spec.Set(p.req, rider, measure{Number: float64(mass), Unit: quantity.KG}), tyreOption, spec.OneFor(usual)), unit: p.unit}
		start, q, err := bike.start()
		if err != nil || q != nil {
			return reply.Reply{}, false, err
		}
		at := [2]tyre.WheelStart{start.Front, start.Rear}
		x := quantity.Gauge(float64(own) * float64(at[other].Model) / float64(at[told].Model))
		if i == 0 || x < low {
			low = x
		}
		if i == 0 || x > high {
			high = x
		}
	}
	text := low.Text(p.unit, quantity.Nearest)
	if t := high.Text(p.unit, quantity.Nearest); t != text {
		text += " to " + t
	}
	p.out.Title = "The other end"
	p.out.Facts.Pressure = true
	p.out.Lead = []string{
		fmt.Sprintf("%s about %s with %s %s: the rear carries more.", title(endNames[other]), text, own.Text(p.unit, quantity.Nearest), [2]string{"in front", "at the rear"}[told]),
		"That is for like tyres on both ends. Then ride it: the rear dings or squirms, 1 psi more there; the front pushes or is harsh, 1 less.",
	}
	for _, limit := range [...]struct {
		of   *spec.Arg[measure]
		name string
	}{{tyremax, "the tyre's"}, {rimmax, "the rim's"}} {
		if most := gaugeOf(p.req, limit.of); most > 0 && high > most {
			p.out.Lead[0] = fmt.Sprintf("%s at most %s, %s mark: it would want about %s with %s %s.", title(endNames[other]), most.Text(p.unit, quantity.Down), limit.name, text,
				own.Text(p.unit, quantity.Nearest), [2]string{"in front", "at the rear"}[told])
			low, high, p.out.Refused = min(low, most), most, true
		}
	}
	p.out.Values = append(p.out.Values, reply.Value{Name: endNames[other] + ".pressure", Value: float64(low+high) / 2, Unit: reply.Pascals, Low: float64(low), High: float64(high)})
	p.out.Note("Some ride 3 to 5 psi apart, on rocks or with an insert only at the rear; equal ones leave the front harsh", practice("both ends"))
	p.out.Step("Rear over front", fmt.Sprintf("the starts of the two ends in one ratio, for riders of %s to %s kg on 29x2.4", quantity.Fixed(float64(usualRiders[0]), 0), quantity.Fixed(float64(usualRiders[1]), 0)), basis.Basis{Kind: basis.Computed})
	p.out.Actions = append(p.out.Actions, reply.Action{Label: "for my weight and tyre", Line: pressureExample})
	return p.out, true, nil
}
