package quantity

import (
	"math"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func TestNumberReadsWhatPeopleWrite(t *testing.T) {
	for text, want := range map[string]float64{
		"2.4": 2.4, "2,4": 2.4, "36,1": 36.1, "−5": -5, "–3": -3, "+2": 2, ".5": 0.5,
		"2,300": 2300, "1'600": 1600, "1’600": 1600, "2,300.5": 2300.5, "1,234,567": 1234567,
		"0,850": 0.85, "1 3/8": 1.375, "1½": 1.5, "½": 0.5, "3/8": 0.375, "1³": math.NaN(),
	} {
		v, err := Number(text)
		if math.IsNaN(want) {
			assert.Error(t, err, text)
			continue
		}
		require.NoError(t, err, text)
		assert.InDelta(t, want, v, 1e-12, text)
	}
	for _, text := range []string{"", " ", "-", "1.2.3", "2.300,5", "NaN", "inf", "0x10", "1e5", "4/3", "1/7", strings.Repeat("9", 99)} {
		_, err := Number(text)
		assert.Error(t, err, text)
	}
}

func TestParseMeasureReadsUnits(t *testing.T) {
	for text, want := range map[string]Measure{
		"80 kg": {80, KG}, "82kilo": {82, KG}, "220LB": {220, LB}, "13 st 7 lb": {189, StonePound},
		"13st7": {189, StonePound}, "13st": {182, StonePound}, "5 ft 3 in": {63, FootInch},
		"5'3\"": {63, FootInch}, "2300 ft": {2300, FT}, "1,8 bar": {1.8, BarUnit}, "160kPa": {160, KPAUnit},
		"−5 °C": {-5, DegC}, "70f": {70, DegF}, "2.4\"": {2.4, IN}, "30": {30, NoUnit}, "4 fl oz": {4, FLOZ},
		"120 kgf": {120, KGF}, "60cc": {60, ML}, "1000 N": {1000, N}, "1 3/8 in": {1.375, IN},
	} {
		m, err := ParseMeasure(text)
		require.NoError(t, err, text)
		assert.Equal(t, want, m, text)
	}
	for _, text := range []string{"", "kg", "24 pis", "80 kg 3", "13 st 15 lb", "12.5 st 3 lb", "5 ft 13 in", "30 mm x"} {
		_, err := ParseMeasure(text)
		assert.Error(t, err, text)
	}
}

func TestMeasureIsWrittenBackUnchanged(t *testing.T) {
	for _, text := range []string{"80 kg", "13 st 7 lb", "13 st", "2.4 in", "-5 °C", "30", "1.65 bar", "5 ft 3 in", "120 kgf"} {
		m, err := ParseMeasure(text)
		require.NoError(t, err, text)
		assert.Equal(t, text, m.String())
	}
}

func TestRoundingNeverAllowsWhatTheNumberForbids(t *testing.T) {
	assert.Equal(t, "72.5", Gauge(5*Bar).Number(PSIUnit, Down), "5 bar is 72.52 psi: a maximum goes down")
	assert.Equal(t, "4.99", Gauge(72.5*PSI).Number(BarUnit, Down), "72.5 psi is 4.9987 bar")
	assert.Equal(t, "22.0", Gauge(22*PSI).Number(PSIUnit, Down), "a whole step is not pushed down by its last bits")
	for psi := 5.0; psi < 120; psi += 0.037 {
		for _, u := range []Unit{PSIUnit, BarUnit, KPAUnit} {
			down, err := Number(Gauge(psi*PSI).Number(u, Down))
			require.NoError(t, err)
			assert.LessOrEqual(t, u.SI(down), psi*PSI*(1+1e-8))
			up, err := Number(Gauge(psi*PSI).Number(u, Up))
			require.NoError(t, err)
			assert.GreaterOrEqual(t, u.SI(up), psi*PSI*(1-1e-8))
		}
	}
}

func TestTextShowsBothSystems(t *testing.T) {
	assert.Equal(t, "23.5 psi (1.61 bar)", Gauge(23.4*PSI).Text(PSIUnit, Nearest))
	assert.Equal(t, "1.61 bar (23.5 psi)", Gauge(23.4*PSI).Text(BarUnit, Nearest))
	assert.Equal(t, "80 kg (176 lb)", Mass(80).Text(KG))
	assert.Equal(t, "13 st 7 lb (85.7 kg)", Mass(189*Pound).Text(StonePound))
	assert.Equal(t, "61.1 mm (2.41 in)", Length(61.1*Millimetre).Text(MM))
	assert.Equal(t, "-5 °C (23 °F)", Celsius(-5).Text(DegC))
	assert.Equal(t, "±0", Signed(-0.001, 1))
	assert.Equal(t, "−2.5", Signed(-2.5, 1))
	assert.Equal(t, "0.0", Fixed(-0.01, 1), "never minus nought")
}

func FuzzParseMeasure(f *testing.F) {
	for _, s := range []string{"80 kg", "13st7", "5'3\"", "1 3/8 in", "−5 °C", "2,300 ft", "½ in", "0'0,0000001"} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, s string) {
		m, err := ParseMeasure(s)
		if err != nil {
			return
		}
		if !Finite(m.SI()) {
			t.Fatalf("ParseMeasure(%q) = %v, not finite", s, m)
		}
		if again, err := ParseMeasure(m.String()); err == nil && again != m {
			t.Fatalf("ParseMeasure(%q) = %v, read back as %v", s, m, again)
		}
	})
}

func BenchmarkParseMeasure(b *testing.B) {
	texts := []string{"80 kg", "13 st 7 lb", "1,8 bar", "2.4 in", "-5 °C", "602 mm"}
	for i := 0; b.Loop(); i++ {
		_, _ = ParseMeasure(texts[i%len(texts)])
	}
}
