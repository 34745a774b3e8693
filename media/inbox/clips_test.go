// Clips on their way: kept byte for byte, tagged, dated, and put beside the photo
// whose moving part they are.

package inbox

import (
	"bytes"
	"context"
	"os"
	"strings"
	"testing"
	"time"

	"rakelight/journal"
	"rakelight/journal/reason"
	"rakelight/media/clip/drawn"
)

var clipTime = time.Date(2026, 7, 14, 20, 15, 3, 0, time.UTC) // the wall clock's digits

// moving is the clip of a telephone: its header in UTC, its own words with a zone.
func moving(name string, seed byte) []byte {
	keys := [][2]string{{"com.apple.quicktime.make", "Tarrow"}, {"com.apple.quicktime.model", "T-24"},
		{"com.apple.quicktime.creationdate", "2026-07-14T20:15:03+0100"}}
	if name != "" {
		keys = append(keys, [2]string{"com.apple.quicktime.content.identifier", name})
	}
	return drawn.Clip{Brand: "qt  ", Header: clipTime.Add(-time.Hour), Turn: 6, Seed: seed, Keys: keys}.Bytes()
}

func TestClipTakenIn(t *testing.T) {
	j := bench(t)
	data := moving("", 1)
	drop(t, j, "pilot-boat/clean/before/MOV_1.MOV", data)
	if sum := takeAll(t, j); sum.Taken != 1 || len(sum.Left) != 0 {
		t.Fatalf("%+v", sum)
	}
	p := j.State.Photos[0]
	if !p.Clip() || p.Format != "mov" || p.Length != 2500 || p.Frame != [2]int{240, 320} || p.Codec != "avc1" ||
		p.Tags.Build != "pilot-boat" || p.Tags.Stage != "clean" || p.Tags.Role != "before" || !strings.HasSuffix(p.Path, ".mov") ||
		p.Instant.At.Format(time.RFC3339) != "2026-07-14T20:15:03+01:00" || p.Instant.Doubts.Any() {
		t.Errorf("%+v", p)
	}
	if got, err := os.ReadFile(j.Path(p.Path)); err != nil || !bytes.Equal(got, data) {
		t.Error("it is not byte for byte", err)
	}
	story := strings.Join(Story(p, j.State), "\n")
	for _, want := range []string{"mov, 2.5 s long, 240 × 320 pixels upright (avc1)", "no still was put",
		"from its QuickTime creationdate (2026-07-14T20:15:03+0100)", "zone     the file states it"} {
		if !strings.Contains(story, want) {
			t.Errorf("no %q in\n%s", want, story)
		}
	}
	drop(t, j, "again.mov", data)
	if sum := takeAll(t, j); sum.Duplicate != 1 || originals(t, j) != 1 {
		t.Errorf("%+v", sum)
	}
	if found := j.Check(true); len(found) != 0 {
		t.Errorf("%+v", found)
	}
}

// A clip without a zone is dated by photos of the same camera, also of the same
// batch, and then by the habit of the camera.
func TestClipDatedByPhotos(t *testing.T) {
	j := bench(t)
	_, photo := shots(t, 1, "2026:07:14 20:15:40")
	header := func(at time.Time, seed byte) []byte {
		return drawn.Clip{Header: at, Seed: seed, UserData: [][2]string{{"mak", "Tarrow"}, {"mod", "T-24"}}}.Bytes()
	}
	drop(t, j, "A.MP4", header(clipTime, 1)) // local, as this camera writes it
	drop(t, j, "B.JPG", photo)
	drop(t, j, "C.MP4", header(clipTime.AddDate(0, 0, 9), 2)) // no photo of that minute
	if sum := takeAll(t, j); sum.Taken != 3 {
		t.Fatalf("%+v", sum)
	}
	by := map[string]*journal.Photo{}
	for _, p := range j.State.Photos {
		by[p.Name] = p
	}
	if a := by["A.MP4"].Instant; a.Meant != reason.ByKin || a.At.Format(time.RFC3339) != "2026-07-14T20:15:03+01:00" || a.Doubts.Any() {
		t.Errorf("%+v", a)
	}
	if c := by["C.MP4"].Instant; c.Meant != reason.ByHabit || c.At.Format("15:04") != "20:15" || c.Doubts.Any() {
		t.Errorf("%+v", c)
	}
	if story := strings.Join(Story(by["A.MP4"], j.State), "\n"); !strings.Contains(story, "its time is local, as photos of the same camera") {
		t.Error(story)
	}
}

