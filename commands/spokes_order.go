package commands

import (
	"fmt"
	"strings"

	"spokeword/calc/build"
	"spokeword/calc/quantity"
	"spokeword/calc/spoke"
	"spokeword/commands/reply"
	"spokeword/commands/spec"
)

// stretchNote says how far the spokes stretch and how to round.
func (s *spokesRun) stretchNote(b wheelBuilt, left, right quantity.Force) {
	side, t := spoke.Tighter(b.ratio), max(left, right)
	stretch, err := spoke.Stretch(s.gauge, b.lengths.Of(side)[0].Length, t)
	if err != nil {
		return
	}
	length := b.lengths.Of(side)[0].Length
	more := ""
	if s.wheel.Rim.TensionMark == 0 {
		if x, err := spoke.Stretch(s.gauge, length, usualMost); err == nil {
			more = fmt.Sprintf(", %s at %s if the rim bears it", quantity.Fixed(x.MM(), 2), kgf(usualMost))
		}
	}
	which, forgives := side.String()+" spokes", "half a millimetre short is forgiven on that side. On the other stay between slot floor and 1 mm short of it"
	if even(b.ratio) {
		which, forgives = "spokes", "half a millimetre short is forgiven"
	}
	s.out.Note(fmt.Sprintf("At %s the %s stretch %s mm%s: %s", s.kgf(t), which, quantity.Fixed(stretch.MM(), 2), more, forgives), spoke.StretchBasis)
	earlier := s.out.Explain
	s.out.Explain = func(r *reply.Reply) {
		earlier(r)
		var parts []string
		for _, p := range s.gauge.Parts(length) {
			if p.Length == 0 {
				continue
			}
			parts = append(parts, fmt.Sprintf("%s/%s", short(p.Length), quantity.Fixed(p.Area.In(quantity.SquareMillimetre), 3)))
		}
		r.Step("Stretch "+side.String(), fmt.Sprintf("%s / 200000 N/mm² · (%s) 1/mm = %s mm", t, strings.Join(parts, " + "), quantity.Fixed(stretch.MM(), 2)), spoke.StretchBasis)
	}
}

// stockSteps are those in which spokes are stocked mostly, the finer one first.
var stockSteps = [2]measure{{Number: 1, Unit: quantity.MM}, {Number: 2, Unit: quantity.MM}}

// cutting is the stocked length for every length of a wheel.
type cutting struct {
	fits [2][][]spoke.Fit // by side and length, in the order of Lengths.Of
	best [2][]spoke.Fit   // the one to take; no End where none may be used
}

// cut chooses among lengths stocked every so far. More is by how much each
// side's exact lengths are greater than they were reckoned.
func (s *spokesRun) cut(b wheelBuilt, every quantity.Length, more [2]quantity.Length) (cutting, error) {
	var c cutting
	for i, side := range build.Sides {
		groups := b.lengths.Of(side)
		c.fits[i], c.best[i] = make([][]spoke.Fit, 0, len(groups)), make([]spoke.Fit, 0, len(groups))
		for _, g := range groups {
			stretch := s.forgiven(b, side, g.Length)
			fits, err := spoke.Stock{Step: every}.Fits(g.Length+more[i], stretch)
			if err != nil {
				return c, err
			}
			best, ok := spoke.Best(fits)
			if !ok {
				best = spoke.Fit{}
			}
			c.fits[i] = append(c.fits[i], fits)
			c.best[i] = append(c.best[i], best)
		}
	}
	return c, nil
}

// forgiven is how much shorter a spoke may be, since it will stretch: by the
// whole of it on the tighter side, by nothing on the other. Where both are as
// tight both are forgiven, or one wheel would get two lengths.
func (s *spokesRun) forgiven(b wheelBuilt, side build.Side, length quantity.Length) quantity.Length {
	if side != spoke.Tighter(b.ratio) && !even(b.ratio) {
		return 0
	}
	stretch, err := spoke.Stretch(s.gauge, length, s.tightest())
	if err != nil {
		return 0
	}
	return stretch
}

