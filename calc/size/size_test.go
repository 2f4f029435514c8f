package size

import (
	"fmt"
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"spokeword/calc/quantity"
)

const mm = quantity.Millimetre

func seatsOf(t *testing.T, m Mark) []int {
	t.Helper()
	var out []int
	for _, s := range m.Seats() {
		out = append(out, int(s.MM()+0.5))
	}
	return out
}

// Every size of the published lists (five lists of tyre sizes, agreeing with
// ISO 5775), read from what stands on the tyre.
func TestEverySizeMeansItsSeat(t *testing.T) {
	for _, c := range []struct {
		written string
		seats   []int
		why     string
	}{
		{"36", []int{787}, ""}, {"36x2.25", []int{787}, ""},
		{"32", []int{686}, ""}, {"32x2.125", []int{686}, ""},
		{"700A", []int{642}, ""}, {"700x35A", []int{642}, ""},
		{"700B", []int{635}, ""}, {"700C", []int{622}, ""}, {"700D", []int{587}, ""},
		{"28x1 1/2", []int{635}, "the Dutch roadster"},
		{"27", []int{630}, ""}, {"27x1 1/4", []int{630}, "27x any"}, {"27x1", []int{630}, ""}, {"27x1.25", []int{630}, "27x any"},
		{"29", []int{622}, ""}, {"29x2.4", []int{622}, ""}, {"28x1.75", []int{622}, "most 28s"}, {"28x1 5/8x1 3/8", []int{622}, ""}, {"28x1 5/8", []int{622}, ""},
		{"700x40", []int{622}, ""}, {"700", []int{622}, ""},
		{"26x1.25", []int{559, 599}, "old decimal, and a modern slick"}, {"26x1.375", []int{599, 559}, "old decimal"},
		{"26x1 1/4", []int{597}, ""}, {"26x1 3/8", []int{590, 597}, "ISO 5775 lists both"},
		{"650A", []int{590}, ""},
		{"27.5", []int{584}, ""}, {"27.5x2.8", []int{584}, ""}, {"650B", []int{584}, ""}, {"650x47B", []int{584}, ""}, {"26x1 1/2", []int{584}, ""},
		{"650C", []int{571}, ""}, {"26x1", []int{571}, ""}, {"26x1 3/4", []int{571}, ""},
		{"26x1.0", []int{559}, ""}, {"26x2.1", []int{559}, ""}, {"26x2.3", []int{559}, ""}, {"26x4.0", []int{559}, "fat"}, {"26x4.6", []int{559}, "fat"}, {"26x5.0", []int{559}, "fat"},
		{"24x1 1/4", []int{547}, ""}, {"24x1 3/8", []int{540}, ""}, {"24x1 1/8", []int{540, 520}, ""}, {"24x1", []int{520}, ""}, {"24x1.95", []int{507}, ""}, {"24x1.5", []int{507}, ""}, {"24x2.125", []int{507}, ""},
		{"550A", []int{490}, ""}, {"550x35A", []int{490}, ""},
		{"22x1.75", []int{457}, ""}, {"22x2.125", []int{457}, ""},
		{"20x1 1/8", []int{451}, ""}, {"20x1 1/4", []int{451}, ""}, {"20x1 3/8", []int{451}, ""}, {"20x1 3/4", []int{419}, ""}, {"20x1.75", []int{406}, ""}, {"20x2.15", []int{406}, ""},
		{"450A", []int{390}, ""}, {"450x35A", []int{390}, ""},
		{"17x1 1/4", []int{369}, ""},
		{"18x1.5", []int{355}, ""}, {"18x2.125", []int{355}, ""},
		{"16x1 3/8", []int{349, 340, 337}, ""}, {"16x1 3/4", []int{317}, ""}, {"16x1.75", []int{305}, ""}, {"400A", []int{340}, ""},
		{"12 1/2", []int{203}, ""}, {"12 1/2x2 1/4", []int{203}, ""}, {"12x1.75", []int{203}, ""},
		{"26", []int{559, 571, 584, 590, 597}, "the five 26s"},
		{"24", []int{507, 540, 520, 547}, "the four 24s"},
		{"20", []int{406, 451, 419}, "the three 20s"},
		{"16", []int{305, 349, 340, 337, 317}, "the five 16s"},
		{"28", []int{622, 635}, ""},
		{"650", []int{584, 590, 571}, "no letter, no answer"},
		{"650x38", []int{584, 590, 571}, ""},
		{"622", []int{622}, ""}, {"61-622", []int{622}, ""}, {"37-501", []int{501}, "no inch name, still a size"},
		{"32-597", []int{597}, ""},
		{"2.4 in", nil, "a width alone"}, {"61 mm", nil, ""},
	} {
		m, err := Parse(c.written)
		if !assert.NoError(t, err, c.written) {
			continue
		}
		assert.Equal(t, c.written == "700", m.Written != c.written, "%s is canonical, got %s", c.written, m.Written)
		assert.Equal(t, c.seats, seatsOf(t, m), "seats of %s %s", c.written, c.why)
		assert.Equal(t, len(c.seats) > 1, m.Ambiguous(), c.written)
		if len(c.seats) == 1 {
			assert.InDelta(t, c.seats[0], m.Seat.MM(), 1e-9, c.written)
		} else {
			assert.Zero(t, m.Seat, c.written)
		}
	}
}

