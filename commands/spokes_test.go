package commands

import (
	"fmt"
	"math"
	"math/rand/v2"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"spokeword/commands/reply"
)

// TestTheOrderAddsUp: whatever wheel and step, the order holds every spoke of
// the wheel and two spares a side, a nipple for each, and no length whose end
// would lie below the head or stand out of it.
func TestTheOrderAddsUp(t *testing.T) {
	desk := newDesk(t)
	random := rand.New(rand.NewPCG(5, 6))
	for range 200 {
		n := []int{20, 24, 28, 32, 36}[random.IntN(5)]
		every := []string{"1 mm", "2 mm"}[random.IntN(2)]
		kind := []string{"slot", "top", "hole"}[random.IntN(3)]
		line := fmt.Sprintf(`spokes erd:"%v mm" circle:"%v mm" offset:"%v mm/%v mm" holes:%v cross:2 erdkind:%s step:"%s" washer:"0.5 mm"`,
			500+random.IntN(130), 40+random.IntN(25), 28+random.IntN(12), 15+random.IntN(15), n, kind, every)
		r := desk.Ask(t.Context(), Asker{}, line)[0]
		require.False(t, r.Mistake || r.Fault, line)
		assert.Nil(t, r.Ask, "%s: nothing is left to ask", line)
		sum := 0.0
		for _, v := range r.Values {
			switch {
			case strings.HasPrefix(v.Name, "order."):
				sum += v.Value
			case strings.HasSuffix(v.Name, ".short"):
				// past the floor by the depth of the slot at most; short by 1 mm, and
				// on the tighter side by the stretch, which is less than 1 mm
				assert.GreaterOrEqual(t, v.Value, -0.00102, line)
				assert.LessOrEqual(t, v.Value, 0.00202, line)
			}
		}
		if _, none := tableNamed(r, "To order"); none && !strings.Contains(r.Lead[0], "no length") {
			assert.InDelta(t, float64(n+4), sum, 0, line)
			assert.Contains(t, whole(r), fmt.Sprintf("nipples\n%d", n+4), line)
			assert.Contains(t, whole(r), fmt.Sprintf("washers\n%d", n+4), line)
		}
	}
}

// TestTwoHubs: lengths for the flanges of two hubs at once, by the law of
// cosines in space (ERD 602, circle 58, 32 holes, three crossings: 67.5° between
// hole and nipple), less half a hole.
func TestTwoHubs(t *testing.T) {
	r := asked(t, "spokes erd 602 to the slot pcd 58 offset 36/21 or 38/23 32h 3x")
	for i, d := range [][2]float64{{36, 21}, {38, 23}} {
		for side, name := range []string{"left", "right"} {
			want := math.Sqrt(301*301+29*29+d[side]*d[side]-2*301*29*math.Cos(67.5*math.Pi/180)) - 1.3
			assert.InDelta(t, want/1000, value(t, r, string("ab"[i])+"."+name+".length"), 0.00005)
		}
	}
	assert.Contains(t, r.Lead[0], "36/21: left 292.1")
	assert.Contains(t, asked(t, "lacing offset 36/21 or 38/23 32h").Error, "one hub here")
	assert.Contains(t, asked(t, "tension offset 36/21 or 38/23 32h").Error, "one hub here")
}

// TestAnotherRim: known lengths on a rim of another ERD move by half of what the
// ERDs differ by; the full sum by the law of cosines says the same within
// 0.05 mm.
func TestAnotherRim(t *testing.T) {
	exact := func(erd, d float64) float64 {
		return math.Sqrt(erd*erd/4+29*29+d*d-erd*29*math.Cos(67.5*math.Pi/180)) - 1.3
	}
	r := asked(t, fmt.Sprintf("new rim erd 597 old one was 603, reuse the spokes? they were %.1f and %.1f", exact(603, 36), exact(603, 21)))
	assert.InDelta(t, exact(597, 36)/1000, value(t, r, "left.length"), 0.0001)
	assert.InDelta(t, exact(597, 21)/1000, value(t, r, "right.length"), 0.0001)
	assert.Contains(t, r.Lead[1], "3.0 mm too long")
	assert.Contains(t, asked(t, "spokes erd 602 was 603 length 292/290").Lead[1], "may do")
	assert.Contains(t, whole(asked(t, "erd 600 58/58 36/21 32h 3x calc says 293/291")), "293 mm told, 291.1 mm here: +1.9 mm")
}

