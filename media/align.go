// Photos laid over each other: one is seen through the plane of another, at its
// scale, with the light multiplied as a bench card says. Nothing else is done to
// it: no sharpening, no retouching.

package media

import (
	"errors"
	"image"
	"image/color"
	"math"

	"github.com/disintegration/imaging"

	"rakelight/media/card"
)

// Laid is a picture made from a photo by laying it on a plane.
type Laid struct {
	From          card.Homography // pixels of this picture to pixels of the upright photo
	Gain          card.Correction // of the light; the zero value leaves it
	Width, Height int             // pixels of this picture
	Ground        color.RGBA      // of places outside of the photo; without alpha they repeat its edge
}

// Write makes the picture of the photo src, stored in the EXIF orientation turn,
// and writes it as Sizes does, once for each width. Each pixel is interpolated
// between those around it in linear light (Catmull-Rom), as the mean of several
// spots where the photo is finer. Errors are those of Sizes.
func (l Laid) Write(src string, turn int, dst func(width int) string, widths []int) ([]Size, error) {
	picture, err := l.light(src, turn)
	if err != nil {
		return nil, err
	}
	sizes := make([]Size, len(widths))
	for i, w := range widths {
		one := picture
		if w < l.Width {
			one = picture.resize(w, max(1, (l.Height*w+l.Width/2)/l.Width))
		}
		if sizes[i], err = writeJPEG(onWhite(one.stored()), dst(w)); err != nil {
			return nil, err
		}
	}
	return sizes, nil
}

// Picture makes the picture as Write does, in sRGB, and writes nothing. Errors are
// those of Sizes.
func (l Laid) Picture(src string, turn int) (*image.RGBA, error) {
	picture, err := l.light(src, turn)
	if err != nil {
		return nil, err
	}
	return onWhite(picture.stored()), nil
}

// light makes the picture in linear light.
func (l Laid) light(src string, turn int) (*light, error) {
	img, own, leave, err := open(src, turn)
	defer leave()
	if err != nil {
		return nil, err
	}
	from, err := plain(img)
	if err != nil {
		return nil, err
	}
	b := from.Bounds()
	to := l.From.Then(stored(turn, b.Dx(), b.Dy()))
	least, most := densities(to, l.Width, l.Height)
	if !(least > 0) || math.IsInf(most, 0) {
		return nil, errors.New("the plane is seen edge on")
	}
	// As with Sizes, whole blocks are averaged first.
	k := max(1, min(int(least), b.Dx(), b.Dy()))
	flat := lightOf(from, k, own)
	if own != nil {
		flat.turnTo(own.matrix)
	}
	// A block of k pixels is one: its left edge lies at 1/k of the distance.
	to = to.Then(card.Homography{1 / float64(k), 0, 0, 0, 1 / float64(k), 0, 0, 0, 1})
	gain := l.Gain
	if gain == (card.Correction{}) {
		gain = card.Correction{Red: 1, Green: 1, Blue: 1}
	}
	spots := max(1, min(4, int(math.Ceil(most/float64(k)-0.05))))
	return flat.through(seen{to, gain, l.Ground, spots, l.Width, l.Height}), nil
}

// stored takes pixels of an upright picture to those as stored, width by height.
func stored(turn, width, height int) card.Homography {
	// Three corners as stored, turned, say where both axes lead.
	c := card.Upright([4][2]float64{{0, 0}, {1, 0}, {0, 1}}, turn, width, height)
	up := card.Homography{
		c[1][0] - c[0][0], c[2][0] - c[0][0], c[0][0],
		c[1][1] - c[0][1], c[2][1] - c[0][1], c[0][1],
		0, 0, 1,
	}
	return up.Inverse()
}

// densities are how many pixels of the photo lie along one of the laid picture:
// the fewest and the most at its corners and its middle, in any direction.
func densities(to card.Homography, width, height int) (least, most float64) {
	w, h := float64(width), float64(height)
	least = math.Inf(1)
	for _, p := range [5][2]float64{{0, 0}, {w, 0}, {0, h}, {w, h}, {w / 2, h / 2}} {
		large, small := to.Stretches(p[0], p[1])
		least, most = min(least, small), max(most, large)
	}
	return least, most
}

// seen is how another picture is seen through this one: its pixels lie in this one where
// to says, each is the mean of spots by spots of them, its light multiplied by gain.
// Spots outside of it are ground, where that is given.
type seen struct {
	to     card.Homography
	gain   card.Correction
	ground color.RGBA
	spots  int
	w, h   int // of the other
}

// at is where a spot of a pixel lies along a side.
func (s seen) at(pixel, spot int) float64 {
	return float64(pixel) + (float64(spot)+0.5)*(1/float64(s.spots))
}

