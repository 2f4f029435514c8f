package read

import (
	"cmp"
	"maps"
	"math"
	"slices"
	"strings"
	"unicode"

	"spokeword/commands/spec"
)

// This file finds what a line is about where neither a phrase nor a key tells: by
// how many of its telling words stand in what the choices are found by. A word that
// few choices have tells more than one that many have.

// finder holds the choices by their words.
type finder struct {
	choices []sought
	posts   map[string][]posting
	rare    map[string]float64 // how much a word tells; one that no choice has: rarest
	rarest  float64
}

// sought is a choice that is looked for.
type sought struct {
	option int
	value  string
	titled []string // the words of its title, once each
	title  float64  // what they tell together
}

// posting is a word of a choice.
type posting struct {
	choice int32
	weight float32
	titled bool // the title has it
}

// Weights of a word by where it stands: in the title or a phrase, or only in a key,
// where it is one of several ways to say it; and of the title's words once more.
// Tuned on the lines of testdata/lines/topics.txt.
const (
	weightPhrase = 1.0
	weightKey    = 0.8
	weightTitle  = 0.35
)

// What a choice needs to be the one meant: so much of what the line's words tell, so
// far ahead of the next, by so many words; and to be offered as one of several.
// Tuned on the same lines: of those that reach it nine in ten are right.
const (
	scoreSure  = 0.7
	leadSure   = 0.1
	wordsSure  = 2
	scoreOffer = 0.4
	mostOffers = 3
)

// newFinder learns the words of the choices that have a title, and what else is said
// for them.
func newFinder(r *Reader, sayings []Saying) *finder {
	told := make(map[string][]Saying)
	for _, row := range sayings {
		if row.Kind == "keys" || row.Kind == "value" {
			told[row.Value] = append(told[row.Value], row)
		}
	}
	f := &finder{posts: make(map[string][]posting), rare: make(map[string]float64)}
	for o := range r.options {
		c := r.options[o].choices
		if c == nil {
			continue
		}
		for _, choice := range c.All {
			if choice.Title != "" {
				f.learn(o, choice, told[choice.Value])
			}
		}
	}
	n := float64(len(f.choices))
	f.rarest = math.Log(n + 1)
	for w, posts := range f.posts {
		f.rare[w] = math.Log((n + 1) / (float64(len(posts)) + 0.5))
	}
	for i := range f.choices {
		for _, w := range f.choices[i].titled {
			f.choices[i].title += f.rare[w]
		}
	}
	return f
}

// learn enters a choice by its title, words and keys, and by what else is said for it.
func (f *finder) learn(option int, c Choice, said []Saying) {
	at := int32(len(f.choices))
	own := make(map[string]posting)
	note := func(text string, weight float32, titled bool) {
		for _, w := range strings.FieldsFunc(strings.ToLower(text), func(c rune) bool { return !unicode.IsLetter(c) && c != '\'' }) {
			if tells(w) {
				p := own[stem(w)]
				own[stem(w)] = posting{at, max(p.weight, weight), p.titled || titled}
			}
		}
	}
	note(c.Title+" "+strings.ReplaceAll(c.Value, "-", " "), weightPhrase, true)
	f.choices = append(f.choices, sought{option: option, value: c.Value, titled: slices.Sorted(maps.Keys(own))})
	for _, w := range c.Words {
		note(w.Text, weightPhrase, false)
	}
	for _, k := range c.Keys {
		note(k, weightKey, false)
	}
	for _, row := range said {
		weight := float32(weightPhrase)
		if row.Kind == "keys" {
			weight = weightKey
		}
		for _, w := range row.Words {
			note(w, weight, false)
		}
	}
	for w, p := range own {
		f.posts[w] = append(f.posts[w], p)
	}
}

// silent are words that say nothing of what a line is about.
var silent = func() map[string]bool {
	all := make(map[string]bool)
	for w := range strings.FieldsSeq("a an the my our your his her its is are was were be been do does did can could should would will shall i im we you he she they it this that these those of for to in on at with and or but if so as from by about into over me us them there here what which who whom whose how when where why not no any some have has had got get gets getting go goes going just like than then too very really still also only more most much many up out off down am pls please thanks hi hey ok de la le les un une et au aux en que qui pour avec dans sur mon ma mes est pas plus ou je il elle on el los las con por para del al se mi es un una lo gli per di da che non si sono ho il della nel der die das den dem ein eine einen und mit auf im ist ich mein meine wie bei zu hat nicht von oder tell tells know say says mean means anyone somebody someone people guys mate thing things stuff bit lot bad good right wrong idea ideas clue trail trails") {
		all[w] = true
	}
	return all
}()

