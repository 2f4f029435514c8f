package main

import (
	"log/slog"
	"net/http"
	"time"

	"spokeword/bot"
	"spokeword/bot/discord"
	"spokeword/bot/slack"
	"spokeword/config"
)

// Where services send to at our listener.
const (
	slackPath   = "/slack"
	discordPath = "/discord"
)

// wired is what adapters are made with.
type wired struct {
	settings config.Settings
	handler  *bot.Handler
	store    discord.Registered // nil: nothing is kept
	log      *slog.Logger
	now      func() time.Time
}

// connect makes the adapters of the services that are on. Those that are sent
// to get their place at our listener.
func (w wired) connect(mux *http.ServeMux) ([]bot.Adapter, error) {
	var all []bot.Adapter
	if s := w.settings.Slack; s.On() {
		a, err := slack.New(slack.Options{
			BotToken: s.BotToken.Reveal(), AppToken: s.AppToken.Reveal(), SigningSecret: s.SigningSecret.Reveal(),
			Transport: slack.Transport(s.Transport), Command: s.Command, APIURL: elsewhere(s.API, "slack.api"),
			Handler: w.handler, Log: w.log, Incident: w.handler.Incident, Now: w.now,
		})
		if err != nil {
			return nil, err
		}
		if s.Transport == config.ByHTTP {
			mux.Handle(slackPath, a)
		}
		all = append(all, a)
	}
	if w.settings.Discord.On() {
		a, err := w.discord()
		if err != nil {
			return nil, err
		}
		if w.settings.Discord.Transport == config.ByHTTP {
			mux.Handle(discordPath, a)
		}
		all = append(all, a)
	}
	return all, nil
}

// discord makes the adapter of Discord, which registers commands too.
func (w wired) discord() (*discord.Adapter, error) {
	d := w.settings.Discord
	o := discord.Options{
		Token: d.Token.Reveal(), PublicKey: d.PublicKey, ApplicationID: d.ApplicationID, Guild: d.Guild,
		Transport: discord.Transport(d.Transport), APIURL: elsewhere(d.API, "discord.api"),
		Handler: w.handler, Log: w.log, Incident: w.handler.Incident, Now: w.now,
	}
	if w.store != nil {
		o.Registered = w.store
	}
	return discord.New(o)
}

// elsewhere returns the address of a service, empty if it is the service's own:
// only then does its adapter trust all the hosts that the service has.
func elsewhere(address, key string) string {
	for _, s := range config.All() {
		if s.Key == key && s.Default == address {
			return ""
		}
	}
	return address
}
