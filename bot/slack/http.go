package slack

import (
	"context"
	"crypto/hmac"
	"crypto/sha256"
	"encoding/hex"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"mime"
	"net/http"
	"net/url"
	"strconv"
	"time"

	"github.com/slack-go/slack/slackevents"
)

const (
	// mostBody is how large a request may be.
	mostBody = 1 << 20
	// window is how far a request's time may be from ours.
	// https://docs.slack.dev/authentication/verifying-requests-from-slack
	window = 5 * time.Minute
	// replayed is why a request is refused that was there before.
	replayed = "replayed"
)

// ServeHTTP takes the requests of the service: commands, interactions and
// events, all at one address. Nothing of a request is read before its
// signature has been found good; its address is never read.
func (a *Adapter) ServeHTTP(w http.ResponseWriter, r *http.Request) {
	if r.Method != http.MethodPost {
		w.Header().Set("Allow", http.MethodPost)
		http.Error(w, "want POST", http.StatusMethodNotAllowed)
		return
	}
	raw, err := io.ReadAll(http.MaxBytesReader(w, r.Body, mostBody))
	if err != nil {
		a.refuse(w, "too large", http.StatusRequestEntityTooLarge)
		return
	}
	if why := a.verify(r.Header, raw); why == replayed && r.Header.Get("X-Slack-Retry-Num") != "" {
		// Sent again within the same second: signed alike, and met before.
		a.o.Metrics.Duplicate(platform)
		w.WriteHeader(http.StatusOK)
		return
	} else if why != "" {
		a.refuse(w, why, http.StatusUnauthorized)
		return
	}
	kind, _, err := mime.ParseMediaType(r.Header.Get("Content-Type"))
	if err != nil {
		kind = ""
	}
	switch kind {
	case "application/json":
		a.serveEvent(w, r, raw)
	case "application/x-www-form-urlencoded":
		form, err := url.ParseQuery(string(raw))
		if err != nil {
			a.refuse(w, "bad form", http.StatusBadRequest)
			return
		}
		if payload := form.Get("payload"); payload != "" {
			w.WriteHeader(http.StatusOK)
			a.interaction(r.Context(), []byte(payload))
			return
		}
		a.serveCommand(w, r, form)
	default:
		a.refuse(w, "content type", http.StatusUnsupportedMediaType)
	}
}

func (a *Adapter) refuse(w http.ResponseWriter, why string, status int) {
	a.o.Metrics.Refused(platform, why)
	http.Error(w, why, status)
}

// verify returns why a request is not to be read, empty if it may be. The
// library has the same check and can't be told the time.
// https://docs.slack.dev/authentication/verifying-requests-from-slack
func (a *Adapter) verify(h http.Header, raw []byte) string {
	stamp := h.Get("X-Slack-Request-Timestamp")
	at, err := strconv.ParseInt(stamp, 10, 64)
	if err != nil {
		return "no time"
	}
	if off := a.o.Now().Sub(time.Unix(at, 0)); off > window || off < -window {
		return "stale"
	}
	said := h.Get("X-Slack-Signature")
	mac := hmac.New(sha256.New, []byte(a.o.SigningSecret))
	fmt.Fprintf(mac, "v0:%s:", stamp)
	mac.Write(raw)
	var sum [sha256.Size]byte
	want := "v0=" + hex.EncodeToString(mac.Sum(sum[:0]))
	if !hmac.Equal([]byte(said), []byte(want)) {
		return "bad signature"
	}
	// An event that comes once more has a time and signature of its own.
	if !a.replays.Mark(want) {
		return replayed
	}
	return ""
}

// serveEvent takes an event. It is marked as met before it is acknowledged,
// and answered after.
func (a *Adapter) serveEvent(w http.ResponseWriter, r *http.Request, raw []byte) {
	if n := r.Header.Get("X-Slack-Retry-Num"); n != "" {
		// No reason to leave it: the first may never have arrived.
		a.o.Log.Info("an event comes again", "platform", platform, "attempt", n, "reason", r.Header.Get("X-Slack-Retry-Reason"))
	}
	e, err := slackevents.ParseEvent(json.RawMessage(raw), slackevents.OptionNoVerifyToken())
	if err != nil { // an event of a kind the library does not know: nothing to send again
		a.o.Metrics.Refused(platform, "unknown")
		w.Header().Set("X-Slack-No-Retry", "1")
		w.WriteHeader(http.StatusOK)
		return
	}
	if v, ok := e.Data.(*slackevents.EventsAPIURLVerificationEvent); ok {
		w.Header().Set("Content-Type", "text/plain; charset=utf-8")
		w.Header().Set("X-Content-Type-Options", "nosniff")
		if _, err := io.WriteString(w, v.Challenge); err != nil {
			a.o.Log.Warn("the address could not be confirmed", "platform", platform, "error", err)
		}
		return
	}
	a.event(r.Context(), e)
	w.WriteHeader(http.StatusOK)
}

// serveCommand answers a slash command in the response, or acknowledges it and
// answers later.
func (a *Adapter) serveCommand(w http.ResponseWriter, r *http.Request, form url.Values) {
	if form.Get("ssl_check") == "1" { // the service tries our certificate; from memory
		w.WriteHeader(http.StatusOK)
		return
	}
	c := commandOf(form)
	if c.team == "" || c.user == "" || c.back == "" {
		a.refuse(w, "no command", http.StatusBadRequest)
		return
	}
	acked := false
	x := &answered{a: a, team: c.team, back: c.back, ack: func(_ context.Context, content []byte, more bool) error {
		if acked {
			return errors.New("slack: acknowledged twice")
		}
		acked = true
		if content != nil {
			w.Header().Set("Content-Type", "application/json; charset=utf-8")
		}
		// With its length told, the response is whole for the service when it is
		// flushed, and what comes after does not keep it waiting.
		w.Header().Set("Content-Length", strconv.Itoa(len(content)))
		if more {
			w.Header().Set("Connection", "close") // nor the next on this connection
		}
		w.WriteHeader(http.StatusOK)
		if _, err := w.Write(content); err != nil || !more {
			return err
		}
		return http.NewResponseController(w).Flush()
	}}
	a.o.Handler.Handle(r.Context(), c.message(), x)
	if !acked { // met before: whoever sends it again gets no second answer
		w.WriteHeader(http.StatusOK)
	}
}
