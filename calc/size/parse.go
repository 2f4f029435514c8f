package size

import (
	"unicode/utf8"

	"spokeword/calc/quantity"
)

// maxText is the longest text taken as a mark, in bytes: the longest real ones
// ("28 x 1 ⁵⁄₈ x 1 ³⁄₈") are about 30.
const maxText = 64

// Parse reads the size of a tyre as people write it: 61-622, 29x2.4, 29 x 2,4,
// 29 2.4, 29+ 3.0, 700x40C, 650B, 27.5, 26x1 3/8, 26x1-3/8, 26x1³⁄₈, 28x1
// 5/8x1 3/8, 12 1/2 x 2 1/4, and a width alone with its unit or a decimal
// point (2.4, 2.4 in, 61 mm). Letters after the width (700x40C, 2.4w) are
// marks of a class or a drawing, not units, and are dropped; after 650 they
// name the diameter and stay. It returns a *MarkError for everything else, a
// rim's mark included.
//
// A whole number of inches of width is the fraction size if it is 1 (26x1 is
// 571) and read as decimal from 2 up (29x3 is 29x3.0), where no fraction size
// of that width is left in use.
func Parse(s string) (Mark, error) {
	var n norm
	if p := n.normalise(s); p != 0 {
		return Mark{}, fail(s, p)
	}
	m, p := n.mark()
	if p != 0 {
		return Mark{}, fail(s, p)
	}
	return m, nil
}

func fail(s string, p Problem) error {
	if len(s) > maxText {
		cut := maxText
		for cut > 0 && !utf8.RuneStart(s[cut]) {
			cut--
		}
		s = s[:cut]
	}
	return &MarkError{Text: s, Problem: p}
}

// norm is a mark in plain small ASCII: one separator ' ', '-' or 'x', points
// for commas, fractions as " 1/2", marks of inches as '"'.
type norm struct {
	buf [2 * maxText]byte
	n   int // length
	i   int // next byte to read
}

// vulgar returns the vulgar fractions that tyres use as ASCII, else "".
func vulgar(r rune) string {
	switch r {
	case '½':
		return "1/2"
	case '¼':
		return "1/4"
	case '¾':
		return "3/4"
	case '⅛':
		return "1/8"
	case '⅜':
		return "3/8"
	case '⅝':
		return "5/8"
	case '⅞':
		return "7/8"
	}
	return ""
}

// script returns the digit of a superscript or subscript one.
func script(r rune) (byte, bool) {
	switch {
	case r == '¹':
		return '1', true
	case r == '²':
		return '2', true
	case r == '³':
		return '3', true
	case r >= '⁴' && r <= '⁹':
		return byte('4' + r - '⁴'), true
	case r >= '₁' && r <= '₉':
		return byte('1' + r - '₁'), true
	}
	return 0, false
}

func (n *norm) normalise(s string) Problem {
	if len(s) > maxText {
		return TooLong
	}
	raised := false // the rune before was a raised or lowered digit or its bar
	for _, r := range s {
		was := raised
		raised = false
		if d, ok := script(r); ok {
			if !was && n.n > 0 && isDigit(n.buf[n.n-1]) {
				n.put(' ')
			}
			n.put(d)
			raised = true
			continue
		}
		if f := vulgar(r); f != "" {
			if n.n > 0 && isDigit(n.buf[n.n-1]) {
				n.put(' ')
			}
			for i := range len(f) {
				n.put(f[i])
			}
			continue
		}
		switch r {
		case '⁄', '∕':
			n.put('/')
			raised = was
		case ',':
			n.put('.')
		case '×', '✕', '✖', '*', 'Х', 'х':
			n.put('x')
		case '‐', '‑', '‒', '–', '—', '−':
			n.put('-')
		case '″', '”', '“':
			n.put('"')
		case '\'', '′', '’':
			n.put('\'')
		case ' ', '\t', '\u00a0', '\u2009', '\u202f':
			if n.n > 0 && n.buf[n.n-1] != ' ' {
				n.put(' ')
			}
		default:
			switch {
			case r >= 'A' && r <= 'Z':
				n.put(byte(r) + 'a' - 'A')
			case r > ' ' && r < 0x7f:
				n.put(byte(r))
			default:
				return NotASize
			}
		}
		if n.n > maxText {
			return TooLong
		}
	}
	if n.n > 0 && n.buf[n.n-1] == ' ' {
		n.n--
	}
	if n.n == 0 {
		return NotASize
	}
	return 0
}

func (n *norm) put(b byte) {
	if n.n < len(n.buf) {
		n.buf[n.n] = b
		n.n++
	}
}

func isDigit(b byte) bool { return b >= '0' && b <= '9' }

