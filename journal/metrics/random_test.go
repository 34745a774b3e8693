// REML and BLUP against published values.

package metrics

import (
	"math"
	"testing"
)

// The dyestuff data as printed: one random effect by batch. The program's output
// is rounded as published, so the tolerance is half its last digit.
func TestREMLOfDyestuff(t *testing.T) {
	byBatch := map[string][]float64{}
	var names []string
	for _, row := range table(t, "15_random_effects_dyestuff.csv") {
		b := row["batch"]
		if byBatch[b] == nil {
			names = append(names, b)
		}
		byBatch[b] = append(byBatch[b], num(t, row["yield"]))
	}
	var blocks []block
	for _, name := range names {
		blocks = append(blocks, plainBlock(byBatch[name]))
	}
	r, f, ok := reml(blocks)
	if !ok {
		t.Fatal("no fit")
	}
	phi := f.phi(0)
	mean, variance := f.of([]float64{1})
	got := map[string]float64{"intercept": mean, "se_intercept": math.Sqrt(variance * phi),
		"variance_within": phi, "variance_between": phi * r.each}
	var means, errors []float64
	for i, name := range names {
		got["blup_"+name] = blocks[i].effects(r, f.coef)[0]
		var sum float64
		for _, y := range byBatch[name] {
			sum += y
		}
		n := float64(len(byBatch[name]))
		means, errors = append(means, sum/n), append(errors, math.Sqrt(phi/n))
	}
	checked := 0
	for _, row := range table(t, "15_random_effects_results.csv") {
		q := row["quantity"]
		want := num(t, row["recomputed"])
		near(t, q, got[q], want, 1e-5*math.Abs(want))
		switch p := row["published"]; p {
		case "":
		case "19.38":
			near(t, q+" as published", got[q], num(t, p), 0.005)
		default:
			near(t, q+" as published", got[q], num(t, p), 0.5)
		}
		checked++
	}
	if checked != 10 {
		t.Errorf("%d values checked", checked)
	}
	// The same from the means of the batches alone, their standard errors known.
	s := Shrink(means, errors)
	near(t, "mean of means", s.Mean, got["intercept"], 1e-6)
	near(t, "between means", s.Between, got["variance_between"], 0.01)
	near(t, "its error", s.SE, got["se_intercept"], 1e-4)
	for i, name := range names {
		near(t, "mean of "+name+" drawn in", s.Values[i]-s.Mean, got["blup_"+name], 1e-3)
	}
}

// mostRatio bounds a variance between groups, in variances within.
const mostRatio = 1e6

// reml finds the ratio of the one random effect of each group that the restricted
// likelihood is highest at: on the log axis it has one peak, or falls from 0 on.
func reml(blocks []block) (r ratios, f fitted, ok bool) {
	likelihood := func(ratio float64) float64 {
		one, fits := at(blocks, ratios{each: ratio})
		ok = fits
		return one.restricted(0)
	}
	x := goldenMax(math.Log(1/mostRatio), math.Log(mostRatio), func(log float64) float64 {
		return likelihood(math.Exp(log))
	})
	if likelihood(0) < likelihood(math.Exp(x)) {
		r.each = math.Exp(x)
	}
	f, ok = at(blocks, r)
	return r, f, ok
}

// plainBlock is a group with an intercept, V = I.
func plainBlock(ys []float64) block {
	b := block{fixed: 1, random: 1, in: make([]float64, 9), rows: len(ys)}
	for _, y := range ys {
		for i, u := range []float64{1, y, 1} {
			for j, v := range []float64{1, y, 1} {
				b.in[i*3+j] += u * v
			}
		}
	}
	return b
}

// The eight schools of Rubin D.B. (1981), Estimation in parallel randomized
// experiments, Journal of Educational Statistics 6, 377–401; printed in Gelman A. et
// al., Bayesian Data Analysis, 3rd ed., table 5.2. From memory: effects, standard
// errors; pooled 7.7 ± 4.1 (there: 4.1), and that the variance between is
// estimated as 0, so that the worst and the best are drawn in wholly.
func TestShrinkEightSchools(t *testing.T) {
	effects := []float64{28, 8, -3, 7, -1, 1, 18, 12}
	errors := []float64{15, 10, 16, 11, 9, 11, 10, 18}
	s := Shrink(effects, errors)
	near(t, "pooled", s.Mean, 7.7, 0.05)
	near(t, "its error", s.SE, 4.1, 0.05)
	if s.Between != 0 {
		t.Errorf("between %v", s.Between)
	}
	for _, v := range s.Values {
		near(t, "drawn in", v, s.Mean, 1e-12)
	}
}

func TestShrink(t *testing.T) {
	few := Shrink([]float64{-1, 1}, []float64{0.1, 0.1})
	if few.Values[0] != -1 || few.Values[1] != 1 {
		t.Errorf("two show nothing of how they differ: %+v", few)
	}
	same := Shrink([]float64{2, 2, 2}, []float64{1, 2, 3})
	if same.Between != 0 || math.Abs(same.Values[1]-2) > 1e-12 {
		t.Errorf("%+v", same)
	}
	near(t, "error of all alike", same.Errors[2], same.SE, 1e-12)
	// The less certain is drawn in further, and none past the mean.
	s := Shrink([]float64{-1, -1, 0.2, 0.5, 0.9, 1.3}, []float64{0.2, 0.6, 0.2, 0.2, 0.2, 0.2})
	if !(s.Between > 0 && s.Values[0] < s.Values[1] && s.Values[1] < s.Mean && s.Values[0] > -1) {
		t.Errorf("%+v", s)
	}
}

