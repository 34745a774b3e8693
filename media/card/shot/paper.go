// Paper that is not flat, and a lens that bends what is straight: where a point
// of a card lies in the picture then, and which point of it a pixel shows.

package shot

import (
	"math"

	"rakelight/media/card"
)

// Fold is a crease across a card: beyond the line through X, Y millimeters in
// direction To the paper rises by Slope.
type Fold struct{ X, Y, To, Slope float64 }

// surface is where a point of the paper lies: along the card's plane and above
// it, in millimeters.
func (p Placed) surface(u, v float64) (x, y, z float64) {
	x, y = u, v
	if p.Curl != 0 {
		// A piece of a cylinder: lengths along the paper stay what they are.
		sin, cos := math.Sincos(p.CurlTo)
		bend := p.Curl / card.Width
		t := (u-card.Width/2)*cos + (v-card.Height/2)*sin
		d := math.Sin(bend*t)/bend - t
		x, y, z = x+d*cos, y+d*sin, (1-math.Cos(bend*t))/bend
	}
	for _, f := range p.Folds {
		sin, cos := math.Sincos(f.To)
		// A crease is round over two millimeters.
		s := (v-f.Y)*cos - (u-f.X)*sin
		z += f.Slope * (s + math.Sqrt(s*s+4)) / 2
	}
	return x, y, z
}

// bent reports whether the card is not flat.
func (p Placed) bent() bool { return p.Curl != 0 || len(p.Folds) > 0 }

// up is the direction square to the card by the camera's axes, times the lens:
// what a height adds to the projected point.
func up(m [9]float64, width, height int) [3]float64 {
	w, h := float64(width), float64(height)
	f := lens * w
	var axis [2][3]float64
	for i := range axis {
		axis[i] = [3]float64{(m[i] - w/2*m[6+i]) / f, (m[3+i] - h/2*m[6+i]) / f, m[6+i]}
	}
	a, b := axis[0], axis[1]
	// Towards the camera.
	n := [3]float64{b[1]*a[2] - b[2]*a[1], b[2]*a[0] - b[0]*a[2], b[0]*a[1] - b[1]*a[0]}
	return [3]float64{f*n[0] + w/2*n[2], f*n[1] + h/2*n[2], n[2]}
}

// Sees is where the picture shows a point of a card, given in millimeters.
func (s Shot) Sees(p Placed) func(u, v float64) (x, y float64) {
	m := p.plane(s.Width, s.Height)
	n := up(m, s.Width, s.Height)
	return func(u, v float64) (float64, float64) {
		x, y, z := p.surface(u, v)
		d := m[6]*x + m[7]*y + m[8] + z*n[2]
		return s.bend((m[0]*x+m[1]*y+m[2]+z*n[0])/d, (m[3]*x+m[4]*y+m[5]+z*n[1])/d)
	}
}

// Shows is which point of a card a place in the picture shows.
func (s Shot) Shows(p Placed) func(x, y float64) (u, v float64) {
	m := p.plane(s.Width, s.Height)
	back := invert(m)
	straight := s
	straight.Lens = 0
	sees := straight.Sees(p)
	return func(x, y float64) (float64, float64) {
		x, y = s.straighten(x, y)
		u, v := project(back, x, y)
		if !p.bent() {
			return u, v
		}
		u0, v0 := u, v
		for range 6 {
			x1, y1 := sees(u, v)
			u1, v1 := project(back, x1, y1)
			u, v = u+u0-u1, v+v0-v1
		}
		return u, v
	}
}

// straighten is where a place of the picture would be under a lens that does
// not bend: further out by Lens times the square of the distance from the
// middle, half the width being 1 (the first term of Brown's model, 1966; the
// range of the values is common practice, no source).
func (s Shot) straighten(x, y float64) (float64, float64) {
	cx, cy := float64(s.Width)/2, float64(s.Height)/2
	dx, dy := x-cx, y-cy
	by := 1 + s.Lens*(dx*dx+dy*dy)/(cx*cx)
	return cx + dx*by, cy + dy*by
}

// bend is the way back from straighten.
func (s Shot) bend(x, y float64) (float64, float64) {
	if s.Lens == 0 {
		return x, y
	}
	u, v := x, y
	for range 30 {
		a, b := s.straighten(u, v)
		u, v = u+x-a, v+y-b
	}
	return u, v
}

// Corners are where the corners of the symbol of the i-th card lie in the
// picture, with all that bends: upper left, upper right, lower right, lower left
// as the card is read.
func (s Shot) Corners(i int) [4][2]float64 {
	sees := s.Sees(s.Cards[i])
	const x, y, side = card.SymbolX, card.SymbolY, card.SymbolSide
	var out [4][2]float64
	for i, c := range [4][2]float64{{x, y}, {x + side, y}, {x + side, y + side}, {x, y + side}} {
		out[i][0], out[i][1] = sees(c[0], c[1])
	}
	return out
}
