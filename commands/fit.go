package commands

import (
	"context"
	"fmt"
	"slices"
	"strings"

	"spokeword/calc/basis"
	"spokeword/calc/quantity"
	"spokeword/calc/size"
	"spokeword/calc/tyre"
	"spokeword/commands/reply"
	"spokeword/commands/spec"
)

func init() { add(fit) }

// fit tells whether a tyre, a rim and a frame go together, and who says so.
func fit(deps Deps) *spec.Command {
	return &spec.Command{
		Name:    "fit",
		Summary: "Tell whether tyre, rim and frame go together, or what suits one of them",
		Because: "Each source draws its own limits for a tyre on a rim; they are laid side by side",
		Words: w("fit", "fits", "what is inside", "whats inside", "whats the inside", "whats internal", "fitting", "compatible", "go on", "goes on", "suit", "suits", "smallest", "widest", "narrowest", "biggest", "max tyre", "width", "widths", "what width", "tyre width", "tyre widths", "wide", "how wide", "will it fit", "what tyre", "what tyres", "which tyre", "tyre for", "what rim", "which rim", "rub", "rubs",
			de("passt", "passen", "geht auf", "breite", "welche breite", "welcher reifen"), fr("compatible", "largeur", "quel pneu", "quelle largeur", "monter"), es("cabe", "compatible", "ancho", "qué cubierta", "que cubierta"), it("compatibile", "larghezza", "quale gomma", "monta")),
		Options:  []spec.Option{tyreOption, rim, eitherRim, riding, bead, system, pressure, measured, outer, gap, framemax, ground, use},
		Follows:  []spec.Option{tyreOption, rim, bead},
		Pointing: true,
		Wants:    []spec.Want{{Any: []spec.Option{tyreOption, riding, measured}, Weight: 0.7}, {Any: []spec.Option{rim, eitherRim, outer, gap, framemax, bead, riding, measured}, Weight: 0.7}},
		Apart:    [][2][]spec.Option{{{rim}, {eitherRim}}},
		Weight:   0.2,
		Examples: []string{"2.5 on 25mm internal ok?", "what tyre for 30mm rim", "74 between stays 2.6?", "29x2.4 on 622x30TC"},
		// A pressure is asked about with tyre and rim, or it is another's.
		Suits: func(r spec.Request) bool {
			_, pressed := pressure.Of(r)
			_, tyred := tyreOption.Of(r)
			_, rimmed := rim.Of(r)
			rims, several := eitherRim.Of(r)
			return (!pressed || tyred && rimmed) && (!several || len(rims) > 1)
		},
		Run: func(_ context.Context, req spec.Request) (reply.Reply, error) {
			f := &fitRun{req: req, unit: deps.pressureFirst(req)}
			return f.run()
		},
	}
}

// fitExample is a line that works, shown with mistakes.
const fitExample = "fit 29x2.4 on 30mm"

// fitRun is one run of the command.
type fitRun struct {
	unit  quantity.Unit // of pressures, shown first
	req   spec.Request
	out   reply.Reply
	inner quantity.Length // of the rim; 0 if not known
	rimIs string          // how the rim was given
}

func (f *fitRun) run() (reply.Reply, error) {
	f.out.Title = "Fit"
	f.out.Facts.Hookless = anyHookless(f.req)
	if over, ok := overHookless(f.req); ok {
		return f.overHookless(over), nil
	}
	if err := f.rimWidth(); err != nil {
		return reply.Reply{}, err
	}
	said, tyreKnown := tyreOption.Of(f.req)
	if wheel, ok := f.rimByName(); ok && tyreKnown && said.Any().Width == 0 && len(said.Any().Seats()) > 0 {
		return sizesCompared(f.req, said.Any(), wheel), nil // "26 tyre on 27.5 rim" speaks of diameters
	}
	known := tyreKnown && said.Any().Width > 0
	if rims, ok := eitherRim.Of(f.req); ok && (known && said.Which == spec.Both || len(riding.Or(f.req, nil)) == 1) {
		return f.severalRims(rims, said.Any())
	}
	var err error
	_, measuredKnown := measured.Of(f.req)
	switch _, gapKnown := gap.Of(f.req); {
	case known && f.endsDiffer(said):
		if said.First.Width == 0 || said.Second.Width == 0 {
			return askTyre(f.req, narrowed(said)), nil
		}
		err = f.both(said)
	case known:
		err = f.one(said.Any())
	case f.inner > 0:
		err = f.suitRim()
	case f.out.Facts.Hookless:
		return f.askHooklessTyre(), nil
	case len(riding.Or(f.req, nil)) > 0:
		f.byRiding()
	case gapKnown && measuredKnown:
		g, _ := gap.Of(f.req)
		m, _ := measured.Of(f.req)
		f.out.Lead = []string{"That is for the tyre as measured; knobs and studs count."}
		err = f.clearance(g.Length(), tyre.Judgement{}, true, m)
	case gapKnown:
		return f.gapAlone()
	case tyreKnown && len(said.Any().Seats()) > 0:
		return askTyre(f.req, said.Any()), nil
	default:
		if m, ok := measured.Of(f.req); ok {
			f.measuredAlone(m.Length())
			break
		}
		return ask(f.req, tyreOption, "Which tyre, and on which rim? For example 29x2.4 on 30 mm.", usualTyres()...), nil
	}
	return f.out, err
}

// endsDiffer reports whether front and rear are to be judged each by itself.
func (f *fitRun) endsDiffer(said tyres) bool {
	rims, ok := rim.Of(f.req)
	twoRims := ok && rims.Which == spec.Each && rims.First != rims.Second
	oneEnd := said.Which == spec.FirstOnly || said.Which == spec.SecondOnly
	return said.Which == spec.Each && said.First != said.Second || twoRims && !oneEnd
}

