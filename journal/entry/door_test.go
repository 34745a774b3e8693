// Tests that the door is the only one, and that it stands where it should.

package entry

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

var fileSet = token.NewFileSet()

// sources are the files of the module that are no tests, by their folder.
func sources(t *testing.T) map[string][]*ast.File {
	t.Helper()
	all := map[string][]*ast.File{}
	files := 0
	err := filepath.WalkDir(root, func(path string, d fs.DirEntry, err error) error {
		if err != nil || d.IsDir() || !strings.HasSuffix(path, ".go") || strings.HasSuffix(path, "_test.go") {
			return err
		}
		file, err := parser.ParseFile(fileSet, path, nil, 0)
		if err != nil {
			return err
		}
		rel, err := filepath.Rel(root, filepath.Dir(path))
		files++
		all[filepath.ToSlash(rel)] = append(all[filepath.ToSlash(rel)], file)
		return err
	})
	if err != nil || files < 100 {
		t.Fatal(files, err)
	}
	return all
}

// Nothing outside of the journal, the door and the inbox adds records, or makes
// any: a rule that stands at the door could be passed by.
func TestNothingPassesTheDoor(t *testing.T) {
	adds := []string{"Append", "AppendAll", "AppendFrom", "AppendOnce"}
	makes := func(name string) bool { return name == "New" || strings.HasSuffix(name, "Body") }
	through := 0
	for folder, files := range sources(t) {
		inside := folder == "journal" || folder == "journal/record" || folder == "journal/entry" || folder == "media/inbox"
		for _, file := range files {
			// The journal of many years is made in bulk, at the moments of its story.
			name := filepath.ToSlash(fileSet.Position(file.Pos()).Filename)
			inside := inside || strings.HasSuffix(name, "cmd/rakelight/demo/years.go")
			ast.Inspect(file, func(n ast.Node) bool {
				switch n := n.(type) {
				case *ast.CallExpr:
					if f, ok := n.Fun.(*ast.SelectorExpr); ok && slices.Contains(adds, f.Sel.Name) && !inside {
						t.Errorf("%s calls %s", folder, f.Sel.Name)
					}
					if f, ok := n.Fun.(*ast.SelectorExpr); ok && (f.Sel.Name == "Do" || f.Sel.Name == "DoAll" || f.Sel.Name == "DoOnce") {
						if pkg, ok := f.X.(*ast.Ident); ok && pkg.Name == "entry" {
							through++
						}
					}
				case *ast.CompositeLit:
					f, ok := n.Type.(*ast.SelectorExpr)
					if !ok || inside {
						return true
					}
					if pkg, ok := f.X.(*ast.Ident); ok && pkg.Name == "journal" && makes(f.Sel.Name) && !made[folder+" "+f.Sel.Name] {
						t.Errorf("%s makes a journal.%s", folder, f.Sel.Name)
					}
				}
				return true
			})
		}
	}
	if through < 20 {
		t.Errorf("%d things are said through the door; that is not all of them", through)
	}
}

// made are bodies that are made elsewhere, and given to the door as they are.
var made = map[string]bool{
	"render/judge PackBody": true, // the key of a pack, made with the pack
}

// The door stands on the journal, and on what knows no journal; its words on the door.
func TestDoorStandsOnTheJournal(t *testing.T) {
	all := sources(t)
	for folder, allowed := range map[string][]string{
		"journal/entry":         {"rakelight/journal", "rakelight/journal/metrics", "rakelight/journal/sanding"},
		"journal/entry/wording": {"rakelight/journal", "rakelight/journal/metrics", "rakelight/journal/entry"},
	} {
		if len(all[folder]) == 0 {
			t.Errorf("%s has no files", folder)
		}
		for _, file := range all[folder] {
			for _, one := range file.Imports {
				path := strings.Trim(one.Path.Value, `"`)
				if strings.HasPrefix(path, "rakelight/") && !slices.Contains(allowed, path) {
					t.Errorf("%s imports %s", folder, path)
				}
				if path == "os" || path == "flag" || path == "io" {
					t.Errorf("%s imports %s: it opens and prints nothing", folder, path)
				}
			}
		}
	}
	for _, file := range all["journal"] {
		for _, one := range file.Imports {
			if strings.HasPrefix(strings.Trim(one.Path.Value, `"`), "rakelight/journal/entry") {
				t.Error("the journal imports its door")
			}
		}
	}
}
