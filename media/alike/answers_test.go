// What is proposed, by tags and answers, where looks leave no doubt.

package alike

import (
	"context"
	"fmt"
	"slices"
	"testing"
	"time"

	"rakelight/journal"
)

// plain is a state in which photos of one view and light look alike and no others do: an
// old build without view and light, and two that have them.
func plain() (*journal.State, *Looks) {
	s := &journal.State{Zone: time.UTC}
	looks := OpenLooks(nil, nil)
	n := 0
	for b, id := range []string{"lorry", "boat", "seaplane"} {
		build := &journal.Build{}
		build.ID = id
		s.Builds = append(s.Builds, build)
		for v, view := range []string{"left", "front", "top", "rear"} {
			for l, light := range journal.Lights {
				for range 2 {
					n++
					p := &journal.Photo{Hash: fmt.Sprintf("%02x%062x", n, n), Kind: "clean", Width: 800, Height: 600,
						Instant: journal.Instant{At: time.Date(2021+2*b, 3, 1, 12, n, 0, 0, time.UTC)},
						Tags:    journal.Tags{Build: id, Stage: "clean"}}
					if b > 0 {
						p.Tags.View, p.Tags.Light = view, light
					}
					s.Photos = append(s.Photos, p)
					var shape Shape
					for i := range rows {
						shape.whole[i] = 1
					}
					for i := range rows / 4 {
						shape.whole[v*rows/4+i] = 2
					}
					unit(shape.whole[:])
					shape.near, shape.plane[v], shape.shares[l] = shape.whole, 1, 2
					looks.files[p.Hash[:2]] = map[string][]byte{p.Hash: shape.pack()}
				}
			}
		}
	}
	return s, looks
}

func find(t *testing.T, s *journal.State, looks *Looks) []journal.AlikePair {
	t.Helper()
	pairs, err := New(s, looks).Find(context.Background(), s.Builds[0], "")
	if err != nil {
		t.Fatal(err)
	}
	return pairs
}

func TestWhatIsProposed(t *testing.T) {
	s, looks := plain()
	pairs := find(t, s, looks)
	if len(pairs) != 2 || pairs[0].Like.Tags.Build == pairs[1].Like.Tags.Build {
		t.Fatalf("%d are proposed, want one with each of the other builds", len(pairs))
	}
	one := pairs[0]
	if one.Sure < surely || one.Why[0].By != journal.AlikeStep || one.Why[1].By != journal.AlikeViewLooks || one.Why[2].By != journal.AlikeLightLooks ||
		!slices.Contains(one.Unknown, journal.AlikeNoView) || !slices.Contains(one.Unknown, journal.AlikeNoScale) {
		t.Errorf("%+v", one)
	}
	if New(s, looks).Waiting(s.Builds[0], "clean") != 16 || New(s, looks).Waiting(s.Builds[1], "") != 0 {
		t.Error("those that wait are counted wrong")
	}
	// What its person said of a photo is no guess, and is believed.
	one.Photo.Tags.View = "rear"
	for _, p := range find(t, s, looks) {
		if p.Photo == one.Photo && p.Like.Tags.View != "rear" {
			t.Errorf("tagged rear, it is proposed beside %s", p.Like.Tags.View)
		}
	}
}

// No photo comes back after a no: not from the other side, and not beside another one of
// the same build, view and light.
func TestANoIsKept(t *testing.T) {
	s, looks := plain()
	asked := map[[2]string]bool{}
	for range 100 {
		pairs := find(t, s, looks)
		if len(pairs) == 0 {
			break
		}
		for _, p := range pairs {
			key := [2]string{p.Photo.Hash, p.Like.Tags.Build + p.Like.Tags.View + p.Like.Tags.Light}
			if asked[key] {
				t.Fatalf("%s is proposed again beside %s", p.Photo.Short(), key[1])
			}
			asked[key] = true
			s.Alikes = append(s.Alikes, journal.Alike{A: min(p.Photo.Hash, p.Like.Hash), B: max(p.Photo.Hash, p.Like.Hash), Not: true, Record: "d/1"})
		}
	}
	// Each of the sixteen looks like one view and light alone, of each of two builds.
	if len(asked) != 32 {
		t.Errorf("%d were asked for", len(asked))
	}
}

