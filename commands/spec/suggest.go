package spec

// Suggestion is one way to fill a field of a form.
type Suggestion struct {
	Label string // what people read: the value, and how it was understood
	Text  string // what the field is to hold
}

// Suggester is a Form that helps while a field is being filled: it tells how
// it reads what stands there, or how that could go on. It returns nothing for
// what it can't read. Every Text it returns can be parsed.
type Suggester interface {
	Suggest(text string) []Suggestion
}

// Listed is one value of a Lister, with the words that mean it.
type Listed struct {
	Value string
	Words Words
}

// Lister is a Form that takes one value out of a fixed list.
type Lister interface {
	List() []Listed
}

// Suggest helps to fill a field with an option's value. An empty field gets an
// example; what can't be read is told, and stays as it was typed.
func Suggest(o Option, text string) []Suggestion {
	s, ok := o.Form().(Suggester)
	if ok {
		if all := s.Suggest(text); len(all) > 0 {
			return all
		}
	}
	if text == "" {
		example := o.About().Example
		return []Suggestion{{Label: example, Text: example}}
	}
	v, err := o.Parse(text)
	if err != nil {
		return []Suggestion{{Label: err.Error(), Text: text}}
	}
	text = o.Text(v)
	return []Suggestion{{Label: text, Text: text}}
}
