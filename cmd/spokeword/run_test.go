package main

import (
	"bufio"
	"bytes"
	"context"
	"encoding/json"
	"errors"
	"io"
	"log/slog"
	"os"
	"path/filepath"
	"runtime/debug"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"spokeword/bot/console"
	"spokeword/commands"
	"spokeword/commands/reply"
	"spokeword/commands/talk"
	"spokeword/config"
)

// mainJob is the line that the README begins with.
const mainJob = "pressure 80kg 29x2.4 i30 trail"

func TestExitCodes(t *testing.T) {
	settings := filepath.Join(t.TempDir(), "settings.yaml")
	require.NoError(t, os.WriteFile(settings, []byte("console:\n  widht: 60\n"), 0o600))
	for _, c := range []struct {
		why  string
		args []string
		in   string
		env  map[string]string
		code int
		out  string // part of standard output
		errs string // part of standard error; "" means that it is empty
	}{
		{why: "an answer", args: []string{"ask", mainJob}, code: 0, out: "psi"},
		{why: "words need no quotes", args: append([]string{"ask"}, strings.Fields(mainJob)...), code: 0, out: "psi"},
		{why: "help is an answer", args: []string{"ask", "help"}, code: 0, out: "pressure"},
		{why: "a mistake", args: []string{"ask", "fit 2.4 on rim 999mm"}, code: 2, out: "Try: "},
		{why: "nothing in it", args: []string{"ask", ""}, code: 2, out: "Try: "},
		{why: "a question back", args: []string{"ask", "pressure 29x2.4"}, code: 2, out: "?"},
		{why: "beyond measure", args: []string{"ask", strings.Repeat("a ", 5000)}, code: 2, out: "at most"},
		{why: "control characters, no text, turned writing", args: []string{"ask", "\x00\x1b[2J\xff\u202e"}, code: 2, out: "Try: "},
		{why: "no line", args: []string{"ask"}, code: 2, errs: "ask: found no line: want one"},
		{why: "no such command", args: []string{"answer"}, code: 2, errs: `found "answer": want ask, serve, manifest, register, doctor or version`},
		{why: "no such flag", args: []string{"ask", "--loud", "x"}, code: 2, errs: "unknown flag: --loud"},
		{why: "a line like a flag", args: []string{"ask", "-5 °C"}, code: 2, out: "-5 °C"},
		{why: "put so", args: []string{"ask", "--", "-x"}, code: 2, out: "Try: "},
		{why: "too narrow", args: []string{"ask", "--width", "20", "help"}, code: 2, errs: `setting console.width: found "20": want 0, or 40 to 200`},
		{why: "no number", args: []string{"ask", "--width", "x", "help"}, code: 2, errs: "invalid argument"},
		{why: "no settings file", args: []string{"ask", "--config", settings + "x", "help"}, code: 2, errs: "settings file: open"},
		{why: "a misspelt setting", args: []string{"ask", "--config", settings, "help"}, code: 2, errs: "did you mean console.width?"},
		{why: "named in the environment", args: []string{"ask", "help"}, env: map[string]string{"SPOKEWORD_CONFIG": settings}, code: 2, errs: "did you mean console.width?"},
		{why: "a variable that hides a section", args: []string{"ask", "help"}, env: map[string]string{"SPOKEWORD_CONSOLE": "80"}, code: 2, errs: "found SPOKEWORD_CONSOLE, which is a section"},
		{why: "a misspelt variable", args: []string{"ask", "help"}, env: map[string]string{"SPOKEWORD_CONSOLE_WIDHT": "60"}, code: 2, errs: "found SPOKEWORD_CONSOLE_WIDHT, which is no setting: did you mean SPOKEWORD_CONSOLE_WIDTH?"},
		{why: "a conversation", args: []string{"ask", "-"}, in: mainJob + "\n\nwhy\n", code: 0, out: "psi"},
		{why: "a mistake in a conversation does not end it", args: []string{"ask", "-"}, in: "fit 2.4 on rim 999mm\n" + mainJob + "\n", code: 2, out: "bar"},
		{why: "nor does a line beyond measure", args: []string{"ask", "-"}, in: strings.Repeat("x", 3<<20) + "\n" + mainJob + "\n", code: 2, out: "bar"},
		{why: "an empty conversation", args: []string{"ask", "-"}, code: 2, errs: "found no line on standard input"},
		{why: "the chat", in: mainJob + "\nquit\n", code: 0, out: "psi"},
		{why: "an empty chat", code: 0, out: "for example:"},
		{why: "the version", args: []string{"version"}, code: 0, out: "spokeword "},
		{why: "usage", args: []string{"--help"}, code: 0, out: "Usage:"},
	} {
		t.Run(c.why, func(t *testing.T) {
			got := swIn(c.env, c.in, c.args...)
			assert.Equal(t, c.code, got.code, got)
			assert.Contains(t, got.out, c.out)
			if c.errs == "" {
				assert.Empty(t, got.errs)
			} else {
				assert.Contains(t, got.errs, c.errs)
			}
		})
	}
}

