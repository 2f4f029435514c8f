package build

import (
	"math"

	"spokeword/calc/basis"
	"spokeword/calc/quantity"
)

// What is measured on the way to a wheel's dimensions.
const (
	FieldRod       Field = "rod"
	FieldBetween   Field = "between"
	FieldPitch     Field = "pitch"
	FieldAcross    Field = "across"
	FieldFaces     Field = "lock-nut faces"
	FieldFace      Field = "face to flange"
	FieldThickness Field = "flange thickness"
	FieldWidth     Field = "tyre width"
	FieldGap       Field = "gap"
	FieldReadings  Field = "readings"
)

// Ranges of what is measured: parts as they are, with room to spare (common
// practice without a source). A length in inches or centimetres by slip falls
// out of most of them.
const (
	leastRod, mostRod             = 50 * mm, 400 * mm
	mostBetween                   = 600 * mm
	leastPitch, mostPitch         = 4 * mm, 150 * mm
	leastFaces, mostFaces         = 70 * mm, 220 * mm
	mostFace                      = 120 * mm
	leastThickness, mostThickness = 1 * mm, 10 * mm
	leastWidth, mostWidth         = 15 * mm, 150 * mm
	mostRoom                      = 100 * mm
)

// Bases of what is measured.
var (
	// ERDBasis is what ERDByRods rests on.
	ERDBasis = basis.Basis{Kind: basis.Handbook, Source: "Brandt, The Bicycle Wheel, 3rd ed.", Says: "rim diameter with nipples in it, measured with two cut spokes or rods; good to about 1 mm"}
	// GeometryBasis is what circles, offsets and gaps rest on.
	GeometryBasis = basis.Basis{Kind: basis.Computed, Source: "geometry of the part", Says: "as good as the calliper was held"}
)

// inside returns a length that was worked out, or 0 and why it can't be.
func inside(f Field, s Side, l, low, high quantity.Length) (quantity.Length, error) {
	if err := within(f, s, l, low, high); err != nil {
		return 0, err
	}
	return l, nil
}

// ERDByRods returns the diameter of the circle of spoke ends from two rods of
// one length put through opposite holes, each ending flush in its nipple's
// slot, and the gap between their inner ends:
//
//	ERD = 2 rod + between
//
// Where the rods overlap, between is negative. Measure at two or three places
// at right angles and take Mean. It returns a *RangeError for rods outside 50
// to 400 mm, gaps outside minus a rod to 600 mm, and for diameters outside 120
// to 850 mm, and a *MissingError without a rod.
//
// Source: Brandt, The Bicycle Wheel, 3rd ed.
func ERDByRods(rod, between quantity.Length) (quantity.Length, error) {
	if rod == 0 {
		return 0, &MissingError{Field: FieldRod, Side: NoSide}
	}
	if err := within(FieldRod, NoSide, rod, leastRod, mostRod); err != nil {
		return 0, err
	}
	if err := within(FieldBetween, NoSide, between, -rod, mostBetween); err != nil {
		return 0, err
	}
	erd := 2*rod + between
	return inside(FieldERD, NoSide, erd, leastERD, mostERD)
}

// Measured is the mean of several readings of one length.
type Measured struct {
	Mean   quantity.Length
	Spread quantity.Length // greatest less least
	Count  int
}

// Mean returns the mean and spread of up to 64 readings, such as an ERD at
// several places: a spread above 1 mm asks for another look (common practice).
// It returns a *MissingError for none, and a *RangeError for more and for any
// outside −1 to 1 m.
func Mean(readings ...quantity.Length) (Measured, error) {
	if len(readings) == 0 {
		return Measured{}, &MissingError{Field: FieldReadings, Side: NoSide}
	}
	if err := count(FieldReadings, NoSide, len(readings), 1, 64); err != nil {
		return Measured{}, err
	}
	low, high, sum := readings[0], readings[0], quantity.Length(0)
	for _, r := range readings {
		if err := within(FieldReadings, NoSide, r, -1, 1); err != nil {
			return Measured{}, err
		}
		low, high, sum = min(low, r), max(high, r), sum+r
	}
	return Measured{Mean: sum / quantity.Length(len(readings)), Spread: high - low, Count: len(readings)}, nil
}

