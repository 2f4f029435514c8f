package slack

import (
	"context"
	"encoding/json"
	"errors"
	"net/url"
	"slices"
	"strings"

	"github.com/slack-go/slack"
	"github.com/slack-go/slack/slackevents"

	"spokeword/bot"
	"spokeword/commands/spec"
)

// What arrives is handled here, whichever way it came.

// command is a slash command.
type command struct{ team, channel, user, text, trigger, back string }

// commandOf reads a slash command from its form.
// https://docs.slack.dev/interactivity/implementing-slash-commands
func commandOf(form url.Values) command {
	return command{team: form.Get("team_id"), channel: form.Get("channel_id"), user: form.Get("user_id"), text: form.Get("text"),
		trigger: form.Get("trigger_id"), back: form.Get("response_url")}
}

// message returns the command as a message. A command without words asks for help.
func (c command) message() bot.Message {
	line := c.text
	if strings.TrimSpace(line) == "" {
		line = "help"
	}
	m := bot.Message{Platform: platform, Asker: asker(c.team, c.channel, c.user), Line: line}
	if c.trigger != "" {
		m.IDs = []string{"slack:trigger:" + c.trigger}
	}
	return m
}

// event handles an event that was not met before.
func (a *Adapter) event(ctx context.Context, e slackevents.EventsAPIEvent) {
	callback, ok := e.Data.(*slackevents.EventsAPICallbackEvent)
	if !ok {
		return
	}
	id := "slack:event:" + callback.EventID
	me := ""
	for _, to := range callback.Authorizations {
		if to.IsBot {
			me = to.UserID
		}
	}
	switch inner := e.InnerEvent.Data.(type) {
	case *slackevents.AppMentionEvent:
		if inner.BotID != "" || inner.Edited != nil {
			return
		}
		a.words(ctx, id, place{team: e.TeamID, channel: inner.Channel, user: inner.User, thread: orElse(inner.ThreadTimeStamp, inner.TimeStamp)},
			inner.TimeStamp, typed(inner.Text, me))
	case *slackevents.MessageEvent:
		if inner.ChannelType != "im" || inner.BotID != "" || inner.User == "" || inner.SubType != "" && inner.SubType != "file_share" {
			return
		}
		a.directs.Add(asker(e.TeamID, "", inner.User), inner.Channel)
		a.words(ctx, id, place{team: e.TeamID, channel: inner.Channel, user: inner.User, thread: inner.ThreadTimeStamp, direct: true},
			inner.TimeStamp, typed(inner.Text, me))
	case *slackevents.AppHomeOpenedEvent:
		if inner.Channel != "" {
			a.directs.Add(asker(e.TeamID, "", inner.User), inner.Channel)
		}
		if inner.Tab == "home" && a.o.Handler.First(ctx, platform, id) {
			a.inBackground(ctx, "publish the home tab", func(ctx context.Context) error { return a.publishHome(ctx, inner.User) })
		}
	case *slackevents.TokensRevokedEvent, *slackevents.AppUninstalledEvent:
		a.link.refuse(errUninstalled)
		a.o.Log.Error("the workspace has taken the bot's token back", "platform", platform, "workspace", bot.Hashed(platform+":"+e.TeamID))
	}
}

func orElse(s, otherwise string) string {
	if s == "" {
		return otherwise
	}
	return s
}

// words handles what somebody wrote. Both of its identities are marked before
// anything else is done: the same message also comes as different events.
func (a *Adapter) words(ctx context.Context, event string, at place, ts, text string) {
	if !a.o.Handler.First(ctx, platform, event, "slack:msg:"+at.team+":"+at.channel+":"+ts) {
		return
	}
	if strings.TrimSpace(text) == "" {
		text = "help"
	}
	a.o.Handler.Go(context.WithoutCancel(ctx), bot.Message{Platform: platform, Asker: asker(at.team, at.channel, at.user), Line: text}, &said{a, at})
}

