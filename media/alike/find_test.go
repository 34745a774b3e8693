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

// outcome counts steps of two builds, in how many of them two photos are of one view and
// light, and what was proposed: as surely alike, and as what may be.
type outcome struct {
	steps, could int
	sure, mayBe  tally
	view, light  int // right of those that are sure
}

// tally is how many were proposed, and how many of those are right.
type tally struct{ proposed, right int }

func (n tally) String() string {
	return fmt.Sprintf("%d of %d (%.0f %%)", n.right, n.proposed, 100*float64(n.right)/float64(max(n.proposed, 1)))
}

func (d *drawnJournal) outcome(t *testing.T, f *Finder, o *outcome) {
	for _, b := range f.Builds() {
		if !d.old[b.ID] {
			continue
		}
		for _, task := range f.tasks(b, "") {
			for _, other := range task.later {
				o.steps++
				if slices.ContainsFunc(task.open, func(p *journal.Photo) bool {
					return slices.ContainsFunc(f.photos[place{other.ID, task.kind}], func(q *journal.Photo) bool {
						return d.truth[p.Hash] == d.truth[q.Hash]
					})
				}) {
					o.could++
				}
			}
		}
		pairs, err := f.Find(context.Background(), b, "")
		if err != nil {
			t.Fatal(err)
		}
		for _, p := range pairs {
			is, as := d.truth[p.Photo.Hash], d.truth[p.Like.Hash]
			to := &o.mayBe
			if p.Sure >= f.surely() {
				to = &o.sure
				if is.view == as.view {
					o.view++
				}
				if is.light == as.light {
					o.light++
				}
			}
			to.proposed++
			if is == as {
				to.right++
			}
		}
	}
}

// tagged keeps view and light of so many photos of the new builds, drawn at random.
func (d *drawnJournal) tagged(n int, seed uint64) func(int, *journal.Photo) bool {
	var all []int
	for i, p := range d.state.Photos {
		if !d.old[p.Tags.Build] {
			all = append(all, i)
		}
	}
	keep := map[int]bool{}
	for _, k := range rand.New(rand.NewPCG(seed, 77)).Perm(len(all))[:n] {
		keep[all[k]] = true
	}
	return func(i int, _ *journal.Photo) bool { return keep[i] }
}

// Of the first proposals that are called sure at least nine in ten are of the same step,
// view and light. With few photos tagged none are called so, and with none two in three are
// right of those that may be alike.
//
// go test ./media/alike -run FirstProposals -v -alike-journals 12 -alike-seed 7001
func TestFirstProposals(t *testing.T) {
	every := func(n int) func(int, *journal.Photo) bool {
		return func(i int, _ *journal.Photo) bool { return i%n == 0 }
	}
	of := func(views ...string) func(int, *journal.Photo) bool {
		return func(_ int, p *journal.Photo) bool { return slices.Contains(views, p.Tags.View) }
	}
	names := []string{"two builds tagged", "one build tagged", "every second photo of two builds", "every fourth",
		"one light", "two views", "one view", "20 photos", "10 photos", "5 photos", "none"}
	outcomes := make([]outcome, len(names))
	for n := range uint64(*journals) {
		d := drawJournal(*seed + n)
		for i, keeps := range []func(int, *journal.Photo) bool{
			every(1),
			func(_ int, p *journal.Photo) bool { return p.Tags.Build != "build-4" },
			every(2), every(4),
			func(_ int, p *journal.Photo) bool { return p.Tags.Light == "diffuse" },
			of("left", "three-quarter"), of("three-quarter"),
			d.tagged(20, *seed+n), d.tagged(10, *seed+n), d.tagged(5, *seed+n), d.tagged(0, *seed+n),
		} {
			d.outcome(t, d.finder(keeps), &outcomes[i])
		}
	}
	var all tally
	for i, name := range names {
		o := outcomes[i]
		t.Logf("%-32s %3d steps, %3d have such a pair: sure %s, view %d, light %d; may be %s", name, o.steps, o.could, o.sure, o.view,
			o.light, o.mayBe)
		all.proposed, all.right = all.proposed+o.sure.proposed, all.right+o.sure.right
	}
	// Of few proposals one may be wrong by chance: the bar is held of all together.
	t.Log("in all", all)
	if first := outcomes[0]; 4*first.sure.proposed < first.steps || 10*all.right < 9*all.proposed {
		t.Errorf("of %d steps %d are proposed; of all %s are right", first.steps, first.sure.proposed, all)
	}
	if none := outcomes[len(outcomes)-1]; none.sure.proposed > 0 || 4*none.mayBe.proposed < none.steps || 3*none.mayBe.right < 2*none.mayBe.proposed {
		t.Errorf("with nothing tagged %d are called sure, and of %d steps %s may be", none.sure.proposed, none.steps, none.mayBe)
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
