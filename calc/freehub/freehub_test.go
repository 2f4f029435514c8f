package freehub

import (
	"encoding/csv"
	"math"
	"os"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"spokeword/calc/gearing"
	"spokeword/calc/quantity"
)

const mm = quantity.Millimetre

func gear[T int | float64](ring, cog T) gearing.Gear {
	return gearing.Gear{Ring: gearing.Teeth(ring), Cog: gearing.Teeth(cog)}
}

// The rows of testdata/worked/freehub.csv.
func TestWorkedExamples(t *testing.T) {
	file, err := os.Open("../../testdata/worked/freehub.csv")
	require.NoError(t, err)
	defer file.Close()
	r := csv.NewReader(file)
	r.Comment = '#'
	rows, err := r.ReadAll()
	require.NoError(t, err)
	require.Len(t, rows, 10)
	for _, row := range rows[1:] {
		number := func(i int) float64 {
			v, err := quantity.Number(row[i])
			require.NoError(t, err, row[0])
			return v
		}
		e, err := Engage(Points(number(2)), gear(number(3), number(4)), quantity.Length(number(5))*mm)
		require.NoError(t, err, row[0])
		for i, got := range map[int]float64{6: e.Hub.In(quantity.Degree), 7: e.AtCrank.In(quantity.Degree), 8: e.AtPedal.MM()} {
			if row[i] != "" {
				assert.InDelta(t, number(i), got, number(9), "%s, %s", row[0], rows[0][i])
			}
		}
	}
}

func TestPhases(t *testing.T) {
	for _, c := range []struct {
		pawls  Pawls
		teeth  gearing.Teeth
		phases Pawls
		want   Points
		why    string
	}{
		{6, 33, 2, 66, "two groups of three"},
		{6, 33, 1, 33, "all together"},
		{3, 24, 1, 24, "in phase pawls add none"},
		{1, 36, 1, 36, "a ring against a ring"},
		{6, 33, 6, 198, "one after the other"},
	} {
		got, err := PointsOf(c.pawls, c.teeth, c.phases)
		require.NoError(t, err)
		assert.Equal(t, c.want, got, c.why)
	}
	all, err := Groupings(6, 33)
	require.NoError(t, err)
	assert.Equal(t, []Grouping{{1, 6, 33}, {2, 3, 66}, {3, 2, 99}, {6, 1, 198}}, all)
	for _, g := range all {
		p, err := PointsOf(6, 33, g.Phases)
		require.NoError(t, err)
		assert.Equal(t, p, g.Points)
	}
	_, err = PointsOf(6, 33, 4)
	assert.EqualError(t, err, "phases 4: want a number that divides 6 pawls")
	_, err = PointsOf(6, 2, 2)
	assert.EqualError(t, err, "ratchet 2 teeth: want 8 teeth to 200 teeth")
	_, err = PointsOf(0, 33, 1)
	assert.Error(t, err)
	_, err = PointsOf(6, 33, 7)
	assert.Error(t, err)
	_, err = Groupings(99, 33)
	assert.Error(t, err)
}

func TestScaling(t *testing.T) {
	one := func(p Points, g gearing.Gear, crank quantity.Length) Engagement {
		e, err := Engage(p, g, crank)
		require.NoError(t, err)
		return e
	}
	base := one(36, gear(32, 48), 170*mm)
	assert.InDelta(t, float64(base.AtCrank)/2, float64(one(72, gear(32, 48), 170*mm).AtCrank), 1e-12, "twice the points, half the wait")
	assert.InDelta(t, float64(base.AtCrank)/2, float64(one(36, gear(32, 24), 170*mm).AtCrank), 1e-12, "half the cog")
	assert.InDelta(t, float64(base.AtPedal)*0.97, float64(one(36, gear(32, 48), 164.9*mm).AtPedal), 1e-12, "a shorter crank")
	assert.Equal(t, base.Hub, one(36, gear(50, 11), 170*mm).Hub, "no gear changes the hub")
	for p := FewestPoints; p < 500; p++ {
		a, b := one(p, gear(32, 51), 170*mm), one(p+1, gear(32, 51), 170*mm)
		assert.Greater(t, a.AtCrank, b.AtCrank)
		assert.InDelta(t, 2, float64(a.AtCrank/a.AtCrankMean), 1e-12)
	}
}

func TestRefusals(t *testing.T) {
	for _, c := range []struct {
		p     Points
		g     gearing.Gear
		crank quantity.Length
		want  string
	}{
		{0, gear(32, 51), 170 * mm, "freehub 0 points: want 4 points to 1500 points"},
		{36, gear(0, 51), 170 * mm, "ring 0 teeth: want 10 teeth to 80 teeth"},
		{36, gear(32, 0), 170 * mm, "cog 0 teeth: want 7 teeth to 80 teeth"},
		{36, gear(32, 51), 17 * mm, "crank 17 mm: want 70 mm to 230 mm"},
		{36, gear(32, 51), quantity.Length(math.NaN()), "crank NaN mm: want 70 mm to 230 mm"},
	} {
		_, err := Engage(c.p, c.g, c.crank)
		assert.EqualError(t, err, c.want)
		var out *quantity.RangeError
		assert.ErrorAs(t, err, &out)
	}
	_, err := Compare([]Points{18, 2}, gear(32, 51), 170*mm)
	assert.Error(t, err)
}

func FuzzEngage(f *testing.F) {
	f.Add(36, 32, 51, 0.17)
	f.Fuzz(func(t *testing.T, points, ring, cog int, crank float64) {
		e, err := Engage(Points(points), gear(ring, cog), quantity.Length(crank))
		if err != nil {
			return
		}
		if !quantity.Finite(e.Hub, e.AtCrank, e.AtCrankMean) || !quantity.Finite(e.AtPedal) || e.AtPedal <= 0 {
			t.Fatalf("Engage(%v, %v/%v, %v) = %v", points, ring, cog, crank, e)
		}
	})
}

var sink float64

// BenchmarkCompare reports the sum in the measure of one division, taken in
// the same run.
func BenchmarkCompare(b *testing.B) {
	const rounds = 5000
	begin := time.Now()
	for i := range rounds {
		sink += 360 / float64(i+1)
	}
	base := float64(time.Since(begin)) / rounds
	b.ReportAllocs()
	b.ResetTimer()
	n := 0
	for b.Loop() {
		out, err := Compare([]Points{18, 54, Points(60 + n%97)}, gear(32, 40+n%11), 170*mm)
		if err != nil {
			b.Fatal(err)
		}
		sink += float64(out[2].AtPedal)
		n++
	}
	b.ReportMetric(float64(b.Elapsed())/float64(n)/base, "x-division")
}
