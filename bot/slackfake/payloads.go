package slackfake

import (
	"fmt"
	"maps"
	"strings"
)

// verification is the field "token" of payloads, which the service still sends and
// advises against. It is worth nothing here.
const verification = "verification-token"

// mintTrigger makes a trigger_id, which can open a view once and for 3 seconds.
func (s *Server) mintTrigger(user, view string) string {
	id := strings.Join([]string{s.mint("1"), "2", s.mint("k")}, ".")
	s.triggers.put(id, trigger{user, s.opt.Now(), view})
	return id
}

// Command is a person's slash command in a channel, such as /spoke and the text after it.
// https://docs.slack.dev/interactivity/implementing-slash-commands#app_command_handling
func (s *Server) Command(user, channel, command, text string) Inbound {
	s.mu.Lock()
	defer s.mu.Unlock()
	c := s.channels[channel]
	name := c.Name
	if c.Private {
		name = "privategroup"
	}
	in := Inbound{Type: Slash, User: user, Channel: channel, ResponseURL: s.mintResponse(user, channel, nil), TriggerID: s.mintTrigger(user, "")}
	in.Payload = map[string]any{"token": verification, "team_id": TeamID, "team_domain": TeamDomain, "channel_id": channel, "channel_name": name,
		"user_id": user, "user_name": s.users[user].Name, "command": command, "text": text, "api_app_id": AppID,
		"is_enterprise_install": "false", "response_url": in.ResponseURL, "trigger_id": in.TriggerID}
	return in
}

// event wraps an event. https://docs.slack.dev/apis/events-api/#receiving-events
func (s *Server) event(e map[string]any) Inbound {
	in := Inbound{Type: Event, EventID: s.mint("Ev")}
	in.User, _ = e["user"].(string)
	in.Channel, _ = e["channel"].(string)
	if e["event_ts"] == nil {
		e["event_ts"] = s.stamp()
	}
	in.Payload = map[string]any{"token": verification, "team_id": TeamID, "context_team_id": TeamID, "context_enterprise_id": nil,
		"api_app_id": AppID, "event": e, "type": "event_callback", "event_id": in.EventID, "event_time": s.opt.Now().Unix(),
		"authorizations":        []any{map[string]any{"enterprise_id": nil, "team_id": TeamID, "user_id": BotUser, "is_bot": true, "is_enterprise_install": false}},
		"is_ext_shared_channel": false, "event_context": "4-" + in.EventID}
	return in
}

// EventOf is an event of any type, also of one that does not exist, with its fields.
func (s *Server) EventOf(kind string, fields map[string]any) Inbound {
	s.mu.Lock()
	defer s.mu.Unlock()
	e := map[string]any{"type": kind}
	maps.Copy(e, fields)
	return s.event(e)
}

// said is what is common to events of messages.
func (s *Server) said(kind, user, channel, text, thread string) map[string]any {
	ts := s.stamp()
	e := map[string]any{"type": kind, "user": user, "ts": ts, "event_ts": ts, "client_msg_id": s.mint("m"), "text": text, "team": TeamID, "channel": channel,
		"blocks": []any{map[string]any{"type": "rich_text", "block_id": s.mint("block"), "elements": []any{map[string]any{"type": "rich_text_section",
			"elements": []any{map[string]any{"type": "text", "text": text}}}}}}}
	if thread != "" {
		e["thread_ts"] = thread
	}
	return e
}

// Mention is a message in a channel that names the bot. The text is given without
// the name; thread is the ts of the message it answers to, or "".
// https://docs.slack.dev/reference/events/app_mention
func (s *Server) Mention(user, channel, text, thread string) Inbound {
	s.mu.Lock()
	defer s.mu.Unlock()
	return s.event(s.said("app_mention", user, channel, "<@"+BotUser+"> "+text, thread))
}

// DirectMessage is a message to the bot alone; thread is as for Mention. More fields
// can be set, as subtype or bot_id, for messages that no person typed.
// https://docs.slack.dev/reference/events/message.im
func (s *Server) DirectMessage(user, text, thread string, more map[string]any) Inbound {
	s.mu.Lock()
	defer s.mu.Unlock()
	e := s.said("message", user, s.direct[user], text, thread)
	e["channel_type"] = "im"
	maps.Copy(e, more)
	return s.event(e)
}

// OwnMessage is the bot's own message as it comes back to it. A bot that answers it
// talks to itself. https://docs.slack.dev/reference/events/message/bot_message
func (s *Server) OwnMessage(user, text string) Inbound {
	in := s.DirectMessage(user, text, "", map[string]any{"user": BotUser, "bot_id": BotID, "app_id": AppID,
		"bot_profile": map[string]any{"id": BotID, "app_id": AppID, "name": BotName, "team_id": TeamID, "deleted": false, "updated": 1}})
	e := in.Payload["event"].(map[string]any)
	delete(e, "client_msg_id")
	return in
}

// MessageWithFile is a message to the bot alone with a file of AddFile.
// https://docs.slack.dev/reference/events/message/file_share
func (s *Server) MessageWithFile(user, text string, f File) Inbound {
	return s.DirectMessage(user, text, "", map[string]any{"subtype": "file_share", "files": []any{s.fileObject(f)}, "upload": false, "display_as_bot": false})
}

// HomeOpened is the opening of a tab of the bot's page: home or messages.
// https://docs.slack.dev/reference/events/app_home_opened
func (s *Server) HomeOpened(user, tab string) Inbound {
	s.mu.Lock()
	defer s.mu.Unlock()
	e := map[string]any{"type": "app_home_opened", "user": user, "channel": s.direct[user], "tab": tab}
	if v, ok := s.views.get(s.homes[user]); ok && tab == "home" {
		e["view"] = viewObject(*v, nil)
	}
	return s.event(e)
}

