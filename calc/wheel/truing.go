package wheel

import (
	"fmt"
	"math"
	"slices"

	"gonum.org/v1/gonum/mat"

	"spokeword/calc/basis"
	"spokeword/calc/build"
	"spokeword/calc/quantity"
)

// CoachBasis is what a plan of turns rests on.
var CoachBasis = basis.Basis{
	Kind:   basis.Computed,
	Source: "least squares over the ring-on-spokes response of every nipple",
	Says:   "a thread of 56 an inch, a generic rim; what the first round did corrects the rest",
}

// LimitsBasis is what the usual aims rest on.
var LimitsBasis = basis.Basis{
	Kind: basis.Practice,
	Says: "0.1 mm to 0.3 mm for a wheel built by hand (trade articles), 0.5 mm for a repair; tension ± 10 % a side is good, ± 20 % the limit",
}

// Spot is a reading of where the rim stands at a hole.
type Spot struct {
	Hole int
	Off  quantity.Length // -25 mm to 25 mm
}

// Pull is a reading of a spoke's tension.
type Pull struct {
	Hole  int            // rim hole of the spoke
	Force quantity.Force // 0 N to 3000 N
}

// Readings are what was measured on a wheel. Anything may be missing.
type Readings struct {
	// Right is how far the rim stands to the right of the gauge. Holes that
	// were not read are taken to be near nought.
	Right []Spot
	// Dish is how far the rim as a whole stands to the right of the middle of
	// the axle: half the gap of a dishing gauge. If it is nil, the gauge of
	// Right is taken to stand in the middle.
	Dish *quantity.Length
	// Outward is how far the rim stands out of round, away from the axle.
	Outward []Spot
	Tension []Pull
}

// Turn is how far to turn one nipple.
type Turn struct {
	Hole    int // rim hole of the spoke
	Eighths int // of a turn; positive tightens
}

// Round is what was read, and what was turned after.
type Round struct {
	Readings Readings
	Turns    []Turn
}

// Aim is how good a wheel is to be.
type Aim struct {
	Side   quantity.Length // greatest distance from the middle plane; 0: UsualSide
	Hop    quantity.Length // greatest distance from round; 0: UsualHop
	Spread float64         // greatest part by which a spoke is off its side's mean; 0: UsualSpread
	// Level is the mean tension of the tighter side to go to, 0: as it is.
	Level quantity.Force
	// Mark is the greatest tension of any spoke; 0: not known, and UnknownMark holds.
	Mark quantity.Force
}

// The usual aims, as quoted in LimitsBasis; the hop is common practice without
// a source.
const (
	UsualSide   = 0.2 * quantity.Millimetre
	UsualHop    = 0.5 * quantity.Millimetre
	UsualSpread = 0.08
)

// UnknownMark is the tension that is not passed while the rim's mark is not
// known: 100 kgf, the lower end of what trade articles give for the tighter side.
const UnknownMark = 100 * quantity.KilogramForce

// MostTurn is the most that a nipple is turned in one round: three quarters,
// common practice without a source.
const MostTurn = 6 // eighths

// State is where a wheel stands.
type State uint8

// The states.
const (
	ToTurn State = iota // turn as planned and read again
	Inside              // within the aim
	NoGain              // not within the aim, but no turn of an eighth brings it closer
)

// Standing is how a wheel stands.
type Standing struct {
	Side, Hop quantity.Length   // greatest distance from the middle plane, from round
	SideAt    int               // the hole where
	Mean      [2]quantity.Force // by build.Side; 0 if nothing was read
	Spread    [2]float64        // greatest part by which a spoke is off its side's mean
	Highest   quantity.Force    // of the tightest spoke; 0 if nothing was read
}

// Plan is what to turn.
type Plan struct {
	State State
	Now   Standing // as read, with what earlier rounds tell
	After Standing // as the model expects it
	// Turns are in the order in which to do them: no spoke passes the mark on the way.
	Turns []Turn
	// Both tells that the wheel can be true and even, as far as readings can
	// tell: false for a bent rim. IfEven is how far the rim would stand off with
	// all tension even, IfTrue the spread with the rim quite true. They hold if
	// every hole and every spoke was read; else Both is true.
	Both   bool
	IfEven quantity.Length
	IfTrue float64
	// Mark is the tension that the plan keeps to, Above the spokes that were
	// read above it.
	Mark  quantity.Force
	Above []int
	// Scale is by how much the wheel answers more than the model, as earlier
	// rounds tell: to the side, in hop and in tension; 1 in the first round.
	Scale [3]float64
}

