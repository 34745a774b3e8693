// Tests that bodies know their kinds.

package journal

import (
	"fmt"
	"go/ast"
	"go/parser"
	"go/token"
	"strings"
	"testing"
)

// hologram is a body of a kind that this version does not know.
type hologram struct{ N any }

func (hologram) RecordKind() string { return "hologram" }

// The kinds are words of the files: each body says in its comment which is its
// own, and none may ever change or be another's.
func TestBodiesKnowTheirKinds(t *testing.T) {
	fset := token.NewFileSet()
	said := map[string]string{}
	for _, name := range []string{"bodies.go", "bodies_book.go", "bodies_shop.go", "cards.go"} {
		file, err := parser.ParseFile(fset, name, nil, parser.ParseComments)
		if err != nil {
			t.Fatal(err)
		}
		for _, d := range file.Decls {
			g, ok := d.(*ast.GenDecl)
			if !ok || g.Doc == nil {
				continue
			}
			name, rest, _ := strings.Cut(g.Doc.Text(), ` ("`)
			if kind, _, ok := strings.Cut(rest, `")`); ok && strings.HasSuffix(name, "Body") {
				said[name] = kind
			}
		}
	}
	bodies := []Body{
		PhotoBody{}, BesideBody{}, TagBody{}, BeginBody{}, EndBody{}, BreakBody{}, DoneBody{}, ReopenBody{}, WorkBody{}, CorrectBody{},
		PauseBody{}, ResumeBody{}, FinishBody{}, NoteBody{}, DatedBody{}, ClockBody{}, AsideBody{}, RepairBody{}, MarkBody{},
		VerdictBody{}, PackBody{}, AnswersBody{}, MistakeBody{}, TrialBody{}, ObserveBody{}, ReviewBody{}, PointsBody{}, AlikeBody{}, SheetBody{},
		CardBody{}, RetractBody{}, LostBody{}, CheckedBody{}, SubBody{}, HoldBody{}, ReleaseBody{}, PrepBody{}, HandsBody{},
		MixBody{}, AdditionBody{}, SandingBody{}, PrivateBody{}, PastBody{},
	}
	if len(said) != len(bodies) {
		t.Errorf("%d bodies say their kind, %d are tried", len(said), len(bodies))
	}
	for _, b := range bodies {
		name := strings.TrimPrefix(fmt.Sprintf("%T", b), "journal.")
		if said[name] != b.RecordKind() {
			t.Errorf("%s is written as %q, and described as %q", name, b.RecordKind(), said[name])
		}
		if !known(b.RecordKind()) {
			t.Errorf("the fold does not know %q", b.RecordKind())
		}
	}
	if known("hologram") {
		t.Error("the fold knows what nobody wrote")
	}
}
