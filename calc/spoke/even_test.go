package spoke_test

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"spokeword/calc/quantity"
	"spokeword/calc/spoke"
)

// The figures are reckoned by hand: 872 kgf over eight spokes is 109.
func TestEvennessOfEightReadings(t *testing.T) {
	var side []quantity.Force
	for _, kgf := range []float64{112, 95, 118, 104, 121, 99, 115, 108} {
		side = append(side, quantity.Force(kgf)*quantity.KilogramForce)
	}
	e, err := spoke.Even(side)
	require.NoError(t, err)
	assert.InDelta(t, 109, float64(e.Mean/quantity.KilogramForce), 1e-9)
	for i, percent := range []float64{3, -13, 8, -5, 11, -9, 6, -1} {
		assert.InDelta(t, percent, 100*e.Off[i], 0.5)
	}
	assert.InDelta(t, 1.27, e.Over, 0.005)
	assert.Equal(t, 1, e.Worst)
	assert.Greater(t, e.Deviation, spoke.GoodSpread)
	assert.Less(t, e.Deviation, spoke.MostSpread)
}

func TestEvennessRefusesWhatIsNoSide(t *testing.T) {
	var few *spoke.FewReadingsError
	_, err := spoke.Even([]quantity.Force{900})
	require.ErrorAs(t, err, &few)
	for _, bad := range []float64{0, -5, 3001, math.NaN(), math.Inf(1)} {
		var out *quantity.RangeError
		_, err := spoke.Even([]quantity.Force{900, quantity.Force(bad)})
		require.ErrorAs(t, err, &out, "%v N", bad)
	}
}
