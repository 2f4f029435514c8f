package render

import (
	"encoding/json"
	"math"
	"math/rand/v2"
	"strings"
	"testing"
	"unicode"
	"unicode/utf8"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"spokeword/calc/basis"
	"spokeword/commands/reply"
)

// full is a reply with something in every slot.
func full() reply.Reply {
	return reply.Reply{
		Command: "pressure", Line: `pressure rider:"80 kg"`,
		Lead: []string{"Front 23 psi, rear 25 psi.", "Ride it, then move by 1 psi."},
		Cautions: []reply.Caution{
			{ID: "one", Text: "Never go above the lower of the marks on tyre and rim: read both first."},
			{ID: "two", Text: "Stop and inspect rim and tyre after a strike."},
		},
		Tables: []reply.Table{{Title: "Start", Head: []string{"", "psi", "bar", "band"}, Rows: []reply.Row{
			{Cells: []string{"Front", "23.0", "1.58", "21–25"}},
			{Cells: []string{"Rear", "25.0", "1.73", "23–27"}},
		}}},
		Read:    []reply.Item{{Option: "rider", Value: "80 kg"}, {Option: "rim", Value: "30 mm"}},
		Assumed: []reply.Item{{Option: "rim", Value: "30 mm", Why: "typed without a unit"}},
		Unused:  []string{"sunday"},
		Notes:   []reply.Note{{Text: "The load is shared", Basis: basis.Basis{Kind: basis.Practice}}, {Text: "A second remark"}},
		Values:  []reply.Value{{Name: "front.start", Value: 158579.4128, Unit: reply.Pascals, Low: 144789, High: 172369}, {Name: "verdict", Text: "good"}},
		Actions: []reply.Action{{Label: "wet rock", Line: `pressure ground:"wet rock"`}, {Label: "why", Line: "why"}},
	}
}

func text(r reply.Reply, width int) string {
	return Text([]reply.Reply{r}, Style{Width: width, Keys: true})
}

func TestOrder(t *testing.T) {
	want := `Front 23 psi, rear 25 psi.
Ride it, then move by 1 psi.

Caution: Never go above the lower of the
  marks on tyre and rim: read both
  first.
Caution: Stop and inspect rim and tyre
  after a strike.

Start
       psi   bar   band
Front  23.0  1.58  21–25
Rear   25.0  1.73  23–27

Read: rider 80 kg
Assumed: rim 30 mm (typed without a
  unit)
Not used: sunday

- The load is shared (common practice,
  no source)
- A second remark

Next:
  1  wet rock
  2  why
`
	assert.Equal(t, want, text(full(), 40))
}

func TestQuestion(t *testing.T) {
	ask := &reply.Ask{Option: "rider", Text: "How heavy is the rider?", Choices: []reply.Action{{Label: "65 kg", Line: "pressure rider:\"65 kg\""}, {Label: "80 kg", Line: "pressure rider:\"80 kg\""}}}
	asked := reply.Reply{Lead: []string{ask.Text}, Ask: ask}
	assert.Equal(t, "How heavy is the rider?\n\n  1  65 kg\n  2  80 kg\n", text(asked, 40), "the question is not put twice")
	asked.Lead = nil
	assert.Equal(t, "How heavy is the rider?\n\n  1  65 kg\n  2  80 kg\n", text(asked, 40), "a question without a lead is the lead")
	assert.Equal(t, "How heavy is the rider?\n\nAnswer with one of:\n  65 kg: pressure rider:\"65 kg\"\n  80 kg: pressure rider:\"80 kg\"\n",
		Text([]reply.Reply{asked}, Style{Width: 60}), "without keys the line to type is shown")
}

func TestMistake(t *testing.T) {
	r := reply.Reply{Mistake: true, Error: "rim 200 mm: want 10 mm to 110 mm", Example: "fit 2.4 on 30", Unused: []string{"pls"}}
	assert.Equal(t, "Rim 200 mm: want 10 mm to 110 mm.\nTry: fit 2.4 on 30\n\nNot used: pls\n", text(r, 40))
}

