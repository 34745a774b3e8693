// Names of headings as link targets, in any script.

package render

import (
	"fmt"
	"strings"
	"unicode"

	"github.com/yuin/goldmark/ast"
	"github.com/yuin/goldmark/parser"
)

// headingIDs makes ids from headings. The parser's own keep ASCII alone, so
// that headings in other scripts would all be called "heading".
type headingIDs struct {
	prefix string
	used   map[string]bool
}

func newHeadingIDs(prefix string) parser.IDs {
	return &headingIDs{prefix: prefix, used: map[string]bool{}}
}

func (h *headingIDs) Generate(value []byte, _ ast.NodeKind) []byte {
	words := strings.FieldsFunc(strings.ToLower(ownMarks.ReplaceAllString(string(value), "")), func(r rune) bool {
		return !unicode.IsLetter(r) && !unicode.IsDigit(r) && !unicode.IsMark(r)
	})
	// "text-" keeps headings apart from footnotes, whose ids share the prefix.
	stem := h.prefix + "text-" + strings.Join(words, "-")
	if len(words) == 0 {
		stem = h.prefix + "text"
	}
	id := stem
	for n := 2; h.used[id]; n++ {
		id = fmt.Sprintf("%s-%d", stem, n)
	}
	h.used[id] = true
	return []byte(id)
}

func (h *headingIDs) Put(value []byte) { h.used[string(value)] = true }
