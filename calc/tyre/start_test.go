package tyre

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"spokeword/calc/quantity"
)

// trail is an ordinary set-up, to be changed by tests.
func trail(t testing.TB) Setup {
	t.Helper()
	w := Wheel{Tyre: mark(t, "61-622", 30)}
	return Setup{Rider: 80, Bike: 17, Front: w, Rear: w, Riding: Trail}
}

func start(t testing.TB, s Setup) Start {
	t.Helper()
	out, err := StartFor(s)
	require.NoError(t, err)
	return out
}

func psi(g quantity.Gauge) float64 { return g.In(quantity.PSI) }

func TestTargets(t *testing.T) {
	for _, c := range []struct {
		riding      Riding
		label       float64
		drop, front float64
	}{
		{Road, 28, 0.190, 0.46}, {Gravel, 40, 0.224, 0.47}, {XC, 57, 0.195, 0.46}, {Trail, 61, 0.201, 0.478},
		{Enduro, 61, 0.190, 0.477}, {Downhill, 61, 0.185, 0.478}, {Park, 61, 0.185, 0.478},
		{Commute, 40, 0.224, 0.47}, {Commute, 28, 0.190, 0.46}, {Snow, 61, 0.201, 0.478},
		{Trail, 66.1, 0.201, 0.478}, {Downhill, 71, 0.237, 0.48}, {Trail, 114, 0.207, 0.47}, {Enduro, 130, 0.207, 0.47},
		{Trail, 68.55, 0.219, 0.479}, {Trail, 92.5, 0.222, 0.475},
	} {
		got, ok := TargetFor(c.riding, quantity.Length(c.label)*mm)
		require.True(t, ok)
		assert.InDelta(t, c.drop, float64(got.Drop), 1e-9, "%v %v", c.riding, c.label)
		assert.InDelta(t, c.front, float64(got.Front), 1e-9, "%v %v", c.riding, c.label)
	}
	// No jump where the lines meet.
	for r := Road; r <= Snow; r++ {
		last, _ := TargetFor(r, 36*mm)
		for l := 36.0; l < 132; l += 0.01 {
			got, _ := TargetFor(r, quantity.Length(l)*mm)
			assert.InDelta(t, float64(last.Drop), float64(got.Drop), 2e-4, "%v at %v", r, l)
			assert.InDelta(t, float64(last.Front), float64(got.Front), 1e-4, "%v at %v", r, l)
			last = got
		}
	}
	_, ok := TargetFor(0, 61*mm)
	assert.False(t, ok)
	_, ok = TargetFor(200, 61*mm)
	assert.False(t, ok)
}

func TestStartIsLoadOverArea(t *testing.T) {
	s := trail(t)
	got := start(t, s)
	assert.InDelta(t, 97, float64(got.Total), 1e-12)
	assert.InDelta(t, 0.478, float64(got.FrontShare), 1e-12)
	assert.InDelta(t, 97*0.478, float64(got.Front.Load), 1e-12)
	assert.InDelta(t, 97, float64(got.Front.Load+got.Rear.Load), 1e-12)
	a, err := s.Front.Tyre.PatchArea(got.Front.Drop)
	require.NoError(t, err)
	assert.InEpsilon(t, float64(got.Front.Load.Weight())/float64(a), float64(got.Front.Pressure), 1e-12)
	// The rear above the front by 1 to 3 psi, as published.
	gap := psi(got.Rear.Pressure - got.Front.Pressure)
	assert.GreaterOrEqual(t, gap, 1.0)
	assert.LessOrEqual(t, gap, 3.0)
}

