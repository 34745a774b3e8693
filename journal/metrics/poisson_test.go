// PoissonInterval against the published table and at its edges.

package metrics

import (
	"math"
	"testing"
)

func TestPoissonIntervalTable(t *testing.T) {
	for _, row := range table(t, "03_poisson_ci.csv") {
		c := num(t, row["count"])
		for name, level := range map[string]float64{"90": 0.90, "95": 0.95, "99": 0.99} {
			low, high := PoissonInterval(c, level)
			near(t, row["count"]+" lo"+name, low, num(t, row["lo"+name]), 1e-5)
			near(t, row["count"]+" hi"+name, high, num(t, row["hi"+name]), 1e-5)
		}
	}
}

// The limits are where the Poisson tails hold half of what the level leaves.
func TestPoissonIntervalTails(t *testing.T) {
	low, high := PoissonInterval(4, 0.95)
	below := func(mu float64, k int) (sum float64) { // P(X ≤ k)
		term := math.Exp(-mu)
		for i := 0; i <= k; i++ {
			sum += term
			term *= mu / float64(i+1)
		}
		return sum
	}
	near(t, "P(X ≥ 4 | low)", 1-below(low, 3), 0.025, 1e-9)
	near(t, "P(X ≤ 4 | high)", below(high, 4), 0.025, 1e-9)
}

func TestPoissonIntervalEdges(t *testing.T) {
	for _, c := range [][2]float64{{-1, 0.95}, {math.NaN(), 0.95}, {math.Inf(1), 0.95}, {3, 0}, {3, 1}, {3, math.NaN()}} {
		if low, high := PoissonInterval(c[0], c[1]); !math.IsNaN(low) || !math.IsNaN(high) {
			t.Errorf("PoissonInterval(%g, %g) = %g, %g, want NaN", c[0], c[1], low, high)
		}
	}
	low, high := PoissonInterval(2.5, 0.95)
	l2, h2 := PoissonInterval(2, 0.95)
	l3, h3 := PoissonInterval(3, 0.95)
	if !(l2 < low && low < l3 && h2 < high && high < h3) {
		t.Errorf("a count of 2.5 gives %g..%g, not between those of 2 and 3", low, high)
	}
}
