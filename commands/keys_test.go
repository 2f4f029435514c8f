package commands

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// TestWordsAnywhereTellTheTopic asks lines that hold no phrase of an article,
// only its words, in any order.
func TestWordsAnywhereTellTheTopic(t *testing.T) {
	for _, x := range []struct{ line, lead string }{
		{"my tubeless tyre leaks half its air every week", "A slow leak"},
		{"every week half of the air leaks, brand new tubeless tyre", "A slow leak"},
	} {
		all := fresh(t, x.line)
		require.Len(t, all, 1, x.line)
		assert.Contains(t, all[0].Lead[0], x.lead, x.line)
	}
}

// TestWhatIsReadOutweighsATopic keeps an answer that used the words: a topic
// stands beside it.
func TestWhatIsReadOutweighsATopic(t *testing.T) {
	r := fresh(t, "80kg 29x2.4 30mm trail psi, leaks some every week")[0]
	assert.Equal(t, "pressure", r.Command)
	assert.Contains(t, r.Lead[0], "Front 23 psi")
}
