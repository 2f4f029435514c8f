package fill_test

import (
	"fmt"
	"testing"
	"time"

	"spokeword/calc/air"
	"spokeword/calc/fill"
	"spokeword/calc/quantity"
	"spokeword/calc/tyre"
)

const mm = quantity.Millimetre

func mount(label, seat, rim quantity.Length) tyre.Mounted {
	m, err := tyre.Mount(label, seat, rim)
	if err != nil {
		panic(err)
	}
	return m
}

func ExampleCartridge() {
	f, err := fill.Cartridge(16*quantity.Gram, mount(61*mm, 622*mm, 30*mm), air.Place{Temperature: quantity.Celsius(20)})
	if err != nil {
		panic(err)
	}
	fmt.Println("still round", f.Round.Pressure, "squashed flat", f.Flat.Pressure)
	// Output: still round 1.397 bar squashed flat 0.384 bar
}

func ExampleCartridgeFor() {
	c, err := fill.CartridgeFor(25*quantity.PSI, 3.5*quantity.Bar, mount(61*mm, 622*mm, 30*mm), air.Place{Temperature: quantity.Celsius(20)}, fill.Round)
	if err != nil {
		panic(err)
	}
	fmt.Println(c.Count, "of", c.Size, "give", c.Filled.Round.Pressure)
	// Output: 1 of 0.02 kg give 1.743 bar
}

func ExampleStrokes() {
	p, err := fill.Strokes(0, 25*quantity.PSI, mount(61*mm, 622*mm, 30*mm), 100*quantity.Millilitre, fill.Lossless, 0)
	if err != nil {
		panic(err)
	}
	fmt.Println(fill.Whole(p.Round), "strokes, from squashed", fill.Whole(p.Flat))
	// Output: 108 strokes, from squashed 171
}

func ExampleDoseFor() {
	d, err := fill.DoseFor(2.4*quantity.Inch, false)
	if err != nil {
		panic(err)
	}
	least, most, err := fill.Serves(1*quantity.Litre, d.Published)
	if err != nil {
		panic(err)
	}
	fmt.Println(d.Published.Low, "to", d.Published.High, "a litre serves", least, "to", most)
	// Output: 0.09 l to 0.12 l a litre serves 8 to 11
}

var sink float64

// BenchmarkCartridgeFor reports the sum in the measure of one division, taken
// in the same run.
func BenchmarkCartridgeFor(b *testing.B) {
	const rounds = 5000
	begin := time.Now()
	for i := range rounds {
		sink += 360 / float64(i+1)
	}
	base := float64(time.Since(begin)) / rounds
	m := mount(61*mm, 622*mm, 30*mm)
	b.ReportAllocs()
	b.ResetTimer()
	n := 0
	for b.Loop() {
		c, err := fill.CartridgeFor(quantity.Gauge(1e5+float64(n%997)), 3.5*quantity.Bar, m, air.Place{Temperature: 293}, fill.Round)
		if err != nil {
			b.Fatal(err)
		}
		sink += float64(c.Needed)
		n++
	}
	b.ReportMetric(float64(b.Elapsed())/float64(n)/base, "x-division")
}
