package commands

import (
	"errors"
	"fmt"
	"math"
	"slices"
	"strings"

	"spokeword/calc/build"
	"spokeword/calc/lace"
	"spokeword/calc/quantity"
	"spokeword/calc/wheel"
	"spokeword/commands/read"
	"spokeword/commands/reply"
	"spokeword/commands/spec"
)

// This file holds what the commands share that work on a wheel on the stand:
// the wheel as far as it was told, and what was read off it.

// stand is a wheel on the stand.
type stand struct {
	req     spec.Request
	out     reply.Reply
	example string // a line that works, shown with mistakes

	wheel  build.Wheel
	placed []lace.Spoke
	first  int      // rim hole of the first spoke behind the valve, of a model whose first is a right one
	of     [2][]int // rim holes by side, from the valve on
	told   bool     // the flanges were told
}

const (
	usualInner = 30 * quantity.Millimetre // of a trail rim; common practice, no source
	leastHoles = 16                       // of a wheel whose turns are worked out
)

// wheelOptions are what a wheel on the stand may be told by.
var wheelOptions = []spec.Option{erd, circle, offset, holes, cross, pattern, end, brake, shift, gauge, mark, begins}

// settle fills the wheel from the request. What it is not told is that of the
// usual rear wheel, and said. Counted is how many spokes the readings are of, 0
// if they don't tell.
func (s *stand) settle(counted int) error {
	var usual []string
	w := build.Wheel{End: build.Rear, Brake: wheelBrake(s.req)}
	if wheelEnd(s.req) == build.Front {
		w.End = build.Front
	}
	w.Rim.ERD = usualERD
	if d, ok := erd.Of(s.req); ok {
		w.Rim.ERD = d.Length()
	} else {
		usual = append(usual, "ERD "+usualERD.Short())
	}
	n, err := s.spokeCount(counted)
	if err != nil {
		return err
	}
	if n == 0 {
		n = usualSpokes
		usual = append(usual, quantity.Count(n)+" spokes")
	}
	w.Rim.Holes = n
	if err := oneHub(s.req, s.example); err != nil {
		return err
	}
	offsets, told := firstOffset(s.req)
	s.told = told
	flanges := usualOffset
	switch {
	case w.End == build.Front && w.Brake == build.RimBrake:
		flanges = usualFrontRim
	case w.End == build.Front:
		flanges = usualFrontDisc
	}
	if !told {
		usual = append(usual, fmt.Sprintf("flanges %s/%s mm", quantity.Trimmed(flanges[0].MM(), 1), quantity.Trimmed(flanges[1].MM(), 1)))
	}
	circles, ok := circle.Of(s.req)
	if !ok {
		usual = append(usual, "circles "+usualCircle.Short())
	}
	crossings := [2]int{min(usualCrossing, n/9), min(usualCrossing, n/9)}
	p, _ := pattern.Of(s.req)
	x, crossed := cross.Of(s.req)
	switch {
	case len(x) > 1:
		return spec.Misuse("cross", s.example, "%s: want one number of crossings, or left/right", cross.As.Text(x))
	case crossed:
		crossings = [2]int{x[0].First, x[0].Second}
		if x[0].Which == spec.FirstOnly || x[0].Which == spec.SecondOnly {
			crossings = [2]int{x[0].Any(), x[0].Any()}
		}
	case p == "radial":
		crossings = [2]int{}
	default:
		usual = append(usual, quantity.Count(crossings[0])+" crossings")
	}
	b, wired := gauge.Of(s.req)
	if !wired {
		b = usualWire
		usual = append(usual, gauge.As.Text(b))
	}
	wire := wireOf(b)
	for i, side := range build.Sides {
		h := w.Half(side)
		h.Cross, h.Gauge = crossings[i], wire
		h.Flange = build.Flange{Offset: flanges[i], Holes: n / 2, Circle: usualCircle, HoleDiameter: usualHole}
		if told {
			o, ok := ofEnd(offsets, i)
			if !ok {
				return spec.Misuse("offset", s.example, "offset %s is that of one flange: want both, left/right, as 36/21 mm", offsetText(offsets))
			}
			h.Flange.Offset = o.Length()
		}
		if c, has := ofEnd(circles, i); ok && has {
			h.Flange.Circle = c.Length()
		}
	}
	if p == "2:1" {
		w.Pattern, w.Single = build.TwoToOne, build.Left
		w.Left.Flange.Holes, w.Right.Flange.Holes = n*2/3, n*2/3
		if !crossed {
			w.Left.Cross = 0
		}
	} else if p == "paired" || p == "crowsfoot" {
		return spec.Misuse("pattern", s.example, "%s is not worked out here: want crossed, radial or 2:1", p)
	}
	if z, ok := shift.Of(s.req); ok {
		l, sided := towardsLeft(z)
		if !sided {
			return spec.Misuse("shift", s.example, "shift %s: want the side towards which the rim's holes lie, as 3 mm left", shift.As.Text(z))
		}
		w.Rim.ShiftLeft = l
	}
	if m, ok := mark.Of(s.req); ok {
		w.Rim.TensionMark = m.Force()
	}
	if s.placed, err = lace.Place(w); err != nil {
		return misfit("", s.example, err)
	}
	s.wheel = w
	if b, ok := begins.Of(s.req); ok {
		s.first = slices.IndexFunc(s.placed, func(p lace.Spoke) bool { return p.Side.String() == b })
	}
	for i := range s.placed {
		h := s.hole(i + 1)
		s.of[s.placed[h].Side] = append(s.of[s.placed[h].Side], h)
	}
	if len(usual) > 0 {
		name := "rear"
		if w.End == build.Front {
			name = "front"
		}
		s.out.Assume("wheel", strings.Join(usual, ", "), "the usual "+name+" wheel where nothing was told; measure yours for finer turns")
	}
	return nil
}

