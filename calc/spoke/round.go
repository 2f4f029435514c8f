package spoke

import (
	"cmp"
	"math"
	"slices"

	"spokeword/calc/basis"
	"spokeword/calc/build"
	"spokeword/calc/quantity"
)

// Where a spoke's end may lie in its nipple, counted from the slot floor. The
// rule, that the end belongs between slot floor and 1 mm short of it and never
// below the head, is common practice without a source; alloy heads whose
// thread is not filled break off.
const (
	// MostShort is how far short of the slot floor the end may be.
	MostShort = 1 * quantity.Millimetre
	// MostPast is how far past the slot floor it may be: the depth of the
	// slot, beyond which the end stands proud and can reach the tape.
	MostPast = 1 * quantity.Millimetre
)

// ThreadPitch is what one turn of a nipple takes up: 56 threads an inch,
// 0.4536 mm, from memory. It is that of 2.0 mm ends; others are close.
const ThreadPitch = quantity.Inch / 56

// Turns returns how many turns of the nipple a length is, signed.
func Turns(l quantity.Length) float64 { return float64(l / ThreadPitch) }

// NippleBasis is what MostShort and MostPast rest on.
var NippleBasis = basis.Basis{
	Kind: basis.Practice,
	Says: "the end between slot floor and 1 mm short, never below the head, never proud of it; measure with the nipple in use",
}

// End is where a spoke's end lies in its nipple.
type End uint8

// The places, best first.
const (
	Filled  End = iota + 1 // between slot floor and MostShort: as it should be
	Forgive                // shorter by no more than this spoke will stretch besides: acceptable on the tighter side
	InSlot                 // past the slot floor, still inside the head: acceptable, thread and slot permitting
	Short                  // below the head: no
	Proud                  // out of the head: no
)

var endNames = [...]string{"", "filled", "forgiven", "in the slot", "short", "proud"}

// String names the place.
func (e End) String() string { return endNames[min(e, Proud)] }

// OK reports whether a spoke may be used so.
func (e End) OK() bool { return e >= Filled && e <= InSlot }

// Fit is one stocked length set against the exact one.
type Fit struct {
	Stocked quantity.Length
	// Short is how far short of the slot floor the end lies before the spoke
	// is tensioned; negative: past it.
	Short quantity.Length
	// Tensioned is the same after the spoke has stretched.
	Tensioned quantity.Length
	End       End
}

// FitOf tells where the end of a spoke of stocked length lies if exact is the
// length whose end lies on the slot floor. On the tighter side of the wheel
// pass the stretch to expect (see Stretch): a spoke may be short by as much
// again. On the other side pass 0, since it is the side with least tension to
// hold the nipple.
func FitOf(exact, stocked, stretch quantity.Length) Fit {
	// A hundredth of a millimetre is rounding, not length.
	const rounding = 0.01 * quantity.Millimetre
	f := Fit{Stocked: stocked, Short: exact - stocked}
	f.Tensioned = f.Short - stretch
	switch {
	case f.Short < -MostPast-rounding:
		f.End = Proud
	case f.Short < -rounding:
		f.End = InSlot
	case f.Short <= MostShort+rounding:
		f.End = Filled
	case f.Tensioned <= MostShort+rounding:
		f.End = Forgive
	default:
		f.End = Short
	}
	return f
}

// Stock is what lengths a shop has: a list, or every Step from a multiple of
// it. The list goes first.
type Stock struct {
	Lengths []quantity.Length // each 20 mm to 450 mm
	Step    quantity.Length   // 0.5 mm to 10 mm
}

