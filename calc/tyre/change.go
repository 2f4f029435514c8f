package tyre

import (
	"spokeword/calc/basis"
	"spokeword/calc/quantity"
)

// ChangeKind is something that changes about a bike and its ground.
type ChangeKind uint8

// What can change. Those up to BikePark are tabulated: common practice in psi.
// SoftSnow is a factor. The others are computed: the ratio of the load model.
const (
	Wet           ChangeKind = iota + 1 // wet roots and rock
	SharpRock                           // sharp rock; behind only
	InsertIn                            // a foam insert fitted
	TubesIn                             // tubes instead of tubeless; nothing on labels below 45 mm
	HeavierCasing                       // same tyre, heavier casing: for the same feel, no licence to go lower for the rim
	SmoothRace                          // a race on smooth, firm ground
	BikePark                            // a day of lifts and jumps; behind only
	SoftSnow                            // snow gone soft
	AddedLoad                           // Load more, or less
	OtherTyre                           // another tyre, or the same on another rim: Tyre
	OtherRiding                         // Riding
)

var changeKinds = [...]string{Wet: "wet", SharpRock: "sharp rock", InsertIn: "insert", TubesIn: "tubes", HeavierCasing: "heavier casing", SmoothRace: "smooth race", BikePark: "bike park", SoftSnow: "soft snow", AddedLoad: "load", OtherTyre: "tyre or rim", OtherRiding: "riding"}

// String names the change: "wet".
func (k ChangeKind) String() string {
	if int(k) < len(changeKinds) {
		return changeKinds[k]
	}
	return ""
}

// Tabulated reports whether the change is common practice in psi.
func (k ChangeKind) Tabulated() bool { return k >= Wet && k <= BikePark }

// Change is one thing that changes.
type Change struct {
	Kind ChangeKind
	// End is where; Both where the table has it: every change at both ends but
	// SharpRock and BikePark.
	End End
	// Back undoes the change: dry again, the insert out, tubeless instead of
	// tubes, a lighter casing, off with the load. OtherTyre and OtherRiding know
	// no Back: the old one is the other one.
	Back bool
	// Load is what is added, for AddedLoad. OnFront is the share of it on the
	// front wheel where that is neither End's nor, 0, the rider's own.
	Load    quantity.Mass
	OnFront Share
	Tyre    Mounted // for OtherTyre: as mounted afterwards
	Riding  Riding  // for OtherRiding
}

// Mostly is the share taken of a load said to be mostly at one end.
// Assumption; it must be said in the answer.
const Mostly Share = 0.8

// tabulated is what practice changes, in psi. A fall is limited to fallShare of
// the pressure, a rise to riseShare: the table was made on pressures of 20 to
// 30 psi, and a fat tyre at 8 psi can't lose 3. Both limits are assumptions.
var tabulated = [...]struct {
	rearOnly          bool
	low, likely, high float64
	basis             basis.Basis
}{
	Wet:           {false, -2, -1.5, -1, basis.Basis{Kind: basis.Practice, Says: "1 to 2 psi less on wet roots and rock"}},
	SharpRock:     {true, 1, 1.5, 2, basis.Basis{Kind: basis.Practice, Says: "1 to 2 psi more behind on sharp rock"}},
	InsertIn:      {false, -3, -2, -1, basis.Basis{Kind: basis.Practice, Says: "1 to 3 psi less at the wheel with the insert; riders in published accounts settle 2 to 4 lower"}},
	TubesIn:       {false, 3, 5, 6, basis.Basis{Kind: basis.Practice, Says: "3 to 6 psi more with tubes, against pinching; one source has 10"}},
	HeavierCasing: {false, -3, -2, -1, basis.Basis{Kind: basis.Practice, Says: "1 to 3 psi less for the same feel; the rim is no better protected by it"}},
	SmoothRace:    {false, 1, 1, 2, basis.Basis{Kind: basis.Practice, Says: "1 to 2 psi more on smooth, firm ground; on rough ground lower rolls faster"}},
	BikePark:      {true, 2, 3, 4, basis.Basis{Kind: basis.Practice, Says: "2 to 4 psi more behind in a bike park"}},
}

// SoftSnowBasis is what the factor for soft snow rests on.
var SoftSnowBasis = basis.Basis{Kind: basis.Article, Source: "two rules for fat tyres, pounds/20 and pounds/25", Says: "their ratio, 0.8"}

// RatioBasis is what computed changes rest on.
var RatioBasis = basis.Basis{Kind: basis.Computed, Source: "ratio of the membrane model", Says: "the whole ratio, at the pressure one rides; half of it is a habit without a source"}

// FallLimit returns how far tabulated falls may take a pressure down in one
// go: 4 psi or 15 % of it, whichever is less. Practice; assumption.
func FallLimit(p quantity.Gauge) quantity.Gauge {
	return min(4*quantity.PSI, p*fallShare)
}

