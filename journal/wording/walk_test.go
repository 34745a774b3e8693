// Tests over the source that nothing reads words to decide.

package wording_test

import (
	"go/ast"
	"go/parser"
	"go/token"
	"io/fs"
	"path/filepath"
	"slices"
	"strings"
	"testing"
)

// root is the module's folder.
const root = "../.."

// source is the module without its tests.
type source struct {
	fset  *token.FileSet
	files map[string]*ast.File // by name below root, with slashes
	codes map[string]bool      // constants of a type of their own, by name
}

func readSource(t *testing.T) source {
	t.Helper()
	s := source{token.NewFileSet(), map[string]*ast.File{}, map[string]bool{}}
	err := filepath.WalkDir(root, func(path string, d fs.DirEntry, err error) error {
		if err != nil || d.IsDir() || !strings.HasSuffix(path, ".go") || strings.HasSuffix(path, "_test.go") {
			return err
		}
		file, err := parser.ParseFile(s.fset, path, nil, 0)
		if err != nil {
			return err
		}
		rel, err := filepath.Rel(root, path)
		s.files[filepath.ToSlash(rel)] = file
		s.noteCodes(file)
		return err
	})
	if err != nil || len(s.files) < 100 {
		t.Fatal(len(s.files), err)
	}
	return s
}

// noteCodes notes the constants that have a type of their own: those are codes, and
// comparing with them is no reading of words.
func (s source) noteCodes(file *ast.File) {
	for _, d := range file.Decls {
		group, ok := d.(*ast.GenDecl)
		if !ok || group.Tok != token.CONST {
			continue
		}
		typed := false
		for _, spec := range group.Specs {
			one := spec.(*ast.ValueSpec)
			if one.Type != nil || len(one.Values) > 0 {
				id, isName := one.Type.(*ast.Ident)
				typed = one.Type != nil && (!isName || id.Name != "string")
			}
			for _, name := range one.Names {
				s.codes[name.Name] = s.codes[name.Name] || typed
			}
		}
	}
}

// words are the names of fields that hold what a person reads: a reason, a doubt,
// a remark.
var words = []string{"Why", "Whys", "Doubt", "Doubts", "How", "What", "Else", "Hint", "Corrected", "Passed"}

// isWords reports whether an expression is made of such a field, of the text of an
// error, or of what a wording package says.
func isWords(e ast.Expr) bool {
	found := false
	ast.Inspect(e, func(n ast.Node) bool {
		switch n := n.(type) {
		case *ast.CallExpr:
			f, ok := n.Fun.(*ast.SelectorExpr)
			if !ok {
				return true
			}
			pkg, _ := f.X.(*ast.Ident)
			switch {
			case f.Sel.Name == "Error" && len(n.Args) == 0, pkg != nil && pkg.Name == "wording":
				found = true
			case f.Sel.Name == "Has", f.Sel.Name == "Any", f.Sel.Name == "BySession", f.Sel.Name == "Known", f.Sel.Name == "Idle":
				return false // asked by code
			}
		case *ast.SelectorExpr:
			found = found || slices.Contains(words, n.Sel.Name)
			if !slices.Contains(words, n.Sel.Name) {
				// A value's own field: p.Why["stage"].By is a code.
				return false
			}
		case *ast.FuncLit:
			return false
		}
		return !found
	})
	return found
}

// harmless reports whether words may be compared with it: nothing, or a code.
func (s source) harmless(e ast.Expr) bool {
	switch e := e.(type) {
	case *ast.BasicLit:
		return e.Value == `""`
	case *ast.Ident:
		return e.Name == "nil" || s.codes[e.Name]
	case *ast.SelectorExpr:
		return s.codes[e.Sel.Name]
	case *ast.CompositeLit:
		return true // a typed value
	}
	return false
}

// searches are what looks into a text.
var searches = []string{
	"HasPrefix", "HasSuffix", "Contains", "ContainsAny", "ContainsFunc", "Cut", "CutPrefix", "CutSuffix", "TrimPrefix", "TrimSuffix", "Split", "SplitN", "SplitSeq", "SplitAfter",
	"Index", "LastIndex", "EqualFold", "Fields", "Count", "MatchString", "FindString", "FindStringSubmatch", "FindAllString", "Replace", "ReplaceAll", "ReplaceAllString",
}

