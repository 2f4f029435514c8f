package discordfake

import (
	"context"
	"encoding/json"
	"fmt"
	"slices"
	"strings"
	"time"
)

// Kind says what a Record tells of.
type Kind string

// Kinds of records.
const (
	KindCallback  Kind = "callback"  // the answer to an interaction, by REST or HTTP body
	KindFollowUp  Kind = "follow-up" // a further message
	KindEdit      Kind = "edit"      // of a message, or what fills a deferral
	KindDelete    Kind = "delete"    // of a message
	KindCommands  Kind = "commands"  // commands registered
	KindRequest   Kind = "request"   // any other REST request
	KindIdentify  Kind = "identify"  // over the gateway
	KindResume    Kind = "resume"    // over the gateway
	KindHeartbeat Kind = "heartbeat" // over the gateway
	KindLinkDown  Kind = "link down" // a gateway link ended
)

// Record is one thing a bot did, and what it got for it.
type Record struct {
	Number int64 // from 1, rising
	Kind   Kind
	At     time.Time // by the fake's clock
	Method string    // of REST
	Path   string    // of REST
	// Interaction is the id of the interaction it belongs to.
	Interaction string
	Callback    *Callback // of KindCallback
	Message     *Message  // as it is then; of KindCallback, KindFollowUp, KindEdit, KindDelete
	Commands    []Command // of KindCommands, as they were sent
	Identify    *Identify // of KindIdentify
	Resume      *Resume   // of KindResume
	Close       int       // of KindLinkDown: the code of the close frame, 1006 if there was none
	// Refused is the error answer; nil if it was well.
	Refused *Refusal
	Status  int // of HTTP; 0 if there was no answer
	// Body is the JSON that was sent.
	Body json.RawMessage

	taken bool
}

// Match picks records.
type Match func(Record) bool

// Of matches records of these kinds.
func Of(kinds ...Kind) Match {
	return func(r Record) bool { return slices.Contains(kinds, r.Kind) }
}

// For matches what belongs to one interaction.
func For(interaction string) Match {
	return func(r Record) bool { return r.Interaction == interaction }
}

// Path matches REST requests whose path contains the text.
func Path(part string) Match {
	return func(r Record) bool { return r.Path != "" && strings.Contains(r.Path, part) }
}

// WasRefused matches what got an error answer.
func WasRefused(r Record) bool { return r.Refused != nil }

// Succeeded matches what got none.
func Succeeded(r Record) bool { return r.Refused == nil }

// records is the record, and what is counted over all of its life.
type records struct {
	max  int
	n    int64
	list []*Record // oldest first
}

// note adds to the record. mu is held.
func (s *Server) note(r Record) {
	s.records.n++
	r.Number, r.At = s.records.n, s.clock.Now()
	s.records.list = append(s.records.list, &r)
	if over := len(s.records.list) - s.records.max; over > 0 {
		clear(s.records.list[:over])
		s.records.list = s.records.list[over:]
	}
	s.happened()
}

// Next waits for the oldest record that all matches pick and that no Next has
// returned before. Records it passes over stay for others. It returns ctx's
// error, with what was there instead, when ctx ends.
func (s *Server) Next(ctx context.Context, all ...Match) (Record, error) {
	var found Record
	err := s.wait(ctx, func() bool {
		for _, r := range s.records.list {
			if !r.taken && !slices.ContainsFunc(all, func(m Match) bool { return !m(*r) }) {
				r.taken, found = true, *r
				return true
			}
		}
		return false
	})
	if err == nil {
		return found, nil
	}
	var others []string
	for _, r := range s.Records() {
		if !r.taken {
			o := string(r.Kind)
			if r.Refused != nil {
				o += " (" + r.Refused.Error() + ")"
			}
			others = append(others, o)
		}
	}
	if n := len(others); n > 10 {
		others = append([]string{"…"}, others[n-10:]...)
	}
	return Record{}, fmt.Errorf("no such record came: want it before this, there are [%s]: %w", strings.Join(others, ", "), err)
}

// Records returns what is kept of the record, oldest first. Next takes nothing
// away from it.
func (s *Server) Records() []Record {
	s.mu.Lock()
	defer s.mu.Unlock()
	out := make([]Record, len(s.records.list))
	for i, r := range s.records.list {
		out[i] = *r
	}
	return out
}

// Messages returns the messages the bot made that are kept, oldest first, as
// they are now; those deleted are marked.
func (s *Server) Messages() []Message {
	s.mu.Lock()
	defer s.mu.Unlock()
	var out []Message
	for _, m := range s.messages.all() {
		out = append(out, *m)
	}
	return out
}

// Message returns one message as it is now.
func (s *Server) Message(id string) (Message, bool) {
	s.mu.Lock()
	defer s.mu.Unlock()
	m, ok := s.messages.get(id)
	if !ok {
		return Message{}, false
	}
	return *m, true
}

// Rules that the service does not hold, and we do.
const (
	RuleMentions    = "mentions"     // every message forbids pings: allowed_mentions is {"parse":[]}
	RuleToken       = "token"        // the bot's token goes only where it is needed
	RuleUserAgent   = "user agent"   // clients say who they are: DiscordBot (URL, VERSION)
	RuleTwice       = "twice"        // commands are registered globally or for guilds
	RuleTwoSessions = "two sessions" // a bot has one session, or answers twice
	RuleEphemeral   = "ephemeral"    // what is sent after a deferral is as private as the deferral
	RuleResumeURL   = "resume url"   // RESUME goes to resume_gateway_url
	RuleFatal       = "fatal"        // after a fatal close code no link is opened
	RuleUnknownPath = "unknown path" // requests go where the service has something
)

// Violation is something the service would let pass, and we don't.
type Violation struct {
	Rule, Path, What string
}

// String is the violation on one line.
func (v Violation) String() string { return v.Rule + ": " + v.Path + ": " + v.What }

// Violations returns what broke our own rules, oldest first; of more than
// Options.Keep the first are kept.
func (s *Server) Violations() []Violation {
	s.mu.Lock()
	defer s.mu.Unlock()
	return slices.Clone(s.wrongs)
}

// wrong notes a violation. mu is held.
func (s *Server) wrong(rule, path, what string) {
	if len(s.wrongs) < s.opt.Keep {
		s.wrongs = append(s.wrongs, Violation{rule, path, what})
	}
}
