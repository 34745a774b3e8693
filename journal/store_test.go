// Tests of durable writing, of new journals and of what check finds.

package journal

import (
	"crypto/sha256"
	"encoding/hex"
	"errors"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"time"

	"rakelight/journal/disk"
	"rakelight/journal/disk/mishap"
)

func TestPlaceTwice(t *testing.T) {
	j, now := bench(t)
	src := filepath.Join(t.TempDir(), "a.jpg")
	data := []byte("light from the side")
	if err := os.WriteFile(src, data, 0o600); err != nil {
		t.Fatal(err)
	}
	sum := sha256.Sum256(data)
	hash := hex.EncodeToString(sum[:])
	want := "photos/2026/03/20260314-190000-" + hash[:8] + ".jpg"
	for range 2 {
		if rel, err := j.Place(src, hash, *now, ".jpg"); err != nil || rel != want {
			t.Fatalf("Place = %q, %v; want %q", rel, err, want)
		}
	}
	if got, err := os.ReadFile(j.Path(want)); err != nil || string(got) != string(data) {
		t.Errorf("the copy holds %q, %v", got, err)
	}
	if got, err := os.ReadFile(src); err != nil || string(got) != string(data) {
		t.Errorf("the source holds %q, %v", got, err)
	}

	// Other bytes under the name stay, and so does a source that changed.
	if err := os.WriteFile(j.Path(want), []byte("other"), 0o644); err != nil {
		t.Fatal(err)
	}
	if _, err := j.Place(src, hash, *now, ".jpg"); err == nil {
		t.Error("a file with other bytes was taken for the photo")
	}
	if got, _ := os.ReadFile(j.Path(want)); string(got) != "other" {
		t.Errorf("it was written over: %q", got)
	}
	if _, err := j.Place(src, strings.Repeat("0", 64), *now, ".jpg"); err == nil {
		t.Error("bytes that do not fit their hash were placed")
	}
	if _, err := j.Place(src, "0", *now, ".jpg"); err == nil {
		t.Error("a hash of one digit was believed")
	}
	left, err := os.ReadDir(filepath.Dir(j.Path(want)))
	if err != nil || len(left) != 1 {
		t.Errorf("%d files lie in photos, %v; want one", len(left), err)
	}
}

func TestCreate(t *testing.T) {
	now := time.Date(2026, 3, 14, 19, 0, 0, 0, time.UTC)
	dir := filepath.Join(t.TempDir(), "new")
	name := "Müller's \"bench\" \\ <1>\t\x01"
	if err := Create(dir, name, "Europe/Lisbon", now); err != nil {
		t.Fatal(err)
	}
	j, err := Open(filepath.Join(dir, "inbox"))
	if err != nil {
		t.Fatal(err)
	}
	c := j.State.Config
	if c.Name != name || c.Zone != "Europe/Lisbon" || c.Format != Format || j.State.Zone.String() != "Europe/Lisbon" || len(j.State.Problems) > 0 {
		t.Errorf("%+v, problems %v", c, j.State.Problems)
	}
	for _, want := range []string{"README.txt", "inbox", "builds", "photos", "records"} {
		if _, err := os.Stat(j.Path(want)); err != nil {
			t.Error(err)
		}
	}
	if err := Create(dir, "again", "UTC", now); err == nil {
		t.Error("a journal was made over a journal")
	}
	full := t.TempDir()
	if err := os.WriteFile(filepath.Join(full, "mine.txt"), nil, 0o644); err != nil {
		t.Fatal(err)
	}
	if err := Create(full, "x", "UTC", now); err == nil {
		t.Error("a journal was made among other files")
	}
	if err := Create(filepath.Join(full, "sub"), "x", "Atlantis/Harbor", now); err == nil {
		t.Error("a zone that is none was believed")
	}
	if left, _ := os.ReadDir(full); len(left) != 1 {
		t.Errorf("%d files in the folder that was refused, want 1", len(left))
	}
	if _, err := Open(full); !errors.Is(err, ErrNoJournal) {
		t.Errorf("Open = %v, want %v", err, ErrNoJournal)
	}
}

func TestSettings(t *testing.T) {
	for _, c := range []struct {
		name, text string
		newer      bool
		says       string
	}{
		{"newer format", "format = 2\nzone = 7\n", true, ""},
		{"no zone", "format = 1\n", false, "UTC is used"},
		{"odd zone", "format = 1\nzone = \"Atlantis/Harbor\"\n", false, "Atlantis"},
		{"no format", "zone = \"UTC\"\n", false, "format = 1"},
		{"unknown setting", "format = 1\nzone = \"UTC\"\nmood = 1\n", false, "mood"},
		{"odd length", "format = 1\nzone = \"UTC\"\nlongest = \"five\"\n", false, "five"},
		{"odd clock", "format = 1\nzone = \"UTC\"\n[[clock]]\nfast = \"x\"\n", false, `"x"`},
		{"odd stage", "format = 1\nzone = \"UTC\"\n[[stage]]\nid = \"polish\"\n", false, "polish"},
	} {
		dir := t.TempDir()
		if err := os.WriteFile(filepath.Join(dir, "journal.toml"), []byte("\ufeff"+c.text), 0o644); err != nil {
			t.Fatal(err)
		}
		j, err := Open(dir)
		if c.newer {
			if !errors.Is(err, ErrNewerFormat) {
				t.Errorf("%s: %v", c.name, err)
			}
			continue
		}
		if err != nil || len(j.State.Problems) != 1 || !strings.Contains(j.State.Problems[0].What, c.says) || j.State.Zone != time.UTC {
			t.Errorf("%s: %v, %+v; want one problem that says %q", c.name, err, j.State, c.says)
		}
	}
}

