package size

import (
	"spokeword/calc/basis"
	"spokeword/calc/quantity"
)

// The diameters below are in millimetres, as ISO 5775 lists them and as five
// published lists of old names agree. What was added from memory says so.

// firstMetric is the smallest French name, in thousandths: those from 400 to
// 700 are nominal outside diameters in millimetres, the rest are inches.
const firstMetric = 400_000

// knownSeats are the bead seat diameters tyres are made for, from ISO 5775-1;
// those without a name in designations are from memory.
var knownSeats = [...]int{
	137, 152, 203, 239, 251, 254, 279, 288, 298, 305, 317, 330, 337, 340, 349, 355, 357, 369, 387, 389, 390,
	400, 406, 419, 428, 432, 438, 440, 451, 457, 484, 489, 490, 498, 501, 507, 520, 531, 534, 540, 541, 547,
	559, 565, 571, 584, 587, 590, 597, 599, 609, 622, 630, 635, 642, 647, 686, 787,
}

// isSeat[d] is whether d is in knownSeats.
var isSeat = func() (is [800]bool) {
	for _, s := range knownSeats {
		is[s] = true
	}
	return is
}()

func knownSeat(mm int) bool { return mm > 0 && mm < len(isSeat) && isSeat[mm] }

// KnownSeat reports whether tyres are made for the bead seat diameter.
func KnownSeat(seat quantity.Length) bool {
	if !quantity.Finite(seat) || seat <= 0 || seat > 1*quantity.Metre {
		return false
	}
	mm := wholeMillimetres(seat)
	return sameSeat(seat, mm) && knownSeat(mm)
}

// nameSeats returns what a name in inches without a width can mean. Of the
// 26s the five still sold are meant; 599 was gone before most riders were born
// and is named only by its own two marks.
func nameSeats(name int) []int {
	switch name {
	case 12_000, 12_500:
		return []int{203}
	case 14_000:
		return []int{254} // from memory
	case 16_000:
		return []int{305, 349, 340, 337, 317}
	case 17_000:
		return []int{369}
	case 18_000:
		return []int{355}
	case 20_000:
		return []int{406, 451, 419}
	case 22_000:
		return []int{457}
	case 24_000:
		return []int{507, 540, 520, 547}
	case 26_000:
		return []int{559, 571, 584, 590, 597}
	case 27_000:
		return []int{630}
	case 27_500:
		return []int{584}
	case 28_000:
		return []int{622, 635}
	case 29_000:
		return []int{622}
	case 32_000:
		return []int{686}
	case 36_000:
		return []int{787}
	}
	return nil
}

// inchSeats returns what an inch name with a width can mean, name and width in
// thousandths of an inch. A fraction is not its decimal: 26x1 1/2 is 584 and
// 26x1.5 is 559. A fraction no list has means any fraction size of that name.
func inchSeats(name int, f form, width int) []int {
	if f == formTriple {
		// 28x1 5/8x1 3/8 and its like: the only family marked so.
		if name == 28_000 {
			return []int{622}
		}
		return nil
	}
	decimal := f == formDecimal
	switch name {
	case 16_000:
		switch {
		case decimal && width < 1500:
			return []int{305, 349} // narrow 349 tyres are marked in decimals too (from memory)
		case decimal:
			return []int{305}
		case width == 1125, width == 1250:
			return []int{349}
		case width == 1375:
			return []int{349, 340, 337}
		case width == 1750:
			return []int{317}
		}
		return []int{349, 340, 337, 317}
	case 18_000:
		if decimal {
			return []int{355}
		}
		return nil
	case 20_000:
		switch {
		case decimal && width < 1500:
			return []int{406, 451} // narrow 451 tyres are marked in decimals too (from memory)
		case decimal:
			return []int{406}
		case width <= 1375:
			return []int{451}
		case width == 1750:
			return []int{419}
		}
		return []int{451, 419}
	case 22_000:
		if decimal {
			return []int{457}
		}
		return nil
	case 24_000:
		switch {
		case decimal && width < 1500:
			return []int{507, 520} // narrow 520 tyres are marked in decimals too (from memory)
		case decimal:
			return []int{507}
		case width == 1000:
			return []int{520}
		case width == 1125:
			return []int{540, 520} // lists have 540; 520 from memory
		case width == 1250:
			return []int{547}
		case width == 1375:
			return []int{540}
		}
		return []int{540, 547, 520}
	case 26_000:
		switch {
		case decimal && width == 1250:
			return []int{559, 599}
		case decimal && width == 1375:
			return []int{599, 559}
		case decimal:
			return []int{559}
		case width == 1000, width == 1750:
			return []int{571}
		case width == 1250:
			return []int{597}
		case width == 1375:
			return []int{590, 597}
		case width == 1500:
			return []int{584}
		}
		return []int{590, 584, 571, 597}
	case 28_000:
		switch {
		case !decimal && width == 1500:
			return []int{635}
		case !decimal && width == 1375:
			return []int{622, 642} // 642 from memory
		}
		return []int{622}
	case 14_000:
		if !decimal {
			return nil
		}
	}
	return nameSeats(name)
}

