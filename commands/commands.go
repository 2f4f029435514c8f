// Package commands declares what can be asked: one file a command, the options
// all of them share in options.go. New gathers them.
package commands

import (
	"cmp"
	"context"
	"slices"
	"time"

	"spokeword/commands/memory"
	"spokeword/commands/reply"
	"spokeword/commands/spec"
	"spokeword/commands/talk"
)

// Deps are what commands may need from outside. They know no platform.
type Deps struct {
	// Now tells the time.
	Now func() time.Time
	// Talk remembers what was talked about.
	Talk talk.Store
	// Memory is what the workspace keeps; nil: nothing.
	Memory memory.Store
	// Pressure names the unit of pressures shown first, "psi" or "bar"; any
	// other word leaves it to the line: the unit typed, else psi.
	Pressure string
	// Log takes an error of ours and returns its incident number.
	Log func(error) string
	// again works out a recalled answer once more. The desk sets it, as it is
	// the desk that reads lines.
	again func(context.Context, reply.Reply) (reply.Reply, error)
}

// declared collects the commands of this package's files.
var declared []func(Deps) *spec.Command

// order is the order in which help shows the commands.
var order = []string{"pressure", "change", "air", "fill", "fit", "spokes", "lacing", "wheel", "tension", "true", "measure", "freehub", "gearing", "plan", "symptom", "size", "convert", "setup", "log", "shelf", "ride", "why", "help", "forget"}

func add(c func(Deps) *spec.Command) { declared = append(declared, c) }

// New returns all commands, in the order in which help shows them.
func New(deps Deps) (*spec.Commands, error) {
	if unreadable != nil {
		return nil, unreadable
	}
	all := make([]*spec.Command, len(declared))
	for i, make := range declared {
		all[i] = make(deps)
	}
	slices.SortFunc(all, func(a, b *spec.Command) int {
		return cmp.Compare(slices.Index(order, a.Name), slices.Index(order, b.Name))
	})
	return spec.NewCommands(all...)
}