func TestSeveralReplies(t *testing.T) {
	a, b := full(), full()
	a.Title, b.Title = "Pressure", "Fit"
	out := Text([]reply.Reply{a, b}, Style{Width: 40, Keys: true})
	assert.True(t, strings.HasPrefix(out, "Pressure\n\nFront"))
	assert.Contains(t, out, "\n  3  wet rock\n  4  why\n", "keys run on, so that each means one thing")
}

func TestKeys(t *testing.T) {
	for _, c := range []struct {
		labels []string
		want   string
		why    string
	}{
		{[]string{"wet", "dry"}, "1 2", "numbers"},
		{[]string{"65 kg", "80 kg"}, "1 2", "nobody means 1 kg"},
		{[]string{"2 crossings", "3 crossings"}, "a b", "2 would be the second and the answer 2"},
		{[]string{"29x2.4", "1 bar"}, "a b", "1 as well"},
		{nil, "", "nothing is open"},
	} {
		var r reply.Reply
		for _, l := range c.labels {
			r.Actions = append(r.Actions, reply.Action{Label: l, Line: l})
		}
		var names []string
		for _, k := range Keys([]reply.Reply{r}) {
			names = append(names, k.Name)
		}
		assert.Equal(t, c.want, strings.Join(names, " "), c.why)
	}
}

func TestColourOnlyAdds(t *testing.T) {
	grey := Text([]reply.Reply{full()}, Style{Width: 60})
	bright := Text([]reply.Reply{full()}, Style{Width: 60, Colour: true})
	assert.NotEqual(t, grey, bright)
	for _, code := range []string{"\x1b[1m", "\x1b[33m", "\x1b[0m"} {
		bright = strings.ReplaceAll(bright, code, "")
	}
	assert.Equal(t, grey, bright)
}

func TestTables(t *testing.T) {
	wide := reply.Table{Head: []string{"End", "Verdict", "Who says so"}, Rows: []reply.Row{
		{Cells: []string{"Front", "usable", "a standard and two handbooks, which agree"}},
		{Cells: []string{"Rear", "good", "all of them"}},
	}}
	for _, c := range []struct {
		width int
		want  string
		why   string
	}{
		{80, "End    Verdict  Who says so\nFront  usable   a standard and two handbooks, which agree\nRear   good     all of them\n", "fits as it stands"},
		{40, "End    Verdict  Who says so\nFront  usable   a standard and two\n                handbooks, which agree\nRear   good     all of them\n", "the widest column is wrapped"},
	} {
		got := text(reply.Reply{Tables: []reply.Table{wide}}, c.width)
		assert.Equal(t, c.want, got, c.why)
	}
	long := reply.Table{Head: []string{"Spoke", "Length", "Remark"}, Rows: []reply.Row{
		{Cells: []string{"left", "293.4 mm", "leadingleadingleading"}},
		{Cells: []string{"rightrightright", "291.0 mm", ""}},
	}}
	assert.Equal(t, "Spoke: left\n  Length: 293.4 mm\n  Remark: leadingleadingleading\nSpoke: rightrightright\n  Length: 291.0 mm\n",
		text(reply.Reply{Tables: []reply.Table{long}}, 40), "words that do not fit side by side stand one below the other")
	uneven := reply.Table{Rows: []reply.Row{{Cells: []string{"a", "b"}}, {Cells: []string{"c"}}}}
	assert.Equal(t, "a  b\nc\n", text(reply.Reply{Tables: []reply.Table{uneven}}, 40), "no head, and a row that is short")
}