// narrowed returns the tyre of a pair that lacks its width.
func narrowed(said tyres) size.Mark {
	if said.First.Width == 0 {
		return said.First
	}
	return said.Second
}

// end returns the end of the bike a single tyre is meant for, 0 or 1.
func (f *fitRun) end() int {
	if t, ok := tyreOption.Of(f.req); ok && t.Which == spec.SecondOnly {
		return 1
	}
	if r, ok := rim.Of(f.req); ok && r.Which == spec.SecondOnly {
		return 1
	}
	return 0
}

// overHookless refuses a pressure that no hookless rim may see.
func (f *fitRun) overHookless(over measure) reply.Reply {
	f.out.Refused, f.out.Mistake, f.out.Example = true, true, "fit 29x2.4 on 30 mm hookless"
	f.out.Facts.Pressure = true
	f.out.Lead = []string{fmt.Sprintf("No: %s is above %s, the most any hookless rim may see.", over, tyre.HooklessMax.Text(f.unit, quantity.Down))}
	f.out.Note("Only a tubeless tyre marked for straight-side rims may go on, with a tube or without", basis.Basis{Kind: basis.Standard, Source: "industry standard as quoted in a trade article"})
	return f.out
}

// severalRims judges a tyre on each of several rims; without one it tells what suits
// each, beside what the riding asks for.
func (f *fitRun) severalRims(rims []measure, m size.Mark) (reply.Reply, error) {
	table := reply.Table{Head: []string{"rim inside", "tyre", "verdict"}}
	if m.Width == 0 {
		f.byRiding()
		f.out.Title = "Rims for a riding"
		table.Head = []string{"rim inside", "best with", "for"}
	}
	var lead []string
	for _, r := range rims {
		inner := r.Length()
		if m.Width > 0 {
			j, err := tyre.Judge(tyre.Pairing{Label: m.Width, TyreSeat: m.Seat, Rim: inner, Bead: beadAt(f.req, 0), Riding: f.ride()})
			if err != nil {
				return reply.Reply{}, misfit("tyre", fitExample, err)
			}
			f.out.Values = append(f.out.Values, reply.Value{Name: inner.Short() + ".verdict", Text: j.Verdict.String(), Unit: reply.Text})
			lead = append(lead, inner.Short()+": "+verdictWord(j))
			table.Rows = append(table.Rows, reply.Row{Cells: []string{inner.Short(), j.Section.Width.Short() + " mounted", verdictWord(j)}})
			f.out.Facts.FitOutside = f.out.Facts.FitOutside || disputed(j)
			f.explain(inner.Short()+" ", m, j)
			continue
		}
		s, err := tyre.Suits(inner)
		if err != nil {
			return reply.Reply{}, misfit("rims", "fit 30 or 35 mm rim enduro", err)
		}
		best := bestLabels(s)
		kinds := make([]string, len(s.Kinds))
		for i, k := range s.Kinds {
			kinds[i] = kindName(k.Kind)
		}
		lead = append(lead, fmt.Sprintf("%s: best with %s", inner.Short(), inchRange(best)))
		table.Rows = append(table.Rows, reply.Row{Cells: []string{inner.Short(), inchRange(best), strings.Join(kinds, ", ")}})
	}
	if m.Width > 0 {
		f.out.Title = m.String() + " on several rims"
		f.out.Lead = []string{m.String() + " on " + strings.Join(lead, "; ") + ".", "The wider rim makes the tyre squarer and steadier at low pressure, the narrower one rounder; then each wants its own pressure."}
	} else {
		f.out.Lead = []string{f.out.Lead[0], title(strings.Join(lead, "; ")) + "."}
	}
	f.out.Tables = append([]reply.Table{table}, f.out.Tables...)
	f.out.Note("What is ridden and listed; the makers' lists of rim and tyre decide", tyre.PracticeBasis)
	f.out.Actions = append(f.out.Actions, reply.Action{Label: "why", Line: "why"})
	return f.out, nil
}

// rimByName returns the wheel size that a bare rim can also mean: 26, 27.5, 29.
func (f *fitRun) rimByName() (size.Mark, bool) {
	m, ok := rim.Of(f.req)
	if !ok || m.Any().Seat != 0 {
		return size.Mark{}, false
	}
	switch name := quantity.Trimmed(m.Any().Inner.MM(), 1); name {
	case "20", "24", "26", "27.5", "29":
		mark, err := size.Parse(name)
		return mark, err == nil
	}
	return size.Mark{}, false
}

// rimWidth settles the inner width: as given, or estimated from outside.
func (f *fitRun) rimWidth() error {
	if m, ok := rim.Of(f.req); ok {
		own, ok := ofEnd(m, f.end())
		if !ok {
			own = m.Any()
		}
		f.inner = own.Inner
		f.rimIs = rim.As.Text(spec.OneFor(own))
		return nil
	}
	o, ok := outer.Of(f.req)
	if !ok {
		return nil
	}
	between, err := size.InnerFromOuter(o.Length())
	if err != nil {
		return misfit("outer", "fit outside 34 mm", err)
	}
	f.inner = (between.Low + between.High) / 2
	f.rimIs = f.inner.Short()
	f.out.Assume("rim", fmt.Sprintf("%s (%s to %s)", f.inner.Short(), between.Low.Short(), between.High.Short()), "outside width less about 5 mm, alloy rims; the print on the rim, as 622x30, is better")
	f.out.Add("inner", float64(f.inner), reply.Metres)
	return nil
}

