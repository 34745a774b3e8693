// Weighted kappa against published values.

package metrics

import (
	"fmt"
	"math"
	"math/rand/v2"
	"slices"
	"testing"
)

func TestKappaPublished(t *testing.T) {
	counts := map[string][][]float64{}
	for _, row := range table(t, "06_kappa_tables.csv") {
		i, j := int(num(t, row["row_category"])), int(num(t, row["column_category"]))
		c := counts[row["example"]]
		for len(c) < max(i, j) {
			c = append(c, nil)
		}
		for r := range c {
			for len(c[r]) < len(c) {
				c[r] = append(c[r], 0)
			}
		}
		c[i-1][j-1] = num(t, row["count"])
		counts[row["example"]] = c
	}
	unweighted := func(k int) [][]float64 {
		w := make([][]float64, k)
		for i := range w {
			w[i] = make([]float64, k)
			w[i][i] = 1
		}
		return w
	}
	linear := unweighted(4)
	for i := range linear {
		for j := range linear {
			linear[i][j] = 1 - math.Abs(float64(i-j))/3
		}
	}
	weights := map[string][][]float64{
		"cohen: disagreement 0 1 3 / 1 0 6 / 3 6 0":               {{1, 1 - 1.0/6, 0.5}, {1 - 1.0/6, 1, 0}, {0.5, 0, 1}},
		"fleiss: agreement 1 0 .4444 / 0 1 .6667 / .4444 .6667 1": {{1, 0, .4444}, {0, 1, .6667}, {.4444, .6667, 1}},
		"linear 1-|i-j|/(k-1)":                                    linear,
		"quadratic 1-(i-j)^2/(k-1)^2":                             QuadraticWeights(4),
	}
	checked := 0
	for _, row := range table(t, "06_kappa_results.csv") {
		c := counts[row["example"]]
		w := weights[row["weights"]]
		if row["weights"] == "none" {
			w = unweighted(len(c))
		}
		a := WeightedKappa(c, w)
		if !a.OK {
			t.Fatal(a.Why)
		}
		near(t, row["example"]+" "+row["weights"], a.Kappa, num(t, row["kappa"]), 1e-8)
		near(t, row["example"]+" SE "+row["weights"], a.SE, num(t, row["se"]), 1e-8)
		if !a.Interval.OK {
			t.Errorf("%s: no interval (%s)", row["example"], a.Interval.Why)
		}
		reach := 1.959964 * num(t, row["se"]) // of the normal curve, for 95 %
		near(t, row["example"]+" low "+row["weights"], a.Interval.Low, max(-1, num(t, row["kappa"])-reach), 1e-6)
		near(t, row["example"]+" high "+row["weights"], a.Interval.High, min(1, num(t, row["kappa"])+reach), 1e-6)
		checked++
	}
	if checked != 7 {
		t.Errorf("%d values checked", checked)
	}
}

func TestKappaMetamorphic(t *testing.T) {
	c := [][]float64{{8, 2, 0}, {1, 9, 3}, {0, 2, 5}}
	w := QuadraticWeights(3)
	a := WeightedKappa(c, w)
	turned, twice := [][]float64{{8, 1, 0}, {2, 9, 2}, {0, 3, 5}}, [][]float64{{16, 4, 0}, {2, 18, 6}, {0, 4, 10}}
	near(t, "judges exchanged", WeightedKappa(turned, w).Kappa, a.Kappa, 1e-12)
	near(t, "SE of twice the marks", WeightedKappa(twice, w).SE, a.SE/math.Sqrt2, 1e-12)
}

func TestKappaRefuses(t *testing.T) {
	for name, c := range map[string][][]float64{
		"nine":     {{5, 0}, {0, 4}},
		"one mark": {{20, 0}, {0, 0}},
	} {
		if a := WeightedKappa(c, QuadraticWeights(2)); a.OK || !a.Why.Any() {
			t.Errorf("%s: %+v", name, a)
		}
	}
	if a := WeightedKappa([][]float64{{10, 0}, {0, 10}}, QuadraticWeights(2)); !a.OK || a.Kappa != 1 || !a.Interval.Why.Any() {
		t.Errorf("all alike: %+v", a)
	}
}

// Marks of one photo stand and fall together: given on six criteria alike they are worth
// one, and six of one photo tell nothing of a judge.
func TestRetestIsOfPhotos(t *testing.T) {
	first := []float64{4, 3, 3, 2, 1, 0, 2, 4, 3, 1, 2, 3}
	second := []float64{4, 2, 3, 3, 1, 1, 2, 3, 3, 1, 2, 4}
	one := remarks(first, second)
	var six []Remark
	for range 6 {
		six = append(six, one...)
	}
	a, b := Retest(one), Retest(six)
	if !a.OK || b.N != 6*a.N || b.Photos != 12 {
		t.Fatalf("%+v, %+v", a, b)
	}
	near(t, "kappa", b.Kappa, a.Kappa, 1e-12)
	near(t, "low", b.Interval.Low, a.Interval.Low, 1e-12)
	near(t, "high", b.Interval.High, a.Interval.High, 1e-12)
	// With one mark a photo it is the published standard error, but for 12/11.
	counts := make([][]float64, topScore+1)
	for i := range counts {
		counts[i] = make([]float64, topScore+1)
	}
	for i := range first {
		counts[int(first[i])][int(second[i])]++
	}
	near(t, "se", a.SE, WeightedKappa(counts, QuadraticWeights(topScore+1)).SE*math.Sqrt(12.0/11), 1e-12)
	for i := range six {
		six[i].Photo = one[i%4].Photo
	}
	if c := Retest(six); c.OK || c.Interval.OK || c.Photos != 4 || c.Why.String() != "too few to tell: marks on 4 photos given twice, 5 needed" {
		t.Errorf("four photos: %+v", c)
	}
}

// A judge whose eye is off on a photo is off in all of its marks. The interval holds the
// kappa of many such photos nineteen times in twenty; that of single marks does not.
func TestCoverageOfRetest(t *testing.T) {
	rng := rand.New(rand.NewPCG(8, 12))
	draw := func(photos int) (twice []Remark) {
		for i := range photos {
			worth, off := 2+rng.NormFloat64(), 0.6*rng.NormFloat64()
			for range 6 {
				mark := func(x float64) float64 { return math.Max(0, math.Min(topScore, math.Round(x))) }
				at := worth + 0.5*rng.NormFloat64()
				twice = append(twice, Remark{fmt.Sprint(i), mark(at + 0.3*rng.NormFloat64()), mark(at + off + 0.3*rng.NormFloat64())})
			}
		}
		return twice
	}
	truth := Retest(draw(20000)).Kappa
	for _, photos := range []int{6, 12, 30} {
		held, heldByMarks := 0, 0
		const runs = 600
		for range runs {
			twice := draw(photos)
			if Retest(twice).Interval.contains(truth) {
				held++
			}
			single := slices.Clone(twice)
			for i := range single {
				single[i].Photo = fmt.Sprint(i)
			}
			if Retest(single).Interval.contains(truth) {
				heldByMarks++
			}
		}
		by, marks := float64(held)/runs, float64(heldByMarks)/runs
		t.Logf("%d photos: held %.3f, by marks %.3f", photos, by, marks)
		if by < 0.86 || by > 0.985 || marks > by-0.05 {
			t.Errorf("%d photos: kappa %.3f held in %.3f of journals, by single marks in %.3f", photos, truth, by, marks)
		}
	}
}
