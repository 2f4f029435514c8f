package commands

import (
	"fmt"
	"math"
	"regexp"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"spokeword/calc/build"
	"spokeword/calc/lace"
	"spokeword/calc/quantity"
)

var (
	stepSet   = regexp.MustCompile(`^(?:Key spoke: )?(?i)(left|right), head (outside|inside), (pulls|pushes|radial)`)
	stepHoles = regexp.MustCompile(`rim holes? ([0-9, …]+)`)
	stepThen  = regexp.MustCompile(`then ([0-9, …]+)`)
	stepAngle = regexp.MustCompile(`hub hole ([0-9.]+)° (ahead of|behind) the key's`)
	stepEach  = regexp.MustCompile(`every (second |third |([0-9]+)th )?hub hole`)
)

// listed reads "5, 9 … 29" or "7, 13, 19" as rim holes from 0.
func listed(t *testing.T, text string) (holes []int) {
	text = strings.Trim(text, ", ")
	if text == "" {
		return nil
	}
	from, last, whole := strings.Cut(text, " … ")
	for part := range strings.SplitSeq(from, ", ") {
		n, err := strconv.Atoi(part)
		require.NoError(t, err, text)
		holes = append(holes, n-1)
	}
	if whole {
		require.Len(t, holes, 2, text)
		end, err := strconv.Atoi(last)
		require.NoError(t, err, text)
		for step := holes[1] - holes[0]; holes[len(holes)-1] < end-1; {
			holes = append(holes, holes[len(holes)-1]+step)
		}
		require.Equal(t, end-1, holes[len(holes)-1], text)
	}
	return holes
}

// follow laces a wheel by the steps of a reply, and holds each against the wheel
// as it is placed: which flange, which head, which way, which hub hole, what it
// crosses. Each rim hole gets its spoke once.
func follow(t *testing.T, line string, steps [][]string, placed []lace.Spoke, hubHoles [2]int) {
	seen := make([]int, len(placed))
	var key lace.Spoke
	var side build.Side
	var head lace.Head
	var way lace.Way
	for i, cells := range steps {
		text := cells[1]
		if m := stepSet.FindStringSubmatch(text); m != nil {
			side = map[string]build.Side{"left": build.Left, "right": build.Right}[strings.ToLower(m[1])]
			head = map[string]lace.Head{"outside": lace.HeadOutside, "inside": lace.HeadInside}[m[2]]
			way = map[string]lace.Way{"pulls": lace.Pulling, "pushes": lace.Pushing, "radial": lace.Radial}[m[3]]
		} else if !strings.HasPrefix(text, "The rest of that set") {
			continue
		}
		var holes []int
		if m := stepHoles.FindStringSubmatch(text); m != nil {
			holes = listed(t, m[1])
		}
		if m := stepThen.FindStringSubmatch(text); m != nil {
			holes = append(holes, listed(t, m[1])...)
		}
		require.NotEmpty(t, holes, "%s: %s", line, text)
		for _, h := range holes {
			require.Less(t, h, len(placed), "%s: %s", line, text)
			seen[h]++
			s := placed[h]
			assert.Equal(t, [3]any{side, head, way}, [3]any{s.Side, s.Head, s.Way}, "%s: rim hole %d in %q", line, h+1, text)
		}
		first := placed[holes[0]]
		if i == 0 {
			key = first
			continue
		}
		// Hub holes: so many on for each of the set, the first so far from the key.
		around := hubHoles[side]
		from := first.HubHole
		if strings.HasPrefix(text, "The rest") {
			holes = append([]int{key.RimHole}, holes...)
			from = key.HubHole
		}
		if len(holes) > 1 {
			each := (placed[holes[1]].HubHole - from + around) % around
			if m := stepEach.FindStringSubmatch(text); m != nil {
				says := map[string]int{"": 1, "second ": 2, "third ": 3}[m[1]]
				if m[2] != "" {
					says, _ = strconv.Atoi(m[2])
				}
				assert.Equal(t, each, says, "%s: %s", line, text)
			}
			for k, h := range holes {
				assert.Equal(t, (from+k*each)%around, placed[h].HubHole, "%s: %q: hub hole of rim hole %d", line, text, h+1)
			}
		}
		apart := math.Remainder(float64(first.HubAngle-key.HubAngle)/float64(quantity.Degree), 360)
		switch m := stepAngle.FindStringSubmatch(text); {
		case m != nil:
			says, err := strconv.ParseFloat(m[1], 64)
			require.NoError(t, err)
			if m[2] == "behind" {
				says = -says
			}
			assert.InDelta(t, 0, math.Remainder(apart-says, 360), 0.06, "%s: %s", line, text)
		case strings.Contains(text, "straight across"):
			assert.InDelta(t, 0, apart, 1, "%s: %s", line, text)
		}
		// "each over, over, under" is as many as it crosses; the last lies outside.
		if _, weave, ok := strings.Cut(text, "; each "); ok {
			for _, h := range holes {
				assert.Len(t, placed[h].Crosses, strings.Count(weave, "over")+strings.Count(weave, "under"), "%s: %s", line, text)
			}
		}
	}
	for h, n := range seen {
		assert.Equal(t, 1, n, "%s: rim hole %d", line, h+1)
	}
}

