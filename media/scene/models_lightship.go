// The lightship, 1/350, a red hull round a lantern tower, and the tender of its own kit.

package scene

func lightship(k *kit) {
	red, white, buff := rgb(0xb3301f), rgb(0xf0ece0), rgb(0xd6b27a)
	k.main, k.plinth = red, "sea"
	h := k.part(surface{color: red, second: rgb(0x3a2522), edge: &v3{0, -1, 0}, edgeAt: -0.34, panels: 0.9,
		decals: []decal{
			{axis: 2, side: -1, u: -0.1, v: 0.98, w: 4.3, h: 0.58, text: "HARREN ROAD", color: white},
			{axis: 2, side: 1, u: -0.1, v: 0.98, w: 4.3, h: 0.58, text: "HARREN ROAD", color: white},
		}})
	port, star := boatHull(h, []boatSection{
		{-5.0, 0.35, 1.66, 0.7, 0.5}, {-4.6, 0.72, 1.58, 0.3, 0.7}, {-3.6, 0.98, 1.48, 0.04, 0.8},
		{-1.8, 1.08, 1.42, 0, 0.84}, {0, 1.1, 1.42, 0, 0.84},
		{1.8, 1.06, 1.46, 0, 0.8}, {3.2, 0.88, 1.58, 0, 0.6}, {4.2, 0.54, 1.76, 0.06, 0.36},
		{4.8, 0.22, 1.9, 0.3, 0.12}, {5.1, 0.02, 1.98, 0.9, 0.05},
	})

	k.next()
	dk := k.part(surface{color: rgb(0x9c7a52), small: true, sheen: 0.08})
	deckOn(dk, port, star, 0.12)
	cap := k.part(surface{color: white, small: true, sheen: 0.2})
	rail(cap, port, 0.04)
	rail(cap, star, 0.04)

	k.next()
	ho := k.part(surface{color: white, second: buff, edge: &v3{0, 1, 0}, edgeAt: 2.12, panels: 0.8})
	ho.box(-3.4, 1.3, -0.62, -1.4, 1.98, 0.62, 0.05)
	ho.box(1.3, 1.3, -0.62, 3.0, 2.02, 0.62, 0.05)
	ho.box(1.6, 2.0, -0.5, 2.7, 2.6, 0.5, 0.05)
	ho.box(1.5, 2.58, -0.58, 2.85, 2.68, 0.58, 0.03)
	ho.box(-3.5, 1.96, -0.7, -1.3, 2.04, 0.7, 0.03)
	gl := k.part(glassOf())
	for _, z := range []float64{-0.51, 0.51} {
		for _, x := range []float64{1.85, 2.15, 2.45} {
			gl.box(x-0.11, 2.2, z-0.01, x+0.11, 2.46, z+0.01, 0)
		}
	}
	for _, z := range []float64{-0.63, 0.63} {
		for _, x := range []float64{-3.1, -2.7, -2.3, -1.9} {
			gl.box(x-0.09, 1.6, z-0.01, x+0.09, 1.78, z+0.01, 0)
		}
	}

	k.next()
	tw := k.part(surface{color: white, second: red, edge: &v3{0, 1, 0}, edgeAt: 3.55})
	tw.lathe(v3{0, 1.3, 0}, v3{0, 1, 0}, [][2]float64{{0, 0.62}, {0.5, 0.58}, {0.55, 0.36}, {2.9, 0.27}, {2.95, 0.5},
		{3.03, 0.5}, {3.03, 0.3}}, 28)
	for i := range 4 { // stays of the tower
		x, z := 0.55*float64(1-2*(i&1)), 0.55*float64(1-2*(i>>1))
		tw.rod(v3{x * 1.3, 1.32, z * 1.3}, v3{x * 0.45, 4.2, z * 0.45}, 0.045, 0.04, 8)
	}
	k.next()
	lan := k.part(surface{color: pane, glass: true, sheen: 1, tight: 90})
	lan.lathe(v3{0, 4.33, 0}, v3{0, 1, 0}, [][2]float64{{0, 0.3}, {0.52, 0.3}}, 20)
	lamp := k.part(small(rgb(0xf4d47a), 0.9))
	lamp.ball(v3{0, 4.58, 0}, 0.305, 16)
	dome := k.part(surface{color: red, small: true, sheen: 0.4})
	dome.lathe(v3{0, 4.85, 0}, v3{0, 1, 0}, [][2]float64{{0, 0}, {0, 0.37}, {0.05, 0.37}, {0.2, 0.28}, {0.32, 0.1},
		{0.36, 0.05}, {0.6, 0.04}, {0.6, 0}}, 24)
	gr := k.part(small(white, 0.3))
	gr.lathe(v3{0, 4.58, 0}, v3{0, 1, 0}, ringProfile(0.5, 0.018), 26)
	for i := range 8 {
		f := turned(float64(i) * 0.785)
		p := f.x.mul(0.49)
		gr.rod(v3{p.X, 4.3, p.Z}, v3{p.X, 4.58, p.Z}, 0.016, 0.016, 5)
		q := f.x.mul(0.31)
		gr.rod(v3{q.X, 4.33, q.Z}, v3{q.X, 4.86, q.Z}, 0.018, 0.018, 5)
	}

	k.next()
	ma := k.part(small(buff, 0.2))
	ma.rod(v3{-3.9, 1.35, 0}, v3{-3.95, 4.3, 0}, 0.07, 0.035, 10)
	ma.rod(v3{3.7, 1.5, 0}, v3{3.75, 4.6, 0}, 0.07, 0.035, 10)
	ma.rod(v3{-3.9, 2.0, 0}, v3{-2.4, 3.0, 0}, 0.04, 0.03, 8)
	ball := k.part(small(rgb(0x26292b), 0.2))
	ball.ball(v3{3.72, 4.0, 0}, 0.2, 14)
	rg := k.part(small(rgb(0x3a3530), 0.1))
	rg.rod(v3{-3.95, 4.2, 0}, v3{3.75, 4.5, 0}, 0.012, 0.012, 4)
	rg.rod(v3{3.75, 4.5, 0}, v3{4.95, 1.95, 0}, 0.012, 0.012, 4)
	rg.rod(v3{-3.95, 4.2, 0}, v3{-4.9, 1.7, 0}, 0.012, 0.012, 4)
	for _, z := range []float64{-0.75, 0.75} {
		rg.rod(v3{3.75, 4.3, 0}, v3{3.2, 1.6, z}, 0.012, 0.012, 4)
		rg.rod(v3{-3.95, 4.0, 0}, v3{-3.5, 1.5, z}, 0.012, 0.012, 4)
	}

	k.nextApart()
	bo := k.part(small(white, 0.25))
	for _, z := range []float64{-0.78, 0.78} {
		hull(bo, [][6]float64{{-1.15, 1.86, 0.02, 0.06, 0.05, 0}, {-0.95, 1.84, 0.13, 0.05, 0.14, 0},
			{-0.5, 1.82, 0.17, 0.03, 0.17, 0}, {-0.05, 1.84, 0.12, 0.05, 0.14, 0}, {0.12, 1.87, 0.02, 0.06, 0.05, 0}},
			14)
		b := &bo.t
		for i := len(*b) - 1; i >= 0 && i >= len(*b)-(4*14*2+2*12); i-- {
			for q := range 3 {
				(*b)[i].p[q].Z += z
			}
		}
		bo.rod(v3{-0.95, 1.3, z}, v3{-0.95, 2.15, z * 1.12}, 0.025, 0.025, 6)
		bo.rod(v3{-0.1, 1.3, z}, v3{-0.1, 2.15, z * 1.12}, 0.025, 0.025, 6)
	}
	vt := k.part(small(buff, 0.3))
	for _, p := range []v3{{-1.1, 1.3, 0.3}, {1.05, 1.35, -0.3}, {3.2, 1.45, 0.25}} {
		vt.rod(p, p.add(v3{0, 0.5, 0}), 0.06, 0.06, 10)
		vt.ball(p.add(v3{0.04, 0.54, 0}), 0.1, 10)
	}

}

