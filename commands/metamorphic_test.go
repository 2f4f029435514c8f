package commands

import (
	"math"
	"math/rand/v2"
	"reflect"
	"regexp"
	"slices"
	"strings"
	"sync"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"spokeword/calc/quantity"
	"spokeword/commands/read"
	"spokeword/commands/spec"
)

// This file holds what must not change a request: the order of the words, the
// unit, the case, the punctuation, a polite sentence around, the way by which
// the values came.

// plainReading returns what was understood of a line, if it is one request.
func plainReading(r *read.Reader, line string) (spec.Request, bool) {
	got := r.Read(line, nil)
	if len(got.Requests) != 1 {
		return spec.Request{}, false
	}
	return got.Requests[0], true
}

// meant compares requests: the command and every value.
func meant(a, b spec.Request) bool {
	return a.Command == b.Command && reflect.DeepEqual(stated(a), stated(b))
}

// everyLine returns the lines of the corpora that are one request by themselves,
// and the examples of all commands.
func everyLine(t testing.TB, r *read.Reader) []string {
	set, err := New(Deps{})
	require.NoError(t, err)
	var all []string
	for _, c := range set.All {
		all = append(all, c.Examples...)
	}
	for _, l := range append(typedLines(t), tradeLines(t)...) {
		if len(l.Talk) == 0 {
			all = append(all, l.Line)
		}
	}
	kept := all[:0]
	for _, line := range all {
		if _, ok := plainReading(r, line); ok {
			kept = append(kept, line)
		}
	}
	return kept
}

// unchanged reads each line as it is and altered, and wants the same request.
// Lines that the alteration does not suit are left alone: it returns "".
func unchanged(t *testing.T, alter func(line string) string) {
	t.Helper()
	r := newReader(t)
	tried := 0
	for _, line := range everyLine(t, r) {
		other := alter(line)
		if other == "" || other == line {
			continue
		}
		tried++
		want, _ := plainReading(r, line)
		got, ok := plainReading(r, other)
		if !ok || !meant(want, got) {
			t.Errorf("Read(%q) = %s; want as of %q: %s", other, told(r.Read(other, nil)), line, want.Line())
		}
	}
	assert.Greater(t, tried, 300, "lines tried")
}

// theSet is the commands, made once.
var theSet = sync.OnceValues(func() (*spec.Commands, error) { return New(Deps{}) })

// commandFirst reports whether a line begins with a command's own name, whose place
// matters.
func commandFirst(t *testing.T, line string) bool {
	set, err := theSet()
	require.NoError(t, err)
	first, _, _ := strings.Cut(strings.ToLower(line), " ")
	_, ok := set.Command(strings.Trim(first, "?!.,:"))
	return ok
}

func TestCaseDoesNotMatter(t *testing.T) {
	// a unit of one letter is told from a word by its case: 5 C, 120 N; L and R are sides
	letters := regexp.MustCompile(`(?i)[0-9°] ?(c|f|n|l|g)\b|\bL |\bR `)
	r := newReader(t)
	unchanged(t, func(line string) string {
		req, _ := plainReading(r, line)
		if letters.MatchString(line) || strings.ContainsAny(line, "ßı") || namedByAsker(req) {
			return ""
		}
		return strings.ToUpper(line)
	})
}

func TestPunctuationDoesNotMatter(t *testing.T) {
	for _, wrap := range []string{"%s?", "%s!!", "%s.", "  %s  ", "%s …", "%s??!", "(%s)", "- %s"} {
		unchanged(t, func(line string) string {
			before, after, _ := strings.Cut(wrap, "%s")
			if strings.HasSuffix(line, `"`) || strings.HasSuffix(line, "'") || before == "- " && line[0] >= '0' && line[0] <= '9' {
				return ""
			}
			return before + strings.TrimRight(line, "?!. ") + after
		})
	}
	unchanged(t, func(line string) string { return strings.ReplaceAll(line, " ", "   ") })
	unchanged(t, func(line string) string { return strings.ReplaceAll(line, " ", "\u00a0") })
	unchanged(t, func(line string) string {
		return strings.NewReplacer("x", "×", "-", "–", "'", "’", "\"", "”").Replace(line)
	})
}

func TestPolitenessDoesNotMatter(t *testing.T) {
	r := newReader(t)
	for _, wrap := range []string{"hi, %s please", "hello there, %s thanks a lot", "quick question: %s", "hey mate, %s cheers", "good morning, could you tell me %s", "hallo, %s danke", "bonjour, %s svp merci", "hola, %s por favor", "ciao, %s grazie"} {
		unchanged(t, func(line string) string {
			req, _ := plainReading(r, line)
			if commandFirst(t, line) || req.Command.Keeps || namedByAsker(req) {
				return "" // the name of a thing takes the words behind it
			}
			return strings.Replace(wrap, "%s", line, 1)
		})
	}
}

