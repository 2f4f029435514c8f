package sql

import (
	"context"
	"fmt"
	"strconv"
	"sync/atomic"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"spokeword/commands/talk"
)

// The benchmarks give times as ratios to a bare baseline measured in the same
// run on the same disk: one insert with its own commit, without a goroutine,
// a batch or a check. Every iteration takes another id.

// bare returns the time of one bare insert in nanoseconds.
func bare(b *testing.B) float64 {
	db, err := connect(file(b), 1, time.Second, "journal_mode(wal)", "synchronous(normal)")
	require.NoError(b, err)
	defer db.Close()
	_, err = db.Exec("create table bare (id text primary key, at integer) without rowid")
	require.NoError(b, err)
	put, err := db.Prepare("insert into bare values (?, ?)")
	require.NoError(b, err)
	defer put.Close()
	const rounds = 5000
	start := time.Now()
	for i := range rounds {
		if _, err := put.Exec("event "+strconv.Itoa(i), i); err != nil {
			b.Fatal(err)
		}
	}
	return float64(time.Since(start)) / rounds
}

func BenchmarkMark(b *testing.B) {
	ratio := func(b *testing.B, base float64) {
		b.ReportMetric(float64(b.Elapsed())/float64(b.N)/base, "x-bare")
	}
	b.Run("serial", func(b *testing.B) {
		base := bare(b)
		s := open(b, file(b), options(b, newClock()))
		b.ReportAllocs()
		i := 0
		for b.Loop() {
			i++
			if first, err := s.Mark(context.Background(), "event "+strconv.Itoa(i)); err != nil || !first {
				b.Fatal(first, err)
			}
		}
		ratio(b, base)
	})
	for _, callers := range []int{8, 64, 512} {
		b.Run(fmt.Sprintf("callers=%d", callers), func(b *testing.B) {
			base := bare(b)
			s := open(b, file(b), options(b, newClock()))
			var i atomic.Int64
			b.ReportAllocs()
			b.SetParallelism(callers)
			b.ResetTimer()
			b.RunParallel(func(pb *testing.PB) {
				for pb.Next() {
					if first, err := s.Mark(context.Background(), "event "+strconv.FormatInt(i.Add(1), 10)); err != nil || !first {
						b.Error(first, err)
						return
					}
				}
			})
			ratio(b, base)
		})
	}
}

// BenchmarkTalks: what an answer pays for its talk to be kept, against the
// store in memory.
func BenchmarkTalks(b *testing.B) {
	keys := make([]talk.Key, 1000)
	for i := range keys {
		keys[i] = talk.Key{Workspace: "local", Channel: "workshop", User: strconv.Itoa(i)}
	}
	run := func(store talk.Store, rounds int) float64 {
		start := time.Now()
		for i := range rounds {
			k := keys[i%len(keys)]
			state := store.Get(k)
			state.Base = keys[(i+1)%len(keys)].User
			store.Put(k, state)
		}
		return float64(time.Since(start)) / float64(rounds)
	}
	s := open(b, file(b), options(b, newClock()))
	base := run(talk.NewMemory(newClock().tell), 100000)
	b.ReportAllocs()
	b.ResetTimer()
	took := run(s.Talks(), b.N)
	b.ReportMetric(took/base, "x-memory")
}

// BenchmarkOpen: opening a store that is there, part of the start.
func BenchmarkOpen(b *testing.B) {
	path, c := file(b), newClock()
	for b.Loop() {
		s, err := Open(context.Background(), path, options(b, c))
		if err != nil {
			b.Fatal(err)
		}
		if err := s.Close(); err != nil {
			b.Fatal(err)
		}
	}
}
