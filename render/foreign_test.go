// Tests of files in the pages folder that somebody else put there.

package render

import (
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"rakelight/journal"
	"rakelight/media"
)

func TestForeignFilesAreLeftAlone(t *testing.T) {
	j := onDisk(t)
	photo := "photos/" + j.State.Photos[0].Short() + "-480.jpg"
	mine := map[string]string{"index.html": "my own page", "builds/pilot-boat.html": "mine, too", photo: "no picture", "notes.txt": "notes"}
	for name, text := range mine {
		path := filepath.Join(j.Path("pages"), filepath.FromSlash(name))
		if err := os.MkdirAll(filepath.Dir(path), 0o755); err != nil {
			t.Fatal(err)
		}
		if err := os.WriteFile(path, []byte(text), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	untouched := func(when string) {
		t.Helper()
		for name, text := range mine {
			if got, err := os.ReadFile(filepath.Join(j.Path("pages"), filepath.FromSlash(name))); err != nil || string(got) != text {
				t.Errorf("%s: pages/%s holds %.40q, %v", when, name, got, err)
			}
		}
	}
	for _, when := range []string{"first", "again"} {
		r := write(t, j)
		slices.Sort(r.Foreign)
		if want := []string{"pages/builds/pilot-boat.html", "pages/index.html"}; !slices.Equal(r.Foreign, want) {
			t.Errorf("%s: in the way: %q, want %q", when, r.Foreign, want)
		}
		untouched(when)
	}
	if _, err := os.Stat(filepath.Join(j.Path("pages"), "pace.html")); err != nil {
		t.Error("the other pages were not written:", err)
	}
	// Nor are they removed once no page has their name.
	j.State = &journal.State{Config: j.State.Config, Zone: j.State.Zone}
	write(t, j)
	untouched("after the build has gone")
}

// Without its list the folder is taken for somebody else's, but for pages that
// hold what they would hold anyway.
func TestPagesWithoutTheirList(t *testing.T) {
	j := onDisk(t)
	write(t, j)
	list, index := filepath.Join(j.Path("pages"), listName), filepath.Join(j.Path("pages"), "index.html")
	if err := os.Remove(list); err != nil {
		t.Fatal(err)
	}
	if err := os.WriteFile(index, []byte("changed"), 0o644); err != nil {
		t.Fatal(err)
	}
	if r := write(t, j); !slices.Equal(r.Foreign, []string{"pages/index.html"}) || r.Changed != 0 {
		t.Errorf("%+v", r)
	}
	if err := os.Remove(index); err != nil {
		t.Fatal(err)
	}
	if r := write(t, j); len(r.Foreign) != 0 || r.Changed != 1 {
		t.Errorf("%+v", r)
	}
}

// The list is added to where it lies; a link in its place must not lead that to
// a file elsewhere.
func TestListBehindALinkIsNotWritten(t *testing.T) {
	j := onDisk(t)
	mine := filepath.Join(j.Dir, "mine.txt")
	if err := os.WriteFile(mine, []byte("mine"), 0o644); err != nil {
		t.Fatal(err)
	}
	if err := os.MkdirAll(j.Path("pages"), 0o755); err != nil {
		t.Fatal(err)
	}
	if err := os.Symlink(mine, filepath.Join(j.Path("pages"), listName)); err != nil {
		t.Skip("no links here:", err)
	}
	path, widths := IntakeSizes(j)
	path(media.Facts{Hash: strings.Repeat("ab", 32), Width: 4000}, widths[0])
	write(t, j)
	if got, err := os.ReadFile(mine); err != nil || string(got) != "mine" {
		t.Errorf("it holds %q now, %v", got, err)
	}
}
