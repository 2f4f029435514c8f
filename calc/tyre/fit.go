package tyre

import (
	"math"

	"spokeword/calc/basis"
	"spokeword/calc/quantity"
	"spokeword/calc/size"
)

// Verdict is what the sources together come to on a tyre on a rim.
type Verdict uint8

// The verdicts, from best to worst.
const (
	Good    Verdict = iota + 1 // inside what is ridden and listed
	Usable                     // mounts and rides; something will be felt
	Outside                    // outside what sources cover
	No                         // diameter differs, a hookless rule, or a ratio outside 1.25 to 2.5
)

var verdicts = [...]string{Good: "good", Usable: "usable", Outside: "outside", No: "no"}

// String names the verdict: "good".
func (v Verdict) String() string {
	if int(v) < len(verdicts) {
		return verdicts[v]
	}
	return ""
}

// Says is what one source says of a pairing.
type Says uint8

// What a source can say.
const (
	Silent  Says = iota // doesn't cover it
	For                 // allows or recommends it
	Against             // doesn't list or advises against it
)

var says = [...]string{Silent: "silent", For: "for", Against: "against"}

// String names it: "for".
func (s Says) String() string {
	if int(s) < len(says) {
		return says[s]
	}
	return ""
}

// Rule is one source's rule of fit.
type Rule uint8

// The rules. Pair tables and hookless minima take the label, ratios the
// mounted width.
const (
	PairTable      Rule = iota + 1 // permitted pairs, 2006 state
	NewerPairs                     // fragments of newer tables
	DesirableRatio                 // 1.4 to 2.4, Japanese standard
	BookRatio                      // 1.45 to 2.0, encyclopedic
	OuterRatio                     // 1.25 to 2.5, workshop column; outside it the verdict is No
	ModernRatio                    // 1.7 to 2.3, modern mountain use
	RidingPractice                 // ByRiding
	RimPractice                    // labels named for rims of 25, 30 and 40 mm
	HooklessPlus5                  // straight side: label at least rim + 5 mm
	Hookless29                     // straight side: at least 29 mm on a 25 mm rim
	SameDiameter                   // bead seats must agree
)

// Finding is one source's opinion on a pairing.
type Finding struct {
	Rule   Rule
	Says   Says
	Labels Range // labels it allows on this rim; zero if it speaks of ratios
	Ratios Span  // mounted width over inner width it allows; zero if it speaks of labels
	Kind   Kind  // for RidingPractice: the row
	Basis  basis.Basis
}

// Span is a range of plain numbers.
type Span struct{ Low, High float64 }

// The ratios of mounted width to inner width that sources allow.
var (
	desirable = Span{1.4, 2.4}
	book      = Span{1.45, 2.0}
	outer     = Span{1.25, 2.5}
	modern    = Span{1.7, 2.3}
)

func (s Span) holds(x float64) bool { return x >= s.Low && x <= s.High }

// What the rules rest on.
var (
	pairBasis     = basis.Basis{Kind: basis.Standard, Source: "permitted pairs, 2006 state of the industry standard, as reproduced", Says: "the row for 23 mm is less certain; the full 2023 table was not available"}
	newerBasis    = basis.Basis{Kind: basis.Article, Source: "trade article on rim and tyre standards", Says: "35, 38 and 40 on 17 to 27 mm, 50 on 17 to 30 mm; the full 2023 table was not available"}
	desireBasis   = basis.Basis{Kind: basis.Standard, Source: "JIS D 9421 as quoted", Says: "mounted width 1.4 to 2.4 times the inner width is desirable"}
	bookBasis     = basis.Basis{Kind: basis.Handbook, Source: "encyclopedic article", Says: "mounted width 1.45 to 2.0 times the inner width"}
	outerBasis    = basis.Basis{Kind: basis.Article, Source: "magazine workshop column", Says: "1.25 to 2.5 times the inner width are the outer limits"}
	modernBasis   = basis.Basis{Kind: basis.Practice, Says: "mountain tyres are ridden at 1.7 to 2.3 times the inner width"}
	rimBasis      = basis.Basis{Kind: basis.Article, Source: "trade articles on rim widths", Says: "2.1 to 2.4 for 25 mm; 2.3 to 2.6 best and 2.2 to 2.8 working for 30 mm; 2.8 at least and 3.0 matching for 40 mm, the 2.8 by practice"}
	plus5Basis    = basis.Basis{Kind: basis.Article, Source: "trade news on hookless rims, 2023", Says: "label at least 5 mm wider than the rim"}
	hookless29    = basis.Basis{Kind: basis.Article, Source: "statement on hookless rims, 2023", Says: "at least 29 mm on a 25 mm rim"}
	diameterBasis = basis.Basis{Kind: basis.Standard, Source: "ISO 5775-1", Says: "tyre and rim go by the same bead seat diameter"}
)

