package wheel_test

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"spokeword/calc/build"
	"spokeword/calc/quantity"
	"spokeword/calc/spoke"
	"spokeword/calc/wheel"
)

// mtb is a crossed wheel for the tests: circles 58 mm, ERD 600 mm, 2.0/1.8 mm.
func mtb(holes, cross int, left, right float64, tension quantity.Force) wheel.Setup {
	half := func(offset float64) build.Half {
		return build.Half{Cross: cross, Gauge: build.DoubleButted(2*mm, 1.8*mm), Flange: build.Flange{
			Offset: quantity.Length(offset) * mm, Holes: holes / 2, Circle: 58 * mm, HoleDiameter: 2.6 * mm,
		}}
	}
	return wheel.Setup{
		Wheel:   build.Wheel{Left: half(left), Right: half(right), Rim: build.Rim{ERD: 600 * mm, Holes: holes}},
		Section: wheel.Section{Stretch: 6.3e6, Radial: 110, Lateral: 200, Twist: 30},
		Tension: tension,
	}
}

func solved(t testing.TB, s wheel.Setup) *wheel.Model {
	t.Helper()
	m, err := wheel.New(s)
	require.NoError(t, err)
	return m
}

func TestMirrored(t *testing.T) {
	s := radial(28, 300, 20, 25, 1.8, 1000, 0, wheel.Section{Stretch: 7e6, Radial: 110, Lateral: 200, Twist: 30})
	s.Wheel.Right.Flange.Offset = 35 * mm
	other := s
	other.Wheel.Left, other.Wheel.Right = s.Wheel.Right, s.Wheel.Left
	one, two := solved(t, s), solved(t, other)
	a, b := one.Figures(), two.Figures()
	assert.InEpsilon(t, float64(a.Radial), float64(b.Radial), 1e-6)
	assert.InEpsilon(t, float64(a.Lateral), float64(b.Lateral), 1e-6)
	assert.InEpsilon(t, float64(a.Hit.Load), float64(b.Hit.Load), 1e-6)
	assert.InEpsilon(t, float64(a.Side.Load), float64(b.Side.Load), 1e-6)
	assert.NotEqual(t, a.SideWay, b.SideWay)
	assert.InEpsilon(t, float64(one.Tension(build.Left)), float64(two.Tension(build.Right)), 1e-9)
	assert.InEpsilon(t, 1000, float64(max(one.Tension(build.Left), one.Tension(build.Right))), 1e-9, "the tighter side has what was asked")
}

func TestMoreOfAGoodThing(t *testing.T) {
	base := solved(t, mtb(32, 3, 36, 21, 1000)).Figures()
	for _, c := range []struct {
		why    string
		change func(*wheel.Setup)
		better func(a, b wheel.Figures) bool // a after the change
	}{
		{"more spokes: stiffer both ways", func(s *wheel.Setup) { *s = mtb(36, 3, 36, 21, 1000) }, func(a, b wheel.Figures) bool { return a.Radial > b.Radial && a.Lateral > b.Lateral && a.Wire > b.Wire }},
		{"wider flanges: stiffer to the side", func(s *wheel.Setup) { *s = mtb(32, 3, 38, 23, 1000) }, func(a, b wheel.Figures) bool { return a.Lateral > b.Lateral && a.Hit.Load > b.Hit.Load }},
		{"more tension: no stiffer, later slack", func(s *wheel.Setup) { s.Tension = 1200 }, func(a, b wheel.Figures) bool {
			return a.Radial < b.Radial && a.Lateral < b.Lateral && a.Hit.Load > b.Hit.Load && a.Critical < b.Critical
		}},
		{"thinner wire: softer, later slack", func(s *wheel.Setup) {
			s.Wheel.Left.Gauge = build.DoubleButted(2*mm, 1.5*mm)
			s.Wheel.Right.Gauge = s.Wheel.Left.Gauge
		}, func(a, b wheel.Figures) bool {
			return a.Radial < b.Radial && a.Hit.Load > b.Hit.Load && a.LessTension < b.LessTension && a.Wire < b.Wire
		}},
		{"stiffer rim: stiffer, later slack", func(s *wheel.Setup) { s.Section = wheel.Section{Stretch: 8e6, Radial: 400, Lateral: 300, Twist: 90} }, func(a, b wheel.Figures) bool {
			return a.Radial > b.Radial && a.Lateral > b.Lateral && a.Hit.Load > b.Hit.Load && a.Critical > b.Critical
		}},
		{"fewer crossings: winds up more", func(s *wheel.Setup) { *s = mtb(32, 1, 36, 21, 1000) }, func(a, b wheel.Figures) bool { return a.WindUp < b.WindUp }},
	} {
		s := mtb(32, 3, 36, 21, 1000)
		c.change(&s)
		got := solved(t, s).Figures()
		assert.True(t, c.better(got, base), "%s: %+v, was %+v", c.why, got, base)
	}
}