func tells(w string) bool { return len(w) > 1 && !silent[w] }

// endings of words, the longer before those they end in.
var endings = []string{"ings", "ing", "ies", "ied", "ers", "er", "ed", "es", "s", "ly", "y", "e"}

// leastStem is how many letters stay of a word at least.
const leastStem = 3

// stem returns a word less its ending, its accents and an apostrophe, so that "leaks"
// and "leaking" are one.
func stem(w string) string {
	w = strings.ReplaceAll(withoutMarks(w), "'", "")
	for _, e := range endings {
		if s, ok := strings.CutSuffix(w, e); ok && len(s) >= leastStem {
			w = s
			break
		}
	}
	if n := len(w); n > leastStem && w[n-1] == w[n-2] {
		w = w[:n-1]
	}
	if w == "tir" {
		return "tyr"
	}
	return w
}

// likeness is what a line's words tell of a choice.
type likeness struct {
	choice int32
	score  float64
	titled float64
	words  int
	tokens uint64 // the words that stand in it
}

// seek returns the choices that the words of a line speak of, the likeliest first,
// and only those that may be meant. Words that are units of numbers tell nothing.
func (s *scan) seek() []likeness {
	f := s.r.finder()
	found := make(map[int32]*likeness)
	met, all := make(map[string]bool), 0.0
	for i, t := range s.tokens {
		if t.kind != word || s.number[i] || !tells(t.text) || s.courtesy(i) || s.has(i, fills) || s.has(i, joins) {
			continue
		}
		w := stem(t.text)
		if met[w] {
			continue
		}
		met[w] = true
		rare, known := f.rare[w]
		if !known {
			rare = f.rarest
		}
		all += rare
		for _, p := range f.posts[w] {
			s.steps++
			l := found[p.choice]
			if l == nil {
				l = &likeness{choice: p.choice}
				found[p.choice] = l
			}
			l.score += rare * float64(p.weight)
			l.words++
			l.tokens |= 1 << (i % 64)
			if p.titled {
				l.titled += rare
			}
		}
	}
	var likely []likeness
	for _, l := range found {
		l.score /= all
		if title := f.choices[l.choice].title; title > 0 {
			l.score += weightTitle * l.titled / title
		}
		if l.score >= scoreOffer {
			likely = append(likely, *l)
		}
	}
	slices.SortFunc(likely, func(a, b likeness) int {
		return cmp.Or(cmp.Compare(b.score, a.score), cmp.Compare(a.choice, b.choice))
	})
	return likely
}

// surely returns the topic that the likeliest choice is, if it is surely meant. Left
// are the tokens that the best reading leaves out.
func (s *scan) surely(likely []likeness, left []int) (topic, bool) {
	if !sure(likely) {
		return topic{}, false
	}
	c := s.r.finder().choices[likely[0].choice]
	t := topic{option: c.option, value: c.value, key: -1, tokens: likely[0].tokens}
	for i := range s.tokens {
		if t.tokens&(1<<i) != 0 && slices.Contains(left, i) {
			t.unread++
		}
	}
	return t, true
}

// offers returns the requests for what may be meant.
func (s *scan) offers(likely []likeness) (all []spec.Request) {
	for _, l := range likely[:min(len(likely), mostOffers)] {
		c := s.r.finder().choices[l.choice]
		if req, ok := s.about(topic{option: c.option, value: c.value}); ok {
			all = append(all, req)
		}
	}
	return all
}

// content returns how many of some words name no end of the bike or of a wheel.
func (s *scan) content(tokens uint64) (n int) {
	for i := range s.tokens {
		if tokens&(1<<i) != 0 && s.end[i] == (endAt{}) {
			n++
		}
	}
	return n
}

// sure reports whether the first of several is the one meant.
func sure(likely []likeness) bool {
	return len(likely) > 0 && likely[0].score >= scoreSure && likely[0].words >= wordsSure && (len(likely) == 1 || likely[0].score-likely[1].score >= leadSure)
}
