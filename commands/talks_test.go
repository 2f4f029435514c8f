package commands

import (
	"context"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"spokeword/commands/reply"
	"spokeword/commands/spec"
	"spokeword/commands/talk"
)

// This file holds what a talk is: what a line takes from the one before, and
// what it must not.

// TestATalkGoesOn types lines one after the other; the last one's request is
// what was understood.
func TestATalkGoesOn(t *testing.T) {
	for _, x := range []struct{ talk, line, why string }{
		{"fit 30 2.4|82 kg", `pressure rider:"82 kg" tyre:"2.4 in" rim:"30 mm"`, "a weight alone asks for the pressure of what was fitted"},
		{"2.4 on 30|what pressure then", `pressure tyre:"2.4 in" rim:"30 mm"`, "asked for by name"},
		{"2.4 on 30|what pressure then|82 kg", `pressure rider:"82 kg" tyre:"2.4 in" rim:"30 mm"`, "and answered"},
		{"80kg 29x2.4 i30|90 kg", `pressure rider:"90 kg" tyre:29x2.4 rim:"30 mm"`, "one value alone is another of the same"},
		{"80kg 29x2.4 i30|24 psi", `pressure rider:"80 kg" tyre:29x2.4 rim:"30 mm" pressure:"24 psi"`, "one more value"},
		{"80kg 29x2.4 i30|how much sealant", `fill what:sealant tyre:29x2.4 rim:"30 mm"`, "another command takes what it needs"},
		{"80kg 29x2.4 i30|how much sealant for 27.5x2.6", `fill what:sealant tyre:27.5x2.6`, "another tyre is a new question"},
		{"80kg 29x2.4 i30|does it fit a 25mm rim", `fit tyre:29x2.4 rim:"25 mm"`, "it points back"},
		{"80kg 29x2.4 i30|what tyre for 30mm rim", `fit rim:"30 mm"`, "it points at nothing: a new question"},
		{"80kg 29x2.4 i30|circumference?", `gearing tyre:29x2.4`, ""},
		{"80kg 29x2.4 i30|85kg 27.5x2.6", `pressure rider:"85 kg" tyre:27.5x2.6`, "a whole new question takes nothing over"},
		{"how do i lace 32h rear 3x|erd 600 58/58 36/21 lengths", `spokes erd:"600 mm" circle:"58 mm/58 mm" offset:"36 mm/21 mm" holes:32 cross:3 end:rear`, ""},
		{"erd 600 58/58 36/21 32h 3x|build card", `lacing holes:32 cross:3 show:card offset:"36 mm/21 mm" circle:"58 mm/58 mm" erd:"600 mm"`, ""},
		{"erd 600 58/58 36/21 32h 3x|what about 2x", `spokes erd:"600 mm" circle:"58 mm/58 mm" offset:"36 mm/21 mm" holes:32 cross:2`, ""},
		{"erd 600 58/58 36/21 32h 3x|rim now 601 erd", `spokes erd:"601 mm" circle:"58 mm/58 mm" offset:"36 mm/21 mm" holes:32 cross:3`, "it would ask for what the last line told"},
		{"erd 600 58/58 36/21 32h 3x|spokes erd 601", `spokes erd:"601 mm"`, "who names the command asks anew"},
		{"29x2.4 30i trail psi?|30", `pressure rider:"30 kg" tyre:29x2.4 rim:"30 mm" riding:trail`, "a bare answer is what was asked for, and no rim"},
		{"82kg 30mm rim psi|29x2.4|same but wet", `pressure rider:"82 kg" tyre:29x2.4 rim:"30 mm" ground:wet`, "what was answered is gone on from"},
		{"80kg 29x2.4 i30|why|same but mud", `pressure rider:"80 kg" tyre:29x2.4 rim:"30 mm" ground:mud`, "why is no question of its own"},
		{"1.6 bar in psi|and 1.8 bar", `convert quantity:"1.8 bar" to:psi`, ""},
	} {
		d := newDesk(t)
		var last reply.Reply
		for line := range strings.SplitSeq(x.talk, "|") {
			last = said(t, d, line)
		}
		assert.Equal(t, x.line, last.Line, "%q: %s", x.talk, x.why)
	}
}