// Bands as stated with the targets: trail ± 2.0 psi, gravel ± 2.5, road ± 6.5,
// fat ± 0.6 for the set-ups of the gates.
func TestBands(t *testing.T) {
	for _, c := range []struct {
		mark        string
		rim         float64
		riding      Riding
		rider, bike quantity.Mass
		psi, tol    float64
	}{
		{"61-622", 30, Trail, 80, 17, 2.0, 0.1},
		{"40-622", 23, Gravel, 75, 12, 2.5, 0.2},
		{"28-622", 19, Road, 75, 10, 6.5, 0.5},
		{"117-559", 80, Snow, 75, 17, 0.6, 0.05},
	} {
		w := Wheel{Tyre: mark(t, c.mark, c.rim)}
		got := start(t, Setup{Rider: c.rider, Bike: c.bike, Front: w, Rear: w, Riding: c.riding})
		mean := psi(got.Front.High-got.Front.Low+got.Rear.High-got.Rear.Low) / 4
		assert.InDelta(t, c.psi, mean, c.tol, c.mark)
		assert.InEpsilon(t, float64(got.Front.Band), float64((got.Front.High-got.Front.Low)/(2*got.Front.Model)), 1e-9)
	}
}

func TestTubesAndSoftSnow(t *testing.T) {
	s := trail(t)
	plain := start(t, s)
	s.Front.Tubes = true
	one := start(t, s)
	assert.InDelta(t, 5, psi(one.Front.Pressure-plain.Front.Pressure), 1e-9)
	assert.InDelta(t, 5, psi(one.Front.Tubes), 1e-9)
	assert.Equal(t, plain.Rear, one.Rear, "only where the tube is")
	assert.Greater(t, one.Front.High-one.Front.Low, plain.Front.High-plain.Front.Low)

	w := Wheel{Tyre: mark(t, "40-622", 23), Tubes: true}
	road := start(t, Setup{Rider: 75, Bike: 12, Front: w, Rear: w, Riding: Gravel})
	assert.Zero(t, road.Front.Tubes, "none below 45 mm")

	s = trail(t)
	s.SoftSnow = true
	assert.InEpsilon(t, 0.8, float64(start(t, s).Rear.Pressure/plain.Rear.Pressure), 1e-12)
}

func TestCarried(t *testing.T) {
	s := trail(t)
	plain := start(t, s)
	s.Carried, s.Where = 12, Rear
	rear := start(t, s)
	assert.Equal(t, plain.Front, rear.Front)
	assert.InDelta(t, 12, float64(rear.Rear.Load-plain.Rear.Load), 1e-9)
	s.Where = Front
	assert.InDelta(t, 12, float64(start(t, s).Front.Load-plain.Front.Load), 1e-9)
	s.Where = Both
	both := start(t, s)
	assert.InDelta(t, 12*0.478, float64(both.Front.Load-plain.Front.Load), 1e-9)
	// 11 kg more on an assisted bike, of 99: + 11 % pressure, + 2.4 psi at 22.
	s = trail(t)
	s.Rider, s.Bike = 85, 14
	before := start(t, s)
	s.Bike = 25
	after := start(t, s)
	assert.InDelta(t, 11.0/99, float64(after.Front.Pressure/before.Front.Pressure)-1, 1e-9)
	assert.InDelta(t, 2.4, 22*(float64(after.Front.Pressure/before.Front.Pressure)-1), 0.05)
}

// 29x2.6 on 35 in front, 29x2.35 on 30 behind, 80 kg: practice has 19–20 and
// 24–25 psi. And 29x2.6 with 27.5x2.8: each wheel its own drop, the mean share.
func TestMixedTyres(t *testing.T) {
	s := trail(t)
	s.Front.Tyre, s.Rear.Tyre = mark(t, "29x2.6", 35), mark(t, "29x2.35", 30)
	got := start(t, s)
	assert.InDelta(t, 19.5, psi(got.Front.Pressure), 1.5)
	assert.InDelta(t, 24.5, psi(got.Rear.Pressure), 1.5)

	s.Front.Tyre, s.Rear.Tyre = mark(t, "29x2.6", 35), mark(t, "27.5x2.8", 35)
	got = start(t, s)
	assert.InDelta(t, (0.478+0.48)/2, float64(got.FrontShare), 1e-4, "2.8 is 71.12 mm, a hair on the way to fat")
	assert.InDelta(t, 0.201, float64(got.Front.Drop), 1e-12)
	assert.InDelta(t, 0.2369, float64(got.Rear.Drop), 1e-4)
}