// typed returns what a person typed, of a message's markup: without the name of
// the bot, which is me or, if that is not known, what the line begins with;
// with links, which the service makes of what looks like one, as they were
// written; unescaped.
// https://docs.slack.dev/messaging/formatting-message-text
func typed(text, me string) string {
	var b strings.Builder
	for first := true; ; first = false {
		before, rest, found := strings.Cut(text, "<")
		b.WriteString(before)
		inside, after, ended := strings.Cut(rest, ">")
		if !found {
			break
		}
		if !ended {
			b.WriteString("<" + rest)
			break
		}
		text = after
		target, label, labelled := strings.Cut(inside, "|")
		switch id, mention := strings.CutPrefix(target, "@"); {
		case mention && (id == me || me == "" && first && strings.TrimSpace(before) == ""):
			text = strings.TrimLeft(text, " :,")
		case labelled && !mention && !strings.HasPrefix(target, "!"):
			if strings.HasPrefix(target, "#") {
				label = "#" + label
			}
			b.WriteString(label)
		case strings.Contains(target, ":"): // a bare link, as http://… or mailto:…
			b.WriteString(target)
		default:
			b.WriteString("<" + inside + ">")
		}
	}
	return strings.TrimSpace(unescaper.Replace(b.String()))
}

var unescaper = strings.NewReplacer("&lt;", "<", "&gt;", ">", "&amp;", "&")

// interaction handles the press of a button, a form that was sent, and whatever
// else the service may call an interaction. It was acknowledged.
func (a *Adapter) interaction(ctx context.Context, raw []byte) {
	var in slack.InteractionCallback
	if err := json.Unmarshal(raw, &in); err != nil {
		// The library refuses what it does not know, also within a form.
		a.o.Metrics.Refused(platform, "unreadable")
		a.o.Log.Warn("an interaction could not be read", "platform", platform, "error", bot.WithoutSecrets(err))
		return
	}
	ctx = context.WithoutCancel(ctx)
	switch in.Type {
	case slack.InteractionTypeBlockActions:
		for _, action := range in.ActionCallback.BlockActions {
			a.press(ctx, in, action)
		}
	case slack.InteractionTypeViewSubmission:
		a.submitted(ctx, in)
	default:
		a.o.Metrics.Refused(platform, "unknown")
	}
}

// press handles the press of one button.
func (a *Adapter) press(ctx context.Context, in slack.InteractionCallback, action *slack.BlockAction) {
	verb, _, _ := strings.Cut(action.ActionID, "-")
	if !slices.Contains([]string{verbSay, verbShare, verbOther}, verb) {
		a.o.Metrics.Refused(platform, "unknown")
		return
	}
	who := asker(in.Team.ID, orElse(in.Channel.ID, in.Container.ChannelID), in.User.ID)
	back := &pressed{a: a, team: in.Team.ID, back: in.ResponseURL, channel: who.Channel, user: in.User.ID, thread: in.Container.ThreadTs,
		direct: strings.HasPrefix(who.Channel, "D")}
	if who.Channel == "" { // on the home tab: answer in the talk with the person
		who.Channel = in.User.ID // which finds that talk, if nothing has told its name
		if talk, ok := a.directs.Get(asker(in.Team.ID, "", in.User.ID)); ok {
			who.Channel = talk
		}
		back.channel, back.direct = who.Channel, true
	}
	if verb == verbOther {
		a.inBackground(ctx, "open a form", func(ctx context.Context) error { return a.openForm(ctx, in.TriggerID, action.Value, back) })
		return
	}
	m := bot.Message{Platform: platform, Asker: who, Line: action.Value, Share: verb == verbShare}
	if in.TriggerID != "" {
		m.IDs = []string{"slack:trigger:" + in.TriggerID}
	}
	if key, ok := strings.CutPrefix(action.Value, keyed); ok {
		line, ok := a.o.Handler.Desk.Offered(who, key)
		if !ok {
			a.inBackground(ctx, "answer an old button", func(ctx context.Context) error { return back.Answer(ctx, bot.Forgotten()) })
			return
		}
		m.Line = line
	}
	a.o.Handler.Go(ctx, m, back)
}