func TestSafe(t *testing.T) {
	for _, c := range []struct{ in, want, why string }{
		{"80 kg – 29×2,4″", "80 kg – 29×2,4″", "what phones type stays"},
		{"a\x1b[31mred", `a\u001b[31mred`, "escape sequences are shown, not obeyed"},
		{"a\x00b\x7f", `a\u0000b\u007f`, "control characters"},
		{"a\u009bb", `a\u009bb`, "the one-byte form of an escape sequence"},
		{"one\r\ntwo\tthree", "one  two three", "a line stays a line"},
		{"exe\u202egpj", `exe\u202egpj`, "the direction of writing is not turned"},
		{"\u2066x\u2069", `\u2066x\u2069`, "nor isolated"},
		{"\ufeffx", `\ufeffx`, "a mark without width"},
		{"a\xff\xfeb", "a\ufffd\ufffdb", "bytes that are no text"},
		{"👩\u200d🔧", "👩\u200d🔧", "joined signs stay"},
		{"e\u0301", "e\u0301", "an accent stays"},
		{"e" + strings.Repeat("\u0301", 50), "e" + strings.Repeat("\u0301", 4), "a tower of accents does not"},
		{"\U000f0000", `\uf0000`, "private characters"},
	} {
		assert.Equal(t, c.want, Safe(c.in), c.why)
	}
}

func TestWidth(t *testing.T) {
	for _, c := range []struct {
		in   string
		want int
	}{{"abc", 3}, {"größe", 5}, {"e\u0301", 1}, {"輪", 2}, {"ｗ", 2}, {"🔧", 2}, {"a\u200db", 2}, {"", 0}} {
		assert.Equal(t, c.want, Width(c.in), c.in)
	}
}

func TestWrapKeepsNumberAndUnit(t *testing.T) {
	assert.Equal(t, []string{"a rim of", "30 mm, or", "so"}, wrap("a rim of 30 mm, or so", 9, 0))
	assert.Equal(t, []string{"abcdefgh", "  ijklmn", "  op q"}, wrap("abcdefghijklmnop q", 8, 2), "a long word is broken")
	assert.Equal(t, []string{"輪輪", "輪"}, wrap("輪輪輪", 5, 0), "a wide sign is not split")
	assert.Equal(t, []string{""}, wrap("", 10, 0))
}

// anything returns a text of the kinds that trouble layouts.
func anything(r *rand.Rand) string {
	pieces := []string{"psi", "30", "mm", "a", "supercalifragilistic-wheelbuilding-terminology", "輪組", "e\u0301\u0301", "🚵\u200d♀️",
		"\x1b[2J", "\u202e", "\xff", strings.Repeat("x", 90), "\n", "\t", "29×2,4", `pressure rider:"80 kg"`, "⚠️", "\u00a0", "zwölf"}
	var words []string
	for range r.IntN(14) {
		words = append(words, pieces[r.IntN(len(pieces))])
	}
	return strings.Join(words, " ")
}

func random(r *rand.Rand) reply.Reply {
	var out reply.Reply
	items := func() (all []reply.Item) {
		for range r.IntN(5) {
			all = append(all, reply.Item{Option: anything(r), Value: anything(r), Why: anything(r)})
		}
		return
	}
	out.Lead = []string{anything(r), anything(r)}[:r.IntN(3)]
	for range r.IntN(4) {
		out.Cautions = append(out.Cautions, reply.Caution{ID: "c", Text: anything(r) + " end"})
	}
	for range r.IntN(3) {
		table := reply.Table{Title: anything(r)}
		for range r.IntN(6) {
			table.Head = append(table.Head, anything(r))
		}
		for range r.IntN(8) {
			var row reply.Row
			for range r.IntN(7) {
				row.Cells = append(row.Cells, anything(r))
			}
			table.Rows = append(table.Rows, row)
		}
		out.Tables = append(out.Tables, table)
	}
	out.Read, out.Assumed = items(), items()
	for range r.IntN(4) {
		out.Notes = append(out.Notes, reply.Note{Text: anything(r), Basis: basis.Basis{Kind: basis.Kind(r.IntN(9)), Says: anything(r)}})
		out.Unused = append(out.Unused, anything(r))
		out.Actions = append(out.Actions, reply.Action{Label: anything(r), Line: anything(r)})
	}
	if r.IntN(2) == 0 {
		out.Error, out.Example = anything(r), anything(r)
	}
	if r.IntN(2) == 0 {
		out.Ask = &reply.Ask{Text: anything(r), Choices: out.Actions}
	}
	return out
}

// bare is a text without what layout adds or takes: blanks and line breaks.
func bare(text string) string {
	return strings.Join(strings.FieldsFunc(text, func(r rune) bool { return r == ' ' || r == '\n' || r == '\u3000' }), "")
}

