package lace_test

import (
	"errors"
	"fmt"
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"spokeword/calc/build"
	"spokeword/calc/lace"
	"spokeword/calc/quantity"
)

const mm = quantity.Millimetre

// plain is a wheel with both circles 58 mm, offsets 36/21 mm, ERD 600 mm.
func plain(holes, left, right int) build.Wheel {
	half := func(offset quantity.Length, cross int) build.Half {
		return build.Half{Cross: cross, Flange: build.Flange{
			Offset: offset, Holes: holes / 2, Circle: 58 * mm, HoleDiameter: 2.6 * mm,
		}}
	}
	return build.Wheel{
		Left: half(36*mm, left), Right: half(21*mm, right),
		Rim: build.Rim{ERD: 600 * mm, Holes: holes},
	}
}

func with(w build.Wheel, change func(*build.Wheel)) build.Wheel {
	change(&w)
	return w
}

func twoToOne(left, right int, wide bool) build.Wheel {
	return with(plain(32, left, right), func(w *build.Wheel) {
		w.Rim.Holes, w.Pattern, w.Right.Wide = 24, build.TwoToOne, wide
	})
}

func straight(holes int, tangent, ahead quantity.Length) build.Wheel {
	return with(plain(holes, 0, 0), func(w *build.Wheel) {
		for _, s := range build.Sides {
			f := &w.Half(s).Flange
			*f = build.Flange{Seat: build.StraightPull, Offset: f.Offset, Holes: f.Holes, Tangent: tangent, Ahead: ahead}
		}
	})
}

func crowsFoot(holes int) build.Wheel {
	return with(plain(holes, 2, 2), func(w *build.Wheel) { w.Pattern = build.CrowsFoot })
}

// laceable holds one wheel of each kind.
func laceable(t testing.TB) map[string]build.Wheel {
	spare, err := lace.Propose(with(plain(36, 3, 3), func(w *build.Wheel) { w.Rim.Holes = 32 }))
	require.NoError(t, err)
	return map[string]build.Wheel{
		"32 crossed 3":       plain(32, 3, 3),
		"28 crossed 3 and 2": plain(28, 3, 2),
		"20 radial":          plain(20, 0, 0),
		"24, left radial":    plain(24, 0, 2),
		"2:1 narrow":         twoToOne(0, 3, false),
		"2:1 wide, left 1":   twoToOne(1, 3, true),
		"2:1 with the double side left": with(twoToOne(3, 1, false), func(w *build.Wheel) {
			w.Single = build.Right
		}),
		"paired hub": with(plain(24, 2, 2), func(w *build.Wheel) {
			w.Left.Flange.Pairing, w.Right.Flange.Pairing, w.Left.Wide = 15*quantity.Degree, 15*quantity.Degree, true
		}),
		"flange turned": with(plain(32, 3, 3), func(w *build.Wheel) { w.Left.Flange.Turn = 11.25 * quantity.Degree }),
		"crow's foot":   crowsFoot(24),
		"straight pull": straight(28, 21*mm, -4*mm),
		"radial bores":  straight(20, 0, 17.5*mm),
		"36 on 32":      spare,
		"offset, staggered, washers": with(plain(32, 3, 3), func(w *build.Wheel) {
			w.Rim.ShiftLeft, w.Rim.Stagger, w.Washer = 2.5*mm, -2*mm, 0.5*mm
		}),
		"heads the other way": with(plain(36, 3, 4), func(w *build.Wheel) { w.Left.Heads, w.Right.Heads = build.PushingOut, build.AllIn }),
	}
}

func placed(t testing.TB, w build.Wheel) []lace.Spoke {
	t.Helper()
	spokes, err := lace.Place(w)
	require.NoError(t, err)
	return spokes
}

func length(a, b lace.Point) float64 {
	return math.Hypot(math.Hypot(float64(a.X-b.X), float64(a.Y-b.Y)), float64(a.Z-b.Z))
}

func TestEveryHoleOnce(t *testing.T) {
	for name, w := range laceable(t) {
		spokes := placed(t, w)
		require.Len(t, spokes, w.Rim.Holes, name)
		hub := map[[2]int]bool{}
		for i, s := range spokes {
			require.Equal(t, i, s.RimHole, "%s: spokes come in the order of the rim", name)
			key := [2]int{int(s.Side), s.HubHole}
			require.False(t, hub[key], "%s: hub hole %d of the %v side is used twice", name, s.HubHole, s.Side)
			hub[key] = true
			require.Less(t, s.HubHole, w.Half(s.Side).Flange.Holes, name)
		}
	}
}

