// Tests of fingerprints: on the small pictures that real cameras put into
// their files, and on drawn ones.

package media

import (
	"bytes"
	"image"
	"image/color"
	"image/draw"
	"image/jpeg"
	"maps"
	"os"
	"path/filepath"
	"slices"
	"testing"

	"github.com/disintegration/imaging"
	"github.com/rwcarlsen/goexif/exif"
)

// previews are the small pictures in the real camera files: each a different
// photo, of some 160 by 120 pixels. The collection has some photos under two
// names; those count once.
func previews(t testing.TB) map[string]image.Image {
	t.Helper()
	found := map[string]image.Image{}
	seen := map[string]bool{}
	for _, path := range samples(t) {
		f, err := os.Open(path)
		if err != nil {
			t.Fatal(err)
		}
		x, err := exif.Decode(f)
		f.Close()
		if x == nil || err != nil && exif.IsCriticalError(err) {
			continue
		}
		data, err := x.JpegThumbnail()
		if err != nil {
			continue
		}
		img, err := jpeg.Decode(bytes.NewReader(data))
		if err != nil || seen[string(data)] {
			continue
		}
		seen[string(data)] = true
		found[path] = img
	}
	return found
}

func packed(t testing.TB, img image.Image, quality int) image.Image {
	t.Helper()
	var b bytes.Buffer
	if err := jpeg.Encode(&b, img, &jpeg.Options{Quality: quality}); err != nil {
		t.Fatal(err)
	}
	out, err := jpeg.Decode(&b)
	if err != nil {
		t.Fatal(err)
	}
	return out
}

// burstFingerprint is the bound of the journal's bursts (see journal/burst.go).
const burstFingerprint = 10

// Different photos never look like one burst; a photo moved by a hand, packed
// anew, brightened or blurred does.
func TestFingerprints(t *testing.T) {
	all := previews(t)
	var prints []string
	for path, img := range all {
		l := LookOf(img, 1)
		if len(l.Fingerprint) != 16 {
			t.Errorf("%s has no print", path)
		}
		prints = append(prints, l.Fingerprint)
	}
	if len(prints) < 40 {
		t.Fatalf("only %d pictures", len(prints))
	}
	nearest, pairs := 64, 0
	for i, a := range prints {
		for _, b := range prints[:i] {
			pairs++
			nearest = min(nearest, FingerprintDistance(a, b))
		}
	}
	t.Logf("%d pictures, %d pairs of different ones: the nearest differ in %d of 64", len(prints), pairs, nearest)
	if nearest <= burstFingerprint+2 {
		t.Errorf("two different photos differ in only %d of 64", nearest)
	}
	for _, v := range []struct {
		name string
		far  int // at most so far from the picture itself
		as   func(img image.Image) image.Image
	}{
		{"half the size, quality 60", 6, func(img image.Image) image.Image {
			return packed(t, imaging.Resize(img, img.Bounds().Dx()/2, 0, imaging.Lanczos), 60)
		}},
		{"quality 40", 4, func(img image.Image) image.Image { return packed(t, img, 40) }},
		{"moved by a hundredth", burstFingerprint, func(img image.Image) image.Image {
			b := img.Bounds()
			return packed(t, imaging.Crop(img, image.Rect(b.Dx()/100+1, b.Dy()/100+1, b.Dx(), b.Dy())), 85)
		}},
		{"brighter", 6, func(img image.Image) image.Image { return packed(t, imaging.AdjustBrightness(img, 5), 85) }},
		{"blurred", 6, func(img image.Image) image.Image { return packed(t, imaging.Blur(img, 1), 85) }},
	} {
		most := 0
		for path, img := range all {
			d := FingerprintDistance(LookOf(img, 1).Fingerprint, LookOf(v.as(img), 1).Fingerprint)
			if most = max(most, d); d > v.far {
				t.Errorf("%s, %s: %d of 64", filepath.Base(path), v.name, d)
			}
		}
		t.Logf("%s: at most %d of 64", v.name, most)
	}
}

