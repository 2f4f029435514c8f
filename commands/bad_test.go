package commands

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"spokeword/commands/reply"
)

// bad is a line that can't be answered as it stands.
type bad struct {
	line  string
	found string // what was found, as the answer must name it
	want  string // what was wanted
	asks  string // the option asked for; empty for a mistake with an example
	why   string
}

var badLines = []bad{
	{"pressure 13 stonez 29x2.4", "stonez", "st", "", "a unit nobody knows"},
	{"pressure 80kg 29x2.4 24 pis", "pis", "psi", "", "a pressure's unit mistyped"},
	{`pressure rider:"80 stonez" tyre:29x2.4`, "80 stonez", "kg", "", "the same in a form"},
	{"pressure rider:abc tyre:29x2.4", "abc", "a number", "", "no number"},
	{`fit tyre:29x2.4 rim:"30 psi"`, "30 psi", "length", "", "a unit of another kind"},
	{"convert 1.6 bar in kg", "1.6 bar", "same kind", "", "kinds that don't convert"},
	{"pressure 29x2.4", "", "How heavy", "rider", "the weight is missing"},
	{"pressure 80kg", "", "Which tyre", "tyre", "the tyre is missing"},
	{"32h 3x 58/58 36/21 spokes", "", "ERD", "erd", "no length without the ERD"},
	{"lacing", "", "How many spoke holes", "holes", "no holes named"},
	{"lacing 2:1", "", "How many spoke holes", "holes", "a pattern without holes"},
	{"lacing 7h", "7 holes", "12 to 72", "", "too few holes for a wheel"},
	{"lacing 100h 3x", "100 holes", "12 to 72", "", "too many"},
	{"lacing 32h 12x", "12", "0 to 9", "", "more crossings than there can be"},
	{"which way round does the rim go shift 0", "rim offset 0 mm", "off its middle", "", "an offset rim without an offset"},
	{"lacing which way round does an offset rim go 36/32h", "36/32", "alike", "", "counts that differ"},
	{"tyres at 30 bar ok", "30 bar", "30 psi", "pressure", "the slip of bar for psi"},
	{"pressure 80kg 29x2.4 at 30 bar", "30 bar", "30 psi", "pressure", "the same with all else known"},
	{"80kg 26x4.8 at 4", "4", "psi", "pressure", "a bare number on a fat tyre"},
	{"26x1 3/8", "590", "five-digit mark", "tyre", "a fraction that names two seats"},
	{"fit 23-622 on 30mm", "23-622 on 30 mm", "37.5 mm to 75 mm", "", "a rim wider than the tyre"},
	{"pressure 80kg 25-622 30mm rim", "25-622", "37.5 mm to 75 mm", "", "no pressure for what does not fit"},
	{"pressure 70kg 28-622 25mm rim hookless", "28-622", "30 mm", "", "nor where the hookless rule forbids it"},
	{"rear wheel erd 600 58/58 21/36 32h 3x", "Swapped?", "left flange sits further out", "offset", "offsets of a rear wheel swapped"},
	{"erd 600 58/58 36/21 32h 4x", "4 crossings", "at most 3", "", "a ninth of the holes is the most"},
	{"erd 600 58/58 36/21 20h 3x", "3 crossings", "at most 2", "", "the same with few holes"},
	{"erd 600 58/58 36/21 32h 0x rear disc", "adial", "crossed spokes", "", "radial carries no torque"},
	{"pressure 80kg 29x2.4 30mm hookless 80 psi", "80 psi", "72.5 psi", "", "above what any hookless rim may see"},
	{"pressure 70kg 30-622 25mm hookless 5.2 bar", "5.20 bar", "4.99 bar", "", "5 bar rounds down"},
	{"hookless rim 6 bar ok?", "6.00 bar", "4.99 bar", "", "the same of a tyre not named"},
	{"fit 30-622 on 23mm hookless at 6 bar", "6 bar", "4.99 bar", "", "the same asked of the fit"},
	{"erd 600 58/58 36/21 7h 3x", "7 spokes", "12 to 72", "", "7 spokes"},
	{"7 spokes", "7 spokes", "12 to 72", "", "before anything else is asked"},
	{"spokes erd -600 58/58 36/21 32h 3x", "-600", "150 mm", "", "a negative length"},
	{`spokes erd:"600 mm" circle:"-58 mm" offset:"36/21" holes:32 cross:3`, "-58", "24 mm", "", "another"},
	{"pressure 80kg 29x2.4 30mm tyre max 30 psi 35 psi", "35 psi", "30 psi (2.06 bar)", "", "above the tyre's mark"},
	{"pressure 80kg 29x2.4 30mm rim max 28 psi 35 psi", "35 psi", "28 psi (1.93 bar)", "", "above the rim's mark"},
	{"pressure 80kg 29x2.4 30mm tyre max 24 psi", "25.1 psi", "24 psi (1.65 bar)", "", "the start itself lies above the mark"},
	{"pressure 80kg 29x2.4 30mm at 45 psi", "45 psi", "36.2 psi", "tyremax", "far above, mark unknown"},
	{"hookless 30 2.25 45psi ok??", "45 psi", "rim say", "rimmax", "no yes before the rim's mark is known"},
	{"pressure 80kg cargo 20x2.15 60kg rear", "", "maximum pressure", "tyremax", "no soft number for a cargo bike"},
	{"22 psi set at 20c riding at -300c", "-300 °C", "-60 °C to 120 °C", "", "below absolute zero"},
	{`air pressure:"22 psi" ridetemp:"-300 °C"`, "-300 °C", "-60 °C to 120 °C", "", "the same in a form"},
	{"22psi at 20000 m", "20000 m", "-500 m to 11000 m", "", "higher than the model"},
	{`air pressure:"22 psi" rideheight:"40000 ft"`, "40000 ft", "36089.24 ft", "", "the same in feet"},
	{"22 psi set at 20 riding at 40", "40", "°C or °F", "ridetemp", "a temperature of either scale"},
	{"22 psi set at 70c riding at 5c", "70 °C", "70 °F", "settemp", "the wrong scale where it is set"},
	{"air 22 psi riding at 60c", "60 °C", "60 °F", "ridetemp", "the wrong scale where it is ridden"},
	{"air 30 bar set at 20c riding at -5c", "30 bar", "30 psi", "pressure", "bar for psi in the cold"},
	{"air 22 psi", "", "How cold or warm", "ridetemp", "no place named"},
	{"air 22 psi set at 20c", "", "How cold or warm", "ridetemp", "the other temperature is missing"},
	{"air 22 psi set at 1600 m", "", "At which height", "rideheight", "the other height is missing"},
	{"set at 20c riding at -5c", "", "Which pressure", "pressure", "no pressure named"},
	{"air 2 psi set at 20c riding at -30c", "-0.", "leaves air in it", "", "nothing left in the cold"},
	{"air 22 psi in a hot car rim max 24 psi", "28.3 psi", "24 psi (1.65 bar)", "", "above the rim's mark in the heat"},
	{"air to have 30 psi set at 40f riding at -20f tyre max 32 psi", "36.1 psi", "32 psi", "", "what was to be set is above the mark"},
	{"freehub 36 points 0/52", "0", "10 to 80", "", "a ring without teeth"},
	{"36 points 32/0", "0", "7 to 80", "", "a cog without teeth"},
	{"36 points 0t ring 51 cog", "0", "10 to 80", "", "a ring of no teeth, in words"},
	{"freehub points:36 cog:0", "0", "7 to 80", "", "the same in a form"},
	{"freehub 36 points 32.5/52", "32.5", "whole number", "", "half a tooth"},
	{"6 pawls 33.5t ring", "33.5", "whole number", "", "half a tooth of the ratchet"},
	{"36.5 points", "36.5", "whole number", "", "half a point"},
	{"freehub 2000 points", "2000", "4 to 1500", "", "more points than are made"},
	{"freehub 0 points 32/52", "0", "4 to 1500", "", "no points"},
	{"18 24 36 54 72 points 32/51", "5", "at most 4", "", "too many to compare"},
	{"36 points crank 300 mm", "300 mm", "70 mm to 230 mm", "", "a crank too long"},
	{"6 pawls 33 tooth ratchet 4 groups", "4", "divides 6 pawls", "", "groups of unlike size"},
	{"0t ring 26x2.1 to 29x2.4", "0", "10 to 80", "", "a change of wheels with a ring without teeth"},
	{"gearing 32.5t ring 26x2.1 to 29x2.4", "32.5", "whole number", "", "a change of wheels with half a tooth"},
	{"gearing 29x2.4 32/0", "0", "7 to 80", "", "a gear without a cog's teeth"},
	{"gearing 29x2.4 mullet wheelbase 200", "200", "600 mm to 2500 mm", "", "a wheelbase of 200 mm"},
	{"gearing 29x2.4 mullet chainstay 100 mm", "100 mm", "250 mm to 1000 mm", "", "a chainstay of 100 mm"},
	{"plan", "", "What is ridden", "riding", "a plan for nothing"},
	{"plan xc trail 29 70 kg", "", "which riding first", "riding", "two ridings in one plan"},
	{"plan trail 29", "", "How heavy", "rider", "a plan without a weight"},
	{"plan trail 29 400 kg", "400 kg", "10 kg to 250 kg", "", "a rider of 400 kg"},
	{"plan trail 29 249 kg", "", "110 kg", "", "more on a wheel than the model holds for"},
	{"plan trail 29x2.4 rim 70 mm 80 kg", "70 mm", "1.25 to 2.5 times", "", "a rim far too wide"},
	{"plan child 28 kg 24", "24", "24x2.0", "wheels", "a wheel size of several diameters"},
	{"plan child 28 kg", "", "24x2.0", "wheels", "a child's bike without a size"},
	{"plan trail 29 115 kg tyre max 1.8 bar", "1.80 bar", "marked for more", "", "more weight than the tyre's mark carries"},
	{"plan trail 29 80 kg 32/0", "0", "7 to 80", "", "a gear without a cog's teeth"},
	{"gearing 29x2.4 to 29x2.4", "same tyre", "instead", "now", "nothing changes"},
	{"gearing was 29x2.4", "", "instead", "now", "no tyre after"},
	{"gearing now 27.5x2.8", "", "on it now", "was", "no tyre before"},
	{"gearing", "", "Which wheels or tyres change", "now", "nothing known of gears"},
	{"gearing circumference 26x1 3/8", "26x1 3/8", "five-digit mark", "tyre", "a mark of several diameters"},
	{`gearing was:"26x1 3/8" now:29x2.4`, "26x1 3/8", "five-digit mark", "was", "the same before a change"},
	{"5/0 in to mm", "5/0 in", "5/8 in", "", "an inch over nought"},
	{"freehub", "", "count the clicks", "points", "nothing known"},
	{"freehub 6 pawls", "", "How many teeth", "teeth", "pawls alone"},
	{"freehub teeth:33", "33 points", "How many pawls", "pawls", "teeth alone"},
	{"6 pawl 33t ring", "33 points", "In how many groups", "phases", "groups unknown"},
	{"", "", "question", "", "an empty line"},
	{"   \t ", "", "question", "", "blanks"},
	{"😀🚵🔥", "", "", "", "emoji only"},
	{"\x01\x02\x03", "", "", "", "control characters only"},
	{strings.Repeat("lorem 12 ipsum ", 700), "10", "2000", "", "10 kB of noise"},
	{strings.Repeat("9", 10240), "10", "2000", "", "10 kB of one number"},
	{"why", "no answer yet", "a question first", "", "nothing to explain"},
}

