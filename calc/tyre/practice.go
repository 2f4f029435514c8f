package tyre

import (
	"spokeword/calc/basis"
	"spokeword/calc/quantity"
)

// Riding is what a bike is ridden on and how.
type Riding uint8

// The kinds of riding, as the trade names them. Plus and fat are no riding:
// they follow from the label.
const (
	Road Riding = iota + 1
	Gravel
	XC
	Trail
	Enduro
	Downhill
	Park    // bike park: lifts, berms, jumps
	Commute // roads and paths every day
	Snow
)

var ridings = [...]string{Road: "road", Gravel: "gravel", XC: "xc", Trail: "trail", Enduro: "enduro", Downhill: "downhill", Park: "park", Commute: "commute", Snow: "snow"}

// String names the riding: "trail".
func (r Riding) String() string {
	if int(r) < len(ridings) {
		return ridings[r]
	}
	return ""
}

// OffRoad reports whether the riding asks for grip off the road.
func (r Riding) OffRoad() bool {
	switch r {
	case XC, Trail, Enduro, Downhill, Park, Snow:
		return true
	}
	return false
}

// Range is a range of lengths, ends included; a zero High has no upper end.
type Range struct{ Low, High quantity.Length }

// slack lets labels in inches meet ranges in inches in spite of rounding, and
// 61 mm count as 2.4 in (60.96 mm): half the step of whole millimetres.
const slack = 0.5 * mm

// Holds reports whether l lies in the range, half a millimetre forgiven.
func (r Range) Holds(l quantity.Length) bool {
	return l >= r.Low-slack && (r.High == 0 || l <= r.High+slack)
}

func (r Range) empty() bool { return r.High < r.Low }

func inches(low, high float64) Range {
	return Range{quantity.Length(low) * quantity.Inch, quantity.Length(high) * quantity.Inch}
}

func millimetres(low, high float64) Range {
	return Range{quantity.Length(low) * mm, quantity.Length(high) * mm}
}

// Kind names a row of practice: a riding, or the plus and fat tyres that are a
// row of their own.
type Kind uint8

// The rows of ByRiding.
const (
	RoadKind Kind = iota + 1
	GravelKind
	XCKind
	TrailKind
	EnduroKind
	DownhillKind
	PlusKind
	FatKind
)

var kinds = [...]string{RoadKind: "road", GravelKind: "gravel", XCKind: "xc", TrailKind: "trail", EnduroKind: "enduro", DownhillKind: "downhill", PlusKind: "plus", FatKind: "fat"}

// String names the row: "trail", "plus".
func (k Kind) String() string {
	if int(k) < len(kinds) {
		return kinds[k]
	}
	return ""
}

// Practice is what is ridden for one kind of riding: tyre labels and rim inner
// widths.
type Practice struct {
	Kind  Kind
	Tyres Range
	Rims  Range
}

// PracticeBasis is what ByRiding rests on.
var PracticeBasis = basis.Basis{Kind: basis.Practice, Says: "what several trade articles describe as ridden; no law"}

var practices = [...]Practice{
	{RoadKind, millimetres(25, 32), millimetres(17, 23)},
	{GravelKind, millimetres(38, 50), millimetres(21, 25)},
	{XCKind, inches(2.2, 2.4), millimetres(25, 30)},
	{TrailKind, inches(2.35, 2.5), millimetres(28, 30)},
	{EnduroKind, inches(2.4, 2.6), millimetres(30, 33)},
	{DownhillKind, inches(2.4, 2.5), millimetres(30, 35)},
	{PlusKind, inches(2.8, 3.0), millimetres(35, 40)},
	{FatKind, inches(3.8, 5.0), millimetres(65, 100)},
}

// ByRiding returns what is ridden where, narrowest first. Light cross-country
// also uses rims below 25 mm; front tyres are equal or 0.1 to 0.2 in wider,
// never narrower off the road. Common practice; several articles, no source
// that says why.
func ByRiding() []Practice { return append([]Practice(nil), practices[:]...) }

// KindFor returns the row of practice a riding and a label belong to: plus
// from PlusFrom and fat from 84 mm, else the riding's; park is downhill,
// commute gravel or below 35 mm road, snow trail. It is 0 for no riding on a
// label below PlusFrom.
func KindFor(r Riding, label quantity.Length) Kind {
	switch {
	case label >= fatFrom:
		return FatKind
	case label > PlusFrom:
		return PlusKind
	}
	switch r {
	case Road:
		return RoadKind
	case Gravel:
		return GravelKind
	case XC:
		return XCKind
	case Trail, Snow:
		return TrailKind
	case Enduro:
		return EnduroKind
	case Downhill, Park:
		return DownhillKind
	case Commute:
		if label < commuteRoad {
			return RoadKind
		}
		return GravelKind
	}
	return 0
}

const (
	// PlusFrom is the widest label ridden as the riding says; above it the
	// tyre's own kind, plus and then fat, takes over. It lies just above 2.6 in.
	PlusFrom = 66.1 * mm
	fatFrom  = 84 * mm // where the measuring rims jump from 45 to 76 mm
	// commuteRoad is the label below which commuting is road riding.
	commuteRoad = 35 * mm
)

// DefaultRim returns the inner width taken for a label whose rim is unknown:
// the middle of what is ridden with it (ByRiding). Assumption; it must be said
// in the answer.
func DefaultRim(label quantity.Length) quantity.Length {
	switch at := label.MM(); {
	case !(at >= 24):
		return 17 * mm
	case at < 35:
		return 19 * mm
	case at < 38:
		return 21 * mm
	case at < 42:
		return 23 * mm
	case at < 55:
		return 25 * mm
	case at < 58:
		return 27 * mm
	case at <= PlusFrom.MM():
		return 30 * mm
	case at < 74:
		return 35 * mm
	case at < 84:
		return 40 * mm
	case at < 108:
		return 70 * mm
	}
	return 80 * mm
}

// rimPractice is what trade articles say of three rims: best labels and those
// that work besides.
var rimPractice = [...]struct {
	rim         quantity.Length
	best, works Range
}{
	{25 * mm, inches(2.1, 2.4), Range{}},
	{30 * mm, inches(2.3, 2.6), inches(2.2, 2.8)},
	{40 * mm, inches(3.0, 3.0), inches(2.8, 0)},
}

// rimPracticeFor returns the row for a rim, if one was published within 1 mm. A
// least label for a rim is one for wider rims too.
func rimPracticeFor(rim quantity.Length) (best, works Range, ok bool) {
	for _, r := range rimPractice {
		if d := rim - r.rim; d >= -1*mm && (d <= 1*mm || r.works != Range{} && r.works.High == 0) {
			return r.best, r.works, true
		}
	}
	return Range{}, Range{}, false
}
