package read

import (
	"hash/maphash"
	"iter"
	"slices"
)

// texts numbers texts in the order they come. All of them lie in one piece without
// pointers, which takes little room and gives the garbage collector nothing to walk.
type texts struct {
	bytes []byte   // the texts, one behind the other
	ends  []uint32 // by number: where its text ends
	slots []uint32 // by hash: bits of the hash and the number plus one, 0 for none
}

// numberBits are the bits of a slot that hold a number; the others hold bits of the
// hash, so that few texts are compared in vain.
const numberBits = 24

// textSeed is of this run of the program: numbers do not depend on it.
var textSeed = maphash.MakeSeed()

// newTexts returns a table with room for about so many texts of so many bytes each.
func newTexts(many, bytes int) texts {
	t := texts{bytes: make([]byte, 0, many*bytes), ends: make([]uint32, 0, many)}
	t.rehash(many)
	return t
}

// len returns how many texts there are.
func (t *texts) len() int { return len(t.ends) }

// of returns a text by its number.
func (t *texts) of(n int) []byte {
	from := uint32(0)
	if n > 0 {
		from = t.ends[n-1]
	}
	return t.bytes[from:t.ends[n]]
}

// slot returns what a slot holds for a number, and where to look for it first.
func (t *texts) slot(hash uint64, n int) (holds uint32, at int) {
	return uint32(hash>>32)&^(1<<numberBits-1) | uint32(n+1), int(hash) & (len(t.slots) - 1)
}

// alike returns the numbers of texts whose hash may be this.
func (t *texts) alike(hash uint64) iter.Seq[int] {
	return func(yield func(int) bool) {
		if len(t.slots) == 0 {
			return
		}
		wanted, at := t.slot(hash, 0)
		for ; t.slots[at] != 0; at = (at + 1) & (len(t.slots) - 1) {
			if holds := t.slots[at]; (holds^wanted)>>numberBits == 0 && !yield(int(holds&(1<<numberBits-1))-1) {
				return
			}
		}
	}
}

// find returns the number of a text.
func (t *texts) find(text string) (int, bool) {
	for n := range t.alike(maphash.String(textSeed, text)) {
		if string(t.of(n)) == text {
			return n, true
		}
	}
	return 0, false
}

// findBytes is find for bytes.
func (t *texts) findBytes(text []byte) (int, bool) {
	for n := range t.alike(maphash.Bytes(textSeed, text)) {
		if string(t.of(n)) == string(text) {
			return n, true
		}
	}
	return 0, false
}

// add returns the number of a text, a new one if it had none.
func (t *texts) add(text string) (n int, isNew bool) {
	if n, ok := t.find(text); ok {
		return n, false
	}
	n = len(t.ends)
	t.bytes = append(t.bytes, text...)
	t.ends = append(t.ends, uint32(len(t.bytes)))
	if len(t.ends)*4 > len(t.slots)*3 {
		t.rehash(2 * len(t.ends))
	} else {
		t.enter(n)
	}
	return n, true
}

// enter puts a text into its slot.
func (t *texts) enter(n int) {
	holds, at := t.slot(maphash.Bytes(textSeed, t.of(n)), n)
	for t.slots[at] != 0 {
		at = (at + 1) & (len(t.slots) - 1)
	}
	t.slots[at] = holds
}

// rehash makes slots for so many texts.
func (t *texts) rehash(many int) {
	slots := 8
	for slots*3 < many*4 {
		slots *= 2
	}
	t.slots = make([]uint32, slots)
	for n := range t.ends {
		t.enter(n)
	}
}

// settle gives back the room that no text took: nothing is added from now on.
func (t *texts) settle() {
	t.bytes, t.ends = slices.Clone(t.bytes), slices.Clone(t.ends)
	if len(t.ends)*4 < len(t.slots) {
		t.rehash(len(t.ends))
	}
}

// posts hold for each of many words what is told of it.
type posts struct {
	words texts
	told  []post   // while it is learnt: what is told, in the order it came
	from  []uint32 // by word: where what is told of it begins in all
	all   []keyed
}

// post is what is told of a word.
type post struct {
	word uint32
	keyed
}

// add notes what is told of a word.
func (p *posts) add(word string, told keyed) {
	n, _ := p.words.add(word)
	p.told = append(p.told, post{uint32(n), told})
}

// settle sorts what is told by words: nothing is added from now on.
func (p *posts) settle() {
	p.words.settle()
	slices.SortStableFunc(p.told, func(a, b post) int { return int(a.word) - int(b.word) })
	p.all, p.from = make([]keyed, len(p.told)), make([]uint32, p.words.len()+1)
	for i, t := range p.told {
		p.all[i] = t.keyed
		p.from[t.word+1] = uint32(i + 1)
	}
	p.told = nil
}

// of returns what is told of a word.
func (p *posts) of(word string) []keyed {
	n, ok := p.words.find(word)
	if !ok {
		return nil
	}
	return p.all[p.from[n]:p.from[n+1]]
}
