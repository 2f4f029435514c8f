package tyre

import (
	"math"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"spokeword/calc/quantity"
	"spokeword/calc/size"
)

// The rows of testdata/worked/examples.csv that speak of tyres, each with its
// source and the tolerance that comes with it.
func TestWorkedExamples(t *testing.T) {
	done := 0
	for _, row := range records(t, "examples.csv") {
		if row["package"] != "tyre" {
			continue
		}
		done++
		t.Run(row["n"], func(t *testing.T) { worked(t, row) })
	}
	assert.Equal(t, 23, done)
}

// numbers returns every unsigned number in a text, in order.
func numbers(t *testing.T, text string) []float64 {
	t.Helper()
	var out []float64
	for _, s := range strings.FieldsFunc(text, func(r rune) bool { return (r < '0' || r > '9') && r != '.' }) {
		out = append(out, number(t, s))
	}
	return out
}

// first returns the first number of a text.
func first(t *testing.T, text string) float64 {
	t.Helper()
	n := numbers(t, text)
	require.NotEmpty(t, n, text)
	return n[0]
}

// pairing reads "28/25C" as a label on a rim.
func pairing(t *testing.T, text string) Pairing {
	t.Helper()
	label, rim, ok := strings.Cut(strings.TrimSuffix(text, "C"), "/")
	require.True(t, ok)
	return Pairing{Label: quantity.Length(number(t, label)) * mm, Rim: quantity.Length(number(t, rim)) * mm}
}

func judge(t *testing.T, p Pairing) Judgement {
	t.Helper()
	j, err := Judge(p)
	require.NoError(t, err)
	return j
}

func said(j Judgement, rule Rule) Says {
	for _, f := range j.Findings {
		if f.Rule == rule {
			return f.Says
		}
	}
	return Silent
}

