// Tests of folders whose disk is not plugged in.

package past

import (
	"os"
	"path/filepath"
	"slices"
	"testing"
)

// An empty mount point is no loss: what was read stays until its disk is there again, or
// its files are found elsewhere in the folder.
func TestUnpluggedDiskLosesNothing(t *testing.T) {
	for _, other := range []bool{false, true} { // another disk has its place
		j, dir := newJournal(t), oldFolder(t)
		before := look(t, j, dir)
		away := filepath.Join(t.TempDir(), "away")
		if err := os.Rename(dir, away); err != nil {
			t.Fatal(err)
		}
		if err := os.Mkdir(dir, 0o755); err != nil {
			t.Fatal(err)
		}
		extra := 0
		if other {
			put(t, filepath.Join(dir, "other.jpg"), photographed(t, 77, day(3)))
			extra = 1
		}
		s := look(t, j, dir)
		if !slices.Equal(s.Missing, []string{dir}) || len(s.Pictures) != len(before.Pictures)+extra {
			t.Errorf("unplugged: %v, %d pictures, want %d", s.Missing, len(s.Pictures), len(before.Pictures)+extra)
		}
		if s = look(t, j, dir); !slices.Equal(s.Missing, []string{dir}) || len(s.Pictures) != len(before.Pictures)+extra {
			t.Errorf("looked at again: %v, %d pictures", s.Missing, len(s.Pictures))
		}
		if s, err := Open(j); err != nil || len(s.Pictures) != len(before.Pictures)+extra {
			t.Errorf("opened: %d pictures, %v", len(s.Pictures), err)
		}
		if err := os.RemoveAll(dir); err != nil {
			t.Fatal(err)
		}
		if err := os.Rename(away, dir); err != nil {
			t.Fatal(err)
		}
		n := 0
		s, err := Look(t.Context(), j, []string{dir}, func(int, int, string) { n++ })
		if err != nil || len(s.Missing) > 0 || len(s.Pictures) != len(before.Pictures) || n > 0 {
			t.Errorf("plugged in again: %v, %d pictures, %d read again, %v", s.Missing, len(s.Pictures), n, err)
		}
		// Back again, it loses what is deleted there, as any folder does.
		if err := os.Remove(s.Pictures[0].Path); err != nil {
			t.Fatal(err)
		}
		if s := look(t, j, dir); len(s.Missing) > 0 || len(s.Pictures) >= len(before.Pictures) {
			t.Errorf("one deleted: %v, %d pictures of %d", s.Missing, len(s.Pictures), len(before.Pictures))
		}
		// Whoever says so is believed.
		if _, err := Forget(j, dir); err != nil {
			t.Fatal(err)
		}
		if err := os.RemoveAll(dir); err != nil {
			t.Fatal(err)
		}
		if err := os.Mkdir(dir, 0o755); err != nil {
			t.Fatal(err)
		}
		if s := look(t, j, dir); len(s.Pictures) != 0 || len(s.Missing) > 0 {
			t.Errorf("forgotten: %d pictures, %v", len(s.Pictures), s.Missing)
		}
	}
}

// A folder whose files were all put elsewhere within it has each of them once.
func TestFilesMovedAtOnceAreNoLoss(t *testing.T) {
	j, dir := newJournal(t), t.TempDir()
	for _, name := range []string{"a.jpg", "b.jpg"} {
		put(t, filepath.Join(dir, name), photographed(t, uint64(name[0]), day(1)))
	}
	look(t, j, dir)
	if err := os.Mkdir(filepath.Join(dir, "boat"), 0o755); err != nil {
		t.Fatal(err)
	}
	for _, name := range []string{"a.jpg", "b.jpg"} {
		if err := os.Rename(filepath.Join(dir, name), filepath.Join(dir, "boat", name)); err != nil {
			t.Fatal(err)
		}
	}
	s := look(t, j, dir)
	if len(s.Pictures) != 2 {
		t.Fatalf("%d pictures", len(s.Pictures))
	}
	for _, p := range s.Pictures {
		if len(p.Same) > 0 || p.Folder != "boat" {
			t.Errorf("%s and %v", p.Path, p.Same)
		}
	}
	if s := look(t, j, dir); len(s.Missing) > 0 {
		t.Errorf("looked at once more: %v", s.Missing)
	}
}
