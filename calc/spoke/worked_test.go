package spoke_test

import (
	"encoding/csv"
	"math"
	"os"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"spokeword/calc/build"
	"spokeword/calc/lace"
	"spokeword/calc/quantity"
	"spokeword/calc/spoke"
)

const mm = quantity.Millimetre

// row is one line of testdata/worked/spokes.csv.
type row map[string]string

func worked(t testing.TB) []row {
	t.Helper()
	file, err := os.Open("../../testdata/worked/spokes.csv")
	require.NoError(t, err)
	defer file.Close()
	r := csv.NewReader(file)
	r.Comment = '#'
	all, err := r.ReadAll()
	require.NoError(t, err)
	var rows []row
	for _, rec := range all[1:] {
		m := row{}
		for i, name := range all[0] {
			m[name] = rec[i]
		}
		rows = append(rows, m)
	}
	return rows
}

func (r row) num(t testing.TB, name string) float64 {
	t.Helper()
	v, err := strconv.ParseFloat(r[name], 64)
	require.NoError(t, err, "%s of %s", name, r["case"])
	return v
}

func (r row) mm(t testing.TB, name string) quantity.Length {
	if r[name] == "" {
		return 0
	}
	return quantity.Length(r.num(t, name)) * mm
}

// wheel builds the whole wheel of a line: the other side is like the one that
// the line is about, except in 2:1.
func (r row) wheel(t testing.TB) (build.Wheel, build.Side) {
	n, m := int(r.num(t, "N")), int(r.num(t, "spokes_on_side"))
	side := build.Left
	if r["side"] == "R" {
		side = build.Right
	}
	f := build.Flange{Offset: r.mm(t, "flange_offset"), Holes: m}
	h := build.Half{}
	if r["hub_type"] == "straight-pull" {
		f.Seat, f.Tangent, f.Ahead = build.StraightPull, r.mm(t, "sp_tangent_radius"), r.mm(t, "sp_seat_shift")
	} else {
		f.Circle, f.HoleDiameter = r.mm(t, "PCD"), r.mm(t, "hole_d")
		number, _, _ := strings.Cut(r["crossings"], " ")
		x, err := strconv.ParseFloat(number, 64)
		require.NoError(t, err)
		h.Cross = int(x)
	}
	h.Flange = f
	w := build.Wheel{Left: h, Right: h, Rim: build.Rim{ERD: r.mm(t, "ERD"), Holes: n}}
	axial := r.mm(t, "rim_hole_axial")
	if side == build.Left {
		w.Rim.ShiftLeft = axial
	} else {
		w.Rim.ShiftLeft = -axial
	}
	switch r["case"] {
	case "S39": // the holes alternate to the far side
		w.Rim.ShiftLeft, w.Rim.Stagger = 0, axial
	case "S46", "S47": // − and + of the two laceable angles
		w.Pattern, w.Single = build.TwoToOne, build.Left
		w.Left.Cross, w.Left.Flange.Holes = 0, 8
		w.Right.Wide = r["case"] == "S47"
	case "S52": // 15° apart, and 60° + 7.5°
		for _, s := range build.Sides {
			w.Half(s).Flange.Pairing, w.Half(s).Wide = 15*quantity.Degree, true
		}
	case "S53": // one flange turned by a rim pitch: the hub settles half a pitch off on each side
		w.Right.Flange.Turn = 360 * quantity.Degree / 32
	}
	return w, side
}

// The construction of the file is another program's; 0.01 mm is what it prints.
func TestWorkedLengths(t *testing.T) {
	rows := worked(t)
	require.Len(t, rows, 28)
	for _, r := range rows {
		w, side := r.wheel(t)
		spokes, err := lace.Place(w)
		require.NoError(t, err, r["case"])
		groups := spoke.Grouped(&w, spokes).Of(side)
		if r["case"] == "S53" {
			// Pulling spokes gain the half pitch, pushing ones lose it, here
			// the other way about on the other side: the file gives the longer.
			require.Len(t, groups, 2)
			groups = groups[1:]
		}
		require.Len(t, groups, 1, r["case"])
		g := groups[0]
		want := r.num(t, "L_mm")
		if got := g.Length.MM(); math.Abs(got-want) > 0.02 {
			t.Errorf("length of %s (%s) = %v mm, want %v mm", r["case"], r["desc"], got, want)
		}
		if got, want := g.Angle.In(quantity.Degree), r.num(t, "angle_deg"); math.Abs(got-want) > 1e-4 {
			t.Errorf("angle of %s = %v°, want %v°", r["case"], got, want)
		}
		if r["textbook_check_mm"] == "" {
			continue
		}
		h := w.Half(side)
		offset := h.Flange.Offset - r.mm(t, "rim_hole_axial")
		alpha := 2 * math.Pi * float64(h.Cross) / r.num(t, "spokes_on_side")
		if got := closed(w.Rim.ERD, h.Flange.Circle, offset, h.Flange.HoleDiameter, alpha).MM(); math.Abs(got-g.Length.MM()) > 1e-9 {
			t.Errorf("%s: closed formula %v mm, placed %v mm", r["case"], got, g.Length.MM())
		}
	}
}

// closed is the formula of the handbooks, the other side of the tests.
func closed(erd, circle, offset, hole quantity.Length, alpha float64) quantity.Length {
	R, r, w := float64(erd)/2, float64(circle)/2, float64(offset)
	return quantity.Length(math.Sqrt(R*R+r*r+w*w-2*R*r*math.Cos(alpha))) - hole/2
}
