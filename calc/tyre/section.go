// Package tyre holds the models of a tyre on a rim: the inflated section, what
// sources say about the pairing, clearance, and the load a tyre carries at a
// pressure, from which start pressures follow.
//
// All models rest on one picture: a casing of fixed length S between the two
// beads, which stands over the rim's inner width as an arc of a circle, and
// flattens on the ground without stretching. Real casings are stiffer than that
// (knobs, rubber, bias of the threads), so results are starting points.
package tyre

import (
	"fmt"
	"math"

	"spokeword/calc/basis"
	"spokeword/calc/quantity"
)

const mm = quantity.Millimetre

// Ranges of the models.
const (
	// NarrowestLabel and WidestLabel are the label widths the table of measuring
	// rims covers.
	NarrowestLabel = 18 * mm
	WidestLabel    = 132 * mm
	// NarrowestRim and WidestRim, inner widths, keep nonsense out: the narrowest
	// rim of the tables is 13 mm, the widest fat rims are about 105.
	NarrowestRim = 10 * mm
	WidestRim    = 110 * mm
	// SmallestSeat and LargestSeat are the smallest and largest diameters sold.
	SmallestSeat = 137 * mm
	LargestSeat  = 787 * mm
)

// RangeError is a quantity outside the range of a model.
type RangeError = quantity.RangeError

// within returns a *RangeError unless got lies in min to max. NaN never does.
func within[T interface {
	~float64
	fmt.Stringer
}](what string, got, min, max T) error {
	return quantity.Within(what, got, min, max)
}

// Section is a tyre's inflated cross-section on a rim, without its diameter.
type Section struct {
	Label  quantity.Length // nominal width, as marked
	Rim    quantity.Length // rim inner width, the chord of the arc
	Casing quantity.Length // length of the casing from bead to bead
	Width  quantity.Length // mounted width, the diameter of the arc
	Height quantity.Length // height of the arc above the chord
}

// SectionBasis is what the section model rests on.
var SectionBasis = basis.Basis{Kind: basis.Computed, Source: "circular arc over the rim, casing length from the label's measuring rim", Says: "labels are true to about 3 mm"}

// SectionOf returns the section of a tyre of a label width on a rim of an
// inner width: the casing keeps its length
//
//	S = W (π − asin(b/W))
//
// which it has at the label width on the label's measuring rim (MeasuringRim),
// and W follows for the rim at hand. Height is r + √(r² − b²/4) with r = W/2.
// Labels hold within ± 3 mm (ISO 5775-1 as quoted in trade articles) and grow
// 1–2 mm in use, so Width is good to about WidthBand.
//
// It returns a *RangeError for labels outside NarrowestLabel to WidestLabel and
// for rims outside NarrowestRim to WidestRim or too wide for the casing to stand
// over as an arc: the rim must stay below 2S/π.
func SectionOf(label, rim quantity.Length) (Section, error) {
	if err := within("label", label, NarrowestLabel, WidestLabel); err != nil {
		return Section{}, err
	}
	s := CasingOn(label, MeasuringRim(label))
	return sectionOf(label, s, rim)
}

// SectionMeasured returns the section of a tyre that was measured, over the
// casing, to be as wide as width on a rim of an inner width. Its Label is the
// measured width; its casing is what stands so on that rim, and may be mounted
// on another with WidthOf. It returns a *RangeError for widths outside
// NarrowestLabel to WidestLabel and rims SectionOf would refuse or that are
// wider than the tyre.
func SectionMeasured(width, rim quantity.Length) (Section, error) {
	if err := within("tyre width", width, NarrowestLabel, WidestLabel); err != nil {
		return Section{}, err
	}
	if err := within("rim", rim, NarrowestRim, min(width, WidestRim)); err != nil {
		return Section{}, err
	}
	return sectionOf(width, CasingOn(width, rim), rim)
}

func sectionOf(label, casing, rim quantity.Length) (Section, error) {
	w, err := WidthOf(casing, rim)
	if err != nil {
		return Section{}, err
	}
	r, half := float64(w)/2, float64(rim)/2
	return Section{
		Label: label, Rim: rim, Casing: casing, Width: w,
		Height: quantity.Length(r + math.Sqrt(math.Max(0, r*r-half*half))),
	}, nil
}

// CasingOn returns the casing length of a tyre that is as wide as width on a
// rim of inner width rim: S = W (π − asin(b/W)). It is 0 unless 0 < rim <=
// width.
func CasingOn(width, rim quantity.Length) quantity.Length {
	if !(rim > 0 && rim <= width) || !quantity.Finite(width) {
		return 0
	}
	return width * quantity.Length(math.Pi-math.Asin(float64(rim/width)))
}

