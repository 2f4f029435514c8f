package slackfake

import (
	"io"
	"mime"
	"net/http"
	"strings"
	"time"
)

// A response URL answers for a while without a token, and without being a member.
// https://docs.slack.dev/interactivity/handling-user-interaction#message_responses
const (
	responseUses = 5
	responseLife = 30 * time.Minute
)

// returning is a response URL.
type returning struct {
	url           string
	user, channel string
	thread        string
	made          time.Time
	uses          int
	original      *Message // what replace_original and delete_original are about
}

// mintResponse makes a response URL for one who acted in a channel.
func (s *Server) mintResponse(user, channel string, original *Message) string {
	key := s.mint("R")
	u := s.base + "/commands/" + TeamID + "/" + key + "/" + strings.Repeat("k", 8) + key
	r := &returning{url: u, user: user, channel: channel, made: s.opt.Now(), original: original}
	if original != nil {
		r.thread = original.Thread
	}
	s.returns.put(u, r)
	return u
}

// ResponseURL makes a response URL by which a person who acted in a channel is
// answered.
func (s *Server) ResponseURL(user, channel string) string {
	s.mu.Lock()
	defer s.mu.Unlock()
	return s.mintResponse(user, channel, nil)
}

// response takes what comes to a response URL.
func (s *Server) response(w http.ResponseWriter, r *http.Request) {
	const where = "response_url"
	raw, err := io.ReadAll(http.MaxBytesReader(w, r.Body, maxBody))
	if err != nil {
		http.Error(w, "request too large", http.StatusRequestEntityTooLarge)
		return
	}
	f := s.fault(where)
	if f != nil && !f.what.After {
		s.mu.Lock()
		s.called(where, "fault", raw)
		s.mu.Unlock()
		s.spoil(w, r, f)
		return
	}
	refused, status := s.respond(r, raw)
	s.mu.Lock()
	code := ""
	if refused != nil {
		code = refused.Code
		s.violate(where, refused.Error())
	}
	s.called(where, code, raw)
	s.mu.Unlock()
	switch {
	case f != nil:
		s.spoil(w, r, f)
	case refused == nil:
		w.Header().Set("Content-Type", "text/plain; charset=utf-8")
		_, _ = io.WriteString(w, "ok")
	case s.opt.RefuseResponsesInJSON:
		write(w, reply{"ok": false, "error": refused.Code, "response_metadata": map[string]any{"messages": refused.Messages}})
	default:
		w.Header().Set("Content-Type", "text/plain; charset=utf-8")
		w.WriteHeader(status)
		_, _ = io.WriteString(w, refused.Code)
	}
}

// respond does what is asked for at a response URL.
func (s *Server) respond(r *http.Request, raw []byte) (*Refusal, int) {
	rules := s.rules()
	kind, _, _ := mime.ParseMediaType(r.Header.Get("Content-Type"))
	v, err := Decode(raw)
	m, ok := v.(map[string]any)

	s.mu.Lock()
	defer s.mu.Unlock()
	if r.Header.Get("Authorization") != "" || m["token"] != nil {
		s.violate("response_url", "a token was sent, and none is needed")
	}
	u, known := s.returns.get(s.base + r.URL.Path)
	switch {
	case !known:
		return &Refusal{Code: "no_service"}, http.StatusNotFound
	case r.Method != http.MethodPost || kind != "application/json":
		return &Refusal{Code: "invalid_post_type"}, http.StatusBadRequest
	case err != nil || !ok:
		return &Refusal{Code: "invalid_payload"}, http.StatusBadRequest
	case s.opt.Now().Sub(u.made) > responseLife:
		return &Refusal{Code: "expired_url"}, http.StatusNotFound
	case u.uses >= responseUses:
		return &Refusal{Code: "used_url"}, http.StatusNotFound
	}
	u.uses++ // also when it is refused: whether that counts is not documented
	if m["delete_original"] == true {
		if u.original == nil {
			return &Refusal{Code: "message_not_found"}, http.StatusNotFound
		}
		s.remove(u.original, "response_url")
		u.original = nil
		return nil, 0
	}
	msg, refused := checkMessage(m, rules)
	if refused != nil {
		return refused, http.StatusBadRequest
	}
	msg.Method, msg.Raw, msg.URL = "response_url", raw, u.url
	refused = s.settle(&msg, m, u)
	return refused, http.StatusBadRequest
}

// settle puts an answer by a response URL or in the body where it asks to stand.
func (s *Server) settle(msg *Message, m map[string]any, u *returning) *Refusal {
	msg.Channel, msg.Thread = u.channel, u.thread
	if ts, _ := m["thread_ts"].(string); ts != "" {
		msg.Thread = ts
	}
	switch kind, _ := m["response_type"].(string); kind {
	case "", "ephemeral":
		msg.To = u.user
	case "in_channel":
	default:
		return &Refusal{Code: "invalid_arguments", Messages: []string{"[ERROR] must be one of: ephemeral, in_channel [json-pointer:/response_type]"}}
	}
	// Whether a message is for one or for all never changes, so a replacement stays
	// what the original was.
	if m["replace_original"] == true && u.original != nil {
		s.change(u.original, *msg)
		return nil
	}
	kept := s.keepMessage(*msg)
	if u.original == nil {
		u.original = kept // what a later replace_original is about; not documented
	}
	return nil
}
