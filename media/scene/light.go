// The lamp: where it stands, what it leaves in shadow, how far its light carries.

package scene

import (
	"math"
	"sync"
)

// lamp is a warm light from the upper left of the picture plus a weak cool
// room light. Near and far shadows come from a depth map seen from the lamp.
type lamp struct {
	to       v3 // unit direction towards the lamp
	key, sky v3 // strength and color of lamp and room light
	bounce   v3 // light coming back from the bench
	spot     v3 // where on the bench the light is strongest
	reach    float64
	across   v3 // axes of the depth map
	along    v3
	u0, v0   float64
	perUnit  float64
	*lampMaps
	ax, az float64
	aPer   float64
}

// lampMaps are used by one picture after the other: seven megabytes, where new
// ones are fetched from the system and cleared for each.
type lampMaps struct {
	depth   [shadowSize * shadowSize]float32 // nearest to the lamp, larger is nearer; far below = nothing
	soft    [shadowSize * shadowSize]float32 // blurred occupancy: the shadow on the bench
	above   [skySize * skySize]float32       // height of things over the bench, blurred: who hides the sky
	halfway [shadowSize * shadowSize]float32 // between the passes of a blur
}

var freeMaps = sync.Pool{New: func() any { return new(lampMaps) }}

// putAway gives the maps to the next picture. The lamp cannot be asked any more.
func (l *lamp) putAway() {
	freeMaps.Put(l.lampMaps)
	l.lampMaps = nil
}

const (
	shadowSize = 768
	skySize    = 192
	nothing    = -1e9
)

// newLamp sets up the light for a camera: the lamp stays at the photo's upper
// left whatever side of the model is photographed.
func newLamp(cam *camera, raking bool, c v3, size float64) *lamp {
	right := v3{cam.right.X, 0, cam.right.Z}.unit()
	away := v3{-right.Z, 0, right.X} // away from the viewer along the bench
	if away.dot(v3{cam.ahead.X, 0, cam.ahead.Z}) < 0 {
		away = away.mul(-1)
	}
	if math.Abs(cam.ahead.Y) > 0.95 {
		away = v3{cam.up.X, 0, cam.up.Z}.unit()
	}
	l := &lamp{reach: size * 1.5}
	top := math.Abs(cam.ahead.Y)
	if raking {
		l.to = right.mul(-1).add(v3{0, 0.27, 0}).add(away.mul(0.34*top - 0.16)).unit()
		l.key, l.sky, l.bounce = v3{2.15, 1.80, 1.34}, v3{0.10, 0.12, 0.16}, v3{0.06, 0.05, 0.035}
	} else {
		l.to = right.mul(-0.62).add(v3{0, 1.0, 0}).add(away.mul(0.62*top - 0.46)).unit()
		l.key, l.sky, l.bounce = v3{1.22, 1.07, 0.85}, v3{0.31, 0.35, 0.42}, v3{0.15, 0.12, 0.085}
	}
	l.spot = v3{c.X, 0, c.Z}.add(right.mul(-0.42 * size)).add(away.mul(0.2 * size))
	return l
}

