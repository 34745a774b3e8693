// Runner frames: in the basin, under inspection, and losing their parts.

package scene

import "math"

const (
	runnerW   = 5.4 // half width of the frame, units
	runnerH   = 3.4
	runnerBar = 0.15
)

// slot is a part's place on the runner.
type slot struct{ x, y float64 }

var slots = []slot{{-2.75, 1.9}, {1.9, 2.05}, {-4.0, 0.0}, {-1.7, 0.05}, {0.9, 0.1}, {3.6, 0.15}, {-2.8, -1.95},
	{1.2, -1.95}, {4.1, -1.9}}

// heap is where the cut parts lie, right of the frame.
var heap = []slot{{2.1, -2.9}, {2.1, -1.2}, {4.7, -2.9}, {4.8, -1.3}, {1.6, 0.35}, {4.1, 0.2}, {1.8, 1.25}, {4.7, 1.5},
	{1.5, 2.2}}

// runner is a frame of parts lying on the bench.
func (s *set) runner() {
	s.flatSide()
	s.fin = finish{skill: s.shot.Skill}
	kind, t := s.shot.Kind, s.shot.Step
	list := shapes(s.shot.Model)
	list = append(list, list[len(list)-1])
	n := len(slots)
	gone := 0
	if kind == "cut" {
		gone = int(math.Round(t * float64(n)))
	}
	ly := 0.16
	lieTurn := laid(s.rnd.span(-0.05, 0.05))
	at := v3{0, ly, 0}
	if kind == "wash" && t < 0.67 {
		at.Y = 0.22
	}

	frameSurf := surface{sheen: 0.3}
	fr := s.put(frameSurf, at, lieTurn)
	b := runnerBar
	fr.box(-runnerW, -runnerH-b, -b, runnerW, -runnerH+b, b, 0.06)
	fr.box(-runnerW, runnerH-b, -b, runnerW, runnerH+b, b, 0.06)
	fr.box(-runnerW-b, -runnerH-b, -b, -runnerW+b, runnerH+b, b, 0.06)
	fr.box(runnerW-b, -runnerH-b, -b, runnerW+b, runnerH+b, b, 0.06)
	fr.box(-runnerW, 0.95-b*0.8, -b*0.8, runnerW, 0.95+b*0.8, b*0.8, 0.05)
	fr.box(-runnerW, -1.05-b*0.8, -b*0.8, runnerW, -1.05+b*0.8, b*0.8, 0.05)
	fr.box(-0.5-b*0.8, 0.95, -b*0.8, -0.5+b*0.8, runnerH, b*0.8, 0.05)
	fr.box(-0.5-b*0.8, -runnerH, -b*0.8, -0.5+b*0.8, -1.05, b*0.8, 0.05)
	for _, p := range [][2]float64{{-runnerW, runnerH}, {runnerW, runnerH}, {-runnerW, -runnerH}, {runnerW, -runnerH}} {
		fr.rod(v3{p[0], p[1], -0.2}, v3{p[0], p[1], 0.22}, 0.26, 0.24, 16)
	}
	// The lettered tab.
	tab := s.put(surface{sheen: 0.3, hook: molded(runnerLetter(s.shot.Model), 0.62)},
		at.add(lieTurn.out(v3{-runnerW + 1.1, runnerH + 0.5, 0})), lieTurn)
	tab.box(-0.62, -0.42, -0.1, 0.62, 0.5, 0.12, 0.08)

	for i, sl := range slots {
		sh := list[i]
		c := chance(uint64(i)*57 + 3)
		// How far gates reach: to the nearest bars above and below.
		top, bot := bars(sl.y)
		off := i < gone
		p := s.put(surface{sheen: 0.22}, at.add(lieTurn.out(v3{sl.x, sl.y, 0})), lieTurn)
		sh.cut(p)
		lo, hi := bounds([]*piece{{mesh: p.mesh, turn: upright}})
		gx := []float64{lerp(lo.X, hi.X, 0.25), lerp(lo.X, hi.X, 0.72)}
		for g, x := range gx {
			for _, up := range []float64{1, -1} {
				if g == 1 && up < 0 && hi.X-lo.X < 1.3 {
					continue
				}
				edge := p.edgeTowards(v3{x, 0, 0}, v3{0, up, 0}).Y
				bar := top - sl.y
				if up < 0 {
					bar = bot - sl.y
				}
				if (bar-edge)*up < 0.02 {
					continue
				}
				from, to := v3{sl.x + x, sl.y + bar, 0}, v3{sl.x + x, sl.y + edge - 0.03*up, 0}
				if off { // a stub stays on the runner
					to = from.mix(to, c.span(0.45, 0.6))
				}
				fr.rod(from, to, 0.085, 0.055, 8)
			}
		}
		// The number stands on a little tab beside the part.
		num := s.put(surface{sheen: 0.3, hook: molded(digits(i+1), 0.2)},
			at.add(lieTurn.out(v3{sl.x + 0.55*(hi.X-lo.X)*0.5, top - 0.24, 0})), lieTurn)
		num.box(-0.22, -0.14, -0.05, 0.22, 0.16, 0.06, 0.03)
		if off {
			// Beside the frame, right and in front.
			p.pos = v3{runnerW + heap[i].x + c.span(-0.1, 0.1), -lo.Z, heap[i].y + c.span(-0.06, 0.06)}
			p.turn = laid(c.span(-0.16, 0.16))
			stub := 0.16 + 0.1*(1-s.shot.Skill)
			e := p.edgeTowards(v3{gx[0], 0, 0}, v3{0, 1, 0})
			p.box(gx[0]-0.06, e.Y-0.03, -0.06, gx[0]+0.06, e.Y+stub, 0.06, 0.02)
			p.surf.marks = append(p.surf.marks, mark{at: v3{gx[0], e.Y + stub, 0}, size: 0.12, white: 0.9})
		}
	}
	// The frame alone decides what the camera sees, so that before and after
	// fit one frame; the cut parts lie in a free strip on its right.
	s.fill, s.mid = [2]float64{0.82, 0.80}, [2]float64{0.5, 0.5}
	switch kind {
	case "cut":
		ghost := s.put(surface{own: true}, v3{}, upright)
		a := v3{runnerW + 5.6, 0, 0}
		ghost.mesh.t = append(ghost.mesh.t, tri{p: [3]v3{a, a, a}})
		s.fill = [2]float64{0.90, 0.80}
		s.look = func(s *set) {
			s.cutters(s.on(0.30, -0.31), 2.75)
		}
	case "inspect":
		s.inspecting(lieTurn, at, int(math.Round(t*float64(n))))
	case "wash":
		s.washing(t)
	}
}

