package quantity

import (
	"testing"

	"github.com/stretchr/testify/assert"
)

// The units are checked against the published exact definitions: NIST SP 811
// (2008), appendix B.8.
func TestUnitsAreTheDefinedOnes(t *testing.T) {
	assert.InDelta(t, 6894.757, PSI, 5e-4, "pascals a psi (SP 811 B.8: 6.894757 E+03)")
	assert.InDelta(t, 4.448222, float64(PoundForce), 5e-7, "newtons a pound-force (SP 811 B.8)")
	assert.InDelta(t, 9.80665, float64(KilogramForce), 0, "newtons a kilogram-force (exact)")
	assert.InDelta(t, 6.350293, float64(Stone), 5e-7, "kilograms a stone (14 lb)")
	assert.InDelta(t, 29.57353, FluidOunce.In(Millilitre), 5e-6, "millilitres a US fluid ounce (SP 811 B.8)")
	assert.InDelta(t, 118, (4 * FluidOunce).In(Millilitre), 1, "4 fl oz is 118 ml")
	assert.InDelta(t, 72.5, Gauge(5*Bar).In(PSI), 0.05, "5 bar is 72.5 psi")
	assert.InDelta(t, 4.999, Gauge(72.5*PSI).In(Bar), 0.0005, "72.5 psi is 4.999 bar")
	assert.InDelta(t, 0.0254*12, float64(Foot), 1e-15)
}

func TestTemperatureScalesAgree(t *testing.T) {
	assert.InDelta(t, 273.15, float64(Celsius(0)), 1e-12, "ice")
	assert.InDelta(t, 32, Celsius(0).Fahrenheit(), 1e-9)
	assert.InDelta(t, 100, Fahrenheit(212).Celsius(), 1e-9)
	assert.InDelta(t, -40, Fahrenheit(-40).Celsius(), 1e-9, "the scales cross at -40")
}

func TestGaugeGoesOverAmbientAndBack(t *testing.T) {
	g := Gauge(22 * PSI)
	assert.InDelta(t, float64(g), float64(g.Over(101325).Above(101325)), 1e-9)
}
