package commands

import (
	"crypto/sha256"
	"encoding/base64"
	"slices"

	"spokeword/commands/reply"
	"spokeword/commands/talk"
)

// mostOffers is how many lines offered as choices are remembered in one talk:
// those of the last few answers.
const mostOffers = 48

// OfferKey returns the key of a line offered as a choice, for buttons that
// can't hold the line itself. It says nothing about the line.
func OfferKey(line string) string {
	sum := sha256.Sum256([]byte(line))
	return base64.RawURLEncoding.EncodeToString(sum[:15])
}

// Offered returns the line behind the key of a choice that was offered to the
// asker lately.
func (d *Desk) Offered(asker Asker, key string) (line string, ok bool) {
	for _, line := range slices.Backward(d.deps.Talk.Get(asker).Offers) {
		if OfferKey(line) == key {
			return line, true
		}
	}
	return "", false
}

// Offer remembers a line as offered to the asker, for choices that are no
// part of a reply.
func (d *Desk) Offer(asker Asker, line string) {
	d.deps.Talk.Put(asker, offering(d.deps.Talk.Get(asker), []reply.Reply{{Line: line}}))
}

// offering returns the state with the lines that the replies offer: those of
// their choices and actions, and their own, which can be asked for once more.
func offering(state talk.State, replies []reply.Reply) talk.State {
	offers := slices.Clone(state.Offers)
	add := func(line string) {
		if at := slices.Index(offers, line); at >= 0 {
			offers = slices.Delete(offers, at, at+1)
		}
		if line != "" {
			offers = append(offers, line)
		}
	}
	for _, r := range replies {
		add(r.Line)
		if r.Ask != nil {
			for _, a := range r.Ask.Choices {
				add(a.Line)
			}
		}
		for _, a := range r.Actions {
			add(a.Line)
		}
	}
	state.Offers = offers[max(0, len(offers)-mostOffers):]
	return state
}
