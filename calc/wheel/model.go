// Package wheel is a wheel as a structure: a ring on spokes that hang from a
// stiff hub. It tells how stiff the wheel is, what a load does to the tension
// of every spoke, when the first goes slack, when the tension buckles the rim,
// and what turning a nipple does; and from that, which nipples to turn.
//
// The rim is a closed ring that stretches, bends in and out of its plane and
// twists (centroid and shear centre in one, no shear, sections stay as they
// are), the spokes are straight bars, each as springy as its butted parts in
// series, and the tension counts: a spoke resists being swung aside by T/L, and
// the ring's compression softens it in both bending planes. Everything is
// linear about the tensioned state.
//
// How good it is. As a sum, it agrees with independent programs to 0.5 %. As a
// picture of a wheel, it compares wheels: real ones are softer, in the radial
// direction by about half (1500–2500 N/mm measured, trade articles and papers,
// against 3300–6000 here), because nipples, heads, flanges, axle and rim walls
// give way too. Ratios are meant to be used, absolute figures to be named as
// the model's.
package wheel

import (
	"fmt"
	"math"
	"slices"

	"gonum.org/v1/gonum/mat"

	"spokeword/calc/basis"
	"spokeword/calc/build"
	"spokeword/calc/lace"
	"spokeword/calc/quantity"
	"spokeword/calc/spoke"
)

// Basis is what figures of the model rest on.
var Basis = basis.Basis{
	Kind:   basis.Computed,
	Source: "ring on spokes, as in Pippard and in Ford, dissertation, Northwestern University 2018",
	Says:   "for comparing wheels; real ones are softer, since hub, heads, nipples and rim walls give way too",
}

// Setup is a wheel for the model.
type Setup struct {
	Wheel   build.Wheel // with gauges
	Section Section     // of the rim
	// Centroid is how far the middle of the rim's section lies outside the
	// circle of the spoke ends, -20 mm to 80 mm. The nipples pull there, off
	// the middle of the section.
	Centroid quantity.Length
	// Tension is that of each spoke on the tighter side, bare wheel, 0 N to
	// 3000 N. The other side has what holds the rim in its plane. At 0 N
	// nothing is tensioned, and spokes bear pressure too.
	Tension quantity.Force
	// Modulus is Young's modulus of the wire in Pa; 0: spoke.Modulus.
	Modulus float64
}

// Model is a wheel whose equations are solved. Nothing changes it, so it can
// be used from many places at once.
type Model struct {
	setup    Setup
	spokes   []lace.Spoke
	bars     []bar
	radius   float64 // of the centroid, m
	tension  [2]quantity.Force
	pressure float64 // compression of the ring, N

	angles  []float64 // of the different gaps, rad
	kinds   []gap     // they
	kindOf  []int     // by hole: the gap after it
	repeats int       // after how many holes the wheel repeats
	solver  mat.BandCholesky
	twists  bool // whether torque passes from hub to rim
}

// bar is a spoke as the rim feels it.
type bar struct {
	k       float64 // N/m
	pull    vec     // the spoke's stretch for each way the rim moves
	tension float64 // N
	tension3
}

// tension3 is the spoke's part of the stiffness matrix that comes of tension.
type tension3 struct{ geometric block }

// MechanismError is returned where nothing holds the rim against some motion.
type MechanismError struct{ Torque bool } // it is the turning of the rim about the hub

// Error says what is free.
func (e *MechanismError) Error() string {
	if e.Torque {
		return "all spokes radial: want crossed spokes on one side, or tension, to hold the rim against turning"
	}
	return "the spokes leave the rim free to move: want spokes that pull it to both sides and all round"
}

// BuckleError is returned where the compression that comes of the spokes'
// tension is more than the ring bears: it would fold sideways.
type BuckleError struct{ Tension quantity.Force }

// Error says the tension that is too much.
func (e *BuckleError) Error() string {
	return fmt.Sprintf("tension %v: more than this rim bears in the model, it folds sideways; want less tension, more spokes or a stiffer rim", e.Tension)
}

// Bounds of Setup.
const (
	mostTension                 = 3000 * quantity.Newton
	leastCentroid, mostCentroid = -20 * quantity.Millimetre, 80 * quantity.Millimetre
	leastModulus, mostModulus   = 50e9, 400e9 // Pa
)

