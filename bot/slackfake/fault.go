package slackfake

import (
	"errors"
	"io"
	"net/http"
	"slices"
	"strconv"
	"sync"
	"time"
)

var errClosed = errors.New("slackfake: closed")

// Fault is how a call goes wrong. The first field that is set counts.
type Fault struct {
	RetryAfter time.Duration // answer 429 with Retry-After, in whole seconds
	Status     int           // answer with this HTTP status, as 500
	Code       string        // answer ok:false with this error
	Needed     string        // with the code missing_scope: the scope
	Hang       bool          // answer only when released
	Cut        bool          // close the connection without an answer
	// After lets the call do its work first, so that only the answer is lost: the
	// caller can't know whether the message is there.
	After bool
}

type fault struct {
	method   string
	left     int // less than nothing: for ever
	what     Fault
	released chan struct{}
}

// Fail makes the next calls of a method go wrong: so many of them, or with a
// negative number all. The method may also be "response_url", "upload", "link" (the
// opening of a WebSocket), or "" for whatever comes. It returns what ends the fault,
// and lets go what hangs by it; Close does so too.
func (s *Server) Fail(method string, times int, what Fault) (release func()) {
	f := &fault{method, times, what, make(chan struct{})}
	s.mu.Lock()
	s.faults = append(s.faults, f)
	s.mu.Unlock()
	return sync.OnceFunc(func() {
		s.mu.Lock()
		f.left = 0
		s.mu.Unlock()
		close(f.released)
	})
}

// fault returns what is to go wrong with this call, if anything.
func (s *Server) fault(method string) *fault {
	s.mu.Lock()
	defer s.mu.Unlock()
	s.faults = slices.DeleteFunc(s.faults, func(f *fault) bool { return f.left == 0 })
	for _, f := range s.faults {
		if f.method == method || f.method == "" {
			f.left--
			return f
		}
	}
	return nil
}

// spoil answers as the fault says.
func (s *Server) spoil(w http.ResponseWriter, r *http.Request, f *fault) {
	switch {
	case f.what.RetryAfter > 0:
		w.Header().Set("Retry-After", strconv.Itoa(int((f.what.RetryAfter+time.Second-1)/time.Second)))
		w.Header().Set("Content-Type", "application/json; charset=utf-8")
		w.WriteHeader(http.StatusTooManyRequests)
		_, _ = io.WriteString(w, `{"ok":false,"error":"ratelimited"}`)
	case f.what.Status > 0:
		http.Error(w, http.StatusText(f.what.Status), f.what.Status)
	case f.what.Code != "":
		out := reply{"ok": false, "error": f.what.Code}
		if f.what.Needed != "" {
			out["needed"], out["provided"] = f.what.Needed, scopesOf(s.opt.Scopes)
		}
		write(w, out)
	case f.what.Hang:
		select {
		case <-f.released:
		case <-s.ended:
		case <-r.Context().Done():
		}
		http.Error(w, "released", http.StatusServiceUnavailable)
	default:
		panic(http.ErrAbortHandler) // net/http closes the connection and says nothing
	}
}
