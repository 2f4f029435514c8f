package discord

import (
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"log/slog"
	"maps"
	"net/http"
	"net/url"
	"slices"
	"strings"
	"sync"
	"sync/atomic"
	"time"

	"github.com/bwmarrin/discordgo"

	"spokeword/bot"
)

const (
	// mostRefused is how many refusals (401, 403, 429) within refusedWindow we
	// let come before nothing more is sent. The service bans an address after
	// 10 000. https://discord.com/developers/docs/topics/rate-limits#invalid-request-limit-aka-cloudflare-bans
	mostRefused   = 1000
	refusedWindow = 10 * time.Minute
	// mostAnswer is how much of an answer of the service is read.
	mostAnswer = 4 << 20
)

// errHeld is why a call is not made.
var errHeld = errors.New("discord: found 1000 calls refused within ten minutes: nothing is sent until fewer are")

// guard stands before every call: it sends it to where the service is, counts
// the answers, and holds calls back before the service bans our address.
type guard struct {
	next    http.RoundTripper
	to      *url.URL // nil: where the request says
	metrics *bot.Metrics
	now     func() time.Time

	mu      sync.Mutex
	refused []time.Time // a ring of the last refusals
	at      int
}

// guarded returns the client for all calls.
func (a *Adapter) guarded() (*http.Client, error) {
	c := http.Client{Timeout: callTime}
	if a.o.Client != nil {
		c = *a.o.Client
	}
	next := c.Transport
	if next == nil {
		t := http.DefaultTransport.(*http.Transport).Clone()
		t.MaxIdleConnsPerHost = 64 // else each answer pays for a new connection
		next = t
	}
	to, err := a.api()
	if err != nil {
		return nil, err
	}
	c.Transport = &guard{next: next, to: to, metrics: a.o.Metrics, now: a.o.Now}
	return &c, nil
}

// RoundTrip makes the call.
func (g *guard) RoundTrip(r *http.Request) (*http.Response, error) {
	if g.held() {
		if r.Body != nil {
			r.Body.Close()
		}
		return nil, errHeld
	}
	if g.to != nil {
		r = r.Clone(r.Context()) // a RoundTripper must not change the request
		r.URL.Scheme, r.URL.Host, r.Host = g.to.Scheme, g.to.Host, ""
	}
	resp, err := g.next.RoundTrip(r)
	if err != nil {
		g.metrics.Response(platform, 0)
		return nil, err
	}
	g.metrics.Response(platform, resp.StatusCode)
	switch resp.StatusCode {
	case http.StatusUnauthorized, http.StatusForbidden, http.StatusTooManyRequests:
		g.note()
	}
	resp.Body = struct {
		io.Reader
		io.Closer
	}{io.LimitReader(resp.Body, mostAnswer), resp.Body}
	return resp, nil
}

// note notes a refusal.
func (g *guard) note() {
	g.mu.Lock()
	defer g.mu.Unlock()
	if len(g.refused) < mostRefused {
		g.refused = append(g.refused, g.now())
		return
	}
	g.refused[g.at] = g.now()
	g.at = (g.at + 1) % mostRefused
}

// held reports whether too much was refused lately.
func (g *guard) held() bool {
	g.mu.Lock()
	defer g.mu.Unlock()
	return len(g.refused) == mostRefused && g.now().Sub(g.refused[g.at]) < refusedWindow
}

// Refusal is an error answer of the service. It holds neither what was sent
// nor where.
type Refusal struct {
	Status, Code int
	Said         string
	After        time.Duration // of 429: when to come back
}

// Codes of the service that we know more about.
// https://discord.com/developers/docs/topics/opcodes-and-status-codes#json
const (
	unknownInteraction = 10062
	unknownWebhook     = 10015
	missingAccess      = 50001
	missingPermissions = 50013
	invalidToken       = 50027
	alreadyAnswered    = 40060
	invalidForm        = 50035
)

// meanings says what to think of a code.
var meanings = map[int]string{
	unknownInteraction: "the answer came too late, or for another application",
	unknownWebhook:     "the time to answer is over",
	invalidToken:       "the time to answer is over",
	alreadyAnswered:    "it was answered before: is the bot running twice?",
	missingAccess:      "the bot is not there: add it again with the scope applications.commands",
	missingPermissions: "the bot lacks a permission there: give it to its role",
}

