package discordfake

import (
	"bytes"
	"context"
	"crypto/ed25519"
	"crypto/rand"
	"encoding/hex"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"mime"
	"net/http"
	"strconv"
	"time"
)

// ErrNoAnswer tells that the bot did not answer within three seconds; the person
// reads that the application did not respond.
var ErrNoAnswer = errors.New("the application did not respond")

// Push sends an interaction over the gateway and waits for the answer. What the
// interaction has no id and token for it gets. An answer that is refused leaves
// the interaction open, as on the service; Push waits on, until the deadline by
// the fake's clock (ErrNoAnswer, with the last refusal) or ctx ends.
func (s *Server) Push(ctx context.Context, in Interaction) (Callback, error) {
	x := s.open(in)
	// Set before the bot knows, so that a clock it moves is seen.
	late := make(chan struct{})
	stop := s.clock.AfterFunc(answerWithin+1, func() { close(late) })
	defer stop()
	if err := s.Dispatch("INTERACTION_CREATE", x.in); err != nil {
		return Callback{}, err
	}
	return s.await(ctx, x, late)
}

// Send is Push without waiting. It returns the interaction as it was sent.
func (s *Server) Send(in Interaction) (Interaction, error) {
	x := s.open(in)
	return x.in, s.Dispatch("INTERACTION_CREATE", x.in)
}

// await waits for the answer to an interaction, until it is late.
func (s *Server) await(ctx context.Context, x *exchange, late <-chan struct{}) (Callback, error) {
	var err error
	select {
	case <-x.answered:
		s.mu.Lock()
		defer s.mu.Unlock()
		return *x.callback, nil
	case <-ctx.Done():
		err = ctx.Err()
	case <-late:
		err = ErrNoAnswer
	case <-s.done:
		err = errClosed
	}
	s.mu.Lock()
	defer s.mu.Unlock()
	switch {
	case x.callback != nil:
		return *x.callback, nil // it came at the same moment
	case ctx.Err() != nil:
		err = ctx.Err() // late is an end of ctx as well
	}
	if x.refused != nil {
		return Callback{}, fmt.Errorf("%w; the last answer was refused: %w", err, x.refused)
	}
	return Callback{}, err
}

// Answer sends an interaction, over the gateway or to url if that is not empty,
// and waits for the message that comes of it: through a deferral if there is one.
// It is an error if the answer is no message, or a deferral of an interaction that
// is not kept any more.
func (s *Server) Answer(ctx context.Context, url string, in Interaction) (Message, error) {
	var cb Callback
	var err error
	if url == "" {
		cb, err = s.Push(ctx, in)
	} else {
		cb, err = s.Deliver(ctx, url, in)
	}
	if err != nil {
		return Message{}, err
	}
	switch cb.Type {
	case AnswerMessage, AnswerUpdate:
		return *cb.Message, nil
	case AnswerDeferred, AnswerDeferredUpdate:
	default:
		return Message{}, fmt.Errorf("answer of type %v: want a message", cb.Type)
	}
	var m Message
	gone := false
	err = s.wait(ctx, func() bool {
		x, ok := s.exchanges.get(cb.Interaction.ID)
		if gone = !ok; gone {
			return true
		}
		had, kept := s.messages.get(x.original)
		if x.deferred || !kept {
			return false
		}
		m = *had
		return true
	})
	if gone {
		return Message{}, errors.New("a deferral was not filled before the interaction was forgotten: want a greater Options.Keep")
	}
	if err != nil {
		return Message{}, fmt.Errorf("a deferral was not filled: %w", err)
	}
	return m, nil
}

// Deliver posts an interaction to the bot's interactions URL, signed, and takes
// the answer from the body, or by REST after 202.
// https://discord.com/developers/docs/interactions/receiving-and-responding#receiving-an-interaction
func (s *Server) Deliver(ctx context.Context, url string, in Interaction) (Callback, error) {
	x := s.open(in)
	body, err := json.Marshal(x.in)
	if err != nil {
		return Callback{}, fmt.Errorf("write the interaction: %w", err)
	}
	within, cancel := context.WithCancelCause(ctx)
	defer cancel(nil)
	stop := s.clock.AfterFunc(answerWithin+1, func() { cancel(ErrNoAnswer) })
	defer stop()
	r, err := s.sign(within, url, body, s.clock.Now())
	if err != nil {
		return Callback{}, err
	}
	w, err := s.out.RoundTrip(r)
	if err != nil {
		if cause := context.Cause(within); cause != nil {
			err = cause
		}
		return Callback{}, fmt.Errorf("deliver: %w", err)
	}
	defer w.Body.Close()
	got, err := io.ReadAll(io.LimitReader(w.Body, maxFiles*s.opt.FileSize+1<<20))
	if err != nil {
		if cause := context.Cause(within); cause != nil {
			err = cause
		}
		return Callback{}, fmt.Errorf("deliver: %w", err)
	}
	switch w.StatusCode {
	case http.StatusAccepted:
		return s.await(ctx, x, within.Done())
	case http.StatusOK:
	default:
		return Callback{}, fmt.Errorf("deliver: the interactions URL answered %v: want 200 or 202", w.StatusCode)
	}
	c := &call{method: http.MethodPost, path: "interactions URL", parts: []string{"interactions URL"}, record: &Record{
		Kind: KindCallback, Interaction: x.in.ID, Status: w.StatusCode}}
	var refusal *Refusal
	if kind, _, _ := mime.ParseMediaType(w.Header.Get("Content-Type")); kind != "application/json" && kind != "multipart/form-data" {
		refusal = refuse(CodeInvalidForm) // from memory: the type is looked at
	} else {
		c.json, c.files, refusal = s.unpack(w.Header.Get("Content-Type"), got)
	}
	c.record.Body = c.json
	if refusal == nil {
		_, refusal = s.accept(x, c)
	}
	c.record.Refused = refusal
	s.keep(c.record)
	if refusal != nil {
		return Callback{}, refusal
	}
	return *x.callback, nil
}

