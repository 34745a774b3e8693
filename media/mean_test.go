package media

import (
	"image"
	"image/color"
	"image/jpeg"
	"os"
	"path/filepath"
	"testing"
)

func TestMean(t *testing.T) {
	const w, h = 37, 21 // no multiple of the encoder's blocks
	write := func(name string, at func(x, y int) color.Color) string {
		img := image.NewRGBA(image.Rect(0, 0, w, h))
		for y := range h {
			for x := range w {
				img.Set(x, y, at(x, y))
			}
		}
		path := filepath.Join(t.TempDir(), name)
		f, err := os.Create(path)
		if err == nil {
			err = jpeg.Encode(f, img, &jpeg.Options{Quality: 100})
		}
		if err != nil {
			t.Fatal(err)
		}
		f.Close()
		return path
	}
	// ITU-T T.871, 7: Y = 0.299 R + 0.587 G + 0.114 B; CB = (B-Y)/1.772 + 128; CR = (R-Y)/1.402 + 128.
	for _, c := range []struct {
		name string
		at   func(x, y int) color.Color
		want color.YCbCr
	}{
		{"one color", func(x, y int) color.Color { return color.RGBA{200, 120, 40, 255} }, color.YCbCr{Y: 135, Cb: 74, Cr: 175}},
		{"half black, half white", func(x, y int) color.Color { return color.Gray{uint8(255 * (y % 2))} }, color.YCbCr{Y: 121, Cb: 128, Cr: 128}}, // 10 of 21 lines
	} {
		got, err := Mean(write("a.jpg", c.at))
		near := func(a, b uint8) bool { return max(a, b)-min(a, b) <= 2 }
		if err != nil || !near(got.Y, c.want.Y) || !near(got.Cb, c.want.Cb) || !near(got.Cr, c.want.Cr) {
			t.Errorf("%s: %v, %v; want %v", c.name, got, err, c.want)
		}
	}
	broken := filepath.Join(t.TempDir(), "b.jpg")
	if err := os.WriteFile(broken, []byte("no picture"), 0o644); err != nil {
		t.Fatal(err)
	}
	if got, err := Mean(broken); err == nil || got != (color.YCbCr{}) {
		t.Errorf("%v, %v", got, err)
	}
}
