package discord_test

import (
	"context"
	"net/http"
	"strings"
	"sync/atomic"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"spokeword/bot/discord"
	"spokeword/bot/discordfake"
)

const question, answered = "pressure 80kg 29x2.4 i30 trail", "Front 23 psi"

// works holds that the bot answers over the link it has.
func (b *bench) works() {
	b.t.Helper()
	assert.Contains(b.t, discordfake.Text(b.send(asking(discordfake.InGuild("7"), question))), answered)
	require.Eventually(b.t, func() bool { return b.adapter.Ready() == nil }, soon, time.Millisecond)
}

func kinds(k ...discordfake.Kind) discordfake.Match { return discordfake.Of(k...) }

func (b *bench) next(m ...discordfake.Match) discordfake.Record {
	b.t.Helper()
	r, err := b.fake.Next(b.ctx(), m...)
	require.NoError(b.t, err, b.log)
	return r
}

// TestLinksThatBeginBadly meets the bot with what the service may do before a
// session is ready. It must come up once the service is well again.
func TestLinksThatBeginBadly(t *testing.T) {
	for _, c := range []struct {
		why   string
		greet discordfake.Greeting
		times int
	}{
		{"nothing is said", discordfake.Greeting{Silent: true}, 2},
		{"no web socket", discordfake.Greeting{Status: http.StatusServiceUnavailable}, 2},
		{"a greeting that is no object", discordfake.Greeting{Raw: []string{"null"}}, 1},
		{"a greeting that is cut", discordfake.Greeting{Raw: []string{`{"op":10,"d":{`}}, 1},
		{"an empty greeting", discordfake.Greeting{Raw: []string{""}}, 1},
		{"a heartbeat interval of nought, which would end the process", discordfake.Greeting{Raw: []string{`{"op":10,"d":{"heartbeat_interval":0},"s":null,"t":null}`}}, 1},
		{"an event before the greeting", discordfake.Greeting{Raw: []string{`{"op":0,"d":null,"s":1,"t":"READY"}`}}, 1},
		{"told to reconnect before READY, which locks the library", discordfake.Greeting{Early: []int{discordfake.OpReconnect}, NoReady: true}, 2},
		{"an acknowledgement before READY, which locks the library", discordfake.Greeting{Early: []int{discordfake.OpHeartbeatAck}}, 1},
		{"asked for a heartbeat before READY", discordfake.Greeting{Early: []int{discordfake.OpHeartbeat}}, 1},
		{"no READY", discordfake.Greeting{NoReady: true}, 1},
		{"an invalid session in place of READY", discordfake.Greeting{Invalid: true}, 2},
		{"an invalid session that can be resumed", discordfake.Greeting{Invalid: true, Resumable: true}, 2},
		{"closed for a reason that passes", discordfake.Greeting{Close: discordfake.CloseRateLimited}, 2},
	} {
		t.Run(c.why, func(t *testing.T) {
			t.Parallel()
			b := newBench(t, discord.Gateway, with{still: true, adapter: func(o *discord.Options) { o.OpenTimeout = 300 * time.Millisecond }})
			b.fake.Greet(c.greet, c.times)
			assert.Error(t, b.adapter.Ready(), "not ready before it runs")
			b.run()
			b.online()
			b.works()
			b.good()
		})
	}
}

// run runs the bot until the test ends.
func (b *bench) run() {
	ctx, stop := context.WithCancel(context.Background())
	done := make(chan struct{})
	go func() {
		defer close(done)
		b.ended <- b.adapter.Run(ctx)
	}()
	b.t.Cleanup(func() {
		stop()
		<-done
	})
}

