package tyre

import (
	"encoding/csv"
	"math"
	"os"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"spokeword/calc/basis"
	"spokeword/calc/quantity"
)

// mine is a rider's own bike: 22 and 25 psi, 80 + 17 kg, trail.
func mine(t testing.TB) Own {
	t.Helper()
	m := mark(t, "61-622", 30)
	f, r, err := RidingLoads(97, Trail, m.Label, m.Label)
	require.NoError(t, err)
	return Own{
		Front:  OwnWheel{Wheel: Wheel{Tyre: m}, Pressure: 22 * quantity.PSI, Load: f},
		Rear:   OwnWheel{Wheel: Wheel{Tyre: m}, Pressure: 25 * quantity.PSI, Load: r},
		Riding: Trail,
	}
}

func apply(t testing.TB, own Own, changes ...Change) Changed {
	t.Helper()
	out, err := Apply(own, changes)
	require.NoError(t, err)
	return out
}

// The rows of testdata/worked/change.csv.
func TestChangesAsSaid(t *testing.T) {
	file, err := os.Open("../../testdata/worked/change.csv")
	require.NoError(t, err)
	defer file.Close()
	r := csv.NewReader(file)
	r.Comment = '#'
	rows, err := r.ReadAll()
	require.NoError(t, err)
	require.Len(t, rows, 9)
	for _, row := range rows[1:] {
		own := Own{}
		p := strings.Split(row[2], "|")
		own.Front.Pressure = quantity.Gauge(number(t, p[0]) * quantity.PSI)
		own.Rear.Pressure = quantity.Gauge(number(t, p[1]) * quantity.PSI)
		c := Change{}
		text := strings.TrimSuffix(row[3], " rear")
		if text != row[3] {
			c.End = Rear
		}
		switch text {
		case "wet":
			c.Kind = Wet
		case "insert":
			c.Kind = InsertIn
		case "bike park":
			c.Kind = BikePark
		case "tubes":
			c.Kind = TubesIn
		case "casing":
			c.Kind = HeavierCasing
		case "sharp rock":
			c.Kind = SharpRock
		case "soft snow":
			c.Kind = SoftSnow
		default:
			c.Kind, c.Load = AddedLoad, 11
			own.Riding = Trail
			own.Front.Load, own.Rear.Load, err = RidingLoads(99, Trail, 61*mm, 61*mm)
			require.NoError(t, err)
		}
		got := apply(t, own, c)
		d, tol := strings.Split(row[4], "|"), number(t, row[5])
		assert.InDelta(t, number(t, d[0]), psi(got.Front.Pressure-got.Front.Before), tol, row[0])
		assert.InDelta(t, number(t, d[1]), psi(got.Rear.Pressure-got.Rear.Before), tol, row[0])
		for _, w := range []WheelChange{got.Front, got.Rear} {
			for _, x := range w.Deltas {
				assert.NotEmpty(t, x.Basis.Says)
				assert.Equal(t, c.Kind.Tabulated(), x.Basis.Kind == basis.Practice)
				assert.LessOrEqual(t, x.Low, x.Likely)
				assert.LessOrEqual(t, x.Likely, x.High)
			}
		}
	}
}

// every is one of each change, at all ends.
func every(t testing.TB) []Change {
	t.Helper()
	var out []Change
	for k := Wet; k <= AddedLoad; k++ {
		for end := Both; end <= Rear; end++ {
			if end == Front && k.Tabulated() && tabulated[k].rearOnly {
				continue
			}
			out = append(out, Change{Kind: k, End: end, Load: 12}, Change{Kind: k, End: end, Load: 12, OnFront: 0.2})
		}
	}
	return out
}

