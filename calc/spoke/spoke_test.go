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

func TestRatioRefusesWhatCantStand(t *testing.T) {
	for _, c := range []struct {
		why  string
		w    build.Wheel
		side build.Side
	}{
		{"rim holes beyond the flange", with(mtb(32, 3, 3, 36, 6, 600), func(w *build.Wheel) { w.Rim.ShiftLeft = -8 * mm }), build.Right},
		{"flange in the plane", mtb(32, 3, 3, 0, 21, 600), build.Left},
	} {
		spokes, err := lace.Place(c.w)
		require.NoError(t, err)
		_, err = spoke.Ratio(spokes)
		var b *spoke.BalanceError
		require.ErrorAs(t, err, &b, c.why)
		assert.Equal(t, c.side, b.Side, c.why)
	}
	_, err := spoke.Ratio(nil)
	require.Error(t, err, "no spokes, no ratio")
}

func TestTensions(t *testing.T) {
	left, right := spoke.Tensions(1000, 0.59)
	assert.InDelta(t, 590, float64(left), 1e-9)
	assert.InDelta(t, 1000, float64(right), 1e-9)
	left, right = spoke.Tensions(1000, 1.25)
	assert.InDelta(t, 1000, float64(left), 1e-9)
	assert.InDelta(t, 800, float64(right), 1e-9)
	assert.Equal(t, build.Right, spoke.Tighter(0.59))
	assert.Equal(t, build.Left, spoke.Tighter(1.19))
}

// (16·17/L_R) / (8·36/L_L) in closed form, with the 2:1 wheel's own lengths
// 276.3645 and 274.3720 mm from an independent ring-on-spokes program.
func TestRatioAgreesWithClosedForm(t *testing.T) {
	w := with(mtb(32, 0, 2, 36, 17, 584), func(w *build.Wheel) {
		w.Rim.Holes, w.Pattern = 24, build.TwoToOne
		w.Left.Flange.Circle, w.Right.Flange.Circle = 40*mm, 44*mm
	})
	assert.InDelta(t, (16*17/276.3645)/(8*36/274.3720), ratio(t, w), 1e-6)
}

// Bracing of 148 mm and 142 mm hubs: about 4.5° and 4.1° on the tighter side,
// computed for this project.
func TestBracing(t *testing.T) {
	for offset, want := range map[float64]float64{21: 4.1, 23: 4.5} {
		l, err := spoke.LengthsOf(mtb(32, 3, 3, 37, offset, 600))
		require.NoError(t, err)
		assert.InDelta(t, want, l.Right[0].Bracing.In(quantity.Degree), 0.05)
	}
}

// A hub of 36 holes on a rim of 32. Both flanges half a hub pitch apart, the
// proposal has eight lengths a side; the file of the project's first sums had
// 283.0 to 291.0 mm (ERD 600, circle 58, offset 30, hole 2.6), which is another
// lacing: hub holes nearest to three hub pitches from the rim hole. It exists
// if pulling and pushing do not alternate, and can be listed.
func TestHubWithHolesLeftOver(t *testing.T) {
	w := mtb(36, 3, 3, 30, 30, 600)
	w.Rim.Holes = 32
	_, err := lace.Place(w)
	var r *lace.Refusal
	require.ErrorAs(t, err, &r)
	require.Equal(t, lace.SpareHoles, r.Reason)

	proposed, err := lace.Propose(w)
	require.NoError(t, err)
	l, err := spoke.LengthsOf(proposed)
	require.NoError(t, err)
	for _, s := range build.Sides {
		groups := l.Of(s)
		require.Len(t, groups, 8)
		total := 0
		for _, g := range groups {
			total += g.Count()
		}
		assert.Equal(t, 16, total)
		spread := groups[7].Length - groups[0].Length
		assert.Less(t, spread.MM(), 8.0, "no worse than 283.0 to 291.0")
	}

	other := w
	other.Left.Flange.Holes = 16                      // regular, so that the right side decides
	other.Right.Flange.Turn = -1.25 * quantity.Degree // where it would settle by itself
	base, err := lace.Propose(with(mtb(32, 3, 3, 30, 30, 600), func(*build.Wheel) {}))
	require.NoError(t, err)
	pulling := map[int]bool{0: true, 1: true, 2: true, 5: true, 6: true, 7: true, 11: true, 12: true}
	for _, j := range base.Joins {
		if j.Side == build.Right {
			k := j.Rim / 2
			nearest := int(math.Round((22.5*float64(k) + 1.25) / 20))
			if pulling[k] {
				j.Hub = nearest + 3
			} else {
				j.Hub = nearest - 3 + 18
			}
			j.Hub %= 18
		}
		other.Joins = append(other.Joins, j)
	}
	l, err = spoke.LengthsOf(other)
	require.NoError(t, err)
	require.Len(t, l.Right, 8)
	assert.InDelta(t, 283.0, l.Right[0].Length.MM(), 0.05)
	assert.InDelta(t, 291.0, l.Right[7].Length.MM(), 0.05)
	require.Len(t, l.Left, 1)
}

