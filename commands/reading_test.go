package commands

import (
	"math"
	"reflect"
	"strings"
	"sync"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"spokeword/calc/quantity"
	"spokeword/commands/read"
	"spokeword/commands/sayings"
	"spokeword/commands/spec"
	"spokeword/commands/talk"
)

// theReader is the one reader of all tests: it keeps nothing of what it reads.
var theReader = sync.OnceValues(func() (*read.Reader, error) {
	set, err := New(Deps{Talk: talk.NewMemory(time.Now)})
	if err != nil {
		return nil, err
	}
	return read.New(set, sayings.All)
})

func newReader(t testing.TB) *read.Reader {
	r, err := theReader()
	require.NoError(t, err)
	return r
}

// readOne reads a line that must give one request.
func readOne(t testing.TB, r *read.Reader, line string) spec.Request {
	got := r.Read(line, nil)
	require.NoError(t, got.Problem, line)
	require.Nil(t, got.Question, line)
	require.Len(t, got.Requests, 1, line)
	return got.Requests[0]
}

// stated forgets where values come from, since a canonical line states all.
func stated(r spec.Request) map[string]any {
	values := map[string]any{}
	for _, g := range r.Given {
		values[g.Option.About().Name] = g.Value
	}
	return values
}

// lawful checks the law of the line: what a request writes reads back as it.
func lawful(t *testing.T, r *read.Reader, line string, req spec.Request) {
	t.Helper()
	again := r.Read(req.Line(), nil)
	if again.Problem != nil || again.Question != nil || len(again.Requests) != 1 {
		t.Fatalf("Read(%q) = %s; its line %q reads as %s", line, req.Line(), req.Line(), told(again))
	}
	if got := again.Requests[0]; got.Line() != req.Line() || !reflect.DeepEqual(stated(got), stated(req)) {
		t.Fatalf("Read(%q) = %s; its line reads as %s", line, req.Line(), got.Line())
	}
}

func TestEveryLineReadsBackAsItself(t *testing.T) {
	r := newReader(t)
	for _, l := range typedLines(t) {
		for _, req := range r.Read(l.Line, nil).Requests {
			lawful(t, r, l.Line, req)
		}
	}
	set, err := New(Deps{})
	require.NoError(t, err)
	for _, c := range set.All {
		for _, e := range c.Examples {
			lawful(t, r, e, readOne(t, r, c.Name+" "+e))
			req := readOne(t, r, e)
			assert.Equal(t, c.Name, req.Command.Name, "the example %q asks the command without its name", e)
		}
		for _, o := range c.Options {
			about := o.About()
			v, err := o.Parse(about.Example)
			require.NoError(t, err, "%s: example %q", about.Name, about.Example)
			lawful(t, r, about.Example, spec.Request{Command: c}.With(spec.Given{Option: o, Value: v}))
		}
	}
}

// What does not change the meaning must not change the request.
func TestTheWayOfTypingDoesNotMatter(t *testing.T) {
	r := newReader(t)
	for _, same := range [][]string{
		{"pressure 80kg 29x2.4 30mm rim trail", "trail 30mm rim 29x2.4 80kg psi?", "PSI FOR 80 KG, 29X2.4, 30 MM RIM, TRAIL!", "could you tell me what psi for 80 kg on 29 x 2,4 with a 30mm rim, trail? thanks",
			"pressure rider:\"80 kg\" tyre:29x2.4 rim:\"30 mm\" riding:trail", "80 kilos 29×2.4 i30 trail psi", "Bitte Luftdruck 80 Kilo 29x2,4 30 innen Trail"},
		{"erd600 58/58 36/21 32h 3x", "spokes erd 600 circles 58/58 offsets 36/21 32 holes 3 cross", "32h 3x erd 600 pcd 58/58 ctf 36/21 lengths?", "ERD: 600mm, hole circles 58/58 mm, flange offsets 36/21 mm, 32 spokes, 3 crossings"},
		{"2.5 on 25mm internal ok?", "is 2.5\" ok on a 25 mm internal rim", "25i 2.5 fit?", "fit tyre:\"2.5 in\" rim:\"25 mm\""},
		{"1.6 bar in psi", "convert 1,6bar to psi", "how much is 1.6 bar in psi?"},
	} {
		want := readOne(t, r, same[0])
		for _, line := range same[1:] {
			got := readOne(t, r, line)
			assert.Equal(t, want.Command.Name, got.Command.Name, line)
			w, g := stated(want), stated(got)
			assert.Equal(t, w, g, line)
		}
	}
}

