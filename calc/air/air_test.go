package air

import (
	"encoding/csv"
	"math"
	"os"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"spokeword/calc/quantity"
)

const psi = quantity.PSI

func gauge(number float64) quantity.Gauge { return quantity.Gauge(number * psi) }

func at(celsius, metres float64) Place {
	return Place{quantity.Celsius(celsius), quantity.Length(metres)}
}

func read1(t testing.TB, g quantity.Gauge, from, to Place) Reading {
	t.Helper()
	r, err := Read(g, from, to)
	require.NoError(t, err)
	return r
}

// The rows of testdata/worked/air.csv, each with its source and the tolerance
// that comes with it.
func TestWorkedExamples(t *testing.T) {
	file, err := os.Open("../../testdata/worked/air.csv")
	require.NoError(t, err)
	defer file.Close()
	r := csv.NewReader(file)
	r.Comment = '#'
	rows, err := r.ReadAll()
	require.NoError(t, err)
	require.Len(t, rows, 33)
	for _, row := range rows[1:] {
		t.Run(row[0], func(t *testing.T) { worked(t, row[2], row[3], row[4], row[5]) })
	}
}

// measures reads "20 psi 70 F" as the quantities in it.
func measures(t *testing.T, text string) (out []quantity.Measure) {
	t.Helper()
	f := strings.Fields(text)
	require.Zero(t, len(f)%2, text)
	for i := 0; i < len(f); i += 2 {
		if f[i+1] == "hPa" {
			m, err := quantity.ParseMeasure(f[i] + " kPa")
			require.NoError(t, err, text)
			out = append(out, quantity.Measure{Number: m.Number / 10, Unit: m.Unit})
			continue
		}
		m, err := quantity.ParseMeasure(f[i] + " " + f[i+1])
		require.NoError(t, err, text)
		out = append(out, m)
	}
	return out
}

func place(m []quantity.Measure) Place {
	p := Place{Temperature: m[0].Temperature()}
	if len(m) > 1 {
		p.Height = m[1].Length()
	}
	return p
}

func worked(t *testing.T, check, input, expected, tolerance string) {
	var tol float64
	within := func(want, got float64) {
		t.Helper()
		if share, ok := strings.CutSuffix(tolerance, " %"); ok {
			n, err := quantity.Number(share)
			require.NoError(t, err)
			assert.InEpsilon(t, want, got, n/100)
			return
		}
		n, err := quantity.Number(tolerance)
		require.NoError(t, err)
		tol = n
		assert.InDelta(t, want, got, tol)
	}
	want, unit, _ := strings.Cut(expected, " ")
	number, err := quantity.Number(want)
	require.NoError(t, err)
	units := map[string]float64{"psi": psi, "bar": quantity.Bar, "hPa": 100}
	gas := func() (Gas, []quantity.Measure) {
		for name, g := range map[string]Gas{"CO2": CarbonDioxide, "N2": Nitrogen, "air": DryAir} {
			if before, after, ok := strings.Cut(input, name+" "); ok {
				return g, measures(t, before+after)
			}
		}
		t.Fatalf("no gas in %q", input)
		return 0, nil
	}
	switch check {
	case "atmosphere":
		p, err := Pressure(measures(t, input)[0].Length())
		require.NoError(t, err)
		within(number, p.In(units[unit]))
	case "read":
		a, b, _ := strings.Cut(input, " > ")
		from := measures(t, a)
		got := read1(t, from[0].Gauge(), place(from[1:]), place(measures(t, b)))
		within(number, got.Read.In(units[unit]))
	case "ambient":
		a, b, _ := strings.Cut(input, " > ")
		from, to := measures(t, a), measures(t, b)
		low, err := Height(quantity.Absolute(from[1].SI()))
		require.NoError(t, err)
		high, err := Height(quantity.Absolute(to[0].SI()))
		require.NoError(t, err)
		within(number, read1(t, from[0].Gauge(), at(20, float64(low)), at(20, float64(high))).Read.In(units[unit]))
	case "molar":
		g, m := gas()
		// The volume in which the mass has the pressure.
		lo, hi := quantity.Volume(1*quantity.Litre), quantity.Volume(50*quantity.Litre)
		for range 60 {
			v := (lo + hi) / 2
			p, err := g.Pressure(m[0].Mass(), v, m[1].Temperature())
			require.NoError(t, err)
			if float64(p) > m[2].SI() {
				lo = v
			} else {
				hi = v
			}
		}
		within(number, lo.In(quantity.Litre))
	case "density":
		g, m := gas()
		mass, err := g.MassFor(quantity.Absolute(m[1].SI()), quantity.Litre, m[0].Temperature())
		require.NoError(t, err)
		within(number, float64(mass)/float64(quantity.Litre))
	case "virial":
		g, m := gas()
		within(number, g.secondVirial(m[0].Temperature())*1e6)
	case "factor":
		g, m := gas()
		z, err := g.Factor(quantity.Absolute(m[1].SI()), m[0].Temperature())
		require.NoError(t, err)
		within(number, z)
	default:
		t.Errorf("no check %q", check)
	}
}

