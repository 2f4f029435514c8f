package build

import (
	"fmt"

	"spokeword/calc/quantity"
)

// Field names an input of a wheel, so that the one who gave it can be asked again.
type Field string

// The fields.
const (
	FieldERD        Field = "erd"
	FieldRimHoles   Field = "rim holes"
	FieldRimAngles  Field = "rim angles"
	FieldShift      Field = "shift"
	FieldStagger    Field = "stagger"
	FieldMark       Field = "mark"
	FieldWasher     Field = "washer"
	FieldCircle     Field = "circle"
	FieldOffset     Field = "offset"
	FieldHubHoles   Field = "hub holes"
	FieldFlangeHole Field = "flange hole"
	FieldPairing    Field = "pairing"
	FieldTurn       Field = "turn"
	FieldHubAngles  Field = "hub angles"
	FieldTangent    Field = "tangent"
	FieldAhead      Field = "ahead"
	FieldCross      Field = "crossings"
	FieldGauge      Field = "gauge"
	FieldTension    Field = "tension"
	FieldLength     Field = "length"
	FieldStep       Field = "step"
	FieldStretch    Field = "stretch"
	FieldPattern    Field = "pattern"
	FieldSeat       Field = "seat"
)

// OfSide reports whether the field belongs to one side of the wheel.
func (f Field) OfSide() bool {
	switch f {
	case FieldCircle, FieldOffset, FieldHubHoles, FieldFlangeHole, FieldPairing, FieldTurn,
		FieldHubAngles, FieldTangent, FieldAhead, FieldCross, FieldGauge, FieldSeat, FieldFace, FieldThickness:
		return true
	}
	return false
}

func name(f Field, s Side) string {
	if f.OfSide() && s < NoSide {
		return s.String() + " " + string(f)
	}
	return string(f)
}

// MissingError is returned for an input that a model can't do without.
type MissingError struct {
	Field Field
	Side  Side // holds if Field.OfSide
}

// Error says which input is missing.
func (e *MissingError) Error() string { return name(e.Field, e.Side) + ": not given" }

// RangeError is returned for an input outside the range of the models. Value,
// Low and High are of one type: a quantity or an int.
type RangeError struct {
	Field            Field
	Side             Side // holds if Field.OfSide
	Value, Low, High any
}

// Error says what was found and what was wanted.
func (e *RangeError) Error() string {
	return fmt.Sprintf("%s %v: want %v to %v", name(e.Field, e.Side), e.Value, e.Low, e.High)
}

const mm = quantity.Millimetre

// Ranges of the inputs: what bicycle parts have, with room to spare (common
// practice without a source). The circle goes up to hub motors, the ERD from
// the smallest folding wheels to 36 inch unicycles.
const (
	leastERD, mostERD               = 120 * mm, 850 * mm
	leastRimHoles, mostRimHoles     = 12, 72
	mostShift                       = 15 * mm
	mostStagger                     = 30 * mm
	mostWasher                      = 3 * mm
	leastCircle, mostCircle         = 20 * mm, 400 * mm
	mostOffset                      = 80 * mm
	leastHubHoles, mostHubHoles     = 4, 36
	leastFlangeHole, mostFlangeHole = 2 * mm, 4 * mm
	mostTurn                        = 45 * quantity.Degree
	mostTangent                     = 80 * mm
	mostAhead                       = 60 * mm
	leastWire, mostWire             = 1 * mm, 4 * mm
	leastBlade, mostBlade           = 0.5 * mm, 8 * mm
	mostMark                        = 3000 * quantity.Newton
	// leastFree is the least distance between hole circle and spoke ends: a
	// nipple and a thread.
	leastFree = 20 * mm
)

func within[T ~float64](f Field, s Side, v, low, high T) error {
	if !quantity.Finite(v) || v < low || v > high {
		return &RangeError{Field: f, Side: s, Value: v, Low: low, High: high}
	}
	return nil
}

func count(f Field, s Side, v, low, high int) error {
	if v == 0 {
		return &MissingError{Field: f, Side: s}
	}
	if v < low || v > high {
		return &RangeError{Field: f, Side: s, Value: v, Low: low, High: high}
	}
	return nil
}

