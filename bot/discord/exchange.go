package discord

import (
	"context"
	"errors"
	"fmt"
	"net/http"
	"time"

	"github.com/bwmarrin/discordgo"

	"spokeword/bot"
	"spokeword/commands/reply"
)

const (
	// patience is how long a call that the service asks us to repeat may wait
	// where the answer is due within three seconds, and
	patience = 1200 * time.Millisecond
	// latePatience where it was announced.
	latePatience = 15 * time.Second
	// notYet is how long the service may take to read an announcement.
	notYet = 500 * time.Millisecond
)

// way is the way back to one interaction.
type way struct {
	a *Adapter
	i *discordgo.Interaction
	// respond gives the first answer: as a call, or in the body of the request.
	respond func(ctx context.Context, r any) error
	// first gives it where more is to follow at once: only a call tells when
	// the service knows of it. Nil: respond is a call.
	first func(ctx context.Context, r any) error
}

// response is the first answer to an interaction.
type response struct {
	Type discordgo.InteractionResponseType `json:"type"`
	Data any                               `json:"data,omitempty"`
}

// Answer answers, and sends on what does not fit one message.
func (w *way) Answer(ctx context.Context, a bot.Answer) error {
	all := w.messages(a)
	flags := flagsOf(a)
	respond := w.respond
	if len(all) > 1 && w.first != nil {
		respond = w.first
	}
	if err := respond(ctx, response{discordgo.InteractionResponseChannelMessageWithSource, all[0].body(flags)}); err != nil {
		return err
	}
	return w.follow(ctx, all[1:], flags)
}

// Defer says that the answer follows, for the asker alone. A message can't
// become so later.
func (w *way) Defer(ctx context.Context) error {
	return w.respond(ctx, &discordgo.InteractionResponse{Type: discordgo.InteractionResponseDeferredChannelMessageWithSource,
		Data: &discordgo.InteractionResponseData{Flags: discordgo.MessageFlagsEphemeral}})
}

// Late fills what Defer left open. What everybody is to see goes into a message
// of its own: the first one stays private.
func (w *way) Late(ctx context.Context, a bot.Answer) error {
	all := w.messages(a)
	if a.Shared {
		if err := w.fill(ctx, message{content: "Here it is, for everybody."}); err != nil {
			return err
		}
		return w.follow(ctx, all, 0)
	}
	if err := w.fill(ctx, all[0]); err != nil {
		return err
	}
	return w.follow(ctx, all[1:], flagsOf(a))
}

func flagsOf(a bot.Answer) discordgo.MessageFlags {
	if a.Shared {
		return 0
	}
	return discordgo.MessageFlagsEphemeral
}

func (w *way) messages(a bot.Answer) []message { return messages(a, w.layout()) }

// layout says what of answers is shown here.
func (w *way) layout() layout {
	// Between the bot and one person there is nobody to share with.
	alone := w.i.GuildID == "" && w.i.Context != discordgo.InteractionContextPrivateChannel
	return layout{share: !alone, fillable: func(r reply.Reply) bool { return bot.Fillable(w.a.o.Handler.Desk, r) }}
}

// fill writes the message that was announced.
func (w *way) fill(ctx context.Context, m message) error {
	edit := func() error {
		return w.a.call(ctx, http.MethodPatch, discordgo.EndpointInteractionResponseActions(w.i.AppID, w.i.Token), m.body(0), latePatience)
	}
	err := edit()
	// The service may not have read yet that the answer was announced.
	if r := (*Refusal)(nil); errors.As(err, &r) && r.Code == unknownWebhook && pause(ctx, notYet) == nil {
		err = edit()
	}
	if err != nil {
		return fmt.Errorf("fill an announced answer: %w", err)
	}
	return nil
}

// follow sends further messages.
func (w *way) follow(ctx context.Context, all []message, flags discordgo.MessageFlags) error {
	for _, m := range all {
		err := w.a.call(ctx, http.MethodPost, discordgo.EndpointFollowupMessage(w.i.AppID, w.i.Token), m.body(flags), latePatience)
		if err != nil {
			return fmt.Errorf("send a further message: %w", err)
		}
	}
	return nil
}

// callBack gives the first answer as a call.
func (a *Adapter) callBack(i *discordgo.Interaction) func(context.Context, any) error {
	return func(ctx context.Context, r any) error {
		return a.call(ctx, http.MethodPost, discordgo.EndpointInteractionResponse(i.ID, i.Token), r, patience)
	}
}
