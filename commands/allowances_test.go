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

// TestBetweenStaysWithinTheMarks holds the middle of two pressures that were felt at
// or below what the parts are marked for: the lower of the tyre's and the rim's mark
// binds (ISO 4210-1), 5 bar or 72.5 psi on hookless rims.
func TestBetweenStaysWithinTheMarks(t *testing.T) {
	for _, x := range []struct {
		line   string
		most   float64 // psi; 0 none is given
		begins string
	}{
		{"26 squirmy 34 harsh", 30, "Between the two: try 30 psi (2.07 bar)"},
		{"26 squirmy 34 harsh rim max 32", 30, "Between the two: try 30 psi (2.07 bar)"},
		{"26 squirmy 34 harsh rim max 28", 28, "No more than 28 psi (1.93 bar), the rim's own mark"},
		{"26 squirmy 34 harsh tyre max 29 rim max 32", 29, "No more than 29 psi (1.99 bar), the tyre's own mark"},
		{"26 squirmy 34 harsh rim max 26", 0, "No more air: the most here is 26 psi (1.79 bar), the rim's own mark."},
		{"26 squirmy 34 harsh rim max 28 80kg 29x2.4", 28, "No more than 28 psi (1.93 bar), the rim's own mark"},
		{"26 squirmy 34 harsh rim max 26 80kg 29x2.4", 0, "No more air: "},
		{"4.5 bar squirmy 6 bar harsh hookless", 72.5, "No more than 4.99 bar (72.5 psi), the rule for hookless rims"},
		{"5 bar squirmy 6 bar harsh hookless", 0, "No more air: "},
	} {
		r := fresh(t, x.line)[0]
		assert.True(t, strings.HasPrefix(r.Lead[0], x.begins), "%s: %s", x.line, r.Lead[0])
		assert.Equal(t, x.most == 0, r.Refused, x.line)
		if x.most > 0 {
			assert.InDelta(t, x.most, psi(value(t, r, "between")), 0.01, x.line)
		}
		assert.Equal(t, strings.Contains(x.line, "hookless"), r.Facts.Hookless, x.line)
	}
}