// WidthOf returns the inflated width of a casing on a rim of inner width rim,
// the inverse of CasingOn. It returns a *RangeError unless the rim lies in
// NarrowestRim to WidestRim and below 2S/π, from where on the section would be
// a half circle and less.
func WidthOf(casing, rim quantity.Length) (quantity.Length, error) {
	if !(casing > 0) || !quantity.Finite(casing) {
		return 0, &RangeError{Quantity: "casing", Got: casing, Min: 2 * NarrowestLabel, Max: 3 * WidestLabel}
	}
	widest := casing * 2 / math.Pi
	if !(rim >= NarrowestRim && rim <= WidestRim && rim < widest) {
		return 0, &RangeError{Quantity: "rim", Got: rim, Min: NarrowestRim, Max: min(widest, WidestRim)}
	}
	// f(W) = W(π − asin(b/W)) − S rises and is concave, so Newton from below
	// climbs to the root without passing it; bisection takes over where a step
	// would leave the bracket, which happens only close to 2S/π.
	s, b := float64(casing), float64(rim)
	lo, hi := math.Max(b, s/math.Pi), s*2/math.Pi
	w := s / math.Pi
	if w <= b {
		w = (lo + hi) / 2 // the slope is infinite at W = b
	}
	for range 100 {
		u := math.Min(1, b/w)
		f := w*(math.Pi-math.Asin(u)) - s
		if f < 0 {
			lo = w
		} else {
			hi = w
		}
		next := w - f/(math.Pi-math.Asin(u)+u/math.Sqrt(1-u*u))
		if !(next >= lo && next <= hi) {
			next = (lo + hi) / 2
		}
		if math.Abs(next-w) <= 1e-15*w {
			return quantity.Length(next), nil
		}
		w = next
	}
	return quantity.Length(w), nil
}

// measuringRims is the table of measuring rims in mm: labels from `from` up to
// the next row's are measured on `rim`.
//
// Source: the 2020 state of the industry standard, as reproduced in a trade
// article; whole millimetres.
var measuringRims = [...]struct{ from, to, rim float64 }{
	{18, 21, 15}, {22, 24, 17}, {25, 28, 19}, {29, 34, 21}, {35, 46, 23}, {47, 57, 25},
	{58, 65, 30}, {66, 71, 35}, {72, 83, 45}, {84, 113, 76}, {114, 132, 94},
}

// TableRim returns the measuring rim of a label as the published table has it,
// in steps; the label is rounded to whole millimetres first. It returns a
// *RangeError outside NarrowestLabel to WidestLabel.
//
// Source: the 2020 state of the industry standard, as reproduced in a trade
// article.
func TableRim(label quantity.Length) (quantity.Length, error) {
	if err := within("label", label, NarrowestLabel, WidestLabel); err != nil {
		return 0, err
	}
	whole := math.Round(label.MM())
	for _, row := range measuringRims {
		if whole <= row.to {
			return quantity.Length(row.rim) * mm, nil
		}
	}
	return 0, &RangeError{Quantity: "label", Got: label, Min: NarrowestLabel, Max: WidestLabel}
}

// MeasuringRim returns the rim on which the model takes a label to be true. It
// is the published table interpolated between the middles of its bands and
// constant outside them: the table's steps themselves would make a 58 label
// narrower than a 57 on one and the same rim, and 84 narrower than 83 by 14 mm;
// this way the mounted width grows strictly with the label.
func MeasuringRim(label quantity.Length) quantity.Length {
	at := label.MM()
	middle := func(i int) float64 { return (measuringRims[i].from + measuringRims[i].to) / 2 }
	if !(at > middle(0)) {
		return quantity.Length(measuringRims[0].rim) * mm
	}
	for i := 1; i < len(measuringRims); i++ {
		if hi := middle(i); at <= hi {
			lo := middle(i - 1)
			a, b := measuringRims[i-1].rim, measuringRims[i].rim
			return quantity.Length(a+(b-a)*(at-lo)/(hi-lo)) * mm
		}
	}
	return quantity.Length(measuringRims[len(measuringRims)-1].rim) * mm
}

// Ratio returns mounted width over rim inner width, the number fit rules use.
func (s Section) Ratio() float64 {
	if s.Rim == 0 {
		return 0
	}
	return float64(s.Width / s.Rim)
}

