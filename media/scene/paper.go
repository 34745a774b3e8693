// A printed paper that lies on the bench beside the work, such as a card with
// a scale on it.

package scene

import (
	"image"
	"math"
)

// Paper is a print on a flat sheet. It lies to the left of the work, read from
// where the camera stands, and the camera steps back until all of it is in the
// picture.
type Paper struct {
	Image *image.Gray // the whole sheet as printed; nil = no paper lies there
	Width float64     // by the longer side of what is photographed: 0.5 = half as wide
}

// lay puts the paper beside the points of the work and returns its corners.
func (s *set) lay(work []v3) []v3 {
	paper := s.shot.Beside
	w, h := paper.Image.Rect.Dx(), paper.Image.Rect.Dy()
	half := paper.Width * s.size / 2
	deep := half * float64(h) / float64(w)
	left := math.Inf(1)
	for _, p := range work {
		left = min(left, p.sub(s.centre).dot(s.right))
	}
	c := chance(s.shot.Seed*31 + 7)
	at := s.on((left-1.17*half)/s.size+c.span(-0.01, 0.01), c.span(-0.04, 0.01))
	pc := s.put(surface{own: true, sheen: 0.02, tight: 8, hook: func(_ *renderer, sp *spot) {
		// Nine rays a pixel, since the print is finer than the picture.
		sum := 0.0
		for i := range 9 {
			x := (sp.o.X+sp.fw*float64(i%3-1)/3)/(2*half) + 0.5
			y := (sp.o.Z+sp.fw*float64(i/3-1)/3)/(2*deep) + 0.5
			sum += grayAt(paper.Image, x*float64(w)-0.5, y*float64(h)-0.5)
		}
		// Paper is not quite white, and ink not quite black.
		k := 0.035 + 0.78*sum/9
		sp.c, sp.sheen, sp.tight = v3{k, k, k * 0.985}, 0.02, 8
	}}, at, s.facing(c.span(-0.06, 0.06)))
	pc.loose = true
	const thick = 0.002
	y := thick * s.size
	var rows [][]v3
	for _, z := range []float64{-deep, 0, deep} {
		rows = append(rows, []v3{{-half, y, z}, {0, y, z}, {half, y, z}})
	}
	pc.loft(rows, false)
	var corners []v3
	for _, row := range rows {
		for _, p := range row {
			corners = append(corners, pc.pos.add(pc.turn.out(p)))
		}
	}
	return corners
}

// grayAt is the linear light of a print at a place in pixels, between its
// pixels too.
func grayAt(g *image.Gray, x, y float64) float64 {
	x, y = min(max(x, 0), float64(g.Rect.Dx()-1)-1e-6), min(max(y, 0), float64(g.Rect.Dy()-1)-1e-6)
	i, k := int(x), int(y)
	u, v := x-float64(i), y-float64(k)
	p := g.Pix[k*g.Stride+i:]
	q := g.Pix[(k+1)*g.Stride+i:]
	return lerp(lerp(linear[p[0]], linear[p[1]], u), lerp(linear[q[0]], linear[q[1]], u), v)
}

// linear is the light of each printed gray.
var linear = func() (t [256]float64) {
	for i := range t {
		t[i] = rgb(uint32(i)).Z
	}
	return t
}()
