package read

import (
	"slices"
	"strings"

	"spokeword/commands/spec"
)

// This file reads the diameters of spokes.

// bidWires reads a spoke's diameters: 2.0/1.8/2.0.
func (s *scan) bidWires() {
	for _, o := range s.r.holding.wires {
		f, one := s.r.options[o].form.(Wire)
		if !one {
			f = s.r.options[o].form.(Wires).Wire
		}
		for i := range s.tokens {
			var d []float64
			j := i
			for j < len(s.tokens) && s.tokens[j].kind == number && s.tokens[j].num >= 1.2 && s.tokens[j].num <= 2.8 && len(d) < 3 {
				d = append(d, s.tokens[j].num)
				j++
				if !s.isMark(j, "/") || j+1 >= len(s.tokens) || s.tokens[j+1].kind != number {
					break
				}
				j++
			}
			if len(d) == 0 || i > 0 && s.isMark(i-1, "/") {
				continue
			}
			if s.isWord(j, "mm") {
				j++
			}
			if len(d) == 1 {
				s.bidPlain(o, f, i, j)
				continue
			}
			if v, err := butts(d); err == nil {
				b := bid{from: int8(i), to: int8(j), option: int16(o), cost: 0.3, value: v}
				if len(d) == 2 {
					b.cost = 0.9
				}
				if from, to, ok := s.cueBeside(o, i, j); ok {
					b.from, b.to, b.cost = int8(from), int8(to), 0.1
				} else if j < len(s.tokens) && s.tokens[j].kind == word && slices.Contains(f.Nouns, s.tokens[j].text) {
					b.to, b.cost = int8(j+1), 0.1 // "2.0/1.5 spokes"
				} else if s.has(j, joins) && (s.isWord(j+1, "plain") || s.isWord(j+1, "straight")) {
					b.cost = 0.1 // "2.0/1.8 or plain 2.0"
				}
				s.offer(s.boxed(b, spec.Both))
			}
		}
	}
}

// bidPlain reads the diameter of a plain spoke from tokens i to j: "1.8 spokes".
// It is one with a decimal, or with its unit, beside a word for it.
func (s *scan) bidPlain(o int, f Wire, i, j int) {
	if !strings.ContainsAny(s.tokens[i].text, ".,") && j == i+1 {
		return
	}
	b := bid{from: int8(i), to: int8(j), option: int16(o), cost: 0.1, value: Butts{s.tokens[i].num, s.tokens[i].num, s.tokens[i].num}}
	switch from, to, cued := s.cueBeside(o, i, j); {
	case cued:
		b.from, b.to = int8(from), int8(to)
	case j < len(s.tokens) && s.tokens[j].kind == word && slices.Contains(f.Nouns, s.tokens[j].text):
		b.to = int8(j + 1)
	case s.has(j, joins) && s.wireAt(j+1), s.has(i-1, joins) && i >= 6 && s.wireAt(i-6):
		b.cost = 0.3 // "2.0 vs 2.0/1.8/2.0"
	case i > 0 && (s.isWord(i-1, "plain") || s.isWord(i-1, "straight")):
		b.from = int8(i - 1) // "or plain 2.0"
	case s.behindNoun(f, i) && (j == len(s.tokens) || !s.isWord(j, "x")):
		b.cost = 0.4 // "radio de 1,8"
	default:
		return
	}
	s.offer(s.boxed(b, spec.Both))
}

// wireAt reports whether the three diameters of a butted spoke begin at token i:
// "2.0/1.8/2.0". They are nothing else.
func (s *scan) wireAt(i int) bool {
	if i < 0 || i+4 >= len(s.tokens) || !s.isMark(i+1, "/") || !s.isMark(i+3, "/") {
		return false
	}
	for k := i; k <= i+4; k += 2 {
		if s.tokens[k].kind != number || s.tokens[k].num < 1.2 || s.tokens[k].num > 2.8 {
			return false
		}
	}
	return true
}

// inWire reports whether token i is one of the diameters of a butted spoke.
func (s *scan) inWire(i int) bool { return s.wireAt(i) || s.wireAt(i-2) || s.wireAt(i-4) }

// behindNoun reports whether a word for a spoke stands before token i, with a small
// word between at most.
func (s *scan) behindNoun(f Wire, i int) bool {
	noun := func(i int) bool {
		return i >= 0 && s.tokens[i].kind == word && slices.Contains(f.Nouns, s.tokens[i].text)
	}
	return noun(i-1) || s.has(i-1, fills) && noun(i-2)
}
