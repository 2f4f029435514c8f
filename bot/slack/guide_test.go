package slack

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"spokeword/bot/slackfake"
)

// TestGuideByForms goes through a guide by its buttons and forms alone: a step
// without choices has a field to type into.
func TestGuideByForms(t *testing.T) {
	overBoth(t, func(t *testing.T, transport Transport) {
		r := start(t, transport, nil)
		m := r.ask("measure pcd")
		r.press(m, slackfake.Wren, "neighbours")
		m = r.next(slackfake.To(slackfake.Wren))
		assert.Contains(t, slackfake.Text(m), "2 of 3")
		r.press(m, slackfake.Wren, "32")
		m = r.next(slackfake.To(slackfake.Wren))
		assert.Contains(t, slackfake.Text(m), "3 of 3")
		for _, step := range []struct{ typed, told string }{
			{"11.3 psi", "want 4 mm to 150 mm"}, // a wrong unit is asked again, by the form too
			{"11.3", "Hole circle 57.9 mm"},
		} {
			r.press(m, slackfake.Wren, "other…")
			view, err := r.fake.NextView(t.Context())
			require.NoError(t, err)
			in, err := r.fake.Submit(view, map[string]string{"value": step.typed})
			require.NoError(t, err)
			r.deliver(in)
			m = r.next(slackfake.To(slackfake.Wren))
			assert.Contains(t, slackfake.Text(m), step.told)
			r.deliver(r.fake.Dismiss(view))
		}
		r.clean()
		assert.Empty(t, r.incidents.text())
	})
}
