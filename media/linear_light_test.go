// Making smaller in linear light: every form of picture, blocks, and files.

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

// TestBlocksLookTheSame: the average of blocks before the resizer, against the
// resizer alone.
func TestBlocksLookTheSame(t *testing.T) {
	var buf bytes.Buffer
	if err := jpeg.Encode(&buf, detailed(1200, 800), &jpeg.Options{Quality: 95}); err != nil {
		t.Fatal(err)
	}
	img, err := jpeg.Decode(&buf)
	if err != nil {
		t.Fatal(err)
	}
	for _, c := range []struct{ width, block int }{{320, 2}, {140, 4}, {1000, 1}} {
		k := blockOf(1200, c.width)
		if k != c.block {
			t.Errorf("%d wide: blocks of %d", c.width, k)
		}
		h := c.width * 2 / 3
		p := psnr(lightOf(img, k, nil).resize(c.width, h).stored(), lightOf(img, 1, nil).resize(c.width, h).stored())
		t.Logf("%d wide: %.1f dB", c.width, p)
		if p < 33 {
			t.Errorf("%d wide: %.1f dB from the resizer alone", c.width, p)
		}
	}
}

// TestLightOfEveryForm: flat colors stay what they are, whatever the picture
// is stored as, blocks and resizing or not; what is transparent is on white.
func TestLightOfEveryForm(t *testing.T) {
	rect := image.Rect(3, 5, 104, 72)
	forms := map[string]image.Image{}
	for _, ratio := range []image.YCbCrSubsampleRatio{
		image.YCbCrSubsampleRatio444, image.YCbCrSubsampleRatio422, image.YCbCrSubsampleRatio420,
		image.YCbCrSubsampleRatio440, image.YCbCrSubsampleRatio411, image.YCbCrSubsampleRatio410,
	} {
		for _, r := range []image.Rectangle{rect, image.Rect(0, 0, 101, 67)} {
			img := image.NewYCbCr(r, ratio)
			for i := range img.Y {
				img.Y[i] = 100
			}
			for i := range img.Cb {
				img.Cb[i], img.Cr[i] = 90, 200
			}
			forms[fmt.Sprint(ratio, r.Min)] = img
		}
	}
	gray, half, pre := image.NewGray(rect), image.NewNRGBA(rect), image.NewRGBA(rect)
	for i := range gray.Pix {
		gray.Pix[i] = 77
		copy(half.Pix[4*i:], []byte{200, 100, 0, 128})
		copy(pre.Pix[4*i:], []byte{100, 50, 0, 128})
	}
	forms["gray"], forms["half transparent"], forms["premultiplied"] = gray, half, pre
	for name, img := range forms {
		r, g, b := color.YCbCrToRGB(100, 90, 200)
		want := color.NRGBA{r, g, b, 255}
		switch img.(type) {
		case *image.Gray:
			want = color.NRGBA{77, 77, 77, 255}
		case *image.NRGBA, *image.RGBA:
			want = color.NRGBA{227, 177, 127, 255}
		}
		for _, k := range []int{1, 3} {
			got := lightOf(img, k, nil).resize(20, 13).stored()
			for i := 0; i < len(got.Pix); i += 4 {
				c := color.NRGBA{got.Pix[i], got.Pix[i+1], got.Pix[i+2], got.Pix[i+3]}
				if max(int(c.R)-int(want.R), int(want.R)-int(c.R), int(c.G)-int(want.G), int(want.G)-int(c.G), int(c.B)-int(want.B), int(want.B)-int(c.B)) > 1 || c.A != 255 {
					t.Fatalf("%s, blocks of %d: %v, want %v", name, k, c, want)
				}
			}
		}
	}
}

// TestLongThinPictures keep at least one pixel each way.
func TestLongThinPictures(t *testing.T) {
	for _, r := range []image.Rectangle{image.Rect(0, 0, 5000, 1), image.Rect(0, 0, 5000, 2)} {
		img := image.NewGray(r)
		dst := filepath.Join(t.TempDir(), "a.jpg")
		sizes, err := writeSizes(img, nil, 1, func(int) string { return dst }, []int{100})
		if err != nil || sizes[0].Width != 100 || sizes[0].Height != 1 {
			t.Errorf("%v: %+v, %v", r, sizes, err)
		}
	}
}

// TestStoredValuesComeBack: all 256 of them.
func TestStoredValuesComeBack(t *testing.T) {
	img := image.NewGray(image.Rect(0, 0, 256, 1))
	for i := range 256 {
		img.Pix[i] = uint8(i)
	}
	got := lightOf(img, 1, nil).stored()
	for i := range 256 {
		if got.Pix[4*i] != uint8(i) {
			t.Errorf("%d became %d", i, got.Pix[4*i])
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
