package commands

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"spokeword/calc/quantity"
)

func TestInAnotherUnit(t *testing.T) {
	d := newDesk(t)
	psi := said(t, d, "80kg 29x2.4 30mm trail")
	require.Contains(t, psi.Lead[0], "psi (")
	for _, line := range []string{"in bar", "and in bar please", "show it in bar", "as bar"} {
		bar := said(t, d, line)
		assert.Equal(t, psi.Line, bar.Line, line)
		assert.Contains(t, bar.Lead[0], "bar (", line)
		assert.InDelta(t, value(t, psi, "front.start"), value(t, bar, "front.start"), 1e-9, line)
	}
	assert.Contains(t, said(t, d, "same but wet").Lead[0], "bar (", "the talk goes on in bar")
	assert.Contains(t, said(t, d, "85kg 29x2.4 30mm 24 psi").Lead[0], "psi", "until another unit is typed")
}

func TestShareTypedIsForEverybody(t *testing.T) {
	d := newDesk(t)
	assert.NotEmpty(t, said(t, d, "share").Error, "nothing was answered yet")
	first := said(t, d, "80kg 29x2.4 30mm trail")
	shared := said(t, d, "share")
	assert.True(t, shared.Shared)
	assert.Equal(t, first.Line, shared.Line)
	assert.False(t, first.Shared)
	said(t, d, "pressure 29x2.4")
	assert.False(t, said(t, d, "share").Shared, "a question is for nobody else")
}

func TestSkipGivesTheRange(t *testing.T) {
	d := newDesk(t)
	require.NotNil(t, said(t, d, "82kg 30mm rim psi").Ask)
	r := said(t, d, "don't know")
	assert.Empty(t, r.Error)
	require.NotEmpty(t, r.Tables)
	assert.GreaterOrEqual(t, len(r.Tables[0].Rows), 2)
	assert.NotEmpty(t, r.Cautions)
	assert.True(t, r.Private, "it holds what the weight was worked out from")
	assert.Empty(t, said(t, d, "29x2.4").Error, "the question is still open")
	assert.NotEmpty(t, said(t, newDesk(t), "no idea").Error, "no question is open")
}

func TestGuessedUnitsCanBePutRight(t *testing.T) {
	for line, label := range map[string]string{
		"82 29x2.4 i30 psi":        "82 lb?",
		"22/25 set at 20c ride -5": "-5 °F?",
	} {
		r := asked(t, line)
		found := false
		for _, a := range r.Actions {
			found = found || a.Label == label
			if a.Label == label {
				assert.Empty(t, asked(t, a.Line).Error, a.Line)
			}
		}
		assert.True(t, found, "%q offers %v", line, r.Actions)
	}
	for _, a := range asked(t, "82 kg 29x2.4 i30 psi").Actions {
		assert.NotEqual(t, "82 lb?", a.Label, "what was stated needs no correction")
	}
	_, ok := meantIn(measure{Number: 22, Unit: quantity.PSIUnit})
	assert.False(t, ok, "22 bar is no tyre's")
}

func TestAndGoesOn(t *testing.T) {
	d := newDesk(t)
	said(t, d, "80kg 29x2.4 30mm trail")
	assert.Equal(t, `pressure rider:"95 kg" tyre:29x2.4 rim:"30 mm" riding:trail`, said(t, d, "and 95kg").Line)
	assert.Equal(t, `pressure rider:"95 kg" tyre:29x2.6 rim:"30 mm" riding:trail`, said(t, d, "now 29x2.6").Line)
	assert.Equal(t, `pressure rider:"70 kg" tyre:29x2.2 riding:xc`, said(t, d, "70kg 29x2.2 xc psi").Line, "a new question is new")
}
