package reply

// Facts are what the cautions of an answer are due from. A command sets what
// is so; it writes no caution itself.
type Facts struct {
	Pressure      bool // a pressure is talked about
	Start         bool // a pressure to start with was given
	Hookless      bool // a straight-side rim is or may be involved
	FitOutside    bool // the fit lies outside what sources cover, or a maker's list decides
	BelowMinimum  bool // a pressure below a marked minimum is shown
	Spokes        bool // spoke lengths or tensions were given
	WorkedOn      bool // the answer leads to a wheel being taken out or worked on
	SpecialUse    bool // cargo, tandem, child seat, assisted or a child's bike
	SteepEntry    bool // a spoke enters its nipple far off square
	Struck        bool // a burp, a rim strike, a dent or a cut is talked about
	Seating       bool // a tyre is seated, or filled from a cartridge
	BrokenSpoke   bool // a spoke is broken
	Drilling      bool // somebody may think of drilling a rim
	FromAfar      bool // something is judged from words alone
	ColdOrDescent bool // the tyre is ridden colder or lower than set
}

// And returns what holds by either of two lists of facts.
func (f Facts) And(g Facts) Facts {
	return Facts{
		Pressure:      f.Pressure || g.Pressure,
		Start:         f.Start || g.Start,
		Hookless:      f.Hookless || g.Hookless,
		FitOutside:    f.FitOutside || g.FitOutside,
		BelowMinimum:  f.BelowMinimum || g.BelowMinimum,
		Spokes:        f.Spokes || g.Spokes,
		WorkedOn:      f.WorkedOn || g.WorkedOn,
		SpecialUse:    f.SpecialUse || g.SpecialUse,
		SteepEntry:    f.SteepEntry || g.SteepEntry,
		Struck:        f.Struck || g.Struck,
		Seating:       f.Seating || g.Seating,
		BrokenSpoke:   f.BrokenSpoke || g.BrokenSpoke,
		Drilling:      f.Drilling || g.Drilling,
		FromAfar:      f.FromAfar || g.FromAfar,
		ColdOrDescent: f.ColdOrDescent || g.ColdOrDescent,
	}
}
