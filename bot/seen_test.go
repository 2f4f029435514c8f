package bot

import (
	"strconv"
	"sync"
	"testing"

	"github.com/stretchr/testify/assert"
)

// TestRecent: an identity is met until as many newer ones came as are kept.
func TestRecent(t *testing.T) {
	r := NewRecent(3)
	assert.True(t, r.Mark("a"))
	assert.False(t, r.Mark("a"))
	assert.True(t, r.Mark("b", "c"))
	assert.False(t, r.Mark("c", "new"), "one of two was met")
	assert.Equal(t, 3, r.Len())
	assert.True(t, r.Mark("a"), "it was the oldest")
	assert.False(t, r.Mark("new"))
	for i := range 100 {
		assert.True(t, r.Mark(strconv.Itoa(i)))
		assert.Equal(t, 3, r.Len())
	}
	assert.False(t, r.Mark("97"))
	assert.True(t, r.Mark("96"))
}

// TestRecentIsMarkedOnce: of many at once one alone is the first.
func TestRecentIsMarkedOnce(t *testing.T) {
	r := NewRecent(mostRecent)
	var wg sync.WaitGroup
	var mu sync.Mutex
	first := 0
	for range 8 {
		wg.Go(func() {
			for i := range 500 {
				if r.Mark(strconv.Itoa(i)) {
					mu.Lock()
					first++
					mu.Unlock()
				}
			}
		})
	}
	wg.Wait()
	assert.Equal(t, 500, first)
}