// What tyre and rim change follows from the section alone.
func TestTyreAndRimMoveTheStart(t *testing.T) {
	at := func(tyre string, rim float64) float64 {
		s := trail(t)
		s.Front.Tyre = mark(t, tyre, rim)
		return psi(start(t, s).Front.Pressure)
	}
	// Same casing, wider rim: the patch at the target drop of h grows with W
	// and so the start falls; same for the tyre.
	for _, c := range []struct {
		tyreA string
		rimA  float64
		tyreB string
		rimB  float64
	}{{"29x2.4", 25, "29x2.4", 35}, {"29x2.3", 30, "29x2.5", 30}} {
		a, b := mark(t, c.tyreA, c.rimA), mark(t, c.tyreB, c.rimB)
		areaA, err := a.PatchArea(0.201)
		require.NoError(t, err)
		areaB, err := b.PatchArea(0.201)
		require.NoError(t, err)
		assert.InEpsilon(t, float64(areaA/areaB), at(c.tyreB, c.rimB)/at(c.tyreA, c.rimA), 1e-9)
		assert.Less(t, at(c.tyreB, c.rimB), at(c.tyreA, c.rimA))
		t.Logf("%s on %v to %s on %v: %v to %v psi", c.tyreA, c.rimA, c.tyreB, c.rimB, at(c.tyreA, c.rimA), at(c.tyreB, c.rimB))
	}
}

func TestMoreWeightNeverLessPressure(t *testing.T) {
	for r := Road; r <= Snow; r++ {
		for _, tyre := range []struct {
			mark string
			rim  float64
		}{{"28-622", 19}, {"40-622", 23}, {"61-622", 30}, {"71-584", 35}, {"90-559", 70}, {"117-559", 80}} {
			w := Wheel{Tyre: mark(t, tyre.mark, tyre.rim)}
			last := Start{}
			for rider := quantity.Mass(30); rider < 150; rider++ {
				got := start(t, Setup{Rider: rider, Bike: 15, Front: w, Rear: w, Riding: r})
				assert.GreaterOrEqual(t, got.Front.Pressure, last.Front.Pressure)
				assert.GreaterOrEqual(t, got.Rear.Pressure, last.Rear.Pressure)
				assert.LessOrEqual(t, got.Front.Pressure, got.Rear.Pressure, "front never above rear on equal tyres")
				last = got
			}
		}
	}
}

func TestWiderTyreNeverMorePressure(t *testing.T) {
	last := math.Inf(1)
	for label := 50.0; label <= 66; label += 0.1 {
		w := Wheel{Tyre: mark2(t, label, 28)}
		p := float64(start(t, Setup{Rider: 80, Bike: 17, Front: w, Rear: w, Riding: Trail}).Rear.Model)
		assert.Less(t, p, last, "%v", label)
		last = p
	}
}