// New solves the wheel. It returns what lace.Place and Section.Validate return
// for a wheel or section that can't be, a *build.MissingError without gauges, a
// *spoke.BalanceError where no tension holds the rim in its plane, a
// *BuckleError or a *MechanismError where there is no answer.
func New(s Setup) (*Model, error) {
	if s.Modulus == 0 {
		s.Modulus = spoke.Modulus
	}
	if err := s.validate(); err != nil {
		return nil, err
	}
	spokes, err := lace.Place(s.Wheel)
	if err != nil {
		return nil, err
	}
	m := &Model{setup: s, spokes: spokes}
	m.radius = float64(s.Wheel.Rim.ERD)/2 + float64(s.Wheel.Washer) + float64(s.Centroid)
	if s.Tension > 0 {
		ratio, err := spoke.Ratio(spokes)
		if err != nil {
			return nil, err
		}
		tighter := s.Tension
		if ratio > 1 {
			tighter = quantity.Force(float64(s.Tension) / ratio)
		}
		m.tension[build.Left], m.tension[build.Right] = quantity.Force(ratio)*tighter, tighter
	}
	m.hang()
	m.gaps()
	m.repeats = m.period()
	if !m.solve(1) {
		if s.Tension > 0 {
			bare := *m
			if bare.solve(0) {
				return nil, &BuckleError{Tension: s.Tension}
			}
		}
		return nil, &MechanismError{}
	}
	return m, nil
}

func (s *Setup) validate() error {
	for _, side := range build.Sides {
		h := s.Wheel.Half(side)
		if !h.Gauge.Given() {
			return &build.MissingError{Field: build.FieldGauge, Side: side}
		}
	}
	if err := s.Section.Validate(); err != nil {
		return err
	}
	if err := quantity.Within("tension", s.Tension, 0, mostTension); err != nil {
		return err
	}
	if err := quantity.Within("centroid", s.Centroid, leastCentroid, mostCentroid); err != nil {
		return err
	}
	if !quantity.Finite(s.Modulus) || s.Modulus < leastModulus || s.Modulus > mostModulus {
		return fmt.Errorf("modulus %s GPa: want 50 GPa to 400 GPa", quantity.Trimmed(s.Modulus/1e9, 1))
	}
	return nil
}

// hang makes the bars.
func (m *Model) hang() {
	m.bars = make([]bar, len(m.spokes))
	var inward float64
	for i := range m.spokes {
		s, b := &m.spokes[i], &m.bars[i]
		gauge := m.setup.Wheel.Half(s.Side).Gauge
		give := 0.0
		for _, p := range gauge.Parts(s.Length) {
			if p.Length > 0 {
				give += float64(p.Length) / (m.setup.Modulus * float64(p.Area))
			}
		}
		b.k = 1 / give
		b.tension = float64(m.tension[s.Side])

		// Direction and place of the nipple in the frame at its place on the rim.
		sin, cos := math.Sincos(float64(s.RimAngle))
		n := [3]float64{s.Unit.X*cos - s.Unit.Y*sin, s.Unit.X*sin + s.Unit.Y*cos, s.Unit.Z}
		arm := [3]float64{0, float64(s.Rim.X)*sin + float64(s.Rim.Y)*cos - m.radius, float64(s.Rim.Z)}
		inward += b.tension * n[1]

		// The nipple moves by u + θ × arm.
		var moves [3]vec
		for x := range 3 {
			y, z := (x+1)%3, (x+2)%3
			moves[x][x] = 1
			moves[x][3+y] = arm[z]
			moves[x][3+z] = -arm[y]
		}
		for x := range 3 {
			for w := range ways {
				b.pull[w] += n[x] * moves[x][w]
			}
		}
		// Tension: T/L across the spoke, and T(n·½θ×(θ×arm)) where the nipple
		// sits off the middle.
		across := b.tension / float64(s.Length)
		na := n[0]*arm[0] + n[1]*arm[1] + n[2]*arm[2]
		for i := range ways {
			for k := range ways {
				sum := -b.pull[i] * b.pull[k]
				for x := range 3 {
					sum += moves[x][i] * moves[x][k]
				}
				b.geometric[i][k] = across * sum
			}
		}
		for i := range 3 {
			for k := range 3 {
				b.geometric[3+i][3+k] += b.tension * (n[i]*arm[k] + n[k]*arm[i]) / 2
			}
			b.geometric[3+i][3+i] -= b.tension * na
		}
	}
	m.pressure = inward / (2 * math.Pi)
}

// Every hole is a place; the ring is folded flat, so that the matrix is a band:
// holes 0, n−1, 1, n−2, … follow each other, and neighbours on the rim are at
// most two apart.
const band = 2*ways + ways - 1

func fold(hole, n int) int {
	if hole < (n+1)/2 {
		return 2 * hole * ways
	}
	return (2*(n-hole) - 1) * ways
}

