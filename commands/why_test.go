package commands

import (
	"context"
	"math"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"spokeword/commands/reply"
	"spokeword/commands/talk"
)

// This file recomputes every number of a working by its own arithmetic: the
// section by bisection, the contact patch by adding up thin slices, lengths by
// the spoke formula. It uses no model of package calc.

// number is a figure that a sum must show, with the decimals it is printed to.
type number struct {
	value    float64
	decimals int
}

// sums returns the rows of the working by their name.
func sums(t *testing.T, why reply.Reply) map[string]string {
	for _, table := range why.Tables {
		if table.Title == "The sum" {
			rows := make(map[string]string)
			for _, r := range table.Rows {
				require.NotContains(t, rows, r.Cells[0], "two rows of one name")
				rows[r.Cells[0]] = r.Cells[1]
			}
			return rows
		}
	}
	t.Fatalf("no working in %v", why.Tables)
	return nil
}

// holds checks that a row shows just these numbers, and drops it.
func holds(t *testing.T, rows map[string]string, name string, want ...number) {
	sum, ok := rows[name]
	if !ok {
		t.Errorf("no row %q among %v", name, rows)
		return
	}
	delete(rows, name)
	got := numbersIn(t, sum)
	if len(got) != len(want) {
		t.Errorf("%s: %q holds %v numbers, want %v", name, sum, len(got), len(want))
		return
	}
	for i, w := range want {
		assert.InDelta(t, w.value, got[i], 0.5*math.Pow10(-w.decimals)+1e-9, "%s: number %d of %q", name, i+1, sum)
	}
}

// answerAndWhy asks a line and then why.
func answerAndWhy(t *testing.T, line string) (answer, why reply.Reply) {
	desk := newDesk(t)
	answer = said(t, desk, line)
	require.Nil(t, answer.Ask, line)
	return answer, said(t, desk, "why")
}

// bisect finds the root of a rising function.
func bisect(low, high float64, f func(float64) float64) float64 {
	for range 200 {
		mid := (low + high) / 2
		if f(mid) < 0 {
			low = mid
		} else {
			high = mid
		}
	}
	return low
}

// measuringRim interpolates between the middles of the bands of the measuring
// rims of 2020, as reproduced in a trade article; mm.
func measuringRim(label float64) float64 {
	middles := [][2]float64{{19.5, 15}, {23, 17}, {26.5, 19}, {31.5, 21}, {40.5, 23}, {52, 25}, {61.5, 30}, {68.5, 35}, {77.5, 45}, {98.5, 76}, {123, 94}}
	for i := 1; i < len(middles); i++ {
		a, b := middles[i-1], middles[i]
		if label <= b[0] {
			return a[1] + (b[1]-a[1])*math.Max(0, label-a[0])/(b[0]-a[0])
		}
	}
	return middles[len(middles)-1][1]
}

// arc is a casing over a rim: S = W(π − asin(b/W)), mm.
type arc struct{ label, measuring, casing, rim, width, height float64 }

func arcOf(label, rim float64) arc {
	a := arc{label: label, measuring: measuringRim(label), rim: rim}
	casing := func(w, b float64) float64 { return w * (math.Pi - math.Asin(b/w)) }
	a.casing = casing(label, a.measuring)
	a.width = bisect(rim, 300, func(w float64) float64 { return casing(w, rim) - a.casing })
	r := a.width / 2
	a.height = r + math.Sqrt(r*r-rim*rim/4)
	return a
}

// patch adds up the flat width of thin slices across the contact of a wheel
// pressed down by a share of the section's height: mm².
func (a arc) patch(seat, share float64) float64 {
	const slices = 4000
	radius := seat/2 + a.height
	axle := radius - share*a.height // of the axle over the ground
	half := math.Sqrt(radius*radius - axle*axle)
	area := 0.0
	for i := range slices {
		x := (float64(i) + 0.5) / slices * half
		gap := math.Sqrt(axle*axle+x*x) - seat/2 // from the rim to the ground, along the radius
		// Each side of the casing is an arc from the rim's edge to the flat part.
		theta := bisect(1e-6, 2*math.Pi-1e-6, func(th float64) float64 {
			return gap*(th-math.Sin(th))/(1-math.Cos(th)) - (a.casing-a.rim)/2
		})
		rho := gap / (1 - math.Cos(theta))
		area += math.Max(0, a.rim-2*rho*math.Sin(theta)) * half / slices
	}
	return 2 * area
}

