// Package shot draws photos with bench cards in them: a pinhole camera above a
// bench, a card as it is printed, and what goes wrong in real photos: tilt,
// blur, noise, light that is uneven or colored, glare, something lying on the
// card, paper that is bent or stained, a lens that bends. What is drawn is known exactly, so that finding and measuring
// can be checked. Start with Shot and its Draw.
package shot

import (
	"image"
	"image/color"
	"math"
	"math/rand/v2"
	"slices"

	"rakelight/media/card"
)

// Shot is a photo to be drawn. The zero values of what can go wrong are
// none of it.
type Shot struct {
	Width, Height int // pixels
	Seed          uint64
	Bench         string // one of Benches, "" = any
	Cards         []Placed
	Page          *Page      // a whole sheet of cards, below those that lie alone; nil = none
	Defocus       float64    // standard deviation of the blur, pixels
	Motion        float64    // length of the blur, pixels
	MotionTo      float64    // its direction, radians
	Noise         float64    // standard deviation, of 255
	Uneven        float64    // 0 to 1: how dark the far side is
	Shadow        float64    // 0 to 1: how dark a hard shadow across the first card is
	Tint          [3]float64 // light by red, green, blue; zero = white
	Glare         float64    // 0 to 1: a shine beside the middle of the first card
	Exposure      float64    // 0 = 1
	Over          float64    // 0 to 1: how much too long the exposure is
	Gloss         float64    // 0 to 1: a band of shine across the first card
	GlossTo       float64    // its direction, radians
	Lens          float64    // how much the lens bends: straighten has it
	Squares       int        // other people's symbols and chessboards
	Finger        int        // over a corner of the first card, 0 = none
}

// Placed is a card in a photo.
type Placed struct {
	Face     card.Face
	Share    float64 // width of the card by that of the photo, if it were not tilted
	X, Y     float64 // its middle, by width and height of the photo
	Turn     float64 // radians, in its plane
	Tilt     float64 // radians, out of the picture's plane
	TiltAxis float64 // radians, direction of the axis it is tilted about
	Covered  float64 // share of the white beside the symbol that something dark covers, 0 to 1
	Curl     float64 // radians from the left edge to the right if it were rolled that way
	CurlTo   float64 // direction it is rolled in, radians
	Folds    []Fold
	Stains   []Stain
}

// lens is the focal length by the width of the picture: that of a telephone's
// main camera.
const lens = 0.85

// plane is the homography from millimeters on the card to pixels.
func (p Placed) plane(width, height int) [9]float64 {
	w, h := float64(width), float64(height)
	f := lens * w
	away := f * card.Width / (p.Share * w)
	st, ct := math.Sincos(p.Turn)
	sa, ca := math.Sincos(p.TiltAxis)
	sn, cs := math.Sincos(p.Tilt)
	// Turned in its plane, then tilted about the axis (Rodrigues).
	axes := [2][3]float64{{ct, st, 0}, {-st, ct, 0}}
	for i, v := range axes {
		along := v[0]*ca + v[1]*sa
		axes[i] = [3]float64{
			v[0]*cs + along*(1-cs)*ca,
			v[1]*cs + along*(1-cs)*sa,
			sn * (ca*v[1] - sa*v[0]),
		}
	}
	mid := [3]float64{(p.X - 0.5) * w * away / f, (p.Y - 0.5) * h * away / f, away}
	for i := range mid {
		mid[i] -= axes[0][i]*card.Width/2 + axes[1][i]*card.Height/2
	}
	var m [9]float64
	for i, v := range [3][3]float64{axes[0], axes[1], mid} {
		m[i] = f*v[0] + w/2*v[2]
		m[3+i] = f*v[1] + h/2*v[2]
		m[6+i] = v[2]
	}
	return m
}

// Corners are where the corners of the card's symbol lie in the picture if the
// card is flat and the lens does not bend; Shot.Corners has them with all: upper
// left, upper right, lower right, lower left as the card is read.
func (p Placed) Corners(width, height int) [4][2]float64 {
	m := p.plane(width, height)
	const x, y, s = card.SymbolX, card.SymbolY, card.SymbolSide
	var out [4][2]float64
	for i, c := range [4][2]float64{{x, y}, {x + s, y}, {x + s, y + s}, {x, y + s}} {
		out[i][0], out[i][1] = project(m, c[0], c[1])
	}
	return out
}

