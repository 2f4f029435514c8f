package commands

import (
	"fmt"
	"slices"
	"strings"

	"spokeword/calc/quantity"
	"spokeword/calc/tyre"
	"spokeword/commands/reply"
	"spokeword/commands/spec"
)

// This file tells what practice adds to a start or takes off it: for the ground,
// inserts and casings.

// allowance is what the trade adds to or takes off a start.
type allowance struct {
	what      string
	ends      [2]bool
	low, high float64 // psi
	perhaps   bool    // not said to be so: the answer does not begin with it
}

// allowances lists what practice adds or takes off for what was said. They are
// no part of the start: each is tried by itself.
func (p *pressureRun) allowances() []allowance {
	both := [2]bool{true, true}
	var all []allowance
	if has(p.ground, "wet") || has(p.ground, "roots") {
		all = append(all, allowance{what: "wet roots or rock", ends: both, low: -2, high: -1})
	}
	if has(p.ground, "rock") && !has(p.ground, "wet") {
		all = append(all, allowance{what: "sharp rock", ends: [2]bool{false, true}, low: 1, high: 2})
	}
	if has(p.ground, "smooth") || has(p.ground, "dry") && p.setup.Riding == tyre.XC {
		all = append(all, allowance{what: "smooth, firm ground", ends: both, low: 1, high: 2, perhaps: !has(p.ground, "smooth")})
	}
	switch insert.Or(p.req, "none") {
	case "front":
		all = append(all, allowance{what: "insert front", ends: [2]bool{true, false}, low: -3, high: -1})
	case "rear":
		all = append(all, allowance{what: "insert rear", ends: [2]bool{false, true}, low: -3, high: -1})
	case "both":
		all = append(all, allowance{what: "inserts", ends: both, low: -3, high: -1})
	}
	if i := insert.Or(p.req, "none"); i != "none" {
		p.out.Note("An insert saves the rim and stops no squirm. It takes up room, so pressure rises faster under a hit, and it drinks sealant: pour a little more", practice("inserts"))
	}
	if c, ok := casing.Of(p.req); ok {
		var heavy [2]bool
		for i := range heavy {
			s, ok := ofEnd(c, i)
			heavy[i] = ok && s == "heavy"
		}
		if heavy[0] || heavy[1] {
			all = append(all, allowance{what: "heavy casing, same feel", ends: heavy, low: -3, high: -1})
			p.out.Note("A heavy casing rides the same a little softer; it is no licence to go lower for the rim", practice("heavy casings"))
		}
		if c.Any() == "light" {
			all = append(all, allowance{what: "light casing, rim strikes", ends: [2]bool{false, true}, low: 2, high: 3, perhaps: true})
			if said, ok := pressure.Of(p.req); ok && said.Which != spec.FirstOnly {
				m, _ := ofEnd(said, 1)
				low, high := m.Gauge()+2*quantity.PSI, m.Gauge()+3*quantity.PSI
				if said.Which == spec.SecondOnly && !p.out.Refused {
					p.out.Lead[0] = strings.TrimSuffix(p.out.Lead[0], ".") + ": against strikes 2 to 3 psi more there first, the front as it is; a heavier casing or an insert there protects more."
				}
				p.out.Note(fmt.Sprintf("Go up at the rear alone first, to %s or %s, to the start only if it still strikes; the front stays as it is", low.Text(p.unit, quantity.Nearest), high.Text(p.unit, quantity.Nearest)), practice("rim strikes"))
			}
			p.out.Note("Against rim strikes a heavier casing or an insert at the rear protects more than another 3 psi", practice("rim strikes"))
		}
	}
	if p.setup.Riding == tyre.Park {
		p.out.Note("The start is the park's own, with more air than for trails. From your own trail numbers practice takes 2 to 4 psi more behind", practice("bike park"))
	}
	if len(all) == 0 {
		return nil
	}
	table := reply.Table{Title: "What practice allows, one at a time", Head: []string{"", "change", "where"}}
	for _, a := range all {
		where := "both ends"
		switch {
		case a.ends[0] && !a.ends[1]:
			where = "front"
		case a.ends[1] && !a.ends[0]:
			where = "rear"
		}
		low, high, unit := a.low, a.high, "psi"
		text := quantity.Signed(low, 0) + "…" + quantity.Signed(high, 0)
		if p.unit == quantity.BarUnit {
			unit = "bar"
			psi := func(v float64) float64 { return quantity.BarUnit.Number(quantity.PSIUnit.SI(v)) }
			text = quantity.Signed(psi(low), 2) + "…" + quantity.Signed(psi(high), 2)
		}
		table.Rows = append(table.Rows, reply.Row{Cells: []string{a.what, text + " " + unit, where}})
	}
	p.out.Tables = append(p.out.Tables, table)
	p.out.Note("Changes for ground, inserts and casing are habits of the trade, not computed; never below what the marks allow", practice("signed changes against one's own numbers"))
	return all
}