// TestWhatIsTakenOverIsSaid holds that no value from an earlier line counts in
// silence.
func TestWhatIsTakenOverIsSaid(t *testing.T) {
	d := newDesk(t)
	said(t, d, "fit 30 2.4")
	r := said(t, d, "82 kg")
	for _, option := range []string{"tyre", "rim"} {
		why := ""
		for _, a := range r.Assumed {
			if a.Option == option && why == "" {
				why = a.Why
			}
		}
		assert.Equal(t, "from your last question", why, option)
	}
}

// TestTwoThingsInOneLine asks for two things at once: both are answered.
func TestTwoThingsInOneLine(t *testing.T) {
	for line, want := range map[string][]string{
		"80kg 29x2.4 i30 trail save as hardtail":            {`pressure rider:"80 kg" tyre:29x2.4 rim:"30 mm" riding:trail`, `setup save:hardtail tyre:29x2.4 rim:"30 mm" riding:trail rider:"80 kg"`},
		"fr 23 rr 26 save as hardtail":                      {`setup save:hardtail pressure:"23 psi/26 psi"`},
		"80kg 29x2.6 on 25mm what psi and does it fit":      {`pressure rider:"80 kg" tyre:29x2.6 rim:"25 mm"`, `fit tyre:29x2.6 rim:"25 mm"`},
		"29x2.4 80kg psi and how much sealant":              {`pressure rider:"80 kg" tyre:29x2.4`, `fill what:sealant tyre:29x2.4`},
		"erd 600 58/58 36/21 32h 3x lengths and build card": {`spokes erd:"600 mm" circle:"58 mm/58 mm" offset:"36 mm/21 mm" holes:32 cross:3`, `lacing holes:32 cross:3 show:card offset:"36 mm/21 mm" circle:"58 mm/58 mm" erd:"600 mm"`},
		"29x2.4 on 30 and 80kg psi":                         {`pressure rider:"80 kg" tyre:29x2.4 rim:"30 mm"`},
	} {
		d := newDesk(t)
		var got []string
		for _, r := range d.Ask(context.Background(), Asker{User: "ann"}, line) {
			got = append(got, r.Line)
			assert.Empty(t, r.Unused, line)
		}
		assert.Equal(t, want, got, line)
	}
	d := newDesk(t)
	d.Ask(context.Background(), Asker{User: "ann"}, "80kg 29x2.4 i30 trail save as hardtail")
	assert.Equal(t, `pressure rider:"80 kg" tyre:29x2.4 rim:"30 mm" riding:trail ground:wet`, said(t, d, "same but wet").Line, "the talk goes on from what was answered")
}

// TestSkipSaysTheRange holds that the first line of a skipped question tells
// how far the answers lie apart.
func TestSkipSaysTheRange(t *testing.T) {
	d := newDesk(t)
	require.NotNil(t, said(t, d, "29x2.4 30mm psi").Ask)
	r := said(t, d, "skip")
	first := numbersIn(t, strings.ReplaceAll(r.Lead[0], "rear", ""))
	require.GreaterOrEqual(t, len(first), 4, r.Lead[0])
	assert.Less(t, first[0], first[2], "%s: from the lowest to the highest", r.Lead[0])
	assert.Greater(t, len(r.Actions), 1)
}

