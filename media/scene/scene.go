// Package scene draws the bench photos of Rakelight's demo and of its tests:
// four invented kits in every stage of their work, under a soft lamp or a low
// raking one, by a beginner's or a practised hand. Start with Shot and Draw;
// WriteJPEG stores a picture the way a camera does, with an EXIF block.
//
// The pictures come from small solid models, a lamp with real shadows and
// noise for all that is uneven, so that one kit looks like itself from every
// side. Nothing is read from disk. The package knows nothing of journals.
package scene

import (
	"image"
	"image/color"
	"math"
)

// Shot says what one photo shows. The same Shot gives the same bytes on the
// same kind of processor; other kinds may round the last bit differently.
type Shot struct {
	Model  string  // "lorry", "seaplane", "pilot-boat", "lightship" or its "tender"; anything else draws the lorry
	Kind   string  // stage kind: inspect, wash, plan, cut, clean, dry-fit, …; an unknown one draws the finished model
	Step   float64 // 0 = the stage begins (before) .. 1 = done (after)
	Skill  float64 // 0 beginner .. 1 practised: governs visible flaws
	View   string  // front, left, rear, right, top, three-quarter; anything else is three-quarter
	Light  string  // diffuse or raking; anything else is diffuse
	Seed   uint64  // varies the hand-held camera and how things lie about
	Width  int     // pixels; 0 = 1600
	Height int     // pixels; 0 = 1200
	Beside Paper   // a paper beside the work; the zero value is none

	Plastic color.RGBA // what the kit is molded in; the zero value is the usual grey
	Top     string     // what it lies on: mat or boards; anything else is what the kind of stage has
}

// set is a bench ready to be photographed.
type set struct {
	shot    Shot
	pieces  []*piece
	look    func(s *set) // adds the tools, once the camera's side is known
	fin     finish
	bench   bench
	az, el  float64
	fill    [2]float64
	mid     [2]float64
	main    v3 // main paint of the model
	dust    v3
	rnd     chance
	right   v3 // along the bench, to the picture's right
	away    v3 // along the bench, from the viewer
	centre  v3
	size    float64
	loX     float64
	hiX     float64
	loY     float64
	hiY     float64
	pool    *pool
	plastic v3
}

// Draw draws the shot. The picture is opaque; the caller owns it.
func Draw(s Shot) *image.RGBA {
	if s.Width <= 0 {
		s.Width = 1600
	}
	if s.Height <= 0 {
		s.Height = 1200
	}
	s.Step, s.Skill = clamp01(s.Step), clamp01(s.Skill)
	st := &set{shot: s, rnd: chance(s.Seed*2654435761 + 1), fill: [2]float64{0.74, 0.66}, mid: [2]float64{0.5, 0.53}}
	if st.plastic = plasticGrey; s.Plastic != (color.RGBA{}) {
		st.plastic = rgb(uint32(s.Plastic.R)<<16 | uint32(s.Plastic.G)<<8 | uint32(s.Plastic.B))
	}
	st.bench = bench{mat: 1, turn: st.rnd.span(-0.06, 0.06), salt: st.rnd.span(0, 400)}
	st.side()
	switch s.Kind {
	case "inspect", "wash", "cut":
		st.runner()
	case "plan":
		st.plan()
	case "clean":
		st.cleaning()
	case "seam":
		st.seam()
	case "dry-fit", "assemble":
		st.assembly()
	default:
		st.finishing()
	}
	switch s.Top {
	case "mat":
		st.bench.mat = 1
	case "boards":
		st.bench.mat = 0
	}
	return st.photograph()
}

// side sets the camera's usual place for the view.
func (s *set) side() {
	const deg = math.Pi / 180
	switch s.shot.View {
	case "front":
		s.az, s.el = 0, 13*deg
	case "left":
		s.az, s.el = -90*deg, 13*deg
	case "rear":
		s.az, s.el = 180*deg, 13*deg
	case "right":
		s.az, s.el = 90*deg, 13*deg
	case "top":
		s.az, s.el = 90*deg, 84*deg
	default:
		s.az, s.el = -42*deg, 24*deg
	}
}

// flatSide is side for things that lie flat: always from above, the view only
// shifts the camera a little.
func (s *set) flatSide() {
	const deg = math.Pi / 180
	s.az, s.el = 90*deg, 58*deg
	switch s.shot.View {
	case "front":
		s.el = 46 * deg
	case "left":
		s.az = 62 * deg
	case "right":
		s.az = 118 * deg
	case "rear":
		s.az = 270 * deg
	case "top":
		s.el = 83 * deg
	}
}

// photograph measures the set, aims the camera, sets the lamp and draws.
func (s *set) photograph() *image.RGBA {
	var pts []v3
	lo, hi := v3{1e9, 1e9, 1e9}, v3{-1e9, -1e9, -1e9}
	for _, pc := range s.pieces {
		if pc.loose {
			continue
		}
		for i := range pc.t {
			for _, p := range pc.t[i].p {
				w := pc.pos.add(pc.turn.out(p))
				lo, hi = lo.low(w), hi.high(w)
				pts = append(pts, w)
			}
		}
	}
	s.centre = lo.add(hi).mul(0.5)
	s.size = max(hi.X-lo.X, hi.Z-lo.Z)
	if s.loX == s.hiX {
		s.loX, s.hiX, s.loY, s.hiY = lo.X, hi.X, lo.Y, hi.Y
	}
	az, el := s.az+s.rnd.span(-0.035, 0.035), s.el+s.rnd.span(-0.015, 0.02)
	cam := aim(s.centre, az, el, s.rnd.span(-0.012, 0.012), s.size*2.6)
	s.mid[0] += s.rnd.span(-0.015, 0.015)
	s.mid[1] += s.rnd.span(-0.01, 0.01)
	s.right = v3{cam.right.X, 0, cam.right.Z}.unit()
	s.away = v3{s.right.Z, 0, -s.right.X}
	if s.shot.Beside.Image != nil {
		pts = append(pts, s.lay(pts)...)
		s.fill = [2]float64{0.88, 0.82}
	}
	cam.frameOn(pts, s.shot.Width, s.shot.Height, s.fill[0], s.fill[1], s.mid)
	if s.look != nil {
		s.look(s)
	}
	l := newLamp(&cam, s.shot.Light == "raking", s.centre, s.size)
	l.cast(s.pieces)
	defer l.putAway()
	r := &renderer{set: s, cam: cam, lamp: l, ns: noise(), seed: s.shot.Seed}
	return r.run()
}

// on returns the place on the bench u to the right and v away from the middle
// of the set, in shares of its size.
func (s *set) on(u, v float64) v3 {
	c := v3{s.centre.X, 0, s.centre.Z}
	return c.add(s.right.mul(u * s.size)).add(s.away.mul(v * s.size))
}

// facing returns a frame whose x axis points a radians left of the picture's right.
func (s *set) facing(a float64) frame { return turned(a + math.Atan2(-s.right.Z, s.right.X)) }

// put adds a piece with the given surface at a place.
func (s *set) put(sf surface, at v3, turn frame) *piece {
	p := &piece{surf: sf, pos: at, turn: turn}
	s.pieces = append(s.pieces, p)
	return p
}
