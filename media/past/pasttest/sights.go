// What the pictures of an invented past look like.

package pasttest

import (
	"hash/fnv"
	"image"
	"image/color"
	"math"
	"math/rand/v2"
	"sync"

	"rakelight/media/scene"
)

// Sight is what a picture shows and in which light: a drawn scene of its build at its
// stage, or something else. Equal ones look the same.
type Sight struct {
	Scene scene.Shot
	Else  uint64 // a number of something else, 0 = it shows the scene
	Light int    // one of lights
}

// How a picture comes to look as it does (common practice, no source). A build keeps
// its plastic, and half are gray; the primer is the same gray for all; most evenings are
// at one's usual place, and that does not change with the stage, as it does in the
// scenes by themselves; lamp, white balance and exposure are each evening's and each
// camera's own; some pictures of an evening show no work.
const (
	lights      = 16
	sightSide   = 48   // pixels of the longer side
	elsewhere   = 0.15 // of the evenings
	besides     = 0.10 // of an evening's pictures show something else
	unprimed    = 0.2  // of the builds
	elseThings  = 60
	elseOfThing = 6
)

// plastics are what kits are molded in, the first the usual gray.
var plastics = []color.RGBA{{}, {}, {}, {0xd4, 0xd5, 0xd0, 255}, {0xb3, 0xa0, 0x79, 255}, {0x6e, 0x7a, 0x5c, 255}}

// drawnAs is the model in the scenes that a build looks like.
var drawnAs = map[string]string{"pilot boat": "pilot-boat", "field kitchen": "lorry", "mail seaplane": "seaplane",
	"lightship": "lightship", "second pilot boat": "pilot-boat", "second lorry": "lorry"}

// stages are how far a build has come when they end, and how many pictures there are of
// each.
var stages = []struct {
	until float64
	kind  string
	step  float64
	views int
}{
	{0.08, "inspect", 0, 2}, {0.25, "clean", 0.5, 2}, {0.6, "assemble", 0.5, 2}, {0.67, "prime", 1, 2},
	{0.74, "paint", 0.5, 3}, {0.86, "paint", 1, 3}, {0.92, "decal", 1, 2}, {2, "base", 1, 3},
}

// Sight is what a shot of the past with a seed looks like. The same shot of the same
// past looks the same.
func (s Shot) Sight(seed uint64) Sight {
	of := func(parts ...string) *rand.Rand {
		h := fnv.New64a()
		for _, p := range parts {
			_, _ = h.Write(append([]byte(p), 0))
		}
		return rand.New(rand.NewPCG(seed, h.Sum64()))
	}
	own, sitting := rand.New(rand.NewPCG(seed, s.Number)), of(s.Evening, s.Camera.Model)
	sight := Sight{Light: sitting.IntN(lights)}
	switch {
	case s.Build == "":
		sight.Else = 1 + uint64(sitting.IntN(elseThings)*elseOfThing+own.IntN(elseOfThing))
		return sight
	case own.Float64() < besides:
		sight.Else = 1 + own.Uint64N(elseThings*elseOfThing)
		return sight
	}
	build, evening := of(s.Build), of(s.Evening)
	plastic := plastics[build.IntN(len(plastics))]
	primed := build.Float64() >= unprimed
	far := s.Far + 0.04*evening.NormFloat64()
	n := 0
	for far >= stages[n].until || stages[n].kind == "prime" && !primed {
		n++
	}
	tops := []string{"mat", "boards"}
	place := rand.New(rand.NewPCG(seed, 0)).IntN(len(tops))
	if evening.Float64() < elsewhere {
		place = 1 - place
	}
	if stages[n].kind != "inspect" && stages[n].kind != "clean" && stages[n].kind != "assemble" {
		plastic = color.RGBA{} // it is all under paint
	}
	view := own.IntN(stages[n].views)
	sight.Scene = scene.Shot{Model: drawnAs[s.Build], Kind: stages[n].kind, Step: stages[n].step, Skill: 0.7,
		View: []string{"three-quarter", "left", "front"}[view], Light: []string{"diffuse", "raking", "diffuse"}[view],
		Seed: uint64(10*n + view + 1), Width: 4 * sightSide, Height: 3 * sightSide, Plastic: plastic, Top: tops[place]}
	return sight
}

