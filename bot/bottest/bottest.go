// Package bottest is the suite that every front end passes: what people can
// rely on wherever they talk to the bot.
package bottest

import (
	"bytes"
	"context"
	"fmt"
	"io"
	"log/slog"
	"math/rand/v2"
	"net/http"
	"regexp"
	"strings"
	"sync"
	"testing"
	"time"

	"github.com/prometheus/common/expfmt"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"spokeword/bot"
	"spokeword/commands"
	"spokeword/commands/reply"
	"spokeword/commands/talk"
)

// Setup is what a front end is started with.
type Setup struct {
	Handler  *bot.Handler
	Incident func(error) string
	Log      *slog.Logger
	// Client wraps the way to the service, so that the suite sees what is left
	// open there.
	Client func(http.RoundTripper) http.RoundTripper
	// Marker is to stand in every token and secret.
	Marker string
}

// Shown is what somebody sees.
type Shown struct {
	Text     string // flattened, one line below the other
	Private  bool   // one person alone sees it
	Deferred bool   // no answer yet: it was announced
	Buttons  []string
	Native   any // the front end's own, for Press
}

// Front is a front end that runs.
type Front struct {
	// Ask sends a line as a person in a channel and returns what they are shown
	// first: the answer, or that one follows.
	Ask func(ctx context.Context, line string) (Shown, error)
	// Next returns what they are shown next.
	Next func(ctx context.Context) (Shown, error)
	// Press presses a button of what is shown and returns what comes of it.
	Press func(ctx context.Context, on Shown, label string) (Shown, error)
	// Public returns all that was sent for everybody in the channel to see.
	Public func() string
	// Pings returns each mention in all that was sent which would call somebody.
	Pings func() []string
	// Violations returns what a strict service would have refused.
	Violations func() []string
	// Stop ends the front end and returns how it ended.
	Stop func() error
	// Alone is set where nobody else could see anything, and no answer is
	// announced: at a terminal.
	Alone bool
}

// Start starts a front end.
type Start func(t *testing.T, s Setup) *Front

// desk is the desk of the suite: the real one, or what a test wants.
type desk struct {
	bot.Desk
	mu  sync.Mutex
	ask func(ctx context.Context, line string) []reply.Reply
}

func (d *desk) Ask(ctx context.Context, who commands.Asker, line string) []reply.Reply {
	d.mu.Lock()
	ask := d.ask
	d.mu.Unlock()
	if ask != nil {
		return ask(ctx, line)
	}
	return d.Desk.Ask(ctx, who, line)
}

func (d *desk) answers(ask func(ctx context.Context, line string) []reply.Reply) {
	d.mu.Lock()
	defer d.mu.Unlock()
	d.ask = ask
}

// stand is one front end under test.
type stand struct {
	*Front
	t       *testing.T
	desk    *desk
	log     *safeBuffer
	metrics *bot.Metrics
	bodies  *bodies
	marker  string
}

func noon() time.Time { return time.Date(2030, time.May, 4, 12, 0, 0, 0, time.UTC) }

func newStand(t *testing.T, start Start, patience time.Duration) *stand {
	s := &stand{t: t, log: &safeBuffer{}, metrics: bot.NewMetrics(), bodies: &bodies{}, marker: "MARKER"}
	log := slog.New(slog.NewJSONHandler(s.log, &slog.HandlerOptions{Level: slog.LevelDebug, ReplaceAttr: bot.RedactAttr}))
	incident := func(err error) string {
		log.Error("could not answer", "incident", "4711", "error", err)
		return "4711"
	}
	real, err := commands.NewDesk(commands.Deps{Now: noon, Talk: talk.NewMemory(noon), Log: incident})
	require.NoError(t, err)
	s.desk = &desk{Desk: real}
	h := bot.NewHandler(bot.Options{Desk: s.desk, Incident: incident, Metrics: s.metrics, Log: log, Patience: patience})
	s.Front = start(t, Setup{Handler: h, Incident: incident, Log: log, Client: s.bodies.wrap, Marker: s.marker})
	return s
}

