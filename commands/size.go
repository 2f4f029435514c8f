package commands

import (
	"context"

	"spokeword/commands/reply"
	"spokeword/commands/spec"
)

func init() { add(sizeCommand) }

// sizeCommand tells what a size mark means, and whether two are the same.
func sizeCommand(Deps) *spec.Command {
	return &spec.Command{
		Name:    "size",
		Summary: "Tell what a tyre or rim mark means, and whether two sizes are the same",
		Words: w("size", "sizes", "same as", "same thing", "same", "same size", "what does", "mean", "means", "in inch", "in inches", "in mm", "which 26", "which 24", "tube for", "interchangeable", "what is", "stand for", "which one",
			de("größe", "grösse", "bedeutet", "gleich"), fr("taille", "dimension", "signifie"), es("tamaño", "medida", "significa"), it("misura", "significa")),
		Options: []spec.Option{tyre, rim, sizeA, sizeB},
		Wants:   []spec.Want{{Any: []spec.Option{tyre, rim, sizeA}, Weight: 0.8}},
		Apart:   [][2][]spec.Option{{{tyre}, {sizeA, sizeB}}},
		// A width without a diameter is no size.
		Suits: func(r spec.Request) bool {
			t, ok := tyre.Of(r)
			return !ok || len(t.First.Seats()) > 0
		},
		Weight:   0.35,
		Examples: []string{"61-622", "26 x 1 1/2", "is 650b same as 27.5", "26x1 3/8 tyre on 26x1.4 rim?"},
		Run: func(ctx context.Context, req spec.Request) (reply.Reply, error) {
			return reply.Reply{}, nil
		},
	}
}
