package commands

import (
	"bufio"
	"os"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"spokeword/commands/reply"
)

// TestWordsAnywhereTellTheTopic asks lines that hold no phrase of an article,
// only its words, in any order.
func TestWordsAnywhereTellTheTopic(t *testing.T) {
	f, err := os.Open("../testdata/lines/topics.txt")
	require.NoError(t, err)
	defer f.Close()
	asked, right := 0, 0
	for in := bufio.NewScanner(f); in.Scan(); {
		if in.Text() == "" || strings.HasPrefix(in.Text(), "#") {
			continue
		}
		line, id, ok := strings.Cut(in.Text(), " => ")
		require.True(t, ok, in.Text())
		asked++
		got := fresh(t, line)
		if a, known := article(id); assert.True(t, known, id) && got[0].Title == a.Title {
			right++
			continue
		}
		t.Logf("%q: %s %s, want %s", line, got[0].Line, got[0].Error, id)
	}
	require.Greater(t, asked, 300)
	assert.GreaterOrEqual(t, float64(right), 0.97*float64(asked), "%d of %d", right, asked)
}

// TestWhatIsReadOutweighsATopic keeps an answer that used the words: a topic
// stands beside it.
func TestWhatIsReadOutweighsATopic(t *testing.T) {
	r := fresh(t, "80kg 29x2.4 30mm trail psi, leaks some every week")[0]
	assert.Equal(t, "pressure", r.Command)
	assert.Contains(t, r.Lead[0], "Front 23 psi")
}

// TestATopicTakesNoLooseNumbers: the "2" of "bent 2 spokes" is no tyre, the 10
// of "lose 10 kilo" no rider.
func TestATopicTakesNoLooseNumbers(t *testing.T) {
	for _, line := range []string{"bent 2 spokes w stick, not broke, still true-ish", "how do i lose 10 kilo so i can run less psi"} {
		r := fresh(t, line)[0]
		for _, i := range r.Read {
			assert.NotContains(t, []string{"tyre", "rider"}, i.Option, line)
		}
	}
}

// TestWordsFindASubject: a line that holds neither phrase nor key is asked about by
// what its words speak of, and answered if they leave no doubt.
func TestWordsFindASubject(t *testing.T) {
	for line, id := range map[string]string{
		"my wheel sounds like a coffee grinder":                                           "gritty-hub",
		"bike feels like on eggs when i lean it, only front, like the tyre wants to fold": "squirm",
		"two flats on one ride what now":                                                  "riding-a-flat",
	} {
		r := fresh(t, line)[0]
		if assert.NotNil(t, r.Ask, line) {
			assert.True(t, slices.ContainsFunc(r.Ask.Choices, func(a reply.Action) bool { return strings.HasSuffix(a.Line, "what:"+id) }), "%s: %v", line, r.Ask.Choices)
		}
	}
	for _, line := range []string{"whats for dinner", "can you book me a table", "lorem ipsum dolor"} {
		r := fresh(t, line)[0]
		assert.Nil(t, r.Ask, "%s: %v", line, r.Lead)
	}
}
