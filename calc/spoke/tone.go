package spoke

import (
	"math"

	"spokeword/calc/basis"
	"spokeword/calc/build"
	"spokeword/calc/quantity"
)

// density is that of spoke wire in kg/m³ (handbooks, stainless steel: 7900 ± 1 %).
const density = 7900

// ToneBasis is what a tone rests on.
var ToneBasis = basis.Basis{
	Kind:   basis.Computed,
	Source: "stiff string with ends between hinged and clamped",
	Says:   "absolute ± 10–20 %; for comparing spokes of one side, with crossed spokes freed from each other",
}

// ToneShare is the power of the tone with which tension goes between spokes of
// one gauge and length, T ∝ f^2.25, computed for 250 mm to 290 mm and 700 N to
// 1300 N.
const ToneShare = 2.25

// Tones are the lowest tones of a plucked spoke in Hz, with hinged and with
// clamped ends. The truth lies between, 8 % to 20 % apart.
type Tones struct{ Hinged, Clamped float64 }

// Tone returns the tones of a spoke that is free over a length, commonly its
// nominal length less 10 mm to 12 mm, under tension. With δ = √(EI/T) of end and
// body, clamped ends are shorter by
//
//	d = δe (δb + δe t)/(δe + δb t),   t = tanh(l_end/δe)
//
// and with L less that, and the mass of the ends weighted by where they move,
//
//	f = √(T/μ)/2L · √(1 + π²EI/TL²)
//
// Within 1.3 % of finite elements for 220 mm and 600 N up with clamped ends and
// 0.1 % with hinged ones; below, hinged 0.5 %, clamped worse. Range: 150 mm to 450 mm, 300 N to 3000 N; a *build.RangeError
// outside, a *build.MissingError without a gauge.
func Tone(g build.Gauge, free quantity.Length, t quantity.Force) (Tones, error) {
	if !g.Given() {
		return Tones{}, &build.MissingError{Field: build.FieldGauge, Side: build.NoSide}
	}
	if err := g.Validate(build.NoSide); err != nil {
		return Tones{}, err
	}
	if !(free >= leastFree && free <= mostFree) {
		return Tones{}, &build.RangeError{Field: build.FieldLength, Side: build.NoSide, Value: free, Low: leastFree, High: mostFree}
	}
	if !(t >= leastTone && t <= mostTone) {
		return Tones{}, &build.RangeError{Field: build.FieldTension, Side: build.NoSide, Value: t, Low: leastTone, High: mostTone}
	}
	return tone(g, free, t), nil
}

// Bounds of Tone.
const (
	leastFree, mostFree = 150 * quantity.Millimetre, 450 * quantity.Millimetre
	leastTone, mostTone = 300 * quantity.Newton, 3000 * quantity.Newton
)

func tone(g build.Gauge, free quantity.Length, t quantity.Force) Tones {
	p := g.Parts(free)
	l, force := float64(free), float64(t)
	body := p[1]
	stiff := Modulus * body.Bending
	reach := math.Sqrt(stiff / force)
	ends := [2]build.Part{p[0], p[2]}
	// note returns the tone if so much is taken off each end.
	note := func(off [2]float64) float64 {
		swings := l - off[0] - off[1]
		mass := float64(body.Area)
		for i, e := range ends {
			x := max(0, float64(e.Length)-off[i]) / swings
			share := x - math.Sin(2*math.Pi*x)/(2*math.Pi)
			mass += share * float64(e.Area-body.Area)
		}
		return math.Sqrt(force/(density*mass)) / (2 * swings) * math.Sqrt(1+math.Pi*math.Pi*stiff/(force*swings*swings))
	}
	var off [2]float64
	for i, e := range ends {
		own := math.Sqrt(Modulus * e.Bending / force)
		h := math.Tanh(float64(e.Length) / own)
		off[i] = own * (reach + own*h) / (own + reach*h)
	}
	return Tones{Hinged: note([2]float64{}), Clamped: note(off)}
}

// OfTone returns the range of tension of a spoke that sounds at hz: with
// clamped ends it is the lower, with hinged ends the higher. Its errors are
// those of Tone; a tension outside its range is a *build.RangeError.
func OfTone(g build.Gauge, free quantity.Length, hz float64) (low, high quantity.Force, err error) {
	if _, err := Tone(g, free, leastTone); err != nil {
		return 0, 0, err
	}
	find := func(of func(Tones) float64) (quantity.Force, error) {
		a, b := leastTone, mostTone
		if !(hz >= of(tone(g, free, a)) && hz <= of(tone(g, free, b))) {
			found := mostTone
			if hz < of(tone(g, free, a)) {
				found = 0
			}
			return 0, &build.RangeError{Field: build.FieldTension, Side: build.NoSide, Value: found, Low: leastTone, High: mostTone}
		}
		for range 60 {
			if mid := (a + b) / 2; of(tone(g, free, mid)) < hz {
				a = mid
			} else {
				b = mid
			}
		}
		return a, nil
	}
	if low, err = find(func(t Tones) float64 { return t.Clamped }); err != nil {
		return 0, 0, err
	}
	if high, err = find(func(t Tones) float64 { return t.Hinged }); err != nil {
		return 0, 0, err
	}
	return low, high, nil
}
