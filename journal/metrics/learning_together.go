// Learning over all kinds of work together: the whole, before its parts.

package metrics

import (
	"maps"
	"math"
	"slices"
)

// LearnTogether fits one learning rate to all stage kinds of ws that Learn could have
// a say on, with the parts done before by kind (nil = none). It is Learn, with these
// differences:
//
//   - Each kind counts its own parts, and each cell has its own hours; the rate alone
//     is shared. Where kinds learn at different rates, it is a mean of them that
//     weighs each as what its sessions tell.
//   - The mood of an evening is shared by all that is worked in it, so that eight
//     kinds of work on one bad evening are one bad evening.
//   - A kit's difficulty is in part that of the kit and in part that of the kind of
//     work in it; how much of each is averaged over.
//
// Kinds whose parts did not double one and a half times stay out. Whether anything
// was learned at all is asked here; of what, by Learn, behind it.
func LearnTogether(ws []Work, before map[string]float64) Learning {
	done := func(kind string) float64 { return max(before[kind], 0) }
	var l Learning
	told := l.lessons(doubled(ws, done), done)
	for _, kind := range slices.Sorted(maps.Keys(before)) {
		if slices.ContainsFunc(told, func(s lesson) bool { return s.cell.Kind == kind }) {
			l.Before += done(kind)
		}
	}
	switch {
	case l.Evenings < enoughToLearn:
		l.refuse(tooFewEvenings(l.Evenings))
	case l.comparable() && l.settle(fitCurve(told, math.Inf(1), scatterOf(pointers(ws)...))):
		l.tell()
	}
	return l
}

// doubled are the Works of kinds whose parts done doubled often enough.
func doubled(ws []Work, before func(kind string) float64) []*Work {
	byKind := map[string][]*Work{}
	for i := range ws {
		w := &ws[i]
		byKind[w.Kind] = append(byKind[w.Kind], w)
	}
	var out []*Work
	for _, kind := range slices.Sorted(maps.Keys(byKind)) {
		if n := before(kind); doublingsOf(byKind[kind], n) >= enoughDoublings {
			out = append(out, byKind[kind]...)
		}
	}
	return out
}

// doublingsOf is how often the parts of one kind doubled, 0 for none.
func doublingsOf(ws []*Work, before float64) float64 {
	var first *Work
	var sum float64
	for _, w := range ws {
		if !w.lesson() {
			continue
		}
		sum += w.Parts
		if first == nil || w.Start.Before(first.Start) {
			first = w
		}
	}
	if !(sum > 0) {
		return 0
	}
	return doublings(before, first.Parts, before+sum)
}
