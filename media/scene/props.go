// Things that lie about on a bench: knife, brush, pots, glue, tape.

package scene

// loosely adds a piece that does not count when the picture is framed. k is
// the thing's size: sets differ in scale, tools do not.
func (s *set) loosely(sf surface, at v3, a float64) *piece {
	sf.own = true
	p := s.put(sf, at, s.facing(a))
	p.loose = true
	return p
}

func (s *set) knife(at v3, a float64) {
	k := s.size / 10
	grip := s.loosely(surface{color: rgb(0x8c8f92), sheen: 0.9, tight: 50}, at, a)
	y := 0.24 * k
	x := v3{1, 0, 0}
	grip.lathe(v3{-2.4 * k, y, 0}, x, [][2]float64{{0, 0}, {0, .2 * k}, {.1 * k, .23 * k}, {1.5 * k, .23 * k},
		{1.6 * k, .19 * k}, {2.6 * k, .19 * k}, {2.7 * k, .24 * k}, {3.5 * k, .24 * k}, {3.7 * k, .16 * k},
		{3.9 * k, .12 * k}, {3.9 * k, 0}}, 22)
	blade := s.loosely(surface{color: rgb(0xc9ced0), sheen: 1, tight: 70}, at.add(v3{0, y, 0}), a)
	blade.mesh.t = nil
	fl := laid(0)
	for _, h := range []float64{-0.012, 0.012} {
		pt := func(x, z float64) v3 { return fl.out(v3{x * k, z * k, h * k}) }
		blade.flat(pt(1.4, 0.11), pt(1.4, -0.11), pt(2.2, -0.15), pt(2.6, -0.15), pt(1.8, 0.13))
	}
}

func (s *set) brush(at v3, a float64) {
	k := s.size / 10
	x := v3{1, 0, 0}
	h := s.loosely(surface{color: rgb(0x7c3a28), sheen: 0.7, tight: 50}, at, a)
	h.lathe(v3{-3 * k, .16 * k, 0}, x, [][2]float64{{0, 0}, {.05 * k, .05 * k}, {2.2 * k, .10 * k}, {3.6 * k, .16 * k},
		{4.2 * k, .11 * k}}, 18)
	f := s.loosely(surface{color: rgb(0xc5b583), sheen: 1, tight: 60}, at, a)
	f.lathe(v3{1.2 * k, .16 * k, 0}, x, [][2]float64{{0, .11 * k}, {.2 * k, .12 * k}, {.22 * k, .13 * k},
		{.3 * k, .12 * k}, {.9 * k, .10 * k}}, 18)
	b := s.loosely(surface{color: rgb(0x4e3626), sheen: 0.2}, at, a)
	b.lathe(v3{2.1 * k, .16 * k, 0}, x, [][2]float64{{0, .10 * k}, {.25 * k, .12 * k}, {.6 * k, .06 * k}, {.8 * k, 0}},
		16)
}

// pot is a small open paint pot.
func (s *set) pot(at, paint v3, scale float64) {
	k := s.size / 10 * scale
	up := v3{0, 1, 0}
	g := s.loosely(surface{color: rgb(0x8d938f).mix(paint, 0.75), sheen: 0.9, tight: 70}, at, 0)
	g.lathe(v3{}, up, [][2]float64{{0, 0}, {0, .58 * k}, {.06 * k, .64 * k}, {.8 * k, .64 * k}, {.92 * k, .52 * k},
		{1.12 * k, .52 * k}, {1.12 * k, .44 * k}, {.9 * k, .44 * k}}, 32)
	p := s.loosely(surface{color: paint, sheen: 0.8, tight: 80}, at, 0)
	p.lathe(v3{}, up, [][2]float64{{.94 * k, .46 * k}, {.94 * k, 0}}, 28)
	lid := s.loosely(surface{color: rgb(0x2e3133), sheen: 0.4, tight: 30},
		at.add(s.right.mul(-1.0*k)).add(s.away.mul(-0.9*k)), 0)
	lid.lathe(v3{}, up, [][2]float64{{0, .56 * k}, {.24 * k, .56 * k}, {.28 * k, .52 * k}, {.28 * k, 0}}, 28)
}

// glue is a square bottle with a fine brush in its cap.
func (s *set) glue(at v3) {
	k := s.size / 10
	b := s.loosely(surface{color: rgb(0xb9a36a), sheen: 0.9, tight: 80}, at, 0.5)
	b.box(-.55*k, 0, -.55*k, .55*k, 1.0*k, .55*k, .12*k)
	l := s.loosely(surface{color: rgb(0xe4dcc4), sheen: 0.1}, at, 0.5)
	l.box(-.56*k, .2*k, -.42*k, .56*k, .8*k, .42*k, 0)
	c := s.loosely(surface{color: rgb(0x7a2f24), sheen: 0.5, tight: 40}, at, 0.5)
	c.lathe(v3{0, k, 0}, v3{0, 1, 0}, [][2]float64{{0, .38 * k}, {.5 * k, .36 * k}, {.54 * k, .32 * k}, {.54 * k, 0}},
		24)
}

