// The exact interval of a count.

package metrics

import (
	"math"

	"gonum.org/v1/gonum/stat/distuv"
)

// PoissonInterval returns the exact central interval of the expected number of
// events when count were seen; divide by the hours for a rate. With a = 1-level:
//
//	low  = χ²(a/2;   2·count)   / 2     (0 for count 0)
//	high = χ²(1-a/2; 2·count+2) / 2
//
// count need not be whole. A negative or infinite count, or a level outside
// (0, 1), gives NaN, NaN.
//
// Garwood F. (1936), Fiducial limits for the Poisson distribution, Biometrika
// 28, 437–442.
func PoissonInterval(count, level float64) (low, high float64) {
	if !(count >= 0) || math.IsInf(count, 1) || !validLevel(level) {
		return math.NaN(), math.NaN()
	}
	tail := (1 - level) / 2
	if count > 0 {
		low = distuv.ChiSquared{K: 2 * count}.Quantile(tail) / 2
	}
	high = distuv.ChiSquared{K: 2*count + 2}.Quantile(1-tail) / 2
	return low, high
}

// validLevel says whether level can be a confidence level, such as 0.95.
func validLevel(level float64) bool { return level > 0 && level < 1 }

// zQuantile is the upper point of the normal for the two-sided level.
func zQuantile() float64 { return distuv.UnitNormal.Quantile(1 - (1-level)/2) }