// TestAnyReply holds, for replies of every kind, that no line is wider than
// asked for, that nothing in it can act on a terminal, and that every caution
// is there from its first word to its last.
func TestAnyReply(t *testing.T) {
	r := rand.New(rand.NewPCG(1, 2))
	for n := range 200 {
		replies := []reply.Reply{random(r)}
		if n%5 == 0 {
			replies = append(replies, random(r))
		}
		for _, width := range []int{34, 40, 60, 80} {
			out := Text(replies, Style{Width: width, Keys: n%2 == 0})
			require.True(t, utf8.ValidString(out))
			for l := range strings.SplitSeq(out, "\n") {
				if Width(l) > width {
					t.Fatalf("line of %v columns, want at most %v: %q", Width(l), width, l)
				}
				if i := strings.IndexFunc(l, func(r rune) bool { return unicode.IsControl(r) || unicode.Is(unicode.Bidi_Control, r) }); i >= 0 {
					t.Fatalf("control character in %q", l)
				}
			}
			for _, one := range replies {
				for _, c := range one.Cautions {
					if !strings.Contains(bare(out), bare("Caution: "+Safe(c.Text))) {
						t.Fatalf("caution %q is not whole in\n%v", c.Text, out)
					}
				}
			}
			if strings.Contains(out, "\n\n\n") {
				t.Fatalf("two blank lines in\n%v", out)
			}
		}
	}
}

func TestFit(t *testing.T) {
	size := func(r reply.Reply) int { return utf8.RuneCountInString(text(r, 60)) }
	whole := full()
	assert.Equal(t, whole, Fit(whole, size(whole), size), "what fits is left alone")
	for budget := size(whole); budget >= 0; budget-- {
		got := Fit(whole, budget, size)
		require.Equal(t, whole.Lead, got.Lead)
		require.Equal(t, whole.Cautions, got.Cautions)
		least := reply.Reply{Lead: whole.Lead, Cautions: whole.Cautions}
		if size(got) > budget && budget >= size(least) {
			t.Fatalf("size %v, want at most %v", size(got), budget)
		}
		if len(got.Assumed) < len(whole.Assumed) {
			require.Empty(t, got.Tables, "tables go before what was assumed")
		}
	}
	assert.Equal(t, full(), whole, "the reply that was cut is not changed")
	cut := Fit(whole, size(whole)-1, size)
	assert.Equal(t, "Left out to fit here: notes.", cut.Notes[len(cut.Notes)-1].Text)
}

// TestFitAny holds that no budget costs a caution, the lead or the question.
func TestFitAny(t *testing.T) {
	r := rand.New(rand.NewPCG(3, 4))
	size := func(r reply.Reply) int { return len(text(r, 34)) }
	for range 200 {
		one := random(r)
		got := Fit(one, r.IntN(400), size)
		require.Equal(t, one.Cautions, got.Cautions)
		require.Equal(t, one.Lead, got.Lead)
		require.Equal(t, one.Error, got.Error)
		require.Equal(t, one.Ask, got.Ask)
	}
}

func TestJSON(t *testing.T) {
	out := JSON([]reply.Reply{full()})
	assert.NotContains(t, string(out), "\n")
	var o map[string]any
	require.NoError(t, json.Unmarshal(out, &o))
	assert.Equal(t, map[string]any{"name": "front.start", "value": 158579.413, "unit": "Pa", "low": 144789.0, "high": 172369.0}, o["values"].([]any)[0], "nine digits")
	assert.Equal(t, map[string]any{"name": "verdict", "value": "good", "unit": "", "low": nil, "high": nil}, o["values"].([]any)[1], "words stand in value")
	assert.Equal(t, map[string]any{"id": "two", "text": "Stop and inspect rim and tyre after a strike."}, o["cautions"].([]any)[1])
	assert.Equal(t, map[string]any{"text": "A second remark", "basis": ""}, o["notes"].([]any)[1])
}

