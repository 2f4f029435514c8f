package size

import "spokeword/calc/quantity"

// Relation says whether two marks share a bead seat.
type Relation uint8

// How two marks can stand to each other.
const (
	Unknown       Relation = iota // one of them names no diameter
	SameSeat                      // both name the same single diameter
	MaybeSameSeat                 // one or both are ambiguous, and they share a diameter
	DifferentSeat                 // no diameter in common
)

// Trap is a way in which size names mislead, in one mark or between two.
type Trap uint8

// The traps, the ones that change the answer first.
const (
	FractionVsDecimal Trap = iota + 1 // a fraction is not its decimal: 26x1 1/2 is 584, 26x1.5 is 559
	AmbiguousMark                     // the mark is sold in several diameters: 26x1 3/8, 24
	OldDecimal                        // 26x1.25 and 26x1.375 were once 599
	NearName                          // names that look alike for different diameters: 27 and 27.5, 27 and 700C, 650A and 650B
	OtherName                         // different names for the same diameter: 28x1.75 and 29, 650B and 27.5
	ClassLetter                       // the C of 700C is a class, neither a unit nor a rim type
	NameOnly                          // a name without a width says nothing about width
	LabelWidth                        // same seat, other width: fits the rim only within its range
)

// Comparison is what two marks have in common.
type Comparison struct {
	Relation Relation
	// Common are the diameters both can mean.
	Common []quantity.Length
	// Wider is how much wider the second label is; 0 unless both have widths.
	Wider quantity.Length
	// Traps are those the two marks run into together.
	Traps []Trap
}

// Interchangeable reports whether both certainly sit on the same bead seat.
// Widths must suit the rim and the frame besides.
func (c Comparison) Interchangeable() bool { return c.Relation == SameSeat }

// Has reports whether t is among the traps.
func (c Comparison) Has(t Trap) bool {
	for _, x := range c.Traps {
		if x == t {
			return true
		}
	}
	return false
}

// Compare tells whether two marks name the same bead seat and where their
// names mislead. It is symmetric but for the sign of Wider.
func Compare(a, b Mark) Comparison {
	var c Comparison
	sa, sb := a.seats(), b.seats()
	for _, s := range sa {
		for _, t := range sb {
			if s == t {
				c.Common = append(c.Common, millimetres(s))
			}
		}
	}
	switch {
	case len(sa) == 0 || len(sb) == 0:
		c.Relation = Unknown
	case len(c.Common) == 0:
		c.Relation = DifferentSeat
	case len(sa) == 1 && len(sb) == 1:
		c.Relation = SameSeat
	default:
		c.Relation = MaybeSameSeat
	}
	if a.Width != 0 && b.Width != 0 {
		c.Wider = b.Width - a.Width
	}

	if a.name == b.name && a.fractional() != b.fractional() && a.inchSized() && b.inchSized() && c.Relation == DifferentSeat {
		c.Traps = append(c.Traps, FractionVsDecimal)
	}
	if len(sa) > 1 || len(sb) > 1 {
		c.Traps = append(c.Traps, AmbiguousMark)
	}
	if a.oldDecimal() || b.oldDecimal() {
		c.Traps = append(c.Traps, OldDecimal)
	}
	if c.Relation == DifferentSeat && near(a, b) {
		c.Traps = append(c.Traps, NearName)
	}
	if c.Relation == SameSeat && a.label() != b.label() && a.named() && b.named() {
		c.Traps = append(c.Traps, OtherName)
	}
	if a.classLetter() || b.classLetter() {
		c.Traps = append(c.Traps, ClassLetter)
	}
	if a.form == formName || b.form == formName {
		c.Traps = append(c.Traps, NameOnly)
	}
	if c.Relation == SameSeat && c.Wider != 0 {
		c.Traps = append(c.Traps, LabelWidth)
	}
	return c
}

// Traps returns the traps the mark runs into by itself.
func (m Mark) Traps() []Trap {
	var out []Trap
	if _, ok := Twin(m); ok {
		out = append(out, FractionVsDecimal)
	}
	if m.Ambiguous() {
		out = append(out, AmbiguousMark)
	}
	if m.oldDecimal() {
		out = append(out, OldDecimal)
	}
	if m.classLetter() {
		out = append(out, ClassLetter)
	}
	if m.form == formName {
		out = append(out, NameOnly)
	}
	return out
}

// Twin returns the mark of the same numbers written the other way, if it means
// another bead seat: 26x1.5 for 26x1 1/2 and the reverse.
func Twin(m Mark) (Mark, bool) {
	t := m
	switch m.form {
	case formDecimal:
		if int(m.Width.In(quantity.Inch)*1000+0.5)%125 != 0 {
			return Mark{}, false
		}
		t.form = formFraction
		if milli := int(m.Width.In(quantity.Inch)*1000 + 0.5); milli%1000 == 0 && milli != 1000 {
			return Mark{}, false // 26x2.0 has no other way of writing
		}
	case formFraction:
		t.form = formDecimal
	default:
		return Mark{}, false
	}
	t.Seat = 0
	t = written(t)
	if len(t.seats()) == 0 {
		return Mark{}, false
	}
	for _, s := range t.seats() {
		for _, o := range m.seats() {
			if s == o {
				return Mark{}, false
			}
		}
	}
	return t, true
}

func (m Mark) fractional() bool { return m.form == formFraction || m.form == formTriple }

func (m Mark) inchSized() bool { return m.form == formDecimal || m.fractional() }

func (m Mark) oldDecimal() bool {
	milli := int(m.Width.In(quantity.Inch)*1000 + 0.5)
	return m.form == formDecimal && m.name == 26_000 && (milli == 1250 || milli == 1375)
}

func (m Mark) classLetter() bool {
	return m.name >= firstMetric && (m.letter != 0 || m.form == formMetric)
}

// named reports whether the mark goes by a name rather than by its diameter.
func (m Mark) named() bool { return m.name != 0 }

// label is the name of the diameter with its class letter, as one value.
func (m Mark) label() int {
	letter := m.letter
	if m.name == 700_000 && letter == 0 {
		letter = 'C'
	}
	return int(m.name)<<8 | int(letter)
}

// near reports whether two names look alike: the same number with another
// class letter or another way of writing the width, or within one inch of each
// other, French names counted by the inches they are also sold under (27 and
// 650B, 27 and 700C are the pairs that get mixed up in shops).
func near(a, b Mark) bool {
	if !a.named() || !b.named() {
		return false
	}
	d := a.inchName() - b.inchName()
	return a.name == b.name || -1000 <= d && d <= 1000
}

// inchName is the name in thousandths of an inch.
func (m Mark) inchName() int {
	if m.name < firstMetric {
		return int(m.name)
	}
	switch wholeMillimetres(m.Seat) {
	case 622, 635, 642:
		return 28_000
	case 584:
		return 27_500
	case 590, 571:
		return 26_000
	case 540:
		return 24_000
	}
	return 0
}
