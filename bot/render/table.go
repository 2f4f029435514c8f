package render

import (
	"strings"

	"spokeword/commands/reply"
)

// gutter is the number of blanks between two columns of a table.
const gutter = 2

// mostLines is how tall a wrapped row of a table may become before its rows
// read better as lines of their own.
const mostLines = 4

// table lays out a table within columns: as it stands if it fits, with
// wrapped cells if the longest words leave room, else each row as lines
// "heading: value". It never leaves out a cell.
func table(t reply.Table, columns int) []line {
	head, rows := cells(t)
	if len(rows) == 0 {
		return nil
	}
	var out []line
	if title := Safe(t.Title); title != "" {
		out = append(out, plainLines(wrap(title, columns, 2))...)
	}
	widths, ok := columnWidths(head, rows, columns)
	if ok {
		grid := append([][]string{head}, rows...)
		var laid []line
		tallest := 0
		for i, row := range grid {
			if i == 0 && strings.Join(row, "") == "" {
				continue
			}
			high := rowLines(row, widths)
			tallest = max(tallest, len(high))
			look := asIs
			if i == 0 {
				look = strong
			}
			for _, l := range high {
				laid = append(laid, line{l, look})
			}
		}
		if tallest <= mostLines {
			return append(out, laid...)
		}
	}
	return append(out, records(head, rows, columns)...)
}

// cells returns the head and the rows as safe text, all of one length.
func cells(t reply.Table) (head []string, rows [][]string) {
	n := len(t.Head)
	for _, r := range t.Rows {
		n = max(n, len(r.Cells))
	}
	even := func(texts []string) []string {
		out := make([]string, n)
		for i, text := range texts {
			out[i] = strings.Join(strings.Fields(Safe(text)), " ")
		}
		return out
	}
	for _, r := range t.Rows {
		rows = append(rows, even(r.Cells))
	}
	return even(t.Head), rows
}

// columnWidths returns the width of each column, and false if the longest
// words of the columns do not fit side by side.
func columnWidths(head []string, rows [][]string, columns int) ([]int, bool) {
	n := len(head)
	natural, least := make([]int, n), make([]int, n)
	for _, row := range append([][]string{head}, rows...) {
		for i, cell := range row {
			natural[i] = max(natural[i], Width(cell))
			for _, w := range words(cell) {
				least[i] = max(least[i], Width(w))
			}
		}
	}
	room := columns - gutter*(n-1)
	for sum(natural) > room {
		widest := -1
		for i := range natural {
			if natural[i] > least[i] && (widest < 0 || natural[i] > natural[widest]) {
				widest = i
			}
		}
		if widest < 0 {
			return nil, false
		}
		natural[widest]--
	}
	return natural, true
}

func sum(all []int) int {
	total := 0
	for _, v := range all {
		total += v
	}
	return total
}

// rowLines writes one row of a table with wrapped cells.
func rowLines(row []string, widths []int) []string {
	wrapped := make([][]string, len(row))
	high := 1
	for i, cell := range row {
		wrapped[i] = wrap(cell, max(widths[i], 1), 0)
		high = max(high, len(wrapped[i]))
	}
	lines := make([]string, high)
	for at := range lines {
		var b strings.Builder
		pad := 0
		for i := range row {
			text := ""
			if at < len(wrapped[i]) {
				text = wrapped[i][at]
			}
			if text != "" {
				b.WriteString(strings.Repeat(" ", pad))
				b.WriteString(text)
				pad = 0
			}
			pad += widths[i] - Width(text) + gutter
		}
		lines[at] = b.String()
	}
	return lines
}

// records writes each row as its name and a line for each further cell.
func records(head []string, rows [][]string, columns int) []line {
	var out []line
	for _, row := range rows {
		if len(row) == 2 && strings.Join(head, "") == "" {
			out = append(out, plainLines(wrap(labelled(row[0], row[1]), columns, 2))...)
			continue
		}
		out = append(out, plainLines(wrap(labelled(head[0], row[0]), columns, 2))...)
		for i := 1; i < len(row); i++ {
			if row[i] == "" {
				continue
			}
			out = append(out, plainLines(wrap2(labelled(head[i], row[i]), columns))...)
		}
	}
	return out
}

func labelled(label, text string) string {
	if label == "" {
		return text
	}
	return label + ": " + text
}

// wrap2 wraps a text that stands below the name of its row.
func wrap2(text string, columns int) []string {
	lines := wrap(text, columns-2, 2)
	for i := range lines {
		lines[i] = "  " + lines[i]
	}
	return lines
}