// both judges two tyres of different width, one after the other.
func (f *fitRun) both(said tyres) error {
	table := reply.Table{Head: []string{"", "tyre", "mounted", "ratio", "verdict"}}
	var lead []string
	saidRims, rimKnown := rim.Of(f.req)
	for i, m := range [2]size.Mark{said.First, said.Second} {
		inner, rimSeat := tyre.DefaultRim(m.Width), quantity.Length(0)
		if rimKnown {
			if r, ok := ofEnd(saidRims, i); ok {
				inner, rimSeat = r.Inner, r.Seat
			}
		} else {
			f.out.Assume("rim", inner.Short(), endNames[i]+": no inner width given, the usual one")
		}
		j, err := tyre.Judge(tyre.Pairing{Label: m.Width, TyreSeat: m.Seat, Rim: inner, RimSeat: rimSeat, Bead: beadAt(f.req, i), Riding: f.ride()})
		if err != nil {
			return misfit("tyre", fitExample, err)
		}
		f.values(endNames[i]+".", j)
		lead = append(lead, fmt.Sprintf("%s %s on %s: %s", endNames[i], m, inner.Short(), verdictWord(j)))
		table.Rows = append(table.Rows, reply.Row{Cells: []string{title(endNames[i]), m.String(), j.Section.Width.Short(), quantity.Fixed(j.Section.Ratio(), 2), verdictWord(j)}})
		f.out.Facts.FitOutside = f.out.Facts.FitOutside || disputed(j)
		f.out.Refused = f.out.Refused || j.Verdict == tyre.No
		f.explain(title(endNames[i])+" ", m, j)
	}
	f.out.Lead = []string{title(strings.Join(lead, "; ")) + "."}
	const tenth = 2.54 * quantity.Millimetre // 0.1 in
	switch wider := said.First.Width - said.Second.Width; {
	case wider > 2.2*tenth:
		f.out.Lead = append(f.out.Lead, "A wider front is common: it steers and brakes. So much wider it also lifts the front a little; 0.1 to 0.2 in is usual.")
	case wider > 0:
		f.out.Lead = append(f.out.Lead, "A wider front is common: it steers and brakes, the rear rolls lighter.")
	case wider < 0:
		f.out.Lead = append(f.out.Lead, "Off the road the wider one belongs in front: the front wheel steers and does most of the braking.")
	}
	f.out.Note("Equal, or the front 0.1 to 0.2 in wider", practice("widths of the two ends"))
	f.out.Tables = append(f.out.Tables, table)
	f.out.Actions = append(f.out.Actions, reply.Action{Label: "why", Line: "why"})
	return nil
}

// disputed reports whether makers' lists have the last word. Where the bead
// seats differ no list can say yes.
func disputed(j tyre.Judgement) bool {
	return j.Verdict >= tyre.Outside && !(len(j.Why) > 0 && j.Why[0] == tyre.SameDiameter)
}

// explain adds the sum of a judgement to what why shows.
func (f *fitRun) explain(before string, m size.Mark, j tyre.Judgement) {
	earlier := f.out.Explain
	f.out.Explain = func(r *reply.Reply) {
		if earlier != nil {
			earlier(r)
		}
		f.working(r, before, m, j)
	}
}

func (f *fitRun) ride() tyre.Riding {
	if list := riding.Or(f.req, nil); len(list) == 1 {
		r, _ := rideOf(list[0])
		return r
	}
	return 0
}

// one judges one tyre: on the rim, in the frame, against the calliper.
func (f *fitRun) one(m size.Mark) error {
	rimKnown := f.inner > 0
	gapSaid, gapKnown := gap.Of(f.req)
	frame, frameKnown := framemax.Of(f.req)
	width, widthKnown := measured.Of(f.req)
	if !rimKnown {
		if f.out.Facts.Hookless {
			f.out = ask(f.req, rim, "How wide is the hookless rim inside? Its mark reads as 622x25TSS or 25 mm.")
			f.out.Facts.Hookless = true
			return nil
		}
		if !gapKnown && !frameKnown && !widthKnown {
			return f.suitTyre(m)
		}
		f.inner = tyre.DefaultRim(m.Width)
		f.rimIs = f.inner.Short()
		f.out.Assume("rim", f.inner.Short(), "no inner width given, the usual one of this tyre; 5 mm more or less is 2 mm of tyre")
	}
	pairing := tyre.Pairing{Label: m.Width, TyreSeat: m.Seat, Rim: f.inner, Bead: beadAt(f.req, f.end()), Riding: f.ride()}
	if r, ok := rim.Of(f.req); ok {
		own, ok := ofEnd(r, f.end())
		if !ok {
			own = r.Any()
		}
		pairing.RimSeat = own.Seat
	}
	j, err := tyre.Judge(pairing)
	if err != nil {
		return misfit("", fitExample, err)
	}
	f.values("", j)
	f.out.Facts.FitOutside = disputed(j)
	f.judged(m, j)
	if f.out.Refused { // no calliper, frame or gap turns a no into a yes
		f.explain("", m, j)
		f.out.Actions = append(f.out.Actions, reply.Action{Label: "why", Line: "why"})
		return nil
	}
	if widthKnown {
		f.calliper(m, width.Length(), j)
	}
	if frameKnown {
		f.frame(m, frame.Length(), j)
	}
	if gapKnown {
		if err := f.clearance(gapSaid.Length(), j, widthKnown, width); err != nil {
			return err
		}
	}
	f.explain("", m, j)
	f.out.Actions = append(f.out.Actions, reply.Action{Label: "why", Line: "why"})
	if rimKnown && j.Verdict != tyre.No {
		f.out.Actions = append(f.out.Actions, reply.Action{Label: "what suits this rim", Line: "fit rim:\"" + f.rimIs + "\""})
	}
	return nil
}

// rimGiven reports whether the rim was named, not assumed: only then the
// sources' opinions on the pair are worth a table.
func (f *fitRun) rimGiven() bool {
	_, inside := rim.Of(f.req)
	_, outside := outer.Of(f.req)
	return inside || outside
}

