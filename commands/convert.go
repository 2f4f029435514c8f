package commands

import (
	"context"

	"spokeword/commands/reply"
	"spokeword/commands/spec"
)

func init() { add(convert) }

// convert turns a number of one unit into another.
func convert(Deps) *spec.Command {
	return &spec.Command{
		Name:    "convert",
		Summary: "Turn a number of one unit into another",
		Words:   w("convert", "conversion", "how many", "how much is", "equals", de("umrechnen", "wieviel ist"), fr("convertir", "combien font"), es("convertir", "cuánto es"), it("converti", "quanto fa")),
		Options: []spec.Option{amount, to},
		Wants:   []spec.Want{{Any: []spec.Option{amount}, Weight: 1.5}, {Any: []spec.Option{to}, Weight: 0.8}},
		// A number alone asks for nothing.
		Suits:    func(r spec.Request) bool { _, ok := to.Of(r); return ok },
		Weight:   0.6,
		Examples: []string{"1.6 bar in psi", "13st7 in kg", "2.4 in to mm", "22/25 psi in bar"},
		Run: func(ctx context.Context, req spec.Request) (reply.Reply, error) {
			return reply.Reply{}, nil
		},
	}
}
