package spec

// Lang is the language of a word people type. Replies are in English.
type Lang uint8

// The languages whose trade words are declared.
const (
	English Lang = iota
	German
	French
	Spanish
	Italian
)

// Code returns the language's ISO 639-1 code.
func (l Lang) Code() string { return [...]string{"en", "de", "fr", "es", "it"}[l] }

// Word is one spelling that means a command, an option or a value. It may be
// a phrase of several words, lower case, without punctuation.
type Word struct {
	Text string
	Lang Lang
}

// Words are all spellings of one thing, the canonical one first.
type Words []Word

// W declares words: English strings and words of other languages (De, Fr, Es, It).
func W(words ...any) Words {
	var all Words
	for _, w := range words {
		switch w := w.(type) {
		case string:
			all = append(all, Word{Text: w})
		case Words:
			all = append(all, w...)
		default:
			panic("spec: W takes strings and Words") // a slip in a declaration, seen at start
		}
	}
	return all
}

func in(l Lang, texts []string) Words {
	words := make(Words, len(texts))
	for i, t := range texts {
		words[i] = Word{Text: t, Lang: l}
	}
	return words
}

// De declares German words.
func De(texts ...string) Words { return in(German, texts) }

// Fr declares French words.
func Fr(texts ...string) Words { return in(French, texts) }

// Es declares Spanish words.
func Es(texts ...string) Words { return in(Spanish, texts) }

// It declares Italian words.
func It(texts ...string) Words { return in(Italian, texts) }
