// Writing into a real pages folder: what is made, what stays, what goes.

package render

import (
	"context"
	"errors"
	"image"
	"image/jpeg"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"rakelight/journal"
)

// onDisk is a journal with two photos that can be read and one that is cut.
func onDisk(t *testing.T) *journal.Journal {
	t.Helper()
	dir := t.TempDir()
	all := small()
	s := &journal.State{Config: all.Config, Zone: all.Zone, Builds: all.Builds[:1], Photos: all.Photos[:3]}
	for i, p := range s.Photos {
		p.Width, p.Height = 640, 480
		path := filepath.Join(dir, filepath.FromSlash(p.Path))
		if err := os.MkdirAll(filepath.Dir(path), 0o755); err != nil {
			t.Fatal(err)
		}
		f, err := os.Create(path)
		if err != nil {
			t.Fatal(err)
		}
		if err := errors.Join(jpeg.Encode(f, image.NewRGBA(image.Rect(0, 0, 640, 480)), nil), f.Close()); err != nil {
			t.Fatal(err)
		}
		if i == 2 {
			if err := os.Truncate(path, 700); err != nil {
				t.Fatal(err)
			}
		}
	}
	return &journal.Journal{Dir: dir, State: s, Now: time.Now}
}

// newJournal is an empty journal on disk.
func newJournal(t *testing.T) *journal.Journal {
	t.Helper()
	dir := filepath.Join(t.TempDir(), "bench")
	if err := journal.Create(dir, "The bench", "Europe/Lisbon", time.Date(2024, 5, 3, 0, 0, 0, 0, time.UTC)); err != nil {
		t.Fatal(err)
	}
	j, err := journal.Open(dir)
	if err != nil {
		t.Fatal(err)
	}
	return j
}

func write(t *testing.T, j *journal.Journal) Report {
	t.Helper()
	r, err := Write(t.Context(), j, Options{})
	if err != nil {
		t.Fatal(err)
	}
	return r
}

func TestWrite(t *testing.T) {
	j := onDisk(t)
	seen := map[string]int{}
	r, err := Write(t.Context(), j, Options{Progress: func(done, total int, what string) {
		if done < 1 || done > total {
			t.Errorf("%s: %d of %d", what, done, total)
		}
		seen[what]++
	}})
	if err != nil || r.Photos != 4 || r.Pages == 0 || r.Changed != r.Pages || r.Removed != 0 {
		t.Fatalf("first: %+v, %v", r, err)
	}
	if seen["photos"] != 3 || seen["pages"] != r.Pages {
		t.Error(seen)
	}
	pages := j.Path("pages")
	sort, err := os.ReadFile(filepath.Join(pages, "to-sort.html"))
	if err != nil || !strings.Contains(string(sort), "They cannot be shown") {
		t.Errorf("the cut photo is not told (%v)", err)
	}
	if strings.Contains(string(sort), j.Dir) {
		t.Error("a page names a folder of this computer")
	}
	first, err := os.ReadFile(filepath.Join(pages, "index.html"))
	if err != nil {
		t.Fatal(err)
	}

	// Again: nothing is written.
	if r := write(t, j); r.Changed != 0 || r.Photos != 0 || r.Removed != 0 {
		t.Errorf("again: %+v", r)
	}
	// A page that was lost comes back as it was, alone.
	if err := os.Remove(filepath.Join(pages, "index.html")); err != nil {
		t.Fatal(err)
	}
	if r := write(t, j); r.Changed != 1 {
		t.Errorf("after a loss: %+v", r)
	}
	if again, _ := os.ReadFile(filepath.Join(pages, "index.html")); string(again) != string(first) {
		t.Error("the page came back different")
	}
}

func TestStalePagesGoOthersStay(t *testing.T) {
	j := onDisk(t)
	write(t, j)
	pages := j.Path("pages")
	foreign := filepath.Join(pages, "builds", "my own notes.html")
	if err := os.WriteFile(foreign, []byte("mine"), 0o644); err != nil {
		t.Fatal(err)
	}
	// A list that was tampered with must not reach out of the folder.
	outside := filepath.Join(j.Dir, "journal.toml")
	if err := os.WriteFile(outside, []byte("format = 1"), 0o644); err != nil {
		t.Fatal(err)
	}
	list := filepath.Join(pages, listName)
	data, err := os.ReadFile(list)
	if err != nil {
		t.Fatal(err)
	}
	if err := os.WriteFile(list, append(data, "../journal.toml\n/etc/hostname\n"...), 0o644); err != nil {
		t.Fatal(err)
	}
	old := j.State.Photos[0].Short()
	j.State = &journal.State{Config: j.State.Config, Zone: j.State.Zone, Photos: j.State.Photos[1:]}
	r := write(t, j)
	if r.Removed < 3 { // the build's page and the two sizes of the photo
		t.Errorf("%+v", r)
	}
	for path, want := range map[string]bool{
		foreign: true, outside: true, filepath.Join(pages, "builds", "pilot-boat.html"): false,
		filepath.Join(pages, "photos", old+"-480.jpg"): false, filepath.Join(pages, "index.html"): true,
	} {
		if _, err := os.Stat(path); (err == nil) != want {
			t.Errorf("%s: there is %v, want %v", path, err == nil, want)
		}
	}
}

func TestWriteStops(t *testing.T) {
	j := onDisk(t)
	ctx, stop := context.WithCancel(t.Context())
	stop()
	if _, err := Write(ctx, j, Options{}); !errors.Is(err, context.Canceled) {
		t.Error(err)
	}
	if r := write(t, j); r.Changed != r.Pages {
		t.Errorf("the next writing did not complete it: %+v", r)
	}
}

func TestMissingOriginal(t *testing.T) {
	j := onDisk(t)
	if err := os.Remove(j.Path(j.State.Photos[0].Path)); err != nil {
		t.Fatal(err)
	}
	write(t, j)
	page, err := os.ReadFile(j.Path("pages/builds/pilot-boat.html"))
	if err != nil || !strings.Contains(string(page), "the original is missing from the photos folder") {
		t.Errorf("not told (%v)", err)
	}
}

// What a crash left half written among the pages goes, once nobody can be
// writing to it; other people's files stay.
func TestClearLeftovers(t *testing.T) {
	j := newJournal(t)
	old := time.Now().Add(-2 * time.Hour)
	for name, at := range map[string]time.Time{".rakelight-1.tmp": old, "photos/.rakelight-2.tmp": old, ".rakelight-3.tmp": time.Now(), "photos/mine.tmp": old} {
		path := j.Path("pages/" + name)
		if err := errors.Join(os.MkdirAll(filepath.Dir(path), 0o755), os.WriteFile(path, nil, 0o644), os.Chtimes(path, at, at)); err != nil {
			t.Fatal(err)
		}
	}
	ClearLeftovers(j)
	for name, stays := range map[string]bool{".rakelight-1.tmp": false, "photos/.rakelight-2.tmp": false, ".rakelight-3.tmp": true, "photos/mine.tmp": true} {
		if _, err := os.Stat(j.Path("pages/" + name)); (err == nil) != stays {
			t.Errorf("%s stays: %v, %v", name, stays, err)
		}
	}
}
