package commands

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// Rules of thumb and geometry from outside: trade articles give a ninth of the
// spoke count as the most crossings.
func TestCrossingsAreAtMostANinthOfTheSpokes(t *testing.T) {
	for holes, most := range map[int]int{20: 2, 24: 2, 28: 3, 32: 3, 36: 4, 40: 4, 48: 5} {
		r := asked(t, fmt.Sprintf("lacing %dh", holes))
		for _, side := range sideNames {
			assert.EqualValues(t, most, value(t, r, side+".crossings"), "%d holes", holes)
		}
		assert.Contains(t, r.Lead[0], fmt.Sprintf("; %d is usual", min(most, 3)), "3 at most is common practice")
		assert.False(t, r.Refused)
		over := asked(t, fmt.Sprintf("lacing %dh %dx", holes, most+1))
		assert.True(t, over.Refused, over.Lead)
		assert.Contains(t, over.Lead[0], "No: with")
		assert.False(t, asked(t, over.Actions[0].Line).Refused, "what is offered instead can be built")
	}
}

// By hand: sin β = w/L on both sides, L from √(R² + r² + w² − 2Rr cos 67.5°)
// with R 300, r 29: 36.3/22.5 with rim holes 2.5 mm towards the left has w 33.8
// and 25.0, towards the right 38.8 and 20.0.
func TestAnOffsetRimTheWrongWayRoundCostsTension(t *testing.T) {
	length := func(w float64) float64 {
		return math.Sqrt(300*300 + 29*29 + w*w - 2*300*29*math.Cos(67.5*math.Pi/180))
	}
	ratio := func(left, right float64) float64 { return right / length(right) * length(left) / left }
	for _, line := range []string{
		"which way round does an offset rim go 36.3/22.5 offset rim 2.5 mm",
		"which way round 36.3/22.5 offset rim 2.5 mm left",
		"which way round 36.3/22.5 offset rim 2.5 mm right",
	} {
		r := asked(t, line)
		assert.InDelta(t, ratio(33.8, 25), value(t, r, "a.tension.ratio"), 5e-4, line)
		assert.InDelta(t, ratio(38.8, 20), value(t, r, "b.tension.ratio"), 5e-4, line)
		assert.InDelta(t, ratio(36.3, 22.5), value(t, r, "c.tension.ratio"), 5e-4, line)
		assert.Contains(t, strings.ToLower(r.Lead[0]), "spoke holes towards the left", line)
	}
	// The disc side of a front wheel is the one further in: mirrored.
	front := asked(t, "which way round 22.5/36.3 offset rim 2.5 mm front disc")
	assert.InDelta(t, 1/ratio(33.8, 25), value(t, front, "a.tension.ratio"), 5e-4)
	assert.Contains(t, front.Lead[0], "towards the right")
	assert.Contains(t, asked(t, "which way round 30/30 offset rim 2.5 mm").Lead[0], "no difference")
}

// A side that a brake or a chain turns is never radial, whatever the words.
func TestARadialDiscOrDriveSideIsRefusedWithTheCautionFirst(t *testing.T) {
	for line, reason := range map[string]string{
		"radial front with disc ok?":                       "disc side",
		"lacing radial 32h rear":                           "drive side",
		"lacing radial 28h rear disc":                      "disc side",
		"lacing 32h rear disc 0x":                          "both sides",
		`lacing holes:32 cross:"0/3" end:rear brake:disc`:  "disc side",
		`lacing holes:32 cross:"3/0" end:rear brake:disc`:  "drive side",
		`lacing holes:32 cross:"0/3" end:front brake:disc`: "disc side",
	} {
		r := asked(t, line)
		assert.True(t, r.Refused, line)
		assert.True(t, strings.HasPrefix(r.Lead[0], "No: never"), "%s: %s", line, r.Lead)
		assert.Contains(t, r.Lead[0], reason, line)
		assert.False(t, asked(t, r.Actions[0].Line).Mistake, r.Actions[0].Line)
	}
	for _, line := range []string{
		`lacing holes:32 cross:"3/0" end:front brake:disc`,
		`lacing holes:32 cross:0 end:front brake:rim`,
		"radial front with rim brakes",
	} {
		assert.False(t, asked(t, line).Refused, line)
	}
}

// Where end and brake decide whether a radial side may be, they are asked.
func TestOneRadialSideAsksWhatDecides(t *testing.T) {
	r := asked(t, "lacing 32h 3/0")
	require.NotNil(t, r.Ask)
	assert.Equal(t, "end", r.Ask.Option)
	assert.Contains(t, r.Ask.Text, "driven")
	assert.Empty(t, r.Tables)
	for i, refused := range []bool{false, true} { // front, rear
		assert.Equal(t, refused, asked(t, r.Ask.Choices[i].Line).Refused, r.Ask.Choices[i].Line)
	}
	for _, line := range []string{"lacing 32h 0/3 rear", "lacing 32 holes 0/3 front", "lacing 32h 0 left 3 right rear"} {
		r := asked(t, line)
		require.NotNil(t, r.Ask, line)
		assert.Equal(t, "brake", r.Ask.Option, line)
		assert.True(t, asked(t, r.Ask.Choices[0].Line).Refused, "disc")
		rim := asked(t, r.Ask.Choices[1].Line)
		assert.False(t, rim.Refused, "rim brake")
		assert.Contains(t, rim.Lead[0], "if the hub's maker allows", rim.Line)
	}
}