// peek returns the byte k ahead, 0 past the end.
func (n *norm) peek(k int) byte {
	if n.i+k < n.n {
		return n.buf[n.i+k]
	}
	return 0
}

func (n *norm) end() bool { return n.i >= n.n }

// take goes past b and any blanks around it.
func (n *norm) take(b byte) bool {
	at := n.i
	n.blank()
	if n.peek(0) != b {
		n.i = at
		return false
	}
	n.i++
	n.blank()
	return true
}

func (n *norm) blank() {
	for n.peek(0) == ' ' {
		n.i++
	}
}

// word goes past w if it is the whole rest.
func (n *norm) word(w string) bool {
	if string(n.buf[n.i:n.n]) == w {
		n.i = n.n
		return true
	}
	return false
}

// number is one number of a mark in thousandths.
type number struct {
	milli    int
	point    bool // written with a decimal point
	fraction bool // written with a fraction
	ok       bool
}

func (n *norm) whole() (value, digits int) {
	for digits < 5 && isDigit(n.peek(0)) {
		value = value*10 + int(n.peek(0)-'0')
		n.i++
		digits++
	}
	return value, digits
}

// fraction reads n/d with d of 2, 4 or 8 and n < d, in thousandths.
func (n *norm) fraction() (int, bool) {
	at := n.i
	num, digits := n.whole()
	if digits == 1 && n.peek(0) == '/' {
		n.i++
		den, d := n.whole()
		if d == 1 && (den == 2 || den == 4 || den == 8) && num > 0 && num < den && !isDigit(n.peek(0)) {
			return num * 1000 / den, true
		}
	}
	n.i = at
	return 0, false
}

// number reads "29", "2.40", "1 3/8", "1-3/8".
func (n *norm) number() number {
	value, digits := n.whole()
	if digits == 0 || isDigit(n.peek(0)) {
		return number{}
	}
	out := number{milli: value * 1000, ok: true}
	switch c := n.peek(0); {
	case c == '.' && isDigit(n.peek(1)):
		n.i++
		out.point = true
		unit := 100
		for isDigit(n.peek(0)) {
			d := int(n.peek(0) - '0')
			if unit == 0 && d != 0 {
				return number{} // finer than a thousandth
			}
			out.milli += d * unit
			unit /= 10
			n.i++
		}
	case c == ' ' || c == '-':
		at := n.i
		n.i++
		if f, ok := n.fraction(); ok {
			out.milli += f
			out.fraction = true
		} else {
			n.i = at
		}
	case c == '/':
		return number{}
	}
	return out
}

// mark reads the whole text.
func (n *norm) mark() (Mark, Problem) {
	first := n.number()
	if !first.ok {
		return Mark{}, NotASize
	}
	if n.end() {
		return bare(first)
	}
	if !first.fraction && n.take('-') {
		return n.iso(first)
	}
	if !first.point && !first.fraction && first.milli >= 100_000 && first.milli%firstMetricStep != 0 {
		// Three digits that are no French name: a seat alone or a rim's mark.
		return n.seat(first)
	}
	if first.milli >= firstMetric {
		return n.metric(first)
	}
	return n.inch(first)
}

// firstMetricStep: all French names are multiples of 50 (mm, in thousandths).
const firstMetricStep = 50_000

// bare makes a mark of a lone number.
func bare(v number) (Mark, Problem) {
	switch {
	case v.milli == 700_000:
		return name(v.milli, 'C')
	case v.milli == 650_000:
		return name(v.milli, 0)
	case v.milli >= 100_000:
		mm := v.milli / 1000
		if v.milli%1000 != 0 || !knownSeat(mm) {
			return Mark{}, UnknownSeat
		}
		return written(Mark{Seat: millimetres(mm), form: formSeat}), 0
	case v.milli < 6000 && (v.point || v.fraction):
		return widthOnly(v)
	case v.milli < 6000:
		return Mark{}, NeedsUnit
	case nameSeats(v.milli) != nil:
		return name(v.milli, 0)
	case v.point || v.fraction:
		return Mark{}, UnknownName
	}
	return Mark{}, NeedsUnit
}

func name(milli int, letter byte) (Mark, Problem) {
	m := Mark{name: int32(milli), form: formName, letter: letter}
	if m.seats() == nil {
		return Mark{}, UnknownName
	}
	return written(m), 0
}

// widthOnly makes a mark of a width in inches.
func widthOnly(v number) (Mark, Problem) {
	w, ok := inches(v.milli)
	if !ok {
		return Mark{}, BadWidth
	}
	m := Mark{Width: w, form: formWidthDecimal}
	if v.fraction {
		m.form = formWidthFraction
	}
	return written(m), 0
}