// values puts down the figures of a judgement.
func (f *fitRun) values(end string, j tyre.Judgement) {
	s := j.Section
	f.out.Values = append(f.out.Values, reply.Value{Name: end + "verdict", Text: j.Verdict.String(), Unit: reply.Text})
	if s.Width == 0 {
		return
	}
	band := s.WidthBand()
	f.out.Values = append(f.out.Values,
		reply.Value{Name: end + "width", Value: float64(s.Width), Unit: reply.Metres, Low: float64(s.Width - band), High: float64(s.Width + band)})
	f.out.Add(end+"height", float64(s.Height), reply.Metres)
	f.out.Add(end+"ratio", s.Ratio(), reply.One)
	f.out.Add(end+"beadangle", float64(s.BeadAngle()), reply.Radians)
}

func verdictWord(j tyre.Judgement) string {
	if j.Verdict == tyre.Usable && j.Round {
		return "usable, round"
	}
	if j.Verdict == tyre.Usable && j.Square {
		return "usable, square"
	}
	return j.Verdict.String()
}

// aLittleSquare is under which width over rim a mountain-bike tyre stands a little
// square. Common practice, no source.
const aLittleSquare = 1.8

// aLittleRound is from which width over rim a good tyre stands a little round: the
// upper sixth of what is ridden. Common practice, no source.
const aLittleRound = 2.2

// judged writes what the sources come to, and each of them.
func (f *fitRun) judged(m size.Mark, j tyre.Judgement) {
	s := j.Section
	head := fmt.Sprintf("%s on %s", m, f.rimIs)
	var verdict, felt string
	switch j.Verdict {
	case tyre.Good:
		verdict = "Good: " + head + " is inside what is ridden and listed."
		felt = "No surprises: the tyre stands as its maker drew it."
		if s.Ratio() > aLittleRound {
			felt = "A little round, as wide tyres on narrow rims stand."
		}
	case tyre.Usable:
		verdict = "Usable: " + head + " mounts and rides."
		felt = "Ask its maker's list if in doubt."
		if slices.ContainsFunc(j.Findings, func(x tyre.Finding) bool { return x.Says == tyre.Against }) {
			verdict = "Usable: " + head + " mounts and rides, sources differ."
		}
		if j.Round {
			felt = "It stands round: it squirms at low pressure and wants a bit more air."
		} else if j.Square {
			felt = "It stands square: steep sidewalls, and the rim edge is more exposed."
		} else if s.Ratio() > 0 && s.Ratio() < aLittleSquare && m.Width >= 50*quantity.Millimetre {
			felt = "A little square: the tread lies flatter, the side knobs bite sooner."
		}
	case tyre.Outside:
		verdict = "Outside: " + head + " lies outside what lists and practice cover."
		if labels, err := tyre.Suits(f.inner); err == nil && sensible(labels) > m.Width {
			felt = fmt.Sprintf("The narrowest sensible tyre here is about %s.", quantity.Fixed(sensible(labels).MM(), 0)+" mm")
		} else {
			felt = "The makers' lists decide."
		}
	case tyre.No:
		verdict = "No: " + head + " does not go together."
		if slices.Contains(j.Why, tyre.OuterRatio) && slices.ContainsFunc(j.Findings, func(x tyre.Finding) bool { return x.Rule == tyre.PairTable && x.Says == tyre.For }) {
			verdict = "Better not: " + head + " was ridden and is listed in 2006, but it stands round, squirms and burps."
		}
		felt = f.whyNot(m, j)
		f.out.Refused = true
		if m.Width <= f.inner { // no question of taste: it can't be meant
			f.out.Mistake, f.out.Example = true, "fit "+m.String()+" on "+tyre.DefaultRim(m.Width).Short()
		}
	}
	if j.Verdict == tyre.Outside && m.Width < 45*quantity.Millimetre {
		f.out.Note("Wide rims carry low maximum pressures, often below what a narrow tyre needs; read the rim's mark. On a hookless rim: no, unless its maker lists the tyre", practice("narrow tyres on wide rims"))
	}
	if s.Width > 0 && j.Verdict != tyre.No {
		felt = fmt.Sprintf("Mounted about %s wide. %s", s.Width.Text(quantity.MM), felt)
	}
	f.out.Lead = []string{verdict, felt}
	if len(j.Why) > 0 && j.Why[0] == tyre.SameDiameter {
		f.out.Note("Tyre and rim go by the same bead seat diameter", basis.Basis{Kind: basis.Standard, Source: "ISO 5775-1"})
		return
	}
	if s.Width > 0 {
		table := reply.Table{Head: []string{"", ""}, Rows: []reply.Row{
			{Cells: []string{"mounted width", s.Width.Short() + " ± " + s.WidthBand().Short()}},
			{Cells: []string{"width / rim", quantity.Fixed(s.Ratio(), 2)}},
			{Cells: []string{"label / rim", quantity.Fixed(float64(m.Width/f.inner), 2)}},
			{Cells: []string{"sidewall leans out", quantity.Fixed(s.BeadAngle().In(quantity.Degree), 0) + "° at the rim, upright is 0°"}},
		}}
		f.out.Tables = append(f.out.Tables, table)
	}
	if f.rimGiven() {
		f.sources(j)
	}
	f.written(m)
	if f.inner > 24*quantity.Millimetre && f.inner < 26*quantity.Millimetre && m.Width > 60*quantity.Millimetre && m.Width < 67*quantity.Millimetre {
		f.out.Note("That 25 mm takes 2.5 in at most is a rule of thumb; its own author calls it weak above 2.5. Today 2.5 in goes on 30 mm", basis.Basis{Kind: basis.Article, Source: "a forum thread on rim width"})
	}
	if f.out.Facts.Hookless {
		f.out.Note("Only a tubeless tyre marked for straight-side rims may go on, with a tube or without", basis.Basis{Kind: basis.Standard, Source: "industry standard as quoted in a trade article"})
	}
}

