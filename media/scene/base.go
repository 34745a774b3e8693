// Display bases: earth under the lorry, a concrete slip, a shelf board, the sea.

package scene

import "math"

// base adds the model's display base. In the base stage it grows from bare
// board through plaster to the finished ground.
func (s *set) base(k *kit) {
	lo, hi := bounds(k.pieces)
	t := s.fin.base
	const thick, lip = 0.55, 0.75
	board := s.put(surface{color: rgb(0x5a3a22), own: true, sheen: 0.35, tight: 40, hook: woodHook}, v3{}, upright)
	x0, x1, z0, z1 := lo.X-lip, hi.X+lip, lo.Z-lip, hi.Z+lip
	board.box(x0-0.25, -thick, z0-0.25, x1+0.25, -0.06, z1+0.25, 0.06)
	ground := surface{own: true}
	amp := 0.0
	switch k.plinth {
	case "sea":
		ground.hook = func(r *renderer, sp *spot) { r.sea(sp, t) }
		amp = 0.16
	case "earth":
		ground.hook = func(r *renderer, sp *spot) { r.earth(sp, t) }
		amp = 0.06
	default:
		ground.hook = func(r *renderer, sp *spot) { r.slip(sp, t) }
	}
	g := s.put(ground, v3{}, upright)
	level := 0.0
	if k.plinth == "sea" {
		level = 0.36
	}
	g.sheet(x0, z0, x1, z1, -0.06, level, amp*smooth(0.05, 0.35, t))
	// The model goes up, so that the bench stays at zero.
	for _, p := range k.pieces {
		p.pos.Y += thick
	}
	board.pos.Y += thick
	g.pos.Y += thick
}

// sheet adds an uneven ground with closed sides.
func (m *mesh) sheet(x0, z0, x1, z1, bottom, level, amp float64) {
	const nx, nz = 72, 40
	ns := noise()
	var rows [][]v3
	for j := range nz + 1 {
		var row []v3
		for i := range nx + 1 {
			x, z := lerp(x0, x1, float64(i)/nx), lerp(z0, z1, float64(j)/nz)
			y := level + amp*(math.Sin(x*1.7+z*0.9)*0.45+math.Sin(x*0.8-z*2.1+1)*0.35+2.2*(ns.at(x*9+7, z*9)-0.5))
			row = append(row, v3{x, y, z})
		}
		rows = append(rows, row)
	}
	m.loft(rows, false)
	side := func(a, b v3) {
		m.flat(a, b, v3{b.X, bottom, b.Z}, v3{a.X, bottom, a.Z})
	}
	for i := range nx {
		side(rows[0][i], rows[0][i+1])
		side(rows[nz][i], rows[nz][i+1])
	}
	for j := range nz {
		side(rows[j][0], rows[j+1][0])
		side(rows[j][nx], rows[j+1][nx])
	}
}

var plaster = rgb(0xdcd8cc)

// sea colors the water: plaster, green-grey paint, white crests, then gel.
func (r *renderer) sea(s *spot, t float64) {
	n := r.ns.at(s.o.X*12, s.o.Z*12+31)
	fine := r.ns.at(s.o.X*52, s.o.Z*52)
	c := plaster.mul(0.86 + 0.2*n)
	if t < 0.25 {
		c = rgb(0xb9c4cf).mix(c, smooth(0, 0.2, t)) // bare foam board
	}
	paint := smooth(0.3, 0.6, t*1.1-0.15*n)
	deep := rgb(0x123c40).mix(rgb(0x2f6f68), smooth(0.30, 0.62, s.o.Y+0.12*(n-0.5)))
	c = c.mix(deep.mul(0.85+0.3*n), paint)
	foam := smooth(0.55, 0.85, t)
	if foam > 0 {
		// Foam gathers along the hulls and on the crests.
		d := hullRim(s.o.X, s.o.Z, -4.9, 5.0, 1.1)
		q := s.o.sub(v3{-1.4, 0, -2.5})
		d = min(d, hullRim(q.X, q.Z, -1.2, 1.3, 0.4))
		w := smooth(0.5, 0.02, d+0.55*(fine-0.5)+0.35*(n-0.5))
		w = max(w, smooth(0.49, 0.60, s.o.Y+0.10*(fine-0.5))*smooth(0.4, 0.6, fine))
		if s.n0.Y > 0.3 {
			c = c.mix(rgb(0xe9efec), 0.85*foam*w)
		}
	}
	gel := smooth(0.8, 1, t)
	s.c = c
	s.sheen, s.tight = 0.05+0.95*gel, 10+70*gel
	du, dv := r.ns.slope(s.o.X*30, s.o.Z*30)
	rough := 0.5 + 1.2*smooth(0.1, 0.4, t)
	s.bump(du*rough, dv*rough)
	if r.shot.Skill < 0.5 && gel > 0 { // trapped bubbles in the gel
		if fine > 0.9 {
			s.c = s.c.mix(v3{0.7, 0.72, 0.7}, 0.7*(0.5-r.shot.Skill)*2)
		}
	}
}

