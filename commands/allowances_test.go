package commands

import (
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"spokeword/commands/reply"
)

// TestGroundAndInsertAreInTheAnswer holds what is asked for to come first: the
// pressures of the wet, of the insert; the start without stands behind.
// Changes: wet roots or rock −1 to −2 psi at both ends, an insert −1 to −3 at its
// wheel, together at most 4 psi or 15 % of a wheel. Common practice, no source.
func TestGroundAndInsertAreInTheAnswer(t *testing.T) {
	for _, x := range []struct {
		line        string
		front, rear [2]float64 // psi off the start
		begins      string
	}{
		{"80kg 29x2.4 30mm trail wet roots", [2]float64{-2, -1}, [2]float64{-2, -1}, "Wet roots or rock: front "},
		{"80kg 29x2.4 30mm trail insert rear", [2]float64{}, [2]float64{-3, -1}, "Insert rear: front "},
		{"80kg 29x2.4 30mm park wet roots insert rear", [2]float64{-2, -1}, [2]float64{-4, -2}, "Wet roots or rock, insert rear: "}, // the park is in the start
	} {
		r := fresh(t, x.line)[0]
		assert.True(t, strings.HasPrefix(r.Lead[0], x.begins), "%s: %s", x.line, r.Lead[0])
		assert.True(t, strings.HasPrefix(r.Lead[1], "Without: front "), "%s: %s", x.line, r.Lead[1])
		for end, want := range map[string][2]float64{"front": x.front, "rear": x.rear} {
			start := psi(value(t, r, end+".start"))
			at := slices.IndexFunc(r.Values, func(v reply.Value) bool { return v.Name == end+".allowed" })
			if want == [2]float64{} {
				assert.Negative(t, at, "%s: nothing is allowed %s", x.line, end)
				continue
			}
			require.GreaterOrEqual(t, at, 0, "%s: %s", x.line, end)
			assert.InDelta(t, start+want[0], psi(r.Values[at].Low), 0.01, x.line)
			assert.InDelta(t, start+want[1], psi(r.Values[at].High), 0.01, x.line)
		}
	}
	r := fresh(t, "60kg 29x2.4 30mm trail wet roots insert both casing heavy")[0]
	bounded := 0
	for _, v := range r.Values {
		if strings.HasSuffix(v.Name, ".allowed") {
			bounded++
			start := psi(value(t, r, strings.TrimSuffix(v.Name, "allowed")+"start"))
			require.GreaterOrEqual(t, psi(v.Low), start-4-1e-9)
			require.GreaterOrEqual(t, psi(v.Low), 0.85*start-1e-9)
		}
	}
	assert.Equal(t, 2, bounded, "front and rear")
}