// TestObjects holds that --json prints one object a line whatever happens, and
// nothing else.
func TestObjects(t *testing.T) {
	for _, c := range []struct {
		why   string
		args  []string
		in    string
		lines int
	}{
		{"an answer", []string{"ask", "--json", mainJob}, "", 1},
		{"a mistake", []string{"ask", "--json", "fit 2.4 on rim 999mm"}, "", 1},
		{"a question back", []string{"ask", "--json", "pressure 29x2.4"}, "", 1},
		{"nothing", []string{"ask", "--json", ""}, "", 1},
		{"no text", []string{"ask", "--json", "\x00\xff\u2028\n{}"}, "", 1},
		{"beyond measure", []string{"ask", "--json", strings.Repeat("x", 1<<20)}, "", 1},
		{"no line", []string{"ask", "--json"}, "", 1},
		{"a flag that does not exist", []string{"ask", "--json", "--loud"}, "", 1},
		{"before it", []string{"ask", "--loud", "--json=true", "x"}, "", 1},
		{"no settings", []string{"ask", "--json", "--config", "nowhere", "x"}, "", 1},
		{"a conversation", []string{"ask", "-", "--json"}, mainJob + "\nwhy\nfit 2.4 on rim 999mm\n\x00\n", 4},
		{"an empty one", []string{"ask", "-", "--json"}, "", 1},
	} {
		t.Run(c.why, func(t *testing.T) {
			got := sw(c.in, c.args...)
			assert.Empty(t, got.errs)
			printed := strings.Split(strings.TrimSuffix(got.out, "\n"), "\n")
			require.Len(t, printed, c.lines, got.out)
			for _, l := range printed {
				var o struct {
					Error *string `json:"error"`
					Ask   any     `json:"ask"`
					Line  *string `json:"line"`
				}
				require.NoError(t, json.Unmarshal([]byte(l), &o), l)
				require.NotNil(t, o.Error)
				require.NotNil(t, o.Line)
				if c.lines == 1 {
					assert.Equal(t, got.code == 0, *o.Error == "" && o.Ask == nil, "the code and the object agree")
				}
			}
		})
	}
	assert.Equal(t, "spokeword: ask: found no line: want one, as in: spokeword ask \"pressure 80kg 29x2.4 i30 trail\"\n", sw("", "ask").errs)
}

// TestConversation holds that the lines of standard input are one talk, and
// that keys work there.
func TestConversation(t *testing.T) {
	got := sw("pressure 29x2.4 i30\n80 kg\n", "ask", "-", "--json")
	objects := strings.Split(strings.TrimSpace(got.out), "\n")
	require.Len(t, objects, 2)
	assert.Contains(t, objects[0], `"ask":{"option":"rider"`)
	assert.Contains(t, objects[1], `"front.start"`)
	assert.Contains(t, objects[1], `rider:\"80 kg\"`)
	keyed := sw("pressure 29x2.4 i30\n1\n", "ask", "-", "--json")
	assert.Contains(t, keyed.out, `"front.start"`, "1 takes the first choice")
	apart := sw("80 kg\n", "ask", "-", "--json")
	assert.NotContains(t, apart.out, `"front.start"`, "another run remembers nothing")
}

