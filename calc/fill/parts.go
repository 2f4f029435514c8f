package fill

import (
	"math"

	"spokeword/calc/basis"
	"spokeword/calc/quantity"
	"spokeword/calc/tyre"
)

// Volumes is a range of volumes.
type Volumes struct{ Low, High quantity.Volume }

// Dose is how much sealant goes into a tyre.
type Dose struct {
	New   Volumes // first fill
	TopUp Volumes // half of it
	// Published is what was published for the size, within New; zero if nothing.
	Published Volumes
	Insert    bool // New and TopUp are for a tyre with an insert: 20 to 50 % more
	Basis     basis.Basis
}

// How often sealant is looked after: every two to six months, sooner in heat
// and dry air. Published in trade articles.
const (
	SealantMonthsLow  = 2
	SealantMonthsHigh = 6
)

// doses are by label, from the width named up to the next.
var doses = [...]struct {
	from           quantity.Length
	dose, articles [2]float64 // ml
}{
	{0, [2]float64{30, 60}, [2]float64{}},
	{35 * quantity.Millimetre, [2]float64{60, 120}, [2]float64{}},
	{52 * quantity.Millimetre, [2]float64{90, 150}, [2]float64{90, 120}},
	{tyre.PlusFrom, [2]float64{120, 240}, [2]float64{}},
}

// DoseFor returns the sealant for a label: road 30 to 60 ml, gravel from 35 mm
// 60 to 120, mountain tyres from 52 mm 90 to 150 (trade articles 90 to 120),
// plus and fat above tyre.PlusFrom 120 to 240; more in a new, porous casing;
// with an insert 20 to 50 % more. It returns a *quantity.RangeError outside
// tyre.NarrowestLabel to tyre.WidestLabel.
//
// Source: trade articles for mountain tyres, else common practice.
func DoseFor(label quantity.Length, insert bool) (Dose, error) {
	if err := quantity.Within("label", label, tyre.NarrowestLabel, tyre.WidestLabel); err != nil {
		return Dose{}, err
	}
	row := doses[0]
	for _, r := range doses[1:] {
		if label >= r.from {
			row = r
		}
	}
	ml := func(r [2]float64) Volumes {
		return Volumes{quantity.Volume(r[0]) * quantity.Millilitre, quantity.Volume(r[1]) * quantity.Millilitre}
	}
	d := Dose{New: ml(row.dose), Published: ml(row.articles), Insert: insert, Basis: basis.Basis{Kind: basis.Practice, Says: "by width; more in a new, porous casing"}}
	if row.articles != [2]float64{} {
		d.Basis = basis.Basis{Kind: basis.Article, Source: "trade articles", Says: "90 to 120 ml for 29 x 2.2 to 2.5; by practice up to 150 in a new casing"}
	}
	if insert {
		const leastMore, mostMore = 1.2, 1.5 // common practice, no source
		d.New.Low *= leastMore
		d.New.High *= mostMore
	}
	d.TopUp = Volumes{d.New.Low / 2, d.New.High / 2}
	return d, nil
}

// Serves returns how many tyres a bottle serves at doses in a range: at least
// with the larger, at most with the smaller one. It returns a
// *quantity.RangeError for bottles outside 20 ml to 25 l and doses outside 5 ml
// to 1 l.
func Serves(bottle quantity.Volume, dose Volumes) (least, most int, err error) {
	if err := quantity.Within("bottle", bottle, 20*quantity.Millilitre, 25*quantity.Litre); err != nil {
		return 0, 0, err
	}
	if err := quantity.Within("dose", dose.Low, 5*quantity.Millilitre, 1*quantity.Litre); err != nil {
		return 0, 0, err
	}
	if err := quantity.Within("dose", dose.High, dose.Low, 1*quantity.Litre); err != nil {
		return 0, 0, err
	}
	n := func(d quantity.Volume) int { return int(math.Floor(float64(bottle/d) + 1e-9)) }
	return n(dose.High), n(dose.Low), nil
}

