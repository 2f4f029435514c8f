package tyre

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"spokeword/calc/quantity"
	"spokeword/calc/size"
)

func TestVerdicts(t *testing.T) {
	for _, c := range []struct {
		label, rim float64
		riding     Riding
		want       Verdict
		why        string
	}{
		{60.96, 30, 0, Good, "2.4 on 30, the middle of trail"},
		{63.5, 30, Trail, Good, "2.5 on 30: practice, in spite of the old rule of thumb"},
		{63.5, 25, 0, Usable, "2.5 on 25: mounts, rounder than is ridden"},
		{63.5, 25, Trail, Usable, ""},
		{60.96, 25, 0, Usable, "2.4 on 25 by the ratio: rounder than 2.3"},
		{57.15, 25, XC, Good, "2.25 on 25, cross-country"},
		{55.88, 30, 0, Usable, "2.2 works on 30"},
		{58.42, 30, 0, Good, "2.3 on 30"},
		{60.96, 23, 0, Usable, "2.4 on 23: listed in 2006, the ratio of 2.55 is 2.46 within 2 mm of width"},
		{66.04, 25, 0, Outside, "2.6 on 25: in no list, the ratio of 2.53 is 2.45 within 2 mm of width"},
		{66.04, 23, 0, No, "2.6 on 23: beyond 2.5 by more than that"},
		{59.69, 30, 0, Good, "2.35 on 30"},
		{66.04, 30, 0, Good, "2.6 on 30"},
		{71.12, 30, 0, Usable, "2.8 works on 30"},
		{76.2, 30, 0, Usable, "3.0 on 30: beyond what works, inside 2.5"},
		{71.12, 25, 0, No, "2.8 on 25: ratio 2.66"},
		{71.12, 35, 0, Good, "plus"},
		{57.15, 35, 0, Usable, "2.25 on 35: inside the ratios, in no article that says what is ridden"},
		{58.42, 30, 0, Good, "2.3 on 30"},
		{60.96, 23, 0, Usable, "2.4 on 23: listed in 2006, the ratio of 2.55 is 2.46 within 2 mm of width"},
		{66.04, 25, 0, Outside, "2.6 on 25: in no list, the ratio of 2.53 is 2.45 within 2 mm of width"},
		{66.04, 23, 0, No, "2.6 on 23: beyond 2.5 by more than that"},
		{71.12, 40, 0, Usable, "2.8 at least on 40"},
		{76.2, 40, 0, Good, "3.0 matches 40"},
		{66.04, 40, 0, Usable, "below 2.8 on 40, but the ratio is ridden"},
		{60.96, 40, 0, Outside, "2.4 on 40"},
		{57.15, 40, 0, Outside, "2.25 on 40"},
		{56, 25, 0, Good, "label ratio 2.24, inside what is ridden"},
		{40, 30, Commute, Outside, "700x40 on a mountain rim, ratio 1.43"},
		{38, 30, 0, Outside, ""},
		{45, 30, 0, Usable, "narrowest sensible on 30"},
		{47, 30, 0, Usable, ""},
		{50, 30, 0, Good, "50 on 17 to 30 in a newer table"},
		{38, 17, 0, Good, "newer table"},
		{38, 27, 0, Usable, "newer table for, 2006 table against"},
		{32, 15, 0, Good, "15C lists 23 to 32"},
		{35, 15, 0, Outside, ""},
		{25, 17, 0, Good, ""},
		{23, 17, 0, Outside, ""},
		{28, 19, Road, Good, ""},
		{28, 23, Road, Usable, "ridden, not listed"},
		{40, 23, Gravel, Good, ""},
		{50, 25, Gravel, Good, ""},
		{50.8, 25, 0, Good, "24x2.0 on a child's 25"},
		{116.84, 80, Snow, Good, "4.6 on 80"},
		{116.84, 94, 0, Usable, "on its measuring rim, ratio 1.25: ridden"},
		{116.84, 100, 0, No, "ratio 1.22, though fat is ridden up to 100"},
		{62, 19, 0, No, "listed in 2006, but the ratio is 3"},
		{60.96, 45, 0, Outside, "ratio 1.48: square"},
		{60.96, 60, 0, No, "ratio below 1.25"},
		{18, 29, 0, No, "the casing doesn't reach over"},
	} {
		p := Pairing{Label: quantity.Length(c.label) * mm, Rim: quantity.Length(c.rim) * mm, Riding: c.riding}
		j := judge(t, p)
		assert.Equal(t, c.want, j.Verdict, "%v on %v is %v, ratio %v: %s", c.label, c.rim, j.Verdict, j.Section.Ratio(), c.why)
		assert.Equal(t, c.want == No, len(j.Why) > 0, "%v on %v", c.label, c.rim)
		for _, f := range j.Findings {
			assert.NotZero(t, f.Basis.Kind, "%v", f.Rule)
			assert.NotZero(t, f.Rule)
		}
	}
}

