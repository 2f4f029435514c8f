package main

import (
	"crypto/rand"
	"encoding/hex"
	"errors"
	"fmt"
	"log/slog"
	"strconv"

	"github.com/spf13/cobra"

	"spokeword/bot"
	"spokeword/bot/console"
	"spokeword/commands"
	"spokeword/commands/talk"
	"spokeword/config"
)

// root declares the program's command line. Without a subcommand it opens the
// chat.
func (p *program) root() *cobra.Command {
	c := &cobra.Command{
		Use:   "spokeword",
		Short: "Answer questions about tyre pressure, tyre and rim fit, and spokes",
		Long: "Spokeword answers questions about tyre pressure, tyre and rim fit, and spokes.\n" +
			"Without a command it opens a chat; help there shows what can be asked.",
		SilenceErrors: true,
		SilenceUsage:  true,
		Args: func(_ *cobra.Command, args []string) error {
			if len(args) > 0 {
				return fmt.Errorf("found %q: want ask, serve, manifest, register, doctor or version; to ask a line: spokeword ask %q", args[0], args[0])
			}
			return nil
		},
		RunE: func(c *cobra.Command, _ []string) error {
			settings, handler, err := p.open(c)
			if err != nil {
				return err
			}
			if err := console.Chat(c.Context(), handler, p.place(settings)); err != nil {
				return fault{err}
			}
			return nil
		},
	}
	c.PersistentFlags().Int("width", 0, "columns of an answer, 40 to 200; 0 follows the terminal")
	c.PersistentFlags().String("config", "", "settings file; else "+config.FileEnv+" names it")
	c.SetFlagErrorFunc(func(_ *cobra.Command, err error) error {
		return fmt.Errorf(`%w; before a line that begins with -, put --, as in: spokeword ask -- "-5 °C …"`, err)
	})
	c.CompletionOptions.DisableDefaultCmd = true
	c.SetIn(p.in)
	c.SetOut(p.out)
	c.SetErr(p.errs)
	c.AddCommand(p.ask(), p.serve(), p.manifest(), p.register(), p.doctor(), p.version())
	return c
}

// settings reads the settings from file, environment and command line.
func (p *program) settings(c *cobra.Command) (config.Settings, error) {
	from := config.Source{File: p.getenv(config.FileEnv), Environ: p.environ, Flags: map[string]string{}}
	if f := c.Flags().Lookup("config"); f.Changed {
		from.File = f.Value.String()
	}
	if f := c.Flags().Lookup("width"); f.Changed {
		from.Flags["console.width"] = f.Value.String()
	}
	if f := c.Flags().Lookup("guild"); f != nil && f.Changed {
		from.Flags["discord.guild"] = f.Value.String()
	}
	return config.Load(from)
}

// open reads the settings and wires what answers at the console.
func (p *program) open(c *cobra.Command) (config.Settings, *bot.Handler, error) {
	settings, err := p.settings(c)
	if err != nil {
		return settings, nil, err
	}
	desk, err := p.desk(settings)
	if err != nil {
		return settings, nil, err
	}
	log := p.logger(settings.Log, "text")
	return settings, bot.NewHandler(bot.Options{Desk: desk, Incident: func(err error) string { return incident(log, err) }}), nil
}

// desk wires the desk that answers at the console.
func (p *program) desk(settings config.Settings) (*commands.Desk, error) {
	log := p.logger(settings.Log, "text")
	return p.deskWith(settings, talk.NewMemoryWithin(p.now, settings.Talk.Expiry, settings.Talk.Most), func(err error) string { return incident(log, err) })
}

// deskWith wires a desk that remembers talks in a store.
func (p *program) deskWith(settings config.Settings, talks talk.Store, incident func(error) string) (*commands.Desk, error) {
	desk, err := commands.NewDesk(commands.Deps{Now: p.now, Talk: talks, Log: incident, Pressure: settings.Units.Pressure})
	if err != nil {
		return nil, fault{fmt.Errorf("declarations: %w", err)}
	}
	return desk, nil
}

// place tells where answers go and how they look there.
func (p *program) place(settings config.Settings) console.Place {
	colour := settings.Console.Colour == "always"
	if settings.Console.Colour == "auto" {
		_, terminal := console.Terminal(p.out)
		colour = terminal && p.getenv("NO_COLOR") == "" && p.getenv("TERM") != "dumb"
	}
	return console.Place{In: p.in, Out: p.out, Asker: local, Width: settings.Console.Width, Colour: colour}
}

// logger returns the log, which goes to standard error. Usual is its format
// unless the settings name one.
func (p *program) logger(settings config.Log, usual string) *slog.Logger {
	var level slog.Level
	if err := level.UnmarshalText([]byte(settings.Level)); err != nil {
		level = slog.LevelInfo // settings that were never loaded
	}
	options := &slog.HandlerOptions{Level: level, ReplaceAttr: bot.RedactAttr}
	if settings.Format == "json" || settings.Format == "auto" && usual == "json" {
		return slog.New(slog.NewJSONHandler(p.errs, options))
	}
	return slog.New(slog.NewTextHandler(p.errs, options))
}

// incident logs an error of ours and returns its number, which the asker gets.
func incident(log *slog.Logger, err error) string {
	var b [4]byte
	rand.Read(b[:]) // never fails, says its documentation
	number := hex.EncodeToString(b[:])
	log.Error("could not answer", "incident", number, "error", err)
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

// wantsJSON reports whether the command line asks for objects, even where it
// can't be read otherwise.
func wantsJSON(args []string) bool {
	for _, a := range args {
		if a == "--" {
			return false
		}
		if a == "--json" {
			return true
		}
		if on, err := strconv.ParseBool(a[min(len("--json="), len(a)):]); err == nil && a[:min(len("--json="), len(a))] == "--json=" {
			return on
		}
	}
	return false
}
