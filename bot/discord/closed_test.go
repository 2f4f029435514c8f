package discord_test

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"spokeword/bot/discord"
	"spokeword/bot/discordfake"
)

// TestClosedByTheServiceGoesOn holds that a link which the service closes costs
// no session: of those there are a thousand a day.
func TestClosedByTheServiceGoesOn(t *testing.T) {
	b := newBench(t, discord.Gateway, with{})
	for range 2 {
		b.fake.CloseLinks(discordfake.CloseUnknownError)
		down, err := b.fake.Next(b.ctx(), discordfake.Of(discordfake.KindLinkDown))
		require.NoError(t, err)
		assert.NotContains(t, []int{1000, 1001}, down.Close, "it would end the session")
		m := b.send(asking(discordfake.InGuild("7"), "pressure 80kg 29x2.4 i30 trail"))
		assert.Contains(t, discordfake.Text(m), "Front 23 psi", "asked while the link was down")
	}
	identified := 0
	for _, r := range b.fake.Records() {
		if r.Kind == discordfake.KindIdentify {
			identified++
		}
	}
	assert.Equal(t, 1, identified)
	b.good()
}

func TestProbed(t *testing.T) {
	b := newBench(t, discord.HTTP, with{})
	assert.NoError(t, b.fake.Probe(b.ctx(), b.url))
	b.good()
}