// Each damage is found as what it is, alone.
func TestCheck(t *testing.T) {
	for _, c := range []struct {
		name    string
		damage  func(t *testing.T, j *Journal, photo, records string)
		kind    string
		isError bool
	}{
		{"whole", func(*testing.T, *Journal, string, string) {}, "", false},
		{"missing photo", func(t *testing.T, j *Journal, photo, _ string) { try(t, os.Remove(photo)) }, MissingPhoto, true},
		{"one byte of a photo", func(t *testing.T, j *Journal, photo, _ string) {
			try(t, os.WriteFile(photo, []byte("sanded hulL"), 0o644))
		}, ChangedPhoto, true},
		{"a shorter photo", func(t *testing.T, j *Journal, photo, _ string) { try(t, os.Truncate(photo, 3)) }, ChangedPhoto, true},
		{"a photo nobody names", func(t *testing.T, j *Journal, photo, _ string) {
			try(t, os.WriteFile(filepath.Join(filepath.Dir(photo), "x.jpg"), nil, 0o644))
		}, UnnamedPhoto, false},
		{"a photo record taken back", func(t *testing.T, j *Journal, _, _ string) {
			_, err := j.Append(RetractBody{Record: j.State.Photos[0].Record})
			try(t, err)
		}, UnnamedPhoto, false},
		{"a torn line", func(t *testing.T, _ *Journal, _, records string) {
			add(t, records, `{"at":"2026-03-14T`)
		}, TornLine, true},
		{"a changed line", func(t *testing.T, _ *Journal, _, records string) {
			add(t, records, `{"at":"2026-03-14T19:00:00Z","dev":"d","seq":1,"kind":"x","body":1,"sum":"00000000"}`)
		}, BadSum, true},
		{"a conflict copy", func(t *testing.T, _ *Journal, _, records string) {
			data, err := os.ReadFile(records)
			try(t, err)
			try(t, os.WriteFile(strings.TrimSuffix(records, ".jsonl")+" (copy).jsonl", data, 0o644))
		}, ConflictCopy, false},
		{"a mistake in build.md", func(t *testing.T, j *Journal, _, _ string) {
			try(t, os.WriteFile(j.Path("builds/pilot-boat/build.md"), []byte("---\nfinish: shiny\n---\n"), 0o644))
		}, OtherRemark, false},
	} {
		t.Run(c.name, func(t *testing.T) {
			j, now := bench(t)
			src := filepath.Join(t.TempDir(), "a.jpg")
			data := []byte("sanded hull")
			try(t, os.WriteFile(src, data, 0o644))
			sum := sha256.Sum256(data)
			hash := hex.EncodeToString(sum[:])
			rel, err := j.Place(src, hash, *now, ".jpg")
			try(t, err)
			_, err = j.Append(PhotoBody{Hash: hash, Path: rel, Size: int64(len(data)), Instant: Instant{At: *now}})
			try(t, err)
			c.damage(t, j, j.Path(rel), recordsFile(t, j))
			try(t, j.Reload())
			found := j.Check(true)
			if c.kind == "" {
				if len(found) != 0 {
					t.Errorf("found %+v in a whole journal", found)
				}
				return
			}
			if len(found) != 1 || found[0].Kind != c.kind || found[0].Error != c.isError || found[0].What == "" {
				t.Errorf("found %+v; want one %s, error %v", found, c.kind, c.isError)
			}
			// Without reading the bytes, a byte that changed is not seen.
			quick := j.Check(false)
			if c.name == "one byte of a photo" {
				found = nil
			}
			if !slices.Equal(quick, found) {
				t.Errorf("a quick check found %+v, want %+v", quick, found)
			}
		})
	}
}

func try(t *testing.T, err error) {
	t.Helper()
	if err != nil {
		t.Fatal(err)
	}
}

func add(t *testing.T, path, text string) {
	t.Helper()
	data, err := os.ReadFile(path)
	try(t, err)
	try(t, os.WriteFile(path, append(data, text...), 0o644))
}

// Once a photo lies in its place, no power cut brings the name back under which it was
// copied: whoever takes in the next time looks for none.
func TestPlacedUnderOneName(t *testing.T) {
	j, now := bench(t)
	src := filepath.Join(t.TempDir(), "a.jpg")
	data := []byte("light from the side")
	if err := os.WriteFile(src, data, 0o600); err != nil {
		t.Fatal(err)
	}
	sum := sha256.Sum256(data)
	for _, hash := range []string{hex.EncodeToString(sum[:]), strings.Repeat("0", 64)} { // it is refused by another
		d, err := mishap.Trace(j.Dir)
		if err != nil {
			t.Fatal(err)
		}
		unmount := disk.Mount(j.Dir, d)
		_, err = j.Place(src, hash, *now, ".jpg")
		unmount()
		if (err == nil) != (hash[0] != '0') {
			t.Fatal(err)
		}
		into := filepath.Join(t.TempDir(), "bench")
		if err := d.Cut(j.Dir, into, d.Len(), func(int) mishap.Fate { return mishap.Lost }); err != nil {
			t.Fatal(err)
		}
		left, err := os.ReadDir(filepath.Join(into, "photos", "2026", "03"))
		if err != nil || len(left) != 1 || !strings.HasSuffix(left[0].Name(), ".jpg") {
			t.Errorf("%v lie in photos, %v; want the photo alone", left, err)
		}
	}
}
