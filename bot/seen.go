package bot

import (
	"context"
	"crypto/sha256"
	"encoding/hex"
	"hash/maphash"
	"sync"
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
// known to nobody: that two of 2^14 are alike happens once in 10^11 runs. It is a map
// and the order in which they came, neither with a pointer: a list of the library that
// the limits have takes four times the memory.
type Recent struct {
	seed maphash.Seed

	mu    sync.Mutex
	kept  map[uint64]struct{}
	order []uint64 // as they came
	next  int      // where the next one goes, and the oldest is once all places are taken
}

// NewRecent returns a memory of so many identities, at least one.
func NewRecent(most int) *Recent {
	return &Recent{seed: maphash.MakeSeed(), kept: make(map[uint64]struct{}), order: make([]uint64, 0, max(most, 1))}
}

// Mark marks all ids and reports whether none of them was marked before.
func (r *Recent) Mark(ids ...string) bool {
	r.mu.Lock()
	defer r.mu.Unlock()
	first := true
	for _, id := range ids {
		h := maphash.String(r.seed, id)
		if _, met := r.kept[h]; met {
			first = false
			continue
		}
		if r.kept[h] = struct{}{}; len(r.order) < cap(r.order) {
			r.order = append(r.order, h)
			continue
		}
		delete(r.kept, r.order[r.next])
		r.order[r.next] = h
		r.next = (r.next + 1) % len(r.order)
	}
	return first
}

// Len returns how many identities are kept.
func (r *Recent) Len() int {
	r.mu.Lock()
	defer r.mu.Unlock()
	return len(r.kept)
}

// Hashed returns a short hash under which the log speaks of a workspace.
func Hashed(id string) string {
	sum := sha256.Sum256([]byte(id))
	return hex.EncodeToString(sum[:4])
}
