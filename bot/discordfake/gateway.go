package discordfake

import (
	"bytes"
	"compress/zlib"
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"net/http"
	"slices"
	"strings"
	"sync"
	"time"

	"github.com/gorilla/websocket"
)

// Opcodes of the gateway.
// https://discord.com/developers/docs/topics/opcodes-and-status-codes#gateway-gateway-opcodes
const (
	OpDispatch       = 0
	OpHeartbeat      = 1
	OpIdentify       = 2
	OpPresence       = 3
	OpVoiceState     = 4
	OpResume         = 6
	OpReconnect      = 7
	OpRequestMembers = 8
	OpInvalidSession = 9
	OpHello          = 10
	OpHeartbeatAck   = 11
)

// Close codes of the gateway.
// https://discord.com/developers/docs/topics/opcodes-and-status-codes#gateway-gateway-close-event-codes
const (
	CloseUnknownError         = 4000
	CloseUnknownOpcode        = 4001
	CloseDecodeError          = 4002
	CloseNotAuthenticated     = 4003
	CloseAuthenticationFailed = 4004
	CloseAlreadyAuthenticated = 4005
	CloseInvalidSeq           = 4007
	CloseRateLimited          = 4008
	CloseSessionTimedOut      = 4009
	CloseInvalidShard         = 4010
	CloseShardingRequired     = 4011
	CloseInvalidVersion       = 4012
	CloseInvalidIntents       = 4013
	CloseDisallowedIntents    = 4014
)

// Limits of what a client sends.
// https://discord.com/developers/docs/events/gateway#sending-events
// https://discord.com/developers/docs/events/gateway#rate-limiting
const (
	maxFrame     = 4096 // bytes
	maxPerMinute = 120  // frames in 60 s on one link
)

// Intents. https://discord.com/developers/docs/events/gateway#gateway-intents
const (
	allIntents        = (1<<26 - 1) &^ (1<<17 | 1<<18 | 1<<19 | 1<<22 | 1<<23)
	privilegedIntents = 1<<1 | 1<<8 | 1<<15
)

// Identify is a bot's IDENTIFY.
// https://discord.com/developers/docs/events/gateway-events#identify
type Identify struct {
	Token      string            `json:"token"`
	Intents    *int64            `json:"intents"`
	Properties map[string]string `json:"properties"`
	Compress   bool              `json:"compress"`
	Shard      *[2]int           `json:"shard"`
}

// Resume is a bot's RESUME.
// https://discord.com/developers/docs/events/gateway-events#resume
type Resume struct {
	Token   string `json:"token"`
	Session string `json:"session_id"`
	Seq     int64  `json:"seq"`
	// AtResumeURL: it was sent to the resume_gateway_url of READY.
	AtResumeURL bool `json:"-"`
}

// Greeting is how the gateway meets a new link. The zero value is as it should be.
type Greeting struct {
	// Status is an HTTP status in place of the upgrade to a web socket.
	Status int
	// Silent accepts the link and never says anything.
	Silent bool
	// Raw are frames sent as they are in place of HELLO, as "{" or "".
	Raw []string
	// Early are opcodes sent after IDENTIFY or RESUME, before READY or RESUMED,
	// as OpReconnect or OpHeartbeatAck.
	Early []int
	// NoReady answers IDENTIFY and RESUME no further than Early.
	NoReady bool
	// Close is a close code in place of READY or RESUMED.
	Close int
	// Invalid is op 9 in place of READY or RESUMED; Resumable is what it says.
	Invalid, Resumable bool
}

// greeting is a Greeting and how often it is used yet; below 0 without end.
type greeting struct {
	Greeting
	times int
}

// Greet sets how the next links are met; 0 times means all until Greet is
// called again. Greetings set earlier are used up first.
func (s *Server) Greet(g Greeting, times int) {
	s.mu.Lock()
	defer s.mu.Unlock()
	s.greetings = slices.DeleteFunc(s.greetings, func(old greeting) bool { return old.times <= 0 })
	s.greetings = append(s.greetings, greeting{g, times})
}

// greeting takes the next one. mu is held.
func (s *Server) greeting() Greeting {
	if len(s.greetings) == 0 {
		return Greeting{}
	}
	g := &s.greetings[0]
	out := g.Greeting
	if g.times > 0 {
		if g.times--; g.times == 0 {
			s.greetings = s.greetings[1:]
		}
	}
	return out
}

// frame is one message of the gateway.
type frame struct {
	Op   int             `json:"op"`
	Data json.RawMessage `json:"d"`
	Seq  *int64          `json:"s"`
	Type *string         `json:"t"`
}

