package past

import (
	"bytes"
	"crypto/sha256"
	"encoding/hex"
	"fmt"
	"image"
	"image/color"
	"math"
	"math/rand/v2"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"time"

	"rakelight/journal"
	"rakelight/media"
)

// patchwork is a picture of patches of a few colors on gray, others for each number, in
// a light.
func patchwork(n uint64, light [3]float64, of ...color.RGBA) image.Image {
	rng := rand.New(rand.NewPCG(n, 8))
	img := image.NewRGBA(image.Rect(0, 0, 48, 36))
	for y := range 36 {
		for x := range 48 {
			c := color.RGBA{60, 60, 60, 255}
			if x/4 == 0 {
				c = color.RGBA{220, 220, 220, 255}
			} else if rng.Float64() < 0.5 {
				c = of[rng.IntN(len(of))]
			}
			img.SetRGBA(x, y, color.RGBA{uint8(float64(c.R) * light[0]), uint8(float64(c.G) * light[1]), uint8(float64(c.B) * light[2]), 255})
		}
	}
	return img
}

var (
	red, green, blue = color.RGBA{170, 40, 30, 255}, color.RGBA{60, 110, 50, 255}, color.RGBA{40, 60, 140, 255}
	tan, teal, white = color.RGBA{190, 150, 90, 255}, color.RGBA{40, 120, 120, 255}, color.RGBA{200, 200, 200, 255}
)

// The color of the light is taken out: in warm light a picture keeps its colors, more
// than it has those of another.
func TestColorsKeepInAnotherLight(t *testing.T) {
	differ := func(a, b []byte) (d float64) {
		for i := range a {
			d += math.Pow(float64(a[i])-float64(b[i]), 2)
		}
		return math.Sqrt(d)
	}
	day, warm := [3]float64{1, 1, 1}, [3]float64{1, 0.85, 0.6}
	own := colorsOf(patchwork(1, day, red, tan))
	same, other := differ(own, colorsOf(patchwork(2, warm, red, tan))), differ(own, colorsOf(patchwork(3, day, green, teal)))
	if same > 0.3*other {
		t.Errorf("in warm light it differs by %.0f, another picture by %.0f", same, other)
	}
	for _, odd := range []image.Rectangle{image.Rect(0, 0, 300, 1), image.Rect(0, 0, 1, 1), image.Rect(5, 5, 105, 85)} {
		if c := colorsOf(image.NewRGBA(odd)); c != nil && len(c) != colorBins {
			t.Errorf("%v: %d colors", odd, len(c))
		}
	}
}

// evening is one at the bench, on a day, of pictures of some colors.
type eveningOf struct {
	day    int
	colors []color.RGBA
}

// likelyOf are the likely builds of some evenings, seen or not, as first and last day.
func likelyOf(all []eveningOf, seen bool) (spans []string, rested []int) {
	files := map[string]*file{}
	root := filepath.Join(string(filepath.Separator), "phone")
	for _, e := range all {
		for i := range 4 {
			at := time.Date(2020, 1, 1+e.day, 19, 40*i, 0, 0, time.UTC)
			sum := sha256.Sum256(fmt.Append(nil, at, e.colors))
			f := &file{path: filepath.Join(root, fmt.Sprintf("%x.jpg", sum[:4])), Hash: hex.EncodeToString(sum[:]), Kind: "jpeg", Width: 320, Height: 240,
				Turn: 1, Camera: journal.Camera{Make: "Tarrow", Model: "P5"}, Time: at.UnixNano(),
				Claims: media.Claims{List: []media.Claim{{Tag: "DateTimeOriginal", Text: at.Format("2006:01:02 15:04:05")}}}}
			if seen {
				f.Colors = colorsOf(patchwork(uint64(100*e.day+i), [3]float64{1, 1, 1}, e.colors...))
			}
			files[f.path] = f
		}
	}
	s := survey(&journal.State{Zone: time.UTC}, time.Date(2026, 3, 14, 12, 0, 0, 0, time.UTC), []string{root}, files)
	day := func(at time.Time) int { return int(at.Sub(time.Date(2020, 1, 1, 0, 0, 0, 0, time.UTC)).Hours() / 24) }
	for _, l := range s.Likely() {
		spans, rested = append(spans, fmt.Sprintf("%d..%d", day(l.First), day(l.Last))), append(rested, l.Why.Rested)
	}
	return spans, rested
}

// every is an evening every so many days.
func every(days, from, to int, of ...color.RGBA) (all []eveningOf) {
	for d := from; d <= to; d += days {
		all = append(all, eveningOf{d, of})
	}
	return all
}

// A build that goes on after a rest is one where it looks alike, and says so; two at one
// time are two where they look different. Dates alone tell neither.
func TestLooksTellBuilds(t *testing.T) {
	var all []eveningOf
	for i, of := range [][]color.RGBA{{red, tan}, {green, teal}, {blue, white}, {tan, white}} {
		all = append(all, every(2, 140*i, 140*i+90, of...)...)
	}
	rests := slices.Concat(all, every(2, 560, 620, red, teal), every(2, 660, 740, red, teal))
	spans, rested := likelyOf(rests, true)
	if want := "[0..90 140..230 280..370 420..510 560..740]"; fmt.Sprint(spans) != want || rested[len(rested)-1] != 40 {
		t.Errorf("looked at: %v after rests of %v", spans, rested)
	}
	if spans, _ := likelyOf(rests, false); len(spans) != 6 {
		t.Errorf("by time alone: %v", spans)
	}
	beside := slices.Concat(all, every(3, 560, 620, red, teal), every(3, 561, 618, blue, green))
	// The first evening of the second may still go with the other: nothing is known of it then.
	if spans, _ := likelyOf(beside, true); len(spans) != 6 || spans[4] != "560..620" || !strings.HasSuffix(spans[5], "..618") {
		t.Errorf("two at one time, looked at: %v", spans)
	}
	if spans, _ := likelyOf(beside, false); len(spans) != 5 {
		t.Errorf("two at one time, by time alone: %v", spans)
	}
}

// Colors are read with the rest, and kept.
func TestColorsAreKept(t *testing.T) {
	j := newJournal(t)
	read := look(t, j, oldFolder(t))
	again, err := Open(j)
	if err != nil {
		t.Fatal(err)
	}
	for _, p := range read.Pictures {
		if kept := again.Picture(p.Hash); len(p.colors) != colorBins || !bytes.Equal(kept.colors, p.colors) {
			t.Errorf("%s: %v, kept %v", p.Name, p.colors, kept.colors)
		}
	}
}
