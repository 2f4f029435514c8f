package commands

import (
	"context"
	"fmt"
	"math"
	"math/rand/v2"
	"regexp"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"spokeword/calc/quantity"
	"spokeword/commands/reply"
)

// asking is a canonical line with options that a test may change.
type asking struct {
	tyre, rim, riding, rest string
	rider                   float64 // kg
}

func (a asking) line() string {
	return fmt.Sprintf(`pressure rider:"%v kg" tyre:"%s" rim:"%s" riding:%s %s`, a.rider, a.tyre, a.rim, a.riding, a.rest)
}

// someone returns a set-up that the model covers.
func someone(rng *rand.Rand) asking {
	setups := []asking{
		{tyre: "29x2.4", rim: "30 mm", riding: "trail"},
		{tyre: "29x2.25", rim: "25 mm", riding: "xc"},
		{tyre: "27.5x2.6", rim: "33 mm", riding: "enduro"},
		{tyre: "29x2.5/29x2.4", rim: "30 mm", riding: "downhill"},
		{tyre: "27.5x2.8", rim: "35 mm", riding: "trail"},
		{tyre: "26x4.6", rim: "80 mm", riding: "snow"},
		{tyre: "700x40", rim: "23 mm", riding: "gravel"},
		{tyre: "700x28", rim: "19 mm", riding: "road"},
	}
	a := setups[rng.IntN(len(setups))]
	a.rider = 45 + float64(rng.IntN(700))/10
	if rng.IntN(3) == 0 {
		a.rest = "system:tubes"
	}
	return a
}

func TestMoreWeightNeverLessPressure(t *testing.T) {
	rng := rand.New(rand.NewPCG(1, 2))
	desk := newDesk(t)
	for range 150 {
		a := someone(rng)
		b := a
		b.rider += 0.1 + float64(rng.IntN(80))/10
		light, heavy := said(t, desk, a.line()), said(t, desk, b.line())
		if light.Refused || heavy.Refused {
			continue // a ceiling
		}
		for _, end := range endNames {
			if l, h := value(t, light, end+".start"), value(t, heavy, end+".start"); h < l {
				t.Errorf("%s: %s %v, with %v kg %v: want no less", a.line(), end, l, b.rider, h)
			}
		}
	}
}

var pressures = regexp.MustCompile(`(\d+(?:\.\d+)?) (psi|bar)\b`)

// shownPressures returns the figures of the lead and of the table of starts, in Pa.
func shownPressures(t *testing.T, r reply.Reply) []float64 {
	var all []float64
	add := func(figure, unit string) {
		v, err := quantity.Number(figure)
		require.NoError(t, err)
		u, ok := quantity.UnitNamed(unit)
		require.True(t, ok, unit)
		all = append(all, u.SI(v))
	}
	for _, l := range r.Lead {
		for _, m := range pressures.FindAllStringSubmatch(l, -1) {
			add(m[1], m[2])
		}
	}
	require.NotEmpty(t, r.Tables, r.Line)
	starts := r.Tables[0]
	for _, row := range starts.Rows {
		for i, head := range starts.Head[1:] {
			unit := strings.TrimPrefix(head, "band ")
			for f := range strings.SplitSeq(row.Cells[i+1], "–") {
				add(f, unit)
			}
		}
	}
	return all
}

