package slackfake

import (
	"bytes"
	"mime"
	"strings"
)

// settleAnswer does what the body of a response or the payload of an ack asks for.
func (s *Server) settleAnswer(in Inbound, a Answer) {
	raw := bytes.TrimSpace(a.Body)
	if len(raw) == 0 || string(raw) == "null" {
		if in.view != "" {
			s.closeView(in.view)
		}
		return
	}
	if in.Type == Event {
		if in.transport == overLink {
			s.violation("answer", "a payload in the ack of an event, which takes none")
		}
		return // in HTTP mode the body is not looked at
	}
	kind := "application/json"
	if in.transport == overHTTP {
		kind, _, _ = mime.ParseMediaType(a.Header.Get("Content-Type"))
	}
	what, _ := in.Payload["type"].(string)
	switch {
	case in.Type == Slash:
		s.settleSlash(in, raw, kind)
	case what == "view_submission":
		s.settleSubmission(in, raw)
	case what == "block_suggestion":
		s.settleSuggestion(raw)
	case what == "view_closed" || what == "block_actions":
		// https://docs.slack.dev/interactivity/handling-user-interaction: the answer
		// goes to the response URL; a body is not shown (from memory).
		s.violation("answer", "a body for "+what+", which nobody sees")
	}
}

// settleSlash shows the direct answer to a command: JSON of a message, or plain text.
// https://docs.slack.dev/interactivity/implementing-slash-commands#responding_basic_receipt
func (s *Server) settleSlash(in Inbound, raw []byte, kind string) {
	m := map[string]any{"text": string(raw)}
	if kind == "application/json" {
		v, err := Decode(raw)
		object, ok := v.(map[string]any)
		if err != nil || !ok {
			s.violation("answer", "invalid_json")
			return
		}
		m = object
	}
	msg, refused := checkMessage(m, s.rules())
	s.mu.Lock()
	defer s.mu.Unlock()
	if refused == nil {
		msg.Method, msg.Raw = "answer", raw
		u, ok := s.returns.get(in.ResponseURL)
		if !ok {
			u = &returning{user: in.User, channel: in.Channel}
		}
		refused = s.settle(&msg, m, u)
	}
	if refused != nil {
		s.violate("answer", refused.Error())
		s.add(Record{Kind: Failed, Method: "answer", Code: "dispatch_failed", Message: Message{To: in.User, Channel: in.Channel}})
	}
}

// settleSubmission does what the answer to a form asks for.
// https://docs.slack.dev/surfaces/modals#response_actions
func (s *Server) settleSubmission(in Inbound, raw []byte) {
	v, err := Decode(raw)
	m, ok := v.(map[string]any)
	if err != nil || !ok {
		s.violation("answer", "invalid_json")
		return
	}
	action, _ := m["response_action"].(string)
	var view *View
	if action == "update" || action == "push" {
		var refused *Refusal
		if view, refused = s.viewOf(m, "modal"); refused != nil {
			s.violation("answer", refused.Error())
			return
		}
	}
	if action == "clear" {
		s.closeView(in.view)
		return
	}
	s.mu.Lock()
	defer s.mu.Unlock()
	old, ok := s.views.get(in.view)
	if !ok {
		return
	}
	switch action {
	case "update":
		s.redraw(old, view, "answer")
	case "push":
		view.Root, view.Previous = old.Root, old.ID
		s.show(view, old.User, "answer")
	case "errors":
		s.settleErrors(old, m["errors"])
	default:
		s.violate("answer", "response_action "+action+": want errors, update, push or clear")
	}
}

// settleErrors holds that each error is at an input block of the view; the service
// shows none that is not.
func (s *Server) settleErrors(v *View, errors any) {
	m, _ := errors.(map[string]any)
	if len(m) == 0 {
		s.violate("answer", "errors without one")
	}
	inputs := make(map[string]bool)
	for _, b := range v.Blocks {
		if b, _ := b.(map[string]any); b["type"] == "input" {
			id, _ := b["block_id"].(string)
			inputs[id] = true
		}
	}
	var said []string
	for id, e := range m {
		text, ok := e.(string)
		if !inputs[id] || !ok || text == "" {
			s.violate("answer", "an error at "+id+", which is no input block of the view")
		}
		said = append(said, text)
	}
	s.add(Record{Kind: Viewed, Method: "answer", Code: strings.Join(said, "\n"), View: *v})
}

// settleSuggestion checks the options for an external select.
// https://docs.slack.dev/reference/block-kit/block-elements/select-menu-element#external_select
func (s *Server) settleSuggestion(raw []byte) {
	v, err := Decode(raw)
	c := s.rules()
	if err != nil {
		c.no("", "invalid_json")
	} else {
		c.object("", v, fromList)
	}
	for _, m := range c.messages {
		s.violation("answer", m)
	}
}

func (s *Server) closeView(id string) {
	s.mu.Lock()
	defer s.mu.Unlock()
	if v, ok := s.views.get(id); ok {
		v.Closed = true
	}
}