func project(m [9]float64, x, y float64) (float64, float64) {
	z := m[6]*x + m[7]*y + m[8]
	return (m[0]*x + m[1]*y + m[2]) / z, (m[3]*x + m[4]*y + m[5]) / z
}

// invert is the inverse of a homography, up to a factor.
func invert(m [9]float64) [9]float64 {
	return [9]float64{
		m[4]*m[8] - m[5]*m[7], m[2]*m[7] - m[1]*m[8], m[1]*m[5] - m[2]*m[4],
		m[5]*m[6] - m[3]*m[8], m[0]*m[8] - m[2]*m[6], m[2]*m[3] - m[0]*m[5],
		m[3]*m[7] - m[4]*m[6], m[1]*m[6] - m[0]*m[7], m[0]*m[4] - m[1]*m[3],
	}
}

// Draw draws the photo, as a camera's JPEG decodes. The same shot is always the
// same picture.
func (s Shot) Draw() (*image.YCbCr, error) {
	rng := rand.New(rand.NewPCG(s.Seed, 0xca4d))
	img := image.NewYCbCr(image.Rect(0, 0, s.Width, s.Height), image.YCbCrSubsampleRatio420)
	for i := range img.Cb {
		img.Cb[i], img.Cr[i] = 128, 128
	}
	s.bench(img, rng)
	if err := s.squares(img, rng); err != nil {
		return nil, err
	}
	box := image.Rectangle{}
	if s.Page != nil {
		b, err := s.Page.draw(img)
		if err != nil {
			return nil, err
		}
		box = b
	}
	for _, p := range s.Cards {
		b, err := s.card(p, img)
		if err != nil {
			return nil, err
		}
		box = box.Union(b)
	}
	s.finger(img)
	s.light(img)
	s.gloss(img)
	if box.Empty() {
		box = img.Rect
	}
	edge := 8 + int(4*s.Defocus+s.Motion)
	box = box.Inset(-edge).Intersect(img.Rect)
	if s.Defocus > 0 {
		for range 3 { // three boxes are nearly a bell
			blurBox(img, box, int(math.Round(s.Defocus)))
		}
	}
	if s.Motion > 0 {
		blurMotion(img, box, s.Motion, s.MotionTo)
	}
	s.over(img)
	s.noise(img, rng)
	return img, nil
}

// Benches are the kinds of bench a photo is drawn on.
var Benches = []string{"wood", "cutting mat", "printed paper"}

// bench is what the card lies on: wood, a cutting mat with its grid, or
// printed paper, with tools and cut-off bits about.
func (s Shot) bench(img *image.YCbCr, rng *rand.Rand) {
	kind := rng.IntN(len(Benches))
	if k := slices.Index(Benches, s.Bench); k >= 0 {
		kind = k
	}
	base := [3]float64{145, 60, 200}[kind]
	unit := float64(s.Width) / 4000
	phase := rng.Float64() * 100
	soft := make([]float64, 64)
	for i := range soft {
		soft[i] = rng.Float64()*2 - 1
	}
	wave := func(v float64) float64 {
		i := math.Floor(v)
		t := v - i
		t = t * t * (3 - 2*t)
		return soft[int(i)&63]*(1-t) + soft[int(i+1)&63]*t
	}
	row := make([]float64, s.Width)
	for x := range row {
		row[x] = 10 * wave(float64(x)/unit/310+phase)
	}
	for y := range s.Height {
		v := float64(y) / unit
		line := img.Y[y*img.YStride:][:s.Width]
		grain := 12*wave(v/23+phase) + 6*wave(v/7)
		for x := range line {
			u := float64(x) / unit
			g := base + row[x]
			switch kind {
			case 0:
				g += grain + 5*wave(u/900+v/11)
			case 1:
				if int(u)%100 < 4 || int(v)%100 < 4 {
					g += 90
				}
			case 2: // lines of words
				if int(v)%46 < 24 && soft[int(u/9+math.Floor(v/46)*17)&63] > 0.1 {
					g -= 120
				}
			}
			line[x] = clamp8(g)
		}
	}
	tint := [3][2]uint8{{116, 140}, {122, 116}, {126, 130}}[kind]
	for i := range img.Cb {
		img.Cb[i], img.Cr[i] = tint[0], tint[1]
	}
	for range 30 {
		x, y := rng.IntN(s.Width), rng.IntN(s.Height)
		w, h := int(unit*(20+rng.Float64()*500)), int(unit*(20+rng.Float64()*90))
		if rng.IntN(2) == 0 {
			w, h = h, w
		}
		g := uint8(20 + rng.IntN(220))
		r := image.Rect(x, y, x+w, y+h).Intersect(img.Rect)
		for y := r.Min.Y; y < r.Max.Y; y++ {
			line := img.Y[y*img.YStride:]
			for x := r.Min.X; x < r.Max.X; x++ {
				line[x] = g
			}
		}
	}
}

