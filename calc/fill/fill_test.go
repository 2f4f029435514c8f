package fill

import (
	"encoding/csv"
	"math"
	"os"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"spokeword/calc/air"
	"spokeword/calc/quantity"
	"spokeword/calc/tyre"
)

const (
	mm = quantity.Millimetre
	ml = quantity.Millilitre
	g  = quantity.Gram
)

var workshop = air.Place{Temperature: 293.15}

func number1(t testing.TB, s string) float64 {
	t.Helper()
	v, err := quantity.Number(s)
	require.NoError(t, err)
	return v
}

// mounted reads "61-622/30".
//
// Behind an @ stands a volume in litres to be taken instead of the mounted one,
// where a source names the volume of its sum.
func mounted(t testing.TB, text string) tyre.Mounted {
	t.Helper()
	text, litres, stated := strings.Cut(text, "@")
	mark, rim, _ := strings.Cut(text, "/")
	label, seat, _ := strings.Cut(mark, "-")
	m, err := tyre.Mount(quantity.Length(number1(t, label))*mm, quantity.Length(number1(t, seat))*mm, quantity.Length(number1(t, rim))*mm)
	require.NoError(t, err)
	if stated {
		m.Volume = quantity.Volume(number1(t, litres)) * 1000 * ml
	}
	return m
}

func psi(p quantity.Gauge) float64 { return p.In(quantity.PSI) }

// The rows of testdata/worked/fill.csv, each with its source and tolerance.
func TestWorkedExamples(t *testing.T) {
	file, err := os.Open("../../testdata/worked/fill.csv")
	require.NoError(t, err)
	defer file.Close()
	r := csv.NewReader(file)
	r.Comment = '#'
	rows, err := r.ReadAll()
	require.NoError(t, err)
	require.Len(t, rows, 16)
	for _, row := range rows[1:] {
		t.Run(row[0], func(t *testing.T) {
			in, want := strings.Split(row[3], ", "), strings.Split(row[4], "|")
			within := func(i int, got float64) {
				t.Helper()
				if want[i] == "" {
					return
				}
				w := number1(t, want[i])
				switch share, ok := strings.CutSuffix(row[5], " %"); {
				case ok:
					assert.InEpsilon(t, w, got, number1(t, share)/100)
				case row[5] == "exact":
					assert.InDelta(t, w, got, 1e-9)
				default:
					assert.InDelta(t, w, got, number1(t, row[5]))
				}
			}
			switch row[2] {
			case "cartridge", "range":
				f, err := Cartridge(quantity.Mass(number1(t, in[0]))*g, mounted(t, in[1]), air.Place{Temperature: quantity.Celsius(number1(t, in[2]))})
				require.NoError(t, err)
				if row[2] == "range" {
					assert.GreaterOrEqual(t, psi(f.Flat.Pressure), number1(t, want[0]))
					assert.Less(t, psi(f.Flat.Pressure), number1(t, want[1]))
					assert.Greater(t, psi(f.Round.Pressure), number1(t, want[1]))
					assert.LessOrEqual(t, psi(f.Round.Pressure), number1(t, want[2]))
					return
				}
				within(0, psi(f.Round.Pressure))
				within(1, psi(f.Flat.Pressure))
			case "strokes":
				p, err := Strokes(0, quantity.Gauge(number1(t, in[0])*quantity.PSI), mounted(t, in[1]), quantity.Volume(number1(t, in[2]))*ml, Lossless, 0)
				require.NoError(t, err)
				within(0, p.Round)
			case "serves":
				least, most, err := Serves(quantity.Volume(number1(t, in[0]))*ml, Volumes{quantity.Volume(number1(t, in[1])) * ml, quantity.Volume(number1(t, in[2])) * ml})
				require.NoError(t, err)
				within(0, float64(least))
				within(1, float64(most))
			case "dose":
				d, err := DoseFor(quantity.Length(number1(t, in[0]))*mm, false)
				require.NoError(t, err)
				within(0, d.Published.Low.In(ml))
				within(1, d.Published.High.In(ml))
			case "tape":
				tape, err := TapeFor(quantity.Length(number1(t, in[0]))*mm, 0, 1)
				require.NoError(t, err)
				within(0, tape.WidthLow.MM())
				within(1, tape.WidthHigh.MM())
			case "floz":
				within(0, (quantity.Volume(number1(t, in[0])) * quantity.FluidOunce).In(ml))
			default:
				t.Errorf("no check %q", row[2])
			}
		})
	}
}

