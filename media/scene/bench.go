// The bench itself: oiled boards, the cutting mat, and the dim room behind.

package scene

import "math"

// bench says what lies under the model.
type bench struct {
	mat  float64 // 1 = cutting mat, 2 = towel, 0 = bare boards
	turn float64 // the mat lies a little askew
	salt float64 // where on the endless boards this bench is
	matW float64 // half size of the mat in shares of the set's size; 0 = usual
	matH float64
}

var (
	boardDark  = rgb(0x5a412e)
	boardLight = rgb(0xa07c58)
	matGreen   = rgb(0x3d5650)
	matInk     = rgb(0x93a89a)
	towel      = rgb(0xa9bcc4)
	roomDark   = rgb(0x2a211b)
)

// ground is where the bench lies under the camera. Texture keeps its size in the
// picture, not in the kit's units.
type ground struct {
	x, z           float64 // below the middle of the set
	ux, uz, vx, vz float64 // from the bench to texture: along the picture, and away
	sin, cos       float64 // of the mat's turn
	matW, matH     float64 // half the mat
}

// spans is how much texture the set's size covers.
const spans = 10

func (r *renderer) lieDown() {
	k := spans / r.size
	r.ground = ground{
		x: r.centre.X, z: r.centre.Z,
		ux: r.right.X * k, uz: r.right.Z * k, vx: r.away.X * k, vz: r.away.Z * k,
		matW: 8.2, matH: 5.6,
	}
	r.ground.sin, r.ground.cos = math.Sincos(r.bench.turn)
	if r.bench.matW > 0 {
		r.ground.matW, r.ground.matH = r.bench.matW*spans, r.bench.matH*spans
	}
}

// glow is the light at one place of the bench.
type glow struct {
	key   float32 // share of the lamp
	open  float32 // share of the room's light
	shine float32 // how well the lamp mirrors there, times key
}

// lightBench works out the light on a coarse grid over the picture: it changes
// slowly there.
func (r *renderer) lightBench(w, h int) {
	r.gw = w/gridStep + 2
	gh := h/gridStep + 2
	r.glow = make([]glow, r.gw*gh)
	for gy := range gh {
		for gx := range r.gw {
			dir := r.cam.ray(float64(gx*gridStep), float64(gy*gridStep))
			g := &r.glow[gy*r.gw+gx]
			if dir.Y > -0.004 {
				g.key, g.open = 0.3, 1
				continue
			}
			p := r.cam.eye.add(dir.mul(-r.cam.eye.Y / dir.Y))
			key := r.lamp.fall(p) * (1 - r.lamp.shade(p)) * r.lamp.to.Y
			half := r.lamp.to.sub(dir.unit()).unit()
			g.key, g.open = float32(key), float32(r.lamp.open(p))
			g.shine = float32(key * powFast(half.Y, 14))
		}
	}
}

// glowAt is the light between the nodes.
func (r *renderer) glowAt(x, y float64) (key, open, shine float64) {
	gx, gy := x/gridStep, y/gridStep
	ix, iy := int(gx), int(gy)
	tx, ty := float32(gx-float64(ix)), float32(gy-float64(iy))
	top := r.glow[iy*r.gw+ix:][:2]
	low := r.glow[(iy+1)*r.gw+ix:][:2]
	between := func(a, b, c, d float32) float64 {
		a, c = a+(b-a)*tx, c+(d-c)*tx
		return float64(a + (c-a)*ty)
	}
	return between(top[0].key, top[1].key, low[0].key, low[1].key),
		between(top[0].open, top[1].open, low[0].open, low[1].open),
		between(top[0].shine, top[1].shine, low[0].shine, low[1].shine)
}