// link is one web socket.
type link struct {
	s       *Server
	conn    *websocket.Conn
	greet   Greeting
	resumed bool // at resume_gateway_url

	frames []time.Time // the last ones, for the rate; of the reading goroutine

	// With mu of the server.
	identified bool
	session    *session
	beat       func() bool // stops the watch over heartbeats

	out    sync.Mutex
	queue  []packet
	isGone bool
	wake   chan struct{}
	gone   chan struct{} // closed when it is
}

// packet is something to send: a text, or a close code.
type packet struct {
	text   []byte
	packed bool
	close  int
}

// session is what a bot resumes.
type session struct {
	id     string
	seq    int64
	events []event // that can be sent again, oldest first
	link   *link   // nil while it is down
}

type event struct {
	seq  int64
	text []byte
}

// maxReplay is how many events are kept to be sent again.
const maxReplay = 1024

var upgrader = websocket.Upgrader{CheckOrigin: func(*http.Request) bool { return true }}

// gateway serves one link.
func (s *Server) gateway(w http.ResponseWriter, r *http.Request) {
	s.mu.Lock()
	g := s.greeting()
	if s.fatal != 0 {
		s.wrong(RuleFatal, "gateway", fmt.Sprintf("a link is opened after close code %v, which does not go away by itself", s.fatal))
		s.fatal = 0
	}
	s.mu.Unlock()
	if g.Status != 0 {
		write(w, g.Status, plain(g.Status))
		return
	}
	l := &link{s: s, greet: g, resumed: strings.Contains(r.URL.Path, "resume"), wake: make(chan struct{}, 1), gone: make(chan struct{})}
	// Known before the client knows it is up, so that no Drop misses it.
	s.mu.Lock()
	if s.closed {
		s.mu.Unlock()
		return
	}
	s.links[l] = true
	s.mu.Unlock()
	conn, err := upgrader.Upgrade(w, r, nil)
	if err != nil || !l.connect(conn) {
		s.mu.Lock()
		delete(s.links, l)
		s.mu.Unlock()
		return // upgrader has answered, or the link was cut meanwhile
	}
	var writing sync.WaitGroup
	writing.Go(l.write)
	q := r.URL.Query()
	if v := q.Get("v"); v != "9" && v != "10" {
		l.close(CloseInvalidVersion)
	} else if e := q.Get("encoding"); e != "" && e != "json" {
		l.close(CloseDecodeError)
	} else {
		l.hello()
	}
	code := l.read()
	l.cut()
	writing.Wait()
	s.mu.Lock()
	defer s.mu.Unlock()
	delete(s.links, l)
	if l.beat != nil {
		l.beat()
	}
	if x := l.session; x != nil && x.link == l {
		x.link = nil
		// https://discord.com/developers/docs/events/gateway#initiating-a-disconnect
		if code == websocket.CloseNormalClosure || code == websocket.CloseGoingAway {
			s.end(x)
		}
	}
	s.note(Record{Kind: KindLinkDown, Close: code})
}

// end ends a session for good. mu is held.
func (s *Server) end(x *session) {
	if s.session == x {
		s.session = nil
	}
}

// send queues a text; the order of calls is that on the wire.
func (l *link) send(p packet) {
	l.out.Lock()
	l.queue = append(l.queue, p)
	l.out.Unlock()
	select {
	case l.wake <- struct{}{}:
	default:
	}
}

func (l *link) op(op int, data string) {
	l.send(packet{text: []byte(fmt.Sprintf(`{"op":%v,"d":%s,"s":null,"t":null}`, op, data))})
}

func (l *link) close(code int) { l.send(packet{close: code}) }

// connect gives the link its connection, and reports false if it was cut before.
func (l *link) connect(c *websocket.Conn) bool {
	c.SetReadLimit(1 << 20)
	l.out.Lock()
	defer l.out.Unlock()
	if l.isGone {
		_ = c.NetConn().Close() // nobody hears of it
		return false
	}
	l.conn = c
	return true
}

// cut ends the link without a close frame.
func (l *link) cut() {
	l.out.Lock()
	defer l.out.Unlock()
	if l.isGone {
		return
	}
	l.isGone = true
	close(l.gone)
	if l.conn != nil {
		_ = l.conn.NetConn().Close() // the client may have been quicker
	}
}

// patience is how long a peer may take for a frame, or to close.
const patience = 5 * time.Second

