package console

import (
	"bufio"
	"errors"
	"io"
	"strings"
)

// mostBytes is how much of one line is kept; the reader refuses far less with
// a sentence of its own. The rest of such a line is passed over, so that the
// next line is read as the next line.
const mostBytes = 1 << 20

// Lines reads lines of any length from a stream.
type Lines struct {
	in    *bufio.Reader
	first bool
}

// NewLines returns a reader of lines.
func NewLines(in io.Reader) *Lines { return &Lines{in: bufio.NewReader(in), first: true} }

// ReadLine returns the next line without its end, and io.EOF after the last.
func (l *Lines) ReadLine() (string, error) {
	var b strings.Builder
	some := false
	for {
		part, err := l.in.ReadSlice('\n')
		some = some || len(part) > 0
		if keep := mostBytes - b.Len(); keep > 0 {
			b.Write(part[:min(keep, len(part))])
		}
		if errors.Is(err, bufio.ErrBufferFull) {
			continue
		}
		if err != nil && !(errors.Is(err, io.EOF) && some) {
			return "", err
		}
		break
	}
	line := strings.TrimSuffix(strings.TrimSuffix(b.String(), "\n"), "\r")
	if l.first { // editors of one system put a mark before the text
		line = strings.TrimPrefix(line, "\ufeff")
		l.first = false
	}
	return line, nil
}
