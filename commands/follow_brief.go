package commands

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"spokeword/calc/quantity"
	"spokeword/calc/size"
	"spokeword/commands/read"
	"spokeword/commands/spec"
)

// This file reads lines that name no more than an end or a number, and mean the
// last question by it: "and the rear?", "n 35".

// asides are words of such a line that say nothing more.
var asides = map[string]bool{"and": true, "n": true, "the": true, "what": true, "whats": true, "about": true, "how": true, "hows": true, "for": true, "ok": true, "so": true, "then": true, "at": true, "with": true, "on": true, "a": true, "an": true,
	"same": true, "but": true, "if": true, "its": true, "it": true, "try": true, "or": true, "psi": true, "wheel": true, "end": true, "one": true, "instead": true, "please": true, "pls": true, "oh": true, "side": true, "flange": true, "sides": true, "ends": true, "wheels": true, "w": true, "like": true, "say": true, "maybe": true, "think": true, "now": true, "tyre": true, "tire": true,
	"und": true, "et": true, "y": true, "e": true, "bei": true}

// endNamed are the words that name an end in such a line.
var endNamed = map[string]string{"front": "front", "f": "front", "fr": "front", "rear": "rear", "back": "rear", "r": "rear", "rr": "rear", "both": "both", "other": "other", "left": "side", "right": "side", "drive": "side", "non": "side", "nondrive": "side", "non-drive": "side", "nds": "side", "ds": "side", "disc": "side",
	"vorne": "front", "hinten": "rear", "devant": "front", "avant": "front", "derrière": "rear", "arrière": "rear", "delante": "front", "detrás": "rear", "davanti": "front", "dietro": "rear"}

// brief reads a line that names only an end or a number.
func brief(line string, base spec.Request) (read.Reading, bool) {
	end, number := "", ""
	for _, word := range strings.FieldsFunc(strings.ToLower(line), func(c rune) bool { return strings.ContainsRune(" ?!,;:…", c) }) {
		word = strings.TrimRight(word, ".")
		named, isEnd := endNamed[word]
		_, err := quantity.Number(word)
		switch {
		case isEnd && (end == "" || end == named):
			end = named
		case err == nil && number == "":
			number = word
		case asides[word]:
		default:
			return read.Reading{}, false
		}
	}
	carried := spec.Request{Command: base.Command}
	for _, g := range base.Given {
		g.Origin, g.Why = spec.Carried, "from your last question"
		carried = carried.With(g)
	}
	switch {
	case end != "" && number == "":
		return read.Reading{Requests: []spec.Request{endOnly(carried, end)}}, true
	case number != "" && end == "":
		return another(carried, number)
	}
	return read.Reading{}, false
}

// endOnly asks the same for one end. What has two sides is told for both.
func endOnly(req spec.Request, end string) spec.Request {
	said, ok := tyreOption.Of(req)
	if !ok || end == "side" {
		return req
	}
	copied := false
	switch {
	case end == "both" && said.Which == spec.Each:
		return req
	case end == "both":
		said = spec.Ends[size.Mark]{First: said.Any(), Second: said.Any()}
	case end == "rear", end == "other" && said.Which == spec.FirstOnly:
		if !said.HasSecond() {
			said.Second, copied = said.First, said.Which == spec.FirstOnly
		}
		said.Which = spec.SecondOnly
	case end == "front", end == "other" && said.Which == spec.SecondOnly:
		if !said.HasFirst() {
			said.First, copied = said.Second, said.Which == spec.SecondOnly
		}
		said.Which = spec.FirstOnly
	}
	if p, told := pressure.Of(req); told && said.Which != spec.Both && p.Which != spec.Both && p.Which != spec.Each && p.Which != said.Which {
		req.Given = slices.DeleteFunc(slices.Clone(req.Given), func(g spec.Given) bool { return g.Option == spec.Option(pressure) }) // that of the other end
	}
	if copied {
		return req.With(spec.Given{Option: tyreOption, Value: said, Origin: spec.Assumed, Why: "that of the other end"})
	}
	return req.With(spec.Given{Option: tyreOption, Value: said})
}

// How far another number may lie from the one it stands for, and by how much
// nearer to it than to any other. Common practice, no source.
const (
	mostApart  = 4
	leastClose = 1.15
)

// another asks the same with another number: for the one of the last question
// that is nearest to it.
func another(req spec.Request, number string) (read.Reading, bool) {
	n, _ := quantity.Number(number)
	best, second := math.Inf(1), math.Inf(1)
	var given spec.Given
	for _, g := range req.Given {
		text := g.Option.Text(g.Value)
		m, err := quantity.ParseMeasure(text)
		if err != nil || m.Number <= 0 || n <= 0 {
			continue
		}
		apart := math.Max(m.Number/n, n/m.Number)
		v, err := g.Option.Parse(quantity.Measure{Number: n, Unit: m.Unit}.String())
		if err != nil || apart > mostApart {
			continue
		}
		if apart < best {
			best, second = apart, best
			given = spec.Given{Option: g.Option, Value: v, Origin: spec.Assumed, Why: fmt.Sprintf("typed as %s; it was %s", quantity.Exact(n), text)}
		} else {
			second = math.Min(second, apart)
		}
	}
	if math.IsInf(best, 1) || second < best*leastClose {
		return read.Reading{}, false
	}
	return read.Reading{Requests: []spec.Request{req.With(given)}}, true
}