func TestParseReadsWhatPeopleWrite(t *testing.T) {
	for _, c := range []struct{ in, want string }{
		{"61-622", "61-622"}, {"62–622", "62-622"}, {"61 - 622", "61-622"}, {"61−622", "61-622"}, {"54.5-622", "54.5-622"},
		{"29x2.4", "29x2.4"}, {"29 x 2,4", "29x2.4"}, {"29X2.40", "29x2.4"}, {"29 2.4", "29x2.4"}, {"29×2.40", "29x2.4"}, {`29"x2.4"`, "29x2.4"}, {"29x2.4in", "29x2.4"}, {"29 2,4", "29x2.4"},
		{"29*2.4", "29x2.4"}, {"29x2.4w", "29x2.4"}, {"29x3", "29x3.0"}, {"26x2", "26x2.0"},
		{"29+ 3.0", "29x3.0"}, {"29+", "29+"}, {"29+x3.0", "29x3.0"}, {"27.5+", "27.5+"}, {"26+", "26+"},
		{"700x40c", "700x40"}, {"700 x 40C", "700x40"}, {"700x40 C", "700x40"}, {"700C", "700C"}, {"700 c", "700C"}, {"700", "700C"}, {"700cx40", "700x40"}, {"700 40c", "700x40"}, {"700x2.1", "700x2.1"}, {"700x38,5", "700x38.5"}, {"700x40mm", "700x40"},
		{"650B", "650B"}, {"650b", "650B"}, {"650bx47", "650x47B"}, {"650x47b", "650x47B"}, {"650 x 47 B", "650x47B"},
		{"27.5x2.8", "27.5x2.8"}, {"27,5 x 2,8", "27.5x2.8"}, {"27.5 2.8", "27.5x2.8"}, {"27.5", "27.5"}, {"27,5", "27.5"},
		{"26x1 1/2", "26x1 1/2"}, {"26 x 1 3/8", "26x1 3/8"}, {"26x1³⁄₈", "26x1 3/8"}, {"26x1⅜", "26x1 3/8"}, {"26 x 1½", "26x1 1/2"}, {"26x1-3/8", "26x1 3/8"}, {"26 1 3/8", "26x1 3/8"}, {"26x1 ³/₈", "26x1 3/8"}, {"26x1 4/8", "26x1 1/2"},
		{"28x1.75", "28x1.75"}, {"28x1 5/8x1 3/8", "28x1 5/8x1 3/8"}, {"28 x 1⅝ x 1⅜", "28x1 5/8x1 3/8"},
		{"24x1.95", "24x1.95"}, {"24x2.0", "24x2.0"}, {"24x2.125", "24x2.125"},
		{"12 1/2 x 2 1/4", "12 1/2x2 1/4"}, {"12½x2¼", "12 1/2x2 1/4"}, {"12.5x2.25", "12 1/2x2.25"}, {"12", "12"},
		{"29er", "29"}, {"29in", "29"}, {`26"`, "26"}, {"26''", "26"}, {"29ers", "29"},
		{"2.4", "2.4 in"}, {"2,4", "2.4 in"}, {"2.40 in", "2.4 in"}, {`2.4"`, "2.4 in"}, {"2.4w", "2.4 in"}, {"2 in", "2.0 in"}, {"1 3/8", "1 3/8 in"}, {"1 3/8 in", "1 3/8 in"}, {"61 mm", "61 mm"}, {"61mm", "61 mm"}, {"58.5 mm", "58.5 mm"},
		{"622", "622"}, {"622 mm", "622"},
	} {
		m, err := Parse(c.in)
		if assert.NoError(t, err, c.in) {
			assert.Equal(t, c.want, m.String(), "Parse(%q)", c.in)
			back, err := Parse(m.String())
			assert.NoError(t, err)
			assert.Equal(t, m, back, "Parse(%q) after writing", c.in)
			assert.True(t, m == back)
		}
	}
}

