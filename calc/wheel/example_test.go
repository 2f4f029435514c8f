package wheel_test

import (
	"fmt"
	"math"

	"spokeword/calc/build"
	"spokeword/calc/quantity"
	"spokeword/calc/wheel"
)

// A rear wheel of 32 against one of 28: what a spoke loses of a hit, and at
// what load the first goes slack.
func ExampleModel_Figures() {
	figures := func(holes int) wheel.Figures {
		half := func(offset quantity.Length) build.Half {
			return build.Half{Cross: 3, Gauge: build.DoubleButted(2*quantity.Millimetre, 1.8*quantity.Millimetre), Flange: build.Flange{
				Offset: offset, Holes: holes / 2, Circle: 58 * quantity.Millimetre, HoleDiameter: 2.6 * quantity.Millimetre,
			}}
		}
		rim, err := wheel.Profile{Inner: 30 * quantity.Millimetre}.Estimate()
		if err != nil {
			panic(err)
		}
		m, err := wheel.New(wheel.Setup{
			Wheel: build.Wheel{
				Left: half(36 * quantity.Millimetre), Right: half(21 * quantity.Millimetre),
				Rim: build.Rim{ERD: 600 * quantity.Millimetre, Holes: holes},
			},
			Section: rim.Section, Centroid: rim.Centroid, Tension: 1000,
		})
		if err != nil {
			panic(err)
		}
		return m.Figures()
	}
	a, b := figures(32), figures(28)
	percent := func(x float64) float64 { return math.Round(100*x - 100) }
	fmt.Println("side", percent(float64(b.Lateral/a.Lateral)), "%")
	fmt.Println("slack", percent(float64(b.Hit.Load/a.Hit.Load)), "%")
	// Output:
	// side -14 %
	// slack -8 %
}