// A yes ends the asking about a step of two builds, and so do tags by which they are alike.
func TestAYesEndsTheAsking(t *testing.T) {
	s, looks := plain()
	p := find(t, s, looks)[0]
	s.Alikes = []journal.Alike{{A: min(p.Photo.Hash, p.Like.Hash), B: max(p.Photo.Hash, p.Like.Hash), Record: "d/1"}}
	left := find(t, s, looks)
	if len(left) != 1 || left[0].Like.Tags.Build == p.Like.Tags.Build {
		t.Errorf("after a yes %d are proposed", len(left))
	}
	s, looks = plain()
	s.Photos[0].Tags.View, s.Photos[0].Tags.Light = "left", "diffuse"
	if left := find(t, s, looks); len(left) > 0 {
		t.Errorf("a photo is tagged, and %d are proposed", len(left))
	}
}

// What is no photo of a step that stands for itself is never proposed.
func TestWhatIsNeverProposed(t *testing.T) {
	for name, change := range map[string]func(*journal.Photo){
		"a clip":                  func(p *journal.Photo) { p.Format = "mp4" },
		"a frame of a series":     func(p *journal.Photo) { p.Series = "x" },
		"one of a burst":          func(p *journal.Photo) { p.Burst = "another" },
		"of no stage":             func(p *journal.Photo) { p.Kind = "" },
		"only guessed to be here": func(p *journal.Photo) { p.Guess = true },
		"of a problem":            func(p *journal.Photo) { p.Tags.Role = "problem" },
		"without a picture":       func(p *journal.Photo) { p.Width = 0 },
	} {
		s, looks := plain()
		for _, p := range s.Photos[:16] {
			change(p)
		}
		if pairs := find(t, s, looks); len(pairs) > 0 {
			t.Errorf("%s: %d are proposed", name, len(pairs))
		}
	}
}

// With nothing tagged the surest are proposed as framed alike, and why there are none says
// that tags would help.
func TestNothingTagged(t *testing.T) {
	s, looks := plain()
	for _, p := range s.Photos {
		p.Tags.View, p.Tags.Light = "", ""
	}
	pairs := find(t, s, looks)
	if len(pairs) != 2 {
		t.Fatalf("%d are proposed, want one with each of the later builds", len(pairs))
	}
	one := pairs[0]
	framed := slices.ContainsFunc(one.Why, func(w journal.AlikeWhy) bool { return w.By == journal.AlikeFramed && w.Share == one.Sure })
	if !framed || one.Tells() || !slices.Contains(one.Unknown, journal.AlikeNoView) || !slices.Contains(one.Unknown, journal.AlikeNoLight) {
		t.Errorf("%+v", one)
	}
	// The latest build is beside none that came before it: those ask for themselves.
	f := New(s, looks)
	if last := s.Builds[2:]; f.Lacks(last, "") != (journal.AlikeLack{Of: journal.NothingOpen}) || f.Lacks(s.Builds[:1], "").Of != journal.NoneAlike {
		t.Errorf("%+v, %+v", f.Lacks(last, ""), f.Lacks(s.Builds[:1], ""))
	}
}

// What only may be alike is asked about twice of a step of two builds, and no more.
func TestWhatMayBeIsAskedTwice(t *testing.T) {
	s, looks := plain()
	for _, p := range s.Photos {
		p.Tags.View, p.Tags.Light = "", ""
	}
	for range 100 {
		pairs := slices.DeleteFunc(find(t, s, looks), func(p journal.AlikePair) bool { return p.Like.Tags.Build != "seaplane" })
		if len(pairs) == 0 {
			break
		}
		p := pairs[0]
		s.Alikes = append(s.Alikes, journal.Alike{A: min(p.Photo.Hash, p.Like.Hash), B: max(p.Photo.Hash, p.Like.Hash), Not: true, Record: "d/1"})
	}
	if len(s.Alikes) != asks || s.Alikes[0] == s.Alikes[1] {
		t.Errorf("asked %d times: %+v", len(s.Alikes), s.Alikes)
	}
}