// written says what the numbers of five-digit marks mean, where marks were typed.
func (f *fitRun) written(m size.Mark) {
	var says []string
	if m.Seat > 0 && m.Width > 0 && strings.Contains(m.String(), "-") {
		says = append(says, fmt.Sprintf("%s is %s on the label, bead seat %s", m, m.Width.Short(), m.Seat.Short()))
	}
	if r, ok := rim.Of(f.req); ok && r.Any().Seat > 0 && r.Any().Inner > 0 {
		text := fmt.Sprintf("%s is bead seat %s, %s inside", f.rimIs, r.Any().Seat.Short(), r.Any().Inner.Short())
		if r.Any().Bead != size.UnknownBead {
			text += ", " + r.Any().Bead.String()
		}
		says = append(says, text)
	}
	if len(says) > 0 {
		f.out.Note(strings.Join(says, "; "), basis.Basis{Kind: basis.Standard, Source: "ISO 5775-1 and -2"})
	}
}

// sensible is the narrowest label that practice or ratios speak for.
func sensible(s tyre.Suiting) quantity.Length {
	return max(s.Ridden.Low, s.Desirable.Low, s.Pairs.Low)
}

func (f *fitRun) whyNot(m size.Mark, j tyre.Judgement) string {
	if len(j.Why) > 0 && j.Why[0] == tyre.SameDiameter {
		r, _ := rim.Of(f.req)
		return fmt.Sprintf("The bead seats differ: tyre %s, rim %s.", m.Seat, r.Any().Seat)
	}
	return whyNoFit(j)
}

// whyNoFit says which rule makes a no, of tyre and rim on one bead seat.
func whyNoFit(j tyre.Judgement) string {
	inner := j.Section.Rim
	for _, rule := range j.Why {
		switch rule {
		case tyre.Hookless29:
			return "A hookless 25 mm rim needs a tyre of at least 29 mm."
		case tyre.HooklessPlus5:
			return fmt.Sprintf("On a hookless rim the tyre must be listed and at least 5 mm wider than the rim: from %s here.", (inner + 5*quantity.Millimetre).Short())
		}
	}
	return fmt.Sprintf("The tyre must stand 1.25 to 2.5 times as wide as the rim: %s to %s here.",
		(inner * 125 / 100).Short(), (inner * 25 / 10).Short())
}

// sources says who is for it and who against.
func (f *fitRun) sources(j tyre.Judgement) {
	table := reply.Table{Title: "Who says so", Head: []string{"source", "says", "allows"}}
	for _, x := range j.Findings {
		if x.Says == tyre.Silent {
			continue
		}
		table.Rows = append(table.Rows, reply.Row{Cells: []string{ruleName(x), x.Says.String(), allowed(x)}})
	}
	if len(table.Rows) > 0 {
		f.out.Tables = append(f.out.Tables, table)
	}
	f.out.Note("The full pair table of 2023 was not available; pairs are of the 2006 state and a few newer ones", basis.Basis{Kind: basis.Standard, Source: "permitted pairs as reproduced in trade articles"})
}

// ruleName names a source in a few words.
func ruleName(f tyre.Finding) string {
	switch f.Rule {
	case tyre.PairTable:
		return "pair list 2006"
	case tyre.NewerPairs:
		return "newer pairs"
	case tyre.DesirableRatio:
		return "JIS ratio"
	case tyre.BookRatio:
		return "encyclopedia"
	case tyre.OuterRatio:
		return "workshop limits"
	case tyre.ModernRatio:
		return "mountain practice"
	case tyre.RidingPractice:
		if f.Kind != 0 {
			return kindName(f.Kind) + " practice"
		}
		return "riding practice"
	case tyre.RimPractice:
		return "trade articles"
	case tyre.HooklessPlus5:
		return "hookless + 5 mm"
	case tyre.Hookless29:
		return "hookless 25 mm rule"
	}
	return "bead seat"
}

// allowed writes what a source allows.
func allowed(f tyre.Finding) string {
	if f.Ratios != (tyre.Span{}) {
		return quantity.Trimmed(f.Ratios.Low, 2) + "–" + quantity.Trimmed(f.Ratios.High, 2) + " × rim"
	}
	if f.Labels == (tyre.Range{}) {
		if f.Rule == tyre.RidingPractice && f.Kind == 0 {
			return "not ridden so"
		}
		if f.Says == tyre.For {
			return "this pair"
		}
		return "not this pair"
	}
	if f.Rule == tyre.RimPractice || f.Kind >= tyre.XCKind { // as these write them
		return inchRange(f.Labels)
	}
	return labels(f.Labels)
}

func labels(r tyre.Range) string {
	switch {
	case r == (tyre.Range{}):
		return "–"
	case r.High == 0:
		return "from " + quantity.Fixed(r.Low.MM(), 0) + " mm"
	case r.High-r.Low < quantity.Millimetre/2:
		return quantity.Fixed(r.Low.MM(), 0) + " mm"
	}
	return quantity.Fixed(r.Low.MM(), 0) + "–" + quantity.Fixed(r.High.MM(), 0) + " mm"
}

// inchRange writes a range of labels in inches.
func inchRange(r tyre.Range) string {
	low, high := quantity.Trimmed(r.Low.In(quantity.Inch), 2), quantity.Trimmed(r.High.In(quantity.Inch), 2)
	switch {
	case r.High == 0:
		return "from " + low + " in"
	case low == high:
		return low + " in"
	}
	return low + "–" + high + " in"
}

// inchLabels writes a range of labels in both systems.
func inchLabels(r tyre.Range) string {
	return inchRange(r) + " (" + strings.TrimPrefix(labels(r), "from ") + ")"
}

