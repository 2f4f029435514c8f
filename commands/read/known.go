package read

// known is an option that the reader knows by name, since lines tell it in ways of
// their own.
type known uint8

const (
	aOption known = iota
	asideOption
	bOption
	bikeOption
	cadenceOption
	circleOption
	cogOption
	crossOption
	dishOption
	drawerOption
	erdOption
	faceleftOption
	facerightOption
	framemaxOption
	hardatOption
	holesOption
	lengthOption
	loadOption
	newcogOption
	newrimOption
	newringOption
	newtyreOption
	offsetOption
	patternOption
	pawlsOption
	phasesOption
	placeOption
	pointsOption
	pressureOption
	quantityOption
	rimOption
	rideheightOption
	ridetempOption
	rimmaxOption
	ringOption
	setheightOption
	settempOption
	softatOption
	targetOption
	tyreOption
	tyremaxOption
	tyreminOption
	tyresOption
	wantedOption
	knownOptions
)

var knownNames = [knownOptions]string{
	aOption:          "a",
	asideOption:      "aside",
	bOption:          "b",
	bikeOption:       "bike",
	cadenceOption:    "cadence",
	circleOption:     "circle",
	cogOption:        "cog",
	crossOption:      "cross",
	dishOption:       "dish",
	drawerOption:     "drawer",
	erdOption:        "erd",
	faceleftOption:   "faceleft",
	facerightOption:  "faceright",
	framemaxOption:   "framemax",
	hardatOption:     "hardat",
	holesOption:      "holes",
	lengthOption:     "length",
	loadOption:       "load",
	newcogOption:     "newcog",
	newrimOption:     "newrim",
	newringOption:    "newring",
	newtyreOption:    "newtyre",
	offsetOption:     "offset",
	patternOption:    "pattern",
	pawlsOption:      "pawls",
	phasesOption:     "phases",
	placeOption:      "place",
	pointsOption:     "points",
	pressureOption:   "pressure",
	quantityOption:   "quantity",
	rimOption:        "rim",
	rideheightOption: "rideheight",
	setheightOption:  "setheight",
	ridetempOption:   "ridetemp",
	settempOption:    "settemp",
	rimmaxOption:     "rimmax",
	ringOption:       "ring",
	softatOption:     "softat",
	targetOption:     "target",
	tyreOption:       "tyre",
	tyremaxOption:    "tyremax",
	tyreminOption:    "tyremin",
	tyresOption:      "tyres",
	wantedOption:     "wanted",
}

// the returns the option of a known name. Not every set of commands has it.
func (r *Reader) the(name known) (int, bool) {
	i := r.known[name]
	return int(i), i >= 0
}

// learnKnown looks the known options up.
func (r *Reader) learnKnown() {
	for k, name := range knownNames {
		r.known[k] = -1
		if i, ok := r.optionNamed(name); ok {
			r.known[k] = int16(i)
		}
	}
}
