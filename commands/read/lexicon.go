package read

import (
	"slices"
	"strings"
	"unicode"
	"unicode/utf8"

	"golang.org/x/text/unicode/norm"

	"spokeword/commands/spec"
)

// role says what a word does in a line.
type role uint8

const (
	calls   role = iota // names a command
	cues                // announces or follows an option's value
	hints               // as cues, but weak: "on" before a rim width
	means               // is an option's value
	ends                // names an end: front, rear, left, right, hub, rim
	fills               // says nothing
	joins               // parts alternatives: or, vs
	counts              // a number before it is a count of things, or a distance to go
	shadows             // a number behind it is no value: "starts at"
	repeats             // carries the last request over: same, again
)

// sense is one meaning of a word or phrase.
type sense struct {
	role   role
	target int // index of the command (calls) or option (cues, hints, means)
	value  any // of means
	axis   spec.Axis
	which  spec.Which // of ends
	cost   float32    // of means: what taking it at its word costs
	lone   bool       // of means: holds without its noun beside it
}

// phrase is one spelling with its senses.
type phrase struct {
	senses []sense
	words  int8 // how many it has
	wild   bool // one of the words is anyNumber
}

// anyNumber stands in a spelling for a number, whichever it is: "# mm too long".
const anyNumber = "#"

// lexicon finds what words mean. It is built once from the declarations.
type lexicon struct {
	phrases map[string]*phrase  // by the words, with blanks between
	longer  map[string]bool     // pairs of words with which longer ones begin
	words   map[string]*vocable // every word that is part of a phrase
	deleted map[string][]string // word less one or two letters → words
	plain   map[string]string   // word without its accents → the word

	unmarked []unmarked // to be entered when all is known
	slab     []phrase   // room for phrases: one object in place of many
	vocables []vocable  // the same for words
	buf      []string   // the words of the phrase that is being entered
}

// vocable is what the lexicon knows of a word.
type vocable struct {
	known   bool // a phrase has it, or it was made known
	indexed bool // slips are corrected into it
	plain   bool // it needs no lexing
	longest int8 // words of the longest phrase that begins with it
}

// of returns what is known of a word, to be added to.
func (x *lexicon) of(w string) *vocable {
	v, ok := x.words[w]
	if !ok {
		if len(x.vocables) == cap(x.vocables) {
			x.vocables = make([]vocable, 0, slabPhrases)
		}
		x.vocables = append(x.vocables, vocable{plain: !odd(w)})
		v = &x.vocables[len(x.vocables)-1]
		x.words[w] = v
	}
	return v
}

// knows reports whether a word is part of a phrase.
func (x *lexicon) knows(w string) bool {
	v, ok := x.words[w]
	return ok && v.known
}

// reach returns how many words the longest phrase has that begins with a word.
func (x *lexicon) reach(w string) int {
	if v, ok := x.words[w]; ok {
		return int(v.longest)
	}
	return 0
}

// manyPhrases is about how many phrases all languages have.
const manyPhrases = 60_000

func newLexicon() *lexicon {
	return &lexicon{
		phrases: make(map[string]*phrase, manyPhrases),
		longer:  make(map[string]bool, manyPhrases/4),
		words:   make(map[string]*vocable, manyPhrases/4),
		deleted: make(map[string][]string),
		plain:   make(map[string]string),
	}
}

// isWhole reports whether letters and digits together are one word: the 2 of
// co2 counts nothing.
func isWhole(word string) bool { return word == "co2" }

// lexed splits a spelling into its words, for which words is room. The spelling is
// lexed as lines are, so that "2:1" and "crow's foot" match what people type.
func (x *lexicon) lexed(text string, words []string) []string {
	words = words[:0]
	plain := true
	for w := range strings.SplitSeq(text, " ") {
		words = append(words, w)
		if v, ok := x.words[w]; ok {
			plain = plain && v.plain
		} else {
			plain = plain && !odd(w)
		}
	}
	if plain {
		return words
	}
	l := lexer{line: normalise(text), fields: func(string) bool { return false }, whole: isWhole}
	if !l.lex() || len(l.tokens) == 0 {
		panic("read: cannot declare the word \"" + text + "\"") // a slip in a declaration, seen at start
	}
	tokens := numberTokens(l.tokens)
	words = words[:0]
	for _, t := range tokens {
		words = append(words, t.text)
	}
	return words
}

