package commands

import (
	"fmt"
	"testing"

	"github.com/stretchr/testify/assert"
)

// TestWorkshopLines: what a shop types of wheels, read whole.
func TestWorkshopLines(t *testing.T) {
	r := newReader(t)
	for line, want := range map[string]string{
		// a count of spokes is no wheel's size, no points of a freehub and no rim
		"28 or 32 spokes for 100 kg":                             `wheel holes:"28, 32" rider:"100 kg"`,
		"32 v 36 spokes for a 110kg rider":                       `wheel holes:"32, 36" rider:"110 kg"`,
		"24 or 28 spokes for 55kg":                               `wheel holes:"24, 28" rider:"55 kg"`,
		"32 spokes for 100 kg":                                   `plan rider:"100 kg"`,
		"spokes for a 29er 100kg":                                `plan rider:"100 kg" wheels:29`,
		"lacing 32h 3/0":                                         `lacing holes:32 cross:"3/0"`,
		"lacing 32 holes 0/3 rear":                               `lacing holes:32 cross:"0/3" end:rear`,
		"lacing 32h 3 left 0 right":                              `lacing holes:32 cross:"3/0"`,
		"wheel rims 25 mm or 30 mm":                              `wheel inners:"25 mm, 30 mm"`,
		"wheel rim 25, 30":                                       `wheel inners:"25 mm, 30 mm"`,
		"wheel rims 480 g or 520 g":                              `wheel rimmass:"480 g, 520 g"`,
		"compare 25mm rim 430g vs 30mm rim 480g":                 `wheel inners:"25 mm, 30 mm" rimmass:"430 g, 480 g"`,
		"wheel alloy 500 g or carbon 420 g":                      `wheel material:"alloy, carbon" rimmass:"500 g, 420 g"`,
		"wheel 28 or 32 spokes, rim weighs 480":                  `wheel holes:"28, 32" rimmass:"480 g"`,
		"wheel 28 vs 32 EI 110/219 GJ 26":                        `wheel holes:"28, 32" stiffness:"EI 110/219 GJ 26"`,
		"wheel EI 110/219 GJ 26 or EI 130/240 GJ 33":             `wheel stiffness:"EI 110/219 GJ 26, EI 130/240 GJ 33"`,
		"wheel 2.0/2.0 vs 2.0/1.8 spokes":                        `wheel wires:"2.0/2.0/2.0 mm, 2.0/1.8/2.0 mm"`,
		"my rim weighs 520g 28 or 32 spokes?":                    `wheel holes:"28, 32" rimmass:"520 g"`,
		"disc side 105 98 110 87 101 99 kgf front":               `tension readings:"L 105 98 110 87 101 99" unit:kgf end:front`,
		"cassette side 105 98 110 87 101 99 kgf":                 `tension readings:"R 105 98 110 87 101 99" unit:kgf`,
		"how tight can i go rim says 120 kgf":                    `tension mark:"120 kgf"`,
		"L 52 55 49 60 R 110 104 98 115 rim max 120":             `tension readings:"L 52 55 49 60; R 110 104 98 115" mark:"120 kgf"`,
		"tension 36/21 rim max 1200 N":                           `tension offset:"36 mm/21 mm" mark:"1200 N"`,
		"tone 430 450 410 445 1.8 spoke 280mm":                   `tension tone:"430 450 410 445" length:"280 mm" gauge:"1.8/1.8/1.8 mm"`,
		"true 32h L 60 58 64 R 100 98 104 wobble 0.8 right at 5": `true side:"0.8 mm right at 5" readings:"L 60 58 64; R 100 98 104" holes:32`,
		"142 vs 148 hub stiffness":                               `wheel hubs:"142, 148"`,
		"how much tension does a tyre take off":                  "symptom what:tension-drop",
		"alloy vs carbon rim 480g and 420g":                      `wheel material:"alloy, carbon" rimmass:"480 g, 420 g"`,
		"wheel shallow or deep rim 28 spokes":                    `wheel holes:28 section:"shallow, deep"`,
		"my wheel makes a noise":                                 "symptom what:wheel-noise",
		"wheel makes a noise":                                    "symptom what:wheel-noise",
		"my back wheel is noisy":                                 "symptom what:wheel-noise",
		"the rear wheel clicks":                                  "symptom what:clicking-spokes",
	} {
		got := r.Read(line, nil)
		assert.Equal(t, want, told(got), line)
	}
}

// TestUsualFlangesAreThoseOfTheEnd: a front wheel is not judged by a rear hub.
func TestUsualFlangesAreThoseOfTheEnd(t *testing.T) {
	for line, flanges := range map[string]string{
		"tension L 100 98 104 96 R 70 72 69 71 kgf front disc":        "flanges 24/34 mm",
		"tension L 100 98 104 96 R 100 98 97 103 kgf front rim brake": "flanges 36/36 mm",
		"tension L 60 58 64 56 R 100 98 97 103 kgf":                   "flanges 36/21 mm",
		"true wobble 0.8 right at 5 front disc":                       "flanges 24/34 mm",
	} {
		assert.Contains(t, fmt.Sprint(asked(t, line).Assumed), flanges, line)
	}
}
