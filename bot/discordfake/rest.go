package discordfake

import (
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"mime"
	"mime/multipart"
	"net/http"
	"net/url"
	"strconv"
	"strings"
	"time"
)

// call is one REST request.
type call struct {
	method, path string
	parts        []string // of the path, after the version
	query        url.Values
	json         []byte // the body, or payload_json of it
	files        []upload
	record       *Record
}

// upload is a file sent along.
type upload struct {
	field, name, kind string
	data              []byte
}

// cut splits the first part off a path.
func cut(path string) (first, rest string) {
	first, rest, _ = strings.Cut(strings.TrimPrefix(path, "/"), "/")
	return first, rest
}

// write sends a JSON answer.
func write(w http.ResponseWriter, status int, body any) {
	if body == nil {
		w.WriteHeader(status)
		return
	}
	b, err := json.Marshal(body)
	if err != nil {
		panic(err) // our own types can be written
	}
	w.Header().Set("Content-Type", "application/json")
	w.WriteHeader(status)
	_, _ = w.Write(b) // who went away needs no answer
}

// rest answers a request of the API.
// https://discord.com/developers/docs/reference#api-reference
func (s *Server) rest(w http.ResponseWriter, r *http.Request) {
	rec := &Record{Kind: KindRequest, Method: r.Method, Path: r.URL.Path}
	status, body, refusal := s.take(rec, r)
	if refusal == errDrop {
		s.keep(rec)
		panic(http.ErrAbortHandler) // closes the connection, and is not logged
	}
	if refusal != nil {
		status, body = refusal.Status, refusal
		rec.Refused = refusal
		if status == http.StatusTooManyRequests {
			// Whole seconds, rounded up, in the header.
			w.Header().Set("Retry-After", strconv.FormatInt(int64((refusal.RetryAfter+time.Second-1)/time.Second), 10))
			if refusal.Global {
				w.Header().Set("X-RateLimit-Global", "true")
			}
		}
	}
	rec.Status = status
	s.keep(rec)
	write(w, status, body)
}

// keep adds a finished record.
func (s *Server) keep(r *Record) {
	s.mu.Lock()
	defer s.mu.Unlock()
	s.note(*r)
	if x, ok := s.exchanges.get(r.Interaction); ok && r.Kind == KindCallback {
		if r.Refused != nil {
			x.refused = r.Refused
		} else {
			x.told()
		}
	}
}

// errDrop asks for a closed connection.
var errDrop = &Refusal{Message: "connection dropped"}

// take reads a request, holds it to what holds for all, and finds who answers.
func (s *Server) take(rec *Record, r *http.Request) (int, any, *Refusal) {
	body, err := io.ReadAll(http.MaxBytesReader(nil, r.Body, maxFiles*s.opt.FileSize+1<<20))
	if err != nil {
		if e := (*http.MaxBytesError)(nil); errors.As(err, &e) {
			return 0, nil, refuse(CodeTooLarge)
		}
		return 0, nil, errDrop
	}
	if f := s.fault(r.Method, r.URL.Path); f != nil {
		switch {
		case f.Hang:
			select {
			case <-f.released:
			case <-r.Context().Done(): // Close closes connections
				return 0, nil, errDrop
			}
		case f.Drop:
			return 0, nil, errDrop
		case f.Answer != nil:
			return 0, nil, f.Answer
		}
	}
	c := &call{method: r.Method, path: r.URL.Path, query: r.URL.Query(), record: rec}
	_, rest := cut(r.URL.Path) // "api"
	if v, after := cut(rest); v == "v9" || v == "v10" {
		rest = after
	} else {
		return 0, nil, notFound()
	}
	c.parts = strings.Split(rest, "/")

	auth := r.Header.Get("Authorization")
	if refusal := s.admit(c, auth, r.Header.Get("User-Agent"), body, r.URL.RawQuery); refusal != nil {
		return 0, nil, refusal
	}
	var refusal *Refusal
	c.json, c.files, refusal = s.unpack(r.Header.Get("Content-Type"), body)
	rec.Body = c.json
	if refusal != nil {
		return 0, nil, refusal
	}
	return s.route(c)
}