// TestWidth holds that answers are no wider than asked for, from all three
// sources.
func TestWidth(t *testing.T) {
	for _, c := range []struct {
		env  map[string]string
		args []string
		want int
	}{
		{nil, []string{"ask", mainJob}, console.Usual},
		{map[string]string{"SPOKEWORD_CONSOLE_WIDTH": "60"}, []string{"ask", mainJob}, 60},
		{map[string]string{"SPOKEWORD_CONSOLE_WIDTH": "60"}, []string{"ask", "--width", "40", mainJob}, 40},
	} {
		widest := 0
		for l := range strings.SplitSeq(swIn(c.env, "", c.args...).out, "\n") {
			widest = max(widest, len([]rune(l)))
		}
		assert.LessOrEqual(t, widest, c.want)
		assert.Greater(t, widest, c.want-12)
	}
}

func TestColour(t *testing.T) {
	assert.NotContains(t, sw("", "ask", mainJob).out, "\x1b", "not where there is no terminal")
	assert.Contains(t, swIn(map[string]string{"SPOKEWORD_CONSOLE_COLOUR": "always"}, "", "ask", mainJob).out, "\x1b[1m")
}

// failing writes nothing.
type failing struct{}

func (failing) Write([]byte) (int, error) { return 0, errors.New("full") }

func TestOurFault(t *testing.T) {
	for _, args := range [][]string{{"ask", mainJob}, {"ask", "-"}, {"version"}, {"doctor"}, nil} {
		var errs strings.Builder
		code := run(context.Background(), args, nil, strings.NewReader("help\n"), failing{}, &errs)
		assert.Equal(t, 1, code, args)
		assert.Contains(t, errs.String(), "full")
	}
	assert.Equal(t, 1, outcome([]reply.Reply{{Mistake: true}, {Fault: true}}))
	assert.Equal(t, 2, outcome([]reply.Reply{{}, {Ask: &reply.Ask{}}}))
	assert.Equal(t, 0, outcome([]reply.Reply{{Refused: true}}), "a refusal is an answer")
	var p program
	for _, code := range []int{0, 2, 1, 2, 0} {
		p.worse(code)
	}
	assert.Equal(t, 1, p.code, "the worst counts")
}

func TestIncident(t *testing.T) {
	var errs bytes.Buffer
	p := &program{errs: &errs}
	number := incident(p.logger(config.Log{Level: "info", Format: "json"}, "text"), errors.New("spring broke"))
	var o map[string]any
	require.NoError(t, json.Unmarshal(errs.Bytes(), &o))
	assert.Regexp(t, "^[0-9a-f]{8}$", number)
	assert.Equal(t, number, o["incident"])
	assert.Equal(t, "spring broke", o["error"])
	errs.Reset()
	p.logger(config.Log{Level: "warn", Format: "text"}, "json").Log(context.Background(), slog.LevelInfo, "not worth it")
	assert.Empty(t, errs.String())
}

// TestNothingTypedIsLogged holds that mistakes of askers leave no trace.
func TestNothingTypedIsLogged(t *testing.T) {
	got := swIn(map[string]string{"SPOKEWORD_LOG_LEVEL": "debug"}, "pressure 87.6 kg 29x2.4\nfit 2.4 on rim 999mm\n\xff\n", "ask", "-")
	assert.Empty(t, got.errs)
}

func TestExpiry(t *testing.T) {
	at := noon()
	now := func() time.Time { return at }
	store := talk.NewMemoryWithin(now, 5*time.Minute, 10)
	store.Put(talk.Key{}, talk.State{Base: "x"})
	at = noon().Add(5 * time.Minute)
	assert.Equal(t, "x", store.Get(talk.Key{}).Base)
	at = at.Add(time.Second)
	assert.Empty(t, store.Get(talk.Key{}).Base)
}