func TestParseRefuses(t *testing.T) {
	for _, c := range []struct {
		in   string
		want Problem
	}{
		{"", NotASize}, {" ", NotASize}, {"x", NotASize}, {"tyre", NotASize}, {"29x", NotASize}, {"29-2.4", NotASize}, {"29/2.4", NotASize},
		{"29", 0}, {"40", NeedsUnit}, {"2", NeedsUnit}, {"30.5", UnknownName}, {"26.5x2.0", UnknownName}, {"30x2.4", UnknownName},
		{"61-600", UnknownSeat}, {"61-62", NotASize}, {"400-622", BadWidth}, {"5-622", BadWidth}, {"29x24", BadWidth}, {"29x0.1", BadWidth}, {"600", UnknownSeat},
		{"622x30TC", IsRimMark}, {"559 x 25", IsRimMark},
		{"700 40", NotASize}, {"22 26", NotASize}, {"29 3", NotASize}, {"22x1 3/8", UnknownName}, {"26x13/8", NotASize}, {"26x1 3/7", NotASize}, {"26x1 8/8", NotASize},
		{"20(19)x2.5", NotASize}, {"29x2.4x3", NotASize}, {"29x2.4 psi", NotASize}, {"2.4 bar", NotASize}, {"650x47e", NotASize}, {"700bx40c", NotASize},
		{"26x1 1/2x2", NotASize}, {"NaN", NotASize}, {"+29", NotASize}, {"-29", NotASize}, {"29x-2", NotASize}, {"1e3", NotASize},
		{"99999999999999999999x2", NotASize}, {strings.Repeat("2", 65), TooLong}, {strings.Repeat("½", 32), NotASize}, {"29x2.4567", NotASize}, {"\xff\xfe", NotASize},
		{"150 mm", BadWidth},
	} {
		m, err := Parse(c.in)
		if c.want == 0 {
			assert.NoError(t, err, c.in)
			continue
		}
		var e *MarkError
		if assert.ErrorAs(t, err, &e, "Parse(%q) = %v", c.in, m) {
			assert.Equal(t, c.want, e.Problem, "Parse(%q): %v", c.in, err)
			assert.Zero(t, m)
		}
	}
}

func TestWidthsAreExact(t *testing.T) {
	m, err := Parse("29x2.4")
	require.NoError(t, err)
	assert.InDelta(t, 60.96, m.Width.MM(), 1e-12)
	assert.InDelta(t, 622, m.Seat.MM(), 1e-12)
	m, err = Parse("26x1 3/8")
	require.NoError(t, err)
	assert.InDelta(t, 34.925, m.Width.MM(), 1e-12)
}

