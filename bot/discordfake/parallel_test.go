package discordfake_test

import (
	"fmt"
	"sync"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"spokeword/bot/discordfake"
)

// TestServersInParallel: no two fakes, and no two interactions of one, share
// anything.
func TestServersInParallel(t *testing.T) {
	for n := range 3 {
		t.Run(fmt.Sprint("server ", n), func(t *testing.T) {
			t.Parallel()
			s, ctx := start(t, discordfake.Options{Token: fmt.Sprint("token-", n)})
			b := bot(t, s, reply)
			require.NoError(t, b.Open())
			defer b.Close()
			var all sync.WaitGroup
			for i := range 20 {
				all.Go(func() {
					text := fmt.Sprintf("%v of %v", i, n)
					cb, err := s.Push(ctx, discordfake.Slash(discordfake.InGuild("1"), "ask", discordfake.TextOption("text", text)))
					if assert.NoError(t, err) {
						assert.Equal(t, "re: "+text, cb.Message.Content)
					}
				})
			}
			all.Wait()
			assert.Len(t, s.Messages(), 20)
		})
	}
}
