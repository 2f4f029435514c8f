package commands

import (
	"context"
	"fmt"
	"strings"

	"spokeword/commands/read"
	"spokeword/commands/reply"
	"spokeword/commands/spec"
)

func init() { add(help) }

// topic is a word of the trade that help explains.
type topic struct {
	id    string
	words spec.Words
	lead  []string
	lines []string // lines to try
}

// topics are the words that the answers use and newcomers ask about.
var topics = []topic{
	{"erd", w("erd", "effective rim diameter"), []string{
		"ERD, effective rim diameter: the circle on which the spoke ends lie.",
		"Measure it with two cut spokes and the nipples you will use; 1 mm of it is 0.5 mm of spoke."},
		[]string{"spokes erd 602 circles 45 offsets 37.5/17.5 32h 3x"}},
	{"circle", w("circle", "hole circle", "pcd", "spoke circle"), []string{
		"Hole circle: the circle through the middles of the spoke holes in one flange.",
		"Measure from hole middle to the opposite hole's middle; left and right may differ."},
		[]string{"spokes erd 602 circles 58/45 offsets 36/21 32h 3x"}},
	{"offset", w("offset", "flange offset", "centre to flange", "center to flange"), []string{
		"Flange offset: how far a flange lies from the middle of the hub, end caps on.",
		"Half the width between the lock-nut faces less the distance from that face to the flange's middle."},
		[]string{"spokes erd 600 58/58 36/21 32h 3x"}},
	{"hookless", w("hookless", "straight side"), []string{
		"Hookless, straight-side rims hold the bead without hooks.",
		"Only tubeless tyres marked or listed for them may go on, never above 5 bar or 72.5 psi, and wide rims carry lower marks."},
		[]string{"fit 29x2.4 on hookless 30mm"}},
	{"letters-after-width", w("letters", "the letters", "letters after the width"), []string{
		"Letters behind a width say nothing of the diameter: a W marks a casing drawn for wide rims, C behind 700 is an old class.",
		"A + behind the wheel size means 2.8–3.0 in; mixed wheels are 29 front, 27.5 rear. Behind a rim's inner width T is tubeless, C hooked, SS hookless."},
		[]string{"size 700x40c", "size 622x30TC"}},
	{"crossings", w("crossings", "what is 3x", "what does 3x mean"), []string{
		"Crossings: how many spokes of its own side each spoke passes. 3x passes three, 0 is radial.",
		"At most a ninth of the spoke count; more would lay the spoke over the flange or the next head."},
		[]string{"spokes erd 600 58/58 36/21 28h 2x"}},
}

// topicOption is the thing help is asked about: a command or a word of the trade.
var topicOption = func() *spec.Arg[string] {
	choices := read.Choices{Axis: spec.NoAxis}
	for _, name := range order {
		choices.All = append(choices.All, read.Choice{Value: name, Words: w(name)})
	}
	for _, t := range topics {
		choices.All = append(choices.All, read.Choice{Value: t.id, Words: t.words})
	}
	return &spec.Arg[string]{
		Info: spec.Info{Name: "what", Help: "a command, or a word of the trade", Example: "pressure"},
		As:   read.OneOf{Choices: choices},
	}
}()

// help shows what can be asked.
func help(deps Deps) *spec.Command {
	return &spec.Command{
		Name:    "help",
		Summary: "Show what can be asked, the options of a command, or explain a word of the trade",
		Words: w("help", "commands", "what can you do", "what can i ask", "how does this work", "examples", "options", "what is", "what does", "what do", "mean", "means", "glossary",
			de("hilfe", "was kannst du"), fr("aide"), es("ayuda"), it("aiuto")),
		Options:  []spec.Option{topicOption},
		Wants:    []spec.Want{{Any: []spec.Option{topicOption}, Weight: 0.3}},
		Weight:   0.8,
		Examples: []string{"help", "help pressure", "what is ERD"},
		Run: func(_ context.Context, req spec.Request) (reply.Reply, error) {
			set, err := New(deps)
			if err != nil {
				return reply.Reply{}, err
			}
			what, ok := topicOption.Of(req)
			if !ok {
				return overview(set), nil
			}
			if c, ok := set.Command(what); ok {
				return commandHelp(c), nil
			}
			for _, t := range topics {
				if t.id == what {
					return topicHelp(t), nil
				}
			}
			return reply.Reply{}, fmt.Errorf("help: topic %q is declared and not written", what)
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
			out.Actions = append(out.Actions, reply.Action{Label: c.Examples[0], Line: c.Name + " " + c.Examples[0]})
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

func topicHelp(t topic) reply.Reply {
	out := reply.Reply{Title: t.id, Lead: t.lead}
	out.Facts.Hookless = t.id == "hookless"
	for _, l := range t.lines {
		out.Actions = append(out.Actions, reply.Action{Label: l, Line: l})
	}
	return out
}
