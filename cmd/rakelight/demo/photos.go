// This file is which photos the story takes, and how they reach the inbox.

package demo

import (
	"bytes"
	"cmp"
	"context"
	"fmt"
	"hash/fnv"
	"image"
	"image/png"
	"math/rand/v2"
	"os"
	"path/filepath"
	"runtime"
	"sync"
	"time"

	cardshot "rakelight/media/card/shot"
	"rakelight/media/scene"
)

// The two invented cameras: a bench camera that knows no time zone, and a
// telephone that states it.
var (
	benchCamera = scene.Exif{Make: "Tarrow", Model: "T-24", Serial: "0042817"}
	telephone   = scene.Exif{Make: "Pellory", Model: "P5"}
)

// PhotoWidth is how wide the photos are drawn, in pixels, four to three of their
// height: one of the sizes that pages show, so that it is written as it is. Tests
// of what is not in the pictures draw smaller ones.
var PhotoWidth = 960

// shot is one photo to be drawn and dropped.
type shot struct {
	folder string // below the inbox
	name   string
	scene  scene.Shot
	exif   scene.Exif
	taken  time.Time
	plain  bool // a PNG without any date
	role   string
	cards  *cardshot.Shot // bench cards alone, in place of the scene
}

// kindShown is the kind of work that the pictures show.
func (w work) kindShown() string { return cmp.Or(w.scene, w.stage) }

// joined says that the work is on what is put together, of which there are many places.
func (w work) joined() bool { return w.stage == "assemble" || w.stage == "seam" || w.stage == "paint" }

// lightOf is the light a kind of work is photographed under: small steps and
// scratches show only in low light.
func lightOf(kind string) string {
	if kind == "clean" || kind == "seam" {
		return "raking"
	}
	return "diffuse"
}

// sight is a photo of a piece of work, so far done as step says.
func (p story) sight(w work, role string, step float64, at time.Time) shot {
	kind, view := w.kindShown(), cmp.Or(w.view, "three-quarter")
	light := lightOf(kind)
	model := p.model
	if w.kit > 1 {
		model = p.second
	}
	return shot{
		folder: filepath.Join(p.id, w.stage, role, view, light),
		scene: scene.Shot{
			Model: model, Kind: kind, Step: step, Skill: p.skill, View: view, Light: light,
			Seed: hash(p.id, w.stage), Width: PhotoWidth, Height: PhotoWidth * 3 / 4,
		},
		taken: at, role: role,
	}
}

// photograph returns the photos of an evening of a piece of work: the state
// before on the first, the state after on the last, now and then one between.
func (p story) photograph(sat sitting, rng *rand.Rand) []shot {
	w, i, start, end := sat.work, sat.nth, sat.start, sat.end
	one := func(role string, step float64, at time.Time) shot {
		s := p.sight(w, role, step, at)
		s.hold(p.phone, len(p.id)+i)
		// Half the photos are dropped without naming the stage: the session
		// that covers their time tells it.
		if !p.phone && role != "finished" && (i+len(w.stage))%2 == 0 {
			s.folder = filepath.Join(role, s.scene.View, s.scene.Light)
		}
		return s
	}
	inside := func(share float64) time.Time {
		at := start.Add(time.Duration(share * float64(end.Sub(start))))
		return at.Add(time.Duration(rng.IntN(50)) * time.Second).Truncate(time.Second)
	}
	var shots []shot
	if w.glimpse > 0 && i == w.evenings-1 {
		shots = append(shots, one("progress", w.glimpse, inside(0.7)))
	}
	if w.quiet {
		return shots
	}
	if i == 0 {
		shots = append(shots, one("before", 0, inside(0.05)))
	}
	if w.evenings > 4 && i == w.evenings/2 && !p.cards {
		shots = append(shots, one("progress", 0.5, inside(0.6)))
	}
	if i == w.evenings-1 && !w.open {
		shots = append(shots, one("after", 1, inside(0.9)))
	}
	if i == w.evenings-1 && !w.open && w.joined() {
		// One photo is luck: what is left is seen in three places.
		for k := range 2 {
			s := p.sight(w, "after", 1, start.Add(end.Sub(start)*time.Duration(92+3*k)/100).Truncate(time.Second))
			s.scene.Seed = hash(p.id, w.stage, fmt.Sprint("place ", k+2))
			s.hold(p.phone, len(p.id)+i+k+1)
			shots = append(shots, s)
		}
	}
	if i == w.evenings-1 && w.last {
		for k, v := range []string{"three-quarter", "front", "left", "top"} {
			s := one("finished", 1, end.Add(time.Duration(10+2*k)*time.Minute))
			s.folder, s.scene.View, s.scene.Light = filepath.Join(p.id, w.stage, "finished", v, "diffuse"), v, "diffuse"
			shots = append(shots, s)
		}
	}
	return shots
}

