// How well a judge repeats what was said of the same two photos before.

package metrics

import (
	"fmt"

	"gonum.org/v1/gonum/mathext"
)

// Repeats are the pairs that one judge judged twice, and how many of them got the
// same verdict again.
type Repeats struct {
	Twice, Same int
	Guessing    float64 // share that would be the same again by chance alone
	PValue      float64 // of so many the same, or more, by chance alone
	OK          bool    // that many could be told from chance
	Why         string
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
		r.Why = "no pair was judged twice"
		return r
	}
	t := ties / float64(r.Twice)
	r.Guessing = t*t + (1-t)*(1-t)/2
	r.PValue = atLeast(r.Same, r.Twice, r.Guessing)
	if atLeast(r.Twice, r.Twice, r.Guessing) > 1-level {
		r.Why = "so few cannot be told from guessing"
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
func (r Repeats) Doubt() string {
	switch {
	case !r.OK:
		return r.Why
	case !r.Beyond():
		return "no better than chance, so far: these verdicts may say little about the work"
	}
	return ""
}

// Sentence says it in words; who is "You" or the name of a judge. It is empty where
// nothing was judged twice.
func (r Repeats) Sentence(who string) string {
	if r.Twice == 0 {
		return ""
	}
	said := fmt.Sprintf("%s judged %s twice and said the same again of %d (%.0f %%); guessing would give about %.0f %%",
		who, Count(r.Twice, "pair"), r.Same, 100*float64(r.Same)/float64(r.Twice), 100*r.Guessing)
	if doubt := r.Doubt(); doubt != "" {
		said += " (" + doubt + ")"
	}
	return said + "."
}
