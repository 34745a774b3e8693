// Leaving the inbox: files that go on growing, that change, that cannot leave,
// and each step of it cut short.

package inbox

import (
	"bytes"
	"context"
	"image"
	"image/color"
	"image/gif"
	"os"
	"path/filepath"
	"runtime"
	"strings"
	"testing"
	"time"

	"rakelight/journal"
)

// leaving lists what lies in inbox/.leaving.
func leaving(t testing.TB, j *journal.Journal) []string {
	t.Helper()
	var list []string
	_ = filepath.WalkDir(filepath.Join(j.InboxDir(), leavingDir), func(file string, d os.DirEntry, err error) error {
		if err == nil && !d.IsDir() {
			list = append(list, file)
		}
		return nil
	})
	return list
}

// holds fails unless the journal's only photo is these bytes.
func holds(t testing.TB, j *journal.Journal, whole []byte) *journal.Photo {
	t.Helper()
	if len(j.State.Photos) != 1 {
		t.Fatalf("%d photos", len(j.State.Photos))
	}
	p := j.State.Photos[0]
	if got, err := os.ReadFile(j.Path(p.Path)); err != nil || !bytes.Equal(got, whole) {
		t.Errorf("the photo is not what was written: %d bytes of %d, %v", len(got), len(whole), err)
	}
	if found := j.Check(true); len(found) != 0 {
		t.Errorf("%+v", found)
	}
	return p
}

// film is what a telephone writes behind the picture.
func film(n int) []byte {
	return append([]byte("\x00\x00\x00\x18ftypmp42"), bytes.Repeat([]byte("moving "), n)...)
}

// A writer that pauses for longer than a file takes to settle, and holds its
// file open all the while: the whole of it is kept in the end, and what was
// said of its beginning counts for the whole.
func TestWriterThatPauses(t *testing.T) {
	if runtime.GOOS == "windows" {
		t.Skip("an open file is not renamed there: it stays in the inbox")
	}
	j := bench(t)
	whole := append(shot(t, 1), film(900)...)
	picture := len(shot(t, 1))
	outcomes := watch(t, j, Options{Settle: 40 * time.Millisecond, Poll: 20 * time.Millisecond, Leave: 400 * time.Millisecond, NoEvents: true})
	path := drop(t, j, "pilot-boat/clean/moving.jpg", nil)
	writer, err := os.OpenFile(path, os.O_WRONLY, 0)
	if err != nil {
		t.Fatal(err)
	}
	defer writer.Close()
	write := func(part []byte) {
		if _, err := writer.Write(part); err != nil {
			t.Fatal(err)
		}
	}
	write(whole[:picture])
	first := nextTaken(t, outcomes)
	if exists(path) || first.Photo.Tags.Stage != "clean" {
		t.Errorf("%+v", first)
	}
	if _, err := opened(t, j).Append(journal.TagBody{Photo: first.Photo.Hash, Set: journal.Tags{Role: "after"}}); err != nil {
		t.Fatal(err)
	}
	write(whole[picture : picture+1000])
	write(whole[picture+1000:])
	second := nextTaken(t, outcomes)
	if second.Path != "inbox/pilot-boat/clean/moving.jpg" || !strings.Contains(second.Why, "went on growing") {
		t.Errorf("%+v", second)
	}
	await(t, "all has left", func() bool { return len(leaving(t, j)) == 0 })
	fresh := opened(t, j)
	p := holds(t, fresh, whole)
	if p.Tags.Role != "after" || p.Tags.Stage != "clean" || len(p.Beside) != 1 || p.Beside[0].Size != int64(picture) || len(fresh.State.Problems) != 0 {
		t.Errorf("%+v, %v", p, fresh.State.Problems)
	}
	if story := strings.Join(Story(p, fresh.State), "\n"); !strings.Contains(story, "the beginning of it, taken in before") {
		t.Error(story)
	}
}

// opened is the same journal as another process opens it.
func opened(t testing.TB, j *journal.Journal) *journal.Journal {
	t.Helper()
	other, err := journal.Open(j.Dir)
	if err != nil {
		t.Fatal(err)
	}
	return other
}

// nextTaken waits for the next photo; a first look may have met the file empty.
func nextTaken(t *testing.T, from <-chan Outcome) Outcome {
	t.Helper()
	for {
		if o := next(t, from, "moving.jpg"); o.Status == Taken {
			return o
		}
	}
}

// await waits for something to become true.
func await(t *testing.T, what string, so func() bool) {
	t.Helper()
	for late := time.Now().Add(30 * time.Second); !so(); time.Sleep(10 * time.Millisecond) {
		if time.Now().After(late) {
			t.Fatalf("waited in vain: %s", what)
		}
	}
}

// clock is a run's clock that a test moves.
type clock struct{ now time.Time }