// TestNoFigureShownExceedsAMaximum sets marks close to the start, where
// rounding to the nearest would step over them.
func TestNoFigureShownExceedsAMaximum(t *testing.T) {
	rng := rand.New(rand.NewPCG(3, 4))
	desk := newDesk(t)
	bound := 0
	for range 300 {
		a := someone(rng)
		free := said(t, desk, a.line())
		if free.Refused {
			continue
		}
		top := max(value(t, free, "front.start"), value(t, free, "rear.start"))
		mark := top * (0.985 + 0.1*rng.Float64())
		text, unit := quantity.Fixed(mark/quantity.PSI, 1), "psi"
		if rng.IntN(2) == 0 {
			text, unit = quantity.Fixed(mark/quantity.Bar, 2), "bar"
		}
		most, err := quantity.ParseMeasure(text + " " + unit)
		require.NoError(t, err)
		option := []string{"tyremax", "rimmax"}[rng.IntN(2)]
		a.rest += fmt.Sprintf(` %s:"%s %s"`, option, text, unit)
		r := said(t, desk, a.line())
		if r.Refused {
			assert.Greater(t, top, most.SI(), a.line())
			assert.NotContains(t, whole(r), "front.start", a.line())
			assert.Contains(t, r.Lead[0], "above its maximum", a.line())
			continue
		}
		bound++
		for _, v := range r.Values {
			if v.Unit == reply.Pascals && !strings.HasSuffix(v.Name, "delta") && v.Value > most.SI()*(1+1e-12) {
				t.Errorf("%s: %s = %v Pa, want at most %v", a.line(), v.Name, v.Value, most)
			}
		}
		for _, p := range shownPressures(t, r) {
			if p > most.SI()*(1+1e-12) {
				t.Errorf("%s: shows %.4f psi, want at most %v (%.4f psi)", a.line(), p/quantity.PSI, most, most.SI()/quantity.PSI)
			}
		}
	}
	assert.Greater(t, bound, 100, "set-ups with a mark just above the start")
}

func TestAMirroredWheelHasMirroredLengths(t *testing.T) {
	rng := rand.New(rand.NewPCG(5, 6))
	desk := newDesk(t)
	for range 60 {
		l, r := 18+rng.Float64()*20, 16+rng.Float64()*20
		cl, cr := 40+rng.Float64()*22, 40+rng.Float64()*22
		shift, cross := rng.Float64()*3, 1+rng.IntN(3)
		wheel := func(l, r, cl, cr float64, side string) reply.Reply {
			return said(t, desk, fmt.Sprintf(`spokes erd:"600 mm" circle:"%.2f mm/%.2f mm" offset:"%.2f mm/%.2f mm" holes:32 cross:%d shift:"%.2f mm %s"`, cl, cr, l, r, cross, shift, side))
		}
		a, b := wheel(l, r, cl, cr, "left"), wheel(r, l, cr, cl, "right")
		assert.InDelta(t, value(t, a, "left.length"), value(t, b, "right.length"), 1e-9, a.Line)
		assert.InDelta(t, value(t, a, "right.length"), value(t, b, "left.length"), 1e-9, a.Line)
		assert.InDelta(t, 1, value(t, a, "tension.ratio")*value(t, b, "tension.ratio"), 1e-9, a.Line)
	}
}

// TestValuesAreFiniteAndNamed asks all lines that people typed.
func TestValuesAreFiniteAndNamed(t *testing.T) {
	for _, l := range typedLines(t) {
		for _, r := range fresh(t, l.Line) {
			assert.False(t, r.Fault, l.Line)
			for _, v := range r.Values {
				unit, ok := reply.NameUnit(v.Name)
				if !ok || unit != reply.AnyUnit && unit != v.Unit {
					t.Errorf("%q: value %q in %q, want a known name and %q", l.Line, v.Name, v.Unit, unit)
				}
				for _, f := range []float64{v.Value, v.Low, v.High} {
					if math.IsNaN(f) || math.IsInf(f, 0) {
						t.Errorf("%q: %s = %v, want a finite value", l.Line, v.Name, f)
					}
				}
				if v.High != 0 && (v.Low > v.Value || v.Value > v.High) && !strings.HasSuffix(v.Name, "length") {
					t.Errorf("%q: %s = %v outside its band %v to %v", l.Line, v.Name, v.Value, v.Low, v.High)
				}
			}
			text := whole(r)
			for _, bad := range []string{"NaN", "Inf", "%!", "  "} {
				assert.NotContains(t, text, bad, l.Line)
			}
		}
	}
}

