package commands

import (
	"context"
	"path/filepath"
	"strings"
	"testing"
	"time"
	"unicode/utf8"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"spokeword/calc/quantity"
	"spokeword/commands/memory/sql"
	"spokeword/commands/reply"
)

// TestMeasures: worked by hand from what was measured.
func TestMeasures(t *testing.T) {
	for _, x := range []struct {
		line, name string
		want       float64 // mm
		within     float64
	}{
		{"measure rods 280 mm between 12 mm", "erd", 572, 0.001},                                   // 2 × 280 + 12
		{"measure rods 300 mm between -4 mm", "erd", 596, 0.001},                                   // they overlap
		{"cant get calipers across hub next holes are 11.3 apart 32h pcd?", "circle", 57.92, 0.01}, // 11.3 / sin 11.25°
		{"next holes 11.3 apart 16 per side", "circle", 57.92, 0.01},
		{"measure across 60.5 mm flange hole 2.5 mm 32h", "circle", 58, 0.001},
		{"148 hub 38 from left end to flange 53 from right", "left.offset", 36, 0.001}, // 74 − 38
		{"148 hub 38 from left end to flange 53 from right", "right.offset", 21, 0.001},
		{"measure guide:inner outer:\"34 mm\"", "inner", 29, 1.01}, // trade articles: about 5 mm less
	} {
		r := asked(t, x.line)
		require.Empty(t, r.Error, x.line)
		assert.InDelta(t, x.want, 1000*value(t, r, x.name), x.within, x.line)
		require.NotEmpty(t, r.Actions, x.line)
		assert.Contains(t, []string{"spokes", "fit", "measure"}, strings.Fields(r.Actions[0].Line)[0], "the natural next step")
	}
}

// guided asks the lines of one asker at a desk, and returns the last answer's line.
func guided(t *testing.T, d *Desk, who Asker, lines ...string) string {
	last := ""
	for _, l := range lines {
		replies := d.Ask(context.Background(), who, l)
		require.Len(t, replies, 1, l)
		last = replies[0].Line
	}
	return last
}

func TestGuideGoesStepByStep(t *testing.T) {
	ann, ben := Asker{Workspace: "larkmoor", Channel: "workshop", User: "ann"}, Asker{Workspace: "larkmoor", Channel: "workshop", User: "ben"}
	d := newDesk(t)
	assert.Equal(t, `measure guide:hub head:elbow holes:32 width:"148 mm" thickness:"3 mm" faceleft:"36.5 mm"`, guided(t, d, ann, "no data on this hub walk me through measuring", "elbow", "32", "148", "3", "36.5"))
	// Another person's answer, and what can't be meant, disturb nothing.
	guided(t, d, ben, "measure erd", "280 mm", "99 mm")
	for _, wrong := range []string{"2 kg", "3 psi", "9000", "9000 mm"} {
		r := d.Ask(context.Background(), ann, wrong)[0]
		require.NotNil(t, r.Ask, wrong)
		assert.Equal(t, "faceright", r.Ask.Option, wrong)
		assert.Regexp(t, "want (a length|1 mm to 120 mm)", r.Lead[0], wrong)
	}
	r := d.Ask(context.Background(), ann, "back")[0]
	require.NotNil(t, r.Ask)
	assert.Equal(t, "faceleft", r.Ask.Option)
	assert.Contains(t, strings.Join(r.Lead, " "), "36.5 mm", "what was said before")
	// 1.437 in are 36.5 mm, to the outer side of a flange of 3 mm: 74 − 36.5 − 1.5.
	guided(t, d, ann, "1.437 in", "51.5", "58/45")
	r = d.Ask(context.Background(), ann, "2.6")[0]
	require.Nil(t, r.Ask)
	assert.InDelta(t, 36, 1000*value(t, r, "left.offset"), 0.01)
	assert.InDelta(t, 21, 1000*value(t, r, "right.offset"), 0.001)
	assert.InDelta(t, 58, 1000*value(t, r, "left.circle"), 0.001)
	assert.Contains(t, r.Actions[0].Line, `flangehole:"2.6 mm"`)
	assert.Equal(t, "", guided(t, d, ann, "measure erd", "back", "stop"))
}

// TestGuidesCountTheSame: the total that was named stays, every step has a
// drawing, and "skip" goes on or says how else.
func TestGuidesCountTheSame(t *testing.T) {
	for start, answers := range map[string][]string{
		"measure hub":            {"elbow", "32", "148", "3", "36.5", "51.5", "58", "2.6"},
		"measure circle":         {"neighbours", "32", "11.3"},
		"measure pcd":            {"across", "32", "60.5", "2.5"},
		"measure erd":            {"280", "12"},
		"measure gap":            {"74", "61"},
		"measure rim":            {"34"},
		"measure tyre":           {"61"},
		"measure inner":          {"34"},
		"measure flange offsets": {"straight", "28", "148", "38", "53", "21", "-4"},
	} {
		ann, d := Asker{Workspace: "larkmoor", Channel: "workshop", User: "ann"}, newDesk(t)
		r := d.Ask(context.Background(), ann, start)[0]
		for i, answer := range answers {
			require.NotNil(t, r.Ask, "%s: %v", start, answers[:i])
			assert.NotEmpty(t, r.Drawing, "%s: %s", start, r.Ask.Option)
			lead := r.Lead[len(r.Lead)-1]
			if n, of, ok := strings.Cut(strings.SplitN(lead, ":", 2)[0], " of "); ok {
				assert.Equal(t, quantity.Count(i+1), n, lead)
				assert.Equal(t, quantity.Count(len(answers)), of, lead)
			} else {
				assert.Equal(t, "Step 1", strings.SplitN(lead, ":", 2)[0], "only before it is settled")
			}
			option := r.Ask.Option
			if skipped := d.Ask(context.Background(), ann, "skip")[0]; skipped.Ask != nil && skipped.Ask.Option == option {
				assert.Len(t, skipped.Lead, 2, "%s: says how else: %s", start, option)
				assert.Empty(t, skipped.Error)
			} else { // it goes on without
				assert.Empty(t, skipped.Error)
				d.Ask(context.Background(), ann, r.Line)
			}
			r = d.Ask(context.Background(), ann, answer)[0]
		}
		assert.Nil(t, r.Ask, start)
		assert.Empty(t, r.Error, start)
		assert.NotEmpty(t, r.Values, start)
	}
}