func TestEveryNumberOfAPressureIsRecomputed(t *testing.T) {
	const g = 9.80665
	for _, x := range []struct {
		line              string
		rider, bike, rear float64 // kg; rear: carried there
		label, seat, rim  float64 // mm
		target, share     float64 // of the height; on the front wheel
		factor, tubes     float64 // soft snow; bar
		most              float64 // bar
		wide              float64 // mm, how well the width is known
		said              bool    // a second source for this riding
	}{
		{line: "pressure 80kg 29x2.4 i30 trail", rider: 80, bike: 17, label: 60.96, seat: 622, rim: 30, target: 0.201, share: 0.478, factor: 1, most: 2.5, wide: 2},
		{line: "pressure 75kg 28-622 19mm road bike 8kg", rider: 75, bike: 8, label: 28, seat: 622, rim: 19, target: 0.19, share: 0.46, factor: 1, most: 7.5, wide: 1},
		{line: "pressure kid 28kg 24x2.0 25mm tubes trail bike 10kg", rider: 28, bike: 10, label: 50.8, seat: 507, rim: 25, target: 0.201, share: 0.478, factor: 1, tubes: 5 * 0.0689475729, most: 3.5, wide: 2},
		{line: "pressure 75kg 26x4.6 80mm soft snow", rider: 75, bike: 17, label: 116.84, seat: 559, rim: 80, target: 0.207, share: 0.47, factor: 0.8, most: 2.5, wide: 2},
		{line: "pressure 85kg 29x2.4 30mm trail bike 15kg load 12kg rear", rider: 85, bike: 15, rear: 12, label: 60.96, seat: 622, rim: 30, target: 0.201, share: 0.478, factor: 1, most: 2.5, wide: 2},
		{line: "pressure 70kg 40-622 23mm gravel bike 12kg", rider: 70, bike: 12, label: 40, seat: 622, rim: 23, target: 0.224, share: 0.47, factor: 1, most: 5, wide: 1},
	} {
		t.Run(x.line, func(t *testing.T) {
			answer, why := answerAndWhy(t, x.line)
			rows := sums(t, why)
			own := x.rider + x.bike
			if x.rear > 0 {
				holds(t, rows, "Total load", number{x.rider, 2}, number{x.bike, 2}, number{x.rear, 2}, number{own + x.rear, 2})
			} else {
				holds(t, rows, "Total load", number{x.rider, 2}, number{x.bike, 2}, number{own, 2})
			}
			a := arcOf(x.label, x.rim)
			area := a.patch(x.seat, x.target)
			for i, end := range []string{"Front", "Rear"} {
				share, carried := x.share, 0.0
				if i == 1 {
					share, carried = 1-x.share, x.rear
				}
				load := own*share + carried
				switch {
				case x.rear == 0:
					holds(t, rows, end+" load", number{share * 100, 1}, number{load, 2})
				case i == 0:
					holds(t, rows, end+" load", number{share * 100, 1}, number{own, 2}, number{load, 2})
				default:
					holds(t, rows, end+" load", number{share * 100, 1}, number{own, 2}, number{x.rear, 2}, number{load, 2})
				}
				holds(t, rows, end+" section", number{a.label, 1}, number{a.rim, 1}, number{a.width, 1}, number{a.height, 1})
				holds(t, rows, end+" patch", number{x.target * 100, 1}, number{x.target * a.height, 2}, number{area, 1})
				bar := load * g / area * 10 // N/mm² is 10 bar
				sum := []number{{load, 2}, {g, 5}, {area, 1}, {bar, 3}}
				total := bar * x.factor
				if x.factor != 1 {
					sum = append(sum, number{x.factor, 1})
				}
				if x.tubes > 0 {
					sum = append(sum, number{x.tubes, 3})
					total += x.tubes
				}
				if len(sum) > 4 {
					sum = append(sum, number{total, 3})
				}
				holds(t, rows, end+" pressure", sum...)
				w, s, d := 1.45*x.wide/a.width, 0.02/share, 1.4*0.008/x.target
				holds(t, rows, end+" band", number{math.Sqrt(w*w+s*s+d*d) * 100, 1}, number{x.wide, 1}, number{2, 0}, number{0.8, 1})
				holds(t, rows, end+" limit", number{x.most, 3})
				name := strings.ToLower(end) + ".start"
				assert.InDelta(t, total*1e5, value(t, answer, name), total*1e5*1e-4, "%s is what the sum comes to", name)
			}
			assert.Empty(t, rows, "rows that were not recomputed")
			explains(t, answer, why)
		})
	}
}

