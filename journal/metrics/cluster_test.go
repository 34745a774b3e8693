// What clusters share, against a published fit and by hand.

package metrics

import (
	"fmt"
	"math"
	"testing"

	"gonum.org/v1/gonum/mat"
)

// Batches of a dye are clusters, and their yield is as if each answer had the
// variance of one yield: the variance between batches and the standard error of the
// mean come out as published (Davies and Goldsmith 1972; R lme4).
func TestClustersOfDyestuff(t *testing.T) {
	published := map[string]float64{}
	for _, row := range table(t, "15_random_effects_results.csv") {
		published[row["quantity"]] = num(t, row["recomputed"])
	}
	one := published["variance_between"] + published["variance_within"]
	rows := table(t, "15_random_effects_dyestuff.csv")
	var answers []clustered
	for _, row := range rows {
		answers = append(answers, clustered{
			plus: int(row["batch"][0]), minus: -1, score: (num(t, row["yield"]) - published["intercept"]) / one, info: 1 / one,
			slopes: []slope{{0, 1 / one}},
		})
	}
	cov := mat.NewSymDense(1, []float64{one / float64(len(rows))})
	q := quadraticOf(answers, cov)
	near(t, "variance between", q.estimate(), published["variance_between"], 1e-6)
	near(t, "SE of the mean", math.Sqrt(cov.At(0, 0)+q.estimate()*q.more[0][0]), published["se_intercept"], 1e-9)
	// With six batches that differ as these do, Q is a multiple of χ² on five degrees of
	// freedom: the balanced analysis of variance.
	at := q.estimate()
	mean, variance := q.mean[0]+at*q.mean[1], q.variance[0]+at*(q.variance[1]+at*q.variance[2])
	near(t, "degrees of freedom", 2*mean*mean/variance, 5, 1e-9)
}

// Answers that share nothing have no clusters; those of which each stands in one
// cluster with another do.
func TestClustersOfOne(t *testing.T) {
	cov := mat.NewSymDense(1, []float64{1})
	alone := []clustered{{plus: 0, minus: 1, info: 0.2, slopes: []slope{{0, 0.2}}}, {plus: 2, minus: 3, info: 0.2, slopes: []slope{{0, 0.2}}}}
	if commonOf(alone, cov, photosDiffer) != nil {
		t.Error("clusters of one answer share something")
	}
	alone[1].minus = 1
	// Both stand against cluster 1: their covariance is 0.2·0.2, twice in the sum.
	c := commonOf(alone, cov, photosDiffer)
	near(t, "shared", c.more[0][0], 2*0.2*0.2, 1e-15)
	var sum float64
	for _, p := range c.chain {
		sum += p
	}
	near(t, "probabilities", sum, 1, 1e-12)
}

// The more the clusters scatter beyond their answers, the larger their effects are
// held to be.
func TestClustersThatScatter(t *testing.T) {
	mean := func(score float64) (m float64) {
		var answers []clustered
		for i := range 40 {
			sign := float64(1 - 2*(i%2))
			answers = append(answers, clustered{plus: i % 8, minus: -1, score: score * sign, info: 0.2, slopes: []slope{{0, 0.2}}})
		}
		c := commonOf(answers, mat.NewSymDense(1, []float64{1 / 8.0}), photosDiffer)
		for k, p := range c.chain {
			m += p * math.Sqrt(c.sizes[k])
		}
		return m
	}
	if small, large := mean(0.05), mean(0.45); !(small < 0.5) || !(large > 2*small) {
		t.Errorf("effects of %.2f and %.2f", small, large)
	}
}

// Answers that no size of effect explains well: each size is as unlikely as no float64
// can say, and the chances must still be numbers.
func TestUnlikelyAnswersStillCount(t *testing.T) {
	const builds, each = 60, 60
	name := func(i int) (build, photo string) { return fmt.Sprintf("b%02d", i/each), fmt.Sprint(i % each) }
	for _, outcomes := range [][]string{{LeftBetter, NoDifference, RightBetter}, {LeftBetter}} {
		var pairs []Pair
		for i := range builds * each {
			p := Pair{Judge: "eye", Outcome: outcomes[i%each%len(outcomes)]}
			p.Left, p.LeftPhoto = name(i)
			p.Right, p.RightPhoto = name((i/each*each + i%each*7) % (builds * each))
			pairs = append(pairs, p)
		}
		r := Rank(pairs)
		for _, c := range []Chance{r.Chance("b59", "b00"), r.Chance("b00", "b01"), r.Standing("b30")} {
			for _, x := range []float64{c.P, c.Interval.Low, c.Interval.High, c.PValue} {
				if !c.OK || !(x >= 0 && x <= 1) {
					t.Errorf("outcomes %v: %+v", outcomes, c)
				}
			}
			if !(c.Interval.Low <= c.P && c.P <= c.Interval.High) {
				t.Errorf("outcomes %v: %v is not in %v", outcomes, c.P, c.Interval)
			}
		}
	}
}

// estimate is the variance at which Q is what it is on average: the estimate of the
// analysis of variance, where the answers are balanced. It may lie below 0.
func (m *quadratic) estimate() float64 { return (m.q - m.mean[0]) / m.mean[1] }