func worked(t *testing.T, row map[string]string) {
	inputs, expected := strings.Split(row["input"], "|"), strings.Split(row["expected"], "|")
	tol := func() float64 { return number(t, row["tolerance"]) }
	percent := func() float64 { return number(t, strings.TrimSuffix(row["tolerance"], " %")) / 100 }
	switch row["check"] {
	case "outside":
		for i, in := range inputs {
			assert.InDelta(t, number(t, expected[i]), mark(t, in, 25).Outside.MM(), tol(), in)
		}
	case "fit":
		for i, in := range inputs {
			j := judge(t, pairing(t, in))
			switch expected[i] {
			case "listed":
				assert.Equal(t, For, said(j, PairTable), in)
				assert.Equal(t, Good, j.Verdict, in)
			case "not listed":
				assert.Equal(t, Against, said(j, PairTable), in)
				assert.Equal(t, Outside, j.Verdict, in)
			case "ok":
				assert.Equal(t, For, said(j, NewerPairs), in)
				assert.Contains(t, []Verdict{Good, Usable}, j.Verdict, in)
			case "outside":
				assert.Equal(t, Against, said(j, NewerPairs), in)
				assert.Equal(t, Outside, j.Verdict, in)
			}
		}
	case "outerwidths":
		s, err := Suits(quantity.Length(number(t, inputs[0])) * mm)
		require.NoError(t, err)
		assert.InDelta(t, number(t, expected[0]), s.OuterWidths.Low.MM(), tol())
		assert.InDelta(t, number(t, expected[1]), s.OuterWidths.High.MM(), tol())
	case "tablerim":
		for i, in := range inputs {
			rim, err := TableRim(quantity.Length(number(t, in)) * mm)
			require.NoError(t, err)
			assert.InDelta(t, number(t, expected[i]), rim.MM(), 1e-9, in)
		}
	case "hookless":
		p := pairing(t, inputs[0])
		p.Bead = size.Hookless
		j := judge(t, p)
		if expected[0] == "limit" {
			assert.NotEqual(t, No, j.Verdict)
			assert.True(t, j.AtLimit)
		} else {
			assert.Equal(t, No, j.Verdict)
			assert.Contains(t, j.Why, HooklessPlus5)
			assert.Contains(t, j.Why, Hookless29)
		}
		assert.True(t, j.NeedsHooklessTyre)
	case "hooklessmax":
		wish := quantity.Gauge(number(t, inputs[0]) * quantity.PSI)
		most := Limits{TyreMax: wish, Hookless: true}.Max(28 * mm)
		assert.True(t, most.Exceeds(wish))
		assert.Equal(t, HooklessRule, most.Rule)
		assert.True(t, most.RimUnknown)
		assert.InDelta(t, number(t, expected[0]), most.Pressure.In(quantity.PSI), tol())
	case "width":
		for i, in := range inputs {
			n := numbers(t, in) // label, rim it is true on, rim it is mounted on
			require.Len(t, n, 3)
			w, err := WidthOf(CasingOn(quantity.Length(n[0])*mm, quantity.Length(n[1])*mm), quantity.Length(n[2])*mm)
			require.NoError(t, err)
			assert.InDelta(t, number(t, expected[i]), w.MM(), tol(), in)
		}
	case "patch":
		n := numbers(t, inputs[0]) // label, rim it is true on, rim, seat, drop
		require.Len(t, n, 5)
		label, measured, rim, seat, drop := n[0], n[1], n[2], n[3], n[4]
		area, psi := first(t, expected[0]), first(t, expected[1])
		s, err := sectionOf(quantity.Length(label)*mm, CasingOn(quantity.Length(label)*mm, quantity.Length(measured)*mm), quantity.Length(rim)*mm)
		require.NoError(t, err)
		m, err := MountSection(s, quantity.Length(seat)*mm)
		require.NoError(t, err)
		if strings.HasSuffix(inputs[0], "of width") {
			drop *= float64(m.Width / m.Height)
		}
		a, err := m.PatchArea(Share(drop))
		require.NoError(t, err)
		assert.InEpsilon(t, area, a.In(quantity.SquareInch), percent())
		p, err := m.PressureFor(100*quantity.Pound, Share(drop))
		require.NoError(t, err)
		assert.InEpsilon(t, psi, p.In(quantity.PSI), percent())
	case "chart":
		for _, in := range inputs {
			label := number(t, in)
			rim, err := TableRim(quantity.Length(label) * mm)
			require.NoError(t, err)
			m, err := Mount(quantity.Length(label)*mm, 622*mm, rim)
			require.NoError(t, err)
			p, err := m.PressureFor(100*quantity.Pound, 0.15)
			require.NoError(t, err)
			assert.InDelta(t, number(t, expected[0]), p.In(quantity.PSI)/(120*100*math.Pow(label, -1.5)), tol(), in)
		}
	case "diameter":
		label := quantity.Length(number(t, inputs[0])) * mm
		var p [2]quantity.Gauge
		for i, seat := range []quantity.Length{622 * mm, 559 * mm} {
			m, err := Mount(label, seat, 25*mm)
			require.NoError(t, err)
			p[i], err = m.PressureFor(45, 0.15)
			require.NoError(t, err)
		}
		more := (float64(p[1]/p[0]) - 1) * 100
		assert.GreaterOrEqual(t, more, number(t, expected[0]))
		assert.LessOrEqual(t, more, number(t, expected[1]))
	case "stiffness", "press":
		n := numbers(t, inputs[0])
		require.Len(t, n, 5)
		label, seat, rim, bar, load := n[0], n[1], n[2], n[3], n[4]
		m, err := Mount(quantity.Length(label)*mm, quantity.Length(seat)*mm, quantity.Length(rim)*mm)
		require.NoError(t, err)
		got, err := m.Press(quantity.Mass(load), quantity.Gauge(bar*quantity.Bar))
		require.NoError(t, err)
		if row["check"] == "stiffness" {
			assert.GreaterOrEqual(t, got.Stiffness/1000, number(t, expected[0]))
			assert.LessOrEqual(t, got.Stiffness/1000, number(t, expected[1]))
			assert.InDelta(t, 73, got.Stiffness/1000, 0.5, "a second program's membrane")
			return
		}
		depth, share, stiffness := first(t, expected[0]), first(t, expected[1]), first(t, expected[2])
		assert.InEpsilon(t, depth, got.Depth.MM(), percent())
		assert.InEpsilon(t, share, float64(got.Depth/m.Width), percent())
		assert.InEpsilon(t, stiffness, got.Stiffness/1000, percent())
	case "atrest":
		total := number(t, inputs[0])
		assert.InDelta(t, number(t, expected[0]), total*float64(AtRestFront), 1e-9)
		assert.InDelta(t, number(t, expected[1]), total*float64(1-AtRestFront), 1e-9)
	case "frontshare":
		s, err := FrontShare(quantity.Length(number(t, inputs[0]))*mm, quantity.Length(number(t, inputs[1]))*mm)
		require.NoError(t, err)
		assert.InDelta(t, number(t, expected[0]), float64(s), tol())
	case "racing":
		for i, in := range inputs {
			c, err := Clear(quantity.Length(28+2*number(t, in))*mm, 28*mm)
			require.NoError(t, err)
			assert.Equal(t, expected[i] == "passes", c.Racing, in)
		}
	case "gap":
		c, err := Clear(quantity.Length(number(t, inputs[0]))*mm, quantity.Length(number(t, inputs[1]))*mm)
		require.NoError(t, err)
		assert.InDelta(t, number(t, expected[0]), c.Side.MM(), 1e-9)
		assert.False(t, c.Other, "warned: less than 6 mm")
		assert.True(t, c.Racing && c.Any)
	case "volume", "notvolume":
		tyre, rim, _ := strings.Cut(inputs[0], "/")
		litres := mark(t, tyre, number(t, rim)).Volume.In(quantity.Litre)
		if row["check"] == "volume" {
			assert.InEpsilon(t, number(t, expected[0]), litres, percent())
		} else {
			assert.Less(t, litres, number(t, expected[0])*(1-percent()))
		}
	default:
		t.Errorf("row %s: no check %q", row["n"], row["check"])
	}
}
