package slack

import (
	"cmp"
	"fmt"
	"strings"

	"go.yaml.in/yaml/v3"

	"spokeword/commands/spec"
)

// ManifestOptions are what a manifest depends on besides the declarations.
type ManifestOptions struct {
	Command   string // the slash command, DefaultCommand if empty
	Transport Transport
	// Address is where the service reaches the bot, only for HTTP.
	Address string
}

// Limits of a manifest. https://docs.slack.dev/reference/app-manifest
const (
	mostName        = 35
	mostDescription = 140
	mostLong        = 4000
	mostUsage       = 1000
)

// Scopes are what the bot may do, and no more than it does.
// https://docs.slack.dev/reference/scopes
var Scopes = []string{"app_mentions:read", "chat:write", "commands", "im:history"}

// events are what the bot hears of. https://docs.slack.dev/reference/events
var events = []string{"app_home_opened", "app_mention", "app_uninstalled", "message.im", "tokens_revoked"}

type manifest struct {
	Display  display  `yaml:"display_information"`
	Features features `yaml:"features"`
	OAuth    oauth    `yaml:"oauth_config"`
	Settings settings `yaml:"settings"`
}

type display struct {
	Name        string `yaml:"name"`
	Description string `yaml:"description"`
	Long        string `yaml:"long_description"`
	Colour      string `yaml:"background_color"`
}

type features struct {
	Home struct {
		Home     bool `yaml:"home_tab_enabled"`
		Messages bool `yaml:"messages_tab_enabled"`
		ReadOnly bool `yaml:"messages_tab_read_only_enabled"`
	} `yaml:"app_home"`
	Bot struct {
		Name   string `yaml:"display_name"`
		Online bool   `yaml:"always_online"`
	} `yaml:"bot_user"`
	Commands []slash `yaml:"slash_commands"`
}

type slash struct {
	Command     string `yaml:"command"`
	URL         string `yaml:"url,omitempty"`
	Description string `yaml:"description"`
	Usage       string `yaml:"usage_hint"`
	Escape      bool   `yaml:"should_escape"`
}

type oauth struct {
	Scopes struct {
		Bot []string `yaml:"bot"`
	} `yaml:"scopes"`
}

type settings struct {
	Events struct {
		URL string   `yaml:"request_url,omitempty"`
		Bot []string `yaml:"bot_events"`
	} `yaml:"event_subscriptions"`
	Interactivity struct {
		Enabled bool   `yaml:"is_enabled"`
		URL     string `yaml:"request_url,omitempty"`
	} `yaml:"interactivity"`
	Socket   bool `yaml:"socket_mode_enabled"`
	Org      bool `yaml:"org_deploy_enabled"`
	Rotation bool `yaml:"token_rotation_enabled"`
}

// Manifest describes the app to the service, as YAML, from the declarations.
func Manifest(set *spec.Commands, o ManifestOptions) ([]byte, error) {
	o.Command = cmp.Or(o.Command, DefaultCommand)
	if o.Transport == HTTP && !strings.HasPrefix(o.Address, "https://") {
		return nil, fmt.Errorf("manifest: address %q: want one that begins with https:// where the service reaches the bot", o.Address)
	}
	if o.Transport != HTTP {
		o.Address = ""
	}
	var names, hints []string
	var long strings.Builder
	long.WriteString("Answers what riders and mechanics ask about tyres, rims and wheels, with the working shown:\n")
	for _, c := range set.All {
		names = append(names, c.Name)
		fmt.Fprintf(&long, "\n• %s: %s.", c.Name, c.Summary)
		if len(c.Options) > 0 {
			hints = append(hints, c.Example(0))
		}
	}
	long.WriteString("\n\nFigures are starting points. Marks on the parts, the maker's papers, local rules and a qualified mechanic come first.")
	var m manifest
	m.Display = display{Name: clipped("Spokeword", mostName), Colour: "#2b3a42",
		Description: clipped("Tyres, rims, wheels: "+strings.Join(names, ", "), mostDescription), Long: clipped(long.String(), mostLong)}
	m.Features.Home.Home, m.Features.Home.Messages = true, true
	m.Features.Bot.Name, m.Features.Bot.Online = "spokeword", true
	m.Features.Commands = []slash{{Command: o.Command, URL: o.Address, Description: "Ask about tyres, rims and wheels", Usage: clipped(strings.Join(hints, " · "), mostUsage/4)}}
	m.OAuth.Scopes.Bot = Scopes
	m.Settings.Events.Bot, m.Settings.Events.URL = events, o.Address
	m.Settings.Interactivity.Enabled, m.Settings.Interactivity.URL = true, o.Address
	m.Settings.Socket = o.Transport != HTTP
	return yaml.Marshal(m)
}