// ReadingError is returned for readings that can't be of this wheel.
type ReadingError struct {
	What   string // "side", "hop", "tension", "dish", "turn"
	Hole   int    // -1 for none
	Spokes int
	Value  fmt.Stringer // nil: the hole is wrong
	Twice  bool
}

// Error says what was read and what can be.
func (e *ReadingError) Error() string {
	switch {
	case e.Twice:
		return fmt.Sprintf("%s at spoke %d: given twice; want one reading a spoke", e.What, e.Hole+1)
	case e.Value != nil && e.Hole >= 0:
		return fmt.Sprintf("%s %v at spoke %d: want %s", e.What, e.Value, e.Hole+1, ranges[e.What])
	case e.Value != nil:
		return fmt.Sprintf("%s %v: want %s", e.What, e.Value, ranges[e.What])
	}
	return fmt.Sprintf("%s at spoke %d: want 1 to %d", e.What, e.Hole+1, e.Spokes)
}

const mostOff = 25 * quantity.Millimetre

var ranges = map[string]string{
	"side": "-25 mm to 25 mm", "hop": "-25 mm to 25 mm", "dish": "-25 mm to 25 mm", "tension": "0 N to 3000 N",
}

// Coach plans turns for one wheel.
type Coach struct {
	model *Model
	aim   Aim
	n     int
	// What one turn of each nipple does, by kind of reading, by hole, by nipple;
	// metres, and newtons.
	does [kinds][]float64
}

// Kinds of reading.
const (
	side = iota
	hop
	force
	kinds
)

// NewCoach makes a coach for a wheel. It returns a *quantity.RangeError for an
// aim that is none.
func NewCoach(m *Model, aim Aim) (*Coach, error) {
	if aim.Side == 0 {
		aim.Side = UsualSide
	}
	if aim.Hop == 0 {
		aim.Hop = UsualHop
	}
	if aim.Spread == 0 {
		aim.Spread = UsualSpread
	}
	for _, r := range []struct {
		what        string
		v, min, max quantity.Length
	}{{"side", aim.Side, 0.05 * quantity.Millimetre, 5 * quantity.Millimetre}, {"hop", aim.Hop, 0.05 * quantity.Millimetre, 10 * quantity.Millimetre}} {
		if err := quantity.Within(r.what, r.v, r.min, r.max); err != nil {
			return nil, err
		}
	}
	if !(aim.Spread >= 0.01 && aim.Spread <= 1) {
		return nil, fmt.Errorf("spread %s: want 1 %% to 100 %%", quantity.Percent(aim.Spread))
	}
	for what, f := range map[string]quantity.Force{"level": aim.Level, "mark": aim.Mark} {
		if err := quantity.Within(what, f, 0, mostTension); err != nil {
			return nil, err
		}
	}
	if aim.Mark == 0 {
		aim.Mark = UnknownMark
	}
	c := &Coach{model: m, aim: aim, n: len(m.spokes)}
	r := m.Response()
	for k := range c.does {
		c.does[k] = make([]float64, c.n*c.n)
	}
	for i := range c.n {
		for j := range c.n {
			s := r.Shift(i, j)
			c.does[side][i*c.n+j] = float64(s.Right)
			c.does[hop][i*c.n+j] = float64(s.Outward)
			c.does[force][i*c.n+j] = float64(r.Tension(i, j))
		}
	}
	return c, nil
}

// How well things are known. The first are of the tools: a dial or a gauge read
// to a tenth of a millimetre, a tension meter to 3 %; common practice without a
// source. The rest are of the model: sections are estimates.
const (
	readOff     = 0.03e-3 // m, standard deviation of a reading to 0.1 mm
	readDish    = 0.3e-3  // m, of a place if only the rim as a whole was read
	readForce   = 0.017   // of the tension, standard deviation of ± 3 %
	modelOff    = 0.15    // of a predicted change
	nippleOff   = 0.02    // turns
	unreadOff   = 5       // how many times the aim's weight a place not read has less
	scaleOff    = 0.25    // how far a response may be off
	beyondModel = 0.15    // of a predicted change, kept below the mark
	belowMark   = 0.04    // of the mark, kept for a meter that is 3 % off and a nipple 1/32 of a turn
	perNipple   = 0.5     // what turning one more nipple must gain, in squares of half an aim
	perTurned   = 0.05    // of an aim, what one more nipple must gain where little was read
	mostIdle    = 1.0     // turns: weight that keeps turns small
	meterRoom   = 0.8     // of the aim: even by the meter is that even
	enough      = 0.6     // of every aim, expected: no need to look for better
	netTurn     = 0.25    // turns by which more may be tightened than loosened where no tension was read
	hopReach    = 3       // spokes either way of a hop, itself among them, that are turned for it
)

