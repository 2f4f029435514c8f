package commands

import (
	"context"
	"fmt"
	"math"
	"strings"

	"spokeword/calc/basis"
	"spokeword/calc/quantity"
	"spokeword/commands/reply"
	"spokeword/commands/spec"
)

func init() { add(convert) }

// convert turns a number of one unit into another.
func convert(Deps) *spec.Command {
	return &spec.Command{
		Name:    "convert",
		Idly:    true,
		Summary: "Turn a number of one unit into another",
		Because: "One unit in terms of the other",
		Words:   w("convert", "conversion", "how many", "how much is", "equals", de("umrechnen", "wieviel ist"), fr("convertir", "combien font"), es("convertir", "cuánto es"), it("converti", "quanto fa")),
		Options: []spec.Option{amount, to},
		Wants:   []spec.Want{{Any: []spec.Option{amount}, Weight: 1.5}, {Any: []spec.Option{to}, Weight: 0.8}},
		// A number alone asks for nothing.
		Suits:    func(r spec.Request) bool { _, ok := to.Of(r); return ok },
		Weight:   0.6,
		Examples: []string{"1.6 bar in psi", "13st7 in kg", "2.4 in to mm", "22/25 psi in bar"},
		Run: func(_ context.Context, req spec.Request) (reply.Reply, error) {
			return converted(req)
		},
	}
}

// siUnits are the units in which values are given to programs.
var siUnits = map[quantity.Kind]reply.Unit{
	quantity.KindLength: reply.Metres, quantity.KindMass: reply.Kilograms, quantity.KindForce: reply.Newtons,
	quantity.KindPressure: reply.Pascals, quantity.KindTemperature: reply.Kelvins, quantity.KindAngle: reply.Radians,
	quantity.KindVolume: reply.CubicMetres,
}

func converted(req spec.Request) (reply.Reply, error) {
	const example = "convert 1.6 bar in psi"
	said, ok := amount.Of(req)
	if !ok {
		return ask(req, amount, "What shall I convert? A number with its unit, as 1.6 bar."), nil
	}
	from := said.Any()
	over, under, odd := oddFraction(said)
	if odd && under == 0 {
		return reply.Reply{}, spec.Misuse("quantity", "convert 5/8 in to mm", "quantity %s/0 in: want a fraction such as 5/8 in, or two lengths above nought", quantity.Exact(over))
	}
	u, ok := to.Of(req)
	if !ok {
		u = quantity.Other(from.Unit)
		if u == quantity.NoUnit {
			return ask(req, to, fmt.Sprintf("%s in which unit?", from)), nil
		}
		rep := req.With(spec.Given{Option: to, Value: u})
		out, err := converted(rep)
		out.Assume("to", u.String(), "no unit named, the other system's")
		return out, err
	}
	if u.Kind() != from.Kind() {
		return reply.Reply{}, spec.Misuse("to", example, "%s is %s and %s measures %s: want a unit of the same kind", from, from.Kind(), u, u.Kind())
	}
	var out reply.Reply
	out.Title = "Units"
	var results []string
	for i := range endNames {
		m, ok := ofEnd(said, i)
		if !ok || i == 1 && said.Which == spec.Both {
			continue
		}
		x := m.To(u)
		results = append(results, fmt.Sprintf("%s is %s", m, figure(x)))
		name := "value"
		if said.Which != spec.Both {
			name = endNames[i] + "." + name
		}
		out.Add(name, m.SI(), siUnits[from.Kind()])
		out.Step("Conversion", fmt.Sprintf("%s = %s", m, figure(x)), unitBasis(from.Kind()))
	}
	for _, r := range results {
		out.Lead = append(out.Lead, r+".")
	}
	if odd {
		x := measure{Number: over / under, Unit: quantity.IN}
		out.Lead = []string{fmt.Sprintf("As a fraction %s/%s in is %s.", quantity.Exact(over), quantity.Exact(under), figure(x.To(u))), "As two lengths: " + strings.Join(results, ", ") + "."}
		out.Add("value", x.SI(), siUnits[from.Kind()])
		out.Step("Fraction", fmt.Sprintf("%s / %s in = %s", quantity.Exact(over), quantity.Exact(under), figure(x.To(u))), unitBasis(from.Kind()))
	}
	if from.Kind() == quantity.KindPressure && from.Gauge() > 10*quantity.Bar {
		out.Lead = append(out.Lead[:1], fmt.Sprintf("No tyre here takes that. Was %s meant?", measure{Number: from.Number, Unit: quantity.PSIUnit}))
		out.Facts.Pressure = true
	}
	return out, nil
}

// oddFraction returns what "2/3 in" is as a fraction: none that is marked on a
// rule, and an odd pair of lengths. Both are answered.
func oddFraction(said measures) (over, under float64, odd bool) {
	whole := func(m measure) bool {
		return m.Unit == quantity.IN && m.Number >= 0 && m.Number < 12 && m.Number == math.Trunc(m.Number)
	}
	a, b := said.First, said.Second
	return a.Number, b.Number, said.Which == spec.Each && whole(a) && whole(b)
}

// figure writes a converted number with the digits its unit deserves.
func figure(m measure) string {
	decimals := map[quantity.Unit]int{
		quantity.PSIUnit: 1, quantity.BarUnit: 2, quantity.KPAUnit: 0, quantity.MPAUnit: 3, quantity.AtmUnit: 2, quantity.MM: 3, quantity.IN: 3, quantity.CM: 3,
		quantity.KG: 1, quantity.LB: 1, quantity.G: 0, quantity.OZ: 1, quantity.M: 1, quantity.FT: 1, quantity.KM: 2, quantity.N: 0,
		quantity.KGF: 1, quantity.LBF: 1, quantity.DegC: 1, quantity.DegF: 1, quantity.L: 2, quantity.ML: 0, quantity.FLOZ: 1, quantity.DegreeUnit: 2,
	}[m.Unit]
	if m.Unit == quantity.StonePound || m.Unit == quantity.FootInch {
		return measure{Number: quantity.Nearest.Round(m.Number, 0.1), Unit: m.Unit}.String()
	}
	return quantity.Trimmed(m.Number, decimals) + " " + m.Unit.String()
}

func unitBasis(k quantity.Kind) basis.Basis {
	b := basis.Basis{Kind: basis.Standard, Source: "definitions of the units", Says: "exact"}
	if k == quantity.KindPressure {
		b.Says = "psi = 4.4482216152605 N / (25.4 mm)², exact"
	}
	return b
}
