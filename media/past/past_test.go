// Tests of looking through old pictures and bringing them in.

package past

import (
	"bytes"
	"context"
	"encoding/json"
	"fmt"
	"image"
	"image/color"
	"image/jpeg"
	"math/rand/v2"
	"os"
	"path/filepath"
	"runtime/pprof"
	"strings"
	"testing"
	"time"

	"rakelight/journal"
	"rakelight/journal/entry"
	"rakelight/media/inbox"
	"rakelight/media/scene"
)

const build = "---\ntitle: Pilot boat\nscale: 1/48\nstages: [cut, clean, paint]\n---\n"

// newJournal is an empty journal with one build.
func newJournal(t testing.TB) *journal.Journal {
	t.Helper()
	dir := filepath.Join(t.TempDir(), "bench")
	if err := journal.Create(dir, "bench", "Europe/Lisbon", time.Now()); err != nil {
		t.Fatal(err)
	}
	put(t, filepath.Join(dir, "builds", "pilot-boat", "build.md"), []byte(build))
	j, err := journal.Open(dir)
	if err != nil {
		t.Fatal(err)
	}
	return j
}

func put(t testing.TB, name string, data []byte) {
	t.Helper()
	if err := os.MkdirAll(filepath.Dir(name), 0o755); err != nil {
		t.Fatal(err)
	}
	if err := os.WriteFile(name, data, 0o644); err != nil {
		t.Fatal(err)
	}
}

// drawn is a picture of its own for each number: soft patches of light.
func drawn(n uint64, w, h int) *image.RGBA {
	rng := rand.New(rand.NewPCG(n, 15))
	var light [10][11]float64
	for y := range light {
		for x := range light[y] {
			light[y][x] = float64(40 + rng.IntN(170))
		}
	}
	img := image.NewRGBA(image.Rect(0, 0, w, h))
	for y := range h {
		for x := range w {
			fx, fy := float64(x)*9/float64(w), float64(y)*8/float64(h)
			i, k := int(fx), int(fy)
			fx, fy = fx-float64(i), fy-float64(k)
			v := uint8((light[k][i]*(1-fx)+light[k][i+1]*fx)*(1-fy) + (light[k+1][i]*(1-fx)+light[k+1][i+1]*fx)*fy)
			img.SetRGBA(x, y, color.RGBA{v, v, v - 20, 255})
		}
	}
	return img
}

// photographed is a picture as a camera writes it.
func photographed(t testing.TB, n uint64, at time.Time) []byte {
	t.Helper()
	var b bytes.Buffer
	if err := scene.WriteJPEG(&b, drawn(n, 360, 270), scene.Exif{Make: "Tarrow", Model: "P5", At: at}); err != nil {
		t.Fatal(err)
	}
	return b.Bytes()
}

// sent is what a messenger makes of it.
func sent(t testing.TB, n uint64) []byte {
	t.Helper()
	var b bytes.Buffer
	if err := jpeg.Encode(&b, drawn(n, 240, 180), &jpeg.Options{Quality: 70}); err != nil {
		t.Fatal(err)
	}
	return b.Bytes()
}

func day(n int) time.Time { return time.Date(2021, 3, n, 20, 0, 0, 0, time.UTC) }

// oldFolder holds four pictures of two evenings, one of them twice, one as a copy too,
// and two files that are none.
func oldFolder(t testing.TB) string {
	dir := filepath.Join(t.TempDir(), "old phone")
	put(t, filepath.Join(dir, "a.jpg"), photographed(t, 1, day(1)))
	put(t, filepath.Join(dir, "boat", "b.jpg"), photographed(t, 2, day(1).Add(time.Hour)))
	put(t, filepath.Join(dir, "boat", "c.jpg"), photographed(t, 3, day(5)))
	put(t, filepath.Join(dir, "boat", "d.jpg"), photographed(t, 4, day(5).Add(5*time.Minute)))
	put(t, filepath.Join(dir, "again", "b (1).jpg"), photographed(t, 2, day(1).Add(time.Hour)))
	put(t, filepath.Join(dir, "sent", "IMG-20210309-0001.jpg"), sent(t, 3))
	put(t, filepath.Join(dir, "notes.txt"), []byte("buy wire"))
	put(t, filepath.Join(dir, "cut.jpg"), photographed(t, 5, day(5))[:3000])
	return dir
}

