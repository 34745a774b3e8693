// What a surface looks like: color, sheen, unevenness, before the lamp falls on it.

package scene

import "math"

// surface describes a piece. Colors are linear light.
type surface struct {
	color  v3  // its own color; of a painted piece, the main paint
	second v3  // paint beyond the masked edge
	edge   *v3 // where the second color begins: dot(edge, o) > edgeAt
	edgeAt float64
	own    bool    // keeps its color through all stages (tools, paper, water)
	glass  bool    // clear part
	small  bool    // painted in the detail stage, not with the main colors
	sheen  float64 // strength of the highlight
	tight  float64 // sharpness of the highlight
	panels float64 // spacing of engraved panel lines, 0 = none
	decals []decal
	marks  []mark
	join   *join
	hook   func(r *renderer, s *spot)
}

// mark is a place where a gate was cut: its position and size in the piece's
// coordinates and how much whitening and gouging it shows, 0..1.
type mark struct {
	at    v3
	size  float64
	white float64
	gouge float64
}

// spot is the place being shaded: o and n in the piece's coordinates, fw the
// width of a pixel there in units.
type spot struct {
	pc    *piece
	o, n  v3
	n0    v3 // the normal before any bump
	c     v3
	sheen float64
	tight float64
	fw    float64
	u, v  float64 // the two coordinates across the face, in units
	axis  int     // which axis the face looks along
}

// bump tilts the normal by a slope (du, dv) across the face.
func (s *spot) bump(du, dv float64) {
	switch s.axis {
	case 0:
		s.n.Z -= du
		s.n.Y -= dv
	case 1:
		s.n.X -= du
		s.n.Z -= dv
	default:
		s.n.X -= du
		s.n.Y -= dv
	}
}

// settle picks the face coordinates from the normal.
func (s *spot) settle() {
	ax, ay, az := math.Abs(s.n.X), math.Abs(s.n.Y), math.Abs(s.n.Z)
	switch {
	case ay >= ax && ay >= az:
		s.axis, s.u, s.v = 1, s.o.X, s.o.Z
	case ax >= az:
		s.axis, s.u, s.v = 0, s.o.Z, s.o.Y
	default:
		s.axis, s.u, s.v = 2, s.o.X, s.o.Y
	}
}

var (
	plasticGrey = rgb(0x9a9fa0)
	primerGrey  = rgb(0xc6c8c6)
	tapeYellow  = rgb(0xd9b45a)
)

// cover is how far a coat has reached o when the share t of it is sprayed:
// coats go on along the model, with a soft, cloudy front.
func (r *renderer) cover(t float64, o v3, salt float64) float64 {
	if t <= 0 {
		return 0
	}
	if t >= 1 {
		return 1
	}
	a := (r.hiX-o.X)/(r.hiX-r.loX+1e-9)*0.7 + 0.3*r.ns.at(o.X*21+o.Z*9+salt, o.Y*21-o.Z*14)
	return smooth(0, 0.16, t*1.16-a)
}

