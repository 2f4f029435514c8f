package read

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"spokeword/calc/quantity"
	"spokeword/commands/spec"
)

// Cartridge is gas in one size, so many of it.
type Cartridge struct {
	Count int
	Gas   quantity.Measure // of one
}

// Mass returns the gas of all of them.
func (c Cartridge) Mass() quantity.Mass { return quantity.Mass(c.Count) * c.Gas.Mass() }

// Cartridges is the form of cartridges to compare: "16 g, 2x16 g".
type Cartridges struct{ Numbers }

func (f Cartridges) numbers() *Numbers { return &f.Numbers }

// mostCartridges is how many of one size a line may name.
const mostCartridges = 9

// Parse reads "16 g", "2x16 g" or "2x16 g, 1x25 g".
func (f Cartridges) Parse(text string) ([]Cartridge, error) {
	var all []Cartridge
	for part := range strings.SplitSeq(text, ",") {
		c := Cartridge{Count: 1}
		if count, rest, ok := strings.Cut(strings.ToLower(strings.TrimSpace(part)), "x"); ok {
			n, err := quantity.Number(strings.TrimSpace(count))
			if err != nil || n != math.Trunc(n) || n < 1 || n > mostCartridges {
				return nil, fmt.Errorf("%q: want a size as 16 g, or how many of one as 2x16 g", shortened(part))
			}
			c.Count, part = int(n), rest
		}
		m, err := f.one(part)
		if err != nil {
			return nil, err
		}
		c.Gas = m
		if all = append(all, c); len(all) > maxAlternatives {
			return nil, fmt.Errorf("want at most %s cartridges to compare", quantity.Count(maxAlternatives))
		}
	}
	return all, nil
}

// Text writes the cartridges, parted by commas.
func (f Cartridges) Text(v []Cartridge) string {
	parts := make([]string, len(v))
	for i, c := range v {
		parts[i] = c.Gas.String()
		if c.Count != 1 {
			parts[i] = quantity.Count(c.Count) + "x" + parts[i]
		}
	}
	return strings.Join(parts, ", ")
}

func (f Cartridges) join(e []spec.Ends[any]) any {
	all := make([]Cartridge, len(e))
	for i, x := range e {
		all[i] = x.Any().(Cartridge)
	}
	return all
}

func (f Cartridges) element(m quantity.Measure) any { return Cartridge{1, m} }

// ofCartridges are words between how many and how large, mostOfCartridges how many of
// them may stand there.
var ofCartridges = []string{"cart", "carts", "cartridge", "cartridges", "canister", "canisters", "co2", "each", "of", "with", "patronen", "kartuschen", "mit", "je", "cartouches", "de", "cartuchos", "cartucce", "da"}

const mostOfCartridges = 3

// bidCartridges reads "2x16 g", and "1x25" where the line names grams elsewhere.
func (s *scan) bidCartridges() {
	for _, o := range s.r.holding.cartridges {
		f := s.r.options[o].form.(Cartridges)
		for i := 0; i+1 < len(s.tokens); i++ {
			count := s.tokens[i]
			if count.kind != number || count.num != math.Trunc(count.num) || count.num < 1 || count.num > mostCartridges {
				continue
			}
			at := i + 1
			if s.isWord(at, "x") || s.isWord(at, "times") || s.isWord(at, "mal") {
				at++
			}
			for at <= i+mostOfCartridges && at < len(s.tokens) && s.tokens[at].kind == word && slices.Contains(ofCartridges, s.tokens[at].text) {
				at++ // "2 carts each 25g"
			}
			v, ok := s.valAt(at)
			if !ok || v.pair || !s.isWord(i+1, "x") && !s.isWord(i+1, "times") && !s.isWord(i+1, "mal") && v.a.Unit != quantity.G { // "two 16 g"
				continue
			}
			m := v.a
			if m.Unit == quantity.NoUnit && s.unitOf[quantity.KindMass] == quantity.G {
				m.Unit = quantity.G
			}
			if m.Kind() != quantity.KindMass || !f.holds(m) {
				continue
			}
			b := bid{from: int8(i), to: int8(v.to), option: int16(o), cost: 0.05, value: Cartridge{int(count.num), m}}
			s.offer(s.boxed(b, spec.Both))
		}
	}
}
