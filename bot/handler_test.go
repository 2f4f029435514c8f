package bot

import (
	"context"
	"errors"
	"strings"
	"sync"
	"testing"
	"testing/synctest"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"spokeword/commands"
	"spokeword/commands/reply"
	"spokeword/commands/spec"
)

// desk answers what the test wants.
type desk struct {
	ask     func(ctx context.Context, line string) []reply.Reply
	mu      sync.Mutex
	offered []string
}

func (d *desk) Ask(ctx context.Context, _ commands.Asker, line string) []reply.Reply {
	return d.ask(ctx, line)
}
func (d *desk) Offered(commands.Asker, string) (string, bool) { return "", false }
func (d *desk) Commands() *spec.Commands                      { return &spec.Commands{} }
func (d *desk) Offer(_ commands.Asker, line string) {
	d.mu.Lock()
	defer d.mu.Unlock()
	d.offered = append(d.offered, line)
}

func saying(text string) *desk {
	return &desk{ask: func(context.Context, string) []reply.Reply { return []reply.Reply{{Lead: []string{text}}} }}
}

// way keeps what was sent back.
type way struct {
	mu    sync.Mutex
	calls []string
	got   []Answer
	err   error
	panic bool
}

func (w *way) note(call string, a Answer) error {
	w.mu.Lock()
	defer w.mu.Unlock()
	w.calls, w.got = append(w.calls, call), append(w.got, a)
	if w.panic {
		panic("the way is out")
	}
	return w.err
}
func (w *way) Answer(_ context.Context, a Answer) error { return w.note("answer", a) }
func (w *way) Late(_ context.Context, a Answer) error   { return w.note("late", a) }
func (w *way) Defer(context.Context) error              { return w.note("defer", Answer{}) }

// log keeps our errors.
type log struct {
	mu   sync.Mutex
	errs []string
}

func (l *log) incident(err error) string {
	l.mu.Lock()
	defer l.mu.Unlock()
	l.errs = append(l.errs, err.Error())
	return "4711"
}

func (l *log) all() string {
	l.mu.Lock()
	defer l.mu.Unlock()
	return strings.Join(l.errs, "\n")
}

var message = Message{Platform: "here", Asker: commands.Asker{Workspace: "w", User: "u"}, Line: "how long"}

func TestHandle(t *testing.T) {
	slow := func(took time.Duration) *desk {
		return &desk{ask: func(ctx context.Context, _ string) []reply.Reply {
			select {
			case <-time.After(took):
				return []reply.Reply{{Lead: []string{"done"}}}
			case <-ctx.Done():
				return []reply.Reply{{Lead: []string{"stopped"}}}
			}
		}}
	}
	deaf := &desk{ask: func(context.Context, string) []reply.Reply {
		<-time.After(time.Hour)
		return nil
	}}
	for _, c := range []struct {
		why   string
		desk  *desk
		calls []string
		text  string
		fault bool
	}{
		{"an answer at once", saying("done"), []string{"answer"}, "done", false},
		{"in time by a hair", slow(Patience - time.Millisecond), []string{"answer"}, "done", false},
		{"too slow: announced first", slow(Patience + time.Millisecond), []string{"defer", "late"}, "done", false},
		{"far too slow: stopped", slow(time.Hour), []string{"defer", "late"}, "", true},
		{"does not listen: given up", deaf, []string{"defer", "late"}, "", true},
		{"panics", &desk{ask: func(context.Context, string) []reply.Reply { panic("tyre burst") }}, []string{"answer"}, "", true},
		{"panics late", &desk{ask: func(context.Context, string) []reply.Reply {
			<-time.After(2 * time.Second)
			panic("tyre burst")
		}}, []string{"defer", "late"}, "", true},
	} {
		t.Run(c.why, func(t *testing.T) {
			synctest.Test(t, func(t *testing.T) {
				w, l := &way{}, &log{}
				h := NewHandler(Options{Desk: c.desk, Incident: l.incident})
				began := time.Now()
				h.Handle(context.Background(), message, w)
				assert.LessOrEqual(t, time.Since(began), Patience, "it holds nobody longer")
				require.NoError(t, h.Drain(context.Background()))
				assert.Equal(t, c.calls, w.calls)
				last := w.got[len(w.got)-1]
				if c.fault {
					r := last.Replies[0]
					if r.Fault {
						assert.True(t, last.Private)
						assert.Contains(t, r.Error, "4711")
						assert.Equal(t, "how long", r.Actions[0].Line, "nothing typed is lost")
						assert.NotEmpty(t, l.all())
					} else {
						assert.Equal(t, []string{"stopped"}, r.Lead)
					}
					assert.NotContains(t, r.Error, "burst")
				} else {
					assert.Equal(t, []string{c.text}, last.Replies[0].Lead)
					assert.Empty(t, l.all())
				}
				if c.desk == deaf {
					<-time.After(time.Hour) // so that the bubble ends
				}
			})
		})
	}
}