func TestParseRim(t *testing.T) {
	for _, c := range []struct {
		in, written string
		want        RimMark
	}{
		{"622x30TC", "622x30TC", RimMark{622 * mm, 30 * mm, Hooked, true}},
		{"622x30tc", "622x30TC", RimMark{622 * mm, 30 * mm, Hooked, true}},
		{"622 x 25c", "622x25C", RimMark{622 * mm, 25 * mm, Hooked, false}},
		{"622x19C", "622x19C", RimMark{622 * mm, 19 * mm, Hooked, false}},
		{"584x35 TSS", "584x35TSS", RimMark{584 * mm, 35 * mm, Hookless, true}},
		{"584×35SS", "584x35SS", RimMark{584 * mm, 35 * mm, Hookless, false}},
		{"559x30", "559x30", RimMark{559 * mm, 30 * mm, UnknownBead, false}},
		{"559x30T", "559x30T", RimMark{559 * mm, 30 * mm, UnknownBead, true}},
		{"622x19,5C", "622x19.5C", RimMark{622 * mm, 19.5 * mm, Hooked, false}},
	} {
		m, err := ParseRim(c.in)
		if assert.NoError(t, err, c.in) {
			assert.Equal(t, c.want.Bead, m.Bead, c.in)
			assert.Equal(t, c.want.Tubeless, m.Tubeless, c.in)
			assert.InDelta(t, c.want.Inner.MM(), m.Inner.MM(), 1e-9, c.in)
			assert.InDelta(t, c.want.Seat.MM(), m.Seat.MM(), 1e-9, c.in)
			assert.Equal(t, c.written, m.String())
			back, err := ParseRim(m.String())
			assert.NoError(t, err)
			assert.Equal(t, m, back)
		}
	}
	for _, c := range []struct {
		in   string
		want Problem
	}{
		{"29x2.4", IsTyreMark}, {"61-622", IsTyreMark}, {"700x40C", IsTyreMark}, {"650x47B", IsTyreMark}, {"622", NotASize},
		{"600x30", IsTyreMark}, {"621x30", UnknownSeat}, {"622x5", BadWidth}, {"622x300", BadWidth}, {"622x30Q", NotASize}, {"622x30 SSC", NotASize}, {"", NotASize},
	} {
		_, err := ParseRim(c.in)
		var e *MarkError
		if assert.ErrorAs(t, err, &e, c.in) {
			assert.Equal(t, c.want, e.Problem, c.in)
		}
	}
	assert.Empty(t, RimMark{}.String())
}

func TestCompareAnswersTheTraps(t *testing.T) {
	for _, c := range []struct {
		a, b     string
		relation Relation
		common   []int
		traps    []Trap
		why      string
	}{
		{"26x1.5", "26x1 1/2", DifferentSeat, nil, []Trap{FractionVsDecimal}, "559 and 584"},
		{"20x1 3/8", "20x1.75", DifferentSeat, nil, []Trap{FractionVsDecimal}, "451 and 406"},
		{"26x1 3/8", "26x1.4", DifferentSeat, nil, []Trap{FractionVsDecimal, AmbiguousMark}, "590 or 597, never 559"},
		{"26x1 3/8", "26x1.375", DifferentSeat, nil, []Trap{OldDecimal, AmbiguousMark}, "the old decimal is 599"},
		{"26x1 3/8", "32-597", MaybeSameSeat, []int{597}, []Trap{AmbiguousMark}, "one of its two"},
		{"28x1.75", "29x1.75", SameSeat, []int{622}, []Trap{OtherName}, "the same seat, 622"},
		{"29x2.4", "700C", SameSeat, []int{622}, []Trap{OtherName}, "29 and 700C are 622"},
		{"29", "28", MaybeSameSeat, []int{622}, []Trap{AmbiguousMark}, "28 is 622 or 635"},
		{"650B", "27.5", SameSeat, []int{584}, []Trap{OtherName}, ""},
		{"650B", "650A", DifferentSeat, nil, []Trap{NearName}, "584, not 590"},
		{"650B", "27", DifferentSeat, nil, []Trap{NearName}, "584, not 630"},
		{"27.5", "27", DifferentSeat, nil, []Trap{NearName}, ""},
		{"27x1 1/4", "700x32", DifferentSeat, nil, []Trap{NearName, ClassLetter}, "630 and 622"},
		{"29x2.4", "29x2.6", SameSeat, []int{622}, []Trap{LabelWidth}, "widths decide the rest"},
		{"29x2.4", "61-622", SameSeat, []int{622}, nil, ""},
		{"26", "29", DifferentSeat, nil, nil, "a 26 tube in a 29er"},
		{"26", "26x2.1", MaybeSameSeat, []int{559}, []Trap{AmbiguousMark, NameOnly}, ""},
		{"2.4 in", "29x2.4", Unknown, nil, nil, "no diameter"},
	} {
		a, err := Parse(c.a)
		require.NoError(t, err)
		b, err := Parse(c.b)
		require.NoError(t, err)
		for _, swap := range []bool{false, true} {
			if swap {
				a, b = b, a
			}
			got := Compare(a, b)
			assert.Equal(t, c.relation, got.Relation, "%s and %s: %s", a, b, c.why)
			var common []int
			for _, s := range got.Common {
				common = append(common, int(s.MM()+0.5))
			}
			assert.Equal(t, c.common, common, "%s and %s: %s", a, b, c.why)
			for _, trap := range c.traps {
				assert.True(t, got.Has(trap), "%s and %s: trap %v not in %v", a, b, trap, got.Traps)
			}
			assert.Equal(t, c.relation == SameSeat, got.Interchangeable())
		}
	}
	a, _ := Parse("29x2.4")
	b, _ := Parse("29x2.6")
	assert.InDelta(t, 0.2, Compare(a, b).Wider.In(quantity.Inch), 1e-12)
	assert.InDelta(t, -0.2, Compare(b, a).Wider.In(quantity.Inch), 1e-12)
}

