// Kept files that are damaged: each step of a repair cut short, and what a crash
// leaves behind.

package inbox

import (
	"bytes"
	"context"
	"os"
	"path/filepath"
	"strings"
	"sync"
	"testing"
	"time"

	"rakelight/journal"
)

// flip turns one bit of a file over; its size and its time of change stay.
func flip(t *testing.T, file string) []byte {
	t.Helper()
	info, err := os.Stat(file)
	if err != nil {
		t.Fatal(err)
	}
	data, err := os.ReadFile(file)
	if err != nil {
		t.Fatal(err)
	}
	data[len(data)/2] ^= 4
	if err := os.WriteFile(file, data, 0o644); err != nil {
		t.Fatal(err)
	}
	if err := os.Chtimes(file, info.ModTime(), info.ModTime()); err != nil {
		t.Fatal(err)
	}
	return data
}

// Each state of the folder a crash can leave a repair in is finished by the next
// run with the good copy: good bytes in place, damaged ones aside, one record.
func TestRepairCutShort(t *testing.T) {
	aside := func(j *journal.Journal, p *journal.Photo) string {
		return j.Path("inbox/aside/damaged/" + strings.TrimPrefix(p.Path, "photos/"))
	}
	copyAside := func(t *testing.T, j *journal.Journal, p *journal.Photo, damaged []byte) {
		if err := journal.WriteFile(aside(j, p), damaged); err != nil {
			t.Fatal(err)
		}
	}
	for name, crash := range map[string]func(*testing.T, *journal.Journal, *journal.Photo, []byte){
		"before anything":                     func(*testing.T, *journal.Journal, *journal.Photo, []byte) {},
		"damaged bytes aside, still in place": copyAside,
		"damaged bytes moved, nothing in place": func(t *testing.T, j *journal.Journal, p *journal.Photo, damaged []byte) {
			copyAside(t, j, p, damaged)
			if err := os.Remove(j.Path(p.Path)); err != nil {
				t.Fatal(err)
			}
		},
		"good bytes in place, not recorded": func(t *testing.T, j *journal.Journal, p *journal.Photo, damaged []byte) {
			copyAside(t, j, p, damaged)
			if err := os.WriteFile(j.Path(p.Path), shot(t, 1), 0o644); err != nil {
				t.Fatal(err)
			}
		},
	} {
		t.Run(name, func(t *testing.T) {
			j := bench(t)
			drop(t, j, "a.jpg", shot(t, 1))
			takeAll(t, j)
			p := j.State.Photos[0]
			damaged := flip(t, j.Path(p.Path))
			crash(t, j, p, damaged)
			good := drop(t, j, "good.jpg", shot(t, 1))
			if sum := takeAll(t, j); sum.Duplicate != 1 || len(sum.Notices) != 1 || exists(good) {
				t.Errorf("%+v", sum)
			}
			if got, err := os.ReadFile(j.Path(p.Path)); err != nil || !bytes.Equal(got, shot(t, 1)) {
				t.Errorf("the original is not good: %v", err)
			}
			if got, err := os.ReadFile(aside(j, p)); err != nil || !bytes.Equal(got, damaged) {
				t.Errorf("the damaged bytes are not aside: %v", err)
			}
			if len(j.State.Repairs) != 1 || j.State.Repairs[0].Was == "" || len(j.State.Photos) != 1 {
				t.Errorf("%+v", j.State.Repairs)
			}
			// Once more: nothing to mend, no further record.
			drop(t, j, "good.jpg", shot(t, 1))
			if sum := takeAll(t, j); sum.Duplicate != 1 || len(sum.Notices) != 0 || len(j.State.Repairs) != 1 {
				t.Errorf("%+v, %+v", sum, j.State.Repairs)
			}
			if found := j.Check(true); len(found) != 1 || found[0].Kind != journal.DamagedBytes {
				t.Errorf("%+v", found)
			}
		})
	}
}

