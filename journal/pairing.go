// This file chooses blind pairs: the next two photos to be judged.

package journal

import (
	"cmp"
	"math/rand/v2"
	"slices"

	"rakelight/journal/metrics"
)

// repeatOneIn is how often a pair is shown a second time, sides exchanged, to
// see whether the judge says the same again.
const repeatOneIn = 8

// sharedOneIn is how often a pair is one that another judge has judged.
const sharedOneIn = 3

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
// stage kind, view and light that the judge has not judged yet: seen again they
// say nothing more of the builds. One in eight is a pair of the judge's own, turned
// round; one in three is a pair another judge has judged, because agreement can
// be told from such pairs only. It returns nil when no two photos compare.
// Photos of before and of problems are not judged: they show work that was not
// done yet; nor are those with a bench card in them, which says in words what
// build it is. The build that stood left less often stands left. skip leaves
// photos out, such as those that could not be decoded.
func (s *State) NextPair(judge string, rng *rand.Rand, skip map[string]bool) *BlindPair {
	c := s.candidates(nil, skip)
	if len(c.of) == 0 {
		return nil
	}
	if again := s.repeat(judge, rng, skip); again != nil {
		return again
	}
	lefts := map[string]int{}
	own := map[samePair]bool{}
	for _, v := range s.Verdicts {
		lefts[c.builds[v.Left]]++
		c.judged(v)
		if v.Judge == judge {
			own[v.pair()] = true
		}
	}
	one := c.least(rng, own)
	if one == nil { // the judge has judged them all
		one = c.least(rng, nil)
		one.Again = true
	}
	if rng.IntN(sharedOneIn) == 0 {
		if shared := c.shared(s.Verdicts, judge, rng); shared != nil {
			one = shared
		}
	}
	l, r := lefts[one.Left.Tags.Build], lefts[one.Right.Tags.Build]
	if l > r || l == r && rng.IntN(2) == 0 {
		one.Left, one.Right = one.Right, one.Left
	}
	return one
}

// matter is what a pair says something of: two builds and a criterion.
type matter struct {
	criterion int
	a, b      string
}

// candidates are all pairs that can be judged, by what they say something of,
// and how often each was seen.
type candidates struct {
	of      map[matter][]BlindPair
	matters []matter // sorted
	builds  map[string]string
	times   map[matter]int
	pairs   map[[2]string]int // two photos, the criterion aside
	photos  map[string]int
}

// candidates lists what can be judged on the criteria; none = on all.
func (s *State) candidates(criteria []int, skip map[string]bool) *candidates {
	c := &candidates{of: map[matter][]BlindPair{}, builds: s.buildsOfPhotos(), times: map[matter]int{},
		pairs: map[[2]string]int{}, photos: map[string]int{}}
	groups := s.comparable(skip)
	for _, g := range sortedGroups(groups) {
		if len(criteria) > 0 && !slices.Contains(criteria, g.criterion) {
			continue
		}
		for i, p := range groups[g] {
			for _, q := range groups[g][:i] {
				if a, b := p.Tags.Build, q.Tags.Build; a != b {
					m := matter{g.criterion, min(a, b), max(a, b)}
					c.of[m] = append(c.of[m], BlindPair{Criterion: g.criterion, Left: p, Right: q})
				}
			}
		}
	}
	for m := range c.of {
		c.matters = append(c.matters, m)
	}
	slices.SortFunc(c.matters, func(x, y matter) int {
		return cmp.Or(cmp.Compare(x.criterion, y.criterion), cmp.Compare(x.a, y.a), cmp.Compare(x.b, y.b))
	})
	return c
}

// judged counts a verdict.
func (c *candidates) judged(v Verdict) {
	a, b := c.builds[v.Left], c.builds[v.Right]
	c.times[matter{v.Criterion, min(a, b), max(a, b)}]++
	c.pairs[[2]string{min(v.Left, v.Right), max(v.Left, v.Right)}]++
}