// bars returns the runner bars above and below a part.
func bars(y float64) (top, bot float64) {
	switch {
	case y > 0.95:
		return runnerH, 0.95
	case y > -1.05:
		return 0.95, -1.05
	}
	return -1.05, -runnerH
}

func runnerLetter(model string) string {
	switch model {
	case "seaplane":
		return "B"
	case "pilot-boat":
		return "C"
	case "lightship":
		return "D"
	}
	return "A"
}

func digits(n int) string { return string(rune('0' + n%10)) }

// molded raises a letter on the upper face of a tab, h units high.
func molded(text string, h float64) func(r *renderer, s *spot) {
	return func(r *renderer, s *spot) {
		if s.axis != 2 || s.n0.Z < 0.5 {
			return
		}
		l := letter(text)
		w := h * float64(l.w) / float64(l.h)
		at := func(x, y float64) float64 {
			return l.at((x+w/2)/w, 0.5-(y-0.03)/h, max(0.12, s.fw/h))
		}
		e := max(0.02, s.fw)
		k := at(s.o.X, s.o.Y)
		s.n.X -= (at(s.o.X+e, s.o.Y) - at(s.o.X-e, s.o.Y)) * 1.6
		s.n.Y -= (at(s.o.X, s.o.Y+e) - at(s.o.X, s.o.Y-e)) * 1.6
		s.c = s.c.mul(1 - 0.22*k)
	}
}