// look works out the surface at s.
func (r *renderer) look(s *spot) {
	f := &r.fin
	sf := &s.pc.surf
	s.c, s.sheen, s.tight = sf.color, sf.sheen, sf.tight
	if s.tight == 0 {
		s.tight = 24
	}
	if sf.glass && f.masked {
		r.mask(s)
		return
	}
	if sf.own || sf.glass {
		if sf.hook != nil {
			sf.hook(r, s)
		}
		r.engrave(s)
		return
	}
	s.c, s.sheen, s.tight = r.plastic, 0.22, 30
	clumsy := 1 - f.skill
	// Molded plastic is never quite even.
	m := r.ns.at(s.u*38, s.v*38)
	s.c = s.c.mul(0.95 + 0.1*m)
	du, dv := r.ns.slope(s.u*60, s.v*60)
	s.bump(du*0.10, dv*0.10)

	if f.primer > 0 {
		k := r.cover(f.primer, s.o, 0)
		s.c = s.c.mix(primerGrey.mul(0.96+0.07*m), k)
		s.sheen, s.tight = lerp(s.sheen, 0.03, k), lerp(s.tight, 8, k)
	}
	if f.paint > 0 || f.tape {
		r.paintOn(s, f, clumsy)
	}
	if sf.small && f.detail > 0 {
		k := smooth(0, 0.06, f.detail*1.06-hashUnit(s.pc.group, len(s.pc.t)))
		// A beginner's brush stops short of corners.
		if n := r.ns.at(s.u*70+11, s.v*70); clumsy > 0.3 && n < 0.30*clumsy {
			k *= 0.25
		}
		s.c = s.c.mix(sf.color.mul(0.93+0.12*m), k)
		s.sheen = lerp(s.sheen, max(sf.sheen, 0.06), k)
	}
	r.engrave(s)
	for _, x := range f.strips {
		d := math.Abs(s.o.X - x + 0.02*(r.ns.at(s.o.Y*9, s.o.Z*9)-0.5))
		if sf.small || s.pc.loose || d > 0.17 || math.Abs(s.o.Z) > 1.7 {
			continue
		}
		s.c = tapeYellow.mul((0.90 + 0.16*r.ns.at(s.u*90, s.v*90)) * (1 - 0.25*smooth(0.15, 0.17, d)))
		s.sheen, s.tight = 0.10, 12
		du, dv := r.ns.slope(s.u*34, s.v*80)
		s.bump(du*0.6, dv*0.6)
	}
	if sf.join != nil {
		sf.join.draw(r, s)
	}
	for i := range sf.marks {
		sf.marks[i].draw(r, s)
	}
	if f.gloss > 0 {
		k := r.cover(f.gloss, s.o, 40)
		s.sheen, s.tight = lerp(s.sheen, 0.75, k), lerp(s.tight, 90, k)
		s.c = s.c.mul(1 - 0.08*k)
		if clumsy > 0.2 {
			du, dv = r.ns.slope(s.u*26+7, s.v*26)
			s.bump(du*1.3*clumsy*k, dv*1.3*clumsy*k)
		}
	}
	if f.decal > 0 {
		r.transfer(s)
	}
	if f.weather > 0 {
		r.wear(s)
	}
	if f.matt > 0 {
		k := r.cover(f.matt, s.o, 80)
		s.sheen, s.tight = lerp(s.sheen, 0.05, k), lerp(s.tight, 9, k)
		s.c = s.c.mul(1 + 0.03*k)
		if clumsy > 0.35 { // matt coat sprayed too thick frosts
			s.c = s.c.mix(v3{0.6, 0.6, 0.6}, k*0.25*clumsy*smooth(0.6, 0.85, r.ns.at(s.u*12, s.v*12+90)))
		}
	}
	if sf.hook != nil {
		sf.hook(r, s)
	}
}

// mask covers a clear part with tape, cut to it, that is sprayed over with the rest.
func (r *renderer) mask(s *spot) {
	s.c = tapeYellow.mul(0.92 + 0.14*r.ns.at(s.u*90, s.v*90))
	s.sheen, s.tight = 0.10, 12
	m := r.ns.at(s.u*30+90, s.v*30)
	s.c = s.c.mix(primerGrey, 0.6*r.cover(r.fin.primer, s.o, 0))
	s.c = s.c.mix(r.main.mul(0.95+0.1*m), 0.5*r.cover(clamp01(r.fin.paint*1.9), s.o, 20))
}

// paintOn lays the main colors and the masking tape along their edge.
func (r *renderer) paintOn(s *spot, f *finish, clumsy float64) {
	sf := &s.pc.surf
	col, ka := sf.color, r.cover(clamp01(f.paint*1.9), s.o, 20)
	if sf.small {
		col = r.main
	}
	dist := 1e9
	if sf.edge != nil {
		dist = sf.edge.dot(s.o) - sf.edgeAt
		// Tape that was not pressed down lets paint creep under it.
		wob := (r.ns.at(s.u*16+5, s.v*16) - 0.5) * 0.34 * clumsy * clumsy
		wob += (r.ns.at(s.u*75, s.v*75) - 0.5) * 0.16 * clumsy
		kb := clamp01(f.paint*2.1 - 0.95)
		in := smooth(-0.5, 0.5, (dist+wob)/max(s.fw, 0.012+0.03*clumsy))
		in *= r.cover(kb, s.o, 33)
		col = col.mix(sf.second, in)
		ka = max(ka, in)
	}
	m := r.ns.at(s.u*30+90, s.v*30)
	s.c = s.c.mix(col.mul(0.95+0.1*m), ka)
	s.sheen, s.tight = lerp(s.sheen, 0.16, ka), lerp(s.tight, 20, ka)
	if clumsy > 0.12 {
		// Brush streaks along the piece, pebbly orange peel, dust under the paint.
		st := r.ns.at(s.u*3.1+60, s.v*64) - 0.5
		s.c = s.c.mul(1 + st*0.42*ka*clumsy*clumsy)
		_, dv := r.ns.slope(s.u*3.1+60, s.v*64)
		du, dw := r.ns.slope(s.u*44, s.v*44+30)
		k := ka * clumsy
		s.bump(du*1.1*k, dw*1.1*k+dv*1.4*k*clumsy)
		if n := r.ns.at(s.u*95+31, s.v*95+17); n > 0.985-0.10*clumsy {
			s.c = s.c.mul(1 - 0.35*k)
			s.bump(du*3*k, dw*3*k)
		}
	}
	if f.tape && sf.edge != nil {
		lie := 0.02 * (r.ns.at(s.u*9, s.v*9+50) - 0.5)
		if d := dist + lie; d > -0.30 && d < 0 {
			s.c = tapeYellow.mul(0.92 + 0.14*r.ns.at(s.u*90, s.v*90))
			s.sheen, s.tight = 0.10, 12
			du, dv := r.ns.slope(s.u*34, s.v*120)
			s.bump(du*0.5, dv*0.5)
			if d > -0.02 || d < -0.28 {
				s.c = s.c.mul(0.72)
			}
		}
	}
}

