// An estimate that hangs on what is not well known: averaged over what that may be.

package metrics

import (
	"math"

	"gonum.org/v1/gonum/stat/distuv"
)

// component is an estimate under one assumption, its standard error, and how
// likely the assumption is.
type component struct{ weight, at, se float64 }

// mixture is what is known of a number: Student's t about each of the estimates. Its
// weights add up to 1.
type mixture struct {
	parts []component
	df    float64
}

// negligible is the weight below which an assumption is left out. The levels of the
// family of claims are above a thousandth.
const negligible = 1e-5

// mixtureOf weighs by the logs of likelihoods.
func mixtureOf(parts []component, logs []float64, df float64) mixture {
	high := math.Inf(-1)
	for _, l := range logs {
		high = max(high, l)
	}
	m := mixture{df: df}
	var sum float64
	for i, p := range parts {
		if p.weight = math.Exp(logs[i] - high); p.weight > negligible {
			m.parts = append(m.parts, p)
			sum += p.weight
		}
	}
	for i := range m.parts {
		m.parts[i].weight /= sum
	}
	return m
}

// mean is the weighted mean of the estimates.
func (m mixture) mean() (mean float64) {
	for _, p := range m.parts {
		mean += p.weight * p.at
	}
	return mean
}

// se is the standard error that Student's t on df would have for the same variance.
func (m mixture) se() float64 {
	mean := m.mean()
	var v float64
	for _, p := range m.parts {
		v += p.weight * (p.se*p.se + (p.at-mean)*(p.at-mean)*max(m.df-2, 1)/max(m.df, 3))
	}
	return math.Sqrt(v)
}

// below is the chance that the number is below x, and its density there.
func (m mixture) below(x float64) (chance, density float64) {
	t := distuv.StudentsT{Sigma: 1, Nu: m.df}
	for _, p := range m.parts {
		z := (x - p.at) / p.se
		chance += p.weight * t.CDF(z)
		density += p.weight * t.Prob(z) / p.se
	}
	return chance, density
}

// quantile is where below has the chance given, found by Newton's steps kept within
// what is known to hold it.
func (m mixture) quantile(chance float64) float64 {
	low, high := math.Inf(1), math.Inf(-1)
	z := distuv.StudentsT{Sigma: 1, Nu: m.df}.Quantile(chance)
	for _, p := range m.parts {
		low, high = min(low, p.at+z*p.se), max(high, p.at+z*p.se)
	}
	x := m.mean() + z*m.se()
	for range 100 {
		if !(x >= low && x <= high) {
			x = (low + high) / 2
		}
		is, density := m.below(x)
		if is < chance {
			low = x
		} else {
			high = x
		}
		step := (chance - is) / density
		if math.Abs(step) <= 1e-12*(math.Abs(x)+m.parts[0].se) || high-low <= 1e-14*math.Abs(x) {
			break
		}
		x += step
	}
	return x
}

// interval is the range that leaves out half of what the level leaves at each end.
func (m mixture) interval() (low, high float64) {
	return m.quantile((1 - level) / 2), m.quantile((1 + level) / 2)
}

// pValue is twice the chance that the number lies on the other side of x: at most
// 0.05 exactly when the interval does not hold x.
func (m mixture) pValue(x float64) float64 {
	is, _ := m.below(x)
	return min(1, 2*min(is, 1-is))
}
