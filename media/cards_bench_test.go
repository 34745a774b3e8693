// What the search for cards adds to the taking in of a photo.

package media

import (
	"fmt"
	"image/jpeg"
	"os"
	"path/filepath"
	"slices"
	"testing"
	"time"

	"rakelight/journal"
	"rakelight/media/card"
	"rakelight/media/card/shot"
)

// BenchmarkIntakeCards takes in photos of 12 megapixels, with the search and
// without it in turn, so that a busy machine slows both alike; medians are
// told. The photos have no card, on each kind of bench, with little noise and
// with much, or one. "search-ms" is the search alone, "without-ms" is Read less
// the search; "added-%" is the search by that, and "added-sizes-%" by
// ReadSizes with three web sizes less the search.
func BenchmarkIntakeCards(b *testing.B) {
	dir := b.TempDir()
	for _, bench := range shot.Benches {
		for _, noise := range []float64{3, 11} {
			s := shot.Shot{Width: 4000, Height: 3000, Seed: 3, Bench: bench, Noise: noise}
			b.Run(fmt.Sprintf("%s, noise %v, no card", bench, noise), func(b *testing.B) { intake(b, dir, s) })
		}
		p := card.Face{Card: journal.Card{Says: journal.EndCard}, Words: "End"}
		s := shot.Shot{Width: 4000, Height: 3000, Seed: 3, Bench: bench, Noise: 3,
			Cards: []shot.Placed{{Face: p, Share: 0.15, X: 0.5, Y: 0.5, Turn: 0.2, Tilt: 0.2}}}
		b.Run(bench+", a card", func(b *testing.B) { intake(b, dir, s) })
	}
}

func intake(b *testing.B, dir string, s shot.Shot) {
	path := filepath.Join(dir, "photo.jpg")
	if err := writeShot(s, path); err != nil {
		b.Fatal(err)
	}
	img, err := Decode(path, DefaultLimits)
	if err != nil {
		b.Fatal(err)
	}
	dst := func(_ Facts, w int) string { return filepath.Join(dir, fmt.Sprint(w)+".jpg") }
	var search, read, sizes []float64 // milliseconds
	timed := func(to *[]float64, do func()) {
		start := time.Now()
		do()
		*to = append(*to, time.Since(start).Seconds()*1000)
	}
	for b.Loop() {
		timed(&search, func() {
			if seen := cardsOf(brightness(img)); len(seen) != len(s.Cards) {
				b.Fatalf("%d cards seen", len(seen))
			}
		})
		timed(&read, func() { _, err = Read(path) })
		if err != nil {
			b.Fatal(err)
		}
		timed(&sizes, func() { _, _, err = ReadSizes(path, dst, []int{480, 960, 1600}) })
		if err != nil {
			b.Fatal(err)
		}
	}
	middle := func(v []float64) float64 {
		slices.Sort(v)
		return v[len(v)/2]
	}
	cost := middle(search)
	b.ReportMetric(cost, "search-ms")
	b.ReportMetric(middle(read)-cost, "without-ms")
	b.ReportMetric(100*cost/(middle(read)-cost), "added-%")
	b.ReportMetric(100*cost/(middle(sizes)-cost), "added-sizes-%")
	b.ReportMetric(0, "ns/op")
}

func writeShot(s shot.Shot, path string) error {
	img, err := s.Draw()
	if err != nil {
		return err
	}
	f, err := os.Create(path)
	if err != nil {
		return err
	}
	if err := jpeg.Encode(f, img, &jpeg.Options{Quality: 90}); err != nil {
		f.Close()
		return err
	}
	return f.Close()
}