func look(t testing.TB, j *journal.Journal, dirs ...string) *Survey {
	t.Helper()
	s, err := Look(t.Context(), j, dirs, nil)
	if err != nil {
		t.Fatal(err)
	}
	return s
}

func named(t testing.TB, s *Survey, name string) *Picture {
	t.Helper()
	for _, p := range s.Pictures {
		if p.Name == name {
			return p
		}
	}
	t.Fatalf("no %s", name)
	return nil
}

func TestLook(t *testing.T) {
	j, dir := newJournal(t), oldFolder(t)
	s := look(t, j, dir)
	if len(s.Pictures) != 5 || len(s.Left) != 2 || len(s.Roots) != 1 {
		t.Fatalf("%d pictures, %v left, %v", len(s.Pictures), s.Left, s.Roots)
	}
	b, c, copied := named(t, s, "b (1).jpg"), named(t, s, "c.jpg"), named(t, s, "IMG-20210309-0001.jpg")
	if len(b.Same) != 1 || filepath.Base(b.Same[0]) != "b.jpg" {
		t.Errorf("the same bytes: %v", b.Same)
	}
	if copied.CopyOf != c.Hash || !copied.At.Equal(c.At) || copied.Placed != ByOriginal {
		t.Errorf("a copy of %s, placed %s at %v", copied.CopyOf, copied.Placed, copied.At)
	}
	if evenings := s.Evenings(); len(evenings) != 2 || evenings[1].ID != "2021-03-05" || len(evenings[1].Pictures) != 3 || evenings[1].Doubtful != 0 {
		t.Errorf("%+v", evenings)
	}
	if path, ok := Thumb(j, c.Hash); !ok {
		t.Error("no small picture")
	} else if f, err := os.Open(path); err != nil {
		t.Error(err)
	} else {
		defer f.Close()
		if size, err := jpeg.DecodeConfig(f); err != nil || size.Width != 240 || size.Height != 180 {
			t.Errorf("%+v, %v", size, err)
		}
	}
	if _, ok := Thumb(j, "../../"+c.Hash[6:]); ok {
		t.Error("a name that is no hash")
	}
	// A copy goes along with its original: it is counted apart, and its date is not in doubt.
	copies := 0
	for _, l := range s.Likely() {
		if copies += l.Copies; l.Why.InFolder+l.Why.ByTime != len(l.Pictures)-l.Copies || l.Why.Doubtful != 0 {
			t.Errorf("a likely build with a copy: %+v", l)
		}
	}
	if copies != 1 || copied.Placed.Doubtful() {
		t.Errorf("%d copies, doubtful %v", copies, copied.Placed.Doubtful())
	}
	opened, err := Open(j)
	if err != nil || len(opened.Pictures) != 5 || len(opened.Left) != 2 {
		t.Errorf("opened: %d pictures, %v, %v", len(opened.Pictures), opened.Left, err)
	}
}

// What was read is not read again; what changed is, what went is of no survey.
// What stands in the cache and cannot be a line of it is passed over.
func TestCacheIsDamaged(t *testing.T) {
	j := newJournal(t)
	dir := t.TempDir()
	line := func(fields string) string {
		name, _ := json.Marshal(filepath.Join(dir, "a.jpg"))
		return fmt.Sprintf(`{"v":%d,"path":%s,"size":1,"time":1%s}`+"\n", version, name, fields)
	}
	root, _ := json.Marshal([]string{dir})
	put(t, j.Path(rootsFile), root)
	for name, text := range map[string]string{
		"no hash": line(""), "a short hash": line(`,"hash":"ab"`), "no hex": line(`,"hash":"` + strings.Repeat("../", 21) + `a"`),
		"no JSON": "\x00\xff{\n", "cut off": line(`,"hash":"` + strings.Repeat("ab", 32) + `"`)[:60],
	} {
		put(t, j.Path(seenFile), []byte(text))
		if s, err := Open(j); err != nil || len(s.Pictures) != 0 {
			t.Errorf("%s: %d pictures, %v", name, len(s.Pictures), err)
		}
	}
	put(t, j.Path(seenFile), []byte(line(`,"hash":"`+strings.Repeat("ab", 32)+`"`)))
	if s, err := Open(j); err != nil || len(s.Pictures) != 1 {
		t.Errorf("a whole one: %v", err)
	}
}

