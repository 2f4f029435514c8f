package discordfake

import (
	"context"
	"crypto/ed25519"
	"crypto/rand"
	"encoding/base64"
	"errors"
	"fmt"
	"net"
	"net/http"
	"net/url"
	"strconv"
	"sync"
	"time"
)

// Options say what a fake is like. The zero value is a service in good health
// by the clock on the wall.
type Options struct {
	// Address to listen at, on loopback. Empty: 127.0.0.1 and a free port.
	Address string
	// Token of the bot, without "Bot ". Empty: "fake-bot-token".
	Token string
	// ApplicationID of the bot, which is its user's id as well. Empty: "42".
	ApplicationID string
	// Key signs what is delivered to an interactions URL. Empty: a fresh one.
	Key ed25519.PrivateKey
	// Clock by which deadlines are judged. Nil: the wall's.
	Clock Clock
	// Heartbeat is the interval told in HELLO. Zero: 41.25 s.
	Heartbeat time.Duration
	// CloseSilent closes a link that has not sent a heartbeat for one and a half
	// intervals, with 4009.
	CloseSilent bool
	// Identifies is how many IDENTIFYs a day are allowed. Zero: 1000, as
	// https://discord.com/developers/docs/events/gateway#session-start-limit-object says.
	// When they are used up the token is reset: nothing works with it any more.
	Identifies int
	// IdentifyEvery is the pause wanted between two IDENTIFYs; sooner ones get
	// op 9. The service wants 5 s; zero wants none, so that tests need not wait.
	IdentifyEvery time.Duration
	// Intents are the bits of intents a bot may ask for; others close with 4014.
	// Zero allows all that are not privileged.
	Intents int64
	// FileSize is the greatest size of one uploaded file. Zero: 10 MiB, as
	// https://discord.com/developers/docs/reference#uploading-files says.
	FileSize int64
	// Keep is how many interactions, messages, records and violations are kept;
	// the oldest are forgotten. Zero: 2048.
	Keep int
	// KeepBytes is how many bytes of uploaded files are kept. Zero: 32 MiB.
	KeepBytes int64
}

// Server is one fake service. It is safe for use by several goroutines.
type Server struct {
	opt   Options
	clock Clock
	base  string // scheme, host and port
	http  *http.Server
	out   *http.Transport // to interactions URLs, and of Client
	key   ed25519.PrivateKey

	done    chan struct{}
	serving sync.WaitGroup

	mu        sync.Mutex
	closed    bool
	reset     bool // the token was reset by the service
	lastID    int64
	changed   chan struct{} // closed and renewed when something happened; nil if nobody waits
	exchanges kept[*exchange]
	tokens    kept[*exchange]
	messages  kept[*Message]
	files     files
	records   records
	wrongs    []Violation
	faults    []*Fault
	commands  map[string][]Command // by guild; "" is global
	created   map[string]*allowance

	greetings []greeting
	links     map[*link]bool
	session   *session
	identify  allowance
	lastIdent time.Time
	beats     int64
	deaf      bool
	fatal     int // the close code after which no link should be opened
}

// New starts a fake. It listens until Close.
func New(o Options) (*Server, error) {
	set(&o.Address, "127.0.0.1:0")
	set(&o.Token, "fake-bot-token")
	set(&o.ApplicationID, "42")
	set(&o.Heartbeat, 41250*time.Millisecond)
	set(&o.Identifies, 1000)
	set(&o.FileSize, maxFile)
	set(&o.Keep, 2048)
	set(&o.KeepBytes, 32<<20)
	if o.Clock == nil {
		o.Clock = wall{}
	}
	if o.Key == nil {
		_, key, err := ed25519.GenerateKey(rand.Reader)
		if err != nil {
			return nil, fmt.Errorf("make a key: %w", err)
		}
		o.Key = key
	}
	if len(o.Key) != ed25519.PrivateKeySize {
		return nil, fmt.Errorf("key of %v bytes: want %v", len(o.Key), ed25519.PrivateKeySize)
	}
	host, _, err := net.SplitHostPort(o.Address)
	if err != nil {
		return nil, fmt.Errorf("address %q: want host and port, as 127.0.0.1:0", o.Address)
	}
	if ip := net.ParseIP(host); host != "localhost" && (ip == nil || !ip.IsLoopback()) {
		return nil, fmt.Errorf("address %q: want one on loopback, as 127.0.0.1:0", o.Address)
	}
	l, err := net.Listen("tcp", o.Address)
	if err != nil {
		return nil, fmt.Errorf("listen: %w", err)
	}
	s := &Server{
		opt: o, clock: o.Clock, base: "http://" + l.Addr().String(), key: o.Key,
		out:       &http.Transport{MaxIdleConnsPerHost: 256},
		done:      make(chan struct{}),
		exchanges: kept[*exchange]{max: o.Keep},
		tokens:    kept[*exchange]{max: o.Keep},
		messages:  kept[*Message]{max: o.Keep},
		files:     files{max: o.KeepBytes},
		records:   records{max: o.Keep},
		commands:  make(map[string][]Command),
		created:   make(map[string]*allowance),
		links:     make(map[*link]bool),
		identify:  allowance{max: o.Identifies},
	}
	s.http = &http.Server{Handler: http.HandlerFunc(s.serve), ReadHeaderTimeout: 30 * time.Second}
	go func() { _ = s.http.Serve(l) }()
	return s, nil
}

