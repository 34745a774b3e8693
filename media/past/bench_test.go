// What looking through old pictures takes, beside taking them in:
//
//	go test ./media/past -run NONE -bench . -benchtime 1x

package past

import (
	"bytes"
	"fmt"
	"image"
	"image/color"
	"image/jpeg"
	"path/filepath"
	"testing"
	"time"

	"rakelight/media"
	"rakelight/media/inbox"
	"rakelight/media/past/pasttest"
)

// largePictures writes JPEGs of so many megapixels with edges, gradients and grain.
func largePictures(b *testing.B, n, w, h int) (dir string) {
	b.Helper()
	img := image.NewRGBA(image.Rect(0, 0, w, h))
	seed := uint32(1)
	for y := range h {
		for x := range w {
			seed = seed*1664525 + 1013904223
			grain := uint8(seed >> 27)
			img.SetRGBA(x, y, color.RGBA{uint8(x/30)&0xc0 + grain, uint8(y/20)&0xe0 + grain, uint8((x+y)/40) + grain, 255})
		}
	}
	dir = b.TempDir()
	for i := range n {
		img.SetRGBA(i, 0, color.RGBA{255, 0, 255, 255}) // no two alike
		var buf bytes.Buffer
		if err := jpeg.Encode(&buf, img, &jpeg.Options{Quality: 90}); err != nil {
			b.Fatal(err)
		}
		put(b, filepath.Join(dir, fmt.Sprintf("p%02d.jpg", i)), buf.Bytes())
	}
	return dir
}

// BenchmarkLook looks through large pictures, takes the same ones in without and with
// the web sizes, and looks through a past of 3,000 small ones.
func BenchmarkLook(b *testing.B) {
	for _, size := range []struct{ w, h, n int }{{6000, 4000, 8}, {4000, 3000, 16}} {
		dir := largePictures(b, size.n, size.w, size.h)
		a := func(b *testing.B, do func(b *testing.B)) {
			for range b.N {
				begun := time.Now()
				do(b)
				b.ReportMetric(float64(size.n)/time.Since(begun).Seconds(), "pictures/s")
			}
		}
		b.Run(fmt.Sprintf("look %d MP", size.w*size.h/1e6), func(b *testing.B) {
			a(b, func(b *testing.B) { look(b, newJournal(b), dir) })
		})
		b.Run(fmt.Sprintf("take %d MP", size.w*size.h/1e6), func(b *testing.B) {
			a(b, func(b *testing.B) {
				j := newJournal(b)
				opts := inbox.Options{Widths: []int{480, 960, 1600}}
				sizes := b.TempDir()
				opts.SizePath = func(f media.Facts, w int) string { return filepath.Join(sizes, fmt.Sprint(f.Hash, w, ".jpg")) }
				if sum, err := inbox.New(j, opts).Take(b.Context(), []string{dir}, nil); err != nil || sum.Taken != size.n {
					b.Fatal(sum, err)
				}
			})
		})
	}
	b.Run("a past", func(b *testing.B) {
		past := pasttest.Make(pasttest.Options{Seed: 9, Layout: pasttest.Messy})
		dir := b.TempDir()
		if err := past.Write(dir); err != nil {
			b.Fatal(err)
		}
		for range b.N {
			j := newJournal(b)
			begun := time.Now()
			s := look(b, j, dir)
			b.ReportMetric(float64(len(past.Shots))/time.Since(begun).Seconds(), "files/s")
			begun = time.Now()
			look(b, j, dir)
			b.ReportMetric(time.Since(begun).Seconds(), "s-again")
			begun = time.Now()
			if _, err := Open(j); err != nil {
				b.Fatal(err)
			}
			b.ReportMetric(time.Since(begun).Seconds(), "s-open")
			begun = time.Now()
			n := len(s.Likely())
			b.ReportMetric(time.Since(begun).Seconds(), "s-likely")
			b.Logf("%d pictures, %d likely builds", len(s.Pictures), n)
		}
	})
}
