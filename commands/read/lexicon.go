package read

import (
	"iter"
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

// phrase is one spelling, by what it means.
type phrase struct {
	list  uint32 // of the senses; 0: none, only longer phrases begin so
	words int8   // how many it has
	wild  bool   // one of the words is anyNumber
	opens bool   // phrases of more than two words begin with these two
}

// anyNumber stands in a spelling for a number, whichever it is: "# mm too long".
const anyNumber = "#"

// lexicon finds what words mean. It is built once from the declarations.
type lexicon struct {
	spellings texts     // of phrases: the words, with blanks between
	phrases   []phrase  // by spelling
	lists     [][]sense // what phrases mean; several may share one
	words     texts     // every word that is part of a phrase
	vocables  []vocable // by word
	slips     slipIndex
	plain     map[string]string // word without its accents → the word

	unmarked []unmarked // to be entered when all is known
	buf      []string   // the words of the phrase that is being entered
}

// vocable is what the lexicon knows of a word.
type vocable struct {
	known   bool // a phrase has it, or it was made known
	indexed bool // slips are corrected into it
	plain   bool // it needs no lexing
	longest int8 // words of the longest phrase that begins with it
}

// of returns what is known of a word, to be added to before the next word is.
func (x *lexicon) of(w string) *vocable {
	n, isNew := x.words.add(w)
	if isNew {
		x.vocables = append(x.vocables, vocable{plain: !odd(w)})
	}
	return &x.vocables[n]
}

// knows reports whether a word is part of a phrase.
func (x *lexicon) knows(w string) bool {
	n, ok := x.words.find(w)
	return ok && x.vocables[n].known
}

// reach returns how many words the longest phrase has that begins with a word.
func (x *lexicon) reach(w string) int {
	if n, ok := x.words.find(w); ok {
		return int(x.vocables[n].longest)
	}
	return 0
}

// About how many phrases and words all languages have, and how long they are.
const (
	manyPhrases, longPhrase = 128_000, 18
	manyWords, longWord     = 16_000, 9
)

func newLexicon() *lexicon {
	return &lexicon{
		spellings: newTexts(manyPhrases, longPhrase),
		phrases:   make([]phrase, 0, manyPhrases),
		lists:     make([][]sense, 1),
		words:     newTexts(manyWords, longWord),
		plain:     make(map[string]string),
	}
}

// settle makes the lexicon ready to be looked in: nothing is added from now on.
func (x *lexicon) settle() {
	x.spellings.settle()
	x.words.settle()
	x.phrases, x.vocables, x.lists = slices.Clone(x.phrases), slices.Clone(x.vocables), slices.Clone(x.lists)
	x.slips.settle()
	x.buf = nil
}

// spelt returns the phrases of at most so many words, by number and spelling.
func (x *lexicon) spelt(words int8) iter.Seq2[int, string] {
	return func(yield func(int, string) bool) {
		for n, p := range x.phrases {
			if p.list > 0 && p.words <= words && !yield(n, string(x.spellings.of(n))) {
				return
			}
		}
	}
}

// senses returns what a phrase means.
func (x *lexicon) senses(n int) []sense { return x.lists[x.phrases[n].list] }

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
		if n, ok := x.words.find(w); ok {
			plain = plain && x.vocables[n].plain
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
	n := x.spelling(key)
	if p := &x.phrases[n]; p.list > 0 {
		x.join(n, senses)
		return
	}
	x.learn(n, words, phrase{words: int8(len(words)), list: x.list(senses), wild: slices.Contains(words, anyNumber)}, correctable)
	if isASCII(key) {
		return
	}
	for _, plain := range [...]string{withoutMarks(key), germanPlain.Replace(key)} {
		if plain != key {
			x.unmarked = append(x.unmarked, unmarked{plain, n})
		}
	}
}

// spelling returns the number of a spelling.
func (x *lexicon) spelling(key string) int {
	n, isNew := x.spellings.add(key)
	if isNew {
		x.phrases = append(x.phrases, phrase{})
	}
	return n
}

// list returns the number of a list of senses, which is not changed from now on.
func (x *lexicon) list(senses []sense) uint32 {
	last := x.lists[len(x.lists)-1]
	if len(last) != len(senses) || &last[0] != &senses[0] {
		x.lists = append(x.lists, senses)
	}
	return uint32(len(x.lists) - 1)
}

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
	phrase int
}

// learnUnmarked enters the phrases without accents that nobody means otherwise:
// "hohe" is another word than "Höhe".
func (x *lexicon) learnUnmarked() {
	for _, u := range x.unmarked {
		if n := x.spelling(u.key); x.phrases[n].list == 0 {
			x.learn(n, strings.Fields(u.key), x.phrases[u.phrase], false)
		}
	}
	x.unmarked = nil
}

