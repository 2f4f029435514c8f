package slack

import (
	"context"
	"encoding/json"
	"fmt"
	"io"
	"log"
	"math/rand/v2"
	"net/http"
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
func (a *Adapter) socket(ctx context.Context) error {
	quiet := log.New(io.Discard, "", 0) // the library's log holds what people typed
	client := socketmode.New(a.api, socketmode.OptionLog(quiet))
	ctx, cancel := context.WithCancel(ctx)
	defer cancel()
	done := make(chan struct{})
	go func() {
		defer close(done)
		for {
			select {
			case <-ctx.Done():
				return
			case e := <-client.Events:
				a.arrived(ctx, client, e)
			}
		}
	}()
	err := client.RunContext(ctx)
	stopped := ctx.Err() != nil
	cancel()
	<-done
	a.linkUp(false)
	if stopped || err == nil {
		return nil
	}
	err = bot.WithoutSecrets(fmt.Errorf("slack: the service refuses the bot for good, so its tokens have to be looked at: %w", err))
	a.link.refuse(err)
	return err
}

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
	case socketmode.EventTypeConnected:
		a.linkUp(true)
	case socketmode.EventTypeHello:
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
			a.o.Log.Warn("link", "platform", platform, "kind", string(e.Type), "error", bot.WithoutSecrets(err))
		}
	case socketmode.EventTypeErrorWriteFailed:
		a.o.Log.Warn("an acknowledgement could not be written", "platform", platform)
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
		id := e.Request.EnvelopeID
		got := command{team: c.TeamID, channel: c.ChannelID, user: c.UserID, text: c.Text, trigger: c.TriggerID, back: c.ResponseURL}
		x := &answered{a: a, team: c.TeamID, back: c.ResponseURL, ack: func(ctx context.Context, body any) error {
			return bot.WithoutSecrets(client.AckCtx(ctx, id, body))
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

// ack acknowledges with nothing.
func (a *Adapter) ack(ctx context.Context, client *socketmode.Client, id string) {
	if err := client.AckCtx(ctx, id, nil); err != nil && ctx.Err() == nil {
		a.o.Log.Warn("an acknowledgement could not be sent", "platform", platform, "error", bot.WithoutSecrets(err))
	}
}

// pacer spaces out the opening of links. The library asks for the next at once
// when one that had opened is lost, so a service that accepts and drops would
// be asked a thousand times a second.
type pacer struct {
	next        http.RoundTripper
	least, most time.Duration
	now         func() time.Time

	mu    sync.Mutex
	last  time.Time
	pause time.Duration
}

// RoundTrip waits before a link is opened again.
func (p *pacer) RoundTrip(r *http.Request) (*http.Response, error) {
	if strings.HasSuffix(r.URL.Path, "/apps.connections.open") {
		if d := p.take(); d > 0 {
			if err := pause(r.Context(), d); err != nil {
				return nil, err
			}
		}
	}
	return p.next.RoundTrip(r)
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
