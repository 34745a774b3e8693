// Single parts of a kit: their shapes, and the close-up of the clean-up work.

package scene

import "math"

// shape draws one kind of part, lying in the x-y plane, some two units across;
// w and h are its half sizes where the gates reach it.
type shape struct {
	w, h float64
	cut  func(p *piece)
}

func disc(r, w float64, spokes int) shape {
	return shape{r, r, func(p *piece) {
		p.lathe(v3{0, 0, -w / 2}, v3{0, 0, 1}, [][2]float64{{0, 0}, {0, 0.5 * r}, {0, 0.86 * r}, {0.14 * w, 0.97 * r},
			{0.3 * w, r}, {0.7 * w, r}, {0.86 * w, 0.97 * r}, {w, 0.86 * r}, {w, 0.62 * r}, {0.8 * w, 0.56 * r},
			{0.8 * w, 0.26 * r}, {1.05 * w, 0.2 * r}, {1.05 * w, 0}}, 40)
		for i := range spokes {
			s, c := math.Sincos(2 * math.Pi * float64(i) / float64(spokes))
			p.rod(v3{0.4 * r * c, 0.4 * r * s, w * 0.28}, v3{0.4 * r * c, 0.4 * r * s, w * 0.4}, 0.07*r, 0.06*r, 8)
		}
	}}
}

func panel(w, h float64, windows int) shape {
	return shape{w, h, func(p *piece) {
		const t = 0.09
		if windows == 0 {
			p.box(-w, -h, -t, w, h, t, 0.05)
			for i := range 4 {
				x := lerp(-0.75*w, 0.75*w, float64(i)/3)
				p.box(x-0.05, -0.82*h, t, x+0.05, 0.82*h, t+0.05, 0.02)
			}
			p.box(-0.85*w, -0.06, t, 0.85*w, 0.06, t+0.06, 0.02)
			return
		}
		p.box(-w, -h, -t, w, -0.1*h, t, 0.04)
		p.box(-w, 0.75*h, -t, w, h, t, 0.04)
		for i := range windows + 1 {
			x := lerp(-w+0.1, w-0.1, float64(i)/float64(windows))
			p.box(x-0.1, -0.15*h, -t, x+0.1, 0.8*h, t, 0.03)
		}
		p.box(-0.8*w, -0.75*h, t, 0.1*w, -0.25*h, t+0.05, 0.02)
	}}
}

// half is one half of a hull, fuselage or float: flat below, rounded above.
func half(l, b, d, tail float64) shape {
	return shape{l, b, func(p *piece) {
		var rows [][]v3
		for i := range 19 {
			t := float64(i) / 18
			x := lerp(-l, l, t)
			k := math.Pow(math.Sin(math.Pi*lerp(tail, 0.985, t)), 0.6)
			var row []v3
			for j := range 15 {
				s, c := math.Sincos(math.Pi * float64(j) / 14)
				row = append(row, v3{x, b * k * c, -0.12 + d*k*s})
			}
			rows = append(rows, row)
		}
		p.loft(rows, false)
		p.flat(rows[0]...)
		p.flat(rows[len(rows)-1]...)
	}}
}

func rodPart(l, r float64) shape {
	return shape{l, r, func(p *piece) {
		p.rod(v3{-l, 0, 0}, v3{l, 0, 0}, r, r*0.8, 16)
		p.lathe(v3{-l * 0.2, 0, 0}, v3{1, 0, 0}, [][2]float64{{0, r}, {0.05, r * 1.5}, {0.2, r * 1.5}, {0.25, r}}, 18)
		p.box(-l-0.02, -r*1.5, -r*0.8, -l+0.14, r*1.5, r*0.8, 0.03)
		p.box(l-0.14, -r*1.4, -r*0.7, l+0.02, r*1.4, r*0.7, 0.03)
	}}
}

func stackPart(l, r float64) shape {
	return shape{l, r * 1.5, func(p *piece) {
		p.lathe(v3{-l, 0, 0}, v3{1, 0, 0}, [][2]float64{{0, 0}, {0, 1.4 * r}, {0.12, 1.4 * r}, {0.16, r}, {1.5 * l, r},
			{1.5 * l, 1.2 * r}, {1.58 * l, 1.2 * r}, {1.6 * l, 0.6 * r}, {1.74 * l, 0.6 * r}, {1.74 * l, 1.5 * r},
			{1.8 * l, 1.5 * r}, {2 * l, 0.2 * r}, {2 * l, 0}}, 28)
	}}
}