// Fits returns the stocked lengths next to the exact one, rising: of a step
// the two below and the two above, of a list all within 5 mm and at least the
// nearest. It returns a *build.RangeError or *build.MissingError for a stock
// that can't be, or an exact length outside 40 mm to 450 mm.
func (s Stock) Fits(exact, stretch quantity.Length) ([]Fit, error) {
	const (
		mm             = quantity.Millimetre
		least, longest = 40 * mm, 450 * mm
		near           = 5 * mm
	)
	if !quantity.Finite(exact) || exact < least || exact > longest {
		return nil, &build.RangeError{Field: build.FieldLength, Side: build.NoSide, Value: exact, Low: least, High: longest}
	}
	if !quantity.Finite(stretch) || stretch < 0 || stretch > near {
		return nil, &build.RangeError{Field: build.FieldStretch, Side: build.NoSide, Value: stretch, Low: quantity.Length(0), High: near}
	}
	if len(s.Lengths) > 0 {
		return s.listed(exact, stretch, near)
	}
	if s.Step == 0 {
		return nil, &build.MissingError{Field: build.FieldStep, Side: build.NoSide}
	}
	if !quantity.Finite(s.Step) || s.Step < mm/2 || s.Step > 10*mm {
		return nil, &build.RangeError{Field: build.FieldStep, Side: build.NoSide, Value: s.Step, Low: mm / 2, High: 10 * mm}
	}
	// The length itself is the upper of the two below if it is stocked.
	below := math.Floor(float64((exact + mm/1000) / s.Step))
	out := make([]Fit, 0, 4)
	for k := -1.0; k <= 2; k++ {
		out = append(out, FitOf(exact, quantity.Length(below+k)*s.Step, stretch))
	}
	return out, nil
}

func (s Stock) listed(exact, stretch, near quantity.Length) ([]Fit, error) {
	var out []Fit
	nearest := s.Lengths[0]
	for _, l := range s.Lengths {
		const least, longest = 20 * quantity.Millimetre, 450 * quantity.Millimetre
		if !quantity.Finite(l) || l < least || l > longest {
			return nil, &build.RangeError{Field: build.FieldLength, Side: build.NoSide, Value: l, Low: least, High: longest}
		}
		if math.Abs(float64(l-exact)) < math.Abs(float64(nearest-exact)) {
			nearest = l
		}
		if math.Abs(float64(l-exact)) <= float64(near) {
			out = append(out, FitOf(exact, l, stretch))
		}
	}
	if len(out) == 0 {
		out = append(out, FitOf(exact, nearest, stretch))
	}
	slices.SortFunc(out, func(a, b Fit) int { return cmp.Compare(a.Stocked, b.Stocked) })
	return out, nil
}

// Best returns which of the fits to take: the best place for the end, and of
// two as good the one nearer to the slot floor. It reports false if none may
// be used.
func Best(fits []Fit) (Fit, bool) {
	var best Fit
	found := false
	for _, f := range fits {
		if !f.End.OK() {
			continue
		}
		if !found || f.End < best.End || f.End == best.End && math.Abs(float64(f.Short)) < math.Abs(float64(best.Short)) {
			best, found = f, true
		}
	}
	return best, found
}

// SparesPerSide is how many spare spokes go with an order for each side:
// 2, common practice without a source.
const SparesPerSide = 2

// Line is one line of an order list.
type Line struct {
	Length        quantity.Length
	Left, Right   int // spokes of each side
	Count, Spares int // of both sides
}

// Order adds up what to order: choose gives each side's stocked length for
// each of its groups, in the order of Lengths.Of. Every side gets
// SparesPerSide spares of the length it has most of; what falls on one length
// is one line. Lines are in rising length.
func Order(l Lengths, choose func(build.Side, Group) quantity.Length) []Line {
	var out []Line
	add := func(side build.Side, length quantity.Length, count, spares int) {
		at := slices.IndexFunc(out, func(l Line) bool { return math.Abs(float64(l.Length-length)) <= float64(same) })
		if at < 0 {
			at = len(out)
			out = append(out, Line{Length: length})
		}
		l := &out[at]
		l.Count += count
		l.Spares += spares
		if side == build.Left {
			l.Left += count
		} else {
			l.Right += count
		}
	}
	for _, side := range build.Sides {
		var most Group
		for _, g := range l.Of(side) {
			add(side, choose(side, g), g.Count(), 0)
			if g.Count() > most.Count() {
				most = g
			}
		}
		if most.Count() > 0 {
			add(side, choose(side, most), 0, SparesPerSide)
		}
	}
	slices.SortFunc(out, func(a, b Line) int { return cmp.Compare(a.Length, b.Length) })
	return out
}
