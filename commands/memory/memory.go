// Package memory is what people and shops want kept: bikes with their
// set-ups, how a ride felt, parts and build cards, group rides.
//
// Nothing of it is kept yet. Commands ask Keeps, and say so.
package memory

// Store keeps what people and shops want kept.
type Store interface {
	// Keeps reports whether anything is kept at all.
	Keeps() bool
}

// None keeps nothing.
type None struct{}

// Keeps reports false.
func (None) Keeps() bool { return false }
