package slackfake

import (
	"bytes"
	"encoding/json"
	"errors"
	"io"
	"mime"
	"net/http"
	"net/url"
	"slices"
	"strings"
)

// reply is the JSON object a method answers with.
type reply map[string]any

// args are what a method was called with.
type args map[string]any

func (a args) str(name string) string {
	switch v := a[name].(type) {
	case string:
		return v
	case json.Number:
		return v.String()
	case bool:
		if v {
			return "true"
		}
	}
	return ""
}

// method is one of the Web API.
type method struct {
	scope string // what the token must have; "" if nothing
	app   bool   // wants the app-level token
	call  func(s *Server, a args, raw []byte) (reply, *Refusal)
}

// methods holds all that is known here. Each is documented at
// https://docs.slack.dev/reference/methods/ and its name.
var methods map[string]method

func init() {
	methods = map[string]method{
		"api.test":                     {"", false, func(*Server, args, []byte) (reply, *Refusal) { return reply{}, nil }},
		"auth.test":                    {"", false, (*Server).authTest},
		"apps.connections.open":        {"", true, (*Server).connectionsOpen},
		"bots.info":                    {"users:read", false, (*Server).botsInfo},
		"chat.postMessage":             {"chat:write", false, (*Server).postMessage},
		"chat.postEphemeral":           {"chat:write", false, (*Server).postEphemeral},
		"chat.update":                  {"chat:write", false, (*Server).updateMessage},
		"chat.delete":                  {"chat:write", false, (*Server).deleteMessage},
		"conversations.history":        {"channels:history", false, (*Server).history},
		"conversations.info":           {"channels:read", false, (*Server).conversationInfo},
		"conversations.join":           {"channels:join", false, (*Server).join},
		"conversations.list":           {"channels:read", false, (*Server).conversationsList},
		"conversations.open":           {"im:write", false, (*Server).openDirect},
		"files.getUploadURLExternal":   {"files:write", false, (*Server).uploadURL},
		"files.completeUploadExternal": {"files:write", false, (*Server).completeUpload},
		"files.info":                   {"files:read", false, (*Server).filesInfo},
		"users.info":                   {"users:read", false, (*Server).usersInfo},
		"users.list":                   {"users:read", false, (*Server).usersList},
		"views.open":                   {"", false, (*Server).openView},
		"views.push":                   {"", false, (*Server).pushView},
		"views.publish":                {"", false, (*Server).publishView},
		"views.update":                 {"", false, (*Server).updateView},
	}
}

const maxBody = 4 << 20 // bytes; no message that fits the limits comes near

// api answers the Web API. https://docs.slack.dev/apis/web-api/
func (s *Server) api(w http.ResponseWriter, r *http.Request) {
	name := strings.TrimPrefix(r.URL.Path, "/api/")
	raw, err := io.ReadAll(http.MaxBytesReader(w, r.Body, maxBody))
	if err != nil {
		http.Error(w, "request too large", http.StatusRequestEntityTooLarge)
		return
	}
	var out reply
	f := s.fault(name)
	if f == nil || f.what.After {
		out = s.answer(name, r, raw)
	} else {
		s.mu.Lock()
		s.called(name, "fault", s.withoutToken(raw))
		s.mu.Unlock()
	}
	if f != nil {
		s.spoil(w, r, f)
		return
	}
	if name == "auth.test" {
		w.Header().Set("X-OAuth-Scopes", scopesOf(s.opt.Scopes))
	}
	write(w, out)
}

func scopesOf(scopes []string) string { return strings.Join(scopes, ",") }

func write(w http.ResponseWriter, out reply) {
	w.Header().Set("Content-Type", "application/json; charset=utf-8")
	_ = json.NewEncoder(w).Encode(out)
}

// called keeps that a method was called. The lock is held.
func (s *Server) called(name, code string, raw []byte) {
	s.calls[name]++
	s.add(Record{Kind: Called, Method: name, Code: code, Raw: raw})
}

// withoutToken is a form without the token that clients put into it.
func (s *Server) withoutToken(raw []byte) []byte {
	for _, secret := range []string{s.opt.BotToken, s.opt.AppToken} {
		raw = bytes.ReplaceAll(raw, []byte("token="+url.QueryEscape(secret)), []byte("token="))
	}
	return raw
}

