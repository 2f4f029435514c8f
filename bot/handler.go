package bot

import (
	"cmp"
	"context"
	"errors"
	"fmt"
	"log/slog"
	"strconv"
	"strings"
	"sync"
	"time"

	"spokeword/commands"
	"spokeword/commands/reply"
)

// Usual bounds of a Handler.
const (
	// Patience is how long an answer may take before it is announced instead.
	// Both services give three seconds, of which the network takes its part.
	Patience = 1500 * time.Millisecond
	// Longest is how long an answer may take altogether.
	Longest = 30 * time.Second
	// AtOnce is how many messages are in work at once.
	AtOnce = 256
	// LongestLate is how long the network may take to deliver a late answer.
	LongestLate = 30 * time.Second
)

// Options are what a Handler needs. Desk and Incident must be there; the rest
// has a usual value.
type Options struct {
	Desk Desk
	// Incident logs an error of ours and returns its number for the asker.
	Incident func(error) string
	// Seen remembers durably which messages were met. Without, only memory does.
	Seen    Seen
	Limits  *Limits      // nil: none
	Metrics *Metrics     // nil: figures nobody sees
	Log     *slog.Logger // nil: nothing is logged

	Patience, Longest time.Duration
	AtOnce            int
}

// Handler answers messages. It is safe for use by several goroutines.
type Handler struct {
	Options
	recent  *Recent
	workers *workers
	slots   chan struct{} // taken by messages in work
	excuse  chan struct{} // taken by messages that are told to come back
	aside   chan struct{} // taken by what is done beside the answers

	mu       sync.Mutex
	draining bool
	working  sync.WaitGroup
}

// NewHandler returns a Handler.
func NewHandler(o Options) *Handler {
	o.Patience = cmp.Or(o.Patience, Patience)
	o.Longest = cmp.Or(o.Longest, Longest)
	o.AtOnce = cmp.Or(o.AtOnce, AtOnce)
	if o.Metrics == nil {
		o.Metrics = NewMetrics()
	}
	if o.Log == nil {
		o.Log = slog.New(slog.DiscardHandler)
	}
	return &Handler{Options: o, recent: NewRecent(mostRecent), workers: newWorkers(kept), slots: make(chan struct{}, o.AtOnce), excuse: make(chan struct{}, o.AtOnce), aside: make(chan struct{}, o.AtOnce)}
}

// First marks the identities of a message as met and reports whether none of
// them was before. Adapters that acknowledge an event before it is answered
// call it first, and then hand the message on without its identities.
//
// If the store fails, memory alone decides: the message is answered, and only
// a restart could answer it again.
func (h *Handler) First(ctx context.Context, platform string, ids ...string) bool {
	if len(ids) == 0 {
		return true
	}
	if !h.recent.Mark(ids...) {
		h.Metrics.Duplicate(platform)
		return false
	}
	if h.Seen == nil {
		return true
	}
	first, err := h.Seen.Mark(ctx, ids...)
	if err != nil {
		h.Incident(fmt.Errorf("mark a message as met: %w", err))
		return true
	}
	if !first {
		h.Metrics.Duplicate(platform)
	}
	return first
}

// Go handles a message in the background, for adapters whose reading must not
// wait. It never blocks. If too much is in work, the asker is told so; if even
// that is too much, the message is dropped and counted.
func (h *Handler) Go(ctx context.Context, m Message, x Exchange) {
	select {
	case h.slots <- struct{}{}:
		if h.enter() {
			go func() {
				defer h.working.Done()
				h.handle(ctx, m, x)
			}()
			return
		}
		<-h.slots
	default:
	}
	select {
	case h.excuse <- struct{}{}:
		go func() {
			defer func() { <-h.excuse }()
			h.turnAway(ctx, m, x)
		}()
	default:
		h.Metrics.dropped(m.Platform)
	}
}

