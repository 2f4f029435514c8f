package spoke_test

import (
	"math"
	"testing"
	"time"

	"spokeword/calc/build"
	"spokeword/calc/quantity"
	"spokeword/calc/spoke"
)

var sink quantity.Length

// BenchmarkLengths places a wheel of 32 spokes and groups its lengths, another
// wheel each time. It reports how many times the bare closed formula that is,
// timed in the same run on the same inputs, 32 times a wheel. Budget: 100 µs.
func BenchmarkLengths(b *testing.B) {
	wheel := func(i int) build.Wheel {
		d := float64(i%1000) / 100
		return mtb(32, 3, 3, 36-d/10, 21+d/10, 590+d)
	}
	b.ReportAllocs()
	i := 0
	for b.Loop() {
		l, err := spoke.LengthsOf(wheel(i))
		if err != nil {
			b.Fatal(err)
		}
		sink += l.Left[0].Length
		i++
	}
	placed := float64(b.Elapsed()) / float64(i)

	const rounds = 20000
	start := time.Now()
	for i := range rounds {
		w := wheel(i)
		for k := range 32 {
			h := &w.Left
			if k%2 == 0 {
				h = &w.Right
			}
			sink += closed(w.Rim.ERD, h.Flange.Circle, h.Flange.Offset, h.Flange.HoleDiameter, 2*math.Pi*float64(h.Cross)/16)
		}
	}
	b.ReportMetric(placed/(float64(time.Since(start))/rounds), "x-formula")
}
