// Stills of words alone, and the head that others share.

package still

// Sizes of type, on one scale.
const (
	tiny   = 28.0 // nothing smaller is read on a telephone
	small  = 34.0
	middle = 44.0
	large  = 68.0
	huge   = 132.0
)

// head draws what a still is about, small, and its heading under it, and returns
// where the room below begins.
func (c *canvas) head(over, heading string) float64 {
	y := float64(marginY) + 34
	if over != "" {
		c.text(marginX, y, over, bold, small, c.ink.soft)
		y += 26
	} else {
		y -= 28
	}
	y += 58
	next := c.paragraph(marginX, y, Wide-2*marginX, 2, heading, serif, large, 80, c.ink.ink)
	return next - 80 + 34
}

// foot draws what a still rests on, on the last lines, under a hairline, and returns
// where the room above ends.
func (c *canvas) foot(text string) float64 {
	const most = 4 // lines: a caution of the bench is never cut
	if text == "" {
		return High - marginY
	}
	lines := c.some(c.lines(text, sans, tiny, Wide-2*marginX), most, sans, tiny, Wide-2*marginX)
	y := float64(High-marginY) - 10 - 38*float64(len(lines)-1)
	top := y - 46
	c.hair(marginX, top, Wide-2*marginX, c.ink.hair)
	for _, line := range lines {
		c.text(marginX, y, line, sans, tiny, c.ink.soft)
		y += 38
	}
	return top
}

func (t Title) on(c *canvas) {
	wide := float64(Wide - 2*marginX)
	if t.Picture != nil {
		at := fit(t.Picture, titleBox)
		at.x = Wide - marginX - at.w
		c.photo(t.Picture, at)
		wide = at.x - marginX - 72
	}
	c.text(marginX, marginY+38, t.Over, bold, small, c.ink.soft)
	size := c.wordsFit(t.Heading, serif, huge, 60, wide)
	for size > 60 && len(c.lines(t.Heading, serif, size, wide)) > 3 {
		size -= 12
	}
	lines := c.some(c.balanced(t.Heading, serif, size, wide), 3, serif, size, wide)
	y := 430 - float64(len(lines)-1)*size*0.55
	for _, line := range lines {
		c.text(marginX-2, y, line, serif, size, c.ink.ink)
		y += size * 1.08
	}
	y += 4
	c.text(marginX, y-size*1.08+76, t.Under, sans, middle, c.ink.soft)
	y += 50
	if len(t.Lines) == 0 {
		return
	}
	c.hair(marginX, y, wide, c.ink.hair)
	y += 64
	for _, line := range t.Lines {
		y = c.paragraph(marginX, y, wide, 2, line, serif, middle, 56, c.ink.ink) + 12
		if y > High-marginY {
			return
		}
	}
}

func (s Statement) on(c *canvas) {
	const wide = Wide - 2*marginX
	c.text(marginX, marginY+38, s.Over, bold, small, c.ink.soft)
	c.fill(box{marginX, marginY + 62, 96, 6}, c.ink.ramp[10])
	top, foot := float64(marginY+110), c.foot(s.Foot)-40
	sizes := []float64{112, 96, 82, 70, 60, 52}
	size := sizes[len(sizes)-1]
	for _, one := range sizes {
		if lines := c.lines(s.Text, serif, one, wide); float64(len(lines))*one*1.22 <= min(640, foot-top) {
			size = one
			break
		}
	}
	lines := c.some(c.balanced(s.Text, serif, size, wide), int((foot-top)/(size*1.22)), serif, size, wide)
	y := (top+foot)/2 - float64(len(lines)-1)*size*1.22/2 + 0.35*size
	for _, line := range lines {
		c.text(marginX, y, line, serif, size, c.ink.ink)
		y += size * 1.22
	}
}
