// How well a judge repeats what was said of the same two photos before.

package metrics

import (
	"gonum.org/v1/gonum/mathext"

	"rakelight/journal/say"
)

// Repeats are the pairs that one judge judged twice, and how many of them got the
// same verdict again.
type Repeats struct {
	Twice, Same int
	Guessing    float64 // share that would be the same again by chance alone
	PValue      float64 // of so many the same, or more, by chance alone
	OK          bool    // that many could be told from chance
	Why         Why
}

// RepeatsOf returns how the second verdicts on the same photos and criterion fell
// out beside the first, as seen from the same photo (LeftBetter, RightBetter,
// NoDifference). A judge who guesses, and says "no difference" as often as this one
// in these verdicts, with the share t, says the same again in t² + (1−t)²/2 of the
// pairs; the p value is the exact binomial one. It is not OK where even a judge who
// always says the same again could not be told from guessing.
func RepeatsOf(both []Both) Repeats {
	var r Repeats
	var ties float64
	for _, b := range both {
		r.Twice++
		if b.First == b.Second {
			r.Same++
		}
		for _, said := range []string{b.First, b.Second} {
			if said == NoDifference {
				ties += 0.5
			}
		}
	}
	if r.Twice == 0 {
		r.Why = Because("no pair was judged twice")
		return r
	}
	t := ties / float64(r.Twice)
	r.Guessing = t*t + (1-t)*(1-t)/2
	r.PValue = atLeast(r.Same, r.Twice, r.Guessing)
	if atLeast(r.Twice, r.Twice, r.Guessing) > 1-level {
		r.Why = Because("so few cannot be told from guessing")
		return r
	}
	r.OK = true
	return r
}

// atLeast is the probability of k or more successes of n.
func atLeast(k, n int, p float64) float64 {
	if k <= 0 {
		return 1
	}
	return mathext.RegIncBeta(float64(k), float64(n-k+1), p)
}

// Beyond reports whether the judge repeats himself more than guessing would.
func (r Repeats) Beyond() bool { return r.OK && r.PValue <= 1-level }

// Doubt says what speaks against the judge's eye, "" = nothing.
func (r Repeats) Doubt() Why {
	switch {
	case !r.OK:
		return r.Why
	case !r.Beyond():
		return Because("no better than chance, so far: these verdicts may say little about the work")
	}
	return Why{}
}

// Sentence says it in words; judge is "" for the owner of the journal. It is empty where
// nothing was judged twice.
func (r Repeats) Sentence(judge string) say.Text {
	if r.Twice == 0 {
		return say.Text{}
	}
	var doubt say.Text
	if why := r.Doubt(); why.Any() {
		doubt = say.Of(" (%s)", why)
	}
	pairs := say.Count{N: r.Twice, Noun: "pair"}
	share, guessing := 100*float64(r.Same)/float64(r.Twice), 100*r.Guessing
	if judge == "" {
		return say.Of("You judged %s twice and said the same again of %d (%.0f %%); guessing would give about %.0f %%%s.",
			pairs, r.Same, share, guessing, doubt)
	}
	return say.Of("%s judged %s twice and said the same again of %d (%.0f %%); guessing would give about %.0f %%%s.",
		judge, pairs, r.Same, share, guessing, doubt)
}