var drawn struct {
	sync.Mutex
	of map[scene.Shot]*image.RGBA
}

// Draw draws the sight, very small.
func (s Sight) Draw() image.Image {
	if s.Else > 0 {
		return s.lit(elseOf(s.Else - 1))
	}
	drawn.Lock()
	defer drawn.Unlock()
	img := drawn.of[s.Scene]
	if img == nil {
		img = smaller(scene.Draw(s.Scene))
		if drawn.of == nil {
			drawn.of = map[scene.Shot]*image.RGBA{}
		}
		drawn.of[s.Scene] = img
	}
	return s.lit(img)
}

// smaller is a picture of a scene by the mean of 4 by 4 pixels.
func smaller(img *image.RGBA) *image.RGBA {
	const k = 4
	b := img.Bounds()
	out := image.NewRGBA(image.Rect(0, 0, b.Dx()/k, b.Dy()/k))
	for i := range out.Pix {
		at, sum := img.PixOffset(i/4%out.Rect.Dx()*k, i/4/out.Rect.Dx()*k)+i%4, 0
		for d := range k * k {
			sum += int(img.Pix[at+d%k*4+d/k*img.Stride])
		}
		out.Pix[i] = uint8(sum / (k * k))
	}
	return out
}

// lit is a picture in the light, as a camera takes it that does not quite know which
// it is.
func (s Sight) lit(img *image.RGBA) *image.RGBA {
	rng := rand.New(rand.NewPCG(uint64(s.Light), 16))
	gain := func(sd float64) float64 { return math.Exp(sd * rng.NormFloat64() / 2.2) }
	all := gain(0.2)
	by := [4]float64{all * gain(0.08), all, all * gain(0.12), 1}
	out := image.NewRGBA(img.Rect)
	for i, v := range img.Pix {
		out.Pix[i] = uint8(min(255, by[i%4]*float64(v)))
	}
	return out
}

// usual are colors of what is photographed at home and outside.
var usual = []color.RGBA{{225, 180, 150, 255}, {120, 160, 215, 255}, {90, 120, 60, 255}, {200, 190, 170, 255},
	{140, 105, 75, 255}, {60, 70, 100, 255}, {170, 50, 50, 255}, {230, 230, 230, 255}, {40, 40, 45, 255},
	{210, 180, 90, 255}, {100, 100, 100, 255}}

// elseOf is a picture of something else: patches of a few colors, of which pictures of
// one occasion share some.
func elseOf(n uint64) *image.RGBA {
	occasion, own := rand.New(rand.NewPCG(n/elseOfThing, 1)), rand.New(rand.NewPCG(n, 2))
	var palette [5]color.RGBA
	for i := range palette {
		rng := own
		if i < 3 {
			rng = occasion
		}
		palette[i] = usual[rng.IntN(len(usual))]
	}
	const patch = sightSide / 6
	img := image.NewRGBA(image.Rect(0, 0, sightSide, sightSide*3/4))
	var of [sightSide / patch * sightSide / patch]color.RGBA
	for i := range of {
		of[i] = palette[own.IntN(len(palette))]
	}
	for y := range img.Rect.Dy() {
		for x := range img.Rect.Dx() {
			c, grain := of[y/patch*(sightSide/patch)+x/patch], 0.8+0.4*own.Float64()
			shade := func(v uint8) uint8 { return uint8(min(255, grain*float64(v))) }
			img.SetRGBA(x, y, color.RGBA{shade(c.R), shade(c.G), shade(c.B), 255})
		}
	}
	return img
}
