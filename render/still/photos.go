// Stills of photos: two side by side, and one with its day.

package still

import "image"

// FrameSize is how large a photo of that shape stands on a Frame of a look, in
// pixels: pictures that come so large are copied and not resampled.
func FrameSize(l Look, width, height int) (w, h int) {
	c := canvas{scale: scaleOf(l)}
	at := c.rect(fit(image.Rect(0, 0, width, height), frameBox))
	return at.Dx(), at.Dy()
}

// SideSize is the same of one picture of a Pair, and TitleSize of a Title's.
func SideSize(l Look, width, height int) (w, h int) {
	c := canvas{scale: scaleOf(l)}
	at := c.rect(fit(image.Rect(0, 0, width, height), sideBox(0)))
	return at.Dx(), at.Dy()
}

// TitleSize is how large a photo of that shape stands on a Title.
func TitleSize(l Look, width, height int) (w, h int) {
	c := canvas{scale: scaleOf(l)}
	at := c.rect(fit(image.Rect(0, 0, width, height), titleBox))
	return at.Dx(), at.Dy()
}

func scaleOf(l Look) float64 {
	w, h := l.size()
	return min(float64(w)/Wide, float64(h)/High)
}

const gap = 24.0

// sideBox is where a picture of a pair may stand.
func sideBox(i int) box {
	const wide = (Wide - 2*marginX - gap) / 2
	return box{marginX + float64(i)*(wide+gap), 190, wide, 639}
}

// frameBox is where the photo of a frame may stand.
var frameBox = box{marginX, marginY, 1296, High - 2*marginY}

// titleBox is where the photo of a title may stand.
var titleBox = box{Wide - marginX - 1080, marginY, 1080, High - 2*marginY}

func (p Pair) on(c *canvas) {
	c.text(marginX, 136, p.Heading, serif, large, c.ink.ink)
	for i, s := range p.Sides {
		room := sideBox(i)
		under := room.y
		if s.Picture != nil {
			at := fit(s.Picture, room)
			at.x, at.y = room.x, room.y // both begin on one line
			c.photo(s.Picture, at)
			under = at.y + at.h
		}
		c.line(room.x, under+42, 72, 8, s.Shade)
		c.point(room.x+36, under+42, 12, s.Shade)
		x := room.x + 96
		x += c.text(x, under+57, s.Label, bold, middle, c.ink.shade(s.Shade)) + 28
		c.paragraph(x, under+57, room.x+room.w-x, 2, s.Words, sans, small, 44, c.ink.ink)
	}
	c.foot(p.Foot)
}

func (f Frame) on(c *canvas) {
	x, wide := frameBox.x+frameBox.w+56, float64(Wide-marginX)-(frameBox.x+frameBox.w+56)
	if f.Picture != nil {
		at := fit(f.Picture, frameBox)
		at.x = frameBox.x
		c.photo(f.Picture, at)
		x, wide = at.x+at.w+56, float64(Wide-marginX)-(at.x+at.w+56)
	}
	y := c.paragraph(x, marginY+36, wide, 3, f.Over, bold, small, 44, c.ink.soft) + 60
	size := c.wordsFit(f.Heading, serif, large, small, wide)
	y = c.paragraph(x, y, wide, 3, f.Heading, serif, size, 1.15*size, c.ink.ink)
	c.paragraph(x, y+4, wide, 3, f.Under, sans, small+4, 48, c.ink.soft)
	// How far along: a line that fills, with its count above.
	foot := float64(High - marginY - 8)
	c.text(x, foot-28, f.Count, sans, tiny, c.ink.soft)
	c.fill(box{x, foot, wide, 3}, c.ink.hair)
	c.fill(box{x, foot - 2, wide * min(max(f.Along, 0), 1), 7}, c.ink.shade(f.Shade))
}
