package commands

import (
	"spokeword/calc/build"
	"spokeword/calc/quantity"
	"spokeword/commands/read"
	"spokeword/commands/reply"
	"spokeword/commands/spec"
)

// This file makes wheels of requests, for the commands that need one.

// A usual wheel, for what a question leaves out: a rim for 29 inch tyres on a
// hub with a disc brake. Common practice, no source; on other wheels lengths
// differ, and what is compared hardly does.
const (
	usualERD      = 600 * quantity.Millimetre // of a 29
	usualSpokes   = 32
	usualCrossing = 3
)

var (
	// usualFrontDisc are the flanges of a front hub with a disc.
	usualFrontDisc = [2]quantity.Length{24 * quantity.Millimetre, 34 * quantity.Millimetre}
	// usualFrontRim are those of one without.
	usualFrontRim = [2]quantity.Length{36 * quantity.Millimetre, 36 * quantity.Millimetre}
	// usualTwoToOne are those of a rear hub made for 2:1, the double side further in.
	usualTwoToOne = [2]quantity.Length{36 * quantity.Millimetre, 17 * quantity.Millimetre}
)

// wheelEnd returns which wheel of the bike is meant.
func wheelEnd(r spec.Request) build.End {
	e, _ := end.Of(r)
	return map[string]build.End{"front": build.Front, "rear": build.Rear}[e]
}

// wheelBrake returns the wheel's brake.
func wheelBrake(r spec.Request) build.Brake {
	b, _ := brake.Of(r)
	return map[string]build.Brake{"disc": build.DiscBrake, "rim": build.RimBrake}[b]
}

// hubAndRim returns the holes of hub and rim. One count is both.
func hubAndRim(n spec.Ends[int]) (hub, rim int) {
	switch n.Which {
	case spec.FirstOnly:
		return n.First, n.First
	case spec.SecondOnly:
		return n.Second, n.Second
	}
	return n.First, n.Second
}

// towardsLeft returns how far the rim's holes lie towards the left. ok is false
// if no side was named.
func towardsLeft(x measures) (l quantity.Length, ok bool) {
	switch x.Which {
	case spec.FirstOnly:
		return x.First.Length(), true
	case spec.SecondOnly:
		return -x.Second.Length(), true
	}
	return 0, false
}

// wireOf returns the spoke of these diameters.
func wireOf(b read.Butts) build.Gauge {
	in := func(d float64) quantity.Length { return quantity.Length(d) * quantity.Millimetre }
	return build.Gauge{Head: in(b.Hub), Middle: in(b.Middle), Thread: in(b.Rim)}
}

// usualHub gives a wheel rim and flanges as said, or the usual ones, which is
// said. Holes and crossings are left to the command.
func usualHub(r spec.Request, out *reply.Reply, w *build.Wheel) {
	w.End, w.Brake = wheelEnd(r), wheelBrake(r)
	w.Rim.ERD = usualERD
	if m, ok := erd.Of(r); ok {
		w.Rim.ERD = m.Length()
	} else {
		out.Assume("erd", usualERD.Short(), "not given, as many 29 rims have")
	}
	hole := usualHole
	if o, ok := flangehole.Of(r); ok {
		hole = o.Length()
	}
	circles, ok := circle.Of(r)
	if !ok {
		circles = spec.OneFor(lengthOf(usualCircle))
		out.Assume("circle", usualCircle.Short(), "not given, a usual hub")
	}
	offsets, ok := firstOffset(r)
	if !ok || offsets.Which == spec.FirstOnly || offsets.Which == spec.SecondOnly {
		usual, why := usualOffset, "not given, a usual rear hub"
		switch {
		case w.End == build.Front && w.Brake == build.RimBrake:
			usual, why = usualFrontRim, "not given, a usual front hub"
		case w.End == build.Front:
			usual, why = usualFrontDisc, "not given, a usual front hub for a disc"
		case w.Pattern == build.TwoToOne:
			usual, why = usualTwoToOne, "not given, as a hub made for 2:1"
		}
		if ok { // one flange as said, the other as usual
			if m, left := ofEnd(offsets, 0); left {
				usual[0] = m.Length()
			} else if m, right := ofEnd(offsets, 1); right {
				usual[1] = m.Length()
			}
			why = "one side given, the other as usual"
		}
		offsets = flangesOf(usual)
		out.Assume("offset", offsetText(offsets), why)
	}
	for i, side := range build.Sides {
		f := &w.Half(side).Flange
		c, o := ofBoth(circles, i), ofBoth(offsets, i)
		f.Circle, f.Offset, f.HoleDiameter = c.Length(), o.Length(), hole
	}
	if m, ok := mark.Of(r); ok {
		w.Rim.TensionMark = m.Force()
	}
}

func lengthOf(l quantity.Length) measure {
	return measure{Number: l.MM(), Unit: quantity.MM}
}

// flangesOf returns the offsets of a usual hub as somebody would give them.
func flangesOf(usual [2]quantity.Length) measures {
	return measures{First: lengthOf(usual[0]), Second: lengthOf(usual[1]), Which: spec.Each}
}

func flangesText(usual [2]quantity.Length) string { return offsetText(flangesOf(usual)) }

// offsetText writes the offsets of one hub's flanges.
func offsetText(o measures) string { return offset.As.Text([]measures{o}) }

// firstOffset returns the offsets of the hub asked about, of the first if there
// are several to compare.
func firstOffset(r spec.Request) (o measures, ok bool) {
	all, ok := offset.Of(r)
	if !ok {
		return o, false
	}
	return all[0], true
}

// oneHub refuses the offsets of several hubs, for what works on one wheel.
func oneHub(r spec.Request, example string) error {
	if all, _ := offset.Of(r); len(all) > 1 {
		return spec.Misuse("offset", example, "offset %s: want one hub here; wheel sets two side by side, spokes gives the lengths of both", offset.As.Text(all))
	}
	return nil
}

// oneFlange reports whether offsets are those of one flange only.
func oneFlange(o measures) bool { return o.Which == spec.FirstOnly || o.Which == spec.SecondOnly }

// flangesName names a hub among several by its flanges: "36/21".
func flangesName(o measures) string {
	return quantity.Trimmed(o.First.Length().MM(), 1) + "/" + quantity.Trimmed(o.Second.Length().MM(), 1)
}

// ofBoth returns the value for end i, or that of the other end if only that
// was given.
func ofBoth(e measures, i int) measure {
	if m, ok := ofEnd(e, i); ok {
		return m
	}
	return e.Any()
}

// tighterText says which side is the tighter, and by how much.
func tighterText(ratio float64) string {
	switch {
	case even(ratio):
	case ratio < 1:
		return "The right side is the tighter one: expect the left at " + quantity.Percent(ratio) + " of its tension."
	default:
		return "The left side is the tighter one: expect the right at " + quantity.Percent(1/ratio) + " of its tension."
	}
	return "Both sides carry the same tension."
}
