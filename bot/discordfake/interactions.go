package discordfake

import (
	"fmt"
	"net/http"
	"slices"
	"strconv"
	"time"
)

// Deadlines of interactions.
// https://discord.com/developers/docs/interactions/receiving-and-responding#responding-to-an-interaction
const (
	answerWithin = 3 * time.Second
	tokenLives   = 15 * time.Minute
)

// Types of answers.
// https://discord.com/developers/docs/interactions/receiving-and-responding#interaction-response-object-interaction-callback-type
const (
	AnswerPong           = 1
	AnswerMessage        = 4
	AnswerDeferred       = 5
	AnswerDeferredUpdate = 6
	AnswerUpdate         = 7
	AnswerChoices        = 8
	AnswerModal          = 9
)

// Callback is the bot's answer to an interaction.
type Callback struct {
	Interaction Interaction
	Type        int
	Message     *Message // of AnswerMessage and AnswerUpdate; of AnswerDeferred the empty one
	Choices     []Choice // of AnswerChoices
	Modal       *Modal   // of AnswerModal
	// Took is how long the bot needed, by the fake's clock.
	Took time.Duration
}

// exchange is an interaction and what became of it.
type exchange struct {
	in       Interaction
	sent     time.Time
	callback *Callback
	refused  *Refusal // the last answer that was refused
	answered chan struct{}
	// original is the id of the message the answer made or changed.
	original  string
	deferred  bool // and not filled yet
	followUps int
	isTold    bool
}

// told lets who waits for the answer go on.
func (x *exchange) told() {
	if !x.isTold {
		x.isTold = true
		close(x.answered)
	}
}

// open registers an interaction that is about to be sent.
func (s *Server) open(in Interaction) *exchange {
	s.mu.Lock()
	defer s.mu.Unlock()
	in = s.complete(in)
	x := &exchange{in: in, sent: s.clock.Now(), answered: make(chan struct{})}
	s.exchanges.put(in.ID, x)
	s.tokens.put(in.Token, x)
	return x
}

// answer is the body of a callback.
type answer struct {
	Type int         `json:"type"`
	Data *answerData `json:"data"`
}

type answerData struct {
	payload
	Choices  *[]Choice `json:"choices"`
	CustomID string    `json:"custom_id"`
	Title    string    `json:"title"`
}

// flags that may be set on a new message.
const settable = FlagSuppressEmbeds | FlagEphemeral | FlagSuppressNotifications | FlagVoiceMessage | FlagComponentsV2

// allowed says which answers each type of interaction takes.
// https://discord.com/developers/docs/interactions/receiving-and-responding#interaction-response-object-interaction-callback-type
var allowed = map[int][]int{
	InteractionPing:         {AnswerPong},
	InteractionCommand:      {AnswerMessage, AnswerDeferred, AnswerModal},
	InteractionComponent:    {AnswerMessage, AnswerDeferred, AnswerDeferredUpdate, AnswerUpdate, AnswerModal},
	InteractionAutocomplete: {AnswerChoices},
	InteractionModalSubmit:  {AnswerMessage, AnswerDeferred, AnswerDeferredUpdate, AnswerUpdate},
}

// due tells whether an interaction may be answered now. mu is held.
func (s *Server) due(x *exchange) *Refusal {
	switch {
	case x.callback != nil:
		return refuse(CodeAcknowledged)
	case s.clock.Now().Sub(x.sent) > answerWithin:
		return refuse(CodeUnknownInteraction)
	}
	return nil
}

// callback is POST /interactions/{id}/{token}/callback.
// https://discord.com/developers/docs/interactions/receiving-and-responding#create-interaction-response
func (s *Server) callback(c *call, id, token string) (int, any, *Refusal) {
	c.record.Kind, c.record.Interaction = KindCallback, id
	s.mu.Lock()
	x, ok := s.exchanges.get(id)
	s.mu.Unlock()
	if !ok || x.in.Token != token {
		return 0, nil, refuse(CodeUnknownInteraction)
	}
	cb, refusal := s.accept(x, c)
	if refusal != nil {
		return 0, nil, refusal
	}
	if c.query.Get("with_response") != "true" {
		return http.StatusNoContent, nil, nil
	}
	about := map[string]any{"id": x.in.ID, "type": x.in.Type}
	resource := map[string]any{"type": cb.Type}
	if cb.Message != nil {
		about["response_message_id"], resource["message"] = cb.Message.ID, cb.Message
	}
	return http.StatusOK, map[string]any{"interaction": about, "resource": resource}, nil
}

