// A whole import of large pictures, beside a well-known resizer on the same
// files: go test -run NONE -bench Import -benchtime 1x ./media/inbox

package inbox

import (
	"bytes"
	"context"
	"fmt"
	"image"
	"image/color"
	"image/jpeg"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"sync"
	"testing"

	"rakelight/media"
)

var benchWidths = []int{480, 960, 1600}

// variants are kinds of JPEG as cjpeg's options; the first is written without it.
var variants = []struct {
	name    string
	options []string
}{{"4:2:0", nil}, {"4:4:4", []string{"-sample", "1x1"}}, {"progressive", []string{"-progressive"}}}

// largePictures writes JPEGs of 24 megapixels with edges, gradients and grain.
func largePictures(b *testing.B, n int, options []string) (paths []string) {
	b.Helper()
	const w, h = 6000, 4000
	img := image.NewRGBA(image.Rect(0, 0, w, h))
	seed := uint32(1)
	for y := range h {
		for x := range w {
			seed = seed*1664525 + 1013904223
			grain := uint8(seed >> 27)
			img.SetRGBA(x, y, color.RGBA{uint8(x/30)&0xc0 + grain, uint8(y/20)&0xe0 + grain, uint8((x+y)/40) + grain, 255})
		}
	}
	dir := b.TempDir()
	for i := range n {
		img.SetRGBA(i, 0, color.RGBA{255, 0, 255, 255}) // no two alike
		var buf bytes.Buffer
		if options == nil {
			if err := jpeg.Encode(&buf, img, &jpeg.Options{Quality: 90}); err != nil {
				b.Fatal(err)
			}
		} else {
			cjpeg, err := exec.LookPath("cjpeg")
			if err != nil {
				b.Skip("cjpeg is not installed")
			}
			ppm := fmt.Appendf(nil, "P6 %d %d 255\n", w, h)
			for at := 0; at < len(img.Pix); at += 4 {
				ppm = append(ppm, img.Pix[at:at+3]...)
			}
			write := exec.Command(cjpeg, append([]string{"-quality", "90"}, options...)...)
			write.Stdin, write.Stdout = bytes.NewReader(ppm), &buf
			if err := write.Run(); err != nil {
				b.Fatal(err)
			}
		}
		path := filepath.Join(dir, fmt.Sprintf("p%d.jpg", i))
		if err := os.WriteFile(path, buf.Bytes(), 0o644); err != nil {
			b.Fatal(err)
		}
		paths = append(paths, path)
	}
	return paths
}

const benchFiles = 4

func BenchmarkImport(b *testing.B) {
	for _, v := range variants {
		b.Run(v.name, func(b *testing.B) { importBeside(b, largePictures(b, benchFiles, v.options)) })
	}
}

func importBeside(b *testing.B, paths []string) {
	b.Run("rakelight", func(b *testing.B) {
		for b.Loop() {
			j := bench(b)
			in := New(j, Options{Widths: benchWidths, SizePath: func(f media.Facts, w int) string {
				return j.Path(fmt.Sprintf(".cache/%s-%d.jpg", f.Hash[:16], w))
			}})
			sum, err := in.Take(context.Background(), paths, nil)
			if err != nil || sum.Taken != len(paths) {
				b.Fatalf("%+v, %v", sum, err)
			}
		}
		b.ReportMetric(b.Elapsed().Seconds()/float64(b.N*len(paths)), "s/photo")
		if status, err := os.ReadFile("/proc/self/status"); err == nil {
			for line := range strings.Lines(string(status)) {
				var kb float64
				if n, _ := fmt.Sscanf(line, "VmHWM: %f kB", &kb); n == 1 {
					b.ReportMetric(kb/1024, "MB-peak")
				}
			}
		}
	})
	b.Run("vipsthumbnail", func(b *testing.B) {
		program, err := exec.LookPath("vipsthumbnail")
		if err != nil {
			b.Skip("vipsthumbnail is not installed")
		}
		for b.Loop() {
			dir := b.TempDir()
			two := make(chan struct{}, 2)
			var wait sync.WaitGroup
			for _, p := range paths {
				for _, w := range benchWidths {
					wait.Go(func() {
						two <- struct{}{}
						defer func() { <-two }()
						out := filepath.Join(dir, fmt.Sprintf("%s-%d.jpg", strings.TrimSuffix(filepath.Base(p), ".jpg"), w))
						if text, err := exec.Command(program, "-s", fmt.Sprintf("%dx", w), "-o", out+"[Q=82]", p).CombinedOutput(); err != nil {
							b.Errorf("%v: %s", err, text)
						}
					})
				}
			}
			wait.Wait()
		}
		b.ReportMetric(b.Elapsed().Seconds()/float64(b.N*len(paths)), "s/photo")
	})
}
