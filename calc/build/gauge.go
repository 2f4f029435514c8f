package build

import (
	"math"

	"spokeword/calc/quantity"
)

// Lengths of the thick ends of a butted spoke. The first two were measured on
// spokes and published in a trade article; others differ by a few millimetres.
// The single butt is common practice without a source.
const (
	HeadEnd    = 36 * quantity.Millimetre // at the hub, double butted
	ThreadEnd  = 30 * quantity.Millimetre // at the rim, double butted
	SingleButt = 45 * quantity.Millimetre // at the hub, single butted
)

// Gauge is the wire of a spoke: diameters of its three parts, equal where there
// is no step. The zero value is "not given".
type Gauge struct {
	Head   quantity.Length // diameter at the hub, 1 mm to 4 mm
	Middle quantity.Length // diameter of the body; of a blade, of the wire it was pressed from (0: not known)
	Thread quantity.Length // diameter at the rim

	// A blade is taken as an ellipse.
	Width, Thickness quantity.Length // of the middle; 0: round
}

// Plain returns wire of one diameter.
func Plain(d quantity.Length) Gauge { return Gauge{Head: d, Middle: d, Thread: d} }

// DoubleButted returns wire with thick ends and a thinner middle.
func DoubleButted(ends, middle quantity.Length) Gauge {
	return Gauge{Head: ends, Middle: middle, Thread: ends}
}

// SingleButted returns wire that is thick at the hub only.
func SingleButted(head, body quantity.Length) Gauge {
	return Gauge{Head: head, Middle: body, Thread: body}
}

// Bladed returns wire with round ends and a flat middle.
func Bladed(ends, width, thickness quantity.Length) Gauge {
	return Gauge{Head: ends, Thread: ends, Width: width, Thickness: thickness}
}

// Given reports whether the gauge holds anything.
func (g Gauge) Given() bool { return g != Gauge{} }

// Part is a stretch of a spoke with one section.
type Part struct {
	Length quantity.Length
	Area   quantity.Area
	// Bending is the second moment of area about the weak axis, in m⁴:
	// πd⁴/64 for round wire, πwt³/64 for a blade.
	Bending float64
}

func round(d quantity.Length) (quantity.Area, float64) {
	m := float64(d)
	return quantity.Area(math.Pi * m * m / 4), math.Pi * m * m * m * m / 64
}

func (g Gauge) middle() (quantity.Area, float64) {
	if g.Width > 0 {
		w, t := float64(g.Width), float64(g.Thickness)
		return quantity.Area(math.Pi * w * t / 4), math.Pi * w * t * t * t / 64
	}
	return round(g.Middle)
}

// Area returns the section of the middle.
func (g Gauge) Area() quantity.Area {
	a, _ := g.middle()
	return a
}

// Parts cuts a spoke of length l into head end, middle and thread end. A part
// of the middle's section has no length. Of a spoke shorter than its two ends
// the middle has none, and the ends share what there is.
func (g Gauge) Parts(l quantity.Length) [3]Part {
	blade := g.Width > 0
	head, thread := quantity.Length(0), quantity.Length(0)
	thickHead := blade || g.Head != g.Middle
	thickThread := blade || g.Thread != g.Middle
	switch {
	case thickHead && thickThread:
		head, thread = HeadEnd, ThreadEnd
	case thickHead:
		head = SingleButt
	case thickThread:
		thread = ThreadEnd
	}
	if ends := head + thread; ends > l {
		head, thread = head*l/ends, thread*l/ends
	}
	var p [3]Part
	p[0].Length, p[1].Length, p[2].Length = head, l-head-thread, thread
	p[0].Area, p[0].Bending = round(g.Head)
	p[1].Area, p[1].Bending = g.middle()
	p[2].Area, p[2].Bending = round(g.Thread)
	return p
}
