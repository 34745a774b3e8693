// The pilot boat, 1/48: a stout hull with fenders, wheelhouse and signal mast.

package scene

import "math"

// boatSection is one frame of a hull: position, half beam at deck, deck height,
// keel height, half beam low down as a share of the deck's.
type boatSection struct{ x, beam, deck, keel, low float64 }

// boatHull skins the sections from the deck edge round the keel and closes the
// deck and the transom; it returns the deck outline, port side first.
func boatHull(m *piece, ss []boatSection) (port, star []v3) {
	var rows [][]v3
	const n = 9
	for _, s := range ss {
		var row []v3
		side := func(z float64) []v3 {
			var half []v3
			for i := range n {
				t := float64(i) / (n - 1) // 0 deck .. 1 keel
				y := lerp(s.deck, s.keel, t)
				w := s.beam * lerp(1, s.low, smooth(0, 0.8, t)) * math.Sqrt(max(0, 1-math.Pow(t, 5)))
				half = append(half, v3{s.x, y, z * w})
			}
			return half
		}
		row = append(row, side(-1)...)
		r := side(1)
		for i := n - 2; i >= 0; i-- {
			row = append(row, r[i])
		}
		rows = append(rows, row)
		port = append(port, row[0])
		star = append(star, row[len(row)-1])
	}
	m.loft(rows, false)
	m.flat(rows[0]...)
	return port, star
}

// deckOn closes a deck a little below the edge.
func deckOn(m *piece, port, star []v3, drop float64) {
	for i := 0; i+1 < len(port); i++ {
		d := v3{0, -drop, 0}
		in := func(p v3) v3 { return p.add(d) }
		u := v3{0, 1, 0}
		m.quad(in(port[i]), in(star[i]), in(star[i+1]), in(port[i+1]), u, u, u, u)
	}
}

// rail runs a bar along an edge.
func rail(m *piece, pts []v3, r float64) {
	for i := 0; i+1 < len(pts); i++ {
		m.rod(pts[i], pts[i+1], r, r, 8)
	}
}

