package slackfake

import (
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"net/http"
	"slices"
	"strconv"
	"strings"
	"sync"
	"time"

	"github.com/gorilla/websocket"
)

// Socket Mode: https://docs.slack.dev/apis/events-api/using-socket-mode
const (
	// mostLinks an app may have open.
	// https://docs.slack.dev/apis/events-api/using-socket-mode#connections
	mostLinks = 10
	// mostAck is the length in bytes from which an ack is dropped without a word.
	// Measured, not documented: https://github.com/slack-go/slack, socketmode/socketmode.go.
	mostAck = 20 * 1024
	// ackTime is how long the service waits for an answer, on either transport.
	// https://docs.slack.dev/interactivity/handling-user-interaction#acknowledgment_response
	ackTime = 3 * time.Second
	// ticketLife is how long an address of a link can be used; from memory.
	ticketLife = 30 * time.Second
)

type links struct {
	tickets *fifo[string, time.Time]
	open    []*socket
	opened  int // since the start
	turn    int
	waiting map[string]*waiter // by envelope_id
}

// socket is a link.
type socket struct {
	number  int
	leaving bool // told to go, or cut: nothing more is sent over it while there is another
	conn    *websocket.Conn
	write   sync.Mutex // a WebSocket takes one writer
}

func (k *socket) send(frame []byte) error {
	k.write.Lock()
	defer k.write.Unlock()
	return k.conn.WriteMessage(websocket.TextMessage, frame)
}

// waiter is an envelope that was sent and not acked yet.
type waiter struct {
	in   Inbound
	sent time.Time
	on   *socket
	got  chan ack // holds one
}

type ack struct {
	answer Answer
	failed string // why the service would not have it
}

// https://docs.slack.dev/reference/methods/apps.connections.open
func (s *Server) connectionsOpen(args, []byte) (reply, *Refusal) {
	s.mu.Lock()
	defer s.mu.Unlock()
	ticket := s.mint("ticket")
	s.links.tickets.put(ticket, s.opt.Now())
	return reply{"url": "ws" + strings.TrimPrefix(s.base, "http") + "/link?ticket=" + ticket + "&app_id=" + AppID}, nil
}

var upgrader = websocket.Upgrader{CheckOrigin: func(*http.Request) bool { return true }, WriteBufferSize: 32 * 1024}

// link opens a WebSocket for a ticket and reads acks until it ends.
func (s *Server) link(w http.ResponseWriter, r *http.Request) {
	if f := s.fault("link"); f != nil {
		s.spoil(w, r, f)
		return
	}
	s.mu.Lock()
	made, ok := s.links.tickets.take(r.URL.Query().Get("ticket"))
	if !ok || s.opt.Now().Sub(made) > ticketLife {
		s.violate("link", "a ticket that was used, is old or was never given")
		s.mu.Unlock()
		http.Error(w, "invalid ticket", http.StatusForbidden)
		return
	}
	if r.Header.Get("Authorization") != "" {
		s.violate("link", "a token was sent, and the ticket is enough")
	}
	s.mu.Unlock()

	conn, err := upgrader.Upgrade(w, r, nil)
	if err != nil {
		return // it has answered
	}
	k := &socket{conn: conn}
	k.write.Lock() // so that no envelope goes out before the greeting
	hello, ok := s.greet(k)
	if !ok {
		k.write.Unlock()
		_ = conn.Close()
		return
	}
	defer s.done.Done()
	defer s.leave(k)
	frame := hello
	if hello == nil {
		frame = disconnectFrame("too_many_websockets")
	}
	err = conn.WriteMessage(websocket.TextMessage, frame)
	k.write.Unlock()
	if err != nil || hello == nil {
		return
	}
	stop := make(chan struct{})
	defer close(stop)
	if s.opt.PingEvery > 0 {
		go k.ping(s.opt.PingEvery, stop)
	}
	conn.SetReadLimit(1 << 20)
	for {
		_, frame, err := conn.ReadMessage()
		if err != nil {
			return
		}
		s.acked(k, frame)
	}
}

