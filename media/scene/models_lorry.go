// The field-kitchen lorry, 1/35: bonneted cab, kitchen body with chimney and hatch.

package scene

import "math"

var (
	rubber   = rgb(0x2b2b2c)
	steel    = rgb(0x6d7072)
	pane     = rgb(0x39464c)
	brass    = rgb(0xb08d45)
	darkHole = rgb(0x1c1b1a)
)

func glassOf() surface { return surface{color: pane, glass: true, sheen: 1.0, tight: 120} }

func small(c v3, sheen float64) surface { return surface{color: c, small: true, sheen: sheen} }

// wheel adds a tyre and its disc, standing at c across the z axis, the outer
// side towards the sign of out.
func (k *kit) wheel(c v3, r, w, out float64) {
	d := v3{0, 0, out}
	from := c.sub(d.mul(w / 2))
	k.part(small(rubber, 0.08)).lathe(from, d, [][2]float64{
		{0, 0.55 * r}, {0.02, 0.82 * r}, {0.12 * w, 0.95 * r}, {0.25 * w, r}, {0.75 * w, r}, {0.88 * w, 0.95 * r},
		{w, 0.82 * r}, {w, 0.62 * r}, {0.9 * w, 0.58 * r},
	}, 36)
	rim := k.part(surface{color: k.main})
	rim.lathe(from, d, [][2]float64{{0.1 * w, 0}, {0.1 * w, 0.6 * r}}, 28)
	rim.lathe(from, d, [][2]float64{{0.95 * w, 0.62 * r}, {0.72 * w, 0.52 * r}, {0.72 * w, 0.3 * r}, {w, 0.2 * r},
		{w * 1.05, 0.14 * r}, {w * 1.05, 0}}, 28)
	for i := range 6 {
		s, co := math.Sincos(float64(i) * math.Pi / 3)
		p := from.add(v3{co * 0.38 * r, s * 0.38 * r, 0})
		rim.rod(p.add(d.mul(0.7*w)), p.add(d.mul(0.79*w)), 0.05*r, 0.045*r, 6)
	}
}

// mudguard adds a bent plate over a wheel.
func mudguard(m *piece, cx, cy, r, z0, z1, from, to float64) {
	var rows [][]v3
	for i := range 13 {
		s, c := math.Sincos(lerp(from, to, float64(i)/12))
		x, y := cx+r*c, cy+r*s
		x2, y2 := cx+(r-0.06)*c, cy+(r-0.06)*s
		rows = append(rows, []v3{{x2, y2, z0}, {x, y, z0}, {x, y, z1}, {x2, y2, z1}})
	}
	for j := range 3 {
		var strip [][]v3
		for _, w := range rows {
			strip = append(strip, []v3{w[j], w[j+1]})
		}
		m.loft(strip, false)
	}
}

