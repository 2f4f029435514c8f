package size

import "spokeword/calc/quantity"

// Bead is how a rim holds the bead of a tyre.
type Bead uint8

// The kinds of rim edge that ISO 5775-2 marks: C crotchet (hooked), SS
// straight side (hookless).
const (
	UnknownBead Bead = iota // the mark or the asker doesn't say
	Hooked                  // C
	Hookless                // SS
)

// String names the kind: "hooked", "hookless", "" if unknown.
func (b Bead) String() string {
	switch b {
	case Hooked:
		return "hooked"
	case Hookless:
		return "hookless"
	}
	return ""
}

// RimMark is the size of a rim as ISO 5775-2 marks it: bead seat diameter,
// inner width between the inner faces of the flanges, and type. Two are == if
// they say the same.
type RimMark struct {
	Seat     quantity.Length
	Inner    quantity.Length
	Bead     Bead
	Tubeless bool // marked T
}

// Limits of what is read as a rim's inner width.
const (
	MinInner = 10 * quantity.Millimetre
	MaxInner = 110 * quantity.Millimetre
)

// ParseRim reads a rim's mark: 622x30TC, 622 x 25c, 622x19.5, 584x35 TSS. T
// says tubeless, C crotchet (hooked), SS straight side (hookless); without a
// letter neither is known. It returns a *MarkError for everything else, a
// tyre's mark included.
func ParseRim(s string) (RimMark, error) {
	var n norm
	if p := n.normalise(s); p != 0 {
		return RimMark{}, fail(s, p)
	}
	m, p := n.rim()
	if p != 0 {
		return RimMark{}, fail(s, p)
	}
	return m, nil
}

func (n *norm) rim() (RimMark, Problem) {
	seat := n.number()
	if !seat.ok || seat.fraction {
		return RimMark{}, NotASize
	}
	if !n.take('x') {
		if n.take('-') {
			return RimMark{}, IsTyreMark
		}
		return RimMark{}, NotASize
	}
	mm := seat.milli / 1000
	switch {
	case mm < 100 || seat.milli >= firstMetric && seat.milli%firstMetricStep == 0:
		return RimMark{}, IsTyreMark // inches, or a French name
	case seat.milli%1000 != 0 || !knownSeat(mm):
		return RimMark{}, UnknownSeat
	}
	inner := n.number()
	if !inner.ok || inner.fraction {
		return RimMark{}, NotASize
	}
	m := RimMark{Seat: millimetres(mm), Inner: quantity.Length(inner.milli) / 1e6}
	if m.Inner < MinInner || m.Inner > MaxInner {
		return RimMark{}, BadWidth
	}
	n.blank()
	if n.peek(0) == 't' {
		m.Tubeless = true
		n.i++
		n.blank()
	}
	switch {
	case n.end():
	case n.word("c"):
		m.Bead = Hooked
	case n.word("ss"):
		m.Bead = Hookless
	default:
		return RimMark{}, NotASize
	}
	return m, 0
}

// String writes the mark as ISO 5775-2 does: "622x30TC". ParseRim reads it
// back to the same mark; the zero mark is "".
func (m RimMark) String() string {
	if m.Seat == 0 {
		return ""
	}
	var room [24]byte
	text := append(appendInt(room[:0], wholeMillimetres(m.Seat)), 'x')
	text = appendMilli(text, int(float64(m.Inner)*1e6+0.5), 0)
	if m.Tubeless {
		text = append(text, 'T')
	}
	switch m.Bead {
	case Hooked:
		text = append(text, 'C')
	case Hookless:
		text = append(text, "SS"...)
	}
	return string(text)
}
