// Developing the picture: every pixel's surface, light, tone and grain.

package scene

import (
	"image"
	"math"
	"sync"
)

// renderer draws one set.
type renderer struct {
	*set
	cam    camera
	lamp   *lamp
	ns     *sheet
	seed   uint64
	tris   []seen
	ground ground
	texel  float64 // texture of the bench that a pixel covers at distance one
	glow   []glow  // bench light on a coarse grid, gw nodes a row
	gw     int
	spot   spot
	tilt   float64 // how strongly the lamp shows unevenness of the bench
	blurs  []blurred
}

const gridStep = 4 // pixels between the nodes of the bench light

// run draws all bands.
func (r *renderer) run() *image.RGBA {
	w, h := r.shot.Width, r.shot.Height
	img := image.NewRGBA(image.Rect(0, 0, w, h))
	r.tris = project(&r.cam, r.pieces, w, h)
	r.lieDown()
	r.texel = spans / (r.size * r.cam.focal)
	r.lightBench(w, h)
	r.shelve()
	r.tilt = min(1.9, 0.77*(1-r.lamp.to.Y)/r.lamp.to.Y)
	b := newStrip(w)
	bands := banded(r.tris, h)
	side := r.cam.right.mul(1 / r.cam.focal) // from pixel to pixel
	tone := toneTable()
	g0 := int(r.seed*31+uint64(r.shot.Step*977)) & sheetMask
	for top := 0; top < h; top += stripRows {
		b.fill(r.tris, bands[top/stripRows], top)
		for y := top; y < min(h, top+stripRows); y++ {
			up := b.id[(y-top)*2*b.w:]
			dn := b.id[((y-top)*2+1)*b.w:]
			out := img.Pix[y*img.Stride:]
			vy := (float64(y) + 0.5 - float64(h)/2) / float64(h)
			left := r.cam.ray(0, float64(y)+0.5)
			for x := range w {
				a, e, c, d := up[2*x]-1, up[2*x+1]-1, dn[2*x]-1, dn[2*x+1]-1
				var col v3
				px, py := float64(x)+0.5, float64(y)+0.5
				dir := left.add(side.mul(px))
				switch {
				case a == e && a == c && a == d:
					col = r.sample(a, px, py, dir)
				default:
					col = r.mixed([4]int32{a, e, c, d}, px, py, dir)
				}
				vx := (px - float64(w)/2) / float64(w)
				vig := 1 - 0.62*(vx*vx*1.1+vy*vy)
				gi := ((y+g0)&sheetMask)<<9 + (x+g0*7)&sheetMask
				gr := r.ns.grain[gi] * 2.1
				gb := r.ns.grain[(gi+130561)&(sheetSize*sheetSize-1)] * 1.2
				o := x * 4
				out[o] = develop(tone, col.X*vig, gr+gb)
				out[o+1] = develop(tone, col.Y*vig, gr)
				out[o+2] = develop(tone, col.Z*vig, gr-gb)
				out[o+3] = 255
			}
		}
	}
	return img
}

// mixed shades a pixel whose samples disagree. Neighbours within one smooth
// surface are shaded once; real outlines are averaged.
func (r *renderer) mixed(id [4]int32, x, y float64, dir v3) v3 {
	var uniq [4]int32
	var cnt [4]float64
	n := 0
next:
	for _, i := range id {
		for k := range n {
			if uniq[k] == i || i >= 0 && uniq[k] >= 0 && r.same(i, uniq[k], x, y) {
				cnt[k]++
				continue next
			}
		}
		uniq[n], cnt[n] = i, 1
		n++
	}
	var col v3
	for k := range n {
		col = col.add(r.sample(uniq[k], x, y, dir).mul(cnt[k] / 4))
	}
	return col
}

func (r *renderer) same(i, j int32, x, y float64) bool {
	a, b := &r.tris[i], &r.tris[j]
	return a.of == b.of && a.normal(x, y).dot(b.normal(x, y)) > 0.93
}

