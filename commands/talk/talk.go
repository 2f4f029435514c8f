// Package talk remembers, per person and channel, what was talked about: the
// last request, on which a follow-up builds, the question that is open, and
// the last working for "why".
package talk

import (
	"context"
	"sync"
	"time"

	"spokeword/commands/reply"
	"spokeword/commands/spec"
)

// Key says who talks where. One person's talk in one channel never leaks into
// another's or another channel.
type Key struct{ Workspace, Channel, User string }

// State is what is remembered.
type State struct {
	Base    string       // the last request as a canonical line
	Asking  *reply.Ask   // the question that is open
	Pending string       // the request that the open question is about
	Last    *reply.Reply // the last answer, for why
	Offers  []string     // lines offered as choices, the newest last
	Shown   spec.Units   // units that the answers are wanted in, asked for by "in bar"
	At      time.Time    // when it was put there
}

// Store keeps states for a while.
type Store interface {
	Get(Key) State
	Put(Key, State)
}

// Bounds of the memory store.
const (
	Expiry  = 30 * time.Minute // a talk ends when nobody goes on with it
	MaxKept = 10000            // talks kept; the oldest go first
)

// Memory is a Store in memory. What has expired goes first, then what is oldest.
type Memory struct {
	now    func() time.Time
	expiry time.Duration
	most   int

	mu   sync.Mutex
	kept map[Key]*entry
	// a ring of entries from the newest to the oldest
	head entry
}

type entry struct {
	key        Key
	state      State
	prev, next *entry
}

// NewMemory returns an empty store that tells the time by now, with the usual bounds.
func NewMemory(now func() time.Time) *Memory { return NewMemoryWithin(now, Expiry, MaxKept) }

// NewMemoryWithin returns an empty store that forgets a talk after expiry and
// keeps at most so many.
func NewMemoryWithin(now func() time.Time, expiry time.Duration, most int) *Memory {
	m := &Memory{now: now, expiry: expiry, most: most, kept: make(map[Key]*entry)}
	m.head.prev, m.head.next = &m.head, &m.head
	return m
}

// Get returns the state of a talk, the zero State if there is none or it has expired.
func (m *Memory) Get(k Key) State {
	m.mu.Lock()
	defer m.mu.Unlock()
	m.expire()
	if e, ok := m.kept[k]; ok {
		return e.state
	}
	return State{}
}

// Put remembers the state of a talk.
func (m *Memory) Put(k Key, s State) {
	m.mu.Lock()
	defer m.mu.Unlock()
	s.At = m.now()
	m.put(k, s)
}

// Restore remembers the state of a talk as it was put at its time At. States
// are restored in the order of their times, before any is put.
func (m *Memory) Restore(k Key, s State) {
	m.mu.Lock()
	defer m.mu.Unlock()
	m.put(k, s)
}

func (m *Memory) put(k Key, s State) {
	if e, ok := m.kept[k]; ok {
		m.drop(e)
	}
	e := &entry{key: k, state: s, prev: &m.head, next: m.head.next}
	e.prev.next, e.next.prev = e, e
	m.kept[k] = e
	m.expire()
	for len(m.kept) > m.most {
		m.drop(m.head.prev)
	}
}

// Len returns how many talks are kept.
func (m *Memory) Len() int {
	m.mu.Lock()
	defer m.mu.Unlock()
	return len(m.kept)
}

// expire drops what has expired: the entries stand in the order they were put.
func (m *Memory) expire() {
	limit := m.now().Add(-m.expiry)
	for e := m.head.prev; e != &m.head && e.state.At.Before(limit); e = m.head.prev {
		m.drop(e)
	}
}

func (m *Memory) drop(e *entry) {
	e.prev.next, e.next.prev = e.next, e.prev
	delete(m.kept, e.key)
}

type askerKey struct{}

// With returns a context that carries who asks, for commands that look back.
func With(ctx context.Context, k Key) context.Context { return context.WithValue(ctx, askerKey{}, k) }

// From returns who asks.
func From(ctx context.Context) Key {
	k, _ := ctx.Value(askerKey{}).(Key)
	return k
}
