// Command spokeword answers questions about tyre pressure, tyre and rim fit,
// and spokes, at a terminal or line by line.
//
// The rules of what it writes: answers go to standard output and nothing else
// does; what went wrong with the command line or with us goes to standard
// error. Nothing people typed is ever logged.
package main

import (
	"context"
	"fmt"
	"io"
	"os"
	"os/signal"
	"syscall"
	"time"
	_ "time/tzdata" // time zones inside the binary, which may run where there is nothing else

	_ "golang.org/x/crypto/x509roots/fallback" // and so the roots of trust

	"spokeword/bot"
	"spokeword/config"
)

// What a run ends with.
const (
	answered = 0 // every line was answered
	ourFault = 1
	theirs   = 2 // a mistake in a line or on the command line, or a question back
)

func main() {
	ctx, stop := signal.NotifyContext(context.Background(), os.Interrupt, syscall.SIGTERM)
	code := run(ctx, os.Args[1:], os.Environ(), os.Stdin, os.Stdout, os.Stderr)
	stop()
	os.Exit(code)
}

// run is the whole program: what it returns is the exit code. The environment
// comes as a list, NAME=value each, so that misspelt names in it are found.
func run(ctx context.Context, args, environ []string, in io.Reader, out, errs io.Writer) int {
	p := &program{environ: environ, getenv: config.Lookup(environ), in: in, out: out, errs: errs, now: time.Now}
	root := p.root()
	root.SetArgs(asLine(args))
	root.SetContext(ctx)
	if err := root.Execute(); err != nil {
		p.worse(theirs)
		if fault, ok := asFault(err); ok {
			p.code = ourFault
			err = fault
		}
		p.complain(err, wantsJSON(args))
	}
	return p.code
}

// program is one run: its streams, and the worst it met so far.
type program struct {
	environ   []string
	getenv    func(string) string
	in        io.Reader
	out, errs io.Writer
	now       func() time.Time
	code      int
}

// worse notes an outcome: our fault outweighs a mistake, a mistake an answer.
func (p *program) worse(code int) {
	if p.code == ourFault || code == answered {
		return
	}
	p.code = code
}

// complain says what was wrong with the command line, or with us. Programs
// that asked for objects get an object. A token typed where none belongs is not
// repeated.
func (p *program) complain(err error, asJSON bool) {
	err = bot.WithoutSecrets(err)
	if asJSON {
		p.writeMistake(err)
		return
	}
	fmt.Fprintf(p.errs, "spokeword: %v\n", err)
}
