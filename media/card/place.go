// Where a card that was read lies, and what is stated of it: what its borders tell
// of a plane, and of how far the paper or the picture is bent away from one.

package card

import (
	"math"

	"rakelight/media/card/qr"
)

const (
	// How many times more a bend takes off the squares that are left over than
	// chance would (the F statistic of the bends): on drawn photos noise and blur
	// rarely have more, a lens that bends by 3 % at half the width has 5 and more.
	bendShown = 3

	// What cannot be followed is stated as this share of the symbol's side: folds
	// whose borders are not found were up to 20 % off on drawn photos.
	lostShare = 0.1

	// A bend too small to be shown may be there all the same, by this share of the
	// error it is known to.
	bendHidden = 0.7
)

// place finds where exactly a card's symbol lies, and how well that is known. A
// symbol that is seen to be bent gets the corners it has, and what it is used for,
// a plane, is stated to be no surer than the corners are off one.
func (f *Found) place(p Plane, h paper) {
	f.setCorners(h)
	modules, err := qr.Encode(f.Text)
	if err != nil || len(modules) != qr.Side {
		return // of another's making: the marks have to do
	}
	all := borders(modules)
	flat, isFlat := refine(p, h, all, 0.65, 0.33, withMoves)
	if isFlat {
		h = flat.paper
	}
	bent, isBent := refine(p, h, all, 0.65, 0.33, withBends)
	switch {
	case !isFlat && !isBent:
		return
	case !isBent:
		f.setCorners(flat.paper)
		f.Error = flat.cornerError()
		return
	case !isFlat:
		f.setCorners(bent.paper)
		f.Error = max(bent.cornerError(), lostShare*f.side())
		return
	}
	off, known := flat.apart(bent), bent.cornerError()
	if bent.shows(flat) <= bendShown {
		f.setCorners(flat.paper)
		f.Error = math.Hypot(flat.cornerError(), bendHidden*min(off, known))
		return
	}
	f.setCorners(bent.paper)
	f.Error = math.Hypot(known, off)
	if bent.lost {
		f.Error = max(f.Error, lostShare*f.side())
	}
}

func (f *Found) setCorners(h paper) {
	for i, c := range unit {
		f.Corners[i][0], f.Corners[i][1] = h.At(c[0], c[1])
	}
}

// side is the length of the symbol's upper side in pixels.
func (f *Found) side() float64 {
	return math.Hypot(f.Corners[1][0]-f.Corners[0][0], f.Corners[1][1]-f.Corners[0][1])
}

// apart is how far two fits have the corner that they have furthest from each
// other, in pixels.
func (f fitted) apart(o fitted) float64 {
	most := 0.0
	for _, c := range unit {
		x0, y0 := f.At(c[0], c[1])
		x1, y1 := o.At(c[0], c[1])
		most = max(most, math.Hypot(x1-x0, y1-y0))
	}
	return most
}

// shows is how surely a fit with bends shows that there are some: the F statistic
// of the unknowns it has more than the flat one.
func (f fitted) shows(flat fitted) float64 {
	if f.left == 0 {
		return 0
	}
	n := float64(f.used)
	return ((n-withMoves)*flat.left/f.left - (n - withBends)) / (2 * bends)
}
