package commands

import (
	"context"
	"fmt"
	"math"
	"slices"
	"strings"

	"spokeword/calc/basis"
	"spokeword/calc/quantity"
	"spokeword/calc/size"
	"spokeword/calc/tyre"
	"spokeword/commands/reply"
	"spokeword/commands/spec"
)

func init() { add(sizeCommand) }

// sizeCommand tells what a size mark means, and whether two are the same.
func sizeCommand(deps Deps) *spec.Command {
	return &spec.Command{
		Name:    "size",
		Summary: "Tell what a tyre or rim mark means, and whether two sizes are the same",
		Because: "Bead seats in millimetres tell sizes apart; inches are only names",
		Words: w("size", "sizes", "same as", "same thing", "same", "same size", "what does", "mean", "means", "in inch", "in inches", "in mm", "which 26", "which 24", "tube for", "tube in", "tube on", "tube into", "tube same", "tube same as", "tube fit", "tube fits", "tube do", "tube ok", "tube work", "interchangeable", "what is", "stand for", "which one",
			de("größe", "grösse", "bedeutet", "gleich"), fr("taille", "dimension", "signifie"), es("tamaño", "medida", "significa"), it("misura", "significa")),
		Options: []spec.Option{tyreOption, rim, sizeA, sizeB, what},
		Wants:   []spec.Want{{Any: []spec.Option{tyreOption, rim, sizeA}, Weight: 0.8}},
		Apart:   [][2][]spec.Option{{{tyreOption}, {sizeA, sizeB}}},
		// A width without a diameter is no size, of a tyre or of a rim.
		Suits: func(r spec.Request) bool {
			t, ok := tyreOption.Of(r)
			about, asks := what.Of(r)
			if only, rimmed := rim.Of(r); rimmed && only.First.Seat == 0 {
				return false
			}
			return (!ok || len(t.First.Seats()) > 0) && (!asks || about == smallerTube)
		},
		Weight:   0.35,
		Examples: []string{"61-622", "26 x 1 1/2", "is 650b same as 27.5", "26x1 3/8 tyre on 26x1.4 rim?"},
		Run: func(_ context.Context, req spec.Request) (reply.Reply, error) {
			a, twoA := sizeA.Of(req)
			b, twoB := sizeB.Of(req)
			t, one := tyreOption.Of(req)
			r, isRim := rim.Of(req)
			switch {
			case twoA && twoB && what.Or(req, "") == smallerTube:
				return tubeOfAnother(deps, req, a, b)
			case twoA && twoB:
				return sizesCompared(req, a, b), nil
			case what.Or(req, "") == smallerTube:
				return tubeAlone(deps, req)
			case one && t.Which == spec.Each && t.First != t.Second:
				return sizesCompared(req, t.First, t.Second), nil
			case one:
				return sizeTold(req, t.Any()), nil
			case twoA:
				return sizeTold(req, a), nil
			case isRim:
				return rimTold(r.Any()), nil
			}
			return ask(req, tyreOption, "Which size? It stands on the sidewall, as 29x2.4 or 61-622.", usualTyres()...), nil
		},
	}
}

// smallerTube is the article on tubes of another wheel size.
const smallerTube = "smaller-tube"