// pairs is the table of permitted pairs by label.
//
// Source: 2006 state of the industry standard, as reproduced; 23C is less
// certain than the rest.
var pairs = [...]struct{ rim, low, high float64 }{
	{13, 18, 25}, {15, 23, 32}, {17, 25, 50}, {19, 28, 62}, {21, 35, 62}, {23, 37, 62}, {25, 44, 62}, {27, 47, 62}, {29, 54, 62},
}

// pairRanges returns the labels the pair table allows on the rim: both is what
// the rows beside it share, either what at least one has. A rim that is a row
// has both equal; outside 13 to 29 mm the table says nothing.
func pairRanges(rim quantity.Length) (both, either Range, ok bool) {
	at := rim.MM()
	const hair = 0.25 // rims are made in whole and half millimetres
	for i, row := range pairs {
		if math.Abs(at-row.rim) <= hair {
			r := millimetres(row.low, row.high)
			return r, r, true
		}
		if i > 0 && at > pairs[i-1].rim && at < row.rim {
			a := pairs[i-1]
			return millimetres(math.Max(a.low, row.low), math.Min(a.high, row.high)),
				millimetres(math.Min(a.low, row.low), math.Max(a.high, row.high)), true
		}
	}
	return Range{}, Range{}, false
}

// Pairing is a tyre and a rim to be judged.
type Pairing struct {
	Label    quantity.Length
	TyreSeat quantity.Length // 0 if not known
	Rim      quantity.Length // inner width
	RimSeat  quantity.Length // 0 if not known
	Bead     size.Bead       // how the rim holds the bead
	// NotHookless says the tyre is known not to be marked for straight-side
	// rims. False where that isn't known: then the judgement carries
	// NeedsHooklessTyre.
	NotHookless bool
	Riding      Riding // 0 if not said
}

// Judgement is what the sources say of a pairing, and what it comes to.
type Judgement struct {
	Verdict  Verdict
	Section  Section // width, height, ratio, bead angle
	Findings []Finding
	// Why are the rules that made a No.
	Why []Rule
	// Round is set where the tyre bulbs over the rim more than is ridden: it
	// squirms at low pressure and wants a bit more air.
	Round bool
	// Square is set where the rim is wider than is ridden under the tyre: steep
	// sidewalls, exposed rim edges.
	Square bool
	// NeedsHooklessTyre is set on a hookless rim: only tubeless tyres marked for
	// straight-side rims may go on it, with a tube or without.
	NeedsHooklessTyre bool
	// AtLimit is set where a hookless minimum is only just met.
	AtLimit bool
}