// scale is what the sum of a pixel's spots is multiplied by.
func (s seen) scale() [3]float32 {
	each := 1 / float64(s.spots)
	return [3]float32{float32(s.gain.Red * each * each), float32(s.gain.Green * each * each),
		float32(s.gain.Blue * each * each)}
}

// blank is the linear light of the ground.
func (s seen) blank() (color [3]float64) {
	for c, v := range [3]uint8{s.ground.R, s.ground.G, s.ground.B} {
		color[c] = 65535 * decodeSRGB(float64(v)/255)
	}
	return color
}

// inside reports whether a spot lies among n pixels, or counts as if it did.
func (s seen) inside(at float64, n int) bool { return s.ground.A == 0 || at >= 0 && at <= float64(n) }

// through is the other picture.
func (l *light) through(s seen) *light {
	to, g := s.to, s.gain
	if to[1] == 0 && to[3] == 0 && to[6] == 0 && to[7] == 0 && min(g.Red, g.Green, g.Blue) > 0 {
		return l.throughStraight(s)
	}
	return l.throughAny(s)
}

// throughStraight is through where the other picture lies straight: rows are interpolated
// across once, and then between each other.
func (l *light) throughStraight(s seen) *light {
	out := &light{s.w, s.h, make([]uint16, 3*s.w*s.h)}
	taps := l.tapsAcross(s)
	scale, ground := s.scale(), s.blank()
	blank := [3]float32{float32(ground[0] / s.gain.Red), float32(ground[1] / s.gain.Green),
		float32(ground[2] / s.gain.Blue)} // which the gain turns into the ground
	inBands(s.h, func(from, until int) {
		across := rowsAcross{l: l, taps: taps, blank: blank}
		sums := make([]float32, 3*s.w)
		for y := from; y < until; y++ {
			clear(sums)
			for n := range s.spots {
				_, v := s.to.At(0, s.at(y, n))
				if !s.inside(v, l.h) {
					for i := range sums {
						sums[i] += float32(s.spots) * blank[i%3]
					}
					continue
				}
				v = min(max(v-0.5, 0), float64(l.h-1))
				k := int(v)
				d := catmullRom(float32(v - float64(k)))
				r0, r1, r2, r3 := across.row(k-1), across.row(k), across.row(k+1), across.row(k+2)
				for x := range s.w {
					sum := sums[3*x:][:3]
					for i := 3 * s.spots * x; i < 3*s.spots*(x+1); i += 3 {
						a, b, c, e := r0[i:][:3], r1[i:][:3], r2[i:][:3], r3[i:][:3]
						sum[0] = sum[0] + d[0]*a[0] + d[1]*b[0] + d[2]*c[0] + d[3]*e[0]
						sum[1] = sum[1] + d[0]*a[1] + d[1]*b[1] + d[2]*c[1] + d[3]*e[1]
						sum[2] = sum[2] + d[0]*a[2] + d[1]*b[2] + d[2]*c[2] + d[3]*e[2]
					}
				}
			}
			px := out.pix[3*s.w*y:][:3*s.w]
			for i, v := range sums {
				px[i] = to16(v * scale[i%3])
			}
		}
	})
	return out
}

// tapAcross is what a spot is made of in a row: the places of four pixels' red, and
// their weights, or the ground.
type tapAcross struct {
	at      [4]int
	weights [4]float32
	outside bool
}

func (l *light) tapsAcross(s seen) []tapAcross {
	taps := make([]tapAcross, s.w*s.spots)
	for n := range taps {
		u, _ := s.to.At(s.at(n/s.spots, n%s.spots), 0)
		taps[n].outside = !s.inside(u, l.w)
		u = min(max(u-0.5, 0), float64(l.w-1))
		i := int(u)
		taps[n].weights = catmullRom(float32(u - float64(i)))
		for q := range 4 {
			taps[n].at[q] = 3 * min(max(i-1+q, 0), l.w-1)
		}
	}
	return taps
}

// rowsAcross are the last four rows that were interpolated across.
type rowsAcross struct {
	l     *light
	taps  []tapAcross
	blank [3]float32
	held  [4]int // 1 more than the row
	rows  [4][]float32
}

// row is one of the rows; beyond the edges it is that at the edge.
func (a *rowsAcross) row(k int) []float32 {
	k = min(max(k, 0), a.l.h-1)
	out := a.rows[k%4]
	if a.held[k%4] == k+1 {
		return out
	}
	if out == nil {
		out = make([]float32, 3*len(a.taps))
		a.rows[k%4] = out
	}
	a.held[k%4] = k + 1
	in := a.l.pix[3*a.l.w*k:][:3*a.l.w]
	for n, t := range a.taps {
		if t.outside {
			copy(out[3*n:], a.blank[:])
			continue
		}
		for c := range 3 {
			out[3*n+c] = t.weights[0]*float32(in[t.at[0]+c]) + t.weights[1]*float32(in[t.at[1]+c]) +
				t.weights[2]*float32(in[t.at[2]+c]) + t.weights[3]*float32(in[t.at[3]+c])
		}
	}
	return out
}

