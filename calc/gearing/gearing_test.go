package gearing

import (
	"encoding/csv"
	"math"
	"os"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"spokeword/calc/quantity"
	"spokeword/calc/tyre"
)

func number(t testing.TB, s string) float64 {
	t.Helper()
	v, err := quantity.Number(s)
	require.NoError(t, err)
	return v
}

func mounted(t testing.TB, label, seat, rim float64) Wheel {
	t.Helper()
	m, err := tyre.Mount(quantity.Length(label)*mm, quantity.Length(seat)*mm, quantity.Length(rim)*mm)
	require.NoError(t, err)
	return Wheel{Tyre: m}
}

// wheel reads "58.42-622/28" or "diam:738.84".
func wheel(t testing.TB, text string) Wheel {
	t.Helper()
	if d, ok := strings.CutPrefix(text, "diam:"); ok {
		return Wheel{Measured: quantity.Length(number(t, d)) * mm}
	}
	mark, rim, _ := strings.Cut(text, "/")
	label, seat, _ := strings.Cut(mark, "-")
	return mounted(t, number(t, label), number(t, seat), number(t, rim))
}

func gear(t testing.TB, text string) Gear {
	t.Helper()
	ring, cog, ok := strings.Cut(text, "/")
	require.True(t, ok)
	return Gear{Teeth(number(t, ring)), Teeth(number(t, cog))}
}

// The rows of testdata/worked/gearing.csv, each with its source and tolerance.
func TestWorkedExamples(t *testing.T) {
	file, err := os.Open("../../testdata/worked/gearing.csv")
	require.NoError(t, err)
	defer file.Close()
	r := csv.NewReader(file)
	r.Comment = '#'
	rows, err := r.ReadAll()
	require.NoError(t, err)
	require.Len(t, rows, 16)
	for _, row := range rows[1:] {
		t.Run(row[0], func(t *testing.T) {
			want := strings.Split(row[4], "|")
			tol := number(t, row[5])
			first, rest, _ := strings.Cut(row[3], ", ")
			a, b, _ := strings.Cut(rest, " > ")
			switch row[2] {
			case "ring":
				out, err := Restore(gear(t, first), wheel(t, a), wheel(t, b))
				require.NoError(t, err)
				assert.InDelta(t, number(t, want[0]), out.Ring, tol)
			case "development":
				d, err := Development(gear(t, first), wheel(t, rest))
				require.NoError(t, err)
				assert.InDelta(t, number(t, want[0]), float64(d), tol)
			case "unloaded":
				c, err := Circle(wheel(t, first), 0)
				require.NoError(t, err)
				assert.InDelta(t, number(t, want[0]), c.Unloaded.MM(), tol)
				assert.Equal(t, c.Unloaded, c.Rolling)
			case "rolling":
				c, err := Circle(wheel(t, first), quantity.Length(number(t, rest))*mm)
				require.NoError(t, err)
				assert.InDelta(t, number(t, want[0]), c.Rolling.MM(), tol)
				assert.InDelta(t, 2*math.Pi*(float64(wheel(t, first).Measured)/2-float64(c.Drop)/3)*1000, c.Rolling.MM(), 1, "close to 2π (R − δ/3)")
			case "roundtrip":
				a, b, _ := strings.Cut(first, " > ")
				assert.InDelta(t, number(t, want[0]), (RadiusOf(quantity.Length(number(t, a))*mm) - RadiusOf(quantity.Length(number(t, b))*mm)).MM(), tol)
			case "turn":
				before, after, _ := strings.Cut(first, " > ")
				pair := func(text string) Wheels {
					f, r, _ := strings.Cut(text, "/")
					return Wheels{wheel(t, f), wheel(t, r)}
				}
				base, stay, _ := strings.Cut(rest, " ")
				out, err := Turn(pair(before), pair(after), Geometry{Wheelbase: quantity.Length(number(t, base)) * mm, Chainstay: quantity.Length(number(t, stay)) * mm})
				require.NoError(t, err)
				assert.InDelta(t, number(t, want[0]), out.Bracket.MM(), tol)
				assert.InDelta(t, number(t, want[1]), out.Angle.In(quantity.Degree), tol)
				assert.Equal(t, Assumed{Drop: true, HeadAngle: true}, out.Assumed)
			default:
				t.Errorf("no check %q", row[2])
			}
		})
	}
}

