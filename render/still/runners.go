// The runners of a kit as they lie on the bench: rows of numbered squares.

package still

import "math"

func (r Runners) on(c *canvas) {
	top := c.head(r.Over, r.Heading) + 26
	foot := c.foot(r.Foot) - 34
	side, columns := r.measure(Wide-2*marginX, foot-top)
	names := 2.1 * side * 0.62
	wide := (float64(Wide-2*marginX) - gapOf(columns)) / float64(columns)
	room := math.Floor((wide - names) / side)
	x, y, column := float64(marginX), top, 0
	for _, one := range r.Runners {
		rows := math.Ceil(float64(len(one.Squares)) / room)
		if y+rows*side > foot+1 && column+1 < columns {
			column++
			x, y = float64(marginX)+float64(column)*(wide+64), top
		}
		c.text(x, y+side*0.7, one.Name, serif, side*0.62, c.ink.ink)
		for i, s := range one.Squares {
			row, place := math.Floor(float64(i)/room), math.Mod(float64(i), room)
			c.square(s, box{x + names + side*place, y + side*row, side, side})
		}
		y += rows*side + side*0.32
	}
}

// gapOf is the room between columns of runners.
func gapOf(columns int) float64 { return 64 * float64(columns-1) }

// measure finds the largest squares with which all runners fit, and in how many
// columns.
func (r Runners) measure(wide, high float64) (side float64, columns int) {
	for side = 132; side > 20; side -= 2 {
		for columns = 1; columns <= 4; columns++ {
			each := (wide - gapOf(columns)) / float64(columns)
			room := math.Floor((each - 2.1*side*0.62) / side)
			if room >= 4 && r.columns(side, room, high) <= columns {
				return side, columns
			}
		}
	}
	return 20, 4
}

// columns is how many columns the runners take with squares of that side.
func (r Runners) columns(side, room, high float64) int {
	n, y := 1, 0.0
	for _, one := range r.Runners {
		rows := math.Ceil(float64(len(one.Squares)) / room)
		if y+rows*side > high+1 {
			n++
			y = 0
		}
		y += rows*side + side*0.32
	}
	return n
}

// square draws one part: done is filled, begun has a corner, lacking is dashed and has
// its sign, not for use is struck through.
func (c *canvas) square(s Square, b box) {
	b = box{b.x + 3, b.y + 3, b.w - 6, b.h - 6}
	ink, size := c.ink.ink, b.w*0.42
	switch s.Look {
	case "done":
		c.fill(b, c.ink.ramp[10])
		ink = c.ink.paper
	case "begun":
		c.fill(b, c.ink.tray)
		c.shape([][2]float64{{b.x, b.y + b.h}, {b.x, b.y + 0.55*b.h}, {b.x + 0.45*b.w, b.y + b.h}}, c.ink.ramp[10])
		c.frame(b, 2, c.ink.line)
	case "unused":
		c.frame(b, 2, c.ink.hair)
		ink = c.ink.line
	default:
		c.frame(b, 2, c.ink.line)
	}
	text := s.Number + s.Sign
	for size > 8 && c.width(text, bold, size) > b.w*0.8 {
		size -= 2
	}
	c.text(b.x+(b.w-c.width(text, bold, size))/2, b.y+b.h/2+size*0.35, text, bold, size, ink)
	if s.Look == "unused" {
		c.hair(b.x, b.y+b.h/2, b.w, c.ink.line)
	}
}
