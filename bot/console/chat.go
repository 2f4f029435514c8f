package console

import (
	"context"
	"errors"
	"fmt"
	"io"
	"strings"

	"golang.org/x/term"

	"spokeword/bot"
	"spokeword/bot/render"
	"spokeword/commands/spec"
)

// prompt stands before the line that is typed at a terminal.
const prompt = "> "

// Source gives typed lines, one at a time, and io.EOF after the last.
type Source interface {
	ReadLine() (string, error)
}

// Chat answers lines until they end or one says quit. At a terminal, lines can
// be edited and the earlier ones fetched back; the history ends with the chat.
func Chat(ctx context.Context, handler *bot.Handler, at Place) error {
	lines, out, leave, err := at.open()
	if err != nil {
		return err
	}
	defer leave()
	talk := NewTalk(handler, at.Asker)
	if _, err := io.WriteString(out, greeting(handler.Desk.Commands(), at.style())); err != nil {
		return fmt.Errorf("write the greeting: %w", err)
	}
	for {
		line, err := Next(ctx, lines)
		switch {
		case errors.Is(err, io.EOF), ctx.Err() != nil:
			return nil
		case err != nil && !errors.Is(err, term.ErrPasteIndicator):
			return fmt.Errorf("read a line: %w", err)
		}
		switch strings.ToLower(strings.TrimSpace(line)) {
		case "":
			continue
		case "quit", "exit", "bye", ":q":
			return nil
		}
		text := "\n" + render.Text(talk.Say(ctx, line), at.style()) + "\n"
		if _, err := io.WriteString(out, text); err != nil {
			return fmt.Errorf("write an answer: %w", err)
		}
	}
}

// Next returns the next line, or the context's error if that ends earlier. The
// goroutine left behind then waits for a line that no one will read, so it is
// for the end of the process.
func Next(ctx context.Context, lines Source) (string, error) {
	type read struct {
		line string
		err  error
	}
	got := make(chan read, 1)
	go func() {
		line, err := lines.ReadLine()
		got <- read{line, err}
	}()
	select {
	case <-ctx.Done():
		return "", ctx.Err()
	case r := <-got:
		return r.line, r.err
	}
}

// greeting says what can be asked.
func greeting(set *spec.Commands, s render.Style) string {
	var b strings.Builder
	write := func(text string) {
		for _, l := range render.Wrap(text, s.Width) {
			b.WriteString(l + "\n")
		}
	}
	write("Spokeword answers questions about tyres, rims and wheels. Ask as you would type it to a friend, for example:")
	b.WriteByte('\n')
	for _, e := range Examples(set, greetingExamples) {
		b.WriteString("  " + e + "\n")
	}
	b.WriteByte('\n')
	write("help shows what can be asked, why shows the sum behind the last answer, quit ends.")
	b.WriteByte('\n')
	return b.String()
}

const greetingExamples = 5

// Examples returns up to n lines that work, one a command, from the
// declarations.
func Examples(set *spec.Commands, n int) []string {
	var all []string
	for _, c := range set.All {
		if len(all) == n || len(c.Options) == 0 {
			continue // a command without options is called by its name alone
		}
		all = append(all, c.Example(0))
	}
	return all
}
