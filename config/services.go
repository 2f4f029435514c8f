package config

import (
	"encoding/hex"
	"fmt"
	"net"
	"net/url"
	"path/filepath"
	"regexp"
	"strconv"
	"strings"
	"time"
	"unicode"
)

// Slack is how the bot is reached there, and how it proves who it is.
type Slack struct {
	BotToken      Secret `mapstructure:"bot_token" wants:"a token that begins with xoxb-" help:"the bot's token"`
	AppToken      Secret `mapstructure:"app_token" wants:"a token that begins with xapp-" help:"the app's token, for transport socket"`
	SigningSecret Secret `mapstructure:"signing_secret" wants:"the app's signing secret" help:"what requests are signed with, for transport http"`
	Transport     string `mapstructure:"transport" default:"socket" wants:"socket or http" help:"socket: the bot calls Slack; http: Slack calls the bot at http.listen"`
	Command       string `mapstructure:"command" default:"/spokeword" wants:"/ and 1 to 31 lower-case letters, digits, - or _" help:"the slash command"`
	API           string `mapstructure:"api" default:"https://slack.com/api/" wants:"an https address that ends with /, or http on this machine" help:"where Slack's methods are; another address is for tries"`
}

// On reports whether the bot is to be reached there.
func (s Slack) On() bool { return s.BotToken.Set() }

// Discord is how the bot is reached there, and how it proves who it is.
type Discord struct {
	Token         Secret `mapstructure:"token" wants:"a bot token: three parts with dots between" help:"the bot's token"`
	ApplicationID string `mapstructure:"application_id" wants:"a number of 17 to 20 digits, in quotes" help:"the application's id; Discord tells it if left out"`
	PublicKey     string `mapstructure:"public_key" wants:"64 hexadecimal digits" help:"the application's public key, for transport http"`
	Guild         string `mapstructure:"guild" wants:"a number of 17 to 20 digits, in quotes" help:"the one server that gets the commands; empty: all"`
	Transport     string `mapstructure:"transport" default:"gateway" wants:"gateway or http" help:"gateway: the bot calls Discord; http: Discord calls the bot at http.listen"`
	API           string `mapstructure:"api" default:"https://discord.com/" wants:"an https address that ends with /, or http on this machine" help:"where Discord's methods are; another address is for tries"`
}

// On reports whether the bot is to be reached there.
func (d Discord) On() bool { return d.Token.Set() }

// Transports.
const (
	Socket  = "socket"
	Gateway = "gateway"
	ByHTTP  = "http"
)

// HTTP is the listener that a service sends to.
type HTTP struct {
	Listen string `mapstructure:"listen" default:"127.0.0.1:8080" wants:"an address as 127.0.0.1:8080" help:"where to listen; what ends the encryption stands before it"`
}

// Metrics is the listener for operators.
type Metrics struct {
	Listen string `mapstructure:"listen" default:"127.0.0.1:9090" wants:"an address as 127.0.0.1:9090, or off" help:"where to listen; off: nowhere"`
}

// On reports whether there is a listener for operators.
func (m Metrics) On() bool { return m.Listen != "off" }

// Store is where that is kept which outlives a restart.
type Store struct {
	Path string `mapstructure:"path" default:"auto" wants:"auto, memory, or the path of a file from the root" help:"auto: the service's state directory, else the person's data directory; memory: nothing is kept"`
}

// Values of Store.Path that name no file.
const (
	StoreAuto   = "auto"
	StoreMemory = "memory"
)

// Limits are messages a minute, of which a quarter may come at once.
type Limits struct {
	Person    int `mapstructure:"person" default:"60" wants:"0 to 6000" help:"messages a minute of one person; 0: any number"`
	Workspace int `mapstructure:"workspace" default:"1200" wants:"0 to 600000" help:"messages a minute of one workspace; 0: any number"`
}

// Serve is how the service ends.
type Serve struct {
	Drain time.Duration `mapstructure:"drain" default:"10s" wants:"1s to 1m" help:"how long it may take at the end to answer what was asked"`
}

// snowflake is the shape of an id at Discord: a number of 64 bits that counts
// milliseconds since 2015 in its upper part.
// https://discord.com/developers/docs/reference#snowflakes
var snowflake = regexp.MustCompile(`^\d{17,20}$`)

// slash is the shape of a slash command. Slack allows 32 characters.
// https://docs.slack.dev/reference/app-manifest
var slash = regexp.MustCompile(`^/[a-z0-9_-]{1,31}$`)

