package wheel

import (
	"fmt"
	"math"

	"spokeword/calc/basis"
	"spokeword/calc/quantity"
)

// Section is how stiff a rim's section is.
type Section struct {
	Stretch                quantity.Force    // E·A, 1e5 N to 1e8 N
	Radial, Lateral, Twist quantity.Rigidity // E·I in and out of the wheel's plane, G·J; 0.1 N·m² to 1e5 N·m²
}

// Validate returns a *quantity.RangeError for a section that no rim has.
func (s Section) Validate() error {
	if err := quantity.Within("stretch", s.Stretch, 1e5, 1e8); err != nil {
		return err
	}
	for _, r := range []struct {
		what string
		v    quantity.Rigidity
	}{{"radial rigidity", s.Radial}, {"lateral rigidity", s.Lateral}, {"twist rigidity", s.Twist}} {
		if err := quantity.Within(r.what, r.v, 0.1, 1e5); err != nil {
			return err
		}
	}
	return nil
}

// Measured is the section of a narrow alloy rim of 622 mm that was measured: 104
// mm² of 69 GPa (Ford, dissertation, Northwestern University 2018).
func Measured() Section {
	return Section{Stretch: 7.176e6, Radial: 111, Lateral: 219, Twist: 26.3}
}

// Material is what a rim is made of.
type Material uint8

// The materials.
const (
	Alloy Material = iota
	Carbon
)

// String names the material.
func (m Material) String() string { return [...]string{"alloy", "carbon"}[min(m, Carbon)] }

// material holds Young's modulus, shear modulus, density, and the usual wall.
// Alloy is that of aluminium 6061 as handbooks print it (70 GPa, 26 GPa,
// 2700 kg/m³); carbon is an evenly laid laminate, from memory (55 GPa, 21 GPa,
// 1550 kg/m³; maker's layups differ by half). The walls are common practice
// without a source.
var materials = [...]struct {
	young, shear, density float64 // Pa, Pa, kg/m³
	wall                  quantity.Length
}{
	Alloy:  {70e9, 26e9, 2700, 1.2 * quantity.Millimetre},
	Carbon: {55e9, 21e9, 1550, 1.8 * quantity.Millimetre},
}

// Depth is how deep a rim is.
type Depth uint8

// The depths. Their measures are common practice without a source.
const (
	Mid     Depth = iota // 19 mm deep, of which the box is 13 mm
	Shallow              // 16 mm and 10 mm
	Deep                 // 35 mm and 29 mm
)

// String names the depth.
func (d Depth) String() string { return [...]string{"mid", "shallow", "deep"}[min(d, Deep)] }

var depths = [...]struct{ box, whole quantity.Length }{
	Mid:     {13 * quantity.Millimetre, 19 * quantity.Millimetre},
	Shallow: {10 * quantity.Millimetre, 16 * quantity.Millimetre},
	Deep:    {29 * quantity.Millimetre, 35 * quantity.Millimetre},
}

// Profile is a generic rim: a closed box with two hooks on it.
type Profile struct {
	Inner    quantity.Length // inner width, 15 mm to 60 mm
	Depth    Depth
	Material Material
	Wall     quantity.Length // 0.6 mm to 4 mm; 0: the material's usual one
	// Box and Whole are the depths of the box and of the rim, 6 mm to 90 mm;
	// 0: those of Depth.
	Box, Whole quantity.Length
}

// ProfileBasis is what Profile.Estimate rests on.
var ProfileBasis = basis.Basis{
	Kind: basis.Assumption,
	Says: "box-and-hooks estimate of a generic rim, ± 30 %; ratios between rims are better than that, absolute figures are not",
}

// Estimate is what a profile comes to, good to ± 30 % and meant for ratios.
type Estimate struct {
	Section  Section
	Area     quantity.Area
	Centroid quantity.Length // middle of the section outside the spoke ends
	Density  float64         // kg/m³
}

const (
	// widthOver is how much wider a rim is outside than inside (trade articles,
	// alloy; ± 1 mm).
	widthOver = 5 * quantity.Millimetre
	// hookOver is how thick a hook is for a wall of 1, an assumption.
	hookOver = 1.25
	// aboveFloor is how far the spoke ends lie above the rim's inner wall, an
	// assumption: the head of the nipple up to its slot.
	aboveFloor = 2 * quantity.Millimetre
	// What of the closed form was left of a rim that was measured (111, 219 and
	// 26 N·m² at 104 mm²; Ford, dissertation, Northwestern University 2018):
	// real walls are thinner where they count for side and twist, and have holes.
	radialShare, lateralShare, twistShare = 1.0, 0.65, 0.55
)