// set gives an option its default.
func set[T comparable](to *T, value T) {
	var zero T
	if *to == zero {
		*to = value
	}
}

// Close drops all links and connections, lets go of what hangs, and waits for
// what was being served.
func (s *Server) Close() error {
	s.mu.Lock()
	if s.closed {
		s.mu.Unlock()
		return nil
	}
	s.closed = true
	close(s.done)
	for l := range s.links {
		l.cut()
	}
	s.mu.Unlock()
	err := s.http.Close()
	s.serving.Wait()
	s.out.CloseIdleConnections()
	return err
}

// URL is where the fake listens: scheme, host and port.
func (s *Server) URL() string { return s.base }

// Token is the bot's, without "Bot ".
func (s *Server) Token() string { return s.opt.Token }

// ApplicationID is the bot's.
func (s *Server) ApplicationID() string { return s.opt.ApplicationID }

// PublicKey checks the signatures of what is delivered to an interactions URL.
func (s *Server) PublicKey() ed25519.PublicKey { return s.key.Public().(ed25519.PublicKey) }

// Client returns a client that sends every request to the fake, whatever scheme
// and host it names; a client of the service needs no other change. Timeout is
// that of http.Client.
func (s *Server) Client(timeout time.Duration) *http.Client {
	u, _ := url.Parse(s.base) // made by New from a listener's address
	return &http.Client{Timeout: timeout, Transport: rewrite{u, s.out}}
}

// rewrite sends requests elsewhere than they say.
type rewrite struct {
	to *url.URL
	by http.RoundTripper
}

func (t rewrite) RoundTrip(r *http.Request) (*http.Response, error) {
	c := r.Clone(r.Context()) // a RoundTripper must not change the request
	c.URL.Scheme, c.URL.Host = t.to.Scheme, t.to.Host
	return t.by.RoundTrip(c)
}

// serve is one request, of a bot or of a browser that shows a file.
func (s *Server) serve(w http.ResponseWriter, r *http.Request) {
	s.mu.Lock()
	if s.closed {
		s.mu.Unlock()
		return
	}
	s.serving.Add(1)
	s.mu.Unlock()
	defer s.serving.Done()
	switch first, _ := cut(r.URL.Path); first {
	case "api":
		s.rest(w, r)
	case "ws":
		s.gateway(w, r)
	case "attachments":
		s.serveFile(w, r)
	default:
		write(w, http.StatusNotFound, notFound())
	}
}

// epoch is the zero of ids' time: the first second of 2015.
// https://discord.com/developers/docs/reference#snowflakes
const epoch = 1420070400000 // ms

// id returns a new id that tells the time, as the service's do. mu is held.
func (s *Server) id() string {
	n := max((s.clock.Now().UnixMilli()-epoch)<<22, s.lastID+1)
	s.lastID = n
	return strconv.FormatInt(n, 10)
}

// secret returns an interaction's token, in the shape of the service's.
func secret(id string) string {
	b := make([]byte, 48)
	_, _ = rand.Read(b) // never fails
	return base64.RawURLEncoding.EncodeToString([]byte("interaction:" + id + ":" + base64.RawURLEncoding.EncodeToString(b)))
}

// happened wakes who waits. mu is held.
func (s *Server) happened() {
	if s.changed != nil {
		close(s.changed)
		s.changed = nil
	}
}

// errClosed tells that the fake was closed meanwhile.
var errClosed = errors.New("the fake is closed")

// wait calls look with mu held, now and after each thing that happens, until it
// reports true.
func (s *Server) wait(ctx context.Context, look func() bool) error {
	for {
		s.mu.Lock()
		if look() {
			s.mu.Unlock()
			return nil
		}
		if s.changed == nil {
			s.changed = make(chan struct{})
		}
		c := s.changed
		s.mu.Unlock()
		select {
		case <-c:
		case <-ctx.Done():
			return ctx.Err()
		case <-s.done:
			return errClosed
		}
	}
}

// allowance is how often something may be done in a day.
type allowance struct {
	max, used int
	since     time.Time
}

// day is how long an allowance lasts.
const day = 24 * time.Hour

// left returns what may be done yet, and when the day ends.
func (a *allowance) left(now time.Time) (int, time.Duration) {
	if a.since.IsZero() || now.Sub(a.since) >= day {
		a.since, a.used = now, 0
	}
	return a.max - a.used, a.since.Add(day).Sub(now)
}
