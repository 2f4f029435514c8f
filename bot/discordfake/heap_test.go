package discordfake

import (
	"flag"
	"fmt"
	"io"
	"net/http"
	"net/http/httptest"
	"runtime"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// one is an interaction dispatched, answered, and followed by a message with a
// file, without a socket.
func (s *Server) one(t testing.TB, n int) {
	in, err := s.Send(Slash(InGuild("100"), "ask", TextOption("text", "29x2.4")))
	require.NoError(t, err)
	post := func(path, body string) int {
		r := httptest.NewRequest(http.MethodPost, "/api/v10"+path, strings.NewReader(body))
		r.Header.Set("Content-Type", "application/json")
		w := httptest.NewRecorder()
		s.serve(w, r)
		_, _ = io.Copy(io.Discard, w.Body)
		return w.Code
	}
	text := fmt.Sprintf("answer %v %s", n, strings.Repeat("x", 1000))
	require.Equal(t, 204, post("/interactions/"+in.ID+"/"+in.Token+"/callback", `{"type":4,"data":{"content":"`+text+`"}}`))
	require.Equal(t, 200, post("/webhooks/42/"+in.Token, `{"content":"`+text+`"}`))
}

// interactions is how long TestMemoryStaysFlat goes on. With
//
//	go test ./bot/discordfake -run Memory -v -interactions 100000
//
// it is as long as a season.
var interactions = flag.Int("interactions", 10_000, "how many interactions memory must stay flat for")

// TestMemoryStaysFlat: after the first thousands the heap grows no more, whatever
// was recorded, kept, or not yet sent to a bot that is away.
func TestMemoryStaysFlat(t *testing.T) {
	rounds := *interactions
	s, err := New(Options{Keep: 256, Clock: NewManual(time.Date(2026, 5, 4, 12, 0, 0, 0, time.UTC))})
	require.NoError(t, err)
	defer s.Close()
	s.session = &session{id: "away"}
	heap := func() uint64 {
		runtime.GC()
		runtime.GC() // what finalisers let go of
		var m runtime.MemStats
		runtime.ReadMemStats(&m)
		return m.HeapAlloc
	}
	for n := range 2000 {
		s.one(t, n)
	}
	before := heap()
	for n := range rounds {
		s.one(t, n)
	}
	after := heap()
	t.Logf("heap %v KiB after %v interactions, %v KiB after %v more", before>>10, 2000, after>>10, rounds)
	assert.Less(t, after, before+512<<10, "the heap grew")
	assert.Len(t, s.Records(), 256)
	assert.Len(t, s.Violations(), 256)
	assert.Len(t, s.Messages(), 256)
}

// BenchmarkAnswer is what the fake itself costs for an interaction and two
// messages, so that benchmarks of bots know.
func BenchmarkAnswer(b *testing.B) {
	s, err := New(Options{})
	require.NoError(b, err)
	defer s.Close()
	s.session = &session{id: "away"}
	b.ReportAllocs()
	for n := 0; b.Loop(); n++ {
		s.one(b, n)
	}
}

func TestManualClockRingsInOrder(t *testing.T) {
	start := time.Date(2026, 5, 4, 12, 0, 0, 0, time.UTC)
	c := NewManual(start)
	var rang []string
	c.AfterFunc(2*time.Second, func() { rang = append(rang, fmt.Sprint("two at ", c.Now().Sub(start))) })
	c.AfterFunc(time.Second, func() {
		rang = append(rang, fmt.Sprint("one at ", c.Now().Sub(start)))
		c.AfterFunc(500*time.Millisecond, func() { rang = append(rang, fmt.Sprint("set meanwhile at ", c.Now().Sub(start))) })
	})
	stop := c.AfterFunc(time.Second, func() { rang = append(rang, "stopped") })
	assert.True(t, stop())
	assert.False(t, stop())
	c.Advance(2 * time.Second)
	assert.Equal(t, []string{"one at 1s", "set meanwhile at 1.5s", "two at 2s"}, rang)
	assert.Equal(t, start.Add(2*time.Second), c.Now())
}

func TestUnits(t *testing.T) {
	for text, want := range map[string]int{"": 0, "tyre": 4, "größe": 5, "𝄞": 2, "🚵‍♀️": 5, "\xff": 1} {
		assert.Equal(t, want, Units(text), "%q", text)
	}
}

func TestAddressMustBeLoopback(t *testing.T) {
	for _, a := range []string{"0.0.0.0:0", "192.0.2.1:0", ":0", "example.org:80", "127.0.0.1"} {
		_, err := New(Options{Address: a})
		assert.Error(t, err, a)
	}
}
