package slack

import (
	"bytes"
	"context"
	"crypto/hmac"
	"crypto/sha256"
	"encoding/hex"
	"fmt"
	"io"
	"net/http"
	"net/http/httptest"
	"net/url"
	"runtime"
	"slices"
	"strings"
	"sync"
	"sync/atomic"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"spokeword/bot"
	"spokeword/bot/slackfake"
	"spokeword/commands"
	"spokeword/commands/reply"
)

// line returns a question that differs each time.
func line(i int) string {
	return fmt.Sprintf("pressure %dkg 29x2.%d i%d trail", 50+i%60, 1+i/60%6, 25+i/360%10)
}

// bare is the least that a bot over HTTP must do: read, verify, say ok; between
// the two it does what it is given.
func bare(a *Adapter, between func()) http.Handler {
	return http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		raw, err := io.ReadAll(http.MaxBytesReader(w, r.Body, mostBody))
		if err != nil || a.verify(r.Header, raw) != "" {
			w.WriteHeader(http.StatusUnauthorized)
			return
		}
		between()
		w.Header().Set("Content-Type", "application/json")
		_, _ = io.WriteString(w, `{"text":"ok"}`) // a benchmark's client is not lost
	})
}

// load sends n signed commands over so many connections and returns how long
// each took.
func load(b *testing.B, address, secret string, n, connections int) []time.Duration {
	client := &http.Client{Transport: &http.Transport{MaxIdleConnsPerHost: connections}}
	defer client.CloseIdleConnections()
	took := make([]time.Duration, n)
	var next atomic.Int64
	var wg sync.WaitGroup
	for range connections {
		wg.Go(func() {
			var text bytes.Buffer // kept: what the client makes of a response is no cost of the bot
			for {
				i := int(next.Add(1)) - 1
				if i >= n {
					return
				}
				form := url.Values{"command": {DefaultCommand}, "text": {line(i)}, "team_id": {"T1"}, "channel_id": {"C1"}, "user_id": {fmt.Sprint("U", i%200)},
					"trigger_id": {fmt.Sprint(b.Name(), i, time.Now().UnixNano())}, "response_url": {address + "/commands/x"}}
				body := form.Encode()
				stamp := fmt.Sprint(time.Now().Unix())
				mac := hmac.New(sha256.New, []byte(secret))
				fmt.Fprintf(mac, "v0:%s:%s", stamp, body)
				req, err := http.NewRequest(http.MethodPost, address, strings.NewReader(body))
				if err != nil {
					b.Error(err)
					return
				}
				req.Header.Set("Content-Type", "application/x-www-form-urlencoded")
				req.Header.Set("X-Slack-Request-Timestamp", stamp)
				req.Header.Set("X-Slack-Signature", "v0="+hex.EncodeToString(mac.Sum(nil)))
				began := time.Now()
				resp, err := client.Do(req)
				if err != nil {
					b.Error(err)
					return
				}
				text.Reset()
				_, err = text.ReadFrom(resp.Body)
				resp.Body.Close()
				took[i] = time.Since(began)
				if err != nil || resp.StatusCode != http.StatusOK || text.Len() == 0 {
					b.Errorf("status %v, %q, %v", resp.StatusCode, text.String(), err)
					return
				}
			}
		})
	}
	wg.Wait()
	slices.Sort(took)
	return took
}

// benchAdapter is an adapter over HTTP whose workspace is known to take tables.
func benchAdapter(b *testing.B) *Adapter {
	i := &incidents{}
	now := time.Now
	h := bot.NewHandler(bot.Options{Desk: realDesk(b, i), Incident: i.note})
	a, err := New(Options{Handler: h, Incident: i.note, Now: now, BotToken: "xoxb-x", SigningSecret: "secret", Transport: HTTP, APIURL: "http://127.0.0.1:1/api/"})
	require.NoError(b, err)
	a.tables.Add("T1", true)
	b.Cleanup(func() {
		if text := i.text(); text != "" {
			b.Error(text)
		}
	})
	return a
}

