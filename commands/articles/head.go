package articles

import (
	"embed"
	"fmt"
	"path"
	"slices"
	"strconv"
	"strings"

	"spokeword/commands/spec"
)

//go:embed subjects/*.yaml
var files embed.FS

// fileOf returns the path of an article's file.
func fileOf(id string) string { return "subjects/" + id + ".yaml" }

// Kind is what an article is about.
type Kind string

// The kinds of articles.
const (
	Symptom  Kind = "symptom"  // something felt, heard or seen: causes, a test, a verdict
	Question Kind = "question" // something to understand or to choose
	Word     Kind = "word"     // a word of the trade
)

// Head is what an article is found by.
type Head struct {
	ID   string `yaml:"-"` // name of its file
	Kind Kind   `yaml:"kind"`
	// Title is what it is about, in a few words.
	Title string `yaml:"title"`
	// Words are what people say for it, in English; De to It in the languages
	// that people of the trade mix in. A # stands for any number.
	Words []string `yaml:"words"`
	// Keys are words that tell it from anywhere in a line: groups of alternatives,
	// one of each must be there. "sealant|latex ball~|lump~".
	Keys []string `yaml:"keys"`
	// Terms are the words that a word's article explains, in the singular with
	// no article of grammar: all the ways to ask what one means are made of it.
	Terms []string `yaml:"terms"`
	De    []string `yaml:"de"`
	Fr    []string `yaml:"fr"`
	Es    []string `yaml:"es"`
	It    []string `yaml:"it"`
}

// lists returns the head's lists by the names of their fields.
func (h *Head) lists() map[string]*[]string {
	return map[string]*[]string{"words": &h.Words, "keys": &h.Keys, "terms": &h.Terms, "de": &h.De, "fr": &h.Fr, "es": &h.Es, "it": &h.It}
}

// asksEnglish are the ways to ask what a term means.
var asksEnglish = []string{
	"what is TERM", "what is a TERM", "what is the TERM", "whats TERM", "whats a TERM", "what are TERM", "what does TERM mean", "what does a TERM mean",
	"TERM meaning", "meaning of TERM", "explain TERM", "define TERM",
}

// Said returns every spelling that means the article.
func (h Head) Said() spec.Words {
	var all []any
	for _, w := range h.Words {
		all = append(all, w)
	}
	for _, t := range h.Terms {
		for _, ask := range asksEnglish {
			if w := strings.Replace(ask, "TERM", t, 1); !slices.Contains(h.Words, w) {
				all = append(all, w)
			}
		}
		for _, ask := range []string{"was ist ", "was heißt ", "was bedeutet "} {
			if !slices.Contains(h.De, ask+t) {
				all = append(all, spec.De(ask+t))
			}
		}
	}
	for _, other := range []struct {
		words []string
		in    func(...string) spec.Words
	}{{h.De, spec.De}, {h.Fr, spec.Fr}, {h.Es, spec.Es}, {h.It, spec.It}} {
		if len(other.words) > 0 {
			all = append(all, other.in(other.words...))
		}
	}
	return spec.W(all...)
}

// Heads returns the heads of all articles in the order of their ids. One that
// can't be read is an error of ours, found at start and in the tests.
func Heads() ([]Head, error) {
	found, err := files.ReadDir(path.Dir(fileOf("")))
	if err != nil {
		return nil, err
	}
	all := make([]Head, 0, len(found))
	for _, f := range found {
		id := strings.TrimSuffix(f.Name(), path.Ext(f.Name()))
		text, err := files.ReadFile(fileOf(id))
		if err != nil {
			return nil, err
		}
		h, err := headIn(string(text))
		if err != nil {
			return nil, fmt.Errorf("article %s: %w", id, err)
		}
		h.ID = id
		all = append(all, h)
	}
	return all, nil
}

// headIn reads the head of a file. Hundreds of files whole, of which a run shows
// one, would be most of what a start takes: so only the lines of the head are
// looked at, and of YAML only what they need, a list in brackets or of a line
// each, its texts in double quotes. The tests hold that it reads what a library
// for YAML reads.
func headIn(text string) (h Head, err error) {
	lists := h.lists()
	var list *[]string // that the lines with a dash belong to
	for line := range strings.Lines(text) {
		line = strings.TrimRight(line, "\n")
		if item, ok := strings.CutPrefix(line, "  - "); ok {
			if list == nil {
				continue
			}
			rest := ""
			if *list, rest, err = appendQuoted(*list, item); err == nil && rest != "" {
				err = fmt.Errorf("%q behind a text of a list: want nothing", rest)
			}
			if err != nil {
				return h, err
			}
			continue
		}
		name, rest, ok := strings.Cut(line, ":")
		if !ok || line[0] == ' ' {
			continue
		}
		rest = strings.TrimSpace(rest)
		switch list = lists[name]; name {
		case "kind":
			h.Kind = Kind(rest)
		case "title":
			if h.Title, err = strconv.Unquote(rest); err != nil || rest[0] != '"' {
				return h, fmt.Errorf("title %.40q: want a text in double quotes", rest)
			}
		}
		if list == nil || rest == "" {
			continue
		}
		if rest, ok = strings.CutPrefix(rest, "["); !ok {
			return h, fmt.Errorf("%s: want a list in brackets, or a line with a dash each", name)
		}
		for more := true; more; {
			if *list, rest, err = appendQuoted(*list, rest); err != nil {
				return h, fmt.Errorf("%s: %w", name, err)
			}
			rest, more = strings.CutPrefix(rest, ", ")
		}
		if rest != "]" {
			return h, fmt.Errorf("%s: %q at the end of a list: want a bracket", name, rest)
		}
	}
	return h, nil
}

// appendQuoted appends the text in double quotes at the start of from, and returns
// what stands behind it.
func appendQuoted(list []string, from string) ([]string, string, error) {
	quoted, err := strconv.QuotedPrefix(from)
	if err != nil || quoted[0] != '"' {
		return list, from, fmt.Errorf("%.40q: want a text in double quotes", from)
	}
	text, err := strconv.Unquote(quoted)
	return append(list, text), from[len(quoted):], err
}
