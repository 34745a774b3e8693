// Tests of the choice of blind pairs.

package journal

import (
	"fmt"
	"math/rand/v2"
	"testing"
	"time"
)

// gallery has photos of three builds: alike in kind, view and light, and others.
func gallery() *State {
	s := &State{}
	add := func(build, kind, view, light, role string) {
		s.Photos = append(s.Photos, &Photo{Hash: fmt.Sprintf("%064d", len(s.Photos)), Kind: kind, Width: 100, Tags: Tags{Build: build, View: view, Light: light, Role: role}})
	}
	for _, b := range []string{"boat", "lorry", "seaplane"} {
		add(b, "seam", "left", "raking", "after")
		add(b, "seam", "left", "raking", "progress")
		add(b, "seam", "left", "raking", "before")
		add(b, "clean", "top", "diffuse", "after")
		add(b, "seam", "", "raking", "after")
	}
	add("boat", "paint", "rear", "raking", "after") // nothing like it
	add("boat", "seam", "left", "raking", "after")  // like the others, but a card in it says whose it is
	s.Photos[len(s.Photos)-1].Cards = []CardSeen{{Text: "x"}}
	return s
}

func TestNextPairIsLike(t *testing.T) {
	s := gallery()
	rng := rand.New(rand.NewPCG(1, 1))
	lefts, matters := map[string]int{}, map[string]int{}
	again, early, all := 0, 0, 0
	for _, pairs := range s.candidates(nil, nil).of {
		all += len(pairs)
	}
	judged := map[samePair]bool{}
	for i := range 240 {
		p := s.NextPair("", rng, nil)
		if p == nil {
			t.Fatal("no pair")
		}
		l, r := p.Left, p.Right
		if len(l.Cards)+len(r.Cards) > 0 {
			t.Fatal("a photo with a bench card in it tells its build")
		}
		if l.Tags.Build == r.Tags.Build || l.Kind != r.Kind || l.Tags.View == "" || l.Tags.View != r.Tags.View || l.Tags.Light != r.Tags.Light || l.Tags.Role == "before" || r.Tags.Role == "before" {
			t.Fatalf("not alike: %+v, %+v", l.Tags, r.Tags)
		}
		lefts[l.Tags.Build]++
		if p.Again != judged[p.pair()] {
			t.Fatalf("pair %d: again %v, judged before %v", i, p.Again, judged[p.pair()])
		}
		if len(judged) < all {
			early++
		}
		judged[p.pair()] = true
		if p.Again {
			if len(judged) < all {
				again++
			}
		} else {
			matters[fmt.Sprint(p.Criterion, min(l.Tags.Build, r.Tags.Build), max(l.Tags.Build, r.Tags.Build))]++
		}
		s.Verdicts = append(s.Verdicts, Verdict{Left: l.Hash, Right: r.Hash, Criterion: p.Criterion, Outcome: "left", At: time.Unix(int64(i), 0)})
	}
	for b, n := range lefts {
		if n < 60 || n > 100 {
			t.Errorf("%s stood left %d of 240 times", b, n)
		}
	}
	least, most := 240, 0
	for _, n := range matters {
		least, most = min(least, n), max(most, n)
	}
	if most-least > 8 {
		t.Errorf("pairs of builds and criteria were judged %d to %d times", least, most)
	}
	if len(judged) != all || again == 0 || 3*again > early {
		t.Errorf("%d of %d pairs judged; %d of %d were shown again before all were", len(judged), all, again, early)
	}
	if r := s.Repeats(""); r.Twice == 0 || r.Same*3 > r.Twice || r.Beyond() {
		t.Errorf("who always says left is never consistent when sides are exchanged: %+v", r)
	}
}

func TestNextPairNone(t *testing.T) {
	s := gallery()
	rng := rand.New(rand.NewPCG(1, 1))
	skip := map[string]bool{}
	for _, p := range s.Photos {
		if p.Tags.Build != "boat" {
			skip[p.Hash] = true
		}
	}
	if p := s.NextPair("", rng, skip); p != nil {
		t.Errorf("one build alone gives a pair: %+v", p)
	}
	if p := (&State{}).NextPair("", rng, nil); p != nil {
		t.Errorf("no photos give a pair: %+v", p)
	}
}

func TestRepeats(t *testing.T) {
	v := func(left, right, outcome, judge string) Verdict {
		return Verdict{Left: left, Right: right, Criterion: 4, Outcome: outcome, Judge: judge}
	}
	s := &State{Verdicts: []Verdict{
		v("a", "b", "left", ""), v("b", "a", "right", ""), // the same photo both times
		v("a", "c", "left", ""), v("c", "a", "left", ""), // the same side both times
		v("b", "c", "no difference", ""), v("c", "b", "no difference", ""), v("c", "b", "left", ""), // a third is not asked
		v("a", "d", "left", ""), v("a", "d", "left", "Mo"), // two judges
		v("a", "e", "left", ""), v("e", "a", "cannot tell", ""), // nothing was said the second time
	}}
	if r := s.Repeats(""); r.Twice != 3 || r.Same != 2 {
		t.Errorf("%+v; want 3 twice, 2 the same", r)
	}
}

// A pair that was judged before a bench card was found in one of its photos does
// not come back.
func TestRepeatWithoutCards(t *testing.T) {
	s := hall(2)
	for i := range 5 {
		s.Photos[i].Cards = []CardSeen{{Text: "x"}}
		for k := 5; k < 10; k++ {
			s.Verdicts = append(s.Verdicts, Verdict{Left: s.Photos[i].Hash, Right: s.Photos[k].Hash, Criterion: 4, Outcome: "left"})
		}
	}
	s.Photos = append(s.Photos, hall(3).Photos[10:]...)
	rng := rand.New(rand.NewPCG(1, 1))
	for range 200 {
		if p := s.NextPair("", rng, nil); len(p.Left.Cards)+len(p.Right.Cards) > 0 {
			t.Fatal("a photo with a bench card came back")
		}
	}
}
