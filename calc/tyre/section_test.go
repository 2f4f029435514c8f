package tyre

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"spokeword/calc/quantity"
)

func section(t testing.TB, label, rim float64) Section {
	t.Helper()
	s, err := SectionOf(quantity.Length(label)*mm, quantity.Length(rim)*mm)
	require.NoError(t, err)
	return s
}

// Figures of two independent programs for the same model.
func TestWidths(t *testing.T) {
	for _, c := range []struct{ label, rim, width, tol float64 }{
		{61, 25, 59.3, 0.05}, {61, 30, 61.1, 0.05}, {61, 35, 62.9, 0.05},
		{63.5, 25, 61.4, 0.2}, // "about 61.2 to 61.6"
		{40, 30, 43, 0.5},     // "about 43"
	} {
		assert.InDelta(t, c.width, section(t, c.label, c.rim).Width.MM(), c.tol, "%v on %v", c.label, c.rim)
	}
	for _, c := range []struct{ rim, width float64 }{{25, 59.2}, {30, 61.0}, {35, 62.8}} {
		w, err := WidthOf(CasingOn(61*mm, 30*mm), quantity.Length(c.rim)*mm)
		require.NoError(t, err)
		assert.InDelta(t, c.width, w.MM(), 0.05, "S taken on exactly 30, mounted on %v", c.rim)
	}
}

func TestWidthGrowsWithTheRimAsTheFormulaSays(t *testing.T) {
	assert.InDelta(t, 0.36, section(t, 61, 30).PerRim(), 0.005)
	assert.InDelta(t, 0.41, section(t, 28, 19).PerRim(), 0.005)
	assert.InDelta(t, 0.44, float64(section(t, 28, 25).Width-section(t, 28, 19).Width)/6e-3, 0.01, "mean from 19 to 25")
	for label := 18.0; label <= 132; label += 3.7 {
		for _, part := range []float64{0.4, 0.6, 0.75} {
			rim := max(10.01, label*part)
			const step = 1e-4
			slope := float64(section(t, label, rim+step).Width-section(t, label, rim-step).Width) / (2 * step * 1e-3)
			assert.InDelta(t, slope, section(t, label, rim).PerRim(), 1e-6, "%v on %v", label, rim)
		}
	}
}

func TestBeadAngle(t *testing.T) {
	for _, c := range []struct{ rim, deg float64 }{{25, 65}, {30, 61}, {35, 56}} {
		assert.InDelta(t, c.deg, section(t, 61, c.rim).BeadAngle().In(quantity.Degree), 0.5)
	}
}

// The casing lies flat 2.50 times the width at b/W = 0.6, and published "2.5 ×
// label" holds ± 8 % from 40 to 71 mm.
func TestLyingFlat(t *testing.T) {
	assert.InDelta(t, 2.50, float64(CasingOn(50*mm, 30*mm)/(50*mm)), 0.01)
	for label := 40.0; label <= 71; label++ {
		s := section(t, label, MeasuringRim(quantity.Length(label)*mm).MM())
		assert.InEpsilon(t, 2.5*label, s.Casing.MM(), 0.08, "%v", label)
		assert.InDelta(t, label, s.Width.MM(), 1e-9, "the label is true on its measuring rim")
	}
}

func TestSectionHoldsItsOwnEquation(t *testing.T) {
	for label := 18.0; label <= 132; label += 0.7 {
		s := section(t, label, 10)
		for rim := 10.0; rim < min(110, s.Casing.MM()*2/math.Pi*0.999); rim += 2.3 {
			s := section(t, label, rim)
			want := math.Pi - math.Asin(float64(s.Rim/s.Width))
			assert.InEpsilon(t, want, float64(s.Casing/s.Width), 1e-12, "%v on %v", label, rim)
			r, half := float64(s.Width)/2, float64(s.Rim)/2
			assert.InDelta(t, r+math.Sqrt(r*r-half*half), float64(s.Height), 1e-12)
			assert.Greater(t, s.Ratio(), 1.0)
		}
	}
}