// inches returns a width of milli thousandths of an inch, rounded once.
func inches(milli int) (quantity.Length, bool) {
	w := quantity.Length(milli*254) / 1e7
	return w, w >= MinWidth && w <= MaxWidth
}

// iso reads what follows "61-".
func (n *norm) iso(width number) (Mark, Problem) {
	seat := n.number()
	if !seat.ok || seat.point || seat.fraction || !n.end() {
		return Mark{}, NotASize
	}
	mm := seat.milli / 1000
	if mm < 100 {
		return Mark{}, NotASize
	}
	if !knownSeat(mm) {
		return Mark{}, UnknownSeat
	}
	w := quantity.Length(width.milli) / 1e6
	if w < MinWidth || w > MaxWidth {
		return Mark{}, BadWidth
	}
	return written(Mark{Width: w, Seat: millimetres(mm), form: formISO}), 0
}

// seat reads what follows "622".
func (n *norm) seat(v number) (Mark, Problem) {
	if n.take('x') {
		return Mark{}, IsRimMark
	}
	n.blank()
	if n.word("mm") {
		return bare(v)
	}
	return Mark{}, NotASize
}

// metric reads what follows "700".
func (n *norm) metric(v number) (Mark, Problem) {
	m := Mark{name: int32(v.milli), form: formMetric}
	if v.point || v.fraction {
		return Mark{}, UnknownName
	}
	at := n.i
	n.blank()
	m.letter = n.class()
	if m.letter == 0 {
		n.i = at
	}
	spaced := false
	if !n.take('x') {
		if n.blank(); n.end() {
			if v.milli == 700_000 && m.letter == 0 {
				m.letter = 'C'
			}
			return name(v.milli, m.letter)
		}
		spaced = true
	}
	width := n.number()
	if !width.ok || width.fraction {
		return Mark{}, NotASize
	}
	n.blank()
	after := n.class()
	if after != 0 && m.letter != 0 && after != m.letter {
		return Mark{}, NotASize
	}
	if after != 0 {
		m.letter = after
	}
	if spaced && m.letter == 0 && !width.point {
		return Mark{}, NotASize // two bare numbers: "700 40" may be anything
	}
	if !n.end() && !n.word("mm") {
		return Mark{}, NotASize
	}
	m.Width = quantity.Length(width.milli) / 1e6
	if width.point && width.milli < 6000 {
		// Wide tyres of this family are marked in inches too: 700x2.1.
		m.form = formMetricInch
		m.Width, _ = inches(width.milli)
	}
	if m.Width < MinWidth || m.Width > MaxWidth {
		return Mark{}, BadWidth
	}
	switch {
	case v.milli == 700_000 && m.letter == 'C':
		m.letter = 0 // 700 means C unless it says otherwise
	case v.milli != 700_000 && v.milli != 650_000 && m.letter == 0:
		m.letter = 'A' // the only class these are still made in
	}
	if m.seats() == nil {
		return Mark{}, UnknownName
	}
	return written(m), 0
}

// class reads a letter a to d that ends a word.
func (n *norm) class() byte {
	c := n.peek(0)
	if c < 'a' || c > 'd' {
		return 0
	}
	if next := n.peek(1); next >= 'a' && next <= 'z' && next != 'x' {
		return 0
	}
	n.i++
	return c - 'a' + 'A'
}

// inchUnit goes past a unit of inches, which must end the text.
func (n *norm) inchUnit() bool {
	n.blank()
	return n.word("in") || n.word("inch") || n.word("inches") || n.word(`"`) || n.word("''")
}

// inch reads what follows "29" or "2.4".
func (n *norm) inch(v number) (Mark, Problem) {
	at := n.i
	// A name or a width alone, with its unit or its letters.
	if n.inchUnit() {
		if v.milli < 6000 {
			if !v.fraction {
				v.point = true // "2 in" is 2.0 in
			}
			return widthOnly(v)
		}
		return name(v.milli, 0)
	}
	n.i = at
	if n.blank(); n.word("mm") {
		return millimetreWidth(v)
	}
	n.i = at
	if v.milli < 6000 {
		if v.point && (n.word("w") || n.word("c")) {
			return widthOnly(v)
		}
		return Mark{}, NotASize
	}
	if n.word("er") || n.word("ers") {
		return name(v.milli, 0)
	}
	m := Mark{name: int32(v.milli), form: formDecimal}
	plus := n.peek(0) == '+'
	if plus {
		n.i++
		if n.blank(); n.end() {
			m.form = formPlus
			if nameSeats(v.milli) == nil {
				return Mark{}, UnknownName
			}
			return written(m), 0
		}
	} else if n.peek(0) == '"' {
		n.i++
	}
	spaced := !n.take('x')
	if spaced {
		n.blank()
	}
	width := n.number()
	if !width.ok || width.milli >= 6000 || spaced && !width.point && !width.fraction {
		if width.ok && !spaced && nameSeats(v.milli) != nil {
			return Mark{}, BadWidth
		}
		return Mark{}, NotASize
	}
	if width.fraction && n.take('x') {
		m.form = formTriple
		first := width
		width = n.number()
		if !width.ok || !width.fraction {
			return Mark{}, NotASize
		}
		if first.milli >= 6000 {
			return Mark{}, BadWidth
		}
		m.first = byte(first.milli / 125)
	} else if width.fraction || !width.point && width.milli == 1000 {
		m.form = formFraction
	}
	if !n.inchUnit() && !n.end() && !n.word("w") && !n.word("c") {
		return Mark{}, NotASize
	}
	w, ok := inches(width.milli)
	if !ok {
		return Mark{}, BadWidth
	}
	m.Width = w
	if m.seats() == nil {
		return Mark{}, UnknownName
	}
	return written(m), 0
}

