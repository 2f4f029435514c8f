// Package sayings holds how people say what the commands declare: the words of each
// language that no declaration needs to show, as data. A line of a table is
//
//	kind name | word; words of several; …
//
// with the kinds
//
//	option    words before or behind a number of that option
//	hint      the same, but weak: "on" before a rim
//	value     words that mean a choice, as "value ground.wet"
//	article   phrases that an article answers
//	keys      words that tell an article from anywhere in the line: of each group
//	          one, "speiche~ reiß~|bricht" (a tilde: all that begin so)
//	command   words that call a command
//	end       front, rear, bothends, left, right, bothsides, hub, rim
//	fill, join, repeat, count, before
//	          words that say nothing, part alternatives, carry the last request
//	          over, stand behind a number that is no value, or before one
//
// Words stand in lower case, without the accents that phones leave out being
// repeated: both spellings are read. A # stands for any number.
package sayings

import (
	_ "embed"
	"fmt"
	"strings"

	"spokeword/commands/read"
	"spokeword/commands/spec"
)

// The tables are texts of the program: their rows hold parts of them, and no copies.
var (
	//go:embed en.txt
	english string
	//go:embed de.txt
	german string
	//go:embed fr.txt
	french string
	//go:embed es.txt
	spanish string
	//go:embed it.txt
	italian string
)

var tables = map[spec.Lang]string{spec.English: english, spec.German: german, spec.French: french, spec.Spanish: spanish, spec.Italian: italian}

// All returns the rows of all languages, or what is wrong with one.
func All() ([]read.Saying, error) {
	var all []read.Saying
	for lang := spec.English; lang <= spec.Italian; lang++ {
		rows, err := parse(lang, tables[lang])
		if err != nil {
			return nil, fmt.Errorf("sayings: %s.txt: %w", lang.Code(), err)
		}
		all = append(all, rows...)
	}
	return all, nil
}

// parse reads a table. Empty lines and those behind a # at their start say nothing.
func parse(lang spec.Lang, text string) ([]read.Saying, error) {
	var rows []read.Saying
	n := 0
	for line := range strings.Lines(text) {
		n++
		line = strings.TrimSpace(line)
		if line == "" || strings.HasPrefix(line, "#") {
			continue
		}
		head, list, ok := strings.Cut(line, "|")
		kind, name, _ := strings.Cut(strings.TrimSpace(head), " ")
		if !ok || kind == "" {
			return nil, fmt.Errorf("line %d: want kind name | words, as option rider | i weigh", n)
		}
		row := read.Saying{Lang: lang, Kind: kind, Name: strings.TrimSpace(name)}
		switch kind {
		case "article":
			row.Kind, row.Name, row.Value = "value", "what", row.Name
		case "keys":
			row.Name, row.Value = "what", row.Name
		case "value":
			if row.Name, row.Value, ok = strings.Cut(row.Name, "."); !ok {
				return nil, fmt.Errorf("line %d: want value option.choice | words, as value ground.wet | soaked", n)
			}
		}
		row.Words = make([]string, 0, strings.Count(list, ";")+1)
		for w := range strings.SplitSeq(list, ";") {
			if w = strings.TrimSpace(w); w != "" {
				row.Words = append(row.Words, w)
			}
		}
		if len(row.Words) == 0 {
			return nil, fmt.Errorf("line %d: want words behind the stroke", n)
		}
		rows = append(rows, row)
	}
	return rows, nil
}