// estimate is what is believed of one kind of reading, by hole.
type estimate struct {
	value, variance []float64
	read            []bool
	any, all        bool
}

// Plan works out what to turn. Earlier rounds, oldest first, tell by how much
// the wheel answers more or less than the model, and steady the readings. It
// returns a *ReadingError for readings that can't be of this wheel.
func (c *Coach) Plan(now Readings, earlier ...Round) (Plan, error) {
	rounds := make([][kinds]estimate, 0, len(earlier)+1)
	turned := make([][]float64, 0, len(earlier))
	for _, r := range earlier {
		e, err := c.read(r.Readings)
		if err != nil {
			return Plan{}, err
		}
		x, err := c.turns(r.Turns)
		if err != nil {
			return Plan{}, err
		}
		rounds, turned = append(rounds, e), append(turned, x)
	}
	last, err := c.read(now)
	if err != nil {
		return Plan{}, err
	}
	rounds = append(rounds, last)

	p := Plan{Mark: c.aim.Mark, Scale: [3]float64{1, 1, 1}}
	for k := range kinds {
		p.Scale[k] = c.scale(k, rounds, turned)
	}
	state := c.steady(rounds, turned, p.Scale)
	p.Now = c.standing(state, nil, p.Scale)
	for i := range c.n {
		if state[force].read[i] && quantity.Force(state[force].value[i]) > c.aim.Mark {
			p.Above = append(p.Above, i)
		}
	}
	prob := c.problem(state, p.Scale)
	p.Both = true
	if state[side].all && state[force].all {
		p.Both, p.IfEven, p.IfTrue = prob.both()
	}
	if c.inside(p.Now, state) && len(p.Above) == 0 {
		p.State, p.After = Inside, p.Now
		return p, nil
	}
	// The sum of squares may leave one aim unmet and the other with room to
	// spare: then the unmet one weighs more.
	best := math.Inf(1)
	var x []float64
	weights := [][2]float64{{1, 1}, {3, 1}, {1, 3}, {9, 1}, {3, 3}, {27, 3}}
	if state[side].any && !state[side].all || !state[force].any {
		few := [][3]float64{{1, 1, 1}, {3, 1, 1}}
		if state[hop].any {
			few = append(few, [3]float64{1, 4, 1}, [3]float64{3, 4, 1}, [3]float64{1, 16, 1}, [3]float64{3, 16, 1})
		}
		// Little is known: no finer than that, and as few nipples as help, of those
		// where the rim was read to stand off.
		least := math.Inf(1)
		partly := state[side].any && !state[side].all || state[hop].any && !state[hop].all
		if partly && (p.Now.Side > c.aim.Side || p.Now.Hop > c.aim.Hop) {
			prob.near = make([]bool, c.n)
			for i, v := range state[side].value {
				prob.near[i] = math.Abs(v) >= float64(c.aim.Side)
			}
			for i, v := range state[hop].value {
				for by := range hopReach {
					prob.near[(i+by)%c.n] = prob.near[(i+by)%c.n] || math.Abs(v) >= float64(c.aim.Hop)
					prob.near[(i+c.n-by)%c.n] = prob.near[(i+c.n-by)%c.n] || math.Abs(v) >= float64(c.aim.Hop)
				}
			}
		}
		for _, prob.perNipple = range []float64{16, 8, 4, 2} {
			if prob.perNipple == 2 && moved(x) == 0 { // tension that was read holds against it
				few = append(few, [3]float64{9, 1, 1}, [3]float64{27, 1, 1})
			}
			for _, w := range few {
				try := prob.search(prob.weights(w[0], w[1], w[2]))
				after := c.standing(state, try, p.Scale)
				left := max(1, c.worst(after)) + perTurned*float64(moved(try))
				if left < least {
					least, x, p.After = left, try, after
				}
			}
		}
		weights = nil
	}
	for _, w := range weights {
		try := prob.search(prob.weights(w[0], 1, w[1]))
		after := c.standing(state, try, p.Scale)
		left := c.worst(after)
		if left < best-0.02 {
			best, x, p.After = left, try, after
		}
		if best <= enough {
			break
		}
	}
	p.Turns = prob.order(x)
	if len(p.Turns) == 0 {
		p.State = NoGain
	}
	return p, nil
}