// TestSpokesFromTheDrawer: which of those that are there do, by the rule that an
// end belongs between the slot floor and 1 mm short of it.
func TestSpokesFromTheDrawer(t *testing.T) {
	r := asked(t, "got 290 and 292 in the drawer, need 291.4")
	assert.InDelta(t, -0.0006, value(t, r, "short"), 1e-9, "292 is 0.6 past the floor, 290 1.4 short")
	assert.Contains(t, r.Lead[1], "292 mm does")
	r = asked(t, "erd 600 58/58 36/21 32h 3x i only have 294s")
	assert.Contains(t, r.Lead[1], "Left no: 294 mm is 2.9 mm too long; right no: 294 mm is 4.4 mm too long")
	r = asked(t, "spokes drawer:290 length:291.4")
	assert.Contains(t, r.Lead[1], "No: 290 mm is 1.4 mm too short")
}

func tableNamed(r reply.Reply, title string) (reply.Table, bool) {
	for _, x := range r.Tables {
		if x.Title == title {
			return x, true
		}
	}
	return reply.Table{}, false
}

// TestAnERDsKindIsAskedWhereItDecides: 2 mm of diameter between the kinds is
// 1 mm of spoke. By hand for exact 294.2 and 292.3 mm and even lengths: 294 and
// 292 to the slot floor. To the nipple top 293.2 and 291.3: 294 (0.8 past), since
// 292 is 1.2 short on the slack side, and 290, whose 1.3 short the tighter side
// forgives: less 0.54 of stretch that is within 1 mm. To the bare hole 295.2 and
// 293.3, 2 mm more of each.
func TestAnERDsKindIsAskedWhereItDecides(t *testing.T) {
	const line = `spokes erd:"602 mm" circle:"45 mm" offset:"37.5 mm/17.5 mm" holes:32 cross:3 step:"2 mm"`
	r := asked(t, line)
	require.NotNil(t, r.Ask)
	assert.Equal(t, "erdkind", r.Ask.Option)
	var labels []string
	for _, c := range r.Ask.Choices {
		labels = append(labels, c.Label)
	}
	assert.Equal(t, []string{"slot floor: 294 and 292 mm", "nipple top: 294 and 290 mm", "bare hole: 296 and 292 mm"}, labels)
	assert.Contains(t, r.Lead[0], "order 294 and 292 mm", "it answers all the same")
	assert.Contains(t, whole(r), "47 %", "and says the balance")
	for _, c := range r.Ask.Choices {
		got := asked(t, c.Line)
		assert.Nil(t, got.Ask, c.Line)
		_, text, _ := strings.Cut(c.Label, ": ")
		assert.Contains(t, got.Lead[0], "order "+text, "what is chosen is what was said")
	}
	// 1 mm apart, each in its own direction
	short := func(line string) float64 { return millimetres(value(t, asked(t, line), "left.length")) }
	assert.InDelta(t, 1, short(line+" erdkind:hole")-short(line), 0.02)
	assert.InDelta(t, -1, short(line+" erdkind:top")-short(line), 0.02)
	assert.Nil(t, asked(t, strings.Replace(line, ` step:"2 mm"`, "", 1)).Ask, "nothing is ordered yet")
}

