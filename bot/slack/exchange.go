package slack

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"io"
	"net/http"
	"strings"
	"time"

	"github.com/slack-go/slack"

	"spokeword/bot"
	"spokeword/commands/reply"
)

// body is a message as it goes back with an acknowledgement or to a response
// address. https://docs.slack.dev/interactivity/handling-user-interaction
type body struct {
	ResponseType string        `json:"response_type"`
	Text         string        `json:"text"`
	Blocks       []slack.Block `json:"blocks,omitempty"`
	Thread       string        `json:"thread_ts,omitempty"`
}

// Who sees a response.
const (
	onlyAsker = slack.ResponseTypeEphemeral
	everybody = slack.ResponseTypeInChannel
)

func responseType(a bot.Answer) string {
	if a.Shared {
		return everybody
	}
	return onlyAsker
}

// answered is the way back to a slash command: the first message goes with the
// acknowledgement if the service takes it there.
type answered struct {
	a    *Adapter
	team string
	back string // response address
	// ack acknowledges, with an encoded body or with nil for none. More tells that
	// something is still sent before the Exchange returns.
	ack func(ctx context.Context, content []byte, more bool) error
}

// Answer acknowledges with the answer.
func (x *answered) Answer(ctx context.Context, a bot.Answer) error {
	all := messages(a, true, x.a.fillable)
	first := body{ResponseType: responseType(a), Text: all[0].text, Blocks: all[0].blocks}
	// Whether a workspace takes tables is only told where a response is asked
	// for; until then a table goes there.
	takes, known := x.a.tables.Get(x.team)
	var content []byte
	rest := all
	if (!all[0].table || known && takes) && weight(first.Blocks)+len(first.Text) <= mostBytes {
		var err error
		if content, err = first.encoded(); err != nil {
			return err
		}
		rest = all[1:]
	}
	err := x.ack(ctx, content, len(rest) > 0)
	if errors.Is(err, errLinkLost) { // the response address outlives the link
		err, rest = nil, all
	}
	if err != nil || len(rest) == 0 {
		return err
	}
	// A request ends with its response, and what follows that does not.
	ctx, stop := context.WithTimeout(context.WithoutCancel(ctx), bot.LongestLate)
	defer stop()
	return x.a.respond(ctx, x.back, x.team, responseType(a), "", rest)
}

// Defer acknowledges with nothing. Only the asker has seen the command.
func (x *answered) Defer(ctx context.Context) error {
	if err := x.ack(ctx, nil, false); err != nil && !errors.Is(err, errLinkLost) {
		return err
	}
	return nil
}

// Late answers at the response address.
func (x *answered) Late(ctx context.Context, a bot.Answer) error {
	return x.a.respond(ctx, x.back, x.team, responseType(a), "", messages(a, true, x.a.fillable))
}

// pressed is the way back to a button or form, which was acknowledged before.
type pressed struct {
	a       *Adapter
	team    string
	back    string // response address; empty where there is none
	channel string // where to answer then
	user    string
	thread  string
	direct  bool // the channel is the talk between the person and the bot
}

// Answer answers the one who pressed.
func (x *pressed) Answer(ctx context.Context, a bot.Answer) error {
	all := messages(a, !x.direct, x.a.fillable)
	if x.back != "" {
		err := x.a.respond(ctx, x.back, x.team, responseType(a), x.thread, all)
		var gone *refusal
		if !errors.As(err, &gone) || gone.status != http.StatusNotFound || x.channel == "" {
			return err
		}
		// A form may have been filled in after the address had ended.
	}
	return x.a.post(ctx, place{team: x.team, channel: x.channel, user: x.user, thread: x.thread, direct: x.direct, private: !a.Shared}, all)
}

// Defer does nothing: the press was acknowledged.
func (x *pressed) Defer(context.Context) error { return nil }

// Late answers.
func (x *pressed) Late(ctx context.Context, a bot.Answer) error { return x.Answer(ctx, a) }

// said is the way back to a message in a channel or to the bot alone.
type said struct {
	a     *Adapter
	place place
}

