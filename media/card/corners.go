// Where exactly a symbol lies. The middles of three corner marks fix a plane
// only if it is not tilted; the borders between dark and light, each found
// between pixels, fix it with its tilt: those of the marks well enough to read
// the symbol, all of them well enough to measure by it.

package card

import (
	"math"
	"slices"

	"rakelight/media/card/qr"
)

// half is half a symbol's side in modules. In this file the symbol's plane has
// its zero in the middle and reaches from -1 to 1, so that the numbers solved
// for are of one size.
const half = qr.Side / 2.0

// border is one place where dark meets light: across it the brightness changes
// along x or along y.
type border struct {
	x, y   float64
	alongX bool
}

// borders are those of a symbol's modules, its outer edge included.
func borders(modules [][]bool) []border {
	dark := func(x, y int) bool { return x >= 0 && y >= 0 && x < qr.Side && y < qr.Side && modules[y][x] }
	var out []border
	for y := range qr.Side {
		for x := 0; x <= qr.Side; x++ {
			if dark(x-1, y) != dark(x, y) {
				out = append(out, border{float64(x)/half - 1, (float64(y)+0.5)/half - 1, true})
			}
			if dark(y, x-1) != dark(y, x) {
				out = append(out, border{(float64(y)+0.5)/half - 1, float64(x)/half - 1, false})
			}
		}
	}
	return out
}

// refine fits the plane to borders in the picture. sd is the standard error of
// a corner, in pixels; ok is false when too few borders are where they should
// be. reach is how far from the plane as believed they are looked for at first,
// in modules; share is how many of them must be found.
func refine(p Plane, h Homography, all []border, reach, share float64) (fitted Homography, sd float64, ok bool) {
	fitted = h
	for range 6 {
		next, error, used, ok := fitOnce(p, fitted, all, reach)
		if !ok || float64(used) < share*float64(len(all)) {
			return h, 0, false
		}
		moved := 0.0
		for _, c := range unit {
			x0, y0 := fitted.At(c[0], c[1])
			x1, y1 := next.At(c[0], c[1])
			moved = max(moved, math.Hypot(x1-x0, y1-y0))
		}
		fitted, sd = next, error
		if moved < 0.03 {
			break
		}
		reach = max(0.5, reach-0.15)
	}
	return fitted, sd, true
}

// unit are the corners of a symbol in its plane.
var unit = [4][2]float64{{-1, -1}, {1, -1}, {1, 1}, {-1, 1}}

// fitOnce measures all borders from the plane as it is believed to lie, and
// moves the plane to them.
func fitOnce(p Plane, h Homography, all []border, reach float64) (next Homography, sd float64, used int, ok bool) {
	type sighting struct {
		row [8]float64 // how the place of the border across itself depends on the plane
		off float64    // how far it is from where the plane has it, pixels
	}
	var seen []sighting
	for _, b := range all {
		off, nx, ny, found := p.across(h, b, reach)
		if !found {
			continue
		}
		u, v := h.At(b.x, b.y)
		z := h[6]*b.x + h[7]*b.y + h[8]
		n := nx*u + ny*v
		seen = append(seen, sighting{[8]float64{nx * b.x / z, nx * b.y / z, nx / z, ny * b.x / z, ny * b.y / z, ny / z, -n * b.x / z, -n * b.y / z}, off})
	}
	if len(seen) < 24 {
		return h, 0, 0, false
	}
	// What is far off the middle is a scratch, a shine, or the wrong border.
	offs := make([]float64, len(seen))
	for i, s := range seen {
		offs[i] = s.off
	}
	middle := median(offs)
	for i := range offs {
		offs[i] = math.Abs(offs[i] - middle)
	}
	limit := max(4*median(offs), 0.3)
	a, b := make([][]float64, 8), make([]float64, 8)
	for i := range a {
		a[i] = make([]float64, 8)
	}
	var squares float64
	for _, s := range seen {
		if math.Abs(s.off-middle) > limit {
			continue
		}
		used++
		squares += s.off * s.off
		for i := range 8 {
			b[i] += s.row[i] * s.off
			for k := range 8 {
				a[i][k] += s.row[i] * s.row[k]
			}
		}
	}
	step, err := solve(a, b)
	if err != nil {
		return h, 0, used, false
	}
	next = h
	for i, d := range step {
		next[i] += d
	}
	for _, c := range unit {
		if !(next[6]*c[0]+next[7]*c[1]+1 > 0.1) {
			return h, 0, used, false
		}
	}
	// A corner hangs on about an eighth of the borders. Neighboring borders
	// share the camera's errors, so the square root is not taken of them all.
	return next, math.Sqrt(squares/float64(used)) / math.Sqrt(float64(used)/16), used, true
}

func median(v []float64) float64 {
	v = slices.Clone(v)
	slices.Sort(v)
	return v[len(v)/2]
}

// across finds a border: how far in pixels it lies from where the plane has
// it, along the direction nx, ny across it.
func (p Plane) across(h Homography, b border, reach float64) (off, nx, ny float64, ok bool) {
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
		return 0, 0, 0, false
	}
	nx, ny = ty/long, -tx/long
	module := (sx*nx + sy*ny) / half
	if module < 0 {
		nx, ny, module = -nx, -ny, -module
	}
	if !(module > 1.2) || module > 400 {
		return 0, 0, 0, false
	}
	const n = 8 // samples on each side
	var line [2*n + 1]float64
	lo, hi := math.Inf(1), math.Inf(-1)
	for i := range line {
		t := float64(i-n) / n * reach * module
		val, in := p.sample(u+t*nx, v+t*ny)
		if !in {
			return 0, 0, 0, false
		}
		line[i] = val
		lo, hi = min(lo, val), max(hi, val)
	}
	if hi-lo < 12 {
		return 0, 0, 0, false
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
		return 0, 0, 0, false
	}
	return at / n * reach * module, nx, ny, true
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