func TestLookGoesOn(t *testing.T) {
	j, dir := newJournal(t), oldFolder(t)
	ctx, stop := context.WithCancel(t.Context())
	if s, err := Look(ctx, j, []string{dir}, func(done, total int, path string) {
		if done == 3 {
			stop()
		}
	}); err == nil || s == nil {
		t.Fatalf("interrupted: %v, %v", s, err)
	}
	count := func() (n int) {
		if _, err := Look(t.Context(), j, []string{dir}, func(done, total int, path string) { n++ }); err != nil {
			t.Fatal(err)
		}
		return n
	}
	if n := count(); n > 5 {
		t.Errorf("%d of 8 files were read again", n)
	}
	if n := count(); n != 0 {
		t.Errorf("%d files were read again", n)
	}
	put(t, filepath.Join(dir, "a.jpg"), photographed(t, 9, day(2)))
	if err := os.Remove(filepath.Join(dir, "boat", "d.jpg")); err != nil {
		t.Fatal(err)
	}
	if n := count(); n != 1 {
		t.Errorf("%d files were read again where one had changed", n)
	}
	f, err := os.OpenFile(j.Path(seenFile), os.O_APPEND|os.O_WRONLY, 0)
	if err != nil {
		t.Fatal(err)
	}
	if _, err := f.WriteString(`{"v":1,"path":"/cut`); err != nil { // a run that was killed
		t.Fatal(err)
	}
	f.Close()
	put(t, filepath.Join(dir, "e.jpg"), photographed(t, 10, day(2)))
	if n := count(); n != 1 {
		t.Errorf("%d files were read again behind a line that is cut off", n)
	}
	if n := count(); n != 0 {
		t.Errorf("%d files were read again after it", n)
	}
	if s := look(t, j, dir); len(s.Pictures) != 5 {
		t.Errorf("%d pictures", len(s.Pictures))
	}
}

// Once an interrupted look has returned, nothing reads or writes for it any more.
func TestInterruptedLookHasEnded(t *testing.T) {
	j, dir := newJournal(t), t.TempDir()
	for i := range 6 {
		put(t, filepath.Join(dir, fmt.Sprintf("%d.jpg", i)), photographed(t, uint64(i), day(1)))
	}
	for range 5 { // another picture may be read at that moment, or not
		ctx, stop := context.WithCancel(t.Context())
		_, err := Look(ctx, j, []string{dir}, func(done, total int, path string) { stop() })
		var still strings.Builder
		if err := pprof.Lookup("goroutine").WriteTo(&still, 2); err != nil {
			t.Fatal(err)
		}
		if err == nil || strings.Contains(still.String(), "past.(*looking).one") {
			t.Fatalf("%v; there still runs:\n%s", err, &still)
		}
		if err := os.RemoveAll(j.Path(".cache/past")); err != nil {
			t.Fatal(err)
		}
	}
}

// untouched is what a folder holds, with the times of change.
func untouched(t testing.TB, dir string) map[string]string {
	all := map[string]string{}
	err := filepath.WalkDir(dir, func(path string, d os.DirEntry, err error) error {
		if err != nil {
			return err
		}
		info, err := d.Info()
		if err != nil {
			return err
		}
		text := ""
		if !d.IsDir() {
			data, err := os.ReadFile(path)
			if err != nil {
				return err
			}
			text = string(data)
		}
		all[path] = info.ModTime().String() + text
		return nil
	})
	if err != nil {
		t.Fatal(err)
	}
	return all
}

