package discordfake

import (
	"encoding/json"
	"maps"
)

// Types of interactions.
// https://discord.com/developers/docs/interactions/receiving-and-responding#interaction-object-interaction-type
const (
	InteractionPing         = 1
	InteractionCommand      = 2
	InteractionComponent    = 3
	InteractionAutocomplete = 4
	InteractionModalSubmit  = 5
)

// Interaction is what the service tells a bot that a person did.
// https://discord.com/developers/docs/interactions/receiving-and-responding#interaction-object
type Interaction struct {
	ID            string         `json:"id"`
	ApplicationID string         `json:"application_id"`
	Type          int            `json:"type"`
	Data          map[string]any `json:"data,omitempty"`
	Guild         map[string]any `json:"guild,omitempty"`
	GuildID       string         `json:"guild_id,omitempty"`
	Channel       map[string]any `json:"channel,omitempty"`
	ChannelID     string         `json:"channel_id,omitempty"`
	Member        *Member        `json:"member,omitempty"` // in a guild
	User          *User          `json:"user,omitempty"`   // elsewhere
	Token         string         `json:"token"`
	Version       int            `json:"version"`
	Message       *Message       `json:"message,omitempty"` // the one with the button
	Permissions   string         `json:"app_permissions"`
	Locale        string         `json:"locale,omitempty"`
	GuildLocale   string         `json:"guild_locale,omitempty"`
	Entitlements  []any          `json:"entitlements"`
	// Owners says for whom the app is installed: "0" for the guild of that id,
	// "1" for the user.
	Owners    map[string]string `json:"authorizing_integration_owners"`
	Context   *int              `json:"context,omitempty"`
	FileLimit int64             `json:"attachment_size_limit"`
}

// Member is a person in a guild.
type Member struct {
	User        User     `json:"user"`
	Nick        *string  `json:"nick"`
	Roles       []string `json:"roles"`
	Permissions string   `json:"permissions"`
	JoinedAt    string   `json:"joined_at"`
	Deaf        bool     `json:"deaf"`
	Mute        bool     `json:"mute"`
}

// User is a person.
type User struct {
	ID         string  `json:"id"`
	Username   string  `json:"username"`
	GlobalName *string `json:"global_name"`
	Avatar     *string `json:"avatar"`
}

// Origin is who did something, and where.
type Origin struct {
	User, Name  string
	Guild       string // empty in direct messages
	Channel     string
	Locale      string // the person's
	GuildLocale string
	// Context is 0 in a guild, 1 in direct messages with the bot, 2 in others.
	Context int
	// ByUser: the app is installed for the person, and not in the guild.
	ByUser bool
}

// InGuild is a person in a guild that has the app.
func InGuild(user string) Origin {
	return Origin{User: user, Name: "member" + user, Guild: "500", Channel: "700", Locale: "en-GB", GuildLocale: "en-US"}
}

// InDM is a person in direct messages with the bot.
func InDM(user string) Origin {
	return Origin{User: user, Name: "member" + user, Channel: "701", Locale: "en-GB", Context: 1}
}

// ByUser is a person who brought the app along, to a guild that does not have it.
func ByUser(user string) Origin {
	o := InGuild(user)
	o.ByUser = true
	return o
}

// In is the same with another language of the person.
func (o Origin) In(locale string) Origin {
	o.Locale = locale
	return o
}

// interaction fills in what all types have.
func (o Origin) interaction(kind int, data map[string]any) Interaction {
	where := o.Context
	u := User{ID: o.User, Username: o.Name}
	in := Interaction{
		Type: kind, Data: data, GuildID: o.Guild, ChannelID: o.Channel, Version: 1,
		Channel:     map[string]any{"id": o.Channel, "type": where}, // 0 text, 1 DM; as it happens
		Permissions: "562949953601536", Locale: o.Locale, GuildLocale: o.GuildLocale, Entitlements: []any{},
		Owners: make(map[string]string), Context: &where, FileLimit: maxFile,
	}
	if o.Guild == "" {
		in.User = &u
	} else {
		in.Guild = map[string]any{"id": o.Guild, "locale": o.GuildLocale, "features": []any{}}
		in.Member = &Member{User: u, Roles: []string{}, Permissions: "2248473465835073", JoinedAt: "2026-01-02T03:04:05.000000+00:00"}
	}
	switch {
	case o.ByUser:
		in.Owners["1"] = o.User
	case o.Guild == "":
		in.Owners["0"] = "0" // in direct messages with the bot
	default:
		in.Owners["0"] = o.Guild
	}
	return in
}

// Option is an option as a person filled it.
// https://discord.com/developers/docs/interactions/receiving-and-responding#interaction-object-application-command-interaction-data-option-structure
type Option struct {
	Name    string   `json:"name"`
	Type    int      `json:"type"`
	Value   any      `json:"value,omitempty"`
	Options []Option `json:"options,omitempty"`
	Focused bool     `json:"focused,omitempty"` // of an autocomplete: being typed
}

// TextOption is a filled string option.
func TextOption(name, value string) Option {
	return Option{Name: name, Type: OptionString, Value: value}
}

// IntegerOption is a filled integer option.
func IntegerOption(name string, value int64) Option {
	return Option{Name: name, Type: OptionInteger, Value: value}
}

// NumberOption is a filled number option.
func NumberOption(name string, value float64) Option {
	return Option{Name: name, Type: OptionNumber, Value: value}
}

