// Tests that everything the door says has words.

package wording

import (
	"fmt"
	"go/ast"
	"go/parser"
	"go/token"
	"regexp"
	"strconv"
	"strings"
	"testing"
	"time"

	"rakelight/journal"
	"rakelight/journal/entry"
)

// constants are the values of a type of the door, as its file lists them.
func constants(t *testing.T, file, typ string) []string {
	t.Helper()
	parsed, err := parser.ParseFile(token.NewFileSet(), "../"+file, nil, 0)
	if err != nil {
		t.Fatal(err)
	}
	var all []string
	ast.Inspect(parsed, func(n ast.Node) bool {
		spec, ok := n.(*ast.ValueSpec)
		if !ok {
			return true
		}
		if id, ok := spec.Type.(*ast.Ident); ok && id.Name == typ {
			value, err := strconv.Unquote(spec.Values[0].(*ast.BasicLit).Value)
			if err != nil {
				t.Fatal(err)
			}
			all = append(all, value)
		}
		return true
	})
	return all
}

// unfilled is what fmt leaves where a value is missing or of the wrong kind.
var unfilled = regexp.MustCompile(`%!|<nil>|0001-01-01`)

func TestEveryRefusalHasWords(t *testing.T) {
	at := time.Date(2026, 3, 14, 19, 0, 0, 0, time.UTC)
	session := &journal.Session{ID: "d/1", Build: "lorry", Stage: "cut", Start: at, End: at.Add(time.Hour)}
	r := entry.Refusal{
		Session: session, Other: session, Photo: &journal.Photo{Hash: strings.Repeat("1f3a9c04", 8), Name: "a.jpg"},
		Pause: &journal.Pause{Build: "lorry", From: at, Why: "wire"}, Trial: &journal.Trial{ID: "d/2", What: "file"}, Hold: &journal.Hold{HoldBody: journal.HoldBody{Noted: journal.Noted{Build: "lorry", Sub: "cab", At: at}, Is: "masked"}, Written: journal.Written{Record: "d/4"}},
		Break: journal.Span{Start: at, End: at.Add(time.Minute)}, Spots: &entry.Spots{}, Build: "lorry", Stage: "cut", Part: "A1",
		Name: "name", Field: "role", File: "a.txt", Judge: "Mo", Record: "d/3", Known: []string{"x", "y"}, Number: 1, Count: 2, There: 3,
		At: at, Length: time.Hour, Ran: time.Minute, Err: fmt.Errorf("why"),
	}
	reasons := constants(t, "refusal.go", "Reason")
	if len(reasons) < 50 || len(reasons) != len(refusals) {
		t.Errorf("%d reasons, and words for %d", len(reasons), len(refusals))
	}
	for _, reason := range reasons {
		r.Reason = entry.Reason(reason)
		if refusals[r.Reason] == nil {
			t.Errorf("%s has no words", reason)
			continue
		}
		for _, r.Wish = range []entry.Wish{entry.ToEnd, entry.ToRest, entry.ToCount, entry.ToTool} {
			words, ok := Refused(&r)
			if !ok || words.What == "" || strings.HasSuffix(words.What, ".") || unfilled.MatchString(words.What+words.Hint) {
				t.Errorf("%s: %+v", reason, words)
			}
		}
	}
}

func TestEveryRemarkHasWords(t *testing.T) {
	at := time.Date(2026, 3, 14, 19, 0, 0, 0, time.UTC)
	for _, matter := range constants(t, "remark.go", "Matter") {
		words := Remark(entry.Remark{Matter: entry.Matter(matter), Session: &journal.Session{ID: "d/1", Build: "lorry", Stage: "cut", Start: at}, At: at, Record: "d/1", Name: "file", Photo: &journal.Photo{Name: "a.jpg"}})
		if words.What == "" || unfilled.MatchString(words.What+words.Hint) {
			t.Errorf("%s: %+v", matter, words)
		}
	}
}

// What was added to an error on its way to the person stays around the words.
func TestWrappedRefusal(t *testing.T) {
	err := fmt.Errorf("a.html: the pack was not written: %w", &entry.Refusal{Reason: entry.SamePhoto})
	if words, ok := Refused(err); !ok || words.What != "a.html: the pack was not written: both names are of one photo" {
		t.Errorf("%+v, %v", words, ok)
	}
	if _, ok := Refused(fmt.Errorf("the disk is full")); ok {
		t.Error("the door has no words for the disk")
	}
}