func TestWhatIsFelt(t *testing.T) {
	round := judge(t, Pairing{Label: 63.5 * mm, Rim: 25 * mm})
	assert.True(t, round.Round)
	assert.False(t, round.Square)
	assert.InDelta(t, 61.4, round.Section.Width.MM(), 0.2)
	assert.InDelta(t, 2.45, round.Section.Ratio(), 0.005)
	square := judge(t, Pairing{Label: 40 * mm, Rim: 35 * mm})
	assert.True(t, square.Square)
	assert.False(t, square.Round)
	fine := judge(t, Pairing{Label: 61 * mm, Rim: 30 * mm})
	assert.False(t, fine.Round || fine.Square)
	assert.InDelta(t, 1.43, judge(t, Pairing{Label: 40 * mm, Rim: 30 * mm}).Section.Ratio(), 0.005)
}

func TestDiameterDiffers(t *testing.T) {
	p := Pairing{Label: 61 * mm, TyreSeat: 584 * mm, Rim: 30 * mm, RimSeat: 622 * mm}
	j := judge(t, p)
	assert.Equal(t, No, j.Verdict)
	assert.Equal(t, []Rule{SameDiameter}, j.Why)
	p.TyreSeat = 622 * mm
	j = judge(t, p)
	assert.Equal(t, Good, j.Verdict)
	assert.Equal(t, For, said(j, SameDiameter))
	p.RimSeat = 0
	assert.Equal(t, Silent, said(judge(t, p), SameDiameter), "nobody said the rim's diameter")
}

func TestHookless(t *testing.T) {
	for _, c := range []struct {
		label, rim float64
		want       Verdict
		why        []Rule
		limit      bool
		because    string
	}{
		{61, 30, Good, nil, false, ""},
		{28, 23, Usable, nil, true, "allowed, limit case"},
		{28, 25, No, []Rule{OuterRatio, HooklessPlus5, Hookless29}, false, ""},
		{29, 25, No, []Rule{OuterRatio, HooklessPlus5}, false, "one reading allows 29, the stricter binds"},
		{30, 25, Usable, nil, true, "both readings meet"},
		{23, 19, No, []Rule{HooklessPlus5}, false, "1 mm short"},
		{40, 30, No, []Rule{HooklessPlus5}, false, "outside the lists is no on a straight side"},
	} {
		j := judge(t, Pairing{Label: quantity.Length(c.label) * mm, Rim: quantity.Length(c.rim) * mm, Bead: size.Hookless})
		assert.Equal(t, c.want, j.Verdict, "%v on %v hookless: %s", c.label, c.rim, c.because)
		assert.Equal(t, c.why, j.Why, "%v on %v", c.label, c.rim)
		assert.Equal(t, c.limit, j.AtLimit, "%v on %v", c.label, c.rim)
		assert.True(t, j.NeedsHooklessTyre)
	}
	j := judge(t, Pairing{Label: 61 * mm, Rim: 30 * mm, Bead: size.Hookless, NotHookless: true})
	assert.Equal(t, No, j.Verdict)
	assert.False(t, judge(t, Pairing{Label: 61 * mm, Rim: 30 * mm, Bead: size.Hooked}).NeedsHooklessTyre)
	assert.NotEqual(t, No, judge(t, Pairing{Label: 28 * mm, Rim: 23 * mm, NotHookless: true}).Verdict, "on hooks the mark isn't needed")
}

// Every source keeps its own opinion, whatever the verdict.
func TestSourcesMayDisagree(t *testing.T) {
	j := judge(t, Pairing{Label: 38 * mm, Rim: 27 * mm})
	assert.Equal(t, Against, said(j, PairTable))
	assert.Equal(t, For, said(j, NewerPairs))
	j = judge(t, Pairing{Label: 61 * mm, Rim: 30 * mm})
	assert.Equal(t, Silent, said(j, PairTable), "the 2006 table ends at 29 mm")
	assert.Equal(t, For, said(j, DesirableRatio))
	assert.Equal(t, Against, said(j, BookRatio))
	assert.Equal(t, For, said(j, ModernRatio))
	assert.Equal(t, Silent, said(judge(t, Pairing{Label: 28 * mm, Rim: 19 * mm}), ModernRatio), "mountain habits don't speak of road tyres")
	// Rims between two rows of the table: only what both have is listed, only
	// what neither has is not.
	assert.Equal(t, For, said(judge(t, Pairing{Label: 40 * mm, Rim: 22 * mm}), PairTable))
	assert.Equal(t, Silent, said(judge(t, Pairing{Label: 36 * mm, Rim: 22 * mm}), PairTable))
	assert.Equal(t, Against, said(judge(t, Pairing{Label: 32 * mm, Rim: 22 * mm}), PairTable))
}

