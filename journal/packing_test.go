// Tests of the choice of pairs for packs.

package journal

import (
	"fmt"
	"math/rand/v2"
	"reflect"
	"slices"
	"testing"
)

// hall has photos of as many builds as asked, five of each alike.
func hall(builds int) *State {
	s := &State{}
	for b := range builds {
		for range 5 {
			s.Photos = append(s.Photos, &Photo{Hash: fmt.Sprintf("%064d", len(s.Photos)), Kind: "seam", Width: 100, Height: 75,
				Tags: Tags{Build: fmt.Sprint("build-", b), View: "left", Light: "raking", Role: "after"}})
		}
	}
	return s
}

// In every pack each build stands left as often as right, and so do two builds
// against each other; repetitions are turned round and far enough away.
func TestPackIsBalanced(t *testing.T) {
	earlierLeft, packs := 0, 0
	var whole int
	for builds := 2; builds <= 6; builds++ {
		for seed := range uint64(60) {
			s := hall(builds)
			rng := rand.New(rand.NewPCG(seed, uint64(builds)))
			n := 1 + rng.IntN(40)
			got := s.PackPairs(n, nil, rng, nil)
			if !reflect.DeepEqual(got, s.PackPairs(n, nil, func() *rand.Rand { r := rand.New(rand.NewPCG(seed, uint64(builds))); r.IntN(40); return r }(), nil)) {
				t.Fatal("the same seed gives another pack")
			}
			lean, between, first := map[string]int{}, map[string]int{}, map[samePair]int{}
			again := 0
			for i, p := range got {
				l, r := p.Left.Tags.Build, p.Right.Tags.Build
				if at, seen := first[p.pair()]; seen {
					again++
					if !p.Again || i-at <= repeatsApart || got[at].Left != p.Right {
						t.Fatalf("a pair comes back after %d, %+v", i-at, p)
					}
					continue
				}
				first[p.pair()] = i
				lean[l]++
				lean[r]--
				between[min(l, r)+max(l, r)] += map[bool]int{true: 1, false: -1}[l < r]
				whole++
				if l < r {
					earlierLeft++
				}
			}
			if len(first) != n || again != max(0, min(n/6, n-repeatsApart)) {
				t.Fatalf("%d builds: %d pairs and %d again, asked for %d", builds, len(first), again, n)
			}
			for b, d := range lean {
				if d < -1 || d > 1 {
					t.Errorf("%d builds, %d pairs: %s stands %+d times more often left", builds, n, b, d)
				}
			}
			for b, d := range between {
				if d < -1 || d > 1 {
					t.Errorf("%s: %+d", b, d)
				}
			}
			packs++
		}
	}
	if share := float64(earlierLeft) / float64(whole); share < 0.48 || share > 0.52 {
		t.Errorf("over %d packs the earlier build stands left in %.3f of %d pairs", packs, share, whole)
	}
}

// Half of a pack are pairs the owner has judged, so that agreement can be told;
// what was asked for decides the criterion; and a small journal gives what it has.
func TestPackPairsChoice(t *testing.T) {
	s := hall(3)
	rng := rand.New(rand.NewPCG(3, 3))
	for _, p := range s.PackPairs(20, []int{3}, rng, nil) {
		if p.Criterion != 3 {
			t.Fatalf("criterion %d was not asked for", p.Criterion)
		}
		s.Verdicts = append(s.Verdicts, Verdict{Left: p.Left.Hash, Right: p.Right.Hash, Criterion: 3, Outcome: "left"})
	}
	own := 0
	for _, p := range s.PackPairs(24, nil, rng, nil) {
		if slices.ContainsFunc(s.Verdicts, func(v Verdict) bool { return v.pair() == p.pair() }) && !p.Again {
			own++
		}
	}
	if own < 12 {
		t.Errorf("%d of 24 pairs were judged by the owner", own)
	}
	if got := s.PackPairs(500, []int{4}, rng, map[string]bool{s.Photos[0].Hash: true}); len(got) != 65+10 {
		t.Errorf("%d pairs of 14 photos, want 65 and 10 again", len(got))
	}
	if got := hall(1).PackPairs(5, nil, rng, nil); len(got) != 0 {
		t.Errorf("one build gives pairs: %+v", got)
	}
}

// A judge gets pairs another judge has judged, now and then.
func TestNextPairShared(t *testing.T) {
	s := hall(3)
	rng := rand.New(rand.NewPCG(9, 9))
	var mo []samePair
	for _, p := range s.PackPairs(10, nil, rng, nil)[:10] {
		v := Verdict{Left: p.Left.Hash, Right: p.Right.Hash, Criterion: p.Criterion, Outcome: "left", Judge: "Mo"}
		s.Verdicts, mo = append(s.Verdicts, v), append(mo, v.pair())
	}
	slices.SortFunc(mo, func(a, b samePair) int { return slices.Compare([]string{a.a, a.b}, []string{b.a, b.b}) })
	mo = slices.Compact(mo)
	shared := 0
	for range 60 {
		p := s.NextPair("", rng, nil)
		if !p.Again && slices.Contains(mo, p.pair()) {
			shared++
		}
		s.Verdicts = append(s.Verdicts, Verdict{Left: p.Left.Hash, Right: p.Right.Hash, Criterion: p.Criterion, Outcome: "right"})
	}
	if shared != len(mo) {
		t.Errorf("of %d pairs of another judge %d came in 60", len(mo), shared)
	}
}