// Validate returns a *MissingError or *RangeError for the first input that no
// model of a wheel can start from. Whether the wheel can be laced is another
// question: see package lace.
func (w *Wheel) Validate() error {
	if err := w.Rim.validate(); err != nil {
		return err
	}
	if w.Pattern > CrowsFoot || w.Single > Right {
		return &RangeError{Field: FieldPattern, Side: NoSide, Value: int(w.Pattern), Low: int(Crossed), High: int(CrowsFoot)}
	}
	if err := within(FieldWasher, NoSide, w.Washer, 0, mostWasher); err != nil {
		return err
	}
	for _, s := range Sides {
		if err := w.Half(s).validate(s, w.Rim.ERD); err != nil {
			return err
		}
	}
	return nil
}

func (r *Rim) validate() error {
	if r.ERD == 0 {
		return &MissingError{Field: FieldERD, Side: NoSide}
	}
	if err := within(FieldERD, NoSide, r.ERD, leastERD, mostERD); err != nil {
		return err
	}
	if err := count(FieldRimHoles, NoSide, r.Holes, leastRimHoles, mostRimHoles); err != nil {
		return err
	}
	if err := within(FieldShift, NoSide, r.ShiftLeft, -mostShift, mostShift); err != nil {
		return err
	}
	if err := within(FieldStagger, NoSide, r.Stagger, -mostStagger, mostStagger); err != nil {
		return err
	}
	if err := within(FieldMark, NoSide, r.TensionMark, 0, mostMark); err != nil {
		return err
	}
	return angles(FieldRimAngles, NoSide, r.Angles, r.Holes)
}

// angles checks a list of hole angles: one a hole, within one turn.
func angles(f Field, s Side, list []quantity.Angle, holes int) error {
	if len(list) == 0 {
		return nil
	}
	if len(list) != holes {
		return &RangeError{Field: f, Side: s, Value: len(list), Low: holes, High: holes}
	}
	low := quantity.Angle(0)
	for _, a := range list {
		if err := within(f, s, a, low, quantity.Turn); err != nil {
			return err
		}
		low = a
	}
	return nil
}

func (h *Half) validate(s Side, erd quantity.Length) error {
	f := &h.Flange
	if err := within(FieldOffset, s, f.Offset, 0, mostOffset); err != nil {
		return err
	}
	if err := count(FieldHubHoles, s, f.Holes, leastHubHoles, mostHubHoles); err != nil {
		return err
	}
	if h.Cross < 0 || h.Cross > f.Holes/2 {
		return &RangeError{Field: FieldCross, Side: s, Value: h.Cross, Low: 0, High: f.Holes / 2}
	}
	if err := h.Gauge.Validate(s); err != nil {
		return err
	}
	if f.Seat > StraightPull {
		return &RangeError{Field: FieldSeat, Side: s, Value: int(f.Seat), Low: int(Elbow), High: int(StraightPull)}
	}
	if f.Seat == StraightPull {
		if err := within(FieldTangent, s, f.Tangent, 0, min(mostTangent, erd/2-leastFree)); err != nil {
			return err
		}
		return within(FieldAhead, s, f.Ahead, -mostAhead, min(mostAhead, erd/2-f.Tangent-leastFree))
	}
	if f.Circle == 0 {
		return &MissingError{Field: FieldCircle, Side: s}
	}
	if err := within(FieldCircle, s, f.Circle, leastCircle, min(mostCircle, erd-2*leastFree)); err != nil {
		return err
	}
	if f.HoleDiameter == 0 {
		return &MissingError{Field: FieldFlangeHole, Side: s}
	}
	if err := within(FieldFlangeHole, s, f.HoleDiameter, leastFlangeHole, mostFlangeHole); err != nil {
		return err
	}
	if err := within(FieldPairing, s, f.Pairing, 0, 2*quantity.Turn/quantity.Angle(f.Holes)); err != nil {
		return err
	}
	if err := within(FieldTurn, s, f.Turn, -mostTurn, mostTurn); err != nil {
		return err
	}
	return angles(FieldHubAngles, s, f.Angles, f.Holes)
}

// Validate returns a *RangeError, naming side s, for wire that no spoke has. The
// zero Gauge is valid: it is not given.
func (g Gauge) Validate(s Side) error {
	if !g.Given() {
		return nil
	}
	wire := []quantity.Length{g.Head, g.Thread}
	if g.Width == 0 && g.Thickness == 0 || g.Middle != 0 {
		wire = append(wire, g.Middle)
	}
	for _, d := range wire {
		if err := within(FieldGauge, s, d, leastWire, mostWire); err != nil {
			return err
		}
	}
	if g.Width != 0 || g.Thickness != 0 {
		if err := within(FieldGauge, s, g.Width, leastBlade, mostBlade); err != nil {
			return err
		}
		return within(FieldGauge, s, g.Thickness, leastBlade, g.Width)
	}
	return nil
}