// Every analytic derivative against the difference quotient of whole wheels.
func TestSensitivity(t *testing.T) {
	straight := with(mtb(28, 0, 0, 24, 34, 600), func(w *build.Wheel) {
		for _, s := range build.Sides {
			f := &w.Half(s).Flange
			*f = build.Flange{Seat: build.StraightPull, Offset: f.Offset, Holes: f.Holes, Tangent: 21 * mm, Ahead: -4 * mm}
		}
	})
	wheels := map[string]build.Wheel{
		"rear":      rear(),
		"radial":    mtb(24, 0, 2, 36, 21, 560),
		"2:1":       with(mtb(32, 0, 3, 36, 21, 600), func(w *build.Wheel) { w.Rim.Holes, w.Pattern = 24, build.TwoToOne }),
		"shifted":   with(rear(), func(w *build.Wheel) { w.Rim.ShiftLeft, w.Rim.Stagger, w.Washer = 3*mm, -2*mm, 0.5*mm }),
		"straight":  straight,
		"crossover": with(mtb(32, 3, 3, 5, 5, 528), func(w *build.Wheel) { w.Rim.Stagger = -6 * mm }),
	}
	for name, w := range wheels {
		spokes, err := lace.Place(w)
		require.NoError(t, err)
		for _, side := range build.Sides {
			got := spoke.SensitivityOf(&w, spokes, side)
			const h = 0.01 * mm
			mean := func(change func(*build.Wheel, quantity.Length)) float64 {
				at := func(d quantity.Length) float64 {
					moved := w
					change(&moved, d)
					l, err := spoke.LengthsOf(moved)
					require.NoError(t, err)
					sum, n := 0.0, 0
					for _, g := range l.Of(side) {
						sum += float64(g.Length) * float64(g.Count())
						n += g.Count()
					}
					return sum / float64(n)
				}
				return (at(h) - at(-h)) / float64(2*h)
			}
			f := func(w *build.Wheel) *build.Flange { return &w.Half(side).Flange }
			check := func(what string, got float64, change func(*build.Wheel, quantity.Length)) {
				if want := mean(change); math.Abs(got-want) > 1e-6 {
					t.Errorf("%s, %v: dL/d(%s) = %v, want %v", name, side, what, got, want)
				}
			}
			check("ERD", got.ERD, func(w *build.Wheel, d quantity.Length) { w.Rim.ERD += d })
			check("offset", got.Offset, func(w *build.Wheel, d quantity.Length) { f(w).Offset += d })
			if w.Washer > 0 {
				check("washer", got.Washer, func(w *build.Wheel, d quantity.Length) { w.Washer += d })
			}
			if f(&w).Seat == build.StraightPull {
				check("tangent", got.Tangent, func(w *build.Wheel, d quantity.Length) { f(w).Tangent += d })
				check("ahead", got.Ahead, func(w *build.Wheel, d quantity.Length) { f(w).Ahead += d })
				assert.Zero(t, got.Circle)
				continue
			}
			check("circle", got.Circle, func(w *build.Wheel, d quantity.Length) { f(w).Circle += d })
			check("flange hole", got.FlangeHole, func(w *build.Wheel, d quantity.Length) { f(w).HoleDiameter += d })
		}
	}
	// Of the angle: both flanges turned apart by 2ε bring pulling spokes ε more.
	w := rear()
	spokes, err := lace.Place(w)
	require.NoError(t, err)
	got := spoke.SensitivityOf(&w, spokes, build.Right).Angle
	const eps = 1e-5
	w.Right.Flange.Turn = 2 * eps
	l, err := spoke.LengthsOf(w)
	require.NoError(t, err)
	moved, err := lace.Place(w)
	require.NoError(t, err)
	require.Len(t, l.Right, 1, "far below what is one length")
	assert.InDelta(t, float64(got), float64(moved[0].Length-spokes[0].Length)/eps, 1e-6)
	assert.Equal(t, spoke.Sensitivity{}, spoke.SensitivityOf(&w, nil, build.Left))
}

