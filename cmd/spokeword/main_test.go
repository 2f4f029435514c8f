package main

import (
	"context"
	"io/fs"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"spokeword/bot"
	"spokeword/bot/console"
	"spokeword/commands"
	"spokeword/commands/talk"
)

// top is the top of the tree, seen from here.
const top = "../.."

// updating reports whether generated files are to be rewritten.
func updating() bool { return os.Getenv("UPDATE") == "1" }

// noon is when the tests take place.
func noon() time.Time { return time.Date(2030, time.May, 4, 12, 0, 0, 0, time.UTC) }

// testDesk returns a desk at noon that fails the test at a fault of ours.
func testDesk(t testing.TB) *commands.Desk {
	desk, err := commands.NewDesk(commands.Deps{Now: noon, Talk: talk.NewMemory(noon), Log: func(err error) string {
		t.Errorf("fault: %v", err)
		return "0"
	}})
	require.NoError(t, err)
	return desk
}

func testTalk(t testing.TB) *console.Talk {
	return console.NewTalk(bot.NewHandler(bot.Options{Desk: testDesk(t), Incident: func(err error) string {
		t.Errorf("fault: %v", err)
		return "0"
	}}), local)
}

// result is what a run left behind.
type result struct {
	code      int
	out, errs string
}

// sw runs the program with an empty environment.
func sw(in string, args ...string) result { return swIn(nil, in, args...) }

// swIn runs the program in an environment.
func swIn(env map[string]string, in string, args ...string) result {
	var out, errs strings.Builder
	code := run(context.Background(), args, environOf(env), strings.NewReader(in), &out, &errs)
	return result{code, out.String(), errs.String()}
}

func environOf(env map[string]string) []string {
	var all []string
	for name, value := range env {
		all = append(all, name+"="+value)
	}
	return all
}

// files returns the paths below the top, with forward slashes, that the
// project keeps: no dot-files, nothing ignored.
func files(t testing.TB) []string {
	var all []string
	err := filepath.WalkDir(top, func(path string, d fs.DirEntry, err error) error {
		if err != nil {
			return err
		}
		rel, err := filepath.Rel(top, path)
		if err != nil {
			return err
		}
		if d.IsDir() {
			if rel != "." && strings.HasPrefix(d.Name(), ".") {
				return fs.SkipDir
			}
			return nil
		}
		if d.Name() == ".git" { // a file in a second working tree
			return nil
		}
		all = append(all, filepath.ToSlash(rel))
		return nil
	})
	require.NoError(t, err)
	return all
}

// read returns the text of a file below the top.
func read(t testing.TB, path string) string {
	text, err := os.ReadFile(filepath.Join(top, path))
	require.NoError(t, err)
	return string(text)
}

// same fails if a generated text is not what stands in a file, or writes it
// there when updating.
func same(t testing.TB, path, want string) {
	if updating() {
		require.NoError(t, os.WriteFile(filepath.Join(top, path), []byte(want), 0o644))
		return
	}
	if got := read(t, path); got != want {
		t.Errorf("%s is out of date; UPDATE=1 go test ./... rewrites it\n%s", path, firstDifference(got, want))
	}
}

// firstDifference shows where two texts part.
func firstDifference(got, want string) string {
	g, w := strings.Split(got, "\n"), strings.Split(want, "\n")
	for i := 0; i < len(g) || i < len(w); i++ {
		var a, b string
		if i < len(g) {
			a = g[i]
		}
		if i < len(w) {
			b = w[i]
		}
		if a != b {
			return "  stands there: " + a + "\n  should stand: " + b
		}
	}
	return ""
}
