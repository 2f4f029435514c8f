package wheel_test

import (
	"cmp"
	"encoding/json"
	"math"
	"os"
	"path/filepath"
	"slices"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"spokeword/calc/build"
	"spokeword/calc/quantity"
	"spokeword/calc/wheel"
)

const mm = quantity.Millimetre

// reference is a wheel of testdata/wheels/wheels.json: spokes counted the other
// way round from ours, angles from the x axis, spoke 0 at the bottom.
type reference struct {
	Inputs struct {
		E    float64 `json:"E_sp"`
		N    int
		R    float64
		Area float64 `json:"A_sp"`
		EA   float64
		Rad  float64 `json:"EI_rad"`
		Lat  float64 `json:"EI_lat"`
		GJ   float64
		T    float64 `json:"T_R"`
	}
	Geometry map[string]float64
	Tension  struct {
		Right    float64 `json:"T_right"`
		Left     float64 `json:"T_left"`
		Hoop     float64 `json:"hoop_compression_N"`
		Critical float64 `json:"critical_tension_factor"`
	}
	Bare   level `json:"L0_no_prestress"`
	Tense  level `json:"L1_with_prestress"`
	Spokes []struct {
		Side        string
		Hub, Nipple [3]float64
		L           float64
	}
}

type level struct {
	At    figures `json:"at_spoke0"`
	Mid   figures `json:"mid_gap_0_1"`
	Worst struct {
		Load float64 `json:"load_N"`
	} `json:"worst_radial_slack"`
	WindUp *float64 `json:"K_tor_uniform_flexible_rim_Nm_deg"`
}

type figures struct {
	Rad        float64   `json:"K_rad_N_mm"`
	Lat        float64   `json:"K_lat_N_mm"`
	Tan        *float64  `json:"K_tan_N_mm"`
	Contact    *float64  `json:"K_tor_contact_Nm_deg"`
	DRad       []float64 `json:"dT_N_for_1000N_radial_inward"`
	DLat       []float64 `json:"dT_N_for_100N_lateral_plus_z"`
	DTan       []float64 `json:"dT_N_for_100N_tangential_plus_theta"`
	Sideways   float64   `json:"lat_defl_mm_for_1000N_radial"`
	SlackRad   float64   `json:"slack_radial_load_N"`
	SlackRight float64   `json:"slack_lateral_plus_N"`
	SlackLeft  float64   `json:"slack_lateral_minus_N"`
}

// setup turns a reference into ours: every spoke listed, with its hub hole's angle.
func (r *reference) setup(t testing.TB, tension float64) wheel.Setup {
	n := r.Inputs.N
	d := quantity.Length(2*math.Sqrt(r.Inputs.Area/math.Pi)) * mm
	w := build.Wheel{Rim: build.Rim{ERD: quantity.Length(2*r.Inputs.R) * mm, Holes: n}}
	hub := [2][]float64{}
	for i := range n {
		j := (n - i) % n
		s := r.Spokes[j]
		side := build.Left
		if s.Side == "R" {
			side = build.Right
		}
		f := &w.Half(side).Flange
		f.Circle = quantity.Length(2*math.Hypot(s.Hub[0], s.Hub[1])) * mm
		f.Offset = quantity.Length(math.Abs(s.Hub[2])) * mm
		f.HoleDiameter = 2.5 * mm
		// Hole i of the rim stands at i gaps from the first; spoke 0 at the
		// bottom is turned there.
		angle := math.Atan2(s.Hub[0], s.Hub[1]) - math.Pi
		angle = math.Mod(angle+8*math.Pi, 2*math.Pi)
		w.Joins = append(w.Joins, build.Join{Rim: i, Side: side, Hub: len(hub[side])})
		hub[side] = append(hub[side], angle)
		w.Half(side).Gauge = build.Plain(d)
		w.Half(side).Cross = 1
	}
	for _, side := range build.Sides {
		f := &w.Half(side).Flange
		f.Holes = len(hub[side])
		order := make([]int, f.Holes)
		for i := range order {
			order[i] = i
		}
		slices.SortFunc(order, func(a, b int) int { return cmp.Compare(hub[side][a], hub[side][b]) })
		place := make([]int, f.Holes)
		for at, i := range order {
			place[i] = at
			f.Angles = append(f.Angles, quantity.Angle(hub[side][i]))
		}
		for i := range w.Joins {
			if j := &w.Joins[i]; j.Side == side {
				j.Hub = place[j.Hub]
			}
		}
	}
	return wheel.Setup{
		Wheel: w, Tension: quantity.Force(tension), Modulus: r.Inputs.E * 1e6,
		Section: wheel.Section{
			Stretch: quantity.Force(r.Inputs.EA),
			Radial:  quantity.Rigidity(r.Inputs.Rad) * quantity.NewtonMillimetre2,
			Lateral: quantity.Rigidity(r.Inputs.Lat) * quantity.NewtonMillimetre2,
			Twist:   quantity.Rigidity(r.Inputs.GJ) * quantity.NewtonMillimetre2,
		},
	}
}

