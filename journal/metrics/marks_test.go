// Marks, drift and agreement with oneself.

package metrics

import (
	"math"
	"strings"
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
		if m := few.Mean(); m.Interval.OK || m.Interval.Why == "" || m.OK != (m.N > 0) {
			t.Errorf("%v: %+v", few.Scores, m)
		}
	}
}

func TestDrift(t *testing.T) {
	first := []float64{3, 3, 2, 4, 3, 2, 3, 3}
	second := []float64{2, 2, 2, 3, 2, 1, 2, 3}
	d, back := DriftOf(first, second), DriftOf(second, first)
	near(t, "mean", d.Mean, -0.75, 1e-12)
	near(t, "turned", back.Mean, 0.75, 1e-12)
	if !strings.HasPrefix(d.Sentence(), "Your eye became stricter: the same photos get 0.75 points less now (") ||
		!strings.HasPrefix(back.Sentence(), "Your eye became kinder") ||
		!strings.HasPrefix(DriftOf(first, first[:8]).Sentence(), "Your eye did not drift") {
		t.Error(d.Sentence(), back.Sentence())
	}
	if d := DriftOf(first[:4], second[:4]); d.OK || !strings.Contains(d.Sentence(), "not known") {
		t.Errorf("four re-marks: %+v", d)
	}
	if a := Retest(append(first, 0, 1), append(second, 0, 1)); !a.OK || a.N != 10 || a.Kappa <= 0 || a.Kappa >= 1 {
		t.Errorf("%+v", a)
	}
}
