package render

import (
	"slices"
	"sort"
	"strings"

	"spokeword/commands/reply"
)

// Fit cuts a reply until its size is within the budget: first notes, the last
// first, then rows of tables, then what was assumed, and at need what else may
// be missed. The lead, the question and the cautions stay whole whatever the
// budget; if they alone are over it, the result is too, and the front end
// sends them as a message of their own.
//
// Size measures a reply as the front end would send it. What was left out is
// said in a note, if there is room for it.
func Fit(r reply.Reply, budget int, size func(reply.Reply) int) reply.Reply {
	if size(r) <= budget {
		return r
	}
	// What is cut, and in which order, does not depend on the size: half of
	// what is left can be tried at a time.
	cut := func(times int) reply.Reply {
		out := r
		for range times {
			cutOnce(&out)
		}
		return out
	}
	said := func(times int) reply.Reply {
		out := cut(times)
		out.Notes = append(slices.Clone(out.Notes), reply.Note{Text: leftOut(r, out)})
		return out
	}
	most := 0
	for last := r; cutOnce(&last); {
		most++
	}
	least := 1 + sort.Search(most, func(i int) bool { return size(said(i+1)) <= budget })
	for ; least <= most; least++ { // a cut may make what is said of it longer
		if with := said(least); size(with) <= budget {
			return with
		}
	}
	return cut(most)
}

// cutOnce takes away the least of what is left that may go.
func cutOnce(r *reply.Reply) bool {
	switch {
	case len(r.Notes) > 0:
		r.Notes = r.Notes[:len(r.Notes)-1]
	case len(r.Tables) > 0:
		tables := slices.Clone(r.Tables)
		last := &tables[len(tables)-1]
		if len(last.Rows) > 1 {
			last.Rows = last.Rows[:len(last.Rows)-1]
		} else {
			tables = tables[:len(tables)-1]
		}
		r.Tables = tables
	case len(r.Assumed) > 0:
		r.Assumed = r.Assumed[:len(r.Assumed)-1]
	case len(r.Read) > 0:
		r.Read = r.Read[:len(r.Read)-1]
	case len(r.Unused) > 0:
		r.Unused = r.Unused[:len(r.Unused)-1]
	case len(r.Actions) > 0:
		r.Actions = r.Actions[:len(r.Actions)-1]
	default:
		return false
	}
	return true
}

// leftOut says what the cut reply lacks.
func leftOut(full, cut reply.Reply) string {
	var lacks []string
	for _, part := range []struct {
		name string
		gone bool
	}{
		{"notes", len(cut.Notes) < len(full.Notes)},
		{"rows of the table", rows(cut) < rows(full)},
		{"what was assumed", len(cut.Assumed) < len(full.Assumed)},
		{"what was read", len(cut.Read) < len(full.Read) || len(cut.Unused) < len(full.Unused)},
		{"what to do next", len(cut.Actions) < len(full.Actions)},
	} {
		if part.gone {
			lacks = append(lacks, part.name)
		}
	}
	return "Left out to fit here: " + strings.Join(lacks, ", ") + "."
}

func rows(r reply.Reply) int {
	n := 0
	for _, t := range r.Tables {
		n += len(t.Rows)
	}
	return n
}