// namedByAsker reports whether a request holds a name that somebody gave.
func namedByAsker(req spec.Request) bool {
	for _, g := range req.Given {
		switch g.Option.Form().(type) {
		case read.Name, read.Riders:
			return true
		}
	}
	return false
}

// inUnits are the units that are typed for each other, with the decimals that
// keep a value.
var inUnits = []struct {
	from, to quantity.Unit
	typed    *regexp.Regexp
}{
	{quantity.KG, quantity.LB, regexp.MustCompile(`\b(\d+(?:[.,]\d+)?) ?(?:kg|kilos?)\b`)},
	{quantity.PSIUnit, quantity.BarUnit, regexp.MustCompile(`\b(\d+(?:[.,]\d+)?) ?psi\b`)},
	{quantity.BarUnit, quantity.KPAUnit, regexp.MustCompile(`\b(\d+(?:[.,]\d+)?) ?bar\b`)},
	{quantity.MM, quantity.IN, regexp.MustCompile(`\b(\d+(?:[.,]\d+)?) ?mm\b`)},
}

// sharesUnit reports whether a value is a pressure whose unit stands elsewhere: a
// guess, or one of two.
func sharesUnit(g spec.Given) bool {
	switch v := g.Value.(type) {
	case measure:
		return v.Kind() == quantity.KindPressure && g.Origin == spec.Assumed
	case measures:
		return v.First.Kind() == quantity.KindPressure && (g.Origin == spec.Assumed || v.Which == spec.Each)
	}
	return false
}

// TestUnitsDoNotMatter types each weight in pounds, each pressure in the other
// unit and each length in inches.
func TestUnitsDoNotMatter(t *testing.T) {
	r := newReader(t)
	ends := regexp.MustCompile(`\b(rear|hinten|derrière|arrière|detrás|dietro)\b`)
	tried := 0
	for _, line := range everyLine(t, r) {
		want, _ := plainReading(r, line)
		switch want.Command.Name {
		case "convert", "tension", "true", "wheel", "fill", "help", "symptom", "setup", "ride", "size":
			continue // where the unit is what is asked, or names a part
		}
		for _, u := range inUnits {
			found := u.typed.FindAllStringSubmatchIndex(line, -1)
			if len(found) != 1 || strings.Contains(line, "/") {
				continue // of several the unit of one is that of all
			}
			if slices.ContainsFunc(want.Given, sharesUnit) && u.from.Kind() == quantity.KindPressure {
				continue // a bare number beside it takes its unit
			}
			if at := found[0]; at[0] > 0 && strings.ContainsRune("x-+.,", rune(line[at[0]-1])) {
				continue
			}
			n, err := quantity.Number(strings.Replace(line[found[0][2]:found[0][3]], ",", ".", 1))
			require.NoError(t, err)
			m := measure{Number: n, Unit: u.from}.To(u.to)
			if m.Kind() == quantity.KindPressure && (m.Gauge() < quantity.Bar/2 || ends.MatchString(line)) {
				continue // no pressure of a tyre, or one of two of which the unit is that of both
			}
			unit := " " + u.to.String()
			if u.to == quantity.IN {
				unit = `"`
			}
			other := line[:found[0][0]] + quantity.Trimmed(m.Number, 4) + unit + line[found[0][1]:]
			got, ok := plainReading(r, other)
			tried++
			if !ok || !alikeInSI(want, got) {
				t.Errorf("Read(%q) = %s; want as of %q: %s", other, told(r.Read(other, nil)), line, want.Line())
			}
		}
	}
	assert.Greater(t, tried, 150)
}

// alikeInSI compares requests whose measures were typed in different units.
func alikeInSI(a, b spec.Request) bool {
	if a.Command != b.Command || len(a.Given) != len(b.Given) {
		return false
	}
	for i, g := range a.Given {
		o := b.Given[i]
		if g.Option != o.Option {
			return false
		}
		x, y := lengthsOf(g.Value), lengthsOf(o.Value)
		if len(x) == 0 || len(x) != len(y) {
			if !reflect.DeepEqual(g.Value, o.Value) {
				return false
			}
			continue
		}
		for k := range x {
			if math.Abs(x[k]-y[k]) > 1e-3*max(1e-3, math.Abs(x[k])) {
				return false
			}
		}
	}
	return true
}

