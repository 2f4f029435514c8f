package tyre

import (
	"math"

	"spokeword/calc/basis"
	"spokeword/calc/quantity"
)

// Share is a part of something, 1 being all of it: the drop of a tyre as a part
// of its height, the part of the load on a wheel.
type Share float64

// String writes the share as per cent: "20 %".
func (s Share) String() string { return quantity.Trimmed(float64(s)*100, 1) + " %" }

// Drops the load model is used for, as shares of the section height, and the
// smallest for which PatchArea answers.
const (
	LeastDrop    Share = 0.08
	GreatestDrop Share = 0.35
	tinyDrop     Share = 0.001
)

// LoadBasis is what the load model rests on.
var LoadBasis = basis.Basis{Kind: basis.Paper, Source: "Rotta 1949 as used by Papadopoulos & Dressel 2016", Says: "inextensible membrane on flat ground; real casings carry a part, so drops come out larger than measured"}

// gauss holds the 16 nodes of Gauss-Legendre quadrature on 0 to 1, found by
// Newton on the Legendre polynomial; they take the patch integral to 1e-11.
var gauss = func() (g [16]struct{ x, w float64 }) {
	const n = len(g)
	for i := range n {
		x := math.Cos(math.Pi * (float64(i) + 0.75) / (float64(n) + 0.5))
		for range 50 {
			p0, p1 := 1.0, x
			for k := 2; k <= n; k++ {
				p0, p1 = p1, (float64(2*k-1)*x*p1-float64(k-1)*p0)/float64(k)
			}
			slope := float64(n) * (x*p1 - p0) / (x*x - 1)
			dx := p1 / slope
			x -= dx
			if math.Abs(dx) < 1e-15 {
				g[i].x = (1 - x) / 2
				g[i].w = 1 / ((1 - x*x) * slope * slope)
				break
			}
		}
	}
	return g
}()

// flat solves the section pressed to a height H (metres): each side is an arc
// of radius ρ that leaves the ground level and sweeps θ down to the bead,
//
//	H (θ − sin θ)/(1 − cos θ) = (S − b)/2, ρ = H/(1 − cos θ), c = b − 2ρ sin θ
//
// where c is the width lying flat. The left side rises with θ, so there is one
// root; guess is a θ near it. All lengths in metres.
func flat(casing, rim, height, guess float64) (c, theta float64) {
	k := (casing - rim) / 2 / height
	lo, hi := 0.0, 2*math.Pi
	theta = guess
	if !(theta > lo && theta < hi) {
		theta = math.Pi
	}
	for range 100 {
		sin, cos := math.Sincos(theta)
		q := (theta - sin) / (1 - cos)
		if q < k {
			lo = theta
		} else {
			hi = theta
		}
		next := theta - (q-k)/(1-q*sin/(1-cos))
		if !(next >= lo && next <= hi) { // ends included: at the root a step is nought
			next = (lo + hi) / 2
		}
		done := math.Abs(next-theta) < 1e-9 // steps square: the next would be below 1e-17
		theta = next
		if done {
			break
		}
	}
	sin, cos := math.Sincos(theta)
	return rim - 2*height*sin/(1-cos), theta
}

// patch returns the area of contact in m² at a drop of the given share of the
// height. drop must lie above 0 and below 1.
func (m Mounted) patch(drop float64) float64 {
	s, b, h := float64(m.Casing), float64(m.Rim), float64(m.Height)
	r := float64(m.Seat)/2 + h
	deep := drop * h
	end := math.Acos((r - deep) / r)
	theta := math.Pi - m.alpha()
	var area float64
	for _, g := range gauss {
		cos := math.Cos(end * g.x)
		var c float64
		// Along the patch the section is dropped less and less: δ(φ) = R −
		// (R−δ₀)/cos φ at x = (R−δ₀) tan φ.
		c, theta = flat(s, b, h-r+(r-deep)/cos, theta)
		area += g.w * c * (r - deep) / (cos * cos)
	}
	return 2 * area * end // both ways from the middle
}

