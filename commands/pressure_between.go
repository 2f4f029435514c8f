package commands

import (
	"fmt"
	"math"

	"spokeword/calc/quantity"
	"spokeword/calc/tyre"
	"spokeword/commands/read"
	"spokeword/commands/reply"
	"spokeword/commands/spec"
)

// This file answers who felt two pressures: too soft at one, too hard at the other.

// The pressures that were felt. A line tells both by how they felt (read/feels.go).
var (
	softAt = feltAt("softat", "soft at", "pressure at which it felt too soft", "20 psi")
	hardAt = feltAt("hardat", "hard at", "pressure at which it felt too hard", "25 psi")
)

// feltAt declares a pressure that is told by how it felt.
func feltAt(name, label, help, example string) *spec.Arg[measure] {
	return &spec.Arg[measure]{
		Info: spec.Info{Name: name, Label: label, Help: help, Example: example},
		As: read.Number{Numbers: read.Numbers{Kind: quantity.KindPressure, Axis: spec.NoAxis, Least: 0.1 * bar, Most: 12 * bar, Cued: true, Said: true,
			Habits: []read.Habit{{Unit: quantity.PSIUnit, From: 5, To: 120}, {Unit: quantity.BarUnit, From: 0.3, To: 4.9}}}},
	}
}

// feltBoth returns the pressures that were felt too soft and too hard, and whether
// both were told.
func (p *pressureRun) feltBoth() (soft, hard measure, ok bool) {
	soft, softer := softAt.Of(p.req)
	hard, harder := hardAt.Of(p.req)
	return soft, hard, softer && harder
}

// between answers from what was felt alone, where nothing is known to work a start
// out from, or where it can't be.
func (p *pressureRun) between() (reply.Reply, bool) {
	soft, hard, ok := p.feltBoth()
	if !ok {
		return reply.Reply{}, false
	}
	if soft.Gauge() >= hard.Gauge() {
		q := reply.Reply{Title: "Starting pressure", Lead: []string{
			fmt.Sprintf("Too soft at %s and too hard at %s contradict each other: more air is always the harder. Was it the other way round?", soft, hard),
			"Squirm, a burp or a touch of the rim is too soft; harsh, bouncy or skipping is too hard."}}
		q.Facts.Pressure = true
		return q, true
	}
	_, known := tyreOption.Of(p.req)
	_, weighed := rider.Of(p.req)
	if known && weighed {
		return reply.Reply{}, false
	}
	p.out.Title = "Starting pressure"
	p.out.Facts = p.facts()
	mark, _ := tyreOption.Of(p.req)
	limits := tyre.Limits{TyreMax: gaugeOf(p.req, tyremax), RimMax: gaugeOf(p.req, rimmax), Hookless: anyHookless(p.req)}
	p.leadBetween(soft, hard, limits.Max(mark.Any().Width), "")
	return p.out, true
}

// fineStep is from which distance of the two on the half of a psi is no step worth.
const fineStep = 3.5 * quantity.PSI

// leadBetween leads with the pressure in the middle, but never with more than most;
// start is what rider and tyre would start with.
func (p *pressureRun) leadBetween(soft, hard measure, most tyre.Maximum, start string) {
	middle := (soft.Gauge() + hard.Gauge()) / 2
	step, grain := "1 psi", 1.0
	if hard.Gauge()-soft.Gauge() < fineStep {
		step, grain = "½ psi", 0.5
	}
	if p.unit == quantity.BarUnit {
		step = map[string]string{"1 psi": "0.07 bar", "½ psi": "0.03 bar"}[step]
	} else {
		middle = quantity.Gauge(math.Round(float64(middle/quantity.PSI)/grain)*grain) * quantity.PSI
	}
	limit := most.Pressure.Text(p.unit, quantity.Down)
	switch {
	case soft.Gauge() >= most.Pressure:
		p.out.Refused = true
		p.out.Lead = []string{
			fmt.Sprintf("No more air: the most here is %s, %s.", limit, maxRule(most)),
			"What feels too soft there wants a stouter casing, an insert or a wider tyre.",
		}
	case most.Exceeds(middle):
		middle = most.Pressure
		p.out.Lead = []string{fmt.Sprintf("No more than %s, %s: try that, then %s down at a time.", limit, maxRule(most), step)}
	default:
		p.out.Lead = []string{fmt.Sprintf("Between the two: try %s, then %s at a time, where it felt so.", inBoth(tyre.WheelStart{Max: most}, middle, p.unit), step)}
	}
	if start != "" {
		p.out.Lead = append(p.out.Lead, "By rider and tyre the start is "+start)
	}
	if !p.out.Refused {
		p.out.Add("between", float64(middle), reply.Pascals)
	}
	if most.Exceeds(hard.Gauge()) {
		p.out.Note(fmt.Sprintf("%s was above %s, %s: look the wheel over before riding it again", hard, limit, maxRule(most)), most.Basis)
	}
	p.out.Note("Squirm or a burp is too soft, harsh or bouncy too hard: the window of big tyres is narrow. If nothing between feels right, it is the rim's width, the casing or an insert that changes it", practice("the two signs"))
}
