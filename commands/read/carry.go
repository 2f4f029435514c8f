package read

import (
	"reflect"

	"spokeword/calc/quantity"
	"spokeword/calc/size"
	"spokeword/commands/spec"
)

// This file puts what a line says of one end together with what the last request said
// of the other: "2 cross on the drive side" after "3 cross" is 3/2.

// overBase returns what a line says of an option, completed by what was said of it
// before.
func overBase(before, now any) any {
	switch b := before.(type) {
	case spec.Ends[quantity.Measure]:
		if n, ok := now.(spec.Ends[quantity.Measure]); ok && b.Any().Kind() == n.Any().Kind() {
			return overEnd(b, n)
		}
	case spec.Ends[size.RimMark]:
		if n, ok := now.(spec.Ends[size.RimMark]); ok {
			return overEnd(b, n)
		}
	case spec.Ends[size.Mark]:
		if n, ok := now.(spec.Ends[size.Mark]); ok {
			if full, ok := named(n.Any(), b.Any()); ok && n.Any().Width == 0 && n.Which == spec.Both && b.Which == spec.Both {
				return spec.OneFor(full) // "what psi in a 2.4", "it's a 29er"
			}
			if n.Which == spec.FirstOnly || n.Which == spec.SecondOnly {
				if full, ok := named(b.Any(), n.Any()); ok { // "front 2.6" after 29x2.4
					n.First, n.Second = full, full
				}
			}
			return overEnd(b, n)
		}
	case []spec.Ends[int]:
		if n, ok := now.([]spec.Ends[int]); ok && len(b) == 1 && len(n) == 1 {
			return []spec.Ends[int]{overEnd(b[0], n[0])}
		}
	case []spec.Ends[quantity.Measure]:
		if n, ok := now.([]spec.Ends[quantity.Measure]); ok && len(b) == 1 && len(n) == 1 {
			return []spec.Ends[quantity.Measure]{overEnd(b[0], n[0])}
		}
	}
	return now
}

// partly reports whether a line says one value, of one end of what the last request
// said of both: "front 2.6".
func partly(req spec.Request, base *spec.Request) bool {
	if len(req.Given) != 1 {
		return false
	}
	before, ok := base.Get(req.Given[0].Option.About().Name)
	return ok && !reflect.DeepEqual(overBase(before.Value, req.Given[0].Value), req.Given[0].Value)
}

// overEnd puts a value of one end over what both ends had.
func overEnd[T comparable](before, now spec.Ends[T]) spec.Ends[T] {
	out := spec.Ends[T]{First: before.First, Second: before.Second, Which: spec.Each}
	switch now.Which {
	case spec.FirstOnly:
		if !before.HasSecond() {
			return now
		}
		out.First = now.First
	case spec.SecondOnly:
		if !before.HasFirst() {
			return now
		}
		out.Second = now.Second
	default:
		return now
	}
	return out
}
