// What else is in a photo, or on the card: other people's squares beside it, a
// finger over one of its corners, stains.

package shot

import (
	"image"
	"math"
	"math/rand/v2"

	"rakelight/media/card"
	"rakelight/media/card/qr"
)

// Stain is a round spot on a card: millimeters, and which share of the light it
// takes.
type Stain struct{ X, Y, R, Dark float64 }

// stained is the share of light left at a point of the card.
func (p Placed) stained(u, v float64) float64 {
	left := 1.0
	for _, s := range p.Stains {
		d := math.Hypot(u-s.X, v-s.Y) / s.R
		// Soft at the edge, and darker there, as what dried.
		switch {
		case d < 0.85:
			left *= 1 - 0.8*s.Dark
		case d < 1:
			left *= 1 - s.Dark
		case d < 1.1:
			left *= 1 - s.Dark*(1.1-d)*10
		}
	}
	return left
}

// finger lies over a corner of the first card's symbol, from outside: 1 = upper
// left, 2 = upper right, 3 = lower right, 4 = lower left.
func (s Shot) finger(img *image.YCbCr) {
	if s.Finger == 0 {
		return
	}
	const reach = 6.0 // millimeters from the symbol's corner into it
	at := s.Finger - 1
	out := [4][2]float64{{-1, -1}, {1, -1}, {1, 1}, {-1, 1}}[at]
	x, y := card.SymbolX+card.SymbolSide/2*(1+out[0])-reach*out[0],
		card.SymbolY+card.SymbolSide/2*(1+out[1])-reach*out[1]
	sees := s.Sees(s.Cards[0])
	ax, ay := sees(x, y)
	bx, by := sees(x+out[0], y+out[1])
	long := math.Hypot(bx-ax, by-ay)
	dx, dy := (bx-ax)/long, (by-ay)/long
	thick := 7.5 * long / math.Sqrt2 // millimeters of half a finger, in pixels
	far := 20 * thick
	for py := range s.Height {
		for px := range s.Width {
			u, v := float64(px)+0.5-ax, float64(py)+0.5-ay
			along := u*dx + v*dy
			d := math.Hypot(u-min(max(along, 0), far)*dx, v-min(max(along, 0), far)*dy) / thick
			if d > 1 {
				continue
			}
			img.Y[img.YOffset(px, py)] = clamp8(175 - 70*d*d)
			c := img.COffset(px, py)
			img.Cb[c], img.Cr[c] = 112, 150
		}
	}
}

// squares are what others print: symbols of their own and chessboards.
func (s Shot) squares(img *image.YCbCr, rng *rand.Rand) error {
	for i := range s.Squares {
		words := []byte("0123456789ABCDEF")
		rng.Shuffle(len(words), func(a, b int) { words[a], words[b] = words[b], words[a] })
		modules, err := qr.Encode(string(words))
		if err != nil {
			return err
		}
		n := qr.Side
		dark := func(x, y int) bool { return modules[y][x] }
		if i%3 == 2 {
			n, dark = 8+rng.IntN(6), func(x, y int) bool { return (x+y)%2 == 0 }
		}
		side := float64(s.Width) * (0.06 + 0.1*rng.Float64())
		cx, cy := float64(s.Width)*rng.Float64(), float64(s.Height)*rng.Float64()
		sin, cos := math.Sincos(rng.Float64() * 2 * math.Pi)
		cell := side / float64(n)
		reach := int(side)
		for y := max(0, int(cy)-reach); y < min(s.Height, int(cy)+reach); y++ {
			for x := max(0, int(cx)-reach); x < min(s.Width, int(cx)+reach); x++ {
				u := ((float64(x)-cx)*cos+(float64(y)-cy)*sin)/cell + float64(n)/2
				v := ((float64(y)-cy)*cos-(float64(x)-cx)*sin)/cell + float64(n)/2
				if u < -4 || v < -4 || u > float64(n)+4 || v > float64(n)+4 {
					continue
				}
				gray := uint8(215)
				if u >= 0 && v >= 0 && u < float64(n) && v < float64(n) && dark(int(u), int(v)) {
					gray = 24
				}
				img.Y[img.YOffset(x, y)] = gray
			}
		}
	}
	return nil
}

// over is what too long an exposure does, after the lens has blurred: all is
// brighter, a veil lies over it, and the lightest is cut off, so that light eats
// into what is dark.
func (s Shot) over(img *image.YCbCr) {
	if s.Over == 0 {
		return
	}
	for i, v := range img.Y {
		img.Y[i] = clamp8(float64(v)*(1+2.5*s.Over) + 70*s.Over)
	}
}

// gloss is a band of shine across the first card: paper and ink mirror a lamp
// alike.
func (s Shot) gloss(img *image.YCbCr) {
	if s.Gloss == 0 {
		return
	}
	sees := s.Sees(s.Cards[0])
	x0, y0 := sees(card.SymbolX+0.55*card.SymbolSide, card.SymbolY+0.5*card.SymbolSide)
	x1, y1 := sees(card.SymbolX+0.55*card.SymbolSide+1, card.SymbolY+0.5*card.SymbolSide)
	mm := math.Hypot(x1-x0, y1-y0)
	sin, cos := math.Sincos(s.GlossTo)
	for y := range s.Height {
		line := img.Y[y*img.YStride:][:s.Width]
		for x := range line {
			u, v := (float64(x)-x0)/mm, (float64(y)-y0)/mm
			d := (v*cos - u*sin) / 7
			if d = d * d; d < 9 {
				line[x] = clamp8(float64(line[x]) + 230*s.Gloss*math.Exp(-d/2))
			}
		}
	}
}