// BenchmarkHTTP measures signed commands over loopback against the bare handler
// and the asking, all in one run. What the asking takes is measured twice: alone,
// and where the bot asks, among connections that wait for their answers, as what a
// bare handler takes more if it asks before it says ok.
func BenchmarkHTTP(b *testing.B) {
	const connections = 16
	a := benchAdapter(b)
	var asked atomic.Int64
	server, plain := httptest.NewServer(a), httptest.NewServer(bare(a, func() {}))
	asking := httptest.NewServer(bare(a, func() { askOne(a, int(asked.Add(1))) }))
	defer server.Close()
	defer plain.Close()
	defer asking.Close()
	for _, at := range []string{server.URL, plain.URL, asking.URL} {
		load(b, at, "secret", 500, connections)
	}
	b.ResetTimer()
	var bot, ok, ask, among time.Duration
	var p99 time.Duration
	done := 0
	const round = 1000
	for done < b.N {
		n := min(round, b.N-done)
		began := time.Now()
		took := load(b, server.URL, "secret", n, connections)
		bot += time.Since(began)
		p99 = max(p99, took[len(took)*99/100])
		began = time.Now()
		load(b, plain.URL, "secret", n, connections)
		ok += time.Since(began)
		began = time.Now()
		load(b, asking.URL, "secret", n, connections)
		among += time.Since(began)
		began = time.Now()
		asks(a, n)
		ask += time.Since(began)
		done += n
	}
	b.ReportMetric(float64(b.N)/bot.Seconds(), "answers/s")
	b.ReportMetric(float64(b.N)/ok.Seconds(), "bare/s")
	b.ReportMetric(float64(b.N)/ask.Seconds(), "asks/s")
	b.ReportMetric((bot-ask).Seconds()/ok.Seconds(), "(bot-ask)/bare")
	b.ReportMetric((bot-(among-ok)).Seconds()/ok.Seconds(), "(bot-ask-among)/bare")
	b.ReportMetric(float64(p99.Microseconds())/1000, "p99-ms")
	b.ReportMetric(0, "ns/op")
}

// askOne asks the desk one line.
func askOne(a *Adapter, i int) {
	a.o.Handler.Desk.Ask(context.Background(), commands.Asker{User: fmt.Sprint("U", i%200)}, line(i))
}

// asks asks the desk alone, on all cores as the server does.
func asks(a *Adapter, n int) {
	var next atomic.Int64
	var wg sync.WaitGroup
	for range runtime.GOMAXPROCS(0) {
		wg.Go(func() {
			for {
				i := int(next.Add(1)) - 1
				if i >= n {
					return
				}
				askOne(a, i)
			}
		})
	}
	wg.Wait()
}

// BenchmarkSocket measures commands over a link, through the real client and
// back, each acknowledged with its answer.
func BenchmarkSocket(b *testing.B) {
	r := start(b, Socket, func(_ *Options, _ *bot.Options, f *slackfake.Options) { f.Now = time.Now })
	r.adapter.tables.Add(slackfake.TeamID, true)
	const together = 16
	var next atomic.Int64
	b.ResetTimer()
	var wg sync.WaitGroup
	for range together {
		wg.Go(func() {
			for {
				i := int(next.Add(1)) - 1
				if i >= b.N {
					return
				}
				if _, err := r.fake.Push(context.Background(), r.fake.Command(slackfake.Wren, slackfake.General, DefaultCommand, line(i))); err != nil {
					b.Error(err)
					return
				}
			}
		})
	}
	wg.Wait()
	b.ReportMetric(float64(b.N)/b.Elapsed().Seconds(), "answers/s")
}

// BenchmarkRender measures the laying out of one answer alone.
func BenchmarkRender(b *testing.B) {
	desk := realDesk(b, &incidents{})
	a := bot.Answer{Replies: desk.Ask(context.Background(), commands.Asker{}, line(1))}
	b.ReportAllocs()
	for b.Loop() {
		messages(a, true, func(r reply.Reply) bool { return bot.Fillable(desk, r) })
	}
}

// TestHeapIsFlat answers many messages and looks at what stays: nothing may
// grow with their number.
func TestHeapIsFlat(t *testing.T) {
	if testing.Short() {
		t.Skip("a hundred thousand messages take a while")
	}
	i := &incidents{}
	d := &slow{} // a desk of the tests; the talks of the real one are bounded by their own tests
	d.once.Do(func() {})
	h := bot.NewHandler(bot.Options{Desk: d, Incident: i.note, Limits: bot.NewLimits(time.Now, 1e9, 1e9)})
	a, err := New(Options{Handler: h, Incident: i.note, BotToken: "xoxb-x", SigningSecret: "secret", Transport: HTTP})
	require.NoError(t, err)
	a.tables.Add("T1", true)
	answered := 0
	send := func(from, to int) {
		for i := from; i < to; i++ {
			form := url.Values{"command": {DefaultCommand}, "text": {"size 61-622"}, "team_id": {"T1"}, "channel_id": {"C1"}, "user_id": {fmt.Sprint("U", i%20000)},
				"trigger_id": {fmt.Sprint(i)}, "response_url": {"https://hooks.slack.com/commands/x"}}
			w := httptest.NewRecorder()
			a.serveCommand(w, httptest.NewRequest(http.MethodPost, "/", nil), form)
			if w.Code == http.StatusOK && w.Body.Len() > 0 {
				answered++
			}
		}
	}
	heap := func() uint64 {
		runtime.GC()
		var m runtime.MemStats
		runtime.ReadMemStats(&m)
		return m.HeapAlloc
	}
	const all = 100000
	send(0, all*7/10) // every bounded memory is full by then
	before := heap()
	send(all*7/10, all)
	after := heap()
	require.Equal(t, all, answered, "each is answered once")
	require.Less(t, after, before+before/20+(1<<20), "what stays after 70 000 messages and after 100 000")
	require.Empty(t, i.text())
	runtime.KeepAlive(a)
}