func lorry(k *kit) {
	sage, sand := rgb(0x667250), rgb(0xbfa878)
	k.main, k.plinth = sage, "earth"
	high := &v3{0, 1, 0}

	frame := k.part(surface{color: rgb(0x3c3e38)})
	for _, z := range []float64{-0.5, 0.5} {
		frame.box(-4.5, 0.82, z-0.09, 4.3, 1.06, z+0.09, 0.03)
	}
	for _, x := range []float64{-4.2, -2.2, 0.4, 2.2, 4.1} {
		frame.box(x-0.08, 0.84, -0.5, x+0.08, 1.02, 0.5, 0.02)
	}
	for _, x := range []float64{-2.6, 2.9} {
		frame.rod(v3{x, 0.66, -1.2}, v3{x, 0.66, 1.2}, 0.1, 0.1, 12)
		frame.ball(v3{x, 0.66, 0}, 0.26, 14)
		for _, z := range []float64{-0.62, 0.62} {
			frame.box(x-0.7, 0.72, z-0.07, x+0.7, 0.82, z+0.07, 0.03)
		}
	}
	frame.rod(v3{-2.6, 0.68, 0}, v3{2.9, 0.72, 0}, 0.06, 0.06, 8)
	frame.rod(v3{-0.2, 0.62, -1.05}, v3{1.0, 0.62, -1.05}, 0.24, 0.24, 18)
	frame.box(4.3, 0.78, -1.15, 4.5, 1.02, 1.15, 0.04)

	k.next()
	k.wheel(v3{2.9, 0.66, -1.18}, 0.66, 0.36, -1)
	k.wheel(v3{2.9, 0.66, 1.18}, 0.66, 0.36, 1)
	k.next()
	for _, z := range []float64{-1, 1} {
		k.wheel(v3{-2.6, 0.66, 0.82 * z}, 0.66, 0.32, z)
		k.wheel(v3{-2.6, 0.66, 1.2 * z}, 0.66, 0.34, z)
	}

	k.next()
	hood := k.part(surface{color: sage})
	var rows [][]v3
	for i, x := range []float64{2.3, 3.0, 3.7, 4.2} {
		rows = append(rows, oval(x, 1.55, 0.78-0.05*float64(i), 0.62-0.05*float64(i), 0.55, 0.9, 28))
	}
	hood.loft(rows, true)
	for _, z := range []float64{-0.76, 0.76} {
		for i := range 6 {
			hood.boxAt(v3{2.75 + 0.17*float64(i), 1.55, z * (1.0 - 0.03*float64(i)/2)}, v3{0.04, 0.2, 0.02}, upright,
				0.01)
		}
	}
	grille := k.part(small(steel, 0.35))
	grille.box(4.16, 1.0, -0.66, 4.32, 2.12, 0.66, 0.06)
	slats := k.part(small(darkHole, 0.1))
	for i := range 9 {
		z := -0.5 + 0.125*float64(i)
		slats.box(4.3, 1.1, z-0.03, 4.335, 1.98, z+0.03, 0.005)
	}
	guards := k.part(surface{color: sage})
	for _, z := range []float64{-1, 1} {
		a, b := 0.78*z, 1.42*z
		mudguard(guards, 2.9, 0.72, 0.92, min(a, b), max(a, b), 0.15, math.Pi*0.93)
		guards.box(1.0, 0.78, min(a, b), 2.05, 0.86, max(a, b), 0.02)
	}

	k.next()
	cab := k.part(surface{color: sage, second: sand, edge: high, edgeAt: 2.06})
	cab.box(0.95, 1.04, -1.25, 2.45, 2.1, 1.25, 0.07)
	for _, z := range []float64{-1.16, 1.16} {
		for _, x := range []float64{1.02, 2.36} {
			cab.box(x-0.07, 2.0, z-0.07, x+0.07, 3.0, z+0.07, 0.02)
		}
	}
	cab.box(2.3, 2.0, -0.05, 2.42, 3.0, 0.05, 0.02)
	cab.box(0.95, 2.0, -1.2, 1.05, 3.0, 1.2, 0.02)
	cab.box(0.85, 2.96, -1.3, 2.62, 3.12, 1.3, 0.09)
	cab.box(1.02, 1.15, -1.28, 1.9, 2.04, 1.28, 0.03) // doors stand proud
	handles := k.part(small(steel, 0.5))
	for _, z := range []float64{-1.3, 1.3} {
		handles.box(1.1, 1.82, z-0.03, 1.32, 1.87, z+0.03, 0.01)
	}
	windows := k.part(glassOf())
	windows.box(2.33, 2.1, -1.1, 2.37, 2.96, -0.04, 0)
	windows.box(2.33, 2.1, 0.04, 2.37, 2.96, 1.1, 0)
	for _, z := range []float64{-1.17, 1.17} {
		windows.box(1.08, 2.1, z-0.02, 2.3, 2.96, z+0.02, 0)
	}

	k.next()
	bed := k.part(surface{color: sage})
	bed.box(-4.6, 1.06, -1.4, 0.78, 1.26, 1.4, 0.03)
	mudguard(bed, -2.6, 0.72, 0.86, -1.42, -0.6, 0.1, math.Pi*0.97)
	mudguard(bed, -2.6, 0.72, 0.86, 0.6, 1.42, 0.1, math.Pi*0.97)
	bed.box(-1.5, 0.62, 0.75, 0.3, 1.05, 1.35, 0.05)
	bed.box(-4.2, 0.62, -1.35, -3.5, 1.05, -0.75, 0.05)

	k.next()
	body := k.part(surface{color: sage, second: sand, edge: high, edgeAt: 2.06, panels: 1.55, decals: []decal{
		{axis: 2, side: -1, u: -3.55, v: 1.66, w: 0.95, h: 0.5, text: "K 7", color: rgb(0xe9e4d2)},
		{axis: 2, side: 1, u: -3.55, v: 1.66, w: 0.95, h: 0.5, text: "K 7", color: rgb(0xe9e4d2)},
		{axis: 2, side: -1, u: 0.02, v: 1.66, w: 0.5, h: 0.5, color: rgb(0xb5482f), core: rgb(0xe9e4d2)},
		{axis: 2, side: 1, u: 0.02, v: 1.66, w: 0.5, h: 0.5, color: rgb(0xb5482f), core: rgb(0xe9e4d2)},
		{axis: 0, side: -1, u: 0.95, v: 1.6, w: 0.42, h: 0.26, text: "114", color: rgb(0xe9e4d2)},
	}})
	body.box(-4.45, 1.26, -1.32, 0.62, 3.3, 1.32, 0.06)
	for _, z := range []float64{-1.34, 1.34} {
		body.box(-4.48, 2.02, z-0.03, 0.65, 2.1, z+0.03, 0.01)
		for _, x := range []float64{-4.4, 0.56} {
			body.box(x-0.06, 1.28, z-0.025, x+0.06, 3.28, z+0.025, 0.01)
		}
	}
	hole := k.part(small(darkHole, 0.05))
	hole.box(-2.9, 2.22, -1.335, -0.9, 3.02, -1.3, 0)
	pots := k.part(small(steel, 0.6))
	pots.lathe(v3{-2.4, 2.16, -1.42}, v3{0, 1, 0},
		[][2]float64{{0, 0}, {0, 0.2}, {0.3, 0.22}, {0.3, 0.16}, {0.36, 0.04}, {0.4, 0}}, 20)
	pots.lathe(v3{-1.8, 2.16, -1.45}, v3{0, 1, 0}, [][2]float64{{0, 0}, {0, 0.14}, {0.22, 0.15}, {0.22, 0}}, 18)
	shelf := k.part(surface{color: sand})
	shelf.box(-3.0, 2.1, -1.75, -0.8, 2.16, -1.33, 0.02)
	win := k.part(glassOf())
	for _, x := range []float64{-3.6, -2.2, -0.8} {
		win.box(x-0.4, 2.35, 1.31, x+0.4, 2.95, 1.335, 0)
	}
	door := k.part(surface{color: sand})
	door.box(-4.5, 1.35, -0.5, -4.44, 3.1, 0.5, 0.02)
	k.part(glassOf()).box(-4.52, 2.3, -0.3, -4.49, 2.85, 0.3, 0)

	k.next()
	roof := k.part(surface{color: sand, panels: 1.3})
	rows = rows[:0]
	for _, x := range []float64{-4.6, 0.78} {
		var arc []v3
		for i := range 17 {
			s, c := math.Sincos(lerp(0.0, math.Pi, float64(i)/16))
			arc = append(arc, v3{x, 3.26 + 0.36*s, 1.44 * c})
		}
		rows = append(rows, arc)
	}
	roof.loft(rows, false)
	for _, r := range rows {
		roof.flat(r...)
	}
	roof.box(-4.6, 3.22, -1.44, 0.78, 3.28, 1.44, 0.02)
	stack := k.part(small(rgb(0x4a4744), 0.25))
	stack.lathe(v3{-3.5, 3.5, 0.45}, v3{0, 1, 0}, [][2]float64{{0, 0.3}, {0.1, 0.3}, {0.12, 0.19}, {1.0, 0.19},
		{1.0, 0.23}, {1.06, 0.23}, {1.06, 0.1}, {1.16, 0.1}, {1.16, 0.34}, {1.2, 0.34}, {1.34, 0.03}, {1.34, 0}}, 28)
	vents := k.part(surface{color: sand})
	for _, x := range []float64{-2.2, -0.6} {
		vents.lathe(v3{x, 3.52, 0}, v3{0, 1, 0}, [][2]float64{{0, 0.12}, {0.16, 0.12}, {0.16, 0.22}, {0.2, 0.23},
			{0.28, 0.08}, {0.28, 0}}, 20)
	}

	k.nextApart()
	flap := k.part(surface{color: sand})
	f := frame2(0.42)
	flap.boxAt(v3{-1.9, 3.3, -1.75}, v3{1.02, 0.03, 0.46}, f, 0.015)
	stays := k.part(small(steel, 0.4))
	for _, x := range []float64{-2.85, -0.95} {
		stays.rod(v3{x, 2.3, -1.34}, v3{x, 3.45, -2.1}, 0.025, 0.025, 6)
	}
	lights := k.part(small(rgb(0xd9d6c8), 0.9))
	for _, z := range []float64{-0.98, 0.98} {
		lights.lathe(v3{3.95, 1.72, z}, v3{1, 0, 0},
			[][2]float64{{0, 0}, {0.05, 0.14}, {0.2, 0.2}, {0.24, 0.2}, {0.26, 0.16}, {0.29, 0}}, 20)
	}
	ladder := k.part(small(steel, 0.3))
	for _, z := range []float64{-0.22, 0.22} {
		ladder.rod(v3{-4.62, 0.6, z}, v3{-4.56, 1.3, z}, 0.03, 0.03, 6)
	}
	for _, y := range []float64{0.65, 0.88, 1.1} {
		ladder.rod(v3{-4.6, y, -0.22}, v3{-4.6, y, 0.22}, 0.025, 0.025, 6)
	}
	k.part(small(rubber, 0.1)).lathe(v3{0.84, 1.95, 0}, v3{-1, 0, 0},
		[][2]float64{{-0.1, 0.3}, {-0.1, 0.6}, {0, 0.66}, {0.14, 0.66}, {0.2, 0.6}, {0.2, 0.3}}, 28)
}

// frame2 is a frame tipped by a round the x axis, its z side falling.
func frame2(a float64) frame {
	s, c := math.Sincos(a)
	return frame{v3{1, 0, 0}, v3{0, c, s}, v3{0, -s, c}}
}