// worst returns what is furthest off, in aims.
func (c *Coach) worst(s Standing) float64 {
	return max(float64(s.Side/c.aim.Side), max(s.Spread[0], s.Spread[1])/c.aim.Spread, float64(s.Hop/c.aim.Hop))
}

// moved returns how many nipples turns x turn.
func moved(x []float64) (n int) {
	for _, t := range x {
		if t != 0 {
			n++
		}
	}
	return n
}

// inside reports whether a wheel is within the aim as far as it was read, with
// room for what a reading to 0.1 mm and a meter leave open.
func (c *Coach) inside(s Standing, state *[kinds]estimate) bool {
	const half = 0.05 * quantity.Millimetre
	level := true
	if c.aim.Level > 0 && state[force].any {
		level = math.Abs(float64(max(s.Mean[0], s.Mean[1])/c.aim.Level)-1) < 0.05
	}
	return level && s.Side <= c.aim.Side-half && s.Hop <= c.aim.Hop-half && max(s.Spread[0], s.Spread[1]) <= meterRoom*c.aim.Spread
}

// read checks readings and puts them by hole.
func (c *Coach) read(r Readings) (e [kinds]estimate, err error) {
	for k := range e {
		e[k] = estimate{value: make([]float64, c.n), variance: make([]float64, c.n), read: make([]bool, c.n)}
	}
	put := func(k int, what string, hole int, v, variance float64, value fmt.Stringer, ok bool) error {
		switch {
		case hole < 0 || hole >= c.n:
			return &ReadingError{What: what, Hole: hole, Spokes: c.n}
		case !ok:
			return &ReadingError{What: what, Hole: hole, Spokes: c.n, Value: value}
		case e[k].read[hole]:
			return &ReadingError{What: what, Hole: hole, Spokes: c.n, Twice: true}
		}
		e[k].value[hole], e[k].variance[hole], e[k].read[hole], e[k].any = v, variance, true, true
		return nil
	}
	for k, list := range [][]Spot{r.Right, r.Outward} {
		what := [...]string{"side", "hop"}[k]
		for _, s := range list {
			ok := s.Off >= -mostOff && s.Off <= mostOff
			if err := put(k, what, s.Hole, float64(s.Off), readOff*readOff, s.Off, ok); err != nil {
				return e, err
			}
		}
	}
	for _, t := range r.Tension {
		v := float64(t.Force)
		ok := t.Force >= 0 && t.Force <= mostTension
		if err := put(force, "tension", t.Hole, v, readForce*readForce*v*v, t.Force, ok); err != nil {
			return e, err
		}
	}
	for k := range e {
		e[k].all = !slices.Contains(e[k].read, false)
	}
	if e[hop].all {
		// Round about any circle: the mean says nothing.
		shift(&e[hop], -mean(e[hop].value))
	}
	if r.Dish != nil {
		if !(*r.Dish >= -mostOff && *r.Dish <= mostOff) {
			return e, &ReadingError{What: "dish", Hole: -1, Value: *r.Dish}
		}
		off := float64(*r.Dish)
		if e[side].all {
			off -= mean(e[side].value)
		}
		shift(&e[side], off)
		if !e[side].any {
			// The rim as a whole, and nothing of its places.
			e[side].any = true
			for i := range c.n {
				e[side].read[i], e[side].variance[i] = true, readDish*readDish
			}
		}
	}
	return e, nil
}

func shift(e *estimate, by float64) {
	for i := range e.value {
		e.value[i] += by
	}
}

func mean(v []float64) float64 {
	sum := 0.0
	for _, x := range v {
		sum += x
	}
	return sum / float64(len(v))
}

func (c *Coach) turns(list []Turn) ([]float64, error) {
	x := make([]float64, c.n)
	for _, t := range list {
		if t.Hole < 0 || t.Hole >= c.n {
			return nil, &ReadingError{What: "turn", Hole: t.Hole, Spokes: c.n}
		}
		x[t.Hole] += float64(t.Eighths) / 8
	}
	return x, nil
}

