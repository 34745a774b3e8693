// Tests that the packages stand as DEVELOPERS.md draws them.

package main

import (
	"go/parser"
	"go/token"
	"io/fs"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"
)

// Every package is in the picture, and imports only those below it.
func TestFloors(t *testing.T) {
	const root, module = "../..", "rakelight/"
	floors := picture(t, root)
	seen := map[string]bool{}
	err := filepath.WalkDir(root, func(path string, d fs.DirEntry, err error) error {
		if err != nil || d.IsDir() || !strings.HasSuffix(path, ".go") || strings.HasSuffix(path, "_test.go") {
			return err
		}
		rel, err := filepath.Rel(root, filepath.Dir(path))
		if err != nil {
			return err
		}
		folder := filepath.ToSlash(rel)
		at := slices.Index(floors, folder)
		if at < 0 && !seen[folder] {
			t.Errorf("the picture has no %s", folder)
		}
		seen[folder] = true
		file, err := parser.ParseFile(token.NewFileSet(), path, nil, parser.ImportsOnly)
		if err != nil {
			return err
		}
		for _, one := range file.Imports {
			below, ours := strings.CutPrefix(strings.Trim(one.Path.Value, `"`), module)
			if ours && slices.Index(floors, below) <= at {
				t.Errorf("%s imports %s, which does not stand below it", folder, below)
			}
		}
		return nil
	})
	if err != nil {
		t.Fatal(err)
	}
	for _, folder := range floors {
		if !seen[folder] && folder != "testdata" {
			t.Errorf("%s in the picture holds no package", folder)
		}
	}
}

// picture is the first block of DEVELOPERS.md: a folder a line, the top first.
func picture(t *testing.T, root string) []string {
	t.Helper()
	data, err := os.ReadFile(filepath.Join(root, "DEVELOPERS.md"))
	if err != nil {
		t.Fatal(err)
	}
	_, text, _ := strings.Cut(string(data), "\n```\n")
	text, _, _ = strings.Cut(text, "\n```\n")
	var floors []string
	for line := range strings.Lines(text) {
		floors = append(floors, strings.Fields(line)[0])
	}
	if len(floors) < 10 {
		t.Fatalf("the picture is %q", floors)
	}
	return floors
}
