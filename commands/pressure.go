package commands

import (
	"context"

	"spokeword/commands/reply"
	"spokeword/commands/spec"
)

func init() { add(pressureCommand) }

// pressureCommand gives starting pressures front and rear.
func pressureCommand(Deps) *spec.Command {
	return &spec.Command{
		Name:    "pressure",
		Summary: "Give starting pressures front and rear, with band, limits and how to go on from there",
		Words: w("psi", "pressure", "pressures", "bar", "kpa", "how hard", "how soft", "what do we put in", "what to put in", "put in", "start pressure", "starting pressure", "what psi", "what pressure", "tyre pressure", "air pressure", "how much air", "can i put", "can i run", "pump to", "hard", "faster",
			de("druck", "luftdruck", "wieviel druck", "wie viel druck", "wie viel bar", "wieviel bar"), fr("pression", "quelle pression", "combien de bars"), es("presión", "presion", "qué presión"), it("pressione", "che pressione")),
		Options:  []spec.Option{rider, tyre, rim, riding, system, bead, casing, insert, ground, bike, load, use, pressure, tyremax, tyremin, rimmax, ridetemp},
		Wants:    []spec.Want{{Any: []spec.Option{rider, pressure}, Weight: 1.2}, {Any: []spec.Option{tyre}, Weight: 0.9}},
		Weight:   0,
		Examples: []string{"80kg 29x2.4 i30 trail", "13st7 29 2.4 psi", "82 kilo 29x2,4 auf 30 innen", "hookless 30 2.25 45psi ok"},
		Run: func(ctx context.Context, req spec.Request) (reply.Reply, error) {
			return reply.Reply{}, nil
		},
	}
}
