package discord

import (
	"bufio"
	"bytes"
	"encoding/binary"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"net"
	"sync"
	"time"

	"github.com/gorilla/websocket"
)

// Opcodes of the gateway.
// https://discord.com/developers/docs/topics/opcodes-and-status-codes#gateway-gateway-opcodes
const (
	opDispatch       = 0
	opHeartbeat      = 1
	opReconnect      = 7
	opInvalidSession = 9
	opHello          = 10
	opAck            = 11
)

// interactionCreate is the event of an interaction.
const interactionCreate = "INTERACTION_CREATE"

// final marks the last frame of a message in its first byte.
// https://www.rfc-editor.org/rfc/rfc6455#section-5.2
const final = 0x80

// mostFrame is how much one message of the gateway may hold.
const mostFrame = 4 << 20

// line is the connection under the library. It looks at each message before
// the library does, since that waits for ever on a silent service, locks itself
// out on a reconnect or an acknowledgement before READY, starts a session anew
// by itself on an invalid one, and panics on a message that is no object. What
// it would trip over ends the connection instead, and the supervisor goes on
// from there.
type line struct {
	net.Conn
	in      *bufio.Reader
	wait    time.Duration // how long until the service is ready
	now     func() time.Time
	due     time.Time // when it must be
	waiting []byte    // looked at, for the library to read
	status  bool      // the first line of the upgrade to a web socket was read
	begun   bool      // the upgrade is through
	refused bool      // the upgrade was: what follows is for people
	gathers []byte    // the text of a message that comes in several frames

	ready chan struct{} // closed when the session is ready
	over  chan struct{} // closed when nothing more comes

	mu sync.Mutex
	lineState
}

// lineState is what is known of a connection.
type lineState struct {
	helloed   bool
	isReady   bool
	beat      time.Duration // between two heartbeats
	resumeURL string        // of READY
	code      int           // of the close frame, 0 if there was none
	invalid   bool          // the session is over
	goodbye   bool          // we mean to end the session
	why       error         // why the connection ended
}

func newLine(c net.Conn, wait time.Duration, now func() time.Time) *line {
	return &line{Conn: c, in: bufio.NewReader(c), wait: wait, now: now, due: now().Add(wait), ready: make(chan struct{}), over: make(chan struct{})}
}

// state returns what is known of the connection.
func (l *line) state() lineState {
	l.mu.Lock()
	defer l.mu.Unlock()
	return l.lineState
}

// end closes the connection without a close frame, which would end the session.
func (l *line) end(why error) error {
	l.ended(why)
	_ = l.Conn.Close() // nobody hears of it
	return io.EOF
}

// ended notes why nothing more comes.
func (l *line) ended(why error) {
	l.mu.Lock()
	defer l.mu.Unlock()
	if l.why == nil {
		l.why = why
		close(l.over)
	}
}

// Read gives the library what the service sent.
func (l *line) Read(p []byte) (int, error) {
	for len(l.waiting) == 0 {
		if err := l.Conn.SetReadDeadline(l.deadline()); err != nil {
			return 0, err
		}
		if err := l.next(); err != nil {
			l.ended(err)
			return 0, err
		}
	}
	n := copy(p, l.waiting)
	l.waiting = l.waiting[n:]
	return n, nil
}

// sayGoodbye lets the library's close frame pass from now on.
func (l *line) sayGoodbye() {
	l.mu.Lock()
	defer l.mu.Unlock()
	l.goodbye = true
}

// Write sends what the library writes, but for a close frame that is not ours.
// A heartbeat that waited while an old connection was closed finds it gone and
// closes the one in use now, with the code that ends the session. Without the
// frame the session goes on. The library writes a control frame in one piece.
func (l *line) Write(p []byte) (int, error) {
	if len(p) > 0 && p[0] == final|websocket.CloseMessage && !l.state().goodbye {
		_ = l.end(errors.New("discord: the library closed the link"))
		return len(p), nil
	}
	return l.Conn.Write(p)
}

// deadline is when something must have come: all that leads to READY in the
// time for that, then one heartbeat's answer after the other.
func (l *line) deadline() time.Time {
	s := l.state()
	if !s.isReady {
		return l.due
	}
	return l.now().Add(max(s.beat*5/2, l.wait))
}

