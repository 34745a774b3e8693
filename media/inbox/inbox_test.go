// Taking in: real camera pictures, duplicates, damage, crashes between steps.

package inbox

import (
	"bytes"
	"context"
	"fmt"
	"image"
	"image/jpeg"
	"os"
	"os/exec"
	"path/filepath"
	"runtime/pprof"
	"strings"
	"testing"
	"time"

	"rakelight/journal"
	"rakelight/journal/reason"
	"rakelight/journal/wording"
	"rakelight/media"
)

// bench makes a journal with two builds and returns it open.
func bench(t testing.TB) *journal.Journal {
	t.Helper()
	dir := filepath.Join(t.TempDir(), "bench")
	if err := journal.Create(dir, "Bench", "Europe/Lisbon", time.Date(2026, 3, 1, 0, 0, 0, 0, time.UTC)); err != nil {
		t.Fatal(err)
	}
	for id, title := range map[string]string{"pilot-boat": "Harbour pilot boat", "mail-seaplane": "Mail seaplane"} {
		path := filepath.Join(dir, "builds", id, "build.md")
		if err := os.MkdirAll(filepath.Dir(path), 0o755); err != nil {
			t.Fatal(err)
		}
		if err := os.WriteFile(path, []byte("---\ntitle: "+title+"\nscale: 1/48\n---\n"), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	j, err := journal.Open(dir)
	if err != nil {
		t.Fatal(err)
	}
	return j
}

// shot is a small JPEG; different numbers give different bytes.
func shot(t testing.TB, n int) []byte {
	t.Helper()
	img := image.NewGray(image.Rect(0, 0, 64, 48))
	for i := range img.Pix {
		img.Pix[i] = uint8(i * (n + 3))
	}
	var b bytes.Buffer
	if err := jpeg.Encode(&b, img, nil); err != nil {
		t.Fatal(err)
	}
	return b.Bytes()
}

// drop puts a file below the inbox and returns its path.
func drop(t testing.TB, j *journal.Journal, name string, data []byte) string {
	t.Helper()
	path := filepath.Join(j.InboxDir(), filepath.FromSlash(name))
	if err := os.MkdirAll(filepath.Dir(path), 0o755); err != nil {
		t.Fatal(err)
	}
	if err := os.WriteFile(path, data, 0o644); err != nil {
		t.Fatal(err)
	}
	return path
}

// originals counts the files under photos/.
func originals(t testing.TB, j *journal.Journal) int {
	t.Helper()
	n := 0
	if err := filepath.WalkDir(j.Path("photos"), func(_ string, d os.DirEntry, err error) error {
		if err == nil && !d.IsDir() {
			n++
		}
		return nil
	}); err != nil {
		t.Fatal(err)
	}
	return n
}

// The pictures whose name states another time than their EXIF, and why.
var namedOtherwise = map[string]string{
	"2099-08-12-19-59-29": "the camera's clock stands in 2099: shown, not chosen",
	"2216-11-15-11-46-51": "the camera's clock stands in 2216: shown, not chosen",
}

// withPixels puts a drawn picture behind the metadata of a camera's file: the
// collection holds the files' beginnings only.
func withPixels(t testing.TB, head []byte, n int) []byte {
	t.Helper()
	at := 2
	for at+4 <= len(head) && head[at] == 0xff && (head[at+1]&0xf0 == 0xe0 || head[at+1] == 0xfe) {
		end := at + 2 + int(head[at+2])<<8 + int(head[at+3])
		if end > len(head) {
			break
		}
		at = end
	}
	return append(bytes.Clone(head[:at]), shot(t, n)[2:]...)
}

// TestCameraPictures takes in the pictures of some fifty real cameras by the
// whole way a photo goes, under names that tell nothing, and compares the wall
// time of each with the one its own name states.
func TestCameraPictures(t *testing.T) {
	out, err := exec.Command("go", "list", "-m", "-f", "{{.Dir}}", "github.com/rwcarlsen/goexif").Output()
	if err != nil {
		t.Skipf("the pictures are not here: %v", err)
	}
	dir := filepath.Join(strings.TrimSpace(string(out)), "exif", "samples")
	entries, err := os.ReadDir(dir)
	if err != nil {
		t.Skipf("the pictures are not here: %v", err)
	}
	j := bench(t)
	want := make(map[string]string) // name in the inbox → name it had
	for i, e := range entries {
		if filepath.Ext(e.Name()) != ".jpg" {
			continue
		}
		data, err := os.ReadFile(filepath.Join(dir, e.Name()))
		if err != nil {
			t.Fatal(err)
		}
		name := fmt.Sprintf("picture-%02d.jpg", i)
		drop(t, j, name, withPixels(t, data, i))
		want[name] = e.Name()
	}
	sum, err := New(j, Options{}).TakeAll(context.Background(), nil)
	if err != nil {
		t.Fatal(err)
	}
	for _, o := range sum.Left {
		t.Logf("left: %s: %s", want[filepath.Base(o.Path)], o.Why)
	}
	agreed, stated := 0, 0
	seen := make(map[string]bool)
	for _, p := range j.State.Photos {
		old := want[p.Name]
		named, _, _ := strings.Cut(old, "-sep-")
		seen[old] = true
		switch _, err := time.Parse("2006-01-02-15-04-05", named); {
		case strings.Contains(old, "NoDate"):
			if p.Instant.Source != "file time" || !p.Instant.Doubts.Has(reason.FileTime) {
				t.Errorf("%s: %+v", old, p.Instant)
			}
		case err != nil: // its name states no time
		case namedOtherwise[named] != "":
			if p.Instant.Source != "file time" || !strings.Contains(wording.Doubts(p.Instant.Doubts), strings.Replace(named[:10], "-", ":", 2)) {
				t.Errorf("%s: %+v", old, p.Instant)
			}
		default:
			stated++
			if got := p.Instant.At.Format("2006-01-02-15-04-05"); got == named && p.Instant.Source != "file time" {
				agreed++
			} else {
				t.Errorf("%s: %s, %+v", old, got, p.Instant)
			}
		}
	}
	t.Logf("%d agreed of %d; %d taken in, %d duplicates, %d left; %d of impossible years told apart",
		agreed, stated, sum.Taken, sum.Duplicate, len(sum.Left), len(namedOtherwise))
	if stated < 40 || sum.Taken+sum.Duplicate+len(sum.Left) != len(want) {
		t.Errorf("only %d pictures with a time in the name were taken in", stated)
	}
	if !seen["FailedHash-NoDate-sep-remembory.jpg"] {
		t.Error("the picture without a date was not taken in")
	}
}

func TestTakeAll(t *testing.T) {
	j := bench(t)
	whole := shot(t, 1)
	a := drop(t, j, "pilot-boat/clean/before/a.jpg", whole)
	again := drop(t, j, "same.jpg", whole)
	notes := drop(t, j, "notes.txt", []byte("a shopping list"))
	film := drop(t, j, "b.jpg", []byte("RIFF\x18\x00\x00\x00AVI LIST"))
	cut := drop(t, j, "cut.jpg", whole[:len(whole)/2])
	empty := drop(t, j, "empty.jpg", nil)
	coming := drop(t, j, "c.jpg.part", whole)
	hidden := drop(t, j, ".hidden.jpg", whole)
	c := drop(t, j, "c.jpg", shot(t, 2))
	var told []string
	sum, err := New(j, Options{}).TakeAll(context.Background(), func(done, total int, o Outcome) {
		told = append(told, fmt.Sprintf("%d/%d %s %s", done, total, o.Path, o.Status))
	})
	if err != nil {
		t.Fatal(err)
	}
	want := []string{
		"1/7 inbox/b.jpg not-yet", "2/7 inbox/c.jpg taken", "3/7 inbox/cut.jpg set-aside", "4/7 inbox/empty.jpg waiting",
		"5/7 inbox/notes.txt set-aside", "6/7 inbox/pilot-boat/clean/before/a.jpg taken", "7/7 inbox/same.jpg duplicate",
	}
	if strings.Join(told, "\n") != strings.Join(want, "\n") {
		t.Errorf("told\n%s", strings.Join(told, "\n"))
	}
	if sum.Taken != 2 || sum.Duplicate != 1 || len(sum.Left) != 4 {
		t.Errorf("summary %+v", sum)
	}
	for _, o := range sum.Left {
		if !strings.HasSuffix(o.Why, "left in the inbox") || strings.HasSuffix(o.Why, ".") {
			t.Errorf("%s: %q", o.Path, o.Why)
		}
	}
	for _, path := range []string{a, again, c} {
		if exists(path) {
			t.Errorf("%s is still there", path)
		}
	}
	for _, path := range []string{notes, film, cut, empty, coming, hidden, filepath.Dir(a)} {
		if !exists(path) {
			t.Errorf("%s is gone", path)
		}
	}
	if originals(t, j) != 2 || len(j.State.Photos) != 2 {
		t.Errorf("%d originals, %d photos", originals(t, j), len(j.State.Photos))
	}
	p := j.State.FindPhoto("a.jpg")[0]
	if p.Tags.Build != "pilot-boat" || p.Tags.Stage != "clean" || p.Tags.Role != "before" || p.Folder != "pilot-boat/clean/before" {
		t.Errorf("photo %+v", p)
	}
	if kept, err := os.ReadFile(j.Path(p.Path)); err != nil || !bytes.Equal(kept, whole) {
		t.Errorf("the original is not what was dropped: %v", err)
	}
	if lines := strings.Join(Story(p, j.State), "\n"); !strings.Contains(lines, "clean: it lay in the folder clean") {
		t.Errorf("story\n%s", lines)
	}
}

// Once an interrupted run has returned, nothing reads or writes for it any more.
func TestInterruptedRunHasEnded(t *testing.T) {
	j := bench(t)
	large := image.NewGray(image.Rect(0, 0, 2400, 1800))
	for i := range 6 {
		large.Pix[i] = 255 // each unlike the others
		drop(t, j, fmt.Sprintf("%d.jpg", i), jpegOf(t, large, 90))
	}
	ctx, stop := context.WithCancel(t.Context())
	_, err := New(j, Options{Batch: 1}).TakeAll(ctx, func(done, total int, o Outcome) { stop() })
	var still strings.Builder
	if err := pprof.Lookup("goroutine").WriteTo(&still, 2); err != nil {
		t.Fatal(err)
	}
	if err == nil || strings.Contains(still.String(), "inbox.(*Inbox).look") {
		t.Fatalf("%v; there still runs:\n%s", err, &still)
	}
}

// TestCrashPoints stops between the steps and lets the next run finish.
func TestCrashPoints(t *testing.T) {
	whole := shot(t, 1)
	read := func(j *journal.Journal, path string) (media.Facts, journal.Instant) {
		f, err := media.Read(path)
		if err != nil {
			t.Fatal(err)
		}
		return f, media.Choose(f.Claims, f.Camera, nil, j.State.ZoneAt)
	}
	t.Run("placed, not recorded", func(t *testing.T) {
		j := bench(t)
		path := drop(t, j, "a.jpg", whole)
		f, at := read(j, path)
		if _, err := j.Place(path, f.Hash, at.At, ".jpg"); err != nil {
			t.Fatal(err)
		}
		if o := New(j, Options{}).TakeIn(path); o.Status != Taken || o.Photo == nil || exists(path) {
			t.Errorf("%+v", o)
		}
		if originals(t, j) != 1 || len(j.State.Photos) != 1 {
			t.Errorf("%d originals, %d photos", originals(t, j), len(j.State.Photos))
		}
	})
	t.Run("recorded, not cleared", func(t *testing.T) {
		j := bench(t)
		path := drop(t, j, "a.jpg", whole)
		in := New(j, Options{})
		if o := in.TakeIn(path); o.Status != Taken {
			t.Fatalf("%+v", o)
		}
		drop(t, j, "a.jpg", whole)
		for range 2 {
			if o := in.TakeIn(path); o.Photo != nil || exists(path) {
				t.Errorf("%+v", o)
			}
		}
		if originals(t, j) != 1 || len(j.State.Photos) != 1 {
			t.Errorf("%d originals, %d photos", originals(t, j), len(j.State.Photos))
		}
	})
	t.Run("the original is missing", func(t *testing.T) {
		j := bench(t)
		in := New(j, Options{})
		in.TakeIn(drop(t, j, "a.jpg", whole))
		kept := j.Path(j.State.Photos[0].Path)
		if err := os.Remove(kept); err != nil {
			t.Fatal(err)
		}
		// The same picture with another file time must come back to its place.
		path := drop(t, j, "later.jpg", whole)
		if err := os.Chtimes(path, time.Now(), time.Date(2020, 1, 1, 0, 0, 0, 0, time.UTC)); err != nil {
			t.Fatal(err)
		}
		if o := in.TakeIn(path); o.Status != Duplicate || exists(path) || !exists(kept) || !strings.Contains(o.Why, "put back") {
			t.Errorf("%+v", o)
		}
	})
	t.Run("the original was changed", func(t *testing.T) {
		j := bench(t)
		in := New(j, Options{})
		in.TakeIn(drop(t, j, "a.jpg", whole))
		if err := os.WriteFile(j.Path(j.State.Photos[0].Path), whole[:9], 0o644); err != nil {
			t.Fatal(err)
		}
		path := drop(t, j, "b.jpg", whole)
		if o := in.TakeIn(path); o.Status != Duplicate || !o.Notice || exists(path) || !strings.Contains(o.Why, "has been repaired") {
			t.Errorf("%+v", o)
		}
	})
	t.Run("the journal cannot be written", func(t *testing.T) {
		j := bench(t)
		if err := os.RemoveAll(j.Path("records")); err != nil {
			t.Fatal(err)
		}
		if err := os.WriteFile(j.Path("records"), nil, 0o644); err != nil {
			t.Fatal(err)
		}
		path := drop(t, j, "a.jpg", whole)
		if _, err := New(j, Options{}).TakeAll(context.Background(), nil); err == nil || !exists(path) {
			t.Errorf("error %v, the inbox copy is there: %v", err, exists(path))
		}
		if err := os.Remove(j.Path("records")); err != nil {
			t.Fatal(err)
		}
		if sum, err := New(j, Options{}).TakeAll(context.Background(), nil); err != nil || sum.Taken != 1 || originals(t, j) != 1 {
			t.Errorf("%+v, %v", sum, err)
		}
	})
}

func TestTakeFromElsewhere(t *testing.T) {
	j := bench(t)
	dir := filepath.Join(t.TempDir(), "mail-seaplane")
	path := filepath.Join(dir, "paint", "x.jpg")
	if err := os.MkdirAll(filepath.Dir(path), 0o755); err != nil {
		t.Fatal(err)
	}
	if err := os.WriteFile(path, shot(t, 4), 0o644); err != nil {
		t.Fatal(err)
	}
	for _, want := range []Summary{{Taken: 1}, {Duplicate: 1}} {
		sum, err := New(j, Options{}).Take(context.Background(), []string{dir}, nil)
		if err != nil || sum.Taken != want.Taken || sum.Duplicate != want.Duplicate || len(sum.Left) != 0 {
			t.Errorf("%+v, %v", sum, err)
		}
	}
	if !exists(path) {
		t.Error("the file elsewhere was taken away")
	}
	if p := j.State.Photos[0]; p.Tags.Build != "mail-seaplane" || p.Tags.Stage != "paint" {
		t.Errorf("tags %+v", p.Tags)
	}
	if _, err := New(j, Options{}).Take(context.Background(), []string{filepath.Join(dir, "none")}, nil); err == nil {
		t.Error("a missing path is no error")
	}
}

// TestMany keeps order and batches, and stops when told to.
func TestMany(t *testing.T) {
	j := bench(t)
	for i := range 25 {
		drop(t, j, fmt.Sprintf("p%02d.jpg", i), shot(t, i%20)) // five come twice
	}
	var order []string
	sum, err := New(j, Options{Batch: 4}).TakeAll(context.Background(), func(_, _ int, o Outcome) { order = append(order, o.Path) })
	if err != nil || sum.Taken != 20 || sum.Duplicate != 5 {
		t.Errorf("%+v, %v", sum, err)
	}
	for i, path := range order {
		if want := fmt.Sprintf("inbox/p%02d.jpg", i); path != want {
			t.Errorf("%d is %s", i, path)
		}
	}
	drop(t, j, "late.jpg", shot(t, 21))
	ctx, stop := context.WithCancel(context.Background())
	stop()
	if _, err := New(j, Options{}).TakeAll(ctx, nil); err != context.Canceled {
		t.Errorf("error %v", err)
	}
}

// Where a disk is full, the original comes before the sizes that can be made
// again. A size that lies in the original's way stands for the room it takes.
func TestOriginalBeforeItsSizes(t *testing.T) {
	j := bench(t)
	drop(t, j, "a.jpg", shot(t, 1))
	inTheWay := j.Path("photos/2026")
	in := New(j, Options{Widths: []int{480}, SizePath: func(media.Facts, int) string { return inTheWay }})
	sum, err := in.TakeAll(context.Background(), nil)
	if err != nil || sum.Taken != 1 || len(sum.Left) != 0 {
		t.Fatalf("%+v, %v", sum, err)
	}
	if info, err := os.Stat(inTheWay); err != nil || !info.IsDir() {
		t.Errorf("the size lies there still: %v, %v", info, err)
	}
}

// TakeIn takes one file in, and it alone.
func (in *Inbox) TakeIn(path string) Outcome {
	in.mu.Lock()
	defer in.mu.Unlock()
	outcomes, err := in.keep(context.Background(), []read{in.look(in.drop(path, ""), in.j.State)})
	if err != nil && len(outcomes) == 0 {
		return Outcome{Path: path, Status: SetAside, Why: err.Error()}
	}
	return outcomes[0]
}
