package main

import (
	"bytes"
	"context"
	"encoding/json"
	"path/filepath"
	"strings"
	"testing"

	"github.com/rogpeppe/go-internal/txtar"
	"github.com/stretchr/testify/require"

	"spokeword/bot/render"
	"spokeword/commands/caution"
	"spokeword/commands/reply"
)

// TestGoldens holds what people see. Each file of testdata/replies has a
// section "ask" with the lines of one conversation, written by hand; the other
// sections are made from it by UPDATE=1 go test ./... and read in the diff: the
// console at two widths, what people see in the chat services, the objects.
// A golden shows that nothing changed, not that it is right.
func TestGoldens(t *testing.T) {
	paths, err := filepath.Glob(filepath.Join(top, "testdata/replies/*.txtar"))
	require.NoError(t, err)
	slackSide, discordSide := newSlackSide(t), newDiscordSide(t)
	for _, path := range paths {
		name := strings.TrimSuffix(filepath.Base(path), ".txtar")
		t.Run(name, func(t *testing.T) {
			text := read(t, "testdata/replies/"+name+".txtar")
			archive := txtar.Parse([]byte(text))
			asked := section(archive, "ask")
			require.NotEmpty(t, strings.TrimSpace(asked), "section ask")
			made := &txtar.Archive{Comment: archive.Comment, Files: []txtar.File{
				{Name: "ask", Data: []byte(asked)},
				{Name: "console40", Data: []byte(shown(t, asked, 40))},
				{Name: "console80", Data: []byte(shown(t, asked, 80))},
				{Name: "slack", Data: []byte(onService(t, name, asked, slackSide))},
				{Name: "discord", Data: []byte(onService(t, name, asked, discordSide))},
				{Name: "json", Data: []byte(objects(t, asked))},
			}}
			same(t, "testdata/replies/"+name+".txtar", string(txtar.Format(made)))
			for _, replies := range conversation(t, asked) {
				checkReplies(t, replies)
			}
		})
	}
}

func section(a *txtar.Archive, name string) string {
	for _, f := range a.Files {
		if f.Name == name {
			return string(f.Data)
		}
	}
	return ""
}

// lines returns the lines of a section that are not blank.
func lines(text string) []string {
	var all []string
	for l := range strings.SplitSeq(text, "\n") {
		if strings.TrimSpace(l) != "" {
			all = append(all, l)
		}
	}
	return all
}

// held are the conversations had: each is shown in several ways.
var held = map[string][][]reply.Reply{}

// conversation returns the answers to lines typed one after another.
func conversation(t testing.TB, asked string) [][]reply.Reply {
	if all, ok := held[asked]; ok {
		return all
	}
	talk := testTalk(t)
	var all [][]reply.Reply
	for _, l := range lines(asked) {
		all = append(all, talk.Say(context.Background(), l))
	}
	held[asked] = all
	return all
}

// shown writes a conversation as the console does at a width.
func shown(t testing.TB, asked string, width int) string {
	var b strings.Builder
	for i, replies := range conversation(t, asked) {
		if i > 0 {
			b.WriteByte('\n')
		}
		b.WriteString("> " + lines(asked)[i] + "\n\n")
		b.WriteString(render.Text(replies, render.Style{Width: width, Keys: true}))
	}
	return b.String()
}

// objects shows a conversation as programs read it, one object a line there,
// spread here so that a change can be read.
func objects(t testing.TB, asked string) string {
	var b bytes.Buffer
	for _, replies := range conversation(t, asked) {
		require.NoError(t, json.Indent(&b, render.JSON(replies), "", " "))
		b.WriteByte('\n')
	}
	return b.String()
}

// checkReplies holds what is true of every reply, whatever it says.
func checkReplies(t *testing.T, replies []reply.Reply) {
	known := make(map[string]string)
	for _, c := range caution.All() {
		known[c.ID] = c.Text
	}
	for _, r := range replies {
		if len(r.Lead) > 2 {
			t.Errorf("%s: lead has %v lines, want at most 2", r.Line, len(r.Lead))
		}
		if len(r.Lead) == 0 && r.Error == "" {
			t.Errorf("%s: found no lead and no error: want one", r.Line)
		}
		if len(r.Cautions) > caution.Most {
			t.Errorf("%s: %v cautions, want at most %v", r.Line, len(r.Cautions), caution.Most)
		}
		for _, c := range r.Cautions {
			if known[c.ID] != c.Text {
				t.Errorf("%s: caution %q is not the table's", r.Line, c.ID)
			}
		}
		for _, v := range r.Values {
			unit, ok := reply.NameUnit(v.Name)
			if !ok || unit != v.Unit && unit != reply.AnyUnit {
				t.Errorf("%s: value %q in %q, want a known name and %q", r.Line, v.Name, v.Unit, unit)
			}
		}
		for _, table := range r.Tables {
			for _, row := range table.Rows {
				if len(row.Cells) != len(table.Head) {
					t.Errorf("%s: row %q has %v cells, want %v", r.Line, row.Cells, len(row.Cells), len(table.Head))
				}
			}
		}
	}
}
