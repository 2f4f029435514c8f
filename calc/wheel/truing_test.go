package wheel

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"spokeword/calc/build"
	"spokeword/calc/quantity"
)

// stand is a wheel in a stand that differs from what the coach believes.
type stand struct {
	rng            *rand.Rand
	n              int
	side, hop, pul []float64 // m, m, N as they are
	does           [kinds][]float64
	spokes         []build.Side
}

func truingSetup(dished bool) Setup {
	half := func(offset quantity.Length, hole int) build.Half {
		return build.Half{Cross: 3, Gauge: build.DoubleButted(0.0020, 0.0018), Flange: build.Flange{
			Offset: offset, Holes: hole, Circle: 0.058, HoleDiameter: 0.0026,
		}}
	}
	s := Setup{
		Wheel:   build.Wheel{Left: half(0.035, 16), Right: half(0.035, 16), Rim: build.Rim{ERD: 0.6, Holes: 32}},
		Section: Section{6.9e6, 200, 400, 60}, Centroid: 0.005, Tension: 900,
	}
	if dished {
		s.Wheel.Left.Flange.Offset, s.Wheel.Right.Flange.Offset = 0.036, 0.021
	}
	return s
}

// newStand makes a wheel with E·I and G·J up to 30 % off, spokes up to 5 %,
// whose rim alone is bent by so many metres from side to side, up to wobble
// metres off the middle plane and
// with tension off by up to spread of its side's mean.
func newStand(t testing.TB, s Setup, seed uint64, bent, wobble, spread float64) *stand {
	rng := rand.New(rand.NewPCG(seed, 5))
	within := func(by float64) float64 { return 1 + by*(2*rng.Float64()-1) }
	s.Section.Radial *= quantity.Rigidity(within(0.3))
	s.Section.Lateral *= quantity.Rigidity(within(0.3))
	s.Section.Twist *= quantity.Rigidity(within(0.3))
	m, err := New(s)
	require.NoError(t, err)
	for i := range m.bars {
		m.bars[i].k *= within(0.05)
	}
	require.True(t, m.solve(1))
	n := len(m.spokes)
	c, err := NewCoach(m, Aim{})
	require.NoError(t, err)
	w := &stand{rng: rng, n: n, does: c.does, side: make([]float64, n), hop: make([]float64, n), pul: make([]float64, n)}
	for i := range m.spokes {
		w.spokes = append(w.spokes, m.spokes[i].Side)
		w.pul[i] = float64(m.tension[m.spokes[i].Side])
	}

	// A bent rim pushes towards its own shape as it would be without spokes.
	free, ok := newGap(s.Section, m.radius, 2*math.Pi/float64(n), 0)
	require.True(t, ok)
	shape := make([]vec, n)
	most, least := 0.0, 0.0
	var size, phase [6]float64
	for k := 2; k < 6; k++ {
		size[k], phase[k] = rng.NormFloat64()/float64(k), 2*math.Pi*rng.Float64()
	}
	for i := range shape {
		for k := 2; k < 6; k++ {
			sin, cos := math.Sincos(float64(k)*float64(m.spokes[i].RimAngle) + phase[k])
			shape[i][rightward] += size[k] * cos
			shape[i][yaw] += float64(k) / m.radius * size[k] * sin
		}
		most, least = max(most, shape[i][rightward]), min(least, shape[i][rightward])
	}
	load := make([]float64, n*ways)
	for i := range shape {
		for w := range shape[i] {
			shape[i][w] *= bent / (most - least)
		}
	}
	for i := range shape {
		k := (i + 1) % n
		a, b := free.a.of(&shape[i]), free.b.of(&shape[k])
		c, d := free.b.transposedOf(&shape[i]), free.d.of(&shape[k])
		for w := range ways {
			load[fold(i, n)+w] += a[w] + b[w]
			load[fold(k, n)+w] += c[w] + d[w]
		}
	}
	for i, u := range m.moved(load) {
		w.side[i] += u[rightward]
		w.hop[i] += u[outward]
		w.pul[i] += m.bars[i].stretch(&u)
	}

	// Nipples anyhow: some that make a wobble and keep the tension, and some that
	// make the tension uneven and keep the rim, in the shares that give both.
	makes := func(value func(k, i int) float64) []float64 {
		var want [kinds]estimate
		for k := range want {
			want[k] = estimate{value: make([]float64, n), read: make([]bool, n), any: true, all: true}
			for i := range n {
				want[k].value[i], want[k].read[i] = -value(k, i), true
				if k == force {
					want[k].value[i] += float64(m.tension[w.spokes[i]])
				}
			}
		}
		return c.problem(&want, [3]float64{1, 1, 1}).solve(nil)
	}
	wave := makes(func(k, i int) (v float64) {
		for h := 1; k == side && h < 4; h++ {
			v += wobble * size[h+1] / float64(h) * math.Cos(float64(h)*float64(m.spokes[i].RimAngle)+phase[h+1])
		}
		return v
	})
	noise := makes(func(k, i int) float64 {
		if k != force {
			return 0
		}
		return spread / 2 * rng.NormFloat64() * float64(m.tension[w.spokes[i]])
	})
	a, b := 1.0, 1.0
	bare := *w
	for range 400 {
		*w = bare
		w.side, w.hop, w.pul = append([]float64(nil), bare.side...), append([]float64(nil), bare.hop...), append([]float64(nil), bare.pul...)
		x := make([]float64, n)
		for i := range x {
			x[i] = a*wave[i] + b*noise[i]
		}
		w.turn(x)
		a *= math.Pow(wobble/w.wobble(), 0.3)
		b *= math.Pow(spread/w.spread(), 0.3)
	}
	require.InEpsilon(t, wobble, w.wobble(), 0.02)
	require.InEpsilon(t, spread, w.spread(), 0.02)
	return w
}

