// How much pairs can be seen to show: the smallest chance that they would tell from
// one half.

package metrics

import (
	"math"

	"rakelight/journal/say"
)

const (
	// The chance that is worth waiting for: two of three. A fifth more of pace is
	// of the same kind.
	worthSeeing = 2.0 / 3
	// More pairs than these are no advice.
	mostMorePairs = 500
	// Pairs that would miss what is picked 99 times in 100 show nothing.
	nearlySure = 0.99
)

// ChanceSight is how well pairs show that one is picked more often than the other.
type ChanceSight struct {
	N     int     // pairs there are
	Worth float64 // single pairs on photos of their own that tell as much
	OK    bool
}

// Sight says how much the pairs of a chance can show. Their worth is that of so many
// independent pairs as give the range that stands beside the chance:
//
//	n = 1 / (se² · p·(1−p))     se of the log odds
//
// so what photos and judges have in common, and what the model holds beforehand, is in it.
func (c Chance) Sight() ChanceSight {
	if !c.OK || !c.Tested || !c.Interval.OK {
		return ChanceSight{}
	}
	logit := func(p float64) float64 { return math.Log(p / (1 - p)) }
	se := (logit(c.Interval.High) - logit(c.Interval.Low)) / 2 / zQuantile()
	return ChanceSight{N: c.N, Worth: 1 / (se * se * c.P * (1 - c.P)), OK: true}
}

// Power is the probability that such pairs tell a chance of p from one half, two-sided
// at 0.05, when the chance is p.
func (s ChanceSight) Power(p float64) float64 {
	return powerOfShares(p-0.5, math.Sqrt(0.25/s.Worth), math.Sqrt(p*(1-p)/s.Worth))
}

// powerOfShares is the power of a test of shares by the normal distribution, given the
// standard errors without and with the shift, the nearer tail alone.
//
//	Φ((|shift| − z·without) / with)
//
// Fleiss J.L. (1981), Statistical Methods for Rates and Proportions, 2nd ed., chapter 3.
func powerOfShares(shift, without, with float64) float64 {
	return 0.5 * math.Erfc(-(math.Abs(shift)-zQuantile()*without)/with/math.Sqrt2)
}

// Smallest is the least chance above one half that these pairs show four times in five.
func (s ChanceSight) Smallest() float64 {
	low, high := 0.5, 1-1e-9
	for high-low > 1e-9 {
		if mid := (low + high) / 2; s.Power(mid) < power {
			low = mid
		} else {
			high = mid
		}
	}
	return high
}

// Blind says that no chance worth the name can be seen.
func (s ChanceSight) Blind() bool { return s.Smallest() > nearlySure }

// MoreFor is how many more pairs like these would show a chance of p; 0 when these do. ok
// is false above five hundred.
func (s ChanceSight) MoreFor(p float64) (n int, ok bool) {
	for ; n <= mostMorePairs; n++ {
		with := ChanceSight{N: s.N + n, Worth: s.Worth * float64(s.N+n) / float64(s.N)}
		if with.Power(p) >= power {
			return n, true
		}
	}
	return 0, false
}

// Worthwhile is MoreFor of the chance that is worth waiting for.
func (s ChanceSight) Worthwhile() (n int, ok bool) { return s.MoreFor(worthSeeing) }

// Sentence says what these pairs could have shown, "" when that is unknown.
func (s ChanceSight) Sentence() say.Text {
	if !s.OK {
		return say.Text{}
	}
	smallest := s.Smallest()
	could := say.Of("These pairs could have shown a build that is picked at least %.0f times in 100",
		math.Ceil(100*smallest-1e-9))
	if s.Blind() {
		could = say.Of("So few pairs cannot show any difference yet")
	}
	switch n, ok := s.Worthwhile(); {
	case smallest <= worthSeeing:
		return say.Of("%s.", could)
	case !ok:
		return say.Of("%s; one that is picked 67 times in 100 would take over %d pairs more like these.", could,
			mostMorePairs)
	default:
		return say.Of("%s; about %s like these would show one that is picked 67 times in 100.", could,
			say.Count{N: n, Noun: "more pair"})
	}
}
