// The draws behind the interval of a speed, and how often it covers.

package metrics

import (
	"math/rand/v2"
	"testing"

	"gonum.org/v1/gonum/stat"
)

// With one part a session, hours per part is the mean, and drawing n-1 of n must
// give the textbook standard error with n-1: published for the mouse data.
func TestRedrawGivesThePublishedStandardError(t *testing.T) {
	published := map[string]float64{}
	for _, row := range table(t, "10_bootstrap_results.csv") {
		if row["data"] == "mouse" && row["recomputed"] != "" {
			published[row["quantity"]] = num(t, row["recomputed"])
		}
	}
	for _, group := range []string{"treatment", "control"} {
		var s stratum
		for _, row := range table(t, "10_bootstrap_mouse.csv") {
			if row["group"] == group {
				s.hours, s.parts = append(s.hours, num(t, row["days"])), append(s.parts, 1)
			}
		}
		rng := rand.NewPCG(1, 1)
		var means []float64
		for range 40000 {
			m, _ := s.redraw(rng)
			means = append(means, m)
		}
		near(t, group+" mean", stat.Mean(means, nil), published["mean, "+group], 0.6)
		near(t, group+" SE", stat.StdDev(means, nil), published["SE of mean, "+group+" (n-1)"], 0.3)
	}
}

func TestRedrawWithoutParts(t *testing.T) {
	s := stratum{hours: []float64{1, 1}, parts: []float64{0, 0}}
	if _, ok := s.redraw(rand.NewPCG(1, 1)); ok {
		t.Error("a draw without parts has hours per part")
	}
}

// For one cell with equal sessions on both sides the degrees of freedom are
// those of Welch: equal variances and sizes give the sum of n-1.
func TestEffectiveDF(t *testing.T) {
	ws := []Work{clean("a", "1", "flat", 10, 1), clean("a", "2", "flat", 14, 1), clean("a", "3", "flat", 9, 1)}
	rows, _, of := cellRows(ws, ws)
	df, floor, _ := effectiveDF(sidesOf(rows, of))
	near(t, "df", df, 4, 1e-9)
	near(t, "floor", floor, 2*3/(6*33.0*33.0), 1e-12)
}

// Two builds of equal pace and unequal mix are called different about one time
// in twenty, also with very few evenings a cell.
func TestSpeedIntervalCovers(t *testing.T) {
	for _, n := range []int{2, 4, 9} {
		rng := rand.New(rand.NewPCG(uint64(n), 5))
		const trials = 300
		hit := 0
		for i := range trials {
			a := evenings(rng, "a", n, 20, "flat", "curved")
			b := evenings(rng, "b", n, 20, "flat", "curved")
			c := LikeForLike(a, b, uint64(i))
			if !c.Interval.OK {
				t.Fatalf("n = %d: no interval: %s", n, c.Interval.Why)
			}
			if c.Interval.contains(1) {
				hit++
			}
		}
		t.Logf("n = %d a cell: covers in %.1f %%", n, 100*float64(hit)/trials)
		if share := float64(hit) / trials; share < 0.91 {
			t.Errorf("n = %d a cell: 95 %% intervals cover in %.1f %%", n, 100*share)
		}
	}
}