// card lays a card into the picture and returns where it is.
func (s Shot) card(p Placed, img *image.YCbCr) (image.Rectangle, error) {
	perMM := max(4, p.Share*float64(s.Width)/card.Width*1.5)
	paper, err := p.Face.Raster(perMM)
	if err != nil {
		return image.Rectangle{}, err
	}
	sees, shows := s.Sees(p), s.Shows(p)
	edge := 0.0
	if p.Covered > 0 {
		edge = 20
	}
	wide, high := p.Face.Size()
	lo, hi := [2]float64{math.Inf(1), math.Inf(1)}, [2]float64{math.Inf(-1), math.Inf(-1)}
	for _, c := range [4][2]float64{{-edge, 0}, {wide, 0}, {wide, high}, {-edge, high}} {
		x, y := sees(c[0], c[1])
		lo, hi = [2]float64{min(lo[0], x), min(lo[1], y)}, [2]float64{max(hi[0], x), max(hi[1], y)}
	}
	if p.bent() || s.Lens != 0 {
		// Edges are no straight lines: they may reach further than the corners.
		more := 0.15 * (hi[0] - lo[0] + hi[1] - lo[1])
		lo, hi = [2]float64{lo[0] - more, lo[1] - more}, [2]float64{hi[0] + more, hi[1] + more}
	}
	box := image.Rect(int(lo[0])-1, int(lo[1])-1, int(hi[0])+2, int(hi[1])+2).Intersect(img.Rect)
	quiet := 4 * card.Module
	for y := box.Min.Y; y < box.Max.Y; y++ {
		for x := box.Min.X; x < box.Max.X; x++ {
			sum, n := 0.0, 0
			for i := range 9 { // nine rays a pixel
				u, v := shows(float64(x)+(float64(i%3)+0.5)/3, float64(y)+(float64(i/3)+0.5)/3)
				switch {
				case p.Covered > 0 && u < card.SymbolX-quiet*(1-p.Covered) && u > -edge && v > 10 && v < 55:
					sum, n = sum+55, n+1
				case u >= 0 && v >= 0 && u < wide && v < high:
					sum, n = sum+bilinear(paper, u*perMM-0.5, v*perMM-0.5)*p.stained(u, v), n+1
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

func bilinear(g *image.Gray, x, y float64) float64 {
	x, y = min(max(x, 0), float64(g.Rect.Dx()-1)-1e-6), min(max(y, 0), float64(g.Rect.Dy()-1)-1e-6)
	i, k := int(x), int(y)
	u, v := x-float64(i), y-float64(k)
	p := g.Pix[k*g.Stride+i:]
	a := float64(p[0])*(1-u) + float64(p[1])*u
	p = p[g.Stride:]
	return a*(1-v) + (float64(p[0])*(1-u)+float64(p[1])*u)*v
}

// light multiplies by the light on each spot.
func (s Shot) light(img *image.YCbCr) {
	w, h := float64(s.Width), float64(s.Height)
	cx, cy, size := w/2, h/2, w/4
	if len(s.Cards) > 0 {
		cx, cy, size = s.Cards[0].X*w, s.Cards[0].Y*h, s.Cards[0].Share*w
	}
	exposure := s.Exposure
	if exposure == 0 {
		exposure = 1
	}
	if s.Uneven != 0 || s.Shadow != 0 || s.Glare != 0 || exposure != 1 {
		for y := range s.Height {
			line := img.Y[y*img.YStride:][:s.Width]
			for x := range line {
				fx, fy := float64(x), float64(y)
				l := exposure * (1 - s.Uneven*(fx/w+fy/h)/2)
				if s.Shadow > 0 && fx-cx+0.4*(fy-cy) > -0.2*size {
					l *= 1 - s.Shadow
				}
				g := float64(line[x]) * l
				if s.Glare > 0 {
					dx, dy := (fx-cx-0.12*size)/(0.1*size), (fy-cy+0.1*size)/(0.16*size)
					if d := dx*dx + dy*dy; d < 12 {
						g += 255 * s.Glare * math.Exp(-d/2)
					}
				}
				line[x] = clamp8(g)
			}
		}
	}
	if s.Tint == [3]float64{} {
		return
	}
	for y := 0; y < s.Height; y++ {
		for x := 0; x < s.Width; x++ {
			i, c := img.YOffset(x, y), img.COffset(x, y)
			r, g, b := color.YCbCrToRGB(img.Y[i], img.Cb[c], img.Cr[c])
			yy, cb, cr := color.RGBToYCbCr(clamp8(float64(r)*s.Tint[0]), clamp8(float64(g)*s.Tint[1]),
				clamp8(float64(b)*s.Tint[2]))
			img.Y[i] = yy
			if x%2 == 1 && y%2 == 1 { // the last of the four that share a color
				img.Cb[c], img.Cr[c] = cb, cr
			}
		}
	}
}

func (s Shot) noise(img *image.YCbCr, rng *rand.Rand) {
	if s.Noise <= 0 {
		return
	}
	table := make([]int16, 1<<14)
	for i := range table {
		table[i] = int16(math.Round(rng.NormFloat64() * s.Noise))
	}
	for i := 0; i < len(img.Y); i += 64 {
		at := rng.IntN(len(table) - 64)
		for k, v := range img.Y[i:min(i+64, len(img.Y))] {
			img.Y[i+k] = uint8(min(255, max(0, int16(v)+table[at+k])))
		}
	}
}

// blurBox averages squares of 2r+1 pixels within a rectangle.
func blurBox(img *image.YCbCr, box image.Rectangle, r int) {
	if r < 1 {
		return
	}
	run := func(n int, at func(i int) *uint8, line []uint8) {
		for i := range n {
			line[i] = *at(i)
		}
		sum, count := 0, 0
		for i := range min(r, n) {
			sum, count = sum+int(line[i]), count+1
		}
		for i := range n {
			if i+r < n {
				sum, count = sum+int(line[i+r]), count+1
			}
			if i-r-1 >= 0 {
				sum, count = sum-int(line[i-r-1]), count-1
			}
			*at(i) = uint8((sum + count/2) / count)
		}
	}
	line := make([]uint8, max(box.Dx(), box.Dy()))
	for y := box.Min.Y; y < box.Max.Y; y++ {
		row := img.Y[img.YOffset(box.Min.X, y):]
		run(box.Dx(), func(i int) *uint8 { return &row[i] }, line)
	}
	for x := box.Min.X; x < box.Max.X; x++ {
		from := img.YOffset(x, box.Min.Y)
		run(box.Dy(), func(i int) *uint8 { return &img.Y[from+i*img.YStride] }, line)
	}
}

// blurMotion averages along a line.
func blurMotion(img *image.YCbCr, box image.Rectangle, length, to float64) {
	old := append([]uint8(nil), img.Y...)
	n := max(2, int(length))
	dy, dx := math.Sincos(to)
	offsets := make([]image.Point, n)
	for i := range offsets {
		t := (float64(i)/float64(n-1) - 0.5) * length
		offsets[i] = image.Pt(int(math.Round(t*dx)), int(math.Round(t*dy)))
	}
	for y := box.Min.Y; y < box.Max.Y; y++ {
		for x := box.Min.X; x < box.Max.X; x++ {
			sum := 0
			for _, o := range offsets {
				sum += int(old[img.YOffset(min(max(x+o.X, 0), img.Rect.Max.X-1), min(max(y+o.Y, 0), img.Rect.Max.Y-1))])
			}
			img.Y[img.YOffset(x, y)] = uint8(sum / n)
		}
	}
}

func clamp8(v float64) uint8 { return uint8(min(255, max(0, v+0.5))) }

// MMPerPixel is how long a pixel is at a point of the card, square to the
// camera's axis.
func (p Placed) MMPerPixel(width, height int, x, y float64) float64 {
	m := p.plane(width, height)
	return (m[6]*x + m[7]*y + m[8]) / (lens * float64(width))
}

// Plane takes millimeters on the card to pixels.
func (p Placed) Plane(width, height int) func(x, y float64) (float64, float64) {
	m := p.plane(width, height)
	return func(x, y float64) (float64, float64) { return project(m, x, y) }
}