func pilotBoat(k *kit) {
	green, red, cream := rgb(0x23483f), rgb(0x8c3426), rgb(0xe8e1cc)
	k.main, k.plinth = green, "cradle"
	white := rgb(0xeeeade)
	h := k.part(surface{color: green, second: red, edge: &v3{0, -1, 0}, edgeAt: -0.86, panels: 1.7, decals: []decal{
		{axis: 2, side: -1, u: 2.15, v: 1.40, w: 1.6, h: 0.40, text: "PILOT", color: white},
		{axis: 2, side: 1, u: 2.15, v: 1.40, w: 1.6, h: 0.40, text: "PILOT", color: white},
		{axis: 2, side: -1, u: -3.95, v: 1.3, w: 0.52, h: 0.34, text: "24", color: white},
		{axis: 2, side: 1, u: -3.95, v: 1.3, w: 0.52, h: 0.34, text: "24", color: white},
	}})
	port, star := boatHull(h, []boatSection{
		{-4.6, 1.15, 1.72, 0.62, 0.8}, {-3.6, 1.4, 1.7, 0.38, 0.72}, {-2.0, 1.52, 1.7, 0.22, 0.66},
		{0, 1.55, 1.74, 0.18, 0.58},
		{1.6, 1.46, 1.86, 0.18, 0.46}, {2.8, 1.2, 2.06, 0.2, 0.3}, {3.8, 0.76, 2.28, 0.3, 0.16},
		{4.5, 0.32, 2.46, 0.7, 0.06}, {4.85, 0.03, 2.56, 1.3, 0.02},
	})
	h.rod(v3{-4.3, 0.24, 0}, v3{3.2, 0.14, 0}, 0.07, 0.05, 8)
	// A cradle keeps it upright on the bench.
	cr := k.part(surface{color: rgb(0xb58a5a), own: true, sheen: 0.12, tight: 20, hook: woodHook})
	for _, x := range []float64{-2.4, 1.9} {
		cr.box(x-0.12, 0, -1.3, x+0.12, 0.2, 1.3, 0.03)
		for _, z := range []float64{-1, 1} {
			cr.boxAt(v3{x, 0.44, 0.98 * z}, v3{0.12, 0.42, 0.1}, frame2(-0.45*z), 0.02)
		}
	}
	cr.box(-2.4, 0.02, -0.14, 1.9, 0.16, 0.14, 0.02)

	k.next()
	dk := k.part(surface{color: rgb(0xb08757), small: true, sheen: 0.1})
	deckOn(dk, port, star, 0.16)

	k.next()
	cap := k.part(surface{color: rgb(0x8a5a32), small: true, sheen: 0.3})
	rail(cap, port, 0.065)
	rail(cap, star, 0.065)
	rail(cap, []v3{port[0], star[0]}, 0.065)
	rub := k.part(small(rubber, 0.12))
	lower := func(p []v3) []v3 {
		var o []v3
		for _, q := range p[:8] {
			o = append(o, v3{q.X, q.Y - 0.1, q.Z * 1.03})
		}
		return o
	}
	rail(rub, lower(port), 0.085)
	rail(rub, lower(star), 0.085)

	k.next()
	wh := k.part(surface{color: cream, second: rgb(0xb85a2c), edge: &v3{0, 1, 0}, edgeAt: 3.92, panels: 1.25,
		decals: []decal{
			{axis: 0, side: 1, u: 0, v: 2.42, w: 0.5, h: 0.5, color: rgb(0xb85a2c), core: white},
			{axis: 2, side: -1, u: -1.3, v: 2.12, w: 0.5, h: 0.5, text: "P", color: rgb(0x23483f)},
			{axis: 2, side: 1, u: -1.3, v: 2.12, w: 0.5, h: 0.5, text: "P", color: rgb(0x23483f)},
		}})
	wh.box(-2.0, 1.5, -0.95, 1.7, 2.62, 0.95, 0.08)
	wh.box(-0.5, 2.6, -0.86, 1.35, 3.84, 0.86, 0.08)
	wh.box(-0.75, 3.8, -1.0, 1.62, 4.02, 1.0, 0.1)
	gl := k.part(glassOf())
	for _, z := range []float64{-0.87, 0.87} {
		for _, x := range []float64{-0.12, 0.46, 1.04} {
			gl.box(x-0.23, 3.06, z-0.012, x+0.23, 3.66, z+0.012, 0)
		}
	}
	for _, z := range []float64{-0.55, 0, 0.55} {
		gl.box(1.34, 3.06, z-0.23, 1.362, 3.66, z+0.23, 0)
		gl.box(-0.512, 3.06, z-0.2, -0.49, 3.66, z+0.2, 0)
	}
	ports := k.part(small(brass, 0.7))
	pl := k.part(glassOf())
	for _, z := range []float64{-1, 1} {
		for _, x := range []float64{-0.5, 0.3, 1.1} {
			ports.lathe(v3{x, 2.12, z * 0.94}, v3{0, 0, z}, [][2]float64{{0, 0.2}, {0.05, 0.2}, {0.05, 0.14}}, 18)
			pl.lathe(v3{x, 2.12, z * 0.94}, v3{0, 0, z}, [][2]float64{{0.03, 0.15}, {0.035, 0}}, 18)
		}
	}

	k.next()
	fun := k.part(surface{color: rgb(0xb85a2c), second: rgb(0x2a2c2e), edge: &v3{0, 1, 0}, edgeAt: 3.3})
	fun.lathe(v3{-1.35, 2.6, 0}, v3{-0.12, 1, 0}, [][2]float64{{0, 0.36}, {0.05, 0.33}, {1.0, 0.3}, {1.0, 0.34},
		{1.06, 0.34}, {1.06, 0.22}, {0.9, 0.2}}, 28)
	aft := k.part(surface{color: cream})
	aft.box(-3.5, 1.5, -0.55, -2.5, 1.95, 0.55, 0.05)
	aft.box(2.35, 1.8, -0.4, 3.0, 2.1, 0.4, 0.06)
	win := k.part(small(steel, 0.4))
	win.rod(v3{3.4, 2.2, -0.28}, v3{3.4, 2.2, 0.28}, 0.14, 0.14, 14)
	for _, z := range []float64{-0.3, 0.3} {
		win.rod(v3{3.4, 2.2, z - 0.04}, v3{3.4, 2.2, z + 0.04}, 0.22, 0.22, 16)
	}

	k.next()
	mast := k.part(small(rgb(0xd9d2ba), 0.3))
	mast.rod(v3{-0.35, 3.95, 0}, v3{-0.6, 6.3, 0}, 0.085, 0.045, 12)
	mast.rod(v3{-0.45, 5.1, -0.75}, v3{-0.45, 5.1, 0.75}, 0.035, 0.035, 8)
	mast.box(-0.28, 4.55, -0.06, 0.3, 4.62, 0.06, 0.02)
	mast.box(0.12, 4.66, -0.5, 0.24, 4.8, 0.5, 0.03)
	mast.rod(v3{-0.5, 5.4, 0}, v3{-3.9, 1.9, 0}, 0.018, 0.018, 5)
	mast.rod(v3{-0.5, 5.4, 0}, v3{4.3, 2.55, 0}, 0.018, 0.018, 5)
	lamps := k.part(small(rgb(0xc23c2a), 0.8))
	lamps.rod(v3{-0.48, 5.55, 0}, v3{-0.5, 5.8, 0}, 0.12, 0.12, 14)
	k.part(small(rgb(0xf1eddc), 0.8)).rod(v3{-0.44, 5.2, 0}, v3{-0.47, 5.45, 0}, 0.12, 0.12, 14)

	k.nextApart()
	st := k.part(small(rgb(0xd9d2ba), 0.4))
	for _, pts := range [][]v3{port, star} {
		var top []v3
		for i := 4; i < 9; i++ {
			p := pts[i]
			q := v3{p.X, p.Y + 0.5, p.Z * 0.94}
			st.rod(p, q, 0.025, 0.025, 6)
			top = append(top, q)
		}
		rail(st, top, 0.028)
	}
	ty := k.part(small(rubber, 0.1))
	for _, z := range []float64{-1, 1} {
		for _, x := range []float64{-2.95, -1.7, -0.45, 0.75} {
			at := v3{x - 0.25, 1.2, z * (1.56 - 0.03*x*x)}
			var prof [][2]float64
			for i := range 13 {
				s, c := math.Sincos(2 * math.Pi * float64(i) / 12)
				prof = append(prof, [2]float64{0.1 * s, 0.25 + 0.1*c})
			}
			ty.lathe(at, v3{0, 0, z}, prof, 22)
			ty.rod(at.add(v3{0, 0.3, 0}), v3{at.X, 1.75, at.Z}, 0.018, 0.018, 5)
		}
	}
	k.part(small(rgb(0xd8702f), 0.3)).lathe(v3{-2.03, 2.1, 0.5}, v3{-1, 0, 0}, ringProfile(0.22, 0.07), 20)
}

func ringProfile(big, r float64) [][2]float64 {
	var prof [][2]float64
	for i := range 13 {
		s, c := math.Sincos(2 * math.Pi * float64(i) / 12)
		prof = append(prof, [2]float64{r * s, big + r*c})
	}
	return prof
}

// woodHook gives a piece the grain of oiled wood.
func woodHook(r *renderer, s *spot) {
	g := r.ns.at(s.u*6+30, s.v*70+s.u*4)
	s.c = s.c.mul(0.72 + 0.5*g)
	_, dv := r.ns.slope(s.u*6, s.v*70)
	s.bump(0, dv*0.4)
}
