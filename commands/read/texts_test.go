package read

import (
	"math/rand/v2"
	"strconv"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// TestTextsAreNumbered compares the table with a map, which has the same use.
func TestTextsAreNumbered(t *testing.T) {
	random := rand.New(rand.NewPCG(1, 2))
	for _, room := range []int{0, 10, 5000} {
		table, want := newTexts(room, 4), map[string]int{}
		for range 20000 {
			text := strconv.Itoa(random.IntN(9000))
			if text == "7" {
				text = "" // the empty one is a text too
			}
			n, isNew := table.add(text)
			had, ok := want[text]
			require.NotEqual(t, ok, isNew, text)
			if isNew {
				had = len(want)
				want[text] = had
			}
			require.Equal(t, had, n, text)
		}
		table.settle()
		require.Equal(t, len(want), table.len())
		for text, n := range want {
			got, ok := table.find(text)
			require.True(t, ok, text)
			require.Equal(t, n, got, text)
			got, ok = table.findBytes([]byte(text))
			require.True(t, ok, text)
			require.Equal(t, n, got, text)
			require.Equal(t, text, string(table.of(n)))
		}
		for _, text := range []string{"x", "9000", "00"} {
			_, ok := table.find(text)
			assert.False(t, ok, text)
		}
	}
	var none texts
	_, ok := none.find("x")
	assert.False(t, ok)
}

func TestPostsAreSortedByWords(t *testing.T) {
	var p posts
	for i, w := range []string{"ball", "sealant", "ball", "", "ball"} {
		p.add(w, keyed{key: int32(i)})
	}
	p.settle()
	assert.Equal(t, []keyed{{key: 0}, {key: 2}, {key: 4}}, p.of("ball"))
	assert.Equal(t, []keyed{{key: 1}}, p.of("sealant"))
	assert.Equal(t, []keyed{{key: 3}}, p.of(""))
	assert.Empty(t, p.of("lump"))
}
