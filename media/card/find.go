// Finding cards in a photo: a ladder of sizes and thresholds, all of which are
// climbed, so that a small card beside a large one is read too.

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
	name  string
	side  int     // the longer side is reduced to about this
	cell  int     // brightness is averaged over cells of this size, a power of two
	reach int     // the neighborhood goes this many cells away
	dark  float64 // below this share of the neighborhood's mean is dark
}

// ladder is the order of the search: most cards are read at the first rung, and
// what lies within one is not looked at again. What each is worth is measured by
// TestRecall: the brighter one reads what is washed out by light, those with near
// neighborhoods what lies in a shadow or has stains.
var ladder = []step{
	{"1000 px", 1000, 3, 1, 0.9},
	{"2000 px", 2000, 3, 3, 0.9},
	{"500 px, card near", 500, 3, 4, 0.9},
	{"1000 px, close", 1000, 2, 1, 0.9},
	{"1000 px, bright", 1000, 3, 1, 1},
	{"2000 px, close", 2000, 2, 1, 0.9},
}

// Find returns the bench cards in a picture, from left to right. Symbols that
// are no bench cards are left out: a code in the background is not ours.
func Find(p Plane) []Found {
	found, _ := p.find()
	return found
}

// find is Find; by is the name of the step that found each.
func (p Plane) find() (found []Found, by map[string]int) {
	s := search{full: p, sizes: smaller{1: p}}
	by = map[string]int{}
	for _, rung := range ladder {
		before := len(s.found)
		s.climb(rung)
		by[rung.name] += len(s.found) - before
	}
	slices.SortFunc(s.found, func(a, b Found) int {
		return cmp.Or(cmp.Compare(a.Corners[0][0], b.Corners[0][0]), cmp.Compare(a.Corners[0][1], b.Corners[0][1]),
			cmp.Compare(a.Text, b.Text))
	})
	return s.found, by
}

// search is what the rungs share.
type search struct {
	full  Plane
	sizes smaller
	found []Found
	known []Homography // from pixels to the planes of the symbols read, ours or not
	vain  [][3]qr.Mark // marks that were tried and are of no symbol
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

// climb looks at one size with one neighborhood.
func (s *search) climb(rung step) {
	k := max(1, (max(s.full.Width, s.full.Height)+rung.side/2)/rung.side)
	marks := qr.Marks(s.sizes.darks(k, rung.cell, rung.reach, rung.dark))
	for i := range marks {
		m := &marks[i]
		m.X, m.Y, m.Module = m.X*float64(k), m.Y*float64(k), m.Module*float64(k)
	}
	marks = slices.DeleteFunc(marks, s.taken)
	for _, t := range threes(marks) {
		at := [3]qr.Mark{marks[t.marks[0]], marks[t.marks[1]], marks[t.marks[2]]}
		if slices.ContainsFunc(at[:], s.taken) || slices.ContainsFunc(s.vain,
			func(o [3]qr.Mark) bool { return alike(o, at) }) {
			continue
		}
		if !s.try(t.plane(marks), markBorders(), threeFit) {
			s.vain = append(s.vain, at)
		}
	}
	s.pairs(marks)
}

// try reads the symbol that lies about in a plane, if there is one; of marks,
// borders in the plane, a share must be where they should be.
func (s *search) try(about Homography, marks []border, share float64) (read bool) {
	f, there, ok := s.full.read(about, marks, share)
	if !ok {
		return false
	}
	s.known = append(s.known, there.Inverse())
	if f.Text != "" {
		s.found = append(s.found, f)
	}
	return true
}

// taken reports whether a mark lies within a symbol that was read.
func (s *search) taken(m qr.Mark) bool {
	return slices.ContainsFunc(s.known, func(back Homography) bool {
		x, y := back.At(m.X, m.Y)
		return math.Abs(x) < 1.1 && math.Abs(y) < 1.1
	})
}

// alike reports whether two threes of marks would begin a fit from the same
// place.
func alike(a, b [3]qr.Mark) bool {
	for i := range a {
		if math.Hypot(a[i].X-b[i].X, a[i].Y-b[i].Y) > 0.3*min(a[i].Module, b[i].Module) {
			return false
		}
	}
	return true
}
