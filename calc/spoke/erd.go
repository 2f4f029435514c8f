package spoke

import (
	"spokeword/calc/basis"
	"spokeword/calc/quantity"
)

// ERDKind is to what a rim's effective diameter was measured.
type ERDKind uint8

// The kinds. The models take SlotFloor.
const (
	SlotFloor ERDKind = iota + 1 // the floor of the nipple's driver slot
	NippleTop                    // the top of the nipple's head: larger
	BareHole                     // the seat of the nipple in the empty rim: smaller
)

// String names the kind.
func (k ERDKind) String() string {
	return [...]string{"", "slot floor", "top of the nipple head", "bare hole"}[min(k, BareHole)]
}

// ERDBasis is what ToSlotFloor rests on.
var ERDBasis = basis.Basis{
	Kind: basis.Practice,
	Says: "1 mm to 3 mm between the kinds; one rim is told of as 610, 612 and 613 mm",
}

// ToSlotFloor returns the range of what to add to a diameter of the given kind
// to come to the slot floor: nothing, or 1 mm to 3 mm either way. How much it is
// depends on the nipple; half of it goes into each spoke. An unknown kind has
// the range over all of them.
func ToSlotFloor(k ERDKind) (low, high quantity.Length) {
	const least, most = 1 * quantity.Millimetre, 3 * quantity.Millimetre
	switch k {
	case SlotFloor:
		return 0, 0
	case NippleTop:
		return -most, -least
	case BareHole:
		return least, most
	default:
		return -most, most
	}
}
