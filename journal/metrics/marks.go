// Marks from 0 to 4: raw, by build and criterion, and how the ruler drifts.

package metrics

import (
	"maps"
	"math"
	"slices"

	"gonum.org/v1/gonum/stat"

	"rakelight/journal/say"
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
	Why      Why
}

// Mean returns the mean score. Its interval is Student's; below three scores,
// or when all are equal, there is none.
func (m Marks) Mean() Mean { return meanOf(m.Scores) }

func meanOf(scores []float64) Mean {
	out := Mean{N: len(scores)}
	if out.N == 0 {
		out.Why = Because("no marks")
		out.Interval.Why = out.Why
		return out
	}
	out.OK, out.Value = true, stat.Mean(scores, nil)
	if out.N < enoughForScatter {
		out.Interval.Why = Because("few marks")
		return out
	}
	sd := stat.StdDev(scores, nil)
	if sd == 0 {
		out.Interval.Why = Because("all marks are the same")
		return out
	}
	reach := tQuantile(float64(out.N-1)) * sd / math.Sqrt(float64(out.N))
	out.Interval = Interval{Low: math.Max(0, out.Value-reach), High: math.Min(topScore, out.Value+reach), OK: true}
	return out
}

// Retest is the agreement of first and second marks, from 0 to 4, by quadratic weights.
// Kappa is that of all marks (WeightedKappa). The marks of one photo stand and fall
// together, so that the interval is that of photos: a photo moves kappa by the sum of
// what its marks move it by, and these sums scatter by
//
//	se² = m/(m−1) · Σ over m photos (sum)²      ± t(0.975; m−1) · se
//
// It refuses below ten marks and below five photos.
//
// Binder D.A. (1983), International Statistical Review 51, 279–292 (linearization, by
// clusters); with one mark a photo it is the standard error of Fleiss, Cohen and
// Everitt but for √(m/(m−1)).
func Retest(twice []Remark) Agreement {
	counts := make([][]float64, topScore+1)
	for i := range counts {
		counts[i] = make([]float64, topScore+1)
	}
	photos := map[string][]Remark{}
	for _, r := range twice {
		counts[int(r.First)][int(r.Second)]++
		photos[r.Photo] = append(photos[r.Photo], r)
	}
	weights := QuadraticWeights(topScore + 1)
	a := WeightedKappa(counts, weights)
	a.Photos = len(photos)
	if !a.OK {
		return a
	}
	if a.Photos < enoughForDrift {
		why := tooFew(Because("marks on %s given twice, %d needed", say.Count{N: a.Photos, Noun: "dative¦photo"},
			enoughForDrift))
		return Agreement{N: a.N, Photos: a.Photos, Why: why, Interval: Interval{Why: why}}
	}
	rows, cols := margins(counts)
	seen, chance := agreedOf(counts, weights)
	pull := pulls(weights, rows, cols, seen, chance)
	var sum float64
	for _, photo := range slices.Sorted(maps.Keys(photos)) {
		var moves float64
		for _, r := range photos[photo] {
			moves += pull[int(r.First)][int(r.Second)] / float64(len(twice))
		}
		sum += moves * moves
	}
	m := float64(a.Photos)
	a.lay(math.Sqrt(sum*m/(m-1)), tQuantile(m-1))
	return a
}
