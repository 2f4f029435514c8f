package gearing_test

import (
	"fmt"
	"math"
	"testing"
	"time"

	"spokeword/calc/gearing"
	"spokeword/calc/quantity"
	"spokeword/calc/tyre"
)

const mm = quantity.Millimetre

func wheel(label, seat, rim quantity.Length) gearing.Wheel {
	m, err := tyre.Mount(label, seat, rim)
	if err != nil {
		panic(err)
	}
	return gearing.Wheel{Tyre: m}
}

func ExampleRestore() {
	r, err := gearing.Restore(gearing.Gear{Ring: 32, Cog: 36}, wheel(2.4*quantity.Inch, 584*mm, 30*mm), wheel(2.4*quantity.Inch, 622*mm, 30*mm))
	if err != nil {
		panic(err)
	}
	fmt.Println("a turn of the crank goes", r.Growth, "further")
	for _, c := range r.Rings {
		fmt.Println("ring of", c.Teeth, "leaves", c.Change)
	}
	// Output:
	// a turn of the crank goes 5.4 % further
	// ring of 30 teeth leaves -1.2 %
	// ring of 31 teeth leaves 2.1 %
}

// Gear inches by their definition: 48/16 on a wheel of 27 inches is 81.
func ExampleInches() {
	turns := 48.0 / 16
	fmt.Printf("%.0f\n", gearing.Inches(quantity.Length(turns*math.Pi)*27*quantity.Inch).In(quantity.Inch))
	// Output: 81
}

func ExampleCircleUnder() {
	c, err := gearing.CircleUnder(wheel(2.3*quantity.Inch, 622*mm, 30*mm), 45, 1.7*quantity.Bar)
	if err != nil {
		panic(err)
	}
	fmt.Println("unloaded", c.Unloaded.MM() > 2320, "rolling shorter:", c.Rolling < c.Unloaded)
	// Output: unloaded true rolling shorter: true
}

func ExampleTurn() {
	big, small := wheel(61*mm, 622*mm, 30*mm), wheel(61*mm, 584*mm, 30*mm)
	t, err := gearing.Turn(gearing.Wheels{Front: big, Rear: big}, gearing.Wheels{Front: big, Rear: small}, gearing.Geometry{})
	if err != nil {
		panic(err)
	}
	fmt.Println("bottom bracket", t.Bracket, "angles", t.Angle, "wheelbase taken as usual:", t.Assumed.Wheelbase)
	// Output: bottom bracket -12.24 mm angles 0.89° wheelbase taken as usual: true
}

var sink float64

// BenchmarkTurn reports the sum in the measure of one division, taken in the
// same run.
func BenchmarkTurn(b *testing.B) {
	const rounds = 5000
	begin := time.Now()
	for i := range rounds {
		sink += 360 / float64(i+1)
	}
	base := float64(time.Since(begin)) / rounds
	big, small := wheel(61*mm, 622*mm, 30*mm), wheel(61*mm, 584*mm, 30*mm)
	b.ReportAllocs()
	b.ResetTimer()
	n := 0
	for b.Loop() {
		g := gearing.Geometry{Wheelbase: quantity.Length(1200+n%97) * mm}
		t, err := gearing.Turn(gearing.Wheels{Front: big, Rear: big}, gearing.Wheels{Front: big, Rear: small}, g)
		if err != nil {
			b.Fatal(err)
		}
		sink += float64(t.Angle)
		n++
	}
	b.ReportMetric(float64(b.Elapsed())/float64(n)/base, "x-division")
}
