// Marks from 0 to 4: raw, by build and criterion, and how the ruler drifts.

package metrics

import (
	"fmt"
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

// Drift is how the second marks of the same photos lie over the first.
type Drift struct {
	Claim            // of a ruler that moved
	Mean     float64 // second less first: below 0 the eye has become stricter
	SD       float64 // of the differences
	Interval Interval
	N        int
	OK       bool
	Why      string
}

// DriftOf returns the drift between first and second marks of the same photos.
// It is shown beside a trend and never taken out of it. It refuses below five
// re-marks. Slices of unequal length panic.
func DriftOf(first, second []float64) Drift {
	if len(first) != len(second) {
		panic("metrics: first and second marks differ in number")
	}
	d := Drift{N: len(first)}
	if d.N < 5 {
		d.Why = fmt.Sprintf("too few to tell: %d marked twice, 5 needed", d.N)
		d.Interval.Why = d.Why
		return d
	}
	diff := make([]float64, d.N)
	for i := range diff {
		diff[i] = second[i] - first[i]
	}
	d.OK, d.Mean, d.SD = true, stat.Mean(diff, nil), stat.StdDev(diff, nil)
	reach := tQuantile(float64(d.N-1)) * d.SD / math.Sqrt(float64(d.N))
	d.Interval = Interval{Low: d.Mean - reach, High: d.Mean + reach, OK: true}
	return d
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

// Sentence says the drift in words.
func (d Drift) Sentence() string {
	if !d.OK {
		return fmt.Sprintf("Drift of your eye: not known (%s).", d.Why)
	}
	span := fmt.Sprintf("(%+.2f to %+.2f; %s marked twice)", d.Interval.Low, d.Interval.High, Count(d.N, "photo"))
	switch {
	case d.Interval.High < 0:
		return fmt.Sprintf("Your eye became stricter: the same photos get %.2f points less now %s.", -d.Mean, span)
	case d.Interval.Low > 0:
		return fmt.Sprintf("Your eye became kinder: the same photos get %.2f points more now %s.", d.Mean, span)
	}
	return fmt.Sprintf("Your eye did not drift that one could tell: %+.2f points on the same photos %s.", d.Mean, span)
}
