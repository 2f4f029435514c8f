// Package config holds the settings: from a file, from the environment
// (SPOKEWORD_…) and from the command line, each outweighing the one before.
//
// What can't be read never becomes a default: a misspelt key, a duration
// without its unit, a number out of range are errors that say what was found
// and what was wanted. No error shows a secret.
package config

import (
	"errors"
	"fmt"
	"slices"
	"strconv"
	"strings"
	"time"
)

// Settings are all settings. The tags are the one place that names and
// explains them: the environment, the example file and the README's table are
// made from them.
type Settings struct {
	Console Console `mapstructure:"console" help:"the chat at a terminal"`
	Log     Log     `mapstructure:"log" help:"what is logged, on standard error"`
	Talk    Talk    `mapstructure:"talk" help:"how long a conversation is remembered"`
	Units   Units   `mapstructure:"units" help:"units shown first"`
	Slack   Slack   `mapstructure:"slack" help:"Slack; on if slack.bot_token is set"`
	Discord Discord `mapstructure:"discord" help:"Discord; on if discord.token is set"`
	HTTP    HTTP    `mapstructure:"http" help:"where the services send what people ask, if a transport is http: Slack to /slack, Discord to /discord"`
	Metrics Metrics `mapstructure:"metrics" help:"where operators look: /metrics, /healthz and /readyz"`
	Store   Store   `mapstructure:"store" help:"what outlives a restart of serve"`
	Limits  Limits  `mapstructure:"limits" help:"how much one may ask, so that nobody keeps the others waiting"`
	Serve   Serve   `mapstructure:"serve" help:"the bot as a service"`
}

// Console is how answers look at a terminal.
type Console struct {
	Width  int    `mapstructure:"width" default:"0" wants:"0, or 40 to 200" help:"columns of an answer; 0 follows the terminal"`
	Colour string `mapstructure:"colour" default:"auto" wants:"auto, always or never" help:"colour in answers; auto uses it on a terminal unless NO_COLOR is set"`
}

// Log is what is logged.
type Log struct {
	Level  string `mapstructure:"level" default:"info" wants:"debug, info, warn or error" help:"the least level that is logged"`
	Format string `mapstructure:"format" default:"auto" wants:"auto, text or json" help:"how a log line is written; auto is json for serve, else text"`
}

// Talk is what is remembered of a conversation.
type Talk struct {
	Expiry time.Duration `mapstructure:"expiry" default:"30m" wants:"1m to 24h" help:"how long after an answer a follow-up still goes on from it"`
	Most   int           `mapstructure:"most" default:"10000" wants:"1 to 1000000" help:"how many conversations are remembered; the oldest go first"`
}

// Units are the units that answers show first.
type Units struct {
	Pressure string `mapstructure:"pressure" default:"typed" wants:"typed, psi or bar" help:"unit of pressures shown first; typed takes the asker's, else psi"`
}

// Bounds of settings.
const (
	leastWidth, mostWidth   = 40, 200
	leastExpiry, mostExpiry = time.Minute, 24 * time.Hour
	leastTalks, mostTalks   = 1, 1000000
	mostPerPerson           = 6000
	mostPerWorkspace        = 600000
	leastDrain, mostDrain   = time.Second, time.Minute
)

// Validate checks that every value is one that is wanted.
func (s Settings) Validate() error {
	var wrong []error
	check := func(ok bool, key, found string) {
		if !ok {
			wrong = append(wrong, unwanted(key, strconv.Quote(found)))
		}
	}
	check(s.Console.Width == 0 || s.Console.Width >= leastWidth && s.Console.Width <= mostWidth, "console.width", strconv.Itoa(s.Console.Width))
	check(slices.Contains([]string{"auto", "always", "never"}, s.Console.Colour), "console.colour", s.Console.Colour)
	check(slices.Contains([]string{"debug", "info", "warn", "error"}, s.Log.Level), "log.level", s.Log.Level)
	check(slices.Contains([]string{"auto", "text", "json"}, s.Log.Format), "log.format", s.Log.Format)
	check(s.Talk.Expiry >= leastExpiry && s.Talk.Expiry <= mostExpiry, "talk.expiry", s.Talk.Expiry.String())
	check(s.Talk.Most >= leastTalks && s.Talk.Most <= mostTalks, "talk.most", strconv.Itoa(s.Talk.Most))
	check(s.Units.Pressure == "typed" || s.Units.Pressure == "psi" || s.Units.Pressure == "bar", "units.pressure", s.Units.Pressure)
	check(s.Limits.Person >= 0 && s.Limits.Person <= mostPerPerson, "limits.person", strconv.Itoa(s.Limits.Person))
	check(s.Limits.Workspace >= 0 && s.Limits.Workspace <= mostPerWorkspace, "limits.workspace", strconv.Itoa(s.Limits.Workspace))
	check(s.Serve.Drain >= leastDrain && s.Serve.Drain <= mostDrain, "serve.drain", s.Serve.Drain.String())
	return errors.Join(append(wrong, s.services()...)...)
}

// unwanted says what was found for a setting, and from its tag what was wanted.
func unwanted(key, found string) error {
	for _, l := range leaves(Settings{}) {
		if l.Key == key {
			return fmt.Errorf("setting %s: found %s: want %s", key, found, l.Wants)
		}
	}
	return fmt.Errorf("setting %s: found %s", key, found)
}

// FileEnv names the settings file in the environment. It is the one variable
// of ours that is no setting.
const FileEnv = prefix + "CONFIG"

// Source is where settings come from.
type Source struct {
	File    string            // path of a YAML file; empty: none
	Environ []string          // the environment, as NAME=value; the last of a name counts
	Flags   map[string]string // by key, those set on the command line
}

// Load returns the settings, checked.
func Load(from Source) (Settings, error) {
	var s Settings
	if err := load(from, &s); err != nil {
		return Settings{}, err
	}
	return s, s.Validate()
}

// Setting describes one setting, for people.
type Setting struct {
	Key     string // in the file, with a dot between section and name
	Env     string // in the environment
	Default string
	Wants   string
	Help    string
}

// All returns every setting, in the order of the sections.
func All() []Setting {
	var all []Setting
	for _, l := range leaves(Settings{}) {
		all = append(all, l.Setting)
	}
	return all
}

// Example returns an example file: every setting with its default and what it
// means.
func Example() string {
	var b strings.Builder
	b.WriteString("# Settings of Spokeword, each with its default. Leave out what you do not change.\n" +
		"# A variable of the environment outweighs this file, the command line outweighs both.\n")
	section := ""
	for _, l := range leaves(Settings{}) {
		in, name, _ := strings.Cut(l.Key, ".")
		if in != section {
			section = in
			fmt.Fprintf(&b, "\n# %s\n%s:\n", l.section, in)
		}
		fmt.Fprintf(&b, "  # %s (%s; %s)\n", l.Help, l.Wants, l.Env)
		switch {
		case l.kind == secretType:
			fmt.Fprintf(&b, "  # %s%s: path of a file with it, as secrets are better kept out of here\n", name, fileSuffix)
		case l.Default == "":
			fmt.Fprintf(&b, "  # %s:\n", name)
		default:
			fmt.Fprintf(&b, "  %s: %s\n", name, l.Default)
		}
	}
	return b.String()
}
