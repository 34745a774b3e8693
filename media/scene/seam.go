// Joins: mold lines and seams, and the close-up of the seam work.

package scene

import "math"

// join is a line round a piece where two halves of a mold, or of the part
// itself, met. It runs where the coordinate along axis equals at.
type join struct {
	axis   int // 1 = y, 2 = z
	at     float64
	ridge  float64 // raised mold line, 0..1
	gap    float64 // open seam
	putty  float64 // filler laid over it
	ghost  float64 // what still shows after sanding
	rough  float64 // sanding scratches
	spread float64 // half width of the worked band, units; 0 = 0.25
}

// draw shows the join at s.
func (j *join) draw(r *renderer, s *spot) {
	d := s.o.Z - j.at
	t := s.o.X
	if j.axis == 1 {
		d = s.o.Y - j.at
	}
	band := j.spread
	if band == 0 {
		band = 0.25
	}
	if math.Abs(d) > band*2.2 {
		return
	}
	tilt := func(k float64) { // a slope across the join, on whatever face we are
		if j.axis == 1 {
			s.n.Y += k
		} else {
			s.n.Z += k
		}
	}
	wob := (r.ns.at(t*26+11, s.o.Y*7) - 0.5)
	if j.ridge > 0 {
		w := max(0.032, s.fw)
		if x := (d + wob*0.02) / w; math.Abs(x) < 1.6 {
			k := j.ridge * smooth(1.6, 0.4, math.Abs(x))
			tilt(clampAbs(x) * 0.9 * k)
			s.c = s.c.mul(1 + 0.14*k)
		}
	}
	if j.putty > 0 {
		edge := band*(0.62+0.75*wob) + 0.22*band*(r.ns.at(t*90, d*90)-0.5)
		k := j.putty * smooth(edge+0.02, edge-0.02, math.Abs(d))
		n := r.ns.at(t*40+9, d*40)
		s.c = s.c.mix(rgb(0xb9c0a2).mul(0.85+0.3*n), 0.92*k)
		du, dv := r.ns.slope(t*34, d*60)
		s.bump(du*1.6*k, dv*1.6*k)
		tilt(d / band * 0.35 * k)
		s.sheen *= 1 - 0.7*k
	}
	if j.gap > 0 {
		w := max(0.028+0.03*wob, s.fw*0.7)
		k := j.gap * smooth(w*1.7, w*0.5, math.Abs(d))
		s.c = s.c.mul(1 - 0.85*k)
		lipw := w * 3.2
		if a := math.Abs(d); a > w && a < lipw {
			tilt(-math.Copysign(0.30*j.gap*(1-(a-w)/(lipw-w)), d))
		}
		// Glue squeezed out here and there shines.
		if g := r.ns.at(t*15+70, 3); g > 0.62 {
			e := j.gap * smooth(0.62, 0.75, g) * smooth(0.14, 0.05, math.Abs(d)) * (1 - k)
			s.sheen, s.tight = lerp(s.sheen, 1, e), lerp(s.tight, 60, e)
			tilt(d * 4 * e)
		}
	}
	if j.ghost > 0 {
		w := 0.045
		x := (d + wob*0.03) / w
		k := j.ghost * smooth(1.5, 0.3, math.Abs(x)) * (0.45 + 0.55*smooth(0.3, 0.6, r.ns.at(t*9, 40)))
		s.c = s.c.mul(1 - 0.6*k)
		tilt(-clampAbs(x) * 0.7 * k)
		// Leftover filler in the low places, a shade lighter.
		p := j.ghost * smooth(band*0.9, band*0.4, math.Abs(d)+0.3*band*wob) * smooth(0.5, 0.66, r.ns.at(t*12+33, d*18))
		s.c = s.c.mix(rgb(0xb9c0a2), 0.55*p)
		tilt(d / band * 0.3 * j.ghost * smooth(band*1.7, band*0.6, math.Abs(d)))
	}
	if j.rough > 0 {
		k := j.rough * smooth(band*2, band*0.9, math.Abs(d)+0.4*band*wob)
		// Scratches run along the join and a little across it.
		sc := r.ns.at(t*3.5+d*9, d*150+t*4)
		_, dv := r.ns.slope(t*4+d*10, d*170+t*5)
		tilt(dv * 3.4 * k)
		du, dw := r.ns.slope(t*60+d*70+5, d*20-t*16)
		s.bump(du*1.1*k, dw*1.1*k)
		s.c = s.c.mul(1+0.14*k).mix(v3{0.62, 0.63, 0.63}, 0.25*k*smooth(0.6, 0.9, sc))
		s.sheen *= 1 - 0.7*k
	}
}