func TestBaseIsCarriedOnlyWhereTheLineGoesOn(t *testing.T) {
	r := newReader(t)
	base := readOne(t, r, "pressure 28kg 24x2.0 kid")
	for line, carried := range map[string]bool{
		"with tubes":             true,
		"same but wet":           true,
		"29x2.4 what psi":        false, // another tyre: whose weight?
		"psi for 29x2.4 tubless": false,
	} {
		got := r.Read(line, &base)
		require.Len(t, got.Requests, 1, line)
		g, ok := got.Requests[0].Get("rider")
		assert.Equal(t, carried, ok, line)
		if ok {
			assert.Equal(t, spec.Carried, g.Origin, line)
			assert.NotEmpty(t, g.Why, line)
		}
	}
}

func TestTwoReadingsBecomeAQuestion(t *testing.T) {
	r := newReader(t)
	got := r.Read("2.0 front 2.2 rear", nil)
	require.NotNil(t, got.Question)
	require.Len(t, got.Question.Choices, 2)
	lines := got.Question.Choices[0].Line() + " | " + got.Question.Choices[1].Line()
	assert.Contains(t, lines, `pressure:"2 bar/2.2 bar"`)
	assert.Contains(t, lines, `tyre:"2.0 in/2.2 in"`)
}

// The work grows at most linearly with the line.
func TestReadingStepsGrowLinearly(t *testing.T) {
	r := newReader(t)
	for _, unit := range []string{"29x2.4 ", "22 25 ", "32h 3x ", "tyre rim front ", "1/2/3 ", "psi "} {
		one := r.Read(strings.Repeat(unit, 5), nil).Steps
		for _, n := range []int{10, 20} {
			many := r.Read(strings.Repeat(unit, n), nil)
			if many.Problem != nil && many.Steps == 0 {
				continue // too many tokens: refused before the work
			}
			assert.LessOrEqual(t, many.Steps, 3*n/5*max(one, 200), "%q × %d: %d steps, %d for 5", unit, n, many.Steps, one)
		}
	}
}

// TestStepsFollowTheLength joins lines of the corpus, two and four at a time: the
// steps for a word stay within a bound, however the line is made up.
func TestStepsFollowTheLength(t *testing.T) {
	r := newReader(t)
	var all []string
	for _, l := range append(typedLines(t), tradeLines(t)...) {
		all = append(all, l.Line)
	}
	perWord := func(line string) (float64, bool) {
		got := r.Read(line, nil)
		return float64(got.Steps) / float64(len(strings.Fields(line))), got.Steps > 0
	}
	most := 0.0
	for _, line := range all {
		if n, ok := perWord(line); ok {
			most = max(most, n)
		}
	}
	joined := 0
	for i := range len(all) - 3 {
		for _, n := range []int{2, 4} {
			line := strings.Join(all[i:i+n], " ")
			steps, ok := perWord(line)
			if !ok {
				continue // too many words: refused before the work
			}
			joined++
			assert.LessOrEqual(t, steps, 2*most, "%q", line)
		}
	}
	assert.Greater(t, joined, 500)
	t.Logf("at most %.0f steps a word in one line, within twice that in several joined", most)
}

// TestManyUnknownWords holds that of a line of words nobody knows only the
// first few are looked up for a slip, which takes long.
func TestManyUnknownWords(t *testing.T) {
	r := newReader(t)
	line := func(noise int) string {
		read := r.Read("80kg 29x2.4 i30 "+strings.Repeat("blahblahblah ", noise)+"hooklss", nil)
		require.Len(t, read.Requests, 1)
		return read.Requests[0].Line()
	}
	assert.Contains(t, line(7), "bead:hookless")
	assert.NotContains(t, line(8), "bead")
}

func TestNoiseIsRefusedAtOnce(t *testing.T) {
	r := newReader(t)
	for _, line := range []string{"", "   ", "🙂🙂🙂", strings.Repeat("x", 10000), strings.Repeat("1 ", 500), "\x00\x01\x02", "????", "lorem ipsum dolor sit amet"} {
		got := r.Read(line, nil)
		require.Error(t, got.Problem, "%.20q", line)
		u, ok := spec.AsUsage(got.Problem)
		require.True(t, ok)
		assert.NotEmpty(t, u.Example, "%.20q", line)
	}
}

