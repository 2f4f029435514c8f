package tyre

import (
	"math"
	"testing"
	"time"

	"spokeword/calc/quantity"
)

// input is a set-up that differs on every call.
func input(i int) (label, rim quantity.Length, rider quantity.Mass) {
	return (50 + quantity.Length(i%160)/10) * mm, (25 + quantity.Length(i%71)/10) * mm, 50 + quantity.Mass(i%513)/10
}

// bare is the least a pressure could cost: one power law. The ratio to it says
// more than nanoseconds on an unknown machine.
func bare(i int) float64 {
	label, _, rider := input(i)
	return float64(rider) * math.Pow(label.MM(), -1.45)
}

var sink float64

// against reports what f costs in the measure of bare, taken in the same run.
func against(b *testing.B, f func(i int)) {
	b.Helper()
	const rounds = 2000
	begin := time.Now()
	for i := range rounds {
		sink += bare(i)
	}
	base := float64(time.Since(begin)) / rounds
	b.ReportAllocs()
	b.ResetTimer()
	n := 0
	for b.Loop() {
		f(n)
		n++
	}
	b.ReportMetric(float64(b.Elapsed())/float64(n)/base, "x-power-law")
}

func BenchmarkStartFor(b *testing.B) {
	against(b, func(i int) {
		label, rim, rider := input(i)
		front, err := Mount(label, 0.622, rim)
		if err != nil {
			b.Fatal(err)
		}
		rear, err := Mount(label+0.001, 0.584, rim)
		if err != nil {
			b.Fatal(err)
		}
		s, err := StartFor(Setup{Rider: rider, Bike: 17, Front: Wheel{Tyre: front}, Rear: Wheel{Tyre: rear}, Riding: Trail})
		if err != nil {
			b.Fatal(err)
		}
		sink += float64(s.Front.Pressure)
	})
}

func BenchmarkJudge(b *testing.B) {
	against(b, func(i int) {
		label, rim, _ := input(i)
		j, err := Judge(Pairing{Label: label, Rim: rim, TyreSeat: 0.622, RimSeat: 0.622, Riding: Trail})
		if err != nil {
			b.Fatal(err)
		}
		sink += float64(j.Section.Width)
	})
}

func BenchmarkSuits(b *testing.B) {
	against(b, func(i int) {
		_, rim, _ := input(i)
		s, err := Suits(rim)
		if err != nil {
			b.Fatal(err)
		}
		sink += float64(s.Ridden.Low)
	})
}

func BenchmarkPress(b *testing.B) {
	m, err := Mount(61*mm, 622*mm, 30*mm)
	if err != nil {
		b.Fatal(err)
	}
	against(b, func(i int) {
		_, _, rider := input(i)
		p, err := m.Press(rider/2, 1.5*quantity.Bar)
		if err != nil {
			b.Fatal(err)
		}
		sink += float64(p.Depth)
	})
}

func BenchmarkApply(b *testing.B) {
	m, err := Mount(61*mm, 622*mm, 30*mm)
	if err != nil {
		b.Fatal(err)
	}
	against(b, func(i int) {
		label, rim, rider := input(i)
		now, err := Mount(label, 622*mm, rim)
		if err != nil {
			b.Fatal(err)
		}
		w := OwnWheel{Wheel: Wheel{Tyre: m}, Pressure: 1.6 * quantity.Bar, Load: rider / 2}
		c, err := Apply(Own{Front: w, Rear: w, Riding: Trail}, []Change{{Kind: Wet}, {Kind: OtherTyre, Tyre: now}, {Kind: AddedLoad, Load: 8, End: Rear}})
		if err != nil {
			b.Fatal(err)
		}
		sink += float64(c.Front.Pressure)
	})
}