func TestBringIn(t *testing.T) {
	j, dir := newJournal(t), oldFolder(t)
	before := untouched(t, dir)
	s := look(t, j, dir)
	var hashes []string
	for _, p := range s.Pictures {
		hashes = append(hashes, p.Hash)
	}
	a, b, c, copied := named(t, s, "a.jpg"), named(t, s, "b (1).jpg"), named(t, s, "c.jpg"), named(t, s, "IMG-20210309-0001.jpg")
	yes := true
	say := func(r entry.Request) {
		t.Helper()
		if _, err := entry.Do(j, r); err != nil {
			t.Fatal(err)
		}
	}
	say(entry.Past{Photos: hashes, Build: "pilot-boat", Stage: "cut"})
	say(entry.Past{Photos: []string{b.Hash}, Role: "before", First: "2020-01-01", Last: "2020-12-31", Said: "2020"})
	say(entry.Past{Photos: []string{a.Hash}, Out: &yes})
	s, err := Open(j)
	if err != nil {
		t.Fatal(err)
	}
	if n := len(s.Wanted()); n != 3 {
		t.Fatalf("%d are wanted", n)
	}
	sum, err := BringIn(t.Context(), j, inbox.Options{}, s.Wanted(), nil)
	if err != nil || sum.Taken != 3 || len(sum.Left) > 0 {
		t.Fatalf("%+v, %v", sum, err)
	}
	kept := j.State.PhotosByHash()
	if kept[a.Hash] != nil || kept[copied.Hash] != nil || kept[c.Hash].Tags.Stage != "cut" {
		t.Errorf("%+v", kept)
	}
	if p := kept[b.Hash]; p.Tags.Role != "before" || p.Tags.Build != "pilot-boat" || p.Instant.Said != "2020" {
		t.Errorf("%+v", p)
	}
	if again, err := BringIn(t.Context(), j, inbox.Options{}, hashes, nil); err != nil || again.Taken != 1 || kept[c.Hash] == nil {
		t.Errorf("again, with the copy by name: %+v, %v", again, err)
	}
	// What was said is taken back after they came, too: they stay, without it.
	for range 3 {
		if _, err := Undo(j); err != nil {
			t.Fatal(err)
		}
	}
	if p := j.State.PhotosByHash()[b.Hash]; p == nil || p.Tags.Build != "" || p.Tags.Role != "" || p.Instant.Said != "" {
		t.Errorf("undone: %+v", p)
	}
	after := untouched(t, dir)
	if len(after) != len(before) {
		t.Errorf("%d files, %d before", len(after), len(before))
	}
	for path, was := range before {
		if after[path] != was {
			t.Errorf("%s is not as it was", path)
		}
	}
}

// A picture that changed or went since it was looked at is not taken for what it was;
// where its bytes lie elsewhere, too, they are taken from there. An end in between is
// gone on from.
func TestBringInOfWhatMoved(t *testing.T) {
	j, dir := newJournal(t), oldFolder(t)
	s := look(t, j, dir)
	var hashes []string
	for _, p := range s.Pictures {
		if p.CopyOf == "" {
			hashes = append(hashes, p.Hash)
		}
	}
	a, b := named(t, s, "a.jpg"), named(t, s, "b (1).jpg")
	put(t, a.Path, photographed(t, 20, day(9)))
	if err := os.Remove(b.Path); err != nil {
		t.Fatal(err)
	}
	ctx, stop := context.WithCancel(t.Context())
	sum, err := BringIn(ctx, j, inbox.Options{Batch: 1}, hashes, func(done, total int, o inbox.Outcome) { stop() })
	if err == nil || sum.Taken != 1 || len(sum.Left) != 1 || sum.Left[0].Path != a.Path {
		t.Fatalf("interrupted: %+v, %v", sum, err)
	}
	sum, err = BringIn(t.Context(), j, inbox.Options{}, append(hashes, "0123"), nil)
	if err != nil || sum.Taken != 2 || len(sum.Left) != 2 {
		t.Fatalf("gone on: %+v, %v", sum, err)
	}
	// Where a folder went, it is named.
	away := filepath.Join(dir, "boat")
	if err := os.Rename(away, away+"s"); err != nil {
		t.Fatal(err)
	}
	if f, err := named(t, s, "d.jpg").file(s); err == nil || err.Error() != "the folder "+away+" is not there any more" {
		t.Errorf("of a folder that went: %v, %v", f, err)
	}
	kept := j.State.PhotosByHash()
	if len(kept) != 3 || kept[a.Hash] != nil || kept[b.Hash] == nil || kept[b.Hash].Name != "b.jpg" {
		t.Errorf("%v", kept)
	}
}