func blade(l float64) shape {
	return shape{l, 0.26, func(p *piece) {
		for _, sg := range []float64{-1, 1} {
			var rows [][]v3
			for i := range 11 {
				t := float64(i) / 10
				w := 0.24*math.Sin(math.Pi*min(1, 0.2+0.79*t)) + 0.02
				s, c := math.Sincos(lerp(0.7, 0.15, t) * sg)
				var ring []v3
				for j := range 14 {
					sj, cj := math.Sincos(2 * math.Pi * float64(j) / 14)
					a, b := w*cj, 0.05*sj*(1-0.6*t)
					ring = append(ring, v3{sg * lerp(0.1, l, t), a*c - b*s, a*s + b*c})
				}
				rows = append(rows, ring)
			}
			p.loft(rows, true)
		}
		p.lathe(v3{0, 0, -0.18}, v3{0, 0, 1}, [][2]float64{{0, 0}, {0, 0.2}, {0.3, 0.2}, {0.44, 0.1}, {0.46, 0}}, 24)
	}}
}

func boxPart(w, h, d float64) shape {
	return shape{w, h, func(p *piece) {
		p.box(-w, -h, -0.1, w, h, d, 0.07)
		p.box(-0.7*w, -0.6*h, d, 0.2*w, 0.6*h, d+0.08, 0.03)
		p.rod(v3{0.55 * w, 0, d}, v3{0.55 * w, 0, d + 0.18}, 0.12, 0.1, 14)
	}}
}

// shapes returns the parts on a kit's runner, largest first.
func shapes(model string) []shape {
	switch model {
	case "seaplane":
		return []shape{half(1.75, 0.42, 0.4, 0.12), panel(1.5, 0.5, 0), blade(1.1), disc(0.6, 0.35, 7),
			half(1.4, 0.3, 0.3, 0.3), rodPart(1.0, 0.09), rodPart(0.8, 0.08), boxPart(0.5, 0.35, 0.3)}
	case "pilot-boat":
		return []shape{half(1.75, 0.5, 0.42, 0.3), panel(1.0, 0.7, 3), disc(0.45, 0.3, 0), stackPart(0.8, 0.28),
			boxPart(0.6, 0.42, 0.4), rodPart(1.2, 0.08), disc(0.4, 0.28, 0), panel(0.7, 0.6, 2)}
	case "lightship":
		return []shape{half(1.8, 0.36, 0.36, 0.2), stackPart(1.1, 0.26), panel(0.9, 0.42, 0), boxPart(0.55, 0.36, 0.35),
			half(0.8, 0.22, 0.2, 0.2), rodPart(1.2, 0.07), boxPart(0.42, 0.3, 0.25), disc(0.36, 0.2, 6)}
	}
	return []shape{panel(1.5, 0.75, 3), panel(1.3, 0.7, 0), disc(0.62, 0.42, 6), disc(0.62, 0.42, 6),
		stackPart(0.9, 0.24), boxPart(0.6, 0.45, 0.4), rodPart(1.1, 0.1), disc(0.5, 0.3, 6)}
}