// Judge says what sources hold of a tyre on a rim. Ratios take the computed
// mounted width; pair tables and hookless minima take the label.
//
// The verdict is Good inside what is ridden and listed; Usable where it mounts
// and rides but one source speaks against it and others for it, as what is
// ridden does of a mountain tyre no list or article has on that rim; Outside where
// no source covers it; No only where the bead seats differ, a hookless rule is
// broken (the stricter of two readings; a hookless rim also takes nothing that
// is Outside, since tables can't be stretched there; up to 25 mm of rim the
// minima themselves count as a source for), or the ratio leaves 1.25 to 2.5 by
// more than the computed width may be off (Section.WidthBand). It returns a *RangeError where SectionOf does, except that a rim too
// wide for the casing to reach over is a No.
func Judge(p Pairing) (Judgement, error) {
	if err := within("label", p.Label, NarrowestLabel, WidestLabel); err != nil {
		return Judgement{}, err
	}
	if err := within("rim", p.Rim, NarrowestRim, WidestRim); err != nil {
		return Judgement{}, err
	}
	for _, seat := range [...]quantity.Length{p.TyreSeat, p.RimSeat} {
		if seat != 0 {
			if err := within("bead seat", seat, SmallestSeat, LargestSeat); err != nil {
				return Judgement{}, err
			}
		}
	}
	j := Judgement{NeedsHooklessTyre: p.Bead == size.Hookless}
	s, err := SectionOf(p.Label, p.Rim)
	reaches := err == nil
	j.Section = s
	j.Section.Label, j.Section.Rim = p.Label, p.Rim
	ratio := s.Ratio()

	j.Findings = make([]Finding, 0, 11)
	find := func(f Finding) Says {
		j.Findings = append(j.Findings, f)
		return f.Says
	}

	if p.TyreSeat != 0 && p.RimSeat != 0 {
		differs := math.Abs((p.TyreSeat - p.RimSeat).MM()) > 0.5
		if find(Finding{Rule: SameDiameter, Says: forIf(!differs), Basis: diameterBasis}) == Against {
			j.Why = append(j.Why, SameDiameter)
		}
	}

	both, either, listed := pairRanges(p.Rim)
	pair := Finding{Rule: PairTable, Labels: both, Basis: pairBasis}
	if listed {
		switch {
		case both.Holds(p.Label):
			pair.Says = For
		case !either.Holds(p.Label):
			pair.Says = Against
		}
	}
	find(pair)

	newer := Finding{Rule: NewerPairs, Basis: newerBasis}
	switch {
	case millimetres(35, 40).Holds(p.Label):
		newer.Labels = millimetres(35, 40)
		newer.Says = forIf(millimetres(17, 27).Holds(p.Rim))
	case millimetres(50, 50).Holds(p.Label):
		newer.Labels = millimetres(50, 50)
		newer.Says = forIf(millimetres(17, 30).Holds(p.Rim))
	}
	find(newer)

	ratioSays := func(rule Rule, span Span, b basis.Basis) Says {
		return find(Finding{Rule: rule, Says: forIf(reaches && span.holds(ratio)), Ratios: span, Basis: b})
	}
	desired := ratioSays(DesirableRatio, desirable, desireBasis)
	ratioSays(BookRatio, book, bookBasis)
	// The computed width is true to WidthBand: a ratio that far above the limit is
	// not known to be beyond it.
	beyond := !reaches || ratio < outer.Low || float64((s.Width-s.WidthBand())/p.Rim) > outer.High
	if ratioSays(OuterRatio, outer, outerBasis) == Against && beyond {
		j.Why = append(j.Why, OuterRatio)
	}
	mountain := p.Label >= mountainFrom-slack && p.Label < fatFrom
	ridden := Silent
	if mountain {
		ridden = ratioSays(ModernRatio, modern, modernBasis)
	}

	row := ridingRow(p)
	find(row)

	rimSays := Finding{Rule: RimPractice, Basis: rimBasis}
	worksOnly := false
	if best, works, ok := rimPracticeFor(p.Rim); ok && mountain {
		rimSays.Labels = best
		if works != (Range{}) {
			rimSays.Labels = works
		}
		rimSays.Says = forIf(rimSays.Labels.Holds(p.Label))
		worksOnly = rimSays.Says == For && !best.Holds(p.Label)
	}
	find(rimSays)

	supported := row.Says == For
	if p.Bead == size.Hookless {
		if p.NotHookless {
			j.Why = append(j.Why, HooklessPlus5)
		}
		least := p.Rim + 5*mm
		plus5 := find(Finding{Rule: HooklessPlus5, Says: forIf(p.Label >= least-hair), Labels: Range{Low: least}, Basis: plus5Basis})
		at29 := Silent
		if math.Abs((p.Rim - 25*mm).MM()) <= 0.25 {
			at29 = find(Finding{Rule: Hookless29, Says: forIf(p.Label >= 29*mm-hair), Labels: Range{Low: 29 * mm}, Basis: hookless29})
		}
		if plus5 == Against {
			j.Why = append(j.Why, HooklessPlus5)
		}
		if at29 == Against {
			j.Why = append(j.Why, Hookless29)
		}
		j.AtLimit = plus5 == For && p.Label < least+1*mm
		// The minima were written for road rims up to 25 mm; there they speak
		// for a pairing the older lists for hooked rims don't have.
		supported = supported || plus5 == For && at29 != Against && newer.Says != Against && p.Rim <= 25*mm+hair
	}

	j.Round = ratio > modern.High
	j.Square = !reaches || ratio < desirable.Low || mountain && ratio < modern.Low

	// A standard's list outranks an article's band for a rim; only a stated
	// least label ("2.8 at least") can take a pairing outside by itself.
	listedFor := newer.Says == For || pair.Says == For
	tables := pair.Says == Against && newer.Says != For || newer.Says == Against
	band := rimSays.Says == Against && !listedFor
	least := rimSays.Says == Against && rimSays.Labels.High == 0
	inRange := desired
	if mountain {
		inRange = ridden
	}
	switch {
	case len(j.Why) > 0:
		j.Verdict = No
	case desired == For && inRange == For:
		// Inside the ratios. Lists may still be against, and narrow tyres need
		// one that is for them.
		disputed := pair.Says == Against && newer.Says == For
		switch {
		case tables && !supported && !mountain:
			j.Verdict = Outside
		case !supported && (tables || band || disputed || !mountain && !listedFor):
			j.Verdict = Usable
		case worksOnly && !(supported && p.Riding != 0), mountain && row.Says == Against && !listedFor && rimSays.Says != For:
			j.Verdict = Usable
		default:
			j.Verdict = Good
		}
	case supported:
		j.Verdict = Usable
	case ratio > outer.High: // by less than the width is known to
		j.Verdict = Outside
		if listedFor {
			j.Verdict = Usable
		}
	case mountain && ratio > modern.High:
		j.Verdict = Usable // rounder than is ridden, inside the outer limit
	case desired == For && !tables && !least && ratio >= book.Low:
		j.Verdict = Usable
	default:
		j.Verdict = Outside
	}
	if p.Bead == size.Hookless && j.Verdict == Outside {
		j.Verdict = No
		j.Why = append(j.Why, HooklessPlus5)
	}
	return j, nil
}

