// Drawing one card: as SVG for paper, as pixels for invented photos.

package card

import (
	"fmt"
	"html"
	"image"
	"image/color"
	"image/draw"
	"math"
	"strconv"
	"strings"
	"sync"

	"golang.org/x/image/font"
	"golang.org/x/image/font/gofont/gobold"
	"golang.org/x/image/font/gofont/goregular"
	"golang.org/x/image/font/opentype"
	"golang.org/x/image/math/fixed"
)

// SVG draws the card in millimeters, with a line to cut along.
func (p Face) SVG() (string, error) {
	marks, err := p.layout()
	if err != nil {
		return "", err
	}
	var b strings.Builder
	width, height := p.Size()
	fmt.Fprintf(&b, `<svg class="card" xmlns="http://www.w3.org/2000/svg" width="%gmm" height="%gmm" viewBox="0 0 %g %g" role="img" aria-label="%s">`,
		width, height, width, height, html.EscapeString(strings.TrimSpace("Bench card: "+p.Words+" "+p.Of)))
	fmt.Fprintf(&b, `<rect x="0.05" y="0.05" width="%g" height="%g" fill="#fff" stroke="#999" stroke-width="0.1"/>`,
		width-0.1, height-0.1)
	for _, m := range marks {
		fill := fmt.Sprintf("#%02x%02x%02x", m.gray, m.gray, m.gray)
		if m.words == "" {
			fmt.Fprintf(&b, `<rect x="%s" y="%s" width="%s" height="%s" fill="%s"/>`, mm(m.x), mm(m.y), mm(m.w),
				mm(m.h), fill)
			continue
		}
		weight := ""
		if m.bold {
			weight = ` font-weight="700"`
		}
		fmt.Fprintf(&b, `<text x="%s" y="%s" font-size="%s"%s fill="%s">%s</text>`, mm(m.x), mm(m.y), mm(m.h), weight,
			fill, html.EscapeString(m.words))
	}
	b.WriteString("</svg>")
	return b.String(), nil
}

func mm(v float64) string { return strconv.FormatFloat(math.Round(v*1000)/1000, 'f', -1, 64) }

// Raster draws the card at so many pixels a millimeter, for invented photos.
// Edges that fall between pixels are gray, as they are on paper.
func (p Face) Raster(perMM float64) (*image.Gray, error) {
	marks, err := p.layout()
	if err != nil {
		return nil, err
	}
	width, height := p.Size()
	img := image.NewGray(image.Rect(0, 0, int(math.Ceil(width*perMM)), int(math.Ceil(height*perMM))))
	draw.Draw(img, img.Bounds(), image.White, image.Point{}, draw.Src)
	for _, m := range marks {
		if m.words == "" {
			fill(img, m.x*perMM, m.y*perMM, (m.x+m.w)*perMM, (m.y+m.h)*perMM, m.gray)
			continue
		}
		face, err := typeface(m.bold, m.h*perMM)
		if err != nil {
			return nil, err
		}
		d := font.Drawer{Dst: img, Src: image.NewUniform(color.Gray{Y: m.gray}), Face: face,
			Dot: fixed.Point26_6{X: fixed.Int26_6(m.x * perMM * 64), Y: fixed.Int26_6(m.y * perMM * 64)}}
		d.DrawString(m.words)
	}
	return img, nil
}

// fill darkens a rectangle, its border pixels by the share that is covered.
func fill(img *image.Gray, x0, y0, x1, y1 float64, gray uint8) {
	for y := int(y0); y < int(math.Ceil(y1)) && y < img.Rect.Dy(); y++ {
		part := min(y1, float64(y+1)) - max(y0, float64(y))
		for x := int(x0); x < int(math.Ceil(x1)) && x < img.Rect.Dx(); x++ {
			share := part * (min(x1, float64(x+1)) - max(x0, float64(x)))
			at := &img.Pix[img.PixOffset(x, y)]
			*at = uint8(math.Round(float64(*at)*(1-share) + float64(gray)*share))
		}
	}
}

var fonts = sync.OnceValues(func() ([2]*opentype.Font, error) {
	plain, err := opentype.Parse(goregular.TTF)
	if err != nil {
		return [2]*opentype.Font{}, err
	}
	bold, err := opentype.Parse(gobold.TTF)
	return [2]*opentype.Font{plain, bold}, err
})

func typeface(bold bool, size float64) (font.Face, error) {
	both, err := fonts()
	if err != nil {
		return nil, err
	}
	which := both[0]
	if bold {
		which = both[1]
	}
	return opentype.NewFace(which, &opentype.FaceOptions{Size: size, DPI: 72})
}