// tubeOfAnother answers whether a tube of one size will do in a tyre of another.
func tubeOfAnother(deps Deps, req spec.Request, tube, wheel size.Mark) (reply.Reply, error) {
	if c := size.Compare(tube, wheel); c.Relation == size.SameSeat && tube.Width > 0 && wheel.Width > 0 {
		return tubeOfAnotherWidth(tube, wheel), nil
	}
	about, ok := article(smallerTube)
	set, err := New(deps)
	if !ok || err != nil {
		return sizesCompared(req, tube, wheel), err
	}
	out := tell(about, req, set)
	usual := func(m size.Mark) (quantity.Length, bool) {
		if full, err := size.Parse(usualWidths[m.String()]); err == nil {
			return full.Seat, true
		}
		return m.Seat, m.Seat > 0
	}
	has, ok := usual(tube)
	into, okay := usual(wheel)
	if ok && okay && has > 0 {
		out.Note(fmt.Sprintf("%s in %s: %s over %s is %s", tube, wheel, into, has, quantity.Fixed(float64(into/has), 2)), basis.Basis{Kind: basis.Computed})
		out.Add("ratio", float64(into/has), reply.One)
		switch stretch := quantity.Fixed(100*math.Abs(float64(into/has)-1), 0); {
		case into > has && float64(into/has) > mostTubeStretch:
			out.Lead[0] = fmt.Sprintf("No: a %s in a %s is stretched by %s %% round and tears; 11 %%, a 26 in a 29, is about the most.", tube, wheel, stretch)
		case into > has:
			out.Lead[0] = fmt.Sprintf("A smaller tube gets you home: a %s in a %s is stretched by about %s %%, its wall is thinner for it. Go easy, and replace it.", tube, wheel, stretch)
		case into < has:
			out.Lead[0] = fmt.Sprintf("Hardly: a %s is %s %% too long round for a %s; it folds, and a fold chafes through. To get home at most.", tube, stretch, wheel)
			out.Lead[1] = "The other way round is the easier one, since a tube stretches. The width must suit too, and the valve the hole."
		}
	}
	return out, nil
}

// tubeAlone tells of tubes of another size where only one of the sizes was read.
func tubeAlone(deps Deps, req spec.Request) (reply.Reply, error) {
	about, ok := article(smallerTube)
	set, err := New(deps)
	if !ok || err != nil {
		return reply.Reply{}, err
	}
	return tell(about, req, set), nil
}

// usualSeat returns the bead seat that a name has on mountain bikes, or a mark's own.
func usualSeat(m size.Mark) (quantity.Length, bool) {
	if m.Seat > 0 {
		return m.Seat, true
	}
	full, err := size.Parse(usualWidths[m.String()])
	return full.Seat, err == nil
}

// mostTubeWider is how much wider than its own size a tyre may be for a tube to be
// more than a help home. Common practice, no source.
const mostTubeWider = 1.25

// leastTubeFilled is to which share of a tube's width a tyre fills it without a fold.
// Common practice, no source: tubes are sold for ranges of half an inch.
const leastTubeFilled = 0.9

// tubeOfAnotherWidth answers whether a tube of one width will do in a tyre of another
// on the same wheel.
func tubeOfAnotherWidth(tube, tyre size.Mark) (out reply.Reply) {
	ratio := float64(tyre.Width / tube.Width)
	out.Title = tube.String() + " and " + tyre.String()
	out.Lead = []string{
		fmt.Sprintf("Yes: the wheel is the same, and a %s tyre is %s %% wider than the %s tube.", tyre, quantity.Fixed(100*(ratio-1), 0), tube),
		"A tube serves the widths on its box; a little beyond it stretches without harm.",
	}
	switch {
	case ratio > mostTubeWider:
		out.Lead = []string{
			fmt.Sprintf("To get home: the wheel is the same, but a %s tyre is %s %% wider than the %s tube, whose wall gets thin.", tyre, quantity.Fixed(100*(ratio-1), 0), tube),
			"Then one whose box names the tyre's width.",
		}
	case ratio > leastTubeFilled && ratio < 1/leastTubeFilled:
		out.Lead = []string{
			fmt.Sprintf("Yes: a %s tube is made for a %s tyre; the widths are the same but for %s %%.", tube, tyre, quantity.Fixed(100*math.Abs(1-ratio), 0)),
			"The box names the range of widths that it serves.",
		}
	case ratio < 1:
		out.Lead[0] = fmt.Sprintf("The wheel is the same, but a %s tyre is %s %% narrower than the %s tube.", tyre, quantity.Fixed(100*(1-ratio), 0), tube)
		out.Lead[1] = "A tube serves the widths on its box; in a narrower tyre it folds, and a fold wears through."
	}
	out.Facts.Pressure = true
	out.Add("ratio", ratio, reply.One)
	out.Note("How far a tube may stretch in width", practice("tube widths"))
	return out
}