func TestChangeAndBackIsTheStart(t *testing.T) {
	same := func(want, got Own, why ...any) {
		t.Helper()
		assert.InDelta(t, psi(want.Front.Pressure), psi(got.Front.Pressure), 1e-9, why...)
		assert.InDelta(t, psi(want.Rear.Pressure), psi(got.Rear.Pressure), 1e-9, why...)
		assert.InDelta(t, float64(want.Front.Load), float64(got.Front.Load), 1e-9, why...)
		assert.Equal(t, want.Front.Tyre.Label, got.Front.Tyre.Label)
		assert.Equal(t, want.Riding, got.Riding)
	}
	for _, at := range []float64{6, 9, 14, 22, 30} { // psi: fat to hard
		own := mine(t)
		own.Front.Pressure, own.Rear.Pressure = quantity.Gauge(at*quantity.PSI), quantity.Gauge((at+2)*quantity.PSI)
		own.Front.Limits.TyreMax, own.Rear.Limits.TyreMax = 80*quantity.PSI, 80*quantity.PSI // no mark steps in
		for _, c := range every(t) {
			there := apply(t, own, c)
			c.Back = !c.Back
			same(own, apply(t, there.After, c).After, "%v at %v psi", c, at)
		}
		// Another tyre and rim, another riding, and back.
		for _, m := range []Mounted{mark(t, "29x2.6", 35), mark(t, "71-584", 35), mark(t, "57-622", 25), mark(t, "61-622", 25)} {
			there := apply(t, own, Change{Kind: OtherTyre, Tyre: m})
			same(own, apply(t, there.After, Change{Kind: OtherTyre, Tyre: own.Front.Tyre}).After)
		}
		for r := Road; r <= Snow; r++ {
			there := apply(t, own, Change{Kind: OtherRiding, Riding: r})
			same(own, apply(t, there.After, Change{Kind: OtherRiding, Riding: Trail}).After)
		}
		// Several at once, falls within the limit.
		for _, cs := range [][]Change{
			{{Kind: Wet, End: Front}, {Kind: AddedLoad, End: Rear, Load: 12}, {Kind: InsertIn, End: Rear}},
			{{Kind: TubesIn}, {Kind: Wet}, {Kind: OtherTyre, Tyre: mark(t, "66-622", 35)}},
			{{Kind: BikePark}, {Kind: SharpRock}, {Kind: HeavierCasing}, {Kind: SoftSnow}},
		} {
			there := apply(t, own, cs...)
			var back []Change
			for _, c := range cs {
				c.Back = true
				if c.Kind == OtherTyre {
					c.Tyre = own.Front.Tyre
				}
				back = append(back, c)
			}
			same(own, apply(t, there.After, back...).After, "%v at %v psi", cs, at)
		}
	}
}

// A computed change is the ratio of two starts.
func TestComputedChangeIsTheModelsRatio(t *testing.T) {
	own := mine(t)
	base := start(t, trail(t))
	check := func(c Change, s Setup) {
		t.Helper()
		got, want := apply(t, own, c), start(t, s)
		assert.InEpsilon(t, float64(want.Front.Pressure/base.Front.Pressure), float64(got.Front.Model/got.Front.Before), 1e-9)
		assert.InEpsilon(t, float64(want.Rear.Pressure/base.Rear.Pressure), float64(got.Rear.Model/got.Rear.Before), 1e-9)
	}
	s := trail(t)
	s.Carried, s.Where = 12, Rear
	check(Change{Kind: AddedLoad, Load: 12, End: Rear}, s)
	s.Where = Both
	check(Change{Kind: AddedLoad, Load: 12}, s)
	s = trail(t)
	s.Front.Tyre, s.Rear.Tyre = mark(t, "29x2.6", 35), mark(t, "29x2.6", 35)
	check(Change{Kind: OtherTyre, Tyre: s.Front.Tyre}, s)
	s = trail(t)
	s.Riding = Downhill
	check(Change{Kind: OtherRiding, Riding: Downhill}, s)
	s.Riding = Road // which has another share, too
	check(Change{Kind: OtherRiding, Riding: Road}, s)
	s = trail(t)
	s.SoftSnow = true
	check(Change{Kind: SoftSnow}, s)
	// Twice the added load, twice the change; half of it is the habit.
	one, two := apply(t, own, Change{Kind: AddedLoad, Load: 5, End: Rear}), apply(t, own, Change{Kind: AddedLoad, Load: 10, End: Rear})
	assert.InEpsilon(t, 2, float64(two.Rear.Deltas[0].Likely/one.Rear.Deltas[0].Likely), 1e-9)
	assert.InEpsilon(t, 0.5, float64(one.Rear.Deltas[0].Half()/one.Rear.Deltas[0].Likely), 1e-12)
	assert.Empty(t, one.Front.Deltas, "nothing in front")
	// Wider goes lower, heavier higher, firmer riding higher.
	assert.Less(t, apply(t, own, Change{Kind: OtherTyre, Tyre: mark(t, "66-622", 30)}).Front.Pressure, own.Front.Pressure)
	assert.Greater(t, apply(t, own, Change{Kind: OtherTyre, Tyre: mark(t, "61-622", 25)}).Front.Pressure, own.Front.Pressure)
	// Mostly at the rear.
	split := apply(t, own, Change{Kind: AddedLoad, Load: 12, OnFront: 1 - Mostly})
	assert.InEpsilon(t, 0.2*12/float64(own.Front.Load), split.Front.Deltas[0].Ratio-1, 1e-9)
	assert.InEpsilon(t, 0.8*12/float64(own.Rear.Load), split.Rear.Deltas[0].Ratio-1, 1e-9)
}

