package spec

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
)

func TestFilled(t *testing.T) {
	for _, c := range []struct {
		fields []Field
		want   string
		why    string
	}{
		{nil, "weigh", "nothing filled"},
		{[]Field{{"rider", "80 kg"}, {"tyre", ""}, {"rim", " \t"}}, `weigh rider:"80 kg"`, "empty fields are none"},
		{[]Field{{"tyre", `29x2.4"`}}, `weigh tyre:"29x2.4 in"`, "an inch sign"},
		{[]Field{{"tyre", "29\u2033 x 2.4\u201d"}}, `weigh tyre:"29 in x 2.4 in"`, "as telephones write it"},
		{[]Field{{"rider", `"80 kg" tyre:"29`}}, `weigh rider:"80 kg tyre: 29"`, "nothing breaks out of its field"},
		{[]Field{{"rider", "80\nkg"}}, `weigh rider:"80 kg"`, "no breaks"},
	} {
		assert.Equal(t, c.want, Filled("weigh", c.fields...), c.why)
	}
}

func TestRefilled(t *testing.T) {
	for _, c := range []struct{ line, option, text, want, why string }{
		{`weigh tyre:29x2.4 rim:"30 mm"`, "rider", "80", `weigh tyre:29x2.4 rim:"30 mm" rider:"80"`, "it lacked"},
		{`weigh rider:"8 kg" rim:"30 mm"`, "rider", "80", `weigh rim:"30 mm" rider:"80"`, "it was there"},
		{`weigh rider:8 rim:"rider: 9"`, "rider", "80", `weigh rim:"rider: 9" rider:"80"`, "within quotes it is none"},
		{`weigh rider:8`, "rider", "", "weigh", "emptied"},
	} {
		assert.Equal(t, c.want, Refilled(c.line, c.option, c.text), c.why)
	}
}

// FuzzFilled holds that a field stays one field, whatever was typed.
func FuzzFilled(f *testing.F) {
	f.Add(`29x2.4" rim:"30`, "a\u201db")
	f.Fuzz(func(t *testing.T, one, two string) {
		line := Filled("weigh", Field{"a", one}, Field{"b", two})
		if got := len(parts(line)); got > 3 {
			t.Errorf("Filled(%q, %q) = %q, of %v parts, want at most 3", one, two, line, got)
		}
		if n := strings.Count(line, `"`); n%2 != 0 || n > 4 {
			t.Errorf("Filled(%q, %q) = %q, want only its own quotes", one, two, line)
		}
	})
}