// Two damages of one photo: both are kept aside. The raw picture beside a photo is
// put right like the photo.
func TestRepairTwiceAndBeside(t *testing.T) {
	j := bench(t)
	raw, shown := shots(t, 1, shotAt)
	drop(t, j, "IMG_1.DNG", raw)
	drop(t, j, "IMG_1.JPG", shown)
	takeAll(t, j)
	p := j.State.Photos[0]
	for range 2 {
		flip(t, j.Path(p.Path))
		flip(t, j.Path(p.Beside[0].Path))
		data, err := os.ReadFile(j.Path(p.Path))
		if err != nil {
			t.Fatal(err)
		}
		data[9]++ // another damage each time
		if err := os.WriteFile(j.Path(p.Path), append(data, byte(len(j.State.Repairs))), 0o644); err != nil {
			t.Fatal(err)
		}
		drop(t, j, "IMG_1.DNG", raw)
		drop(t, j, "IMG_1.JPG", shown)
		if sum := takeAll(t, j); sum.Duplicate != 2 || len(sum.Notices) != 2 {
			t.Errorf("%+v", sum)
		}
	}
	for _, f := range j.Check(true) {
		if f.Error {
			t.Errorf("%+v", f)
		}
	}
	asides := map[string]bool{}
	for _, r := range j.State.Repairs {
		asides[r.Aside] = exists(j.Path(r.Aside))
	}
	if len(j.State.Repairs) != 4 || len(asides) != 3 { // the raw picture was damaged the same way twice
		t.Errorf("%+v", j.State.Repairs)
	}
	for aside, here := range asides {
		if !here {
			t.Errorf("%s is not there", aside)
		}
	}
}

// leftBehind puts a file where a copy lies before it has its name.
func leftBehind(t *testing.T, j *journal.Journal, name string, data []byte) string {
	t.Helper()
	file := j.Path("photos/2026/03/.rakelight-" + name + ".tmp")
	if err := os.MkdirAll(filepath.Dir(file), 0o755); err != nil {
		t.Fatal(err)
	}
	if err := os.WriteFile(file, data, 0o644); err != nil {
		t.Fatal(err)
	}
	return file
}

// What a killed run left in photos/: a part of a picture goes, a whole one that
// is kept goes, and one that is nowhere else is taken in. By a watch as well.
func TestLeftBehind(t *testing.T) {
	for name, run := range map[string]func(*testing.T, *journal.Journal){
		"take": func(t *testing.T, j *journal.Journal) { takeAll(t, j) },
		"watch": func(t *testing.T, j *journal.Journal) {
			next(t, watch(t, j, Options{NoEvents: true, Poll: 20 * time.Millisecond}), "found-")
		},
	} {
		t.Run(name, func(t *testing.T) {
			j := bench(t)
			file := drop(t, j, "pilot-boat/kept.jpg", shot(t, 1))
			if err := os.Chtimes(file, time.Time{}, time.Date(2026, 3, 14, 20, 0, 0, 0, time.UTC)); err != nil {
				t.Fatal(err)
			}
			takeAll(t, j)
			kept := j.State.Photos[0]
			flip(t, j.Path(kept.Path))
			drop(t, j, "pilot-boat/new.jpg", shot(t, 2))
			files := []string{
				leftBehind(t, j, "kept", shot(t, 1)), // and the kept one is damaged: this copy is the good one
				leftBehind(t, j, "new", shot(t, 2)),  // the inbox has it still, with its folder
				leftBehind(t, j, "torn", shot(t, 3)[:300]),
				leftBehind(t, j, "only", shot(t, 4)),
				j.Path("photos/2026/03/.rakelight-a.tmp"), // killed just after it had its name; damaged since
			}
			if err := os.Link(j.Path(kept.Path), files[4]); err != nil {
				t.Skipf("no links here: %v", err)
			}
			if err := os.Remove(j.Path(".cache/intake-ended")); err != nil { // it was killed
				t.Fatal(err)
			}
			run(t, j)
			await(t, "all was cleared", func() bool { return j.IntakeEnded() })
			for _, file := range files {
				if exists(file) {
					t.Errorf("%s is still there", file)
				}
			}
			j = opened(t, j)
			if len(j.State.Photos) != 3 {
				t.Fatalf("%d photos", len(j.State.Photos))
			}
			if n, err := New(j, Options{}).Count(); n != 0 || err != nil {
				t.Errorf("%d files lie in the inbox, %v", n, err)
			}
			if p := j.State.FindPhoto("new.jpg"); len(p) != 1 || p[0].Tags.Build != "pilot-boat" {
				t.Errorf("the picture from the inbox lost its folder: %+v", p)
			}
			for _, f := range j.Check(true) {
				if f.Error {
					t.Errorf("%+v", f)
				}
			}
		})
	}
}

