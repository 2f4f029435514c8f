package main

import "spokeword/commands"

// slackScopes are the scopes that the bot needs there.
var slackScopes = []string{"app_mentions:read", "chat:write", "commands", "im:history"}

// discordNames are the names of the commands to be registered there.
func discordNames(desk *commands.Desk) []string {
	names := []string{"ask"}
	for _, c := range desk.Commands().All {
		names = append(names, c.Name)
	}
	return names
}
