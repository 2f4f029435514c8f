package bot

import (
	"fmt"
	"log/slog"
	"regexp"
)

// secrets are the shapes of what must not be logged, whoever wrote it into an
// error: tokens of both services, signatures, and addresses, whose paths are
// keys in both of them.
var secrets = regexp.MustCompile(`xox[a-z]*-[\w.-]+` + // tokens of bots and people
	`|xapp-[\w-]+` + // of apps
	`|xoxe\.[\w.-]+` + // rotated ones
	`|\b(?:Bot|Bearer) +[\w.~+/-]{6,}=*` + // headers
	`|\b[\w-]{18,}\.[\w-]{6}\.[\w-]{20,}` + // bot tokens in three parts
	`|\bv0=[0-9a-f]{16,}` + // signatures
	`|\b[0-9a-f]{128}\b` +
	`|/(?:interactions|webhooks|commands|actions|response)/[\w-]+/[\w./-]+`) // addresses without their host

// address is the address of something on the net. Only its host is logged.
var address = regexp.MustCompile(`\b(https?|wss?)://([^/\s"'?#]*@)?([^/\s"'?#@]+)[/?#][^\s"']*`)

// Redacted returns a text without what looks like a secret.
func Redacted(text string) string {
	text = address.ReplaceAllString(text, "$1://$3/redacted")
	return secrets.ReplaceAllString(text, "redacted")
}

// RedactedError is an error whose text holds nothing that looks like a secret.
// It unwraps to the original, for errors.Is and errors.As.
type RedactedError struct{ err error }

// WithoutSecrets returns the error with its text redacted; nil for nil.
func WithoutSecrets(err error) error {
	if err == nil {
		return nil
	}
	return &RedactedError{err}
}

// Error returns the redacted text.
func (e *RedactedError) Error() string { return Redacted(e.err.Error()) }

// Unwrap returns the original.
func (e *RedactedError) Unwrap() error { return e.err }

// RedactAttr redacts one attribute of a log line; it is a ReplaceAttr of
// slog.HandlerOptions.
func RedactAttr(_ []string, a slog.Attr) slog.Attr {
	switch a.Value.Kind() {
	case slog.KindString:
		a.Value = slog.StringValue(Redacted(a.Value.String()))
	case slog.KindAny:
		v := a.Value.Any()
		if err, ok := v.(error); ok {
			a.Value = slog.StringValue(Redacted(err.Error()))
			break
		}
		// What is encoded field by field is only kept so if nothing in it looks
		// like a secret.
		if text := fmt.Sprintf("%+v", v); Redacted(text) != text {
			a.Value = slog.StringValue(Redacted(text))
		}
	}
	return a
}
