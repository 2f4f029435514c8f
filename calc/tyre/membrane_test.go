package tyre

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"spokeword/calc/quantity"
)

// F ~ δ^1.5 at small drops (Renart & Roura-Grabulosa, Am. J. Phys. 87, 102,
// 2019); the membrane falls off it slowly.
func TestLoadGrowsAsAPowerOfTheDrop(t *testing.T) {
	m := mark(t, "61-622", 30)
	for _, c := range []struct{ drop, slope float64 }{{0.03, 1.49}, {0.12, 1.44}, {0.17, 1.41}} {
		a, err := m.PatchArea(Share(c.drop * 0.999))
		require.NoError(t, err)
		b, err := m.PatchArea(Share(c.drop * 1.001))
		require.NoError(t, err)
		slope := math.Log(float64(b/a)) / math.Log(1.001/0.999)
		assert.InDelta(t, c.slope, slope, 0.02, "at %v", c.drop)
	}
}

// The flattened section keeps the casing's length: checked on points laid
// along it, not by the formula that was solved.
func TestFlattenedCasingKeepsItsLength(t *testing.T) {
	for _, tyre := range []struct {
		mark string
		rim  float64
	}{{"61-622", 30}, {"28-622", 19}, {"117-559", 80}, {"71-584", 35}, {"40-622", 30}} {
		m := mark(t, tyre.mark, tyre.rim)
		for drop := 0.0; drop <= 0.6; drop += 0.05 {
			height := float64(m.Height) * (1 - drop)
			c, theta := flat(float64(m.Casing), float64(m.Rim), height, 2)
			rho := height / (1 - math.Cos(theta))
			// From the end of the flat part at the top, down a side to the bead.
			x, y, length := c/2, height, 0.0
			const n = 20000
			for i := 1; i <= n; i++ {
				a := theta * float64(i) / n
				nx, ny := c/2+rho*math.Sin(a), height-rho*(1-math.Cos(a))
				length += math.Hypot(nx-x, ny-y)
				x, y = nx, ny
			}
			assert.InDelta(t, float64(m.Casing), c+2*length, 1e-9, "%s at %v", tyre.mark, drop)
			assert.InDelta(t, float64(m.Rim)/2, x, 1e-9, "ends on the rim's edge")
			assert.InDelta(t, 0, y, 1e-9)
			if drop == 0 {
				assert.InDelta(t, 0, c, 1e-9, "nothing lies flat without a drop")
			}
		}
	}
}

// The patch by Gauss is the patch counted on a plain grid of 20000 slices,
// each solved by bisection.
func TestPatchAgainstAGrid(t *testing.T) {
	for _, tyre := range []struct {
		mark string
		rim  float64
	}{{"61-622", 30}, {"28-622", 19}, {"117-559", 80}, {"50-406", 25}} {
		m := mark(t, tyre.mark, tyre.rim)
		for _, drop := range []float64{0.08, 0.2, 0.35} {
			s, b, h := float64(m.Casing), float64(m.Rim), float64(m.Height)
			r := float64(m.Seat)/2 + h
			floor := r - drop*h
			reach := math.Sqrt(r*r - floor*floor)
			const n = 20000
			var area float64
			for i := range n {
				x := (float64(i) + 0.5) / n * reach
				height := math.Hypot(floor, x) - float64(m.Seat)/2 // along the slice's own radius
				lo, hi := 0.01, 2*math.Pi-0.01
				for range 60 {
					mid := (lo + hi) / 2
					if height*(mid-math.Sin(mid))/(1-math.Cos(mid)) < (s-b)/2 {
						lo = mid
					} else {
						hi = mid
					}
				}
				area += 2 * (b - 2*height*math.Sin(lo)/(1-math.Cos(lo))) * reach / n
			}
			got, err := m.PatchArea(Share(drop))
			require.NoError(t, err)
			assert.InEpsilon(t, area, float64(got), 1e-6, "%s at %v", tyre.mark, drop)
		}
	}
}

// scaled is the same shape at another size.
func scaled(m Mounted, by quantity.Length) Mounted {
	m.Label, m.Rim, m.Casing, m.Width, m.Height = m.Label*by, m.Rim*by, m.Casing*by, m.Width*by, m.Height*by
	m.Seat *= by
	return m
}

func TestScaling(t *testing.T) {
	m := mark(t, "28-305", 19)
	for _, drop := range []Share{0.05, 0.1, 0.2, 0.3} {
		a, err := m.PatchArea(drop)
		require.NoError(t, err)
		b, err := scaled(m, 2).PatchArea(drop)
		require.NoError(t, err)
		assert.InEpsilon(t, 4, float64(b/a), 1e-12, "geometry × 2 at one pressure carries × 4")
	}
	m = mark(t, "61-622", 30)
	one, err := m.Press(40, quantity.Gauge(1.5*quantity.Bar))
	require.NoError(t, err)
	two, err := m.Press(80, quantity.Gauge(3*quantity.Bar))
	require.NoError(t, err)
	assert.InEpsilon(t, float64(one.Drop), float64(two.Drop), 1e-9, "load × 2 and pressure × 2 give the same drop")
	assert.InEpsilon(t, 2, two.Stiffness/one.Stiffness, 1e-6)
}