// one returns the length to take of a side that has a single one.
func (c cutting) one(side int) (spoke.Fit, bool) {
	if len(c.best[side]) != 1 || c.best[side][0].End == 0 {
		return spoke.Fit{}, false
	}
	return c.best[side][0], true
}

// text writes what to take, left and right: "294 and 292 mm".
func (c cutting) text() (string, bool) {
	l, okay := c.one(0)
	r, ok := c.one(1)
	switch {
	case !ok || !okay:
		return "", false
	case l.Stocked == r.Stocked:
		return l.Stocked.Short() + " for both", true
	}
	return fmt.Sprintf("%s and %s", short(l.Stocked), r.Stocked.Short()), true
}

// eitherStep says what to take of both usual steps, where the shop's own is
// not known.
func (s *spokesRun) eitherStep(b wheelBuilt) {
	var texts []string
	table := reply.Table{Title: "Rounded", Head: []string{"side", "steps of 1 mm", "even lengths"}}
	rows := [2][]string{{"Left"}, {"Right"}}
	for _, m := range stockSteps {
		c, err := s.cut(b, m.Length(), [2]quantity.Length{})
		if err != nil {
			return
		}
		text, ok := c.text()
		if !ok {
			return
		}
		texts = append(texts, text)
		for i := range rows {
			f, _ := c.one(i)
			rows[i] = append(rows[i], f.Stocked.Short()+", "+briefly(f))
		}
	}
	for _, r := range rows {
		table.Rows = append(table.Rows, reply.Row{Cells: r})
	}
	s.out.Tables = append(s.out.Tables, table)
	s.out.Lead[0] = fmt.Sprintf("%s: order %s, of even lengths %s.", strings.TrimSuffix(s.out.Lead[0], "."), texts[0], texts[1])
}

// orderRow is what to take of one build among several.
func (s *spokesRun) orderRow(b wheelBuilt, every quantity.Length) []reply.Row {
	c, err := s.cut(b, every, [2]quantity.Length{})
	l, okay := c.one(0)
	r, ok := c.one(1)
	if err != nil || !ok || !okay {
		return nil
	}
	return []reply.Row{{Cells: []string{"order", l.Stocked.Short() + ", " + briefly(l), r.Stocked.Short() + ", " + briefly(r)}}}
}

// briefly says where a spoke's end lies, for a cell.
func briefly(f spoke.Fit) string {
	switch d := quantity.Fixed(f.Short.MM(), 1); {
	case d == "0.0" || d == "-0.0" || d == "−0.0":
		return "level"
	case f.Short < 0:
		return quantity.Fixed(-f.Short.MM(), 1) + " past"
	default:
		return d + " short"
	}
}

// stocked tells what each stocked length does at the nipple, and what to order.
func (s *spokesRun) stocked(b wheelBuilt, every quantity.Length) {
	c, err := s.cut(b, every, [2]quantity.Length{})
	if err != nil {
		return // no shop stocks by such a step: the lengths stand as they are
	}
	table := reply.Table{Title: "In steps of " + every.Short(), Head: []string{"side", "stocked", "at the nipple"}}
	for i, side := range build.Sides {
		for k, best := range c.best[i] {
			if best.End != 0 {
				s.out.Add(sideNames[i]+".short", float64(best.Short), reply.Metres)
			}
			if exact := b.lengths.Of(side); len(exact) > 1 {
				table.Rows = append(table.Rows, takenRow(side, exact[k].Length, best))
				continue
			}
			table.Rows = append(table.Rows, fitRows(side, c.fits[i][k], best, best.End != 0)...)
		}
	}
	s.out.Tables = append(s.out.Tables, table)
	if text, ok := c.text(); ok {
		s.out.Lead[0] = strings.TrimSuffix(s.out.Lead[0], ".") + ": order " + text + "."
	} else if len(c.best[0]) == 1 && len(c.best[1]) == 1 {
		s.out.Lead[0] = strings.TrimSuffix(s.out.Lead[0], ".") + ": no length in steps of " + every.Short() + " does for each side."
	}
	s.order(spoke.Order(b.lengths, func(side build.Side, g spoke.Group) quantity.Length {
		i := 0
		if side == build.Right {
			i = 1
		}
		for k, h := range b.lengths.Of(side) {
			if h.Length == g.Length && c.best[i][k].End != 0 {
				return c.best[i][k].Stocked
			}
		}
		return g.Length
	}))
	s.askKind(b, every, c)
}