func TestWidthNeverFallsAsLabelOrRimGrow(t *testing.T) {
	for _, rim := range []float64{10, 15, 19} {
		last := 0.0
		for tenth := 180; tenth <= 1320; tenth++ {
			s, err := SectionOf(quantity.Length(tenth)/10*mm, quantity.Length(rim)*mm)
			if err != nil {
				continue
			}
			assert.Greater(t, float64(s.Width), last, "label %v on %v", float64(tenth)/10, rim)
			last = float64(s.Width)
		}
	}
	for _, rim := range []float64{30, 60, 80, 94} {
		last := 0.0
		for tenth := int(rim*10) + 100; tenth <= 1320; tenth++ {
			s := section(t, float64(tenth)/10, rim)
			assert.Greater(t, float64(s.Width), last, "label %v on %v", float64(tenth)/10, rim)
			last = float64(s.Width)
		}
	}
	for label := 18.0; label <= 132; label += 6.3 {
		last := 0.0
		for rim := 10.0; ; rim += 0.25 {
			s, err := SectionOf(quantity.Length(label)*mm, quantity.Length(rim)*mm)
			if err != nil {
				break
			}
			assert.Greater(t, float64(s.Width), last, "label %v on %v", label, rim)
			last = float64(s.Width)
		}
	}
}

func TestMeasuringRims(t *testing.T) {
	for _, c := range []struct{ label, rim float64 }{
		{18, 15}, {19.5, 15}, {23, 17}, {26.5, 19}, {31.5, 21}, {40.5, 23}, {52, 25}, {61.5, 30}, {68.5, 35}, {77.5, 45}, {98.5, 76}, {123, 94}, {132, 94},
	} {
		assert.InDelta(t, c.rim, MeasuringRim(quantity.Length(c.label)*mm).MM(), 1e-9, "%v", c.label)
	}
	for _, c := range []struct{ label, rim float64 }{
		{18, 15}, {21, 15}, {22, 17}, {24, 17}, {25, 19}, {28, 19}, {29, 21}, {34, 21}, {35, 23}, {46, 23}, {47, 25}, {57, 25},
		{58, 30}, {65, 30}, {66, 35}, {71, 35}, {72, 45}, {83, 45}, {84, 76}, {113, 76}, {114, 94}, {132, 94}, {57.4, 25}, {57.6, 30},
	} {
		rim, err := TableRim(quantity.Length(c.label) * mm)
		require.NoError(t, err)
		assert.InDelta(t, c.rim, rim.MM(), 1e-9, "%v", c.label)
	}
}

// Volumes of two independent programs; arc, well and torus as documented.
func TestVolumesAndDiameters(t *testing.T) {
	for _, c := range []struct {
		mark        string
		rim, litres float64
	}{{"61-622", 30, 6.30}, {"71-584", 35, 7.84}, {"25-622", 17, 1.00}, {"28-622", 19, 1.27}} {
		assert.InDelta(t, c.litres, mark(t, c.mark, c.rim).Volume.In(quantity.Litre), 0.005, c.mark)
	}
	m := mark(t, "61-622", 30)
	assert.InDelta(t, 744, m.Outside.MM(), 1e-9)
	assert.InDelta(t, 622+2*m.Height.MM(), m.CasingOutside().MM(), 1e-9)
	// The volume again, by slices of the section on a grid.
	var area, moment float64
	const n = 2000
	r, d := float64(m.Width)/2, float64(m.Height-m.Width/2)
	for i := range n {
		y := (float64(i) + 0.5) / n * float64(m.Height)
		w := 2 * math.Sqrt(math.Max(0, r*r-(y-d)*(y-d)))
		area += w * float64(m.Height) / n
		moment += w * y * float64(m.Height) / n
	}
	well := float64(m.Rim) * 4e-3
	want := 2 * math.Pi * (0.311*(area+well) + moment - well*2e-3)
	assert.InEpsilon(t, want, float64(m.Volume), 1e-4)
}