// The falls that practice allows are tried one at a time: together they take no
// more off a wheel than this. Common practice, no source.
const (
	mostFall      = 4 * quantity.PSI
	mostFallShare = 0.15
)

// allowed returns the pressures of a wheel with the allowances, from the lowest
// to the highest, within its marks.
func (p *pressureRun) allowed(i int, s tyre.WheelStart, all []allowance) (low, high quantity.Gauge, ok bool) {
	low, high = s.Pressure, s.Pressure
	for _, a := range all {
		if a.ends[i] {
			low, high, ok = low+quantity.Gauge(a.low)*quantity.PSI, high+quantity.Gauge(a.high)*quantity.PSI, true
		}
	}
	least := s.Pressure - min(mostFall, quantity.Gauge(mostFallShare*float64(s.Pressure)))
	if floor := p.wheel(i).Limits.TyreMin; s.Pressure >= floor {
		least = max(least, floor)
	}
	low, high = max(low, least), max(high, least)
	if s.Max.Pressure > 0 {
		low, high = min(low, s.Max.Pressure), min(high, s.Max.Pressure)
	}
	return low, high, ok
}

// led puts what the allowances make of the start first: whoever says that it is
// wet asks for the pressures of the wet.
func (p *pressureRun) led(all []allowance, ends [2]tyre.WheelStart) {
	all = slices.DeleteFunc(slices.Clone(all), func(a allowance) bool { return a.perhaps })
	if _, named := pressure.Of(p.req); named || len(all) == 0 {
		return
	}
	var whats, then, start []string
	for _, a := range all {
		whats = append(whats, a.what)
	}
	for i, s := range ends {
		if !p.shown[i] {
			continue
		}
		start = append(start, endNames[i]+" "+inBoth(s, s.Pressure, p.unit))
		low, high, changed := p.allowed(i, s, all)
		if !changed {
			then = append(then, endNames[i]+" "+inBoth(s, s.Pressure, p.unit))
			continue
		}
		span := func(u quantity.Unit) string {
			return strings.TrimSuffix(within(s, low, u), ".0") + "–" + strings.TrimSuffix(within(s, high, u), ".0") + " " + u.String()
		}
		then = append(then, endNames[i]+" "+span(p.unit)+" ("+span(quantity.Other(p.unit))+")")
		p.out.Values = append(p.out.Values, reply.Value{Name: endNames[i] + ".allowed", Value: float64((low + high) / 2), Unit: reply.Pascals, Low: float64(low), High: float64(high)})
	}
	if len(then) == 0 {
		return
	}
	p.out.Lead = []string{
		title(strings.Join(whats, ", ")) + ": " + strings.Join(then, ", ") + ".",
		"Without: " + strings.Join(start, ", ") + ".",
	}
	p.out.Note(strings.TrimSuffix(p.next(), "."), practice("one step at a time, always with the same gauge"))
}
