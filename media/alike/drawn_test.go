// Journals of drawn scenes, of which is known what each photo shows.

package alike

import (
	"fmt"
	"image"
	"image/color"
	"math"
	"math/rand/v2"
	"runtime"
	"sync"
	"time"

	"rakelight/journal"
	"rakelight/media"
	"rakelight/media/scene"
)

// truth is what a drawn photo shows, whatever its tags say.
type truth struct{ kind, view, light string }

// drawnJournal is a state with its photos, their shapes and the truth.
type drawnJournal struct {
	state  *journal.State
	shapes map[string][]byte // packed, by hash
	truth  map[string]truth
	old    map[string]bool // the builds whose photos have neither view nor light
}

var (
	drawnModels = []string{"lorry", "seaplane", "pilot-boat", "lightship"}
	drawnKinds  = []string{"inspect", "cut", "clean", "dry-fit", "assemble", "seam", "prime", "paint", "detail", "gloss", "decal",
		"line", "weather", "top-coat", "base"}
	drawnViews  = []string{"three-quarter", "left", "front", "top", "right", "rear"}
	usualViews  = []float64{40, 20, 15, 10, 10, 5} // how often a person takes each
	usualLights = []float64{65, 35}
)

// habits are how a person took the photos of a build: camera, lamp, hands.
type habits struct {
	exposure, warm, upright float64
	wide, high              float64
}

// drawJournal draws three builds of the years before and two of today: ten steps of each
// with four to eight photos, by hands and cameras that differ. Of the old photos one in ten is tagged
// with a wrong step, and one in twenty shows no bench at all.
func drawJournal(seed uint64) *drawnJournal {
	rng := rand.New(rand.NewPCG(seed, 0xa11ce))
	d := &drawnJournal{state: &journal.State{Zone: time.UTC}, shapes: map[string][]byte{}, truth: map[string]truth{}, old: map[string]bool{}}
	type job struct {
		hash  string
		shot  scene.Shot
		by    habits
		other bool
		seed  uint64
	}
	var jobs []job
	for b := range 5 {
		build := &journal.Build{}
		build.ID, build.Title = fmt.Sprint("build-", b), fmt.Sprint("Build ", b)
		d.state.Builds = append(d.state.Builds, build)
		d.old[build.ID] = b < 3
		by := habits{exposure: 0.4 * rng.NormFloat64(), warm: math.Exp(0.12 * rng.NormFloat64()), upright: 0.3 * rng.Float64(), wide: 4, high: 3}
		if rng.IntN(3) == 0 {
			by.wide, by.high = 16, 9
		}
		model, skill := drawnModels[rng.IntN(4)], 0.1+0.15*float64(b)+0.1*rng.Float64()
		for _, k := range rng.Perm(len(drawnKinds))[:10] {
			for range 4 + rng.IntN(5) {
				n := len(d.state.Photos)
				is := truth{drawnKinds[k], drawnViews[weighed(rng, usualViews)], journal.Lights[weighed(rng, usualLights)]}
				p := &journal.Photo{Hash: fmt.Sprintf("%064x", n+1), Kind: is.kind, Width: 4000, Height: 3000,
					Instant: journal.Instant{At: time.Date(2021+b, 3, 1, 12, n, 0, 0, time.UTC)}, Tags: journal.Tags{Build: build.ID, Stage: is.kind}}
				j := job{hash: p.Hash, by: by, seed: rng.Uint64()}
				if d.old[build.ID] {
					if rng.IntN(10) == 0 {
						is.kind = drawnKinds[rng.IntN(len(drawnKinds))]
					}
					j.other = rng.IntN(20) == 0
				} else {
					p.Tags.View, p.Tags.Light = is.view, is.light
				}
				j.shot = scene.Shot{Model: model, Kind: is.kind, Step: []float64{0, 0.5, 1, 1}[rng.IntN(4)], Skill: skill, View: is.view, Light: is.light,
					Seed: rng.Uint64(), Width: 320, Height: 240}
				if j.other {
					is = truth{}
				}
				d.truth[p.Hash] = is
				d.state.Photos = append(d.state.Photos, p)
				jobs = append(jobs, j)
			}
		}
	}
	var lock sync.Mutex
	var group sync.WaitGroup
	todo := make(chan job)
	for range min(4, runtime.GOMAXPROCS(0)) {
		group.Go(func() {
			for j := range todo {
				rng := rand.New(rand.NewPCG(j.seed, 5))
				img := elsewhere(rng)
				if !j.other {
					img = scene.Draw(j.shot)
				}
				shape, ok := shapeOf(media.Cells(taken(rng, img, j.by), 1, grid))
				lock.Lock()
				d.shapes[j.hash] = nil
				if ok {
					d.shapes[j.hash] = shape.pack()
				}
				lock.Unlock()
			}
		})
	}
	for _, j := range jobs {
		todo <- j
	}
	close(todo)
	group.Wait()
	return d
}