const (
	hair = 0.05 * mm // rounding of inches
	// mountainFrom is the label from which the habits of mountain riding speak;
	// practice articles begin at 2.1 in, gravel ends at 50 mm.
	mountainFrom = 47 * mm
)

func forIf(ok bool) Says {
	if ok {
		return For
	}
	return Against
}

// ridingRow is the finding of ByRiding: of the row the riding and label belong
// to, or of any row that has the pairing if no riding was said.
func ridingRow(p Pairing) Finding {
	f := Finding{Rule: RidingPractice, Basis: PracticeBasis}
	if k := KindFor(p.Riding, p.Label); k != 0 {
		row := practices[k-1]
		f.Kind, f.Labels = k, row.Tyres
		f.Says = forIf(row.Tyres.Holds(p.Label) && row.Rims.Holds(p.Rim))
		return f
	}
	covered := false
	for _, row := range practices {
		if row.Tyres.Holds(p.Label) {
			covered = true
			if row.Rims.Holds(p.Rim) {
				f.Kind, f.Labels, f.Says = row.Kind, row.Tyres, For
				return f
			}
		}
	}
	if covered {
		f.Says = Against
	}
	return f
}

// Suiting is which labels suit a rim, by source.
type Suiting struct {
	Rim quantity.Length
	// Best and Works are the labels trade articles name for the rim; zero where
	// none names it. Works may lack an upper end.
	Best, Works Range
	// Ridden are the mountain labels (47 to 84 mm) whose computed width stands
	// at 1.7–2.3 times the rim, Desirable and Outer all labels at 1.4–2.4 and
	// 1.25–2.5 times, inside the model's labels; a zero range means no label does.
	Ridden, Desirable, Outer Range
	// OuterWidths is 1.25 to 2.5 times the rim: widths, not labels.
	OuterWidths Range
	// Pairs is the 2006 pair table's row; zero where it has none.
	Pairs Range
	// OldRule is the label an old standard text pairs with the rim: rim = 65 %
	// of the width below 30 mm, 55 % above. Practice has moved wider.
	OldRule quantity.Length
	// Kinds are the ridings whose practice takes rims of this width.
	Kinds []Practice
}