// change returns what turns x do by the model to each hole.
func (c *Coach) change(k int, x []float64) []float64 {
	out := make([]float64, c.n)
	for i := range out {
		row := c.does[k][i*c.n : (i+1)*c.n]
		for j, t := range x {
			out[i] += row[j] * t
		}
	}
	if k == hop {
		m := mean(out)
		for i := range out {
			out[i] -= m
		}
	}
	return out
}

// scale returns by how much the wheel answered more than the model in earlier
// rounds: least squares, drawn towards 1.
func (c *Coach) scale(k int, rounds [][kinds]estimate, turned [][]float64) float64 {
	over, under := 1/(scaleOff*scaleOff), 1/(scaleOff*scaleOff)
	for r, x := range turned {
		before, after := &rounds[r][k], &rounds[r+1][k]
		for i, d := range c.change(k, x) {
			if !before.read[i] || !after.read[i] {
				continue
			}
			own := 0.0
			if k == force {
				own = 250 * nippleOff
			} else {
				own = 0.8e-3 * nippleOff
			}
			v := before.variance[i] + after.variance[i] + own*own
			over += d * (after.value[i] - before.value[i]) / v
			under += d * d / v
		}
	}
	return min(max(over/under, 0.5), 2)
}

// steady joins the last readings with what earlier ones and the turns since
// let expect.
func (c *Coach) steady(rounds [][kinds]estimate, turned [][]float64, scale [3]float64) *[kinds]estimate {
	state := rounds[0]
	for r, x := range turned {
		next := rounds[r+1]
		for k := range kinds {
			for i, d := range c.change(k, x) {
				d *= scale[k]
				own := 0.8e-3 * nippleOff
				if k == force {
					own = 250 * nippleOff
				}
				switch {
				case !state[k].read[i]:
				case !next[k].read[i]:
					// Read before and not again: go by the model.
					next[k].read[i] = true
					next[k].value[i] = state[k].value[i] + d
					next[k].variance[i] = state[k].variance[i] + modelOff*modelOff*d*d + own*own
				default:
					v := state[k].variance[i] + modelOff*modelOff*d*d + own*own
					w := next[k].variance[i] / (v + next[k].variance[i])
					next[k].value[i] = (1-w)*next[k].value[i] + w*(state[k].value[i]+d)
					next[k].variance[i] *= 1 - w
				}
			}
			next[k].any = next[k].any || state[k].any
			next[k].all = next[k].all || state[k].all
		}
		state = next
	}
	return &state
}

// means returns the mean tension of each side: of what was read, else the model's.
func (c *Coach) means(e *estimate) (m [2]float64) {
	var count [2]float64
	for i := range c.n {
		if s := c.model.spokes[i].Side; e.read[i] {
			m[s] += e.value[i]
			count[s]++
		}
	}
	for s := range m {
		if count[s] > 0 && m[s] > 0 {
			m[s] /= count[s]
		} else {
			m[s] = float64(c.model.tension[s])
		}
		if m[s] <= 0 {
			m[s] = float64(UnknownMark)
		}
	}
	return m
}

// standing returns how the wheel stands after turns x.
func (c *Coach) standing(state *[kinds]estimate, x []float64, scale [3]float64) Standing {
	var out Standing
	var now [kinds][]float64
	for k := range kinds {
		now[k] = slices.Clone(state[k].value)
		if x != nil {
			for i, d := range c.change(k, x) {
				now[k][i] += scale[k] * d
			}
		}
	}
	for i := range c.n {
		if off := quantity.Length(math.Abs(now[side][i])); state[side].read[i] && off > out.Side {
			out.Side, out.SideAt = off, i
		}
		if state[hop].read[i] {
			out.Hop = max(out.Hop, quantity.Length(math.Abs(now[hop][i])))
		}
	}
	if !state[force].any {
		return out
	}
	after := state[force]
	after.value = now[force]
	m := c.means(&after)
	for i := range c.n {
		s := c.model.spokes[i].Side
		if after.read[i] {
			out.Mean[s] = quantity.Force(m[s])
			out.Spread[s] = max(out.Spread[s], math.Abs(after.value[i]/m[s]-1))
			out.Highest = max(out.Highest, quantity.Force(after.value[i]))
		}
	}
	return out
}

// problem is the sum of squares that turns are to make small: rows of what is
// off, in halves of the aim, and of what each nipple does to it.
type problem struct {
	c     *Coach
	state *[kinds]estimate
	rows  int
	off   []float64 // by row
	does  []float64 // by row, by nipple; per turn
	kind  []uint8
	// Tension that each spoke has, and may come to; +Inf if it was not read.
	has, may  []float64
	force     []float64 // N per turn
	near      []bool    // the nipples that may be turned; nil: all
	perNipple float64   // as the constant, or more where little is known
}

