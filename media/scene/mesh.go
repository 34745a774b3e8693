// Building solids out of triangles: bevelled boxes, rods, turned and lofted shapes.

package scene

import "math"

// tri is one triangle with a normal at every corner.
type tri struct{ p, n [3]v3 }

// mesh collects triangles in a piece's own coordinates: x forward, y up, z to
// the model's right.
type mesh struct{ t []tri }

func (m *mesh) face(a, b, c v3, na, nb, nc v3) {
	m.t = append(m.t, tri{[3]v3{a, b, c}, [3]v3{na, nb, nc}})
}

func (m *mesh) quad(a, b, c, d, na, nb, nc, nd v3) {
	m.face(a, b, c, na, nb, nc)
	m.face(a, c, d, na, nc, nd)
}

func (m *mesh) flat(pts ...v3) {
	n := pts[1].sub(pts[0]).cross(pts[2].sub(pts[0])).unit()
	for i := 2; i < len(pts); i++ {
		m.face(pts[0], pts[i-1], pts[i], n, n, n)
	}
}

// box adds a box whose edges are broken by r. Molded parts never have knife
// edges, and the broken edge is what catches the lamp.
func (m *mesh) box(x0, y0, z0, x1, y1, z1, r float64) {
	c := v3{(x0 + x1) / 2, (y0 + y1) / 2, (z0 + z1) / 2}
	h := v3{math.Abs(x1-x0) / 2, math.Abs(y1-y0) / 2, math.Abs(z1-z0) / 2}
	m.boxAt(c, h, upright, r)
}

// boxAt adds a box with half sizes h, turned by f round its centre.
func (m *mesh) boxAt(c, h v3, f frame, r float64) {
	r = min(r, 0.45*min(h.X, min(h.Y, h.Z)))
	// vertex of the corner with signs s, lying on the face of axis k
	vert := func(s [3]float64, k int) (v3, v3) {
		e := [3]float64{h.X - r, h.Y - r, h.Z - r}
		full := [3]float64{h.X, h.Y, h.Z}
		e[k] = full[k]
		n := [3]float64{}
		n[k] = s[k]
		return c.add(f.out(v3{s[0] * e[0], s[1] * e[1], s[2] * e[2]})), f.out(v3{n[0], n[1], n[2]})
	}
	sg := [2]float64{-1, 1}
	for k := range 3 {
		i, j := (k+1)%3, (k+2)%3
		for _, s := range sg {
			var p [4]v3
			var n v3
			for q, w := range [4][2]float64{{-1, -1}, {1, -1}, {1, 1}, {-1, 1}} {
				var at [3]float64
				at[k], at[i], at[j] = s, w[0], w[1]
				p[q], n = vert(at, k)
			}
			m.quad(p[0], p[1], p[2], p[3], n, n, n, n)
			if r <= 0 {
				continue
			}
			for _, t := range sg { // the edge strips along axis j, between faces k and i
				var lo, hi [3]float64
				lo[k], lo[i], lo[j] = s, t, -1
				hi[k], hi[i], hi[j] = s, t, 1
				a, na := vert(lo, k)
				b, nb := vert(hi, k)
				d, nd := vert(hi, i)
				e, ne := vert(lo, i)
				m.quad(a, b, d, e, na, nb, nd, ne)
			}
		}
	}
	if r > 0 {
		for q := range 8 {
			s := [3]float64{sg[q&1], sg[q>>1&1], sg[q>>2&1]}
			a, na := vert(s, 0)
			b, nb := vert(s, 1)
			d, nd := vert(s, 2)
			m.face(a, b, d, na, nb, nd)
		}
	}
}

// rod adds a round bar from a to b with closed ends.
func (m *mesh) rod(a, b v3, ra, rb float64, sides int) {
	l := b.sub(a).len()
	m.lathe(a, b.sub(a), [][2]float64{{0, 0}, {0, ra}, {l, rb}, {l, 0}}, sides)
}

