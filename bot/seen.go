package bot

import (
	"context"
	"crypto/sha256"
	"encoding/hex"
	"hash/maphash"

	lru "github.com/hashicorp/golang-lru/v2"
)

// Seen remembers which messages were met.
type Seen interface {
	// Mark marks all ids and reports whether none of them was marked before.
	// It is durable when it returns.
	Mark(ctx context.Context, ids ...string) (first bool, err error)
}

// mostRecent is how many identities memory keeps: those of fifty messages a second
// for five minutes, after which services repeat an event no more.
const mostRecent = 1 << 14

// Recent is memory for the newest identities. It keeps a hash of each, whose seed is
// known to nobody: that two of 2^14 are alike happens once in 10^11 runs.
type Recent struct {
	kept *lru.Cache[uint64, struct{}]
	seed maphash.Seed
}

// NewRecent returns a memory of so many identities.
func NewRecent(most int) *Recent {
	kept, err := lru.New[uint64, struct{}](most)
	if err != nil {
		panic("bot: " + err.Error()) // most is not positive: a slip in the code, seen at start
	}
	return &Recent{kept: kept, seed: maphash.MakeSeed()}
}

// Mark marks all ids and reports whether none of them was marked before.
func (r *Recent) Mark(ids ...string) bool {
	first := true
	for _, id := range ids {
		if met, _ := r.kept.ContainsOrAdd(maphash.String(r.seed, id), struct{}{}); met {
			first = false
		}
	}
	return first
}

// Len returns how many identities are kept.
func (r *Recent) Len() int { return r.kept.Len() }

// Hashed returns a short hash under which the log speaks of a workspace.
func Hashed(id string) string {
	sum := sha256.Sum256([]byte(id))
	return hex.EncodeToString(sum[:4])
}
