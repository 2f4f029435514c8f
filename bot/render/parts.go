package render

import (
	"strings"

	"spokeword/commands/reply"
)

// Parts are the texts of a reply, harmless and in the words that every front
// end uses, for those that lay them out in their own way. Nothing is cut and
// nothing wrapped.
type Parts struct {
	Title string
	// Lead is what answers: the lead, what went wrong, the question back if the
	// lead does not put it.
	Lead []string
	// Try is a line that works, with its label, after a mistake; else empty.
	Try string
	// Cautions each begin with the word "Caution:".
	Cautions []string
	// Understood says what was read, assumed and not used, each with its label.
	Understood []string
	// Notes are the items of a list, with its marks, and say what they rest on.
	Notes []string
}

// PartsOf returns the texts of a reply. None is empty but Title and Try.
func PartsOf(r reply.Reply) Parts {
	p := Parts{Title: onLine(r.Title)}
	add := func(to *[]string, text string) {
		if text != "" {
			*to = append(*to, text)
		}
	}
	for _, text := range r.Lead {
		add(&p.Lead, onLine(text))
	}
	add(&p.Lead, Sentence(onLine(r.Error)))
	if r.Ask != nil && !asked(r) {
		add(&p.Lead, onLine(r.Ask.Text))
	}
	if r.Example != "" {
		p.Try = "Try: " + onLine(r.Example)
	}
	for _, c := range r.Cautions {
		add(&p.Cautions, "Caution: "+onLine(c.Text))
	}
	p.Understood = understood(r)
	for _, n := range r.Notes {
		text := "- " + onLine(n.Text)
		if n.Basis.Kind != 0 {
			text += " (" + onLine(n.Basis.Short()) + ")"
		}
		add(&p.Notes, text)
	}
	return p
}

// onLine returns a text as it stands on one line, harmless and with single
// blanks.
func onLine(text string) string {
	text = Safe(text)
	if text == "" || !uneven(text) {
		return text
	}
	return strings.Join(words(text), " ")
}

// understood writes what was read, assumed and not used. What was assumed
// is not repeated among what was read.
func understood(r reply.Reply) []string {
	if len(r.Read)+len(r.Assumed)+len(r.Unused) == 0 {
		return nil
	}
	assumed := make(map[[2]string]bool, len(r.Assumed))
	for _, i := range r.Assumed {
		assumed[[2]string{i.Option, i.Value}] = true
	}
	var read, guessed, unused []string
	for _, i := range r.Read {
		if !assumed[[2]string{i.Option, i.Value}] {
			read = append(read, item(i))
		}
	}
	for _, i := range r.Assumed {
		guessed = append(guessed, item(i))
	}
	for _, w := range r.Unused {
		unused = append(unused, Safe(w))
	}
	var out []string
	for _, part := range []struct {
		label string
		items []string
		sep   string
	}{{"Read: ", read, ", "}, {"Assumed: ", guessed, "; "}, {"Not used: ", unused, ", "}} {
		if len(part.items) > 0 {
			out = append(out, part.label+strings.Join(part.items, part.sep))
		}
	}
	return out
}