// 1 mm of offset costs 0.12 mm left and 0.07 mm right, 4 mm of ERD 2.0 mm of
// spoke, a washer of 0.5 mm 0.5 mm: computed for this project.
func TestSensitivityInWorkshopTerms(t *testing.T) {
	w := rear()
	spokes, err := lace.Place(w)
	require.NoError(t, err)
	left, right := spoke.SensitivityOf(&w, spokes, build.Left), spoke.SensitivityOf(&w, spokes, build.Right)
	assert.InDelta(t, 0.12, left.Offset, 0.005)
	assert.InDelta(t, 0.07, right.Offset, 0.005)
	assert.InDelta(t, 2.0, 4*left.ERD, 0.05)
	assert.InDelta(t, 0.5, right.Washer*0.5, 0.005)
	before := one(t, w, build.Right)
	w.Washer = 0.5 * mm
	assert.InDelta(t, before+0.5, one(t, w, build.Right), 0.005)
}

func TestWithCross(t *testing.T) {
	l, err := spoke.WithCross(rear(), build.Left, 2)
	require.NoError(t, err)
	assert.Less(t, l.Left[0].Length.MM(), 285.0)
	assert.InDelta(t, 289.6, l.Right[0].Length.MM(), 0.05)
	_, err = spoke.WithCross(rear(), build.Left, 4)
	require.Error(t, err)
}

// 0.46 mm and 0.66 mm: computed for this project, E 200 GPa, ends 36 + 30 mm.
// The others take one section over the whole length, as trade texts do.
func TestStretch(t *testing.T) {
	kgf := quantity.KilogramForce
	for _, c := range []struct {
		why       string
		gauge     build.Gauge
		length    float64
		force     quantity.Force
		want, tol float64
	}{
		{"292 mm of 2.0 at 1000 N", build.Plain(2 * mm), 292, 1000, 0.46, 0.005},
		{"292 mm of 2.0/1.8 at 1200 N", build.DoubleButted(2*mm, 1.8*mm), 292, 1200, 0.66, 0.005},
		{"290 mm of 1.8 at 120 kgf, by hand 1176.8·290/(200000·2.5447)", build.Plain(1.8 * mm), 290, 120 * kgf, 0.6706, 0.0005},
		{"290 mm of 2.0", build.Plain(2 * mm), 290, 120 * kgf, 0.55, 0.01},
		{"single butt, by hand (45/4.1548 + 235/3.1416)·1000/200000", build.SingleButted(2.3*mm, 2*mm), 280, 1000, 0.4282, 0.0005},
		{"blade, by hand (66/3.1416 + 214/1.6258)·1000/200000", build.Bladed(2*mm, 2.3*mm, 0.9*mm), 280, 1000, 0.7632, 0.0005},
	} {
		got, err := spoke.Stretch(c.gauge, quantity.Length(c.length)*mm, c.force)
		require.NoError(t, err, c.why)
		assert.InDelta(t, c.want, got.MM(), c.tol, c.why)
	}
	nan := quantity.Force(math.NaN())
	for _, err := range []error{
		second(spoke.Stretch(build.Gauge{}, 290*mm, 1000)),
		second(spoke.Stretch(build.Plain(14*mm), 290*mm, 1000)),
		second(spoke.Stretch(build.Plain(2*mm), 290, 1000)),
		second(spoke.Stretch(build.Plain(2*mm), 290*mm, nan)),
		second(spoke.Stretch(build.Plain(2*mm), 290*mm, -1)),
	} {
		require.Error(t, err)
	}
}

func second(_ quantity.Length, err error) error { return err }

