// Package alike finds photos of other builds that show a step from the same view and
// under the same light, where nobody tagged them so. What it finds is proposed and
// nothing more: a person says yes or no.
//
// Start with New and Finder.Find. What view and light a photo has that nobody tagged is
// guessed from all photos that were (guess.go). Two photos of a step are weighed by how far
// these guesses agree and by how alike they are framed and lit (weigh.go): with no photo
// tagged the second alone speaks, and few pairs are surely alike then. How often that is
// right was measured on drawn scenes (TestFirstProposals).
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
	blocks = 4                                          // of gradients, each way
	ways   = 8                                          // directions of gradients told apart, signed
	rows   = blocks * blocks * ways                     // numbers that tell the gradients of a window
	coarse = 8                                          // cells of the plane of brightness, each way
	tones  = 9                                          // shares of brightness
	edges  = 7                                          // sizes of gradients
	packed = 2*rows + coarse*coarse + 2*(tones+edges+4) // bytes of a shape that is kept
)

// window is half the side of the window round the middle of what has gradients, in
// standard deviations of where they lie: the subject and little of the bench.
const window = 1.2

// Shape is how a picture is built up, so far as its view and its light are told by it.
// It says nothing of color, and little of crop and size.
type Shape struct {
	whole  [rows]float32            // gradients of the whole picture, by block and direction, of length 1
	near   [rows]float32            // those of the window round the subject, of length 1
	plane  [coarse * coarse]float32 // brightness without its mean, of length 1
	shares [tones]float32           // logarithms of brightness below which a ninth, two, … lie, without the median
	edges  [edges]float32           // logarithms of the size below which a seventh of the gradients, two, … lie
	spread [2]float32               // logarithms of how far gradients lie from their middle, across and up
	rest   [2]float32               // logarithms of the median of brightness, and of the width by the height
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
	x, y, across, up := middle(even)
	if !hog(&s.near, even, x, y, window*math.Hypot(across, up)) {
		return s, false
	}
	s.spread = [2]float32{float32(math.Log(across + 0.001)), float32(math.Log(up + 0.001))}
	s.edges = edgesOf(even)
	shares, median := sharesOf(cells)
	s.shares, s.rest = shares, [2]float32{median, float32(math.Log(aspect))}
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

// middle is where the gradients lie, and how far from there: their standard deviations.
func middle(all []gradient) (x, y, across, up float64) {
	var sum, sx, sy float64
	for _, g := range all {
		m := g.size * g.size / (g.size + faint)
		sum, sx, sy = sum+m, sx+m*g.x, sy+m*g.y
	}
	if sum == 0 {
		return 0.5, 0.5, 0, 0
	}
	x, y = sx/sum, sy/sum
	for _, g := range all {
		m := g.size * g.size / (g.size + faint)
		across, up = across+m*(g.x-x)*(g.x-x), up+m*(g.y-y)*(g.y-y)
	}
	return x, y, math.Sqrt(across / sum), math.Sqrt(up / sum)
}

// edgesOf are the sizes below which the odd fourteenths of the gradients lie, as
// logarithms: a lamp that rakes leaves few of middling size.
func edgesOf(all []gradient) (out [edges]float32) {
	sizes := make([]float64, len(all))
	for i, g := range all {
		sizes[i] = g.size
	}
	slices.Sort(sizes)
	for i := range out {
		out[i] = float32(math.Log(sizes[(2*i+1)*len(sizes)/(2*edges)] + 0.05)) // 0.05: noise
	}
	return out
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
// logarithms, by that of the median, which comes beside them: a lamp that rakes leaves
// much in the dark, and its exposure cancels out.
func sharesOf(cells []uint8) (out [tones]float32, median float32) {
	sorted := slices.Sorted(slices.Values(cells))
	log := func(i int) float64 { return math.Log(float64(sorted[i]) + 8) }
	for i := range out {
		out[i] = float32(log((2*i+1)*len(sorted)/(2*tones)) - log(len(sorted)/2))
	}
	return out, float32(log(len(sorted) / 2))
}

// gap is how far two shapes lie apart in each of what they have. All are 0 for one shape.
type gap struct{ near, whole, plane, shares, edges, spread, tone, aspect float64 }

func (s *Shape) gap(o *Shape) gap {
	return gap{
		near: s.nearGap(o), whole: s.wholeGap(o), plane: 1 - dot(s.plane[:], o.plane[:]),
		shares: rms(s.shares[:], o.shares[:]), edges: rms(s.edges[:], o.edges[:]),
		spread: rms(s.spread[:], o.spread[:]), tone: math.Abs(float64(s.rest[0] - o.rest[0])),
		aspect: math.Abs(float64(s.rest[1] - o.rest[1])),
	}
}

func (s *Shape) nearGap(o *Shape) float64  { return 1 - dot(s.near[:], o.near[:]) }
func (s *Shape) wholeGap(o *Shape) float64 { return 1 - dot(s.whole[:], o.whole[:]) }

// mirrored is the shape with the gradients of the picture's mirror image, by which the left
// of a model is told from its right.
func (s *Shape) mirrored() Shape {
	m := *s
	for i := range rows {
		row, column, way := i/ways/blocks, i/ways%blocks, i%ways
		to := (row*blocks+blocks-1-column)*ways + (ways+ways/2-way)%ways
		m.whole[to], m.near[to] = s.whole[i], s.near[i]
	}
	return m
}

// rms is the root of the mean square by which two rows of numbers differ.
func rms(a, b []float32) float64 {
	sum := 0.0
	for i, v := range a {
		d := float64(v - b[i])
		sum += d * d
	}
	return math.Sqrt(sum / float64(len(a)))
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
	logStep   = 1.0 / 4096 // of logarithms, at most 8 either way
)

// logs are the rows of logarithms of a shape, as they are kept.
func (s *Shape) logs() [][]float32 {
	return [][]float32{s.shares[:], s.edges[:], s.spread[:], s.rest[:]}
}

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
	for _, part := range s.logs() {
		for _, v := range part {
			n := int16(min(max(math.Round(float64(v)/logStep), math.MinInt16), math.MaxInt16))
			out = binary.LittleEndian.AppendUint16(out, uint16(n))
		}
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
	rest = rest[coarse*coarse:]
	for _, part := range s.logs() {
		for i := range part {
			part[i] = float32(float64(int16(binary.LittleEndian.Uint16(rest))) * logStep)
			rest = rest[2:]
		}
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