// What people ask, worked out beforehand by hand from the gas law.
func TestReadings(t *testing.T) {
	for _, c := range []struct {
		why      string
		set      float64
		from, to Place
		want     float64
	}{
		{"kitchen to frost", 22, at(20, 0), at(-5, 0), 18.9},
		{"kitchen to a cool day", 22, at(20, 0), at(5, 0), 20.1},
		{"kitchen to ice", 22, at(20, 0), at(0, 0), 19.5},
		{"70 to 40 °F", 24, Place{quantity.Fahrenheit(70), 0}, Place{quantity.Fahrenheit(40), 0}, 21.8},
		{"valley to 1500 m", 22, at(20, 0), at(20, 1500), 24.4},
		{"20 psi by the sea to 11000 ft", 20, at(20, 0), at(20, 3350), 25.0},
		{"beach to cold and high: they cancel", 24, at(25, 0), at(5, 2000), 24.6},
		{"fat bike to -15 °C", 8, at(20, 0), at(-15, 0), 5.3},
	} {
		got := read1(t, gauge(c.set), c.from, c.to)
		assert.InDelta(t, c.want, got.Read.In(psi), 0.05, c.why)
		assert.InDelta(t, float64(got.Change()), float64(got.ByTemperature+got.ByHeight), 1e-9, c.why)
	}
	for _, c := range []struct {
		target    float64
		at, there Place
		want      float64
	}{
		{22, at(20, 0), at(-5, 0), 25.4},
		{24, Place{quantity.Fahrenheit(70), 0}, Place{quantity.Fahrenheit(40), 0}, 26.3},
		{22, at(20, 0), at(-2, 0), 25.0},
		{25, at(20, 0), at(-2, 0), 28.2},
	} {
		got, err := SetFor(gauge(c.target), c.at, c.there)
		require.NoError(t, err)
		assert.InDelta(t, c.want, got.Set.In(psi), 0.06)
		assert.Equal(t, gauge(c.target), got.Read)
	}
}

func TestFly(t *testing.T) {
	f, err := Fly(gauge(25), at(20, 0))
	require.NoError(t, err)
	assert.InDelta(t, 28.8, f.Cabin.Read.In(psi), 0.05, "8000 ft")
	assert.InDelta(t, 752.6, f.Cabin.AirRead.In(100), 0.3, "75.26 kPa")
	assert.InDelta(t, 36.4, f.Unregulated.Read.In(psi), 0.05, "+11.4 at 11 km")
	assert.InDelta(t, 39.7, f.Vacuum.In(psi), 0.05, "+14.7 with no air at all")
	assert.InDelta(t, 3.8, f.AboveInCabin.In(psi), 0.05)
}

func TestThumbs(t *testing.T) {
	from, to := at(20, 0), at(20-50.0/9, 304.8) // 10 °F colder, 1000 ft up
	out := ByThumb(read1(t, gauge(22), from, to), from, to)
	require.Len(t, out, 3)
	assert.Equal(t, []Rule{TenFahrenheit, ScaledGauge, ThousandFeet}, []Rule{out[0].Rule, out[1].Rule, out[2].Rule})
	assert.InDelta(t, -1, out[0].Says.In(psi), 1e-9)
	assert.InDelta(t, -0.70, out[0].Sum.In(psi), 0.005, "0.70 psi for 10 °F at 22 psi")
	assert.InDelta(t, -0.30, out[0].Out().In(psi), 0.005)
	assert.InDelta(t, -0.42, out[1].Says.In(psi), 0.005)
	assert.InDelta(t, -1, out[2].Says.In(psi), 1e-9)
	assert.InDelta(t, 0.5, out[2].Sum.In(psi), 0.05)
	for _, th := range out {
		assert.NotEmpty(t, th.Basis.Says)
	}
	assert.Empty(t, ByThumb(read1(t, gauge(22), from, from), from, from))
	// Where the first rule is right.
	g, err := PerKelvin(gauge(38.3), at(21.1, 0))
	require.NoError(t, err)
	assert.InDelta(t, 1, g.In(psi)*10/1.8, 0.01)
	g, err = PerKelvin(gauge(22), at(20, 0))
	require.NoError(t, err)
	assert.InDelta(t, 1.25, g.In(psi)*10, 0.005, "1.25 psi for 10 °C at 22 psi")
}

