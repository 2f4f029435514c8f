package tyre

import (
	"encoding/csv"
	"os"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"spokeword/calc/quantity"
	"spokeword/calc/size"
)

// records reads a table of testdata/worked as one map a row.
func records(t *testing.T, name string) []map[string]string {
	t.Helper()
	f, err := os.Open("../../testdata/worked/" + name)
	require.NoError(t, err)
	defer f.Close()
	rows, err := csv.NewReader(f).ReadAll()
	require.NoError(t, err)
	var out []map[string]string
	for _, row := range rows[1:] {
		m := map[string]string{}
		for i, cell := range row {
			m[rows[0][i]] = cell
		}
		out = append(out, m)
	}
	require.NotEmpty(t, out)
	return out
}

func number(t *testing.T, s string) float64 {
	t.Helper()
	v, err := strconv.ParseFloat(s, 64)
	require.NoError(t, err)
	return v
}

// mark mounts a tyre mark on a rim.
func mark(t testing.TB, tyre string, rim float64) Mounted {
	t.Helper()
	m, err := size.Parse(tyre)
	require.NoError(t, err)
	out, err := Mount(m.Width, m.Seat, quantity.Length(rim)*mm)
	require.NoError(t, err, "%s on %v", tyre, rim)
	return out
}

func riding(t testing.TB, name string) Riding {
	t.Helper()
	for r := Road; r <= Snow; r++ {
		if r.String() == name {
			return r
		}
	}
	t.Fatalf("no riding %q", name)
	return 0
}

// Published and practised start pressures (testdata/worked/gates.csv, with
// what each rests on).
func TestStartsMeetWhatIsPublished(t *testing.T) {
	for _, g := range records(t, "gates.csv") {
		t.Run(g["who"], func(t *testing.T) {
			kind, soft := strings.CutSuffix(g["riding"], " soft")
			tubes := g["system"] == "tubes"
			got, err := StartFor(Setup{
				Rider: quantity.Mass(number(t, g["rider_kg"])), Bike: quantity.Mass(number(t, g["bike_kg"])),
				Front:  Wheel{Tyre: mark(t, g["front"], number(t, g["rim_front_mm"])), Tubes: tubes},
				Rear:   Wheel{Tyre: mark(t, g["rear"], number(t, g["rim_rear_mm"])), Tubes: tubes},
				Riding: riding(t, kind), SoftSnow: soft,
			})
			require.NoError(t, err)
			tol := number(t, g["tol_psi"])
			front, rear := got.Front.Pressure.In(quantity.PSI), got.Rear.Pressure.In(quantity.PSI)
			t.Logf("front %v of %s-%s, rear %v of %s-%s psi, band %v", front, g["front_lo_psi"], g["front_hi_psi"], rear, g["rear_lo_psi"], g["rear_hi_psi"], (got.Front.High-got.Front.Low).In(quantity.PSI)/2)
			assert.GreaterOrEqual(t, front, number(t, g["front_lo_psi"])-tol)
			assert.LessOrEqual(t, front, number(t, g["front_hi_psi"])+tol)
			assert.GreaterOrEqual(t, rear, number(t, g["rear_lo_psi"])-tol)
			assert.LessOrEqual(t, rear, number(t, g["rear_hi_psi"])+tol)
			assert.Equal(t, Inside, got.Front.Standing)
			assert.Equal(t, Inside, got.Rear.Standing)
		})
	}
}