// Answer posts the answer where it was asked, for the asker alone if it must be.
func (x *said) Answer(ctx context.Context, a bot.Answer) error {
	at := x.place
	at.private = a.Private
	return x.a.post(ctx, at, messages(a, at.private && !at.direct, x.a.fillable))
}

// Defer does nothing: the message was acknowledged, and people see no wait.
func (x *said) Defer(context.Context) error { return nil }

// Late posts the answer.
func (x *said) Late(ctx context.Context, a bot.Answer) error { return x.Answer(ctx, a) }

func (a *Adapter) fillable(r reply.Reply) bool { return bot.Fillable(a.o.Handler.Desk, r) }

// place is where a message is posted.
type place struct {
	team, channel, user string
	thread              string
	direct              bool // between the person and the bot alone
	private             bool // for the person alone
}

// post posts messages. Where the bot may not write, they go to the asker alone,
// with why they do not stand where they were asked for.
func (a *Adapter) post(ctx context.Context, at place, all []message) error {
	err := a.postThere(ctx, at, all)
	var unwelcome *unwelcomeError
	if at.direct || !errors.As(err, &unwelcome) {
		return err
	}
	a.o.Incident(err)
	why := message{text: unwelcomed, blocks: sections(unwelcomed)}
	return a.postThere(ctx, place{team: at.team, channel: at.user, user: at.user, direct: true}, append([]message{why}, all...))
}

const unwelcomed = "I may not write where you asked: invite me to that channel, or ask me here. Your answer:"

func (a *Adapter) postThere(ctx context.Context, at place, all []message) error {
	return a.deliver(at.team, all, func(text string, blocks []slack.Block) error {
		options := []slack.MsgOption{slack.MsgOptionText(text, false)}
		if len(blocks) > 0 {
			options = append(options, slack.MsgOptionBlocks(blocks...))
		}
		return a.postOnce(ctx, at, options...)
	})
}

// deliver sends messages, each in the best form that the workspace takes: with
// its table, with the table as lines of one width, or as text alone.
func (a *Adapter) deliver(team string, all []message, send func(text string, blocks []slack.Block) error) error {
	for _, m := range all {
		takes, known := a.tables.Get(team)
		var err error = &refusal{said: "invalid_blocks"}
		if !m.table || !known || takes {
			err = send(m.text, m.blocks)
			if m.table && (err == nil || refusesBlocks(err)) {
				a.tables.Add(team, err == nil)
			}
		}
		if refusesBlocks(err) && m.lined != nil {
			if lined := m.lined(); len(lined) <= mostBlocks {
				err = send(m.text, lined)
			}
		}
		if refusesBlocks(err) {
			err = nil
			for _, text := range plainOf(m) {
				if err = send(text, nil); err != nil {
					break
				}
			}
		}
		if err != nil {
			return err
		}
	}
	return nil
}

// postOnce posts one message, once more after the pause the service asks for.
func (a *Adapter) postOnce(ctx context.Context, at place, options ...slack.MsgOption) error {
	options = append(options, slack.MsgOptionDisableLinkUnfurl(), slack.MsgOptionDisableMediaUnfurl())
	if at.thread != "" {
		options = append(options, slack.MsgOptionTS(at.thread))
	}
	send := func() error {
		var err error
		if at.private && !at.direct {
			_, err = a.api.PostEphemeralContext(ctx, at.channel, at.user, options...)
		} else {
			_, _, err = a.api.PostMessageContext(ctx, at.channel, options...)
		}
		return err
	}
	err := send()
	if wait, ok := askedToWait(err); ok {
		if err := a.wait(ctx, wait); err != nil {
			return err
		}
		err = send()
	}
	return a.explained(err)
}

// askedToWait returns the pause that the service asks for.
func askedToWait(err error) (time.Duration, bool) {
	var limited *slack.RateLimitedError
	if errors.As(err, &limited) {
		return min(max(limited.RetryAfter, 0), mostWait), true
	}
	return 0, false
}

// mostWait is the longest pause that is waited for before a message is sent
// once more.
const mostWait = 20 * time.Second

func pause(ctx context.Context, d time.Duration) error {
	t := time.NewTimer(d)
	defer t.Stop()
	select {
	case <-t.C:
		return nil
	case <-ctx.Done():
		return ctx.Err()
	}
}