// Exact 291.3 and 289.8 mm, even lengths in stock, the left slack and the
// right tight: 292 and 290, since 290 on the left would be 1.3 mm short where
// there is least tension (common practice).
func TestRounding(t *testing.T) {
	evens := spoke.Stock{Step: 2 * mm}
	for _, c := range []struct {
		why                    string
		stock                  spoke.Stock
		exact, stretch         float64
		want                   float64
		end                    spoke.End
		short                  float64
		endOfNext, nextStocked float64
	}{
		{why: "slack side", stock: evens, exact: 291.3, want: 292, end: spoke.InSlot, short: -0.7},
		{why: "tight side", stock: evens, exact: 289.8, stretch: 0.68, want: 290, end: spoke.InSlot, short: -0.2},
		{why: "every millimetre", stock: spoke.Stock{Step: mm}, exact: 291.3, want: 291, end: spoke.Filled, short: 0.3},
		{why: "just right", stock: evens, exact: 290, want: 290, end: spoke.Filled, short: 0},
		{why: "the tighter side forgives", stock: spoke.Stock{Lengths: []quantity.Length{288 * mm, 291 * mm}}, exact: 289.5, stretch: 0.68, want: 288, end: spoke.Forgive, short: 1.5},
		{why: "a list, in any order", stock: spoke.Stock{Lengths: []quantity.Length{292 * mm, 290 * mm, 288 * mm}}, exact: 290.4, want: 290, end: spoke.Filled, short: 0.4},
	} {
		fits, err := c.stock.Fits(quantity.Length(c.exact)*mm, quantity.Length(c.stretch)*mm)
		require.NoError(t, err, c.why)
		best, ok := spoke.Best(fits)
		require.True(t, ok, c.why)
		assert.InDelta(t, c.want, best.Stocked.MM(), 1e-9, c.why)
		assert.Equal(t, c.end, best.End, c.why)
		assert.InDelta(t, c.short, best.Short.MM(), 1e-9, c.why)
		assert.InDelta(t, c.short-c.stretch, best.Tensioned.MM(), 1e-9, c.why)
		for i := 1; i < len(fits); i++ {
			assert.Greater(t, float64(fits[i].Stocked), float64(fits[i-1].Stocked), "%s: rising", c.why)
		}
	}
	for _, c := range []struct {
		stocked, stretch float64
		want             spoke.End
	}{
		{290, 0, spoke.Short}, {290, 0.68, spoke.Forgive}, {289.2, 0.68, spoke.Short},
		{293, 0, spoke.Proud}, {294, 0.68, spoke.Proud}, {292, 0, spoke.InSlot}, {291, 0, spoke.Filled},
	} {
		got := spoke.FitOf(291.3*mm, quantity.Length(c.stocked)*mm, quantity.Length(c.stretch)*mm)
		assert.Equal(t, c.want, got.End, "%v mm for 291.3 mm", c.stocked)
		assert.Equal(t, c.want != spoke.Short && c.want != spoke.Proud, got.End.OK())
	}
	_, ok := spoke.Best([]spoke.Fit{spoke.FitOf(291.3*mm, 294*mm, 0)})
	assert.False(t, ok, "3 mm too long is no choice")
	assert.InDelta(t, 6.6, spoke.Turns(3*mm), 0.05, "3 mm are 6.6 turns of 56 threads an inch")

	far, err := spoke.Stock{Lengths: []quantity.Length{260 * mm, 270 * mm}}.Fits(291.3*mm, 0)
	require.NoError(t, err)
	require.Len(t, far, 1, "at least the nearest")
	assert.Equal(t, spoke.Short, far[0].End)
}

func TestStockRefusesAbsurdities(t *testing.T) {
	nan := quantity.Length(math.NaN())
	for _, c := range []struct {
		stock          spoke.Stock
		exact, stretch quantity.Length
	}{
		{spoke.Stock{Step: 2 * mm}, nan, 0},
		{spoke.Stock{Step: 2 * mm}, 291, 0},
		{spoke.Stock{Step: 2 * mm}, 291 * mm, nan},
		{spoke.Stock{Step: nan}, 291 * mm, 0},
		{spoke.Stock{Step: -mm}, 291 * mm, 0},
		{spoke.Stock{}, 291 * mm, 0},
		{spoke.Stock{Lengths: []quantity.Length{nan}}, 291 * mm, 0},
	} {
		_, err := c.stock.Fits(c.exact, c.stretch)
		require.Error(t, err)
	}
}

