package tyre

import (
	"math"

	"spokeword/calc/basis"
	"spokeword/calc/quantity"
)

// Wheel loads the load model is used for.
const (
	LeastLoad    quantity.Mass = 10
	GreatestLoad quantity.Mass = 110
)

// End is an end of the bike.
type End uint8

// The ends. Both is the zero value.
const (
	Both End = iota
	Front
	Rear
)

// Use is what a bike is, where that changes what may be said.
type Use uint8

// The uses.
const (
	Ordinary  Use = iota
	Assisted      // with a motor
	Child         // a child's bike
	Cargo         // goods
	Tandem        // two riders
	ChildSeat     // a passenger
)

// Laden reports whether the use is one for which printed limits come first and
// no soft pressure is given: cargo, tandem, child seat.
func (u Use) Laden() bool { return u == Cargo || u == Tandem || u == ChildSeat }

// Target is the drop and the share of the load on the front wheel that a
// riding is started with.
type Target struct {
	Drop  Share // of the section height
	Front Share // of the load, while riding
}

// TargetBasis is what the targets rest on.
var TargetBasis = basis.Basis{Kind: basis.Computed, Source: "membrane model fitted to published start pressures", Says: "only trail is fixed by more than one source; shares are for riding, at rest the rear carries about 60 %"}

// targets are fitted: one drop and one share a riding so that the membrane
// model meets published and practised start pressures. No case has a factor of
// its own.
var targets = [...]Target{
	Road:     {0.190, 0.46},
	Gravel:   {0.224, 0.47},
	XC:       {0.195, 0.46},
	Trail:    {0.201, 0.478},
	Enduro:   {0.190, 0.477},
	Downhill: {0.185, 0.478},
	Park:     {0.185, 0.478}, // downhill's: assumption
	Commute:  {0.224, 0.47},  // gravel's, below 35 mm road's: assumption
	Snow:     {0.201, 0.478}, // trail's: assumption
}

// Plus and fat tyres are started by what they are, whatever they are ridden
// on: fitted as the others, at 71 mm and from 114 mm.
var (
	plusTarget = Target{0.237, 0.48}
	fatTarget  = Target{0.207, 0.47}
)

const (
	plusLabel = 71 * mm
	fatLabel  = 114 * mm
)

// TargetFor returns the target for a riding and a label: the riding's own up
// to PlusFrom, plus at 71 mm, fat from 114 mm, straight lines between. ok is
// false for no riding.
func TargetFor(r Riding, label quantity.Length) (t Target, ok bool) {
	if r == 0 || int(r) >= len(targets) {
		return Target{}, false
	}
	t = targets[r]
	if r == Commute && label < commuteRoad {
		t = targets[Road]
	}
	mix := func(a, b Target, from, to quantity.Length) Target {
		x := Share((label - from) / (to - from))
		return Target{a.Drop + (b.Drop-a.Drop)*x, a.Front + (b.Front-a.Front)*x}
	}
	switch {
	case label <= PlusFrom:
		return t, true
	case label <= plusLabel:
		return mix(t, plusTarget, PlusFrom, plusLabel), true
	case label < fatLabel:
		return mix(plusTarget, fatTarget, plusLabel, fatLabel), true
	}
	return fatTarget, true
}

// softSnow is what soft snow takes off a start: × 0.8, the ratio of two
// published rules for fat tyres (pounds/25 over pounds/20).
const softSnow = 0.8

// What a tube adds to a start on labels from tubesFrom: 5 psi, 4 to 6, against
// pinching. Common practice, no source. Narrower tyres are started the same
// with tubes and without.
const (
	tubesTerm   = quantity.Gauge(5 * quantity.PSI)
	tubesSpread = quantity.Gauge(1 * quantity.PSI)
	// On a fat tyre 5 psi would nearly double the start: 1.5 psi there, 1 to 2.
	tubesTermFat   = quantity.Gauge(1.5 * quantity.PSI)
	tubesSpreadFat = quantity.Gauge(0.5 * quantity.PSI)
	tubesFrom      = 45 * mm
)

