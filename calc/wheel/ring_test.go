package wheel

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// TestRigid holds that a stretch of rim that is moved as a whole has no force
// at its ends: the turns go with the shifts in every way.
func TestRigid(t *testing.T) {
	const radius, angle = 0.3, 0.2
	g, ok := newGap(Section{7e6, 110, 200, 30}, radius, angle, 0)
	require.True(t, ok)
	for way := range ways {
		// Of the frame at the earlier end, about the axle.
		var move, turn [3]float64
		if way < 3 {
			move[way] = 1e-3
		} else {
			turn[way-3] = 1e-3
		}
		at := func(angle float64) vec {
			sin, cos := math.Sincos(angle)
			// Frame there: tangent, outwards, right, in that at the earlier end.
			frame := [3][3]float64{{cos, -sin, 0}, {sin, cos, 0}, {0, 0, 1}}
			place := [3]float64{radius * sin, radius * cos, 0}
			var u vec
			for x := range 3 {
				y, z := (x+1)%3, (x+2)%3
				shift := move[x] + turn[y]*place[z] - turn[z]*place[y]
				for w := range 3 {
					u[w] += frame[w][x] * shift
					u[3+w] += frame[w][x] * turn[x]
				}
			}
			return u
		}
		from, to := at(0), at(angle)
		a, b := g.a.of(&from), g.b.of(&to)
		c, d := g.b.transposedOf(&from), g.d.of(&to)
		for w := range ways {
			assert.InDelta(t, 0, a[w]+b[w], 1e-3, "motion %v, force %v of the earlier end", way, w)
			assert.InDelta(t, 0, c[w]+d[w], 1e-3, "motion %v, force %v of the later end", way, w)
		}
	}
}

// TestJoined holds that halving once more changes nothing that counts.
func TestJoined(t *testing.T) {
	s := Section{7e6, 110, 200, 30}
	const radius, angle = 0.3, 0.2
	fine := straight(s, radius, angle/(1<<(halvings+1)), 5000)
	for range halvings + 1 {
		var ok bool
		fine, ok = fine.doubled()
		require.True(t, ok)
	}
	g, ok := newGap(s, radius, angle, 5000)
	require.True(t, ok)
	for i := range ways {
		assert.InEpsilon(t, fine.a[i][i], g.a[i][i], 1e-4, "way %v", i)
	}
}
