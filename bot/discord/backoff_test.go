package discord

import (
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
)

// TestPausesGrow holds that a link that opens and drops for ever does not use up
// the thousand starts of a session that a day has.
func TestPausesGrow(t *testing.T) {
	const days = 20
	back, starts, whole := backoff{least: time.Second, most: 10 * time.Minute}, 0, time.Duration(0)
	bound := time.Duration(0)
	for whole < days*24*time.Hour {
		bound = min(max(2*bound, time.Second), 10*time.Minute)
		p := back.next()
		assert.Positive(t, p)
		assert.LessOrEqual(t, p, bound+1)
		whole += p
		starts++
	}
	assert.Less(t, starts/days, 400, "a day; 288 is the mean")
	back.at = 0
	assert.LessOrEqual(t, back.next(), time.Second+1, "begun anew")
}
