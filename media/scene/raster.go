// The camera and the rasterizer: which triangle is seen where, four samples a pixel.

package scene

import (
	"math"
)

// piece is a solid with one surface, placed in the world.
type piece struct {
	mesh
	surf  surface
	group int   // sub-assembly, in the order of building
	turn  frame // the piece's axes in the world
	pos   v3    // where its origin stands
	loose bool  // lies about: not counted when the picture is framed
}

// camera is a pinhole with a shifted lens: cx, cy may lie off the middle.
type camera struct {
	eye, right, up, ahead v3
	focal, cx, cy         float64 // pixels
}

// aim returns a camera dist away that looks down on the target from azimuth az
// (0 = from +x, growing towards +z) and elevation el, in radians.
func aim(target v3, az, el, roll, dist float64) camera {
	se, ce := math.Sincos(el)
	sa, ca := math.Sincos(az)
	back := v3{ce * ca, se, ce * sa}
	// Built from the azimuth, so that looking straight down still has an up.
	right := v3{sa, 0, -ca}
	up := v3{-se * ca, ce, -se * sa}
	sr, cr := math.Sincos(roll)
	return camera{
		eye:   target.add(back.mul(dist)),
		right: right.mul(cr).add(up.mul(sr)),
		up:    up.mul(cr).sub(right.mul(sr)),
		ahead: back.mul(-1), focal: 1,
	}
}

// see projects p to pixels; w is one over the depth.
func (c *camera) see(p v3) (x, y, w float64) {
	d := p.sub(c.eye)
	w = 1 / max(d.dot(c.ahead), 0.05)
	return c.cx + c.focal*w*d.dot(c.right), c.cy - c.focal*w*d.dot(c.up), w
}

// ray returns the world direction of a pixel, with depth one along the axis.
func (c *camera) ray(x, y float64) v3 {
	return c.ahead.add(c.right.mul((x - c.cx) / c.focal)).sub(c.up.mul((y - c.cy) / c.focal))
}

// frameOn sets focal length and lens shift so that the points fill the given
// shares of the picture and their middle sits at mid (shares of the picture).
func (c *camera) frameOn(pts []v3, width, height int, fillX, fillY float64, mid [2]float64) {
	c.focal, c.cx, c.cy = 1, 0, 0
	x0, y0, x1, y1 := math.Inf(1), math.Inf(1), math.Inf(-1), math.Inf(-1)
	for _, p := range pts {
		x, y, _ := c.see(p)
		x0, x1, y0, y1 = min(x0, x), max(x1, x), min(y0, y), max(y1, y)
	}
	w, h := float64(width), float64(height)
	c.focal = min(fillX*w/max(x1-x0, 1e-6), fillY*h/max(y1-y0, 1e-6))
	c.cx = mid[0]*w - c.focal*(x0+x1)/2
	c.cy = mid[1]*h - c.focal*(y0+y1)/2
}

// seen is a projected triangle: its corners, and 1/depth and normal/depth as
// plane equations over the picture. Those are exact under perspective, and the
// normal needs no division because it is made unit length afterwards.
type seen struct {
	x, y       [3]float64
	y0, y1     float64
	w          [3]float32 // a + b*x + c*y
	nx, ny, nz [3]float32

	of *piece
}

func (s *seen) normal(x, y float64) v3 {
	fx, fy := float32(x), float32(y)
	return v3{
		float64(s.nx[0] + s.nx[1]*fx + s.nx[2]*fy),
		float64(s.ny[0] + s.ny[1]*fx + s.ny[2]*fy),
		float64(s.nz[0] + s.nz[1]*fx + s.nz[2]*fy),
	}.unit()
}

