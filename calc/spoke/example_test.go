package spoke_test

import (
	"fmt"
	"math"

	"spokeword/calc/build"
	"spokeword/calc/lace"
	"spokeword/calc/quantity"
	"spokeword/calc/spoke"
)

// A published example of the formula: 36 spokes, 3 crossings, circle 58 mm,
// offset 39 mm, hole 2.6 mm, ERD 555 mm make 265.8 mm.
func ExampleLengthsOf() {
	half := build.Half{Cross: 3, Flange: build.Flange{
		Offset: 39 * quantity.Millimetre, Holes: 18,
		Circle: 58 * quantity.Millimetre, HoleDiameter: 2.6 * quantity.Millimetre,
	}}
	l, err := spoke.LengthsOf(build.Wheel{Left: half, Right: half, Rim: build.Rim{ERD: 555 * quantity.Millimetre, Holes: 36}})
	if err != nil {
		fmt.Println(err)
		return
	}
	g := l.Left[0]
	fmt.Println(g.Count(), "of", math.Round(g.Length.MM()*10)/10, "mm")
	// Output: 18 of 265.8 mm
}

// The rim holes 3 mm to the left give the left side 73 % of the right side's
// tension; the wrong way round 46 %.
func ExampleRatio() {
	half := func(offset quantity.Length) build.Half {
		return build.Half{Cross: 3, Flange: build.Flange{
			Offset: offset, Holes: 16, Circle: 58 * quantity.Millimetre, HoleDiameter: 2.6 * quantity.Millimetre,
		}}
	}
	for _, shift := range []quantity.Length{3 * quantity.Millimetre, -3 * quantity.Millimetre} {
		spokes, err := lace.Place(build.Wheel{
			Left: half(36 * quantity.Millimetre), Right: half(21 * quantity.Millimetre),
			Rim: build.Rim{ERD: 600 * quantity.Millimetre, Holes: 32, ShiftLeft: shift},
		})
		if err != nil {
			fmt.Println(err)
			return
		}
		ratio, err := spoke.Ratio(spokes)
		fmt.Println(math.Round(ratio*100), "%", err)
	}
	// Output:
	// 73 % <nil>
	// 46 % <nil>
}

func ExampleBest() {
	// The exact length is 291.3 mm, the shop has even lengths.
	fits, err := spoke.Stock{Step: 2 * quantity.Millimetre}.Fits(291.3*quantity.Millimetre, 0)
	best, ok := spoke.Best(fits)
	fmt.Println(math.Round(best.Stocked.MM()), best.End, ok, err)
	// Output: 292 in the slot true <nil>
}
