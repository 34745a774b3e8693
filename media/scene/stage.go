// How far along a model is: which coats, markings and wear each stage has reached.

package scene

import "math"

// finish is the state of a model, each share 0..1.
type finish struct {
	skill   float64
	primer  float64
	paint   float64
	tape    bool // masking tape still on
	masked  bool // clear parts are under their masks
	detail  float64
	gloss   float64
	decal   float64
	line    float64
	weather float64
	matt    float64
	base    float64
	strips  []float64 // tape round the model at these places along it
}

// order is the order in which a painted kit is finished.
var order = []string{"prime", "paint", "detail", "gloss", "decal", "line", "weather", "top-coat", "base"}

// finishAt returns the finish at a step of a stage: all earlier stages done,
// later ones not begun. Unknown kinds are past everything.
func finishAt(kind string, step, skill float64) finish {
	at := func(name string) float64 {
		cur, own := len(order), len(order)
		for i, o := range order {
			if o == kind {
				cur = i
			}
			if o == name {
				own = i
			}
		}
		switch {
		case own < cur:
			return 1
		case own == cur:
			return step
		}
		return 0
	}
	masked := at("prime") > 0 || kind == "prime" // from before the primer until the top coat is on
	return finish{
		skill: skill, primer: at("prime"), paint: at("paint"), masked: masked && at("top-coat") < 0.95,
		tape:   kind == "paint" && step < 0.75,
		detail: at("detail"), gloss: at("gloss"), decal: at("decal"), line: at("line"),
		weather: at("weather"), matt: at("top-coat"), base: at("base"),
	}
}

// kit collects the pieces of a model, sub-assembly by sub-assembly.
type kit struct {
	pieces []*piece
	group  int
	main   v3
	plinth string       // the base: "earth", "concrete", "cradle" or "sea"
	apart  map[int]bool // sub-assemblies that are a handful of single parts
}

// part begins a new piece of the present sub-assembly.
func (k *kit) part(sf surface) *piece {
	p := &piece{surf: sf, turn: upright, group: k.group}
	k.pieces = append(k.pieces, p)
	return p
}

// next begins the next sub-assembly.
func (k *kit) next() { k.group++ }

// nextApart begins a group of single parts that are put on one by one.
func (k *kit) nextApart() {
	k.group++
	if k.apart == nil {
		k.apart = make(map[int]bool)
	}
	k.apart[k.group] = true
}

func newKit(model string) *kit {
	k := new(kit)
	switch model {
	case "seaplane":
		seaplane(k)
	case "pilot-boat":
		pilotBoat(k)
	case "lightship":
		lightship(k)
	case "tender":
		tender(k)
	default:
		lorry(k)
	}
	return k
}

// bounds returns the corners of the pieces' own coordinates.
func bounds(ps []*piece) (lo, hi v3) {
	lo, hi = v3{1e9, 1e9, 1e9}, v3{-1e9, -1e9, -1e9}
	for _, pc := range ps {
		for i := range pc.t {
			for _, p := range pc.t[i].p {
				w := pc.pos.add(pc.turn.out(p))
				lo, hi = lo.low(w), hi.high(w)
			}
		}
	}
	return lo, hi
}

// model puts the whole kit on the bench and returns it.
func (s *set) model() *kit {
	k := newKit(s.shot.Model)
	lo, hi := bounds(k.pieces)
	s.loX, s.hiX, s.loY, s.hiY = lo.X, hi.X, lo.Y, hi.Y
	s.main = k.main
	s.dust = rgb(0x9c8a6c)
	if s.shot.Model != "lorry" {
		s.dust = rgb(0x7d8473) // boats gather weed and salt, not road dust
	}
	return k
}

