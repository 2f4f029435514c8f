package discordfake

import (
	"net/http"
	"strings"
	"sync"
	"time"
)

// Fault is a disturbance of REST requests. It works from Disturb until its
// Times are used up or it is released.
type Fault struct {
	// Path is a part of the path of the requests it meets. Empty: all.
	Path string
	// Method of the requests it meets. Empty: all.
	Method string
	// Times is how many requests it meets. 0: all until Release.
	Times int

	// What happens; the first that is set.

	// Hang lets the request wait until Release, and then go on.
	Hang bool
	// Drop closes the connection without an answer.
	Drop bool
	// Answer is the error answered.
	Answer *Refusal

	met      int
	released chan struct{}
	once     sync.Once
}

// TooMany is 429, with how long to wait.
// https://discord.com/developers/docs/topics/rate-limits#exceeding-a-rate-limit
func TooMany(wait time.Duration, global bool) *Refusal {
	return &Refusal{Status: http.StatusTooManyRequests, Message: "You are being rate limited.", RetryAfter: wait, Global: global}
}

// Failing is an error of the service, as 500 or 503.
func Failing(status int) *Refusal { return plain(status) }

// Refusing is a refusal by its code, as CodeMissingAccess.
func Refusing(code int) *Refusal { return refuse(code) }

// Disturb sets a fault, which must not be changed afterwards. Faults set earlier
// go first.
func (s *Server) Disturb(f *Fault) {
	f.released = make(chan struct{})
	s.mu.Lock()
	defer s.mu.Unlock()
	s.faults = append(s.faults, f)
}

// Release ends a fault and lets go of what hangs by it.
func (f *Fault) Release() { f.once.Do(func() { close(f.released) }) }

// over tells that it meets nothing more.
func (f *Fault) over() bool {
	select {
	case <-f.released:
		return true
	default:
		return f.Times > 0 && f.met >= f.Times
	}
}

// fault returns what disturbs a request, nil if nothing does.
func (s *Server) fault(method, path string) *Fault {
	s.mu.Lock()
	defer s.mu.Unlock()
	var found *Fault
	left := s.faults[:0]
	for _, f := range s.faults {
		if f.over() {
			continue
		}
		if found == nil && strings.Contains(path, f.Path) && (f.Method == "" || f.Method == method) {
			found = f
			f.met++
		}
		if !f.over() {
			left = append(left, f)
		}
	}
	clear(s.faults[len(left):])
	s.faults = left
	return found
}
