package commands

import (
	"context"

	"spokeword/commands/reply"
	"spokeword/commands/spec"
)

func init() { add(shelf) }

// shelf keeps a shop's parts, stock and build cards. Until anything is kept it
// says so.
func shelf(Deps) *spec.Command {
	return &spec.Command{
		Name:    "shelf",
		Summary: "Keep the shop's hubs, rims, stock of spokes and build cards",
		Words: w("pull up", "look up", "last wheel", "last build", "last wheel we did", "wheel we built", "what did we build", "build history", "in stock", "do we have", "how many left",
			de("auf lager", "nachschlagen"), fr("en stock"), es("en existencia"), it("in magazzino")),
		Options:  []spec.Option{ownName, hubName, rimName, stock, saveAs},
		Wants:    []spec.Want{{Any: []spec.Option{ownName, hubName, rimName, stock}, Weight: 0.6}},
		Weight:   1.2,
		Suits:    holdsAny(ownName, hubName, rimName, stock),
		Asked:    true,
		Examples: []string{"pull up last wheel for the blue hardtail", "shelf hub called rear disc stock 24"},
		Run: func(context.Context, spec.Request) (reply.Reply, error) {
			out := notKept("The shop's shelf", "parts, stock and build cards")
			out.Lead = append(out.Lead, "Lengths can be worked out at once from the measures of hub and rim.")
			out.Actions = append(out.Actions, reply.Action{Label: "lengths", Line: "spokes"})
			return out, nil
		},
	}
}