// lengthsOf returns what a value measures, in SI.
func lengthsOf(v any) []float64 {
	var all []float64
	for _, m := range measuresOf(v) {
		all = append(all, m.SI())
	}
	if e, ok := v.(rims); ok {
		all = append(all, float64(e.First.Inner), float64(e.Second.Inner), float64(e.Which))
	}
	if e, ok := v.(tyres); ok && e.First.Seat == 0 {
		all = append(all, float64(e.First.Width), float64(e.Second.Width), float64(e.Which))
	}
	return all
}

// TestTheOrderOfPartsDoesNotMatter shuffles what may be said in any order.
func TestTheOrderOfPartsDoesNotMatter(t *testing.T) {
	r := newReader(t)
	rng := rand.New(rand.NewPCG(7, 11))
	for _, parts := range [][]string{
		{"80 kg", "29x2.4", "30 mm rim", "tubeless", "trail"},
		{"13 stone 7", "29x2.5 front", "29x2.4 rear", "enduro", "wet roots"},
		{"me 90 kg", "bike 24 kg", "29x2.6", "i35", "ebike"},
		{"75 kg", "700x40", "gravel", "hookless", "tyre max 60 psi"},
		{"fahrer 82 kg", "29x2,4", "felge 30 mm", "schlauchlos", "nass"},
		{"cycliste 82 kg", "29x2.4", "jante 30 mm", "chambre à air"},
		{"ciclista 82 kg", "29x2.4", "llanta 30 mm", "con cámara", "barro"},
		{"22/25 psi", "insert rear", "29x2.4", "wet"},
		{"24 psi", "set at 20 °C", "riding at -5 °C"},
		{"24 psi", "pumped at 15 °C", "ridden at 0 °C", "up at 2000 m"},
		{"fit 2.4", "25 mm rim", "72 mm between the stays", "hookless"},
		{"erd 600", "pcd 58/58", "offsets 36/21", "32 holes", "3 cross", "rear disc"},
		{"ERD 598 mm", "Lochkreis 58", "Flanschabstand 36/21", "32 Loch", "3-fach"},
		{"lacing", "28 holes", "3 cross", "rear", "disc"},
		{"36 points", "32/52", "170 mm cranks"},
		{"gearing 29x2.4", "32t ring", "51 cog"},
		{"whole setup", "82 kg", "enduro", "29 wheels"},
		{"wheel", "28 or 32 spokes", "95 kg"},
		{"tension erd 600", "pcd 58/58", "offsets 36/21", "32h", "3x", "mark 120 kgf"},
		{"how many strokes", "mini pump", "29x2.4", "25 psi"},
		{"16 g co2", "29x2.4", "at -5 °C"},
	} {
		want, ok := plainReading(r, strings.Join(parts, " "))
		require.True(t, ok, strings.Join(parts, " "))
		for k := range 20 {
			shuffled := append([]string(nil), parts...)
			rng.Shuffle(len(shuffled), func(i, j int) { shuffled[i], shuffled[j] = shuffled[j], shuffled[i] })
			line := strings.Join(shuffled, []string{", ", " "}[k%2])
			if got, ok := plainReading(r, line); !ok || !meant(want, got) {
				t.Errorf("Read(%q) = %s; want as of %q: %s", line, told(r.Read(line, nil)), strings.Join(parts, " "), want.Line())
			}
		}
	}
}

// TestTheWayInDoesNotMatter reads each line, the form that holds its values,
// the same in another order, and its canonical line: one request.
func TestTheWayInDoesNotMatter(t *testing.T) {
	r := newReader(t)
	rng := rand.New(rand.NewPCG(3, 5))
	for _, line := range everyLine(t, r) {
		want, _ := plainReading(r, line)
		var fields []spec.Field
		for _, g := range want.Given {
			fields = append(fields, spec.Field{Option: g.Option.About().Name, Text: g.Option.Text(g.Value)})
		}
		ways := []string{want.Line(), spec.Filled(want.Command.Name, fields...)}
		rng.Shuffle(len(fields), func(i, j int) { fields[i], fields[j] = fields[j], fields[i] })
		ways = append(ways, spec.Filled(want.Command.Name, fields...))
		for _, way := range ways {
			if got, ok := plainReading(r, way); !ok || !meant(want, got) {
				t.Errorf("Read(%q) = %s; want as of %q: %s", way, told(r.Read(way, nil)), line, want.Line())
			}
		}
	}
}