// mostTubeStretch is how far a tube may be stretched round and still hold for the
// way home: a 26 one in a 29. Common practice, no source.
const mostTubeStretch = 1.13

// oneTube is by how much diameters differ at most for one tube to serve both.
// Common practice, no source.
const oneTube = 1.03

// asTubes says what becomes of a tube of one size in a tyre of the other.
func asTubes(a, b size.Mark) (string, bool) {
	x, ok := usualSeat(a)
	y, okay := usualSeat(b)
	if !ok || !okay || x == y {
		return "", false
	}
	small, big := a, b
	if x > y {
		small, big, x, y = b, a, y, x
	}
	if ratio := float64(y / x); ratio <= oneTube {
		return fmt.Sprintf("A tube is another matter: one serves both diameters, %s %% apart, if it is made for the tyre's width.", quantity.Fixed(100*(ratio-1), 0)), true
	} else if ratio <= mostTubeStretch {
		return fmt.Sprintf("A tube is another matter: a %s in a %s gets you home, stretched by %s %%; a %s in a %s folds.", small, big, quantity.Fixed(100*(ratio-1), 0), big, small), true
	}
	return "", false
}

// sizeBasis is what names and diameters rest on.
var sizeBasis = basis.Basis{Kind: basis.Standard, Source: "ISO 5775-1 and five published lists of old names", Says: "which agree"}

// sizeTold tells what one mark says.
func sizeTold(req spec.Request, m size.Mark) reply.Reply {
	var out reply.Reply
	out.Title = "Size " + m.String()
	seats := m.Seats()
	switch {
	case len(seats) == 0:
		out.Lead = []string{fmt.Sprintf("%s is a width only: %s. The diameter is missing.", m, m.Width.Text(quantity.MM))}
		out.Add("width", float64(m.Width), reply.Metres)
		return out
	case len(seats) > 1:
		return sizeAmbiguous(req, m)
	}
	out.Add("seat", float64(m.Seat), reply.Metres)
	var says []string
	if m.Width > 0 {
		out.Add("width", float64(m.Width), reply.Metres)
		says = append(says, "label width "+m.Width.Text(quantity.MM))
	}
	says = append(says, "bead seat "+m.Seat.Short())
	lead := m.String() + ": " + strings.Join(says, ", ") + "."
	if other, ok := otherWay(m); ok {
		lead = fmt.Sprintf("%s is %s: %s.", m, other, strings.Join(says, ", "))
	}
	out.Lead = []string{lead}
	if names := seatNames(m.Seat); names != "" {
		out.Lead = append(out.Lead, "That bead seat also goes by "+names+".")
	}
	if m.Width > 0 {
		outside := m.Seat + 2*m.Width
		out.Add("outside", float64(outside), reply.Metres)
		out.Tables = append(out.Tables, reply.Table{Head: []string{"", ""}, Rows: []reply.Row{
			{Cells: []string{"bead seat", m.Seat.Short()}},
			{Cells: []string{"label width", m.Width.Text(quantity.MM)}},
			{Cells: []string{"outside, nominal", quantity.Fixed(outside.MM(), 0) + " mm"}},
		}})
		out.Step("Outside", fmt.Sprintf("%s + 2 × %s = %s", m.Seat.Short(), m.Width.Short(), quantity.Fixed(outside.MM(), 0)+" mm"), basis.Basis{Kind: basis.Computed, Says: "nominal, as tables quote"})
	}
	traps(&out, m.Traps(), m)
	out.Note("Tyre and rim go together by the bead seat; the inches of a name are history", sizeBasis)
	return out
}