// calliper compares the label with what was measured.
func (f *fitRun) calliper(m size.Mark, got quantity.Length, j tyre.Judgement) {
	diff := got - m.Width
	text := fmt.Sprintf("%s measured is %s: %s mm against the label.", got.Short(), inch(got), quantity.Signed(diff.MM(), 1))
	if diff >= -3*quantity.Millimetre && diff <= 3*quantity.Millimetre {
		f.out.Lead = []string{"Not faulty: labels may be 3 mm off either way, and makers stay low. " + text,
			"A new tyre grows 1–2 mm in use; rim width and pressure move it too."}
	} else {
		f.out.Lead = []string{"That is more than the 3 mm a label may be off. " + text,
			"Measure over the casing, inflated, on its rim, a day after mounting."}
	}
	f.out.Note("Label tolerance ± 3 mm; casings grow 1–2 mm in use. Say whether casing or knobs were measured: one stands out beyond the other", basis.Basis{Kind: basis.Article, Source: "trade articles quoting ISO 5775-1"})
}

func inch(l quantity.Length) string { return quantity.Fixed(l.In(quantity.Inch), 2) + " in" }

// measuredAlone says what a measured width is in inches.
func (f *fitRun) measuredAlone(got quantity.Length) {
	f.out.Lead = []string{fmt.Sprintf("%s is %s wide. Which size stands on the sidewall?", got.Short(), inch(got))}
	f.out.Ask = &reply.Ask{Option: "tyre", Text: f.out.Lead[0]}
}

// frame says what a frame's limit means on this rim.
func (f *fitRun) frame(m size.Mark, most quantity.Length, j tyre.Judgement) {
	over := m.Width - most
	onWide, err := tyre.SectionOf(most, 35*quantity.Millimetre)
	if over <= quantity.Millimetre/2 {
		f.out.Lead = []string{fmt.Sprintf("Inside the frame's limit of %s by its label.", most.Text(quantity.IN)), f.out.Lead[1]}
		return
	}
	q := &reply.Ask{Option: "gap", Text: "How wide is the gap in the frame where the tyre runs? Measure at the narrowest point."}
	f.out.Ask = q
	f.out.Lead = []string{
		fmt.Sprintf("Not by the label: %s is %s over the frame's limit of %s. Measure the gap before you try.", m, over.Short(), most.Text(quantity.IN)),
		fmt.Sprintf("On this rim it stands about %s wide.", j.Section.Width.Short()),
	}
	if err == nil {
		f.out.Note(fmt.Sprintf("A limit holds on the rim it was meant for: %s stands about %s wide on a 35 mm rim. Knobs are not to be shaved to fit", inch(most), onWide.Width.Short()), tyre.SectionBasis)
	}
	f.out.Facts.FitOutside = true
}

// clearance tells the room beside the tyre.
func (f *fitRun) clearance(g quantity.Length, j tyre.Judgement, widthKnown bool, width measure) error {
	var c tyre.Clearance
	var err error
	how := "computed width and 2.5 mm for knobs"
	if widthKnown {
		c, err = tyre.Clear(g, width.Length())
		how = "measured width"
	} else {
		c, err = tyre.ClearLabel(g, j.Section)
		f.out.Assume("knobs", "2.5 mm", "added to the computed width; studs stand out further")
	}
	if err != nil {
		return misfit("gap", "fit 2.6 gap 74 mm", err)
	}
	f.out.Add("clearance", float64(c.Side), reply.Metres)
	var word string
	switch {
	case c.Side <= 0:
		word = "No: it does not go in"
	case !c.Any:
		word = "No: closer than any rule allows"
	case !c.Racing:
		word = "Too close: racing bikes want 4 mm, others 6 mm"
	case !c.Other:
		word = "Tight: enough for racing (4 mm), short of the 6 mm quoted for others"
	default:
		word = "Clear: at least 6 mm; thick mud wants up to 10"
	}
	lead := fmt.Sprintf("%s. About %s each side in %s.", word, c.Side.Short(), g.Short())
	second := f.out.Lead[0]
	if !f.rimGiven() && j.Section.Width > 0 {
		second = fmt.Sprintf("On a rim of %s it stands about %s wide, %s over the knobs.", f.rimIs, j.Section.Width.Short(), c.Width.Short())
		if widthKnown {
			second = fmt.Sprintf("Measured at %s; knobs and studs count.", c.Width.Short())
		}
	}
	f.out.Lead = []string{lead, second}
	f.out.Facts.FitOutside = f.out.Facts.FitOutside || !c.Racing
	f.out.Tables = append([]reply.Table{{Head: []string{"each side", ""}, Rows: []reply.Row{
		{Cells: []string{"room", c.Side.Short()}},
		{Cells: []string{"tyre over knobs", c.Width.Short()}},
		{Cells: []string{"racing, 4 mm", yes(c.Racing)}},
		{Cells: []string{"others, 6 mm", yes(c.Other)}},
		{Cells: []string{"mud, 6–10 mm", yes(c.Mud)}},
	}}}, f.out.Tables...)
	f.out.Note("Racing bikes want 4 mm", tyre.RacingClearanceBasis)
	f.out.Note("Other bikes 6 mm", tyre.OtherClearanceBasis)
	f.out.Note("Mud 6–10 mm, from "+how, tyre.MudClearanceBasis)
	f.out.Note("With studs room counts from them. On ice they want less air, on bare road more, within the marks, so that only the middle ones touch", practice("studded tyres"))
	f.out.Step("Clearance", fmt.Sprintf("(%s − %s) / 2 = %s", g.Short(), c.Width.Short(), c.Side.Short()), basis.Basis{Kind: basis.Computed, Says: how})
	return nil
}

func yes(b bool) string {
	if b {
		return "yes"
	}
	return "no"
}