// project turns all pieces into seen triangles, dropping those off the picture.
func project(cam *camera, pieces []*piece, width, height int) []seen {
	n := 0
	for _, p := range pieces {
		n += len(p.t)
	}
	out := make([]seen, 0, n)
	for _, pc := range pieces {
		for i := range pc.t {
			t := &pc.t[i]
			var s seen
			var w [3]float64
			var nn [3]v3
			for k := range 3 {
				s.x[k], s.y[k], w[k] = cam.see(pc.pos.add(pc.turn.out(t.p[k])))
				nn[k] = pc.turn.out(t.n[k]).mul(w[k])
			}
			s.y0 = min(s.y[0], min(s.y[1], s.y[2]))
			s.y1 = max(s.y[0], max(s.y[1], s.y[2]))
			x0 := min(s.x[0], min(s.x[1], s.x[2]))
			x1 := max(s.x[0], max(s.x[1], s.x[2]))
			if s.y1 < 0 || x1 < 0 || s.y0 > float64(height) || x0 > float64(width) {
				continue
			}
			ax, ay := s.x[1]-s.x[0], s.y[1]-s.y[0]
			bx, by := s.x[2]-s.x[0], s.y[2]-s.y[0]
			det := ax*by - ay*bx
			if math.Abs(det) < 1e-7 {
				continue
			}
			plane := func(v0, v1, v2 float64) [3]float32 {
				d1, d2 := v1-v0, v2-v0
				gx, gy := (d1*by-d2*ay)/det, (d2*ax-d1*bx)/det
				return [3]float32{float32(v0 - gx*s.x[0] - gy*s.y[0]), float32(gx), float32(gy)}
			}
			s.w = plane(w[0], w[1], w[2])
			s.nx = plane(nn[0].X, nn[1].X, nn[2].X)
			s.ny = plane(nn[0].Y, nn[1].Y, nn[2].Y)
			s.nz = plane(nn[0].Z, nn[1].Z, nn[2].Z)
			s.of = pc
			out = append(out, s)
		}
	}
	return out
}

// strip is a band of the picture at twice its resolution: the nearest triangle
// of every sample. Bands keep the buffers inside the processor's cache.
type strip struct {
	w, h  int // samples
	depth []float32
	id    []int32 // one more than the triangle's index; 0 = none
}

const stripRows = 32 // pixel rows in a band

func newStrip(width int) *strip {
	n := width * 2 * stripRows * 2
	return &strip{w: width * 2, h: stripRows * 2, depth: make([]float32, n), id: make([]int32, n)}
}

// banded lists, for each band of a picture, the triangles that touch it, in
// their order.
func banded(tris []seen, height int) [][]int32 {
	bands := make([][]int32, (height+stripRows-1)/stripRows)
	for i := range tris {
		t := &tris[i]
		// One that ends where a band begins is in both.
		first := max(0, int(math.Ceil(t.y0/stripRows))-1)
		last := min(len(bands)-1, int(math.Floor(t.y1/stripRows)))
		for b := first; b <= last; b++ {
			bands[b] = append(bands[b], int32(i))
		}
	}
	return bands
}

// fill draws those of the triangles that touch pixel rows top.. into the band.
func (b *strip) fill(tris []seen, touching []int32, top int) {
	clear(b.depth)
	clear(b.id)
	y0 := float64(top)
	for _, i := range touching {
		t := &tris[i]
		// Sample (sx, sy) of the band sits at pixel (sx/2+0.25, top+sy/2+0.25).
		first := max(0, int(math.Ceil((t.y0-y0-0.25)*2)))
		last := min(b.h-1, int(math.Floor((t.y1-y0-0.25)*2)))
		for sy := first; sy <= last; sy++ {
			y := y0 + float64(sy)/2 + 0.25
			lo, hi := math.Inf(1), math.Inf(-1)
			for k := range 3 {
				j := (k + 1) % 3
				ya, yb := t.y[k], t.y[j]
				if ya == yb || (y < ya) == (y < yb) {
					continue
				}
				x := t.x[k] + (t.x[j]-t.x[k])*(y-ya)/(yb-ya)
				lo, hi = min(lo, x), max(hi, x)
			}
			if lo > hi {
				continue
			}
			from := max(0, int(math.Ceil((lo-0.25)*2)))
			to := min(b.w-1, int(math.Ceil((hi-0.25)*2))-1)
			if from > to {
				continue
			}
			w := t.w[0] + t.w[1]*(float32(from)/2+0.25) + t.w[2]*float32(y)
			step := t.w[1] / 2
			row := sy * b.w
			depth, id := b.depth[row+from:row+to+1], b.id[row+from:row+to+1]
			for k := range depth {
				if w > depth[k] {
					depth[k] = w
					id[k] = i + 1
				}
				w += step
			}
		}
	}
}