// TestBadInput holds that what can't be answered says what was found, what was
// wanted and a line that works, and that this line does work.
func TestBadInput(t *testing.T) {
	for _, x := range badLines {
		name := x.why
		t.Run(name, func(t *testing.T) {
			r := asked(t, x.line)
			text := strings.Join(append([]string{r.Error, askText(r)}, r.Lead...), "\n")
			for _, row := range r.Tables {
				for _, c := range row.Rows {
					text += "\n" + strings.Join(c.Cells, " ")
				}
			}
			assert.Contains(t, text, x.found, "what was found")
			assert.Contains(t, text, x.want, "what was wanted")
			assert.False(t, r.Fault, text)
			if x.asks != "" {
				require.NotNil(t, r.Ask, "want a question about %s, got %q", x.asks, text)
				assert.Equal(t, x.asks, r.Ask.Option)
				for _, c := range r.Ask.Choices {
					assert.False(t, asked(t, c.Line).Mistake, "choice %s", c.Line)
				}
				return
			}
			require.True(t, r.Mistake, "want a mistake, got %q", text)
			require.NotEmpty(t, r.Example, "a line that works")
			works := asked(t, r.Example)
			assert.False(t, works.Mistake || works.Ask != nil, "example %q is answered %q %q", r.Example, works.Error, works.Lead)
		})
	}
}

