package air

import (
	"math"

	"spokeword/calc/basis"
	"spokeword/calc/quantity"
)

// gasConstant is R in J/(mol K), exact by definition of the SI (2019).
const gasConstant = 8.31446261815324

// Gas is a gas that tyres are filled with.
type Gas uint8

// The gases.
const (
	DryAir Gas = iota
	Nitrogen
	CarbonDioxide
)

// gases holds molar mass in kg/mol, critical temperature in K and pressure in
// Pa, and acentric factor.
//
// Source: Reid, Prausnitz & Poling, The Properties of Gases and Liquids, 4th
// ed.; air as the mixture that stands for it, from Lemmon et al., J. Phys.
// Chem. Ref. Data 29, 331 (2000). From memory, checked against densities.
var gases = [...]struct{ molar, tc, pc, omega float64 }{
	DryAir:        {28.9647e-3, 132.6, 3.79e6, 0.033},
	Nitrogen:      {28.0134e-3, 126.2, 3.39e6, 0.039},
	CarbonDioxide: {44.0095e-3, 304.1, 7.38e6, 0.225},
}

// GasBasis is what the density of gases rests on.
var GasBasis = basis.Basis{Kind: basis.Handbook, Source: "Smith, Van Ness & Abbott, Introduction to Chemical Engineering Thermodynamics", Says: "second virial coefficient after Pitzer and Abbott"}

// Temperatures the virial model is used for: its third term is still out of
// sight, and carbon dioxide far from turning liquid (19.7 bar at −20 °C).
const (
	GasColdest = quantity.Temperature(273.15 - 40)
	GasHottest = quantity.Temperature(273.15 + 60)
)

// GasName is the Quantity of errors for a mass that the volume can't hold.
const GasName = "gas"

// gasDensest is the greatest amount in mol/m³ the model is used for: 11.4 bar
// of carbon dioxide at 20 °C.
const gasDensest = 500

// secondVirial returns B in m³/mol:
//
//	B = R Tc/Pc (0.083 − 0.422/Tr^1.6 + ω (0.139 − 0.172/Tr^4.2))
//
// For carbon dioxide −153 cm³/mol at 0 °C and −102 at 50 °C; tables have −154
// and −103.
func (g Gas) secondVirial(t quantity.Temperature) float64 {
	c := gases[min(g, CarbonDioxide)]
	tr := float64(t) / c.tc
	return gasConstant * c.tc / c.pc * (0.083 - 0.422/math.Pow(tr, 1.6) + c.omega*(0.139-0.172/math.Pow(tr, 4.2)))
}

// Pressure returns the absolute pressure that a mass of the gas has by itself
// in a volume at a temperature:
//
//	p = ρ R T (1 + B ρ), ρ = m/(M V)
//
// Partial pressures of several gases in one tyre may be added: what they do to
// each other is below 0.1 psi. Good to 0.5 %. It returns a *quantity.RangeError
// for masses outside 0 to 2 kg, volumes outside 0.1 to 100 l, temperatures
// outside GasColdest to GasHottest, and for more than 500 mol/m³, 11 bar of
// carbon dioxide at 20 °C.
func (g Gas) Pressure(m quantity.Mass, v quantity.Volume, t quantity.Temperature) (quantity.Absolute, error) {
	if err := checkGas(v, t); err != nil {
		return 0, err
	}
	c := gases[min(g, CarbonDioxide)]
	if err := quantity.Within(GasName, m, 0, min(2*quantity.Kilogram, quantity.Mass(gasDensest*c.molar*float64(v)))); err != nil {
		return 0, err
	}
	rho := float64(m) / c.molar / float64(v)
	return quantity.Absolute(rho * gasConstant * float64(t) * (1 + g.secondVirial(t)*rho)), nil
}

// MassFor returns the mass of the gas that has an absolute pressure by itself
// in a volume, the inverse of Pressure. It returns a *quantity.RangeError as
// Pressure does.
func (g Gas) MassFor(p quantity.Absolute, v quantity.Volume, t quantity.Temperature) (quantity.Mass, error) {
	if err := checkGas(v, t); err != nil {
		return 0, err
	}
	c := gases[min(g, CarbonDioxide)]
	b, rt := g.secondVirial(t), gasConstant*float64(t)
	densest := quantity.Absolute(gasDensest * rt * (1 + b*gasDensest))
	if err := quantity.Within("pressure of the gas", p, 0, densest); err != nil {
		return 0, err
	}
	// The root of ρ + Bρ² = p/RT that is near p/RT, written so that B = 0 is no
	// division by nought.
	x := float64(p) / rt
	rho := 2 * x / (1 + math.Sqrt(1+4*b*x))
	return quantity.Mass(rho * c.molar * float64(v)), nil
}

// Factor returns the real-gas factor Z = p V/(n R T) of the gas at an absolute
// pressure: 1 for an ideal gas. It returns a *quantity.RangeError as MassFor
// does.
func (g Gas) Factor(p quantity.Absolute, t quantity.Temperature) (float64, error) {
	const v = quantity.Litre
	m, err := g.MassFor(p, v, t)
	if err != nil || m == 0 {
		return 1, err
	}
	return float64(p) * float64(v) * gases[min(g, CarbonDioxide)].molar / (float64(m) * gasConstant * float64(t)), nil
}

func checkGas(v quantity.Volume, t quantity.Temperature) error {
	if err := quantity.Within("volume", v, 0.1*quantity.Litre, 100*quantity.Litre); err != nil {
		return err
	}
	return quantity.Within("temperature", t, GasColdest, GasHottest)
}
