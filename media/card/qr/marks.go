// Finding corner marks: squares whose middle line goes dark, light, dark, light,
// dark as 1:1:3:1:1. The check is along rows and columns only, and loose: a mark
// that is tilted and turned is a crooked one, and what is no mark is sorted out
// by what is done with it.

package qr

import (
	"encoding/binary"
	"math"
	"math/bits"
)

// Plane is a picture of dark and light: a pixel is dark if it is below the cut of
// its cell. All is row by row. A row of Cut serves a row of cells, and has a value
// for each pixel across. Cells are 1<<Cell pixels high.
type Plane struct {
	Width, Height, Stride int
	Pix                   []uint8
	Cell, Rows            int
	Cut                   []uint8 // Width by Rows, the last serves what is left over
}

// cuts is the row of cuts for a row of the picture.
func (p *Plane) cuts(y int) []uint8 {
	return p.Cut[min(y>>p.Cell, p.Rows-1)*p.Width:][:p.Width]
}

// dark is 1 for a dark pixel.
func (p *Plane) dark(x, y int) uint8 {
	if p.Pix[y*p.Stride+x] < p.Cut[min(y>>p.Cell, p.Rows-1)*p.Width+x] {
		return 1
	}
	return 0
}

// Mark is a square like those in three corners of a symbol: the place of its
// middle and the side of a module, in pixels. Seen is how many rows it was seen
// in.
type Mark struct {
	X, Y, Module float64
	Seen         int
}

// mostMarks bounds the work a picture can ask for.
const mostMarks = 2000

// Marks finds what may be corner marks.
func Marks(p Plane) []Mark {
	if p.Width < Side || p.Height < Side || p.Rows == 0 || len(p.Cut) < p.Rows*p.Width {
		return nil // too small to hold a symbol
	}
	var marks []Mark
	var edges []int
	const everyRow = 2 // a mark's middle is three modules high, of a pixel and more each
	for y := 1; y < p.Height && len(marks) < mostMarks; y += everyRow {
		edges = edgesOf(p.Pix[y*p.Stride:][:p.Width], p.cuts(y), edges[:0])
		for e := edges; len(e) >= 6; e = e[2:] {
			// No run of a mark's middle line is longer than the middle one: most
			// of what a picture holds goes by this.
			if middle := e[3] - e[2]; middle < e[2]-e[1] || middle < e[4]-e[3] {
				continue
			}
			runs := [5]int{e[1] - e[0], e[2] - e[1], e[3] - e[2], e[4] - e[3], e[5] - e[4]}
			if !ratio(&runs) {
				continue
			}
			if m, ok := p.mark((e[2]+e[3])/2, y, e[5]-e[0]); ok {
				marks = gather(marks, m)
			}
		}
	}
	return marks
}

// edgesOf appends where the dark runs of a row begin and end, in turn. It takes
// 64 pixels at once: noise on a threshold makes a run of every other pixel.
func edgesOf(row, cuts []uint8, edges []int) []int {
	was := uint64(0) // the last pixel
	cuts = cuts[:len(row)]
	for x := 0; x < len(row); x += 64 {
		var dark uint64 // a bit a pixel
		n := min(64, len(row)-x)
		pix, cut := row[x:x+n], cuts[x:x+n]
		i := 0
		for ; i+8 <= n; i += 8 {
			dark |= below(binary.LittleEndian.Uint64(pix[i:]), binary.LittleEndian.Uint64(cut[i:])) << i
		}
		for ; i < n; i++ {
			if pix[i] < cut[i] {
				dark |= 1 << i
			}
		}
		for change := dark ^ (dark<<1 | was); change != 0; change &= change - 1 {
			edges = append(edges, x+bits.TrailingZeros64(change))
		}
		was = dark >> 63
	}
	// Past the end all is light: a dark run there has ended already, unless it
	// ends with the last 64.
	if was == 1 {
		edges = append(edges, len(row))
	}
	return edges
}

// below compares eight bytes with eight others: a bit for each that is less.
func below(a, b uint64) uint64 {
	const top = 0x8080808080808080
	// What is less borrows from the bit above it, in each byte by itself.
	less := (^a & b) | (^(a ^ b) & ^((a | top) - (b &^ top)))
	return (less & top >> 7) * 0x0102040810204080 >> 56
}

