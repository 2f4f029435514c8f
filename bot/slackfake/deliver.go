package slackfake

import (
	"bytes"
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"net/http"
	"net/url"
	"slices"
	"strconv"
	"strings"
	"time"
)

// Type is the kind of what is delivered, by its name in Socket Mode.
type Type string

// What can be delivered.
const (
	Slash       Type = "slash_commands"
	Interaction Type = "interactive"
	Event       Type = "events_api"
)

type transport uint8

const (
	overLink transport = iota + 1
	overHTTP
)

// Inbound is something for the bot: what a person did, or an event. Push delivers it
// over a link, Post to the bot's address. Delivered twice it is a duplicate, with the
// same event_id.
type Inbound struct {
	Type          Type
	Payload       map[string]any
	User, Channel string
	ResponseURL   string // "" where there is none
	TriggerID     string // "" where there is none
	EventID       string // of an event
	Attempt       int    // 0 at first, then 1 to 3
	Reason        string // of another attempt
	view          string // the view a submission is of
	transport     transport
}

// Answer is what the bot said to a delivery itself: the payload of its ack, or the
// response to the request.
type Answer struct {
	EnvelopeID string // in Socket Mode
	Status     int    // in HTTP mode
	Header     http.Header
	Body       []byte
	Took       time.Duration // by the injected clock
}

// Redelivery is an event that the service will send again.
type Redelivery struct {
	Inbound Inbound // with Attempt and Reason set
	Due     time.Time
}

// pauses are the times from one attempt to the next.
// https://docs.slack.dev/apis/events-api/#retries
var pauses = []time.Duration{0, time.Minute, 5 * time.Minute}

// unanswered notes that a delivery failed: an event is sent again, a person sees that
// nothing came. The lock is held.
func (s *Server) unanswered(in Inbound, why string) error {
	if in.Type != Event {
		code := "operation_timeout"
		if why == "no link" || why == "http_error" || why == "connection_failed" {
			code = "dispatch_failed"
		}
		s.add(Record{Kind: Failed, Method: string(in.Type), Code: code, Message: Message{To: in.User, Channel: in.Channel}})
		return &Unanswered{why}
	}
	if in.Attempt < len(pauses) {
		again := in
		again.Attempt++
		again.Reason = why
		switch {
		case why == "http_error" || why == "connection_failed":
		case in.transport == overHTTP:
			again.Reason = "http_timeout"
		default:
			again.Reason = "timeout"
		}
		s.retry = last(s.retry, Redelivery{again, s.opt.Now().Add(pauses[in.Attempt])}, s.keep)
	}
	return &Unanswered{why}
}

// Pending returns the events that will be sent again, in the order they failed.
func (s *Server) Pending() []Redelivery {
	s.mu.Lock()
	defer s.mu.Unlock()
	return newest(s.retry, s.keep)
}

// Redeliver sends again what is due by the injected clock, by the transport it went
// by before, and returns how many were answered. What fails again waits longer, up
// to three times.
func (s *Server) Redeliver(ctx context.Context) (answered int, err error) {
	s.mu.Lock()
	now := s.opt.Now()
	var due []Redelivery
	s.retry = slices.DeleteFunc(s.retry, func(r Redelivery) bool {
		if r.Due.After(now) {
			return false
		}
		due = append(due, r)
		return true
	})
	s.mu.Unlock()
	for _, r := range due {
		send := s.Push
		if r.Inbound.transport == overHTTP {
			send = s.Post
		}
		if _, failed := send(ctx, r.Inbound); failed != nil {
			err = errors.Join(err, failed)
		} else {
			answered++
		}
	}
	return answered, err
}

// signed is a request that can be sent again.
type signed struct {
	url    string
	header http.Header
	body   []byte
}

func (g *signed) request(ctx context.Context) (*http.Request, error) {
	r, err := http.NewRequestWithContext(ctx, http.MethodPost, g.url, bytes.NewReader(g.body))
	if err != nil {
		return nil, fmt.Errorf("slackfake: %w", err)
	}
	r.Header = g.header.Clone()
	return r, nil
}