// offLabel is how far a width lies from the inches it is rounded to where the
// tyre may as well be sold under the next name: 54 mm is 2.126 in, so 2.1 or
// 2.15. Common practice, no source.
const offLabel = 0.02 // in

// otherWay writes a mark in the other system: 29x2.4 for 61-622, 29x2.1 or
// 29x2.15 for 54-622, as the trade rounds both ways.
func otherWay(m size.Mark) (string, bool) {
	if m.Width == 0 {
		return "", false
	}
	iso, err := size.InMillimetres(m)
	if err == nil && iso != m {
		return iso.String(), true
	}
	in, err := size.InInches(m)
	if err != nil || in == m {
		return "", false
	}
	off := m.Width.In(quantity.Inch) - in.Width.In(quantity.Inch)
	if math.Abs(off) < offLabel {
		return in.String(), true
	}
	next := m
	next.Width += quantity.Length(math.Copysign(0.05, off)) * quantity.Inch
	beside, err := size.InInches(next)
	if err != nil {
		return in.String(), true
	}
	names := []string{in.String(), beside.String()}
	slices.Sort(names)
	return strings.Join(names, " or "), true
}

// seatNames lists the names of a bead seat.
func seatNames(seat quantity.Length) string {
	var names []string
	for _, d := range size.Names(seat) {
		names = append(names, d.Name)
	}
	return strings.Join(names, ", ")
}

// sizeAmbiguous tells what a name can mean, and asks for the mark.
func sizeAmbiguous(req spec.Request, m size.Mark) reply.Reply {
	seats := m.Seats()
	var figures []string
	for _, s := range seats {
		figures = append(figures, quantity.Fixed(s.MM(), 0))
	}
	out := askTyre(req, m)
	if m.Width == 0 {
		out.Ask.Choices = nil // any width in decimals would say which of them it is
	}
	out.Title = "Size " + m.String()
	out.Lead = []string{
		fmt.Sprintf("%s names %s bead seats: %s mm.", m, quantity.Count(len(seats)), strings.Join(figures, ", ")),
		"Read the five-digit mark on the sidewall, as 47-559: the last three digits decide.",
	}
	out.Ask.Text = out.Lead[1]
	table := reply.Table{Title: "What it can be", Head: []string{"bead seat", "written"}}
	for _, s := range seats {
		written := seatNames(s)
		if name, _, ok := strings.Cut(m.String(), "x"); ok || m.Width == 0 {
			var own []string
			for _, d := range size.Names(s) {
				if d.Nominal == name || d.Nominal == m.String() {
					own = append(own, d.Name)
				}
			}
			if len(own) > 0 {
				written = strings.Join(own, ", ")
			}
		}
		table.Rows = append(table.Rows, reply.Row{Cells: []string{s.Short(), written}})
	}
	out.Tables = []reply.Table{table}
	traps(&out, m.Traps(), m)
	if strings.HasPrefix(m.String(), "26") || strings.HasPrefix(m.String(), "24") {
		out.Note("Mountain-bike tyres carry a decimal: 26x… is then 559, 24x… is 507", sizeBasis)
	}
	return out
}

// traps says where the names mislead.
func traps(out *reply.Reply, all []size.Trap, m size.Mark) {
	for _, t := range all {
		switch t {
		case size.FractionVsDecimal:
			if twin, ok := size.Twin(m); ok {
				out.Note(fmt.Sprintf("A fraction is not its decimal: %s is %s, %s is %s", m, seatsText(m), twin, seatsText(twin)), sizeBasis)
			}
		case size.OldDecimal:
			out.Note("On old bikes 26x1.25 and 26x1.375 can be 599", sizeBasis)
		case size.ClassLetter:
			out.Note("The letter behind 700 or 650 is an old class of width, no unit", sizeBasis)
		case size.NameOnly:
			out.Note("The name says nothing of the width", sizeBasis)
		case size.NearName:
			if !strings.HasPrefix(m.String(), "27") && !strings.HasPrefix(m.String(), "650") {
				continue
			}
			out.Note("Names that look alike differ: 27 is 630, 27.5 and 650B are 584, 650A is 590", sizeBasis)
		}
	}
}