func TestPointsLieWhereTheyShould(t *testing.T) {
	for name, w := range laceable(t) {
		for _, s := range placed(t, w) {
			f := w.Half(s.Side).Flange
			sign := quantity.Length(1)
			if s.Side == build.Left {
				sign = -1
			}
			assert.InDelta(t, float64(w.Rim.ERD/2+w.Washer), math.Hypot(float64(s.Rim.X), float64(s.Rim.Y)), 1e-12, name)
			assert.InDelta(t, float64(sign*w.Rim.Stagger-w.Rim.ShiftLeft), float64(s.Rim.Z), 1e-12, name)
			assert.InDelta(t, float64(sign*f.Offset), float64(s.Hub.Z), 1e-12, name)
			if f.Seat == build.Elbow {
				assert.InDelta(t, float64(f.Circle/2), math.Hypot(float64(s.Hub.X), float64(s.Hub.Y)), 1e-12, name)
			} else {
				// The wire's line passes the axle at the tangent radius.
				flat := math.Hypot(s.Unit.X, s.Unit.Y)
				pass := math.Abs(float64(s.Hub.X)*s.Unit.Y-float64(s.Hub.Y)*s.Unit.X) / flat
				assert.InDelta(t, float64(f.Tangent), pass, 1e-12, name)
			}
			assert.InDelta(t, 1, s.Unit.X*s.Unit.X+s.Unit.Y*s.Unit.Y+s.Unit.Z*s.Unit.Z, 1e-12, name)
			assert.InDelta(t, length(s.Hub, s.Rim), float64(s.Length), 1e-12, name)
			assert.InDelta(t, float64(s.Rim.Z-s.Hub.Z)/float64(s.Length), s.Unit.Z, 1e-12, name)
		}
	}
}

// A pulling spoke is tightened by a hub that turns ahead of the rim: the
// moment of the spoke's pull on the hub about the axle is against the rolling
// direction, which is positive about z here.
func TestPullingSpokesHoldTheHubBack(t *testing.T) {
	for name, w := range laceable(t) {
		for _, s := range placed(t, w) {
			moment := float64(s.Hub.X)*s.Unit.Y - float64(s.Hub.Y)*s.Unit.X
			switch s.Way {
			case lace.Pulling:
				assert.Positive(t, moment, "%s, spoke %d", name, s.RimHole)
			case lace.Pushing:
				assert.Negative(t, moment, "%s, spoke %d", name, s.RimHole)
			default:
				assert.InDelta(t, 0, moment, 1e-9, "%s, spoke %d", name, s.RimHole)
			}
		}
	}
}

// The valve lies between two spokes that lean away from it.
func TestValveHasRoom(t *testing.T) {
	for _, w := range []build.Wheel{plain(32, 3, 3), plain(28, 2, 3), plain(36, 4, 3)} {
		spokes := placed(t, w)
		assert.Equal(t, lace.Pulling, spokes[0].Way, "the key spoke pulls")
		assert.Equal(t, build.Right, spokes[0].Side)
		assert.Equal(t, lace.Pushing, spokes[len(spokes)-1].Way)
		// The valve is at the top and the rolling direction is clockwise seen
		// from the right, with x forward: the first spoke's hub hole lies
		// further forward than its rim hole.
		assert.Positive(t, float64(spokes[0].Rim.X))
		assert.Positive(t, float64(spokes[0].Rim.Y))
		assert.Greater(t, float64(spokes[0].HubAngle), float64(spokes[0].RimAngle))
	}
}