func TestOneMarksTraps(t *testing.T) {
	for _, c := range []struct {
		mark string
		want []Trap
		twin string
	}{
		{"26x1 1/2", []Trap{FractionVsDecimal}, "26x1.5"},
		{"26x1.5", []Trap{FractionVsDecimal}, "26x1 1/2"},
		{"26x1.75", []Trap{FractionVsDecimal}, "26x1 3/4"},
		{"20x1 3/8", nil, ""}, // 20x1.375 may be 451 too
		{"26x1 3/8", []Trap{FractionVsDecimal, AmbiguousMark}, "26x1.375"},
		{"26x1.25", []Trap{FractionVsDecimal, AmbiguousMark, OldDecimal}, "26x1 1/4"},
		{"24", []Trap{AmbiguousMark, NameOnly}, ""},
		{"700x40", []Trap{ClassLetter}, ""},
		{"650B", []Trap{ClassLetter, NameOnly}, ""},
		{"29x2.4", nil, ""},
		{"29x2.25", nil, ""},
		{"26x2.0", nil, ""},
		{"61-622", nil, ""},
	} {
		m, err := Parse(c.mark)
		require.NoError(t, err)
		assert.Equal(t, c.want, m.Traps(), c.mark)
		twin, ok := Twin(m)
		assert.Equal(t, c.twin != "", ok, c.mark)
		assert.Equal(t, c.twin, twin.Written, c.mark)
		if ok {
			read, err := Parse(twin.Written)
			require.NoError(t, err)
			assert.Equal(t, read, twin)
		}
	}
}

func TestInchesAndMillimetres(t *testing.T) {
	for _, c := range []struct{ iso, inches string }{
		{"61-622", "29x2.4"}, {"57-622", "29x2.25"}, {"60-622", "29x2.35"}, {"66-584", "27.5x2.6"}, {"71-584", "27.5x2.8"},
		{"117-559", "26x4.6"}, {"51-507", "24x2.0"}, {"55-406", "20x2.15"}, {"76-622", "29x3.0"}, {"58-622", "29x2.3"}, {"40-622", "28x1.55"},
	} {
		m, err := Parse(c.iso)
		require.NoError(t, err)
		in, err := InInches(m)
		require.NoError(t, err)
		assert.Equal(t, c.inches, in.Written, c.iso)
		assert.True(t, in.Fits(m.Seat))
	}
	for _, c := range []struct{ in, want string }{
		{"29x2.4", "61-622"}, {"700x38", "38-622"}, {"26x1 1/2", "38-584"}, {"26x4.6", "117-559"}, {"28x1.75", "44-622"}, {"61-622", "61-622"},
	} {
		m, err := Parse(c.in)
		require.NoError(t, err)
		iso, err := InMillimetres(m)
		require.NoError(t, err)
		assert.Equal(t, c.want, iso.Written)
	}
	for _, s := range []string{"26", "29", "2.4 in", "26x1 3/8"} {
		m, err := Parse(s)
		require.NoError(t, err)
		_, err = InMillimetres(m)
		assert.Error(t, err, s)
		_, err = InInches(m)
		assert.Error(t, err, s)
	}
	m, err := Parse("32-590")
	require.NoError(t, err)
	_, err = InInches(m)
	assert.Error(t, err, "590 has no decimal name")
}

