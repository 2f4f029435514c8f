package read

import (
	"slices"
	"strings"

	"spokeword/calc/quantity"
	"spokeword/commands/spec"
)

// This file reads lengths of spokes by how they are written: those that were worked
// out have decimals, those in a drawer are whole and stand in a row: "287.4 left and
// 285.9 right, the shop has 286 288 290".

// Lengths of spokes, in mm, as lines tell them without a word for it.
const leastSpoke, mostSpoke = 150, 340

// drawerWords say that lengths are there to be had, anywhere in the line.
var drawerWords = []string{"drawer", "box", "stock", "stocks", "shop", "store", "shelf", "got", "have", "has", "sells", "schublade", "lade", "lager", "kiste", "laden", "habe", "hab", "haben", "tiroir", "magasin", "boîte", "cajón", "cajon", "tienda", "tengo", "quedan", "cassetto", "negozio", "magazzino", "ho", "abbiamo"}

// spokeWords name what has the length before them.
var spokeWords = []string{"spokes", "spoke", "speichen", "rayons", "radios", "raggi"}

// bidSpokeLengths offers the lengths of a line that holds two or more.
func (s *scan) bidSpokeLengths() {
	length, ok := s.r.the(lengthOption)
	drawer, okay := s.r.the(drawerOption)
	if !ok || !okay {
		return
	}
	var fine, whole []int // values, by how they are written
	for i, v := range s.vals {
		if v.pair || v.a.Unit != quantity.NoUnit && v.a.Unit != quantity.MM || v.a.Number < leastSpoke || v.a.Number > mostSpoke || s.isWord(v.from-1, "x") || s.isWord(v.to, "x") {
			continue
		}
		if slices.ContainsFunc(s.cues, func(c cued) bool {
			return c.val == i && c.option != length && c.option != drawer && !c.weak && c.cost < costInherited && !s.unheld(c.option, i) && s.r.options[c.option].numbers != nil && s.r.options[c.option].numbers.Kind == quantity.KindLength && s.r.options[c.option].numbers.holds(quantity.Measure{Number: v.a.Number, Unit: quantity.MM})
		}) {
			continue // an ERD, a rod
		}
		if v.to < len(s.tokens) && s.tokens[v.to].kind == word && slices.Contains(spokeWords, s.tokens[v.to].text) { // "the 290 spokes": so many are no count
			m := v.a
			m.Unit = quantity.MM
			s.offer(s.boxed(bid{from: int8(v.from), to: int8(v.to), option: int16(length), cost: costShelved, value: m}, spec.Both))
		}
		if strings.ContainsAny(s.tokens[v.from].text, ".,") {
			fine = append(fine, i)
		} else {
			whole = append(whole, i)
		}
	}
	if len(fine) == 2 {
		s.bidWorkedOut(length, fine)
	}
	held := slices.ContainsFunc(s.tokens, func(t token) bool { return t.kind == word && slices.Contains(drawerWords, t.text) })
	if len(whole) < 2 || len(fine) == 0 && !held || len(fine) > 2 {
		return
	}
	for k, i := range whole {
		v := s.vals[i]
		inRow := k > 0 && s.rowJoined(s.vals[whole[k-1]].to, v.from) || k+1 < len(whole) && s.rowJoined(v.to, s.vals[whole[k+1]].from)
		if !inRow {
			continue
		}
		m := v.a
		m.Unit = quantity.MM
		s.offer(s.boxed(bid{from: int8(v.from), to: int8(v.to), option: int16(drawer), cost: costShelved, value: m}, spec.Both))
	}
}

// rowJoined reports whether nothing but joints stands between two tokens.
func (s *scan) rowJoined(from, to int) bool {
	if to-from > 2 || to < from {
		return false
	}
	for i := from; i < to; i++ {
		if !s.isAnd(i) && !s.has(i, joins) && s.tokens[i].kind != mark {
			return false
		}
	}
	return true
}

// bidWorkedOut offers two lengths with decimals as left and right, by the sides named
// beside them or else in this order.
func (s *scan) bidWorkedOut(length int, fine []int) {
	first, second := s.vals[fine[0]], s.vals[fine[1]]
	a, named := s.endOf(first.from, first.to, spec.LeftRight)
	b, alsoNamed := s.endOf(second.from, second.to, spec.LeftRight)
	guessed := !named || !alsoNamed || a == b || a == spec.Both
	if guessed {
		a, b = spec.FirstOnly, spec.SecondOnly
	}
	for k, which := range [2]spec.Which{a, b} {
		v := s.vals[fine[k]]
		m := v.a
		m.Unit = quantity.MM
		x := bid{from: int8(v.from), to: int8(v.to), option: int16(length), cost: costShelved, value: m, said: guessed}
		if guessed {
			x.why = "two lengths side by side, taken as left and right"
		}
		s.offer(s.boxed(x, which))
	}
}
