// The average of blocks before the resizer, against the resizer alone.

package media

import (
	"bytes"
	"fmt"
	"image"
	"image/color"
	"image/jpeg"
	"math"
	"os"
	"path/filepath"
	"testing"
)

// detailed is a picture with gradients, fine stripes and edges.
func detailed(w, h int) *image.NRGBA {
	img := image.NewNRGBA(image.Rect(0, 0, w, h))
	for y := range h {
		for x := range w {
			v := 128 + 60*math.Sin(float64(x*x)/float64(9*w)) + 40*math.Sin(float64(y)/7)
			c := color.NRGBA{uint8(v), uint8(255 * x / w), uint8(255 * y / h), 255}
			if (x/97+y/61)%5 == 0 {
				c = color.NRGBA{20, 30, 40, 255}
			}
			img.SetNRGBA(x, y, c)
		}
	}
	return img
}

func psnr(a, b image.Image) float64 {
	r := a.Bounds()
	var sum, n float64
	for y := range r.Dy() {
		for x := range r.Dx() {
			r1, g1, b1, _ := a.At(x, y).RGBA()
			r2, g2, b2, _ := b.At(x, y).RGBA()
			for _, d := range []float64{float64(r1>>8) - float64(r2>>8), float64(g1>>8) - float64(g2>>8), float64(b1>>8) - float64(b2>>8)} {
				sum += d * d
				n++
			}
		}
	}
	return 10 * math.Log10(255*255*n/max(sum, 1e-9))
}

func TestReduceLooksTheSame(t *testing.T) {
	var buf bytes.Buffer
	if err := jpeg.Encode(&buf, detailed(1200, 800), &jpeg.Options{Quality: 95}); err != nil {
		t.Fatal(err)
	}
	img, err := jpeg.Decode(&buf)
	if err != nil {
		t.Fatal(err)
	}
	for _, c := range []struct {
		width, turn, left int // left is the width before the resizer
		least             float64
	}{
		{320, 1, 600, 34}, {140, 1, 300, 34}, {1000, 1, 1200, 99}, {200, 6, 600, 34},
	} {
		small := reduce(img, c.width, c.turn)
		if small.Bounds().Dx() != c.left {
			t.Errorf("%d wide, turn %d: reduced to %v", c.width, c.turn, small.Bounds())
		}
		got, want := shrink(small, c.width, c.turn), shrink(img, c.width, c.turn)
		if got.Bounds() != want.Bounds() {
			t.Errorf("%d wide: %v, want %v", c.width, got.Bounds(), want.Bounds())
			continue
		}
		p := psnr(got, want)
		t.Logf("%d wide, turn %d: %.1f dB", c.width, c.turn, p)
		if p < c.least {
			t.Errorf("%d wide, turn %d: %.1f dB from the resizer alone", c.width, c.turn, p)
		}
	}
}

// TestReduceOfEveryChroma averages flat colours exactly.
func TestReduceOfEveryChroma(t *testing.T) {
	for _, ratio := range []image.YCbCrSubsampleRatio{image.YCbCrSubsampleRatio444, image.YCbCrSubsampleRatio422, image.YCbCrSubsampleRatio420, image.YCbCrSubsampleRatio440} {
		img := image.NewYCbCr(image.Rect(0, 0, 101, 67), ratio)
		for i := range img.Y {
			img.Y[i] = 100
		}
		for i := range img.Cb {
			img.Cb[i], img.Cr[i] = 90, 200
		}
		out := reduce(img, 20, 1)
		b := out.Bounds()
		for y := range b.Dy() {
			for x := range b.Dx() {
				if got := out.At(x, y); got != (color.YCbCr{100, 90, 200}) {
					t.Fatalf("%v at %d,%d: %v", ratio, x, y, got)
				}
			}
		}
	}
}

// TestReadSizes gives what Read and Sizes give, of one decoding.
func TestReadSizes(t *testing.T) {
	src := write(t, "a.jpg", jpegWith(t, detailed(400, 300), exifSegment(block(goodFirst, goodExif))))
	dir := t.TempDir()
	facts, sizes, err := ReadSizes(src, func(f Facts, w int) string { return filepath.Join(dir, fmt.Sprint(f.Hash[:8], "-", w, ".jpg")) }, []int{60, 120})
	if err != nil || len(sizes) != 2 {
		t.Fatalf("%v, %v", sizes, err)
	}
	alone, err := Sizes(src, facts.Turn, func(w int) string { return filepath.Join(dir, fmt.Sprint(w, ".jpg")) }, []int{60, 120})
	if err != nil {
		t.Fatal(err)
	}
	for i := range sizes {
		a, errA := os.ReadFile(sizes[i].Path)
		b, errB := os.ReadFile(alone[i].Path)
		if errA != nil || errB != nil || !bytes.Equal(a, b) || sizes[i].Width != alone[i].Width {
			t.Errorf("%+v and %+v differ: %v, %v", sizes[i], alone[i], errA, errB)
		}
	}
	if f, sizes, err := ReadSizes(write(t, "b.jpg", []byte("a shopping list")), nil, []int{60}); err == nil || sizes != nil || f.Hash != "" {
		t.Errorf("%+v, %v, %v", f, sizes, err)
	}
}
