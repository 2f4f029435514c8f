package commands

import (
	"context"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"spokeword/commands/talk"
)

func TestAnOpenQuestionIsAnswered(t *testing.T) {
	for _, x := range []struct{ first, answer, line, why string }{
		{"29x2.4 30i trail psi?", "80", `pressure rider:"80 kg" tyre:29x2.4 rim:"30 mm" riding:trail`, "bare, by the habit of the option"},
		{"29x2.4 30i trail psi?", "13st7", `pressure rider:"13 st 7 lb" tyre:29x2.4 rim:"30 mm" riding:trail`, "bare, with a unit"},
		{"29x2.4 30i trail psi?", "about 80 kilos i think", `pressure rider:"80 kg" tyre:29x2.4 rim:"30 mm" riding:trail`, "in a sentence"},
		{"29x2.4 30i trail psi?", "90kg 27.5x2.6 psi", `pressure rider:"90 kg" tyre:27.5x2.6 rim:"30 mm" riding:trail`, "an answer that corrects the tyre too"},
		{"29x2.4 30i trail psi?", "2.5 on 25mm internal ok?", `fit tyre:"2.5 in" rim:"25 mm"`, "another question altogether"},
		{"tyres at 30 bar ok", "yes", `pressure pressure:"30 psi"`, "yes to the only choice"},
		{"i weigh 80 bike 15", "29x2.4", `pressure rider:"80 kg" tyre:29x2.4 bike:"15 kg"`, "the missing tyre"},
	} {
		desk, err := NewDesk(Deps{Now: time.Now, Talk: talk.NewMemory(time.Now), Log: func(error) string { return "1" }})
		require.NoError(t, err)
		who := Asker{User: "ann"}
		first := desk.Ask(context.Background(), who, x.first)
		require.Len(t, first, 1)
		require.NotNil(t, first[0].Ask, x.first)
		got := desk.Ask(context.Background(), who, x.answer)
		require.Len(t, got, 1)
		assert.Equal(t, x.line, got[0].Line, "%s: %q after %q", x.why, x.answer, x.first)
	}
}

func TestTalkDoesNotLeak(t *testing.T) {
	desk, err := NewDesk(Deps{Now: time.Now, Talk: talk.NewMemory(time.Now), Log: func(error) string { return "1" }})
	require.NoError(t, err)
	ask := func(user, channel, line string) string {
		r := desk.Ask(context.Background(), Asker{Workspace: "local", Channel: channel, User: user}, line)
		return r[0].Line
	}
	ask("ann", "workshop", "83kg 29x2.4 psi")
	assert.Contains(t, ask("ann", "workshop", "same but wet"), "83 kg")
	assert.NotContains(t, ask("ben", "workshop", "same but wet"), "83 kg")
	assert.NotContains(t, ask("ann", "counter", "same but wet"), "83 kg")
}

func TestWhyIsAsPrivateAsWhatItExplains(t *testing.T) {
	desk, err := NewDesk(Deps{Now: time.Now, Talk: talk.NewMemory(time.Now), Log: func(error) string { return "1" }})
	require.NoError(t, err)
	who := Asker{User: "ann"}
	desk.Ask(context.Background(), who, "83.7kg 29x2.4 trail psi")
	assert.True(t, desk.Ask(context.Background(), who, "why")[0].Private)
	desk.Ask(context.Background(), who, "61-622 in inch")
	assert.False(t, desk.Ask(context.Background(), who, "why")[0].Private)
}

func TestHelpLeavesAQuestionOpen(t *testing.T) {
	desk := newDesk(t)
	who := Asker{User: "ann"}
	desk.Ask(context.Background(), who, "pressure 29x2.4 i30")
	desk.Ask(context.Background(), who, "what is erd")
	r := desk.Ask(context.Background(), who, "130")[0]
	assert.Equal(t, `pressure rider:"130 lb" tyre:29x2.4 rim:"30 mm"`, r.Line)
	assert.Equal(t, "rider", r.Assumed[0].Option, "a bare answer is said as it was read")
}

func TestWhyExplainsAnAnswerThatAlsoAsks(t *testing.T) {
	desk := newDesk(t)
	who := Asker{User: "ann"}
	r := desk.Ask(context.Background(), who, "spokes rear erd 602 circles 45 offsets 17.5/37.5 32h 3x")[0]
	require.NotNil(t, r.Ask)
	assert.NotEmpty(t, desk.Ask(context.Background(), who, "why")[0].Tables)
}

// TestKeepingNothingChangesNoTalk: what can't be kept yet leaves the talk where it was.
func TestKeepingNothingChangesNoTalk(t *testing.T) {
	desk := newDesk(t)
	said(t, desk, "80kg 29x2.4 trail")
	said(t, desk, "fr 23 rr 26 save as hardtail")
	assert.Equal(t, `pressure rider:"80 kg" tyre:29x2.4 rim:"35 mm" riding:trail`, said(t, desk, "what about 35 rim").Line)
}