func TestSeveralAtOnce(t *testing.T) {
	own := mine(t)
	// Falls of 1.5 and 2 psi: beyond 15 % of 22.44, within it on 25.
	got := apply(t, own, Change{Kind: Wet}, Change{Kind: InsertIn}, Change{Kind: AddedLoad, Load: 1.94})
	assert.True(t, got.Front.OneAtATime)
	assert.InDelta(t, 22.44, psi(got.Front.Pressure), 1e-9, "base only: the load")
	for _, d := range got.Front.Deltas {
		assert.Equal(t, d.Kind == AddedLoad, d.Applied)
		assert.NotZero(t, float64(d.Likely), "each is told all the same")
	}
	got = apply(t, own, Change{Kind: Wet}, Change{Kind: InsertIn, End: Rear})
	assert.False(t, got.Front.OneAtATime)
	assert.False(t, got.Rear.OneAtATime, "3.5 of 25 psi")
	assert.InDelta(t, 20.5, psi(got.Front.Pressure), 1e-9)
	assert.InDelta(t, 21.5, psi(got.Rear.Pressure), 1e-9)
	assert.InDelta(t, 20, psi(got.Rear.Low), 1e-9, "-2 and -3")
	assert.InDelta(t, 23, psi(got.Rear.High), 1e-9, "-1 and -1")
	// Undone, the range turns about: out with the insert is +1 to +3.
	out := apply(t, own, Change{Kind: InsertIn, Back: true}).Rear
	assert.InDelta(t, 26, psi(out.Low), 1e-9)
	assert.InDelta(t, 27, psi(out.Pressure), 1e-9)
	assert.InDelta(t, 28, psi(out.High), 1e-9)
	// Before and all applied deltas are the new one.
	for _, w := range []WheelChange{got.Front, got.Rear} {
		sum := w.Before
		for _, d := range w.Deltas {
			sum += d.Likely
		}
		assert.InDelta(t, float64(w.Model), float64(sum), 1e-6)
	}
	// No number ever falls by more than 15 % or 4 psi through the table.
	for p := 3.0; p < 60; p += 0.5 {
		own.Front.Pressure = quantity.Gauge(p * quantity.PSI)
		for a := Wet; a <= BikePark; a++ {
			for b := Wet; b <= BikePark; b++ {
				for c := Wet; c <= BikePark; c++ {
					got, err := Apply(own, []Change{{Kind: a}, {Kind: b}, {Kind: c}})
					require.NoError(t, err)
					fall := 0.0
					for _, d := range got.Front.Deltas {
						if d.Applied && d.Likely < 0 {
							fall -= psi(d.Likely)
						}
					}
					assert.LessOrEqual(t, fall, math.Min(4, 0.15*p)+1e-9)
				}
			}
		}
	}
	// Nothing changed is nothing changed.
	none := apply(t, mine(t))
	assert.Equal(t, none.Front.Before, none.Front.Pressure)
	assert.Empty(t, none.Front.Deltas)
}

func TestTubesOnNarrowTyres(t *testing.T) {
	own := mine(t)
	own.Front.Tyre, own.Rear.Tyre = mark(t, "40-622", 23), mark(t, "50-622", 25)
	got := apply(t, own, Change{Kind: TubesIn})
	assert.Empty(t, got.Front.Deltas)
	assert.InDelta(t, 5, psi(got.Rear.Deltas[0].Likely), 1e-9)
	assert.True(t, got.After.Front.Tubes && got.After.Rear.Tubes)
	assert.False(t, apply(t, got.After, Change{Kind: TubesIn, Back: true}).After.Rear.Tubes)
}

func TestChangesMeetTheMarks(t *testing.T) {
	own := mine(t)
	own.Rear.Limits = Limits{TyreMax: 27 * quantity.PSI, TyreMin: 20 * quantity.PSI}
	own.Front.Limits = own.Rear.Limits
	got := apply(t, own, Change{Kind: BikePark}, Change{Kind: Wet, End: Front}, Change{Kind: InsertIn, End: Front, Back: true})
	assert.Equal(t, AboveMax, got.Rear.Standing)
	assert.InDelta(t, 28, psi(got.Rear.Model), 1e-9)
	assert.InDelta(t, 27, psi(got.Rear.Pressure), 1e-9)
	assert.LessOrEqual(t, got.Rear.High, got.Rear.Max.Pressure)
	assert.Equal(t, TyreMark, got.Rear.Max.Rule)
	assert.Equal(t, Inside, got.Front.Standing)
	low := apply(t, own, Change{Kind: HeavierCasing, End: Front}, Change{Kind: AddedLoad, End: Front, Load: 3, Back: true})
	assert.Equal(t, BelowMin, low.Front.Standing)
	own.Front.Limits.Hookless = true
	low = apply(t, own, Change{Kind: HeavierCasing, End: Front}, Change{Kind: AddedLoad, End: Front, Load: 3, Back: true})
	assert.Equal(t, RaisedToMin, low.Front.Standing)
	assert.InDelta(t, 20, psi(low.Front.Pressure), 1e-9)
	own.Front.Limits = Limits{TyreMax: 20 * quantity.PSI, TyreMin: 30 * quantity.PSI}
	_, err := Apply(own, nil)
	assert.Error(t, err)
}

