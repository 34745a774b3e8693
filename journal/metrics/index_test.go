// Indices against the worked example of the producer price manual.

package metrics

import (
	"math"
	"testing"
)

func TestIndicesPublished(t *testing.T) {
	price, quantity := map[string][]float64{}, map[string][]float64{}
	for _, row := range table(t, "04_index_data.csv") {
		p := row["period"]
		price[p] = append(price[p], num(t, row["price"]))
		quantity[p] = append(quantity[p], num(t, row["quantity"]))
	}
	index := func(from, to, formula string) float64 {
		l, p, f := Indices(price[from], quantity[from], price[to], quantity[to])
		return map[string]float64{"laspeyres": l, "paasche": p, "fisher": f}[formula]
	}
	checked := 0
	for _, row := range table(t, "04_index_results.csv") {
		period, formula := row["period"], row["formula"]
		switch formula {
		case "laspeyres", "paasche", "fisher":
		default:
			continue
		}
		checked++
		got := index("1", period, formula)
		near(t, formula+" "+period+" published", got, num(t, row["published_base1"]), 5.1e-5)
		near(t, formula+" "+period+" recomputed", got, num(t, row["recomputed_base1"]), 5.1e-9)
		chained := 1.0
		if period != "1" {
			chained = index("1", "2", formula)
		}
		if period == "3" {
			chained *= index("2", "3", formula)
		}
		near(t, formula+" "+period+" chained", chained, num(t, row["recomputed_chained"]), 5.1e-9)
	}
	if checked != 9 {
		t.Errorf("checked %d rows of the table, want 9", checked)
	}
}

func TestIndicesEdges(t *testing.T) {
	if l, p, f := Indices(nil, nil, nil, nil); !math.IsNaN(l) || !math.IsNaN(p) || !math.IsNaN(f) {
		t.Errorf("no goods: %g, %g, %g, want NaN", l, p, f)
	}
	defer func() {
		if recover() == nil {
			t.Error("unequal lengths do not panic")
		}
	}()
	Indices([]float64{1}, nil, nil, nil)
}