// greet counts a new link and returns its greeting, which is nil if there are too
// many. It reports false when the server has ended. The link's writer is held.
func (s *Server) greet(k *socket) (hello []byte, ok bool) {
	s.mu.Lock()
	defer s.mu.Unlock()
	select {
	case <-s.ended:
		return nil, false
	default:
	}
	s.done.Add(1)
	if len(s.links.open) >= mostLinks {
		return nil, true
	}
	s.links.opened++
	k.number = s.links.opened
	hello = encode(map[string]any{"type": "hello", "num_connections": len(s.links.open) + 1, "connection_info": map[string]any{"app_id": AppID},
		"debug_info": map[string]any{"host": "applink-fake", "build_number": 1, "approximate_connection_time": 3600}})
	s.links.open = append(s.links.open, k)
	s.add(Record{Kind: Linked, Link: k.number})
	return hello, true
}

func (s *Server) leave(k *socket) {
	_ = k.conn.Close()
	s.mu.Lock()
	defer s.mu.Unlock()
	if k.number == 0 {
		return
	}
	s.links.open = slices.DeleteFunc(s.links.open, func(o *socket) bool { return o == k })
	for id, w := range s.links.waiting {
		if w.on == k {
			delete(s.links.waiting, id)
			w.got <- ack{failed: "link lost"}
		}
	}
	s.add(Record{Kind: Unlinked, Link: k.number})
}

// ping keeps a client from thinking that the link is dead.
func (k *socket) ping(every time.Duration, stop <-chan struct{}) {
	t := time.NewTicker(every)
	defer t.Stop()
	for {
		if k.conn.WriteControl(websocket.PingMessage, []byte("Ping from fake"), time.Now().Add(time.Second)) != nil {
			return
		}
		select {
		case <-t.C:
		case <-stop:
			return
		}
	}
}

// acked takes what came over a link: an ack, or nothing the service knows.
func (s *Server) acked(k *socket, frame []byte) {
	var a struct {
		ID      string          `json:"envelope_id"`
		Payload json.RawMessage `json:"payload"`
	}
	err := json.Unmarshal(frame, &a)
	s.mu.Lock()
	defer s.mu.Unlock()
	if err != nil || a.ID == "" {
		s.violate("link", "a frame that is no ack")
		return
	}
	w, ok := s.links.waiting[a.ID]
	if !ok || w.on != k {
		s.violate("link", "an ack of no open envelope: too late, a second one, or on another link")
		return
	}
	delete(s.links.waiting, a.ID)
	out := ack{answer: Answer{EnvelopeID: a.ID, Body: a.Payload, Took: s.opt.Now().Sub(w.sent)}}
	switch {
	case len(frame) >= mostAck:
		s.violate("link", "an ack of "+strconv.Itoa(len(frame))+" bytes, which is dropped: want fewer than "+strconv.Itoa(mostAck))
		out.failed = "dropped"
	case out.answer.Took > ackTime:
		s.violate("link", "an ack after more than 3 s")
		out.failed = "late"
	}
	w.got <- out
}

// Unanswered says that the service has no answer it could use. A person then sees
// that the app did not respond; an event is delivered again by Redeliver.
type Unanswered struct {
	Why string // timeout, late, dropped, link lost, no link, http_error, connection_failed
}

func (u *Unanswered) Error() string { return "slackfake: no answer: " + u.Why }

