package discord_test

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"spokeword/bot/discord"
	"spokeword/bot/discordfake"
)

// TestGuideByForms goes through a guide by its buttons and forms alone: a step
// without choices has a field to type into.
func TestGuideByForms(t *testing.T) {
	over(t, func(t *testing.T, transport discord.Transport) {
		b := newBench(t, transport, with{})
		wren := discordfake.InGuild("7")
		m := b.send(asking(wren, "measure pcd"))
		m = b.send(b.press(wren, m, "neighbours"))
		assert.Contains(t, discordfake.Text(m), "2 of 3")
		m = b.send(b.press(wren, m, "32"))
		assert.Contains(t, discordfake.Text(m), "3 of 3")
		for _, step := range []struct{ typed, told string }{
			{"11.3 psi", "want 4 mm to 150 mm"}, // a wrong unit is asked again, by the form too
			{"11.3", "Hole circle 57.9 mm"},
		} {
			form := b.push(b.press(wren, m, "other…"))
			require.NotNil(t, form.Modal)
			inputs := discordfake.Inputs(*form.Modal)
			require.Len(t, inputs, 1)
			m = b.send(discordfake.Submit(wren, &m, form.Modal.CustomID, discordfake.Field{CustomID: inputs[0].CustomID, Value: step.typed}))
			assert.Contains(t, discordfake.Text(m), step.told)
		}
		b.good()
	})
}