func TestEveryNumberOfAFitIsRecomputed(t *testing.T) {
	// What others allow, as published: pairs of 2006, ratios, bands for a rim.
	jis, book, outer, ridden := []number{{1.4, 1}, {2.4, 1}}, []number{{1.45, 2}, {2, 0}}, []number{{1.25, 2}, {2.5, 1}}, []number{{1.7, 1}, {2.3, 1}}
	for _, x := range []struct {
		line       string
		label, rim float64 // mm
		listed     map[string][]number
		gap        float64 // mm, 0 if not asked
	}{
		{"2.5 on 25mm internal ok?", 63.5, 25, map[string][]number{"Pair list 2006": {{44, 0}, {62, 0}}, "Newer pairs": nil, "Riding practice": nil, "Trade articles": {{2.1, 1}, {2.4, 1}}}, 0},
		{"fit 29x2.4 on 30mm", 60.96, 30, map[string][]number{"Pair list 2006": nil, "Newer pairs": nil, "Trail practice": {{2.35, 2}, {2.5, 1}}, "XC practice": {{2.2, 1}, {2.4, 1}}, "Trade articles": {{2.2, 1}, {2.8, 1}}}, 0},
		{"fit 2.6 on 35mm gap 78mm", 66.04, 35, map[string][]number{"Pair list 2006": nil, "Newer pairs": nil}, 78},
	} {
		t.Run(x.line, func(t *testing.T) {
			answer, why := answerAndWhy(t, x.line)
			rows := sums(t, why)
			a := arcOf(x.label, x.rim)
			ratio := a.width / a.rim
			holds(t, rows, "Casing", number{a.label, 1}, number{a.measuring, 1}, number{a.casing, 1})
			holds(t, rows, "Section", number{a.rim, 1}, number{a.width, 1}, number{a.height, 1})
			holds(t, rows, "Ratio", number{a.width, 1}, number{a.rim, 1}, number{ratio, 2})
			if x.gap > 0 { // knobs add 2.5 mm, assumed and said
				over := a.width + 2.5
				holds(t, rows, "Clearance", number{x.gap, 1}, number{over, 1}, number{2, 0}, number{(x.gap - over) / 2, 1})
			}
			for name, span := range map[string][]number{"JIS ratio": jis, "Encyclopedia": book, "Workshop limits": outer, "Mountain practice": ridden} {
				says := "against"
				if ratio >= span[0].value && ratio <= span[1].value {
					says = "for"
				}
				assert.True(t, strings.HasPrefix(rows[name], says+":"), "%s: %q, want %s at %.3f", name, rows[name], says, ratio)
				holds(t, rows, name, span...)
			}
			for name, span := range x.listed {
				if _, ok := rows[name]; ok {
					holds(t, rows, name, span...)
				}
			}
			if x.gap == 0 {
				assert.Empty(t, rows, "rows that were not recomputed")
			}
			explains(t, answer, why)
		})
	}
}

func TestEveryNumberOfSpokesIsRecomputed(t *testing.T) {
	for _, x := range []struct {
		line        string
		erd, circle float64    // mm
		offset      [2]float64 // left, right, mm
		cross       float64
		perSide     float64
		hole        float64 // mm
		shift       float64 // towards the left, mm
		washer      float64 // mm
		tighter     int     // the side that is stretched
		kgf         float64
	}{
		{"erd600 58/58 36/21 32h 3x", 600, 58, [2]float64{36, 21}, 3, 16, 2.6, 0, 0, 1, 100},
		{"front disc 24/34 erd 600 58 32h 3x shift 2.5 mm right", 600, 58, [2]float64{24, 34}, 3, 16, 2.6, -2.5, 0, 0, 100},
		{"erd 560 circle 54 offsets 36/22 28h 2x flange hole 2.5 washer 0.5 rim mark 120 kgf", 560, 54, [2]float64{36, 22}, 2, 14, 2.5, 0, 0.5, 1, 120},
	} {
		t.Run(x.line, func(t *testing.T) {
			answer, why := answerAndWhy(t, x.line)
			rows := sums(t, why)
			r, f := x.erd/2+x.washer, x.circle/2
			degrees := 360 * x.cross / x.perSide
			var length, sine [2]float64
			for i, side := range []string{"Left", "Right"} {
				w := x.offset[i] - x.shift
				if i == 1 {
					w = x.offset[i] + x.shift
				}
				span := math.Sqrt(r*r + f*f + w*w - 2*r*f*math.Cos(degrees*math.Pi/180))
				length[i], sine[i] = span-x.hole/2, w/span
				name := ""
				for row := range rows {
					if strings.HasPrefix(row, side+",") {
						name = row
					}
				}
				assert.Equal(t, []float64{2 * x.perSide, x.cross}, numbersIn(t, name), name)
				holds(t, rows, name, number{r, 2}, number{f, 2}, number{w, 2}, number{2, 0}, number{r, 2}, number{f, 2}, number{degrees, 3}, number{x.hole, 2}, number{2, 0}, number{length[i], 2})
				assert.InDelta(t, length[i], millimetres(value(t, answer, strings.ToLower(side)+".length")), 0.005, side)
			}
			angle := func(s float64) float64 { return math.Asin(s) * 180 / math.Pi }
			holds(t, rows, "Tension left/right", number{x.perSide, 0}, number{angle(sine[1]), 3}, number{x.perSide, 0}, number{angle(sine[0]), 3}, number{sine[1] / sine[0], 3})
			// 2.0/1.8/2.0 mm with thick ends of 36 and 30 mm, 200 GPa.
			thick, thin := math.Pi, math.Pi*0.81
			l := length[x.tighter]
			newton := x.kgf * 9.80665
			holds(t, rows, "Stretch "+sideNames[x.tighter], number{newton, 1}, number{200000, 0}, number{36, 0}, number{thick, 3}, number{l - 66, 2}, number{thin, 3}, number{30, 0}, number{thick, 3}, number{1, 0},
				number{newton / 200000 * (66/thick + (l-66)/thin), 2})
			assert.Empty(t, rows, "rows that were not recomputed")
			explains(t, answer, why)
		})
	}
}

