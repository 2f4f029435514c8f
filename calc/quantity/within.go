package quantity

import "fmt"

// RangeError is a quantity outside the range of a model. Got, Min and Max are
// quantities of one type.
type RangeError struct {
	Quantity      string // "label", "rim", "wheel load"
	Got, Min, Max fmt.Stringer
}

// Error says what was found and what was wanted.
func (e *RangeError) Error() string {
	return fmt.Sprintf("%s %v: want %v to %v", e.Quantity, e.Got, e.Min, e.Max)
}

// Within returns a *RangeError unless got lies in min to max. NaN never does.
func Within[T interface {
	~int | ~float64
	fmt.Stringer
}](what string, got, min, max T) error {
	if got >= min && got <= max {
		return nil
	}
	return &RangeError{what, got, min, max}
}
