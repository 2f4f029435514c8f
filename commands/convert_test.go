package commands

import (
	"fmt"
	"math/rand/v2"
	"os/exec"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"spokeword/calc/quantity"
)

// Fractions of an inch are read as the trade writes them. An inch is 25.4 mm,
// exactly, since 1959; the millimetres are worked by hand.
func TestFractionsOfAnInchAreRead(t *testing.T) {
	for line, want := range map[string]float64{
		"5/8 in in mm":                      15.875,
		"convert 5/8 in":                    15.875,
		"convert 5/8in":                     15.875,
		"5/8\" to mm":                       15.875,
		"⅝ in in mm":                        15.875,
		"1 3/8 in in mm":                    34.925,
		"1 3/8 in to mm":                    34.925,
		"1-3/8 in to mm":                    34.925,
		"1⅜″ to mm":                         34.925,
		"how many mm is 3/8 inch":           9.525,
		"9/16 inch to mm":                   14.2875,
		"13/64 in to mm":                    5.159375,
		"3/16 in mm":                        4.7625,
		`convert quantity:"5/8 in"`:         15.875,
		`convert quantity:"1 3/8 in" to:mm`: 34.925,
		"5 ft 10 1/2 in in mm":              1790.7,
		"2/3 in in mm":                      25.4 * 2 / 3,
	} {
		r := asked(t, line)
		require.Empty(t, r.Error, line)
		require.Equal(t, "convert", r.Command, line)
		assert.InDelta(t, want, value(t, r, "value")*1000, 1e-9, line)
		shown := numbersIn(t, strings.ReplaceAll(r.Lead[0][strings.LastIndex(r.Lead[0], " is "):], ",", ""))
		assert.InDelta(t, want, shown[0], 0.000501, line) // half of the last digit
	}
}

// A pair of numbers is no fraction.
func TestAPairIsNoFraction(t *testing.T) {
	r := newReader(t)
	for line, want := range map[string]string{
		"22/25 psi in bar":   `convert quantity:"22 psi/25 psi" to:bar`,
		"22/26 in in mm":     `convert quantity:"22 in/26 in" to:mm`,
		"1/2 bar in psi":     `convert quantity:"1 bar/2 bar" to:psi`,
		"7/8 kg in lb":       `convert quantity:"7 kg/8 kg" to:lb`,
		"26x1 3/8 in":        `size tyre:"26x1 3/8"`,
		"29x2.5/2.4 on 30mm": `fit tyre:"29x2.5/29x2.4" rim:"30 mm"`,
		"3 1/2 lb in kg":     `convert quantity:"3.5 lb" to:kg`,
		"22 1/2 psi in bar":  `convert quantity:"22.5 psi" to:bar`,
	} {
		assert.Equal(t, want, readOne(t, r, line).Line(), line)
	}
	pair := asked(t, "2/3 in in mm")
	assert.InDelta(t, 0.0508, value(t, pair, "front.value"), 1e-12)
	assert.InDelta(t, 0.0762, value(t, pair, "rear.value"), 1e-12)
	assert.Contains(t, asked(t, "5/0 in to mm").Error, "5/0 in")
}

// gnuUnits are our units as GNU units knows them
// (https://www.gnu.org/software/units/), a program for conversions in general.
var gnuUnits = map[quantity.Unit]string{
	quantity.MM: "mm", quantity.CM: "cm", quantity.M: "m", quantity.KM: "km", quantity.IN: "inch", quantity.FT: "ft",
	quantity.KG: "kg", quantity.G: "g", quantity.LB: "lb", quantity.OZ: "oz",
	quantity.N: "N", quantity.KGF: "kgf", quantity.LBF: "lbf",
	quantity.PSIUnit: "psi", quantity.BarUnit: "bar", quantity.KPAUnit: "kPa",
	quantity.L: "liter", quantity.ML: "ml", quantity.FLOZ: "usfloz",
	quantity.DegC: "tempC", quantity.DegF: "tempF",
}

// TestConversionsAgreeWithGNUUnits asks that program for what we answer.
func TestConversionsAgreeWithGNUUnits(t *testing.T) {
	program, err := exec.LookPath("units")
	if err != nil {
		t.Skip("found no program units: want GNU units (Debian package units) to check against")
	}
	type question struct{ line, have, want string }
	var all []question
	rng := rand.New(rand.NewPCG(31, 32))
	for from := range gnuUnits {
		for into := range gnuUnits {
			if from == into || from.Kind() != into.Kind() {
				continue
			}
			number := quantity.Trimmed(1+200*rng.Float64(), 1+rng.IntN(3))
			q := question{line: fmt.Sprintf(`convert quantity:"%s %s" to:"%s"`, number, from, into), have: number + " " + gnuUnits[from], want: gnuUnits[into]}
			if from.Kind() == quantity.KindTemperature {
				q.have = gnuUnits[from] + "(" + number + ")"
			}
			all = append(all, q)
		}
	}
	for _, whole := range []int{0, 1, 2, 12} {
		for _, under := range []int{2, 4, 8, 16, 32, 64} {
			over := 1 + 2*rng.IntN(under/2)
			text := fmt.Sprintf("%d/%d", over, under)
			if whole > 0 {
				text = fmt.Sprintf("%d %s", whole, text)
			}
			all = append(all, question{line: text + " in to mm", have: fmt.Sprintf("(%d + %d|%d) inch", whole, over, under), want: "mm"})
		}
	}
	var in strings.Builder
	for _, q := range all {
		fmt.Fprintf(&in, "%s\n%s\n", q.have, q.want)
	}
	run := exec.Command(program, "--terse", "--quiet", "--digits", "15")
	run.Stdin = strings.NewReader(in.String())
	out, err := run.Output()
	require.NoError(t, err)
	answers := strings.Fields(string(out))
	require.Len(t, answers, len(all), "one number for each question")
	reader, desk := newReader(t), newDesk(t)
	for i, q := range all {
		want, err := quantity.Number(answers[i])
		if err != nil {
			continue // 1e-05, in powers of ten
		}
		r := said(t, desk, q.line)
		require.Empty(t, r.Error, q.line)
		req := readOne(t, reader, q.line)
		typed, _ := amount.Of(req)
		into, _ := to.Of(req)
		assert.InEpsilon(t, want, typed.Any().To(into).Number, 1e-9, "%s: GNU units says %s", q.line, answers[i])
		shown := numbersIn(t, r.Lead[0][strings.LastIndex(r.Lead[0], " is "):])[0]
		assert.InDelta(t, want, shown, 0.50001, "%s: shown as %s", q.line, r.Lead[0]) // of a whole kPa, g, N or ml
		assert.InDelta(t, typed.Any().SI(), value(t, r, "value"), 1e-9*typed.Any().SI(), q.line)
	}
}
