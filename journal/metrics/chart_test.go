// The u-chart against published limits.

package metrics

import (
	"math"
	"testing"
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
		if c.OK || c.Why == "" {
			t.Errorf("%s: %+v", name, c)
		}
		for _, p := range c.Points {
			if p.Out {
				t.Errorf("%s: flagged %+v", name, p)
			}
		}
	}
}
