package wheel_test

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"spokeword/calc/build"
	"spokeword/calc/quantity"
	"spokeword/calc/wheel"
)

// radial is a wheel of radial spokes on both sides, in millimetres and newtons.
func radial(spokes int, rim, hub, offset, wire, tension, modulus float64, s wheel.Section) wheel.Setup {
	half := build.Half{
		Gauge: build.Plain(quantity.Length(wire) * mm),
		Flange: build.Flange{
			Offset: quantity.Length(offset) * mm, Holes: spokes / 2,
			Circle: quantity.Length(2*hub) * mm, HoleDiameter: 2.5 * mm,
		},
	}
	return wheel.Setup{
		Wheel:   build.Wheel{Left: half, Right: half, Rim: build.Rim{ERD: quantity.Length(2*rim) * mm, Holes: spokes}},
		Section: s, Tension: quantity.Force(tension), Modulus: modulus,
	}
}

// TestNonLinear compares with a table of Ford, Mechanics of the bicycle wheel,
// dissertation, Northwestern University 2018: lateral stiffness of a wheel of
// 36 radial spokes by a non-linear solver, good here to 2 %.
func TestNonLinear(t *testing.T) {
	s := wheel.Section{Stretch: 7.176e6, Radial: 111, Lateral: 219, Twist: 26.3}
	for _, c := range []struct{ tension, want float64 }{{100, 108.05}, {500, 100.35}, {1000, 85.37}} {
		m, err := wheel.New(radial(36, 304, 29, 26.5, 1.78, c.tension, 210e9, s))
		require.NoError(t, err)
		got, err := m.Stiff(wheel.Place{})
		require.NoError(t, err)
		assert.InEpsilon(t, c.want, got.Lateral.In(quantity.NewtonPerMillimetre), 0.02, "at %v N", c.tension)
	}
}

// smeared is the closed form of the same source for spokes spread evenly over
// the rim: the ring's modes in series. side is half the sum of all spokes'
// stiffness to the side, in N/m; r in m.
func smeared(side float64, s wheel.Section, r float64) float64 {
	give := 1 / (2 * side)
	for n := 1.0; n < 2000; n++ {
		ring := math.Pi / (r * r * r) * float64(s.Lateral*s.Twist) * n * n * (n*n - 1) * (n*n - 1) / float64(s.Lateral+s.Twist*quantity.Rigidity(n*n))
		give += 1 / (side + ring)
	}
	return 1 / give
}

// TestClosedForm compares with the two printed examples of that form, and the
// model with the form where it has so many spokes that they are as good as spread.
func TestClosedForm(t *testing.T) {
	for _, c := range []struct{ side, lateral, twist, want float64 }{{304, 206, 94, 121}, {461, 158, 16.8, 147}} {
		s := wheel.Section{Stretch: 7e6, Radial: 150, Lateral: quantity.Rigidity(c.lateral), Twist: quantity.Rigidity(c.twist)}
		const rim, hub, offset = 304.0, 29.0, 26.5
		got := smeared(c.side*1e3, s, rim/1e3) / 1e3
		assert.InDelta(t, c.want, got, 0.5, "closed form")
		// Wire thick enough to give that sum.
		l := math.Hypot(rim-hub, offset)
		sine := offset / l
		const spokes = 72
		area := 2 * c.side * l / (spokes * 200e3 * sine * sine)
		m, err := wheel.New(radial(spokes, rim, hub, offset, 2*math.Sqrt(area/math.Pi), 0, 0, s))
		require.NoError(t, err)
		k, err := m.Stiff(wheel.Place{})
		require.NoError(t, err)
		assert.InEpsilon(t, c.want, k.Lateral.In(quantity.NewtonPerMillimetre), 0.01, "model")
	}
}