// TestWrongUnitsAreAskedAgain by name, with what they may be, and what was right
// is kept.
func TestWrongUnitsAreAskedAgain(t *testing.T) {
	ann, d := Asker{Workspace: "larkmoor", Channel: "workshop", User: "ann"}, newDesk(t)
	r := d.Ask(context.Background(), ann, "measure erd rods 280 psi between 12")[0]
	require.NotNil(t, r.Ask)
	assert.Equal(t, "rods", r.Ask.Option)
	assert.Equal(t, "Rods 280 psi is a pressure: want 50 mm to 400 mm.", r.Lead[0])
	assert.Empty(t, r.Unused)
	r = d.Ask(context.Background(), ann, "280")[0]
	require.Nil(t, r.Ask)
	assert.InDelta(t, 0.572, value(t, r, "erd"), 1e-9)
	for line, option := range map[string]string{
		"measure pitch 11.3 psi 32h":                        "pitch",
		"measure hub 148 mm 38 kg from left 53 from right":  "faceleft",
		"measure gap 70 psi":                                "gap",
		"measure rim 34 kg":                                 "outer",
		"measure rods 280 mm between 2 bar":                 "between",
		`measure guide:circle way:across across:"60.5 psi"`: "across",
		`measure guide:erd rods:"280 °C" between:"12 mm"`:   "rods",
	} {
		r := asked(t, line)
		require.NotNil(t, r.Ask, line)
		assert.Equal(t, option, r.Ask.Option, line)
		assert.Contains(t, r.Lead[0], "want ", line)
		assert.Empty(t, r.Values, line)
	}
}

// TestARefusedResultGoesOn from the last value: the guide is not lost.
func TestARefusedResultGoesOn(t *testing.T) {
	for _, x := range []struct {
		wrong []string
		right string
		name  string
	}{
		{[]string{"measure erd", "60 mm", "-60 mm"}, "20 mm", "erd"}, // no rim of 60 mm
		{[]string{"measure circle", "neighbours", "36", "140 mm"}, "11 mm", "circle"},
	} {
		ann, d := Asker{Workspace: "larkmoor", Channel: "workshop", User: "ann"}, newDesk(t)
		var r reply.Reply
		for _, line := range x.wrong {
			r = d.Ask(context.Background(), ann, line)[0]
		}
		require.NotNil(t, r.Ask, x.wrong)
		assert.Len(t, r.Lead, 2, "why, and the step once more")
		assert.Empty(t, r.Values)
		r = d.Ask(context.Background(), ann, x.right)[0]
		require.Nil(t, r.Ask, x.wrong)
		assert.NotZero(t, value(t, r, x.name))
	}
}

// TestOddCirclesAreRemarkedOn: what no ordinary hub has is measured again.
func TestOddCirclesAreRemarkedOn(t *testing.T) {
	for line, odd := range map[string]bool{"measure pitch 60 mm 32 holes": true, "measure pitch 11.3 mm 32 holes": false, "measure pitch 4.5 mm 32 holes": true} {
		r := asked(t, line)
		assert.Equal(t, odd, strings.Contains(strings.Join(r.Lead, " "), "30 to 110 mm"), line)
	}
}

// TestGuideSurvivesARestart where the store is on.
func TestGuideSurvivesARestart(t *testing.T) {
	ctx := context.Background()
	ann := Asker{Workspace: "larkmoor", Channel: "workshop", User: "ann"}
	path := filepath.Join(t.TempDir(), "s.db")
	noon := func() time.Time { return time.Date(2030, time.May, 4, 12, 0, 0, 0, time.UTC) }
	desk := func() (*Desk, *sql.Store) {
		store, err := sql.Open(ctx, path, sql.Options{Now: noon, Ticks: make(chan time.Time), Log: func(err error) { t.Error(err) }})
		require.NoError(t, err)
		d, err := NewDesk(Deps{Now: noon, Talk: store.Talks(), Log: func(err error) string { t.Error(err); return "" }})
		require.NoError(t, err)
		return d, store
	}
	d, store := desk()
	guided(t, d, ann, "measure erd", "280 mm")
	require.NoError(t, store.Close())
	d, store = desk()
	assert.Equal(t, `measure guide:erd rods:"280 mm" between:"12 mm"`, guided(t, d, ann, "12"))
	require.NoError(t, store.Close())
}

// TestDrawingsFit: a telephone's code block holds 34 columns.
func TestDrawingsFit(t *testing.T) {
	for _, id := range []string{"erd", "hub", "circle", "inner", "gap", "tyre"} {
		m := &measureRun{req: readOne(t, newReader(t), "measure guide:"+id)}
		steps, _ := m.takes(id)
		require.NotEmpty(t, steps, id)
		for _, s := range steps {
			for _, l := range s.drawing {
				assert.LessOrEqual(t, utf8.RuneCountInString(l), 34, l)
			}
		}
	}
}
