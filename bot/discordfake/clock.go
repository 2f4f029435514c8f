package discordfake

import (
	"slices"
	"sync"
	"time"
)

// Clock tells the fake the time and wakes it. Deadlines of interactions, the
// life of tokens, heartbeats and daily allowances are all judged by it.
type Clock interface {
	Now() time.Time
	// AfterFunc calls f once, in its own goroutine or in that of whoever moves
	// the clock, when d has passed. Stop reports whether it kept f from running.
	AfterFunc(d time.Duration, f func()) (stop func() bool)
}

// wall is the clock on the wall.
type wall struct{}

func (wall) Now() time.Time { return time.Now() }

func (wall) AfterFunc(d time.Duration, f func()) func() bool { return time.AfterFunc(d, f).Stop }

// Manual is a clock that stands still until it is moved. It is safe for use by
// several goroutines.
type Manual struct {
	mu     sync.Mutex
	now    time.Time
	alarms []*alarm
}

type alarm struct {
	at time.Time
	f  func()
}

// NewManual returns a clock that shows start.
func NewManual(start time.Time) *Manual { return &Manual{now: start} }

// Now returns the time shown.
func (m *Manual) Now() time.Time {
	m.mu.Lock()
	defer m.mu.Unlock()
	return m.now
}

// AfterFunc arranges for f to run within the Advance that reaches its time.
func (m *Manual) AfterFunc(d time.Duration, f func()) func() bool {
	m.mu.Lock()
	defer m.mu.Unlock()
	a := &alarm{m.now.Add(d), f}
	m.alarms = append(m.alarms, a)
	return func() bool {
		m.mu.Lock()
		defer m.mu.Unlock()
		i := slices.Index(m.alarms, a)
		if i < 0 {
			return false
		}
		m.alarms = slices.Delete(m.alarms, i, i+1)
		return true
	}
}

// Advance moves the clock on and runs what falls due, in order of time, with the
// clock showing the time it was due.
func (m *Manual) Advance(d time.Duration) {
	m.mu.Lock()
	until := m.now.Add(d)
	for {
		next := -1
		for i, a := range m.alarms {
			if !a.at.After(until) && (next < 0 || a.at.Before(m.alarms[next].at)) {
				next = i
			}
		}
		if next < 0 {
			break
		}
		a := m.alarms[next]
		m.alarms = slices.Delete(m.alarms, next, next+1)
		if a.at.After(m.now) {
			m.now = a.at
		}
		m.mu.Unlock()
		a.f()
		m.mu.Lock()
	}
	m.now = until
	m.mu.Unlock()
}
