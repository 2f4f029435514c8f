package commands

import (
	"fmt"
	"strings"

	"spokeword/calc/basis"
	"spokeword/calc/build"
	"spokeword/calc/quantity"
	"spokeword/calc/spoke"
	"spokeword/commands/reply"
	"spokeword/commands/spec"
)

// This file sets lengths that are known beside those of another rim, and beside
// those reckoned here.

// otherERD returns the ERD before, where one was told of a wheel of which only
// lengths are known besides.
func (s *spokesRun) otherERD() (before quantity.Length, ok bool) {
	now, hasERD := erd.Of(s.req)
	m, changed := was.Of(s.req)
	_, hasCircle := circle.Of(s.req)
	_, hasOffset := offset.Of(s.req)
	if !hasERD || !changed || hasCircle && hasOffset || !near(m.Length(), now.Length(), 0.12) {
		return 0, false
	}
	return m.Length(), true
}

// shorterBy tells what another ERD does to spokes whose lengths are not told.
func (s *spokesRun) shorterBy(before quantity.Length) reply.Reply {
	now, _ := erd.Of(s.req)
	more := (now.Length() - before) / 2
	q := ask(s.req, length, "Which lengths were in it, left/right? As 292/290 mm.")
	q.Facts = reply.Facts{Spokes: true, WorkedOn: true}
	q.Lead = []string{
		fmt.Sprintf("Each spoke %s %s: half of what the ERDs differ by.", max(more, -more).Short(), choose(more < 0, "shorter", "longer")),
		q.Ask.Text,
	}
	if more == 0 {
		q.Lead[0] = "The lengths stay: both ERDs are the same."
	} else if max(more, -more) < reuseWithin {
		q.Lead[0] += " That is inside what slot and thread forgive: the old ones can go in again."
	} else {
		q.Lead[0] += choose(more > 0, " The old ones are too short.", " The old ones are too long.")
	}
	q.Add("longer", float64(more), reply.Metres)
	q.Note("Spokes run nearly along the radius; both ERDs must be of one kind. Circles and offsets give the full sum", basis.Basis{Kind: basis.Computed, Says: "1 mm of ERD moves a spoke by 0.49 to 0.50 mm"})
	return q
}

// How far a spoke may be off to be used again, and how short it may be where
// longer nipples or washers help. Common practice, no source.
const (
	reuseWithin = 1 * quantity.Millimetre
	helpedShort = 1.5 * quantity.Millimetre
)

// onOtherRim tells what becomes of known lengths on a rim of another ERD: half
// of what the ERDs differ by, for the spokes run nearly along the radius.
func (s *spokesRun) onOtherRim(known measures, before quantity.Length) (reply.Reply, error) {
	now, _ := erd.Of(s.req)
	less := (before - now.Length()) / 2
	s.out.Title = "The same hub on another rim"
	s.out.Facts = reply.Facts{Spokes: true, WorkedOn: true}
	table := reply.Table{Head: []string{"side", "had", "now", "even"}}
	var lead []string
	for i, side := range build.Sides {
		x, ok := ofEnd(known, i)
		if !ok || i == 1 && known.Which == spec.Both {
			continue
		}
		name := sideNames[i]
		if known.Which == spec.Both {
			name, side = "", build.NoSide
		}
		exact := x.Length() - less
		even := "–"
		if fits, err := (spoke.Stock{Step: 2 * quantity.Millimetre}).Fits(exact, 0); err != nil {
			return reply.Reply{}, misfit("length", "spokes erd 597 was 603 length 292/290", err)
		} else if best, ok := spoke.Best(fits); ok {
			even = best.Stocked.Short()
		}
		lead = append(lead, strings.TrimSpace(name+" "+exact.Short()))
		prefix := ""
		if name != "" {
			prefix = name + "."
		}
		s.out.Add(prefix+"length", float64(exact), reply.Metres)
		table.Rows = append(table.Rows, reply.Row{Cells: []string{title(side.String()), x.Length().Short(), exact.Short(), even}})
	}
	verdict := fmt.Sprintf("No: the old ones are %s for it.", offBy(-less))
	switch {
	case less > -reuseWithin && less < reuseWithin:
		verdict = "The old ones may do: " + offBy(-less) + " is inside what slot and thread forgive."
	case less < 0 && less > -helpedShort:
		verdict = "Hardly: the old ones are " + offBy(-less) + ", washers under the nipples or longer nipples may help."
	}
	s.out.Lead = []string{fmt.Sprintf("%s on ERD %s: %s of each spoke %s.", title(strings.Join(lead, ", ")), now.Length().Short(), max(less, -less).Short(), choose(less < 0, "more", "less")), verdict}
	s.out.Tables = append(s.out.Tables, table)
	s.out.Note("Half of what the ERDs differ by: spokes run nearly along the radius. It holds if the old lengths were right and both ERDs are of one kind; type circles and offsets for the full sum", basis.Basis{Kind: basis.Computed, Says: "1 mm of ERD moves a spoke by 0.49 to 0.50 mm"})
	s.out.Note("Used spokes and nipples have stretched threads and set bends: for a wheel that matters take new ones", practice("used spokes"))
	s.out.Actions = append(s.out.Actions, reply.Action{Label: "why", Line: "why"})
	return s.out, nil
}

// against compares lengths somebody else reckoned with those of this wheel.
func (s *spokesRun) against(known measures, b wheelBuilt) {
	var parts []string
	worst := quantity.Length(0)
	for i, side := range build.Sides {
		x, ok := ofEnd(known, i)
		g := b.lengths.Of(side)
		if !ok || len(g) != 1 {
			continue
		}
		d := x.Length() - g[0].Length
		worst = max(worst, d, -d)
		parts = append(parts, fmt.Sprintf("%s %s told, %s here: %s mm", sideNames[i], x.Length().Short(), g[0].Length.Short(), quantity.SignedFixed(d.MM(), 1)))
	}
	if len(parts) == 0 {
		return
	}
	text := title(strings.Join(parts, "; "))
	if worst > 0.5*quantity.Millimetre {
		text += ". Compare the ERD's kind, offsets left for right, crossings, hole and rim offset: 2 mm of spoke are 4 mm of ERD"
	}
	s.out.Note(text, spoke.LengthBasis)
}