func TestWhatCannotBeLacedIsSaidToBeSo(t *testing.T) {
	for line, says := range map[string]string{
		"lacing 33h":           "don't share out",
		"32 hub 36 rim":        "16 holes a side, the rim wants 18",
		"2:1 lacing 28h":       "don't come in threes",
		"crows foot 32":        "in threes, and 16 don't",
		"lacing 36 hub 33 rim": "odd number a side",
	} {
		r := asked(t, line)
		assert.True(t, r.Refused, line)
		assert.True(t, strings.HasPrefix(r.Lead[0], "No: "), line)
		assert.Contains(t, r.Lead[0], says, line)
	}
	for line, says := range map[string]string{
		"2:1 lacing 24 rim 32 hub": "8 spokes left",
		"2:1 24h rim":              "8 spokes left",
		"crows foot 36":            "6 threes a side",
		"crows foot 24":            "4 threes a side",
		"36 hub 32 rim possible":   "2 hub holes a side stay empty",
	} {
		r := asked(t, line)
		assert.False(t, r.Refused, line)
		assert.Contains(t, r.Lead[0], says, line)
	}
	for _, line := range []string{"lacing 32 hub 28 rim", "lacing 40 hub 36 rim", "lacing 36 hub 28 rim", "can i lace a 32 hole hub to a 28 hole rim"} {
		assert.False(t, asked(t, line).Refused, line)
	}
	over := asked(t, "lacing 32 hub 28 rim 3x")
	require.True(t, over.Refused)
	assert.Contains(t, over.Lead[1], "At most 2")
	assert.False(t, asked(t, over.Actions[0].Line).Refused)
	r := asked(t, "lacing 36 hub 32 rim")
	assert.EqualValues(t, 8, value(t, r, "left.lengths"), "published: eight lengths a side")
}

// The steps of every wheel that can be built begin with the key spoke, and are
// short enough for a phone.
func TestStepsBeginWithTheKeySpokeAndStayShort(t *testing.T) {
	for _, line := range []string{
		`holes:32 cross:3`, `holes:28 cross:3`, `holes:36 cross:4`, `holes:24 cross:2`, `holes:20 cross:1 end:rear brake:disc`,
		`holes:24 pattern:crowsfoot`, `holes:36 pattern:crowsfoot`, `holes:"32/24" pattern:"2:1"`, `holes:"48/36" pattern:"2:1" brake:disc end:rear`,
		`holes:"32/24" pattern:"2:1" end:front brake:disc`, `holes:32 cross:"3/0" end:front brake:disc`,
	} {
		r := asked(t, "lacing show:steps "+line)
		require.False(t, r.Refused || r.Mistake, "%s: %s %s", line, r.Lead, r.Error)
		require.NotEmpty(t, r.Tables, line)
		steps := r.Tables[0].Rows
		assert.Contains(t, steps[0].Cells[1], "Key spoke", line)
		assert.Contains(t, strings.Join(r.Lead, " "), "Key spoke", line)
		for _, s := range steps {
			assert.LessOrEqual(t, len([]rune(s.Cells[1])), 115, "%s: %s", line, s.Cells[1])
		}
	}
}

// As it is taught: pulling spokes first, the hub turned in the rolling
// direction, the others woven over, over, under.
func TestTheUsualWheelIsLacedAsItIsTaught(t *testing.T) {
	text := whole(asked(t, "how do i lace 32h rear 3 cross disc"))
	for _, says := range []string{"right flange, head outside", "beside the valve", "in the rolling direction", "over, over, under", "every second hub hole"} {
		assert.Contains(t, text, says)
	}
	two := whole(asked(t, "how do i lace 28h 2x"))
	assert.Contains(t, two, "each over, under")
	assert.NotContains(t, two, "over, over")
}

func TestABuildCardHoldsWhatIsKnownAndLeavesTheRestBlank(t *testing.T) {
	r := asked(t, "build card erd 602 58/57 36.3/22.5 32h 3x rear disc mark 120 kgf 2.0/1.8")
	text := whole(r)
	for _, says := range []string{"ERD 602 mm", "120 kgf", "58/57 mm", "36.3/22.5 mm", "3 crossings", "2.0/1.8/2.0 mm", "built by, on"} {
		assert.Contains(t, text, says)
	}
	same := asked(t, "spokes erd 602 58/57 36.3/22.5 32h 3x rear disc")
	for _, side := range sideNames {
		assert.InDelta(t, value(t, same, side+".length"), value(t, r, side+".length"), 1e-12, "the lengths are those of spokes")
	}
	bare := asked(t, "build card")
	assert.Contains(t, whole(bare), blank)
	for _, v := range bare.Values {
		assert.NotContains(t, v.Name, "length", "no length of what was not measured")
	}
}

func TestAnswersThatLeadToWorkOnAWheelCarryTheirCautions(t *testing.T) {
	for _, line := range []string{"lacing 32h 3x", "lacing 28h", "how do i lace 32h rear 3 cross disc", "radial front with disc ok?", "2:1 lacing 24 rim 32 hub", "crows foot 36", "36 hub 32 rim possible", "which way round does an offset rim go", "key spoke", "build card"} {
		ids := ""
		for _, c := range asked(t, line).Cautions {
			ids += c.ID + " "
		}
		assert.Contains(t, ids, "rim-mark", line)
		assert.Contains(t, ids, "wheel-back-in", line)
	}
}