func TestPanicOfAnAdapter(t *testing.T) {
	w, l := &way{panic: true}, &log{}
	h := NewHandler(Options{Desk: saying("x"), Incident: l.incident, AtOnce: 1})
	for range 3 {
		h.Handle(context.Background(), message, w)
	}
	assert.Len(t, w.calls, 3, "each had its slot: none was lost to a panic")
	assert.Contains(t, l.all(), "the way is out")
}

func TestUnsentIsLogged(t *testing.T) {
	w, l := &way{err: errors.New("post https://hooks.example/commands/T1/SECRET: refused")}, &log{}
	h := NewHandler(Options{Desk: saying("x"), Incident: l.incident})
	h.Handle(context.Background(), message, w)
	assert.Contains(t, l.all(), "send an answer")
}

// store is a Seen that fails when it is told to.
type store struct {
	*Recent
	err error
}

func (s *store) Mark(_ context.Context, ids ...string) (bool, error) {
	if s.err != nil {
		return false, s.err
	}
	return s.Recent.Mark(ids...), nil
}

func TestDuplicates(t *testing.T) {
	durable := &store{Recent: NewRecent(100)}
	l := &log{}
	handler := func() *Handler {
		return NewHandler(Options{Desk: saying("x"), Incident: l.incident, Seen: durable})
	}
	send := func(h *Handler, ids ...string) bool {
		w := &way{}
		m := message
		m.IDs = ids
		h.Handle(context.Background(), m, w)
		return len(w.calls) > 0
	}
	h := handler()
	for _, c := range []struct {
		ids  []string
		want bool
		why  string
	}{
		{[]string{"e1", "c:1"}, true, "new"},
		{[]string{"e1", "c:1"}, false, "the same again"},
		{[]string{"e2", "c:1"}, false, "another event of the same message"},
		{[]string{"e1", "c:9"}, false, "the same event"},
		{[]string{"e2"}, false, "marked, though it was not answered"},
		{[]string{"e3", "c:3"}, true, "new"},
		{nil, true, "nothing to know it by"},
		{nil, true, "nothing to know it by"},
	} {
		assert.Equal(t, c.want, send(h, c.ids...), "%v: %s", c.ids, c.why)
	}
	again := handler()
	assert.False(t, send(again, "e1", "c:1"), "met before the restart")
	assert.True(t, send(again, "e7"), "not met before the restart")
	durable.err = errors.New("disk full")
	assert.True(t, send(again, "e8"), "answered all the same")
	assert.False(t, send(again, "e8"), "but not twice")
	assert.Contains(t, l.all(), "disk full")
}

// held is a way that answers only once a channel is closed.
type held struct {
	*way
	until chan struct{}
}

// Answer waits, and answers.
func (h held) Answer(ctx context.Context, a Answer) error {
	<-h.until
	return h.way.Answer(ctx, a)
}

func TestTooMuchInWork(t *testing.T) {
	release := make(chan struct{})
	d := &desk{ask: func(context.Context, string) []reply.Reply {
		<-release
		return []reply.Reply{{Lead: []string{"done"}}}
	}}
	synctest.Test(t, func(t *testing.T) {
		release = make(chan struct{})
		l := &log{}
		h := NewHandler(Options{Desk: d, Incident: l.incident, AtOnce: 2, Patience: time.Hour, Longest: 2 * time.Hour})
		ways := make([]*way, 5)
		handed := make(chan struct{})
		for i := range ways {
			ways[i] = &way{}
			h.Go(context.Background(), message, held{ways[i], handed})
		}
		close(handed) // nobody was told before all were handed over
		synctest.Wait()
		told := 0
		for _, w := range ways {
			for _, a := range w.got {
				assert.Contains(t, a.Replies[0].Error, "try again in a few seconds")
				assert.Equal(t, "how long", a.Replies[0].Actions[0].Line)
				told++
			}
		}
		assert.Equal(t, 2, told, "two in work, two told, and the fifth is dropped")
		close(release)
		require.NoError(t, h.Drain(context.Background()))
		synctest.Wait()
		calls := 0
		for _, w := range ways {
			assert.LessOrEqual(t, len(w.calls), 1)
			calls += len(w.calls)
		}
		assert.Equal(t, 4, calls)
	})
}

// TestBackground holds that what is done beside the answers is bounded, waited
// for, and survives a panic.
func TestBackground(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		l := &log{}
		h := NewHandler(Options{Desk: saying("x"), Incident: l.incident, AtOnce: 2})
		release := make(chan struct{})
		var mu sync.Mutex
		began := 0
		for range 5 {
			h.Background(context.Background(), "wait", func(context.Context) error {
				mu.Lock()
				began++
				mu.Unlock()
				<-release
				return nil
			})
		}
		synctest.Wait()
		assert.Equal(t, 2, began, "no more than may go on at once")
		close(release)
		synctest.Wait()
		h.Background(context.Background(), "burst", func(context.Context) error { panic("tyre burst") })
		synctest.Wait()
		h.Background(context.Background(), "fail", func(context.Context) error { return errors.New("no air") })
		require.NoError(t, h.Drain(context.Background()))
		assert.Contains(t, l.all(), "tyre burst")
		assert.Contains(t, l.all(), "fail: no air")
		assert.False(t, h.Background(context.Background(), "late", func(context.Context) error {
			t.Error("done after draining")
			return nil
		}))
	})
}