// takenRow is what to take for one of many lengths of a side.
func takenRow(side build.Side, exact quantity.Length, best spoke.Fit) reply.Row {
	if best.End == 0 {
		return reply.Row{Cells: []string{title(side.String()), exact.Short(), "none does"}}
	}
	return reply.Row{Cells: []string{title(side.String()), fmt.Sprintf("%s for %s", best.Stocked.Short(), quantity.Trimmed(exact.MM(), 1)), briefly(best)}}
}

// explainCut says why each length is rounded as it is.
func (s *spokesRun) explainCut(r *reply.Reply, b wheelBuilt, every quantity.Length) {
	c, err := s.cut(b, every, [2]quantity.Length{})
	if err != nil {
		return
	}
	for i, side := range build.Sides {
		f, ok := c.one(i)
		if !ok {
			continue
		}
		exact := b.lengths.Of(side)[0].Length
		sum := fmt.Sprintf("%s − %s = %s mm: %s", short(exact), short(f.Stocked), quantity.Signed(f.Short.MM(), 2), atNipple(f))
		if f.End == spoke.Forgive {
			sum += fmt.Sprintf("; less %s mm of stretch it is %s", quantity.Fixed((f.Short-f.Tensioned).MM(), 2), quantity.Signed(f.Tensioned.MM(), 2))
		}
		r.Step(title(sideNames[i])+" rounding", sum, spoke.NippleBasis)
	}
}

// kinds are the ways an ERD is measured, by the option's words.
var kinds = [3]struct {
	word, to string
	kind     spoke.ERDKind
}{
	{"slot", "slot floor", spoke.SlotFloor},
	{"top", "nipple top", spoke.NippleTop},
	{"hole", "bare hole", spoke.BareHole},
}

// askKind asks where the ERD was measured to if that decides which stocked
// length is taken, with the answers side by side.
func (s *spokesRun) askKind(b wheelBuilt, every quantity.Length, as cutting) {
	if _, ok := erdkind.Of(s.req); ok {
		return
	}
	if _, ok := was.Of(s.req); ok {
		return // the change is what is asked about
	}
	said, ok := as.text()
	if !ok {
		return
	}
	perERD := [2]float64{spoke.SensitivityOf(&b.wheel, b.placed, build.Left).ERD, spoke.SensitivityOf(&b.wheel, b.placed, build.Right).ERD}
	q := &reply.Ask{Option: erdkind.Name}
	decides := false
	var others []string
	for _, k := range kinds {
		low, high := spoke.ToSlotFloor(k.kind)
		var more [2]quantity.Length
		for i := range more {
			more[i] = (low + high) / 2 * quantity.Length(perERD[i])
		}
		c, err := s.cut(b, every, more)
		text, ok := c.text()
		if err != nil || !ok {
			return
		}
		decides = decides || text != said
		if k.kind != spoke.SlotFloor {
			others = append(others, text)
		}
		q.Choices = append(q.Choices, reply.Action{Label: k.to + ": " + text, Line: spec.Set(s.req, erdkind, k.word).Line()})
	}
	if !decides {
		return
	}
	q.Text = "That is for an ERD to the slot floor: was it? To the nipple top order " + strings.Join(others, ", to the bare hole ") + "."
	s.out.Ask = q
	s.out.Note(s.out.Lead[1], spoke.RatioBasis)
	s.out.Lead[1] = q.Text
	s.out.Note("ERDs to the slot floor, the nipple top and the bare hole lie 1 to 3 mm apart, so 0.5 to 1.5 mm of spoke: the middle is taken", spoke.ERDBasis)
}

