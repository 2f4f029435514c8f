package console

import (
	"bytes"
	"context"
	"errors"
	"io"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"spokeword/bot"
	"spokeword/bot/render"
	"spokeword/commands"
	"spokeword/commands/reply"
	"spokeword/commands/spec"
	"spokeword/commands/talk"
)

// echo is a desk that answers a line with the line, and offers what the test
// wants.
type echo struct {
	asked  []string
	offers map[string]reply.Reply
}

func (e *echo) Ask(_ context.Context, _ commands.Asker, line string) []reply.Reply {
	e.asked = append(e.asked, line)
	r := e.offers[strings.TrimSpace(line)]
	r.Lead = append([]string{"You said " + line + "."}, r.Lead...)
	return []reply.Reply{r}
}

func (e *echo) Offered(commands.Asker, string) (string, bool) { return "", false }
func (e *echo) Offer(commands.Asker, string)                  {}

// by returns a handler for a desk of the tests, which have no faults.
func by(t *testing.T, desk bot.Desk) *bot.Handler {
	return bot.NewHandler(bot.Options{Desk: desk, Incident: func(err error) string {
		t.Errorf("fault: %v", err)
		return ""
	}})
}

func (e *echo) Commands() *spec.Commands {
	return &spec.Commands{All: []*spec.Command{
		{Name: "weigh", Examples: []string{"80 kg", "13 st"}, Options: []spec.Option{&spec.Arg[string]{}}},
		{Name: "help", Examples: []string{"help"}},
	}}
}

func TestChat(t *testing.T) {
	desk := &echo{}
	var out strings.Builder
	in := "hello\n\n  \nsecond\r\n QUIT \nnever\n"
	require.NoError(t, Chat(context.Background(), by(t, desk), Place{In: strings.NewReader(in), Out: &out, Width: 40}))
	assert.Equal(t, []string{"hello", "second"}, desk.asked, "blank lines are nothing, quit ends")
	assert.Equal(t, `Spokeword answers questions about tyres,
rims and wheels. Ask as you would type
it to a friend, for example:

  weigh 80 kg

help shows what can be asked, why shows
the sum behind the last answer, quit
ends.


You said hello.


You said second.

`, out.String())
}

func TestChatEnds(t *testing.T) {
	for _, c := range []struct{ in, why string }{
		{"hello\n", "the lines end"},
		{"hello", "the last without a line break is a line too"},
		{"hello\nexit", "another word for it"},
	} {
		desk := &echo{}
		require.NoError(t, Chat(context.Background(), by(t, desk), Place{In: strings.NewReader(c.in), Out: io.Discard}))
		assert.Equal(t, []string{"hello"}, desk.asked, c.why)
	}
}

// TestChatIsStopped holds that a signal ends a chat that waits for a line.
func TestChatIsStopped(t *testing.T) {
	ctx, stop := context.WithCancel(context.Background())
	in, typing := io.Pipe()
	defer typing.Close()
	done := make(chan error, 1)
	go func() { done <- Chat(ctx, by(t, &echo{}), Place{In: in, Out: io.Discard}) }()
	_, err := io.WriteString(typing, "hello\n")
	require.NoError(t, err)
	stop()
	assert.NoError(t, <-done)
}

type broken struct{}

var errBroken = errors.New("broken")

func (broken) Read([]byte) (int, error)  { return 0, errBroken }
func (broken) Write([]byte) (int, error) { return 0, errBroken }

func TestChatBroken(t *testing.T) {
	err := Chat(context.Background(), by(t, &echo{}), Place{In: broken{}, Out: io.Discard})
	assert.ErrorIs(t, err, errBroken)
	err = Chat(context.Background(), by(t, &echo{}), Place{In: strings.NewReader("a\n"), Out: broken{}})
	assert.ErrorIs(t, err, errBroken)
}