func (s *stand) asks(line string) Shown {
	s.t.Helper()
	shown, err := s.Ask(s.t.Context(), line)
	require.NoError(s.t, err)
	return shown
}

// ends stops the front end and holds what is true at every end.
func (s *stand) ends() {
	s.t.Helper()
	assert.NoError(s.t, s.Stop(), "the context ends it, without an error")
	assert.Empty(s.t, s.Violations(), "nothing that a strict service refuses")
	assert.Empty(s.t, s.Pings(), "nobody is called")
	assert.Zero(s.t, s.bodies.left(), "what was opened at the service is closed")
	for name, text := range map[string]string{"log": s.log.String(), "figures": s.figures(), "public": s.Public()} {
		assert.NotContains(s.t, text, s.marker, "no secret in the "+name)
	}
}

func (s *stand) figures() string {
	families, err := s.metrics.Registry.Gather()
	require.NoError(s.t, err)
	var b strings.Builder
	for _, f := range families {
		_, err := expfmt.MetricFamilyToText(&b, f)
		require.NoError(s.t, err)
	}
	return b.String()
}

// Usual is long enough for every answer of the suite that is not made slow.
const usual = time.Minute

// Question is one with a weight in it, and what answers it.
const (
	Question = "pressure 83.7kg 29x2.4 i30 trail"
	Answered = "Front 24 psi"
)

// clock finds what a log and the figures read off a clock: any digits come up
// there, those of a weight too.
var clock = regexp.MustCompile(`("time":)"[^"]*"|("ms":)\d+|(_seconds_sum\{[^}]*\}) \S+`)

