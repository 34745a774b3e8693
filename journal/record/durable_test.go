// Tests of durable writing.

package record

import (
	"errors"
	"os"
	"path/filepath"
	"testing"
)

func TestRenameNewKeepsWhatIsThere(t *testing.T) {
	dir := t.TempDir()
	for _, name := range []string{"a", "b"} {
		if err := os.WriteFile(filepath.Join(dir, name), []byte(name), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	if err := RenameNew(filepath.Join(dir, "a"), filepath.Join(dir, "b")); !errors.Is(err, os.ErrExist) {
		t.Errorf("err = %v, want that it exists", err)
	}
	if got, _ := os.ReadFile(filepath.Join(dir, "b")); string(got) != "b" {
		t.Errorf("b holds %q", got)
	}
}

func TestWriteFile(t *testing.T) {
	path := filepath.Join(t.TempDir(), "a", "b", "c.txt")
	for _, text := range []string{"first", "second"} {
		if err := WriteFile(path, []byte(text)); err != nil {
			t.Fatal(err)
		}
		if got, err := os.ReadFile(path); err != nil || string(got) != text {
			t.Errorf("%q, %v; want %q", got, err, text)
		}
	}
	if left, err := os.ReadDir(filepath.Dir(path)); err != nil || len(left) != 1 {
		t.Errorf("%d files left, %v", len(left), err)
	}
	// A folder stands where the file should go: an error, and nothing left over.
	if err := WriteFile(filepath.Dir(path), []byte("x")); err == nil {
		t.Error("a folder was replaced")
	}
	if left, err := os.ReadDir(filepath.Dir(filepath.Dir(path))); err != nil || len(left) != 1 {
		t.Errorf("%d files left, %v", len(left), err)
	}
}
