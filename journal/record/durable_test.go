// Tests of durable writing.

package record

import (
	"errors"
	"os"
	"path/filepath"
	"syscall"
	"testing"

	"rakelight/journal/disk"
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

// noNames is a disk that makes no name durable.
type noNames struct{ disk.System }

func (noNames) SyncDir(string) error { return syscall.EIO }

// What is called not written is not there, so that it can be said again.
func TestNotDurableIsNotThere(t *testing.T) {
	dir := t.TempDir()
	defer disk.Mount(dir, noNames{})()
	path := filepath.Join(dir, "a")
	if err := WriteFile(path, []byte("x")); err == nil {
		t.Error("it counts as written")
	}
	if _, err := os.Lstat(path); err == nil {
		t.Error("it is there all the same")
	}
	if err := appendLines(path, []byte("x\n")); err == nil {
		t.Error("the line counts as written")
	}
	if data, err := os.ReadFile(path); len(data) > 0 {
		t.Errorf("%q is there all the same, %v", data, err)
	}
}
