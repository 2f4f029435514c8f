package air_test

import (
	"fmt"
	"math"
	"testing"
	"time"

	"spokeword/calc/air"
	"spokeword/calc/quantity"
)

func ExamplePressure() {
	p, err := air.Pressure(2000 * quantity.Metre)
	if err != nil {
		panic(err)
	}
	fmt.Println(p)
	// Output: 794.95 hPa
}

func ExampleRead() {
	beach := air.Place{Temperature: quantity.Celsius(25)}
	pass := air.Place{Temperature: quantity.Celsius(5), Height: 2000 * quantity.Metre}
	r, err := air.Read(24*quantity.PSI, beach, pass)
	if err != nil {
		panic(err)
	}
	fmt.Println(r.Set, "reads", r.Read, "- cold", r.ByTemperature, "height", r.ByHeight)
	// Output: 1.655 bar reads 1.694 bar - cold -0.179 bar height 0.218 bar
}

func ExampleSetFor() {
	workshop := air.Place{Temperature: quantity.Celsius(20)}
	start := air.Place{Temperature: quantity.Celsius(-2), Height: 1600 * quantity.Metre}
	r, err := air.SetFor(22*quantity.PSI, workshop, start)
	if err != nil {
		panic(err)
	}
	fmt.Println("set", r.Set, "to have", r.Read)
	// Output: set 1.53 bar to have 1.517 bar
}

func ExampleFly() {
	f, err := air.Fly(25*quantity.PSI, air.Place{Temperature: quantity.Celsius(20)})
	if err != nil {
		panic(err)
	}
	fmt.Println(f.Cabin.Set, "in the cabin", f.Cabin.Read, "with no air about it", f.Vacuum)
	// Output: 1.724 bar in the cabin 1.984 bar with no air about it 2.737 bar
}

func ExampleGas_Pressure() {
	p, err := air.CarbonDioxide.Pressure(16*quantity.Gram, 6.27*quantity.Litre, quantity.Celsius(20))
	if err != nil {
		panic(err)
	}
	fmt.Println(p)
	// Output: 1402.66 hPa
}

var sink float64

// against reports what f costs in the measure of one power, taken in the same
// run: more than nanoseconds on an unknown machine say.
func against(b *testing.B, f func(i int)) {
	b.Helper()
	const rounds = 5000
	begin := time.Now()
	for i := range rounds {
		sink += math.Pow(1-float64(i%3000)*2e-5, 5.25588)
	}
	base := float64(time.Since(begin)) / rounds
	b.ReportAllocs()
	b.ResetTimer()
	n := 0
	for b.Loop() {
		f(n)
		n++
	}
	b.ReportMetric(float64(b.Elapsed())/float64(n)/base, "x-power")
}

func BenchmarkRead(b *testing.B) {
	from := air.Place{Temperature: 293}
	against(b, func(i int) {
		r, err := air.Read(quantity.Gauge(1e5+float64(i%977)), from, air.Place{Temperature: 270, Height: quantity.Length(i % 3001)})
		if err != nil {
			b.Fatal(err)
		}
		sink += float64(r.Read)
	})
}

func BenchmarkGasPressure(b *testing.B) {
	against(b, func(i int) {
		p, err := air.CarbonDioxide.Pressure(quantity.Mass(10+i%17)*quantity.Gram, 6*quantity.Litre, 285)
		if err != nil {
			b.Fatal(err)
		}
		sink += float64(p)
	})
}