// hole returns the rim hole of a spoke that was counted from the valve, from 1.
func (s *stand) hole(spoke int) int { return (spoke - 1 + s.first) % len(s.placed) }

// number returns which spoke from the valve a rim hole's is, from 1.
func (s *stand) number(hole int) int {
	return (hole-s.first+len(s.placed))%len(s.placed) + 1
}

// spokeCount returns how many spokes the wheel has, 0 if nothing tells.
func (s *stand) spokeCount(counted int) (int, error) {
	n, ok := holes.Of(s.req)
	switch {
	case !ok:
		if counted > 0 && (counted%2 == 1 || counted < leastHoles) {
			return 0, nil
		}
		return counted, nil
	case len(n) > 1:
		return 0, spec.Misuse("holes", s.example, "%s: want one wheel at a time", holes.As.Text(n))
	}
	_, rim := hubAndRim(n[0])
	return rim, nil
}

// model solves the wheel on a generic rim, with so much tension on the tighter
// side.
func (s *stand) model(tighter quantity.Force) (*wheel.Model, error) {
	e, err := wheel.Profile{Inner: usualInner}.Estimate()
	if err != nil {
		return nil, err
	}
	return s.modelOn(e, tighter)
}

// modelOn solves it on a rim.
func (s *stand) modelOn(e wheel.Estimate, tighter quantity.Force) (*wheel.Model, error) {
	m, err := wheel.New(wheel.Setup{Wheel: s.wheel, Section: e.Section, Centroid: e.Centroid, Tension: tighter})
	if err != nil {
		return nil, misfit("", s.example, err)
	}
	return m, nil
}

// Bare readings up to the first are divisions of a meter, up to the second kgf,
// above newtons: no spoke is ridden at 40 kgf on the tighter side, none bears
// 250 kgf. Common practice, no source.
const (
	leastBareKGF = 40
	mostBareKGF  = 250
)

