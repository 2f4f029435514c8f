package slackfake

import (
	"encoding/json"
	"slices"
	"strings"
)

func refuse(code string) (reply, *Refusal) { return nil, &Refusal{Code: code} }

// rules returns a check by the rules of this workspace.
func (s *Server) rules() check {
	s.mu.Lock()
	defer s.mu.Unlock()
	return check{tables: !s.opt.RefuseTables, picture: s.opt.FetchPicture}
}

// complete gives blocks and elements the ids that were left out, as the service does.
func (s *Server) complete(blocks []any) {
	for _, b := range blocks {
		b, _ := b.(map[string]any)
		if id, _ := b["block_id"].(string); id == "" {
			b["block_id"] = s.mint("block")
		}
		for _, e := range append(append([]any{b["accessory"]}, list(b["elements"])...), b["element"]) {
			m, _ := e.(map[string]any)
			kind, _ := m["type"].(string)
			if _, ok := elementShapes[kind]; ok && kind != "image" && m["action_id"] == nil {
				m["action_id"] = s.mint("action")
			}
		}
	}
}

// keepMessage puts a message where it is to be seen, and records it.
func (s *Server) keepMessage(m Message) *Message {
	s.complete(m.Blocks)
	m.TS = s.stamp()
	s.advise(m)
	s.leaks(m.Method, []byte(m.Text+TextOf(m.Blocks)))
	kind := Posted
	if m.Ephemeral() {
		kind = Whispered
		s.ephemerals[m.To] = last(s.ephemerals[m.To], &m, s.keep)
	} else {
		s.messages[m.Channel] = last(s.messages[m.Channel], &m, s.keep)
	}
	s.add(Record{Kind: kind, Method: m.Method, Message: m})
	return &m
}

// advise notes what the service takes but advises against.
// https://docs.slack.dev/reference/methods/chat.postMessage
func (s *Server) advise(m Message) {
	if units(m.Text) > adviceText.most {
		s.note(m.Method, "a text above 4000 characters")
	}
	if len(m.Blocks) > 0 && strings.TrimSpace(m.Text) == "" {
		s.note(m.Method, "blocks without a text: notifications and screen readers have none")
	}
}

// change gives a message new content, and records it.
func (s *Server) change(old *Message, m Message) {
	s.complete(m.Blocks)
	s.advise(m)
	s.leaks(m.Method, []byte(m.Text+TextOf(m.Blocks)))
	m.TS, m.Channel, m.Thread, m.To, m.Files, m.Edited = old.TS, old.Channel, old.Thread, old.To, old.Files, true
	*old = m
	s.add(Record{Kind: Changed, Method: m.Method, Message: m})
}

// remove takes a message away, and records it.
func (s *Server) remove(m *Message, method string) {
	gone := func(o *Message) bool { return o == m }
	s.messages[m.Channel] = slices.DeleteFunc(s.messages[m.Channel], gone)
	s.ephemerals[m.To] = slices.DeleteFunc(s.ephemerals[m.To], gone)
	s.add(Record{Kind: Deleted, Method: method, Message: *m})
}

// place finds the channel a message goes to: a channel's id, or a person's for where
// they talk to the bot directly. It refuses where the bot is no member; a private
// channel that it is not in does not exist for it.
func (s *Server) place(id string) (Channel, *Refusal) {
	if d := s.direct[id]; d != "" {
		id = d
	}
	c, ok := s.channels[id]
	switch {
	case !ok, c.Private && !c.Member:
		return c, &Refusal{Code: "channel_not_found"}
	case !c.Member:
		return c, &Refusal{Code: "not_in_channel"}
	}
	return c, nil
}

func shownReply(m Message) reply {
	return reply{"channel": m.Channel, "ts": m.TS, "message": messageObject(m)}
}

