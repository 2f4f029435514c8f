package main

import (
	"context"
	"errors"
	"time"

	"github.com/spf13/cobra"

	"spokeword/bot"
)

// registerFor is how long registering may take.
const registerFor = 30 * time.Second

// register declares the command that tells Discord our commands.
func (p *program) register() *cobra.Command {
	var force, withdraw bool
	c := &cobra.Command{
		Use:     "register",
		Short:   "Tell Discord the commands, if they have changed; serve does so too",
		Example: "  spokeword register\n  spokeword register --guild 123456789012345678\n  spokeword register --guild 123456789012345678 --withdraw",
		Args:    cobra.NoArgs,
		RunE: func(c *cobra.Command, _ []string) error {
			settings, err := p.settings(c)
			if err != nil {
				return err
			}
			if !settings.Discord.On() {
				return errors.New("register: found no discord.token (SPOKEWORD_DISCORD_TOKEN): want it; the README tells where to find it, under Add it to Discord")
			}
			where := "for all servers"
			if settings.Discord.Guild != "" {
				where = "for the server " + settings.Discord.Guild
			} else if withdraw {
				return errors.New("register: found --withdraw and no server: want --guild with the one to take the commands from")
			}
			log := p.logger(settings.Log, "text")
			store, err := p.openStore(c.Context(), settings, log)
			if err != nil {
				return err
			}
			desk, err := p.desk(settings)
			if err != nil {
				return err
			}
			w := wired{settings: settings, log: log, now: p.now,
				handler: bot.NewHandler(bot.Options{Desk: desk, Incident: func(err error) string { return incident(log, err) }})}
			if store != nil {
				defer store.Close() // what it was to keep is kept by then
				w.store = store
			}
			a, err := w.discord()
			if err != nil {
				return fault{err}
			}
			ctx, stop := context.WithTimeout(c.Context(), registerFor)
			defer stop()
			if withdraw {
				if err := a.Withdraw(ctx); err != nil {
					return fault{err}
				}
				return p.print("taken away %s\n", where)
			}
			changed, err := a.Register(ctx, force)
			switch {
			case err != nil:
				return fault{err}
			case !changed:
				return p.print("registered already %s; --force does it again\n", where)
			}
			return p.print("registered %s\n", where)
		},
	}
	c.Flags().BoolVar(&force, "force", false, "register them even if they have not changed")
	c.Flags().BoolVar(&withdraw, "withdraw", false, "take the commands of the server named by --guild away")
	c.Flags().String("guild", "", "the one server that gets the commands, by its id; else discord.guild, else all")
	return c
}