// Nothing tells: both readings are told, and no session places it.
func TestClipInDoubt(t *testing.T) {
	j := bench(t)
	path := drop(t, j, "A.MP4", drawn.Clip{Header: clipTime}.Bytes())
	long := time.Date(2026, 9, 1, 0, 0, 0, 0, time.UTC)
	if err := os.Chtimes(path, long, long); err != nil {
		t.Fatal(err)
	}
	takeAll(t, j)
	p := j.State.Photos[0]
	if !p.Instant.Doubts.Has(reason.UTCOrNot) || p.Instant.At.Format("15:04") != "21:15" {
		t.Errorf("%+v", p.Instant)
	}
	story := strings.Join(Story(p, j.State), "\n")
	for _, want := range []string{"(2026-07-14 20:15:03 UTC)", "2026-07-14 20:15: 2026-07-14 21:15 (+01:00) if that is UTC", "2026-07-14 20:15 (+01:00) if it is local"} {
		if !strings.Contains(story, want) {
			t.Errorf("no %q in\n%s", want, story)
		}
	}
}

// A clip of the same shot lies beside its photo, in whatever order they come: by
// the name of the file, or by the name that both state.
func TestMovingPartOfAShot(t *testing.T) {
	_, photo := shots(t, 1, "2026:07:14 20:15:02")
	const shared = "5B1F0E2C-7D1A-4C7B-9D39-0B8E6B7D1C11"
	comment := append([]byte{0xff, 0xfe, 0, byte(2 + len(shared))}, shared...) // where a maker's note would hold it
	named := append(append(bytes.Clone(photo[:2]), comment...), photo[2:]...)
	for name, c := range map[string]struct {
		photo []byte
		clip  []byte
		as    string
		waits bool // the clip comes a run before
	}{
		"together":           {photo, moving("", 1), "IMG_1.MOV", false},
		"clip first":         {photo, moving("", 1), "IMG_1.MOV", true},
		"by its name":        {named, moving(shared, 1), "other.mov", false},
		"by its name, first": {named, moving(shared, 1), "other.mov", true},
	} {
		t.Run(name, func(t *testing.T) {
			j := bench(t)
			drop(t, j, c.as, c.clip)
			if c.waits {
				takeAll(t, j)
			}
			drop(t, j, "IMG_1.JPG", c.photo)
			sum, err := New(j, Options{}).TakeAll(context.Background(), nil)
			if err != nil || len(sum.Left) != 0 {
				t.Fatal(sum, err)
			}
			if len(j.State.Photos) != 1 || len(j.State.Problems) != 0 {
				t.Fatalf("%d photos, %v", len(j.State.Photos), j.State.Problems)
			}
			p := j.State.Photos[0]
			if p.Clip() || len(p.Beside) != 1 || p.Beside[0].Format != "mov" || p.Beside[0].Why.By != reason.MovingShot {
				t.Errorf("%+v", p)
			}
			if got, err := os.ReadFile(j.Path(p.Beside[0].Path)); err != nil || !bytes.Equal(got, c.clip) {
				t.Error(err)
			}
			if found := j.Check(true); len(found) != 0 {
				t.Errorf("%+v", found)
			}
		})
	}
}

// Another name, another moment, or a clip of minutes is a clip of its own.
func TestClipOfItsOwn(t *testing.T) {
	_, photo := shots(t, 1, "2026:07:14 20:15:02")
	_, later := shots(t, 2, "2026:07:14 20:16:02")
	long := moving("", 1)
	i := bytes.Index(long, []byte("mvhd")) + 20
	long[i+1] = 1 // 65536 units more of a thousand a second
	for name, c := range map[string][2][]byte{
		"another name":   {photo, moving("", 1)},
		"another moment": {later, moving("", 1)},
		"long":           {photo, long},
	} {
		j := bench(t)
		clipName := "IMG_1.MOV"
		if name == "another name" {
			clipName = "IMG_2.MOV"
		}
		drop(t, j, "IMG_1.JPG", c[0])
		drop(t, j, clipName, c[1])
		takeAll(t, j)
		if len(j.State.Photos) != 2 {
			t.Errorf("%s: %d photos", name, len(j.State.Photos))
		}
	}
}