// messageObject is a message as the service gives it to bots.
func messageObject(m Message) map[string]any {
	out := map[string]any{"type": "message", "user": BotUser, "bot_id": BotID, "app_id": AppID, "team": TeamID, "text": m.Text, "ts": m.TS}
	if m.Blocks != nil {
		out["blocks"] = m.Blocks
	}
	if m.Thread != "" {
		out["thread_ts"] = m.Thread
	}
	if m.Edited {
		out["edited"] = map[string]any{"user": BotUser, "ts": m.TS}
	}
	return out
}

// https://docs.slack.dev/reference/methods/chat.postMessage
func (s *Server) postMessage(a args, raw []byte) (reply, *Refusal) {
	m, refused := checkMessage(a, s.rules())
	if refused != nil {
		return nil, refused
	}
	s.mu.Lock()
	defer s.mu.Unlock()
	c, refused := s.place(a.str("channel"))
	if refused != nil {
		return nil, refused
	}
	m.Channel, m.Thread, m.Method, m.Raw = c.ID, a.str("thread_ts"), "chat.postMessage", raw
	if m.Thread != "" && !isTS(m.Thread) {
		return refuse("invalid_thread_ts")
	}
	return shownReply(*s.keepMessage(m)), nil
}

// https://docs.slack.dev/reference/methods/chat.postEphemeral
func (s *Server) postEphemeral(a args, raw []byte) (reply, *Refusal) {
	m, refused := checkMessage(a, s.rules())
	if refused != nil {
		return nil, refused
	}
	s.mu.Lock()
	defer s.mu.Unlock()
	c, refused := s.place(a.str("channel"))
	if refused != nil {
		return nil, refused
	}
	user := a.str("user")
	if _, ok := s.users[user]; !ok || c.With != "" && c.With != user {
		return refuse("user_not_in_channel")
	}
	m.Channel, m.Thread, m.To, m.Method, m.Raw = c.ID, a.str("thread_ts"), user, "chat.postEphemeral", raw
	return reply{"message_ts": s.keepMessage(m).TS}, nil
}

func (s *Server) find(list []*Message, ts string) *Message {
	for _, m := range slices.Backward(list) {
		if m.TS == ts {
			return m
		}
	}
	return nil
}

// https://docs.slack.dev/reference/methods/chat.update
func (s *Server) updateMessage(a args, raw []byte) (reply, *Refusal) {
	m, refused := checkMessage(a, s.rules())
	if refused != nil {
		return nil, refused
	}
	if units(m.Text) > adviceText.most {
		return refuse("msg_too_long")
	}
	s.mu.Lock()
	defer s.mu.Unlock()
	c, refused := s.place(a.str("channel"))
	if refused != nil {
		return nil, refused
	}
	old := s.find(s.messages[c.ID], a.str("ts"))
	if old == nil { // also an ephemeral one, which can't be changed so
		return refuse("message_not_found")
	}
	m.Method, m.Raw, m.URL = "chat.update", raw, old.URL
	s.change(old, m)
	out := shownReply(*old)
	out["text"] = m.Text
	return out, nil
}

// https://docs.slack.dev/reference/methods/chat.delete
func (s *Server) deleteMessage(a args, _ []byte) (reply, *Refusal) {
	s.mu.Lock()
	defer s.mu.Unlock()
	c, refused := s.place(a.str("channel"))
	if refused != nil {
		return nil, refused
	}
	m := s.find(s.messages[c.ID], a.str("ts"))
	if m == nil {
		return refuse("message_not_found")
	}
	s.remove(m, "chat.delete")
	return reply{"channel": c.ID, "ts": m.TS}, nil
}

// isTS reports whether a text is a time as the service writes it.
func isTS(ts string) bool {
	sec, frac, ok := strings.Cut(ts, ".")
	digit := func(s string) bool { return s != "" && strings.Trim(s, "0123456789") == "" }
	return ok && digit(sec) && digit(frac)
}

// encode is json.Marshal of what can't fail.
func encode(v any) []byte {
	out, err := json.Marshal(v)
	if err != nil {
		panic("slackfake: " + err.Error())
	}
	return out
}