// InnerSurface returns the inner surface of a tyre between the beads, which
// sealant has to wet: the casing's length carried round at the mean radius of
// its arc. Right to a few per cent, for comparing sizes.
func InnerSurface(m tyre.Mounted) quantity.Area {
	// The arc's centroid stands r sin θ/θ beyond its centre, for half angle θ.
	r := float64(m.Width) / 2
	centre := float64(m.Height) - r
	if r == 0 {
		return 0
	}
	theta := float64(m.Casing) / (2 * r)
	mean := float64(m.Seat)/2 + centre + r*math.Sin(theta)/theta
	return quantity.Area(2 * math.Pi * mean * float64(m.Casing))
}

// Tape is what seals a rim's bed.
type Tape struct {
	WidthLow, WidthHigh quantity.Length
	// Length is for the turns asked for, with an overlap of 100 mm.
	Length quantity.Length
	Basis  basis.Basis
}

// What tape is wider than the rim's inner width.
const leastTape, mostTape = 2 * quantity.Millimetre, 4 * quantity.Millimetre

// TapeBasis is what TapeFor and RimsFor rest on.
var TapeBasis = basis.Basis{Kind: basis.Practice, Says: "inner width and 2 to 4 mm"}

// TapeFor returns the tape for a rim: inner width and 2 to 4 mm, one to two
// turns. Too narrow it leaks at the holes, too wide it folds at the bead.
//
//	length = turns × π × bead seat diameter + 100 mm
//
// It returns a *quantity.RangeError for rims outside tyre.NarrowestRim to
// tyre.WidestRim, seats outside tyre.SmallestSeat to tyre.LargestSeat, and
// turns outside 1 to 4. A seat of 0 leaves Length at 0.
//
// Common practice, no source.
func TapeFor(rim, seat quantity.Length, turns int) (Tape, error) {
	if err := quantity.Within("rim", rim, tyre.NarrowestRim, tyre.WidestRim); err != nil {
		return Tape{}, err
	}
	t := Tape{
		WidthLow: rim + leastTape, WidthHigh: rim + mostTape,
		Basis: TapeBasis,
	}
	if seat == 0 {
		return t, nil
	}
	if err := quantity.Within("bead seat", seat, tyre.SmallestSeat, tyre.LargestSeat); err != nil {
		return Tape{}, err
	}
	if err := quantity.Within("turns", number(turns), 1, 4); err != nil {
		return Tape{}, err
	}
	const overlap = 100 * quantity.Millimetre
	t.Length = quantity.Length(turns)*math.Pi*seat + overlap
	return t, nil
}

// RimsFor returns the inner widths of the rims that a tape is for, the other way
// round of TapeFor: 2 to 4 mm narrower than it. It returns a
// *quantity.RangeError where a rim would lie outside tyre.NarrowestRim to
// tyre.WidestRim.
//
// Common practice, no source.
func RimsFor(tape quantity.Length) (narrow, wide quantity.Length, err error) {
	err = quantity.Within("tape", tape, tyre.NarrowestRim+mostTape, tyre.WidestRim+leastTape)
	if err != nil {
		return 0, 0, err
	}
	return tape - mostTape, tape - leastTape, nil
}

// number is a count that errors can write.
type number int

func (n number) String() string { return quantity.Count(int(n)) }

// ValveBasis is what ValveFor rests on.
var ValveBasis = basis.Basis{Kind: basis.Practice, Says: "rim depth and 15 mm, so that a pump's head holds"}

// ValveFor returns the least length of a valve for a rim of a depth, bed to
// spoke side: depth + 15 mm. It returns a *quantity.RangeError for depths
// outside 8 to 110 mm.
//
// Common practice, no source.
func ValveFor(depth quantity.Length) (quantity.Length, error) {
	if err := quantity.Within("rim depth", depth, 8*quantity.Millimetre, 110*quantity.Millimetre); err != nil {
		return 0, err
	}
	return depth + 15*quantity.Millimetre, nil
}
