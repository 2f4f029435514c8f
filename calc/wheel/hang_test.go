package wheel

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"spokeword/calc/build"
	"spokeword/calc/quantity"
)

// TestHang compares what a spoke gives the rim, nipples off the middle of the
// section and to the side of it, with differences of its energy
//
//	T·(ℓ−L) + ½k·(ℓ−L)²
//
// for finite motions, the rim's section turned exactly.
func TestHang(t *testing.T) {
	half := func(offset quantity.Length) build.Half {
		return build.Half{Cross: 3, Gauge: build.DoubleButted(0.0020, 0.0018), Flange: build.Flange{
			Offset: offset, Holes: 16, Circle: 0.058, HoleDiameter: 0.0026,
		}}
	}
	m, err := New(Setup{
		Wheel: build.Wheel{Left: half(0.036), Right: half(0.021), Rim: build.Rim{
			ERD: 0.6, Holes: 32, ShiftLeft: 0.0025, Stagger: 0.002,
		}},
		Section: Section{7e6, 110, 200, 30}, Centroid: 0.008, Tension: 1100,
	})
	require.NoError(t, err)
	for _, i := range []int{0, 1, 2, 13} {
		s, b := &m.spokes[i], &m.bars[i]
		sin, cos := math.Sincos(float64(s.RimAngle))
		local := func(x, y, z quantity.Length) [3]float64 {
			return [3]float64{float64(x)*cos - float64(y)*sin, float64(x)*sin + float64(y)*cos, float64(z)}
		}
		hub, rim := local(s.Hub.X, s.Hub.Y, s.Hub.Z), local(s.Rim.X, s.Rim.Y, s.Rim.Z)
		middle := [3]float64{0, m.radius, 0}
		energy := func(u vec) float64 {
			arm := [3]float64{rim[0] - middle[0], rim[1] - middle[1], rim[2] - middle[2]}
			arm = turned(arm, [3]float64{u[twist], u[yaw], u[pitch]})
			sum := 0.0
			for x := range 3 {
				d := middle[x] + u[x] + arm[x] - hub[x]
				sum += d * d
			}
			longer := math.Sqrt(sum) - float64(s.Length)
			return b.tension*longer + b.k/2*longer*longer
		}
		steps := vec{1e-5, 1e-5, 1e-5, 1e-3, 1e-3, 1e-3}
		for p := range ways {
			for q := range ways {
				at := func(x, y float64) float64 {
					var u vec
					u[p] += x * steps[p]
					u[q] += y * steps[q]
					return energy(u)
				}
				want := (at(1, 1) - at(1, -1) - at(-1, 1) + at(-1, -1)) / (4 * steps[p] * steps[q])
				got := b.k*b.pull[p]*b.pull[q] + b.geometric[p][q]
				size := math.Sqrt(b.k) * math.Sqrt(b.k)
				if p >= twist {
					size *= 0.01
				}
				if q >= twist {
					size *= 0.01
				}
				assert.InDelta(t, want, got, 2e-4*size, "spoke %v, ways %v and %v", i, p, q)
			}
		}
	}
}

// turned turns v about the axis q by its length in radians.
func turned(v, q [3]float64) [3]float64 {
	angle := math.Sqrt(q[0]*q[0] + q[1]*q[1] + q[2]*q[2])
	if angle == 0 {
		return v
	}
	sin, cos := math.Sincos(angle)
	var out [3]float64
	dot := (q[0]*v[0] + q[1]*v[1] + q[2]*v[2]) / (angle * angle)
	for x := range 3 {
		y, z := (x+1)%3, (x+2)%3
		out[x] = v[x]*cos + (q[y]*v[z]-q[z]*v[y])/angle*sin + q[x]*dot*(1-cos)
	}
	return out
}