// fitRows writes stocked lengths with what they do, the chosen one marked.
func fitRows(side build.Side, fits []spoke.Fit, best spoke.Fit, ok bool) []reply.Row {
	var rows []reply.Row
	for _, f := range fits {
		if !f.End.OK() && (f.Short > 2.5*quantity.Millimetre || f.Short < -2.5*quantity.Millimetre) {
			continue
		}
		what := atNipple(f)
		if ok && f.Stocked == best.Stocked {
			what += ": take"
		}
		rows = append(rows, reply.Row{Cells: []string{title(side.String()), f.Stocked.Short(), what}})
	}
	return rows
}

// atNipple says where a spoke's end lies.
func atNipple(f spoke.Fit) string {
	where := quantity.Fixed(f.Short.MM(), 1) + " mm short"
	switch {
	case f.Short < 0.05*quantity.Millimetre && f.Short > -0.05*quantity.Millimetre:
		where = "just at the slot floor"
	case f.Short < 0:
		where = quantity.Fixed(-f.Short.MM(), 1) + " mm past the slot floor"
	}
	switch f.End {
	case spoke.Filled:
		return where + ", filled"
	case spoke.Forgive:
		return where + ", stretch forgives it"
	case spoke.InSlot:
		return where + ", inside the head"
	case spoke.Proud:
		return where + ", stands out: no"
	}
	return where + ", head not filled: no"
}

// order writes the order list: the spokes of each side by length with their
// spares, a nipple for each, and washers where there are some.
func (s *spokesRun) order(lines []spoke.Line) {
	table := reply.Table{Title: "To order", Head: []string{"length", "left", "right", "spares"}}
	sum := 0
	count := func(n int) string {
		if n == 0 {
			return "–"
		}
		return quantity.Count(n)
	}
	spares := func(n int) string {
		if n == 0 {
			return "–"
		}
		return "+ " + quantity.Count(n)
	}
	for _, l := range lines {
		table.Rows = append(table.Rows, reply.Row{Cells: []string{l.Length.Short(), count(l.Left), count(l.Right), spares(l.Spares)}})
		s.out.Add("order."+quantity.Fixed(l.Length.MM()*10, 0), float64(l.Count+l.Spares), reply.One)
		sum += l.Count + l.Spares
	}
	table.Rows = append(table.Rows, reply.Row{Cells: []string{"nipples", quantity.Count(sum), "", ""}})
	if m, ok := washer.Of(s.req); ok && m.Length() > 0 {
		table.Rows = append(table.Rows, reply.Row{Cells: []string{"washers", quantity.Count(sum), "", ""}})
	}
	s.out.Tables = append(s.out.Tables, table)
}

// oneLength says whether one length does for both sides.
func (s *spokesRun) oneLength(b wheelBuilt) bool {
	if len(b.lengths.Left) != 1 || len(b.lengths.Right) != 1 {
		return false
	}
	l, r := b.lengths.Left[0].Length, b.lengths.Right[0].Length
	if d := l - r; d > 1.6*quantity.Millimetre || d < -1.6*quantity.Millimetre {
		return false
	}
	whole := quantity.Length(quantity.Nearest.Round(float64((l+r)/2), float64(quantity.Millimetre)))
	fl, fr := spoke.FitOf(l, whole, 0), spoke.FitOf(r, whole, 0)
	if !fl.End.OK() || !fr.End.OK() {
		return false
	}
	s.out.Lead[0] = strings.TrimSuffix(s.out.Lead[0], ".") + "; one length of " + whole.Short() + " does for both."
	s.out.Note(fmt.Sprintf("One length of %s does for both sides: left %s; right %s", whole.Short(), atNipple(fl), atNipple(fr)), spoke.NippleBasis)
	return true
}

