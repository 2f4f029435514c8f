package commands

import (
	"testing"

	"github.com/stretchr/testify/assert"
)

// TestPhrases holds single turns of speech of the trade that were once misread:
// what is said for one thing must not become another.
func TestPhrases(t *testing.T) {
	r := newReader(t)
	for line, want := range map[string]string{
		"rim outer width 34 with 2.4 tyre":                         `fit tyre:"2.4 in" outer:"34 mm"`,
		"outside of the rim 34mm tyre 2.4":                         `fit tyre:"2.4 in" outer:"34 mm"`,
		"28mm road tyre 21mm rim":                                  `fit tyre:"28 mm" rim:"21 mm" riding:road`,
		"28mm road tyre on a 21mm rim":                             `fit tyre:"28 mm" rim:"21 mm" riding:road`,
		"felge 17c reifen 28mm":                                    `fit tyre:"28 mm" rim:"17 mm"`,
		"19c rim and 35mm tyre ok":                                 `fit tyre:"35 mm" rim:"19 mm"`,
		"flange to flange 57 erd 600 58/58 32h 3x":                 `spokes erd:"600 mm" circle:"58 mm/58 mm" holes:32 cross:3`,
		"erd 600 58/58 36/21 32h 3x top of the nipple washers 1mm": `spokes erd:"600 mm" circle:"58 mm/58 mm" offset:"36 mm/21 mm" holes:32 cross:3 washer:"1 mm" erdkind:top`,
		"29 2.5 f 2.4 r 82kg":                                      `pressure rider:"82 kg" tyre:"29x2.5/29x2.4"`,
		"29x2.5 f 2.4 r 82kg":                                      `pressure rider:"82 kg" tyre:"29x2.5/29x2.4"`,
		"80kg stoker 60kg tandem 29x2.4":                           `pressure rider:"80 kg" tyre:29x2.4 load:"60 kg" use:tandem`,
		"me 80kg passenger 60kg tandem 29x2.4":                     `pressure rider:"80 kg" tyre:29x2.4 load:"60 kg" use:tandem`,
		"80kg child seat 15kg 29x2.4":                              `pressure rider:"80 kg" tyre:29x2.4 load:"15 kg" use:childseat`,
		"50 psi left in a car at 40c":                              `air pressure:"50 psi" ridetemp:"40 °C"`,
		"50 psi in a 40c car":                                      `air pressure:"50 psi" ridetemp:"40 °C"`,
		"80kg 700x40c gravel":                                      `pressure rider:"80 kg" tyre:700x40 riding:gravel`,
		"80kg 40c gravel 21i":                                      `pressure rider:"80 kg" tyre:700x40 rim:"21 mm" riding:gravel`,
	} {
		assert.Equal(t, want, told(r.Read(line, nil)), line)
	}
}