func TestASizeAndAConversionAreExplained(t *testing.T) {
	_, why := answerAndWhy(t, "wots 61-622 in inch")
	holds(t, sums(t, why), "Outside", number{622, 1}, number{2, 0}, number{61, 1}, number{744, 0})
	_, why = answerAndWhy(t, "1.6 bar in psi")
	holds(t, sums(t, why), "Conversion", number{1.6, 1}, number{160000 / 6894.757293168, 1})
}

// explains checks that what went in, what was assumed, what it rests on by
// kind and all notes of an answer stand in its explanation.
func explains(t *testing.T, answer, why reply.Reply) {
	text := whole(why)
	for _, i := range append(append([]reply.Item(nil), answer.Read...), answer.Assumed...) {
		assert.Contains(t, text, i.Option+"\n"+i.Value, "what went in")
		assert.Contains(t, text, i.Why, "why it was assumed")
	}
	require.Len(t, why.Lead, 2)
	for _, n := range answer.Notes {
		assert.Contains(t, text, n.Text)
		assert.Contains(t, text, n.Basis.String())
	}
	for _, kind := range []struct{ in, said string }{{"paper:", "paper"}, {"standard:", "standard"}, {"article:", "article"}, {"computed:", "computation"}, {"common practice", "of the trade without a source"}, {"assumption:", "assumption"}} {
		if strings.Contains(text, kind.in) {
			assert.Contains(t, why.Lead[1], kind.said, "kinds of sources are counted in the lead")
		}
	}
	assert.Equal(t, cautionIDs(answer), cautionIDs(why), "what is explained is as dangerous as before")
}

func TestWhySaysWhereSourcesDisagree(t *testing.T) {
	_, why := answerAndWhy(t, "pressure 80kg 29x2.4 i30 trail")
	assert.Contains(t, whole(why), "where sources disagree")
	_, why = answerAndWhy(t, "2.5 on 25mm internal ok?")
	text := whole(why)
	assert.Contains(t, text, "against: allows")
	assert.Contains(t, text, "for: allows")
	_, why = answerAndWhy(t, "erd600 58/58 36/21 32h 3x")
	assert.Contains(t, whole(why), "published modulus of stainless spring wire 193 GPa")
}

// restarted returns a talk as it is after a restart: of the last answer only
// that was kept which could be written down.
func restarted(s talk.State) talk.State {
	if s.Last != nil {
		s.Last = &reply.Reply{Line: s.Last.Line, Read: s.Last.Read, Assumed: s.Last.Assumed, Private: s.Last.Private, Recalled: true}
	}
	return s
}

