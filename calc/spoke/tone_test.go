package spoke_test

import (
	"encoding/csv"
	"math"
	"os"
	"strconv"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"spokeword/calc/build"
	"spokeword/calc/quantity"
	"spokeword/calc/spoke"
)

// TestTone compares with beam-string finite elements (testdata/worked/tone.csv).
func TestTone(t *testing.T) {
	gauges := map[string]build.Gauge{
		"2.0 plain": build.Plain(2 * mm), "1.8 plain": build.Plain(1.8 * mm),
		"2.0/1.8/2.0": build.DoubleButted(2*mm, 1.8*mm), "2.0/1.7/2.0": build.DoubleButted(2*mm, 1.7*mm),
		"2.0/1.5/2.0": build.DoubleButted(2*mm, 1.5*mm), "1.8/1.6/1.8": build.DoubleButted(1.8*mm, 1.6*mm),
		"2.34/2.0 (single butt at hub)":      build.SingleButted(2.34*mm, 2*mm),
		"2.0 ends, 2.3x0.9 blade, weak axis": build.Bladed(2*mm, 2.3*mm, 0.9*mm),
	}
	f, err := os.Open("../../testdata/worked/tone.csv")
	require.NoError(t, err)
	defer f.Close()
	rows, err := csv.NewReader(f).ReadAll()
	require.NoError(t, err)
	require.Greater(t, len(rows), 100)
	for _, r := range rows[1:] {
		g, ok := gauges[r[0]]
		require.True(t, ok, r[0])
		var v [4]float64
		for i := range v {
			v[i], err = strconv.ParseFloat(r[i+1], 64)
			require.NoError(t, err)
		}
		got, err := spoke.Tone(g, quantity.Length(v[0])*mm, quantity.Force(v[1]))
		require.NoError(t, err)
		assert.InEpsilon(t, v[3], got.Hinged, 0.005, "%v hinged", r)
		if v[0] >= 220 && v[1] >= 600 {
			// 1.3 % to the digit it is stated: the worst is 1.32 %.
			assert.InEpsilon(t, v[2], got.Clamped, 0.0135, "%v clamped", r)
			assert.InEpsilon(t, v[3], got.Hinged, 0.001, "%v hinged", r)
		}
		low, high, err := spoke.OfTone(g, quantity.Length(v[0])*mm, got.Clamped)
		if err == nil {
			assert.InEpsilon(t, v[1], float64(low), 1e-6)
			assert.Greater(t, float64(high), float64(low))
		}
	}
	_, err = spoke.Tone(build.Plain(2*mm), 0.27, 100)
	var outside *build.RangeError
	require.ErrorAs(t, err, &outside)
	_, _, err = spoke.OfTone(build.Plain(2*mm), 0.27, math.NaN())
	require.ErrorAs(t, err, &outside)
	_, err = spoke.Tone(build.Gauge{}, 0.27, 1000)
	var missing *build.MissingError
	require.ErrorAs(t, err, &missing)
}
