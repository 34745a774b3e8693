// A photo is decoded once: what the intake wrote, the pages find; and nothing
// of what it wrote is forgotten.

package render

import (
	"bytes"
	"errors"
	"fmt"
	"image"
	"image/color"
	"image/jpeg"
	"io/fs"
	"math/rand/v2"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"sync"
	"testing"
	"time"

	"rakelight/journal"
	"rakelight/journal/disk"
	"rakelight/media"
	"rakelight/media/inbox"
)

// noisy writes a JPEG no other is like.
func noisy(t *testing.T, path string, w, h int, seed uint64) {
	t.Helper()
	rng := rand.New(rand.NewPCG(seed, seed))
	img := image.NewRGBA(image.Rect(0, 0, w, h))
	for y := range h {
		for x := range w {
			img.Set(x, y, color.RGBA{uint8(x + rng.IntN(9)), uint8(y), uint8(x * y >> 8), 255})
		}
	}
	if err := os.MkdirAll(filepath.Dir(path), 0o755); err != nil {
		t.Fatal(err)
	}
	f, err := os.Create(path)
	if err != nil {
		t.Fatal(err)
	}
	if err := errors.Join(jpeg.Encode(f, img, nil), f.Close()); err != nil {
		t.Fatal(err)
	}
}

// sizesOnDisk are the files of the pages' photos folder.
func sizesOnDisk(t *testing.T, j *journal.Journal) map[string][]byte {
	t.Helper()
	found := map[string][]byte{}
	entries, err := os.ReadDir(j.Path("pages/photos"))
	if err != nil {
		t.Fatal(err)
	}
	for _, e := range entries {
		data, err := os.ReadFile(j.Path("pages/photos/" + e.Name()))
		if err != nil {
			t.Fatal(err)
		}
		found["photos/"+e.Name()] = data
	}
	return found
}

func TestDecodedOnce(t *testing.T) {
	j := newJournal(t)
	for i, width := range []int{300, 480, 640, 1000, 1700} {
		noisy(t, filepath.Join(j.InboxDir(), fmt.Sprint(width, ".jpg")), width, 200, uint64(i))
	}
	path, sizes := IntakeSizes(j)
	sum, err := inbox.New(j, inbox.Options{SizePath: path, Widths: sizes}).TakeAll(t.Context(), nil)
	if err != nil || sum.Taken != 5 {
		t.Fatalf("%+v, %v", sum, err)
	}
	taken := sizesOnDisk(t, j)
	if r := write(t, j); r.Photos != 0 || r.Removed != 0 {
		t.Errorf("after the intake the pages made %d sizes and removed %d files", r.Photos, r.Removed)
	}
	v := viewOf(j.State, time.Time{}, nil)
	want := v.sizeFiles()
	if len(want) != 1+1+2+3+3 || len(taken) != len(want) {
		t.Errorf("%d sizes are wanted, the intake wrote %d", len(want), len(taken))
	}
	// Made by the pages alone they are the same bytes.
	if err := os.RemoveAll(j.Path("pages")); err != nil {
		t.Fatal(err)
	}
	if r := write(t, j); r.Photos != len(want) {
		t.Errorf("anew: %d sizes", r.Photos)
	}
	for name, data := range sizesOnDisk(t, j) {
		if !bytes.Equal(data, taken[name]) {
			t.Errorf("%s differs", name)
		}
	}
}

// Sizes of a file that is not kept in the end go with the next writing, also
// when the list was cut short in between.
func TestIntakeLeavesNoOrphan(t *testing.T) {
	j := newJournal(t)
	write(t, j)
	path, sizes := IntakeSizes(j)
	list := j.Path("pages/" + listName)
	data, err := os.ReadFile(list)
	if err != nil {
		t.Fatal(err)
	}
	if err := os.WriteFile(list, append(data, "photos/0123"...), 0o644); err != nil {
		t.Fatal(err)
	}
	src := filepath.Join(t.TempDir(), "swatch.jpg")
	noisy(t, src, 1000, 200, 1)
	if _, made, err := media.ReadSizes(src, path, sizes); err != nil || len(made) != 3 {
		t.Fatalf("%v, %v", made, err)
	}
	if n := len(sizesOnDisk(t, j)); n != 3 {
		t.Fatalf("%d sizes", n)
	}
	if r := write(t, j); r.Removed != 3 || r.Photos != 0 {
		t.Errorf("%+v", r)
	}
	if left := sizesOnDisk(t, j); len(left) != 0 {
		t.Errorf("%d sizes stay", len(left))
	}
}

