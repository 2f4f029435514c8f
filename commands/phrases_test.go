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
		"rim outer width 34 with 2.4 tyre":                                   `fit tyre:"2.4 in" outer:"34 mm"`,
		"outside of the rim 34mm tyre 2.4":                                   `fit tyre:"2.4 in" outer:"34 mm"`,
		"28mm road tyre 21mm rim":                                            `fit tyre:"28 mm" rim:"21 mm" riding:road`,
		"28mm road tyre on a 21mm rim":                                       `fit tyre:"28 mm" rim:"21 mm" riding:road`,
		"felge 17c reifen 28mm":                                              `fit tyre:"28 mm" rim:"17 mm"`,
		"19c rim and 35mm tyre ok":                                           `fit tyre:"35 mm" rim:"19 mm"`,
		"20 95 118 104 121 99 115 108":                                       `tension readings:"20 95 118 104 121 99 115 108"`, // one is slack: none is lost
		"L 62 60 64 R 104 99 101 kgf 36/21":                                  `tension readings:"L 62 60 64; R 104 99 101" unit:kgf offset:"36 mm/21 mm"`,
		"spoke 5 0.8 mm right, spoke 12 0.6 mm left":                         `true side:"0.8 mm right at 5, 0.6 mm left at 12"`,
		"hop 0.6 out at 9 and 10":                                            `true hop:"0.6 mm out at 9, 0.6 mm out at 10"`,
		"whats wrong with my wheel":                                          `symptom`,
		"25 mm rim vs 30 mm rim same wall":                                   `wheel inners:"25 mm, 30 mm"`,
		"wheel 2.0/1.8 vs 2.0/1.5 spokes":                                    `wheel wires:"2.0/1.8/2.0 mm, 2.0/1.5/2.0 mm"`,
		"100kg 28 or 32 spokes":                                              `wheel holes:"28, 32" rider:"100 kg"`,
		"36 hub 32 rim":                                                      `lacing holes:"36/32"`,
		"hub 32 rim 24 2:1":                                                  `lacing holes:"32/24" pattern:"2:1"`,
		"24h rim 32h hub 2:1":                                                `lacing holes:"32/24" pattern:"2:1"`,
		"rim 24 hub 32 laced 2:1 erd 600 58/58 36/21 3x":                     `spokes erd:"600 mm" circle:"58 mm/58 mm" offset:"36 mm/21 mm" holes:"32/24" cross:3 pattern:"2:1"`,
		"erd 600 58/58 36/21 32h 3x hole 3.2":                                `spokes erd:"600 mm" circle:"58 mm/58 mm" offset:"36 mm/21 mm" holes:32 cross:3 flangehole:"3.2 mm"`,
		"erd 600 58/58 36/21 32 hole 3x":                                     `spokes erd:"600 mm" circle:"58 mm/58 mm" offset:"36 mm/21 mm" holes:32 cross:3`,
		"my spokes are 2.5 mm too long":                                      `help what:spokes-too-long`,
		"spokes came 2mm too long":                                           `help what:spokes-too-long`,
		"my spokes are 2 mm too short":                                       `help what:spokes-too-short`,
		"calculator A says 288 B says 290":                                   `help what:two-lengths-differ`,
		"asym rim 2.5mm right front disc 24/34 erd 600 58 32h 3x":            `spokes erd:"600 mm" circle:"58 mm" offset:"24 mm/34 mm" holes:32 cross:3 end:front brake:disc shift:"2.5 mm right"`,
		"erd 600 but i measure 603":                                          `help what:erd-printed-or-measured`,
		"flange to flange 57 erd 600 58/58 32h 3x":                           `spokes erd:"600 mm" circle:"58 mm/58 mm" holes:32 cross:3`,
		"erd 600 58/58 36/21 32h 3x top of the nipple washers 1mm":           `spokes erd:"600 mm" circle:"58 mm/58 mm" offset:"36 mm/21 mm" holes:32 cross:3 washer:"1 mm" erdkind:top`,
		"29 2.5 f 2.4 r 82kg":                                                `pressure rider:"82 kg" tyre:"29x2.5/29x2.4"`,
		"29x2.5 f 2.4 r 82kg":                                                `pressure rider:"82 kg" tyre:"29x2.5/29x2.4"`,
		"80kg stoker 60kg tandem 29x2.4":                                     `pressure rider:"80 kg" tyre:29x2.4 load:"60 kg" use:tandem`,
		"me 80kg passenger 60kg tandem 29x2.4":                               `pressure rider:"80 kg" tyre:29x2.4 load:"60 kg" use:tandem`,
		"80kg child seat 15kg 29x2.4":                                        `pressure rider:"80 kg" tyre:29x2.4 load:"15 kg" use:childseat`,
		"50 psi left in a car at 40c":                                        `air pressure:"50 psi" ridetemp:"40 °C"`,
		"50 psi in a 40c car":                                                `air pressure:"50 psi" ridetemp:"40 °C"`,
		"80kg 700x40c gravel":                                                `pressure rider:"80 kg" tyre:700x40 riding:gravel`,
		"80kg 40c gravel 21i":                                                `pressure rider:"80 kg" tyre:700x40 rim:"21 mm" riding:gravel`,
		`luftdruck für 95kg e-bike 27,5x2,8 schlauchlos felge 35mm`:          `pressure rider:"95 kg" tyre:27.5x2.8 rim:"35 mm" system:tubeless use:assisted`,
		`passt ein 2.6er reifen auf eine 25mm felge`:                         `fit tyre:"2.6 in" rim:"25 mm"`,
		`kind 32 kilo 24 zoll reifen 2.1 mit schlauch wieviel druck`:         `pressure rider:"32 kg" tyre:24x2.1 system:tubes use:child`,
		`bei 20 grad aufgepumpt 1,7 bar wieviel bei minus 5`:                 `air pressure:"1.7 bar" settemp:"20 °C" ridetemp:"-5 °C"`,
		`pression pour 88 kilos vtt électrique 27.5x2.6 tubeless jante 30`:   `pressure rider:"88 kg" tyre:27.5x2.6 rim:"30 mm" system:tubeless use:assisted`,
		`est-ce qu'un pneu de 2.5 va sur une jante de 23 mm interne`:         `fit tyre:"2.5 in" rim:"23 mm"`,
		`longueur rayons erd 602 entraxe 58 déport 36/20 32 trous croisés 3`: `spokes erd:"602 mm" circle:"58 mm" offset:"36 mm/20 mm" holes:32 cross:3`,
		`qué presión para 82 kg cubierta 29x2.4 llanta 30 interior tubeless`: `pressure rider:"82 kg" tyre:29x2.4 rim:"30 mm" system:tubeless`,
		`peso 90 kg ruedas 29 por 2.4 delante y 2.3 detrás barro`:            `pressure rider:"90 kg" tyre:"29x2.4/29x2.3" ground:mud`,
		`12st 4 on 29x2.4, i30, what should i run`:                           `pressure rider:"12 st 4 lb" tyre:29x2.4 rim:"30 mm"`,
		`can i squeeze a 2.6 in a frame with 70mm between the stays`:         `fit tyre:"2.6 in" gap:"70 mm"`,
		`36h hub on a 32 hole rim erd 600 pcd 58 offsets 36/21 possible?`:    `spokes erd:"600 mm" circle:"58 mm" offset:"36 mm/21 mm" holes:"36/32"`,
		`622-30 rim and 57-622 tyre ok`:                                      `fit tyre:57-622 rim:622x30`,
		`can i lace a 32 hole hub to a 28 hole rim`:                          `lacing holes:"32/28"`,
		`36 hub 32 rim possible`:                                             `lacing holes:"36/32"`,
		`2:1 lacing 24 rim 32 hub`:                                           `lacing holes:"32/24" pattern:"2:1"`,
		`how many mm is 2.35 inches`:                                         `convert quantity:"2.35 in" to:mm`,
		`at home 18 degrees i set 23/26, race at 2000m and 8 degrees`:        `air pressure:"23 psi/26 psi" settemp:"18 °C" ridetemp:"8 °C" rideheight:"2000 m"`,
		`15 kg ebike 2.6 rear 2.4 front 29 me 78`:                            `pressure rider:"78 kg" tyre:"29x2.4/29x2.6" bike:"15 kg" use:assisted`,
		`22/25 now rim 35 29x2.4`:                                            `change pressure:"22 psi/25 psi" newrim:"35 mm" tyre:29x2.4`,
		`measure hub 148 mm 38 from left 53 from right`:                      `measure guide:hub width:"148 mm" faceleft:"38 mm" faceright:"53 mm"`,
		`measure gap 74`:                                                     `measure guide:gap gap:"74 mm"`,
		`measure circle`:                                                     `measure guide:circle`,
		`measure inner`:                                                      `measure guide:inner`,
		`measure gap`:                                                        `measure guide:gap`,
		`measure tyre`:                                                       `measure guide:tyre`,
		`measure rim`:                                                        `measure guide:inner`,
		`measure flange offsets`:                                             `measure guide:hub`,
		`does 1psi even matter lol`:                                          `help what:one-psi`,
		`2.25 or 2.5 for mud`:                                                `help what:mud-tyre-width`,
		`75kg 29x2.25 mud`:                                                   `pressure rider:"75 kg" tyre:29x2.25 ground:mud`,
		`60kg xc are 28 spokes enough`:                                       `help what:spoke-count rider:"60 kg" riding:xc`,
		`is 24 spokes enough`:                                                `help what:spoke-count`,
		`bottom bracket creaks`:                                              `help what:bottom-bracket-creaks`,
		`bb creaks when climbing`:                                            `help what:bottom-bracket-creaks`,
		`compare two wheelsets`:                                              `help what:compare-wheelsets`,
		`32t ring to 30t`:                                                    `gearing ring:32 newring:30`,
		`29 to 27.5 ring 32t to 34t`:                                         `gearing was:29 now:27.5 ring:32 newring:34`,
		`chainring 32 to 30 29x2.4`:                                          `gearing tyre:29x2.4 ring:32 newring:30`,
		`18t to 54t ratchet`:                                                 `freehub points:"18, 54"`,
		`36t to 54t ratchet 32 ring`:                                         `freehub points:"36, 54" ring:32`,
		`32t ring 26x2.1 to 29x2.4`:                                          `gearing was:26x2.1 now:29x2.4 ring:32`,
		`front was 2.4 now 2.6 slacker`:                                      `gearing was:"2.4 in front" now:"2.6 in"`,
		`22/25 29x2.4 on 30 now 29x2.6`:                                      `change pressure:"22 psi/25 psi" newtyre:29x2.6 tyre:29x2.4 rim:"30 mm"`,
		`22/25 29x2.4 trail to enduro`:                                       `change pressure:"22 psi/25 psi" riding:"trail, enduro" tyre:29x2.4`,
		`22/25 avec chambres`:                                                `change pressure:"22 psi/25 psi" system:tubes`,
		`29x2.4 now 29x2.6 bb height`:                                        `gearing was:29x2.4 now:29x2.6`,
		`22/25`:                                                              `question: pressure pressure:"22 psi/25 psi" or spokes offset:"22 mm/25 mm"`,
		`measure rods 280 psi`:                                               `measure rods:"280 psi"`,
		`22/25 bike park`:                                                    `change pressure:"22 psi/25 psi" riding:park`,
		`22/25 +12 kg mostly rear 80kg 29x2.4`:                               `change pressure:"22 psi/25 psi" load:"12 kg" spread:"mostly rear" tyre:29x2.4 rider:"80 kg"`,
		`80kg 29x2.4 22/25 +12kg`:                                            `change pressure:"22 psi/25 psi" load:"12 kg" tyre:29x2.4 rider:"80 kg"`,
		`80kg 29x2.4 +12 kg`:                                                 `pressure rider:"80 kg" tyre:29x2.4 load:"12 kg"`,
		`80kg 29x2.4 bags 12 kg 22/25 ok?`:                                   `pressure rider:"80 kg" tyre:29x2.4 load:"12 kg" pressure:"22 psi/25 psi"`,
		`22/25 rim 35`:                                                       `change pressure:"22 psi/25 psi" rim:"35 mm"`,
		`22/25 casing`:                                                       `change pressure:"22 psi/25 psi" differs:casing`,
		`22/25 heavier casing`:                                               `change pressure:"22 psi/25 psi" casing:heavy`,
		`22/25 rear heavier casing`:                                          `change pressure:"22 psi/25 psi" casing:"heavy rear"`,
		`22/25 29x2.4 dry again`:                                             `change pressure:"22 psi/25 psi" undo:wet tyre:29x2.4`,
		`22/25 29x2.4 wet`:                                                   `change pressure:"22 psi/25 psi" ground:wet tyre:29x2.4`,
		`22/25 80kg 29x2.4 wet`:                                              `pressure rider:"80 kg" tyre:29x2.4 ground:wet pressure:"22 psi/25 psi"`,
		`22/25 another tyre`:                                                 `change pressure:"22 psi/25 psi" differs:tyre`,
		`22/25 snow`:                                                         `change pressure:"22 psi/25 psi" ground:snow`,
		`36 points 22/25`:                                                    `freehub points:36 ring:22 cog:25`,
		`29x2.4 22/25 development`:                                           `gearing tyre:29x2.4 ring:22 cog:25`,
		`26 to 29 32/36`:                                                     `gearing was:26 now:29 ring:32 cog:36`,
		`22/25 set at 20c, now -5 and 1800 m`:                                `air pressure:"22 psi/25 psi" settemp:"20 °C" ridetemp:"-5 °C" rideheight:"1800 m"`,
		`how many strokes pump 0.4 l 29x2.4 25psi`:                           `fill what:strokes pump:"0.4 l" tyre:29x2.4 pressure:"25 psi"`,
		`how many strokes pump 5 l 29x2.4 25psi`:                             `fill what:strokes pump:"5 l" tyre:29x2.4 pressure:"25 psi"`,
	} {
		assert.Equal(t, want, told(r.Read(line, nil)), line)
	}
}

// TestAClaimedNumberIsNobodyElses: a rim beside another rim is no rider, whose
// start would be a wrong number.
func TestAClaimedNumberIsNobodyElses(t *testing.T) {
	for _, req := range newReader(t).Read("22/25 rim 35 29x2.4 i30", nil).Requests {
		_, ok := req.Get("rider")
		assert.False(t, ok, req.Line())
	}
}
