// Clips on the pages: the browser's own player, what stands for it, and what readers
// get.

package render

import (
	"bytes"
	"crypto/sha256"
	"fmt"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"
	"time"

	"rakelight/journal"
	"rakelight/journal/reason"
	"rakelight/media/clip"
	"rakelight/media/clip/drawn"
)

// clipBench is a journal with a build, a photo and clips of all sorts.
type clipBench struct {
	*kept
	plays, alone, hevc, telemetry, cover string // hashes
}

var clipDay = time.Date(2026, 1, 5, 19, 30, 0, 0, time.UTC)

func (k *kept) clipFile(c drawn.Clip, codec string, at time.Time) string {
	data := c.Bytes()
	hash := fmt.Sprintf("%x", sha256.Sum256(data))
	path := "photos/2026/01/" + hash[:8] + ".mp4"
	k.file(path, string(data))
	body := journal.PhotoBody{Hash: hash, Path: path, Name: hash[:4] + ".mp4", Size: int64(len(data)), Format: "mp4", Length: 65000,
		Codec: codec, Frame: [2]int{240, 320}, Instant: journal.Instant{At: at, Source: "movie header"}, Tags: journal.Tags{Build: "lorry", Stage: "clean"}}
	if len(c.Cover) > 0 {
		body.Width, body.Height, body.Turn = 490, 360, 1
	}
	k.say(body)
	return hash
}

func newClipBench(t *testing.T) *clipBench {
	dir := filepath.Join(t.TempDir(), "bench")
	if err := journal.Create(dir, "The bench", "UTC", clipDay); err != nil {
		t.Fatal(err)
	}
	j, err := journal.Open(dir)
	if err != nil {
		t.Fatal(err)
	}
	k := &clipBench{kept: &kept{t: t, j: j}}
	k.file("builds/lorry/build.md", "---\ntitle: Field-kitchen lorry\nstages: [clean, seam]\n---\n")
	k.ok(j.Reload())
	photo := k.photo(1, "lorry", "clean", "after", "a.jpg", clipDay)
	still, err := os.ReadFile(j.Path("photos/2026/" + photo[:8] + ".jpg"))
	k.ok(err)
	where := [][2]string{{"com.apple.quicktime.location.ISO6709", "+47.3769+008.5417/"}, {"com.apple.quicktime.make", "Tarrow"}}
	k.plays = k.clipFile(drawn.Clip{Seed: 1, Header: clipDay, Keys: where}, "avc1", clipDay.Add(40*time.Second))
	k.alone = k.clipFile(drawn.Clip{Seed: 2}, "avc1", clipDay.Add(time.Hour))
	k.hevc = k.clipFile(drawn.Clip{Seed: 3, Codec: "hvc1"}, "hvc1", clipDay.Add(2*time.Hour))
	k.telemetry = k.clipFile(drawn.Clip{Seed: 4, Boxes: [][]byte{drawn.Box("gps ", make([]byte, 8))}}, "avc1", clipDay.Add(3*time.Hour))
	k.cover = k.clipFile(drawn.Clip{Seed: 5, Cover: still}, "avc1", clipDay.Add(4*time.Hour))
	k.ok(j.Reload())
	return k
}

func (k *clipBench) page(name string) string {
	k.t.Helper()
	data, err := os.ReadFile(name)
	k.ok(err)
	return string(data)
}

// figure is what a page shows of a clip.
func figure(t *testing.T, page, hash string) string {
	t.Helper()
	at := strings.Index(page, `id="photo-`+hash[:8]+`"`)
	if at < 0 {
		t.Fatalf("no %s", hash[:8])
	}
	return page[at : at+strings.Index(page[at:], "</figure>")]
}