// odd reports whether a word is more than small Latin letters as they are, or the
// word for a number.
func odd(word string) bool {
	for _, c := range word {
		if c < 'a' || c > 'z' && c < 'ß' || c > 'ž' || !unicode.IsLower(c) {
			return true
		}
	}
	_, spoken := spokenNumber(word)
	return word == "" || spoken || minuses[word] || points[word]
}

// add gives a spelling a sense.
func (x *lexicon) add(text string, s sense, lang spec.Lang) {
	x.enter(text, []sense{s}, lang == spec.English)
}

// enter gives a spelling senses that it has not yet. The senses are not changed:
// spellings may share them.
func (x *lexicon) enter(text string, senses []sense, correctable bool) {
	x.buf = x.lexed(text, x.buf)
	words, key := x.buf, text
	if !joined(words, text) {
		key = strings.Join(words, " ")
	}
	if p, known := x.phrases[key]; known {
		p.join(senses)
		return
	}
	if len(x.slab) == cap(x.slab) {
		x.slab = make([]phrase, 0, slabPhrases)
	}
	x.slab = append(x.slab, phrase{words: int8(len(words)), senses: senses[:len(senses):len(senses)], wild: slices.Contains(words, anyNumber)})
	p := &x.slab[len(x.slab)-1]
	x.learn(key, words, p, correctable)
	if isASCII(key) {
		return
	}
	for _, plain := range [...]string{withoutMarks(key), germanPlain.Replace(key)} {
		if plain != key {
			x.unmarked = append(x.unmarked, unmarked{plain, p})
		}
	}
}

// slabPhrases is for how many phrases room is made at a time.
const slabPhrases = 4096

// joined reports whether a text is the words with a blank between each two.
func joined(words []string, text string) bool {
	for i, w := range words {
		if i > 0 {
			if !strings.HasPrefix(text, " ") {
				return false
			}
			text = text[1:]
		}
		if !strings.HasPrefix(text, w) {
			return false
		}
		text = text[len(w):]
	}
	return text == ""
}

// isASCII reports whether a text holds no letter with an accent, nor any other that
// phones lack.
func isASCII(text string) bool {
	for i := range len(text) {
		if text[i] >= utf8.RuneSelf {
			return false
		}
	}
	return true
}

// unmarked is a phrase as phones type it, without accents.
type unmarked struct {
	key    string
	phrase *phrase
}

// learnUnmarked enters the phrases without accents that nobody means otherwise:
// "hohe" is another word than "Höhe".
func (x *lexicon) learnUnmarked() {
	for _, u := range x.unmarked {
		if _, taken := x.phrases[u.key]; !taken {
			x.learn(u.key, strings.Fields(u.key), u.phrase, false)
		}
	}
	x.unmarked = nil
}

// learn enters a phrase under its words.
func (x *lexicon) learn(key string, words []string, p *phrase, correctable bool) {
	x.phrases[key] = p
	first := x.of(words[0])
	first.longest = max(first.longest, int8(len(words)))
	if len(words) > 2 {
		x.longer[key[:len(words[0])+1+len(words[1])]] = true
	}
	for _, w := range words {
		x.know(w, correctable)
	}
}

// join adds the senses that a phrase has not yet.
func (p *phrase) join(senses []sense) {
	for _, s := range senses {
		if !slices.ContainsFunc(p.senses, s.same) {
			p.senses = append(p.senses, s)
		}
	}
}

// same reports whether two senses are one.
func (s sense) same(o sense) bool {
	if s.role != o.role || s.target != o.target || s.axis != o.axis || s.which != o.which || s.lone != o.lone {
		return false
	}
	text, ok := s.value.(string)
	other, okay := o.value.(string)
	return s.value == nil && o.value == nil || ok && okay && text == other
}

// know enters a word. Slips are corrected into English words only: a word of
// one language is too often a slip away from one of another ("feels", "Fels").
func (x *lexicon) know(w string, correctable bool) {
	v := x.of(w)
	if !v.known {
		v.known = true
		x.unaccented(w)
	}
	if correctable && !v.indexed {
		v.indexed = true
		x.index(w)
	}
}