// TestLooserSideFirst holds that on a dished wheel the looser side goes slack first.
func TestLooserSideFirst(t *testing.T) {
	m := solved(t, mtb(32, 3, 36, 21, 1000))
	require.Less(t, m.Tension(build.Left), m.Tension(build.Right))
	hit := m.Response().FirstSlack(wheel.Inward)
	assert.Equal(t, build.Left, m.Spokes()[hit.Spoke].Side)
	assert.Less(t, float64(hit.Load), float64(m.Response().Slack(wheel.Place{Hole: 0}, wheel.Inward).Load), "over a spoke of the tighter side it takes more")
}

// TestNippleAndLoad holds that a load takes the tension that Load says when
// Slack says so (Maxwell and Betti), between holes too.
func TestNippleAndLoad(t *testing.T) {
	m := solved(t, mtb(28, 2, 36, 21, 1000))
	r := m.Response()
	for _, at := range []wheel.Place{{Hole: 0}, {Hole: 5}, {Hole: 27, Mid: true}} {
		for way, unit := range map[wheel.Way]wheel.Load{
			wheel.Inward: {Inward: 1}, wheel.ToRight: {Right: 1}, wheel.ToLeft: {Right: -1}, wheel.Drive: {Drive: 1}, wheel.Brake: {Drive: -1},
		} {
			s := r.Slack(at, way)
			a, err := m.Load(at, unit)
			require.NoError(t, err)
			left := quantity.Force(math.Inf(1))
			for i, d := range a.Tension {
				left = min(left, m.Tension(m.Spokes()[i].Side)+d*s.Load)
			}
			assert.InDelta(t, 0, float64(left), 1e-3, "%v, way %v", at, way)
		}
	}
}

// TestRepeats holds that what is worked out for one repeat of the lacing holds
// all round: by Maxwell and Betti every nipple moves every place as a load there
// changes its spoke.
func TestRepeats(t *testing.T) {
	double := mtb(24, 2, 36, 17, 1000)
	double.Wheel.Pattern, double.Wheel.Single = build.TwoToOne, build.Left
	double.Wheel.Left.Flange.Holes, double.Wheel.Right.Flange.Holes = 16, 16
	double.Wheel.Left.Cross = 0
	uneven := references(t)["W1_622_32_3x_sym"].setup(t, 1000)
	uneven.Wheel.Left.Flange.Angles[3] += 0.02 // nothing repeats
	for name, s := range map[string]wheel.Setup{
		"crossed": mtb(32, 3, 36, 21, 1000), "20 holes": mtb(20, 2, 36, 21, 1000), "radial": mtb(20, 0, 36, 21, 1000), "2:1": double, "uneven": uneven,
	} {
		t.Run(name, func(t *testing.T) {
			m := solved(t, s)
			r := m.Response()
			slack := quantity.Force(math.Inf(1))
			for i := range m.Spokes() {
				a, err := m.Load(wheel.Place{Hole: i}, wheel.Load{Inward: 1, Right: 0.1})
				require.NoError(t, err)
				for j, d := range a.Tension {
					moved := r.Shift(i, j)
					assert.InDelta(t, float64(d), float64(moved.Outward/spoke.ThreadPitch)-0.1*float64(moved.Right/spoke.ThreadPitch), 1e-8, "place %v, nipple %v", i, j)
				}
				for _, mid := range []bool{false, true} {
					slack = min(slack, r.Slack(wheel.Place{Hole: i, Mid: mid}, wheel.ToLeft).Load)
				}
			}
			assert.InEpsilon(t, float64(slack), float64(r.FirstSlack(wheel.ToLeft).Load), 1e-8)
		})
	}
}

