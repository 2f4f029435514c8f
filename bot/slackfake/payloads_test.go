package slackfake_test

import (
	"encoding/json"
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/slack-go/slack"
	"github.com/slack-go/slack/slackevents"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"spokeword/bot/slackfake"
)

const samples = "../../testdata/slack"

// decoded is JSON of a value, read back.
func decoded(t testing.TB, v any) any {
	raw, err := json.Marshal(v)
	require.NoError(t, err)
	out, err := slackfake.Decode(raw)
	require.NoError(t, err)
	return out
}

// outline writes the paths of a value with the types at their ends, so that two
// values are compared by their build and not by what they say.
func outline(at string, v any, into map[string]bool) {
	switch v := v.(type) {
	case map[string]any:
		for k, e := range v {
			outline(at+"/"+k, e, into)
		}
	case []any:
		for _, e := range v {
			outline(at+"/*", e, into)
		}
		into[at+" []"] = true
	default:
		into[fmt.Sprintf("%s %T", at, v)] = true
	}
}

// TestPayloads holds what the makers make against the samples, which were written
// from the documentation: the same fields of the same types, no more and no fewer.
func TestPayloads(t *testing.T) {
	s, api := start(t, slackfake.Options{})
	label := func(text string) *slack.TextBlockObject {
		return slack.NewTextBlockObject(slack.PlainTextType, text, false, false)
	}
	one := slack.NewOptionBlockObject("1", label("One"), nil)
	pick := slack.NewOptionsSelectBlockElement(slack.OptTypeStatic, nil, "pick", one)
	buttons := slack.NewActionBlock("acts", slack.NewButtonBlockElement("again", "line", label("Again")).WithStyle(slack.StylePrimary), pick)
	_, _, err := api.PostMessageContext(t.Context(), slackfake.General, slack.MsgOptionText("in short", false), slack.MsgOptionBlocks(buttons))
	require.NoError(t, err)
	_, err = api.PostEphemeralContext(t.Context(), slackfake.General, slackfake.Wren, slack.MsgOptionText("in short", false), slack.MsgOptionBlocks(buttons))
	require.NoError(t, err)
	posted, whispered := s.Messages(slackfake.General)[0], s.Ephemerals(slackfake.Wren)[0]
	controls := slackfake.Controls(posted.Blocks)
	require.Len(t, controls, 2)

	form := slack.ModalViewRequest{Type: slack.VTModal, Title: label("Sizes"), Submit: label("Answer"), Close: label("Never mind"), NotifyOnClose: true, CallbackID: "form", PrivateMetadata: "line",
		Blocks: slack.Blocks{BlockSet: []slack.Block{slack.NewInputBlock("size", label("Size"), nil, slack.NewPlainTextInputBlockElement(nil, "mark")), slack.NewInputBlock("use", label("Use"), nil, pick)}}}
	opened, err := api.OpenViewContext(t.Context(), s.Command(slackfake.Wren, slackfake.General, "/spoke", "").TriggerID, form)
	require.NoError(t, err)
	v, ok := s.View(opened.View.ID)
	require.True(t, ok)
	filled := map[string]string{"mark": "61-622", "pick": "1"}

	made := map[string]slackfake.Inbound{
		"slash-command":       s.Command(slackfake.Wren, slackfake.General, "/spoke", "size 61-622"),
		"app-mention":         s.Mention(slackfake.Wren, slackfake.General, "size 61-622", ""),
		"message-im":          s.DirectMessage(slackfake.Wren, "size 61-622", "", nil),
		"message-im-thread":   s.DirectMessage(slackfake.Wren, "size 61-622", "1515449500.000001", nil),
		"message-own":         s.OwnMessage(slackfake.Wren, "24 psi"),
		"message-file":        s.MessageWithFile(slackfake.Wren, "wheels", s.AddFile(slackfake.Wren, "wheels.csv", []byte("erd,600\n"))),
		"app-home-opened":     s.HomeOpened(slackfake.Wren, "messages"),
		"tokens-revoked":      s.TokensRevoked(),
		"app-uninstalled":     s.AppUninstalled(),
		"unknown-event":       s.EventOf("wind_changed", nil),
		"unknown-interaction": s.InteractionOf(slackfake.Wren, "wind_felt", nil),
		"view-closed":         s.Dismiss(v),
	}
	with := func(name string, in slackfake.Inbound, err error) {
		require.NoError(t, err)
		made[name] = in
	}
	press := func(m slackfake.Message, c slackfake.Control) (slackfake.Inbound, error) {
		return s.Press(m, slackfake.Act{User: slackfake.Wren, Control: c, Value: "1", Filled: map[string]string{"pick": "1"}})
	}
	in, err := press(posted, controls[0])
	with("block-actions", in, err)
	in, err = press(whispered, controls[0])
	with("block-actions-ephemeral", in, err)
	in, err = press(posted, controls[1])
	with("block-actions-select", in, err)
	in, err = s.Submit(v, filled)
	with("view-submission", in, err)
	in, err = s.PressInView(v, slackfake.Act{User: slackfake.Wren, Control: slackfake.Controls(v.Blocks)[1], Value: "1", Filled: filled})
	with("block-actions-view", in, err)

	found, err := filepath.Glob(samples + "/*.json")
	require.NoError(t, err)
	require.Len(t, found, len(made), "a maker for each sample")
	for _, file := range found {
		name := strings.TrimSuffix(filepath.Base(file), ".json")
		t.Run(name, func(t *testing.T) {
			raw, err := os.ReadFile(file)
			require.NoError(t, err)
			sample, err := slackfake.Decode(raw)
			require.NoError(t, err)
			want, got := make(map[string]bool), make(map[string]bool)
			outline("", sample, want)
			in, ok := made[name]
			require.True(t, ok)
			outline("", decoded(t, in.Payload), got)
			for path := range want {
				assert.True(t, got[path], "%s is in the sample and not made", path)
			}
			for path := range got {
				assert.True(t, want[path], "%s is made and not in the sample", path)
			}
			mine, err := json.Marshal(in.Payload)
			require.NoError(t, err)
			for _, raw := range [][]byte{raw, mine} { // the client reads both
				switch in.Type {
				case slackfake.Slash:
					var c slack.SlashCommand
					require.NoError(t, json.Unmarshal(raw, &c))
					assert.Equal(t, "size 61-622", c.Text)
				case slackfake.Interaction:
					var c slack.InteractionCallback
					require.NoError(t, json.Unmarshal(raw, &c))
					assert.NotEmpty(t, c.User.ID)
				case slackfake.Event:
					_, err := slackevents.ParseEvent(raw, slackevents.OptionNoVerifyToken())
					if name == "unknown-event" {
						require.ErrorContains(t, err, "wind_changed")
					} else {
						require.NoError(t, err)
					}
				}
			}
		})
	}
}

