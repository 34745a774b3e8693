// Areas, lines, points and photos on the paper, measured in pixels of the layout.

package still

import (
	"image"
	"image/color"
	"image/draw"
	"math"

	ximage "golang.org/x/image/draw"
	"golang.org/x/image/vector"
)

// canvas is a picture being drawn. Places are in pixels of the layout, Wide by High.
type canvas struct {
	img   *image.RGBA
	ink   inks
	scale float64
}

// box is an upright rectangle.
type box struct{ x, y, w, h float64 }

// px is a length or a place in pixels of the picture.
func (c *canvas) px(v float64) int { return int(math.Round(v * c.scale)) }

func (c *canvas) rect(b box) image.Rectangle {
	return image.Rect(c.px(b.x), c.px(b.y), c.px(b.x+b.w), c.px(b.y+b.h))
}

// fill paints an area; its edges lie on pixels.
func (c *canvas) fill(b box, ink color.RGBA) {
	draw.Draw(c.img, c.rect(b), image.NewUniform(ink), image.Point{}, draw.Src)
}

// hair is a line across, two pixels thick: one of a single pixel flickers in a film.
func (c *canvas) hair(x, y, w float64, ink color.RGBA) { c.fill(box{x, y, w, 2}, ink) }

// frame is the outline of an area, inside of it.
func (c *canvas) frame(b box, thick float64, ink color.RGBA) {
	c.fill(box{b.x, b.y, b.w, thick}, ink)
	c.fill(box{b.x, b.y + b.h - thick, b.w, thick}, ink)
	c.fill(box{b.x, b.y, thick, b.h}, ink)
	c.fill(box{b.x + b.w - thick, b.y, thick, b.h}, ink)
}

// dashes of a line, in multiples of its thickness over four, as on the pages.
var dashes = [4][]float64{nil, {7, 4}, {2, 3}, {9, 3, 2, 3}}

// line is a line across in the shade of a build, with its dash.
func (c *canvas) line(x, y, w, thick float64, s Shade) {
	ink, dash := c.ink.shade(s), dashes[s.Dash%len(dashes)]
	if dash == nil {
		c.fill(box{x, y - thick/2, w, thick}, ink)
		return
	}
	for i, at := 0, x; at < x+w; i++ {
		long := dash[i%len(dash)] * thick / 2.5
		if i%2 == 0 {
			c.fill(box{at, y - thick/2, math.Min(long, x+w-at), thick}, ink)
		}
		at += long
	}
}

// point is the mark of a build: disc, square, diamond or triangle.
func (c *canvas) point(x, y, r float64, s Shade) {
	var corners [][2]float64
	switch s.Shape % 4 {
	case 0:
		const n = 48
		for i := range n {
			sin, cos := math.Sincos(2 * math.Pi * float64(i) / n)
			corners = append(corners, [2]float64{x + r*cos, y + r*sin})
		}
	case 1:
		q := 0.9 * r
		corners = [][2]float64{{x - q, y - q}, {x + q, y - q}, {x + q, y + q}, {x - q, y + q}}
	case 2:
		q := 1.25 * r
		corners = [][2]float64{{x, y - q}, {x + q, y}, {x, y + q}, {x - q, y}}
	default:
		q := 1.2 * r
		corners = [][2]float64{{x, y - q}, {x + q, y + 0.8*q}, {x - q, y + 0.8*q}}
	}
	c.shape(corners, c.ink.shade(s))
}

// shape fills a polygon.
func (c *canvas) shape(corners [][2]float64, ink color.RGBA) {
	z := vector.NewRasterizer(c.img.Bounds().Dx(), c.img.Bounds().Dy())
	for i, p := range corners {
		if x, y := float32(p[0]*c.scale), float32(p[1]*c.scale); i == 0 {
			z.MoveTo(x, y)
		} else {
			z.LineTo(x, y)
		}
	}
	z.ClosePath()
	z.Draw(c.img, c.img.Bounds(), image.NewUniform(ink), image.Point{})
}

// fit is the largest area of a picture's shape within another, in its middle.
func fit(picture image.Image, in box) box {
	b := picture.Bounds()
	by := math.Min(in.w/float64(b.Dx()), in.h/float64(b.Dy()))
	w, h := by*float64(b.Dx()), by*float64(b.Dy())
	return box{in.x + (in.w-w)/2, in.y + (in.h-h)/2, w, h}
}

// photo lays a picture into an area, whole. One that comes in the size it is shown
// at is copied; any other is resampled.
func (c *canvas) photo(picture image.Image, at box) {
	to := c.rect(at)
	if picture.Bounds().Size() == to.Size() {
		draw.Draw(c.img, to, picture, picture.Bounds().Min, draw.Src)
		return
	}
	ximage.CatmullRom.Scale(c.img, to, picture, picture.Bounds(), ximage.Src, nil)
}