func TestCrossingsAreAsMany(t *testing.T) {
	for _, c := range []struct {
		why  string
		w    build.Wheel
		want [2]int
	}{
		{"3 and 3", plain(32, 3, 3), [2]int{3, 3}},
		{"1 and 4", plain(36, 1, 4), [2]int{1, 4}},
		{"radial and 2", plain(24, 0, 2), [2]int{0, 2}},
		{"2:1 narrow", twoToOne(1, 3, false), [2]int{1, 3}},
		{"2:1 wide", twoToOne(0, 3, true), [2]int{0, 3}},
		{"crow's foot: every spoke of three meets the other two", crowsFoot(36), [2]int{2, 2}},
	} {
		spokes := placed(t, c.w)
		for _, s := range spokes {
			require.Len(t, s.Crosses, c.want[s.Side], "%s, spoke %d", c.why, s.RimHole)
			for _, x := range s.Crosses {
				o := spokes[x.With]
				assert.Equal(t, s.Side, o.Side)
				found := false
				for _, y := range o.Crosses {
					if y.With == s.RimHole {
						found = true
						assert.Equal(t, x.Radius, y.Radius)
						assert.Equal(t, x.Interlaced, y.Interlaced)
						if x.Known {
							assert.NotEqual(t, x.Over, y.Over, "one of the two is outside")
						}
					}
				}
				assert.True(t, found, "%s: %d crosses %d but not the reverse", c.why, s.RimHole, x.With)
			}
		}
	}
}

// Over, over, under: handbooks have the spoke along the outer face pass
// outside at every crossing but the last.
func TestLastCrossingIsInterlaced(t *testing.T) {
	for _, s := range placed(t, plain(32, 3, 3)) {
		outer := s.Head == lace.HeadInside
		var got []bool
		for i, x := range s.Crosses {
			got = append(got, x.Over)
			assert.Equal(t, i == 2, x.Interlaced)
			if i > 0 {
				assert.Greater(t, float64(x.Radius), float64(s.Crosses[i-1].Radius))
			}
		}
		assert.Equal(t, []bool{outer, outer, !outer}, got)
	}
	for _, s := range placed(t, crowsFoot(24)) {
		for _, x := range s.Crosses {
			assert.False(t, x.Interlaced, "three meet at one place")
		}
	}
	for _, s := range placed(t, with(plain(32, 3, 3), func(w *build.Wheel) { w.Left.Heads, w.Right.Heads = build.AllOut, build.AllOut })) {
		for _, x := range s.Crosses {
			assert.False(t, x.Known, "heads on one side do not tell which is over")
		}
	}
}

// Turned by one pattern period the wheel is the same.
func TestPatternRepeats(t *testing.T) {
	for name, period := range map[string]int{
		"32 crossed 3": 4, "20 radial": 2, "2:1 narrow": 3, "2:1 wide, left 1": 6,
		"paired hub": 4, "crow's foot": 6, "straight pull": 4, "offset, staggered, washers": 4, "36 on 32": 16,
	} {
		w := laceable(t)[name]
		spokes := placed(t, w)
		n := len(spokes)
		turn := 2 * math.Pi * float64(period) / float64(n)
		sin, cos := math.Sincos(turn)
		for i := range spokes {
			a, b := spokes[i], spokes[(i+period)%n]
			// Rolling is clockwise in this frame.
			x := float64(a.Hub.X)*cos + float64(a.Hub.Y)*sin
			y := -float64(a.Hub.X)*sin + float64(a.Hub.Y)*cos
			assert.InDelta(t, x, float64(b.Hub.X), 1e-12, name)
			assert.InDelta(t, y, float64(b.Hub.Y), 1e-12, name)
			assert.InDelta(t, float64(a.Length), float64(b.Length), 1e-12, name)
			assert.Equal(t, a.Way, b.Way, name)
			assert.Equal(t, a.Side, b.Side, name)
			assert.Len(t, b.Crosses, len(a.Crosses), name)
		}
	}
}

// mirror swaps the sides of a wheel.
func mirror(w build.Wheel) build.Wheel {
	w.Left, w.Right = w.Right, w.Left
	w.Rim.ShiftLeft = -w.Rim.ShiftLeft
	w.Single = w.Single.Other()
	w.End, w.Brake, w.Motor = build.AnyEnd, build.AnyBrake, false
	if len(w.Joins) > 0 {
		joins := make([]build.Join, len(w.Joins))
		for i, j := range w.Joins {
			j.Side = j.Side.Other()
			joins[i] = j
		}
		w.Joins = joins
	}
	return w
}

func TestMirroredWheelMirrorsLengths(t *testing.T) {
	for name, w := range laceable(t) {
		if name == "36 on 32" {
			continue // the flanges' half pitch is not symmetric once holes are listed by number
		}
		sum := func(w build.Wheel) (out [2]float64) {
			for _, s := range placed(t, w) {
				out[s.Side] += float64(s.Length)
			}
			return out
		}
		a, b := sum(w), sum(mirror(w))
		assert.InDelta(t, a[0], b[1], 1e-9, name)
		assert.InDelta(t, a[1], b[0], 1e-9, name)
	}
}

