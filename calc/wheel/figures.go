package wheel

import (
	"math"

	"spokeword/calc/quantity"
	"spokeword/calc/spoke"
)

// Figures are what wheels are compared by.
type Figures struct {
	// Radial and Lateral are the means, as compliances, over the places of one
	// repeat of the lacing; WindUp is for torque spread evenly over the rim.
	Radial, Lateral quantity.Stiffness
	WindUp          quantity.AngularStiffness // 0 if the wheel passes no torque
	// Hit is the least load towards the axle at which a spoke goes slack, over
	// all places; Side that to the right or the left, whichever is less. Both
	// are infinite for a wheel without tension.
	Hit, Side Slack
	SideWay   Way // ToRight or ToLeft
	// LessTension is the greatest share of a load towards the axle that one
	// spoke loses, over all holes.
	LessTension float64
	Critical    float64       // see Model.Critical
	Wire        quantity.Mass // all spokes, without nipples
}

// Figures works them all out.
func (m *Model) Figures() Figures {
	var f Figures
	radial, lateral := 0.0, 0.0
	n := m.repeats
	for i := range n {
		for _, w := range [2]int{outward, rightward} {
			var unit vec
			unit[w] = 1
			_, there := m.push(Place{Hole: i}, unit)
			if w == outward {
				radial += there[w] / float64(n)
			} else {
				lateral += there[w] / float64(n)
			}
		}
	}
	f.Radial, f.Lateral = quantity.Stiffness(1/radial), quantity.Stiffness(1/lateral)
	f.WindUp = m.WindUp()
	r := m.Response()
	f.Hit = Slack{Load: quantity.Force(math.Inf(1))}
	f.Side = f.Hit
	if m.setup.Tension > 0 {
		f.Hit = r.FirstSlack(Inward)
		f.Side, f.SideWay = r.FirstSlack(ToRight), ToRight
		if left := r.FirstSlack(ToLeft); left.Load < f.Side.Load {
			f.Side, f.SideWay = left, ToLeft
		}
	}
	for j := range r.n {
		f.LessTension = max(f.LessTension, -float64(r.Shift(j, j).Outward/spoke.ThreadPitch))
	}
	f.Critical = m.Critical()
	f.Wire = m.Wire()
	return f
}

// steel is the density of spoke wire in kg/m³ (handbooks, stainless steel:
// 7900 ± 1 %).
const steel = 7900

// Wire returns the mass of all spokes from flange hole to rim, without nipples
// and heads.
func (m *Model) Wire() quantity.Mass {
	sum := 0.0
	for i := range m.spokes {
		s := &m.spokes[i]
		for _, p := range m.setup.Wheel.Half(s.Side).Gauge.Parts(s.Length) {
			sum += float64(p.Length) * float64(p.Area) * steel
		}
	}
	return quantity.Mass(sum)
}

// Mass returns the mass of a rim of this section whose middle has the given
// radius.
func (e Estimate) Mass(radius quantity.Length) quantity.Mass {
	return quantity.Mass(e.Density * float64(e.Area) * 2 * math.Pi * float64(radius))
}
