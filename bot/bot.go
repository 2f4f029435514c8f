// Package bot takes what people send to the desk and the answer back to them,
// the same way for every chat service.
//
// An Adapter speaks one service's protocol. It turns what arrives into a
// Message and hands it to the Handler together with an Exchange, the way back.
// The Handler keeps what all services need alike: nothing is answered twice,
// nobody can keep the others waiting, an answer that takes long is announced
// in time, a panic ends in an answer with a number, and at the end what is in
// work is finished.
//
// Adapters know no formula and no option's name.
package bot

import (
	"context"
	"strings"

	"spokeword/commands"
	"spokeword/commands/reply"
	"spokeword/commands/spec"
)

// Desk answers lines; *commands.Desk is one.
type Desk interface {
	// Ask answers a line. The asker's mistakes and our faults are replies too.
	Ask(ctx context.Context, asker commands.Asker, line string) []reply.Reply
	// Offered returns the line behind the key of a choice offered to the asker.
	Offered(asker commands.Asker, key string) (line string, ok bool)
	// Offer remembers a line as one offered to the asker.
	Offer(asker commands.Asker, line string)
	// Commands returns what can be asked.
	Commands() *spec.Commands
}

// Adapter is one chat service's way in and out.
type Adapter interface {
	// Name names the service, in lower case.
	Name() string
	// Run serves until the context ends. It returns early only if the service
	// refuses the bot for good.
	Run(ctx context.Context) error
	// Ready returns nil while messages can arrive, else why they can't. A link
	// that was up and is lost in passing, for a minute at most, counts as up.
	Ready() error
}

// Message is what somebody sent.
type Message struct {
	// Platform names the service, for figures.
	Platform string
	// IDs are the identities of the message, each unique over all services. A
	// message one of whose identities was met before is not answered again.
	IDs []string
	// Asker is who sent it, and where.
	Asker commands.Asker
	// Line is what was typed, or what a button or form stands for.
	Line string
	// Share asks for the answer as everybody in the channel may see it.
	Share bool
}

// Answer is what goes back.
type Answer struct {
	Replies []reply.Reply
	// Private is set where only the asker may see it: it holds something
	// personal, a mistake, a question back, or a fault.
	Private bool
	// Shared is set on the public form of an answer, which everybody in the
	// channel is to see. It is never set together with Private.
	Shared bool
}

// Exchange is the way back to one message. The Handler calls Answer once; or
// Defer once, and then Late once.
type Exchange interface {
	// Answer answers within the time that the service gives.
	Answer(ctx context.Context, a Answer) error
	// Defer tells the service that the answer follows. What follows can then
	// only be for the asker.
	Defer(ctx context.Context) error
	// Late answers after Defer.
	Late(ctx context.Context, a Answer) error
}

// answerOf gathers the replies to a message.
func answerOf(m Message, replies []reply.Reply) Answer {
	a := Answer{Replies: replies}
	share := m.Share
	for _, r := range replies {
		a.Private = a.Private || r.Private || r.Mistake || r.Fault || r.Ask != nil
		share = share || r.Shared
	}
	if !share {
		return a
	}
	public := make([]reply.Reply, 0, len(replies))
	for _, r := range replies {
		if r.Mistake || r.Fault || r.Ask != nil {
			return a // nothing here is for others
		}
		public = append(public, r.Public())
	}
	return Answer{Replies: public, Shared: true}
}

// Shareable returns the line whose answer can be shown to others, if there is
// one: a single reply that answers, to a request that can be made again.
func (a Answer) Shareable() (line string, ok bool) {
	if a.Shared || len(a.Replies) != 1 {
		return "", false
	}
	r := a.Replies[0]
	if r.Mistake || r.Fault || r.Ask != nil || !strings.Contains(r.Line, ":") {
		return "", false // a line without a value means something else to the next asker
	}
	return r.Line, true
}

// Mistaken returns an answer that tells the asker alone what was wrong, with a
// line that works and something to go on with.
func Mistaken(text, example string, next ...reply.Action) Answer {
	return Answer{Private: true, Replies: []reply.Reply{{Mistake: true, Error: text, Example: example, Actions: next}}}
}

// Fillable reports whether a reply asks back for a value that can be typed
// into a form: one of an option of its command.
func Fillable(desk Desk, r reply.Reply) bool {
	if r.Ask == nil || r.Line == "" {
		return false
	}
	c, ok := desk.Commands().Command(r.Command)
	if !ok {
		return false
	}
	_, ok = c.Option(r.Ask.Option)
	return ok
}

// Forgotten is the answer to a button or form whose line is no longer known.
func Forgotten() Answer {
	return Mistaken("that button is too old: what it stood for is no longer kept", "help")
}
