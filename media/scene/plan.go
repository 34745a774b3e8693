// Planning: the instruction sheet, ticked off step by step, beside a pencil.

package scene

import "math"

// plan is the bench with the sheet of a kit. Its drawings are the outlines of
// the model's own sub-assemblies, seen from the side.
func (s *set) plan() {
	s.flatSide()
	s.fin = finish{skill: s.shot.Skill}
	k := newKit(s.shot.Model)
	const w, h = 5.2, 3.7
	ink := newDrawing(k)
	sheet := s.put(surface{own: true, sheen: 0.03, hook: func(r *renderer, sp *spot) {
		ink.paint(r, sp, w, h, s.shot.Step)
	}}, v3{}, turned(s.rnd.span(-0.05, 0.05)))
	// Folded twice on its way in the box, the paper does not lie quite flat.
	var rows [][]v3
	for j := range 25 {
		var row []v3
		for i := range 33 {
			x, z := lerp(-w, w, float64(i)/32), lerp(-h, h, float64(j)/24)
			y := 0.05 + 0.16*math.Exp(-math.Abs(x)*2.2) + 0.10*math.Exp(-math.Abs(z)*2.6) + 0.03*math.Sin(x*0.9+z)
			row = append(row, v3{x, y, z})
		}
		rows = append(rows, row)
	}
	sheet.loft(rows, false)
	s.fill, s.mid = [2]float64{0.80, 0.78}, [2]float64{0.48, 0.5}
	s.look = func(s *set) {
		u := s.size / 10
		p := s.loosely(surface{color: rgb(0xc2842c), sheen: 0.5, tight: 40}, s.on(0.30, -0.40), 0.22)
		p.lathe(v3{-3.2 * u, .17 * u, 0}, v3{1, 0, 0}, [][2]float64{{0, 0}, {0, .17 * u}, {5.2 * u, .17 * u}}, 6)
		q := s.loosely(surface{color: rgb(0xd9b483), sheen: 0.05}, p.pos, 0.22)
		q.lathe(v3{2.0 * u, .17 * u, 0}, v3{1, 0, 0}, [][2]float64{{0, .17 * u}, {.6 * u, .05 * u}}, 12)
		g := s.loosely(surface{color: rgb(0x2c2c2e), sheen: 0.4}, p.pos, 0.22)
		g.lathe(v3{2.6 * u, .17 * u, 0}, v3{1, 0, 0}, [][2]float64{{0, .05 * u}, {.18 * u, 0}}, 8)
		s.pot(s.on(0.56, 0.26), rgb(0xd8cba8), 0.7)
		s.knife(s.on(-0.6, 0.05), 1.5)
	}
}

// drawing is the line art of an instruction sheet: six boxes, each with the
// model as far as it has come.
type drawing struct {
	w, h  int
	boxes [6][]uint8
}

// newDrawing draws the side outlines of the growing model.
func newDrawing(k *kit) *drawing {
	const w, h = 240, 170
	d := &drawing{w: w, h: h}
	lo, hi := bounds(k.pieces)
	sc := min((w-30)/(hi.X-lo.X+0.4*(hi.Z-lo.Z)), (h-34)/(hi.Y-lo.Y+0.2*(hi.Z-lo.Z)))
	for b := range 6 {
		limit := int(math.Ceil(float64(k.group+1) * float64(b+1) / 6))
		id := make([]int32, w*h)
		depth := make([]float32, w*h)
		for i := range depth {
			depth[i] = nothing
		}
		before := make([]float32, w*h)
		for n, pc := range k.pieces {
			if pc.group >= limit {
				continue
			}
			for i := range pc.t {
				var x, y, z [3]float32
				for q := range 3 {
					p := pc.pos.add(pc.turn.out(pc.t[i].p[q]))
					x[q] = float32(15 + (p.X-lo.X-0.4*(p.Z-lo.Z)+0.4*(hi.Z-lo.Z))*sc)
					y[q] = float32(h - 14 - (p.Y-lo.Y-0.2*(p.Z-hi.Z))*sc)
					z[q] = float32(-p.Z + 0.2*p.Y)
				}
				y0, y1 := max(0, int(min(y[0], y[1], y[2]))), min(h-1, int(max(y[0], y[1], y[2])))
				if y0 > y1 {
					continue
				}
				copy(before[y0*w:(y1+1)*w], depth[y0*w:(y1+1)*w])
				height(depth, w, x, y, z)
				for q := y0 * w; q < (y1+1)*w; q++ {
					if depth[q] != before[q] {
						id[q] = int32(n + 1)
					}
				}
			}
		}
		out := make([]uint8, w*h)
		for y := 1; y < h-1; y++ {
			for x := 1; x < w-1; x++ {
				i := y*w + x
				if id[i] != id[i+1] || id[i] != id[i+w] || depth[i]-depth[i+1] > 0.35 || depth[i]-depth[i+w] > 0.35 {
					out[i] = 255
				} else if id[i] > 0 {
					out[i] = 26
				}
			}
		}
		d.boxes[b] = out
	}
	return d
}

