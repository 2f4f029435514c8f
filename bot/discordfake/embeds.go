package discordfake

import (
	"fmt"
	"net/url"
	"slices"
	"time"
)

// checkEmbeds holds the cards of one message to their limits.
func checkEmbeds(a *at, embeds []Embed) {
	a.size(len(embeds), 0, maxEmbeds)
	total := 0
	for i := range embeds {
		total += embeds[i].check(a.item(i))
	}
	if total > maxEmbedTotal {
		a.fail("MAX_EMBED_SIZE_EXCEEDED", fmt.Sprintf("Embed size exceeds maximum size of %v", maxEmbedTotal))
	}
}

// check holds a card to its limits and returns how much of the total it takes.
func (e *Embed) check(a *at) int {
	a.field("title").size(Units(e.Title), 0, maxTitle)
	a.field("description").size(Units(e.Description), 0, maxDescription)
	a.field("fields").size(len(e.Fields), 0, maxFields)
	address(a.field("url"), e.URL, "http", "https")
	a.field("color").within(e.Colour, 0, maxColour)
	if e.Timestamp != "" {
		if _, err := time.Parse(time.RFC3339, e.Timestamp); err != nil {
			a.field("timestamp").fail("DATE_TIME_TYPE_PARSE", "Could not parse "+e.Timestamp+". Should be ISO8601.")
		}
	}
	total := Units(e.Title) + Units(e.Description)
	for i, f := range e.Fields {
		here := a.field("fields").item(i)
		here.field("name").text(f.Name, 1, maxFieldName)
		here.field("value").text(f.Value, 1, maxFieldValue)
		total += Units(f.Name) + Units(f.Value)
	}
	if f := e.Footer; f != nil {
		a.field("footer").field("text").text(f.Text, 1, maxFooter)
		address(a.field("footer").field("icon_url"), f.IconURL, "http", "https", "attachment")
		total += Units(f.Text)
	}
	if p := e.Author; p != nil {
		a.field("author").field("name").text(p.Name, 1, maxAuthor)
		address(a.field("author").field("url"), p.URL, "http", "https")
		address(a.field("author").field("icon_url"), p.IconURL, "http", "https", "attachment")
		total += Units(p.Name)
	}
	for name, p := range map[string]*EmbedImage{"image": e.Image, "thumbnail": e.Thumbnail} {
		if p != nil {
			address(a.field(name).field("url"), p.URL, "http", "https", "attachment")
		}
	}
	if total == 0 && e.Image == nil && e.Thumbnail == nil {
		a.field("description").missing()
	}
	return total
}

// address holds an address to its schemes; none is fine.
func address(a *at, text string, schemes ...string) {
	if text == "" {
		return
	}
	a.size(Units(text), 0, maxURL)
	if u, err := url.Parse(text); err != nil || u.Host == "" || !slices.Contains(schemes, u.Scheme) {
		a.fail("URL_TYPE_INVALID_URL", "Not a well formed URL.")
	}
}