// CircleByPitch returns the diameter of a hole circle from the distance between
// the middles of neighbouring holes of a flange with so many evenly spaced:
//
//	circle = pitch / sin(π/holes)
//
// An edge is as good as a middle if it is the same edge of both holes. 0.1 mm of
// pitch makes 0.5 mm of circle on a flange of 16, so measure over several holes
// where that is possible: skip is how many lie between, and
// sin(π (skip + 1)/holes) takes the place of sin(π/holes). It returns a
// *MissingError without pitch or holes, and a *RangeError for pitches outside 4
// to 150 mm, holes outside 4 to 36, skips outside 0 to half the holes less one,
// and for circles outside 20 to 400 mm.
func CircleByPitch(pitch quantity.Length, holes, skip int) (quantity.Length, error) {
	if pitch == 0 {
		return 0, &MissingError{Field: FieldPitch, Side: NoSide}
	}
	if err := within(FieldPitch, NoSide, pitch, leastPitch, mostPitch); err != nil {
		return 0, err
	}
	if err := count(FieldHubHoles, NoSide, holes, leastHubHoles, mostHubHoles); err != nil {
		return 0, err
	}
	if skip < 0 || skip > holes/2-1 {
		return 0, &RangeError{Field: FieldPitch, Side: NoSide, Value: skip, Low: 0, High: holes/2 - 1}
	}
	circle := pitch / quantity.Length(math.Sin(math.Pi*float64(skip+1)/float64(holes)))
	return inside(FieldCircle, NoSide, circle, leastCircle, mostCircle)
}

// CircleAcross returns the diameter of a hole circle from the distance between
// the outer edges of two opposite holes and their diameter: across − hole. The
// flange must have an even number of holes. It returns a *MissingError without
// across, and a *RangeError for holes outside 2 to 4 mm and circles outside 20
// to 400 mm.
func CircleAcross(across, hole quantity.Length) (quantity.Length, error) {
	if across == 0 {
		return 0, &MissingError{Field: FieldAcross, Side: NoSide}
	}
	if err := within(FieldFlangeHole, NoSide, hole, leastFlangeHole, mostFlangeHole); err != nil {
		return 0, err
	}
	circle := across - hole
	return inside(FieldCircle, NoSide, circle, leastCircle, mostCircle)
}

// OffsetFromFace returns how far the middle of a flange lies from the centre
// plane, from the width over the lock-nut faces (of an axle that passes
// through: over the end caps) and the distance of the flange's outer side from
// the face on its own side:
//
//	offset = faces/2 − (face + thickness/2)
//
// A flange beyond the centre is refused: only very odd hubs have one, and sides
// or faces were swapped. It returns a *MissingError without
// faces or face, and a *RangeError for faces outside 70 to 220 mm, distances above
// 120 mm, thicknesses outside 1 to 10 mm, and for offsets outside 0 to 80 mm.
func OffsetFromFace(s Side, faces, face, thickness quantity.Length) (quantity.Length, error) {
	if faces == 0 {
		return 0, &MissingError{Field: FieldFaces, Side: NoSide}
	}
	if err := within(FieldFaces, NoSide, faces, leastFaces, mostFaces); err != nil {
		return 0, err
	}
	if face == 0 {
		return 0, &MissingError{Field: FieldFace, Side: s}
	}
	if err := within(FieldFace, s, face, 0, mostFace); err != nil {
		return 0, err
	}
	if err := within(FieldThickness, s, thickness, leastThickness, mostThickness); err != nil {
		return 0, err
	}
	offset := faces/2 - (face + thickness/2)
	return inside(FieldOffset, s, offset, 0, mostOffset)
}

// UsualFlangeThickness is taken for a flange that wasn't measured: 3 mm, common
// practice without a source; half of it goes into the offset.
const UsualFlangeThickness = 3 * mm

// Room is what is beside a tyre in a frame or fork.
type Room struct {
	Gap     quantity.Length // between the frame's inner sides
	Least   quantity.Length // on the nearer side
	ToRight quantity.Length // how far the tyre stands right of the middle; negative to the left
}

// GapFromSides returns the width between a frame's inner sides at the tyre's
// widest part from the tyre and the room on each side: it needs no tool that
// fits between them, a stack of coins will do:
//
//	gap = left + width + right
//
// It returns a *RangeError for widths outside 15 to 150 mm and sides outside 0
// to 100 mm, and a *MissingError without a width.
func GapFromSides(width, left, right quantity.Length) (Room, error) {
	if width == 0 {
		return Room{}, &MissingError{Field: FieldWidth, Side: NoSide}
	}
	if err := within(FieldWidth, NoSide, width, leastWidth, mostWidth); err != nil {
		return Room{}, err
	}
	for _, side := range [...]quantity.Length{left, right} {
		if err := within(FieldGap, NoSide, side, 0, mostRoom); err != nil {
			return Room{}, err
		}
	}
	return Room{Gap: left + width + right, Least: min(left, right), ToRight: (left - right) / 2}, nil
}
