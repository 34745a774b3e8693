// Tests that every code has words, and that a code of a later version is told as one.

package wording

import (
	"go/ast"
	"go/parser"
	"go/token"
	"regexp"
	"strconv"
	"strings"
	"testing"

	"rakelight/journal"
	"rakelight/journal/reason"
)

// codes are the constants of the types of package reason that others may use, by
// their type.
func codes(t *testing.T) map[string][]string {
	t.Helper()
	all := map[string][]string{}
	for _, name := range []string{"why.go", "doubt.go", "files.go"} {
		file, err := parser.ParseFile(token.NewFileSet(), "../reason/"+name, nil, 0)
		if err != nil {
			t.Fatal(err)
		}
		ast.Inspect(file, func(n ast.Node) bool {
			spec, ok := n.(*ast.ValueSpec)
			if !ok || !spec.Names[0].IsExported() {
				return true
			}
			if typ, ok := spec.Type.(*ast.Ident); ok {
				value, err := strconv.Unquote(spec.Values[0].(*ast.BasicLit).Value)
				if err != nil {
					t.Fatal(err)
				}
				all[typ.Name] = append(all[typ.Name], value)
			}
			return true
		})
	}
	return all
}

// unfilled is what fmt leaves where a value is missing or of the wrong kind.
var unfilled = regexp.MustCompile(`%!|<nil>|0001-01-01`)

func TestEveryCodeHasWords(t *testing.T) {
	all := codes(t)
	check := func(typ string, fewest int, say func(code string) string) {
		t.Helper()
		if len(all[typ]) < fewest {
			t.Errorf("%d codes of %s", len(all[typ]), typ)
		}
		for _, code := range all[typ] {
			if words := say(code); words == "" || words == unknown || unfilled.MatchString(words) || strings.HasSuffix(words, ".") {
				t.Errorf("%s of %s: %q", code, typ, words)
			}
		}
		if words := say("of-later"); words != unknown {
			t.Errorf("a later code of %s: %q", typ, words)
		}
	}
	check("By", 20, func(code string) string {
		return Why(reason.Why{By: reason.By(code), Name: "x", Session: &reason.Session{Build: "lorry", Began: "2026-03-14 19:00"}})
	})
	check("Is", 15, func(code string) string { return Doubts(reason.Doubts{{Is: reason.Is(code), Text: "x"}}) })
	check("Kin", 7, func(code string) string { return Link(reason.Link{By: reason.Kin(code), Text: "x"}) })
	check("LengthIs", 2, func(code string) string { return Length(reason.LengthDoubt{Is: reason.LengthIs(code)}) })
	check("Trust", 4, func(code string) string { return Trust(reason.Trust(code)).English() })
	check("How", 1, func(code string) string { return How(reason.How(code)) })
	for _, words := range []string{Why(reason.Why{}), Doubts(nil), Link(reason.Link{}), Length(reason.LengthDoubt{}), How(""), Trust("").English(), Fault(reason.Fault{})} {
		if words != "" {
			t.Errorf("nothing is told as %q", words)
		}
	}
	// Whatever is missing, the rest is told.
	for _, code := range all["By"] {
		_ = Why(reason.Why{By: reason.By(code)})
	}
	for _, c := range []journal.Cause{journal.DoubtCause{}, journal.PlaceCause{}, journal.StageCause{}, journal.ZoneCause{}, journal.ClockCause{}, journal.CardCause{Cards: make([]journal.CardSaid, 1)}, journal.CopyCause{}, journal.FileCause("x")} {
		if ToDo(c) == unknown {
			t.Errorf("%T has no words", c)
		}
	}
}
