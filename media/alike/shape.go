// Package alike finds photos of other builds that show a step from the same view and
// under the same light, where nobody tagged them so. What it finds is proposed and
// nothing more: a person says yes or no.
//
// Start with New and Finder.Find. A photo whose view or light nobody said is held
// against all photos of which both were said: it is proposed for the view and the light
// of those it looks like, if hardly any of another view or light looks like it. How
// often that is right was measured on drawn scenes (TestFirstProposals); where the
// tagged photos are too few, or all of one view, it was not often enough, and nothing is
// proposed (Enough).
package alike

import (
	"encoding/binary"
	"math"
	"slices"
)

// grid is how many cells a picture is looked at in, each way: a part of a model a
// fiftieth of the picture large still turns a gradient, and noise and the packing of a
// JPEG are averaged out.
const grid = 48

const (
	blocks = 4                                // of gradients, each way
	ways   = 8                                // directions of gradients told apart, signed
	rows   = blocks * blocks * ways           // numbers that tell the gradients of a window
	coarse = 8                                // cells of the plane of brightness, each way
	tones  = 9                                // shares of brightness
	packed = 2*rows + coarse*coarse + 2*tones // bytes of a shape that is kept
)

// window is half the side of the window round the middle of what has gradients, in
// standard deviations of where they lie: the subject and little of the bench.
const window = 1.2

// Shape is how a picture is built up, so far as its view and its light are told by it.
// It says nothing of color, and little of exposure, crop and size.
type Shape struct {
	whole  [rows]float32            // gradients of the whole picture, by block and direction, of length 1
	near   [rows]float32            // those of the window round the subject, of length 1
	plane  [coarse * coarse]float32 // brightness without its mean, of length 1
	shares [tones]float32           // logarithms of brightness below which a ninth, two, … lie, without the median
}

// shapeOf is the shape of a picture by its cells (media.Cells) and its width by its
// height. It is false for one in which nothing stands out.
func shapeOf(cells []uint8, aspect float64) (s Shape, ok bool) {
	if len(cells) != grid*grid {
		return s, false
	}
	bright := make([]float64, len(cells))
	for i, c := range cells {
		bright[i] = math.Log(float64(c) + 16) // 16: noise in the dark has small logarithms
	}
	w, h := 1.0, 1.0
	if aspect > 1 {
		h = 1 / aspect
	} else {
		w = aspect
	}
	all := gradients(bright, 1, 1)
	if !hog(&s.whole, all, 0.5, 0.5, 0.5) {
		return s, false
	}
	even := gradients(bright, w, h)
	x, y, spread := middle(even)
	if !hog(&s.near, even, x, y, window*spread) {
		return s, false
	}
	s.shares = sharesOf(cells)
	return s, s.setPlane(cells)
}

// gradient is a change of brightness at a place of the picture.
type gradient struct{ x, y, dx, dy, size float64 }

// gradients are those of all cells but the outer ones, where the picture is w wide and
// h high.
func gradients(bright []float64, w, h float64) []gradient {
	out := make([]gradient, 0, (grid-2)*(grid-2))
	for y := 1; y < grid-1; y++ {
		for x := 1; x < grid-1; x++ {
			i := y*grid + x
			g := gradient{x: (float64(x) + 0.5) / grid * w, y: (float64(y) + 0.5) / grid * h,
				dx: (bright[i+1] - bright[i-1]) / w, dy: (bright[i+grid] - bright[i-grid]) / h}
			g.size = math.Hypot(g.dx, g.dy)
			out = append(out, g)
		}
	}
	return out
}

// faint is the size of a gradient that counts half: smaller ones are texture of the
// bench, of which there is much.
const faint = 0.3

// middle is where the gradients lie, and how far from there.
func middle(all []gradient) (x, y, spread float64) {
	var sum, sx, sy, off float64
	for _, g := range all {
		m := g.size * g.size / (g.size + faint)
		sum, sx, sy = sum+m, sx+m*g.x, sy+m*g.y
	}
	if sum == 0 {
		return 0.5, 0.5, 0
	}
	x, y = sx/sum, sy/sum
	for _, g := range all {
		m := g.size * g.size / (g.size + faint)
		off += m * ((g.x-x)*(g.x-x) + (g.y-y)*(g.y-y))
	}
	return x, y, math.Sqrt(off / sum)
}