// engrave cuts the panel lines and, in the line stage, lets dark wash settle there.
func (r *renderer) engrave(s *spot) {
	p := s.pc.surf.panels
	if p == 0 || s.axis == 1 && s.n0.Y < -0.5 {
		return
	}
	w := max(0.016, s.fw*0.8)
	near := func(x, pitch float64) (float64, float64) {
		q := x/pitch + 0.37
		d := (q - math.Floor(q) - 0.5) * pitch
		return smooth(w*1.6, w*0.5, math.Abs(d)), d / w
	}
	a, da := near(s.u, p)
	b, db := near(s.v, p*0.83)
	if a == 0 && b == 0 {
		return
	}
	fit := min(1, 0.016/s.fw*1.6)
	s.bump(a*clampAbs(da)*0.5*fit, b*clampAbs(db)*0.5*fit)
	k := max(a, b)
	dark := 0.16
	if !s.pc.surf.own {
		dark += 0.58 * r.cover(r.fin.line, s.o, 55)
	}
	s.c = s.c.mul(1 - dark*k*fit)
}

func clampAbs(x float64) float64 { return max(-1, min(1, x)) }

// wear adds dust from below, rain streaks, chipped edges and rust.
func (r *renderer) wear(s *spot) {
	k := r.cover(r.fin.weather, s.o, 70)
	if k == 0 {
		return
	}
	clumsy := 1 - r.fin.skill
	y := (s.o.Y - r.loY) / (r.hiY - r.loY + 1e-9)
	cloud := r.ns.at(s.u*14, s.v*14+200)
	dust := smooth(0.5, 0.0, y) * (0.35 + 0.65*cloud) * (0.5 + 0.5*clumsy)
	s.c = s.c.mix(r.dust, 0.62*k*dust)
	if s.axis != 1 {
		run := r.ns.at(s.u*40+300, s.v*2.2)
		s.c = s.c.mul(1 - k*(0.22+0.3*clumsy)*smooth(0.62, 0.85, run))
		if rust := smooth(0.74, 0.9, r.ns.at(s.u*33+77, s.v*1.7+9)) * smooth(0.5, 0.8, cloud); rust > 0 {
			s.c = s.c.mix(rgb(0x7a4526), k*rust*(0.5+0.4*clumsy))
		}
	}
	if chip := r.ns.at(s.u*85, s.v*85+400); chip > 0.975-0.12*clumsy {
		s.c = s.c.mix(rgb(0x4a4038), k*0.8)
	}
	s.sheen *= 1 - 0.5*k*dust
}

// hashUnit spreads small integers over [0,1), the same every run.
func hashUnit(a, b int) float64 {
	c := chance(uint64(a)*7919 + uint64(b)*104729 + 17)
	return c.unit()
}

// draw shows what the cut left on the plastic: a pale, stressed patch and a
// gouge whose wall catches the light.
func (k *mark) draw(r *renderer, s *spot) {
	d := s.o.sub(k.at)
	l := d.len() / k.size
	if l > 1.5 {
		return
	}
	l += 0.55 * (r.ns.at(s.u*55+k.at.X*31, s.v*55+k.at.Y*31) - 0.5)
	if k.white > 0 {
		s.c = s.c.mix(v3{0.86, 0.87, 0.86}, 0.78*k.white*smooth(1, 0.25, l))
	}
	if k.gouge > 0 {
		g := k.gouge * smooth(0.75, 0.35, l)
		du, dv := r.ns.slope(s.u*90+k.at.Z*50, s.v*25)
		s.bump(g*(du*3+d.X/k.size*0.9), g*(dv*3+(d.Y+d.Z)/k.size*0.9))
		s.c = s.c.mul(1 - 0.38*g*smooth(0.45, 0.1, l))
	}
}