// Estimate returns the section of a generic rim: with the mid-lines a wide and
// c high of the box, wall t,
//
//	A = 2t(a+c)   I_radial = tc³/6 + atc²/2   I_lateral = ta³/6 + cta²/2
//	J = 2ta²c²/(a+c)   (Bredt)
//
// to which the hooks add A and both I, taken about the common middle, and
// nothing to J. The result is multiplied by the shares of a measured rim. It
// returns a *quantity.RangeError for a profile that no rim has.
func (p Profile) Estimate() (Estimate, error) {
	const mm = quantity.Millimetre
	mat := materials[min(p.Material, Carbon)]
	wall := p.Wall
	if wall == 0 {
		wall = mat.wall
	}
	box, whole := p.deep()
	for _, r := range []struct {
		what        string
		v, min, max quantity.Length
	}{
		{"inner width", p.Inner, 15 * mm, 60 * mm},
		{"wall", wall, leastWall, mostWall},
		{"box", box, 6 * mm, 90 * mm},
		{"depth", whole, box, box + 15*mm},
	} {
		if err := quantity.Within(r.what, r.v, r.min, r.max); err != nil {
			return Estimate{}, err
		}
	}
	t := float64(wall)
	a, c := float64(p.Inner+widthOver)-t, float64(box)-t
	area := 2 * t * (a + c)
	radial := t*c*c*c/6 + a*t*c*c/2
	lateral := t*a*a*a/6 + c*t*a*a/2
	twisting := 2 * t * a * a * c * c / (a + c)

	high := float64(whole - box)
	hooks := 2 * hookOver * t * high
	apart := float64(box)/2 + high/2
	radial += hooks*high*high/12 + area*hooks/(area+hooks)*apart*apart
	lateral += hooks * a * a / 4
	middle := float64(box)/2 + hooks/(area+hooks)*apart
	area += hooks

	return Estimate{
		Section: Section{
			Stretch: quantity.Force(mat.young * area),
			Radial:  quantity.Rigidity(radialShare * mat.young * radial),
			Lateral: quantity.Rigidity(lateralShare * mat.young * lateral),
			Twist:   quantity.Rigidity(twistShare * mat.shear * twisting),
		},
		Area:     quantity.Area(area),
		Centroid: quantity.Length(middle) - wall - aboveFloor,
		Density:  mat.density,
	}, nil
}

// Bounds of Profile.Wall.
const leastWall, mostWall = 0.6 * quantity.Millimetre, 4 * quantity.Millimetre

// deep returns the depth of the box and of the rim.
func (p Profile) deep() (box, whole quantity.Length) {
	depth := depths[min(p.Depth, Deep)]
	box, whole = p.Box, p.Whole
	if box == 0 {
		box = depth.box
	}
	if whole == 0 {
		whole = box + depth.whole - depth.box
	}
	return box, whole
}

// Weighing is Estimate with the wall that makes a rim, the middle of whose
// section has the given radius, weigh so much: with width w, box c and hooks h
// high,
//
//	A = 2t(w + c + 1.25h) − 4t²
//
// It returns an error with what such a rim may weigh where no wall of 0.6 mm to
// 4 mm does.
func (p Profile) Weighing(m quantity.Mass, radius quantity.Length) (Estimate, error) {
	p.Wall = 0
	if _, err := p.Estimate(); err != nil {
		return Estimate{}, err
	}
	box, whole := p.deep()
	sum := float64(p.Inner+widthOver) + float64(box) + hookOver*float64(whole-box)
	each := materials[min(p.Material, Carbon)].density * 2 * math.Pi * float64(radius) // kg per m²
	area := float64(m) / each
	of := func(wall quantity.Length) quantity.Mass {
		t := float64(wall)
		return quantity.Mass(each * (2*t*sum - 4*t*t))
	}
	root := sum*sum - 4*area
	if !quantity.Finite(m) || root < 0 {
		root = 0
	}
	// A bound above which t no longer rises with the mass lies beyond mostWall.
	p.Wall = quantity.Length((sum - math.Sqrt(root)) / 4)
	if !(p.Wall >= leastWall && p.Wall <= mostWall) {
		return Estimate{}, fmt.Errorf("%s rim of %s inner width, mass %v: want %v to %v", p.Material, p.Inner, m, of(leastWall), of(mostWall))
	}
	return p.Estimate()
}