// Suits returns which labels suit a rim of an inner width. It returns a
// *RangeError outside NarrowestRim to 110 mm.
func Suits(rim quantity.Length) (Suiting, error) {
	if err := within("rim", rim, NarrowestRim, WidestRim); err != nil {
		return Suiting{}, err
	}
	s := Suiting{Rim: rim, OuterWidths: Range{rim * quantity.Length(outer.Low), rim * quantity.Length(outer.High)}}
	if best, works, ok := rimPracticeFor(rim); ok {
		s.Best, s.Works = best, works
	}
	s.Ridden, s.Desirable, s.Outer = labelsAt(rim, modern), labelsAt(rim, desirable), labelsAt(rim, outer)
	s.Ridden = Range{max(s.Ridden.Low, mountainFrom), min(s.Ridden.High, fatFrom)}
	if s.Ridden.empty() {
		s.Ridden = Range{}
	}
	if both, _, ok := pairRanges(rim); ok && !both.empty() {
		s.Pairs = both
	}
	s.OldRule = rim / 0.65
	if s.OldRule >= 30*mm {
		s.OldRule = rim / 0.55
	}
	for _, row := range practices {
		if row.Rims.Holds(rim) {
			s.Kinds = append(s.Kinds, row)
		}
	}
	return s, nil
}

// labelsAt returns the labels whose mounted width on the rim stands in the
// span; widths grow strictly with the label, so there is one at each end.
func labelsAt(rim quantity.Length, span Span) Range {
	// At a ratio q the casing is known: S = W(π − asin(1/q)) with W = q·b.
	casing := func(q float64) quantity.Length {
		return rim * quantity.Length(q*(math.Pi-math.Asin(1/q)))
	}
	least, most := casing(span.Low), casing(span.High)
	if least > casingOf(WidestLabel) || most < casingOf(NarrowestLabel) {
		return Range{} // even the widest label is too narrow, or the narrowest too wide
	}
	return Range{labelOf(least), labelOf(most)}
}

func casingOf(label quantity.Length) quantity.Length { return CasingOn(label, MeasuringRim(label)) }

// labelOf returns the label with a casing length, or the end of the range
// nearest to it.
func labelOf(casing quantity.Length) quantity.Length {
	lo, hi := quantity.Length(NarrowestLabel), quantity.Length(WidestLabel)
	switch {
	case casing <= casingOf(lo):
		return lo
	case casing >= casingOf(hi):
		return hi
	}
	for range 40 { // to 1e-13 m
		mid := (lo + hi) / 2
		if casingOf(mid) < casing {
			lo = mid
		} else {
			hi = mid
		}
	}
	return hi
}

// RimSuiting is which rims suit a label.
type RimSuiting struct {
	Label quantity.Length
	// Table is the measuring rim the industry standard prints for the label.
	Table quantity.Length
	// Ridden are the rims under which a mountain label's (47 to 84 mm) computed
	// width stands at 1.7–2.3 times the inner width, zero for other labels;
	// Desirable and Outer those for 1.4–2.4 and 1.25–2.5 times. All within
	// NarrowestRim to WidestRim.
	Ridden, Desirable, Outer Range
	// Pairs are the narrowest and widest rim in the 2006 pair table that list
	// the label; zero where none does.
	Pairs Range
	// Kinds are the ridings whose practice has this label.
	Kinds []Practice
}

// RimsFor returns which inner widths suit a label. It returns a *RangeError
// for labels outside NarrowestLabel to WidestLabel.
func RimsFor(label quantity.Length) (RimSuiting, error) {
	table, err := TableRim(label)
	if err != nil {
		return RimSuiting{}, err
	}
	s := RimSuiting{Label: label, Table: table}
	casing := casingOf(label)
	// At a ratio q the section is known: S = W(π − asin(1/q)), b = W/q.
	rims := func(span Span) Range {
		at := func(q float64) quantity.Length {
			return casing / quantity.Length(q*(math.Pi-math.Asin(1/q)))
		}
		return Range{max(at(span.High), NarrowestRim), min(at(span.Low), WidestRim)}
	}
	s.Desirable, s.Outer = rims(desirable), rims(outer)
	if label >= mountainFrom && label < fatFrom {
		s.Ridden = rims(modern)
	}
	for _, row := range pairs {
		if millimetres(row.low, row.high).Holds(label) {
			rim := quantity.Length(row.rim) * mm
			if s.Pairs.Low == 0 {
				s.Pairs.Low = rim
			}
			s.Pairs.High = rim
		}
	}
	for _, row := range practices {
		if row.Tyres.Holds(label) {
			s.Kinds = append(s.Kinds, row)
		}
	}
	return s, nil
}