// mark looks whether a place in a row is the middle of a mark: along the
// column, along the row again at the middle found there, and along both
// diagonals. However a mark is tilted, every line through its middle shows the
// same proportions. total is how many pixels of the row it takes.
func (p *Plane) mark(x, y, total int) (Mark, bool) {
	most := 3 * total
	off, down, ok := p.cross(x, y, 0, 1, most)
	if !ok {
		return Mark{}, false
	}
	cy := float64(y) + off
	y = int(cy)
	off, along, ok := p.cross(x, y, 1, 0, most)
	if !ok || along > 3*down || down > 3*along {
		return Mark{}, false
	}
	cx := float64(x) + off
	x = int(cx)
	for _, way := range [2]int{1, -1} {
		if _, _, ok := p.cross(x, y, 1, way, most); !ok {
			return Mark{}, false
		}
	}
	// The geometric mean: what is foreshortened one way is not the other.
	return Mark{cx, cy, math.Sqrt(float64(along)*float64(down)) / 7, 1}, true
}

// cross walks from a dark place both ways in steps of dx, dy and checks the
// runs, none of which may be longer than most. off is how many steps on the middle
// lies, from the upper left corner of the place; total is the number of steps.
func (p *Plane) cross(x, y, dx, dy, most int) (off float64, total int, ok bool) {
	if x < 0 || y < 0 || x >= p.Width || y >= p.Height || p.dark(x, y) == 0 {
		return 0, 0, false
	}
	back, ok := p.walk(x, y, -dx, -dy, most)
	if !ok {
		return 0, 0, false
	}
	on, ok := p.walk(x, y, dx, dy, most)
	if !ok {
		return 0, 0, false
	}
	runs := [5]int{back[2], back[1], back[0] + 1 + on[0], on[1], on[2]}
	if !ratio(&runs) {
		return 0, 0, false
	}
	return float64(runs[2])/2 - float64(back[0]), runs[0] + runs[1] + runs[2] + runs[3] + runs[4], true
}

// walk counts the pixels of three runs, dark, light, dark, from beside a place on.
func (p *Plane) walk(x, y, dx, dy, most int) (runs [3]int, ok bool) {
	state, k := uint8(1), 0
	for x, y = x+dx, y+dy; x >= 0 && y >= 0 && x < p.Width && y < p.Height; x, y = x+dx, y+dy {
		if v := p.dark(x, y); v != state {
			if k++; k == 3 {
				return runs, true
			}
			state = v
		}
		if runs[k]++; runs[k] > most {
			return runs, false
		}
	}
	return runs, true
}

// gather adds a sighting to the mark it is of.
func gather(marks []Mark, m Mark) []Mark {
	// The latest are nearest: rows come in order.
	for i := len(marks) - 1; i >= max(0, len(marks)-200); i-- {
		o := &marks[i]
		if math.Abs(o.X-m.X) < 1.5*o.Module && math.Abs(o.Y-m.Y) < 1.5*o.Module && m.Module < 2*o.Module &&
			o.Module < 2*m.Module {
			n := float64(o.Seen)
			o.X, o.Y, o.Module = (o.X*n+m.X)/(n+1), (o.Y*n+m.Y)/(n+1), (o.Module*n+m.Module)/(n+1)
			o.Seen++
			return marks
		}
	}
	return append(marks, m)
}

// ratio reports whether five runs are 1:1:3:1:1, each within about two thirds
// of a module, or a pixel where that is more.
func ratio(runs *[5]int) bool {
	total := runs[0] + runs[1] + runs[2] + runs[3] + runs[4]
	if total < 7 || min(runs[0], runs[1], runs[3], runs[4]) == 0 {
		return false
	}
	// In whole numbers: a module is total/7, the slack 0.65 of it or 0.95.
	slack := max(13*total, 133)
	far := func(n, modules, slack int) bool {
		off := 20 * (7*n - modules*total)
		return off >= slack || -off >= slack
	}
	return !far(runs[2], 3, 2*slack) && !far(runs[0], 1, slack) && !far(runs[1], 1, slack) && !far(runs[3], 1, slack) &&
		!far(runs[4], 1, slack)
}