// The reader uses its memory again; several at once must not see each other's.
func TestManyReadAtOnce(t *testing.T) {
	r := newReader(t)
	lines := typedLines(t)
	var want []string
	for _, l := range lines {
		want = append(want, told(r.Read(l.Line, nil)))
	}
	var all sync.WaitGroup
	for k := range 4 {
		all.Go(func() {
			for i := range lines {
				j := (i*7 + k*31) % len(lines)
				if got := told(r.Read(lines[j].Line, nil)); got != want[j] {
					t.Errorf("Read(%q) = %s, want %s", lines[j].Line, got, want[j])
				}
			}
		})
	}
	all.Wait()
}

// What is typed and can't be meant is said, not passed over.
func TestImpossibleNumbersAreSaid(t *testing.T) {
	r := newReader(t)
	for line, want := range map[string]string{
		"pressure -80kg 29x2.4":        "rider -80 kg: want 10 kg to 250 kg",
		"pressure 300kg 29x2.4":        "rider 300 kg: want 10 kg to 250 kg",
		"5kg 29x2.4 psi":               "rider 5 kg: want 10 kg to 250 kg",
		"fit 2.4 on -30mm":             "-30 mm is negative: want a number above nought here",
		"spokes erd 600 58/58 -36/-21": "-36 is negative: want a number above nought here",
		"80kg tyre at 24 pis":          `24 pis: unknown unit "pis": want kg lb st, psi bar kPa, mm in, °C °F`,
	} {
		got := r.Read(line, nil)
		require.Error(t, got.Problem, line)
		assert.Equal(t, want, got.Problem.Error(), line)
		u, _ := spec.AsUsage(got.Problem)
		assert.Nil(t, r.Read(u.Example, nil).Problem, "the example %q for %q", u.Example, line)
	}
}

// A mark named by its option's name is the mark, never a wished pressure.
func TestMarksAreReadByTheirNames(t *testing.T) {
	r := newReader(t)
	for line, want := range map[string]string{
		"80kg 29x2.4 30mm tyremax 20 psi":         `pressure rider:"80 kg" tyre:29x2.4 rim:"30 mm" tyremax:"20 psi"`,
		"80kg 29x2.4 rimmax 22 psi":               `pressure rider:"80 kg" tyre:29x2.4 rimmax:"22 psi"`,
		"80kg 29x2.4 max 36 psi":                  `pressure rider:"80 kg" tyre:29x2.4 tyremax:"36 psi"`,
		"erd 600 58/58 36/21 32h 3x mark 120 kgf": `spokes erd:"600 mm" circle:"58 mm/58 mm" offset:"36 mm/21 mm" holes:32 cross:3 mark:"120 kgf"`,
	} {
		assert.Equal(t, want, readOne(t, r, line).Line(), line)
	}
}

// TestLongLines: a row of readings counts as one word, however long; words
// don't, and nothing is lost of a row.
func TestLongLines(t *testing.T) {
	r := newReader(t)
	var left, right []string
	for i := range 48 {
		left, right = append(left, quantity.Count(50+i%9)), append(right, quantity.Count(90+i%9))
	}
	req := readOne(t, r, "L "+strings.Join(left, ", ")+" R "+strings.Join(right, ", ")+" kgf")
	row, ok := readings.Of(req)
	require.True(t, ok)
	assert.Len(t, row.Left, 48)
	assert.Len(t, row.Right, 48)
	for _, long := range []string{strings.Repeat("wobble ", read.MaxTokens+1), strings.Repeat("1 mm ", read.MaxTokens), strings.Repeat("1 900 ", 120)} {
		require.Error(t, r.Read(long, nil).Problem, long)
		assert.Contains(t, r.Read(long, nil).Problem.Error(), "want one question at a time")
	}
}

// TestWordsThatSpeakOfSomethingElse: what a line leaves out and another command
// is about is offered, with the numbers of the line.
func TestWordsThatSpeakOfSomethingElse(t *testing.T) {
	for line, want := range map[string][2]string{
		"80 kg 29x2.4 30 mm sealant":                               {"or: fill sealant", `fill what:sealant tyre:29x2.4 rim:"30 mm"`},
		"swapped to the thick casing rear feels harsh at 1.65bar":  {"or: Harsh, skips, no grip", `symptom what:harsh pressure:"1.65 bar rear"`},
		"220lb keep dentin my rear rim 26psi 2.4 light casing now": {"or: The rim pings on rocks", `symptom what:rim-strike rider:"220 lb" tyre:"2.4 in" pressure:"26 psi rear"`},
	} {
		r := asked(t, line)
		require.NotEmpty(t, r.Actions, line)
		assert.Equal(t, want, [2]string{r.Actions[0].Label, r.Actions[0].Line}, line)
	}
	for _, line := range []string{"80 kg 29x2.4 30 mm", "circumfrence for 29x2.3 in mm", "80 kg 29x2.4 blue one"} {
		for _, a := range asked(t, line).Actions {
			assert.False(t, strings.HasPrefix(a.Label, "or: "), "%s: %s", line, a.Label)
		}
	}
}

