// Tests of the disks that tests stand on.

package mishap

import (
	"errors"
	"os"
	"path/filepath"
	"slices"
	"testing"

	"rakelight/journal/disk"
)

func always(f Fate) func(int) Fate { return func(int) Fate { return f } }

// A file is written beside, synced, renamed, and its folder synced: what may be
// there after each cut follows from what POSIX says of fsync, and no more.
func TestCut(t *testing.T) {
	dir := t.TempDir()
	old := filepath.Join(dir, "a")
	if err := os.WriteFile(old, []byte("old"), 0o644); err != nil {
		t.Fatal(err)
	}
	d, err := Trace(dir)
	if err != nil {
		t.Fatal(err)
	}
	defer disk.Mount(dir, d)()
	f, err := disk.CreateTemp(dir, "t") // 1
	if err != nil {
		t.Fatal(err)
	}
	name := filepath.Base(f.Name())
	_, e1 := f.Write([]byte("new")) // 2
	e2 := f.Sync()                  // 3
	e3 := f.Close()
	e4 := disk.Rename(f.Name(), old) // 4
	e5 := disk.SyncDir(dir)          // 5
	if err := errors.Join(e1, e2, e3, e4, e5); err != nil || d.Len() != 5 {
		t.Fatal(err, d.Len())
	}
	for _, c := range []struct {
		after       int
		fate        Fate
		a, tmp      string
		a0, tmpIsIn bool
	}{
		{0, Kept, "old", "", true, false},
		{1, Lost, "old", "", true, false},
		{1, Kept, "old", "", true, true},
		{2, Kept, "old", "new", true, true},
		{2, Blank, "old", "\x00\x00\x00", true, true},
		{3, Blank, "old", "new", true, true}, // synced
		{3, Lost, "old", "", true, false},    // its name was not
		{4, Lost, "old", "", true, false},
		{4, Kept, "new", "", true, false},
		{5, Lost, "new", "", true, false},
	} {
		into := t.TempDir()
		if err := d.Cut(dir, into, c.after, always(c.fate)); err != nil {
			t.Fatal(err)
		}
		a, err := os.ReadFile(filepath.Join(into, "a"))
		tmp, tmpErr := os.ReadFile(filepath.Join(into, name))
		if err != nil || string(a) != c.a || string(tmp) != c.tmp || (tmpErr == nil) != c.tmpIsIn {
			t.Errorf("after %d, %v: a holds %q, %v; the other %q, %v", c.after, c.fate, a, err, tmp, tmpErr)
		}
	}
}

// What is only added to is cut where it was added, and a folder that was not
// synced takes along what lies in it.
func TestCutAddedAndFolders(t *testing.T) {
	dir := t.TempDir()
	d, err := Trace(dir)
	if err != nil {
		t.Fatal(err)
	}
	defer disk.Mount(dir, d)()
	deep := filepath.Join(dir, "x", "y")
	if err := disk.MkdirAll(deep, 0o755); err != nil {
		t.Fatal(err)
	}
	for _, line := range []string{"one\n", "two\n"} {
		f, err := disk.OpenFile(filepath.Join(deep, "l"), os.O_APPEND|os.O_CREATE|os.O_WRONLY, 0o644)
		if err != nil {
			t.Fatal(err)
		}
		_, e1 := f.WriteString(line)
		if err := errors.Join(e1, f.Sync(), f.Close(), disk.SyncDir(deep)); err != nil {
			t.Fatal(err)
		}
	}
	end := d.Len()
	into := t.TempDir()
	if err := d.Cut(dir, into, end, always(Lost)); err != nil {
		t.Fatal(err)
	}
	if left, err := os.ReadDir(into); err != nil || len(left) != 0 {
		t.Errorf("%v, %v: the folders were never synced", left, err)
	}
	if err := errors.Join(disk.SyncDir(dir), disk.SyncDir(filepath.Join(dir, "x"))); err != nil {
		t.Fatal(err)
	}
	into = t.TempDir()
	if err := d.Cut(dir, into, d.Len(), always(Lost)); err != nil {
		t.Fatal(err)
	}
	if data, err := os.ReadFile(filepath.Join(into, "x", "y", "l")); err != nil || string(data) != "one\ntwo\n" {
		t.Errorf("%q, %v", data, err)
	}
}

// The n-th call fails, and no other, until none does.
func TestFailing(t *testing.T) {
	var failed []string
	for n := 1; ; n++ {
		dir := t.TempDir()
		d := &Failing{Fail: n, Err: errors.New("broken")}
		end := disk.Mount(dir, d)
		f, err := disk.OpenFile(filepath.Join(dir, "a"), os.O_CREATE|os.O_WRONLY, 0o644)
		if err == nil {
			_, err = f.WriteString("ab")
			err = errors.Join(err, f.Sync(), f.Close())
		}
		end()
		if (err == nil) != (d.Failed() == "") {
			t.Errorf("%d: %v, %q", n, err, d.Failed())
		}
		if err == nil {
			break
		}
		failed = append(failed, d.Failed()[:5])
		if data, err := os.ReadFile(filepath.Join(dir, "a")); n == 2 && string(data) != "a" {
			t.Errorf("half is written: %q, %v", data, err)
		}
	}
	if want := []string{"open ", "write", "sync ", "close"}; !slices.Equal(failed, want) {
		t.Errorf("%q, want %q", failed, want)
	}
}