// Blocks of several random effects against plain matrices: two kinds of work in a
// build that share part of its difficulty.
func TestMarginalOfTwoEffects(t *testing.T) {
	z := [][]float64{{1, 0}, {1, 0}, {0, 1}, {0, 1}, {0, 1}}
	x := [][]float64{{1, 0.1}, {1, 0.5}, {1, 0.2}, {1, 0.9}, {1, 0.3}}
	y := []float64{1, 2, 1.5, 3, 0.2}
	b := block{fixed: 2, random: 2, in: make([]float64, 25), rows: 5}
	for r := range x {
		cols := append(append(append([]float64{}, x[r]...), y[r]), z[r]...)
		for i, u := range cols {
			for j, v := range cols {
				b.in[i*5+j] += u * v
			}
		}
	}
	r := ratios{each: 0.4, all: 0.7}
	v := make([]float64, 25) // I + Z G Zᵀ
	for i := range 5 {
		for j := range 5 {
			for s := range 2 {
				for u := range 2 {
					g := r.all
					if s == u {
						g += r.each
					}
					v[i*5+j] += z[i][s] * g * z[j][u]
				}
			}
		}
		v[i*5+i]++
	}
	logDet, _ := cholesky(v, 5)
	sum := make([]float64, 9)
	near(t, "log determinant", b.marginal(r, sum), logDet, 1e-12)
	column := func(j int) []float64 {
		out := make([]float64, 5)
		for i := range out {
			out[i] = append(append([]float64{}, x[i]...), y[i])[j]
		}
		forward(v, 5, out)
		return out
	}
	for i := range 3 {
		for j := range 3 {
			var want float64
			a, b := column(i), column(j)
			for t := range a {
				want += a[t] * b[t]
			}
			near(t, "inner product", sum[i*3+j], want, 1e-12)
		}
	}
}

// Without random effects the model is least squares. Norris is to be met to ten digits.
// The columns of Pontius depend on each other nearly (x reaches 3·10⁶, beside x²): the
// normal equations lose half the digits there, as they may, since what is fitted here
// goes by logs.
func TestFitMeetsCertifiedValues(t *testing.T) {
	for _, c := range []struct {
		name, file string
		columns    int
		digits     float64
	}{{"Norris", "01_linreg_norris.csv", 2, 1e-10}, {"Pontius", "01_linreg_pontius.csv", 3, 1e-6}} {
		var rows [][]float64
		for _, row := range table(t, c.file) {
			v := num(t, row["x"])
			rows = append(rows, append([]float64{1, v, v * v}[:c.columns:c.columns], num(t, row["y"])))
		}
		f := leastSquares(t, rows)
		got, sd := map[string]float64{"residual_sd": math.Sqrt(f.phi(0))}, map[string]float64{}
		for j, name := range []string{"B0", "B1", "B2"}[:c.columns] {
			one := make([]float64, c.columns)
			one[j] = 1
			value, variance := f.of(one)
			got[name], sd[name] = value, math.Sqrt(variance*f.phi(0))
		}
		checked := 0
		for _, row := range table(t, "01_linreg_certified.csv") {
			name := row["parameter"]
			if _, fitted := got[name]; row["dataset"] != c.name || !fitted {
				continue // how much of the scatter is explained, nothing here says
			}
			checked++
			want := num(t, row["certified_value"])
			near(t, c.name+" "+name, got[name], want, c.digits*math.Abs(want))
			if row["certified_sd"] != "" {
				want = num(t, row["certified_sd"])
				near(t, c.name+" SD of "+name, sd[name], want, c.digits*math.Abs(want))
			}
		}
		if checked != c.columns+1 {
			t.Errorf("%s: %d values checked", c.name, checked)
		}
	}
}

// The published power law, fitted on log-log axes.
func TestFitOfAPowerLaw(t *testing.T) {
	var rows [][]float64
	for _, row := range table(t, "02_powerlaw_danwood.csv") {
		rows = append(rows, []float64{1, math.Log(num(t, row["x"])), math.Log(num(t, row["y"]))})
	}
	f := leastSquares(t, rows)
	got := map[string]float64{"exp_intercept": math.Exp(f.coef[0]), "slope": f.coef[1],
		"residual_sd_of_ln_y": math.Sqrt(f.phi(0))}
	checked := 0
	for _, row := range table(t, "02_powerlaw_danwood_fit.csv") {
		if want, ok := got[row["parameter"]]; ok && row["fit"] == "loglog" {
			near(t, row["parameter"], want, num(t, row["value"]), 1e-10*math.Abs(num(t, row["value"])))
			checked++
		}
	}
	if checked != 3 {
		t.Errorf("%d values checked", checked)
	}
}

// leastSquares fits rows of X and y with no random effect, V = I.
func leastSquares(t *testing.T, rows [][]float64) fitted {
	t.Helper()
	n := len(rows[0])
	b := block{fixed: n - 1, in: make([]float64, n*n), rows: len(rows)}
	for _, row := range rows {
		for i, u := range row {
			for j, v := range row {
				b.in[i*n+j] += u * v
			}
		}
	}
	f, ok := at([]block{b}, ratios{})
	if !ok {
		t.Fatal("no fit")
	}
	return f
}