// hold puts a camera behind the shot: what it writes as the time, and how it
// names its files.
func (s *shot) hold(phone bool, n int) {
	if phone {
		s.exif = telephone
		s.exif.At = s.taken
		s.exif.Offset = s.taken.Format("-07:00")
		s.exif.SubSec = fmt.Sprintf("%03d", (n*137)%1000)
		s.name = s.taken.Format("20060102_150405") + ".jpg"
		// A telephone held upright stores its picture on the side.
		if n%4 == 1 {
			s.exif.Orientation = 6
		}
		return
	}
	s.exif = benchCamera
	s.exif.At = s.taken
	if s.taken.Year() == 2024 {
		s.exif.At = s.taken.Add(58 * time.Minute)
	}
	s.name = fmt.Sprintf("T24_%04d.JPG", int(s.taken.Unix()/60%10000))
}

// strays are three photos that do not say where they belong: one taken a while
// after a session, one on a day without any, one without a date.
func strays(zone *time.Location) []shot {
	late := shot{taken: time.Date(2026, 11, 20, 20, 58, 12, 0, zone),
		scene: scene.Shot{Model: "lightship", Kind: "clean", Step: 0.8, Skill: 0.85, View: "top", Light: "diffuse"}}
	lone := shot{taken: time.Date(2025, 8, 3, 15, 12, 40, 0, zone),
		scene: scene.Shot{Model: "pilot-boat", Kind: "top-coat", Step: 1, Skill: 0.7, View: "left", Light: "diffuse"}}
	undated := shot{taken: time.Date(2026, 11, 21, 9, 0, 0, 0, zone), name: "swatch.png", plain: true,
		scene: scene.Shot{Model: "lightship", Kind: "prime", Step: 0.6, Skill: 0.85, View: "left", Light: "diffuse"}}
	all := []shot{late, lone, undated}
	for i := range all {
		all[i].scene.Seed, all[i].scene.Width, all[i].scene.Height = uint64(90+i), PhotoWidth, PhotoWidth*3/4
		if !all[i].plain {
			all[i].hold(true, i*4)
		}
	}
	return all
}

// drop draws the shots and puts them into the inbox, two or more at a time.
func drop(ctx context.Context, inbox string, shots []shot, report Report) error {
	var (
		next, done int
		mu         sync.Mutex
		failed     error
		wg         sync.WaitGroup
	)
	for range max(1, min(4, runtime.GOMAXPROCS(0))) {
		wg.Go(func() {
			for {
				mu.Lock()
				i := next
				next++
				stop := failed != nil
				mu.Unlock()
				if stop || i >= len(shots) {
					return
				}
				err := ctx.Err()
				if err == nil {
					err = shots[i].write(inbox)
				}
				mu.Lock()
				if err != nil && failed == nil {
					failed = err
				}
				done++
				report(done, len(shots), "photos drawn")
				mu.Unlock()
			}
		})
	}
	wg.Wait()
	return failed
}

func (s shot) write(inbox string) error {
	var b bytes.Buffer
	var img image.Image
	var err error
	if s.cards != nil {
		img, err = s.cards.Draw()
	} else {
		img = scene.Draw(s.scene)
	}
	switch {
	case err != nil:
	case s.plain:
		err = png.Encode(&b, img)
	default:
		err = scene.WriteJPEG(&b, img, s.exif)
	}
	if err != nil {
		return err
	}
	dir := filepath.Join(inbox, s.folder)
	if err := os.MkdirAll(dir, 0o755); err != nil {
		return err
	}
	path := filepath.Join(dir, s.name)
	if err := os.WriteFile(path, b.Bytes(), 0o644); err != nil {
		return err
	}
	return os.Chtimes(path, s.taken, s.taken)
}

// hash makes a seed of words, so that the same step of the same build shows
// the same parts before and after.
func hash(words ...string) uint64 {
	h := fnv.New64a()
	for _, w := range words {
		h.Write([]byte(w))
	}
	return h.Sum64()
}