// Error tells status and code, and what they mean.
func (r *Refusal) Error() string {
	text := fmt.Sprintf("discord: the service answered %d", r.Status)
	if r.Code != 0 {
		text += fmt.Sprintf(" (%d)", r.Code)
	}
	if why := meanings[r.Code]; why != "" {
		return text + ": " + why
	}
	if r.After > 0 {
		return text + ": too many calls, come back in " + r.After.String()
	}
	return text + ": " + bot.Redacted(r.Said)
}

// explained returns an error of the library without what it holds of the
// request: the bot's token, and the interaction's.
func explained(err error) error {
	if err == nil {
		return nil
	}
	if limited := (*discordgo.RateLimitError)(nil); errors.As(err, &limited) {
		return &Refusal{Status: http.StatusTooManyRequests, After: max(limited.RetryAfter, time.Millisecond)}
	}
	if rest := (*discordgo.RESTError)(nil); errors.As(err, &rest) {
		r := &Refusal{Status: rest.Response.StatusCode}
		if rest.Message != nil {
			r.Code, r.Said = rest.Message.Code, rest.Message.Message
		}
		if r.Said == "" {
			r.Said = http.StatusText(r.Status)
		}
		if r.Code == invalidForm {
			r.Said += ": " + strings.Join(wrong(rest.ResponseBody), ", ")
		}
		return r
	}
	if failed := (*url.Error)(nil); errors.As(err, &failed) {
		return bot.WithoutSecrets(fmt.Errorf("discord: %s: %w", strings.ToLower(failed.Op), failed.Err))
	}
	return bot.WithoutSecrets(fmt.Errorf("discord: %w", err))
}

// wrong lists the fields that the service refused, with its codes. Its words
// are left out: they may repeat what somebody typed.
func wrong(body []byte) []string {
	var said struct {
		Errors any `json:"errors"`
	}
	if json.Unmarshal(body, &said) != nil {
		return nil
	}
	var all []string
	var walk func(path string, v any)
	walk = func(path string, v any) {
		fields, _ := v.(map[string]any)
		for _, name := range slices.Sorted(maps.Keys(fields)) {
			if name != "_errors" {
				walk(strings.TrimPrefix(path+"."+name, "."), fields[name])
				continue
			}
			list, _ := fields[name].([]any)
			for _, e := range list {
				about, _ := e.(map[string]any)
				if code, ok := about["code"].(string); ok && len(all) < 10 {
					all = append(all, path+" "+code)
				}
			}
		}
	}
	walk("", said.Errors)
	return all
}

// withoutToken leaves the bot's token out of a call that the interaction's own
// token is enough for.
func withoutToken(c *discordgo.RequestConfig) { c.Request.Header.Del("Authorization") }

// call makes a call by the token of an interaction. Each has a rate-limit
// bucket to itself that is thrown away: the library would keep one for each
// interaction for ever, and wait in it without looking at the context.
// It calls once more after the pause the service asks for, if that is short.
func (a *Adapter) call(ctx context.Context, method, address string, body any, patience time.Duration) error {
	content, err := json.Marshal(body)
	if err != nil {
		return fmt.Errorf("discord: encode a message: %w", err)
	}
	for again := false; ; again = true {
		bucket := discordgo.NewRatelimiter().LockBucket("")
		_, err := a.rest.RequestWithLockedBucket(method, address, "application/json", content, bucket, 0, discordgo.WithContext(ctx), withoutToken)
		err = explained(err)
		limited := (*Refusal)(nil)
		if again || !errors.As(err, &limited) || limited.After == 0 || limited.After > patience {
			return err
		}
		if pause(ctx, limited.After) != nil {
			return err
		}
	}
}

// pause waits, or returns the context's error if that ends first.
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

// The library has one log for all sessions of a process.
var (
	libraryLog atomic.Pointer[slog.Logger]
	listenOnce sync.Once
)

// listen lets what the library logs go to l, redacted.
func listen(l *slog.Logger) {
	libraryLog.Store(l)
	listenOnce.Do(func() {
		discordgo.Logger = func(level, _ int, format string, values ...any) {
			to := libraryLog.Load()
			at := slog.LevelWarn
			if level > discordgo.LogError {
				at = slog.LevelDebug
			}
			if to.Enabled(context.Background(), at) {
				to.Log(context.Background(), at, "library", "platform", platform, "said", bot.Redacted(fmt.Sprintf(format, values...)))
			}
		}
	})
}
