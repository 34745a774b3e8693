// Tests of the agreement of two judges.

package metrics

import (
	"math"
	"math/rand/v2"
	"strings"
	"testing"

	"rakelight/journal/say"
)

// said repeats what two judges said n times.
func said(n int, first, second string) []Both {
	var out []Both
	for range n {
		out = append(out, Both{first, second})
	}
	return out
}

// Without ties kappa is 2·share − 1, and the interval is Wilson's: 8 of 10 is
// 0.490 to 0.943 and 10 of 10 is 0.722 to 1 (Brown, Cai, DasGupta 2001,
// Statistical Science 16, 101–133, formula 4).
func TestJudgesAgree(t *testing.T) {
	a := JudgesAgree(append(append(said(5, LeftBetter, LeftBetter), said(3, RightBetter, RightBetter)...), said(2, LeftBetter, RightBetter)...))
	if !a.OK || a.N != 10 {
		t.Fatalf("%+v", a)
	}
	near(t, "kappa", a.Kappa, 0.6, 1e-12)
	near(t, "share", a.Same, 0.8, 1e-12)
	near(t, "low", a.Interval.Low, 2*0.49016-1, 1e-4)
	near(t, "high", a.Interval.High, 2*0.94331-1, 1e-4)
	all := JudgesAgree(said(10, RightBetter, RightBetter))
	near(t, "all alike", all.Kappa, 1, 1e-12)
	near(t, "all alike, low", all.Interval.Low, 2*0.72247-1, 1e-4)
	if !all.Beyond() || !strings.Contains(all.JudgesSentence(say.Own("You and Mo")).String(), "10 of 10 pairs (100 %); weighted kappa 1.00 (0.44 to 1.00): more than chance.") {
		t.Errorf("%s", all.JudgesSentence(say.Own("You and Mo")).String())
	}
	apart := JudgesAgree(said(12, LeftBetter, RightBetter))
	if apart.Beyond() || apart.Kappa != -1 || !strings.Contains(apart.JudgesSentence(say.Own("You and Mo")).String(), "other way round") {
		t.Errorf("%+v", apart)
	}
	// By hand, with ties: shares of equal 8/12; weighted agreement (8+4·.75)/12
	// = 11/12; ties are 4/12 and 4/12, so chance = 1/9 + 2·(1/3·2/3)·.75 + 4/9/2.
	ties := append(append(said(6, LeftBetter, LeftBetter), said(2, NoDifference, NoDifference)...), append(said(2, NoDifference, RightBetter), said(2, LeftBetter, NoDifference)...)...)
	chance := 1.0/9 + 2*(2.0/9)*0.75 + 2.0/9
	near(t, "with ties", JudgesAgree(ties).Kappa, (11.0/12-chance)/(1-chance), 1e-12)
}

func TestJudgesAgreeRefuses(t *testing.T) {
	for _, both := range [][]Both{nil, said(9, LeftBetter, LeftBetter), append(said(9, LeftBetter, LeftBetter), said(30, LeftBetter, "cannot tell")...), said(15, NoDifference, NoDifference)} {
		if a := JudgesAgree(both); a.OK || !a.Why.Any() || a.Interval.OK || a.Beyond() || !strings.Contains(a.JudgesSentence(say.Own("x")).String(), a.Why.String()) {
			t.Errorf("%+v", a)
		}
	}
}

// The judges' order, the pairs' order, and which photo is called left play no part.
func TestJudgesAgreeSymmetry(t *testing.T) {
	rng := rand.New(rand.NewPCG(4, 4))
	outcomes := []string{LeftBetter, RightBetter, NoDifference}
	for range 50 {
		var both, turned, exchanged []Both
		for range 10 + rng.IntN(30) {
			b := Both{outcomes[rng.IntN(3)], outcomes[rng.IntN(3)]}
			both, exchanged = append(both, b), append(exchanged, Both{b.Second, b.First})
			if rng.IntN(2) == 0 {
				b = Both{turn[b.First], turn[b.Second]}
			}
			turned = append(turned, b)
		}
		rng.Shuffle(len(turned), func(i, k int) { turned[i], turned[k] = turned[k], turned[i] })
		a, b, c := JudgesAgree(both), JudgesAgree(turned), JudgesAgree(exchanged)
		for _, other := range []Agreement{b, c} {
			near(t, "kappa", other.Kappa, a.Kappa, 1e-12)
			near(t, "low", other.Interval.Low, a.Interval.Low, 1e-12)
			near(t, "SE", other.SE, a.SE, 1e-12)
		}
	}
}

// The interval covers the truth in at least 95 % of simulated pairs of judges on
// average, with few pairs and many, agreeing little and much, with ties and
// without. Without ties it is Wilson's of a share, which is known to dip to 91 %
// for single shares and numbers.
func TestJudgesAgreeCoverage(t *testing.T) {
	t.Parallel()
	rng := rand.New(rand.NewPCG(11, 5))
	const runs = 3000
	var sum, narrowed, widened, rows float64
	for _, tied := range []float64{0, 0.2, 0.4} {
		for _, alike := range []float64{0, 0.4, 0.7, 0.9} {
			// Each judge ties with this share; with the share alike the second
			// says what the first says, else he answers by himself.
			one := func() string {
				switch x := rng.Float64(); {
				case x < tied:
					return NoDifference
				case x < tied+(1-tied)/2:
					return LeftBetter
				}
				return RightBetter
			}
			truth := alike // weighted as it is: both parts have equal margins
			for _, n := range []int{10, 20, 40} {
				var c coverage
				wald := 0
				for range runs {
					var both []Both
					for range n {
						b := Both{First: one()}
						if b.Second = b.First; rng.Float64() >= alike {
							b.Second = one()
						}
						both = append(both, b)
					}
					a := JudgesAgree(both)
					c.add(a.Interval, byAmount, a.Kappa, truth)
					if a.OK && math.Abs(a.Kappa-truth) <= zQuantile()*a.SE {
						wald++
					}
				}
				if c.refused > 0 {
					t.Fatalf("ties %.1f, alike %.1f, %d pairs: %d of %d refused", tied, alike, n, c.refused, runs)
				}
				share := c.share(c.hit)
				t.Logf("ties %.1f, alike %.1f, %2d pairs: %.1f %% (large-sample interval %.1f %%), %d of %d refused", tied, alike, n, 100*share, 100*c.share(wald), c.refused, runs)
				sum, narrowed, widened, rows = sum+share, narrowed+c.share(c.narrowed), widened+c.share(c.widened), rows+1
				if share < 0.905 {
					t.Errorf("ties %.1f, alike %.1f, %d pairs: covers in %.1f %%", tied, alike, n, 100*share)
				}
			}
		}
	}
	if mean := sum / rows; mean < 0.95 || mean > 0.985 {
		t.Errorf("covers in %.3f on average", mean)
	}
	if narrowed/rows >= 0.95 || widened/rows <= 0.985 {
		t.Errorf("a fifth narrower covers in %.3f, a fifth wider in %.3f, and nobody would notice", narrowed/rows, widened/rows)
	}
}
