// How the eye drifts: second marks of photos beside their first.

package metrics

import (
	"fmt"
	"math"
	"slices"

	"gonum.org/v1/gonum/stat"
	"gonum.org/v1/gonum/stat/distuv"
)

// Remark is a photo that was marked twice on one criterion.
type Remark struct {
	Photo         string
	First, Second float64
}

// enoughForDrift is how many photos must be marked twice before a drift is told.
const enoughForDrift = 5

// Drift is how the second marks of the same photos lie over the first.
type Drift struct {
	Claim             // of a ruler that moved
	Mean     float64  // second less first: below 0 the eye has become stricter
	SD       float64  // between photos, of the mean of each
	Interval Interval // 95 %
	N        int      // photos
	Marks    int      // marks given twice: a photo has one for each criterion
	OK       bool
	Why      string
}

// DriftOf returns the drift between first and second marks of the same photos. The
// marks of one photo stand together, so that each photo counts once, by the mean of
// its marks; the interval and the p value are Student's over photos. It is shown
// beside a trend and never taken out of it. It refuses below five photos; where all
// photos differ alike there is no interval and no test.
func DriftOf(twice []Remark) Drift {
	sums, times := map[string]float64{}, map[string]float64{}
	var photos []string
	for _, m := range twice {
		if times[m.Photo] == 0 {
			photos = append(photos, m.Photo)
		}
		sums[m.Photo] += m.Second - m.First
		times[m.Photo]++
	}
	d := Drift{N: len(photos), Marks: len(twice)}
	if d.N < enoughForDrift {
		d.Why = fmt.Sprintf("too few to tell: %s marked twice, %d needed", Count(d.N, "photo"), enoughForDrift)
		d.Interval.Why = d.Why
		return d
	}
	slices.Sort(photos)
	means := make([]float64, d.N)
	for i, photo := range photos {
		means[i] = sums[photo] / times[photo]
	}
	d.OK, d.Mean, d.SD = true, stat.Mean(means, nil), stat.StdDev(means, nil)
	if d.SD == 0 {
		d.Why = "all photos differ by the same"
		d.Interval.Why = d.Why
		return d
	}
	df, se := float64(d.N-1), d.SD/math.Sqrt(float64(d.N))
	reach := tQuantile(df) * se
	d.Interval = Interval{Low: d.Mean - reach, High: d.Mean + reach, OK: true}
	d.Tested = true
	d.PValue = 2 * distuv.StudentsT{Sigma: 1, Nu: df}.CDF(-math.Abs(d.Mean)/se)
	return d
}

// Sentence says the drift in words, and as a change of the eye only what is claimed.
func (d Drift) Sentence() string {
	if !d.OK {
		return fmt.Sprintf("Drift of your eye: not known (%s).", d.Why)
	}
	span := fmt.Sprintf("(%+.2f to %+.2f; %s marked twice)", d.Interval.Low, d.Interval.High, Count(d.N, "photo"))
	if !d.Interval.OK {
		span = fmt.Sprintf("(no range: %s; %s marked twice)", d.Interval.Why, Count(d.N, "photo"))
	}
	switch {
	case d.Claimed && d.Mean < 0:
		return fmt.Sprintf("Your eye became stricter: the same photos get %.2f points less now %s.", -d.Mean, span)
	case d.Claimed:
		return fmt.Sprintf("Your eye became kinder: the same photos get %.2f points more now %s.", d.Mean, span)
	}
	s := fmt.Sprintf("Whether your eye has changed cannot be told: %+.2f points on the same photos %s", d.Mean, span)
	if d.Interval.OK && d.Interval.Low*d.Interval.High > 0 { // a range without 0 in it, and no claim
		s += "; among all that this journal compares, that may be chance"
	}
	return s + "."
}
