package commands

import (
	"math"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"

	"spokeword/commands/reply"
)

// expected is a figure that an answer must hold.
type expected struct {
	line   string
	name   string
	want   float64
	within float64
	in     func(float64) float64 // from SI to what want is written in
	source string
}

func plain(v float64) float64 { return v }

func inDegrees(v float64) float64 { return v * 180 / math.Pi }

// TestAnswersHoldTheirFigures asks as people type. No expected value comes
// from the program: lengths are worked by hand from the spoke formula
// √(R² + r² + w² − 2Rr cos α) − d/2, sections from the arc over the rim, and
// pressures must lie in bands that others published.
func TestAnswersHoldTheirFigures(t *testing.T) {
	const (
		formula  = "worked by hand from the spoke formula"
		straight = "worked by hand from √((√(R²−b²) − ahead)² + w²)"
		statics  = "worked by hand from n sin β = w/L on each side"
		arc      = "worked by hand: casing from the measuring rim, arc over the rim"
		trail    = "published band for riders of 70–85 kg on 2.3–2.5 in"
		gas      = "worked by hand: (gauge + air) × T2/T1 − air, air after US Standard Atmosphere 1976"
		wheels   = "worked by hand from seat + 2 × label"
		turning  = "worked by hand: Δbb = ΔR_rear (1 − x/WB) + ΔR_front x/WB, Δangle = (ΔR_front − ΔR_rear)/WB"
		drive    = "worked by hand: 360°/points × cog/ring, times the crank"
		child    = "published figure for a child of 28 kg on 24x2.0 with tubes"
	)
	for _, x := range []expected{
		{"spokes erd 600 f58/58 36/21 32h 3x", "left.length", 291.1, 0.05, millimetres, formula}, // 600 mm, not degrees
		{"erd 600 pcd 58/58 ctf 36/21 32h 3x lengths?", "left.length", 291.1, 0.05, millimetres, formula},
		{"erd 600 pcd 58/58 ctf 36/21 32h 3x lengths?", "right.length", 289.6, 0.05, millimetres, formula},
		{"erd 600 pcd 58/58 ctf 36/21 32h 3x lengths?", "tension.ratio", 0.59, 0.005, plain, statics},
		{"erd600 58/58 36/21 32h 3x", "left.length", 291.1, 0.05, millimetres, formula},
		{"front disc 24 left 34 right erd600 58 3x32 same spokes both sides?", "left.length", 289.8, 0.05, millimetres, formula},
		{"front disc 24 left 34 right erd600 58 3x32 same spokes both sides?", "right.length", 290.8, 0.05, millimetres, formula},
		{"front disc 24/34 erd 600 58 32h 3x shift 2.5 mm right", "left.length", 290.0, 0.05, millimetres, formula},
		{"front disc 24/34 erd 600 58 32h 3x shift 2.5 mm right", "right.length", 290.5, 0.05, millimetres, formula},
		{"front disc 24/34 erd 600 58 32h 3x shift 2.5 mm right", "tension.ratio", 1.19, 0.005, plain, statics},
		{"front disc 24/34 erd 600 58 32h 3x shift 2.5 mm left", "tension.ratio", 1.69, 0.005, plain, statics},
		{"rear 36/21 erd 600 58 32h 3x shift 2.5 mm left", "tension.ratio", 0.704, 0.002, plain, statics},
		{"rear 36/21 erd 600 58 32h 3x shift 2.5 mm right", "tension.ratio", 0.484, 0.002, plain, statics},
		{"erd 600 58/58 36/21 32h 2x", "left.length", 281.25, 0.05, millimetres, formula},
		{"erd 600 58/58 36/21 32h 3x hole 3.2", "left.length", 290.77, 0.05, millimetres, formula + ", half of 3.2 off"},
		{"erd 600 58/58 36/21 28h rear 2x or 3x", "a.left.length", 283.8, 0.05, millimetres, formula},
		{"erd 600 58/58 36/21 28h rear 2x or 3x", "a.right.length", 282.3, 0.05, millimetres, formula},
		{"erd 600 58/58 36/21 28h rear 2x or 3x", "b.left.length", 295.8, 0.05, millimetres, formula},
		{"erd 600 58/58 36/21 28h rear 2x or 3x", "b.right.length", 294.4, 0.05, millimetres, formula},
		{"erd 600 58/58 36/21 28h rear 2x or 3x", "a.tension.ratio", 0.59, 0.005, plain, statics},
		{"erd 600 58/58 36/21 28h rear 2x or 3x", "b.tension.ratio", 0.59, 0.005, plain, statics},
		{"new hub pcd 45 old 58 erd 600 offsets 36/21 32h 3x", "left.length", 293.0, 0.05, millimetres, formula},
		{"new hub pcd 45 old 58 erd 600 offsets 36/21 32h 3x", "right.length", 291.6, 0.05, millimetres, formula},
		{"new hub pcd 45 old 58 erd 600 offsets 36/21 32h 3x", "left.short", 2.0, 0.1, millimetres, formula},
		{`spokes erd:"604 mm" circle:58 offset:"36/21" holes:32 cross:3 was:"600 mm"`, "left.short", 2.0, 0.05, millimetres, "0.50 mm of spoke for 1 mm of ERD"},
		{"erd 600 tangent 21 ahead -4 24/34 32h", "left.length", 304.2, 0.05, millimetres, straight},
		{"erd 600 tangent 21 ahead -4 24/34 32h", "right.length", 305.2, 0.05, millimetres, straight},
		{`spokes pattern:"2:1" holes:"32/24" erd:"600 mm" circle:"58 mm" offset:"36/21" cross:3`, "a.right.length", 287.8, 0.05, millimetres, formula + ", 2 5/6 crossings"},
		{`spokes pattern:"2:1" holes:"32/24" erd:"600 mm" circle:"58 mm" offset:"36/21" cross:3`, "b.right.length", 291.4, 0.05, millimetres, formula + ", 3 1/6 crossings"},
		{`spokes pattern:"2:1" holes:"32/24" erd:"600 mm" circle:"58 mm" offset:"36/21" cross:3`, "a.left.length", 272.1, 0.05, millimetres, formula + ", radial"},
		{`spokes pattern:"2:1" holes:"32/24" erd:"600 mm" circle:"58 mm" offset:"36/21" cross:3`, "a.tension.ratio", 1.10, 0.015, plain, statics},
		{"hub motor 36h 244 flange erd 540 offsets 24/24 flange hole 3.2 1x or 3x", "a.left.length", 161, 0.5, millimetres, formula},
		{"calc says 291.3 n 289.8 shop only has evens wat do i order", "left.short", -0.7, 0.01, millimetres, "291.3 − 292"},
		{"calc says 291.3 n 289.8 shop only has evens wat do i order", "right.short", -0.2, 0.01, millimetres, "289.8 − 290"},
		{"28h rear 2x or 3x", "a.left.length", 283.8, 0.05, millimetres, formula},
		{"28h rear 2x or 3x", "b.right.length", 294.4, 0.05, millimetres, formula},
		{"2:1 lace 16/8 on 32h hub 24h rim lengths??", "a.left.length", 272.1, 0.05, millimetres, formula + ", radial"},
		{"2:1 lace 16/8 on 32h hub 24h rim lengths??", "a.right.length", 287.8, 0.05, millimetres, formula + ", 2 5/6 crossings"},
		{"2:1 lace 16/8 on 32h hub 24h rim lengths??", "b.right.length", 291.4, 0.05, millimetres, formula + ", 3 1/6 crossings"},
		{"2:1 lace 16/8 on 32h hub 24h rim lengths??", "a.tension.ratio", 1.10, 0.015, plain, statics},
		{"new hub pcd 45 old 58 same spokes ok??", "left.length", 293.0, 0.05, millimetres, formula},
		{"new hub pcd 45 old 58 same spokes ok??", "right.length", 291.6, 0.05, millimetres, formula},
		{"new hub pcd 45 old 58 same spokes ok??", "right.short", 2.0, 0.1, millimetres, formula},
		{"hub motor 36h 244 flange erd 540 1x or 3x lenghts", "a.left.length", 161.3, 0.05, millimetres, formula + ", hole 2.6"},
		{"erd 600 circles 58/57 offsets 36,1/20,9 28h 2x", "left.length", 283.8, 0.05, millimetres, formula},
		{"erd 600 circles 58/57 offsets 36,1/20,9 28h 2x", "right.length", 282.6, 0.05, millimetres, formula},

		{"2.5 on 25mm internal ok?", "width", 61.4, 0.2, millimetres, arc},
		{"2.5 on 25mm internal ok?", "ratio", 2.45, 0.01, plain, arc},
		{"700x40 on my 30mm mtb rims for commuting?", "ratio", 1.43, 0.01, plain, arc},
		{"56-622 on 622x25c rim?", "ratio", 2.24, 0.05, plain, "56/25 by the label, mounted a little less"},
		{"studded 2.25 on 30i frame gap 68mm", "clearance", 4, 0.3, millimetres, "(68 − 60)/2 with studs at 60 mm"},
		{"frame gap 70 tyre measured 61", "clearance", 4.5, 0.01, millimetres, "(70 − 61)/2"},
		{"rim is 34 outside whats internal tyre is on", "inner", 29, 0.01, millimetres, "published: outside less about 5 mm"},
		{"40mm rims smallest tyre", "narrowest", 76, 0.5, millimetres, "published: 3.0 in matches 40 mm"},
		{"30i rim wat tyre widths", "narrowest", 58.4, 0.5, millimetres, "published: 2.3 in at least"},
		{"30i rim wat tyre widths", "widest", 66, 0.5, millimetres, "published: 2.6 in at most"},

		{"80kg 29 2.4 30i tubless what psi to start f/r", "front.start", 23, 1, psi, trail},
		{"80kg 29 2.4 30i tubless what psi to start f/r", "rear.start", 25, 2, psi, trail},
		{"13st7 29 2.4 psi", "front.start", 24, 1.5, psi, trail + ", at its heavy end"},
		{"kid 28kg 24x2.0 w tubes pressure? pump guage starts at 20", "front.start", 19, 1, psi, child},
		{"kid 28kg 24x2.0 w tubes pressure? pump guage starts at 20", "rear.start", 19, 1, psi, child},
		{"fatbike 4.6 165lb groomed but gettin soft psi?", "front.start", 6.1, 1, psi, "published rule for fat tyres on soft snow, pounds/25 − 0.5"},
		{"fatbike 4.6 165lb groomed but gettin soft psi?", "rear.start", 7.1, 1, psi, "published rule for fat tyres on soft snow, pounds/25 + 0.5"},
		{"2.6 front on 35 rim 2.35 rear on 30 rim 80kg psi each", "front.start", 19.5, 1.5, psi, "common practice, no source: 19–20"},
		{"2.6 front on 35 rim 2.35 rear on 30 rim 80kg psi each", "rear.start", 24.5, 1.5, psi, "common practice, no source: 24–25"},

		{"22psi in house 20c gonna be -5 outside", "front.read", 18.9, 0.05, psi, gas},
		{"22 psi set at 20c riding at 5c", "rear.read", 20.1, 0.05, psi, gas},
		{"22 psi set at 20c riding at 0c", "rear.read", 19.5, 0.05, psi, gas},
		{"set in the kitchen at 20c to have 22 psi riding at -5c", "front.set", 25.4, 0.05, psi, gas},
		{"24 psi @70f riding at 40f", "front.read", 21.8, 0.05, psi, gas},
		{"24psi 70f→40f", "front.read", 21.8, 0.05, psi, gas},
		{"to have 24 psi set at 70f riding at 40f", "front.set", 26.3, 0.05, psi, gas},
		{"22psi sea level drive to 3000m?", "front.read", 26.5, 0.05, psi, gas},
		{"22psi sea level drive to 1500m?", "front.read", 24.4, 0.05, psi, gas},
		{"20 psi from sea level at 11000ft", "front.read", 25.0, 0.05, psi, gas},
		{"24psi at beach 25c riding 2000m 5c", "front.read", 24.6, 0.05, psi, gas},
		{"flying tmrw 25psi let it out?", "rear.read", 28.8, 0.05, psi, gas},
		{"workshop 20c to have 22/25 psi at -2c", "front.set", 25.0, 0.05, psi, gas},
		{"workshop 20c to have 22/25 psi at -2c", "rear.set", 28.2, 0.05, psi, gas},
		{"air 20 psi set at 70f riding at 50f", "front.read", 18.7, 0.1, psi, "published gas-law example"},
		{"air 20 psi set at 70f riding at 130f", "front.read", 23.9, 0.1, psi, "published gas-law example"},

		{"26er 32t what ring on 29", "ring", 28.6, 0.05, plain, wheels},
		{"26er 32t what ring on 29", "growth", 0.1176, 0.0001, plain, wheels + ": 743.92/665.68"},
		{"26er 32t what ring on 29", "a.development", 1.86, 0.005, plain, wheels + ", 32/36"},
		{"26er 32t what ring on 29", "b.development", 2.08, 0.005, plain, wheels + ", 32/36"},
		{"26er 32t what ring on 29", "c.development", 1.82, 0.005, plain, wheels + ", 28/36"},
		{"26er 32t what ring on 29", "d.development", 1.95, 0.005, plain, wheels + ", 30/36"},
		{"27.5 to 29 do i need smaller ring", "ring", 30.4, 0.05, plain, wheels},
		{"27.5 to 29 do i need smaller ring", "growth", 0.054, 0.0005, plain, wheels},
		{"mullet my 29er how much lower bb", "bb.delta", -12.2, 0.05, millimetres, turning},
		{"mullet my 29er how much lower bb", "angle.delta", 0.89, 0.005, inDegrees, turning},
		{"mullet my 29er how much lower bb", "rear.radius.delta", -19, 0.01, millimetres, wheels},
		{"27.5x2.8 in my 29 frame pedal strikes?", "bb.delta", -8.8, 0.05, millimetres, turning},
		{"27.5x2.8 in my 29 frame pedal strikes?", "rear.bb.delta", -5.7, 0.05, millimetres, turning},
		{"27.5x2.8 in my 29 frame pedal strikes?", "rear.angle.delta", 0.42, 0.005, inDegrees, turning},
		{"27.5x2.8 in my 29 frame pedal strikes?", "rear.outside", 726.2, 0.05, millimetres, wheels},
		{"2.6 front does it slacken the bike", "bb.delta", 1.8, 0.05, millimetres, turning},
		{"2.6 front does it slacken the bike", "angle.delta", 0.24, 0.005, inDegrees, turning},
		{"2.6 front does it slacken the bike", "front.radius.delta", 5.1, 0.05, millimetres, wheels},
		{"circumfrence for 29x2.3 in mm", "circumference", 2321, 0.5, millimetres, wheels + ", × π"},
		{"circumfrence for 29x2.3 in mm", "circumference", 2326, 9.4, millimetres, "published table of circumferences; π × the 3 mm of ISO 5775"},
		{"circumfrence for 29x2.3 in mm", "rolling", 2298, 5, millimetres, "second program, 11 mm lowered"},
		{"circumference 29x2.3 vs 29x2.4", "a.circumference", 2321, 0.5, millimetres, wheels + ", × π"},
		{"circumference 29x2.3 vs 29x2.4", "b.circumference", 2337, 0.5, millimetres, wheels + ", × π"},
		{"29x2.4 32/36 development", "development", 2.08, 0.005, plain, wheels},
		{"29x2.6 front head angle 64 wheelbase 1220", "headangle", 63.76, 0.005, inDegrees, turning},
		{"36t 32/52 170", "hub.angle", 10, 0.001, inDegrees, drive},
		{"36t 32/52 170", "crank.angle", 16.25, 0.001, inDegrees, drive},
		{"36t 32/52 170", "pedal", 48.22, 0.01, millimetres, drive},
		{"36t 32/52 170", "pedal.mean", 24.11, 0.01, millimetres, drive},
		{"120 points 32/51", "hub.angle", 3, 0.001, inDegrees, "published: 120 points are 3° at the hub"},
		{"120 points 32/51", "crank.angle", 4.78, 0.005, inDegrees, drive},
		{"18 vs 54 vs 102 poe worth it?", "a.crank.angle", 31.9, 0.05, inDegrees, drive + ", 32/51"},
		{"18 vs 54 vs 102 poe worth it?", "c.crank.middle", 4.0, 0.05, inDegrees, drive + ", 32/36"},
		{"18 vs 54 vs 102 poe worth it?", "a.pedal.least", 18.5, 0.05, millimetres, drive + ", 32/10"},
		{"18 vs 54 vs 102 poe worth it?", "b.pedal.least", 6.2, 0.05, millimetres, drive + ", 32/10"},
		{"18 vs 54 vs 102 poe worth it?", "c.pedal.least", 3.3, 0.05, millimetres, drive + ", 32/10"},
		{"freehub 18 54 102 points 32/50", "b.crank.angle", 10.4, 0.05, inDegrees, drive},
		{"freehub 18 54 102 points 32/36", "c.crank.angle", 4.0, 0.05, inDegrees, drive},
		{"freehub 18 54 102 points 32/10", "a.pedal", 18.5, 0.05, millimetres, drive},
		{"freehub 18 54 102 points 32/10", "b.pedal", 6.2, 0.05, millimetres, drive},
		{"freehub 18 54 102 points 32/10", "c.pedal", 3.3, 0.05, millimetres, drive},
		{"24poe hub 32x52", "crank.angle", 24.4, 0.05, inDegrees, drive},
		{"24poe hub 32x52", "pedal", 72.3, 0.05, millimetres, drive},
		{"6 pawl 33t ring what poe", "a.points", 33, 0, plain, "33 teeth, all pawls at once"},
		{"6 pawl 33t ring what poe", "b.points", 66, 0, plain, "33 teeth × 2 groups"},
		{"6 pawl 33t ring what poe", "a.hub.angle", 10.9, 0.05, inDegrees, "360°/33"},
		{"6 pawl 33t ring what poe", "b.hub.angle", 5.45, 0.01, inDegrees, "360°/66"},

		{"plan trail 29 80 kg", "a.front.start", 23, 1, psi, trail},
		{"plan trail 29 80 kg", "a.rear.start", 25, 2, psi, trail},
		{"plan trail 29 80 kg", "b.tension.ratio", 0.59, 0.005, plain, statics},
		{"plan trail 29 80 kg", "b.cross", 3, 0, plain, "published: a ninth of the spokes, 32/9"},
		{"plan trail 29 80 kg", "a.cross", 3, 0, plain, "published: a ninth of the spokes, 28/9"},
		{"plan xc 29 68 kg 36 points 32/52", "crank.angle", 16.25, 0.001, inDegrees, drive},
		{"plan xc 29 68 kg 36 points 32/52", "pedal", 48.22, 0.01, millimetres, drive},
		{"plan trail 29x2.4 30 mm rim 120 points 32/51 80 kg", "crank.angle", 4.78, 0.005, inDegrees, drive},
		{"plan trail 29x2.4 30 mm rim 120 points 32/51 80 kg", "b.front.width", 61.1, 0.2, millimetres, arc},

		{"wots 61-622 in inch", "seat", 622, 0.01, millimetres, "ISO 5775-1"},
		{"wots 61-622 in inch", "width", 61, 0.01, millimetres, "ISO 5775-1"},
		{"1.6 bar in psi", "value", 23.2060, 0.0001, psi, "160000 Pa / 6894.757 Pa"},
		{"13st7 in kg", "value", 85.7, 0.05, plain, "189 lb × 0.45359237 kg"},
	} {
		t.Run(x.line+" "+x.name, func(t *testing.T) {
			r := asked(t, x.line)
			assert.InDelta(t, x.want, x.in(value(t, r, x.name)), x.within, "%s: %s", x.name, x.source)
		})
	}
}

