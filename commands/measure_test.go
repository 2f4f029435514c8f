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

	"spokeword/commands/memory/sql"
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
	assert.Equal(t, `measure guide:hub holes:32 width:"148 mm" faceleft:"38 mm"`, guided(t, d, ann, "walk me through measuring", "32", "148", "38"))
	// Another person's answer, and what can't be meant, disturb nothing.
	guided(t, d, ben, "measure erd", "280 mm", "99 mm")
	for _, wrong := range []string{"2 kg", "3 psi", "9000", "9000 mm"} {
		r := d.Ask(context.Background(), ann, wrong)[0]
		require.NotNil(t, r.Ask, wrong)
		assert.Equal(t, "faceright", r.Ask.Option, wrong)
	}
	r := d.Ask(context.Background(), ann, "back")[0]
	require.NotNil(t, r.Ask)
	assert.Equal(t, "faceleft", r.Ask.Option)
	assert.Contains(t, strings.Join(r.Lead, " "), "38 mm", "what was said before")
	// 1.5 in are 38.1 mm.
	assert.Equal(t, `measure guide:hub holes:32 width:"148 mm" faceleft:"1.5 in" faceright:"53 mm" circle:"58 mm/45 mm"`, guided(t, d, ann, "1.5 in", "53", "58/45"))
	assert.Equal(t, "", guided(t, d, ann, "measure erd", "back", "stop"))
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
		steps := m.takes(id)
		require.NotEmpty(t, steps, id)
		for _, s := range steps {
			for _, l := range s.drawing {
				assert.LessOrEqual(t, utf8.RuneCountInString(l), 34, l)
			}
		}
	}
}