// alike is how near, as a part, things must be that are called the same.
const alike = 1e-9

// gaps sorts the gaps by their angle.
func (m *Model) gaps() {
	n := len(m.spokes)
	m.kindOf = make([]int, n)
	for i := range n {
		angle := float64(m.spokes[(i+1)%n].RimAngle - m.spokes[i].RimAngle)
		if angle <= 0 {
			angle += 2 * math.Pi
		}
		at := slices.IndexFunc(m.angles, func(a float64) bool { return math.Abs(a-angle) < alike })
		if at < 0 {
			at = len(m.angles)
			m.angles = append(m.angles, angle)
		}
		m.kindOf[i] = at
	}
}

// period returns after how many holes the wheel repeats: 4 for crossed spokes,
// 6 for 2:1, all of them where it never does.
func (m *Model) period() int {
	n := len(m.bars)
next:
	for p := 1; p < n; p++ {
		if n%p != 0 {
			continue
		}
		for i := range m.bars {
			if j := (i + p) % n; m.kindOf[i] != m.kindOf[j] || !m.bars[i].like(&m.bars[j]) {
				continue next
			}
		}
		return p
	}
	return n
}

// like reports whether two spokes are felt alike at their places on the rim.
func (b *bar) like(c *bar) bool {
	if math.Abs(b.k-c.k) > alike*b.k {
		return false
	}
	for i := range ways {
		if math.Abs(b.pull[i]-c.pull[i]) > alike {
			return false
		}
		for k := range ways {
			if math.Abs(b.geometric[i][k]-c.geometric[i][k]) > alike*b.k {
				return false
			}
		}
	}
	return true
}

// assemble writes the wheel's matrix at a multiple of its tension into data,
// n·ways rows of band+1, and returns the gaps in it and whether torque passes
// from hub to rim. It reports false if a gap buckles by itself.
func (m *Model) assemble(factor float64, data []float64) (kinds []gap, twists, ok bool) {
	n := len(m.spokes)
	for _, angle := range m.angles {
		g, ok := newGap(m.setup.Section, m.radius, angle, factor*m.pressure)
		if !ok {
			return nil, false, false
		}
		kinds = append(kinds, g)
	}
	clear(data)
	add := func(row, col int, b *block, scale float64) {
		for i := range ways {
			for k := range ways {
				if r, c := row+i, col+k; r <= c {
					data[r*(band+1)+c-r] += scale * b[i][k]
				}
			}
		}
	}
	var turning, scale float64
	for i := range n {
		here, next := fold(i, n), fold((i+1)%n, n)
		g := &kinds[m.kindOf[i]]
		add(here, here, &g.a, 1)
		add(next, next, &g.d, 1)
		if here < next {
			add(here, next, &g.b, 1)
		} else {
			t := g.b.transposed()
			add(next, here, &t, 1)
		}
		b := &m.bars[i]
		var k block
		for i := range ways {
			for j := range ways {
				k[i][j] = b.k * b.pull[i] * b.pull[j]
			}
		}
		add(here, here, &k, 1)
		add(here, here, &b.geometric, factor)

		// The whole rim turned about the axle.
		turn := vec{along: m.radius, pitch: -1}
		hold := 0.0
		stretched := 0.0
		swung := b.geometric.of(&turn)
		for w := range ways {
			stretched += b.pull[w] * turn[w]
			hold += factor * turn[w] * swung[w]
		}
		turning += b.k*stretched*stretched + hold
		scale += b.k * m.radius * m.radius
	}
	// Nothing but tension holds a rim against turning whose spokes are radial.
	// Without tension a weak hold keeps the rest solvable; it moves nothing else.
	twists = turning > 1e-9*scale
	if !twists {
		for i := range n {
			data[(fold(i, n)+along)*(band+1)] += 1e-6 * m.bars[i].k
		}
	}
	return kinds, twists, true
}

// solve factorises the wheel at a multiple of its tension. It reports false if
// it does not stand.
func (m *Model) solve(factor float64) (ok bool) {
	rows := len(m.spokes) * ways
	data := make([]float64, rows*(band+1))
	if m.kinds, m.twists, ok = m.assemble(factor, data); !ok {
		return false
	}
	if !m.solver.Factorize(mat.NewSymBandDense(rows, band, data)) {
		return false
	}
	return m.solver.Cond() < mostCondition
}

// mostCondition is the condition number from which a wheel is called free to
// move. Those of the wheels that are built lie below 1e9.
const mostCondition = 1e13

func (b *block) transposed() block {
	var t block
	for i := range ways {
		for k := range ways {
			t[i][k] = b[k][i]
		}
	}
	return t
}
