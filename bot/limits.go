package bot

import (
	"time"

	lru "github.com/hashicorp/golang-lru/v2"
	"golang.org/x/time/rate"

	"spokeword/commands"
)

// Limits keep one person, or one workspace, from keeping all others waiting.
type Limits struct {
	now        func() time.Time
	persons    *buckets
	workspaces *buckets
}

// mostBuckets is how many persons and workspaces are told apart; of those not
// heard of for longest, the use is forgotten, so memory stays bounded.
const mostBuckets = 10000

// NewLimits allows each person and each workspace so many messages a minute,
// of which a quarter may come at once. Nought allows any number.
func NewLimits(now func() time.Time, person, workspace int) *Limits {
	return &Limits{now: now, persons: newBuckets(person), workspaces: newBuckets(workspace)}
}

// Take takes one message from the asker's allowance. It returns how long to
// wait if there is none, and takes nothing then.
func (l *Limits) Take(a commands.Asker) time.Duration {
	now := l.now()
	if wait := l.persons.take(a.Workspace+"\x00"+a.User, now); wait > 0 {
		return wait
	}
	return l.workspaces.take(a.Workspace, now)
}

type buckets struct {
	rate  rate.Limit
	burst int
	kept  *lru.Cache[string, *rate.Limiter]
}

func newBuckets(perMinute int) *buckets {
	if perMinute <= 0 {
		return nil
	}
	kept, err := lru.New[string, *rate.Limiter](mostBuckets)
	if err != nil {
		panic("bot: " + err.Error()) // the constant is not positive
	}
	return &buckets{rate: rate.Limit(float64(perMinute) / time.Minute.Seconds()), burst: max(perMinute/4, 1), kept: kept}
}

func (b *buckets) take(key string, now time.Time) time.Duration {
	if b == nil {
		return 0
	}
	limiter, ok := b.kept.Get(key)
	if !ok {
		// Two at the same moment may each get a bucket; one of them is kept.
		limiter = rate.NewLimiter(b.rate, b.burst)
		if before, met, _ := b.kept.PeekOrAdd(key, limiter); met {
			limiter = before
		}
	}
	r := limiter.ReserveN(now, 1)
	wait := r.DelayFrom(now)
	if wait > 0 {
		r.CancelAt(now)
	}
	return wait
}
