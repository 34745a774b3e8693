// Fitting the symbol's plane to the borders that are found, and how well it is
// known then.

package card

import (
	"math"
	"slices"
)

// refine fits the plane to borders in the picture; ok is false when too few
// borders are where they should be. reach is how far from the plane as believed
// they are looked for at first, in modules; share is how many of them must be
// found; unknowns is as fitOnce has it.
func refine(p Plane, h paper, all []border, reach, share float64, unknowns int) (last fitted, ok bool) {
	last.paper = h
	for range 6 {
		f, ok := fitOnce(p, last.paper, all, reach, unknowns)
		if !ok || float64(f.used) < share*float64(len(all)) {
			return fitted{}, false
		}
		moved := 0.0
		for _, c := range unit {
			x0, y0 := last.At(c[0], c[1])
			x1, y1 := f.At(c[0], c[1])
			moved = max(moved, math.Hypot(x1-x0, y1-y0))
		}
		last = f
		if moved < 0.03 {
			break
		}
		reach = max(0.5, reach-0.15)
	}
	return last, true
}

// unit are the corners of a symbol in its plane.
var unit = [4][2]float64{{-1, -1}, {1, -1}, {1, 1}, {-1, 1}}

// fitted is a plane fitted to borders.
type fitted struct {
	paper
	used   int                    // borders
	found  [patches * patches]int // borders, by part of the symbol
	left   float64                // mean square of what is left over, pixels
	alike  float64                // how much more the means of patches differ than they would if each border erred by itself
	normal [][]float64            // the normal equations
}

// The unknowns of a fit: the plane's eight numbers; and with what moves the
// borders though the plane lies still, along x and along y: by how much all that
// is dark looks larger than it is, for ink spreads, and so does the light of a
// bright exposure; and how far blur moves a border between one module and
// several. Blur of a moved camera differs along x and y. And with all that, the
// power of the lens, or how what is seen is bent.
const (
	plainly   = 8
	withMoves = 12
	withLens  = withMoves + 1
	withBends = withMoves + 2*bends
)

// sighting is a border as the picture has it.
type sighting struct {
	row   [withBends]float64 // how its place across itself depends on the unknowns
	off   float64            // how far it is from where the plane has it, pixels
	patch int
	burnt bool // the light beside it
}

// burnt is a brightness that may have been any above it: where the middle between
// dark and light lies is not known there.
const burnt = 250

// patches is how many there are along a side of the symbol, and of each
// direction of borders.
const patches = 5

// patch is the number of the part of the symbol that a border is in.
func (b border) patch() int {
	at := func(v float64) int { return min(patches-1, int((v+1)/2*patches)) }
	n := at(b.y)*patches + at(b.x)
	if b.alongX {
		n += patches * patches
	}
	return n
}

// sightings are the borders that are found, without those that are far off the
// others: a scratch, a shine, or the wrong border.
func (p Plane) sightings(h paper, all []border, reach float64, unknowns int) []sighting {
	seen, offs := make([]sighting, 0, len(all)), make([]float64, 0, len(all))
	for _, b := range all {
		off, nx, ny, light, found := p.across(h, b, reach)
		if !found {
			continue
		}
		u, v := h.Homography.At(b.x, b.y)
		z := h.Homography[6]*b.x + h.Homography[7]*b.y + h.Homography[8]
		n := nx*u + ny*v
		row := [withBends]float64{nx * b.x / z, nx * b.y / z, nx / z, ny * b.x / z, ny * b.y / z, ny / z, -n * b.x / z,
			-n * b.y / z}
		if b.alongX {
			row[8], row[10] = b.grows, b.leans
		} else {
			row[9], row[11] = b.grows, b.leans
		}
		if unknowns == withLens {
			du, dv := h.lens.pull(u, v)
			row[withMoves] = nx*du + ny*dv
		} else {
			for i, d := range bendsAt(b.x, b.y) {
				row[withMoves+i], row[withMoves+bends+i] = nx*d, ny*d
			}
		}
		seen, offs = append(seen, sighting{row, off, b.patch(), light >= burnt}), append(offs, off)
	}
	if len(seen) < 24 {
		return nil
	}
	middle := median(offs)
	for i := range offs {
		offs[i] = math.Abs(offs[i] - middle)
	}
	limit := max(4*median(offs), 0.3)
	kept := seen[:0]
	for _, s := range seen {
		if math.Abs(s.off-middle) <= limit {
			kept = append(kept, s)
		}
	}
	return kept
}

