// Symbols one of whose corner marks is covered: two marks, the dotted line and
// the small square near the fourth corner still tell the plane.

package card

import (
	"cmp"
	"math"
	"slices"
	"sync"

	"rakelight/media/card/qr"
)

// two are marks that may be of one symbol whose third mark cannot be seen: at
// which places of it they would be.
type two struct {
	marks   [2]qr.Mark
	places  [2]int
	badness float64
}

// places are the modules in which the three marks begin: upper left, upper
// right, lower left.
var places = [3][2]int{{0, 0}, {apart, 0}, {0, apart}}

const (
	mostTwos     = 24   // tried at one rung
	bestPartners = 40   // marks considered at one rung
	pairSeen     = 2    // rows a mark was seen in at least
	pairSlack    = 1.35 // times the distance of two marks may differ from what their size says
	pairFits     = 0.6  // share of two marks' borders that must be where they should be
)

// twos are those of the marks that look like two corners of a symbol, the
// likeliest first.
func twos(marks []qr.Mark) []two {
	marks = slices.DeleteFunc(slices.Clone(marks), func(m qr.Mark) bool { return m.Seen < pairSeen })
	slices.SortStableFunc(marks, func(a, b qr.Mark) int { return cmp.Compare(b.Seen, a.Seen) })
	marks = marks[:min(len(marks), bestPartners)]
	var out []two
	for i, a := range marks {
		for _, b := range marks[i+1:] {
			if max(a.Module, b.Module) > pairSlack*min(a.Module, b.Module) {
				continue
			}
			for _, at := range [][2]int{{0, 1}, {1, 0}, {0, 2}, {2, 0}, {1, 2}, {2, 1}} {
				t := two{marks: [2]qr.Mark{a, b}, places: at}
				if t.badness = t.unlike(); t.badness < math.Log(pairSlack) {
					out = append(out, t)
				}
			}
		}
	}
	slices.SortStableFunc(out, func(a, b two) int { return cmp.Compare(a.badness, b.badness) })
	return out[:min(len(out), mostTwos)]
}

// plane is the plane of the two as if it were not tilted.
func (t two) plane() Homography {
	a, b := t.marks[0], t.marks[1]
	ax, ay := middleAt(places[t.places[0]])
	bx, by := middleAt(places[t.places[1]])
	// The similarity that takes one middle to the other, as complex numbers.
	px, py, qx, qy := bx-ax, by-ay, b.X-a.X, b.Y-a.Y
	n := px*px + py*py
	re, im := (qx*px+qy*py)/n, (qy*px-qx*py)/n
	return Homography{re, -im, a.X - re*ax + im*ay, im, re, a.Y - im*ax - re*ay, 0, 0, 1}
}

// middleAt is where the middle of a mark lies in the symbol's plane.
func middleAt(place [2]int) (x, y float64) {
	return (float64(place[0])+3.5)/half - 1, (float64(place[1])+3.5)/half - 1
}

// unlike is how far the distance of the marks is from what their size says, as a
// logarithm.
func (t two) unlike() float64 {
	h := t.plane()
	module := math.Hypot(h[0], h[3]) / half
	// Rows and columns cross a turned mark slantwise, and see it larger.
	turn := math.Mod(math.Abs(math.Atan2(h[3], h[0])), math.Pi/2)
	seen := math.Sqrt(t.marks[0].Module*t.marks[1].Module) * math.Cos(min(turn, math.Pi/2-turn))
	return math.Abs(math.Log(module / seen))
}

// pairBorders are the borders of two marks, and of the dotted line that leads from
// one to the other, by the place that is missing.
var pairBorders = sync.OnceValue(func() (all [3][]border) {
	for missing := range places {
		modules := make([][]bool, qr.Side)
		for y := range modules {
			modules[y] = make([]bool, qr.Side)
		}
		for i, at := range places {
			if i != missing {
				drawMark(modules, at)
			}
		}
		for i := 8; i <= qr.Side-9; i += 2 {
			modules[6][i] = modules[6][i] || missing == 2
			modules[i][6] = modules[i][6] || missing == 1
		}
		all[missing] = borders(modules)
	}
	return all
})

// drawMark darkens a corner mark that begins at a module.
func drawMark(modules [][]bool, at [2]int) {
	for y := range 7 {
		for x := range 7 {
			modules[at[1]+y][at[0]+x] = min(x, y, 6-x, 6-y) != 1
		}
	}
}

// pairs reads what symbols are left of which only two marks are seen.
func (s *search) pairs(marks []qr.Mark) {
	marks = slices.DeleteFunc(marks, s.taken)
	for _, t := range twos(marks) {
		if slices.ContainsFunc(t.marks[:], s.taken) {
			continue
		}
		s.try(t.plane(), pairBorders()[3-t.places[0]-t.places[1]], pairFits)
	}
}