func TestPressIsTheInverseOfPressureFor(t *testing.T) {
	for _, tyre := range []struct {
		mark string
		rim  float64
	}{{"61-622", 30}, {"25-622", 17}, {"117-559", 80}, {"50-406", 25}, {"40-622", 30}} {
		m := mark(t, tyre.mark, tyre.rim)
		for _, drop := range []Share{0.081, 0.12, 0.2, 0.3, 0.349} {
			for _, load := range []quantity.Mass{10, 45, 110} {
				p, err := m.PressureFor(load, drop)
				require.NoError(t, err)
				got, err := m.Press(load, p)
				require.NoError(t, err)
				assert.InDelta(t, float64(drop), float64(got.Drop), 1e-10)
				assert.InEpsilon(t, float64(load.Weight()), float64(got.Area)*float64(p), 1e-9)
				assert.Greater(t, got.Stiffness, 0.0)
			}
		}
	}
}

func TestPressRefusesWithWhatWouldDo(t *testing.T) {
	m := mark(t, "61-622", 30)
	_, err := m.Press(45, quantity.Gauge(0.3*quantity.Bar))
	var e *RangeError
	require.ErrorAs(t, err, &e)
	assert.Equal(t, "pressure", e.Quantity)
	least, ok := e.Min.(quantity.Gauge)
	require.True(t, ok)
	got, err := m.Press(45, least)
	require.NoError(t, err)
	assert.InDelta(t, float64(GreatestDrop), float64(got.Drop), 1e-9)
	for _, bad := range []struct {
		load quantity.Mass
		p    quantity.Gauge
	}{{9, 2e5}, {111, 2e5}, {quantity.Mass(math.NaN()), 2e5}, {45, quantity.Gauge(math.NaN())}, {45, 0}, {45, -1}, {45, quantity.Gauge(math.Inf(1))}} {
		_, err := m.Press(bad.load, bad.p)
		assert.ErrorAs(t, err, &e, "%v", bad)
	}
	for _, drop := range []Share{0, -0.1, 0.36, 1, Share(math.NaN()), 0.0005} {
		_, err := m.PatchArea(drop)
		assert.ErrorAs(t, err, &e, "%v", drop)
		_, err = m.PressureFor(45, drop)
		assert.Error(t, err, "%v", drop)
	}
	_, err = m.PressureFor(45, 0.07)
	assert.EqualError(t, err, "drop 7 %: want 8 % to 35 %")
	_, err = Mounted{}.PatchArea(0.2)
	assert.ErrorAs(t, err, &e, "a zero tyre carries nothing")
	_, err = Mounted{}.Press(45, 2e5)
	assert.ErrorAs(t, err, &e)
}

// Local powers the band of a start takes for all tyres: p ∝ W^−1.45 on one
// rim, drop^−1.4, load. That of the width is 1.40 to 1.48 from 28 to 71 mm.
func TestLocalPowers(t *testing.T) {
	at := func(label, rim float64, load quantity.Mass, drop Share) (width, p float64) {
		m := mark2(t, label, rim)
		g, err := m.PressureFor(load, drop)
		require.NoError(t, err)
		return float64(m.Width), float64(g)
	}
	for _, c := range []struct{ label, rim float64 }{{28, 19}, {40, 23}, {50, 25}, {61, 30}, {71, 35}} {
		w0, p0 := at(c.label*0.99, c.rim, 45, 0.2)
		w1, p1 := at(c.label*1.01, c.rim, 45, 0.2)
		power := -math.Log(p1/p0) / math.Log(w1/w0)
		assert.GreaterOrEqual(t, power, 1.40, "%v", c)
		assert.LessOrEqual(t, power, 1.48, "%v", c)
	}
	_, p0 := at(61, 30, 45, 0.19)
	_, p1 := at(61, 30, 45, 0.21)
	assert.InDelta(t, -1.40, math.Log(p1/p0)/math.Log(0.21/0.19), 0.02)
	_, p0 = at(61, 30, 45, 0.2)
	_, p1 = at(61, 30, 54, 0.2)
	assert.InEpsilon(t, 1.2, p1/p0, 1e-12)
}

// mark2 mounts a label of any width on 622.
func mark2(t testing.TB, label, rim float64) Mounted {
	t.Helper()
	m, err := Mount(quantity.Length(label)*mm, 622*mm, quantity.Length(rim)*mm)
	require.NoError(t, err)
	return m
}

func TestGaussIntegratesPowersExactly(t *testing.T) {
	for n := range 31 {
		sum := 0.0
		for _, g := range gauss {
			sum += g.w * math.Pow(g.x, float64(n))
		}
		assert.InDelta(t, 1/float64(n+1), sum, 1e-14, "x^%d over 0 to 1", n)
	}
}

func TestStrikeRatio(t *testing.T) {
	m := mark(t, "61-622", 30)
	one, err := StrikeRatio(m, 1.5e5, m, 1.5e5)
	require.NoError(t, err)
	assert.InDelta(t, 1, one, 1e-12)
	double, err := StrikeRatio(m, 3e5, m, 1.5e5)
	require.NoError(t, err)
	assert.InDelta(t, 2, double, 1e-12, "energy goes with the pressure")
	wider, err := StrikeRatio(mark(t, "66-622", 30), 1.5e5, m, 1.5e5)
	require.NoError(t, err)
	assert.Greater(t, wider, 1.0)
	back, err := StrikeRatio(m, 1.5e5, mark(t, "66-622", 30), 1.5e5)
	require.NoError(t, err)
	assert.InDelta(t, 1, wider*back, 1e-12)
	_, err = StrikeRatio(m, quantity.Gauge(math.NaN()), m, 1e5)
	assert.Error(t, err)
	_, err = StrikeRatio(Mounted{}, 1e5, m, 1e5)
	assert.Error(t, err)
}