// DefaultBike returns the mass taken for a bike that wasn't weighed: road 10
// kg, xc and gravel 12, trail 17, enduro 19, downhill 20, plus and fat 17, a
// child's 10; 10 more with a motor. Park is downhill's, commute gravel's, snow
// trail's. Assumption; it must be said in the answer.
func DefaultBike(r Riding, label quantity.Length, u Use) quantity.Mass {
	var m quantity.Mass
	switch KindFor(r, label) {
	case RoadKind:
		m = 10
	case GravelKind, XCKind:
		m = 12
	case EnduroKind:
		m = 19
	case DownhillKind:
		m = 20
	default:
		m = 17
	}
	switch u {
	case Child:
		m = 10
	case Assisted:
		m += 10
	}
	return m
}

// AtRestFront is the share of the load on the front wheel of a bike standing
// still, about 40 %: common practice, no source. Starts use riding shares
// (Target), since braking and steep ground move load forward.
const AtRestFront Share = 0.40

// FrontShare returns the share of a load on the front wheel when it sits ahead
// of the rear axle by a distance: ahead/wheelbase (statics; exact). With the
// horizontal chainstay as the distance it is the share of a load over the
// cranks. It returns a *RangeError unless 0 <= ahead <= wheelbase and the
// wheelbase is 0.5 to 3 m.
func FrontShare(ahead, wheelbase quantity.Length) (Share, error) {
	if err := within("wheelbase", wheelbase, 500*mm, 3000*mm); err != nil {
		return 0, err
	}
	if err := within("distance", ahead, 0, wheelbase); err != nil {
		return 0, err
	}
	return Share(ahead / wheelbase), nil
}

// Wheel is one wheel of a set-up.
type Wheel struct {
	Tyre   Mounted
	Tubes  bool // a tube inside
	Limits Limits
}

// Setup is what a start pressure is worked out from.
type Setup struct {
	Rider   quantity.Mass // ready to ride
	Bike    quantity.Mass // see DefaultBike
	Carried quantity.Mass
	Where   End // where it is carried; Both shares it like the rider
	Front   Wheel
	Rear    Wheel
	Riding  Riding
	// SoftSnow asks for float: × 0.8 on any tyre.
	SoftSnow bool
	Use      Use
}

// Standing says how a start stands to the marks.
type Standing uint8

// How a start can stand to the marks.
const (
	Inside      Standing = iota // inside all known marks
	RaisedToMin                 // the model's start is below the tyre's minimum and was raised to it
	BelowMin                    // it is below the tyre's minimum and shown so: hooked, off the road; the bead may leave the rim
	MinBeside                   // a child's tyre: the mark was written for grown riders on roads and is quoted beside
	AboveMax                    // the model's start is above the maximum: no start, the pressure shown is the maximum
)

// WheelStart is the start pressure of one wheel.
type WheelStart struct {
	// Pressure is the start; never above Max.Pressure.
	Pressure quantity.Gauge
	// Low and High are the band it is known within; never above Max.Pressure.
	Low, High quantity.Gauge
	// Model is what the model gives, before the marks.
	Model quantity.Gauge
	// Band is the relative half-width of the band of the model.
	Band Share
	// Load is the mass on the wheel, riding.
	Load quantity.Mass
	// Drop is the target, as a share of the section height; without the tubes
	// term and soft snow.
	Drop Share
	// Tubes is what was added for a tube; 0 if nothing.
	Tubes    quantity.Gauge
	Max      Maximum
	Standing Standing
}

// Start is the start pressure of a set-up.
type Start struct {
	Front, Rear WheelStart
	// FrontShare is the share of rider, bike and what is carried on both ends
	// taken by the front wheel.
	FrontShare Share
	Total      quantity.Mass
	// FirmTarget is set where the use took the target of road riding instead
	// of the riding's own: cargo, tandem, child seat.
	FirmTarget bool
}

// MarksNeededError says that the use gets no number without the tyre's marks.
type MarksNeededError struct{ Front, Rear bool }

func (e *MarksNeededError) Error() string {
	switch {
	case e.Front && e.Rear:
		return "tyre's maximum unknown: want both tyres' marks"
	case e.Front:
		return "tyre's maximum unknown: want the front tyre's mark"
	}
	return "tyre's maximum unknown: want the rear tyre's mark"
}

