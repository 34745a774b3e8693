// Reading one symbol: which three marks may belong together, the plane they
// span, and the modules in it.

package card

import (
	"cmp"
	"math"
	"slices"
	"sync"

	"rakelight/journal"
	"rakelight/media/card/qr"
)

// three are marks that may be of one symbol: upper left, upper right, lower
// left, by place in the list. badness is how far they are from a square.
type three struct {
	marks   [3]int
	badness float64
}

const (
	threeFit    = 0.45        // share of three marks' borders that must be where they should be
	mostThrees  = 100         // tried at one rung
	bestMarks   = 100         // considered at one rung
	mostUnlike  = 2.2         // times the modules of two marks of a symbol differ
	fixedRight  = 0.7         // of the modules all symbols have alike; read ones have 0.9 and more, what is no symbol 0.4 to 0.65
	fewestLines = 0.6         // of the modules that only symbols of this size have alike; others have half
	apart       = qr.Side - 7 // modules between two marks' middles
)

// threes are those of the marks that look like the corners of a symbol, the
// likeliest first.
func threes(marks []qr.Mark) []three {
	order := make([]int, len(marks))
	for i := range order {
		order[i] = i
	}
	slices.SortStableFunc(order, func(a, b int) int { return cmp.Compare(marks[b].Seen, marks[a].Seen) })
	order = order[:min(len(order), bestMarks)]
	var out []three
	for _, i := range order {
		// Most marks are too far off, too near or of another size.
		var near []int
		for _, k := range order {
			if k != i && pair(marks[i], marks[k]) {
				near = append(near, k)
			}
		}
		for _, k := range near {
			for _, l := range near {
				if k == l {
					continue
				}
				if t, ok := threeOf(marks, i, k, l); ok {
					out = append(out, t)
				}
			}
		}
	}
	slices.SortStableFunc(out, func(a, b three) int { return cmp.Compare(a.badness, b.badness) })
	return out[:min(len(out), mostThrees)]
}

// pair reports whether two marks may be of one side of a symbol, by their sizes
// and how far they are apart.
func pair(a, b qr.Mark) bool {
	small, large := min(a.Module, b.Module), max(a.Module, b.Module)
	apart := math.Hypot(a.X-b.X, a.Y-b.Y) / apart
	return large <= mostUnlike*small && apart > 0.3*small && apart < 2.5*large
}

// threeOf judges three marks with i at the corner: of the two ways round only
// the one that is no mirror image.
func threeOf(marks []qr.Mark, i, k, l int) (three, bool) {
	a, b, c := marks[i], marks[k], marks[l]
	ux, uy, vx, vy := b.X-a.X, b.Y-a.Y, c.X-a.X, c.Y-a.Y
	turn := ux*vy - uy*vx
	u, v := math.Hypot(ux, uy), math.Hypot(vx, vy)
	small, large := min(a.Module, b.Module, c.Module), max(a.Module, b.Module, c.Module)
	if !(turn > 0) || large > mostUnlike*small {
		return three{}, false
	}
	// At 45 degrees of tilt a square is still no thinner than this.
	legs, sine := max(u, v)/min(u, v), turn/(u*v)
	if legs > 1.9 || sine < 0.75 {
		return three{}, false
	}
	long := math.Sqrt(turn) / ((a.Module + b.Module + c.Module) / 3) / apart
	if long < 0.55 || long > 1.6 {
		return three{}, false
	}
	return three{[3]int{i, k, l}, math.Log(large/small) + math.Log(legs) + 2*(1-sine) + math.Abs(math.Log(long))}, true
}

// plane is the plane of the three in the full picture, as if it were not
// tilted.
func (t three) plane(marks []qr.Mark) Homography {
	a, b, c := marks[t.marks[0]], marks[t.marks[1]], marks[t.marks[2]]
	const m = half / (apart / 2.0) // from half the marks' distance to half the side
	ux, uy, vx, vy := (b.X-a.X)/2, (b.Y-a.Y)/2, (c.X-a.X)/2, (c.Y-a.Y)/2
	return Homography{ux * m, vx * m, (b.X + c.X) / 2, uy * m, vy * m, (b.Y + c.Y) / 2, 0, 0, 1}
}