// Run runs the suite.
func Run(t *testing.T, start Start) {
	t.Run("answers", func(t *testing.T) {
		s := newStand(t, start, usual)
		shown := s.asks(Question)
		contains(t, shown.Text, Answered)
		contains(t, shown.Text, "Caution: Never go above the lower of the marks on tyre and rim")
		contains(t, s.asks("why").Text, "in the sum")
		s.ends()
	})
	t.Run("a slow answer is announced and then given", func(t *testing.T) {
		s := newStand(t, start, time.Millisecond)
		release := make(chan struct{})
		s.desk.answers(func(ctx context.Context, _ string) []reply.Reply {
			select {
			case <-release:
			case <-ctx.Done():
			}
			return []reply.Reply{{Lead: []string{"At last."}}}
		})
		if s.Alone {
			close(release)
			contains(t, s.asks("slow").Text, "At last.")
			s.ends()
			return
		}
		shown := s.asks("slow")
		assert.True(t, shown.Deferred)
		close(release)
		late, err := s.Next(t.Context())
		require.NoError(t, err)
		contains(t, late.Text, "At last.")
		assert.True(t, late.Private, "what was announced is for the asker alone")
		s.ends()
	})
	t.Run("a mistake is shown to the asker alone", func(t *testing.T) {
		s := newStand(t, start, usual)
		shown := s.asks(`pressure rider:"9000 kg"`)
		contains(t, shown.Text, "Try:")
		assert.True(t, shown.Private || s.Alone)
		assert.Empty(t, s.Public())
		s.ends()
	})
	t.Run("a panic is answered with its number", func(t *testing.T) {
		s := newStand(t, start, usual)
		s.desk.answers(func(context.Context, string) []reply.Reply { panic("tyre burst") })
		shown := s.asks("anything")
		contains(t, shown.Text, "4711")
		assert.NotContains(t, shown.Text, "burst")
		assert.Contains(t, s.log.String(), "tyre burst")
		s.desk.answers(nil)
		contains(t, s.asks(Question).Text, Answered, "and it goes on")
		s.ends()
	})
	t.Run("cautions are whole, whatever else has to go", func(t *testing.T) {
		s := newStand(t, start, usual)
		long := reply.Reply{Command: "size", Line: "size a:61-622", Lead: []string{"Much to say."}}
		for i := range 3 {
			long.Cautions = append(long.Cautions, reply.Caution{ID: "x", Text: fmt.Sprintf("Mind point %d: %s end of point %d.", i, strings.Repeat("and be careful ", 30), i)})
		}
		for i := range 200 {
			long.Notes = append(long.Notes, reply.Note{Text: fmt.Sprintf("note %d %s", i, strings.Repeat("blah ", 40))})
			long.Read = append(long.Read, reply.Item{Option: "o", Value: strings.Repeat("v", 50)})
		}
		table := reply.Table{Head: []string{"a", "b"}}
		for range 200 {
			table.Rows = append(table.Rows, reply.Row{Cells: []string{strings.Repeat("cell ", 20), "x"}})
		}
		long.Tables = []reply.Table{table}
		s.desk.answers(func(context.Context, string) []reply.Reply { return []reply.Reply{long} })
		text := s.asks("anything").Text
		for _, c := range long.Cautions {
			contains(t, text, "Caution: "+c.Text)
		}
		s.ends()
	})
	t.Run("a weight stays with its owner", func(t *testing.T) {
		s := newStand(t, start, usual)
		shown := s.asks(Question)
		require.True(t, shown.Private || s.Alone)
		if !s.Alone {
			shared, err := s.Press(t.Context(), shown, "share in channel")
			require.NoError(t, err)
			assert.False(t, shared.Private)
			contains(t, shared.Text, Answered)
			contains(t, shared.Text, "Caution:")
		}
		for name, text := range map[string]string{"log": s.log.String(), "figures": s.figures(), "public": s.Public()} {
			text = clock.ReplaceAllString(text, "$1$2$3")
			for _, weight := range []string{"83.7", "83,7", "83 ", "837"} {
				assert.NotContains(t, text, weight, "in the "+name)
			}
		}
		s.ends()
	})
	t.Run("nobody is called by what is typed", func(t *testing.T) {
		s := newStand(t, start, usual)
		typed := []string{"@everyone @here", "<!channel> <!here> <!everyone>", "<@U1> <@!1> <@&1> <#1> <#C1>", "```\n@everyone\n```", "`<@1>`", "\u202e@everyone", "<http://a.example|b>", "[a](http://b.example)", "&lt;!channel&gt;"}
		for _, line := range typed {
			s.asks("pressure 80kg 29x2.4 i30 trail " + line)
			s.asks(line)
			s.desk.answers(func(context.Context, string) []reply.Reply {
				return []reply.Reply{{Command: "size", Line: "size a:61-622", Lead: []string{line}, Title: line, Unused: []string{line}, Error: line, Example: line,
					Cautions: []reply.Caution{{ID: "x", Text: line}}, Tables: []reply.Table{{Title: line, Head: []string{line, line}, Rows: []reply.Row{{Cells: []string{line, line}}}}},
					Read: []reply.Item{{Option: line, Value: line, Why: line}}, Notes: []reply.Note{{Text: line}}, Actions: []reply.Action{{Label: line, Line: line}}}}
			})
			s.asks("anything")
			s.desk.answers(nil)
		}
		s.ends()
	})
	t.Run("a line of ten thousand characters", func(t *testing.T) {
		s := newStand(t, start, usual)
		shown := s.asks(strings.Repeat("tyre ", 2000))
		contains(t, shown.Text, "characters long")
		contains(t, s.asks(Question).Text, Answered)
		s.ends()
	})
	t.Run("no reply breaks the service's limits", func(t *testing.T) {
		s := newStand(t, start, usual)
		r := rand.New(rand.NewPCG(3, 4))
		for range 25 {
			s.desk.answers(func(context.Context, string) []reply.Reply { return []reply.Reply{Random(r)} })
			s.asks("anything")
		}
		s.ends()
	})
}