// rounding tells what stocked lengths do for lengths that are known already.
func (s *spokesRun) rounding(known measures) (reply.Reply, error) {
	m, ok := step.Of(s.req)
	if !ok {
		m = measure{Number: 1, Unit: quantity.MM}
		s.out.Assume("step", "1 mm", "none told; many stock every 2 mm")
		s.otherStock(known, measure{Number: 2, Unit: quantity.MM})
	}
	s.kind = spoke.SlotFloor
	if word, ok := erdkind.Of(s.req); ok {
		for _, k := range kinds {
			if k.word == word {
				s.kind = k.kind
			}
		}
	} else {
		s.out.Assume("erdkind", "slot", "the lengths taken to the floor of the nipple slot")
	}
	if s.kind != spoke.SlotFloor {
		s.out.Assume("length", "", fmt.Sprintf("%s mm of spoke for an ERD to the %s; the slot floor counts", quantity.Signed(further(s.kind).MM(), 1), s.kind))
	}
	s.out.Title = "Rounding spoke lengths"
	s.out.Facts = reply.Facts{Spokes: true, WorkedOn: true}
	table := reply.Table{Head: []string{"side", "stocked", "at the nipple"}}
	var lead []string
	taken := map[build.Side]quantity.Length{}
	for i, side := range build.Sides {
		x, ok := ofEnd(known, i)
		if !ok || i == 1 && known.Which == spec.Both {
			continue
		}
		exact := x.Length() + further(s.kind)
		fits, err := spoke.Stock{Step: m.Length()}.Fits(exact, 0)
		if err != nil {
			return reply.Reply{}, misfit("length", "spokes 291.3 and 289.8 only evens", err)
		}
		best, ok := spoke.Best(fits)
		name := sideNames[i]
		if known.Which == spec.Both {
			name, side = "", build.NoSide
		}
		if ok {
			taken[build.Sides[i]] = best.Stocked
			lead = append(lead, strings.TrimSpace(fmt.Sprintf("%s %s (%s)", name, best.Stocked.Short(), atNipple(best))))
			valueName := "short"
			if name != "" {
				valueName = name + ".short"
			}
			s.out.Add(valueName, float64(best.Short), reply.Metres)
		} else {
			lead = append(lead, strings.TrimSpace(name+" no stocked length fits"))
		}
		table.Rows = append(table.Rows, fitRows(side, fits, best, ok)...)
		s.out.Step(title(strings.TrimSpace(name+" rounding")), fmt.Sprintf("%s exact, stocked every %s", exact.Short(), m), spoke.NippleBasis)
	}
	s.out.Lead = []string{title(strings.Join(lead, ", ")) + ".",
		"The tighter side forgives half a millimetre short, since it stretches 0.5 to 0.7 mm; the slack side does not."}
	s.out.Tables = append(s.out.Tables, table)
	s.knownOrder(known, taken)
	s.out.Note("The end belongs between slot floor and 1 mm short of it: alloy heads that are not filled break, and nothing may reach the tape", spoke.NippleBasis)
	s.otherKinds(known, m.Length())
	s.out.Note("Order two spares for each side", practice("spares"))
	s.otherSteps()
	return s.out, nil
}

// nippleSpares are how many nipples more are ordered for a wheel: some fall into the rim,
// some round off. Common practice, no source.
const nippleSpares = 5

// countOnly tells how many spokes and nipples several wheels take, where no rim is told
// that lengths could go by.
func (s *spokesRun) countOnly() (reply.Reply, bool) {
	n, ok := wheelCount.Of(s.req)
	of, known := holes.Of(s.req)
	if !ok || !known || len(of) != 1 || of[0].Which != spec.Both || holdsAny(erd, offset, circle)(s.req) {
		return reply.Reply{}, false
	}
	wheels, each := int(n.Number), of[0].First
	all := wheels * each
	fewest, most := 2*spoke.SparesPerSide, 2*spoke.SparesPerSide*wheels
	s.out.Title = "Spokes to order"
	s.out.Lead = []string{
		fmt.Sprintf("%s spokes for %s of %s, half of them for each side, and %s to %s spare: %s for each length.", quantity.Count(all), plural(wheels, "wheel"), quantity.Count(each),
			quantity.Count(fewest), quantity.Count(most), quantity.Count(spoke.SparesPerSide)),
		fmt.Sprintf("%s nipples with spares. The lengths go by rim and hub, front and rear apart.", quantity.Count(all+wheels*nippleSpares)),
	}
	s.out.Add("spokes", float64(all), reply.One)
	s.out.Note("Spares: two of each length, some five nipples a wheel", practice("spares"))
	s.out.Actions = append(s.out.Actions, reply.Action{Label: "lengths", Line: spokesExample})
	return s.out, true
}

