// Markings: lettering and rings on thin film, laid on one after the other.

package scene

import (
	"image"
	"math"
	"sync"

	"golang.org/x/image/font"
	"golang.org/x/image/font/gofont/gobold"
	"golang.org/x/image/font/opentype"
	"golang.org/x/image/math/fixed"
)

// decal is one marking on the faces of a piece that look along axis (0 x, 1 y,
// 2 z) to side (+1 or -1). Its middle lies at u, v in face coordinates.
type decal struct {
	axis  int
	side  float64
	u, v  float64
	w, h  float64
	text  string // empty: a ring in two colors
	color v3
	core  v3 // the ring's middle
}

// lettering is a drawn word: coverage in [0,1] over w×h texels.
type lettering struct {
	pix  []uint8
	w, h int
}

var boldFont = sync.OnceValue(func() *opentype.Font {
	f, err := opentype.Parse(gobold.TTF)
	if err != nil {
		panic(err) // the font is compiled in; it cannot be broken at run time
	}
	return f
})

var words sync.Map // text → *lettering; the demo repeats few words many times

// letter draws text 96 texels high, trimmed to its ink.
func letter(text string) *lettering {
	if l, ok := words.Load(text); ok {
		return l.(*lettering)
	}
	face, err := opentype.NewFace(boldFont(), &opentype.FaceOptions{Size: 96, DPI: 72})
	if err != nil {
		panic(err) // constant options
	}
	b, _ := font.BoundString(face, text)
	w, h := max(1, (b.Max.X-b.Min.X).Ceil()+2), max(1, (b.Max.Y-b.Min.Y).Ceil()+2)
	img := image.NewAlpha(image.Rect(0, 0, w, h))
	d := font.Drawer{Dst: img, Src: image.Opaque, Face: face, Dot: fixed.Point26_6{X: -b.Min.X + 64, Y: -b.Min.Y + 64}}
	d.DrawString(text)
	l := &lettering{img.Pix, w, h}
	words.Store(text, l)
	return l
}

// at reads the coverage at x, y in [0,1], averaged over soft texels.
func (l *lettering) at(x, y, soft float64) float64 {
	if x < 0 || y < 0 || x > 1 || y > 1 {
		return 0
	}
	fx, fy := x*float64(l.w-1), y*float64(l.h-1)
	k := soft * 0.25 * float64(l.h)
	sum := 0
	for _, o := range [5][2]float64{{0, 0}, {k, 0}, {-k, 0}, {0, k}, {0, -k}} {
		px, py := int(fx+o[0]+0.5), int(fy+o[1]+0.5)
		if px >= 0 && py >= 0 && px < l.w && py < l.h {
			sum += int(l.pix[py*l.w+px])
		}
	}
	return float64(sum) / (5 * 255)
}

// ink returns how much of the decal's color and of its film lie at a, b, the
// place within the decal in [0,1].
func (d *decal) ink(a, b, fw float64) (v3, float64) {
	if d.text != "" {
		return d.color, letter(d.text).at(a, b, fw/d.h)
	}
	l := 2 * math.Hypot(a-0.5, b-0.5)
	w := fw / d.w
	c := d.color.mix(d.core, smooth(-w, w, 0.55-l))
	return c, smooth(-w, w, 0.94-l)
}

// transfer lays the decals that the stage has reached onto s.
func (r *renderer) transfer(s *spot) {
	ds := s.pc.surf.decals
	for i := range ds {
		d := &ds[i]
		if d.axis != s.axis || !d.on(s.n0) {
			continue
		}
		clumsy := 1 - r.fin.skill
		if r.fin.decal < 0.15+0.8*hashUnit(i+s.pc.group*3, 5) {
			continue
		}
		c := chance(uint64(i)*31 + uint64(s.pc.group)*977 + r.seed)
		sn, cs := math.Sincos(c.span(-0.13, 0.13) * clumsy)
		x, y := s.u-d.u-c.span(-0.05, 0.05)*clumsy, s.v-d.v
		x, y = x*cs+y*sn, y*cs-x*sn
		a, b := x/d.w+0.5, 0.5-y/d.h
		// Seen from outside, these faces run against their coordinates.
		if d.axis == 2 && d.side < 0 || d.axis == 0 && d.side > 0 {
			a = 1 - a
		}
		if d.axis == 1 {
			b = 1 - b
		}
		const film = 0.09
		if a < -film || a > 1+film || b < -film || b > 1+film {
			continue
		}
		col, k := d.ink(a, b, s.fw)
		s.c = s.c.mix(col.mul(0.95+0.08*r.ns.at(s.u*30, s.v*30)), k*0.97)
		// Air under the film turns silvery; its rim catches the light.
		rim := max(math.Abs(a-0.5), math.Abs(b-0.5)) - 0.5
		if clumsy > 0.1 {
			air := smooth(0.52, 0.75, r.ns.at(s.u*26+c.unit()*99, s.v*26))
			s.c = s.c.mix(v3{0.75, 0.76, 0.76}, (1-0.6*k)*0.55*clumsy*air)
			if rim > film*0.75 {
				s.c = s.c.mix(v3{0.8, 0.8, 0.8}, 0.4*clumsy)
			}
		}
		s.sheen = lerp(s.sheen, 0.5, 0.5)
	}
}

func (d *decal) on(n v3) bool {
	switch d.axis {
	case 0:
		return n.X*d.side > 0.3
	case 1:
		return n.Y*d.side > 0.3
	}
	return n.Z*d.side > 0.3
}
