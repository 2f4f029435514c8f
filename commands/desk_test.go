package commands

import (
	"context"
	"fmt"
	"math"
	"regexp"
	"strings"
	"sync"
	"sync/atomic"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"spokeword/calc/quantity"
	"spokeword/commands/reply"
	"spokeword/commands/talk"
)

// This file holds what the tests at the level of the desk share.

// newDesk returns a desk at noon that fails the test at a fault of ours.
func newDesk(t testing.TB) *Desk {
	noon := func() time.Time { return time.Date(2030, time.May, 4, 12, 0, 0, 0, time.UTC) }
	desk, err := NewDesk(Deps{Now: noon, Talk: talk.NewMemory(noon), Log: func(err error) string {
		t.Errorf("fault: %v", err)
		return "0"
	}})
	require.NoError(t, err)
	return desk
}

// sharedDesk answers lines that are typed first of all: each is another
// asker's, so that none follows another. Making a desk takes longer than asking.
var sharedDesk = sync.OnceValues(func() (*Desk, error) {
	noon := func() time.Time { return time.Date(2030, time.May, 4, 12, 0, 0, 0, time.UTC) }
	return NewDesk(Deps{Now: noon, Talk: talk.NewMemory(noon), Log: func(err error) string { return err.Error() }})
})

var askers atomic.Int64

// fresh returns the answers to a line typed first of all. A fault of ours
// fails the test.
func fresh(t testing.TB, line string) []reply.Reply {
	desk, err := sharedDesk()
	require.NoError(t, err)
	replies := desk.Ask(context.Background(), Asker{User: fmt.Sprint("asker ", askers.Add(1))}, line)
	for _, r := range replies {
		require.False(t, r.Fault, "fault of ours at %q: %s", line, r.Error)
	}
	return replies
}

// asked returns the one answer to a line typed first of all.
func asked(t testing.TB, line string) reply.Reply {
	replies := fresh(t, line)
	require.Len(t, replies, 1, line)
	return replies[0]
}

// said returns the one answer to a line at a desk.
func said(t testing.TB, desk *Desk, line string) reply.Reply {
	replies := desk.Ask(context.Background(), Asker{User: "ann"}, line)
	require.Len(t, replies, 1, line)
	return replies[0]
}

// value returns a value of a reply.
func value(t testing.TB, r reply.Reply, name string) float64 {
	for _, v := range r.Values {
		if v.Name == name {
			return v.Value
		}
	}
	t.Errorf("%s: no value %q among %v", r.Line, name, r.Values)
	return math.NaN()
}

// word returns a value of a reply that is a word.
func word(t testing.TB, r reply.Reply, name string) string {
	for _, v := range r.Values {
		if v.Name == name {
			return v.Text
		}
	}
	t.Errorf("%s: no value %q among %v", r.Line, name, r.Values)
	return ""
}

// whole returns all text of a reply that people may see.
func whole(r reply.Reply) string {
	parts := append([]string{r.Title, r.Line, r.Error, r.Example}, r.Lead...)
	for _, c := range r.Cautions {
		parts = append(parts, c.Text)
	}
	for _, t := range r.Tables {
		parts = append(parts, t.Title)
		parts = append(parts, t.Head...)
		for _, row := range t.Rows {
			parts = append(parts, row.Cells...)
		}
	}
	for _, items := range [][]reply.Item{r.Read, r.Assumed} {
		for _, i := range items {
			parts = append(parts, i.Option, i.Value, i.Why)
		}
	}
	for _, n := range r.Notes {
		parts = append(parts, n.Text, n.Basis.String())
	}
	for _, s := range r.Working {
		parts = append(parts, s.What, s.Sum, s.Basis.String())
	}
	for _, v := range r.Values {
		parts = append(parts, v.Name, v.Text)
	}
	actions := r.Actions
	if r.Ask != nil {
		parts = append(parts, r.Ask.Text)
		actions = append(actions[:len(actions):len(actions)], r.Ask.Choices...)
	}
	for _, a := range actions {
		parts = append(parts, a.Label, a.Line)
	}
	parts = append(parts, r.Unused...)
	return strings.Join(parts, "\n")
}

var figures = regexp.MustCompile(`[−-]?\d+(?:\.\d+)?`)

// numbersIn returns the numbers of a text in their order, a typographic minus read as one.
func numbersIn(t testing.TB, text string) []float64 {
	var all []float64
	for _, f := range figures.FindAllString(text, -1) {
		v, err := quantity.Number(strings.Replace(f, "−", "-", 1))
		require.NoError(t, err, text)
		all = append(all, v)
	}
	return all
}

// psi and millimetres turn values of replies into what people say.
func psi(pascals float64) float64        { return pascals / quantity.PSI }
func millimetres(metres float64) float64 { return metres * 1000 }

func TestTheSettingPutsAUnitFirst(t *testing.T) {
	for setting, want := range map[string]string{"bar": "Front 1.58 bar (23 psi)", "psi": "Front 23 psi (1.58 bar)", "typed": "Front 23 psi (1.58 bar)", "": "Front 23 psi (1.58 bar)"} {
		desk, err := NewDesk(Deps{Now: time.Now, Talk: talk.NewMemory(time.Now), Log: func(error) string { return "1" }, Pressure: setting})
		require.NoError(t, err)
		got := desk.Ask(context.Background(), Asker{}, "80kg 29x2.4 30mm trail psi")
		assert.Contains(t, got[0].Lead[0], want, setting)
	}
}

// TestForgetEndsTheTalk holds that nothing is gone on from after forget.
func TestForgetEndsTheTalk(t *testing.T) {
	d := newDesk(t)
	require.Empty(t, said(t, d, "80kg 29x2.4 30mm trail").Error)
	require.Empty(t, said(t, d, "same but wet").Error)
	said(t, d, "forget me")
	state := d.deps.Talk.Get(Asker{User: "ann"})
	assert.Empty(t, state.Base)
	assert.Empty(t, state.Offers)
	assert.NotEmpty(t, said(t, d, "why").Error)
}
