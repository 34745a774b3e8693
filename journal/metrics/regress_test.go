// Least squares against certified values, and at its edges.

package metrics

import (
	"math"
	"testing"
)

// The certified values are to be met to ten digits and more.
func TestLeastSquaresMeetsCertifiedValues(t *testing.T) {
	const digits = 1e-10
	for _, c := range []struct {
		name, file string
		columns    int
	}{{"Norris", "01_linreg_norris.csv", 2}, {"Pontius", "01_linreg_pontius.csv", 3}} {
		var x [][]float64
		var y []float64
		for _, row := range table(t, c.file) {
			v := num(t, row["x"])
			x = append(x, []float64{1, v, v * v}[:c.columns])
			y = append(y, num(t, row["y"]))
		}
		f, ok := LeastSquares(x, y, nil)
		if !ok {
			t.Fatalf("%s: no fit", c.name)
		}
		got := map[string][2]float64{"residual_sd": {f.ResidualSD}, "r_squared": {f.RSquared}}
		for j, name := range []string{"B0", "B1", "B2"}[:c.columns] {
			got[name] = [2]float64{f.Coef[j], f.SD[j]}
		}
		checked := 0
		for _, row := range table(t, "01_linreg_certified.csv") {
			if row["dataset"] != c.name {
				continue
			}
			checked++
			want := num(t, row["certified_value"])
			near(t, c.name+" "+row["parameter"], got[row["parameter"]][0], want, digits*math.Abs(want))
			if row["certified_sd"] != "" {
				want = num(t, row["certified_sd"])
				near(t, c.name+" SD of "+row["parameter"], got[row["parameter"]][1], want, digits*math.Abs(want))
			}
		}
		if checked != c.columns+2 {
			t.Errorf("%s: %d values checked", c.name, checked)
		}
	}
}

// A row of weight two is the row twice.
func TestLeastSquaresWeights(t *testing.T) {
	x := [][]float64{{1, 1}, {1, 2}, {1, 4}, {1, 7}}
	y := []float64{2, 3, 3.5, 9}
	f, _ := LeastSquares(x, y, []float64{1, 2, 1, 1})
	g, _ := LeastSquares(append(x, x[1]), append(y, y[1]), nil)
	for j := range f.Coef {
		near(t, "coefficient", f.Coef[j], g.Coef[j], 1e-12)
	}
}

func TestLeastSquaresRefuses(t *testing.T) {
	for name, x := range map[string][][]float64{
		"nothing":            {},
		"too few rows":       {{1, 2, 3}},
		"columns that agree": {{1, 2}, {2, 4}, {3, 6}},
		"an empty column":    {{1, 0}, {2, 0}, {3, 0}},
	} {
		if f, ok := LeastSquares(x, make([]float64, len(x)), nil); ok {
			t.Errorf("%s: %+v", name, f)
		}
	}
}
