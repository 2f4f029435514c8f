package discord_test

import (
	"context"
	"errors"
	"fmt"
	"sync"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"spokeword/bot/discord"
	"spokeword/bot/discordfake"
	"spokeword/commands/reply"
	"spokeword/commands/spec"
)

// registry keeps hashes in memory.
type registry struct {
	mu   sync.Mutex
	kept map[string]string
	err  error
}

func (r *registry) Registered(_ context.Context, name string) (string, error) {
	r.mu.Lock()
	defer r.mu.Unlock()
	return r.kept[name], r.err
}

func (r *registry) SetRegistered(_ context.Context, name, hash string) error {
	r.mu.Lock()
	defer r.mu.Unlock()
	if r.kept == nil {
		r.kept = make(map[string]string)
	}
	r.kept[name] = hash
	return r.err
}

func (b *bench) registrations() int {
	n := 0
	for _, r := range b.fake.Records() {
		if r.Kind == discordfake.KindCommands {
			n++
		}
	}
	return n
}

func TestRegistration(t *testing.T) {
	kept := &registry{}
	start := func(guild string) *bench {
		return newBench(t, discord.HTTP, with{still: true, adapter: func(o *discord.Options) { o.Registered, o.Guild, o.ApplicationID = kept, guild, "" }})
	}
	b := start("")
	changed, err := b.adapter.Register(b.ctx(), false)
	require.NoError(t, err)
	assert.True(t, changed, "at first")
	var names []string
	for _, c := range b.fake.Commands() {
		names = append(names, c.Name)
		assert.Equal(t, []int{0, 1, 2}, c.Contexts, c.Name)
		assert.Equal(t, []int{0, 1}, c.IntegrationTypes, c.Name)
	}
	assert.Equal(t, discord.Names(b.desk.Commands()), names)

	again := start("")
	changed, err = again.adapter.Register(b.ctx(), false)
	require.NoError(t, err)
	assert.False(t, changed, "nothing changed: nothing is sent")
	assert.Zero(t, again.registrations())

	changed, err = again.adapter.Register(b.ctx(), true)
	require.NoError(t, err)
	assert.True(t, changed, "forced")
	assert.Equal(t, 1, again.registrations())

	trial := start("500")
	changed, err = trial.adapter.Register(b.ctx(), false)
	require.NoError(t, err)
	assert.True(t, changed, "in another place")
	assert.Empty(t, trial.fake.Commands(), "in one place alone")
	assert.Len(t, trial.fake.GuildCommands("500"), len(names))

	kept.err = errors.New("the disk is full")
	_, err = trial.adapter.Register(b.ctx(), false)
	require.ErrorContains(t, err, "the disk is full")
	for _, b := range []*bench{b, again, trial} {
		b.good()
	}
}

// TestRegistrationOnTheWay holds that the bot registers when it starts, tries
// again when that fails, and takes nothing back when it ends.
func TestRegistrationOnTheWay(t *testing.T) {
	over(t, func(t *testing.T, transport discord.Transport) {
		b := newBench(t, transport, with{still: true})
		b.fake.Disturb(&discordfake.Fault{Path: "/commands", Times: 3, Answer: discordfake.Failing(503)})
		ctx, stop := context.WithCancel(context.Background())
		go func() { b.ended <- b.adapter.Run(ctx) }()
		b.next(kinds(discordfake.KindCommands), discordfake.Succeeded)
		stop()
		require.NoError(t, <-b.ended)
		assert.NotEmpty(t, b.fake.Commands(), "they stay")
		b.good()
	})
}

func TestDefinitions(t *testing.T) {
	b := newBench(t, discord.HTTP, with{still: true})
	set := b.desk.Commands()
	all, left := discord.Definitions(set)
	assert.Empty(t, left, "every option of ours has room")
	byName := make(map[string]int)
	for i, c := range all {
		byName[c.Name] = i
		declared, ok := set.Command(c.Name)
		if !ok {
			assert.Equal(t, "ask", c.Name)
			continue
		}
		assert.Len(t, c.Options, len(declared.Options))
		for _, o := range c.Options {
			option, ok := declared.Option(o.Name)
			require.True(t, ok)
			assert.Equal(t, 3, int(o.Type), "%s %s is text, so that units can be typed", c.Name, o.Name)
			if lister, ok := option.Form().(spec.Lister); ok && len(lister.List()) <= 25 { // more are completed as they are typed
				assert.Len(t, o.Choices, len(lister.List()))
				assert.False(t, o.Autocomplete)
			} else {
				assert.True(t, o.Autocomplete, "%s %s", c.Name, o.Name)
			}
		}
	}
	pressure := all[byName["pressure"]]
	require.NotNil(t, pressure.NameLocalizations)
	assert.Equal(t, "druck", (*pressure.NameLocalizations)["de"])
	assert.Equal(t, "pression", (*pressure.NameLocalizations)["fr"])
	assert.Equal(t, "presión", (*pressure.NameLocalizations)["es-ES"])
	assert.Equal(t, "pressione", (*pressure.NameLocalizations)["it"])
	assert.Contains(t, (*pressure.DescriptionLocalizations)["de"], "druck, luftdruck")
	assert.Equal(t, "tyre", pressure.Options[0].Name, "what it wants to know most stands first")
	assert.Equal(t, "reifen", pressure.Options[0].NameLocalizations["de"])
}

// TestCommandsWithTooMuch declares what the service has no room for.
func TestCommandsWithTooMuch(t *testing.T) {
	var options []spec.Option
	for i := range 40 {
		o := &spec.Arg[string]{Info: spec.Info{Name: fmt.Sprint("o", i), Help: fmt.Sprintf("%0200d", i), Example: "x"}}
		o.Words = spec.W("x", spec.De("gleich", "zwei worte", "Groß", "größe"), spec.Fr("même"))
		options = append(options, o)
	}
	run := func(context.Context, spec.Request) (reply.Reply, error) { return reply.Reply{}, nil }
	set, err := spec.NewCommands(
		&spec.Command{Name: "many", Summary: fmt.Sprintf("%0200d", 0), Words: spec.W("x", spec.De("viel")), Options: options, Wants: []spec.Want{{Any: options[39:]}}, Examples: []string{"x"}, Run: run},
		&spec.Command{Name: "more", Summary: "x", Words: spec.W("x", spec.De("viel", "mehr")), Examples: []string{"x"}, Run: run},
		&spec.Command{Name: "viel", Summary: "x", Words: spec.W("x", spec.De("many")), Examples: []string{"x"}, Run: run})
	require.NoError(t, err)
	all, left := discord.Definitions(set)
	require.Len(t, all, 4)
	many := all[1]
	assert.Len(t, many.Options, 25)
	assert.Equal(t, "o39", many.Options[0].Name)
	assert.Len(t, left, 15)
	assert.Equal(t, "many o24", left[0])
	assert.Contains(t, many.Description, "more by /ask")
	assert.Nil(t, many.NameLocalizations, "another command has that name")
	assert.Equal(t, "mehr", (*all[2].NameLocalizations)["de"])
	assert.Nil(t, all[3].NameLocalizations)
	names := make(map[string]bool)
	for _, o := range many.Options {
		if n := o.NameLocalizations["de"]; n != "" {
			assert.False(t, names[n], "%s is used twice", n)
			names[n] = true
		}
	}
	assert.Equal(t, map[string]bool{"gleich": true, "größe": true}, names)
}