// TestTalksEndAndDoNotMix lets four people type in two channels, in turns. Each
// talk is as if the others were not there, and none outlives its time.
func TestTalksEndAndDoNotMix(t *testing.T) {
	now := time.Date(2030, time.May, 4, 12, 0, 0, 0, time.UTC)
	clock := func() time.Time { return now }
	talks := [][]string{
		{"83kg 29x2.4 i30", "same but wet", "90 kg", "in bar", "why", "how much sealant"},
		{"fit 25 2.5", "61 kg", "and with tubes", "share"},
		{"erd 600 58/58 36/21 32h 3x", "what about 2x", "build card", "28 holes"},
		{"29x2.4 psi", "130", "same but mud", "27.5x2.6 instead"},
	}
	askers := []Asker{{Workspace: "a", Channel: "x", User: "1"}, {Workspace: "a", Channel: "y", User: "1"}, {Workspace: "a", Channel: "x", User: "2"}, {Workspace: "b", Channel: "x", User: "1"}}
	desk := func() *Desk {
		d, err := NewDesk(Deps{Now: clock, Talk: talk.NewMemory(clock), Log: func(err error) string {
			t.Errorf("fault: %v", err)
			return "0"
		}})
		require.NoError(t, err)
		return d
	}
	text := func(all []reply.Reply) string {
		parts := make([]string, len(all))
		for i, r := range all {
			parts[i] = whole(r)
		}
		return strings.Join(parts, "\n\n")
	}
	together := desk()
	alone := []*Desk{desk(), desk(), desk(), desk()}
	for turn := range 6 {
		for i, lines := range talks {
			if turn >= len(lines) {
				continue
			}
			want := text(alone[i].Ask(context.Background(), Asker{User: "ann"}, lines[turn]))
			assert.Equal(t, want, text(together.Ask(context.Background(), askers[i], lines[turn])), "%q", lines[turn])
		}
	}
	for i, asker := range askers {
		assert.NotEqual(t, talk.State{}, together.deps.Talk.Get(asker), "talk %d is open", i)
	}
	now = now.Add(talk.Expiry + time.Minute)
	for i, asker := range askers {
		assert.Equal(t, talk.State{}, together.deps.Talk.Get(asker), "talk %d has ended", i)
		for _, r := range together.Ask(context.Background(), asker, "same but wet") {
			assert.NotContains(t, r.Line, "kg", "nothing is gone on from")
			assert.NotContains(t, r.Line, "erd", "nothing is gone on from")
		}
	}
}

// TestFeltHasEnds reads how each end felt.
func TestFeltHasEnds(t *testing.T) {
	r := newReader(t)
	for line, want := range map[string]string{
		"log squirmy front, rim strike rear 22/25 psi": `log felt:"squirm front; strike rear" pressure:"22 psi/25 psi"`,
		"log bouncy and squirmy 16 psi":                `log felt:"bounce, squirm" pressure:"16 psi"`,
		"log felt fine 22/25 psi":                      `log felt:fine pressure:"22 psi/25 psi"`,
		`log felt:"squirm front; strike rear"`:         `log felt:"squirm front; strike rear"`,
	} {
		assert.Equal(t, want, readOne(t, r, line).Line(), line)
	}
	v, err := felt.Parse("squirm front, strike rear, squirm front")
	require.NoError(t, err)
	assert.Equal(t, []spec.Ends[string]{{First: "squirm", Second: "squirm", Which: spec.FirstOnly}, {First: "strike", Second: "strike", Which: spec.SecondOnly}}, v)
	_, err = felt.Parse("")
	assert.Error(t, err)
}

// TestWhatIsNotOursGetsAShortNo asks what no bot should answer: brands and
// prices, a frame from afar, medicine, law, warranty. Each gets a short no, with
// what can be asked instead; what only sounds like it gets its answer.
func TestWhatIsNotOursGetsAShortNo(t *testing.T) {
	for _, line := range []string{
		"best brand?", "whats the best tyre brand", "best sealant brand?", "which make of rim", "where can i buy it cheapest", "how much is a new rim",
		"is my frame broken?", "crack in my frame safe?", "my knee hurts when i climb", "hands go numb on long rides", "hit my head can i ride on",
		"is it legal to ride a 750w ebike", "who is to blame for the crash", "can i sue the maker", "does the warranty cover a cracked rim", "does it void the warranty",
		"welche reifenmarke ist die beste", "habe ich garantie", "quelle marque de pneu", "qué marca es mejor", "che marca di gomme",
	} {
		r := asked(t, line)
		assert.Equal(t, `help what:not-ours`, r.Line, line)
		assert.Len(t, r.Lead, 2, line)
		assert.NotEmpty(t, r.Cautions, line)
		assert.NotEmpty(t, r.Actions, line)
	}
	for line, command := range map[string]string{
		"best pressure for 80kg 29x2.4":                    "pressure",
		"best tyre width for a 30mm rim":                   "fit",
		"is my spoke broken can i ride home":               "symptom",
		"80kg 29x2.4 psi, warranty says max 35":            "pressure",
		"which side of the frame does it rub 70mm gap 2.5": "fit",
	} {
		assert.Equal(t, command, asked(t, line).Command, line)
	}
}