// backdrop is a pixel without any piece, in direction dir: the bench, or the
// room behind it.
func (r *renderer) backdrop(x, y float64, dir v3) v3 {
	if dir.Y > -0.004 {
		return r.room(x, y)
	}
	t := -r.cam.eye.Y / dir.Y
	p := r.cam.eye.add(dir.mul(t))
	px, pz := p.X-r.ground.x, p.Z-r.ground.z
	u, v := px*r.ground.ux+pz*r.ground.uz, px*r.ground.vx+pz*r.ground.vz
	d := v / spans
	far := 0.0
	if d > 0.9 {
		if far = smooth(0.9, 2.3, d); far >= 1 {
			return r.room(x, y)
		}
	}
	crisp := 1.0
	if d > 0.25 {
		crisp = 1 - smooth(0.25, 1.2, d)
	}
	c, tilt, sheen := r.top(u, v, t*r.texel, crisp)
	key, open, shine := r.glowAt(x, y)
	l := r.lamp
	col := c.by(l.key.mul(key * max(0, 1+tilt*r.tilt)).add(l.sky.mul(open * 1.1)))
	// The lamp mirrors faintly in the oiled wood.
	col = col.add(l.key.mul(sheen * shine))
	if r.pool != nil {
		col = r.pool.over(r, p, dir, col)
	}
	if far > 0 {
		col = col.mix(r.room(x, y), far)
	}
	return col
}

// top is the bench at a place of its texture: color, the slope towards the lamp,
// sheen. pw is the pixel's width there, crisp fades detail that is out of focus.
func (r *renderer) top(u, v, pw, crisp float64) (v3, float64, float64) {
	b := &r.bench
	if b.mat == 0 {
		return r.boards(u, v, crisp)
	}
	g := &r.ground
	mu, mv := u*g.cos+v*g.sin, v*g.cos-u*g.sin
	m := max(math.Abs(mu)-g.matW, math.Abs(mv+0.3)-g.matH)
	if m >= pw {
		w, wt, ws := r.boards(u, v, crisp)
		if m < 0.22 { // the mat's thin shadow on the boards
			w = w.mul(1 - 0.45*smooth(0.22, 0, m))
		}
		return w, wt, ws
	}
	var c v3
	var tilt float64
	if b.mat == 2 {
		c, tilt = r.cloth(mu, mv)
	} else {
		c, tilt = r.matTop(mu, mv, pw, m, crisp)
	}
	if m <= -pw {
		return c, tilt, 0.035
	}
	in := smooth(pw, -pw, m)
	w, wt, _ := r.boards(u, v, crisp)
	return w.mix(c, in), lerp(wt, tilt, in), 0.05
}

// boards are planks running across the picture.
func (r *renderer) boards(u, v, crisp float64) (v3, float64, float64) {
	const plank = 4.6
	row := math.Floor((v + r.bench.salt) / plank)
	off := row*77 + r.bench.salt
	e := (v+r.bench.salt)/plank - row
	warp := r.ns.at(u*3+off, v*9+off) * 26
	ring := r.ns.at(u*1.3+off, v*21+warp+off)
	fine := r.ns.at(u*7+off, v*130+off)
	g := 0.62*ring + 0.38*(0.5+(fine-0.5)*crisp)
	c := boardDark.mix(boardLight, g*0.9+0.18*hashUnit(int(row), 3))
	seam := smooth(0.022, 0.006, min(e, 1-e))
	c = c.mul(1 - 0.72*seam)
	return c, (fine - 0.5) * 0.9 * crisp, 0.055 + 0.05*fine
}

// matTop is the cutting mat with its grid, rubbed and full of old cuts.
func (r *renderer) matTop(u, v, pw, rim, crisp float64) (v3, float64) {
	n := r.ns.at(u*18+r.bench.salt, v*18)
	f := r.ns.at(u*110, v*110)
	c := matGreen.mul(0.90 + 0.13*n + 0.10*(f-0.5)*crisp)
	line := func(x, pitch, w float64) float64 {
		q := x / pitch
		d := math.Abs(q-math.Floor(q+0.5)) * pitch
		if d >= w+pw {
			return 0
		}
		return smooth(w+pw, w-pw*0.5, d) * min(1, 2*w/pw)
	}
	if rim < -0.5 {
		ink := max(line(u, 1, 0.012), line(v, 1, 0.012)) * 0.55
		ink = max(ink, max(line(u, 5, 0.022), line(v, 5, 0.022))*0.8)
		if ink > 0 {
			c = c.mix(matInk, ink*(0.45+0.5*n)*(0.3+0.7*crisp)*0.7)
		}
	} else if rim > -0.54 {
		c = c.mix(matInk, 0.35*smooth(0.05, 0.02, math.Abs(rim+0.5)))
	}
	// Old cuts run every way.
	cut := smooth(0.88, 0.95, r.ns.at(u*2+v*55, v*2-u*3+150))
	if cut > 0 {
		cut *= smooth(0.55, 0.7, r.ns.at(u*6+40, v*6))
		c = c.mul(1 + 0.35*cut*crisp)
	}
	return c, ((f-0.5)*0.35 - cut*0.5) * crisp
}