func (l *link) write() {
	for {
		select {
		case <-l.gone:
			return
		case <-l.wake:
		}
		l.out.Lock()
		queue := l.queue
		l.queue = nil
		l.out.Unlock()
		for _, p := range queue {
			_ = l.conn.SetWriteDeadline(time.Now().Add(patience)) // the write tells
			var err error
			switch {
			case p.close != 0:
				err = l.conn.WriteControl(websocket.CloseMessage, websocket.FormatCloseMessage(p.close, ""), time.Now().Add(patience))
				// The peer answers with a close frame; reading goes on until then.
				_ = l.conn.SetReadDeadline(time.Now().Add(patience))
			case p.packed:
				err = l.conn.WriteMessage(websocket.BinaryMessage, deflate(p.text))
			default:
				err = l.conn.WriteMessage(websocket.TextMessage, p.text)
			}
			if err != nil {
				l.cut()
				return
			}
		}
	}
}

func deflate(text []byte) []byte {
	var b bytes.Buffer
	w := zlib.NewWriter(&b)
	_, _ = w.Write(text) // to memory
	_ = w.Close()
	return b.Bytes()
}

func (l *link) hello() {
	if l.greet.Silent {
		return
	}
	for _, raw := range l.greet.Raw {
		l.send(packet{text: []byte(raw)})
	}
	if len(l.greet.Raw) > 0 {
		return
	}
	l.op(OpHello, fmt.Sprintf(`{"heartbeat_interval":%v}`, l.s.opt.Heartbeat.Milliseconds()))
	l.s.mu.Lock()
	l.watch()
	l.s.mu.Unlock()
}

// watch closes the link if no heartbeat comes. mu is held.
func (l *link) watch() {
	if !l.s.opt.CloseSilent {
		return
	}
	if l.beat != nil {
		l.beat()
	}
	l.beat = l.s.clock.AfterFunc(l.s.opt.Heartbeat*3/2, func() {
		l.s.mu.Lock()
		if x := l.session; x != nil {
			l.s.end(x)
		}
		l.s.mu.Unlock()
		l.close(CloseSessionTimedOut)
	})
}

// read takes frames until the link ends, and returns the code of the close
// frame; 1006 if there was none.
func (l *link) read() int {
	for {
		_, b, err := l.conn.ReadMessage()
		if err != nil {
			var c *websocket.CloseError
			if errors.As(err, &c) {
				return c.Code
			}
			return websocket.CloseAbnormalClosure
		}
		if code := l.take(b); code != 0 {
			l.s.mu.Lock()
			l.s.closing(code)
			l.s.mu.Unlock()
			l.close(code)
		}
	}
}

// take does what a frame asks, and returns a close code if it must not be.
func (l *link) take(b []byte) int {
	if l.greet.Silent {
		return 0
	}
	now := l.s.clock.Now()
	l.frames = slices.DeleteFunc(append(l.frames, now), func(t time.Time) bool { return now.Sub(t) > time.Minute })
	if len(l.frames) > maxPerMinute {
		return CloseRateLimited
	}
	var f frame
	if len(b) > maxFrame || json.Unmarshal(b, &f) != nil {
		return CloseDecodeError
	}
	switch f.Op {
	case OpHeartbeat:
		return l.heartbeat(f.Data)
	case OpIdentify:
		return l.identify(f.Data)
	case OpResume:
		return l.resume(f.Data)
	case OpPresence, OpVoiceState, OpRequestMembers:
		l.s.mu.Lock()
		defer l.s.mu.Unlock()
		if !l.identified {
			return CloseNotAuthenticated
		}
		return 0
	}
	return CloseUnknownOpcode
}

func (l *link) heartbeat(data []byte) int {
	var seq *int64
	if json.Unmarshal(data, &seq) != nil {
		return CloseDecodeError
	}
	s := l.s
	s.mu.Lock()
	defer s.mu.Unlock()
	s.beats++
	if x := l.session; x != nil && seq != nil {
		if *seq > x.seq {
			return CloseInvalidSeq
		}
		x.forget(*seq)
	}
	l.watch()
	s.note(Record{Kind: KindHeartbeat})
	if !s.deaf {
		l.op(OpHeartbeatAck, "null")
	}
	return 0
}

// forget drops events that the bot has.
func (x *session) forget(upTo int64) {
	n := 0
	for n < len(x.events) && x.events[n].seq <= upTo {
		n++
	}
	clear(x.events[:n])
	x.events = x.events[n:]
}

// since is the seq after which all events can be sent again.
func (x *session) since() int64 {
	if len(x.events) > 0 {
		return x.events[0].seq - 1
	}
	return x.seq
}

// rightToken tells whether a token is the bot's. mu is held.
func (s *Server) rightToken(token string) bool {
	return !s.reset && strings.TrimPrefix(token, "Bot ") == s.opt.Token
}

