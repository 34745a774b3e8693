// This file chooses blind pairs: the next two photos to be judged.

package journal

import (
	"cmp"
	"math/rand/v2"
	"slices"
)

// repeatOneIn is how often a pair is shown a second time, sides exchanged, to
// see whether the judge says the same again.
const repeatOneIn = 8

// BlindPair is two photos to be judged on one criterion.
type BlindPair struct {
	Criterion   int
	Left, Right *Photo
	Again       bool // the judge has judged it before
}

// kindred is what two photos must share to be judged on one criterion.
type kindred struct {
	criterion         int
	kind, view, light string
}

// NextPair returns the pair that teaches most: of those two builds and that
// criterion that were judged against each other least, by photos of the same
// stage kind, view and light. One in eight is a pair of the judge's own, turned
// round. It returns nil when no two photos compare. Photos of before and of
// problems are not judged: they show work that was not done yet. The
// build that stood left less often stands left. skip leaves photos out, such as
// those that could not be decoded.
func (s *State) NextPair(judge string, rng *rand.Rand, skip map[string]bool) *BlindPair {
	groups := s.comparable(skip)
	if len(groups) == 0 {
		return nil
	}
	if again := s.repeat(judge, rng, skip); again != nil {
		return again
	}
	type matter struct {
		criterion int
		a, b      string
	}
	of := s.buildsOfPhotos()
	judged, lefts := map[matter]int{}, map[string]int{}
	photos := map[[2]string]int{} // criterion-free: how often a photo pair was seen
	for _, v := range s.Verdicts {
		a, b := of[v.Left], of[v.Right]
		lefts[a]++
		judged[matter{v.Criterion, min(a, b), max(a, b)}]++
		photos[[2]string{min(v.Left, v.Right), max(v.Left, v.Right)}]++
	}
	var best []BlindPair
	least := [2]int{1 << 30, 1 << 30}
	for _, g := range sortedGroups(groups) {
		for i, p := range groups[g] {
			for _, q := range groups[g][:i] {
				a, b := p.Tags.Build, q.Tags.Build
				if a == b {
					continue
				}
				seen := [2]int{judged[matter{g.criterion, min(a, b), max(a, b)}], photos[[2]string{min(p.Hash, q.Hash), max(p.Hash, q.Hash)}]}
				order := cmp.Or(cmp.Compare(seen[0], least[0]), cmp.Compare(seen[1], least[1]))
				if order < 0 {
					least, best = seen, nil
				}
				if order <= 0 {
					best = append(best, BlindPair{Criterion: g.criterion, Left: p, Right: q})
				}
			}
		}
	}
	if len(best) == 0 {
		return nil
	}
	one := best[rng.IntN(len(best))]
	l, r := lefts[one.Left.Tags.Build], lefts[one.Right.Tags.Build]
	if l > r || l == r && rng.IntN(2) == 0 {
		one.Left, one.Right = one.Right, one.Left
	}
	return &one
}

// comparable groups the photos that can be judged.
func (s *State) comparable(skip map[string]bool) map[kindred][]*Photo {
	groups := map[kindred][]*Photo{}
	for _, p := range s.Photos {
		if p.Tags.Build == "" || p.Tags.View == "" || p.Tags.Light == "" || skip[p.Hash] ||
			p.Tags.Role == "before" || p.Tags.Role == "problem" || p.Width == 0 {
			continue
		}
		for _, c := range Criteria {
			kind := p.Kind
			if p.Tags.Role == "finished" {
				kind = "" // the whole model: on any criterion, with another whole model
			} else if !slices.Contains(c.Kinds, kind) {
				continue
			}
			g := kindred{c.Number, kind, p.Tags.View, p.Tags.Light}
			groups[g] = append(groups[g], p)
		}
	}
	for g, photos := range groups {
		if !slices.ContainsFunc(photos, func(p *Photo) bool { return p.Tags.Build != photos[0].Tags.Build }) {
			delete(groups, g)
		}
	}
	return groups
}

func sortedGroups(groups map[kindred][]*Photo) []kindred {
	var keys []kindred
	for g := range groups {
		keys = append(keys, g)
	}
	slices.SortFunc(keys, func(a, b kindred) int {
		return cmp.Or(cmp.Compare(a.criterion, b.criterion), cmp.Compare(a.kind, b.kind), cmp.Compare(a.view, b.view), cmp.Compare(a.light, b.light))
	})
	return keys
}

// samePair names two photos and a criterion, whichever side they stand on.
type samePair struct {
	criterion int
	a, b      string
}

func (v Verdict) pair() samePair {
	return samePair{v.Criterion, min(v.Left, v.Right), max(v.Left, v.Right)}
}

// repeat is now and then a pair the judge judged once, but not of the last few.
func (s *State) repeat(judge string, rng *rand.Rand, skip map[string]bool) *BlindPair {
	const fresh = 6
	var own []Verdict
	times := map[samePair]int{}
	for _, v := range s.Verdicts {
		if v.Judge == judge {
			own = append(own, v)
			times[v.pair()]++
		}
	}
	if len(own) <= fresh || rng.IntN(repeatOneIn) != 0 {
		return nil
	}
	photos := map[string]*Photo{}
	for _, p := range s.Photos {
		photos[p.Hash] = p
	}
	var can []Verdict
	for _, v := range own[:len(own)-fresh] {
		if times[v.pair()] == 1 && !skip[v.Left] && !skip[v.Right] {
			can = append(can, v)
		}
	}
	if len(can) == 0 {
		return nil
	}
	v := can[rng.IntN(len(can))]
	return &BlindPair{Criterion: v.Criterion, Left: photos[v.Right], Right: photos[v.Left], Again: true}
}

// Consistency counts the pairs a judge judged twice, and those of them on which
// the second verdict was the first, whichever side the photos stood on.
func (s *State) Consistency(judge string) (twice, same int) {
	first := map[samePair]string{}
	done := map[samePair]bool{}
	for _, v := range s.Verdicts {
		if v.Judge != judge {
			continue
		}
		better := v.Outcome
		switch v.Outcome {
		case "left":
			better = v.Left
		case "right":
			better = v.Right
		}
		before, known := first[v.pair()]
		switch {
		case !known:
			first[v.pair()] = better
		case !done[v.pair()]:
			done[v.pair()] = true
			twice++
			if before == better {
				same++
			}
		}
	}
	return twice, same
}