func cartridge(t testing.TB, m quantity.Mass, w tyre.Mounted, at air.Place) Filled {
	t.Helper()
	f, err := Cartridge(m, w, at)
	require.NoError(t, err)
	return f
}

func TestCartridge(t *testing.T) {
	trail := mounted(t, "61-622/30")
	last := Filled{}
	for grams := quantity.Mass(6); grams <= 60; grams++ {
		f := cartridge(t, grams*g, trail, workshop)
		assert.Greater(t, f.Round.Pressure, last.Round.Pressure, "more gas, more pressure")
		assert.GreaterOrEqual(t, f.Flat.Pressure, last.Flat.Pressure)
		assert.LessOrEqual(t, f.Round.Low, f.Round.Pressure)
		assert.LessOrEqual(t, f.Round.Pressure, f.Round.High)
		assert.LessOrEqual(t, f.Flat.Pressure, f.Round.Pressure)
		if !f.Limp {
			assert.InDelta(t, 101325, float64(f.Round.Pressure-f.Flat.Pressure), 1e-6, "one atmosphere apart")
			// There and back, from both starts.
			for s := Round; s <= Flat; s++ {
				m, err := Needed(f.From(s).Pressure, trail, workshop, s)
				require.NoError(t, err)
				assert.InDelta(t, float64(grams), m.In(g), 1e-9)
			}
		}
		last = f
	}
	// Cold lowers it, a larger tyre too; height helps a squashed one.
	cold := cartridge(t, 16*g, trail, air.Place{Temperature: quantity.Celsius(-5)})
	warm := cartridge(t, 16*g, trail, workshop)
	assert.Less(t, cold.Round.Pressure, warm.Round.Pressure)
	// And what it is in the cold comes back by warming as any gas: read by the gas law.
	reading, err := air.Read(cold.Round.Pressure, air.Place{Temperature: quantity.Celsius(-5)}, workshop)
	require.NoError(t, err)
	assert.InDelta(t, psi(warm.Round.Pressure), psi(reading.Read), 1.6, "the air inside was weighed at -5 °C already")
	assert.Less(t, cartridge(t, 16*g, mounted(t, "71-584/35"), workshop).Round.Pressure, warm.Round.Pressure)
	high := cartridge(t, 16*g, trail, air.Place{Temperature: 293.15, Height: 3000})
	assert.Greater(t, high.Flat.Pressure, warm.Flat.Pressure)
	assert.InDelta(t, float64(warm.Round.Pressure), float64(high.Round.Pressure), 1e-6)
	// A fat tyre isn't even rounded by 16 g.
	fat := cartridge(t, 16*g, mounted(t, "117-559/80"), workshop)
	assert.True(t, fat.Limp)
	assert.Zero(t, float64(fat.Flat.Pressure))
	assert.Positive(t, fat.Round.Pressure)
}

func TestCartridgeFor(t *testing.T) {
	trail := mounted(t, "61-622/30")
	one := func(target, most float64, s Start) Choice {
		c, err := CartridgeFor(quantity.Gauge(target*quantity.PSI), quantity.Gauge(most*quantity.PSI), trail, workshop, s)
		require.NoError(t, err)
		return c
	}
	c := one(20, 0, Round)
	assert.InDelta(t, 16, c.Size.In(g), 1e-9, "16 g give 20.3 psi")
	assert.Equal(t, 1, c.Count)
	assert.Zero(t, float64(c.Below))
	c = one(20, 36, Flat)
	assert.Zero(t, c.Count, "38 g in a tyre that is still round are 47 psi")
	assert.True(t, c.Exceeds)
	assert.InDelta(t, 25, c.Below.In(g), 1e-9)
	c = one(20, 60, Flat)
	assert.InDelta(t, 38, c.Size.In(g), 1e-9)
	assert.InDelta(t, 45, c.Below.In(g), 1e-9)
	// Always enough, and the next lighter not.
	for target := 1.0; target < 50; target++ {
		for s := Round; s <= Flat; s++ {
			c := one(target, 0, s)
			assert.GreaterOrEqual(t, psi(c.Filled.From(s).Pressure), target-1e-9)
			if c.Count == 1 {
				for _, size := range Sizes() {
					if size < c.Size {
						assert.Less(t, psi(cartridge(t, size, trail, workshop).From(s).Pressure), target)
					}
				}
			}
		}
	}
	fat, err := CartridgeFor(8*quantity.PSI, 0, mounted(t, "117-559/80"), workshop, Flat)
	require.NoError(t, err)
	assert.Equal(t, 2, fat.Count, "a fat tyre takes two")
	// A road tyre that can't be asked for so much without running over.
	road, err := CartridgeFor(10*quantity.Bar, 0, mounted(t, "25-622/17"), workshop, Flat)
	require.NoError(t, err)
	assert.True(t, road.Exceeds)
}

