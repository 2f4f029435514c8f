package main

import (
	"crypto/rand"
	"encoding/hex"
	"errors"
	"fmt"
	"log/slog"

	"github.com/spf13/cobra"

	"spokeword/bot/console"
	"spokeword/commands"
	"spokeword/commands/talk"
)

// root declares the program's command line. Without a subcommand it opens the
// chat.
func (p *program) root() *cobra.Command {
	c := &cobra.Command{
		Use:           "spokeword",
		Short:         "Answers questions about tyre pressure, tyre and rim fit, and spokes",
		SilenceErrors: true,
		SilenceUsage:  true,
		Args: func(c *cobra.Command, args []string) error {
			if len(args) > 0 {
				return fmt.Errorf("found %q: want ask, doctor or version; to ask a line: spokeword ask %q", args[0], args[0])
			}
			return nil
		},
		RunE: func(c *cobra.Command, _ []string) error {
			desk, err := p.desk()
			if err != nil {
				return err
			}
			if err := console.Chat(c.Context(), desk, p.place()); err != nil {
				return fault{err}
			}
			return nil
		},
	}
	c.CompletionOptions.DisableDefaultCmd = true
	c.SetIn(p.in)
	c.SetOut(p.out)
	c.SetErr(p.errs)
	c.AddCommand(p.ask())
	return c
}

// desk wires the desk that answers.
func (p *program) desk() (*commands.Desk, error) {
	desk, err := commands.NewDesk(commands.Deps{Now: p.now, Talk: talk.NewMemory(p.now), Log: p.incident})
	if err != nil {
		return nil, fault{fmt.Errorf("declarations: %w", err)}
	}
	return desk, nil
}

// place tells where answers go.
func (p *program) place() console.Place {
	return console.Place{In: p.in, Out: p.out, Asker: local}
}

// incident logs an error of ours and returns its number, which the asker gets.
func (p *program) incident(err error) string {
	var b [4]byte
	rand.Read(b[:]) // never fails, says its documentation
	number := hex.EncodeToString(b[:])
	slog.New(slog.NewTextHandler(p.errs, nil)).Error("could not answer", "incident", number, "error", err)
	return number
}

// fault marks an error as ours rather than the asker's.
type fault struct{ error }

// Unwrap returns the marked error.
func (f fault) Unwrap() error { return f.error }

func asFault(err error) (error, bool) {
	var f fault
	if errors.As(err, &f) {
		return f.error, true
	}
	return err, false
}
