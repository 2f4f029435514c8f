package talk

import (
	"context"
	"sync"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
)

// clock is a time that tests move.
type clock struct {
	mu  sync.Mutex
	now time.Time
}

func (c *clock) tell() time.Time {
	c.mu.Lock()
	defer c.mu.Unlock()
	return c.now
}

func (c *clock) move(d time.Duration) {
	c.mu.Lock()
	defer c.mu.Unlock()
	c.now = c.now.Add(d)
}

func TestATalkIsItsPersonsAndItsChannels(t *testing.T) {
	c := &clock{now: time.Unix(1e9, 0)}
	m := NewMemory(c.tell)
	here := Key{"local", "workshop", "ann"}
	m.Put(here, State{Base: "pressure rider:\"80 kg\""})
	assert.Equal(t, "pressure rider:\"80 kg\"", m.Get(here).Base)
	for _, other := range []Key{{"local", "workshop", "ben"}, {"local", "counter", "ann"}, {"other", "workshop", "ann"}, {}} {
		assert.Empty(t, m.Get(other).Base, "%v", other)
	}
}

func TestATalkEnds(t *testing.T) {
	c := &clock{now: time.Unix(1e9, 0)}
	m := NewMemory(c.tell)
	m.Put(Key{User: "ann"}, State{Base: "old"})
	c.move(Expiry / 2)
	m.Put(Key{User: "ben"}, State{Base: "new"})
	c.move(Expiry/2 + time.Second)
	assert.Empty(t, m.Get(Key{User: "ann"}).Base)
	assert.Equal(t, "new", m.Get(Key{User: "ben"}).Base)
	assert.Equal(t, 1, m.Len())
}

func TestWhatHasExpiredGoesFirstThenTheOldest(t *testing.T) {
	c := &clock{now: time.Unix(1e9, 0)}
	m := NewMemory(c.tell)
	m.most = 3
	for _, u := range []string{"a", "b", "c"} {
		m.Put(Key{User: u}, State{Base: u})
		c.move(time.Second)
	}
	m.Put(Key{User: "a"}, State{Base: "a again"}) // now the newest
	m.Put(Key{User: "d"}, State{Base: "d"})
	assert.Empty(t, m.Get(Key{User: "b"}).Base, "the oldest went")
	assert.Equal(t, "a again", m.Get(Key{User: "a"}).Base)
	assert.Equal(t, "c", m.Get(Key{User: "c"}).Base)
	assert.Equal(t, 3, m.Len())
}

func TestTheStoreTakesManyAtOnce(t *testing.T) {
	c := &clock{now: time.Unix(1e9, 0)}
	m := NewMemory(c.tell)
	var all sync.WaitGroup
	for i := range 8 {
		all.Go(func() {
			k := Key{User: string(rune('a' + i))}
			for range 200 {
				m.Put(k, State{Base: k.User})
				assert.Equal(t, k.User, m.Get(k).Base)
			}
		})
	}
	all.Wait()
}

func TestTheContextCarriesWhoAsks(t *testing.T) {
	k := Key{User: "ann"}
	assert.Equal(t, k, From(With(context.Background(), k)))
	assert.Equal(t, Key{}, From(context.Background()))
}
