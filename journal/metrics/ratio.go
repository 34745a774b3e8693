// The ratio of two rates, each known by a count and a time.

package metrics

import (
	"math"

	"gonum.org/v1/gonum/stat/distuv"
)

// PoissonRatio returns (c1/t1)/(c2/t2) and its exact central interval. Given
// c1+c2 events in all, the first count is binomial with
//
//	p = ρ·t1 / (ρ·t1 + t2),   so   ρ = p/(1-p) · t2/t1
//
// and the Clopper–Pearson limits of p become limits of the ratio ρ. The times
// share a unit, the ratio has none. It answers for counts that scatter as
// Poisson counts do; for sessions at the bench, which scatter more, use
// LikeForLike.
//
// c1 = 0 gives low 0, c2 = 0 gives ratio and high +Inf, both 0 give ratio NaN
// with 0 and +Inf. A negative count, a time that is not above 0, or a level
// outside (0, 1) gives three NaN.
//
// Clopper C.J., Pearson E.S. (1934), Biometrika 26, 404–413; Przyborowski J.,
// Wilenski H. (1940), Biometrika 31, 313–323.
func PoissonRatio(c1, t1, c2, t2, level float64) (ratio, low, high float64) {
	nan := math.NaN()
	for _, c := range []float64{c1, c2} {
		if !(c >= 0) || math.IsInf(c, 1) {
			return nan, nan, nan
		}
	}
	for _, t := range []float64{t1, t2} {
		if !(t > 0) || math.IsInf(t, 1) {
			return nan, nan, nan
		}
	}
	if !validLevel(level) {
		return nan, nan, nan
	}
	tail := (1 - level) / 2
	odds := func(p float64) float64 { return p / (1 - p) * t2 / t1 }
	high = math.Inf(1)
	if c1 > 0 {
		low = odds(distuv.Beta{Alpha: c1, Beta: c2 + 1}.Quantile(tail))
	}
	if c2 > 0 {
		high = odds(distuv.Beta{Alpha: c1 + 1, Beta: c2}.Quantile(1 - tail))
	}
	return c1 / t1 / (c2 / t2), low, high
}