// early does what the greeting wants before READY or RESUMED, and reports
// whether it takes their place. mu is held.
func (l *link) early() (code int, instead bool) {
	for _, op := range l.greet.Early {
		l.op(op, "null")
	}
	switch g := l.greet; {
	case g.Close != 0:
		return g.Close, true
	case g.Invalid:
		if !g.Resumable {
			l.s.session = nil
		}
		l.identified = false
		l.op(OpInvalidSession, fmt.Sprint(g.Resumable))
		return 0, true
	case g.NoReady:
		return 0, true
	}
	return 0, false
}

func (l *link) identify(data []byte) int {
	var id Identify
	if json.Unmarshal(data, &id) != nil {
		return CloseDecodeError
	}
	s := l.s
	s.mu.Lock()
	defer s.mu.Unlock()
	if l.identified {
		return CloseAlreadyAuthenticated
	}
	rec := Record{Kind: KindIdentify, Identify: &id}
	code := s.admitIdentify(&id)
	if code != 0 {
		rec.Close = code
		s.note(rec)
		return code
	}
	now := s.clock.Now()
	if s.opt.IdentifyEvery > 0 && !s.lastIdent.IsZero() && now.Sub(s.lastIdent) < s.opt.IdentifyEvery {
		s.note(rec)
		l.op(OpInvalidSession, "false")
		return 0
	}
	s.lastIdent = now
	l.identified = true
	code, instead := l.early()
	if instead {
		rec.Close = code
		s.note(rec)
		return code
	}
	if old := s.session; old != nil && old.link != nil {
		s.wrong(RuleTwoSessions, "gateway", "IDENTIFY while a session is up: interactions would come twice")
	}
	x := &session{id: "session-" + s.id(), link: l}
	l.session, s.session = x, x
	shard := [2]int{0, 1}
	if id.Shard != nil {
		shard = *id.Shard
	}
	s.dispatch(x, "READY", map[string]any{
		"v": 10, "user": s.user(), "guilds": []any{}, "session_id": x.id, "session_type": "normal", "shard": shard,
		"resume_gateway_url": s.socket("resume/"), "application": map[string]any{"id": s.opt.ApplicationID, "flags": 0},
	}, id.Compress)
	s.note(rec)
	return 0
}

// admitIdentify returns the close code an IDENTIFY earns. mu is held.
func (s *Server) admitIdentify(id *Identify) int {
	if !s.rightToken(id.Token) {
		return CloseAuthenticationFailed
	}
	if left, _ := s.identify.left(s.clock.Now()); left <= 0 {
		// https://discord.com/developers/docs/events/gateway#rate-limiting-identify
		s.reset, s.session = true, nil
		for l := range s.links {
			if l.session != nil { // the one that asks is closed by who reads
				l.close(CloseAuthenticationFailed)
			}
		}
		return CloseAuthenticationFailed
	}
	s.identify.used++
	may := s.opt.Intents
	if may == 0 {
		may = allIntents &^ privilegedIntents
	}
	switch {
	case id.Properties == nil:
		return CloseDecodeError
	case id.Intents == nil || *id.Intents < 0 || *id.Intents&^(allIntents|may) != 0:
		return CloseInvalidIntents
	case *id.Intents&^may != 0:
		return CloseDisallowedIntents
	case id.Shard != nil && (id.Shard[1] < 1 || id.Shard[0] < 0 || id.Shard[0] >= id.Shard[1]):
		return CloseInvalidShard
	}
	return 0
}

func (l *link) resume(data []byte) int {
	r := Resume{AtResumeURL: l.resumed}
	if json.Unmarshal(data, &r) != nil {
		return CloseDecodeError
	}
	s := l.s
	s.mu.Lock()
	defer s.mu.Unlock()
	if l.identified {
		return CloseAlreadyAuthenticated
	}
	rec := Record{Kind: KindResume, Resume: &r}
	defer func() { s.note(rec) }()
	if !s.rightToken(r.Token) {
		rec.Close = CloseAuthenticationFailed
		return rec.Close
	}
	if !r.AtResumeURL {
		// https://discord.com/developers/docs/events/gateway#resuming
		s.wrong(RuleResumeURL, "gateway", "RESUME was sent elsewhere than to resume_gateway_url")
	}
	l.identified = true
	code, instead := l.early()
	if instead {
		rec.Close = code
		return code
	}
	x := s.session
	if x == nil || x.id != r.Session || r.Seq < x.since() {
		l.identified = false
		l.op(OpInvalidSession, "false")
		return 0
	}
	if r.Seq > x.seq {
		rec.Close = CloseInvalidSeq
		return rec.Close
	}
	if old := x.link; old != nil {
		old.session = nil
		old.close(CloseUnknownError) // from memory: the older link is closed
	}
	x.link, l.session = l, x
	x.forget(r.Seq)
	for _, e := range x.events {
		l.send(packet{text: e.text})
	}
	s.dispatch(x, "RESUMED", map[string]any{}, false)
	return 0
}