const (
	fallShare = 0.15
	riseShare = 0.25
)

// OwnWheel is one wheel as somebody rides it.
type OwnWheel struct {
	Wheel                   // Tyre may be zero if it isn't known; then nothing of it is computed
	Pressure quantity.Gauge // ridden now; 0 if not given: the wheel is left out
	Load     quantity.Mass  // on it, riding (RidingLoads); 0 if not known
}

// Own is a bike as somebody rides it, with their own pressures.
type Own struct {
	Front, Rear OwnWheel
	Riding      Riding // 0 if not known
	Use         Use
}

// RidingLoads returns what of a total of rider, bike and load is on each wheel
// while riding, by the shares of StartFor. It returns a *RidingError for no
// riding and a *RangeError for totals outside 10 to 400 kg.
func RidingLoads(total quantity.Mass, r Riding, frontLabel, rearLabel quantity.Length) (front, rear quantity.Mass, err error) {
	if err := within("total", total, 10, 400); err != nil {
		return 0, 0, err
	}
	f, ok := TargetFor(r, frontLabel)
	if !ok {
		return 0, 0, &RidingError{}
	}
	b, _ := TargetFor(r, rearLabel)
	front = total * quantity.Mass((f.Front+b.Front)/2)
	return front, total - front, nil
}

// Delta is what one change does to one wheel.
type Delta struct {
	Change int // index of the change
	Kind   ChangeKind
	// Likely is signed, Low to High its range; they are one where it is computed.
	Likely, Low, High quantity.Gauge
	// Ratio is new over old where it is a factor; 0 where it is tabulated.
	Ratio float64
	// Applied is false for tabulated falls that together go too far
	// (WheelChange.OneAtATime).
	Applied bool
	Basis   basis.Basis
}

// Half returns half of a computed change: what habit takes of it. It has no
// source.
func (d Delta) Half() quantity.Gauge { return d.Likely / 2 }

// WheelChange is what all changes do to one wheel.
type WheelChange struct {
	Before quantity.Gauge
	// Pressure is the new one, Low to High what the ranges of practice leave
	// open. None is above Max.Pressure.
	Pressure, Low, High quantity.Gauge
	// Model is the new one before the marks: Before and all applied Deltas.
	Model  quantity.Gauge
	Deltas []Delta
	// OneAtATime is set where several tabulated falls go beyond FallLimit
	// together. None of them is applied: try them one at a time.
	OneAtATime bool
	Max        Maximum
	Standing   Standing // of Pressure, as in WheelStart
}

// Changed is what changes do to somebody's own pressures.
type Changed struct {
	Front, Rear WheelChange // zero where no pressure was given
	After       Own         // the bike afterwards
}

// UnknownError says what must be known of a wheel to compute a change.
type UnknownError struct {
	End      End
	Quantity string // "load", "tyre", "pressure"
}

func (e *UnknownError) Error() string {
	end := [...]string{"a", "the front", "the rear"}[min(e.End, Rear)]
	return e.Quantity + " unknown: want " + end + " wheel's " + e.Quantity
}

// ChangeError says that a change can't be: none named, or at an end where
// nothing is known of it.
type ChangeError struct {
	Kind ChangeKind
	End  End
}

func (e *ChangeError) Error() string {
	if e.Kind.String() == "" {
		return "change unknown: want wet to riding"
	}
	return e.Kind.String() + " in front: want rear"
}

