package commands

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"spokeword/calc/quantity"
)

// TestASheetHoldsEverybodysStart: each row of the sheet is what the rider's own
// question is answered with; where no weights are told, usual ones stand there.
func TestASheetHoldsEverybodysStart(t *testing.T) {
	r := fresh(t, "sat ride 4 of us 61 75 88 102kg all 29x2.4 30i psi list")[0]
	require.Equal(t, "ride", r.Command)
	require.Len(t, r.Tables[0].Rows, 4)
	for i, own := range []string{"61kg 29x2.4 30i", "75kg 29x2.4 30i", "88kg 29x2.4 30i", "102kg 29x2.4 30i"} {
		one := fresh(t, own)[0]
		require.Len(t, one.Tables[0].Rows, 2, own)
		for end := range 2 {
			want, err := quantity.Number(one.Tables[0].Rows[end].Cells[1])
			require.NoError(t, err)
			got, err := quantity.Number(r.Tables[0].Rows[i].Cells[1+end])
			require.NoError(t, err)
			assert.InDelta(t, want, got, 1e-9, own)
		}
	}
	assert.True(t, r.Private, "it is told to the asker alone: it holds weights")
	for _, line := range []string{"6 for sat wet 29x2.4 55 62 70 78 85 96kg list for wall", "55, 62 and 70 kg on 29x2.35 psi", "a 62 29x2.35, b 95 27.5x2.6 insert, kid 30 24x2.0 tubes wet 4c", "sheet for sat 6 riders wet rocks 4c"} {
		r := fresh(t, line)[0]
		require.Equal(t, "ride", r.Command, line)
		require.NotEmpty(t, r.Tables, line)
		for _, row := range r.Tables[0].Rows {
			assert.NotContains(t, row.Cells, "ask", line)
		}
	}
	for _, line := range []string{"ride ann 62 kg 29x2.4, ben 150 kg 700x32 on 25 mm", "pressure 150 kg 700x32 on 25 mm"} {
		r := fresh(t, line)[0]
		switch r.Command {
		case "ride":
			assert.Equal(t, []string{"ben", "ask", "ask"}, r.Tables[0].Rows[1].Cells, "a start above the mark stands on no sheet, as it stands in no answer")
			assert.NotContains(t, r.Tables[0].Rows[0].Cells, "ask")
		default:
			assert.Contains(t, r.Lead[0], "No pressure", line)
		}
	}
	hookless := fresh(t, "ride ann 62 kg 29x2.4, ben 75 kg 29x2.4 hookless 30 mm 30 °C")[0]
	assert.True(t, hookless.Facts.Hookless, "its caution stands beside the sheet, too")
	assert.False(t, hookless.Facts.ColdOrDescent, "30 °C is not cold")
	assert.True(t, fresh(t, "ride ann 62 kg 29x2.4, kid 30 kg 24x2.0 4 °C")[0].Facts.ColdOrDescent)
}
