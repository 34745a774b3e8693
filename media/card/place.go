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
	// rarely have more than 3, a lens that bends by 3 % at half the width has 5 and more.
	bendShown = 4

	// Or it finds so many times more borders where they should be: flat paper has
	// no more than 1 % more.
	bendFinds = 1.03

	// What cannot be followed is stated as this share of the symbol's side: folds
	// whose borders are not found were up to 20 % off on drawn photos.
	lostShare = 0.1

	// A bend too small to be shown, of the paper or by the lens, may be there all the
	// same, by this share of the error it is known to.
	bendHidden = 0.7

	// A lens bends if its power is so many times its standard error; where the card
	// cannot tell, it bends by no more than leastLens (common practice, no source:
	// most cameras straighten what their lenses bend).
	lensShown = 3
	leastLens = 0.003
)

// place finds where exactly a card's symbol lies, and how well that is known. A
// symbol that is seen to be bent gets the corners it has, and what it is used for,
// a plane, is stated to be no surer than the corners are off one, or than the
// corners of the picture would be under the lens that bends it.
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
	case isFlat && isBent:
		f.judge(p, all, flat, bent)
		if bent.loses(p, all) {
			f.Error = max(f.Error, lostShare*f.side())
		}
	case isFlat:
		f.setCorners(flat.paper)
		f.Error = flat.cornerError()
	case isBent:
		f.setCorners(bent.paper)
		f.Error = max(bent.cornerError(), lostShare*f.side())
	}
}

// judge chooses between a flat card, a lens that bends and bent paper.
func (f *Found) judge(p Plane, all []border, flat, bent fitted) {
	off, known := flat.apart(bent), bent.cornerError()
	by, power, sd := flat.byLens(p, all)
	if by.left > 0 && bent.shows(by) <= bendShown && float64(bent.used) < bendFinds*float64(by.used) &&
		math.Abs(power) > lensShown*sd {
		f.setCorners(by.paper)
		f.Error = math.Hypot(by.cornerError(), f.awry(p, power))
		return
	}
	if bent.shows(flat) <= bendShown && float64(bent.used) < bendFinds*float64(flat.used) {
		f.setCorners(flat.paper)
		hidden := math.Hypot(bendHidden*min(off, known), f.awry(p, bendHidden*min(sd, leastLens)))
		f.Error = math.Hypot(flat.cornerError(), hidden)
		return
	}
	f.setCorners(bent.paper)
	f.Error = math.Hypot(known, off)
}

// loses reports whether a part of the symbol shows fewer than 2 in 5 of its
// borders where they should be, though there is dark and light enough: paper that
// is folded. What a finger covers shows neither.
func (f fitted) loses(p Plane, all []border) bool {
	var there, bright [patches * patches]int
	contrasts := make([]float64, len(all))
	for i, b := range all {
		contrasts[i] = p.contrast(f.paper, b)
	}
	enough := 0.4 * median(contrasts)
	for i, b := range all {
		at := b.patch() % len(there)
		there[at]++
		if contrasts[i] > enough {
			bright[at]++
		}
	}
	for i := range there {
		if 5*f.found[i] < 2*there[i] && 3*bright[i] > 2*there[i] {
			return true
		}
	}
	return false
}

// contrast is how much brightness differs within one and a half modules of a
// border, along the direction across it.
func (p Plane) contrast(h paper, b border) float64 {
	lo, hi := math.Inf(1), math.Inf(-1)
	for i := range 9 {
		x, y := b.x, b.y
		if t := 1.5 / half * float64(i-4) / 4; b.alongX {
			x += t
		} else {
			y += t
		}
		if v, in := p.sample(h.At(x, y)); in {
			lo, hi = min(lo, v), max(hi, v)
		}
	}
	return max(0, hi-lo)
}

// byLens fits the plane and the power of the lens, and says how well that is
// known. left of the fit is 0 where there is none.
func (f fitted) byLens(p Plane, all []border) (by fitted, power, sd float64) {
	h := f.paper
	h.lens = lens{x: float64(p.Width) / 2, y: float64(p.Height) / 2, size: float64(p.Width) / 2}
	by, ok := refine(p, h, all, 0.65, 0.33, withLens)
	if !ok {
		return fitted{}, 0, 0
	}
	one := make([]float64, withLens)
	one[withMoves] = 1
	column, err := solve(deepCopy(by.normal), one)
	if err != nil {
		return fitted{}, 0, 0
	}
	return by, by.lens.power, math.Sqrt(max(0, column[withMoves]) * by.left * max(1, by.alike))
}

// awry is by how much the symbol's corners would have to be off to bring a place
// near the corners of the picture as far from where it is, by the plane, as a lens
// of a power brings it: what is laid by the plane, out to there, is no surer.
func (f *Found) awry(p Plane, power float64) float64 {
	h, err := HomographyOf(unit, f.Corners)
	if err != nil {
		return 0
	}
	w, t := float64(p.Width), float64(p.Height)
	l := lens{power, w / 2, t / 2, w / 2}
	// What the plane says the lens does is taken off: it is as the card has it.
	straight := f.Corners
	for i, c := range f.Corners {
		du, dv := l.pull(c[0], c[1])
		straight[i] = [2]float64{c[0] - du*power, c[1] - dv*power}
	}
	unbent, err := HomographyOf(unit, straight)
	if err != nil {
		return 0
	}
	back := h.Inverse()
	most := 0.0
	for _, c := range unit {
		const out = 0.75 // two pictures rarely share more
		c = [2]float64{w / 2 * (1 + out*c[0]), t / 2 * (1 + out*c[1])}
		x, y := back.At(c[0], c[1])
		u, v := unbent.At(x, y)
		du, dv := l.pull(u, v)
		far := math.Hypot(u+du*power-c[0], v+dv*power-c[1])
		reach := 0.0
		for i := range 8 {
			moved := f.Corners
			moved[i/2][i%2]++
			if h, err := HomographyOf(unit, moved); err == nil {
				a, b := h.At(x, y)
				reach = math.Hypot(reach, math.Hypot(a-c[0], b-c[1]))
			}
		}
		if reach > 0 && !math.IsNaN(far) {
			most = max(most, min(far, w)/reach)
		}
	}
	return most
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

// shows is how surely a fit with bends shows that there are some that another,
// with fewer unknowns, has not: the F statistic of those it has more.
func (f fitted) shows(o fitted) float64 {
	if f.left == 0 {
		return 0
	}
	n, mine, its := float64(f.used), float64(len(f.normal)), float64(len(o.normal))
	return ((n-its)*o.left/f.left - (n - mine)) / (mine - its)
}