// fitOnce measures all borders from the plane as it is believed to lie, and
// moves the plane to them. unknowns is one of those above; all but plainly
// keep away from a shine too.
func fitOnce(p Plane, h paper, all []border, reach float64, unknowns int) (f fitted, ok bool) {
	seen := p.sightings(h, all, reach, unknowns)
	if len(seen) < 2*unknowns {
		return fitted{}, false
	}
	for _, s := range seen {
		f.found[s.patch%len(f.found)]++
	}
	if unknowns > plainly {
		fair := slices.DeleteFunc(slices.Clone(seen), func(s sighting) bool { return s.burnt })
		if 3*len(fair) >= 2*len(seen) {
			seen = fair
		}
	}
	f.paper, f.used, f.normal = h, len(seen), make([][]float64, unknowns)
	b := make([]float64, unknowns)
	for i := range f.normal {
		f.normal[i] = make([]float64, unknowns)
	}
	for i := range seen {
		s := &seen[i]
		for i := range b {
			v := s.row[i]
			if v == 0 {
				continue // along x what is across y has no part
			}
			b[i] += v * s.off
			row := f.normal[i][:i+1]
			for k := range row {
				row[k] += v * s.row[k]
			}
		}
	}
	for i := range b {
		for k := range i {
			f.normal[k][i] = f.normal[i][k]
		}
	}
	if unknowns == withBends {
		f.stiffen(b)
	}
	step, err := solve(deepCopy(f.normal), b)
	if err != nil {
		return fitted{}, false
	}
	f.move(step)
	for _, c := range unit {
		if !(f.Homography[6]*c[0]+f.Homography[7]*c[1]+1 > 0.1) {
			return fitted{}, false
		}
	}
	f.judge(seen, step)
	return f, true
}

// stiffen keeps the bends small where the borders do not tell them: paper does not
// bend by more than a share of the symbol's side.
func (f *fitted) stiffen(b []float64) {
	most, _ := f.Stretches(0, 0)
	const share, noise = 0.03, 0.2 // of the side; pixels a border is off
	weight := noise / (share * 2 * most)
	weight *= weight
	for i := range 2 * bends {
		at := withMoves + i
		f.normal[at][at] += weight
		if f.bent != nil {
			b[at] -= weight * f.bent[i/bends][i%bends]
		}
	}
}

// move moves the plane and its bends by a step.
func (f *fitted) move(step []float64) {
	for i, d := range step[:plainly] {
		f.Homography[i] += d
	}
	if len(step) == withLens {
		f.lens.power += step[withMoves]
	}
	if len(step) < withBends {
		return
	}
	bent := [2][bends]float64{}
	if f.bent != nil {
		bent = *f.bent
	}
	for i, d := range step[withMoves:] {
		bent[i/bends][i%bends] += d
	}
	f.bent = &bent
}

// judge works out what a step leaves over. Neighbors that err alike, on paper
// that is bent or under a lens that bends, make a patch err: so many borders
// are worth fewer than they are.
func (f *fitted) judge(seen []sighting, step []float64) {
	var sums [2 * patches * patches]float64
	squares := 0.0
	for _, s := range seen {
		for i, d := range step {
			s.off -= s.row[i] * d
		}
		squares += s.off * s.off
		sums[s.patch] += s.off
	}
	// The unknowns take their share out of the sums too.
	f.left = squares / float64(len(seen)-len(step))
	if f.left == 0 {
		return // a perfect picture
	}
	free := 1 - float64(len(step))/float64(len(sums))
	for _, sum := range sums {
		f.alike += sum * sum / (float64(len(seen)) * f.left * free)
	}
}

// What the fit cannot know by itself, measured on drawn photos (TestStatedError):
// blur shifts borders by what is beside them, and pixels are squares.
const (
	errorTimes = 1.35
	leastError = 0.015 // pixels
)

// cornerError is the standard error of the corner that is known worst, the
// distance of it, in pixels; 0 = not known.
func (f fitted) cornerError() float64 {
	worst := 0.0
	for _, c := range unit {
		u, v := f.Homography.At(c[0], c[1])
		z := f.Homography[6]*c[0] + f.Homography[7]*c[1] + 1
		x, y := c[0]/z, c[1]/z
		variance := 0.0
		rows := [2][withBends]float64{{x, y, 1 / z, 0, 0, 0, -u * x, -u * y}, {0, 0, 0, x, y, 1 / z, -v * x, -v * y}}
		for i, d := range bendsAt(c[0], c[1]) {
			rows[0][withMoves+i], rows[1][withMoves+bends+i] = d, d
		}
		for i := range rows {
			row := rows[i][:len(f.normal)]
			by, err := solve(deepCopy(f.normal), slices.Clone(row))
			if err != nil {
				return 0
			}
			for i := range by {
				variance += row[i] * by[i]
			}
		}
		worst = max(worst, variance)
	}
	return math.Hypot(errorTimes*math.Sqrt(worst*f.left*max(1, f.alike)), leastError)
}

// deepCopy keeps a matrix from solve, which uses it up.
func deepCopy(a [][]float64) [][]float64 {
	out := make([][]float64, len(a))
	for i := range a {
		out[i] = slices.Clone(a[i])
	}
	return out
}

func median(v []float64) float64 {
	v = slices.Clone(v)
	slices.Sort(v)
	return v[len(v)/2]
}
