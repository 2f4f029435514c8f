package commands

import (
	"context"

	"spokeword/commands/reply"
	"spokeword/commands/spec"
)

func init() { add(logCommand) }

// logCommand notes how a ride felt, for the next step from there. Until
// anything is kept it says so.
func logCommand(Deps) *spec.Command {
	return &spec.Command{
		Name:    "log",
		Summary: "Note how the tyres felt, to go on from there next time",
		Words:   w("log", "log it", "note down", "rode today", "after the ride", "write down", de("notiere"), fr("noter"), es("apuntar"), it("annota")),
		Keys: []string{
			"rode|riding|ridden|rides|ran|did|lap|was|had|today yesterday|today|lap|earlier|ride|run psi|bar|front|rear|burp~|squirm~|harsh|strike~|bounc~|hop~|fine|perfect|spot",
		},
		Options:  []spec.Option{felt, pressure, onBike, saveAs, tyreOption, rim, casing, insert, riding, ground, ridetemp, rider},
		Wants:    []spec.Want{{Any: []spec.Option{felt}, Weight: 0.9}},
		Weight:   1.2,
		Everyday: true,
		Suits:    holdsAny(felt, pressure, onBike),
		Asked:    true,
		Unasked:  [][]spec.Option{{felt, felt, pressure}},
		Examples: []string{"log squirmy at 21/24 psi wet", "log felt fine 22/25 psi"},
		Run: func(_ context.Context, req spec.Request) (reply.Reply, error) {
			out := notKept("How it felt", "what a ride felt like")
			out.Lead = append(out.Lead, "What a feel tells and the next step from your numbers can be asked at once.")
			offerWith(&out, req, "a start for it", "pressure", rider, tyreOption, rim, casing, insert, riding, ground)
			return out, nil
		},
	}
}
