// What evenings can show, against published powers.

package metrics

import (
	"fmt"
	"math"
	"math/rand/v2"
	"strings"
	"testing"
)

// R's help of power.t.test: n = 20 a side and a difference of one standard
// deviation have a power of 0.8689528; a power of 0.9 takes 22.02110, one of 0.8
// 16.71477 a side. Seen printed.
func TestPowerPublished(t *testing.T) {
	two := func(n, effect float64) float64 {
		return powerOf(effect*math.Sqrt(n/2), 2*(n-1))
	}
	// R counts the nearer tail alone; the other is below 1e-6 here.
	near(t, "n = 20", two(20, 1), 0.8689528, 1e-6)
	near(t, "power 0.9", two(22.02110, 1), 0.9, 1e-6)
	near(t, "power 0.8", two(16.71477, 1), 0.8, 2e-6)
	near(t, "no change", two(20, 0), 0.05, 1e-9)
	// As an ordinary pair of sides: twenty evenings each, unit variance, e times
	// the pace.
	side := SightSide{N: 20, Variance: 1, DF: 19}
	near(t, "sides", Sight{Earlier: side, Later: side}.Power(math.E), 0.8689528, 1e-6)
	near(t, "either way", Sight{Earlier: side, Later: side}.Power(1/math.E), 0.8689528, 1e-6)
}

// Two Poisson rates, 2.2 against each of these, in 2.5 units of time each, and a
// true ratio that lies the quotient of ratio and 1.2 from the margin: examples of a
// sample size manual, as the tests of statsmodels 0.14 quote them
// (test_rates_poisson.py). Seen there.
func TestPowerOfTwoRatesPublished(t *testing.T) {
	for _, c := range []struct {
		rate  float64
		n     int
		power float64
	}{{1.8, 29, 0.90056}, {1.9, 39, 0.90649}, {2.2, 115, 0.90014}, {2.4, 404, 0.90064}} {
		s := Sight{Earlier: SightSide{N: c.n, Variance: 1 / (2.5 * 2.2), DF: math.Inf(1)},
			Later: SightSide{N: c.n, Variance: 1 / (2.5 * c.rate), DF: math.Inf(1)}}
		near(t, fmt.Sprint("rate ", c.rate), s.Power(1.2*2.2/c.rate), c.power, 5e-5)
	}
}

// The series against the plain integral over the standard deviation.
func TestNoncentralT(t *testing.T) {
	near(t, "central", noncentralT(2.228138852, 10, 0), 0.975, 1e-9)
	near(t, "exchanged", noncentralT(-1.3, 7, 2)+noncentralT(1.3, 7, -2), 1, 1e-12)
	for _, c := range [][3]float64{{2, 3, 1}, {2.5, 4.5, 3}, {-1, 8, 0.7}, {12.7, 1, 16}, {2, 60, 2.8}} {
		x, df, ncp := c[0], c[1], c[2]
		var sum float64
		const steps = 40000
		const wide = 12.0
		lg, _ := math.Lgamma(df / 2)
		for i := range steps { // s² is χ²/df: midpoint rule in log s
			u := -wide + (2*wide)*(float64(i)+0.5)/steps
			s := math.Exp(u)
			w := df * s * s
			density := 2 * math.Exp((df/2)*math.Log(w/2)-w/2-lg)
			sum += density * 0.5 * math.Erfc(-(x*s-ncp)/math.Sqrt2) * 2 * wide / steps
		}
		near(t, fmt.Sprint(c), noncentralT(x, df, ncp), sum, 1e-7)
	}
}

func TestSight(t *testing.T) {
	side := SightSide{N: 6, Variance: 0.12, DF: 5}
	s := Sight{Earlier: side, Later: side, OK: true}
	near(t, "power at the smallest", s.Power(s.Smallest()), power, 1e-4)
	if n, ok := s.MoreFor(s.Smallest() + 0.001); n != 0 || !ok {
		t.Errorf("the smallest takes no more: %d", n)
	}
	// More on the later side alone: the earlier six bound it.
	n, ok := s.MoreFor(1.8)
	if !ok || n < 1 {
		t.Fatalf("%d, %v", n, ok)
	}
	with := s
	with.Later = s.Later.more(n)
	less := s
	less.Later = s.Later.more(n - 1)
	if with.Power(1.8) < power || less.Power(1.8) >= power {
		t.Errorf("%d more give %v, one less %v", n, with.Power(1.8), less.Power(1.8))
	}
	if n, ok := s.MoreFor(1.2); ok {
		t.Errorf("six earlier evenings never show a fifth: %d", n)
	}
	if got := s.Sentence().String(); !strings.Contains(got, "These evenings could have shown a change of 87 %") ||
		!strings.Contains(got, "however many follow") {
		t.Error(got)
	}
	many := SightSide{N: 30, Variance: 0.08, DF: 29}
	if got := (Sight{Earlier: many, Later: SightSide{N: 12, Variance: 0.08, DF: 11}, OK: true}).Sentence().String(); got !=
		"These evenings could have shown a change of 33 % or more; about 44 more would show one of 20 %." {
		t.Error(got)
	}
	if got := (Sight{Earlier: many, Later: many.more(90), OK: true}).Sentence().String(); got !=
		"These evenings could have shown a change of 18 % or more." {
		t.Error(got)
	}
}

// The range that stands beside it and the smallest change come of one scatter;
// two sessions of one evening are one.
func TestSightOf(t *testing.T) {
	rng := rand.New(rand.NewPCG(4, 4))
	earlier, later := evenings(rng, "boat", 8, 20, "flat"), evenings(rng, "lorry", 5, 20, "flat")
	c := LikeForLike(earlier, later)
	s := SightOf(c, earlier, later)
	if !s.OK || s.Blind || s.Earlier.N != 8 || s.Later.N != 5 {
		t.Fatalf("%+v", s)
	}
	se, df := s.error()
	near(t, "reach", se*tQuantile(df), math.Log(c.Interval.High/c.Interval.Low)/2, 1e-12)
	for i := range later {
		later[i].Evening = "2026-02-11"
	}
	if got := SightOf(c, earlier, later); got.Later.N != 1 {
		t.Errorf("one evening: %+v", got.Later)
	}
	earlier = evenings(rng, "boat", 60, 20, "flat")
	one := LikeForLike(earlier, later[:1])
	if got := SightOf(one, earlier, later[:1]); !got.Blind || !strings.HasPrefix(got.Sentence().String(), "So few evenings show no change of any size; about ") {
		t.Errorf("%+v: %s", got, got.Sentence().String())
	}
	if got := SightOf(LikeForLike(nil, later), nil, later); got.OK || got.Sentence().String() != "" {
		t.Errorf("%+v", got)
	}
}

// Evenings whose range reaches to the sky show nothing, and say no number for it.
func TestSightBeyondAllMeasure(t *testing.T) {
	c := Comparison{OK: true, Speed: 1, Interval: Interval{Low: 1e-9, High: 1e9, OK: true}}
	c.spread.variance, c.spread.df = 4, 0.3
	rng := rand.New(rand.NewPCG(4, 4))
	earlier, later := evenings(rng, "boat", 2, 20, "flat"), evenings(rng, "lorry", 2, 20, "flat")
	for _, w := range earlier {
		c.EarlierSessions = append(c.EarlierSessions, w.Session)
	}
	for _, w := range later {
		c.LaterSessions = append(c.LaterSessions, w.Session)
	}
	if s := SightOf(c, earlier, later); !s.Blind || strings.Contains(s.Sentence().String(), "Inf") {
		t.Errorf("%+v: %s", s, s.Sentence().String())
	}
}
