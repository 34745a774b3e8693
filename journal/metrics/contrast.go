// How far a sum of strengths may lie off.

package metrics

import (
	"math"

	"gonum.org/v1/gonum/stat/distuv"
)

// offBy is an error that is normal with one of several variances.
type offBy struct{ sd, chain []float64 }

// off is the error of a weighted sum of the parameters: normal, with the variance
// that each size of the effects of photos and judges gives it.
func (r Ranking) off(sum ...slope) offBy {
	of := func(cov [][]float64) (v float64) {
		for _, a := range sum {
			for _, b := range sum {
				v += a.by * b.by * cov[a.at][b.at]
			}
		}
		return v
	}
	variance, chain := []float64{of(r.cov)}, []float64{1}
	for _, s := range r.common {
		more := math.Max(0, of(s.more))
		var nextVariance, nextChain []float64
		for i, v := range variance {
			for k, size := range s.sizes {
				if p := chain[i] * s.chain[k]; p > 1e-9 {
					nextVariance, nextChain = append(nextVariance, v+size*more), append(nextChain, p)
				}
			}
		}
		variance, chain = nextVariance, nextChain
	}
	for i, v := range variance {
		variance[i] = math.Sqrt(v)
	}
	return offBy{variance, chain}
}

// beyond is the probability of an error of that size or more, to either side.
func (m offBy) beyond(x float64) (p float64) {
	for i, sd := range m.sd {
		p += m.chain[i] * math.Erfc(math.Abs(x)/sd/math.Sqrt2)
	}
	return math.Min(1, p)
}

// reach is the size that an error stays within in 95 %.
func (m offBy) reach() float64 {
	// The probability falls ever more slowly, so that Newton's steps from below
	// never overshoot.
	x := math.Inf(1)
	for _, sd := range m.sd {
		x = math.Min(x, zQuantile()*sd)
	}
	for range 60 {
		var slope float64
		for i, sd := range m.sd {
			slope += 2 * m.chain[i] / sd * distuv.UnitNormal.Prob(x/sd)
		}
		step := (m.beyond(x) - (1 - level)) / slope
		x += step
		if math.Abs(step) < 1e-12*x {
			break
		}
	}
	return x
}