// metricSeats returns what a French name means: the letter was the width
// class, widest first, and went with one diameter each. 700 without a letter
// means C everywhere today; 650 without one stays open.
func metricSeats(name int, letter byte) []int {
	switch name {
	case 700_000:
		switch letter {
		case 'A':
			return []int{642}
		case 'B':
			return []int{635}
		case 'C', 0:
			return []int{622}
		case 'D':
			return []int{587}
		}
	case 650_000:
		switch letter {
		case 'A':
			return []int{590}
		case 'B':
			return []int{584}
		case 'C':
			return []int{571}
		case 0:
			return []int{584, 590, 571}
		}
	case 600_000:
		if letter == 'A' {
			return []int{540} // from memory
		}
	case 550_000:
		if letter == 'A' {
			return []int{490}
		}
	case 500_000:
		if letter == 'A' {
			return []int{440} // from memory
		}
	case 450_000:
		if letter == 'A' {
			return []int{390}
		}
	case 400_000:
		if letter == 'A' {
			return []int{340} // from memory
		}
	}
	return nil
}

// Designation is one name under which a bead seat diameter is or was sold.
type Designation struct {
	Nominal string          // the name without a width: "26", "650B"
	Name    string          // with the widths that go with it: "26x1 1/2", "26x1.0–2.3"
	Seat    quantity.Length // bead seat diameter
	Basis   basis.Basis
}

var (
	listed = basis.Basis{Kind: basis.Article, Source: "five lists of tyre sizes", Says: "agree with each other and with ISO 5775"}
	memory = basis.Basis{Kind: basis.Memory}
)

// designations is the whole table, largest first; within one diameter the name
// most used today first.
var designations = []struct {
	seat          int
	nominal, name string
	memory        bool
}{
	{787, "36", "36", false},
	{686, "32", "32", false},
	{642, "700A", "700A", false},
	{642, "28", "28x1 3/8", true},
	{635, "28", "28x1 1/2", false},
	{635, "700B", "700B", false},
	{630, "27", "27", false},
	{622, "29", "29", false},
	{622, "700C", "700C", false},
	{622, "28", "28x1.0–2.35", false},
	{622, "28", "28x1 5/8", false},
	{599, "26", "26x1.25, 26x1.375 (old)", false},
	{597, "26", "26x1 1/4", false},
	{597, "26", "26x1 3/8 (one of two)", false},
	{590, "26", "26x1 3/8 (one of two)", false},
	{590, "650A", "650A", false},
	{587, "700D", "700D", false},
	{584, "27.5", "27.5", false},
	{584, "650B", "650B", false},
	{584, "26", "26x1 1/2", false},
	{571, "650C", "650C", false},
	{571, "26", "26x1", false},
	{571, "26", "26x1 3/4", false},
	{559, "26", "26x1.0–2.3", false},
	{559, "26", "26x4–5 (fat)", false},
	{547, "24", "24x1 1/4", false},
	{540, "24", "24x1 3/8", false},
	{540, "24", "24x1 1/8", false},
	{540, "600A", "600A", true},
	{520, "24", "24x1", false},
	{507, "24", "24x1.5–2.125", false},
	{490, "550A", "550A", false},
	{457, "22", "22x1.75–2.125", false},
	{451, "20", "20x1 1/8–1 3/8", false},
	{440, "500A", "500A", true},
	{419, "20", "20x1 3/4", false},
	{406, "20", "20x1.5–2.125", false},
	{390, "450A", "450A", false},
	{387, "20", "20(19)x2.5 (trials)", false},
	{369, "17", "17x1 1/4", false},
	{355, "18", "18x1.5–2.125", false},
	{349, "16", "16x1 3/8 (one of three)", false},
	{340, "16", "16x1 3/8 (one of three)", false},
	{340, "400A", "400A", true},
	{337, "16", "16x1 3/8 (one of three)", false},
	{317, "16", "16x1 3/4", false},
	{305, "16", "16x1.75–2.125", false},
	{254, "14", "14x1.5–2.125", true},
	{203, "12", "12 1/2x2 1/4", false},
}

// Names returns the names a bead seat diameter is sold under, the most used
// first; none if it has no name here.
//
// Source: five published lists of tyre sizes, which agree.
func Names(seat quantity.Length) []Designation {
	if !quantity.Finite(seat) {
		return nil
	}
	var out []Designation
	for _, d := range designations {
		if sameSeat(seat, d.seat) {
			out = append(out, designation(d.seat, d.nominal, d.name, d.memory))
		}
	}
	return out
}

// Named returns every diameter that goes by the nominal name ("26", "24",
// "28", "650B"), with what is written for each, largest first.
func Named(nominal string) []Designation {
	var out []Designation
	for _, d := range designations {
		if d.nominal == nominal {
			out = append(out, designation(d.seat, d.nominal, d.name, d.memory))
		}
	}
	return out
}

// All returns the whole table, largest diameter first.
func All() []Designation {
	out := make([]Designation, len(designations))
	for i, d := range designations {
		out[i] = designation(d.seat, d.nominal, d.name, d.memory)
	}
	return out
}

func designation(seat int, nominal, name string, fromMemory bool) Designation {
	b := listed
	if fromMemory {
		b = memory
	}
	return Designation{Nominal: nominal, Name: name, Seat: millimetres(seat), Basis: b}
}
