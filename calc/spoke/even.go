package spoke

import (
	"fmt"
	"math"
	"slices"

	"spokeword/calc/basis"
	"spokeword/calc/quantity"
)

// How far a spoke's tension may be off the mean of its side. Common practice
// without a source.
const (
	CarefulSpread = 0.05
	GoodSpread    = 0.10
	MostSpread    = 0.20
)

// EvenBasis is what a verdict on evenness rests on.
var EvenBasis = basis.Basis{
	Kind: basis.Practice,
	Says: "per side ± 5 % is careful, ± 10 % good, ± 20 % the limit",
}

// Evenness is how even the tension of one side is.
type Evenness struct {
	Mean      quantity.Force
	Off       []float64 // part by which each is off the mean, signed, in the order given
	Over      float64   // the tightest over the loosest
	Worst     int       // index of the one furthest off, the first of equals
	Deviation float64   // how far that one is off, unsigned
}

// FewReadingsError is returned for too few readings to tell evenness from.
type FewReadingsError struct{ Readings int }

// Error says how many there were.
func (e *FewReadingsError) Error() string {
	return fmt.Sprintf("readings %s: want 2 or more of one side", quantity.Count(e.Readings))
}

// Even judges tensions of one side. It returns a *FewReadingsError for fewer
// than two, and a *quantity.RangeError for a tension outside 1 N to 3000 N: a
// slack spoke has no share of a mean.
func Even(tensions []quantity.Force) (Evenness, error) {
	if len(tensions) < 2 {
		return Evenness{}, &FewReadingsError{Readings: len(tensions)}
	}
	var e Evenness
	for _, t := range tensions {
		if err := quantity.Within("tension", t, 1, 3000); err != nil {
			return Evenness{}, err
		}
		e.Mean += t / quantity.Force(len(tensions))
	}
	e.Over = float64(slices.Max(tensions) / slices.Min(tensions))
	for i, t := range tensions {
		off := float64(t/e.Mean) - 1
		e.Off = append(e.Off, off)
		if math.Abs(off) > e.Deviation {
			e.Worst, e.Deviation = i, math.Abs(off)
		}
	}
	return e, nil
}