// Background does something small beside the answers, within LongestLate. What
// fails or panics is logged; draining waits for it. It never blocks: if too
// much goes on there, it is left undone and counted, so that a flood does not
// fill memory; what was not acknowledged the service sends again. It reports
// whether it was begun.
func (h *Handler) Background(ctx context.Context, what string, do func(context.Context) error) bool {
	select {
	case h.aside <- struct{}{}:
	default:
		h.Metrics.dropped("background")
		return false
	}
	if !h.enter() {
		<-h.aside
		return false
	}
	go func() {
		defer h.working.Done()
		defer func() { <-h.aside }()
		defer h.caught()
		ctx, stop := context.WithTimeout(ctx, LongestLate)
		defer stop()
		if err := do(ctx); err != nil {
			h.Incident(fmt.Errorf("%s: %w", what, err))
		}
	}()
	return true
}

// Handle answers a message. It returns when the answer was given or announced;
// a late answer follows in the background.
func (h *Handler) Handle(ctx context.Context, m Message, x Exchange) {
	select {
	case h.slots <- struct{}{}:
		if h.enter() {
			defer h.working.Done()
			h.handle(ctx, m, x)
			return
		}
		<-h.slots
	default:
	}
	h.turnAway(ctx, m, x)
}

// turnAway tells the asker to come back.
func (h *Handler) turnAway(ctx context.Context, m Message, x Exchange) {
	defer h.caught()
	why := "a lot is being asked just now: try again in a few seconds"
	if h.Draining() {
		why = "the bot is being restarted: try again in a minute"
	}
	h.Metrics.dropped(m.Platform)
	h.give(ctx, m, x, time.Now(), Mistaken(why, "", h.again(m)...), false)
}

// caught logs a panic of an adapter, after which nothing more can be said to
// the asker.
func (h *Handler) caught() {
	if p := recover(); p != nil {
		h.Metrics.panicked()
		h.Incident(fmt.Errorf("panic: %v in %s", p, commands.Where()))
	}
}

// handle has a slot, and gives it back when the answer is through.
func (h *Handler) handle(ctx context.Context, m Message, x Exchange) {
	began := time.Now()
	deferred := false
	defer func() {
		if !deferred {
			<-h.slots
		}
	}()
	defer h.caught()
	if !h.First(ctx, m.Platform, m.IDs...) {
		return
	}
	if h.Limits != nil {
		if wait := h.Limits.Take(m.Asker); wait > 0 {
			h.give(ctx, m, x, began, h.tooMany(m, wait), false)
			return
		}
	}
	// Past the deadline of the request the work goes on, but not for ever.
	work, cancel := context.WithTimeout(context.WithoutCancel(ctx), h.Longest)
	done := make(chan Answer, 1)
	h.workers.do(func() { done <- h.compute(work, m) })
	patience := time.NewTimer(h.Patience)
	defer patience.Stop()
	select {
	case a := <-done:
		cancel()
		h.give(ctx, m, x, began, a, false)
	case <-patience.C:
		if err := x.Defer(ctx); err != nil {
			h.Incident(fmt.Errorf("announce an answer: %w", err))
		}
		h.Metrics.acknowledged(m.Platform, time.Since(began))
		deferred = true
		h.working.Add(1)
		go func() {
			defer h.working.Done()
			defer func() { <-h.slots }()
			defer cancel()
			defer h.caught()
			h.late(ctx, work, m, x, began, done)
		}()
	}
}

// late waits for an answer that was announced, and gives it.
func (h *Handler) late(ctx, work context.Context, m Message, x Exchange, began time.Time, done <-chan Answer) {
	var a Answer
	select {
	case a = <-done:
	case <-work.Done():
		a = h.fault(m, errors.New("answer took too long"))
	}
	sending, stop := context.WithTimeout(context.WithoutCancel(ctx), LongestLate)
	defer stop()
	h.give(sending, m, x, began, a, true)
}

