package slackfake

import (
	"context"
	"crypto/hmac"
	"crypto/sha256"
	"encoding/hex"
	"errors"
	"net/http"
	"net/url"
	"strconv"
	"strings"
	"time"
)

// Sign returns the two headers of a request: when it was signed, in seconds, and the
// signature over that and the raw body.
// https://docs.slack.dev/authentication/verifying-requests-from-slack
func Sign(secret string, at time.Time, body []byte) (timestamp, signature string) {
	timestamp = strconv.FormatInt(at.Unix(), 10)
	mac := hmac.New(sha256.New, []byte(secret))
	mac.Write([]byte("v0:" + timestamp + ":"))
	mac.Write(body)
	return timestamp, "v0=" + hex.EncodeToString(mac.Sum(nil))
}

// Forgery is a way in which a request is not what the service sent.
type Forgery string

// Ways to forge. A bot answers each with 401, or 400 where the request is whole but
// says something else, and does nothing.
const (
	WrongSecret  Forgery = "signed with another secret"
	Tampered     Forgery = "a byte of the body changed after signing"
	Truncated    Forgery = "half of the body lost"
	Stale        Forgery = "signed 5 minutes and 1 second ago"
	Future       Forgery = "signed 5 minutes and 1 second ahead"
	NewStamp     Forgery = "an old signature with the time of now"
	NoSignature  Forgery = "without a signature"
	NoTimestamp  Forgery = "without a time"
	OddTimestamp Forgery = "a time that is no number"
	NoVersion    Forgery = "a signature without v0="
	ShortHash    Forgery = "a signature cut short"
	// InAddress signs an empty body and says what it wants in the address, which the
	// signature does not cover.
	InAddress Forgery = "parameters in the address"
)

// Forgeries are all ways to forge.
var Forgeries = []Forgery{WrongSecret, Tampered, Truncated, Stale, Future, NewStamp, NoSignature, NoTimestamp, OddTimestamp, NoVersion, ShortHash, InAddress}

// Forge returns a request that is wrong in one way.
func (s *Server) Forge(ctx context.Context, in Inbound, how Forgery) (*http.Request, error) {
	g := s.sign(in)
	again := func(secret string, at time.Time) {
		stamp, signature := Sign(secret, at, g.body)
		g.header.Set("X-Slack-Request-Timestamp", stamp)
		g.header.Set("X-Slack-Signature", signature)
	}
	now, window := s.opt.Now(), 5*time.Minute+time.Second
	signature := g.header.Get("X-Slack-Signature")
	switch how {
	case WrongSecret:
		again(s.opt.SigningSecret+"x", now)
	case Tampered:
		g.body = append([]byte(nil), g.body...)
		g.body[len(g.body)-1] ^= 1
	case Truncated:
		g.body = g.body[:len(g.body)/2]
	case Stale:
		again(s.opt.SigningSecret, now.Add(-window))
	case Future:
		again(s.opt.SigningSecret, now.Add(window))
	case NewStamp:
		again(s.opt.SigningSecret, now.Add(-window))
		g.header.Set("X-Slack-Request-Timestamp", strconv.FormatInt(now.Unix(), 10))
	case NoSignature:
		g.header.Del("X-Slack-Signature")
	case NoTimestamp:
		g.header.Del("X-Slack-Request-Timestamp")
	case OddTimestamp:
		g.header.Set("X-Slack-Request-Timestamp", "yesterday")
	case NoVersion:
		g.header.Set("X-Slack-Signature", strings.TrimPrefix(signature, "v0="))
	case ShortHash:
		g.header.Set("X-Slack-Signature", signature[:len(signature)/2])
	case InAddress:
		query := string(g.body)
		if in.Type == Event {
			query = url.Values{"payload": {query}}.Encode()
		}
		g.url, g.body = g.url+"?"+query, nil
		again(s.opt.SigningSecret, now)
	default:
		return nil, errors.New("slackfake: forgery " + string(how) + ": want one of Forgeries")
	}
	return g.request(ctx)
}

// Replay returns the last signed request again, to the byte: a true signature, which
// the bot has seen before.
func (s *Server) Replay(ctx context.Context) (*http.Request, error) {
	s.mu.Lock()
	g := s.last
	s.mu.Unlock()
	if g == nil {
		return nil, errors.New("slackfake: nothing was sent that could be sent again")
	}
	return g.request(ctx)
}