// services checks the settings of the services. No secret is shown: what is
// wrong with one is told by its beginning, if that says which other one it is.
func (s Settings) services() []error {
	var wrong []error
	check := func(ok bool, key, found string) {
		if !ok {
			wrong = append(wrong, unwanted(key, found))
		}
	}
	missing := func(ok bool, key, why string) {
		if !ok {
			wrong = append(wrong, fmt.Errorf("setting %s: found none: want it, as %s", key, why))
		}
	}
	secret := func(t Secret, key string, ok func(string) bool) {
		if t.Set() {
			check(ok(t.Reveal()), key, kind(t.Reveal()))
		}
	}

	secret(s.Slack.BotToken, "slack.bot_token", func(t string) bool { return token(t, "xoxb-") })
	secret(s.Slack.AppToken, "slack.app_token", func(t string) bool { return token(t, "xapp-") })
	secret(s.Slack.SigningSecret, "slack.signing_secret", func(t string) bool { return len(t) >= 16 && oneWord(t) && kind(t) == other })
	check(s.Slack.Transport == Socket || s.Slack.Transport == ByHTTP, "slack.transport", strconv.Quote(s.Slack.Transport))
	check(slash.MatchString(s.Slack.Command), "slack.command", strconv.Quote(s.Slack.Command))
	check(safeAPI(s.Slack.API), "slack.api", addressShown(s.Slack.API))
	switch {
	case !s.Slack.On():
		missing(!s.Slack.AppToken.Set(), "slack.bot_token", "slack.app_token is set")
		missing(s.Slack.AppToken.Set() || !s.Slack.SigningSecret.Set(), "slack.bot_token", "slack.signing_secret is set")
	case s.Slack.Transport == Socket:
		missing(s.Slack.AppToken.Set(), "slack.app_token", "slack.transport is socket")
	case s.Slack.Transport == ByHTTP:
		missing(s.Slack.SigningSecret.Set(), "slack.signing_secret", "slack.transport is http")
	}

	secret(s.Discord.Token, "discord.token", func(t string) bool { return strings.Count(t, ".") == 2 && oneWord(t) && kind(t) == other })
	check(s.Discord.ApplicationID == "" || snowflake.MatchString(s.Discord.ApplicationID), "discord.application_id", strconv.Quote(s.Discord.ApplicationID))
	check(s.Discord.Guild == "" || snowflake.MatchString(s.Discord.Guild), "discord.guild", strconv.Quote(s.Discord.Guild))
	key, err := hex.DecodeString(s.Discord.PublicKey)
	check(s.Discord.PublicKey == "" || err == nil && len(key) == 32, "discord.public_key", fmt.Sprintf("%d characters", len(s.Discord.PublicKey)))
	check(s.Discord.Transport == Gateway || s.Discord.Transport == ByHTTP, "discord.transport", strconv.Quote(s.Discord.Transport))
	check(safeAPI(s.Discord.API), "discord.api", addressShown(s.Discord.API))
	switch {
	case !s.Discord.On():
		missing(s.Discord.PublicKey == "", "discord.token", "discord.public_key is set")
	case s.Discord.Transport == ByHTTP:
		missing(s.Discord.PublicKey != "", "discord.public_key", "discord.transport is http")
	}

	check(listenable(s.HTTP.Listen), "http.listen", strconv.Quote(s.HTTP.Listen))
	check(!s.Metrics.On() || listenable(s.Metrics.Listen), "metrics.listen", strconv.Quote(s.Metrics.Listen))
	path := s.Store.Path
	check(path == StoreAuto || path == StoreMemory || filepath.IsAbs(path) && !strings.HasSuffix(path, string(filepath.Separator)), "store.path", strconv.Quote(path))
	return wrong
}

// token reports whether a token has a beginning and more, in one word.
func token(t, beginning string) bool {
	return strings.HasPrefix(t, beginning) && len(t) > len(beginning) && oneWord(t)
}

func oneWord(t string) bool {
	return strings.IndexFunc(t, func(r rune) bool { return unicode.IsSpace(r) || unicode.IsControl(r) }) < 0
}

// other is a text of which nothing more can be said without showing it.
const other = "something else (not shown)"

// kind says what a secret looks like. Only what it begins with, which many
// have in common, is looked at.
func kind(t string) string {
	if !oneWord(t) {
		return "blanks in it (not shown)"
	}
	for _, k := range []struct{ beginning, what string }{
		{"xoxb-", "a bot token of Slack"},
		{"xapp-", "an app token of Slack"},
		{"xoxp-", "a person's token of Slack"},
		{"xoxe", "a rotated token of Slack"},
		{"xox", "another token of Slack"},
	} {
		if strings.HasPrefix(t, k.beginning) {
			return k.what + " (not shown)"
		}
	}
	return other
}

// safeAPI reports whether tokens may be sent to an address: encrypted, or not
// leaving this machine.
func safeAPI(address string) bool {
	u, err := url.Parse(address)
	if err != nil || u.Host == "" || u.User != nil || u.RawQuery != "" || u.Fragment != "" || !strings.HasSuffix(u.Path, "/") {
		return false
	}
	ip := net.ParseIP(u.Hostname())
	return u.Scheme == "https" || u.Scheme == "http" && (u.Hostname() == "localhost" || ip != nil && ip.IsLoopback())
}

// addressShown returns an address for an error, unless it may hold a password.
func addressShown(address string) string {
	if strings.Contains(address, "@") {
		return "an address with a name in it (not shown)"
	}
	return strconv.Quote(address)
}

// listenable reports whether a text is an address to listen at: a host, or
// none for all, and a port. Port 0 takes any that is free.
func listenable(address string) bool {
	_, port, err := net.SplitHostPort(address)
	if err != nil {
		return false
	}
	n, err := strconv.Atoi(port)
	return err == nil && n >= 0 && n <= 65535
}
