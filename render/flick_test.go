// The flick-through: which pictures, how they lie, what a new photo changes, and the
// files on disk.

package render

import (
	"bytes"
	"crypto/sha256"
	"errors"
	"fmt"
	"image"
	"image/color"
	"image/jpeg"
	"math"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"time"

	"rakelight/journal"
	"rakelight/media/card"
	"rakelight/media/card/shot"
)

// taken is a photo of a build with a stage on a day, 1600 by 1200.
func flicked(n int, day time.Time, stage, role, view string) *journal.Photo {
	sum := fmt.Sprintf("%x", sha256.Sum256(fmt.Append(nil, "taken", n)))
	return &journal.Photo{Hash: sum, Path: "photos/2024/" + sum[:16] + ".jpg", Format: "jpeg", Width: 1600, Height: 1200, Turn: 1, Kind: stage,
		Instant: journal.Instant{At: day, Source: "DateTimeOriginal"}, Tags: journal.Tags{Build: "boat", Stage: stage, Role: role, View: view}}
}

// boatWith is the view of a journal with one build and these photos, in time order.
func boatWith(photos ...*journal.Photo) (*view, *build) {
	s := &journal.State{Config: journal.Config{Name: "Bench"}, Zone: time.UTC, Photos: photos, Builds: []*journal.Build{{ID: "boat", Title: "Boat",
		Stages: []journal.Stage{{ID: "clean", Kind: "clean", Title: "Cleanup"}, {ID: "seam", Kind: "seam", Title: "Seams"}}}}}
	v := viewOf(s, time.Time{}, nil)
	return v, v.builds["boat"]
}

// Of each stage on each day one picture is shown, from the side most are taken from,
// rather the later state; problems and cards alone are left out.
func TestFlickChoosesOneOfAStageAndDay(t *testing.T) {
	t.Parallel()
	day := func(n int) time.Time { return at("2024-03-01").AddDate(0, 0, n) }
	photos := []*journal.Photo{
		flicked(0, day(0), "clean", "before", "left"), flicked(1, day(0).Add(time.Minute), "clean", "after", "left"),
		flicked(2, day(0).Add(2*time.Minute), "clean", "after", "top"), flicked(3, day(0).Add(3*time.Minute), "seam", "progress", ""),
		flicked(4, day(1), "clean", "after", "top"), flicked(5, day(2), "clean", "problem", "left"), flicked(6, day(3), "clean", "", "left"),
		flicked(7, day(4), "clean", "after", "left"),
	}
	photos[7].Cards = []journal.CardSeen{seenAt(shot.Placed{Share: 0.9, X: 0.5, Y: 0.5}, 1600, 1200)}
	v, b := boatWith(photos...)
	var got []string
	for _, p := range v.flickPhotos(b) {
		got = append(got, fmt.Sprint(slices.Index(photos, p)))
	}
	if words := strings.Join(got, " "); words != "1 3 4 6" {
		t.Errorf("chosen: %s", words)
	}
	// A build of two pictures has no flick-through.
	if v, b := boatWith(photos[0], photos[4]); v.flick(b) != nil {
		t.Error("two pictures are a flick-through")
	}
}

// A photo more adds one frame and leaves the others as they are; at most so many are
// shown, and the last always is.
func TestFlickGrowsByOne(t *testing.T) {
	t.Parallel()
	var photos []*journal.Photo
	var before map[string]bool
	for n := range 3*mostFrames + 5 {
		p := flicked(n, at("2024-03-01").AddDate(0, 0, n), "clean", "after", "left")
		if n%3 == 0 {
			p.Cards = []journal.CardSeen{seenAt(laterCard, 1600, 1200)}
		}
		photos = append(photos, p)
		v, b := boatWith(photos...)
		f := v.flick(b)
		if n+1 < fewFrames {
			continue
		}
		if len(f.frames) > mostFrames+1 || f.frames[len(f.frames)-1].photo != p {
			t.Fatalf("%d photos: %d frames, the last of another photo", n+1, len(f.frames))
		}
		now, fresh := map[string]bool{}, 0
		for _, one := range f.frames {
			now[one.stem] = true
			if !before[one.stem] {
				fresh++
			}
		}
		if len(now) != len(f.frames) {
			t.Fatalf("%d photos: frames share names", n+1)
		}
		if before != nil && fresh > 1 {
			t.Fatalf("%d photos: %d new frames", n+1, fresh)
		}
		before = now
	}
}