func TestMoreERDLongerSpokes(t *testing.T) {
	for name, w := range laceable(t) {
		a := placed(t, w)
		w.Rim.ERD += mm
		b := placed(t, w)
		for i := range a {
			grown := (b[i].Length - a[i].Length).MM()
			assert.Greater(t, grown, 0.3, name)
			assert.Less(t, grown, 0.6, name)
		}
	}
}

// Four wheels of an independent ring-on-spokes program, which prints lengths
// to 0.0001 mm and the sideways part of the direction to 0.000001.
func TestPlacedWheelsOfAnotherProgram(t *testing.T) {
	wheel := func(holes int, erd, circleLeft, circleRight, left, right float64, crossLeft, crossRight int) build.Wheel {
		l := func(v float64) quantity.Length { return quantity.Length(v) * mm }
		w := plain(holes, crossLeft, crossRight)
		w.Rim.ERD = l(erd)
		w.Left.Flange.Circle, w.Right.Flange.Circle = l(circleLeft), l(circleRight)
		w.Left.Flange.Offset, w.Right.Flange.Offset = l(left), l(right)
		return w
	}
	for _, c := range []struct {
		why                 string
		w                   build.Wheel
		left, right         float64 // mm
		leftPull, rightPull float64 // sideways part, towards the own flange
	}{
		{why: "32 crossed 3, symmetric", w: wheel(32, 600, 38, 38, 35, 35, 3, 3), left: 295.3361, right: 295.3361, leftPull: 0.118509, rightPull: 0.118509},
		{why: "28 crossed 2, dished", w: wheel(28, 592, 44, 45, 37, 17.5, 2, 2), left: 285.2169, right: 283.0612, leftPull: 0.129726, rightPull: 0.061824},
		{why: "24 radial", w: wheel(24, 560, 32, 32, 36, 36, 0, 0), left: 266.4432, right: 266.4432, leftPull: 0.135113, rightPull: 0.135113},
		{why: "2:1, 24", w: with(wheel(32, 584, 40, 44, 36, 17, 0, 2), func(w *build.Wheel) { w.Rim.Holes, w.Pattern = 24, build.TwoToOne }), left: 274.372, right: 276.3645, leftPull: 0.131209, rightPull: 0.061513},
	} {
		for _, s := range placed(t, c.w) {
			length, pull := c.left, c.leftPull
			z := s.Unit.Z
			if s.Side == build.Right {
				length, pull, z = c.right, c.rightPull, -z
			}
			assert.InDelta(t, length, s.Length.MM(), 1e-4, c.why)
			assert.InDelta(t, pull, z, 1e-6, c.why)
		}
	}
}

// Angles that say what even spacing is change nothing, from wherever the
// flanges' holes are counted.
func TestListedAngles(t *testing.T) {
	even := func(n int, first float64) (out []quantity.Angle) {
		for k := range n {
			out = append(out, quantity.Angle(first+360*float64(k)/float64(n))*quantity.Degree)
		}
		return out
	}
	want := placed(t, plain(32, 3, 3))
	for _, c := range []struct {
		why         string
		left, right []quantity.Angle
	}{
		{"left after right", even(16, 11.25), even(16, 0)},
		{"left before right", even(16, 0), even(16, 11.25)},
		{"counted from some mark", even(16, 3), even(16, 14.25)},
	} {
		w := plain(32, 3, 3)
		w.Rim.Angles = even(32, 360.0/64)
		w.Left.Flange.Angles, w.Right.Flange.Angles = c.left, c.right
		for i, s := range placed(t, w) {
			assert.InDelta(t, float64(want[i].Length), float64(s.Length), 1e-12, c.why)
			assert.InDelta(t, float64(want[i].Hub.X), float64(s.Hub.X), 1e-12, c.why)
			assert.Equal(t, want[i].Way, s.Way, c.why)
		}
	}
	// A rim hole 2° off its place gives its own spoke another angle.
	w := plain(32, 3, 3)
	w.Rim.Angles = even(32, 360.0/64)
	w.Rim.Angles[4] += 2 * quantity.Degree
	spokes := placed(t, w)
	assert.InDelta(t, 67.5-2+2.0/32, spokes[4].Angle.In(quantity.Degree), 1e-9, "less 2°, and the hub settles by a 32nd of that")
	assert.InDelta(t, 67.5+2.0/32, spokes[0].Angle.In(quantity.Degree), 1e-9)
	// So does a hub hole, the other way about.
	w = plain(32, 3, 3)
	w.Left.Flange.Angles, w.Right.Flange.Angles = even(16, 11.25), even(16, 0)
	w.Right.Flange.Angles[3] += 2 * quantity.Degree
	spokes = placed(t, w)
	require.Equal(t, 3, spokes[0].HubHole)
	assert.InDelta(t, 67.5+2-2.0/32, spokes[0].Angle.In(quantity.Degree), 1e-9)
}

