package read

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"spokeword/commands/spec"
)

func TestNormaliseMakesPhonesPlain(t *testing.T) {
	for typed, want := range map[string]string{
		"29×2,4":              "29x2,4",
		"26x1³⁄₈":             "26x1 3/8",
		"26x1½":               "26x1 1/2 ",
		"2.4″ at −5 °C":       `2.4" at -5 °C`,
		"“22 psi”":            `"22 psi"`,
		"24psi 70f→40f":       "24psi 70f > 40f",
		"\u202e29x2.4\u200b":  "29x2.4",
		"29\u00a0x\u202f2.4":  "29 x 2.4",
		"🌧️🪨":                 " wet  rock ",
		"a\x00b\x1b[31m":      "a b [31m",
		"２９x２.４":              "29x2.4",
		"plain 29x2.4 32h 3x": "plain 29x2.4 32h 3x",
	} {
		assert.Equal(t, want, normalise(typed), "%q", typed)
	}
}

// texts lexes a line and joins its tokens with bars, numbers as read.
func textsOf(t *testing.T, line string) string {
	l := lexer{line: normalise(line), fields: func(n string) bool { return n == "rider" || n == "tyre" }, whole: func(w string) bool { return w == "co2" }}
	require.True(t, l.lex(), line)
	var out []string
	for _, tok := range numberTokens(l.tokens) {
		text := tok.text
		if tok.kind == field {
			text += "=" + tok.value
		}
		out = append(out, text)
	}
	return strings.Join(out, "|")
}

func TestLex(t *testing.T) {
	for line, want := range map[string]string{
		"80kg 29x2.4 i30":                   "80|kg|29|x|2.4|i|30",
		"13st7":                             "13|st|7",
		"erd600 36,1/20,9, 28h":             "erd|600|36,1|/|20,9|,|28|h",
		"61-622 -5":                         "61|-|622|-5",
		"it's 5'3\"":                        `its|5|'|3|"`,
		"co2 16g":                           "co2|16|g",
		`rider:"80 kg" tyre:29x2.4 psi: 22`: "rider=80 kg|tyre=29x2.4|psi|:|22",
		"2.":                                "2|.",
		"1.2.3.4.5":                         "1.2.3.4|.5",
		"twenty nine by two point four":     "29|by|2.4",
		"twenty seven point five":           "27.5",
		"which one is it":                   "which|one|is|it",
		"one hundred and ten":               "110",
		"eighty kilos":                      "80|kilos",
		"°C 20 °c":                          "°c|20|°c",
	} {
		assert.Equal(t, want, textsOf(t, line), line)
	}
	l := lexer{line: strings.Repeat("1 ", mostLexed+1), fields: func(string) bool { return false }, whole: func(string) bool { return false }}
	assert.False(t, l.lex(), "too many tokens")
}

// The distance is optimal string alignment, as in Damerau, Commun. ACM 7(3),
// 171 (1964), with one edit a place; pairs worked by hand.
func TestDistance(t *testing.T) {
	for _, x := range []struct {
		a, b string
		want int
	}{
		{"gauge", "guage", 1}, {"tubeless", "tubless", 1}, {"lengths", "lenghts", 1}, {"hookless", "hookles", 1},
		{"front", "frnt", 1}, {"rim", "tyre", 4}, {"", "abc", 3}, {"same", "same", 0}, {"ca", "abc", 3}, {"größe", "grösse", 2},
	} {
		assert.Equal(t, x.want, distance(x.a, x.b), "%s %s", x.a, x.b)
		assert.Equal(t, x.want, distance(x.b, x.a), "%s %s", x.b, x.a)
	}
	assert.Equal(t, 32, distance(strings.Repeat("a", 99), "a"), "bounded")
}

func TestCorrectTakesOneWordOrNone(t *testing.T) {
	x := newLexicon()
	for _, w := range []string{"tubeless", "tubes", "trail", "circumference", "rims", "rise"} {
		x.add(w, sense{role: fills}, spec.English)
	}
	x.add("fels", sense{role: fills}, spec.German)
	x.settle()
	for typed, want := range map[string]string{"tubless": "tubeless", "circumfrense": "circumference", "trial": "trail", "tubess": "tubes"} {
		got, ok := x.correct(typed)
		assert.True(t, ok, typed)
		assert.Equal(t, want, got)
	}
	for _, typed := range []string{"feels", "rime", "rum", "xubeless", "wheel"} {
		_, ok := x.correct(typed)
		assert.False(t, ok, typed)
	}
}

func TestFormsReadWhatTheyWrite(t *testing.T) {
	wire := Wire{}
	for typed, want := range map[string]string{"2.0/1.8": "2.0/1.8/2.0 mm", "1.8": "1.8/1.8/1.8 mm", "2/1.75/2 mm": "2.0/1.75/2.0 mm"} {
		b, err := wire.Parse(typed)
		require.NoError(t, err)
		assert.Equal(t, want, wire.Text(b))
		again, err := wire.Parse(wire.Text(b))
		require.NoError(t, err)
		assert.Equal(t, b, again)
	}
	for _, bad := range []string{"", "9/9/9", "a", "1.8/1.8/1.8/1.8"} {
		_, err := wire.Parse(bad)
		assert.Error(t, err, bad)
	}
}

func TestPairsArePartedAtTheirSlashOnly(t *testing.T) {
	for text, want := range map[string][2]string{
		"26x1 3/8/26x1 1/2": {"26x1 3/8", "26x1 1/2"},
		"2/3":               {"2", "3"},
		"22 psi/25 psi":     {"22 psi", "25 psi"},
		"29x2.5/29x2.4":     {"29x2.5", "29x2.4"},
	} {
		a, b, ok := cutPair(text)
		assert.True(t, ok, text)
		assert.Equal(t, want, [2]string{a, b}, text)
	}
	for _, text := range []string{"26x1 3/8", "12 1/2x2 1/4", "22", "/", "22/"} {
		_, _, ok := cutPair(text)
		assert.False(t, ok, text)
	}
}

func FuzzLex(f *testing.F) {
	for _, s := range []string{"80kg 29x2.4", "26x1³⁄₈", `rider:"`, "\x00\xff", "🌧️5'3\"", "٣٤"} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, line string) {
		if len(line) > MaxBytes {
			return
		}
		l := lexer{line: normalise(line), fields: func(n string) bool { return n == "rider" }, whole: func(string) bool { return false }}
		if l.lex() {
			numberTokens(l.tokens)
		}
		if len(l.tokens) > mostLexed {
			t.Fatalf("%d tokens", len(l.tokens))
		}
	})
}
