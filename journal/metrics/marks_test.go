// Means of marks.

package metrics

import (
	"math"
	"testing"
)

func TestMeanOfMarks(t *testing.T) {
	m := Marks{Scores: []float64{1, 2, 3}, NotApplicable: 4}.Mean()
	// sd 1, t(0.975; 2) = 4.302653: reach 2.4841, cut off at 0 and 4.
	if !m.OK || m.N != 3 || m.Value != 2 || m.Interval.Low != 0 || m.Interval.High != 4 {
		t.Errorf("%+v", m)
	}
	m = Marks{Scores: []float64{1, 2, 2, 3, 2, 2}}.Mean()
	near(t, "low", m.Interval.Low, 2-2.5705818366147395*math.Sqrt(0.4)/math.Sqrt(6), 1e-9)
	for _, few := range []Marks{{}, {Scores: []float64{2, 3}}, {Scores: []float64{2, 2, 2, 2}}} {
		if m := few.Mean(); m.Interval.OK || !m.Interval.Why.Any() || m.OK != (m.N > 0) {
			t.Errorf("%v: %+v", few.Scores, m)
		}
	}
}
