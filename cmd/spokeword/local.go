package main

import (
	"context"
	"fmt"
	"log/slog"
	"time"

	"spokeword/bot"
	"spokeword/bot/discord"
	"spokeword/bot/discordfake"
	"spokeword/bot/slack"
	"spokeword/bot/slackfake"
	"spokeword/bot/tryout"
	"spokeword/commands/talk"
	"spokeword/config"
)

// localAddress is where the page is, unless told otherwise.
const localAddress = "127.0.0.1:8080"

// callTime is how long a call to a stand-in may take.
const callTime = 10 * time.Second

// serveLocal runs the bot against stand-ins of the services, with a page to
// try it on. It needs no account, and keeps nothing.
func (p *program) serveLocal(ctx context.Context, settings config.Settings, address string) error {
	log := p.logger(settings.Log, "text")
	slackSide, err := slackfake.New(slackfake.Options{})
	if err != nil {
		return fault{err}
	}
	defer slackSide.Close() // nothing of it outlives the process
	discordSide, err := discordfake.New(discordfake.Options{})
	if err != nil {
		return fault{err}
	}
	defer discordSide.Close()
	options := bot.Options{Incident: func(err error) string { return incident(log, err) }, Metrics: bot.NewMetrics(), Log: slog.New(slog.DiscardHandler)}
	if options.Desk, err = p.deskWith(settings, talk.NewMemoryWithin(p.now, settings.Talk.Expiry, settings.Talk.Most), options.Incident); err != nil {
		return err
	}
	s := &service{handler: bot.NewHandler(options), metrics: options.Metrics, log: log, now: p.now, drain: settings.Serve.Drain}
	slackAdapter, err := slack.New(slack.Options{BotToken: slackSide.BotToken(), AppToken: slackSide.AppToken(), APIURL: slackSide.APIURL(),
		Command: settings.Slack.Command, Handler: s.handler, Log: log, Incident: options.Incident, Now: p.now})
	if err != nil {
		return fault{err}
	}
	discordAdapter, err := discord.New(discord.Options{Token: discordSide.Token(), ApplicationID: discordSide.ApplicationID(), Client: discordSide.Client(callTime),
		Handler: s.handler, Log: log, Incident: options.Incident, Now: p.now})
	if err != nil {
		return fault{err}
	}
	s.adapters = []bot.Adapter{slackAdapter, discordAdapter}
	page := tryout.New(slackSide, discordSide, settings.Slack.Command)
	if s.public, err = listen(ctx, address, page); err != nil {
		return fault{err}
	}
	showing, stop := context.WithCancel(ctx)
	defer stop()
	go func() {
		if err := page.Run(showing); err != nil {
			options.Incident(err)
		}
	}()
	s.started = func() {
		fmt.Fprintf(p.out, "Try the bot at http://%s/ in a browser. Ctrl-C ends it.\n", s.public.Addr())
	}
	if err := s.run(ctx); err != nil {
		return fault{err}
	}
	return nil
}
