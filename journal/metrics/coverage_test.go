// How often the intervals cover the truth, over simulated builders.
//
//	go test ./journal/metrics -run Coverage -v -coverage-runs 2000 -coverage-seed 1
//
// prints the table. A simulated builder sits down for 20 to 90 minutes, is in
// a better or worse mood each time (a spread of about 30 % on top of the chance
// of counts), learns, and works on a mix of part classes. Every interval is held
// to the band its level promises, or is refused at that number of sessions.

package metrics

import (
	"flag"
	"fmt"
	"math"
	"math/rand/v2"
	"testing"
	"time"

	"gonum.org/v1/gonum/stat/distuv"
)

var (
	coverageRuns = flag.Int("coverage-runs", 150, "simulated builders for each row of the coverage table")
	coverageSeed = flag.Uint64("coverage-seed", 1, "seed of the simulated builders")
)

// builder is a simulated person at the bench.
type builder struct {
	rng   *rand.Rand
	rate  float64 // parts an hour at the first part, in class 0
	mood  float64 // standard deviation of the log pace from session to session
	learn float64 // hours per part after a doubling over those before; 1 = does not learn
	mix   int     // part classes
	done  float64
	now   time.Time
}

func newBuilder(rng *rand.Rand, learn float64, mix int) *builder {
	return &builder{rng: rng, rate: []float64{6, 15, 30}[rng.IntN(3)], mood: 0.2 + 0.2*rng.Float64(), learn: learn, mix: mix,
		now: time.Date(2026, 1, 2, 19, 0, 0, 0, time.UTC)}
}

// classRate is the pace of a class over that of the first.
func classRate(class int) float64 { return 1 / (1 + 0.6*float64(class)) }

// session works once on a class and returns it with the parts its hours should bring.
func (b *builder) session(build string, i, class int) (Work, float64) {
	h := (20 + 70*b.rng.Float64()) / 60
	rate := b.rate * classRate(class)
	mean := rate * h
	for range 30 { // the time of the middle part
		mean = rate * h / math.Pow(b.done+mean/2+0.5, math.Log2(b.learn))
	}
	mood := math.Exp(b.mood*b.rng.NormFloat64() - b.mood*b.mood/2)
	p := distuv.Poisson{Lambda: mean * mood, Src: b.rng}.Rand()
	b.done += p
	b.now = b.now.AddDate(0, 0, 1+b.rng.IntN(4))
	y, w := b.now.ISOWeek()
	return Work{Session: fmt.Sprintf("%s-%04d", build, i), Build: build, Kind: "clean", Class: fmt.Sprint("class ", class),
		Hours: h, Parts: p, Counted: true, Known: Measured, Start: b.now, Week: fmt.Sprintf("%d-W%02d", y, w)}, mean
}

// coverage tallies one row.
type coverage struct {
	hit, given, refused int
	low, high           int // misses: the truth below, above
}

func (c *coverage) add(iv Interval, truth float64) {
	switch {
	case !iv.OK:
		c.refused++
		return
	case truth < iv.Low:
		c.low++
	case truth > iv.High:
		c.high++
	default:
		c.hit++
	}
	c.given++
}

// judge prints the row and fails outside the band, with four standard errors
// of grace so that the luck of few runs does not fail it.
func (c coverage) judge(t *testing.T, what string, n int, least, most float64) {
	t.Helper()
	if c.given == 0 {
		t.Logf("%-34s n = %2d  refused", what, n)
		return
	}
	share := float64(c.hit) / float64(c.given)
	mid := (least + most) / 2
	grace := 4 * math.Sqrt(mid*(1-mid)/float64(c.given))
	verdict := ""
	if share < least || share > most {
		verdict = "  outside the band"
	}
	t.Logf("%-34s n = %2d  covers %5.1f %%  (truth below %4.1f, above %4.1f)  refused %4.1f %%%s", what, n, 100*share,
		100*float64(c.low)/float64(c.given), 100*float64(c.high)/float64(c.given),
		100*float64(c.refused)/float64(c.given+c.refused), verdict)
	if share < least-grace || share > most+grace {
		t.Errorf("%s, n = %d: covers %.1f %%, want %.0f to %.0f", what, n, 100*share, 100*least, 100*most)
	}
}

func overSessions(t *testing.T, what string, least, most float64, one func(rng *rand.Rand, n int, c *coverage)) {
	for _, n := range []int{3, 6, 12, 30} {
		var c coverage
		for run := range *coverageRuns {
			one(rand.New(rand.NewPCG(*coverageSeed, uint64(run)<<8|uint64(n))), n, &c)
		}
		c.judge(t, what, n, least, most)
	}
}

// One or two sessions show no scatter of their own: it is assumed, or taken from
// the builder's other work, here four classes of three sessions each.
func TestCoverageOfPaceOfFew(t *testing.T) {
	for _, known := range []bool{false, true} {
		what := "pace, usual scatter"
		if known {
			what = "pace, own scatter"
		}
		for _, n := range []int{1, 2} {
			var c coverage
			for run := range *coverageRuns {
				rng := rand.New(rand.NewPCG(*coverageSeed, uint64(run)<<8|uint64(n)))
				b := newBuilder(rng, 1, 5)
				var s Scatter
				if known {
					var other []Work
					for i := range 12 {
						w, _ := b.session("a", i, 1+i%4)
						other = append(other, w)
					}
					s = ScatterOf(other)
				}
				var ws []Work
				for i := range n {
					w, _ := b.session("b", i, 0)
					w.Scatter = s
					ws = append(ws, w)
				}
				c.add(PaceOf(ws).Interval, b.rate)
			}
			c.judge(t, what, n, 0.93, 0.97)
		}
	}
}