// PatchArea returns the area of contact with flat ground when the tyre is
// pressed down by a share of its section height:
//
//	A = 2 ∫ c dx
//
// every slice along the patch flattening by itself. The load carried is gauge
// pressure times A. Fitted targets hold between LeastDrop and GreatestDrop; it
// answers from 0.1 % up and returns a *RangeError outside.
//
// Source: Rotta 1949 as used by Papadopoulos & Dressel 2016.
func (m Mounted) PatchArea(drop Share) (quantity.Area, error) {
	if err := within("drop", drop, tinyDrop, GreatestDrop); err != nil {
		return 0, err
	}
	if err := m.check(); err != nil {
		return 0, err
	}
	return quantity.Area(m.patch(float64(drop))), nil
}

// check keeps sections that were not made by Mount out of the solver.
func (m Mounted) check() error {
	if err := within("bead seat", m.Seat, SmallestSeat, LargestSeat); err != nil {
		return err
	}
	if err := within("rim", m.Rim, NarrowestRim, m.Casing*2/math.Pi); err != nil {
		return err
	}
	return within("height", m.Height, m.Width/2, m.Width)
}

// PressureFor returns the gauge pressure at which the tyre carries load with
// the given drop: p = F/A. It returns a *RangeError for drops outside LeastDrop
// to GreatestDrop and wheel loads outside LeastLoad to GreatestLoad.
func (m Mounted) PressureFor(load quantity.Mass, drop Share) (quantity.Gauge, error) {
	if err := within("wheel load", load, LeastLoad, GreatestLoad); err != nil {
		return 0, err
	}
	if err := within("drop", drop, LeastDrop, GreatestDrop); err != nil {
		return 0, err
	}
	a, err := m.PatchArea(drop)
	if err != nil {
		return 0, err
	}
	return quantity.Gauge(float64(load.Weight()) / float64(a)), nil
}

// Pressed is a tyre standing on flat ground under a load.
type Pressed struct {
	Drop      Share           // of the section height
	Depth     quantity.Length // the same as a length
	Area      quantity.Area   // of contact
	Stiffness float64         // vertical, N/m: dF/dδ at constant pressure
}

// Press returns how far a tyre goes down under a load at a gauge pressure, the
// inverse of PressureFor. It returns a *RangeError for wheel loads outside
// LeastLoad to GreatestLoad and where the drop would leave LeastDrop to
// GreatestDrop; the pressure it then names is what would keep it inside.
func (m Mounted) Press(load quantity.Mass, p quantity.Gauge) (Pressed, error) {
	if err := within("wheel load", load, LeastLoad, GreatestLoad); err != nil {
		return Pressed{}, err
	}
	if err := m.check(); err != nil {
		return Pressed{}, err
	}
	f := float64(load.Weight())
	small, large := m.patch(float64(LeastDrop)), m.patch(float64(GreatestDrop))
	if err := within("pressure", p, quantity.Gauge(f/large), quantity.Gauge(f/small)); err != nil {
		return Pressed{}, err
	}
	drop := m.dropOf(f/float64(p), small, large)
	h := float64(m.Height)
	const step = 1e-4
	slope := (m.patch(drop*(1+step)) - m.patch(drop*(1-step))) / (2 * step * drop * h)
	return Pressed{
		Drop: Share(drop), Depth: quantity.Length(drop * h),
		Area: quantity.Area(f / float64(p)), Stiffness: float64(p) * slope,
	}, nil
}

// dropOf finds the drop with the given area, in m², between LeastDrop and
// GreatestDrop, whose areas are small and large.
func (m Mounted) dropOf(area, small, large float64) float64 {
	// ln A over ln δ is nearly a straight line, so regula falsi from both ends
	// lands close and secant steps finish; bisection guards them.
	lo, hi := math.Log(float64(LeastDrop)), math.Log(float64(GreatestDrop))
	x0, f0 := lo, math.Log(small/area)
	x1, f1 := hi, math.Log(large/area)
	for range 60 {
		next := x1 - f1*(x1-x0)/(f1-f0)
		if !(next >= lo && next <= hi) {
			next = (lo + hi) / 2
		}
		f := math.Log(m.patch(math.Exp(next)) / area)
		if f < 0 {
			lo = next
		} else {
			hi = next
		}
		// Keep the nearer of the two old points for the next secant.
		if math.Abs(f0) < math.Abs(f1) {
			x1, f1 = x0, f0
		}
		x0, f0, x1, f1 = x1, f1, next, f
		if math.Abs(f) < 1e-13 || f0 == f1 {
			break
		}
	}
	return math.Exp(x1)
}