// TestAnswersSayWhatTheyMust holds words and figures that an answer must not
// leave out.
func TestAnswersSayWhatTheyMust(t *testing.T) {
	for _, x := range []struct {
		line string
		says []string
		why  string
	}{
		{"80kg 29 2.4 30i tubless what psi to start f/r", []string{"psi", "bar", "move by 1 psi", "squirm or burp, go up", "harsh or skipping, go down", "22–24 front, 23–27", "22–25", "read both first"}, "start, step, both signs, published bands, marks"},
		{"220lb keep dentin my rear rim 26psi 2.4 light casing how much more", []string{"2 to 3 psi more there first, the front as it is", "28 psi (1.93 bar) or 29 psi", "+2…+3 psi\nrear", "heavier casing or an insert", "61 kg of 117 kg", "52 % rear", "60 %", "Checked against"}, "rear only, and why"},
		{"thick clay mud 2.25 hard or 2.5 soft?", []string{"narrow, harder", "lowers the pressure for roots and off-camber", "clay over firm ground", "6–10 mm of room"}, "both schools, the cases and the room; no number of it is a pressure"},
		{"same 29x2.4 other one rubs wtf", []string{"± 3 mm", "knobs", "bead low", "do not ride on"}, "tolerance, knobs and bead, and not to ride on"},
		{"plain gauge stronger for big lads?", []string{"0.55 mm", "0.68", "spares the bend"}, "stretch of each at 120 kgf"},
		{"spokes for emtb rear 90kg", []string{"32", "2.3/2.0/2.0", "Brass nipples", "stouter bend"}, "count, wire and nipples of an assisted bike"},
		{"22psi in house 20c gonna be -5 outside", []string{"18.9 psi (1.30 bar)", "set 25.4 psi", "19.5", "20.1", "car tyres", "10 °C is worth 1.25 psi", "10 °F 0.7", "out by 1.4", "check again before riding"}, "forward, back, milder, and the rule that is wrong"},
		{"at 11000ft do i run same psi as home", []string{"Set the same number", "feel follows the gauge", "20.0\n25.0", "hold the absolute pressure to count are wrong"}, "feel follows the gauge, and why"},
		{"24psi at beach 25c riding 2000m 5c", []string{"−2.6\n+3.2"}, "both parts"},
		{"22psi sea level drive to 3000m?", []string{"26.5 psi", "1500 m\n24.4", "feels harder up there", "set it at the top, or start lower", "Feel follows the gauge", "1 psi for 1000 ft climbed"}, "top, middle, and the rule that is wrong"},
		{"flying w bike deflate tyres?", []string{"3.8 psi", "25.0\n28.8", "desk decides", "for the rims", "+11.4", "+14.7", "CO2", "2438 m"}, "sum, worst, who decides"},
		{"grp pumps tonight indoors ride at -2 tmrw how much extra", []string{"22.0\n19.2\nset 25.0, +3.0", "25.0\n22.0\nset 28.2, +3.2", "settemp\n20 °C"}, "a table for the group"},
		{"do tyres gain psi while riding", []string{"0.13 psi", "a few °C", "2 psi more in the sun"}, "little; the sun more"},
		{"22 psi in a hot car rim max 24 psi", []string{"No: it would stand at 28.3 psi", "Set no more than 18.3 psi", "reaches 24 psi (1.65 bar) at 36"}, "the rim's limit"},
		{"kid 28kg 24x2.0 w tubes pressure? pump guage starts at 20", []string{"30–50 psi", "written for adults", "thumb", "18–20 psi"}, "sidewall range, hand test, the one source"},
		{"emtb 25kg me 85 29x2.6 front 27.5 2.8 back psi pls", []string{"whole load", "only half", "Which casing is it", "57 kg of 110 kg", "11 kg more, 11 % of the load: +2.4 psi at 22", "Front\n66\n30\n65\n61"}, "load, habit, casing"},
		{"pressure 75kg 29x2.25 mud", []string{"one school", "narrow and harder", "6–10 mm"}, "the disagreement on mud"},
		{"put an insert in the rear only, drop how many psi? 22/25 now", []string{"−2.0 (−3.0…−1.0)", "saves the rim and stops no squirm", "sealant"}, "range, the front unchanged"},
		{"swapped to the thick casing rear feels harsh at 1.65bar", []string{"(−0.21…−0.07)", "no licence to go lower"}, "for the same feel"},
		{"fatbike 4.6 165lb groomed but gettin soft psi?", []string{"½ psi", "packed\n7.8\n8.8", "soft\n6.1\n7.1", "pounds / 20", "pounds / 25", "low-range gauge", "reads 4.4 psi"}, "the published rule beside the model"},
		{"2.8 plus tyres bouncy at 16 but squirmy at 13 help 82kg", []string{"18–22 psi", "16–18", "bounce is too high", "½ psi", "Between the two: try 14.5 psi", "on 25 mm at no pressure"}, "the narrow window"},
		{"2.6 front on 35 rim 2.35 rear on 30 rim 80kg psi each", []string{"Sections, mm", "Front\n66\n35\n67\n62", "Rear\n60\n30\n60\n56"}, "both sections side by side"},
		{"co2 for 2.8 plus", []string{"16.3", "25.3", "holds about 7.9 l", "1 g makes about 1 psi"}, "volume, sizes, the handy rule"},
		{"1L sealant does how many wheels", []string{"8 to 11", "29x2.4\n90–120 ml\n8 to 11\n35 dm²", "27.5x2.6"}, "tyres, by inner surface"},
		{"pump says 30 digital 26 who is right", []string{"+4.0 psi", "Neither is the truth", "note it for this pump", "ends near 30 psi"}, "neither, repeat with the same, a low-range gauge"},
		{"does 1psi even matter lol", []string{"4 % of 24 psi", "14 % of 7 psi", "gauges are further off"}, "relative change, gauges"},
		{"why is rear psi more than frnt", []string{"60 % standing still", "52 %", "more than half on it", "1–3 psi"}, "shares, braking, the usual gap"},
		{"55kg xc 24 spokes ok", []string{"24 to 28", "stiff", "further out than of 32", "on the trail"}, "yes with a stiff rim, and what breaks"},
		{"xc race sunday dry 68kg 2.25 25mm rim faster psi?", []string{"+1…+2 psi", "On rough ground the lower pressure rolls faster", "20–25 psi front and 25–28 rear", "race day"}, "small change, older practice"},
		{"trail crew cargo bike 60kg of tools on back 20x2.15 how hard", []string{"Trail numbers don't hold", "maximum pressure"}, "no soft number"},
		{"hookless 30i rim 2.25 can i put 45 for the road bit", []string{"No yes to 45 psi", "72.5 psi", "lower of the tyre's and the rim's mark", "marked for it"}, "three limits"},
		{"new bike handover no idea of weight 2.4 tl what do we put in", []string{"How heavy", "60 kg", "75 kg", "90 kg"}, "a card, no invention"},
		{"does 1psi even matter lol", []string{"4 % of 24 psi", "14 % of 7 psi"}, "one psi in proportion"},
		{"2.5 on 25mm internal ok?", []string{"Usable", "squirms at low pressure", "2.1–2.4 in"}, "verdict, feel, trade band"},
		{"30i rim wat tyre widths", []string{"2.3–2.6 in", "2.2–2.8 in", "2.15 in", "practice has moved wider"}, "best, works, old rule"},
		{"what width for xc vs trail vs enduro", []string{"XC 2.2–2.4 in on 25–30 mm", "trail 2.35–2.5 in on 28–30 mm", "enduro 2.4–2.6 in on 30–33 mm", "no law"}, "rows, and their standing"},
		{"700x40 on my 30mm mtb rims for commuting?", []string{"Outside", "49 mm", "low maximum pressures", "hookless"}, "verdict, least tyre, pressure"},
		{"my 2.4 is only 58mm with calipers fake?", []string{"Not faulty", "2.28 in", "3 mm", "1–2 mm"}, "tolerance and growth"},
		{"fit my old tyres on hookless rims", []string{"marked or listed", "a tube does not change that", "5 bar", "can't be known from here"}, "what is unknown"},
		{"what does hookless mean", []string{"marked or listed", "5 bar", "A tube does not lift that rule"}, "the term"},
		{"frame max 2.4 can i sneak a 2.5", []string{"Measure the gap", "62.9 mm", "not to be shaved"}, "measure, no shaving"},
		{"erd 600 pcd 58/58 ctf 36/21 32h 3x lengths?", []string{"right carries the cassette", "59 %", "order 291 and 289 mm, of even lengths 292 and 290 mm", "0.9 past", "0.64 at 120 kgf", "half a millimetre short is forgiven on that side"}, "sides, balance, rounding"},
		{"erd 600 58/58 36/21 32h 3x rim mark 120 kgf", []string{"120 kgf", "stretch 0.64"}, "stretch at the rim's own mark"},
		{"front disc 24 left 34 right erd600 58 3x32 same spokes both sides?", []string{"one length of 290 mm does for both", "left side is the tighter", "0.2 mm past", "0.8 mm short"}, "one length, error of each side"},
		{"erd 600 58/58 36/21 28h rear 2x or 3x", []string{"77° about the axle", "83° off radial", "next head", "59 %"}, "three crossings of 28 nearly leave along the flange"},
		{"front disc 24/34 erd 600 58 32h 3x shift 2.5 mm right", []string{"1.19", "1.69", "this way round is the more even"}, "both ways round"},
		{"rim says erd 600 i get 604 which one", []string{"one you measured", "nipples you will use", "0.5 mm of every spoke", "4 mm\n2.0 mm", "slot floor", "empty hole", "610, 612 and 613"}, "which ERD to trust, what it is worth, what the print may mean"},
		{"offset rim front disc wheel flip it or not", []string{"away from the disc", "1.19", "1.69", "290.0 / 290.5 mm\n84 %", "289.6 / 291.1 mm\n59 %", "70 %", "48 %"}, "which way, both ways round"},
		{"spokes 3mm 2 long can i use em with washers or sumthing", []string{"6.6 turns", "Exchange them; else have them cut and rolled; else another rim", "only 0.5 mm each", "never reach tape"}, "turns, options in order, the limit of washers"},
		{"spokes 2mm too short can i use them", []string{"Up to 1 mm", "thread begins deeper", "Washers make it worse", "2 mm\n4.4"}, "limits, options, the wrong way of washers"},
		{"using 16mm nips + washers do i change length", []string{"ERD + 1.0 mm and spoke + 0.5 mm", "only if the thread begins deeper", "Measure ERD with that nipple"}, "the sign for washers; where the thread begins"},
		{"one calc says 291 other 289 wtf", []string{"Type both sets", "0.5–1.5 mm", "offsets left for right\n1.5 mm", "28 for 32 spokes\n4.7 mm", "9.8 mm", "1.3 mm", "rim offset 3 mm", "nipples of another kind"}, "causes in order with what each is worth, and what is asked"},
		{"calc says 291.3 n 289.8 shop only has evens wat do i order", []string{"0.7 mm past the slot floor", "tighter side forgives", "head not filled: no"}, "each choice at the nipple"},
		{"hub motor 36h 244 flange erd 540 offsets 24/24 flange hole 3.2 1x or 3x", []string{"15°", "27°", "10°", "made for the angle"}, "entry at the nipple"},
		{"hub motor 36h 244 flange erd 540 1x or 3x lenghts", []string{"1× is the least bad: 15°", "24° with 2×", "27°", "as the maker says", "no stronger", "flanges taken at 24"}, "the least bad, and why more crossings are not stronger"},
		{"28h rear 2x or 3x", []string{"59 %", "77°", "usual 29 in rear wheel", "tension\n59 kgf\n100 kgf", "measure guide:hub"}, "balance, the next head, the wheel taken"},
		{"2:1 lace 16/8 on 32h hub 24h rim lengths??", []string{"3 − 1/6", "3 + 1/6", "right at 91 %", "32 for 24", "rim bears it"}, "both sixths, balance, holes, the rim"},
		{"new hub pcd 45 old 58 same spokes ok??", []string{"No: the old spokes would be 2.0 mm short", "offset\n+0.12\n+0.07", "bedded in"}, "no, by how much, what matters little"},
		{"erd 600 58/58 36/21 32h 3x washers 0.5 mm every mm", []string{"order 291 and 290 mm", "spares", "washers\n36"}, "lengths in the lead, spares, washers"},
		{"26er 32t what ring on 29", []string{"11.8 % further", "A 28 ring for the 32", "28.6 exactly", "32 was\n1.86", "32 now\n2.08", "28\n1.82", "30\n1.95", "bigger cassette", "26x2.1", "29x2.4"}, "share, rings, metres a turn, sizes taken"},
		{"27.5 to 29 do i need smaller ring", []string{"5.4 %", "harder", "A 30 ring for the 32", "30.4"}, "share and ring"},
		{"mullet my 29er how much lower bb", []string{"12.2 mm lower and 0.89° slacker", "−19.0", "1220 mm", "435 mm", "flip chip", "longer shock", "frame's maker allows", "20 mm for a downhill bike", "sag and length"}, "figures, geometry taken, how to put it back and its limits"},
		{"27.5x2.8 in my 29 frame pedal strikes?", []string{"8.8 mm lower", "rear alone: 5.7 mm lower and 0.42° slacker", "744\n726", "Pedals strike sooner"}, "both wheels and the rear alone"},
		{"2.6 front does it slacken the bike", []string{"1.8 mm higher and 0.24° slacker", "+5.1", "29x2.4"}, "angle, bottom bracket, the tyre taken as before"},
		{"circumfrence for 29x2.3 in mm", []string{"2321 mm unloaded", "2298 mm rolling", "roll-out with you on the bike", "2326", "1 % less"}, "both, and what others say"},
		{"18 vs 54 vs 102 poe worth it?", []string{"in 32/51: 31.9°", "32/50\n31.2° 93\n10.4° 31", "4.0° 11.8", "6.3° 18.5\n2.1° 6.2\n1.1° 3.3", "slow technical climbs, not on the flat", "51 teeth", "Noise, drag"}, "worst at the crank, the gear taken, where it is felt"},
		{"6 pawl 33t ring what poe", []string{"33 points (10.9°) if all pawls work together", "66 points (5.5°) in 2 groups of 3", "In how many groups"}, "both ways, and asked"},
		{"24poe hub for techy climbs too slow?", []string{"32/52\n24.4°\n72", "54\n10.6°\n32 mm", "54 points and more"}, "in the lowest gear; what helps"},
		{"is 650b same as 27.5", []string{"Yes", "584"}, "the same seat"},
		{"cust wants a 26 tyre old bike which 26", []string{"559", "571", "584", "590", "597", "five-digit mark", "decimal"}, "all of them"},
		{"24 inch kids tyre which one", []string{"507", "540", "547", "520"}, "all of them"},
		{"wots 61-622 in inch", []string{"29x2.4"}, "in inches"},
		{"26x1 3/8 tyre on 26x1.4 rim?", []string{"No", "590 or 597", "559"}, "the fraction trap"},
		{"29x2,4 1,6 bar vorne ok?", []string{"29x2.4", "1.6 bar front"}, "decimal comma"},
		{"tyres at 30 bar ok", []string{"30 psi"}, "the slip"},
		{"60ml sealant enough for 29x2.4", []string{"60 ml is little for a new 29x2.4", "to top up it does", "90–120 ml"}, "trade articles: 90 to 120 ml, half to top up"},
		{"120ml sealant enough for 29x2.4", []string{"enough, and not too much"}, "trade articles: 90 to 120 ml"},
		{"30ml sealant enough for 29x2.4", []string{"too little", "even to top up"}, "half of the least dose is 45 ml"},
		{"27.5x2.6 tube in 29x2.4", []string{"stretched by about 7 %"}, "622/584 = 1.065, seats of ISO 5775-1"},
		{"26 tube in a 29", []string{"stretched by about 11 %"}, "622/559 = 1.113"},
		{"29 tube in 26 tyre", []string{"10 % too long round", "folds"}, "559/622 = 0.899"},
		{"20 tube in a 29", []string{"No: a 20 in a 29", "53 %"}, "622/406 = 1.532"},
		{"26 tyre on 27.5 rim", []string{"No: on mountain bikes 26 is 559 mm and 27.5 is 584 mm"}, "seats of ISO 5775-1"},
		{"how many spokes for 3 wheels 32h", []string{"96 spokes for 3 wheels of 32", "111 nipples"}, "3 × 32, and five nipples more a wheel"},
		{"new rim erd 602 old 598 same hub", []string{"Each spoke 2 mm longer", "too short"}, "half of what the ERDs differ by, past the millimetre that slot and thread forgive"},
		{"need 283.4 which way to round", []string{"283 mm (0.4 mm short, filled)", "Stocked every 2 mm: 284 mm (0.6 mm past"}, "the end between slot floor and 1 mm short"},
		{"tension rear rim mark 125 kgf", []string{"the drive side is the tight one: 100 to 120 kgf", "mark of 125 kgf", "50 to 84 kgf", "within the rim's marked tension"}, "usual levels, the mark, the other side's share"},
		{"front 22 what should the rear be", []string{"Rear about 24 psi", "lower of the marks"}, "as the starts of both ends go together"},
		{"front 30 psi rim max 30 what should the rear be", []string{"Rear at most 30 psi", "the rim's mark", "lower of the marks"}, "never above a mark"},
		{"front 22 psi ok?", []string{"front 22 psi is inside the band", "Which tyre"}, "judged, since the other end is not asked for"},
		{"is 20psi front too soft for 70kg", []string{"29x2.4, as most ride: front 20 psi is inside the band", "Which tyre is it?", "not promises"}, "a first answer, said for which tyre"},
		{"hop 1 mm", []string{"1 mm of hop can be ridden", "aims at 0.3 mm", "At which spoke"}, "hand builds 0.1 to 0.3 mm, repairs 0.5 (trade articles)"},
		{"24poe too slow?", []string{"15.0°", "36 to 54 are usual"}, "360°/24, and how that compares"},
		{"co2 16g how many tyres", []string{"29x2.4, as most ride", "20.3 psi", "Into which tyre?"}, "a first answer before the question"},
	} {
		text := whole(asked(t, x.line))
		for _, s := range x.says {
			assert.True(t, strings.Contains(text, s), "%q lacks %q (%s):\n%s", x.line, s, x.why, text)
		}
	}
}

