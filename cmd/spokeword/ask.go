package main

import (
	"context"
	"errors"
	"fmt"
	"io"
	"slices"
	"strings"

	"github.com/spf13/cobra"

	"spokeword/bot"
	"spokeword/bot/console"
	"spokeword/bot/render"
	"spokeword/commands"
	"spokeword/commands/reply"
	"spokeword/config"
)

// local is who asks at the console.
var local = commands.Asker{Workspace: "local"}

// ask declares the command that answers one line, or a conversation.
func (p *program) ask() *cobra.Command {
	var asJSON bool
	c := &cobra.Command{
		Use:   "ask LINE",
		Short: "Answer one line; - reads lines from standard input as one conversation",
		Example: `  spokeword ask "pressure 80kg 29x2.4 i30 trail"
  printf '80kg 29x2.4 i30\nwhy\n' | spokeword ask -`,
		Args: func(_ *cobra.Command, args []string) error {
			if len(args) == 0 {
				return errors.New(`ask: found no line: want one, as in: spokeword ask "pressure 80kg 29x2.4 i30 trail"`)
			}
			return nil
		},
		RunE: func(c *cobra.Command, args []string) error {
			settings, handler, err := p.open(c)
			if err != nil {
				return err
			}
			show := p.shower(settings, asJSON)
			if len(args) == 1 && args[0] == "-" {
				return p.conversation(c.Context(), handler, show)
			}
			return p.answer(console.NewTalk(handler, local).Say(c.Context(), strings.Join(args, " ")), show(false))
		},
	}
	c.Flags().BoolVar(&asJSON, "json", false, "print one JSON object a line, whatever happens")
	return c
}

// show writes the replies to one line.
type show func([]reply.Reply) string

// shower returns how replies are shown; keys are shown where they can be typed.
func (p *program) shower(settings config.Settings, asJSON bool) func(keys bool) show {
	if asJSON {
		return func(bool) show {
			return func(replies []reply.Reply) string { return string(render.JSON(replies)) + "\n" }
		}
	}
	style := p.place(settings).Style()
	return func(keys bool) show {
		style := style
		style.Keys = keys
		return func(replies []reply.Reply) string { return render.Text(replies, style) + between(keys) }
	}
}

// between returns what stands after an answer that others may follow.
func between(more bool) string {
	if more {
		return "\n"
	}
	return ""
}

// conversation answers every line of standard input. A line that can't be read
// is answered so, and the next is read.
func (p *program) conversation(ctx context.Context, handler *bot.Handler, shower func(bool) show) error {
	talk := console.NewTalk(handler, local)
	lines := console.NewLines(p.in)
	for asked := false; ; {
		line, err := console.Next(ctx, lines)
		switch {
		case ctx.Err() != nil:
			return fault{errors.New("ask -: told to end before the lines did")}
		case errors.Is(err, io.EOF) && !asked:
			return errors.New("ask -: found no line on standard input: want one question a line")
		case errors.Is(err, io.EOF):
			return nil
		case err != nil:
			return fault{fmt.Errorf("read standard input: %w", err)}
		case strings.TrimSpace(line) == "":
			continue
		}
		asked = true
		if err := p.answer(talk.Say(ctx, line), shower(true)); err != nil {
			return err
		}
	}
}

// answer prints the replies to one line and notes how it went.
func (p *program) answer(replies []reply.Reply, show show) error {
	p.worse(outcome(replies))
	if _, err := io.WriteString(p.out, show(replies)); err != nil {
		return fault{fmt.Errorf("write the answer: %w", err)}
	}
	return nil
}

// outcome tells how a line went.
func outcome(replies []reply.Reply) int {
	code := answered
	for _, r := range replies {
		switch {
		case r.Fault:
			return ourFault
		case r.Mistake || r.Ask != nil:
			code = theirs
		}
	}
	return code
}

// writeMistake prints the object for a run that came to no answer.
func (p *program) writeMistake(err error) {
	r := reply.Reply{Error: err.Error(), Mistake: true}
	if _, err := fmt.Fprintf(p.out, "%s\n", render.JSON([]reply.Reply{r})); err != nil {
		fmt.Fprintf(p.errs, "spokeword: write the answer: %v\n", err)
	}
}

// asLine keeps a line that begins with a minus from being taken for a flag: "-8 tmrw,
// 22 in garage 20c".
func asLine(args []string) []string {
	for i, arg := range args {
		switch {
		case arg == "--" || i == 0 && arg != "ask":
			return args
		case len(arg) > 1 && arg[0] == '-' && (strings.Contains(arg, " ") || arg[1] >= '0' && arg[1] <= '9'):
			return slices.Insert(slices.Clone(args), i, "--")
		}
	}
	return args
}
