// The u-chart against published limits.

package metrics

import (
	"math"
	"strings"
	"testing"

	"gonum.org/v1/gonum/mathext"
	"gonum.org/v1/gonum/stat/distuv"

	"rakelight/journal/say"
)

func TestUChartPublished(t *testing.T) {
	var counts, sizes []float64
	rows := table(t, "07_u_chart_cloth.csv")
	for _, row := range rows {
		counts, sizes = append(counts, num(t, row["nonconformities"])), append(sizes, num(t, row["inspection_units"]))
	}
	c := UChart(counts, sizes)
	near(t, "cloth centre", c.Centre, 1.423256, 5e-7)
	for i, row := range rows {
		near(t, "u", c.Points[i].PerUnit, num(t, row["u"]), 5e-7)
		near(t, "low", c.Points[i].Low, num(t, row["lcl"]), 1e-6)
		near(t, "high", c.Points[i].High, num(t, row["ucl"]), 1e-6)
		if c.Points[i].Out {
			t.Errorf("roll %s is in control", row["roll"])
		}
	}
	counts, sizes = nil, nil
	for _, row := range table(t, "07_u_chart_pc.csv") {
		counts, sizes = append(counts, num(t, row["nonconformities"])), append(sizes, num(t, row["sample_size"]))
	}
	c = UChart(counts, sizes)
	near(t, "computers, centre", c.Centre, 1.93, 1e-12)
	near(t, "computers, high", c.Points[0].High, 3.793867, 5e-7)
	near(t, "computers, low", c.Points[0].Low, 0.066133, 5e-7)
}

func TestUChartJudges(t *testing.T) {
	c := UChart([]float64{2, 3, 2, 0, 14, 2}, []float64{1, 1, 1, 0, 1, 1})
	for i, p := range c.Points {
		if p.Out != (i == 4) {
			t.Errorf("point %d: %+v", i, p)
		}
	}
	twice := UChart([]float64{2, 3, 2, 0, 14, 2}, []float64{2, 2, 2, 0, 2, 2}) // another unit
	for i, p := range twice.Points {
		near(t, "in another unit", p.High*2, c.Points[i].High, 1e-12)
		if p.Out != c.Points[i].Out || math.IsNaN(p.PerUnit) {
			t.Errorf("the unit decides: %+v", p)
		}
	}
	for name, c := range map[string]Chart{
		"four":        UChart([]float64{2, 3, 2, 40}, []float64{1, 1, 1, 1}),
		"no mistakes": UChart(make([]float64, 6), []float64{1, 1, 1, 1, 1, 1}),
		"nothing":     UChart(nil, nil),
	} {
		if c.OK || !c.Why.Any() {
			t.Errorf("%s: %+v", name, c)
		}
		for _, p := range c.Points {
			if p.Out {
				t.Errorf("%s: flagged %+v", name, p)
			}
		}
	}
}

// The last build against those before it: the exact test at its own interval,
// stretched by the dispersion and its degrees of freedom.
func TestUChartLatest(t *testing.T) {
	c := UChart([]float64{3, 2, 4, 3, 12, 0}, []float64{2, 2, 2, 2, 2, 0})
	if !c.Tested || c.Claimed {
		t.Fatalf("%+v", c.Claim)
	}
	near(t, "ratio", c.Ratio, 4, 1e-12)
	// By hand: Pearson statistic 2/3 on 3 df about 1.5 on 10: φ = (15+2/3)/13.
	phi := (15 + 2.0/3) / 13
	tail := mathext.RegIncBeta(12/phi, 12/phi+1, 0.2)
	near(t, "p", c.PValue, 2*distuv.StudentsT{Mu: 0, Sigma: 1, Nu: 13}.CDF(distuv.UnitNormal.Quantile(tail)), 1e-12)
	// The interval leaves out 1 exactly when p is below one in twenty.
	for last := range 14 {
		c := UChart([]float64{3, 2, 4, 3, float64(last)}, []float64{2, 2, 2, 2, 2})
		if out := c.Interval.Low > 1 || c.Interval.High < 1; out != (c.PValue < 0.05) {
			t.Errorf("%d mistakes: p %v, range %v to %v", last, c.PValue, c.Interval.Low, c.Interval.High)
		}
	}
	// Words of change are for the family to allow.
	if got := c.LatestSentence("Lightship", say.Own("100 parts")).String(); !strings.HasPrefix(got, "Lightship against the builds before: 4.00 times as many (") || !strings.Contains(got, "that may be chance") {
		t.Error(got)
	}
	s := Slips{Counts: []float64{3, 2, 4, 3, 12}, Parts: []float64{200, 200, 200, 200, 200}, Claimed: true}
	if got := s.PerHundred().LatestSentence("Lightship", say.Own("100 parts")).String(); !strings.HasPrefix(got, "Lightship has more than the builds before: 4.00 times as many (") {
		t.Error(got)
	}
	// None before, and none at all now.
	if got := UChart([]float64{0, 0, 0, 0, 9}, []float64{1, 1, 1, 1, 1}).RatioWords().String(); !strings.HasPrefix(got, "none before, at least ") {
		t.Error(got)
	}
	if c := UChart([]float64{2, 3, 3, 3, 0}, []float64{1, 1, 1, 1, 1}); !c.Tested || c.Interval.Low != 0 || c.Ratio != 0 {
		t.Errorf("%+v", c)
	}
	if c := UChart([]float64{2, 3, 3, 3}, []float64{1, 1, 1, 1}); c.Tested {
		t.Error("four builds are judged")
	}
}
