package discordfake_test

import (
	"encoding/json"
	"fmt"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"github.com/bwmarrin/discordgo"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"spokeword/bot/discordfake"
)

// samples are written from the service's pages, not by the makers they check.
var samples = filepath.Join("..", "..", "testdata", "discord")

// shape notes the kind of each value of a JSON text by its path.
func shape(t *testing.T, b []byte) map[string]string {
	t.Helper()
	var v any
	require.NoError(t, json.Unmarshal(b, &v))
	out := make(map[string]string)
	note(out, "", v)
	return out
}

func note(out map[string]string, path string, v any) {
	switch v := v.(type) {
	case map[string]any:
		for k, e := range v {
			note(out, path+"/"+k, e)
		}
	case []any:
		for _, e := range v {
			note(out, path+"/*", e)
		}
	case nil:
	default:
		out[path] = fmt.Sprintf("%T", v)
	}
}

// TestMakersAreLikeTheSamples holds that makers invent no field and no kind, and
// leave out none that an interaction always has.
func TestMakersAreLikeTheSamples(t *testing.T) {
	s, _ := start(t, discordfake.Options{})
	o := discordfake.InGuild("100")
	b, err := os.ReadFile(filepath.Join(samples, "button.json"))
	require.NoError(t, err)
	pressed, err := discordfake.Decode(b)
	require.NoError(t, err)
	message := *pressed.Message
	text, labelled := discordfake.TextOption("text", "x"), []discordfake.Field{{CustomID: "first", Value: "80 kg"}}
	made := map[string]discordfake.Interaction{
		"slash-guild": discordfake.Slash(o, "pressure", text, discordfake.NumberOption("figure", 2.5),
			discordfake.IntegerOption("count", 32), discordfake.BooleanOption("quiet", true)),
		"slash-dm":     discordfake.Slash(discordfake.InDM("100").In("de"), "ask", text),
		"slash-user":   discordfake.Slash(discordfake.ByUser("100"), "ask", text),
		"slash-sub":    discordfake.Slash(o, "shelf", discordfake.SubCommand("add", text)),
		"autocomplete": discordfake.Typing(o, "pressure", text, discordfake.Focus(text)),
		"button":       discordfake.Press(o, message, "line in bar"),
		"select":       discordfake.Choose(o, message, "choose", "trail"),
		"form":         discordfake.Submit(o, &message, "form", labelled...),
		"form-labels":  discordfake.SubmitLabelled(o, nil, "form", labelled...),
		"unknown-type": discordfake.UnknownType(o),
		"ping":         discordfake.Ping(),
	}
	// What the page does not mark as optional, or says is there for all but PING.
	// https://discord.com/developers/docs/interactions/receiving-and-responding#interaction-object-interaction-structure
	always := []string{"/id", "/application_id", "/type", "/token", "/version", "/app_permissions", "/attachment_size_limit"}
	butPing := []string{"/channel/id", "/channel_id", "/locale", "/context"}
	files, err := filepath.Glob(filepath.Join(samples, "*.json"))
	require.NoError(t, err)
	require.Len(t, files, len(made))
	for _, f := range files {
		name := strings.TrimSuffix(filepath.Base(f), ".json")
		t.Run(name, func(t *testing.T) {
			b, err := os.ReadFile(f)
			require.NoError(t, err)
			sample := shape(t, b)
			in, ok := made[name]
			require.True(t, ok)
			b, err = json.Marshal(s.Complete(in))
			require.NoError(t, err)
			got := shape(t, b)
			for path, kind := range got {
				assert.Equal(t, sample[path], kind, path)
			}
			need := slices.Clone(always)
			if name != "ping" {
				need = append(need, butPing...)
			}
			for path := range sample {
				if strings.HasPrefix(path, "/data/") {
					need = append(need, path)
				}
			}
			for _, path := range need {
				assert.Contains(t, got, path)
				assert.Contains(t, sample, path)
			}
		})
	}
}

// TestSamplesAreRead holds that fake and real client read the samples, and that
// the first loses nothing that it has a place for.
func TestSamplesAreRead(t *testing.T) {
	files, err := filepath.Glob(filepath.Join(samples, "*.json"))
	require.NoError(t, err)
	for _, f := range files {
		b, err := os.ReadFile(f)
		require.NoError(t, err)
		in, err := discordfake.Decode(b)
		require.NoError(t, err, f)
		var real discordgo.Interaction
		err = real.UnmarshalJSON(b)
		if in.Type == 99 || strings.Contains(f, "labels") {
			continue // it knows neither; what a bot makes of that is the bot's matter
		}
		require.NoError(t, err, f)
		assert.Equal(t, in.ID, real.ID)
		assert.Equal(t, in.Locale, string(real.Locale))
		if real.Type == discordgo.InteractionApplicationCommand {
			options := in.Data["options"].([]discordfake.Option)
			assert.Len(t, real.ApplicationCommandData().Options, len(options))
		}
	}
}
