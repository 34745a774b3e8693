// Where exactly a symbol lies. The middles of three corner marks fix a plane
// only if it is not tilted; the borders between dark and light, each found
// between pixels, fix it with its tilt: those of the marks well enough to read
// the symbol, all of them well enough to measure by it. They also tell how far the
// paper, or the picture, is bent.

package card

import (
	"math"

	"rakelight/media/card/qr"
)

// half is half a symbol's side in modules. In this file the symbol's plane has
// its zero in the middle and reaches from -1 to 1, so that the numbers solved
// for are of one size.
const half = qr.Side / 2.0

// paper is where a symbol's plane lies in the picture, and how far what is bent,
// the paper or the straight lines of the picture, leads away from it: pixels along
// x and along y for each of the bends, nil = it is flat.
type paper struct {
	Homography
	bent *[2][bends]float64
	lens lens
}

// lens is how the picture is bent about its middle: what lies a length from it
// is moved inwards by the power, times that length cubed; half the picture's width
// is 1 (the first term of Brown's model, 1966). The zero value does not bend.
type lens struct{ power, x, y, size float64 }

// pull is how far a place is moved for a power of 1, in pixels.
func (l lens) pull(u, v float64) (du, dv float64) {
	if l.size == 0 {
		return 0, 0
	}
	du, dv = (u-l.x)/l.size, (v-l.y)/l.size
	far := -(du*du + dv*dv) * l.size
	return du * far, dv * far
}

// bends is how many ways of bending there are: the powers of second and third
// order of a place in the plane, whose zero is in the middle of the symbol.
const bends = 7

func bendsAt(x, y float64) [bends]float64 {
	return [bends]float64{x * x, x * y, y * y, x * x * x, x * x * y, x * y * y, y * y * y}
}

// At is where a point of the symbol comes to lie.
func (p paper) At(x, y float64) (u, v float64) {
	u, v = p.Homography.At(x, y)
	if p.lens.power != 0 {
		du, dv := p.lens.pull(u, v)
		u, v = u+du*p.lens.power, v+dv*p.lens.power
	}
	if p.bent == nil {
		return u, v
	}
	for i, b := range bendsAt(x, y) {
		u, v = u+b*p.bent[0][i], v+b*p.bent[1][i]
	}
	return u, v
}

// slopes are those of Homography, with the bends.
func (p paper) slopes(x, y float64) (ux, uy, vx, vy float64) {
	ux, uy, vx, vy = p.Homography.slopes(x, y)
	if p.bent == nil {
		return ux, uy, vx, vy
	}
	byX := [bends]float64{2 * x, y, 0, 3 * x * x, 2 * x * y, y * y, 0}
	byY := [bends]float64{0, x, 2 * y, 0, x * x, 2 * x * y, 3 * y * y}
	for i := range bends {
		ux, uy = ux+byX[i]*p.bent[0][i], uy+byY[i]*p.bent[0][i]
		vx, vy = vx+byX[i]*p.bent[1][i], vy+byY[i]*p.bent[1][i]
	}
	return ux, uy, vx, vy
}

// border is one place where dark meets light: across it the brightness changes
// along x or along y. grows is how it moves when all that is dark grows: 1 = to
// larger x or y, -1 = to smaller. leans tells on which side more of the same
// follows: blur moves a border between one module and several.
type border struct {
	x, y         float64
	alongX       bool
	grows, leans float64
}

// borders are those of a symbol's modules, its outer edge included.
func borders(modules [][]bool) []border {
	dark := func(x, y int) bool { return x >= 0 && y >= 0 && x < qr.Side && y < qr.Side && modules[y][x] }
	var out []border
	for y := range qr.Side {
		middle := (float64(y)+0.5)/half - 1
		for x := 0; x <= qr.Side; x++ {
			at := float64(x)/half - 1
			if grows, leans := meet(func(i int) bool { return dark(x+i, y) }); grows != 0 {
				out = append(out, border{at, middle, true, grows, leans})
			}
			if grows, leans := meet(func(i int) bool { return dark(y, x+i) }); grows != 0 {
				out = append(out, border{middle, at, false, grows, leans})
			}
		}
	}
	return out
}

// meet is how two modules meet, -1 and 0 of a line; grows is 0 where they are
// alike.
func meet(dark func(i int) bool) (grows, leans float64) {
	if dark(-1) == dark(0) {
		return 0, 0
	}
	if dark(-2) == dark(-1) {
		leans--
	}
	if dark(1) == dark(0) {
		leans++
	}
	if dark(-1) {
		return 1, leans
	}
	return -1, leans
}

// across finds a border: how far in pixels it lies from where the plane has
// it, along the direction nx, ny across it. light is the brightness beside it.
func (p Plane) across(h paper, b border, reach float64) (off, nx, ny, light float64, ok bool) {
	u, v := h.At(b.x, b.y)
	ux, uy, vx, vy := h.slopes(b.x, b.y)
	// The border runs along the other direction; across it is square to that.
	tx, ty := uy, vy
	sx, sy := ux, vx
	if !b.alongX {
		tx, ty, sx, sy = ux, vx, uy, vy
	}
	long := math.Hypot(tx, ty)
	if !(long > 0) {
		return 0, 0, 0, 0, false
	}
	nx, ny = ty/long, -tx/long
	module := (sx*nx + sy*ny) / half
	if module < 0 {
		nx, ny, module = -nx, -ny, -module
	}
	if !(module > 1.2) || module > 400 {
		return 0, 0, 0, 0, false
	}
	const n = 8 // samples on each side
	var line [2*n + 1]float64
	lo, hi := math.Inf(1), math.Inf(-1)
	for i := range line {
		t := float64(i-n) / n * reach * module
		val, in := p.sample(u+t*nx, v+t*ny)
		if !in {
			return 0, 0, 0, 0, false
		}
		line[i] = val
		lo, hi = min(lo, val), max(hi, val)
	}
	if hi-lo < 12 {
		return 0, 0, 0, 0, false
	}
	// The one place where the line passes the middle between dark and light.
	mid := (lo + hi) / 2
	at, passes := 0.0, 0
	for i := range 2 * n {
		if (line[i] < mid) != (line[i+1] < mid) {
			at, passes = float64(i-n)+(mid-line[i])/(line[i+1]-line[i]), passes+1
		}
	}
	if passes != 1 {
		return 0, 0, 0, 0, false
	}
	return at / n * reach * module, nx, ny, hi, true
}

// sample is the brightness between pixels; pixel centers are at halves.
func (p Plane) sample(x, y float64) (float64, bool) {
	x, y = x-0.5, y-0.5
	if !(x >= 0 && y >= 0 && x < float64(p.Width-1) && y < float64(p.Height-1)) {
		return 0, false
	}
	i, k := int(x), int(y)
	u, v := x-float64(i), y-float64(k)
	a := p.Pix[k*p.Stride+i:]
	b := p.Pix[(k+1)*p.Stride+i:]
	return (float64(a[0])*(1-u)+float64(a[1])*u)*(1-v) + (float64(b[0])*(1-u)+float64(b[1])*u)*v, true
}