// A frame is steadied on its card, so that cards cover each other; with a card that
// says too little it is as taken, and its words say why.
func TestFlickSteadies(t *testing.T) {
	t.Parallel()
	first := shot.Placed{Share: 0.3, X: 0.4, Y: 0.5}
	for name, c := range map[string]struct {
		place shot.Placed
		why   string
	}{
		"turned and nearer": {shot.Placed{Share: 0.36, X: 0.45, Y: 0.48, Turn: 4 * deg}, ""},
		"tilted a little":   {shot.Placed{Share: 0.3, X: 0.42, Y: 0.52, Tilt: 8 * deg}, ""},
		"tilted too far":    {shot.Placed{Share: 0.3, X: 0.4, Y: 0.5, Tilt: 55 * deg}, "tilted by about"},
		"elsewhere":         {shot.Placed{Share: 0.3, X: 0.8, Y: 0.5}, "lies elsewhere"},
		"far away":          {shot.Placed{Share: 0.06, X: 0.4, Y: 0.5}, "times apart"},
		"hardly seen":       {shot.Placed{Share: 0.09, X: 0.4, Y: 0.5}, "too small"},
	} {
		photos := []*journal.Photo{flicked(0, at("2024-03-01"), "clean", "after", ""), flicked(1, at("2024-03-02"), "clean", "after", ""), flicked(2, at("2024-03-03"), "clean", "after", "")}
		photos[1].Cards, photos[2].Cards = []journal.CardSeen{seenAt(first, 1600, 1200)}, []journal.CardSeen{seenAt(c.place, 1600, 1200)}
		if c.why == "too small" {
			photos[2].Cards[0].Error = 4
		}
		v, b := boatWith(photos...)
		f := v.flick(b)
		last := f.frames[2]
		if c.why != "" {
			if last.steady || !strings.Contains(last.unsteady.String(), c.why) || last.laid.From != asTaken(photos[2], f.width, f.height).From || f.steadied != 0 {
				t.Errorf("%s: %v, %q", name, last.steady, last.unsteady)
			}
			if words := strings.Join(inEnglish.flickWords(f), " "); !strings.Contains(words, "1 picture shows a card that steadies nothing") {
				t.Errorf("%s: %s", name, words)
			}
			continue
		}
		if !last.steady || f.steadied != 2 {
			t.Errorf("%s: %q", name, last.unsteady)
			continue
		}
		x, y := f.frames[1].laid.From.Inverse().At(first.Plane(1600, 1200)(card.SymbolX, card.SymbolY))
		u, w := last.laid.From.Inverse().At(c.place.Plane(1600, 1200)(card.SymbolX, card.SymbolY))
		if d := math.Hypot(x-u, y-w); d > 8 { // what tilt bends is not unbent
			t.Errorf("%s: the cards are %.1f pixels apart", name, d)
		}
		if words := strings.Join(inEnglish.flickWords(f), " "); !strings.Contains(words, "2 of the 3 pictures are shifted, turned and scaled") {
			t.Errorf("%s: %s", name, words)
		}
	}
}

// The light is brought half of the way, and by half a stop at most; it is the edge that
// is looked at, where the work is not.
func TestFlickEvensTheLight(t *testing.T) {
	t.Parallel()
	for _, c := range [][3]float64{{-2, -2, 0}, {-2, -1.6, 0.2}, {-1.6, -2, -0.2}, {-5, -1, 0.5}, {-1, -5, -0.5}} {
		if g := evenBy(c[0], c[1]); math.Abs(g.Stops()-c[2]) > 1e-9 || g.Red != g.Blue {
			t.Errorf("from %v to %v: %v", c[0], c[1], g)
		}
	}
	lit := func(edge, middle uint8) float64 {
		img := image.NewRGBA(image.Rect(0, 0, 160, 120))
		for y := range 120 {
			for x := range 160 {
				v := edge
				if x >= 30 && x < 130 && y >= 25 && y < 95 {
					v = middle
				}
				img.SetRGBA(x, y, color.RGBA{v, v, v, 255})
			}
		}
		return edgeLight(img)
	}
	// A middle gray of 188 has half the light of white (sRGB, IEC 61966-2-1).
	if got := lit(188, 10); math.Abs(got+1) > 0.02 || lit(188, 250) != got {
		t.Errorf("%.3f stops", got)
	}
	if got := lit(0, 250); math.IsInf(got, 0) || got > -5 {
		t.Errorf("black: %v", got)
	}
}