// TestResponse compares with what was computed for this project before by
// another program: one turn moves the rim by 0.7 mm to 1.0 mm there, with more
// on the looser side, and adds 250 N to 290 N. Published as practice is about
// 1 mm a turn.
func TestResponse(t *testing.T) {
	for _, left := range []float64{36, 21} {
		s := mtb(32, 3, left, 21, 1000)
		if left == 21 {
			s = mtb(32, 3, 35, 35, 1000)
		}
		m := solved(t, s)
		r := m.Response()
		for i := range 4 {
			side := m.Spokes()[i].Side
			moved := r.Shift(i, i).Right.MM()
			if side == build.Left {
				moved = -moved
			}
			assert.InDelta(t, 0.85, moved, 0.16)
			assert.InDelta(t, 270, float64(r.Tension(i, i)), 25)
			assert.Negative(t, r.Shift(i, i).Outward)
		}
		// All nipples of an undished wheel: no side, even tension.
		for i := range 32 {
			var all quantity.Force
			for k := range 32 {
				all += r.Tension(i, k)
			}
			assert.Positive(t, all)
		}
	}
}

func TestNoAnswer(t *testing.T) {
	weak := wheel.Section{Stretch: 3e6, Radial: 20, Lateral: 30, Twist: 3}
	crossed := mtb(32, 3, 36, 21, 0)
	flat := mtb(32, 3, 0, 0, 0)
	flat.Wheel.Rim.Stagger = 0
	soft := mtb(32, 3, 36, 21, 1000)
	soft.Section = weak
	aside := mtb(32, 3, 36, 0, 1000)
	aside.Wheel.Rim.ShiftLeft = -10 * mm
	bare := mtb(32, 3, 36, 21, 1000)
	bare.Wheel.Right.Gauge = build.Gauge{}
	var (
		mechanism *wheel.MechanismError
		buckle    *wheel.BuckleError
		balance   *spoke.BalanceError
		missing   *build.MissingError
		outside   *quantity.RangeError
	)
	_, err := wheel.New(crossed)
	require.NoError(t, err, "without tension it stands")
	_, err = wheel.New(flat)
	require.ErrorAs(t, err, &mechanism, "nothing holds the rim to the side")
	_, err = wheel.New(soft)
	require.ErrorAs(t, err, &buckle)
	assert.Equal(t, quantity.Force(1000), buckle.Tension)
	_, err = wheel.New(aside)
	require.ErrorAs(t, err, &balance)
	_, err = wheel.New(bare)
	require.ErrorAs(t, err, &missing)
	for _, change := range []func(*wheel.Setup){
		func(s *wheel.Setup) { s.Tension = 5000 },
		func(s *wheel.Setup) { s.Tension = quantity.Force(math.NaN()) },
		func(s *wheel.Setup) { s.Section.Twist = 0 },
		func(s *wheel.Setup) { s.Section.Stretch = quantity.Force(math.Inf(1)) },
		func(s *wheel.Setup) { s.Centroid = 1 },
	} {
		s := mtb(32, 3, 36, 21, 1000)
		change(&s)
		_, err := wheel.New(s)
		require.ErrorAs(t, err, &outside)
	}
	s := mtb(32, 3, 36, 21, 1000)
	s.Modulus = 1
	_, err = wheel.New(s)
	require.ErrorContains(t, err, "want 50 GPa")

	m := solved(t, radial(28, 300, 20, 25, 1.8, 0, 0, wheel.Section{Stretch: 7e6, Radial: 110, Lateral: 200, Twist: 30}))
	_, err = m.Load(wheel.Place{}, wheel.Load{Drive: 1})
	require.ErrorAs(t, err, &mechanism)
	assert.True(t, mechanism.Torque)
	assert.Zero(t, m.WindUp())
	_, err = m.Load(wheel.Place{Hole: 28}, wheel.Load{Inward: 1})
	require.ErrorContains(t, err, "rim hole 28: want 0 to 27")
}

// TestCritical holds that the wheel stands just below the factor and not above.
func TestCritical(t *testing.T) {
	for _, holes := range []int{16, 24, 32, 36} {
		for cross := range holes / 9 {
			s := mtb(holes, cross, 36, 21, 300)
			s.Section.Lateral, s.Section.Twist = 100, 15
			f := solved(t, s).Critical()
			require.Greater(t, f, 1.0)
			low, high := s, s
			low.Tension *= quantity.Force(f * 0.9998)
			high.Tension *= quantity.Force(f * 1.0012)
			solved(t, low)
			_, err := wheel.New(high)
			assert.Error(t, err, "%v holes, %v crossings", holes, cross)
		}
	}
}