// TokensRevoked tells that the bot's tokens are worth nothing any more.
// https://docs.slack.dev/reference/events/tokens_revoked
func (s *Server) TokensRevoked() Inbound {
	return s.EventOf("tokens_revoked", map[string]any{"tokens": map[string]any{"oauth": []any{Moss}, "bot": []any{BotUser}}})
}

// AppUninstalled tells that the workspace has thrown the bot out.
// https://docs.slack.dev/reference/events/app_uninstalled
func (s *Server) AppUninstalled() Inbound { return s.EventOf("app_uninstalled", nil) }

// Act is what a person does to a control.
type Act struct {
	User    string
	Control Control
	// Value is what is chosen or typed, by the values of the options, with commas
	// where several are. A button needs none.
	Value string
	// Filled is what stands in the other controls beside it, by action_id.
	Filled map[string]string
}

func (s *Server) interaction(user, kind, view string) (Inbound, map[string]any) {
	in := Inbound{Type: Interaction, User: user, TriggerID: s.mintTrigger(user, view)}
	u := s.users[user]
	in.Payload = map[string]any{"type": kind, "user": map[string]any{"id": user, "username": u.Name, "name": u.Name, "team_id": TeamID},
		"api_app_id": AppID, "token": verification, "trigger_id": in.TriggerID, "team": map[string]any{"id": TeamID, "domain": TeamDomain},
		"enterprise": nil, "is_enterprise_install": false}
	return in, in.Payload
}

// Press is a person's press of a button of a message, or their choice from a control
// in it. https://docs.slack.dev/reference/interaction-payloads/block_actions-payload
func (s *Server) Press(m Message, act Act) (Inbound, error) {
	action, err := act.action()
	if err != nil {
		return Inbound{}, err
	}
	state, err := filledState(m.Blocks, act.Filled)
	if err != nil {
		return Inbound{}, err
	}
	s.mu.Lock()
	defer s.mu.Unlock()
	in, p := s.interaction(act.User, "block_actions", "")
	original := s.find(s.messages[m.Channel], m.TS)
	if m.Ephemeral() {
		original = s.find(s.ephemerals[m.To], m.TS)
	}
	in.Channel, in.ResponseURL = m.Channel, s.mintResponse(act.User, m.Channel, original)
	container := map[string]any{"type": "message", "message_ts": m.TS, "channel_id": m.Channel, "is_ephemeral": m.Ephemeral()}
	if m.Thread != "" {
		container["thread_ts"] = m.Thread
	}
	action["action_ts"] = s.stamp()
	p["container"], p["channel"] = container, map[string]any{"id": m.Channel, "name": s.channels[m.Channel].Name}
	p["state"], p["response_url"], p["actions"] = state, in.ResponseURL, []any{action}
	if !m.Ephemeral() { // the service does not hold ephemeral messages
		p["message"] = messageObject(m)
	}
	return in, nil
}

// PressInView is a press or a choice in a modal or a home tab. It has no response URL.
func (s *Server) PressInView(v View, act Act) (Inbound, error) {
	action, err := act.action()
	if err != nil {
		return Inbound{}, err
	}
	state, err := filledState(v.Blocks, act.Filled)
	if err != nil {
		return Inbound{}, err
	}
	s.mu.Lock()
	defer s.mu.Unlock()
	in, p := s.interaction(act.User, "block_actions", v.ID)
	action["action_ts"] = s.stamp()
	p["container"], p["view"] = map[string]any{"type": "view", "view_id": v.ID}, viewObject(v, state)
	p["actions"] = []any{action}
	return in, nil
}

// Submit is the sending of a modal with what was filled in, by action_id. What is not
// given keeps what stood in it from the start. Like a client it refuses an empty
// input that is not optional, and too long a text.
// https://docs.slack.dev/reference/interaction-payloads/view-interactions-payload
func (s *Server) Submit(v View, filled map[string]string) (Inbound, error) {
	state, err := filledState(v.Blocks, filled)
	if err != nil {
		return Inbound{}, err
	}
	for _, c := range Controls(v.Blocks) {
		if c.raw != nil && c.input && !c.Optional && filled[c.Action] == "" && c.Initial == "" {
			return Inbound{}, fmt.Errorf("slackfake: input %s is empty and not optional", c.Action)
		}
	}
	s.mu.Lock()
	defer s.mu.Unlock()
	in, p := s.interaction(v.User, "view_submission", v.ID)
	in.view = v.ID
	p["view"], p["response_urls"] = viewObject(v, state), []any{}
	return in, nil
}

// Dismiss is the closing of a modal without sending it; the service tells it only of
// views with notify_on_close.
func (s *Server) Dismiss(v View) Inbound {
	s.mu.Lock()
	defer s.mu.Unlock()
	if old, ok := s.views.get(v.ID); ok {
		old.Closed = true
	}
	in, p := s.interaction(v.User, "view_closed", v.ID)
	delete(p, "trigger_id") // nothing can be opened any more
	in.TriggerID = ""
	p["view"], p["is_cleared"] = viewObject(v, nil), false
	return in
}

// InteractionOf is an interaction of any type, also of one that does not exist.
func (s *Server) InteractionOf(user, kind string, fields map[string]any) Inbound {
	s.mu.Lock()
	defer s.mu.Unlock()
	in, p := s.interaction(user, kind, "")
	maps.Copy(p, fields)
	return in
}