// cast draws the pieces into the lamp's maps.
func (l *lamp) cast(pieces []*piece) {
	l.across = l.to.cross(v3{0, 1, 0}).unit()
	l.along = l.across.cross(l.to).unit()
	lo, hi := v3{1e9, 1e9, 1e9}, v3{-1e9, -1e9, -1e9}
	loW, hiW := lo, hi
	type corner struct{ u, v, d, x, y, z float32 }
	var pts []corner
	for _, pc := range pieces {
		for i := range pc.t {
			for _, p := range pc.t[i].p {
				w := pc.pos.add(pc.turn.out(p))
				q := v3{w.dot(l.across), w.dot(l.along), w.dot(l.to)}
				lo, hi, loW, hiW = lo.low(q), hi.high(q), loW.low(w), hiW.high(w)
				pts = append(pts, corner{float32(q.X), float32(q.Y), float32(q.Z), float32(w.X), float32(w.Y),
					float32(w.Z)})
			}
		}
	}
	l.lampMaps = freeMaps.Get().(*lampMaps)
	for i := range l.depth {
		l.depth[i] = nothing
	}
	clear(l.soft[:])
	clear(l.above[:])
	if len(pts) == 0 {
		l.perUnit, l.aPer = 1, 1
		return
	}
	const rim = 40 // free texels round the map, room for the blur
	l.perUnit = (shadowSize - 2*rim) / max(hi.X-lo.X, hi.Y-lo.Y)
	l.u0, l.v0 = lo.X-rim/l.perUnit, lo.Y-rim/l.perUnit
	l.aPer = (skySize - 40) / max(hiW.X-loW.X, hiW.Z-loW.Z)
	l.ax, l.az = loW.X-20/l.aPer, loW.Z-20/l.aPer
	k, ka := float32(l.perUnit), float32(l.aPer)
	for i := 0; i < len(pts); i += 3 {
		a, b, c := pts[i], pts[i+1], pts[i+2]
		height(l.depth[:], shadowSize,
			[3]float32{(a.u - float32(l.u0)) * k, (b.u - float32(l.u0)) * k, (c.u - float32(l.u0)) * k},
			[3]float32{(a.v - float32(l.v0)) * k, (b.v - float32(l.v0)) * k, (c.v - float32(l.v0)) * k},
			[3]float32{a.d, b.d, c.d})
		height(l.above[:], skySize,
			[3]float32{(a.x - float32(l.ax)) * ka, (b.x - float32(l.ax)) * ka, (c.x - float32(l.ax)) * ka},
			[3]float32{(a.z - float32(l.az)) * ka, (b.z - float32(l.az)) * ka, (c.z - float32(l.az)) * ka},
			[3]float32{a.y, b.y, c.y})
	}
	for i, d := range l.depth {
		if d > nothing {
			l.soft[i] = 1
		}
	}
	// A lamp shade is no point: its shadows have soft rims.
	r := max(2, int(0.10*l.perUnit))
	blur(l.soft[:], l.halfway[:], shadowSize, r)
	blur(l.soft[:], l.halfway[:], shadowSize, r)
	ra := max(1, int(0.32*l.aPer))
	for range 3 {
		blur(l.above[:], l.halfway[:], skySize, ra)
	}
}

// height draws one triangle into a square map that keeps the largest value.
func height(buf []float32, size int, x, y, d [3]float32) {
	ax, ay, bx, by := x[1]-x[0], y[1]-y[0], x[2]-x[0], y[2]-y[0]
	det := ax*by - ay*bx
	if det > -1e-9 && det < 1e-9 {
		return
	}
	d1, d2 := d[1]-d[0], d[2]-d[0]
	gx, gy := (d1*by-d2*ay)/det, (d2*ax-d1*bx)/det
	y0, y1 := min(y[0], y[1], y[2]), max(y[0], y[1], y[2])
	for r := max(0, int(y0)); r <= min(size-1, int(y1)); r++ {
		yy := min(max(float32(r)+0.5, y0), y1)
		lo, hi := float32(1e9), float32(-1e9)
		for k := range 3 {
			j := (k + 1) % 3
			if y[k] == y[j] || (yy < y[k] && yy < y[j]) || (yy > y[k] && yy > y[j]) {
				continue
			}
			q := x[k] + (x[j]-x[k])*(yy-y[k])/(y[j]-y[k])
			lo, hi = min(lo, q), max(hi, q)
		}
		// Thin rods still fill the texel they pass through.
		for c := max(0, int(lo)); c <= min(size-1, int(hi)); c++ {
			cc := min(max(float32(c)+0.5, lo), hi)
			if v := d[0] + gx*(cc-x[0]) + gy*(yy-y[0]); v > buf[r*size+c] {
				buf[r*size+c] = v
			}
		}
	}
}

