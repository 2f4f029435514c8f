package slack

import (
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"log"
	"math/rand/v2"
	"net/http"
	"strconv"
	"strings"
	"sync"
	"time"

	"github.com/slack-go/slack"
	"github.com/slack-go/slack/slackevents"
	"github.com/slack-go/slack/socketmode"

	"spokeword/bot"
)

// socket serves over a link that is opened again whenever it ends.
//
// The loop is our own: that of the library starts a goroutine for each event
// without end, waits for none at the close and survives no panic.
//
// Refuse ends it for a reason that the library takes for a passing one.
func (a *Adapter) socket(ctx context.Context, refuse context.CancelCauseFunc) error {
	quiet := log.New(io.Discard, "", 0) // the library's log holds what people typed
	client := socketmode.New(a.api, socketmode.OptionLog(quiet))
	linked, unlink := context.WithCancel(context.WithoutCancel(ctx))
	defer unlink()
	defer context.AfterFunc(ctx, func() {
		// The last acknowledgements were handed to the library, which does not
		// tell when they are written.
		_ = pause(linked, lastWords) // it ends early only if the link does
		unlink()
	})()
	done := make(chan struct{})
	go func() {
		defer close(done)
		for {
			select {
			case <-linked.Done():
				return
			case e := <-client.Events:
				a.arrived(linked, client, e)
				if failed, ok := e.Data.(*slack.ConnectionErrorEvent); ok {
					if err := refusedForGood(failed.ErrorObj, appToken); err != nil {
						refuse(err)
					}
				}
			}
		}
	}()
	err := client.RunContext(linked)
	unlink()
	<-done
	a.linkUp(false)
	if ctx.Err() != nil || err == nil {
		return nil
	}
	if refused := refusedForGood(err, appToken); refused != nil {
		return refused
	}
	return bot.WithoutSecrets(fmt.Errorf("slack: the service refuses the bot for good: %w", err))
}

const (
	// lastWords is how long a link stays at the end.
	lastWords = 100 * time.Millisecond
	// ackTime is how long an acknowledgement may wait for a link: the service
	// waits no longer for it.
	// https://docs.slack.dev/interactivity/handling-user-interaction#acknowledgment_response
	ackTime = 3 * time.Second
)

// errLinkLost is why an answer can't go with its acknowledgement: the link it
// was asked over is gone, and no other takes the acknowledgement.
var errLinkLost = errors.New("slack: link lost before the answer")

// carried is an answer that goes with an acknowledgement, and where it goes if
// that can't be written.
type carried struct {
	content []byte
	back    string
}

// MarshalJSON returns the answer, which is encoded already.
func (c carried) MarshalJSON() ([]byte, error) { return c.content, nil }

func (a *Adapter) linkUp(up bool) {
	opened := a.link.set(up, a.o.Now())
	a.o.Metrics.Link(platform, up)
	if up && opened > 1 {
		a.o.Metrics.Reconnect(platform)
	}
}

// arrived handles one frame of the link. It must not wait: while nobody reads,
// the link starves.
func (a *Adapter) arrived(ctx context.Context, client *socketmode.Client, e socketmode.Event) {
	defer func() {
		if p := recover(); p != nil {
			a.o.Incident(fmt.Errorf("slack: panic: %v on a frame of kind %s", p, e.Type))
		}
	}()
	switch e.Type {
	case socketmode.EventTypeHello: // from now on something can arrive
		a.linkUp(true)
		n := e.Request.NumConnections
		a.o.Metrics.Connections(n)
		if n > 1 {
			a.o.Log.Warn("the service has more links open for this app than this bot: button presses may go astray until they end", "platform", platform, "links", n)
		}
	case socketmode.EventTypeDisconnect, socketmode.EventTypeConnecting:
		a.linkUp(false)
	case socketmode.EventTypeConnectionError, socketmode.EventTypeIncomingError, socketmode.EventTypeInvalidAuth:
		a.linkUp(false)
		if err, ok := e.Data.(error); ok {
			a.link.fail(bot.WithoutSecrets(err))
			a.o.Log.Warn("link", "platform", platform, "kind", string(e.Type), "error", bot.WithoutSecrets(err))
		}
	case socketmode.EventTypeErrorWriteFailed:
		a.o.Log.Warn("an acknowledgement could not be written", "platform", platform)
		failed, ok := e.Data.(*socketmode.ErrorWriteFailed)
		if !ok || failed.Response == nil {
			return
		}
		if c, ok := failed.Response.Payload.(carried); ok {
			a.inBackground(ctx, "answer what could not be acknowledged", func(ctx context.Context) error {
				return a.respondWith(ctx, c.back, c.content)
			})
		}
	case socketmode.EventTypeErrorBadMessage:
		// A kind the library does not know: unless it is acknowledged, it comes
		// again and again.
		bad, ok := e.Data.(*socketmode.ErrorBadMessage)
		if !ok {
			return
		}
		var envelope struct {
			ID string `json:"envelope_id"`
		}
		a.o.Metrics.Refused(platform, "unknown")
		if json.Unmarshal(bad.Message, &envelope) == nil && envelope.ID != "" {
			a.ack(ctx, client, envelope.ID)
		}
	case socketmode.EventTypeSlashCommand:
		c, ok := e.Data.(slack.SlashCommand)
		if !ok {
			return
		}
		id, on := e.Request.EnvelopeID, a.link.number()
		got := command{team: c.TeamID, channel: c.ChannelID, user: c.UserID, text: c.Text, trigger: c.TriggerID, back: c.ResponseURL}
		x := &answered{a: a, team: c.TeamID, back: c.ResponseURL, ack: func(ctx context.Context, content []byte, _ bool) error {
			if a.link.number() != on {
				return errLinkLost
			}
			ctx, cancel := context.WithTimeout(ctx, ackTime)
			defer cancel()
			var payload any
			if content != nil {
				payload = carried{content, c.ResponseURL}
			}
			return bot.WithoutSecrets(client.AckCtx(ctx, id, payload))
		}}
		a.o.Handler.Go(context.WithoutCancel(ctx), got.message(), x)
	case socketmode.EventTypeEventsAPI:
		event, ok := e.Data.(slackevents.EventsAPIEvent)
		if e.Request.RetryAttempt > 0 {
			a.o.Log.Info("an event comes again", "platform", platform, "attempt", e.Request.RetryAttempt, "reason", e.Request.RetryReason)
		}
		id := e.Request.EnvelopeID
		// It is marked as met before it is acknowledged; both wait for the disk,
		// and the link must not.
		a.inBackground(ctx, "take an event", func(ctx context.Context) error {
			if ok {
				a.event(ctx, event)
			}
			a.ack(ctx, client, id)
			return nil
		})
	case socketmode.EventTypeInteractive:
		a.ack(ctx, client, e.Request.EnvelopeID)
		a.interaction(ctx, e.Request.Payload)
	default:
		if e.Request != nil && e.Request.EnvelopeID != "" {
			a.ack(ctx, client, e.Request.EnvelopeID)
		}
	}
}

