package discord

import (
	"strings"
	"unicode/utf16"
)

// apart stands between the characters of what would act: an invisible blank.
const apart = "\u200b"

// escaped returns a text that shows as it stands: no part of it is markup, a
// mention, a time, an emoji or an address that leads somewhere.
// https://discord.com/developers/docs/reference#message-formatting
func escaped(text string) string {
	var b strings.Builder
	b.Grow(len(text) + 16)
	start := true // of a line, where quotes, headings and lists begin
	kept := 0     // what stands before it is written
	put := func(at int, before string) {
		b.WriteString(text[kept:at])
		b.WriteString(before)
		kept = at
	}
	for i := range len(text) { // all that is markup is one byte
		c := text[i]
		switch c {
		case '\\', '`', '*', '_', '~', '|', '<', '[', ']':
			put(i, "\\")
		case '>', '#':
			if start {
				put(i, "\\")
			}
		case '-', '+':
			if start && i+1 < len(text) && (text[i+1] == ' ' || text[i+1] == '#') {
				put(i, "\\")
			}
		case '/':
			if i > 0 && text[i-1] == ':' {
				put(i, apart) // no address
			}
		case '@':
			put(i+1, apart) // no mention
		}
		start = c == '\n' || start && c == ' '
	}
	b.WriteString(text[kept:])
	return b.String()
}

// verbatim returns a text for a code block, which it can't end. Nothing in one
// is markup; mentions are broken up all the same.
func verbatim(text string) string { return verbatims.Replace(text) }

var verbatims = strings.NewReplacer("`", "'", "@", "@"+apart)

// plain returns a text for a button, a title or a choice, which show no markup.
func plain(text string) string { return strings.ReplaceAll(text, "@", "@"+apart) }

// units counts a text in UTF-16 units. The pages of the service say
// "characters"; what fits so fits however it counts.
func units(text string) int {
	n := 0
	for _, r := range text {
		n += max(utf16.RuneLen(r), 1)
	}
	return n
}

// clipped cuts a text to so many units and says so.
func clipped(text string, most int) string {
	if units(text) <= most {
		return text
	}
	n, end := 0, 0
	for i, r := range text {
		if n += max(utf16.RuneLen(r), 1); n > most-1 {
			end = i
			break
		}
	}
	return strings.TrimRight(text[:end], " ") + "…"
}

// split cuts a text into parts of at most so many units, between lines or
// words where it can.
func split(text string, most int) []string {
	var parts []string
	for units(text) > most {
		at, n := 0, 0
		for i, r := range text {
			if n += max(utf16.RuneLen(r), 1); n > most {
				at = i
				break
			}
		}
		for _, between := range []string{"\n", " "} {
			if cut := strings.LastIndex(text[:at], between); cut > at/2 {
				at = cut
				break
			}
		}
		parts = append(parts, text[:at])
		text = strings.TrimLeft(text[at:], " \n")
	}
	if strings.TrimSpace(text) != "" {
		parts = append(parts, text)
	}
	return parts
}