// forces turns readings into forces. It asks for the meter's table where the
// readings are divisions; ask is nil where it needs nothing more.
func (s *stand) forces(row read.Row) (of func(float64) quantity.Force, ask *reply.Reply, err error) {
	all := slices.Concat(row.Any, row.Left, row.Right)
	u, said := unit.Of(s.req)
	d, table := meter.Of(s.req)
	if !said {
		mean := 0.0
		for _, v := range all {
			mean += v / float64(len(all))
		}
		switch {
		case table || mean < leastBareKGF:
			u = "divisions"
		case mean <= mostBareKGF:
			u = "kgf"
			s.out.Assume("unit", u, "no unit; tensions of that size are kgf")
		default:
			u = "N"
			s.out.Assume("unit", u, "no unit; tensions of that size are newtons")
		}
	}
	if table && said && u != "divisions" {
		return nil, nil, spec.Misuse("unit", s.example, "readings in %s and a meter's table: want the one or the other", u)
	}
	switch u {
	case "kgf":
		return func(v float64) quantity.Force { return quantity.Force(v) * quantity.KilogramForce }, nil, nil
	case "lbf":
		return func(v float64) quantity.Force { return quantity.Force(v) * quantity.PoundForce }, nil, nil
	case "N":
		return func(v float64) quantity.Force { return quantity.Force(v) }, nil, nil
	}
	if !table {
		return nil, s.askTable(said), nil
	}
	for _, v := range all {
		if v < d[0].Reading || v > d[len(d)-1].Reading {
			return nil, nil, spec.Misuse("table", s.example, "reading %s lies outside the table, which goes from %s to %s: want the pairs around it too; nothing is drawn on beyond a table",
				quantity.Exact(v), quantity.Exact(d[0].Reading), quantity.Exact(d[len(d)-1].Reading))
		}
	}
	s.out.Note("Between two pairs of the table a straight line is taken; it holds for the spoke and the meter it was made for", practice("tension meters"))
	return func(v float64) quantity.Force { return interpolated(d, v) }, nil, nil
}

// leastOdd is how far a reading stands off its side's mean to be looked at first, before
// any table is known: what divisions show rises with the force, if not in step.
const leastOdd = 0.1

// oddReading tells which reading differs most from the others of its side, "" if none
// does by much.
func oddReading(row read.Row) string {
	var worst, mean, value float64
	place := ""
	for _, side := range []struct {
		name   string
		values []float64
	}{{"spoke", row.Any}, {"left spoke", row.Left}, {"right spoke", row.Right}} {
		sum := 0.0
		for _, v := range side.values {
			sum += v
		}
		m := sum / float64(len(side.values))
		for i, v := range side.values {
			if off := math.Abs(v/m - 1); len(side.values) > 2 && off > worst {
				worst, mean, value, place = off, m, v, side.name+" "+quantity.Count(i+1)
			}
		}
	}
	if worst < leastOdd {
		return ""
	}
	return fmt.Sprintf("%s first: %s beside a mean of %s on its side. What that is in kgf the meter's table tells.", title(place), quantity.Trimmed(value, 1), quantity.Fixed(mean, 1))
}

// askTable asks for the table of the meter that shows divisions.
func (s *stand) askTable(said bool) *reply.Reply {
	text := "What does your meter's own table say? Type its pairs around these readings, as 20=75, 24=110 (kgf)."
	q := &reply.Reply{Ask: &reply.Ask{Option: meter.Name, Text: text}, Lead: []string{text, "I can't know it: divisions are no force, each meter has its own table for each kind of spoke. None is kept here yet: tell it with the readings."}}
	if row, ok := readings.Of(s.req); ok {
		if first := oddReading(row); first != "" {
			q.Lead = []string{first, text}
		}
	}
	if !said {
		q.Assume("unit", "divisions", "too low for kgf on a ridden wheel; if they are kgf, say so")
		if v, err := unit.Parse("kgf"); err == nil {
			q.Ask.Choices = append(q.Ask.Choices, reply.Action{Label: "they are kgf", Line: s.req.With(spec.Given{Option: unit, Value: v}).Line()})
		}
	}
	q.Note("Flat spokes read otherwise than round ones of the same force: they need a table of their own", practice("tension meters"))
	return q
}