// cloth is a terry towel.
func (r *renderer) cloth(u, v float64) (v3, float64) {
	n := r.ns.at(u*55, v*55)
	du, _ := r.ns.slope(u*55, v*55)
	fold := r.ns.at(u*4+30, v*4)
	c := towel.mul(0.72 + 0.34*n + 0.14*fold)
	if s := math.Abs(v + 4.1); s < 0.45 {
		c = c.mix(rgb(0xc4633f), 0.55*smooth(0.45, 0.38, s))
	}
	return c, du * 3.5
}

// room is what lies out of focus behind the bench: dusk, and the blurred
// shapes of paint pots and a jar of brushes.
func (r *renderer) room(x, y float64) v3 {
	u, v := x/float64(r.shot.Width), y/float64(r.shot.Height)
	c := roomDark.mul(0.6 + 1.3*smooth(1.1, -0.1, u)*smooth(-0.5, 0.4, v))
	if r.cam.ahead.Y < -0.6 {
		return c
	}
	for i := range r.blurs {
		p := &r.blurs[i]
		du := math.Abs(u - p.x)
		if du > p.w+0.02 || v < p.top-0.03 {
			continue
		}
		in := smooth(p.w+0.02, p.w-0.02, du) * smooth(p.top-0.03, p.top+0.03, v)
		side := 0.4 + 0.8*smooth(0.8, -1.1, (u-p.x)/p.w)
		c = c.mix(p.tint.mul(side*(0.35+0.4*smooth(1, 0, u))), in*0.8)
	}
	return c
}

// blurred is a thing far out of focus, in shares of the picture.
type blurred struct {
	x, w, top float64
	tint      v3
}

// shelve stands the blurred things at the far end of the bench.
func (r *renderer) shelve() {
	_, y, _ := r.cam.see(v3{r.centre.X, 0, r.centre.Z}.add(r.away.mul(1.5 * r.size)))
	base := y / float64(r.shot.Height)
	c := chance(uint64(r.bench.salt*1000) + 5)
	for i := range 7 {
		r.blurs = append(r.blurs, blurred{
			x: (float64(i)+c.span(0, 0.8))/7 + 0.02, w: c.span(0.022, 0.05), top: base - c.span(0.05, 0.16),
			tint: potTints[int(c.next()%uint64(len(potTints)))],
		})
	}
}

var potTints = []v3{rgb(0x6d3a2a), rgb(0x4d5b57), rgb(0x8a7448), rgb(0x33434f), rgb(0x77736a), rgb(0x59452f)}

// pool is water in a basin: everything under its surface is seen through it.
type pool struct {
	x0, z0, x1, z1, y float64
	foam              float64
}

// over lays the water over a color seen at p along dir.
func (w *pool) over(r *renderer, p, dir, c v3) v3 {
	if p.Y >= w.y || dir.Y >= 0 {
		return c
	}
	q := p.sub(dir.mul((w.y - p.Y) / -dir.Y))
	if q.X < w.x0 || q.X > w.x1 || q.Z < w.z0 || q.Z > w.z1 {
		return c
	}
	n := r.ns.at(q.X*13+40, q.Z*13)
	du, dv := r.ns.slope(q.X*16, q.Z*16)
	c = c.by(v3{0.50, 0.68, 0.72}).mul(0.93 + 0.30*smooth(0.55, 0.7, n)*smooth(0.8, 0.65, n))
	c = c.add(v3{0.012, 0.020, 0.024})
	h := r.lamp.to.sub(dir.unit()).unit()
	up := v3{-du * 1.4, 1, -dv * 1.4}.unit()
	c = c.add(r.lamp.key.mul(powFast(up.dot(h), 110) * 0.5 * r.lamp.fall(q)))
	if w.foam > 0 {
		f := smooth(0.80-0.28*w.foam, 0.92-0.28*w.foam, r.ns.at(q.X*7, q.Z*7+77)+0.22*(r.ns.at(q.X*60, q.Z*60)-0.5))
		bub := 0.62 + 0.38*r.ns.at(q.X*90, q.Z*90)
		c = c.mix(r.lamp.key.mul(0.52*bub*r.lamp.fall(q)).add(r.lamp.sky.mul(0.5)), f*0.9)
	}
	return c
}
