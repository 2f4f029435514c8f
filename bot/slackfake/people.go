package slackfake

import "strings"

// https://docs.slack.dev/reference/methods/auth.test
func (s *Server) authTest(args, []byte) (reply, *Refusal) {
	return reply{"url": "https://" + TeamDomain + ".slack.com/", "team": TeamName, "team_id": TeamID,
		"user": BotName, "user_id": BotUser, "bot_id": BotID, "is_enterprise_install": false}, nil
}

// https://docs.slack.dev/reference/methods/bots.info
func (s *Server) botsInfo(a args, _ []byte) (reply, *Refusal) {
	if id := a.str("bot"); id != "" && id != BotID {
		return refuse("bot_not_found")
	}
	return reply{"bot": map[string]any{"id": BotID, "deleted": false, "name": BotName, "updated": 1, "app_id": AppID, "user_id": BotUser, "icons": map[string]any{}}}, nil
}

// https://docs.slack.dev/reference/methods/users.info
func (s *Server) usersInfo(a args, _ []byte) (reply, *Refusal) {
	s.mu.Lock()
	defer s.mu.Unlock()
	u, ok := s.users[a.str("user")]
	if !ok {
		return refuse("user_not_found")
	}
	return reply{"user": userObject(u, a.str("include_locale") == "true" || a.str("include_locale") == "1")}, nil
}

// https://docs.slack.dev/reference/methods/users.list, without pages
func (s *Server) usersList(a args, _ []byte) (reply, *Refusal) {
	out := []any{}
	for _, u := range s.Users() {
		out = append(out, userObject(u, a.str("include_locale") == "true"))
	}
	return reply{"members": out, "cache_ts": 1, "response_metadata": map[string]any{"next_cursor": ""}}, nil
}

func userObject(u User, locale bool) map[string]any {
	out := map[string]any{"id": u.ID, "team_id": TeamID, "name": u.Name, "deleted": false, "real_name": u.RealName,
		"tz": u.TZ, "tz_label": u.TZ, "tz_offset": u.TZOffset, "is_bot": u.ID == BotUser, "is_app_user": false, "updated": 1,
		"profile": map[string]any{"real_name": u.RealName, "display_name": u.Name}}
	if locale {
		out["locale"] = u.Locale
	}
	return out
}

func channelObject(c Channel) map[string]any {
	out := map[string]any{"id": c.ID, "created": 1, "is_im": c.With != "", "is_channel": c.With == "" && !c.Private, "is_group": c.Private,
		"is_private": c.Private || c.With != "", "is_mpim": false, "is_archived": false}
	if c.With != "" {
		out["user"] = c.With
	} else {
		out["name"], out["is_member"], out["context_team_id"] = c.Name, c.Member, TeamID
	}
	return out
}

// https://docs.slack.dev/reference/methods/conversations.info
func (s *Server) conversationInfo(a args, _ []byte) (reply, *Refusal) {
	s.mu.Lock()
	defer s.mu.Unlock()
	c, ok := s.channels[a.str("channel")]
	if !ok || c.Private && !c.Member {
		return refuse("channel_not_found")
	}
	return reply{"channel": channelObject(c)}, nil
}

// https://docs.slack.dev/reference/methods/conversations.list, without pages: what is
// public, unless types asks for more
func (s *Server) conversationsList(a args, _ []byte) (reply, *Refusal) {
	types := a.str("types")
	out := []any{}
	for _, c := range s.Channels() {
		public := c.With == "" && !c.Private
		if public && (types == "" || contains(types, "public_channel")) ||
			c.Private && c.Member && contains(types, "private_channel") || c.With != "" && contains(types, "im") {
			out = append(out, channelObject(c))
		}
	}
	return reply{"channels": out, "response_metadata": map[string]any{"next_cursor": ""}}, nil
}

// https://docs.slack.dev/reference/methods/conversations.open, for one person
func (s *Server) openDirect(a args, _ []byte) (reply, *Refusal) {
	s.mu.Lock()
	defer s.mu.Unlock()
	id := s.direct[a.str("users")]
	if c := s.channels[a.str("channel")]; c.With != "" {
		id = c.ID
	}
	if id == "" {
		return refuse("user_not_found")
	}
	return reply{"channel": channelObject(s.channels[id])}, nil
}

// https://docs.slack.dev/reference/methods/conversations.join
func (s *Server) join(a args, _ []byte) (reply, *Refusal) {
	s.mu.Lock()
	defer s.mu.Unlock()
	c, ok := s.channels[a.str("channel")]
	switch {
	case !ok || c.Private:
		return refuse("channel_not_found")
	case c.With != "":
		return refuse("method_not_supported_for_channel_type")
	}
	c.Member = true
	s.channels[c.ID] = c
	return reply{"channel": channelObject(c)}, nil
}

// https://docs.slack.dev/reference/methods/conversations.history: the bot's own
// messages, the newest first
func (s *Server) history(a args, _ []byte) (reply, *Refusal) {
	s.mu.Lock()
	defer s.mu.Unlock()
	c, refused := s.place(a.str("channel"))
	if refused != nil {
		return nil, refused
	}
	out := []any{}
	ms := copied(s.messages[c.ID], 100)
	for i := len(ms) - 1; i >= 0; i-- {
		out = append(out, messageObject(ms[i]))
	}
	return reply{"messages": out, "has_more": false}, nil
}

// contains reports whether a list with commas holds a word.
func contains(list, word string) bool {
	for part := range strings.SplitSeq(list, ",") {
		if strings.TrimSpace(part) == word {
			return true
		}
	}
	return false
}