func (w *stand) turn(x []float64) {
	for i := range w.n {
		for j, t := range x {
			w.side[i] += w.does[side][i*w.n+j] * t
			w.hop[i] += w.does[hop][i*w.n+j] * t
			w.pul[i] += w.does[force][i*w.n+j] * t
		}
	}
}

// wobble is the greatest distance from the middle plane.
func (w *stand) wobble() float64 {
	most := 0.0
	for _, s := range w.side {
		most = max(most, math.Abs(s))
	}
	return most
}

func (w *stand) highest() float64 {
	most := 0.0
	for _, f := range w.pul {
		most = max(most, f)
	}
	return most
}

// spread is the greatest part by which a spoke is off its side's mean.
func (w *stand) spread() float64 {
	var sum, count [2]float64
	for i, f := range w.pul {
		sum[w.spokes[i]] += f
		count[w.spokes[i]]++
	}
	most := 0.0
	for i, f := range w.pul {
		s := w.spokes[i]
		most = max(most, math.Abs(f*count[s]/sum[s]-1))
	}
	return most
}

// read gives readings as a person takes them: to 0.1 mm, tension to ± 3 %.
func (w *stand) read() Readings {
	var r Readings
	tenth := func(v float64) quantity.Length { return quantity.Length(math.Round(v*1e4) / 1e4) }
	round := mean(w.hop)
	for i := range w.n {
		r.Right = append(r.Right, Spot{i, tenth(w.side[i])})
		r.Outward = append(r.Outward, Spot{i, tenth(w.hop[i] - round)})
		r.Tension = append(r.Tension, Pull{i, quantity.Force(w.pul[i] * (1 + 0.03*(2*w.rng.Float64()-1)))})
	}
	return r
}

// follow does what a plan says, every nipple up to 1/32 turn off, and returns
// the highest tension on the way.
func (w *stand) follow(p Plan) float64 {
	most := w.highest()
	for _, t := range p.Turns {
		x := make([]float64, w.n)
		x[t.Hole] = float64(t.Eighths)/8 + (2*w.rng.Float64()-1)/32
		w.turn(x)
		most = max(most, w.highest())
	}
	return most
}

// TestConverges follows the coach on wheels that differ from what it believes:
// E·I and G·J up to 30 % off, spokes 5 %, every nipple up to 1/32 turn off, the
// rim out of flat by 0.2 mm in all, side and hop read to 0.1 mm, tension to
// ± 3 %. From up to 1.5 mm off the middle and ± 25 % of tension to less than
// 0.2 mm and ± 8 % in at most four rounds: 18 of the 20 seeds 0 to 19 at least. No
// spoke passes the mark, not between two nipples either. A dished wheel with a
// rim bent by 1.2 mm is told that true and even can't both be had.
func TestConverges(t *testing.T) {
	for _, c := range []struct {
		name                 string
		dished               bool
		bent, wobble, spread float64
		tension              quantity.Force
	}{
		{"symmetric", false, 0.2e-3, 1.5e-3, 0.25, 900},
		{"dished", true, 0.2e-3, 1.5e-3, 0.25, 900},
		{"dished and bent", true, 1.2e-3, 1.5e-3, 0.35, 850},
	} {
		t.Run(c.name, func(t *testing.T) {
			const seeds, most, mark = 20, 4, 120 * quantity.KilogramForce
			s := truingSetup(c.dished)
			s.Tension = c.tension
			m, err := New(s)
			require.NoError(t, err)
			coach, err := NewCoach(m, Aim{Mark: mark})
			require.NoError(t, err)
			good, told := 0, 0
			for seed := range uint64(seeds) {
				w := newStand(t, s, seed, c.bent, c.wobble, c.spread)
				var earlier []Round
				both := true
				for range most {
					now := w.read()
					p, err := coach.Plan(now, earlier...)
					require.NoError(t, err)
					both = both && p.Both
					if p.State != ToTurn {
						break
					}
					assert.LessOrEqual(t, w.follow(p), float64(mark), "seed %v: tension on the way", seed)
					for _, turn := range p.Turns {
						assert.LessOrEqual(t, max(turn.Eighths, -turn.Eighths), MostTurn)
					}
					earlier = append(earlier, Round{now, p.Turns})
				}
				if w.wobble() < 0.2e-3 && w.spread() < 0.08 {
					good++
				} else if !both {
					told++
				}
			}
			t.Logf("%v true and even, %v told that both can't be had", good, told)
			if c.bent > 0.2e-3 {
				assert.Equal(t, seeds, good+told)
			} else {
				assert.GreaterOrEqual(t, good, 18)
			}
		})
	}
}

