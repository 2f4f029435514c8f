package console

import (
	"fmt"
	"io"
	"os"

	"golang.org/x/term"

	"spokeword/bot/render"
	"spokeword/commands"
)

// Place is where a chat or an answer is shown.
type Place struct {
	In    io.Reader
	Out   io.Writer
	Asker commands.Asker
	// Width is the width wanted, in columns; 0 follows the terminal.
	Width int
	// Colour is whether to use colour; it is for the caller to know whether
	// people want it.
	Colour bool
}

// Terminal returns the file of a terminal, if v is one.
func Terminal(v any) (*os.File, bool) {
	f, ok := v.(*os.File)
	if !ok || !term.IsTerminal(int(f.Fd())) {
		return nil, false
	}
	return f, true
}

// style returns how to show an answer just now: a window may have been drawn
// wider since the last one.
func (p Place) style() render.Style {
	s := render.Style{Width: p.Width, Colour: p.Colour, Keys: true}
	if s.Width == 0 {
		s.Width = Columns(terminalWidth(p.Out))
	}
	return s
}

// Style returns how to show a single answer, where no keys can be typed.
func (p Place) Style() render.Style {
	s := p.style()
	s.Keys = false
	return s
}

func terminalWidth(out io.Writer) int {
	f, ok := Terminal(out)
	if !ok {
		return 0
	}
	columns, _, err := term.GetSize(int(f.Fd()))
	if err != nil {
		return 0
	}
	return columns
}

// open returns where lines come from and answers go to, and what to do at the
// end. Where both are a terminal, lines are edited in raw mode.
func (p Place) open() (Source, io.Writer, func(), error) {
	in, typing := Terminal(p.In)
	out, showing := Terminal(p.Out)
	if !typing || !showing {
		return NewLines(p.In), p.Out, func() {}, nil
	}
	before, err := term.MakeRaw(int(in.Fd()))
	if err != nil {
		return nil, nil, nil, fmt.Errorf("set up the terminal: %w", err)
	}
	editor := edit(in, out)
	leave := func() {
		editor.SetBracketedPasteMode(false)
		if err := term.Restore(int(in.Fd()), before); err == nil {
			fmt.Fprintln(out)
		}
	}
	return &editing{editor, out}, editor, leave, nil
}

// edit returns a line editor over a terminal's two directions.
func edit(in io.Reader, out io.Writer) *term.Terminal {
	editor := term.NewTerminal(struct {
		io.Reader
		io.Writer
	}{in, out}, prompt)
	editor.SetBracketedPasteMode(true)
	return editor
}

// editing tells the editor the terminal's width before each line.
type editing struct {
	*term.Terminal
	out *os.File
}

func (e *editing) ReadLine() (string, error) {
	if columns, rows, err := term.GetSize(int(e.out.Fd())); err == nil && columns > 0 {
		// An editor that can't be told keeps the width it has.
		_ = e.SetSize(columns, rows)
	}
	return e.Terminal.ReadLine()
}
