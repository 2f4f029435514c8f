package quantity

import (
	"fmt"
	"math"
	"strconv"
	"strings"
)

// maxNumber caps what is taken for a number, in bytes: longer digits are noise.
const maxNumber = 24

// most is the greatest number read: nothing in the trade comes near it, and
// converted to any unit it keeps its digits.
const most = 1e9

// A ParseError says what was found and what would have been read.
type ParseError struct {
	Found string // as typed, cut to a readable length
	Want  string // what would have been read, with an example
}

// Error writes the mistake as the house writes errors: found first, then wanted.
func (e *ParseError) Error() string { return fmt.Sprintf("%q: want %s", e.Found, e.Want) }

func mistake(found, want string) error {
	if r := []rune(found); len(r) > 40 {
		found = string(r[:40]) + "…"
	}
	return &ParseError{Found: found, Want: want}
}

// Number reads a number as people write it: "2.4", "2,4", "−5" with any dash,
// "2,300" and "1'600" with thousands marks, ".5", "½" and "1 3/8" as fractions.
// It returns an error for anything else, and never NaN or an infinity.
func Number(s string) (float64, error) {
	const want = "a number such as 2.4"
	text := strings.TrimSpace(s)
	if text == "" || len(text) > maxNumber {
		return 0, mistake(s, want)
	}
	if strings.Trim(text, "0123456789.-+") != "" { // most are plain already
		text = strings.TrimSpace(plainNumber.Replace(text))
	}
	if whole, rest, ok := strings.Cut(text, " "); ok {
		w, err := Number(whole)
		f, okay := fraction(strings.TrimSpace(rest))
		if err != nil || !okay || w < 0 || w != math.Trunc(w) {
			return 0, mistake(s, want)
		}
		return w + f, nil
	}
	if f, ok := fraction(text); ok {
		return f, nil
	}
	for i, c := range text {
		if (c < '0' || c > '9') && c != '.' && c != ',' && !(i == 0 && (c == '-' || c == '+')) {
			return 0, mistake(s, want)
		}
	}
	v, err := strconv.ParseFloat(decimalPoint(text), 64)
	if err != nil || math.IsNaN(v) || math.Abs(v) > most {
		return 0, mistake(s, want)
	}
	if v == 0 {
		v = 0 // not -0
	}
	return v, nil
}

var plainNumber = strings.NewReplacer("−", "-", "–", "-", "‐", "-", "‑", "-", "—", "-",
	"'", "", "’", "", "\u00a0", "", "\u202f", "", "\u2009", "",
	"½", " 1/2", "¼", " 1/4", "¾", " 3/4", "⅛", " 1/8", "⅜", " 3/8", "⅝", " 5/8", "⅞", " 7/8", "⁄", "/")

// decimalPoint decides what a comma is: a thousands mark where three digits
// follow a leading group of one to three that is not 0, else the decimal mark.
func decimalPoint(s string) string {
	commas := strings.Count(s, ",")
	if commas == 0 {
		return s
	}
	i := strings.LastIndexByte(s, ',')
	lead := strings.TrimLeft(s[:i], "+-")
	switch {
	case commas > 1 || strings.Contains(s[i:], "."):
		return strings.ReplaceAll(s, ",", "") // 1,234,567 or 2,300.5
	case strings.Contains(s, "."):
		return s // 2.300,5: the parser below refuses it, for it may be either
	case len(s)-i-1 == 3 && len(lead) >= 1 && len(lead) <= 3 && lead[0] != '0':
		return s[:i] + s[i+1:] // 2,300
	}
	return s[:i] + "." + s[i+1:] // 2,4
}

// fraction reads "3/8" with a denominator the trade uses.
func fraction(s string) (float64, bool) {
	num, den, ok := strings.Cut(strings.TrimSpace(s), "/")
	if !ok || len(num) > 2 || len(den) > 2 {
		return 0, false
	}
	n, err1 := strconv.Atoi(num)
	d, err2 := strconv.Atoi(den)
	if err1 != nil || err2 != nil || n <= 0 || n >= d || d != 2 && d != 4 && d != 8 && d != 16 && d != 32 && d != 64 {
		return 0, false
	}
	return float64(n) / float64(d), true
}

// ParseMeasure reads a number with a unit, or without one (Unit NoUnit):
// "80 kg", "82kg", "1,8 bar", "13 st 7 lb", "13st7", "5 ft 3 in", "5'3\"",
// "−5 °C". An unknown unit is an error, as is anything behind the unit.
func ParseMeasure(s string) (Measure, error) {
	const want = `a number and a unit such as "80 kg" or "24 psi"`
	text := strings.ToLower(strings.TrimSpace(s))
	if text == "" || len(text) > 64 {
		return Measure{}, mistake(s, want)
	}
	number, rest := splitNumber(text)
	v, err := Number(number)
	if err != nil {
		return Measure{}, mistake(s, want)
	}
	if rest == "" {
		return Measure{Number: v}, nil
	}
	word, tail := splitWord(rest)
	u, ok := UnitNamed(word)
	if !ok {
		if whole, known := UnitNamed(rest); known { // "fl oz"
			return Measure{v, whole}, nil
		}
		return Measure{}, mistake(s, "a unit I know: kg lb st, mm cm m in ft, psi bar kPa, °C °F, kgf N, ml l")
	}
	if u != StonePound && u != FT {
		if tail != "" {
			return Measure{}, mistake(s, want)
		}
		return Measure{v, u}, nil
	}
	return compoundMeasure(s, v, u, tail)
}

// compoundMeasure reads what follows stones or feet: pounds or inches, if anything.
func compoundMeasure(s string, big float64, u Unit, tail string) (Measure, error) {
	per, smallUnit, joint := 14.0, LB, StonePound
	if u == FT {
		per, smallUnit, joint = 12, IN, FootInch
	}
	if tail == "" {
		if u == FT {
			return Measure{big, FT}, nil
		}
		return Compound(joint, big, 0), nil
	}
	number, rest := splitNumber(tail)
	small, err := Number(number)
	if named, ok := UnitNamed(rest); rest != "" && (!ok || named != smallUnit) || err != nil ||
		small < 0 || small >= per || big != math.Trunc(big) {
		return Measure{}, mistake(s, `stones and pounds as "13 st 7 lb", feet and inches as "5 ft 3 in"`)
	}
	if u == FT && small == 0 {
		return Measure{big, FT}, nil
	}
	return Compound(joint, big, small), nil
}

// splitNumber parts a leading number, fractions included, from what follows.
func splitNumber(s string) (number, rest string) {
	end := 0
	for i, c := range s {
		switch {
		case c >= '0' && c <= '9', strings.ContainsRune("½¼¾⅛⅜⅝⅞", c):
			end = i + len(string(c))
		case strings.ContainsRune(".,+-−–‐‑—/⁄ \u00a0\u202f\u2009", c):
		default:
			return strings.TrimSpace(s[:end]), strings.TrimSpace(s[end:])
		}
	}
	return strings.TrimSpace(s[:end]), strings.TrimSpace(s[end:])
}

// splitWord parts a leading unit word from a following number.
func splitWord(s string) (word, rest string) {
	for i, c := range s {
		if c >= '0' && c <= '9' || c == ' ' || c == '-' {
			return s[:i], strings.TrimSpace(s[i:])
		}
	}
	return s, ""
}
