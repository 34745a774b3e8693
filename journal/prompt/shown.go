// This file writes text of other hands so that it stays one line and hides
// nothing.

package prompt

import (
	"fmt"
	"strings"
	"unicode"
	"unicode/utf8"
)

// Shown is text as it may stand on a terminal, whoever wrote it: one line, in
// which nothing can move the cursor, color, erase, or turn the order of what
// stands beside it. Control characters, ends of lines, marks of the writing's
// direction and other signs without a shape, and bytes that are no UTF-8 are
// written as in a Go string: \n, \x1b, \u202e. All else is left as it is, the
// backslash too: it stands in every path of Windows.
//
// The direction marks are those of UAX #9 (Unicode bidirectional algorithm,
// tables 1 and 4); they are all of the category Cf.
func Shown(text string) string {
	if !hides(text) {
		return text
	}
	var b strings.Builder
	for i, r := range text {
		switch {
		case r == utf8.RuneError && !strings.HasPrefix(text[i:], "\uFFFD"):
			fmt.Fprintf(&b, `\x%02x`, text[i])
		case !hidden(r):
			b.WriteRune(r)
		case r == '\n':
			b.WriteString(`\n`)
		case r == '\r':
			b.WriteString(`\r`)
		case r == '\t':
			b.WriteString(`\t`)
		case r < utf8.RuneSelf:
			fmt.Fprintf(&b, `\x%02x`, r)
		case r <= 0xFFFF:
			fmt.Fprintf(&b, `\u%04x`, r)
		default:
			fmt.Fprintf(&b, `\U%08x`, r)
		}
	}
	return b.String()
}

// hides reports whether text holds anything that is not to be seen as it is.
func hides(text string) bool {
	return !utf8.ValidString(text) || strings.ContainsFunc(text, hidden)
}

// hidden are the runes without a shape of their own. The two joiners are let
// through: words of several scripts, and pictures put together of several signs,
// are not themselves without them, and they do nothing to what stands beside.
func hidden(r rune) bool {
	const nonJoiner, joiner = '\u200c', '\u200d'
	return r != nonJoiner && r != joiner && unicode.In(r, unicode.Cc, unicode.Cf, unicode.Zl, unicode.Zp)
}