func millimetreWidth(v number) (Mark, Problem) {
	w := quantity.Length(v.milli) / 1e6
	if v.fraction || w < MinWidth || w > MaxWidth {
		return Mark{}, BadWidth
	}
	return written(Mark{Width: w, form: formWidthMM}), 0
}

// written fills in the canonical text and the seat, if there is just one.
func written(m Mark) Mark {
	var room [32]byte
	text := room[:0]
	milliInch := int(m.Width.In(quantity.Inch)*1000 + 0.5)
	microns := int(float64(m.Width)*1e6 + 0.5)
	switch m.form {
	case formISO:
		text = appendMilli(text, microns, 0)
		text = appendInt(append(text, '-'), wholeMillimetres(m.Seat))
	case formSeat:
		text = appendInt(text, wholeMillimetres(m.Seat))
	case formWidthFraction:
		text = append(appendFraction(text, milliInch), " in"...)
	case formWidthDecimal:
		text = append(appendMilli(text, milliInch, 1), " in"...)
	case formWidthMM:
		text = append(appendMilli(text, microns, 0), " mm"...)
	case formName:
		text = appendName(text, int(m.name))
		if m.letter != 0 {
			text = append(text, m.letter)
		}
	case formPlus:
		text = append(appendName(text, int(m.name)), '+')
	case formDecimal:
		text = append(appendName(text, int(m.name)), 'x')
		text = appendMilli(text, milliInch, 1)
	case formFraction:
		text = append(appendName(text, int(m.name)), 'x')
		text = appendFraction(text, milliInch)
	case formTriple:
		text = append(appendName(text, int(m.name)), 'x')
		text = append(appendFraction(text, int(m.first)*125), 'x')
		text = appendFraction(text, milliInch)
	case formMetric:
		text = append(appendName(text, int(m.name)), 'x')
		text = appendMilli(text, microns, 0)
		if m.letter != 0 {
			text = append(text, m.letter)
		}
	case formMetricInch:
		text = append(appendName(text, int(m.name)), 'x')
		text = appendMilli(text, milliInch, 1)
		if m.letter != 0 {
			text = append(text, m.letter)
		}
	}
	m.Written = string(text)
	if m.Seat == 0 {
		if set := m.seats(); len(set) == 1 {
			m.Seat = millimetres(set[0])
		}
	}
	return m
}

func appendInt(b []byte, n int) []byte {
	if n >= 10 {
		b = appendInt(b, n/10)
	}
	return append(b, byte('0'+n%10))
}

// appendMilli writes thousandths with as many decimals as they need, at least
// the given number.
func appendMilli(b []byte, milli, decimals int) []byte {
	b = appendInt(b, milli/1000)
	rest := milli % 1000
	if rest == 0 && decimals == 0 {
		return b
	}
	b = append(b, '.')
	for unit := 100; unit > 0 && (rest > 0 || decimals > 0); unit /= 10 {
		b = append(b, byte('0'+rest/unit))
		rest %= unit
		decimals--
	}
	return b
}

// appendFraction writes thousandths of an inch as whole and eighths.
func appendFraction(b []byte, milli int) []byte {
	eighths := milli % 1000 / 125
	b = appendInt(b, milli/1000)
	if eighths == 0 {
		return b
	}
	den := 8
	for eighths%2 == 0 {
		eighths, den = eighths/2, den/2
	}
	b = appendInt(append(b, ' '), eighths)
	return appendInt(append(b, '/'), den)
}

// appendName writes the name of a diameter: "29", "27.5", "12 1/2", "700".
func appendName(b []byte, milli int) []byte {
	if milli == 12_500 {
		return appendFraction(b, milli)
	}
	return appendMilli(b, milli, 0)
}
