package scratch

import (
	"os"
	"os/exec"
	"path/filepath"
	"strconv"
	"testing"
)

// What was chosen stands; else the folder is a place to write to, and gone in the end.
func TestUse(t *testing.T) {
	chosen := t.TempDir()
	t.Setenv("TMPDIR", chosen)
	if remove := Use(); os.Getenv("TMPDIR") != chosen {
		t.Errorf("TMPDIR was %s and is %s", chosen, os.Getenv("TMPDIR"))
	} else {
		remove()
	}
	if err := os.Unsetenv("TMPDIR"); err != nil {
		t.Fatal(err)
	}
	usual := os.TempDir()
	remove := Use()
	dir := os.TempDir()
	if (place() == "") != (dir == usual) {
		t.Errorf("the place is %q, and temporary folders come to %s", place(), dir)
	}
	if _, err := os.MkdirTemp("", ""); dir != usual && err != nil {
		t.Error(err)
	}
	remove()
	if os.TempDir() != usual {
		t.Errorf("afterwards they come to %s", os.TempDir())
	}
	if _, err := os.Stat(dir); dir != usual && !os.IsNotExist(err) {
		t.Errorf("%s is left: %v", dir, err)
	}
}

// Folders of who is gone go, those of who still runs stay, and what is not ours too.
func TestSweep(t *testing.T) {
	if !runs(os.Getpid()) {
		t.Fatal("this process does not run")
	}
	ended := exec.Command(os.Args[0], "-test.run", "^$")
	if err := ended.Run(); err != nil {
		t.Fatal(err)
	}
	memory := t.TempDir()
	gone, here, other := prefix+strconv.Itoa(ended.Process.Pid)+"-1", prefix+strconv.Itoa(os.Getpid())+"-1", "others"
	for _, name := range []string{gone, here, other} {
		if err := os.MkdirAll(filepath.Join(memory, name, "in"), 0o755); err != nil {
			t.Fatal(err)
		}
	}
	sweep(memory)
	for _, name := range []string{gone, here, other} {
		_, err := os.Stat(filepath.Join(memory, name))
		if stays := name != gone || runs(ended.Process.Pid); stays != (err == nil) {
			t.Errorf("%s: %v", name, err)
		}
	}
}
