package discord

import (
	"bytes"
	"context"
	"crypto/ed25519"
	"encoding/hex"
	"encoding/json"
	"fmt"
	"io"
	"net/http"
	"net/http/httptest"
	"os"
	"runtime"
	"slices"
	"strconv"
	"strings"
	"sync"
	"sync/atomic"
	"testing"
	"time"

	"github.com/bwmarrin/discordgo"
	"github.com/stretchr/testify/require"

	"spokeword/bot"
	"spokeword/bot/discordfake"
	"spokeword/commands"
	"spokeword/commands/talk"
)

// question returns a question that differs each time.
func question(i int) string {
	return fmt.Sprintf("pressure %dkg 29x2.%d i%d trail", 50+i%60, 1+i/60%6, 25+i/360%10)
}

// signedBody is a request as the service sends it.
type signedBody struct {
	body             []byte
	stamp, signature string
}

// benchBot is an adapter over HTTP with the real desk, and the key that signs
// for it.
func benchBot(b *testing.B) (*Adapter, ed25519.PrivateKey) {
	public, key, err := ed25519.GenerateKey(nil)
	require.NoError(b, err)
	incident := func(err error) string {
		b.Error(err)
		return ""
	}
	desk, err := commands.NewDesk(commands.Deps{Now: time.Now, Talk: talk.NewMemory(time.Now), Log: incident})
	require.NoError(b, err)
	a, err := New(Options{Token: "a.b.c", ApplicationID: "42", Transport: HTTP, PublicKey: hex.EncodeToString(public),
		Handler: bot.NewHandler(bot.Options{Desk: desk, Incident: incident, Limits: bot.NewLimits(time.Now, 1e9, 1e9)}), Incident: incident})
	require.NoError(b, err)
	return a, key
}

// requests makes n signed requests that differ, before anything is measured.
func requests(b *testing.B, key ed25519.PrivateKey, from, n int) []signedBody {
	all := make([]signedBody, n)
	stamp := strconv.FormatInt(time.Now().Unix(), 10)
	for i := range all {
		in := discordfake.Slash(discordfake.InGuild(fmt.Sprint(i%200)), "ask", discordfake.TextOption("text", question(from+i)))
		in.ID, in.ApplicationID, in.Token = fmt.Sprintf("1400000000%09d", from+i), "42", fmt.Sprintf("%0160d", from+i)
		body, err := json.Marshal(in)
		require.NoError(b, err)
		all[i] = signedBody{body, stamp, hex.EncodeToString(ed25519.Sign(key, append([]byte(stamp), body...)))}
	}
	return all
}

// bare is the least that a bot over HTTP must do: read, verify, say something;
// between the two it does what it is given.
func bare(a *Adapter, between func()) http.Handler {
	return http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		raw, err := io.ReadAll(http.MaxBytesReader(w, r.Body, mostBody))
		if err != nil || a.verify(r.Header, raw) != "" {
			w.WriteHeader(http.StatusUnauthorized)
			return
		}
		between()
		w.Header().Set("Content-Type", "application/json")
		_, _ = io.WriteString(w, `{"type":4,"data":{"content":"ok"}}`) // a benchmark's client is not lost
	})
}