func coach(t *testing.T, aim Aim) *Coach {
	t.Helper()
	m, err := New(truingSetup(true))
	require.NoError(t, err)
	c, err := NewCoach(m, aim)
	require.NoError(t, err)
	return c
}

// TestEvens holds that with tension alone to go by the tension evens out and
// the rim stays where it is.
func TestEvens(t *testing.T) {
	c := coach(t, Aim{Mark: 1200})
	rng := rand.New(rand.NewPCG(1, 5))
	var r Readings
	for i := range c.n {
		mean := float64(c.model.tension[c.model.spokes[i].Side])
		r.Tension = append(r.Tension, Pull{i, quantity.Force(mean * (1 + 0.2*(2*rng.Float64()-1)))})
	}
	p, err := c.Plan(r)
	require.NoError(t, err)
	require.Equal(t, ToTurn, p.State)
	// Tension anyhow and yet true is a bent rim: it can't be evened altogether.
	assert.Less(t, max(p.After.Spread[0], p.After.Spread[1]), 0.65*max(p.Now.Spread[0], p.Now.Spread[1]))
	x, err := c.turns(p.Turns)
	require.NoError(t, err)
	for i, d := range c.change(side, x) {
		assert.InDelta(t, 0, d, float64(UsualSide), "side at hole %v", i)
	}
	for s := range p.Now.Mean {
		assert.InEpsilon(t, float64(p.Now.Mean[s]), float64(p.After.Mean[s]), 0.05, "the level stays")
	}
}

// TestOneWobble holds that a single place is trued with few nipples, from the
// right side, and that loosening goes first.
func TestOneWobble(t *testing.T) {
	c := coach(t, Aim{Mark: 1200})
	p, err := c.Plan(Readings{Right: []Spot{{7, 0.0008}, {8, 0.0010}, {9, 0.0008}}})
	require.NoError(t, err)
	require.Equal(t, ToTurn, p.State)
	assert.LessOrEqual(t, len(p.Turns), 8)
	assert.Less(t, float64(p.After.Side), 0.0005)
	tightened := false
	for _, turn := range p.Turns {
		if turn.Hole >= 6 && turn.Hole <= 10 {
			// The rim stands to the right: left spokes pull it back.
			assert.Equal(t, turn.Eighths > 0, c.model.spokes[turn.Hole].Side == build.Left, "%+v", turn)
		}
		assert.False(t, tightened && turn.Eighths < 0, "loosen first")
		tightened = tightened || turn.Eighths > 0
	}
	p, err = c.Plan(Readings{Right: []Spot{{7, 0.0001}}})
	require.NoError(t, err)
	assert.Equal(t, Inside, p.State)
	assert.Empty(t, p.Turns)
}

// TestDish holds that a rim that stands 1.5 mm to the right as a whole is
// brought back by left spokes tighter and right spokes looser.
func TestDish(t *testing.T) {
	c := coach(t, Aim{Mark: 1200})
	off := 1.5 * quantity.Millimetre
	p, err := c.Plan(Readings{Dish: &off})
	require.NoError(t, err)
	require.Equal(t, ToTurn, p.State)
	assert.Less(t, float64(p.After.Side), 0.0005)
	for _, turn := range p.Turns {
		assert.Equal(t, turn.Eighths > 0, c.model.spokes[turn.Hole].Side == build.Left, "%+v", turn)
	}
}