func TestKitFor(t *testing.T) {
	tyres := []Tyre{
		{mounted(t, "57-622/28"), 20 * quantity.PSI, 50 * quantity.PSI},
		{mounted(t, "66-622/35"), 20 * quantity.PSI, 40 * quantity.PSI},
		{mounted(t, "25-622/17"), 20 * quantity.PSI, 110 * quantity.PSI},
	}
	k, err := KitFor(tyres, workshop, Round)
	require.NoError(t, err)
	assert.Equal(t, 1, k.Biggest)
	assert.InDelta(t, 20, k.Choice.Size.In(g), 1e-9)
	require.Len(t, k.Each, 3)
	for i, each := range k.Each {
		assert.Equal(t, i == 2, each.Exceeds)
	}
	_, err = KitFor(nil, workshop, Round)
	assert.EqualError(t, err, "no tyre: want at least one")
	tyres[1].Most = 10 * quantity.PSI
	k, err = KitFor(tyres, workshop, Round)
	require.NoError(t, err)
	assert.True(t, k.Choice.Exceeds)
	assert.Empty(t, k.Each)
}

func TestStrokes(t *testing.T) {
	trail := mounted(t, "61-622/30")
	one := func(from, to float64, stroke quantity.Volume, e Efficiency, h quantity.Length) Pumping {
		p, err := Strokes(quantity.Gauge(from*quantity.PSI), quantity.Gauge(to*quantity.PSI), trail, stroke, e, h)
		require.NoError(t, err)
		return p
	}
	base := one(0, 25, 100*ml, 1, 0)
	assert.InDelta(t, base.Round*2, one(0, 25, 100*ml, 0.5, 0).Round, 1e-9, "half arrives, twice as often")
	assert.InDelta(t, base.Round, one(0, 10, 100*ml, 1, 0).Round+one(10, 25, 100*ml, 1, 0).Round, 1e-9, "in two goes")
	assert.InDelta(t, float64(trail.Volume/(100*ml)), base.Flat-base.Round, 1e-9, "one volume of air more from flat")
	assert.Greater(t, one(0, 25, 100*ml, 1, 3000).Round, base.Round, "thin air, more strokes")
	assert.Zero(t, one(25, 25, 100*ml, 1, 0).Round)
	assert.Equal(t, 108, Whole(107.01))
	assert.Equal(t, 107, Whole(107))
}

func TestDoses(t *testing.T) {
	last := Volumes{}
	for label := 18.0; label <= 132; label++ {
		d, err := DoseFor(quantity.Length(label)*mm, false)
		require.NoError(t, err)
		assert.GreaterOrEqual(t, d.New.Low, last.Low, "wider, not less")
		assert.GreaterOrEqual(t, d.New.High, last.High)
		last = d.New
		with, err := DoseFor(quantity.Length(label)*mm, true)
		require.NoError(t, err)
		assert.InEpsilon(t, 1.2, float64(with.New.Low/d.New.Low), 1e-9)
		assert.InEpsilon(t, 1.5, float64(with.New.High/d.New.High), 1e-9)
		assert.InDelta(t, 0.5, float64(d.TopUp.Low/d.New.Low), 1e-12)
	}
	for label, want := range map[float64]float64{28: 30, 40: 60, 61: 90, 66: 90, 71: 120, 117: 120} {
		d, err := DoseFor(quantity.Length(label)*mm, false)
		require.NoError(t, err)
		assert.InDelta(t, want, d.New.Low.In(ml), 1e-9, "%v mm", label)
	}
	// The surface is that of a torus where the tyre is nearly a whole one.
	m := mounted(t, "61-622/30")
	assert.InEpsilon(t, math.Pi*(0.622+float64(m.Height))*float64(m.Casing), float64(InnerSurface(m)), 0.05)
	// Added up in small strips from bead to bead.
	r, alpha, sum := float64(m.Width)/2, math.Asin(float64(m.Rim/m.Width)), 0.0
	const strips = 10000
	half := math.Pi - alpha
	for i := range strips {
		at := half * (2*(float64(i)+0.5)/strips - 1)
		radius := float64(m.Seat)/2 + float64(m.Height) - r + r*math.Cos(at)
		sum += 2 * math.Pi * radius * r * 2 * half / strips
	}
	assert.InEpsilon(t, sum, float64(InnerSurface(m)), 1e-6)
	assert.Greater(t, InnerSurface(mounted(t, "66-584/30")), InnerSurface(mounted(t, "61-584/30")))
	assert.Zero(t, float64(InnerSurface(tyre.Mounted{})))
}