func seatsText(m size.Mark) string {
	var all []string
	for _, s := range m.Seats() {
		all = append(all, quantity.Fixed(s.MM(), 0))
	}
	return strings.Join(all, " or ")
}

// sizesCompared tells whether two sizes share a bead seat.
func sizesCompared(req spec.Request, a, b size.Mark) reply.Reply {
	var out reply.Reply
	out.Title = a.String() + " and " + b.String()
	c := size.Compare(a, b)
	same := "no"
	switch c.Relation {
	case size.SameSeat:
		same = "yes"
		out.Lead = []string{fmt.Sprintf("Yes: %s and %s share the bead seat, %s.", a, b, c.Common[0].Short())}
		switch {
		case c.Wider > 0.5*quantity.Millimetre:
			out.Lead = append(out.Lead, fmt.Sprintf("%s is %s wider: rim and frame must suit it; a tube's box must name the tyre's width.", b, c.Wider.Short()))
		case c.Wider < -0.5*quantity.Millimetre:
			out.Lead = append(out.Lead, fmt.Sprintf("%s is %s wider: rim and frame must suit it; a tube's box must name the tyre's width.", a, (-c.Wider).Short()))
		default:
			out.Lead = append(out.Lead, "Widths decide the rest: rim and frame must suit them; of a tube the range on its box must hold the tyre's.")
		}
	case size.MaybeSameSeat:
		same = "maybe"
		out.Lead = []string{
			fmt.Sprintf("Perhaps: %s is %s, %s is %s.", a, seatsText(a), b, seatsText(b)),
			"Only the five-digit mark on the sidewall tells: read it before you buy or mount.",
		}
		seat, name := a, b
		if a.Seat == 0 {
			seat, name = b, a
		}
		if x, ok := usualSeat(a); ok && a.Width == 0 && b.Width == 0 {
			if y, okay := usualSeat(b); okay && x != y {
				out.Lead[0] = fmt.Sprintf("No: on mountain bikes %s is %s and %s is %s.", a, x.Short(), b, y.Short())
				out.Lead[1] = fmt.Sprintf("By name alone an old one could be %s too: the five-digit mark on the sidewall tells.", c.Common[0].Short())
			}
		}
		if usual, ok := usualSeat(name); ok && seat.Width == 0 && seat.Seat > 0 && name.Seat == 0 && name.Width == 0 && seat.Seat == usual {
			out.Lead[0] = fmt.Sprintf("Yes: %s is the %s of mountain bikes; others called %s are %s mm.", seat, name, name, seatsBut(name, seat.Seat))
		}
	case size.DifferentSeat:
		out.Lead = []string{
			fmt.Sprintf("No: %s is %s, %s is %s.", a, seatsText(a), b, seatsText(b)),
			"They do not go together: a bead on the wrong seat blows off or never seats. Go by the five-digit mark.",
		}
		if tube, ok := asTubes(a, b); ok {
			out.Note(strings.TrimSuffix(out.Lead[1], "."), sizeBasis)
			out.Lead[1] = "Tyre and rim never go together so. " + tube
		}
		out.Refused = true
		if near := difference(a, b); near > 0 {
			out.Note(fmt.Sprintf("A tube stretches over a neighbouring size to get home at best; %s apart is a stopgap, never a fit", near.Short()), practice("tubes of another size"))
		}
	default:
		same = "unknown"
		out.Lead = []string{fmt.Sprintf("%s or %s names no diameter: there is nothing to compare.", a, b)}
	}
	out.Values = append(out.Values, reply.Value{Name: "same", Text: same, Unit: reply.Text})
	table := reply.Table{Head: []string{"", "bead seat", "label"}}
	for i, m := range []size.Mark{a, b} {
		end := [2]string{"a.", "b."}[i]
		width := "–"
		if m.Width > 0 {
			width = m.Width.Short()
			out.Add(end+"width", float64(m.Width), reply.Metres)
		}
		if m.Seat > 0 {
			out.Add(end+"seat", float64(m.Seat), reply.Metres)
		}
		table.Rows = append(table.Rows, reply.Row{Cells: []string{m.String(), seatsText(m), width}})
	}
	out.Tables = append(out.Tables, table)
	if a.Seat > 0 && b.Seat > 0 {
		out.Step("Bead seats", fmt.Sprintf("%s − %s = %s", a.Seat.Short(), b.Seat.Short(), quantity.Exact((a.Seat-b.Seat).MM())+" mm"), sizeBasis)
	} else {
		out.Step("Bead seats", fmt.Sprintf("%s: %s; %s: %s", a, seatsText(a), b, seatsText(b)), sizeBasis)
	}
	if c.Relation == size.SameSeat {
		out.Note(fmt.Sprintf("%s goes by %s", c.Common[0].Short(), seatNames(c.Common[0])), sizeBasis)
		if _, known := lookalikes[c.Common[0]]; known && !slices.Contains(c.Traps, size.NearName) {
			out.Note(lookalikes[c.Common[0]], sizeBasis)
		}
	}
	traps(&out, c.Traps, a)
	out.Note("Tyre and rim go together by the bead seat", sizeBasis)
	return out
}