// TestDishAndWobble holds that a dish that was read replaces the mean of what a
// gauge that stands anywhere shows.
func TestDishAndWobble(t *testing.T) {
	c := coach(t, Aim{Mark: 1200})
	off := 0.3 * quantity.Millimetre
	r := Readings{Dish: &off}
	for i := range c.n {
		r.Right = append(r.Right, Spot{i, quantity.Length(2e-3 + 0.4e-3*math.Sin(2*math.Pi*float64(i)/float64(c.n)))})
	}
	p, err := c.Plan(r)
	require.NoError(t, err)
	assert.InDelta(t, 0.7e-3, float64(p.Now.Side), 1e-5)
	r.Dish = nil
	p, err = c.Plan(r)
	require.NoError(t, err)
	assert.InDelta(t, 2.4e-3, float64(p.Now.Side), 1e-5)
}

// TestRescales holds that a wheel which answers half as much again is met with
// as much less after a round.
func TestRescales(t *testing.T) {
	c := coach(t, Aim{Mark: 1200})
	var first, second Readings
	turns := []Turn{{4, 4}, {5, -4}, {6, 4}}
	x, err := c.turns(turns)
	require.NoError(t, err)
	for i, d := range c.change(side, x) {
		first.Right = append(first.Right, Spot{i, 0.001})
		second.Right = append(second.Right, Spot{i, quantity.Length(0.001 + 1.5*d)})
	}
	p, err := c.Plan(second, Round{first, turns})
	require.NoError(t, err)
	assert.InDelta(t, 1.5, p.Scale[side], 0.05)
	assert.InDelta(t, 1, p.Scale[force], 1e-9, "tension was not read")
}

// TestMarkHolds holds that nothing is tightened where every spoke is at the
// mark, and that spokes above it are named.
func TestMarkHolds(t *testing.T) {
	c := coach(t, Aim{})
	require.Equal(t, UnknownMark, c.aim.Mark, "not known")
	var r Readings
	for i := range c.n {
		r.Tension = append(r.Tension, Pull{i, UnknownMark})
	}
	r.Tension[3].Force = 1100
	r.Right = []Spot{{4, 0.0015}}
	p, err := c.Plan(r)
	require.NoError(t, err)
	assert.Equal(t, []int{3}, p.Above)
	x, err := c.turns(p.Turns)
	require.NoError(t, err)
	for i, d := range c.change(force, x) {
		assert.LessOrEqual(t, d, 1e-9, "spoke %v", i)
	}
}

func TestBadReadings(t *testing.T) {
	c := coach(t, Aim{})
	off := quantity.Length(math.NaN())
	for _, r := range []struct {
		readings Readings
		want     string
	}{
		{Readings{Right: []Spot{{32, 0}}}, "side at spoke 33: want 1 to 32"},
		{Readings{Right: []Spot{{0, 1}}}, "side 1000 mm at spoke 1: want -25 mm to 25 mm"},
		{Readings{Outward: []Spot{{-1, 0}}}, "hop at spoke 0: want 1 to 32"},
		{Readings{Tension: []Pull{{5, 1000}, {5, 1000}}}, "tension at spoke 6: given twice; want one reading a spoke"},
		{Readings{Tension: []Pull{{5, 5000}}}, "tension 5000 N at spoke 6: want 0 N to 3000 N"},
		{Readings{Tension: []Pull{{5, quantity.Force(math.NaN())}}}, "tension NaN N at spoke 6: want 0 N to 3000 N"},
		{Readings{Dish: &off}, "dish NaN mm: want -25 mm to 25 mm"},
	} {
		_, err := c.Plan(r.readings)
		var bad *ReadingError
		require.ErrorAs(t, err, &bad)
		assert.Equal(t, r.want, err.Error())
	}
	_, err := c.Plan(Readings{}, Round{Turns: []Turn{{40, 1}}})
	require.EqualError(t, err, "turn at spoke 41: want 1 to 32")
	for _, aim := range []Aim{{Side: 1}, {Hop: -1}, {Spread: 2}, {Spread: math.NaN()}, {Level: -1}, {Mark: 5000}} {
		_, err := NewCoach(c.model, aim)
		require.Error(t, err, "%+v", aim)
	}
}

// BenchmarkPlan plans a round for a wheel that was read everywhere.
func BenchmarkPlan(b *testing.B) {
	m, err := New(truingSetup(true))
	require.NoError(b, err)
	c, err := NewCoach(m, Aim{Mark: 1177})
	require.NoError(b, err)
	var all []Readings
	for seed := range uint64(8) {
		all = append(all, newStand(b, truingSetup(true), seed, 0.2e-3, 1.5e-3, 0.25).read())
	}
	b.ReportAllocs()
	i := 0
	for b.Loop() {
		_, err := c.Plan(all[i%len(all)])
		require.NoError(b, err)
		i++
	}
}