func (c *clock) options() Options { return Options{Now: func() time.Time { return c.now }} }

func (c *clock) take(t *testing.T, j *journal.Journal) Summary {
	t.Helper()
	sum, err := New(j, c.options()).TakeAll(context.Background(), nil)
	if err != nil {
		t.Fatal(err)
	}
	return sum
}

// grow appends to a file that left, as a writer that holds it open does.
func grow(t *testing.T, j *journal.Journal, more []byte) {
	t.Helper()
	files := leaving(t, j)
	if len(files) != 1 {
		t.Fatalf("%d files are leaving", len(files))
	}
	f, err := os.OpenFile(files[0], os.O_APPEND|os.O_WRONLY, 0)
	if err == nil {
		_, err = f.Write(more)
		f.Close()
	}
	if err != nil {
		t.Fatal(err)
	}
}

// A copy that left goes for good at a later start, and not before its time; what
// grew is taken in at the next start.
func TestLeavingByStarts(t *testing.T) {
	j := bench(t)
	c := &clock{time.Now()}
	drop(t, j, "a.jpg", shot(t, 1))
	c.take(t, j)
	c.now = c.now.Add(4 * time.Minute)
	if c.take(t, j); len(leaving(t, j)) != 1 {
		t.Fatal("it went before its time")
	}
	grow(t, j, film(50))
	if sum := c.take(t, j); sum.Taken != 1 || len(sum.Notices) != 1 {
		t.Errorf("%+v", sum)
	}
	grow(t, j, film(70)) // and once more: the same again
	c.take(t, j)
	whole := append(append(shot(t, 1), film(50)...), film(70)...)
	if p := holds(t, j, whole); len(p.Beside) != 2 || originals(t, j) != 3 {
		t.Errorf("%+v, %d originals", p.Beside, originals(t, j))
	}
	c.now = c.now.Add(6 * time.Minute)
	if sum := c.take(t, j); sum.Taken+sum.Duplicate != 0 || len(leaving(t, j)) != 0 || exists(filepath.Join(j.InboxDir(), leavingDir)) {
		t.Errorf("%+v, %v", sum, leaving(t, j))
	}
}

// A sync program that rounds the time of change makes no other file of it.
func TestLeavingTouched(t *testing.T) {
	j := bench(t)
	c := &clock{time.Now()}
	drop(t, j, "a.jpg", shot(t, 1))
	c.take(t, j)
	if err := os.Chtimes(leaving(t, j)[0], time.Time{}, time.Unix(1_700_000_000, 0)); err != nil {
		t.Fatal(err)
	}
	if sum := c.take(t, j); sum.Duplicate != 0 || len(leaving(t, j)) != 1 {
		t.Errorf("%+v", sum)
	}
	c.now = c.now.Add(6 * time.Minute)
	if c.take(t, j); len(leaving(t, j)) != 0 {
		t.Error("it stays for good")
	}
}

// A GIF whose beginning decodes is not taken in before the rest has come.
func TestGIFThatPauses(t *testing.T) {
	j := bench(t)
	g := gif.GIF{}
	for n := range 3 {
		frame := image.NewPaletted(image.Rect(0, 0, 40, 30), color.Palette{color.Black, color.White})
		for i := range frame.Pix {
			frame.Pix[i] = uint8(i*(n+2)) % 2
		}
		g.Image, g.Delay = append(g.Image, frame), append(g.Delay, 10)
	}
	var b bytes.Buffer
	if err := gif.EncodeAll(&b, &g); err != nil {
		t.Fatal(err)
	}
	path := drop(t, j, "a.gif", b.Bytes()[:b.Len()-50])
	if sum := takeAll(t, j); sum.Taken != 0 || len(sum.Left) != 1 || !exists(path) {
		t.Errorf("take: %+v", sum)
	}
	outcomes := watch(t, j, Options{NoEvents: true, Poll: 20 * time.Millisecond})
	if o := next(t, outcomes, "a.gif"); o.Status != Waiting || !strings.Contains(o.Why, "still being copied") {
		t.Errorf("watch: %+v", o)
	}
	drop(t, j, "a.gif", b.Bytes())
	if o := next(t, outcomes, "a.gif"); o.Status != Taken || o.Photo.Size != int64(b.Len()) {
		t.Errorf("watch: %+v", o)
	}
	holds(t, opened(t, j), b.Bytes())
}

// A clock that was set back keeps nothing for ever.
func TestLeavingWithAWrongClock(t *testing.T) {
	j := bench(t)
	c := &clock{time.Now().AddDate(7, 0, 0)}
	drop(t, j, "a.jpg", shot(t, 1))
	c.take(t, j)
	c.now = c.now.AddDate(-7, 0, 0)
	if c.take(t, j); len(leaving(t, j)) != 0 {
		t.Error("it waits for its year")
	}
}

