// This file is the build that is kept with bench cards alone: what it says to
// the camera in an evening, and when. No record is written for it; its hours,
// parts, pause and roles come from the pictures drawn here.

package demo

import (
	"fmt"
	"image"
	"math/rand/v2"
	"slices"
	"strings"
	"sync"
	"time"

	"rakelight/journal"
	"rakelight/media/card"
	cardshot "rakelight/media/card/shot"
	"rakelight/media/scene"
)

// Pictures of cards alone are small: they are there to be read, not looked at.
// With more than two cards side by side they are larger, so that each is read.
const cardWidth, manyCardsWidth = 480, 640

// benches are seeds whose bench under the cards is wood or a cutting mat.
var benches = []uint64{0, 2, 3, 1}

// lying is how large the card beside the work is by what is photographed, by
// model and kind: the runners are some 16 cm wide, the boat's hull 26 cm, the
// lightship's 15 cm. A kind that is not listed is photographed too low over the
// bench for a card to be read.
var lying = map[string]float64{
	"pilot-boat cut": 0.6, "pilot-boat clean": 0.5, "pilot-boat seam": 0.36,
	"tender cut": 0.6, "lightship inspect": 0.6, "lightship cut": 0.6, "lightship clean": 0.5, "lightship seam": 0.62,
}

// sayer hands out the printed cards of a build.
type sayer struct {
	story story
	build *journal.Build
	set   []card.Face
}

func newSayer(p story, b *journal.Build) *sayer {
	set := card.SetOf(b)
	for i := range set {
		set[i].Card.Sheet = p.sheet
	}
	return &sayer{p, b, set}
}

// print is the card of the set that says so; one that is not in it has no words
// for the person, and is none of ours.
func (s *sayer) print(c journal.Card) card.Face {
	c.Sheet = s.story.sheet
	i := slices.IndexFunc(s.set, func(p card.Face) bool { return p.Card == c })
	if i < 0 {
		panic(fmt.Sprintf("the demo's %s has no card that says %+v", s.build.ID,
			c)) // the story names only its own stages and runners
	}
	return s.set[i]
}

func (s *sayer) word(v journal.CardVerb, word string) card.Face {
	return s.print(journal.Card{Says: v, Word: word})
}

func (s *sayer) begin(stage string) card.Face {
	return s.print(journal.Card{Says: journal.BeginCard, Build: journal.BuildKey(s.build.ID),
		Stage: journal.StageKey(stage)})
}

func (s *sayer) end() card.Face { return s.print(journal.Card{Says: journal.EndCard}) }

// evening is what is said and photographed on an evening of a piece of work.
func (s *sayer) evening(sat sitting, rng *rand.Rand) []shot {
	w, i, start, end := sat.work, sat.nth, sat.start, sat.end
	sights := s.story.photograph(sat, rng)
	view := []card.Face{s.word(journal.ViewCard, "three-quarter"), s.word(journal.LightCard, lightOf(w.kindShown()))}
	first := []card.Face{s.begin(w.stage)}
	if w.trial != "" && i == 0 {
		on := s.print(journal.Card{Says: journal.TrialCard, Count: 1})
		on.Rules = []string{"Tool or material\n" + w.trial, "Since\n" + start.Format("2 January")}
		first = append(first, on)
	}
	done := s.counted(sat)
	last, left := append(slices.Clone(done), s.end()), done
	var out []shot
	for _, one := range sights {
		if one.role == "progress" { // what no card says
			out = append(out, one)
			first = append(first, view...)
			continue
		}
		role := s.word(journal.RoleCard, one.role)
		lies := one.lay(role)
		said := slices.Clone(view)
		if !lies {
			said = append(said, role)
		}
		if one.role == "after" {
			// The counts come before the last look, once, the end after it.
			out = append(out, s.cards(append(said, left...), one.taken.Add(-40*time.Second)))
			left = nil
			last = []card.Face{s.end()}
		} else {
			first = append(first, said...)
		}
		out = append(out, one)
	}
	if w.problem && i == 0 {
		one := s.story.sight(w, "problem", 0.5,
			start.Add(time.Duration(0.6*float64(end.Sub(start)))).Truncate(time.Second))
		one.hold(true, i)
		one.lay(s.word(journal.RoleCard, "problem"))
		out = append(out, s.cards(view, one.taken.Add(-30*time.Second)), one)
	}
	if w.again > 0 {
		// The same card a second time, on purpose: as many again.
		out = append(out, s.cards(done, start.Add(end.Sub(start)/2).Truncate(time.Second)))
	}
	out = append(out, s.cards(first, start), s.cards(last, end))
	for k := range out {
		out[k].folder = ""
	}
	return out
}