// Apply returns what changes make of somebody's own pressures. Per wheel:
//
//	p2 = (p1 undone) · k1 · k2 … + t1 + t2 …
//
// Each k is model(new)/model(old) of a computed change, scaling the pressure
// that this rider found right, not replacing it by the model's:
//
//	load    (load + part of the added load)/load
//	tyre    A(old, target)/A(new, target)         by contact area at the target drop
//	riding  A(target old)/A(target new) · share new/share old
//	snow    0.8
//
// Each t is tabulated practice, added afterwards; Back changes undo theirs
// first, so that a change and then its Back give the start, also of several,
// as long as no mark and no limit has stepped in. A single tabulated fall takes
// at most 15 % of the pressure and a rise 25 %; several falls together that go
// beyond FallLimit are not applied (OneAtATime). Undoing a rise is no such
// fall.
//
// Marks are checked again as in StartFor: no pressure is above the maximum that
// binds, Standing says what happened. Changes hold for that rider and bike; they
// are where testing begins, 1 psi at a time.
//
// It returns an *UnknownError where load, tyre or both pressures aren't known,
// a *RidingError where the riding isn't, a *ChangeError for SharpRock and
// BikePark in front and for no change that it knows, and a *RangeError for
// pressures outside 0.1 to 12 bar, wheel loads outside LeastLoad to
// GreatestLoad, and loads above 400 kg.
func Apply(own Own, changes []Change) (Changed, error) {
	if own.Front.Pressure == 0 && own.Rear.Pressure == 0 {
		return Changed{}, &UnknownError{Both, "pressure"}
	}
	for _, c := range changes {
		if c.Kind == 0 || c.Kind > OtherRiding {
			return Changed{}, &ChangeError{Kind: c.Kind}
		}
		if c.End == Front && c.Kind.Tabulated() && tabulated[c.Kind].rearOnly {
			return Changed{}, &ChangeError{c.Kind, c.End}
		}
	}
	out := Changed{After: own}
	for _, w := range [...]struct {
		end   End
		after *OwnWheel
		out   *WheelChange
	}{{Front, &out.After.Front, &out.Front}, {Rear, &out.After.Rear, &out.Rear}} {
		if w.after.Pressure == 0 {
			continue
		}
		if err := within("pressure", w.after.Pressure, 0.1*quantity.Bar, 12*quantity.Bar); err != nil {
			return Changed{}, err
		}
		change, err := own.apply(w.end, w.after, changes)
		if err != nil {
			return Changed{}, err
		}
		*w.out = change
	}
	for _, c := range changes {
		if c.Kind == OtherRiding {
			out.After.Riding = c.Riding
		}
	}
	// Marks come last: they may depend on the riding afterwards.
	for _, w := range [...]struct {
		after *OwnWheel
		out   *WheelChange
	}{{&out.After.Front, &out.Front}, {&out.After.Rear, &out.Rear}} {
		if w.after.Pressure == 0 {
			continue
		}
		label := w.after.Tyre.Label
		if err := w.after.Limits.check(label); err != nil {
			return Changed{}, err
		}
		w.out.Max = w.after.Limits.Max(label)
		w.out.Standing = stand(w.after.Limits, w.out.Max, out.After.Riding, own.Use, &w.out.Pressure, &w.out.Low, &w.out.High)
		w.after.Pressure = w.out.Pressure
	}
	return out, nil
}

// at reports whether a change is at an end.
func (c Change) at(end End) bool {
	if c.End != Both {
		return c.End == end
	}
	return end == Rear || !c.Kind.Tabulated() || !tabulated[c.Kind].rearOnly
}

// apply works out one wheel and brings w to what it is afterwards.
func (o Own) apply(end End, w *OwnWheel, changes []Change) (WheelChange, error) {
	out := WheelChange{Before: w.Pressure}
	p := w.Pressure

	undone, limited := settle(p, w.Tyre.Label, end, changes, true)
	for _, d := range undone {
		out.Deltas = append(out.Deltas, d)
		if d.Applied {
			p += d.Likely
		}
	}
	out.OneAtATime = limited

	riding := o.Riding
	for i, c := range changes {
		k, b, err := 1.0, RatioBasis, error(nil)
		switch c.Kind {
		case SoftSnow:
			if b = SoftSnowBasis; c.at(end) {
				k = softSnow
				if c.Back {
					k = 1 / k
				}
			}
		case AddedLoad:
			k, err = o.loaded(end, w, c)
		case OtherTyre:
			if c.at(end) {
				k, err = retyred(end, w, riding, c.Tyre)
			}
		case OtherRiding:
			k, err = ridden(end, w, riding, c.Riding)
			riding = c.Riding
		default:
			continue
		}
		if err != nil {
			return WheelChange{}, err
		}
		if k == 1 && !c.at(end) {
			continue
		}
		d := Delta{Change: i, Kind: c.Kind, Ratio: k, Likely: p * quantity.Gauge(k-1), Applied: true, Basis: b}
		d.Low, d.High = d.Likely, d.Likely
		out.Deltas = append(out.Deltas, d)
		p += d.Likely
	}

	done, limited := settle(p, w.Tyre.Label, end, changes, false)
	out.OneAtATime = out.OneAtATime || limited
	for _, d := range done {
		out.Deltas = append(out.Deltas, d)
		if d.Applied {
			p += d.Likely
		}
	}
	for _, c := range changes {
		if c.Kind == TubesIn && c.at(end) {
			w.Tubes = !c.Back
		}
	}
	out.Model, out.Pressure, out.Low, out.High = p, p, p, p
	for _, d := range out.Deltas {
		if d.Applied {
			out.Low += d.Low - d.Likely
			out.High += d.High - d.Likely
		}
	}
	return out, nil
}

