package wheel

import (
	"fmt"

	"gonum.org/v1/gonum/mat"

	"spokeword/calc/build"
	"spokeword/calc/lace"
	"spokeword/calc/quantity"
)

// Place is a place on the rim.
type Place struct {
	Hole int  // rim hole, as in lace.Spoke
	Mid  bool // in the middle of the gap after it, in the rolling direction
}

// Load is a force on the rim, in the middle of its section.
type Load struct {
	Inward quantity.Force // towards the axle, as the ground carries the wheel
	Right  quantity.Force // sideways
	// Drive is along the rim, against the rolling direction: what the ground
	// does to a driven wheel. A brake does the opposite.
	Drive quantity.Force
}

// Shift is how far a place on the rim has moved.
type Shift struct {
	Outward, Right quantity.Length
	Along          quantity.Length // in the rolling direction
}

func shiftOf(u *vec) Shift {
	return Shift{quantity.Length(u[outward]), quantity.Length(u[rightward]), quantity.Length(u[along])}
}

// Answer is what a load does to the wheel, to the first order.
type Answer struct {
	There   Shift            // at the place of the load
	Rim     []Shift          // at every hole
	Tension []quantity.Force // change of every spoke's tension, by rim hole
}

// Spokes returns the placed spokes, by rim hole. They are not to be changed.
func (m *Model) Spokes() []lace.Spoke { return m.spokes }

// Setup returns what the model was made of.
func (m *Model) Setup() Setup { return m.setup }

// Tension returns the tension of each spoke on a side.
func (m *Model) Tension(s build.Side) quantity.Force { return m.tension[s] }

// Compression returns the compression of the rim, ΣT·n/2π over the spokes'
// tension towards the axle.
func (m *Model) Compression() quantity.Force { return quantity.Force(m.pressure) }

// Radius returns the radius of the middle of the rim's section.
func (m *Model) Radius() quantity.Length { return quantity.Length(m.radius) }

// Torque reports whether the wheel passes torque from hub to rim. It is false
// for spokes that are all radial and not tensioned.
func (m *Model) Torque() bool { return m.twists }

// Load returns what a load at one place does. It returns a *quantity.RangeError
// for a place that is not on the rim, and a *MechanismError for a load along the
// rim of a wheel that passes no torque.
func (m *Model) Load(at Place, l Load) (Answer, error) {
	if err := m.on(at); err != nil {
		return Answer{}, err
	}
	if l.Drive != 0 && !m.twists {
		return Answer{}, &MechanismError{Torque: true}
	}
	if !quantity.Finite(l.Inward, l.Right, l.Drive) {
		return Answer{}, fmt.Errorf("load %v, %v, %v: want numbers", l.Inward, l.Right, l.Drive)
	}
	rim, there := m.push(at, vec{along: -float64(l.Drive), outward: -float64(l.Inward), rightward: float64(l.Right)})
	a := Answer{There: shiftOf(&there), Rim: make([]Shift, len(rim)), Tension: make([]quantity.Force, len(rim))}
	for i := range rim {
		a.Rim[i] = shiftOf(&rim[i])
		a.Tension[i] = quantity.Force(m.bars[i].stretch(&rim[i]))
	}
	return a, nil
}

// stretch returns the change of tension if the rim moves by u there.
func (b *bar) stretch(u *vec) float64 {
	sum := 0.0
	for w := range ways {
		sum += b.pull[w] * u[w]
	}
	return b.k * sum
}

func (m *Model) on(at Place) error {
	if at.Hole < 0 || at.Hole >= len(m.spokes) {
		return fmt.Errorf("rim hole %d: want 0 to %d", at.Hole, len(m.spokes)-1)
	}
	return nil
}

// push returns how the rim moves at every hole, and at the place itself, under
// forces and moments at that place.
func (m *Model) push(at Place, f vec) (rim []vec, there vec) {
	n := len(m.spokes)
	load := make([]float64, n*ways)
	next := (at.Hole + 1) % n
	g := &m.kinds[m.kindOf[at.Hole]]
	if !at.Mid {
		copy(load[fold(at.Hole, n):], f[:])
	} else {
		before, after := g.before.transposedOf(&f), g.after.transposedOf(&f)
		for w := range ways {
			load[fold(at.Hole, n)+w] -= before[w]
			load[fold(next, n)+w] -= after[w]
		}
	}
	rim = m.moved(load)
	if !at.Mid {
		return rim, rim[at.Hole]
	}
	return rim, g.middle(&rim[at.Hole], &rim[next], &f)
}

// middle returns how the middle of the gap moves between its ends.
func (g *gap) middle(a, b, f *vec) vec {
	there := g.give.of(f)
	for w := range ways {
		there[w] += g.follow(a, b, w)
	}
	return there
}

// follow returns how it moves in one way if nothing pushes it there.
func (g *gap) follow(a, b *vec, w int) float64 {
	sum := 0.0
	for k := range ways {
		sum -= g.before[w][k]*a[k] + g.after[w][k]*b[k]
	}
	return sum
}

// moved solves for a load, which it uses up, and returns the rim's motion at
// every hole.
func (m *Model) moved(load []float64) []vec {
	n := len(m.spokes)
	v := mat.NewVecDense(len(load), load)
	if err := m.solver.SolveVecTo(v, v); err != nil {
		panic(err) // only for a condition that New has refused
	}
	rim := make([]vec, n)
	for i := range n {
		copy(rim[i][:], load[fold(i, n):])
	}
	return rim
}

// Stiff is how stiff the wheel is at one place on the rim, hub held.
type Stiff struct {
	Radial, Lateral quantity.Stiffness
	// Along the rim, and the same as torque over wind-up of the place. Both 0
	// if Model.Torque is false.
	Tangential quantity.Stiffness
	WindUp     quantity.AngularStiffness
}

// Stiff returns how stiff the wheel is at a place on the rim. Its error is that
// of Load for the place.
func (m *Model) Stiff(at Place) (Stiff, error) {
	if err := m.on(at); err != nil {
		return Stiff{}, err
	}
	give := func(w int) float64 {
		var unit vec
		unit[w] = 1
		_, there := m.push(at, unit)
		return there[w]
	}
	s := Stiff{Radial: quantity.Stiffness(1 / give(outward)), Lateral: quantity.Stiffness(1 / give(rightward))}
	if m.twists {
		s.Tangential = quantity.Stiffness(1 / give(along))
		s.WindUp = quantity.AngularStiffness(float64(s.Tangential) * m.radius * m.radius)
	}
	return s, nil
}

// WindUp returns torque over wind-up where the torque leaves the rim evenly all
// round, the mean turn of the rim being the wind-up; 0 if Torque is false.
func (m *Model) WindUp() quantity.AngularStiffness {
	if !m.twists {
		return 0
	}
	n := len(m.spokes)
	load := make([]float64, n*ways)
	for i := range n {
		load[fold(i, n)+along] = 1
	}
	turn := 0.0
	for _, u := range m.moved(load) {
		turn += u[along] / m.radius / float64(n)
	}
	return quantity.AngularStiffness(float64(n) * m.radius / turn)
}