func weighed(rng *rand.Rand, weights []float64) int {
	sum := 0.0
	for _, w := range weights {
		sum += w
	}
	at := rng.Float64() * sum
	for i, w := range weights {
		if at -= w; at < 0 {
			return i
		}
	}
	return len(weights) - 1
}

// taken is a scene as a person took it: nearer or further, held askew, in the camera's
// shape, its exposure, its curve, its white, its falling off to the corners, its noise.
func taken(rng *rand.Rand, src *image.RGBA, by habits) *image.RGBA {
	b := src.Bounds()
	shape := by.wide / by.high
	if rng.Float64() < by.upright {
		shape = 1 / shape
	}
	w := float64(b.Dx()) * (0.72 + 0.28*rng.Float64())
	h := w / shape
	if h > float64(b.Dy()) {
		h = float64(b.Dy())
		w = h * shape
	}
	ox := (float64(b.Dx()) - w) * (0.5 + 0.7*(rng.Float64()-0.5))
	oy := (float64(b.Dy()) - h) * (0.5 + 0.7*(rng.Float64()-0.5))
	sin, cos := math.Sincos((rng.Float64()*2 - 1) * 5 * math.Pi / 180)
	gain := math.Exp2(by.exposure + 0.35*rng.NormFloat64())
	curve := 0.85 + 0.3*rng.Float64()
	white := [3]float64{by.warm * (1 + 0.05*rng.NormFloat64()), 1, (1 + 0.05*rng.NormFloat64()) / by.warm}
	dim, noise := 0.25*rng.Float64(), 2+6*rng.Float64()
	wide, high := 192, int(192/shape)
	if shape < 1 {
		wide, high = int(192*shape), 192
	}
	out := image.NewRGBA(image.Rect(0, 0, wide, high))
	for y := range high {
		for x := range wide {
			u, v := (float64(x)+0.5)/float64(wide)-0.5, (float64(y)+0.5)/float64(high)-0.5
			px, py := u*w*cos-v*h*sin+ox+w/2, u*w*sin+v*h*cos+oy+h/2
			p := src.RGBAAt(int(min(max(px, 0), float64(b.Dx()-1))), int(min(max(py, 0), float64(b.Dy()-1))))
			var c [3]uint8
			for k, from := range [3]uint8{p.R, p.G, p.B} {
				light := math.Pow(float64(from)/255, 2.2) * gain * white[k] * (1 - dim*2*(u*u+v*v))
				c[k] = uint8(min(max(255*math.Pow(light, curve/2.2)+noise*rng.NormFloat64(), 0), 255))
			}
			out.SetRGBA(x, y, color.RGBA{c[0], c[1], c[2], 255})
		}
	}
	return out
}

// elsewhere is a picture of no bench: two grounds and a few round things.
func elsewhere(rng *rand.Rand) *image.RGBA {
	img := image.NewRGBA(image.Rect(0, 0, 320, 240))
	any := func() color.RGBA {
		return color.RGBA{uint8(rng.IntN(255)), uint8(rng.IntN(255)), uint8(rng.IntN(255)), 255}
	}
	up, down, edge := any(), any(), 50+rng.IntN(140)
	type ball struct {
		x, y, r int
		c       color.RGBA
	}
	var balls []ball
	for range rng.IntN(9) {
		balls = append(balls, ball{rng.IntN(320), rng.IntN(240), 10 + rng.IntN(70), any()})
	}
	for y := range 240 {
		for x := range 320 {
			c := up
			if y > edge {
				c = down
			}
			for _, one := range balls {
				if (x-one.x)*(x-one.x)+(y-one.y)*(y-one.y) < one.r*one.r {
					c = one.c
				}
			}
			img.SetRGBA(x, y, c)
		}
	}
	return img
}