// cleaning is the close-up of several parts during clean-up.
func (s *set) cleaning() {
	s.flatSide()
	s.fin = finish{skill: s.shot.Skill}
	list := shapes(s.shot.Model)[:6]
	spots := []v3{{-2.1, 0, -1.35}, {1.9, 0, -1.5}, {-3.0, 0, 0.55}, {-0.35, 0, 0.35}, {2.5, 0, 0.6}, {0.1, 0, 1.95}}
	turns := []float64{0.10, -0.16, 0.2, 0.1, -0.22, 0.07}
	clumsy := 1 - s.shot.Skill
	for i, sh := range list {
		done := smooth(0, 1, s.shot.Step*float64(len(list)+1)-float64(i)*1.0)
		if s.shot.Step >= 1 {
			done = 1
		}
		p := s.put(surface{join: &join{axis: 2, at: 0.0, ridge: (1 - done) + 0.35*done*clumsy*clumsy,
			rough: done * clumsy * 0.7, spread: 0.09}}, spots[i], laid(turns[i]+s.rnd.span(-0.05, 0.05)))
		sh.cut(p)
		lo, hi := bounds([]*piece{{mesh: p.mesh, turn: upright}})
		p.pos.Y = -lo.Z
		// Two or four gates a part, each with its stub and, later, its trace.
		c := chance(uint64(i)*131 + 7)
		type gate struct{ at, dir v3 }
		gates := []gate{{v3{lerp(lo.X, hi.X, c.span(0.28, 0.42)), hi.Y, 0}, v3{0, 1, 0}},
			{v3{lerp(lo.X, hi.X, c.span(0.55, 0.75)), lo.Y, 0}, v3{0, -1, 0}}}
		if hi.X-lo.X > 1.6 {
			gates = append(gates, gate{v3{hi.X, lerp(lo.Y, hi.Y, c.span(0.45, 0.55)), 0}, v3{1, 0, 0}},
				gate{v3{lerp(lo.X, hi.X, 0.82), hi.Y, 0}, v3{0, 1, 0}})
		}
		for _, g := range gates {
			g.at = p.edgeTowards(g.at, g.dir)
			if l := 0.30 * (1 - done); l > 0.01 {
				across := v3{g.dir.Y, g.dir.X, 0}
				if across.X < 0 || across.Y < 0 {
					across = across.mul(-1)
				}
				half := g.dir.mul(l/2 + 0.04).add(across.mul(0.1))
				half = v3{math.Abs(half.X), math.Abs(half.Y), 0.085}
				p.boxAt(g.at.add(g.dir.mul(l/2-0.03)), half, upright, 0.03)
				// Cut through with side cutters, the end is whitened.
				p.surf.marks = append(p.surf.marks, mark{at: g.at.add(g.dir.mul(l)), size: 0.13, white: 0.8})
			}
			if done > 0.05 {
				hurt := clumsy * (0.55 + 0.45*c.unit())
				p.surf.marks = append(p.surf.marks,
					mark{at: g.at, size: 0.20 + 0.34*hurt, white: done * hurt,
						gouge: done * max(0, hurt*1.25-0.2)})
			}
		}
	}
	s.fill = [2]float64{0.80, 0.80}
	s.mid = [2]float64{0.5, 0.5}
	s.look = func(s *set) {
		s.file(s.on(0.37, -0.33), 0.35)
		s.knife(s.on(-0.36, -0.34), -0.3)
		if s.shot.Step > 0.3 {
			s.dustAbout(int(60 * s.shot.Step))
		}
	}
}

// edgeTowards finds the outermost corner of the part near the line through at
// in direction dir, so that a stub touches the part whatever its outline.
func (m *mesh) edgeTowards(at, dir v3) v3 {
	best, found := at, -1e9
	side := v3{math.Abs(dir.Y), math.Abs(dir.X), 0}
	for i := range m.t {
		t := &m.t[i]
		for k := range 3 {
			// Walk along the triangle's edges: corners alone are too sparse.
			a, b := t.p[k], t.p[(k+1)%3]
			for q := range 5 {
				p := a.mix(b, float64(q)/4)
				if math.Abs(p.sub(at).dot(side)) > 0.12 {
					continue
				}
				if d := p.dot(dir); d > found {
					found = d
					best = at.add(dir.mul(d - at.dot(dir)))
				}
			}
		}
	}
	return best
}

// dustAbout strews shavings and sanding crumbs.
func (s *set) dustAbout(n int) {
	p := s.loosely(surface{color: rgb(0xc2c5c5), sheen: 0.1}, v3{}, 0)
	p.turn = upright
	c := chance(s.shot.Seed + 99)
	for range n {
		at := s.on(c.span(-0.4, 0.4), c.span(-0.3, 0.3))
		k := s.size * c.span(0.001, 0.0035)
		at.Y = k
		p.boxAt(at, v3{k * c.span(1, 3), k * 0.6, k}, turned(c.span(0, 3)), 0)
	}
}