// unaccented enters a word under its spellings without accents, as phones type
// it: "detras", "hoehe" and "hohe" for "detrás" and "höhe".
func (x *lexicon) unaccented(w string) {
	if isASCII(w) {
		return
	}
	for _, plain := range [...]string{germanPlain.Replace(w), withoutMarks(w)} {
		if _, taken := x.plain[plain]; !taken && plain != w {
			x.plain[plain] = w
		}
	}
}

// accented returns the declared word that w is but for its accents.
func (x *lexicon) accented(w string) (string, bool) {
	if d, ok := x.plain[w]; ok {
		return d, true
	}
	plain := withoutMarks(w)
	if plain == w {
		return "", false
	}
	if x.knows(plain) {
		return plain, true
	}
	d, ok := x.plain[plain]
	return d, ok
}

// germanPlain writes the letters that German keyboards have as others write them.
var germanPlain = strings.NewReplacer("ä", "ae", "ö", "oe", "ü", "ue", "ß", "ss")

// withoutMarks returns a word without accents; a word without any as it is.
func withoutMarks(w string) string {
	if isASCII(w) {
		return w
	}
	if !strings.ContainsFunc(w, func(r rune) bool { return r >= accentedLetters }) {
		return strings.Map(func(r rune) rune { return bare[r] }, w)
	}
	return strings.Map(unmark, norm.NFD.String(w))
}

// unmark drops an accent that stands for itself.
func unmark(r rune) rune {
	switch {
	case unicode.Is(unicode.Mn, r):
		return -1
	case r == 'ß':
		return 's'
	}
	return r
}

// accentedLetters is behind the last of the letters with accents that Latin
// languages use; bare are these without.
const accentedLetters = 0x180

var bare = func() (letters [accentedLetters]rune) {
	for r := range letters {
		for _, letter := range norm.NFD.String(string(rune(r))) {
			letters[r] = unmark(letter)
			break
		}
	}
	return letters
}()

func equal(a, b []string) bool {
	if len(a) != len(b) {
		return false
	}
	for i := range a {
		if a[i] != b[i] {
			return false
		}
	}
	return true
}

// Spelling: a word of four letters may have one slip, one of nine two. A slip
// is a letter too many, too few, another one, or two swapped; the first letter
// must be right, since that is where people don't slip.
const (
	oneSlip  = 4
	twoSlips = 9
)

// index enters a word under every spelling that lacks one letter, or two of a
// long word: two spellings within a slip share such a spelling.
func (x *lexicon) index(w string) {
	n := len([]rune(w))
	if n < oneSlip {
		return
	}
	for _, d := range deletions(w, n >= twoSlips) {
		x.deleted[d] = append(x.deleted[d], w)
	}
}

// deletions returns w and w less one letter (or up to two), the first letter kept.
func deletions(w string, two bool) []string {
	r := []rune(w)
	out := []string{w}
	for i := 1; i < len(r); i++ {
		less := append(append([]rune(nil), r[:i]...), r[i+1:]...)
		out = append(out, string(less))
		if !two {
			continue
		}
		for j := i; j < len(less); j++ {
			out = append(out, string(append(append([]rune(nil), less[:j]...), less[j+1:]...)))
		}
	}
	return out
}

// correct returns the one declared word that w is a slip away from. No word,
// or several at the same distance, is no correction.
func (x *lexicon) correct(w string) (string, bool) {
	n := len([]rune(w))
	if n < oneSlip || n > 24 {
		return "", false
	}
	best, bestSlips, tied := "", 3, false
	for _, d := range deletions(w, n >= twoSlips-1) {
		for _, candidate := range x.deleted[d] {
			if candidate == best {
				continue
			}
			limit := 1
			if len([]rune(candidate)) >= twoSlips {
				limit = 2
			}
			switch slips := distance(w, candidate); {
			case slips > limit || n < shortWord && len([]rune(candidate)) <= n && !swapped(w, candidate):
			case slips < bestSlips:
				best, bestSlips, tied = candidate, slips, false
			case slips == bestSlips:
				tied = true
			}
		}
	}
	return best, best != "" && !tied
}

