package commands

import (
	"fmt"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"spokeword/calc/quantity"
	"spokeword/calc/size"
	"spokeword/calc/tyre"
	"spokeword/commands/reply"
)

// plansAsked are plans of every kind.
var plansAsked = []string{
	"plan trail 29 80 kg", "plan xc 29 62 kg", "plan enduro 95 kg mullet", "plan downhill 27.5 85 kg", "plan trail 29+ 75 kg",
	"plan gravel 75 kg", "plan road 66 kg", "plan commute 28 85 kg", "plan snow 75 kg", "plan emtb enduro 29 90 kg",
	"plan trail 29x2.6 on 35 mm 80 kg", "plan trail 29 112 kg", "plan trail 29x2.4 30 mm rim 36 points 30/50 175 mm cranks 95 kg 12 kg bags",
	"plan trail 26 70 kg tubes 1.6 bar wish", "plan kid 28 kg 24x2.0", "plan park 29 80 kg hookless", "plan trail 29", "plan trail 29x2.5/29x2.4 rim 35/30 80 kg", "plan enduro 29 240 lb tyre max 36 psi",
}

func find(r reply.Reply, name string) (reply.Value, bool) {
	for _, v := range r.Values {
		if v.Name == name {
			return v, true
		}
	}
	return reply.Value{}, false
}

// Each line that a plan offers runs, and finds the plan's numbers again.
func TestThePlansLinesFindItsNumbers(t *testing.T) {
	for _, line := range plansAsked {
		p := asked(t, line)
		require.False(t, p.Mistake || p.Refused || p.Fault, "%s: %s %v", line, p.Error, p.Lead)
		found := map[string]bool{}
		for _, a := range p.Actions {
			if a.Line == "why" || strings.HasPrefix(a.Line, "plan ") {
				continue
			}
			r := asked(t, a.Line)
			require.False(t, r.Mistake || r.Refused || r.Fault, "%s: %s: %s", line, a.Line, r.Error)
			letters := []string{""}
			if _, two := find(p, "a.front.width"); two {
				letters = []string{"a.", "b."}
				if strings.HasSuffix(a.Label, ", lighter") {
					letters = letters[:1]
				} else if strings.HasSuffix(a.Label, ", tougher") {
					letters = letters[1:]
				}
			}
			same := func(mine, theirs string) {
				want, ok := find(r, theirs)
				if !ok {
					return
				}
				got, ok := find(p, mine)
				require.True(t, ok, "%s: no %s", line, mine)
				if got.Unit == reply.Text {
					assert.Equal(t, want.Text, got.Text, "%s: %s", a.Line, theirs)
				} else if theirs != "inner" {
					assert.InDelta(t, want.Value, got.Value, 1e-9*(1+want.Value), "%s: %s", a.Line, theirs)
				}
				found[mine] = true
				if want.Low == 0 && want.High == 0 {
					return // pressure gives no band of the width, fit does
				}
				assert.InDelta(t, want.Low, got.Low, 1e-9*(1+want.Low), "%s: low of %s", a.Line, theirs)
				assert.InDelta(t, want.High, got.High, 1e-9*(1+want.High), "%s: high of %s", a.Line, theirs)
			}
			for _, letter := range letters {
				switch r.Command {
				case "fit", "pressure":
					for _, e := range endNames {
						for _, name := range []string{"start", "max", "width", "verdict"} {
							same(letter+e+"."+name, e+"."+name)
							if r.Command == "fit" {
								same(letter+e+"."+name, name)
							}
						}
					}
					inners := []string{letter + "inner"}
					if _, ok := find(p, letter+"front.inner"); ok {
						inners = []string{letter + "front.inner", letter + "rear.inner"}
					}
					for _, name := range inners {
						same(name, "inner")
					}
					if low, ok := find(r, "narrowest"); ok {
						high, _ := find(r, "widest")
						for _, name := range inners {
							got, _ := find(p, name)
							assert.InDelta(t, low.Value, got.Low, 1e-9)
							assert.InDelta(t, high.Value, got.High, 1e-9)
							found[name] = true
						}
					}
				case "spokes":
					same(letter+"tension.ratio", "tension.ratio")
					for _, name := range []string{"holes", "cross"} {
						got, _ := find(p, letter+name)
						assert.Equal(t, quantity.Count(int(got.Value)), readOf(r, name), "%s: %s", a.Line, name)
						found[letter+name] = true
					}
					got, _ := find(p, letter+"gauge")
					assert.Equal(t, got.Text, readOf(r, "gauge"))
					found[letter+"gauge"] = true
				case "freehub":
					for _, name := range []string{"points", "hub.angle", "crank.angle", "pedal"} {
						same(name, name)
					}
				}
			}
		}
		for _, v := range p.Values {
			assert.True(t, found[v.Name], "%s: no line gives %s again", line, v.Name)
		}
	}
}

func readOf(r reply.Reply, option string) string {
	for _, i := range r.Read {
		if i.Option == option {
			return i.Value
		}
	}
	return ""
}