func TestMaximum(t *testing.T) {
	for _, c := range []struct {
		limits Limits
		label  float64
		want   float64 // bar
		rule   MaxRule
		why    string
	}{
		{Limits{}, 28, 7.5, GenericCeiling, ""}, {Limits{}, 30, 5, GenericCeiling, ""}, {Limits{}, 44.9, 5, GenericCeiling, ""},
		{Limits{}, 45, 3.5, GenericCeiling, ""}, {Limits{}, 59, 3.5, GenericCeiling, ""}, {Limits{}, 60, 2.5, GenericCeiling, ""},
		{Limits{TyreMax: 3e5}, 61, 3, TyreMark, "a mark goes over the ceiling"},
		{Limits{TyreMax: 3e5, RimMax: 2.2e5}, 61, 2.2, RimMark, "the lower binds"},
		{Limits{TyreMax: 2e5, RimMax: 2.2e5}, 61, 2, TyreMark, ""},
		{Limits{TyreMax: 8e5, Hookless: true}, 28, 72.5 * quantity.PSI / quantity.Bar, HooklessRule, ""},
		{Limits{TyreMax: 8e5, RimMax: 4e5, Hookless: true}, 28, 4, RimMark, ""},
		{Limits{RimMax: 8e5}, 28, 7.5, GenericCeiling, "the tyre's mark is still unknown"},
		{Limits{Hookless: true}, 61, 2.5, GenericCeiling, ""},
		{Limits{TyreMin: 2.8e5}, 61, 2.8, GenericCeiling, "an assumption doesn't contradict a mark"},
	} {
		got := c.limits.Max(quantity.Length(c.label) * mm)
		assert.InDelta(t, c.want, got.Pressure.In(quantity.Bar), 1e-9, "%+v on %v %s", c.limits, c.label, c.why)
		assert.Equal(t, c.rule, got.Rule, "%+v on %v", c.limits, c.label)
		assert.NotZero(t, got.Basis.Kind)
		assert.Equal(t, c.limits.TyreMax == 0, got.TyreUnknown)
		assert.Equal(t, c.limits.Hookless && c.limits.RimMax == 0, got.RimUnknown)
	}
	assert.LessOrEqual(t, HooklessMax, quantity.Gauge(5*quantity.Bar), "the lower of the two readings")
}

func TestMinimaByUse(t *testing.T) {
	const least = quantity.Gauge(2.5 * quantity.Bar)
	for _, c := range []struct {
		riding   Riding
		use      Use
		hookless bool
		want     Standing
		why      string
	}{
		{Trail, Ordinary, false, BelowMin, "hooked, off the road: shown, with a caution"},
		{Enduro, Ordinary, false, BelowMin, ""},
		{Trail, Ordinary, true, RaisedToMin, "hookless"},
		{Trail, Assisted, false, RaisedToMin, ""},
		{Gravel, Ordinary, false, RaisedToMin, ""},
		{Road, Ordinary, false, RaisedToMin, ""},
		{Commute, Ordinary, false, RaisedToMin, ""},
		{Trail, Cargo, false, RaisedToMin, ""},
		{Trail, Tandem, false, RaisedToMin, ""},
		{Trail, Child, false, MinBeside, "the mark is quoted beside"},
	} {
		s := trail(t)
		s.Riding, s.Use = c.riding, c.use
		s.Front.Limits = Limits{TyreMin: least, TyreMax: 4e5, RimMax: 4e5, Hookless: c.hookless}
		s.Rear.Limits = s.Front.Limits
		got := start(t, s).Front
		assert.Equal(t, c.want, got.Standing, "%v %v hookless %v: %s", c.riding, c.use, c.hookless, c.why)
		if c.want == RaisedToMin {
			assert.Equal(t, least, got.Pressure)
			assert.Equal(t, least, got.Low)
			assert.GreaterOrEqual(t, got.High, least)
			assert.Less(t, got.Model, least)
		} else {
			assert.Equal(t, got.Model, got.Pressure)
			assert.Less(t, got.Pressure, least)
		}
	}
}

func TestMaximumIsNeverExceeded(t *testing.T) {
	for _, tyre := range []struct {
		mark string
		rim  float64
	}{{"28-622", 19}, {"40-622", 23}, {"61-622", 30}, {"71-584", 35}, {"117-559", 80}} {
		for r := Road; r <= Snow; r++ {
			for most := 0.3; most < 8; most += 0.37 {
				w := Wheel{Tyre: mark(t, tyre.mark, tyre.rim), Tubes: true, Limits: Limits{TyreMax: quantity.Gauge(most * quantity.Bar)}}
				hooked := w
				w.Limits.Hookless = true
				got, err := StartFor(Setup{Rider: 95, Bike: 20, Front: w, Rear: hooked, Riding: r})
				require.NoError(t, err)
				for _, x := range []WheelStart{got.Front, got.Rear} {
					assert.LessOrEqual(t, x.Pressure, x.Max.Pressure)
					assert.LessOrEqual(t, x.High, x.Max.Pressure)
					assert.LessOrEqual(t, x.Low, x.Pressure)
					assert.LessOrEqual(t, x.Pressure, x.High)
					assert.Equal(t, x.Model > x.Max.Pressure, x.Standing == AboveMax)
				}
			}
		}
	}
}

