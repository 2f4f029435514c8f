package discord_test

import (
	"bytes"
	"crypto/ed25519"
	"encoding/hex"
	"encoding/json"
	"fmt"
	"io"
	"log/slog"
	"net/http"
	"net/http/httptest"
	"runtime"
	"slices"
	"strconv"
	"strings"
	"sync"
	"sync/atomic"
	"testing"
	"time"

	"github.com/bwmarrin/discordgo"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"spokeword/bot"
	"spokeword/bot/discord"
	"spokeword/bot/discordfake"
	"spokeword/commands"
)

// numbered returns a question that differs from those before.
func numbered(i int) string {
	return fmt.Sprintf("pressure %dkg 29x2.%d i%d trail", 50+i%60, 1+i/60%6, 25+i/360%10)
}

// asker returns one of a hundred people.
func askedBy(i int) discordfake.Origin { return discordfake.InGuild(strconv.Itoa(1000 + i%100)) }

// bare is the least a bot over HTTP must do: check the signature, read, answer.
func bare(key ed25519.PublicKey) http.Handler {
	return http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		raw, err := io.ReadAll(http.MaxBytesReader(w, r.Body, 1<<20))
		signature, hexErr := hex.DecodeString(r.Header.Get("X-Signature-Ed25519"))
		var i discordgo.Interaction
		if err != nil || hexErr != nil || !ed25519.Verify(key, append([]byte(r.Header.Get("X-Signature-Timestamp")), raw...), signature) || json.Unmarshal(raw, &i) != nil {
			w.WriteHeader(http.StatusUnauthorized)
			return
		}
		w.Header().Set("Content-Type", "application/json")
		_, _ = io.WriteString(w, `{"type":4,"data":{"content":"ok","flags":64}}`) // a benchmark's client is not lost
	})
}

// unlogged keeps answers out of the log, which is in memory here and grows.
func unlogged(o *bot.Options) {
	o.Log = slog.New(slog.NewJSONHandler(io.Discard, &slog.HandlerOptions{ReplaceAttr: bot.RedactAttr}))
}

// load sends signed questions over so many connections, and returns how long
// all took and each of them. They are signed before.
func load(b *testing.B, fake *discordfake.Server, url string, from, n, connections int) (all time.Duration, each []time.Duration) {
	requests := make([]*http.Request, n)
	for i := range requests {
		r, err := fake.Request(b.Context(), url, asking(askedBy(from+i), numbered(from+i)))
		require.NoError(b, err)
		requests[i] = r
	}
	client := &http.Client{Transport: &http.Transport{MaxIdleConnsPerHost: connections}}
	defer client.CloseIdleConnections()
	each = make([]time.Duration, n)
	var next atomic.Int64
	var wg sync.WaitGroup
	began := time.Now()
	for range connections {
		wg.Go(func() {
			for {
				i := int(next.Add(1)) - 1
				if i >= n {
					return
				}
				sent := time.Now()
				resp, err := client.Do(requests[i])
				if err != nil {
					b.Error(err)
					return
				}
				text, err := io.ReadAll(resp.Body)
				resp.Body.Close()
				each[i] = time.Since(sent)
				if err != nil || resp.StatusCode != http.StatusOK || !bytes.Contains(text, []byte(`"type":4`)) {
					b.Errorf("answered %v, %.200q, %v", resp.StatusCode, text, err)
					return
				}
			}
		})
	}
	wg.Wait()
	all = time.Since(began)
	slices.Sort(each)
	return all, each
}

// BenchmarkHTTP measures signed questions over loopback against the bare
// handler and the desk alone, in turns within one run.
func BenchmarkHTTP(b *testing.B) {
	const connections, round = 16, 1000
	s := newBench(b, discord.HTTP, with{fake: discordfake.Options{Keep: 2 * round}, handler: unlogged})
	plain := httptest.NewServer(bare(s.fake.PublicKey()))
	defer plain.Close()
	load(b, s.fake, s.url, 0, round, connections)
	load(b, s.fake, plain.URL, 0, round, connections)
	var whole, least, ask, p99 time.Duration
	b.ResetTimer()
	for done := 0; done < b.N; done += round {
		n := min(round, b.N-done)
		took, each := load(b, s.fake, s.url, done, n, connections)
		whole, p99 = whole+took, max(p99, each[len(each)*99/100])
		took, _ = load(b, s.fake, plain.URL, done, n, connections)
		least += took
		ask += asks(b, s, done, n, connections)
	}
	b.StopTimer()
	b.ReportMetric(float64(b.N)/whole.Seconds(), "answers/s")
	b.ReportMetric(float64(whole-ask)/float64(least), "(bot-ask)/bare")
	b.ReportMetric(float64(b.N)/least.Seconds(), "bare/s")
	b.ReportMetric(p99.Seconds()*1e3, "worst-p99-ms")
	b.ReportMetric(0, "ns/op")
}