// accept holds an answer to the rules and does what it says. A refused one
// leaves the interaction open.
func (s *Server) accept(x *exchange, c *call) (*Callback, *Refusal) {
	s.mu.Lock()
	refusal := s.due(x)
	s.mu.Unlock()
	if refusal != nil {
		return nil, refusal
	}
	var a answer
	if r := decode(c.json, &a); r != nil {
		return nil, r
	}
	var p problems
	top := p.top()
	types := allowed[x.in.Type]
	if _, known := allowed[x.in.Type]; !known {
		types = []int{AnswerMessage, AnswerDeferred} // of a later version: be kind
	}
	if x.in.Type == InteractionModalSubmit && x.in.Message == nil {
		types = types[:2] // there is no message to update
	}
	if !slices.Contains(types, a.Type) {
		top.field("type").choice(numbers(types))
		return nil, p.refusal()
	}
	if a.Data == nil {
		a.Data = new(answerData)
		switch a.Type {
		case AnswerMessage, AnswerUpdate, AnswerChoices, AnswerModal:
			top.field("data").missing()
			return nil, p.refusal()
		}
	}
	s.mu.Lock()
	defer s.mu.Unlock()
	if r := s.due(x); r != nil { // another may have been quicker
		return nil, r
	}
	cb := &Callback{Interaction: x.in, Type: a.Type, Took: s.clock.Now().Sub(x.sent)}
	if r := s.apply(x, cb, a.Data, top.field("data"), c); r != nil {
		return nil, r
	}
	x.callback, c.record.Callback, c.record.Message = cb, cb, cb.Message
	return cb, nil
}

// apply does what an answer says. mu is held.
func (s *Server) apply(x *exchange, cb *Callback, d *answerData, a *at, c *call) *Refusal {
	switch cb.Type {
	case AnswerDeferred:
		flags := value(d.Flags)
		if flags&^FlagEphemeral != 0 {
			a.field("flags").fail("MESSAGE_FLAGS_INVALID", "Only EPHEMERAL may be set when deferring")
			return a.all.refusal()
		}
		m := s.blank(x)
		m.Flags = flags | FlagLoading
		x.original, x.deferred = m.ID, true
		s.messages.put(m.ID, &m)
		cb.Message = &m
	case AnswerMessage:
		m := s.blank(x)
		m.Flags = value(d.Flags)
		if m.Flags&^settable != 0 {
			a.field("flags").fail("MESSAGE_FLAGS_INVALID", "One or more flags cannot be set")
		}
		stored, r := s.put(&d.payload, m, a, c)
		if r != nil {
			return r
		}
		x.original, cb.Message = stored.ID, stored
	case AnswerDeferredUpdate, AnswerUpdate:
		if x.in.Message == nil {
			return refuse(CodeUnknownMessage)
		}
		m := *x.in.Message
		if stored, ok := s.messages.get(m.ID); ok {
			m = *stored
		}
		x.original = m.ID
		if cb.Type == AnswerDeferredUpdate {
			x.deferred = true
			s.messages.put(m.ID, &m)
			return nil
		}
		keepsPrivacy(a, m, d.Flags)
		stored, r := s.put(&d.payload, m, a, c)
		if r != nil {
			return r
		}
		cb.Message = stored
	case AnswerChoices:
		if d.Choices == nil {
			a.field("choices").missing()
		} else {
			cb.Choices = *d.Choices
			checkChoices(a.field("choices"), cb.Choices, x.in.focused(), true)
		}
	case AnswerModal:
		m := &Modal{CustomID: d.CustomID, Title: d.Title}
		if d.Components != nil {
			m.Components = *d.Components
		}
		m.check(a)
		cb.Modal = m
	}
	return a.all.refusal()
}

// blank is a new message of the bot. mu is held.
func (s *Server) blank(x *exchange) Message {
	return Message{
		ID: s.id(), ChannelID: x.in.ChannelID, ApplicationID: s.opt.ApplicationID, Type: 20, // CHAT_INPUT_COMMAND
		Timestamp: s.clock.Now(), Author: Author{s.opt.ApplicationID, "spokeword", true},
		Embeds: []Embed{}, Components: []Component{}, Attachments: []Attachment{}, Interaction: x.in.ID,
	}
}