// unpack takes a body apart into its JSON and its files.
// https://discord.com/developers/docs/reference#uploading-files
func (s *Server) unpack(contentType string, body []byte) ([]byte, []upload, *Refusal) {
	if len(body) == 0 {
		return nil, nil, nil
	}
	kind, param, _ := mime.ParseMediaType(contentType)
	switch kind {
	case "application/json":
		return body, nil, nil
	case "multipart/form-data":
	default:
		// From memory: other types are refused.
		return nil, nil, refuse(CodeInvalidForm)
	}
	var payload []byte
	var files []upload
	m := multipart.NewReader(bytes.NewReader(body), param["boundary"])
	for {
		p, err := m.NextPart()
		if err == io.EOF {
			return payload, files, nil
		}
		if err != nil {
			return payload, files, refuse(CodeInvalidForm)
		}
		data, err := io.ReadAll(p)
		if err != nil {
			return payload, files, refuse(CodeInvalidForm)
		}
		switch name := p.FormName(); {
		case name == "payload_json":
			payload = data
		case int64(len(data)) > s.opt.FileSize:
			return payload, files, refuse(CodeTooLarge)
		case strings.HasPrefix(name, "files[") && strings.HasSuffix(name, "]") && p.FileName() != "":
			files = append(files, upload{name, p.FileName(), p.Header.Get("Content-Type"), data})
		default:
			var problems problems
			problems.top().field(name).fail("FILE_FIELD", "Files are named files[n] and have a filename")
			return payload, files, problems.refusal()
		}
	}
}

// admit holds a request to the bot's token, where it is needed and where not.
func (s *Server) admit(c *call, auth, agent string, body []byte, query string) *Refusal {
	s.mu.Lock()
	defer s.mu.Unlock()
	// https://discord.com/developers/docs/reference#user-agent
	if !strings.HasPrefix(agent, "DiscordBot (") {
		s.wrong(RuleUserAgent, c.method+" "+c.parts[0], fmt.Sprintf("user agent %q: want DiscordBot (URL, VERSION)", agent))
	}
	if bytes.Contains(body, []byte(s.opt.Token)) || strings.Contains(query+c.path, s.opt.Token) {
		s.wrong(RuleToken, c.method+" "+c.parts[0], "the bot's token is in the request itself")
	}
	free := c.parts[0] == "interactions" || c.parts[0] == "webhooks"
	switch {
	case free && auth != "":
		s.wrong(RuleToken, c.method+" "+c.parts[0], "the bot's token is sent where the interaction's is enough")
		return nil
	case free, c.method == http.MethodGet && len(c.parts) == 1 && c.parts[0] == "gateway":
		return nil
	case auth != "Bot "+s.opt.Token || s.reset:
		return unauthorized()
	}
	return nil
}

