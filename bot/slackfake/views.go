package slackfake

import "time"

// Views: https://docs.slack.dev/surfaces/modals and
// https://docs.slack.dev/reference/methods/views.open

// triggerLife is how long a trigger_id can open a view.
// https://docs.slack.dev/interactivity/handling-user-interaction (from memory)
const triggerLife = 3 * time.Second

// trigger lets the bot open a view for someone, once.
type trigger struct {
	user string
	made time.Time
	view string // the modal it was made in
}

// openable takes the trigger of a call, which can be used once and for 3 seconds.
func (s *Server) openable(id string) (trigger, *Refusal) {
	t, ok := s.triggers.take(id)
	switch {
	case id == "":
		return t, &Refusal{Code: "invalid_arguments", Messages: []string{"[ERROR] missing required field: trigger_id"}}
	case !ok:
		return t, &Refusal{Code: "exchanged_trigger_id"}
	case s.opt.Now().Sub(t.made) > triggerLife:
		return t, &Refusal{Code: "expired_trigger_id"}
	}
	return t, nil
}

func (s *Server) viewOf(a args, kind string) (*View, *Refusal) {
	v, err := unpacked(a["view"])
	if err != nil || v == nil {
		return nil, &Refusal{Code: "invalid_arguments", Messages: []string{"[ERROR] missing required field: view"}}
	}
	view, refused := checkView(v, s.rules())
	switch {
	case refused != nil:
		return nil, refused
	case view.Type != kind:
		return nil, &Refusal{Code: "invalid_arguments", Messages: []string{"[ERROR] must be one of: " + kind + " [json-pointer:/view/type]"}}
	case len(view.Raw) > 250_000:
		// https://docs.slack.dev/reference/methods/views.open: view_too_large, above 250 kB (from memory)
		return nil, &Refusal{Code: "view_too_large"}
	}
	return view, nil
}

// show keeps a new view and records it.
func (s *Server) show(v *View, user, method string) *View {
	s.complete(v.Blocks)
	v.ID, v.Hash, v.User = s.mint("V"), s.stamp(), user
	if v.Root == "" {
		v.Root = v.ID
	}
	s.leaks(method, []byte(v.Title+TextOf(v.Blocks)))
	s.views.put(v.ID, v)
	s.add(Record{Kind: Viewed, Method: method, View: *v})
	return v
}

// redraw gives a view new content and records it.
func (s *Server) redraw(old, v *View, method string) {
	s.complete(v.Blocks)
	v.ID, v.User, v.Root, v.Previous, v.Hash = old.ID, old.User, old.Root, old.Previous, s.stamp()
	s.leaks(method, []byte(v.Title+TextOf(v.Blocks)))
	*old = *v
	s.add(Record{Kind: Viewed, Method: method, View: *v})
}

// viewObject is a view as the service gives it to bots.
func viewObject(v View, state any) map[string]any {
	if state == nil {
		state = map[string]any{"values": map[string]any{}}
	}
	out := map[string]any{"id": v.ID, "team_id": TeamID, "type": v.Type, "blocks": v.Blocks, "private_metadata": v.Private,
		"callback_id": v.CallbackID, "state": state, "hash": v.Hash, "root_view_id": v.Root, "previous_view_id": nil,
		"app_id": AppID, "external_id": v.ExternalID, "app_installed_team_id": TeamID, "bot_id": BotID,
		"clear_on_close": false, "notify_on_close": v.NotifyOnClose, "title": labelObject(v.Title), "close": nil, "submit": nil}
	if v.Previous != "" {
		out["previous_view_id"] = v.Previous
	}
	if v.Close != "" {
		out["close"] = labelObject(v.Close)
	}
	if v.Submit != "" {
		out["submit"] = labelObject(v.Submit)
	}
	return out
}

func labelObject(s string) map[string]any {
	return map[string]any{"type": "plain_text", "text": s, "emoji": true}
}

func (s *Server) openView(a args, _ []byte) (reply, *Refusal) {
	return s.newModal(a, "views.open")
}

// https://docs.slack.dev/reference/methods/views.push: three views at most on a stack
func (s *Server) pushView(a args, _ []byte) (reply, *Refusal) {
	return s.newModal(a, "views.push")
}

func (s *Server) newModal(a args, method string) (reply, *Refusal) {
	v, refused := s.viewOf(a, "modal")
	s.mu.Lock()
	defer s.mu.Unlock()
	t, late := s.openable(a.str("trigger_id"))
	switch {
	case late != nil:
		return nil, late
	case refused != nil:
		return nil, refused
	}
	if below, ok := s.views.get(t.view); ok && method == "views.push" {
		if v.Root, v.Previous = below.Root, below.ID; s.depth(below) >= 3 {
			return refuse("push_limit_reached")
		}
	} else if method == "views.push" {
		return refuse("not_found")
	}
	return reply{"view": viewObject(*s.show(v, t.user, method), nil)}, nil
}

func (s *Server) depth(v *View) int {
	n := 1
	for v.Previous != "" {
		below, ok := s.views.get(v.Previous)
		if !ok {
			break
		}
		v = below
		n++
	}
	return n
}

// https://docs.slack.dev/reference/methods/views.publish
func (s *Server) publishView(a args, _ []byte) (reply, *Refusal) {
	v, refused := s.viewOf(a, "home")
	if refused != nil {
		return nil, refused
	}
	s.mu.Lock()
	defer s.mu.Unlock()
	user := a.str("user_id")
	if _, ok := s.users[user]; !ok {
		return refuse("user_not_found")
	}
	if old, ok := s.views.get(s.homes[user]); ok {
		if h := a.str("hash"); h != "" && h != old.Hash {
			return refuse("hash_conflict")
		}
		s.redraw(old, v, "views.publish")
		return reply{"view": viewObject(*old, nil)}, nil
	}
	s.show(v, user, "views.publish")
	s.homes[user] = v.ID
	return reply{"view": viewObject(*v, nil)}, nil
}

// https://docs.slack.dev/reference/methods/views.update
func (s *Server) updateView(a args, _ []byte) (reply, *Refusal) {
	v, refused := s.viewOf(a, "modal")
	if refused != nil {
		return nil, refused
	}
	s.mu.Lock()
	defer s.mu.Unlock()
	old, ok := s.views.get(a.str("view_id"))
	if ext := a.str("external_id"); ext != "" {
		for _, o := range s.views.all() {
			if o.ExternalID == ext {
				old, ok = o, true
			}
		}
	}
	switch {
	case !ok || old.Closed:
		return refuse("not_found")
	case a.str("hash") != "" && a.str("hash") != old.Hash:
		return refuse("hash_conflict")
	}
	s.redraw(old, v, "views.update")
	return reply{"view": viewObject(*old, nil)}, nil
}
