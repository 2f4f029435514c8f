package spec

// Which says for which of two ends a value was given.
type Which uint8

// What an Ends holds.
const (
	Both       Which = iota // one value that serves both ends
	Each                    // a value of its own for each end
	FirstOnly               // only the first end: front, left, hub
	SecondOnly              // only the second end: rear, right, rim
)

// Ends is a value for one end or both: front/rear of tyres and pressures,
// left/right of wheels (left is the non-drive side), hub/rim of hole counts.
type Ends[T any] struct {
	First, Second T
	Which         Which
}

// OneFor returns the Ends of one value for both ends.
func OneFor[T any](v T) Ends[T] { return Ends[T]{First: v, Second: v} }

// HasFirst reports whether the first end has a value.
func (e Ends[T]) HasFirst() bool { return e.Which != SecondOnly }

// HasSecond reports whether the second end has a value.
func (e Ends[T]) HasSecond() bool { return e.Which != FirstOnly }

// Any returns the value of the first end that has one.
func (e Ends[T]) Any() T {
	if e.HasFirst() {
		return e.First
	}
	return e.Second
}

// Axis names the two ends of an Ends.
type Axis uint8

// The axes of the trade.
const (
	FrontRear Axis = iota
	LeftRight
	HubRim
	NoAxis
)

// Names returns the names of the first and second end.
func (a Axis) Names() (first, second string) {
	switch a {
	case LeftRight:
		return "left", "right"
	case HubRim:
		return "hub", "rim"
	}
	return "front", "rear"
}
