package tyre_test

import (
	"fmt"

	"spokeword/calc/quantity"
	"spokeword/calc/tyre"
)

const mm = quantity.Millimetre

func ExampleMount() {
	m, err := tyre.Mount(61*mm, 622*mm, 30*mm)
	if err != nil {
		panic(err)
	}
	fmt.Println("width", m.Width, "height", m.Height, "volume", m.Volume)
	// Output: width 61.09 mm height 57.16 mm volume 6.296 l
}

func ExampleJudge() {
	j, err := tyre.Judge(tyre.Pairing{Label: 2.5 * quantity.Inch, Rim: 25 * mm})
	if err != nil {
		panic(err)
	}
	fmt.Println(j.Verdict, j.Section.Width, "rounder than is ridden:", j.Round)
	for _, f := range j.Findings {
		if f.Rule == tyre.OuterRatio || f.Rule == tyre.ModernRatio {
			fmt.Println(f.Basis, "-", f.Says)
		}
	}
	// Output:
	// usable 61.23 mm rounder than is ridden: true
	// article: magazine workshop column, 1.25 to 2.5 times the inner width are the outer limits - for
	// common practice, no source: mountain tyres are ridden at 1.7 to 2.3 times the inner width - against
}

func ExampleStartFor() {
	m, err := tyre.Mount(61*mm, 622*mm, 30*mm)
	if err != nil {
		panic(err)
	}
	w := tyre.Wheel{Tyre: m, Limits: tyre.Limits{TyreMax: 3.5 * quantity.Bar}}
	s, err := tyre.StartFor(tyre.Setup{Rider: 80, Bike: 17, Front: w, Rear: w, Riding: tyre.Trail})
	if err != nil {
		panic(err)
	}
	fmt.Println("front", s.Front.Pressure, "rear", s.Rear.Pressure, "at most", s.Rear.Max.Pressure)
	// Output: front 1.579 bar rear 1.724 bar at most 3.5 bar
}

func ExampleMounted_Press() {
	m, err := tyre.Mount(61*mm, 622*mm, 30*mm)
	if err != nil {
		panic(err)
	}
	p, err := m.Press(40, 1.4*quantity.Bar)
	if err != nil {
		panic(err)
	}
	fmt.Println("down by", p.Depth, "which is", p.Drop)
	// Output: down by 11.26 mm which is 19.7 %
}

func ExampleClear() {
	c, err := tyre.Clear(70*mm, 61*mm)
	if err != nil {
		panic(err)
	}
	fmt.Println(c.Side, "on each side, enough by the general rule:", c.Other)
	// Output: 4.5 mm on each side, enough by the general rule: false
}

func ExampleApply() {
	own := tyre.Own{
		Front: tyre.OwnWheel{Pressure: 22 * quantity.PSI, Load: 46},
		Rear:  tyre.OwnWheel{Pressure: 25 * quantity.PSI, Load: 51},
	}
	c, err := tyre.Apply(own, []tyre.Change{{Kind: tyre.Wet}, {Kind: tyre.AddedLoad, Load: 6, End: tyre.Rear}})
	if err != nil {
		panic(err)
	}
	fmt.Println("front", c.Front.Before, "now", c.Front.Pressure)
	for _, d := range c.Rear.Deltas {
		fmt.Println("rear", d.Kind, d.Likely, "-", d.Basis.Kind)
	}
	fmt.Println("rear now", c.Rear.Pressure)
	// Output:
	// front 1.517 bar now 1.413 bar
	// rear load 0.203 bar - computed
	// rear wet -0.103 bar - common practice, no source
	// rear now 1.823 bar
}
