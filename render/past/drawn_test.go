// A drawn past to try the pages on: six builds over five years in one flat folder.

package past

import (
	"bytes"
	"context"
	"fmt"
	"image"
	"image/color"
	"image/jpeg"
	"math/rand/v2"
	"net/http"
	"net/http/httptest"
	"os"
	"path/filepath"
	"testing"
	"time"

	"rakelight/journal"
	"rakelight/media/inbox"
	old "rakelight/media/past"
	"rakelight/media/scene"
)

// truth is one picture of the drawn past.
type truth struct {
	file, build, stage string
	at                 time.Time
}

// models are what was built, stagesOf what was done, one after the other.
var (
	models   = []string{"Pilot boat", "Field-kitchen lorry", "Mail seaplane", "Lightship", "Second pilot boat", "Second lorry"}
	stagesOf = []string{"cut", "clean", "assemble", "paint"}
)

// patches are soft patches of light, others for each number.
func patches(n uint64, w, h int) *image.RGBA {
	rng := rand.New(rand.NewPCG(n, 77))
	var light [7][8]float64
	for y := range light {
		for x := range light[y] {
			light[y][x] = float64(35 + rng.IntN(180))
		}
	}
	warm := rng.IntN(40)
	img := image.NewRGBA(image.Rect(0, 0, w, h))
	for y := range h {
		for x := range w {
			fx, fy := float64(x)*6/float64(w), float64(y)*5/float64(h)
			i, k := int(fx), int(fy)
			fx, fy = fx-float64(i), fy-float64(k)
			v := (light[k][i]*(1-fx)+light[k][i+1]*fx)*(1-fy) + (light[k+1][i]*(1-fx)+light[k+1][i+1]*fx)*fy
			img.SetRGBA(x, y, color.RGBA{uint8(v), uint8(v * 0.93), uint8(max(0, v*0.85-float64(warm))), 255})
		}
	}
	return img
}

// draw writes the past into a folder: each build has so many evenings of so many
// pictures, its stages one after the other. Two pictures of the first evening are
// there twice: once as a copy of the file, once as a messenger sends it. A scan has no
// date.
func draw(t testing.TB, dir string, evenings, each int) []truth {
	t.Helper()
	var all []truth
	put := func(name string, data []byte) {
		t.Helper()
		if err := os.WriteFile(filepath.Join(dir, name), data, 0o644); err != nil {
			t.Fatal(err)
		}
	}
	if err := os.MkdirAll(dir, 0o755); err != nil {
		t.Fatal(err)
	}
	n := uint64(0)
	for b, build := range models {
		begin := time.Date(2019, 2, 3, 19, 30, 0, 0, time.UTC).AddDate(0, b*10, 0)
		for e := range evenings {
			at := begin.AddDate(0, 0, e*5+e%3)
			for i := range each {
				n++
				one := truth{fmt.Sprintf("IMG_%05d.JPG", n), build, stagesOf[e*len(stagesOf)/evenings], at.Add(time.Duration(i*9) * time.Minute)}
				w, h := 160, 120
				if n%7 == 3 {
					w, h = h, w
				}
				img := patches(n, w, h)
				var data bytes.Buffer
				if err := scene.WriteJPEG(&data, img, scene.Exif{Make: "Tarrow", Model: "P5", At: one.at}); err != nil {
					t.Fatal(err)
				}
				put(one.file, data.Bytes())
				all = append(all, one)
				if b == 0 && e == 0 && i == 1 {
					put("IMG_00002 (1).JPG", data.Bytes())
				}
			}
		}
	}
	var scan bytes.Buffer
	if err := jpeg.Encode(&scan, patches(99999, 160, 120), nil); err != nil {
		t.Fatal(err)
	}
	put("scan.jpg", scan.Bytes())
	if err := os.Chtimes(filepath.Join(dir, "scan.jpg"), time.Time{}, time.Date(2019, 12, 4, 12, 0, 0, 0, time.UTC)); err != nil {
		t.Fatal(err)
	}
	return all
}

// newJournal is an empty journal.
func newJournal(t testing.TB) string {
	t.Helper()
	dir := filepath.Join(t.TempDir(), "bench")
	if err := journal.Create(dir, "bench", "UTC", time.Now()); err != nil {
		t.Fatal(err)
	}
	return dir
}

// newPages are the pages of the journal in dir.
func newPages(t testing.TB, dir string) *Pages {
	t.Helper()
	return New(t.Context(), Options{Dir: dir, Home: t.TempDir(), Now: time.Now,
		Open:   func() (*journal.Journal, error) { return journal.OpenAt(dir, time.Now) },
		Intake: func(*journal.Journal) inbox.Options { return inbox.Options{} },
		Page:   func(_ *journal.Journal, build string) string { return "/builds/" + build + ".html" }})
}

// looked is a journal whose drawn past was looked through.
func looked(t testing.TB, evenings, each int) (dir, pictures string, all []truth) {
	t.Helper()
	dir, pictures = newJournal(t), filepath.Join(t.TempDir(), "old phone")
	all = draw(t, pictures, evenings, each)
	j, err := journal.OpenAt(dir, time.Now)
	if err != nil {
		t.Fatal(err)
	}
	s, err := old.Look(context.Background(), j, []string{pictures}, nil)
	if err != nil || len(s.Left) > 0 {
		t.Fatalf("%v, left: %v", err, s.Left)
	}
	return dir, pictures, all
}

// asks what is asked of a handler, with what it answers.
func asks(h http.Handler, r *http.Request) *httptest.ResponseRecorder {
	w := httptest.NewRecorder()
	h.ServeHTTP(w, r)
	return w
}

// TestDrawInto draws a past of 3,000 pictures into the folder that RAKELIGHT_DRAW
// names, to look at the pages with.
func TestDrawInto(t *testing.T) {
	dir := os.Getenv("RAKELIGHT_DRAW")
	if dir == "" {
		t.Skip("RAKELIGHT_DRAW names no folder")
	}
	draw(t, dir, 50, 10)
}

// lookAt is the journal in a folder with its survey, as the pages lay it out.
func lookAt(dir string) (*look, error) {
	j, err := journal.OpenAt(dir, time.Now)
	if err != nil {
		return nil, err
	}
	s, err := old.Open(j)
	if err != nil {
		return nil, err
	}
	return newLook(j.State, s), nil
}
