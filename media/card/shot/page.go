package shot

import (
	"image"
	"image/draw"
	"math"

	"rakelight/media/card"
)

// Page is a whole sheet of cards in a photo, not cut yet.
type Page struct {
	Faces         []card.Face // of one page, placed as card.Places says
	Width, Height float64     // of the paper, millimeters
	Printed       float64     // how large the cards came out, 1 = as they should
	Left, Top     float64     // of the cards on the paper, millimeters
	Words         bool        // a line of words below the cards
	Share         float64     // height of the paper by that of the photo, if it were not tilted
	Turn          float64     // radians, in its plane
	Tilt          float64     // radians, out of the picture's plane
	TiltAxis      float64
}

// plane is the homography from millimeters of paper, from its upper left corner,
// to pixels: its middle is in the middle of the photo.
func (p Page) plane(width, height int) [9]float64 {
	// As a card with its middle there, moved and made as large.
	one := Placed{Share: p.Share * float64(height) / float64(width) / p.Height * card.Width, X: 0.5, Y: 0.5,
		Turn: p.Turn, Tilt: p.Tilt, TiltAxis: p.TiltAxis}
	m := one.plane(width, height)
	dx, dy := card.Width/2-p.Width/2, card.Height/2-p.Height/2
	m[2], m[5], m[8] = m[2]+m[0]*dx+m[1]*dy, m[5]+m[3]*dx+m[4]*dy, m[8]+m[6]*dx+m[7]*dy
	return m
}

// raster is the sheet at so many pixels a millimeter.
func (p Page) raster(perMM float64) (*image.Gray, error) {
	img := image.NewGray(image.Rect(0, 0, int(p.Width*perMM), int(p.Height*perMM)))
	draw.Draw(img, img.Bounds(), image.White, image.Point{}, draw.Src)
	bottom := 0.0
	places := card.Places(p.Faces)
	for i, one := range p.Faces {
		paper, err := one.Raster(perMM * p.Printed)
		if err != nil {
			return nil, err
		}
		x, y := p.Left+p.Printed*places[i][0], p.Top+p.Printed*places[i][1]
		at := image.Pt(int(math.Round(x*perMM)), int(math.Round(y*perMM)))
		draw.Draw(img, paper.Rect.Add(at), paper, image.Point{}, draw.Src)
		_, high := one.Size()
		bottom = max(bottom, y+p.Printed*high)
	}
	for x := p.Left; p.Words && x < p.Left+p.Printed*150; x += 2.5 {
		at := image.Rect(int(x*perMM), int((bottom+3*p.Printed)*perMM), int((x+1.6)*perMM),
			int((bottom+5*p.Printed)*perMM))
		draw.Draw(img, at, image.Black, image.Point{}, draw.Src)
	}
	return img, nil
}

// draw lays the sheet into the picture and returns where it is.
func (p Page) draw(img *image.YCbCr) (image.Rectangle, error) {
	w, h := img.Rect.Dx(), img.Rect.Dy()
	perMM := max(4, p.Share*float64(h)/p.Height*1.5)
	paper, err := p.raster(perMM)
	if err != nil {
		return image.Rectangle{}, err
	}
	m := p.plane(w, h)
	back := invert(m)
	lo, hi := [2]float64{math.Inf(1), math.Inf(1)}, [2]float64{math.Inf(-1), math.Inf(-1)}
	for _, c := range [4][2]float64{{0, 0}, {p.Width, 0}, {p.Width, p.Height}, {0, p.Height}} {
		x, y := project(m, c[0], c[1])
		lo, hi = [2]float64{min(lo[0], x), min(lo[1], y)}, [2]float64{max(hi[0], x), max(hi[1], y)}
	}
	box := image.Rect(int(lo[0])-1, int(lo[1])-1, int(hi[0])+2, int(hi[1])+2).Intersect(img.Rect)
	for y := box.Min.Y; y < box.Max.Y; y++ {
		for x := box.Min.X; x < box.Max.X; x++ {
			sum, n := 0.0, 0
			for i := range 9 { // nine rays a pixel
				u, v := project(back, float64(x)+(float64(i%3)+0.5)/3, float64(y)+(float64(i/3)+0.5)/3)
				if u >= 0 && v >= 0 && u < p.Width && v < p.Height {
					sum, n = sum+bilinear(paper, u*perMM-0.5, v*perMM-0.5), n+1
				}
			}
			if n == 0 {
				continue
			}
			at := &img.Y[img.YOffset(x, y)]
			// Paper is not quite white, and ink not quite black.
			*at = clamp8((sum*0.76+22*float64(n))/9 + float64(*at)*float64(9-n)/9)
			c := img.COffset(x, y)
			img.Cb[c], img.Cr[c] = 128, 128
		}
	}
	return box, nil
}