// lookalikes says which name near those of a bead seat is another.
var lookalikes = map[quantity.Length]string{
	622 * quantity.Millimetre: "27 is another, and bigger: 630 mm",
	584 * quantity.Millimetre: "27 is another: 630 mm",
}

// seatsBut lists the bead seats of a name without one of them.
func seatsBut(m size.Mark, but quantity.Length) string {
	var all []string
	for _, seat := range m.Seats() {
		if seat != but {
			all = append(all, quantity.Trimmed(seat.MM(), 0))
		}
	}
	return strings.Join(all, ", ")
}

// difference returns how far two certain bead seats lie apart, 0 if either is
// uncertain or a tube could not be meant.
func difference(a, b size.Mark) quantity.Length {
	if a.Seat == 0 || b.Seat == 0 {
		return 0
	}
	return max(a.Seat-b.Seat, b.Seat-a.Seat)
}

// rimTold tells what a rim's mark says.
func rimTold(m size.RimMark) reply.Reply {
	var out reply.Reply
	text := rim.As.Text(spec.OneFor(m))
	out.Title = "Rim " + text
	parts := []string{"inner width " + m.Inner.Text(quantity.MM)}
	out.Add("inner", float64(m.Inner), reply.Metres)
	if m.Seat > 0 {
		parts = append([]string{"bead seat " + m.Seat.Short()}, parts...)
		out.Add("seat", float64(m.Seat), reply.Metres)
	}
	if m.Tubeless {
		parts = append(parts, "tubeless")
	}
	if m.Bead != size.UnknownBead {
		parts = append(parts, m.Bead.String())
	}
	out.Lead = []string{text + ": " + strings.Join(parts, ", ") + "."}
	if m.Seat > 0 {
		out.Lead = append(out.Lead, "It takes tyres of that bead seat: "+seatNames(m.Seat)+".")
	}
	if s, err := tyre.Suits(m.Inner); err == nil && m.Seat > 0 {
		out.Lead[1] = fmt.Sprintf("Best with tyres of %s, of the bead seat %s: %s.", inchLabels(bestLabels(s)), m.Seat.Short(), seatNames(m.Seat))
		out.Facts.FitOutside = true
	}
	out.Facts.Hookless = m.Bead == size.Hookless
	out.Note("Rim marks read bead seat x inner width, T tubeless, C hooked, SS straight side", basis.Basis{Kind: basis.Standard, Source: "ISO 5775-2"})
	out.Actions = append(out.Actions, reply.Action{Label: "what suits it", Line: "fit rim:\"" + text + "\""})
	return out
}
