// Package air holds the models of the air in and about a tyre: the pressure of
// the atmosphere at a height, what warmth and height do to a gauge's reading,
// what the rules of thumb make of it, and how far gases are from ideal.
//
// The gas law takes absolute pressures and temperatures. A tyre keeps its
// volume in all of it: it stretches by a per cent or two between its softest
// and hardest, which moves a reading by less than a gauge's own error.
package air

import (
	"math"

	"spokeword/calc/basis"
	"spokeword/calc/quantity"
)

// SeaLevel is the standard pressure of the air at sea level, 101325 Pa exactly.
//
// Source: US Standard Atmosphere 1976.
const SeaLevel quantity.Absolute = 101325

// Heights the standard atmosphere is answered for: its lowest layer, and no
// deeper below the sea than any road.
const (
	Lowest  = -500 * quantity.Metre
	Highest = 11000 * quantity.Metre
)

// The lowest layer of the US Standard Atmosphere 1976: temperature at the sea,
// its fall with height, and g0 M / (R* L) from g0 9.80665 m/s², M 28.9644
// kg/kmol and R* 8314.32 J/(kmol K), all exact by its definition.
const (
	seaTemperature quantity.Temperature = 288.15 // K
	lapse                               = 0.0065 // K/m
	exponent                            = quantity.StandardGravity * 28.9644 / (8314.32 * lapse)
)

// AtmosphereBasis is what Pressure and Height rest on.
var AtmosphereBasis = basis.Basis{Kind: basis.Standard, Source: "US Standard Atmosphere 1976", Says: "the mean of all weather; a day's own pressure lies within about 3 kPa"}

// Weather is how far the air's pressure on a day may lie from the standard one
// at that height: about ± 3 kPa or 0.4 psi, half of it in quiet weather. From
// memory.
const Weather quantity.Absolute = 3000

// Pressure returns the air pressure at height h above sea level:
//
//	p = p0 (1 − L h/T0)^(g M/(R L))
//
// h is geopotential; the height on a map is larger by 0.2 m at 1000 m and 4 m
// at 5000 m, which is below 0.25 hPa. Weather moves the real pressure about it.
// It returns a *quantity.RangeError outside Lowest to Highest.
//
// Source: US Standard Atmosphere 1976, identical with ISO 2533 here.
func Pressure(h quantity.Length) (quantity.Absolute, error) {
	if err := quantity.Within("height", h, Lowest, Highest); err != nil {
		return 0, err
	}
	return SeaLevel * quantity.Absolute(math.Pow(1-lapse*float64(h)/float64(seaTemperature), exponent)), nil
}

// Height returns the height above sea level at which the standard atmosphere
// has pressure p, the inverse of Pressure. It returns a *quantity.RangeError
// for pressures that it has not within Lowest to Highest.
func Height(p quantity.Absolute) (quantity.Length, error) {
	least, _ := Pressure(Highest)
	most, _ := Pressure(Lowest)
	if err := quantity.Within("air pressure", p, least, most); err != nil {
		return 0, err
	}
	h := quantity.Length(float64(seaTemperature) / lapse * (1 - math.Pow(float64(p/SeaLevel), 1/exponent)))
	return min(max(h, Lowest), Highest), nil // not past the ends by the last bits
}

// StandardTemperature returns the temperature of the standard atmosphere at a
// height, 15 °C by the sea and 6.5 °C colder every 1000 m: the mean of all
// seasons, no forecast. It returns a *quantity.RangeError as Pressure does.
//
// Source: US Standard Atmosphere 1976.
func StandardTemperature(h quantity.Length) (quantity.Temperature, error) {
	if err := quantity.Within("height", h, Lowest, Highest); err != nil {
		return 0, err
	}
	return seaTemperature - quantity.Temperature(lapse*float64(h)), nil
}
