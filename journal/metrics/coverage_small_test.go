// How often the smaller tests are wrong where nothing changed: mistakes, marks,
// trials; and how often a change of the size said is seen.
//
//	go test ./journal/metrics -run FalseClaims -v -coverage-runs 20000

package metrics

import (
	"fmt"
	"math"
	"math/rand/v2"
	"testing"

	"gonum.org/v1/gonum/stat/distuv"
)

// falseClaims counts how often a p value lies below a level though nothing
// changed, and fails above the level and the luck of the runs (two and a half
// standard errors).
func falseClaims(t *testing.T, what string, runs int, p func(rng *rand.Rand) float64) {
	t.Helper()
	if *coverageRuns > 0 {
		runs = *coverageRuns
	}
	rng := rand.New(rand.NewPCG(*coverageSeed, 77))
	levels := []float64{0.05, 0.01, 0.001}
	hits := make([]int, len(levels))
	for range runs {
		one := p(rng)
		for i, l := range levels {
			if one <= l {
				hits[i]++
			}
		}
	}
	share := func(i int) float64 { return float64(hits[i]) / float64(runs) }
	t.Logf("%-44s p ≤ 0.05 in %5.2f %%, ≤ 0.01 in %5.2f %%, ≤ 0.001 in %5.3f %% of %d", what, 100*share(0), 100*share(1), 100*share(2), runs)
	for i, l := range levels {
		if most := l + 2.5*math.Sqrt(l*(1-l)/float64(runs)); share(i) > most {
			t.Errorf("%s: p ≤ %v in %.3f %%, at most %.3f (seed %d)", what, l, 100*share(i), 100*most, *coverageSeed)
		}
	}
}

// clumped is a count of mean μ whose variance is φ·μ: a negative binomial.
func clumped(rng *rand.Rand, mean, phi float64) float64 {
	if phi > 1 {
		mean = distuv.Gamma{Alpha: mean / (phi - 1), Beta: 1 / (phi - 1), Src: rng}.Rand()
	}
	if !(mean > 0) {
		return 0
	}
	return distuv.Poisson{Lambda: mean, Src: rng}.Rand()
}

// Builds of 60 to 400 parts, one rate of mistakes in all of them.
func TestFalseClaimsOfMistakes(t *testing.T) {
	t.Parallel()
	for _, phi := range []float64{1, 1.5, 2} {
		for _, rate := range []float64{0.5, 2, 6} {
			for _, builds := range []int{5, 9} {
				falseClaims(t, fmt.Sprintf("mistakes, φ %v, %v on 100 parts, %d builds", phi, rate, builds), 3000, func(rng *rand.Rand) float64 {
					var counts, sizes []float64
					for range builds {
						size := 0.6 + 3.4*rng.Float64()
						counts, sizes = append(counts, clumped(rng, rate*size, phi)), append(sizes, size)
					}
					c := UChart(counts, sizes)
					if !c.Tested {
						return 1
					}
					return c.PValue
				})
			}
		}
	}
}
