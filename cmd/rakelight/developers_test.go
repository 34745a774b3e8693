// Tests that DEVELOPERS.md speaks of what is there.

package main

import (
	"go/ast"
	"go/parser"
	"go/token"
	"io/fs"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"
)

// names are what the sources of the program declare and use.
type names struct {
	packages map[string]bool
	declared map[string]bool // "journal.Fold", "State.Left", "Config.Longest", "TestFloors"
	used     map[string]bool // outside of tests, elsewhere than where it is declared: "Fold"
	files    map[string]bool // "journal/fold.go", "fold.go"
}

// Every name, test and file that DEVELOPERS.md sets as code is there, and every
// function that it names is called by the program itself.
func TestDevelopersNamesWhatIsThere(t *testing.T) {
	const root = "../.."
	data, err := os.ReadFile(filepath.Join(root, "DEVELOPERS.md"))
	if err != nil {
		t.Fatal(err)
	}
	known := readNames(t, root)
	var (
		code   = regexp.MustCompile("`([^`\n]+)`")
		dotted = regexp.MustCompile(`^(\w+)\.(\w+)(?:\.(\w+))?$`)
		test   = regexp.MustCompile(`^(?:Test|Fuzz|Benchmark)[A-Z]\w*$`)
		file   = regexp.MustCompile(`^[\w./]+\.(?:go|js)$`)
	)
	looked := 0
	for _, m := range code.FindAllStringSubmatch(string(data), -1) {
		name := m[1]
		parts := dotted.FindStringSubmatch(name)
		switch {
		case file.MatchString(name):
			looked++
			if !known.files[name] {
				t.Errorf("there is no file %s", name)
			}
		case test.MatchString(name):
			looked++
			if !known.declared[name] {
				t.Errorf("there is no test %s", name)
			}
		case parts != nil && ast.IsExported(parts[2]) && (known.packages[parts[1]] || ast.IsExported(parts[1])):
			looked++
			last, of := parts[2], parts[1]
			if parts[3] != "" {
				last, of = parts[3], parts[2]
			}
			if !known.declared[of+"."+last] {
				t.Errorf("there is no %s", name)
			} else if !known.used[last] {
				t.Errorf("nothing but tests uses %s", name)
			}
		}
	}
	if looked < 50 {
		t.Errorf("%d names were looked at; that is not all of them", looked)
	}
}

func readNames(t *testing.T, root string) names {
	t.Helper()
	all := names{map[string]bool{}, map[string]bool{}, map[string]bool{}, map[string]bool{}}
	err := filepath.WalkDir(root, func(path string, d fs.DirEntry, err error) error {
		if err != nil || d.IsDir() {
			return err
		}
		rel, err := filepath.Rel(root, path)
		if err != nil {
			return err
		}
		all.files[filepath.ToSlash(rel)], all.files[d.Name()] = true, true
		inside := strings.Split(filepath.ToSlash(rel), "/") // "align.go" of media is also "media/card/../align.go" to nobody
		if len(inside) > 2 {
			all.files[strings.Join(inside[len(inside)-2:], "/")] = true // "qr/marks.go", beside its package
		}
		if !strings.HasSuffix(path, ".go") {
			return nil
		}
		parsed, err := parser.ParseFile(token.NewFileSet(), path, nil, 0)
		if err != nil {
			return err
		}
		all.packages[parsed.Name.Name] = true
		all.read(parsed, strings.HasSuffix(path, "_test.go"))
		return nil
	})
	if err != nil {
		t.Fatal(err)
	}
	return all
}

// read notes what a file declares and uses.
func (n names) read(file *ast.File, test bool) {
	own := map[*ast.Ident]bool{} // declarations
	declare := func(of string, id *ast.Ident) {
		n.declared[of+"."+id.Name], own[id] = true, true
		if test {
			n.declared[id.Name] = true
		}
	}
	pkg := file.Name.Name
	for _, d := range file.Decls {
		switch d := d.(type) {
		case *ast.FuncDecl:
			declare(pkg, d.Name)
			if d.Recv != nil {
				of := d.Recv.List[0].Type
				if star, ok := of.(*ast.StarExpr); ok {
					of = star.X
				}
				if id, ok := of.(*ast.Ident); ok {
					declare(id.Name, d.Name)
				}
			}
		case *ast.GenDecl:
			for _, s := range d.Specs {
				switch s := s.(type) {
				case *ast.ValueSpec:
					for _, id := range s.Names {
						declare(pkg, id)
					}
				case *ast.TypeSpec:
					declare(pkg, s.Name)
					if fields, ok := s.Type.(*ast.StructType); ok {
						for _, f := range fields.Fields.List {
							for _, id := range f.Names {
								declare(s.Name.Name, id)
							}
						}
					}
				}
			}
		}
	}
	if test {
		return
	}
	ast.Inspect(file, func(node ast.Node) bool {
		if id, ok := node.(*ast.Ident); ok && !own[id] {
			n.used[id.Name] = true
		}
		return true
	})
}
