package commands

import (
	"context"

	"spokeword/commands/reply"
	"spokeword/commands/spec"
)

func init() { add(fit) }

// fit tells whether a tyre, a rim and a frame go together, and who says so.
func fit(Deps) *spec.Command {
	return &spec.Command{
		Name:    "fit",
		Summary: "Tell whether tyre, rim and frame go together, or what suits one of them",
		Words: w("fit", "fits", "fitting", "compatible", "go on", "goes on", "suit", "suits", "smallest", "widest", "narrowest", "biggest", "max tyre", "width", "widths", "what width", "tyre width", "tyre widths", "wide", "how wide", "will it fit", "what tyre", "what tyres", "which tyre", "tyre for", "what rim", "which rim", "rub", "rubs",
			de("passt", "passen", "geht auf", "breite", "welche breite", "welcher reifen"), fr("compatible", "largeur", "quel pneu", "quelle largeur", "monter"), es("cabe", "compatible", "ancho", "qué cubierta", "que cubierta"), it("compatibile", "larghezza", "quale gomma", "monta")),
		Options:  []spec.Option{tyre, rim, riding, bead, system, pressure, measured, outer, gap, framemax, ground, use},
		Wants:    []spec.Want{{Any: []spec.Option{tyre, riding, measured}, Weight: 0.7}, {Any: []spec.Option{rim, outer, gap, framemax, bead, riding, measured}, Weight: 0.7}},
		Weight:   0.2,
		Examples: []string{"2.5 on 25mm internal ok?", "what tyre for 30mm rim", "74 between stays 2.6?", "29x2.4 on 622x30TC"},
		Run: func(ctx context.Context, req spec.Request) (reply.Reply, error) {
			return reply.Reply{}, nil
		},
	}
}