// Killed after the record and before the file left, or on a system that renames
// no open file: the file grew in the inbox, under its name.
func TestGrewInTheInbox(t *testing.T) {
	j := bench(t)
	c := &clock{time.Now()}
	path := drop(t, j, "pilot-boat/a.jpg", shot(t, 1))
	c.take(t, j)
	whole := append(shot(t, 1), film(40)...)
	drop(t, j, "pilot-boat/a.jpg", whole)
	drop(t, j, "a.jpg", append(shot(t, 1), film(30)...)) // of another folder: another file
	if sum := c.take(t, j); sum.Taken != 2 || len(sum.Notices) != 1 || sum.Notices[0].Path != "inbox/pilot-boat/a.jpg" || exists(path) {
		t.Errorf("%+v", sum)
	}
	p, _, ok := j.State.Kept(hashOf(whole))
	if !ok || p.Size != int64(len(whole)) || len(p.Beside) != 1 || len(j.State.Photos) != 2 || len(j.Check(true)) != 0 {
		t.Errorf("%+v, %d photos", p, len(j.State.Photos))
	}
}

// What became something else is no whole of what was taken in: another picture
// is a photo of its own, and what is none goes back into the inbox.
func TestChangedWhileLeaving(t *testing.T) {
	j := bench(t)
	c := &clock{time.Now()}
	drop(t, j, "mail-seaplane/a.jpg", shot(t, 1))
	c.take(t, j)
	write := func(data []byte) {
		if err := os.WriteFile(leaving(t, j)[0], data, 0o644); err != nil {
			t.Fatal(err)
		}
	}
	write(shot(t, 2))
	if sum := c.take(t, j); sum.Taken != 1 || len(j.State.Photos) != 2 || j.State.Photos[1].Tags.Build != "mail-seaplane" {
		t.Errorf("%+v, %d photos", sum, len(j.State.Photos))
	}
	write([]byte("no picture any more"))
	sum := c.take(t, j)
	if len(sum.Left) != 1 || sum.Left[0].Path != "inbox/mail-seaplane/a.jpg" || !exists(j.Path("inbox/mail-seaplane/a.jpg")) || len(leaving(t, j)) != 0 {
		t.Errorf("%+v, %v", sum, leaving(t, j))
	}
	if len(j.State.Photos) != 2 || len(j.Check(true)) != 0 {
		t.Errorf("%+v", j.Check(true))
	}
}

// A photo taken back while its copy leaves is not taken in again, and the copy
// stays; one whose original was lost meanwhile is put back from it.
func TestTakenBackWhileLeaving(t *testing.T) {
	j := bench(t)
	c := &clock{time.Now()}
	drop(t, j, "a.jpg", shot(t, 1))
	drop(t, j, "b.jpg", shot(t, 2))
	c.take(t, j)
	a, b := j.State.FindPhoto("a.jpg")[0], j.State.FindPhoto("b.jpg")[0]
	if _, err := j.Append(journal.RetractBody{Record: a.Record}); err != nil {
		t.Fatal(err)
	}
	if err := os.Remove(j.Path(b.Path)); err != nil {
		t.Fatal(err)
	}
	c.now = c.now.Add(6 * time.Minute)
	sum := c.take(t, j)
	if len(sum.Notices) != 1 || !strings.Contains(sum.Notices[0].Why, "put back") || len(j.State.Photos) != 1 || !exists(j.Path(b.Path)) {
		t.Errorf("%+v, %d photos", sum, len(j.State.Photos))
	}
	gone := New(j, c.options()).Gone()
	if len(gone) != 1 || !strings.HasSuffix(gone[0], "/a.jpg") || !exists(j.Path(gone[0])) {
		t.Errorf("%v", gone)
	}
}

// A copy that cannot leave is said each time, with the reason, and leaves when
// it can.
func TestStuck(t *testing.T) {
	j := bench(t)
	path := drop(t, j, "a.jpg", shot(t, 1))
	block := drop(t, j, leavingDir, nil) // a file where the folder should be
	for _, taken := range []int{1, 0, 0} {
		sum := takeAll(t, j)
		if sum.Taken != taken || sum.Duplicate != 1-taken || len(sum.Stuck) != 1 || sum.Stuck[0].Stuck != "not a directory" || !exists(path) {
			t.Errorf("%+v", sum)
		}
	}
	if err := os.Remove(block); err != nil {
		t.Fatal(err)
	}
	if sum := takeAll(t, j); len(sum.Stuck) != 0 || exists(path) || len(j.State.Photos) != 1 {
		t.Errorf("%+v", sum)
	}
}