// TestPublicHoldsNothingOfTheWeight shares answers and looks for the weight
// and the sums from which it could be read, in every text and value.
func TestPublicHoldsNothingOfTheWeight(t *testing.T) {
	for _, x := range []struct {
		line   string
		digits []string
	}{
		// 83.7 + 17 = 100.7 kg; on the wheels 48.13 and 52.57
		{"pressure 83.7kg 29x2.4 30mm trail", []string{"83.7", "100.7", "48.13", "52.57", "185", "184"}},
		{"pressure 187.3lb 29x2.4 30mm trail", []string{"187", "84.9", "84.96", "101.9"}},
		{"pressure 13st11 29x2.4 30mm trail", []string{"13 st 11", "11 lb", "193", "87.5"}},
		{"83.7kg 29x2.4 30mm 26psi ok", []string{"83.7", "100.7"}},
		{"pressure 83.7kg 29x2.4 30mm trail tyre max 24 psi", []string{"83.7", "100.7"}},
		{"pressure 83.7kg 25-622 30mm", []string{"83.7"}},
		{"pressure 83.7kg", []string{"83.7"}},
		{"pressure 683.7kg 29x2.4", []string{"683"}},
	} {
		desk := newDesk(t)
		answer := said(t, desk, x.line)
		replies := []reply.Reply{answer}
		if answer.Ask == nil && !answer.Mistake {
			replies = append(replies, said(t, desk, "why"))
		}
		for _, r := range replies {
			public := r.Public()
			text := whole(public)
			for _, v := range public.Values {
				text += fmt.Sprintf("\n%s=%v", v.Name, v.Value)
				assert.False(t, v.Personal, v.Name)
			}
			for _, d := range x.digits {
				assert.NotContains(t, text, d, "%s shared as %s", x.line, r.Command)
			}
			assert.Nil(t, public.Explain)
		}
	}
	shared := asked(t, "pressure 83.7kg 29x2.4 30mm trail").Public()
	assert.Contains(t, whole(shared), "for this rider and bike", "it still says for whom the figures are")
	assert.False(t, math.IsNaN(value(t, shared, "front.start")))
}

func TestTheSameQuestionInOtherUnitsHasTheSameValues(t *testing.T) {
	for _, x := range [][2]string{
		{`pressure rider:"80 kg" tyre:29x2.4 rim:"30 mm" riding:trail`, `pressure rider:"176.36980974790206 lb" tyre:29x2.4 rim:"30 mm" riding:trail`},
		{`pressure rider:"85.72895793 kg" tyre:29x2.4 rim:"30 mm"`, `pressure rider:"13 st 7 lb" tyre:29x2.4 rim:"30 mm"`},
		{`pressure rider:"80 kg" tyre:29x2.4 tyremax:"2.5 bar"`, `pressure rider:"80 kg" tyre:29x2.4 tyremax:"36.259434 psi"`},
		{`pressure rider:"80 kg" tyre:29x2.4 pressure:"1.723689323292 bar"`, `pressure rider:"80 kg" tyre:29x2.4 pressure:"25 psi"`},
		{`pressure rider:"80 kg" tyre:29x2.4 rim:"30.48 mm"`, `pressure rider:"80 kg" tyre:29x2.4 rim:"1.2 in"`},
		{`fit tyre:"60.96 mm" rim:"25.4 mm"`, `fit tyre:"2.4 in" rim:"1 in"`},
		{`fit tyre:29x2.4 gap:"76.2 mm"`, `fit tyre:29x2.4 gap:"3 in"`},
		{`spokes erd:"609.6 mm" circle:"58 mm" offset:"36 mm/21 mm" holes:32 cross:3`, `spokes erd:"24 in" circle:"58 mm" offset:"36 mm/21 mm" holes:32 cross:3`},
		{`convert quantity:"1.6 bar" to:psi`, `convert quantity:"160 kPa" to:psi`},
	} {
		a, b := asked(t, x[0]), asked(t, x[1])
		if len(a.Values) == 0 || len(a.Values) != len(b.Values) {
			t.Errorf("%s: %v values, in other units %v %s", x[0], len(a.Values), len(b.Values), b.Error)
			continue
		}
		for i, v := range a.Values {
			assert.Equal(t, v.Name, b.Values[i].Name)
			assert.InDelta(t, v.Value, b.Values[i].Value, 1e-6*math.Abs(v.Value)+1e-9, "%s of %s", v.Name, x[1])
			assert.Equal(t, v.Text, b.Values[i].Text)
		}
	}
}