// shortWord is the length under which a word with another letter in it is
// another word: "rein" is no rain. Only a letter that lacks or two that are
// swapped are slips there.
const shortWord = 5

// swapped reports whether two words hold the same letters.
func swapped(a, b string) bool {
	x, y := []rune(a), []rune(b)
	slices.Sort(x)
	slices.Sort(y)
	return slices.Equal(x, y)
}

// distance returns the number of slips between two words: optimal string
// alignment, in which a swap of neighbours counts as one.
func distance(a, b string) int {
	x, y := []rune(a), []rune(b)
	if len(x) > 32 || len(y) > 32 {
		return 32
	}
	var rows [3][33]int
	for j := 0; j <= len(y); j++ {
		rows[0][j] = j
	}
	for i := 1; i <= len(x); i++ {
		now, before, first := &rows[i%3], &rows[(i+2)%3], &rows[(i+1)%3]
		now[0] = i
		for j := 1; j <= len(y); j++ {
			c := 1
			if x[i-1] == y[j-1] {
				c = 0
			}
			now[j] = min(before[j]+1, now[j-1]+1, before[j-1]+c)
			if i > 1 && j > 1 && x[i-1] == y[j-2] && x[i-2] == y[j-1] {
				now[j] = min(now[j], first[j-2]+1)
			}
		}
	}
	return rows[len(x)%3][len(y)]
}

// match is a phrase found in a line, tokens from to to.
type match struct {
	from, to int
	senses   []sense
	wild     bool // numbers of the line stand for anyNumber
	inner    bool // part of a longer one that says what it is (scan.within)
}

// naming returns the words that name a side of the wheel.
func (x *lexicon) naming(side spec.Which) []string {
	var all []string
	for w, p := range x.phrases {
		if p.words == 1 && slices.ContainsFunc(p.senses, func(sn sense) bool { return sn.role == ends && sn.axis == spec.LeftRight && sn.which == side }) {
			all = append(all, w)
		}
	}
	slices.Sort(all)
	return all
}

// announcing enters the phrases of one word or two that announce an option's values
// into the set of that option.
func (x *lexicon) announcing(into map[int]map[string]bool) {
	for w, p := range x.phrases {
		if p.words > 2 {
			continue
		}
		for _, sn := range p.senses {
			if set := into[sn.target]; sn.role == cues && set != nil {
				set[w] = true
			}
		}
	}
}

// find returns every phrase that begins at token i, the longest first.
func (x *lexicon) find(tokens []token, i int, found []match) []match {
	if tokens[i].kind == field {
		return found
	}
	from := len(found)
	var buf [128]byte
	found = x.grow(tokens, i, i, buf[:0], x.reach(tokens[i].text), found)
	if tokens[i].kind == number {
		found = x.grow(tokens, i, i, append(buf[:0], anyNumber...), x.reach(anyNumber), found)
	}
	for k := from + 1; k < len(found); k++ {
		for j := k; j > from && found[j].to > found[j-1].to; j-- {
			found[j], found[j-1] = found[j-1], found[j]
		}
	}
	return found
}

// grow finds the phrases from token i whose words up to token at are in key, or
// are the token itself if that is empty.
func (x *lexicon) grow(tokens []token, i, at int, key []byte, longest int, found []match) []match {
	if at == i && len(key) == 0 {
		key = append(key, tokens[i].text...)
	}
	if at-i >= longest {
		return found
	}
	if p, ok := x.phrases[string(key)]; ok {
		found = append(found, match{from: i, to: at + 1, senses: p.senses, wild: p.wild})
	}
	at++
	if at == i+2 && longest > 2 && !x.longer[string(key)] {
		return found
	}
	if at >= len(tokens) || tokens[at].kind == field || len(key)+len(tokens[at].text) > 120 {
		return found
	}
	key = append(key, ' ')
	if tokens[at].kind == number {
		found = x.grow(tokens, i, at, append(key, anyNumber...), longest, found)
	}
	return x.grow(tokens, i, at, append(key, tokens[at].text...), longest, found)
}
