package commands

import (
	"context"

	"spokeword/calc/basis"
	"spokeword/calc/quantity"
	"spokeword/commands/reply"
	"spokeword/commands/spec"
)

func init() { add(setup) }

// setup keeps a person's bikes with their tyres and pressures. Until anything
// is kept it says so.
func setup(deps Deps) *spec.Command {
	return &spec.Command{
		Name:    "setup",
		Summary: "Keep your bikes with their tyres and pressures, and what your gauge reads wrong",
		Words: w("save", "save as", "save it as", "save this", "save my", "remember my bike", "my bikes", "my setups", "store my", "show my setup", "store as", "keep as",
			de("speichern", "speichern als", "speicher als"), fr("enregistrer", "enregistrer comme"), es("guardar", "guardar como"), it("salvare", "salva", "salva come")),
		Options:  []spec.Option{saveAs, ownName, onBike, pressure, tyreOption, rim, bead, system, casing, insert, riding, ground, ridetemp, rider, bike, pumpreads, gaugereads},
		Wants:    []spec.Want{{Any: []spec.Option{saveAs, ownName, onBike, pumpreads, gaugereads}, Weight: 0.8}},
		Weight:   1.0,
		Everyday: true,
		Keeps:    true,
		Examples: []string{"save as hardtail 23/26 psi 29x2.4 30mm", "setup pump says 30 psi digital 26 psi"},
		Suits:    holdsAny(saveAs, ownName, onBike, pumpreads, gaugereads),
		Run: func(_ context.Context, req spec.Request) (reply.Reply, error) {
			out := notKept("Set-ups", "bikes and their set-ups")
			pump, hasPump := pumpreads.Of(req)
			gauge, hasGauge := gaugereads.Of(req)
			if hasPump && hasGauge {
				out.Lead = gaugesApart(deps.pressureFirst(req), pump, gauge)
				out.Note("Repeat with the same tool", basis.Basis{Kind: basis.Article, Source: "trade articles on gauges"})
				out.Actions = append(out.Actions, reply.Action{Label: "who is right", Line: "help what:gauges-differ"})
			}
			offerWith(&out, req, "a start for it", "pressure", rider, bike, tyreOption, rim, bead, system, casing, insert, riding, ground)
			offerWith(&out, req, "does it fit", "fit", tyreOption, rim, bead)
			return out, nil
		},
	}
}

// gaugesApart says how far two instruments read apart.
func gaugesApart(u quantity.Unit, pump, gauge measure) []string {
	off := quantity.SignedFixed(u.Number(float64(pump.Gauge()-gauge.Gauge())), airDecimals(u)) + " " + u.String()
	return []string{
		"The pump reads " + off + " against the gauge. Neither is the truth: use one of them for every number.",
		"Nothing is kept here yet: note it for this pump, and take it off what it reads near there. Low pressures want a gauge that ends near 30 psi.",
	}
}