func (c *Coach) problem(state *[kinds]estimate, scale [3]float64) *problem {
	n := c.n
	p := &problem{c: c, state: state, perNipple: perNipple, has: make([]float64, n), may: make([]float64, n), force: make([]float64, n*n)}
	add := func(k int, off float64, does []float64, aim float64) {
		p.kind = append(p.kind, uint8(k))
		p.off = append(p.off, off/aim)
		for _, d := range does {
			p.does = append(p.does, d/aim)
		}
		p.rows++
	}
	row := make([]float64, n)
	take := func(k, i int) []float64 {
		for j := range row {
			row[j] = scale[k] * c.does[k][i*n+j]
		}
		return row
	}
	for i := range n {
		aim := float64(c.aim.Side) / 2
		if !state[side].read[i] && state[side].any {
			aim *= unreadOff
		}
		add(side, state[side].value[i], take(side, i), aim)
	}
	// Hop counts about the mean circle.
	middle := make([]float64, n)
	for i := range n {
		for j, d := range take(hop, i) {
			middle[j] += d / float64(n)
		}
	}
	for i := range n {
		aim := float64(c.aim.Hop) / 2
		if !state[hop].read[i] && state[hop].any {
			aim *= unreadOff
		}
		does := take(hop, i)
		for j := range does {
			does[j] -= middle[j]
		}
		add(hop, state[hop].value[i], does, aim)
	}
	// Tension counts about its side's mean, as a part of it.
	m := c.means(&state[force])
	var middles [2][]float64
	var count [2]float64
	for _, s := range build.Sides {
		middles[s] = make([]float64, n)
	}
	for i := range n {
		s := c.model.spokes[i].Side
		count[s]++
		for j, d := range take(force, i) {
			middles[s][j] += d
			p.force[i*n+j] = d
		}
	}
	for _, s := range build.Sides {
		for j := range n {
			middles[s][j] /= count[s]
		}
	}
	for i := range n {
		s := c.model.spokes[i].Side
		off, aim := 0.0, c.aim.Spread/2*m[s]
		p.has[i], p.may[i] = m[s], math.Inf(1)
		if state[force].read[i] {
			off = state[force].value[i] - m[s]
			p.has[i] = state[force].value[i]
			p.may[i] = (1 - belowMark) * float64(c.aim.Mark)
		} else {
			aim *= 2.5
		}
		does := take(force, i)
		for j := range does {
			does[j] -= middles[s][j]
		}
		add(force, off, does, aim)
	}
	// The tighter side's level.
	tight := build.Right
	if m[build.Left] > m[build.Right] {
		tight = build.Left
	}
	level := m[tight]
	if c.aim.Level > 0 {
		level = float64(min(c.aim.Level, (1-belowMark)*c.aim.Mark))
	}
	add(force, m[tight]-level, middles[tight], 0.03*level)
	if !state[force].any && !state[hop].any {
		// Where no tension was read, as much is loosened as is tightened; but a
		// high spot takes tightening.
		net := make([]float64, n)
		for j := range net {
			net[j] = 1
		}
		add(force, 0, net, netTurn)
	}
	return p
}

// solve returns the turns that make the weighted sum of squares least.
func (p *problem) solve(weight []float64) []float64 { return p.least(p.normal(weight)) }

// least solves the normal equations.
func (p *problem) least(q, g []float64) []float64 {
	n := p.c.n
	sym := mat.NewSymDense(n, q)
	var ch mat.Cholesky
	x := make([]float64, n)
	if !ch.Factorize(sym) {
		return x
	}
	v := mat.NewVecDense(n, x)
	if err := ch.SolveVecTo(v, mat.NewVecDense(n, g)); err != nil {
		return make([]float64, n)
	}
	for i := range x {
		x[i] = -x[i]
	}
	return x
}

// normal returns the normal matrix and the gradient at no turn.
func (p *problem) normal(weight []float64) (q, g []float64) {
	n := p.c.n
	q, g = make([]float64, n*n), make([]float64, n)
	for r := range p.rows {
		w := 1.0
		if weight != nil {
			w = weight[r]
		}
		row := p.does[r*n : (r+1)*n]
		for i, a := range row {
			a *= w
			g[i] += a * p.off[r]
			for j := i; j < n; j++ {
				q[i*n+j] += a * row[j]
			}
		}
	}
	for i := range n {
		q[i*n+i] += 1 / (mostIdle * mostIdle)
		for j := range i {
			q[i*n+j] = q[j*n+i]
		}
	}
	return q, g
}

