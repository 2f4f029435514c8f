// Package console is the front end for people at a terminal, and for programs
// that pipe lines through it.
//
// The rules of what it writes:
//   - A greeting says in a few lines what can be asked, with examples that
//     work; after that only answers.
//   - Choices and actions carry a key. A line that is just this key takes the
//     choice; any other line is read as it stands.
//   - Answers follow the terminal's width, from Narrowest to Widest columns.
package console

import (
	"context"
	"strings"

	"spokeword/bot/render"
	"spokeword/commands"
	"spokeword/commands/reply"
	"spokeword/commands/spec"
)

// Bounds of the width of answers, in columns. Wider lines are hard to read.
const (
	Narrowest = 40
	Widest    = 100
	Usual     = 80 // where nothing tells the width
)

// Desk answers lines; *commands.Desk is one.
type Desk interface {
	Ask(ctx context.Context, asker commands.Asker, line string) []reply.Reply
	Commands() *spec.Commands
}

// Talk is one conversation: it knows which keys are open.
type Talk struct {
	desk  Desk
	asker commands.Asker
	keys  []render.Key
}

// NewTalk begins a conversation with a desk.
func NewTalk(desk Desk, asker commands.Asker) *Talk { return &Talk{desk: desk, asker: asker} }

// Say answers a line. A line that is the key of an open choice stands for the
// choice's line; the keys are those of the last answer only.
func (t *Talk) Say(ctx context.Context, line string) []reply.Reply {
	typed := strings.TrimSpace(line)
	for _, k := range t.keys {
		if typed == k.Name {
			line = k.Line
			break
		}
	}
	replies := t.desk.Ask(ctx, t.asker, line)
	t.keys = render.Keys(replies)
	return replies
}

// Columns returns the width of answers for a terminal's width; 0 means that it
// isn't known.
func Columns(terminal int) int {
	if terminal <= 0 {
		terminal = Usual
	}
	return min(max(terminal, Narrowest), Widest)
}
