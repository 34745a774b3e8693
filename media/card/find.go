// Finding cards in a photo: a ladder of sizes and thresholds. Each step is
// cheap, the first reads most cards, and the search ends with the step that
// finds one. What each step is worth is measured by TestRecall.

package card

import (
	"cmp"
	"image"
	"math"
	"slices"

	"rakelight/journal"
	"rakelight/media/card/qr"
)

// Found is a card in a photo. Corners are those of its symbol (without the
// white around it) in pixels of the picture as stored, upper left of the upper
// left pixel at 0,0: upper left, upper right, lower right, lower left as the
// card is read. Error is the standard error of the corner known worst, in pixels:
// how far it may be from where it is given. 0 = only the corner marks could be
// fitted, and the error is not known.
type Found struct {
	Text    string
	Card    journal.Card
	Corners [4][2]float64
	Error   float64
}

// Plane is the brightness of a picture, row by row.
type Plane struct {
	Width, Height, Stride int
	Pix                   []uint8
}

// PlaneOf is the brightness of a picture. That of a JPEG is not copied.
func PlaneOf(img image.Image) Plane {
	b := img.Bounds()
	switch m := img.(type) {
	case *image.YCbCr:
		return Plane{b.Dx(), b.Dy(), m.YStride, m.Y[m.YOffset(b.Min.X, b.Min.Y):]}
	case *image.Gray:
		return Plane{b.Dx(), b.Dy(), m.Stride, m.Pix[m.PixOffset(b.Min.X, b.Min.Y):]}
	}
	p := Plane{b.Dx(), b.Dy(), b.Dx(), make([]uint8, b.Dx()*b.Dy())}
	for y := range p.Height {
		for x := range p.Width {
			r, g, bl, _ := img.At(b.Min.X+x, b.Min.Y+y).RGBA()
			p.Pix[y*p.Width+x] = uint8((19595*r + 38470*g + 7471*bl + 1<<15) >> 24)
		}
	}
	return p
}

// step is one rung of the ladder.
type step struct {
	name   string
	side   int     // the longer side is reduced to about this
	window int     // the neighborhood is the longer side by this
	dark   float64 // below this share of the neighborhood's mean is dark
}

// ladder is the order of the search.
var ladder = []step{
	{"1000 px", 1000, 40, 0.90},
	{"2000 px", 2000, 40, 0.90},
	{"500 px, card near", 500, 8, 0.90},
	{"1000 px, close", 1000, 80, 0.90},
}

// Find returns the bench cards in a picture, from left to right. Symbols that
// are no bench cards are left out: a code in the background is not ours.
func Find(p Plane) []Found {
	sizes := smaller{1: p}
	for _, s := range ladder {
		if found := s.find(sizes); len(found) > 0 {
			return found
		}
	}
	return nil
}

// smaller are the sizes of one picture, by how much smaller they are.
type smaller map[int]Plane

// by makes the picture smaller, from a larger size where that is even: going
// over all pixels takes most of the time.
func (s smaller) by(k int) Plane {
	if p, ok := s[k]; ok {
		return p
	}
	if k%2 == 0 {
		s[k] = s.by(k / 2).reduce(2)
	} else {
		s[k] = s[1].reduce(k)
	}
	return s[k]
}

// find looks at one size under one threshold.
func (s step) find(sizes smaller) []Found {
	p := sizes[1]
	k := max(1, (max(p.Width, p.Height)+s.side/2)/s.side)
	small := sizes.by(k)
	marks := qr.Marks(small.threshold(max(small.Width, small.Height)/s.window, s.dark))
	var found []Found
	used := map[int]bool{}
	for _, t := range threes(marks) {
		if used[t.marks[0]] || used[t.marks[1]] || used[t.marks[2]] {
			continue
		}
		f, ok := p.read(t.plane(marks, float64(k)))
		if !ok || slices.ContainsFunc(found, f.same) {
			continue
		}
		found = append(found, f)
		for _, i := range t.marks {
			used[i] = true
		}
	}
	slices.SortFunc(found, func(a, b Found) int {
		return cmp.Or(cmp.Compare(a.Corners[0][0], b.Corners[0][0]), cmp.Compare(a.Corners[0][1], b.Corners[0][1]), cmp.Compare(a.Text, b.Text))
	})
	return found
}

// same reports whether two readings are of one card: the same text where the
// other lies.
func (f Found) same(o Found) bool {
	side := math.Hypot(f.Corners[1][0]-f.Corners[0][0], f.Corners[1][1]-f.Corners[0][1])
	return f.Text == o.Text && math.Hypot(f.Corners[0][0]-o.Corners[0][0], f.Corners[0][1]-o.Corners[0][1]) < side/2
}