// encoded returns the body that the service sends, and its content type: a command
// and an interaction as a form, an event as JSON.
// https://docs.slack.dev/interactivity/implementing-slash-commands#app_command_handling
// https://docs.slack.dev/reference/interaction-payloads
func (in Inbound) encoded() (body []byte, contentType string) {
	switch in.Type {
	case Slash:
		form := make(url.Values)
		for k, v := range in.Payload {
			if s, ok := v.(string); ok {
				form.Set(k, s)
			}
		}
		return []byte(form.Encode()), "application/x-www-form-urlencoded"
	case Interaction:
		return []byte(url.Values{"payload": {string(encode(in.Payload))}}.Encode()), "application/x-www-form-urlencoded"
	}
	return encode(in.Payload), "application/json"
}

func (s *Server) sign(in Inbound) *signed {
	body, kind := in.encoded()
	s.mu.Lock()
	defer s.mu.Unlock()
	at := map[Type]string{Slash: s.opt.Commands, Interaction: s.opt.Interactions, Event: s.opt.Events}[in.Type]
	stamp, signature := Sign(s.opt.SigningSecret, s.opt.Now(), body)
	g := &signed{at, http.Header{"Content-Type": {kind}, "User-Agent": {"Slackbot 1.0 (+https://api.slack.com/robots)"},
		"X-Slack-Request-Timestamp": {stamp}, "X-Slack-Signature": {signature}}, body}
	if in.Attempt > 0 {
		g.header.Set("X-Slack-Retry-Num", strconv.Itoa(in.Attempt))
		g.header.Set("X-Slack-Retry-Reason", in.Reason)
	}
	s.last = g
	return g
}

// Request returns the signed request that Post would send, for who calls the bot's
// handler without a network.
func (s *Server) Request(ctx context.Context, in Inbound) (*http.Request, error) {
	return s.sign(in).request(ctx)
}

// Post sends a signed request to the bot's address and reads the answer. The end of
// ctx counts as the 3 s being over; by the injected clock an answer after more than
// 3 s is late. The error is an *Unanswered, or tells that there is no address.
func (s *Server) Post(ctx context.Context, in Inbound) (Answer, error) {
	in.transport = overHTTP
	g := s.sign(in)
	if g.url == "" {
		return Answer{}, fmt.Errorf("slackfake: no address for %s: want SetEndpoints", in.Type)
	}
	ctx, cancel := s.until(ctx)
	defer cancel()
	r, err := g.request(ctx)
	if err != nil {
		return Answer{}, err
	}
	start := s.opt.Now()
	res, err := s.client.Do(r)
	if err != nil {
		why := "connection_failed"
		if ctx.Err() != nil {
			why = "timeout"
		}
		return s.took(in, ack{failed: why})
	}
	defer res.Body.Close()
	body, err := io.ReadAll(io.LimitReader(res.Body, maxBody))
	out := ack{answer: Answer{Status: res.StatusCode, Header: res.Header, Body: body, Took: s.opt.Now().Sub(start)}}
	switch {
	case err != nil:
		out.failed = "timeout"
	case res.StatusCode < 200 || res.StatusCode > 299:
		out.failed = "http_error"
		if res.Header.Get("X-Slack-No-Retry") == "1" && in.Type == Event {
			return out.answer, &Unanswered{"http_error"}
		}
	case out.answer.Took > ackTime:
		s.violation("http", "an answer after more than 3 s")
		out.failed = "late"
	}
	return s.took(in, out)
}

// Verify asks the bot's address for events whether it is the bot's, as the service
// does when the address is set. https://docs.slack.dev/reference/events/url_verification
func (s *Server) Verify(ctx context.Context) error {
	challenge := "challenge-of-larkmoor"
	in := Inbound{Type: Event, Payload: map[string]any{"token": verification, "challenge": challenge, "type": "url_verification"}, Attempt: len(pauses)}
	a, err := s.Post(ctx, in)
	if err != nil {
		return err
	}
	var said struct{ Challenge string }
	if strings.TrimSpace(string(a.Body)) == challenge || json.Unmarshal(a.Body, &said) == nil && said.Challenge == challenge {
		return nil
	}
	return errors.New("slackfake: the answer does not hold the challenge")
}
