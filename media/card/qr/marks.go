// Finding corner marks: squares whose middle line goes dark, light, dark, light,
// dark as 1:1:3:1:1. The check is along rows and columns only, and loose: a mark
// that is tilted and turned is a crooked one, and what is no mark is sorted out
// by what is done with it.

package qr

import "math"

// Plane is a picture of dark and light: row by row, 1 = dark.
type Plane struct {
	Width, Height int
	Dark          []uint8
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
	if p.Width < Side || p.Height < Side || len(p.Dark) != p.Width*p.Height {
		return nil // too small to hold a symbol
	}
	var marks []Mark
	const everyRow = 2 // a mark's middle is three modules high, of a pixel and more each
	for y := 1; y < p.Height && len(marks) < mostMarks; y += everyRow {
		row := p.Dark[y*p.Width : (y+1)*p.Width]
		var runs [5]int // the last five runs
		state, length := row[0], 0
		for x := 0; x <= len(row); x++ {
			if x < len(row) && row[x] == state {
				length++
				continue
			}
			copy(runs[:], runs[1:])
			runs[4] = length
			if state == 1 && ratio(&runs) {
				middle := float64(x) - float64(runs[4]+runs[3]) - float64(runs[2])/2
				if m, ok := p.mark(int(middle), y); ok {
					marks = gather(marks, m)
				}
			}
			if x < len(row) {
				state, length = row[x], 1
			}
		}
	}
	return marks
}

// mark looks whether a place in a row is the middle of a mark: along the
// column, along the row again at the middle found there, and along both
// diagonals. However a mark is tilted, every line through its middle shows the
// same proportions.
func (p Plane) mark(x, y int) (Mark, bool) {
	off, down, ok := p.cross(x, y, 0, 1)
	if !ok {
		return Mark{}, false
	}
	cy := float64(y) + off
	y = int(cy)
	off, along, ok := p.cross(x, y, 1, 0)
	if !ok || along > 3*down || down > 3*along {
		return Mark{}, false
	}
	cx := float64(x) + off
	x = int(cx)
	for _, way := range [2]int{1, -1} {
		if _, _, ok := p.cross(x, y, 1, way); !ok {
			return Mark{}, false
		}
	}
	// The geometric mean: what is foreshortened one way is not the other.
	return Mark{cx, cy, math.Sqrt(float64(along)*float64(down)) / 7, 1}, true
}

// cross walks from a dark place both ways in steps of dx, dy and checks the
// runs. off is how many steps on the middle lies, from the upper left corner of
// the place; total is the number of steps.
func (p Plane) cross(x, y, dx, dy int) (off float64, total int, ok bool) {
	if x < 0 || y < 0 || x >= p.Width || y >= p.Height || p.Dark[y*p.Width+x] == 0 {
		return 0, 0, false
	}
	walk := func(dx, dy int) (runs [3]int) {
		state, k := uint8(1), 0
		for i, j := x+dx, y+dy; i >= 0 && j >= 0 && i < p.Width && j < p.Height; i, j = i+dx, j+dy {
			if v := p.Dark[j*p.Width+i]; v != state {
				if k++; k == 3 {
					return runs
				}
				state = v
			}
			runs[k]++
		}
		return runs
	}
	back, on := walk(-dx, -dy), walk(dx, dy)
	runs := [5]int{back[2], back[1], back[0] + 1 + on[0], on[1], on[2]}
	if !ratio(&runs) {
		return 0, 0, false
	}
	return float64(runs[2])/2 - float64(back[0]), runs[0] + runs[1] + runs[2] + runs[3] + runs[4], true
}

// gather adds a sighting to the mark it is of.
func gather(marks []Mark, m Mark) []Mark {
	// The latest are nearest: rows come in order.
	for i := len(marks) - 1; i >= max(0, len(marks)-200); i-- {
		o := &marks[i]
		if math.Abs(o.X-m.X) < 1.5*o.Module && math.Abs(o.Y-m.Y) < 1.5*o.Module && m.Module < 2*o.Module && o.Module < 2*m.Module {
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
	total := 0
	for _, n := range runs {
		if n == 0 {
			return false
		}
		total += n
	}
	if total < 7 {
		return false
	}
	module := float64(total) / 7
	slack := max(0.65*module, 0.95)
	for i, n := range runs {
		want, may := module, slack
		if i == 2 {
			want, may = 3*module, 2*slack
		}
		if math.Abs(float64(n)-want) >= may {
			return false
		}
	}
	return true
}
