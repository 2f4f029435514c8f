package read

import (
	"spokeword/calc/quantity"
	"spokeword/commands/spec"
)

// This file tells by the words about two temperatures which is where tyres are pumped
// and which where they are ridden: "ride tmrw -6c, pumped 22 in shop 19c".

// Words of the one place and of the other.
var (
	pumpedWhere = []string{"pump", "pumped", "pumping", "shop", "garage", "workshop", "shed", "house", "home", "inside", "indoors", "indoor", "kitchen", "cellar", "basement", "room", "van", "hall", "werkstatt", "keller", "daheim", "zuhause", "drinnen", "atelier", "maison", "dedans", "taller", "garaje", "casa", "dentro", "officina", "cantina"}
	riddenWhere = []string{"ride", "riding", "ridden", "race", "racing", "out", "outside", "outdoors", "trail", "trailhead", "start", "tmrw", "tomorrow", "fahren", "fahre", "rennen", "draußen", "morgen", "rouler", "dehors", "demain", "rodar", "salir", "fuera", "mañana", "esco", "fuori", "domani"}
)

// bidSetAndRidden offers both, where one of the places is told; and heights as it does
// temperatures: "altitude race 2400m i pump at home 300m".
func (s *scan) bidSetAndRidden() {
	s.bidPlaces(settempOption, ridetempOption, func(v val) bool { return v.a.Kind() == quantity.KindTemperature })
	s.bidPlaces(setheightOption, rideheightOption, func(v val) bool {
		return (v.a.Unit == quantity.M || v.a.Unit == quantity.FT) && v.a.Number >= leastHeight
	})
}

func (s *scan) bidPlaces(setAt, riddenAt known, fits func(val) bool) {
	set, ok := s.r.the(setAt)
	ridden, okay := s.r.the(riddenAt)
	if !ok || !okay {
		return
	}
	var two []val
	for _, v := range s.vals {
		if !v.pair && v.a.Unit != quantity.NoUnit && fits(v) {
			two = append(two, v)
		}
	}
	told := func(v val) bool { return v.cued.has(set) || v.cued.has(ridden) }
	if len(two) != 2 || told(two[0]) && told(two[1]) {
		return
	}
	// What stands between them is the second's; the first's where it places that, "25c in
	// the van", and up to a comma.
	middle, split := span{two[0].to, two[1].from}, two[0].to
	if s.isOneOf(split, placingWords) && !s.numberAt(split+1) && !s.isOneOf(split+1, []string{"at", "is", "its", "around", "about"}) {
		split = middle.to
	}
	for i := middle.from; i < middle.to; i++ {
		if s.isMark(i, ",") || s.isMark(i, ";") {
			split = i
			break
		}
	}
	at := [2][2]span{{{0, two[0].from}, {middle.from, split}}, {{split, middle.to}, {two[1].to, len(s.tokens)}}}
	var pumped, out [2]bool
	for k := range two {
		for _, part := range at[k] {
			for i := part.from; i < part.to; i++ {
				pumped[k] = pumped[k] || s.isOneOf(i, pumpedWhere)
				out[k] = out[k] || s.isOneOf(i, riddenWhere)
			}
		}
	}
	first := 0 // which is where they are pumped
	switch {
	case pumped[0] && !pumped[1] && !out[0], out[1] && !out[0] && !pumped[1]:
	case pumped[1] && !pumped[0] && !out[1], out[0] && !out[1] && !pumped[0]:
		first = 1
	default:
		return
	}
	for k, v := range two {
		o := ridden
		if k == first {
			o = set
		}
		s.offer(s.boxed(bid{from: int8(v.from), to: int8(v.to), option: int16(o), cost: -rewardHint, value: v.a}, spec.Both))
	}
}

// placingWords stand before a place, or are one.
var placingWords = []string{"in", "on", "at", "out", "outside", "inside", "indoors", "im", "am", "draußen", "drinnen", "dans", "dehors", "en", "nel", "sul", "fuori"}