// metadata travels with a form and comes back when it is sent.
type metadata struct {
	Line    string `json:"l"`
	Option  string `json:"o"`
	Back    string `json:"b,omitempty"`
	Channel string `json:"c,omitempty"`
	Thread  string `json:"t,omitempty"`
	Direct  bool   `json:"d,omitempty"`
}

// Limits of a form. https://docs.slack.dev/reference/views
const (
	mostMetadata = 3000
	mostTitle    = 24
	mostInput    = 500 // ours; the service allows 3000
)

// openForm opens a form for one value. The service gives three seconds from
// the press, so nothing is done before.
func (a *Adapter) openForm(ctx context.Context, trigger, value string, back *pressed) error {
	name, line, ok := strings.Cut(value, "\n")
	command, _, _ := strings.Cut(line, " ")
	c, known := a.o.Handler.Desk.Commands().Command(command)
	if !ok || !known {
		return back.Answer(ctx, bot.Forgotten())
	}
	option, known := c.Option(name)
	if !known {
		return back.Answer(ctx, bot.Forgotten())
	}
	about := option.About()
	meta, err := json.Marshal(metadata{line, name, back.back, back.channel, back.thread, back.direct})
	if err != nil || units(string(meta)) > mostMetadata {
		return back.Answer(ctx, bot.Forgotten())
	}
	input := slack.NewPlainTextInputBlockElement(plainText("e.g. "+about.Example), formField).WithMaxLength(mostInput)
	block := slack.NewInputBlock(formField, plainText(clipped(upper(about.Help), mostValue)), nil, input)
	_, err = a.api.OpenViewContext(ctx, trigger, slack.ModalViewRequest{Type: slack.VTModal,
		Title: plainText(clipped(upper(about.Name), mostTitle)), Submit: plainText("Ask"), Close: plainText("Cancel"),
		CallbackID: formField, PrivateMetadata: string(meta), Blocks: slack.Blocks{BlockSet: []slack.Block{block}}})
	if err = a.explained(err); err == nil {
		return nil
	}
	// The question is still open, so the value can be typed as well.
	return errors.Join(err, back.Answer(ctx, bot.Mistaken("the form could not be opened: type your answer instead, or press the button once more", about.Example)))
}

// formField names the form, its one input and the block around it.
const formField = "value"

func upper(text string) string {
	if text == "" {
		return text
	}
	return strings.ToUpper(text[:1]) + text[1:]
}

// submitted handles a form that was sent: its value joins the line it is for.
func (a *Adapter) submitted(ctx context.Context, in slack.InteractionCallback) {
	var meta metadata
	err := json.Unmarshal([]byte(in.View.PrivateMetadata), &meta)
	if err != nil || in.View.CallbackID != formField || in.View.State == nil {
		a.o.Metrics.Refused(platform, "unknown")
		return
	}
	text := in.View.State.Values[formField][formField].Value
	if strings.TrimSpace(text) == "" { // not ours, or made of parts that we do not know
		a.o.Metrics.Refused(platform, "unknown")
		return
	}
	m := bot.Message{Platform: platform, Asker: asker(in.Team.ID, meta.Channel, in.User.ID), Line: spec.Refilled(meta.Line, meta.Option, text)}
	if in.TriggerID != "" {
		m.IDs = []string{"slack:trigger:" + in.TriggerID}
	}
	a.o.Handler.Go(ctx, m, &pressed{a: a, team: in.Team.ID, back: meta.Back, channel: meta.Channel, user: in.User.ID, thread: meta.Thread, direct: meta.Direct})
}

// inBackground does something small beside the answers; what fails is logged.
func (a *Adapter) inBackground(ctx context.Context, what string, do func(context.Context) error) {
	a.o.Handler.Background(context.WithoutCancel(ctx), "slack: "+what, do)
}