func TestWarmestBelow(t *testing.T) {
	from := at(20, 700)
	warm, err := WarmestBelow(gauge(30), gauge(25), from)
	require.NoError(t, err)
	assert.InDelta(t, 30, read1(t, gauge(25), from, Place{warm, 700}).Read.In(psi), 1e-9)
	warm, err = WarmestBelow(gauge(20), gauge(25), from)
	require.NoError(t, err)
	assert.Less(t, warm, from.Temperature, "above it already")
}

func TestThereAndBack(t *testing.T) {
	for set := 5.0; set < 100; set += 7.3 {
		for c := -20.0; c <= 60; c += 13 {
			for h := -200.0; h <= 5000; h += 611 {
				from, to := at(20, 400), at(c, h)
				there, err := read(gauge(set), from, to)
				require.NoError(t, err)
				if there.Read < 0 {
					continue
				}
				back := read1(t, there.Read, to, from)
				assert.InDelta(t, set, back.Read.In(psi), 1e-9)
				inverse, err := SetFor(there.Read, from, to)
				require.NoError(t, err)
				assert.InDelta(t, set, inverse.Set.In(psi), 1e-9)
				// By way of another place is the same as straight on.
				if mid, err := Read(gauge(set), from, at(c, 400)); err == nil {
					assert.InDelta(t, float64(there.Read), float64(read1(t, mid.Read, at(c, 400), to).Read), 1e-6)
				}
			}
		}
	}
}

func TestColdNeverRaisesAndClimbingNeverLowers(t *testing.T) {
	last := quantity.Gauge(-1)
	for c := -40.0; c <= 100; c += 0.5 {
		r := read1(t, gauge(22), at(20, 0), at(c, 0))
		assert.Greater(t, r.Read, last)
		assert.Zero(t, float64(r.ByHeight))
		last = r.Read
	}
	last = -1
	for h := -500.0; h <= 11000; h += 50 {
		r := read1(t, gauge(22), at(20, 0), at(20, h))
		assert.Greater(t, r.Read, last)
		assert.Zero(t, float64(r.ByTemperature))
		last = r.Read
	}
	r := read1(t, gauge(22), at(20, 300), at(20, 300))
	assert.Equal(t, r.Set, r.Read)
}

func TestHeightIsTheInverse(t *testing.T) {
	for h := Lowest; h <= Highest; h += 10 {
		p, err := Pressure(h)
		require.NoError(t, err)
		back, err := Height(p)
		require.NoError(t, err)
		assert.InDelta(t, float64(h), float64(back), 1e-6)
	}
	c, err := StandardTemperature(2000)
	require.NoError(t, err)
	assert.InDelta(t, 2, c.Celsius(), 1e-9)
}

func TestRefusals(t *testing.T) {
	nan, inf := math.NaN(), math.Inf(1)
	for _, c := range []struct {
		set      quantity.Gauge
		from, to Place
		want     string
	}{
		{gauge(22), at(20, 0), at(20, 90000), "height 90000 m: want -500 mm"},
		{gauge(22), at(20, -600), at(20, 0), "height -600 m"},
		{gauge(22), at(-300, 0), at(20, 0), "temperature -300 °C: want -60 °C to 120 °C"},
		{gauge(22), at(20, 0), at(200, 0), "temperature 200 °C"},
		{gauge(400), at(20, 0), at(20, 0), "pressure 27.579 bar: want 0 bar to 15 bar"},
		{-1, at(20, 0), at(20, 0), "pressure"},
		{gauge(1), at(20, 0), at(-40, 0), "reading there"},
		{quantity.Gauge(nan), at(20, 0), at(20, 0), "pressure NaN"},
		{gauge(22), at(nan, 0), at(20, 0), "temperature NaN"},
		{gauge(22), at(20, inf), at(20, 0), "height"},
	} {
		_, err := Read(c.set, c.from, c.to)
		var out *quantity.RangeError
		require.ErrorAs(t, err, &out, c.want)
		if !strings.HasSuffix(c.want, "-500 mm") {
			assert.ErrorContains(t, err, c.want)
		}
	}
	_, err := SetFor(gauge(1), at(-40, 0), at(20, 0))
	assert.ErrorContains(t, err, "pressure to set")
	_, err = Height(0)
	assert.Error(t, err)
	_, err = StandardTemperature(quantity.Length(nan))
	assert.Error(t, err)
	_, err = Fly(gauge(22), at(20, 12000))
	assert.Error(t, err)
	_, err = WarmestBelow(-1, gauge(22), at(20, 0))
	assert.Error(t, err)
	_, err = PerKelvin(gauge(22), at(nan, 0))
	assert.Error(t, err)
	_, err = Read(gauge(22), at(20, 0), at(20, 90000))
	assert.EqualError(t, err, "height 90000 m: want -500 m to 11000 m")
}