// TestUnsureOfALine: where what carries a line meant nothing, and a question
// comes back, it is said that the line may not have been understood.
func TestUnsureOfALine(t *testing.T) {
	for _, line := range []string{"rear spokes gargle and whistle", "which zorb goes blip on a 32h disc rear, spokes?"} {
		r := asked(t, line)
		require.NotNil(t, r.Ask, line)
		assert.Contains(t, r.Lead[0], "may not have understood", line)
		assert.LessOrEqual(t, len(r.Lead), 2, line)
	}
	for _, line := range []string{"spokes 32h 3x", "new bike handover no idea of weight 2.4 tl what do we put in", "29x2.4 tubeless what psi", "tension meter reads 23 on the old thing here kgf"} {
		assert.NotContains(t, asked(t, line).Lead[0], "may not have understood", line)
	}
}

func FuzzRead(f *testing.F) {
	for _, l := range typedLines(f) {
		f.Add(l.Line)
	}
	for _, s := range []string{`pressure rider:"80 kg" tyre:29x2.4`, "26x1³⁄₈", "\u202e29x2.4", "1/2/3/4", "-5°c 3 \" x 4", `rim:"`, "٣٤ 29x２.４", "07 17 0 A8"} {
		f.Add(s)
	}
	r := newReader(f)
	f.Fuzz(func(t *testing.T, line string) {
		got := r.Read(line, nil)
		if got.Steps > 200000 {
			t.Fatalf("Read(%q) took %d steps", line, got.Steps)
		}
		for _, req := range got.Requests {
			for _, g := range req.Given {
				for _, m := range measuresOf(g.Value) {
					if math.IsNaN(m.SI()) || math.IsInf(m.SI(), 0) {
						t.Fatalf("Read(%q): %s is %v", line, g.Option.About().Name, m)
					}
				}
			}
			lawful(t, r, line, req)
		}
	})
}

func measuresOf(v any) []quantity.Measure {
	switch v := v.(type) {
	case measure:
		return []measure{v}
	case measures:
		return []measure{v.First, v.Second}
	}
	return nil
}

// TestLoadBesideAnEnd: of two weights the one beside an end of the bike is carried there.
func TestLoadBesideAnEnd(t *testing.T) {
	r := newReader(t)
	for line, want := range map[string]string{
		"cargo bike 80kg 20x2.15 60kg rear":   `pressure rider:"80 kg" tyre:20x2.15 load:"60 kg rear" use:cargo`,
		"82 kg 29x2.4 trail 8 kg front":       `pressure rider:"82 kg" tyre:29x2.4 riding:trail load:"8 kg front"`,
		"82 kg 29x2.4 trail rear":             `pressure rider:"82 kg" tyre:29x2.4 riding:trail`,
		"14 kg on the front 29x2.4 me 90 kg ": `pressure rider:"90 kg" tyre:29x2.4 load:"14 kg front"`,
	} {
		assert.Equal(t, want, readOne(t, r, line).Line(), line)
	}
}

// TestJoined: two whole sizes with a joint are front and rear, said as a guess; two
// numbers that only a command has words for are its alternatives.
func TestJoined(t *testing.T) {
	r := newReader(t)
	for line, want := range map[string]string{
		"wheel 27.5 vs 29":                     `wheel sizes:"27.5, 29"`,
		"29 or 27.5 wheel stiffer":             `wheel sizes:"29, 27.5"`,
		"wheel hubs 142 vs 148":                `wheel hubs:"142, 148"`,
		"27.5 vs 29":                           `size a:27.5 b:29`,
		"sealant 29x2.4 and 27.5x2.6":          `fill what:sealant tyre:"29x2.4/27.5x2.6"`,
		"80kg 29x2.4 and 27.5x2.6 psi":         `pressure rider:"80 kg" tyre:"29x2.4/27.5x2.6"`,
		"29x2.4 and 27.5x2.6 same?":            `size a:29x2.4 b:27.5x2.6`,
		"gauge says 22 at 2000m, at home?":     `air pressure:"22 psi" rideheight:"2000 m"`,
		"pump says 30 digital 26 who is right": `setup pumpreads:"30 psi" gaugereads:"26 psi"`,
	} {
		assert.Equal(t, want, readOne(t, r, line).Line(), line)
	}
}