func TestTapeAndValve(t *testing.T) {
	tape, err := TapeFor(30*mm, 622*mm, 2)
	require.NoError(t, err)
	assert.InDelta(t, 2*math.Pi*622+100, tape.Length.MM(), 1e-6)
	narrow, wide, err := RimsFor(32 * mm)
	require.NoError(t, err)
	assert.InDelta(t, 28, narrow.MM(), 1e-9)
	assert.InDelta(t, 30, wide.MM(), 1e-9)
	v, err := ValveFor(25 * mm)
	require.NoError(t, err)
	assert.InDelta(t, 40, v.MM(), 1e-9)
}

func TestRefusals(t *testing.T) {
	m := mounted(t, "61-622/30")
	nan := math.NaN()
	for _, c := range []struct {
		err  func() error
		want string
	}{
		{func() error { _, err := Cartridge(200*g, m, workshop); return err }, "cartridge 0.2 kg: want 0 kg to 0.15 kg"},
		{func() error { _, err := Cartridge(16, m, workshop); return err }, "cartridge 16 kg"},
		{func() error { _, err := Cartridge(quantity.Mass(nan), m, workshop); return err }, "cartridge NaN kg"},
		{func() error { _, err := Cartridge(16*g, m, air.Place{Temperature: 20}); return err }, "temperature -253.1 °C: want -40 °C to 60 °C"},
		{func() error { _, err := Cartridge(16*g, tyre.Mounted{}, workshop); return err }, "volume 0 l"},
		{func() error { _, _, err := RimsFor(9 * mm); return err }, "tape 9 mm"},
		{func() error { _, err := Needed(quantity.Gauge(nan), m, workshop, Round); return err }, "target NaN"},
		{func() error { _, err := CartridgeFor(1e5, -1, m, workshop, Round); return err }, "maximum"},
		{func() error { _, err := Strokes(0, 1e5, m, 50*quantity.Litre, 1, 0); return err }, "pump 50 l: want 0.01 l to 2 l"},
		{func() error { _, err := Strokes(2e5, 1e5, m, 50*ml, 1, 0); return err }, "target 1 bar: want 2 bar to 15 bar"},
		{func() error { _, err := Strokes(0, 1e5, m, 50*ml, 0, 0); return err }, "efficiency 0 %: want 20 % to 100 %"},
		{func() error { _, err := Strokes(0, 1e5, m, 50*ml, 1, 90000); return err }, "height 90000 m"},
		{func() error { _, err := DoseFor(0, false); return err }, "label 0 mm"},
		{func() error { _, _, err := Serves(1, Volumes{0.1, 0.1}); return err }, "bottle 1000 l"},
		{func() error {
			_, _, err := Serves(quantity.Litre, Volumes{90 * ml, 80 * ml})
			return err
		}, "dose"},
		{func() error { _, err := TapeFor(3*mm, 0, 1); return err }, "rim 3 mm"},
		{func() error { _, err := TapeFor(30*mm, 622*mm, 9); return err }, "turns 9: want 1 to 4"},
		{func() error { _, err := ValveFor(quantity.Length(nan)); return err }, "rim depth NaN"},
	} {
		err := c.err()
		assert.ErrorContains(t, err, c.want)
		var out *quantity.RangeError
		assert.ErrorAs(t, err, &out)
	}
	_, err := Cartridge(45*g, mounted(t, "25-622/17"), workshop)
	assert.EqualError(t, err, "cartridge 45 g: want less in 1.003 l")
}

func FuzzCartridge(f *testing.F) {
	f.Add(0.016, 293.15, 0.0, 61.0, 30.0)
	f.Fuzz(func(t *testing.T, gas, kelvin, height, label, rim float64) {
		m, err := tyre.Mount(quantity.Length(label)*mm, 622*mm, quantity.Length(rim)*mm)
		if err != nil {
			return
		}
		at := air.Place{Temperature: quantity.Temperature(kelvin), Height: quantity.Length(height)}
		out, err := Cartridge(quantity.Mass(gas), m, at)
		if err == nil && (!quantity.Finite(out.Round.Low, out.Round.High, out.Flat.Low, out.Flat.High) || out.Flat.Low < 0) {
			t.Fatalf("Cartridge(%v, %v, %v) = %v", gas, m, at, out)
		}
	})
}