// left returns the greatest of what is off after turns x, by kind, in aims.
func (p *problem) left(x []float64) (most [kinds]float64, each []float64) {
	n := p.c.n
	each = make([]float64, p.rows)
	for r := range p.rows {
		sum := p.off[r]
		for j, t := range x {
			sum += p.does[r*n+j] * t
		}
		each[r] = math.Abs(sum) / 2
		if r < 3*n {
			most[p.kind[r]] = max(most[p.kind[r]], each[r])
		}
	}
	return most, each
}

// weights returns weights by row: so much for the side, for hop, for tension.
func (p *problem) weights(off, out, pull float64) []float64 {
	w := make([]float64, p.rows)
	for r, k := range p.kind {
		w[r] = [kinds]float64{side: off, hop: out, force: pull}[k]
	}
	return w
}

// both looks whether the rim can be true and even at once: the least greatest
// deviation in aims, by reweighting (Lawson), with turns of any size.
func (p *problem) both() (ok bool, ifEven quantity.Length, ifTrue float64) {
	n := p.c.n
	weight := make([]float64, p.rows)
	only := func(k uint8) [kinds]float64 {
		for r := range weight {
			weight[r] = 1e-3
			if p.kind[r] == k {
				weight[r] = 1e3
			}
			if r >= 3*n {
				weight[r] = 0.01
			}
		}
		most, _ := p.left(p.solve(weight))
		return most
	}
	ifEven = quantity.Length(only(force)[side]) * p.c.aim.Side
	ifTrue = only(side)[force] * p.c.aim.Spread
	for r := range weight {
		weight[r] = 1
	}
	best := math.Inf(1)
	for range 8 {
		most, each := p.left(p.solve(weight))
		best = min(best, max(most[side], most[force]))
		for r := range 3 * n {
			weight[r] *= each[r] + 0.02
		}
		m := mean(weight[:3*n])
		for r := range 3 * n {
			weight[r] /= m
		}
	}
	return best <= 1, ifEven, ifTrue
}

// search returns turns in eighths, in turns: as few nipples as will do. It goes
// down from nothing and from the rounded best, by single nipples and pairs.
func (p *problem) search(weight []float64) []float64 {
	n := p.c.n
	q, g := p.normal(weight)
	const eighth = 1.0 / 8
	down := func(x []int) float64 {
		grad := slices.Clone(g) // half the slope at x
		value := 0.0
		for i, e := range x {
			if e == 0 {
				continue
			}
			value += p.perNipple
			for j := range n {
				grad[j] += q[i*n+j] * float64(e) * eighth
			}
		}
		for i, e := range x {
			value += float64(e) * eighth * (grad[i] + g[i])
		}
		force := p.after(x)
		// one is what it costs to turn nipple i by d eighths more.
		one := func(i, d int) float64 {
			if x[i]+d > MostTurn || x[i]+d < -MostTurn || p.near != nil && !p.near[i] {
				return math.Inf(1)
			}
			s := float64(d) * eighth
			cost := s * (2*grad[i] + q[i*n+i]*s)
			switch {
			case x[i] == 0:
				cost += p.perNipple
			case x[i]+d == 0:
				cost -= p.perNipple
			}
			return cost
		}
		singles := make([]float64, 2*n)
		for range 400 {
			best, bi, bd, bk, be := -1e-9, -1, 0, -1, 0
			for i := range n {
				for side, d := range [2]int{-1, 1} {
					singles[2*i+side] = one(i, d)
					if c := singles[2*i+side]; c < best && p.allowed(force, i, d, -1, 0) {
						best, bi, bd, bk = c, i, d, -1
					}
				}
				if x[i] != 0 {
					if c := one(i, -x[i]); c < best && p.allowed(force, i, -x[i], -1, 0) {
						best, bi, bd, bk = c, i, -x[i], -1
					}
				}
			}
			// Pairs only where no single nipple gains.
			single := bi >= 0
			for i := 0; i < n && !single; i++ {
				for k := i + 1; k < n; k++ {
					cross := 2 * q[i*n+k] * eighth * eighth
					for s, d := range [2]int{-1, 1} {
						for t, e := range [2]int{-1, 1} {
							c := singles[2*i+s] + singles[2*k+t] + cross*float64(d*e)
							if c < best && p.allowed(force, i, d, k, e) {
								best, bi, bd, bk, be = c, i, d, k, e
							}
						}
					}
				}
			}
			if bi < 0 {
				break
			}
			move := func(i, d int) {
				x[i] += d
				for j := range n {
					grad[j] += q[i*n+j] * float64(d) * eighth
					force[j] += p.force[j*n+i] * float64(d) * eighth
				}
			}
			move(bi, bd)
			if bk >= 0 {
				move(bk, be)
			}
			value += best
		}
		return value
	}
	a, b := make([]int, n), make([]int, n)
	for i, t := range p.least(slices.Clone(q), g) {
		if p.near == nil || p.near[i] {
			b[i] = min(max(int(math.Round(t/eighth)), -MostTurn), MostTurn)
		}
	}
	// Where the best would pass the mark, every nipple is turned back until it
	// does not: near the mark a rim can be trued only with less tension. What is
	// above the mark comes down first, and nothing else is tightened for it.
	fits := p.fits(b)
	above := slices.ContainsFunc(p.has, func(t float64) bool { return t > float64(p.c.aim.Mark) })
	for back := 0; !fits && !above && back < MostTurn; back++ {
		for i := range b {
			if p.near == nil || p.near[i] {
				b[i] = max(b[i]-1, -MostTurn)
			}
		}
		fits = p.fits(b)
	}
	va := down(a)
	if fits {
		if vb := down(b); vb < va {
			a = b
		}
	}
	x := make([]float64, n)
	for i, e := range a {
		x[i] = float64(e) * eighth
	}
	return x
}

