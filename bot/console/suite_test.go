package console

import (
	"context"
	"strings"
	"testing"

	"spokeword/bot/bottest"
	"spokeword/bot/render"
	"spokeword/commands"
)

// TestSuite holds the console to what every front end is held to.
func TestSuite(t *testing.T) {
	bottest.Run(t, func(_ *testing.T, s bottest.Setup) *bottest.Front {
		talk := NewTalk(s.Handler, commands.Asker{Workspace: "local"})
		var wide []string
		none := func() []string { return nil }
		return &bottest.Front{
			Alone: true,
			Ask: func(ctx context.Context, line string) (bottest.Shown, error) {
				text := render.Text(talk.Say(ctx, line), render.Style{Width: Narrowest, Keys: true})
				for l := range strings.Lines(text) {
					if l = strings.TrimSuffix(l, "\n"); render.Width(l) > Narrowest || strings.ContainsAny(l, "\x1b\u202e") {
						wide = append(wide, l)
					}
				}
				return bottest.Shown{Text: text, Private: true}, nil
			},
			Public:     func() string { return "" },
			Pings:      none,
			Violations: func() []string { return wide },
			Stop:       func() error { return s.Handler.Drain(context.Background()) },
		}
	})
}