// TestWhyTellsOfTheRounding, with its sum.
func TestWhyTellsOfTheRounding(t *testing.T) {
	desk := newDesk(t)
	desk.Ask(t.Context(), Asker{}, `spokes erd:"602 mm" circle:"45 mm" offset:"37.5 mm/17.5 mm" holes:32 cross:3 erdkind:top step:"2 mm"`)
	text := whole(desk.Ask(t.Context(), Asker{}, "why")[0])
	assert.Contains(t, text, "290 = +1.35 mm")
	assert.Contains(t, text, "less 0.54 mm of stretch it is +0.82")
}

// TestAHubFillsItsRim: every spoke needs a hole at the hub, which is said
// before anything is asked.
func TestAHubFillsItsRim(t *testing.T) {
	r := fresh(t, "spokes 28 spoke hub 32 spoke rim possible")[0]
	assert.True(t, r.Mistake)
	assert.Contains(t, r.Error, "as many in the hub or more")
	r = fresh(t, "spokes 36 hub 32 rim")[0]
	assert.Contains(t, whole(r), "4 of the hub's left empty")
}

// TestTheOrderIsMirrored: a wheel turned round gets the same lengths turned
// round, and one that is the same on both sides one length.
func TestTheOrderIsMirrored(t *testing.T) {
	random := rand.New(rand.NewPCG(7, 8))
	desk := newDesk(t)
	for range 60 {
		d, l, r := 560+random.IntN(60), 20+random.IntN(20), 20+random.IntN(20)
		taken := func(l, r int) [2]float64 {
			a := desk.Ask(t.Context(), Asker{}, fmt.Sprintf(`spokes erd:"%v mm" circle:"58 mm" offset:"%v mm/%v mm" holes:32 cross:3 erdkind:slot step:"2 mm"`, d, l, r))[0]
			return [2]float64{value(t, a, "left.length") - value(t, a, "left.short"), value(t, a, "right.length") - value(t, a, "right.short")}
		}
		one, other := taken(l, r), taken(r, l)
		assert.InDelta(t, one[0], other[1], 1e-9, "ERD %v, offsets %v/%v", d, l, r)
		assert.InDelta(t, one[1], other[0], 1e-9, "ERD %v, offsets %v/%v", d, l, r)
		same := taken(l, l)
		assert.InDelta(t, same[0], same[1], 1e-9, "ERD %v, offsets %v", d, l)
	}
}

// TestKnownLengthsFollowTheirERD: lengths from another's sum, with an ERD to
// the nipple top, are 1 mm too long for one to the slot floor.
func TestKnownLengthsFollowTheirERD(t *testing.T) {
	const line = `spokes length:"291.3 mm/289.8 mm" step:"2 mm"`
	r := asked(t, line)
	assert.Nil(t, r.Ask, "it is answered for the slot floor, and the others are offered")
	assert.Contains(t, whole(r), "to the nipple top 290 mm and 288 mm, to the bare hole 292 mm and 290 mm")
	top := asked(t, line+" erdkind:top")
	assert.InDelta(t, 0.3, millimetres(value(t, top, "left.short")), 1e-6, "291.3 − 1 − 290")
	assert.InDelta(t, 0.8, millimetres(value(t, top, "right.short")), 1e-6, "289.8 − 1 − 288")
	hole := asked(t, line+" erdkind:hole")
	assert.InDelta(t, 0.3, millimetres(value(t, hole, "left.short")), 1e-6, "291.3 + 1 − 292")
	assert.InDelta(t, 20, value(t, asked(t, line+" holes:36"), "order.2900"), 0, "18 and 2 spares")
}

