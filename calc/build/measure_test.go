package build_test

import (
	"encoding/csv"
	"fmt"
	"math"
	"os"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"spokeword/calc/build"
	"spokeword/calc/quantity"
)

// The rows of testdata/worked/measure.csv.
func TestMeasuredAsWorkedOut(t *testing.T) {
	file, err := os.Open("../../testdata/worked/measure.csv")
	require.NoError(t, err)
	defer file.Close()
	r := csv.NewReader(file)
	r.Comment = '#'
	rows, err := r.ReadAll()
	require.NoError(t, err)
	require.Len(t, rows, 11)
	for _, row := range rows[1:] {
		var n []float64
		for _, s := range strings.Split(row[3], ", ") {
			v, err := quantity.Number(s)
			require.NoError(t, err)
			n = append(n, v)
		}
		l := func(i int) quantity.Length { return quantity.Length(n[i]) * mm }
		var got quantity.Length
		switch row[2] {
		case "erd":
			got, err = build.ERDByRods(l(0), l(1))
		case "pitch":
			got, err = build.CircleByPitch(l(0), int(n[1]), int(n[2]))
		case "across":
			got, err = build.CircleAcross(l(0), l(1))
		case "offset":
			got, err = build.OffsetFromFace(build.Right, l(0), l(1), l(2))
		case "gap":
			var room build.Room
			room, err = build.GapFromSides(l(0), l(1), l(2))
			got = room.Gap
			assert.InDelta(t, 4, room.Least.MM(), 1e-9)
			assert.InDelta(t, -0.5, room.ToRight.MM(), 1e-9, "nearer to the left")
		default:
			t.Errorf("no check %q", row[2])
		}
		require.NoError(t, err, row[0])
		want, err := quantity.Number(row[4])
		require.NoError(t, err)
		tol := 1e-9
		if row[5] != "exact" {
			tol, err = quantity.Number(row[5])
			require.NoError(t, err)
		}
		assert.InDelta(t, want, got.MM(), tol, row[0])
	}
}

func TestCirclesAgree(t *testing.T) {
	// However many holes are skipped, it is one circle.
	for holes := 8; holes <= 36; holes += 2 {
		for skip := range holes / 2 {
			pitch := 58 * mm * quantity.Length(math.Sin(math.Pi*float64(skip+1)/float64(holes)))
			got, err := build.CircleByPitch(pitch, holes, skip)
			require.NoError(t, err)
			assert.InDelta(t, 58, got.MM(), 1e-9)
		}
	}
	// Both flanges of a hub, measured from their own faces, stand as far apart
	// as the middles of the flanges.
	left, err := build.OffsetFromFace(build.Left, 142*mm, 33*mm, 3*mm)
	require.NoError(t, err)
	right, err := build.OffsetFromFace(build.Right, 142*mm, 48*mm, 3*mm)
	require.NoError(t, err)
	assert.InDelta(t, 142-33-48-3, (left + right).MM(), 1e-9)
}

func TestMean(t *testing.T) {
	m, err := build.Mean(601*mm, 602*mm, 602.4*mm)
	require.NoError(t, err)
	assert.InDelta(t, 601.8, m.Mean.MM(), 1e-9)
	assert.InDelta(t, 1.4, m.Spread.MM(), 1e-9)
	assert.Equal(t, 3, m.Count)
	for _, bad := range [][]quantity.Length{{}, make([]quantity.Length, 65), {quantity.Length(math.NaN())}, {600}} {
		_, err := build.Mean(bad...)
		assert.Error(t, err)
	}
}

