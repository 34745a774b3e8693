// The mail seaplane, 1/72: high wing, twin floats, one radial engine.

package scene

import "math"

// wing lofts an aerofoil between stations along z: {z, leading edge x, chord,
// y, thickness}.
func wing(m *piece, stations [][5]float64) {
	var rows [][]v3
	for _, s := range stations {
		var ring []v3
		const n = 22
		for i := range n {
			a := 2 * math.Pi * float64(i) / n
			t := (1 + math.Cos(a)) / 2 // 1 trailing .. 0 leading and back
			th := s[4] * 2.6 * math.Sqrt(t) * (1 - t)
			y := s[3] + 0.05*s[2]*math.Sin(math.Pi*t)*0.6
			if i <= n/2 {
				y += th * 0.62
			} else {
				y -= th * 0.38
			}
			ring = append(ring, v3{s[1] - s[2]*t, y, s[0]})
		}
		rows = append(rows, ring)
	}
	m.loft(rows, true)
	m.flat(rows[0]...)
	m.flat(rows[len(rows)-1]...)
}

func hull(m *piece, st [][6]float64, n int) {
	var rows [][]v3
	for _, s := range st {
		rows = append(rows, oval(s[0], s[1], s[2], s[3], s[4], s[5], n))
	}
	m.loft(rows, true)
	m.flat(rows[0]...)
	m.flat(rows[len(rows)-1]...)
}

