package main

import (
	"context"
	"crypto/x509"
	"errors"
	"fmt"
	"strings"
	"time"

	"github.com/spf13/cobra"

	"spokeword/bot"
	"spokeword/commands"
	"spokeword/commands/reply"
	"spokeword/config"
)

// doctor declares the command that checks whether all is well: one line for
// each thing, which says ok or FAIL in words.
func (p *program) doctor() *cobra.Command {
	return &cobra.Command{
		Use:   "doctor",
		Short: "Check settings, declarations, models, surroundings and chat services",
		Args:  cobra.NoArgs,
		RunE: func(c *cobra.Command, _ []string) error {
			settings, err := p.settings(c)
			checks := []check{{"settings", "read and in range", err}}
			if err != nil {
				settings, err = config.Load(config.Source{}) // to go on with
				if err != nil {
					return fault{err}
				}
			}
			desk, err := p.desk(settings)
			checks = append(checks, declarations(c.Context(), desk, err), sums(c.Context(), desk), zones(), roots())
			return p.report(append(checks, p.serviceChecks(c.Context(), settings, desk)...))
		},
	}
}

// check is one thing that was looked at.
type check struct {
	name string
	ok   string // what is well
	err  error
}

// line says how it is, in one line.
func (c check) line() string {
	if c.err != nil {
		return "FAIL  " + c.name + ": " + strings.ReplaceAll(c.err.Error(), "\n", "; ") + "\n"
	}
	return "ok    " + c.name + ": " + c.ok + "\n"
}

func (p *program) report(checks []check) error {
	bad := 0
	for _, c := range checks {
		if c.err != nil {
			bad++
		}
		if err := p.print("%s", bot.Redacted(c.line())); err != nil {
			return err
		}
	}
	if bad > 0 {
		return fault{fmt.Errorf("doctor: %d of %d checks failed", bad, len(checks))}
	}
	return nil
}

// declarations checks that every example of every command is answered.
func declarations(ctx context.Context, desk *commands.Desk, err error) check {
	c := check{name: "declarations", err: err}
	if err != nil {
		return c
	}
	examples := 0
	for _, command := range desk.Commands().All {
		for i := range command.Examples {
			line := command.Example(i)
			for _, r := range desk.Ask(ctx, commands.Asker{User: "doctor"}, line) {
				if r.Mistake || r.Fault {
					c.err = errors.Join(c.err, fmt.Errorf("example %q: %s", line, r.Error))
				}
			}
			examples++
		}
	}
	c.ok = fmt.Sprintf("%d commands with %d options, %d examples answered", len(desk.Commands().All), len(desk.Commands().Options()), examples)
	return c
}

// known are lines with a value of their answer that is known from elsewhere,
// in the value's own unit.
var known = []struct {
	line, name string
	low, high  float64
	why        string
}{
	{"convert 25.4 mm in in", "value", 0.0254 - 1e-12, 0.0254 + 1e-12, "an inch is 25.4 mm exactly"},
	{"convert 1 bar in psi", "value", 1e5 - 1e-6, 1e5 + 1e-6, "a bar is 100 kPa exactly"},
	{"pressure 80kg 29x2.4 i30 trail", "front.start", 22 * psi, 24 * psi, "published trail charts say 22 to 24 psi for this rider"},
	{"spokes erd 600 circles 60 offsets 40/40 32h radial", "left.length", 0.271447, 0.271947, "√(270² + 40²) mm, less half a hole of 2 to 3 mm"},
}

// psi in pascals: a pound (0.45359237 kg exactly) times 9.80665 m/s² on an
// inch squared.
const psi = 0.45359237 * 9.80665 / (0.0254 * 0.0254)

// sums checks that the models answer known sums.
func sums(ctx context.Context, desk *commands.Desk) check {
	c := check{name: "models", ok: fmt.Sprintf("%d known sums come out right", len(known))}
	if desk == nil {
		c.err = errors.New("not asked, as the declarations can't be read")
		return c
	}
	for _, k := range known {
		if got, ok := valueOf(desk.Ask(ctx, commands.Asker{User: "doctor"}, k.line), k.name); !ok || !(got >= k.low && got <= k.high) {
			c.err = errors.Join(c.err, fmt.Errorf("%q: found %v: want %v to %v: %s", k.line, got, k.low, k.high, k.why))
		}
	}
	return c
}

func valueOf(replies []reply.Reply, name string) (float64, bool) {
	for _, r := range replies {
		for _, v := range r.Values {
			if v.Name == name {
				return v.Value, true
			}
		}
	}
	return 0, false
}

// zones checks that time zones are inside the binary.
func zones() check {
	_, err := time.LoadLocation("Pacific/Auckland")
	return check{name: "time zones", ok: "at hand", err: err}
}

// roots checks that there are roots of trust for encrypted connections: the
// system's, else those inside the binary.
func roots() check {
	c := check{name: "roots of trust", ok: "at hand"}
	pool, err := x509.SystemCertPool()
	if err == nil && pool.Equal(x509.NewCertPool()) {
		err = errors.New("found none: want some")
	}
	c.err = err
	return c
}