// settle returns the tabulated changes of a wheel, done to p, or, with back,
// undone from it. limited is set where several falls go too far together.
func settle(p quantity.Gauge, label quantity.Length, end End, changes []Change, back bool) (out []Delta, limited bool) {
	falls := 0
	for i, c := range changes {
		if c.Kind == TubesIn && label > 0 && label < tubesFrom {
			continue // narrow tyres are ridden the same with tubes and without
		}
		if c.Kind.Tabulated() && c.Back == back && c.at(end) {
			out = append(out, Delta{Change: i, Kind: c.Kind, Applied: true, Basis: tabulated[c.Kind].basis})
			if tabulated[c.Kind].likely < 0 {
				falls++
			}
		}
	}
	if len(out) == 0 {
		return nil, false
	}
	base := p // what the table is done to
	if back {
		base = undo(p, out)
	}
	var fall quantity.Gauge
	for _, d := range out {
		fall -= min(0, step(tabulated[d.Kind].likely, base))
	}
	if limited = falls > 1 && fall > FallLimit(base); limited {
		for i := range out {
			out[i].Applied = tabulated[out[i].Kind].likely > 0
		}
		if back {
			base = undo(p, out)
		}
	}
	for i := range out {
		row := tabulated[out[i].Kind]
		d := &out[i]
		d.Low, d.Likely, d.High = step(row.low, base), step(row.likely, base), step(row.high, base)
		if back {
			d.Low, d.Likely, d.High = -d.High, -d.Likely, -d.Low
		}
	}
	return out, limited
}

// step is a tabulated step in psi as it is done to a pressure.
func step(psi float64, p quantity.Gauge) quantity.Gauge {
	return min(max(quantity.Gauge(psi*quantity.PSI), -fallShare*p), riseShare*p)
}

// undo returns the pressure to which the applied changes were done to come to
// p. What they come to rises with it, so there is one: falls of 15 % each, and
// there are three, leave something.
func undo(p quantity.Gauge, applied []Delta) quantity.Gauge {
	low, high := quantity.Gauge(0), 16*p
	for range 200 {
		mid := (low + high) / 2
		if mid == low || mid == high {
			break
		}
		sum := mid
		for _, d := range applied {
			if d.Applied {
				sum += step(tabulated[d.Kind].likely, mid)
			}
		}
		if sum < p {
			low = mid
		} else {
			high = mid
		}
	}
	return (low + high) / 2
}

// loaded returns the ratio for a load and adds it to the wheel.
func (o Own) loaded(end End, w *OwnWheel, c Change) (float64, error) {
	if err := within("load", c.Load, 0, 400); err != nil {
		return 0, err
	}
	front := c.OnFront
	switch {
	case c.End == Front:
		front = 1
	case c.End == Rear:
		front = 0
	case front == 0:
		if o.Front.Load == 0 || o.Rear.Load == 0 {
			return 0, &UnknownError{end, "load"}
		}
		front = Share(o.Front.Load / (o.Front.Load + o.Rear.Load))
	}
	if err := within("share in front", front, 0, 1); err != nil {
		return 0, err
	}
	part := c.Load * quantity.Mass(front)
	if end == Rear {
		part = c.Load - part
	}
	if part == 0 {
		return 1, nil
	}
	if w.Load == 0 {
		return 0, &UnknownError{end, "load"}
	}
	if c.Back {
		part = -part
	}
	for _, m := range [...]quantity.Mass{w.Load, w.Load + part} {
		if err := within("wheel load", m, LeastLoad, GreatestLoad); err != nil {
			return 0, err
		}
	}
	k := float64((w.Load + part) / w.Load)
	w.Load += part
	return k, nil
}

// retyred returns the ratio for another tyre or rim and mounts it.
func retyred(end End, w *OwnWheel, r Riding, now Mounted) (float64, error) {
	var area [2]quantity.Area
	for i, m := range [...]Mounted{w.Tyre, now} {
		if m.Label == 0 {
			return 0, &UnknownError{end, "tyre"}
		}
		target, ok := TargetFor(r, m.Label)
		if !ok {
			return 0, &RidingError{}
		}
		var err error
		if area[i], err = m.PatchArea(target.Drop); err != nil {
			return 0, err
		}
	}
	w.Tyre = now
	return float64(area[0] / area[1]), nil
}

// ridden returns the ratio for another riding, and moves the load by its share.
func ridden(end End, w *OwnWheel, was, is Riding) (float64, error) {
	if w.Tyre.Label == 0 {
		return 0, &UnknownError{end, "tyre"}
	}
	var area [2]quantity.Area
	var share [2]Share
	for i, r := range [...]Riding{was, is} {
		target, ok := TargetFor(r, w.Tyre.Label)
		if !ok {
			return 0, &RidingError{}
		}
		var err error
		if area[i], err = w.Tyre.PatchArea(target.Drop); err != nil {
			return 0, err
		}
		if share[i] = target.Front; end == Rear {
			share[i] = 1 - target.Front
		}
	}
	moved := float64(share[1] / share[0])
	w.Load *= quantity.Mass(moved)
	return float64(area[0]/area[1]) * moved, nil
}