// compute asks the desk. A panic becomes an answer with a number.
func (h *Handler) compute(ctx context.Context, m Message) (a Answer) {
	defer func() {
		if p := recover(); p != nil { // the desk has its own; this is for what it can't catch
			h.Metrics.panicked()
			a = h.fault(m, fmt.Errorf("panic: %v in %s", p, commands.Where()))
		}
	}()
	return answerOf(m, h.Desk.Ask(ctx, m.Asker, m.Line))
}

// give sends an answer on its way and notes what became of it.
func (h *Handler) give(ctx context.Context, m Message, x Exchange, began time.Time, a Answer, late bool) {
	send := x.Answer
	if late {
		send = x.Late
	}
	err := send(ctx, a)
	if !late {
		h.Metrics.acknowledged(m.Platform, time.Since(began))
	}
	outcome := outcomeOf(a)
	if err != nil {
		outcome = "unsent"
		h.Incident(fmt.Errorf("send an answer: %w", err))
	}
	command := commandOf(a)
	took := time.Since(began)
	h.Metrics.answered(m.Platform, command, outcome, took)
	if h.Log.Enabled(ctx, slog.LevelInfo) {
		h.Log.LogAttrs(ctx, slog.LevelInfo, "answered", slog.String("platform", m.Platform), slog.String("workspace", Hashed(m.Asker.Workspace)),
			slog.String("command", command), slog.String("outcome", outcome), slog.Int64("ms", took.Milliseconds()), slog.Bool("late", late))
	}
}

// fault is the answer to a message that we failed at.
func (h *Handler) fault(m Message, err error) Answer {
	number := h.Incident(err)
	return Answer{Private: true, Replies: []reply.Reply{{Fault: true,
		Error:   fmt.Sprintf("Something went wrong on our side (number %s). Your question was not lost: it stands below", number),
		Actions: h.again(m)}}}
}

// tooMany is the kind word for somebody who asks faster than the limits allow.
func (h *Handler) tooMany(m Message, wait time.Duration) Answer {
	seconds := int(wait/time.Second) + 1
	return Mistaken(fmt.Sprintf("that was a lot at once, and others ask too: try again in %s s, your question is kept below", strconv.Itoa(seconds)), "", h.again(m)...)
}

// again offers the message's line once more, so that nothing typed is lost.
func (h *Handler) again(m Message) []reply.Action {
	line := strings.TrimSpace(m.Line)
	if line == "" {
		return nil
	}
	h.Desk.Offer(m.Asker, line)
	return []reply.Action{{Label: "ask again", Line: line}}
}

// enter notes that a message is in work, unless the handler is draining.
func (h *Handler) enter() bool {
	h.mu.Lock()
	defer h.mu.Unlock()
	if h.draining {
		return false
	}
	h.working.Add(1)
	return true
}

// Drain takes no more messages and waits until those in work are answered, or
// the context ends.
func (h *Handler) Drain(ctx context.Context) error {
	h.mu.Lock()
	h.draining = true
	h.mu.Unlock()
	defer h.workers.dismiss()
	done := make(chan struct{})
	go func() {
		h.working.Wait()
		close(done)
	}()
	select {
	case <-done:
		return nil
	case <-ctx.Done():
		return fmt.Errorf("drain: %w", ctx.Err())
	}
}

// Draining reports whether the handler is finishing.
func (h *Handler) Draining() bool {
	h.mu.Lock()
	defer h.mu.Unlock()
	return h.draining
}

func outcomeOf(a Answer) string {
	outcome := "answered"
	for _, r := range a.Replies {
		switch {
		case r.Fault:
			return "fault"
		case r.Refused:
			outcome = "refused"
		case r.Mistake:
			outcome = "mistake"
		case r.Ask != nil:
			outcome = "asked"
		}
	}
	return outcome
}

func commandOf(a Answer) string {
	for _, r := range a.Replies {
		if r.Command != "" {
			return r.Command
		}
	}
	return "none"
}