// bestLabels are the labels that suit a rim best: those that articles name for it, or
// that are ridden; else those of a desirable ratio.
func bestLabels(s tyre.Suiting) tyre.Range {
	switch {
	case s.Best != (tyre.Range{}):
		return s.Best
	case s.Ridden != (tyre.Range{}):
		return s.Ridden
	}
	return s.Desirable
}

// suitRim tells which tyres suit a rim.
func (f *fitRun) suitRim() error {
	s, err := tyre.Suits(f.inner)
	if err != nil {
		return misfit("rim", "fit 30 mm rim", err)
	}
	f.out.Title = "Tyres for a rim"
	main := bestLabels(s)
	lead := fmt.Sprintf("%s inside: best with tyres of %s.", f.inner.Short(), inchLabels(main))
	_, inside := rim.Of(f.req)
	if o, ok := outer.Of(f.req); ok && !inside {
		between, err := size.InnerFromOuter(o.Length())
		if err != nil {
			return misfit("outer", "fit outside 34 mm", err)
		}
		lead = fmt.Sprintf("About %s inside (%s to %s): from outside it can't be exact. Best with tyres of %s.", f.inner.Short(), strings.TrimSuffix(between.Low.Short(), " mm"), between.High.Short(), inchLabels(main))
		f.out.Note("Exact: the print on the rim, as 622x30, or with the tyre off a calliper from bead wall to bead wall", practice("rim widths"))
	}
	second := "Usable besides: " + inchLabels(s.Desirable) + "."
	if s.Works != (tyre.Range{}) {
		second = "Works with " + inchLabels(s.Works) + "."
		if s.Works.High == 0 {
			second = "At least " + strings.TrimPrefix(inchLabels(s.Works), "from ") + ": below it the rim's edge stands exposed under steep sidewalls."
		}
	}
	f.out.Lead = []string{lead, second}
	table := reply.Table{Title: "Tyre labels, by source", Head: []string{"source", "inches", "mm"}}
	row := func(name string, r tyre.Range) {
		if r == (tyre.Range{}) {
			return
		}
		table.Rows = append(table.Rows, reply.Row{Cells: []string{name, inchRange(r), labels(r)}})
	}
	row("articles, best", s.Best)
	row("articles, works", s.Works)
	row("practice", s.Ridden)
	row("JIS ratio", s.Desirable)
	row("pair list 2006", s.Pairs)
	row("outer limits", s.Outer)
	f.out.Tables = append(f.out.Tables, table)
	if len(s.Kinds) > 0 {
		var kinds []string
		for _, k := range s.Kinds {
			kinds = append(kinds, kindName(k.Kind))
		}
		f.out.Note("Rims of this width are ridden for "+strings.Join(kinds, ", "), tyre.PracticeBasis)
	}
	f.out.Note(fmt.Sprintf("An old edition's rule, rim = 65 or 55 %% of the tyre, would say %s; practice has moved wider", label(s.OldRule)), basis.Basis{Kind: basis.Standard, Source: "an older text of the industry standard as reproduced"})
	f.out.Add("narrowest", float64(main.Low), reply.Metres)
	if main.High > 0 {
		f.out.Add("widest", float64(main.High), reply.Metres)
	}
	f.out.Step("Ratio", fmt.Sprintf("1.25 to 2.5 times %s = %s to %s mounted", f.inner.Short(), s.OuterWidths.Low.Short(), s.OuterWidths.High.Short()), basis.Basis{Kind: basis.Article, Source: "magazine workshop column", Says: "outer limits"})
	if f.out.Facts.Hookless {
		f.out.Note("On a hookless rim only listed tubeless tyres, and at least 5 mm wider than the rim", basis.Basis{Kind: basis.Article, Source: "trade news on hookless rims, 2023"})
	}
	f.out.Actions = append(f.out.Actions, reply.Action{Label: "why", Line: "why"})
	return nil
}

func label(l quantity.Length) string {
	return quantity.Fixed(l.MM(), 0) + " mm / " + quantity.Trimmed(l.In(quantity.Inch), 2) + " in"
}

// suitTyre tells which rims suit a tyre.
func (f *fitRun) suitTyre(m size.Mark) error {
	s, err := tyre.RimsFor(m.Width)
	if err != nil {
		return misfit("tyre", fitExample, err)
	}
	f.out.Title = "Rims for a tyre"
	main := s.Ridden
	if main == (tyre.Range{}) {
		main = s.Desirable
	}
	f.out.Lead = []string{
		fmt.Sprintf("%s suits rims of %s inside.", m, labels(main)),
		fmt.Sprintf("The industry standard measures it on %s.", s.Table.Short()),
	}
	table := reply.Table{Title: "Inner widths, by source", Head: []string{"source", "allows"}}
	row := func(name string, r tyre.Range) {
		if r != (tyre.Range{}) {
			table.Rows = append(table.Rows, reply.Row{Cells: []string{name, labels(r)}})
		}
	}
	row("mountain practice", s.Ridden)
	row("JIS ratio", s.Desirable)
	row("pair list 2006", s.Pairs)
	row("outer limits", s.Outer)
	for _, k := range s.Kinds {
		row(kindName(k.Kind)+" practice", k.Rims)
	}
	f.out.Tables = append(f.out.Tables, table)
	f.out.Add("narrowest", float64(main.Low), reply.Metres)
	f.out.Add("widest", float64(main.High), reply.Metres)
	f.out.Step("Measuring rim", fmt.Sprintf("label %s → %s", m.Width.Short(), s.Table.Short()), basis.Basis{Kind: basis.Standard, Source: "industry standard 2020 as reproduced in a trade article"})
	f.out.Note("The full pair table of 2023 was not available", basis.Basis{Kind: basis.Standard, Source: "permitted pairs, 2006 state"})
	usual := size.RimMark{Inner: tyre.DefaultRim(m.Width)}
	f.out.Actions = append(f.out.Actions,
		reply.Action{Label: "on " + usual.Inner.Short(), Line: spec.Set(f.req, rim, spec.OneFor(usual)).Line()},
		reply.Action{Label: "why", Line: "why"})
	return nil
}

