// The words of the program on their way out. File names, titles, names of
// cameras, judges and devices, the text of cards: anybody may have written
// them, and a terminal obeys what it is sent. All that is printed goes through
// here, and each value a sentence is made of is shown on one line with nothing
// hidden (journal.Shown). Ends of lines are those of the sentences alone.

package main

import (
	"bytes"
	"fmt"
	"io"
	"os"

	"rakelight/journal"
)

// printf writes a sentence of results.
func (a *app) printf(format string, args ...any) { fprintf(a.out, format, args...) }

// println writes one line of results.
func (a *app) println(line string) { fprintf(a.out, "%s\n", line) }

// remark writes a line that is no result.
func (a *app) remark(line string) { fprintf(a.err, "rakelight: %s\n", line) }

// hint writes what may help with the remark before it.
func (a *app) hint(line string) { fprintf(a.err, "rakelight: hint: %s\n", line) }

// manual writes words of our own that fill several lines, such as the help.
func manual(w io.Writer, text string) { _, _ = io.WriteString(w, text) }

// fprintf is fmt.Fprintf with every value shown.
func fprintf(w io.Writer, format string, args ...any) {
	for i, v := range args {
		switch v.(type) {
		case int, float64: // also widths, which must stay numbers
		default:
			args[i] = shown{v}
		}
	}
	fmt.Fprintf(w, format, args...)
}

// shown prints as its value does, with nothing hidden.
type shown struct{ value any }

func (s shown) Format(f fmt.State, verb rune) {
	_, _ = io.WriteString(f, journal.Shown(fmt.Sprintf(fmt.FormatString(f, verb), s.value)))
}

// data is where figures for other programs go: as they are, but not to a
// terminal, which would obey them.
func (a *app) data() io.Writer {
	if onTerminal(a.out) {
		return &shownLines{w: a.out}
	}
	return a.out
}

// shownLines shows what is written to it, a line at a time: what it is sent may
// be cut anywhere. What follows the last end of a line is kept back.
type shownLines struct {
	w    io.Writer
	rest []byte
}

func (s *shownLines) Write(data []byte) (int, error) {
	s.rest = append(s.rest, data...)
	for {
		line, rest, whole := bytes.Cut(s.rest, []byte("\n"))
		if !whole {
			return len(data), nil
		}
		if _, err := io.WriteString(s.w, journal.Shown(string(line))+"\n"); err != nil {
			return 0, err
		}
		s.rest = rest
	}
}

// onTerminal reports whether what is written to w is seen at once.
func onTerminal(w io.Writer) bool {
	f, ok := w.(*os.File)
	if !ok {
		return false
	}
	info, err := f.Stat()
	return err == nil && info.Mode()&os.ModeCharDevice != 0
}
