package commands

import (
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"

	"spokeword/commands/caution"
	"spokeword/commands/reply"
)

func cautionIDs(r reply.Reply) []string {
	var all []string
	for _, c := range r.Cautions {
		all = append(all, c.ID)
	}
	return all
}

// TestEveryCautionIsDueSomewhereAndNotElsewhere asks for each caution once
// where it is due and once for nearly the same where it is not.
func TestEveryCautionIsDueSomewhereAndNotElsewhere(t *testing.T) {
	trial := map[string]struct{ due, not string }{
		"own-limits":     {"pressure 85kg emtb 25kg 29x2.6 35mm", "pressure 85kg bike 25kg 29x2.6 35mm"},
		"hookless":       {"fit 29x2.4 on 30mm hookless", "fit 29x2.4 on 30mm hooked"},
		"bead-may-leave": {"pressure 80kg 29x2.4 30mm trail tyre min 28 psi", "pressure 80kg 29x2.4 30mm trail tyre min 20 psi"},
		"maker-decides":  {"fit 700x40 on 30mm", "fit 29x2.4 on 30mm"},
		"steep-entry":    {"spokes erd 540 circle 244 offsets 24/24 flange hole 3.2 36h 3x", "spokes erd 540 circle 58 offsets 24/24 flange hole 3.2 36h 3x"},
		"limits":         {"pressure 80kg 29x2.4 30mm trail", "fit 29x2.4 on 30mm"},
		"rim-mark":       {"spokes erd 600 58/58 36/21 32h 3x", "size 61-622"},
		"start-only":     {"pressure 80kg 29x2.4 30mm trail", "tyres at 30 bar ok"},
		"wheel-back-in":  {"spokes erd 600 58/58 36/21 32h 3x", "spokes 32h 3x"},
		"broken-spoke":   {"spoke snapped mid ride", "spokes going slack"},
		"struck":         {"rim pings on rocks", "tyre squirms in corners"},
		"seating":        {"tyre wont seat", "tyre burps"},
		"drilling":       {"presta valve in a schrader hole", "plug or tube"},
		"from-afar":      {"tyre squirms in corners", "brass or alloy nipples"},
		"check-cold":     {"pressure 80kg 29x2.4 30mm trail riding at -5 °C", "pressure 80kg 29x2.4 30mm trail riding at 20 °C"},
	}
	for _, c := range caution.All() {
		x, ok := trial[c.ID]
		if !ok {
			t.Errorf("caution %q: no request where it is due", c.ID)
			continue
		}
		assert.Contains(t, cautionIDs(asked(t, x.due)), c.ID, x.due)
		assert.NotContains(t, cautionIDs(asked(t, x.not)), c.ID, x.not)
	}
}

// TestCautionsKeepTheirRank has more than three due at once: the gravest stay.
func TestCautionsKeepTheirRank(t *testing.T) {
	r := asked(t, "pressure 85kg emtb 25kg 29x2.6 35mm hookless riding at -5 °C")
	assert.Equal(t, []string{"own-limits", "hookless", "limits"}, cautionIDs(r))
}

// TestARefusalLeadsWithItsCaution: nobody reads on to find the no.
func TestARefusalLeadsWithItsCaution(t *testing.T) {
	for _, line := range []string{
		"pressure 80kg 29x2.4 30mm hookless 80 psi",
		"hookless 30 2.25 45psi ok??",
		"pressure 80kg 29x2.4 30mm tyre max 30 psi 35 psi",
		"pressure 80kg 29x2.4 30mm tyre max 24 psi",
		"pressure 80kg 25-622 30mm rim",
		"fit 29x2.4 on 584x30C",
		"fit 23-622 on 30mm",
		"26x1 3/8 tyre on 26x1.4 rim?",
	} {
		r := asked(t, line)
		assert.True(t, r.Refused, "%s: refused", line)
		if len(r.Lead) == 0 || !slices.ContainsFunc([]string{"No ", "No:"}, func(no string) bool { return strings.HasPrefix(r.Lead[0], no) }) {
			t.Errorf("%s: lead %q, want a no first", line, r.Lead)
		}
		for _, v := range r.Values {
			assert.False(t, line != "pressure 80kg 29x2.4 30mm tyre max 30 psi 35 psi" && strings.HasSuffix(v.Name, "start"), "%s: a start beside a refusal", line)
		}
	}
}

// TestNoCautionWhereNothingIsAtStake: cautions that are always there are not read.
func TestNoCautionWhereNothingIsAtStake(t *testing.T) {
	for _, line := range []string{"1.6 bar in psi", "wots 61-622 in inch", "what tyre for 30mm rim", "help", "2.5 on 25mm internal ok?"} {
		assert.Empty(t, asked(t, line).Cautions, line)
	}
	// Where bead seats differ no maker's list can say yes.
	assert.NotContains(t, cautionIDs(asked(t, "fit 29x2.4 on 584x30C")), "maker-decides")
}
