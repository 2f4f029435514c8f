package build_test

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"spokeword/calc/build"
	"spokeword/calc/quantity"
)

const mm = quantity.Millimetre

func wheel() build.Wheel {
	f := build.Flange{Offset: 30 * mm, Holes: 16, Circle: 58 * mm, HoleDiameter: build.UsualFlangeHole}
	h := build.Half{Flange: f, Cross: 3, Gauge: build.DoubleButted(2*mm, 1.8*mm)}
	return build.Wheel{Left: h, Right: h, Rim: build.Rim{ERD: 600 * mm, Holes: 32}}
}

func TestValidateNamesTheField(t *testing.T) {
	nan := quantity.Length(math.NaN())
	for _, c := range []struct {
		why    string
		change func(*build.Wheel)
		field  build.Field
		side   build.Side
	}{
		{"ERD as a radius", func(w *build.Wheel) { w.Rim.ERD = 60 * mm }, build.FieldERD, build.NoSide},
		{"no number", func(w *build.Wheel) { w.Rim.ERD = nan }, build.FieldERD, build.NoSide},
		{"7 spokes", func(w *build.Wheel) { w.Rim.Holes = 7 }, build.FieldRimHoles, build.NoSide},
		{"shift in the wrong unit", func(w *build.Wheel) { w.Rim.ShiftLeft = 2.5 }, build.FieldShift, build.NoSide},
		{"stagger", func(w *build.Wheel) { w.Rim.Stagger = nan }, build.FieldStagger, build.NoSide},
		{"negative mark", func(w *build.Wheel) { w.Rim.TensionMark = -1 }, build.FieldMark, build.NoSide},
		{"washer", func(w *build.Wheel) { w.Washer = -mm }, build.FieldWasher, build.NoSide},
		{"rim angles of another count", func(w *build.Wheel) { w.Rim.Angles = make([]quantity.Angle, 3) }, build.FieldRimAngles, build.NoSide},
		{"pattern", func(w *build.Wheel) { w.Pattern = 9 }, build.FieldPattern, build.NoSide},
		{"single side", func(w *build.Wheel) { w.Single = build.NoSide }, build.FieldPattern, build.NoSide},
		{"offset beyond the centre", func(w *build.Wheel) { w.Left.Flange.Offset = -3 * mm }, build.FieldOffset, build.Left},
		{"circle in inches", func(w *build.Wheel) { w.Right.Flange.Circle = 2.3 * mm }, build.FieldCircle, build.Right},
		{"circle wider than the rim", func(w *build.Wheel) { w.Rim.ERD = 200 * mm; w.Left.Flange.Circle = 190 * mm }, build.FieldCircle, build.Left},
		{"flange hole", func(w *build.Wheel) { w.Right.Flange.HoleDiameter = 9 * mm }, build.FieldFlangeHole, build.Right},
		{"crossings", func(w *build.Wheel) { w.Right.Cross = -1 }, build.FieldCross, build.Right},
		{"pairing", func(w *build.Wheel) { w.Left.Flange.Pairing = quantity.Turn }, build.FieldPairing, build.Left},
		{"turn", func(w *build.Wheel) { w.Left.Flange.Turn = quantity.Angle(math.Inf(1)) }, build.FieldTurn, build.Left},
		{"falling hub angles", func(w *build.Wheel) {
			w.Left.Flange.Angles = make([]quantity.Angle, 16)
			w.Left.Flange.Angles[0] = 1
		}, build.FieldHubAngles, build.Left},
		{"wire", func(w *build.Wheel) { w.Left.Gauge = build.Plain(14 * mm) }, build.FieldGauge, build.Left},
		{"blade thicker than wide", func(w *build.Wheel) { w.Left.Gauge = build.Bladed(2*mm, 0.9*mm, 2.3*mm) }, build.FieldGauge, build.Left},
		{"tangent", func(w *build.Wheel) { w.Right.Flange.Seat = build.StraightPull; w.Right.Flange.Tangent = 300 * mm }, build.FieldTangent, build.Right},
		{"seat at the rim", func(w *build.Wheel) { w.Right.Flange.Seat = build.StraightPull; w.Right.Flange.Ahead = 290 * mm }, build.FieldAhead, build.Right},
		{"seat kind", func(w *build.Wheel) { w.Right.Flange.Seat = 7 }, build.FieldSeat, build.Right},
	} {
		w := wheel()
		c.change(&w)
		var out *build.RangeError
		require.ErrorAs(t, w.Validate(), &out, c.why)
		assert.Equal(t, c.field, out.Field, c.why)
		assert.Equal(t, c.side, out.Side, c.why)
	}
	w := wheel()
	require.NoError(t, w.Validate())
}