// markBorders are the borders of the three corner marks.
var markBorders = sync.OnceValue(func() []border {
	modules := make([][]bool, qr.Side)
	for y := range modules {
		modules[y] = make([]bool, qr.Side)
	}
	for _, at := range places {
		drawMark(modules, at)
	}
	return borders(modules)
})

// read reads the symbol that lies about in the plane, and tells in which it lies.
// It finds nothing, but reads something, where the symbol is not ours. marks are
// borders all symbols have alike, and share of them must be found.
func (p Plane) read(about Homography, marks []border, share float64) (f Found, there Homography, ok bool) {
	h := paper{Homography: about}
	fit, fits := refine(p, h, marks, 0.8, share, plainly)
	if fits {
		h = fit.paper
	}
	seen, ok := p.text(h)
	if !ok && fits && !seen.likely() {
		h = paper{Homography: about}
		seen, ok = p.text(h)
	}
	for range mostSettles {
		if ok || !seen.likely() || seen.lines < fewestLines {
			break
		}
		h, seen, ok = p.settle(h, seen)
	}
	if !ok {
		return Found{}, h.Homography, false
	}
	f.Text = seen.text
	var err error
	if f.Card, err = journal.ParseCard(f.Text); err != nil {
		return Found{}, h.Homography, true
	}
	f.place(p, h)
	return f, h.Homography, true
}

// mostSettles is how often a symbol is read again where its own borders say it
// lies.
const mostSettles = 4

// settle moves the paper to the borders of the modules as they were seen, most of
// which are right near the marks, and reads again.
func (p Plane) settle(h paper, was reading) (paper, reading, bool) {
	fit, fits := refine(p, h, borders(qr.Mend(was.modules)), 0.8, 0.2, withBends)
	if !fits {
		return h, reading{}, false
	}
	seen, ok := p.text(fit.paper)
	return fit.paper, seen, ok
}

// reading is what was seen of a symbol.
type reading struct {
	modules [][]bool
	fixed   float64 // share of the modules all symbols have alike that are right
	lines   float64 // share of those of them that are not of a corner mark
	text    string
}

// likely reports whether it is a symbol that was seen.
func (r reading) likely() bool { return r.fixed >= fixedRight }

// text reads the modules on a paper.
func (p Plane) text(h paper) (seen reading, ok bool) {
	var level [qr.Side][qr.Side]float64
	for y := range qr.Side {
		for x := range qr.Side {
			sum := 0.0
			for i := range 9 { // about the middle of the module
				u := (float64(x)+0.5+0.22*float64(i%3-1))/half - 1
				v := (float64(y)+0.5+0.22*float64(i/3-1))/half - 1
				val, in := p.sample(h.At(u, v))
				if !in {
					return reading{}, false
				}
				sum += val
			}
			level[y][x] = sum
		}
	}
	// Dark or light is what a module is among its neighbors: half of them are
	// either, and a shadow's edge goes through few.
	for _, reach := range []int{4, 2, 12} {
		modules := make([][]bool, qr.Side)
		for y := range modules {
			modules[y] = make([]bool, qr.Side)
			for x := range modules[y] {
				lo, hi := math.Inf(1), math.Inf(-1)
				sum, n := 0.0, 0.0
				for yy := max(0, y-reach); yy <= min(qr.Side-1, y+reach); yy++ {
					for xx := max(0, x-reach); xx <= min(qr.Side-1, x+reach); xx++ {
						v := level[yy][xx]
						lo, hi, sum, n = min(lo, v), max(hi, v), sum+v, n+1
					}
				}
				modules[y][x] = level[y][x] < (sum/n+(lo+hi)/2)/2
			}
		}
		if fixed, lines := qr.Fixed(modules); fixed > seen.fixed {
			seen.modules, seen.fixed, seen.lines = modules, fixed, lines
		}
		if !seen.likely() {
			return seen, false // no symbol: neither other neighbors nor what corrects errors need be tried
		}
		if text, err := qr.Read(modules); err == nil {
			seen.text = text
			return seen, true
		}
	}
	return seen, false
}
