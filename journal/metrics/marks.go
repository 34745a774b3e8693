// Marks from 0 to 4: raw, by build and criterion, and how the ruler drifts.

package metrics

import (
	"math"

	"gonum.org/v1/gonum/stat"
)

// topScore is the highest score of the rubric.
const topScore = 4

// Marks are the scores of one build on one criterion.
type Marks struct {
	Build         string
	Criterion     int
	Name          string // of the criterion
	Scores        []float64
	NotApplicable int // marks that are no score: in no mean
}

// Mean is a mean of scores with its interval, within 0 and 4.
type Mean struct {
	Claim    // of a mean that differs from what it is set beside
	Value    float64
	Interval Interval
	N        int
	OK       bool
	Why      string
}

// Mean returns the mean score. Its interval is Student's; below three scores,
// or when all are equal, there is none.
func (m Marks) Mean() Mean { return meanOf(m.Scores) }

func meanOf(scores []float64) Mean {
	out := Mean{N: len(scores)}
	if out.N == 0 {
		out.Why, out.Interval.Why = "no marks", "no marks"
		return out
	}
	out.OK, out.Value = true, stat.Mean(scores, nil)
	if out.N < enoughForScatter {
		out.Interval.Why = "few marks"
		return out
	}
	sd := stat.StdDev(scores, nil)
	if sd == 0 {
		out.Interval.Why = "all marks are equal: nothing shows their scatter"
		return out
	}
	reach := tQuantile(float64(out.N-1)) * sd / math.Sqrt(float64(out.N))
	out.Interval = Interval{Low: math.Max(0, out.Value-reach), High: math.Min(topScore, out.Value+reach), OK: true}
	return out
}

// Retest is the agreement of first and second marks, from 0 to 4, by quadratic weights.
func Retest(first, second []float64) Agreement {
	counts := make([][]float64, topScore+1)
	for i := range counts {
		counts[i] = make([]float64, topScore+1)
	}
	for i := range first {
		counts[int(first[i])][int(second[i])]++
	}
	return WeightedKappa(counts, QuadraticWeights(topScore+1))
}
