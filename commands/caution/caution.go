// Package caution holds the one table of safety notes and when each is due.
// No command writes a caution of its own, so none can forget one.
package caution

import "spokeword/commands/reply"

// Most is how many cautions an answer shows; the gravest come first.
const Most = 3

// rule is one caution. A caution is true by itself, without the table beside it.
type rule struct {
	reply.Caution
	due func(reply.Facts) bool
}

// table holds the cautions, the gravest first.
var table = []rule{
	{reply.Caution{ID: "own-limits", Text: "Cargo, tandem, child-seat, assisted and children's bikes have limits of their own: the marks on the parts, the maker's papers and local rules come first."},
		func(f reply.Facts) bool { return f.SpecialUse }},
	{reply.Caution{ID: "hookless", Text: "On a hookless rim use only tyres marked for it, and never more than the lower of the tyre's and the rim's own mark. A tube does not lift that rule."},
		func(f reply.Facts) bool { return f.Hookless }},
	{reply.Caution{ID: "bead-may-leave", Text: "Below the marked minimum the bead may leave the rim in a corner. Go no lower, and stop at the first burp or squirm."},
		func(f reply.Facts) bool { return f.BelowMinimum }},
	{reply.Caution{ID: "broken-spoke", Text: "With a broken spoke: secure it and go gently home. Walk if it is a front wheel, a break on the disc side, a wheel of fewer than 28 spokes, or a rim that touches anything."},
		func(f reply.Facts) bool { return f.BrokenSpoke }},
	{reply.Caution{ID: "struck", Text: "After a burp, a rim strike, a dent or a cut: stop, and inspect rim, bead and tyre. A carbon rim that was struck hard is not ridden until a competent person has checked it."},
		func(f reply.Facts) bool { return f.Struck }},
	{reply.Caution{ID: "seating", Text: "When seating a tyre or filling from a cartridge: protect eyes and hands, face away, use no flammable gas or liquid, and stop at the lower of the marks on tyre and rim even if it has not seated."},
		func(f reply.Facts) bool { return f.Seating }},
	{reply.Caution{ID: "drilling", Text: "Never drill or file a rim without its maker's consent, and a carbon rim not at all."},
		func(f reply.Facts) bool { return f.Drilling }},
	{reply.Caution{ID: "maker-decides", Text: "Outside the usual ranges the makers' own lists for tyre, rim and frame decide: if a list says no, it is no. If they are silent, ask a qualified mechanic."},
		func(f reply.Facts) bool { return f.FitOutside }},
	{reply.Caution{ID: "steep-entry", Text: "A spoke that enters its nipple this far off square bends at the thread and breaks. Use nipples or holes made for the angle, as the maker says. Never drill or file a rim without its maker's consent, and a carbon rim not at all."},
		func(f reply.Facts) bool { return f.SteepEntry }},
	{reply.Caution{ID: "limits", Text: "Never go above the lower of the marks on tyre and rim: read both first. The bead must sit evenly all round."},
		func(f reply.Facts) bool { return f.Pressure }},
	{reply.Caution{ID: "rim-mark", Text: "Keep every spoke within the rim's marked tension. Never re-tension a cracked, bent or corroded part. Stress-relieve a new or rebuilt wheel and check it after the first rides; have your first one checked by a qualified builder."},
		func(f reply.Facts) bool { return f.Spokes }},
	{reply.Caution{ID: "from-afar", Text: "This is judged from words alone. Ride nothing that is cracked, bent, loose or rubbing, and when in doubt let a qualified mechanic look first."},
		func(f reply.Facts) bool { return f.FromAfar }},
	{reply.Caution{ID: "start-only", Text: "These are starting points for this rider and bike, not promises. Stop and inspect rim and tyre after a rim strike, a burp or a cut; carbon waits for a competent check."},
		func(f reply.Facts) bool { return f.Start }},
	{reply.Caution{ID: "wheel-back-in", Text: "After a wheel was out or worked on: check axle, brake and rotor before riding, and keep oil off rotor, pads and rim walls."},
		func(f reply.Facts) bool { return f.WorkedOn }},
	{reply.Caution{ID: "check-cold", Text: "Cold and going down lower the gauge: check again before riding."},
		func(f reply.Facts) bool { return f.ColdOrDescent }},
}

// Due returns the cautions due, the gravest first, at most Most.
func Due(f reply.Facts) []reply.Caution {
	var due []reply.Caution
	for _, r := range table {
		if r.due(f) && len(due) < Most {
			due = append(due, r.Caution)
		}
	}
	return due
}

// All returns every caution of the table, for tests that hold them to be
// reachable.
func All() []reply.Caution {
	all := make([]reply.Caution, len(table))
	for i, r := range table {
		all[i] = r.Caution
	}
	return all
}