// TestDoctor holds that a program as it should be is well, and that what is
// wrong turns the exit code and says so in words.
func TestDoctor(t *testing.T) {
	got := sw("", "doctor")
	assert.Equal(t, 0, got.code, got)
	assert.Equal(t, 5, strings.Count(got.out, "\n"))
	assert.Equal(t, 5, strings.Count(got.out, "ok    "))
	got = swIn(map[string]string{"SPOKEWORD_CONSOLE_WIDTH": "x"}, "", "doctor")
	assert.Equal(t, 1, got.code)
	assert.Contains(t, got.out, "FAIL  settings: environment SPOKEWORD_CONSOLE_WIDTH")
	assert.Contains(t, got.out, "ok    models")
	assert.Contains(t, got.errs, "doctor: 1 of 5 checks failed")
	assert.Error(t, declarations(context.Background(), nil, errors.New("broken")).err)
	assert.Error(t, sums(context.Background(), nil).err)
}

func TestVersion(t *testing.T) {
	at := func(version string, settings ...debug.BuildSetting) *debug.BuildInfo {
		return &debug.BuildInfo{Main: debug.Module{Version: version}, Settings: settings}
	}
	commit := debug.BuildSetting{Key: "vcs.revision", Value: "0123456789abcdef"}
	for _, c := range []struct {
		release string
		info    *debug.BuildInfo
		want    string
	}{
		{"", nil, "development"},
		{"", at("(devel)"), "development"},
		{"", at("(devel)", commit), "development 0123456789ab"},
		{"", at("", commit, debug.BuildSetting{Key: "vcs.modified", Value: "true"}), "development 0123456789ab with changes"},
		{"", at("v1.2.3", commit), "v1.2.3"},
		{"v2", at("v1.2.3"), "v2"},
	} {
		assert.Equal(t, c.want, versionOf(c.release, c.info))
	}
}

// TestChatKeepsTalk holds that a chat goes on from its last answer.
func TestChatKeepsTalk(t *testing.T) {
	got := sw(mainJob+"\nwhy\n", "--width", "60")
	assert.Equal(t, 0, got.code)
	assert.NotContains(t, got.out, "There is no answer yet")
}

// BenchmarkAsk answers lines that differ each time, and says how many times
// the copying of as many bytes that costs, taken in the same run.
func BenchmarkAsk(b *testing.B) {
	desk, err := commands.NewDesk(commands.Deps{Now: noon, Talk: talk.NewMemory(noon), Log: func(err error) string { b.Error(err); return "" }})
	require.NoError(b, err)
	var lines []string
	for kg := 45; kg < 125; kg++ {
		for _, rest := range []string{"kg 29x2.4 i30 trail", "kg 27.5x2.6 i35 enduro wet", "kg 700x40 gravel 23mm"} {
			lines = append(lines, "pressure "+string([]byte{byte('0' + kg/100), byte('0' + kg/10%10), byte('0' + kg%10)})+rest)
		}
	}
	var out []byte
	ctx := context.Background()
	const rounds = 20000
	begin := time.Now()
	for i := range rounds {
		out = append(out[:0], lines[i%len(lines)]...)
	}
	base := float64(time.Since(begin)) / rounds
	b.ReportAllocs()
	b.ResetTimer()
	n := 0
	for b.Loop() {
		desk.Ask(ctx, local, lines[n%len(lines)])
		n++
	}
	b.ReportMetric(float64(b.Elapsed())/float64(n)/base, "×copy")
}

// TestConversationIsStopped holds that a signal ends a conversation that waits
// for a line, with what was asked before answered.
func TestConversationIsStopped(t *testing.T) {
	ctx, stop := context.WithCancel(context.Background())
	in, typing := io.Pipe()
	defer typing.Close()
	out, shown := io.Pipe()
	code := make(chan int, 1)
	var errs strings.Builder
	go func() {
		code <- run(ctx, []string{"ask", "-"}, nil, in, shown, &errs)
		shown.Close()
	}()
	_, err := io.WriteString(typing, "convert 1 bar in psi\n")
	require.NoError(t, err)
	first, err := bufio.NewReader(out).ReadString('\n')
	require.NoError(t, err)
	assert.Contains(t, first, "psi")
	go io.Copy(io.Discard, out)
	stop()
	assert.Equal(t, ourFault, <-code)
	assert.Equal(t, "spokeword: ask -: told to end before the lines did\n", errs.String())
}