// route finds who answers.
func (s *Server) route(c *call) (int, any, *Refusal) {
	p := c.parts
	is := func(method string, pattern ...string) bool {
		if c.method != method || len(p) != len(pattern) {
			return false
		}
		for i, want := range pattern {
			if want != "*" && want != p[i] || p[i] == "" {
				return false
			}
		}
		return true
	}
	const get, put, post, patch, del = http.MethodGet, http.MethodPut, http.MethodPost, http.MethodPatch, http.MethodDelete
	switch {
	case is(post, "interactions", "*", "*", "callback"):
		return s.callback(c, p[1], p[2])
	case is(post, "webhooks", "*", "*"):
		return s.followUp(c, p[1], p[2])
	case is(get, "webhooks", "*", "*", "messages", "*"):
		return s.readMessage(c, p[1], p[2], p[4])
	case is(patch, "webhooks", "*", "*", "messages", "*"):
		return s.edit(c, p[1], p[2], p[4])
	case is(del, "webhooks", "*", "*", "messages", "*"):
		return s.delete(c, p[1], p[2], p[4])
	case is(get, "gateway"):
		return http.StatusOK, map[string]any{"url": s.socket("")}, nil
	case is(get, "gateway", "bot"):
		return s.gatewayBot()
	case is(get, "users", "@me"):
		return http.StatusOK, s.user(), nil
	case is(get, "applications", "@me"), is(get, "oauth2", "applications", "@me"):
		return http.StatusOK, s.application(), nil
	}
	if p[0] == "applications" && len(p) > 1 && p[1] != s.opt.ApplicationID {
		return 0, nil, refuse(CodeMissingAccess)
	}
	switch {
	case is(put, "applications", "*", "commands"):
		return s.overwrite(c, "")
	case is(put, "applications", "*", "guilds", "*", "commands"):
		return s.overwrite(c, p[3])
	case is(get, "applications", "*", "commands"):
		return http.StatusOK, orEmpty(s.GuildCommands("")), nil
	case is(get, "applications", "*", "guilds", "*", "commands"):
		return http.StatusOK, orEmpty(s.GuildCommands(p[3])), nil
	}
	s.mu.Lock()
	defer s.mu.Unlock()
	s.wrong(RuleUnknownPath, c.method+" "+p[0], "nothing is there, or the fake does not know it")
	return 0, nil, notFound()
}

// orEmpty makes sure that a list is written as one.
func orEmpty[T any](list []T) []T {
	if list == nil {
		return []T{}
	}
	return list
}

// socket is the address of the gateway.
func (s *Server) socket(path string) string {
	return "ws" + strings.TrimPrefix(s.base, "http") + "/ws/" + path
}

// gatewayBot tells how many sessions may be started yet.
// https://discord.com/developers/docs/events/gateway#get-gateway-bot
func (s *Server) gatewayBot() (int, any, *Refusal) {
	s.mu.Lock()
	defer s.mu.Unlock()
	left, ends := s.identify.left(s.clock.Now())
	return http.StatusOK, map[string]any{"url": s.socket(""), "shards": 1, "session_start_limit": map[string]any{
		"total": s.opt.Identifies, "remaining": max(left, 0), "reset_after": ends.Milliseconds(), "max_concurrency": 1,
	}}, nil
}

// user is the bot.
// https://discord.com/developers/docs/resources/user#user-object
func (s *Server) user() map[string]any {
	return map[string]any{"id": s.opt.ApplicationID, "username": "spokeword", "discriminator": "0000", "global_name": nil,
		"avatar": nil, "bot": true, "mfa_enabled": false, "locale": "en-US", "verified": true, "flags": 0, "public_flags": 0}
}

// application is the bot's.
// https://discord.com/developers/docs/resources/application#application-object
func (s *Server) application() map[string]any {
	return map[string]any{"id": s.opt.ApplicationID, "name": "Spokeword", "icon": nil, "description": "", "bot_public": true,
		"bot_require_code_grant": false, "verify_key": fmt.Sprintf("%x", []byte(s.PublicKey())), "flags": 0,
		"bot": s.user(), "interactions_endpoint_url": nil}
}

// serveFile shows an uploaded file to a browser.
func (s *Server) serveFile(w http.ResponseWriter, r *http.Request) {
	_, id := cut(r.URL.Path)
	id, _ = cut(id)
	u, ok := s.file(id)
	if !ok {
		write(w, http.StatusNotFound, notFound())
		return
	}
	w.Header().Set("Content-Type", u.kind)
	w.Header().Set("X-Content-Type-Options", "nosniff")
	_, _ = w.Write(u.data) // who went away needs no answer
}

func (s *Server) file(id string) (upload, bool) {
	s.mu.Lock()
	defer s.mu.Unlock()
	u, ok := s.files.m[id]
	return u, ok
}

// File returns the bytes of an attachment, if they are kept.
func (s *Server) File(a Attachment) ([]byte, bool) {
	u, ok := s.file(string(a.ID))
	return u.data, ok
}
