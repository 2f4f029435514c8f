// Package basis says what a figure rests on, so that an answer can say so too.
package basis

// Kind ranks what a figure rests on. The order is from firm to soft.
type Kind uint8

// The kinds of basis a figure can have.
const (
	Standard   Kind = iota + 1 // a published standard
	Handbook                   // a handbook or encyclopedia
	Paper                      // a paper or thesis
	Article                    // a trade article, club page or forum
	Computed                   // a sum from the inputs by a stated model
	Practice                   // common practice, no source
	Memory                     // from memory, not looked up
	Assumption                 // assumed for this answer, and said
)

var names = [...]string{
	Standard:   "standard",
	Handbook:   "handbook",
	Paper:      "paper",
	Article:    "article",
	Computed:   "computed",
	Practice:   "common practice, no source",
	Memory:     "from memory",
	Assumption: "assumption",
}

// String names the kind as people read it.
func (k Kind) String() string {
	if int(k) < len(names) && names[k] != "" {
		return names[k]
	}
	return "unknown basis"
}

// Basis is what one figure or rule rests on.
type Basis struct {
	Kind   Kind
	Source string // short citation, e.g. "ISO 5775-1"; empty for practice, memory and assumption
	Says   string // what the source says, or how far to trust it; one clause, no full stop
}

// String writes the basis as one clause: "paper: Rotta 1949, inextensible membrane".
func (b Basis) String() string {
	text := b.Kind.String()
	if b.Source != "" {
		text += ": " + b.Source
	}
	if b.Says != "" {
		if b.Source != "" {
			text += ", " + b.Says
		} else {
			text += ": " + b.Says
		}
	}
	return text
}

// Short writes kind and source without what the source says: enough beside an
// answer; the whole is for those who ask why.
func (b Basis) Short() string {
	if b.Source == "" {
		return b.Kind.String()
	}
	return b.Kind.String() + ": " + b.Source
}