// answer does what a call asks for.
func (s *Server) answer(name string, r *http.Request, raw []byte) reply {
	out, refused := reply(nil), (*Refusal)(nil)
	m, known := methods[name]
	a, token, err := arguments(r, raw)
	raw = s.withoutToken(raw)
	switch {
	case !known:
		refused = &Refusal{Code: "unknown_method"}
	case r.URL.Query().Has("token"):
		s.violation(name, "the token stands in the address")
		refused = &Refusal{Code: "invalid_auth"}
	case err != nil:
		refused = &Refusal{Code: err.Error()}
	default:
		refused = s.allowed(m, token)
	}
	if refused == nil {
		out, refused = m.call(s, a, raw)
	}
	code := ""
	if refused != nil {
		code = refused.Code
		out = reply{"ok": false, "error": code}
		if len(refused.Messages) > 0 {
			out["response_metadata"] = map[string]any{"messages": refused.Messages}
		}
		if code == "missing_scope" {
			out["needed"], out["provided"] = m.scope, scopesOf(s.opt.Scopes)
		}
	} else {
		out["ok"] = true
	}
	s.mu.Lock()
	s.called(name, code, raw)
	if refused != nil && !slices.Contains(harmless, code) {
		s.violate(name, refused.Error())
	}
	s.mu.Unlock()
	return out
}

// harmless are refusals that a well-behaved bot meets: it can't know before.
var harmless = []string{"not_in_channel", "channel_not_found", "user_not_found", "message_not_found", "exchange_failed", "expired_trigger_id", "hash_conflict", "missing_scope", "user_not_in_channel"}

func (s *Server) violation(where, what string) {
	s.mu.Lock()
	defer s.mu.Unlock()
	s.violate(where, what)
}

func (s *Server) allowed(m method, token string) *Refusal {
	want := s.opt.BotToken
	if m.app {
		want = s.opt.AppToken
	}
	switch {
	case token == "":
		return &Refusal{Code: "not_authed"}
	case token == want:
		if m.scope != "" && !slices.Contains(s.opt.Scopes, m.scope) {
			return &Refusal{Code: "missing_scope"}
		}
		return nil
	case token == s.opt.BotToken || token == s.opt.AppToken:
		return &Refusal{Code: "not_allowed_token_type"}
	}
	return &Refusal{Code: "invalid_auth"}
}

var (
	errPostType = errors.New("invalid_post_type")
	errForm     = errors.New("invalid_form_data")
	errJSON     = errors.New("invalid_json")
)

// arguments reads a form or JSON, and the token from where it may stand.
// https://docs.slack.dev/apis/web-api/#basics
func arguments(r *http.Request, raw []byte) (args, string, error) {
	a := make(args)
	token, bearer := strings.CutPrefix(r.Header.Get("Authorization"), "Bearer ")
	kind, _, _ := mime.ParseMediaType(r.Header.Get("Content-Type"))
	switch {
	case kind == "application/json":
		if len(bytes.TrimSpace(raw)) == 0 {
			break
		}
		v, err := Decode(raw)
		m, ok := v.(map[string]any)
		if err != nil || !ok {
			return nil, "", errJSON
		}
		a = m
	case kind == "application/x-www-form-urlencoded", kind == "" && len(raw) == 0:
		form, err := url.ParseQuery(string(raw))
		if err != nil {
			return nil, "", errForm
		}
		if r.Method == http.MethodGet {
			form = r.URL.Query()
		}
		for k, v := range form {
			a[k] = v[0]
		}
	default:
		return nil, "", errPostType
	}
	if t := a.str("token"); t != "" && !bearer && kind != "application/json" {
		token = t
	}
	return a, token, nil
}

// leaks notes a secret in what is to be seen by people: tokens, the signing secret,
// and addresses that answer for the bot.
func (s *Server) leaks(where string, raw []byte) {
	for _, secret := range []string{s.opt.BotToken, s.opt.AppToken, s.opt.SigningSecret, s.base + "/commands/"} {
		if bytes.Contains(raw, []byte(secret)) {
			s.violate(where, "a secret stands in what people see")
			return
		}
	}
}