func TestStartRefuses(t *testing.T) {
	nan := math.NaN()
	for _, c := range []struct {
		change func(*Setup)
		want   string
	}{
		{func(s *Setup) { s.Rider = 0 }, "rider 0 kg: want 5 kg to 400 kg"},
		{func(s *Setup) { s.Rider = quantity.Mass(nan) }, ""},
		{func(s *Setup) { s.Bike = quantity.Mass(math.Inf(1)) }, ""},
		{func(s *Setup) { s.Carried = -1 }, "load -1 kg: want 0 kg to 400 kg"},
		{func(s *Setup) { s.Carried = quantity.Mass(nan) }, ""},
		{func(s *Setup) { s.Rider = 220 }, "wheel load 113.29 kg: want 10 kg to 110 kg"},
		{func(s *Setup) { s.Rider, s.Bike = 8, 6 }, "wheel load 6.69 kg: want 10 kg to 110 kg"},
		{func(s *Setup) { s.Riding = 0 }, "riding unknown: want road to snow"},
		{func(s *Setup) { s.Front.Tyre = Mounted{} }, ""},
		{func(s *Setup) { s.Front.Tyre.Width = quantity.Length(nan) }, ""},
		{func(s *Setup) { s.Rear.Limits.TyreMax = quantity.Gauge(nan) }, ""},
		{func(s *Setup) { s.Rear.Limits.TyreMax = 30e5 }, "tyre's maximum 30 bar: want 0 bar to 15 bar"},
		{func(s *Setup) { s.Rear.Limits = Limits{TyreMin: 4e5, RimMax: 3e5, TyreMax: 5e5} }, "tyre's minimum 4 bar: want at most 3 bar"},
		{func(s *Setup) { s.Use = Cargo }, "tyre's maximum unknown: want both tyres' marks"},
		{func(s *Setup) { s.Use = Tandem; s.Front.Limits.TyreMax = 4e5 }, "tyre's maximum unknown: want the rear tyre's mark"},
		{func(s *Setup) { s.Use = ChildSeat; s.Rear.Limits.TyreMax = 4e5 }, "tyre's maximum unknown: want the front tyre's mark"},
	} {
		s := trail(t)
		c.change(&s)
		got, err := StartFor(s)
		if assert.Error(t, err, "%s", c.want) && c.want != "" {
			assert.EqualError(t, err, c.want)
		}
		assert.Zero(t, got)
	}
}

func TestLadenBikesGetNoSoftNumber(t *testing.T) {
	s := trail(t)
	soft := start(t, s)
	s.Use = Cargo
	s.Front.Limits.TyreMax, s.Rear.Limits.TyreMax = 4e5, 4e5
	firm := start(t, s)
	assert.True(t, firm.FirmTarget)
	assert.False(t, soft.FirmTarget)
	assert.Greater(t, firm.Rear.Pressure, soft.Rear.Pressure)
	// 80 kg and 60 kg of tools over the rear of a 20x2.15: beyond the model.
	s.Rear.Tyre = mark(t, "20x2.15", 25)
	s.Bike, s.Carried, s.Where = 25, 60, Rear
	_, err := StartFor(s)
	var e *RangeError
	require.ErrorAs(t, err, &e)
	assert.Equal(t, "wheel load", e.Quantity)
}