// Two takes and a watch at once record each photo once.
func TestSeveralAtOnce(t *testing.T) {
	j := bench(t)
	const n = 24
	for i := range n {
		drop(t, j, "p"+string(rune('a'+i))+".jpg", shot(t, i))
	}
	var wg sync.WaitGroup
	ctx, stop := context.WithCancel(context.Background())
	defer stop()
	for i := range 3 {
		other := opened(t, j)
		wg.Go(func() {
			if i == 2 {
				_ = New(other, Options{Settle: time.Millisecond, Poll: time.Millisecond, NoEvents: true}).Watch(ctx, func(Outcome) {})
				return
			}
			sum, err := New(other, Options{Batch: 3}).TakeAll(context.Background(), nil)
			if err != nil {
				t.Error(err)
			}
			for _, o := range sum.Left { // what another took in is nobody's to see to
				t.Errorf("%s is left: %s", o.Path, o.Why)
			}
		})
	}
	await(t, "the inbox is empty", func() bool {
		left, err := New(j, Options{}).Count()
		return err == nil && left == 0
	})
	stop()
	wg.Wait()
	if err := j.Reload(); err != nil {
		t.Fatal(err)
	}
	if len(j.State.Photos) != n || photoRecords(t, j) != n || originals(t, j) != n {
		t.Errorf("%d photos, %d records, %d originals of %d", len(j.State.Photos), photoRecords(t, j), originals(t, j), n)
	}
}

// photoRecords counts the records of photos in the records files.
func photoRecords(t testing.TB, j *journal.Journal) int {
	t.Helper()
	files, err := filepath.Glob(filepath.Join(j.Dir, "records", "*", "*.jsonl"))
	if err != nil {
		t.Fatal(err)
	}
	n := 0
	for _, file := range files {
		data, err := os.ReadFile(file)
		if err != nil {
			t.Fatal(err)
		}
		n += bytes.Count(data, []byte(`"kind":"photo"`))
	}
	return n
}

// A link in the place of an original that leads elsewhere is no kept photo, even
// if the same bytes lie there: a good copy does not leave for its sake, and mends
// it once the link is gone.
func TestLinkInPlaceOfOriginal(t *testing.T) {
	j := bench(t)
	picture := shot(t, 1)
	drop(t, j, "a.jpg", picture)
	takeAll(t, j)
	kept := j.Path(j.State.Photos[0].Path)
	elsewhere := filepath.Join(t.TempDir(), "a.jpg")
	if err := os.Rename(kept, elsewhere); err != nil {
		t.Fatal(err)
	}
	if err := os.Symlink(elsewhere, kept); err != nil {
		t.Skip("no links here:", err)
	}
	good := drop(t, j, "good.jpg", picture)
	if takeAll(t, j); !exists(good) {
		t.Fatal("the good copy left although nothing is kept in the journal")
	}
	found := j.Check(true)
	if len(found) != 1 || !found[0].Error || !strings.Contains(found[0].What, "remove the link") {
		t.Errorf("%+v", found)
	}
	if err := os.Remove(kept); err != nil {
		t.Fatal(err)
	}
	if takeAll(t, j); exists(good) || len(j.Check(true)) != 0 {
		t.Errorf("not mended: %+v", j.Check(true))
	}
}

// A folder in the place of an original is called what it is.
func TestFolderInPlaceOfOriginal(t *testing.T) {
	j := bench(t)
	drop(t, j, "a.jpg", shot(t, 1))
	takeAll(t, j)
	kept := j.Path(j.State.Photos[0].Path)
	if err := os.Remove(kept); err != nil {
		t.Fatal(err)
	}
	if err := os.Mkdir(kept, 0o755); err != nil {
		t.Fatal(err)
	}
	found := j.Check(true)
	if len(found) != 1 || !found[0].Error || !strings.Contains(found[0].What, "folder") {
		t.Errorf("%+v", found)
	}
}

// Damaged bytes that lie aside are told of once, however often the same damage
// was repaired.
func TestSameDamageTwice(t *testing.T) {
	j := bench(t)
	picture := shot(t, 1)
	drop(t, j, "a.jpg", picture)
	takeAll(t, j)
	for range 2 {
		flip(t, j.Path(j.State.Photos[0].Path))
		drop(t, j, "good.jpg", picture)
		takeAll(t, j)
	}
	if found := j.Check(true); len(j.State.Repairs) != 2 || len(found) != 1 || found[0].Kind != journal.DamagedBytes {
		t.Errorf("%d repairs: %+v", len(j.State.Repairs), found)
	}
}

// A file that is gone when its turn comes is not told as left where it is.
func TestGoneBeforeItsTurn(t *testing.T) {
	j := bench(t)
	in := New(j, Options{})
	drop(t, j, "a.jpg", shot(t, 1))
	d := in.drop(filepath.Join(j.InboxDir(), "a.jpg"), "")
	if err := os.Remove(d.Path); err != nil {
		t.Fatal(err)
	}
	sum, err := in.run(context.Background(), []Dropped{d}, nil)
	if err != nil || sum.Gone != 1 || len(sum.Left) != 0 {
		t.Errorf("%+v, %v", sum, err)
	}
}