func TestOf(t *testing.T) {
	m, err := Of(60.96*mm, 622*mm)
	require.NoError(t, err)
	assert.Equal(t, "61-622", m.Written)
	m, err = Of(61*mm, 0)
	require.NoError(t, err)
	assert.Equal(t, "61 mm", m.Written)
	m, err = Of(0, 584*mm)
	require.NoError(t, err)
	assert.Equal(t, "584", m.Written)
	for _, c := range [][2]quantity.Length{{0, 0}, {-1, 0.622}, {quantity.Length(nan()), 0.622}, {0.06, quantity.Length(inf())}, {0.06, 0.6}, {10, 0.622}} {
		_, err = Of(c[0], c[1])
		assert.Error(t, err, "%v", c)
	}
}

func nan() float64 { z := 0.0; return z / z }
func inf() float64 { z := 0.0; return 1 / z }

// The names and the reader were typed in separately; they must agree.
func TestTableAgreesWithReader(t *testing.T) {
	for _, d := range All() {
		assert.True(t, KnownSeat(d.Seat), "%v", d)
		m, err := Parse(d.Nominal)
		if d.Nominal == "600A" || err == nil {
			require.NoError(t, err, d.Nominal)
			if d.Name != "26x1.25, 26x1.375 (old)" && d.Name != "20(19)x2.5 (trials)" && d.Name != "28x1 3/8" {
				assert.True(t, m.Fits(d.Seat), "%s means %v, table has %v", d.Nominal, m.Seats(), d.Seat)
			}
		}
		// Names without a range or a remark read back as marks.
		if plain := strings.IndexAny(d.Name, "–(,"); plain < 0 {
			m, err := Parse(d.Name)
			if assert.NoError(t, err, d.Name) {
				assert.True(t, m.Fits(d.Seat), "%s means %v, table has %v", d.Name, m.Seats(), d.Seat)
			}
		}
		assert.NotZero(t, d.Basis.Kind)
	}
	var of26 []int
	for _, d := range Named("26") {
		of26 = append(of26, int(d.Seat.MM()+0.5))
	}
	assert.Equal(t, []int{599, 597, 597, 590, 584, 571, 571, 559, 559}, of26)
	var names []string
	for _, d := range Names(622 * mm) {
		names = append(names, d.Nominal)
	}
	assert.Equal(t, []string{"29", "700C", "28", "28"}, names)
	assert.Empty(t, Names(600*mm))
	assert.Empty(t, Names(quantity.Length(nan())))
	assert.False(t, KnownSeat(quantity.Length(nan())))
	assert.False(t, KnownSeat(600*mm))
	assert.False(t, KnownSeat(-1))
	assert.True(t, slices.IsSorted(knownSeats[:]))
}

func TestFits(t *testing.T) {
	m, err := Parse("26x1 3/8")
	require.NoError(t, err)
	assert.True(t, m.Fits(590*mm))
	assert.True(t, m.Fits(597*mm))
	assert.False(t, m.Fits(559*mm))
	assert.False(t, m.Fits(590.5*mm))
	assert.False(t, Mark{}.Fits(0))
	plus, err := Parse("29+")
	require.NoError(t, err)
	assert.True(t, plus.Plus())
	assert.True(t, plus.Fits(622*mm))
}