// seam is the close-up of two joined halves.
func (s *set) seam() {
	s.flatSide()
	s.el = min(s.el, 0.95)
	t, clumsy := s.shot.Step, 1-s.shot.Skill
	s.fin = finish{skill: s.shot.Skill}
	worked := smooth(0.2, 0.75, t)
	j := &join{
		axis: 2, gap: 1 - smooth(0.05, 0.3, t),
		putty: smooth(0.12, 0.3, t) * (1 - smooth(0.45, 0.9, t)),
		ghost: smooth(0.4, 0.9, t) * (0.06 + 0.94*clumsy),
		rough: worked * (0.05 + 0.95*clumsy) * (1 - 0.25*t), spread: 0.3,
	}
	p := s.put(surface{join: j}, v3{}, upright)
	var rows [][]v3
	add := func(x, w, up, down, sq float64) { rows = append(rows, oval(x, 0, w, up, down, sq, 64)) }
	switch s.shot.Model {
	case "seaplane": // the fuselage behind the wing
		for i := range 25 {
			u := float64(i) / 24
			k := math.Pow(math.Sin(math.Pi*lerp(0.06, 0.80, u)), 0.7)
			add(lerp(-4.6, 4.2, u), 1.15*k, 1.25*k, 1.2*k, 0.3)
		}
		p.surf.panels = 1.9
	case "pilot-boat": // the hull, keel up
		for i := range 25 {
			u := float64(i) / 24
			k := math.Pow(math.Sin(math.Pi*lerp(0.24, 0.97, u)), 0.55)
			add(lerp(-4.4, 4.6, u), 1.75*k, 1.15*k, 0.3, 0.05)
		}
	case "lightship":
		for i := range 25 {
			u := float64(i) / 24
			k := math.Pow(math.Sin(math.Pi*lerp(0.12, 0.97, u)), 0.4)
			add(lerp(-4.8, 4.8, u), 1.25*k, 0.95*k, 0.3, 0.6)
		}
	default: // the boiler of the field kitchen
		for _, q := range [][2]float64{{-3.9, 0.02}, {-3.86, 0.7}, {-3.6, 1.08}, {-3.2, 1.24}, {-2.6, 1.28}, {0, 1.28},
			{2.6, 1.28}, {3.2, 1.24}, {3.6, 1.08}, {3.86, 0.7}, {3.9, 0.02}} {
			add(q[0], q[1], q[1], q[1], 0)
		}
		for _, x := range []float64{-2.2, 2.2} {
			p.lathe(v3{x - 0.09, 0, 0}, v3{1, 0, 0}, [][2]float64{{0, 1.26}, {0, 1.36}, {0.18, 1.36}, {0.18, 1.26}}, 48)
		}
		p.rod(v3{0.2, 1.1, 0.75}, v3{0.2, 1.55, 1.0}, 0.2, 0.16, 18)
	}
	p.loft(rows, true)
	p.flat(rows[0]...)
	p.flat(rows[len(rows)-1]...)
	lo, _ := bounds(s.pieces)
	// Rolled a little towards the viewer, so that the seam is in the middle.
	p.turn = frame2(0.35)
	p.pos.Y = -lo.Y
	s.fill, s.mid = [2]float64{0.86, 0.74}, [2]float64{0.5, 0.47}
	s.look = func(s *set) {
		s.sanding(s.on(0.30, -0.28), 0.22)
		if t > 0.2 {
			s.dustAbout(int(90 * t))
		} else {
			s.glue(s.on(-0.42, 0.3))
		}
	}
}