// ball adds a sphere.
func (m *mesh) ball(c v3, r float64, sides int) {
	var prof [][2]float64
	k := sides / 2
	for i := range k + 1 {
		s, co := math.Sincos(math.Pi * float64(i) / float64(k))
		prof = append(prof, [2]float64{-r * co, r * s})
	}
	m.lathe(c, v3{0, 1, 0}, prof, sides)
}

// lathe turns a profile of {distance along dir, radius} round the axis that
// starts at a. Profile corners sharper than some 50 degrees stay edges.
func (m *mesh) lathe(a, dir v3, prof [][2]float64, sides int) {
	d := dir.unit()
	u := d.cross(v3{0, 1, 0})
	if u.len() < 0.1 {
		u = d.cross(v3{1, 0, 0})
	}
	u = u.unit()
	w := d.cross(u)
	seg := func(i int) (float64, float64, bool) {
		if i < 0 || i+1 >= len(prof) {
			return 0, 0, false
		}
		dx, dr := prof[i+1][0]-prof[i][0], prof[i+1][1]-prof[i][1]
		l := math.Hypot(dx, dr)
		if l == 0 {
			return 0, 0, false
		}
		return -dr / l, dx / l, true // normal: along, outward
	}
	blend := func(i, j int) (float64, float64) {
		na, nr, _ := seg(i)
		oa, or, ok := seg(j)
		if ok && na*oa+nr*or > 0.64 {
			na, nr = na+oa, nr+or
		}
		return na, nr
	}
	for i := 0; i+1 < len(prof); i++ {
		if _, _, ok := seg(i); !ok {
			continue
		}
		sa, sr := blend(i, i-1)
		ea, er := blend(i, i+1)
		for k := range sides {
			s0, c0 := math.Sincos(2 * math.Pi * float64(k) / float64(sides))
			s1, c1 := math.Sincos(2 * math.Pi * float64(k+1) / float64(sides))
			r0, r1 := u.mul(c0).add(w.mul(s0)), u.mul(c1).add(w.mul(s1))
			pt := func(j int, r v3) v3 { return a.add(d.mul(prof[j][0])).add(r.mul(prof[j][1])) }
			nn := func(al, ra float64, r v3) v3 { return d.mul(al).add(r.mul(ra)).unit() }
			m.quad(pt(i, r0), pt(i, r1), pt(i+1, r1), pt(i+1, r0),
				nn(sa, sr, r0), nn(sa, sr, r1), nn(ea, er, r1), nn(ea, er, r0))
		}
	}
}

// loft skins rows of equally many points with smooth normals. Closed rows join
// their last point to their first.
func (m *mesh) loft(rows [][]v3, closed bool) {
	h, w := len(rows), len(rows[0])
	at := func(i, j int) v3 {
		i = min(max(i, 0), h-1)
		if closed {
			j = (j + w) % w
		} else {
			j = min(max(j, 0), w-1)
		}
		return rows[i][j]
	}
	norm := func(i, j int) v3 {
		return at(i+1, j).sub(at(i-1, j)).cross(at(i, j+1).sub(at(i, j-1))).unit()
	}
	n := w - 1
	if closed {
		n = w
	}
	for i := range h - 1 {
		for j := range n {
			k := j + 1
			if closed {
				k %= w
			}
			m.quad(at(i, j), at(i, k), at(i+1, k), at(i+1, j),
				norm(i, j), norm(i, k), norm(i+1, k), norm(i+1, j))
		}
	}
}

// oval gives n points of a ring round the x axis at x, with half width w,
// half height up above the centre line y and down below it; square > 0 makes
// the ring boxier.
func oval(x, y, w, up, down, square float64, n int) []v3 {
	ring := make([]v3, n)
	for i := range ring {
		s, c := math.Sincos(2 * math.Pi * float64(i) / float64(n))
		e := 1 / (1 + square)
		sy := math.Copysign(math.Pow(math.Abs(s), e), s)
		cz := math.Copysign(math.Pow(math.Abs(c), e), c)
		h := up
		if sy < 0 {
			h = down
		}
		ring[i] = v3{x, y + h*sy, w * cz}
	}
	return ring
}
