package commands

import (
	"context"

	"spokeword/commands/reply"
	"spokeword/commands/spec"
)

func init() { add(spokes) }

// spokes gives spoke lengths for both sides of a wheel.
func spokes(Deps) *spec.Command {
	return &spec.Command{
		Name:    "spokes",
		Summary: "Give spoke lengths for both sides, what they react to, the tension ratio and the order",
		Words: w("spokes", "spoke", "spoke length", "spoke lengths", "lengths", "length", "laced", "lace", "wheelbuild", "wheel build", "build a wheel", "same spokes", "what do i order",
			de("speichen", "speichenlänge", "speichenlängen", "speichenlaenge"), fr("rayons", "longueur de rayon", "longueur des rayons"), es("radios", "longitud de radios"), it("raggi", "lunghezza raggi")),
		Options:  []spec.Option{erd, circle, offset, holes, cross, pattern, end, brake, shift, flangehole, washer, gauge, erdkind, tangent, ahead, step, length, mark, was},
		Wants:    []spec.Want{{Any: []spec.Option{erd, length}, Weight: 0.7}, {Any: []spec.Option{offset, length}, Weight: 0.5}},
		Weight:   0.1,
		Examples: []string{"erd 602 circles 45 offsets 37.5/17.5 32h 3x", "erd600 58/58 36/21 32h 3x", "291.3 and 289.8 only evens", "24h 2:1 32h hub"},
		Run: func(ctx context.Context, req spec.Request) (reply.Reply, error) {
			return reply.Reply{}, nil
		},
	}
}