// A file whose hash begins like that of a kept photo never lies over its sizes.
func TestIntakeSharedDigits(t *testing.T) {
	digits := "0123abcd"
	hash := func(end string) string { return digits + strings.Repeat(end, 56) }
	j := &journal.Journal{Dir: t.TempDir(), State: &journal.State{Photos: []*journal.Photo{{Hash: hash("0"), Width: 2000, Height: 1000}}}}
	path, _ := IntakeSizes(j)
	name := func(f media.Facts, width int) string { return filepath.Base(path(f, width)) }
	got := []string{
		name(media.Facts{Hash: hash("0"), Width: 2000}, 480), name(media.Facts{Hash: hash("1"), Width: 2000}, 480),
		name(media.Facts{Hash: "ffff0000" + hash("2"), Width: 2000}, 1600), name(media.Facts{Hash: "ffff0000" + hash("3"), Width: 500}, 1600),
	}
	want := []string{digits + "-480.jpg", digits + "11111111-480.jpg", "ffff0000-1600.jpg", "ffff0000" + digits + "-960.jpg"}
	if !slices.Equal(got, want) {
		t.Errorf("%v, want %v", got, want)
	}
}

// While one goroutine writes pages another takes a photo in: what it writes is
// neither forgotten nor taken away before a state shows the photo, and goes once
// one shows it no more.
func TestIntakeBesideWriting(t *testing.T) {
	j := newJournal(t)
	w := NewWriter(j)
	path, sizes := w.IntakeSizes()
	writeNow := func() Report {
		t.Helper()
		r, err := w.Write(t.Context(), j.State, Options{})
		if err != nil {
			t.Fatal(err)
		}
		return r
	}
	writeNow()
	noisy(t, filepath.Join(j.InboxDir(), "a.jpg"), 1000, 200, 5)
	if _, made, err := media.ReadSizes(filepath.Join(j.InboxDir(), "a.jpg"), path, sizes); err != nil || len(made) != 3 {
		t.Fatalf("%v, %v", made, err)
	}
	if r := writeNow(); r.Removed != 0 || len(sizesOnDisk(t, j)) != 3 {
		t.Errorf("sizes of a photo on its way were taken away: %+v", r)
	}
	if sum, err := inbox.New(j, inbox.Options{SizePath: path, Widths: sizes}).TakeAll(t.Context(), nil); err != nil || sum.Taken != 1 {
		t.Fatalf("%+v, %v", sum, err)
	}
	if r := writeNow(); r.Photos != 0 || r.Removed != 0 {
		t.Errorf("%+v", r)
	}
	if _, err := j.Append(journal.RetractBody{Record: j.State.Photos[0].Record}); err != nil {
		t.Fatal(err)
	}
	if r := writeNow(); r.Removed < 3 || len(sizesOnDisk(t, j)) != 0 {
		t.Errorf("sizes of a photo that is none any more stay: %+v", r)
	}

	// What is put on the list while pages are written stays on it.
	o, done := output{dir: j.Path("pages")}, make(chan error)
	go func() {
		var err error
		for i := range 40 {
			name := fmt.Sprintf("photos/%08x-480.jpg", i)
			w.coming.add(name)
			err = errors.Join(err, o.addToList(name))
		}
		done <- err
	}()
	for range 5 {
		writeNow()
	}
	if err := <-done; err != nil {
		t.Fatal(err)
	}
	writeNow()
	for i := range 40 {
		if name := fmt.Sprintf("photos/%08x-480.jpg", i); !slices.Contains(o.list(), name) {
			t.Errorf("%s was forgotten", name)
		}
	}
}

// opened counts how often files are opened to write, by their names.
type opened struct {
	disk.System
	lock  sync.Mutex
	names map[string]int
}

func (d *opened) OpenFile(path string, flag int, perm fs.FileMode) (disk.File, error) {
	d.lock.Lock()
	defer d.lock.Unlock()
	d.names[filepath.Base(path)]++
	return d.System.OpenFile(path, flag, perm)
}

// TestSizesAreListedTogether holds that a photo costs the list of our files one
// write, and one wait for the disk, whatever the count of its sizes.
func TestSizesAreListedTogether(t *testing.T) {
	j := newJournal(t)
	counted := &opened{names: map[string]int{}}
	defer disk.Mount(j.Dir, counted)()
	path, widths := IntakeSizes(j)
	for _, hash := range []string{strings.Repeat("ab", 32), strings.Repeat("cd", 32)} {
		for _, w := range widths {
			path(media.Facts{Hash: hash, Width: 4000}, w)
		}
	}
	if got := counted.names[listName]; got != 2 {
		t.Errorf("the list was opened %d times for two photos", got)
	}
	list, err := os.ReadFile(j.Path("pages/" + listName))
	if err != nil {
		t.Fatal(err)
	}
	for _, w := range widths {
		if name := fmt.Sprintf("-%d.jpg\n", w); strings.Count(string(list), name) != 2 {
			t.Errorf("%q is not on the list of each photo:\n%s", name, list)
		}
	}
}