// The virial gas against the van der Waals gas, constants a 3.658 bar l²/mol²
// and b 0.0429 l/mol (Reid, Prausnitz & Poling): two models that share nothing.
func TestVirialAgreesWithVanDerWaals(t *testing.T) {
	const a, b = 3.658e-1, 0.0429e-3 // Pa m⁶/mol², m³/mol
	for c := -10.0; c <= 40; c += 10 {
		for rho := 20.0; rho <= 300; rho += 20 { // mol/m³; 300 is 6.9 bar at 20 °C
			temperature := quantity.Celsius(c)
			vdw := rho*gasConstant*float64(temperature)/(1-b*rho) - a*rho*rho
			p, err := CarbonDioxide.Pressure(quantity.Mass(rho*44.0095e-3*1e-3), quantity.Litre, temperature)
			require.NoError(t, err)
			assert.InEpsilon(t, vdw, float64(p), 0.018, "%v °C, %v mol/m³", c, rho)
			if rho <= 120 { // what tyres hold
				assert.InEpsilon(t, vdw, float64(p), 0.0075, "%v °C, %v mol/m³", c, rho)
			}
		}
	}
}

func TestGasThereAndBack(t *testing.T) {
	for g := DryAir; g <= CarbonDioxide; g++ {
		last := quantity.Absolute(-1)
		for grams := 0.0; grams <= 90; grams += 1.5 {
			m := quantity.Mass(grams) * quantity.Gram
			p, err := g.Pressure(m, 7*quantity.Litre, quantity.Celsius(-5))
			require.NoError(t, err)
			assert.Greater(t, p, last)
			last = p
			back, err := g.MassFor(p, 7*quantity.Litre, quantity.Celsius(-5))
			require.NoError(t, err)
			assert.InDelta(t, float64(m), float64(back), 1e-12)
			half, err := g.Pressure(m/2, 3.5*quantity.Litre, quantity.Celsius(-5))
			require.NoError(t, err)
			assert.InDelta(t, float64(p), float64(half), 1e-6, "half the gas in half the room")
		}
	}
	for _, c := range []struct {
		m quantity.Mass
		v quantity.Volume
		t quantity.Temperature
	}{
		{0.2, quantity.Litre, 293}, {-1, quantity.Litre, 293}, {0.001, 0, 293}, {0.001, quantity.Litre, 200},
		{quantity.Mass(math.NaN()), quantity.Litre, 293}, {0.001, quantity.Volume(math.NaN()), 293}, {0.001, quantity.Litre, quantity.Temperature(math.Inf(1))},
	} {
		_, err := CarbonDioxide.Pressure(c.m, c.v, c.t)
		assert.Error(t, err)
	}
	_, err := CarbonDioxide.MassFor(2e6, quantity.Litre, 293)
	assert.Error(t, err)
	z, err := CarbonDioxide.Factor(0, 293)
	require.NoError(t, err)
	assert.InDelta(t, 1, z, 0)
}

func FuzzRead(f *testing.F) {
	f.Add(1.5e5, 293.15, 0.0, 268.0, 1800.0)
	f.Add(0.0, 213.15, -500.0, 393.15, 11000.0)
	f.Fuzz(func(t *testing.T, set, t1, h1, t2, h2 float64) {
		from, to := Place{quantity.Temperature(t1), quantity.Length(h1)}, Place{quantity.Temperature(t2), quantity.Length(h2)}
		r, err := Read(quantity.Gauge(set), from, to)
		if err != nil {
			return
		}
		if !quantity.Finite(r.Read, r.ByHeight, r.ByTemperature) || r.Read < 0 {
			t.Fatalf("Read(%v, %v, %v) = %v", set, from, to, r)
		}
		back, err := SetFor(r.Read, from, to)
		if err != nil {
			t.Fatalf("SetFor(%v, %v, %v): %v", r.Read, from, to, err)
		}
		if math.Abs(float64(back.Set-r.Set)) > 1e-6 {
			t.Fatalf("Read(%v, %v, %v) = %v, back %v", set, from, to, r, back)
		}
	})
}

func FuzzGas(f *testing.F) {
	f.Add(0.016, 0.0063, 293.15)
	f.Fuzz(func(t *testing.T, m, v, k float64) {
		p, err := CarbonDioxide.Pressure(quantity.Mass(m), quantity.Volume(v), quantity.Temperature(k))
		if err != nil {
			return
		}
		if !quantity.Finite(p) || p < 0 {
			t.Fatalf("Pressure(%v, %v, %v) = %v", m, v, k, p)
		}
	})
}