// RidingError says that the riding isn't known.
type RidingError struct{}

func (*RidingError) Error() string { return "riding unknown: want road to snow" }

// StartFor returns start pressures:
//
//	p = load on the wheel / A(target drop)
//
// with A the contact area of the membrane model (Mounted.PatchArea), the load
// (rider + bike + carried) × share, what is carried at one end counting there
// alone, and drop and share from TargetFor. Where front and rear labels have
// different targets each wheel takes its own drop, and the share is the mean
// of the two. Soft snow takes × 0.8; then tubes add 5 psi on labels from 45 mm, 1.5 on fat tyres.
//
// The band is what the inputs leave open, in parts of the start:
//
//	√((1.45 ΔW/W)² + (Δs/s)² + (1.4 Δt/t)²)
//
// for the width (ΔW of Section.WidthBand), the wheel's share s (± 0.02) and
// the target t (± 0.8 points), with p ∝ W^−1.45 t^−1.4 and p ∝ load; the tubes
// term adds ± 1 psi in quadrature. A start holds for that rider and bike; it is
// where testing begins.
//
// No pressure is above the binding maximum (Limits.Max): if the model's start
// is, Standing says AboveMax and the answer is a refusal. Below the tyre's
// minimum it is raised to it on road, gravel and commute riding, on hookless
// rims, and on assisted, cargo, tandem and child-seat bikes; on hooked rims
// off the road it stays and Standing says BelowMin; on a child's bike the mark
// stands beside it.
//
// Cargo, tandem and child-seat bikes take the drop and share of road riding,
// whatever the riding (assumption: no soft number), and get a
// *MarksNeededError while a tyre's maximum is unknown. It returns a *RangeError
// for wheel loads outside LeastLoad to GreatestLoad, and a *MarksError or a
// *RidingError where those say.
func StartFor(s Setup) (Start, error) {
	if err := s.weighed(); err != nil {
		return Start{}, err
	}
	riding := s.Riding
	if s.Use.Laden() {
		if e := (&MarksNeededError{s.Front.Limits.TyreMax == 0, s.Rear.Limits.TyreMax == 0}); e.Front || e.Rear {
			return Start{}, e
		}
		riding = Road
	}
	front, ok := TargetFor(riding, s.Front.Tyre.Label)
	if !ok {
		return Start{}, &RidingError{}
	}
	rear, _ := TargetFor(riding, s.Rear.Tyre.Label)

	out := Start{FrontShare: (front.Front + rear.Front) / 2, Total: s.Rider + s.Bike + s.Carried, FirmTarget: riding != s.Riding}
	onFront, onRear := s.loads(out.FrontShare)
	var err error
	if out.Front, err = s.wheel(s.Front, onFront, front.Drop, out.FrontShare); err != nil {
		return Start{}, err
	}
	if out.Rear, err = s.wheel(s.Rear, onRear, rear.Drop, 1-out.FrontShare); err != nil {
		return Start{}, err
	}
	return out, nil
}

// Loads returns the mass on each wheel, riding: (rider + bike) × share, what is
// carried at one end counting there, else shared. The marks of the tyres play
// no part. It returns a *RangeError for weights nobody has, and a *RidingError
// where the riding isn't known.
func (s Setup) Loads() (front, rear quantity.Mass, err error) {
	if err := s.weighed(); err != nil {
		return 0, 0, err
	}
	riding := s.Riding
	if s.Use.Laden() {
		riding = Road
	}
	a, ok := TargetFor(riding, s.Front.Tyre.Label)
	if !ok {
		return 0, 0, &RidingError{}
	}
	b, _ := TargetFor(riding, s.Rear.Tyre.Label)
	front, rear = s.loads((a.Front + b.Front) / 2)
	return front, rear, nil
}

// weighed reports weights that nobody has.
func (s Setup) weighed() error {
	for _, m := range [...]struct {
		what string
		m    quantity.Mass
		min  quantity.Mass
	}{{"rider", s.Rider, 5}, {"bike", s.Bike, 3}, {"load", s.Carried, 0}} {
		if err := within(m.what, m.m, m.min, 400); err != nil {
			return err
		}
	}
	return nil
}