// sample is the color of triangle i, or of what lies behind all, in direction dir.
func (r *renderer) sample(i int32, x, y float64, dir v3) v3 {
	if i < 0 {
		return r.backdrop(x, y, dir)
	}
	t := &r.tris[i]
	w := float64(t.w[0] + t.w[1]*float32(x) + t.w[2]*float32(y))
	p := r.cam.eye.add(dir.mul(1 / w))
	v := dir.mul(-1).unit()
	n := t.normal(x, y)
	switch d := n.dot(v); {
	case d < -0.2:
		n = n.mul(-1) // the inside of something thin
	case d < 0.02:
		n = n.sub(v.mul(d - 0.02)).unit()
	}
	pc := t.of
	s := &r.spot // one for all pixels: hooks would have each on the heap
	*s = spot{pc: pc, o: pc.turn.in(p.sub(pc.pos)), n: pc.turn.in(n), fw: 1 / (w * r.cam.focal)}
	s.n0 = s.n
	s.settle()
	r.look(s)
	// Slopes were written for the lamp's full strength; keep them tame.
	bn := pc.turn.out(s.n).unit()
	col := r.light(s, p, n, bn, v)
	if r.pool != nil {
		col = r.pool.over(r, p, dir, col)
	}
	return col
}

// light applies lamp, room and highlights at p. n is the plain normal, bn the
// uneven one.
func (r *renderer) light(s *spot, p, n, bn, v v3) v3 {
	l := r.lamp
	fall := l.fall(p)
	open := l.open(p)
	ndl := bn.dot(l.to)
	lit := 0.0
	if ndl > 0 {
		lit = l.lit(p, n) * smooth(-0.02, 0.10, n.dot(l.to))
	}
	up := 0.5 + 0.5*bn.Y
	room := l.sky.mul(up).add(l.bounce.mul((1 - up) * fall))
	// A little light from the viewer's side, as every room has.
	room = room.add(l.sky.mul(0.30 * max(0, bn.dot(v))))
	c := s.c.by(l.key.mul(max(0, ndl) * lit * fall).add(room.mul(open)))
	if s.sheen > 0.01 {
		h := l.to.add(v).unit()
		hl := 0.0
		if lit > 0 {
			hl = powFast(max(0, bn.dot(h)), s.tight) * (s.tight + 8) * 0.04 * lit * fall
		}
		fr := 1 - max(0, bn.dot(v))
		fr *= fr * fr
		c = c.add(l.key.mul(hl * s.sheen))
		c = c.add(l.sky.mul(s.sheen * open * (0.10 + 0.9*fr) * smooth(-0.3, 0.8, bn.Y) * 0.9))
	}
	return c
}

// powFast is x to the power k for x in [0,1], near enough for a highlight:
// an eighth power stands in for the exponential that hugs it close to x = 1.
func powFast(x, k float64) float64 {
	e := 1 - k*(1-x)/8
	if e <= 0 {
		return 0
	}
	e *= e
	e *= e
	return e * e
}

const toneSize = 4096

// toneTable maps linear light 0..3 to display values: a soft shoulder keeps
// highlights from burning out, as a camera's own curve does.
var toneTable = sync.OnceValue(func() *[toneSize]float32 {
	t := new([toneSize]float32)
	for i := range t {
		x := 3 * float64(i) / (toneSize - 1) * 1.25
		x = x * (1 + x/6) / (1 + x*0.62)
		y := math.Pow(clamp01(x), 1/2.2)
		y = lerp(y, y*y*(3-2*y), 0.35)
		t[i] = float32(4 + 251*y)
	}
	return t
})

func develop(t *[toneSize]float32, c float64, grain float32) uint8 {
	i := int(c * (toneSize / 3.0))
	if i >= toneSize {
		i = toneSize - 1
	}
	if i < 0 {
		i = 0
	}
	v := t[i] + grain
	if v < 0 {
		return 0
	}
	if v > 254.5 {
		return 255
	}
	return uint8(v + 0.5)
}
