// The interval of a like-for-like speed.

package metrics

import (
	"math"
	"slices"

	"gonum.org/v1/gonum/stat/distuv"
)

// Below about so many evenings in a build the interval carries a
// caution: nine timed blocks are needed for ±20 % at a scatter of 30 %.
const comfortable = 9

// judge fills in the interval and the p value of Speed. Its log is set against
// Student's t with the standard error over the evenings of both builds (commonSpread) and
// what the minutes a part bring to it. The mix is held at what was done: the question is the
// speed on this mix. On the log scale the limits are positive, and exchanging the builds
// gives the reciprocals.
func (c *compared) judge(on [2]*calendar) {
	c.evenings, c.voices = commonSpread(c.of, on, c.known, c.Speed)
	c.byMinute = make([][]float64, len(c.of))
	for i := range c.of {
		c.byMinute[i] = byMinutes(c.of, i)
	}
	c.spread = c.evenings.blurred(c.doubt(c))
	c.Interval, c.Claim = c.spread.judge(c.Speed)
	if n := min(blocksIn(c.of, 0), blocksIn(c.of, 1)); n < comfortable {
		c.Interval.Why = Because("few evenings: %d in one of the builds", n)
	}
}

// doubt is the covariance that the minutes a part bring to the logs of two speeds: they
// are of one person, so what is off in one is off in the other.
func (c *compared) doubt(o *compared) (sum float64) {
	for i, m := range c.of {
		at := slices.IndexFunc(o.of, func(p *matched) bool { return p.work == m.work })
		if at < 0 {
			continue
		}
		p := o.of[at]
		n, k := len(m.minutes.classes), len(p.minutes.classes)
		of := make([]float64, n) // by how much o moves with the classes of c
		for d, class := range m.minutes.classes {
			if e := slices.Index(p.minutes.classes, class); e >= 0 && k > 1 {
				of[d] = o.byMinute[at][e]
			}
		}
		for a, x := range c.byMinute[i] {
			for b, y := range of {
				sum += x * y * m.minutes.cov[a*n+b]
			}
		}
	}
	return sum
}

// doubtWorth is how surely the doubt itself is known, in degrees of freedom (our choice):
// it rests on a few classes and on what is held of them.
const doubtWorth = 5

// blurred is s with the variance by the minutes beside it.
func (s spread) blurred(more float64) spread {
	if !(more > 0) {
		return s
	}
	all := s.variance + more
	s.df = all * all / (s.variance*s.variance/s.df + more*more/doubtWorth)
	s.variance = all
	return s
}

// blocksIn counts the blocks of evenings of one build in the kinds of work.
func blocksIn(of []*matched, side int) int {
	seen := map[int]bool{}
	for _, m := range of {
		for _, l := range m.of[side].loads {
			seen[l.at] = true
		}
	}
	return len(seen)
}

// whyNotJudged says what keeps the scatter of a build from showing.
func whyNotJudged(of []*matched, on [2]*calendar) Why {
	for k, c := range on {
		parts := make([]float64, c.n)
		var sum float64
		for _, m := range of {
			for _, l := range m.of[k].loads {
				parts[l.at] += l.parts
				sum += l.parts
			}
		}
		switch {
		case blocksIn(of, k) < 2:
			return Because("only one evening on one side, so its spread is unknown")
		case slices.ContainsFunc(parts, func(x float64) bool { return !(sum-x > 0) }):
			return Because("all parts of one side done on one evening, so its spread is unknown")
		}
	}
	return Why{}
}

// judge lays the interval of a factor about it, and tests it against 1.
func (s spread) judge(factor float64) (Interval, Claim) {
	se := math.Sqrt(s.variance)
	f := math.Exp(tQuantile(s.df) * se)
	t := math.Abs(math.Log(factor)) / se
	return Interval{Low: factor / f, High: factor * f, OK: true},
		Claim{Tested: true, PValue: 2 * distuv.StudentsT{Mu: 0, Sigma: 1, Nu: s.df}.Survival(t)}
}