func references(t testing.TB) map[string]*reference {
	text, err := os.ReadFile(filepath.Join("..", "..", "testdata", "wheels", "wheels.json"))
	require.NoError(t, err)
	var all map[string]*reference
	require.NoError(t, json.Unmarshal(text, &all))
	require.Len(t, all, 4)
	return all
}

// TestReferences compares with the wheels of an independent program: 0.5 %
// without tension, 1 % with, the critical factor 3 %, changes of tension 0.5 %
// of the load.
func TestReferences(t *testing.T) {
	for name, r := range references(t) {
		t.Run(name, func(t *testing.T) {
			for _, c := range []struct {
				name      string
				tension   float64
				want      level
				tolerance float64
			}{{"bare", 0, r.Bare, 0.005}, {"tensioned", max(r.Tension.Right, r.Tension.Left), r.Tense, 0.01}} {
				t.Run(c.name, func(t *testing.T) {
					m, err := wheel.New(r.setup(t, c.tension))
					require.NoError(t, err)
					compare(t, r, m, c.want, c.tolerance)
					if c.tension > 0 {
						assert.InEpsilon(t, r.Tension.Right, float64(m.Tension(build.Right)), 1e-4)
						assert.InEpsilon(t, r.Tension.Left, float64(m.Tension(build.Left)), 1e-4)
						assert.InEpsilon(t, r.Tension.Hoop, float64(m.Compression()), 1e-4)
						assert.InEpsilon(t, r.Tension.Critical, m.Critical(), 0.03, "critical factor")
					}
				})
			}
		})
	}
}

func compare(t *testing.T, r *reference, m *wheel.Model, want level, tolerance float64) {
	near := func(want, got float64, what string) {
		t.Helper()
		assert.InEpsilon(t, want, got, tolerance, what)
	}
	n := r.Inputs.N
	for i, s := range m.Spokes() {
		assert.InDelta(t, r.Spokes[(n-i)%n].L, s.Length.MM(), 1e-4, "length at %v", i)
	}
	at, mid := wheel.Place{Hole: 0}, wheel.Place{Hole: n - 1, Mid: true}
	for _, c := range []struct {
		what string
		at   wheel.Place
		want figures
	}{{"at spoke", at, want.At}, {"mid gap", mid, want.Mid}} {
		s, err := m.Stiff(c.at)
		require.NoError(t, err)
		near(c.want.Rad, s.Radial.In(quantity.NewtonPerMillimetre), c.what+" radial")
		near(c.want.Lat, s.Lateral.In(quantity.NewtonPerMillimetre), c.what+" lateral")
		if c.want.Tan != nil {
			near(*c.want.Tan, s.Tangential.In(quantity.NewtonPerMillimetre), c.what+" tangential")
			near(*c.want.Contact, s.WindUp.In(quantity.NewtonMetrePerDegree), c.what+" wind-up")
		} else {
			assert.False(t, m.Torque())
			assert.Zero(t, s.Tangential)
		}
	}
	if want.WindUp != nil {
		near(*want.WindUp, m.WindUp().In(quantity.NewtonMetrePerDegree), "wind-up evenly")
	}
	changes := func(load wheel.Load, newtons float64, want []float64, what string) wheel.Answer {
		a, err := m.Load(at, load)
		require.NoError(t, err, what)
		require.Len(t, want, n)
		for i := range n {
			assert.InDelta(t, want[(n-i)%n], float64(a.Tension[i]), 0.005*newtons, "%s, spoke %v", what, i)
		}
		return a
	}
	a := changes(wheel.Load{Inward: 1000}, 1000, want.At.DRad, "radial")
	assert.InDelta(t, want.At.Sideways, a.There.Right.MM(), 0.01*math.Abs(want.At.Sideways)+2e-4, "sideways for a radial load")
	changes(wheel.Load{Right: 100}, 100, want.At.DLat, "lateral")
	if want.At.Tan != nil {
		changes(wheel.Load{Drive: 100}, 100, want.At.DTan, "along")
	}
	if m.Tension(build.Right) == 0 {
		// Slack loads of the reference take the tension all the same.
		first := func(load wheel.Load) float64 {
			a, err := m.Load(at, load)
			require.NoError(t, err)
			least := math.Inf(1)
			for i, d := range a.Tension {
				has := r.Tension.Left
				if m.Spokes()[i].Side == build.Right {
					has = r.Tension.Right
				}
				if d < 0 {
					least = min(least, -has/float64(d))
				}
			}
			return least
		}
		near(want.At.SlackRad, first(wheel.Load{Inward: 1}), "slack radial")
		near(want.At.SlackRight, first(wheel.Load{Right: 1}), "slack to the right")
		near(want.At.SlackLeft, first(wheel.Load{Right: -1}), "slack to the left")
		return
	}
	slack := m.Response()
	near(want.At.SlackRad, float64(slack.Slack(at, wheel.Inward).Load), "slack radial")
	near(want.At.SlackRight, float64(slack.Slack(at, wheel.ToRight).Load), "slack to the right")
	near(want.At.SlackLeft, float64(slack.Slack(at, wheel.ToLeft).Load), "slack to the left")
	near(want.Worst.Load, float64(slack.FirstSlack(wheel.Inward).Load), "worst slack")
}
