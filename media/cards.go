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

// cardsOf finds the bench cards in stored pixels (best as brightness gives them). A picture that breaks the
// search has none: it is kept all the same.
func cardsOf(img image.Image) (seen []journal.CardSeen) {
	defer func() {
		if recover() != nil {
			seen = nil
		}
	}()
	for _, f := range card.Find(card.PlaneOf(img)) {
		if len(seen) == mostCards {
			break
		}
		one := journal.CardSeen{Text: f.Text, Error: math.Ceil(f.Error*100) / 100}
		for i, c := range f.Corners {
			one.Corners[2*i], one.Corners[2*i+1] = hundredths(c[0]), hundredths(c[1])
		}
		seen = append(seen, one)
	}
	return seen
}

func hundredths(v float64) float64 { return math.Round(v*100) / 100 }

// brightness is a picture for those that ask for its brightness only: one that
// holds it as it is, or another of gray, made once for all of them.
func brightness(img image.Image) image.Image {
	switch img.(type) {
	case *image.RGBA, *image.NRGBA:
		b := img.Bounds()
		row, out := rowReader(img), image.NewGray(b)
		for y := b.Min.Y; y < b.Max.Y; y++ {
			row(y, out.Pix[out.PixOffset(b.Min.X, y):][:b.Dx()])
		}
		return out
	}
	return img
}