func seaplane(k *kit) {
	cream, navy, orange := rgb(0xe6dfc6), rgb(0x2c4a66), rgb(0xc8662c)
	k.main, k.plinth = cream, "concrete"
	low := &v3{0, -1, 0}

	fus := k.part(surface{color: cream, second: navy, edge: low, edgeAt: -2.62, panels: 0.95, decals: []decal{
		{axis: 2, side: -1, u: -1.75, v: 2.96, w: 1.75, h: 0.44, text: "S-MAIL", color: rgb(0x23313f)},
		{axis: 2, side: 1, u: -1.75, v: 2.96, w: 1.75, h: 0.44, text: "S-MAIL", color: rgb(0x23313f)},
	}})
	hull(fus, [][6]float64{
		{-5.2, 2.98, 0.06, 0.12, 0.10, 0.2}, {-4.6, 2.95, 0.16, 0.24, 0.2, 0.3}, {-3.4, 2.86, 0.34, 0.4, 0.38, 0.35},
		{-2.0, 2.78, 0.52, 0.56, 0.54, 0.4}, {-0.8, 2.74, 0.66, 0.68, 0.64, 0.45}, {0.4, 2.74, 0.72, 0.78, 0.68, 0.45},
		{1.4, 2.74, 0.73, 0.76, 0.68, 0.4}, {2.2, 2.72, 0.72, 0.70, 0.68, 0.25}, {2.75, 2.72, 0.70, 0.70, 0.70, 0},
	}, 36)
	win := k.part(glassOf())
	for _, z := range []float64{-1, 1} {
		for i, x := range []float64{-0.55, -0.05, 0.45} {
			win.boxAt(v3{x, 3.08, z * (0.635 + 0.02*float64(i))}, v3{0.17, 0.15, 0.02}, frame2(0), 0.01)
		}
	}
	win.boxAt(v3{1.72, 3.36, 0}, v3{0.26, 0.02, 0.42}, frame{v3{0.75, -0.66, 0}, v3{0.66, 0.75, 0}, v3{0, 0, 1}}, 0.01)
	for _, z := range []float64{-0.66, 0.66} {
		win.box(1.0, 3.1, z-0.03, 1.6, 3.42, z+0.03, 0.01)
	}

	k.next()
	tail := k.part(surface{color: cream, second: orange, edge: &v3{0, 1, 0}, edgeAt: 3.9, panels: 0.8, decals: []decal{
		{axis: 2, side: -1, u: -4.72, v: 3.66, w: 0.4, h: 0.34, text: "3", color: rgb(0x23313f)},
		{axis: 2, side: 1, u: -4.72, v: 3.66, w: 0.4, h: 0.34, text: "3", color: rgb(0x23313f)},
	}})
	var rows [][]v3
	for _, s := range [][4]float64{{3.0, -3.6, 1.65, 0.09}, {3.5, -4.0, 1.38, 0.08}, {4.1, -4.3, 1.12, 0.06},
		{4.4, -4.55, 0.8, 0.03}} {
		var ring []v3
		for i := range 18 {
			a := 2 * math.Pi * float64(i) / 18
			ring = append(ring, v3{s[1] - s[2]*(1+math.Cos(a))/2, s[0], s[3] * math.Sin(a)})
		}
		rows = append(rows, ring)
	}
	tail.loft(rows, true)
	tail.flat(rows[3]...)
	plane := k.part(surface{color: cream, panels: 0.8})
	wing(plane, [][5]float64{{-2.0, -4.4, 0.7, 3.02, 0.04}, {-1.8, -4.25, 0.95, 3.02, 0.06},
		{0, -3.95, 1.3, 3.02, 0.09}, {1.8, -4.25, 0.95, 3.02, 0.06}, {2.0, -4.4, 0.7, 3.02, 0.04}})

	k.next()
	ring := decal{axis: 1, side: 1, v: -3.9, u: 0.55, w: 1.0, h: 1.0, color: orange, core: cream}
	other := ring
	other.v = 3.9
	main := k.part(surface{color: cream, panels: 1.15, decals: []decal{ring, other}})
	wing(main, [][5]float64{{-5.9, 1.05, 0.95, 3.78, 0.10}, {-5.6, 1.3, 1.45, 3.76, 0.16}, {-4.6, 1.42, 1.7, 3.72, 0.2},
		{0, 1.5, 1.85, 3.56, 0.24}, {4.6, 1.42, 1.7, 3.72, 0.2}, {5.6, 1.3, 1.45, 3.76, 0.16},
		{5.9, 1.05, 0.95, 3.78, 0.10}})
	for _, z := range []float64{-1, 1} {
		tip := k.part(surface{color: orange})
		wing(tip, [][5]float64{{z * 5.1, 1.392, 1.606, 3.742, 0.194}, {z * 5.6, 1.315, 1.475, 3.762, 0.17},
			{z * 5.92, 1.06, 0.97, 3.782, 0.11}})
	}

	k.next()
	cowl := k.part(surface{color: navy})
	cowl.lathe(v3{2.65, 2.72, 0}, v3{1, 0, 0}, [][2]float64{{0, 0.72}, {0.1, 0.8}, {0.75, 0.82}, {0.92, 0.74},
		{0.96, 0.62}, {0.9, 0.55}, {0.5, 0.52}}, 40)
	eng := k.part(small(rgb(0x55534e), 0.45))
	eng.lathe(v3{3.05, 2.72, 0}, v3{1, 0, 0}, [][2]float64{{0, 0.6}, {0.02, 0.2}, {0.4, 0.18}, {0.5, 0.1}, {0.5, 0}},
		20)
	for i := range 7 {
		s, c := math.Sincos(2 * math.Pi * float64(i) / 7)
		eng.rod(v3{3.3, 2.72 + 0.15*s, 0.15 * c}, v3{3.3, 2.72 + 0.55*s, 0.55 * c}, 0.12, 0.12, 10)
	}

	k.next()
	for _, z := range []float64{-1.55, 1.55} {
		fl := k.part(surface{color: navy, second: cream, edge: &v3{0, 1, 0}, edgeAt: 0.56, panels: 1.2})
		var rows [][]v3
		for _, s := range [][6]float64{
			{-3.3, 0.62, 0.06, 0.05, 0.06, 0}, {-3.0, 0.58, 0.2, 0.14, 0.14, 0}, {-1.6, 0.52, 0.36, 0.24, 0.30, 0},
			{0.1, 0.48, 0.44, 0.28, 0.42, 0},
			{0.12, 0.48, 0.44, 0.28, 0.48, 0}, {1.6, 0.50, 0.44, 0.28, 0.46, 0}, {2.8, 0.56, 0.36, 0.24, 0.38, 0},
			{3.5, 0.66, 0.2, 0.15, 0.2, 0}, {3.8, 0.74, 0.05, 0.06, 0.05, 0},
		} {
			r := oval(s[0], s[1], s[2], s[3], s[4], s[5], 26)
			for i := range r {
				r[i].Z += z
			}
			rows = append(rows, r)
		}
		fl.loft(rows, true)
		fl.flat(rows[0]...)
		fl.flat(rows[8]...)
	}

	st := k.part(surface{color: cream})
	for _, z := range []float64{-1, 1} {
		for _, x := range []float64{-0.9, 1.5} {
			st.rod(v3{x, 0.72, 1.55 * z}, v3{x + 0.1, 2.3, 0.5 * z}, 0.07, 0.07, 10)
		}
		st.rod(v3{1.5, 0.72, 1.5 * z}, v3{-0.8, 2.2, 0.5 * z}, 0.045, 0.045, 8)
		st.rod(v3{0.9, 2.35, 0.62 * z}, v3{0.85, 3.66, 3.1 * z}, 0.06, 0.06, 10)
		st.rod(v3{0.1, 2.35, 0.62 * z}, v3{0.0, 3.66, 3.1 * z}, 0.05, 0.05, 10)
	}
	for _, x := range []float64{-0.9, 1.5} {
		st.rod(v3{x, 0.7, -1.55}, v3{x, 0.7, 1.55}, 0.055, 0.055, 8)
	}

	k.next()
	prop := k.part(small(rgb(0x7b5230), 0.5))
	for _, sg := range []float64{-1, 1} {
		var rows [][]v3
		for i := range 9 {
			t := float64(i) / 8
			w, th := 0.17*math.Sin(math.Pi*min(1, 0.18+0.82*t*0.98))+0.03, 0.05*(1-0.7*t)
			tw := lerp(1.0, 0.3, t)
			s, c := math.Sincos(tw)
			r := 0.1 + 1.12*t
			var ring []v3
			for j := range 12 {
				sj, cj := math.Sincos(2 * math.Pi * float64(j) / 12)
				a, b := w*cj, th*sj
				ring = append(ring, v3{3.82 + a*s + b*c, 2.72 + sg*r*0.94, sg*r*0.34 + (a*c - b*s)})
			}
			rows = append(rows, ring)
		}
		prop.loft(rows, true)
	}
	k.part(small(steel, 0.8)).lathe(v3{3.6, 2.72, 0}, v3{1, 0, 0},
		[][2]float64{{0, 0.16}, {0.2, 0.16}, {0.34, 0.1}, {0.42, 0.0}}, 20)
}
