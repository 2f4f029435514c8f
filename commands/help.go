package commands

import (
	"context"
	"fmt"
	"strings"

	"spokeword/commands/reply"
	"spokeword/commands/spec"
)

func init() { add(help) }

// help shows what can be asked.
func help(deps Deps) *spec.Command {
	return &spec.Command{
		Name:    "help",
		Summary: "Show what can be asked and the options of a command, answer what no sum answers, explain a word of the trade",
		Words: w("help", "commands", "what can you do", "what can i ask", "how does this work", "examples", "options", "what is", "what does", "what do", "mean", "means", "meaning", "explain", "define", "glossary",
			de("hilfe", "was kannst du", "was bedeutet", "was heißt"), fr("aide", "c'est quoi", "que veut dire"), es("ayuda", "qué significa"), it("aiuto", "cosa vuol dire", "cosa significa")),
		Options:  []spec.Option{what, rider, riding},
		Wants:    []spec.Want{{Any: []spec.Option{what}, Weight: 0.3}},
		Weight:   0.3,
		Suits:    func(r spec.Request) bool { return !tellsOf(r) && !fills(r) || len(r.Given) == 0 },
		Everyday: true,
		Examples: []string{"help", "help pressure", "what is ERD", "why is the rear harder"},
		Run: func(_ context.Context, req spec.Request) (reply.Reply, error) {
			set, err := New(deps)
			if err != nil {
				return reply.Reply{}, err
			}
			id, ok := what.Of(req)
			if !ok {
				return overview(set), nil
			}
			if c, ok := set.Command(id); ok {
				return commandHelp(c), nil
			}
			if c, ok := set.Command("fill"); ok && isJob(id) {
				return commandHelp(c), nil
			}
			if a, ok := article(id); ok {
				return tell(a, req, set), nil
			}
			return reply.Reply{}, fmt.Errorf("help: topic %q is declared and not written", id)
		},
	}
}

// overview lists the commands.
func overview(set *spec.Commands) reply.Reply {
	out := reply.Reply{Title: "What can be asked"}
	out.Lead = []string{
		"Type it as you would say it: \"80kg 29x2.4 30mm trail psi\".",
		"Values may also be named, as in pressure rider:\"80 kg\" tyre:29x2.4.",
	}
	table := reply.Table{Head: []string{"command", "answers"}}
	for _, c := range set.All {
		table.Rows = append(table.Rows, reply.Row{Cells: []string{c.Name, c.Summary}})
		if c.Name != "help" && c.Name != "why" {
			out.Actions = append(out.Actions, reply.Action{Label: c.Examples[0], Line: c.Example(0)})
		}
	}
	out.Tables = []reply.Table{table}
	return out
}

// commandHelp shows a command's options and examples.
func commandHelp(c *spec.Command) reply.Reply {
	out := reply.Reply{Title: c.Name}
	out.Lead = []string{c.Summary + "."}
	table := reply.Table{Head: []string{"option", "means", "as"}}
	for _, o := range c.Options {
		about := o.About()
		table.Rows = append(table.Rows, reply.Row{Cells: []string{about.Name, about.Help, about.Example}})
	}
	if len(table.Rows) > 0 {
		out.Lead = append(out.Lead, "For example: "+strings.Join(c.Examples[:min(2, len(c.Examples))], "  ·  "))
		out.Tables = []reply.Table{table}
	}
	for _, e := range c.Examples {
		out.Actions = append(out.Actions, reply.Action{Label: e, Line: c.Name + " " + e})
	}
	return out
}