// TestAUsualWheelIsSaidAndStaysAnAssumption: what is compared is answered on a
// usual wheel, named, and no order is made of it; what the asker tells later
// takes its place.
func TestAUsualWheelIsSaidAndStaysAnAssumption(t *testing.T) {
	desk := newDesk(t)
	r := desk.Ask(t.Context(), Asker{}, "28h rear 2x or 3x")[0]
	assert.Nil(t, r.Ask)
	assert.Contains(t, strings.Join(r.Lead, " "), "on a usual 29 in rear wheel")
	assert.NotContains(t, r.Line, "erd")
	for _, name := range []string{"erd", "circle", "offset"} {
		assert.True(t, assumes(r, name), "%s is assumed aloud", name)
	}
	for _, a := range r.Actions {
		assert.NotContains(t, a.Line, "600", "an assumption is not handed on as if told")
	}
	r = desk.Ask(t.Context(), Asker{}, "erd 610")[0]
	assert.False(t, assumes(r, "erd"))
	assert.True(t, assumes(r, "circle"))
	r = desk.Ask(t.Context(), Asker{}, "circles 58 offsets 36/21")[0]
	assert.False(t, assumes(r, "circle") || assumes(r, "offset"))
	assert.NotContains(t, r.Lead[0], "usual")

	r = asked(t, "28h rear 2x or 3x evens")
	assert.NotContains(t, whole(r), "order", "nobody orders for a wheel that is not theirs")

	for _, line := range []string{"28h rear 3x", "erd 600 32h 3x", "spokes 32h", "erd 600 tangent 21 28h or 32h"} {
		r := fresh(t, line)[0]
		assert.True(t, r.Ask != nil && len(r.Values) == 0, "%q asks for what lacks", line)
	}
	r = fresh(t, "hub motor 36h 244 flange erd 540 1x or 3x")[0]
	require.NotNil(t, r.Ask, "one thing lacks, and is asked for")
	assert.Equal(t, "offset", r.Ask.Option)
}

func assumes(r reply.Reply, option string) bool {
	for _, a := range r.Assumed {
		if a.Option == option && strings.HasPrefix(a.Why, "not given") {
			return true
		}
	}
	return false
}

// TestEveryLengthHasItsTension: also where builds are compared, and no tension
// above the rim's mark.
func TestEveryLengthHasItsTension(t *testing.T) {
	r := asked(t, `spokes erd:"600 mm" circle:"58 mm" offset:"36 mm/21 mm" holes:"28, 32" cross:3 mark:"110 kgf" step:"1 mm"`)
	rows := r.Tables[0].Rows
	require.Len(t, rows, 6)
	for i, want := range []string{"28 holes, 3×", "tension", "order", "32 holes, 3×", "tension", "order"} {
		assert.Equal(t, want, rows[i].Cells[0])
	}
	assert.Equal(t, []string{"tension", "64 kgf", "110 kgf"}, rows[1].Cells, "21/295.7 over 36/297.1 of the mark, 64.5, rounded to 64")
	assert.False(t, math.IsNaN(value(t, r, "a.tension.ratio")))
}

// TestHolesAndCrossingsSayWhatTheyCan: 3 × 360°/(28/2) = 77.1° about the axle is
// 83° off radial at a flange of 58 mm in a rim of 600 mm, by the law of cosines;
// 3 × 360°/(24/2) = 90° lies past it.
func TestHolesAndCrossingsSayWhatTheyCan(t *testing.T) {
	r := fresh(t, "28h 3x")[0]
	assert.Contains(t, r.Lead[0], "can be laced: the spokes leave the flange 83° off radial")
	assert.NotNil(t, r.Ask)
	no := fresh(t, "3x on 24h ok or no")[0]
	assert.Nil(t, no.Ask)
	assert.Contains(t, no.Error, "can't be built with 24 spokes")
	assert.Equal(t, "spokes holes:24 cross:2", no.Example)
	// half of 602 − 599
	longer := fresh(t, "new rim erd 602 old 599")[0]
	assert.InDelta(t, 0.0015, value(t, longer, "longer"), 1e-9)
}

// TestTheSameERDKeepsTheLengths: half of no difference is none.
func TestTheSameERDKeepsTheLengths(t *testing.T) {
	assert.Contains(t, asked(t, "erd 602 old rim erd 602").Lead[0], "stay")
	assert.Contains(t, asked(t, "erd 598 old rim erd 602").Lead[0], "2 mm shorter")
}