func TestMeasuringRefusals(t *testing.T) {
	nan := quantity.Length(math.NaN())
	erd := func(rod, between quantity.Length) func() (quantity.Length, error) {
		return func() (quantity.Length, error) { return build.ERDByRods(rod, between) }
	}
	pitch := func(p quantity.Length, holes, skip int) func() (quantity.Length, error) {
		return func() (quantity.Length, error) { return build.CircleByPitch(p, holes, skip) }
	}
	offset := func(faces, face, thick quantity.Length) func() (quantity.Length, error) {
		return func() (quantity.Length, error) { return build.OffsetFromFace(build.Left, faces, face, thick) }
	}
	gap := func(width, left, right quantity.Length) func() (quantity.Length, error) {
		return func() (quantity.Length, error) {
			r, err := build.GapFromSides(width, left, right)
			return r.Gap, err
		}
	}
	for _, c := range []struct {
		do   func() (quantity.Length, error)
		want string
	}{
		{erd(0, 200*mm), "rod: not given"},
		{erd(20*mm, 202*mm), "rod 20 mm: want 50 mm to 400 mm"},
		{erd(200*mm, nan), "between NaN mm"},
		{erd(200*mm, -300*mm), "between -300 mm: want -200 mm to 600 mm"},
		{erd(400*mm, 600*mm), "erd 1400 mm: want 120 mm to 850 mm"},
		{pitch(0, 16, 0), "pitch: not given"},
		{pitch(11*mm, 0, 0), "hub holes: not given"},
		{pitch(11*mm, 16, 8), "pitch 8: want 0 to 7"},
		{pitch(1.1*mm, 16, 0), "pitch 1.1 mm: want 4 mm to 150 mm"},
		{pitch(140*mm, 16, 0), "circle 717.62 mm: want 20 mm to 400 mm"},
		{offset(0, 36*mm, 3*mm), "lock-nut faces: not given"},
		{offset(148*mm, 0, 3*mm), "left face to flange: not given"},
		{offset(14.8*mm, 36*mm, 3*mm), "lock-nut faces 14.8 mm: want 70 mm to 220 mm"},
		{offset(148*mm, 36*mm, 0.3*mm), "left flange thickness 0.3 mm: want 1 mm to 10 mm"},
		{offset(148*mm, 90*mm, 3*mm), "left offset -17.5 mm: want 0 mm to 80 mm"},
		{gap(0, 4*mm, 4*mm), "tyre width: not given"},
		{gap(61*mm, -1*mm, 4*mm), "gap -1 mm: want 0 mm to 100 mm"},
		{gap(nan, 1*mm, 4*mm), "tyre width NaN mm"},
		{func() (quantity.Length, error) { return build.CircleAcross(0, 2.5*mm) }, "across: not given"},
		{func() (quantity.Length, error) { return build.CircleAcross(60*mm, 25*mm) }, "flange hole 25 mm"},
	} {
		got, err := c.do()
		require.Error(t, err, c.want)
		assert.ErrorContains(t, err, c.want)
		assert.Zero(t, float64(got), c.want)
	}
}

func FuzzMeasure(f *testing.F) {
	f.Add(0.2, 0.202, 0.003, 16, 3)
	f.Fuzz(func(t *testing.T, a, b, c float64, holes, skip int) {
		l := func(v float64) quantity.Length { return quantity.Length(v) }
		e, err1 := build.ERDByRods(l(a), l(b))
		p, err2 := build.CircleByPitch(l(a), holes, skip)
		x, err3 := build.CircleAcross(l(a), l(c))
		o, err4 := build.OffsetFromFace(build.Left, l(a), l(b), l(c))
		g, err5 := build.GapFromSides(l(a), l(b), l(c))
		for i, v := range []quantity.Length{e, p, x, o, g.Gap} {
			if err := []error{err1, err2, err3, err4, err5}[i]; !quantity.Finite(v) || err != nil && v != 0 || err == nil && v < 0 {
				t.Fatalf("measured %d: %v, %v", i, v, err)
			}
		}
	})
}

func ExampleERDByRods() {
	erd, err := build.ERDByRods(200*mm, 202*mm)
	if err != nil {
		panic(err)
	}
	fmt.Println(erd)
	// Output: 602 mm
}

func ExampleOffsetFromFace() {
	left, err := build.OffsetFromFace(build.Left, 148*mm, 36.5*mm, build.UsualFlangeThickness)
	if err != nil {
		panic(err)
	}
	fmt.Println(left)
	// Output: 36 mm
}

func BenchmarkMeasure(b *testing.B) {
	b.ReportAllocs()
	n := 0
	for b.Loop() {
		if _, err := build.CircleByPitch(quantity.Length(20+n%5)*mm, 16, n%3); err != nil {
			b.Fatal(err)
		}
		n++
	}
}