// contains holds that a text says something, however it is broken into lines.
func contains(t *testing.T, text, want string, why ...any) {
	t.Helper()
	assert.Contains(t, flat(text), flat(want), why...)
}

// flat is a text without its blanks and the marks that only lay it out.
func flat(text string) string {
	return strings.Join(strings.FieldsFunc(text, func(r rune) bool { return strings.ContainsRune(" \n\t*_>\\", r) }), "")
}

// Random returns a reply of random, often monstrous parts.
func Random(r *rand.Rand) reply.Reply {
	words := []string{"tyre", "`", "```", "<!channel>", "<@U1>", "@everyone", "&", "\u202eturned", "🚲🚵‍♀️", "ø58", "\n", "*bold*", "", strings.Repeat("x", 700)}
	text := func(most int) string {
		var b strings.Builder
		for range r.IntN(most + 1) {
			b.WriteString(words[r.IntN(len(words))] + " ")
		}
		return b.String()
	}
	texts := func(most, each int) []string {
		var all []string
		for range r.IntN(most + 1) {
			all = append(all, text(each))
		}
		return all
	}
	out := reply.Reply{Command: "size", Title: text(3), Lead: texts(2, 20), Unused: texts(30, 3), Line: "size a:" + text(80)}
	for range r.IntN(4) {
		out.Cautions = append(out.Cautions, reply.Caution{ID: "x", Text: "Mind " + text(30) + " here"})
	}
	for range r.IntN(3) {
		table := reply.Table{Title: text(2), Head: texts(5, 2)}
		for range r.IntN(30) {
			table.Rows = append(table.Rows, reply.Row{Cells: texts(6, 4)})
		}
		out.Tables = append(out.Tables, table)
	}
	for range r.IntN(30) {
		out.Read = append(out.Read, reply.Item{Option: text(1), Value: text(6), Why: text(9)})
		out.Notes = append(out.Notes, reply.Note{Text: text(20)})
		out.Actions = append(out.Actions, reply.Action{Label: text(9), Line: "size a:" + text(200)})
	}
	if r.IntN(3) == 0 {
		out.Ask = &reply.Ask{Option: "a", Text: text(10), Choices: out.Actions[:len(out.Actions)/2]}
	}
	return out
}

// bodies counts the responses whose bodies are open.
type bodies struct {
	mu   sync.Mutex
	open int
}

func (b *bodies) add(n int) {
	b.mu.Lock()
	defer b.mu.Unlock()
	b.open += n
}

func (b *bodies) left() int {
	b.mu.Lock()
	defer b.mu.Unlock()
	return b.open
}

func (b *bodies) wrap(next http.RoundTripper) http.RoundTripper {
	return tripper(func(r *http.Request) (*http.Response, error) {
		resp, err := next.RoundTrip(r)
		if err != nil || resp.StatusCode == http.StatusSwitchingProtocols {
			return resp, err
		}
		b.add(1)
		resp.Body = &body{resp.Body, sync.OnceFunc(func() { b.add(-1) })}
		return resp, nil
	})
}

type tripper func(*http.Request) (*http.Response, error)

func (t tripper) RoundTrip(r *http.Request) (*http.Response, error) { return t(r) }

type body struct {
	io.ReadCloser
	closed func()
}

func (b *body) Close() error {
	b.closed()
	return b.ReadCloser.Close()
}

// safeBuffer is a buffer for several goroutines.
type safeBuffer struct {
	mu sync.Mutex
	b  bytes.Buffer
}

func (s *safeBuffer) Write(p []byte) (int, error) {
	s.mu.Lock()
	defer s.mu.Unlock()
	return s.b.Write(p)
}

func (s *safeBuffer) String() string {
	s.mu.Lock()
	defer s.mu.Unlock()
	return s.b.String()
}