func TestInnerFromOuter(t *testing.T) {
	b, err := InnerFromOuter(34 * mm)
	require.NoError(t, err)
	assert.InDelta(t, 29, b.Likely.MM(), 1e-9)
	assert.InDelta(t, 28, b.Low.MM(), 1e-9)
	assert.InDelta(t, 30, b.High.MM(), 1e-9)
	for _, o := range []quantity.Length{0, 14 * mm, 121 * mm, quantity.Length(nan()), quantity.Length(inf())} {
		_, err := InnerFromOuter(o)
		assert.Error(t, err)
	}
}

func FuzzParse(f *testing.F) {
	for _, s := range []string{"61-622", "29x2.4", "29 x 2,4", "700x40c", "650bx47", "26x1³⁄₈", "28x1 5/8x1 3/8", "12 1/2 x 2 1/4", "29+ 3.0", "2.4 in", "61 mm", "622", "622x30TC", "584x35 TSS", "26x1-3/8", "700x2.1", "1 3/8", "27.5+"} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, s string) {
		if m, err := Parse(s); err == nil {
			back, err := Parse(m.String())
			if err != nil || back != m {
				t.Fatalf("Parse(%q) = %+v, written %q reads back as %+v, %v", s, m, m.String(), back, err)
			}
			if m.Width == 0 && len(m.Seats()) == 0 {
				t.Fatalf("Parse(%q) = %+v says nothing", s, m)
			}
			if m.Width != 0 && (m.Width < MinWidth || m.Width > MaxWidth) {
				t.Fatalf("Parse(%q) width %v", s, m.Width)
			}
			Compare(m, back)
			m.Traps()
			if twin, ok := Twin(m); ok {
				if again, err := Parse(twin.String()); err != nil || again != twin {
					t.Fatalf("twin of %q: %+v reads back as %+v, %v", s, twin, again, err)
				}
			}
		} else if _, ok := err.(*MarkError); !ok {
			t.Fatalf("Parse(%q) error %T", s, err)
		}
		if r, err := ParseRim(s); err == nil {
			if back, err := ParseRim(r.String()); err != nil || back != r {
				t.Fatalf("ParseRim(%q) = %+v, written %q reads back as %+v, %v", s, r, r.String(), back, err)
			}
			if _, err := Parse(s); err == nil {
				t.Fatalf("%q is both a tyre's and a rim's mark", s)
			}
		}
	})
}

var marks = [...]string{"61-622", "29x2.4", "29 x 2,4", "700x40c", "650bx47", "26x1³⁄₈", "28x1 5/8x1 3/8", "12 1/2 x 2 1/4", "29+ 3.0", "2.4 in", "26", "hello", "622x30TC"}

// BenchmarkParse also says how many times one look-up in a map of known marks
// a parse costs, taken in the same run.
func BenchmarkParse(b *testing.B) {
	known := map[string]int{}
	for i, m := range marks {
		known[m] = i
	}
	const rounds = 100_000
	sum, begin := 0, time.Now()
	for i := range rounds {
		sum += known[marks[i%len(marks)]]
	}
	base := float64(time.Since(begin)) / rounds
	b.ReportAllocs()
	b.ResetTimer()
	n := 0
	for b.Loop() {
		m, _ := Parse(marks[n%len(marks)])
		sum += len(m.Written)
		n++
	}
	b.ReportMetric(float64(b.Elapsed())/float64(n)/base, "x-map-look-up")
	if sum == 0 {
		b.Fatal("nothing was read")
	}
}

func ExampleParse() {
	for _, s := range []string{"29 x 2,4", "26 x 1½", "26x1.5", "26x1³⁄₈", "24"} {
		m, err := Parse(s)
		if err != nil {
			panic(err)
		}
		fmt.Println(m, m.Seats())
	}
	// Output:
	// 29x2.4 [622 mm]
	// 26x1 1/2 [584 mm]
	// 26x1.5 [559 mm]
	// 26x1 3/8 [590 mm 597 mm]
	// 24 [507 mm 540 mm 520 mm 547 mm]
}
