// PoissonRatio against the published examples and at its edges.

package metrics

import (
	"math"
	"testing"
)

func TestPoissonRatioTable(t *testing.T) {
	for _, row := range table(t, "03_poisson_ratio.csv") {
		ratio, low, high := PoissonRatio(num(t, row["count1"]), num(t, row["time1"]),
			num(t, row["count2"]), num(t, row["time2"]), 0.95)
		near(t, row["example"]+" ratio", ratio, num(t, row["ratio"]), 1e-7)
		near(t, row["example"]+" low", low, num(t, row["lo95"]), 1e-6)
		near(t, row["example"]+" high", high, num(t, row["hi95"]), 1e-6)
	}
}

func TestPoissonRatioExchange(t *testing.T) {
	r, lo, hi := PoissonRatio(11, 800, 21, 3011, 0.9)
	r2, lo2, hi2 := PoissonRatio(21, 3011, 11, 800, 0.9)
	near(t, "ratio", r2, 1/r, 1e-12)
	near(t, "low", lo2, 1/hi, 1e-9)
	near(t, "high", hi2, 1/lo, 1e-9)
}

func TestPoissonRatioEdges(t *testing.T) {
	inf := math.Inf(1)
	if r, lo, hi := PoissonRatio(0, 2, 5, 2, 0.95); r != 0 || lo != 0 || !(hi > 0 && hi < inf) {
		t.Errorf("0 against 5: %g, %g..%g", r, lo, hi)
	}
	if r, lo, hi := PoissonRatio(5, 2, 0, 2, 0.95); r != inf || !(lo > 0) || hi != inf {
		t.Errorf("5 against 0: %g, %g..%g", r, lo, hi)
	}
	if r, lo, hi := PoissonRatio(0, 2, 0, 2, 0.95); !math.IsNaN(r) || lo != 0 || hi != inf {
		t.Errorf("0 against 0: %g, %g..%g", r, lo, hi)
	}
	for _, a := range [][5]float64{{-1, 1, 1, 1, 0.95}, {1, 0, 1, 1, 0.95}, {1, 1, 1, inf, 0.95}, {1, 1, inf, 1, 0.95}, {1, 1, 1, 1, 1}} {
		if r, lo, hi := PoissonRatio(a[0], a[1], a[2], a[3], a[4]); !math.IsNaN(r) || !math.IsNaN(lo) || !math.IsNaN(hi) {
			t.Errorf("PoissonRatio%v = %g, %g, %g, want NaN", a, r, lo, hi)
		}
	}
}