// asks asks the desk alone.
func asks(b *testing.B, s *bench, from, n, at int) time.Duration {
	var next atomic.Int64
	var wg sync.WaitGroup
	began := time.Now()
	for range at {
		wg.Go(func() {
			for i := int(next.Add(1)) - 1; i < n; i = int(next.Add(1)) - 1 {
				o := askedBy(from + i)
				s.desk.Ask(b.Context(), commands.Asker{Workspace: "bench", Channel: o.Channel, User: o.User}, numbered(from+i))
			}
		})
	}
	wg.Wait()
	return time.Since(began)
}

// BenchmarkGateway measures questions over the gateway and answers by call,
// through the library's client, 64 at a time.
func BenchmarkGateway(b *testing.B) {
	s := newBench(b, discord.Gateway, with{fake: discordfake.Options{Keep: 1000}, handler: unlogged})
	var next atomic.Int64
	var wg sync.WaitGroup
	b.ResetTimer()
	for range 64 {
		wg.Go(func() {
			for i := int(next.Add(1)) - 1; i < b.N; i = int(next.Add(1)) - 1 {
				if _, err := s.fake.Push(b.Context(), asking(askedBy(i), numbered(i))); err != nil {
					b.Error(err)
					return
				}
			}
		})
	}
	wg.Wait()
	b.ReportMetric(float64(b.N)/b.Elapsed().Seconds(), "answers/s")
	b.ReportMetric(heap()/(1<<20), "heap-MiB")
	b.ReportMetric(0, "ns/op")
}

// heap returns the bytes in use.
func heap() float64 {
	runtime.GC()
	runtime.GC()
	var m runtime.MemStats
	runtime.ReadMemStats(&m)
	return float64(m.HeapAlloc)
}

// callbacks answers calls as the service does, and counts them.
type callbacks struct {
	next  http.RoundTripper
	count atomic.Int64
	came  chan struct{}
}

func (c *callbacks) RoundTrip(r *http.Request) (*http.Response, error) {
	if !strings.HasSuffix(r.URL.Path, "/callback") {
		return c.next.RoundTrip(r)
	}
	r.Body.Close()
	c.count.Add(1)
	c.came <- struct{}{}
	return &http.Response{StatusCode: http.StatusNoContent, Header: http.Header{}, Body: http.NoBody, Request: r}, nil
}

// answersOverTheGateway has n questions answered, and returns by how many bytes
// the heap grew for each after the first tenth.
func answersOverTheGateway(t testing.TB, n int) (grown float64) {
	service := &callbacks{next: http.DefaultTransport, came: make(chan struct{}, 64)}
	s := newBench(t, discord.Gateway, with{fake: discordfake.Options{Keep: 100}, adapter: func(o *discord.Options) {
		o.Client = &http.Client{Transport: service}
	}, handler: unlogged})
	for i := range 1 << 16 { // as many identities as are kept: from here on one goes for each that comes
		require.True(t, s.handler.First(t.Context(), "test", fmt.Sprintf("discord:15000000000%08d", i)))
	}
	var before float64
	for i := range n {
		if i == n/10 {
			before = heap()
		}
		_, err := s.fake.Send(asking(askedBy(i), numbered(i)))
		require.NoError(t, err)
		<-service.came
	}
	grown = (heap() - before) / float64(n-n/10)
	assert.EqualValues(t, n, service.count.Load(), "each answered once")
	runtime.KeepAlive(s)
	return grown
}

// TestMemoryStaysFlat holds that an answer leaves nothing behind but its
// identity, of which a bounded number is kept. The library by itself would keep
// some 450 bytes and the interaction's token for ever.
func TestMemoryStaysFlat(t *testing.T) {
	assert.Less(t, answersOverTheGateway(t, 6000), 300.0)
}

// BenchmarkMemory is TestMemoryStaysFlat for long: -benchtime 100000x fills
// what is bounded.
func BenchmarkMemory(b *testing.B) {
	b.ReportMetric(answersOverTheGateway(b, max(b.N, 20)), "heapB/answer")
	b.ReportMetric(0, "ns/op")
}