// next reads one frame, and passes it on if the library may see it.
func (l *line) next() error {
	if !l.begun || l.refused {
		return l.upgrade()
	}
	var head [14]byte
	if _, err := io.ReadFull(l.in, head[:2]); err != nil {
		return err
	}
	n, size := 2, uint64(head[1]&0x7f)
	if more := map[uint64]int{126: 2, 127: 8}[size]; more > 0 {
		if _, err := io.ReadFull(l.in, head[2:2+more]); err != nil {
			return err
		}
		if n += more; more == 2 {
			size = uint64(binary.BigEndian.Uint16(head[2:4]))
		} else {
			size = binary.BigEndian.Uint64(head[2:10])
		}
	}
	if head[1]&0x80 != 0 || size > mostFrame || uint64(len(l.gathers))+size > mostFrame {
		return l.end(fmt.Errorf("discord: found a frame of %d bytes or a masked one: want at most %d", size, mostFrame))
	}
	frame := make([]byte, n+int(size))
	copy(frame, head[:n])
	body := frame[n:]
	if _, err := io.ReadFull(l.in, body); err != nil {
		return err
	}
	last, kind := head[0]&final != 0, int(head[0]&0x0f)
	switch kind {
	case websocket.CloseMessage:
		if len(body) >= 2 {
			l.mu.Lock()
			l.code = int(binary.BigEndian.Uint16(body))
			l.mu.Unlock()
		}
		// The library would answer with 1000, which ends the session.
		// https://discord.com/developers/docs/events/gateway#initiating-a-disconnect
		return l.end(errors.New("discord: the service closed the link"))
	case websocket.PingMessage, websocket.PongMessage:
		l.waiting = frame
		return nil
	}
	if !last || kind == 0 { // in several frames: gathered, and passed on as one
		l.gathers = append(l.gathers, body...)
		if !last {
			return nil
		}
		body, l.gathers = l.gathers, nil
		frame = whole(body)
	}
	pass, err := l.look(body)
	if pass {
		l.waiting = frame
	}
	return err
}

// whole is a text message in one frame.
func whole(body []byte) []byte {
	frame := binary.BigEndian.AppendUint64([]byte{final | websocket.TextMessage, 127}, uint64(len(body)))
	return append(frame, body...)
}

// upgrade passes on the answer to the request for a web socket.
func (l *line) upgrade() error {
	text, err := l.in.ReadSlice('\n')
	if len(text) == 0 {
		return err
	}
	l.waiting = bytes.Clone(text)
	if !l.status {
		l.status, l.refused = true, !bytes.Contains(text, []byte(" 101 "))
	}
	if len(bytes.TrimSpace(text)) == 0 {
		l.begun = true
	}
	return nil
}

// look decides whether the library may see a message. An error ends the
// connection.
func (l *line) look(body []byte) (pass bool, err error) {
	var m struct {
		Op   int             `json:"op"`
		Type string          `json:"t"`
		Data json.RawMessage `json:"d"`
	}
	if len(body) == 0 || body[0] != '{' || json.Unmarshal(body, &m) != nil {
		if l.state().helloed {
			return false, nil // of no kind that we know
		}
		return false, l.end(errors.New("discord: found no greeting that can be read: want hello"))
	}
	l.mu.Lock()
	s := &l.lineState
	helloed, isReady := s.helloed, s.isReady
	l.mu.Unlock()
	switch m.Op {
	case opHello:
		var hello struct {
			Interval int64 `json:"heartbeat_interval"` // ms
		}
		// An interval of nought would end the process in the library.
		if json.Unmarshal(m.Data, &hello) != nil || hello.Interval <= 0 || hello.Interval > 1e9 {
			return false, l.end(errors.New("discord: found a greeting without a heartbeat interval: want one"))
		}
		l.mu.Lock()
		s.helloed, s.beat = true, time.Duration(hello.Interval)*time.Millisecond
		l.mu.Unlock()
		return !helloed, nil
	case opReconnect:
		return false, l.end(errors.New("discord: told to open another link"))
	case opInvalidSession:
		var resumable bool
		_ = json.Unmarshal(m.Data, &resumable) // what can't be read is no
		l.mu.Lock()
		s.invalid = !resumable
		l.mu.Unlock()
		return false, l.end(errors.New("discord: told that the session is invalid"))
	case opAck:
		return isReady, nil
	case opHeartbeat:
		return helloed, nil
	case opDispatch:
		return l.dispatch(m.Type, m.Data, helloed)
	}
	return false, nil
}

// dispatch passes on the events we are for.
func (l *line) dispatch(kind string, data json.RawMessage, helloed bool) (pass bool, err error) {
	if !helloed {
		return false, l.end(errors.New("discord: found an event before the greeting: want hello"))
	}
	switch kind {
	case "READY":
		var about struct {
			Session string `json:"session_id"`
			Resume  string `json:"resume_gateway_url"`
		}
		if json.Unmarshal(data, &about) != nil || about.Session == "" {
			return false, l.end(errors.New("discord: found no session in READY: want one"))
		}
		l.isUp(about.Resume)
		return true, nil
	case "RESUMED":
		l.isUp("")
		return true, nil
	case interactionCreate:
		return len(data) > 0 && data[0] == '{', nil
	}
	return false, nil
}

func (l *line) isUp(resume string) {
	l.mu.Lock()
	defer l.mu.Unlock()
	if resume != "" {
		l.resumeURL = resume
	}
	if !l.isReady {
		l.isReady = true
		close(l.ready)
	}
}
