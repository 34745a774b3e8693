// This file adds to the words of a day, which a person writes by hand.

package plan

import (
	"bytes"
	"strings"
)

// AddToDiary adds a paragraph to the words of a day of a build of the journal in a
// folder, and returns the file it stands in, below that folder. All that stands there stays byte
// for byte as it is; line ends are those the file has. After a crash the old file
// or the new one is there whole. A file that is no text, or was changed meanwhile,
// is left alone with an error.
func AddToDiary(dir, build, date, text string) (string, error) {
	rel := "builds/" + build + "/diary/" + date + ".md"
	return rel, rewrite(dir, rel, func(old []byte) ([]byte, error) { return withParagraph(old, text), nil })
}

// withParagraph is a text with one paragraph more, in the line ends it has.
func withParagraph(old []byte, text string) []byte {
	end := "\n"
	if bytes.Contains(old, []byte("\r\n")) {
		end = "\r\n"
	}
	var lines []string
	for _, line := range strings.Split(strings.ReplaceAll(text, "\r\n", "\n"), "\n") {
		lines = append(lines, strings.TrimRight(line, " \t\r"))
	}
	out := bytes.Clone(old)
	if words := bytes.TrimSpace(bytes.TrimPrefix(old, []byte("\ufeff"))); len(words) > 0 {
		if !bytes.HasSuffix(out, []byte("\n")) {
			out = append(out, end...)
		}
		if !bytes.HasSuffix(out, []byte("\n"+end)) && !bytes.HasSuffix(out, []byte("\n\n")) {
			out = append(out, end...)
		}
	}
	return append(append(out, strings.Join(lines, end)...), end...)
}
