package discord

import (
	"strings"

	"spokeword/commands"
)

// mostID is how long the id of a button or form may be.
// https://discord.com/developers/docs/components/reference#anatomy-of-a-component
const mostID = 100

// verb is what pressing a button does. It is the first byte of its id.
type verb byte

// The verbs.
const (
	ask   verb = 'a' // ask a line
	share verb = 's' // show everybody the public answer to a line
	other verb = 'o' // open a form for the option of a pending line
	fill  verb = 'f' // that form, sent
)

// press is what a button or form stands for: a verb with a line, or with the
// key of a line that was too long for an id.
type press struct {
	verb   verb
	option string // of other and fill
	line   string
	key    string // instead of the line
}

// idOf writes the id of a button or form: verb, "=" and the line, or "#" and
// its key; behind other and fill stands the option's name first.
func idOf(v verb, option, line string) string {
	about := ""
	if option != "" {
		about = option + " "
	}
	if id := string(v) + "=" + about + line; units(id) <= mostID {
		return id
	}
	return string(v) + "#" + about + commands.OfferKey(line)
}

// readID reads an id. It reports false for what idOf does not write; an id is
// what somebody sent.
func readID(id string) (press, bool) {
	if len(id) < 3 || units(id) > mostID {
		return press{}, false
	}
	p := press{verb: verb(id[0])}
	rest := id[2:]
	switch p.verb {
	case ask, share:
	case other, fill:
		var ok bool
		if p.option, rest, ok = strings.Cut(rest, " "); !ok || p.option == "" {
			return press{}, false
		}
	default:
		return press{}, false
	}
	switch {
	case rest == "":
		return press{}, false
	case id[1] == '=':
		p.line = rest
	case id[1] == '#':
		p.key = rest
	default:
		return press{}, false
	}
	return p, true
}
