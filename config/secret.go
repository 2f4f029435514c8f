package config

import (
	"encoding"
	"encoding/json"
	"fmt"
	"io"
	"log/slog"
)

// redacted is all that a secret shows of itself.
const redacted = "redacted"

// Secret is a setting that must not be seen: whatever prints, logs or encodes
// it gets the word redacted. The text lies behind a pointer because fmt looks
// into fields of other types without asking them how they want to be shown.
type Secret struct{ text *string }

// NewSecret hides a text.
func NewSecret(text string) Secret { return Secret{&text} }

// Reveal returns the text, for the one place that needs it.
func (s Secret) Reveal() string {
	if s.text == nil {
		return ""
	}
	return *s.text
}

// Set reports whether there is a text to reveal.
func (s Secret) Set() bool { return s.Reveal() != "" }

// Every way out.
var (
	_ fmt.Formatter          = Secret{}
	_ fmt.Stringer           = Secret{}
	_ json.Marshaler         = Secret{}
	_ encoding.TextMarshaler = Secret{}
	_ slog.LogValuer         = Secret{}
)

// Format writes redacted for every verb.
func (s Secret) Format(f fmt.State, _ rune) {
	// A state that can't be written to shows nothing, which is as good.
	_, _ = io.WriteString(f, redacted)
}

// String returns redacted.
func (s Secret) String() string { return redacted }

// MarshalJSON writes redacted.
func (s Secret) MarshalJSON() ([]byte, error) { return []byte(`"` + redacted + `"`), nil }

// MarshalText writes redacted.
func (s Secret) MarshalText() ([]byte, error) { return []byte(redacted), nil }

// MarshalYAML writes redacted.
func (s Secret) MarshalYAML() (any, error) { return redacted, nil }

// LogValue logs redacted.
func (s Secret) LogValue() slog.Value { return slog.StringValue(redacted) }