// loads shares the weights between the wheels.
func (s Setup) loads(share Share) (front, rear quantity.Mass) {
	shared := s.Rider + s.Bike
	switch s.Where {
	case Front:
		front = s.Carried
	case Rear:
		rear = s.Carried
	default:
		shared += s.Carried
	}
	return shared*quantity.Mass(share) + front, shared*quantity.Mass(1-share) + rear
}

func (s Setup) wheel(w Wheel, load quantity.Mass, drop, share Share) (WheelStart, error) {
	if err := w.Limits.check(w.Tyre.Label); err != nil {
		return WheelStart{}, err
	}
	p, err := w.Tyre.PressureFor(load, drop)
	if err != nil {
		return WheelStart{}, err
	}
	if s.SoftSnow {
		p *= softSnow
	}
	out := WheelStart{Load: load, Drop: drop, Max: w.Limits.Max(w.Tyre.Label)}
	out.Band = band(w.Tyre.Section, share, drop)
	half := float64(p) * float64(out.Band)
	if w.Tubes && w.Tyre.Label >= tubesFrom {
		spread := tubesSpread
		out.Tubes = tubesTerm
		if w.Tyre.Label >= fatFrom {
			out.Tubes, spread = tubesTermFat, tubesSpreadFat
		}
		p += out.Tubes
		half = math.Hypot(half, float64(spread))
	}
	out.Model, out.Pressure = p, p
	out.Low, out.High = p-quantity.Gauge(half), p+quantity.Gauge(half)

	out.Standing = stand(w.Limits, out.Max, s.Riding, s.Use, &out.Pressure, &out.Low, &out.High)
	return out, nil
}

// stand holds a pressure and its band against the marks of a wheel: it raises
// or lowers them where it must, and says how the pressure stands. See StartFor.
func stand(marks Limits, most Maximum, r Riding, u Use, p, low, high *quantity.Gauge) Standing {
	out := Inside
	if least := marks.TyreMin; *p < least {
		switch {
		case u == Child:
			out = MinBeside
		case !r.OffRoad() || marks.Hookless || u == Assisted || u.Laden():
			out = RaisedToMin
			*p = least
			*low, *high = least, max(least, *high)
		default:
			out = BelowMin
		}
	}
	if top := most.Pressure; top > 0 {
		if *p > top {
			out = AboveMax
		}
		*p, *low, *high = min(*p, top), min(*low, top), min(*high, top)
	}
	return out
}

// band is the relative half-width of a start; see StartFor.
func band(s Section, share, drop Share) Share {
	const (
		widthPower, dropPower = 1.45, 1.4 // local powers of the membrane model
		shareSpread           = 0.02      // how well a riding share is known: own fit
		dropSpread            = 0.008     // points of the target: own fit
	)
	w := widthPower * float64(s.WidthBand()/s.Width)
	return Share(math.Sqrt(w*w + sq(shareSpread/float64(share)) + sq(dropPower*dropSpread/float64(drop))))
}

func sq(x float64) float64 { return x * x }

// StrikeRatio returns how much more energy it takes to drive the rim of one
// set-up to the ground than of another: the ratio of ∫ F dδ up to the height
// less the rim's flange (6 mm, from memory), a over b. Pressure is taken as
// constant. Only the ratio means anything: a blow is local and quick, and
// casing and knobs take part in it. It returns a *RangeError for pressures
// outside 0.1 to 12 bar.
func StrikeRatio(a Mounted, pa quantity.Gauge, b Mounted, pb quantity.Gauge) (float64, error) {
	var e [2]float64
	for i, x := range [...]struct {
		m Mounted
		p quantity.Gauge
	}{{a, pa}, {b, pb}} {
		if err := within("pressure", x.p, 0.1*quantity.Bar, 12*quantity.Bar); err != nil {
			return 0, err
		}
		if err := x.m.check(); err != nil {
			return 0, err
		}
		const flange = 6 * mm
		deepest := float64((x.m.Height - flange) / x.m.Height)
		for _, g := range gauss {
			e[i] += g.w * x.m.patch(deepest*g.x)
		}
		e[i] *= deepest * float64(x.m.Height) * float64(x.p)
	}
	return e[0] / e[1], nil
}