// after returns all tension after turns in eighths.
func (p *problem) after(x []int) []float64 {
	n := p.c.n
	out := slices.Clone(p.has)
	for i, e := range x {
		if e != 0 {
			for j := range n {
				out[j] += p.force[j*n+i] * float64(e) / 8
			}
		}
	}
	return out
}

// bears reports whether spoke j may have tension t: not above the mark, with
// room for meter and model, unless it comes down.
func (p *problem) bears(j int, t float64) bool {
	up := t - p.has[j]
	return up <= 0 || t+beyondModel*up <= p.may[j]
}

// fits reports whether every spoke bears what it has after turns in eighths.
func (p *problem) fits(x []int) bool {
	for j, t := range p.after(x) {
		if !p.bears(j, t) {
			return false
		}
	}
	return true
}

// allowed reports whether every spoke still bears what it has if nipples i and
// k, unless that is -1, are turned by d and e eighths more.
func (p *problem) allowed(force []float64, i, d, k, e int) bool {
	n := p.c.n
	for j, t := range force {
		t += p.force[j*n+i] * float64(d) / 8
		if k >= 0 {
			t += p.force[j*n+k] * float64(e) / 8
		}
		if !p.bears(j, t) {
			return false
		}
	}
	return true
}

// order puts turns in the order in which to do them: those that loosen first,
// round the rim, then those that tighten. Where a spoke would pass the mark on
// the way, the one goes first that leaves the tightest spoke lowest.
func (p *problem) order(x []float64) []Turn {
	var turns []Turn
	for _, loosen := range [2]bool{true, false} {
		for i, t := range x {
			if e := int(math.Round(t * 8)); e != 0 && (e < 0) == loosen {
				turns = append(turns, Turn{i, e})
			}
		}
	}
	force := slices.Clone(p.has)
	turn := func(t Turn, times float64) {
		for j := range force {
			force[j] += times * p.force[j*p.c.n+t.Hole] * float64(t.Eighths) / 8
		}
	}
	high := func() float64 {
		most := math.Inf(-1)
		for j, t := range force {
			if !math.IsInf(p.may[j], 1) {
				most = max(most, t-max(p.may[j], p.has[j]))
			}
		}
		return most
	}
	passes := false
	for _, t := range turns {
		turn(t, 1)
		passes = passes || high() > 0
	}
	if !passes {
		return turns
	}
	copy(force, p.has)
	for at := range turns {
		best, least := at, math.Inf(1)
		for k := at; k < len(turns); k++ {
			turn(turns[k], 1)
			if h := high(); h < least {
				best, least = k, h
			}
			turn(turns[k], -1)
		}
		turns[at], turns[best] = turns[best], turns[at]
		turn(turns[at], 1)
	}
	return turns
}
