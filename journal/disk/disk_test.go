// Tests of disks under folders, and of who may pass them by.

package disk

import (
	"errors"
	"go/ast"
	"go/parser"
	"go/token"
	"io/fs"
	"os"
	"path"
	"path/filepath"
	"slices"
	"strings"
	"testing"
)

// fullDisk makes no folder.
type fullDisk struct{ System }

var errFull = errors.New("full")

func (fullDisk) Mkdir(string, fs.FileMode) error { return errFull }

func TestMount(t *testing.T) {
	top := t.TempDir()
	dir := filepath.Join(top, "a")
	end := Mount(dir+string(filepath.Separator), fullDisk{})
	for _, c := range []struct {
		path string
		want error
	}{{dir, errFull}, {filepath.Join(dir, "b"), errFull}, {dir + "b", nil}, {filepath.Join(top, "c"), nil}} {
		if err := Mkdir(c.path, 0o755); !errors.Is(err, c.want) {
			t.Errorf("%s: %v, want %v", c.path, err, c.want)
		}
	}
	inner := Mount(filepath.Join(dir, "in"), System{})
	if err := MkdirAll(filepath.Join(dir, "in"), 0o755); err != nil {
		t.Error(err)
	}
	if err := Mkdir(filepath.Join(dir, "in", "x"), 0o755); err != nil {
		t.Errorf("the later mount does not count: %v", err)
	}
	inner()
	if err := Mkdir(filepath.Join(dir, "in", "y"), 0o755); !errors.Is(err, errFull) {
		t.Error(err)
	}
	end()
	if err := Mkdir(filepath.Join(dir, "b"), 0o755); err != nil {
		t.Error(err)
	}
	if f, err := Open(filepath.Join(top, "none")); f != nil || err == nil {
		t.Errorf("%v, %v", f, err)
	}
}

// passesBy are the files that change something without the disk, and why they may.
var passesBy = map[string]string{
	"journal/export":         "tables elsewhere, which can be made again",
	"journal/record/lock.go": "locks: who waits for them and who dies holding them has tests of its own",
	"media/past/pasttest":    "files of an invented past, for tests, in a folder of theirs",
	"media/inbox/watch.go":   "the probe, an empty file that goes at once",
	"render/headless":        "the profile of a browser that tests look with",
}

// What changes a journal goes through this package, or a disk that fails under
// it would fail at less than there is.
func TestNothingPassesTheDisk(t *testing.T) {
	calls := []string{"Create", "CreateTemp", "OpenFile", "WriteFile", "Mkdir", "MkdirAll", "MkdirTemp", "Rename", "Link",
		"Symlink", "Remove", "RemoveAll", "Truncate", "Chmod", "Chtimes", "CopyFS"}
	root := filepath.Join("..", "..")
	looked := 0
	for _, top := range []string{"journal", "media", "render"} {
		err := filepath.WalkDir(filepath.Join(root, top), func(file string, d fs.DirEntry, err error) error {
			if err != nil || !strings.HasSuffix(file, ".go") || strings.HasSuffix(file, "_test.go") {
				return err
			}
			rel, err := filepath.Rel(root, file)
			if err != nil {
				return err
			}
			rel = filepath.ToSlash(rel)
			if passesBy[rel] != "" || passesBy[path.Dir(rel)] != "" || strings.HasPrefix(rel, "journal/disk/") {
				return nil
			}
			looked++
			f, err := parser.ParseFile(token.NewFileSet(), file, nil, 0)
			if err != nil {
				return err
			}
			ast.Inspect(f, func(n ast.Node) bool {
				s, ok := n.(*ast.SelectorExpr)
				if !ok {
					return true
				}
				if x, ok := s.X.(*ast.Ident); ok && x.Name == "os" && slices.Contains(calls, s.Sel.Name) {
					t.Errorf("%s: os.%s changes files beside journal/disk", rel, s.Sel.Name)
				}
				return true
			})
			return nil
		})
		if err != nil {
			t.Fatal(err)
		}
	}
	for path := range passesBy {
		if _, err := os.Stat(filepath.Join(root, filepath.FromSlash(path))); err != nil {
			t.Errorf("%s may pass by and is not there", path)
		}
	}
	if looked < 100 {
		t.Errorf("only %d files were looked at", looked)
	}
}