// otherStock says what to take of known lengths where they are stocked in another step.
func (s *spokesRun) otherStock(known measures, every measure) {
	var parts []string
	for i := range build.Sides {
		x, ok := ofEnd(known, i)
		if !ok || i == 1 && known.Which == spec.Both {
			continue
		}
		fits, err := spoke.Stock{Step: every.Length()}.Fits(x.Length(), 0)
		best, ok := spoke.Best(fits)
		if err != nil {
			return
		}
		if !ok {
			parts = append(parts, "none that fits "+x.Length().Short())
			continue
		}
		parts = append(parts, best.Stocked.Short()+" ("+atNipple(best)+")")
	}
	s.out.Note("Stocked every "+every.String()+": "+strings.Join(parts, " and "), spoke.NippleBasis)
}

// further is how much longer a spoke is than a sum said that took an ERD of
// the given kind for one to the slot floor: half of what the diameters differ
// by, in the middle of its range.
func further(k spoke.ERDKind) quantity.Length {
	low, high := spoke.ToSlotFloor(k)
	return (low + high) / 2 / 2
}

// otherKinds says what to take of known lengths that rest on another ERD.
func (s *spokesRun) otherKinds(known measures, every quantity.Length) {
	if _, ok := erdkind.Of(s.req); ok {
		return
	}
	var says []string
	for _, k := range kinds[1:] {
		var parts []string
		for i := range build.Sides {
			x, ok := ofEnd(known, i)
			if !ok || i == 1 && known.Which == spec.Both {
				continue
			}
			fits, err := spoke.Stock{Step: every}.Fits(x.Length()+further(k.kind), 0)
			best, ok := spoke.Best(fits)
			if err != nil || !ok {
				return
			}
			parts = append(parts, best.Stocked.Short())
		}
		text := strings.Join(parts, " and ")
		says = append(says, fmt.Sprintf("to the %s %s", k.to, text))
		s.out.Actions = append(s.out.Actions, reply.Action{Label: "ERD to the " + k.to + ": " + text, Line: spec.Set(s.req, erdkind, k.word).Line()})
	}
	s.out.Note("No rule for all: it hangs on where the ERD behind the lengths went. This is to the slot floor; "+strings.Join(says, ", "), spoke.ERDBasis)
}

// knownOrder writes the order list for lengths that are known, if the spokes
// are counted.
func (s *spokesRun) knownOrder(known measures, taken map[build.Side]quantity.Length) {
	n, ok := holes.Of(s.req)
	if !ok || len(n) != 1 || n[0].Which != spec.Both {
		return
	}
	group := make([]int, n[0].First/2)
	var l spoke.Lengths
	for i, side := range build.Sides {
		x, ok := ofEnd(known, i)
		if !ok {
			continue
		}
		g := []spoke.Group{{Length: x.Length(), Spokes: group}}
		if side == build.Left {
			l.Left = g
		} else {
			l.Right = g
		}
	}
	if known.Which == spec.Both {
		taken[build.Right] = taken[build.Left]
	}
	for _, side := range build.Sides {
		if len(l.Of(side)) > 0 && taken[side] == 0 {
			return
		}
	}
	s.order(spoke.Order(l, func(side build.Side, _ spoke.Group) quantity.Length { return taken[side] }))
}