// A whole raw picture whose beginning was kept beside its photo lies beside it
// as well.
func TestRawThatGrew(t *testing.T) {
	j := bench(t)
	raw, shown := shots(t, 1, shotAt)
	c := &clock{time.Now()}
	drop(t, j, "IMG_1.JPG", shown)
	c.take(t, j)
	c.now = c.now.Add(6 * time.Minute)
	drop(t, j, "IMG_1.DNG", raw)
	c.take(t, j)
	grow(t, j, []byte("the rest of the raw picture"))
	if sum := c.take(t, j); sum.Taken != 1 {
		t.Errorf("%+v", sum)
	}
	if p := holds(t, j, shown); len(p.Beside) != 2 || len(j.State.Problems) != 0 {
		t.Errorf("%+v, %v", p.Beside, j.State.Problems)
	}
}

func TestStamp(t *testing.T) {
	for _, mtime := range []time.Time{time.Now(), time.Unix(0, 0), time.Date(1904, 1, 1, 0, 0, 0, 5, time.UTC)} {
		want := stamp{time.Now().UTC().Truncate(time.Millisecond), strings.Repeat("0a", 8), 1 << 40, mtime}
		got, ok := parseStamp(want.String())
		if !ok || !got.at.Equal(want.at) || got.hash != want.hash || got.size != want.size || !got.mtime.Equal(want.mtime) {
			t.Errorf("%s: %+v, %v", want, got, ok)
		}
	}
	for _, name := range []string{"", "x", "20260314T193205.000-1f3a-5-0", "20260314T193205.000-" + strings.Repeat("a", 16) + "-x-0"} {
		if _, ok := parseStamp(name); ok {
			t.Errorf("%q is no stamp", name)
		}
	}
}

// Emptied folders of the inbox go when their files have gone for good; not one in
// which anything lies, hidden or not, nor one that was made or used just now.
func TestEmptiedFoldersGo(t *testing.T) {
	j := bench(t)
	drop(t, j, "pilot-boat/clean/a.jpg", shot(t, 1))
	drop(t, j, "pilot-boat/paint/b.jpg", shot(t, 2))
	drop(t, j, "pilot-boat/paint/.notes", []byte("mine"))
	drop(t, j, "pilot-boat/seam/c.jpg", shot(t, 3))
	drop(t, j, "lorry/clean/d.jpg", shot(t, 4))
	drop(t, j, "lorry/clean/notes.txt", []byte("mine"))
	drop(t, j, "seaplane/clean/e.jpg", shot(t, 5))
	now := time.Now()
	take := func() {
		t.Helper()
		if _, err := New(j, Options{Now: func() time.Time { return now }}).TakeAll(context.Background(), nil); err != nil {
			t.Fatal(err)
		}
	}
	lies := func(folder string) bool { return exists(filepath.Join(j.InboxDir(), filepath.FromSlash(folder))) }
	take()
	for _, folder := range []string{"pilot-boat/clean", "seaplane/clean"} {
		if !lies(folder) {
			t.Errorf("%s went while its file could come back", folder)
		}
	}
	now = now.Add(10 * time.Minute)
	// The person uses one of them just now, and makes another.
	if err := os.Chtimes(filepath.Join(j.InboxDir(), "pilot-boat", "seam"), now, now); err != nil {
		t.Fatal(err)
	}
	if err := os.MkdirAll(filepath.Join(j.InboxDir(), "lightship", "clean"), 0o755); err != nil {
		t.Fatal(err)
	}
	take()
	for folder, want := range map[string]bool{
		"pilot-boat/clean": false, "pilot-boat/paint/.notes": true, "pilot-boat/seam": true,
		"lorry/clean/notes.txt": true, "seaplane": false, "lightship/clean": true,
	} {
		if lies(folder) != want {
			t.Errorf("%s: is it there? %v", folder, !want)
		}
	}
}

// A link in the inbox is taken in as what it leads to, and goes; what it leads to
// is the person's and stays.
func TestLinkLeaves(t *testing.T) {
	j := bench(t)
	elsewhere := filepath.Join(t.TempDir(), "a.jpg")
	if err := os.WriteFile(elsewhere, shot(t, 1), 0o644); err != nil {
		t.Fatal(err)
	}
	link := filepath.Join(j.InboxDir(), "a.jpg")
	if err := os.Symlink(elsewhere, link); err != nil {
		t.Skip("no links here:", err)
	}
	if sum := takeAll(t, j); sum.Taken != 1 || len(sum.Stuck) != 0 || exists(link) || !exists(elsewhere) {
		t.Errorf("%+v; the link is there: %v, the picture: %v", sum, exists(link), exists(elsewhere))
	}
	if list := New(j, Options{}).leavers(); len(list) != 0 {
		t.Errorf("a link is leaving, for ever: %+v", list)
	}
}
