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

	"spokeword/bot"
	"spokeword/bot/render"
	"spokeword/commands"
	"spokeword/commands/reply"
)

// Bounds of the width of answers, in columns. Wider lines are hard to read.
const (
	Narrowest = 40
	Widest    = 100
	Usual     = 80 // where nothing tells the width
)

// name is how figures and the log speak of this front end.
const name = "console"

// Talk is one conversation: it knows which keys are open.
type Talk struct {
	handler *bot.Handler
	asker   commands.Asker
	keys    []render.Key
}

// NewTalk begins a conversation. Its lines take the same way as those of every
// other front end.
func NewTalk(handler *bot.Handler, asker commands.Asker) *Talk {
	return &Talk{handler: handler, asker: asker}
}

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
	x := make(exchange, 1)
	t.handler.Handle(ctx, bot.Message{Platform: name, Asker: t.asker, Line: line}, x)
	replies := (<-x).Replies
	t.keys = render.Keys(replies)
	return replies
}

// exchange waits for the answer, which at a terminal may take its time.
type exchange chan bot.Answer

// Answer hands the answer over.
func (x exchange) Answer(_ context.Context, a bot.Answer) error {
	x <- a
	return nil
}

// Defer tells nothing: whoever sits at a terminal sees that it works.
func (x exchange) Defer(context.Context) error { return nil }

// Late hands the answer over.
func (x exchange) Late(ctx context.Context, a bot.Answer) error { return x.Answer(ctx, a) }

// Columns returns the width of answers for a terminal's width; 0 means that it
// isn't known.
func Columns(terminal int) int {
	if terminal <= 0 {
		terminal = Usual
	}
	return min(max(terminal, Narrowest), Widest)
}