// A listed hub may be counted from any hole: it is the same wheel, turned.
func TestListedFromAnyHole(t *testing.T) {
	w, err := lace.Propose(plain(32, 3, 3))
	require.NoError(t, err)
	want := placed(t, w)
	for k := range 16 {
		turned := w
		turned.Joins = nil
		for _, j := range w.Joins {
			j.Hub = (j.Hub + k) % 16
			turned.Joins = append(turned.Joins, j)
		}
		for i, s := range placed(t, turned) {
			assert.InDelta(t, float64(want[i].Length), float64(s.Length), 1e-12, "from hole %d", k)
			assert.Equal(t, want[i].Way, s.Way, "from hole %d", k)
		}
	}
}

// On the double side of a straight-pull 2:1 wheel the first of two pulls; with
// Wide the second, so that they do not cross near the rim.
func TestStraightPullTwoToOne(t *testing.T) {
	for _, wide := range []bool{false, true} {
		w := straight(32, 21*mm, -4*mm)
		w.Rim.Holes, w.Pattern, w.Right.Wide = 24, build.TwoToOne, wide
		first, second := lace.Pulling, lace.Pushing
		if wide {
			first, second = second, first
		}
		spokes := placed(t, w)
		assert.Equal(t, first, spokes[1].Way)
		assert.Equal(t, second, spokes[2].Way)
	}
}

func TestRadialLimit(t *testing.T) {
	for _, s := range placed(t, plain(32, 0, 0)) {
		assert.Equal(t, lace.Radial, s.Way)
		assert.InDelta(t, 0, float64(s.Entry), 1e-9)
		w := quantity.Length(36 * mm)
		if s.Side == build.Right {
			w = 21 * mm
		}
		assert.InDelta(t, math.Hypot(0.271, float64(w)), float64(s.Length), 1e-12)
	}
}

// A ninth of the spoke count is what trade articles give as the most
// crossings; the reasons are ours. ERD 600 mm, circle 58 mm (65 mm for 48, as
// such hubs have).
func TestPossible(t *testing.T) {
	for n, want := range map[int]int{20: 2, 24: 2, 28: 3, 32: 3, 36: 4, 40: 4, 48: 5} {
		require.Equal(t, want, n/9)
		w := plain(n, 0, 0)
		if n == 48 {
			w.Left.Flange.Circle, w.Right.Flange.Circle = 65*mm, 65*mm
		}
		options, err := lace.Possible(w, build.Right)
		require.NoError(t, err)
		most := 0
		for i, o := range options {
			assert.Equal(t, i, o.Number)
			assert.InDelta(t, 360.0*float64(i)/float64(n/2), o.Angle.In(quantity.Degree), 1e-9)
			if o.OK {
				most = o.Number
			}
		}
		assert.Equal(t, want, most, "most crossings of %d", n)
		last := options[len(options)-1]
		assert.Equal(t, want+1, last.Number, "the first impossible one is shown")
		assert.Equal(t, lace.Departure, last.Reason)
	}
}