// keepsPrivacy holds a change of a message to its being ephemeral or not.
// https://discord.com/developers/docs/interactions/receiving-and-responding
func keepsPrivacy(a *at, m Message, flags *int64) {
	if flags != nil && (*flags^m.Flags)&FlagEphemeral != 0 {
		a.field("flags").fail("MESSAGE_FLAGS_INVALID", "A message cannot become ephemeral, or stop being so")
	}
}

// put stores a message as a payload makes or changes it. mu is held.
func (s *Server) put(p *payload, m Message, a *at, c *call) (*Message, *Refusal) {
	m = p.onto(m, a, c.files)
	if r := a.all.refusal(); r != nil {
		return nil, r
	}
	if p.Attachments != nil { // those not named any more go
		m.Attachments = slices.DeleteFunc(slices.Clone(m.Attachments), func(had Attachment) bool {
			return !slices.ContainsFunc(*p.Attachments, func(t Attachment) bool { return t.ID == had.ID })
		})
	} else {
		m.Attachments = slices.Clone(m.Attachments)
	}
	if m.empty(len(c.files)) {
		return nil, refuse(CodeEmptyMessage)
	}
	for _, f := range c.files {
		t := Attachment{ID: Snowflake(s.id()), Filename: f.name, ContentType: f.kind, Size: len(f.data)}
		t.URL = s.base + "/attachments/" + string(t.ID) + "/" + f.name
		if p.Attachments != nil {
			for _, about := range *p.Attachments {
				if "files["+string(about.ID)+"]" == f.field {
					t.Description = about.Description
				}
			}
		}
		s.files.put(string(t.ID), f)
		m.Attachments = append(m.Attachments, t)
	}
	if why := pings(p.Mentions); why != "" {
		s.wrong(RuleMentions, c.method+" "+c.parts[0], why)
	}
	m.Flags &^= FlagLoading
	s.messages.put(m.ID, &m)
	return &m, nil
}

// mentions is what a message may ping.
// https://discord.com/developers/docs/resources/message#allowed-mentions-object
type mentions struct {
	Parse       []string `json:"parse"`
	Users       []string `json:"users"`
	Roles       []string `json:"roles"`
	RepliedUser bool     `json:"replied_user"`
}

// pings tells how a message might ping someone; "" if it can't.
func pings(raw []byte) string {
	if len(raw) == 0 || string(raw) == "null" {
		return `allowed_mentions is missing: want {"parse":[]}`
	}
	var m mentions
	if r := decode(raw, &m); r != nil {
		return "allowed_mentions can't be read: " + r.Error()
	}
	if m.Parse == nil || len(m.Parse)+len(m.Users)+len(m.Roles) > 0 || m.RepliedUser {
		return fmt.Sprintf(`allowed_mentions is %s: want {"parse":[]}`, raw)
	}
	return ""
}

// webhook finds the interaction of a token that is still good. mu is held.
func (s *Server) webhook(c *call, app, token string) (*exchange, *Refusal) {
	x, ok := s.tokens.get(token)
	if !ok || app != s.opt.ApplicationID {
		return nil, refuse(CodeUnknownWebhook)
	}
	c.record.Interaction = x.in.ID
	switch {
	case x.callback == nil || x.callback.Type == AnswerChoices:
		return nil, refuse(CodeUnknownWebhook)
	case s.clock.Now().Sub(x.sent) > tokenLives:
		return nil, refuse(CodeWebhookToken)
	}
	return x, nil
}