// BooleanOption is a filled boolean option.
func BooleanOption(name string, value bool) Option {
	return Option{Name: name, Type: OptionBoolean, Value: value}
}

// SubCommand is a chosen sub-command with its options.
func SubCommand(name string, options ...Option) Option {
	return Option{Name: name, Type: OptionSubCommand, Options: options}
}

// Focus is the option that a person is typing into.
func Focus(o Option) Option {
	o.Focused = true
	return o
}

// Slash is a command a person sent.
func Slash(o Origin, name string, options ...Option) Interaction {
	return o.interaction(InteractionCommand, commandData(o, name, options))
}

// Typing asks for choices while a person fills in a command. One option is
// focused (see Focus), the others are filled.
func Typing(o Origin, name string, options ...Option) Interaction {
	return o.interaction(InteractionAutocomplete, commandData(o, name, options))
}

func commandData(o Origin, name string, options []Option) map[string]any {
	d := map[string]any{"id": "1", "name": name, "type": 1}
	if o.Guild != "" && !o.ByUser {
		d["guild_id"] = o.Guild
	}
	if len(options) > 0 {
		d["options"] = options
	}
	return d
}

// Press is a button of a message, pressed.
func Press(o Origin, m Message, customID string) Interaction {
	in := o.interaction(InteractionComponent, map[string]any{"id": 2, "custom_id": customID, "component_type": TypeButton})
	in.Message = &m
	return in
}

// Choose is a select of a message, used.
func Choose(o Origin, m Message, customID string, values ...string) Interaction {
	in := o.interaction(InteractionComponent, map[string]any{"id": 2, "custom_id": customID, "component_type": TypeSelect, "values": orEmpty(values)})
	in.Message = &m
	return in
}

// Field is a filled text input of a form.
type Field struct{ CustomID, Value string }

// Submit is a form sent, of text inputs in rows. The message is the one whose
// button opened the form; nil if a command did.
func Submit(o Origin, m *Message, customID string, fields ...Field) Interaction {
	rows := make([]any, len(fields))
	for i, f := range fields {
		rows[i] = map[string]any{"type": TypeRow, "id": 2*i + 1, "components": []any{
			map[string]any{"type": TypeTextInput, "id": 2*i + 2, "custom_id": f.CustomID, "value": f.Value}}}
	}
	in := o.interaction(InteractionModalSubmit, map[string]any{"custom_id": customID, "components": rows})
	in.Message = m
	return in
}

// SubmitLabelled is a form sent whose inputs stand in labels, a type of component
// that came later than rows.
// https://discord.com/developers/docs/components/reference#label
func SubmitLabelled(o Origin, m *Message, customID string, fields ...Field) Interaction {
	in := Submit(o, m, customID, fields...)
	labels := make([]any, len(fields))
	for i, f := range fields {
		labels[i] = map[string]any{"type": TypeLabel, "id": 2*i + 1,
			"component": map[string]any{"type": TypeTextInput, "id": 2*i + 2, "custom_id": f.CustomID, "value": f.Value}}
	}
	in.Data["components"] = labels
	return in
}

// UnknownType is an interaction of a type that is not known today.
func UnknownType(o Origin) Interaction { return o.interaction(99, map[string]any{"id": "1"}) }

// Ping is the service asking whether an interactions URL is there.
func Ping() Interaction {
	return Interaction{Type: InteractionPing, Version: 1, Entitlements: []any{}, Owners: map[string]string{}}
}

// Complete returns an interaction with an id, a token and the application's id
// where it has none. What sends interactions does so itself; it is for who wants
// to know the id beforehand.
func (s *Server) Complete(in Interaction) Interaction {
	s.mu.Lock()
	defer s.mu.Unlock()
	return s.complete(in)
}

// Open registers an interaction as sent at this moment, without sending it. The
// bot may answer it by REST.
func (s *Server) Open(in Interaction) Interaction { return s.open(in).in }

// complete is Complete. mu is held.
func (s *Server) complete(in Interaction) Interaction {
	set(&in.ApplicationID, s.opt.ApplicationID)
	set(&in.ID, s.id())
	set(&in.Token, secret(in.ID))
	set(&in.FileLimit, s.opt.FileSize)
	in.Data = maps.Clone(in.Data)
	return in
}

// userOnly tells that the app is installed for a user, and not in the guild.
func (in Interaction) userOnly() bool {
	_, guild := in.Owners["0"]
	return in.GuildID != "" && !guild
}

// focused is the type of the option that is being typed; text if none is.
func (in Interaction) focused() int {
	options, _ := in.Data["options"].([]Option)
	for len(options) > 0 {
		var next []Option
		for _, o := range options {
			if o.Focused {
				return o.Type
			}
			next = append(next, o.Options...)
		}
		options = next
	}
	return OptionString
}

// Decode reads an interaction from JSON, as from a sample.
func Decode(sample []byte) (Interaction, error) {
	var in Interaction
	if err := json.Unmarshal(sample, &in); err != nil {
		return Interaction{}, err
	}
	if raw, ok := in.Data["options"]; ok {
		b, err := json.Marshal(raw)
		if err != nil {
			return Interaction{}, err
		}
		var options []Option
		if err := json.Unmarshal(b, &options); err != nil {
			return Interaction{}, err
		}
		in.Data["options"] = options
	}
	return in, nil
}