func TestClipsOnPages(t *testing.T) {
	k := newClipBench(t)
	write(t, k.j)
	page := k.page(k.j.Path("pages/builds/lorry.html"))
	has := func(hash string, wants ...string) {
		t.Helper()
		got := figure(t, page, hash)
		for _, want := range wants {
			if no, not := strings.CutPrefix(want, "no "); strings.Contains(got, no) == not {
				t.Errorf("%s: %q\n%s", hash[:8], want, got)
			}
		}
	}
	var shown string
	for _, p := range k.j.State.Photos {
		if !p.Clip() {
			shown = p.Short()
		}
	}
	has(k.plays, `<video controls preload="none"`, `src="../../photos/2026/01/`+k.plays[:8]+`.mp4"`, `poster="../photos/`+shown+`-960.jpg"`,
		`width="240" height="320"`, `aria-label="clip of 1:05 min: Field-kitchen lorry, cleanup, 5 January 2026"`, "Clip, 1:05 min", "no autoplay")
	has(k.alone, `poster="../assets/clip.svg"`)
	has(k.hevc, "no <video", "It is packed as HEVC, which many browsers do not play.", `<a href="../../photos/2026/01/`+k.hevc[:8]+`.mp4">Open the file</a>`)
	has(k.cover, `poster="../photos/`+k.cover[:8]+`-960.jpg"`)
	for _, src := range regexp.MustCompile(`(?:src|poster)="([^"]+)"`).FindAllStringSubmatch(page, -1) {
		if _, err := os.Stat(filepath.Join(k.j.Path("pages/builds"), filepath.FromSlash(src[1]))); err != nil {
			t.Error(err)
		}
	}
	// Where there is no room for a player, the still leads to its place.
	v := viewOf(k.j.State, time.Time{}, map[string]noShow{})
	for _, hash := range []string{k.alone, k.cover} {
		small := v.smalls("../", []*journal.Photo{v.byHash[hash]})[0]
		if small.Clip != nil || small.Unshown != "" || small.Large != "../builds/lorry.html#photo-"+hash[:8] || small.Src == "" ||
			!strings.HasPrefix(small.Alt, "clip of 1:05 min: ") {
			t.Errorf("%+v", small)
		}
	}
	// The day has them, too; the photo opens it.
	day := k.page(k.j.Path("pages/days/2026-01-05.html"))
	if n := strings.Count(day, "<video"); n != 4 || !strings.Contains(day, `class="leaf"`) {
		t.Errorf("%d players on the day's page\n%s", n, day)
	}
}

// Nothing is compared with a clip.
func TestClipsAreNotCompared(t *testing.T) {
	k := newClipBench(t)
	for _, hash := range []string{k.cover, k.plays} {
		for role, stage := range map[string]string{"before": "clean", "after": "seam"} {
			k.say(journal.TagBody{Photo: hash, Set: journal.Tags{Role: role, Stage: stage, View: "left", Light: "raking"}})
		}
	}
	k.ok(k.j.Reload())
	v := viewOf(k.j.State, time.Time{}, map[string]noShow{})
	for _, b := range v.order {
		for _, p := range b.prints {
			if p.Clip() {
				t.Errorf("%s opens pages and is held against photos", p.Short())
			}
		}
	}
	for _, p := range v.pairs() {
		if p.a.photo.Clip() || p.b.photo.Clip() {
			t.Errorf("%+v", p)
		}
	}
	if best := bestMoment(k.j.State.Photos, nil); best == nil || best.Clip() {
		t.Errorf("%+v", best)
	}
	for _, photos := range v.photoData() {
		for _, p := range photos {
			if p.Clip() {
				t.Errorf("%s stands beside any two", p.Short())
			}
		}
	}
	for _, pair := range beforeAfters(k.j.State.Photos) {
		t.Errorf("%v", pair)
	}
}