// ack acknowledges with nothing. While a link is opened anew it may have to
// wait, but not for ever: the frames behind it tell of the new link.
func (a *Adapter) ack(ctx context.Context, client *socketmode.Client, id string) {
	ctx, cancel := context.WithTimeout(ctx, ackTime)
	defer cancel()
	if err := client.AckCtx(ctx, id, nil); err != nil && ctx.Err() == nil {
		a.o.Log.Warn("an acknowledgement could not be sent", "platform", platform, "error", bot.WithoutSecrets(err))
	}
}

// opener calls the service for the library. It spaces out the opening of links:
// the library asks for the next at once when one that had opened is lost, so a
// service that accepts and drops would be asked a thousand times a second. A
// try that fails in passing it makes again by itself, so that its pauses and
// those of the library do not add up. No wait counts as time of the call.
type opener struct {
	a     *Adapter
	pacer *pacer
	wait  func(context.Context, time.Duration) error // pause, but in tests
}

// Do calls the service.
func (o *opener) Do(r *http.Request) (*http.Response, error) {
	if !strings.HasSuffix(r.URL.Path, "/apps.connections.open") {
		return o.a.client.Do(r)
	}
	ctx := r.Context()
	for asked := time.Duration(0); ; {
		if d := max(o.pacer.take(), asked); d > 0 {
			if err := o.wait(ctx, d); err != nil {
				return nil, err
			}
		}
		try := r.Clone(ctx)
		if r.GetBody != nil {
			content, err := r.GetBody()
			if err != nil {
				return nil, fmt.Errorf("slack: open a link: %w", err)
			}
			try.Body = content
		}
		resp, err := o.a.client.Do(try)
		switch {
		case ctx.Err() != nil, err == nil && resp.StatusCode != http.StatusTooManyRequests && resp.StatusCode < http.StatusInternalServerError:
			return resp, err
		case err == nil:
			asked = retryAfter(resp.Header)
			resp.Body.Close()
			err = fmt.Errorf("the service answered %s", resp.Status)
		}
		err = bot.WithoutSecrets(err)
		o.a.link.fail(err)
		o.a.o.Log.Warn("no link", "platform", platform, "error", err)
	}
}

// retryAfter returns the pause that the service asks for, nought where none
// can be read.
// https://docs.slack.dev/apis/web-api/rate-limits
func retryAfter(h http.Header) time.Duration {
	seconds, err := strconv.Atoi(h.Get("Retry-After"))
	if err != nil || seconds < 0 {
		return 0
	}
	return min(time.Duration(seconds)*time.Second, mostAsked)
}

// mostAsked is the longest pause that the service is believed to mean.
const mostAsked = 10 * time.Minute

// pacer tells when the next link may be opened.
type pacer struct {
	least, most time.Duration
	now         func() time.Time

	mu    sync.Mutex
	last  time.Time
	pause time.Duration
}

// take returns how long to wait before the next link: nothing at first and
// after a link that lasted, else twice as long as the time before, give or
// take half.
func (p *pacer) take() time.Duration {
	p.mu.Lock()
	defer p.mu.Unlock()
	now := p.now()
	if now.Sub(p.last) > p.most {
		p.pause = 0
	}
	d := p.pause
	if d > 0 {
		d = d/2 + rand.N(d/2+1)
	}
	p.pause = min(max(2*p.pause, p.least), p.most)
	p.last = now.Add(d)
	return d
}
