// How the eye drifts: second marks of photos beside their first.

package metrics

import (
	"math"
	"slices"

	"gonum.org/v1/gonum/stat"
	"gonum.org/v1/gonum/stat/distuv"

	"rakelight/journal/say"
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
	Why      Why
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
		d.Why = tooFew(Because("%s marked twice, %d needed", say.Count{N: d.N, Noun: "photo"}, enoughForDrift))
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
		d.Why = Because("all photos differ by the same")
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
func (d Drift) Sentence() say.Text {
	if !d.OK {
		return say.Of("Drift of your eye: not known (%s).", d.Why)
	}
	photos := say.Count{N: d.N, Noun: "photo"}
	span := say.Of("(%s to %s; %s marked twice)", signed(d.Interval.Low, 2), signed(d.Interval.High, 2), photos)
	if !d.Interval.OK {
		span = say.Of("(no range: %s; %s marked twice)", d.Interval.Why, photos)
	}
	switch {
	case d.Claimed && d.Mean < 0:
		return say.Of("Your eye became stricter: the same photos get %s points less now %s.", say.Decimal(-d.Mean, 2), span)
	case d.Claimed:
		return say.Of("Your eye became kinder: the same photos get %s points more now %s.", say.Decimal(d.Mean, 2), span)
	}
	var among say.Text
	if d.Interval.OK && d.Interval.Low*d.Interval.High > 0 { // a range without 0 in it, and no claim
		among = amongAll
	}
	return say.Of("Whether your eye has changed cannot be told: %s points on the same photos %s%s.", signed(d.Mean, 2),
		span, among)
}
