package main

import (
	"github.com/spf13/cobra"

	"spokeword/bot/slack"
)

// manifest declares the command that prints what Slack must know about the app.
func (p *program) manifest() *cobra.Command {
	var address string
	c := &cobra.Command{
		Use:     "manifest",
		Short:   "Print the manifest of the Slack app, made from the declarations and settings",
		Example: "  spokeword manifest\n  SPOKEWORD_SLACK_TRANSPORT=http spokeword manifest --address https://bot.example/slack",
		Args:    cobra.NoArgs,
		RunE: func(c *cobra.Command, _ []string) error {
			settings, err := p.settings(c)
			if err != nil {
				return err
			}
			desk, err := p.desk(settings)
			if err != nil {
				return err
			}
			text, err := slack.Manifest(desk.Commands(), slack.ManifestOptions{
				Command: settings.Slack.Command, Transport: slack.Transport(settings.Slack.Transport), Address: address})
			if err != nil {
				return err
			}
			return p.print("%s", text)
		},
	}
	c.Flags().StringVar(&address, "address", "", "where Slack reaches the bot, for slack.transport http")
	return c
}
