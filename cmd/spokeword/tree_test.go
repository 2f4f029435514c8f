package main

import (
	"go/ast"
	"go/parser"
	"go/token"
	"os"
	"path"
	"path/filepath"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// source is one Go file of the project.
type source struct {
	path string // below the top, with forward slashes
	file *ast.File
	set  *token.FileSet
}

func (s source) test() bool { return strings.HasSuffix(s.path, "_test.go") }

// under reports whether the file lies in one of the directories or below.
func (s source) under(dirs ...string) bool {
	return slices.ContainsFunc(dirs, func(d string) bool { return strings.HasPrefix(s.path, d+"/") })
}

// at returns where in the file a node stands.
func (s source) at(n ast.Node) string {
	return s.path + ":" + strconv.Itoa(s.set.Position(n.Pos()).Line)
}

// texts calls do for each string literal; imports and struct tags are none.
func (s source) texts(do func(*ast.BasicLit, string)) {
	skip := make(map[*ast.BasicLit]bool)
	ast.Inspect(s.file, func(n ast.Node) bool {
		switch n := n.(type) {
		case *ast.ImportSpec:
			skip[n.Path] = true
		case *ast.Field:
			if n.Tag != nil {
				skip[n.Tag] = true
			}
		case *ast.BasicLit:
			if n.Kind != token.STRING || skip[n] {
				return true
			}
			if text, err := strconv.Unquote(n.Value); err == nil {
				do(n, text)
			}
		}
		return true
	})
}

// mentions calls do for each mention of a name of a package, as time.Now. The
// package is known by the name under which the file imports it.
func (s source) mentions(pkg string, do func(n ast.Node, name string)) {
	local := ""
	for _, i := range s.file.Imports {
		if p, _ := strconv.Unquote(i.Path.Value); p == pkg {
			if local = path.Base(p); i.Name != nil {
				local = i.Name.Name
			}
		}
	}
	if local == "" {
		return
	}
	ast.Inspect(s.file, func(n ast.Node) bool {
		if sel, ok := n.(*ast.SelectorExpr); ok {
			if x, ok := sel.X.(*ast.Ident); ok && x.Name == local {
				do(sel, sel.Sel.Name)
			}
		}
		return true
	})
}

// sources parses every Go file. It asks no go command: the cache of tests does
// not see what that reads.
func sources(t testing.TB) []source {
	var all []source
	for _, p := range files(t) {
		if !strings.HasSuffix(p, ".go") {
			continue
		}
		set := token.NewFileSet()
		f, err := parser.ParseFile(set, filepath.Join(top, p), nil, parser.ParseComments)
		require.NoError(t, err)
		all = append(all, source{p, f, set})
	}
	require.NotEmpty(t, all)
	return all
}

// layers says what each part of the tree may import of the project.
var layers = map[string][]string{
	"calc":     {"calc"},
	"commands": {"calc", "commands"},
	"bot":      {"commands", "bot"},
	"config":   {},
	"cmd":      {"config", "commands", "bot"},
}

func TestLayers(t *testing.T) {
	for _, s := range sources(t) {
		from, _, _ := strings.Cut(s.path, "/")
		may, ok := layers[from]
		if !ok {
			t.Errorf("%s: want every Go file below %v", s.path, "cmd bot commands calc config")
			continue
		}
		for _, i := range s.file.Imports {
			p, err := strconv.Unquote(i.Path.Value)
			require.NoError(t, err)
			rest, ours := strings.CutPrefix(p, "spokeword/")
			to, _, _ := strings.Cut(rest, "/")
			if !ours || slices.Contains(may, to) || allowedInTest(s, to) {
				continue
			}
			t.Errorf("%s imports %s: %s may import of ours only %v", s.at(i), p, from, may)
		}
	}
}

// allowedInTest lets tests of a front end build replies as commands do, with
// what they rest on.
func allowedInTest(s source, to string) bool { return s.test() && s.under("bot") && to == "calc" }

// topLevel is all that stands at the top, besides dot-files.
var topLevel = []string{"DEVELOPERS.md", "Dockerfile", "LICENSE", "README.md", "bot", "calc", "cmd", "commands", "config", "go.mod", "go.sum", "testdata"}

func TestTopLevel(t *testing.T) {
	entries, err := os.ReadDir(top)
	require.NoError(t, err)
	var names []string
	for _, e := range entries {
		// The binary and the settings of a bot run from here are ignored by git.
		if n := e.Name(); !strings.HasPrefix(n, ".") && n != "spokeword" && n != "spokeword.yaml" {
			names = append(names, n)
		}
	}
	assert.Equal(t, topLevel, names)
}

func TestNamesOfDirectories(t *testing.T) {
	vague := []string{"util", "utils", "common", "helpers", "models", "internal", "pkg"}
	for _, p := range files(t) {
		for dir := range strings.SplitSeq(path.Dir(p), "/") {
			if slices.Contains(vague, dir) {
				t.Errorf("%s: %q says nothing; want a directory named for what it gives", p, dir)
			}
		}
	}
}

// TestNoPlatformInCommands holds that commands do not know who asks.
func TestNoPlatformInCommands(t *testing.T) {
	// A spoke without tension is slack, and a load may be: as a word of the
	// trade it stands free, not in a name.
	platform := regexp.MustCompile(`(?i:discord)|\bSlack\b|Slack[A-Z]|[a-z]Slack|slack[A-Z_/-]|slack:[TE"]`)
	for _, p := range files(t) {
		if !strings.HasPrefix(p, "commands/") || !strings.HasSuffix(p, ".go") || strings.HasSuffix(p, "_test.go") {
			continue
		}
		for i, l := range strings.Split(read(t, p), "\n") {
			if m := platform.FindString(strings.ReplaceAll(l, "Slack spoke", "")); m != "" {
				t.Errorf("%s:%v names a platform: %s", p, i+1, m)
			}
		}
	}
}

// TestNumbersBecomeTextInQuantity holds that one package decides how figures
// look, so that a maximum is rounded down everywhere.
func TestNumbersBecomeTextInQuantity(t *testing.T) {
	verb := regexp.MustCompile(`%[-+#0]*(\d+|\*)?(\.(\d+|\*)?)?[feEgGF]`)
	for _, s := range sources(t) {
		if s.test() || s.under("calc/quantity") {
			continue
		}
		s.texts(func(n *ast.BasicLit, text string) {
			if m := verb.FindString(strings.ReplaceAll(text, "%%", "")); m != "" {
				t.Errorf("%s: %q holds %s: want numbers made text by calc/quantity", s.at(n), text, m)
			}
		})
		s.mentions("strconv", func(n ast.Node, name string) {
			if name == "FormatFloat" || name == "AppendFloat" {
				t.Errorf("%s: strconv.%s: want numbers made text by calc/quantity", s.at(n), name)
			}
		})
	}
}

// TestClock holds that models and commands are told the time, and that no test
// waits for it. Benchmarks measure it, so tests may look at the clock.
func TestClock(t *testing.T) {
	for _, s := range sources(t) {
		s.mentions("time", func(n ast.Node, name string) {
			switch {
			case slices.Contains([]string{"Now", "Since", "Until", "After", "Tick", "NewTimer", "NewTicker", "AfterFunc"}, name) && !s.test() && !s.under("cmd", "bot"):
				t.Errorf("%s: time.%s: want the time from outside", s.at(n), name)
			case name == "Sleep" && s.test():
				t.Errorf("%s: time.Sleep: want a test that waits for nothing", s.at(n))
			}
		})
	}
}

// TestCitations holds that figures and rules cite a source anyone can read,
// not papers that lay on our desk.
func TestCitations(t *testing.T) {
	paper := regexp.MustCompile(`\.\./shared|\b(domain|vocabulary|conventions|design|platform)\.md\b|\bquestions\.jsonl\b`)
	for _, p := range files(t) {
		if strings.HasPrefix(p, "testdata/") || p == "cmd/spokeword/tree_test.go" || strings.Contains(p, "/testdata/fuzz/") {
			continue
		}
		for i, l := range strings.Split(read(t, p), "\n") {
			if m := paper.FindString(l); m != "" {
				t.Errorf("%s:%v cites %s: want the source itself", p, i+1, m)
			}
		}
	}
}

// TestNoOptionInBot holds that front ends work for commands they know nothing
// of: no text in them is an option's name, or a canonical part of a line.
func TestNoOptionInBot(t *testing.T) {
	named := make(map[string]bool)
	for _, o := range testDesk(t).Commands().Options() {
		named[o.About().Name] = true
	}
	require.Contains(t, named, "rider")
	// Words that mean something else to a front end: the labels of objects.
	delete(named, "unit")
	delete(named, "name")
	delete(named, "table")
	part := regexp.MustCompile(`\b([a-z]+):["\d]`)
	for _, s := range sources(t) {
		// The stand-ins for services hold the words of their protocols, and the
		// suite asks what people ask.
		if s.test() || !s.under("bot") || s.under("bot/slackfake", "bot/discordfake", "bot/bottest") {
			continue
		}
		s.texts(func(n *ast.BasicLit, text string) {
			if named[text] {
				t.Errorf("%s: %q is an option's name", s.at(n), text)
			}
			for _, m := range part.FindAllStringSubmatch(text, -1) {
				if named[m[1]] {
					t.Errorf("%s: %q writes an option", s.at(n), text)
				}
			}
		})
	}
}

// TestNoPathsOfMachines holds that nothing kept here says where it was made.
func TestNoPathsOfMachines(t *testing.T) {
	place := regexp.MustCompile(`(^|[\s"'=(])/(home|root|work|Users)/`)
	for _, p := range append(files(t), ".ci/run") {
		if p == "cmd/spokeword/tree_test.go" {
			continue
		}
		for i, l := range strings.Split(read(t, p), "\n") {
			if place.MatchString(l) {
				t.Errorf("%s:%v: %s: want no path of one machine", p, i+1, strings.TrimSpace(l))
			}
		}
	}
}
