// PearsonDispersion against the horse-kick counts.

package metrics

import "testing"

func TestPearsonDispersionHorseKicks(t *testing.T) {
	var parts, hours []float64
	for _, row := range table(t, "03_dispersion_horsekicks.csv") {
		for range int(num(t, row["corps_years"])) {
			parts, hours = append(parts, num(t, row["deaths"])), append(hours, 1)
		}
	}
	stat, df, ok := PearsonDispersion(parts, hours)
	if !ok || df != 199 {
		t.Fatalf("df %d, ok %v, want 199, true", df, ok)
	}
	near(t, "statistic", stat, 199.3115, 5e-5)

	// The same counts over unequal time scatter about another rate; time
	// scaled as a whole does not matter.
	for i := range hours {
		hours[i] = 2.5
	}
	scaled, _, _ := PearsonDispersion(parts, hours)
	near(t, "statistic over 2.5 h each", scaled, stat, 1e-9)
}

func TestPearsonDispersionEdges(t *testing.T) {
	for name, c := range map[string]struct {
		parts, hours []float64
		df           int
	}{
		"none":          {nil, nil, 0},
		"one":           {[]float64{3}, []float64{1}, 0},
		"one with time": {[]float64{3, 4}, []float64{1, 0}, 0},
		"no parts":      {[]float64{0, 0, 0}, []float64{1, 1, 1}, 2},
	} {
		if stat, df, ok := PearsonDispersion(c.parts, c.hours); ok || stat != 0 || df != c.df {
			t.Errorf("%s: %g, %d, %v", name, stat, df, ok)
		}
	}
	// By hand: r = 6/3 = 2, (2-2)²/2 + (4-2)²/2 + (0-2)²/2 = 4.
	if stat, df, ok := PearsonDispersion([]float64{2, 4, 0}, []float64{1, 1, 1}); stat != 4 || df != 2 || !ok {
		t.Errorf("by hand: %g, %d, %v, want 4, 2, true", stat, df, ok)
	}
}
