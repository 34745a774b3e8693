// How often a first proposal is right, on drawn scenes of which that is known.

package alike

import (
	"context"
	"flag"
	"fmt"
	"math/rand/v2"
	"slices"
	"testing"
	"time"

	"rakelight/journal"
)

var (
	journals = flag.Int("alike-journals", 2, "drawn journals to find alike photos in")
	seed     = flag.Uint64("alike-seed", 5001, "seed of the first")
)

// finder is one of a drawn journal whose photos keep their view and light where keeps
// says so.
func (d *drawnJournal) finder(keeps func(i int, p *journal.Photo) bool) *Finder {
	s := *d.state
	s.Photos = nil
	for i, p := range d.state.Photos {
		one := *p
		if !keeps(i, p) {
			one.Tags.View, one.Tags.Light = "", ""
		}
		s.Photos = append(s.Photos, &one)
	}
	looks := OpenLooks(nil, nil)
	for hash, shape := range d.shapes {
		if looks.files[hash[:2]] == nil {
			looks.files[hash[:2]] = map[string][]byte{}
		}
		looks.files[hash[:2]][hash] = shape
	}
	return New(&s, looks)
}

// outcome counts proposals: how many steps of two builds there were, and what was
// proposed.
type outcome struct{ steps, proposed, right, step, view, light int }

func (d *drawnJournal) outcome(t *testing.T, f *Finder, o *outcome) {
	for _, b := range f.Builds() {
		if !d.old[b.ID] {
			continue
		}
		for _, task := range f.tasks(b, "") {
			o.steps += len(task.later)
		}
		pairs, err := f.Find(context.Background(), b, "")
		if err != nil {
			t.Fatal(err)
		}
		for _, p := range pairs {
			is, as := d.truth[p.Photo.Hash], d.truth[p.Like.Hash]
			o.proposed++
			for to, same := range map[*int]bool{&o.right: is == as, &o.step: is.kind == as.kind, &o.view: is.view == as.view, &o.light: is.light == as.light} {
				if same {
					*to++
				}
			}
		}
	}
}

// Of the first proposals at least nine in ten are of the same step, view and light. Of
// what is too little nothing is proposed: the lines that are logged say how often it would
// have been right.
//
// go test ./media/alike -run FirstProposals -v -alike-journals 40 -alike-seed 7001
func TestFirstProposals(t *testing.T) {
	every := func(n int) func(int, *journal.Photo) bool {
		return func(i int, _ *journal.Photo) bool { return i%n == 0 }
	}
	of := func(views ...string) func(int, *journal.Photo) bool {
		return func(_ int, p *journal.Photo) bool { return slices.Contains(views, p.Tags.View) }
	}
	cases := []struct {
		name   string
		keeps  func(int, *journal.Photo) bool
		little bool // too little: nothing is proposed
	}{
		{"two builds tagged", every(1), false},
		{"one build tagged", func(_ int, p *journal.Photo) bool { return p.Tags.Build != "build-4" }, false},
		{"every second photo of two builds", every(2), false},
		{"every fourth", every(4), false},
		{"one light", func(_ int, p *journal.Photo) bool { return p.Tags.Light == "diffuse" }, false},
		{"one view, few photos of others", func(i int, p *journal.Photo) bool {
			return p.Tags.View == "three-quarter" || i%20 == 0
		}, true},
		{"two views", of("left", "three-quarter"), true},
		{"one view", of("three-quarter"), true},
	}
	outcomes := make([]outcome, len(cases))
	for n := range uint64(*journals) {
		d := drawJournal(*seed + n)
		for i, c := range cases {
			f := d.finder(c.keeps)
			if c.little {
				for _, b := range f.Builds() {
					if pairs, _ := f.Find(context.Background(), b, ""); len(pairs) > 0 {
						t.Errorf("%s: %d are proposed, of too little", c.name, len(pairs))
					}
				}
				f.anyway = true
			}
			d.outcome(t, f, &outcomes[i])
		}
	}
	for i, c := range cases {
		o := outcomes[i]
		share := func(n int) float64 { return 100 * float64(n) / float64(max(o.proposed, 1)) }
		t.Logf("%-34s %4d proposed of %4d steps of two builds: %5.1f %% right (step %.0f, view %.0f, light %.0f)", c.name, o.proposed, o.steps,
			share(o.right), share(o.step), share(o.view), share(o.light))
	}
	// Of few proposals one may be wrong by chance: the bar is held of all together.
	var all outcome
	for i, c := range cases {
		if !c.little {
			all.proposed, all.right = all.proposed+outcomes[i].proposed, all.right+outcomes[i].right
		}
	}
	if outcomes[0].proposed < 2**journals || 10*all.right < 9*all.proposed {
		t.Errorf("%d of %d are right", all.right, all.proposed)
	}
}

// TestFramesStandAside holds that no frame of a series is proposed.
func TestFramesStandAside(t *testing.T) {
	p := &journal.Photo{Hash: "1f", Width: 800, Height: 600, Kind: "clean", Tags: journal.Tags{Build: "lorry"}}
	if !fit(p) {
		t.Fatal("a photo of a step does not fit, so this proves nothing")
	}
	if p.Series = "1f"; fit(p) {
		t.Error("a frame of a series fits")
	}
}

// BenchmarkFind finds in a journal of 60 builds and 20,000 photos, of which two thirds have
// neither view nor light, once all were looked at: in one build, as a page does, and in all.
func BenchmarkFind(b *testing.B) {
	s, looks := large(20000, 60)
	for _, builds := range []int{1, 60} {
		b.Run(fmt.Sprint(builds), func(b *testing.B) {
			for b.Loop() {
				f := New(s, looks)
				for _, build := range f.Builds()[:builds] {
					if _, err := f.Find(context.Background(), build, ""); err != nil {
						b.Fatal(err)
					}
				}
			}
		})
	}
}

// large is a state of many photos whose looks are drawn at random.
func large(photos, builds int) (*journal.State, *Looks) {
	s, looks := &journal.State{Zone: time.UTC}, OpenLooks(nil, nil)
	rng := rand.New(rand.NewPCG(1, 2))
	for i := range builds {
		build := &journal.Build{}
		build.ID = fmt.Sprint("build-", i)
		s.Builds = append(s.Builds, build)
	}
	for i := range photos {
		p := &journal.Photo{Hash: fmt.Sprintf("%02x%062x", i%256, i), Kind: drawnKinds[i%len(drawnKinds)], Width: 4000, Height: 3000,
			Instant: journal.Instant{At: time.Date(2006, 3, 1, i, 0, 0, 0, time.UTC)}, Tags: journal.Tags{Build: s.Builds[i*builds/photos].ID, Stage: "x"}}
		if 3*i > 2*photos {
			p.Tags.View, p.Tags.Light = drawnViews[rng.IntN(6)], journal.Lights[rng.IntN(2)]
		}
		s.Photos = append(s.Photos, p)
		var shape Shape
		for k := range shape.whole {
			shape.whole[k], shape.near[k] = rng.Float32(), rng.Float32()
		}
		shape.plane[rng.IntN(8)], shape.shares[2] = 1, rng.Float32()
		if unit(shape.whole[:]) && unit(shape.near[:]) {
			begin := p.Hash[:2]
			if looks.files[begin] == nil {
				looks.files[begin] = map[string][]byte{}
			}
			looks.files[begin][p.Hash] = shape.pack()
		}
	}
	return s, looks
}