// reads are the places of a file at which words are compared or searched.
func (s source) reads(file *ast.File) []token.Pos {
	var at []token.Pos
	ast.Inspect(file, func(n ast.Node) bool {
		switch n := n.(type) {
		case *ast.BinaryExpr:
			if n.Op == token.EQL || n.Op == token.NEQ {
				if isWords(n.X) && !s.harmless(n.Y) || isWords(n.Y) && !s.harmless(n.X) {
					at = append(at, n.Pos())
				}
			}
		case *ast.SwitchStmt:
			if n.Tag == nil || !isWords(n.Tag) {
				return true
			}
			for _, c := range n.Body.List {
				for _, one := range c.(*ast.CaseClause).List {
					if !s.harmless(one) {
						at = append(at, one.Pos())
					}
				}
			}
		case *ast.CallExpr:
			f, ok := n.Fun.(*ast.SelectorExpr)
			if ok && slices.Contains(searches, f.Sel.Name) && slices.ContainsFunc(n.Args, isWords) {
				at = append(at, n.Pos())
			}
		}
		return true
	})
	return at
}

// sentences is the one place that reads the sentences of earlier versions.
const sentences = "journal/reason/sentences.go"

// others are the files in which a text is searched that no reason is made of, and why.
var others = map[string]string{
	"journal/trials_find.go": "what is on trial is found by the name a person gave it",
	"journal/entry/skill.go": "what is on trial is known by the name a person gave it",
	"journal/recipe.go":      "what is in a mix is as a person wrote it",
	"journal/plan/build.go":  "the library of YAML tells the line in its words alone; they are said in ours",
	"media/codec/codec.go":   "the first line of what a decoder said is told",
	"media/xmp.go":           "the library of XML tells an early end in its words alone",
	"media/inbox/watch.go":   "one and the same trouble of a disk is told once",
}

func TestNothingReadsWords(t *testing.T) {
	s := readSource(t)
	found := map[string]bool{}
	for name, file := range s.files {
		if name == sentences || strings.HasPrefix(name, "journal/wording/") || strings.HasPrefix(name, "journal/entry/wording/") {
			continue
		}
		for _, pos := range s.reads(file) {
			if found[name] = true; others[name] != "" {
				continue
			}
			t.Errorf("%s compares or searches what a person reads", s.fset.Position(pos))
		}
	}
	for name := range others {
		if !found[name] {
			t.Errorf("%s reads no words any more", name)
		}
	}
}

// The test above finds what it looks for.
func TestReadingWordsIsFound(t *testing.T) {
	s := readSource(t)
	for code, found := range map[string]bool{
		`p.Why["build"] == said`:                              true,
		`strings.HasPrefix(p.Why["build"], "a guess")`:        true,
		`in.Doubt == "file time"`:                             true,
		`strings.Contains(in.Doubt, x)`:                       true,
		`strings.Split(in.Corrected, " ")`:                    true,
		`p.What == ErrBadSum.Error()`:                         true,
		`err.Error() == "full"`:                               true,
		`slices.Contains(told, o.Why)`:                        true,
		`wording.Doubts(in.Doubts) == x`:                      true,
		`"a guess" != s.How`:                                  true,
		`strings.HasPrefix(wording.Why(p.Why["build"]), "x")`: true,
		`pattern.MatchString(o.Why)`:                          true,
		`o.Why == ""`:                                         false,
		`p.Why["build"].By == reason.Folder`:                  false,
		`in.Doubts.Has(reason.DayOnly) == want`:               false,
		`s.How == reason.FellSilent`:                          false,
		`p.Why["role"].BySession() != was`:                    false,
		`strings.HasPrefix(name, "a guess")`:                  false,
	} {
		file, err := parser.ParseFile(s.fset, "x.go", "package x\nvar _ = "+code, 0)
		if err != nil {
			t.Fatal(err)
		}
		if got := len(s.reads(file)) > 0; got != found {
			t.Errorf("%s: found %v", code, got)
		}
	}
}

// Those who decide cannot know any words: the wordings lie above them.
func TestWordsAreMadeAtTheEdge(t *testing.T) {
	s := readSource(t)
	edge := []string{"cmd/", "render/", "journal/wording/", "journal/entry/wording/", "media/inbox/"}
	importers := 0
	for name, file := range s.files {
		for _, i := range file.Imports {
			if !strings.HasSuffix(strings.Trim(i.Path.Value, `"`), "/wording") {
				continue
			}
			importers++
			if !slices.ContainsFunc(edge, func(place string) bool { return strings.HasPrefix(name, place) }) {
				t.Errorf("%s imports %s", name, i.Path.Value)
			}
		}
	}
	if importers < 10 {
		t.Errorf("%d files import a wording; that is not all of them", importers)
	}
}