func TestValidateAsksForWhatIsMissing(t *testing.T) {
	for _, c := range []struct {
		change func(*build.Wheel)
		want   string
	}{
		{func(w *build.Wheel) { w.Rim.ERD = 0 }, "erd: not given"},
		{func(w *build.Wheel) { w.Rim.Holes = 0 }, "rim holes: not given"},
		{func(w *build.Wheel) { w.Right.Flange.Holes = 0 }, "right hub holes: not given"},
		{func(w *build.Wheel) { w.Left.Flange.Circle = 0 }, "left circle: not given"},
		{func(w *build.Wheel) { w.Right.Flange.HoleDiameter = 0 }, "right flange hole: not given"},
	} {
		w := wheel()
		c.change(&w)
		var missing *build.MissingError
		require.ErrorAs(t, w.Validate(), &missing)
		assert.EqualError(t, missing, c.want)
	}
}

func TestRangeErrorReads(t *testing.T) {
	w := wheel()
	w.Left.Flange.Offset = -3 * mm
	assert.EqualError(t, w.Validate(), "left offset -3 mm: want 0 mm to 80 mm")
	err := &build.RangeError{Field: build.FieldRimHoles, Side: build.NoSide, Value: 7, Low: 12, High: 72}
	assert.EqualError(t, err, "rim holes 7: want 12 to 72")
}

// The sections are the closed forms: πd²/4 and πd⁴/64, πwt/4 and πwt³/64.
func TestGaugeParts(t *testing.T) {
	length := 280 * mm
	for _, c := range []struct {
		why   string
		gauge build.Gauge
		want  [3]float64 // mm
	}{
		{"plain", build.Plain(2 * mm), [3]float64{0, 280, 0}},
		{"double butted: 36 mm at the hub, 30 mm at the rim", build.DoubleButted(2*mm, 1.8*mm), [3]float64{36, 214, 30}},
		{"single butted: 45 mm at the hub", build.SingleButted(2.3*mm, 2*mm), [3]float64{45, 235, 0}},
		{"blade", build.Bladed(2*mm, 2.3*mm, 0.9*mm), [3]float64{36, 214, 30}},
	} {
		parts := c.gauge.Parts(length)
		for i, p := range parts {
			assert.InDelta(t, c.want[i], p.Length.MM(), 1e-9, "%s, part %d", c.why, i)
		}
	}
	short := build.DoubleButted(2*mm, 1.8*mm).Parts(33 * mm)
	assert.InDelta(t, 18, short[0].Length.MM(), 1e-9, "ends share a short spoke")
	assert.InDelta(t, 0, short[1].Length.MM(), 1e-9)

	round := build.Plain(2 * mm).Parts(length)[1]
	assert.InDelta(t, math.Pi, round.Area.In(quantity.SquareMillimetre), 1e-9)
	assert.InDelta(t, math.Pi/4*1e-12, round.Bending, 1e-24)
	blade := build.Bladed(2*mm, 2.3*mm, 0.9*mm)
	assert.InDelta(t, math.Pi*2.3*0.9/4, blade.Area().In(quantity.SquareMillimetre), 1e-9)
	assert.InDelta(t, math.Pi*2.3*0.9*0.9*0.9/64*1e-12, blade.Parts(length)[1].Bending, 1e-24)
	assert.False(t, build.Gauge{}.Given())
}

func TestSpokesASide(t *testing.T) {
	w := wheel()
	assert.Equal(t, 16, w.Spokes(build.Left))
	w.Rim.Holes, w.Pattern = 24, build.TwoToOne
	assert.Equal(t, 8, w.Spokes(build.Left))
	assert.Equal(t, 16, w.Spokes(build.Right))
	w.Joins = []build.Join{{Rim: 0, Side: build.Right}}
	assert.Equal(t, 1, w.Spokes(build.Right))
}

func TestTorque(t *testing.T) {
	assert.False(t, (&build.Wheel{End: build.Front, Brake: build.RimBrake}).Torque())
	assert.True(t, (&build.Wheel{End: build.Front, Brake: build.DiscBrake}).Torque())
	assert.True(t, (&build.Wheel{End: build.Rear}).Torque())
	assert.True(t, (&build.Wheel{Motor: true}).Torque())
}
