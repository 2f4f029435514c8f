package commands

import (
	"context"
	"fmt"
	"slices"
	"strings"

	"spokeword/calc/basis"
	"spokeword/calc/quantity"
	"spokeword/commands/reply"
	"spokeword/commands/spec"
	"spokeword/commands/talk"
)

func init() { add(why) }

// why explains the last answer: what went in, the sum, and what it rests on.
func why(deps Deps) *spec.Command {
	return &spec.Command{
		Name:    "why",
		Summary: "Explain the last answer: what went in, the sum with its numbers, the sources and where they differ",
		Words: w("why", "says who", "how come", "source", "sources", "explain", "show the working", "show your working", "working", "where does that come from", "who says", "who says so", "prove it", "based on what", "where from", "how do you know",
			de("warum", "wieso", "woher", "quelle", "sagt wer"), fr("pourquoi", "source", "d'où"), es("por qué", "por que", "fuente"), it("perché", "perche", "fonte")),
		Keys: []string{
			"where|wheres|how|hows|from do|does|did|d|u|you|those|these|that|this get|got|come|came|from numbers|figures|number|figure|values|value|width|length|lengths|pressure|that|this",
			"numbers|figures tested|test|tried|proof|proven|measured who|someone|anyone|someone|did|it",
		},
		Weight:   0.4,
		Later:    true,
		Examples: []string{"why", "says who??"},
		Run: func(ctx context.Context, _ spec.Request) (reply.Reply, error) {
			last := deps.Talk.Get(talk.From(ctx)).Last
			if last == nil {
				return reply.Reply{}, spec.Misuse("", "pressure 80kg 29x2.4 30mm trail", "there is no answer yet to explain: want a question first")
			}
			answer := *last
			if answer.Recalled {
				var err error
				if answer, err = deps.again(ctx, answer); err != nil {
					return reply.Reply{}, err
				}
			}
			if answer.Explain != nil {
				answer.Working = slices.Clone(answer.Working)
				answer.Explain(&answer)
			}
			set, err := New(deps)
			if err != nil {
				return reply.Reply{}, err
			}
			because := ""
			if c, ok := set.Command(answer.Command); ok {
				because = c.Because
			}
			return explained(answer, because), nil
		},
	}
}

// explained writes the working of an answer, in three depths: one line; the sum
// with its numbers; what it rests on and where that disagrees.
func explained(last reply.Reply, because string) reply.Reply {
	out := reply.Reply{Title: "Why: " + strings.ToLower(last.Title), Facts: last.Facts, Private: last.Private}
	rests := strings.Join(restsOn(last), ", ")
	switch {
	case len(last.Working) == 0:
		out.Lead = []string{last.Command + ": nothing was computed for that answer.", "It rests on " + rests + "."}
	case because == "":
		out.Lead = []string{fmt.Sprintf("%s: %s in, %s in the sum.", last.Command, plural(len(last.Read)+len(last.Assumed), "value"), plural(len(last.Working), "step")),
			"It rests on " + rests + "."}
	default:
		out.Lead = []string{because + ".", fmt.Sprintf("%s in, %s in the sum, on %s.", plural(len(last.Read)+len(last.Assumed), "value"), plural(len(last.Working), "step"), rests)}
	}
	in := reply.Table{Title: "What went in", Head: []string{"", "value", "from"}}
	for _, i := range last.Read {
		if i.Why == "" && assumedToo(last, i.Option) {
			continue
		}
		in.Rows = append(in.Rows, reply.Row{Cells: []string{i.Option, i.Value, "you"}, Personal: i.Personal})
	}
	for _, i := range last.Assumed {
		in.Rows = append(in.Rows, reply.Row{Cells: []string{i.Option, i.Value, i.Why}, Personal: i.Personal})
	}
	if len(in.Rows) > 0 {
		out.Tables = append(out.Tables, in)
	}
	sum := reply.Table{Title: "The sum", Head: []string{"", ""}}
	for _, s := range last.Working {
		sum.Rows = append(sum.Rows, reply.Row{Cells: []string{s.What, s.Sum}, Personal: s.Personal})
	}
	if len(sum.Rows) > 0 {
		out.Tables = append(out.Tables, sum)
	}
	seen := map[basis.Basis]bool{}
	for _, n := range last.Notes {
		seen[n.Basis] = true
		out.Notes = append(out.Notes, reply.Note{Text: withSays(n.Text, n.Basis), Basis: n.Basis, Personal: n.Personal})
	}
	for _, s := range last.Working {
		if !seen[s.Basis] {
			seen[s.Basis] = true
			out.Notes = append(out.Notes, reply.Note{Text: withSays(s.What, s.Basis), Basis: s.Basis, Personal: s.Personal})
		}
	}
	return out
}

// withSays adds to a note what its source says, which other answers leave out.
func withSays(text string, b basis.Basis) string {
	if b.Says == "" {
		return text
	}
	return text + ": " + b.Says
}

// assumedToo reports whether an option that was read is also listed as assumed.
func assumedToo(r reply.Reply, option string) bool {
	for _, a := range r.Assumed {
		if a.Option == option {
			return true
		}
	}
	return false
}

// restsOn counts what an answer rests on, by kind, the firm ones first.
func restsOn(r reply.Reply) []string {
	counts := map[basis.Kind]map[string]bool{}
	count := func(b basis.Basis) {
		if b.Kind == 0 {
			return
		}
		if counts[b.Kind] == nil {
			counts[b.Kind] = map[string]bool{}
		}
		counts[b.Kind][b.Source+b.Says] = true
	}
	for _, s := range r.Working {
		count(s.Basis)
	}
	for _, n := range r.Notes {
		count(n.Basis)
	}
	var out []string
	for k := basis.Standard; k <= basis.Assumption; k++ {
		if n := len(counts[k]); n > 0 {
			out = append(out, kindCount(k, n))
		}
	}
	if n := len(r.Assumed); n > 0 {
		out = append(out, plural(n, "stated assumption"))
	}
	if len(out) == 0 {
		return []string{"what you gave"}
	}
	return out
}

func kindCount(k basis.Kind, n int) string {
	switch k {
	case basis.Practice:
		return plural(n, "habit") + " of the trade without a source"
	case basis.Computed:
		return plural(n, "computation")
	case basis.Memory:
		return plural(n, "figure") + " from memory"
	}
	return plural(n, k.String())
}

func plural(n int, word string) string {
	if n == 1 {
		return "1 " + word
	}
	return quantity.Count(n) + " " + word + "s"
}