// TestLinksThatBreak breaks a link that is up.
func TestLinksThatBreak(t *testing.T) {
	for _, c := range []struct {
		why     string
		breaks  func(*discordfake.Server)
		resumes bool
	}{
		{"dropped", (*discordfake.Server).Drop, true},
		{"told to reconnect", func(s *discordfake.Server) { s.Op(discordfake.OpReconnect, "null") }, true},
		{"the session is invalid, but can be resumed", func(s *discordfake.Server) { s.Op(discordfake.OpInvalidSession, "true") }, true},
		{"the session is invalid", func(s *discordfake.Server) { s.Op(discordfake.OpInvalidSession, "false") }, false},
		{"closed, to be resumed", func(s *discordfake.Server) { s.CloseLinks(discordfake.CloseUnknownError) }, true},
		{"closed, the session is over", func(s *discordfake.Server) { s.CloseLinks(discordfake.CloseSessionTimedOut) }, false},
		{"closed, the count is wrong", func(s *discordfake.Server) { s.CloseLinks(discordfake.CloseInvalidSeq) }, false},
		{"closed as usual", func(s *discordfake.Server) { s.CloseLinks(1000) }, false},
	} {
		t.Run(c.why, func(t *testing.T) {
			t.Parallel()
			b := newBench(t, discord.Gateway, with{})
			b.next(kinds(discordfake.KindIdentify))
			b.works()
			c.breaks(b.fake)
			r := b.next(kinds(discordfake.KindIdentify, discordfake.KindResume))
			if c.resumes {
				require.Equal(t, discordfake.KindResume, r.Kind)
				assert.True(t, r.Resume.AtResumeURL, "resumed where the service said")
			} else {
				require.Equal(t, discordfake.KindIdentify, r.Kind)
			}
			b.online()
			b.works()
			b.good()
		})
	}
}

// TestWhatCameMeanwhileIsAnswered holds that an interaction sent while the link
// is down is answered after it was resumed, once.
func TestWhatCameMeanwhileIsAnswered(t *testing.T) {
	b := newBench(t, discord.Gateway, with{})
	b.works()
	b.fake.Drop()
	in, err := b.fake.Send(asking(discordfake.InGuild("7"), question))
	require.NoError(t, err)
	r := b.next(kinds(discordfake.KindCallback), discordfake.For(in.ID))
	assert.Nil(t, r.Refused)
	assert.Contains(t, discordfake.Text(*r.Message), answered)
	b.good()
}

// TestLinkOfADeafService holds that a service that no longer answers heartbeats
// is left.
func TestLinkOfADeafService(t *testing.T) {
	b := newBench(t, discord.Gateway, with{fake: discordfake.Options{Heartbeat: 20 * time.Millisecond},
		adapter: func(o *discord.Options) { o.OpenTimeout = 300 * time.Millisecond }})
	b.next(kinds(discordfake.KindIdentify))
	b.fake.Deafen(true)
	b.next(kinds(discordfake.KindResume, discordfake.KindIdentify))
	b.fake.Deafen(false)
	b.online()
	b.works()
}

func TestWhatIsNoInteractionIsPassedOver(t *testing.T) {
	b := newBench(t, discord.Gateway, with{})
	for _, raw := range []string{`null`, `[]`, `"x"`, ``, `{`, `{"op":99}`, `{"op":0,"t":"UNHEARD_OF","s":7,"d":{"x":[1]}}`, `{"op":0,"t":"GUILD_CREATE","s":8,"d":null}`,
		`{"op":0,"t":"INTERACTION_CREATE","s":9,"d":null}`, `{"op":0,"t":"INTERACTION_CREATE","s":10,"d":{}}`, `{"op":0,"t":"INTERACTION_CREATE","s":11,"d":{"id":"1","token":"t","type":2}}`,
		`{"op":0,"t":"INTERACTION_CREATE","s":12,"d":{"id":{},"type":"x"}}`, `{"op":"x"}`, `{"op":11}`, `{"op":10,"d":{"heartbeat_interval":1}}`} {
		b.fake.Raw(raw)
	}
	b.works()
	b.good()
}

