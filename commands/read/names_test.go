package read

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"spokeword/calc/quantity"
	"spokeword/commands/spec"
)

var party = Riders{
	Numbers: Numbers{Kind: quantity.Bare, Least: 1, Most: 40, Whole: true},
	Has:     []Choice{{Value: "tubes", Words: spec.W("tubes", "tube")}, {Value: "insert", Words: spec.W("insert")}},
}

func TestNamesAreTidied(t *testing.T) {
	for text, want := range map[string]string{"blue hardtail": "blue hardtail", "  a   b ": "a b", "Größe 2": "Größe 2", "29er": "29er"} {
		got, err := Name{}.Parse(text)
		require.NoError(t, err, text)
		assert.Equal(t, want, got)
	}
	for _, text := range []string{"", "  ", "…", `my "bike"`, "a\x00b", "\xff", strings.Repeat("x", 41), "\u202ereversed"} {
		_, err := Name{}.Parse(text)
		assert.Error(t, err, "%q", text)
	}
}

func TestRidersAreReadBack(t *testing.T) {
	for _, text := range []string{"6", "1", "40", "a 62 kg 29x2.35; b 95 kg 27.5x2.6 insert", "ann 137 lb 26x1 3/8 tubes", "kid 30.5 kg 24x2.0 tubes insert"} {
		p, err := party.Parse(text)
		require.NoError(t, err, text)
		assert.Equal(t, text, party.Text(p))
	}
	for _, text := range []string{"0", "41", "2.5", "6 kg", "ann", "ann 62 kg", "ann 62 29x2.4", "ann 29x2.4 62 kg", "ann 62 kg 29x2.4 wings", "ann 62 psi 29x2.4", ";", "a 62 kg 29x2.35;", "nobody"} {
		_, err := party.Parse(text)
		assert.Error(t, err, text)
	}
}

func FuzzRiders(f *testing.F) {
	for _, text := range []string{"6", "a 62 kg 29x2.35; b 95 kg 27.5x2.6 insert", "ann 137 lb 26x1 3/8 tubes", "x 9 st 4 lb 29", "0 0 st1 20", ";;"} {
		f.Add(text)
	}
	f.Fuzz(func(t *testing.T, text string) {
		p, err := party.Parse(text)
		if err != nil {
			return
		}
		written := party.Text(p)
		again, err := party.Parse(written)
		if err != nil {
			t.Fatalf("%q was read, %q not: %v", text, written, err)
		}
		if party.Text(again) != written {
			t.Fatalf("%q became %q, and that %q", text, written, party.Text(again))
		}
	})
}