// A copy made smaller is known; another picture, a brighter one, one that is
// cropped or written upon is not.
func TestCopies(t *testing.T) {
	all := previews(t)
	names := slices.Sorted(maps.Keys(all))[:16]
	var originals []Look
	tremor := 0
	for _, name := range names {
		// As large as a camera's, next to a copy as large as a messenger's.
		img := packed(t, imaging.Resize(all[name], 1200, 0, imaging.Linear), 92)
		b := img.Bounds()
		l := LookOf(img, 1)
		originals = append(originals, l)
		if c := LookOf(packed(t, imaging.Resize(img, 640, 0, imaging.Lanczos), 60), 1); !l.Copies(c) || !c.Copies(l) {
			mean, most := l.Differ(c)
			t.Errorf("%s: a copy is not known: %d of 64, mean %.2f, most %.0f", filepath.Base(name), FingerprintDistance(l.Fingerprint, c.Fingerprint), mean, most)
		}
		written := imaging.Clone(img)
		draw.Draw(written, image.Rect(40, 40, 240, 140), image.NewUniform(color.Black), image.Point{}, draw.Src)
		draw.Draw(written, image.Rect(60, 60, 220, 120), image.White, image.Point{}, draw.Src)
		for what, other := range map[string]image.Image{
			"brighter": imaging.AdjustBrightness(img, 8), "written upon": written,
			"cropped": imaging.Crop(img, image.Rect(60, 60, b.Dx(), b.Dy())),
		} {
			if l.Copies(LookOf(other, 1)) {
				t.Errorf("%s: %s, and still a copy", filepath.Base(name), what)
			}
		}
		if l.Copies(LookOf(imaging.Crop(img, image.Rect(12, 12, b.Dx(), b.Dy())), 1)) {
			tremor++
		}
	}
	for i := range originals {
		for k := range i {
			if originals[i].Copies(originals[k]) {
				t.Errorf("%s and %s are two pictures", filepath.Base(names[i]), filepath.Base(names[k]))
			}
		}
	}
	t.Logf("the next picture of a burst, moved by a hundredth, passes for a copy in %d of %d", tremor, len(names))
	if tremor > 3 {
		t.Errorf("%d of %d neighbours pass for copies", tremor, len(names))
	}
}

// Stored turned, a picture looks the same upright; each kind of pixels gives
// the same look; what cannot be compared has no print.
func TestLookForms(t *testing.T) {
	img := picture(300, 200)
	want := LookOf(img, 1)
	if want.Fingerprint == "" || want.Sharp <= 0 {
		t.Fatalf("%+v", want)
	}
	for turn := 1; turn <= 8; turn++ {
		// The turn that undoes it: 6 and 8 undo each other, the rest themselves.
		stored := Upright(img, map[int]int{6: 8, 8: 6}[turn]+map[bool]int{true: turn}[turn != 6 && turn != 8])
		if got := LookOf(stored, turn); FingerprintDistance(got.Fingerprint, want.Fingerprint) > 0 {
			t.Errorf("turn %d: %s, want %s", turn, got.Fingerprint, want.Fingerprint)
		}
	}
	rgba, deep := image.NewRGBA(img.Rect), image.NewNRGBA64(img.Rect)
	grays := image.NewGray(img.Rect)
	for _, to := range []draw.Image{rgba, deep, grays} {
		draw.Draw(to, img.Rect, img, image.Point{}, draw.Src)
	}
	for _, other := range []image.Image{rgba, deep, grays, packed(t, img, 95)} {
		if got := LookOf(other, 1); FingerprintDistance(got.Fingerprint, want.Fingerprint) > 2 {
			t.Errorf("%T: %s, want %s", other, got.Fingerprint, want.Fingerprint)
		}
	}
	for _, none := range []image.Image{image.NewGray(image.Rect(0, 0, 8, 8)), image.NewGray(image.Rect(0, 0, 100, 100)), image.NewGray(image.Rect(0, 0, 1, 5000))} {
		l := LookOf(none, 1)
		if l.Fingerprint != "" || l.Copies(l) || FingerprintDistance(l.Fingerprint, l.Fingerprint) != 64 {
			t.Errorf("%v: %+v", none.Bounds(), l)
		}
	}
	if _, err := lookOf(brokenPalette(), 1); err == nil {
		t.Error("a color past the palette was read")
	}
}

// Of pictures of one subject the blurred one is less sharp, also when it is
// darker or brighter.
func TestSharp(t *testing.T) {
	less, n := 0, 0
	for _, img := range previews(t) {
		n++
		sharp := LookOf(img, 1).Sharp
		if LookOf(imaging.Blur(img, 0.8), 1).Sharp < sharp && LookOf(imaging.AdjustBrightness(imaging.Blur(img, 0.8), 8), 1).Sharp < sharp {
			less++
		}
	}
	t.Logf("%d of %d blurred pictures are less sharp", less, n)
	if less < n*95/100 {
		t.Errorf("only %d of %d blurred pictures are less sharp", less, n)
	}
}