// hullRim is about how far a place is from the side of a spindle-shaped hull.
func hullRim(x, z, x0, x1, beam float64) float64 {
	t := clamp01((x - x0) / (x1 - x0))
	w := beam * math.Pow(math.Sin(math.Pi*math.Pow(t, 1.15)), 0.42)
	dx := max(0, max(x0-x, x-x1))
	return math.Hypot(dx, max(0, math.Abs(z)-w))
}

// earth is a churned yard with tufts of dry grass.
func (r *renderer) earth(s *spot, t float64) {
	n := r.ns.at(s.o.X*10, s.o.Z*10+80)
	fine := r.ns.at(s.o.X*85, s.o.Z*85)
	c := plaster.mul(0.9 + 0.16*n)
	soil := rgb(0x6b5136).mix(rgb(0x9a8058), n).mul(0.7 + 0.6*fine)
	c = c.mix(soil, smooth(0.25, 0.55, t*1.15-0.15*n))
	track := smooth(0.42, 0.25, math.Abs(math.Abs(s.o.Z)-1.1))
	c = c.mul(1 - 0.35*track*smooth(0.4, 0.7, t))
	grass := smooth(0.52, 0.66, n+0.3*(fine-0.5)) * smooth(0.5, 0.9, t) * (1 - track)
	c = c.mix(rgb(0x6f7a3c).mul(0.5+fine), 0.85*grass)
	s.c, s.sheen, s.tight = c, 0.03, 8
	du, dv := r.ns.slope(s.o.X*60, s.o.Z*60)
	k := (1.2 + 2*grass) * smooth(0, 0.4, t)
	s.bump(du*k, dv*k)
}

// slip is a concrete slab with joints, or the bare board before it is cast.
func (r *renderer) slip(s *spot, t float64) {
	n := r.ns.at(s.o.X*8+5, s.o.Z*8)
	fine := r.ns.at(s.o.X*80, s.o.Z*80)
	c := rgb(0xb9c4cf).mul(0.95 + 0.1*n)
	c = c.mix(plaster, smooth(0.05, 0.25, t))
	c = c.mix(rgb(0x9b978c).mul(0.72+0.3*n+0.22*fine), smooth(0.3, 0.6, t*1.1-0.1*n))
	j := func(x float64) float64 {
		q := x/2.6 + 0.5
		return smooth(0.05, 0.015, math.Abs(q-math.Floor(q)-0.5)*2.6)
	}
	joint := max(j(s.o.X), j(s.o.Z)) * smooth(0.15, 0.3, t)
	c = c.mul(1 - 0.6*joint)
	stain := smooth(0.6, 0.85, r.ns.at(s.o.X*5+90, s.o.Z*5)) * smooth(0.65, 1, t)
	c = c.mix(rgb(0x4d4a42), 0.5*stain)
	s.c, s.sheen, s.tight = c, 0.04+0.2*stain, 16
	du, dv := r.ns.slope(s.o.X*70, s.o.Z*70)
	s.bump(du*0.5, dv*0.5)
}