// load sends requests over so many connections and returns how long each took,
// the shortest first.
func load(b *testing.B, address string, all []signedBody, connections int) []time.Duration {
	client := &http.Client{Transport: &http.Transport{MaxIdleConnsPerHost: connections}}
	defer client.CloseIdleConnections()
	took := make([]time.Duration, len(all))
	var next atomic.Int64
	var wg sync.WaitGroup
	for range connections {
		wg.Go(func() {
			var text bytes.Buffer // kept: what the client makes of a response is no cost of the bot
			for {
				i := int(next.Add(1)) - 1
				if i >= len(all) {
					return
				}
				req, err := http.NewRequest(http.MethodPost, address, bytes.NewReader(all[i].body))
				if err != nil {
					b.Error(err)
					return
				}
				req.Header.Set("Content-Type", "application/json")
				req.Header.Set("X-Signature-Timestamp", all[i].stamp)
				req.Header.Set("X-Signature-Ed25519", all[i].signature)
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

// askOne asks the desk one line.
func askOne(a *Adapter, i int) {
	a.o.Handler.Desk.Ask(context.Background(), commands.Asker{User: strconv.Itoa(i % 200)}, question(i))
}

// asks asks the desk alone, on all cores as the server does.
func asks(a *Adapter, from, n int) {
	var next atomic.Int64
	var wg sync.WaitGroup
	for range runtime.GOMAXPROCS(0) {
		wg.Go(func() {
			for {
				i := int(next.Add(1)) - 1
				if i >= n {
					return
				}
				askOne(a, from+i)
			}
		})
	}
	wg.Wait()
}

// peak returns the most memory the process has had, in MiB; 0 where the system
// does not tell.
func peak() float64 {
	status, _ := os.ReadFile("/proc/self/status") // elsewhere there is none
	for l := range strings.SplitSeq(string(status), "\n") {
		if f := strings.Fields(l); len(f) > 1 && f[0] == "VmHWM:" {
			kib, _ := strconv.Atoi(f[1]) // a number, or not told
			return float64(kib) / 1024
		}
	}
	return 0
}

// used returns the processor time that the process has used; 0 where the system
// does not tell. Unlike the time on the clock it hardly depends on what else
// the machine does.
func used() time.Duration {
	stat, _ := os.ReadFile("/proc/self/stat") // elsewhere there is none
	_, after, _ := strings.Cut(string(stat), ") ")
	f := strings.Fields(after)
	if len(f) < 13 {
		return 0
	}
	user, _ := strconv.Atoi(f[11]) // in hundredths of a second
	system, _ := strconv.Atoi(f[12])
	return time.Duration(user+system) * 10 * time.Millisecond
}

// spent is what something took.
type spent struct{ clock, processor time.Duration }

func (s *spent) on(do func()) {
	began, before := time.Now(), used()
	do()
	s.clock, s.processor = s.clock+time.Since(began), s.processor+used()-before
}

// BenchmarkHTTP measures signed interactions over loopback against the bare handler
// and the asking, all in one run. What the asking takes is measured twice: alone,
// and where the bot asks, among connections that wait for their answers, as what a
// bare handler takes more if it asks before it says something.
func BenchmarkHTTP(b *testing.B) {
	const connections, round = 16, 1000
	a, key := benchBot(b)
	least, leastKey := benchBot(b)
	var asked atomic.Int64
	server, plain := httptest.NewServer(a), httptest.NewServer(bare(least, func() {}))
	asking := httptest.NewServer(bare(least, func() { askOne(a, int(asked.Add(1))) }))
	defer server.Close()
	defer plain.Close()
	defer asking.Close()
	at := 1_000_000 // warm-up; other identities than those measured
	load(b, server.URL, requests(b, key, at, 500), connections)
	load(b, plain.URL, requests(b, leastKey, at, 500), connections)
	load(b, asking.URL, requests(b, leastKey, at+500, 500), connections)
	var whole, ok, ask, among spent
	var p99 time.Duration
	b.ResetTimer()
	for done := 0; done < b.N; {
		n := min(round, b.N-done)
		ours, others, more := requests(b, key, done, n), requests(b, leastKey, done, n), requests(b, leastKey, 2*at+done, n)
		whole.on(func() {
			took := load(b, server.URL, ours, connections)
			p99 = max(p99, took[len(took)*99/100])
		})
		ok.on(func() { load(b, plain.URL, others, connections) })
		among.on(func() { load(b, asking.URL, more, connections) })
		ask.on(func() { asks(a, done, n) })
		done += n
	}
	b.ReportMetric(float64(b.N)/whole.clock.Seconds(), "answers/s")
	b.ReportMetric(float64(b.N)/ok.clock.Seconds(), "bare/s")
	b.ReportMetric(float64(b.N)/ask.clock.Seconds(), "asks/s")
	b.ReportMetric((whole.clock-ask.clock).Seconds()/ok.clock.Seconds(), "(bot-ask)/bare")
	b.ReportMetric((whole.clock-(among.clock-ok.clock)).Seconds()/ok.clock.Seconds(), "(bot-ask-among)/bare")
	if ok.processor > 0 {
		b.ReportMetric((whole.processor-ask.processor).Seconds()/ok.processor.Seconds(), "cpu-(bot-ask)/bare")
		b.ReportMetric(float64(whole.processor.Microseconds())/float64(b.N), "cpu-us/answer")
	}
	b.ReportMetric(float64(p99.Microseconds())/1000, "p99-ms")
	b.ReportMetric(peak(), "peak-MiB")
	b.ReportMetric(0, "ns/op")
}

// BenchmarkGateway measures interactions over a link, through the real client
// and back by a call each.
func BenchmarkGateway(b *testing.B) {
	const together = 32
	fake, err := discordfake.New(discordfake.Options{})
	require.NoError(b, err)
	defer fake.Close()
	a, _ := benchBot(b)
	o := a.o
	o.Transport, o.APIURL, o.Token = Gateway, fake.URL(), fake.Token()
	a, err = New(o)
	require.NoError(b, err)
	ctx, stop := context.WithCancel(context.Background())
	ended := make(chan error, 1)
	go func() { ended <- a.Run(ctx) }()
	require.NoError(b, fake.Online(ctx))
	var next atomic.Int64
	var wg sync.WaitGroup
	b.ResetTimer()
	for range together {
		wg.Go(func() {
			for {
				i := int(next.Add(1)) - 1
				if i >= b.N {
					return
				}
				if _, err := fake.Push(ctx, discordfake.Slash(discordfake.InGuild(strconv.Itoa(i%200)), "ask", discordfake.TextOption("text", question(i)))); err != nil {
					b.Error(err)
					return
				}
			}
		})
	}
	wg.Wait()
	b.StopTimer()
	b.ReportMetric(float64(b.N)/b.Elapsed().Seconds(), "answers/s")
	b.ReportMetric(peak(), "peak-MiB")
	require.NoError(b, a.o.Handler.Drain(ctx))
	stop()
	require.NoError(b, <-ended)
}

// BenchmarkShow measures the laying out of one answer alone.
func BenchmarkShow(b *testing.B) {
	a, _ := benchBot(b)
	answer := bot.Answer{Replies: a.o.Handler.Desk.Ask(context.Background(), commands.Asker{}, question(1))}
	b.ReportAllocs()
	for b.Loop() {
		messages(answer, (&way{a: a, i: &discordgo.Interaction{GuildID: "500"}}).layout())
	}
}

// BenchmarkDecode measures the library's reading of an interaction alone.
func BenchmarkDecode(b *testing.B) {
	_, key := benchBot(b)
	body := requests(b, key, 0, 1)[0].body
	b.ReportAllocs()
	for b.Loop() {
		decoded(body)
	}
}

// BenchmarkVerify measures the check of a signature alone.
func BenchmarkVerify(b *testing.B) {
	a, key := benchBot(b)
	all := requests(b, key, 0, 1)[0]
	message, signature := append([]byte(all.stamp), all.body...), ed25519.Sign(key, append([]byte(all.stamp), all.body...))
	b.ReportAllocs()
	for b.Loop() {
		ed25519.Verify(a.key, message, signature)
	}
}