func TestRestore(t *testing.T) {
	small, large := mounted(t, 53.34, 559, 25), mounted(t, 60.96, 622, 30)
	out, err := Restore(Gear{32, 36}, small, large)
	require.NoError(t, err)
	assert.InDelta(t, 0.118, float64(out.Growth), 0.004)
	require.Len(t, out.Rings, 2)
	assert.ElementsMatch(t, []Teeth{28, 29}, []Teeth{out.Rings[0].Teeth, out.Rings[1].Teeth})
	assert.Less(t, math.Abs(float64(out.Rings[0].Change)), math.Abs(float64(out.Rings[1].Change)), "the nearer first")
	for _, c := range append(out.Rings, out.Cogs...) {
		assert.InEpsilon(t, float64(c.Development/out.Before), 1+float64(c.Change), 1e-12)
	}
	assert.InEpsilon(t, out.Cog/36, 32/out.Ring, 1e-12)
	// There and back.
	back, err := Restore(Gear{32, 36}, large, small)
	require.NoError(t, err)
	assert.InEpsilon(t, 32*32.0, out.Ring*back.Ring, 1e-12)
	// No change of wheel, no change of ring.
	same, err := Restore(Gear{32, 36}, large, large)
	require.NoError(t, err)
	require.Len(t, same.Rings, 1)
	require.Len(t, same.Cogs, 1)
	assert.Equal(t, Teeth(32), same.Rings[0].Teeth)
	assert.Zero(t, float64(same.Growth))
	// The last cog there is: no choice beyond it.
	edge, err := Restore(Gear{32, 7}, Wheel{Measured: 744 * mm}, Wheel{Measured: 700 * mm})
	require.NoError(t, err)
	require.Len(t, edge.Cogs, 1)
	assert.Equal(t, Teeth(7), edge.Cogs[0].Teeth)
}

// The rim's part: on the label's measuring rim the diameter is the nominal one;
// a wider rim takes the tyre a little out, a narrower one in.
func TestDiameter(t *testing.T) {
	label := 61.0
	measuring := tyre.MeasuringRim(quantity.Length(label) * mm).MM()
	assert.InDelta(t, 744, mounted(t, label, 622, measuring).Diameter().MM(), 1e-9)
	last := quantity.Length(0)
	for rim := 20.0; rim <= 40; rim++ {
		d := mounted(t, label, 622, rim).Diameter()
		assert.Greater(t, d, last)
		assert.InDelta(t, 744, d.MM(), 3, "by less than tyres vary")
		last = d
	}
	w := mounted(t, label, 622, 30)
	w.Measured = 741 * mm
	assert.Equal(t, 741*mm, w.Diameter())
}

func TestCircleUnder(t *testing.T) {
	w := mounted(t, 58.42, 622, 28)
	c, err := CircleUnder(w, 45, 1.7*quantity.Bar)
	require.NoError(t, err)
	assert.InDelta(t, 2298, c.Rolling.MM(), 5)
	assert.InDelta(t, 0.01, float64(1-c.Rolling/c.Unloaded), 0.003, "about 1 % less with the rider on, as people measure")
	last := c.Unloaded
	for load := quantity.Mass(25); load < 80; load += 5 {
		c, err := CircleUnder(w, load, 1.7*quantity.Bar)
		require.NoError(t, err)
		assert.Less(t, c.Rolling, last)
		last = c.Rolling
	}
	_, err = CircleUnder(w, 0, 1.7*quantity.Bar)
	assert.Error(t, err)
	measured, err := Circle(Wheel{Measured: 738 * mm}, 0)
	require.NoError(t, err)
	assert.Zero(t, measured.Band)
	assert.InDelta(t, 9.4, c.Band.MM(), 0.05)
}

func TestTurn(t *testing.T) {
	a := Wheels{mounted(t, 61, 622, 30), mounted(t, 61, 622, 30)}
	b := Wheels{mounted(t, 66, 622, 35), mounted(t, 61, 584, 30)}
	g := Geometry{Wheelbase: 1220 * mm, Chainstay: 435 * mm, Drop: 35 * mm, HeadAngle: 65 * quantity.Degree}
	turn := func(from, to Wheels, g Geometry) Turned {
		out, err := Turn(from, to, g)
		require.NoError(t, err)
		return out
	}
	none := turn(a, a, g)
	for _, v := range []float64{float64(none.Angle), float64(none.Bracket), float64(none.Wheelbase), float64(none.Front)} {
		assert.InDelta(t, 0, v, 1e-12)
	}
	there, back := turn(a, b, g), turn(b, a, g)
	assert.InDelta(t, float64(there.Angle), -float64(back.Angle), 1e-4)
	assert.InDelta(t, float64(there.Bracket), -float64(back.Bracket), 2e-4)
	// The formulas for small changes.
	x := math.Sqrt(435*435-35*35) / 1220
	assert.InEpsilon(t, float64(there.Rear)*(1-x)+float64(there.Front)*x, float64(there.Bracket), 0.02)
	assert.InEpsilon(t, float64(there.Front-there.Rear)/1.220, float64(there.Angle), 0.01)
	assert.Positive(t, there.Angle, "a smaller rear wheel slackens")
	// Both wheels alike lift the bike and turn nothing.
	up := turn(a, Wheels{Wheel{Measured: a.Front.Diameter() + 20*mm}, Wheel{Measured: a.Rear.Diameter() + 20*mm}}, g)
	assert.InDelta(t, 10, up.Bracket.MM(), 1e-9)
	assert.InDelta(t, 0, float64(up.Angle), 1e-12)
	// A longer fork slackens: 20 mm make about 0.9°, and lift the bracket.
	g.Longer = 20 * mm
	fork := turn(a, a, g)
	assert.InDelta(t, 0.9, fork.Angle.In(quantity.Degree), 0.1)
	assert.Positive(t, fork.Bracket)
	assert.InDelta(t, 8.5, fork.Wheelbase.MM(), 0.5, "20 mm cos 65°")
	// Nothing known: the usual, said.
	assumed := turn(a, b, Geometry{})
	assert.Equal(t, Assumed{true, true, true, true}, assumed.Assumed)
	assert.Equal(t, Geometry{UsualWheelbase, UsualChainstay, UsualDrop, UsualHeadAngle, 0}, assumed.Geometry)
}

