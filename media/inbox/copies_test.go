// Smaller copies: recognised, set aside, taken in when a person says so.

package inbox

import (
	"bytes"
	"context"
	"image"
	"image/color"
	"image/draw"
	"image/jpeg"
	"math/rand/v2"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/disintegration/imaging"

	"rakelight/journal"
	"rakelight/media"
)

// bigShot is a picture with shapes on a ground that changes slowly, as photos
// have them, and its pixels.
func bigShot(t testing.TB, seed uint64) (image.Image, []byte) {
	t.Helper()
	rng := rand.New(rand.NewPCG(seed, 1))
	img := image.NewNRGBA(image.Rect(0, 0, 1200, 900))
	a, b := rng.IntN(200), rng.IntN(200)
	for y := range 900 {
		for x := range 1200 {
			img.SetNRGBA(x, y, color.NRGBA{uint8(a + x*50/1200), uint8(b + y*50/900), uint8(100 + (x+y)*60/2100), 255})
		}
	}
	for range 25 {
		x, y := rng.IntN(1100), rng.IntN(800)
		c := color.NRGBA{uint8(rng.IntN(256)), uint8(rng.IntN(256)), uint8(rng.IntN(256)), 255}
		draw.Draw(img, image.Rect(x, y, x+40+rng.IntN(300), y+40+rng.IntN(300)), image.NewUniform(c), image.Point{}, draw.Src)
	}
	return img, jpegOf(t, img, 92)
}

func jpegOf(t testing.TB, img image.Image, quality int) []byte {
	t.Helper()
	var b bytes.Buffer
	if err := jpeg.Encode(&b, img, &jpeg.Options{Quality: quality}); err != nil {
		t.Fatal(err)
	}
	return b.Bytes()
}

func sent(t testing.TB, img image.Image) []byte {
	return jpegOf(t, imaging.Resize(img, 640, 0, imaging.Lanczos), 60)
}

func takeAll(t *testing.T, j *journal.Journal) Summary {
	t.Helper()
	sum, err := New(j, Options{}).TakeAll(context.Background(), nil)
	if err != nil {
		t.Fatal(err)
	}
	return sum
}

func TestCopySetAside(t *testing.T) {
	j := bench(t)
	img, original := bigShot(t, 1)
	other, _ := bigShot(t, 2)
	small := sent(t, img)
	// The copy's name comes first; the original lies beside it in the batch.
	path := drop(t, j, "pilot-boat/clean/a-sent.jpg", small)
	drop(t, j, "b.jpg", original)
	drop(t, j, "c-other.jpg", sent(t, other))
	sum := takeAll(t, j)
	if sum.Taken != 2 || len(sum.Copies) != 1 || len(sum.Left) != 0 {
		t.Fatalf("%+v", sum)
	}
	o := sum.Copies[0]
	const aside = "inbox/aside/pilot-boat/clean/a-sent.jpg"
	for _, part := range []string{"640 × 480", "(b.jpg, 1200 × 900)", "rakelight take " + aside} {
		if !strings.Contains(o.Why, part) {
			t.Errorf("no %q in %q", part, o.Why)
		}
	}
	if data, err := os.ReadFile(j.Path(aside)); err != nil || !bytes.Equal(data, small) || exists(path) {
		t.Errorf("the copy is not aside byte for byte: %v", err)
	}
	if len(j.State.Asides) != 1 || j.State.Asides[0].Path != aside || j.State.Asides[0].CopyOf != j.State.FindPhoto("b.jpg")[0].Hash {
		t.Errorf("%+v", j.State.Asides)
	}
	// What is aside is left alone, another of its name gets a name of its own.
	drop(t, j, "pilot-boat/clean/a-sent.jpg", jpegOf(t, imaging.Resize(img, 500, 0, imaging.Lanczos), 50))
	if sum := takeAll(t, j); sum.Taken != 0 || len(sum.Copies) != 1 || !exists(j.Path("inbox/aside/pilot-boat/clean/a-sent (2).jpg")) || !exists(j.Path(aside)) {
		t.Errorf("%+v", sum)
	}
	if sum := takeAll(t, j); sum.Taken+len(sum.Copies)+len(sum.Left) != 0 {
		t.Errorf("%+v", sum)
	}
	// A person overrules, and the folders it lay in still speak.
	sum, err := New(j, Options{}).Take(context.Background(), []string{j.Path(aside)}, nil)
	if err != nil || sum.Taken != 1 || exists(j.Path(aside)) {
		t.Fatalf("%+v, %v", sum, err)
	}
	if p := j.State.FindPhoto("a-sent.jpg")[0]; p.Tags.Build != "pilot-boat" || p.Tags.Stage != "clean" || len(j.State.Asides) != 1 {
		t.Errorf("%+v, %+v", p.Tags, j.State.Asides)
	}
}

