package main

import (
	"context"
	"errors"
	"log/slog"
	"net/http"
	"time"

	"spokeword/bot"
	"spokeword/bot/slack"
	"spokeword/commands"
	"spokeword/config"
)

// Where services send to at our listener.
const (
	slackPath = "/slack"
)

// wired is what adapters are made with.
type wired struct {
	settings config.Settings
	handler  *bot.Handler
	store    registry // nil: nothing is kept
	log      *slog.Logger
	now      func() time.Time
}

// registry remembers what was registered with a service.
type registry interface {
	Registered(ctx context.Context, name string) (hash string, err error)
	SetRegistered(ctx context.Context, name, hash string) error
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
		return nil, errors.New("discord.token is set, and Discord is not served yet: want it left out")
	}
	return all, nil
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

// discordNames are the names of the commands to be registered there.
func discordNames(desk *commands.Desk) []string {
	names := []string{"ask"}
	for _, c := range desk.Commands().All {
		names = append(names, c.Name)
	}
	return names
}