// unwelcomeError says that the bot may not write in a channel.
type unwelcomeError struct{ code string }

// Error tells what an operator can do about it.
func (e *unwelcomeError) Error() string {
	return "slack: " + e.code + ": the bot is no member of the channel: invite it"
}

// explained adds to an error of the service what an operator can do about it,
// and notes if the bot token has become worthless.
func (a *Adapter) explained(err error) error {
	if refused := refusedForGood(err, botToken); refused != nil {
		a.link.refuse(refused)
		return refused
	}
	var refused slack.SlackErrorResponse
	if err == nil || !errors.As(err, &refused) {
		return bot.WithoutSecrets(err)
	}
	switch refused.Err {
	case noScope:
		return fmt.Errorf("slack: the bot lacks a scope (needs %s, has %s): add it and install the app again", refused.Needed, refused.Provided)
	case "not_in_channel", "channel_not_found", "is_archived", "restricted_action", "user_not_in_channel":
		return &unwelcomeError{refused.Err}
	}
	return bot.WithoutSecrets(fmt.Errorf("slack: %w", err))
}

// refusesBlocks reports whether the service did not take a message's blocks.
func refusesBlocks(err error) bool {
	var refused slack.SlackErrorResponse
	if errors.As(err, &refused) {
		return strings.HasPrefix(refused.Err, "invalid_blocks")
	}
	var status *refusal
	return errors.As(err, &status) && strings.Contains(status.said, "invalid_blocks")
}

// refusal is what a response address said instead of taking a message.
type refusal struct {
	status int
	said   string
}

// Error tells the status and the code of the service.
func (r *refusal) Error() string {
	return fmt.Sprintf("slack: response address answered %d %s", r.status, bot.Redacted(r.said))
}

// respond sends messages to a response address, which takes five within half
// an hour. https://docs.slack.dev/interactivity/handling-user-interaction
func (a *Adapter) respond(ctx context.Context, address, team, kind, thread string, all []message) error {
	return a.deliver(team, all, func(text string, blocks []slack.Block) error {
		return a.respondOnce(ctx, address, body{ResponseType: kind, Text: text, Blocks: blocks, Thread: thread})
	})
}

// respondOnce sends one message to a response address, once more after the
// pause the service asks for.
func (a *Adapter) respondOnce(ctx context.Context, address string, b body) error {
	content, err := b.encoded()
	if err != nil {
		return err
	}
	return a.respondWith(ctx, address, content)
}

func (a *Adapter) respondWith(ctx context.Context, address string, content []byte) error {
	if !a.ours(address) {
		return errors.New("slack: found a response address that is not the service's: want one of slack.com")
	}
	for again := false; ; again = true {
		wait, err := a.send(ctx, address, content)
		if err == nil || wait == 0 || again {
			return err
		}
		if err := a.wait(ctx, min(wait, mostWait)); err != nil {
			return err
		}
	}
}

// send sends a body to a response address. It returns the pause the service
// asks for, if it does.
func (a *Adapter) send(ctx context.Context, address string, content []byte) (wait time.Duration, err error) {
	req, err := http.NewRequestWithContext(ctx, http.MethodPost, address, bytes.NewReader(content))
	if err != nil {
		return 0, bot.WithoutSecrets(err)
	}
	req.Header.Set("Content-Type", "application/json; charset=utf-8")
	resp, err := a.client.Do(req)
	if err != nil {
		return 0, bot.WithoutSecrets(fmt.Errorf("slack: answer at the response address: %w", err))
	}
	defer resp.Body.Close()
	const most = 4 << 10
	said, err := io.ReadAll(io.LimitReader(resp.Body, most))
	if err != nil {
		return 0, fmt.Errorf("slack: read what the response address said: %w", err)
	}
	text := strings.TrimSpace(string(said))
	if resp.StatusCode == http.StatusTooManyRequests {
		return retryAfter(resp.Header), &refusal{resp.StatusCode, text}
	}
	if resp.StatusCode != http.StatusOK || strings.Contains(text, `"ok":false`) {
		return 0, &refusal{resp.StatusCode, text}
	}
	return 0, nil
}