// TestShown holds what a person reads of blocks of every kind.
func TestShown(t *testing.T) {
	v, err := slackfake.Decode([]byte(`[
		{"type":"header","text":{"type":"plain_text","text":"Start pressures"}},
		{"type":"divider"},
		{"type":"section","text":{"type":"mrkdwn","text":"*Front* 23 psi"},"fields":[{"type":"plain_text","text":"1.6 bar"}],
			"accessory":{"type":"button","action_id":"why","text":{"type":"plain_text","text":"Why"},"value":"why"}},
		{"type":"table","rows":[[{"type":"raw_text","text":"rear"},{"type":"raw_number","value":26.5},{"type":"rich_text","elements":[{"type":"rich_text_section","elements":[{"type":"text","text":"psi"}]}]}]]},
		{"type":"image","alt_text":"a wheel","image_url":"https://example.org/w.png","title":{"type":"plain_text","text":"Lacing"}},
		{"type":"context","elements":[{"type":"mrkdwn","text":"by practice"}]},
		{"type":"markdown","text":"# head"},
		{"type":"rich_text","elements":[{"type":"rich_text_section","elements":[{"type":"text","text":"see "},{"type":"link","url":"https://example.org"},{"type":"user","user_id":"U1"}]},{"type":"rich_text_preformatted","elements":[{"type":"text","text":"a  b"}]}]},
		{"type":"input","block_id":"i","optional":true,"label":{"type":"plain_text","text":"Use"},"element":{"type":"static_select","action_id":"pick","initial_option":{"text":{"type":"plain_text","text":"Trail"},"value":"t"},
			"options":[{"text":{"type":"plain_text","text":"Trail"},"value":"t"},{"text":{"type":"plain_text","text":"Race"},"value":"r"}]}}]`))
	require.NoError(t, err)
	blocks := v.([]any)
	assert.Equal(t, strings.Join([]string{"Start pressures", "*Front* 23 psi", "1.6 bar", "[Why]", "rear | 26.5 | psi", "Lacing", "[a wheel]", "by practice", "# head",
		"see https://example.org@U1", "a  b", "Use", "( ) Trail", "( ) Race"}, "\n"), slackfake.TextOf(blocks))
	assert.Equal(t, "fallback", slackfake.Text(slackfake.Message{Text: "fallback"}))
	cs := slackfake.Controls(blocks)
	require.Len(t, cs, 2)
	assert.Equal(t, "why", cs[0].Value)
	assert.Equal(t, "t", cs[1].Initial)
	assert.Equal(t, []slackfake.Option{{Text: "Trail", Value: "t"}, {Text: "Race", Value: "r"}}, cs[1].Options)
	assert.True(t, cs[1].Optional)
}