// byRiding tells what is ridden where.
func (f *fitRun) byRiding() {
	asked := riding.Or(f.req, nil)
	f.out.Title = "Tyres and rims by riding"
	table := reply.Table{Head: []string{"riding", "tyre", "rim inside"}}
	all := map[tyre.Kind]bool{}
	for _, word := range asked {
		r, _ := rideOf(word)
		all[tyre.KindFor(r, 60*quantity.Millimetre)] = true
	}
	var lead []string
	for _, p := range tyre.ByRiding() {
		tyreText := labels(p.Tyres)
		if p.Kind >= tyre.XCKind {
			tyreText = quantity.Trimmed(p.Tyres.Low.In(quantity.Inch), 2) + "–" + quantity.Trimmed(p.Tyres.High.In(quantity.Inch), 2) + " in"
		}
		if all[p.Kind] {
			if len(all) == 1 {
				f.out.Values = append(f.out.Values, reply.Value{Name: "inner", Value: float64(p.Rims.Low+p.Rims.High) / 2, Unit: reply.Metres, Low: float64(p.Rims.Low), High: float64(p.Rims.High)})
			}
			lead = append(lead, fmt.Sprintf("%s %s on %s", kindName(p.Kind), tyreText, labels(p.Rims)))
		}
		table.Rows = append(table.Rows, reply.Row{Cells: []string{kindName(p.Kind), tyreText, labels(p.Rims)}})
	}
	f.out.Lead = []string{title(strings.Join(lead, "; ")) + ".", "The front equal or 0.1–0.2 in wider, never narrower off the road."}
	f.out.Tables = append(f.out.Tables, table)
	f.out.Note("What is ridden, no law; downhill with heavy casings", tyre.PracticeBasis)
}

// kindName writes a kind of riding as people do.
func kindName(k tyre.Kind) string {
	if k == tyre.XCKind {
		return "XC"
	}
	return k.String()
}

// askHooklessTyre answers what is known of hookless rims and asks for the tyre.
func (f *fitRun) askHooklessTyre() reply.Reply {
	r := ask(f.req, tyreOption, "Only tyres marked or listed for hookless rims, tubeless, may go on: a tube does not change that. Which tyre is it?", usualTyres()...)
	r.Facts.Hookless = true
	r.Note("At most 5 bar or 72.5 psi, and less where tyre or rim say so", basis.Basis{Kind: basis.Standard, Source: "industry standard as quoted in a trade article"})
	r.Note("The label at least 5 mm wider than the rim, and 29 mm at least on 25 mm", basis.Basis{Kind: basis.Article, Source: "statements on hookless rims, 2023"})
	r.Note("Old tyres without such a mark stay off; what their maker lists can't be known from here", practice("makers' lists decide"))
	return r
}

// gapAlone tells the widest tyre that leaves the room asked for.
func (f *fitRun) gapAlone() (reply.Reply, error) {
	g, _ := gap.Of(f.req)
	most := quantity.Length(quantity.Down.Round(float64(g.Length()-2*tyre.OtherClearance), 1e-4)) // tenths of a millimetre, never up
	if most <= 0 {
		return reply.Reply{}, spec.Misuse("gap", "fit 2.6 gap 74 mm", "gap %s: want more than the 6 mm each side that must stay clear", g)
	}
	f.out.Lead = []string{
		fmt.Sprintf("%s leaves room for a tyre of at most %s over the knobs, with 6 mm each side.", g, most.Text(quantity.MM)),
		fmt.Sprintf("As a label that is about %s, since knobs add some 2.5 mm.", (most - 2.5*quantity.Millimetre).Text(quantity.MM)),
	}
	f.out.Add("widest", float64(most), reply.Metres)
	f.out.Note("6 mm each side", tyre.OtherClearanceBasis)
	f.out.Note("4 mm is enough on racing bikes", tyre.RacingClearanceBasis)
	return f.out, nil
}

// working is the sum, for why.
func (f *fitRun) working(out *reply.Reply, before string, m size.Mark, j tyre.Judgement) {
	s := j.Section
	if s.Width == 0 {
		return
	}
	out.Step(heading(before, "casing"), fmt.Sprintf("label %s, measured on a rim of %s, is %s from bead to bead", m.Width.Short(), tyre.MeasuringRim(m.Width).Short(), s.Casing.Short()), tyre.SectionBasis)
	out.Step(heading(before, "section"), fmt.Sprintf("that casing as an arc over %s stands %s wide, %s high", s.Rim.Short(), s.Width.Short(), s.Height.Short()), tyre.SectionBasis)
	out.Step(heading(before, "ratio"), fmt.Sprintf("%s / %s = %s", s.Width.Short(), s.Rim.Short(), quantity.Fixed(s.Ratio(), 2)), basis.Basis{Kind: basis.Computed, Says: "mounted width over inner width"})
	for _, x := range j.Findings {
		out.Step(heading(before, ruleName(x)), finding(x), x.Basis)
	}
}

// finding writes what a source says of a pair, and what it allows.
func finding(x tyre.Finding) string {
	switch {
	case x.Says == tyre.Silent:
		return "silent on this pair"
	case x.Ratios == (tyre.Span{}) && x.Labels == (tyre.Range{}):
		return x.Says.String() + " this pair"
	}
	return x.Says.String() + ": allows " + allowed(x)
}

// heading names a step of one end or of the only tyre.
func heading(before, what string) string { return title(before + what) }