// assembly shows the model built up; what is not yet on lies in front of it.
func (s *set) assembly() {
	k := s.model()
	s.fin = finish{skill: s.shot.Skill}
	n := k.group + 1
	placed := 1 + int(math.Round(s.shot.Step*float64(n-1)))
	dry := s.shot.Kind == "dry-fit"
	var waiting [][]*piece
	for g := range n {
		var ps []*piece
		for _, p := range k.pieces {
			if p.group == g {
				ps = append(ps, p)
			}
		}
		if g < placed {
			if dry && g > 0 {
				// Nothing is glued: every sub-assembly sits a hair off.
				c := chance(uint64(g)*77 + s.shot.Seed)
				off := 0.03 + 0.07*(1-s.shot.Skill)
				d := v3{c.span(-off, off), c.span(0, off), c.span(-off, off)}
				for _, p := range ps {
					p.pos = p.pos.add(d)
				}
			}
			s.pieces = append(s.pieces, ps...)
		} else {
			for _, p := range ps {
				p.loose = true
			}
			waiting = append(waiting, ps)
		}
	}
	// What has no wheels, floats or cradle yet rests on its belly.
	low, _ := bounds(s.pieces)
	for _, p := range s.pieces {
		p.pos.Y -= low.Y
	}
	// The camera frames the finished outline whatever stands there already, so
	// that before and after fit one frame.
	ghost := &piece{turn: upright}
	lo, hi := bounds(k.pieces)
	ghost.mesh.t = []tri{{p: [3]v3{lo, lo, lo}}, {p: [3]v3{hi, hi, hi}}}
	s.pieces = append(s.pieces, ghost)
	s.fill, s.mid = [2]float64{0.56, 0.42}, [2]float64{0.5, 0.33}
	s.el = max(s.el, 0.42) // high enough to see what lies in front
	s.bench.matW, s.bench.matH = 1.05, 0.95
	s.look = func(s *set) {
		front := math.Abs(hi.X-lo.X)*math.Abs(s.away.X)*0.5 + math.Abs(hi.Z-lo.Z)*math.Abs(s.away.Z)*0.5
		// Each waiting group is turned so that its long side runs along the
		// bench; they lie in rows, long ones first in theirs.
		y, x, deepest := -front-0.02*s.size, -0.56*s.size, 0.0
		for i, ps := range waiting {
			a, b := bounds(ps)
			c := v3{(a.X + b.X) / 2, a.Y, (a.Z + b.Z) / 2}
			half, deep, turn := (b.X-a.X)/2, (b.Z-a.Z)/2, s.facing(0.12-0.08*float64(i%4))
			if deep > half {
				half, deep, turn = deep, half, s.facing(math.Pi/2-0.06+0.05*float64(i%3))
			}
			if x+2*half > 0.62*s.size && deepest > 0 {
				y, x, deepest = y-deepest-0.03*s.size, -0.50*s.size, 0
			}
			deepest = max(deepest, 2*deep)
			at := s.on(0, 0).add(s.right.mul(x + half)).add(s.away.mul(y - deep))
			x += 2*half + 0.04*s.size
			for _, p := range ps {
				p.pos = at.add(turn.out(p.pos.sub(c)))
				if k.apart[p.group] {
					low, _ := bounds([]*piece{p})
					p.pos.Y -= low.Y
				}
				p.turn = frame{turn.out(p.turn.x), turn.out(p.turn.y), turn.out(p.turn.z)}
			}
			s.pieces = append(s.pieces, ps...)
		}
		s.knife(s.on(0.5, 0.32), 2.5)
		if dry {
			s.tapeRoll(s.on(-0.55, 0.34))
		} else {
			s.glue(s.on(-0.5, 0.36))
		}
	}
	if dry {
		// Strips of masking tape hold the dry fit where there is something to hold.
		for _, u := range []float64{0.3, 0.68} {
			s.fin.strips = append(s.fin.strips, lerp(lo.X, hi.X, u))
		}
		if placed < 3 {
			s.fin.strips = nil
		}
	}
}

// finishing shows the whole model in the stages after assembly.
func (s *set) finishing() {
	k := s.model()
	s.fin = finishAt(s.shot.Kind, s.shot.Step, s.shot.Skill)
	s.bench.mat = 0
	s.pieces = append(s.pieces, k.pieces...)
	if s.fin.base > 0 || s.shot.Kind == "base" {
		s.base(k)
	}
	s.look = func(s *set) {
		switch s.shot.Kind {
		case "prime", "gloss", "top-coat":
			s.pot(s.on(0.60, 0.42), primerGrey, 0.9)
			s.pot(s.on(0.72, 0.34), rgb(0x55606a), 0.75)
		case "paint", "detail", "line":
			s.pot(s.on(-0.60, 0.40), s.main, 0.9)
			s.pot(s.on(-0.72, 0.28), rgb(0xd8cba8), 0.75)
			s.brush(s.on(0.46, 0.34), 2.7)
		case "decal":
			s.sheetOfDecals(s.on(0.52, 0.38))
			s.brush(s.on(-0.55, 0.40), 0.4)
		case "weather":
			s.pot(s.on(0.62, 0.40), s.dust, 0.8)
			s.brush(s.on(-0.52, 0.38), 0.5)
		}
	}
}
