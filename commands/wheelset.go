package commands

import (
	"fmt"
	"math"
	"slices"

	"spokeword/calc/basis"
	"spokeword/calc/freehub"
	"spokeword/calc/gearing"
	"spokeword/calc/quantity"
	"spokeword/calc/tyre"
	"spokeword/commands/reply"
)

// This file adds to the command wheel what somebody reads off a pair of wheels
// in a shop: what the pair weighs, its freehub, the tyres that suit.

// bought is what was told of a pair of wheels besides how it is built.
type bought struct {
	mass   quantity.Mass   // of the pair, 0 if not told
	points freehub.Points  // 0 if not told
	inner  quantity.Length // of the rims, usual if not told
}

// sets lists what was told of pairs of wheels, thing by thing.
func (r *wheelRun) sets() (groups [][]variant) {
	if v, ok := setmass.Of(r.req); ok {
		var g []variant
		for _, m := range v {
			g = append(g, variant{name: gramsText(m.Mass()), row: true, set: func(p *wheelPlan) { p.bought.mass = m.Mass() }})
		}
		groups = append(groups, g)
	}
	if v, ok := engaging.Of(r.req); ok {
		var g []variant
		for _, n := range pointsOf(v) {
			g = append(g, variant{name: n.String(), row: true, set: func(p *wheelPlan) { p.bought.points = n }})
		}
		groups = append(groups, g)
	}
	return groups
}

// usualTotal is what rider and bike come to: never the asker's own, which the
// share would give away. Common practice, no source.
const usualTotal = 90 * quantity.Kilogram

// byMass says what it comes to where the pairs' masses are all that differs.
func (r *wheelRun) byMass(all []compared) {
	first, last := all[0], all[len(all)-1]
	if first.bought.mass == 0 || last.bought.mass == 0 || first.figures.Lateral != last.figures.Lateral || first.rim != last.rim {
		return
	}
	less := float64(first.bought.mass - last.bought.mass)
	share := math.Abs(less) / float64(usualTotal)
	r.out.Lead = []string{
		fmt.Sprintf("%s against %s: %s %s, %s of rider and bike of 90 kg.", gramsText(last.bought.mass), gramsText(first.bought.mass), gramsText(quantity.Mass(math.Abs(less))), choose(less > 0, "less", "more"), percentText(share)),
		fmt.Sprintf("On a climb of half an hour that is about %s s; on the flat nothing. As much again counts when you accelerate, if it is at the rim.", quantity.Fixed(1800*share, 0)),
	}
}

// percentText writes a small share: "0.3 %".
func percentText(share float64) string { return quantity.Fixed(100*share, 1) + " %" }

// bought adds what was told of the pairs to the table, and what can't be told.
func (r *wheelRun) bought(all []compared, table *reply.Table) {
	told := func(has func(compared) bool) bool {
		return !slices.ContainsFunc(all, func(c compared) bool { return !has(c) })
	}
	row := func(name string, text func(compared) string) {
		cells := []string{name}
		for _, c := range all {
			cells = append(cells, text(c))
		}
		table.Rows = append(table.Rows, reply.Row{Cells: cells})
	}
	weighed := told(func(c compared) bool { return c.bought.mass > 0 })
	engages := told(func(c compared) bool { return c.bought.points > 0 })
	if weighed {
		row("the pair", func(c compared) string { return gramsText(c.bought.mass) })
		for i, c := range all {
			r.out.Add(alternatives[i]+"setmass", float64(c.bought.mass), reply.Kilograms)
		}
	}
	if engages {
		low := gearing.Gear{Ring: usualRing, Cog: usualCog}
		points := make([]freehub.Points, len(all))
		for i, c := range all {
			points[i] = c.bought.points
		}
		each, err := freehub.Compare(points, low, freehub.UsualCrank)
		if err == nil {
			r.out.Assume("gear", low.String(), "the lowest gear; in it the crank waits longest")
			for i, e := range each {
				r.out.Add(alternatives[i]+"crank.angle", float64(e.AtCrank), reply.Radians)
			}
			next := 0
			row("crank waits", func(compared) string { next++; return degrees(each[next-1].AtCrank) })
			r.out.Note("The crank turns so far at worst before the freehub drives; type freehub with your own gear for pedal and mean", freehub.EngagementBasis)
		}
	}
	if _, ok := inners.Of(r.req); ok || weighed || engages {
		row("tyres", func(c compared) string {
			s, err := tyre.Suits(c.bought.inner)
			if err != nil {
				return "–"
			}
			best := s.Best
			if best == (tyre.Range{}) {
				best = s.Desirable
			}
			return inchRange(best)
		})
		r.out.Note("Tyres by inner width, those that suit best", tyre.PracticeBasis)
	}
	if weighed || engages {
		r.out.Note("Can't be compared by sums: how true and how even they were built, bearings and seals, noise, how long they last, what spares cost", practice("no figure tells them"))
	}
	if weighed {
		r.out.Note("Mass at the rim counts twice when accelerating, and uphill at one speed like any other", basis.Basis{Kind: basis.Computed, Says: "energy of a rolling ring"})
	}
}
