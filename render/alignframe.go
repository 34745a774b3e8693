// The part of two pictures that both show, and how surely the plane of a card
// is known in it.

package render

import (
	"fmt"
	"math"

	"rakelight/journal"
	"rakelight/journal/say"
	"rakelight/media/card"
)

// common is the part of a photo that is shown: its upper left corner and its
// size in the photo's pixels, and the size of the picture made of it.
type common struct {
	x, y, w, h    float64
	width, height int
}

// shrunk is how many pixels of the photo make one of the picture.
func (f common) shrunk() float64 { return f.w / float64(f.width) }

// cells is how finely the shared part is looked for, along the longer side.
const cells = 64

// shareFrame finds the largest upright rectangle of the photo keep all of which
// the other photo shows too, where to takes pixels of keep to its own. anchor is
// a place both surely show. why says that they share too little.
func (in voice) shareFrame(keep, other *journal.Photo, to card.Homography, anchor [2]float64) (f common, why string) {
	w, h := float64(keep.Width), float64(keep.Height)
	side := max(w, h) / cells
	nx, ny := max(1, int(w/side)), max(1, int(h/side))
	depth := func(x, y float64) float64 { return to[6]*x + to[7]*y + to[8] }
	front := math.Copysign(1, depth(anchor[0], anchor[1]))
	shown := make([][]bool, ny+1) // at the corners of the cells
	for k := range shown {
		shown[k] = make([]bool, nx+1)
		for i := range shown[k] {
			x, y := w*float64(i)/float64(nx), h*float64(k)/float64(ny)
			// Behind the horizon of the plane nothing is shown.
			if depth(x, y)*front <= 0 {
				continue
			}
			u, v := to.At(x, y)
			shown[k][i] = u >= 0 && v >= 0 && u <= float64(other.Width) && v <= float64(other.Height)
		}
	}
	x0, y0, x1, y1 := largest(shown)
	f.x, f.y = w*float64(x0)/float64(nx), h*float64(y0)/float64(ny)
	f.w, f.h = w*float64(x1-x0)/float64(nx), h*float64(y1-y0)/float64(ny)
	if f.w == 0 || f.h == 0 {
		return common{}, in.Say("they show no place in common")
	}
	// Both are convex, so what the corners of a cell show, all of it shows.
	area := 0.0
	var corners [4][2]float64
	for i, c := range f.corners() {
		corners[i][0], corners[i][1] = to.At(c[0], c[1])
	}
	for i, c := range corners {
		d := corners[(i+1)%4]
		area += (c[0]*d[1] - d[0]*c[1]) / 2
	}
	share := max(f.w*f.h/(w*h), math.Abs(area)/float64(other.Width*other.Height))
	if share < leastShared {
		return common{}, in.Say("they share only %s %% of either picture", say.Decimal(math.Floor(100*share), 0))
	}
	// As many pixels as the finer one has, but the coarser one is not blown up.
	most, least := to.Stretches(f.x+f.w/2, f.y+f.h/2)
	f.width = int(min(float64(widths[len(widths)-1]), f.w, mostEnlarge*f.w*math.Sqrt(most*least)))
	if f.width < leastWide {
		return common{}, fmt.Sprintf("what they share is only %d pixels wide", f.width)
	}
	f.height = max(1, int(math.Round(float64(f.width)*f.h/f.w)))
	return f, ""
}

// corners are those of the frame in the photo, and its order goes round.
func (f common) corners() [4][2]float64 {
	return [4][2]float64{{f.x, f.y}, {f.x + f.w, f.y}, {f.x + f.w, f.y + f.h}, {f.x, f.y + f.h}}
}

// largest is the rectangle of most cells all corners of which are true.
func largest(at [][]bool) (x0, y0, x1, y1 int) {
	best := 0
	for top := range at {
		good := make([]bool, len(at[top]))
		copy(good, at[top])
		for bottom := top + 1; bottom < len(at); bottom++ {
			run := -1 // where the run of good columns began, -1 = none
			for i := range good {
				if good[i] = good[i] && at[bottom][i]; !good[i] {
					run = -1
					continue
				}
				if run < 0 {
					run = i
				}
				if n := (i - run) * (bottom - top); n > best {
					best, x0, y0, x1, y1 = n, run, top, i, bottom
				}
			}
		}
	}
	return x0, y0, x1, y1
}

// unsure is how far, in pixels of the shown picture, the two photos may miss
// each other by the standard errors of the corners of both cards and of what a
// person measured of them: in the middle of the frame, and at the worst of its
// corners.
func unsure(keep, other *card.Ruler, f common) (middle, worst float64) {
	corners := f.corners()
	places := append([][2]float64{{f.x + f.w/2, f.y + f.h/2}}, corners[:]...)
	to := keep.Plane.Inverse().Then(other.Plane)
	back := to.Inverse()
	squares := make([]float64, len(places))
	// Each number is moved by its error; the errors add as squares.
	move := func(side int, m card.Measure, err error) bool {
		if err != nil {
			return false
		}
		moved := [2]card.Homography{keep.Plane, other.Plane}
		moved[side] = m.Plane
		way := moved[0].Inverse().Then(moved[1]).Then(back)
		for k, p := range places {
			x, y := way.At(p[0], p[1])
			d := math.Hypot(x-p[0], y-p[1]) / f.shrunk()
			squares[k] += d * d
		}
		return true
	}
	for side, r := range [2]*card.Ruler{keep, other} {
		for i := range 8 {
			corners := r.Corners
			corners[i/2][i%2] += r.SD
			if m, err := r.With(corners, r.Printed.Factor()); !move(side, m, err) {
				return math.Inf(1), math.Inf(1)
			}
		}
		// Cards of one sheet are off together, which moves nothing.
		if !keep.Printed.SameSize(other.Printed) {
			m, err := r.With(r.Corners, r.Printed.Factor()*(1+r.Printed.Error()))
			if !move(side, m, err) {
				return math.Inf(1), math.Inf(1)
			}
		}
	}
	for _, s := range squares {
		worst = max(worst, math.Sqrt(s)) // NaN if any is
	}
	return math.Sqrt(squares[0]), worst
}