// TestWhyExplainsAfterARestart asks every typed line, and why before and after
// a restart: the explanations are the same.
func TestWhyExplainsAfterARestart(t *testing.T) {
	explained := 0
	desk, who := newDesk(t), Asker{User: "ann"}
	for _, l := range typedLines(t) {
		desk.deps.Talk.Put(who, talk.State{})
		for _, before := range append(l.Talk[:len(l.Talk):len(l.Talk)], l.Line) {
			desk.Ask(context.Background(), who, before)
		}
		want := said(t, desk, "why")
		desk.deps.Talk.Put(who, restarted(desk.deps.Talk.Get(who)))
		got := said(t, desk, "why")
		assert.Equal(t, want, got, l.Line)
		assert.Equal(t, got, said(t, desk, "why"), "asked twice: %s", l.Line)
		if !got.Mistake {
			explained++
		}
	}
	assert.Greater(t, explained, 50, "lines that have an answer to explain")
}

// TestWhyRefusesWhatItCanNotRead: a line that an older version wrote.
func TestWhyRefusesWhatItCanNotRead(t *testing.T) {
	desk, who := newDesk(t), Asker{User: "ann"}
	desk.deps.Talk.Put(who, talk.State{Last: &reply.Reply{Line: "zorble frob:\"1\"", Recalled: true}})
	got := said(t, desk, "why")
	assert.True(t, got.Mistake)
	assert.Contains(t, got.Error, "before a restart")
	assert.NotEmpty(t, got.Example)
}

// TestWhyHasThreeDepths asks why of an answer of every command that computes:
// one line that says how, the sum with its numbers, and what it rests on.
func TestWhyHasThreeDepths(t *testing.T) {
	lines := map[string][]string{
		"pressure": {"80kg 29x2.4 i30 trail", "80kg 29x2.4 22/25 psi", "kid 28kg 24x2.0 tubes"},
		"change":   {"22/25 psi now wet 29x2.4", "22/25 psi insert rear", "change 22/25 psi +12 kg rear 80kg 29x2.4"},
		"air":      {"22 psi set at 20 °C riding at -5 °C", "flying with 25 psi", "workshop 20 °C to have 22 psi at -2 °C"},
		"fill":     {"16g co2 29x2.4", "how much sealant 29x2.4", "tape for 30mm rim", "valve for 45mm deep rim", "how many pumps 29x2.4 25psi 50ml pump"},
		"fit":      {"2.5 on 25mm internal ok?", "what tyre for 30mm rim", "74 between stays 2.6?"},
		"spokes":   {"erd 602 circles 45 offsets 37.5/17.5 32h 3x", "291.3 and 289.8 only evens"},
		"lacing":   {"lacing 32h 3x"},
		"wheel":    {"wheel 28 or 32 spokes 100kg", "wheel 25 mm rim vs 30 mm rim"},
		"tension":  {"112 95 118 104 121 99 115 108", "440 hz 1.8 spoke 280 mm"},
		"true":     {"how many turns for 1mm wobble", "dish tool 3mm gap left side"},
		"measure":  {"measure rods 280 mm between 12 mm", "measure pitch 11.3 mm 32 holes"},
		"freehub":  {"36 points 32/52 170 mm cranks"},
		"gearing":  {"32t ring 26x2.1 to 29x2.4", "29x2.4 32/51 development", "2.6 front slacker"},
		"plan":     {"plan trail 29 80 kg"},
		"size":     {"61-622", "is 650b same as 27.5", "26 and 29 same"},
		"convert":  {"1.6 bar in psi"},
	}
	for _, c := range newDesk(t).Commands().All {
		if c.Because == "" {
			assert.Empty(t, lines[c.Name], c.Name)
			continue
		}
		assert.NotEmpty(t, lines[c.Name], "%s: no line to ask why of", c.Name)
		for _, line := range lines[c.Name] {
			d := newDesk(t)
			answer := said(t, d, line)
			require.Equal(t, c.Name, answer.Command, line)
			why := said(t, d, "why")
			require.Len(t, why.Lead, 2, line)
			assert.Equal(t, c.Because+".", why.Lead[0], line)
			assert.LessOrEqual(t, len([]rune(why.Lead[0])), 105, "one line: %s", why.Lead[0])
			rows := sums(t, why)
			numbers := 0
			for _, sum := range rows {
				numbers += len(numbersIn(t, sum))
			}
			assert.Greater(t, numbers, 1, "%s: a sum shows its numbers: %v", line, rows)
			sources := 0
			for _, n := range why.Notes {
				if n.Basis.Kind != 0 {
					sources++
				}
			}
			assert.Positive(t, sources, "%s: what it rests on", line)
			assert.Equal(t, answer.Private, why.Private, line)
		}
	}
	d := newDesk(t) // where sources disagree, why tells which says what
	said(t, d, "29x2.4 on 25mm ok?")
	told := whole(said(t, d, "why"))
	assert.Contains(t, told, "for")
	assert.Contains(t, told, "against")
}
