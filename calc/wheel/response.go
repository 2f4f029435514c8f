package wheel

import (
	"math"

	"spokeword/calc/quantity"
	"spokeword/calc/spoke"
)

// Response is what one turn of each nipple does to the rim and to all tension,
// at the tension the model has: linear, so for small turns of a wheel that is
// nearly true.
type Response struct {
	model *Model
	// moves holds the rim's motion at every hole for one turn of each nipple,
	// by nipple, then by hole.
	moves []vec
	n     int
}

// Response works out what each nipple does. Tightening pulls the rim inwards
// and to the spoke's side. A turn takes up spoke.ThreadPitch.
func (m *Model) Response() *Response {
	n := len(m.spokes)
	r := &Response{model: m, n: n, moves: make([]vec, n*n)}
	load := make([]float64, n*ways)
	for j := range m.repeats {
		clear(load)
		b := &m.bars[j]
		for w := range ways {
			load[fold(j, n)+w] = -b.k * float64(spoke.ThreadPitch) * b.pull[w]
		}
		rim := m.moved(load)
		// The nipple so many repeats further on does the same, so much further on.
		for by := 0; by < n; by += m.repeats {
			row := r.moves[(j+by)*n:]
			copy(row[by:n], rim[:n-by])
			copy(row[:by], rim[n-by:])
		}
	}
	return r
}

// Len returns the number of spokes.
func (r *Response) Len() int { return r.n }

// Shift returns how the rim moves at a hole for one turn that tightens a nipple.
func (r *Response) Shift(hole, nipple int) Shift { return shiftOf(&r.moves[nipple*r.n+hole]) }

// Tension returns how the tension of the spoke at a hole changes for one turn
// that tightens a nipple.
func (r *Response) Tension(hole, nipple int) quantity.Force {
	b := &r.model.bars[hole]
	t := b.stretch(&r.moves[nipple*r.n+hole])
	if hole == nipple {
		t += b.k * float64(spoke.ThreadPitch)
	}
	return quantity.Force(t)
}

// Way is a direction of a load.
type Way uint8

// The ways of a load.
const (
	Inward Way = iota // towards the axle
	ToRight
	ToLeft
	Drive
	Brake
)

// Slack is the load at which a spoke first has no tension left.
type Slack struct {
	Load  quantity.Force // +Inf if no load of that way takes tension from any spoke
	At    Place          // of the load
	Spoke int            // the rim hole of the spoke
}

// Slack returns at what load at one place the first spoke goes slack. By
// Maxwell and Betti a load takes as much tension from a spoke as that spoke's
// nipple moves the place against the load.
func (r *Response) Slack(at Place, way Way) Slack {
	s := Slack{Load: quantity.Force(math.Inf(1)), At: at}
	w, sign := way.of()
	g := &r.model.kinds[r.model.kindOf[at.Hole]]
	next := (at.Hole + 1) % r.n
	for j := range r.n {
		moves := r.moves[j*r.n : (j+1)*r.n]
		moved := sign * moves[at.Hole][w]
		if at.Mid {
			moved = sign * g.follow(&moves[at.Hole], &moves[next], w)
		}
		lost := moved / float64(spoke.ThreadPitch) // newtons of tension per newton of load
		if lost <= 1e-9 {
			continue
		}
		if load := quantity.Force(r.model.bars[j].tension / lost); load < s.Load {
			s.Load, s.Spoke = load, j
		}
	}
	return s
}

// of returns the way that the rim moves in, and its sign.
func (w Way) of() (way int, sign float64) {
	switch w {
	case ToRight:
		return rightward, 1
	case ToLeft:
		return rightward, -1
	case Drive:
		return along, -1
	case Brake:
		return along, 1
	}
	return outward, -1
}

// FirstSlack returns the least load of a way at which a spoke goes slack, over
// all places: every hole, and the middle of every gap. On a dished wheel it is
// a spoke of the looser side.
func (r *Response) FirstSlack(way Way) Slack {
	first := Slack{Load: quantity.Force(math.Inf(1))}
	for i := range r.model.repeats {
		for _, mid := range [2]bool{false, true} {
			if s := r.Slack(Place{i, mid}, way); s.Load < first.Load {
				first = s
			}
		}
	}
	return first
}
