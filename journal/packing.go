// This file chooses the pairs of a pack: which, on which side, in what order.

package journal

import (
	"math/rand/v2"
	"slices"
)

// repeatsApart is how many pairs stand between a pair and its repetition, at
// least: fewer, and one remembers what one said.
const repeatsApart = 6

// PackPairs chooses n different pairs for judges elsewhere, or as many as there
// are, on the criteria (none = on all), and puts one in six of them in a second
// time with sides exchanged. Half of the pairs are ones the owner has judged, as
// far as there are such: without them no agreement with the owner can be told.
// The others are those that teach most, as of NextPair.
//
// Sides are balanced exactly: of the pairs between two builds each stands left
// in half, but for one when they are odd in number, and so does each build over
// all pairs. Nothing else decides sides or order but rng.
func (s *State) PackPairs(n int, criteria []int, rng *rand.Rand, skip map[string]bool) []BlindPair {
	c := s.candidates(criteria, skip)
	owner := map[samePair]bool{}
	for _, v := range s.Verdicts {
		c.judged(v)
		if v.Judge == "" && v.Outcome != "cannot tell" {
			owner[v.pair()] = true
		}
	}
	all := c.of
	c.of = map[matter][]BlindPair{}
	for m, pairs := range all {
		for _, p := range pairs {
			if owner[p.pair()] {
				c.of[m] = append(c.of[m], p)
			}
		}
	}
	var chosen []BlindPair
	take := func(upTo int) {
		for len(chosen) < upTo {
			p := c.least(rng, nil)
			if p == nil {
				return
			}
			chosen = append(chosen, *p)
			c.judged(Verdict{Left: p.Left.Hash, Right: p.Right.Hash, Criterion: p.Criterion})
			c.photos[p.Left.Hash]++
			c.photos[p.Right.Hash]++
			m := matter{p.Criterion, min(p.Left.Tags.Build, p.Right.Tags.Build),
				max(p.Left.Tags.Build, p.Right.Tags.Build)}
			for _, of := range []map[matter][]BlindPair{c.of, all} {
				of[m] = slices.DeleteFunc(of[m], func(q BlindPair) bool { return q.pair() == p.pair() })
			}
		}
	}
	take(n / 2)
	c.of = all
	take(n)
	rng.Shuffle(len(chosen), func(i, k int) { chosen[i], chosen[k] = chosen[k], chosen[i] })
	balance(chosen, rng)
	return repeated(chosen, rng)
}

// balance decides which photo of each pair stands left. Pairs between the same
// two builds are taken two by two, once this way and once the other. What is
// left over is a graph with at most one line between two builds; its lines are
// walked trail by trail, each from where it is entered to where it is left, so
// that a build is left as often as entered. Trails begin where lines are odd in
// number, so that only there one is over.
func balance(pairs []BlindPair, rng *rand.Rand) {
	put := func(i int, left string) {
		if pairs[i].Left.Tags.Build != left {
			pairs[i].Left, pairs[i].Right = pairs[i].Right, pairs[i].Left
		}
	}
	waiting := map[[2]string]int{} // of two builds, a pair that has no counterpart yet
	for i, p := range pairs {
		l, r := p.Left.Tags.Build, p.Right.Tags.Build
		key := [2]string{min(l, r), max(l, r)}
		other, ok := waiting[key]
		if !ok {
			waiting[key] = i
			continue
		}
		delete(waiting, key)
		one := rng.IntN(2)
		put(i, key[one])
		put(other, key[1-one])
	}
	lines := map[string][]int{} // build → its pairs
	var builds []string
	var single []int
	for _, i := range waiting {
		single = append(single, i)
	}
	slices.Sort(single)
	for _, i := range single {
		for _, b := range []string{pairs[i].Left.Tags.Build, pairs[i].Right.Tags.Build} {
			if lines[b] == nil {
				builds = append(builds, b)
			}
			lines[b] = append(lines[b], i)
		}
	}
	slices.Sort(builds)
	rng.Shuffle(len(builds), func(i, k int) { builds[i], builds[k] = builds[k], builds[i] })
	walk := func(at string) {
		outward := rng.IntN(2) == 0 // a whole trail may as well be walked backward
		for len(lines[at]) > 0 {
			i := lines[at][rng.IntN(len(lines[at]))]
			next := pairs[i].Left.Tags.Build
			if next == at {
				next = pairs[i].Right.Tags.Build
			}
			for _, b := range []string{at, next} {
				lines[b] = slices.DeleteFunc(lines[b], func(k int) bool { return k == i })
			}
			if outward {
				put(i, at)
			} else {
				put(i, next)
			}
			at = next
		}
	}
	for _, odd := range []int{1, 0} {
		for _, b := range builds {
			for len(lines[b])%2 == odd && len(lines[b]) > 0 {
				walk(b)
			}
		}
	}
}

// repeated puts one in six pairs in a second time, turned round and well after
// the first.
func repeated(pairs []BlindPair, rng *rand.Rand) []BlindPair {
	out := slices.Clone(pairs)
	early := len(pairs) - repeatsApart
	for _, i := range rng.Perm(max(early, 0))[:max(0, min(len(pairs)/6, early))] {
		p := pairs[i]
		again := BlindPair{Criterion: p.Criterion, Left: p.Right, Right: p.Left, Again: true}
		first := slices.IndexFunc(out, func(q BlindPair) bool { return q.pair() == p.pair() })
		at := first + 1 + repeatsApart
		out = slices.Insert(out, at+rng.IntN(len(out)-at+1), again)
	}
	return out
}
