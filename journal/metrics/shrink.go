// The worst of many looks worse than it is: estimates drawn toward each other by
// as much as their own uncertainty asks for.

package metrics

import "math"

// Shrunk are estimates of the same kind of thing, drawn toward their mean.
type Shrunk struct {
	Mean, SE float64   // of what they have in common
	Between  float64   // variance of the true values about it, by REML
	Values   []float64 // in the order of the estimates
	Errors   []float64 // standard errors of Values
}

// Shrink takes the true values behind estimates, each with its standard error, as
// drawn about a mean, and returns the best linear unbiased prediction of each:
//
//	mean + (estimate - mean) · between / (between + se²)
//
// Where they differ by no more than their standard errors let expect, Between is 0
// and all of them are the mean. The standard errors are above 0; fewer than three
// estimates show nothing of how they differ and stay as they are.
//
// Efron B., Morris C. (1975), Data analysis using Stein's estimator and its
// generalizations, JASA 70, 311–319; Robinson G.K. (1991), Statistical Science 6,
// 15–32; the variance between by restricted likelihood: Viechtbauer W. (2005),
// Journal of Educational and Behavioral Statistics 30, 261–293.
func Shrink(estimates, errors []float64) Shrunk {
	if len(estimates) != len(errors) {
		panic("metrics: estimates and standard errors differ in number")
	}
	s := Shrunk{Values: append([]float64(nil), estimates...), Errors: append([]float64(nil), errors...)}
	if len(estimates) < enoughToShrink {
		return s
	}
	s.between(estimates, errors)
	s.Mean, s.SE, _ = pooled(estimates, errors, s.Between)
	for i, x := range estimates {
		own := s.Between / (s.Between + errors[i]*errors[i]) // what it counts beside the mean
		s.Values[i] = s.Mean + (x-s.Mean)*own
		s.Errors[i] = math.Hypot(math.Sqrt(own)*errors[i], (1-own)*s.SE)
	}
	return s
}

// enoughToShrink is the fewest estimates that show how they differ.
const enoughToShrink = 3

// between finds the variance that the restricted likelihood is highest at.
func (s *Shrunk) between(estimates, errors []float64) {
	least, most := math.Inf(1), 0.0
	for i, e := range errors {
		least = min(least, e*e)
		d := estimates[i] - estimates[0]
		most = max(most, d*d)
	}
	if !(most > 0) {
		return
	}
	likelihood := func(v float64) float64 {
		_, _, l := pooled(estimates, errors, v)
		return l
	}
	x := goldenMax(math.Log(min(least, most)*1e-6), math.Log(most*10), func(log float64) float64 {
		return likelihood(math.Exp(log))
	})
	if likelihood(math.Exp(x)) > likelihood(0) {
		s.Between = math.Exp(x)
	}
}

// pooled is the weighted mean at a variance between, its standard error and the
// restricted log likelihood.
func pooled(estimates, errors []float64, between float64) (mean, se, likelihood float64) {
	var sum, weight float64
	for i, x := range estimates {
		w := 1 / (errors[i]*errors[i] + between)
		sum += w * x
		weight += w
		likelihood += math.Log(w) / 2
	}
	mean = sum / weight
	for i, x := range estimates {
		likelihood -= (x - mean) * (x - mean) / (errors[i]*errors[i] + between) / 2
	}
	return mean, 1 / math.Sqrt(weight), likelihood - math.Log(weight)/2
}