// TestStepsPutEachSpokeInOnce laces every wheel of 16 to 48 holes with up to four
// crossings, radial ones and 2:1, by the steps alone.
func TestStepsPutEachSpokeInOnce(t *testing.T) {
	flange := func(holes int) build.Flange {
		return build.Flange{Circle: usualCircle, Offset: 30 * quantity.Millimetre, Holes: holes, HoleDiameter: usualHole}
	}
	laced, desk := 0, newDesk(t)
	try := func(line string, w build.Wheel) {
		placed, err := lace.Place(w)
		if err != nil {
			return
		}
		r := said(t, desk, "lacing show:steps offset:\"30 mm/30 mm\" "+line)
		if r.Refused { // as a head that fouls: place alone does not tell
			return
		}
		require.Empty(t, r.Error, line)
		require.Nil(t, r.Ask, line)
		require.NotEmpty(t, r.Tables, line)
		var steps [][]string
		for _, row := range r.Tables[0].Rows {
			steps = append(steps, row.Cells)
		}
		follow(t, line, steps, placed, [2]int{w.Left.Flange.Holes, w.Right.Flange.Holes})
		laced++
	}
	for n := 16; n <= 48; n += 4 {
		for cross := range 5 {
			w := build.Wheel{End: build.Front, Brake: build.RimBrake, Rim: build.Rim{ERD: usualERD, Holes: n}}
			w.Left, w.Right = build.Half{Cross: cross, Flange: flange(n / 2)}, build.Half{Cross: cross, Flange: flange(n / 2)}
			try(fmt.Sprintf("holes:%d cross:%d end:front brake:rim", n, cross), w)
			if cross > 0 {
				w.Left.Cross = 0
				try(fmt.Sprintf(`holes:%d cross:"0/%d" end:front brake:rim`, n, cross), w)
			}
		}
	}
	for n := 24; n <= 48; n += 12 {
		for double := 1; double < 5; double++ {
			for single := range 3 {
				w := build.Wheel{End: build.Rear, Brake: build.RimBrake, Pattern: build.TwoToOne, Single: build.Left, Rim: build.Rim{ERD: usualERD, Holes: n}}
				w.Left, w.Right = build.Half{Cross: single, Flange: flange(n * 2 / 3)}, build.Half{Cross: double, Flange: flange(n * 2 / 3)}
				try(fmt.Sprintf(`holes:"%d/%d" pattern:"2:1" cross:"%d/%d" end:rear brake:rim`, n*4/3, n, single, double), w)
			}
		}
	}
	t.Logf("%d wheels laced", laced)
	assert.Greater(t, laced, 60)
}
