package spoke_test

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"spokeword/calc/build"
	"spokeword/calc/lace"
	"spokeword/calc/quantity"
	"spokeword/calc/spoke"
)

// mtb is a wheel with both circles 58 mm and holes 2.6 mm.
func mtb(holes, crossLeft, crossRight int, left, right, erd float64) build.Wheel {
	half := func(offset float64, cross int) build.Half {
		return build.Half{Cross: cross, Flange: build.Flange{
			Offset: quantity.Length(offset) * mm, Holes: holes / 2,
			Circle: 58 * mm, HoleDiameter: 2.6 * mm,
		}}
	}
	return build.Wheel{
		Left: half(left, crossLeft), Right: half(right, crossRight),
		Rim: build.Rim{ERD: quantity.Length(erd) * mm, Holes: holes},
	}
}

func with(w build.Wheel, change func(*build.Wheel)) build.Wheel {
	change(&w)
	return w
}

// rear is the common rear disc wheel of the tests.
func rear() build.Wheel { return mtb(32, 3, 3, 36, 21, 600) }

func one(t *testing.T, w build.Wheel, s build.Side) float64 {
	t.Helper()
	l, err := spoke.LengthsOf(w)
	require.NoError(t, err)
	require.Len(t, l.Of(s), 1, "one length on the %v side", s)
	return l.Of(s)[0].Length.MM()
}

// Unless said otherwise the lengths were computed for this project by two
// programs of their own and are printed to 0.1 mm.
func TestLengths(t *testing.T) {
	straight := func(w *build.Wheel) {
		for _, s := range build.Sides {
			f := &w.Half(s).Flange
			*f = build.Flange{Seat: build.StraightPull, Offset: f.Offset, Holes: f.Holes, Tangent: 21 * mm, Ahead: -4 * mm}
		}
	}
	motor := func(x int) build.Wheel {
		return with(mtb(36, x, x, 24, 24, 540), func(w *build.Wheel) {
			for _, s := range build.Sides {
				f := &w.Half(s).Flange
				f.Circle, f.HoleDiameter = 244*mm, 3.2*mm
			}
			w.Motor = true
		})
	}
	double := func(wide bool) build.Wheel {
		return with(mtb(32, 0, 3, 36, 21, 600), func(w *build.Wheel) {
			w.Rim.Holes, w.Pattern, w.Right.Wide = 24, build.TwoToOne, wide
		})
	}
	for _, c := range []struct {
		why         string
		wheel       build.Wheel
		left, right float64
		tolerance   float64
	}{
		{"a text note on spoke length prints 265.8: circle 58, offset 39, hole 2.6, 36 spokes crossed 3", mtb(36, 3, 3, 39, 39, 555), 265.8, 265.8, 0.05},
		{"rear disc", rear(), 291.1, 289.6, 0.05},
		{"front disc: the disc side is the tight one", mtb(32, 3, 3, 24, 34, 600), 289.8, 290.8, 0.05},
		{"rim holes away from the disc", with(mtb(32, 3, 3, 24, 34, 600), func(w *build.Wheel) { w.Rim.ShiftLeft = -2.5 * mm }), 290.0, 290.5, 0.05},
		{"28 holes, 2 crossings", mtb(28, 2, 2, 36, 21, 600), 283.8, 282.3, 0.05},
		{"28 holes, 3 crossings", mtb(28, 3, 3, 36, 21, 600), 295.8, 294.4, 0.05},
		{"2:1, 3 + 1/6", double(true), 272.1, 291.4, 0.05},
		{"2:1, 3 - 1/6", double(false), 272.1, 287.8, 0.05},
		{"another hub, circles 45", with(rear(), func(w *build.Wheel) { w.Left.Flange.Circle, w.Right.Flange.Circle = 45*mm, 45*mm }), 293.0, 291.6, 0.05},
		{"straight pull, seat behind", with(mtb(32, 0, 0, 24, 34, 600), straight), 304.2, 305.2, 0.05},
		{"hub motor, 1 crossing, printed to 1 mm", motor(1), 161, 161, 0.5},
	} {
		for _, s := range build.Sides {
			want := c.left
			if s == build.Right {
				want = c.right
			}
			if got := one(t, c.wheel, s); math.Abs(got-want) > c.tolerance {
				t.Errorf("%s: %v length = %v mm, want %v mm", c.why, s, got, want)
			}
		}
	}
	for x, want := range map[int]float64{1: 15, 2: 24, 3: 27} {
		spokes, err := lace.Place(motor(x))
		require.NoError(t, err)
		assert.InDelta(t, want, spokes[0].Entry.In(quantity.Degree), 0.5, "hub motor, %d crossings: off square at the nipple", x)
	}
}

