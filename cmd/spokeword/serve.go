package main

import (
	"context"
	"fmt"
	"net"
	"net/http"
	"runtime/debug"

	"github.com/spf13/cobra"

	"spokeword/bot"
	"spokeword/commands/talk"
	"spokeword/config"
)

// serve declares the command that serves chat services until it is told to
// end.
func (p *program) serve() *cobra.Command {
	var here bool
	var address string
	c := &cobra.Command{
		Use:   "serve",
		Short: "Answer on Slack and Discord, as the settings say",
		Args:  cobra.NoArgs,
		RunE: func(c *cobra.Command, _ []string) error {
			settings, err := p.settings(c)
			if err != nil {
				return err
			}
			if p.getenv("GOGC") == "" {
				debug.SetGCPercent(growth)
			}
			if here {
				return p.serveLocal(c.Context(), settings, address)
			}
			if !settings.Slack.On() && !settings.Discord.On() {
				return noService("serve")
			}
			return p.serving(c.Context(), settings)
		},
	}
	c.Flags().BoolVar(&here, "local", false, "run against stand-ins of the services, with a page to try the bot on; no account is needed")
	c.Flags().StringVar(&address, "listen", localAddress, "with --local: where the page is")
	return c
}

// growth is by how many percent of what is in use the heap of a running bot grows
// before garbage is collected. The usual 100 would hold some 15 MB more under load;
// 30 costs about a tenth of the answers a second. Measured; GOGC outranks it.
const growth = 30

// noService says what must be set before a command has something to do.
func noService(command string) error {
	return fmt.Errorf("%s: found no service: want slack.bot_token or discord.token (SPOKEWORD_SLACK_BOT_TOKEN, SPOKEWORD_DISCORD_TOKEN); the README tells where to find them, under Add it to Slack and Add it to Discord; without an account, try: spokeword serve --local", command)
}

// serving wires everything and runs it. What fails is our fault, but for the
// settings.
func (p *program) serving(ctx context.Context, settings config.Settings) error {
	log := p.logger(settings.Log, "json")
	store, err := p.openStore(ctx, settings, log)
	if err != nil {
		return err
	}
	metrics := bot.NewMetrics()
	options := bot.Options{
		Incident: func(err error) string { return incident(log, err) },
		Limits:   bot.NewLimits(p.now, settings.Limits.Person, settings.Limits.Workspace),
		Metrics:  metrics,
		Log:      log,
	}
	s := &service{metrics: metrics, log: log, now: p.now, drain: settings.Serve.Drain}
	w := wired{settings: settings, log: log, now: p.now}
	var talks talk.Store = talk.NewMemoryWithin(p.now, settings.Talk.Expiry, settings.Talk.Most)
	if store != nil {
		options.Seen, talks, s.store, w.store = store, store.Talks(), store, store
	} else {
		log.Warn("nothing is kept: after a restart an event that comes again is answered again", "setting", "store.path")
	}
	close := func(err error) error {
		if store != nil {
			store.Close() // the error before says more
		}
		return err
	}
	if options.Desk, err = p.deskWith(settings, talks, options.Incident); err != nil {
		return close(err)
	}
	s.handler = bot.NewHandler(options)
	w.handler = s.handler
	mux := http.NewServeMux()
	if s.adapters, err = w.connect(mux); err != nil {
		return close(fault{err})
	}
	info, _ := debug.ReadBuildInfo()
	if called(settings) {
		if s.public, err = listen(ctx, settings.HTTP.Listen, mux); err != nil {
			return close(fault{err})
		}
		log.Info("services send to us", "listen", s.public.Addr().String())
	}
	if settings.Metrics.On() {
		if s.operators, err = listen(ctx, settings.Metrics.Listen, s.pages(versionOf(release, info))); err != nil {
			return close(fault{err})
		}
		log.Info("operators look at us", "listen", s.operators.Addr().String())
	}
	if err := s.run(ctx); err != nil {
		return fault{err}
	}
	return nil
}

// listen takes an address.
func listen(ctx context.Context, address string, h http.Handler) (*listening, error) {
	l, err := new(net.ListenConfig).Listen(ctx, "tcp", address)
	if err != nil {
		return nil, fmt.Errorf("listen at %s: %w", address, unwrapped(err))
	}
	return &listening{l, h}, nil
}