func TestOrder(t *testing.T) {
	l, err := spoke.LengthsOf(rear())
	require.NoError(t, err)
	lines := spoke.Order(l, func(s build.Side, _ spoke.Group) quantity.Length {
		if s == build.Left {
			return 292 * mm
		}
		return 290 * mm
	})
	assert.Equal(t, []spoke.Line{{Length: 290 * mm, Right: 16, Count: 16, Spares: 2}, {Length: 292 * mm, Left: 16, Count: 16, Spares: 2}}, lines)
	lines = spoke.Order(l, func(build.Side, spoke.Group) quantity.Length { return 290 * mm })
	assert.Equal(t, []spoke.Line{{Length: 290 * mm, Left: 16, Right: 16, Count: 32, Spares: 4}}, lines)
}

func TestERDKinds(t *testing.T) {
	for kind, want := range map[spoke.ERDKind][2]float64{
		spoke.SlotFloor: {0, 0}, spoke.NippleTop: {-3, -1}, spoke.BareHole: {1, 3}, 0: {-3, 3},
	} {
		low, high := spoke.ToSlotFloor(kind)
		assert.InDelta(t, want[0], low.MM(), 1e-9, kind.String())
		assert.InDelta(t, want[1], high.MM(), 1e-9, kind.String())
	}
}

// Whatever is stocked and whatever wheel: no NaN, counts add up, and sizes
// that are chosen may be used.
func FuzzLengths(f *testing.F) {
	f.Add(600.0, 58.0, 36.0, 21.0, 2.6, 2.0, 0.68, 3, 32, false)
	f.Add(571.0, 27.7, 34.0, 34.0, 2.5, 1.0, 0.0, 0, 24, true)
	f.Add(math.NaN(), 1e300, -1.0, 0.0, 0.0, math.Inf(1), -0.0, 1<<30, -3, false)
	f.Fuzz(func(t *testing.T, erd, circle, left, right, hole, step, stretch float64, cross, holes int, straight bool) {
		l := func(v float64) quantity.Length { return quantity.Length(v) * mm }
		w := build.Wheel{Rim: build.Rim{ERD: l(erd), Holes: holes, ShiftLeft: l(hole) - 2.6*mm}}
		for i, s := range build.Sides {
			w.Half(s).Cross = cross
			w.Half(s).Flange = build.Flange{Offset: l([2]float64{left, right}[i]), Holes: holes / 2, Circle: l(circle), HoleDiameter: l(hole)}
			if straight {
				w.Half(s).Flange.Seat, w.Half(s).Flange.Tangent, w.Half(s).Flange.Ahead = build.StraightPull, l(circle/2), l(step)
			}
		}
		spokes, err := lace.Place(w)
		if err != nil {
			return
		}
		if r, err := spoke.Ratio(spokes); err == nil && (!quantity.Finite(r) || r <= 0) {
			t.Fatalf("ratio %v", r)
		}
		lengths := spoke.Grouped(&w, spokes)
		total := 0
		for _, s := range build.Sides {
			for _, g := range lengths.Of(s) {
				total += g.Count()
				if !quantity.Finite(g.Length) || g.Length <= 0 {
					t.Fatalf("length %v", g.Length)
				}
				fits, err := spoke.Stock{Step: l(step)}.Fits(g.Length, l(stretch))
				if err != nil {
					continue
				}
				for _, x := range fits {
					if !quantity.Finite(x.Short, x.Tensioned, x.Stocked) {
						t.Fatalf("fit %+v", x)
					}
				}
				if best, ok := spoke.Best(fits); ok && !best.End.OK() {
					t.Fatalf("chose %+v", best)
				}
			}
			v := spoke.SensitivityOf(&w, spokes, s)
			if !quantity.Finite(v.ERD, v.Offset, v.Circle, v.Tangent, v.Ahead, v.Washer, float64(v.Angle)) {
				t.Fatalf("sensitivity %+v", v)
			}
		}
		if total != holes {
			t.Fatalf("%d spokes in the groups, %d in the wheel", total, holes)
		}
	})
}