// TestVerdicts holds verdicts that sources and practice settle.
func TestVerdicts(t *testing.T) {
	for line, want := range map[string]string{
		"2.5 on 25mm internal ok?":                  "usable",  // article: 2.1–2.4 for 25 mm, mounts and rides
		"29x2.4 on 30mm":                            "good",    // article: 2.3–2.6 best on 30 mm
		"700x40 on my 30mm mtb rims for commuting?": "outside", // pair lists end at 27 mm for 40
		"56-622 on 622x25c rim?":                    "good",    // pairs of 2006: 44–62 on 25C
		"fit 28-622 on 25mm hookless":               "no",      // statement of 2023: at least 29 on 25
		"fit 29x2.4 on 584x30C":                     "no",      // ISO 5775-1: one bead seat
		"fit 23-622 on 30mm":                        "no",      // ratio below 1.25
	} {
		if got := word(t, asked(t, line), "verdict"); got != want {
			t.Errorf("verdict of %q = %q, want %q", line, got, want)
		}
	}
}

// TestAnAnswerFitsAPhone holds the length of what is read first.
func TestAnAnswerFitsAPhone(t *testing.T) {
	for _, x := range typedLines(t) {
		for _, r := range fresh(t, x.Line) {
			if len(r.Lead) > 2 {
				t.Errorf("%q: %v lead lines, want at most 2", x.Line, len(r.Lead))
			}
			for _, l := range r.Lead {
				if n := len([]rune(l)); n > 200 { // five lines of 40 columns
					t.Errorf("%q: a lead of %v characters, want at most 200: %s", x.Line, n, l)
				}
			}
		}
	}
}

// TestATubeForTwoDiameters: 630 and 622 mm are 1 % apart, and one tube serves
// both; 26 and 27.5 in are not. That a bead never goes on the wrong seat is said
// either way. Common practice, no source.
func TestATubeForTwoDiameters(t *testing.T) {
	near, far := asked(t, "27 vs 700c tube"), asked(t, "size 57-559 vs 57-584")
	assert.Contains(t, near.Lead[1], "one serves both diameters")
	assert.NotContains(t, far.Lead[1], "one serves both diameters")
	for _, r := range []reply.Reply{near, far} {
		assert.True(t, slices.ContainsFunc(r.Notes, func(n reply.Note) bool { return strings.Contains(n.Text, "wrong seat blows off") }))
	}
}

// TestSizesBetweenTwoNames: 54 mm is 2.126 in, which the trade rounds both ways.
func TestSizesBetweenTwoNames(t *testing.T) {
	for line, want := range map[string]string{"size 54-622": "29x2.1 or 29x2.15", "size 54-584": "27.5x2.1 or 27.5x2.15", "size 61-622": "is 29x2.4:"} {
		assert.Contains(t, asked(t, line).Lead[0], want, line)
	}
}