func askText(r reply.Reply) string {
	if r.Ask == nil {
		return ""
	}
	return r.Ask.Text
}

// TestNothingIsComputedFromWhatCannotBe holds that a mistake gives no figure
// that could be used; the start beside a wish above the mark is one that may.
func TestNothingIsComputedFromWhatCannotBe(t *testing.T) {
	for _, x := range badLines {
		r := asked(t, x.line)
		for _, v := range r.Values {
			for _, figure := range []string{"start", "low", "high", "length"} {
				if strings.HasSuffix(v.Name, "."+figure) && !strings.Contains(x.why, "above the") && !strings.Contains(x.why, "far above") && x.asks != "offset" {
					t.Errorf("%s: %q is answered with %s", x.why, x.line, v.Name)
				}
			}
		}
	}
}

// TestControlCharactersChangeNothing: what acts on a terminal is not read.
func TestControlCharactersChangeNothing(t *testing.T) {
	plain := asked(t, "80kg 29x2.4 30mm psi")
	dirty := asked(t, "80kg\x00 \x1b[31m29x2.4\x1b[0m 30mm\x07 psi")
	assert.Equal(t, plain.Values, dirty.Values)
	assert.NotContains(t, whole(dirty), "\x1b")
	assert.NotContains(t, whole(dirty), "\x07")
}
