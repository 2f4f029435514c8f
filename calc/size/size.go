// Package size reads tyre and rim marks, and knows which of them name the same
// bead seat.
//
// A tyre is held by its bead, so two tyres are interchangeable on a rim only if
// their bead seat diameters agree; the inches of a name are history. ISO 5775-1
// marks a tyre `width-diameter` in millimetres (61-622), ISO 5775-2 a rim
// `diameter x inner width` and its type (622x30TC). All other names are older
// and several of them name more than one diameter: those are kept ambiguous and
// never guessed.
package size

import (
	"fmt"
	"slices"

	"spokeword/calc/basis"
	"spokeword/calc/quantity"
)

// Mark is the size of a tyre as it is written on it or said. It may lack its
// width ("29") or its diameter ("2.4 in"). Marks are made by Parse and Of; two
// marks are == if they are written alike.
type Mark struct {
	// Written is the canonical way of writing the mark: "61-622", "29x2.4",
	// "700x40", "26x1 3/8", "27.5", "650B", "2.4 in", "61 mm". Parse reads it back.
	Written string
	// Width is the label width; 0 when the mark gives none.
	Width quantity.Length
	// Seat is the bead seat diameter; 0 when the mark gives none, or several
	// (see Seats).
	Seat quantity.Length

	name   int32 // the diameter's name in thousandths: 27500, 700000
	form   form
	letter byte // A to D of a French name, 0 if it has none
	first  byte // of a triple mark the fraction before the width, in eighths of an inch
}

// form is how a mark is written.
type form uint8

const (
	formNone          form = iota
	formISO                // 61-622
	formDecimal            // 29x2.4
	formFraction           // 26x1 3/8, and 26x1
	formTriple             // 28x1 5/8x1 3/8
	formMetric             // 700x40
	formMetricInch         // 700x2.1
	formName               // 29, 650B
	formPlus               // 29+
	formSeat               // 622
	formWidthDecimal       // 2.4 in
	formWidthFraction      // 1 3/8 in
	formWidthMM            // 61 mm
)

// Limits of what is read as a width or a rim. They only keep nonsense out:
// the narrowest tubular-like label is 18 mm, the widest fat tyre 132 mm.
const (
	MinWidth = 10 * quantity.Millimetre
	MaxWidth = 140 * quantity.Millimetre
)

// Of returns the mark of a tyre of the given label width on the given bead
// seat diameter, as ISO 5775-1 writes it, rounded to whole millimetres. Either
// may be 0: the mark then lacks it. It returns a *MarkError where Parse would.
func Of(width, seat quantity.Length) (Mark, error) {
	if !quantity.Finite(width, seat) || width < 0 || seat < 0 || width > MaxWidth || seat > 1*quantity.Metre {
		return Mark{}, &MarkError{Problem: NotASize}
	}
	w, s := wholeMillimetres(width), wholeMillimetres(seat)
	var text []byte
	switch {
	case w > 0 && s > 0:
		text = appendInt(append(appendInt(text, w), '-'), s)
	case w > 0:
		text = append(appendInt(text, w), " mm"...)
	case s > 0:
		text = appendInt(text, s)
	}
	return Parse(string(text))
}

// String returns the mark as Written; Parse reads it back to the same mark.
func (m Mark) String() string { return m.Written }

// Seats returns every bead seat diameter the mark can mean, the usual one
// first: one for most marks, several for "26" or "26x1 3/8", none for a width
// alone.
func (m Mark) Seats() []quantity.Length {
	if m.Seat != 0 {
		return []quantity.Length{m.Seat}
	}
	set := m.seats()
	if len(set) == 0 {
		return nil
	}
	out := make([]quantity.Length, len(set))
	for i, s := range set {
		out[i] = millimetres(s)
	}
	return out
}

// Ambiguous reports whether the mark names more than one bead seat diameter.
func (m Mark) Ambiguous() bool { return m.Seat == 0 && len(m.seats()) > 1 }

// Fits reports whether seat is one of the diameters the mark can mean.
func (m Mark) Fits(seat quantity.Length) bool {
	return slices.ContainsFunc(m.seats(), func(mm int) bool { return sameSeat(seat, mm) })
}

// Plus reports whether the mark is a name with a plus sign ("29+"), the trade's
// word for labels of about 2.8 to 3.0 in on that diameter (common practice, no
// source).
func (m Mark) Plus() bool { return m.form == formPlus }

// seats returns the diameters in millimetres, the usual one first. The slice
// is a table's own and must not be changed.
func (m Mark) seats() []int {
	switch m.form {
	case formDecimal, formFraction, formTriple:
		return inchSeats(int(m.name), m.form, int(m.Width.In(quantity.Inch)*1000+0.5))
	case formMetric, formMetricInch:
		return metricSeats(int(m.name), m.letter)
	case formName, formPlus:
		if m.name >= firstMetric {
			return metricSeats(int(m.name), m.letter)
		}
		if m.form == formPlus {
			return inchSeats(int(m.name), formDecimal, 2800)
		}
		return nameSeats(int(m.name))
	case formISO, formSeat:
		return []int{wholeMillimetres(m.Seat)}
	}
	return nil
}