// Files elsewhere are the person's: a copy among them is told of and stays; one
// that is named itself is taken in.
func TestCopyElsewhere(t *testing.T) {
	j := bench(t)
	img, original := bigShot(t, 1)
	drop(t, j, "b.jpg", original)
	takeAll(t, j)
	dir := t.TempDir()
	path := filepath.Join(dir, "sent.jpg")
	if err := os.WriteFile(path, sent(t, img), 0o644); err != nil {
		t.Fatal(err)
	}
	in := New(j, Options{})
	sum, err := in.Take(context.Background(), []string{dir}, nil)
	if err != nil || len(sum.Copies) != 1 || sum.Taken != 0 || !exists(path) || len(j.State.Asides) != 0 {
		t.Errorf("%+v, %v", sum, err)
	}
	if sum, err = in.Take(context.Background(), []string{path}, nil); err != nil || sum.Taken != 1 || !exists(path) {
		t.Errorf("%+v, %v", sum, err)
	}
}

// What tells its camera, is as large, or whose original cannot be opened, is
// no copy; and a crash between the record and the move loses nothing.
func TestNoCopy(t *testing.T) {
	img, original := bigShot(t, 1)
	t.Run("bare", func(t *testing.T) {
		if !bare(media.Facts{}) || bare(media.Facts{Camera: journal.Camera{Model: "T-24"}}) || bare(media.Facts{Claims: media.Claims{List: []media.Claim{{Tag: "DateTime"}}}}) {
			t.Error("what tells its camera or its time is no messenger's copy")
		}
	})
	t.Run("as large", func(t *testing.T) {
		j := bench(t)
		drop(t, j, "a.jpg", original)
		drop(t, j, "b.jpg", jpegOf(t, img, 50))
		if sum := takeAll(t, j); sum.Taken != 2 {
			t.Errorf("%+v", sum)
		}
	})
	t.Run("the original is gone", func(t *testing.T) {
		j := bench(t)
		drop(t, j, "a.jpg", original)
		takeAll(t, j)
		if err := os.Remove(j.Path(j.State.Photos[0].Path)); err != nil {
			t.Fatal(err)
		}
		drop(t, j, "b.jpg", sent(t, img))
		if sum := takeAll(t, j); sum.Taken != 1 {
			t.Errorf("%+v", sum)
		}
	})
	t.Run("recorded, not moved", func(t *testing.T) {
		j := bench(t)
		drop(t, j, "a.jpg", original)
		takeAll(t, j)
		drop(t, j, "b.jpg", sent(t, img))
		if sum := takeAll(t, j); len(sum.Copies) != 1 {
			t.Fatalf("%+v", sum)
		}
		if err := os.Rename(j.Path("inbox/aside/b.jpg"), j.Path("inbox/b.jpg")); err != nil {
			t.Fatal(err)
		}
		if sum := takeAll(t, j); len(sum.Copies) != 1 || len(j.State.Asides) != 1 || !exists(j.Path("inbox/aside/b.jpg")) {
			t.Errorf("%+v, %+v", sum, j.State.Asides)
		}
	})
	t.Run("a burst is no copy", func(t *testing.T) {
		j := bench(t)
		drop(t, j, "a.jpg", original)
		drop(t, j, "b.jpg", sent(t, imaging.Crop(img, image.Rect(12, 9, 1200, 900))))
		if sum := takeAll(t, j); sum.Taken != 2 {
			t.Errorf("%+v", sum)
		}
	})
}
