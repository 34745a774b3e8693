// Bench cards in a picture, searched for while its pixels are at hand.

package media

import (
	"image"
	"math"

	"rakelight/journal"
	"rakelight/media/card"
)

// mostCards is how many cards of one picture are kept: more than lie on a bench.
const mostCards = 16

// cardsOf finds the bench cards in stored pixels. A picture that breaks the
// search has none: it is kept all the same.
func cardsOf(img image.Image) (seen []journal.CardSeen) {
	defer func() {
		if recover() != nil {
			seen = nil
		}
	}()
	for _, f := range card.Find(planeOf(img)) {
		if len(seen) == mostCards {
			break
		}
		one := journal.CardSeen{Text: f.Text, Error: hundredths(f.Error)}
		for i, c := range f.Corners {
			one.Corners[2*i], one.Corners[2*i+1] = hundredths(c[0]), hundredths(c[1])
		}
		seen = append(seen, one)
	}
	return seen
}

func hundredths(v float64) float64 { return math.Round(v*100) / 100 }

// planeOf is the brightness of a picture; that of a JPEG is not copied.
func planeOf(img image.Image) card.Plane {
	switch img.(type) {
	case *image.YCbCr, *image.Gray:
		return card.PlaneOf(img)
	}
	row := rowReader(img)
	if row == nil {
		return card.PlaneOf(img)
	}
	b := img.Bounds()
	p := card.Plane{Width: b.Dx(), Height: b.Dy(), Stride: b.Dx(), Pix: make([]uint8, b.Dx()*b.Dy())}
	for y := range p.Height {
		row(b.Min.Y+y, p.Pix[y*p.Stride:][:p.Stride])
	}
	return p
}