// The frames on disk: made once, all of one size, without a word in them; a photo that
// cannot be read is shown another way or not at all, and a photo more costs one frame.
func TestFlickFilesAreMadeOnce(t *testing.T) {
	j := onDisk(t)
	base := j.State.Photos[:2]
	var photos []*journal.Photo
	for i := range 5 {
		p := *base[i%2]
		p.Hash = fmt.Sprintf("%x", sha256.Sum256(fmt.Append(nil, i)))
		p.Path = fmt.Sprintf("photos/flick/%d.jpg", i)
		p.Instant.At = at("2024-03-01").AddDate(0, 0, i)
		p.Tags = journal.Tags{Build: j.State.Builds[0].ID, Stage: "clean", Role: "after"}
		file := filepath.Join(j.Dir, filepath.FromSlash(p.Path))
		img := image.NewRGBA(image.Rect(0, 0, 640, 480))
		for k := range img.Pix {
			img.Pix[k] = uint8(60 + 30*i)
		}
		var b bytes.Buffer
		if err := errors.Join(os.MkdirAll(filepath.Dir(file), 0o755), jpeg.Encode(&b, img, nil), os.WriteFile(file, b.Bytes(), 0o644)); err != nil {
			t.Fatal(err)
		}
		photos = append(photos, &p)
	}
	j.State.Photos = photos[:4]
	write(t, j)
	frames := func() []string {
		files, err := filepath.Glob(j.Path("pages/photos/flick-*.jpg"))
		if err != nil {
			t.Fatal(err)
		}
		return files
	}
	if got := frames(); len(got) != 4 {
		t.Fatalf("%d frames", len(got))
	}
	for _, file := range frames() {
		data, err := os.ReadFile(file)
		if err != nil {
			t.Fatal(err)
		}
		img, err := jpeg.DecodeConfig(bytes.NewReader(data))
		if err != nil || img.Width != frameWide || img.Height != 720 {
			t.Errorf("%s: %v, %v", file, img, err)
		}
		for _, marker := range []byte{0xe1, 0xe2, 0xed, 0xfe} { // EXIF, ICC, IPTC, comment
			if bytes.Contains(data, []byte{0xff, marker}) {
				t.Errorf("%s has a segment %x", file, marker)
			}
		}
	}
	if r := write(t, j); r.Photos != 0 || r.Changed != 0 || r.Removed != 0 {
		t.Errorf("again: %+v", r)
	}
	j.State.Photos = photos
	if r := write(t, j); r.Photos != 3 || len(frames()) != 5 || r.Removed != 0 { // its two web sizes and its frame
		t.Errorf("a photo more: %+v, %d frames", r, len(frames()))
	}
	// Without the photo its frame goes.
	j.State.Photos = photos[:4]
	if write(t, j); len(frames()) != 4 {
		t.Errorf("%d frames are left", len(frames()))
	}
	// A frame of somebody else's name is left alone, and the photo shown as it is.
	mine := frames()[0]
	data, err := os.ReadFile(j.Path("pages/" + listName))
	if err != nil {
		t.Fatal(err)
	}
	list := bytes.ReplaceAll(data, []byte("photos/"+filepath.Base(mine)+"\n"), nil)
	if err := errors.Join(os.WriteFile(j.Path("pages/"+listName), list, 0o644), os.WriteFile(mine, nil, 0o644)); err != nil {
		t.Fatal(err)
	}
	write(t, j)
	if info, err := os.Stat(mine); err != nil || info.Size() != 0 {
		t.Error("somebody else's file was written over")
	}
	page, err := os.ReadFile(j.Path("pages/builds/pilot-boat/flick.html"))
	if err != nil || bytes.Contains(page, []byte(filepath.Base(mine))) {
		t.Errorf("the page shows somebody else's file (%v)", err)
	}
}
