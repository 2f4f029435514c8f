package main

import (
	"fmt"
	"regexp"
	"strings"
	"testing"

	"github.com/rogpeppe/go-internal/txtar"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"spokeword/config"
)

// TestReadme holds the parts of the README that are made from the code:
// between <!-- name --> and <!-- end -->.
func TestReadme(t *testing.T) {
	text := read(t, "README.md")
	for _, part := range []struct{ name, made string }{
		{"exchange", exchange(t)},
		{"commands", commandTable(t)},
		{"settings", settingTable()},
	} {
		text = putBetween(t, text, part.name, part.made)
	}
	same(t, "README.md", text)
}

// putBetween puts a made part between its marks.
func putBetween(t *testing.T, text, name, made string) string {
	start, end := "<!-- "+name+" -->\n", "<!-- end -->"
	before, rest, ok := strings.Cut(text, start)
	require.True(t, ok, name)
	_, after, ok := strings.Cut(rest, end)
	require.True(t, ok, name)
	return before + start + made + end + after
}

// exchange shows the first line and answer of a golden.
func exchange(t *testing.T) string {
	archive := txtar.Parse([]byte(read(t, "testdata/replies/pressure-trail.txtar")))
	first := lines(section(archive, "ask"))[0]
	return "```text\n" + shown(t, first, 72) + "```\n"
}

func commandTable(t *testing.T) string {
	var b strings.Builder
	b.WriteString("| command | what it answers | for example |\n| --- | --- | --- |\n")
	for _, c := range testDesk(t).Commands().All {
		fmt.Fprintf(&b, "| `%s` | %s | `%s` |\n", c.Name, cell(c.Summary), cell(c.Example(0)))
	}
	return b.String()
}

func settingTable() string {
	var b strings.Builder
	b.WriteString("| in the file | in the environment | default | what it may be | what it does |\n| --- | --- | --- | --- | --- |\n")
	for _, s := range config.All() {
		usual := "none"
		if s.Default != "" {
			usual = "`" + s.Default + "`"
		}
		fmt.Fprintf(&b, "| `%s` | `%s` | %s | %s | %s |\n", s.Key, s.Env, usual, cell(s.Wants), cell(s.Help))
	}
	return b.String()
}

// cell writes a text so that it stays in its cell of a table.
func cell(text string) string { return strings.ReplaceAll(text, "|", `\|`) }

// TestReadmeCommands holds that the README begins with its two commands, that
// the gate finds them, and that the first is the line tested here.
func TestReadmeCommands(t *testing.T) {
	text := read(t, "README.md")
	marked := regexp.MustCompile("(?m)^<!-- command: (\\w+) -->\n```sh\n([^\n]*)\n```$").FindAllStringSubmatch(text, -1)
	require.Len(t, marked, 2)
	assert.Equal(t, []string{"job", `go run ./cmd/spokeword ask "` + mainJob + `"`}, marked[0][1:])
	assert.Equal(t, []string{"tests", "go test ./..."}, marked[1][1:])
	assert.Equal(t, 2, strings.Count(text, "```sh\n"), "no other command is to be tried before these")
	gate := read(t, ".ci/run")
	for _, mark := range []string{"command: job", "command: tests"} {
		assert.Contains(t, gate, `$(marked "`+mark+`")`)
	}
}

// TestReadmeLinks holds that what the papers point to is there.
func TestReadmeLinks(t *testing.T) {
	known := make(map[string]bool)
	for _, f := range files(t) {
		known[f] = true
	}
	for _, paper := range []string{"README.md", "DEVELOPERS.md"} {
		for _, m := range regexp.MustCompile(`\]\(([^)#]+)\)`).FindAllStringSubmatch(read(t, paper), -1) {
			if !strings.Contains(m[1], "://") {
				assert.True(t, known[m[1]], "%s points to %s", paper, m[1])
			}
		}
	}
}

// TestDevelopersPaths holds that files named in DEVELOPERS.md are there.
func TestDevelopersPaths(t *testing.T) {
	all := strings.Join(files(t), "\n")
	for _, m := range regexp.MustCompile("`((?:bot|calc|cmd|commands|config|testdata)/[\\w./-]*)`").FindAllStringSubmatch(read(t, "DEVELOPERS.md"), -1) {
		assert.Contains(t, "\n"+all+"\n", "\n"+m[1], "DEVELOPERS.md names %s", m[1])
	}
}