// Problem says why a text is no mark.
type Problem uint8

// What can be wrong with a mark.
const (
	NotASize    Problem = iota + 1 // nothing in it reads as a size
	TooLong                        // longer than any mark
	UnknownName                    // a name of no known diameter
	UnknownSeat                    // a diameter no tyre is made for
	BadWidth                       // a width no tyre or rim has
	NeedsUnit                      // a bare number that could be anything
	IsRimMark                      // a rim's mark where a tyre's is wanted
	IsTyreMark                     // a tyre's mark where a rim's is wanted
)

var problems = [...]string{
	NotASize:    "want a size such as 61-622 or 29x2.4",
	TooLong:     "longer than a size mark",
	UnknownName: "no known diameter has this name",
	UnknownSeat: "no known bead seat diameter",
	BadWidth:    "no such width",
	NeedsUnit:   "want a unit or a diameter",
	IsRimMark:   "a rim's mark, want a tyre's",
	IsTyreMark:  "a tyre's mark, want a rim's such as 622x30TC",
}

// MarkError says what was read and why it is no mark.
type MarkError struct {
	Text    string // as it was given, cut to the length of a mark
	Problem Problem
}

func (e *MarkError) Error() string {
	what := "no size"
	if int(e.Problem) < len(problems) && problems[e.Problem] != "" {
		what = problems[e.Problem]
	}
	return fmt.Sprintf("size %q: %s", e.Text, what)
}

// millimetres returns n mm, rounded once.
func millimetres(n int) quantity.Length { return quantity.Length(n) / 1000 }

func wholeMillimetres(l quantity.Length) int { return int(l.MM() + 0.5) }

// sameSeat compares a diameter with one of the whole-millimetre ones; two
// seats never differ by less than 1 mm.
func sameSeat(l quantity.Length, mm int) bool {
	d := l.MM() - float64(mm)
	return -0.1 < d && d < 0.1
}

// InMillimetres returns the mark as ISO 5775-1 writes it: 29x2.4 is 61-622.
// The width is the label in whole millimetres; makers' own second marks differ
// from it by up to 1 mm (24x2.0 is sold as 50-507). A mark without width or
// with several seats can't be written so and gives a *MarkError.
func InMillimetres(m Mark) (Mark, error) {
	if m.Width == 0 || m.Seat == 0 {
		return Mark{}, &MarkError{Text: m.Written, Problem: NotASize}
	}
	return Of(m.Width, m.Seat)
}

// InInches returns the mark by its name in decimal inches, to the nearest
// 0.05 in: 61-622 is 29x2.4, since 61/25.4 = 2.40. On 622 mm it takes 29 from
// labels of 44 mm up and 28 below, as the trade does (common practice, no
// source). Diameters without a decimal name (590, 630 apart from 27) give a
// *MarkError.
func InInches(m Mark) (Mark, error) {
	if m.Width == 0 || m.Seat == 0 {
		return Mark{}, &MarkError{Text: m.Written, Problem: NotASize}
	}
	name := ""
	switch wholeMillimetres(m.Seat) {
	case 787:
		name = "36"
	case 686:
		name = "32"
	case 630:
		name = "27"
	case 622:
		name = "29"
		if m.Width < 44*quantity.Millimetre {
			name = "28"
		}
	case 584:
		name = "27.5"
	case 559:
		name = "26"
	case 507:
		name = "24"
	case 457:
		name = "22"
	case 406:
		name = "20"
	case 355:
		name = "18"
	case 305:
		name = "16"
	case 203:
		name = "12"
	default:
		return Mark{}, &MarkError{Text: m.Written, Problem: UnknownName}
	}
	twentieths := int(m.Width.In(quantity.Inch)*20 + 0.5)
	text := append([]byte(name), 'x')
	return Parse(string(appendMilli(text, twentieths*50, 1)))
}

// Between is a length known only to lie between two others.
type Between struct {
	Low, Likely, High quantity.Length
	Basis             basis.Basis
}

// InnerFromOuter estimates a rim's inner width from its outside width, both
// between or over the flanges of an alloy rim: outside − 5 mm, ± 1 mm. Carbon
// flanges are thicker and vary more, so it is for alloy only. It returns a
// *MarkError outside 15 to 120 mm.
//
// Source: trade articles for the 5 mm; the ± 1 mm is common practice.
func InnerFromOuter(outer quantity.Length) (Between, error) {
	if !quantity.Finite(outer) || outer < 15*quantity.Millimetre || outer > 120*quantity.Millimetre {
		return Between{}, &MarkError{Text: "outside width", Problem: BadWidth}
	}
	const flanges, spread = 5 * quantity.Millimetre, 1 * quantity.Millimetre
	likely := outer - flanges
	return Between{
		Low: likely - spread, Likely: likely, High: likely + spread,
		Basis: basis.Basis{Kind: basis.Article, Source: "trade articles", Says: "inner is outside less about 5 mm on alloy rims, give or take 1 mm by practice"},
	}, nil
}