// Alpha returns asin(b/W): the half angle the rim's chord takes of the circle.
func (s Section) alpha() float64 {
	if s.Width == 0 {
		return 0
	}
	return math.Asin(math.Min(1, float64(s.Rim/s.Width)))
}

// BeadAngle returns the angle between sidewall and rim wall at the bead, 90° −
// asin(b/W). The larger, the more the tyre bulbs over the rim, rolls over and
// burps; a wider rim squares it.
func (s Section) BeadAngle() quantity.Angle { return quantity.Angle(math.Pi/2 - s.alpha()) }

// PerRim returns dW/db, how much the tyre widens with the rim, in mm per mm:
//
//	dW/db = 1 / ((π − α) cos α + sin α), α = asin(b/W)
//
// 0.36 for 61 on 30 to 0.41 for 28 on 19; the trade's rule is 0.4.
func (s Section) PerRim() float64 {
	a := s.alpha()
	return 1 / ((math.Pi-a)*math.Cos(a) + math.Sin(a))
}

// narrow is the label below which widths hold closer: road and gravel casings.
const narrow = 45 * mm

// WidthBand returns how far a label's real width may lie from the computed one:
// ± 2 mm, ± 1 mm on labels below 45 mm. The label's own tolerance is ± 3 mm and
// tyres grow 1–2 mm in use (trade articles); the narrower band is what is met
// in practice.
func (s Section) WidthBand() quantity.Length {
	if s.Label < narrow {
		return 1 * mm
	}
	return 2 * mm
}

// Mounted is a tyre on a rim of a diameter.
type Mounted struct {
	Section
	Seat    quantity.Length // bead seat diameter
	Outside quantity.Length // nominal outside diameter, seat + 2 × label, as tables quote
	Volume  quantity.Volume // inner volume, inflated
}

// wellDepth is the depth of a rim's well below the bead seats, mean over the
// inner width. Assumption.
const wellDepth = 4 * mm

// Mount returns a tyre of a label width, on a bead seat diameter, mounted on a
// rim of an inner width. It returns what SectionOf does, and a *RangeError for
// diameters outside SmallestSeat to LargestSeat.
//
// Volume is the arc's area above the chord plus a well of 4 mm over the inner
// width (assumption), carried round at its centroid (Pappus).
func Mount(label, seat, rim quantity.Length) (Mounted, error) {
	s, err := SectionOf(label, rim)
	if err != nil {
		return Mounted{}, err
	}
	return MountSection(s, seat)
}

// MountSection puts a section on a bead seat diameter; for a tyre whose casing
// is known otherwise than by its label. See Mount.
func MountSection(s Section, seat quantity.Length) (Mounted, error) {
	if err := within("bead seat", seat, SmallestSeat, LargestSeat); err != nil {
		return Mounted{}, err
	}
	if !(s.Rim >= NarrowestRim && s.Width >= s.Rim && s.Height > 0) || !quantity.Finite(s.Label, s.Rim, s.Casing, s.Width, s.Height) {
		return Mounted{}, &RangeError{Quantity: "rim", Got: s.Rim, Min: NarrowestRim, Max: s.Width}
	}
	b, r := float64(s.Rim), float64(s.Width)/2
	d := float64(s.Height) - r // centre of the arc above the chord
	arc := r*r*(math.Pi-s.alpha()) + b/2*d
	well := b * float64(wellDepth)
	// Moments about the chord; the far part of a circle cut by a chord has its
	// centroid b³/12A beyond the centre.
	moment := arc*d + b*b*b/12 - well*float64(wellDepth)/2
	volume := 2 * math.Pi * (float64(seat)/2*(arc+well) + moment)
	return Mounted{
		Section: s, Seat: seat,
		Outside: seat + 2*s.Label,
		Volume:  quantity.Volume(volume),
	}, nil
}

// InnerSurface returns the area of the casing's inner side, which sealant wets:
// the arc carried round at its own centroid (Pappus), which lies b/2φ beyond the
// arc's centre, b the rim's inner width and φ half the angle of the arc. The
// rim's bed is left out. As good as the section, a few per cent.
func (m Mounted) InnerSurface() quantity.Area {
	r := float64(m.Width) / 2
	phi := math.Pi - m.alpha()
	centroid := float64(m.Height) - r + float64(m.Rim)/2/phi
	return quantity.Area(2 * math.Pi * (float64(m.Seat)/2 + centroid) * 2 * r * phi)
}

// CasingOutside returns the outside diameter over the casing, seat + 2 ×
// height. Tread or knobs add 2.5 to 5 mm on the radius (assumption).
func (m Mounted) CasingOutside() quantity.Length { return m.Seat + 2*m.Height }
