package discordfake

import (
	"encoding/json"
	"net/http"
	"slices"
	"strconv"
)

// Command is a registered command.
// https://discord.com/developers/docs/interactions/application-commands#application-command-object
type Command struct {
	ID               string            `json:"id"`
	ApplicationID    string            `json:"application_id"`
	GuildID          string            `json:"guild_id,omitempty"`
	Version          string            `json:"version"`
	Type             int               `json:"type"`
	Name             string            `json:"name"`
	Names            map[string]string `json:"name_localizations"`
	Description      string            `json:"description"`
	Descriptions     map[string]string `json:"description_localizations"`
	Options          []CommandOption   `json:"options,omitempty"`
	Permissions      *string           `json:"default_member_permissions"`
	NSFW             bool              `json:"nsfw"`
	IntegrationTypes []int             `json:"integration_types,omitempty"`
	Contexts         []int             `json:"contexts"`
}

// Types of options.
// https://discord.com/developers/docs/interactions/application-commands#application-command-object-application-command-option-type
const (
	OptionSubCommand = 1
	OptionGroup      = 2
	OptionString     = 3
	OptionInteger    = 4
	OptionBoolean    = 5
	OptionUser       = 6
	OptionChannel    = 7
	OptionNumber     = 10
	OptionAttachment = 11
)

// CommandOption is an option of a command.
// https://discord.com/developers/docs/interactions/application-commands#application-command-object-application-command-option-structure
type CommandOption struct {
	Type         int               `json:"type"`
	Name         string            `json:"name"`
	Names        map[string]string `json:"name_localizations,omitempty"`
	Description  string            `json:"description"`
	Descriptions map[string]string `json:"description_localizations,omitempty"`
	Required     bool              `json:"required,omitempty"`
	Choices      []Choice          `json:"choices,omitempty"`
	Options      []CommandOption   `json:"options,omitempty"`
	ChannelTypes []int             `json:"channel_types,omitempty"`
	MinValue     *json.Number      `json:"min_value,omitempty"`
	MaxValue     *json.Number      `json:"max_value,omitempty"`
	MinLength    *int              `json:"min_length,omitempty"`
	MaxLength    *int              `json:"max_length,omitempty"`
	Autocomplete bool              `json:"autocomplete,omitempty"`
}

// Commands returns the global commands as they were registered last.
func (s *Server) Commands() []Command { return s.GuildCommands("") }

// GuildCommands returns those of one guild.
func (s *Server) GuildCommands(guild string) []Command {
	s.mu.Lock()
	defer s.mu.Unlock()
	return slices.Clone(s.commands[guild])
}

// overwrite is PUT …/commands: the list takes the place of the one before.
// https://discord.com/developers/docs/interactions/application-commands#bulk-overwrite-global-application-commands
func (s *Server) overwrite(c *call, guild string) (int, any, *Refusal) {
	var list []Command
	if r := decode(c.json, &list); r != nil {
		return 0, nil, r
	}
	c.record.Kind, c.record.Commands = KindCommands, list
	var p problems
	if r := checkCommands(p.top(), list); r != nil {
		return 0, nil, r
	}
	if r := p.refusal(); r != nil {
		return 0, nil, r
	}
	s.mu.Lock()
	defer s.mu.Unlock()
	had := make(map[string]string)
	for _, old := range s.commands[guild] {
		had[old.key()] = old.ID
	}
	fresh := 0
	for _, n := range list {
		if had[n.key()] == "" {
			fresh++
		}
	}
	made := s.created[guild]
	if made == nil {
		made = &allowance{max: maxCreates}
		s.created[guild] = made
	}
	if left, _ := made.left(s.clock.Now()); fresh > left {
		return 0, nil, refuse(CodeTooManyCreates)
	}
	made.used += fresh
	for i := range list {
		n := &list[i]
		n.ApplicationID, n.GuildID, n.Version = s.opt.ApplicationID, guild, s.id()
		if n.ID = had[n.key()]; n.ID == "" {
			n.ID = s.id()
		}
		if n.Type == 0 {
			n.Type = 1
		}
		if n.IntegrationTypes == nil && guild == "" {
			n.IntegrationTypes = []int{0}
		}
	}
	s.commands[guild] = list
	other := ""
	if guild == "" {
		for g, commands := range s.commands {
			if g != "" && len(commands) > 0 {
				other = g
			}
		}
	} else if len(s.commands[""]) > 0 {
		other = "all guilds"
	}
	if other != "" && len(list) > 0 {
		s.wrong(RuleTwice, c.path, "commands are registered globally and for a guild ("+other+"): people see them twice")
	}
	return http.StatusOK, slices.Clone(list), nil
}

// key tells commands apart: a name may be used once for each type.
func (c *Command) key() string { return strconv.Itoa(max(c.Type, 1)) + " " + c.Name }
