package discord

import (
	"bytes"
	"context"
	"encoding/json"
	"fmt"
	"io"
	"net/http"
	"runtime"
	"sync"
	"testing"
	"time"

	"github.com/bwmarrin/discordgo"
	"github.com/stretchr/testify/require"

	"spokeword/bot"
	"spokeword/commands"
	"spokeword/commands/reply"
	"spokeword/commands/spec"
)

// short is a desk that answers all alike: the talks of the real one are bounded
// by their own tests.
type short struct{}

func (short) Ask(context.Context, commands.Asker, string) []reply.Reply {
	return []reply.Reply{{Lead: []string{"Yes."}}}
}
func (short) Offered(commands.Asker, string) (string, bool) { return "", false }
func (short) Offer(commands.Asker, string)                  {}
func (short) Commands() *spec.Commands                      { return &spec.Commands{} }

// taking is a service that takes every call.
type taking struct {
	mu  sync.Mutex
	met map[string]int
}

func (s *taking) RoundTrip(r *http.Request) (*http.Response, error) {
	_, err := io.Copy(io.Discard, r.Body)
	s.mu.Lock()
	s.met[r.URL.Path]++
	s.mu.Unlock()
	header := http.Header{"X-Ratelimit-Remaining": {"4"}, "X-Ratelimit-Reset-After": {"1.5"}}
	return &http.Response{StatusCode: http.StatusNoContent, Header: header, Body: http.NoBody, Request: r}, err
}

// TestHeapIsFlat answers many interactions through the library and looks at
// what stays: nothing may grow with their number. The library's own way to
// answer keeps a rate-limit bucket for each.
func TestHeapIsFlat(t *testing.T) {
	if testing.Short() {
		t.Skip("a hundred thousand interactions take a while")
	}
	service := &taking{met: make(map[string]int)}
	incident := func(err error) string {
		t.Error(err)
		return ""
	}
	h := bot.NewHandler(bot.Options{Desk: short{}, Incident: incident, Limits: bot.NewLimits(time.Now, 1e9, 1e9)})
	a, err := New(Options{Token: "a.b.c", ApplicationID: "42", Handler: h, Incident: incident, Client: &http.Client{Transport: service}})
	require.NoError(t, err)
	send := func(from, to int) {
		for i := from; i < to; i++ {
			raw := fmt.Appendf(nil, `{"id":"%d","application_id":"42","type":2,"token":"token%d","guild_id":"500","channel_id":"700","member":{"user":{"id":"%d"}},"data":{"name":"ask","type":1,"options":[{"name":"text","type":3,"value":"size 29"}]}}`, i, i, i%20000)
			var in discordgo.Interaction
			require.NoError(t, json.NewDecoder(bytes.NewReader(raw)).Decode(&in))
			do := a.react(&in)
			h.Handle(context.Background(), *do.message, &way{a: a, i: &in, respond: a.callBack(&in)})
		}
		service.mu.Lock()
		defer service.mu.Unlock()
		for path, times := range service.met {
			require.Equal(t, 1, times, "%s is answered once", path)
		}
		require.Len(t, service.met, to-from)
		clear(service.met)
	}
	heap := func() uint64 {
		runtime.GC()
		runtime.GC() // what pools let go of in the first is gone after the second
		var m runtime.MemStats
		runtime.ReadMemStats(&m)
		return m.HeapAlloc
	}
	const all = 100000
	send(0, all*7/10) // every bounded memory is full by then
	before := heap()
	send(all*7/10, all)
	after := heap()
	t.Logf("heap after 70 000: %d KiB, after 100 000: %d KiB", before>>10, after>>10)
	require.Less(t, after, before+before/20+(1<<20))
	runtime.KeepAlive(a)
	runtime.KeepAlive(service)
}