// blur is a box blur of radius r in both directions, through tmp. r is below size.
func blur(a, tmp []float32, size, r int) {
	inv := 1 / float32(2*r+1)
	for y := range size {
		src, dst := a[y*size:][:size], tmp[y*size:][:size]
		var sum float32
		for _, v := range src[:r] {
			sum += v
		}
		for x := range dst {
			if x+r < size {
				sum += src[x+r]
			}
			if x-r-1 >= 0 {
				sum -= src[x-r-1]
			}
			dst[x] = sum * inv
		}
	}
	// Down all columns at once: along a column, every value is a cache line of its own.
	sums := make([]float32, size)
	row := func(y int) []float32 { return tmp[y*size:][:size] }
	for y := range r {
		for x, v := range row(y) {
			sums[x] += v
		}
	}
	for y := range size {
		if y+r < size {
			for x, v := range row(y + r) {
				sums[x] += v
			}
		}
		if y-r-1 >= 0 {
			for x, v := range row(y - r - 1) {
				sums[x] -= v
			}
		}
		for x, v := range sums {
			a[y*size+x] = v * inv
		}
	}
}

func bilinear(buf []float32, size int, u, v float64) float64 {
	u, v = u-0.5, v-0.5
	if u < 0 || v < 0 || u >= float64(size-1) || v >= float64(size-1) {
		return 0
	}
	x, y := int(u), int(v)
	tu, tv := float32(u-float64(x)), float32(v-float64(y))
	i := y*size + x
	a := buf[i] + (buf[i+1]-buf[i])*tu
	b := buf[i+size] + (buf[i+size+1]-buf[i+size])*tu
	return float64(a + (b-a)*tv)
}

// lit tells how much of the lamp reaches a point with normal n, 0..1.
func (l *lamp) lit(p, n v3) float64 {
	q := p.add(n.mul(1.6 / l.perUnit)).add(l.to.mul(1.2 / l.perUnit))
	u, v := (q.dot(l.across)-l.u0)*l.perUnit, (q.dot(l.along)-l.v0)*l.perUnit
	d := float32(q.dot(l.to))
	x, y := int(u-1), int(v-1)
	if x < 1 || y < 1 || x >= shadowSize-4 || y >= shadowSize-4 {
		return 1
	}
	// 4×4 compares with the outer ones weighted by the fraction: a soft rim
	// without steps.
	tu, tv := float32(u-1-float64(x)), float32(v-1-float64(y))
	wu, wv := [4]float32{1 - tu, 1, 1, tu}, [4]float32{1 - tv, 1, 1, tv}
	var sum float32
	for j := range 4 {
		row := l.depth[(y+j)*shadowSize+x : (y+j)*shadowSize+x+4]
		for i, e := range row {
			if e <= d {
				sum += wu[i] * wv[j]
			}
		}
	}
	return float64(sum / 9)
}

// shade tells how much of the lamp the bench loses at p.
func (l *lamp) shade(p v3) float64 {
	return bilinear(l.soft[:], shadowSize, (p.dot(l.across)-l.u0)*l.perUnit, (p.dot(l.along)-l.v0)*l.perUnit)
}

// open tells how much room light reaches p, 0..1: less between and under things.
func (l *lamp) open(p v3) float64 {
	h := bilinear(l.above[:], skySize, (p.X-l.ax)*l.aPer, (p.Z-l.az)*l.aPer) - p.Y
	return 1 - 0.72*smooth(-0.25, 1.5, h)
}

// fall is the lamp's strength at p: strongest near the spot, fading outward.
func (l *lamp) fall(p v3) float64 {
	d := p.sub(l.spot)
	d.Y *= 0.3
	return 1.18 / (1 + d.dot(d)/(l.reach*l.reach)*0.9)
}
