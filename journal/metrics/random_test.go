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