// Push sends an envelope over one of the links and waits for its ack: until the link
// ends or ctx does, which counts as the 3 s being over. By the injected clock an ack
// after more than 3 s is late. The error is an *Unanswered.
func (s *Server) Push(ctx context.Context, in Inbound) (Answer, error) {
	in.transport = overLink
	s.mu.Lock()
	if len(s.links.open) == 0 {
		defer s.mu.Unlock()
		return Answer{}, s.unanswered(in, "no link")
	}
	open := s.links.open
	if staying := slices.DeleteFunc(slices.Clone(open), func(k *socket) bool { return k.leaving }); len(staying) > 0 {
		open = staying
	}
	n := s.links.turn % len(open)
	if s.links.turn++; s.opt.Pick != nil {
		n = s.opt.Pick(len(open))
	}
	id := s.mint("E")
	w := &waiter{in, s.opt.Now(), open[n], make(chan ack, 1)}
	s.links.waiting[id] = w
	s.mu.Unlock()

	envelope := map[string]any{"envelope_id": id, "type": string(in.Type), "payload": in.Payload, "accepts_response_payload": in.Type != Event}
	if in.Type == Event {
		envelope["retry_attempt"], envelope["retry_reason"] = in.Attempt, in.Reason
	}
	if err := w.on.send(encode(envelope)); err != nil {
		_ = w.on.conn.Close() // the reader tells whoever waits
	}
	select {
	case a := <-w.got:
		return s.took(in, a)
	case <-ctx.Done():
	case <-s.ended:
	}
	s.mu.Lock()
	delete(s.links.waiting, id)
	s.mu.Unlock()
	select {
	case a := <-w.got: // it came while the lock was waited for
		return s.took(in, a)
	default:
		return s.took(in, ack{failed: "timeout"})
	}
}

// took ends a delivery over either transport.
func (s *Server) took(in Inbound, a ack) (Answer, error) {
	if a.failed == "" {
		s.settleAnswer(in, a.answer)
		return a.answer, nil
	}
	s.mu.Lock()
	defer s.mu.Unlock()
	return a.answer, s.unanswered(in, a.failed)
}

func disconnectFrame(reason string) []byte {
	return encode(map[string]any{"type": "disconnect", "reason": reason, "debug_info": map[string]any{"host": "applink-fake"}})
}

var errNoLink = errors.New("slackfake: no such link is open")

// each does something with one open link, or with all when its number is 0.
func (s *Server) each(number int, do func(*socket) error) error {
	s.mu.Lock()
	open := slices.Clone(s.links.open)
	s.mu.Unlock()
	err := errNoLink
	for _, k := range open {
		if number == 0 || k.number == number {
			if err = do(k); err != nil {
				return fmt.Errorf("link %d: %w", k.number, err)
			}
		}
	}
	return err
}

// Disconnect tells the client of a link, or of all with number 0, to open another:
// reasons are warning, refresh_requested, link_disabled, too_many_websockets. The
// link stays until the client closes it or Drop cuts it.
// https://docs.slack.dev/apis/events-api/using-socket-mode#disconnect
func (s *Server) Disconnect(number int, reason string) error {
	return s.each(number, func(k *socket) error {
		if reason != "warning" {
			s.leaves(k)
		}
		return k.send(disconnectFrame(reason))
	})
}

// Raw sends a frame as it is over a link, or over all with number 0: nonsense, or an
// envelope of one's own.
func (s *Server) Raw(number int, frame []byte) error {
	return s.each(number, func(k *socket) error { return k.send(frame) })
}

// Drop cuts a link, or all with number 0, without a word.
func (s *Server) Drop(number int) error {
	return s.each(number, func(k *socket) error {
		s.leaves(k)
		return k.conn.NetConn().Close()
	})
}

func (s *Server) leaves(k *socket) {
	s.mu.Lock()
	defer s.mu.Unlock()
	k.leaving = true
}

// Links returns the numbers of the links that are open, the oldest first.
func (s *Server) Links() []int {
	s.mu.Lock()
	defer s.mu.Unlock()
	var out []int
	for _, k := range s.links.open {
		out = append(out, k.number)
	}
	return out
}

// WaitLink waits until so many links have been opened since the start.
func (s *Server) WaitLink(ctx context.Context, opened int) error {
	for {
		s.mu.Lock()
		have, seq := s.links.opened, s.seq
		s.mu.Unlock()
		if have >= opened {
			return nil
		}
		if _, err := s.Since(ctx, seq); err != nil {
			return fmt.Errorf("wait for link %d: %w", opened, err)
		}
	}
}
