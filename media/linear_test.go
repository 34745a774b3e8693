// Making smaller in linear light against doing it on the stored values: how much
// too dark the second is, and what the first costs.
// go test -run NONE -bench Light ./media

package media

import (
	"image"
	"math"
	"path/filepath"
	"testing"

	"github.com/disintegration/imaging"
)

// storedShrink is the way not taken: luma and chroma are averaged as they are
// stored, then resized as stored.
func storedShrink(p *image.YCbCr, width int) *image.NRGBA {
	k := blockOf(p.Rect.Dx(), width)
	sx, sy := 1, 1
	switch p.SubsampleRatio {
	case image.YCbCrSubsampleRatio420:
		sx, sy = 2, 2
	case image.YCbCrSubsampleRatio422:
		sx = 2
	}
	if k == 1 || k%2 == 1 && sx == 2 {
		return imaging.Resize(p, width, 0, imaging.Lanczos)
	}
	out := image.NewYCbCr(image.Rect(0, 0, p.Rect.Dx()/k, p.Rect.Dy()/k), image.YCbCrSubsampleRatio444)
	mean := func(dst []uint8, stride int, src []uint8, from, kx, ky int) {
		w := out.Rect.Dx()
		inBands(out.Rect.Dy(), func(y0, y1 int) {
			for y := y0; y < y1; y++ {
				for x := range w {
					sum := kx * ky / 2
					for dy := range ky {
						for _, v := range src[(y*ky+dy)*from+x*kx:][:kx] {
							sum += int(v)
						}
					}
					dst[y*stride+x] = uint8(sum / (kx * ky))
				}
			}
		})
	}
	mean(out.Y, out.YStride, p.Y, p.YStride, k, k)
	mean(out.Cb, out.CStride, p.Cb, p.CStride, k/sx, k/sy)
	mean(out.Cr, out.CStride, p.Cr, p.CStride, k/sx, k/sy)
	return imaging.Resize(out, width, 0, imaging.Lanczos)
}

// linearShrink is how the web sizes are made.
func linearShrink(p *image.YCbCr, width int) *image.NRGBA {
	w, h, _ := fitted(p.Rect, width, 1)
	return lightOf(p, blockOf(p.Rect.Dx(), width), nil).resize(w, h).stored()
}

// luminance is the mean light of a picture, 0 to 1 (IEC 61966-2-1 weights).
func luminance(img image.Image) float64 {
	b := img.Bounds()
	sum := 0.0
	var lin [256]float64
	for i := range lin {
		lin[i] = decodeSRGB(float64(i) / 255)
	}
	for y := b.Min.Y; y < b.Max.Y; y++ {
		for x := b.Min.X; x < b.Max.X; x++ {
			r, g, bl, _ := img.At(x, y).RGBA()
			sum += 0.2126*lin[r>>8] + 0.7152*lin[g>>8] + 0.0722*lin[bl>>8]
		}
	}
	return sum / float64(b.Dx()*b.Dy())
}

// drawn is a gray picture of luma by place.
func drawn(w, h int, at func(x, y int) uint8) *image.YCbCr {
	p := image.NewYCbCr(image.Rect(0, 0, w, h), image.YCbCrSubsampleRatio420)
	for i := range p.Cb {
		p.Cb[i], p.Cr[i] = 128, 128
	}
	for y := range h {
		for x := range w {
			p.Y[p.YOffset(x, y)] = at(x, y)
		}
	}
	return p
}

// lightCases are two patterns that could not be harder, and real photos.
func lightCases(t testing.TB) map[string]*image.YCbCr {
	cases := map[string]*image.YCbCr{
		"black and white lines of one pixel": drawn(1920, 1280, func(x, _ int) uint8 { return uint8(255 * (x % 2)) }),
		"bright lines on dark gray":          drawn(1920, 1280, func(x, y int) uint8 { return uint8(40 + 215*boolInt(x%9 == 0 || y%11 == 0)) }),
	}
	dir := filepath.Join(moduleDir(t, "github.com/bep/imagemeta"), "testdata")
	for _, name := range lightPhotos {
		img, err := Decode(filepath.Join(dir, name), DefaultLimits)
		if err != nil {
			t.Fatal(err)
		}
		if p, ok := img.(*image.YCbCr); ok {
			cases[filepath.Base(name)] = p
		} else {
			t.Fatalf("%s is a %T", name, img)
		}
	}
	return cases
}

func boolInt(b bool) int {
	if b {
		return 1
	}
	return 0
}

// TestLight: the mean light of what is written is the picture's own, even of the
// patterns, whose light stored values lose by half.
func TestLight(t *testing.T) {
	for name, p := range lightCases(t) {
		width := p.Rect.Dx() * 4 / 15 // as 6000 to 1600
		want := luminance(p)
		stored := luminance(storedShrink(p, width))
		linear := luminance(linearShrink(p, width))
		t.Logf("%-36s light %.4f; stored values %+.1f %%, linear %+.1f %%", name, want, 100*(stored-want)/want, 100*(linear-want)/want)
		// Overshoot beside bright lines that black cuts off is what is left.
		if math.Abs(linear-want) > 0.05*want {
			t.Errorf("%s: the light is off by %.4f of %.4f", name, linear-want, want)
		}
		if filepath.Ext(name) == "" && want-stored < 0.4*want {
			t.Errorf("%s: stored values lose %.4f only: the pattern says little", name, want-stored)
		}
	}
}

func BenchmarkLight(b *testing.B) {
	p := drawn(6000, 4000, func(x, y int) uint8 { return uint8(x*7 + y*3 ^ x*y) })
	b.Run("stored", func(b *testing.B) {
		for b.Loop() {
			storedShrink(p, 1600)
		}
	})
	b.Run("linear", func(b *testing.B) {
		for b.Loop() {
			linearShrink(p, 1600)
		}
	})
}

// lightPhotos are two photos of cameras, 9 and 10 megapixels.
var lightPhotos = []string{"images/hugo-issue-12669.jpg", "images/outofbounds-issue-34.jpg"}
