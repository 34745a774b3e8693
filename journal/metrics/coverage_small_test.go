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

// Marks of twelve criteria, each 5 to 12 photos of one build, no criterion better
// than another, as whole numbers. A photo may be good or bad on all of them.
func TestFalseClaimsOfWeakCriteria(t *testing.T) {
	t.Parallel()
	for _, sd := range []float64{0.4, 0.8} {
		for _, photo := range []float64{0, 0.5} {
			falseClaims(t, fmt.Sprintf("one criterion below the rest, sd %v, photo %v", sd, photo), 3000, func(rng *rand.Rand) float64 {
				middle := 1.5 + rng.Float64()
				n := 5 + rng.IntN(8)
				moods := make([]float64, n)
				for i := range moods {
					moods[i] = photo * rng.NormFloat64()
				}
				all := make([]Marks, 6)
				for c := range all {
					for i := range n {
						all[c].Scores = append(all[c].Scores, min(max(math.Round(middle+moods[i]+sd*rng.NormFloat64()), 0), topScore))
					}
				}
				return gapToRest(all, 0).PValue
			})
		}
	}
}

// Marks with a tool and without it, the tool doing nothing.
func TestFalseClaimsOfGap(t *testing.T) {
	t.Parallel()
	for _, n := range [][2]int{{5, 5}, {5, 15}, {12, 12}} {
		falseClaims(t, fmt.Sprintf("marks with a tool, %d and %d", n[0], n[1]), 4000, func(rng *rand.Rand) float64 {
			middle := 1.5 + rng.Float64()
			g := GapOf(marksOf(rng, n[0], middle), marksOf(rng, n[1], middle))
			if !g.Tested {
				return 1
			}
			return g.PValue
		})
	}
}

// The smallest change that was said is then seen about four times in five: two
// builders whose paces differ by just that, as many sessions as before. The size is
// said from an earlier try at the same evenings, with no change in it.
func TestSmallestChangeIsSeen(t *testing.T) {
	t.Parallel()
	for _, n := range [][2]int{{6, 6}, {12, 8}, {30, 12}} {
		runs := 500
		if *coverageRuns > 0 {
			runs = *coverageRuns
		}
		rng := rand.New(rand.NewPCG(*coverageSeed, 78))
		try := func(ratio float64) (Comparison, []Work, []Work) {
			b := &builder{rng: rng, rate: 15, mood: 0.3, learn: 1, mix: 1}
			side := func(name string, n int) (ws []Work) {
				for i := range n {
					w, _ := b.session(name, i, 0)
					ws = append(ws, w)
				}
				return ws
			}
			earlier := side("a", n[0])
			b.rate *= ratio
			later := side("b", n[1])
			return LikeForLike(earlier, later), earlier, later
		}
		seen := 0
		for range runs {
			smallest := SightOf(try(1)).Smallest()
			if c, _, _ := try(smallest); c.Interval.Low > 1 {
				seen++
			}
		}
		share := float64(seen) / float64(runs)
		t.Logf("%d and %d evenings: the smallest change is seen in %.1f %% of %d", n[0], n[1], 100*share, runs)
		if share < 0.74 || share > 0.86 {
			t.Errorf("%v evenings: the smallest change is seen in %.1f %%, want about 80", n, 100*share)
		}
	}
}
