package discordfake_test

import (
	"context"
	"testing"
	"time"

	"github.com/bwmarrin/discordgo"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"spokeword/bot/discordfake"
)

// patience ends a test that hangs; no test passes by it.
const patience = 30 * time.Second

func start(t testing.TB, o discordfake.Options) (*discordfake.Server, context.Context) {
	s, err := discordfake.New(o)
	require.NoError(t, err)
	t.Cleanup(func() { assert.NoError(t, s.Close()) })
	ctx, cancel := context.WithTimeout(t.Context(), patience)
	t.Cleanup(cancel)
	return s, ctx
}

// bot is a bot of the real client that answers by do.
func bot(t testing.TB, s *discordfake.Server, do func(*discordgo.Session, *discordgo.InteractionCreate)) *discordgo.Session {
	b, err := discordgo.New("Bot " + s.Token())
	require.NoError(t, err)
	b.Client = s.Client(patience)
	b.StateEnabled = false
	b.Identify.Intents = discordgo.IntentsNone
	b.ShouldReconnectOnError = false
	b.ShouldRetryOnRateLimit = false
	b.MaxRestRetries = 0
	b.AddHandler(do)
	return b
}

func reply(b *discordgo.Session, i *discordgo.InteractionCreate) {
	text := ""
	if d, ok := i.Data.(discordgo.ApplicationCommandInteractionData); ok && len(d.Options) > 0 {
		text = d.Options[0].StringValue()
	}
	_ = b.InteractionRespond(i.Interaction, &discordgo.InteractionResponse{
		Type: discordgo.InteractionResponseChannelMessageWithSource,
		Data: &discordgo.InteractionResponseData{Content: "re: " + text, AllowedMentions: &discordgo.MessageAllowedMentions{Parse: []discordgo.AllowedMentionType{}}},
	})
}

func TestRealClientAnswersOverTheGateway(t *testing.T) {
	s, ctx := start(t, discordfake.Options{})
	b := bot(t, s, reply)
	require.NoError(t, b.Open())
	defer b.Close()
	require.NoError(t, s.Online(ctx))
	cb, err := s.Push(ctx, discordfake.Slash(discordfake.InGuild("100"), "ask", discordfake.TextOption("text", "29x2.4")))
	require.NoError(t, err)
	assert.Equal(t, discordfake.AnswerMessage, cb.Type)
	assert.Equal(t, "re: 29x2.4", discordfake.Text(*cb.Message))
	rules := make(map[string]int)
	for _, v := range s.Violations() {
		rules[v.Rule]++
	}
	assert.Equal(t, map[string]int{discordfake.RuleToken: 1}, rules, "discordgo sends the bot's token along with the answer")
}