// learn enters a phrase under its words.
func (x *lexicon) learn(n int, words []string, p phrase, correctable bool) {
	p.opens = x.phrases[n].opens
	x.phrases[n] = p
	first := x.of(words[0])
	first.longest = max(first.longest, int8(len(words)))
	if len(words) > 2 {
		x.phrases[x.spelling(words[0]+" "+words[1])].opens = true
	}
	for _, w := range words {
		x.know(w, correctable)
	}
}

// join adds the senses that a phrase has not yet.
func (x *lexicon) join(n int, senses []sense) {
	had := x.senses(n)
	all := had[:len(had):len(had)] // others may share it
	for _, s := range senses {
		if !slices.ContainsFunc(all, s.same) {
			all = append(all, s)
		}
	}
	if len(all) > len(had) {
		x.phrases[n].list = x.list(all)
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
		n, _ := x.words.find(w)
		x.slips.add(w, n)
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

// slipIndex finds words that are at most a slip or two away from another: two words
// within a slip share a spelling that lacks one letter.
type slipIndex struct {
	pairs []uint64 // hashes of spellings, and behind each the number of its word
}

// add enters a word under every spelling that lacks one letter, or two of a long word.
func (x *slipIndex) add(w string, n int) {
	letters := utf8.RuneCountInString(w)
	if letters < oneSlip {
		return
	}
	for hash := range deletions(w, letters >= twoSlips) {
		x.pairs = append(x.pairs, uint64(hash)<<32|uint64(n))
	}
}

// settle sorts the spellings.
func (x *slipIndex) settle() {
	slices.Sort(x.pairs)
	x.pairs = slices.Clone(slices.Compact(x.pairs))
}

// of returns the numbers of the words that have a spelling, and by chance some others.
func (x *slipIndex) of(hash uint32) iter.Seq[int] {
	return func(yield func(int) bool) {
		at, _ := slices.BinarySearch(x.pairs, uint64(hash)<<32)
		for ; at < len(x.pairs) && uint32(x.pairs[at]>>32) == hash; at++ {
			if !yield(int(uint32(x.pairs[at]))) {
				return
			}
		}
	}
}

// deletions returns hashes of w and of w less one letter (or up to two), the first
// letter kept. The hash is FNV-1a of letters, in 64 bits of which 32 are used.
// http://www.isthe.com/chongo/tech/comp/fnv/
func deletions(w string, two bool) iter.Seq[uint32] {
	return func(yield func(uint32) bool) {
		var room [32]rune
		letters := room[:0]
		for _, c := range w {
			letters = append(letters, c)
		}
		less := func(i, j int) uint32 {
			h := uint64(14695981039346656037)
			for at, c := range letters {
				if at != i && at != j {
					h = (h ^ uint64(c)) * 1099511628211
				}
			}
			return uint32(h >> 32)
		}
		if !yield(less(-1, -1)) {
			return
		}
		for i := 1; i < len(letters); i++ {
			if !yield(less(i, i)) {
				return
			}
			for j := i + 1; two && j < len(letters); j++ {
				if !yield(less(i, j)) {
					return
				}
			}
		}
	}
}

// correct returns the one declared word that w is a slip away from. No word,
// or several at the same distance, is no correction.
func (x *lexicon) correct(w string) (string, bool) {
	n := utf8.RuneCountInString(w)
	if n < oneSlip || n > 24 {
		return "", false
	}
	first, _ := utf8.DecodeRuneInString(w)
	best, bestSlips, tied := "", 3, false
	for d := range deletions(w, n >= twoSlips-1) {
		for number := range x.slips.of(d) {
			candidate := string(x.words.of(number))
			if begins, _ := utf8.DecodeRuneInString(candidate); candidate == best || begins != first {
				continue
			}
			letters, limit := utf8.RuneCountInString(candidate), 1
			if letters >= twoSlips {
				limit = 2
			}
			switch slips := distance(w, candidate); {
			case slips > limit || n < shortWord && letters <= n && !swapped(w, candidate):
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
	for n, w := range x.spelt(1) {
		if slices.ContainsFunc(x.senses(n), func(sn sense) bool { return sn.role == ends && sn.axis == spec.LeftRight && sn.which == side }) {
			all = append(all, w)
		}
	}
	slices.Sort(all)
	return all
}

// announcing enters the phrases of one word or two that announce an option's values
// into the set of that option.
func (x *lexicon) announcing(into map[int]map[string]bool) {
	for n, w := range x.spelt(2) {
		for _, sn := range x.senses(n) {
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
	var p phrase
	if n, ok := x.spellings.findBytes(key); ok {
		if p = x.phrases[n]; p.list > 0 {
			found = append(found, match{from: i, to: at + 1, senses: x.lists[p.list], wild: p.wild})
		}
	}
	at++
	if at == i+2 && longest > 2 && !p.opens {
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
