// The control chart of mistakes: which builds stand out, and which only vary.

package metrics

import (
	"math"

	"gonum.org/v1/gonum/mathext"
	"gonum.org/v1/gonum/stat/distuv"

	"rakelight/journal/say"
)

// enoughSamples is how many samples the centre line must rest on before any
// is called out of the ordinary.
const enoughSamples = 5

// ChartPoint is one sample on a u-chart.
type ChartPoint struct {
	Count, Size float64
	PerUnit     float64
	Low, High   float64 // limits for a sample of this size; Low is never below 0
	Out         bool    // outside its limits
}

// Chart is a u-chart: mistakes per unit over samples of unequal size.
type Chart struct {
	Claim    // that the last sample differs from those before it
	Centre   float64
	Points   []ChartPoint
	Ratio    float64  // rate of the last sample over that of those before it; 0 = not Tested
	Interval Interval // of Ratio, 95 %; the upper limit may be +Inf
	OK       bool
	Why      Why
}

// UChart returns the chart of counts over samples of the given sizes, such as
// mistakes over hundreds of parts, in the order given:
//
//	centre ū = Σ count / Σ size      limits ū ± 3·√(ū/size)
//
// Each of many points has its chance to lie outside, and mistakes come in moods: a
// point outside is a point to look at, and no claim. The claim is of the last sample
// against all before it (latest). Samples without size are passed over
// and keep their place with no limits. Below five samples, or without any
// mistake, no point is judged. Slices of unequal length panic.
//
// Montgomery D.C. (1991), Introduction to Statistical Quality Control, 2nd ed.,
// chapter 4.
func UChart(counts, sizes []float64) Chart {
	if len(counts) != len(sizes) {
		panic("metrics: counts and sizes differ in length")
	}
	var c Chart
	var count, size float64
	n := 0
	for i, s := range sizes {
		if s > 0 {
			count += counts[i]
			size += s
			n++
		}
	}
	switch {
	case n < enoughSamples:
		c.Why = Because("%s with counted parts, %d needed", say.Count{N: n, Noun: "build"}, enoughSamples)
	case count == 0:
		c.Why = Because("no mistakes noted")
	default:
		c.OK = true
	}
	if size > 0 {
		c.Centre = count / size
	}
	for i, s := range sizes {
		p := ChartPoint{Count: counts[i], Size: s}
		if s > 0 {
			p.PerUnit = counts[i] / s
			reach := 3 * math.Sqrt(c.Centre/s)
			p.Low, p.High = math.Max(0, c.Centre-reach), c.Centre+reach
			p.Out = c.OK && (p.PerUnit < p.Low || p.PerUnit > p.High)
		}
		c.Points = append(c.Points, p)
	}
	if c.OK {
		c.latest(counts, sizes)
	}
	return c
}

const (
	// Mistakes come in moods, within an evening and from build to build, so their
	// counts scatter more than chance. This dispersion is assumed, as if it had been
	// seen on so many degrees of freedom: our choice, no source.
	usualClumping      = 1.5
	usualClumpingWorth = 10
)

// latest compares the last sample that has a size with all before it together.
// Given their sum, the last count is binomial (PoissonRatio); counts that scatter φ
// times as much weigh as 1/φ of what they are, with φ the Pearson dispersion of the
// samples before about their own rate, drawn to 1.5 and never below 1. Because φ is
// an estimate, the normal deviate of the exact tail is held against Student's t on
// its degrees of freedom, and the interval is made to agree.
//
// McCullagh P., Nelder J.A. (1989), Generalized Linear Models, 2nd ed., section
// 4.5 (the quasi-likelihood and its t).
func (c *Chart) latest(counts, sizes []float64) {
	last := len(sizes) - 1
	for !(sizes[last] > 0) {
		last--
	}
	var before, size float64
	for i, s := range sizes[:last] {
		if s > 0 {
			before, size = before+counts[i], size+s
		}
	}
	phi, df := usualClumping, float64(usualClumpingWorth)
	if stat, n, ok := PearsonDispersion(counts[:last], sizes[:last]); ok && n > 0 {
		phi = (usualClumpingWorth*usualClumping + stat) / (df + float64(n))
		df += float64(n)
	}
	phi = math.Max(phi, 1)
	now := counts[last]
	// The exact tail of the scaled counts; that of the binomial at φ = 1.
	share := sizes[last] / (sizes[last] + size)
	more, fewer := 1.0, 1.0
	if now > 0 {
		more = mathext.RegIncBeta(now/phi, before/phi+1, share)
	}
	if before > 0 {
		fewer = 1 - mathext.RegIncBeta(now/phi+1, before/phi, share)
	}
	t := distuv.StudentsT{Mu: 0, Sigma: 1, Nu: df}
	z := -distuv.UnitNormal.Quantile(math.Min(more, fewer))
	c.Tested, c.PValue = true, math.Min(1, 2*t.CDF(-z))
	exact := 2*distuv.UnitNormal.CDF(tQuantile(df)) - 1
	var low, high float64
	c.Ratio, low, high = PoissonRatio(now/phi, sizes[last], before/phi, size, exact)
	c.Interval = Interval{Low: low, High: high, OK: true}
}

// LatestSentence compares the last sample with those before it, in words that claim
// a change only when it is Claimed; "" where it was not tested. label is the last
// sample, unit what there are Ratio times as many on, such as "100 parts".
func (c Chart) LatestSentence(label string, unit say.Wording) say.Text {
	if !c.Tested {
		return say.Text{}
	}
	said := c.RatioWords()
	switch {
	case c.Claimed && c.Ratio > 1 && LeavesOne(c.Ratio, c.Interval):
		return say.Of("%s has more than the builds before: %s per %s.", label, said, unit)
	case c.Claimed && LeavesOne(c.Ratio, c.Interval):
		return say.Of("%s has fewer than the builds before: %s per %s.", label, said, unit)
	}
	return say.Of("%s against the builds before: %s per %s; that may be chance.", label, said, unit)
}

// RatioWords says Ratio with its range: "1.40 times as many (0.80 to 2.50)".
func (c Chart) RatioWords() say.Text {
	switch low, high := c.Interval.Low, c.Interval.High; {
	case math.IsInf(c.Ratio, 1):
		return say.Of("none before, at least %s times as many now", Figure(low))
	case math.IsInf(high, 1):
		return say.Of("%s times as many (%s or more)", Figure(c.Ratio), Figure(low))
	default:
		return say.Of("%s times as many (%s to %s)", Figure(c.Ratio), Figure(low), Figure(high))
	}
}