func TestDrain(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		l, w := &log{}, &way{}
		h := NewHandler(Options{Desk: &desk{ask: func(context.Context, string) []reply.Reply {
			<-time.After(5 * time.Second)
			return []reply.Reply{{Lead: []string{"done"}}}
		}}, Incident: l.incident})
		h.Go(context.Background(), message, w)
		synctest.Wait()
		short, stop := context.WithTimeout(context.Background(), time.Second)
		defer stop()
		assert.Error(t, h.Drain(short))
		late := &way{}
		h.Handle(context.Background(), message, late)
		assert.Contains(t, late.got[0].Replies[0].Error, "restarted")
		require.NoError(t, h.Drain(context.Background()))
		assert.Equal(t, []string{"defer", "late"}, w.calls, "what was in work is finished")
	})
}

func TestLimits(t *testing.T) {
	now := time.Date(2030, time.May, 4, 12, 0, 0, 0, time.UTC)
	limits := NewLimits(func() time.Time { return now }, 12, 40) // 3 at once, one each 5 s; 10 at once for all
	l := &log{}
	h := NewHandler(Options{Desk: saying("x"), Incident: l.incident, Limits: limits})
	ask := func(user string) string {
		w, m := &way{}, message
		m.Asker.User = user
		h.Handle(context.Background(), m, w)
		return w.got[0].Replies[0].Error
	}
	for range 3 {
		assert.Empty(t, ask("ann"))
	}
	assert.Contains(t, ask("ann"), "try again in 6 s")
	assert.Contains(t, ask("ann"), "try again in 6 s", "asking again costs nothing")
	assert.Empty(t, ask("bob"), "others are not kept waiting")
	now = now.Add(5 * time.Second)
	assert.Empty(t, ask("ann"))
	for _, u := range []string{"c", "d", "e", "f", "g", "h", "i", "j"} {
		ask(u)
	}
	assert.NotEmpty(t, ask("k"), "the workspace has its limit too")
	assert.Equal(t, time.Duration(0), NewLimits(time.Now, 0, 0).Take(message.Asker), "nought allows any number")
}

// TestLimitsStaySmall holds that a crowd of askers takes bounded memory.
func TestLimitsStaySmall(t *testing.T) {
	limits := NewLimits(time.Now, 10, 10)
	for i := range 3 * mostBuckets {
		limits.Take(commands.Asker{Workspace: strings.Repeat("w", i%50), User: string(rune(i))})
	}
	assert.LessOrEqual(t, limits.persons.kept.Len(), mostBuckets)
}

func TestAnswerOf(t *testing.T) {
	personal := reply.Reply{Command: "weigh", Line: `weigh rider:"80 kg"`, Lead: []string{"Fine."}, Private: true,
		Read: []reply.Item{{Option: "rider", Value: "80 kg", Personal: true}, {Option: "tyre", Value: "2.4 in"}}}
	open := reply.Reply{Command: "size", Line: "size a:61-622", Lead: []string{"29 inch."}}
	for _, c := range []struct {
		why                     string
		replies                 []reply.Reply
		share                   bool
		private, shared, offers bool
	}{
		{"something personal", []reply.Reply{personal}, false, true, false, true},
		{"nothing personal", []reply.Reply{open}, false, false, false, true},
		{"one of two", []reply.Reply{open, personal}, false, true, false, false},
		{"a mistake", []reply.Reply{{Mistake: true, Line: "x y:1"}}, false, true, false, false},
		{"a fault", []reply.Reply{{Fault: true, Line: "x y:1"}}, false, true, false, false},
		{"a question", []reply.Reply{{Ask: &reply.Ask{}, Line: "x y:1"}}, false, true, false, false},
		{"nothing to ask again", []reply.Reply{{Line: "why"}}, false, false, false, false},
		{"shared", []reply.Reply{personal}, true, false, true, false},
		{"a mistake is not shared", []reply.Reply{{Mistake: true}}, true, true, false, false},
	} {
		a := answerOf(Message{Share: c.share}, c.replies)
		assert.Equal(t, c.private, a.Private, c.why)
		assert.Equal(t, c.shared, a.Shared, c.why)
		_, ok := a.Shareable()
		assert.Equal(t, c.offers, ok, c.why)
	}
	shared := answerOf(Message{Share: true}, []reply.Reply{personal})
	assert.Equal(t, []reply.Item{{Option: "tyre", Value: "2.4 in"}}, shared.Replies[0].Read)
}
