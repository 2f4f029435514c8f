package reply

import "strings"

// Unit is the unit of a Value: SI, or "1" for a plain number, "" for text.
type Unit string

// The units of values.
const (
	Pascals      Unit = "Pa"
	Metres       Unit = "m"
	CubicMetres  Unit = "m3"
	Kilograms    Unit = "kg"
	Newtons      Unit = "N"
	NewtonsPerM  Unit = "N/m"
	Kelvins      Unit = "K"
	Radians      Unit = "rad"
	One          Unit = "1"
	Text         Unit = ""
	HertzUnit    Unit = "Hz"
	JouleUnit    Unit = "J"
	SquareMetres Unit = "m2"
	MetresPerS   Unit = "m/s"
	AnyUnit      Unit = "*" // a name that stands for values of every unit
)

// names lists every value name with its unit. A name may stand behind an
// alternative (a. b. c.) and an end (front rear left right).
var names = map[string]Unit{
	"start":           Pascals,
	"between":         Pascals,
	"allowed":         Pascals, // the start with what practice allows for ground, insert or casing
	"low":             Pascals,
	"high":            Pascals,
	"delta":           Pascals,
	"longer":          Metres, // of every spoke, negative for shorter
	"set":             Pascals,
	"read":            Pascals,
	"bytemperature":   Pascals,
	"byheight":        Pascals,
	"warmest":         Kelvins,
	"max":             Pascals,
	"load":            Kilograms,
	"width":           Metres,
	"height":          Metres,
	"ratio":           One,
	"outside":         Metres,
	"volume":          CubicMetres,
	"clearance":       Metres,
	"beadangle":       Radians,
	"verdict":         Text,
	"seat":            Metres,
	"inner":           Metres,
	"same":            Text,
	"length":          Metres,
	"short":           Metres,
	"angle":           Radians,
	"count":           One,
	"tension.ratio":   One,
	"value":           AnyUnit, // of convert: the SI unit of what was converted
	"points":          One,
	"ring":            One,        // teeth, exactly, that bring the old gears back
	"cog":             One,        // the same with the old ring
	"speed":           MetresPerS, // at a cadence
	"growth":          One,        // of the driven wheel's outside diameter, as a share
	"development":     Metres,     // a turn of the crank
	"circumference":   Metres,     // unloaded
	"rolling":         Metres,     // circumference under a rider
	"radius.delta":    Metres,
	"bb.delta":        Metres,  // + = higher
	"angle.delta":     Radians, // + = slacker
	"wheelbase.delta": Metres,
	"headangle":       Radians, // after the change
	"hub.angle":       Radians, // at worst, as the next two
	"crank.angle":     Radians,
	"pedal":           Metres,
	"hub.mean":        Radians,
	"crank.mean":      Radians,
	"pedal.mean":      Metres,
	"crank.middle":    Radians, // with a cog in the middle, at worst
	"pedal.least":     Metres,  // with the smallest cog, at worst
	"round":           Pascals, // a cartridge in a tyre that is still round
	"flat":            Pascals, // the same in one that was squashed flat
	"erd":             Metres,
	"circle":          Metres,
	"offset":          Metres,
	"gap":             Metres,
	"grams":           Kilograms,
	"strokes":         One,
	"dose":            CubicMetres,
	"tape":            Metres,
	"valve":           Metres,
	"tyres":           One,
	"widest":          Metres,
	"holes":           One, // of a plan's wheel, as the next two
	"cross":           One,
	"gauge":           Text,
	"narrowest":       Metres,
	"tension":         Newtons, // the mean of a side, or what it may have
	"spread":          One,     // greatest part by which a spoke is off its side's mean
	"over":            One,     // the tightest over the loosest
	"force":           Newtons,
	"wobble":          Metres, // greatest distance from the middle plane
	"hop":             Metres,
	"dish":            Metres, // how far the rim as a whole stands off; + = to the right
	"lateral":         NewtonsPerM,
	"radial":          NewtonsPerM,
	"windup":          AnyUnit, // N·m/rad; 0 where a wheel passes no torque
	"slack":           Newtons, // the least load towards the axle at which a spoke has no tension left
	"sideslack":       Newtons, // the same sideways
	"critical":        One,     // by how much all tension could rise before the model's rim folds
	"mass":            Kilograms,
	"rimmass":         Kilograms,
	"level":           Newtons,   // tension of a side as it is
	"setmass":         Kilograms, // of a pair of wheels
	"together":        Kilograms, // of spokes and rim
	"loses":           One,       // the greatest share of a hit that one spoke loses of its tension
	"share":           One,       // of the slack load that a stated hit uses
	"crossings":       One,       // the most that can be laced
	"lengths":         One,       // how many lengths of spoke a side takes
}

// NameUnit returns the unit of a value name, and whether the name is known.
func NameUnit(name string) (Unit, bool) {
	rest := name
	for _, alternative := range []string{"a.", "b.", "c.", "d."} {
		rest = strings.TrimPrefix(rest, alternative)
	}
	for _, end := range []string{"front.", "rear.", "left.", "right."} {
		rest = strings.TrimPrefix(rest, end)
	}
	if strings.HasPrefix(rest, "order.") || strings.HasPrefix(rest, "turns.") {
		return One, true
	}
	u, ok := names[rest]
	return u, ok
}