func TestDefaultBikes(t *testing.T) {
	for _, c := range []struct {
		riding Riding
		label  float64
		use    Use
		want   quantity.Mass
	}{
		{Road, 28, Ordinary, 10}, {XC, 57, Ordinary, 12}, {Gravel, 40, Ordinary, 12}, {Trail, 61, Ordinary, 17}, {Enduro, 61, Ordinary, 19},
		{Downhill, 61, Ordinary, 20}, {Park, 61, Ordinary, 20}, {Commute, 40, Ordinary, 12}, {Commute, 28, Ordinary, 10}, {Snow, 61, Ordinary, 17},
		{Enduro, 71, Ordinary, 17}, {Snow, 117, Ordinary, 17}, {Trail, 50, Child, 10}, {Trail, 61, Assisted, 27}, {0, 61, Ordinary, 17},
	} {
		assert.Equal(t, c.want, DefaultBike(c.riding, quantity.Length(c.label)*mm, c.use), "%+v", c)
	}
}

func TestBareUnit(t *testing.T) {
	trail, road := quantity.Gauge(24*quantity.PSI), quantity.Gauge(75*quantity.PSI)
	fat := quantity.Gauge(8 * quantity.PSI)
	for _, c := range []struct {
		number float64
		start  quantity.Gauge
		want   Unit
	}{
		{26, trail, UnitPSI}, {1.6, trail, UnitBar}, {2.9, trail, UnitBar}, {30, trail, UnitPSI}, {43, trail, UnitPSI}, {44, trail, UnitUnclear}, {12.1, trail, UnitPSI}, {11.9, trail, UnitUnclear}, {5, trail, UnitUnclear}, {160, trail, UnitUnclear},
		{80, road, UnitPSI}, {5.5, road, UnitBar}, {7, road, UnitBar}, {26, road, UnitUnclear},
		{8, fat, UnitPSI}, {0.6, fat, UnitBar}, {2, fat, UnitUnclear},
		{1.6, 0, UnitBar}, {22, 0, UnitPSI}, {3, 0, UnitUnclear}, {60, 0, UnitUnclear}, {10, 0, UnitUnclear}, {15, 0, UnitPSI}, {45, 0, UnitPSI}, {1.2, 0, UnitBar}, {2.6, 0, UnitBar},
		{math.NaN(), 0, UnitUnclear}, {22, quantity.Gauge(math.NaN()), UnitUnclear}, {-22, trail, UnitUnclear}, {math.Inf(1), trail, UnitUnclear},
	} {
		assert.Equal(t, c.want, BareUnit(c.number, c.start), "%v at a start of %v", c.number, c.start)
	}
}

func TestFrontShare(t *testing.T) {
	for _, bad := range [][2]quantity.Length{{-1, 1.2}, {1.3, 1.2}, {0.4, 0.4}, {quantity.Length(math.NaN()), 1.2}, {0.4, quantity.Length(math.NaN())}} {
		_, err := FrontShare(bad[0], bad[1])
		assert.Error(t, err)
	}
}

