package freehub_test

import (
	"fmt"

	"spokeword/calc/freehub"
	"spokeword/calc/gearing"
)

func ExampleCompare() {
	hubs, err := freehub.Compare([]freehub.Points{36, 120}, gearing.Gear{Ring: 32, Cog: 52}, freehub.UsualCrank)
	if err != nil {
		panic(err)
	}
	for _, e := range hubs {
		fmt.Println(e.Points, "in", e.Gear, "hub", e.Hub, "crank", e.AtCrank, "pedal", e.AtPedal)
	}
	// Output:
	// 36 points in 32/52 hub 10° crank 16.25° pedal 48.21 mm
	// 120 points in 32/52 hub 3° crank 4.88° pedal 14.46 mm
}

func ExampleGroupings() {
	ways, err := freehub.Groupings(6, 33)
	if err != nil {
		panic(err)
	}
	for _, w := range ways {
		fmt.Println(w.Phases, "phases of", w.Each, "pawls:", w.Points)
	}
	// Output:
	// 1 phases of 6 pawls: 33 points
	// 2 phases of 3 pawls: 66 points
	// 3 phases of 2 pawls: 99 points
	// 6 phases of 1 pawls: 198 points
}