func TestPossibleReasons(t *testing.T) {
	reason := func(w build.Wheel, s build.Side, x int) (lace.Reason, bool) {
		options, err := lace.Possible(w, s)
		require.NoError(t, err)
		for _, o := range options {
			if o.Number == x {
				return o.Reason, o.OK
			}
		}
		t.Fatalf("no option %d", x)
		return 0, false
	}
	small := with(plain(48, 0, 0), func(w *build.Wheel) { w.Left.Flange.Circle, w.Right.Flange.Circle = 38*mm, 38*mm })
	motor := with(plain(36, 1, 1), func(w *build.Wheel) {
		w.Left.Flange.Circle, w.Right.Flange.Circle, w.Rim.ERD, w.Motor = 244*mm, 244*mm, 540*mm, true
	})
	disc := with(plain(32, 3, 3), func(w *build.Wheel) { w.End, w.Brake = build.Rear, build.DiscBrake })
	front := with(plain(32, 3, 3), func(w *build.Wheel) { w.End, w.Brake = build.Front, build.DiscBrake })
	bare := with(plain(32, 0, 0), func(w *build.Wheel) { w.End, w.Brake = build.Rear, build.RimBrake })
	for _, c := range []struct {
		why  string
		w    build.Wheel
		side build.Side
		x    int
		want lace.Reason
		ok   bool
	}{
		{"usual", plain(32, 3, 3), build.Left, 3, lace.Fine, true},
		{"36 crossed 4 passes close", plain(36, 3, 3), build.Left, 4, lace.HeadTight, true},
		{"48 crossed 5 on a small flange lies on the heads", small, build.Right, 5, lace.HeadFouled, false},
		{"motor, any crossing enters off square", motor, build.Left, 1, lace.Entry, true},
		{"radial by leave of the maker", plain(32, 3, 3), build.Left, 0, lace.MakerDecides, true},
		{"radial disc side", disc, build.Left, 0, lace.RadialDisc, false},
		{"radial drive side", disc, build.Right, 0, lace.RadialDrive, false},
		{"radial right of a front disc wheel", front, build.Right, 0, lace.MakerDecides, true},
		{"both radial at the rear", bare, build.Left, 0, lace.RadialBoth, false},
	} {
		got, ok := reason(c.w, c.side, c.x)
		assert.Equal(t, c.want, got, c.why)
		assert.Equal(t, c.ok, ok, c.why)
	}
	none, err := lace.Possible(straight(28, 21*mm, 0), build.Left)
	require.NoError(t, err)
	assert.Empty(t, none, "straight pull has no choice")
}

func TestRefusals(t *testing.T) {
	rear := func(w *build.Wheel) { w.End = build.Rear }
	listed := func(change func([]build.Join)) build.Wheel {
		w, err := lace.Propose(plain(32, 3, 3))
		require.NoError(t, err)
		change(w.Joins)
		return w
	}
	for _, c := range []struct {
		why  string
		w    build.Wheel
		want lace.Reason
		text string
	}{
		{"odd rim", with(plain(32, 3, 3), func(w *build.Wheel) { w.Rim.Holes = 31 }), lace.OddRim, "31 rim holes: odd number of rim holes"},
		{"15 a side can't alternate", with(plain(32, 3, 3), func(w *build.Wheel) {
			w.Rim.Holes, w.Left.Flange.Holes, w.Right.Flange.Holes = 30, 15, 15
		}), lace.OddSide, ""},
		{"32 hub on 36 rim", with(plain(32, 3, 3), func(w *build.Wheel) { w.Rim.Holes = 36 }), lace.FewHubHoles, "left flange of 16 holes: fewer hub holes than spokes, want 18"},
		{"36 hub on 32 rim", with(plain(36, 3, 3), func(w *build.Wheel) { w.Rim.Holes = 32 }), lace.SpareHoles, ""},
		{"paired holes left over", with(twoToOne(0, 3, false), func(w *build.Wheel) { w.Left.Flange.Pairing = 10 * quantity.Degree }), lace.SpareHoles, ""},
		{"2:1 on 32", with(twoToOne(0, 3, false), func(w *build.Wheel) { w.Rim.Holes = 32 }), lace.NotThirds, ""},
		{"crow's foot on 32", crowsFoot(32), lace.NotFoot, ""},
		{"4 crossings of 32", plain(32, 4, 3), lace.Departure, "left side, 4 crossings: more than 90° from radial at the flange, want at most 3"},
		{"radial disc side", with(plain(32, 0, 3), func(w *build.Wheel) { w.Brake = build.DiscBrake }), lace.RadialDisc, "left side: radial disc side"},
		{"radial drive side", with(plain(32, 3, 0), rear), lace.RadialDrive, ""},
		{"radial rear wheel", with(plain(32, 0, 0), rear), lace.RadialBoth, ""},
		{"radial bores at the rear", with(straight(20, 0, 17*mm), rear), lace.RadialBoth, ""},
		{"2:1, left radial with a disc", with(twoToOne(0, 3, false), func(w *build.Wheel) { w.Brake = build.DiscBrake }), lace.RadialDisc, ""},
		{"listed hub hole twice", listed(func(j []build.Join) { j[0].Hub = j[2].Hub }), lace.HoleTwice, ""},
		{"listed rim hole twice", listed(func(j []build.Join) { j[0].Rim = 2 }), lace.HoleTwice, ""},
		{"listed hole that is not there", listed(func(j []build.Join) { j[0].Hub = 16 }), lace.NoHole, ""},
		{"rim hole left out", with(plain(32, 3, 3), func(w *build.Wheel) { w.Joins = []build.Join{{}} }), lace.HoleEmpty, ""},
		{"listed, all radial, to be driven", with(plain(32, 3, 3), func(w *build.Wheel) {
			flat, err := lace.Propose(plain(32, 0, 0))
			require.NoError(t, err)
			w.Joins, w.End = flat.Joins, build.Rear
		}), lace.RadialBoth, ""},
	} {
		_, err := lace.Place(c.w)
		var r *lace.Refusal
		require.ErrorAs(t, err, &r, c.why)
		assert.Equal(t, c.want, r.Reason, c.why)
		if c.text != "" {
			assert.EqualError(t, err, c.text)
		}
	}
	// Radial on the disc's other side is for the maker to allow.
	_, err := lace.Place(with(plain(32, 3, 0), func(w *build.Wheel) { w.End, w.Brake = build.Front, build.DiscBrake }))
	require.NoError(t, err)
}