// sectionRatio returns mounted width over inner width, 0 where there is none.
func sectionRatio(label, rim quantity.Length) float64 {
	s, err := SectionOf(label, rim)
	if err != nil {
		return 0
	}
	return s.Ratio()
}

func TestSuits(t *testing.T) {
	s, err := Suits(30 * mm)
	require.NoError(t, err)
	assert.Equal(t, inches(2.3, 2.6), s.Best)
	assert.Equal(t, inches(2.2, 2.8), s.Works)
	assert.InDelta(t, 2.15, s.OldRule.In(quantity.Inch), 0.01, "the old standard's 55 %")
	assert.InDelta(t, 37.5, s.OuterWidths.Low.MM(), 1e-9)
	assert.InDelta(t, 75, s.OuterWidths.High.MM(), 1e-9)
	assert.Zero(t, s.Pairs, "the 2006 table ends at 29 mm")
	var kinds []Kind
	for _, k := range s.Kinds {
		kinds = append(kinds, k.Kind)
	}
	assert.Equal(t, []Kind{XCKind, TrailKind, EnduroKind, DownhillKind}, kinds)

	s, err = Suits(40 * mm)
	require.NoError(t, err)
	assert.InDelta(t, 2.8, s.Works.Low.In(quantity.Inch), 1e-9)
	assert.Zero(t, s.Works.High)
	assert.InDelta(t, 3.0, s.Best.Low.In(quantity.Inch), 1e-9)

	for rim := 13.0; rim <= 100; rim += 1.3 {
		b := quantity.Length(rim) * mm
		s, err := Suits(b)
		require.NoError(t, err)
		for _, c := range []struct {
			r    Range
			span Span
		}{{s.Desirable, desirable}, {s.Outer, outer}} {
			if c.r == (Range{}) {
				continue
			}
			assert.LessOrEqual(t, c.r.Low, c.r.High)
			assert.GreaterOrEqual(t, sectionRatio(c.r.Low, b), c.span.Low-1e-6, "rim %v", rim)
			assert.LessOrEqual(t, sectionRatio(c.r.High, b), c.span.High+1e-6, "rim %v", rim)
		}
		if s.Ridden != (Range{}) {
			assert.LessOrEqual(t, s.Ridden.Low, s.Ridden.High)
		}
	}
	for _, bad := range []quantity.Length{0, 9 * mm, 111 * mm, quantity.Length(math.NaN()), quantity.Length(math.Inf(1))} {
		_, err := Suits(bad)
		assert.Error(t, err)
	}
}

func TestRimsFor(t *testing.T) {
	for _, label := range []float64{18, 28, 40, 50, 61, 71, 83, 100, 117, 132} {
		l := quantity.Length(label) * mm
		s, err := RimsFor(l)
		require.NoError(t, err)
		for _, c := range []struct {
			r    Range
			span Span
		}{{s.Ridden, modern}, {s.Desirable, desirable}, {s.Outer, outer}} {
			if c.r == (Range{}) {
				continue
			}
			if c.r.Low > NarrowestRim {
				assert.InDelta(t, c.span.High, sectionRatio(l, c.r.Low), 1e-9, "%v", label)
			}
			if c.r.High < WidestRim {
				assert.InDelta(t, c.span.Low, sectionRatio(l, c.r.High), 1e-9, "%v", label)
			}
		}
	}
	s, err := RimsFor(56 * mm)
	require.NoError(t, err)
	assert.Equal(t, millimetres(19, 29), s.Pairs)
	_, err = RimsFor(quantity.Length(math.NaN()))
	assert.Error(t, err)
}

func TestByRiding(t *testing.T) {
	rows := ByRiding()
	require.Len(t, rows, 8)
	for i, row := range rows {
		assert.Equal(t, Kind(i+1), row.Kind, "rows stand where their kind looks for them")
		assert.NotEmpty(t, row.Kind.String())
		// What is ridden must be rideable by the verdict's own rule.
		for _, l := range []quantity.Length{row.Tyres.Low, row.Tyres.High} {
			s, err := SectionOf(l, (row.Rims.Low+row.Rims.High)/2)
			require.NoError(t, err)
			assert.True(t, outer.holds(s.Ratio()) || row.Kind == FatKind, "%v %v: %v", row.Kind, l, s.Ratio())
		}
	}
	rows[0].Kind = 0
	assert.Equal(t, RoadKind, ByRiding()[0].Kind, "the caller's copy")
	assert.Equal(t, RoadKind, KindFor(Commute, 28*mm))
	assert.Equal(t, GravelKind, KindFor(Commute, 40*mm))
	assert.Equal(t, DownhillKind, KindFor(Park, 61*mm))
	assert.Equal(t, TrailKind, KindFor(Snow, 61*mm))
	assert.Equal(t, FatKind, KindFor(Snow, 117*mm))
	assert.Equal(t, PlusKind, KindFor(Trail, 71*mm))
	assert.Equal(t, TrailKind, KindFor(Trail, 2.6*quantity.Inch), "2.6 is trail still")
	assert.Zero(t, KindFor(0, 61*mm))
}

