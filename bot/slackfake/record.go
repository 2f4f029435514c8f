package slackfake

import (
	"context"
	"encoding/json"
	"fmt"
	"slices"
	"strings"
)

// Kind is what a Record tells of.
type Kind string

// What can be recorded.
const (
	Called    Kind = "call"      // a method of the Web API, answered or refused
	Posted    Kind = "message"   // a message in a channel
	Whispered Kind = "ephemeral" // a message that one person sees
	Changed   Kind = "change"    // a message got new content
	Deleted   Kind = "delete"    // a message was taken away
	Viewed    Kind = "view"      // a modal or a home tab
	Uploaded  Kind = "file"      // a file that came and is complete
	Linked    Kind = "link"      // a Socket Mode link was opened
	Unlinked  Kind = "unlink"    // a link ended
	Failed    Kind = "failed"    // what a person saw because no answer came in time
)

// Record is one thing that happened. Only the fields of its kind are set.
type Record struct {
	Seq     int64 // 1, 2, 3 …
	Kind    Kind
	Method  string // of a call; how a message came: a method, "response_url" or "answer"
	Code    string // the error a call was refused with, or what the person saw
	Raw     []byte // the body as it came, without a token that stood in the form
	Message Message
	View    View
	File    File
	Link    int // which link since the start, from 1
}

// Message is what the bot said.
type Message struct {
	TS, Channel, Thread string
	To                  string // the one who sees it, or "" for all in the channel
	Text                string
	Blocks              []any // as JSON decodes them, numbers as json.Number
	Files               []File
	Method              string // how it came: a method, "response_url" or "answer"
	URL                 string // the response URL it came by
	Edited              bool
	Raw                 []byte // the body as it came, without a token that stood in the form
}

// Ephemeral reports whether one person only sees the message.
func (m Message) Ephemeral() bool { return m.To != "" }

// View is a modal, or a person's home tab.
type View struct {
	ID, Hash, Type string // Type is modal or home
	User           string // whose
	CallbackID     string
	ExternalID     string
	Private        string // private_metadata
	Title          string
	Submit, Close  string // labels, "" where none
	Blocks         []any
	NotifyOnClose  bool
	Root, Previous string // ids of the stack's bottom and of the view below
	Closed         bool
	Raw            []byte // the view as it came
}

// File is a file that was uploaded, or that a person shared.
type File struct {
	ID, Name, Title, MIME, Alt string
	User                       string // who sent it; BotUser for uploads
	Data                       []byte
	complete                   bool
	length                     int
	key                        string // last part of the upload address
}

// Violation is something that the service would have refused, dropped, or that
// tells a secret to someone who need not know it.
type Violation struct {
	Where string // the method, "response_url", "link", "answer" …
	What  string
}

func (v Violation) String() string { return v.Where + ": " + v.What }

type record struct {
	keep       int
	seq        int64
	log        []Record
	untaken    []Record
	wanted     []*want
	changed    chan struct{} // closed at the next record, if someone waits
	messages   map[string][]*Message
	ephemerals map[string][]*Message
	views      *fifo[string, *View]
	homes      map[string]string // user → id of their home view
	files      *fifo[string, *File]
	violations []Violation
	notes      []Violation
	calls      map[string]int
}

// want is someone who waits for a record.
type want struct {
	match []Match
	got   chan Record
}

func newRecord(keep int) record {
	return record{keep: keep, messages: make(map[string][]*Message), ephemerals: make(map[string][]*Message),
		views: newFIFO[string, *View](keep), homes: make(map[string]string), files: newFIFO[string, *File](min(keep, 200)), calls: make(map[string]int)}
}

// add keeps a record and gives it to the first who waits for it.
func (r *record) add(rec Record) {
	r.seq++
	rec.Seq = r.seq
	r.log = last(r.log, rec, r.keep)
	if r.changed != nil {
		close(r.changed)
		r.changed = nil
	}
	for i, w := range r.wanted {
		if matches(rec, w.match) {
			r.wanted = slices.Delete(r.wanted, i, i+1)
			w.got <- rec
			return
		}
	}
	r.untaken = last(r.untaken, rec, r.keep)
}

// Match says whether a record is the wanted one.
type Match func(Record) bool

func matches(r Record, match []Match) bool {
	return !slices.ContainsFunc(match, func(m Match) bool { return !m(r) })
}

// Of matches records of one of the kinds.
func Of(kinds ...Kind) Match {
	return func(r Record) bool { return slices.Contains(kinds, r.Kind) }
}

// In matches messages in a channel, also those that one person sees there.
func In(channel string) Match { return func(r Record) bool { return r.Message.Channel == channel } }

// To matches messages and views that are for one person alone.
func To(user string) Match {
	return func(r Record) bool { return r.Message.To == user || r.View.User == user }
}

// By matches what came by a method, by "response_url" or as "answer".
func By(method string) Match { return func(r Record) bool { return r.Method == method } }

// Saying matches messages and views whose text holds the words.
func Saying(words string) Match {
	return func(r Record) bool {
		return strings.Contains(Text(r.Message), words) || strings.Contains(TextOf(r.View.Blocks), words)
	}
}