func TestConcerns(t *testing.T) {
	motor := with(plain(36, 1, 1), func(w *build.Wheel) {
		w.Left.Flange.Circle, w.Right.Flange.Circle, w.Rim.ERD = 244*mm, 244*mm, 540*mm
	})
	got := lace.Concerns(placed(t, motor))
	require.Len(t, got, 2)
	assert.Equal(t, lace.Entry, got[0].Reason)
	assert.Equal(t, 18, got[0].Spokes)
	assert.InDelta(t, 15, got[0].Angle.In(quantity.Degree), 0.5)

	got = lace.Concerns(placed(t, plain(36, 0, 4)))
	require.Len(t, got, 2)
	assert.Equal(t, lace.Concern{Reason: lace.MakerDecides, Side: build.Left, Spokes: 18}, got[0])
	assert.Equal(t, lace.HeadTight, got[1].Reason)

	assert.Empty(t, lace.Concerns(placed(t, plain(32, 3, 3))))
	assert.Empty(t, lace.Concerns(placed(t, crowsFoot(24))), "a radial spoke in three is no radial side")
}

func TestSets(t *testing.T) {
	sets := lace.Sets(placed(t, plain(32, 3, 3)))
	require.Len(t, sets, 4)
	assert.Equal(t, lace.Set{Side: build.Right, Way: lace.Pulling, Head: lace.HeadOutside, Spokes: []int{0, 4, 8, 12, 16, 20, 24, 28}}, sets[0])
	assert.Equal(t, []int{3, 7, 11, 15, 19, 23, 27, 31}, sets[3].Spokes)
}