func TestOneWheelOnly(t *testing.T) {
	own := Own{Rear: OwnWheel{Pressure: 26 * quantity.PSI}}
	got := apply(t, own, Change{Kind: Wet})
	assert.Zero(t, got.Front)
	assert.InDelta(t, 24.5, psi(got.Rear.Pressure), 1e-9)
	assert.True(t, got.Rear.Max.TyreUnknown)
}

func TestChangeRefusals(t *testing.T) {
	bare := Own{Front: OwnWheel{Pressure: 22 * quantity.PSI}, Rear: OwnWheel{Pressure: 25 * quantity.PSI}}
	hard := mine(t)
	hard.Front.Pressure = 30 * quantity.Bar
	noRiding := mine(t)
	noRiding.Riding = 0
	for _, c := range []struct {
		own    Own
		change Change
		want   string
	}{
		{Own{}, Change{Kind: Wet}, "pressure unknown: want a wheel's pressure"},
		{bare, Change{}, "change unknown: want wet to riding"},
		{bare, Change{Kind: 99}, "change unknown"},
		{bare, Change{Kind: BikePark, End: Front}, "bike park in front: want rear"},
		{bare, Change{Kind: AddedLoad, Load: 5}, "load unknown: want the front wheel's load"},
		{bare, Change{Kind: AddedLoad, Load: 5, End: Rear}, "load unknown: want the rear wheel's load"},
		{bare, Change{Kind: OtherTyre, Tyre: mark(t, "61-622", 30)}, "tyre unknown: want the front wheel's tyre"},
		{bare, Change{Kind: OtherRiding, Riding: Trail}, "tyre unknown"},
		{noRiding, Change{Kind: OtherTyre, Tyre: mark(t, "66-622", 30)}, "riding unknown"},
		{mine(t), Change{Kind: OtherRiding}, "riding unknown"},
		{mine(t), Change{Kind: AddedLoad, Load: -5}, "load -5 kg: want 0 kg to 400 kg"},
		{mine(t), Change{Kind: AddedLoad, Load: 100, End: Rear}, "wheel load 150.63 kg: want 10 kg to 110 kg"},
		{mine(t), Change{Kind: AddedLoad, Load: 10, OnFront: 3}, "share in front 300 %"},
		{hard, Change{Kind: Wet}, "pressure 30 bar: want 0.1 bar to 12 bar"},
	} {
		_, err := Apply(c.own, []Change{c.change})
		assert.ErrorContains(t, err, c.want)
	}
	_, _, err := RidingLoads(97, 0, 61*mm, 61*mm)
	assert.Error(t, err)
	_, _, err = RidingLoads(quantity.Mass(math.NaN()), Trail, 61*mm, 61*mm)
	assert.Error(t, err)
	f, r, err := RidingLoads(97, Trail, 61*mm, 61*mm)
	require.NoError(t, err)
	assert.InDelta(t, 97*0.478, float64(f), 1e-9)
	assert.InDelta(t, 97, float64(f+r), 1e-9)
}

func FuzzApply(f *testing.F) {
	f.Add(1.5e5, 46.0, 12.0, 0.0, uint8(1), uint8(9), uint8(0), true)
	f.Fuzz(func(t *testing.T, p, load, added, share float64, a, b, end uint8, back bool) {
		own := mine(t)
		own.Front.Pressure, own.Front.Load = quantity.Gauge(p), quantity.Mass(load)
		out, err := Apply(own, []Change{
			{Kind: ChangeKind(a), End: End(end % 3), Back: back, Load: quantity.Mass(added), OnFront: Share(share), Riding: Enduro, Tyre: own.Rear.Tyre},
			{Kind: ChangeKind(b), End: End(end / 3 % 3), Load: quantity.Mass(added), Riding: Downhill, Tyre: own.Rear.Tyre},
		})
		if err != nil {
			return
		}
		for _, w := range []WheelChange{out.Front, out.Rear} {
			if !quantity.Finite(w.Pressure, w.Low, w.High, w.Model) || w.Before > 0 && w.Pressure <= 0 || w.Pressure > w.Max.Pressure && w.Max.Pressure > 0 {
				t.Fatalf("Apply(%v) = %+v", own, w)
			}
		}
	})
}