// tender is the boat that brings the relief crew.
func tender(k *kit) {
	white, buff := rgb(0xf0ece0), rgb(0xd6b27a)
	k.main, k.plinth = rgb(0x2f4b5e), "sea"
	te := k.part(surface{color: rgb(0x2f4b5e), second: rgb(0x6b2b22), edge: &v3{0, -1, 0}, edgeAt: -0.24})
	tp, ts := boatHull(te, []boatSection{{-1.2, 0.28, 0.62, 0.2, 0.7}, {-0.7, 0.38, 0.58, 0.04, 0.75},
		{0.2, 0.4, 0.6, 0, 0.7}, {0.9, 0.26, 0.7, 0.04, 0.4}, {1.3, 0.02, 0.82, 0.3, 0.1}})
	k.next()
	dt := k.part(surface{color: rgb(0x9c7a52), small: true})
	deckOn(dt, tp, ts, 0.05)
	k.next()
	tc := k.part(surface{color: white})
	tc.box(-0.5, 0.5, -0.22, 0.3, 0.88, 0.22, 0.03)
	tc.box(-0.15, 0.86, -0.18, 0.25, 1.14, 0.18, 0.03)
	fu := k.part(small(buff, 0.3))
	fu.rod(v3{-0.32, 0.86, 0}, v3{-0.36, 1.3, 0}, 0.09, 0.08, 12)
	fu.rod(v3{0.75, 0.6, 0}, v3{0.75, 1.6, 0}, 0.025, 0.015, 6)
}