// paint prints the sheet at s: w, h are its half sizes, t the share planned.
func (d *drawing) paint(r *renderer, s *spot, w, h, t float64) {
	n := r.ns.at(s.o.X*30, s.o.Z*30)
	c := rgb(0xece6d6).mul(0.97 + 0.05*n)
	x, z := (s.o.X+w)/(2*w), (s.o.Z+h)/(2*h)
	const top = 0.10
	ink := 0.0
	if z > top {
		bx, bz := x*3, (z-top)/(1-top)*2
		ix, iz := min(2, int(bx)), min(1, int(bz))
		fx, fz := bx-float64(ix), bz-float64(iz)
		if b := iz*3 + ix; b >= 0 {
			px, pz := (fx-0.06)/0.88, (fz-0.06)/0.88
			if px > 0 && pz > 0 && px < 1 && pz < 1 {
				ink = 0.9 * bilinearBytes(d.boxes[b], d.w, d.h, px*float64(d.w-2), pz*float64(d.h-2))
			}
			e := min(min(fx-0.03, 0.97-fx)*2*w/3, min(fz-0.03, 0.97-fz)*h)
			ink = max(ink, 0.75*smooth(0.03+s.fw, 0.03-s.fw, math.Abs(e)))
			l := letter(digits(b + 1))
			ink = max(ink, l.at((fx-0.06)/0.05, (fz-0.07)/0.11, 0.1))
			// Thought through: a pencil tick, and the box tinted for its color.
			if float64(b) < t*6-0.01 {
				if fx > 0.05 && fx < 0.95 && fz > 0.05 && fz < 0.95 {
					c = c.mix(rgb(0xdca24a), 0.20*smooth(0.35, 0.6, r.ns.at(s.o.X*40+s.o.Z*38, s.o.Z*6)))
				}
				u, v := (fx-0.84)/0.1, (fz-0.16)/0.1
				tick := min(segment(u, v, -0.8, 0, -0.2, 0.7), segment(u, v, -0.2, 0.7, 0.9, -1.0))
				if k := smooth(0.16, 0.08, tick); k > 0 {
					c = c.mix(rgb(0x9c3a28), 0.85*k)
				}
			}
		}
	} else if z > 0.03 {
		// A heading of small print.
		line := math.Floor((z - 0.03) / 0.018)
		if (z-0.03)/0.018-line < 0.55 && x > 0.02 && x < 0.5-0.1*hashUnit(int(line), 4) &&
			hashUnit(int(x*90), int(line)) > 0.22 {
			ink = 0.6
		}
	}
	c = c.mix(rgb(0x2c3038), ink*0.92)
	fold := min(math.Abs(s.o.X), math.Abs(s.o.Z))
	c = c.mul(1 - 0.10*smooth(0.05, 0.0, fold))
	s.c, s.sheen, s.tight = c, 0.03, 8
}

func bilinearBytes(b []uint8, w, h int, u, v float64) float64 {
	x, y := int(u), int(v)
	if x < 0 || y < 0 || x+1 >= w || y+1 >= h {
		return 0
	}
	tu, tv := u-float64(x), v-float64(y)
	i := y*w + x
	a := lerp(float64(b[i]), float64(b[i+1]), tu)
	c := lerp(float64(b[i+w]), float64(b[i+w+1]), tu)
	return lerp(a, c, tv) / 255
}

// segment is the distance from (x, y) to the stroke from (a, b) to (c, d).
func segment(x, y, a, b, c, d float64) float64 {
	dx, dy := c-a, d-b
	t := clamp01(((x-a)*dx + (y-b)*dy) / (dx*dx + dy*dy))
	return math.Hypot(x-a-t*dx, y-b-t*dy)
}