// TestJSONSlots holds that every slot is there in every case, lists as lists.
func TestJSONSlots(t *testing.T) {
	r := rand.New(rand.NewPCG(5, 6))
	cases := [][]reply.Reply{nil, {{}}, {full(), full()}, {{Fault: true, Error: "x"}}, {{Values: []reply.Value{{Name: "start", Value: math.NaN(), Unit: reply.Pascals}}}}}
	for range 200 {
		cases = append(cases, []reply.Reply{random(r), random(r)})
	}
	var check func(o map[string]any)
	check = func(o map[string]any) {
		require.Len(t, o, 17)
		for _, name := range []string{"command", "line", "title", "error"} {
			require.IsType(t, "", o[name], name)
		}
		for _, name := range []string{"lead", "read", "assumed", "unused", "values", "cautions", "tables", "notes", "actions", "more"} {
			require.IsType(t, []any{}, o[name], name)
		}
		require.IsType(t, true, o["private"])
		for _, name := range []string{"ask", "picture"} {
			require.Contains(t, o, name)
		}
		for _, m := range o["more"].([]any) {
			check(m.(map[string]any))
		}
	}
	for _, replies := range cases {
		out := JSON(replies)
		require.Equal(t, -1, strings.IndexByte(string(out), '\n'))
		var o map[string]any
		require.NoError(t, json.Unmarshal(out, &o))
		check(o)
		require.Len(t, o["more"], max(len(replies)-1, 0))
	}
}

func TestNumber(t *testing.T) {
	for _, c := range []struct {
		in   float64
		want string
	}{{0, "0"}, {1.0 / 3, "0.333333333"}, {158579.41283, "158579.413"}, {-0.2934000000001, "-0.2934"}, {1e12 + 1, "1000000000001"}, {2.5e-7 / 3, "8.33333333e-8"}} {
		got, err := json.Marshal(number(c.in))
		require.NoError(t, err)
		assert.Equal(t, c.want, string(got))
	}
	assert.Nil(t, number(math.Inf(1)))
}

// FuzzSafe holds that whatever people type is shown as harmless text.
func FuzzSafe(f *testing.F) {
	for _, seed := range []string{"80kg 29x2.4", "\x1b]0;x\a", "\u202e\u2066", "輪🚵", "\xff\x00", strings.Repeat("a", 200)} {
		f.Add(seed, 40)
	}
	f.Fuzz(func(t *testing.T, in string, width int) {
		if len(in) > 4096 {
			return
		}
		width = max(34, width%200)
		for l := range strings.SplitSeq(text(reply.Reply{Lead: []string{in}, Cautions: []reply.Caution{{Text: in}}, Notes: []reply.Note{{Text: in}}}, width), "\n") {
			if Width(l) > width || !utf8.ValidString(l) {
				t.Fatalf("line %q: want at most %v columns of text", l, width)
			}
			for _, r := range l {
				if unicode.IsControl(r) || unicode.Is(unicode.Bidi_Control, r) {
					t.Fatalf("line %q: found %U", l, r)
				}
			}
		}
	})
}

func BenchmarkText(b *testing.B) {
	r := rand.New(rand.NewPCG(7, 8))
	var replies [][]reply.Reply
	for range 64 {
		replies = append(replies, []reply.Reply{random(r)})
	}
	i := 0
	for b.Loop() {
		_ = Text(replies[i%len(replies)], Style{Width: 60})
		i++
	}
}

// TestHarmless holds that what is not looked at more closely is a sign that
// Safe would leave as it is, of every character there is.
func TestHarmless(t *testing.T) {
	for r := rune(0); r <= unicode.MaxRune; r++ {
		if harmless(string(r)) && (!unicode.IsGraphic(r) || unicode.In(r, unicode.Mn, unicode.Me, unicode.Cf, unicode.Zl, unicode.Zp)) {
			t.Errorf("%U is taken for harmless", r)
		}
	}
	for _, text := range []string{"23–27 psi", "−5 °C", "½", "×", "… “ok”", "Größe"} {
		assert.True(t, harmless(text), text)
	}
	for _, text := range []string{"a\nb", "\x1b[1m", "\u202e", "\u200b", "\xff", "\u0301", "\u00ad"} {
		assert.False(t, harmless(text), "%q", text)
	}
}