// The rim taken when none was said must itself be a good or usable one.
func TestDefaultRims(t *testing.T) {
	for _, c := range []struct{ label, rim float64 }{
		{25, 19}, {28, 19}, {32, 19}, {40, 23}, {50, 25}, {50.8, 25}, {53.3, 25}, {57.15, 27}, {58.4, 30}, {59.69, 30}, {60.96, 30}, {63.5, 30}, {66.04, 30}, {71.12, 35}, {76.2, 40}, {101.6, 70}, {116.84, 80},
	} {
		assert.InDelta(t, c.rim, DefaultRim(quantity.Length(c.label)*mm).MM(), 1e-9, "%v", c.label)
	}
	for label := 23.0; label <= 132; label += 0.5 {
		l := quantity.Length(label) * mm
		j := judge(t, Pairing{Label: l, Rim: DefaultRim(l)})
		assert.LessOrEqual(t, j.Verdict, Outside, "%v on %v", l, DefaultRim(l))
		if label >= 25 && label <= 80 {
			assert.LessOrEqual(t, j.Verdict, Usable, "%v on %v, ratio %v", l, DefaultRim(l), j.Section.Ratio())
		}
	}
	assert.Equal(t, 17*mm, DefaultRim(quantity.Length(math.NaN())))
}

func TestJudgeRefuses(t *testing.T) {
	nan := quantity.Length(math.NaN())
	for _, p := range []Pairing{
		{}, {Label: 61 * mm}, {Rim: 30 * mm}, {Label: nan, Rim: 30 * mm}, {Label: 61 * mm, Rim: nan}, {Label: 61 * mm, Rim: 111 * mm},
		{Label: 61 * mm, Rim: 30 * mm, TyreSeat: nan}, {Label: 61 * mm, Rim: 30 * mm, RimSeat: 5}, {Label: 900 * mm, Rim: 30 * mm},
	} {
		_, err := Judge(p)
		var e *RangeError
		assert.ErrorAs(t, err, &e, "%+v", p)
	}
}

// The worse of two rims for a tyre is never judged better for being further
// from what is ridden: going out from the measuring rim, verdicts only fall.
func TestVerdictsFallOutwards(t *testing.T) {
	for _, label := range []float64{57.15, 60.96, 63.5, 66.04} {
		for _, dir := range []float64{-0.5, 0.5} {
			worst := Verdict(0)
			for rim := 30.0; rim > 12 && rim < 60; rim += dir {
				j := judge(t, Pairing{Label: quantity.Length(label) * mm, Rim: quantity.Length(rim) * mm, Riding: Trail})
				if j.Verdict < worst && worst > Usable {
					t.Errorf("%v on %v: %v after %v", label, rim, j.Verdict, worst)
				}
				worst = max(worst, j.Verdict)
			}
		}
	}
}

func TestClearance(t *testing.T) {
	c, err := Clear(68*mm, 60*mm)
	require.NoError(t, err)
	assert.InDelta(t, 4, c.Side.MM(), 1e-9)
	assert.True(t, c.Racing)
	assert.False(t, c.Other)
	c, err = ClearLabel(74*mm, section(t, 66.04, 30))
	require.NoError(t, err)
	assert.InDelta(t, (74-64.88-2.5)/2, c.Side.MM(), 0.01, "a label gets 2.5 mm of knobs")
	c, err = Clear(60*mm, 61*mm)
	require.NoError(t, err)
	assert.Negative(t, float64(c.Side))
	assert.False(t, c.Any || c.Racing || c.Other || c.Mud)
	c, err = Clear(63.2*mm, 60*mm)
	require.NoError(t, err)
	assert.True(t, c.Any)
	assert.False(t, c.Racing)
	for _, bad := range [][2]quantity.Length{{0, 60 * mm}, {60 * mm, 0}, {quantity.Length(math.NaN()), 60 * mm}, {60 * mm, quantity.Length(math.NaN())}, {1, 60 * mm}} {
		_, err := Clear(bad[0], bad[1])
		assert.Error(t, err)
	}
}