// TestAReplyIsPrivateIfItTellsOfAPerson asks all lines that people typed, and
// those that were made up.
func TestAReplyIsPrivateIfItTellsOfAPerson(t *testing.T) {
	private := 0
	for _, l := range append(typedLines(t), tradeLines(t)...) {
		if len(l.Talk) > 0 {
			continue
		}
		for _, r := range fresh(t, l.Line) {
			if r.Command == "forget" {
				continue // what is kept for a person is theirs
			}
			personal := false
			for _, i := range r.Read {
				personal = personal || i.Personal
			}
			if r.Ask != nil && r.Ask.Option == "ambiguous" { // two readings may tell of one too; a menu of weights tells of nobody
				for _, c := range r.Ask.Choices {
					personal = personal || strings.Contains(c.Line, " rider:")
				}
			}
			for _, a := range r.Actions { // so may what is offered besides
				personal = personal || strings.Contains(a.Line, " rider:")
			}
			assert.Equal(t, personal, r.Private, l.Line)
			if personal {
				private++
			}
		}
	}
	assert.Greater(t, private, 10)
}

// TestAWeightThatIsNotUsedIsPrivate: it is repeated under what was not used,
// and in what is offered besides.
func TestAWeightThatIsNotUsedIsPrivate(t *testing.T) {
	for line, private := range map[string]bool{
		"fit 2.5 on 25mm 83.7kg":          true,
		"fit 2.5 on 25mm 183 lb":          true,
		"fit 2.5 on 25mm 13st":            true,
		"fit 2.5 on 25mm what psi 83.7kg": true,
		"fit 2.5 on 25mm 83":              false, // read as psi, and said
		"fit 2.5 on 25mm 5kg":             false, // a bag, no rider
		"fit 2.5 on 25mm 2 bar":           false,
	} {
		r := asked(t, line)
		assert.Equal(t, "fit", r.Command, line)
		assert.Equal(t, private, r.Private, "%s: %v", line, r.Unused)
		if private {
			assert.NotContains(t, whole(r.Public()), "83", line)
		}
	}
}

// TestTalkStaysWithWhoAsked: neither another person nor another channel hears
// of what was asked, by why or by going on.
func TestTalkStaysWithWhoAsked(t *testing.T) {
	desk := newDesk(t)
	ask := func(who Asker, line string) reply.Reply {
		r := desk.Ask(context.Background(), who, line)
		require.Len(t, r, 1)
		return r[0]
	}
	ann, bob := Asker{Workspace: "w", Channel: "c", User: "ann"}, Asker{Workspace: "w", Channel: "c", User: "bob"}
	annElsewhere, annAtHome := Asker{Workspace: "w", Channel: "d", User: "ann"}, Asker{Workspace: "v", Channel: "c", User: "ann"}
	ask(ann, "pressure 83.7kg 29x2.4 30mm trail")
	for _, who := range []Asker{bob, annElsewhere, annAtHome} {
		assert.True(t, ask(who, "why").Mistake, "%v is told why", who)
		for _, line := range []string{"same but 2.6", "and with tubes?", "27.5x2.6 psi?"} {
			assert.NotContains(t, whole(ask(who, line)), "83.7", "%v asks %q", who, line)
		}
	}
	assert.Contains(t, whole(ask(ann, "why")), "83.7")
	// An open question is answered by who was asked.
	ask(ann, "29x2.4 30mm trail psi?")
	assert.NotContains(t, whole(ask(bob, "83.7 kg")), "29x2.4")
}