func (s *set) tapeRoll(at v3) {
	k := s.size / 10
	t := s.loosely(surface{color: tapeYellow, sheen: 0.1, tight: 12}, at, 0)
	t.lathe(v3{}, v3{0, 1, 0}, [][2]float64{{0, .6 * k}, {0, 1.0 * k}, {.5 * k, 1.0 * k}, {.5 * k, .6 * k},
		{0, .6 * k}}, 36)
}

// file is a flat needle file.
func (s *set) file(at v3, a float64) {
	k := s.size / 10
	h := s.loosely(surface{color: rgb(0x3c5a4a), sheen: 0.4, tight: 30}, at, a)
	h.lathe(v3{-2.6 * k, .2 * k, 0}, v3{1, 0, 0}, [][2]float64{{0, 0}, {.05 * k, .17 * k}, {.8 * k, .2 * k},
		{1.6 * k, .15 * k}, {1.7 * k, 0}}, 18)
	b := s.loosely(surface{color: rgb(0x5d6164), sheen: 0.5, tight: 20, hook: func(r *renderer, sp *spot) {
		du, dv := r.ns.slope(sp.o.X*90+sp.o.Z*60, sp.o.X*60-sp.o.Z*90)
		sp.bump(du*2, dv*2)
	}}, at, a)
	b.box(-.9*k, .14*k, -.17*k, 2.4*k, .24*k, .17*k, .02*k)
}

// sanding is a stick with abrasive on it.
func (s *set) sanding(at v3, a float64) {
	k := s.size / 10
	b := s.loosely(surface{color: rgb(0x8a6f55), sheen: 0.02, hook: func(r *renderer, sp *spot) {
		n := r.ns.grain[(int(sp.o.X*40/k)&sheetMask)<<9+int(sp.o.Z*40/k)&sheetMask]
		sp.c = sp.c.mul(1 + 0.25*float64(n))
		if sp.o.X < -1.2*k {
			sp.c = rgb(0xd8d2c2)
		}
	}}, at, a)
	b.box(-2.2*k, 0, -.3*k, 2.2*k, .16*k, .3*k, .03*k)
}

// cutters are side cutters, handles towards the viewer.
func (s *set) cutters(at v3, a float64) {
	k := s.size / 10
	m := s.loosely(surface{color: rgb(0x777b7d), sheen: 0.9, tight: 40}, at, a)
	g := s.loosely(surface{color: rgb(0x9c3b2a), sheen: 0.35, tight: 20}, at, a)
	y := .2 * k
	for _, z := range []float64{-1, 1} {
		m.boxAt(v3{.95 * k, y, z * .13 * k}, v3{.5 * k, .1 * k, .1 * k}, turned(z*0.16), .04*k)
		m.rod(v3{.5 * k, y, z * .14 * k}, v3{-.4 * k, y, z * .34 * k}, .13*k, .12*k, 12)
		g.rod(v3{-.4 * k, y, z * .36 * k}, v3{-1.6 * k, y, z * .62 * k}, .17*k, .17*k, 14)
		g.rod(v3{-1.6 * k, y, z * .62 * k}, v3{-2.8 * k, y, z * .5 * k}, .17*k, .14*k, 14)
	}
	m.rod(v3{.4 * k, .02 * k, 0}, v3{.4 * k, .36 * k, 0}, .22*k, .22*k, 20)
}

// sheetOfDecals is the backing paper with what is still to be laid on.
func (s *set) sheetOfDecals(at v3) {
	k := s.size / 10
	left := 1 - s.fin.decal
	p := s.loosely(surface{color: rgb(0xb9cbd4), sheen: 0.12, tight: 20, hook: func(r *renderer, sp *spot) {
		x, z := sp.o.X/k, sp.o.Z/k
		cx, cz := int(x/0.7+50), int(z/0.5+50)
		if hashUnit(cx, cz+9) < 0.25+0.6*left && sp.axis == 1 {
			a, b := x/0.7+50-float64(cx), z/0.5+50-float64(cz)
			if a > 0.2 && a < 0.8 && b > 0.25 && b < 0.75 {
				sp.c = potTints[(cx+cz)%len(potTints)].mix(v3{0.8, 0.78, 0.7}, hashUnit(cz, cx)*0.8)
			}
		}
	}}, at, 0.3)
	p.box(-1.7*k, 0, -1.1*k, 1.7*k, .02*k, 1.1*k, 0)
}
