package commands

import (
	"spokeword/calc/quantity"
	"spokeword/commands/reply"
	"spokeword/commands/spec"
)

// mostCorrections is how many guesses of one line can be put right by a button.
const mostCorrections = 2

// otherwise is the unit that a bare number might have been meant in instead.
var otherwise = map[quantity.Unit]quantity.Unit{
	quantity.KG: quantity.LB, quantity.LB: quantity.KG,
	quantity.PSIUnit: quantity.BarUnit, quantity.BarUnit: quantity.PSIUnit,
	quantity.DegC: quantity.DegF, quantity.DegF: quantity.DegC,
	quantity.M: quantity.FT, quantity.FT: quantity.M,
	quantity.KGF: quantity.N, quantity.N: quantity.KGF,
}

// corrections offers the request with a guessed unit put right, for every
// number that was typed without one and makes sense in the other.
func corrections(req spec.Request) []reply.Action {
	var all []reply.Action
	for _, g := range req.Given {
		if g.Origin != spec.Assumed || len(all) == mostCorrections {
			continue
		}
		other, ok := inOther(g)
		if !ok {
			continue
		}
		all = append(all, reply.Action{Label: g.Option.Text(other) + "?", Line: req.With(spec.Given{Option: g.Option, Value: other}).Line()})
	}
	return all
}

// inOther returns the same number in the unit that it might have been meant in.
func inOther(g spec.Given) (any, bool) {
	switch v := g.Value.(type) {
	case measure:
		m, ok := meantIn(v)
		return m, ok && readsBack(g.Option, m)
	case measures:
		first, ok := meantIn(v.First)
		second, okay := meantIn(v.Second)
		v.First, v.Second = first, second
		return v, ok && okay && readsBack(g.Option, v)
	}
	return nil, false
}

func readsBack(o spec.Option, v any) bool {
	_, err := o.Parse(o.Text(v))
	return err == nil
}

// Bounds of what a tyre or a person here may be meant to have.
const (
	leastGauge, mostGauge = 0.2 * bar, 10 * bar
	leastMass, mostMass   = 15 * kg, 200 * kg
)

func meantIn(m measure) (measure, bool) {
	u, ok := otherwise[m.Unit]
	ok = ok && m.Number != 0 // nought is nought in most units
	m.Unit = u
	switch m.Kind() {
	case quantity.KindPressure:
		ok = ok && m.Gauge() >= leastGauge && m.Gauge() <= mostGauge
	case quantity.KindMass:
		ok = ok && m.SI() >= leastMass && m.SI() <= mostMass
	}
	return m, ok
}