func TestClipsForReaders(t *testing.T) {
	k := newClipBench(t)
	dir := filepath.Join(t.TempDir(), "out")
	report, err := Publish(t.Context(), k.j, dir, Options{})
	k.ok(err)
	if len(report.Withheld) != 1 || report.Withheld[0].Clip.Hash != k.telemetry {
		t.Fatalf("%+v", report.Withheld)
	}
	page := k.page(filepath.Join(dir, "builds", "lorry.html"))
	if got := figure(t, page, k.telemetry); strings.Contains(got, "<video") || strings.Contains(got, "href") ||
		!strings.Contains(got, "It is not shown here, since its file may say where it was taken.") {
		t.Error(got)
	}
	if got := figure(t, page, k.plays); !strings.Contains(got, `src="../photos/`+k.plays[:8]+`-clip2.mp4"`) {
		t.Error(got)
	}
	for _, hash := range []string{k.plays, k.alone, k.hevc, k.cover} {
		data, err := os.ReadFile(filepath.Join(dir, "photos", hash[:8]+"-clip2.mp4"))
		k.ok(err)
		for _, s := range []string{"47.3769", "8.5417", "Tarrow"} {
			if bytes.Contains(data, []byte(s)) {
				t.Errorf("%s is published", s)
			}
		}
		c, err := clip.Read(bytes.NewReader(data), int64(len(data)))
		if err != nil || c.Length != drawn.Length || !c.Header.IsZero() || len(c.Covers) > 0 {
			t.Errorf("%+v, %v", c, err)
		}
	}
	if _, err := os.Stat(filepath.Join(dir, "photos", k.telemetry[:8]+"-clip2.mp4")); err == nil {
		t.Error("it is there all the same")
	}
	// Again: nothing is made anew, and what became private goes.
	info, err := os.Stat(filepath.Join(dir, "photos", k.plays[:8]+"-clip2.mp4"))
	k.ok(err)
	report, err = Publish(t.Context(), k.j, dir, Options{})
	k.ok(err)
	if again, err := os.Stat(filepath.Join(dir, "photos", k.plays[:8]+"-clip2.mp4")); err != nil || !again.ModTime().Equal(info.ModTime()) || report.Photos+report.Removed > 0 {
		t.Errorf("%+v, %v", report, err)
	}
	k.say(journal.PrivateBody{Photo: k.plays, At: clipDay})
	k.ok(k.j.Reload())
	_, err = Publish(t.Context(), k.j, dir, Options{})
	k.ok(err)
	list := k.page(filepath.Join(dir, listName))
	if _, err := os.Stat(filepath.Join(dir, "photos", k.plays[:8]+"-clip2.mp4")); err == nil || strings.Contains(list, k.plays[:8]) {
		t.Error("a private clip is still there")
	}
	// Where times may be seen, the headers keep theirs.
	toml := k.page(k.j.Path("journal.toml"))
	k.file("journal.toml", strings.Replace(toml, "times = false", "times = true", 1))
	k.ok(k.j.Reload())
	if !k.j.State.Config.Public.Times {
		t.Fatal("times are not public")
	}
	_, err = Publish(t.Context(), k.j, dir, Options{})
	k.ok(err)
	if _, err := os.Stat(filepath.Join(dir, "photos", k.alone[:8]+"-clip2-timed.mp4")); err != nil {
		t.Error(err)
	}
	if _, err := os.Stat(filepath.Join(dir, "photos", k.alone[:8]+"-clip2.mp4")); err == nil {
		t.Error("the one without times is still there")
	}
}

// The page of a clip in doubt has no still of another photo.
func TestStillOfDoubt(t *testing.T) {
	k := newClipBench(t)
	v := viewOf(k.j.State, time.Time{}, map[string]noShow{})
	one := *v.byHash[k.plays]
	if v.stillOf(&one) == nil {
		t.Fatal("no photo stands for it")
	}
	one.Instant.Doubts = reason.Doubts{{Is: reason.UTCOrNot}}
	if p := v.stillOf(&one); p != nil {
		t.Errorf("%s stands for it", p.Short())
	}
}