// counted are the cards that say what was done on an evening: whole runners, or
// so many.
func (s *sayer) counted(sat sitting) []card.Face {
	var out []card.Face
	w := sat.work
	if w.perHour == 0 {
		return nil
	}
	for _, letter := range w.on(sat.nth).runners {
		out = append(out, s.print(journal.Card{Says: journal.RunnerCard, Kit: w.kit, Word: string(letter)}))
	}
	left := sat.done - len(sat.parts)
	if w.again > 0 {
		left = w.again
	}
	for _, c := range []int{20, 10, 5, 2, 1} {
		if c <= left {
			out = append(out, s.print(journal.Card{Says: journal.CountCard, Count: c}))
			left -= c
		}
	}
	return out
}

// on is the work of evening i, whole runners only.
func (w work) on(i int) work {
	n := len(w.runners)
	w.runners = w.runners[n*i/w.evenings : n*(i+1)/w.evenings]
	return w
}

// lay lays a card beside the work of the photos of before and after, where it
// can be read, and returns them.
func (s *sayer) lay(shots []shot) []shot {
	for i := range shots {
		if role := shots[i].role; role == "before" || role == "after" {
			shots[i].lay(s.word(journal.RoleCard, role))
		}
	}
	return shots
}

// pause is the card that puts the build aside, with what is written on it.
func (s *sayer) pause(w work, at time.Time) shot {
	aside := s.print(journal.Card{Says: journal.PauseCard, Build: journal.BuildKey(s.build.ID)})
	aside.Rules = []string{"Why\n" + w.why, "Next\n" + w.next, "Waiting for\n" + w.waiting}
	return s.cards([]card.Face{aside}, at)
}

// cards is a picture of cards alone, laid out on the bench.
func (s *sayer) cards(prints []card.Face, at time.Time) shot {
	one := shot{taken: at}
	one.hold(true, 0)
	seed := hash(s.build.ID, at.String())
	rng := rand.New(rand.NewPCG(seed, 0x6361_7264))
	columns, rows := 1, 1
	for columns*rows < len(prints) {
		if columns <= rows {
			columns++
		} else {
			rows++
		}
	}
	width := cardWidth
	if columns > 2 {
		width = manyCardsWidth
	}
	one.cards = &cardshot.Shot{
		Width: width, Height: width * 3 / 4, Seed: benches[seed%uint64(len(benches))],
		Noise: 2, Uneven: 0.1 + 0.3*rng.Float64(), Tint: [3]float64{1, 0.96, 0.88}, Exposure: 1.1,
	}
	// All lie on one bench, which the camera looks at a little from the side.
	bench := cardshot.Placed{Share: 0.84 / float64(max(columns, rows)), X: 0.5, Y: 0.5, Tilt: 0.15 * rng.Float64(),
		TiltAxis: 3 * rng.Float64()}
	for i, p := range prints {
		x := (float64(i%columns)+0.5)/float64(columns) + 0.02*(rng.Float64()-0.5)
		y := (float64(i/columns)+0.5)/float64(rows) + 0.02*(rng.Float64()-0.5)
		placed := bench.InPlane(x, y, 0.1*(rng.Float64()-0.5), 1, width, width*3/4)
		placed.Face = p
		one.cards.Cards = append(one.cards.Cards, placed)
	}
	return one
}

// lay lays a card beside the work where it can be read there, and tells whether.
func (s *shot) lay(p card.Face) bool {
	width := lying[s.scene.Model+" "+s.scene.Kind]
	if width == 0 {
		return false
	}
	s.scene.Beside = scene.Paper{Image: rasterOf(p), Width: width}
	return true
}

var rasters sync.Map // words of the card → *image.Gray

// rasterOf is the card as printed, finer than it is seen.
func rasterOf(p card.Face) *image.Gray {
	key := strings.Join(append([]string{p.Words, p.Of, p.Card.Sheet}, p.Rules...), "\n")
	if img, ok := rasters.Load(key); ok {
		return img.(*image.Gray)
	}
	img, err := p.Raster(8)
	if err != nil {
		panic(err) // a card of a set can be drawn
	}
	rasters.Store(key, img)
	return img
}