func TestCoverageOfPace(t *testing.T) {
	overSessions(t, "pace, steady", 0.93, 0.97, func(rng *rand.Rand, n int, c *coverage) {
		b := newBuilder(rng, 1, 1)
		var ws []Work
		for i := range n {
			w, _ := b.session("b", i, 0)
			ws = append(ws, w)
		}
		c.add(PaceOf(ws).Interval, b.rate)
	})
	// With learning there is no one pace: the truth is what the hours of these
	// sessions should have brought.
	overSessions(t, "pace, learning, mixed", 0.93, 0.97, func(rng *rand.Rand, n int, c *coverage) {
		b := newBuilder(rng, 0.9, 2)
		var ws []Work
		var mean, hours float64
		for i := range n {
			w, m := b.session("b", i, rng.IntN(2))
			ws, mean, hours = append(ws, w), mean+m, hours+w.Hours
		}
		c.add(PaceOf(ws).Interval, mean/hours)
	})
}

func TestCoverageOfLikeForLike(t *testing.T) {
	for _, mix := range []int{1, 3} {
		overSessions(t, fmt.Sprintf("like for like, %s", Count(mix, "class")), 0.93, 0.97, func(rng *rand.Rand, n int, c *coverage) {
			a := newBuilder(rng, 1, mix)
			b := *a
			b.rate *= 1.25
			var earlier, later []Work
			for i := range n {
				one, _ := a.session("a", i, rng.IntN(mix))
				two, _ := b.session("b", i, rng.IntN(mix))
				earlier, later = append(earlier, one), append(later, two)
			}
			c.add(LikeForLike(earlier, later, rng.Uint64()).Interval, 1.25)
		})
	}
}

func TestCoverageOfLearning(t *testing.T) {
	for _, mix := range []int{1, 3} {
		overSessions(t, fmt.Sprintf("learning rate, %s", Count(mix, "class")), 0.93, 0.97, func(rng *rand.Rand, n int, c *coverage) {
			b := newBuilder(rng, 0.85, mix)
			var ws []Work
			for i := range n {
				w, _ := b.session("b", i, rng.IntN(mix))
				ws = append(ws, w)
			}
			c.add(Learn(ws).Interval, 0.85)
		})
	}
}

// n pairs are judged of each two builds; the chance asked for is between the
// first two, whose strengths differ by up to a chance of about 9 in 10.
func TestCoverageOfChance(t *testing.T) {
	for _, builds := range []int{2, 4} {
		overSessions(t, fmt.Sprintf("chance, %s", Count(builds, "build")), 0.93, 0.97, func(rng *rand.Rand, n int, c *coverage) {
			strength := make([]float64, builds)
			for i := range strength {
				strength[i] = 0.8 * rng.NormFloat64()
			}
			nu, side := 0.3+0.7*rng.Float64(), 0.3*rng.NormFloat64()
			var pairs []Pair
			for i := range builds {
				for j := range i {
					for k := range n {
						l, r := i, j
						if k%2 == 0 {
							l, r = j, i
						}
						d := strength[l] - strength[r] + side
						w := []float64{math.Exp(d / 2), math.Exp(-d / 2), nu}
						u := rng.Float64() * (w[0] + w[1] + w[2])
						o := NoDifference
						if u < w[0] {
							o = LeftBetter
						} else if u < w[0]+w[1] {
							o = RightBetter
						}
						pairs = append(pairs, Pair{fmt.Sprint(l), fmt.Sprint(r), o})
					}
				}
			}
			c.add(Rank(pairs).Chance("0", "1").Interval, logistic(strength[0]-strength[1]))
		})
	}
}

// The hours a builder needs for the parts left, when 20, 40, 60 or 80 % are done.
func TestCoverageOfForecast(t *testing.T) {
	for _, learn := range []float64{1, 0.9} {
		what := "forecast 80 %, steady"
		if learn < 1 {
			what = "forecast 80 %, learning"
		}
		overSessions(t, what, 0.75, 0.85, func(rng *rand.Rand, n int, c *coverage) {
			b := newBuilder(rng, learn, 1)
			if learn < 1 {
				b.done = 200 // who forecasts has built before
			}
			var ws []Work
			var parts float64
			for i := range n {
				w, _ := b.session("b", i, 0)
				ws, parts = append(ws, w), parts+w.Parts
			}
			share := 0.2 * float64(1+rng.IntN(4))
			left := math.Ceil(parts*(1-share)/share) + 1
			f := Predict([]Task{{Cell: cellOf(&ws[0]), Parts: left}}, ws, nil, rng.Uint64())
			var hours float64
			for to := left; to > 0; {
				w, _ := b.session("b", n, 0)
				hours += w.Hours * min(1, to/max(w.Parts, 1e-9))
				to -= w.Parts
			}
			c.add(Interval{Low: f.Hours.Low80, High: f.Hours.High80, OK: f.OK}, hours)
		})
	}
	overSessions(t, "forecast 80 %, weeks", 0.75, 0.85, func(rng *rand.Rand, n int, c *coverage) {
		week := func() float64 { // one in four without an hour
			if rng.IntN(4) == 0 {
				return 0
			}
			return 1 + 6*rng.Float64()
		}
		weeks := make([]float64, n)
		for i := range weeks {
			weeks[i] = week()
		}
		p := poolOfWeeks(weeks)
		if p == nil {
			c.add(Interval{}, 0)
			return
		}
		need := 10 + 60*rng.Float64()
		s := spreadOf(p.draw(newDice(rng.Uint64()), need, 500))
		var took float64
		for to := need; to > 0; {
			h := week()
			took += min(1, to/max(h, 1e-9))
			to -= h
		}
		c.add(Interval{Low: s.Low80, High: s.High80, OK: true}, took)
	})
}