func FuzzStart(f *testing.F) {
	f.Add(80.0, 17.0, 5.0, 61.0, 622.0, 30.0, 58.0, 584.0, 28.0, uint8(Trail), uint8(0), 3.0, 1.2, 3.0, uint8(0))
	f.Add(75.0, 10.0, 0.0, 28.0, 622.0, 19.0, 28.0, 622.0, 19.0, uint8(Road), uint8(3), 8.0, 5.0, 6.0, uint8(7))
	f.Add(math.NaN(), math.Inf(1), -1.0, 0.0, 1e300, 1e-300, 132.0, 787.0, 10.0, uint8(Snow), uint8(5), 0.0, 0.0, 0.0, uint8(255))
	f.Fuzz(func(t *testing.T, rider, bike, carried, labelF, seatF, rimF, labelR, seatR, rimR float64, kind, use uint8, tyreMax, tyreMin, rimMax float64, flags uint8) {
		front, errF := Mount(quantity.Length(labelF)*mm, quantity.Length(seatF)*mm, quantity.Length(rimF)*mm)
		rear, errR := Mount(quantity.Length(labelR)*mm, quantity.Length(seatR)*mm, quantity.Length(rimR)*mm)
		for i, m := range []Mounted{front, rear} {
			if []error{errF, errR}[i] == nil && !(m.Width >= m.Rim && m.Height >= m.Width/2 && m.Height <= m.Width && m.Volume > 0 && quantity.Finite(float64(m.Volume), float64(m.Width), float64(m.Height), m.PerRim(), m.Ratio())) {
				t.Fatalf("Mount gives %+v", m)
			}
		}
		limits := Limits{TyreMax: quantity.Gauge(tyreMax * 1e5), TyreMin: quantity.Gauge(tyreMin * 1e5), RimMax: quantity.Gauge(rimMax * 1e5), Hookless: flags&1 != 0}
		got, err := StartFor(Setup{
			Rider: quantity.Mass(rider), Bike: quantity.Mass(bike), Carried: quantity.Mass(carried), Where: End(flags >> 1 & 3),
			Front: Wheel{front, flags&8 != 0, limits}, Rear: Wheel{rear, flags&16 != 0, limits},
			Riding: Riding(kind), Use: Use(use), SoftSnow: flags&32 != 0,
		})
		if err != nil {
			if got != (Start{}) {
				t.Fatalf("an error and a number: %v, %+v", err, got)
			}
			return
		}
		if errF != nil || errR != nil {
			t.Fatalf("a start without a tyre: %+v", got)
		}
		for _, w := range []WheelStart{got.Front, got.Rear} {
			if !quantity.Finite(w.Pressure, w.Low, w.High, w.Model, w.Tubes, w.Max.Pressure) || !quantity.Finite(w.Band, w.Drop) || !quantity.Finite(w.Load) {
				t.Fatalf("not a number: %+v", w)
			}
			if w.Pressure <= 0 || w.Pressure > w.Max.Pressure || w.High > w.Max.Pressure || w.Low > w.Pressure || w.High < w.Pressure || w.Low < 0 {
				t.Fatalf("out of order: %+v", w)
			}
		}
		if _, err := Judge(Pairing{Label: front.Label, Rim: front.Rim, TyreSeat: front.Seat, RimSeat: rear.Seat, Riding: Riding(kind)}); err != nil {
			t.Fatalf("mounted but not judged: %v", err)
		}
	})
}

func FuzzJudge(f *testing.F) {
	f.Add(61.0, 622.0, 30.0, 622.0, uint8(0), uint8(4))
	f.Add(28.0, 0.0, 25.0, 0.0, uint8(2), uint8(1))
	f.Fuzz(func(t *testing.T, label, tyreSeat, rim, rimSeat float64, bead, kind uint8) {
		j, err := Judge(Pairing{Label: quantity.Length(label) * mm, TyreSeat: quantity.Length(tyreSeat) * mm, Rim: quantity.Length(rim) * mm, RimSeat: quantity.Length(rimSeat) * mm, Riding: Riding(kind)})
		if err != nil {
			return
		}
		if j.Verdict < Good || j.Verdict > No || !quantity.Finite(j.Section.Ratio()) || (j.Verdict == No) != (len(j.Why) > 0) {
			t.Fatalf("%+v", j)
		}
	})
}

// TestTubesInFatTyres: 5 psi would nearly double the start of a fat tyre. Common
// practice, no source.
func TestTubesInFatTyres(t *testing.T) {
	for _, c := range []struct {
		label string
		rim   float64
		more  float64 // psi
	}{{"117-559", 80, 1.5}, {"61-622", 30, 5}} {
		s := trail(t)
		s.Front.Tyre = mark(t, c.label, c.rim)
		without, err := StartFor(s)
		require.NoError(t, err)
		s.Front.Tubes = true
		with, err := StartFor(s)
		require.NoError(t, err)
		assert.InDelta(t, c.more, (with.Front.Pressure - without.Front.Pressure).In(quantity.PSI), 1e-9, c.label)
	}
}