// What is chosen lies in what is ridden, the front no narrower than the rear,
// and no source speaks against the pair; the lighter way is no tougher.
func TestChoicesAreWhatIsRidden(t *testing.T) {
	for _, row := range tyre.ByRiding() {
		all := choices[row.Kind]
		require.NotEmpty(t, all, row.Kind)
		for i, c := range all {
			var label [2]quantity.Length
			for i, width := range [2]string{c.front, c.rear} {
				m, err := size.Parse("29x" + width)
				if row.Kind <= tyre.GravelKind {
					m, err = size.Parse("700x" + width)
				}
				require.NoError(t, err)
				label[i] = m.Width
				assert.True(t, row.Tyres.Holds(m.Width), "%s: %s", row.Kind, width)
				j, err := tyre.Judge(tyre.Pairing{Label: m.Width, Rim: c.inner})
				require.NoError(t, err)
				assert.LessOrEqual(t, j.Verdict, tyre.Usable, "%s: %s on %s", row.Kind, m, c.inner)
			}
			assert.True(t, row.Rims.Holds(c.inner), "%s: %s", row.Kind, c.inner)
			assert.GreaterOrEqual(t, label[0], label[1], "%s: the front", row.Kind)
			if i > 0 {
				assert.GreaterOrEqual(t, c.inner, all[0].inner)
				assert.GreaterOrEqual(t, c.holes, all[0].holes)
				assert.GreaterOrEqual(t, c.wire.Middle, all[0].wire.Middle)
			}
		}
	}
}

// A heavier rider gets no fewer spokes and no thinner wire.
func TestAHeavierRiderGetsNoWeakerWheel(t *testing.T) {
	desk := newDesk(t)
	for _, riding := range []string{"xc", "trail", "enduro"} {
		var holes, bend float64
		for kg := 45; kg <= 130; kg += 5 {
			r := said(t, desk, fmt.Sprintf(`plan rider:"%d kg" riding:%s wheels:29`, kg, riding))
			if _, ok := find(r, "a.holes"); !ok {
				continue
			}
			n := value(t, r, "a.holes")
			g, _ := find(r, "a.gauge")
			v, err := quantity.Number(strings.Split(g.Text, "/")[0])
			require.NoError(t, err)
			assert.GreaterOrEqual(t, n, holes, "%s, %d kg", riding, kg)
			assert.GreaterOrEqual(t, v, bend, "%s, %d kg", riding, kg)
			if kg >= 90 {
				assert.Equal(t, 32.0, n, "%s, %d kg on an alloy rim", riding, kg)
			}
			holes, bend = n, v
		}
		assert.Equal(t, 32.0, holes, riding)
	}
}

// Two ways that would come to the same parts are one; a way above the marks is
// left out, and that is said.
func TestAPlanShowsTwoWaysOnlyWhereTheyDiffer(t *testing.T) {
	one := asked(t, "plan trail 29x2.4 30 mm rim 95 kg")
	_, two := find(one, "a.holes")
	assert.False(t, two, "tyres, rim and spokes are the same")
	left := asked(t, "plan trail 29 80 kg tyre max 25.8 psi")
	_, two = find(left, "a.holes")
	assert.False(t, two)
	assert.Contains(t, noteTexts(left), "way is left out. No pressure")
	both := asked(t, "plan trail 29 80 kg tyre max 30 psi")
	_, two = find(both, "b.holes")
	assert.True(t, two)
}

func noteTexts(r reply.Reply) string {
	var all []string
	for _, n := range r.Notes {
		all = append(all, n.Text)
	}
	return strings.Join(all, "\n")
}

// Rims of two widths are both named.
func TestAPlanNamesBothRims(t *testing.T) {
	r := asked(t, "plan trail 29x2.5/29x2.4 rim 35/30 80 kg")
	assert.Contains(t, r.Lead[0], "on 35/30 mm")
	assert.InDelta(t, 0.035, value(t, r, "a.front.inner"), 1e-9)
	assert.InDelta(t, 0.030, value(t, r, "a.rear.inner"), 1e-9)
}

// An assisted bike, and nobody's weight: what hurts carries its caution.
func TestPlansCarryTheirCautions(t *testing.T) {
	for line, ids := range map[string][]string{
		"plan trail 29 80 kg":          {"limits", "rim-mark", "start-only"},
		"plan emtb enduro 29 90 kg":    {"own-limits", "limits", "rim-mark"},
		"plan trail 29 hookless 80 kg": {"hookless", "limits", "rim-mark"},
		"plan cargo trail 29 100 kg":   {"own-limits", "limits"},
		"plan trail 29":                {"limits", "wheel-back-in"},
	} {
		var got []string
		for _, c := range asked(t, line).Cautions {
			got = append(got, c.ID)
		}
		for _, id := range ids {
			assert.Contains(t, got, id, line)
		}
		if strings.Contains(line, "kg") && !strings.Contains(line, "cargo") {
			r := asked(t, line)
			assert.Contains(t, fmt.Sprint(r.Tables), "axle, brake, rotor", line)
			assert.True(t, r.Private, line)
		}
	}
}