// hog adds up the gradients of a window by block and direction, each to the blocks and
// directions it lies between (Dalal and Triggs, CVPR 2005, without their normalizing by
// neighbors; roots as Arandjelović and Zisserman take them, CVPR 2012, so that few
// strong edges do not drown the others). It is false where there are none.
func hog(to *[rows]float32, all []gradient, x, y, half float64) bool {
	if half <= 0 {
		return false
	}
	var sums [rows]float64
	for _, g := range all {
		turn := (math.Atan2(g.dy, g.dx) + math.Pi) / (2 * math.Pi) * ways
		way := int(turn)
		between := turn - float64(way)
		bx, by := ((g.x-x)/half+1)/2*blocks-0.5, ((g.y-y)/half+1)/2*blocks-0.5
		x0, y0 := int(math.Floor(bx)), int(math.Floor(by))
		for i := range 4 {
			cx, cy := x0+i%2, y0+i/2
			if cx < 0 || cy < 0 || cx >= blocks || cy >= blocks {
				continue
			}
			share := (1 - math.Abs(bx-float64(cx))) * (1 - math.Abs(by-float64(cy))) * g.size
			at := (cy*blocks + cx) * ways
			sums[at+way%ways] += share * (1 - between)
			sums[at+(way+1)%ways] += share * between
		}
	}
	total := 0.0
	for _, v := range sums {
		total += v
	}
	if total == 0 {
		return false
	}
	for i, v := range sums {
		to[i] = float32(math.Sqrt(v / total))
	}
	return true
}

// setPlane sets the coarse plane of brightness. It is false for an even one.
func (s *Shape) setPlane(cells []uint8) bool {
	const side = grid / coarse
	var sums [coarse * coarse]float64
	mean := 0.0
	for i, c := range cells {
		sums[i/grid/side*coarse+i%grid/side] += float64(c)
		mean += float64(c) / (coarse * coarse)
	}
	length := 0.0
	for i := range sums {
		sums[i] -= mean
		length += sums[i] * sums[i]
	}
	if length == 0 {
		return false
	}
	for i, v := range sums {
		s.plane[i] = float32(v / math.Sqrt(length))
	}
	return true
}

// sharesOf are the brightnesses below which the odd eighteenths of the cells lie, as
// logarithms, by that of the median: a lamp that rakes leaves much in the dark, and its
// exposure cancels out.
func sharesOf(cells []uint8) (out [tones]float32) {
	sorted := slices.Sorted(slices.Values(cells))
	log := func(i int) float64 { return math.Log(float64(sorted[i]) + 8) }
	for i := range out {
		out[i] = float32(log((2*i+1)*len(sorted)/(2*tones)) - log(len(sorted)/2))
	}
	return out
}

// How far two shapes lie apart. Both are 0 for one shape, and were of the size of the
// constants in find.go for pictures alike in view and in light.
func (s *Shape) apart(o *Shape) (view, light float64) {
	near := 1 - dot(s.near[:], o.near[:])
	view = near + 1 - dot(s.whole[:], o.whole[:])
	sum := 0.0
	for i, v := range s.shares {
		d := float64(v - o.shares[i])
		sum += d * d
	}
	light = math.Sqrt(sum/tones) + 0.1*near + 0.1*(1-dot(s.plane[:], o.plane[:]))
	return view, light
}

func dot(a, b []float32) float64 {
	b = b[:len(a)]
	var s, t, u, v float32 // several sums keep the processor busy
	for i := 0; i+3 < len(a); i += 4 {
		s += a[i] * b[i]
		t += a[i+1] * b[i+1]
		u += a[i+2] * b[i+2]
		v += a[i+3] * b[i+3]
	}
	return float64(s + t + u + v)
}

// Steps of the numbers of a shape as it is kept.
const (
	rowStep   = 0.6 / 255  // of gradients, at most 0.6
	planeStep = 0.6 / 127  // of the plane, at most 0.6 either way
	shareStep = 1.0 / 4096 // of shares, at most 8 either way
)

// pack is the shape in so many bytes that it can be kept of each photo.
func (s *Shape) pack() []byte {
	out := make([]byte, 0, packed)
	for _, part := range [][]float32{s.whole[:], s.near[:]} {
		for _, v := range part {
			out = append(out, uint8(min(math.Round(float64(v)/rowStep), 255)))
		}
	}
	for _, v := range s.plane {
		out = append(out, uint8(int8(min(max(math.Round(float64(v)/planeStep), -127), 127))))
	}
	for _, v := range s.shares {
		n := int16(min(max(math.Round(float64(v)/shareStep), math.MinInt16), math.MaxInt16))
		out = binary.LittleEndian.AppendUint16(out, uint16(n))
	}
	return out
}

// unpack is the shape that was packed. It is false where there is none.
func unpack(data []byte) (s Shape, ok bool) {
	if len(data) != packed {
		return s, false
	}
	for i, b := range data[:rows] {
		s.whole[i] = float32(float64(b) * rowStep)
	}
	for i, b := range data[rows : 2*rows] {
		s.near[i] = float32(float64(b) * rowStep)
	}
	rest := data[2*rows:]
	for i, b := range rest[:coarse*coarse] {
		s.plane[i] = float32(float64(int8(b)) * planeStep)
	}
	for i := range s.shares {
		n := int16(binary.LittleEndian.Uint16(rest[coarse*coarse+2*i:]))
		s.shares[i] = float32(float64(n) * shareStep)
	}
	return s, unit(s.whole[:]) && unit(s.near[:]) && unit(s.plane[:])
}

// unit makes a row of numbers of length 1 again. It is false where all are zero.
func unit(v []float32) bool {
	length := math.Sqrt(dot(v, v))
	if length == 0 {
		return false
	}
	for i := range v {
		v[i] /= float32(length)
	}
	return true
}