// dispatch sends an event, or keeps it until the session is resumed. mu is held.
func (s *Server) dispatch(x *session, kind string, data any, packed bool) {
	d, err := json.Marshal(data)
	if err != nil {
		panic(err) // our own types can be written
	}
	x.seq++
	seq := x.seq
	text, err := json.Marshal(frame{Op: OpDispatch, Data: d, Seq: &seq, Type: &kind})
	if err != nil {
		panic(err)
	}
	x.events = append(x.events, event{seq, text})
	if over := len(x.events) - maxReplay; over > 0 {
		clear(x.events[:over])
		x.events = x.events[over:]
	}
	if x.link != nil {
		x.link.send(packet{text: text, packed: packed})
	}
}

// ErrNoSession tells that no bot has identified, so nothing can be dispatched.
var ErrNoSession = errors.New("no session: want a bot that has sent IDENTIFY")

// Dispatch sends any event over the gateway. While the link of the session is
// down the event is kept, and sent when it is resumed.
func (s *Server) Dispatch(kind string, data any) error {
	s.mu.Lock()
	defer s.mu.Unlock()
	if s.session == nil {
		return ErrNoSession
	}
	s.dispatch(s.session, kind, data, false)
	return nil
}

// Online waits until a bot has a session with a link that is up.
func (s *Server) Online(ctx context.Context) error {
	if err := s.wait(ctx, func() bool { return s.session != nil && s.session.link != nil }); err != nil {
		return fmt.Errorf("no bot came online: %w", err)
	}
	return nil
}

// Op sends a frame that is no event on the links that are up: OpReconnect with
// "null", OpInvalidSession with "true" or "false", OpHeartbeat with "null".
// After OpInvalidSession with "false" the session can't be resumed.
func (s *Server) Op(op int, data string) {
	s.mu.Lock()
	defer s.mu.Unlock()
	if op == OpInvalidSession && data == "false" {
		s.session = nil
	}
	for l := range s.links {
		if op == OpInvalidSession { // the bot says again who it is
			l.identified = false
			if l.session != nil {
				l.session.link, l.session = nil, nil
			}
		}
		l.op(op, data)
	}
}

// Raw sends a frame as it is, as "{" or one of another kind.
func (s *Server) Raw(text string) { s.each(func(l *link) { l.send(packet{text: []byte(text)}) }) }

// CloseLinks closes the links that are up with a code. After those that say so
// the session can't be resumed.
func (s *Server) CloseLinks(code int) {
	s.each(func(l *link) {
		s.closing(code)
		l.close(code)
	})
}

// closing does what a close code of the service means: after some a session is
// over, after some there is no use in coming back. mu is held.
// https://discord.com/developers/docs/topics/opcodes-and-status-codes#gateway-gateway-close-event-codes
func (s *Server) closing(code int) {
	switch code {
	case CloseAuthenticationFailed, CloseInvalidShard, CloseShardingRequired, CloseInvalidVersion, CloseInvalidIntents, CloseDisallowedIntents:
		s.session, s.fatal = nil, code
	case websocket.CloseNormalClosure, websocket.CloseGoingAway, CloseInvalidSeq, CloseSessionTimedOut:
		s.session = nil
	}
}

// Drop cuts the links that are up without a close frame.
func (s *Server) Drop() { s.each((*link).cut) }

// Deafen lets heartbeats go without an answer, or no longer.
func (s *Server) Deafen(deaf bool) {
	s.mu.Lock()
	defer s.mu.Unlock()
	s.deaf = deaf
}

func (s *Server) each(do func(*link)) {
	s.mu.Lock()
	defer s.mu.Unlock()
	for l := range s.links {
		do(l)
	}
}

// SetIdentifies sets how many IDENTIFYs are left of today's.
func (s *Server) SetIdentifies(left int) {
	s.mu.Lock()
	defer s.mu.Unlock()
	s.identify.left(s.clock.Now())
	s.identify.used = s.identify.max - left
}

// Links is how many links are up, identified or not.
func (s *Server) Links() int {
	s.mu.Lock()
	defer s.mu.Unlock()
	return len(s.links)
}

// Heartbeats is how many have come.
func (s *Server) Heartbeats() int64 {
	s.mu.Lock()
	defer s.mu.Unlock()
	return s.beats
}