// least returns one of the pairs that were seen least: by what they say
// something of, then by the two photos, then by either; those in not are left out.
// It is nil when there is none.
func (c *candidates) least(rng *rand.Rand, not map[samePair]bool) *BlindPair {
	var rarest []matter
	for _, m := range c.matters {
		if !slices.ContainsFunc(c.of[m], func(p BlindPair) bool { return !not[p.pair()] }) {
			continue
		}
		if len(rarest) > 0 && c.times[m] < c.times[rarest[0]] {
			rarest = rarest[:0]
		}
		if len(rarest) == 0 || c.times[m] == c.times[rarest[0]] {
			rarest = append(rarest, m)
		}
	}
	if len(rarest) == 0 {
		return nil
	}
	var best []BlindPair
	least := [2]int{1 << 30, 1 << 30}
	for _, p := range c.of[rarest[rng.IntN(len(rarest))]] {
		if not[p.pair()] {
			continue
		}
		l, r := p.Left.Hash, p.Right.Hash
		seen := [2]int{c.pairs[[2]string{min(l, r), max(l, r)}], c.photos[l] + c.photos[r]}
		order := cmp.Or(cmp.Compare(seen[0], least[0]), cmp.Compare(seen[1], least[1]))
		if order < 0 {
			least, best = seen, nil
		}
		if order <= 0 {
			best = append(best, p)
		}
	}
	one := best[rng.IntN(len(best))]
	return &one
}

// shared returns a pair that another judge has judged and this one has not.
func (c *candidates) shared(verdicts []Verdict, judge string, rng *rand.Rand) *BlindPair {
	others, own := map[samePair]bool{}, map[samePair]bool{}
	for _, v := range verdicts {
		switch {
		case v.Judge == judge:
			own[v.pair()] = true
		case v.Outcome != "cannot tell":
			others[v.pair()] = true
		}
	}
	var can []BlindPair
	for _, m := range c.matters {
		for _, p := range c.of[m] {
			if key := p.pair(); others[key] && !own[key] {
				can = append(can, p)
			}
		}
	}
	if len(can) == 0 {
		return nil
	}
	return &can[rng.IntN(len(can))]
}

// comparable groups the photos that can be judged.
func (s *State) comparable(skip map[string]bool) map[kindred][]*Photo {
	groups := map[kindred][]*Photo{}
	for _, p := range s.photos() {
		if skip[p.Hash] || !p.judgeable() {
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
		return cmp.Or(cmp.Compare(a.criterion, b.criterion), cmp.Compare(a.kind, b.kind), cmp.Compare(a.view, b.view),
			cmp.Compare(a.light, b.light))
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

func (p BlindPair) pair() samePair {
	l, r := p.Left.Hash, p.Right.Hash
	return samePair{p.Criterion, min(l, r), max(l, r)}
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
	photos := s.PhotosByHash()
	var can []Verdict
	for _, v := range own[:len(own)-fresh] {
		if times[v.pair()] == 1 && !skip[v.Left] && !skip[v.Right] &&
			len(photos[v.Left].Cards)+len(photos[v.Right].Cards) == 0 {
			can = append(can, v)
		}
	}
	if len(can) == 0 {
		return nil
	}
	v := can[rng.IntN(len(can))]
	return &BlindPair{Criterion: v.Criterion, Left: photos[v.Right], Right: photos[v.Left], Again: true}
}

// Repeats says how well a judge repeats himself: the second verdict on the same two
// photos beside the first, whichever side they stood on. Pairs he could not tell at
// either time are left out.
func (s *State) Repeats(judge string) metrics.Repeats {
	first := map[samePair]string{}
	done := map[samePair]bool{}
	var both []metrics.Both
	for _, v := range s.Verdicts {
		said, pair := v.asIf(min(v.Left, v.Right)), v.pair()
		if v.Judge != judge || said == "" || done[pair] {
			continue
		}
		if before, known := first[pair]; known {
			done[pair] = true
			both = append(both, metrics.Both{First: before, Second: said})
		}
		first[pair] = said
	}
	return metrics.RepeatsOf(both)
}
