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

// This file answers which of the spokes that lie in the drawer do.

// wantedSpoke is a length that is looked for.
type wantedSpoke struct {
	side    build.Side // NoSide: of both
	name    string
	exact   quantity.Length
	stretch quantity.Length // forgiven
}

// drawn returns the lengths that are there.
func (s *spokesRun) drawn() (spoke.Stock, bool) {
	all, ok := drawer.Of(s.req)
	if !ok {
		return spoke.Stock{}, false
	}
	var have spoke.Stock
	for _, m := range all {
		have.Lengths = append(have.Lengths, m.Length())
	}
	return have, true
}

// fromDrawer tells for each length that is wanted which of those in the drawer
// does, and what the others would do at the nipple. The lead's second line is
// the verdict.
func (s *spokesRun) fromDrawer(have spoke.Stock, wanted []wantedSpoke) error {
	table := reply.Table{Title: "From the drawer", Head: []string{"side", "there", "at the nipple"}}
	var lead []string
	for _, x := range wanted {
		fits, err := have.Fits(x.exact, x.stretch)
		if err != nil {
			return misfit("drawer", "spokes 291.4 got 290 and 292 in the drawer", err)
		}
		best, ok := spoke.Best(fits)
		prefix := ""
		if x.name != "" {
			prefix = x.name + "."
		}
		switch {
		case ok:
			lead = append(lead, strings.TrimSpace(fmt.Sprintf("%s %s does (%s)", x.name, best.Stocked.Short(), atNipple(best))))
			s.out.Add(prefix+"short", float64(best.Short), reply.Metres)
		case len(fits) == 1:
			lead = append(lead, strings.TrimSpace(fmt.Sprintf("%s no: %s is %s", x.name, fits[0].Stocked.Short(), offBy(x.exact-fits[0].Stocked))))
		default:
			lead = append(lead, strings.TrimSpace(x.name+" none of them does"))
		}
		for _, f := range fits {
			what := atNipple(f)
			if ok && f.Stocked == best.Stocked {
				what += ": take"
			}
			table.Rows = append(table.Rows, reply.Row{Cells: []string{title(x.side.String()), f.Stocked.Short(), what}})
		}
	}
	verdict := title(strings.Join(lead, "; ")) + "."
	if len(s.out.Lead) > 1 {
		s.out.Note(s.out.Lead[1], spoke.RatioBasis)
	}
	s.out.Lead = append(s.out.Lead[:min(len(s.out.Lead), 1)], verdict)
	s.out.Tables = append(s.out.Tables, table)
	s.out.Note("The end belongs between slot floor and 1 mm short of it; the tighter side forgives half a millimetre more, since it stretches", spoke.NippleBasis)
	return nil
}

// offBy says how much a spoke is too short or too long.
func offBy(short quantity.Length) string {
	if short < 0 {
		return quantity.Fixed(-short.MM(), 1) + " mm too long"
	}
	return quantity.Fixed(short.MM(), 1) + " mm too short"
}

// wanted lists the lengths of a wheel that was reckoned.
func (s *spokesRun) wanted(b wheelBuilt) (all []wantedSpoke) {
	for i, side := range build.Sides {
		for _, g := range b.lengths.Of(side) {
			all = append(all, wantedSpoke{side, sideNames[i], g.Length, s.forgiven(b, side, g.Length)})
		}
	}
	return all
}

// fromDrawerKnown answers where the lengths wanted were told.
func (s *spokesRun) fromDrawerKnown(have spoke.Stock, known measures) (reply.Reply, error) {
	s.out.Title = "Spokes from the drawer"
	s.out.Facts = reply.Facts{Spokes: true, WorkedOn: true}
	var wanted []wantedSpoke
	for i, side := range build.Sides {
		x, ok := ofEnd(known, i)
		if !ok || i == 1 && known.Which == spec.Both {
			continue
		}
		w := wantedSpoke{side: side, name: sideNames[i], exact: x.Length()}
		if known.Which == spec.Both {
			w.side, w.name = build.NoSide, ""
		}
		wanted = append(wanted, w)
	}
	s.out.Lead = []string{length.As.Text(known) + " wanted."}
	if err := s.fromDrawer(have, wanted); err != nil {
		return reply.Reply{}, err
	}
	s.out.Actions = append(s.out.Actions, reply.Action{Label: "why", Line: "why"})
	return s.out, nil
}