// interpolated reads a table with straight lines between its pairs.
func interpolated(d read.Divisions, v float64) quantity.Force {
	for i := 1; i < len(d); i++ {
		if v <= d[i].Reading {
			a, b := d[i-1], d[i]
			share := (v - a.Reading) / (b.Reading - a.Reading)
			return quantity.Force(a.Force.SI() + share*(b.Force.SI()-a.Force.SI()))
		}
	}
	return quantity.Force(d[len(d)-1].Force.SI())
}

// pulls puts readings to the spokes they are of, from the valve on. Whole says
// that the wheel's spokes were all read.
func (s *stand) pulls(row read.Row, force func(float64) quantity.Force) []wheel.Pull {
	var all []wheel.Pull
	put := func(holes []int, values []float64) {
		for i, v := range values {
			all = append(all, wheel.Pull{Hole: holes[i], Force: force(v)})
		}
	}
	if len(row.Any) > 0 {
		if round := len(row.Any) == len(s.placed); round {
			every := make([]int, len(s.placed))
			for i := range every {
				every[i] = s.hole(i + 1)
			}
			put(every, row.Any)
		} else {
			put(s.of[build.Right], row.Any)
		}
	}
	put(s.of[build.Left], row.Left)
	put(s.of[build.Right], row.Right)
	return all
}

// fits checks that the readings can be of this wheel.
func (s *stand) fits(row read.Row) error {
	n := len(s.placed)
	count := func(k int) string { return quantity.Count(k) }
	switch any, l, r := len(row.Any), len(row.Left), len(row.Right); {
	case any > 0 && l+r > 0:
		return spec.Misuse("readings", s.example, "%s readings of no side and %s of one: want each side behind L or R, or none", count(any), count(l+r))
	case any > n:
		return spec.Misuse("readings", s.example, "%s readings for %s spokes: want one for each, from the valve on", count(any), count(n))
	case any > n/2 && any != n:
		return spec.Misuse("readings", s.example, "%s readings for %s spokes: want all %s, or those of one side", count(any), count(n), count(n))
	case l > len(s.of[0]) || r > len(s.of[1]):
		return spec.Misuse("readings", s.example, "%s readings left and %s right for %s and %s spokes: want one for each", count(l), count(r), count(len(s.of[0])), count(len(s.of[1])))
	}
	return nil
}

// rowCount tells how many spokes a wheel has by its readings, 0 if they don't
// tell: those of both sides, or more than one side has.
func (s *stand) rowCount(row read.Row) (int, error) {
	if _, ok := holes.Of(s.req); ok {
		return 0, nil // told
	}
	switch l, r := len(row.Left), len(row.Right); {
	case l > 0 && r > 0 && l != r && l != 2*r && r != 2*l:
		return 0, fmt.Errorf("%s readings left and %s right: want as many on each side, or double on one", quantity.Count(l), quantity.Count(r))
	case l > 0 && r > 0 && l >= leastHoles/2:
		return l + r, nil
	case len(row.Any) >= 20 && len(row.Any)%2 == 0:
		return len(row.Any), nil
	case len(row.Any) > 20:
		return 0, fmt.Errorf("%s readings: want an even number for a whole wheel, or those of one side", quantity.Count(len(row.Any)))
	}
	return 0, nil
}

// eighthNames write turns in eighths.
var eighthNames = [...]string{"0", "⅛", "¼", "⅜", "½", "⅝", "¾", "⅞", "1"}

// turnText writes what to do with a nipple.
func turnText(eighths int) string {
	way := "tighter"
	if eighths < 0 {
		way, eighths = "looser", -eighths
	}
	if eighths < len(eighthNames) {
		return eighthNames[eighths] + " " + way
	}
	return quantity.Trimmed(float64(eighths)/8, 2) + " " + way
}

// nameOf names a spoke by its number from the valve and its side.
func (s *stand) nameOf(hole int) string {
	return quantity.Count(s.number(hole)) + " " + s.placed[hole].Side.String()
}

// refuse turns what the coach refuses into the asker's mistake.
func (s *stand) refuse(err error) error {
	var r *wheel.ReadingError
	var rng *quantity.RangeError
	if errors.As(err, &r) || errors.As(err, &rng) {
		return misfit("", s.example, err)
	}
	return err
}
