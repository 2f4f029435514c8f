package commands

import (
	"testing"

	"github.com/stretchr/testify/assert"
)

// TestBriefLinesGoOn holds lines that name only an end or a number to mean the
// last question by it.
func TestBriefLinesGoOn(t *testing.T) {
	for _, x := range []struct{ first, then, want string }{
		{"80kg 29x2.4 30mm trail", "rear?", `pressure rider:"80 kg" tyre:"29x2.4 rear" rim:"30 mm" riding:trail`},
		{"80kg 29x2.4 30mm trail", "and the front", `pressure rider:"80 kg" tyre:"29x2.4 front" rim:"30 mm" riding:trail`},
		{"80kg 29x2.5/2.4 30mm trail", "n rear", `pressure rider:"80 kg" tyre:"29x2.4 rear" rim:"30 mm" riding:trail`},
		{"27 psi rear ok at 88 kg 29x2.4?", "and the front", `pressure rider:"88 kg" tyre:"29x2.4 front"`},
		{"80kg 29x2.4 30mm trail", "n 35", `pressure rider:"80 kg" tyre:29x2.4 rim:"35 mm" riding:trail`},
		{"80kg 29x2.4 30mm trail", "and 95?", `pressure rider:"95 kg" tyre:29x2.4 rim:"30 mm" riding:trail`},
		{"what tape for 30 mm rim", "n 35", `fill what:tape rim:"35 mm"`},
		{"102 poe in degrees", "36?", `freehub points:36`},
	} {
		desk := newDesk(t)
		said(t, desk, x.first)
		r := said(t, desk, x.then)
		assert.Equal(t, x.want, r.Line, "%s >> %s", x.first, x.then)
	}
	desk := newDesk(t) // nothing is near it: no guess
	said(t, desk, "80kg 29x2.4 30mm trail")
	assert.NotEqual(t, "pressure", said(t, desk, "and 1000").Command)
}

// TestBothKeepsTwoTyres: what differed front and rear still does.
func TestBothKeepsTwoTyres(t *testing.T) {
	d := newDesk(t)
	said(t, d, "80 kg 29x2.5/2.4 30 mm")
	assert.Contains(t, said(t, d, "both?").Line, "29x2.5/29x2.4")
}

// TestAUnitIsAWishOnlyWhereItIsOne: bars of other kinds and words of phones change
// no unit, neither of the answer nor of the talk.
func TestAUnitIsAWishOnlyWhereItIsOne(t *testing.T) {
	for line, want := range map[string]string{
		"80kg 700x40 drop bar bike what pressure": "psi", "80kg 29x2.4 30mm trail what psi atm": "psi", "80kg 29x2.4 drop bar": "psi",
		"80kg 29x2.4 30mm trail bar pls": "bar", "80kg 29x2.4 30mm trail in bar": "bar", "80kg 29x2.4 30mm bar?": "bar", "80kg 29x2.4 30mm in atm": "atm",
	} {
		assert.Equal(t, want, asked(t, line).Tables[0].Head[1], line)
	}
}