// Next returns the oldest record that matches everything given and that no earlier
// Next returned, and waits for it if need be. It fails only when ctx ends.
func (s *Server) Next(ctx context.Context, match ...Match) (Record, error) {
	s.mu.Lock()
	for i, r := range s.untaken {
		if matches(r, match) {
			s.untaken = slices.Delete(s.untaken, i, i+1)
			s.mu.Unlock()
			return r, nil
		}
	}
	w := &want{match, make(chan Record, 1)}
	s.wanted = append(s.wanted, w)
	s.mu.Unlock()
	select {
	case r := <-w.got:
		return r, nil
	case <-ctx.Done():
	case <-s.ended:
	}
	s.mu.Lock()
	defer s.mu.Unlock()
	s.wanted = slices.DeleteFunc(s.wanted, func(o *want) bool { return o == w })
	select {
	case r := <-w.got: // it came while the lock was waited for
		return r, nil
	default:
		if err := context.Cause(ctx); err != nil {
			return Record{}, fmt.Errorf("wait for a record: %w", err)
		}
		return Record{}, fmt.Errorf("wait for a record: %w", errClosed)
	}
}

// NextMessage returns the next message in a channel or for one person, by any way.
func (s *Server) NextMessage(ctx context.Context, match ...Match) (Message, error) {
	r, err := s.Next(ctx, append([]Match{Of(Posted, Whispered, Changed)}, match...)...)
	return r.Message, err
}

// NextView returns the next view that was opened, published or changed.
func (s *Server) NextView(ctx context.Context, match ...Match) (View, error) {
	r, err := s.Next(ctx, append([]Match{Of(Viewed)}, match...)...)
	return r.View, err
}

// Drain forgets what no Next has taken: for what comes from here on.
func (s *Server) Drain() {
	s.mu.Lock()
	defer s.mu.Unlock()
	s.untaken = nil
}

// Since returns the records after number seq, and waits until there is one. It
// takes nothing away from Next. Records that are no longer kept are left out.
func (s *Server) Since(ctx context.Context, seq int64) ([]Record, error) {
	for {
		s.mu.Lock()
		if s.seq > seq {
			i, _ := slices.BinarySearchFunc(s.log, seq+1, func(r Record, n int64) int { return int(r.Seq - n) })
			out := slices.Clone(s.log[i:])
			s.mu.Unlock()
			return out, nil
		}
		if s.changed == nil {
			s.changed = make(chan struct{})
		}
		changed := s.changed
		s.mu.Unlock()
		select {
		case <-changed:
		case <-ctx.Done():
			return nil, context.Cause(ctx)
		case <-s.ended:
			return nil, errClosed
		}
	}
}

// Messages returns what stands in a channel, for all to see, the oldest first.
func (s *Server) Messages(channel string) []Message {
	s.mu.Lock()
	defer s.mu.Unlock()
	return copied(s.messages[channel], s.keep)
}

// Ephemerals returns what one person alone was shown, the oldest first.
func (s *Server) Ephemerals(user string) []Message {
	s.mu.Lock()
	defer s.mu.Unlock()
	return copied(s.ephemerals[user], s.keep)
}

// Responses returns what came by one response URL and still stands.
func (s *Server) Responses(url string) []Message {
	s.mu.Lock()
	defer s.mu.Unlock()
	var out []Message
	for _, list := range []map[string][]*Message{s.messages, s.ephemerals} {
		for _, ms := range list {
			for _, m := range ms {
				if m.URL == url {
					out = append(out, *m)
				}
			}
		}
	}
	slices.SortFunc(out, func(a, b Message) int { return strings.Compare(a.TS, b.TS) })
	return out
}

func copied(list []*Message, keep int) []Message {
	var out []Message
	for _, m := range newest(list, keep) {
		out = append(out, *m)
	}
	return out
}

// Views returns all views, the oldest first, closed ones included.
func (s *Server) Views() []View {
	s.mu.Lock()
	defer s.mu.Unlock()
	var out []View
	for _, v := range s.views.all() {
		out = append(out, *v)
	}
	return out
}

// View returns a view by its id.
func (s *Server) View(id string) (View, bool) {
	s.mu.Lock()
	defer s.mu.Unlock()
	if v, ok := s.views.get(id); ok {
		return *v, true
	}
	return View{}, false
}

// Home returns what a person's home tab shows.
func (s *Server) Home(user string) (View, bool) {
	s.mu.Lock()
	defer s.mu.Unlock()
	if v, ok := s.views.get(s.homes[user]); ok {
		return *v, true
	}
	return View{}, false
}

// File returns a file by its id.
func (s *Server) File(id string) (File, bool) {
	s.mu.Lock()
	defer s.mu.Unlock()
	if f, ok := s.files.get(id); ok {
		return *f, true
	}
	return File{}, false
}

// Calls returns how often a method was called since the start.
func (s *Server) Calls(method string) int {
	s.mu.Lock()
	defer s.mu.Unlock()
	return s.calls[method]
}

// Violations returns what the service would not have taken, the oldest first.
func (s *Server) Violations() []Violation {
	s.mu.Lock()
	defer s.mu.Unlock()
	return newest(s.violations, s.keep)
}

// Notes returns what the service takes but advises against: a text above 4000
// characters, blocks without a text for notifications.
func (s *Server) Notes() []Violation {
	s.mu.Lock()
	defer s.mu.Unlock()
	return newest(s.notes, s.keep)
}

func (r *record) violate(where, what string) {
	r.violations = last(r.violations, Violation{where, what}, r.keep)
}

func (r *record) note(where, what string) {
	r.notes = last(r.notes, Violation{where, what}, r.keep)
}

// Decode decodes JSON as this package keeps it, with numbers as json.Number.
func Decode(raw []byte) (any, error) {
	d := json.NewDecoder(strings.NewReader(string(raw)))
	d.UseNumber()
	var v any
	if err := d.Decode(&v); err != nil {
		return nil, err
	}
	if d.More() {
		return nil, fmt.Errorf("more than one JSON value")
	}
	return v, nil
}
