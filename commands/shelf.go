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
		Keys: []string{
			"shelf|stockroom|inventory put|add|keep|store|goes|onto|into|enter|book hub|rim|spokes|my|our|this|new|the|it",
			"keep|save|store|file|remember|enter this|the|our|new|my|that hub|rim|spokes as|called|named|name",
			"what|which|wot spokes|lengths|length|wheel|wheels|lace|lacing|rim|hub did we|i|you build|built|lace|laced|put|use|used|fit|order|do|make",
			"find|show|recall|retrieve us|me|that|the wheel|wheels|build we|i built|made|did|laced",
			"regal|lager|bestand|werkstattregal neue|neu|leg~|ins|im|eintragen|aufnehmen|speicher~ nabe|felge|speichen",
			"magazzino|scaffale|stock metti|aggiungi|mett~|nuovo|salva mozzo|cerchio|raggi",
			"ritrov~|trova|cerca|recupera ruota|ruote fatta|fatto|montata|della|per|x",
			"stock|rayon|étagère|etagere ajoute~|mets|range|nouveau|enregistre moyeu|jante|rayons",
			"estante|almacén|almacen|stock añade|anade|pon|mete|guarda|nuevo buje|llanta|radios",
		},
		Options:  []spec.Option{ownName, hubName, rimName, stock, saveAs, circle, offset, holes, erd},
		Wants:    []spec.Want{{Any: []spec.Option{ownName, hubName, rimName, stock, circle, offset, erd}, Weight: 0.6}},
		Weight:   1.2,
		Suits:    holdsAny(ownName, hubName, rimName, stock, circle, offset, erd),
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
