package commands

import (
	"context"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"spokeword/calc/quantity"
	"spokeword/calc/tyre"
	"spokeword/commands/talk"
)

// A rim is hookless for its own wheel, whatever the other one is, and a mark
// is not talked away by a word. The 72.5 psi are the industry standard's, as
// quoted in a trade article.
func TestHooklessHoldsForItsOwnWheel(t *testing.T) {
	desk := newDesk(t)
	ask := func(line string) (lead string, refused bool, maxima map[string]float64, cautions string) {
		r := desk.Ask(context.Background(), Asker{User: line}, line)[0]
		require.False(t, r.Fault, line)
		maxima = map[string]float64{}
		for _, v := range r.Values {
			maxima[v.Name] = v.Value
		}
		for _, c := range r.Cautions {
			cautions += c.ID + " "
		}
		return strings.Join(r.Lead, " ") + r.Error, r.Refused, maxima, cautions
	}
	for _, rims := range []string{"622x21TC/622x21TSS", "622x21TSS/622x21TC"} {
		_, _, v, c := ask(`pressure rider:"70 kg" tyre:700x32 rim:"` + rims + `" riding:road tyremax:"110 psi"`)
		assert.Contains(t, c, "hookless", rims)
		end := map[bool]string{true: "rear", false: "front"}[strings.HasSuffix(rims, "TSS")]
		assert.LessOrEqual(t, v[end+".max"], float64(tyre.HooklessMax), rims)
		assert.LessOrEqual(t, v[end+".start"], float64(tyre.HooklessMax), rims)
	}
	for _, line := range []string{
		`pressure rider:"105 kg" tyre:700x28 rim:"622x21TC/622x21TSS" riding:road tyremax:"110 psi"`,
		`pressure rider:"80 kg" tyre:700x32 rim:"622x21TC/622x21TSS" tyremax:"110 psi" pressure:"70 psi/75 psi"`,
		`pressure rider:"80 kg" tyre:29x2.4 rim:622x30TSS bead:hooked rimmax:"90 psi" tyremax:"90 psi" pressure:"80 psi"`,
		`fit tyre:29x2.4 rim:"30 mm" bead:hookless pressure:"40 psi/80 psi"`,
		`fit tyre:"29x2.5/29x2.3" rim:"30 mm" bead:hookless pressure:"80 psi"`,
		`fit rim:"30 mm" bead:hookless pressure:"80 psi"`,
		`fit bead:hookless pressure:"80 psi"`,
		`fit tyre:29x2.4 rim:"30 mm" bead:hookless pressure:"80 psi" framemax:"2.4 in"`,
		`fit tyre:29x2.4 rim:"30 mm" bead:hookless pressure:"80 psi" measured:"58 mm"`,
		`fit tyre:29x1.2 rim:"35 mm" framemax:"2.4 in"`,
		`fit tyre:29x1.2 rim:"35 mm" gap:"74 mm"`,
	} {
		lead, refused, _, _ := ask(line)
		assert.True(t, refused, line)
		assert.True(t, strings.HasPrefix(lead, "No"), "%s: %s", line, lead)
	}
}

func TestEachWheelIsJudgedOnItsOwnRim(t *testing.T) {
	desk := newDesk(t)
	r := desk.Ask(context.Background(), Asker{}, `fit tyre:29x2.4 rim:"30 mm/60 mm"`)[0]
	assert.Contains(t, strings.Join(r.Lead, " "), "rear 29x2.4 on 60 mm: no")
	r = desk.Ask(context.Background(), Asker{}, `fit tyre:"29x2.4 rear" rim:"35 mm/25 mm"`)[0]
	assert.Contains(t, r.Lead[0], "on 25 mm")
}

func TestBelowTheMarkIsCautioned(t *testing.T) {
	desk := newDesk(t)
	r := desk.Ask(context.Background(), Asker{}, `pressure rider:"80 kg" tyre:700x28 rim:"21 mm" riding:road tyremin:"70 psi" pressure:"50 psi"`)[0]
	var ids []string
	for _, c := range r.Cautions {
		ids = append(ids, c.ID)
	}
	assert.Contains(t, ids, "bead-may-leave")
}

func TestAPlannedTensionStaysWithinTheMark(t *testing.T) {
	for n := 400.0; n < 1500; n += 7.3 {
		var s spokesRun
		s.wheel.Rim.TensionMark = quantity.Force(n)
		shown, err := quantity.ParseMeasure(s.kgf(quantity.Force(n)))
		require.NoError(t, err)
		assert.LessOrEqual(t, shown.SI(), n*(1+1e-9))
	}
}

func TestAQuestionWithAWeightIsPrivate(t *testing.T) {
	desk := newDesk(t)
	r := desk.Ask(context.Background(), Asker{}, "38 29x2.4 trail 29")[0]
	require.NotNil(t, r.Ask)
	assert.True(t, r.Private)
}

func TestALogOfOurFaultHoldsNoArguments(t *testing.T) {
	var logged string
	desk, err := NewDesk(Deps{Now: time.Now, Talk: talk.NewMemory(time.Now), Log: func(err error) string { logged = err.Error(); return "1" }})
	require.NoError(t, err)
	desk.reader = nil // a reader that panics
	r := desk.Ask(context.Background(), Asker{}, "83.7kg 29x2.4")[0]
	assert.True(t, r.Fault)
	assert.Contains(t, logged, "Read")
	assert.NotContains(t, logged, "0x")
	assert.NotContains(t, logged, "83.7")
}
