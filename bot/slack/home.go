package slack

import (
	"context"
	"errors"

	"github.com/slack-go/slack"
)

var errUninstalled = errors.New("slack: the workspace has taken the bot's token back: install the app again")

// publishHome shows the help of the declarations on the bot's own page.
// https://docs.slack.dev/surfaces/app-home
func (a *Adapter) publishHome(ctx context.Context, user string) error {
	blocks := sections("Ask about tyres, rims and wheels as you would ask a friend: here in Messages, with " + a.o.Command +
		" in any channel, or by naming the bot there. Press an example to see an answer in Messages.")
	n := 0
	for _, c := range a.o.Handler.Desk.Commands().All {
		if len(c.Options) == 0 {
			continue // asked by its name alone, after an answer
		}
		n++
		line := c.Example(0)
		blocks = append(blocks, sections(c.Name+"\n"+c.Summary+".")...)
		blocks = append(blocks, slack.NewActionBlock("", slack.NewButtonBlockElement(verbSay+"-"+c.Name, line, plainText(clipped(line, mostLabel)))))
	}
	blocks = append(blocks, contexts("Answers to a command are for you alone until you share them. A weight is never shown to a channel. Marks on the parts, the maker's papers and a qualified mechanic come first.")...)
	_, err := a.api.PublishViewContext(ctx, slack.PublishViewContextRequest{UserID: user,
		View: slack.HomeTabViewRequest{Type: slack.VTHomeTab, Blocks: slack.Blocks{BlockSet: blocks}}})
	return a.explained(err)
}