// userAgent is that of the service.
const userAgent = "Discord-Interactions/1.0 (+https://discord.com)"

// sign makes a request as the service does.
// https://discord.com/developers/docs/interactions/overview#setting-up-an-endpoint-validating-security-request-headers
func (s *Server) sign(ctx context.Context, url string, body []byte, when time.Time) (*http.Request, error) {
	return signed(ctx, url, body, when, s.key)
}

func signed(ctx context.Context, url string, body []byte, when time.Time, key ed25519.PrivateKey) (*http.Request, error) {
	r, err := http.NewRequestWithContext(ctx, http.MethodPost, url, bytes.NewReader(body))
	if err != nil {
		return nil, fmt.Errorf("interactions URL: %w", err)
	}
	stamp := strconv.FormatInt(when.Unix(), 10)
	r.Header.Set("User-Agent", userAgent)
	r.Header.Set("Content-Type", "application/json")
	r.Header.Set("X-Signature-Timestamp", stamp)
	r.Header.Set("X-Signature-Ed25519", hex.EncodeToString(ed25519.Sign(key, append([]byte(stamp), body...))))
	return r, nil
}

// Request makes the signed request of an interaction without sending it. The
// interaction is known to the fake, so the bot may answer it by REST.
func (s *Server) Request(ctx context.Context, url string, in Interaction) (*http.Request, error) {
	return s.request(ctx, url, in, s.clock.Now(), s.key)
}

func (s *Server) request(ctx context.Context, url string, in Interaction, when time.Time, key ed25519.PrivateKey) (*http.Request, error) {
	body, err := json.Marshal(s.open(in).in)
	if err != nil {
		return nil, fmt.Errorf("write the interaction: %w", err)
	}
	return signed(ctx, url, body, when, key)
}

// Forged is a request signed with a key that is not the service's.
func (s *Server) Forged(ctx context.Context, url string, in Interaction) (*http.Request, error) {
	_, key, err := ed25519.GenerateKey(rand.Reader)
	if err != nil {
		return nil, fmt.Errorf("make a key: %w", err)
	}
	return s.request(ctx, url, in, s.clock.Now(), key)
}

// Stale is a request with a good signature that is a day old.
func (s *Server) Stale(ctx context.Context, url string, in Interaction) (*http.Request, error) {
	return s.request(ctx, url, in, s.clock.Now().Add(-day), s.key)
}

// Truncated is a request whose body was cut after it was signed.
func (s *Server) Truncated(ctx context.Context, url string, in Interaction) (*http.Request, error) {
	r, err := s.Request(ctx, url, in)
	if err != nil {
		return nil, err
	}
	return withBody(r, func(b []byte) []byte { return b[:len(b)/2] })
}

// ShortSignature is a request whose signature was cut.
func (s *Server) ShortSignature(ctx context.Context, url string, in Interaction) (*http.Request, error) {
	r, err := s.Request(ctx, url, in)
	if err != nil {
		return nil, err
	}
	r.Header.Set("X-Signature-Ed25519", r.Header.Get("X-Signature-Ed25519")[:40])
	return r, nil
}

// Unsigned is a request without a signature.
func (s *Server) Unsigned(ctx context.Context, url string, in Interaction) (*http.Request, error) {
	r, err := s.Request(ctx, url, in)
	if err != nil {
		return nil, err
	}
	r.Header.Del("X-Signature-Ed25519")
	r.Header.Del("X-Signature-Timestamp")
	return r, nil
}

// Replay makes the same request once more, byte for byte.
func Replay(r *http.Request) (*http.Request, error) {
	return withBody(r, func(b []byte) []byte { return b })
}

func withBody(r *http.Request, change func([]byte) []byte) (*http.Request, error) {
	again, err := r.GetBody()
	if err != nil {
		return nil, fmt.Errorf("body of the request: %w", err)
	}
	b, err := io.ReadAll(again)
	if err != nil {
		return nil, fmt.Errorf("body of the request: %w", err)
	}
	out, err := http.NewRequestWithContext(r.Context(), r.Method, r.URL.String(), bytes.NewReader(change(b)))
	if err != nil {
		return nil, err
	}
	out.Header = r.Header.Clone()
	return out, nil
}

// Probe does what the service does when an interactions URL is set, and now and
// then afterwards: a PING must be answered, one with a bad signature refused
// with 401.
// https://discord.com/developers/docs/interactions/overview#setting-up-an-endpoint
func (s *Server) Probe(ctx context.Context, url string) error {
	cb, err := s.Deliver(ctx, url, Ping())
	if err != nil {
		return fmt.Errorf("PING: %w", err)
	}
	if cb.Type != AnswerPong {
		return fmt.Errorf("PING: answer of type %v: want %v", cb.Type, AnswerPong)
	}
	bad, err := s.Forged(ctx, url, Ping())
	if err != nil {
		return err
	}
	w, err := s.out.RoundTrip(bad)
	if err != nil {
		return fmt.Errorf("PING with a bad signature: %w", err)
	}
	defer w.Body.Close()
	if w.StatusCode != http.StatusUnauthorized {
		return fmt.Errorf("PING with a bad signature: answered %v: want 401", w.StatusCode)
	}
	return nil
}