// Whatever numbers come in, no NaN goes out.
func FuzzPlace(f *testing.F) {
	f.Add(600.0, 58.0, 36.0, 21.0, 2.6, 0.0, 0.0, 32, 16, 16, 3, 3, uint8(0), uint8(0))
	f.Add(600.0, 58.0, 36.0, 21.0, 2.6, 0.0, 0.5, 24, 16, 16, 0, 3, uint8(1), uint8(3))
	f.Add(571.0, 27.0, 34.0, 34.0, 2.5, 6.0, 0.0, 24, 12, 12, 0, 0, uint8(0), uint8(4))
	f.Add(540.0, 244.0, 24.0, 24.0, 3.2, 2.5, 0.0, 36, 18, 18, 1, 1, uint8(0), uint8(8))
	f.Add(600.0, 58.0, 36.0, 21.0, 2.6, -15.0, 3.0, 32, 18, 18, 3, 3, uint8(2), uint8(16))
	f.Add(math.NaN(), 0.0, -0.0, math.Inf(1), 1e308, 1e-308, 1.0, -1, 1<<40, 0, 99, -7, uint8(9), uint8(255))
	f.Fuzz(func(t *testing.T, erd, circle, left, right, hole, shift, washer float64, holes, hubLeft, hubRight, crossLeft, crossRight int, pattern, bits uint8) {
		l := func(v float64) quantity.Length { return quantity.Length(v) * mm }
		flange := func(offset float64, holes int) build.Flange {
			fl := build.Flange{Offset: l(offset), Holes: holes, Circle: l(circle), HoleDiameter: l(hole)}
			if bits&4 != 0 {
				fl.Seat, fl.Tangent, fl.Ahead = build.StraightPull, l(circle/2), l(shift)
			}
			if bits&32 != 0 {
				fl.Pairing, fl.Turn = quantity.Angle(washer/10), quantity.Angle(shift/20)
			}
			return fl
		}
		w := build.Wheel{
			End: build.End(bits >> 6), Brake: build.Brake(bits & 1), Motor: bits&8 != 0,
			Left:    build.Half{Flange: flange(left, hubLeft), Cross: crossLeft, Wide: bits&2 != 0, Heads: build.Heads(bits & 7)},
			Right:   build.Half{Flange: flange(right, hubRight), Cross: crossRight, Wide: bits&1 != 0},
			Rim:     build.Rim{ERD: l(erd), Holes: holes, ShiftLeft: l(shift), Stagger: l(hole)},
			Pattern: build.Pattern(pattern), Single: build.Side(bits >> 5 & 1), Washer: l(washer),
		}
		if bits&16 != 0 {
			if p, err := lace.Propose(w); err == nil {
				w = p
			}
		}
		_, _ = lace.Possible(w, build.Left)
		spokes, err := lace.Place(w)
		if err != nil {
			if err.Error() == "" {
				t.Error("an error without words")
			}
			return
		}
		if len(spokes) != holes {
			t.Fatalf("%d spokes for %d rim holes", len(spokes), holes)
		}
		hub := map[[2]int]bool{}
		for _, s := range spokes {
			if !quantity.Finite(s.Hub.X, s.Hub.Y, s.Hub.Z, s.Rim.X, s.Rim.Y, s.Rim.Z, s.Length, s.HeadGap) ||
				!quantity.Finite(s.Unit.X, s.Unit.Y, s.Unit.Z) ||
				!quantity.Finite(s.Angle, s.Departure, s.Entry, s.HubAngle, s.RimAngle) {
				t.Fatalf("not a number: %+v", s)
			}
			if s.Length <= 0 || s.Angle < 0 || s.Angle > quantity.Turn/2+1e-9 {
				t.Fatalf("absurd: %+v", s)
			}
			key := [2]int{int(s.Side), s.HubHole}
			if hub[key] {
				t.Fatalf("hub hole %v used twice", key)
			}
			hub[key] = true
		}
		lace.Concerns(spokes)
		lace.Sets(spokes)
	})
}

func ExamplePlace() {
	half := build.Half{Cross: 3, Flange: build.Flange{Offset: 30 * mm, Holes: 16, Circle: 58 * mm, HoleDiameter: 2.5 * mm}}
	spokes, err := lace.Place(build.Wheel{Left: half, Right: half, Rim: build.Rim{ERD: 600 * mm, Holes: 32}})
	if err != nil {
		fmt.Println(err)
		return
	}
	for _, s := range spokes[:4] {
		fmt.Println(s.RimHole, s.Side, s.Way, "head", s.Head, "crosses", len(s.Crosses))
	}
	// Output:
	// 0 right pulling head outside crosses 3
	// 1 left pulling head outside crosses 3
	// 2 right pushing head inside crosses 3
	// 3 left pushing head inside crosses 3
}

func ExamplePlace_refused() {
	half := build.Half{Flange: build.Flange{Offset: 30 * mm, Holes: 16, Circle: 58 * mm, HoleDiameter: 2.5 * mm}}
	_, err := lace.Place(build.Wheel{End: build.Rear, Left: half, Right: half, Rim: build.Rim{ERD: 600 * mm, Holes: 32}})
	var r *lace.Refusal
	fmt.Println(errors.As(err, &r), err)
	// Output: true radial on both sides with torque to carry
}