// TestProfiles compares the estimate with figures that were computed for this
// project by another program, printed to two digits: 13 mm box, 19 mm in all, wall 1.2 mm.
func TestProfiles(t *testing.T) {
	at := func(inner quantity.Length) wheel.Estimate {
		e, err := wheel.Profile{Inner: inner}.Estimate()
		require.NoError(t, err)
		return e
	}
	a, b := at(25*mm), at(30*mm)
	assert.InDelta(t, 290, float64(a.Section.Radial), 5)
	assert.InDelta(t, 650, float64(a.Section.Lateral), 5)
	assert.InDelta(t, 98, float64(a.Section.Twist), 0.5)
	assert.InDelta(t, 320, float64(b.Section.Radial), 5)
	assert.InDelta(t, 950, float64(b.Section.Lateral), 5)
	assert.InDelta(t, 120, float64(b.Section.Twist), 0.5)

	// 25 → 30 mm with the same wall: mass +10 %, radial +3 %, computed likewise.
	// To the side it was +10 % to +11 % on a wheel whose measures were not
	// kept; here it is +8 %, and between +5 % without tension and that on others.
	s := mtb(32, 3, 36, 21, 1000)
	s.Section, s.Centroid = a.Section, a.Centroid
	narrow := solved(t, s).Figures()
	s.Section, s.Centroid = b.Section, b.Centroid
	wide := solved(t, s).Figures()
	assert.InDelta(t, 1.10, float64(b.Mass(0.3)/a.Mass(0.3)), 0.01)
	assert.InDelta(t, 1.03, float64(wide.Radial/narrow.Radial), 0.01)
	assert.Greater(t, float64(wide.Lateral/narrow.Lateral), 1.05)
	assert.Greater(t, float64(wide.WindUp), float64(narrow.WindUp))

	for _, p := range []wheel.Profile{{}, {Inner: 70 * mm}, {Inner: 25 * mm, Wall: 5 * mm}, {Inner: 25 * mm, Box: 20 * mm, Whole: 10 * mm}, {Inner: quantity.Length(math.NaN())}} {
		_, err := p.Estimate()
		var outside *quantity.RangeError
		require.ErrorAs(t, err, &outside, "%+v", p)
	}
}

// TestWeighing holds that a rim weighs what it was made to weigh, and that a rim
// as heavy as the usual one is the usual one.
func TestWeighing(t *testing.T) {
	const radius = 305 * mm
	for _, p := range []wheel.Profile{{Inner: 25 * mm}, {Inner: 30 * mm, Depth: wheel.Shallow}, {Inner: 35 * mm, Depth: wheel.Deep, Material: wheel.Carbon}} {
		usual, err := p.Estimate()
		require.NoError(t, err)
		same, err := p.Weighing(usual.Mass(radius), radius)
		require.NoError(t, err)
		assert.InEpsilon(t, float64(usual.Section.Lateral), float64(same.Section.Lateral), 1e-9)
		last := wheel.Estimate{}
		for _, times := range []quantity.Mass{0.6, 0.8, 1, 1.5, 2} {
			m := times * usual.Mass(radius)
			e, err := p.Weighing(m, radius)
			require.NoError(t, err)
			assert.InEpsilon(t, float64(m), float64(e.Mass(radius)), 1e-9)
			assert.Greater(t, e.Section.Radial, last.Section.Radial)
			assert.Greater(t, e.Section.Lateral, last.Section.Lateral)
			assert.Greater(t, e.Section.Twist, last.Section.Twist)
			last = e
		}
	}
	for _, m := range []quantity.Mass{0, 0.1, 5, -1, quantity.Mass(math.NaN()), quantity.Mass(math.Inf(1))} {
		_, err := wheel.Profile{Inner: 30 * mm}.Weighing(m, radius)
		require.ErrorContains(t, err, "alloy rim of 30 mm inner width", "%v", m)
	}
	_, err := wheel.Profile{Inner: 5 * mm}.Weighing(0.5, radius)
	require.ErrorContains(t, err, "inner width")
}