// throughAny is through wherever the other picture lies.
func (l *light) throughAny(s seen) *light {
	out := &light{s.w, s.h, make([]uint16, 3*s.w*s.h)}
	scale, ground := s.scale(), s.blank()
	inBands(s.h, func(from, until int) {
		for y := from; y < until; y++ {
			for x := range s.w {
				var sum, outside [3]float32
				for i := range s.spots * s.spots {
					u, v := s.to.At(s.at(x, i%s.spots), s.at(y, i/s.spots))
					if !s.inside(u, l.w) || !s.inside(v, l.h) {
						for c := range 3 {
							outside[c] += float32(ground[c] / float64(s.spots*s.spots))
						}
						continue
					}
					l.add(&sum, u-0.5, v-0.5)
				}
				for c := range 3 {
					out.pix[3*(y*s.w+x)+c] = to16(sum[c]*scale[c] + outside[c])
				}
			}
		}
	})
	return out
}

// add adds the color at a place, where 0, 0 is the middle of the first pixel.
func (l *light) add(sum *[3]float32, x, y float64) {
	x, y = min(max(x, 0), float64(l.w-1)), min(max(y, 0), float64(l.h-1))
	i, k := int(x), int(y)
	across, down := catmullRom(float32(x-float64(i))), catmullRom(float32(y-float64(k)))
	if i >= 1 && k >= 1 && i+2 < l.w && k+2 < l.h {
		for r, wy := range down {
			in := l.pix[3*((k-1+r)*l.w+i-1):][:12]
			for c := range 3 {
				sum[c] += wy * (across[0]*float32(in[c]) + across[1]*float32(in[3+c]) + across[2]*float32(in[6+c]) +
					across[3]*float32(in[9+c]))
			}
		}
		return
	}
	for r, wy := range down {
		row := min(max(k-1+r, 0), l.h-1) * l.w
		for q, wx := range across {
			in := l.pix[3*(row+min(max(i-1+q, 0), l.w-1)):]
			for c := range 3 {
				sum[c] += wy * wx * float32(in[c])
			}
		}
	}
}

// catmullRom are the weights of four values in a row, t past the second.
func catmullRom(t float32) [4]float32 {
	return [4]float32{
		t * (-0.5 + t*(1-0.5*t)),
		1 + t*t*(-2.5+1.5*t),
		t * (0.5 + t*(2-1.5*t)),
		t * t * (-0.5 + 0.5*t),
	}
}

// GrayOf measures the gray steps of a card in the photo at path, of which a
// corner of the symbol lies within sd pixels of where corners say, as stored.
// Errors are those of card.GrayOf and card.MeasureOf, and those of Sizes.
func GrayOf(path string, corners [4][2]float64, sd float64) (card.Gray, error) {
	m, err := card.MeasureOf(corners, sd)
	if err != nil {
		return card.Gray{}, err
	}
	img, own, leave, err := open(path, 1)
	defer leave()
	if err != nil {
		return card.Gray{}, err
	}
	from, err := plain(img)
	if err != nil {
		return card.Gray{}, err
	}
	// The steps alone are brought to sRGB, not the whole photo.
	b := from.Bounds()
	var box image.Rectangle
	const x0, y0 = card.StepX, card.StepY
	x1, y1 := x0+card.StepSide*float64(len(card.Steps)), y0+card.StepSide
	for _, c := range [4][2]float64{{x0, y0}, {x1, y0}, {x0, y1}, {x1, y1}} {
		x, y := m.Plane.At(c[0], c[1])
		if !(math.Abs(x) < 1e6 && math.Abs(y) < 1e6) {
			return card.Gray{}, card.ErrStepsOutside
		}
		box = box.Union(image.Rect(int(math.Floor(x)), int(math.Floor(y)), int(x)+2, int(y)+2))
	}
	box = box.Intersect(image.Rect(0, 0, b.Dx(), b.Dy()))
	if box.Empty() {
		return card.Gray{}, card.ErrStepsOutside
	}
	steps := imaging.Crop(from, box.Add(b.Min))
	if own != nil {
		own.convert(steps)
	}
	m.Plane = m.Plane.Then(card.Homography{1, 0, float64(-box.Min.X), 0, 1, float64(-box.Min.Y), 0, 0, 1})
	return card.GrayOf(steps, m)
}