func TestKeysAreTaken(t *testing.T) {
	question := reply.Reply{Ask: &reply.Ask{Text: "How heavy?", Choices: []reply.Action{{Label: "65 kg", Line: "light"}, {Label: "80 kg", Line: "heavy"}}}}
	for _, c := range []struct {
		lines, asked []string
		why          string
	}{
		{[]string{"ask", "1"}, []string{"ask", "light"}, "the first choice"},
		{[]string{"ask", " 2 "}, []string{"ask", "heavy"}, "blanks do not matter"},
		{[]string{"ask", "3"}, []string{"ask", "3"}, "no such choice: a line like any other"},
		{[]string{"ask", "2 kg"}, []string{"ask", "2 kg"}, "more than the key: a line like any other"},
		{[]string{"1"}, []string{"1"}, "nothing is open"},
		{[]string{"ask", "other", "1"}, []string{"ask", "other", "1"}, "no longer open"},
		{[]string{"go on", "2"}, []string{"go on", "next line"}, "actions have keys too"},
		{[]string{"count", "2"}, []string{"count", "2"}, "keys are letters where the number may be the answer"},
		{[]string{"count", "b"}, []string{"count", "three"}, "and the letter is the key"},
	} {
		desk := &echo{offers: map[string]reply.Reply{
			"ask":   question,
			"go on": {Actions: []reply.Action{{Label: "x", Line: "y"}, {Label: "next", Line: "next line"}}},
			"count": {Ask: &reply.Ask{Text: "How many crossings?", Choices: []reply.Action{{Label: "2 crossings", Line: "two"}, {Label: "3 crossings", Line: "three"}}}},
		}}
		talk := NewTalk(by(t, desk), commands.Asker{})
		for _, l := range c.lines {
			talk.Say(context.Background(), l)
		}
		assert.Equal(t, c.asked, desk.asked, c.why)
	}
}

func TestLines(t *testing.T) {
	long := strings.Repeat("x", mostBytes+5000)
	for _, c := range []struct {
		in   string
		want []string
		why  string
	}{
		{"", nil, "nothing"},
		{"a\nb", []string{"a", "b"}, "no break at the end"},
		{"a\r\n\r\nb\n", []string{"a", "", "b"}, "the breaks of another system"},
		{"\ufeffa\n\ufeffb\n", []string{"a", "\ufeffb"}, "a mark before the text"},
		{long + "\nnext\n", []string{long[:mostBytes], "next"}, "the end of a line beyond measure is passed over, the next line is whole"},
		{"a\x00b\n\xff\n", []string{"a\x00b", "\xff"}, "whatever bytes there are"},
	} {
		lines := NewLines(strings.NewReader(c.in))
		var got []string
		for {
			l, err := lines.ReadLine()
			if err != nil {
				require.ErrorIs(t, err, io.EOF)
				break
			}
			got = append(got, l)
		}
		assert.Equal(t, c.want, got, c.why)
	}
	_, err := NewLines(broken{}).ReadLine()
	assert.ErrorIs(t, err, errBroken)
}

// TestEditing types at the line editor as a keyboard would, and looks at the
// lines that come out.
func TestEditing(t *testing.T) {
	const left, up = "\x1b[D", "\x1b[A"
	for _, c := range []struct {
		typed string
		want  []string
		why   string
	}{
		{"80kg\r", []string{"80kg"}, "a line"},
		{"80k\x7fkg\r", []string{"80kg"}, "a letter taken back"},
		{"0kg" + left + left + left + "8\r", []string{"80kg"}, "a letter put in"},
		{"first\r" + up + "!\r", []string{"first", "first!"}, "an earlier line fetched back"},
		{"a\x04", nil, "the end of input within a line does nothing there"},
		{"\x04", nil, "and ends on an empty one"},
		{"first\r\x03", []string{"first"}, "a break ends"},
	} {
		editor := edit(strings.NewReader(c.typed), io.Discard)
		var got []string
		for {
			l, err := editor.ReadLine()
			if err != nil {
				require.ErrorIs(t, err, io.EOF, c.why)
				break
			}
			got = append(got, l)
		}
		assert.Equal(t, c.want, got, c.why)
	}
}

func TestColumns(t *testing.T) {
	for _, c := range []struct{ terminal, want int }{{0, 80}, {-1, 80}, {20, 40}, {40, 40}, {72, 72}, {250, 100}} {
		assert.Equal(t, c.want, Columns(c.terminal))
	}
}

func TestPlace(t *testing.T) {
	_, ok := Terminal(&bytes.Buffer{})
	assert.False(t, ok)
	assert.Equal(t, render.Style{Width: 80}, Place{Out: &bytes.Buffer{}}.Style())
	assert.Equal(t, render.Style{Width: 50, Colour: true}, Place{Out: &bytes.Buffer{}, Width: 50, Colour: true}.Style())
}

// TestExamples holds that the greeting's examples are what the desk answers.
func TestExamples(t *testing.T) {
	now := func() time.Time { return time.Date(2030, time.May, 4, 12, 0, 0, 0, time.UTC) }
	desk, err := commands.NewDesk(commands.Deps{Now: now, Talk: talk.NewMemory(now), Log: func(err error) string {
		t.Errorf("fault: %v", err)
		return ""
	}})
	require.NoError(t, err)
	examples := Examples(desk.Commands(), greetingExamples)
	assert.GreaterOrEqual(t, len(examples), 4)
	for _, e := range examples {
		for _, r := range desk.Ask(context.Background(), commands.Asker{User: e}, e) {
			assert.False(t, r.Mistake || r.Fault, "%s: %s", e, r.Error)
		}
	}
}