func ratio(t *testing.T, w build.Wheel) float64 {
	t.Helper()
	spokes, err := lace.Place(w)
	require.NoError(t, err)
	r, err := spoke.Ratio(spokes)
	require.NoError(t, err)
	return r
}

// Computed for this project by two programs of their own; printed digits
// decide the tolerance. "About two thirds" for offset 36/21-like hubs is what
// trade articles say.
func TestTensionRatio(t *testing.T) {
	shift := func(w build.Wheel, left float64) build.Wheel {
		w.Rim.ShiftLeft = quantity.Length(left) * mm
		return w
	}
	road := with(mtb(32, 3, 3, 37.5, 17.5, 602), func(w *build.Wheel) { w.Left.Flange.Circle, w.Right.Flange.Circle = 44*mm, 45*mm })
	// 16 spokes on 17 mm against 8 on 36 mm; circles 44 and 40, ERD 584.
	double := with(mtb(32, 0, 2, 36, 17, 584), func(w *build.Wheel) {
		w.Rim.Holes, w.Pattern = 24, build.TwoToOne
		w.Left.Flange.Circle, w.Right.Flange.Circle = 40*mm, 44*mm
	})
	trail := with(mtb(32, 3, 3, 36.3, 22.5, 597), func(*build.Wheel) {})
	front := mtb(32, 3, 3, 24, 34, 600)
	for _, c := range []struct {
		why             string
		wheel           build.Wheel
		want, tolerance float64
	}{
		{"road rear 37.5/17.5", road, 0.470, 0.0005},
		{"36.3/22.5", trail, 0.623, 0.0005},
		{"36.3/22.5, rim holes 2.5 mm towards the left", shift(trail, 2.5), 0.742, 0.0015},
		{"36.3/22.5, the wrong way", shift(trail, -2.5), 0.52, 0.005},
		{"2:1, 16 on 17 mm, 8 on 36 mm", double, 0.938, 0.0005},
		{"2:1 of the common rear wheel, 3 - 1/6", with(mtb(32, 0, 3, 36, 21, 600), func(w *build.Wheel) {
			w.Rim.Holes, w.Pattern = 24, build.TwoToOne
		}), 1.10, 0.005},
		// (16·21/292.7) / (8·36/273.4) by hand: the wider angle has longer
		// spokes on the right and so a little less of it.
		{"2:1 of the common rear wheel, 3 + 1/6", with(mtb(32, 0, 3, 36, 21, 600), func(w *build.Wheel) {
			w.Rim.Holes, w.Pattern, w.Right.Wide = 24, build.TwoToOne, true
		}), 1.0897, 0.0005},
		{"36/21, 3 crossings", rear(), 0.59, 0.005},
		{"36/21, 2 left", mtb(32, 2, 3, 36, 21, 600), 0.57, 0.005},
		{"36/21, radial left", mtb(32, 0, 3, 36, 21, 600), 0.55, 0.005},
		{"36/21, rim holes 3 mm towards the left", shift(rear(), 3), 0.73, 0.005},
		{"36/21, 3 mm the wrong way", shift(rear(), -3), 0.46, 0.005},
		{"front, holes away from the disc", shift(front, -2.5), 1.19, 0.005},
		{"front, holes towards the disc", shift(front, 2.5), 1.69, 0.005},
		{"wider hub 38/23: balance 59 to 61 %", mtb(32, 3, 3, 38, 23, 600), 0.61, 0.005},
	} {
		if got := ratio(t, c.wheel); math.Abs(got-c.want) > c.tolerance {
			t.Errorf("%s: ratio = %v, want %v", c.why, got, c.want)
		}
	}
	// A wrong way round that no length shows.
	for _, s := range build.Sides {
		assert.Less(t, math.Abs(one(t, shift(rear(), 3), s)-one(t, shift(rear(), -3), s)), 1.0, "mm")
	}
}