// followUp is POST /webhooks/{application}/{token}.
// https://discord.com/developers/docs/interactions/receiving-and-responding#create-followup-message
func (s *Server) followUp(c *call, app, token string) (int, any, *Refusal) {
	c.record.Kind = KindFollowUp
	var body payload
	refusal := decode(c.json, &body)
	s.mu.Lock()
	defer s.mu.Unlock()
	x, r := s.webhook(c, app, token)
	if r != nil {
		return 0, nil, r
	}
	if refusal != nil {
		return 0, nil, refusal
	}
	var p problems
	m, flags := s.blank(x), value(body.Flags)
	m.Flags = flags
	if flags&^settable != 0 {
		p.top().field("flags").fail("MESSAGE_FLAGS_INVALID", "One or more flags cannot be set")
	}
	fills := false
	if x.deferred && x.callback.Type == AnswerDeferred {
		// The first further message fills a deferral and is as private as it.
		// From memory.
		if had, ok := s.messages.get(x.original); ok {
			if (had.Flags^flags)&FlagEphemeral != 0 {
				s.wrong(RuleEphemeral, c.method+" "+c.parts[0], "the message fills a deferral and is as private as that, whatever its flags say")
			}
			m.ID, m.Flags, fills = had.ID, flags&^FlagEphemeral|had.Flags&FlagEphemeral, true
		}
	}
	if !fills && x.in.userOnly() && x.followUps >= maxFollowUps {
		return 0, nil, refuse(CodeTooManyFollowUps)
	}
	stored, r := s.put(&body, m, p.top(), c)
	if r != nil {
		return 0, nil, r
	}
	if fills {
		x.deferred = false
	} else {
		x.followUps++
	}
	c.record.Message = stored
	return http.StatusOK, stored, nil
}

// message finds a message of an interaction. mu is held.
func (s *Server) message(x *exchange, id string) (*Message, *Refusal) {
	if id == "@original" {
		id = x.original
	}
	m, ok := s.messages.get(id)
	if !ok || m.Deleted || (m.Interaction != x.in.ID && id != x.original) {
		return nil, refuse(CodeUnknownMessage)
	}
	return m, nil
}

// readMessage is GET …/messages/{message}.
func (s *Server) readMessage(c *call, app, token, id string) (int, any, *Refusal) {
	s.mu.Lock()
	defer s.mu.Unlock()
	x, r := s.webhook(c, app, token)
	if r != nil {
		return 0, nil, r
	}
	m, r := s.message(x, id)
	if r != nil {
		return 0, nil, r
	}
	return http.StatusOK, m, nil
}

// edit is PATCH …/messages/{message}.
// https://discord.com/developers/docs/interactions/receiving-and-responding#edit-original-interaction-response
func (s *Server) edit(c *call, app, token, id string) (int, any, *Refusal) {
	c.record.Kind = KindEdit
	var body payload
	refusal := decode(c.json, &body)
	s.mu.Lock()
	defer s.mu.Unlock()
	x, r := s.webhook(c, app, token)
	if r != nil {
		return 0, nil, r
	}
	had, r := s.message(x, id)
	if r != nil {
		return 0, nil, r
	}
	if refusal != nil {
		return 0, nil, refusal
	}
	var p problems
	m := *had
	if body.Flags != nil {
		keepsPrivacy(p.top(), m, body.Flags)
		const may = FlagSuppressEmbeds | FlagComponentsV2
		if *body.Flags&^(may|FlagEphemeral) != 0 {
			p.top().field("flags").fail("MESSAGE_FLAGS_INVALID", "One or more flags cannot be set")
		}
		m.Flags = m.Flags&^FlagSuppressEmbeds | *body.Flags&may
	}
	now := s.clock.Now()
	m.Edited = &now
	stored, r := s.put(&body, m, p.top(), c)
	if r != nil {
		return 0, nil, r
	}
	if had.ID == x.original {
		x.deferred = false
	}
	c.record.Message = stored
	return http.StatusOK, stored, nil
}

// delete is DELETE …/messages/{message}.
func (s *Server) delete(c *call, app, token, id string) (int, any, *Refusal) {
	c.record.Kind = KindDelete
	s.mu.Lock()
	defer s.mu.Unlock()
	x, r := s.webhook(c, app, token)
	if r != nil {
		return 0, nil, r
	}
	had, r := s.message(x, id)
	if r != nil {
		return 0, nil, r
	}
	m := *had
	m.Deleted = true
	s.messages.put(m.ID, &m)
	c.record.Message = &m
	return http.StatusNoContent, nil, nil
}

func value(n *int64) int64 {
	if n == nil {
		return 0
	}
	return *n
}

// numbers writes a set of types as error messages do.
func numbers(list []int) string {
	text := ""
	for i, n := range list {
		if i > 0 {
			text += ", "
		}
		text += strconv.Itoa(n)
	}
	return text
}