func TestSectionRefuses(t *testing.T) {
	nan, inf := quantity.Length(math.NaN()), quantity.Length(math.Inf(1))
	for _, c := range []struct {
		label, seat, rim quantity.Length
		want             string
	}{
		{900 * mm, 622 * mm, 30 * mm, "label 900 mm: want 18 mm to 132 mm"},
		{17 * mm, 622 * mm, 15 * mm, "label 17 mm: want 18 mm to 132 mm"},
		{61 * mm, 622 * mm, 9 * mm, "rim 9 mm: want 10 mm to 102.23 mm"},
		{28 * mm, 622 * mm, 60 * mm, "rim 60 mm: want 10 mm to 42.18 mm"},
		{61 * mm, 900 * mm, 30 * mm, "bead seat 900 mm: want 137 mm to 787 mm"},
		{nan, 622 * mm, 30 * mm, ""}, {inf, 622 * mm, 30 * mm, ""}, {61 * mm, nan, 30 * mm, ""}, {61 * mm, inf, 30 * mm, ""},
		{61 * mm, 622 * mm, nan, ""}, {61 * mm, 622 * mm, inf, ""}, {61 * mm, 622 * mm, -30 * mm, ""}, {0, 0, 0, ""},
	} {
		m, err := Mount(c.label, c.seat, c.rim)
		var e *RangeError
		if assert.ErrorAs(t, err, &e, "%v", c) && c.want != "" {
			assert.EqualError(t, err, c.want)
		}
		assert.Zero(t, m)
	}
	for _, c := range [][2]quantity.Length{{nan, 30 * mm}, {0, 30 * mm}, {-1, 30 * mm}, {inf, 30 * mm}, {0.1, nan}} {
		_, err := WidthOf(c[0], c[1])
		assert.Error(t, err)
	}
	assert.Zero(t, CasingOn(30*mm, 31*mm))
	assert.Zero(t, CasingOn(nan, 31*mm))
	assert.Zero(t, CasingOn(inf, 31*mm))
	_, err := TableRim(nan)
	assert.Error(t, err)
	_, err = MountSection(Section{Rim: 30 * mm, Width: nan, Height: 1}, 622*mm)
	assert.Error(t, err)
	assert.Zero(t, Section{}.Ratio())
	assert.False(t, math.IsNaN(float64(Section{}.BeadAngle())))
}

func TestMeasuredTyre(t *testing.T) {
	// A 2.4 that measures 58 on 30 mm: its casing, put on 35, comes out wider by
	// what the formula says.
	s, err := SectionMeasured(58*mm, 30*mm)
	require.NoError(t, err)
	assert.InDelta(t, 58, s.Width.MM(), 1e-9)
	w, err := WidthOf(s.Casing, 35*mm)
	require.NoError(t, err)
	assert.InDelta(t, 58+5*0.37, w.MM(), 0.1)
	for _, bad := range [][2]quantity.Length{{0, 30 * mm}, {58 * mm, 58.1 * mm}, {58 * mm, 0}, {quantity.Length(math.NaN()), 30 * mm}, {58 * mm, quantity.Length(math.NaN())}, {58 * mm, 58 * mm}} {
		_, err := SectionMeasured(bad[0], bad[1])
		assert.Error(t, err, "%v", bad)
	}
}

// TestInnerSurface against the sum of many rings round the axle, each as wide as
// a piece of the arc: an integral of its own.
func TestInnerSurface(t *testing.T) {
	for _, c := range []struct {
		mark string
		rim  float64 // mm
	}{{"29x2.4", 30}, {"27.5x2.6", 35}, {"700x40", 21}, {"26x4.6", 80}} {
		m := mark(t, c.mark, c.rim)
		r, b := float64(m.Width)/2, float64(m.Rim)
		centre := float64(m.Seat)/2 + math.Sqrt(r*r-b*b/4)
		half := math.Pi - math.Asin(b/2/r)
		const n = 100000
		sum := 0.0
		for i := range n {
			a := -half + 2*half*(float64(i)+0.5)/n
			sum += 2 * math.Pi * (centre + r*math.Cos(a)) * r * 2 * half / n
		}
		assert.InEpsilon(t, sum, float64(m.InnerSurface()), 1e-6, c.mark)
	}
}
