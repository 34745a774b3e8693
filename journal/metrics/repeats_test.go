// Repeated verdicts against chance.

package metrics

import (
	"math"
	"slices"
	"strings"
	"testing"
)

// The exact tail: 3 of 15 at 1 in 10 is 0.18406106910639114 (documentation of
// scipy.stats.binomtest, its example).
func TestAtLeast(t *testing.T) {
	near(t, "3 of 15", atLeast(3, 15, 0.1), 0.18406106910639114, 1e-14)
	near(t, "all", atLeast(4, 4, 0.5), 0.0625, 1e-15)
	near(t, "none", atLeast(0, 4, 0.5), 1, 0)
}

func TestRepeats(t *testing.T) {
	always := RepeatsOf(said(12, LeftBetter, LeftBetter))
	if !always.Beyond() || always.Guessing != 0.5 || always.Doubt().Any() || math.Abs(always.PValue-math.Pow(0.5, 12)) > 1e-15 {
		t.Errorf("%+v", always)
	}
	guess := RepeatsOf(slices.Concat(said(7, LeftBetter, LeftBetter), said(6, LeftBetter, RightBetter)))
	if !guess.OK || guess.Beyond() || !strings.Contains(guess.Sentence("").String(), "You judged 13 pairs twice and said the same again of 7 (54 %); guessing would give about 50 % (no better than chance") {
		t.Errorf("%s", guess.Sentence("").String())
	}
	// Who says "no difference" nearly always repeats it by chance too: 18 of 20 verdicts,
	// so 0.9² + 0.1²/2 by chance, and 9 of 10 are no sign of an eye.
	ties := RepeatsOf(append(said(9, NoDifference, NoDifference), said(1, LeftBetter, RightBetter)...))
	near(t, "guessing", ties.Guessing, 0.815, 1e-12)
	if ties.Beyond() {
		t.Errorf("%+v", ties)
	}
	for _, few := range [][]Both{nil, said(4, LeftBetter, LeftBetter), said(30, NoDifference, NoDifference)} {
		if r := RepeatsOf(few); r.OK || r.Beyond() || !r.Why.Any() || (r.Sentence("").String() == "") != (len(few) == 0) {
			t.Errorf("%+v", r)
		}
	}
}
