package commands

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"spokeword/commands/spec"
)

func TestSuggestionsSayHowAFieldIsRead(t *testing.T) {
	for _, c := range []struct {
		why    string
		option spec.Option
		typed  string
		first  string // label
		fills  string
	}{
		{"a weight with its unit", rider, "82kg", "82 kg = 181 lb", "82 kg"},
		{"a bare weight, by the habit of the trade", rider, "82", "82 kg = 181 lb", "82 kg"},
		{"a weight in stones", rider, "13st7", "13 st 7 lb = 85.7 kg", "13 st 7 lb"},
		{"a pressure for each end", pressure, "22/25 psi", "22 psi/25 psi = 1.52 bar/1.72 bar", "22 psi/25 psi"},
		{"a pressure for both ends", pressure, "1.6 bar", "1.6 bar = 23.2 psi", "1.6 bar"},
		{"a width of a rim", rim, "30", "30 mm = 1.18 in", "30 mm"},
		{"a mark of a rim", rim, "622x30TC", "622x30TC", "622x30TC"},
		{"a tyre in inches", tyreOption, "29x2.4", "29x2.4 = 61 mm on 622 mm", "29x2.4"},
		{"a tyre with several diameters", tyreOption, "26", "26 = bead seat 559 or 571 or 584 or 590 or 597 mm", "26"},
		{"a temperature below nought", ridetemp, "-5", "-5 °C = 23 °F", "-5 °C"},
		{"a tension", mark, "120 kgf", "120 kgf = 1177 N", "120 kgf"},
		{"the beginning of a word", riding, "tr", "trail", "trail"},
		{"the next of several words", ground, "wet ro", "wet rock", "wet rock"},
		{"a word of another language", system, "schlauch", "tubes (schlauch)", "tubes"},
		{"a word within another", use, "bike", "assisted (ebike)", "assisted"},
		{"a unit", to, "ps", "psi", "psi"},
		{"diameters of a spoke", gauge, "2/1.8", "2.0/1.8/2.0 mm", "2.0/1.8/2.0 mm"},
		{"counts", holes, "32", "32", "32"},
		{"an empty field: an example", rider, "", "80 kg", "80 kg"},
		{"an empty enumeration: its values", bead, "", "hooked", "hooked"},
		{"what can't be read is told, and stays", rider, "heavy", `rider "heavy": want a number and a unit such as "80 kg" or "24 psi"`, "heavy"},
		{"out of range", rider, "3 kg", "rider 3 kg: want 10 kg to 250 kg", "3 kg"},
	} {
		all := spec.Suggest(c.option, c.typed)
		require.NotEmpty(t, all, c.why)
		assert.Equal(t, spec.Suggestion{Label: c.first, Text: c.fills}, all[0], c.why)
	}
}

// TestSuggestionsCanBeRead holds the law of Suggester for every option: what is
// suggested can be parsed.
func TestSuggestionsCanBeRead(t *testing.T) {
	set, err := New(Deps{})
	require.NoError(t, err)
	typed := []string{"", "2", "8", "30", "-4", "29x2.4", "22/25", "22 psi rear", "w", "wet,", "wet rock, ", "f", "heavy rear", "light/", "32/28", "650b", "1 3/8 in", "5 ft 11", "2,4 in", "\u202e", "\"", "a b c d", "1e9", "99999"}
	for _, o := range set.Options() {
		s, ok := o.Form().(spec.Suggester)
		if !ok {
			continue // an example is shown, and what was read
		}
		for _, text := range append(typed, o.About().Example) {
			for _, got := range s.Suggest(text) {
				_, err := o.Parse(got.Text)
				assert.NoError(t, err, "%s: %q", o.About().Name, text)
				assert.NotEmpty(t, got.Label)
			}
		}
		assert.NotEmpty(t, s.Suggest(o.About().Example), "%s: its example is read", o.About().Name)
	}
}