// inspecting lays small paper flags on the parts that were looked over, and a
// loupe beside the frame.
func (s *set) inspecting(turn frame, at v3, seen int) {
	for i := range seen {
		sl := slots[i]
		flag := s.put(surface{color: rgb(0xd97f34), own: true, sheen: 0.03},
			at.add(turn.out(v3{sl.x + 0.12, sl.y - 0.1, 0.62})), turn)
		flag.boxAt(v3{}, v3{0.26, 0.13, 0.012}, frame{v3{0.9, 0.43, 0}, v3{-0.43, 0.9, 0}, v3{0, 0, 1}}, 0)
	}
	s.look = func(s *set) {
		k := s.size / 10
		c := s.on(0.34, -0.345)
		up := v3{0, 1, 0}
		rim := s.loosely(surface{color: rgb(0x2b2c2d), sheen: 0.7, tight: 50}, c, 0)
		rim.lathe(v3{}, up, [][2]float64{{0, .92 * k}, {0, 1.05 * k}, {.25 * k, 1.05 * k}, {.25 * k, .92 * k},
			{0, .92 * k}}, 40)
		h := s.loosely(surface{color: rgb(0x6a3d22), sheen: 0.6, tight: 40}, c, -0.5)
		h.rod(v3{1.0 * k, .13 * k, 0}, v3{2.8 * k, .13 * k, 0}, .13*k, .17*k, 16)
		lens := s.loosely(surface{color: rgb(0x55665f), sheen: 1, tight: 200}, c, 0)
		lens.lathe(v3{0, .08 * k, 0}, up, [][2]float64{{0, .93 * k}, {.05 * k, .6 * k}, {.08 * k, 0}}, 32)
	}
}

// washing puts the frame into an enamel basin; at the end it dries on a towel.
func (s *set) washing(t float64) {
	if t >= 0.67 {
		s.bench.mat = 2
		s.bench.matW, s.bench.matH = 0.66, 0.46
		s.fill = [2]float64{0.74, 0.70}
		// Drops still sit on the frame and the towel.
		w := s.put(surface{color: rgb(0xb7c6cc), own: true, sheen: 1, tight: 160}, v3{}, upright)
		c := chance(s.shot.Seed + 5)
		for range 46 {
			x, y := c.span(-runnerW, runnerW), []float64{-runnerH, -1.05, 0.95, runnerH}[c.next()%4]
			r := c.span(0.04, 0.085)
			w.lathe(v3{x, 0.31, -y}, v3{0, 1, 0}, [][2]float64{{0, r}, {r * 0.4, r * 0.8}, {r * 0.6, 0}}, 10)
		}
		return
	}
	const in, wall = 0.9, 0.16
	x, z := runnerW+in, runnerH+in+0.5
	en := s.put(surface{color: rgb(0xdfe0da), own: true, sheen: 0.8, tight: 60}, v3{}, upright)
	en.box(-x, 0, -z, x, 0.05, z, 0)
	for _, sg := range []float64{-1, 1} {
		en.box(sg*x-wall, 0, -z-wall, sg*x+wall, 1.15, z+wall, 0.1)
		en.box(-x-wall, 0, sg*z-wall, x+wall, 1.15, sg*z+wall, 0.1)
	}
	rim := s.put(surface{color: rgb(0x2b4a6b), own: true, sheen: 0.9, tight: 60}, v3{}, upright)
	for _, sg := range []float64{-1, 1} {
		rim.box(sg*x-wall*1.4, 1.13, -z-wall*1.4, sg*x+wall*1.4, 1.24, z+wall*1.4, 0.05)
		rim.box(-x-wall*1.4, 1.13, sg*z-wall*1.4, x+wall*1.4, 1.24, sg*z+wall*1.4, 0.05)
	}
	s.bench.mat = 2
	s.bench.matW, s.bench.matH = 0.72, 0.52
	s.pool = &pool{-x + wall, -z + wall, x - wall, z - wall, 0.72, 0.15 + 0.85*smooth(0.6, 0, math.Abs(t-0.3))}
}
