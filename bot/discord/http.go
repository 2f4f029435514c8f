package discord

import (
	"cmp"
	"context"
	"crypto/ed25519"
	"encoding/hex"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"net/http"
	"strconv"
	"time"

	"github.com/bwmarrin/discordgo"
)

const (
	// mostBody is how large a request may be.
	mostBody = 1 << 20
	// window is how far a request's time may be from ours. The service names
	// none; without one a request could be sent again for ever.
	window = 5 * time.Minute
)

// ServeHTTP takes the requests of the service. Nothing of a request is read
// before its signature has been found good; its address is never read.
func (a *Adapter) ServeHTTP(w http.ResponseWriter, r *http.Request) {
	if r.Method != http.MethodPost {
		w.Header().Set("Allow", http.MethodPost)
		a.refuse(w, "method", http.StatusMethodNotAllowed)
		return
	}
	raw, err := io.ReadAll(http.MaxBytesReader(w, r.Body, mostBody))
	if err != nil {
		a.refuse(w, "too large", http.StatusRequestEntityTooLarge)
		return
	}
	if why := a.verify(r.Header, raw); why != "" {
		a.refuse(w, why, http.StatusUnauthorized)
		return
	}
	a.serve(r.Context(), w, decoded(raw))
}

// decoded reads of an interaction what is needed, in the library's types; nil
// if that can't be. The library reads all of it, three times over, and fails at
// any part that it does not know; but a probe that gets no answer makes the
// service take our address away, and people are to be told what is too new.
func decoded(raw []byte) *discordgo.Interaction {
	type person struct {
		ID string `json:"id"`
	}
	var in struct {
		ID      string                           `json:"id"`
		Type    discordgo.InteractionType        `json:"type"`
		Token   string                           `json:"token"`
		AppID   string                           `json:"application_id"`
		Guild   string                           `json:"guild_id"`
		Channel string                           `json:"channel_id"`
		Context discordgo.InteractionContextType `json:"context"`
		User    person                           `json:"user"`
		Member  struct {
			User person `json:"user"`
		} `json:"member"`
		Data json.RawMessage `json:"data"`
	}
	if json.Unmarshal(raw, &in) != nil && in.Type == 0 {
		return nil
	}
	i := &discordgo.Interaction{ID: in.ID, Type: in.Type, Token: in.Token, AppID: in.AppID, GuildID: in.Guild, ChannelID: in.Channel, Context: in.Context,
		User: &discordgo.User{ID: cmp.Or(in.Member.User.ID, in.User.ID)}}
	var err error
	switch in.Type {
	case discordgo.InteractionApplicationCommand, discordgo.InteractionApplicationCommandAutocomplete:
		var d discordgo.ApplicationCommandInteractionData
		err = json.Unmarshal(in.Data, &d)
		i.Data = d
	case discordgo.InteractionMessageComponent:
		var d discordgo.MessageComponentInteractionData
		err = json.Unmarshal(in.Data, &d)
		i.Data = d
	case discordgo.InteractionModalSubmit:
		var d discordgo.ModalSubmitInteractionData
		err = json.Unmarshal(in.Data, &d)
		i.Data = d
	}
	if err != nil {
		i.Data = nil
	}
	return i
}

// serve answers an interaction in the body of its request.
func (a *Adapter) serve(ctx context.Context, w http.ResponseWriter, i *discordgo.Interaction) {
	answered := false
	x := &way{a: a, i: i, respond: func(_ context.Context, r any) error {
		answered = true
		return write(w, r)
	}}
	// https://discord.com/developers/docs/interactions/receiving-and-responding#responding-to-an-interaction
	x.first = func(ctx context.Context, r any) error {
		answered = true
		w.WriteHeader(http.StatusAccepted)
		return a.callBack(i)(ctx, r)
	}
	do := a.react(i)
	switch { // nothing is made of an interaction that is nil
	case do.message != nil:
		a.o.Handler.Handle(ctx, *do.message, x)
	case do.answer != nil:
		if a.o.Handler.First(ctx, platform, identity(i)) {
			a.sent(x.Answer(ctx, *do.answer))
		}
	case do.response != nil:
		a.sent(x.respond(ctx, do.response))
	default:
		a.refuse(w, "unreadable", http.StatusBadRequest)
		return
	}
	if !answered { // it was answered before
		a.refuse(w, "repeated", http.StatusConflict)
	}
}

// sent logs what could not be sent.
func (a *Adapter) sent(err error) {
	if err != nil {
		a.o.Incident(fmt.Errorf("send an answer: %w", err))
	}
}

// write writes the body of an answer, and sees it off: a call about the same
// interaction must not be quicker.
func write(w http.ResponseWriter, r any) error {
	body, err := json.Marshal(r)
	if err != nil {
		return fmt.Errorf("discord: encode an answer: %w", err)
	}
	w.Header().Set("Content-Type", "application/json")
	w.Header().Set("Content-Length", strconv.Itoa(len(body)))
	if _, err := w.Write(body); err != nil {
		return fmt.Errorf("discord: write an answer: %w", err)
	}
	if err := http.NewResponseController(w).Flush(); err != nil && !errors.Is(err, http.ErrNotSupported) {
		return fmt.Errorf("discord: write an answer: %w", err)
	}
	return nil
}

// refuse counts a refused request and says why.
func (a *Adapter) refuse(w http.ResponseWriter, why string, status int) {
	a.o.Metrics.Refused(platform, why)
	http.Error(w, why, status)
}

// verify returns why a request is not the service's, "" if it is.
// https://discord.com/developers/docs/interactions/overview#setting-up-an-endpoint-validating-security-request-headers
func (a *Adapter) verify(h http.Header, raw []byte) (why string) {
	stamp := h.Get("X-Signature-Timestamp")
	seconds, err := strconv.ParseInt(stamp, 10, 64)
	signature, hexErr := hex.DecodeString(h.Get("X-Signature-Ed25519"))
	if err != nil || hexErr != nil || len(signature) != ed25519.SignatureSize || len(a.key) != ed25519.PublicKeySize {
		return "signature"
	}
	if off := a.o.Now().Sub(time.Unix(seconds, 0)); off > window || off < -window {
		return "clock"
	}
	signed := make([]byte, 0, len(stamp)+len(raw))
	if !ed25519.Verify(a.key, append(append(signed, stamp...), raw...), signature) {
		return "signature"
	}
	if !a.replays.Mark(string(signature)) {
		return "replayed"
	}
	return ""
}