// TestRefusedForGood holds that the bot ends where trying again is of no use.
func TestRefusedForGood(t *testing.T) {
	codes := []int{discordfake.CloseAuthenticationFailed, discordfake.CloseInvalidShard, discordfake.CloseShardingRequired,
		discordfake.CloseInvalidVersion, discordfake.CloseInvalidIntents, discordfake.CloseDisallowedIntents}
	ends := func(t *testing.T, b *bench, code int) {
		t.Helper()
		var err error
		select {
		case err = <-b.ended:
		case <-b.ctx().Done():
			t.Fatal("does not end")
		}
		var fatal *discord.FatalError
		require.ErrorAs(t, err, &fatal)
		assert.Equal(t, code, fatal.Code)
		assert.ErrorAs(t, b.adapter.Ready(), &fatal, "and is not ready")
		b.ended <- nil // of the clean-up
		b.good()
	}
	for _, code := range codes {
		t.Run("in place of READY", func(t *testing.T) {
			t.Parallel()
			b := newBench(t, discord.Gateway, with{still: true})
			b.fake.Greet(discordfake.Greeting{Close: code}, 0)
			b.run()
			ends(t, b, code)
		})
		t.Run("later", func(t *testing.T) {
			t.Parallel()
			b := newBench(t, discord.Gateway, with{})
			b.works()
			b.fake.CloseLinks(code)
			ends(t, b, code)
		})
	}
	over(t, func(t *testing.T, transport discord.Transport) {
		b := newBench(t, transport, with{still: true, adapter: func(o *discord.Options) { o.Token = "another.token.x" }})
		b.run()
		ends(t, b, http.StatusUnauthorized)
		assert.NotContains(t, b.log.String(), "another.token")
		assert.Zero(t, b.fake.Links(), "no session was begun with it")
	})
}

// TestStartsAreKeptInReserve holds that no session is begun when few are left
// for the day: with the last one the service resets the token.
func TestStartsAreKeptInReserve(t *testing.T) {
	var asked atomic.Int64
	b := newBench(t, discord.Gateway, with{still: true, fake: discordfake.Options{Identifies: 1000}, adapter: func(o *discord.Options) {
		o.Client = &http.Client{Transport: counting{"/gateway/bot", &asked}}
	}})
	b.fake.SetIdentifies(49)
	b.run()
	b.next(discordfake.Path("/gateway/bot"))
	require.Eventually(t, func() bool { return b.adapter.Ready() != nil && asked.Load() == 1 }, soon, time.Millisecond)
	require.ErrorContains(t, b.adapter.Ready(), "link")
	assert.Zero(t, b.fake.Links())
	for _, r := range b.fake.Records() {
		assert.NotEqual(t, discordfake.KindIdentify, r.Kind)
	}
}

// counting counts requests for a path.
type counting struct {
	path string
	n    *atomic.Int64
}

func (c counting) RoundTrip(r *http.Request) (*http.Response, error) {
	resp, err := http.DefaultTransport.RoundTrip(r)
	if r.URL.Path == "/api/v9"+c.path {
		c.n.Add(1)
	}
	return resp, err
}

// TestCloseIsNotUndone holds that nothing comes back after the end.
func TestCloseIsNotUndone(t *testing.T) {
	// A beat that is missed five times ends the link by itself, so it is not too quick for a busy machine.
	b := newBench(t, discord.Gateway, with{still: true, fake: discordfake.Options{Heartbeat: 50 * time.Millisecond}})
	ctx, stop := context.WithCancel(context.Background())
	go func() { b.ended <- b.adapter.Run(ctx) }()
	require.Eventually(t, func() bool { return b.adapter.Ready() == nil }, soon, time.Millisecond)
	stop()
	require.NoError(t, <-b.ended)
	r := b.next(kinds(discordfake.KindLinkDown))
	assert.Equal(t, 1000, r.Close, "the session is ended, so that nothing waits for it")
	identified := 0
	for _, r := range b.fake.Records() {
		if r.Kind == discordfake.KindIdentify || r.Kind == discordfake.KindResume {
			identified++
		}
	}
	assert.Equal(t, 1, identified)
	assert.Zero(t, b.fake.Links())
	b.good()
}

// TestReadinessOverTime holds that a link that is renewed in passing does not
// turn readiness red, and one that is down for more than a minute does.
func TestReadinessOverTime(t *testing.T) {
	b := newBench(t, discord.Gateway, with{})
	b.works()
	b.fake.Greet(discordfake.Greeting{Status: http.StatusServiceUnavailable}, 0)
	b.fake.Drop()
	require.Eventually(t, func() bool { return strings.Contains(b.log.String(), "link down") }, soon, time.Millisecond)
	assert.NoError(t, b.adapter.Ready(), "a moment after it was lost")
	b.ahead.Store(int64(2 * time.Minute))
	assert.ErrorContains(t, b.adapter.Ready(), "link down")
}