// TestSpeed: by hand, 90 · 60 · 34/15 · 2.298 m = 28 128 m an hour; a fixed 46/16
// on 2.096 m (700x23, ISO 5775-1 tyre) at 100 turns 36.2 km/h.
func TestSpeed(t *testing.T) {
	v, err := Speed(90, Gear{Ring: 34, Cog: 15}, 2.298)
	require.NoError(t, err)
	assert.InDelta(t, 28.128/3.6, v, 0.001)
	v, err = Speed(100, Gear{Ring: 46, Cog: 16}, 2.096)
	require.NoError(t, err)
	assert.InDelta(t, 36.156/3.6, v, 0.001)
	for _, c := range []Cadence{0, 19, 251} {
		_, err := Speed(c, Gear{Ring: 34, Cog: 15}, 2.298)
		assert.Error(t, err, c)
	}
	_, err = Speed(90, Gear{}, 2.298)
	assert.Error(t, err)
}

func TestRefusals(t *testing.T) {
	w := mounted(t, 61, 622, 30)
	ww := Wheels{w, w}
	for _, c := range []struct {
		err  func() error
		want string
	}{
		{func() error { _, err := Development(Gear{32, 0}, w); return err }, "cog 0 teeth: want 7 teeth to 80 teeth"},
		{func() error { _, err := Restore(Gear{5, 36}, w, w); return err }, "ring 5 teeth: want 10 teeth to 80 teeth"},
		{func() error { _, err := Restore(Gear{32, 36}, w, Wheel{}); return err }, "outside diameter 0 mm: want 170 mm to 1000 mm"},
		{func() error { _, err := Circle(w, 200*mm); return err }, "drop 200 mm: want 0 mm to 93"},
		{func() error { _, err := Turn(ww, ww, Geometry{Wheelbase: 12 * mm}); return err }, "wheelbase 12 mm: want 600 mm to 2500 mm"},
		{func() error { _, err := Turn(ww, ww, Geometry{Chainstay: 4350 * mm}); return err }, "chainstay 4350 mm: want 250 mm to 1000 mm"},
		{func() error { _, err := Turn(ww, ww, Geometry{HeadAngle: 12}); return err }, "head angle"},
		{func() error { _, err := Turn(ww, ww, Geometry{Drop: quantity.Length(math.NaN())}); return err }, "bottom bracket drop NaN"},
		{func() error { _, err := Turn(ww, ww, Geometry{Longer: 1}); return err }, "fork longer by 1000 mm: want -150 mm to 150 mm"},
		{func() error { _, err := Turn(ww, Wheels{w, Wheel{}}, Geometry{}); return err }, "outside diameter"},
		{func() error {
			_, err := Circle(Wheel{Measured: quantity.Length(math.Inf(1))}, 0)
			return err
		}, "outside diameter"},
	} {
		err := c.err()
		assert.ErrorContains(t, err, c.want)
		var out *quantity.RangeError
		assert.ErrorAs(t, err, &out)
	}
	assert.Zero(t, Gear{}.Ratio())
}

func FuzzTurn(f *testing.F) {
	f.Add(0.744, 0.744, 0.744, 0.706, 1.22, 0.435, 0.03, 1.14, 0.0)
	f.Fuzz(func(t *testing.T, f1, r1, f2, r2, base, stay, drop, head, longer float64) {
		w := func(d float64) Wheel { return Wheel{Measured: quantity.Length(d)} }
		g := Geometry{quantity.Length(base), quantity.Length(stay), quantity.Length(drop), quantity.Angle(head), quantity.Length(longer)}
		out, err := Turn(Wheels{w(f1), w(r1)}, Wheels{w(f2), w(r2)}, g)
		if err != nil {
			return
		}
		if !quantity.Finite(out.Angle) || !quantity.Finite(out.Bracket, out.Wheelbase, out.Front, out.Rear) {
			t.Fatalf("Turn(%v %v to %v %v, %v) = %v", f1, r1, f2, r2, g, out)
		}
	})
}

func FuzzRestore(f *testing.F) {
	f.Add(32, 36, 0.666, 0.744)
	f.Fuzz(func(t *testing.T, ring, cog int, a, b float64) {
		out, err := Restore(Gear{Teeth(ring), Teeth(cog)}, Wheel{Measured: quantity.Length(a)}, Wheel{Measured: quantity.Length(b)})
		if err == nil && !quantity.Finite(out.Ring, out.Cog) {
			t.Fatalf("Restore(%v/%v, %v, %v) = %v", ring, cog, a, b, out)
		}
	})
}
